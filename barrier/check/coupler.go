package check

import (
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// Couplers of EN 74-1 by EN 12811-1:2003. The text of its 10.3.3.5 was seen in a public page,
// but for the factor 2 under the moment of a right-angle coupler, which is from memory and not
// used: the moment counts in full.

const (
	couplerValues   = "EN 12811-1 Annex C"
	couplerTogether = "EN 12811-1 10.3.3.5, moment in full"
	sleeveTogether  = "EN 12811-1 10.3.3.5"
)

// aboutRail is what turns the rail in its half of a coupler.
const aboutRail = "twist about the rail"

// couplerGrips are what a coupler must carry, from what the rail does to the post, X along the
// rail and Z along the post: what pulls the tubes apart counts either way.
var couplerGrips = [...]struct {
	kind, symbol, what, formula string
	of                          func(*analysis.State) float64
}{
	{"slip", "Fs1", "force along the rail", "|N|", func(s *analysis.State) float64 { return math.Abs(s.N) }},
	{"slip", "Fs2", "force along the post", "|Vz|", func(s *analysis.State) float64 { return math.Abs(s.Vz) }},
	{"force", "Fp", "force square to both tubes", "|Vy|", func(s *analysis.State) float64 { return math.Abs(s.Vy) }},
	{"moment", "MB", "moment about the axis square to both tubes", "|My|", func(s *analysis.State) float64 { return math.Abs(s.My) }},
	{"twist", "MT", aboutRail, "|T|", func(s *analysis.State) float64 { return math.Abs(s.T) }},
	{"twist", "MT", "twist about the post", "|Mz|", func(s *analysis.State) float64 { return math.Abs(s.Mz) }},
}

// askedOfCoupler returns what a coupler must carry and its class has a value for.
func askedOfCoupler(f *barrier.Tested, turning, leaning float64) []asked {
	var out []asked
	for _, g := range couplerGrips {
		v := resistingOf(f, g.kind)
		if v.given == nil {
			continue
		}
		a := asked{kind: g.kind, what: g.what, symbol: g.symbol, unit: gripUnit(g.kind), of: g.of, formula: g.formula, raised: 1, second: leaning, weight: 1, resisting: v}
		if g.kind == "twist" || g.kind == "moment" {
			a.raised, a.second = math.Min(turning, amplifyTo), turning // above it nothing is judged
		}
		out = append(out, a)
	}
	return out
}

// couplerSum returns how what a coupler carries is added up.
func couplerSum(k *barrier.Coupler) func([]asked) sum {
	if k.Kind == barrier.RightAngleCoupler {
		return rightAngleSum
	}
	return linearSum
}

// rightAngleSum is the interaction of a right-angle coupler, (Fs1 + Fs2)/(2 Fs,d) + Fp/Fp,d +
// MB/MB,d; twist is no term of it.
//
// EN 12811-1:2003 10.3.3.5.
func rightAngleSum(of []asked) sum {
	u := sum{clause: couplerTogether}
	for _, a := range of {
		switch a.symbol {
		case "MT":
			continue
		case "Fs1", "Fs2":
			a.weight = 0.5
		}
		u.of = append(u.of, a)
	}
	has := func(symbol string) bool {
		return slices.ContainsFunc(u.of, func(a asked) bool { return a.symbol == symbol })
	}
	u.formula = "(Fs1Ed + Fs2Ed) / (2 Fs1Rd)"
	if has("Fp") {
		u.formula += " + FpEd / FpRd"
	}
	if has("MB") {
		u.formula += " + MBEd / MBRd"
	}
	return u
}

// sleeveSum is the interaction of a sleeve coupler, Fs/(2 Fs,d) + MB/MB,d.
//
// EN 12811-1:2003 10.3.3.5.
func sleeveSum(of []asked) sum {
	u := sum{of: slices.Clone(of), clause: sleeveTogether, formula: "FEd / (2 FRd)"}
	for i := range u.of {
		if u.of[i].symbol == "F" {
			u.of[i].weight = 0.5
		}
		if u.of[i].symbol == "M" {
			u.formula += " + MEd / MRd"
		}
	}
	return u
}
