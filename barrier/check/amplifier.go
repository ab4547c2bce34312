package check

import (
	"math"

	"example.com/stanchion/barrier/analysis"
)

// amplifier raises the moments of a member by what compression makes of them:
// 1/(1 - αN/Ncr) on the elastic critical force of the member, a lower bound.
type amplifier struct {
	Critical float64 // elastic critical axial force of the member, N
	most     float64 // the factor on moments, at most
	alpha    float64 // on the axial force
	words    amplifierWords
}

// amplifierWords are the symbols of a code for what an amplifier works out, and its clause.
type amplifierWords struct {
	moment, raised, axial, alpha, critical, factor string
	clause                                         string
}

func newAmplifier(alpha float64, words amplifierWords) amplifier {
	return amplifier{Critical: math.Inf(1), most: math.Inf(1), alpha: alpha, words: words}
}

// ofCritical returns αN/Ncr of a compression in N.
func (a *amplifier) ofCritical(compression float64) float64 {
	return a.alpha * compression / a.Critical
}

func (a *amplifier) critical() float64 { return a.Critical }

func (a *amplifier) setCritical(n float64) { a.Critical = n }

// moment returns the resultant moment of a state with second order, N·m; no bound from
// where αN meets Ncr, with a moment or without.
func (a *amplifier) moment(s *analysis.State, r *Recorder) float64 {
	m, pressed := s.Moment(), max(0, -s.N)
	n := a.ofCritical(pressed)
	k := min(amplificationAt(n), a.most)
	if !r.keepsSteps() || math.IsInf(k, 1) {
		return raisedBy(k, m)
	}
	w := &a.words
	if k == 1 {
		r.step("resultant moment", w.raised, m, "Nm", "√(My² + Mz²)", w.clause)
		return m
	}
	r.step("resultant moment of first order", w.moment, m, "Nm", "√(My² + Mz²)", w.clause)
	r.step("compression", w.axial, pressed, "N", "-N, at least 0", "")
	of := w.axial + "/" + w.critical
	if a.alpha != 1 {
		of = w.alpha + " " + of
		r.step("factor on the axial force in second order", w.alpha, a.alpha, "1", "", w.clause)
	}
	r.step("elastic critical force, a lower bound", w.critical, a.Critical, "N", "", w.clause)
	r.step("factor of second order", w.factor, k, "1", amplifiedBy(of, n, a.most), w.clause)
	r.step("resultant moment with second order", w.raised, k*m, "Nm", w.factor+" "+w.moment, w.clause)
	return k * m
}

// raisedBy returns k m, without bound where k is, with a moment or without.
func raisedBy(k, m float64) float64 {
	if math.IsInf(k, 1) {
		return k
	}
	return k * m
}

// unstable notes a compression beyond the critical force.
func (a *amplifier) unstable(s *analysis.State, r *Recorder) float64 {
	if r != nil {
		r.step("compression", a.words.axial, -s.N, "N", "-N", "")
		r.step("elastic critical force, a lower bound", a.words.critical, a.Critical, "N", "", a.words.clause)
		r.verdict(-a.alpha*s.N, a.Critical, "N", a.words.clause+": compression above the critical force")
	}
	return math.Inf(1)
}
