package barrier_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// changed reads the example of the format with pairs of texts replaced.
func changed(t *testing.T, pairs ...string) *barrier.Definition {
	t.Helper()
	return parse(t, strings.NewReplacer(pairs...).Replace(readFile(t, "testdata/gallery.toml")))
}

// near says whether two numbers agree but for rounding.
func near(got, want float64) bool {
	return got == want || math.Abs(got-want) <= 1e-12*math.Abs(want)
}

// ownLoad stands for the schedule of the example under a basis of another family.
const (
	schedule = `schedule = "EN ISO 14122-3"`
	ownLoad  = "kind = \"line\"\nvalue = \"0.36 kN/m\"\ndirection = \"outward\""
)

func TestReadsEnds(t *testing.T) {
	d := changed(t, `start   = "free"`, `start = "wall"`,
		`end     = "free"`, `end = { kind = "wall", along = "held", rotation = ["run", "up"] }`+"\nhazard = \"right\"")
	// 9 m in six bays of 1.5 m between two walls: five posts.
	if want := []float64{1.5, 3, 4.5, 6, 7.5}; !slices.Equal(d.Run.Posts, want) {
		t.Errorf("posts at %v, want %v", d.Run.Posts, want)
	}
	if want := (barrier.End{Wall: true}); d.Run.Start != want {
		t.Errorf("start %+v, want %+v", d.Run.Start, want)
	}
	if want := (barrier.End{Wall: true, X: 9, AlongHeld: true, Rotation: [3]bool{true, false, true}}); d.Run.End != want {
		t.Errorf("end %+v, want %+v", d.Run.End, want)
	}
	if d.Run.Hazard != barrier.Right || d.Run.Hazard.Outward() != -1 {
		t.Errorf("hazard %q", d.Run.Hazard)
	}
	for _, want := range []string{
		`The rails end in a wall at the start of the run, x = 0.000 m, from which run.length counts; no post stands there. The wall holds the ends of the rails across the run and vertically, and lets them turn about every axis; along and rotation are not given and taken as "free".`,
		`The rails end in a wall at the end of the run, x = 9.000 m, to which run.length counts; no post stands there. The wall holds the ends of the rails across the run, along it and vertically, and stops them turning about the axes run and up.`,
	} {
		if !slices.Contains(said(d.Assumptions), want) {
			t.Errorf("assumptions %q lack %q", said(d.Assumptions), want)
		}
	}
	if containsPart(said(d.Assumptions), "axis of the end post") {
		t.Error("an overhang is assumed where both ends are walls")
	}

	d = changed(t, `start   = "free"`, `start = { kind = "wall", rotation = "held" }`, "length  = \"9 m\"\nspacing = \"1.5 m\"", `posts = ["1 m", "3 m"]`,
		`splices = ["5.8 m"]`, `splices = "none"`, `splices = ["4.6 m"]`, `splices = "none"`)
	if d.Run.Start.X != 1 || !slices.Equal(d.Run.Posts, []float64{3}) || d.Run.Start.Rotation != [3]bool{true, true, true} {
		t.Errorf("a wall at 1 m and one post at 3 m: %+v", d.Run)
	}
	if want := `The rails end in a wall at the start of the run, x = 1.000 m, the first place of run.posts; no post stands there. The wall holds the ends of the rails across the run and vertically, and stops them turning about every axis; along is not given and taken as "free".`; !slices.Contains(said(d.Assumptions), want) {
		t.Errorf("assumptions %q lack %q", said(d.Assumptions), want)
	}

	// A wall that holds the rotations lets every bay have a splice.
	d = changed(t, `start   = "free"`, `start = { kind = "wall", rotation = "held" }`, "length  = \"9 m\"\nspacing = \"1.5 m\"", `posts = ["0 m", "2 m", "4 m"]`,
		`splices = ["5.8 m"]`, `splices = ["1.5 m", "2.5 m"]`, `splices = ["4.6 m"]`, `splices = "none"`)
	if len(d.Rails[0].Splices) != 2 {
		t.Errorf("splices %v", d.Rails[0].Splices)
	}
	solve(t, d) // and it stands
}

