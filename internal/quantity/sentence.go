package quantity

import (
	"fmt"
	"math"
)

// Amount is an SI value in a sentence. Each reader gets it in his own units.
type Amount struct {
	value float64
	print func(float64, System) string
}

// In prints the amount with its unit.
func (a Amount) In(s System) string { return a.print(a.value, s) }

// Of is an SI value of the dimension, printed as [Format] prints it.
func Of(v float64, d Dimension) Amount {
	return Amount{v, func(v float64, s System) string { return Format(v, d, s) }}
}

// Size is a length in m as a drawing gives it: "1100 mm", "43.307 in".
func Size(v float64) Amount { return Of(v, Length) }

// Film is the thickness of a coating in m, told in the same unit to every reader: "85 um".
func Film(v float64) Amount {
	return Amount{v, func(v float64, _ System) string { return withUnit(dropZeros(Fix(In(v, "um"), 1)), v, "um") }}
}

// Place is a place along the run or a long length, in m: "9.000 m", 29'6.33".
func Place(v float64) Amount {
	return Amount{v, func(v float64, s System) string {
		if s == US {
			return FeetAndInchesShort(v, 2)
		}
		return FormatIn(v, "m", 3)
	}}
}

// Modulus is a modulus of elasticity or shear, in Pa: "210 GPa", "29000 ksi".
func Modulus(v float64) Amount {
	return Amount{v, func(v float64, s System) string {
		if s == US {
			return FormatIn(v, "ksi", 0)
		}
		return withUnit(dropZeros(Fix(In(v, "GPa"), 1)), v, "GPa")
	}}
}

// FeetAndInches prints a length in m in feet and inches to a hundredth of an inch:
// "29 ft 6.33 in", "-0 ft 4.00 in".
func FeetAndInches(v float64) string { return inFeet(v, 2, " ft ", " in") }

// FeetAndInchesShort prints the same without spaces, with so many decimals of an inch:
// 29'6.33".
func FeetAndInchesShort(v float64, digits int) string { return inFeet(v, digits, "'", `"`) }

func inFeet(v float64, digits int, feetMark, inchMark string) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Fix(v, 0)
	}
	parts := math.Pow10(digits) // of an inch
	all := math.Round(math.Abs(In(v, "in")) * parts)
	sign := ""
	if v < 0 && all > 0 {
		sign = "-"
	}
	feet := math.Floor(all / (12 * parts))
	return sign + Fix(feet, 0) + feetMark + Fix((all-12*parts*feet)/parts, digits) + inchMark
}

// Sentence is text with amounts in it, kept apart until someone reads it. The zero
// Sentence is empty.
type Sentence struct {
	format string
	args   []any
}

// Say makes a sentence as [fmt.Sprintf] would: an [Amount] and a Sentence among the
// arguments stand for %s.
func Say(format string, args ...any) Sentence { return Sentence{format, args} }

// In returns the sentence in a system of units.
func (s Sentence) In(system System) string {
	args := make([]any, len(s.args))
	for i, arg := range s.args {
		switch a := arg.(type) {
		case Amount:
			args[i] = a.In(system)
		case Sentence:
			args[i] = a.In(system)
		default:
			args[i] = arg
		}
	}
	return fmt.Sprintf(s.format, args...)
}
