package quantity

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Error is a text that could not be read as a quantity.
type Error struct {
	Text string // as it was written
	What string // what is wrong with it
	Fix  string // what would be right
}

// Error returns what is wrong.
func (e *Error) Error() string { return e.What }

// bare refuses a number without a unit and guesses the unit from its size.
func bare(number string, v float64, d wanted) *Error {
	return &Error{
		Text: number,
		What: "quantity has no unit: " + number,
		Fix:  fmt.Sprintf(`write "%s %s" if that is meant; units of %s: %s`, number, likelyUnit(v, d), d.words().singular, unitList(d)),
	}
}

// likelyUnit guesses the unit of a bare number from its size on a barrier: a
// height of 1.1 is in metres, one of 1100 in millimetres.
func likelyUnit(v float64, d wanted) string {
	small := func(limit float64, below, above string) string {
		if math.Abs(v) < limit {
			return below
		}
		return above
	}
	if d.system == US {
		switch d.Dimension {
		case Pressure:
			return small(30e3, "ksi", "psi") // E is 29000 ksi, and fy 36000 psi
		case RotationalStiffness:
			return small(2000, "kip-ft/rad", "lbf-ft/rad")
		}
		return d.units()[0]
	}
	switch d.Dimension {
	case Length:
		return small(20, "m", "mm")
	case Force:
		return small(20, "kN", "N")
	case LineLoad:
		return small(20, "kN/m", "N/m")
	case Pressure:
		if math.Abs(v) < 20 {
			return "kN/m2"
		}
		return small(1e6, "MPa", "Pa")
	case AreaLoad:
		return small(20, "kN/m2", "N/m2")
	case Moment:
		return small(20, "kNm", "Nm")
	case RotationalStiffness:
		return small(2000, "kNm/rad", "Nm/rad")
	}
	return d.units()[0]
}

// judgeNumber refuses a number that is missing or malformed.
func judgeNumber(s, number, rest string, d wanted) *Error {
	unsigned := strings.TrimLeft(number, "+-")
	signs := number[:len(number)-len(unsigned)]
	switch {
	case number == "":
		return noNumber(s, d)
	case len(signs) > 1:
		return &Error{What: quote(s) + " has two signs", Fix: "write " + quote(signs[:1]+unsigned+space(rest))}
	case strings.Contains(unsigned, ","):
		return comma(s, signs, unsigned, rest)
	case strings.Contains(unsigned, "_"):
		return &Error{What: quote(s) + " has an underscore in its number", Fix: "write " + quote(signs+strings.ReplaceAll(unsigned, "_", "")+space(rest))}
	case strings.Contains(unsigned, ".."):
		return &Error{What: "more than one number in " + quote(s), Fix: oneNumber(d)}
	case strings.Count(unsigned, ".") > 1:
		return &Error{What: quote(unsigned) + " is not a number: it has more than one decimal point", Fix: "write one decimal point, such as " + examples(d)}
	case rest != "" && isDigit(rest[0]):
		return spacedDigits(s, number, rest, d)
	case len(rest) > 1 && strings.ContainsRune("+-±~", []rune(rest)[0]):
		return &Error{What: "more than one number in " + quote(s), Fix: oneNumber(d)}
	}
	return nil
}

// noNumber explains a text that does not begin with a number.
func noNumber(s string, d wanted) *Error {
	word := strings.ToLower(strings.TrimLeft(s, "+-"))
	first, _, _ := strings.Cut(word, " ")
	switch first {
	case "nan", "inf", "infinity", "∞":
		return &Error{What: "not a finite number: " + s, Fix: example(d)}
	}
	if u, known := table().find(s); known {
		return &Error{What: quote(s) + " is a unit without a number", Fix: numberBefore(u, d)}
	}
	return &Error{What: quote(s) + " does not begin with a number", Fix: example(d)}
}

func numberBefore(u unit, d wanted) string {
	if u.dimension != d.measured() {
		return example(d)
	}
	return "write the number before it, such as " + examples(d)
}

