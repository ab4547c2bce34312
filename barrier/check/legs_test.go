package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
)

// Runs that turn, climb, or have gaps; corner fittings and splices that pass a moment.

// corner is an L of three bays and two, continuous rails on each leg, with a fitting that is
// proven and a corner fitting of which more keys are given.
func corner(keys string) scenario {
	s := throughRails()
	s.run = "legs = [{ length = \"4.5 m\" }, { length = \"3 m\", turn = \"90 deg\" }]\nspacing = \"1.5 m\"\ntoe_plate = \"none\""
	s.fitting = "moment = \"free\"\nvalues = \"design\"\nslip_force = \"9 kN\"\nslip_moment = \"500 Nm\"\nmoment_resistance = \"900 Nm\"\ntransverse_force = \"9 kN\""
	if keys != "" {
		s.fitting += "\n[fitting.corner]\n" + keys
	}
	s.scope = "leave_out = [\"base\", \"geometry\"]"
	return s
}

// What is known of other fittings does not hold of those at corners: without values of their
// own their demands are open, and with them each is checked against its own.
func TestCornerFittings(t *testing.T) {
	outside := compared(t, verification.Joints, "corner fittings")
	bare := corner("").check(t)
	for _, what := range []string{"corner fitting: slip along the rail", "corner fitting: force across the rail"} {
		if it := bare.open(what); it == nil || !strings.Contains(it.Item, "corner fitting 4 ") || it.Demand <= 0 {
			t.Errorf("unchecked %+v, want %s of the fitting of post 4", bare.Unchecked, what)
		}
	}
	if bare.open("fitting: ") != nil {
		t.Errorf("a demand on fittings that are proven is open: %+v", bare.Unchecked)
	}
	for i := range bare.Checks {
		if c := &bare.Checks[i]; strings.HasPrefix(c.ID, "fitting-") && strings.HasPrefix(c.Element, "fitting 4 ") {
			t.Errorf("%s of %s: that fitting stands at a corner", c.ID, c.Element)
		}
	}
	tested := corner("values = \"characteristic\"\nvalues_factor = 1.25\nslip_force = \"2 kN\"\nslip_moment = \"100 Nm\"\nmoment_resistance = \"100 Nm\"\ntransverse_force = \"2 kN\"").check(t)
	row := tested.row(t, "fitting-slip", "corner fitting 4 top")
	outside.equal("resistance of the corner fitting, N", row.Resistance, 2000/1.25, "tested value over its factor")
	equal(t, "its utilisation", *row.Utilisation, row.Demand/row.Resistance, "demand over resistance")
	if tested.Status != Pass || tested.open("corner fitting") != nil {
		t.Errorf("status %s, unchecked %+v: nothing of the corner fitting is open", tested.Status, tested.Unchecked)
	}
}

// A corner fitting that passes moments counts where its own tested value proves it; otherwise
// a free one stands, and what it would have to pass is open.
func TestCornerJointCountsAsProven(t *testing.T) {
	const values = "values = \"design\"\nslip_force = \"9 kN\"\nslip_moment = \"500 Nm\"\ntransverse_force = \"9 kN\"\n"
	free, unproven := corner(values).check(t), corner(values+"moment = \"rigid\"").check(t)
	proven := corner(values + "moment_resistance = \"900 Nm\"\nmoment = \"rigid\"").check(t)
	for i := range free.Posts {
		equal(t, "base moment with an unproven corner", unproven.Posts[i].BaseMoment, free.Posts[i].BaseMoment, "that of the free one")
	}
	if it := unproven.open("corner fitting as asked (rigid): moment"); it == nil || !strings.Contains(it.Reason, "corner moment_resistance") || !(it.Demand > 1) {
		t.Errorf("unchecked %+v, want the moment that the corner would have to pass", unproven.Unchecked)
	}
	if !says(unproven.Assumptions, "Corner fittings as asked (rigid) would give a largest utilisation of") {
		t.Errorf("nothing says what the rigid corner would save: %q", unproven.Assumptions)
	}
	if len(proven.Models) != 2 || proven.Models[0].Joint != "free, corners rigid" || proven.Models[1].Joint != "free" || proven.Models[1].Stands {
		t.Errorf("models %+v, want the rigid corner that stands and a free one beside it", proven.Models)
	}
	if row := proven.row(t, "fitting-moment", "corner fitting 4 top"); row.Demand < 10 {
		t.Errorf("the rigid corner passes %.3g Nm", row.Demand)
	}
	if math.Abs(proven.Posts[3].BaseMoment-free.Posts[3].BaseMoment) < 1 {
		t.Error("the rigid corner changes nothing")
	}
}

