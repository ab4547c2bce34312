package check

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// A trail stands for each check, when asked for, and its steps lead to the
// utilisation: the last demand over the last resistance.
func TestTrails(t *testing.T) {
	s := throughRails()
	s.scope, s.fitting = baseOut, "slip_force = \"2 kN\"\ntransverse_force = \"2 kN\"\nvalues = \"characteristic\"\nvalues_factor = 1.25"
	s.limits = "deflection = \"30 mm\"\nspan = \"4 mm\"\nvertical = \"2 mm\""
	for _, load := range []string{strings.Replace(outward, "outward", "any", 1), machinery} {
		s.load = load
		r := result(t, s.definition(t), Options{Trails: true})
		if len(r.Trails) != len(r.Checks) {
			t.Fatalf("%d trails of %d checks", len(r.Trails), len(r.Checks))
		}
		for i, trail := range r.Trails {
			row := &r.Checks[i]
			if trail.ID != row.ID || trail.Element != row.Element {
				t.Fatalf("trail %d is of %s of %s, the check of %s of %s", i, trail.ID, trail.Element, row.ID, row.Element)
			}
			demand, resistance := endOf(t, &trail)
			what := trail.ID + " of " + trail.Element
			if math.Abs(demand-row.Demand) > 1e-8*math.Abs(row.Demand) || math.Abs(resistance-row.Resistance) > 1e-8*resistance {
				t.Errorf("%s: trail ends with %v over %v, the check says %v over %v", what, demand, resistance, row.Demand, row.Resistance)
			}
			if u := demand / resistance; math.Abs(u-*row.Utilisation) > 2e-8*u {
				t.Errorf("%s: trail gives %v, the check %v", what, u, *row.Utilisation)
			}
			for _, step := range trail.Steps {
				if step.What == "" || step.Symbol == "" || step.Unit == "" || step.Provenance == "" {
					t.Errorf("%s: step %+v lacks its words, symbol, unit or provenance", what, step)
				}
			}
		}
	}
}

// endOf returns demand and resistance by the symbols of a trail.
func endOf(t *testing.T, trail *Trail) (demand, resistance float64) {
	t.Helper()
	value := map[string]float64{}
	for _, s := range trail.Steps {
		value[s.Symbol] = s.Value
	}
	last := func(symbols ...string) float64 {
		for _, s := range symbols {
			if v, ok := value[s]; ok {
				return v
			}
		}
		t.Errorf("%s of %s: no step of %v in %+v", trail.ID, trail.Element, symbols, trail.Steps)
		return math.NaN()
	}
	_, kind, _ := strings.Cut(trail.ID, "-")
	switch {
	case kind == "together":
		return last("U"), 1
	case kind == "bending":
		return last("MEd,2", "MEd"), last("Mc,Rd")
	case kind == "shear":
		return last("VEd"), last("Vpl,T,Rd", "Vpl,Rd")
	case kind == "torsion":
		return last("TEd"), last("TRd")
	case kind == "interaction":
		sum := last("MEd,2", "MEd")/last("MV,Rd", "Mc,Rd") + math.Pow(last("n"), 1.7)
		if got := last("sum"); math.Abs(got-sum) > 1e-7*sum {
			t.Errorf("%s of %s: sum = %v, its steps give %v", trail.ID, trail.Element, got, sum)
		}
		return last("sum"), 1
	case kind == "buckling":
		lambda, alpha := math.Sqrt(last("A")*last("fy")/last("Ncr")), last("α")
		phi := 0.5 * (1 + alpha*(lambda-0.2) + lambda*lambda)
		n := last("NEd") / (last("A") * last("fy") / (phi + math.Sqrt(phi*phi-lambda*lambda)) / last("γM1"))
		k := last("Cm") * (1 + math.Min(lambda-0.2, 0.8)*n)
		sum := n + k*math.Hypot(last("My"), last("Mz"))*1e3/(last("Wpl")*last("fy")/last("γM1"))
		if got := last("sum"); math.Abs(got-sum) > 1e-7*sum {
			t.Errorf("%s of %s: sum = %v, its steps give %v", trail.ID, trail.Element, got, sum)
		}
		return last("sum"), 1
	case kind == "yield":
		sigma := math.Abs(last("N"))/last("A") + last("MEd,2", "MEd")*1e3/last("Wel")
		tau := math.Abs(last("T"))*1e3/last("Wt") + 2*last("VEd")/last("A")
		if got := last("σeq"); math.Abs(got-math.Sqrt(sigma*sigma+3*tau*tau)) > 1e-7*got {
			t.Errorf("%s of %s: σeq = %v, its steps give %v", trail.ID, trail.Element, got, math.Sqrt(sigma*sigma+3*tau*tau))
		}
		return last("σeq"), last("fy")
	case strings.HasSuffix(kind, "deflection"):
		return last("δ2", "δ"), last("δlim")
	}
	return last("Ed"), last("Rd")
}

