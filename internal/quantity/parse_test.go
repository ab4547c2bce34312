package quantity

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"example.com/stanchion/internal/verification"
)

// TestParse reads quantities whose SI value is exact by definition, so the
// float64 nearest to it is wanted.
func TestParse(t *testing.T) {
	record := verification.New(t, verification.Units)
	for _, c := range []struct {
		text      string
		dimension Dimension
		want      float64
		source    string
	}{
		{"1100 mm", Length, 1.1, "SI prefix"},
		{"1100mm ", Length, 1.1, "SI prefix"},
		{" 1.1  m", Length, 1.1, "SI prefix"},
		{"110 cm", Length, 1.1, "SI prefix"},
		{"85 um", Length, 85e-6, "SI prefix"},
		{"1e3mm", Length, 1, "SI prefix"},
		{"1.5E-3 m", Length, 0.0015, "SI prefix"},
		{".5 m", Length, 0.5, "SI prefix"},
		{"5. m", Length, 5, "SI prefix"},
		{"+5 mm", Length, 0.005, "SI prefix"},
		{"-5 mm", Length, -0.005, "SI prefix"},
		{"- 5 mm", Length, -0.005, "SI prefix"},
		{"−5 mm", Length, -0.005, "SI prefix"},
		{"1100\u00a0mm", Length, 1.1, "SI prefix; no-break space"},
		{"0e99999999999 m", Length, 0, "zero"},
		{"2.01 kN", Force, 2010, "SI prefix; 2.01*1000 in float64 is not 2010"},
		{"0.74 kN/m", LineLoad, 740, "SI prefix"},
		{"0.74 N/mm", LineLoad, 740, "SI prefix"},
		{"235 N/mm²", Pressure, 235e6, "SI prefix"},
		{"210 GPa", Pressure, 210e9, "SI prefix"},
		{"1 kN/m2", Pressure, 1000, "SI prefix"},
		{"1 kN/m2", AreaLoad, 1000, "SI prefix"},
		{"0.5 MPa", AreaLoad, 5e5, "SI prefix"},
		{"60 N·m", Moment, 60, "SI"},
		{"150 kNm/rad", RotationalStiffness, 150e3, "SI prefix"},
		{"7850 kg/m3", Density, 7850, "SI"},
		{"4.5 kg/m²", AreaMass, 4.5, "SI"},
		{"26 m/s", Velocity, 26, "SI"},
		{"90 km/h", Velocity, 25, "90 000 m in 3600 s"},
		{"115 mph", Velocity, 51.4096, "115 × 1609.344 m in 3600 s"},
		{"36 kn", Velocity, 18.52, "36 × 1852 m in 3600 s"},
		{"35 K", Warmth, 35, "SI"},
		{"-20 °C", Warmth, -20, "an interval of 1 °C is 1 K"},
		{"63 deg F", Warmth, 35, "63 × 5/9 K"},
		{"25 years", Duration, 25, "unit of the program"},
		{"1.4 µm/year", Rate, 1.4e-6, "SI prefix"},
		{"550 g/m²", CoatingMass, 0.55, "SI prefix"},

		{"42 in", Length, 1.0668, "42 × 25.4 mm"},
		{`42"`, Length, 1.0668, "42 × 25.4 mm"},
		{"3.5 ft", Length, 1.0668, "3.5 × 304.8 mm"},
		{"3 ft 6 in", Length, 1.0668, "42 × 25.4 mm"},
		{"3 feet 6 inches", Length, 1.0668, "42 × 25.4 mm"},
		{"3 ft. 6 in.", Length, 1.0668, "42 × 25.4 mm"},
		{"3ft6in", Length, 1.0668, "42 × 25.4 mm"},
		{`3'6"`, Length, 1.0668, "42 × 25.4 mm"},
		{`3'-6"`, Length, 1.0668, "42 × 25.4 mm"},
		{"3' 6''", Length, 1.0668, "42 × 25.4 mm"},
		{"3′ 6″", Length, 1.0668, "42 × 25.4 mm"},
		{"-3 ft 6 in", Length, -1.0668, "42 × 25.4 mm"},
		{"3 ft 0 in", Length, 0.9144, "1 yd = 0.9144 m"},
		{"5 ft 4 1/2 in", Length, 1.6383, "64.5 × 25.4 mm"},
		{`5'-4-1/2"`, Length, 1.6383, "64.5 × 25.4 mm"},
		{"5 ft 1/2 in", Length, 1.5367, "60.5 × 25.4 mm"},
		{"1-1/2 in", Length, 0.0381, "1.5 × 25.4 mm"},
		{"3/4 in", Length, 0.01905, "0.75 × 25.4 mm"},
		{"21 ft", Length, 6.4008, "21 × 304.8 mm"},

		{"1 lbf", Force, 4.4482216152605, "0.45359237 kg × 9.80665 m/s²"},
		{"1 kip", Force, 4448.2216152605, "1000 lbf"},
		{"10 kgf", Force, 98.0665, "10 × 9.80665 N"},
		{"180 deg", Angle, math.Pi, "half a turn"},
		{"90°", Angle, math.Pi / 2, "quarter of a turn"},
		{"180 Nm/deg", RotationalStiffness, 180 * 180 / math.Pi, "180/π deg in a radian"},
		{"100 lb", Mass, 45.359237, "100 × 0.45359237 kg"},
	} {
		v, err := Parse(c.text, c.dimension)
		if c.source != "unit of the program" {
			record.From("quantities as they are written", c.source, verification.Derived).Add(readAs(c.text, c.dimension), c.want, v)
		}
		if err != nil || v != c.want || math.Signbit(v) != math.Signbit(c.want) {
			t.Errorf("Parse(%q, %v) = %.17g, %v; want %.17g; source: %s", c.text, c.dimension, v, err, c.want, c.source)
		}
		if !regexp.MustCompile(c.dimension.Pattern()).MatchString(c.text) {
			t.Errorf("%q is no text of the pattern of %v", c.text, c.dimension)
		}
	}
	if v, err := Parse("-0 mm", Length); err != nil || math.Signbit(v) {
		t.Errorf(`Parse("-0 mm") = %v, %v; want 0 without a sign`, v, err)
	}
}

