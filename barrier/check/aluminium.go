package check

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// The partial factors of EN 1999-1-1:2007 6.1.3, recommended values: on yielding and
// buckling, and on fracture of a net section; provenance: memory.
const (
	aluminiumGammaM1 = 1.10
	aluminiumGammaM2 = 1.25
)

// recommendedAluminium is the first of them, where no schedule brings another.
var recommendedAluminium = partial{aluminiumGammaM1, "recommended", "EN 1999-1-1 6.1.3", ""}

// bucklingClass is what EN 1999-1-1 makes of the buckling class of a temper: the limits of
// slenderness of an unwelded internal part in bending or compression, over ε, Table 6.2, and
// the buckling curve, Table 6.6. Provenance: class A public (a lecture on EN 1999), class B
// memory.
type bucklingClass struct {
	name   string
	limits [3]float64 // β1/ε, β2/ε, β3/ε
	curve  bucklingCurve
}

// bucklingClassOf returns the buckling class of a grade. Where it is not known that of the
// lower curve stands, with the least limits of either.
func bucklingClassOf(name string) bucklingClass {
	switch name {
	case "A":
		return bucklingClass{"A", [3]float64{11, 16, 22}, bucklingCurve{alpha: 0.20, to0: 0.10}}
	case "B":
		return bucklingClass{"B", [3]float64{13, 16.5, 18}, bucklingCurve{alpha: 0.32, to0: 0}}
	}
	return bucklingClass{"not known: the cautious side of A and B", [3]float64{11, 16, 18}, bucklingCurve{alpha: 0.32, to0: 0}}
}

// Aluminium is the resistance of a round tube of aluminium to EN 1999-1-1:2007 with A1 and
// A2: a section of class 1, 2 or 3 without welds, on the wall in use. Forces in N, moments in
// N·m. Fracture of a net section, (6.20b) and (6.24), is that of one with holes: a tube in
// slip-on fittings has none. Critical, the elastic critical axial force of the member, N, is
// +Inf until it is set: nothing buckles.
type Aluminium struct {
	amplifier
	roundSection
	epsilon float64
	beta    float64 // slenderness of the wall, 6.1.4.3
	of      bucklingClass
	class   int
	shape   float64 // α of Table 6.4
	gamma   partial // γM1
	NRd     float64 // axial force, N, 6.2.3, 6.2.4
	MRd     float64 // moment, N·m, 6.2.5, gross section
	VRd     float64 // shear, N, 6.2.6
	TRd     float64 // torsion, N·m, 6.2.7, elastic at the outer fibre
}

// newAluminium returns the resistances of a tube of aluminium. It returns a *ClassError for
// class 4. Source: EN 1999-1-1:2007 6.1.4, 6.2; provenance: memory, but for the limits and
// the buckling curve of class A.
func newAluminium(m *barrier.Member) (resistance, error) { return NewAluminium(m) }

// NewAluminium returns the resistances of a tube of aluminium by EN 1999-1-1:2007 6.1.4 and 6.2.
// Provenance: memory, but for the class limits and the buckling curve of class A, public.
//
// Error: *ClassError for class 4.
func NewAluminium(m *barrier.Member) (*Aluminium, error) {
	t := &Aluminium{
		amplifier: newAmplifier(1, amplifierWords{
			moment: "MEd,I", raised: "MEd", axial: "NEd", critical: "Ncr", factor: "kII", clause: "EN 1999-1-1 5.2.2",
		}),
		roundSection: newRoundSection(m), of: bucklingClassOf(m.Grade.BucklingClass), gamma: recommendedAluminium,
	}
	t.epsilon = math.Sqrt(250e6 / t.fy)
	ratio := (t.ring.OD - t.ring.Wall) / t.ring.Wall
	t.beta = 3 * math.Sqrt(ratio)
	t.class = 4
	for i, limit := range t.of.limits {
		if t.beta <= limit*t.epsilon {
			t.class = i + 1
			break
		}
	}
	if t.class == 4 {
		limit := t.of.limits[2] * t.epsilon / 3 // β3 = 3√(Dm/t), and Dm/t = d/t - 1
		return nil, &ClassError{m.Name, ratio + 1, limit*limit + 1, "class 4 of EN 1999-1-1 Table 6.2, whose effective walls (6.1.5) are not supported yet"}
	}
	t.shape = t.shapeFactor()
	t.resist()
	return t, nil
}

