package sections

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"example.com/stanchion/internal/verification"
)

const um = 1e-6

// The factors that ISO 9224:2012 gives for both exponents, as a collection of facts tables them to
// two decimals (exponents from memory; the long-term expression stands in an open model of ISO
// 9223 and ISO 9224).
func TestFactorsOfISO9224(t *testing.T) {
	factors := verification.New(t, verification.Corrosion).From("loss over that of the first year", "ISO 9224:2012, exponents from memory", verification.Memory)
	for _, c := range []struct {
		years                                  float64
		steel, steelUpper, zincMean, zincUpper float64
	}{
		{1, 1, 1, 1, 1},
		{5, 2.32, 2.52, 3.70, 4.08},
		{10, 3.33, 3.76, 6.50, 7.46},
		{20, 4.79, 5.60, 11.42, 13.67},
		{25, 5.42, 6.40, 13.74, 16.65},
		{50, 8.55, 10.43, 25.35, 31.57},
		{75, 11.68, 14.45, 36.96, 46.49},
		{100, 14.81, 18.48, 48.57, 61.41},
	} {
		for _, v := range []struct {
			law  LossLaw
			of   Metal
			want float64
		}{{MeanExponent, CarbonSteel, c.steel}, {UpperExponent, CarbonSteel, c.steelUpper}, {MeanExponent, Zinc, c.zincMean}, {UpperExponent, Zinc, c.zincUpper}} {
			factors.Within(0.005+1e-9, fmt.Sprintf("%s, %s, %g years", v.of, v.law, c.years), v.want, v.law.Factor(v.of, c.years))
		}
		if steel, zinc := CautiousLaw.Factor(CarbonSteel, c.years), CautiousLaw.Factor(Zinc, c.years); math.Abs(steel-c.steelUpper) > 0.005+1e-9 || math.Abs(zinc-c.years) > 0.005+1e-9 {
			t.Errorf("cautious law, %g years: steel %.4f, zinc %.4f, want the upper exponent, %.2f, and the years", c.years, steel, zinc, c.steelUpper)
		}
	}
}

// Slopes after 20 years for B1: the same collection, to four decimals.
func TestSlopesAfterTwentyYears(t *testing.T) {
	slopes := verification.New(t, verification.Corrosion).From("rate after 20 years over that of the first", "ISO 9224:2012, exponents from memory", verification.Memory)
	for _, c := range []struct {
		metal Metal
		want  float64
	}{{CarbonSteel, 0.1253}, {Zinc, 0.4643}, {AluminiumMetal, 0.3223}} {
		for _, year := range []float64{20, 33, 99} {
			got := MeanExponent.Factor(c.metal, year+1) - MeanExponent.Factor(c.metal, year)
			slopes.Within(0.00005+1e-9, fmt.Sprintf("%s, year %g", c.metal, year), c.want, got)
		}
	}
}

// ISO 14713-1, from memory: the life of a coating of 85 um to its first maintenance, linear in
// the rate of zinc. The ends are quoted rounded, of the older bands of 0.7 - 2, 2 - 4 and 4 - 8
// um/year, so an end may be 10 % away.
func TestLivesOfISO14713(t *testing.T) {
	lives := verification.New(t, verification.Corrosion).From("life of 85 um of zinc to its first maintenance (ends are quoted rounded)", "ISO 14713-1 (memory)", verification.Memory)
	for _, c := range []struct {
		category  string
		low, high float64 // years
		law       LossLaw
	}{{"C4", 20, 40, LinearLaw}, {"C5", 10, 20, LinearLaw}, {"C4", 20, 40, CautiousLaw}, {"C5", 10, 20, CautiousLaw}} {
		air, _ := FindCorrosivity(c.category)
		s := &Surface{Exposed: true, Coating: 85 * um, Zinc: air.Zinc.Range(), Law: c.law}
		low, high := s.CoatingGone(HighRate, 1), s.CoatingGone(LowRate, 1)
		lives.Within(0.1*c.low, fmt.Sprintf("%s, %s: from, years", c.category, c.law), c.low, low)
		lives.Within(0.1*c.high, fmt.Sprintf("%s, %s: to, years", c.category, c.law), c.high, high)
	}
	air, _ := FindCorrosivity("C3")
	s := &Surface{Exposed: true, Coating: 85 * um, Zinc: air.Zinc.Range(), Law: LinearLaw}
	lives.Within(4, "C3, "+string(s.Law)+": from, years", 40, s.CoatingGone(HighRate, 1))
	if high := s.CoatingGone(LowRate, 1); high < 100 {
		t.Errorf("C3: to %.1f years, want more than 100", high)
	}
}

