package quantity

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
)

func TestFix(t *testing.T) {
	for _, c := range []struct {
		v      float64
		digits int
		want   string
	}{
		{0.599, 2, "0.60"}, {761.49, 0, "761"}, {0, 3, "0.000"}, {0, 0, "0"}, {1234567.8, 1, "1234567.8"},
		{-0.004, 2, "0.00"}, {-0.4, 0, "0"}, {math.Copysign(0, -1), 1, "0.0"}, {-0.006, 2, "-0.01"}, {-10, 0, "-10"}, {-100.04, 1, "-100.0"},
		{math.Inf(1), 3, "inf"}, {math.Inf(-1), 3, "-inf"}, {math.NaN(), 3, "-"},
	} {
		if got := Fix(c.v, c.digits); got != c.want {
			t.Errorf("Fix(%v, %d) = %q, want %q", c.v, c.digits, got, c.want)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		v          float64
		d          Dimension
		metric, us string
		source     string
	}{
		{1.1, Length, "1100 mm", "43.307 in", "1100/25.4 = 43.3071"},
		{0.0483, Length, "48.3 mm", "1.902 in", "48.3/25.4 = 1.90157"},
		{-0.0000001, Length, "0 mm", "0 in", "no negative zero"},
		{450, Force, "0.450 kN", "101.2 lbf", "450/4.44822 = 101.164"},
		{740, LineLoad, "0.740 kN/m", "50.7 lbf/ft", "740/14.5939 = 50.7061"},
		{235e6, Pressure, "235.0 MPa", "34.08 ksi", "235/6.894757 = 34.0839"},
		{761, Moment, "0.761 kNm", "561 lbf-ft", "761/1.355818 = 561.285"},
		{150e3, RotationalStiffness, "150 kNm/rad", "110.634 kip-ft/rad", "150/1.355818 = 110.634"},
		{7500, RotationalStiffness, "7.5 kNm/rad", "5.532 kip-ft/rad", "7.5/1.355818 = 5.53171"},
		{math.Pi / 4, Angle, "45 deg", "45 deg", "eighth of a turn"},
		{7850, Density, "7850 kg/m3", "490.1 lb/ft3", "7850/16.01846 = 490.060"},
		{20, Mass, "20.0 kg", "44.1 lb", "20/0.4535924 = 44.0925"},
		{4.5, AreaMass, "4.5 kg/m2", "0.92 lb/ft2", "4.5/4.882428 = 0.92167"},
		{26, Velocity, "26 m/s", "58.2 mph", "26/0.44704 = 58.160"},
		{51.4096, Velocity, "51.41 m/s", "115 mph", "115 × 0.44704 = 51.4096"},
		{35, Warmth, "35 K", "63 degF", "35 × 9/5 = 63"},
		{25, Duration, "25 years", "25 years", "unit of the program"},
		{1.4e-6, Rate, "1.4 um/year", "1.4 um/year", "SI prefix"},
		{0.55, CoatingMass, "550 g/m2", "1.8 oz/ft2", "NIST SP 811 B.8: 1 oz/ft2 is 0.3051517 kg/m2, from memory"},
		{math.Inf(1), RotationalStiffness, "inf", "inf", "no unit"},
		{math.NaN(), Length, "-", "-", "no unit"},
	} {
		if got := Format(c.v, c.d, Metric); got != c.metric {
			t.Errorf("Format(%v, %v, Metric) = %q, want %q; source: %s", c.v, c.d, got, c.metric, c.source)
		}
		if got := Format(c.v, c.d, US); got != c.us {
			t.Errorf("Format(%v, %v, US) = %q, want %q; source: %s", c.v, c.d, got, c.us, c.source)
		}
	}
}

func TestFormatIn(t *testing.T) {
	for _, c := range []struct {
		v      float64
		unit   string
		digits int
		want   string
	}{
		{3.75, "m", 3, "3.750 m"}, {761.4, "Nm", 0, "761 Nm"}, {761.4, "N·m", 0, "761 N·m"}, {0.0234, "mm", 1, "23.4 mm"},
		{-1e-9, "mm", 1, "0.0 mm"}, {1000, "kN/m2", 2, "1.00 kN/m2"}, {math.NaN(), "mm", 1, "-"},
	} {
		if got := FormatIn(c.v, c.unit, c.digits); got != c.want {
			t.Errorf("FormatIn(%v, %q, %d) = %q, want %q", c.v, c.unit, c.digits, got, c.want)
		}
	}
	if got := In(1.1, "mm"); got != 1100 {
		t.Errorf(`In(1.1, "mm") = %v, want 1100`, got)
	}
}

// TestDisplay checks the units that tables head their columns with.
func TestDisplay(t *testing.T) {
	for d, want := range map[Dimension][2]string{
		Length: {"mm", "in"}, Force: {"kN", "lbf"}, LineLoad: {"kN/m", "lbf/ft"}, Pressure: {"MPa", "ksi"}, Moment: {"kNm", "lbf-ft"},
		RotationalStiffness: {"kNm/rad", "kip-ft/rad"}, Angle: {"deg", "deg"}, Density: {"kg/m3", "lb/ft3"}, Mass: {"kg", "lb"},
		AreaMass: {"kg/m2", "lb/ft2"}, Velocity: {"m/s", "mph"}, Warmth: {"K", "degF"}, PressurePerDepth: {"kPa/m", "psf/ft"}, AreaLoad: {"kN/m2", "psf"},
		Duration: {"years", "years"}, Rate: {"um/year", "um/year"}, CoatingMass: {"g/m2", "oz/ft2"},
	} {
		if got := [2]string{Display(d, Metric).Name, Display(d, US).Name}; got != want {
			t.Errorf("%v is shown in %v, want %v", d, got, want)
		}
	}
}

func TestParseSystem(t *testing.T) {
	for _, want := range []System{Metric, US} {
		if got, err := ParseSystem(want.String()); got != want || err != nil {
			t.Errorf("ParseSystem(%q) = %v, %v", want, got, err)
		}
	}
	for text, fix := range map[string]string{"Metric": `write "metric"`, "us": `write "US"`, "imperial": `write "US"`, "cgs": `write "metric" or "US"`, "": `write "metric" or "US"`} {
		_, err := ParseSystem(text)
		if e, ok := errors.AsType[*Error](err); !ok || e.Fix != fix || e.Text != text {
			t.Errorf("ParseSystem(%q): %#v, want the fix %s", text, err, fix)
		}
	}
}

// TestBugsPanic checks that a caller's mistake is not passed over.
func TestBugsPanic(t *testing.T) {
	for name, call := range map[string]func(){
		"unit":      func() { FormatIn(1, "furlong", 1) },
		"decimals":  func() { Fix(1, -1) },
		"dimension": func() { _ = Dimension(-1).String() },
		"display":   func() { Format(1, CoatingMass+1, Metric) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			call()
		}()
	}
}

func TestFigures(t *testing.T) {
	for _, c := range []struct {
		v    float64
		n    int
		want float64
	}{
		{math.Pi, 3, 3.14}, {-math.Pi, 5, -3.1416}, {123456, 2, 120000}, {1.0 / 3, 9, 0.333333333},
		{2.5, 1, 2}, {3.5, 1, 4}, // halves go to the even figure
		{0, 9, 0}, {math.MaxFloat64, 1, math.MaxFloat64}, {math.Inf(-1), 9, math.Inf(-1)},
	} {
		if got := Figures(c.v, c.n); got != c.want {
			t.Errorf("Figures(%g, %d) = %g, want %g", c.v, c.n, got, c.want)
		}
	}
	if zero := Figures(math.Copysign(0, -1), 9); math.Signbit(zero) {
		t.Error("a negative zero keeps its sign")
	}
	if !math.IsNaN(Figures(math.NaN(), 9)) {
		t.Error("a NaN became a number")
	}
}

// Figures are those of the decimals, whichever way they are found: of numbers of every size, and of those about half a
// unit of the last figure and about a power of ten.
func TestFiguresAreThoseOfDecimals(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200_000 {
		n := 1 + r.IntN(17)
		v := math.Ldexp(r.Float64()-0.5, r.IntN(160)-80)
		switch r.IntN(4) {
		case 0: // a half, or as near to one as numbers are
			v, _ = strconv.ParseFloat(fmt.Sprintf("%d5e%d", r.Int64N(int64(math.Pow10(min(n, 15)))), r.IntN(40)-20), 64)
			v = math.Nextafter(v, float64(r.IntN(3)-1)*math.MaxFloat64)
		case 1: // a power of ten
			v = math.Nextafter(math.Pow10(r.IntN(40)-20), float64(r.IntN(3)-1))
		}
		want, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'e', n-1, 64), 64)
		if got := Figures(v, n); got != want {
			t.Fatalf("Figures(%v, %d) = %v, want %v", v, n, got, want)
		}
	}
}
