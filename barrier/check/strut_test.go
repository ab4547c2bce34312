package check

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// strutOf is a brace of a length (m) that leans at 3 : 4.
func strutOf(t testing.TB, basis loads.Basis, m *barrier.Member, standard string, length float64) resistance {
	t.Helper()
	b := barrier.Brace{Member: *m, Height: 0.8 * length, Outward: 0.6 * length}
	b.Tube = sections.Tube{Standard: standard}
	s, err := newStrut(&barrier.Definition{Basis: basis, Braces: []barrier.Brace{b}}, 0)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestHotFinishedStrut is a column that is published with its working.
func TestHotFinishedStrut(t *testing.T) {
	outside := compared(t, verification.Resistances, "hot-finished strut, EN 1993-1-1")
	const source = "Designers' Guide to EN 1993-1-1, example 6.7: 244.5x10 hot finished, S355, pinned, 4 m, NEd 1630 kN; χ as an open verification suite prints it, public"
	m := steel(t, 244.5, 10, 355)
	m.Ring.Area, m.Ring.I = 7370e-6, 50.73e-6 // as they print them
	s := strutOf(t, loads.BasisEN, m, "EN 10210-2", 4).(*enStrut)
	slenderness, _, chi := s.reduction()
	outside.near("slenderness", slenderness, 0.63, 0.005, source)
	// They go by λ1 = 93.9 ε of three figures, 5e-4 of the slenderness: 0.4 × 0.63 × 5e-4 of χ.
	outside.near("χ", chi, 0.877784, 1.3e-4, source)
	r := &Recorder{}
	outside.near("NEd/Nb,Rd", s.Buckling(&analysis.State{N: -1630e3}, r), 1630.0/2297, 1.5e-4+0.5/2297, source)
	if len(r.Steps) == 0 || r.Clause != "EN 1993-1-1 6.3.1, 6.3.3(4) (6.61)" {
		t.Errorf("the trail is %+v, by %s", r.Steps, r.Clause)
	}
}

// TestBucklingCurves checks reduction factors against the tables of the curves.
func TestBucklingCurves(t *testing.T) {
	outside := compared(t, verification.Formulas, "buckling curves of tube standards")
	const source = "ECCS tables of the European buckling curves a and c (memory), four digits"
	for _, c := range []struct {
		standard, name string
		slenderness    float64
		want           float64
	}{
		{"EN 10210-2", "a", 0.5, 0.9243}, {"EN 10210-2", "a", 1, 0.6656}, {"EN 10210-2", "a", 2, 0.2229},
		{"EN 10219-2", "c", 0.5, 0.8430}, {"EN 10219-2", "c", 1, 0.5399}, {"EN 10219-2", "c", 2, 0.1962},
		{"EN 10255", "c", 1, 0.5399}, {"", "c", 1, 0.5399}, {"", "c", 0.1, 1},
	} {
		s := strutOf(t, loads.BasisEN, steel(t, 48.3, 3.2, 235), c.standard, 1.5).(*enStrut)
		s.setCritical(s.ring.Area * s.fy / (c.slenderness * c.slenderness))
		_, _, chi := s.reduction()
		outside.near(strings.TrimSpace(c.standard+" χ"), chi, c.want, 0.5e-4+1e-9, source)
		if s.curve.name != c.name {
			t.Errorf("a tube to %q is on curve %s, want %s (source: EN 1993-1-1 Table 6.2)", c.standard, s.curve.name, c.name)
		}
	}
}

// TestStrutBendsNoLess holds what compression makes of the moment of own weight to the
// closed form of a pinned strut under a uniform load, 2 (sec u - 1)/u² with u = π/2 √(N/Ncr),
// and to the largest of Annex B, 0.95 (1 + 0.8 n) of a plastic moment: it is never below.
func TestStrutBendsNoLess(t *testing.T) {
	const source = "Timoshenko and Gere, Theory of Elastic Stability, 1.3; EN 1993-1-1 Table B.1 (memory)"
	for _, length := range []float64{0.5, 1, 2, 4} {
		s := strutOf(t, loads.BasisEN, steel(t, 48.3, 3.2, 235), "EN 10219-2", length).(*enStrut)
		_, _, chi := s.reduction()
		nb, elastic := chi*s.ring.Area*s.fy, s.ring.Wel*s.fy
		for _, share := range []float64{0.01, 0.1, 0.3, 0.6, 0.99} {
			n := share * math.Min(nb, s.Critical)
			const moment = 50.0
			k := (s.Buckling(&analysis.State{N: -n, My: moment}, nil) - s.Buckling(&analysis.State{N: -n}, nil)) * elastic / moment
			u := math.Pi / 2 * math.Sqrt(n/s.Critical)
			exact, annex := 2*(1/math.Cos(u)-1)/(u*u), 0.95*(1+math.Min(s.slendernessOf()-0.2, 0.8)*n/nb)*s.ring.Wel/s.ring.Wpl
			if most := math.Max(1.002*exact, 1+0.8*n/nb); k > most*(1+1e-9) { // nor much more than either
				t.Errorf("%g m, N = %.0f N: k = %.6f, above %.6f (source: %s)", length, n, k, most, source)
			}
			if k < exact*(1-1e-9) || k < annex*(1-1e-9) {
				t.Errorf("%g m, N = %.0f N: k = %.6f, below %.6f or %.6f (source: %s)", length, n, k, exact, annex, source)
			}
		}
	}
}

func (t *enStrut) slendernessOf() float64 { s, _, _ := t.reduction(); return s }

// TestStrutOfAISC holds compression to E3 worked out by hand, and leaves tension alone.
func TestStrutOfAISC(t *testing.T) {
	outside := compared(t, verification.Formulas, "strut, AISC 360")
	const source = "AISC 360-22 E3-1 to E3-4 by hand"
	m := steel(t, 48.3, 3.2, 235)
	m.Grade.E = 200e9
	s := strutOf(t, loads.BasisLRFD, m, "EN 10219-2", 1.4)
	ring := &m.Ring
	fe := math.Pi * math.Pi * math.Min(m.Grade.E, sections.ModulusAISC) * ring.I / ring.Area / (1.4 * 1.4)
	want := 20e3 / (0.9 * math.Pow(0.658, 235e6/fe) * 235e6 * ring.Area)
	outside.near("Pr/Pc", s.Buckling(&analysis.State{N: -20e3}, nil), want, 1e-9*want, source)
	if u := s.Buckling(&analysis.State{N: 20e3}, nil); u != 0 {
		t.Errorf("tension buckles by %g", u)
	}
}

// TestStrutNeverFalls grows compression and moment of struts: no utilisation falls, and from
// the critical force on there is no bound.
func TestStrutNeverFalls(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 3))
	for _, basis := range []loads.Basis{loads.BasisEN, loads.BasisLRFD, loads.BasisASD} {
		for range 500 {
			s := strutOf(t, basis, steel(t, 42.4, 3.2, 235), "EN 10219-2", 0.5+2.5*random.Float64())
			judge := raised(1+0.1*random.Float64(), s.Buckling)
			state := analysis.State{N: -random.Float64() * 60e3, My: random.Float64() * 500, Mz: random.Float64() * 500}
			before := measure(judge).Bound(&state)
			grown := state
			grown.N *= 1 + random.Float64()
			grown.My *= 1 + random.Float64()
			if after := measure(judge).Bound(&grown); after < before*(1-1e-12) || math.IsNaN(after) {
				t.Fatalf("%s: %v of %+v, %v of %+v", basis, before, state, after, grown)
			}
			pulled := grown
			pulled.N *= -1
			if own := judge(&pulled, nil); own > measure(judge).Bound(&pulled) {
				t.Fatalf("%s: tension gives %v, above its bound", basis, own)
			}
		}
	}
	s := strutOf(t, loads.BasisEN, steel(t, 42.4, 3.2, 235), "EN 10219-2", 2).(*enStrut)
	if u := s.Buckling(&analysis.State{N: -1.01 * s.Critical}, &Recorder{}); !math.IsInf(u, 1) {
		t.Errorf("beyond its critical force a strut is used to %v", u)
	}
}

// TestStrutOfThinTube names the brace whose tube the code does not cover.
func TestStrutOfThinTube(t *testing.T) {
	b := barrier.Brace{Member: *steel(t, 200, 1.5, 235), Height: 1, Outward: 1}
	_, err := newStrut(&barrier.Definition{Basis: loads.BasisEN, File: "a.toml", Braces: []barrier.Brace{b}}, 0)
	if err == nil || !says([]string{err.Error()}, "a.toml: brace[0].tube: tube: d/t = 133.3 is above 90.0: class 4") {
		t.Errorf("got %v", err)
	}
}
