package report

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"

	"example.com/stanchion/barrier/check"
)

// Column is the head of one column of a Table and how its cells stand.
type Column struct {
	head string // a second line holds the unit
	left bool

	name  string // of a column without a head, where each column needs one
	unit  string // that the head ends in; empty for none
	paper bool   // left out of plain text, which is 80 columns wide
}

// Words returns a column whose cells stand left.
func Words(head string) Column { return Column{head: head, left: true} }

// Numbers returns a column whose cells stand right. A head of two lines has its
// unit on the second.
func Numbers(head string) Column { return Column{head: head} }

// unnamed returns a column of words that plain text leaves without a head, for what stands there
// says itself; name is its head elsewhere.
func unnamed(name string) Column { return Column{left: true, name: name} }

// forPaper returns the column as one that plain text leaves out.
func (c Column) forPaper() Column {
	c.paper = true
	return c
}

// named returns the head of a column in one line, and its unit.
func (c Column) named() (name, unit string) {
	name = strings.TrimSuffix(cmp.Or(c.head, c.name), "\n"+c.unit)
	return strings.ReplaceAll(strings.ReplaceAll(name, "-\n", ""), "\n", " "), c.unit
}

// Table is rows under aligned heads, in plain text without rules. A row may have
// notes, which stand below it.
type Table struct {
	columns []Column
	rows    []tableRow
}

type tableRow struct {
	cells       []string
	notes       []string
	utilisation *float64        // that a bar in the last cell shows
	working     *working        // of the check that the row tells; nil for none
	isA         *check.CheckRow // the check that the row tells; nil for none
	leads       *check.CheckRef // the one that it leads to
}

// NewTable returns a table without rows.
func NewTable(columns ...Column) *Table { return &Table{columns: columns} }

// Add appends one row; a row shorter than the heads leaves the rest empty.
func (t *Table) Add(cells ...string) {
	row := make([]string, len(t.columns))
	for i, cell := range cells {
		row[i] = strings.TrimSpace(plain(cell))
	}
	t.rows = append(t.rows, tableRow{cells: row})
}

// last is the row that was added last.
func (t *Table) last() *tableRow { return &t.rows[len(t.rows)-1] }

// scaleTo1 names a column of bars.
const scaleTo1 = "0 to 1"

// bar draws a utilisation in the last cell of the last row.
func (t *Table) bar(u *float64) {
	row := t.last()
	row.cells[len(row.cells)-1], row.utilisation = bar(u), u
}

// Note puts lines of words below the last row; an empty one is left out.
func (t *Table) Note(notes ...string) {
	row := t.last()
	for _, note := range notes {
		if note != "" {
			row.notes = append(row.notes, note)
		}
	}
}

// Text writes the table indented by two spaces. Notes are broken at 80 columns;
// a row is as wide as its cells.
func (t *Table) Text(w io.Writer) error { return t.textBy(&layer{}, w) }

