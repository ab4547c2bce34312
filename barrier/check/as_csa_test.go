package check

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// loneGuard is a guard whose rail is cut at every post, so that every post is a cantilever and
// every bay a simple span: h = 1.0 m, bays of 1.5 m, rigid feet.
func loneGuard(basis, tube, grade, load string) string {
	return `basis = "` + basis + `"
[run]
length = "4.5 m"
spacing = "1.5 m"
toe_plate = "none"
[post]
tube = ` + tube + `
grade = "` + grade + `"
height = "1 m"
[post.base]
stiffness = "rigid"
level = "0 mm"
[[rail]]
name = "top"
height = "1 m"
tube = ` + tube + `
grade = "` + grade + `"
through = false
[[load]]
` + load + `
[limits]
deflection = "50 mm"
override = true
[scope]
leave_out = ["fitting", "base", "geometry"]
`
}

// ring is a tube by hand, m: area, second moment, elastic and plastic modulus.
func ring(od, wall float64) (A, I, Wel, Wpl float64) {
	id := od - 2*wall
	return math.Pi / 4 * (od*od - id*id), math.Pi / 64 * (math.Pow(od, 4) - math.Pow(id, 4)),
		math.Pi / 32 * (math.Pow(od, 4) - math.Pow(id, 4)) / od, (math.Pow(od, 3) - math.Pow(id, 3)) / 6
}

const (
	factorsAS  = "AS/NZS 1170.0 4.2.2 (b) 1.2 G + 1.5 Q; AS 4100 5.1, φ = 0.9 (memory); statics"
	factorsNBC = "NBC Table 4.1.3.2.-A case 2 1.25 D + 1.5 L (memory); CSA S16 13.5, φ = 0.9; statics"
)

// Posts and rails by hand: a force, and the loads of a schedule, with the factors of the basis
// and the capacity of its code.
func TestPostsByHandUnderASAndCSA(t *testing.T) {
	outside := compared(t, verification.Barriers, "lone posts, AS and CSA")
	const own = "name = \"people\"\nkind = \"point\"\nvalue = \"600 N\"\ndirection = \"outward\""
	asTube, aTube := `"AS/NZS 1163 48.3x3.2"`, `"ASTM A500 1.900x0.188"`
	inch := 0.0254
	odA, wallA := 48.3e-3, 3.2e-3
	odC, wallC := 1.9*inch, 0.9*0.188*inch
	_, iA, _, zA := ring(odA, wallA)
	_, iC, _, zC := ring(odC, wallC)
	for _, c := range []struct {
		what, text, source string
		element, id        string
		demand, resistance float64
		combination        string
	}{
		{"AS, 600 N at 1 m", loneGuard("AS", asTube, "C350L0", own), factorsAS, "post 2", "post-bending", 1.5 * 600, 0.9 * 350e6 * zA, "1.20 G + 1.50 Q"},
		{"AS, 600 N on a rail", loneGuard("AS", asTube, "C350L0", own), factorsAS + "; PL/4 with own weight beside it", "rail top bay 1", "rail-bending",
			math.Hypot(1.5*600*1.5/4, 1.2*3.5591*gFall*1.5*1.5/8), 0.9 * 350e6 * zA, "1.20 G + 1.50 Q"},
		{"AS, movement under 600 N", loneGuard("AS", asTube, "C350L0", own), "PL³/3EI, E = 200 GPa", "post 1", "post-deflection", 600 / (3 * 200e9 * iA) * 1e3, 50, "1.00 Q"},
		{"AS 1657, 600 N at 1 m", loneGuard("AS", asTube, "C350L0", `schedule = "AS 1657:2018"`), factorsAS, "post 1", "post-bending", 1.5 * 600, 0.9 * 350e6 * zA, "1.20 G + 1.50 Q"},
		{"AS/NZS 1170.1 C3, 0.75 kN/m over 1.5 m", loneGuard("AS", asTube, "C350L0", "schedule = \"AS/NZS 1170.1\"\noccupancy = \"C3\""), factorsAS + "; at the top of the rail", "post 2", "post-bending",
			1.5 * 750 * 1.5 * (1 + odA/2), 0.9 * 350e6 * zA, "1.20 G + 1.50 Q"},
		{"CSA, 600 N at 1 m", loneGuard("CSA", aTube, "Grade C to 2018", own), factorsNBC, "post 2", "post-bending", 1.5 * 600, 0.9 * 315e6 * zC, "1.25 D + 1.50 L"},
		{"CSA, movement under 600 N", loneGuard("CSA", aTube, "Grade C to 2018", own), "PL³/3EI, E = 200 GPa", "post 1", "post-deflection", 600 / (3 * 200e9 * iC) * 1e3, 50, "1.00 L"},
		{"NBC, 1.0 kN at the top of the rail", loneGuard("CSA", aTube, "Grade C to 2018", "schedule = \"NBC 2010-2020\"\noccupancy = \"equipment\""), factorsNBC + "; at the top of the rail", "post 1", "post-bending",
			1.5 * 1000 * (1 + odC/2), 0.9 * 315e6 * zC, "1.25 D + 1.50 L"},
		{"NBC, 0.75 kN/m over 1.5 m", loneGuard("CSA", aTube, "Grade C to 2018", "schedule = \"NBC 2010-2020\"\noccupancy = \"general\""), factorsNBC + "; at the top of the rail", "post 2", "post-bending",
			1.5 * math.Max(750*1.5, 1000) * (1 + odC/2), 0.9 * 315e6 * zC, "1.25 D + 1.50 L"},
	} {
		r := result(t, parse(t, c.text), Options{})
		row := r.row(t, c.id, c.element)
		outside.near(c.what+": demand", row.Demand, c.demand, 2e-4*c.demand, c.source)
		outside.near(c.what+": resistance", row.Resistance, c.resistance, 1e-6*c.resistance, c.source)
		if row.Combination != c.combination {
			t.Errorf("%s: combination %q, want %q (source: %s)", c.what, row.Combination, c.combination, c.source)
		}
	}
}

