package check

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// safety is how a design basis makes a nominal strength an available one, and how
// much of the ultimate load its actions leave to second order. It is 0.90 or 1.67
// for every limit state here: AISC 360-22 F1, G1, H3.1, E1 and D2(a); α is that of
// C2.1. Provenance: public, in worked examples to AISC 360, but for tension and α:
// memory.
type safety struct {
	symbol string  // φ or Ω
	value  float64 // φ multiplies, Ω divides
	alpha  float64 // α on the axial force in second order
}

func safetyOf(basis loads.Basis) safety {
	switch basis {
	case loads.BasisLRFD:
		return safety{"φ", 0.90, 1.0}
	case loads.BasisASD:
		return safety{"Ω", 1.67, 1.6}
	}
	panic(fmt.Sprintf("check: %q is no basis of AISC 360", basis))
}

// available returns the strength that a nominal one makes available, in its unit.
func (f safety) available(nominal float64) float64 {
	if f.symbol == "Ω" {
		return nominal / f.value
	}
	return nominal * f.value
}

// record notes φ or Ω of a limit state (b, v, T, c, t) and the available strength.
func (f safety) record(r *Recorder, state, nominal, symbol string, available float64, unit, clause string) {
	if !r.keepsSteps() {
		return
	}
	factor := f.symbol + state
	formula := factor + " " + nominal
	if f.symbol == "Ω" {
		formula = nominal + " / " + factor
	}
	r.step(map[string]string{"φ": "resistance factor", "Ω": "safety factor"}[f.symbol], factor, f.value, "1", "", clause)
	r.step("available strength", symbol, available, unit, formula, clause)
}

// RoundTube is the resistance of a round HSS or pipe of steel to AISC 360-22, which
// in this is AISC 360-16: LRFD or ASD, on the wall in use, which by B4.2 is the
// design wall. Forces in N, moments in N·m.
//
// Second order is the amplifier of Appendix 8 on an elastic analysis, and
// compression rests on the elastic critical force (E3 with Fe = Pe/Ag): the
// effective length method of Appendix 7.2.
type RoundTube struct {
	name        string
	ring        sections.Ring
	fy          float64 // Pa
	e           float64 // Pa
	length      float64 // m
	safety      safety
	slenderness slenderness
	Mn          float64 // nominal flexural strength, N·m, F8
	Vn          float64 // nominal shear strength, N, G5
	Tn          float64 // nominal torsional strength, N·m, H3.1
	Pn          float64 // nominal tensile strength, N, D2(a): Fy Ag
	Mc          float64 // available flexural strength, N·m: φ Mn or Mn/Ω
	Vc          float64 // available shear strength, N: φ Vn or Vn/Ω
	Tc          float64 // available torsional strength, N·m: φ Tn or Tn/Ω
	Pt          float64 // available tensile strength, N: φ Pn or Pn/Ω; that in compression hangs on Critical
	Critical    float64 // elastic critical axial force of the member, N; +Inf until it is set
	most        float64 // the factor of second order on moments, at most
}

// NewRoundTube returns the resistances of a member of a length in m, on a basis,
// LRFD or ASD. The length is both Lv of G5, from the largest shear to none, and L
// of H3.1: that of the whole member is cautious. E is the grade's, no more than
// 29 000 ksi: what AISC 360 limits by E/Fy was found for that. Provenance: F8, G5, H1, H3
// and E3 public, F8-2, F8-3, E7 and the factor of second order memory.
//
// It returns a *ClassError for a tube to which F8 does not apply. It panics on
// another basis and on a length that is not positive.
func NewRoundTube(m *barrier.Member, basis loads.Basis, length float64) (*RoundTube, error) {
	if !(length > 0) {
		panic(fmt.Sprintf("check: a member %v m long", length))
	}
	t := &RoundTube{
		name: m.Name, ring: m.Ring, fy: m.Grade.Fy, e: math.Min(m.Grade.E, sections.ModulusAISC), length: length,
		safety: safetyOf(basis), Critical: math.Inf(1), most: math.Inf(1),
	}
	if limit := 0.45 * t.e / t.fy; t.ratio() >= limit {
		return nil, &ClassError{m.Name, t.ratio(), limit, "from where on AISC 360-22 F8 gives no resistance"}
	}
	t.slenderness = t.flexuralSlenderness()
	t.Mn, t.Vn, t.Tn, t.Pn = t.nominalMoment(), t.nominalShear(), t.nominalTorsion(), t.fy*t.ring.Area
	t.Mc, t.Vc, t.Tc, t.Pt = t.safety.available(t.Mn), t.safety.available(t.Vn), t.safety.available(t.Tn), t.safety.available(t.Pn)
	return t, nil
}

