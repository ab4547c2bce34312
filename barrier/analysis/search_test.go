package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
)

// slack is what two ways to the same optimum may differ by: the search lets the
// first of two values within 1e-9 stand, and two solves differ in rounding.
const slack = 1.1e-9

// elements returns every post and every rail with its name.
func elements(a *analysis.Analysis) (names []string, out []*analysis.Element) {
	for i := range a.Frame.Posts {
		names, out = append(names, fmt.Sprintf("post %d", i+1)), append(out, a.Post(i))
	}
	for i := range a.Frame.Rails {
		names, out = append(names, "rail "+a.Definition.Rails[i].Name), append(out, a.Rail(i))
	}
	return names, out
}

// A post that a load does not move is told at its foot: of places that tie the first stands.
func TestStillPostsAreToldAtTheFoot(t *testing.T) {
	p := oneRail(evenly(4, 1.2), 1.1, 60e3, own("line", "0.5 kN/m", "top", "down"))
	p.rails = append(p.rails, railPlan{name: "knee", height: 0.6})
	a := ready(t, p.definition(t))
	for i := range a.Frame.Posts {
		e := a.Post(i)
		found := a.WorstAlong(e, analysis.Service, []analysis.Measure{measure(across), measure(vertical)})
		if f := &found[0]; !f.Found() || f.Value != 0 || f.Probe != e.Probes[0] || f.Station != 0 {
			t.Errorf("post %d: %g m across at z = %g m of the foot", i+1, f.Value, f.Probe.From+f.Station)
		}
		if f := &found[1]; f.Value == 0 || f.Probe == e.Probes[0] && f.Station == 0 {
			t.Errorf("post %d: %g m down at z = %g m of the foot", i+1, f.Value, f.Probe.From+f.Station)
		}
	}
}

// worst runs the search for each measure at its level.
func worst(a *analysis.Analysis, e *analysis.Element, measures []named) []analysis.Placed {
	out := make([]analysis.Placed, len(measures))
	for l := analysis.Strength; l <= analysis.FirstYield; l++ {
		var at []int
		var of []analysis.Measure
		for i, m := range measures {
			if m.level == l {
				at, of = append(at, i), append(of, measure(m.of))
			}
		}
		if of == nil {
			continue
		}
		for i, p := range a.WorstAlong(e, l, of) {
			out[at[i]] = p
		}
	}
	return out
}

// A point load on random barriers, in each direction that is fixed, and as the
// schedule that makes it longer with the bay.
func TestPointLoadAgainstBruteForce(t *testing.T) {
	t.Parallel()
	words := []string{"outward", "across", "down", "along", "inward", "up", "outward or down"}
	if testing.Short() {
		words = words[:2]
	}
	for i, word := range words {
		r := rand.New(rand.NewPCG(2, uint64(i)))
		p := randomPlan(r, "schedule = \"EN ISO 14122-3\"")
		switch word {
		case "outward":
		case "outward or down": // a word of schedules
			p.posts, p.rails = p.posts[:3], p.rails[:1]
			p.rails[0].splices = nil
			p.loads[0] = own("point", "0.9 kN", "top", "outward")
			p.change = func(d *barrier.Definition) { d.Loads[0].Own.Direction.Word = word }
		default:
			p.loads[0] = own("point", "0.9 kN", p.rails[r.IntN(len(p.rails))].name, word)
		}
		t.Run(fmt.Sprintf("%d %s", i, word), func(t *testing.T) {
			againstBruteForce(t, &p, word, strengthAndMovement(), grids{step: 0.1, turn: 1, best: 2})
		})
	}
}

// A point load that may point any way: brute force tries every 15 or 30 deg and
// walks the best on to 0.01 deg.
func TestDirectionAgainstBruteForce(t *testing.T) {
	for i, word := range []string{"horizontal", "any"} {
		r := rand.New(rand.NewPCG(4, uint64(i)))
		p := randomPlan(r)
		p.loads = []string{own("point", "0.9 kN", "top", word)}
		g, measures := grids{step: 0.2, turn: 15, best: 1}, strengthAndMovement()
		if word == "any" {
			g.step, g.turn, measures = 0.4, 30, fewMeasures()
			p.posts, p.rails = p.posts[:3], p.rails[:1]
			p.rails[0].splices = nil
		}
		t.Run(word, func(t *testing.T) { againstBruteForce(t, &p, word, measures, g) })
	}
}

