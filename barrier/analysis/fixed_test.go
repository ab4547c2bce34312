package analysis_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/solver"
)

// standing lets the own loads of a plan stand at x alone.
func standing(p plan, x float64) plan {
	before := p.change
	p.change = func(d *barrier.Definition) {
		if before != nil {
			before(d)
		}
		for i := range d.Loads {
			d.Loads[i].Own.At = &x
		}
	}
	return p
}

// A point load that stands at one place is one load case for each way that it may point: what
// it does to every post and rail is what the load put there by hand does.
func TestFixedPointLoad(t *testing.T) {
	bentPlan := bentPlans(own("point", "0.9 kN", "top", "outward"))["dressed"]
	for name, c := range map[string]struct {
		p    plan
		x    float64
		ways []string
	}{
		"in a bay":     {randomPlan(rand.New(rand.NewPCG(90, 0)), own("point", "0.9 kN", "top", "across")), 0.7, []string{"outward", "inward"}},
		"at a post":    {oneRail(evenly(3, 1.5), 1.1, 60e3, own("point", "0.9 kN", "top", "down")), 1.5, []string{"down"}},
		"at the end":   {oneRail(evenly(3, 1.5), 1.1, 60e3, own("point", "0.9 kN", "top", "outward")), 3, []string{"outward"}},
		"on a leg":     {bentPlan, 1.7, []string{"outward"}},
		"off the rail": {raised(randomPlan(rand.New(rand.NewPCG(90, 1)), own("point", "0.9 kN", "top", "outward")), 1.5), 0.4, []string{"outward"}},
	} {
		p := standing(c.p, c.x)
		d := p.definition(t)
		a, ref := ready(t, d), newReference(t, d)
		act := a.Actions[0]
		if act.Field == nil || len(act.Field.Senses) != len(c.ways) {
			t.Errorf("%s: no field of %d senses", name, len(c.ways))
			continue
		}
		for i, sense := range act.Field.Senses {
			_, vectors := ways(c.ways[i], 1)
			got, want := sense.On(&a.Replayer), ref.pointCase(act, spot{c.x, c.x > 2.9}, times(900, vectors[0]))
			names, all := elements(a)
			for k, e := range all {
				places := ref.sections(e, nil)
				x, y := ref.states(got, places), ref.states(want, places)
				for j := range places {
					for m, v := range components(&x[j]) {
						if w := components(&y[j])[m]; math.Abs(v-w) > 1e-9*(900+math.Abs(w)) || m >= 6 && math.Abs(v-w) > 1e-11 {
							t.Errorf("%s, %s, component %d: %.12g, by hand %.12g", name, names[k], m, v, w)
						}
					}
				}
			}
		}
	}
}

// Outward at a corner is that of either leg: after a turn by t anticlockwise it is (-sin t, cos t). The
// feet carry the whole force, the other way (statics).
// Where one leg has no rail there the other's alone is left; a slope turns nothing in plan.
func TestFixedPointLoadAtACorner(t *testing.T) {
	const force = 900.0
	plans := bentPlans(own("point", "0.9 kN", "top", "outward"))
	for name, c := range map[string]struct {
		p     plan
		turns []float64 // of the legs in whose axes it points
	}{
		"L":                      {standing(plans["L"], 2.5), []float64{0, right}},
		"second corner of the U": {standing(plans["U"], 2.3), []float64{-right, -right - 1.1}},
		"foot of a stair":        {standing(plans["stair"], 2.5), []float64{0, 0}}, // on either end of the rail
		"gap after the corner":   {standing(plans["corner gap"], 1.2), []float64{0}},
	} {
		d := c.p.definition(t)
		a := ready(t, d)
		senses := a.Actions[0].Field.Senses
		if len(senses) != len(c.turns) {
			t.Errorf("%s: %d senses, want %d", name, len(senses), len(c.turns))
			continue
		}
		for i, turn := range c.turns {
			sum := groundOf(solve(t, &a.Replayer, senses[i].On(&a.Replayer)))
			sin, cos := math.Sincos(turn)
			want := solver.Vec{force * sin, -force * cos, 0}
			for k := range want {
				agrees(t, name+", "+senses[i].Words(quantity.Metric)+", "+"xyz"[k:k+1], sum[k], want[k], 1e-6*force)
			}
		}
	}
}

