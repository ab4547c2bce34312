package sections

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// TestStrengthsInKsi reads grades whose standard prints both units.
func TestStrengthsInKsi(t *testing.T) {
	record := verification.New(t, verification.Grades)
	for _, c := range []struct {
		standard, name string
		fy, fu         float64 // ksi
		source         string
	}{
		{"ASTM A53", "Grade B", 35, 60, "ASTM A53, from memory"},
		{"ASTM A53", "Grade A", 30, 48, "ASTM A53, from memory"},
		{"ASTM A500", "Grade C to 2018", 46, 62, "public tables of ASTM A500"},
		{"ASTM A1085", "Grade A", 50, 65, "ASTM A1085, from memory"},
	} {
		found := false
		for _, g := range Grades() {
			if g.Standard != c.standard || g.Name != c.name {
				continue
			}
			found = true
			r := g.Row()
			known := verification.Memory
			if strings.HasPrefix(c.source, "public") {
				known = verification.Public
			}
			row := record.From("strengths of grades that are printed in both units", c.source, known)
			row.Add(g.label()+": fy, ksi", c.fy, deref(r.FyKsi))
			row.Add(g.label()+": fu, ksi", c.fu, deref(r.FuKsi))
			if r.FyKsi == nil || r.FuKsi == nil || *r.FyKsi != c.fy || *r.FuKsi != c.fu {
				t.Errorf("%s: %v and %v, want %g and %g ksi (source: %s)", g.label(), r.FyKsi, r.FuKsi, c.fy, c.fu, c.source)
			}
			// 1 ksi is 4448.2216152605 N on 25.4 mm by 25.4 mm.
			if want := c.fy * 4448.2216152605 / (0.0254 * 0.0254); math.Abs(g.FyUS-want) > 1e-12*want {
				t.Errorf("%s: FyUS %v Pa, want %v", g.label(), g.FyUS, want)
			}
		}
		if !found {
			t.Errorf("no grade %s %s", c.standard, c.name)
		}
	}
}

// deref returns a number that may be missing, then 0.
func deref(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

// TestBothUnitsAreRoundings compares the two strengths of a row: they stand in the grades
// of ASTM and in no other, and differ by no more than the rounding of the MPa. Those of tube
// and castings are on 5 MPa, typical ones on 10.
func TestBothUnitsAreRoundings(t *testing.T) {
	for _, g := range Grades() {
		if isASTM := strings.HasPrefix(g.Standard, "ASTM"); (g.FyUS > 0) != isASTM || (g.FuUS > 0) != isASTM {
			t.Errorf("%s: FyUS %v, FuUS %v Pa", g.label(), g.FyUS, g.FuUS)
			continue
		} else if !isASTM {
			continue
		}
		half := 2.5e6
		if g.Use == UseTypical {
			half = 5e6
		}
		if math.Abs(g.Fy-g.FyUS) > half || math.Abs(g.Fu-g.FuUS) > half {
			t.Errorf("%s: fy %v and %v, fu %v and %v Pa are no roundings of each other", g.label(), g.Fy, g.FyUS, g.Fu, g.FuUS)
		}
	}
}
