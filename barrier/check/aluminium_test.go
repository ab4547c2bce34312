package check

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// aluminium returns a member of a tube in mm and MPa, of a buckling class.
func aluminium(t testing.TB, od, wall, fo, fu float64, class string) *barrier.Member {
	t.Helper()
	ring, err := sections.NewRing(od/1e3, wall/1e3)
	if err != nil {
		t.Fatal(err)
	}
	return &barrier.Member{Ring: ring, Name: "tube", Grade: sections.Grade{
		Fy: fo * 1e6, Fu: fu * 1e6, E: 70e9, G: 27e9, Material: sections.Aluminium, BucklingClass: class,
	}}
}

func mustAluminium(t testing.TB, m *barrier.Member) *Aluminium {
	t.Helper()
	tube, err := NewAluminium(m)
	if err != nil {
		t.Fatal(err)
	}
	return tube
}

// The strut of a lecture on EN 1999 is a square hollow section of class 4, which this package
// does not check: its limits of slenderness and its reduction factor are those of any unwelded
// internal part and member of buckling class A. Tolerances are half the last printed digit; on
// Nb,Rd that of χ goes with it.
func TestAluminiumAgainstAPublishedStrut(t *testing.T) {
	outside := compared(t, verification.Resistances, "aluminium strut, EN 1999-1-1")
	const source = "TALAT lecture 2301, example 5.1, public"
	tube := mustAluminium(t, aluminium(t, 48.3, 4, 200, 240, "A"))
	outside.near("ε", tube.epsilon, 1.118, 0.0005, source)
	for i, want := range []float64{12.3, 17.9, 24.6} {
		outside.near("β limit", tube.of.limits[i]*tube.epsilon, want, 0.05, source)
	}
	tube.Critical = tube.ring.Area * tube.fy / (0.547 * 0.547)
	_, _, chi := tube.reduction()
	outside.near("χ", chi, 0.891, 0.0005, source)
	outside.near("Nb,Rd", chi*414.2*200/1e3, 73.8, 0.05+0.0005*414.2*200/1e3, source)
}

// A tube of aluminium worked by hand from the clauses of EN 1999-1-1 (own arithmetic, no
// published example of a round one is known): 48.3 x 4.0, EN AW-6082 T6, fo 250. Tolerances are
// those of the digits written.
func TestAluminiumByHand(t *testing.T) {
	outside := compared(t, verification.Formulas, "EN 1999-1-1, round tube")
	const source = "own arithmetic by EN 1999-1-1, clauses from memory"
	tube := mustAluminium(t, aluminium(t, 48.3, 4, 250, 290, "A"))
	outside.near("β = 3 √(44.3/4)", tube.beta, 9.98374, 1e-5, source)
	outside.near("α = 7871.29/5700.86", tube.shape, 1.380720, 1e-6, source)
	outside.near("MRd = 7871.29·250/1.1", tube.MRd, 1788.930, 1e-3, source)
	outside.near("VRd = 0.6·556.690·250/(1.1√3)", tube.VRd, 43827.99, 0.01, source)
	outside.near("TRd = 2·5700.86·250/(1.1√3)", tube.TRd, 1496.0876, 1e-4, source)
	outside.near("NRd = 556.690·250/1.1", tube.NRd, 126520.504, 1e-3, source)
	tube.setCritical(19652.1417) // π²·70000·137675.754/2200²
	slenderness, _, chi := tube.reduction()
	outside.near("λ", slenderness, 2.661165, 1e-6, source)
	outside.near("χ", chi, 0.1303641, 1e-7, source)
	s := &analysis.State{N: -2000, My: 420, Mz: 560} // M 700, raised by 1.113301
	outside.near("section", tube.Interaction(s, nil), 0.433005, 1e-6, source)
	outside.near("member", tube.Buckling(s, nil), 0.613363, 1e-6, source)
	class3 := mustAluminium(t, aluminium(t, 120, 3, 250, 290, "A"))
	outside.near("MRd of class 3, β 18.735, α 1.166142", class3.MRd, 8340.1108, 1e-4, source)
	// Class B: α = 0.32, λ0 = 0, at λ = 1: φ = 0.5(1 + 0.32 + 1) = 1.16, χ = 1/(1.16 + √0.3456)
	b := mustAluminium(t, aluminium(t, 48.3, 4, 130, 175, "B"))
	b.setCritical(b.ring.Area * b.fy)
	_, _, chi = b.reduction()
	outside.near("χ of class B", chi, 0.572123, 1e-6, source)
}