func TestReadsOverhang(t *testing.T) {
	for _, c := range []struct {
		text string
		want [2]float64
	}{
		{`"200 mm"`, [2]float64{0.2, 0.2}},
		{`["0 mm", "0.3 m"]`, [2]float64{0, 0.3}},
		{`["1 ft", "0 mm"]`, [2]float64{0.3048, 0}},
	} {
		if d := changed(t, `start   = "free"`, "overhang = "+c.text, "stock   = \"6 m\"\n", "stock = \"12 m\"\n"); d.Run.Overhang != c.want {
			t.Errorf("overhang = %s: %v, want %v", c.text, d.Run.Overhang, c.want)
		}
	}
	d := changed(t, `start   = "free"`, `overhang = ["2 m", "0 mm"]`, "stock   = \"6 m\"\nsplices = [\"5.8 m\"]", `splices = "none"`, `splices = ["4.6 m"]`, `splices = "none"`)
	if !containsPart(said(d.Cautions), "longer than the bay beside it, 1.500 m") {
		t.Errorf("cautions %q do not tell of an overhang longer than its bay", said(d.Cautions))
	}
	if !containsPart(said(d.Cautions), "one piece of 11.000 m") {
		t.Errorf("cautions %q do not count the overhang as part of the piece of 9 + 2 m", said(d.Cautions))
	}
	// 9 m of posts and 0.4 m beyond are longer than a stock of 9.2 m.
	d = changed(t, `start   = "free"`, `overhang = ["0 mm", "400 mm"]`, "stock   = \"6 m\"\nsplices = [\"5.8 m\"]", `stock = "9.2 m"`)
	if d.Rails[0].SpliceState != barrier.SplicesUnknown {
		t.Errorf("splices are %q, want unknown: the rail is longer than stock by its overhang", d.Rails[0].SpliceState)
	}
}

func TestReadsJoints(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		text string
		want barrier.Joint
	}{
		{`"free"`, barrier.Joint{Kind: "free"}},
		{`"gripped"`, barrier.Joint{Kind: "gripped", Stiffness: [3]float64{inf, 0, 0}}},
		{`"rigid"`, barrier.Joint{Kind: "rigid", Stiffness: [3]float64{inf, inf, inf}}},
		{`"4 kNm/rad"`, barrier.Joint{Kind: "stiffness", Stiffness: [3]float64{4e3, 4e3, 4e3}}},
		{`{ about_rail = "7.5 kNm/rad" }`, barrier.Joint{Kind: "stiffness", Stiffness: [3]float64{7.5e3, 0, 0}}},
		{`{ about_post = "1 kNm/rad", about_outward = "2 kNm/rad" }`, barrier.Joint{Kind: "stiffness", Stiffness: [3]float64{0, 2e3, 1e3}}},
	} {
		if d := changed(t, `moment = "free"`, "moment = "+c.text); d.Fitting.Moment != c.want {
			t.Errorf("moment = %s: %+v, want %+v", c.text, d.Fitting.Moment, c.want)
		}
	}
	d := changed(t, `moment = "free"`, "offset = \"-48 mm\"\nmass = \"2 lb\"")
	// 1 lb is 0.453 592 37 kg (international yard and pound agreement of 1959).
	if d.Fitting.Offset != -0.048 || !near(d.Fitting.Mass, 0.90718474) {
		t.Errorf("fitting %+v, want an offset of -48 mm and 0.907 184 74 kg", d.Fitting)
	}
}

func TestReadsRules(t *testing.T) {
	for _, c := range []struct {
		text string
		want barrier.Limit
	}{
		{"25 mm", barrier.Limit{Length: 0.025}},
		{"1 in", barrier.Limit{Length: 0.0254}},
		{"h/24 + L/96", barrier.Limit{PerHeight: 1. / 24, PerBay: 1. / 96, Rule: "h/24 + L/96"}},
		{"h / 60+L /240", barrier.Limit{PerHeight: 1. / 60, PerBay: 1. / 240, Rule: "h / 60+L /240"}},
		{"h/120 + 5 mm", barrier.Limit{Length: 0.005, PerHeight: 1. / 120, Rule: "h/120 + 5 mm"}},
		{"L/62.5", barrier.Limit{PerBay: 1 / 62.5, Rule: "L/62.5"}},
		{"h/100 + h/100", barrier.Limit{PerHeight: 0.02, Rule: "h/100 + h/100"}},
	} {
		d := changed(t, `deflection = "25 mm"`, "span = \""+c.text+"\"")
		if *d.Limits.Span != c.want {
			t.Errorf("span = %s: %+v, want %+v", c.text, *d.Limits.Span, c.want)
		}
	}
	d := changed(t, `deflection = "25 mm"`, "rule = \"h/24 + L/96\"\noverride = true")
	// 1100/24 + 1500/96 = 45.83 + 15.63 = 61.46 mm.
	if got := d.Limits.Deflection.At(d.RuleHeight(), d.BayLength(0)); !near(got, 1.1/24+1.5/96) {
		t.Errorf("h/24 + L/96 at 1.1 m and 1.5 m: %v m", got)
	}
	if !containsPart(said(d.Cautions), "(a limit of up to 61.46 mm by h/24 + L/96) stands in place of the 30 mm") {
		t.Errorf("cautions %q do not say that the rule is looser than the schedule", said(d.Cautions))
	}
	if !containsPart(said(d.Assumptions), "above the foot where that is higher, 1100 mm; L is the length of the bay") {
		t.Errorf("assumptions %q do not say what h and L are", said(d.Assumptions))
	}
	// 1100/60 + 1500/240 = 18.33 + 6.25 = 24.58 mm is no looser than 30 mm.
	changed(t, `deflection = "25 mm"`, `rule = "h/60 + L/240"`)
}

