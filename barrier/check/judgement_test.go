package check

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

// slowest are the examples that take a second or more.
var slowest = map[string]bool{"boat-house.toml": true, "hangar-roof.toml": true, "inlet-channel.toml": true, "orchard-bank.toml": true, "screen-house-asd.toml": true, "screen-house-lrfd.toml": true}

// exampleFiles returns the example files, without the slowest under -short.
func exampleFiles(t *testing.T) []string {
	t.Helper()
	all, err := filepath.Glob("../../testdata/*.toml")
	if err != nil || len(all) == 0 {
		t.Fatalf("no examples: %v", err)
	}
	var out []string
	for _, file := range all {
		if !testing.Short() || !slowest[filepath.Base(file)] {
			out = append(out, file)
		}
	}
	return out
}

func readExample(t *testing.T, file string) *barrier.Definition {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	d, err := barrier.Parse(filepath.Base(file), data)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// A judgement is what Run finds, by another way through the same checks, and whether one fails is
// what its status says.
func TestJudgementIsThatOfRun(t *testing.T) {
	for _, file := range exampleFiles(t) {
		t.Run(filepath.Base(file), func(t *testing.T) { holdJudgement(t, readExample(t, file)) })
	}
}

// Variants of a short barrier: spacings, tubes, feet, loads and limits at random, and each tuned so
// that its governing utilisation lies just below 1 and just above.
func TestJudgementOfVariants(t *testing.T) {
	tubes := []string{"EN 10255 DN40 medium", "EN 10255 DN32 medium", "EN 10255 DN50 heavy", "EN 10219 33.7x2.6", "EN 10217 26.9x2.0"}
	feet := []any{"150 kNm/rad", "20 kNm/rad", "rigid", nil}
	loads := []map[string]any{
		{"schedule": "EN ISO 14122-3"},
		{"schedule": "EN 1991-1-1 UK v"},
		{"name": "people", "kind": "line", "value": "0.5 kN/m", "direction": "outward"},
		{"name": "crew", "kind": "point", "value": "0.6 kN", "direction": "horizontal"},
	}
	seeds := 12
	if testing.Short() {
		seeds = 4
	}
	doc := document(t, "gallery.toml")
	for seed := range seeds {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			random := rand.New(rand.NewPCG(7, uint64(seed)))
			post, rail := tubes[random.IntN(len(tubes))], tubes[random.IntN(len(tubes))]
			changes := []barrier.Change{
				{Path: "run.length", Value: "4.5 m"}, {Path: "run.spacing", Value: fmt.Sprintf("%d mm", []int{900, 1125, 1500, 2250}[random.IntN(4)])},
				{Path: "post.tube", Value: post}, {Path: "rail[0].tube", Value: rail}, {Path: "rail[1].tube", Value: rail},
				{Path: "post.grade", Value: gradeOf(post)}, {Path: "rail[0].grade", Value: gradeOf(rail)}, {Path: "rail[1].grade", Value: gradeOf(rail)},
				{Path: "rail[0].splices", Value: "none"}, {Path: "rail[1].splices", Value: "none"},
				{Path: "post.base.stiffness", Value: feet[random.IntN(len(feet))]},
				{Path: "load[0]", Value: loads[random.IntN(len(loads))]},
				{Path: "limits.deflection", Value: fmt.Sprintf("%d mm", 15+random.IntN(60))}, {Path: "limits.override", Value: true},
				{Path: "scope.leave_out", Value: []any{"fitting", "base", "geometry"}},
			}
			d, err := doc.Definition(changes...)
			if err != nil {
				t.Fatal(err)
			}
			r := holdJudgement(t, d)
			if moved := r.Governing.Deflection; moved.Utilisation != nil && *moved.Utilisation < 10 {
				demand := 0.0
				for i := range r.Checks {
					if moved.Names(&r.Checks[i]) {
						demand = r.Checks[i].Demand
					}
				}
				for _, u := range []float64{0.999, 1 - 1e-6, 1 + 1e-6, 1.001} { // by the limit itself
					near, err := doc.Definition(append(changes, barrier.Change{Path: "limits.deflection", Value: fmt.Sprintf("%.9f mm", demand/u)})...)
					if err != nil {
						t.Fatal(err)
					}
					holdJudgement(t, near)
				}
			}
		})
	}
}

