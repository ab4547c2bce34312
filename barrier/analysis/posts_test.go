package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// scheduled gives a plan one action of a schedule made up for the purpose.
func scheduled(p plan, act loads.Action) plan {
	before := p.change
	p.change = func(d *barrier.Definition) {
		if before != nil {
			before(d)
		}
		act.Name, act.Symbol, act.FirstYield = "load", "Q", 1
		d.Loads = []barrier.Load{{Name: "made up", Schedule: &loads.Schedule{Name: "made up", Family: loads.EN, Actions: []loads.Action{act}}}}
	}
	return p
}

// onlyAction is the analysis of a definition under one of its actions alone.
func onlyAction(t *testing.T, d *barrier.Definition, which func(*analysis.Action) bool) *analysis.Analysis {
	t.Helper()
	actions, _ := analysis.Actions(d)
	for _, act := range actions {
		if which(act) {
			a, err := analysis.New(d, layout(d), []*analysis.Action{act})
			if err != nil {
				t.Fatal(err)
			}
			return a
		}
	}
	t.Fatalf("no such action among %d", len(actions))
	return nil
}

// anyPart is a point load on any part of the barrier.
func anyPart(value float64, word string) loads.Action {
	return loads.Action{Kind: loads.Point, Value: value, Direction: word, Target: loads.AnyPart}
}

// isOnPosts tells an action on the posts.
func isOnPosts(a *analysis.Action) bool { return a.Posts }

// A point load on the posts of random barriers, and of runs that turn and climb.
func TestPointLoadOnPostsAgainstBruteForce(t *testing.T) {
	t.Parallel()
	plans := map[string]plan{}
	for i, word := range []string{"across", "along", "down"} {
		plans["random "+word] = scheduled(randomPlan(rand.New(rand.NewPCG(60, uint64(i))), own("point", "1 kN", "top", "down")), anyPart(300, word))
	}
	for i, name := range bentNames() {
		word := []string{"across", "outward", "along"}[i%3]
		plans[name+" "+word] = scheduled(bentPlans(own("point", "1 kN", "top", "down"))[name], anyPart(300, word))
	}
	for name, p := range plans {
		t.Run(name, func(t *testing.T) {
			if testing.Short() && !strings.HasPrefix(name, "L ") && name != "random across" {
				t.Skip("short")
			}
			word := name[strings.LastIndex(name, " ")+1:]
			againstBruteForceOf(t, &p, isOnPosts, word, strengthAndMovement(), grids{step: 0.1, turn: 1, best: 2})
		})
	}
}

// againstBruteForceOf holds one action of a plan against brute force.
func againstBruteForceOf(t *testing.T, p *plan, which func(*analysis.Action) bool, word string, measures []named, g grids) {
	t.Helper()
	d := p.definition(t)
	a, ref := onlyAction(t, d, which), newReference(t, d)
	names, all := elements(a)
	for k, e := range all {
		found := worst(a, e, measures)
		brute := ref.worstPoint(e, a.Actions[0], word, measures, g)
		for m := range measures {
			compare(t, ref, names[k], e, &measures[m], &found[m], &brute[m])
			proven(t, a, names[k], &found[m])
		}
	}
}

// proven solves a placed load again.
func proven(t *testing.T, a *analysis.Analysis, name string, found *analysis.Placed) {
	t.Helper()
	if placement, stiffness, equilibrium := a.Verify(found); !(placement < 1e-8 && stiffness < 1e-8 && equilibrium < 1e-8) {
		t.Errorf("%s under %s: solved again, placement %.1e, stiffness %.1e, equilibrium %.1e", name, &found.Placement, placement, stiffness, equilibrium)
	}
}