// A rigid splice is none: the rail does what one without a splice does, and the moment in the
// splice is that of the rail there. Not proven, it is a hinge.
func TestSpliceMoment(t *testing.T) {
	outside := compared(t, verification.Joints, "moment of a splice")
	s := throughRails()
	s.knee, s.scope = "", "leave_out = [\"base\", \"geometry\"]"
	s.top = "stock = \"6 m\"\nsplices = [\"1.9 m\"]"
	hinge := s.check(t)
	s.top += "\nsplice_moment = \"rigid\""
	unproven := s.check(t)
	s.top += "\nsplice_moment_resistance = \"800 Nm\"\nvalues = \"characteristic\"\nvalues_factor = 1.6"
	rigid := s.check(t)
	s.top = "stock = \"6 m\"\nsplices = \"none\""
	whole := s.check(t)
	for i := range whole.Posts {
		equal(t, "base moment with a rigid splice", rigid.Posts[i].BaseMoment, whole.Posts[i].BaseMoment, "the rail without a splice")
		equal(t, "base moment with an unproven splice", unproven.Posts[i].BaseMoment, hinge.Posts[i].BaseMoment, "the free splice's")
	}
	row := rigid.row(t, "splice-moment", "splice top 1.900")
	outside.equal("resistance of the splice, Nm", row.Resistance, 500, "800 Nm / 1.6")
	if !(row.Demand > 1 && row.Demand <= whole.Rails[0].Moment) {
		t.Errorf("moment in the splice %.4g Nm, that of the rail is %.4g at most", row.Demand, whole.Rails[0].Moment)
	}
	if it := unproven.open("splice as asked (rigid): moment"); it == nil {
		t.Errorf("unchecked %+v, want the moment of the splice as asked", unproven.Unchecked)
	} else {
		equal(t, "moment of the splice as asked, Nm", it.Demand, row.Demand, "that of the proven one")
	}
	if unproven.has("splice-moment") || hinge.open("splice as asked") != nil {
		t.Error("a splice that does not count is checked, or a free one is open")
	}
}

// A gap makes two runs of one, in every check of a post and rail.
func TestGapChecksAsTwoRuns(t *testing.T) {
	s := throughRails()
	s.load = machinery
	s.run = "posts = [\"0 m\", \"1.4 m\", \"2.8 m\", \"3.7 m\", \"4.9 m\", \"6.1 m\"]\ntoe_plate = \"none\"\n[[gap]]\nfrom = \"2.8 m\"\nto = \"3.7 m\""
	with := s.check(t)
	s.run = "posts = [\"0 m\", \"1.4 m\", \"2.8 m\"]\ntoe_plate = \"none\""
	first := s.check(t)
	s.run = "posts = [\"0 m\", \"1.2 m\", \"2.4 m\"]\ntoe_plate = \"none\""
	second := s.check(t)
	compared := 0
	for i := range with.Checks {
		c := &with.Checks[i]
		if !strings.HasPrefix(c.ID, "post-") {
			continue
		}
		post := int(c.Element[len("post ")] - '1')
		lone, name := first, c.Element
		if post > 2 {
			lone, name = second, postName(post-3)
		}
		want := lone.row(t, c.ID, name)
		if math.Abs(c.Demand-want.Demand) > 1e-8*(want.Demand+1e-3) || math.Abs(utilisationOf(c)-utilisationOf(want)) > 1e-8 {
			t.Errorf("%s of %s: %.9g of %.9g, alone %.9g of %.9g", c.ID, c.Element, c.Demand, c.Resistance, want.Demand, want.Resistance)
		}
		compared++
	}
	if compared < 30 {
		t.Errorf("%d checks of posts compared", compared)
	}
	for i := range with.Rails {
		equal(t, "rail moment", with.Rails[i].Moment, math.Max(first.Rails[i].Moment, second.Rails[i].Moment), "the worse of two runs")
	}
	if !says(with.ownCautions(), "The run has a gap from x = 2.800 m to 3.700 m") {
		t.Errorf("no caution of the gap: %q", with.ownCautions())
	}
}