// A load on a rail at half height of a post whose top the other rail holds: the
// post moves most between its rails, where nothing else would look.
func TestMovementBetweenRailsOfAPost(t *testing.T) {
	p := oneRail(evenly(7, 0.3), 1.1, math.Inf(1), own("point", "0.9 kN", "knee", "across"))
	p.rails = append(p.rails, railPlan{name: "knee", height: 0.4, cut: true})
	againstBruteForce(t, &p, "across", []named{{"across", analysis.Service, across}}, grids{step: 0.1, turn: 1, best: 3})
}

func againstBruteForce(t *testing.T, p *plan, word string, measures []named, g grids) {
	d := p.definition(t)
	a, ref := ready(t, d), newReference(t, d)
	names, all := elements(a)
	for k, e := range all {
		found := worst(a, e, measures)
		brute := ref.worstPoint(e, a.Actions[0], word, measures, g)
		for m := range measures {
			compare(t, ref, names[k], e, &measures[m], &found[m], &brute[m])
		}
	}
}

// A load of any direction against a grid of 1 deg over the sphere (or circle),
// where the search has put it: no direction of the grid gives more.
func TestDirectionAgainstDegreeGrid(t *testing.T) {
	for i, word := range []string{"horizontal", "any"} {
		r := rand.New(rand.NewPCG(5, uint64(i)))
		p := randomPlan(r)
		p.loads = []string{own("point", "0.9 kN", "top", word)}
		d := p.definition(t)
		a, ref := ready(t, d), newReference(t, d)
		names, all := elements(a)
		_, vectors := ways(word, 1)
		basis := directions(vectors)
		for _, m := range []named{{"moment", analysis.Strength, moment}, {"interaction", analysis.Strength, interaction}, {"equivalent", analysis.FirstYield, equivalent}} {
			for k, e := range all {
				found := worst(a, e, []named{m})[0]
				if found.Placement.Action == nil {
					continue
				}
				alone := found
				alone.Combination = with(found.Combination, func(c *analysis.Combination) { c.Variable = 0 })
				still := ref.reproduce(e, &alone)
				var units []analysis.State
				for j := range basis {
					one := found
					one.Combination = with(found.Combination, func(c *analysis.Combination) { c.Permanent = 0 })
					one.Placement.Way = [3]float64{}
					one.Placement.Way[j] = 1
					units = append(units, ref.reproduce(e, &one))
				}
				for _, n := range vectors {
					st := still
					for j := range basis {
						st = plus(&st, dot(basis[j], n), &units[j])
					}
					if v := m.of(&st); v > found.Value*(1+slack) {
						t.Errorf("%s %s: found %.12g under %s, along %.4f it is %.12g", names[k], m.name, found.Value, &found.Placement, n, v)
						break
					}
				}
			}
		}
	}
}

// Bounds only leave out what cannot win: with a bound of infinity, under which
// nothing is left out, the search finds the same.
func TestBoundsDropNoOptimum(t *testing.T) {
	for seed := range uint64(4) {
		r := rand.New(rand.NewPCG(6, seed))
		p := randomPlan(r, mixed(r)...)
		a := ready(t, p.definition(t))
		names, all := elements(a)
		for _, m := range fewMeasures() {
			open := analysis.Measure{Of: m.of, Bound: func(*analysis.State) float64 { return math.Inf(1) }}
			for k, e := range all {
				found := a.WorstAlong(e, m.level, []analysis.Measure{measure(m.of)})[0]
				all := a.WorstAlong(e, m.level, []analysis.Measure{open})[0]
				if math.Abs(found.Value-all.Value) > 2*slack*all.Value+negligible(&m) {
					t.Errorf("seed %d, %s %s: %.12g under %s, %.12g under %s without bounds", seed, names[k], m.name, found.Value, &found.Placement, all.Value, &all.Placement)
				}
			}
		}
	}
}

