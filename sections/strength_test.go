package sections

import "testing"

// Yield and tensile strength of the grades that tubes of these standards are made of, MPa, each as
// its standard has it for the wall; from memory.
func TestStrengthsOfStandards(t *testing.T) {
	for _, c := range []struct {
		standard, name string
		wall, fy, fu   float64 // mm, MPa
	}{
		{"EN 10255", "S195T", 3.2, 195, 320},
		{"EN 39", "S235GT", 3.2, 235, 340},
		{"EN 39", "S235GT", 4.0, 235, 340},
		{"EN 10210-1", "S235JRH", 2.9, 235, 360},
		{"EN 10210-1", "S235JRH", 4.0, 235, 360},
		{"EN 10210-1", "S275J0H", 2.9, 275, 430},
		{"EN 10210-1", "S275J0H", 4.0, 275, 410},
		{"EN 10210-1", "S355J2H", 2.9, 355, 510},
		{"EN 10210-1", "S355J2H", 4.0, 355, 470},
		{"EN 10219-1", "S235JRH", 2.9, 235, 360},
		{"EN 10219-1", "S235JRH", 3.2, 235, 360},
		{"EN 10219-1", "S275J0H", 2.9, 275, 430},
		{"EN 10219-1", "S275J0H", 3.2, 275, 410},
		{"EN 10219-1", "S355J2H", 2.9, 355, 510},
		{"EN 10219-1", "S355J2H", 3.2, 355, 470},
		{"AS/NZS 1163", "C250L0", 3.2, 250, 320},
		{"AS/NZS 1163", "C350L0", 3.2, 350, 430},
		{"AS/NZS 1163", "C450L0", 3.2, 450, 500},
		{"CSA G40.21", "350W class C", 3.2, 350, 450},
		{"CSA G40.21", "350W class H", 3.2, 350, 450},
		{"JIS G 3444", "STK400", 3.2, 235, 400},
		{"JIS G 3444", "STK490", 3.2, 315, 490},
		{"JIS G 3444", "STK500", 3.2, 355, 500},
		{"JIS G 3444", "STK540", 3.2, 390, 540},
		{"EN 1999-1-1", "EN AW-6063 T6 DT", 3, 190, 220},
		{"EN 1999-1-1", "EN AW-6063 T66 DT", 3, 195, 230},
		{"EN 1999-1-1", "EN AW-6082 T6 DT", 3, 255, 310},
		{"EN 1999-1-1", "EN AW-6082 T6 DT", 10, 240, 310},
		{"EN 1993-1-4", "1.4301", 3, 230, 540},
		{"EN 1993-1-4", "1.4401", 3, 240, 530},
		{"EN 1993-1-4", "1.4404", 3, 240, 530},
	} {
		found := 0
		for _, g := range Grades() {
			if g.Standard != c.standard || g.Name != c.name || !g.Covers(c.wall*mm) {
				continue
			}
			if found++; found > 1 { // strip of stainless steel: cold rolled, then hot rolled
				continue
			}
			if g.Fy != c.fy*mega || g.Fu != c.fu*mega {
				t.Errorf("%s %s, wall %g mm: fy %g, fu %g, want %g and %g MPa (source: %s, memory)", c.standard, c.name, c.wall, g.Fy/mega, g.Fu/mega, c.fy, c.fu, c.standard)
			}
		}
		if found == 0 {
			t.Errorf("%s has no grade %s for a wall of %g mm", c.standard, c.name, c.wall)
		}
	}
}
