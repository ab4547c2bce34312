package sections

import (
	"errors"
	"slices"
	"testing"
)

func TestFindGrade(t *testing.T) {
	const (
		memory219 = "EN 10219-1 Tables A.3 and B.3, from memory"
		memory210 = "EN 10210-1 Table A.3, from memory"
		a500      = "ASTM A500 tensile requirements, public tables"
		a53       = "ASTM A53 tensile requirements, from memory"
	)
	for _, c := range []struct {
		grade, tube    string
		standard, name string
		fy, fu         float64 // MPa
		cautions       []string
		source         string
	}{
		{"S195T", "EN 10255 DN40 medium", "EN 10255", "S195T", 195, 320,
			[]string{"EN 10255 S195T: not in EN 1993-1-1 Table 3.1"}, "EN 10255, public data sheet"},
		// The bands part at 3 mm: EN 10219 counts 3 mm to the thicker, EN 10210 to the thinner.
		{"S355J2H", "EN 10219 48.3x2.6", "EN 10219-1", "S355J2H", 355, 510, nil, memory219},
		{"s355 j2h", "EN 10219 48.3x3.0", "EN 10219-1", "S355J2H", 355, 470, nil, memory219},
		{"S275J0H", "EN 10219 48.3x3.2", "EN 10219-1", "S275J0H", 275, 410, nil, memory219},
		{"S235JRH", "EN 10219 48.3x3.2", "EN 10219-1", "S235JRH", 235, 360, nil, memory219},
		{"S275J0H", "EN 10210 48.3x2.9", "EN 10210-1", "S275J0H", 275, 430, nil, memory210},
		{"S355J2H", "EN 10210 48.3x3.2", "EN 10210-1", "S355J2H", 355, 470, nil, memory210},
		{"S235GT", "EN 39 48.3x3.2", "EN 39", "S235GT", 235, 340,
			[]string{"EN 39 S235GT: not in EN 1993-1-1 Table 3.1"}, "EN 39, from memory"},
		{"EN 10219-1 S235JRH", "EN 10255 DN40 medium", "EN 10219-1", "S235JRH", 235, 360,
			[]string{"grade S235JRH is of EN 10219-1, the tube EN 10255 DN40 medium of EN 10255"}, memory219},
		{"Grade B", "ASTM A53 NPS 1-1/2 STD", "ASTM A53", "Grade B", 240, 415, nil, a53},
		{"A53 Gr B", "ASTM A53 NPS 1-1/2 STD", "ASTM A53", "Grade B", 240, 415, nil, a53},
		{"Grade C to 2018", "ASTM A500 1.900x0.145", "ASTM A500", "Grade C to 2018", 315, 425, nil, a500},
		{"Grade C 2021", "ASTM A500 1.900x0.145", "ASTM A500", "Grade C 2021", 345, 425,
			[]string{"ASTM A500 Grade C 2021: strength of the 2021 edition from memory, doubtful: verify the edition"}, "ASTM A500-21, from memory"},
		{"C350", "AS/NZS 1163 48.3x3.2", "AS/NZS 1163", "C350L0", 350, 430, nil, "AS/NZS 1163, public table"},
		{"350W", "JIS G 3444 48.6x2.4", "CSA G40.21", "350W class C", 350, 450,
			[]string{"grade 350W class C is of CSA G40.21, the tube JIS G 3444 48.6x2.4 of JIS G 3444"}, "CSA G40.21, from memory"},
		{"STK500", "JIS G 3444 48.6x2.4", "JIS G 3444", "STK500", 355, 500, nil, "JIS G 3444, public table"},
		{"6082-T6", "EN 755 48.3x5.0", "EN 1999-1-1", "EN AW-6082 T6 ET", 250, 290, nil, "EN 1999-1-1 Table 3.2b, t <= 5 mm, from memory"},
		{"1.4301", "EN 10217 48.3x2.0", "EN 10217-7", "1.4301", 195, 500, nil, "EN 10217-7, from memory"},
	} {
		tube := mustTube(t, c.tube)
		g, cautions, err := FindGrade(c.grade, tube, tube.Wall)
		if err != nil {
			t.Errorf("FindGrade(%q, %s): %v", c.grade, c.tube, err)
			continue
		}
		if g.Standard != c.standard || g.Name != c.name || g.Fy != c.fy*1e6 || g.Fu != c.fu*1e6 {
			t.Errorf("FindGrade(%q, %s) = %s, fy %g, fu %g MPa; want %s %s, %g, %g (source: %s)",
				c.grade, c.tube, g.label(), g.Fy/1e6, g.Fu/1e6, c.standard, c.name, c.fy, c.fu, c.source)
		}
		if !slices.Equal(cautions, c.cautions) {
			t.Errorf("FindGrade(%q, %s): cautions %q, want %q", c.grade, c.tube, cautions, c.cautions)
		}
	}
}