func (t *RoundTube) told() told {
	of := told{
		factors: "resistance factor φ = 0.90",
		method:  "Compression: Fe is the elastic critical stress of the member, from a lower bound of its critical force (effective length method; AISC 360 E3, Appendix 7); member buckling is within the interaction of chapter H.",
		source:  "resistances: AISC 360-22, clauses as listed; F8, G5, H1, H3 and E3 as printed in the AISC Design Examples v16 (public), F8-2, F8-3, E7 and the second-order factor from memory; held against those examples in the tests",
	}
	if t.safety.symbol == "Ω" {
		of.factors = "safety factor Ω = 1.67"
	}
	return of
}

// ratio returns D/t.
func (t *RoundTube) ratio() float64 { return t.ring.OD / t.ring.Wall }

// ofCritical returns αP/Pe of a compression in N: moments are raised by 1/(1 - αPr/Pe).
// AISC 360-22 Appendix 8, A-8-3 with Cm = 1 and A-8-6; provenance: memory.
func (t *RoundTube) ofCritical(compression float64) float64 {
	return t.safety.alpha * compression / t.Critical
}

func (t *RoundTube) setCritical(n float64) { t.Critical = n }

func (t *RoundTube) critical() float64 { return t.Critical }

// by returns the resistance as it is: φ and Ω stand in place of a partial factor.
func (t *RoundTube) by(partial) resistance { return t }

func (t *RoundTube) upTo(most float64) resistance {
	out := *t
	out.most = most
	return &out
}

// moment returns the required flexural strength, N·m, the resultant with second
// order at an α; no bound where αPr meets Pe, with a moment or without.
func (t *RoundTube) moment(s *analysis.State, alpha float64, r *Recorder) float64 {
	m, n := s.Moment(), alpha*math.Max(0, -s.N)/t.Critical
	k := math.Min(amplificationAt(n), t.most)
	if math.IsInf(k, 1) {
		return k
	}
	if k == 1 {
		r.step("required moment", "Mr", m, "Nm", "√(My² + Mz²)", "")
		return m
	}
	if r.keepsSteps() {
		r.step("moment of first order", "M", m, "Nm", "√(My² + Mz²)", "")
		t.recordCritical(s, alpha, r)
		r.step("axial force over the elastic critical force", "αPr/Pe", n, "1", "α Pr/Pe", "AISC 360-22 Appendix 8 (A-8-3)")
		r.step("factor of second order", "B1", k, "1", amplifiedBy("αPr/Pe", n, t.most), "AISC 360-22 Appendix 8 (A-8-3)")
		r.step("required moment", "Mr", k*m, "Nm", "B1 M", "AISC 360-22 Appendix 8 (A-8-1)")
	}
	return k * m
}

func (t *RoundTube) recordCritical(s *analysis.State, alpha float64, r *Recorder) {
	r.step("required axial force", "Pr", math.Abs(s.N), "N", "|N|", "")
	r.step("factor on it: 1.0 in LRFD and at first yield, 1.6 in ASD", "α", alpha, "1", "", "AISC 360-22 C2.1")
	r.step("elastic critical force, a lower bound", "Pe", t.Critical, "N", "", "elastic critical force")
}

// unstable notes a compression beyond the critical force.
func (t *RoundTube) unstable(s *analysis.State, alpha float64, r *Recorder) float64 {
	t.recordCritical(s, alpha, r)
	r.step("axial force in second order", "αPr", -alpha*s.N, "N", "α Pr", "AISC 360-22 Appendix 8 (A-8-3)")
	r.verdict(-alpha*s.N, t.Critical, "N", "AISC 360-22 Appendix 8: αPr above Pe")
	return math.Inf(1)
}

func (t *RoundTube) recordSection(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	r.step("outside diameter", "D", t.ring.OD*1e3, "mm", "", "")
	r.step("wall in use", "t", t.ring.Wall*1e3, "mm", "", "")
	r.step("yield strength of the grade", "Fy", t.fy/1e6, "MPa", "", "")
	r.step("modulus of elasticity, no more than 29 000 ksi", "E", t.e/1e6, "MPa", "", "")
}

