package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/quantity"
)

// LifeText writes the life of a barrier in plain text, 80 columns wide: cautions, when it fails at
// each rate, the coatings, the next inspection, the years as a table and as bars, each check, what was not
// checked, what was assumed.
func LifeText(w io.Writer, l *explore.Life, o TextOptions) error {
	p := &printer{r: &check.Result{Title: l.Title, Basis: l.Basis, Cautions: l.Cautions}, units: o.Units}
	p.topCautions()
	p.headline()
	p.lifeAnswer(l)
	p.lifeCoatings(l)
	p.lifeInspection(l)
	p.lifeYears(l)
	p.lifeBars(l)
	p.lifeChecks(l)
	p.heading(fmt.Sprintf("Not checked: %d", len(l.Unchecked)))
	p.items(l.Unchecked)
	p.heading("Left out by the user")
	p.items(l.LeftOut)
	p.heading("Assumptions")
	for _, text := range l.Assumptions {
		p.item(text)
	}
	p.otherCautions()
	return p.writeText(w)
}

// LifeJSON writes the life of a barrier as one JSON document by the rules of JSON.
func LifeJSON(w io.Writer, l *explore.Life) error { return writeJSON(w, l) }

// LifeCSV writes the years of every rate, one a row, with a column for the utilisation of each check.
func LifeCSV(w io.Writer, l *explore.Life) error {
	ids := lifeIDs(l)
	header := []string{"rate", "year", "status", "utilisation", "governing_check", "governing_element", "least_wall_mm", "reason"}
	header = append(header, ids...)
	c := NewCSVAbout(w, []string{l.Title + "; basis " + l.Basis + "; columns named for a check have its largest utilisation"}, header...)
	for i := range l.Rates {
		for _, row := range l.Rates[i].Rows {
			cells := []any{l.Rates[i].Rate, row.Year, string(row.Status), row.Utilisation, row.ID, row.Element, row.LeastWall, row.Reason}
			for _, id := range ids {
				var u *float64
				if at := slices.IndexFunc(row.Checks, func(c explore.LifeUse) bool { return c.ID == id }); at >= 0 {
					u = row.Checks[at].Utilisation
				}
				cells = append(cells, u)
			}
			c.Row(cells...)
		}
	}
	return c.Flush()
}

// lifeIDs are the checks of all rates, in the order of a report.
func lifeIDs(l *explore.Life) []string {
	var ids []string
	for _, known := range check.CheckIDs() {
		if slices.ContainsFunc(l.Rates, func(r explore.LifeRate) bool {
			return slices.ContainsFunc(r.Checks, func(c explore.LifeCheck) bool { return c.ID == known.ID })
		}) {
			ids = append(ids, known.ID)
		}
	}
	return ids
}

// eventYear prints the year of an event, a dash for none.
func eventYear(e *explore.LifeEvent) string {
	if e == nil {
		return "-"
	}
	return explore.SoonerYear(e.Year)
}

// lifeAnswer prints what ends the life at each rate, and the notes.
func (p *printer) lifeAnswer(l *explore.Life) {
	p.heading(fmt.Sprintf("%s years of weather", yearWords(l.Years)))
	word := lifeWord(l)
	p.words("  "+word+"  ", strings.Repeat(" ", len(word)+4), l.Headline)
	p.line("")
	last := "at year " + yearWords(l.Years)
	t := NewTable(Words("rate"), Numbers("fails\nfrom"), Numbers("not covered\nfrom"), Numbers("no wall\nfrom"), Numbers("util-\nisation\nat year 0"), Numbers("util-\nisation\n"+last), p.wallHead("least wall\n"+last))
	for i := range l.Rates {
		r := &l.Rates[i]
		first, end := &r.Rows[0], &r.Rows[len(r.Rows)-1]
		t.Add(r.Rate, eventYear(r.Fails), eventYear(r.NotCovered), eventYear(r.Gone), lifeUtilisation(first), lifeUtilisation(end), p.leastWall(end))
		if r.Fails != nil {
			t.Note("fails: " + r.Fails.What)
		}
	}
	p.table(t)
	if len(l.Notes) > 0 {
		p.line("")
	}
	for _, note := range l.Notes {
		p.item(note)
	}
}

// lifeWord is the answer in a word or two: for how long the barrier holds at the highest rate told.
func lifeWord(l *explore.Life) string {
	if l.Status != check.Pass {
		return strings.ToUpper(string(l.Status))
	}
	years := l.Years
	if e := l.Rates[len(l.Rates)-1].Ends(); e != nil {
		return "HOLDS " + strings.TrimSuffix(explore.SoonerYear(e.Year), ".0") + " YEARS"
	}
	return "HOLDS " + yearWords(years) + " YEARS"
}

func (p *printer) wallHead(head string) Column { return Numbers(head + "\n" + p.wallUnit()) }

