package quantity

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"sync"
	"time"
)

// longest is the length in bytes beyond which a text is not taken for a
// quantity. It leaves room for every finite float64 written without an exponent
// and bounds the work on hostile text.
const longest = 1000

// Parse reads a quantity of the dimension and returns its value in the unit of
// the dimension, always finite. The error is an [*Error], whose fix offers metric units
// first.
func Parse(text string, d Dimension) (float64, error) { return parse(text, wanted{d, Metric}) }

func parse(text string, d wanted) (float64, error) {
	m, e := measure(text, d)
	if e != nil {
		e.Text = text
		return 0, e
	}
	v, e := m.value(d)
	if e != nil {
		e.Text = text
		return 0, e
	}
	return v, nil
}

// ParseValue reads a quantity from what a TOML decoder hands over: the string
// that [Parse] reads, or something else, which is refused with what would be
// right. The error is an [*Error], whose fix offers the units of the system first; a
// number is read the same in both.
func ParseValue(v any, dimension Dimension, s System) (float64, error) {
	d := wanted{dimension, s}
	switch v := v.(type) {
	case string:
		return parse(v, d)
	case int64:
		return 0, bare(strconv.FormatInt(v, 10), float64(v), d)
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			text := strconv.FormatFloat(v, 'g', -1, 64)
			return 0, &Error{Text: text, What: "not a finite number: " + text, Fix: example(d)}
		}
		return 0, bare(plain(v), v, d)
	}
	return 0, &Error{Text: fmt.Sprint(v), What: fmt.Sprintf("%s is wanted, this is %s", d.words().singular, kindOf(v)), Fix: example(d)}
}

// kindOf names a TOML value that is no quantity.
func kindOf(v any) string {
	switch v := v.(type) {
	case nil:
		return "nothing"
	case bool:
		return strconv.FormatBool(v)
	case []any, []map[string]any:
		return "a list"
	case map[string]any:
		return "a table"
	case time.Time:
		return "a date or time"
	}
	return fmt.Sprintf("a value of type %T", v)
}

// measurement is a text taken apart: number times unit.
type measurement struct {
	number string   // as typed, sign included
	amount *big.Rat // the number, exact
	unit   unit
}

// value returns the measurement in SI, rounded once.
func (m measurement) value(d wanted) (float64, *Error) {
	exactly := times(m.amount, m.unit.factor)
	v, _ := exactly.Float64()
	switch {
	case math.IsInf(v, 0):
		return 0, &Error{What: "number too large: " + m.number + " " + m.unit.name(), Fix: example(d)}
	case v == 0 && exactly.Sign() != 0:
		return 0, &Error{What: "number too small to be told from zero: " + m.number + " " + m.unit.name(), Fix: example(d)}
	}
	return v, nil
}

// measure takes a text apart, and refuses what is not one number with one unit
// of the dimension.
func measure(text string, d wanted) (measurement, *Error) {
	if len(text) > longest {
		return measurement{}, &Error{What: fmt.Sprintf("text of %d characters is too long for %s", len(text), d.words().singular), Fix: example(d)}
	}
	s := tidy(text)
	if s == "" {
		return measurement{}, &Error{What: "quantity is empty", Fix: example(d)}
	}
	if m, ok, e := feetAndInches(s, d); ok || e != nil {
		return m, e
	}
	number, name := split(s)
	if e := judgeNumber(s, number, name, d); e != nil {
		return measurement{}, e
	}
	amount, e := decimal(number, d)
	if e != nil {
		return measurement{}, e
	}
	if name == "" {
		v, _ := amount.Float64()
		return measurement{}, bare(number, v, d)
	}
	u, e := unitFor(s, number, name, d)
	if e != nil {
		return measurement{}, e
	}
	return measurement{number, amount, u}, nil
}

// tidy brings typographic marks to the plain ones and white space to single
// spaces.
func tidy(text string) string {
	return strings.Join(strings.Fields(plainMarks().Replace(text)), " ")
}

// plainMarks replaces typographic marks.
var plainMarks = sync.OnceValue(func() *strings.Replacer {
	return strings.NewReplacer("−", "-", "–", "-", "′", "'", "’", "'", "″", `"`, "”", `"`, "''", `"`)
})

// split cuts a text into its number and what follows. The number is taken as
// it comes, with commas and several points if it has them.
func split(s string) (number, rest string) {
	i := len(s) - len(strings.TrimLeft(s, "+- "))
	signs := strings.ReplaceAll(s[:i], " ", "")
	start, digits := i, false
	for i < len(s) && (isDigit(s[i]) || strings.IndexByte(".,_", s[i]) >= 0) {
		digits = digits || isDigit(s[i])
		i++
	}
	if !digits {
		return "", s
	}
	i += exponent(s[i:])
	return signs + s[start:i], strings.TrimSpace(s[i:])
}

// exponent returns the length of the exponent with which s begins, or 0.
func exponent(s string) int {
	i := 0
	if i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		i++
	} else {
		return 0
	}
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	start := i
	for i < len(s) && isDigit(s[i]) {
		i++
	}
	if i == start {
		return 0
	}
	return i
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// decimal returns a well-formed decimal as a rational number, if float64 can
// hold it: an exponent of millions is refused before it is worked out.
func decimal(number string, d wanted) (*big.Rat, *Error) {
	v, err := strconv.ParseFloat(number, 64)
	mantissa, _, _ := strings.Cut(strings.ToLower(number), "e")
	switch {
	case math.IsInf(v, 0):
		return nil, &Error{What: "number too large: " + number, Fix: example(d)}
	case err != nil:
		return nil, &Error{What: quote(number) + " is not a number", Fix: example(d)}
	case v == 0 && strings.Trim(mantissa, "+-0.") != "":
		return nil, &Error{What: "number too small to be told from zero: " + number, Fix: example(d)}
	case v == 0:
		return new(big.Rat), nil
	}
	return exact(number), nil
}

// plain prints a number without an exponent where that is readable.
func plain(v float64) string {
	if a := math.Abs(v); a != 0 && (a < 1e-6 || a >= 1e15) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
