package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/solver"
)

// withBraces is a plan with braces of the posts' tube.
func withBraces(p plan, braces ...barrier.Brace) plan {
	p.change = func(d *barrier.Definition) {
		for _, b := range braces {
			b.Member = d.Post.Member
			d.Braces = append(d.Braces, b)
		}
	}
	return p
}

// pressed and pulled are the axial force either way, which fall when it turns: they bring
// their bound.
func pressed() analysis.Measure {
	return analysis.Measure{Of: func(s *analysis.State) float64 { return -s.N }, Bound: func(s *analysis.State) float64 { return math.Abs(s.N) }}
}

func pulled() analysis.Measure {
	return analysis.Measure{Of: func(s *analysis.State) float64 { return s.N }, Bound: func(s *analysis.State) float64 { return math.Abs(s.N) }}
}

// braceState reads a brace at a station in a solved case, by the solver's own diagram.
func (r *reference) braceState(brace int, s *solver.Solution, station float64) analysis.State {
	d := s.Diagram(r.f.Braces[brace].ID)
	at := func(c solver.Component) float64 { return d.At(c, station) }
	return analysis.State{N: at(solver.Axial), Vy: at(solver.ShearY), Vz: at(solver.ShearZ), T: at(solver.Torsion), My: at(solver.MomentY), Mz: at(solver.MomentZ)}
}

// placed solves a placed load by hand and returns the state of a brace at a station.
func (r *reference) placed(brace int, p *analysis.Placed) analysis.State {
	c := r.dead(p.Combination.Permanent)
	if pl := &p.Placement; pl.Action != nil {
		force := times(p.Combination.Variable, pl.Force())
		var more solver.Case
		if pl.Action.Point {
			more = r.pointCase(pl.Action, r.spotOf(pl), force)
		} else {
			more = r.lineCase(pl.Action, pl.Lengths, force)
		}
		c.Points, c.Lines = more.Points, more.Lines
	}
	return r.braceState(brace, r.m.Solve(c), p.Station)
}

// TestBraceForceByBruteForce puts every load at every place of a fine grid, every way that it
// may point, or on every length of a grid that is adverse: no placement gives a brace more
// than the search finds, and what it finds is what the load gives when it is solved again.
func TestBraceForceByBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 7))
	for _, c := range []struct{ kind, value, direction string }{
		{"point", "1 kN", "outward"}, {"point", "1 kN", "horizontal"}, {"point", "0.8 kN", "down"}, {"line", "0.74 kN/m", "across"}, {"line", "0.5 kN/m", "horizontal"},
	} {
		for range 3 {
			p := randomPlan(r)
			load := own(c.kind, c.value, p.rails[0].name, c.direction)
			p.loads = []string{load}
			p = withBraces(p, barrier.Brace{Post: 0, Height: between(r, 0.8, 0.95), Outward: -between(r, 0.5, 0.8), Along: between(r, 0, 0.2)},
				barrier.Brace{Post: 1, Height: p.rails[0].height, Outward: between(r, 0.5, 0.8), Level: -0.1})
			d := p.definition(t)
			a, ref := ready(t, d), newReference(t, d)
			for brace := range d.Braces {
				for _, m := range []struct {
					name string
					analysis.Measure
				}{{"compression", pressed()}, {"tension", pulled()}, {"interaction", measure(interaction)}} {
					found := a.WorstAlong(a.Brace(brace), analysis.Strength, []analysis.Measure{m.Measure})[0]
					what := fmt.Sprintf("%s %s, brace %d, %s", c.kind, c.direction, brace+1, m.name)
					again := ref.placed(brace, &found)
					if v := m.Of(&again); math.Abs(v-found.Value) > 1e-7*(1+math.Abs(v)) {
						t.Errorf("%s: %s gives %.9g, found %.9g (source: the same load solved again)", what, &found.Placement, v, found.Value)
					}
					if v := ref.bruteBrace(brace, a.Actions[0], m.Measure, c.direction); v > found.Value*(1+1e-6)+1e-9 {
						t.Errorf("%s: brute force finds %.9g, the search %.9g under %s", what, v, found.Value, &found.Placement)
					}
				}
			}
		}
	}
}

