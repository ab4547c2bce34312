package check

import (
	"errors"
	"math"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

const ksiPa = 6.894757293168361e6

// aluminumPipe returns a member of 6061-T6 pipe in inches: 35 and 38 ksi, E 10 100 ksi.
func aluminumPipe(t testing.TB, od, wall float64) *barrier.Member {
	t.Helper()
	m := aluminium(t, od*25.4, wall*25.4, 35*ksiPa/1e6, 38*ksiPa/1e6, "")
	m.Grade.E, m.Grade.G = sections.ModulusADM, sections.ShearModulusADM
	return m
}

// The buckling constants of 6061-T6 as handbooks print them, ksi; each tolerance is half of the
// last printed digit, of a quotient with that of its parts.
func TestAluminumBucklingConstants(t *testing.T) {
	outside := compared(t, verification.Formulas, "Aluminum Design Manual, buckling constants")
	const source = "Aluminum Design Manual, buckling constants of 6061-T6 extrusions, from memory"
	k := newAluminumConstants(35*ksiPa, 21*ksiPa, 10_100*ksiPa)
	for _, c := range []struct {
		what           string
		got, want, tol float64
	}{
		{"Bc", k.member.B / ksiPa, 39.4, 0.05}, {"Dc", k.member.D / ksiPa, 0.246, 0.0005}, {"Cc", k.member.C, 66, 0.5},
		{"Bt", k.wall.B / ksiPa, 43.2, 0.05}, {"Dt", k.wall.D / ksiPa, 1.56, 0.005},
		{"Btb", k.bent.B / ksiPa, 64.8, 0.05}, {"Dtb", k.bent.D / ksiPa, 4.46, 0.005}, {"Ctb", k.bent.C, 55.4, 0.2},
	} {
		outside.near(c.what, c.got, c.want, c.tol, source)
	}
}

// A pipe of 6061-T6 worked by hand from the clauses of the Aluminum Design Manual (own
// arithmetic, in kip and in): NPS 1-1/2 Sch 40, 1.900 x 0.145. A 0.799457, S 0.326205, Z
// 0.447620. Tolerances are those of the digits written.
func TestAluminumPipeByHand(t *testing.T) {
	outside := compared(t, verification.Formulas, "Aluminum Design Manual, pipe")
	const source = "own arithmetic by the Aluminum Design Manual, clauses from memory"
	const kip, kipIn = 4448.2216152605, 112.98482902761670
	for _, c := range []struct {
		basis              loads.Basis
		moment, pull, push float64 // kip-in, kip, kip at kL/r = 40
	}{
		// min(0.9·35, 0.75·38)Z; the same on A; 26.838 ksi, 0.9 of it
		{loads.BasisLRFD, 12.75717, 22.78452, 19.310},
		{loads.BasisASD, 8.722848, 15.57916, 13.003},
	} {
		tube, err := NewAluminumTube(aluminumPipe(t, 1.9, 0.145), c.basis, 1.2)
		if err != nil {
			t.Fatal(err)
		}
		outside.near("Mc", tube.Mc/kipIn, c.moment, 1e-5, source)
		outside.near("Pt", tube.Pt/kip, c.pull, 1e-4, source)
		tube.setCritical(math.Pi * math.Pi * tube.e * tube.ring.Area / 1600)
		lambda, stress := tube.memberStress()
		outside.near("kL/r", lambda, 40, 1e-9, source)
		outside.near("Fc", stress/ksiPa, 26.838, 0.005, source+": (39.365 - 0.24576·40)(0.85 + 0.15(65.67 - 40)/65.67)")
		outside.near("Pc", tube.axialStrength(&analysis.State{N: -1}, nil)/kip, c.push, 0.005, source)
		tube.setCritical(math.Pi * math.Pi * tube.e * tube.ring.Area / 1e4)
		_, stress = tube.memberStress()
		outside.near("Fc at kL/r = 100", stress/ksiPa, 8.4731, 1e-4, source+": 0.85 π² 10100/100²")
		outside.near("Rb/t", tube.slenderness(), 6.051724, 1e-6, source)
	}
}

// The stresses of buckling have no step but what the rounded 0.41 of the source's C leaves
// where its two curves meet (0.5 %), and never rise with slenderness.
func TestAluminumStressesFallWithSlenderness(t *testing.T) {
	tube, err := NewAluminumTube(aluminumPipe(t, 1.9, 0.145), loads.BasisLRFD, 1.2)
	if err != nil {
		t.Fatal(err)
	}
	before := tube.fy
	for lambda := 1.0; lambda < 200; lambda += 0.01 {
		tube.setCritical(math.Pi * math.Pi * tube.e * tube.ring.Area / (lambda * lambda))
		_, stress := tube.memberStress()
		if stress > before*(1+1e-12) || before-stress > 0.006*before {
			t.Fatalf("Fc goes from %v to %v at kL/r = %v", before, stress, lambda)
		}
		before = stress
	}
	before = tube.fsy()
	for length := 0.01; length < 4000; length *= 1.005 {
		tube.length = length
		if stress := tube.shearStress(1); stress > before*(1+1e-12) || before-stress > 0.008*before {
			t.Fatalf("Fst goes from %v to %v at a length of %v", before, stress, length)
		} else {
			before = stress
		}
	}
}

// Walls up to the limit of the bending curve are judged, thinner ones and grades without a
// tensile strength refused. ADM B.5.4.5 and F.2, from memory.
func TestAluminumManualRefusals(t *testing.T) {
	k := newAluminumConstants(35*ksiPa, 21*ksiPa, 10_100*ksiPa)
	od := func(share float64) float64 { return (2*k.bent.C*share + 1) * 0.1 }
	if _, err := NewAluminumTube(aluminumPipe(t, od(1-1e-9), 0.1), loads.BasisLRFD, 1.2); err != nil {
		t.Errorf("just below the limit: %v", err)
	}
	_, err := NewAluminumTube(aluminumPipe(t, od(1+1e-9), 0.1), loads.BasisLRFD, 1.2)
	if refused, ok := errors.AsType[*ClassError](err); !ok || math.Abs(refused.Limit-(2*k.bent.C+1)) > 1e-9 {
		t.Errorf("just beyond the limit: %v, want a ClassError at d/t %.2f", err, 2*k.bent.C+1)
	}
	m := aluminumPipe(t, 1.9, 0.145)
	m.Grade.Fu = 0
	if _, err := NewAluminumTube(m, loads.BasisASD, 1.2); err == nil {
		t.Error("a grade without tensile strength is judged")
	}
}

// The ends of ADM H.1 and H.3.
func TestAluminumInteractionEnds(t *testing.T) {
	outside := compared(t, verification.Formulas, "Aluminum Design Manual, ends of the interaction")
	const source = "the clause at its ends"
	tube, err := NewAluminumTube(aluminumPipe(t, 1.9, 0.145), loads.BasisLRFD, 1.2)
	if err != nil {
		t.Fatal(err)
	}
	for what, s := range map[string]analysis.State{
		"M": {My: 0.6 * tube.Mc, Mz: 0.8 * tube.Mc}, "pull": {N: tube.Pt}, "T": {T: tube.Tc}, "V": {Vy: tube.Vc},
		"M and V": {My: 0.75 * tube.Mc, Vy: 0.5 * tube.Vc}, "all": {N: 0.25 * tube.Pt, My: 0.5 * tube.Mc, Vy: 0.25 * tube.Vc, T: -0.25 * tube.Tc},
	} {
		outside.near(what, tube.Interaction(&s, nil), 1, 1e-12, source)
	}
	tube.setCritical(30e3)
	pc := tube.axialStrength(&analysis.State{N: -1}, nil)
	outside.near("push", tube.upTo(1).Buckling(&analysis.State{N: -pc}, nil), 1, 1e-12, source)
}

// A wall of Rb/t = 36 on 2 m, by hand: λ = 2.9 (Rb/t)^(5/8) (L/Rb)^(1/4) = 62.5, 1.25 of which takes
// the stress below yielding; on shear 1.3 times it counts, on torsion the stress itself.
func TestAluminumShearBuckling(t *testing.T) {
	const source = "ADM 2020 G.4, H.2, memory"
	const wall, radius = 2.0, 72.0 // mm
	tube, err := NewAluminumTube(aluminium(t, 2*radius+wall, wall, 240, 260, "A"), loads.BasisLRFD, 2)
	if err != nil {
		t.Fatal(err)
	}
	lambda := 2.9 * math.Pow(36, 0.625) * math.Pow(2000/radius, 0.25)
	near(t, "λ", tube.shearSlenderness(), lambda, 1e-9, source)
	k := tube.k.shear
	buckling := k.B - k.D*1.25*lambda
	if 1.25*lambda >= k.C || buckling >= 0.6*240e6 {
		t.Fatalf("λ = %v: the wall yields, or buckles elastically beyond %v: the case misses what it is for", lambda, k.C/1.25)
	}
	near(t, "stress of torsion, MPa", tube.Fst/1e6, buckling/1e6, 1e-9, source)
	near(t, "stress of shear, MPa", tube.Fsv/1e6, math.Min(0.6*240, 1.3*buckling/1e6), 1e-9, source)
}