// A load on the posts alone, whose rails share nothing: a cantilever on its foot's spring.
// Moment P h, movement P h³/3EI + P h²/k (statics), the load at the top of the highest of
// equal posts first in order.
func TestLonePostUnderItsOwnLoad(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const force, foot = 300.0, 60e3
	p := oneRail(evenly(3, 1.2), 1.1, foot, own("point", "1 kN", "top", "down"))
	p.rails[0].cut = true
	p = scheduled(p, anyPart(force, "outward"))
	d := p.definition(t)
	stiffen(&d.Rails[0].Member, 1e-9)
	a := onlyAction(t, d, isOnPosts)
	h := 1.1
	bent := force*h*h*h/(3*ei(&d.Post.Member)) + force*h*h/foot
	for i := range 3 {
		found := a.Worst(a.Post(i).Probes[0], 0, analysis.Service, measure(moment))
		(&row{fmt.Sprintf("post %d, base moment, Nm", i+1), "P h, statics", found.Value, force * h, 1e-6}).outside(t, record, "lone post under a load anywhere on it")
		moved := a.WorstAlong(a.Post(i), analysis.Service, []analysis.Measure{measure(across)})[0]
		(&row{fmt.Sprintf("post %d, movement, m", i+1), "P h^3/3EI + P h^2/k", moved.Value, bent, 1e-6 * bent}).outside(t, record, "lone post under a load anywhere on it")
		post, z, ok := found.Placement.OnPost()
		if post != i || math.Abs(z-h) > 1e-9 || !ok {
			t.Errorf("post %d: the load stands on post %d at z = %g, want its top", i+1, post+1, z)
		}
	}
}

// A post held at its top by a rail that does not give: a propped cantilever under a moving
// load. Largest moment at the foot P h √3/9... at a = h(1 - 1/√3): M = P a b (a + 2 b)/(2 h²)
// with b from the foot; under the load P b² a (3 a ... ) is smaller.
func TestProppedPost(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const force, h = 300.0, 1.1
	p := oneRail(evenly(2, 1.2), h, math.Inf(1), own("point", "1 kN", "top", "down"))
	p = scheduled(p, anyPart(force, "outward"))
	before := p.change
	p.change = func(d *barrier.Definition) {
		before(d)
		stiffen(&d.Rails[0].Member, 1e6)
		d.Run.Start = barrier.End{Wall: true, X: -0.6}
		d.Run.End = barrier.End{Wall: true, X: 1.8}
	}
	a := onlyAction(t, p.definition(t), isOnPosts)
	// Fixed at the foot, held at the top, load at b above the foot: M = P b (h-b)(2h-b)/(2h²)
	// (beam tables, AISC Table 3-23 case 14), largest at b = h(1 - 1/√3).
	b := h * (1 - 1/math.Sqrt(3))
	want := force * b * (h - b) * (2*h - b) / (2 * h * h)
	found := a.Worst(a.Post(0).Probes[0], 0, analysis.Service, measure(moment))
	(&row{"propped post, base moment, Nm", "AISC Table 3-23 case 14, fixed at one end, supported at the other (memory)", found.Value, want, 1e-5 * want}).outside(t, record, "propped post under a moving load")
	if _, z, _ := found.Placement.OnPost(); math.Abs(z-b) > 1e-4 {
		t.Errorf("the load stands at z = %.6f, want %.6f", z, b)
	}
	// Under the load P b (h-b)²... : R = P b²(3h-b)/(2h³) at the top, M = R (h-b), largest where its slope is 0.
	most := 0.0
	for i := range 100001 {
		b := h * float64(i) / 100000
		most = math.Max(most, force*b*b*(3*h-b)/(2*h*h*h)*(h-b))
	}
	sag := a.WorstAlong(a.Post(0), analysis.Characteristic, []analysis.Measure{{
		Of:    func(s *analysis.State) float64 { return -s.Mz },
		Bound: func(s *analysis.State) float64 { return math.Abs(s.Mz) },
	}})[0]
	hog := a.WorstAlong(a.Post(0), analysis.Characteristic, []analysis.Measure{{
		Of:    func(s *analysis.State) float64 { return s.Mz },
		Bound: func(s *analysis.State) float64 { return math.Abs(s.Mz) },
	}})[0]
	(&row{"propped post, moment under the load, Nm", "AISC Table 3-23 case 14, R (h - b) at its largest (memory)", math.Min(sag.Value, hog.Value), most, 1e-5 * most}).outside(t, record, "propped post under a moving load")
}

