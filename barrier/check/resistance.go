package check

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/sections"
)

// The partial factor of EN 1993-1-1:2005 6.1(1), recommended value; provenance:
// memory.
const gammaM0 = 1.0

var sqrt3 = math.Sqrt(3)

// Second order counts from the first and must be analysed from the second
// amplification on; rules of this program.
const (
	amplifyFrom = 1.01
	amplifyTo   = 1.10

	// amplifyRise is the part of the critical force up to which second order counts for nothing.
	amplifyRise = 0.8 * (1 - 1/amplifyFrom)
)

// Tube is the resistance of a round steel tube to EN 1993-1-1:2005: a section
// of class 1, 2 or 3, on the wall in use. Forces in N, moments in N·m.
type Tube struct {
	name     string
	ring     sections.Ring
	fy       float64 // Pa
	epsilon  float64
	class    int
	NRd      float64 // axial force, N, 6.2.4(2) and 6.2.3(2), plastic
	MRd      float64 // moment, N·m, 6.2.5(2)
	VRd      float64 // shear, N, 6.2.6(2), Av = 2A/π
	TRd      float64 // torsion, N·m, 6.2.7(1), elastic at the outer fibre
	Critical float64 // elastic critical axial force of the member, N; +Inf until it is set
	most     float64 // the factor of second order on moments, at most
	gamma    partial // by which the resistances are divided
	curve    bucklingCurve
	shape    momentShape // of the moments that member buckling meets
	code     *steelCode
}

// steelCode is what the codes that share the resistances of EN 1993-1-1 6.2 say each in its own
// way.
type steelCode struct {
	gamma    partial // γM0 where no schedule brings another
	modulus  float64 // to which the modulus of elasticity is set in relation in ε, Pa; 0: it does not count there
	classes  string  // clause of ε and of the class limits
	notClass string  // why a tube beyond the last class is refused
}

var carbonSteel = steelCode{gamma: recommended, classes: "EN 1993-1-1 Table 5.2", notClass: "class 4, which EN 1993-1-1 Table 5.2 sends to EN 1993-1-6"}

// ClassError is a tube too thin for the method.
type ClassError struct {
	Tube        string
	Slenderness float64 // d/t
	Limit       float64 // of d/t
	Clause      string  // that sets the limit, in words
}

// Error gives both numbers one decimal, or as many as tell them apart.
func (e *ClassError) Error() string {
	decimals := 1
	for decimals < 12 && fmt.Sprintf("%.*f", decimals, e.Slenderness) == fmt.Sprintf("%.*f", decimals, e.Limit) {
		decimals++
	}
	return fmt.Sprintf("%s: d/t = %.*f is above %.*f: %s", e.Tube, decimals, e.Slenderness, decimals, e.Limit, e.Clause)
}

// NewTube returns the resistances of a tube. It returns a *ClassError for class
// 4. Source: EN 1993-1-1:2005 Table 5.2 sheet 3 and 6.2; provenance: memory,
// held against published worked examples in the tests.
func NewTube(m *barrier.Member) (*Tube, error) { return carbonSteel.tube(m) }

// tube returns the resistances of a tube by a code.
func (code *steelCode) tube(m *barrier.Member) (*Tube, error) {
	t := &Tube{name: m.Name, fy: m.Grade.Fy, ring: m.Ring, gamma: code.gamma, curve: curveOf(m), shape: swayMember, code: code}
	e2 := 235e6 / t.fy
	if code.modulus > 0 {
		e2 *= m.Grade.E / code.modulus
	}
	t.epsilon = math.Sqrt(e2)
	switch slenderness := t.ring.OD / t.ring.Wall; {
	case slenderness <= 50*e2:
		t.class = 1
	case slenderness <= 70*e2:
		t.class = 2
	case slenderness <= 90*e2:
		t.class = 3
	default:
		return nil, &ClassError{m.Name, slenderness, 90 * e2, code.notClass}
	}
	w := t.ring.Wpl
	if t.class == 3 {
		w = t.ring.Wel
	}
	t.MRd = w * t.fy / t.gamma.value
	t.NRd = t.ring.Area * t.fy / t.gamma.value
	t.VRd = 2 * t.ring.Area / math.Pi * (t.fy / sqrt3) / t.gamma.value
	t.TRd = t.ring.Wt * (t.fy / sqrt3) / t.gamma.value
	t.Critical, t.most = math.Inf(1), math.Inf(1)
	return t, nil
}

