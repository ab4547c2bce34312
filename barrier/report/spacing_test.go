package report

import (
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"io"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/golden"
	"example.com/stanchion/internal/quantity"
)

// lockPlatform is the answer of a barrier where a splice decides: it has layouts that fail,
// pass and cannot be built, an odd bay, and feet of a range.
func lockPlatform(t *testing.T, units quantity.System) *explore.Spacing {
	t.Helper()
	found := lockPlatforms()[units]
	if found.err != nil {
		t.Fatal(found.err)
	}
	s := *found.spacing
	return &s
}

type foundSpacing struct {
	spacing *explore.Spacing
	err     error
}

// lockPlatforms is the answer in either system of units.
var lockPlatforms = sync.OnceValue(func() map[quantity.System]foundSpacing {
	found := map[quantity.System]foundSpacing{}
	for _, units := range []quantity.System{quantity.Metric, quantity.US} {
		s, err := lockPlatformIn(units)
		found[units] = foundSpacing{s, err}
	}
	return found
})

func lockPlatformIn(units quantity.System) (*explore.Spacing, error) {
	data, err := os.ReadFile("../explore/testdata/lock-platform.toml")
	if err != nil {
		return nil, err
	}
	text := strings.Replace(string(data), `"60 kNm/rad"`, `["60 kNm/rad", "90 kNm/rad"]`, 1)
	doc, err := barrier.Read("lock-platform.toml", []byte(text))
	if err != nil {
		return nil, err
	}
	return explore.LargestSpacing(context.Background(), doc, explore.SpacingOptions{Grid: 0.2, DownTo: 1.8, Units: units})
}

func TestSpacingReports(t *testing.T) {
	s := lockPlatform(t, quantity.Metric)
	o := TextOptions{Units: quantity.Metric}
	for ending, write := range map[string]func(io.Writer) error{
		".txt":  func(w io.Writer) error { return SpacingText(w, s, o) },
		".json": func(w io.Writer) error { return SpacingJSON(w, s) },
		".csv":  func(w io.Writer) error { return SpacingCSV(w, s) },
		".svg":  func(w io.Writer) error { return SpacingSVG(w, s, o) },
		".html": func(w io.Writer) error { return SpacingHTML(w, s, o) },
	} {
		var out, again bytes.Buffer
		if err := write(&out); err != nil {
			t.Fatal(err)
		}
		if err := write(&again); err != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
			t.Errorf("%s is not the same the second time (%v)", ending, err)
		}
		if !strings.Contains(strings.Join(strings.Fields(out.String()), " "), check.PreCheck) {
			t.Errorf("%s does not say that it is a pre-check", ending)
		}
		golden.Check(t, "testdata/spacing"+ending, out.Bytes())
	}
}

func TestSpacingTextHolds80Columns(t *testing.T) {
	for _, units := range []quantity.System{quantity.Metric, quantity.US} {
		var out bytes.Buffer
		if err := SpacingText(&out, lockPlatform(t, units), TextOptions{Units: units}); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(out.String()) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 {
				t.Errorf("in %s units: %d columns: %s", units, n, line)
			}
		}
	}
}

// The page stands alone, and its cautions come before anything else that is read.
func TestSpacingPageStandsAlone(t *testing.T) {
	s := lockPlatform(t, quantity.Metric)
	s.Title = `<script>alert("x")</script> & more`
	var out bytes.Buffer
	if err := SpacingHTML(&out, s, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	page := out.String()
	for _, not := range []string{"<script", "src=", `href="h`, "url(", "@import", `xmlns:xlink`} {
		if strings.Contains(page, not) {
			t.Errorf("the page has %q", not)
		}
	}
	_, body, _ := strings.Cut(page, "<body")
	if strings.Index(body, check.PreCheck) > strings.Index(body, "<h1") {
		t.Error("C1 does not come first")
	}
	for _, want := range []string{`role="img"`, "&lt;script&gt;", `lang="en-GB"`, "</html>"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page has no %q", want)
		}
	}
}

