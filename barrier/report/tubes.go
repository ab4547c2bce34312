package report

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/quantity"
)

// TubesJSON writes a comparison of tubes as one JSON document, by the rules of JSON.
func TubesJSON(w io.Writer, r *explore.TubeRanking) error { return writeJSON(w, r) }

// TubesCSV writes a comparison of tubes as a table, a row for each candidate that was checked and
// then one for each that was refused or not trusted, with its reason and no numbers.
func TubesCSV(w io.Writer, r *explore.TubeRanking) error {
	about := []string{r.Title + "; basis " + r.Basis + "; ranked by " + string(r.By) + " at the " + r.At, asideWords(r)}
	if r.Interrupted {
		about = append(about, interruptedWords(r))
	}
	header := []string{"rank", "status", "post_tube", "post_grade", "rail_tube", "rail_grade", "as_in_file"}
	header = append(header, builtHeader("given")...)
	header = append(header, builtHeader("largest")...)
	table := NewCSVAbout(w, about, append(header, "reason")...)
	for i := range r.Rows {
		row := &r.Rows[i]
		cells := []any{row.Rank, string(row.Status), row.Post.Tube, row.Post.Grade, row.Rail.Tube, row.Rail.Grade, row.AsInFile}
		cells = append(cells, builtCells(&row.Given)...)
		cells = append(cells, builtCells(row.Largest)...)
		table.Row(append(cells, nil)...)
	}
	for _, without := range []struct {
		status  string
		reasons []explore.TubeReason
	}{{"refused", r.Refused}, {"not trusted", r.NotTrusted}} {
		for _, c := range without.reasons {
			cells := make([]any, len(header)+1)
			copy(cells, []any{nil, without.status, c.Post.Tube, c.Post.Grade, c.Rail.Tube, c.Rail.Grade})
			cells[len(header)] = c.Reason
			table.Row(cells...)
		}
	}
	return table.Flush()
}

// builtHeader names the columns of a barrier at one spacing.
func builtHeader(spacing string) []string {
	names := []string{"spacing_m", "feet", "feet_per_m", "status", "utilisation", "governing_check", "governing_element", "worst", "first_yield", "geometry", "unchecked",
		"base_moment_Nm", "base_uplift_N", "fitting_slip_N", "deflection_mm", "mass_kg_per_m", "cost_per_m", "pareto"}
	for i := range names {
		names[i] = spacing + "_" + names[i]
	}
	return names
}

// builtCells are the values of those columns; empty where no barrier stands.
func builtCells(b *explore.Built) []any {
	if b == nil {
		return make([]any, len(builtHeader("given")))
	}
	g := b.Governing
	var yield *float64
	if b.FirstYield != nil {
		yield = b.FirstYield.Utilisation
	}
	return []any{b.Spacing, b.Feet, b.FeetPerM, string(b.Status), g.Utilisation, g.ID, g.Element, b.Worst, yield, b.Geometry, b.Unchecked,
		b.BaseMoment, b.BaseUplift, b.FittingSlip, b.Deflection, b.Mass, b.Cost, b.Pareto}
}

// TubesText writes a comparison of tubes in plain text, 80 columns wide where names allow:
// cautions, what was compared, the rows by verdict, what has no row.
func TubesText(w io.Writer, r *explore.TubeRanking, o TextOptions) error {
	p := &tubesPrinter{printer: &printer{units: o.Units}, r: r}
	p.cautions()
	p.compared()
	for _, status := range []check.Status{check.Pass, check.Incomplete, check.Fail} {
		p.rows(status)
	}
	p.legend()
	p.ownCautions()
	p.reasons("Refused by the definition: not checked, and no pass", r.Refused)
	p.reasons("Not trusted: the calculation could not be proved, and says nothing", r.NotTrusted)
	if len(r.WithoutGrade) > 0 {
		p.heading("No candidates: the tables have no grade for these")
		p.item(strings.Join(r.WithoutGrade, ", "))
	}
	return p.writeText(w)
}

// tubesPrinter collects the text of a comparison.
type tubesPrinter struct {
	*printer
	r *explore.TubeRanking
}

func (p *tubesPrinter) cautions() {
	p.heading("Cautions")
	for _, c := range p.r.Cautions {
		if c.ID == "C1" || c.Triggered {
			p.caution(c)
		}
	}
}

// compared says what was compared and how.
func (p *tubesPrinter) compared() {
	r := p.r
	p.heading("Tubes for " + r.Title)
	p.line("basis " + joined(", ", r.Basis, labelled("annex ", r.Annex)))
	p.line("")
	if r.Interrupted {
		p.sentence(interruptedWords(r))
	}
	alike := "posts and rails of one tube"
	if r.RailsDiffer {
		alike = "each tube for posts with each for rails"
	}
	ofEach := ""
	if r.AtLargest() {
		ofEach = " of each"
	}
	p.sentence(fmt.Sprintf("%s of the %s, %s. At the %s%s: %d pass, %d incomplete, %d fail, %d refused, %d not trusted.",
		counted(r.Candidates, "candidate"), r.From, alike, r.At, ofEach, r.Pass, r.Incomplete, r.Fail, len(r.Refused), len(r.NotTrusted)))
	what := "mass of posts, rails and fittings"
	if r.By == explore.ByCost {
		what = "cost of tubes, fittings and feet in " + r.Currency
		if r.Currency == "" {
			what = "cost of tubes, fittings and feet"
		}
	}
	p.sentence(fmt.Sprintf("Ranked at the %s by the %s by length of run, which is %s.", r.At, what, p.value(r.RunLength, "m")))
	if r.AtLargest() {
		p.sentence("Utilisation, moment, slip, deflection, mass and feet are those at the largest spacing of each candidate.")
	}
	if len(r.Rows) > 0 {
		b := &r.Rows[0].Given
		p.sentence(fmt.Sprintf("At the given spacing the longest bay is %s, on %d feet, %s/%s.", p.value(b.Spacing, "m"), b.Feet, p.byLength(b.FeetPerM), p.metre()))
		if r.Rows[0].Sought {
			p.sentence("The largest spacing is sought in whole bays on the run as the file describes it: what the file places along the run stays there, and a layout that it refuses does not stand.")
		}
	}
	p.sentence(asideWords(r))
	if r.ScopeOpen {
		p.sentence("What the file leaves out of the scope is checked for no candidate.")
	}
	if r.Geometry != "" {
		p.line("")
		p.sentence(`Every candidate that was checked breaks a geometry rule at the given spacing, and none of these tubes mends it: ` + r.Geometry + `. Strength was not looked at there: mend the layout, or put "geometry" into scope.leave_out to see how tubes rank.`)
	}
}

func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return strconv.Itoa(n) + " " + what
}

func interruptedWords(r *explore.TubeRanking) string {
	return fmt.Sprintf("Interrupted: %d of %s were tried, and only these are ranked.", r.Done, counted(r.Candidates, "candidate"))
}

func asideWords(r *explore.TubeRanking) string {
	return "Left aside: " + strings.Join(r.LeftAside, ", ") + "."
}

// rows prints the candidates of one verdict.
func (p *tubesPrinter) rows(status check.Status) {
	var rows []*explore.TubeRow
	for i := range p.r.Rows {
		if p.r.Rows[i].Status == status {
			rows = append(rows, &p.r.Rows[i])
		}
	}
	if len(rows) == 0 {
		return
	}
	heading := strings.ToUpper(string(status[:1])) + string(status[1:])
	if all := p.countOf(status); len(rows) < all {
		heading += fmt.Sprintf(": %d of %d", len(rows), all)
	}
	p.heading(heading)
	if slices.ContainsFunc(rows, func(r *explore.TubeRow) bool { return !p.ranking(r).Worst }) {
		p.sentence("Of what fails the first check that was found to fail is told, and not the worst.")
	}
	p.table(p.tableOf(rows))
}

// countOf returns how many candidates have a verdict.
func (p *tubesPrinter) countOf(status check.Status) int {
	switch status {
	case check.Pass:
		return p.r.Pass
	case check.Incomplete:
		return p.r.Incomplete
	}
	return p.r.Fail
}

// tableOf lays rows out as they stand where they are ranked, each with the names of its tubes below
// it. What is not worked out for any of them has no column.
func (p *tubesPrinter) tableOf(rows []*explore.TubeRow) *Table {
	sought := slices.ContainsFunc(rows, func(r *explore.TubeRow) bool { return r.Sought })
	judged := slices.ContainsFunc(rows, func(r *explore.TubeRow) bool { return p.ranking(r).Worst })
	t := NewTable(p.heads(sought, judged)...)
	for _, row := range rows {
		b := p.ranking(row)
		cells := []string{rankOf(row), quantity.Fix(p.linear(b.Mass), 2)}
		if p.r.By == explore.ByCost {
			cells = append(cells, p.cost(b.Cost))
		}
		cells = append(cells, tubesUtilisation(b))
		if judged {
			cells = append(cells, p.known(b.BaseMoment, "Nm"), p.known(b.FittingSlip, "N"), p.known(b.Deflection, "mm"))
		}
		t.Add(append(cells, p.spacingCells(row, sought)...)...)
		t.Note(p.named(row))
	}
	return t
}