// readAs tells a text, and the unit in which the program holds what it says.
func readAs(text string, d Dimension) string {
	_, unit, _ := strings.Cut(inSI("", d), ", ")
	return fmt.Sprintf("%q as %v, %s", strings.TrimSpace(text), d, unit)
}

// TestParseAgainstCodes reads US values for which the codes print SI values
// beside, within half a unit of the last figure they print.
func TestParseAgainstCodes(t *testing.T) {
	record := verification.New(t, verification.Units)
	for _, c := range []struct {
		text       string
		dimension  Dimension
		want, half float64
		source     string
	}{
		{"200 lbf", Force, 890, 0.5, "29 CFR 1910.29(b)(3): 200 pounds (890 N)"},
		{"150 lbf", Force, 667, 0.5, "29 CFR 1910.29(b)(5): 150 pounds (667 N)"},
		{"39 in", Length, 0.99, 0.005, "29 CFR 1910.29(b)(4): 39 inches (99 cm)"},
		{"50 lbf/ft", LineLoad, 730, 5, "IBC 2018 1607.8.1: 50 pounds per linear foot (0.73 kN/m)"},
		{"20 plf", LineLoad, 290, 5, "IBC 2018 1607.8.1 exception: 20 pounds per foot (0.29 kN/m)"},
		{"35 ksi", Pressure, 240e6, 5e6, "ASTM A53 grade B yield strength 35 000 psi [240 MPa], from memory; rounded to 5 MPa"},
		{"1.900 in", Length, 0.0483, 0.00005, "AISC Shapes Database v15.0, Pipe1-1/2STD: 1.90 in, 48.3 mm"},
		{"0.145 in", Length, 0.00368, 0.000005, "AISC Shapes Database v15.0, Pipe1-1/2STD: 0.145 in, 3.68 mm"},
	} {
		v, err := Parse(c.text, c.dimension)
		known := verification.Public
		if strings.Contains(c.source, "from memory") {
			known = verification.Memory
		}
		record.From("SI values that codes print beside their own", c.source, known).Add(readAs(c.text, c.dimension), c.want, v)
		if err != nil || math.Abs(v-c.want) > c.half {
			t.Errorf("Parse(%q, %v) = %v, %v; want %v ± %v; source: %s", c.text, c.dimension, v, err, c.want, c.half, c.source)
		}
	}
}

