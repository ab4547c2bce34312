package quantity_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/quantity"
)

func TestRange(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"900mm..1200mm:50mm", "900 mm, 950 mm, 1000 mm, 1050 mm, 1100 mm, 1150 mm, 1200 mm"},
		{"900 mm..1200 mm:100 mm", "900 mm, 1000 mm, 1100 mm, 1200 mm"},
		{" 900 mm .. 1200 mm : 150 mm ", "900 mm, 1050 mm, 1200 mm"},
		{"1.0..1.5 m:0.1 m", "1 m, 1.1 m, 1.2 m, 1.3 m, 1.4 m, 1.5 m"},
		{"1.0..1.2 m:0.1", "1 m, 1.1 m, 1.2 m"},
		{"0.9m..1200mm:10cm", "0.9 m, 1 m, 1.1 m, 1.2 m"},
		{"900mm..1200mm:70mm", "900 mm, 970 mm, 1040 mm, 1110 mm, 1180 mm"},
		{"36in..42in:3in", "36 in, 39 in, 42 in"},
		{`3'..3'6":3"`, "3 ', 3.25 ', 3.5 '"},
		{`3 ft 6 in..4 ft 6 in:6 in`, "42 in, 48 in, 54 in"},
		{"900mm..950.8mm:1in", "900 mm, 925.4 mm, 950.8 mm"},
		{"1in..50.8mm:25.4mm", "1 in, 2 in"},
		{"1in..3in:10mm", "1 in, 1.3937007874 in, 1.7874015748 in, 2.1811023622 in, 2.57480314961 in, 2.96850393701 in"},
		{"0deg..1rad:0.5rad", "0 deg, 28.6478897565 deg, 57.2957795131 deg"},
		{"3..9:2", "3, 5, 7, 9"},
		{"0.5..1:0.25", "0.5, 0.75, 1"},
		{"-5 K..5 K:5 K", "-5 K, 0 K, 5 K"},
		{"-20..20 K:20", "-20 K, 0 K, 20 K"},
		{"0..1:0.3333333333333", "0, 0.333333333333, 0.666666666667, 1"},
		{"0..2in.:1in.", "0 in, 1 in, 2 in"},
		{"0 in. .. 2 in.:1 in.", "0 in, 1 in, 2 in"},
		{"60..200 kNm/rad:70", "60 kNm/rad, 130 kNm/rad, 200 kNm/rad"},
	} {
		r, err := quantity.ParseRange(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		values := make([]string, r.Len())
		for i := range values {
			values[i] = r.At(i)
		}
		if got := strings.Join(values, ", "); got != c.want {
			t.Errorf("%s is %s, want %s", c.text, got, c.want)
		}
		if !quantity.IsRange(c.text) {
			t.Errorf("%s is taken for no range", c.text)
		}
	}
}

// A sum of many steps of 0.1 in binary is off by rounding at each; the value is not.
func TestRangeDoesNotDrift(t *testing.T) {
	r, err := quantity.ParseRange("0 m..100000 m:0.1 m")
	if err != nil || r.Len() != 1_000_001 {
		t.Fatalf("%d values (%v), want 1000001", r.Len(), err)
	}
	for i, want := range map[int]string{3: "0.3 m", 333_333: "33333.3 m", 999_999: "99999.9 m", 1_000_000: "100000 m"} {
		if got := r.At(i); got != want {
			t.Errorf("value %d is %s, want %s", i, got, want)
		}
	}
}

func TestRangeSaysWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ text, what, fix string }{
		{"900mm..1200mm", `the range "900mm..1200mm" has no step`, "write 900mm..1200mm:step, such as 900mm..1200mm:50mm"},
		{"900mm", `"900mm" is no range`, "write from..to:step, such as 900mm..1200mm:50mm"},
		{"1200mm..900mm:50mm", "the range runs backwards, from 1200 mm to 900 mm", "write 900 mm..1200 mm:50 mm"},
		{"1200mm..900mm:-50mm", "the range runs backwards, from 1200 mm to 900 mm", "write 900 mm..1200 mm:50 mm"},
		{"900mm..1200mm:0mm", "the step is zero", "write a step of more than 0, such as 1 mm"},
		{"900mm..1200mm:-50mm", "the step is negative and never reaches 1200 mm from 900 mm", "write 900 mm..1200 mm:50 mm"},
		{"900mm..1200mm:500mm", "a step of 500 mm never reaches 1200 mm from 900 mm", "write a step of at most 300 mm"},
		{"900mm..900mm:50mm", "the range ends where it begins", "write 900 mm alone, or a larger end"},
		{"900mm..1200mm:50kN", "the step of the range: kN is a force, a length is wanted: mm, m, cm, um, in, ft", `write a length such as "1100 mm" or "42 in"`},
		{"900N..1200mm:50mm", "the start of the range: N is a force, a length is wanted: mm, m, cm, um, in, ft", `write a length such as "1100 mm" or "42 in"`},
		{"900mm..1200:50mm", "the end of the range has no unit", "write a unit behind it, and one behind each part that has another"},
		{"900mm..1200 mmm:50mm", `the end of the range: unknown unit "mmm", a length is wanted: mm, m, cm, um, in, ft`, ""},
		{"..1200mm:50mm", "the start of the range: nothing is there", "write from..to:step, such as 900mm..1200mm:50mm"},
		{"900mm..:50mm", "the end of the range has no unit", "write a unit behind it, and one behind each part that has another"},
		{"900mm..1200mm:", "the step of the range: nothing is there", "write from..to:step, such as 900mm..1200mm:50mm"},
		{"0,9m..1,2m:0,1m", `the end of the range: "1,2m" has a comma, which may group thousands or mark decimals`, `write "1.2 m"`},
		{"0..1 m:1e-9 m", `the range "0..1 m:1e-9 m" has more than 10000000 values`, "write a larger step"},
		{"1..nan:1", "the end of the range: not a finite number: nan", ""},
		{"1e400..2e400:1", "the end of the range: number too large: 2e400", ""},
		{"0um..1e305m:1e304m", "number too large in um", "write the range in one unit"},
		{"0in...5in:1in", `"0in...5in:1in" has more than two points in a row, of which the last may belong to a number`, "write spaces around the two points, such as 0 in. .. 0.5 in.:0.1 in."},
		{strings.Repeat("9", 1001), "text of 1001 characters is too long for a range", ""},
	} {
		_, err := quantity.ParseRange(c.text)
		e, ok := errors.AsType[*quantity.Error](err)
		if !ok || e.What != c.what || c.fix != "" && e.Fix != c.fix {
			t.Errorf("%s: %v\n%+v\nwant %s\n%s", c.text, err, e, c.what, c.fix)
		}
	}
}

func FuzzRange(f *testing.F) {
	for _, text := range []string{"900mm..1200mm:50mm", "1.0..1.5 m:0.1 m", "3..9:2", "36in..1200mm:10cm", `3'6"..4':1"`, "0deg..1rad:0.5rad", "0..1in.:1in", "-5..5 K:1", "1..0:1", "1..2"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := quantity.ParseRange(text)
		if err != nil {
			if e, ok := errors.AsType[*quantity.Error](err); !ok || e.What == "" || e.Text != text {
				t.Errorf("%q: %v does not say what is wrong", text, err)
			}
			return
		}
		if r.Len() < 2 || r.Len() > quantity.LongestRange {
			t.Fatalf("%q has %d values", text, r.Len())
		}
		last := r.Len() - 1
		first, second, end := value(t, r.At(0)), value(t, r.At(1)), value(t, r.At(last))
		if !(first <= second && second <= end) || math.IsInf(end, 0) {
			t.Errorf("%q runs from %g by way of %g to %g", text, first, second, end)
		}
		// Written anew with the values that it has, it is the same range, but for steps that are
		// lost in the 12 figures.
		again, err := quantity.ParseRange(r.At(0) + ".." + r.At(last) + ":" + r.Step())
		if err == nil && again.Len() == r.Len() && again.At(0) != r.At(0) {
			t.Errorf("%q begins with %s and then with %s", text, r.At(0), again.At(0))
		}
		if err != nil {
			again = r // At of no range would end the test
		}
		if short := len(r.At(0)) < 8 && len(r.At(last)) < 8 && len(r.Step()) < 8 && !strings.Contains(r.Step(), "e"); short {
			if err != nil || again.Len() != r.Len() || again.At(last) != r.At(last) {
				t.Errorf("%q has %d values to %s, written anew %d to %s (%v)", text, r.Len(), r.At(last), again.Len(), again.At(last), err)
			}
		}
	})
}

// value reads a quantity of whatever dimension, or a plain number.
func value(t *testing.T, text string) float64 {
	number, unit, _ := strings.Cut(text, " ")
	if unit == "" {
		unit = "mm"
	}
	_, d, ok := quantity.UnitNamed(unit)
	if !ok {
		t.Fatalf("%q has no known unit", text)
	}
	v, err := quantity.Parse(number+" "+unit, d)
	if err != nil {
		t.Fatalf("%q is not read: %v", text, err)
	}
	return v
}
