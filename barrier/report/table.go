package report

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strings"
	"sync"
	"unicode"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

// Column is the head of one column of a Table and how its cells stand.
type Column struct {
	head string // a second line holds the unit
	left bool
}

// Words returns a column whose cells stand left.
func Words(head string) Column { return Column{head, true} }

// Numbers returns a column whose cells stand right. A head of two lines has its
// unit on the second.
func Numbers(head string) Column { return Column{head, false} }

// Table is rows under aligned heads, in plain text without rules. A row may have
// notes, which stand below it.
type Table struct {
	columns []Column
	rows    [][]string
	notes   [][]string // of each row
}

// NewTable returns a table without rows.
func NewTable(columns ...Column) *Table { return &Table{columns: columns} }

// Add appends one row; a row shorter than the heads leaves the rest empty.
func (t *Table) Add(cells ...string) {
	row := make([]string, len(t.columns))
	for i, cell := range cells {
		row[i] = plain(cell)
	}
	t.rows = append(t.rows, row)
	t.notes = append(t.notes, nil)
}

// Note puts lines of words below the last row; an empty one is left out.
func (t *Table) Note(notes ...string) {
	last := len(t.notes) - 1
	for _, note := range notes {
		if note != "" {
			t.notes[last] = append(t.notes[last], note)
		}
	}
}

// Text writes the table indented by two spaces. Notes are broken at 80 columns;
// a row is as wide as its cells.
func (t *Table) Text(w io.Writer) error {
	head, rows, err := t.lines()
	if err != nil {
		return err
	}
	var out bytes.Buffer
	for _, line := range head {
		writeLine(&out, "  "+line)
	}
	for i, line := range rows {
		writeLine(&out, "  "+line)
		for _, note := range t.notes[i] {
			writeWords(&out, "      ", "        ", note)
		}
	}
	_, err = w.Write(out.Bytes())
	return err
}

// width is what a line holds where words can be broken.
const width = 80

// writeWords writes text under a first indent, its further lines under the
// second.
func writeWords(out *bytes.Buffer, first, further, text string) {
	indent := first
	for _, line := range wrap(text, width-len(further)) {
		writeLine(out, indent+line)
		indent = further
	}
}

func writeLine(out *bytes.Buffer, line string) {
	out.WriteString(strings.TrimRight(line, " ") + "\n")
}

// narrowSigns fixes the width of signs that East Asian terminals show double:
// left to itself the library asks the machine, and the bytes would differ.
var narrowSigns = sync.OnceFunc(func() { twwidth.SetEastAsian(false) })

// lines returns the lines of the heads and one line for each row.
func (t *Table) lines() (head, rows []string, err error) {
	narrowSigns()
	deep := 0
	for _, c := range t.columns {
		deep = max(deep, 1+strings.Count(c.head, "\n"))
	}
	heads := make([]string, len(t.columns))
	align := make([]tw.Align, len(t.columns))
	for i, c := range t.columns {
		heads[i] = strings.Repeat("\n", deep-1-strings.Count(c.head, "\n")) + c.head // at the bottom
		align[i] = tw.AlignRight
		if c.left {
			align[i] = tw.AlignLeft
		}
	}
	var out bytes.Buffer
	table := tablewriter.NewTable(&out,
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{
			Borders:  tw.BorderNone,
			Symbols:  tw.NewSymbols(tw.StyleNone),
			Settings: tw.Settings{Separators: tw.SeparatorsNone, Lines: tw.LinesNone},
		})),
		// Left on, this turns "N/mm²" into "N / MM ²".
		tablewriter.WithHeaderAutoFormat(tw.Off),
		tablewriter.WithHeaderAutoWrap(tw.WrapNone),
		tablewriter.WithRowAutoWrap(tw.WrapNone),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{PerColumn: align}),
		tablewriter.WithRowAlignmentConfig(tw.CellAlignment{PerColumn: align}),
		tablewriter.WithPadding(tw.Padding{Left: "", Right: "  ", Overwrite: true}),
	)
	table.Header(heads)
	for _, row := range t.rows {
		if err := table.Append(row); err != nil {
			return nil, nil, fmt.Errorf("laying out a table: %w", err)
		}
	}
	if err := table.Render(); err != nil {
		return nil, nil, fmt.Errorf("laying out a table: %w", err)
	}
	all := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	if len(all) != deep+len(t.rows) {
		panic(fmt.Sprintf("report: a table of %d rows came out as %d lines", len(t.rows), len(all)-deep))
	}
	return all[:deep], all[deep:], nil
}

// plain returns text of the user's own with anything that could move a cursor
// or break a line replaced by a space.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, text)
}

// together finds a number with its unit, and a place with its letter, which stay
// on one line.
var together = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`([0-9]) (m|mm|N|kN|Nm|kNm|kNm/rad|N/m|kN/m|N/m2|kN/m2|MPa|in|lbf|kip|lbf-ft|lbf/ft|kip-ft/rad|psf|deg|K|[A-Z][a-z]?[0-9]?)\b|\b([xyz]) = `)
})

// held stands for a space at which no line is broken; plain text has no such
// character.
const held = "\x00"

// wrap breaks text into lines no wider than width where its words allow.
func wrap(text string, width int) []string {
	text = together().ReplaceAllStringFunc(plain(text), func(found string) string {
		return strings.ReplaceAll(found, " ", held)
	})
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(text) {
		word = strings.ReplaceAll(word, held, " ")
		switch {
		case line == "":
			line = word
		case twwidth.Width(line)+1+twwidth.Width(word) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	return append(lines, line)
}