// TestReadsTheSameInBothUnits gives one barrier in metric and in US units: but for units,
// file and what was typed the definitions are the same to rounding.
func TestReadsTheSameInBothUnits(t *testing.T) {
	metric := changed(t, "length  = \"9 m\"\nspacing = \"1.5 m\"", "length = \"9.144 m\"\nspacing = \"1.524 m\"\noverhang = [\"0 mm\", \"304.8 mm\"]",
		`height = "1100 mm"`, `height = "1066.8 mm"`, `height  = "1100 mm"`, `height  = "1066.8 mm"`, `"25 mm"`, `"h/60 + 12.7 mm"`, schedule, ownLoad)
	us := changed(t, "length  = \"9 m\"\nspacing = \"1.5 m\"", "length = \"30 ft\"\nspacing = \"5 ft\"\noverhang = [\"0 in\", \"1 ft\"]",
		`height = "1100 mm"`, `height = "42 in"`, `height  = "1100 mm"`, `height  = "42 in"`, `"25 mm"`, `"h/60 + 0.5 in"`, schedule, ownLoad, `"metric"`, `"US"`)
	if us.Units != quantity.US || metric.Units != quantity.Metric {
		t.Errorf("units %v and %v", us.Units, metric.Units)
	}
	pairs := [][2]float64{
		{us.Run.Overhang[1], metric.Run.Overhang[1]}, {us.Post.Height, metric.Post.Height}, {us.Rails[0].Height, metric.Rails[0].Height},
		{us.Limits.Deflection.Length, metric.Limits.Deflection.Length}, {us.Rails[0].Stock, metric.Rails[0].Stock}, {us.RuleHeight(), metric.RuleHeight()},
	}
	for i := range metric.Run.Posts {
		pairs = append(pairs, [2]float64{us.Run.Posts[i], metric.Run.Posts[i]})
	}
	for i, p := range pairs {
		if !near(p[0], p[1]) {
			t.Errorf("value %d: %v in US units, %v in metric", i, p[0], p[1])
		}
	}
	if got, want := said(us.Assumptions), said(metric.Assumptions); !slices.Equal(got, want) {
		t.Errorf("assumptions in metric units differ:\n%q\n%q", got, want)
	}
	var inUS []string
	for _, s := range us.Assumptions {
		inUS = append(inUS, s.In(quantity.US))
	}
	if containsPart(inUS, " mm") || containsPart(inUS, " m,") || !containsPart(inUS, "42 in") {
		t.Errorf("assumptions for a US reader: %q", inUS)
	}
}

func TestReadsTheHead(t *testing.T) {
	d := changed(t, `units = "metric"`, "annex = \"UK\"\nproject = \"North works\"\ndate = 2026-05-03")
	if d.Annex != "UK" || d.Project != "North works" || d.Date != "2026-05-03" {
		t.Errorf("annex %q, project %q, date %q", d.Annex, d.Project, d.Date)
	}
	if d = changed(t, `units = "metric"`, `date = "3 May"`); d.Date != "3 May" {
		t.Errorf("date %q", d.Date)
	}
}

