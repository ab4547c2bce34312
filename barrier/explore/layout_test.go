package explore

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// yard is a barrier with one rail that is cut at every post: [run] and what else is given stand
// in it.
func yard(run string, more ...string) string {
	return `title = "Yard"
basis = "EN"
[run]
` + run + `
toe_plate = "none"
[post]
tube = "EN 10219 48.3x3.2"
grade = "S235JRH"
height = "1100 mm"
[post.base]
stiffness = "rigid"
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10219 60.3x5.0"
grade = "S355J2H"
through = false
[[load]]
name = "people"
kind = "line"
value = "0.74 kN/m"
direction = "outward"
[limits]
deflection = "none"
[scope]
leave_out = ["fitting", "base"]
` + strings.Join(more, "\n")
}

func read(t testing.TB, text string) *barrier.Document {
	t.Helper()
	doc, err := barrier.Read("yard.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func parsed(t testing.TB, text string) *barrier.Definition {
	t.Helper()
	d, err := barrier.Parse("yard.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestLayouts holds where posts stand against places counted by hand.
func TestLayouts(t *testing.T) {
	const gate = "[[gate]]\nfrom = \"4 m\"\nto = \"5 m\""
	for _, c := range []struct {
		name, text        string
		on, grid, spacing float64
		want              []float64
		odd               []int
		largest           float64
	}{
		{"equal bays", yard(`length = "9 m"` + "\n" + `spacing = "1.5 m"`), 0, 0, 3, []float64{0, 3, 6, 9}, nil, 3},
		{"equal bays no longer than that", yard(`length = "9 m"` + "\n" + `spacing = "1.5 m"`), 0, 0, 2.9, []float64{0, 2.25, 4.5, 6.75, 9}, nil, 2.25},
		{"another length", yard(`length = "9 m"` + "\n" + `spacing = "1.5 m"`), 6, 0, 3, []float64{0, 3, 6}, nil, 3},
		{"legs each for itself", yard(`legs = [{ length = "4 m" }, { length = "3 m", turn = "90 deg" }]` + "\n" + `spacing = "1.5 m"`), 0, 0, 1.5, []float64{0, 4. / 3, 8. / 3, 4, 5.5, 7}, nil, 1.5},
		{"beside a gate", yard(`length = "9 m"`+"\n"+`spacing = "1.5 m"`, gate), 0, 0, 2, []float64{0, 2, 4, 5, 7, 9}, nil, 2},
		{"on a grid", yard(`length = "9 m"` + "\n" + `spacing = "1.5 m"`), 0, 0.1, 1.6, []float64{0, 1.6, 3.2, 4.8, 6.4, 8, 9}, []int{5}, 1.6},
		{"on a grid, nothing left", yard(`length = "9 m"` + "\n" + `spacing = "1.5 m"`), 0, 0.5, 1.5, []float64{0, 1.5, 3, 4.5, 6, 7.5, 9}, nil, 1.5},
		{"on a grid, in one bay", yard(`length = "5.7 m"` + "\n" + `spacing = "1.5 m"`), 0, 0.5, 5.7, []float64{0, 5.7}, nil, 5.7},
		{"on a grid beside a gate", yard(`length = "9 m"`+"\n"+`spacing = "1.5 m"`, gate), 0, 0.5, 1.5, []float64{0, 1.5, 3, 4, 5, 6.5, 8, 9}, []int{2, 6}, 1.5},
		{"a list of posts", yard(`posts = ["1 m", "2 m", "5 m"]`), 0, 0, 2, []float64{1, 3, 5}, nil, 2},
		{"a list of posts, another length", yard(`posts = ["1 m", "2 m", "5 m"]`), 3, 0, 1.5, []float64{1, 2.5, 4}, nil, 1.5},
	} {
		g, err := groundOf(parsed(t, c.text), c.on, c.grid, quantity.Metric)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		l := g.at(c.spacing)
		same := slices.EqualFunc(l.supports, c.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-12 })
		if !same || !slices.Equal(l.odd, c.odd) || math.Abs(l.spacing-c.largest) > 1e-12 {
			t.Errorf("%s: posts at %v, odd bays %v, largest bay %g; want %v, %v, %g", c.name, l.supports, l.odd, l.spacing, c.want, c.odd, c.largest)
		}
		doc := read(t, c.text)
		d, err := doc.Definition(l.changes()...)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		} else if !slices.Equal(d.Supports(), l.supports) {
			t.Errorf("%s: the definition has posts at %v, the layout at %v", c.name, d.Supports(), l.supports)
		}
	}
}

// TestSpacings holds that every layout is among them, each once, against those that run.spacing
// gives as it is made smaller by 1 mm.
func TestSpacings(t *testing.T) {
	run := `legs = [{ length = "4 m" }, { length = "2.5 m", turn = "90 deg" }]` + "\n"
	g, err := groundOf(parsed(t, yard(run+`spacing = "1.5 m"`)), 0, 0, quantity.Metric)
	if err != nil {
		t.Fatal(err)
	}
	got, err := g.spacings(0.5)
	if err != nil {
		t.Fatal(err)
	}
	doc := read(t, yard(run+`spacing = "1.5 m"`))
	var want []float64
	for s := 4.0; s > 0.4995; s -= 0.001 {
		d, err := doc.Definition(barrier.Change{Path: "run.spacing", Value: fmt.Sprintf("%.4f m", s)})
		if err != nil {
			t.Fatal(err)
		}
		supports := d.Supports()
		largest := 0.0
		for i := 1; i < len(supports); i++ {
			largest = math.Max(largest, supports[i]-supports[i-1])
		}
		if n := len(want); n == 0 || largest < want[n-1]-1e-9 {
			want = append(want, largest)
		}
	}
	if !slices.EqualFunc(got, want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
		t.Errorf("spacings %v, want %v", got, want)
	}
}

func TestWrongOptions(t *testing.T) {
	straight := yard(`length = "9 m"` + "\n" + `spacing = "1.5 m"`)
	legs := yard(`legs = [{ length = "4 m" }, { length = "3 m", turn = "90 deg" }]` + "\n" + `spacing = "1.5 m"`)
	gated := yard(`length = "9 m"`+"\n"+`spacing = "1.5 m"`, "[[gate]]\nfrom = \"4 m\"\nto = \"5 m\"")
	for _, c := range []struct {
		text string
		o    SpacingOptions
		want string
	}{
		{legs, SpacingOptions{On: 6}, "--on: the run has legs, and one length says nothing of each; leave it out and write the length of each leg in run.legs"},
		{gated, SpacingOptions{On: 5}, "--on: the run would end 5.000 m from its start, and a gap or gate ends 5.000 m from there; write a longer run, or take the gap out of the file"},
		{straight, SpacingOptions{Grid: 10}, `--grid: the grid is wider than the longest part of the run, which is 9.000 m long; write what a site can set out, such as --grid "50 mm" or --grid "2 in"`},
		{straight, SpacingOptions{Grid: 1e-4}, `--grid: nobody sets out posts so finely; write what a site can set out, such as --grid "50 mm" or --grid "2 in"`},
		{straight, SpacingOptions{DownTo: 12}, "--down-to: no part of the run is so long: the longest is 9.000 m; write a smaller spacing"},
		{straight, SpacingOptions{DownTo: 1e-5}, "--down-to: the run has more than 10000 layouts down to there; write a larger spacing to stop at, or a coarser --grid"},
		{straight, SpacingOptions{On: 60000, Grid: 1e-3}, "--grid: the run has more than 10000 layouts on it; write a coarser grid"},
	} {
		_, err := LargestSpacing(t.Context(), read(t, c.text), c.o)
		if err == nil || err.Error() != c.want {
			t.Errorf("%+v: %v, want %s", c.o, err, c.want)
		}
	}
}

func TestPlaces(t *testing.T) {
	d := parsed(t, yard(`legs = [{ length = "6 m" }, { length = "4.5 m", turn = "90 deg" }]`+"\n"+`spacing = "1.5 m"`+"\n"+`start = "wall"`, "[[gate]]\nfrom = \"3 m\"\nto = \"4.5 m\""))
	// Supports: the wall at 0, posts at 1.5, 3, 4.5, 6 (the corner), 7.5, 9 and 10.5.
	odd := []int{6}
	for element, want := range map[string]string{
		"post 1":                "beside a wall",
		"post 2":                "beside a gate",
		"post 3":                "beside a gate",
		"post 4":                "corner",
		"post 5":                "inner",
		"post 6":                "beside the odd bay",
		"post 7":                "end, beside the odd bay",
		"fitting 5 top":         "inner",
		"corner fitting 4 top":  "corner",
		"rail top bay 1":        "beside a wall",
		"rail top bay 2":        "beside a gate",
		"rail top bay 4":        "beside a corner, beside a gate",
		"rail top bay 5":        "beside a corner",
		"rail top bay 6":        "inner",
		"rail top bay 7":        "end, odd bay",
		"rail top overhang end": "end",
		"rail top at the start": "wall",
		"splice top 8.000":      "inner",
		"test piece post 2":     "",
		"post 9":                "",
	} {
		if got := placeOf(d, odd, element); got != want {
			t.Errorf("%s stands %q, want %q", element, got, want)
		}
	}
}

func lockPlatform(t testing.TB) string {
	data, err := os.ReadFile("testdata/lock-platform.toml")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
