package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// Fields, and loads that act together. The combinations of these tests are the user's own, so
// that their factors stand here; every subset of a combination counts too.

// breeze is a field made by hand: an even line load on every member, its opposite, and where
// rough is given what else a field may hold, at random.
func breeze(q solver.Vec, rough *rand.Rand) *analysis.Action {
	on := func(q solver.Vec, seed uint64) func(*analysis.Replayer) solver.Case {
		return func(r *analysis.Replayer) solver.Case {
			var random *rand.Rand
			if rough != nil {
				random = rand.New(rand.NewPCG(70, seed))
			}
			return blown(r.Frame, q, random)
		}
	}
	f := &analysis.Field{Senses: []analysis.Sense{{Words: called("breeze"), On: on(q, 1)}, {Words: called("breeze back"), On: on(times(-1, q), 2)}}}
	return &analysis.Action{Name: "breeze", Symbol: "W", Field: f, Category: loads.WindAction, Strength: 1.5, Yield: 1}
}

func blown(f *barrier.Frame, q solver.Vec, random *rand.Rand) solver.Case {
	var c solver.Case
	on := func(m solver.MemberID) {
		length := f.Length(m)
		c.Lines = append(c.Lines, solver.LineLoad{Member: m, To: length, Start: q, End: q})
		if random == nil {
			return
		}
		any := func(size float64) solver.Vec {
			return solver.Vec{size * random.NormFloat64(), size * random.NormFloat64(), size * random.NormFloat64()}
		}
		from := length * random.Float64()
		c.Lines = append(c.Lines, solver.LineLoad{Member: m, From: from, To: from + (length-from)*random.Float64(), Start: any(200), End: any(200), Local: random.IntN(2) == 0})
		for _, at := range []float64{0, length * random.Float64(), length} {
			c.Points = append(c.Points, solver.PointLoad{Member: m, At: at, Force: any(40), Moment: any(15), Local: random.IntN(2) == 0})
		}
	}
	for i := range f.Posts {
		for _, m := range f.Posts[i].Members {
			on(m)
		}
	}
	for i := range f.Rails {
		for _, m := range f.Rails[i].Members {
			on(m.ID)
		}
		if random != nil {
			g := &f.Rails[i].Grips[0]
			c.Nodes = append(c.Nodes, solver.NodeLoad{Node: g.After, Force: solver.Vec{10, 20, -30}, Moment: solver.Vec{1, 2, 3}})
			c.Gravity = solver.Vec{1, 2, -3}
		}
	}
	for i := range f.Braces {
		on(f.Braces[i].ID)
	}
	return c
}

// joined returns the analysis of a plan whose loads and fields act together with factors of
// their own: for strength those given, for movement and first yield each once.
func joined(t *testing.T, p *plan, fields []*analysis.Action, factors ...float64) *analysis.Analysis {
	t.Helper()
	return joinedOf(t, p, fields, func(*analysis.Action) bool { return true }, factors...)
}

