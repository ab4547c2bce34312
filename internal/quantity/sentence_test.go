package quantity_test

import (
	"math"
	"testing"

	"example.com/stanchion/internal/quantity"
)

// A sentence gives each reader its amounts in his own units: NIST SP 811 B.8, 1 in =
// 25.4 mm, 1 ft = 12 in, 1 lbf = 4.4482216152605 N.
func TestSentence(t *testing.T) {
	inner := quantity.Say("at %s", quantity.Place(9.1440))
	said := quantity.Say("rail %s, %s high, carries %s %s", "top", quantity.Size(1.0668), quantity.Of(889.6443230521, quantity.Force), inner)
	for units, want := range map[quantity.System]string{
		quantity.Metric: "rail top, 1066.8 mm high, carries 0.890 kN at 9.144 m",
		quantity.US:     "rail top, 42 in high, carries 200.0 lbf at 30'0.00\"",
	} {
		if got := said.In(units); got != want {
			t.Errorf("in %s: %q, want %q", units, got, want)
		}
	}
	if got := (quantity.Sentence{}).In(quantity.US); got != "" {
		t.Errorf("the zero sentence is %q", got)
	}
}

// Feet and inches carry over at the inch and the foot, keep their sign, and are read back.
func TestFeetAndInches(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0 ft 0.00 in", 0.3048: "1 ft 0.00 in", 0.304799: "1 ft 0.00 in", 9.002: "29 ft 6.41 in", -0.1016: "-0 ft 4.00 in", -1e-9: "0 ft 0.00 in",
		math.Inf(1): "inf",
	} {
		if got := quantity.FeetAndInches(v); got != want {
			t.Errorf("%g m is %q, want %q", v, got, want)
		}
	}
	for _, v := range []float64{0, 0.02, 0.3048, 1.1, 9.002, 123.456} {
		for _, text := range []string{quantity.FeetAndInches(v), quantity.FeetAndInchesShort(v, 2)} {
			back, err := quantity.Parse(text, quantity.Length)
			if err != nil || math.Abs(back-v) > 0.005*0.0254+1e-12 {
				t.Errorf("%g m is printed %s and read back as %g m (%v)", v, text, back, err)
			}
		}
	}
}

// TestModulus prints the moduli of EN 1993-1-1 3.2.6 (210 000 and 81 000 MPa) and of
// AISC 360 (29 000 and 11 200 ksi), as the codes have them.
func TestModulus(t *testing.T) {
	for _, c := range []struct {
		text       string
		metric, us string
	}{
		{"210000 MPa", "210 GPa", "30458 ksi"},
		{"81 GPa", "81 GPa", "11748 ksi"},
		{"29000 ksi", "199.9 GPa", "29000 ksi"},
		{"11200 ksi", "77.2 GPa", "11200 ksi"},
	} {
		v, err := quantity.Parse(c.text, quantity.Pressure)
		if m := quantity.Modulus(v); err != nil || m.In(quantity.Metric) != c.metric || m.In(quantity.US) != c.us {
			t.Errorf("%s is printed %s and %s (%v), want %s and %s", c.text, m.In(quantity.Metric), m.In(quantity.US), err, c.metric, c.us)
		}
	}
}