// wallUnit is the unit of a wall in a table.
func (p *printer) wallUnit() string {
	if p.units == quantity.US {
		return "in"
	}
	return "mm"
}

// leastWall prints the least wall of a year, without its unit.
func (p *printer) leastWall(row *explore.LifeRow) string {
	if row.LeastWall == nil {
		return "none"
	}
	return strings.TrimSuffix(p.thickness(*row.LeastWall), " "+p.wallUnit())
}

// lifeUtilisation prints the utilisation of a year.
func lifeUtilisation(row *explore.LifeRow) string {
	switch {
	case row.Status == check.Fail && row.LeastWall == nil:
		return "gone"
	case row.Status == explore.NotCovered:
		return "no code"
	case row.ID == "":
		return "-"
	}
	return Utilisation(row.Utilisation, row.Status)
}

// lifeCoatings prints what protects each surface, and when it is gone.
func (p *printer) lifeCoatings(l *explore.Life) {
	p.heading("Paint and zinc of each surface, and the year at which they are gone")
	if len(l.Coatings) == 0 {
		p.sentence("None: no tube is of carbon steel.")
		return
	}
	t := NewTable(Words("surface"), Numbers("zinc"), Numbers("rate\ntimes"), Numbers("low"), Numbers("middle"), Numbers("high"))
	for i := range l.Coatings {
		c := &l.Coatings[i]
		t.Add(coatingCells(c)...)
		t.Note(c.Elements, coatingNote(c))
	}
	p.table(t)
	p.sentence("A coating that is gone is no failure: from then on the steel is lost.")
}

// beyondAnyLife is a year beyond which no year is told.
const beyondAnyLife = 200

// coatingCells is the row of a surface.
func coatingCells(c *explore.LifeCoating) []string {
	gone := func(year *float64) string {
		switch {
		case !c.Exposed:
			return "sealed"
		case c.Zinc == 0 && c.Paint == 0:
			return "bare"
		case year == nil:
			return "never"
		case *year > beyondAnyLife:
			return fmt.Sprintf("> %d", beyondAnyLife)
		}
		return explore.SoonerYear(*year)
	}
	zinc := "none"
	if c.Zinc > 0 {
		zinc = quantity.Film(c.Zinc / 1e6).In(quantity.Metric)
	}
	return []string{c.Surface, zinc, yearWords(c.Times), gone(c.Low), gone(c.Middle), gone(c.High)}
}

func coatingNote(c *explore.LifeCoating) string {
	var notes []string
	if c.Paint > 0 {
		notes = append(notes, "paint stands for "+yearWords(c.Paint)+" years before")
	}
	if !c.Told {
		notes = append(notes, "not covered: nothing says how much more is lost there, and it is taken as between fittings")
	}
	return strings.Join(notes, "; ")
}

// lifeInspection prints when to look at the barrier next.
func (p *printer) lifeInspection(l *explore.Life) {
	p.heading("Next inspection, suggested")
	p.sentence(inspectionWords(&l.Inspection))
	p.sentence(l.Inspection.Rule)
}

// inspectionWords say when and why.
func inspectionWords(i *explore.Inspection) string {
	if i.Year == 0 {
		return strings.ToUpper(i.Why[:1]) + i.Why[1:] + "."
	}
	return "By year " + yearWords(i.Year) + ": " + i.Why + "."
}

// lifeEvery returns how many years of a life make one row of a text: as many as leave no more rows
// than a page holds.
func lifeEvery(rows int) int {
	const most = 26
	for every := 1; ; every *= 10 {
		for _, times := range [...]int{1, 2, 5} {
			if (rows-1)/(every*times)+1 <= most {
				return every * times
			}
		}
	}
}

// lifeShown are the years that a text tells: one of some, and the last, or that from which on no rate
// leaves any wall.
func lifeShown(l *explore.Life) []int {
	rows := len(l.Rates[0].Rows)
	for i := range rows {
		if !slices.ContainsFunc(l.Rates, func(r explore.LifeRate) bool { return r.Rows[i].LeastWall != nil }) {
			rows = i + 1
			break
		}
	}
	var out []int
	for i := 0; i < rows; i += lifeEvery(rows) {
		out = append(out, i)
	}
	if out[len(out)-1] != rows-1 {
		out = append(out, rows-1)
	}
	return out
}

// lifeMeans says which utilisation a life tells.
const lifeMeans = "The utilisation is the largest of any check, first yield among them, for which a report has a line of its own up to 1; what governs stands where it changes."

