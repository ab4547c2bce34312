package loads

import (
	"testing"

	"example.com/stanchion/internal/verification"
)

func TestMachineryGeometry(t *testing.T) {
	// EN ISO 14122-3:2016 7.1, all from memory.
	record := verification.New(t, verification.Loads)
	want := []struct {
		row, kind     string
		value, atMost float64 // m
		binding       bool
		source        string
	}{
		{"M-H", MinHeight, 1.100, 0, true, "EN ISO 14122-3:2016 7.1, 1100 mm (memory, high)"},
		{"M-GAP", MaxGap, 0.500, 0, true, "EN ISO 14122-3:2016 7.1, 500 mm (memory, high)"},
		{"M-TOE", MinToeBoard, 0.100, 0, true, "EN ISO 14122-3:2016 7.1, 100 mm (memory, high)"},
		{"M-TOE", MaxToeGap, 0.012, 0, false, "EN ISO 14122-3:2016 7.1, 12 mm (memory, medium)"},
		{"M-POST", MaxSpacing, 1.500, 0, false, "EN ISO 14122-3 7.1, 1500 mm preferred (memory, medium)"},
		{"M-BREAK", RailInterruption, 0.075, 0.120, false, "EN ISO 14122-3:2016 7.1, 75 to 120 mm (memory, medium)"},
	}
	rules := mustFind(t, "EN ISO 14122-3").Rules
	if len(rules) != len(want) {
		t.Fatalf("%d rules, want %d", len(rules), len(want))
	}
	for i, row := range want {
		r := rules[i]
		geometry := record.From("geometry of EN ISO 14122-3", row.source, verification.Memory)
		geometry.Add(row.kind+": m", row.value, r.Value)
		if row.atMost > 0 {
			geometry.Add(row.kind+": at most, m", row.atMost, r.AtMost)
		}
		if r.Kind != row.kind || !equal(r.Value, row.value) || !equal(r.AtMost, row.atMost) || r.Binding() != row.binding || r.Provenance != "memory" {
			t.Errorf("%s: %s %g to %g m, binding %v, %s; want %s %g to %g m, binding %v, memory (source %s)", row.row,
				r.Kind, r.Value, r.AtMost, r.Binding(), r.Provenance, row.kind, row.value, row.atMost, row.binding, row.source)
		}
	}
	if !rules[4].Preferred {
		t.Error("the post spacing is not marked as preferred")
	}
}

func TestUKGeometry(t *testing.T) {
	record := verification.New(t, verification.Loads)
	const diagram = "Approved Document K (2013) Diagram 3.1 / BS 6180 Table 1"
	for _, row := range []struct {
		schedule string
		height   float64 // m; 0: no height read
		sphere   string  // "binding", "conditional" or "none": 100 mm, Approved Document K (2013) 3.3
		source   string
	}{
		{"EN 1991-1-1 UK i", 0.900, "binding", diagram + ", single dwelling"},
		{"EN 1991-1-1 UK ii", 1.100, "binding", diagram + ", residential; external balconies"},
		{"EN 1991-1-1 UK iii", 1.100, "none", diagram + ", factories and warehouses"},
		{"EN 1991-1-1 UK iv", 1.100, "none", diagram + ", factories and warehouses"},
		{"EN 1991-1-1 UK v", 1.100, "conditional", diagram + ", office; factories and warehouses"},
		{"EN 1991-1-1 UK vi", 0.800, "conditional", diagram + ", within 530 mm of fixed seating"},
		{"EN 1991-1-1 UK vii", 1.100, "conditional", diagram + ", public"},
		{"EN 1991-1-1 UK viii", 1.100, "conditional", diagram + ", public"},
		{"EN 1991-1-1 UK ix", 1.100, "conditional", diagram + ", external balconies and roof edges"},
		{"EN 1991-1-1 UK x", 0, "conditional", "no row read"},
		{"EN 1991-1-1 UK xi", 1.100, "conditional", diagram + ", assembly elsewhere"},
		{"EN 1991-1-1 UK xiii", 1.100, "conditional", diagram + ", retail elsewhere"},
		{"EN 1991-1-1 UK xiv", 0, "conditional", "no row read"},
	} {
		height, sphere := 0.0, "none"
		for _, r := range mustFind(t, row.schedule).Rules {
			switch r.Kind {
			case MinHeight:
				height = r.Value
				record.From("heights of UK rows", row.source, verification.Provenance(r.Provenance)).Add(row.schedule+": least height, m", row.height, height)
				if !r.Binding() {
					t.Errorf("%s: the height rule does not bind", row.schedule)
				}
			case MaxSphere:
				sphere = "conditional"
				if r.Binding() {
					sphere = "binding"
				}
				record.From("openings of UK rows", "Approved Document K (2013) 3.3", verification.Provenance(r.Provenance)).Add(row.schedule+": sphere, m", 0.1, r.Value)
				if !equal(r.Value, 0.100) {
					t.Errorf("%s: sphere %g m, want 0.1 m (source Approved Document K (2013) 3.3)", row.schedule, r.Value)
				}
			default:
				t.Errorf("%s: unexpected rule %s", row.schedule, r.Kind)
			}
		}
		if !equal(height, row.height) || sphere != row.sphere {
			t.Errorf("%s: height %g m, sphere %s; want %g m, %s (source %s)", row.schedule, height, sphere, row.height, row.sphere, row.source)
		}
	}
}

func TestBinding(t *testing.T) {
	for _, row := range []struct {
		what string
		rule GeometryRule
		want bool
	}{
		{"plain, high", GeometryRule{Citation: Citation{Confidence: "high"}}, true},
		{"preferred", GeometryRule{Citation: Citation{Confidence: "high"}, Preferred: true}, false},
		{"outdated", GeometryRule{Citation: Citation{Confidence: "high"}, Outdated: true}, false},
		{"conditional", GeometryRule{Citation: Citation{Confidence: "high"}, When: "indoors"}, false},
		{"medium", GeometryRule{Citation: Citation{Confidence: "medium"}}, false},
		{"low", GeometryRule{Citation: Citation{Confidence: "low"}}, false},
	} {
		if got := row.rule.Binding(); got != row.want {
			t.Errorf("%s: binding %v, want %v", row.what, got, row.want)
		}
	}
}
