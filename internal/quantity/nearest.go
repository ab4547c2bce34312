package quantity

import "strings"

// nearest returns the unit of the dimension that a misspelt name most likely
// stands for: the one whose spelling, or whose everyday name, is the fewest
// edits away, a slip of the case being none. ok is false if no unit is near.
func nearest(name string, d Dimension) (likely string, ok bool) {
	typed := strings.ToLower(settle(name))
	best := 1 + len(typed)/3
	if len(typed) < 3 {
		best = 1
	}
	try := func(spelling, unitName string) {
		if n := edits(typed, strings.ToLower(settle(spelling))); n < best {
			best, likely = n, unitName
		}
	}
	for _, u := range table().units {
		if u.dimension != d || u.name() == "MN" {
			continue // "mN" is as likely a millinewton as a slip for "MN"
		}
		for _, s := range u.spellings {
			try(s, u.name())
		}
	}
	for _, e := range everyday() {
		if u, _ := table().find(e.unit); u.dimension == d {
			for word := range strings.FieldsSeq(e.words) {
				try(word, e.unit)
			}
		}
	}
	return likely, likely != ""
}

// everydayName is what a unit is called where its own name is not used.
type everydayName struct{ words, unit string }

// everyday returns words that are not read but point to a unit: names in full,
// and a pound that does not say whether it is a force.
func everyday() []everydayName {
	return []everydayName{
		{"metre meter metres meters", "m"},
		{"millimetre millimeter millimetres millimeters", "mm"},
		{"centimetre centimeter centimetres centimeters", "cm"},
		{"micron microns micrometre micrometer micrometres micrometers", "um"},
		{"newton newtons", "N"},
		{"kilonewton kilonewtons", "kN"},
		{"lbs pound pounds #", "lbf"},
		{"lbs pound pounds #", "lb"},
		{"kilogram kilograms kgs kilo kilos", "kg"},
		{"lb/ft lbs/ft", "lbf/ft"},
		{"lb/in lbs/in pli", "lbf/in"},
		{"klf", "kip/ft"},
		{"lb/ft2 lbs/ft2", "psf"},
		{"lb/in2 lbs/in2", "psi"},
		{"lb-ft lbs-ft ft-lb ft-lbs", "lbf-ft"},
		{"lb-in lbs-in in-lb in-lbs", "lbf-in"},
		{"lb-ft/rad ft-lb/rad", "lbf-ft/rad"},
		{"lb-in/rad in-lb/rad", "lbf-in/rad"},
		{"pcf", "lb/ft3"},
		{"radian radians", "rad"},
		{"yrs y annum", "years"},
	}
}

// edits counts the insertions, deletions, substitutions and swaps of
// neighbours that turn a into b (optimal string alignment).
func edits(a, b string) int {
	from, to := []rune(a), []rune(b)
	rows := make([][]int, len(from)+1)
	for i := range rows {
		rows[i] = make([]int, len(to)+1)
		rows[i][0] = i
	}
	for j := range to {
		rows[0][j+1] = j + 1
	}
	for i := 1; i <= len(from); i++ {
		for j := 1; j <= len(to); j++ {
			change := 1
			if from[i-1] == to[j-1] {
				change = 0
			}
			n := min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+change)
			if i > 1 && j > 1 && from[i-1] == to[j-2] && from[i-2] == to[j-1] {
				n = min(n, rows[i-2][j-2]+1)
			}
			rows[i][j] = n
		}
	}
	return rows[len(from)][len(to)]
}
