package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// filled gives a plan an infill.
func filled(p plan, f barrier.Infill) plan {
	before := p.change
	p.change = func(d *barrier.Definition) {
		if before != nil {
			before(d)
		}
		if f.Kind = barrier.MeshInfill; f.Carrier == "" {
			f.Carrier = barrier.CarriedByRails
		}
		if f.Carrier == barrier.CarriedByRails && f.Rails == nil {
			for i := range d.Rails {
				f.Rails = append(f.Rails, i)
			}
			slices.SortFunc(f.Rails, func(i, j int) int {
				if d.Rails[i].Height < d.Rails[j].Height {
					return -1
				}
				return 1
			})
		}
		d.Infill = f
	}
	return p
}

// area is an area load of a schedule.
func area(value float64, word string) loads.Action {
	return loads.Action{Kind: loads.Area, Value: value, Direction: word, Target: loads.InfillArea}
}

// levels are rails at some heights, named by them.
func levels(heights ...float64) (rails []railPlan) {
	for i, h := range heights {
		rails = append(rails, railPlan{name: fmt.Sprintf("r%d", i), height: h})
	}
	return rails
}

// sharesInWords returns the shares of the first action in words.
func sharesInWords(t *testing.T, p plan) string {
	t.Helper()
	d := p.definition(t)
	actions, _ := analysis.Actions(d)
	var parts []string
	for _, s := range actions[0].Rails {
		parts = append(parts, fmt.Sprintf("%s %.4f", d.Rails[s.Rail].Name, s.Share))
	}
	return strings.Join(parts, ", ")
}

// The height of infill that each rail carries, by simple lever (statics): between two rails
// half and half; a strip of height a beyond the outer rail, g from the next, gives that rail
// a + a²/2g and takes a²/2g from the next.
func TestTributaryHeight(t *testing.T) {
	pointing := func(word string, heights []float64, f barrier.Infill) plan {
		p := plan{posts: evenly(3, 1.5), foot: 150e3, rails: levels(heights...), loads: []string{own("point", "1 kN", "r0", "down")}}
		return scheduled(filled(p, f), area(500, word))
	}
	plain := func(heights []float64, f barrier.Infill) plan { return pointing("outward", heights, f) }
	for _, c := range []struct {
		name string
		plan plan
		want string
	}{
		{"two rails, from axis to axis", plain([]float64{1.1, 0.1}, barrier.Infill{Bottom: 0.1, Top: 1.1}), "r1 0.5000, r0 0.5000"},
		{"three rails", plain([]float64{1.1, 0.5, 0.1}, barrier.Infill{Bottom: 0.1, Top: 1.1}), "r2 0.2000, r1 0.5000, r0 0.3000"},
		{"beyond the top by 0.2", plain([]float64{1.0, 0.6}, barrier.Infill{Bottom: 0.6, Top: 1.2}), "r1 0.1500, r0 0.4500"},
		{"beyond the top by 0.6", plain([]float64{0.9, 0.5}, barrier.Infill{Bottom: 0.5, Top: 1.5}), "r1 -0.2500, r0 1.2500"},
		{"beyond the bottom by 0.4", plain([]float64{1.1, 0.5}, barrier.Infill{Bottom: 0.1, Top: 1.1}), "r1 0.8333, r0 0.1667"},
		{"within a bay of heights", plain([]float64{1.1, 0.1}, barrier.Infill{Bottom: 0.3, Top: 0.5}), "r1 0.1400, r0 0.0600"},
		{"down: what stands out hangs on the outer rail", pointing("down", []float64{0.9, 0.5}, barrier.Infill{Bottom: 0.4, Top: 1.5}), "r1 0.3000, r0 0.8000"},
		{"down: all of it above", pointing("down", []float64{0.9, 0.5}, barrier.Infill{Bottom: 1, Top: 1.5}), "r0 0.5000"},
		{"down: all of it below", pointing("down", []float64{0.9, 0.5}, barrier.Infill{Bottom: 0.1, Top: 0.4}), "r1 0.3000"},
		{"some rails only", plain([]float64{1.1, 0.6, 0.1}, barrier.Infill{Bottom: 0.1, Top: 1.1, Rails: []int{2, 0}}), "r2 0.5000, r0 0.5000"},
	} {
		if got := sharesInWords(t, c.plan); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// The shares add up to the height, and their moment is that of the infill, whatever the rails.
func TestTributaryHeightBalances(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(2, 5).Draw(rt, "rails")
		var heights []float64
		h := 0.05
		for range n {
			h += rapid.Float64Range(0.05, 0.5).Draw(rt, "rise")
			heights = append(heights, math.Round(h*1e6)/1e6)
		}
		bottom := rapid.Float64Range(0, 1).Draw(rt, "bottom")
		top := bottom + rapid.Float64Range(0.01, 2).Draw(rt, "height")
		slices.Reverse(heights)
		p := plan{posts: evenly(3, 1.5), foot: 150e3, rails: levels(heights...), loads: []string{own("point", "1 kN", "r0", "down")}}
		p = scheduled(filled(p, barrier.Infill{Bottom: bottom, Top: top}), area(500, "outward"))
		d := p.definition(t)
		actions, _ := analysis.Actions(d)
		sum, about := 0.0, 0.0
		for _, s := range actions[0].Rails {
			sum += s.Share
			about += s.Share * d.Rails[s.Rail].Height
		}
		if math.Abs(sum-(top-bottom)) > 1e-12 || math.Abs(about-(top*top-bottom*bottom)/2) > 1e-12 {
			rt.Fatalf("heights %v, infill %g to %g: shares %v", heights, bottom, top, actions[0].Rails)
		}
	})
}