// TestParseRefuses pins what is said about a text that is no quantity.
func TestParseRefuses(t *testing.T) {
	const (
		lengths   = "mm, m, cm, um, in, ft"
		forces    = "N, kN, lbf, kip, kgf, MN"
		lineLoads = "kN/m, N/m, N/mm, lbf/ft, lbf/in, kip/ft"
		moments   = "kNm, Nm, Nmm, lbf-ft, lbf-in, kip-ft, kip-in"
		stiffness = "kNm/rad, Nm/rad, Nmm/rad, lbf-ft/rad, lbf-in/rad, kip-ft/rad, kip-in/rad, or the same per deg"
		pressures = "MPa, N/mm2, GPa, kN/mm2, kN/m2, kPa, N/m2, Pa, ksi, psi, psf"

		aLength    = `write a length such as "1100 mm" or "42 in"`
		aForce     = `write a force such as "0.45 kN" or "200 lbf"`
		aStiffness = `write a rotational stiffness such as "150 kNm/rad" or "110 kip-ft/rad"`
		oneLength  = `write one number with its unit, such as "1100 mm" or "42 in"`
	)
	for _, c := range []struct {
		text      string
		dimension Dimension
		what, fix string
	}{
		// Nothing, or no number.
		{"", Length, "quantity is empty", aLength},
		{" \t", Length, "quantity is empty", aLength},
		{"mm", Length, `"mm" is a unit without a number`, `write the number before it, such as "1100 mm" or "42 in"`},
		{"abc", Length, `"abc" does not begin with a number`, aLength},
		{". m", Length, `". m" does not begin with a number`, aLength},
		{"rigid", RotationalStiffness, `"rigid" does not begin with a number`, aStiffness},
		{"NaN mm", Length, "not a finite number: NaN mm", aLength},
		{"-inf m", Length, "not a finite number: -inf m", aLength},
		{strings.Repeat("1", 1001), Length, "text of 1001 characters is too long for a length", aLength},

		// A number out of range.
		{"1e400 m", Length, "number too large: 1e400", aLength},
		{"1e308 kN", Force, "number too large: 1e308 kN", aForce},
		{"1e-400 m", Length, "number too small to be told from zero: 1e-400", aLength},
		{"1e-320 um", Length, "number too small to be told from zero: 1e-320 um", aLength},

		// A number without a unit.
		{"1100", Length, "quantity has no unit: 1100", `write "1100 mm" if that is meant; units of a length: ` + lengths},
		{"1.1", Length, "quantity has no unit: 1.1", `write "1.1 m" if that is meant; units of a length: ` + lengths},
		{"0.45", Force, "quantity has no unit: 0.45", `write "0.45 kN" if that is meant; units of a force: ` + forces},
		{"740", LineLoad, "quantity has no unit: 740", `write "740 N/m" if that is meant; units of a line load: ` + lineLoads},
		{"235", Pressure, "quantity has no unit: 235", `write "235 MPa" if that is meant; units of a pressure or stress: ` + pressures},
		{"150", RotationalStiffness, "quantity has no unit: 150", `write "150 kNm/rad" if that is meant; units of a rotational stiffness: ` + stiffness},

		// A malformed number.
		{"1,100 mm", Length, `"1,100 mm" has a comma, which may group thousands or mark decimals`, `write "1100 mm" or "1.100 mm"`},
		{"1,1 m", Length, `"1,1 m" has a comma, which may group thousands or mark decimals`, `write "1.1 m"`},
		{"0,450 kN", Force, `"0,450 kN" has a comma, which may group thousands or mark decimals`, `write "0.450 kN"`},
		{"1,100,000 mm", Length, `"1,100,000 mm" has a comma, which may group thousands or mark decimals`, `write "1100000 mm"`},
		{"1,100.5 mm", Length, `"1,100.5 mm" has a comma, which may group thousands or mark decimals`, `write "1100.5 mm"`},
		{"1.100,5 mm", Length, `"1.100,5 mm" has a comma, which may group thousands or mark decimals`, "write a number without commas"},
		{"1,,5 mm", Length, `"1,,5 mm" has a comma, which may group thousands or mark decimals`, "write a number without commas"},
		{"1.1.0 m", Length, `"1.1.0" is not a number: it has more than one decimal point`, `write one decimal point, such as "1100 mm" or "42 in"`},
		{"--5 mm", Length, `"--5 mm" has two signs`, `write "-5 mm"`},
		{"+ -5 mm", Length, `"+ -5 mm" has two signs`, `write "+5 mm"`},
		{"1_100 mm", Length, `"1_100 mm" has an underscore in its number`, `write "1100 mm"`},
		{"1 100 mm", Length, `"1 100 mm" has a space in its number`, `write "1100 mm"`},
		{"1 10 mm", Length, `more than one number in "1 10 mm"`, oneLength},

		// More than one quantity.
		{"3 m 200 mm", Length, `more than one number in "3 m 200 mm"`, oneLength},
		{"1100 ± 5 mm", Length, `more than one number in "1100 ± 5 mm"`, oneLength},
		{"60-200 kNm/rad", RotationalStiffness, `more than one number in "60-200 kNm/rad"`,
			`write one number with its unit, such as "150 kNm/rad" or "110 kip-ft/rad"; a range is a list, ["60 kNm/rad", "200 kNm/rad"]`},
		{"60..200 kNm/rad", RotationalStiffness, `more than one number in "60..200 kNm/rad"`,
			`write one number with its unit, such as "150 kNm/rad" or "110 kip-ft/rad"; a range is a list, ["60 kNm/rad", "200 kNm/rad"]`},
		{"5 ft 6 in 3 in", Length, `more than one number in "5 ft 6 in 3 in"`, oneLength},

		// Feet, inches and fractions.
		{"3 ft 6", Length, "the inches have no unit: 3 ft 6", `write "3 ft 6 in"`},
		{"3'6", Length, "the inches have no unit: 3'6", `write "3 ft 6 in"`},
		{"3 ft 14 in", Length, "inches beside feet are 12 or more", `write "50 in" if that is meant`},
		{"3.5 ft 6 in", Length, "feet have decimals and inches follow", `write whole feet, such as "3 ft 6 in", or "3.5 ft"`},
		{"3 ft 6 mm", Length, `more than one number in "3 ft 6 mm"`, oneLength},
		{"3 ft 9 lbf", Length, "lbf is a force, a length is wanted: " + lengths, aLength},
		{"1/2", Length, "quantity has no unit: 1/2", `write "1/2 in" if inches are meant`},
		{"1/2 m", Length, "a fraction is read in inches only, not in m", `write "0.5 m"`},
		{"1/3 m", Length, "a fraction is read in inches only, not in m", `write a decimal, such as "1100 mm" or "42 in"`},
		{"1/0 in", Length, "fraction 1/0 divides by zero", `write a fraction such as "1/2 in"`},
		{"1.5 1/2 in", Length, "1.5 1/2 has decimals and a fraction", `write one of them, such as "1.5 in" or "1-1/2 in"`},
		{"3 ft 6 in", Force, `"3 ft 6 in" is a length, a force is wanted: ` + forces, aForce},
		{`3'6"`, Force, "`3'6\"` is a length, a force is wanted: " + forces, aForce},
		{"1/2", Force, "quantity has no unit: 1/2", aForce},

		// A unit of something else.
		{"0.74 kN/m", Force, "kN/m is a line load, a force is wanted: " + forces, `write "0.74 kN" if that is meant`},
		{"0.74 kN", LineLoad, "kN is a force, a line load is wanted: " + lineLoads, `write "0.74 kN/m" if that is meant`},
		{"0.74 kNm", LineLoad, "kNm is a moment, a line load is wanted: " + lineLoads, `write "0.74 kN/m" if that is meant`},
		{"60 N/m", Moment, "N/m is a line load, a moment is wanted: " + moments, `write "60 Nm" if that is meant`},
		{"150 kNm", RotationalStiffness, "kNm is a moment, a rotational stiffness is wanted: " + stiffness, `write "150 kNm/rad" if that is meant`},
		{"200 lb", Force, "lb is a mass, a force is wanted: " + forces, `write "200 lbf" if that is meant`},
		{"0.9 kn", Force, "kn is a velocity, a force is wanted: " + forces, `write "0.9 kN" if that is meant`},
		{"20 kN", Velocity, "kN is a force, a velocity is wanted: m/s, km/h, mph, ft/s, kn", `write "20 kn" if that is meant`},
		{"25 lb/ft2", Pressure, "lb/ft2 is a mass per area, a pressure or stress is wanted: " + pressures, `write "25 psf" if that is meant`},
		{"1 kN", AreaLoad, "kN is a force, a pressure on an area is wanted: kN/m2, N/m2, kPa, psf", `write "1 kN/m2" if that is meant`},
		{"25 lb/ft2", AreaLoad, "lb/ft2 is a mass per area, a pressure on an area is wanted: kN/m2, N/m2, kPa, psf", `write "25 psf" if that is meant`},
		{"1.2", AreaLoad, "quantity has no unit: 1.2", `write "1.2 kN/m2" if that is meant; units of a pressure on an area: kN/m2, N/m2, kPa, psf`},
		{"450", AreaLoad, "quantity has no unit: 450", `write "450 N/m2" if that is meant; units of a pressure on an area: kN/m2, N/m2, kPa, psf`},
		{"1 kn/m2", AreaLoad, `unknown unit "kn/m2", a pressure on an area is wanted: kN/m2, N/m2, kPa, psf`, `write "1 kN/m2"`},
		{"1 psf", AreaMass, "psf is a pressure or stress, a mass per area is wanted: kg/m2, lb/ft2", `write "1 lb/ft2" if that is meant`},
		{"26 m", Velocity, "m is a length, a velocity is wanted: m/s, km/h, mph, ft/s, kn", `write "26 m/s" if that is meant`},
		{"35 C", Warmth, `unknown unit "C", a difference of temperatures is wanted: K, degC, degF`, `write "35 degC"`},
		{"35 kelvin", Warmth, `unknown unit "kelvin", a difference of temperatures is wanted: K, degC, degF`, `write "35 K"`},
		{"10 mm", Rate, "mm is a length, a rate per year is wanted: um/year, mm/year", `write "10 mm/year" if that is meant`},
		{"32 deg", Length, "deg is an angle, a length is wanted: " + lengths, aLength},

		// A unit that is not known.
		{"5 KN", Force, `unknown unit "KN", a force is wanted: ` + forces, `write "5 kN"`},
		{"5 mN", Force, `unknown unit "mN", a force is wanted: ` + forces, aForce},
		{"235 mpa", Pressure, `unknown unit "mpa", a pressure or stress is wanted: ` + pressures, `write "235 MPa"`},
		{"50 lb/ft", LineLoad, `unknown unit "lb/ft", a line load is wanted: ` + lineLoads, `write "50 lbf/ft"`},
		{"885 ft-lb", Moment, `unknown unit "ft-lb", a moment is wanted: ` + moments, `write "885 lbf-ft"`},
		{"1100 milimetres", Length, `unknown unit "milimetres", a length is wanted: ` + lengths, `write "1100 mm"`},
		{"25 yeras", Duration, `unknown unit "yeras", a duration is wanted: years`, `write "25 years"`},
		{"5 xyz", Length, `unknown unit "xyz", a length is wanted: ` + lengths, aLength},
		{"3 ft 6 inchs", Length, `unknown unit "inchs", a length is wanted: ` + lengths, `write "3 ft 6 in"`},
		{"50 mil", Length, `"mil" may be a millimetre or a thousandth of an inch`, "write mm, um or in"},
		{"90 grad", Angle, `unknown unit "grad", an angle is wanted: deg, rad`, "write deg, of which a gradian is 0.9"},
		{"5 " + strings.Repeat("x", 50), Length, `unknown unit "` + strings.Repeat("x", 40) + `...", a length is wanted: ` + lengths, aLength},
	} {
		v, err := Parse(c.text, c.dimension)
		e, ok := errors.AsType[*Error](err)
		if !ok {
			t.Errorf("Parse(%q, %v) = %v, %v; want it refused", c.text, c.dimension, v, err)
			continue
		}
		if v != 0 || e.Text != c.text || e.What != c.what || e.Fix != c.fix || err.Error() != c.what {
			t.Errorf("Parse(%q, %v) = %v\n  text %q\n  what %s\n  fix  %s\nwant\n  what %s\n  fix  %s", c.text, c.dimension, v, e.Text, e.What, e.Fix, c.what, c.fix)
		}
	}
}

