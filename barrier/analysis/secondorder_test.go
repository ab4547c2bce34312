package analysis_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/solver"
)

const beamColumn = "closed form: EI y'' = H(h - x) + P(δ - y), y' = M/k at the foot; Timoshenko and Gere, Theory of Elastic Stability, 2nd ed., 1.9 and 1.11 (memory)"

// leaningPost is a barrier whose middle post is a lone cantilever under a load at its top:
// its rail is cut at every post, and nothing else presses or pulls.
func leaningPost(t *testing.T, foot, load, elevation float64) (*analysis.Analysis, analysis.Placed) {
	t.Helper()
	p := oneRail(evenly(3, 1.5), 1.1, foot,
		own("point", fmt.Sprintf("%.3f N", load), "top", fmt.Sprintf(`{ azimuth = "90 deg", elevation = "%g deg" }`, elevation)))
	p.rails[0].cut = true
	a := ready(t, p.definition(t))
	return a, a.Worst(a.Post(1).Probes[0], 0, analysis.Service, measure(moment))
}

// beamColumnMoment is the moment at the foot of a cantilever of height h under H across and
// P down at its top, and how far that top moves.
func beamColumnMoment(ei, h, k, across, down float64) (moment, top float64) {
	u := h * math.Sqrt(down/ei)
	moment = across * h * math.Tan(u) / u / (1 - down*h*math.Tan(u)/(u*k))
	return moment, (moment - across*h) / down
}

// fallingForce is the critical force of a cantilever of height h on a foot of stiffness k:
// u tan u = k h/EI.
func fallingForce(ei, h, k float64) float64 {
	low, high := 0.0, math.Pi/2
	for range 60 {
		if u := (low + high) / 2; u*math.Tan(u) < k*h/ei {
			low = u
		} else {
			high = u
		}
	}
	return low * low * ei / (h * h)
}

// The lone post against tan(u)/u, on a rigid and on a soft foot, upright and pulled over.
// Of the movement 1 + 2/5 u² + 17/105 u⁴ ... under H a member's cubic gives 1/(1 - 2/5 u²),
// (17/105 - 4/25) u⁴ less: 0.0007 at the u² = 0.6 up to which members are left whole, and near
// the critical force 1/(1 - n) times that.
func TestLonePostInSecondOrder(t *testing.T) {
	record := verification.New(t, verification.Stability)
	const h = 1.1
	for _, foot := range []float64{math.Inf(1), 60e3} {
		for _, load := range []float64{2e3, 8e3, 20e3} {
			const elevation = -80.0
			a, found := leaningPost(t, foot, load, elevation)
			ei := ei(&a.Definition.Post.Member)
			across, down := load*math.Cos(elevation*math.Pi/180), -load*math.Sin(elevation*math.Pi/180)
			want, top := beamColumnMoment(ei, h, foot, across, down)
			n := down / fallingForce(ei, h, foot)
			bend, err := a.Bend(&found, 1, analysis.Lean{})
			if err != nil {
				t.Fatal(err)
			}
			state := bend.State(&found)
			name := fmt.Sprintf("foot %g Nm/rad, %g N", foot, load)
			tol := 7e-4 / (1 - n)
			(&row{name + ": base moment, Nm", beamColumn, state.Moment(), want, tol * want}).outside(t, record, "lone post in second order")
			if !(want > 1.01*across*h) {
				t.Errorf("%s: %v Nm is no second order", name, want)
			}
			last := a.Post(1).Probes[len(a.Post(1).Probes)-1]
			at := found
			at.Probe, at.Station = last, last.Length
			moved := bend.State(&at)
			(&row{name + ": top, m", beamColumn, math.Abs(moved.Across), top, tol * top}).outside(t, record, "lone post in second order")
			where, worst := bend.Worst(a.Post(1), (*analysis.State).Moment)
			if where.Probe != a.Post(1).Probes[0] || where.Station != 0 || math.Abs(worst.Moment()-state.Moment()) > 1e-12*want {
				t.Errorf("%s: the largest moment is %v at %v, want that of the foot", name, worst.Moment(), where.Station)
			}
			scaled, err := a.Bend(&found, 1.25, analysis.Lean{})
			if err != nil {
				t.Fatal(err)
			}
			want, _ = beamColumnMoment(0.8*ei, h, 0.8*foot, across, down)
			got := scaled.State(&found)
			(&row{name + ": base moment with 0.8 of every stiffness, Nm", beamColumn, got.Moment(), want, 7e-4 / (1 - n/0.8) * want}).outside(t, record, "lone post in second order")
		}
	}
}

// A post that leans by a slope is bent as if its vertical load had that part across it.
func TestLeanIsAForceAcross(t *testing.T) {
	record := verification.New(t, verification.Stability)
	const h, load, slope = 1.1, 8e3, 1.0 / 200
	a, found := leaningPost(t, 60e3, load, -80)
	across, down := load*math.Cos(80*math.Pi/180), load*math.Sin(80*math.Pi/180)
	for _, sign := range []float64{1, -1} {
		bend, err := a.Bend(&found, 1, analysis.Lean{Across: sign * slope})
		if err != nil {
			t.Fatal(err)
		}
		want, _ := beamColumnMoment(ei(&a.Definition.Post.Member), h, 60e3, across+sign*slope*down, down)
		got := bend.State(&found)
		(&row{fmt.Sprintf("leaning by %+g, base moment, Nm", sign*slope), beamColumn, got.Moment(), want, 1e-3 * want}).outside(t, record, "post that leans by 1/200")
	}
	bend, err := a.Bend(&found, 1, analysis.Lean{Along: slope})
	if err != nil {
		t.Fatal(err)
	}
	if got := bend.State(&found); !(math.Abs(got.My) > 0.1*slope*down*h) {
		t.Errorf("a lean along bends the post by %v Nm", got.My)
	}
}