// wholeOf is the first action over the whole of its chain, pointing along its first direction,
// variable actions alone.
func wholeOf(a *analysis.Analysis) *analysis.Placed {
	act := a.Actions[0]
	end := 1000.0
	return &analysis.Placed{
		Combination: &analysis.Combination{Level: analysis.Service, Variable: 1},
		Placement:   analysis.Placement{Action: act, Value: act.Value, Way: [3]float64{1}, Whole: true, Lengths: []solver.Length{{From: -1, To: end}}},
	}
}

// footMoments is the sum of the moments across at the feet of all posts under a placed load.
func footMoments(a *analysis.Analysis, p *analysis.Placed) (sum float64) {
	for i := range a.Frame.Posts {
		sum += a.Trace(a.Post(i), p)[0].State.Mz
	}
	return sum
}

// An area load on the whole infill turns the barrier about its feet with load times the
// height of its middle, whatever carries it (statics); posts on rigid feet feel all of it.
func TestAreaLoadTurnsAboutTheFeet(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const q, run = 800.0, 3.9
	for _, c := range []struct {
		name string
		of   barrier.Infill
	}{
		{"rails", barrier.Infill{Bottom: 0.05, Top: 1.3}},
		{"posts", barrier.Infill{Bottom: 0.05, Top: 1.0, Carrier: barrier.CarriedByPosts}},
		{"posts and beyond", barrier.Infill{Bottom: 0.05, Top: 1.5, Carrier: barrier.CarriedByPosts}},
		{"above the posts", barrier.Infill{Bottom: 1.2, Top: 1.4, Carrier: barrier.CarriedByPosts}},
		{"one rail", barrier.Infill{Bottom: 0.2, Top: 1.0, Rails: []int{0}}},
		{"one rail above all", barrier.Infill{Bottom: 1.2, Top: 1.6, Rails: []int{0}}},
	} {
		name, f := c.name, c.of
		p := plan{posts: []float64{0, 1.2, 2.5, run}, foot: math.Inf(1), rails: levels(1.1, 0.6), loads: []string{own("point", "1 kN", "r0", "down")}}
		p = scheduled(filled(p, f), area(q, "outward"))
		a := ready(t, p.definition(t))
		want := q * run * (f.Top - f.Bottom) * (f.Top + f.Bottom) / 2
		(&row{name + ", moments of all feet, Nm", "load times height of its middle, statics", math.Abs(footMoments(a, wholeOf(a))), want, 1e-6 * want}).outside(t, record, "area load on infill")
	}
}