// textBy is Text with what lays out several tables.
func (t *Table) textBy(l *layer, w io.Writer) error {
	head, rows, err := l.lines(t)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	for _, line := range head {
		writeLine(&out, "  "+line)
	}
	for i, line := range rows {
		writeLine(&out, "  "+line)
		for _, note := range t.rows[i].notes {
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

// layer lays tables out, one after the other: what the library readies for a table is much, and
// serves all tables of a report.
type layer struct {
	table *tablewriter.Table
	out   bytes.Buffer
}

// noCache stands for the library's cache of how types become strings, which it makes anew, ten thousand
// places of it, for each table: all cells are strings.
type noCache struct{}

func (noCache) Add(reflect.Type, reflect.Value) (evicted bool) { return false }

func (noCache) Get(reflect.Type) (how reflect.Value, known bool) { return how, false }

func (noCache) Purge() {}

// narrowSigns fixes the width of signs that East Asian terminals show double:
// left to itself the library asks the machine, and the bytes would differ.
var narrowSigns = sync.OnceFunc(func() { twwidth.SetEastAsian(false) })

// ready returns the library's table, empty, with columns that stand as is said.
func (l *layer) ready(align []tw.Align) *tablewriter.Table {
	alignment := tw.CellAlignment{PerColumn: align}
	if l.table == nil {
		narrowSigns()
		l.table = tablewriter.NewTable(&l.out,
			tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{
				Borders:  tw.BorderNone,
				Symbols:  tw.NewSymbols(tw.StyleNone),
				Settings: tw.Settings{Separators: tw.SeparatorsNone, Lines: tw.LinesNone},
			})),
			// Left on, this turns "N/mm²" into "N / MM ²".
			tablewriter.WithHeaderAutoFormat(tw.Off),
			tablewriter.WithHeaderAutoWrap(tw.WrapNone),
			tablewriter.WithRowAutoWrap(tw.WrapNone),
			tablewriter.WithPadding(tw.Padding{Left: "", Right: "  ", Overwrite: true}),
			tablewriter.WithStringerCacheCustom(noCache{}),
		)
	}
	l.out.Reset()
	l.table.Reset()
	return l.table.Options(tablewriter.WithHeaderAlignmentConfig(alignment), tablewriter.WithRowAlignmentConfig(alignment))
}

// lines returns the lines of the heads of a table and one line for each row.
func (l *layer) lines(t *Table) (head, rows []string, err error) {
	deep := 0
	for _, c := range t.columns {
		deep = max(deep, 1+strings.Count(c.head, "\n"))
	}
	columns := slices.DeleteFunc(slices.Clone(t.columns), func(c Column) bool { return c.paper })
	heads := make([]string, len(columns))
	align := make([]tw.Align, len(columns))
	for i, c := range columns {
		heads[i] = strings.Repeat("\n", deep-1-strings.Count(c.head, "\n")) + c.head // at the bottom
		align[i] = tw.AlignRight
		if c.left {
			align[i] = tw.AlignLeft
		}
	}
	table := l.ready(align)
	table.Header(heads)
	for _, row := range t.rows {
		if err := table.Append(t.inText(row.cells)); err != nil {
			return nil, nil, fmt.Errorf("laying out a table: %w", err)
		}
	}
	if err := table.Render(); err != nil {
		return nil, nil, fmt.Errorf("laying out a table: %w", err)
	}
	all := strings.Split(strings.TrimSuffix(l.out.String(), "\n"), "\n")
	if len(all) != deep+len(t.rows) {
		panic(fmt.Sprintf("report: a table of %d rows came out as %d lines", len(t.rows), len(all)-deep))
	}
	return all[:deep], all[deep:], nil
}

// inText returns the cells of a row that plain text has.
func (t *Table) inText(cells []string) (kept []string) {
	for i, cell := range cells {
		if !t.columns[i].paper {
			kept = append(kept, cell)
		}
	}
	return kept
}

// widthOf returns how many columns of a terminal text takes.
func widthOf(text string) int {
	for i := range len(text) {
		if text[i] >= utf8.RuneSelf {
			narrowSigns()
			return twwidth.Width(text)
		}
	}
	return len(text) // no sign beyond ASCII: users' words have lost theirs of control
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

// unbroken returns the words of a text, those joined that stay on one line: a number and its unit,
// a place with its letter, a load with its factor.
func unbroken(text string) []string {
	words := strings.Fields(plain(text))
	parts := words[:0]
	for len(words) > 0 {
		n := 1
		for n < len(words) && holdsTogether(words, n) {
			n++
		}
		parts = append(parts, strings.Join(words[:n], " "))
		words = words[n:]
	}
	return parts
}

// wrap breaks text into lines no wider than width where its words allow.
func wrap(text string, width int) []string {
	var lines []string
	line := ""
	for _, part := range unbroken(text) {
		switch {
		case line == "":
			line = part
		case widthOf(line)+1+widthOf(part) <= width:
			line += " " + part
		default:
			lines = append(lines, line)
			line = part
		}
	}
	return append(lines, line)
}

// holdsTogether reports whether no line is broken before word n: the unit of a number, or what
// belongs to "x = 5".
func holdsTogether(words []string, n int) bool {
	before := words[n-1]
	switch {
	case before == "=":
		return n > 1 && endsInAxis(words[n-2])
	case words[n] == "=":
		return n+1 < len(words) && endsInAxis(before)
	}
	last := before[len(before)-1]
	return '0' <= last && last <= '9' && isUnit(wordSignsOf(words[n]))
}

// endsInAxis reports whether a word is the letter of an axis, but for signs before it.
func endsInAxis(word string) bool {
	n := len(word)
	return strings.IndexByte("xyz", word[n-1]) >= 0 && (n == 1 || !isWordSign(word[n-2]))
}

// wordSignsOf returns the letters and digits with which a word begins: kN of kN/m.
func wordSignsOf(word string) string {
	for i := range len(word) {
		if !isWordSign(word[i]) {
			return word[:i]
		}
	}
	return word
}

func isWordSign(c byte) bool {
	return c == '_' || '0' <= c && c <= '9' || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z'
}

// isUnit reports whether letters and digits are a unit, or the sign of a load that stands behind
// its factor like one, D or Lr or G1: a capital, a small letter or none, a digit or none.
func isUnit(s string) bool {
	switch s {
	case "m", "mm", "kN", "kNm", "Nm", "MPa", "in", "lbf", "kip", "psf", "deg":
		return true
	case "":
		return false
	}
	if s[0] < 'A' || s[0] > 'Z' {
		return false
	}
	s = s[1:]
	if s != "" && 'a' <= s[0] && s[0] <= 'z' {
		s = s[1:]
	}
	if s != "" && '0' <= s[0] && s[0] <= '9' {
		s = s[1:]
	}
	return s == ""
}