// TestFixesAreRight checks that a spelling offered without conditions is read.
func TestFixesAreRight(t *testing.T) {
	for _, text := range []string{
		"1,1 m", "1,100,000 mm", "--5 mm", "1_100 mm", "1 100 mm", "1 100", "3 ft 6", "1/2 m", "5 MM",
		"1,100 mm", "5 metres", "-3'6", "-1 1/2 m", "- 1 100 m", "3 ft 6 1/2",
	} {
		_, err := Parse(text, Length)
		e, ok := errors.AsType[*Error](err)
		if !ok {
			t.Errorf("Parse(%q) is not refused", text)
			continue
		}
		offered := strings.Split(e.Fix, `"`)
		for i := 1; i < len(offered); i += 2 {
			v, err := Parse(offered[i], Length)
			if err != nil {
				if again, _ := errors.AsType[*Error](err); !strings.HasPrefix(again.What, "quantity has no unit") {
					t.Errorf("%q: the fix %s is refused: %v", text, e.Fix, err)
				}
				continue
			}
			if strings.HasPrefix(text, "-") != (v < 0) {
				t.Errorf("%q: the fix %s turns the sign", text, e.Fix)
			}
		}
	}
}

func TestParseValue(t *testing.T) {
	if v, err := ParseValue("1100 mm", Length, US); v != 1.1 || err != nil {
		t.Errorf(`ParseValue("1100 mm") = %v, %v`, v, err)
	}
	const units = "; units of a length: mm, m, cm, um, in, ft"
	const aLength = `write a length such as "1100 mm" or "42 in"`
	for _, c := range []struct {
		value           any
		text, what, fix string
	}{
		{int64(1100), "1100", "quantity has no unit: 1100", `write "1100 mm" if that is meant` + units},
		{int64(-5), "-5", "quantity has no unit: -5", `write "-5 m" if that is meant` + units},
		{1.1, "1.1", "quantity has no unit: 1.1", `write "1.1 m" if that is meant` + units},
		{1e6, "1000000", "quantity has no unit: 1000000", `write "1000000 mm" if that is meant` + units},
		{1e-9, "1e-09", "quantity has no unit: 1e-09", `write "1e-09 m" if that is meant` + units},
		{math.NaN(), "NaN", "not a finite number: NaN", aLength},
		{math.Inf(-1), "-Inf", "not a finite number: -Inf", aLength},
		{true, "true", "a length is wanted, this is true", aLength},
		{[]any{"1 m", "2 m"}, "[1 m 2 m]", "a length is wanted, this is a list", aLength},
		{[]map[string]any{{}}, "[map[]]", "a length is wanted, this is a list", aLength},
		{map[string]any{"od": "48.3 mm"}, "map[od:48.3 mm]", "a length is wanted, this is a table", aLength},
		{time.Date(2026, 1, 2, 0, 0, 0, 0, time.UTC), "2026-01-02 00:00:00 +0000 UTC", "a length is wanted, this is a date or time", aLength},
		{nil, "<nil>", "a length is wanted, this is nothing", aLength},
		{int8(1), "1", "a length is wanted, this is a value of type int8", aLength},
	} {
		v, err := ParseValue(c.value, Length, Metric)
		e, ok := errors.AsType[*Error](err)
		if !ok || v != 0 || *e != (Error{c.text, c.what, c.fix}) {
			t.Errorf("ParseValue(%v) = %v, %#v; want %#v", c.value, v, err, Error{c.text, c.what, c.fix})
		}
	}
}

