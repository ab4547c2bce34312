package report

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// What each load asks for, and how those of nature were found.

// loads prints every load of every entry of the list as it is taken on this barrier.
func (p *printer) loads() {
	if len(p.r.Loads) == 0 {
		return
	}
	p.heading("Loads: what each asks for, unfactored")
	t := NewTable(Words("load"), Numbers("value"), unnamed("unit"), Numbers("strength\nfactor"))
	var recalled unread
	for _, row := range p.r.Loads {
		recalled.note(row.Provenance, row.Standard)
		t.Add(row.Name, p.optional(row.Value, row.Unit), p.unitOf(row.Value, row.Unit), factor(row.Factor))
		stands := joined(" ", way(row.Direction), onParts(row.Stands))
		t.Note(joined(", ", joined(": ", strings.ReplaceAll(row.Kind, "-", " "), stands), p.atHeight(row.Height)),
			joined("; ", loadOf(row), edition(row.Standard, row.Edition), row.Clause, row.Stage, provenanceWords(row.Provenance)),
			row.Note)
	}
	p.table(t)
	recalled.advise(p)
}

// onParts says on which parts a load stands, or off which.
func onParts(stands string) string {
	for _, off := range [...]string{"above ", "below ", "between "} {
		if strings.HasPrefix(stands, off) {
			return stands
		}
	}
	return labelled("on ", stands)
}

// way is the direction of a load in words that stand alone.
func way(direction string) string {
	if direction == "any" {
		return "any way"
	}
	return direction
}

// loadOf says of which entry of the list a load is, where neither its name nor its standard
// does.
func loadOf(row check.LoadRow) string {
	if row.Name == row.Load || row.Load == row.Standard {
		return ""
	}
	return row.Load
}

// edition names a standard with its edition, where that is told and not in its name.
func edition(standard, edition string) string {
	if edition == "-" || strings.HasSuffix(standard, " "+edition) {
		return standard
	}
	return joined(" ", standard, edition)
}

// atHeight says at which height a load acts, where it has one.
func (p *printer) atHeight(z *float64) string {
	if z == nil {
		return ""
	}
	return "at " + p.value(*z, "m")
}

// provenanceWords says how a value is known.
func provenanceWords(provenance string) string {
	if provenance == "memory" {
		return "from memory"
	}
	return provenance
}

// unread are the standards of the values of a table that are from memory.
type unread struct{ standards []string }

func (u *unread) note(provenance, standard string) {
	if standard = cmp.Or(standard, "the standard"); provenance == "memory" && !slices.Contains(u.standards, standard) {
		u.standards = append(u.standards, standard)
	}
}

// advise says below the table which texts are to be read.
func (u *unread) advise(p *printer) {
	if len(u.standards) > 0 {
		p.sentence("What is from memory was not read in its standard: read the current text of " + strings.Join(u.standards, ", ") + " before relying on it.")
	}
}

// optional prints a value that may not be there.
func (p *printer) optional(value *float64, unit string) string {
	if value == nil {
		return "-"
	}
	return p.number(*value, unit)
}

func (p *printer) unitOf(value *float64, unit string) string {
	if value == nil {
		return ""
	}
	return p.unit(unit)
}

func factor(k *float64) string {
	if k == nil {
		return "-"
	}
	return quantity.Fix(*k, 2)
}

// nature prints how wind, ice and temperature were found, step by step.
func (p *printer) nature() {
	p.steps("Wind: from the site to the tubes", p.r.Wind)
	p.steps("Ice: from the class to the weight", p.r.Ice)
	p.steps("Temperature", p.r.Temperature)
}

func (p *printer) steps(heading string, rows []check.StepRow) {
	if len(rows) == 0 {
		return
	}
	p.heading(heading)
	p.sentence("Steps are told in SI units, those of tubes of one diameter once.")
	var recalled unread
	several := slices.ContainsFunc(rows, func(row check.StepRow) bool { return row.Action != rows[0].Action })
	for from := 0; from < len(rows); {
		to := from + 1
		for to < len(rows) && rows[to].Action == rows[from].Action {
			to++
		}
		switch {
		case several && from == 0:
			p.lead("Of " + rows[from].Action + ":")
		case several:
			p.line("")
			p.lead("Of " + rows[from].Action + ", where it differs from those above:")
		}
		p.stepTable(rows[from:to], &recalled)
		from = to
	}
	recalled.advise(p)
}

// stepTable prints the steps of one action.
func (p *printer) stepTable(rows []check.StepRow, recalled *unread) {
	t := NewTable(Words("what"), Words("symbol"), Numbers("result"), unnamed("unit"))
	for _, row := range rows {
		recalled.note(row.Provenance, row.Standard)
		t.Add(row.What, row.Symbol, figures(row.Result), unitWord(row.Unit))
		t.Note(joined(": ", row.Formula, stepValues(row.Values)),
			joined("; ", edition(row.Standard, row.Edition), row.Clause, provenanceWords(row.Provenance)),
			row.Note)
	}
	p.table(t)
}

// figures prints a result of a step with four significant figures.
func figures(v float64) string {
	return significantTo(v, 4)
}

// unitWord is the unit of a step in words; a plain number has none.
func unitWord(unit string) string {
	if unit == "1" {
		return ""
	}
	return unit
}

func stepValues(values []check.StepValue) string {
	var each []string
	for _, v := range values {
		each = append(each, strings.TrimSpace(v.Symbol+" = "+figures(v.Value)+" "+unitWord(v.Unit)))
	}
	return strings.Join(each, ", ")
}

// expansion prints the gaps that a change of temperature asks for.
func (p *printer) expansion() {
	if len(p.r.Expansion) == 0 {
		return
	}
	p.heading("Temperature: the way that ends and splices of rails must be free to go")
	t := NewTable(Words("rail"), Words("place"), p.measure("x", "m"), p.measure("length", "m"), p.measure("closes", "mm"), p.measure("opens", "mm"))
	rows, more := fold(p.r.Expansion, func(row check.ExpansionRow) float64 { return max(math.Abs(row.Closes), math.Abs(row.Opens)) })
	for i, row := range rows {
		t.Add(row.Rail, row.Where, p.number(row.X, "m"), p.number(row.Length, "m"), p.number(row.Closes, "mm"), p.number(row.Opens, "mm"))
		if i == 0 || row.Load != rows[i-1].Load {
			t.Note("under " + row.Load)
		}
	}
	p.table(t)
	p.folded(more, "The largest first; %d more places move no more than the last of these"+everyRow)
}