// Diagrams stand for the governing post and each rail, when asked for, and hold the
// governing moment.
func TestDiagrams(t *testing.T) {
	r := result(t, example(t, "gallery.toml"), Options{Diagrams: true})
	want := []string{"post 7 resultant moment", "post 7 movement across", "rail top resultant moment", "rail top movement across", "rail knee resultant moment", "rail knee movement across"}
	if len(r.Diagrams) < len(want) {
		t.Fatalf("%d diagrams, want %d and those of signed moments and movements", len(r.Diagrams), len(want))
	}
	governing := r.row(t, "post-bending", "post 7")
	for i, d := range r.Diagrams[:len(want)] {
		if d.Element+" "+d.Quantity != want[i] || d.Load != governing.Load || len(d.Stations) != len(d.Values) || len(d.Stations) < 9 {
			t.Errorf("diagram %d is %s %s under %s with %d stations, %d values; want %s under the governing load", i, d.Element, d.Quantity, d.Load, len(d.Stations), len(d.Values), want[i])
		}
		for k := 1; k < len(d.Stations); k++ {
			if d.Stations[k] < d.Stations[k-1] {
				t.Errorf("%s: stations go back from %v to %v", want[i], d.Stations[k-1], d.Stations[k])
			}
		}
	}
	if got := r.Diagrams[0].Values[0]; math.Abs(got-governing.Demand) > 1e-7*got {
		t.Errorf("moment at the foot of post 7 is %v in the diagram, %v in the check", got, governing.Demand)
	}
}

// A step says how its value is known: what the file gives is the user's, a size of a table as its
// row, and what is reckoned from these and from the run of the frame derived.
func TestStepsAreKnown(t *testing.T) {
	r := result(t, example(t, "boiler-gallery.toml"), Options{Trails: true})
	for _, want := range []struct{ id, symbol, provenance string }{
		{"base-flange-interaction", "x3", usersOwn},
		{"base-flange-interaction", "NRk", usersOwn},
		{"base-flange-interaction", "t", usersOwn},
		{"base-flange-interaction", "D", "memory"},
		{"base-flange-interaction", "e", derived},
		{"base-flange-interaction", "vx", derived},
		{"base-flange-interaction", "Sp", derived},
		{"base-flange-interaction", "Tw", derived},
		{"base-flange-tension", "Rk", usersOwn},
		{"base-flange-bolt-steel", "As", "memory"},
		{"base-socket-moment", "Rk", usersOwn},
		{"fitting-slip", "Rd", usersOwn},
		{"fitting-slip", "Ed", derived},
	} {
		at := slices.IndexFunc(r.Trails, func(trail Trail) bool { return trail.ID == want.id })
		if at < 0 {
			t.Fatalf("no trail of %s", want.id)
		}
		steps := r.Trails[at].Steps
		if i := slices.IndexFunc(steps, func(s Step) bool { return s.Symbol == want.symbol }); i < 0 || steps[i].Provenance != want.provenance {
			t.Errorf("%s: step %d, %s, of %+v; want it known by %q", want.id, i, want.symbol, steps, want.provenance)
		}
	}
}

// Rows tell the same whether the working is kept or not.
func TestRowsWithoutTrails(t *testing.T) {
	for _, name := range examples {
		d := example(t, name)
		kept, brief := result(t, d, Options{Trails: true}), result(t, d, Options{})
		if !reflect.DeepEqual(kept.Checks, brief.Checks) || !reflect.DeepEqual(kept.Bolts, brief.Bolts) {
			t.Errorf("%s: the rows of a check without trails are others", name)
		}
	}
}