// How a load on posts is told.
func TestPostsInWords(t *testing.T) {
	p := scheduled(bentPlans(own("point", "1 kN", "top", "down"))["U"], anyPart(300, "outward"))
	a := onlyAction(t, p.definition(t), isOnPosts)
	act := a.Actions[0]
	var got []string
	for _, u := range act.Uprights() {
		pl := analysis.Placement{Action: act, X: u.Start + 0.55, Value: 300, Way: [3]float64{1}}
		got = append(got, pl.In(quantity.Metric))
	}
	want := []string{
		"point 0.300 kN outward on post 1 at z = 0.550 m",
		"point 0.300 kN outward on post 2 (leg 1) at z = 0.550 m",
		"point 0.300 kN outward on post 2 (leg 2) at z = 0.550 m",
		"point 0.300 kN outward on post 3 (leg 2) at z = 0.550 m",
		"point 0.300 kN outward on post 3 (leg 3) at z = 0.550 m",
		"point 0.300 kN outward on post 4 at z = 0.550 m",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	us := analysis.Placement{Action: act, X: act.Uprights()[0].Start + 0.3048, Value: 4.4482216, Way: [3]float64{1}}
	if got, want := us.In(quantity.US), `point 1.0 lbf outward on post 1 at z = 1'0.00"`; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// inCone are corners of the prism that stands for a cone of 10 deg about down, worked out anew.
func inCone() []solver.Vec {
	out := []solver.Vec{{0, 0, -1}}
	r := math.Sin(math.Pi/18) / math.Cos(math.Pi/8)
	for _, z := range []float64{-1, -math.Cos(math.Pi / 18)} {
		for i := range 8 {
			a := math.Pi / 4 * float64(i)
			out = append(out, solver.Vec{r * math.Cos(a), r * math.Sin(a), z})
		}
	}
	return out
}

// A load in the cone about down does no more than its ways: every unit vector of a fine grid
// over the cap lies in their hull, as no plane has all of them on one side and it on the other.
func TestConeHoldsItsDirections(t *testing.T) {
	p := scheduled(oneRail(evenly(2, 1.2), 1.1, 60e3, own("point", "1 kN", "top", "down")), loads.Action{Kind: loads.Point, Value: 1250, Direction: "down within 10 deg", Target: loads.Top})
	actions, notes := analysis.Actions(p.definition(t))
	ways := actions[0].Fixed()
	said(t, notes, "made up: load may point any way within 10 deg of straight down: it is taken straight down, and at full size or 0.985 of it downwards with 0.188 of it sideways in each of eight directions; among them lies every way that it may point, which is cautious by less than 2 % of its size")
	r := rand.New(rand.NewPCG(61, 0))
	slackest := math.Inf(1)
	for range 20000 {
		var c [3]float64 // a linear effect
		for k := range c {
			c[k] = r.NormFloat64()
		}
		most := math.Inf(-1)
		for _, n := range ways {
			most = math.Max(most, c[0]*n[0]+c[1]*n[1]+c[2]*n[2])
		}
		// Over the cap: the unit vector along c where it is within 10 deg, else the nearest on its rim.
		size := math.Sqrt(c[0]*c[0] + c[1]*c[1] + c[2]*c[2])
		level := math.Hypot(c[0], c[1])
		cap := math.Sin(math.Pi/18)*level - math.Cos(math.Pi/18)*c[2]
		if -c[2] >= size*math.Cos(math.Pi/18) {
			cap = size
		}
		if most < cap-1e-12 {
			t.Fatalf("effect %v: the ways give %.6f, the cone %.6f", c, most, cap)
		}
		slackest = math.Min(slackest, cap/size-most/size)
	}
	if slackest < -0.03 {
		t.Errorf("the ways give up to %.4f of the load more than the cone", -slackest)
	}
}

// Such a load on rails and posts against brute force over its ways.
func TestConeAgainstBruteForce(t *testing.T) {
	t.Parallel()
	p := scheduled(randomPlan(rand.New(rand.NewPCG(62, 3)), own("point", "1 kN", "top", "down")), anyPart(1250, "down within 10 deg"))
	for _, which := range []func(*analysis.Action) bool{isOnPosts, func(a *analysis.Action) bool { return !a.Posts }} {
		againstBruteForceOf(t, &p, which, "cone", fewMeasures(), grids{step: 0.2, turn: 1, best: 1})
	}
}

// What a load on any part stands on: every rail on its axis, every post above the walking
// surface, and with an infill that stands out its edge.
func TestAnyPart(t *testing.T) {
	p := plan{posts: evenly(3, 1.5), foot: 150e3, level: -0.2, rails: levels(1.1, 0.6), loads: []string{own("point", "1 kN", "r0", "down")}}
	p = filled(p, barrier.Infill{Bottom: 0.6, Top: 1.3})
	for word, edges := range map[string]int{"across": 1, "down within 10 deg": 0} {
		d := (new(scheduled(p, anyPart(300, word)))).definition(t)
		actions, notes := analysis.Actions(d)
		if len(actions) != 3+edges {
			t.Fatalf("%s: %d actions", word, len(actions))
		}
		for i, where := range []string{"on r0 rail", "on r1 rail", "on the posts", "on the edge of the infill"}[:3+edges] {
			act := actions[i]
			if act.Where != where || !act.Point || act.Value != 300 || act.Posts != (i == 2) || act.Intermediate {
				t.Errorf("%s: action %d is %+v, want one %s", word, i, act, where)
			}
		}
		for _, u := range actions[2].Uprights() {
			if u.From != 0 || u.To != d.Post.Height || u.Share != 1 {
				t.Errorf("%s: post %d is loaded from %g to %g, want from the walking surface to its top", word, u.Post+1, u.From, u.To)
			}
		}
		said(t, notes, "made up: load is put on every rail and on every post above the walking surface, at its worst place")
	}
}

// A post at a corner under its own load, seen from the leg that begins there: the same load
// solved again gives it, and no place of a fine grid, in either leg's direction, gives more.
func TestCornerPostUnderItsOwnLoadFromTheOtherLeg(t *testing.T) {
	p := scheduled(bentPlans(own("point", "1 kN", "top", "down"))["U"], anyPart(300, "across"))
	d := p.definition(t)
	a, ref := onlyAction(t, d, isOnPosts), newReference(t, d)
	for _, post := range []int{1, 2} {
		e := a.Turned(post)
		found := worst(a, e, []named{{"across", analysis.Service, across}})[0]
		loads, _ := ref.spots(a.Actions[0], 0.05)
		places := ref.sections(e, loads, a.Actions[0])
		for i := range places {
			places[i].told = post
		}
		looked := 0.0
		for _, at := range loads {
			for _, st := range ref.states(ref.pointCase(a.Actions[0], at, solver.Vec{0, 300, 0}), places) {
				looked = math.Max(looked, across(&st))
			}
		}
		if found.Value < looked*(1-1e-9) || found.Value > looked*1.01 {
			t.Errorf("post %d moves %.9g m, on a grid of 0.05 m %.9g", post+1, found.Value, looked)
		}
		proven(t, a, fmt.Sprintf("post %d", post+1), &found)
	}
}

// All actions of such a schedule at once find what each finds alone.
func TestAnyPartTogether(t *testing.T) {
	p := scheduled(randomPlan(rand.New(rand.NewPCG(63, 2)), own("point", "1 kN", "top", "down")), anyPart(300, "across"))
	d := p.definition(t)
	together := ready(t, d)
	names, all := elements(together)
	measures := strengthAndMovement()
	best := make([][]float64, len(all))
	actions, _ := analysis.Actions(d)
	for i := range actions {
		alone, err := analysis.New(d, layout(d), actions[i:i+1])
		if err != nil {
			t.Fatal(err)
		}
		_, each := elements(alone)
		for k, e := range each {
			for m, found := range worst(alone, e, measures) {
				if i == 0 {
					best[k] = append(best[k], 0)
				}
				best[k][m] = math.Max(best[k][m], found.Value)
			}
		}
	}
	for k, e := range all {
		for m, found := range worst(together, e, measures) {
			if math.Abs(found.Value-best[k][m]) > 2*slack*best[k][m]+negligible(&measures[m]) {
				t.Errorf("%s %s: %.12g under %s, the actions one by one %.12g", names[k], measures[m].name, found.Value, &found.Placement, best[k][m])
			}
		}
	}
}

// A post that stands alone in second order: a load on it and a weight that leans with it are
// solved as they stand.
func TestPostLoadInSecondOrder(t *testing.T) {
	p := scheduled(bentPlans(own("point", "1 kN", "top", "down"))["L"], anyPart(1250, "down within 10 deg"))
	a := onlyAction(t, p.definition(t), isOnPosts)
	for i := range a.Frame.Posts {
		found := a.Worst(a.Post(i).Probes[0], 0, analysis.Strength, measure(moment))
		bent, err := a.Bend(&found, 1, analysis.Lean{Along: 0.005, Across: 0.005})
		if err != nil {
			t.Fatal(err)
		}
		straight, err := a.Bend(&found, 1e-6, analysis.Lean{})
		if err != nil {
			t.Fatal(err)
		}
		first := straight.State(&found)
		if math.Abs(moment(&first)-found.Value) > 1e-4*found.Value {
			t.Errorf("post %d: %.9g Nm under a load of next to nothing, scaled, in first order %.9g", i+1, moment(&first), found.Value)
		}
		if st := bent.State(&found); math.Abs(moment(&st)-found.Value) > 0.2*found.Value {
			t.Errorf("post %d: %.9g Nm bent and leaning, %.9g straight", i+1, moment(&st), found.Value)
		}
	}
}

// Bounds leave out nothing that could win, for a load on posts and in a cone either: with a
// bound of infinity the same is found.
func TestBoundsOnPostsAndCones(t *testing.T) {
	p := scheduled(randomPlan(rand.New(rand.NewPCG(64, 1)), own("point", "1 kN", "top", "down")), anyPart(1250, "down within 10 deg"))
	a := ready(t, p.definition(t))
	names, all := elements(a)
	for _, m := range fewMeasures() {
		open := analysis.Measure{Of: m.of, Bound: func(*analysis.State) float64 { return math.Inf(1) }}
		for k, e := range all {
			found := a.WorstAlong(e, m.level, []analysis.Measure{measure(m.of)})[0]
			every := a.WorstAlong(e, m.level, []analysis.Measure{open})[0]
			if math.Abs(found.Value-every.Value) > 2*slack*every.Value+negligible(&m) {
				t.Errorf("%s %s: %.12g under %s, %.12g under %s without bounds", names[k], m.name, found.Value, &found.Placement, every.Value, &every.Placement)
			}
		}
	}
}

// At one section of a post the worst load may stand just below it or just above: solved again
// as an ordinary load case it gives the state on that side.
func TestLoadBesideASectionOfAPost(t *testing.T) {
	for _, p := range []plan{randomPlan(rand.New(rand.NewPCG(65, 1)), own("point", "1 kN", "top", "down")), bentPlans(own("point", "1 kN", "top", "down"))["dressed"]} {
		p = scheduled(p, anyPart(300, "outward"))
		a := onlyAction(t, p.definition(t), isOnPosts)
		after := 0
		for i := range a.Frame.Posts {
			for _, q := range a.Post(i).Probes {
				for _, sign := range [2]float64{-1, 1} {
					for _, of := range []func(*analysis.State) float64{
						func(s *analysis.State) float64 { return s.Vy },
						func(s *analysis.State) float64 { return s.Vz },
						func(s *analysis.State) float64 { return s.Mz },
					} {
						m := analysis.Measure{
							Of:    func(s *analysis.State) float64 { return sign * of(s) },
							Bound: func(s *analysis.State) float64 { return math.Abs(of(s)) },
						}
						found := a.Worst(q, 0.4*q.Length, analysis.Characteristic, m)
						proven(t, a, fmt.Sprintf("post %d", i+1), &found)
						if found.After {
							after++
						}
					}
				}
			}
		}
		if after == 0 {
			t.Error("no load stands just below a section: nothing is tried")
		}
	}
}
