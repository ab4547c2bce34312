package quantity

import (
	"math/big"
	"strings"
	"sync"
)

// Unit is a unit of measurement as it is printed.
type Unit struct {
	Name   string  // as printed and read: "kN/m"
	Scale  float64 // SI value of one unit
	Source string  // what fixes the factor

	perSI float64 // units in one SI unit, rounded from the exact factor
}

// In returns the SI value v in the unit.
func (u Unit) In(v float64) float64 {
	// The larger of the two factors is a whole number for every decimal unit,
	// which keeps 1.1 m at 1100 mm exactly.
	if u.Scale < 1 {
		return v * u.perSI
	}
	return v / u.Scale
}

// UnitNamed returns the unit of that name in any accepted spelling and its
// dimension; ok is false for a name that is not known.
func UnitNamed(name string) (u Unit, d Dimension, ok bool) {
	t := table()
	at, ok := t.place(name)
	if !ok {
		return Unit{}, 0, false
	}
	return t.printed[at], t.units[at].dimension, true
}

// unit is a row of the unit table.
type unit struct {
	system    System // US or Metric, of which it is a unit
	dimension Dimension
	spellings []string // accepted, the printed one first
	factor    *big.Rat // SI value of one unit, exact (π to 40 digits)
	source    string
}

func (u unit) name() string { return u.spellings[0] }

func (u unit) printed() Unit {
	scale, _ := u.factor.Float64()
	perSI, _ := new(big.Rat).Inv(u.factor).Float64()
	return Unit{Name: u.name(), Scale: scale, Source: u.source, perSI: perSI}
}

// unitTable holds the units in the order in which they are offered, and by
// their settled spelling.
type unitTable struct {
	units   []unit
	printed []Unit
	byName  map[string]int
}

// find looks a spelling up.
func (t unitTable) find(spelling string) (unit, bool) {
	i, ok := t.place(spelling)
	if !ok {
		return unit{}, false
	}
	return t.units[i], true
}

// place returns the place of a spelling. The names that are printed are their own settled spelling, most of
// them.
func (t unitTable) place(spelling string) (i int, ok bool) {
	if i, ok = t.byName[spelling]; !ok {
		i, ok = t.byName[settle(spelling)]
	}
	return i, ok
}

// settle brings the ways of writing one unit together: "N·m", "N.m", "N-m" and
// "N m" are one, and so are "µm" and "um", "N/mm²" and "N/mm^2" and "N/mm2",
// "um per year" and "um/year", "in." and "in".
func settle(spelling string) string {
	s := signs().Replace(strings.Join(strings.Fields(spelling), " "))
	if len(s) > 1 {
		s = strings.TrimSuffix(s, ".")
	}
	return dots().Replace(s)
}

// signs replaces what is written for micro, powers and quotients.
var signs = sync.OnceValue(func() *strings.Replacer {
	return strings.NewReplacer(
		"µ", "u", "μ", "u", "²", "2", "³", "3", "^", "",
		" per ", "/", " / ", "/", " /", "/", "/ ", "/",
	)
})

// dots replaces what is written for the dot of a product.
var dots = sync.OnceValue(func() *strings.Replacer {
	return strings.NewReplacer(
		" · ", "·", " ⋅ ", "·", " * ", "·", " - ", "·",
		"⋅", "·", "•", "·", "*", "·", ".", "·", "-", "·", " ", "·",
	)
})