// TestDesignWall reads tubes under AISC 360: their design wall counts, whichever way they
// are given.
func TestDesignWall(t *testing.T) {
	for _, c := range []struct {
		head, tube, grade string
		wall              float64 // m, in use
		source            string
	}{
		{`basis = "AISC-LRFD"`, `"EN 10255 DN40 medium"`, `"S195T"`, 0.93 * 3.2e-3, "AISC 360-16 B4.2: 0.93 of nominal"},
		{`basis = "AISC-ASD"`, `"ASTM A53 NPS 1-1/2 STD"`, `"ASTM A53 Grade B"`, 0.135 * 25.4e-3, "AISC table of pipe: design wall 0.135 in"},
		{`basis = "AISC-ASD"`, `{ od = "48.3 mm", wall = "3.2 mm", wall_is = "nominal" }`, `"ASTM A53 Grade B"`, 0.93 * 3.2e-3, "AISC 360-16 B4.2"},
		{`basis = "AISC-ASD"`, `{ od = "48.3 mm", wall = "3.2 mm", wall_is = "design" }`, `"ASTM A53 Grade B"`, 3.2e-3, "as given"},
		{"basis = \"AISC-ASD\"\nwall_basis = \"nominal\"", `"EN 10255 DN40 medium"`, `"S195T"`, 3.2e-3, "as asked for"},
		{`basis = "EN"`, `{ od = "48.3 mm", wall = "3.2 mm", wall_is = "nominal" }`, `"S235GT"`, 3.2e-3, "nominal under EN"},
	} {
		d := changed(t, `basis = "EN"`, c.head, "tube   = \"EN 10255 DN40 medium\"\ngrade  = \"S195T\"", "tube = "+c.tube+"\ngrade = "+c.grade, schedule, ownLoad)
		if got := d.Post.Ring.Wall; !near(got, c.wall) {
			t.Errorf("%s, tube %s: wall in use %v m, want %v (source: %s)", c.head, c.tube, got, c.wall, c.source)
		}
		isAISC := strings.Contains(c.head, "AISC")
		if foreign := containsPart(said(d.Cautions), "AISC 360 is written for grades of ASTM"); foreign != isAISC {
			t.Errorf("%s: cautions %q of rails of grade S195T", c.head, said(d.Cautions))
		}
		nominal := strings.Contains(c.head, "wall_basis")
		if containsPart(said(d.Cautions), "AISC 360 B4.2 asks for the design wall") != nominal {
			t.Errorf("%s: cautions %q of the nominal wall", c.head, said(d.Cautions))
		}
		if containsPart(said(d.Assumptions), "design wall of AISC 360 B4.2") != (isAISC && !nominal) {
			t.Errorf("%s: assumptions %q", c.head, said(d.Assumptions))
		}
	}
	d := changed(t, "tube   = \"EN 10255 DN40 medium\"\ngrade  = \"S195T\"", "tube = { od = \"1.9 in\", wall = \"0.145 in\" }\ngrade = { fy = \"35 ksi\", fu = \"60 ksi\" }")
	if got := d.Post.NameIn(quantity.US) + ", " + d.Post.GradeIn(quantity.US); got != "1.9 x 0.145 in, fy 35.00 ksi, fu 60.00 ksi" {
		t.Errorf("post of %s", got)
	}
	if got := d.Post.Name + ", " + d.Post.Grade.Name; got != "48.26 x 3.68 mm, fy 241.3 MPa, fu 413.7 MPa" {
		t.Errorf("post of %s", got)
	}
	d = changed(t, "tube   = \"EN 10255 DN40 medium\"\ngrade  = \"S195T\"", "tube = \"ASTM A53 NPS 1-1/2 STD\"\ngrade = \"ASTM A53 Grade B\"")
	if !containsPart(said(d.Cautions), "EN 1993-1-1 is written for grades of EN") || d.Post.NameIn(quantity.US) != d.Post.Name {
		t.Errorf("cautions %q of a grade of ASTM under EN", said(d.Cautions))
	}
}