// A load above the critical force of the post on its foot, u tan u = k h/EI, does not stand,
// and the level at which it falls is that force over the load.
func TestLonePostFalls(t *testing.T) {
	record := verification.New(t, verification.Stability)
	const h, foot, load = 1.1, 60e3, 60e3
	a, found := leaningPost(t, foot, load, -80)
	ei := ei(&a.Definition.Post.Member)
	critical := fallingForce(ei, h, foot)
	_, err := a.Bend(&found, 1, analysis.Lean{})
	fallen, ok := errors.AsType[*solver.InstabilityError](err)
	if !ok {
		t.Fatalf("error %v, want an instability", err)
	}
	(&row{"level of the fall", "u tan u = k h/EI; Timoshenko and Gere 2.1 (memory)", fallen.Level, critical / (load * math.Sin(80*math.Pi/180)), 1e-3}).outside(t, record, "post above its critical force")
}

// The parts of a rail that are pressed and run askew turn and turn about push aside the posts
// on which they meet, each by its compression times its slope at either end.
func TestKinkedRailPushesItsPosts(t *testing.T) {
	const load, slope = 3e3, 1.0 / 200
	p := oneRail(evenly(4, 1.5), 1.1, math.Inf(1), own("point", "3 kN", "top", "along"))
	p.rails[0].cut = true // a chain: what stands across a post is its own
	a := ready(t, p.definition(t))
	found := a.Worst(a.Rail(0).Probes[1], 0.75, analysis.Service, analysis.Measure{
		Of: func(s *analysis.State) float64 { return -s.N }, Bound: func(s *analysis.State) float64 { return math.Abs(s.N) }})
	if !(found.Value > load/4) {
		t.Fatalf("the rail is pressed by %v N", found.Value)
	}
	straight, err := a.Bend(&found, 1, analysis.Lean{})
	if err != nil {
		t.Fatal(err)
	}
	kinked, err := a.Bend(&found, 1, analysis.Lean{Bent: slope})
	if err != nil {
		t.Fatal(err)
	}
	var pressed [3]float64
	for i, p := range a.Rail(0).Probes {
		at := found
		at.Probe, at.Station = p, p.Length/2
		s := a.Replay(&at)
		pressed[i] = math.Max(0, -s.N)
	}
	// Turn and turn about: the first part to the left at its end, the second to the right.
	for i, want := range [4]float64{-pressed[0], pressed[0] + pressed[1], -pressed[1] - pressed[2], pressed[2]} {
		at := found
		at.Probe, at.Station = a.Post(i).Probes[0], 0
		was, is := straight.State(&at), kinked.State(&at)
		// In second order the parts lean more as their posts give way, by some part of
		// this: 3 kN over the chain's critical force of kL/4, with k of a post 3EI/h³.
		k := 3 * ei(&a.Definition.Post.Member) / (1.1 * 1.1 * 1.1)
		more := load / (k * 1.5 / 4)
		(&row{fmt.Sprintf("shear across post %d, over the slope", i+1), "statics of a kinked chain", (was.Vy - is.Vy) / slope, -want, 2*more*load + 1e-6}).check(t)
	}
}

// Posts that lean all lean the same way, whichever way their legs run: what the lean adds at
// the feet is its slope times all that stands on them, level and along the lean alone.
func TestLegsLeanTheSameWay(t *testing.T) {
	const slope = 1.0 / 200
	for _, kind := range []string{"point", "line"} {
		value := map[string]string{"point": "2 kN", "line": "1 kN/m"}[kind]
		p := bent(oneRail(evenly(4, 1.2), 1.1, 60e3, own(kind, value, "top", "down")), []int{2}, []float64{right}, []float64{0, 0})
		a := ready(t, p.definition(t))
		found := a.Worst(a.Post(3).Probes[0], 0, analysis.Strength, analysis.Measure{Of: func(s *analysis.State) float64 { return -s.N }, Bound: axial})
		onFeet := func(lean analysis.Lean) (sum solver.Vec) {
			bend, err := a.Bend(&found, 1, lean)
			if err != nil {
				t.Fatal(err)
			}
			for i, post := range a.Frame.Posts {
				at := found
				at.Probe, at.Station = a.Post(i).Probes[0], 0
				s := bend.State(&at)
				for k, axis := range a.Definition.Run.Axes(post.Leg) {
					force := [3]float64{-s.Vz, s.Vy, s.N}[k]
					for j := range sum {
						sum[j] += force * axis[j]
					}
				}
			}
			return sum
		}
		upright, leans := onFeet(analysis.Lean{}), onFeet(analysis.Lean{Across: slope})
		for k, want := range [2]float64{0, -slope * upright[2]} {
			(&row{kind + ": force added along axis " + "XY"[k:k+1], "statics", leans[k] - upright[k], want, 1e-6 * slope * -upright[2]}).check(t)
		}
	}
}

// Loads that push along the run stand on the legs at its ends, and say so.
func TestThrustsStandOnTheirLegs(t *testing.T) {
	p := bent(oneRail(evenly(4, 1.2), 1.1, 60e3, own("point", "1 kN", "top", "along")), []int{2}, []float64{right}, []float64{0, 0})
	a := ready(t, p.definition(t))
	last := a.Definition.Run.Posts[3]
	for _, thrust := range a.Thrusts(analysis.Strength) {
		at := thrust.Placement
		if want := a.Definition.Run.LegOf(at.X); at.Leg != want || at.X != 0 && at.X != last {
			t.Errorf("at x = %v on leg %d, want %d", at.X, at.Leg, want)
		}
	}
}