// lifeYears prints the years.
func (p *printer) lifeYears(l *explore.Life) {
	p.heading("Utilisation and least wall year by year")
	p.sentence(lifeMeans)
	heads := []Column{Numbers("year")}
	for i := range l.Rates {
		heads = append(heads, Numbers(l.Rates[i].Rate), p.wallHead("wall"))
	}
	worst := &l.Rates[len(l.Rates)-1]
	heads = append(heads, Words("governed by,\n"+worst.Rate+" rate"))
	t := NewTable(heads...)
	shown := lifeShown(l)
	const beside = 26 // what is left of a line
	above, reason := "", ""
	for _, i := range shown {
		cells := []string{yearWords(worst.Rows[i].Year)}
		for k := range l.Rates {
			row := &l.Rates[k].Rows[i]
			cells = append(cells, lifeUtilisation(row), p.leastWall(row))
		}
		row := &worst.Rows[i]
		governs, element := joined(", ", row.ID, row.Element), ""
		if governs == above {
			governs = ""
		} else if above = governs; len(governs) > beside {
			governs, element = row.ID, row.Element
		}
		t.Add(append(cells, governs)...)
		t.Note(element)
		if row.Reason != "" && row.Status != check.Fail && row.Reason != reason {
			t.Note(row.Reason)
		}
		reason = row.Reason
	}
	p.table(t)
	switch last := shown[len(shown)-1]; {
	case last < len(worst.Rows)-1:
		p.sentence("From then on no wall is left.")
	case len(shown) < len(worst.Rows):
		p.sentence(fmt.Sprintf("%d of %d years that were checked; --format csv and json have each.", len(shown), len(worst.Rows)))
	}
}

// lifeBars draws utilisation against the years.
func (p *printer) lifeBars(l *explore.Life) {
	worst := &l.Rates[len(l.Rates)-1]
	var words []string
	for i := range l.Rates {
		mark := `"` + l.Rates[i].Rate[:1] + `" `
		if i == len(l.Rates)-1 {
			mark = `"=" `
		}
		words = append(words, mark+l.Rates[i].Rate+" rate")
	}
	p.heading("Utilisation against the years")
	p.sentence(strings.Join(words, ", ") + `; "|" stands at 1, ">" goes on.`)
	for _, i := range lifeShown(l) {
		line := []byte(strings.Repeat(" ", barToOne) + "|" + strings.Repeat(" ", barAll-barToOne))
		for k := len(l.Rates) - 1; k >= 0; k-- {
			row := &l.Rates[k].Rows[i]
			if row.Utilisation == nil && row.Status != check.Fail {
				continue
			}
			name := l.Rates[k].Rate
			if k == len(l.Rates)-1 {
				name = explore.AsDeclared
			}
			drawBar(line, name, row.Utilisation)
		}
		p.line(fmt.Sprintf("  %6s  %s", yearWords(worst.Rows[i].Year), strings.TrimRight(string(line), " ")))
	}
}

// lifeChecks prints each check at year 0 and at last, and when it fails at each rate.
func (p *printer) lifeChecks(l *explore.Life) {
	worst := &l.Rates[len(l.Rates)-1]
	p.heading("Each check: at year 0, at last (" + worst.Rate + " rate), and the year at which it fails")
	heads := []Column{Words(""), Numbers("at 0"), Numbers("at last")}
	for i := range l.Rates {
		heads = append(heads, Numbers(l.Rates[i].Rate))
	}
	const before = 36 // columns of the numbers of three rates
	var rows [][]string
	beside := true // the element stands on the line
	for _, id := range lifeIDs(l) {
		cells := lifeCheckCells(l, id)
		rows = append(rows, cells)
		beside = beside && len("post-vertical-deflection")+before+len(cells[len(cells)-1]) <= textColumns
	}
	if beside {
		heads = append(heads, Words("worst element"))
	}
	t := NewTable(heads...)
	for _, cells := range rows {
		if last := len(cells) - 1; beside {
			t.Add(cells...)
		} else {
			t.Add(cells[:last]...)
			t.Note(cells[last])
		}
	}
	p.table(t)
	p.sentence("The year is the first of those that were worked out at which a check fails; - for none. At last is the last year at which a wall is left that the code covers.")
}

// textColumns is how wide a text is.
const textColumns = 80

// lifeCheckCells is the row of a check.
func lifeCheckCells(l *explore.Life, id string) []string {
	use := func(u *float64) string {
		if u == nil {
			return "-"
		}
		return roundedUp(*u)
	}
	var cells []string
	var fails []string
	element := ""
	for i := range l.Rates {
		at := slices.IndexFunc(l.Rates[i].Checks, func(c explore.LifeCheck) bool { return c.ID == id })
		if at < 0 {
			fails = append(fails, "-")
			cells = []string{id, "-", "-"}
			continue
		}
		c := &l.Rates[i].Checks[at]
		cells, element = []string{id, use(c.First), use(c.Last)}, c.Element // of the last rate
		if c.Fails == nil {
			fails = append(fails, "-")
		} else {
			fails = append(fails, yearWords(*c.Fails))
		}
	}
	return append(append(cells, fails...), element)
}