// comma explains a number with a comma, which may group thousands or mark
// decimals.
func comma(s, sign, unsigned, rest string) *Error {
	e := &Error{What: quote(s) + " has a comma, which may group thousands or mark decimals"}
	joined := quote(sign + strings.ReplaceAll(unsigned, ",", "") + space(rest))
	before, after, _ := strings.Cut(unsigned, ",")
	pointed := quote(sign + before + "." + after + space(rest))
	grouped := isGrouped(strings.Split(strings.SplitN(unsigned, ".", 2)[0], ","))
	single := strings.Count(unsigned, ",") == 1 && !strings.Contains(unsigned, ".")
	switch {
	case grouped && single:
		e.Fix = "write " + joined + " or " + pointed
	case grouped:
		e.Fix = "write " + joined
	case single && before != "" && after != "":
		e.Fix = "write " + pointed
	default:
		e.Fix = "write a number without commas"
	}
	return e
}

// isGrouped reports whether digits are cut in thousands: 1 to 3 digits, then
// one or more threes.
func isGrouped(groups []string) bool {
	if len(groups) < 2 || len(groups[0]) < 1 || len(groups[0]) > 3 || groups[0][0] == '0' {
		return false
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return false
		}
	}
	return true
}

// spacedDigits explains digits after a space: thousands set apart, or a second
// number.
func spacedDigits(s, number, rest string, d wanted) *Error {
	groups := strings.Fields(strings.TrimLeft(number, "+-") + " " + rest)
	digits := 0
	for digits < len(groups) && strings.Trim(groups[digits], "0123456789") == "" {
		digits++
	}
	if isGrouped(groups[:digits]) {
		joined := number + strings.Join(groups[1:digits], "")
		return &Error{What: quote(s) + " has a space in its number", Fix: "write " + quote(joined+space(strings.Join(groups[digits:], " ")))}
	}
	return &Error{What: "more than one number in " + quote(s), Fix: oneNumber(d)}
}

// oneNumber says how a single quantity is written, and a range where one is
// allowed.
func oneNumber(d wanted) string {
	fix := "write one number with its unit, such as " + examples(d)
	switch {
	case d.Dimension == RotationalStiffness && d.system == US:
		fix += `; a range is a list, ["45 kip-ft/rad", "150 kip-ft/rad"]`
	case d.Dimension == RotationalStiffness:
		fix += `; a range is a list, ["60 kNm/rad", "200 kNm/rad"]`
	}
	return fix
}

// unitFor returns the unit of that name if it measures the dimension.
func unitFor(s, number, name string, d wanted) (unit, *Error) {
	u, known := table().find(name)
	switch {
	case known && u.dimension == d.measured():
		return u, nil
	case known:
		return unit{}, wrongDimension(number, u, name, d)
	}
	return unit{}, unknownUnit(s, number, name, d)
}

// wrongDimension explains a unit that measures something else. An empty number
// stands for one that is not to be repeated.
func wrongDimension(number string, u unit, name string, d wanted) *Error {
	e := &Error{
		What: fmt.Sprintf("%s is %s, %s is wanted: %s", name, u.dimension.words().singular, d.words().singular, unitList(d)),
		Fix:  example(d),
	}
	if likely := slip(u, d); likely != "" && number != "" {
		e.Fix = "write " + quote(number+" "+likely) + " if that is meant"
	}
	return e
}