// An area load on the infill, by rails with shares either way and by posts, against brute
// force over cells.
func TestAreaLoadAgainstBruteForce(t *testing.T) {
	t.Parallel()
	type setup struct {
		p    plan
		word string
	}
	setups := map[string]setup{
		"rails":          {randomPlan(rand.New(rand.NewPCG(70, 5)), own("point", "1 kN", "top", "down")), "across"},
		"beyond":         {randomPlan(rand.New(rand.NewPCG(70, 6)), own("point", "1 kN", "top", "down")), "outward"},
		"posts":          {randomPlan(rand.New(rand.NewPCG(70, 7)), own("point", "1 kN", "top", "down")), "outward"},
		"posts beyond":   {randomPlan(rand.New(rand.NewPCG(70, 8)), own("point", "1 kN", "top", "down")), "across"},
		"posts of a U":   {bentPlans(own("point", "1 kN", "top", "down"))["U"], "outward"},
		"posts and gaps": {bentPlans(own("point", "1 kN", "top", "down"))["corner gap"], "across"},
		"dressed":        {bentPlans(own("point", "1 kN", "top", "down"))["dressed"], "outward"},
		"weight":         {randomPlan(rand.New(rand.NewPCG(70, 9)), own("point", "1 kN", "top", "down")), "down"},
	}
	for name, s := range setups {
		f := barrier.Infill{Bottom: 0.15, Top: 1.0}
		switch {
		case strings.HasPrefix(name, "posts"):
			f.Carrier = barrier.CarriedByPosts
			if name == "posts beyond" {
				f.Top = 1.6
			}
		case name == "beyond":
			f.Top = 1.9
		case name == "weight":
			f.Offset = 0.08
		}
		p := scheduled(filled(s.p, f), area(900, s.word))
		t.Run(name, func(t *testing.T) {
			if testing.Short() && name != "posts" && name != "weight" {
				t.Skip("short")
			}
			r := rand.New(rand.NewPCG(71, 0))
			_, vectors := ways(s.word, 1)
			d := p.definition(t)
			a, ref := ready(t, d), newReference(t, d)
			names, all := elements(a)
			act := a.Actions[0]
			measures := strengthAndMovement()
			for k, e := range all {
				found := worst(a, e, measures)
				at, _ := ref.spots(act, 0.3)
				c := ref.cells(act, vectors, 0.15, ref.sections(e, at, act))
				for m := range measures {
					b := c.worstLine(act, vectors, &measures[m], r)
					compare(t, ref, names[k], e, &measures[m], &found[m], &trial{value: b.value, place: c.places[b.place], n: b.n})
					proven(t, a, names[k], &found[m])
				}
			}
		})
	}
}

