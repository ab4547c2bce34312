package check

import "math"

// Recorder keeps the working of a check as it is done. A nil recorder keeps
// nothing, so that a search costs no more than the arithmetic.
type Recorder struct {
	Steps      []Step
	Demand     float64
	Resistance float64
	Unit       string
	Clause     string
}

// step notes one line of working; value is in unit. A value without bound is no
// step.
func (r *Recorder) step(symbol string, value float64, unit, formula, clause string) {
	if r != nil && !math.IsInf(value, 0) {
		r.Steps = append(r.Steps, Step{symbol, value, unit, formula, clause})
	}
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