// slip returns the unit of the dimension that is often meant by a unit of
// another one, or "".
func slip(u unit, d wanted) string {
	switch {
	case u.name() == "lb" && d.Dimension == Force:
		return "lbf"
	case u.name() == "kg" && d.Dimension == Force:
		return "kgf"
	case u.name() == "kn" && d.Dimension == Force:
		return "kN"
	case u.name() == "kN" && d.Dimension == Velocity:
		return "kn"
	case u.name() == "lb/ft2" && d.measured() == Pressure, u.name() == "lbf" && d.Dimension == AreaLoad:
		return "psf"
	case u.name() == "psf" && d.Dimension == AreaMass:
		return "lb/ft2"
	case u.name() == "kg" && d.Dimension == AreaMass:
		return "kg/m2"
	case u.name() == "lbf" && d.Dimension == Mass:
		return "lb"
	case u.name() == "kgf" && d.Dimension == Mass:
		return "kg"
	case u.dimension == Moment && d.Dimension == LineLoad, u.dimension == LineLoad && d.Dimension == Moment:
		return turned(u.name(), d.Dimension)
	}
	for _, wanted := range d.units() {
		if strings.HasPrefix(wanted, u.name()+"/") || strings.HasPrefix(u.name(), wanted+"/") {
			return wanted
		}
	}
	return ""
}

// turned returns the line load for a moment of the same two units and the
// other way about: Nm and N/m.
func turned(name string, d Dimension) string {
	for _, pair := range [][2]string{{"Nm", "N/m"}, {"kNm", "kN/m"}, {"Nmm", "N/mm"}, {"lbf-ft", "lbf/ft"}, {"lbf-in", "lbf/in"}, {"kip-ft", "kip/ft"}} {
		switch {
		case d == LineLoad && pair[0] == name:
			return pair[1]
		case d == Moment && pair[1] == name:
			return pair[0]
		}
	}
	return ""
}

// unknownUnit explains a unit that this package does not read, with the
// nearest that it does.
func unknownUnit(s, number, name string, d wanted) *Error {
	if first, rest, two := strings.Cut(name, " "); two && rest != "" && (isDigit(rest[0]) || len(rest) > 1 && isDigit(rest[1])) {
		if _, known := table().find(first); known {
			return &Error{What: "more than one number in " + quote(s), Fix: oneNumber(d)}
		}
	}
	if strings.EqualFold(name, "mil") || strings.EqualFold(name, "mils") {
		return &Error{What: quote(name) + " may be a millimetre or a thousandth of an inch", Fix: "write mm, um or in"}
	}
	if d.Dimension == Angle && slices.Contains([]string{"grad", "grads", "gon", "gradian", "gradians"}, strings.ToLower(name)) {
		return &Error{What: "unknown unit " + quote(name) + ", an angle is wanted: " + unitList(d), Fix: "write deg, of which a gradian is 0.9"}
	}
	e := &Error{
		What: fmt.Sprintf("unknown unit %s, %s is wanted: %s", quote(name), d.words().singular, unitList(d)),
		Fix:  example(d),
	}
	if likely, ok := likelyUnitNamed(name, d.Dimension); ok {
		e.Fix = "write " + quote(number+" "+likely)
	}
	return e
}

// example returns how the dimension is written.
func example(d wanted) string {
	return "write " + d.words().singular + " such as " + examples(d)
}

func examples(d wanted) string {
	e := d.examples()
	return quote(e[0]) + " or " + quote(e[1])
}

// unitList lists the units of the dimension. Those of a rotational stiffness
// are told once for both angles.
func unitList(d wanted) string {
	names := d.units()
	if d.Dimension != RotationalStiffness {
		return strings.Join(names, ", ")
	}
	perRadian := slices.DeleteFunc(names, func(name string) bool { return strings.HasSuffix(name, "/deg") })
	return strings.Join(perRadian, ", ") + ", or the same per deg"
}

// space returns the unit with a space before it, or nothing.
func space(name string) string {
	if name == "" {
		return ""
	}
	return " " + name
}

// quote puts a text in quotes for a message: back quotes if it holds an inch
// mark. A long text is cut.
func quote(text string) string {
	if r := []rune(text); len(r) > 40 {
		text = string(r[:40]) + "..."
	}
	if strings.Contains(text, `"`) && strconv.CanBackquote(text) {
		return "`" + text + "`"
	}
	return strconv.Quote(text)
}
