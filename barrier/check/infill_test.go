package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/loads"
)

// mesh is an infill on both rails of lonePosts, m.
func mesh(bottom, top float64, opening *float64) barrier.Infill {
	return barrier.Infill{Kind: barrier.MeshInfill, Mass: 4.5, Solidity: 0.35, Bottom: bottom, Top: top, Carrier: barrier.CarriedByRails, Rails: []int{1, 0}, Opening: opening}
}

// A 100 mm sphere must not pass (Approved Document K 3.3, public): infill closes openings where
// it stands, and what stays open above and below it is held against the sphere by itself. By
// hand on 48.3 mm tube with axes at 1100 and 600 mm.
func TestOpeningsWithInfill(t *testing.T) {
	small, large := 0.050, 0.120
	sheet := mesh(0, 1.1, nil)
	sheet.Kind = barrier.SheetInfill
	bars := mesh(0.08, 1.1, nil)
	bars.Kind = barrier.BarInfill
	for _, c := range []struct {
		what, toe string
		infill    barrier.Infill
		found     float64 // mm
		status    Status
		note      string
	}{
		{"no infill", "none", barrier.Infill{}, 600 - 24.15, Fail, "between rail knee and the walking surface"},
		{"closed but for 80 mm below", "none", mesh(0.08, 1.1, &small), 80, Pass, "largest opening, between the infill and the walking surface"},
		{"120 mm open below", "none", mesh(0.12, 1.1, &small), 120, Fail, "largest opening, between the infill and the walking surface"},
		{"open above by 75.85 mm", "none", mesh(0.02, 1.0, &small), 1100 - 24.15 - 1000, Pass, "between rail top and the infill"},
		{"open above by 175.85 mm", "none", mesh(0.02, 0.9, &small), 1100 - 24.15 - 900, Fail, "between rail top and the infill"},
		{"between the rails alone", "none", mesh(0.6, 1.1, &small), 600 - 24.15, Fail, "between rail knee and the walking surface"},
		{"openings of the mesh too large", "none", mesh(0.02, 1.1, &large), 120, Fail, "largest opening, through the infill"},
		{"openings of the mesh not given", "none", mesh(0.02, 1.1, nil), 0, Unchecked, "infill.opening must say the largest ball that passes it"},
		{"not given, and another opening too large", "none", mesh(0.12, 1.1, nil), 120, Fail, "between the infill and the walking surface"},
		{"bars without their opening", "none", bars, 0, Unchecked, "vertical bars"},
		{"a sheet has none", "none", sheet, 0, Pass, "through the infill"},
		{"a toe plate that the mesh reaches", "plate", mesh(0.1, 1.1, &small), 50, Pass, "through the infill"},
		{"a toe plate that is not mentioned", "", mesh(0.12, 1.1, &small), 120, Unchecked, "must close the opening below the infill"},
	} {
		s := throughRails()
		s.load, s.scope, s.limits = "schedule = \"EN 1991-1-1 UK ii\"", "leave_out = [\"fitting\", \"base\"]", ""
		s.run = "length = \"4.5 m\"\nspacing = \"1.5 m\"\n"
		switch c.toe {
		case "none":
			s.run += "toe_plate = \"none\""
		case "plate":
			s.run += "toe_plate = { height = \"100 mm\", gap = \"10 mm\" }"
		}
		d := s.definition(t)
		d.Infill = c.infill
		for _, g := range result(t, d, Options{}).Geometry {
			if !strings.HasPrefix(g.Rule, "a 100 mm sphere") {
				continue
			}
			if g.Status != c.status || g.Found < c.found-1e-6 || g.Found > c.found+1e-6 || !strings.Contains(g.Note, c.note) {
				t.Errorf("%s: %s at %v mm, %q; want %s at %v mm, %q", c.what, g.Status, g.Found, g.Note, c.status, c.found, c.note)
			}
			if g.Schedule != "EN 1991-1-1 UK ii" || g.Occupancy == "" {
				t.Errorf("%s: the row is of %q, %q; want the schedule with its occupancy", c.what, g.Schedule, g.Occupancy)
			}
		}
	}
}