// A report under one basis speaks of no other's codes.
func TestNoBasisSpeaksOfAnother(t *testing.T) {
	for basis, c := range map[string]struct{ tube, grade, load, code string }{
		"AS":  {`"AS/NZS 1163 48.3x3.2"`, "C350L0", "schedule = \"AS/NZS 1170.1\"\noccupancy = \"C3\"", "AS 4100"},
		"CSA": {`{ od = "48.3 mm", wall = "3.2 mm" }`, "350W class C", "schedule = \"NBC 2010-2020\"\noccupancy = \"equipment\"", "CSA S16"},
	} {
		r := result(t, parse(t, loneGuard(basis, c.tube, c.grade, c.load)), Options{Trails: true})
		texts := append(append([]string{}, r.Assumptions...), r.Sources...)
		for _, caution := range r.Cautions {
			texts = append(texts, caution.Text)
		}
		for i := range r.Checks {
			texts = append(texts, r.Checks[i].Clause)
		}
		for _, trail := range r.Trails {
			for _, step := range trail.Steps {
				texts = append(texts, step.Clause)
			}
		}
		for _, text := range texts {
			for _, word := range []string{"EN 1", "AISC", "ASCE", "γM", "Eurocode"} {
				if strings.Contains(text, word) {
					t.Errorf("%s: %q speaks of %s", basis, text, word)
				}
			}
		}
		if !says(r.Assumptions, c.code) || !says(r.Sources, c.code) {
			t.Errorf("%s: neither assumptions nor sources name %s", basis, c.code)
		}
	}
}

// Tube to ASTM A500 counts with 0.90 of its nominal wall under CSA, by its standard or, for a
// size of the user's own, by its grade; the least wall that is given counts as given.
func TestWallOfA500UnderCSA(t *testing.T) {
	outside := compared(t, verification.Tubes, "wall of ASTM A500 under CSA S16")
	const source = "0.90 of nominal, public engineer's worked example to CSA S16"
	const load = "name = \"people\"\nkind = \"point\"\nvalue = \"600 N\"\ndirection = \"outward\""
	for _, c := range []struct {
		what, head, tube, grade string
		want                    float64 // mm
	}{
		{"a listed tube", "", `"ASTM A500 1.900x0.188"`, "Grade C to 2018", 0.9 * 0.188 * 25.4},
		{"wall_basis nominal", "wall_basis = \"nominal\"\n", `"ASTM A500 1.900x0.188"`, "Grade C to 2018", 0.9 * 0.188 * 25.4},
		{"wall_basis minimum: 10 % under nominal", "wall_basis = \"minimum\"\n", `"ASTM A500 1.900x0.188"`, "Grade C to 2018", 0.9 * 0.188 * 25.4},
		{"a size of one's own", "", `{ od = "48.3 mm", wall = "4 mm" }`, "ASTM A500 Grade C to 2018", 3.6},
		{"its least wall", "wall_basis = \"minimum\"\n", `{ od = "48.3 mm", wall = "4 mm" }`, "ASTM A500 Grade C to 2018", 4},
		{"G40.21", "", `{ od = "48.3 mm", wall = "4 mm" }`, "350W class C", 4},
		{"a listed tube of EN", "", `"EN 10219 48.3x3.2"`, "S235JRH", 3.2},
	} {
		d := parse(t, c.head+loneGuard("CSA", c.tube, c.grade, load))
		outside.near(c.what+": wall, mm", d.Post.Ring.Wall*1e3, c.want, 1e-9, source)
		outside.near(c.what+": mass on the nominal wall, kg/m", d.Post.MassPerMetre(), math.Pi*(d.Post.Ring.OD-d.Post.Nominal)*d.Post.Nominal*d.Post.Grade.Density, 1e-9, "own weight by nominal dimensions")
		r := result(t, d, Options{})
		if said := says(r.Assumptions, "0.90 of its nominal wall under CSA S16"); said != (c.want < d.Post.Nominal*1e3-1e-9 && !strings.Contains(c.head, "minimum")) {
			t.Errorf("%s: the assumption on the wall is said: %v", c.what, said)
		}
	}
	d := parse(t, loneGuard("AS", `"ASTM A500 1.900x0.188"`, "Grade C to 2018", load))
	outside.near("under AS: wall, mm", d.Post.Ring.Wall*1e3, 0.188*25.4, 1e-9, "nominal wall")
}

