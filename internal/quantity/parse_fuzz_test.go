package quantity

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// FuzzParseQuantity checks that no text makes Parse panic, that what it reads
// is finite, that what it refuses is explained, and that a value printed and
// read again is the value to the printed precision.
func FuzzParseQuantity(f *testing.F) {
	for _, text := range []string{
		"", "1100 mm", "-1.1m", "1,100 mm", "1 100 mm", "1.1.0 m", "1e3 N", "1e400 m", "0e9999 m", "3 ft 6 in", `5'-4-1/2"`,
		"1/0 in", "NaN m", "0.74 kN/m", "50 plf", "235 N/mm²", "60 N·m", "150 kNm/rad", "7 kip-in/deg", "32°", "1.4 µm per year",
		"25 a", "2 lb", "490 lb/ft3", "\x00\xff", "−5 mm", "999999.995 mm",
	} {
		for d := Length; d <= CoatingMass; d++ {
			f.Add(text, int(d))
		}
	}
	f.Fuzz(func(t *testing.T, text string, dimension int) {
		d := Dimension(uint(dimension) % uint(CoatingMass+1))
		v, err := Parse(text, d)
		if err != nil {
			e, ok := errors.AsType[*Error](err)
			if !ok || e.What == "" || e.Fix == "" || e.Text != text || v != 0 {
				t.Fatalf("Parse(%q, %v) = %v, %#v: not explained", text, d, v, err)
			}
			return
		}
		if math.IsNaN(v) || math.IsInf(v, 0) || v == 0 && math.Signbit(v) {
			t.Fatalf("Parse(%q, %v) = %v", text, d, v)
		}
		roundTrip(t, v, d, Metric)
		roundTrip(t, v, d, US)
	})
}

// TestRoundTrip prints and reads values of every size that a barrier has.
func TestRoundTrip(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for d := Length; d <= CoatingMass; d++ {
		for range 2000 {
			v := (2*random.Float64() - 1) * math.Pow(10, 16*random.Float64()-6)
			roundTrip(t, v, d, Metric)
			roundTrip(t, v, d, US)
		}
	}
}

// roundTrip prints v, reads it again and compares. Printing rounds by half a
// unit of the last decimal; converting to the unit and back rounds four times
// (the factor, the conversion, the reading, the difference) by 2⁻⁵³ each.
func roundTrip(t *testing.T, v float64, d Dimension, s System) {
	t.Helper()
	show := shown(d, s)
	u, _, _ := UnitNamed(show.unit)
	if math.IsInf(u.In(v), 0) {
		return // too large for the unit that is shown
	}
	printed := Format(v, d, s)
	again, err := Parse(printed, d)
	half := 0.5 * math.Pow10(-show.digits) * u.Scale
	if err != nil && math.Abs(v) < math.MaxFloat64/2 {
		t.Fatalf("%v: Format(%v) = %q is refused: %v", d, v, printed, err)
	}
	if err == nil && math.Abs(again-v) > half+4*math.Abs(v)*0x1p-53 {
		t.Fatalf("%v: Format(%v) = %q is read as %v", d, v, printed, again)
	}
	fewDigits := math.Abs(u.In(v))*math.Pow10(show.digits) < 1e14 // of the 15 that float64 keeps
	if once := Format(again, d, s); fewDigits && once != printed {
		t.Fatalf("%v: %q is printed again as %q", d, printed, once)
	}
}

// FuzzFeet holds the quick look for feet and fractions against the pattern.
func FuzzFeet(f *testing.F) {
	for _, seed := range []string{"3 ft 6 in", `3'6"`, "1-1/2 in", "42 in", "3 feet 1", "3foot1", "150 kNm/rad", "1/2", "1 /2", "½"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p := footPattern()
		found := p.FindStringSubmatch(text)
		if found == nil || mayHaveParts(text) {
			return
		}
		if found[p.SubexpIndex("feet")] != "" || found[p.SubexpIndex("bottom")] != "" {
			t.Errorf("%q has feet or a fraction and is not looked at", text)
		}
	})
}
