package check

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// phiS16 is the resistance factor φ of structural steel. CSA S16 13.1 (a); provenance: public,
// in an engineer's worked example.
const phiS16 = 0.90

// Limits of D/t of a round hollow section, times Fy in MPa: classes 1, 2 and 3 in bending (CSA
// S16 Table 2), and in axial compression (Table 1); provenance: public.
const (
	class1S16 = 13_000
	class2S16 = 18_000
	class3S16 = 66_000
	axialS16  = 23_000
)

// CSAS16 is the factored resistance of a round hollow section of carbon steel to CSA S16-14
// and S16-19, on the wall in use. Forces in N, moments in N·m; φ is in them.
//
// Second order is U1 = 1/(1 - Cf/Ce) on an elastic analysis with the elastic critical force of
// the member, sway in it, which also gives Fe of 13.3.1.
type CSAS16 struct {
	amplifier // 13.8.4, U1 with ω1 = 1; provenance: memory
	roundSection
	fyAxial float64 // the yield stress that counts in compression, Pa
	class   int     // in bending
	n       float64 // of the column curve, 13.3.1
	formed  string
	Mr      float64 // moment, N·m, 13.5
	Vr      float64 // shear, N, 13.4
	Tq      float64 // torsion, N·m, at first yield of the outer fibre
	Tr      float64 // tension, N, 13.2
	Cr      float64 // compression, N, 13.3.1; without buckling as NewCSAS16 returns it
}

// NewCSAS16 returns the resistances of a tube. It returns a *ClassError for class 4 in
// bending. A wall too thin for Table 1 in compression, D/t above 23 000/Fy, counts there with
// the yield stress that meets it, 13.3.5 (b). CSA S16 13.2 to 13.5; provenance: classes,
// bending and compression public, the rest memory.
func NewCSAS16(m *barrier.Member) (*CSAS16, error) {
	t := &CSAS16{
		amplifier: newAmplifier(1, amplifierWords{
			moment: "Mf1", raised: "Mf", axial: "Cf", critical: "Ce", factor: "U1", clause: "CSA S16 13.8.4",
		}),
		roundSection: newRoundSection(m),
	}
	ratio, mpa := t.ratio(), t.fy/1e6
	switch {
	case ratio <= class1S16/mpa:
		t.class = 1
	case ratio <= class2S16/mpa:
		t.class = 2
	case ratio <= class3S16/mpa:
		t.class = 3
	default:
		return nil, &ClassError{m.Name, ratio, class3S16 / mpa, "class 4 in bending, 66 000/Fy of CSA S16 Table 2, for which 13.5 (c) sends to CSA S136"}
	}
	t.fyAxial = math.Min(t.fy, axialS16/ratio*1e6)
	t.n, t.formed = columnCurveS16(m)
	modulus := t.ring.Wpl
	if t.class == 3 {
		modulus = t.ring.Wel
	}
	t.Mr, t.Vr = phiS16*modulus*t.fy, phiS16*0.66*t.fy*t.ring.Area/2
	t.Tq, t.Tr = phiS16*t.fy/sqrt3*t.ring.Wt, phiS16*t.ring.Area*t.fy
	t.setCritical(math.Inf(1))
	return t, nil
}

func newS16(m *barrier.Member) (resistance, error) {
	t, err := NewCSAS16(m)
	if err != nil {
		return nil, err // not a typed nil
	}
	return t, nil
}

// columnCurveS16 returns n of the column curve: 2.24 of hollow sections of class H, hot formed
// or stress relieved, to CSA G40.20, 1.34 of all others. CSA S16 13.3.1; provenance: public.
func columnCurveS16(m *barrier.Member) (n float64, words string) {
	if m.Grade.Standard == "CSA G40.21" && m.Grade.Name == classH {
		return 2.24, "class H of CSA G40.20"
	}
	return 1.34, "not class H of CSA G40.20"
}

// classH is the listed grade of hollow sections of class H to CSA G40.20.
const classH = "350W class H"

// ratio returns D/t.
func (t *CSAS16) ratio() float64 { return t.ring.OD / t.ring.Wall }

// slenderness returns λ = √(Fy/Fe) with Fe = Ce/A. CSA S16 13.3.1; provenance: public.
func (t *CSAS16) slenderness() float64 { return math.Sqrt(t.fyAxial * t.ring.Area / t.Critical) }

func (t *CSAS16) setCritical(n float64) {
	t.Critical = n
	t.Cr = phiS16 * t.ring.Area * t.fyAxial * math.Pow(1+math.Pow(t.slenderness(), 2*t.n), -1/t.n)
}