// A grade that the code is not written for is cautioned of, and others are not.
func TestForeignGradesUnderASAndCSA(t *testing.T) {
	const load = "name = \"people\"\nkind = \"point\"\nvalue = \"600 N\"\ndirection = \"outward\""
	for _, c := range []struct{ basis, tube, grade, want string }{
		{"AS", `"AS/NZS 1163 48.3x3.2"`, "C350L0", ""},
		{"AS", `"AS 1074 DN40 medium"`, "ordinary", "AS 4100 2.2.1 does not name"},
		{"AS", `"EN 10219 48.3x3.2"`, "S235JRH", "AS 4100 is written for grades of Australian standards"},
		{"CSA", `"ASTM A500 1.900x0.188"`, "Grade C to 2018", ""},
		{"CSA", `"AS/NZS 1163 48.3x3.2"`, "C350L0", "CSA S16 is written for grades of CSA G40.21"},
	} {
		r := result(t, parse(t, loneGuard(c.basis, c.tube, c.grade, load)), Options{})
		if found := says(r.ownCautions(), "is written for") || says(r.ownCautions(), "does not name"); found != (c.want != "") || c.want != "" && !says(r.ownCautions(), c.want) {
			t.Errorf("%s, %s: cautions %q, want %q (source: AS 4100 2.2.1, CSA S16 5.1.3, memory)", c.basis, c.grade, r.ownCautions(), c.want)
		}
	}
}

// The user's own grade has the moduli of the code of its basis.
func TestOwnGradeHasTheModuliOfItsBasis(t *testing.T) {
	outside := compared(t, verification.Grades, "moduli of AS 4100 and CSA S16")
	const load = "name = \"people\"\nkind = \"point\"\nvalue = \"600 N\"\ndirection = \"outward\""
	for basis, want := range map[string][2]float64{"AS": {200e9, 80e9}, "CSA": {200e9, 77e9}} {
		text := strings.ReplaceAll(loneGuard(basis, `{ od = "48.3 mm", wall = "3.2 mm" }`, "own", load), `"own"`, `{ fy = "350 MPa", fu = "450 MPa" }`)
		d := parse(t, text)
		outside.near(basis+": E", d.Post.Grade.E, want[0], 0, "AS 4100 1.4, CSA S16 2.2, memory")
		outside.near(basis+": G", d.Post.Grade.G, want[1], 0, "AS 4100 1.4, CSA S16 2.2, memory")
	}
}

