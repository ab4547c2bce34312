package quantity

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Range is quantities, or plain numbers, from one on by equal steps. The values are exact: a
// step more than the one before, without drift.
type Range struct {
	from, step *big.Rat // in the unit
	unit       string   // as it was written; empty for plain numbers
	n          int
}

// LongestRange is how many values a range has at most.
const LongestRange = 10_000_000

// stepsTo returns how many steps lead from the first value to an end; one within a billionth of a
// step of a value is that value, for a step in another unit may be rounded.
func (r Range) stepsTo(end *big.Rat) *big.Rat {
	return new(big.Rat).Add(per(new(big.Rat).Sub(end, r.from), r.step), exact("1e-9"))
}

// ParseRange reads from..to:step, such as "900 mm..1200 mm:50 mm", "1.0..1.5 m:0.1 m" or
// "3..9:2". A part without a unit has that of the end. The end is among the values where it falls
// on a step. The error is an [*Error].
func ParseRange(text string) (Range, error) {
	r, e := parseRange(text)
	if e != nil {
		e.Text = text
		return Range{}, e
	}
	return r, nil
}

// IsRange reports whether a text is meant for a range: a number, or a point, before "..".
func IsRange(text string) bool {
	from, _, found := strings.Cut(tidy(text), "..")
	return found && (from == "" || strings.IndexByte("+-.0123456789", from[0]) >= 0)
}

// rangeExample is what a range looks like.
const rangeExample = `write from..to:step, such as 900mm..1200mm:50mm`

func parseRange(text string) (Range, *Error) {
	if len(text) > longest {
		return Range{}, &Error{What: fmt.Sprintf("text of %d characters is too long for a range", len(text)), Fix: rangeExample}
	}
	first, rest, found := strings.Cut(text, "..")
	last, step, stepped := strings.Cut(rest, ":")
	switch {
	case strings.HasPrefix(rest, "."):
		return Range{}, &Error{What: quote(text) + " has more than two points in a row, of which the last may belong to a number", Fix: "write spaces around the two points, such as 0 in. .. 0.5 in.:0.1 in."}
	case !found:
		return Range{}, &Error{What: quote(text) + " is no range", Fix: rangeExample}
	case !stepped:
		return Range{}, &Error{What: "the range " + quote(text) + " has no step", Fix: "write " + strings.TrimSpace(text) + ":step, such as 900mm..1200mm:50mm"}
	}
	from, to, by, e := rangeParts(first, last, step)
	if e != nil {
		return Range{}, e
	}
	// All in the unit of the first part.
	to.amount = per(times(to.amount, to.unit.factor), from.unit.factor)
	by.amount = per(times(by.amount, by.unit.factor), from.unit.factor)
	r := Range{from: from.amount, step: by.amount, unit: from.name}
	if e := r.judge(to.amount, text); e != nil {
		return Range{}, e
	}
	steps := r.stepsTo(to.amount)
	r.n = int(new(big.Int).Quo(steps.Num(), steps.Denom()).Int64()) + 1
	return r, nil
}

// judge refuses steps that lead nowhere, or too often somewhere.
func (r Range) judge(to *big.Rat, text string) *Error {
	way := new(big.Rat).Sub(to, r.from)
	first, last, step := r.text(r.from), r.text(to), r.text(r.step)
	switch {
	case isTooLarge(r.from) || isTooLarge(to) || isTooLarge(r.step):
		return &Error{What: "number too large in " + r.unit, Fix: "write the range in one unit"}
	case r.step.Sign() == 0:
		return &Error{What: "the step is zero", Fix: "write a step of more than 0, such as " + r.text(big.NewRat(1, 1))}
	case way.Sign() == 0:
		return &Error{What: "the range ends where it begins", Fix: "write " + first + " alone, or a larger end"}
	case way.Sign() < 0:
		if r.step.Sign() < 0 {
			step = r.text(new(big.Rat).Neg(r.step))
		}
		return &Error{What: "the range runs backwards, from " + first + " to " + last, Fix: "write " + last + ".." + first + ":" + step}
	case r.step.Sign() < 0:
		return &Error{What: "the step is negative and never reaches " + last + " from " + first, Fix: "write " + first + ".." + last + ":" + r.text(new(big.Rat).Neg(r.step))}
	case r.stepsTo(to).Cmp(big.NewRat(1, 1)) < 0:
		return &Error{What: "a step of " + step + " never reaches " + last + " from " + first, Fix: "write a step of at most " + r.text(way)}
	case r.stepsTo(to).Cmp(big.NewRat(LongestRange, 1)) >= 0:
		return &Error{What: "the range " + quote(text) + " has more than " + strconv.Itoa(LongestRange) + " values", Fix: "write a larger step"}
	}
	return nil
}