// Just up to each limit of slenderness and just beyond it, of unwelded parts of both buckling
// classes: EN 1999-1-1 Table 6.2, class A public (TALAT lecture 2301), class B from memory.
func TestAluminiumClassLimits(t *testing.T) {
	for _, c := range []struct {
		class  string
		limits [3]float64
	}{{"A", [3]float64{11, 16, 22}}, {"B", [3]float64{13, 16.5, 18}}, {"", [3]float64{11, 16, 18}}} {
		for i, limit := range c.limits {
			for fo, epsilon := range map[float64]float64{250: 1, 160: 1.25} {
				ratio := limit * epsilon / 3 * limit * epsilon / 3 // Dm/t
				if tube := mustAluminium(t, aluminium(t, (ratio*(1-1e-9)+1)*3, 3, fo, 300, c.class)); tube.class != i+1 {
					t.Errorf("class %q, fo %g: class %d just below limit %d", c.class, fo, tube.class, i+1)
				}
				beyond, err := NewAluminium(aluminium(t, (ratio*(1+1e-9)+1)*3, 3, fo, 300, c.class))
				if i < 2 {
					if err != nil || beyond.class != i+2 {
						t.Errorf("class %q, fo %g: class %v, %v just beyond limit %d", c.class, fo, beyond, err, i+1)
					}
					continue
				}
				refused, ok := errors.AsType[*ClassError](err)
				if !ok || math.Abs(refused.Limit-(ratio+1)) > 1e-6 {
					t.Errorf("class %q, fo %g: %v just beyond limit 3, want a ClassError at d/t %.3f", c.class, fo, err, ratio+1)
				}
			}
		}
	}
}

// The bending resistance has no step where the class changes, and ends at the elastic one:
// EN 1999-1-1 Table 6.4.
func TestAluminiumShapeFactorIsContinuous(t *testing.T) {
	shape := func(beta float64) (shape, plastic float64) {
		tube := mustAluminium(t, aluminium(t, (beta*beta/9+1)*2, 2, 250, 300, "A"))
		return tube.shape, tube.ring.Wpl / tube.ring.Wel
	}
	before := 0.0
	for beta := 9.0; beta < 22; beta += 0.001 {
		a, plastic := shape(beta)
		if before != 0 && math.Abs(a-before) > 1e-3 {
			t.Fatalf("the shape factor steps from %v to %v at β = %v", before, a, beta)
		}
		if a > plastic || a < 1 {
			t.Fatalf("shape factor %v at β = %v, plastic %v", a, beta, plastic)
		}
		before = a
	}
	if before > 1.0002 {
		t.Errorf("shape factor %v at the end of class 3, want 1", before)
	}
}

// What nothing is known of is judged no better than by either buckling class.
func TestUnknownBucklingClassIsCautious(t *testing.T) {
	for beta := 8.0; beta < 18; beta += 0.01 {
		var m [3]float64
		var n [3]float64
		for i, class := range []string{"A", "B", ""} {
			tube := mustAluminium(t, aluminium(t, (beta*beta/9+1)*2, 2, 250, 300, class))
			tube.setCritical(0.3 * tube.NRd)
			_, _, chi := tube.reduction()
			m[i], n[i] = tube.MRd, chi
		}
		if m[2] > min(m[0], m[1]) || n[2] > min(n[0], n[1]) {
			t.Fatalf("β %v: MRd %v, χ %v of classes A, B, unknown", beta, m, n)
		}
	}
}

