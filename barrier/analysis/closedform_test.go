package analysis_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/solver"
)

// Closed forms. Posts that stand for unyielding supports have 1e6 times their
// tube's E: the support then gives by some 1e-6 of the rail's own deflection,
// which the digits printed here do not see.

const (
	aisc   = "AISC Steel Construction Manual, Table 3-22c and 3-23, continuous beams of equal spans (memory)"
	moving = "AISC Table 3-23, two spans, point load anywhere (memory): M1 = Pab(L+a)/(4L^2), its largest value by calculus"
)

// supported is a rail over bays of L on unyielding posts.
func supported(t *testing.T, bays int, length float64, load string) (*analysis.Analysis, *barrier.Member) {
	p := oneRail(evenly(bays+1, length), 1.1, math.Inf(1), load)
	d := p.definition(t)
	stiffen(&d.Post.Member, 1e6)
	return ready(t, d), &d.Rails[0].Member
}

// whole is the action over the whole run, variable actions alone.
func whole(a *analysis.Analysis) *analysis.Placed {
	x := a.Definition.Run.Posts
	act := a.Actions[0]
	return &analysis.Placed{
		Combination: &analysis.Combination{Level: analysis.Service, Variable: 1},
		Placement: analysis.Placement{
			Action: act, Value: act.Value, Way: [3]float64{1}, Whole: true,
			Lengths: []solver.Length{{From: x[0], To: x[len(x)-1]}},
		},
	}
}

// sagging is the bending that an outward load causes between posts; hogging that
// over a post. Both fall when the moment turns, so they bring their bound.
func sagging() analysis.Measure {
	return analysis.Measure{Of: func(s *analysis.State) float64 { return -s.Mz }, Bound: func(s *analysis.State) float64 { return math.Abs(s.Mz) }}
}

func hogging() analysis.Measure {
	return analysis.Measure{Of: func(s *analysis.State) float64 { return s.Mz }, Bound: func(s *analysis.State) float64 { return math.Abs(s.Mz) }}
}

// foot returns the largest value of a measure at a post's foot under the variable
// action alone.
func foot(a *analysis.Analysis, post int, f func(*analysis.State) float64) analysis.Placed {
	return a.Worst(a.Post(post).Probes[0], 0, analysis.Service, measure(f))
}

// overPost returns the same in a rail just after a post.
func overPost(a *analysis.Analysis, post int, m analysis.Measure) analysis.Placed {
	return a.Worst(a.Rail(0).Probes[post], 0, analysis.Service, m)
}

func along1(a *analysis.Analysis, m analysis.Measure) analysis.Placed {
	return a.WorstAlong(a.Rail(0), analysis.Service, []analysis.Measure{m})[0]
}

// row is one line of a table of checks: value and tolerance as printed.
type row struct {
	name, source string
	got, want    float64
	tol          float64 // half a unit of the last printed digit
}

// outside puts a row into the record, under a name that it has in common with others, and
// checks it. A source that is told from memory says so; the others are closed forms and statics.
func (r *row) outside(t *testing.T, record *verification.Record, in string) {
	t.Helper()
	r.check(t)
	if r.want == 0 {
		return // what is found for it is rounding
	}
	known := verification.Derived
	if strings.Contains(r.source, "(memory)") {
		known = verification.Memory
	}
	record.From(in, r.source, known).Add(r.name, r.want, r.got)
}

// sought returns a place that is searched to the digits in which processors agree.
func sought(v float64) float64 { return math.Round(v*1e5) / 1e5 }

func (r *row) check(t *testing.T) {
	t.Helper()
	if !(math.Abs(r.got-r.want) <= r.tol) {
		t.Errorf("%s = %.7g, want %g +- %g (source: %s)", r.name, r.got, r.want, r.tol, r.source)
	}
}

