package sections

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.com/stanchion/internal/verification"
)

// halfUnit returns half a unit in the last digit of a printed number.
func halfUnit(t *testing.T, printed string) float64 {
	t.Helper()
	digits := 0
	for i := range len(printed) {
		if printed[i] == '.' {
			digits = len(printed) - i - 1
		}
	}
	return 0.5 * math.Pow10(-digits)
}

const sci = "SCI, CHS dimensions and properties, BS EN 10210-2 sizes, public extract"

func TestRingAgainstSCI(t *testing.T) {
	record := verification.New(t, verification.Tubes)
	for _, c := range []struct {
		od, wall                              float64 // mm
		area, slenderness, I, i, el, pl, mass string  // cm², D/t, cm⁴, cm, cm³, cm³, kg/m
		source                                string
	}{
		{26.9, 3.2, "2.38", "8.41", "1.70", "0.846", "1.27", "1.81", "1.87", sci},
		{42.4, 3.2, "3.94", "13.3", "7.62", "1.39", "3.59", "4.93", "3.09", sci},
		{48.3, 3.2, "4.53", "15.1", "11.6", "1.60", "4.80", "6.52", "3.56", sci},
		{48.3, 4.0, "5.57", "12.1", "13.8", "1.57", "5.70", "7.87", "4.37", sci},
		{48.3, 5.0, "6.80", "9.66", "16.2", "1.54", "6.69", "9.42", "5.34", sci},
		{60.3, 3.2, "5.74", "18.8", "23.5", "2.02", "7.78", "10.4", "4.51", sci},
		{60.3, 5.0, "8.69", "12.1", "33.5", "1.96", "11.1", "15.3", "6.82", sci},
		{76.1, 3.2, "7.33", "23.8", "48.8", "2.58", "12.8", "17.0", "5.75", sci},
		{88.9, 4.0, "10.7", "22.2", "96.3", "3.00", "21.7", "28.9", "8.38", sci},
	} {
		r := mustRing(t, c.od*mm, c.wall*mm)
		for _, v := range []struct {
			what    string
			got     float64
			printed string
		}{
			{"A, cm²", r.Area * 1e4, c.area},
			{"D/t", r.OD / r.Wall, c.slenderness},
			{"I, cm⁴", r.I * 1e8, c.I},
			{"i, cm", r.Radius * 1e2, c.i},
			{"Wel, cm³", r.Wel * 1e6, c.el},
			{"Wpl, cm³", r.Wpl * 1e6, c.pl},
			{"mass, kg/m", r.Mass(7850), c.mass},
		} {
			want := parse(t, v.printed)
			record.From("circular hollow sections of EN 10210-2 sizes", c.source, verification.Public).Add(fmt.Sprintf("%gx%g: %s", c.od, c.wall, v.what), want, v.got)
			if math.Abs(v.got-want) > halfUnit(t, v.printed)*(1+1e-9) {
				t.Errorf("%gx%g %s = %.5g, want %s (source: %s)", c.od, c.wall, v.what, v.got, v.printed, c.source)
			}
		}
	}
}

// A solid bar and a vanishing wall are the two ends of the ring formulas.
func TestRingLimits(t *testing.T) {
	const source = "closed forms of a solid circle and of a thin ring, any handbook of strength of materials"
	closed := verification.New(t, verification.Tubes).From("solid bar and thin ring", source, verification.Derived)
	near := func(what string, got, want, relative float64) {
		t.Helper()
		closed.Add(what, want, got)
		if math.Abs(got-want) > relative*math.Abs(want) {
			t.Errorf("%s = %.15g, want %.15g (source: %s)", what, got, want, source)
		}
	}
	D := 0.05
	bar := mustRing(t, D, D/2)
	near("solid D 50 mm: A, m²", bar.Area, math.Pi*D*D/4, 1e-15)
	near("solid D 50 mm: I, m⁴", bar.I, math.Pi*D*D*D*D/64, 1e-15)
	near("solid D 50 mm: J, m⁴", bar.J, math.Pi*D*D*D*D/32, 1e-15)
	near("solid D 50 mm: Wel, m³", bar.Wel, math.Pi*D*D*D/32, 1e-15)
	near("solid D 50 mm: Wpl, m³", bar.Wpl, D*D*D/6, 1e-15)
	near("solid D 50 mm: Wt, m³", bar.Wt, math.Pi*D*D*D/16, 1e-15)
	near("solid D 50 mm: radius, m", bar.Radius, D/4, 1e-15)

	// On the mean radius r: A = 2πrt exactly, I = πr³t (1 + t²/4r²), and
	// Wpl = 4r²t (1 + t²/12r²), so both hold to rounding for any wall.
	for _, wall := range []float64{1e-8, 1e-4, 3.6e-3} {
		ring := mustRing(t, 33.7e-3, wall)
		r := (33.7e-3 - wall) / 2
		thin := fmt.Sprintf("D 33.7 mm, wall %g m: ", wall)
		near(thin+"A, m²", ring.Area, 2*math.Pi*r*wall, 1e-13)
		near(thin+"I, m⁴", ring.I, math.Pi*r*r*r*wall*(1+wall*wall/(4*r*r)), 1e-13)
		near(thin+"Wpl, m³", ring.Wpl, 4*r*r*wall*(1+wall*wall/(12*r*r)), 1e-13)
	}
}