// bruteBrace returns the largest value of a measure over a grid of places, ways and
// stations of a brace.
func (r *reference) bruteBrace(brace int, act *analysis.Action, m analysis.Measure, word string) float64 {
	length := r.f.Length(r.f.Braces[brace].ID)
	_, vectors := ways(word, 5)
	basis := directions(vectors)
	spots, _ := r.spots(act, 0.03)
	dead := r.m.Solve(r.dead(1))
	unit := make([][]float64, len(spots)) // the axial force under each spot and direction
	for i, at := range spots {
		for _, b := range basis {
			unit[i] = append(unit[i], r.braceState(brace, r.m.Solve(r.pointCase(act, at, b)), 0).N)
		}
	}
	worst := math.Inf(-1)
	for k := range 11 {
		permanent := r.braceState(brace, dead, length*float64(k)/10)
		offer := func(n, variable, factor float64) {
			st := plus(&analysis.State{}, factor, &permanent)
			st.N += variable * n
			worst = math.Max(worst, m.Of(&st))
		}
		for _, f := range factors(act, analysis.Strength) {
			for _, way := range vectors {
				var pull, press float64
				for i, at := range spots {
					n := 0.0
					for j, b := range basis {
						n += dot(b, way) * unit[i][j]
					}
					if act.Point {
						offer(n*r.size(act, at), f[1], f[0])
						continue
					}
					if i > 0 && spots[i].x > spots[i-1].x { // the lesser end of each step: no more than the integral
						before := 0.0
						for j, b := range basis {
							before += dot(b, way) * unit[i-1][j]
						}
						step := (spots[i].x - spots[i-1].x) * act.Value
						pull += step * math.Max(0, math.Min(n, before))
						press += step * math.Min(0, math.Max(n, before))
					}
				}
				if !act.Point {
					offer(pull, f[1], f[0])
					offer(press, f[1], f[0])
				}
			}
		}
	}
	return worst
}

// TestBraceWeight holds a brace under nothing but its own weight to statics: a simple span
// along its slope, whose axial force grows up to the post by the weight along it.
func TestBraceWeight(t *testing.T) {
	p := withBraces(oneRail(evenly(3, 1.5), 1.1, 80e3, own("point", "1 kN", "top", "outward")),
		barrier.Brace{Post: 1, Height: 0.9, Outward: -0.6, Along: 0.3, Level: -0.1})
	d := p.definition(t)
	a := ready(t, d)
	b := &d.Braces[0]
	weight, length, reach := b.MassPerMetre()*standardGravity, b.Length(), b.Reach()
	e := a.Brace(0)
	only := func(s float64) analysis.State {
		return a.WorstAt(e.Probes[0], []float64{s}, analysis.Query{Level: analysis.Characteristic, Measures: []analysis.Measure{measure(moment)}, Only: func(*analysis.Action) bool { return false }})[0][0].State
	}
	foot, middle, head := only(0), only(length/2), only(length)
	span := verification.New(t, verification.Placement).From("brace under its own weight", "statics of a simple span", verification.Derived)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"moment amid, Nm", middle.Moment(), weight * reach / length * length * length / 8},
		{"moment at the foot, Nm", foot.Moment(), 0},
		{"moment at the head, Nm", head.Moment(), 0},
		{"shear at the foot, N", foot.Shear(), weight * reach / 2},
		{"axial force from foot to head, N", head.N - foot.N, weight * b.Rise()},
		{"torsion, Nm", middle.T, 0},
	} {
		if c.want != 0 {
			span.Add(c.what, c.want, c.got)
		}
		if math.Abs(c.got-c.want) > 1e-9*weight {
			t.Errorf("%s = %.12g, want %.12g (source: statics of a simple span)", c.what, c.got, c.want)
		}
	}
}

// TestBraceEnds balances what a brace does to the post and to the ground with its weight, and
// each with its axial force there.
func TestBraceEnds(t *testing.T) {
	p := withBraces(oneRail(evenly(3, 1.5), 1.1, 80e3, own("point", "1 kN", "top", "outward")),
		barrier.Brace{Post: 1, Height: 0.9, Outward: -0.6, Along: 0.3, Level: -0.1})
	d := p.definition(t)
	a := ready(t, d)
	b := &d.Braces[0]
	found := a.Worst(a.BraceFoot(0), 0, analysis.Characteristic, measure(func(s *analysis.State) float64 { return math.Abs(s.Vz) }))
	head := found
	head.Probe = a.BraceHead(0)
	ground, post := found.State, a.Replay(&head)
	weight := b.MassPerMetre() * standardGravity * b.Length()
	sum := [3]float64{ground.N + post.N, ground.Vy + post.Vy, ground.Vz + post.Vz + weight}
	for k, v := range sum {
		if math.Abs(v) > 1e-7 {
			t.Errorf("direction %d: what the brace does is off its weight by %.3g N (source: equilibrium)", k, v)
		}
	}
	// What the post does to the brace holds its weight about the foot; (-along, -outward) is the way up it.
	level, up := (post.N*b.Along+post.Vy*b.Outward)/b.Reach(), -post.Vz
	if got, want := up*b.Reach()-level*b.Rise(), weight*b.Reach()/2; math.Abs(got-want) > 1e-6 {
		t.Errorf("about the foot the post holds %.9g N·m of the weight, want %.9g (source: equilibrium)", got, want)
	}
	if _, _, equilibrium := a.Verify(&found); equilibrium > 1e-9 {
		t.Errorf("the case solved again is off balance by %g", equilibrium)
	}
}
