package analysis_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/internal/verification"
)

// What actions a definition has. Source of the rules: the project's engineering
// rules 4 (where a load acts, what a schedule overrides).
func TestActions(t *testing.T) {
	rails := []railPlan{{name: "top", height: 1.1}, {name: "knee", height: 0.6}, {name: "low", height: 0.3}}
	for _, c := range []struct {
		name, load string
		want       string // one line an action: name, kind, value, rails with shares, factors, symbol
		note       string // must be among the notes
	}{
		{"a point for each metre of bay, itself the ULS action", `schedule = "EN ISO 14122-3"`,
			"EN ISO 14122-3 handrail load: point 300 per metre, top 1.0000, 1.75 Fu, yield 1.75", ""},
		{"line at 1.1 m, infill point on each intermediate rail", `schedule = "EN 1991-1-1 UK ii"`,
			"EN 1991-1-1 UK ii top line load: line 740, top 1.0000, 1.50 Q, yield 1.00; " +
				"EN 1991-1-1 UK ii infill point load: point 500, knee 1.0000, 1.50 Q, yield 1.00; " +
				"EN 1991-1-1 UK ii infill point load: point 500, low 1.0000, 1.50 Q, yield 1.00; " +
				"EN 1991-1-1 UK ii vertical line load: line 600, top 1.0000, 1.50 Q, yield 1.00; " +
				"EN 1991-1-1 UK ii vertical point load: point 1000, top 1.0000, 1.50 Q, yield 1.00", "not applicable, the barrier has no infill"},
		{"on the axis of its rail", own("point", "0.9 kN", "knee", "outward"), "load 1: point 900, knee 1.0000, 1.50 Q, yield 1.00", ""},
		{"between two rails by simple lever", "kind = \"line\"\nvalue = \"0.5 kN/m\"\ndirection = \"outward\"\nheight = \"0.725 m\"",
			"load 1: line 500, top 0.2500, knee 0.7500, 1.50 Q, yield 1.00", "by simple lever 0.2500 of it goes to rail top and 0.7500 to rail knee"},
		{"above the axis, within half a diameter: raised by height over axis", own("point", "0.9 kN", "top", "outward") + "\nheight = \"1.122 m\"",
			"load 1: point 900, top 1.0200, 1.50 Q, yield 1.00", "times 1.0200"},
		{"straight down above the axis: nothing is gained from height", own("point", "0.9 kN", "top", "down") + "\nheight = \"1.122 m\"",
			"load 1: point 900, top 1.0000, 1.50 Q, yield 1.00", "load 1 acts at 1.122 m, within half a diameter of the axis of rail top at 1.100 m: it stands on that axis"},
		{"straight down between two rails: all of it on its rail", "kind = \"line\"\nvalue = \"0.5 kN/m\"\ndirection = \"down\"\nheight = \"0.725 m\"",
			"load 1: line 500, top 1.0000, 1.50 Q, yield 1.00", "all of it stands on the axis of rail top at 1.100 m"},
		{"below the axis, within half a diameter: not lowered", own("point", "0.9 kN", "knee", "outward") + "\nheight = \"0.59 m\"",
			"load 1: point 900, knee 1.0000, 1.50 Q, yield 1.00", "within half a diameter"},
	} {
		p := plan{posts: evenly(3, 1.5), foot: 150e3, rails: rails, loads: []string{c.load}}
		d := p.definition(t)
		actions, notes := analysis.Actions(d)
		var lines []string
		for _, a := range actions {
			var line strings.Builder
			fmt.Fprintf(&line, "%s: %s %g", a.Name, map[bool]string{true: "point", false: "line"}[a.Point], a.Value)
			if a.PerSpacing {
				line.WriteString(" per metre")
			}
			for _, s := range a.Rails {
				fmt.Fprintf(&line, ", %s %.4f", d.Rails[s.Rail].Name, s.Share)
			}
			lines = append(lines, line.String()+fmt.Sprintf(", %.2f %s, yield %.2f", a.Factor(analysis.Strength), a.Symbol, a.Factor(analysis.FirstYield)))
			if a.Factor(analysis.Service) != 1 || a.Factor(analysis.Characteristic) != 1 {
				t.Errorf("%s: factors %g and %g at SLS, want 1", c.name, a.Factor(analysis.Service), a.Factor(analysis.Characteristic))
			}
		}
		if got := strings.Join(lines, "; "); got != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", c.name, got, c.want)
		}
		var said []string
		for _, note := range notes {
			said = append(said, note.In(quantity.Metric))
		}
		if !strings.Contains(strings.Join(said, "\n"), c.note) {
			t.Errorf("%s: notes %q, want one with %q", c.name, said, c.note)
		}
	}
}

// 300 N/m times the larger bay at a post, or the bay that is loaded (the
// project's engineering rules 4, EN ISO 14122-3). Rails cut at every post share
// nothing, so each post carries its own load alone.
func TestPointPerSpacingTakesTheLargerBay(t *testing.T) {
	record := verification.New(t, verification.Placement)
	p := oneRail([]float64{0, 1.0, 2.6, 3.8}, 1.1, math.Inf(1), `schedule = "EN ISO 14122-3"`)
	p.rails[0].cut = true
	a := ready(t, p.definition(t))
	for i, bay := range []float64{1.0, 1.6, 1.6, 1.2} {
		(&row{fmt.Sprintf("post %d, base shear, N", i+1), "300 N/m x L, EN ISO 14122-3:2016 8.2.2 (2)", foot(a, i, shear).Value, 300 * bay, 1e-9 * 300 * bay}).outside(t, record, "300 N/m times the bay")
	}
	for i, q := range a.Rail(0).Probes { // simple spans: P L/4 with P = 300 L
		bay := q.Length
		found := a.Worst(q, bay/2, analysis.Service, measure(moment))
		(&row{fmt.Sprintf("bay %d, moment at the middle, Nm", i+1), "P L/4, P = 300 N/m x L", found.Value, 300 * bay * bay / 4, 1e-9 * bay}).outside(t, record, "300 N/m times the bay")
	}
}

// said holds the notes to one that is asked for.
func said(t *testing.T, notes []quantity.Sentence, want string) {
	t.Helper()
	var all []string
	for _, n := range notes {
		all = append(all, n.In(quantity.Metric))
	}
	if !slices.Contains(all, want) {
		t.Errorf("notes %q, want %q among them", all, want)
	}
}