// Barriers that are alike from both ends, of which a judgement searches one half: an even and an odd number
// of posts, fittings and feet among what is asked.
func TestJudgementOfMirroredBarriers(t *testing.T) {
	doc := document(t, "gallery.toml")
	for _, spacing := range []string{"1125 mm", "1500 mm"} {
		for _, load := range []map[string]any{
			{"schedule": "EN ISO 14122-3"},
			{"name": "people", "kind": "line", "value": "0.36 kN/m", "direction": "outward"},
			{"name": "crew", "kind": "point", "value": "0.3 kN", "direction": "horizontal"},
		} {
			t.Run(fmt.Sprint(spacing, load), func(t *testing.T) {
				d, err := doc.Definition(
					barrier.Change{Path: "run.length", Value: "4.5 m"}, barrier.Change{Path: "run.spacing", Value: spacing},
					barrier.Change{Path: "rail[0].splices", Value: "none"}, barrier.Change{Path: "rail[1].splices", Value: "none"}, barrier.Change{Path: "load[0]", Value: load},
					barrier.Change{Path: "scope.leave_out", Value: []any{"geometry"}},
				)
				if err != nil {
					t.Fatal(err)
				}
				c, err := calculate(d, Options{}, judged)
				if err != nil {
					t.Fatal(err)
				}
				if m := c.models[0]; m.light && !m.mirrored { // else second order counts
					t.Error("not mirrored")
				}
				holdJudgement(t, d)
			})
		}
	}
}

// Posts that are equal but for a trace of axial force, under rails whose splices are not known: what
// governs is told of the first.
func TestJudgementOfEqualPosts(t *testing.T) {
	d, err := document(t, "gallery.toml").Definition(
		barrier.Change{Path: "run.length", Value: "12 m"}, barrier.Change{Path: "rail[0].splices"}, barrier.Change{Path: "rail[1].splices"},
		barrier.Change{Path: "rail[1].through", Value: true}, barrier.Change{Path: "rail[1].stock", Value: "6 m"},
	)
	if err != nil {
		t.Fatal(err)
	}
	r := holdJudgement(t, d)
	if g := r.Governing.Overall; g.ID != "post-bending" || g.Element != "post 1" {
		t.Errorf("%s of %s governs, want post-bending of post 1", g.ID, g.Element)
	}
}

// Strength tuned by an own load to just below 1 and just above.
func TestFailsNearTheLimitOfStrength(t *testing.T) {
	s := throughRails()
	s.limits = "deflection = \"none\""
	for _, direction := range []string{"outward", "down"} {
		of := func(load float64) *barrier.Definition {
			s.load = fmt.Sprintf("kind = \"line\"\nvalue = \"%.9f kN/m\"\ndirection = %q\nname = \"people\"", load, direction)
			return s.definition(t)
		}
		low, high := 0.05, 50.0
		for range 24 {
			middle := math.Sqrt(low * high)
			if _, fails, err := Fails(of(middle)); err != nil {
				t.Fatal(err)
			} else if fails {
				high = middle
			} else {
				low = middle
			}
		}
		if high/low > 1+1e-5 {
			t.Fatalf("%s: fails from %g kN/m on and not at %g", direction, high, low)
		}
		for _, load := range []float64{low * 0.999, low, high, high * 1.001} {
			r := holdJudgement(t, of(load))
			if u := r.Governing.Overall.Utilisation; u == nil || math.Abs(*u-1) > 0.1 {
				t.Errorf("%s: %g kN/m gives %s, which is not near 1", direction, load, use(u))
			}
		}
	}
}

// Stainless tubes far beyond their strength, whose movements second order raises.
func TestJudgementOfSlightStainlessTubes(t *testing.T) {
	doc := document(t, "gallery.toml")
	var changes []barrier.Change
	for _, member := range []string{"post", "rail[0]", "rail[1]"} {
		changes = append(changes, barrier.Change{Path: member + ".tube", Value: "EN 10217 26.9x2.0"}, barrier.Change{Path: member + ".grade", Value: "EN 10217-7 1.4301"})
	}
	d, err := doc.Definition(changes...)
	if err != nil {
		t.Fatal(err)
	}
	holdJudgement(t, d)
}

// gradeOf returns a grade of the standard of a tube.
func gradeOf(tube string) string {
	switch {
	case strings.HasPrefix(tube, "EN 10255"):
		return "S195T"
	case strings.HasPrefix(tube, "EN 10217"):
		return "EN 10217-7 1.4301"
	}
	return "S235JRH"
}