// resist works the resistances out.
func (t *Aluminium) resist() {
	strength := t.fy / t.gamma.value
	t.NRd = t.ring.Area * strength
	t.MRd = t.shape * t.ring.Wel * strength
	t.VRd = 0.6 * t.ring.Area * strength / sqrt3
	t.TRd = t.ring.Wt * strength / sqrt3
}

// shapeFactor returns α: Wpl/Wel of class 1 and 2, from there in a line to 1 at the end of
// class 3. EN 1999-1-1:2007 Table 6.4; provenance: memory.
func (t *Aluminium) shapeFactor() float64 {
	plastic := t.ring.Wpl / t.ring.Wel
	if t.class < 3 {
		return plastic
	}
	b2, b3 := t.of.limits[1]*t.epsilon, t.of.limits[2]*t.epsilon
	return 1 + (b3-t.beta)/(b3-b2)*(plastic-1)
}

func (t *Aluminium) told() told {
	return told{
		factors: fmt.Sprintf("%.2f on aluminium (γM1), recommended value", aluminiumGammaM1),
		method:  "Aluminium is taken as unwelded (κ = 1, no heat-affected zone), ω = 1: a weld would about halve the resistance beside it. Fracture of a net section, Wnet fu/γM2, is that of one with holes.",
		source:  "resistances: EN 1999-1-1:2007 with A1 and A2, clauses as listed, formulas and factors from memory; class limits and buckling curve of class A from a public lecture on the standard, held against its example in the tests (memory)",
	}
}

// by returns the resistance with the partial factor of a schedule in place of γM1. First
// yield has none.
func (t *Aluminium) by(g partial) resistance {
	out := *t
	out.gamma = g
	if g == recommended {
		out.gamma = recommendedAluminium
	}
	out.resist()
	return &out
}

func (t *Aluminium) upTo(most float64) resistance {
	out := *t
	out.most = most
	return &out
}

func (t *Aluminium) recordSection(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	t.recordDiameter("D", r)
	r.step("mid-wall diameter", "Dm", (t.ring.OD-t.ring.Wall)*1e3, "mm", "D - t", "")
	r.step("proof strength of the grade", "fo", t.fy/1e6, "MPa", "", "")
	r.step("factor for the proof strength", "ε", t.epsilon, "1", "√(250 / fo)", "EN 1999-1-1 6.1.4.4")
	r.step(fmt.Sprintf("slenderness of the wall, class %d", t.class), "β", t.beta, "1", "3 √(Dm / t)", "EN 1999-1-1 6.1.4.3")
	for i, limit := range t.of.limits {
		r.step(fmt.Sprintf("limit of class %d, buckling class %s", i+1, t.of.name), fmt.Sprintf("β%d", i+1), limit*t.epsilon, "1", fmt.Sprintf("%g ε", limit), "EN 1999-1-1 Table 6.2")
	}
	r.step("partial factor", "γM1", t.gamma.value, "1", "", t.gamma.clause)
}

func (t *Aluminium) recordMoment(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	r.step("elastic section modulus", "Wel", t.ring.Wel*1e9, "mm³", "π (D⁴ - (D - 2 t)⁴) / (32 D)", "")
	r.step("plastic section modulus", "Wpl", t.ring.Wpl*1e9, "mm³", "(D³ - (D - 2 t)³) / 6", "")
	formula := "Wpl / Wel"
	if t.class == 3 {
		formula = "1 + (β3 - β) / (β3 - β2) (Wpl / Wel - 1)"
	}
	r.step("shape factor", "α", t.shape, "1", formula, "EN 1999-1-1 Table 6.4")
	r.step("bending resistance", "Mo,Rd", t.MRd, "Nm", "α Wel fo / γM1", "EN 1999-1-1 6.2.5.1 (6.25)")
}

// Bending is the resultant moment over the bending resistance. EN 1999-1-1:2007 6.2.5.
func (t *Aluminium) Bending(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	return r.verdict(m, t.MRd, "Nm", "EN 1999-1-1 6.2.5")
}

func (t *Aluminium) recordTorsion(s *analysis.State, r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	r.step("elastic section modulus", "Wel", t.ring.Wel*1e9, "mm³", "π (D⁴ - (D - 2 t)⁴) / (32 D)", "")
	r.step("torsional section modulus, elastic", "Wt", t.ring.Wt*1e9, "mm³", "2 Wel", "")
	r.step("torsion resistance", "TRd", t.TRd, "Nm", "Wt fo / (√3 γM1)", "EN 1999-1-1 6.2.7.1")
	recordTorque(r, "design torque", "TEd", torque(s, t.TRd))
}

// Torsion is the torque over the elastic torsion resistance, cautious beside the plastic one
// of the clause. EN 1999-1-1:2007 6.2.7.1.
func (t *Aluminium) Torsion(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordTorsion(s, r)
	return r.verdict(torque(s, t.TRd), t.TRd, "Nm", "EN 1999-1-1 6.2.7.1")
}

// shearResistance returns the shear resistance that torsion leaves. EN 1999-1-1:2007 6.2.6,
// 6.2.7.3; Av of a round tube is 0.6 A.
func (t *Aluminium) shearResistance(s *analysis.State, r *Recorder) float64 {
	if r.keepsSteps() {
		t.recordArea(r)
		r.step("shear area", "Av", 0.6*t.ring.Area*1e6, "mm²", "0.6 A", "EN 1999-1-1 6.2.6")
		r.step("shear resistance", "VRd", t.VRd, "N", "Av fo / (√3 γM1)", "EN 1999-1-1 6.2.6")
	}
	T := torque(s, t.TRd)
	if T == 0 {
		return t.VRd
	}
	v := math.Max(0, 1-T/t.TRd) * t.VRd
	t.recordTorsion(s, r)
	r.step("shear resistance beside torsion", "VT,Rd", v, "N", "(1 - TEd / TRd) VRd", "EN 1999-1-1 6.2.7.3")
	return v
}

// Shear is the resultant shear over the shear resistance that torsion leaves.
// EN 1999-1-1:2007 6.2.6, 6.2.7.3.
func (t *Aluminium) Shear(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	resistance := t.shearResistance(s, r)
	r.step("design shear, resultant", "VEd", s.Shear(), "N", "√(Vy² + Vz²)", "")
	return r.verdict(s.Shear(), resistance, "N", "EN 1999-1-1 6.2.6, 6.2.7.3")
}

// besideShear returns the part of the proof strength that shear above half its resistance
// leaves, for the whole section, which is cautious. EN 1999-1-1:2007 6.2.8, 6.2.10.
func (t *Aluminium) besideShear(s *analysis.State, r *Recorder) float64 {
	v, resistance := s.Shear(), t.shearResistance(s, r)
	r.step("design shear, resultant", "VEd", v, "N", "√(Vy² + Vz²)", "")
	if v <= 0.5*resistance {
		return 1
	}
	left := 0.0
	if resistance > 0 {
		over := 2*v/resistance - 1
		left = math.Max(0, 1-over*over)
	}
	shear := "VRd"
	if torque(s, t.TRd) > 0 {
		shear = "VT,Rd"
	}
	if r.keepsSteps() {
		r.step("part of the proof strength that shear leaves", "fo,V/fo", left, "1", "max(0, 1 - (2 VEd / "+shear+" - 1)²)", "EN 1999-1-1 6.2.8 (6.38)")
		r.step("bending resistance beside shear", "MV,Rd", left*t.MRd, "Nm", "fo,V/fo Mo,Rd", "EN 1999-1-1 6.2.8")
	}
	return left
}

// The exponents of EN 1999-1-1:2007 6.2.9.2 and 6.3.3.1 for tubes; provenance: memory. The
// resultant is the moment about the one axis, for which the clause has 1.7 times 0.6.
const (
	hollowPsi    = 1.3 // on the axial force, in a section
	memberPsi    = 0.8 // on the axial force, in a member
	hollowMoment = 1.7 * 0.6
)

// ofMoment returns (MEd/MRd)^(1.7·0.6); 0 for a moment that is rounding, no bound where
// nothing resists one.
func (t *Aluminium) ofMoment(m, resistance float64) float64 {
	if m <= 1e-9*t.MRd {
		return 0
	}
	return math.Pow(m/resistance, hollowMoment)
}