// isTooLarge reports whether a number is beyond those that are calculated with.
func isTooLarge(v *big.Rat) bool {
	near, _ := v.Float64()
	return math.IsInf(near, 0)
}

// rangePart is one of the three parts of a range.
type rangePart struct {
	amount *big.Rat
	unit   unit
	name   string // of the unit as written; empty for none
}

// rangeParts reads the parts of a range, each with its own unit or that of the last.
func rangeParts(first, last, step string) (from, to, by rangePart, e *Error) {
	texts := [3]string{tidy(last), tidy(first), tidy(step)}
	var names [3]string
	d := wanted{-1, Metric}
	for i, text := range texts {
		if _, isFeet := takeApart(text); isFeet {
			names[i] = "in"
		} else {
			_, names[i] = split(text)
			if name, abbreviated := strings.CutSuffix(names[i], "."); abbreviated && name != "" {
				names[i] = name // "in." before ".." could not be read again
			}
		}
		if u, known := table().find(names[i]); known && d.Dimension < 0 {
			d.Dimension = u.dimension
		}
	}
	plain := names == [3]string{}
	if !plain && names[0] == "" {
		return from, to, by, &Error{What: "the end of the range has no unit", Fix: "write a unit behind it, and one behind each part that has another"}
	}
	if d.Dimension < 0 {
		d.Dimension = Length // what is wanted of a unit that nobody knows
	}
	var parts [3]rangePart
	for i, of := range [3]string{"end", "start", "step"} {
		if parts[i], e = readPart(texts[i], names[i], parts[0], plain, d); e != nil {
			e.What = "the " + of + " of the range: " + e.What
			return from, to, by, e
		}
	}
	return parts[1], parts[0], parts[2], nil
}

// readPart reads one part of a range; where it has no unit, that of the end is its own.
func readPart(text, name string, end rangePart, plain bool, d wanted) (rangePart, *Error) {
	switch {
	case text == "":
		return rangePart{}, &Error{What: "nothing is there", Fix: rangeExample}
	case name != "":
		m, e := measure(text, d)
		if e != nil {
			return rangePart{}, e
		}
		return rangePart{m.amount, m.unit, name}, nil
	}
	number, _ := split(text)
	if e := judgeNumber(text, number, "", d); e != nil {
		return rangePart{}, e
	}
	amount, e := decimal(number, d)
	if e != nil || !plain {
		return rangePart{amount, end.unit, end.name}, e
	}
	return rangePart{amount, unit{factor: exact("1")}, ""}, nil
}

// Len returns how many values the range has, 2 or more.
func (r Range) Len() int { return r.n }

// At returns a value, from 0, with the unit as it was written: "950 mm"; a plain number has
// none. A value that has no end of decimals has 12 significant figures.
func (r Range) At(i int) string {
	return r.text(new(big.Rat).Add(r.from, times(r.step, new(big.Rat).SetInt64(int64(i)))))
}

func (r Range) text(v *big.Rat) string {
	number, isShort := decimals(v)
	if !isShort {
		near, _ := v.Float64()
		number = strconv.FormatFloat(Figures(near, rangeFigures), 'g', -1, 64)
		if rounded, read := new(big.Rat).SetString(number); read {
			if short, isShort := decimals(rounded); isShort { // so it is written when it is read again
				number = short
			}
		}
	}
	return number + space(r.unit)
}

// rangeFigures is how many figures, and how many decimals, a value of a range has at most.
const rangeFigures = 12

// decimals writes a value as decimals where these end, and are not many.
func decimals(v *big.Rat) (string, bool) {
	near, _ := v.Float64()
	n, ends := v.FloatPrec()
	if !ends || n > rangeFigures || near >= 1e15 || near <= -1e15 {
		return "", false
	}
	return v.FloatString(n), true
}

// Step returns the step, written as a value is.
func (r Range) Step() string { return r.text(r.step) }
