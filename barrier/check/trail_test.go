package check

import (
	"math"
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
				if step.Symbol == "" || step.Unit == "" || step.Formula == "" {
					t.Errorf("%s: step %+v lacks its symbol, unit or formula", what, step)
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
	case kind == "yield":
		sigma := math.Abs(last("N"))/last("A") + last("MEd,2", "MEd")*1e3/last("Wel")
		tau := math.Abs(last("T"))*1e3/last("Wt") + 2*last("V")/last("A")
		if got := last("σeq"); math.Abs(got-math.Sqrt(sigma*sigma+3*tau*tau)) > 1e-7*got {
			t.Errorf("%s of %s: σeq = %v, its steps give %v", trail.ID, trail.Element, got, math.Sqrt(sigma*sigma+3*tau*tau))
		}
		return last("σeq"), last("fy")
	case strings.HasSuffix(kind, "deflection"):
		return last("δ"), last("δlim")
	}
	return last("Ed"), last("Rd")
}

// Diagrams stand for the governing post and each rail, when asked for, and hold the
// governing moment.
func TestDiagrams(t *testing.T) {
	r := result(t, example(t, "gallery.toml"), Options{Diagrams: true})
	want := []string{"post 7 resultant moment", "post 7 movement across", "rail top resultant moment", "rail top movement across", "rail knee resultant moment", "rail knee movement across"}
	if len(r.Diagrams) != len(want) {
		t.Fatalf("%d diagrams, want %d", len(r.Diagrams), len(want))
	}
	governing := r.row(t, "post-bending", "post 7")
	for i, d := range r.Diagrams {
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
