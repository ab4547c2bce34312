package check

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// The partial factors of EN 1993-1-4:2006 5.1(2) on cross-sections and on member buckling,
// recommended values; source: SCI and Euro Inox, Design Manual for Structural Stainless Steel,
// 3rd ed., design example 1; provenance: public.
const (
	stainlessGammaM0 = 1.1
	stainlessGammaM1 = 1.1
)

// stainlessSteel is what EN 1993-1-4:2006 has of its own for the resistances of sections, which
// it takes from EN 1993-1-1 otherwise (5.1(1)).
//
// Its Table 5.2 has class 3 up to 90ε² in compression and up to 280ε² in bending (2006 and
// A1:2015; provenance: memory). Every tube of a barrier is pressed by its own weight at least:
// 90ε² is held to for both, which is cautious, and a tube beyond is refused.
var stainlessSteel = steelCode{
	gamma:    partial{stainlessGammaM0, "recommended", "EN 1993-1-4 5.1(2)", ""},
	modulus:  210e9,
	classes:  "EN 1993-1-4 Table 5.2",
	notClass: "class 4 in compression by EN 1993-1-4 Table 5.2, and its 280ε² for bending alone is not used",
}

// stainlessCurve is the buckling curve of cold-formed hollow sections: EN 1993-1-4:2006 5.4.2.1,
// Table 5.3 with A2:2020, which lowered λ0 from 0.40; provenance: memory. Hot finished tube is
// taken for cold formed: cautious.
var stainlessCurve = bucklingCurve{"of Table 5.3", 0.49, 0.20, "cold formed"}

// Stainless is the resistance of a round tube of stainless steel to EN 1993-1-4:2006 with
// A1:2015 and A2:2020: that of a steel tube, with partial factors, classes and member buckling
// of its own.
type Stainless struct{ *Tube }

// newStainless returns the resistances of a tube of stainless steel. It returns a *ClassError
// for a wall beyond class 3.
func newStainless(m *barrier.Member) (resistance, error) {
	t, err := stainlessSteel.tube(m)
	if err != nil {
		return nil, err
	}
	t.curve = stainlessCurve
	return &Stainless{t}, nil
}

// by returns the resistance with the partial factor of a schedule.
func (t *Stainless) by(g partial) resistance {
	return &Stainless{t.divided(g.noLessThan(stainlessSteel.gamma))}
}

// noLessThan returns the partial factor that counts where a code has one of its own: its own
// where no schedule brings one, the schedule's where that is larger, and 1.00 under an
// accidental action where the schedule says so.
func (g partial) noLessThan(own partial) partial {
	if g == recommended || g.value != 1 && g.value < own.value {
		return own
	}
	return g
}

// ofStainless says what becomes of a schedule's partial factor on tubes of stainless steel, with a
// space before; empty where there are none.
func (c *run) ofStainless(brought float64) string {
	if !slices.ContainsFunc(c.models[0].tubes.all(), func(t resistance) bool { _, is := t.(*Stainless); return is }) {
		return ""
	}
	counts := fmt.Sprintf("%.2f of EN 1993-1-4, which is no less", stainlessGammaM0)
	if brought > stainlessGammaM0 {
		counts = fmt.Sprintf("%.2f of the schedule", brought)
	}
	return " Stainless steel keeps " + counts + ", but under accidental loads."
}

func (t *Stainless) upTo(most float64) resistance {
	tube := *t.Tube
	tube.most = most
	return &Stainless{&tube}
}

func (t *Stainless) told() told {
	return told{
		factors: fmt.Sprintf("%.2f on stainless steel (γM0 and γM1), recommended values", stainlessGammaM0),
		method:  "The yield strength of stainless steel is its 0.2 % proof strength: at first yield a strain of 0.2 % stays.",
		source:  "resistances of stainless steel: EN 1993-1-4:2006 with A1:2015 and A2:2020 on EN 1993-1-1:2005, clauses as listed, formulas, buckling curve and beam-column factor from memory; γM0, γM1 and classes held against a published worked example in the tests (memory)",
	}
}

// citing puts the clause of EN 1993-1-4 that sends a check to EN 1993-1-1 before its clause.
func citing(u float64, r *Recorder) float64 {
	if r != nil {
		r.Clause = "EN 1993-1-4 5.1(1), " + r.Clause
	}
	return u
}

// Bending is that of EN 1993-1-1 6.2.5.
func (t *Stainless) Bending(s *analysis.State, r *Recorder) float64 {
	return citing(t.Tube.Bending(s, r), r)
}

// Shear is that of EN 1993-1-1 6.2.6 and 6.2.7(9).
func (t *Stainless) Shear(s *analysis.State, r *Recorder) float64 {
	return citing(t.Tube.Shear(s, r), r)
}

// Torsion is that of EN 1993-1-1 6.2.7(1).
func (t *Stainless) Torsion(s *analysis.State, r *Recorder) float64 {
	return citing(t.Tube.Torsion(s, r), r)
}

// Interaction is that of EN 1993-1-1 6.2.9 and 6.2.10.
func (t *Stainless) Interaction(s *analysis.State, r *Recorder) float64 {
	return citing(t.Tube.Interaction(s, r), r)
}

