package quantity

import (
	"strings"

	"example.com/stanchion/internal/nearest"
)

// likelyUnitNamed returns the unit of the dimension that a misspelt name most likely
// stands for: the one whose spelling, or whose everyday name, is the fewest edits away,
// a slip of the case being none. ok is false if no unit is near.
func likelyUnitNamed(name string, d Dimension) (likely string, ok bool) {
	typed := strings.ToLower(settle(name))
	limit := len(typed) / 3
	if len(typed) < 3 {
		limit = 0
	}
	near := nearest.Of(unitNames(d), func(n unitName) int {
		return nearest.Edits(typed, strings.ToLower(settle(n.spelling)))
	}, limit)
	if len(near) == 0 {
		return "", false
	}
	return near[0].unit, true
}

// unitName is one way of writing or calling a unit.
type unitName struct{ spelling, unit string }

// unitNames returns what the units of a dimension are called: their spellings, then the
// everyday names.
func unitNames(d Dimension) []unitName {
	var names []unitName
	for _, u := range table().units {
		if u.dimension != d.measured() || u.name() == "MN" {
			continue // "mN" is as likely a millinewton as a slip for "MN"
		}
		for _, s := range u.spellings {
			names = append(names, unitName{s, u.name()})
		}
	}
	for _, e := range everyday() {
		if u, _ := table().find(e.unit); u.dimension == d.measured() {
			for word := range strings.FieldsSeq(e.words) {
				names = append(names, unitName{word, e.unit})
			}
		}
	}
	return names
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
		{"lbs/ft2", "psf"},
		{"lbs/ft2", "lb/ft2"},
		{"lb/in2 lbs/in2", "psi"},
		{"lb-ft lbs-ft ft-lb ft-lbs", "lbf-ft"},
		{"lb-in lbs-in in-lb in-lbs", "lbf-in"},
		{"lb-ft/rad ft-lb/rad", "lbf-ft/rad"},
		{"lb-in/rad in-lb/rad", "lbf-in/rad"},
		{"pcf", "lb/ft3"},
		{"kelvin kelvins", "K"},
		{"C celsius centigrade", "degC"},
		{"F fahrenheit", "degF"},
		{"radian radians", "rad"},
		{"yrs y annum", "years"},
	}
}
