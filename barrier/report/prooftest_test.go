package report

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/golden"
	"example.com/stanchion/internal/quantity"
)

// sluiceCrossing is the test of the example, with changes.
func sluiceCrossing(t *testing.T, units quantity.System, changes ...barrier.Change) *explore.ProofTest {
	t.Helper()
	data, err := os.ReadFile("../../testdata/sluice-crossing.toml")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := barrier.Read("sluice-crossing.toml", data)
	if err != nil {
		t.Fatal(err)
	}
	d, err := doc.Definition(changes...)
	if err != nil {
		t.Fatal(err)
	}
	s, err := explore.TestOnSite(context.Background(), d, explore.ProofTestOptions{Units: units})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestProofTestReports(t *testing.T) {
	s := sluiceCrossing(t, quantity.Metric)
	for ending, write := range map[string]func(io.Writer) error{
		".txt":  func(w io.Writer) error { return ProofTestText(w, s, TextOptions{}) },
		".json": func(w io.Writer) error { return ProofTestJSON(w, s) },
	} {
		var out, again bytes.Buffer
		if err := write(&out); err != nil {
			t.Fatal(err)
		}
		if err := write(&again); err != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
			t.Errorf("%s is not the same the second time (%v)", ending, err)
		}
		said := strings.Join(strings.Fields(out.String()), " ")
		for _, text := range []string{check.PreCheck, explore.NoCapacity} {
			if !strings.Contains(said, text) {
				t.Errorf("%s does not say %q", ending, text)
			}
		}
		golden.Check(t, "testdata/prooftest"+ending, out.Bytes())
	}
}

// In both systems of units, for what is explained and what is not, at a post and at mid-span.
func TestProofTestTextHolds80Columns(t *testing.T) {
	test := func(key string, value any) barrier.Change {
		return barrier.Change{Path: "prooftest." + key, Value: value}
	}
	for name, changes := range map[string][]barrier.Change{
		"as it is":        nil,
		"nothing known":   {test("measured", nil), test("accuracy", nil), test("residual", nil), {Path: "post.base.stiffness"}},
		"below rigid":     {test("measured", "4 mm"), test("residual", nil)},
		"above none":      {test("measured", "900 mm"), test("bay", int64(2)), test("post", nil)},
		"splices unknown": {{Path: "rail[0].stock", Value: "3 m"}, {Path: "rail[1].stock", Value: "3 m"}},
	} {
		for _, units := range []quantity.System{quantity.Metric, quantity.US} {
			var out bytes.Buffer
			if err := ProofTestText(&out, sluiceCrossing(t, units, changes...), TextOptions{Units: units}); err != nil {
				t.Fatal(err)
			}
			for line := range strings.Lines(out.String()) {
				if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 {
					t.Errorf("%s, in %s units: %d columns: %s", name, units, n, line)
				}
			}
		}
	}
}

// A result in JSON keeps what the words rest on, in SI.
func TestProofTestJSONHasTheNumbers(t *testing.T) {
	s := sluiceCrossing(t, quantity.Metric)
	var out bytes.Buffer
	if err := ProofTestJSON(&out, s); err != nil {
		t.Fatal(err)
	}
	var read struct {
		Load struct {
			Force float64 `json:"force_N"`
		} `json:"load"`
		Found []struct {
			Stiffness *float64 `json:"stiffness_Nm_per_rad"`
		} `json:"found"`
	}
	if err := json.Unmarshal(out.Bytes(), &read); err != nil {
		t.Fatal(err)
	}
	if read.Load.Force != 450 || len(read.Found) != 2 || *read.Found[0].Stiffness < 41e3 || *read.Found[0].Stiffness > 43e3 {
		t.Errorf("read %+v, want 300 N/m x 1.5 m and some 42 kNm/rad", read)
	}
}