// spacingCells are the last cells of a row: its largest spacing where that is sought, what ranks
// there, and feet.
func (p *tubesPrinter) spacingCells(row *explore.TubeRow, sought bool) []string {
	l := row.Largest
	switch {
	case !sought:
		return []string{p.byLength(row.Given.FeetPerM)}
	case p.r.AtLargest() && l == nil:
		return []string{"none", "-"}
	case p.r.AtLargest():
		return []string{p.number(l.Spacing, "m"), p.byLength(l.FeetPerM)}
	case l == nil:
		return []string{"none", "-", "-"}
	}
	return []string{p.number(l.Spacing, "m"), p.amount(l), p.byLength(l.FeetPerM)}
}

// ranking is the barrier of a row that its numbers are of: that which ranks, and at the given
// spacing where none stands at the largest.
func (p *tubesPrinter) ranking(row *explore.TubeRow) *explore.Built {
	if p.r.AtLargest() && row.Largest != nil {
		return row.Largest
	}
	return &row.Given
}

// heads are the columns of a table: with the largest spacing, and with what is known where no
// check fails.
func (p *tubesPrinter) heads(sought, judged bool) []Column {
	heads := []Column{Words("rank"), Numbers("mass\n" + p.perMetre("kg", "lb"))}
	if p.r.By == explore.ByCost {
		heads = append(heads, Numbers("cost\n/"+p.metre()))
	}
	heads = append(heads, Numbers("util-\nisation"))
	if judged {
		heads = append(heads, p.measure("base\nmoment", "Nm"), p.measure("fitting\nslip", "N"), p.measure("deflec-\ntion", "mm"))
	}
	switch {
	case !sought:
		return append(heads, Numbers("feet\n/"+p.metre()))
	case p.r.AtLargest():
		return append(heads, p.measure("largest\nspacing", "m"), Numbers("feet\n/"+p.metre()))
	}
	return append(heads, p.measure("largest\nspacing", "m"), Numbers(string(p.r.By)+"\nthere"), Numbers("feet\nthere\n/"+p.metre()))
}

// tubesUtilisation prints that of what governs, or of what was found to fail.
func tubesUtilisation(b *explore.Built) string {
	if b.Governing.ID == "" {
		return "-"
	}
	return Utilisation(b.Governing.Utilisation, b.Status)
}

// known prints a value, or a stroke where it was not worked out.
func (p *tubesPrinter) known(value *float64, unit string) string {
	if value == nil {
		return "-"
	}
	return p.number(*value, unit)
}

// amount prints what a barrier is ranked by.
func (p *tubesPrinter) amount(b *explore.Built) string {
	if p.r.By == explore.ByCost {
		return p.cost(b.Cost)
	}
	return quantity.Fix(p.linear(b.Mass), 2)
}

// rankOf is the rank of a row with the marks of the Pareto sets that it is in.
func rankOf(row *explore.TubeRow) string {
	rank := strconv.Itoa(row.Rank)
	if row.Given.Pareto {
		rank += "*"
	}
	if row.Largest != nil && row.Largest.Pareto {
		rank += "+"
	}
	return rank
}

// named names the tubes of a row, what governs, and what holds it back.
func (p *tubesPrinter) named(row *explore.TubeRow) string {
	text := row.Post.In(p.units)
	if rail := row.Rail.In(p.units); rail != text {
		text = "posts " + text + ", rails " + rail
	}
	if row.AsInFile {
		text += " (as in the file)"
	}
	text += "; " + governs(p.ranking(row))
	switch l := row.Largest; {
	case p.r.AtLargest() && l == nil:
		text += "; at the given spacing, for no layout stands"
	case l == nil || l.Status == row.Given.Status:
	case p.r.AtLargest():
		text += fmt.Sprintf("; %s at the given spacing", statusVerb(row.Given.Status))
	default:
		text += fmt.Sprintf("; %s at the largest spacing", statusVerb(l.Status))
	}
	return text
}

// statusVerb is what a barrier of a verdict does.
func statusVerb(s check.Status) string {
	switch s {
	case check.Pass:
		return "passes"
	case check.Fail:
		return "fails"
	}
	return string(s)
}