func (t *CSAS16) told() told {
	return told{
		factors: "resistance factor φ = 0.90 (CSA S16 13.1)",
		method:  "Compression: Fe of CSA S16 13.3.1 is the elastic critical stress of the member, from a lower bound of its critical force, sway in it; member buckling is within the interaction (13.8.3), whose U1 = 1/(1 - Cf/Ce), ω1 = 1, stands for U2 of sway too. Torsion of a tube has no clause in CSA S16: first yield at its outer fibre stands, φ (Fy/√3) C, C = 2J/D, and beside bending and shear it is added by a rule of this program.",
		source:  "resistances: CSA S16-14, which in this is S16-19, clauses as listed: classes, bending and compression after public worked examples, shear, beam-columns and second order from memory (memory)",
	}
}

// by returns the resistance as it is: φ stands in place of a partial factor.
func (t *CSAS16) by(partial) resistance { return t }

func (t *CSAS16) upTo(most float64) resistance {
	out := *t
	out.most = most
	return &out
}

func (t *CSAS16) recordSection(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	t.recordDiameter("D", r)
	r.step("yield strength of the grade", "Fy", t.fy/1e6, "MPa", "", "")
	r.step("resistance factor", "φ", phiS16, "1", "", "CSA S16 13.1")
}

func (t *CSAS16) recordMoment(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	mpa := t.fy / 1e6
	r.step("slenderness of the wall", "D/t", t.ratio(), "1", "D/t", "CSA S16 Table 2")
	limit, formula := class1S16/mpa, "13000/Fy"
	switch t.class {
	case 2:
		limit, formula = class2S16/mpa, "18000/Fy"
	case 3:
		limit, formula = class3S16/mpa, "66000/Fy"
	}
	r.step(fmt.Sprintf("limit of class %d, within which the wall lies", t.class), "limit", limit, "1", formula, "CSA S16 Table 2")
	if t.class == 3 {
		r.step("elastic section modulus", "S", t.ring.Wel*1e9, "mm³", "π(D⁴ - (D - 2 t)⁴)/(32 D)", "")
		r.step("factored moment resistance", "Mr", t.Mr, "Nm", "φ S Fy", "CSA S16 13.5 (b)")
		return
	}
	r.step("plastic section modulus", "Z", t.ring.Wpl*1e9, "mm³", "(D³ - (D - 2 t)³)/6", "")
	r.step("factored moment resistance", "Mr", t.Mr, "Nm", "φ Z Fy", "CSA S16 13.5 (a)")
}

func (t *CSAS16) recordShear(s *analysis.State, r *Recorder) {
	r.step("resultant shear", "Vf", s.Shear(), "N", "√(Vy² + Vz²)", "")
	r.step("area", "A", t.ring.Area*1e6, "mm²", "π(D - t) t", "")
	r.step("factored shear resistance", "Vr", t.Vr, "N", "φ 0.66 Fy A/2", "CSA S16 13.4")
}

// ruleS16 is what stands in place of a clause on torsion.
const ruleS16 = "torsion: no clause of CSA S16, first yield at the outer fibre"

func (t *CSAS16) recordTorsion(torque float64, r *Recorder) {
	recordTorque(r, "torque", "Qf", torque)
	r.step("torsional constant", "C", t.ring.Wt*1e9, "mm³", "π(D⁴ - (D - 2 t)⁴)/(16 D)", ruleS16)
	r.step("factored torsional resistance", "Qr", t.Tq, "Nm", "φ (Fy/√3) C", ruleS16)
}

// Bending is the resultant moment over the factored moment resistance. CSA S16 13.5; a round
// tube does not buckle sideways.
func (t *CSAS16) Bending(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	return r.verdict(m, t.Mr, "Nm", "CSA S16 13.5")
}

// Shear is the resultant shear over the factored shear resistance. CSA S16 13.4; torsion
// beside it is part of Interaction.
func (t *CSAS16) Shear(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordShear(s, r)
	return r.verdict(s.Shear(), t.Vr, "N", "CSA S16 13.4")
}

// Torsion is the torque over that at first yield of the outer fibre, φ (Fy/√3) C: a rule of
// this program.
func (t *CSAS16) Torsion(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	torque := torque(s, t.Tq)
	t.recordTorsion(torque, r)
	return r.verdict(torque, t.Tq, "Nm", ruleS16)
}

