package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
)

// twoPosts are two posts 1.5 m apart on feet of 150 kNm/rad, with one rail and a load
// of 600 N outward.
func twoPosts(fitting string) scenario {
	s := lonePosts()
	s.run = "length = \"1.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\""
	s.top, s.knee, s.fitting = through, "", fitting
	s.scope = "leave_out = [\"base\", \"geometry\"]"
	return s
}

// twistOf is the twist that a rail passes from the loaded post to the other, N·m per N:
// statics. A force on a post of height h turns its top by fp = h²/2EI + h/k, a moment by
// fm = h/EI + 1/k, and the rail resists the difference of the two posts by c = GJ/L in
// series with both grips: T = c fp P / (1 + 2 c fm).
func twistOf(d *barrier.Definition, grip float64) float64 {
	const h, l, k = 1.1, 1.5, 150e3
	ei, gj := d.Post.Grade.E*d.Post.Ring.I, d.Rails[0].Grade.G*d.Rails[0].Ring.J
	c := 1 / (l/gj + 2/grip)
	return c * (h*h/(2*ei) + h/k) / (1 + 2*c*(h/ei+1/k))
}

// A joint that a tested value proves counts: what two posts share by the twist of one
// gripped rail is that of the closed form, the twist is checked, and the base moment
// falls by it.
func TestProvenJointsShare(t *testing.T) {
	outside := compared(t, verification.Barriers, "joints that share")
	const values = "\nvalues = \"design\"\nslip_force = \"9 kN\"\ntransverse_force = \"9 kN\"\n"
	for _, c := range []struct {
		fitting string
		grip    float64
		joint   string
	}{
		{"moment = \"gripped\"" + values + "slip_moment = \"500 Nm\"\nmoment_resistance = \"600 Nm\"", math.Inf(1), "gripped"},
		{"moment = { about_rail = \"7.5 kNm/rad\" }" + values + "slip_moment = \"500 Nm\"\nmoment_resistance = \"600 Nm\"", 7500, "7.5 kNm/rad about rail"},
	} {
		s := twoPosts(c.fitting)
		d := s.definition(t)
		r := result(t, d, Options{})
		twist := 1.5 * 600 * twistOf(d, c.grip)
		row := r.row(t, "fitting-twist", "fitting 1 top")
		outside.near(c.joint+": twist of the fitting, Nm", row.Demand, twist, 1e-6*twist, "statics, two posts and one tied rail")
		outside.near(c.joint+": its utilisation", *row.Utilisation, twist/500, 1e-6, "twist over the tested slip moment")
		outside.near(c.joint+": base moment, Nm", r.Posts[0].BaseMoment, 1.5*600*1.1-twist, 1e-5, "P h - T")
		outside.near(c.joint+": moment on the post's tube, Nm", r.row(t, "fitting-moment", "fitting 1 top").Demand, twist, 1e-6*twist, "what twists the rail bends the post")
		if len(r.Models) != 2 || r.Models[0].Joint != c.joint || !r.Models[0].Stands || r.Models[1].Joint != "free" || r.Models[1].Stands {
			t.Errorf("models %+v, want one that stands with joint %s, and a free one beside it", r.Models, c.joint)
		}
		if r.Status != Pass {
			t.Errorf("%s: status %s, want pass: %s", c.joint, r.Status, r.Headline)
		}
	}
}