// Bounds leave the choice among equals alone: on a barrier that is alike at both ends the search
// finds the same of two mirror images with bounds as without, the first along the run.
func TestBoundsKeepTheFirstOfEquals(t *testing.T) {
	p := oneRail(evenly(4, 1.5), 1.1, 150e3, own("point", "0.9 kN", "top", "outward"))
	a := ready(t, p.definition(t))
	names, all := elements(a)
	for _, m := range fewMeasures() {
		open := analysis.Measure{Of: m.of, Bound: func(*analysis.State) float64 { return math.Inf(1) }}
		for k, e := range all {
			bound := a.WorstAlong(e, m.level, []analysis.Measure{measure(m.of)})[0]
			free := a.WorstAlong(e, m.level, []analysis.Measure{open})[0]
			if bound.Probe != free.Probe || math.Abs(bound.Placement.X-free.Placement.X) > 1e-6 || math.Abs(bound.Value-free.Value) > 1e-12*free.Value+negligible(&m) {
				t.Errorf("%s %s: %.12g under %s, %.12g under %s without bounds", names[k], m.name, bound.Value, &bound.Placement, free.Value, &free.Placement)
			}
		}
	}
}

// Several measures at once, several queries at once and each alone give the same.
func TestMeasuresDoNotDisturbEachOther(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 0))
	p := randomPlan(r, mixed(r)...)
	a := ready(t, p.definition(t))
	measures := fewMeasures()
	names, all := elements(a)
	for k, e := range all {
		together := worst(a, e, measures)
		for i := range measures {
			single := worst(a, e, measures[i:i+1])[0]
			if math.Abs(single.Value-together[i].Value) > 2*slack*single.Value+negligible(&measures[i]) {
				t.Errorf("%s %s: %.12g alone, %.12g among others", names[k], measures[i].name, single.Value, together[i].Value)
			}
		}
	}
}

// A query of some actions finds what the barrier with these alone gives, wherever the
// others stand.
func TestOnlySomeActions(t *testing.T) {
	r := rand.New(rand.NewPCG(25, 0))
	p := randomPlan(r, own("point", "5 kN", "top", "across"), own("point", "0.5 kN", "top", "outward"), own("line", "2 kN/m", "top", "down"))
	a := ready(t, p.definition(t))
	p.loads = p.loads[1:2]
	alone := ready(t, p.definition(t))
	names, some := elements(a)
	_, all := elements(alone)
	for k := range some {
		for _, m := range fewMeasures() {
			q := analysis.Query{Level: m.level, Measures: []analysis.Measure{measure(m.of)}, Only: func(act *analysis.Action) bool { return act == a.Actions[1] }}
			got, want := a.WorstOf(some[k], q)[0][0], worst(alone, all[k], []named{m})[0]
			if math.Abs(got.Value-want.Value) > 2*slack*want.Value+negligible(&m) {
				t.Errorf("%s %s: %.12g (%s), that load alone gives %.12g", names[k], m.name, got.Value, &got.Placement, want.Value)
			}
		}
	}
}

// compare holds a found optimum to two demands: an ordinary load case with the
// load where it was placed gives the same value, and brute force finds none
// above it.
func compare(t *testing.T, ref *reference, name string, e *analysis.Element, m *named, found *analysis.Placed, brute *trial) {
	t.Helper()
	st := ref.reproduce(e, found)
	rounding := 1e-11 // of forces of some kN and moments of some hundred Nm
	if m.level == analysis.Service {
		rounding = 1e-14 // of movements of some cm
	}
	if got := m.of(&st); math.Abs(got-found.Value) > slack*math.Abs(got)+rounding {
		t.Errorf("%s %s: found %.12g under %s at %.6f, solved again %.12g", name, m.name, found.Value, found.Placement.In(quantity.Metric), found.Station, got)
	}
	if brute.value > found.Value*(1+slack)+negligible(m) {
		t.Errorf("%s %s: found %.12g (member from %.4f, station %.6f, after %v, %s), brute force %.12g (member from %.4f, station %.6f, after %v, x = %.6f, n = %.4f): %.2e more",
			name, m.name, found.Value, found.Probe.From, found.Station, found.After, found.Placement.In(quantity.Metric),
			brute.value, brute.place.from, brute.place.station, brute.place.after, brute.at.x, brute.n, brute.value/found.Value-1)
	}
}

// negligible is what counts as nothing in the units of a measure: rounding of
// responses that vanish.
func negligible(m *named) float64 {
	switch m.level {
	case analysis.Service:
		return 1e-12
	}
	return 1e-8
}

// with returns a combination that is changed.
func with(c *analysis.Combination, change func(*analysis.Combination)) *analysis.Combination {
	out := *c
	change(&out)
	return &out
}