// Posts that are alike from both ends have feet that need not be: three bolts turned by 45 degrees stand otherwise
// to a load from the one side than from the other.
func TestJudgementOfTwinsOnOddBolts(t *testing.T) {
	d, err := barrier.Parse("bolts.toml", []byte(`basis = "AISC-LRFD"
[run]
posts = ["0 mm", "625 mm"]
toe_plate = "none"
[post]
tube = "ASTM A500 1.900x0.145"
grade = "Grade C to 2018"
height = "1010 mm"
[post.base]
stiffness = "rigid"
kind = "flange"
socket_moment = "1.6 kNm"
socket_uplift = "4 kN"
socket_twist = "0.2 kNm"
values = "design"
[post.base.flange]
bolts = 3
circle = "110 mm"
turned = "45 deg"
diameter = "150 mm"
tension = "14 kN"
shear = "9 kN"
values = "design"
[[rail]]
name = "top"
height = "950 mm"
tube = "ASTM A500 1.900x0.145"
grade = "Grade C to 2018"
through = false
[[rail]]
name = "knee"
height = "624 mm"
tube = "ASTM A500 1.900x0.145"
grade = "Grade C to 2018"
through = true
stock = "2 m"
[fitting]
moment = "4 kNm/rad"
offset = "-45 mm"
slip_force = "5 kN"
slip_moment = "250 Nm"
moment_resistance = "700 Nm"
transverse_force = "8 kN"
values = "design"
[[load]]
schedule = "29 CFR 1910.29"
[limits]
deflection = "40 mm"
override = true
`))
	if err != nil {
		t.Fatal(err)
	}
	r := holdJudgement(t, d)
	largest := map[string]float64{}
	for i := range r.Checks {
		if row := &r.Checks[i]; row.ID == "base-flange-interaction" {
			largest[row.Element] = *row.Utilisation
		}
	}
	if a, b := largest["post 1"], largest["post 2"]; !(math.Abs(a-b) > 1e-3*b) {
		t.Errorf("the feet of both posts come to %v and %v: they were to differ", a, b)
	}
}