// aluminiumTubes are tubes by the three codes, held to a critical force and not.
func aluminiumTubes(t testing.TB) map[string]resistance {
	m := aluminium(t, 48.3, 4, 240, 260, "A")
	out := map[string]resistance{"EN 1999": mustAluminium(t, m), "EN 1999 class 3": mustAluminium(t, aluminium(t, 70, 2, 240, 260, ""))}
	for _, basis := range []loads.Basis{loads.BasisLRFD, loads.BasisASD} {
		tube, err := NewAluminumTube(m, basis, 1.2)
		if err != nil {
			t.Fatal(err)
		}
		out["ADM "+string(basis)] = tube
	}
	s157, err := NewAluminumS157(m)
	if err != nil {
		t.Fatal(err)
	}
	out["CSA S157"] = s157
	for _, r := range out {
		r.setCritical(25e3)
	}
	stocky := mustAluminium(t, m)
	out["EN 1999, no critical force"] = stocky
	short, err := NewAluminumTube(m, loads.BasisLRFD, 1.2)
	if err != nil {
		t.Fatal(err)
	}
	out["ADM, no critical force"] = short
	return out
}

func judgesOf(r resistance) map[string]judge {
	return map[string]judge{"bending": r.Bending, "shear": r.Shear, "torsion": r.Torsion, "interaction": r.Interaction, "buckling": r.Buckling, "yield": r.Yield}
}

// No check of aluminium falls when a component grows, none is above its bound, which is all
// that the search rests on: EN 1999-1-1 6.3.3.1 is not convex in the axial force.
func TestNoAluminiumJudgeFallsWhenAComponentGrows(t *testing.T) {
	random := rand.New(rand.NewPCG(1999, 11))
	scale := mustAluminium(t, aluminium(t, 48.3, 4, 240, 260, "A"))
	of := func(size float64) float64 {
		if random.IntN(4) == 0 {
			return 0
		}
		return (2.6*random.Float64() - 1.3) * size
	}
	for name, r := range aluminiumTubes(t) {
		for check, judge := range judgesOf(r) {
			bound := measure(judge).Bound
			for range 1500 {
				s := analysis.State{N: of(scale.NRd / 3), Vy: of(scale.VRd), Vz: of(scale.VRd), T: of(scale.TRd), My: of(scale.MRd), Mz: of(scale.MRd)}
				at := func(s analysis.State) float64 { return bound(&s) }
				before := at(s)
				if own := judge(&s, nil); !(own <= before*(1+1e-12)) {
					t.Fatalf("%s %s: %v of %+v, above its bound %v", name, check, own, s, before)
				}
				grown := s
				components := []*float64{&grown.N, &grown.Vy, &grown.Vz, &grown.T, &grown.My, &grown.Mz}
				c := components[random.IntN(len(components))]
				*c = -*c
				if mirrored := at(grown); !same(before, mirrored) {
					t.Fatalf("%s %s: %v of %+v, %v of %+v", name, check, before, s, mirrored, grown)
				}
				*c *= 1 + random.ExpFloat64()
				if after := at(grown); !(after >= before*(1-1e-12)) {
					t.Fatalf("%s %s falls from %v of %+v to %v of %+v", name, check, before, s, after, grown)
				}
			}
		}
	}
}