// table returns the units this package reads.
//
// The defined units carry the factor and the definition that fixes it; every
// other one is a product or quotient of those, worked out exactly.
var table = sync.OnceValue(func() unitTable {
	const (
		si         = "SI unit or a decimal multiple of it"
		calendar   = "the year is the program's own unit of time"
		foot       = "1 in = 0.0254 m and 1 ft = 12 in exactly: international yard and pound agreement of 1959; NIST SP 811 B.8"
		pound      = "1 lb = 0.45359237 kg exactly: international yard and pound agreement of 1959; NIST SP 811 B.8"
		ounce      = "1 oz = 1/16 lb and 1 lb = 0.45359237 kg exactly: international yard and pound agreement of 1959; NIST SP 811 B.8"
		weight     = "standard acceleration of free fall 9.80665 m/s² exactly: 3rd CGPM 1901; NIST SP 811 B.8"
		poundForce = "1 lbf = 0.45359237 kg × 9.80665 m/s² = 4.4482216152605 N exactly; NIST SP 811 B.8"
		imperial   = "1 lbf = 4.4482216152605 N and 1 in = 0.0254 m exactly; NIST SP 811 B.8"
		sea        = "1 nautical mile = 1852 m exactly: First International Extraordinary Hydrographic Conference 1929; NIST SP 811 B.8"
		mile       = "1 mi = 5280 ft and 1 ft = 0.3048 m exactly: international yard and pound agreement of 1959; NIST SP 811 B.8"
		fahrenheit = "an interval of 1 degF is 5/9 K exactly; NIST SP 811 B.8"
		celsius    = "an interval of 1 degC is 1 K; SI Brochure 2.3.1"
		circle     = "180 deg = π rad; NIST SP 811 B.8"
	)
	m, mm, cm, um := exact("1"), exact("1e-3"), exact("1e-2"), exact("1e-6")
	in := exact("0.0254")
	ft := times(exact("12"), in)
	N, kN, MN := exact("1"), exact("1e3"), exact("1e6")
	kg, lb := exact("1"), exact("0.45359237")
	g0 := exact("9.80665")
	kgf, lbf := times(kg, g0), times(lb, g0)
	kip := times(exact("1000"), lbf)
	rad := exact("1")
	// π to 40 decimals, OEIS A000796.
	deg := per(exact("3.1415926535897932384626433832795028841972"), exact("180"))
	second, year := exact("1"), exact("1")
	hour := times(exact("3600"), second)
	K := exact("1")
	squared := func(l *big.Rat) *big.Rat { return times(l, l) }
	cubed := func(l *big.Rat) *big.Rat { return times(l, times(l, l)) }

	units := []unit{
		{Metric, Length, []string{"mm"}, mm, si},
		{Metric, Length, []string{"m"}, m, si},
		{Metric, Length, []string{"cm"}, cm, si},
		{Metric, Length, []string{"um"}, um, si},
		{US, Length, []string{"in", "inch", "inches", `"`}, in, foot},
		{US, Length, []string{"ft", "foot", "feet", "'"}, ft, foot},

		{Metric, Force, []string{"N"}, N, si},
		{Metric, Force, []string{"kN"}, kN, si},
		{US, Force, []string{"lbf"}, lbf, poundForce},
		{US, Force, []string{"kip", "kips"}, kip, poundForce},
		{Metric, Force, []string{"kgf"}, kgf, weight},
		{Metric, Force, []string{"MN"}, MN, si},

		{Metric, LineLoad, []string{"kN/m"}, per(kN, m), si},
		{Metric, LineLoad, []string{"N/m"}, per(N, m), si},
		{Metric, LineLoad, []string{"N/mm"}, per(N, mm), si},
		{US, LineLoad, []string{"lbf/ft", "plf"}, per(lbf, ft), imperial},
		{US, LineLoad, []string{"lbf/in"}, per(lbf, in), imperial},
		{US, LineLoad, []string{"kip/ft"}, per(kip, ft), imperial},

		{Metric, Pressure, []string{"MPa"}, exact("1e6"), si},
		{Metric, Pressure, []string{"N/mm2"}, per(N, squared(mm)), si},
		{Metric, Pressure, []string{"GPa"}, exact("1e9"), si},
		{Metric, Pressure, []string{"kN/mm2"}, per(kN, squared(mm)), si},
		{Metric, Pressure, []string{"kN/m2"}, per(kN, squared(m)), si},
		{Metric, Pressure, []string{"kPa"}, exact("1e3"), si},
		{Metric, Pressure, []string{"N/m2"}, per(N, squared(m)), si},
		{Metric, Pressure, []string{"Pa"}, exact("1"), si},
		{US, Pressure, []string{"ksi", "kip/in2"}, per(kip, squared(in)), imperial},
		{US, Pressure, []string{"psi", "lbf/in2"}, per(lbf, squared(in)), imperial},
		{US, Pressure, []string{"psf", "lbf/ft2"}, per(lbf, squared(ft)), imperial},

		{Metric, Moment, []string{"kNm", "kN·m"}, times(kN, m), si},
		{Metric, Moment, []string{"Nm", "N·m"}, times(N, m), si},
		{Metric, Moment, []string{"Nmm", "N·mm"}, times(N, mm), si},
		{US, Moment, []string{"lbf-ft", "ft-lbf"}, times(lbf, ft), imperial},
		{US, Moment, []string{"lbf-in", "in-lbf"}, times(lbf, in), imperial},
		{US, Moment, []string{"kip-ft", "ft-kip"}, times(kip, ft), imperial},
		{US, Moment, []string{"kip-in", "in-kip"}, times(kip, in), imperial},
	}
	for _, u := range units {
		if u.dimension == Moment {
			units = append(units, stiffness(u, "/rad", rad, u.source))
		}
	}
	for _, u := range units {
		if u.dimension == Moment {
			units = append(units, stiffness(u, "/deg", deg, strings.TrimPrefix(u.source+"; "+circle, si+"; ")))
		}
	}
	units = append(units, []unit{
		{Metric, Angle, []string{"deg", "degree", "degrees", "°"}, deg, circle},
		{Metric, Angle, []string{"rad"}, rad, si},

		{Metric, Density, []string{"kg/m3"}, per(kg, cubed(m)), si},
		{US, Density, []string{"lb/ft3"}, per(lb, cubed(ft)), pound},

		{Metric, Mass, []string{"kg"}, kg, si},
		{US, Mass, []string{"lb"}, lb, pound},

		{Metric, AreaMass, []string{"kg/m2"}, per(kg, squared(m)), si},
		{US, AreaMass, []string{"lb/ft2"}, per(lb, squared(ft)), pound},

		{Metric, CoatingMass, []string{"g/m2"}, per(exact("1e-3"), squared(m)), si},
		{US, CoatingMass, []string{"oz/ft2"}, per(per(lb, exact("16")), squared(ft)), ounce},

		{Metric, Velocity, []string{"m/s"}, per(m, second), si},
		{Metric, Velocity, []string{"km/h", "kph"}, per(exact("1e3"), hour), "1 h = 3600 s; SI Brochure table 8"},
		{US, Velocity, []string{"mph", "mi/h"}, per(times(exact("5280"), ft), hour), mile},
		{US, Velocity, []string{"ft/s"}, per(ft, second), foot},
		{Metric, Velocity, []string{"kn", "knot", "knots"}, per(exact("1852"), hour), sea},

		{Metric, Warmth, []string{"K"}, K, si},
		{Metric, Warmth, []string{"degC", "°C", "deg C"}, K, celsius},
		{US, Warmth, []string{"degF", "°F", "deg F"}, times(per(exact("5"), exact("9")), K), fahrenheit},

		{Metric, Duration, []string{"years", "year", "yr", "a"}, year, calendar},

		{Metric, PressurePerDepth, []string{"kPa/m", "kN/m2/m", "kN/m3"}, per(exact("1e3"), m), si},
		{US, PressurePerDepth, []string{"psf/ft", "lbf/ft2/ft", "lbf/ft3", "pcf"}, per(lbf, cubed(ft)), imperial},

		{Metric, Rate, []string{"um/year", "um/yr", "um/a"}, per(um, year), si},
		{Metric, Rate, []string{"mm/year", "mm/yr", "mm/a"}, per(mm, year), si},
	}...)
	printed := make([]Unit, len(units))
	for i := range units {
		printed[i] = units[i].printed()
	}
	return unitTable{units, printed, index(units)}
})

// stiffness returns the rotational stiffness of one unit of moment per unit of
// angle.
func stiffness(moment unit, suffix string, angle *big.Rat, source string) unit {
	spellings := make([]string, len(moment.spellings))
	for i, s := range moment.spellings {
		spellings[i] = s + suffix
	}
	return unit{moment.system, RotationalStiffness, spellings, per(moment.factor, angle), source}
}

// index maps each settled spelling to its row.
func index(units []unit) map[string]int {
	byName := make(map[string]int)
	for i, u := range units {
		for _, s := range u.spellings {
			key := settle(s)
			if _, taken := byName[key]; taken {
				panic("quantity: two units are spelt " + s)
			}
			byName[key] = i
		}
	}
	return byName
}

// exact returns a decimal as the rational number it is.
func exact(decimal string) *big.Rat {
	r, ok := new(big.Rat).SetString(decimal)
	if !ok {
		panic("quantity: not a decimal: " + decimal)
	}
	return r
}

func times(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }

func per(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }
