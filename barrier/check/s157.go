package check

import (
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// The resistance factors of CSA S157-05 (R2015) 5.5: on yielding and buckling, and on rupture;
// provenance: public (a worked example) for the first, memory for the second.
const (
	phiY = 0.90
	phiU = 0.75
)

// AluminumS157 is the resistance of a round tube of aluminium to CSA S157-05, unwelded: on
// elastic stresses, which is cautious where the code allows the plastic moment. Forces in N,
// moments in N·m. Critical, the elastic critical axial force of the member, N, is +Inf until it
// is set: nothing buckles.
type AluminumS157 struct {
	amplifier
	roundSection
	Mr     float64 // moment, N·m: φy S Fy
	Vr, Tr float64 // shear, N, and torsion, N·m: φy 0.6 Fy on A/2 and on J/R
	Pt     float64 // tension, N: the lesser of φy A Fy and φu A Fu
}

func newS157(m *barrier.Member) (resistance, error) { return NewAluminumS157(m) }

// NewAluminumS157 returns the resistances of a tube of aluminium by CSA S157-05. Provenance: the
// stress form of beam-columns and φy public, a worked example; the rest memory, most of it
// without the number of its clause.
//
// Errors: *ClassError for a wall that buckles short of yielding, *UncoveredError for a grade
// without tensile strength.
func NewAluminumS157(m *barrier.Member) (*AluminumS157, error) {
	t := &AluminumS157{roundSection: newRoundSection(m)}
	t.amplifier = newAmplifier(1, amplifierWords{
		moment: "Mf1", raised: "Mf", axial: "Cf", critical: "Ce", factor: "kII", clause: "CSA S157 beam-column",
	})
	if !(t.fu > 0) {
		return nil, &UncoveredError{m.Name, m.Grade.Material, loads.BasisCSA, "CSA S157 asks for the tensile strength, and grade " + m.Grade.Name + " has none"}
	}
	if limit := t.yieldingRatio(); t.radiusOverWall() > limit {
		return nil, &ClassError{m.Name, t.ring.OD / t.ring.Wall, 2*limit + 1, "from where on the wall may buckle short of yielding (local buckling of CSA S157), which is not supported yet"}
	}
	t.Mr = phiY * t.fy * t.ring.Wel
	t.Vr = phiY * 0.6 * t.fy * t.ring.Area / 2
	t.Tr = phiY * 0.6 * t.fy * t.ring.Wt
	t.Pt = math.Min(phiY*t.fy, phiU*t.fu) * t.ring.Area
	return t, nil
}

// radiusOverWall returns R/t of the mid-wall radius.
func (t *AluminumS157) radiusOverWall() float64 { return (t.ring.OD - t.ring.Wall) / 2 / t.ring.Wall }

// yieldingRatio returns R/t up to which a wall in compression yields before it buckles:
// λ/π √(Fy/E) = 0.5, the end of the plateau of local buckling, for λ = 4 √(R/t) (1 + √(R/t)/35)
// of an elastic buckling stress π²E/λ². CSA S157; provenance: memory.
func (t *AluminumS157) yieldingRatio() float64 {
	lambda := 0.5 * math.Pi * math.Sqrt(t.e/t.fy)
	x := (-1 + math.Sqrt(1+lambda/35)) * 35 / 2
	return x * x
}

func (t *AluminumS157) told() told {
	return told{
		factors: "resistance factors on aluminium φy = 0.90, φu = 0.75 in tension",
		method:  "Aluminium is taken as unwelded, on elastic stresses. Compression: Ce is the elastic critical force of the member, a lower bound.",
		source:  "resistances: CSA S157-05, the stress form of beam-columns from a worked example (public), the rest from memory (memory)",
	}
}

// by returns the resistance as it is: φ stands in place of a partial factor.
func (t *AluminumS157) by(partial) resistance { return t }

func (t *AluminumS157) upTo(most float64) resistance {
	out := *t
	out.most = most
	return &out
}

func (t *AluminumS157) recordSection(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	t.recordDiameter("D", r)
	r.step("yield strength of the grade", "Fy", t.fy/1e6, "MPa", "", "")
	r.step("resistance factor", "φy", phiY, "1", "", "CSA S157 5.5")
}

func (t *AluminumS157) recordModulus(r *Recorder) {
	r.step("elastic section modulus", "S", t.ring.Wel*1e9, "mm³", "π (D⁴ - (D - 2 t)⁴) / (32 D)", "")
}

func (t *AluminumS157) recordMoment(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	t.recordModulus(r)
	r.step("moment resistance", "Mr", t.Mr, "Nm", "φy S Fy", "CSA S157 bending")
}

// Bending is the resultant moment over the elastic moment resistance. CSA S157-05, memory.
func (t *AluminumS157) Bending(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	return r.verdict(m, t.Mr, "Nm", "CSA S157 bending")
}

func (t *AluminumS157) recordShear(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	t.recordArea(r)
	r.step("shear resistance", "Vr", t.Vr, "N", "φy 0.6 Fy A / 2", "CSA S157 shear")
}

// Shear is the resultant shear over the shear resistance, at the peak stress 2V/A.
func (t *AluminumS157) Shear(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordShear(r)
	r.step("factored shear, resultant", "Vf", s.Shear(), "N", "√(Vy² + Vz²)", "")
	return r.verdict(s.Shear(), t.Vr, "N", "CSA S157 shear")
}

func (t *AluminumS157) recordTorsion(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	t.recordModulus(r)
	r.step("torsional section modulus, J over the radius", "J/R", t.ring.Wt*1e9, "mm³", "2 S", "")
	r.step("torsional resistance", "Tr", t.Tr, "Nm", "φy 0.6 Fy (J/R)", "CSA S157 torsion")
}

// Torsion is the torque over the elastic torsional resistance.
func (t *AluminumS157) Torsion(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordTorsion(r)
	torque := torque(s, t.Tr)
	recordTorque(r, "factored torque", "Tf", torque)
	return r.verdict(torque, t.Tr, "Nm", "CSA S157 torsion")
}

// sides returns the stresses of a state on the side that the axial force adds to and on the
// other, Pa: M/S ± N/A, with the moment of second order. CSA S157, the beam-column on stresses,
// Mf/[S(1 - Cf/Ce)] + Cf/A; provenance: public.
func (t *AluminumS157) sides(s *analysis.State, m float64) (adding, easing float64) {
	bending, axial := m/t.ring.Wel, math.Abs(s.N)/t.ring.Area
	return bending + axial, bending - axial
}

// Interaction is the larger stress of bending with axial force over φy Fy, and the square of
// shear and torsion beside it, which is more than their equivalent stress. The axial force alone
// is judged against rupture as well, as a pull is and no push need be.
func (t *AluminumS157) Interaction(s *analysis.State, r *Recorder) float64 {
	const clause = "CSA S157 beam-column on stresses"
	t.recordSection(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	adding, easing := t.sides(s, m)
	torsion := torque(s, t.Tr)
	sheared := s.Shear()/t.Vr + torsion/t.Tr
	axial := math.Abs(s.N) / t.Pt
	sum := math.Max(adding/(phiY*t.fy), axial) + sheared*sheared
	if r.keepsSteps() {
		t.recordModulus(r)
		t.recordArea(r)
		force, other := "Cf", "tension side"
		if s.N >= 0 {
			force, other = "Nf", "compression side"
		}
		r.step("factored axial force", force, math.Abs(s.N), "N", "|N|", "")
		r.step("stress on the side that it adds to", "f1", adding/1e6, "MPa", "Mf / S + "+force+" / A", clause)
		r.step("stress on the other, the "+other, "f2", easing/1e6, "MPa", "Mf / S - "+force+" / A", clause)
		r.step("stress allowed", "φyFy", phiY*t.fy/1e6, "MPa", "φy Fy", clause)
		t.recordShear(r)
		t.recordTorsion(r)
		r.step("factored shear, resultant", "Vf", s.Shear(), "N", "√(Vy² + Vz²)", "")
		recordTorque(r, "factored torque", "Tf", torsion)
		first := "f1 / φyFy"
		if axial > adding/(phiY*t.fy) {
			r.step("resistance factor on rupture", "φu", phiU, "1", "", "CSA S157 5.5")
			r.step("tensile strength of the grade", "Fu", t.fu/1e6, "MPa", "", "")
			r.step("resistance in tension", "Pt", t.Pt, "N", "min(φy Fy, φu Fu) A", "CSA S157 tension")
			first = force + " / Pt"
		}
		r.step("sum of the ratios", "sum", sum, "1", first+" + (Vf / Vr + Tf / Tr)²", clause)
	}
	return r.verdict(sum, 1, "1", clause)
}

// reduction returns the slenderness of the member and its buckling stress over Fy: F = β -
// √(β² - 1/λ²), β = (1 + α(λ - λ0) + λ²)/(2λ²), with α = 0.4 and λ0 = 0.3, which for a tube
// that is heat-treated and unwelded (α = 0.2) is cautious. CSA S157 9.3; provenance: memory.
func (t *AluminumS157) reduction() (lambda, over float64) {
	const alpha, to0 = 0.4, 0.3
	lambda = math.Sqrt(t.fy * t.ring.Area / t.Critical)
	if lambda <= to0 {
		return lambda, 1
	}
	square := lambda * lambda
	beta := (1 + alpha*(lambda-to0) + square) / (2 * square)
	return lambda, beta - math.Sqrt(beta*beta-1/square)
}

// Buckling is compression over the resistance to member buckling with the bending beside it,
// Cf/Cr + Mf/Mr; without compression it is bending alone.
func (t *AluminumS157) Buckling(s *analysis.State, r *Recorder) float64 {
	const clause = "CSA S157 9.3, beam-column"
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	pressed := math.Max(0, -s.N)
	lambda, over := t.reduction()
	cr := phiY * over * t.fy * t.ring.Area
	sum := pressed/cr + m/t.Mr
	if r.keepsSteps() {
		t.recordArea(r)
		formula := ""
		if !math.IsInf(t.Critical, 1) {
			r.step("elastic critical force, a lower bound", "Ce", t.Critical, "N", "", "CSA S157 9.3")
			formula = "√(A Fy / Ce)"
		}
		r.step("relative slenderness", "λ", lambda, "1", formula, "CSA S157 9.3")
		formula = ""
		if over < 1 {
			square := lambda * lambda
			r.step("value for the buckling stress", "β", (1+0.4*(lambda-0.3)+square)/(2*square), "1", "(1 + 0.4 (λ - 0.3) + λ²) / (2 λ²)", "CSA S157 9.3")
			formula = "β - √(β² - 1 / λ²)"
		}
		r.step("buckling stress over Fy", "F", over, "1", formula, "CSA S157 9.3")
		r.step("resistance in compression", "Cr", cr, "N", "φy F Fy A", "CSA S157 9.3")
		r.step("factored compression", "Cf", pressed, "N", "-N, at least 0", "")
		r.step("sum of the ratios", "sum", sum, "1", "Cf / Cr + Mf / Mr", clause)
	}
	return r.verdict(sum, 1, "1", clause)
}

// Yield is the equivalent stress at the outer fibre over the yield strength, under the actions
// as they are.
func (t *AluminumS157) Yield(s *analysis.State, r *Recorder) float64 {
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	y := yielding{diameter: "D", modulus: "S", torsional: "J/R", strength: "Fy", moment: "Mf", clause: "first yield on elastic stresses, no clause of CSA S157"}
	return y.judge(s, m, &t.roundSection, r)
}
