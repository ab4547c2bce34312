package check

import (
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
)

// gammaOfEdgeProtection is the partial factor of EN 13374:2013 6.2 on steel; from memory, as
// the limits of its class A below.
func gammaOfEdgeProtection() *loads.Factor {
	return &loads.Factor{Value: 1.1, Citation: loads.Citation{Standard: "EN 13374", Edition: "2013", Clause: "6.2", Source: "from memory", Provenance: "memory", Confidence: "medium"}}
}

// withSchedule returns a barrier whose first load is a schedule of its own, changed from one
// that is carried.
func withSchedule(t *testing.T, s scenario, change func(*loads.Schedule)) *barrier.Definition {
	t.Helper()
	d := s.definition(t)
	own := *d.Loads[0].Schedule
	change(&own)
	d.Loads[0].Schedule = &own
	return d
}

// level returns the actions that do not point down.
func level(actions []loads.Action) []loads.Action {
	return slices.DeleteFunc(slices.Clone(actions), func(a loads.Action) bool { return a.Direction == loads.Down })
}

// rowsOf returns every row of an id and element.
func (r *Result) rowsOf(id, element string) (rows []CheckRow) {
	for _, row := range r.Checks {
		if row.ID == id && row.Element == element {
			rows = append(rows, row)
		}
	}
	return rows
}

// A schedule's partial factor divides what resists its loads and those that act with them, and
// nothing else: Wpl fy / 1.1 and Wpl fy / 1.0. EN 13374:2013 6.2 (memory) and EN 1993-1-1 6.2.5.
func TestGammaOfASchedule(t *testing.T) {
	outside := compared(t, verification.Barriers, "partial factor of a schedule")
	s := lonePosts()
	s.load, s.limits = "schedule = \"EN 1991-1-1 UK v\"\n\n"+outward, "deflection = \"25 mm\""
	d := withSchedule(t, s, func(s *loads.Schedule) { s.GammaM, s.Actions = gammaOfEdgeProtection(), level(s.Actions) })
	d.Loads[0].Name = "edge"
	r := result(t, d, Options{Trails: true})
	rows := r.rowsOf("post-bending", "post 2")
	if len(rows) != 2 {
		t.Fatalf("%d rows of post-bending of post 2, want one under each factor: %+v", len(rows), rows)
	}
	const P, w, h, L = 600.0, 740.0, 1.1, 1.5
	outside.equal("resistance under the schedule", rows[0].Resistance, handWpl*handFy/1.1, "Wpl fy / 1.1")
	outside.equal("demand under the schedule", rows[0].Demand, 1.5*w*L*h, "1.5 w L h")
	outside.equal("resistance under the own load", rows[1].Resistance, handWpl*handFy, "Wpl fy / 1.0")
	outside.equal("demand under the own load", rows[1].Demand, 1.5*P*h, "1.5 P h")
	if rows[0].Provenance != "memory" {
		t.Errorf("provenance %q of a check by a factor from memory", rows[0].Provenance)
	}
	for _, row := range r.rowsOf("post-yield", "post 2") {
		if row.Resistance != handFy/1e6 {
			t.Errorf("first yield is held against %v MPa, want fy undivided", row.Resistance)
		}
	}
	if !says(r.Assumptions, "brings a partial factor of 1.10 on the resistance of steel (EN 13374 6.2): strength is judged with it") {
		t.Errorf("assumptions do not tell the factor: %q", r.Assumptions)
	}
	if !says(r.Sources, "partial factor on resistance 1.10: EN 13374 6.2; from memory (memory)") {
		t.Errorf("sources do not tell the factor: %q", r.Sources)
	}
	found := false
	for _, trail := range r.Trails {
		for _, step := range trail.Steps {
			found = found || trail.ID == "post-bending" && step.Symbol == "γM0" && step.Value == 1.1 && step.Clause == "EN 13374 6.2"
		}
	}
	if !found {
		t.Error("no trail tells γM0 = 1.10 of EN 13374 6.2")
	}
	// Joined, the own load is judged by the same factor.
	d.Loads[0].With, d.Loads[1].With = []int{1}, []int{0}
	for _, row := range result(t, d, Options{}).rowsOf("post-bending", "post 2") {
		outside.equal("resistance under joined loads", row.Resistance, handWpl*handFy/1.1, "Wpl fy / 1.1")
	}
}

