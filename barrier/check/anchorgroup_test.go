package check

import (
	"math"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/loads"
)

// All bolts together carry what lifts them. Four on R = 45 mm about a tube of 48.3 mm: an uplift as it
// is; 1 kNm square to two of them both times 8.93 kN (DEVELOPERS.md, Feet); on the diagonal the far one
// M (R + D/2) / Σl² and the two beside the tube M (D/2) / Σl², Σl² = (R + D/2)² + 2 (D/2)² (statics). The
// row of a bracket M / s, in however many columns, times prying.
func TestTensionOfAllBolts(t *testing.T) {
	const R, half = 0.045, testTube / 2
	flange := func(turned float64) bolts {
		f := flangeOf(circle(4, R, turned), barrier.LargerOfGroupAndTube, 0)
		return newFlangeBolts(f, testTube, 1, newPlate(f, testTube, loads.BasisEN))
	}
	squares := (R+half)*(R+half) + 2*half*half
	bracket := newBracketBolts(&barrier.Bracket{Eccentricity: 0.06, Spacing: 0.12, Columns: 2, ColumnSpacing: 0.08, Width: 0.14, Prying: 1.2}, 1)
	given := 40e3
	for _, c := range []struct {
		name      string
		bolts     bolts
		actions   FootActions
		want, tol float64
	}{
		{"uplift", flange(math.Pi / 4), FootActions{Fz: 2000}, 2000, 1e-6},
		{"square", flange(math.Pi / 4), leaningTo(1000, 0), 2 * 8930, 10},
		{"diagonal", flange(0), leaningTo(1000, 0), 1000 * (R + 3*half) / squares, 1e-6},
		{"bracket", bracket, FootActions{Mx: -600}, 1.2 * 600 / 0.12, 1e-6},
		{"bracket, the other way", bracket, FootActions{Mx: 600}, 1.2 * 600 / 0.12, 1e-6},
	} {
		n := &anchoring{kind: "flange", anchors: &barrier.Anchors{GroupTension: &given, ValuesFactor: 1}, bolts: c.bolts, basis: loads.BasisEN}
		found := false
		for _, check := range n.footings() {
			if check.id != "base-flange-group-tension" {
				continue
			}
			found = true
			r := &Recorder{}
			used := check.judge(&c.actions, r)
			if math.Abs(r.Demand-c.want) > c.tol || math.Abs(used-c.want/given) > c.tol/given {
				t.Errorf("%s: %.9g N, want %.9g", c.name, r.Demand, c.want)
			}
		}
		if !found {
			t.Errorf("%s: the tension of all bolts is not checked", c.name)
		}
	}
}
