package report

import (
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"image/png"
	"io"
	"os"
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

// harshWalk is the life of the example in air so harsh that at the high rate the wall leaves the code and
// is gone, with nothing told of its fittings and feet.
func harshWalk(t *testing.T, units quantity.System) *explore.Life {
	t.Helper()
	found := harshWalks()[units]
	if found.err != nil {
		t.Fatal(found.err)
	}
	l := *found.life
	return &l
}

type foundLife struct {
	life *explore.Life
	err  error
}

var harshWalks = sync.OnceValue(func() map[quantity.System]foundLife {
	found := map[quantity.System]foundLife{}
	for _, units := range []quantity.System{quantity.Metric, quantity.US} {
		l, err := harshWalkIn(units)
		found[units] = foundLife{l, err}
	}
	return found
})

func harshWalkIn(units quantity.System) (*explore.Life, error) {
	data, err := os.ReadFile("../../testdata/spray-walk.toml")
	if err != nil {
		return nil, err
	}
	text := strings.NewReplacer(`"C4"`, "\"C5\"\nsteel_rate = [\"100 um/year\", \"200 um/year\"]", `"ISO 1461"`, `"none"`, `at_fitting = 1.5`, "").Replace(string(data))
	d, err := barrier.Parse("harsh-walk.toml", []byte(text))
	if err != nil {
		return nil, err
	}
	return explore.LifeOf(context.Background(), d, explore.LifeOptions{Years: 20, Units: units})
}

func TestLifeReports(t *testing.T) {
	l := harshWalk(t, quantity.Metric)
	o := TextOptions{Units: quantity.Metric}
	for ending, write := range map[string]func(io.Writer) error{
		".txt":  func(w io.Writer) error { return LifeText(w, l, o) },
		".json": func(w io.Writer) error { return LifeJSON(w, l) },
		".csv":  func(w io.Writer) error { return LifeCSV(w, l) },
		".svg":  func(w io.Writer) error { return LifeSVG(w, l, o) },
		".html": func(w io.Writer) error { return LifeHTML(w, l, o) },
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
		golden.Check(t, "testdata/life"+ending, out.Bytes())
	}
}

func TestLifeTextHolds80Columns(t *testing.T) {
	for _, units := range []quantity.System{quantity.Metric, quantity.US} {
		var out bytes.Buffer
		if err := LifeText(&out, harshWalk(t, units), TextOptions{Units: units}); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(out.String()) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 {
				t.Errorf("in %s units: %d columns: %s", units, n, line)
			}
		}
	}
}

// A year whose walls the code does not cover, or at which none is left, has no utilisation, and passes in no
// format.
func TestLifeNeverPassesWhatWasNotJudged(t *testing.T) {
	l := harshWalk(t, quantity.Metric)
	seen := map[check.Status]int{}
	for _, r := range l.Rates {
		for _, row := range r.Rows {
			if row.Status == explore.NotCovered || row.LeastWall == nil {
				seen[row.Status]++
				if row.Utilisation != nil || row.Reason == "" || len(row.Checks) > 0 {
					t.Errorf("%s rate, year %g: %+v", r.Rate, row.Year, row)
				}
			}
		}
	}
	if seen[explore.NotCovered] == 0 || seen[check.Fail] == 0 || len(seen) != 2 {
		t.Errorf("of the example %v are not judged", seen)
	}
	var out bytes.Buffer
	if err := LifeCSV(&out, l); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(out.String()) {
		if cells := strings.Split(line, ","); len(cells) > 4 && cells[2] == "not covered" && cells[3] != "" {
			t.Errorf("CSV has a utilisation of what is not covered: %s", line)
		}
	}
}

// JSON has the life as it is, with null for what there is not.
func TestLifeJSON(t *testing.T) {
	var out bytes.Buffer
	if err := LifeJSON(&out, harshWalk(t, quantity.Metric)); err != nil {
		t.Fatal(err)
	}
	var read struct {
		Schema   int
		Status   string
		Cautions []struct{ ID string }
		Rates    []struct {
			Rate         string
			FirstFailure *struct{ Year float64 } `json:"first_failure"`
			Rows         []map[string]any
		}
		Coatings []map[string]any
	}
	if err := json.Unmarshal(out.Bytes(), &read); err != nil {
		t.Fatal(err)
	}
	if read.Schema != 1 || len(read.Rates) != 3 || read.Cautions[0].ID != "C1" || len(read.Rates[0].Rows) != 21 || read.Rates[2].FirstFailure == nil {
		t.Errorf("read %+v", read)
	}
}

// The plot is a drawing that any reader opens, and the same in dots.
func TestLifePlots(t *testing.T) {
	l := harshWalk(t, quantity.Metric)
	var svg, dots bytes.Buffer
	if err := LifeSVG(&svg, l, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	var drawing struct {
		Role  string `xml:"role,attr"`
		Title string `xml:"title"`
		Desc  string `xml:"desc"`
	}
	if err := xml.Unmarshal(svg.Bytes(), &drawing); err != nil || drawing.Role != "img" || !strings.Contains(drawing.Desc, check.PreCheck) || !strings.Contains(drawing.Title, l.Title) {
		t.Errorf("%+v, %v", drawing, err)
	}
	if err := LifePNG(&dots, l, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	image, err := png.Decode(&dots)
	if err != nil {
		t.Fatal(err)
	}
	dark := 0
	for x := range image.Bounds().Dx() {
		for y := range image.Bounds().Dy() {
			r, g, b, a := image.At(x, y).RGBA()
			if r != g || g != b || a != 0xffff {
				t.Fatalf("a dot of colour, or none, at %d, %d", x, y)
			}
			if r < 0x4000 {
				dark++
			}
		}
	}
	if dark < 1000 {
		t.Errorf("%d dots of ink", dark)
	}
}

// Where tubes have coatings of their own the plot says of which each year is: 55 um of ISO 1461 on walls
// above 3 mm and 45 um on others, in air that takes 5 um a year.
func TestPlotNamesTubesOfUnlikeCoatings(t *testing.T) {
	gone := func(years float64) *float64 { return &years }
	l := &explore.Life{Years: 50, Rates: []explore.LifeRate{{Rate: "high"}}, Coatings: []explore.LifeCoating{
		{Elements: "posts", Surface: "outside between fittings", High: gone(11)},
		{Elements: "rail top", Surface: "outside between fittings", High: gone(9)},
		{Elements: "posts", Surface: "outside at the foot", High: gone(5.5)},
	}}
	const want = "outside between fittings (posts) from year 11.0, outside between fittings (rail top) from year 9.0, outside at the foot from year 5.5"
	if got := goneWords(l); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