// How much a thinner wall takes away, the outside diameter kept.
func TestRingOnThinnerWall(t *testing.T) {
	const source = "table of what a thin wall takes away, worked apart from this package (derived)"
	lost := verification.New(t, verification.Tubes).From("what a thinner wall takes away, outside diameter kept", source, verification.Derived)
	for _, c := range []struct {
		od, wall, factor float64 // mm
		I, pl, area      string  // loss, %
	}{
		{42.4, 3.2, 0.90, "7.9", "8.6", "9.3"},
		{48.3, 3.2, 0.90, "8.2", "8.7", "9.4"},
		{48.3, 4.0, 0.90, "7.7", "8.4", "9.2"},
		{48.3, 3.2, 0.875, "10.3", "11.0", "11.7"},
		{48.3, 3.2, 0.93, "5.7", "6.1", "6.5"},
	} {
		whole, thin := mustRing(t, c.od*mm, c.wall*mm), mustRing(t, c.od*mm, c.factor*c.wall*mm)
		for _, v := range []struct {
			what    string
			got     float64
			printed string
		}{
			{"I", 100 * (1 - thin.I/whole.I), c.I},
			{"Wel", 100 * (1 - thin.Wel/whole.Wel), c.I},
			{"Wpl", 100 * (1 - thin.Wpl/whole.Wpl), c.pl},
			{"A", 100 * (1 - thin.Area/whole.Area), c.area},
		} {
			lost.Add(fmt.Sprintf("%gx%g, wall x %g: %s lost, %%", c.od, c.wall, c.factor, v.what), parse(t, v.printed), v.got)
			if math.Abs(v.got-parse(t, v.printed)) > halfUnit(t, v.printed) {
				t.Errorf("%gx%g at %g of the wall: %s loses %.3f %%, want %s (source: %s)",
					c.od, c.wall, c.factor, v.what, v.got, v.printed, source)
			}
		}
	}
}

func TestNewRingRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		od, wall float64
		want     string
	}{
		{0.05, 0.026, "no such tube section: wall 26 mm is more than half the outside diameter of 50 mm"},
		{0, 0.003, "no such tube section: outside diameter must be more than 0, not 0 mm"},
		{-0.05, 0.003, "no such tube section: outside diameter must be more than 0, not -50 mm"},
		{0.05, 0, "no such tube section: wall must be more than 0, not 0 mm"},
		{0.05, -0.003, "no such tube section: wall must be more than 0, not -3 mm"},
		{nan, 0.003, "no such tube section: outside diameter is not a finite number"},
		{0.05, nan, "no such tube section: wall is not a finite number"},
		{inf, 0.003, "no such tube section: outside diameter is not a finite number"},
		{1e100, 1e99, "no such tube section: outside diameter 1e+103 mm and wall 1e+102 mm are beyond reckoning"},
		{1e-100, 1e-101, "no such tube section: outside diameter 1e-97 mm and wall 1e-98 mm are beyond reckoning"},
	} {
		_, err := NewRing(c.od, c.wall)
		if ring, ok := errors.AsType[*RingError](err); !ok || ring.Error() != c.want {
			t.Errorf("NewRing(%g, %g): %v, want %q", c.od, c.wall, err, c.want)
		}
	}
}

func mustRing(t *testing.T, od, wall float64) Ring {
	t.Helper()
	r, err := NewRing(od, wall)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
