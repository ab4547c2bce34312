package check

import (
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/sections"
)

// weathered is throughRails with an exposure and these lines of a scope.
func weathered(t *testing.T, exposure, scope string) *barrier.Definition {
	t.Helper()
	s := throughRails()
	s.load, s.limits, s.scope = machinery, "", scope
	s.run = "length = \"4.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = { height = \"120 mm\", gap = \"10 mm\" }"
	return parse(t, s.toml()+"\n[exposure]\n"+exposure+"\n")
}

// atYear is the result at a year, at the high rate.
func atYear(t *testing.T, d *barrier.Definition, year float64) *Result {
	t.Helper()
	aged, err := d.AtYear(year, sections.HighRate)
	if err != nil {
		t.Fatal(err)
	}
	return result(t, aged, Options{Trails: true})
}

const bareC3 = "category = \"C3\"\nlaw = \"linear\"\ninside = { tube = \"sealed\" }\n"

// Strength goes by the thinnest wall, stiffness by that between fittings: of posts of d = 48.3 mm with
// linear losses of 50 um a year (C3, high) and twice as much at the foot, after 10 years the one has lost
// 1.0 mm and the other 0.5 mm of its outside. Wpl = (d³ - di³)/6.
func TestStrengthGoesByTheThinnestWall(t *testing.T) {
	d := weathered(t, bareC3+"at_foot = 2\nat_fitting = 1", `leave_out = ["fitting", "base"]`)
	r := atYear(t, d, 10)
	post := d.Post.Ring
	od, di := post.OD-2e-3, post.OD-2*post.Wall
	want := d.Post.Grade.Fy * (od*od*od - di*di*di) / 6
	for _, c := range r.Checks {
		if c.ID == "post-bending" && math.Abs(c.Resistance-want) > 1e-4*want {
			t.Errorf("%s resists %g Nm, by the thinnest wall %g", c.Element, c.Resistance, want)
		}
	}
	row := r.Age.Walls[0]
	for _, v := range []struct{ got, want float64 }{
		{row.NewWall, post.Wall * 1e3}, {row.Wall, post.Wall*1e3 - 0.5}, {row.LeastWall, post.Wall*1e3 - 1}, {row.OD, post.OD*1e3 - 1}, {row.LeastOD, post.OD*1e3 - 2},
	} {
		if math.Abs(v.got-v.want) > 1e-6 {
			t.Errorf("walls %+v: %g, want %g", row, v.got, v.want)
		}
	}
	if row.Element != "posts" || r.Age.Year != 10 || r.Age.Rate != "high" {
		t.Errorf("age %+v", r.Age)
	}
}

// What is set out goes by the tubes as new: a tenth of a millimetre of rust breaks no rule of geometry.
func TestGeometryGoesByTheTubesAsNew(t *testing.T) {
	d := weathered(t, bareC3+"at_foot = 2\nat_fitting = 1", `leave_out = ["fitting", "base"]`)
	fresh, old := result(t, d, Options{}), atYear(t, d, 20)
	if len(fresh.Geometry) == 0 || !reflect.DeepEqual(fresh.Geometry, old.Geometry) {
		t.Errorf("geometry as new\n%+v\nand at year 20\n%+v", fresh.Geometry, old.Geometry)
	}
	aged, err := d.AtYear(20, sections.HighRate)
	if err != nil {
		t.Fatal(err)
	}
	if aged.TopOfRail() != d.TopOfRail() || aged.Solidity(0, 0) != d.Solidity(0, 0) || aged.Post.MassPerMetre() != d.Post.MassPerMetre() {
		t.Error("height, solidity or own weight change with the years")
	}
}