// The longest bay is that of rails, not of a gap; a gap is an interruption of the handrail
// that a rule asks about, and a gate leaves what hangs in it open.
func TestGapsAndGates(t *testing.T) {
	outside := compared(t, verification.Barriers, "gaps and gates")
	s := throughRails()
	s.scope, s.load = "leave_out = [\"fitting\", \"base\"]", machinery
	s.run = "posts = [\"0 m\", \"1.2 m\", \"3 m\", \"4.2 m\"]\ntoe_plate = \"none\"\n[[gap]]\nfrom = \"1.2 m\"\nto = \"3 m\""
	s.run = strings.Replace(s.run, "posts = [\"0 m\", \"1.2 m\"", "posts = [\"-1.2 m\", \"0 m\", \"1.2 m\"", 1)
	gap := s.check(t)
	found := map[string]GeometryRow{}
	for _, g := range gap.Geometry {
		found[g.Rule] = g
	}
	outside.equal("largest bay, mm", found["posts preferably at most 1500 mm apart, axis to axis"].Found, 1200, "the gap of 1.8 m is no bay of rails")
	row := found["clear gap between two lengths of handrail 75 to 120 mm"]
	outside.equal("clear gap, mm", row.Found, 1800-48.3, "between the tubes of its posts")
	outside.equal("what it is held to, mm", row.Required, 120, "the bound of 75 to 120 mm that is broken")
	if row.Status != Warned {
		t.Errorf("that rule is %s, want a caution: it is not of high confidence", row.Status)
	}
	s.run = strings.Replace(s.run, "[[gap]]", "[[gate]]", 1)
	gate := s.check(t)
	if it := gate.open("gate from x = 1.200 m to 3.000 m"); it == nil || gate.Status == Pass {
		t.Errorf("status %s, unchecked %+v: want the gate open", gate.Status, gate.Unchecked)
	}
	for _, g := range gate.Geometry {
		if g.Rule == row.Rule {
			t.Error("a gate is judged as an open gap")
		}
	}
}

// The hand values of a bent run: half bays of both legs as vectors at the corner, what is
// square to a rail on a slope; lone posts and simple spans make the frame agree.
func TestHandValuesOfLegs(t *testing.T) {
	outside := compared(t, verification.Barriers, "corners and slopes")
	const w, L, h, pitch = 400.0, 1.5, 1.1, 30 * math.Pi / 180
	s := lonePosts()
	s.knee = ""
	s.run = "legs = [{ length = \"1.5 m\" }, { length = \"1.5 m\", turn = \"90 deg\" }]\nspacing = \"1.5 m\"\ntoe_plate = \"none\""
	s.load = "kind = \"line\"\nvalue = \"400 N/m\"\ndirection = \"outward\"\nname = \"crowd\""
	r := s.check(t)
	hand := func(r *Result, what, element string) *HandCheck {
		for i := range r.HandChecks {
			if c := &r.HandChecks[i]; c.What == what && c.Element == element {
				return c
			}
		}
		t.Fatalf("no hand value of the %s of %s among %+v", what, element, r.HandChecks)
		return nil
	}
	outside.equal("hand moment of the corner post, Nm", hand(r, "post base moment, lone cantilever", "post 2").Hand, 1.5*w*L/2*math.Sqrt2*h, "1.5 w h times the diagonal of two half bays")

	s.run = "length = \"1.5 m\"\nspacing = \"1.5 m\"\npitch = \"30 deg\"\ntoe_plate = \"none\""
	s.load = "kind = \"point\"\nvalue = \"60 N\"\ndirection = \"down\"\nname = \"tools\"" // too little for second order
	slope := s.check(t)
	row := hand(slope, "rail moment, simple span", "rail top bay 1")
	outside.equal("hand moment of the rail, Nm", row.Hand, 1.5*60*math.Cos(pitch)*L/4, "1.5 P cos a L/4")
	own := 1.35 * handWeight() * math.Cos(pitch) * L * L / 8
	outside.near("frame's moment of the rail, Nm", row.Frame, row.Hand+own, 1e-5, "own weight, square to the rail, beside it")

	s.load = outward
	across := s.check(t)
	s.run = strings.Replace(s.run, "pitch = \"30 deg\"\n", "", 1)
	level := s.check(t)
	equal(t, "base moment under a load across", across.Posts[0].BaseMoment, level.Posts[0].BaseMoment, "that of the level run")
	if len(level.Legs) > 0 || len(level.Posts[0].At) > 0 || level.Posts[0].Leg != 0 {
		t.Error("a straight level run has legs in its result")
	}
	if p := across.Posts[1]; p.Leg != 1 {
		t.Errorf("post 2 is of leg %d", p.Leg)
	} else {
		outside.equal("post 2 stands at, along", p.At[0], L*math.Cos(pitch), "plan length")
		outside.equal("post 2 stands at, up", p.At[2], L*math.Sin(pitch), "rise")
	}
}