// AISC 360 has φ or Ω in place of a partial factor; a mixed schedule loses its own.
func TestGammaWithoutMeaning(t *testing.T) {
	s := lonePosts()
	s.load, s.limits = "schedule = \"EN 1991-1-1 UK v\"\n\n"+outward, ""
	d := withSchedule(t, s, func(s *loads.Schedule) { s.GammaM = gammaOfEdgeProtection() })
	d.Loads[0].Mixed = true
	r := result(t, d, Options{})
	if rows := r.rowsOf("post-bending", "post 2"); len(rows) != 1 || rows[0].Resistance < handWpl*handFy*(1-digits) {
		t.Errorf("a mixed schedule divides resistance: %+v", rows)
	}
	if !says(r.Assumptions, "it is not applied") {
		t.Errorf("nothing says that the factor is not applied: %q", r.Assumptions)
	}
	d.Basis, d.Loads[0].Mixed = loads.BasisLRFD, false
	if r := result(t, d, Options{}); len(r.rowsOf("post-bending", "post 2")) != 1 || !says(r.Assumptions, "φ or Ω instead, and it is not applied") {
		t.Errorf("under AISC: %+v, %q", r.rowsOf("post-bending", "post 2"), r.Assumptions)
	}
}

// Under an accidental action the factor of EN 13374:2013 6.2 is 1.0 (memory).
func TestGammaOfAnAccidentalAction(t *testing.T) {
	s := lonePosts()
	s.load, s.limits = "schedule = \"EN 1991-1-1 UK v\"", ""
	d := withSchedule(t, s, func(s *loads.Schedule) { s.GammaM = gammaOfEdgeProtection() })
	fall := &analysis.Action{Name: "fall", Schedule: d.Loads[0].Schedule, Accidental: true}
	press := &analysis.Action{Name: "press", Schedule: d.Loads[0].Schedule}
	c := &run{d: d, actions: []*analysis.Action{press, fall}}
	if g := c.gammaOf(fall); g.value != 1 || g.clause != "EN 13374 6.2" {
		t.Errorf("accidental: %+v, want 1.00 by EN 13374 6.2", g)
	}
	if g := c.gammaOf(press); g.value != 1.1 {
		t.Errorf("not accidental: %+v, want 1.10", g)
	}
	if n := len(c.situationsOf()); n != 2 {
		t.Errorf("%d situations, want two", n)
	}
}

// A brace is judged by the factor of its schedule in its own checks too.
func TestGammaOfABrace(t *testing.T) {
	s := lonePosts()
	s.run = "length = \"4.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\""
	s.load, s.limits = "schedule = \"EN 1991-1-1 UK v\"", ""
	text := s.toml() + "[[brace]]\npost = 2\nheight = \"1000 mm\"\nfoot = { outward = \"-600 mm\" }\ntube = \"EN 10219 48.3x3.2\"\ngrade = \"S235JRH\"\n"
	plain := result(t, parse(t, text), Options{}).row(t, "brace-buckling", "brace 1")
	d := parse(t, text)
	own := *d.Loads[0].Schedule
	own.GammaM = gammaOfEdgeProtection()
	d.Loads[0].Schedule = &own
	divided := result(t, d, Options{}).row(t, "brace-buckling", "brace 1")
	// N/Nb + k M/Mel: both ratios are 1.1 as large, and 1 + 0.8 n in k is no smaller.
	if ratio := *divided.Utilisation / *plain.Utilisation; ratio < 1.1*(1-digits) || ratio > 1.1*1.1 {
		t.Errorf("buckling of the brace is %.4f of that without the factor, want 1.10 or a little more", ratio)
	}
	if strings.Contains(divided.Clause, "13374") {
		t.Errorf("clause %q", divided.Clause)
	}
}