// What of corrosion nothing judges is unchecked at a year, so that it never passes; it is not asked for of the
// barrier as new.
func TestUncheckedCorrosion(t *testing.T) {
	const elsewhere = `leave_out = ["fitting", "base"]`
	for _, c := range []struct {
		exposure, scope string
		status          Status
		items           []string
	}{
		{bareC3, elsewhere, Incomplete, []string{"crevice and ground line not covered", "tubes under fittings not covered"}},
		{bareC3 + "at_foot = 1.5", elsewhere, Incomplete, []string{"tubes under fittings not covered"}},
		{bareC3 + "at_fitting = 1.5", elsewhere, Incomplete, []string{"crevice and ground line not covered"}},
		{bareC3 + "at_foot = 1.5\nat_fitting = 1.5", elsewhere, Pass, nil},
		{bareC3 + "at_foot = 1.5\nat_fitting = 1.5", `leave_out = ["base"]`, Incomplete, []string{"set screws and castings"}},
	} {
		d := weathered(t, c.exposure, c.scope)
		r := atYear(t, d, 5)
		var items []string
		for _, it := range r.Unchecked {
			if text, is := strings.CutPrefix(it.Item, "corrosion: "); is {
				items = append(items, text)
			}
		}
		if r.Status != c.status || !slices.Equal(items, c.items) {
			t.Errorf("%q: %s, unchecked %q, want %s, %q", c.exposure, r.Status, items, c.status, c.items)
		}
		fresh := result(t, d, Options{})
		if fresh.Age != nil || slices.ContainsFunc(fresh.Unchecked, func(it Item) bool { return it.Kind == OpenCorrosion }) {
			t.Errorf("%q: as new it has %+v and %+v", c.exposure, fresh.Age, fresh.Unchecked)
		}
		if !slices.ContainsFunc(fresh.Assumptions, func(s string) bool { return strings.HasPrefix(s, "The barrier is checked as new") }) {
			t.Errorf("%q: no assumption says that the barrier is checked as new", c.exposure)
		}
	}
}

// C6 and C10 come first at a year, and tested values are said to hold for another wall.
func TestCautionsOfAYear(t *testing.T) {
	triggered := func(r *Result, id string) bool {
		return slices.ContainsFunc(r.Cautions, func(c Caution) bool { return c.ID == id && c.Triggered })
	}
	d := weathered(t, bareC3, `leave_out = ["fitting", "base"]`)
	fresh, old := result(t, d, Options{}), atYear(t, d, 5)
	for _, id := range []string{"C6", "C10"} {
		if triggered(fresh, id) || !triggered(old, id) {
			t.Errorf("%s comes first as new: %t, at year 5: %t", id, triggered(fresh, id), triggered(old, id))
		}
	}
	slip := 500.0
	d.Fitting.Values, d.Fitting.SlipForce = barrier.Design, &slip
	says := func(c Caution) bool {
		return strings.Contains(c.Text, "hold for the wall that was tested; 2.95 mm is left of 3.2 mm")
	}
	if r := atYear(t, d, 5); !slices.ContainsFunc(r.Cautions, says) { // 5 years of 50 um
		t.Errorf("no caution of the tested wall among %+v", r.Cautions)
	}
}

// A wall that leaves the classes of the code is no fault of the file's.
func TestWornWallBeyondTheCode(t *testing.T) {
	d := weathered(t, "steel_rate = \"100 um/year\"\nzinc_rate = \"5 um/year\"\nlaw = \"linear\"\ninside = { tube = \"sealed\" }", "")
	aged, err := d.AtYear(29, sections.HighRate) // 0.3 mm of 3.2 mm is left
	if err != nil {
		t.Fatal(err)
	}
	_, err = Run(aged, Options{})
	var worn *WornError
	var problems barrier.Problems
	if !errors.As(err, &worn) || errors.As(err, &problems) || worn.Element != "posts" || math.Abs(worn.Wall-0.3e-3) > 1e-9 {
		t.Errorf("%v", err)
	}
	for _, want := range []string{"posts at year 29, high rate", "0.30 mm", "not covered by the code", "class 4"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not say %q", err, want)
		}
	}
}

// A trail tells how the wall comes from that as new.
func TestTrailOfAWornWall(t *testing.T) {
	r := atYear(t, weathered(t, bareC3+"at_foot = 2", `leave_out = ["fitting", "base"]`), 10)
	at := slices.IndexFunc(r.Checks, func(c CheckRow) bool { return c.ID == "post-bending" })
	steps := map[string]Step{}
	for _, s := range r.Trails[at].Steps {
		steps[s.Symbol] = s
	}
	if left := steps["t"]; left.Formula != "tnew - tlost" || math.Abs(left.Value-(steps["tnew"].Value-steps["tlost"].Value)) > 1e-9 || math.Abs(steps["tlost"].Value-1) > 1e-9 {
		t.Errorf("tnew %+v, tlost %+v, t %+v", steps["tnew"], steps["tlost"], left)
	}
}

// Every step of every check can be followed on worn walls too, of every kind of barrier.
func TestEveryStepOfWornTubesCanBeFollowed(t *testing.T) {
	for _, k := range kindsOfBarriers {
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			d, err := barrier.Parse(k.name+".toml", []byte(k.toml()+"\n[exposure]\ncategory = \"C3\"\nat_foot = 2\nat_fitting = 1.5\n"))
			if err != nil {
				t.Fatal(err)
			}
			aged, err := d.AtYear(10, sections.MiddleRate)
			if err != nil {
				t.Fatal(err)
			}
			holdFollowed(t, aged, k.want, k.wantSymbol)
		})
	}
}
