package check

import "math"

// Recorder keeps the working of a check as it is done. A nil recorder keeps
// nothing, so that a search costs no more than the arithmetic.
type Recorder struct {
	Steps      []Step
	Demand     float64   // in Unit; of a sum of ratios the sum
	Resistance float64   // in Unit; of a sum of ratios 1, and 0 where nothing resists
	Unit       string    // of both, as CheckRow has it: "Nm", "N", "mm", "MPa", or "1" for plain numbers
	Clause     string    // that sets Demand against Resistance
	bolts      []BoltRow // of a foot on bolts
	brief      bool      // no steps are kept
}

// keepsSteps reports whether steps are kept: where they are not, none need be worked out.
func (r *Recorder) keepsSteps() bool { return r != nil && !r.brief }

// step notes one line of working: what is sought in words, and its value in unit. formula is
// as the clause prints it, in symbols of earlier steps, or empty for a value that is given. A
// value without bound is no step, and one that stands already is not told again.
func (r *Recorder) step(what, symbol string, value float64, unit, formula, clause string) {
	if r.keepsSteps() {
		r.note(Step{What: what, Symbol: symbol, Value: value, Unit: unit, Formula: formula, Clause: clause})
	}
}

// given notes a value that no formula of the trail makes, and how it is known.
func (r *Recorder) given(what, symbol string, value float64, unit, provenance, clause string) {
	if r.keepsSteps() {
		r.note(Step{What: what, Symbol: symbol, Value: value, Unit: unit, Clause: clause, Provenance: provenance})
	}
}

func (r *Recorder) note(s Step) {
	if math.IsInf(s.Value, 0) {
		return
	}
	for i := len(r.Steps) - 1; i >= 0; i-- {
		if e := &r.Steps[i]; e.Symbol == s.Symbol {
			if e.Value == s.Value && e.Formula == s.Formula && e.Clause == s.Clause {
				return
			}
			break
		}
	}
	r.Steps = append(r.Steps, s)
}

// verdict notes demand and resistance and returns their ratio: no bound when
// nothing resists.
func (r *Recorder) verdict(demand, resistance float64, unit, clause string) float64 {
	if r != nil {
		r.Demand, r.Resistance, r.Unit, r.Clause = demand, resistance, unit, clause
	}
	switch {
	case demand == 0:
		return 0
	case resistance <= 0:
		return math.Inf(1)
	}
	return demand / resistance
}

// boundless notes a demand that nothing resists and returns its utilisation.
func (r *Recorder) boundless(demand float64, unit, clause string) float64 {
	r.verdict(demand, 0, unit, clause)
	return math.Inf(1)
}