// Bending is the resultant moment over the available flexural strength.
// AISC 360-22 F8.
func (t *RoundTube) Bending(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, t.safety.alpha, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, t.safety.alpha, r)
	}
	return r.verdict(m, t.Mc, "Nm", "AISC 360-22 F8")
}

// Shear is the resultant shear over the available shear strength. AISC 360-22 G5;
// torsion beside it is part of Interaction.
func (t *RoundTube) Shear(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordShear(r)
	r.step("required shear", "Vr", s.Shear(), "N", "√(Vy² + Vz²)", "")
	return r.verdict(s.Shear(), t.Vc, "N", "AISC 360-22 G5")
}

// Torsion is the torque over the available torsional strength. AISC 360-22 H3.1.
func (t *RoundTube) Torsion(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordTorsion(r)
	torque := torque(s, t.Tc)
	recordTorque(r, "required torque", "Tr", torque)
	return r.verdict(torque, t.Tc, "Nm", "AISC 360-22 H3.1")
}

// Interaction is bending with axial force and, where it counts, shear and torsion:
// the left side of AISC 360-22 H1-1 or of H3-6.
func (t *RoundTube) Interaction(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, t.safety.alpha, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, t.safety.alpha, r)
	}
	pc := t.axialStrength(s, r)
	p, torsion := math.Abs(s.N)/pc, torque(s, t.Tc)/t.Tc
	r.step("required axial force", "Pr", math.Abs(s.N), "N", "|N|", "")
	r.step("share of the axial strength", "Pr/Pc", p, "1", "Pr/Pc", "AISC 360-22 H1.1")
	if torsion > 0 {
		t.recordTorsion(r)
		r.step("required torque", "Tr", math.Abs(s.T), "Nm", "|T|", "")
		r.step("share of the torsional strength, which counts above 0.2", "Tr/Tc", torsion, "1", "Tr/Tc", "AISC 360-22 H3.2")
	}
	if torsion > torsionCountsFrom {
		t.recordShear(r)
		r.step("required shear", "Vr", s.Shear(), "N", "√(Vy² + Vz²)", "")
	}
	sum, formula, clause := combined(p, m/t.Mc, s.Shear()/t.Vc, torsion)
	r.step("sum of the ratios", "sum", sum, "1", formula, clause)
	return r.verdict(sum, 1, "1", clause)
}

// Yield is the equivalent stress at the outer fibre over the yield strength, under
// the actions as they are: no clause of AISC 360, so α is 1 on either basis. All
// stresses as if at one point, which is cautious.
func (t *RoundTube) Yield(s *analysis.State, r *Recorder) float64 {
	const clause = "first yield on elastic stresses, no clause of AISC 360"
	m := t.moment(s, 1, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, 1, r)
	}
	sigma, tau := outerFibre(&t.ring, s, m)
	equivalent := math.Sqrt(sigma*sigma + 3*tau*tau)
	if r.keepsSteps() {
		t.recordSection(r)
		r.step("area", "A", t.ring.Area*1e6, "mm²", "π(D - t)t", "")
		r.step("elastic section modulus", "S", t.ring.Wel*1e9, "mm³", "π(D⁴ - (D - 2t)⁴)/(32 D)", "")
		t.recordConstant(r)
		r.step("required shear", "Vr", s.Shear(), "N", "√(Vy² + Vz²)", "")
		r.step("stress along the tube", "σ", sigma/1e6, "MPa", "|N|/A + Mr/S", clause)
		r.step("shear stress", "τ", tau/1e6, "MPa", "|T|/C + 2Vr/A", clause)
		r.step("equivalent stress", "σeq", equivalent/1e6, "MPa", "√(σ² + 3τ²)", clause)
	}
	return r.verdict(equivalent/1e6, t.fy/1e6, "MPa", clause)
}

// outerFibre returns the stresses of a state with its moment, in N·m, as if all met
// at one point of the outer fibre, Pa: |N|/A + M/Wel along the tube, |T|/Wt + 2V/A
// round it, the peak shear stress of a thin ring, which is above that of a thick one.
func outerFibre(ring *sections.Ring, s *analysis.State, moment float64) (sigma, tau float64) {
	return math.Abs(s.N)/ring.Area + moment/ring.Wel, math.Abs(s.T)/ring.Wt + 2*s.Shear()/ring.Area
}