// A lone post that carries its width of infill: moment q b (top² - bottom²)/2 at its foot.
func TestLonePostUnderItsWidthOfInfill(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const q, bottom, top = 800.0, 0.15, 0.95
	p := oneRail([]float64{0, 1.2, 2.6, 3.4}, 1.1, math.Inf(1), own("point", "1 kN", "top", "down"))
	p.rails[0].cut = true
	p = scheduled(filled(p, barrier.Infill{Bottom: bottom, Top: top, Carrier: barrier.CarriedByPosts}), area(q, "outward"))
	d := p.definition(t)
	stiffen(&d.Rails[0].Member, 1e-9)
	a := ready(t, d)
	for i, width := range []float64{0.6, 1.3, 1.1, 0.4} {
		want := q * width * (top*top - bottom*bottom) / 2
		found := foot(a, i, moment)
		(&row{fmt.Sprintf("post %d, base moment, Nm", i+1), "q b (top² - bottom²)/2, statics", found.Value, want, 1e-6 * want}).outside(t, record, "post that carries its width of infill")
	}
	all := foot(a, 1, moment)
	if got, want := all.Placement.In(quantity.Metric), "area 0.800 kN/m2 outward on the infill over the whole run"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	several := *wholeOf(a)
	several.Placement.Whole, several.Placement.Lengths = false, nil
	for _, u := range a.Actions[0].Uprights()[1:] {
		several.Placement.Lengths = append(several.Placement.Lengths, solver.Length{From: u.Start + bottom, To: u.Start + top})
	}
	if got, want := several.Placement.In(quantity.Metric), "area 0.800 kN/m2 outward on the infill, on posts 2 to 4 from z = 0.150 m to 0.950 m"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// What an infill point load stands on.
func TestInfillPoint(t *testing.T) {
	point := loads.Action{Kind: loads.Point, Value: 500, Direction: "outward", Target: loads.Intermediate}
	for _, c := range []struct {
		name string
		f    barrier.Infill
		open bool
		want string
	}{
		{"open", barrier.Infill{}, true, "on r1 rail: r1 1.0000; on r2 rail: r2 1.0000"},
		{"by rails", barrier.Infill{Bottom: 0.1, Top: 1.1}, false, "on r1 rail: r1 1.0000; on r2 rail: r2 1.0000; on r0 rail: r0 1.0000"},
		{"standing out", barrier.Infill{Bottom: 0.1, Top: 1.3, Rails: []int{2, 0}}, false,
			"on r1 rail: r1 1.0000; on r2 rail: r2 1.0000; on r0 rail: r0 1.0000; on the edge of the infill: r0 1.2000, r2 -0.2000"},
		{"by posts", barrier.Infill{Bottom: 0.1, Top: 1.1, Carrier: barrier.CarriedByPosts}, false, "on r1 rail: r1 1.0000; on r2 rail: r2 1.0000; on the posts: 0.1 to 1.1 of 3"},
	} {
		p := plan{posts: evenly(3, 1.5), foot: 150e3, rails: levels(1.1, 0.6, 0.1), loads: []string{own("point", "1 kN", "r0", "down")}}
		if !c.open {
			p = filled(p, c.f)
		}
		p = scheduled(p, point)
		d := p.definition(t)
		actions, _ := analysis.Actions(d)
		var got []string
		for _, act := range actions {
			var parts []string
			for _, s := range act.Rails {
				parts = append(parts, fmt.Sprintf("%s %.4f", d.Rails[s.Rail].Name, s.Share))
			}
			if act.Posts {
				u := act.Uprights()
				parts = append(parts, fmt.Sprintf("%g to %g of %d", u[0].From, u[0].To, len(u)))
			}
			got = append(got, act.Where+": "+strings.Join(parts, ", "))
			if !act.Intermediate || !act.Point {
				t.Errorf("%s: %s is no infill point", c.name, act.Where)
			}
		}
		if g := strings.Join(got, "; "); g != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", c.name, g, c.want)
		}
	}
}

// A point load on an infill that its posts carry, above their tops too: against brute force.
func TestInfillPointAboveThePosts(t *testing.T) {
	for _, p := range []plan{randomPlan(rand.New(rand.NewPCG(73, 1)), own("point", "1 kN", "top", "down")), bentPlans(own("point", "1 kN", "top", "down"))["U"]} {
		p = scheduled(filled(p, barrier.Infill{Bottom: 0.3, Top: 1.5, Carrier: barrier.CarriedByPosts}),
			loads.Action{Kind: loads.Point, Value: 500, Direction: "outward", Target: loads.Intermediate})
		againstBruteForceOf(t, &p, isOnPosts, "outward", strengthAndMovement(), grids{step: 0.1, turn: 1, best: 1})
	}
}