// Common practice, no source: a coating of 85 um that loses 1.5 um a year lasts about 57 years,
// one of 55 um about 37.
func TestLivesOfCommonPractice(t *testing.T) {
	lives := verification.New(t, verification.Corrosion).From("life of zinc that loses 1.5 um a year", "common practice, no source", verification.Practice)
	for _, c := range []struct{ coating, want float64 }{{85, 57}, {55, 37}} {
		s := &Surface{Exposed: true, Coating: c.coating * um, Zinc: Rates(1.5*um, 1.5*um), Law: LinearLaw}
		lives.Within(0.5, fmt.Sprintf("%g um: years", c.coating), c.want, s.CoatingGone(MiddleRate, 1))
	}
}

// Common practice, no source: untreated steel in harsh marine air loses 60 to 170 um a year,
// which lies within C4 and C5. A bare wall of 3.2 mm is then gone after 3200/170 to 3200/60 years
// where it is attacked from outside alone, and after half of that from both sides.
func TestBareSteelOfCommonPractice(t *testing.T) {
	c4, _ := FindCorrosivity("C4")
	c5, _ := FindCorrosivity("C5")
	if c4.Steel.Low > 60*um || c4.Steel.High < 60*um || c5.Steel.Low > 170*um || c5.Steel.High < 170*um {
		t.Errorf("60 and 170 um/year are not in C4 (%v) and C5 (%v)", c4.Steel, c5.Steel)
	}
	ring := mustRing(t, 0.0483, 0.0032)
	s := &Surface{Exposed: true, Steel: Rates(60*um, 170*um), Law: LinearLaw}
	for level, years := range map[RateLevel]float64{LowRate: 3200. / 60, HighRate: 3200. / 170} {
		if _, err := ring.Worn(s.Loss(years-0.01, level, 1), 0); err != nil {
			t.Errorf("%s rate: gone before %.2f years", level, years)
		}
		if _, err := ring.Worn(s.Loss(years+0.01, level, 1), 0); err == nil {
			t.Errorf("%s rate: not gone after %.2f years", level, years)
		}
		both := s.Loss(years/2+0.01, level, 1)
		if _, err := ring.Worn(both, both); err == nil {
			t.Errorf("%s rate: not gone from both sides after %.2f years", level, years/2)
		}
	}
}

// Paint, then zinc, then steel, each by hand: 12 years of paint, 60 um of zinc at 2 um a year,
// twice as much at the spot, are gone in year 12 + 60/4 = 27; three years on steel at 50 um a year
// has lost 3 x 100 um.
func TestOneAfterTheOther(t *testing.T) {
	s := &Surface{Exposed: true, Coating: 60 * um, Zinc: Rates(2*um, 2*um), Steel: Rates(50*um, 50*um), Law: LinearLaw, Paint: 12}
	byHand := verification.New(t, verification.Corrosion).From("paint, zinc and steel one after the other", "by hand: 12 + 60/4 years, then 100 um a year", verification.Derived)
	byHand.Within(1e-9, "year in which the zinc is gone", 27, s.CoatingGone(MiddleRate, 2))
	byHand.Within(1e-6, "lost in year 30, um", 300, s.Loss(30, MiddleRate, 2)/um)
	for _, year := range []float64{-1, 0, 12, 26.9, 27} {
		if got := s.Loss(year, MiddleRate, 2); math.Abs(got) > 1e-12 {
			t.Errorf("year %g: %g um lost, want 0", year, got/um)
		}
	}
}