func TestFindGradeErrors(t *testing.T) {
	for _, c := range []struct {
		grade, tube string
		wall        float64 // m, for a tube without a name
		want        string
	}{
		{"S236", "EN 10219 48.3x3.2", 0, `no grade "S236" for tube to EN 10219-2; nearest: "S235JRH", "S275J0H", "S355J2H"`},
		{"S35J2H", "", 3.2e-3, `no grade "S35J2H"; nearest: "EN 10219-1 S355J2H", "EN 10210-1 S355J2H", "EN 10219-1 S235JRH", "EN 10210-1 S235JRH", "EN 10219-1 S275J0H"`},
		{"S235", "EN 755 48.3x5.0", 0, `no grade "S235" for tube to EN 755-8: EN 10219-1 S235JRH is of steel, the tube of aluminium; nearest: "EN AW-6061 T6", "EN AW-6063 T5 ET", "EN AW-6063 T6 ET", "EN AW-6082 T6 ET", "EN AW-6060 T6 ET"`},
		{"STK290", "JIS G 3444 48.6x2.4", 0, `no grade "STK290" for tube to JIS G 3444: JIS G 3444 STK290 guarantees no yield strength; give those of the certificate as { fy, fu }; nearest: "STK490", "STK400", "STK500", "STK540"`},
		{"EN-GJS-400-15", "EN 10255 DN40 heavy", 0, `no grade "EN-GJS-400-15" for tube to EN 10255: EN 1563 EN-GJS-400-15 is a casting for fitting bodies; nearest: "S195T"`},
		{"EN 1993-1-4 1.4301", "EN 10217 48.3x2.0", 0, `no grade "EN 1993-1-4 1.4301" for tube to EN 10217-7 / EN ISO 1127: EN 1993-1-4 1.4301 is a value of strip or plate; take the tube standard's own; nearest: "1.4301", "1.4307", "1.4401", "1.4404"`},
		{"EN 10219-1 S355J2H", "", 20e-3, `no grade "EN 10219-1 S355J2H": no strength is listed for a wall of 20 mm (EN 10219-1 S355J2H: t < 3 mm, EN 10219-1 S355J2H: 3 <= t <= 16 mm)`},
		{"", "EN 10255 DN40 heavy", 0, `no grade "" for tube to EN 10255; nearest: "S195T"`},
		{"S235JRH", "EN 10255 DN40 medium", 0, `"S235JRH" names more than one grade: "EN 10219-1 S235JRH", "EN 10210-1 S235JRH"`},
		{"B", "ASTM A500 1.900x0.145", 0, `"B" names more than one grade: "ASTM A500 Grade B to 2018", "ASTM A500 Grade B 2021"`},
		{"6060-T6", "", 3e-3, `"6060-T6" names more than one grade: "EN 1999-1-1 EN AW-6060 T6 ET", "EN 1999-1-1 EN AW-6060 T6 DT"`},
	} {
		tube, wall := Tube{}, c.wall
		if c.tube != "" {
			tube = mustTube(t, c.tube)
			wall = tube.Wall
		}
		if _, _, err := FindGrade(c.grade, tube, wall); err == nil || err.Error() != c.want {
			t.Errorf("FindGrade(%q, %q): %v\nwant %s", c.grade, c.tube, err, c.want)
		}
	}
}

// Each grade that an error offers, and each label of the table, is found as it
// stands on a tube of no standard.
func TestEveryGradeIsFound(t *testing.T) {
	for _, g := range Grades() {
		wall := min(g.WallTo, g.WallOver+1e-3)
		found, cautions, err := FindGrade(g.label(), Tube{}, wall)
		if g.Use != UseTube {
			if _, ok := errors.AsType[*UnknownGradeError](err); !ok {
				t.Errorf("FindGrade(%q), of use %s: %v", g.label(), g.Use, err)
			}
			continue
		}
		if err != nil || found.label() != g.label() || found.Fy != g.Fy {
			t.Errorf("FindGrade(%q) = %q, %v", g.label(), found.label(), err)
		}
		if (len(cautions) > 0) != (g.caution != "") {
			t.Errorf("FindGrade(%q): cautions %q", g.label(), cautions)
		}
	}
}

func TestBand(t *testing.T) {
	for _, c := range []struct {
		standard, name string
		wall           float64 // m, picks the band
		want           string
	}{
		{"EN 10219-1", "S355J2H", 2e-3, "t < 3 mm"},
		{"EN 10219-1", "S355J2H", 3e-3, "3 <= t <= 16 mm"},
		{"EN 10210-1", "S355J2H", 3e-3, "t <= 3 mm"},
		{"EN 10210-1", "S355J2H", 4e-3, "3 < t <= 16 mm"},
		{"EN 10255", "S195T", 4e-3, "all walls"},
		{"BS 1139-1.2 / EN 12811", "6082-T6", 4.47e-3, "t = 4.47 mm"},
	} {
		g, _, err := FindGrade(c.standard+" "+c.name, Tube{}, c.wall)
		if err != nil || g.Words() != c.want {
			t.Errorf("%s %s at %g m: band %q, %v; want %q", c.standard, c.name, c.wall, g.Words(), err, c.want)
		}
	}
}
