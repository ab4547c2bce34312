// Package quantity reads and prints lengths, forces and the like with their
// units, such as "1100 mm", "0.74 kN/m" or "50 lbf/ft". It is the only place
// where a unit other than SI is turned into SI or back.
//
// Inside the program a quantity is a plain float64 in coherent SI: m, N, N/m,
// Pa, N·m, N·m/rad, rad, kg/m³, kg, kg/m², m/s and K. Two dimensions leave SI, because nobody
// reads years as seconds: a [Duration] is in years and a [Rate] in metres per
// year.
//
// # What is read
//
// A quantity is a number and a unit, with or without a space between them:
//
//	1100 mm   1.1m   -25 mm   1e3 N   235 N/mm²   60 N·m   885 lbf-ft
//	26 m/s   115 mph   4.5 kg/m²   35 K   20 °C   2.5 um/year   550 g/m²
//	42 in   1-1/2 in   3 ft 6 in   3'6"   5 ft 4 1/2 in
//
// Temperatures are read as differences alone: 20 °C is 20 K and 36 °F.
//
// A number without a unit is refused, and so are a comma (it may group
// thousands or mark decimals), a second sign, NaN, infinity, and what float64
// cannot hold. Unit names are case-sensitive, since "MN" is not "mN"; a slip of
// the case is answered with the right spelling. Negative values are read: what
// they mean is for the reader of the quantity to judge.
//
// Unit factors are exact rational numbers (π to 40 digits), and the value is
// rounded once, so "2.01 kN" is the float64 nearest to 2010.
//
// # What is printed
//
// [Fix] prints every number of the program, [Format] a quantity in the unit
// that a table shows, [FormatIn] a quantity in a unit of the caller's choice.
// What they print, [Parse] reads back to the printed precision.
// [Figures] rounds a number to significant figures, for a list or a result.
package quantity
