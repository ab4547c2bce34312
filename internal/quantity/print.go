package quantity

import (
	"math"
	"strconv"
	"strings"
)

// System is the family of units in which people read a report.
type System int

// The systems of units.
const (
	Metric System = iota
	US
)

// ParseSystem reads the name of a system of units, "metric" or "US". The error is an *Error.
func ParseSystem(text string) (System, error) {
	switch text {
	case "metric":
		return Metric, nil
	case "US":
		return US, nil
	}
	e := &Error{Text: text, What: "unknown system of units " + quote(text), Fix: `write "metric" or "US"`}
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "metric", "si":
		e.Fix = `write "metric"`
	case "us", "imperial", "inch", "usa":
		e.Fix = `write "US"`
	}
	return 0, e
}

// String returns the system as [ParseSystem] reads it.
func (s System) String() string {
	if s == US {
		return "US"
	}
	return "metric"
}

// display is how a dimension stands in a table.
type display struct {
	unit   string
	digits int  // decimals, at most
	short  bool // trailing zeros of the decimals are dropped: 1100 mm, 48.3 mm
}

// shown returns how a dimension is shown. What a drawing gives (lengths,
// stiffnesses, ages, winds) is short; what is calculated keeps its decimals.
func shown(d Dimension, s System) display {
	if s == US {
		switch d {
		case Length:
			return display{"in", 3, true}
		case Force:
			return display{"lbf", 1, false}
		case LineLoad:
			return display{"lbf/ft", 1, false}
		case Pressure:
			return display{"ksi", 2, false}
		case Moment:
			return display{"lbf-ft", 0, false}
		case RotationalStiffness:
			return display{"kip-ft/rad", 3, true}
		case Density:
			return display{"lb/ft3", 1, true}
		case Mass:
			return display{"lb", 1, false}
		case AreaMass:
			return display{"lb/ft2", 2, true}
		case Velocity:
			return display{"mph", 1, true}
		case AreaLoad:
			return display{"psf", 1, false}
		case Warmth:
			return display{"degF", 1, true}
		case PressurePerDepth:
			return display{"psf/ft", 1, true}
		case CoatingMass:
			return display{"oz/ft2", 2, true}
		}
	}
	switch d {
	case Length:
		return display{"mm", 2, true}
	case Force:
		return display{"kN", 3, false}
	case LineLoad:
		return display{"kN/m", 3, false}
	case Pressure:
		return display{"MPa", 1, false}
	case Moment:
		return display{"kNm", 3, false}
	case RotationalStiffness:
		return display{"kNm/rad", 3, true}
	case Angle:
		return display{"deg", 2, true}
	case Density:
		return display{"kg/m3", 1, true}
	case Mass:
		return display{"kg", 1, false}
	case AreaMass:
		return display{"kg/m2", 2, true}
	case Velocity:
		return display{"m/s", 2, true}
	case Warmth:
		return display{"K", 1, true}
	case Duration:
		return display{"years", 2, true}
	case AreaLoad:
		return display{"kN/m2", 2, false}
	case PressurePerDepth:
		return display{"kPa/m", 2, true}
	case Rate:
		return display{"um/year", 3, true}
	case CoatingMass:
		return display{"g/m2", 1, true}
	}
	panic("quantity: unknown dimension")
}

// Display returns the unit in which a table shows the dimension. Other units,
// such as metres for a position along the run, come from [UnitNamed].
func Display(d Dimension, s System) Unit {
	u, _, _ := UnitNamed(shown(d, s).unit)
	return u
}

// Format prints the SI value v of the dimension with its unit: "0.450 kN",
// "1100 mm", "150 kNm/rad". An infinity and a NaN print as [Fix] prints them,
// without a unit.
func Format(v float64, d Dimension, s System) string {
	show := shown(d, s)
	u, _, _ := UnitNamed(show.unit)
	number := Fix(u.In(v), show.digits)
	if show.short {
		number = dropZeros(number)
	}
	return withUnit(number, u.In(v), show.unit)
}

// FormatIn prints the SI value v in the unit named, in any accepted spelling,
// with a fixed number of decimals: FormatIn(3.75, "m", 3) is "3.750 m". The
// name is printed as given. It panics if no unit has that name.
func FormatIn(v float64, unitName string, digits int) string {
	x := In(v, unitName)
	return withUnit(Fix(x, digits), x, unitName)
}

// In returns the SI value v in the unit named, for a column that has its unit
// in the heading. It panics if no unit has that name.
func In(v float64, unitName string) float64 {
	u, _, ok := UnitNamed(unitName)
	if !ok {
		panic("quantity: unknown unit " + unitName)
	}
	return u.In(v)
}

func withUnit(number string, v float64, unitName string) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return number
	}
	return number + " " + unitName
}

// Fix prints v with a fixed number of decimals, not less than zero. There is no
// negative zero and no mark between thousands; an infinity prints as "inf" or
// "-inf" and a NaN, a value that is not there, as "-".
func Fix(v float64, digits int) string {
	if digits < 0 {
		panic("quantity: negative number of decimals")
	}
	switch {
	case math.IsNaN(v):
		return "-"
	case math.IsInf(v, 1):
		return "inf"
	case math.IsInf(v, -1):
		return "-inf"
	}
	number := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.HasPrefix(number, "-") && strings.Trim(number, "-0.") == "" {
		return number[1:]
	}
	return number
}

// Figures rounds v to n significant figures, n at least 1. There is no negative zero; an
// infinity and a NaN stay what they are.
func Figures(v float64, n int) float64 {
	if n < 1 {
		panic("quantity: no significant figures")
	}
	if rounded, sure := figures(v, n); sure {
		return rounded
	}
	var room [32]byte
	rounded, err := strconv.ParseFloat(string(strconv.AppendFloat(room[:0], v, 'g', n, 64)), 64)
	switch {
	case err != nil:
		return v // next to the largest float64, beyond which it would be rounded
	case rounded == 0:
		return 0
	}
	return rounded
}

// figures rounds v where arithmetic is sure to give what its decimals do: where powers of ten are exact, so that
// there is one rounding on the way to n whole digits and one back, and what is cut off is not about half a unit.
func figures(v float64, n int) (rounded float64, sure bool) {
	const exact, mostFigures, nearHalf = 22, 12, 0.499
	if v == 0 {
		return 0, true
	}
	shift := float64(n-1) - math.Floor(math.Log10(math.Abs(v)))
	if n > mostFigures || !(math.Abs(shift) <= exact) {
		return 0, false
	}
	up, down := math.Pow10(int(max(shift, 0))), math.Pow10(int(max(-shift, 0)))
	digits := v * up / down
	whole := math.RoundToEven(digits)
	least := math.Pow10(n - 1)
	if size := math.Abs(digits); size < least || size >= 10*least || math.Abs(digits-whole) > nearHalf {
		return 0, false
	}
	return whole * down / up, true
}

// dropZeros drops the zeros that end the decimals of a printed number.
func dropZeros(number string) string {
	if !strings.Contains(number, ".") {
		return number
	}
	return strings.TrimSuffix(strings.TrimRight(number, "0"), ".")
}