// by returns the resistance with another partial factor. First yield has none.
func (t *Tube) by(g partial) resistance { return t.divided(g) }

func (t *Tube) divided(g partial) *Tube {
	out, k := *t, t.gamma.value/g.value
	out.gamma = g
	for _, resistance := range [...]*float64{&out.NRd, &out.MRd, &out.VRd, &out.TRd} {
		*resistance *= k
	}
	return &out
}

// amplificationAt returns 1/(1 - n) for n = N/Ncr from amplifyFrom on: no bound from
// n = 1 on. Just below, it rises from 1, so that no utilisation jumps where a load moves or
// turns: a search climbs no jumps, and a root is not found on one.
func amplificationAt(n float64) float64 {
	const (
		from = 1 - 1/amplifyFrom // of Ncr
		rise = amplifyRise
	)
	switch {
	case n >= 1:
		return math.Inf(1)
	case n >= from:
		return 1 / (1 - n)
	case n > rise:
		return 1 + (amplifyFrom-1)*(n-rise)/(from-rise)
	}
	return 1
}

func (t *Tube) told() told {
	return told{
		factors: fmt.Sprintf("%.2f on steel (γM0) and %.2f on its member buckling (γM1), recommended values", gammaM0, gammaM1),
		method: fmt.Sprintf("Posts and rails are checked for member buckling as equivalent columns (EN 1993-1-1 5.2.2(8), 6.3.1, 6.3.3 with Annex B): moments of first order at each section with the compression there, a lower bound of the critical force that holds the sway of the frame and the stiffness of its feet, Cm = %.1f for a post (sway) and %.1f for a rail (any shape of moments).",
			swayMember.factor, anyShape.factor),
		source: "resistances: EN 1993-1-1:2005 with AC:2009, clauses as listed, formulas, buckling curves, γM0 and γM1 from memory, held against published worked examples in the tests (memory)",
	}
}

func (t *Tube) critical() float64 { return t.Critical }

// ofCritical returns N/Ncr of a compression in N: moments are raised by 1/(1 - N/Ncr).
// EN 1993-1-1:2005 5.2.2(5), expression (5.4); provenance: memory.
func (t *Tube) ofCritical(compression float64) float64 { return compression / t.Critical }

func (t *Tube) setCritical(n float64) { t.Critical = n }

func (t *Tube) upTo(most float64) resistance { return t.raisedUpTo(most) }

func (t *Tube) raisedUpTo(most float64) *Tube {
	out := *t
	out.most = most
	return &out
}

// moment returns the design resultant moment, N·m; no bound where a moment meets
// an axial force of the critical one or more.
func (t *Tube) moment(s *analysis.State, r *Recorder) float64 {
	m, k := s.Moment(), math.Min(amplification(t, s), t.most)
	r.step("design moment", "MEd", m, "Nm", "√(My² + Mz²)", "EN 1993-1-1 6.2.9.1(6)")
	if math.IsInf(k, 1) {
		return k // beyond the critical force nothing stands, with a moment or without
	}
	if k > 1 {
		m *= k
		if r.keepsSteps() {
			r.step("design axial force", "NEd", compressed(s), "N", "|N|", "")
			r.step("elastic critical force, a lower bound", "Ncr", t.Critical, "N", "", "elastic critical force")
			r.step("factor of second order", "k", k, "1", amplifiedBy("NEd/Ncr", t.ofCritical(compressed(s)), t.most), "EN 1993-1-1 5.2.2(5)")
			r.step("design moment with second order", "MEd,2", m, "Nm", "k MEd", "EN 1993-1-1 5.2.2(5)")
		}
	}
	return m
}

// unstable notes a compression beyond the critical force.
func (t *Tube) unstable(s *analysis.State, r *Recorder) float64 {
	r.step("design axial force", "NEd", compressed(s), "N", "|N|", "")
	r.step("elastic critical force, a lower bound", "Ncr", t.Critical, "N", "", "elastic critical force")
	r.verdict(-s.N, t.Critical, "N", "EN 1993-1-1 5.2.2(5): NEd above Ncr")
	return math.Inf(1)
}

