package check

import (
	"math"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// gammaM1 is the partial factor of EN 1993-1-1:2005 6.1(1) on member buckling, recommended
// value; provenance: memory.
const gammaM1 = 1.0

// bucklingCurve is a buckling curve of EN 1993-1-1:2005 Table 6.1, or of EN 1993-1-4 or EN
// 1999-1-1 in its form: the imperfection factor and the slenderness up to which nothing is
// lost; provenance: memory.
type bucklingCurve struct {
	name       string
	alpha, to0 float64 // α, λ0
	why        string
}

// plateau is λ0 of EN 1993-1-1:2005 6.3.1.2(1); provenance: memory.
const plateau = 0.2

// reduction returns the relative slenderness under a critical force of a section that yields
// under a force, N, and the reduction factor of flexural buckling with the value Φ that leads to
// it. EN 1993-1-1:2005 6.3.1.2(1), expression (6.49); provenance: memory, held against a
// published worked example.
func (c *bucklingCurve) reduction(yields, critical float64) (slenderness, phi, chi float64) {
	slenderness = math.Sqrt(yields / critical)
	phi = 0.5 * (1 + c.alpha*(slenderness-c.to0) + slenderness*slenderness)
	return slenderness, phi, min(1, 1/(phi+math.Sqrt(max(0, phi*phi-slenderness*slenderness))))
}

// curveOf returns the buckling curve of a hollow section: a where its product standard says
// that it is hot finished (in S460 the curve would be a0: cautious), c where it is cold
// formed, and where nothing says which. EN 1993-1-1:2005 Table 6.2; provenance: memory.
func curveOf(m *barrier.Member) bucklingCurve {
	switch {
	case strings.HasPrefix(m.Tube.Standard, "EN 10210"):
		return bucklingCurve{"a", 0.21, plateau, "hot finished"}
	case strings.HasPrefix(m.Tube.Standard, "EN 10219"):
		return bucklingCurve{"c", 0.49, plateau, "cold formed"}
	}
	return bucklingCurve{"c", 0.49, plateau, "taken for cold formed: its standard does not say"}
}

// momentShape is the equivalent uniform moment factor Cm of EN 1993-1-1:2005 Table B.3, and
// what it stands for; provenance: memory.
type momentShape struct {
	factor float64
	why    string
}

var (
	// swayMember is a post, which is a cantilever.
	swayMember = momentShape{0.9, "member with a sway buckling mode"}
	// anyShape is the largest of the table: the moments of a rail may have any shape between
	// posts that hardly give.
	anyShape = momentShape{1, "moments of any shape"}
)

// onBuckling returns the partial factor on member buckling: that of a schedule where it brings
// one for steel.
func (t *Tube) onBuckling() partial {
	if t.gamma != recommended {
		return t.gamma
	}
	return partial{gammaM1, "recommended", "EN 1993-1-1 6.1(1)", ""}
}

// reduction returns the slenderness and the reduction factor under the critical force.
func (t *Tube) reduction() (slenderness, phi, chi float64) {
	return t.curve.reduction(t.ring.Area*t.fy, t.Critical)
}

// bucklingResistance returns Nb,Rd, N, and the slenderness. EN 1993-1-1:2005 6.3.1.1(3),
// expression (6.47). critical is what the critical force is of, and its clause.
func (t *Tube) bucklingResistance(r *Recorder, critical, clause string) (nb, slenderness float64) {
	slenderness, phi, chi := t.reduction()
	g := t.onBuckling()
	nb = chi * t.ring.Area * t.fy / g.value
	if !r.keepsSteps() {
		return nb, slenderness
	}
	r.step("area", "A", t.ring.Area*1e6, "mm²", "π(d - t)t", "")
	r.step("partial factor on member buckling, "+g.why, "γM1", g.value, "1", "", g.clause)
	r.step("elastic critical force, "+critical, "Ncr", t.Critical, "N", "", clause)
	r.step("relative slenderness", "λ", slenderness, "1", "√(A fy/Ncr)", "EN 1993-1-1 6.3.1.3(1) (6.50)")
	r.step("imperfection factor, curve "+t.curve.name+", "+t.curve.why, "α", t.curve.alpha, "1", "", "EN 1993-1-1 Tables 6.1, 6.2")
	r.step("value for the reduction factor", "Φ", phi, "1", "0.5 [1 + α(λ - 0.2) + λ²]", "EN 1993-1-1 6.3.1.2(1)")
	r.step("reduction factor for buckling, no more than 1", "χ", chi, "1", "1/(Φ + √(Φ² - λ²))", "EN 1993-1-1 6.3.1.2(1) (6.49)")
	r.step("buckling resistance", "Nb,Rd", nb, "N", "χ A fy / γM1", "EN 1993-1-1 6.3.1.1(3) (6.47)")
	return nb, slenderness
}

// Buckling is member buckling of a post or a rail under axial force with the bending beside
// it: the left side of EN 1993-1-1:2005 (6.61) and (6.62), which for a round tube under its
// resultant moment are one, with k of Annex B (Table B.1) and no torsion (6.3.2.1(2)). It is
// that of an equivalent column (5.2.2(8)): the critical force holds the sway of the frame, so
// moments are of first order. Neither 6.3.1.2(4) nor a negative λ - 0.2 lowers it. Tension
// leaves Cm of the moment. Provenance: memory.
func (t *Tube) Buckling(s *analysis.State, r *Recorder) float64 {
	const clause = "EN 1993-1-1 6.3.1, 6.3.3(4) (6.61)"
	t.recordSection(r)
	nb, slenderness := t.bucklingResistance(r, "lower bound", "EN 1993-1-1 6.3.1.2(1), 5.2.2(8)")
	pressed, moment := max(0, -s.N), s.Moment()
	n := pressed / nb
	k := t.momentInteraction(slenderness, n)
	mb := t.MRd * t.gamma.value / t.onBuckling().value
	sum := n + k*moment/mb
	if r.keepsSteps() {
		r.step("design compression", "NEd", pressed, "N", "-N, at least 0", "")
		r.step("share of the buckling resistance", "n", n, "1", "NEd/Nb,Rd", clause)
		t.recordBucklingMoment(r, mb)
		r.step("equivalent uniform moment factor, "+t.shape.why, "Cm", t.shape.factor, "1", "", "EN 1993-1-1 Table B.3")
		r.step("interaction factor", "k", k, "1", t.interactionFormula(slenderness), "EN 1993-1-1 Annex B, Table B.1")
		r.step("design moment, first order", "MEd", moment, "Nm", "√(My² + Mz²)", "")
		r.step("sum of the ratios", "sum", sum, "1", "n + k MEd/Mb,Rd", clause)
	}
	return r.verdict(sum, 1, "1", clause)
}

// flattensFrom is the λ from which k of Table B.1 rises no more.
const flattensFrom = 1.0

// momentInteraction returns k of EN 1993-1-1:2005 Annex B, Table B.1, at n = NEd/Nb,Rd;
// provenance: memory.
func (t *Tube) momentInteraction(slenderness, n float64) float64 {
	if t.class == 3 {
		return t.shape.factor * (1 + 0.6*min(slenderness, flattensFrom)*n)
	}
	return t.shape.factor * (1 + max(0, min(slenderness, flattensFrom)-0.2)*n)
}

// interactionFormula is the branch of Table B.1 that momentInteraction takes.
func (t *Tube) interactionFormula(slenderness float64) string {
	switch {
	case t.class == 3 && slenderness < flattensFrom:
		return "Cm (1 + 0.6 λ n)"
	case t.class == 3:
		return "Cm (1 + 0.6 n)"
	case slenderness <= 0.2:
		return "Cm"
	case slenderness < flattensFrom:
		return "Cm (1 + (λ - 0.2) n)"
	}
	return "Cm (1 + 0.8 n)"
}

func (t *Tube) recordBucklingMoment(r *Recorder, mb float64) {
	if t.class == 3 {
		r.step("elastic section modulus", "Wel", t.ring.Wel*1e9, "mm³", "π(d⁴ - (d - 2t)⁴)/(32 d)", "")
		r.step("bending resistance beside buckling", "Mb,Rd", mb, "Nm", "Wel fy / γM1", "EN 1993-1-1 6.3.3(4)")
		return
	}
	r.step("plastic section modulus", "Wpl", t.ring.Wpl*1e9, "mm³", "(d³ - (d - 2t)³)/6", "")
	r.step("bending resistance beside buckling", "Mb,Rd", mb, "Nm", "Wpl fy / γM1", "EN 1993-1-1 6.3.3(4)")
}