func document(t *testing.T, name string) *barrier.Document {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	doc, err := barrier.Read(name, data)
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// holdJudgement holds Judge and Fails against Run.
func holdJudgement(t *testing.T, d *barrier.Definition) *Result {
	t.Helper()
	r, err := Run(d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	j, err := Judge(d)
	if err != nil {
		t.Fatal(err)
	}
	compareJudgement(t, j, r)
	holdGoverning(t, r)
	found, fails, err := Fails(d)
	if err != nil {
		t.Fatal(err)
	}
	if fails != (r.Status == Fail) {
		t.Fatalf("fails %v (%s of %s %s), want status %s, governing %+v", fails, found.ID, found.Element, use(found.Utilisation), r.Status, r.Governing)
	}
	if fails {
		holdFailure(t, &found, r)
	}
	both, failure, failed, err := JudgeUnlessFails(d)
	switch {
	case err != nil:
		t.Fatal(err)
	case failed != fails || !reflect.DeepEqual(failure, found):
		t.Errorf("unless it fails: %v, %+v, want %v, %+v", failed, failure, fails, found)
	case !failed && !reflect.DeepEqual(both, j):
		t.Errorf("judged after all: %+v, want %+v", both, j)
	}
	return r
}

// holdGoverning holds what governs against the rows: it is the first of the worst of its check.
func holdGoverning(t *testing.T, r *Result) {
	t.Helper()
	for _, ref := range []CheckRef{r.Governing.Overall, r.Governing.Strength, r.Governing.Deflection} {
		var worst *CheckRow
		for i := range r.Checks {
			if row := &r.Checks[i]; row.ID == ref.ID && row.Status != Unchecked && (worst == nil || isWorse(row, worst)) {
				worst = row
			}
		}
		if worst != nil && !ref.Names(worst) {
			t.Errorf("%s of %s %s governs, and the worst is of %s %s", ref.ID, ref.Element, use(ref.Utilisation), worst.Element, use(worst.Utilisation))
		}
	}
}

// compareJudgement holds a judgement against a result.
func compareJudgement(t *testing.T, j *Judgement, r *Result) {
	t.Helper()
	if j.Status != r.Status || j.ScopeComplete != r.ScopeComplete || j.Feet != len(r.Posts) {
		t.Errorf("status %s, scope complete %v, %d feet, want %s, %v, %d", j.Status, j.ScopeComplete, j.Feet, r.Status, r.ScopeComplete, len(r.Posts))
	}
	if g, w := j.Governing.Geometry, r.Governing.Geometry; g != w {
		t.Errorf("geometry %q, want %q", g, w)
	}
	if broken := slices.DeleteFunc(slices.Clone(r.Geometry), func(g GeometryRow) bool { return g.Status != Fail }); !slices.Equal(j.Geometry, broken) {
		t.Errorf("geometry rules that fail: %+v, want %+v", j.Geometry, broken)
	}
	for _, g := range []struct {
		what      string
		got, want CheckRef
	}{
		{"overall", j.Governing.Overall, r.Governing.Overall}, {"strength", j.Governing.Strength, r.Governing.Strength},
		{"deflection", j.Governing.Deflection, r.Governing.Deflection}, {"first yield", j.Governing.FirstYield, r.Governing.FirstYield},
	} {
		if g.got.ID != g.want.ID || g.got.Element != g.want.Element || use(g.got.Utilisation) != use(g.want.Utilisation) {
			t.Errorf("governing %s: %s of %s %s, want %s of %s %s", g.what, g.got.ID, g.got.Element, use(g.got.Utilisation), g.want.ID, g.want.Element, use(g.want.Utilisation))
		}
	}
	want, order := map[string]*CheckRow{}, []string{}
	for i := range r.Checks {
		row := &r.Checks[i]
		worst := want[row.ID]
		if worst == nil {
			order = append(order, row.ID)
		}
		if worst == nil || isWorse(row, worst) {
			want[row.ID] = row
		}
	}
	if len(order) != len(j.Checks) {
		t.Fatalf("%d checks, want %d", len(j.Checks), len(order))
	}
	for i, id := range order {
		g, w := j.Checks[i], want[id]
		if g.ID != w.ID || g.Element != w.Element || g.Status != w.Status || use(g.Utilisation) != use(w.Utilisation) {
			t.Errorf("%s of %s: %s %s, want %s of %s: %s %s", g.ID, g.Element, g.Status, use(g.Utilisation), w.ID, w.Element, w.Status, use(w.Utilisation))
		}
	}
	if len(j.Unchecked) != len(r.Unchecked) {
		t.Fatalf("unchecked %+v, want %+v", j.Unchecked, r.Unchecked)
	}
	for i := range r.Unchecked {
		if j.Unchecked[i] != r.Unchecked[i] {
			t.Errorf("unchecked %+v, want %+v", j.Unchecked[i], r.Unchecked[i])
		}
	}
	moment, uplift, slip, moved := 0.0, 0.0, 0.0, 0.0
	for i := range r.Posts {
		moment, moved = math.Max(moment, r.Posts[i].BaseMoment), math.Max(moved, r.Posts[i].TopDeflection)
	}
	for i := range r.Rails {
		moved = math.Max(moved, r.Rails[i].Deflection)
	}
	for i := range r.BaseActions {
		if a := &r.BaseActions[i]; a.Level == "design" && a.ExtremeOf == "Fz+" {
			uplift = math.Max(uplift, a.Fz)
		}
	}
	for i := range r.Fittings {
		slip = math.Max(slip, math.Abs(r.Fittings[i].Slip))
	}
	for _, v := range []struct {
		what      string
		got, want float64
	}{{"base moment", j.BaseMoment, moment}, {"uplift", j.BaseUplift, uplift}, {"slip", j.Slip, slip}, {"deflection", j.Deflection, moved / 1e3}} {
		if math.Abs(v.got-v.want) > 1e-12*math.Abs(v.want) {
			t.Errorf("%s %.12g, want %.12g", v.what, v.got, v.want)
		}
	}
}

// isWorse reports whether a row is worse than another of its id.
func isWorse(a, b *CheckRow) bool {
	rank := map[Status]int{Pass: 0, Unchecked: 1, Fail: 2}
	if rank[a.Status] != rank[b.Status] {
		return rank[a.Status] > rank[b.Status]
	}
	return b.Utilisation != nil && (a.Utilisation == nil || *a.Utilisation > *b.Utilisation*(1+1e-9))
}

// use prints a utilisation with every figure that it has.
func use(u *float64) string {
	if u == nil {
		return "none"
	}
	return fmt.Sprintf("%.9g", *u)
}

// holdFailure holds what was found to fail against the rows that fail.
func holdFailure(t *testing.T, found *Judged, r *Result) {
	t.Helper()
	for i := range r.Checks {
		if row := &r.Checks[i]; row.ID == found.ID && row.Status == Fail {
			return
		}
	}
	for i := range r.Geometry {
		if g := &r.Geometry[i]; found.ID == "geometry" && g.Rule == found.Element && g.Status == Fail {
			return
		}
	}
	t.Errorf("%s of %s was found to fail, and no row says so", found.ID, found.Element)
}