// A joint that nothing proves does not count: the free one stands, the other is shown
// with what it would save, and its twist stays as an unchecked demand.
func TestUnprovenJointsDoNotCount(t *testing.T) {
	outside := compared(t, verification.Barriers, "joints that are not proven")
	free := twoPosts("moment = \"free\"").check(t)
	for _, c := range []struct{ fitting, joint, proof string }{
		{"moment = \"gripped\"", "gripped", "slip_moment"},
		{"moment = \"rigid\"", "rigid", "moment_resistance"},
		{"moment = \"4 kNm/rad\"", "4 kNm/rad", "moment_resistance"},
		{"moment = \"rigid\"\nvalues = \"design\"\nslip_moment = \"500 Nm\"", "rigid", "moment_resistance"},
	} {
		s := twoPosts(c.fitting)
		d := s.definition(t)
		r := result(t, d, Options{})
		equal(t, c.joint+": base moment", r.Posts[0].BaseMoment, free.Posts[0].BaseMoment, "the free joint's")
		if len(r.Models) != 2 || r.Models[0].Joint != "free" || !r.Models[0].Stands || r.Models[1].Joint != c.joint || r.Models[1].Stands {
			t.Errorf("models %+v, want free that stands and %s that does not", r.Models, c.joint)
		}
		it := r.open("fitting as asked (" + c.joint + "): twist")
		if it == nil || !strings.Contains(it.Reason, c.proof) {
			t.Errorf("%s: unchecked %+v, want its twist and that %s is not given", c.joint, r.Unchecked, c.proof)
			continue
		}
		if c.joint == "gripped" {
			want := 1.5 * 600 * twistOf(d, math.Inf(1))
			outside.near("twist that gripped joints would have to pass, Nm", it.Demand, want, 1e-6*want, "statics, two posts and one tied rail")
		}
		if r.Status != Incomplete {
			t.Errorf("%s: status %s, want incomplete", c.joint, r.Status)
		}
		if !says(r.Assumptions, "Joints as asked ("+c.joint+") would give a largest utilisation of") {
			t.Errorf("%s: no line says what it would save: %q", c.joint, r.Assumptions)
		}
	}
}

// Where fittings are left out nothing compares their twist with the tested value, so the
// joint does not count.
func TestJointsLeftOutDoNotCount(t *testing.T) {
	s := twoPosts("moment = \"gripped\"\nvalues = \"design\"\nslip_moment = \"500 Nm\"")
	s.scope = allOut
	r, free := s.check(t), twoPosts("moment = \"free\"").check(t)
	equal(t, "base moment", r.Posts[0].BaseMoment, free.Posts[0].BaseMoment, "the free joint's")
	if item(r.LeftOut, "fitting as asked (gripped): twist") == nil {
		t.Errorf("left out %+v: no twist of the joint as asked", r.LeftOut)
	}
}

// Rails beside their posts twist them by an along load and bend them by a vertical one.
func TestOffsetRails(t *testing.T) {
	outside := compared(t, verification.Barriers, "rails beside the posts")
	const e = 0.055
	s := twoPosts("moment = \"free\"\noffset = \"55 mm\"")
	s.scope = allOut
	s.load = strings.Replace(outward, "outward", "along", 1)
	r := s.check(t)
	outside.near("twist of a post's tube under a load along, Nm", largestTwist(r, "post"), 1.5*300*e, 0.02*1.5*300*e, "half of the load times the offset; the rail is almost rigid along")
	s.load = strings.NewReplacer("outward", "down", "600 N", "100 N").Replace(outward) // too little for second order
	r = s.check(t)
	weight := handWeight() * 1.5 / 2 * 1.35
	outside.near("base moment under a load down at the post, Nm", r.Posts[0].BaseMoment, (1.5*100+weight)*e, 1e-6, "load and half of the rail's weight times the offset")
}

func largestTwist(r *Result, tube string) float64 {
	largest := 0.0
	for _, f := range r.Fittings {
		if f.Tube == tube {
			largest = math.Max(largest, f.Twist)
		}
	}
	return largest
}

// A fitting's weight stands on the foot below it.
func TestFittingMass(t *testing.T) {
	outside := compared(t, verification.Barriers, "mass of fittings")
	light, heavy := twoPosts("moment = \"free\""), twoPosts("moment = \"free\"\nmass = \"2 kg\"")
	a, b := light.check(t), heavy.check(t)
	outside.near("base axial force by one fitting of 2 kg, N", a.Posts[0].BaseAxial-b.Posts[0].BaseAxial, 1.35*2*9.80665, 1e-6, "1.35 m g")
}