// A height from one to another: 900 to 1100 mm, top of rail at axis + 24.15 mm; and a rule of a
// kind that nothing judges.
func TestRangeOfHeight(t *testing.T) {
	s := machineryGeometry()
	for height, want := range map[string]struct {
		status Status
		bound  float64
	}{"1000 mm": {Pass, 900}, "1090 mm": {Fail, 1100}, "800 mm": {Fail, 900}} {
		s.height = height
		d := withSchedule(t, s, func(s *loads.Schedule) {
			s.Rules = []loads.GeometryRule{
				{Kind: loads.MinHeight, Value: 0.9, AtMost: 1.1, Text: "height of a handrail", Citation: loads.Citation{Confidence: "high"}},
				{Kind: "no such kind", Value: 0.1, Text: "a rule of another kind", Citation: loads.Citation{Confidence: "high"}},
			}
		})
		r := result(t, d, Options{})
		if g := r.Geometry[0]; g.Status != want.status || g.Required != want.bound {
			t.Errorf("%s: %s against %v mm, want %s against %v mm", height, g.Status, g.Required, want.status, want.bound)
		}
		if g := r.Geometry[1]; g.Status != Unchecked || r.open("geometry: a rule of another kind") == nil {
			t.Errorf("a rule that nothing judges is %s, want unchecked", g.Status)
		}
	}
}

// Infill is said with what carries it, and changes the cautions.
func TestInfillIsSaid(t *testing.T) {
	s := throughRails()
	d := s.definition(t)
	opening := 0.05
	d.Infill = mesh(0.1, 1.1, &opening)
	r := result(t, d, Options{})
	if !says(r.Assumptions, "Infill (mesh, solidity 0.35) stands from z = 0.100 m to 1.100 m and is carried by rails knee and top") || !says(r.Assumptions, "4.50 kg/m2") {
		t.Errorf("assumptions do not tell the infill: %q", r.Assumptions)
	}
	c4 := func(r *Result) string {
		for _, c := range r.Cautions {
			if c.ID == "C4" {
				return c.Text
			}
		}
		return ""
	}
	if !strings.Contains(c4(r), "beside the infill that is entered") || !says(r.ownCautions(), "no wind is among its loads") {
		t.Errorf("C4 %q, cautions %q", c4(r), r.ownCautions())
	}
	if r := s.check(t); !strings.Contains(c4(r), "unless entered as infill") || says(r.ownCautions(), "no wind is among") {
		t.Errorf("without infill: C4 %q, cautions %q", c4(r), r.ownCautions())
	}
}

// EN 13374 asks for the top edge of the toe board at 150 mm (public fragment of its 5.1.4): a
// plate of 140 mm on a gap of 10 mm reaches it, and is no 150 mm high itself.
func TestTopOfTheToePlate(t *testing.T) {
	s := machineryGeometry()
	for plate, want := range map[string][2]Status{
		"{ height = \"140 mm\", gap = \"10 mm\" }": {Pass, Fail}, "{ height = \"139 mm\", gap = \"10 mm\" }": {Fail, Fail}, "\"none\"": {Fail, Fail},
	} {
		s.run = "length = \"4.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = " + plate
		d := withSchedule(t, s, func(s *loads.Schedule) {
			high := loads.Citation{Confidence: "high"}
			s.Rules = []loads.GeometryRule{{Kind: loads.MinToeTop, Value: 0.15, Citation: high}, {Kind: loads.MinToeBoard, Value: 0.15, Citation: high}}
		})
		rows := result(t, d, Options{}).Geometry
		if got := [2]Status{rows[0].Status, rows[1].Status}; got != want {
			t.Errorf("plate %s: top edge and height are %v, want %v", plate, got, want)
		}
	}
}

// Infill stands in bays alone: an overhang of 300 mm past a post of 48.3 mm leaves 275.85 mm
// between its rails; one of 110 mm leaves 85.85 mm, which a 100 mm sphere does not pass.
func TestOpeningsOfOverhangs(t *testing.T) {
	opening := 0.05
	for overhang, want := range map[string]struct {
		status Status
		found  float64
	}{"300 mm": {Fail, 300 - 24.15}, "110 mm": {Pass, 110 - 24.15}} {
		s := throughRails()
		s.load, s.scope, s.limits = "schedule = \"EN 1991-1-1 UK ii\"", "leave_out = [\"fitting\", \"base\"]", ""
		s.run = "length = \"4.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"\noverhang = [\"0 mm\", \"" + overhang + "\"]"
		d := s.definition(t)
		d.Infill = mesh(0.02, 1.1, &opening)
		for _, g := range result(t, d, Options{}).Geometry {
			if strings.HasPrefix(g.Rule, "a 100 mm sphere") && (g.Status != want.status || math.Abs(g.Found-want.found) > 1e-6 || !strings.Contains(g.Note, "on the overhang at the end")) {
				t.Errorf("overhang of %s: %s at %v mm, %q; want %s at %v mm", overhang, g.Status, g.Found, g.Note, want.status, want.found)
			}
		}
	}
}