func (t *Tube) recordSection(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	r.step("outside diameter", "d", t.ring.OD*1e3, "mm", "", "")
	r.step("wall in use", "t", t.ring.Wall*1e3, "mm", "", "")
	r.step("yield strength of the grade", "fy", t.fy/1e6, "MPa", "", "")
	if t.code.modulus > 0 {
		r.step("modulus of elasticity", "E", t.epsilon*t.epsilon*t.fy/235e6*t.code.modulus/1e6, "MPa", "", "")
		r.step("factor for the yield strength", "ε", t.epsilon, "1", "√[(235/fy) (E/210000)]", t.code.classes)
	} else {
		r.step("factor for the yield strength", "ε", t.epsilon, "1", "√(235/fy)", t.code.classes)
	}
	r.step("slenderness of the wall", "d/t", t.ring.OD/t.ring.Wall, "1", "d/t", t.code.classes+" sheet 3")
	coefficient := [...]float64{50, 70, 90}[t.class-1]
	r.step(fmt.Sprintf("largest d/t of class %d, which the wall is", t.class), "d/t,max", coefficient*t.epsilon*t.epsilon, "1", fmt.Sprintf("%.0fε²", coefficient), t.code.classes+" sheet 3")
	r.step("partial factor on cross-sections, "+t.gamma.why, "γM0", t.gamma.value, "1", "", t.gamma.clause)
}

func (t *Tube) recordMoment(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	if t.class == 3 {
		r.step("elastic section modulus", "Wel", t.ring.Wel*1e9, "mm³", "π(d⁴ - (d - 2t)⁴)/(32 d)", "")
		r.step("bending resistance", "Mc,Rd", t.MRd, "Nm", "Wel fy / γM0", "EN 1993-1-1 6.2.5(2) (6.14)")
		return
	}
	r.step("plastic section modulus", "Wpl", t.ring.Wpl*1e9, "mm³", "(d³ - (d - 2t)³)/6", "")
	r.step("bending resistance", "Mc,Rd", t.MRd, "Nm", "Wpl fy / γM0", "EN 1993-1-1 6.2.5(2) (6.13)")
}

// Bending is the resultant moment over the bending resistance.
// EN 1993-1-1:2005 6.2.5, expressions (6.12) to (6.14).
func (t *Tube) Bending(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	return r.verdict(m, t.MRd, "Nm", "EN 1993-1-1 6.2.5")
}

// roundedTorque is the part of the torsion resistance up to which a torque is rounding.
const roundedTorque = 1e-9

// torque returns the torque of a state, N·m, 0 where it is rounding beside the resistance
// to it.
func torque(s *analysis.State, resistance float64) float64 {
	if t := math.Abs(s.T); t > roundedTorque*resistance {
		return t
	}
	return 0
}

// Torsion is the torque over the elastic torsion resistance.
// EN 1993-1-1:2005 6.2.7(1), expression (6.23).
func (t *Tube) Torsion(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordTorsion(r)
	T := torque(s, t.TRd)
	recordTorque(r, "design torque", "TEd", T)
	return r.verdict(T, t.TRd, "Nm", "EN 1993-1-1 6.2.7")
}

func (t *Tube) recordTorsion(r *Recorder) {
	r.step("elastic section modulus", "Wel", t.ring.Wel*1e9, "mm³", "π(d⁴ - (d - 2t)⁴)/(32 d)", "")
	r.step("torsional section modulus", "Wt", t.ring.Wt*1e9, "mm³", "2 Wel", "")
	r.step("torsion resistance", "TRd", t.TRd, "Nm", "Wt (fy/√3) / γM0", "EN 1993-1-1 6.2.7(1)")
}

// recordTorque notes a torque of the state, or that it is rounding.
func recordTorque(r *Recorder, what, symbol string, torque float64) {
	if torque == 0 {
		r.step(what, symbol, 0, "Nm", "", FromFrame)
		return
	}
	r.step(what, symbol, torque, "Nm", "|T|", "")
}

// shearResistance returns the shear resistance that torsion leaves.
// EN 1993-1-1:2005 6.2.6(2) and (3)g, 6.2.7(9), expression (6.28).
func (t *Tube) shearResistance(s *analysis.State, r *Recorder) float64 {
	r.step("area", "A", t.ring.Area*1e6, "mm²", "π(d - t)t", "")
	r.step("shear area", "Av", 2*t.ring.Area/math.Pi*1e6, "mm²", "2A/π", "EN 1993-1-1 6.2.6(3)g")
	r.step("shear resistance", "Vpl,Rd", t.VRd, "N", "Av (fy/√3) / γM0", "EN 1993-1-1 6.2.6(2) (6.18)")
	T := torque(s, t.TRd)
	if T == 0 {
		return t.VRd
	}
	v := (1 - T/t.TRd) * t.VRd
	if r.keepsSteps() {
		t.recordTorsion(r)
		r.step("design torque", "TEd", T, "Nm", "|T|", "")
		r.step("shear stress of the torque", "τt,Ed", T/t.ring.Wt/1e6, "MPa", "TEd/Wt", "EN 1993-1-1 6.2.7(9)")
		r.step("shear resistance beside torsion", "Vpl,T,Rd", v, "N", "[1 - τt,Ed/((fy/√3)/γM0)] Vpl,Rd", "EN 1993-1-1 6.2.7(9) (6.28)")
	}
	return v
}