// The drawing is XML with a title, by the standard library's reader.
func TestSpacingDrawingIsNamed(t *testing.T) {
	s := lockPlatform(t, quantity.Metric)
	s.Title = `a < b & "c"`
	var out bytes.Buffer
	if err := SpacingSVG(&out, s, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	var drawing struct {
		XMLName xml.Name `xml:"svg"`
		Role    string   `xml:"role,attr"`
		Title   string   `xml:"title"`
		Desc    string   `xml:"desc"`
	}
	if err := xml.Unmarshal(out.Bytes(), &drawing); err != nil {
		t.Fatal(err)
	}
	if drawing.Role != "img" || !strings.HasPrefix(drawing.Title, s.Title) || !strings.Contains(drawing.Desc, check.PreCheck) {
		t.Errorf("role %q, title %q, description %q", drawing.Role, drawing.Title, drawing.Desc)
	}
}

// A row that was not checked has no utilisation and is no pass, in any format.
func TestSpacingNeverPassesWhatWasNotChecked(t *testing.T) {
	s := lockPlatform(t, quantity.Metric)
	var out bytes.Buffer
	if err := SpacingJSON(&out, s); err != nil {
		t.Fatal(err)
	}
	var read struct {
		Columns []struct {
			Rows []struct {
				Status      string
				Utilisation *float64
				Reason      string
			}
		}
	}
	if err := json.Unmarshal(out.Bytes(), &read); err != nil {
		t.Fatal(err)
	}
	unbuilt := 0
	for _, row := range read.Columns[0].Rows {
		if row.Status == string(explore.Refused) {
			unbuilt++
			if row.Utilisation != nil || row.Reason == "" {
				t.Errorf("a layout that is refused has %v and the reason %q", row.Utilisation, row.Reason)
			}
		}
	}
	if unbuilt == 0 {
		t.Error("no layout of the example is refused")
	}
}

// The plot tells a layout that is not checked in full from one that passes, and joins nothing across
// a layout that is refused.
func TestSpacingPlotMarks(t *testing.T) {
	u := 0.5
	s := &explore.Spacing{Columns: []explore.SpacingColumn{{Name: explore.AsDeclared, Rows: []explore.SpacingRow{
		{Spacing: 3, Status: check.Fail, Utilisation: &u}, {Spacing: 2.5, Status: explore.Refused},
		{Spacing: 2, Status: check.Incomplete, Utilisation: &u}, {Spacing: 1, Status: check.Pass, Utilisation: &u},
	}}}}
	c := spacingPlot(s, quantity.Metric).curves[0]
	if want := []mark{ring, square, dot}; !slices.Equal(c.marks, want) {
		t.Errorf("marks %v, want %v", c.marks, want)
	}
	if runs := c.runs(); len(runs) != 2 || len(runs[0]) != 1 || len(runs[1]) != 2 {
		t.Errorf("runs %v, want one point and then two", runs)
	}
}

// Text names the odd bay of each layout, and in US units gives spacings one way.
func TestSpacingTextTellsOddBays(t *testing.T) {
	for units, want := range map[quantity.System]string{quantity.Metric: "odd bay 2.600 m", quantity.US: `odd bay 8'6.36"`} { // 6 m - 3.4 m; 102.36 in
		var out bytes.Buffer
		if err := SpacingText(&out, lockPlatform(t, units), TextOptions{Units: units}); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(out.String(), want); n != 4 { // in three columns and among the layouts
			t.Errorf("%d times %q in\n%s", n, want, out.String())
		}
		_, checks, _ := strings.Cut(out.String(), "Each check: ")
		if (units == quantity.US) != strings.Contains(checks, `13'1.48"/13'9.35"`) { // 4.0 m and 4.2 m
			t.Errorf("the checks are\n%s", checks)
		}
	}
}