func TestLineLoadOnEqualSpans(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const w, length = 740.0, 1.5
	const load = w * length
	line := own("line", "0.74 kN/m", "top", "outward")
	spans := map[int]*analysis.Analysis{}
	var rail *barrier.Member
	for n := 2; n <= 5; n++ {
		spans[n], rail = supported(t, n, length, line)
	}
	reaction := func(n int) float64 { // of the first inner post, the whole run loaded
		return math.Abs(spans[n].Trace(spans[n].Post(1), whole(spans[n]))[0].State.Vy) / load
	}
	pattern := foot(spans[3], 1, shear)
	hog := overPost(spans[3], 1, hogging())
	sag := along1(spans[3], sagging())
	move := along1(spans[3], measure(across))
	for _, r := range []row{
		{"two spans, all loaded, middle reaction / wL", aisc, foot(spans[2], 1, shear).Value / load, 1.25, 0.00001},
		{"two spans, all loaded, support moment / wL2", aisc, overPost(spans[2], 1, measure(moment)).Value / (load * length), 0.125, 0.00001},
		{"three spans, two adjacent loaded, reaction / wL", aisc, pattern.Value / load, 1.20, 0.005},
		{"three spans, two adjacent loaded, support moment / wL2", aisc + "; three moments, 1.75/15", hog.Value / (load * length), 1.75 / 15, 0.00001},
		{"three spans, outer two loaded, span moment / wL2", aisc + ", printed 0.1013; R^2/2 with R = 0.45", sag.Value / (load * length), 0.45 * 0.45 / 2, 0.00001},
		{"three spans, outer two loaded, deflection EI / wL4", aisc, move.Value * ei(rail) / (load * length * length * length), 0.0099, 0.00005},
		{"three spans, all loaded, first inner reaction / wL", aisc, reaction(3), 1.10, 0.005},
		{"four spans, all loaded, first inner reaction / wL", aisc, reaction(4), 1.143, 0.0005},
		{"five spans, all loaded, first inner reaction / wL", aisc, reaction(5), 1.132, 0.0005},
	} {
		r.outside(t, record, "continuous rail on unyielding posts")
	}
	lengths(t, "three spans, first inner support", &pattern.Placement, []solver.Length{{From: 0, To: 2 * length}})
	lengths(t, "three spans, support moment", &hog.Placement, []solver.Length{{From: 0, To: 2 * length}})
	lengths(t, "three spans, span moment", &sag.Placement, []solver.Length{{From: 0, To: length}, {From: 2 * length, To: 3 * length}})
	lengths(t, "three spans, deflection", &move.Placement, []solver.Length{{From: 0, To: length}, {From: 2 * length, To: 3 * length}})
	if two := foot(spans[2], 1, shear); !two.Placement.Whole {
		t.Errorf("two spans: the middle reaction is largest under %s, want the whole run", &two.Placement)
	}
}

// lengths holds a placement to the spans that the table loads: to 0.1 mm, for
// the posts give a millionth.
func lengths(t *testing.T, name string, got *analysis.Placement, want []solver.Length) {
	t.Helper()
	const near = 1e-4
	var joined []solver.Length
	for _, l := range got.Lengths {
		if n := len(joined); n > 0 && l.From-joined[n-1].To < near {
			joined[n-1].To = l.To
			continue
		}
		joined = append(joined, l)
	}
	ok := len(joined) == len(want)
	for i := range joined {
		ok = ok && math.Abs(joined[i].From-want[i].From) < near && math.Abs(joined[i].To-want[i].To) < near
	}
	if !ok {
		t.Errorf("%s: loaded over %v, want %v (source: %s)", name, got.Lengths, want, aisc)
	}
}

func TestMovingLoadOnTwoSpans(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const p, length = 900.0, 1.5
	a, _ := supported(t, 2, length, own("point", "0.9 kN", "top", "outward"))
	support := overPost(a, 1, measure(moment))
	inSpan := along1(a, sagging())
	for _, r := range []row{
		{"moving P, support moment / PL", moving, support.Value / (p * length), 1 / (6 * math.Sqrt(3)), 1e-5},
		{"moving P, support moment, load at / L", moving, sought(support.Placement.X / length), 1 / math.Sqrt(3), 1e-4},
		{"moving P, span moment / PL", moving, inSpan.Value / (p * length), 0.2074, 0.00005},
		{"moving P, span moment, load at / L", moving, sought(inSpan.Placement.X / length), 0.432, 0.0005},
		{"moving P, span moment, section at / L", moving, sought(inSpan.Station / length), 0.432, 0.0005},
	} {
		r.outside(t, record, "moving load on two spans")
	}
}

