package check

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
)

// link returns a link of the load path.
func (r *Result) link(t *testing.T, name string) Link {
	t.Helper()
	i := slices.IndexFunc(r.LoadPath, func(l Link) bool { return l.Link == name })
	if i < 0 {
		t.Fatalf("no link %s in %+v", name, r.LoadPath)
	}
	return r.LoadPath[i]
}

// All that a fitting of lone posts does to its post at once, by hand: the load at the fitting
// across it, half the rails of two bays down it.
func TestFittingTogetherByHand(t *testing.T) {
	outside := compared(t, verification.Joints, "fitting under both forces")
	const P, L = 600.0, 1.5
	across, down := 1.5*P, 1.35*handWeight()*L
	for _, c := range []struct {
		values string
		want   float64
	}{
		{"values = \"design\"", across/2000 + down/1000},
		{"values = \"characteristic\"\nvalues_factor = 1.25", 1.25 * (across/2000 + down/1000)},
		{"values = \"working\"", P/2000 + handWeight()*L/1000},
	} {
		s := lonePosts()
		s.scope, s.fitting = baseOut, "transverse_force = \"2 kN\"\nslip_force = \"1 kN\"\n"+c.values
		r := s.check(t)
		row := r.row(t, "fitting-together", "fitting 2 top")
		outside.equal(c.values, *row.Utilisation, c.want, "slip over its value and force over its own, of one load")
		if row.Unit != "1" || row.Provenance != "derived" && row.Provenance != "memory" {
			t.Errorf("%+v", row)
		}
	}
	// With one value alone nothing is added up.
	s := lonePosts()
	s.scope, s.fitting = baseOut, "transverse_force = \"2 kN\"\nvalues = \"design\""
	if r := s.check(t); r.has("fitting-together") {
		t.Error("a sum of one value")
	}
	// Nor where only one thing is asked: a fitting that nothing weighs down.
	s.fitting = "transverse_force = \"2 kN\"\nslip_moment = \"1 kNm\"\nvalues = \"design\""
	if r := s.check(t); r.has("fitting-together") || r.has("fitting-twist") {
		t.Error("a free fitting passes no twist to add up")
	}
}

