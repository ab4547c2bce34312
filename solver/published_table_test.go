package solver

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// publishedAnalyses are the kinds of published cases, each with what gives its values and how
// the record calls it.
var publishedAnalyses = []struct {
	kind, name string
	values     func(c *publishedCase, t *testing.T) []float64
	cases      int // in the file, so that none drops out in silence
}{
	{"linear", "linear", (*publishedCase).linear, 50},
	{"pdelta", "second order", (*publishedCase).secondOrder, 7},
	{"buckling", "critical loads", (*publishedCase).criticalLoads, 5},
	{"modal", "natural frequencies", (*publishedCase).frequencies, 6},
	{"plastic", "plastic collapse", (*publishedCase).collapseFactor, 6},
}

// publishedQuantities is how many values the file expects.
const publishedQuantities = 293

// compared is a value that a case expects, beside what was found.
type compared struct {
	*publishedValue
	want, got float64
}

// off returns the difference in tolerances.
func (v *compared) off() float64 { return math.Abs(v.got-v.want) / v.Tol }

// compare sets what was found beside what a case expects, in its units and, where the source
// has magnitudes only, without signs.
func (c *publishedCase) compare(t *testing.T, found []float64) []compared {
	var out []compared
	for i := range c.Expect {
		v := compared{&c.Expect[i], c.Expect[i].Value, found[i]}
		if v.Q.Abs {
			v.got, v.want = math.Abs(v.got), math.Abs(v.want)
		}
		if v.Q.Scale != 0 {
			v.got *= v.Q.Scale
		}
		t.Logf("%s: %.9g, want %.9g ± %.2g", v.Name, v.got, v.want, v.Tol)
		if !(v.off() <= 1) {
			t.Errorf("%s, %s: %s = %.9g, want %.9g ± %.2g (source: %s; %s)", c.ID, c.Description, v.Name, v.got, v.want, v.Tol, c.Source, c.Status)
		}
		out = append(out, v)
	}
	return out
}

// TestPublished runs every published case, each to its tolerance, and puts what they give into
// the record.
func TestPublished(t *testing.T) {
	record := verification.New(t, verification.Frames)
	cases := publishedCases(t)
	ran, values := 0, 0
	for _, a := range publishedAnalyses {
		n := 0
		for i := range cases {
			c := &cases[i]
			if c.Analysis.Type != a.kind {
				continue
			}
			n++
			t.Run(c.ID, func(t *testing.T) {
				got := c.compare(t, a.values(c, t))
				values += len(got)
				for i := range got {
					record.From(fmt.Sprintf("%s: %s (%s)", a.name, c.Description, c.ID), c.Source, c.known(&got[i])).Add(c.nameOf(&got[i]), got[i].want, got[i].ours())
				}
			})
		}
		if n != a.cases {
			t.Errorf("%d cases of kind %s, want %d", n, a.kind, a.cases)
		}
		ran += n
	}
	if ran != len(cases) || ran != 74 || values != publishedQuantities {
		t.Fatalf("%d of %d cases ran with %d values, want 74 and %d", ran, len(cases), values, publishedQuantities)
	}
}

// known tells how a value of a case is known, by the words of its status.
func (c *publishedCase) known(v *compared) verification.Provenance {
	isMovement := v.Q.Dof != "" && v.Q.Type != "reaction"
	switch {
	case strings.HasPrefix(c.Status, "from memory"), isMovement && strings.Contains(c.Status, "deflection from memory"):
		return verification.Memory
	case strings.Contains(c.Status, "closed form"):
		return verification.Derived
	}
	return verification.Public
}

// ours returns what was found; a zero that is found to rounding is one.
func (v *compared) ours() float64 {
	if v.want == 0 && v.off() < 1e-3 {
		return 0
	}
	return v.got
}

// nameOf returns the name of a value with its unit; a value of a dimensionless case, and one that
// the case scales, has none.
func (c *publishedCase) nameOf(v *compared) string {
	if unit := c.unitOf(v); unit != "" {
		return v.Name + ", " + unit
	}
	return v.Name
}

// unitOf returns the unit of a value in those of its case.
func (c *publishedCase) unitOf(v *compared) string {
	length, force := c.Units.Length, c.Units.Force
	turns := publishedFreedoms[v.Q.Dof] >= RX
	switch {
	case v.Q.Scale != 0 || length == "1" || v.Q.Type == "buckling" || v.Q.Type == "collapse":
		return ""
	case v.Q.Type == "freq":
		return "Hz"
	case v.Q.Comp != "":
		if v.Q.Comp[0] == 'M' || v.Q.Comp == "T" {
			return force + " " + length
		}
		return force
	case v.Q.Type == "reaction" && turns:
		return force + " " + length
	case v.Q.Type == "reaction":
		return force
	case turns:
		return "rad"
	}
	return length
}