// What is not exposed, and what loses nothing, stays; without zinc steel begins with the paint's
// end.
func TestSurfacesThatStay(t *testing.T) {
	steel := Rates(50*um, 50*um)
	for name, c := range map[string]struct {
		surface Surface
		gone    float64
	}{
		"sealed":       {Surface{Coating: 60 * um, Zinc: Rates(2*um, 2*um), Steel: steel, Law: LinearLaw}, math.Inf(1)},
		"zinc for all": {Surface{Exposed: true, Coating: 60 * um, Steel: steel, Law: UpperExponent}, math.Inf(1)},
		"bare":         {Surface{Exposed: true, Steel: steel, Law: UpperExponent}, 0},
		"painted":      {Surface{Exposed: true, Steel: steel, Law: UpperExponent, Paint: 8}, 8},
	} {
		if got := c.surface.CoatingGone(HighRate, 3); got != c.gone {
			t.Errorf("%s: the zinc is gone in year %v, want %v", name, got, c.gone)
		}
		if got := c.surface.Loss(100, HighRate, 1); (got > 0) == math.IsInf(c.gone, 1) {
			t.Errorf("%s: %v lost in 100 years", name, got)
		}
	}
}

// Loss grows with years, rate and multiplier, and falls with coating and paint; what is lost of
// the zinc when it is gone is the coating.
func TestLossIsMonotonic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		law := rapid.SampledFrom([]LossLaw{MeanExponent, UpperExponent, LinearLaw, CautiousLaw}).Draw(t, "law")
		number := func(name string, from, to float64) float64 { return rapid.Float64Range(from, to).Draw(t, name) }
		s := Surface{
			Exposed: true, Law: law, Coating: number("coating", 5, 200) * um, Paint: number("paint", 0, 20),
			Zinc: Rates(number("zinc low", 0.01, 5)*um, number("zinc high", 5, 25)*um), Steel: Rates(number("steel low", 1, 50)*um, number("steel high", 50, 700)*um),
		}
		year, later, times := number("year", 0, 150), number("later", 0, 50), number("times", 1, 10)
		for _, level := range RateLevels() {
			lost := s.Loss(year, level, times)
			if more := s.Loss(year+later, level, times); more < lost {
				t.Fatalf("year %g: %g, %g years later %g", year, lost, later, more)
			}
			if open := s.Loss(year, level, 1); open > lost {
				t.Fatalf("%g times the rate takes %g, the rate alone %g", times, lost, open)
			}
			bare := s
			bare.Coating, bare.Paint = 0, 0
			if least := bare.Loss(year, level, times); least < lost {
				t.Fatalf("bare %g, coated %g", least, lost)
			}
			gone := s.CoatingGone(level, times)
			if zinc := s.Zinc[level] * times * law.Factor(Zinc, gone-s.Paint); math.Abs(zinc/s.Coating-1) > 1e-9 {
				t.Fatalf("in year %g of %g um of zinc %g are gone", gone, s.Coating/um, zinc/um)
			}
			if s.Loss(gone, level, times) != 0 {
				t.Fatalf("steel is lost in year %g, in which the zinc goes", gone)
			}
		}
		if s.Loss(year, LowRate, times) > s.Loss(year, MiddleRate, times) || s.Loss(year, MiddleRate, times) > s.Loss(year, HighRate, times) {
			t.Fatalf("the levels are not in order")
		}
	})
}

// Years is the inverse of Factor on both sides of the 20th year.
func TestYearsIsTheInverseOfFactor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		law := rapid.SampledFrom([]LossLaw{MeanExponent, UpperExponent, LinearLaw, CautiousLaw}).Draw(t, "law")
		metal := rapid.SampledFrom([]Metal{Zinc, CarbonSteel, AluminiumMetal}).Draw(t, "metal")
		years := rapid.Float64Range(0.01, 300).Draw(t, "years")
		if got := law.Years(metal, law.Factor(metal, years)); math.Abs(got/years-1) > 1e-9 {
			t.Fatalf("%g years come back as %g", years, got)
		}
	})
}