// Yield is that of EN 1993-1-1 6.2.1(5), up to the 0.2 % proof strength.
func (t *Stainless) Yield(s *analysis.State, r *Recorder) float64 {
	return citing(t.Tube.Yield(s, r), r)
}

// onBuckling returns the partial factor on member buckling.
func (t *Stainless) onBuckling() partial {
	if t.gamma == stainlessSteel.gamma {
		return partial{stainlessGammaM1, "recommended", "EN 1993-1-4 5.1(2)", ""}
	}
	return t.gamma
}

// negligibleAxial is the part of the critical force below which member buckling may be left
// alone, EN 1993-1-1:2005 6.3.1.2(4); provenance: memory.
const negligibleAxial = 0.04

// beside returns the part of the bending that counts beside a compression of a part n of the
// critical force. EN 1993-1-1:2005 6.3.1.2(4) leaves member buckling alone up to 0.04, and just
// above it (5.13) of EN 1993-1-4 has 1.2 of the bending: here it comes in evenly from 0.8 of
// that limit on, so that nothing jumps where a load moves.
func beside(n float64) float64 {
	const from = 0.8 * negligibleAxial
	return math.Min(1, math.Max(0, (n-from)/(negligibleAxial-from)))
}

// recordColumn notes the compression and the buckling resistance, N.
func (t *Stainless) recordColumn(pressed, nb float64, r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	slenderness, phi, chi := t.reduction()
	g := t.onBuckling()
	t.recordSection(r)
	r.step("partial factor on member buckling, "+g.why, "γM1", g.value, "1", "", g.clause)
	r.step("design compression", "NEd", pressed, "N", "-N, at least 0", "")
	r.step("area", "A", t.ring.Area*1e6, "mm²", "π(d - t)t", "")
	r.step("elastic critical force, a lower bound", "Ncr", t.Critical, "N", "", "elastic critical force")
	r.step("relative slenderness", "λ", slenderness, "1", "√(A fy/Ncr)", "EN 1993-1-4 5.4.2.1")
	r.step("imperfection factor", "α", t.curve.alpha, "1", "", "EN 1993-1-4 Table 5.3")
	r.step("slenderness up to which nothing is lost", "λ0", t.curve.to0, "1", "", "EN 1993-1-4 Table 5.3")
	r.step("value for the reduction factor", "Φ", phi, "1", "0.5 [1 + α(λ - λ0) + λ²]", "EN 1993-1-4 5.4.2.1")
	r.step("reduction factor for buckling", "χ", chi, "1", "1/(Φ + √(Φ² - λ²)), no more than 1", "EN 1993-1-4 5.4.2.1")
	r.step("buckling resistance", "Nb,Rd", nb, "N", "χ A fy / γM1", "EN 1993-1-4 5.4.2")
}

// Buckling is compression over the buckling resistance with bending beside it, moments of
// first order. EN 1993-1-4:2006 5.4.2, 5.5.2; provenance: memory.
func (t *Stainless) Buckling(s *analysis.State, r *Recorder) float64 {
	const clause = "EN 1993-1-4 5.5.2"
	pressed := math.Max(0, -s.N)
	slenderness, _, chi := t.reduction()
	g := t.onBuckling()
	nb := chi * t.ring.Area * t.fy / g.value
	w, modulus := t.ring.Wpl, "Wpl"
	if t.class == 3 {
		w, modulus = t.ring.Wel, "Wel"
	}
	mb := w * t.fy / g.value
	t.recordColumn(pressed, nb, r)
	if pressed == 0 {
		return r.verdict(0, nb, "N", "EN 1993-1-4 5.4.2")
	}
	n := pressed / nb
	k := math.Min(math.Max(1.2, 1+2*(slenderness-0.5)*n), 1.2+2*n)
	share := beside(pressed / t.Critical)
	sum := n + share*k*s.Moment()/mb
	if r.keepsSteps() {
		r.step("design moment", "MEd", s.Moment(), "Nm", "√(My² + Mz²)", "")
		if t.class == 3 {
			r.step("elastic section modulus, βW Wpl", "Wel", w*1e9, "mm³", "π(d⁴ - (d - 2t)⁴)/(32 d)", "")
		} else {
			r.step("plastic section modulus", "Wpl", w*1e9, "mm³", "(d³ - (d - 2t)³)/6", "")
		}
		r.step("bending resistance in buckling", "Mb,Rd", mb, "Nm", modulus+" fy / γM1", clause)
		r.step("factor on the bending", "k", k, "1", "1 + 2(λ - 0.5) NEd/Nb,Rd, no less than 1.2, no more than 1.2 + 2 NEd/Nb,Rd", clause)
		r.step("part of the bending that counts: none up to 0.8 of the limit 0.04", "p", share, "1", "min(1, max(0, (NEd/Ncr - 0.032)/(0.04 - 0.032)))", "EN 1993-1-1 6.3.1.2(4)")
		r.step("sum of the ratios", "sum", sum, "1", "NEd/Nb,Rd + p k MEd/Mb,Rd", clause)
	}
	return r.verdict(sum, 1, "1", clause)
}