// joinedOf is the same of some of the actions.
func joinedOf(t *testing.T, p *plan, fields []*analysis.Action, which func(*analysis.Action) bool, factors ...float64) *analysis.Analysis {
	t.Helper()
	d := p.definition(t)
	for range fields {
		d.Loads = append(d.Loads, barrier.Load{Name: "field"})
	}
	strength, service := map[int]float64{}, map[int]float64{}
	for i := range d.Loads {
		strength[i], service[i] = factors[i], 1
	}
	d.Combine = barrier.Combining{Only: true, Own: []barrier.OwnCombination{
		{Name: "strong", Situation: loads.Strength, Permanent: [2]float64{1.35, 1}, Factors: strength},
		{Name: "served", Situation: loads.Service, Permanent: [2]float64{1, 1}, Factors: service},
	}}
	given := len(d.Loads) - len(fields)
	own := d.Loads
	d.Loads = own[:given]
	actions, _ := analysis.Actions(d)
	actions = slices.DeleteFunc(actions, func(a *analysis.Action) bool { return !which(a) })
	d.Loads = own
	for i, f := range fields {
		f.Load = given + i
		actions = append(actions, f)
	}
	a, err := analysis.New(d, layout(d), actions)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// caseOf puts a placed load and what stands beside it on the frame by hand.
func (r *reference) caseOf(a *analysis.Analysis, p *analysis.Placed) solver.Case {
	c := r.dead(p.Combination.Permanent)
	add := func(pl *analysis.Placement, factor float64) {
		if pl.Action == nil {
			return
		}
		var of solver.Case
		switch {
		case pl.Action.Field != nil:
			of, pl = pl.Action.Field.Senses[pl.Sense].On(&a.Replayer), nil
		case pl.Action.Point:
			of = r.pointCase(pl.Action, r.spotOf(pl), pl.Force())
		default:
			of = r.lineCase(pl.Action, pl.Lengths, pl.Force())
		}
		for _, l := range of.Points {
			l.Force, l.Moment = times(factor, l.Force), times(factor, l.Moment)
			c.Points = append(c.Points, l)
		}
		for _, l := range of.Lines {
			l.Start, l.End = times(factor, l.Start), times(factor, l.End)
			c.Lines = append(c.Lines, l)
		}
		for _, l := range of.Nodes {
			l.Force, l.Moment = times(factor, l.Force), times(factor, l.Moment)
			c.Nodes = append(c.Nodes, l)
		}
		for k := range c.Gravity {
			c.Gravity[k] += factor * of.Gravity[k]
		}
	}
	add(&p.Placement, p.Combination.Variable)
	for i := range p.Beside {
		add(&p.Beside[i], p.Combination.Beside.Terms[i].Factor)
	}
	return c
}

// A load that was found, with all that stands beside it, solved again as an ordinary load
// case, gives its state (superposition): but for a load within 1e-9 m of the section, which
// counts as standing at it.
func TestVerifyTogether(t *testing.T) {
	const trusted = 1e-9
	for seed := range uint64(10) {
		r := rand.New(rand.NewPCG(71, seed))
		word := []string{"outward", "across", "down", "any", "horizontal"}[seed%5]
		other := []string{"down", "along", "outward", "outward", "any"}[seed%5]
		kinds := [][2]string{{"point", "line"}, {"point", "point"}, {"line", "line"}, {"line", "point"}}[seed%4]
		if kinds[1] == "line" && other == "any" || kinds[0] == "line" && word == "any" {
			kinds = [2]string{"point", "point"} // lengths that turn have a test of their own
		}
		value := map[string]string{"point": "0.5 kN", "line": "0.36 kN/m"}
		p := randomPlan(r, own(kinds[0], value[kinds[0]], "top", word), own(kinds[1], value[kinds[1]], "top", other))
		p.posts = p.posts[:3]
		for i := range p.rails {
			p.rails[i].splices = nil
		}
		if seed >= 4 {
			p = withEnds(r, p)
		}
		a := joined(t, &p, []*analysis.Action{breeze(solver.Vec{30, 90, -20}, r)}, 1.5, 1.05, 0.9)
		ref := newReference(t, a.Definition)
		proved, beside := 0, 0
		prove := func(name string, found analysis.Placed) {
			t.Helper()
			if !found.Found() {
				return
			}
			proved++
			beside += len(found.Beside)
			placement, stiffness, equilibrium := a.Verify(&found)
			if !(placement < trusted && stiffness < trusted && equilibrium < trusted) {
				t.Errorf("seed %d, %s: %s under %s, at %.9f of member from %.4f, after %v: placement %.1e, stiffness %.1e, equilibrium %.1e",
					seed, name, found.LoadIn(quantity.Metric), found.Combination, found.Station, found.Probe.From, found.After, placement, stiffness, equilibrium)
			}
		}
		names, all := elements(a)
		measures := strengthAndMovement()
		for k, e := range all {
			for m, found := range worst(a, e, measures) {
				prove(names[k]+" "+measures[m].name, found)
				if found.Probe.Rail >= 0 || seed%3 > 0 {
					continue
				}
				for i, q := range ref.members(e) { // by hand: a post, on which no load stands at the section
					if e.Probes[i] == found.Probe {
						q.station = found.Station
						st := ref.states(ref.caseOf(a, &found), []place{q})[0]
						if got := measures[m].of(&st); math.Abs(got-found.Value) > 1e-8*math.Abs(got)+1e-9 {
							t.Errorf("seed %d, %s %s: found %.12g, by hand %.12g", seed, names[k], measures[m].name, found.Value, got)
						}
					}
				}
			}
		}
		for _, q := range joints(a) {
			for _, m := range measures[:6] {
				name := fmt.Sprintf("joint of post %d, rail %d, %s", q.Post+1, q.Rail+1, m.name)
				prove(name, a.Worst(q, 0, m.level, measure(m.of)))
			}
		}
		if proved < 40 || beside < proved/2 {
			t.Errorf("seed %d: only %d loads proved, with %d beside", seed, proved, beside)
		}
	}
}

// alternatives are what the loads of a combination do at a place, each load in every way it
// may stand: one at a time for a point load, any of them at once for the cells of a line.
type alternatives struct {
	permanent analysis.State
	fields    []analysis.State     // each sense, or nothing
	points    [][]analysis.State   // of each point load
	lines     [][][]analysis.State // of each line load and way: its cells
}

// gather works out what the actions of an analysis do at a place, factored, on a grid of
// steps, m.
func (r *reference) gather(a *analysis.Analysis, at place, factors []float64, step float64) alternatives {
	out := alternatives{permanent: r.permanent([]place{at})[0], fields: []analysis.State{{}}}
	for i, act := range a.Actions {
		f := factors[i]
		switch {
		case act.Field != nil:
			for _, s := range act.Field.Senses {
				st := r.states(s.On(&a.Replayer), []place{at})[0]
				out.fields = append(out.fields, plus(&analysis.State{}, f, &st))
			}
		case act.Point:
			all := []analysis.State{{}}
			spots, _ := r.spots(act, step)
			for _, way := range wayVectors(act) {
				for _, x := range spots {
					st := r.states(r.pointCase(act, x, times(act.Value, way)), []place{at})[0]
					all = append(all, plus(&analysis.State{}, f, &st))
				}
			}
			out.points = append(out.points, all)
		default:
			ways := wayVectors(act)
			c := r.cells(act, ways, step, []place{at})
			var all [][]analysis.State
			for _, way := range ways {
				each := c.along(way, 0)
				for k := range each {
					each[k] = plus(&analysis.State{}, f, &each[k])
				}
				all = append(all, each)
			}
			out.lines = append(out.lines, all)
		}
	}
	return out
}

// wayVectors returns the ways of an action: those of its direction, by the letter that its
// name begins with, every 15 deg where it turns.
func wayVectors(a *analysis.Action) []solver.Vec {
	if a.Schedule != nil && len(a.Fixed()) > 2 {
		return inCone()
	}
	_, out := ways(map[string]string{"a": "outward", "b": "down", "c": "across", "h": "horizontal", "n": "any"}[a.Name[:1]], 15)
	return out
}

// worst returns the largest value of a measure.
func (x *alternatives) worst(m *named) float64 {
	best := math.Inf(-1)
	permanent := []float64{1.35, 1}
	if m.level == analysis.Service {
		permanent = []float64{0}
	}
	for _, g := range permanent {
		for i := range x.fields {
			st := plus(&x.fields[i], g, &x.permanent)
			best = max(best, x.over(m, st, 0))
		}
	}
	return best
}

// over tries every way to stand of the point loads from the k-th on, and then the cells.
func (x *alternatives) over(m *named, st analysis.State, k int) float64 {
	if k < len(x.points) {
		best := math.Inf(-1)
		for i := range x.points[k] {
			best = max(best, x.over(m, plus(&st, 1, &x.points[k][i]), k+1))
		}
		return best
	}
	if len(x.lines) == 0 {
		return m.of(&st)
	}
	return x.loaded(m, st, nil, 0)
}

// loaded tries every way of the line loads from the k-th on, with the cells of those before.
func (x *alternatives) loaded(m *named, st analysis.State, cells []analysis.State, k int) float64 {
	if k == len(x.lines) {
		return climb(m, st, cells)
	}
	best := math.Inf(-1)
	for _, each := range x.lines[k] {
		best = max(best, x.loaded(m, st, slices.Concat(cells, each), k+1))
	}
	return best
}

// climb loads cells from several starts, uphill by the slope of the measure; for one that
// curves upwards each step gains.
func climb(m *named, st analysis.State, cells []analysis.State) float64 {
	best := m.of(&st)
	for c := range 8 {
		angle := math.Pi * float64(c) / 4
		slope := [10]float64{4: math.Cos(angle), 5: math.Sin(angle), 7: math.Cos(angle)}
		last := math.Inf(-1)
		for {
			sum := st
			for i, on := range adverse(cells, slope) {
				if on {
					sum = plus(&sum, 1, &cells[i])
				}
			}
			v := m.of(&sum)
			best = max(best, v)
			if v <= last {
				break
			}
			last, slope = v, gradient(m, &sum)
		}
	}
	return best
}

// pairings are kinds and directions of loads that act with a breeze, or with one another.
var pairings = []struct {
	name  string
	loads []string
	field bool
	step  float64 // m, at one station
	along float64 // m, along an element
}{
	{"point and wind", []string{"name = \"a\"\n" + own("point", "0.6 kN", "top", "outward")}, true, 1e-3, 25e-3},
	{"line and wind", []string{"name = \"b\"\n" + own("line", "0.5 kN/m", "top", "down")}, true, 1e-3, 25e-3},
	{"line and line", []string{"name = \"a\"\n" + own("line", "0.5 kN/m", "top", "outward"), "name = \"b\"\n" + own("line", "0.4 kN/m", "top", "down")}, true, 1e-3, 25e-3},
	{"point and point", []string{"name = \"a\"\n" + own("point", "0.6 kN", "top", "outward"), "name = \"b\"\n" + own("point", "0.5 kN", "top", "down")}, false, 1e-3, 25e-3},
	{"point and line", []string{"name = \"a\"\n" + own("point", "0.6 kN", "top", "outward"), "name = \"b\"\n" + own("line", "0.4 kN/m", "top", "down")}, false, 10e-3, 50e-3},
	{"two rails", []string{"name = \"a\"\n" + own("point", "0.6 kN", "top", "outward"), "name = \"c\"\n" + own("point", "0.8 kN", "knee", "across")}, true, 10e-3, 25e-3},
	{"line and point", []string{"name = \"a\"\n" + own("line", "0.6 kN/m", "top", "outward"), "name = \"c\"\n" + own("point", "0.8 kN", "knee", "across")}, true, 50e-3, 100e-3},
	{"turning point and wind", []string{"name = \"n\"\n" + own("point", "0.6 kN", "top", "any")}, true, 50e-3, 200e-3},
	{"turning line and wind", []string{"name = \"h\"\n" + own("line", "0.4 kN/m", "top", "horizontal")}, true, 20e-3, 200e-3},
	{"turning point and line", []string{"name = \"h\"\n" + own("point", "0.6 kN", "top", "horizontal"), "name = \"b\"\n" + own("line", "0.4 kN/m", "top", "down")}, false, 40e-3, 200e-3},
	{"turning line and point", []string{"name = \"h\"\n" + own("line", "0.4 kN/m", "top", "horizontal"), "name = \"c\"\n" + own("point", "0.5 kN", "knee", "across")}, false, 40e-3, 200e-3},
	{"alike", []string{"name = \"a\"\n" + own("point", "0.6 kN", "top", "outward"), "name = \"a again\"\n" + own("point", "0.4 kN", "top", "outward")}, true, 5e-3, 25e-3},
}

// small is a barrier of two uneven short bays.
func small(loads []string) plan {
	p := oneRail([]float64{0, 0.6, 1.0}, 1.1, 60e3, loads...)
	p.rails = append(p.rails, railPlan{name: "knee", height: 0.6})
	return p
}

// tried is a pairing on a small barrier, with its factors for strength and for movement.
type tried struct {
	a       *analysis.Analysis
	ref     *reference
	factors map[bool][]float64 // for movement, or not
}

func newTried(t *testing.T, pairing int, wind solver.Vec) *tried {
	t.Helper()
	x := &pairings[pairing]
	p := small(x.loads)
	factors := []float64{1.5, 0.9}[:len(x.loads)]
	var fields []*analysis.Action
	if x.field {
		fields, factors = append(fields, breeze(wind, nil)), append(factors, 0.8)
	}
	a := joined(t, &p, fields, factors...)
	return &tried{a, newReference(t, a.Definition), map[bool][]float64{false: factors, true: slices.Repeat([]float64{1}, len(factors))}}
}

// bruteAt returns the largest value of each measure at a place by brute force.
func (x *tried) bruteAt(q place, measures []named, step float64) []float64 {
	of := map[bool]alternatives{}
	for moves, f := range x.factors {
		of[moves] = x.ref.gather(x.a, q, f, step)
	}
	var out []float64
	for i := range measures {
		all := of[measures[i].level == analysis.Service]
		out = append(out, all.worst(&measures[i]))
	}
	return out
}

// below fails where brute force gives more than what was found.
func (x *tried) below(t *testing.T, m *named, found *analysis.Placed, q place, brute float64) {
	t.Helper()
	if brute > found.Value*(1+slack)+negligible(m) {
		t.Errorf("%s: found %.12g at %.6f from %.4f (%s under %s), brute force %.12g at %.6f from %.4f: %.2e more",
			m.name, found.Value, found.Station, found.Probe.From, found.LoadIn(quantity.Metric), found.Combination, brute, q.station, q.from, brute/found.Value-1)
	}
}

// At a station, no places on a grid of 1 mm give more than those found, and those found give
// what they say. Beside a line a point is tried every 10 mm, for each step has lengths of its
// own; what turns or stands elsewhere than its partner every 10 to 50 mm, and every 15 deg.
func TestTogetherAgainstBruteForce(t *testing.T) {
	t.Parallel()
	measures := []named{{"moment", analysis.Strength, moment}, {"interaction", analysis.Strength, interaction}, {"across", analysis.Service, across}}
	for i, pairing := range pairings {
		t.Run(pairing.name, func(t *testing.T) {
			x := newTried(t, i, solver.Vec{0, 80, -30})
			for _, at := range []struct {
				e      *analysis.Element
				member int
			}{{x.a.Post(1), 0}, {x.a.Rail(0), 1}} {
				q := x.ref.members(at.e)[at.member]
				q.station = 0.37 * q.length
				for _, q.after = range []bool{false, true} {
					brute := x.bruteAt(q, measures, pairing.step)
					for k := range measures {
						found := x.a.Worst(at.e.Probes[at.member], q.station, measures[k].level, measure(measures[k].of))
						x.below(t, &measures[k], &found, q, brute[k])
						if off, _, _ := x.a.Verify(&found); !(off < 1e-10) {
							t.Errorf("%s: %s off by %.1e", measures[k].name, found.LoadIn(quantity.Metric), off)
						}
					}
				}
			}
		})
	}
}

// Along an element, no places and no sections on a grid of 25 mm, 100 or 200 where that is
// long, give more than those found, and a step of 1 mm of section, load or both from where they
// were found gains nothing.
func TestTogetherAlongAgainstBruteForce(t *testing.T) {
	t.Parallel()
	measures := []named{{"moment", analysis.Strength, moment}, {"interaction", analysis.Strength, interaction}, {"shear", analysis.Strength, shear}, {"across", analysis.Service, across}}
	for i, pairing := range pairings {
		t.Run(pairing.name, func(t *testing.T) {
			x := newTried(t, i, solver.Vec{0, 300, -60})
			for _, e := range []*analysis.Element{x.a.Post(0), x.a.Rail(0), x.a.Rail(1)} {
				found := worst(x.a, e, measures)
				for _, q := range x.ref.members(e) {
					n := int(math.Round(q.length / pairing.along))
					for k := range 2 * (n + 1) {
						q.station, q.after = q.length*float64(k/2)/float64(n), k%2 == 1
						for m, brute := range x.bruteAt(q, measures, pairing.along) {
							x.below(t, &measures[m], &found[m], q, brute)
						}
					}
				}
				for m := range measures {
					stepsAround(t, x.a, &measures[m], &found[m])
				}
			}
		})
	}
}

// stepsAround moves the section and the point loads of what was found by a millimetre each
// way, alone and together, and solves again.
func stepsAround(t *testing.T, a *analysis.Analysis, m *named, found *analysis.Placed) {
	t.Helper()
	for s := -1.0; s <= 1; s++ {
		for x := -1.0; x <= 1; x++ {
			for y := -1.0; y <= 1; y++ {
				q, ok := found.Moved(1e-3*s, 1e-3*x, 1e-3*y)
				if !ok {
					continue
				}
				st := a.Replay(&q)
				if v := m.of(&st); v > found.Value*(1+slack)+negligible(m) {
					t.Errorf("%s: found %.12g (%s at %.6f from %.4f), %.12g where section and loads move by %g, %g, %g mm: %.2e more",
						m.name, found.Value, found.LoadIn(quantity.Metric), found.Station, found.Probe.From, v, s, x, y, v/found.Value-1)
				}
			}
		}
	}
}

// Posts whose rails pass on nothing stand alone: the foot of one under 1.5 Q at the top and
// 0.9 W spread over it has the moment 1.5 Q h + 0.9 W h/2 (statics).
func TestLonePostUnderLoadAndWind(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const h, q, w = 1.1, 500.0, 120.0
	p := oneRail(evenly(3, 1.5), h, math.Inf(1), own("point", "0.5 kN", "top", "outward"))
	p.change = func(d *barrier.Definition) { stiffen(&d.Rails[0].Member, 1e-7) }
	wind := breeze(solver.Vec{}, nil)
	for i := range wind.Field.Senses {
		sign := []float64{1, -1}[i]
		wind.Field.Senses[i].On = func(r *analysis.Replayer) (c solver.Case) {
			for _, post := range r.Frame.Posts {
				for _, m := range post.Members {
					f := solver.Vec{0, sign * w, 0}
					c.Lines = append(c.Lines, solver.LineLoad{Member: m, To: r.Frame.Length(m), Start: f, End: f})
				}
			}
			return c
		}
	}
	a := joined(t, &p, []*analysis.Action{wind}, 1.5, 0.9)
	found := a.Worst(a.Post(1).Probes[0], 0, analysis.Strength, measure(func(s *analysis.State) float64 { return math.Abs(s.Mz) }))
	(&row{"lone post, 1.5 Q h + 0.9 W h/2, Nm", "statics", found.Value, 1.5*q*h + 0.9*w*h*h/2, 1e-4}).outside(t, record, "load and wind together")
	if got, want := found.Combination.String(), "1.35 G + 1.50 Q + 0.90 W"; got != want {
		t.Errorf("combination %q, want %q", got, want)
	}
	if found.Combination.Name != "strong" || found.Combination.LimitState() != "ULS" {
		t.Errorf("combination %q of %q", found.Combination.Name, found.Combination.LimitState())
	}
	if got, want := found.LoadIn(quantity.Metric), "point 0.500 kN outward on top rail at x = 1.500 m; with breeze"; got != want {
		t.Errorf("load %q, want %q", got, want)
	}
}

// A brace in the wind is a beam between its pins: what it does to its post and to the ground
// is together all that acts on it (statics), and its sections are those of an ordinary load
// case.
func TestBraceInTheWind(t *testing.T) {
	p := withBraces(small([]string{own("point", "0.6 kN", "top", "outward")}), barrier.Brace{Post: 1, Height: 0.9, Outward: -0.7, Along: 0.2})
	q := solver.Vec{20, 90, -40}
	a := joined(t, &p, []*analysis.Action{breeze(q, nil)}, 1.5, 0.9)
	ref := newReference(t, a.Definition)
	length := a.Frame.Length(a.Frame.Braces[0].ID)
	found := a.WorstAlong(a.Brace(0), analysis.Strength, []analysis.Measure{measure(interaction)})[0]
	if len(found.Beside) != 1 || !(found.Station > 0.1*length && found.Station < 0.9*length) {
		t.Errorf("%s at %g of %g", found.LoadIn(quantity.Metric), found.Station, length)
	}
	st := ref.braceState(0, ref.m.Solve(ref.caseOf(a, &found)), found.Station)
	if v := interaction(&st); math.Abs(v-found.Value) > 1e-8*v {
		t.Errorf("found %.12g, solved again %.12g", found.Value, v)
	}
	var sum solver.Vec
	for _, end := range []*analysis.Probe{a.BraceHead(0), a.BraceFoot(0)} {
		at := found
		at.Probe, at.Station, at.After = end, 0, false
		st := a.Replay(&at)
		sum = solver.Vec{sum[0] + st.N, sum[1] + st.Vy, sum[2] + st.Vz}
	}
	sense, weight := []float64{1, -1}[found.Beside[0].Sense], a.Definition.Braces[0].MassPerMetre()*standardGravity
	for k, want := range times(0.9*sense*length, q) {
		if k == 2 {
			want -= found.Combination.Permanent * weight * length
		}
		if math.Abs(sum[k]-want) > 1e-8*(1+math.Abs(want)) {
			t.Errorf("both ends pass on %.9g N along axis %d, %.9g acts", sum[k], k, want)
		}
	}
}

// A post that is hinged at its foot and held at its top by a stiff rail between walls is a
// simple beam: the wind along it gives w h²/8 in the middle, and the load on the rail nothing
// there (AISC Manual Table 3-23, case 1; memory).
func TestProppedPostInTheWind(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const h, w = 1.1, 400.0
	p := oneRail([]float64{0, 0.5}, h, 1.1e-2, own("point", "0.6 kN", "top", "outward"))
	p.change = func(d *barrier.Definition) {
		d.Run.Start, d.Run.End = barrier.End{Wall: true, X: -0.2, AlongHeld: true}, barrier.End{Wall: true, X: 0.7, AlongHeld: true}
		stiffen(&d.Rails[0].Member, 1e7)
	}
	a := joined(t, &p, []*analysis.Action{breeze(solver.Vec{0, w, 0}, nil)}, 1.5, 0.9)
	bending := measure(func(s *analysis.State) float64 { return math.Abs(s.Mz) })
	found := a.WorstAlong(a.Post(0), analysis.Strength, []analysis.Measure{bending})[0]
	(&row{"propped post, 0.9 w h^2/8, Nm", "AISC Manual Table 3-23, case 1 (memory)", found.Value, 0.9 * w * h * h / 8, 1e-3}).outside(t, record, "load and wind together")
	if math.Abs(found.Station-h/2) > 1e-3 {
		t.Errorf("at %g of %g", found.Station, h)
	}
}

// A load that may turn is told by the way that is worst with the wind, which has no twin.
func TestTwinWithTheWind(t *testing.T) {
	p := small([]string{own("point", "0.6 kN", "top", "horizontal")})
	wind := breeze(solver.Vec{0, -80, 0}, nil)
	wind.Field.Senses = wind.Field.Senses[:1]
	a := joined(t, &p, []*analysis.Action{wind}, 1.5, 0.9)
	foot := a.Post(1).Probes[0]
	found := a.Worst(foot, 0, analysis.Strength, measure(moment))
	with, against := a.WorstOneWay(foot, 0, 0, analysis.Strength, measure(moment), [3]float64{0, -1}), a.WorstOneWay(foot, 0, 0, analysis.Strength, measure(moment), [3]float64{0, 1})
	if !strings.Contains(found.LoadIn(quantity.Metric), "inward") || found.Value < with*(1-slack) || against > 0.95*with {
		t.Errorf("found %.9g under %s; %.9g with the wind, %.9g against it", found.Value, found.LoadIn(quantity.Metric), with, against)
	}
	if off, _, _ := a.Verify(&found); !(off < 1e-10) {
		t.Errorf("off by %.1e", off)
	}
}

// A section that is moved with one load past another lies on that one's other side: what is found
// stands as the placed load gives it, solved as an ordinary load case. Two steep point loads
// over rails that move in a curve ask for sections near both.
func TestSectionPassesALoadBesideItsOwn(t *testing.T) {
	steep := func(name, value string) string {
		return "name = \"" + name + "\"\nkind = \"point\"\nvalue = \"" + value + "\"\ndirection = { azimuth = \"90 deg\", elevation = \"-78 deg\" }"
	}
	for name, p := range map[string]plan{
		"both on one rail": {posts: evenly(3, 2), foot: 40e3, loads: []string{steep("a", "4.30 kN"), steep("b", "3.78 kN")},
			rails: []railPlan{{name: "top", height: 1.1, cut: true}, {name: "knee", height: 0.55}}},
		"one on each": {posts: evenly(4, 1.2), foot: math.Inf(1), loads: []string{"name = \"a\"\nkind = \"point\"\nvalue = \"1.29 kN\"\ndirection = \"outward\"\nrail = \"knee\"", steep("b", "5.69 kN")},
			rails: []railPlan{{name: "top", height: 0.9, cut: true}, {name: "knee", height: 0.45, cut: true}}},
	} {
		a := joined(t, &p, nil, 1.5, 1.5)
		for _, level := range []analysis.Level{analysis.Strength, analysis.Service} {
			for rail := range p.rails {
				for _, m := range []struct {
					what string
					of   func(*analysis.State) float64
				}{
					{"moment", func(s *analysis.State) float64 { return s.Moment() }},
					{"movement across", func(s *analysis.State) float64 { return math.Abs(s.Across) }},
					{"movement from the chord", func(s *analysis.State) float64 { return math.Abs(s.Span) }},
				} {
					placed := a.WorstAlong(a.Rail(rail), level, []analysis.Measure{{Of: m.of}})[0]
					if off, _, _ := a.Verify(&placed); !(off <= 1e-8) {
						t.Errorf("%s, %v, rail %d, %s: the placed load solved again is off by %.1e", name, level, rail, m.what, off)
					}
				}
			}
		}
	}
}
