package check

import (
	"errors"
	"math"
	"testing"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/sections"
)

// The beam-column of an engineer's notebook: pipe 1.900 x 0.145 of 6061-T6, L 1500, K 1.2, a
// compression of 8.24 kN at an eccentricity of 50 mm. Its moment is 1.2 e Cf, which is its
// author's and no formula of the code: it goes in as the moment of the state. Its area, modulus
// and radius of gyration are table values of three digits in inches (0.799, 0.326, 0.623), which
// the section takes as they are; it cuts KL/r short. Tolerances are half of the last printed digit.
func TestS157AgainstAPublishedBeamColumn(t *testing.T) {
	outside := compared(t, verification.Resistances, "aluminium beam-column, CSA S157")
	const source = "public engineer's notebook on CSA S157, 2019"
	m := aluminium(t, 48.26, 3.683, 241.3, 262, "")
	outside.near("A of the ring", m.Ring.Area*1e6, 515.48, 0.5/1e3*25.4*25.4, source)
	outside.near("S of the ring", m.Ring.Wel*1e9, 5342.18, 0.5/1e3*25.4*25.4*25.4, source)
	m.Ring.Area, m.Ring.Wel, m.Ring.Radius = 515.48e-6, 5342.18e-9, 15.82e-3
	tube, err := NewAluminumS157(m)
	if err != nil {
		t.Fatal(err)
	}
	ratio := 1.2 * 1.5 / m.Ring.Radius
	outside.near("KL/r", ratio, 113.7, 0.1, source)
	tube.setCritical(math.Pi * math.Pi * m.Grade.E * m.Ring.Area / (ratio * ratio))
	outside.near("Ce, kN", tube.Critical/1e3, 27.5, 0.05, source)
	moment := 1.2 * 50 * 8.24
	outside.near("Mf, kNm", moment/1e3, 0.494, 0.0005, source)
	var r Recorder
	outside.near("utilisation", tube.Interaction(&analysis.State{N: -8240, My: moment}, &r), 148.1/217.2, 0.1/217.2, source)
	for _, want := range []struct {
		symbol string
		value  float64
	}{{"f1", 148.1}, {"f2", 116.1}, {"φyFy", 217.2}} {
		outside.near(want.symbol+", MPa", stepValue(&r, want.symbol), want.value, 0.05, source)
	}
}

// stepValue returns the value of the last step of a symbol, NaN for none.
func stepValue(r *Recorder, symbol string) float64 {
	value := math.NaN()
	for _, s := range r.Steps {
		if s.Symbol == symbol {
			value = s.Value
		}
	}
	return value
}

// A wall that may buckle short of yielding is refused, up to there none: at the limit the
// elastic buckling stress of the wall is four times Fy. CSA S157, from memory.
func TestS157LocalBuckling(t *testing.T) {
	outside := compared(t, verification.Formulas, "CSA S157 local buckling")
	limit := func(fy float64) float64 {
		tube, err := NewAluminumS157(aluminium(t, 48.3, 4, fy, 300, ""))
		if err != nil {
			t.Fatal(err)
		}
		return tube.yieldingRatio()
	}
	for _, fy := range []float64{110, 241.3} {
		x := limit(fy)
		lambda := 4 * math.Sqrt(x) * (1 + math.Sqrt(x)/35)
		outside.near("π²E/λ² over Fy", math.Pi*math.Pi*70e3/(lambda*lambda)/fy, 4, 1e-9, "CSA S157, memory")
		if _, err := NewAluminumS157(aluminium(t, (2*x*(1-1e-9)+1)*2, 2, fy, 300, "")); err != nil {
			t.Errorf("just below the limit: %v", err)
		}
		_, err := NewAluminumS157(aluminium(t, (2*x*(1+1e-9)+1)*2, 2, fy, 300, ""))
		if _, ok := errors.AsType[*ClassError](err); !ok {
			t.Errorf("just beyond the limit: %v, want a ClassError", err)
		}
	}
}

// The buckling curve begins at 1 without a step and comes near to Euler's. CSA S157, memory.
func TestS157BucklingCurve(t *testing.T) {
	tube, err := NewAluminumS157(aluminium(t, 48.3, 4, 241.3, 262, ""))
	if err != nil {
		t.Fatal(err)
	}
	before := 1.0
	for lambda := 0.01; lambda < 6; lambda += 0.001 {
		tube.setCritical(tube.ring.Area * tube.fy / (lambda * lambda))
		_, f := tube.reduction()
		if f > before || before-f > 0.002 || f > 1/(lambda*lambda) {
			t.Fatalf("F goes from %v to %v at λ = %v", before, f, lambda)
		}
		before = f
	}
	if euler := 1.0 / 36; before < 0.9*euler {
		t.Errorf("F = %v at λ = 6, Euler's %v", before, euler)
	}
	m := aluminium(t, 48.3, 4, 241.3, 0, "")
	m.Grade.Material = sections.Aluminium
	if _, err := NewAluminumS157(m); err == nil {
		t.Error("a grade without tensile strength is judged")
	}
}

// Shear of a ring has its peak at twice the mean, V = φy 0.6 Fy A/2; a pull finds the lesser of yielding
// and rupture, which of a grade with little between its strengths is rupture.
func TestS157ShearAndTension(t *testing.T) {
	const source = "CSA S157 5.5, shear and tension, memory; peak shear 2V/A of a thin ring, statics"
	for fu, want := range map[float64]float64{260: 0.75 * 260, 310: 0.9 * 240} {
		m := aluminium(t, 48.3, 4, 240, fu, "A")
		tube, err := NewAluminumS157(m)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "Vr over A, MPa", tube.Vr/m.Ring.Area/1e6, 0.9*0.6*240/2, 1e-9, source)
		near(t, "Pt over A, MPa", tube.Pt/m.Ring.Area/1e6, want, 1e-9, source)
	}
}
