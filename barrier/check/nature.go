package check

import (
	"cmp"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// StepRow is one step of how a load of nature was found, from the site to the tubes.
type StepRow struct {
	Load       string      `json:"load"`
	Action     string      `json:"action"` // of the load: one of its winds, say
	What       string      `json:"what"`
	Symbol     string      `json:"symbol"`
	Formula    string      `json:"formula"` // as its source prints it; empty for a value that is given
	Values     []StepValue `json:"values"`  // put into it
	Result     float64     `json:"result"`  // what comes out, in Unit
	Unit       string      `json:"unit"`    // N/m2, N/m, m/s, m, kg/m, kg/m3, 1/K, 1 for a plain number
	Standard   string      `json:"standard"`
	Edition    string      `json:"edition"`
	Clause     string      `json:"clause"`
	Provenance string      `json:"provenance"` // public, memory, derived, common-practice; "the user's" where the file gives it
	Note       string      `json:"note,omitempty"`
}

// StepValue is a value that is put into a formula.
type StepValue struct {
	Symbol string  `json:"symbol"`
	Value  float64 `json:"value"` // what is put in, in Unit
	Unit   string  `json:"unit"`  // as the trail or the steps that it is of have it
}

// natureRows fills the steps of wind, ice and temperature, those that loads share once.
func (c *run) natureRows() {
	for i := range c.d.Loads {
		name := c.d.Loads[i].Name
		for _, a := range c.actionsBy(i, nil) {
			into := c.stepsOf(a)
			for _, s := range a.Steps {
				if row := stepRow(name, a.Name, &s); !isTold(*into, &row) {
					*into = append(*into, row)
				}
			}
		}
	}
}

// stepsOf returns the table into which the steps of an action go.
func (c *run) stepsOf(a *analysis.Action) *[]StepRow {
	switch a.Category {
	case loads.IceAction:
		return &c.out.Ice
	case loads.Temperature:
		return &c.out.Temperature
	}
	return &c.out.Wind
}

func stepRow(load, action string, s *loads.Step) StepRow {
	row := StepRow{
		Load: load, Action: action, What: s.What, Symbol: s.Symbol, Formula: s.Formula, Result: s.Result, Unit: unitOr1(s.Unit),
		Standard: s.Standard, Edition: s.Edition, Clause: s.Clause, Provenance: s.Provenance, Note: s.Note,
	}
	for _, v := range s.Values {
		row.Values = append(row.Values, StepValue{v.Symbol, v.Value, unitOr1(v.Unit)})
	}
	return row
}

// unitOr1 is a unit of a step of a load as those of checks are told: "1" of a plain number.
func unitOr1(unit string) string { return cmp.Or(unit, "1") }

// isTold reports whether the same step of the same load stands in a table.
func isTold(rows []StepRow, row *StepRow) bool {
	for i := range rows {
		r := &rows[i]
		if r.Load != row.Load || r.What != row.What || r.Symbol != row.Symbol || r.Result != row.Result || len(r.Values) != len(row.Values) {
			continue
		}
		same := true
		for k := range r.Values {
			same = same && r.Values[k] == row.Values[k]
		}
		if same {
			return true
		}
	}
	return false
}