// TestFixesForUSReaders pins what is offered first in a file of US units.
func TestFixesForUSReaders(t *testing.T) {
	const (
		lengths   = "in, ft, mm, m, cm, um"
		aLength   = `write a length such as "42 in" or "1100 mm"`
		stiffness = "lbf-ft/rad, lbf-in/rad, kip-ft/rad, kip-in/rad, kNm/rad, Nm/rad, Nmm/rad, or the same per deg"
	)
	for _, c := range []struct {
		value     any
		dimension Dimension
		fix       string
	}{
		{"60", Length, `write "60 in" if that is meant; units of a length: ` + lengths},
		{int64(24), Length, `write "24 in" if that is meant; units of a length: ` + lengths},
		{0.145, Length, `write "0.145 in" if that is meant; units of a length: ` + lengths},
		{int64(200), Force, `write "200 lbf" if that is meant; units of a force: lbf, kip, N, kN, kgf, MN`},
		{"50", LineLoad, `write "50 lbf/ft" if that is meant; units of a line load: lbf/ft, lbf/in, kip/ft, kN/m, N/m, N/mm`},
		{"35", Pressure, `write "35 ksi" if that is meant; units of a pressure or stress: ksi, psi, psf, MPa, N/mm2, GPa, kN/mm2, kN/m2, kPa, N/m2, Pa`},
		{"29000", Pressure, `write "29000 ksi" if that is meant; units of a pressure or stress: ksi, psi, psf, MPa, N/mm2, GPa, kN/mm2, kN/m2, kPa, N/m2, Pa`},
		{"36000", Pressure, `write "36000 psi" if that is meant; units of a pressure or stress: ksi, psi, psf, MPa, N/mm2, GPa, kN/mm2, kN/m2, kPa, N/m2, Pa`},
		{"25", AreaLoad, `write "25 psf" if that is meant; units of a pressure on an area: psf, kN/m2, N/m2, kPa`},
		{"25 lbf", AreaLoad, `write "25 psf" if that is meant`},
		{"885", Moment, `write "885 lbf-ft" if that is meant; units of a moment: lbf-ft, lbf-in, kip-ft, kip-in, kNm, Nm, Nmm`},
		{"110", RotationalStiffness, `write "110 kip-ft/rad" if that is meant; units of a rotational stiffness: ` + stiffness},
		{"4", Mass, `write "4 lb" if that is meant; units of a mass: lb, kg`},
		{"abc", Length, aLength},
		{true, Length, aLength},
		{"60-200 kip-ft/rad", RotationalStiffness, `write one number with its unit, such as "110 kip-ft/rad" or "150 kNm/rad"; a range is a list, ["45 kip-ft/rad", "150 kip-ft/rad"]`},
		{"x", Angle, `write an angle such as "32 deg" or "0.56 rad"`},
		{"1e400 in", Length, aLength},
	} {
		v, err := ParseValue(c.value, c.dimension, US)
		e, ok := errors.AsType[*Error](err)
		if !ok || v != 0 || e.Fix != c.fix {
			t.Errorf("ParseValue(%v, %v, US) = %v, %v\n  fix  %s\nwant %s", c.value, c.dimension, v, err, e.Fix, c.fix)
		}
	}
}