// Shear is the resultant shear over the shear resistance that torsion leaves.
// EN 1993-1-1:2005 6.2.6, 6.2.7(9).
func (t *Tube) Shear(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	clause := "EN 1993-1-1 6.2.6"
	if torque(s, t.TRd) > 0 {
		clause = "EN 1993-1-1 6.2.7(9)"
	}
	resistance := t.shearResistance(s, r)
	r.step("design shear", "VEd", s.Shear(), "N", "√(Vy² + Vz²)", "")
	return r.verdict(s.Shear(), resistance, "N", clause)
}

// Interaction is bending with axial force and shear: MEd/MV,Rd + n^1.7 for class
// 1 and 2, which is MEd <= MV,Rd (1 - n^1.7) written as a sum; MEd/MV,Rd + n for
// class 3. MV,Rd is the moment resistance that shear above half its resistance
// leaves, and n counts on the axial resistance that it leaves: 6.2.10(3) lowers the
// yield strength over the shear area, here over the whole section, which is cautious.
// EN 1993-1-1:2005 6.2.8, 6.2.9.1 (round tubes with AC:2009), 6.2.9.2, 6.2.10; provenance:
// memory.
func (t *Tube) Interaction(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	v, resistance := s.Shear(), t.shearResistance(s, r)
	r.step("design shear", "VEd", v, "N", "√(Vy² + Vz²)", "")
	mv, moments := t.MRd, "MEd/Mc,Rd"
	nv, axials := t.NRd, "NEd/NRd"
	if r.keepsSteps() && resistance > 0 {
		of := "VEd/" + shearSymbol(torque(s, t.TRd))
		r.step("share of the shear resistance, counts above 0.5", of, v/resistance, "1", of, "EN 1993-1-1 6.2.8(2)")
	}
	if v > 0.5*resistance {
		rho := math.Inf(1)
		if resistance > 0 {
			rho = (2*v/resistance - 1) * (2*v/resistance - 1)
		}
		mv = math.Max(0, 1-rho) * t.MRd
		nv = math.Max(0, 1-rho) * t.NRd
		moments, axials = "MEd/MV,Rd", "NEd/NV,Rd"
		switch {
		case !r.keepsSteps():
		case resistance <= 0:
			r.given("bending resistance: torsion leaves no shear resistance, and shear no other", "MV,Rd", 0, "Nm", derived, "EN 1993-1-1 6.2.8(3)")
		default:
			r.step("reduction of the yield strength by shear", "ρ", rho, "1", "(2 VEd/"+shearSymbol(torque(s, t.TRd))+" - 1)²", "EN 1993-1-1 6.2.8(3) (6.29)")
			r.step("bending resistance beside shear", "MV,Rd", mv, "Nm", "(1 - ρ) Mc,Rd, at least 0", "EN 1993-1-1 6.2.8(3)")
		}
	}
	n := shareOf(math.Abs(s.N), nv, t.NRd)
	r.step("design axial force", "NEd", math.Abs(s.N), "N", "|N|", "")
	r.step("axial resistance", "NRd", t.NRd, "N", "A fy / γM0", "EN 1993-1-1 6.2.4(2)")
	switch {
	case !r.keepsSteps() || nv == t.NRd:
	case resistance <= 0:
		r.given("axial resistance: torsion leaves no shear resistance, and shear no other", "NV,Rd", 0, "N", derived, "EN 1993-1-1 6.2.10(3)")
	default:
		r.step("axial resistance beside shear", "NV,Rd", nv, "N", "(1 - ρ) NRd, at least 0", "EN 1993-1-1 6.2.10(3)")
	}
	if !math.IsInf(n, 1) {
		r.step("share of the axial resistance", "n", n, "1", axials, "EN 1993-1-1 6.2.9.1")
	}
	axial, clause, power := math.Pow(n, 1.7), "EN 1993-1-1 6.2.9.1, 6.2.10", "n^1.7"
	if t.class == 3 {
		axial, clause, power = n, "EN 1993-1-1 6.2.9.2, 6.2.10", "n"
	}
	sum := axial
	if m > 1e-9*t.MRd { // below that it is rounding
		sum += m / mv // no bound where nothing is left
	}
	if math.IsInf(sum, 1) {
		return t.withoutBound(s, m, r, clause)
	}
	if r.keepsSteps() {
		if m != s.Moment() {
			moments = strings.Replace(moments, "MEd/", "MEd,2/", 1)
		}
		r.step("sum of the ratios", "sum", sum, "1", moments+" + "+power, clause)
	}
	return r.verdict(sum, 1, "1", clause)
}