// Every check is a continuous function of the state: a small step of any component, through
// nothing too, is a small step of the utilisation. The power of 0.8 rises steeply from
// nothing: (1e-9)^0.8 is 6e-8.
func TestAluminiumJudgesDoNotJump(t *testing.T) {
	random := rand.New(rand.NewPCG(1999, 12))
	const n, v, torsion, m = 20e3, 30e3, 900.0, 1200.0
	for name, r := range aluminiumTubes(t) {
		for check, judge := range judgesOf(r) {
			for range 300 {
				side := func(size float64) float64 { return (2*random.Float64() - 1) * size }
				from := analysis.State{N: side(n), Vy: side(v), T: side(torsion), My: side(m), Mz: side(m)}
				to := analysis.State{N: side(n), Vy: side(v), T: side(torsion), My: side(m), Mz: side(m)}
				between := func(x float64) float64 {
					mix := func(a, b float64) float64 { return a + x*(b-a) }
					s := analysis.State{N: mix(from.N, to.N), Vy: mix(from.Vy, to.Vy), T: mix(from.T, to.T), My: mix(from.My, to.My), Mz: mix(from.Mz, to.Mz)}
					return math.Min(judge(&s, nil), 10)
				}
				// halve onto the steepest step: a jump stays, a slope goes to nothing
				lo, hi := 0.0, 1.0
				for range 45 {
					mid := (lo + hi) / 2
					if math.Abs(between(mid)-between(lo)) > math.Abs(between(hi)-between(mid)) {
						hi = mid
					} else {
						lo = mid
					}
				}
				if step := math.Abs(between(hi) - between(lo)); step > 1e-6 {
					t.Fatalf("%s %s jumps by %v between %+v and %+v at %v", name, check, step, from, to, lo)
				}
			}
		}
	}
}

// The ends of the interactions: each resistance alone is 1, nothing is 0, and a state on the
// surface of the source lies on it. EN 1999-1-1 6.2.9.2, 6.3.3.1; ADM H.1, H.3.
func TestAluminiumInteractionEnds(t *testing.T) {
	outside := compared(t, verification.Formulas, "EN 1999-1-1, ends of the interaction")
	const source = "the clause at its ends"
	tube := mustAluminium(t, aluminium(t, 48.3, 4, 240, 260, "A"))
	outside.near("nothing", tube.Interaction(&analysis.State{}, nil), 0, 0, source)
	outside.near("N", tube.Interaction(&analysis.State{N: tube.NRd}, nil), 1, 1e-12, source)
	outside.near("M", tube.Interaction(&analysis.State{Mz: tube.MRd}, nil), 1, 1e-12, source)
	n := math.Pow(1-math.Pow(0.5, 1.02), 1/1.3)
	outside.near("N and M", tube.Interaction(&analysis.State{N: -n * tube.NRd, My: 0.5 * tube.MRd}, nil), 1, 1e-12, source)
	outside.near("V to half leaves M", tube.Interaction(&analysis.State{Vy: tube.VRd / 2, My: tube.MRd}, nil), 1, 1e-12, source)
	// at 0.75 VRd: 1 - 0.5² = 0.75 of fo
	outside.near("V above half", tube.Interaction(&analysis.State{Vy: 0.75 * tube.VRd, My: 0.75 * tube.MRd}, nil), 1, 1e-12, source)
	outside.near("N beside V above half, 6.2.10(3)", tube.Interaction(&analysis.State{Vy: 0.75 * tube.VRd, N: 0.75 * tube.NRd}, nil), 1, 1e-12, source)
	if u := tube.Interaction(&analysis.State{Vy: tube.VRd, N: 0.1 * tube.NRd}, nil); !math.IsInf(u, 1) {
		t.Errorf("an axial force beside all the shear resistance: %v, want no bound", u)
	}
	if u := tube.Interaction(&analysis.State{Vy: tube.VRd, My: 1}, nil); !math.IsInf(u, 1) {
		t.Errorf("a moment beside all the shear resistance: %v, want no bound", u)
	}
	tube.setCritical(20e3)
	_, _, chi := tube.reduction()
	held := tube.upTo(1)
	outside.near("Nb", held.Buckling(&analysis.State{N: -chi * tube.NRd}, nil), 1, 1e-12, source)
	outside.near("M alone in a member", held.Buckling(&analysis.State{N: 10, My: tube.MRd}, nil), 1, 1e-12, source)
	outside.near("half and half", held.Buckling(&analysis.State{N: -0.5 * chi * tube.NRd, My: 0.5 * tube.MRd}, nil), math.Pow(0.5, 0.8)+math.Pow(0.5, 1.02), 1e-12, source)
	if u := tube.Buckling(&analysis.State{N: -20e3}, nil); !math.IsInf(u, 1) {
		t.Errorf("compression at the critical force: %v, want no bound", u)
	}
}