// A corner hinges the rail: the bay beside it counts at the lower of the two ways to sway,
// and a gap at those of a run of its own.
func TestRailCriticalOfStretches(t *testing.T) {
	outside := compared(t, verification.Stability, "critical force of a rail in stretches")
	const ei, k = 24e3, 20e3
	posts := []float64{0, 1.5, 3, 4.5}
	column := func(bay, sway, turn float64) float64 { return 1 / (bay*bay/(math.Pi*math.Pi*ei) + 1/sway + 1/turn) }
	const four, two = k * 2 * (0.75*0.75 + 2.25*2.25) / 4.5, k * 1.5 / 2 // stiff bars on four posts and on two
	beam := func(bay float64) float64 { return math.Sqrt(k * ei / bay) }
	straight := barrier.Run{Posts: posts}
	outside.near("straight, N", railCritical(ei, k, &straight, barrier.Joints{}), column(1.5, beam(1.5), four), 1e-6, "Hetényi's free end, Euler's column and a stiff bar on four springs")
	turned := barrier.Run{Posts: posts, Legs: []barrier.Leg{{From: 0, To: 3}, {From: 3, To: 4.5, Turn: 1}}}
	outside.near("with a corner, N", railCritical(ei, k, &turned, barrier.Joints{}), column(1.5, k*1.5/4, two), 1e-6, "Engesser's chain beside it")
	gap := barrier.Run{Posts: []float64{0, 1.5, 4.5, 6}, Gaps: []barrier.Gap{{From: 1.5, To: 4.5}}}
	outside.near("with a gap, N", railCritical(ei, k, &gap, barrier.Joints{}), column(1.5, beam(1.5), two), 1e-6, "the gap of 3 m is no bay")
}

// An L walked from its end is the same barrier: its posts move and are used alike, the one at
// the corner judged across both legs, whichever of them ends there.
func TestLegsWalkedFromTheirEnd(t *testing.T) {
	s := throughRails()
	s.scope = allOut
	s.load = outward + "\n\n" + strings.NewReplacer("point", "line", "600 N", "500 N/m", "people", "crowd").Replace(outward)
	s.run = "posts = [\"0 m\", \"1.5 m\", \"2.9 m\", \"4.1 m\"]\nlegs = [{ length = \"2.9 m\" }, { length = \"1.2 m\", turn = \"70 deg\" }]\ntoe_plate = \"none\""
	there := s.check(t)
	s.run = "posts = [\"0 m\", \"1.2 m\", \"2.6 m\", \"4.1 m\"]\nlegs = [{ length = \"1.2 m\" }, { length = \"2.9 m\", turn = \"-70 deg\" }]\ntoe_plate = \"none\"\nhazard = \"right\""
	back := s.check(t)
	for i := range there.Posts {
		a, b := there.Posts[i], back.Posts[len(back.Posts)-1-i]
		near(t, "base moment, Nm", b.BaseMoment, a.BaseMoment, 1e-6*a.BaseMoment, "the same barrier")
		if i == 2 { // at the corner the larger of both legs is told
			near(t, "movement of the corner's top, mm", b.TopDeflection, a.TopDeflection, 1e-6*a.TopDeflection, "the same barrier")
			near(t, "movement along of the corner's top, mm", b.AlongDeflection, a.AlongDeflection, 1e-6*a.AlongDeflection, "the same barrier")
			near(t, "of its limit", *b.DeflectionUtilisation, *a.DeflectionUtilisation, 1e-6, "the same barrier")
		}
	}
}
