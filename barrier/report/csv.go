package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// CSV writes a table as comma-separated values (RFC 4180, but for line ends of LF alone), a row
// on each line: first a comment line with caution C1, then the header, then the rows. It keeps
// the first error, after which it writes nothing.
type CSV struct {
	rows    *csv.Writer
	columns int
	err     error
}

// NewCSV begins a table. The header has the unit of a column of numbers in its name, as JSON
// has: "deflection_mm".
func NewCSV(w io.Writer, header ...string) *CSV { return NewCSVAbout(w, nil, header...) }

// NewCSVAbout begins a table with further comment lines below that of C1.
func NewCSVAbout(w io.Writer, about []string, header ...string) *CSV {
	c := ContinueCSV(w, len(header))
	for _, text := range append([]string{"C1 " + check.PreCheck}, about...) {
		if c.err == nil {
			_, c.err = io.WriteString(w, "# "+oneLine(text)+"\n")
		}
	}
	cells := make([]any, len(header))
	for i, name := range header {
		cells[i] = name
	}
	c.Row(cells...)
	return c
}

// ContinueCSV goes on with a table of some columns whose header is written.
func ContinueCSV(w io.Writer, columns int) *CSV {
	return &CSV{rows: csv.NewWriter(w), columns: columns}
}

// Row writes one row, a cell for each column of the header: text, a whole number, true or false,
// a float64, or a pointer to one; nil is an empty cell. Numbers have 9 significant digits and no
// negative zero; NaN and infinities are an error. Text stands on one line, with an apostrophe
// before it where a spreadsheet would take it for a formula.
func (c *CSV) Row(cells ...any) {
	if len(cells) != c.columns {
		panic(fmt.Sprintf("report: a row of %d cells in a table of %d columns", len(cells), c.columns))
	}
	record := make([]string, len(cells))
	for i, v := range cells {
		cell, err := csvCell(v)
		if err != nil && c.err == nil {
			c.err = fmt.Errorf("writing CSV: column %d: %w", i+1, err)
		}
		record[i] = cell
	}
	if c.err == nil {
		c.err = c.rows.Write(record)
	}
}

// Flush hands what was written to the writer behind the table and returns the first error.
func (c *CSV) Flush() error {
	c.rows.Flush()
	if c.err == nil {
		c.err = c.rows.Error()
	}
	return c.err
}

// csvCell returns a value as it stands in a cell.
func csvCell(value any) (string, error) {
	if value == nil {
		return "", nil
	}
	v := reflect.ValueOf(value)
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return "", nil
		}
		v = v.Elem()
	}
	switch v.Kind() {
	case reflect.String:
		return csvText(v.String()), nil
	case reflect.Bool:
		return strconv.FormatBool(v.Bool()), nil
	case reflect.Int, reflect.Int64:
		return strconv.FormatInt(v.Int(), 10), nil
	case reflect.Float64:
		return csvNumber(v.Float())
	}
	panic("report: no CSV for a " + v.Type().String())
}

// csvNumber returns a number with 9 significant digits, without an exponent where it is of a
// readable size.
func csvNumber(v float64) (string, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "", fmt.Errorf("%v is no number", v)
	}
	v = quantity.Figures(v, 9)
	if size := math.Abs(v); size != 0 && (size < 1e-6 || size >= 1e15) {
		return strconv.FormatFloat(v, 'e', -1, 64), nil
	}
	return strconv.FormatFloat(v, 'f', -1, 64), nil
}

// csvText returns a text on one line that neither a spreadsheet takes for a formula nor a
// program for a comment: where it begins as one an apostrophe stands before it, which
// spreadsheets take as the mark of text. A number that is given as text stays a number, and a
// quantity such as -100 mm stands as it is: no formula is made of a number and a unit.
func csvText(text string) string {
	text = oneLine(text)
	first, _ := utf8.DecodeRuneInString(strings.TrimLeftFunc(text, unicode.IsSpace))
	if strings.ContainsRune("=+-@＝＋－＠#", first) && !isNumber(text) && !isQuantity(text) {
		return "'" + text
	}
	return text
}

// isNumber reports whether a text is a plain decimal number, with a sign or without.
func isNumber(text string) bool {
	if strings.Trim(text, "+-.0123456789eE") != "" {
		return false
	}
	v, err := strconv.ParseFloat(text, 64)
	return err == nil && !math.IsInf(v, 0)
}

// isQuantity reports whether a text is a plain decimal number, with a sign or without, and a unit
// that begins with a letter.
func isQuantity(text string) bool {
	unit := strings.TrimLeft(text, "+-.0123456789")
	name := strings.TrimLeft(unit, " ")
	first, _ := utf8.DecodeRuneInString(name)
	_, _, known := quantity.UnitNamed(name)
	return known && unicode.IsLetter(first) && isNumber(strings.TrimRight(strings.TrimSuffix(text, unit), " "))
}

// oneLine puts a space in the place of each line end and control character.
func oneLine(text string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsControl(c) || c == '\u2028' || c == '\u2029' {
			return ' '
		}
		return c
	}, text)
}