// TestWeightIsThatOfTheNominalWall weighs tubes whose wall in use is another. EN 10219-2
// prints 3.56 kg/m for 48.3 x 3.2 mm, the AISC table of pipe 2.72 lb/ft for 1-1/2 Std.
func TestWeightIsThatOfTheNominalWall(t *testing.T) {
	for _, c := range []struct {
		head, tube, grade string
		want, rounding    float64 // kg/m, and half of the last digit printed
	}{
		{"basis = \"EN\"\nwall_basis = \"minimum\"", `"EN 10255 DN40 medium"`, `"S195T"`, 3.56, 0.005},
		{`basis = "AISC-LRFD"`, `"EN 10255 DN40 medium"`, `"S195T"`, 3.56, 0.005},
		{`basis = "AISC-LRFD"`, `"ASTM A53 NPS 1-1/2 STD"`, `"ASTM A53 Grade B"`, 2.72 * 0.45359237 / 0.3048, 0.005 * 0.45359237 / 0.3048},
	} {
		d := changed(t, `basis = "EN"`, c.head, "tube   = \"EN 10255 DN40 medium\"\ngrade  = \"S195T\"", "tube = "+c.tube+"\ngrade = "+c.grade, schedule, ownLoad)
		if got := d.Post.MassPerMetre(); math.Abs(got-c.want) > c.rounding {
			t.Errorf("%s, %s: %v kg/m, want %v", c.head, c.tube, got, c.want)
		}
	}
}

// TestOwnSteelUnderAISC takes the moduli of AISC 360 for a grade of the user's own.
func TestOwnSteelUnderAISC(t *testing.T) {
	const source = "AISC 360-16, E = 29 000 ksi, G = 11 200 ksi"
	d := changed(t, `basis = "EN"`, `basis = "AISC-LRFD"`, "grade  = \"S195T\"", "grade = { fy = \"35 ksi\", fu = \"60 ksi\" }", schedule, ownLoad)
	// 1 ksi = 6894.757 293 168 kPa, of 1 lbf = 4.448 221 615 2605 N and 1 in = 25.4 mm.
	if g := d.Post.Grade; !near(g.E, 29_000*6_894_757.293168361) || !near(g.G, 11_200*6_894_757.293168361) {
		t.Errorf("E %v, G %v (source: %s)", g.E, g.G, source)
	}
	for units, want := range map[quantity.System]string{
		quantity.Metric: "The user's own grade has E = 199.9 GPa, as steel has: E is not given.",
		quantity.US:     "The user's own grade has E = 29000 ksi, as steel has: E is not given.",
	} {
		if !slices.ContainsFunc(d.Assumptions, func(s quantity.Sentence) bool { return s.In(units) == want }) {
			t.Errorf("no assumption reads %q", want)
		}
	}
}

// TestStrengthsOfTheBasis takes the strengths of ASTM A53 Grade B, 35 and 60 ksi or 240 and
// 415 MPa, in the units that the basis is written in.
func TestStrengthsOfTheBasis(t *testing.T) {
	const source = "ASTM A53, 35 000 and 60 000 psi [240 and 415 MPa], from memory"
	for _, c := range []struct {
		basis, fy, fu string
	}{
		{"EN", "240 MPa", "415 MPa"},
		{"AISC-LRFD", "35 ksi", "60 ksi"},
		{"AISC-ASD", "35 ksi", "60 ksi"},
	} {
		d := changed(t, `basis = "EN"`, `basis = "`+c.basis+`"`, "tube   = \"EN 10255 DN40 medium\"\ngrade  = \"S195T\"", "tube = \"ASTM A53 NPS 1-1/2 STD\"\ngrade = \"ASTM A53 Grade B\"", schedule, ownLoad)
		for _, s := range []struct {
			got  float64
			want string
		}{{d.Post.Grade.Fy, c.fy}, {d.Post.Grade.Fu, c.fu}} {
			if want, err := quantity.Parse(s.want, quantity.Pressure); err != nil || !near(s.got, want) {
				t.Errorf("%s: %v Pa, want %s (source: %s)", c.basis, s.got, s.want, source)
			}
		}
		// EN 10255 prints no ksi: its S195T stays as it is.
		if fy := d.Rails[0].Grade.Fy; fy != 195e6 {
			t.Errorf("%s: fy of S195T is %v Pa", c.basis, fy)
		}
	}
}

func TestReadsMix(t *testing.T) {
	d := changed(t, `basis = "EN"`, `basis = "AISC-LRFD"`, schedule, schedule+"\nmix = true")
	if !d.Loads[0].Mixed || !containsPart(said(d.Cautions), "EN ISO 14122-3 is of the family EN and is taken as a nominal imposed load of AISC-LRFD, whose own family is ASCE or OSHA: mix = true.") {
		t.Errorf("mixed %v, cautions %q", d.Loads[0].Mixed, said(d.Cautions))
	}
	if d = changed(t, schedule, schedule+"\nmix = false"); d.Loads[0].Mixed {
		t.Error("a load of the basis's own family is mixed")
	}
}
