package report

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// Checks and their working.

// checks prints the selection as records: the numbers on one line, and below
// them, where there is a demand, under which combination, by which clause, where
// along the element, and the load.
func (p *printer) checks() {
	worst := "post and the worst bay"
	if len(p.r.Braces) > 0 {
		worst = "post, brace and bay"
	}
	p.heading("Checks: the worst " + worst + " of each rail, and all that fail")
	s := selectChecks(p.r)
	shown, more := fold(s.failing, func(row check.CheckRow) float64 { return severity(row.Utilisation, row.Status) })
	trails := p.workings(s.worst, shown)
	t := checkTable()
	for _, row := range s.worst {
		p.addCheck(t, row, trails[row])
		switch {
		case row.Status != check.Pass:
			notes := checkNotes(row)
			notes[0] = joined("; ", statusWord(row.Status), notes[0])
			t.Note(notes...)
		case row.Demand != 0:
			t.Note(checkNotes(row)...)
		}
	}
	p.table(t)
	if len(s.failing) > 0 {
		p.heading("Failing besides these")
		t := checkTable()
		for _, row := range shown {
			p.addCheck(t, row, trails[row])
		}
		p.table(t)
		p.folded(more, "Worst first; %d more rows fail, by no more than the last of these"+everyRow)
	}
	if more := len(p.r.Checks) - len(s.worst) - len(s.failing); more > 0 {
		p.sentence(fmt.Sprintf("%d more rows are in the JSON, none of them fails. First yield is printed above %s.",
			more, quantity.Fix(yieldShown, 1)))
	}
}

func checkTable() *Table {
	return NewTable(Words("check"), Words("element"), Numbers("demand"), Numbers("resist-\nance"),
		unnamed("unit"), Numbers("util-\nisation"), Words("status").forPaper())
}

func (p *printer) addCheck(t *Table, row check.CheckRow, trail *check.Trail) {
	t.Add(row.ID, row.Element, p.checkDemand(row), p.number(row.Resistance, row.Unit), p.unit(row.Unit),
		Utilisation(row.Utilisation, row.Status), statusWord(row.Status))
	t.last().isA, t.last().working = &row, p.workingOf(row, trail)
}

// checkDemand prints the demand of a check. One without a unit is the utilisation itself and is
// rounded as that is.
func (p *printer) checkDemand(row check.CheckRow) string {
	if row.Unit == "1" {
		return roundedUp(row.Demand)
	}
	return p.number(row.Demand, row.Unit)
}

// statusWord is the status of a check that does not pass, as a note begins with it.
func statusWord(status check.Status) string {
	if status == check.Fail {
		return "FAIL"
	}
	return string(status)
}

func checkNotes(row check.CheckRow) []string {
	by := joined("; ", row.LimitState+" "+combined(row.Combination, row.CombinationName), row.Clause, valuesBy(row.Provenance))
	notes := []string{joined("; ", by, row.Section), row.Load}
	if row.SecondOrder != "" {
		notes = append(notes, row.SecondOrder)
	}
	return notes
}

// combined tells a combination with its name, where it has one of its own.
func combined(combination, name string) string {
	if name == "" {
		return combination
	}
	return combination + " (" + name + ")"
}

// valuesBy says how the values that a check rests on are known.
func valuesBy(provenance string) string {
	if provenance == "" {
		return ""
	}
	return "values " + provenance
}

func joined(separator string, parts ...string) string {
	var said []string
	for _, part := range parts {
		if strings.TrimSpace(part) != "" {
			said = append(said, strings.TrimSpace(part))
		}
	}
	return strings.Join(said, separator)
}

// significant prints a value with six significant digits, without an exponent.
func significant(v float64) string { return significantTo(v, 6) }

// significantTo prints a value with so many significant digits, without an exponent.
func significantTo(v float64, figures int) string {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return quantity.Fix(v, 0)
	}
	digits := figures - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	return quantity.Fix(v, min(max(digits, 0), 12))
}