// recordColumn notes the factored resistance in compression.
func (t *CSAS16) recordColumn(s *analysis.State, r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	r.step("compression", "Cf", math.Max(0, -s.N), "N", "-N, at least 0", "")
	r.step("area", "A", t.ring.Area*1e6, "mm²", "π(D - t) t", "")
	fy := "Fy"
	if t.fyAxial < t.fy {
		fy = "Fya"
		r.step("slenderness of the wall", "D/t", t.ratio(), "1", "D/t", "CSA S16 Table 1")
		r.step("yield stress that meets the limit of Table 1", fy, t.fyAxial/1e6, "MPa", "23000/(D/t)", "CSA S16 13.3.5 (b)")
	}
	if math.IsInf(t.Critical, 1) {
		r.step("slenderness of no length", "λ", 0, "1", "", "CSA S16 13.3.1")
	} else {
		r.step("elastic critical force, a lower bound", "Ce", t.Critical, "N", "", "CSA S16 13.8.4")
		r.step("elastic critical stress", "Fe", t.Critical/t.ring.Area/1e6, "MPa", "Ce/A", "CSA S16 13.3.1")
		r.step("slenderness", "λ", t.slenderness(), "1", "√("+fy+"/Fe)", "CSA S16 13.3.1")
	}
	r.step("exponent of the column curve, "+t.formed, "n", t.n, "1", "", "CSA S16 13.3.1")
	r.step("factored compressive resistance", "Cr", t.Cr, "N", "φ A "+fy+" (1 + λ^(2 n))^(-1/n)", "CSA S16 13.3.1")
}

// Buckling is compression over the factored compressive resistance. CSA S16 13.3.1; bending
// beside it is in Interaction.
func (t *CSAS16) Buckling(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordColumn(s, r)
	if s.N >= 0 {
		return r.verdict(0, t.Cr, "N", "CSA S16 13.3.1")
	}
	return r.verdict(-s.N, t.Cr, "N", "CSA S16 13.3.1")
}

// Interaction is the larger of two sums.
//
// Axial force and moment: Cf/Cr + U1 Mf/Mr in compression (13.8.3, whose 0.85 on moments is for
// I-shapes of class 1 and 2 alone, 13.8.2), Tf/Tr + Mf/Mr in tension (13.9.1); the moment of a
// round section is the resultant, in one term. Cross-sectional strength (a) has Cr with λ = 0
// and overall member strength (b) that of 13.3.1, which is no more; U1 is at least 1 in both,
// so that (b) governs. Lateral torsional buckling (c) does not arise.
//
// Torsion, t = Qf/Qr, adds t (t + 2v), v = Vf/Vr: (v + t)² of AISC 360 H3-6 without the v²
// for which CSA S16 has no sum with moments of a tube; v + t is the second sum. A rule of this
// program.
func (t *CSAS16) Interaction(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	moment := t.moment(s, r)
	if math.IsInf(moment, 1) {
		return t.unstable(s, r)
	}
	capacity, symbols, clause := t.Tr, "Tf/Tr", "CSA S16 13.9.1"
	if s.N < 0 {
		capacity, symbols, clause = t.Cr, "Cf/Cr", "CSA S16 13.8.3"
		t.recordColumn(s, r)
	} else if r.keepsSteps() {
		r.step("tension", "Tf", s.N, "N", "N", "")
		r.step("area", "A", t.ring.Area*1e6, "mm²", "π(D - t) t", "")
		r.step("factored tensile resistance", "Tr", t.Tr, "N", "φ A Fy", "CSA S16 13.2 (a)")
	}
	torque := torque(s, t.Tq)
	n, m, v, tt := math.Abs(s.N)/capacity, moment/t.Mr, s.Shear()/t.Vr, torque/t.Tq
	sums := [3]float64{n + m + tt*(tt+2*v), 0, v + tt}
	if r == nil {
		return max(sums[0], sums[2])
	}
	t.recordShear(s, r)
	clauses := [3]string{clause, "", "CSA S16 13.4"}
	formulas := [3]string{symbols + " + Mf/Mr", "", "Vf/Vr"}
	if torque > 0 {
		t.recordTorsion(torque, r)
		clauses[0] += "; " + ruleS16
		clauses[2] += "; " + ruleS16
		formulas[0] += " + (Qf/Qr) (Qf/Qr + 2 Vf/Vr)"
		formulas[2] += " + Qf/Qr"
	}
	return recordLargest(r, sums, formulas, clauses)
}

// Yield is the equivalent stress at the outer fibre over the yield strength, under the actions
// as they are: no clause of CSA S16. All stresses as if at one point, which is cautious.
func (t *CSAS16) Yield(s *analysis.State, r *Recorder) float64 {
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	y := yielding{diameter: "D", modulus: "S", torsional: "C", strength: "Fy", moment: "Mf", clause: "first yield on elastic stresses, no clause of CSA S16"}
	return y.judge(s, m, &t.roundSection, r)
}
