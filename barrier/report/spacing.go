package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
)

// SpacingText writes the answer to the largest spacing in plain text, 80 columns wide:
// cautions, the answer in each column and what is to be said of it, the layouts, utilisation
// against spacing as bars, each check's spacings, what was not checked.
func SpacingText(w io.Writer, s *explore.Spacing, o TextOptions) error {
	p := &printer{r: &check.Result{Title: s.Title, Basis: s.Basis, Cautions: s.Cautions}, units: o.Units}
	p.topCautions()
	p.headline()
	p.spacingAnswer(s)
	p.spacingRows(s)
	p.spacingBars(s)
	p.spacingChecks(s)
	if s.Largest != nil {
		p.heading(fmt.Sprintf("Not checked at this spacing: %d", len(s.Unchecked)))
		p.items(s.Unchecked)
	}
	p.heading("Left out by the user")
	p.items(s.LeftOut)
	p.otherCautions()
	return p.writeText(w)
}

// SpacingJSON writes the answer to the largest spacing as one JSON document by the rules of JSON.
func SpacingJSON(w io.Writer, s *explore.Spacing) error { return writeJSON(w, s) }

// SpacingCSV writes the layouts of every column, one a row.
func SpacingCSV(w io.Writer, s *explore.Spacing) error {
	c := NewCSV(w, "column", "spacing_m", "bays", "posts", "status", "utilisation", "governing_check", "governing_element", "place", "first_yield", "first_yield_check", "first_yield_element", "geometry", "unchecked", "reason")
	for i := range s.Columns {
		for _, r := range s.Columns[i].Rows {
			var yield check.CheckRef
			if r.FirstYield != nil {
				yield = *r.FirstYield
			}
			c.Row(s.Columns[i].Name, r.Spacing, r.Bays, r.Posts, string(r.Status), r.Utilisation, r.ID, r.Element, r.Place,
				yield.Utilisation, yield.ID, yield.Element, r.Geometry, r.Unchecked, r.Reason)
		}
	}
	return c.Flush()
}

// spacingAnswer prints the answer, in each column, and the notes.
func (p *printer) spacingAnswer(s *explore.Spacing) {
	p.heading("Largest spacing of posts")
	word := strings.ToUpper(string(s.Status))
	p.words("  "+word+"  ", strings.Repeat(" ", len(word)+4), s.Headline)
	p.line("")
	t := NewTable(Words(""), p.measure("largest\nspacing", "m"), Numbers("bays"), Numbers("posts"), Numbers("util-\nisation"), Words("governed by"))
	for i := range s.Columns {
		c := &s.Columns[i]
		row := answerOf(c)
		switch {
		case c.None != "":
			t.Add(c.Name, "-")
			t.Note(c.None)
			continue
		case row == nil:
			t.Add(c.Name, "none")
		default:
			t.Add(c.Name, p.number(row.Spacing, "m"), fmt.Sprint(row.Bays), fmt.Sprint(row.Posts), Utilisation(row.Utilisation, row.Status), row.ID)
			t.Note(joined("; ", joined(", ", row.Element, row.Place), p.oddWords(row)), yieldWords(row))
		}
		t.Note(c.Means)
	}
	p.table(t)
	p.line("")
	for _, note := range append([]string{s.SetOut}, s.Notes...) {
		p.item(note)
	}
	if s.TOML == "" {
		return
	}
	p.line("")
	p.sentence("In [run] of the file it is:")
	for line := range strings.SplitSeq(s.TOML, "\n") {
		p.line("      " + line)
	}
}

// answerOf is the row of the largest spacing of a column; nil for none.
func answerOf(c *explore.SpacingColumn) *explore.SpacingRow {
	for i := range c.Rows {
		if c.Largest != nil && c.Rows[i].Spacing == *c.Largest {
			return &c.Rows[i]
		}
	}
	return nil
}

// spacingRows prints the layouts as declared.
func (p *printer) spacingRows(s *explore.Spacing) {
	p.heading("Layouts, as declared")
	p.sentence("The utilisation is that which a check of the layout prints; where first yield is nearer to 1 it stands below.")
	t := NewTable(p.measure("spacing", "m"), Numbers("bays"), Numbers("posts"), Numbers("util-\nisation"), Words("status"), Words("governed by"))
	for _, row := range s.Columns[0].Rows {
		mark := ""
		if s.Largest != nil && row.Spacing == *s.Largest {
			mark = " <"
		}
		where := joined("; ", joined(", ", row.Element, row.Place), p.oddWords(&row))
		t.Add(p.number(row.Spacing, "m"), fmt.Sprint(row.Bays), fmt.Sprint(row.Posts), spacingUtilisation(&row), string(row.Status)+mark, row.ID)
		const beside = 33 // what is left of a line
		if last := len(t.rows) - 1; len(row.ID)+2+len(where) <= beside {
			t.rows[last].cells[5] = joined(", ", row.ID, where)
		} else {
			t.Note(where)
		}
		t.Note(yieldWords(&row), row.Reason)
		if row.Geometry != "" {
			t.Note("geometry fails: " + row.Geometry)
		}
	}
	p.table(t)
}

