package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
)

// surveyed returns a scenario with a survey below it.
func surveyed(t testing.TB, s scenario, survey string) *barrier.Definition {
	t.Helper()
	return parse(t, s.toml()+"\n"+survey)
}

// A lone post of a measured wall: what the wall has lost is off the outside.
func TestLoneCantileverOfAMeasuredWall(t *testing.T) {
	outside := compared(t, verification.Barriers, "surveyed lone post")
	const (
		source = "Wpl = (D³ - d³)/6, EN 1993-1-1 6.2.5, fy 235 MPa; F h³/3EI + F h²/kφ"
		h      = 1.1
		load   = 600.0
	)
	r := result(t, surveyed(t, lonePosts(), "[[survey.post]]\npost = 2\nwall = [\"2.5 mm\", \"2.2 mm\"]\nfoot = \"50 kNm/rad\"\n"), Options{})
	od := 48.3 - 2*(3.2-2.2)
	bore := od - 2*2.2
	row := r.row(t, "post-bending", "post 2")
	outside.near("Mpl,Rd, Nm", row.Resistance, (od*od*od-bore*bore*bore)/6*235*1e-3, 1e-3, source)
	outside.near("of a post as new, Nm", r.row(t, "post-bending", "post 1").Resistance, (math.Pow(48.3, 3)-math.Pow(41.9, 3))/6*235*1e-3, 1e-3, source)
	i := math.Pi / 64 * (math.Pow(od, 4) - math.Pow(bore, 4)) * 1e-12
	outside.near("movement of the top, mm", r.Posts[1].TopDeflection, (load*h*h*h/(3*210e9*i)+load*h*h/50e3)*1e3, 1e-3, source)
}

// The same in the middle of a run so long that influence is read by blocks.
func TestMeasuredWallInALongRun(t *testing.T) {
	outside := compared(t, verification.Barriers, "surveyed post in a run")
	const h, load = 1.1, 600.0
	s := lonePosts()
	s.run, s.knee = "length = \"163.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"", ""
	r := result(t, surveyed(t, s, "[[survey.post]]\npost = 57\nwall = \"2.2 mm\"\nod = \"46.3 mm\"\nfoot = \"50 kNm/rad\"\n"), Options{})
	for post, c := range map[int]struct{ od, bore, foot float64 }{56: {46.3, 41.9, 50e3}, 55: {48.3, 41.9, 150e3}, 57: {48.3, 41.9, 150e3}} {
		i := math.Pi / 64 * (math.Pow(c.od, 4) - math.Pow(c.bore, 4)) * 1e-12
		outside.near("movement of the top, mm", r.Posts[post].TopDeflection, (load*h*h*h/(3*210e9*i)+load*h*h/c.foot)*1e3, 1e-3, "F h³/3EI + F h²/kφ")
	}
}

// A barrier of which every member was measured and has its nominal wall is the barrier as new; one of
// which a wall was not measured never passes.
func TestMeasuredAsNewIsAsNew(t *testing.T) {
	const all = "[[survey.post]]\npost = [1, 2, 3, 4]\nwall = \"3.2 mm\"\n[[survey.rail]]\nrail = \"top\"\nwall = \"3.2 mm\"\n"
	const knee = "[[survey.rail]]\nrail = \"knee\"\nwall = \"3.2 mm\"\n"
	fresh := throughRails().check(t)
	for _, c := range []struct {
		survey string
		status Status
		open   string
	}{{all + knee, fresh.Status, ""}, {all, Incomplete, "rail knee"}, {knee, Incomplete, "posts 1 to 4, rail top"}} {
		r := result(t, surveyed(t, throughRails(), c.survey), Options{})
		if r.Status != c.status || fresh.Status != Pass {
			t.Errorf("%q gives %s, as new %s", c.survey, r.Status, fresh.Status)
		}
		if it := r.open("walls: "); c.open != "" && (it == nil || it.Item != "walls: "+c.open) || c.open == "" && it != nil {
			t.Errorf("%q leaves open %v, want %q", c.survey, it, c.open)
		}
		for i := range fresh.Checks {
			if want, got := fresh.Checks[i], r.Checks[i]; want.ID != got.ID || want.Element != got.Element || math.Abs(*want.Utilisation-*got.Utilisation) > 1e-9 {
				t.Errorf("%s of %s = %v, as new %v", got.ID, got.Element, *got.Utilisation, *want.Utilisation)
			}
		}
		if a := r.Survey.AsNew; a == nil || *a.Governing.Utilisation != *fresh.Governing.Overall.Utilisation {
			t.Errorf("as new %v, want %v", a, fresh.Governing.Overall)
		}
	}
}

