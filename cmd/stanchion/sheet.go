package main

import (
	"io"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
)

// sheet is a list as text. It holds 80 columns: words are broken at the width of
// their column, and a column that no row has a value for is left out.
type sheet struct {
	lead    string // a line above the heads; empty for none
	columns []column
	rows    []sheetRow
}

type column struct {
	head  string // a second line holds the unit
	width int    // of words; 0 for numbers
}

type sheetRow struct {
	cells []string
	notes []string // lines of words below; an empty one is left out
}

// none stands for a value that a row does not have.
const none = "-"

func (s *sheet) add(note string, cells ...string) {
	s.rows = append(s.rows, sheetRow{cells, []string{note}})
}

// also puts a further line of words below the last row, unless it is empty.
func (s *sheet) also(note string) {
	last := &s.rows[len(s.rows)-1]
	last.notes = append(last.notes, note)
}

func (s *sheet) empty() bool { return len(s.rows) == 0 }

func (s *sheet) text(w io.Writer) error {
	var shown []int
	var heads []report.Column
	for i, c := range s.columns {
		if !slices.ContainsFunc(s.rows, func(r sheetRow) bool { return r.cells[i] != none }) {
			continue
		}
		shown = append(shown, i)
		if c.width > 0 {
			heads = append(heads, report.Words(c.head))
		} else {
			heads = append(heads, report.Numbers(c.head))
		}
	}
	table := report.NewTable(heads...)
	for _, r := range s.rows {
		for _, line := range s.lines(r, shown) {
			table.Add(line...)
		}
		table.Note(r.notes...)
	}
	if s.lead != "" {
		if _, err := io.WriteString(w, s.lead+"\n\n"); err != nil {
			return err
		}
	}
	return table.Text(w)
}

// lines returns the cells of a row, and those of the lines that its longest
// words take below it.
func (s *sheet) lines(r sheetRow, shown []int) [][]string {
	lines := [][]string{make([]string, len(shown))}
	for i, column := range shown {
		parts := []string{r.cells[column]}
		if width := s.columns[column].width; width > 0 {
			parts = broken(r.cells[column], width)
		}
		for depth, part := range parts {
			if depth == len(lines) {
				lines = append(lines, make([]string, len(shown)))
			}
			lines[depth][i] = part
		}
	}
	return lines
}

// broken parts text at spaces into lines no wider than width where its words
// allow.
func broken(text string, width int) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(text) {
		if line != "" && len(line)+1+len(word) > width {
			lines = append(lines, line)
			line = ""
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	return append(lines, line)
}

// scale is how a list shows the values of a column.
type scale struct {
	unit   string
	per    float64 // shown value of one unit of the row
	digits int
}

// in picks the scale of a system of units.
func in(system quantity.System, metric, us scale) scale {
	if system == quantity.US {
		return us
	}
	return metric
}

func (s scale) column(head string) column { return column{head: head + "\n" + s.unit} }

// value prints a value; one of 100 or more has one decimal of two or three less,
// which keeps its column narrow.
func (s scale) value(v float64) string {
	shown, digits := v*s.per, s.digits
	if digits > 1 && math.Abs(shown) >= 99.995 {
		digits--
	}
	return quantity.Fix(shown, digits)
}

// given prints a value that a row may not have.
func (s scale) given(v *float64) string {
	if v == nil {
		return none
	}
	return s.value(*v)
}
