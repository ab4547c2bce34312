package check

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier/analysis"
)

// The search bounds a judge over a stretch by the judge of the largest
// components there: the bound is no less than the judge, no sign matters to it,
// and it does not fall when a component grows in magnitude.
func TestNoJudgeFallsWhenAComponentGrows(t *testing.T) {
	random := rand.New(rand.NewPCG(1993, 11))
	plastic, elastic := mustTube(t, steel(t, 48.3, 3.2, 195)), mustTube(t, steel(t, 160, 2, 235))
	slender := mustTube(t, steel(t, 48.3, 3.2, 355))
	slender.Critical = 0.3 * slender.NRd
	limit, held := &limit{value: 0.025, allowance: &allowance{}}, column{slender, 10, &softening{ratio: 1.3}}
	judges := []named{
		{id: "across", judge: held.under(limit, across)}, {id: "span", judge: held.under(limit, span)}, {id: "vertical", judge: held.under(limit, vertical)},
		{id: "size moment", judge: sizeMoment}, {id: "size shear", judge: sizeShear}, {id: "size axial", judge: sizeAxial}, {id: "size torsion", judge: sizeTorsion},
		{id: "size across", judge: held.size(across)}, {id: "size along", judge: held.plain(along)}, {id: "size vertical", judge: held.plain(vertical)}, {id: "size span", judge: held.size(span)},
	}
	for _, g := range grips {
		judges = append(judges, named{id: "fitting " + g.tube + " " + g.kind, judge: g.judge})
	}
	scales := map[string]*Tube{}
	for _, of := range []struct {
		name string
		tube *Tube
	}{{"class 1", plastic}, {"class 3", elastic}, {"near its critical force", slender}} {
		for _, n := range append(strengthChecks("tube", of.tube), named{id: "tube-yield", judge: of.tube.Yield}) {
			name := n.id + " " + of.name
			scales[name] = of.tube
			judges = append(judges, named{id: name, judge: n.judge})
		}
	}
	for _, j := range judges {
		tube := scales[j.id]
		if tube == nil {
			tube = plastic
		}
		for range 2000 {
			s := randomState(random, tube)
			components := []*float64{&s.N, &s.Vy, &s.Vz, &s.T, &s.My, &s.Mz, &s.Along, &s.Across, &s.Vertical, &s.Span}
			bound := func() float64 { t := s; return measure(j.judge).Bound(&t) }
			before := bound()
			if own := j.judge(&s, nil); own > before {
				t.Fatalf("%s: %v of %+v, above its bound %v", j.id, own, s, before)
			}
			at := random.IntN(len(components))
			was, state := *components[at], s
			*components[at] *= -1
			if mirrored := bound(); !same(before, mirrored) {
				t.Fatalf("%s: %v of %+v, %v with component %d of other sign", j.id, before, state, mirrored, at)
			}
			*components[at] = was*(1+random.ExpFloat64()) + math.Copysign(random.Float64()*1e-3, was)
			after := bound()
			if math.IsNaN(before) || math.IsNaN(after) {
				t.Fatalf("%s is NaN of %+v or of %+v", j.id, state, s)
			}
			if after < before*(1-1e-12) {
				t.Fatalf("%s falls from %v to %v as component %d grows from %v to %v in %+v", j.id, before, after, at, was, *components[at], state)
			}
		}
	}
}

func same(a, b float64) bool { return a == b || math.Abs(a-b) <= 1e-12*math.Abs(a) }

// randomState has components up to 1.3 of what the tube resists, some of them 0.
func randomState(random *rand.Rand, t *Tube) analysis.State {
	of := func(scale float64) float64 {
		if random.IntN(4) == 0 {
			return 0
		}
		return (2.6*random.Float64() - 1.3) * scale
	}
	return analysis.State{N: of(t.NRd), Vy: of(t.VRd), Vz: of(t.VRd), T: of(t.TRd), My: of(t.MRd), Mz: of(t.MRd),
		Along: of(0.05), Across: of(0.05), Vertical: of(0.05), Span: of(0.05)}
}
