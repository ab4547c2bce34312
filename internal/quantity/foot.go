package quantity

import (
	"math/big"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// Feet and inches, and inches with a fraction, as drawings have them:
// 3 ft 6 in, 3'6", 5 ft 4 1/2 in, 1-1/2 in.

// footPattern matches a number that may have feet before it and a fraction in
// it, and the mark that ends it.
var footPattern = sync.OnceValue(func() *regexp.Regexp {
	const (
		sign     = `(?P<sign>[+-]?) ?`
		feet     = `(?:(?P<feet>\d+(?:\.\d+)?) ?(?:ft\.?|feet|foot|') ?-? ?)?`
		whole    = `(?P<whole>\d+(?:\.\d+)?)`
		plain    = `(?P<plain>\d+(?:\.\d+)?)`
		fraction = `(?P<top>\d+)/(?P<bottom>\d+)`
		mark     = ` ?(?P<mark>\D.*)?`
	)
	return regexp.MustCompile(`^` + sign + feet + `(?:(?:` + whole + `[ -])?` + fraction + `|` + plain + `)` + mark + `$`)
})

// footParts is a text of feet and inches taken apart. A part that the text does
// not have is empty.
type footParts struct {
	text        string
	sign, feet  string
	whole       string // inches before a fraction, or without one
	top, bottom string // of the fraction
	mark        string // what ends the text, an inch mark if all is well
}

// takeApart returns the parts of a text that has feet before another number, or
// a fraction; ok is false for any other text, a plain "42 in" or "3 ft" among
// them.
func takeApart(s string) (p footParts, ok bool) {
	if !mayHaveParts(s) {
		return footParts{}, false
	}
	pattern := footPattern()
	found := pattern.FindStringSubmatch(s)
	if found == nil {
		return footParts{}, false
	}
	part := func(name string) string { return found[pattern.SubexpIndex(name)] }
	p = footParts{s, part("sign"), part("feet"), part("whole") + part("plain"), part("top"), part("bottom"), part("mark")}
	return p, p.feet != "" || p.bottom != ""
}

// mayHaveParts says whether a text has what every text of feet and inches or of a fraction has: a
// mark of feet, or a stroke before a digit.
func mayHaveParts(s string) bool {
	for i := range len(s) {
		if s[i] == '\'' || s[i] == 'f' || s[i] == '/' && i+1 < len(s) && isDigit(s[i+1]) {
			return true
		}
	}
	return false
}

// inches returns the inches as typed: "6", "1/2" or "4 1/2".
func (p footParts) inches() string {
	if p.bottom == "" {
		return p.whole
	}
	return strings.TrimSpace(p.whole + " " + p.top + "/" + p.bottom)
}

// number returns all of the text but its mark.
func (p footParts) number() string {
	if p.feet == "" {
		return p.sign + p.inches()
	}
	return p.sign + p.feet + " ft " + p.inches()
}

// feetAndInches reads feet with inches, and inches with a fraction. ok is false
// for a text of another form.
func feetAndInches(s string, d wanted) (m measurement, ok bool, e *Error) {
	p, ok := takeApart(s)
	if !ok {
		return m, false, nil
	}
	inch, _ := table().find("in")
	if u, known := table().find(p.mark); !known || u.name() != inch.name() {
		return m, true, p.noInchMark(d)
	}
	if d.Dimension != Length {
		return m, true, wrongDimension("", inch, quote(s), d)
	}
	amount, e := p.amount()
	if e != nil {
		return m, true, e
	}
	return measurement{s, amount, inch}, true, nil
}

// amount returns the length in inches.
func (p footParts) amount() (*big.Rat, *Error) {
	amount, e := inchesOf(p.whole, p.top, p.bottom)
	if e != nil {
		return nil, e
	}
	if p.feet != "" {
		if e := judgeFeet(p.feet, amount); e != nil {
			return nil, e
		}
		amount.Add(amount, times(exact("12"), exact(p.feet)))
	}
	if p.sign == "-" {
		amount.Neg(amount)
	}
	return amount, nil
}

// inchesOf adds whole inches (or "") and a fraction (or "" over "").
func inchesOf(whole, top, bottom string) (*big.Rat, *Error) {
	amount := new(big.Rat)
	if whole != "" {
		amount.Set(exact(whole))
	}
	if bottom == "" {
		return amount, nil
	}
	below := exact(bottom)
	if below.Sign() == 0 {
		return nil, &Error{What: "fraction " + top + "/0 divides by zero", Fix: `write a fraction such as "1/2 in"`}
	}
	if whole != "" && !amount.IsInt() {
		return nil, &Error{What: whole + " " + top + "/" + bottom + " has decimals and a fraction", Fix: `write one of them, such as "1.5 in" or "1-1/2 in"`}
	}
	return amount.Add(amount, per(exact(top), below)), nil
}

// judgeFeet refuses feet with decimals beside inches, and inches that make a
// foot.
func judgeFeet(feet string, inches *big.Rat) *Error {
	if !exact(feet).IsInt() {
		return &Error{What: "feet have decimals and inches follow", Fix: `write whole feet, such as "3 ft 6 in", or "3.5 ft"`}
	}
	if inches.Cmp(exact("12")) >= 0 {
		total, _ := new(big.Rat).Add(inches, times(exact("12"), exact(feet))).Float64()
		return &Error{What: "inches beside feet are 12 or more", Fix: `write "` + strconv.FormatFloat(total, 'f', -1, 64) + ` in" if that is meant`}
	}
	return nil
}

// noInchMark explains inches or a fraction that do not end in an inch mark.
func (p footParts) noInchMark(d wanted) *Error {
	u, known := table().find(p.mark)
	switch {
	case p.mark == "" && d.Dimension != Length:
		return &Error{What: "quantity has no unit: " + p.text, Fix: example(d)}
	case p.mark == "" && p.feet != "":
		return &Error{What: "the inches have no unit: " + p.text, Fix: "write " + quote(p.number()+" in")}
	case p.mark == "":
		return &Error{What: "quantity has no unit: " + p.text, Fix: "write " + quote(p.number()+" in") + " if inches are meant"}
	case !known:
		return unknownUnit(p.text, p.number(), p.mark, d)
	case p.feet != "" && d.Dimension == Length && u.dimension != Length:
		return wrongDimension("", u, u.name(), d)
	case p.feet != "":
		return &Error{What: "more than one number in " + quote(p.text), Fix: oneNumber(d)}
	}
	e := &Error{What: "a fraction is read in inches only, not in " + u.name(), Fix: "write a decimal, such as " + examples(d)}
	if amount, bad := p.amount(); bad == nil {
		if decimals, ends := amount.FloatPrec(); ends && decimals <= 6 {
			e.Fix = "write " + quote(amount.FloatString(decimals)+" "+u.name())
		}
	}
	return e
}