const statics = "statics of a rigid body on equal springs: R_i = P/n + P e x_i / sum x_j^2"

// rigidRail is nine posts under a rail of 1e6 times its stiffness. The rail still
// bends by some 1e-6 of what the posts give, times (run/height)^3, some thousand.
func rigidRail(t *testing.T, load string) *analysis.Analysis {
	p := oneRail(evenly(9, 1.0), 1.1, 60e3, load)
	d := p.definition(t)
	stiffen(&d.Rails[0].Member, 1e6)
	return ready(t, d)
}

func TestRigidRail(t *testing.T) {
	record := verification.New(t, verification.Placement)
	point := rigidRail(t, own("point", "0.9 kN", "top", "outward"))
	line := rigidRail(t, own("line", "0.5 kN/m", "top", "outward"))
	end := foot(point, 0, shear)
	adverse := foot(line, 0, shear)
	middle := foot(line, 4, shear)
	const w, length = 500.0, 1.0
	// R_1(x) = 1/9 + 4 (4 - x)/60 over bays, zero at x = 17/3; its positive part is a triangle.
	for _, r := range []row{
		{"rigid rail, nine posts, load at the end, R / P", statics, end.Value / 900, 1.0/9 + 16.0/60, 1e-3},
		{"rigid rail, end post, adverse length, R / wL", statics + ", integrated where positive", adverse.Value / (w * length), 0.5 * 17 / 3 * (1.0/9 + 16.0/60), 1e-3},
		{"rigid rail, end post, adverse length ends at / L", statics, sought(adverse.Placement.Lengths[0].To / length), 17.0 / 3, 0.01},
		{"rigid rail, middle post, whole run, R / wL", statics, middle.Value / (w * length), 8.0 / 9, 1e-3},
	} {
		r.outside(t, record, "rigid rail on nine posts")
	}
	for i, p := range line.Frame.Posts {
		got := math.Abs(line.Trace(line.Post(i), whole(line))[0].State.Vy) / (w * length)
		(&row{fmt.Sprintf("rigid rail, whole run, post at x = %g m, R / wL", p.X), statics, got, 8.0 / 9, 1e-3}).outside(t, record, "rigid rail on nine posts")
	}
	if end.Placement.X != 0 {
		t.Errorf("the end post is loaded most by %s, want x = 0", &end.Placement)
	}
}

func TestCantileverOnFootSpring(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const source = "P h^3/(3 E I) + P h^2/k, statics; 48.3x3.2, 1.5 kN, 1.1 m, 60 kNm/rad"
	top := func(stiffness float64) float64 {
		p := oneRail(evenly(2, 1.5), 1.1, stiffness, own("point", "1.5 kN", "top", "outward"))
		p.tube = "EN 10219 48.3x3.2"
		a := ready(t, p.definition(t))
		found := a.WorstAlong(a.Post(0), analysis.Service, []analysis.Measure{measure(across)})[0]
		return found.Value * 1e3
	}
	rigid, sprung := top(math.Inf(1)), top(60e3)
	(&row{"cantilever, bending part, mm", source, rigid, 27.35, 0.005}).outside(t, record, "cantilever on a foot spring, 48.3x3.2")
	(&row{"cantilever, foot part, mm", source, sprung - rigid, 30.25, 0.005}).outside(t, record, "cantilever on a foot spring, 48.3x3.2")
}