// oddWords tell how long the odd bays are.
func (p *printer) oddWords(row *explore.SpacingRow) string {
	var lengths []string
	for _, bay := range row.OddBays {
		if length := p.value(bay, "m"); !slices.Contains(lengths, length) {
			lengths = append(lengths, length)
		}
	}
	return joined(", ", labelled("odd bay ", strings.Join(lengths, ", ")), row.ShortOddBay())
}

// yieldWords tell first yield where it is nearer to failing than what governs.
func yieldWords(row *explore.SpacingRow) string {
	if !row.YieldsFirst() {
		return ""
	}
	y := row.FirstYield
	return fmt.Sprintf("first yield %s: %s of %s", roundedUp(*y.Utilisation), y.ID, y.Element)
}

// The bars of utilisation: strokes to 1, and strokes in all.
const (
	barToOne = 36
	barAll   = 54
)

// spacingBars draws utilisation against spacing.
func (p *printer) spacingBars(s *explore.Spacing) {
	p.heading("Utilisation against spacing")
	p.sentence(`"=" as declared, "y" its first yield where nearer to 1, "n" no sharing, "s" softest foot; "|" stands at 1, ">" goes on.`)
	lines := map[float64][]byte{}
	var spacings []float64
	for i := range s.Columns {
		for _, row := range s.Columns[i].Rows {
			if row.Utilisation == nil && row.Status != check.Fail {
				continue
			}
			if lines[row.Spacing] == nil {
				lines[row.Spacing] = []byte(strings.Repeat(" ", barToOne) + "|" + strings.Repeat(" ", barAll-barToOne))
				spacings = append(spacings, row.Spacing)
			}
			drawBar(lines[row.Spacing], s.Columns[i].Name, row.Utilisation)
			if i == 0 && row.YieldsFirst() {
				drawBar(lines[row.Spacing], "yield", row.FirstYield.Utilisation)
			}
		}
	}
	slices.SortFunc(spacings, func(a, b float64) int { return cmp.Compare(b, a) })
	const wide = 10 // of the longest spacing, in feet and inches
	p.line(fmt.Sprintf("  %*s", wide, "spacing"))
	if unit := p.unit("m"); unit != "" {
		p.line(fmt.Sprintf("  %*s", wide, unit))
	}
	for _, x := range spacings {
		p.line(fmt.Sprintf("  %*s  %s", wide, p.number(x, "m"), lines[x]))
	}
}

// drawBar draws a utilisation into a line: that of the file as a bar, the others as letters.
func drawBar(line []byte, column string, u *float64) {
	end, beyond := len(line)-1, true
	if u != nil && *u*barToOne <= float64(end) {
		end, beyond = max(0, int(math.Ceil(*u*barToOne-1e-6))-1), false
	}
	switch {
	case column == explore.AsDeclared:
		for i := range end {
			if line[i] == ' ' {
				line[i] = '='
			}
		}
		line[end] = '='
		if beyond {
			line[end] = '>'
		}
	case !beyond || line[end] != '>':
		line[end] = column[0]
	}
}

// spacingUtilisation prints the utilisation of a layout.
func spacingUtilisation(row *explore.SpacingRow) string {
	if row.ID == "" {
		return "-"
	}
	return Utilisation(row.Utilisation, row.Status)
}

// spacingChecks prints for each check the largest spacing at which it passes and the smallest
// at which it fails, in each column.
func (p *printer) spacingChecks(s *explore.Spacing) {
	p.heading("Each check: the largest spacing that passes / the smallest that fails")
	shown := spacingColumns(s)
	heads := []Column{Words("")}
	for _, c := range shown {
		heads = append(heads, p.measure(c.Name, "m"))
	}
	t := NewTable(heads...)
	for _, id := range spacingIDs(shown) {
		t.Add(p.checkCells(id, shown)...)
	}
	p.table(t)
	p.sentence("Of the layouts that were worked out; - for none.")
}

// spacingColumns are the columns that have something in them.
func spacingColumns(s *explore.Spacing) []*explore.SpacingColumn {
	var out []*explore.SpacingColumn
	for i := range s.Columns {
		if c := &s.Columns[i]; c.None == "" {
			out = append(out, c)
		}
	}
	return out
}

// checkCells is the row of a check.
func (p *printer) checkCells(id string, columns []*explore.SpacingColumn) []string {
	read := func(v *float64) string {
		if v == nil {
			return "-"
		}
		return p.number(*v, "m")
	}
	between := " / "
	if p.unit("m") == "" { // feet and inches are wide
		between = "/"
	}
	cells := []string{id}
	for _, c := range columns {
		cell := ""
		for _, of := range c.Checks {
			if of.ID == id {
				cell = read(of.Passes) + between + read(of.Fails)
			}
		}
		cells = append(cells, cell)
	}
	return cells
}

// spacingIDs are the checks of all columns, in the order of a report.
func spacingIDs(columns []*explore.SpacingColumn) []string {
	var ids []string
	for _, known := range check.CheckIDs() {
		if slices.ContainsFunc(columns, func(c *explore.SpacingColumn) bool {
			return slices.ContainsFunc(c.Checks, func(of explore.SpacingCheck) bool { return of.ID == known.ID })
		}) {
			ids = append(ids, known.ID)
		}
	}
	return ids
}