// How it is told, and what a load that may turn is read as.
func TestFixedPointLoadInWords(t *testing.T) {
	p := standing(oneRail(evenly(3, 1.5), 1.1, 60e3, own("point", "0.9 kN", "top", "across")), 0.75)
	actions, _ := analysis.Actions(p.definition(t))
	for i, want := range []string{"point 0.900 kN outward on top rail at x = 0.750 m", "point 0.900 kN inward on top rail at x = 0.750 m"} {
		if got := actions[0].Field.Senses[i].Words(quantity.Metric); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
	p = standing(oneRail(evenly(3, 1.5), 1.1, 60e3, own("point", "0.9 kN", "top", "any")), 0.75)
	actions, notes := analysis.Actions(p.definition(t))
	if actions[0].Field != nil {
		t.Error("a load that may turn stands still")
	}
	said(t, notes, "load 1 stands at x = 0.750 m and may turn: it is put wherever it is worst along its rail, which is cautious")
}

// A load above the highest rail says how it is carried.
func TestLoadAboveTheRailsSaysSo(t *testing.T) {
	p := raised(oneRail(evenly(3, 1.5), 1.1, 60e3, own("point", "0.9 kN", "top", "outward")), 1.4)
	a := ready(t, p.definition(t))
	_, notes := analysis.Actions(a.Definition)
	said(t, notes, "load 1 acts at 1.400 m, above top rail, whose axis is at 1.100 m: its force stands on that axis, and its couple, force times 0.300 m, on the posts in the ratio of their reactions")
	found := a.Worst(a.Post(0).Probes[0], 0, analysis.Service, measure(moment))
	if got, want := found.Placement.In(quantity.Metric), "point 0.900 kN outward above top rail at x = 0.000 m"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// A line load over any one bay, or over any row of bays, does no more than the lengths found:
// bays alone are among those that are sought, for components and for utilisations.
func TestLineLoadOverOneBay(t *testing.T) {
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(91, seed))
		word := []string{"outward", "down", "across"}[seed%3]
		p := randomPlan(r, own("line", "0.74 kN/m", "top", word))
		if seed >= 3 {
			p = bentPlans(own("line", "0.74 kN/m", "top", word))[bentNames()[seed-3]]
		}
		d := p.definition(t)
		a, ref := ready(t, d), newReference(t, d)
		from, to := d.Run.RailEnds()
		edges := append([]float64{from}, append(append([]float64(nil), d.Supports()...), to)...)
		_, vectors := ways(word, 1)
		names, all := elements(a)
		measures := strengthAndMovement()
		for k, e := range all {
			found := worst(a, e, measures)
			places := ref.sections(e, nil)
			permanent := ref.permanent(places)
			for i := range edges {
				for _, end := range edges[i+1:] {
					if end <= edges[i] {
						continue
					}
					for _, n := range vectors {
						under := ref.states(ref.lineCase(a.Actions[0], []solver.Length{{From: edges[i], To: end}}, times(740, n)), places)
						for m := range measures {
							for _, f := range factors(a.Actions[0], measures[m].level) {
								for j := range places {
									var st analysis.State
									st = plus(&st, f[0], &permanent[j])
									st = plus(&st, f[1], &under[j])
									if v := measures[m].of(&st); v > found[m].Value*(1+slack)+negligible(&measures[m]) {
										t.Errorf("seed %d, %s %s: found %.12g under %s, from %g to %g it is %.12g", seed, names[k], measures[m].name, found[m].Value, &found[m].Placement, edges[i], end, v)
									}
								}
							}
						}
					}
				}
			}
		}
	}
}

// A load at every millimetre of rail and of post, seen at the ends of each member, along
// the posts and on the rails under the load itself: none gives more than what was found, and at a foot the best comes within what half
// a millimetre is worth.
func TestEveryMillimetre(t *testing.T) {
	if testing.Short() {
		t.Skip("short")
	}
	for _, splices := range [][]float64{{1.3}, nil} { // with a splice the worst stand at it, without one inside a bay
		p := scheduled(oneRail([]float64{0, 0.7, 1.5}, 1.1, 60e3, own("point", "1 kN", "top", "down")), anyPart(300, "outward"))
		p.rails[0].splices = splices
		before := p.change
		p.change = func(d *barrier.Definition) { before(d); d.Run.Overhang = [2]float64{0.15, 0} }
		d := p.definition(t)
		for _, which := range []func(*analysis.Action) bool{isOnPosts, func(a *analysis.Action) bool { return !a.Posts }} {
			a, ref := onlyAction(t, d, which), newReference(t, d)
			act := a.Actions[0]
			loads, _ := ref.spots(act, 0.001)
			names, all := elements(a)
			measures := strengthAndMovement()
			for k, e := range all {
				found := worst(a, e, measures)
				brute := make([]float64, len(measures))
				ends := ref.sections(e, nil)
				dead := ref.permanent(ends)
				for _, at := range loads {
					s := ref.m.Solve(ref.pointCase(act, at, solver.Vec{0, 300, 0}))
					var of solver.MemberID = -1
					var diagram *solver.Diagram
					read := func(q place, permanent *analysis.State) {
						if q.member != of {
							of, diagram = q.member, s.Diagram(q.member)
						}
						under := ref.read(s, diagram, &q)
						for m := range measures {
							for _, f := range factors(act, measures[m].level) {
								var st analysis.State
								st = plus(&st, f[0], permanent)
								st = plus(&st, f[1], &under)
								brute[m] = math.Max(brute[m], measures[m].of(&st))
							}
						}
					}
					for j := range ends {
						read(ends[j], &dead[j])
					}
					if e.Probes[0].Rail >= 0 { // and under the load as it moves
						under := ref.sections(e, []spot{at})
						permanent := ref.permanent(under)
						for j := range under {
							read(under[j], &permanent[j])
						}
					}
				}
				for m := range measures {
					if brute[m] > found[m].Value*(1+slack)+negligible(&measures[m]) {
						t.Errorf("%s %s: found %.12g under %s, millimetre by millimetre %.12g", names[k], measures[m].name, found[m].Value, &found[m].Placement, brute[m])
					}
				}
				// At the foot of a post the exact place and the nearest millimetre differ by the
				// square of half a millimetre alone.
				if e.Probes[0].Post < 0 {
					continue
				}
				atFoot := a.Worst(e.Probes[0], 0, analysis.Service, measure(moment)).Value
				most := 0.0
				for _, at := range loads {
					st := ref.states(ref.pointCase(act, at, solver.Vec{0, 300, 0}), ends[:1])[0]
					most = math.Max(most, moment(&st))
				}
				if most > atFoot*(1+1e-9) || most < atFoot*(1-1e-5) {
					t.Errorf("%s, moment at its foot: found %.9g, millimetre by millimetre %.9g", names[k], atFoot, most)
				}
			}
		}
	}
}