// governs says what decides a barrier.
func governs(b *explore.Built) string {
	text := joined(" of ", b.Governing.ID, b.Governing.Element)
	switch {
	case b.Geometry != "":
		return "fails: " + b.Geometry
	case !b.Worst:
		return "fails: " + text
	case text == "":
		text = "no check governs"
	}
	if b.YieldsFirst() {
		text += "; first yield " + roundedUp(*b.FirstYield.Utilisation)
	}
	if b.Status == check.Incomplete {
		text += "; " + counted(*b.Unchecked, "thing") + " not checked"
	}
	return text
}

// perMetre is the unit of what goes by length, as people read it.
func (p *tubesPrinter) perMetre(metric, us string) string {
	if p.units == quantity.US {
		return us + "/ft"
	}
	return metric + "/m"
}

func (p *tubesPrinter) metre() string {
	if p.units == quantity.US {
		return "ft"
	}
	return "m"
}

// linear converts kg/m for the reader.
func (p *tubesPrinter) linear(v float64) float64 {
	if p.units == quantity.US {
		return v * quantity.In(1, "lb") / quantity.In(1, "ft")
	}
	return v
}

// byLength prints how many there are by length of run.
func (p *tubesPrinter) byLength(perMetre float64) string {
	if p.units == quantity.US {
		perMetre /= quantity.In(1, "ft")
	}
	return quantity.Fix(perMetre, 3)
}

func (p *tubesPrinter) cost(perMetre *float64) string {
	if perMetre == nil {
		return "-"
	}
	v := *perMetre
	if p.units == quantity.US {
		v /= quantity.In(1, "ft")
	}
	return quantity.Fix(v, 2)
}

// legend explains the marks that stand.
func (p *tubesPrinter) legend() {
	rows := p.r.Rows
	given := slices.ContainsFunc(rows, func(r explore.TubeRow) bool { return r.Given.Pareto })
	largest := slices.ContainsFunc(rows, func(r explore.TubeRow) bool { return r.Largest != nil && r.Largest.Pareto })
	if given || largest {
		p.line("")
	}
	if given {
		p.words("  *  ", "     ", "of those that pass at the given spacing none is better in mass, deflection and feet (Pareto set)")
	}
	if largest {
		p.words("  +  ", "     ", "of those that pass, each at its own largest spacing, none is better in mass, deflection and feet (Pareto set)")
	}
}

// ownCautions prints what some of the rows are cautioned of, once each, with their ranks.
func (p *tubesPrinter) ownCautions() {
	var texts []string
	ranks := map[string][]int{}
	for i := range p.r.Rows {
		for _, text := range p.r.Rows[i].Cautions {
			if ranks[text] == nil {
				texts = append(texts, text)
			}
			ranks[text] = append(ranks[text], p.r.Rows[i].Rank)
		}
	}
	if len(texts) == 0 {
		return
	}
	p.heading("Cautions of single candidates, by rank")
	for _, text := range texts {
		p.item(rangesOf(ranks[text]) + ": " + text)
	}
}

// rangesOf prints ascending numbers, those that follow one another as a range: "1, 3-5".
func rangesOf(numbers []int) string {
	var parts []string
	for i := 0; i < len(numbers); {
		last := i
		for last+1 < len(numbers) && numbers[last+1] == numbers[last]+1 {
			last++
		}
		part := strconv.Itoa(numbers[i])
		if last > i {
			part += "-" + strconv.Itoa(numbers[last])
		}
		parts, i = append(parts, part), last+1
	}
	return strings.Join(parts, ", ")
}

// mostNamed is how many candidates of one reason are named.
const mostNamed = 3

// reasons prints candidates that have no row, those of one reason together.
func (p *tubesPrinter) reasons(heading string, all []explore.TubeReason) {
	if len(all) == 0 {
		return
	}
	p.heading(fmt.Sprintf("%s: %d", heading, len(all)))
	var order []string
	of := map[string][]string{}
	for i := range all {
		c := &all[i]
		name := c.Post.In(p.units)
		if rail := c.Rail.In(p.units); rail != name {
			name += " with rails " + rail
		}
		if of[c.Reason] == nil {
			order = append(order, c.Reason)
		}
		of[c.Reason] = append(of[c.Reason], name)
	}
	for _, reason := range order {
		names := of[reason]
		text := fmt.Sprintf("%s: %s", reason, strings.Join(names[:min(mostNamed, len(names))], "; "))
		if n := len(names) - mostNamed; n > 0 {
			text += fmt.Sprintf("; and %d more", n)
		}
		p.item(text)
	}
}