// The partial factor of a schedule stands in place of γM1, the basis's own where none brings
// one: EN 1999-1-1 6.1.3, and EN 13374 (memory) 1.1, 1.0 in an accident.
func TestAluminiumPartialFactor(t *testing.T) {
	outside := compared(t, verification.Formulas, "EN 1999-1-1, partial factor")
	tube := mustAluminium(t, aluminium(t, 48.3, 4, 240, 260, "A"))
	for _, c := range []struct {
		gamma partial
		want  float64
	}{{recommended, 1.10}, {partial{value: 1.1, why: "of a schedule"}, 1.10}, {partial{value: 1, why: "of the schedule under an accidental action"}, 1}} {
		of := tube.by(c.gamma).(*Aluminium)
		outside.near("MRd γM1", of.MRd*c.want, tube.ring.Wpl*tube.fy, 1e-6, "EN 1999-1-1 6.2.5, memory")
		outside.near("NRd γM1", of.NRd*c.want, tube.ring.Area*tube.fy, 1e-6, "EN 1999-1-1 6.2.4, memory")
		outside.near("yield", of.Yield(&analysis.State{My: tube.ring.Wel * tube.fy}, nil), 1, 1e-12, "first yield has no factor")
	}
}

// Every grade of aluminium of EN 1999-1-1 has its buckling class, those of ASTM have none.
func TestGradesOfAluminiumHaveABucklingClass(t *testing.T) {
	for _, g := range sections.Grades() {
		if g.Material != sections.Aluminium || g.Use == sections.UseFactors || g.Use == sections.UseCasting {
			continue
		}
		want := g.Standard == "EN 1999-1-1"
		if has := g.BucklingClass == "A" || g.BucklingClass == "B"; has != want {
			t.Errorf("%s %s has the buckling class %q", g.Standard, g.Name, g.BucklingClass)
		}
	}
}

// A barrier of aluminium is checked on its own grade: a lone post is a cantilever on its foot
// with E = 70 GPa, Ph³/3EI + Ph²/k (statics), its moment over Mo,Rd with γM1 = 1.10, and rails
// weigh 2700 kg/m³ (EN 1999-1-1 3.2.5, memory).
func TestLonePostOfAluminium(t *testing.T) {
	outside := compared(t, verification.Barriers, "lone post of aluminium")
	text := lonePosts().toml()
	text = strings.ReplaceAll(text, `"EN 10219 48.3x3.2"`, `"EN 755 48.3x4.0"`)
	text = strings.ReplaceAll(text, `"S235JRH"`, `"EN AW-6082 T6 ET"`)
	d, err := barrier.Parse("aluminium.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := Run(d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	const I, P, h, k = 137675.754e-12, 600.0, 1.1, 150e3
	for _, c := range []struct {
		id   string
		want float64
	}{
		{"post-bending", 1.5 * P * h / 1788.930},
		{"post-deflection", (P*h*h*h/(3*70e9*I) + P*h*h/k) / 0.030},
	} {
		found := 0.0
		for i := range r.Checks {
			if r.Checks[i].ID == c.id {
				found = max(found, *r.Checks[i].Utilisation)
			}
		}
		outside.near(c.id, found, c.want, 1e-4*c.want, "statics")
	}
	weight := 0.0
	for i := range d.Rails {
		weight += d.Rails[i].MassPerMetre()
	}
	outside.near("kg/m of two rails", weight, 2*2700*556.690218e-6, 1e-6, "2700 A")
	if !slices.ContainsFunc(r.Cautions, func(c Caution) bool { return strings.Contains(c.Text, "unwelded") }) {
		t.Error("nothing is said of welds")
	}
}