// withoutBound notes what meets a section that shear leaves nothing of: the moment, or the
// axial force where there is no moment.
func (t *Tube) withoutBound(s *analysis.State, moment float64, r *Recorder, clause string) float64 {
	if moment > 1e-9*t.MRd {
		return r.boundless(s.Moment(), "Nm", clause)
	}
	return r.boundless(math.Abs(s.N), "N", clause)
}

// shareOf returns force/left, what of a resistance is left beside shear: 0 for a force that is
// rounding beside the whole, no bound where nothing is left.
func shareOf(force, left, whole float64) float64 {
	if force <= 1e-9*whole {
		return force / whole
	}
	return force / left
}

// shearSymbol names the shear resistance that a torque leaves.
func shearSymbol(torque float64) string {
	if torque == 0 {
		return "Vpl,Rd"
	}
	return "Vpl,T,Rd"
}

// Yield is the equivalent stress at the outer fibre over the yield strength: all
// stresses as if at one point, which is cautious. EN 1993-1-1:2005 6.2.1(5),
// expression (6.1), on elastic properties; peak shear stress 2V/A.
func (t *Tube) Yield(s *analysis.State, r *Recorder) float64 {
	moment := t.moment(s, r)
	sigma, tau := outerFibre(&t.ring, s, moment)
	equivalent := math.Sqrt(sigma*sigma + 3*tau*tau)
	if math.IsInf(equivalent, 1) {
		return t.unstable(s, r)
	}
	if r.keepsSteps() {
		t.recordSection(r)
		r.step("area", "A", t.ring.Area*1e6, "mm²", "π(d - t)t", "")
		r.step("elastic section modulus", "Wel", t.ring.Wel*1e9, "mm³", "π(d⁴ - (d - 2t)⁴)/(32 d)", "")
		r.step("torsional section modulus", "Wt", t.ring.Wt*1e9, "mm³", "2 Wel", "")
		r.step("design shear", "VEd", s.Shear(), "N", "√(Vy² + Vz²)", "")
		bends := "MEd"
		if moment != s.Moment() {
			bends = "MEd,2"
		}
		r.step("stress along the tube", "σ", sigma/1e6, "MPa", "|N|/A + "+bends+"/Wel", "EN 1993-1-1 6.2.1(5)")
		r.step("shear stress", "τ", tau/1e6, "MPa", "|T|/Wt + 2VEd/A", "EN 1993-1-1 6.2.6(4), 6.2.7")
		r.step("equivalent stress", "σeq", equivalent/1e6, "MPa", "√(σ² + 3τ²)", "EN 1993-1-1 6.2.1(5) (6.1)")
	}
	return r.verdict(equivalent/1e6, t.fy/gammaM0/1e6, "MPa", "EN 1993-1-1 6.2.1(5)")
}

// postCritical returns the elastic critical force of a post of height h on a foot
// of rotational stiffness k, N: 1/Ncr = 1/(π²EI/4h²) + 1/(k/h), after Dunkerley,
// which is below the true one. Timoshenko and Gere, Theory of Elastic
// Stability, 2nd ed., 2.1; provenance: memory.
func postCritical(ei, h, k float64) float64 {
	inverse := 4 * h * h / (math.Pi * math.Pi * ei)
	if !math.IsInf(k, 1) {
		inverse += h / k
	}
	return 1 / inverse
}

// postStiffness returns the lateral stiffness of a lone post at height h on a
// foot of stiffness k, N/m: 1/(h³/3EI + h²/k).
func postStiffness(ei, h, k float64) float64 { return 1 / (h*h*h/(3*ei) + h*h/k) }
