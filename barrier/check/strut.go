package check

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// newStrut returns the resistances of a brace. Its critical force is that of a bar of its
// length that turns freely at both ends, π²EI/L², which holds as it stands and is no lower
// bound. Timoshenko and Gere, Theory of Elastic Stability, 2nd ed., 2.1; provenance: memory.
func newStrut(d *barrier.Definition, brace int) (resistance, error) {
	b := &d.Braces[brace]
	t, err := newResistance(d, b.Weakest(), b.Length())
	if err != nil {
		return nil, tubeProblem(d, &b.Member, b.Length(), fmt.Sprintf("brace[%d].tube", brace), braceName(brace), err)
	}
	t.setCritical(math.Pi * math.Pi * criticalStiffness(d, &b.Member) / (b.Length() * b.Length()))
	if tube, isEN := t.(*Tube); isEN {
		return &enStrut{tube}, nil
	}
	return t, nil
}

// enStrut is a strut to EN 1993-1-1:2005.
type enStrut struct{ *Tube }

// by returns the strut with another partial factor.
func (t *enStrut) by(g partial) resistance { return &enStrut{t.divided(g)} }

// upTo returns the strut with moments raised no more than by a factor.
func (t *enStrut) upTo(most float64) resistance { return &enStrut{t.raisedUpTo(most)} }

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
	nb, _ := t.bucklingResistance(r, "pinned at both ends", "EN 1993-1-1 6.3.1.2(1)")
	mel := t.ring.Wel * t.fy / t.onBuckling().value
	r.step("design compression", "NEd", pressed, "N", "-N, at least 0", "")
	n, critical := pressed/nb, pressed/t.Critical
	switch {
	case pressed == 0:
		return r.verdict(0, nb, "N", "EN 1993-1-1 6.3.1")
	case critical >= 1:
		return t.unstable(s, r)
	}
	k := math.Max((1+0.032*critical)/(1-critical), 1+0.8*n)
	sum := n + k*s.Moment()/mel
	r.step("factor of second order", "k", k, "1", "the larger of (1 + 0.032 NEd/Ncr)/(1 - NEd/Ncr) and 1 + 0.8 NEd/Nb,Rd", "EN 1993-1-1 Annex B, no less")
	r.step("design moment, of its own weight", "MEd", s.Moment(), "Nm", "√(My² + Mz²)", "")
	r.step("elastic section modulus", "Wel", t.ring.Wel*1e9, "mm³", "π(d⁴ - (d - 2t)⁴)/(32 d)", "")
	r.step("elastic bending resistance", "Mel,Rd", mel, "Nm", "Wel fy / γM1", "EN 1993-1-1 6.3.3(4)")
	r.step("sum of the ratios", "sum", sum, "1", "NEd/Nb,Rd + k MEd/Mel,Rd", clause)
	return r.verdict(sum, 1, "1", clause)
}

// Buckling is compression over the available compressive strength: AISC 360-22 E3, and E7
// for a slender wall. Bending beside it is in Interaction.
func (t *RoundTube) Buckling(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	pc := t.axialStrength(&analysis.State{N: -1}, r) // in compression
	r.step("required compression", "Pr", compressed(s), "N", "-N, at least 0", "")
	return r.verdict(compressed(s), pc, "N", "AISC 360-22 E3")
}
