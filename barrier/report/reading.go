package report

import (
	"math"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// reading is the unit in which people read a value of the result. Places along the run
// and heights are read in feet and inches in US units, which carry their marks with them.
type reading struct {
	unit   string
	digits int
}

// feetAndInches marks a length that is read as 29'6.33".
const feetAndInches = "ft in"

// readings returns, for a unit of the result, what metric and US readers get.
func readings(unit string) (metric, us reading) {
	switch unit {
	case "m":
		return reading{"m", 3}, reading{feetAndInches, 0}
	case "mm":
		return reading{"mm", 1}, reading{"in", 3}
	case "N":
		return reading{"N", 0}, reading{"lbf", 0}
	case "N/m":
		return reading{"kN/m", 3}, reading{"lbf/ft", 1}
	case "N/m2":
		return reading{"kN/m2", 3}, reading{"lbf/ft2", 1}
	case "Nm":
		return reading{"Nm", 1}, reading{"lbf-ft", 1}
	case "MPa":
		return reading{"MPa", 1}, reading{"ksi", 2}
	case "kPa":
		return reading{"kPa", 3}, reading{"psf", 1}
	case "kPa/m":
		return reading{"kPa/m", 3}, reading{"psf/ft", 1}
	case "Nm/rad":
		return reading{"kNm/rad", 1}, reading{"kip-ft/rad", 1}
	case "1", "":
		return reading{"", 3}, reading{"", 3}
	}
	return reading{unit, 3}, reading{unit, 3}
}

func (p *printer) reading(unit string) reading { return readingIn(p.units, unit) }

func readingIn(units quantity.System, unit string) reading {
	metric, us := readings(unit)
	if units == quantity.US {
		return us
	}
	return metric
}

// in converts a value of the result for the reader.
func (p *printer) in(value float64, unit string) float64 { return readIn(p.units, value, unit) }

// readIn converts a value of the result for readers of a system of units.
func readIn(units quantity.System, value float64, unit string) float64 {
	read := readingIn(units, unit)
	if read.unit == unit || read.unit == "" {
		return value
	}
	from, _, ok := quantity.UnitNamed(unit)
	if !ok {
		return value
	}
	return quantity.In(value*from.Scale, read.unit)
}

// number prints a value without its unit.
func (p *printer) number(value float64, unit string) string {
	if p.reading(unit).unit == feetAndInches {
		return quantity.FeetAndInchesShort(value, 2)
	}
	return quantity.Fix(p.in(value, unit), p.reading(unit).digits)
}

// value prints a value with its unit.
func (p *printer) value(value float64, unit string) string {
	return strings.TrimSpace(p.number(value, unit) + " " + p.unit(unit))
}

// unit returns the reader's unit for one of the result.
func (p *printer) unit(unit string) string {
	if read := p.reading(unit).unit; read != feetAndInches {
		return read
	}
	return ""
}

// measure heads a column of values of the result with the reader's unit.
func (p *printer) measure(head, unit string) Column {
	c := Numbers(strings.TrimSuffix(head+"\n"+p.unit(unit), "\n"))
	c.unit = p.unit(unit)
	return c
}

// stepIn converts the value of a step of a trail for readers of a system of units, with the unit
// to print; sections are read in powers of the inch.
func stepIn(units quantity.System, value float64, unit string) (float64, string) {
	if units != quantity.US {
		return value, strings.TrimPrefix(unit, "1")
	}
	const inch = 25.4 // mm, exact
	for power, unitOf := range [...][2]string{{"mm", "in"}, {"mm²", "in²"}, {"mm³", "in³"}, {"mm⁴", "in⁴"}} {
		if unit == unitOf[0] {
			return value / math.Pow(inch, float64(power+1)), unitOf[1]
		}
	}
	if unit == "N/mm" {
		return readIn(units, value*1e3, "N/m") / 12 / 1000, "kip/in"
	}
	return readIn(units, value, unit), readingIn(units, unit).unit
}

// Utilisation prints demand over resistance rounded up at the third digit; one
// that has no bound, or that nothing checked, says so.
func Utilisation(u *float64, status check.Status) string {
	if u != nil {
		return roundedUp(*u)
	}
	if status == check.Fail {
		return "no bound"
	}
	return "-"
}

// roundedUp prints 0.5981 as 0.599.
func roundedUp(u float64) string { return quantity.Fix(check.RoundedUp(u), 3) }

// barTicks is the length of the bar of a utilisation of 1.
const barTicks = 10

// bar draws a utilisation as a row of strokes against the length that stands
// for 1; what goes past it ends in an arrow.
func bar(u *float64) string {
	if u == nil {
		return ""
	}
	full := int(math.Ceil(*u*barTicks - 1e-6))
	if *u > 1 {
		return strings.Repeat("=", barTicks) + ">"
	}
	full = min(max(full, 0), barTicks)
	return strings.Repeat("=", full) + strings.Repeat(".", barTicks-full)
}