// At a year the barrier as new is still that of the file, whatever the weather has taken since the survey.
func TestAsNewAtAYear(t *testing.T) {
	const found = "[exposure]\ncategory = \"C4\"\n[[survey.post]]\npost = [1, 2]\nwall = \"3.0 mm\"\n[[survey.rail]]\nrail = \"top\"\nwall = \"2.9 mm\"\n"
	fresh := throughRails().check(t)
	r := atYear(t, surveyed(t, throughRails(), found), 10)
	if a := r.Survey.AsNew; a == nil || *a.Governing.Utilisation != *fresh.Governing.Overall.Utilisation {
		t.Errorf("as new %v, want %v", a, fresh.Governing.Overall)
	}
	if *r.Governing.Overall.Utilisation <= *fresh.Governing.Overall.Utilisation {
		t.Errorf("at year 10 %v, as new %v", r.Governing.Overall, fresh.Governing.Overall)
	}
}

// At a year the wall that counts in the table of the survey is the thinnest, on which strength is judged:
// bare steel at 80 um/year and linear loses 10 x 0.08 x 1.5 mm outside at a foot, and 10 x 0.08 mm inside.
func TestCountedWallAtAYear(t *testing.T) {
	outside := compared(t, verification.Corrosion, "counted wall of a surveyed post")
	const found = "[exposure]\nsteel_rate = \"80 um/year\"\nat_foot = 1.5\nat_fitting = 1\n[[survey.post]]\npost = 1\nwall = \"3.0 mm\"\n"
	r := atYear(t, surveyed(t, throughRails(), found), 10)
	row := &r.Survey.Rows[0]
	outside.near("counted wall, mm", *row.CountedWall, 3.0-1.2-0.8, 1e-9, "linear loss by hand")
	outside.near("counted diameter, mm", *row.CountedOD, 48.3-2*0.2-2*1.2, 1e-9, "linear loss by hand")
}

// The foot that was found loose keeps its stiffness while the others are sought; on those the limit is met
// and no more, by a frame of its own.
func TestLeastStiffnessBesideALooseFoot(t *testing.T) {
	const loose = "[[survey.post]]\npost = 2\nfoot = \"45 kNm/rad\"\n"
	s := throughRails()
	s.base, s.load, s.limits = "", machinery, "deflection = \"20 mm\""
	d := surveyed(t, s, loose)
	r := result(t, d, Options{})
	if r.Foot.LeastStiffness == nil {
		t.Fatal("no least stiffness is found")
	}
	d.Post.Base.Stiffness = []float64{*r.Foot.LeastStiffness}
	there := result(t, d, Options{})
	near(t, "largest utilisation of movement on the least feet", *there.Governing.Deflection.Utilisation, 1, 1e-6, "a frame on such feet")
	d.Post.Base.Stiffness = []float64{math.Inf(1)}
	own, fresh := result(t, d, Options{}).Posts[1].TopDeflection, result(t, d.AsBuilt(), Options{}).Posts[1].TopDeflection
	if !(own > 1.2*fresh) {
		t.Errorf("the loose foot moves its post by %v mm among rigid feet, a rigid one by %v mm", own, fresh)
	}
}

// A cracked fitting passes no moment, no tested value holds of it, and what it passes on is open, whatever
// is left out.
func TestCrackedFitting(t *testing.T) {
	const cracked = "[[survey.fitting]]\npost = 2\nrail = \"top\"\nfound = \"cracked\"\n"
	s := throughRails()
	s.fitting = "moment = \"gripped\"\nslip_force = \"5 kN\"\nslip_moment = \"500 Nm\"\ntransverse_force = \"10 kN\"\nvalues = \"design\""
	s.scope = "leave_out = [\"base\", \"geometry\"]"
	d := surveyed(t, s, cracked)
	c, err := calculate(d, Options{}, whole)
	if err != nil {
		t.Fatal(err)
	}
	m := c.models[0]
	for _, post := range []int{1, 2} {
		whole, _ := m.analysis.Grip(0, post)
		twist := c.worstHeld(m, whole, 0, query(analysis.Strength, nil, sizeTorsion))[0][0].Value
		if post == 1 && twist > 1e-9 || post == 2 && twist < 1 {
			t.Errorf("the fitting at post %d passes %v Nm about the rail", post+1, twist)
		}
	}
	r := result(t, d, Options{})
	slip, force := r.open("cracked fitting 2 top: slip"), r.open("cracked fitting 2 top: force")
	if slip == nil || force == nil || !(force.Demand > 100) {
		t.Fatalf("open: %v", r.Unchecked)
	}
	if r.Status != Incomplete {
		t.Errorf("status %s", r.Status)
	}
	s.fitting, s.scope = "moment = \"free\"", allOut
	if left := result(t, surveyed(t, s, cracked), Options{}); left.open("cracked fitting 2 top: force") == nil {
		t.Error("a cracked fitting is left out with the others")
	}
}