// What a wall of 0.9 leaves where it is taken from the bore, outside diameter kept: the table of
// exact ring formulas in a collection of facts on tolerances, in percent to one decimal.
func TestLossAtTheBore(t *testing.T) {
	lost := verification.New(t, verification.Corrosion).From("what a loss from the bore takes away", "table of exact ring formulas in a collection of facts on tolerances", verification.Derived)
	for _, c := range []struct {
		od, wall, share float64
		I, Wpl, A       float64 // percent lost
	}{
		{42.4, 3.2, 0.90, 7.9, 8.6, 9.3},
		{48.3, 3.2, 0.90, 8.2, 8.7, 9.4},
		{48.3, 4.0, 0.90, 7.7, 8.4, 9.2},
		{48.3, 3.2, 0.875, 10.3, 11.0, 11.7},
		{48.3, 3.2, 0.93, 5.7, 6.1, 6.5},
	} {
		full := mustRing(t, c.od*mm, c.wall*mm)
		worn, err := full.Worn(0, (1-c.share)*c.wall*mm)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []struct {
			name            string
			worn, full, off float64
		}{{"I", worn.I, full.I, c.I}, {"Wel", worn.Wel, full.Wel, c.I}, {"Wpl", worn.Wpl, full.Wpl, c.Wpl}, {"A", worn.Area, full.Area, c.A}} {
			lost.Within(0.05+1e-9, fmt.Sprintf("%gx%g, wall x %g: %s, %%", c.od, c.wall, c.share, v.name), v.off, 100*(1-v.worn/v.full))
		}
	}
}

// A loss outside keeps the bore, and takes more of the moduli than the same loss inside: the
// difference of two solid bars, I = π(D⁴-d⁴)/64 and Wel = 2I/D, and Wpl = (D³-d³)/6.
func TestLossOutside(t *testing.T) {
	const od, wall, a = 48.3 * mm, 3.2 * mm, 0.5 * mm
	outside, err := mustRing(t, od, wall).Worn(a, 0)
	if err != nil {
		t.Fatal(err)
	}
	D, d := od-2*a, od-2*wall
	rings := verification.New(t, verification.Corrosion).From("48.3x3.2 that lost 0.5 mm outside", "difference of two solid bars", verification.Derived)
	I := math.Pi / 64 * (math.Pow(D, 4) - math.Pow(d, 4))
	for _, v := range []struct {
		name      string
		got, want float64
	}{
		{"OD, m", outside.OD, D}, {"wall, m", outside.Wall, wall - a}, {"I, m⁴", outside.I, I}, {"Wel, m³", outside.Wel, 2 * I / D},
		{"Wpl, m³", outside.Wpl, (D*D*D - d*d*d) / 6}, {"A, m²", outside.Area, math.Pi / 4 * (D*D - d*d)},
	} {
		rings.Within(1e-12*v.want, v.name, v.want, v.got)
	}
	inside, err := mustRing(t, od, wall).Worn(0, a)
	if err != nil || inside.Wel <= outside.Wel {
		t.Errorf("a loss inside leaves Wel %g, one outside %g, %v", inside.Wel, outside.Wel, err)
	}
}

// A coating of 85 um that loses 1.5 um a year for ever is gone after 85/1.5 years; ten years
// later bare steel that loses 60 um a year has lost 600 um.
func ExampleSurface() {
	s := Surface{Exposed: true, Coating: 85e-6, Zinc: Rates(1.5e-6, 1.5e-6), Steel: Rates(60e-6, 60e-6), Law: LinearLaw}
	gone := s.CoatingGone(MiddleRate, 1)
	fmt.Printf("the zinc is gone in year %.1f\n", gone)
	fmt.Printf("ten years later %.3f mm of steel are gone\n", s.Loss(gone+10, MiddleRate, 1)*1e3)
	// Output:
	// the zinc is gone in year 56.7
	// ten years later 0.600 mm of steel are gone
}