// Lone posts whose bound is above 1.10 are judged by the closed form of the beam-column, out of
// true by the notional forces of the code, on the whole stiffness.
func TestPostBeyondTheBoundByASAndCSA(t *testing.T) {
	load := "name = \"lean\"\nkind = \"point\"\nvalue = \"8 kN\"\ndirection = { azimuth = \"90 deg\", elevation = \"-84 deg\" }"
	for _, c := range []struct {
		basis, tube, grade, source, words string
		dead, slope                       float64
	}{
		{"AS", `"AS/NZS 1163 48.3x3.2"`, "C350L0", beamColumn + "; AS 4100 3.2.4 (memory)", "AS 4100 3.2.4", 1.2, 0.002},
		{"CSA", `{ od = "48.3 mm", wall = "3.2 mm" }`, "350W class C", beamColumn + "; CSA S16 8.4.1 (memory)", "CSA S16 8.4.1", 1.25, 0.005},
	} {
		d := parse(t, loneGuard(c.basis, c.tube, c.grade, load))
		r := result(t, d, Options{})
		row := r.row(t, "post-bending", "post 2")
		if row.SecondOrder == "" || r.open("second order") != nil {
			t.Fatalf("%s: %+v, unchecked %+v", c.basis, row, r.Unchecked)
		}
		if !says(r.Assumptions, c.words) {
			t.Errorf("%s: no assumption names %s", c.basis, c.words)
		}
		m := &d.Post.Member
		weight := c.dead * m.MassPerMetre() * gFall * (1 + 1.5)
		across, down := 1.5*8e3*math.Cos(84*math.Pi/180), 1.5*8e3*math.Sin(84*math.Pi/180)
		moment := func(down float64) float64 {
			v, _ := beamColumnMoment(200e9*m.Ring.I, 1, math.Inf(1), across+c.slope*down, down)
			return v
		}
		between(t, c.basis+": moment", row.Demand, moment(down), moment(down+weight), 1e-3, c.source)
	}
}

// A brace is a strut of its own length, pinned at both ends.
func TestStrutsOfASAndCSA(t *testing.T) {
	outside := compared(t, verification.Resistances, "struts, AS and CSA")
	m := of200(t, 48.3, 3.2, 250, "")
	strut := strutOf(t, loads.BasisAS, m, "AS/NZS 1163", 1.5)
	s := analysis.State{N: -65.9e3}
	outside.near("N*/φNc of 48.3x3.2 C250L0, 1.5 m", strut.Buckling(&s, nil), 1, 0.05/65.9, "public table of Australian design capacities: 65.9 kN")
	canadian := strutOf(t, loads.BasisCSA, m, "", 1.5)
	lambda := 1.5 / (math.Pi * m.Ring.Radius) * math.Sqrt(250e6/200e9)
	outside.near("Cf/Cr of the same", canadian.Buckling(&s, nil), 65.9e3/(0.9*m.Ring.Area*250e6)*math.Pow(1+math.Pow(lambda, 2.68), 1/1.34), 1e-9, "CSA S16 13.3.1 with λ = KL/(π r) √(Fy/E), public")
}

// E of a listed EN grade counts with no more than that of the code.
func TestCriticalForceHasTheModulusOfTheCode(t *testing.T) {
	outside := compared(t, verification.Grades, "moduli in critical forces")
	m := steel(t, 48.3, 3.2, 235) // E = 210 GPa
	for _, basis := range []loads.Basis{loads.BasisAS, loads.BasisCSA} {
		m.Grade.Material = sections.Steel
		outside.near(string(basis)+": EI", criticalStiffness(&barrier.Definition{Basis: basis}, m), 200e9*m.Ring.I, 1e-9, "AS 4100 1.4, CSA S16 2.2, memory")
	}
}

// A material that no code of the basis covers is a problem of the file, at the grade.
func TestUncoveredMaterialIsAProblem(t *testing.T) {
	const load = "name = \"people\"\nkind = \"point\"\nvalue = \"600 N\"\ndirection = \"outward\""
	for _, c := range []struct {
		basis    string
		material sections.Material
		code     string
	}{{"AS", sections.Stainless, "AS 4100"}, {"AS", sections.Aluminium, "AS 4100"}, {"CSA", sections.Stainless, "CSA S16"}} {
		d := parse(t, loneGuard(c.basis, `{ od = "48.3 mm", wall = "3.2 mm" }`, "350W class C", load))
		d.Rails[0].Grade.Material = c.material
		_, err := Run(d, Options{})
		problems, ok := errors.AsType[barrier.Problems](err)
		if !ok || len(problems) != 1 {
			t.Fatalf("%s of %s gives %v, want a problem of the file", c.basis, c.material, err)
		}
		p := problems[0]
		if p.Path != "rail[0].grade" || p.Pos.Line != 17 || !strings.Contains(p.What, c.code) || !strings.Contains(p.Fix, `basis = "EN"`) {
			t.Errorf("%s of %s: problem %+v, want one at the grade of the rail that names %s", c.basis, c.material, p, c.code)
		}
	}
	// And a wall too thin, at the tube.
	text := loneGuard("CSA", `{ od = "200 mm", wall = "1 mm" }`, "350W class C", load)
	_, err := Run(parse(t, text), Options{})
	if problems, ok := errors.AsType[barrier.Problems](err); !ok || problems[0].Path != "post.tube" || !strings.Contains(problems[0].What, "CSA S16 Table 2") {
		t.Errorf("a wall of D/t = 200 gives %v, want a problem at post.tube that names CSA S16 Table 2", err)
	}
}