// Where the posts end below the load no section lies: what moves most is their top.
func TestNoSectionAboveThePosts(t *testing.T) {
	p := oneRail(evenly(4, 0.8), 1.1, 60e3, own("point", "1 kN", "top", "down"))
	p.top = 1.15
	p = scheduled(filled(p, barrier.Infill{Bottom: 0.3, Top: 2.2, Carrier: barrier.CarriedByPosts}),
		loads.Action{Kind: loads.Point, Value: 500, Direction: "outward", Target: loads.Intermediate})
	a := onlyAction(t, p.definition(t), isOnPosts)
	for i := range a.Frame.Posts {
		found := a.WorstAlong(a.Post(i), analysis.Service, []analysis.Measure{measure(across)})[0]
		if math.Abs(found.Probe.From+found.Station-p.top) > 1e-9 {
			t.Errorf("post %d moves most at z = %g m, want its top", i+1, found.Probe.From+found.Station)
		}
	}
}

// A point load at the edge of an infill that stands out presses one rail and pulls the next:
// against brute force.
func TestInfillPointAtTheEdge(t *testing.T) {
	p := scheduled(filled(randomPlan(rand.New(rand.NewPCG(72, 7)), own("point", "1 kN", "top", "down")), barrier.Infill{Bottom: 0.4, Top: 1.7}),
		loads.Action{Kind: loads.Point, Value: 500, Direction: "outward", Target: loads.Intermediate})
	if n := len(p.rails); n < 2 {
		t.Fatalf("%d rails", n)
	}
	atEdge := func(a *analysis.Action) bool { return a.Where == "on the edge of the infill" }
	dressed := scheduled(filled(bentPlans(own("point", "1 kN", "top", "down"))["dressed"], barrier.Infill{Bottom: 0.6, Top: 1.3}),
		loads.Action{Kind: loads.Point, Value: 500, Direction: "outward", Target: loads.Intermediate})
	againstBruteForceOf(t, &dressed, atEdge, "outward", fewMeasures(), grids{step: 0.2, turn: 1, best: 1})
	againstBruteForceOf(t, &p, atEdge, "outward", fewMeasures(), grids{step: 0.1, turn: 1, best: 1})
}

// An area load of the user's own is the same action as a schedule's, and without infill none.
func TestOwnAreaLoad(t *testing.T) {
	p := plan{posts: evenly(3, 1.5), foot: 150e3, rails: levels(1.1, 0.1), loads: []string{own("point", "1 kN", "r0", "outward")}}
	p.change = func(d *barrier.Definition) {
		d.Loads[0].Own = &barrier.OwnLoad{Kind: barrier.OwnArea, Value: 900, Direction: barrier.Direction{Word: "outward"}}
		d.Loads[0].Category = loads.ImposedC
	}
	if actions, notes := analysis.Actions(p.definition(t)); len(actions) != 0 {
		t.Errorf("%d actions without infill", len(actions))
	} else {
		said(t, notes, "load 1 is not applicable, the barrier has no infill")
	}
	p = filled(p, barrier.Infill{Bottom: 0.1, Top: 1.1, Offset: 0.05})
	d := p.definition(t)
	actions, notes := analysis.Actions(d)
	act := actions[0]
	if !act.Area || act.Point || act.Value != 900 || act.Category != loads.ImposedC || act.Load != 0 || act.Aside() != d.Run.Hazard.Outward()*0.05 {
		t.Errorf("action %+v", act)
	}
	said(t, notes, "load 1 acts on the infill from z = 0.100 m to 1.100 m, which the rails carry: by simple lever the height that goes to each is r1 0.5000 m, r0 0.5000 m; an overhang has none, and on a slope its height is plumb and its length that of the rails, which is cautious")
}
