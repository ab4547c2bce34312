package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/solver"
)

// A line load on random barriers: no lengths made of whole cells may give more
// than the lengths found. With seeds 19 and 34 the load is across, along and down
// at once, and a span's moment is the largest though a support's is larger than
// at any quarter point. Seed 35 has ends of other kinds.
func TestLineLoadAgainstBruteForce(t *testing.T) {
	t.Parallel()
	words := map[uint64]string{0: "outward", 1: "down", 2: "across", 3: "along", 19: "tilted", 34: "tilted", 35: "outward"}
	seeds := []uint64{0, 1, 2, 3, 19, 34, 35}
	if testing.Short() {
		seeds = seeds[4:]
	}
	for _, seed := range seeds {
		r := rand.New(rand.NewPCG(3, seed))
		word := words[seed]
		direction, vectors := word, []solver.Vec{bearing(60, -35)}
		if word == "tilted" {
			direction = `{ azimuth = "60 deg", elevation = "-35 deg" }`
		} else {
			_, vectors = ways(word, 1)
		}
		p := randomPlan(r, own("line", "0.74 kN/m", "top", direction))
		if seed == 35 {
			p = withEnds(r, p)
			ends := p.change
			p.change = func(d *barrier.Definition) { ends(d); d.Run.Hazard = barrier.Left } // brute force knows outward as +Y
		}
		t.Run(fmt.Sprintf("%d %s", seed, word), func(t *testing.T) {
			lineAgainstBruteForce(t, &p, vectors, 0.25, 0.1, r)
		})
	}
}

// lineAgainstBruteForce compares the search with brute force: the run is cut into cells of
// that length, m, each of which is loaded or not; sections stand every step m.
func lineAgainstBruteForce(t *testing.T, p *plan, vectors []solver.Vec, step, cell float64, r *rand.Rand) {
	t.Helper()
	d := p.definition(t)
	a, ref := ready(t, d), newReference(t, d)
	names, all := elements(a)
	act := a.Actions[0]
	measures := strengthAndMovement()
	for k, e := range all {
		found := worst(a, e, measures)
		loads, _ := ref.spots(act, step)
		c := ref.cells(act, vectors, cell, ref.sections(e, loads))
		for m := range measures {
			b := c.worstLine(act, vectors, &measures[m], r)
			compare(t, ref, names[k], e, &measures[m], &found[m], &trial{value: b.value, place: c.places[b.place], n: b.n})
		}
	}
}

// For a response with one component the adverse effect is the integral of the
// positive part of its influence line, here by Simpson's rule over point loads
// placed one by one. With 500 intervals a stretch a kink at a zero costs less
// than slope times step squared, some 1e-5 of the whole.
func TestAdverseLengthIsTheIntegralOfThePositivePart(t *testing.T) {
	const q, steps, tol = 740.0, 500, 2e-5
	r := rand.New(rand.NewPCG(13, 1))
	p := randomPlan(r, own("line", "0.74 kN/m", "top", "outward"))
	d := p.definition(t)
	a, ref := ready(t, d), newReference(t, d)
	act := a.Actions[0]
	responses := []named{
		{"moment", analysis.Characteristic, func(s *analysis.State) float64 { return s.Mz }},
		{"shear", analysis.Characteristic, func(s *analysis.State) float64 { return s.Vy }},
		{"across", analysis.Service, func(s *analysis.State) float64 { return s.Across }},
	}
	names, all := elements(a)
	for k, e := range all {
		member := ref.members(e)[0]
		member.station, member.after = 0.37*member.length, true
		integrals := make([]float64, 2*len(responses))
		for _, end := range ref.stretches(act) {
			cuts := []float64{end[0], end[1]}
			if x := member.from + member.station; !member.upright && x > end[0] && x < end[1] {
				cuts = []float64{end[0], x, end[1]} // the line jumps there
			}
			for c := range len(cuts) - 1 {
				from, to := cuts[c], cuts[c+1]
				h := (to - from) / steps
				for i := range steps + 1 {
					x := from + h*float64(i)
					w := []float64{2, 4}[i%2]
					if i == 0 || i == steps {
						w = 1
					}
					section := member
					section.after = to <= member.from+member.station+1e-9 // a load up to the section stands before it
					st := ref.states(ref.pointCase(act, spot{x, i == steps && to == end[1]}, solver.Vec{0, q, 0}), []place{section})[0]
					for j := range responses {
						v := responses[j].of(&st)
						integrals[2*j] += w * h / 3 * math.Max(v, 0)
						integrals[2*j+1] += w * h / 3 * math.Max(-v, 0)
					}
				}
			}
		}
		for j := range responses {
			for s, sign := range []float64{1, -1} {
				of := responses[j].of
				m := analysis.Measure{
					Of:    func(s *analysis.State) float64 { return sign * of(s) },
					Bound: func(s *analysis.State) float64 { return math.Abs(of(s)) },
				}
				found := a.Worst(e.Probes[0], member.station, analysis.Service, m)
				whole := integrals[2*j] + integrals[2*j+1]
				(&row{fmt.Sprintf("%s %s, sign %+g", names[k], responses[j].name, sign), "integral of the positive part, Simpson", found.Value, integrals[2*j+s], tol*whole + negligible(&responses[j])}).check(t)
			}
		}
	}
}

// No lengths at all, drawn at random, give more than the adverse ones.
func TestNoRandomLengthsAreWorse(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 2))
	p := randomPlan(r, own("line", "0.74 kN/m", "top", `{ azimuth = "70 deg", elevation = "-20 deg" }`))
	d := p.definition(t)
	a, ref := ready(t, d), newReference(t, d)
	names, all := elements(a)
	measures := strengthAndMovement()
	end := d.Run.Posts[len(d.Run.Posts)-1]
	for k, e := range all {
		found := worst(a, e, measures)
		for range 60 {
			cuts := make([]float64, 2*(1+r.IntN(3)))
			for i := range cuts {
				cuts[i] = end * r.Float64()
			}
			slices.Sort(cuts)
			for m := range measures {
				other := found[m]
				if other.Placement.Action == nil {
					continue
				}
				other.Placement.Lengths = nil
				for i := 0; i < len(cuts); i += 2 {
					other.Placement.Lengths = append(other.Placement.Lengths, solver.Length{From: cuts[i], To: cuts[i+1]})
				}
				st := ref.reproduce(e, &other)
				if v := measures[m].of(&st); v > found[m].Value*(1+slack)+negligible(&measures[m]) {
					t.Errorf("%s %s: found %.12g, over %v it is %.12g", names[k], measures[m].name, found[m].Value, other.Placement.Lengths, v)
				}
			}
		}
	}
}

// A line load that may point any way in plan: the direction is sought with the
// lengths.
func TestLineLoadOfAnyDirection(t *testing.T) {
	p := oneRail([]float64{0, 1.2, 2.9}, 1.1, 80e3, own("line", "0.74 kN/m", "top", "horizontal"))
	d := p.definition(t)
	a, ref := ready(t, d), newReference(t, d)
	_, vectors := ways("horizontal", 10)
	e := a.Post(1)
	measures := []named{{"moment", analysis.Strength, moment}, {"across", analysis.Service, across}}
	found := worst(a, e, measures)
	c := ref.cells(a.Actions[0], vectors, 0.1, ref.sections(e, nil))
	for m := range measures {
		b := c.worstLine(a.Actions[0], vectors, &measures[m], rand.New(rand.NewPCG(15, 0)))
		compare(t, ref, "post 2", e, &measures[m], &found[m], &trial{value: b.value, place: c.places[b.place], n: b.n})
	}
}