// A rail of a millionth of its tube's stiffness holds no post that stands 1.5 m
// from the next: under a load on the post it shares some 1e-6 of it. (A load just
// beside the post pulls it further, as in any continuous rail; the search finds
// that one.)
func TestRailOfNoStiffnessLeavesTheLoneCantilever(t *testing.T) {
	record := verification.New(t, verification.Placement)
	p := oneRail(evenly(5, 1.5), 1.1, math.Inf(1), own("point", "0.9 kN", "top", "outward"))
	d := p.definition(t)
	stiffen(&d.Rails[0].Member, 1e-6)
	a := ready(t, d)
	for i, x := range d.Run.Posts {
		on := placedPoint(a, min(i, 3), x)
		trace := a.Trace(a.Post(i), on)
		base, top := trace[0].State, trace[len(trace)-1].State
		(&row{fmt.Sprintf("post %d, base moment / Ph", i+1), "statics of a cantilever", base.Moment() / (900 * 1.1), 1, 1e-5}).outside(t, record, "lone cantilever")
		(&row{fmt.Sprintf("post %d, deflection 3EI/Ph3", i+1), "P h^3/(3 E I)", top.Across * 3 * ei(&d.Post.Member) / (900 * 1.331), 1, 1e-5}).outside(t, record, "lone cantilever")
		if found := foot(a, i, moment); found.Value < base.Moment()*(1-slack) {
			t.Errorf("post %d: the search finds %g Nm, the load on the post gives %g Nm", i+1, found.Value, base.Moment())
		}
	}
}

// placedPoint puts the first action outward at x in a stretch, alone.
func placedPoint(a *analysis.Analysis, stretch int, x float64) *analysis.Placed {
	act := a.Actions[0]
	return &analysis.Placed{
		Combination: &analysis.Combination{Level: analysis.Service, Variable: 1},
		Placement:   analysis.Placement{Action: act, Value: act.Value, Way: [3]float64{1}, Stretch: stretch, X: x},
	}
}

// A load of any direction: a scalar a.n is largest at norm(a), a resultant |A n|
// at the largest singular value of A.
func TestVectorLoad(t *testing.T) {
	for _, word := range []string{"horizontal", "any", "outward to down"} {
		p := plan{
			posts: []float64{0, 1.3, 2.4, 4.1}, foot: 90e3, loads: []string{own("point", "1 kN", "top", "any")},
			rails:  []railPlan{{name: "top", height: 1.1}, {name: "knee", height: 0.6, splices: []float64{1.9}}},
			change: func(d *barrier.Definition) { d.Loads[0].Own.Direction.Word = word },
		}
		d := p.definition(t)
		a, ref := ready(t, d), newReference(t, d)
		_, vectors := ways(word, 30)
		for post := range d.Run.Posts {
			for _, m := range []named{{"axial", 0, axial}, {"shear along", 0, func(s *analysis.State) float64 { return math.Abs(s.Vz) }}, {"moment", 0, moment}} {
				found := foot(a, post, m.of)
				at := ref.spotOf(&found.Placement)
				var n, vz, my, mz []float64
				for _, e := range directions(vectors) {
					q := ref.members(a.Post(post))[0]
					st := ref.states(ref.pointCase(a.Actions[0], at, times(1000, e)), []place{q})[0]
					n, vz, my, mz = append(n, st.N), append(vz, st.Vz), append(my, st.My), append(mz, st.Mz)
				}
				want := map[string]float64{"axial": norm(n), "shear along": norm(vz), "moment": largestSingular(my, mz)}[m.name]
				// 1e-9 N: a load across the run has no shear along it.
				(&row{fmt.Sprintf("%s, post %d foot, %s", word, post+1, m.name), "linear algebra: norm(a), largest singular value of A", found.Value, want, 1e-9*want + 1e-9}).check(t)
			}
		}
	}
}

func norm(a []float64) float64 {
	sum := 0.0
	for _, v := range a {
		sum += v * v
	}
	return math.Sqrt(sum)
}

// largestSingular returns the largest singular value of the matrix of two rows:
// the root of the larger eigenvalue of the 2x2 matrix of their products.
func largestSingular(a, b []float64) float64 {
	var aa, ab, bb float64
	for i := range a {
		aa, ab, bb = aa+a[i]*a[i], ab+a[i]*b[i], bb+b[i]*b[i]
	}
	return math.Sqrt((aa+bb)/2 + math.Hypot((aa-bb)/2, ab))
}