// The sum has its own worst place: no place of a grid is worse, each run with the load standing
// still there.
func TestSumsAreSearchedForThemselves(t *testing.T) {
	values := "moment = { about_rail = \"7 kNm/rad\", about_outward = \"9 kNm/rad\", about_post = \"8 kNm/rad\" }\nslip_force = \"1.4 kN\"\nslip_moment = \"90 Nm\"\ntransverse_force = \"3 kN\"\nmoment_resistance = \"200 Nm\"\nvalues = \"design\""
	s := throughRails()
	s.run = "length = \"3 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"\nstart = { kind = \"wall\", along = \"held\", rotation = \"held\", pull = \"2 kN\", shear = \"3 kN\", moment = \"120 Nm\", values = \"design\" }"
	s.knee, s.fitting, s.scope = "", values, "leave_out = [\"geometry\"]"
	s.top = "splices = [\"1.9 m\"]\nsplice_slip = \"900 N\"\nsplice_shear = \"1.7 kN\"\nvalues = \"design\""
	s.load = "name = \"people\"\nkind = \"point\"\nvalue = \"600 N\"\ndirection = { azimuth = \"50 deg\", elevation = \"-35 deg\" }"
	r := s.check(t)
	ids := []string{"fitting-together", "splice-together", "wall-together", "fitting-slip", "splice-shear", "wall-moment"}
	worst := map[string]float64{}
	const step = 0.05
	for i := range 61 {
		at := s
		at.load = fmt.Sprintf("%s\nrail = \"top\"\nat = \"%.3f m\"", s.load, float64(i)*step)
		still := at.check(t)
		for _, id := range ids {
			worst[id] = math.Max(worst[id], still.largest(id))
		}
	}
	for _, id := range ids {
		found := r.largest(id)
		if found < worst[id]*(1-1e-9) {
			t.Errorf("%s is %.9g, and %.9g with the load at a place of the grid", id, found, worst[id])
		}
		if found > worst[id]*1.05 {
			t.Errorf("%s is %.9g, and no more than %.9g at any place of a grid of %v m", id, found, worst[id], step)
		}
		t.Logf("| %s | load at each 50 mm | %.6g | %.6g |", id, worst[id], found)
	}
}

// The second piece of a rail hangs on its splice and on the last post: a simple span of 1.2 m.
func TestSpliceShearByHand(t *testing.T) {
	outside := compared(t, verification.Joints, "shear of a splice")
	const P, span = 600.0, 1.2
	s := lonePosts()
	s.run, s.knee = "length = \"3 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"", ""
	s.top, s.scope = "splices = [\"1.8 m\"]\nsplice_shear = \"1.5 kN\"\nsplice_slip = \"2 kN\"\nvalues = \"characteristic\"\nvalues_factor = 1.2", baseOut
	s.fitting = "slip_force = \"9 kN\"\ntransverse_force = \"9 kN\"\nvalues = \"design\""
	r := s.check(t)
	row := r.row(t, "splice-shear", "splice top 1.800")
	outside.equal("shear of the splice", row.Demand, math.Hypot(1.5*P, 1.35*handWeight()*span/2), "statics of a hung span")
	outside.equal("resistance", row.Resistance, 1500/1.2, "value over factor")
	if r.has("splice-slip") || r.has("splice-together") || r.open("splice") != nil {
		t.Errorf("a load across puts nothing along the splice: %+v", r.Unchecked)
	}
	if l := r.link(t, "fitting"); l.Status != Checked {
		t.Errorf("%+v", l)
	}
	// A force along it: both at once.
	s.load = "name = \"people\"\nkind = \"point\"\nvalue = \"600 N\"\ndirection = \"along\""
	r = s.check(t)
	slip, both := r.row(t, "splice-slip", "splice top 1.800"), r.row(t, "splice-together", "splice top 1.800")
	i := slices.IndexFunc(r.Splices, func(f FittingRow) bool { return f.ExtremeOf == "slip" })
	equal(t, "slip", slip.Demand, r.Splices[i].Slip, "the demand listed")
	outside.equal("both", both.Demand, slip.Demand*1.2/2000+1.35*handWeight()*span/2*1.2/1500, "linear sum")
	// Without a value it stays open.
	s.top = "splices = [\"1.8 m\"]\nsplice_shear = \"1.5 kN\"\nvalues = \"design\""
	r = s.check(t)
	if it := r.open("splice: axial force"); it == nil || !strings.Contains(it.Reason, "splice_slip") || r.Status != Incomplete {
		t.Errorf("%+v", r.Unchecked)
	}
}

// A bay between a wall and a post is a simple span: what its fixing must hold, by hand.
func TestWallFixingByHand(t *testing.T) {
	outside := compared(t, verification.Joints, "fixing at a wall")
	s := lonePosts()
	s.run = "length = \"3 m\"\nspacing = \"1.5 m\"\nstart = { kind = \"wall\", shear = \"2 kN\", values = \"design\" }\ntoe_plate = \"none\""
	s.knee, s.scope = "", "leave_out = [\"fitting\", \"geometry\"]"
	r := s.check(t)
	half := 1.35 * handWeight() * 1.5 / 2
	row := r.row(t, "wall-shear", "rail top at the start")
	outside.near("shear on the wall, N", row.Demand, math.Hypot(1.5*600, half), 1e-5, "the load at the wall itself, half of the bay's weight")
	if r.open("wall") != nil || r.has("wall-together") || r.link(t, "wall").Status != Checked {
		t.Errorf("unchecked %+v, %+v: nothing else is asked of a wall that lets the rail slide and turn", r.Unchecked, r.link(t, "wall"))
	}
	s.run = strings.Replace(s.run, "values = \"design\"", "values = \"working\"", 1)
	row = s.check(t).row(t, "wall-shear", "rail top at the start")
	outside.near("under working loads, N", row.Demand, math.Hypot(600, half/1.35), 1e-5, "no factors")
	s.scope = allOut
	if r := s.check(t); r.has("wall-shear") || r.link(t, "wall").Status != LeftOut || item(r.LeftOut, "wall: force") == nil {
		t.Errorf("left out by the user: %+v", r.LeftOut)
	}
	// Held along and clamped, with a value missing.
	s.scope = "leave_out = [\"fitting\", \"geometry\"]"
	s.run = "length = \"3 m\"\nspacing = \"1.5 m\"\nstart = { kind = \"wall\", along = \"held\", rotation = \"held\", shear = \"2 kN\", pull = \"1 kN\", values = \"design\" }\ntoe_plate = \"none\""
	r = s.check(t)
	if it := r.open("wall: moment"); it == nil || r.open("wall: force") != nil || r.link(t, "wall").Note != "checked in part" {
		t.Errorf("unchecked %+v, %+v", r.Unchecked, r.link(t, "wall"))
	}
	// A bay clamped at the wall and free to turn at its post: the weight gives q L²/8 there, statics
	// of the propped span.
	s.run = strings.Replace(s.run, "pull = \"1 kN\"", "pull = \"1 kN\", moment = \"800 Nm\"", 1)
	s.load = "name = \"people\"\nkind = \"point\"\nvalue = \"0.001 N\"\ndirection = \"outward\""
	r = s.check(t)
	const span, post = 1.5, 1.1
	q := 1.35 * handWeight()
	gives := (q*span*(3.0/8+0.5)*post + q*post*post/2) / (handE * handArea) // by which the post shortens
	moment, shear := q*span*span/8+3*handE*handI*gives/(span*span), q*span*5/8+3*handE*handI*gives/(span*span*span)
	outside.near("moment on the wall, Nm", r.row(t, "wall-moment", "rail top at the start").Demand, moment, 1e-3, "propped span on a post that gives: q L²/8 + 3 E I δ/L²")
	outside.near("shear on the wall, N", r.row(t, "wall-shear", "rail top at the start").Demand, shear, 1e-3, "likewise, 5 q L/8 + 3 E I δ/L³")
	outside.near("all at once", *r.row(t, "wall-together", "rail top at the start").Utilisation, moment/800+shear/2000, 1e-6, "linear sum")
}

// The brace of the propped post, by hand as there: what its fitting and its foot hold.
func TestBraceFittingAndFootByHand(t *testing.T) {
	outside := compared(t, verification.Joints, "fitting and foot of a brace")
	const h, a, d, k, f, how = 1.1, 0.9, 0.7, 150e3, 600.0, "compatibility of post, foot and bar"
	s := lonePosts()
	s.scope = "leave_out = [\"geometry\"]"
	foot := "outward = \"700 mm\", level = \"0 mm\", uplift = \"1 kN\", downward = \"4 kN\", shear = \"3 kN\", values = \"characteristic\", values_factor = 1.5"
	b, err := barrier.Parse("braced.toml", []byte(s.toml()+braceOn(2, "900 mm", foot)+"[fitting.brace]\nslip_force = \"5 kN\"\ntransverse_force = \"6 kN\"\nvalues = \"design\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	r := result(t, weightless(b), Options{})
	ei, ea, l := handE*handI, handE*handArea, math.Hypot(a, d)
	free := f * (a*a*(3*h-a)/(6*ei) + h*a/k)
	give := d / l * d / l * (a*a*a/(3*ei) + a*a/k)
	n := 1.5 * d / l * free / (l/ea + give + a/l*a/l*a/ea)
	for id, want := range map[string][2]float64{
		"brace-grip-slip":     {n, 5000},
		"brace-grip-force":    {n * d / l, 6000},
		"brace-grip-together": {n*a/l/5000 + n*d/l/6000, 1},
		"brace-foot-downward": {n * a / l, 4000 / 1.5},
		"brace-foot-shear":    {n * d / l, 3000 / 1.5},
		"brace-foot-together": {n*a/l/(4000/1.5) + n*d/l/(3000/1.5), 1},
	} {
		row := r.row(t, id, "brace 1")
		outside.equal(id, row.Demand, want[0], how)
		outside.equal(id+", resistance", row.Resistance, want[1], "value over factor")
	}
	if r.has("brace-foot-uplift") {
		t.Error("nothing lifts the foot")
	}
	for _, name := range []string{"brace fitting", "brace foot"} {
		if link := r.link(t, name); link.Status != Checked || link.Utilisation == nil {
			t.Errorf("%+v", link)
		}
	}
	equal(t, "utilisation of the brace itself", *r.Braces[0].Utilisation, *r.row(t, "brace-buckling", "brace 1").Utilisation, "fitting and foot are no part of it")
}

// EN 12811-1 10.3.3.5 on a state by arithmetic: (Fs1 + Fs2)/(2 Fs,d) + Fp/Fp,d + MB/MB,d with the
// values of Annex C over 1.1. The resistances of right-angle class B: Fs,k 15 kN, Fp,k 30 kN,
// MB,k 0.8 kNm, MT,k 0.13 kNm.
func TestCouplerInteraction(t *testing.T) {
	outside := compared(t, verification.Joints, "couplers, all forces at once")
	d, err := barrier.Parse("coupled.toml", []byte(couplers("EN 74-1 right-angle B").toml()))
	if err != nil {
		t.Fatal(err)
	}
	state := analysis.State{N: -3000, Vy: 2500, Vz: -4000, T: 40, My: 120, Mz: 60}
	asks := askedOfCoupler(&d.Fitting.Tested, 1, 1)
	got := rightAngleSum(asks).judge("")(&state, nil)
	outside.near("right-angle B", got, 1.1*((3000.+4000)/(2*15000)+2500./30000+120./800), 1e-12, "EN 12811-1 10.3.3.5, factor 2 under MB dropped, memory")
	alone := map[string]float64{}
	for _, a := range asks {
		alone[a.what] = a.alone("")(&state, nil)
	}
	for what, want := range map[string]float64{"force along the rail": 1.1 * 3000 / 15000, "force along the post": 1.1 * 4000 / 15000, "force square to both tubes": 1.1 * 2500 / 30000, "moment about the axis square to both tubes": 1.1 * 120 / 800, "twist about the rail": 1.1 * 40 / 130, "twist about the post": 1.1 * 60 / 130} {
		outside.near(what, alone[what], want, 1e-12, "EN 12811-1 Annex C over 1.1, memory")
	}
}

// couplers is the barrier of lone posts with couplers of a class.
func couplers(class string) scenario {
	s := lonePosts()
	s.scope, s.fitting = baseOut, "class = \""+class+"\""
	return s
}

// What couplers of lone posts carry, by hand, and what their class leaves open.
func TestCouplersByClass(t *testing.T) {
	outside := compared(t, verification.Joints, "couplers by class")
	down, across := 1.35*handWeight()*1.5, 1.5*600.0
	for class, v := range map[string][2]float64{"A": {10e3, 20e3}, "B": {15e3, 30e3}, "AA": {15e3, 0}, "BB": {25e3, 0}} {
		r := couplers("EN 74-1 right-angle " + class).check(t)
		outside.equal(class+": slip", *r.row(t, "fitting-slip", "fitting 2 top").Utilisation, 1.1*down/v[0], "EN 12811-1 Annex C, memory")
		if v[1] == 0 {
			if r.open("fitting: force") == nil || r.has("fitting-force") || r.Status != Incomplete {
				t.Errorf("%s: pull-apart is not known, unchecked %+v", class, r.Unchecked)
			}
			continue
		}
		outside.equal(class+": pull", *r.row(t, "fitting-force", "fitting 1 top").Utilisation, 1.1*across/v[1], "EN 12811-1 Annex C, memory")
		row := r.row(t, "fitting-together", "fitting 2 top")
		outside.equal(class+": together", *row.Utilisation, 1.1*(down/(2*v[0])+across/v[1]), "EN 12811-1 10.3.3.5")
		if row.Provenance != "memory" || !strings.HasPrefix(row.Clause, "EN 12811-1 10.3.3.5") || r.Status != Pass {
			t.Errorf("%s: %+v, status %s, unchecked %+v", class, row, r.Status, r.Unchecked)
		}
		if !says(r.ownCautions(), "hold of no slip-on fitting with set screws") {
			t.Errorf("cautions %q", r.ownCautions())
		}
	}
	s := lonePosts()
	s.run, s.knee, s.scope = "length = \"3 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"", "", baseOut
	s.top = "splices = [\"1.8 m\"]\nsplice_class = \"EN 74-1 sleeve B\"\nsplice_moment = \"rigid\""
	s.load = "name = \"people\"\nkind = \"point\"\nvalue = \"600 N\"\ndirection = { azimuth = \"20 deg\", elevation = \"0 deg\" }"
	r := s.check(t)
	both := r.row(t, "splice-together", "splice top 1.800")
	slip, moment := r.row(t, "splice-slip", "splice top 1.800"), r.row(t, "splice-moment", "splice top 1.800")
	outside.equal("sleeve slip", slip.Resistance, 9000/1.1, "EN 12811-1 Annex C, memory")
	outside.equal("sleeve moment", moment.Resistance, 2400/1.1, "EN 12811-1 Annex C, memory")
	if u := *both.Utilisation; u < *moment.Utilisation || u > (*slip.Utilisation/2+*moment.Utilisation)*(1+1e-8) {
		t.Errorf("together %v, slip %v, moment %v: want Fs/(2 Fs,d) + MB/MB,d", u, *slip.Utilisation, *moment.Utilisation)
	}
	if it := r.open("splice: shear"); it == nil || !strings.Contains(it.Reason, "in place of splice_class") {
		t.Errorf("no value for the shear of a sleeve: %+v", r.Unchecked)
	}
}

// A coupler that turns by no more than its class says shares load, and is checked for what it
// then passes.
func TestCouplersShareByTheirClass(t *testing.T) {
	outside := compared(t, verification.Joints, "twist of couplers")
	s := couplers("EN 74-1 right-angle B")
	s.top, s.knee = through, through
	s.fitting += "\nmoment = { about_rail = \"7.5 kNm/rad\", about_outward = \"6 kNm/rad\", about_post = \"7.5 kNm/rad\" }"
	s.load = machinery
	r := s.check(t)
	for _, id := range []string{"fitting-twist", "fitting-moment", "fitting-slip", "fitting-force", "fitting-together"} {
		if !r.has(id) {
			t.Errorf("no %s among the checks", id)
		}
	}
	if r.link(t, "fitting").Status != Checked || r.open("fitting") != nil || r.Models[0].Joint == "free" {
		t.Errorf("%+v, unchecked %+v, models %+v", r.link(t, "fitting"), r.Unchecked, r.Models)
	}
	twist := r.row(t, "fitting-twist", "fitting 1 top")
	outside.equal("resistance to twist", twist.Resistance, 130/1.1, "EN 12811-1 Annex C, memory")
}

// Torque and force of screws: a fastening handbook page prints T = K d P of a screw of 0.190 in
// under 1275 lb; a public article 34 kN and 82 Nm of an M12 8.8 screw at 0.7 of its proof stress.
func TestScrewForce(t *testing.T) {
	outside := compared(t, verification.Joints, "force of a set screw")
	const pound, inch = 4.4482216152605, 0.0254
	for k, printed := range map[float64]float64{0.3: 72.7, 0.25: 60.6, 0.2: 48.5, 0.15: 36.3, 0.1: 24.2} {
		s := barrier.Screw{Diameter: 0.190 * inch, Torque: printed * pound * inch}
		outside.near(fmt.Sprintf("force at K = %v, lb", k), s.Force(k)/pound, 1275, 1275*0.051/printed, "fastening handbook, public page")
	}
	const force = 0.7 * 580e6 * 84.3e-6
	outside.near("M12 force, N", force, 34e3, 500, "public calculator article")
	s := barrier.Screw{Diameter: 0.012, Torque: 82}
	outside.near("M12 force from 82 Nm, N", s.Force(0.2), force, 0.5/82*force, "public calculator article")
	s = barrier.Screw{Diameter: 0.010, Torque: 39}
	outside.near("M10 force, N", s.Force(0.2), 19.5e3, 50, "F = T/(K d) by hand, derived")
	r := rangeOf(&s, [2]float64{0.0483, 0.0483})
	outside.near("least slip, N", r.slip[0], 2*0.12*39/(0.3*0.010), 1e-9, "2 μ T/(k d)")
	outside.near("most twist, Nm", r.twist[1], 0.2*39/(0.15*0.010)*0.0483, 1e-9, "μ T/(k d) D")
}

// A torque is told and checks nothing.
func TestScrewIsInformation(t *testing.T) {
	s := lonePosts()
	s.scope, s.fitting = baseOut, "screw = { size = \"M10\", torque = \"39 Nm\" }"
	r := s.check(t)
	if r.has("fitting-slip") || r.open("fitting: slip") == nil || r.Status != Incomplete {
		t.Errorf("status %s, unchecked %+v", r.Status, r.Unchecked)
	}
	if !says(r.Assumptions, "is information and no rating") {
		t.Errorf("assumptions %q", r.Assumptions)
	}
}
