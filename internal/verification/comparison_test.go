package verification

import (
	"math"
	"testing"
)

func TestDifference(t *testing.T) {
	for _, c := range []struct{ theirs, ours, want float64 }{
		{100, 101, 0.01}, {-100, -98, 0.02}, {100, 100 * (1 + 1e-8), 0}, {0, 0.5, 0.5}, {0, 1e-15, 0},
	} {
		if got := (Comparison{Theirs: c.theirs, Ours: c.ours}).Difference(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%g beside %g differs by %g, want %g", c.ours, c.theirs, got, c.want)
		}
	}
}

// A number between two of six figures is printed as theirs is, whichever way ours is rounded.
func TestSettled(t *testing.T) {
	for _, c := range []struct {
		theirs, ours float64
		want         string
	}{{351562.5, 351562.5 * (1 + 1e-12), "351562"}, {351562.5, 351562.5 * (1 - 1e-12), "351562"}, {351562.5, 351563, "351563"}, {0, 1e-10, "1e-10"}} {
		if got := printed((Comparison{Theirs: c.theirs, Ours: c.ours}).settled()); got != c.want {
			t.Errorf("%.15g beside %g is printed %s, want %s", c.ours, c.theirs, got, c.want)
		}
	}
}

func TestWhatTheRecordRefuses(t *testing.T) {
	good := Comparison{"EN 39", "48.3x3.2 mass, kg/m", "public extract of EN 39 clause 7.6", Public, 3.56, 3.55915}
	if wrong := good.judge(); wrong != "" {
		t.Errorf("%+v is refused: %s", good, wrong)
	}
	for _, spoil := range []func(*Comparison){
		func(c *Comparison) { c.Row = "" },
		func(c *Comparison) { c.Case = "" },
		func(c *Comparison) { c.Source = "" },
		func(c *Comparison) { c.Provenance = "hearsay" },
		func(c *Comparison) { c.Theirs = math.NaN() },
		func(c *Comparison) { c.Ours = math.Inf(1) },
	} {
		c := good
		spoil(&c)
		if c.judge() == "" {
			t.Errorf("%+v is taken", c)
		}
	}
}
