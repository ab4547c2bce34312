package solver

import (
	"math"
	"testing"
)

// collapse runs the plastic analysis of a case.
func (c *publishedCase) collapse(t *testing.T) *Collapse {
	f := c.build(t)
	model, err := f.frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	var strengths []PlasticMoments
	for _, m := range c.Members {
		strengths = append(strengths, PlasticMoments{f.members[m.ID], m.Mpy, m.Mpz})
	}
	out, err := model.Collapse(f.load, strengths)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// firstHinges are the factors at which the first hinge of published cases forms. Source: the
// "formula" of each case, elastic moments of the beam tables: wL²/12, wL²/8, wL²/8.
var firstHinges = map[string]float64{"pl-ff-udl": 12, "pl-propped-udl": 8, "pl-two-span": 8}

// collapseFactor returns the collapse factor that a case expects.
func (c *publishedCase) collapseFactor(t *testing.T) []float64 {
	got := c.collapse(t)
	if len(c.Expect) != 1 || c.Expect[0].Q.Type != "collapse" {
		t.Fatalf("expects %+v", c.Expect)
	}
	if want, known := firstHinges[c.ID]; known && math.Abs(got.Events[0].Factor-want) > 1e-9*want {
		t.Errorf("first hinge at %.9g, want %g (source: %s)", got.Events[0].Factor, want, c.Formula)
	}
	if !(got.Gap < rounding) || got.Events[len(got.Events)-1].Factor != got.Factor {
		t.Errorf("gap %.1e, last event %+v, factor %.9g", got.Gap, got.Events[len(got.Events)-1], got.Factor)
	}
	for _, e := range got.Events {
		t.Logf("%.6f: %+v", e.Factor, e)
	}
	t.Logf("mechanism %+v: %s, %s", got.Mechanism, got.Place, got.Direction)
	return []float64{got.Factor}
}