// Two of the top rail's fittings gone: it spans three bays, and buckles as long.
func TestRailCriticalWithoutFittings(t *testing.T) {
	outside := compared(t, verification.Stability, "rail past missing fittings")
	s := throughRails()
	s.run, s.knee = "length = \"6 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"", ""
	s.base = "stiffness = \"rigid\""
	d := surveyed(t, s, "[[survey.fitting]]\npost = [2, 3, 4]\nrail = \"top\"\nfound = \"missing\"\n")
	d.Post.Grade.E *= 1e6
	l := layoutOf(d, math.Inf(1), spliceModels(d)[0])
	ei := d.Rails[0].Grade.E * d.Rails[0].Ring.I
	outside.near("Ncr, N", railCriticalOf(d, 0, &l), math.Pi*math.Pi*ei/(6*6), 1e-3*ei/36, "Euler: π²EI/L²")
	if got := longestHeld(d, 0); got != 6 {
		t.Errorf("the longest length between fittings is %v m, want 6", got)
	}
}

// What is told of a reading: of a tube of no standard no least wall of one, and of a diameter alone
// the wall that it costs, which the fix is then not looked for elsewhere.
func TestWordsOfReadings(t *testing.T) {
	own := strings.Replace(throughRails().toml(), `"EN 10219 48.3x3.2"`, `{ od = "48.3 mm", wall = "3.2 mm" }`, 1)
	own = strings.Replace(own, `grade = "S235JRH"`, `grade = { fy = "235 MPa", fu = "360 MPa" }`, 1)
	r := result(t, parse(t, own+`
[[survey.post]]
post = [1, 2]
wall = "2.87 mm"
[[survey.post]]
post = 3
od = "44.3 mm"
[[survey.post]]
post = 4
wall = "2.89 mm"
`), Options{}) // 90 % of 3.2 mm are 2.88 mm
	for i, want := range []string{"wall below 90 % of nominal", "wall below 90 % of nominal", "no wall measured, and what the diameter has lost is taken off it", ""} {
		if got := r.Survey.Rows[i].Found; got != want {
			t.Errorf("%s: %q, want %q", r.Survey.Rows[i].Element, got, want)
		}
	}
	for _, step := range r.Survey.Order {
		if step.Element == "post 3" && step.Do != "measure its wall" || strings.Contains(step.Why, "standard") {
			t.Errorf("%s: %q, %q", step.Element, step.Do, step.Why)
		}
	}
}

// What is to be done first: a post that fails on a loose foot before a rail that fails with it, then
// fittings, then what was not measured.
func TestOrderOfAction(t *testing.T) {
	s := throughRails()
	s.load = machinery
	r := result(t, surveyed(t, s, `[[survey.post]]
post = 4
wall = "3.1 mm"
foot = "5 kNm/rad"
[[survey.post]]
post = 1
wall = "2.6 mm"
[[survey.fitting]]
post = 2
rail = "knee"
found = "cracked"
`), Options{})
	var order []string
	for _, step := range r.Survey.Order {
		order = append(order, step.Element)
	}
	if got := strings.Join(order, "; "); !strings.HasPrefix(got, "post 4; rail top; ") || !strings.HasSuffix(got, "fitting 2 knee; post 1; posts 2 and 3, rail top, rail knee") {
		t.Errorf("order %q", got)
	}
	if r.Survey.Worst.Element != "post 4" || !strings.Contains(r.Survey.WorstFound, "foot loose, 5.00 kNm/rad") {
		t.Errorf("worst %v: %q", r.Survey.Worst, r.Survey.WorstFound)
	}
	if r.Survey.AsNew.Status != Pass && r.Survey.AsNew.Status != Incomplete || r.Survey.AsSurveyed.Status != Fail {
		t.Errorf("as new %v, as surveyed %v", r.Survey.AsNew, r.Survey.AsSurveyed)
	}
}

// A foot that holds no moment: its post, as a column by itself, does not stand, in any basis.
func TestFootWithoutStiffness(t *testing.T) {
	outside := compared(t, verification.Barriers, "foot that holds nothing")
	d := surveyed(t, throughRails(), "[[survey.post]]\npost = 2\nfoot = \"0 kNm/rad\"\n")
	r := result(t, d, Options{})
	if row := r.row(t, "post-buckling", "post 2"); row.Utilisation != nil || row.Status != Fail {
		t.Errorf("buckling %v %s", row.Utilisation, row.Status)
	}
	outside.near("moment at the foot", r.Posts[1].BaseMoment, 0, 1e-6, "a hinge")
	if _, fails, err := Fails(d); err != nil || !fails {
		t.Errorf("Fails = %v, %v", fails, err)
	}
}

// A mechanism is told at the line of the fitting.
func TestMechanismOfAMissingFitting(t *testing.T) {
	s := throughRails()
	s.top += "\nsplices = [\"2.0 m\"]"
	s.run = "length = \"4.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\""
	_, err := Run(surveyed(t, s, "[[survey.fitting]]\npost = 1\nrail = \"top\"\nfound = \"missing\"\n[[survey.fitting]]\npost = 3\nrail = \"top\"\nfound = \"missing\"\n"), Options{})
	if err == nil || !strings.Contains(err.Error(), "survey.fitting[0]") {
		t.Errorf("Run = %v, want a problem at the fitting", err)
	}
}
