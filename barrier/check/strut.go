package check

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// gammaM1 is the partial factor of EN 1993-1-1:2005 6.1(1) on member buckling, recommended
// value; provenance: memory.
const gammaM1 = 1.0

// strut is what a brace resists: what a tube does, and member buckling between its pinned
// ends.
type strut interface {
	resistance
	Buckling(*analysis.State, *Recorder) float64
}

// newStrut returns the resistances of a brace. Its critical force is that of a bar of its
// length that turns freely at both ends, π²EI/L², which holds as it stands and is no lower
// bound. Timoshenko and Gere, Theory of Elastic Stability, 2nd ed., 2.1; provenance: memory.
func newStrut(d *barrier.Definition, brace int) (strut, error) {
	b := &d.Braces[brace]
	t, err := newResistance(d, &b.Member, b.Length())
	if err != nil {
		return nil, inputProblem(d, fmt.Sprintf("brace[%d].tube", brace), err)
	}
	t.setCritical(math.Pi * math.Pi * criticalStiffness(d, &b.Member) / (b.Length() * b.Length()))
	if t, isEN := t.(*Tube); isEN {
		return &enStrut{Tube: t, curve: curveOf(&b.Member)}, nil
	}
	return t.(*RoundTube), nil
}

// bucklingCurve is a buckling curve of EN 1993-1-1:2005 Table 6.1 with its imperfection
// factor; provenance: memory.
type bucklingCurve struct {
	name  string
	alpha float64
	why   string
}

// curveOf returns the buckling curve of a hollow section: a where its product standard says
// that it is hot finished (in S460 the curve would be a0: cautious), c where it is cold
// formed, and where nothing says which. EN 1993-1-1:2005 Table 6.2; provenance: memory.
func curveOf(m *barrier.Member) bucklingCurve {
	switch {
	case strings.HasPrefix(m.Tube.Standard, "EN 10210"):
		return bucklingCurve{"a", 0.21, "hot finished"}
	case strings.HasPrefix(m.Tube.Standard, "EN 10219"):
		return bucklingCurve{"c", 0.49, "cold formed"}
	}
	return bucklingCurve{"c", 0.49, "taken for cold formed: its standard does not say"}
}

// enStrut is a strut to EN 1993-1-1:2005.
type enStrut struct {
	*Tube
	curve bucklingCurve
}

// by returns the strut with another partial factor.
func (t *enStrut) by(g partial) resistance { return &enStrut{Tube: t.divided(g), curve: t.curve} }

// onBuckling returns the partial factor on member buckling: that of a schedule where it brings
// one for steel.
func (t *enStrut) onBuckling() partial {
	if t.gamma != recommended {
		return t.gamma
	}
	return partial{gammaM1, "recommended", "EN 1993-1-1 6.1(1)", ""}
}

// reduction returns the slenderness and the reduction factor of a strut. EN 1993-1-1:2005
// 6.3.1.2(1), expression (6.49); provenance: memory, held against a published worked example.
func (t *enStrut) reduction() (slenderness, phi, chi float64) {
	slenderness = math.Sqrt(t.ring.Area * t.fy / t.Critical)
	phi = 0.5 * (1 + t.curve.alpha*(slenderness-0.2) + slenderness*slenderness)
	return slenderness, phi, math.Min(1, 1/(phi+math.Sqrt(phi*phi-slenderness*slenderness)))
}

// Buckling is compression over the buckling resistance, with the bending of the strut's own
// weight beside it: the left side of EN 1993-1-1:2005 (6.61), on the elastic moment, with a
// k that is no less than Annex B gives (0.95 (1 + 0.8 n) at most) nor than what compression
// makes of the moment of a uniform load between pinned ends: 2 (sec u - 1)/u², u = π/2
// √(N/Ncr), which is no more than (1 + 0.032 N/Ncr)/(1 - N/Ncr). Timoshenko and Gere, Theory
// of Elastic Stability, 2nd ed., 1.3; provenance: memory.
func (t *enStrut) Buckling(s *analysis.State, r *Recorder) float64 {
	const clause = "EN 1993-1-1 6.3.1, 6.3.3(4) (6.61)"
	pressed := math.Max(0, -s.N)
	t.recordSection(r)
	slenderness, phi, chi := t.reduction()
	g := t.onBuckling()
	nb := chi * t.ring.Area * t.fy / g.value
	mel := t.ring.Wel * t.fy / g.value
	if r != nil {
		r.step("γM1", g.value, "1", g.why, g.clause)
		r.step("NEd", pressed, "N", "compression", "")
		r.step("Ncr", t.Critical, "N", "π²EI/L², pinned at both ends", "EN 1993-1-1 6.3.1.2(1)")
		r.step("λ", slenderness, "1", "√(A fy/Ncr)", "EN 1993-1-1 6.3.1.3(1) (6.50)")
		r.step("α", t.curve.alpha, "1", "curve "+t.curve.name+", "+t.curve.why, "EN 1993-1-1 Tables 6.1, 6.2")
		r.step("Φ", phi, "1", "0.5 [1 + α(λ - 0.2) + λ²]", "EN 1993-1-1 6.3.1.2(1)")
		r.step("χ", chi, "1", "1/(Φ + √(Φ² - λ²)), no more than 1", "EN 1993-1-1 6.3.1.2(1) (6.49)")
		r.step("Nb,Rd", nb, "N", "χ A fy / γM1", "EN 1993-1-1 6.3.1.1(3) (6.47)")
	}
	n, critical := pressed/nb, pressed/t.Critical
	switch {
	case pressed == 0:
		return r.verdict(0, nb, "N", "EN 1993-1-1 6.3.1")
	case critical >= 1:
		return t.unstable(s, r)
	}
	k := math.Max((1+0.032*critical)/(1-critical), 1+0.8*n)
	sum := n + k*s.Moment()/mel
	r.step("k", k, "1", "the larger of (1 + 0.032 NEd/Ncr)/(1 - NEd/Ncr) and 1 + 0.8 NEd/Nb,Rd", "EN 1993-1-1 Annex B, no less")
	r.step("MEd", s.Moment(), "Nm", "√(My² + Mz²), own weight", "")
	r.step("Mel,Rd", mel, "Nm", "Wel fy / γM1", "EN 1993-1-1 6.3.3(4)")
	r.step("sum", sum, "1", "NEd/Nb,Rd + k MEd/Mel,Rd", clause)
	return r.verdict(sum, 1, "1", clause)
}

// Buckling is compression over the available compressive strength: AISC 360-22 E3, and E7
// for a slender wall. Bending beside it is in Interaction.
func (t *RoundTube) Buckling(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	pressed := *s
	pressed.N = math.Min(s.N, 0)
	if pressed.N == 0 {
		return r.verdict(0, t.Pt, "N", "AISC 360-22 E3")
	}
	pc := t.axialStrength(&pressed, r)
	r.step("Pr", -pressed.N, "N", "compression", "AISC 360-22 E1")
	return r.verdict(-pressed.N, pc, "N", "AISC 360-22 E3")
}
