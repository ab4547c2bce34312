package report

import (
	"strconv"

	"example.com/stanchion/barrier/check"
)

// The working of a check as a sheet has room for it: a table of steps under the row of the check.

// working is a trail in the reader's words and units.
type working struct {
	of      string   // "post-bending, post 7", of movements with their limit
	under   []string // combination and section, load, second order
	steps   []workingStep
	units   string // how the units of the steps go together; empty where that is plain
	verdict string // demand / resistance = utilisation
}

type workingStep struct {
	sought, symbol string
	formula, put   string // as its source prints it; with the values put in; empty for a given value
	value, unit    string
	clause, known  string
}

// workings finds the trails of some checks, where the result has trails and the writer folds them.
func (p *printer) workings(rows ...[]check.CheckRow) map[check.CheckRow]*check.Trail {
	if !p.foldsTrails || len(p.r.Trails) == 0 {
		return nil
	}
	found := map[check.CheckRow]*check.Trail{}
	for _, some := range rows {
		for _, row := range some {
			found[row] = nil
		}
	}
	for i := range p.r.Trails {
		if _, ok := found[p.r.Checks[i]]; ok {
			found[p.r.Checks[i]] = &p.r.Trails[i]
		}
	}
	return found
}

// workingName names the working of a check, as selectChecks tells checks apart.
func workingName(row check.CheckRow) string {
	name := row.ID + ", " + row.Element
	switch {
	case row.Unit == "mm":
		return joined(", ", name, row.Clause)
	case row.LimitState == "accidental":
		return name + ", accidental"
	}
	return name
}

// workingOf returns the working of a check, nil where it has no steps.
func (p *printer) workingOf(row check.CheckRow, trail *check.Trail) *working {
	if trail == nil || len(trail.Steps) == 0 {
		return nil
	}
	units := p.trailUnits()
	w := &working{
		of:      workingName(row),
		under:   []string{joined("; ", row.LimitState+" "+combined(row.Combination, row.CombinationName), row.Section)},
		units:   unitsNote(trail, units),
		verdict: joined("; ", p.division(row), verdictOn(&row)),
	}
	for _, also := range [...]string{row.Load, row.SecondOrder} {
		if also != "" {
			w.under = append(w.under, also)
		}
	}
	for i := range trail.Steps {
		step := &trail.Steps[i]
		value, unit := stepIn(units, step.Value, step.Unit)
		clause := step.Clause
		if clause == check.FromFrame { // it stands under how the step is known
			clause = ""
		}
		w.steps = append(w.steps, workingStep{step.What, step.Symbol, step.Formula, putIn(step, units), trimmed(value), unit, clause, knownBy(step)})
	}
	return w
}

// heading names a working.
func (w *working) heading() string { return "Trail of " + w.of }

// table is the working as a numbered table of steps.
func (w *working) table() *Table {
	t := NewTable(Numbers("step"), Words("sought"), Words("symbol"), Words("formula, values put in"), Numbers("result"), unnamed("unit"), Words("known by"))
	for i := range w.steps {
		s := &w.steps[i]
		t.Add(strconv.Itoa(i+1), s.sought, s.symbol, joined(" ", s.formula, labelled("= ", s.put)), s.value, s.unit, joined("; ", s.clause, s.known))
	}
	return t
}