// Interaction is bending with axial force in a section, with what shear and torsion leave:
// (NEd/NRd)^1.3 + (MEd/MRd)^(1.7·0.6). EN 1999-1-1:2007 6.2.9.2, 6.2.10 with ω0 = 1.
func (t *Aluminium) Interaction(s *analysis.State, r *Recorder) float64 {
	const clause = "EN 1999-1-1 6.2.9.2, 6.2.10"
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	left := t.besideShear(s, r)
	mv, nv := left*t.MRd, left*t.NRd
	n := shareOf(math.Abs(s.N), nv, t.NRd)
	sum := math.Pow(n, hollowPsi) + t.ofMoment(m, mv)
	if math.IsInf(sum, 1) {
		if m > 1e-9*t.MRd {
			return r.boundless(m, "Nm", clause)
		}
		return r.boundless(math.Abs(s.N), "N", clause)
	}
	if r.keepsSteps() {
		against, pressed := "Mo,Rd", "NRd"
		if left < 1 {
			against, pressed = "MV,Rd", "NV,Rd"
		}
		t.recordArea(r)
		r.step("design axial force", "NEd", math.Abs(s.N), "N", "|N|", "")
		r.step("axial resistance", "NRd", t.NRd, "N", "A fo / γM1", "EN 1999-1-1 6.2.3, 6.2.4")
		if left < 1 {
			r.step("axial resistance beside shear", "NV,Rd", nv, "N", "fo,V/fo NRd", "EN 1999-1-1 6.2.10")
		}
		r.step("sum of the ratios", "sum", sum, "1", "(NEd / "+pressed+")^1.3 + (MEd / "+against+")^(1.7 · 0.6)", clause)
	}
	return r.verdict(sum, 1, "1", clause)
}

// reduction returns the slenderness and the reduction factor for member buckling.
// EN 1999-1-1:2007 6.3.1.2; provenance: of class A public, of class B memory.
func (t *Aluminium) reduction() (slenderness, phi, chi float64) {
	return t.of.curve.reduction(t.ring.Area*t.fy, t.Critical)
}

// Buckling is member buckling with the bending beside it: (NEd/Nb,Rd)^0.8 +
// (MEd/Mo,Rd)^(1.7·0.6), EN 1999-1-1:2007 6.3.3.1 for tubes with ω0 = ωx = κ = 1. The moment
// is that of second order, which the clause does not ask of a member that does not sway:
// cautious. Without compression it is bending alone.
func (t *Aluminium) Buckling(s *analysis.State, r *Recorder) float64 {
	const clause = "EN 1999-1-1 6.3.1, 6.3.3.1"
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	pressed := math.Max(0, -s.N)
	slenderness, phi, chi := t.reduction()
	nb := chi * t.NRd
	sum := math.Pow(pressed/nb, memberPsi) + t.ofMoment(m, t.MRd)
	if r.keepsSteps() {
		t.recordArea(r)
		r.step("design compression", "NEd", pressed, "N", "-N, at least 0", "")
		if !math.IsInf(t.Critical, 1) {
			r.step("elastic critical force", "Ncr", t.Critical, "N", "", "EN 1999-1-1 6.3.1.2")
			r.step("relative slenderness", "λ", slenderness, "1", "√(A fo / Ncr)", "EN 1999-1-1 6.3.1.2")
		} else {
			r.step("relative slenderness", "λ", slenderness, "1", "", "EN 1999-1-1 6.3.1.2")
		}
		r.step("imperfection factor, buckling class "+t.of.name, "αb", t.of.curve.alpha, "1", "", "EN 1999-1-1 Table 6.6")
		r.step("limit of the plateau", "λ0", t.of.curve.to0, "1", "", "EN 1999-1-1 Table 6.6")
		r.step("value for the reduction factor", "φ", phi, "1", "0.5 (1 + αb (λ - λ0) + λ²)", "EN 1999-1-1 6.3.1.2")
		r.step("reduction factor", "χ", chi, "1", "min(1, 1 / (φ + √(φ² - λ²)))", "EN 1999-1-1 6.3.1.2")
		r.step("buckling resistance", "Nb,Rd", nb, "N", "χ A fo / γM1", "EN 1999-1-1 6.3.1.1")
		r.step("sum of the ratios", "sum", sum, "1", "(NEd / Nb,Rd)^0.8 + (MEd / Mo,Rd)^(1.7 · 0.6)", clause)
	}
	return r.verdict(sum, 1, "1", clause)
}

// Yield is the equivalent stress at the outer fibre over the proof strength, on elastic
// stresses. EN 1999-1-1:2007 6.2.1(5), without its 1.2 on the proof strength: cautious.
func (t *Aluminium) Yield(s *analysis.State, r *Recorder) float64 {
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	y := yielding{diameter: "D", modulus: "Wel", torsional: "Wt", strength: "fo", moment: "MEd", clause: "EN 1999-1-1 6.2.1(5)"}
	return y.judge(s, m, &t.roundSection, r)
}
