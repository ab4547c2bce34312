package report

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/golden"
)

func document(t *testing.T, r *check.Result) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := JSON(&out, r); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestJSONLayout(t *testing.T) {
	golden.Check(t, "testdata/fixture.json", document(t, fixture()))
}

// The standard library's decoder is the second opinion: what it reads from our
// document is what its own encoder would have written, but for the inputs.
func TestJSONReadsBack(t *testing.T) {
	r := fixture()
	r.BaseActions = nil
	var got, want map[string]any
	if err := json.Unmarshal(document(t, r), &got); err != nil {
		t.Fatal(err)
	}
	other, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(other, &want); err != nil {
		t.Fatal(err)
	}
	for name, value := range want {
		if name == "inputs" {
			continue
		}
		if value == nil {
			value = []any{}
		}
		a, _ := json.Marshal(got[name])
		b, _ := json.Marshal(value)
		if !bytes.Equal(a, b) {
			t.Errorf("%s reads back as %s, want %s", name, a, b)
		}
		delete(got, name)
	}
	if len(got) != 1 {
		t.Errorf("fields besides those of the result: %v", got)
	}
}

func TestJSONHasTheFieldsOfAResult(t *testing.T) {
	var got map[string]json.RawMessage
	if err := json.Unmarshal(document(t, &check.Result{}), &got); err != nil {
		t.Fatal(err)
	}
	// Source: DEVELOPERS.md, The result.
	for name := range strings.FieldsSeq(`schema title basis status scope_complete cautions assumptions governing load_path foot models
		posts rails checks fittings ends base_actions hand_checks geometry unchecked left_out inputs sources trails diagrams self_check`) {
		value, ok := got[name]
		if !ok {
			t.Errorf("field %s is missing (source: DEVELOPERS.md, The result)", name)
		}
		if string(value) == "null" {
			t.Errorf("field %s is null in an empty result, want [] or an object", name)
		}
	}
}

func TestJSONNumbers(t *testing.T) {
	const source = "DEVELOPERS.md, Rounding: nine significant figures, no negative zero"
	for _, c := range []struct {
		value float64
		want  string
	}{
		{1.0 / 3, "0.333333333"}, {2e9 / 3, "666666667"}, {123456789012, "123456789000"}, {math.Copysign(0, -1), "0"},
		{0.1 + 0.2, "0.3"}, {-1.25, "-1.25"}, {1100, "1100"}, {1e-12, "1e-12"},
	} {
		var e jsonWriter
		if err := e.number(c.value); err != nil {
			t.Fatal(err)
		}
		if got := e.out.String(); got != c.want {
			t.Errorf("number(%v) = %s, want %s (source: %s)", c.value, got, c.want, source)
		}
	}
}

func TestJSONRefusesWhatJSONCannotHold(t *testing.T) {
	for _, value := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		r := fixture()
		r.Posts[1].BaseMoment = value
		var out bytes.Buffer
		err := JSON(&out, r)
		if err == nil {
			t.Errorf("%v is written as %s", value, out.String())
			continue
		}
		if !strings.Contains(err.Error(), "base_moment_Nm") {
			t.Errorf("the error for %v does not name the field: %v", value, err)
		}
		if out.Len() > 0 {
			t.Errorf("%v: %d bytes were written before the error", value, out.Len())
		}
	}
}

func TestJSONKeepsTheOrderOfInputs(t *testing.T) {
	r := &check.Result{Inputs: check.Inputs{{Key: "z", Text: "1 < 2 & \"so\""}, {Key: "a", Text: "\x01"}}}
	const want = `"inputs": {
    "z": "1 < 2 & \"so\"",
    "a": "\u0001"
  }`
	if got := string(document(t, r)); !strings.Contains(got, want) {
		t.Errorf("inputs are not\n%s\nin\n%s", want, got)
	}
}
