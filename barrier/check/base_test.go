package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// oneRail has one rail on two bays, cut at the posts unless along is asked for.
func oneRail(load string) scenario {
	s := lonePosts()
	s.run, s.knee, s.load = "length = \"3 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"", "", load
	s.limits = "deflection = \"60 mm\""
	return s
}

func (r *Result) action(t testing.TB, post int, extreme, level string) *BaseAction {
	t.Helper()
	for i := range r.BaseActions {
		if a := &r.BaseActions[i]; a.Post == post && a.ExtremeOf == extreme && a.Level == level {
			return a
		}
	}
	t.Fatalf("no %s of post %d at %s level", extreme, post, level)
	return nil
}

// What a post does to its foot, by the right-hand rule from the force at the top:
// r × F with r = h along Z.
func TestBaseActionSigns(t *testing.T) {
	const P, h, L = 600.0, 1.1, 1.5
	end := handWeight() * (h + L/2)
	point := func(direction string) string {
		return "name = \"own\"\nkind = \"point\"\nvalue = \"600 N\"\ndirection = " + direction
	}
	for _, c := range []struct {
		load, extreme, level string
		permanent            float64
		fx, fy, fz           float64 // of the variable action
		mx, my               float64
	}{
		{point("\"outward\""), "Mx-", "design", 1.35, 0, 1.5 * P, 0, -1.5 * P * h, 0},
		{point("\"outward\""), "Mx-", "characteristic", 1, 0, P, 0, -P * h, 0},
		{point("\"inward\""), "Mx+", "design", 1.35, 0, -1.5 * P, 0, 1.5 * P * h, 0},
		{point("\"up\""), "Fz+", "design", 1, 0, 0, 1.5 * P, 0, 0},
		{point("\"up\""), "Fz+", "characteristic", 1, 0, 0, P, 0, 0},
		{point("\"down\""), "Fz-", "design", 1.35, 0, 0, -1.5 * P, 0, 0},
		{point("{ azimuth = \"90 deg\", elevation = \"-30 deg\" }"), "Mx-", "design", 1.35, 0, 1.5 * P * math.Cos(math.Pi/6), -1.5 * P / 2, -1.5 * P * math.Cos(math.Pi/6) * h, 0},
	} {
		a := oneRail(c.load).check(t).action(t, 1, c.extreme, c.level)
		// 1/Ncr = 4h²/π²EI + h/k on a foot of 150 kNm/rad; design moments are 1/(1 - N/Ncr)
		// as large from 1.01 on.
		if k := 1 / (1 - (c.permanent*end-c.fz)*(4*h*h/(math.Pi*math.Pi*handE*handI)+h/150e3)); k > 1.01 {
			c.mx *= k
		}
		what := c.load[strings.LastIndex(c.load, "direction"):] + " " + c.level
		for _, v := range []struct {
			name      string
			got, want float64
		}{{"Fx", a.Fx, c.fx}, {"Fy", a.Fy, c.fy}, {"Fz", a.Fz, c.fz - c.permanent*end}, {"Mx", a.Mx, c.mx}, {"My", a.My, c.my}, {"Mz", a.Mz, 0}} {
			if math.Abs(v.got-v.want) > digits*1000 {
				t.Errorf("%s: %s = %.9g, want %.9g (statics of a cantilever under its load and weight)", what, v.name, v.got, v.want)
			}
		}
	}
}

// A load along the run is shared by the posts; on each, Mx is none, My = +Fx h, and
// equal shares of a rail without stretch are P/n.
func TestBaseActionsUnderALoadAlong(t *testing.T) {
	const P, h = 600.0, 1.1
	s := oneRail(strings.Replace(outward, "outward", "along", 1))
	s.top = through
	r := s.check(t)
	for _, extreme := range []string{"My+", "My-"} {
		a := r.action(t, 1, extreme, "design")
		sign := 1.0
		if extreme == "My-" {
			sign = -1
		}
		if math.Abs(a.My-a.Fx*h) > 1e-6*P || a.Fx*sign < 0 || a.Fy != 0 || a.Mx != 0 {
			t.Errorf("%s: Fx = %v, My = %v, Fy = %v, Mx = %v; want My = Fx h with the sign of the extreme, and nothing across", extreme, a.Fx, a.My, a.Fy, a.Mx)
		}
		// EA of the rail over a bay is some 3000 times a post's stiffness.
		if math.Abs(a.Fx)-1.5*P/3 < -1e-9 || math.Abs(a.Fx) > 1.01*1.5*P/3 {
			t.Errorf("%s: Fx = %v, want a third of 1.5 P on each of three posts, within 1 %%", extreme, a.Fx)
		}
	}
}

// The six of a row act at the same time: the resultants of the rows named M and V
// are those of the post, and each extreme is the largest of its column.
func TestBaseActionsAreConcurrent(t *testing.T) {
	s := throughRails()
	s.load = strings.Replace(outward, "outward", "horizontal", 1)
	d := s.definition(t)
	r := result(t, d, Options{AllBaseActions: true})
	posts := map[int]bool{}
	for _, a := range r.BaseActions {
		posts[a.Post] = true
		if a.Level != "design" {
			continue
		}
		p := &r.Posts[a.Post-1]
		switch a.ExtremeOf {
		case "M":
			equal(t, "√(Mx² + My²)", math.Hypot(a.Mx, a.My), p.BaseMoment, "base moment of the post")
		case "V":
			equal(t, "√(Fx² + Fy²)", math.Hypot(a.Fx, a.Fy), p.BaseShear, "base shear of the post")
		}
		for _, b := range r.BaseActions {
			if b.Post != a.Post || b.Level != a.Level {
				continue
			}
			top, other := map[string][2]float64{"Mx+": {a.Mx, b.Mx}, "Mx-": {-a.Mx, -b.Mx}, "My+": {a.My, b.My}, "My-": {-a.My, -b.My}, "Fz+": {a.Fz, b.Fz}, "Fz-": {-a.Fz, -b.Fz}}[a.ExtremeOf], 0.0
			if other = top[1]; other > top[0]+digits*math.Abs(top[0]) {
				t.Errorf("post %d: %s is %v, and %v in the row of %s", a.Post, a.ExtremeOf, top[0], other, b.ExtremeOf)
			}
		}
	}
	if len(posts) != len(d.Run.Posts) {
		t.Errorf("base actions of %d posts, want all %d", len(posts), len(d.Run.Posts))
	}
	some := map[int]bool{}
	for _, a := range result(t, d, Options{}).BaseActions {
		some[a.Post] = true
	}
	if !some[1] || !some[4] || len(some) > 3 {
		t.Errorf("base actions of posts %v, want the ends and the one that governs", some)
	}
}

// A foot below the surface lengthens the post.
func TestBaseLevel(t *testing.T) {
	outside := compared(t, verification.Barriers, "foot below the surface")
	const P = 600.0
	s := oneRail(outward)
	text := strings.Replace(s.toml(), "level = \"0 mm\"", "level = \"-200 mm\"", 1)
	d := parse(t, text)
	r := result(t, d, Options{})
	outside.equal("base moment", r.Posts[1].BaseMoment, 1.5*P*1.3, "1.5 P (h + 0.2 m)")
	if !says(r.Assumptions, "Each post is held at z = -0.200 m") {
		t.Errorf("the level is not said: %q", r.Assumptions)
	}
}

// The way from rail to ground, link by link.
func TestLoadPath(t *testing.T) {
	for _, c := range []struct {
		scope         string
		fitting, feet Status
		status        Status
		complete      bool
	}{
		{allOut, LeftOut, LeftOut, Pass, false},
		{"leave_out = [\"fitting\", \"geometry\"]", LeftOut, Unchecked, Incomplete, false},
		{baseOut, Unchecked, LeftOut, Incomplete, false},
		{"leave_out = []", Unchecked, Unchecked, Incomplete, true},
	} {
		s := lonePosts()
		s.scope = c.scope
		r := s.check(t)
		want := []Link{{Link: "rail", Status: Checked}, {Link: "fitting", Status: c.fitting}, {Link: "post", Status: Checked}, {Link: "socket", Status: c.feet}, {Link: "foot", Status: c.feet}, {Link: "ground", Status: c.feet}}
		for i, l := range r.LoadPath {
			if i >= len(want) || l.Link != want[i].Link || l.Status != want[i].Status {
				t.Errorf("%s: link %d is %+v, want %+v", c.scope, i, l, want)
			}
			if (l.Utilisation != nil) != (l.Status == Checked) {
				t.Errorf("%s: link %s is %s with utilisation %v", c.scope, l.Link, l.Status, l.Utilisation)
			}
		}
		if r.Status != c.status || r.ScopeComplete != c.complete {
			t.Errorf("%s: status %s, scope complete %v; want %s, %v", c.scope, r.Status, r.ScopeComplete, c.status, c.complete)
		}
		items := r.Unchecked
		if c.feet == LeftOut {
			items = r.LeftOut
		}
		for what, demand := range map[string]float64{"socket, foot and ground: moment": 1.5 * 600 * 1.1, "socket, foot and ground: shear": 1.5 * 600} {
			if it := item(items, what); it == nil || math.Abs(it.Demand-demand) > digits*demand {
				t.Errorf("%s: %s is %+v, want a demand of %v", c.scope, what, it, demand)
			}
		}
	}
}

// Where a load lifts a post, anchors must hold that, however much smaller it is than what
// presses: uplift and downward force are demands of their own.
func TestUpliftIsADemandOfItsOwn(t *testing.T) {
	outside := compared(t, verification.Feet, "uplift and downward force")
	const P, h, L = 200.0, 1.1, 1.5
	own := func(direction string) string {
		return "name = \"" + direction + "\"\nkind = \"point\"\nvalue = \"200 N\"\ndirection = \"" + direction + "\""
	}
	w := handWeight()
	r := oneRail(own("up") + "\n\n" + own("down")).check(t)
	up, down := item(r.LeftOut, "socket, foot and ground: uplift"), item(r.LeftOut, "socket, foot and ground: downward force")
	if up == nil || down == nil {
		t.Fatalf("left out %+v: want uplift and downward force", r.LeftOut)
	}
	outside.equal("uplift, N", up.Demand, 1.5*P-w*(h+L/2), "1.5 P - 1.00 G of an end post")
	outside.equal("downward force, N", down.Demand, 1.5*P+1.35*w*(h+L), "1.5 P + 1.35 G of the middle post")
	pressed := oneRail(own("down")).check(t)
	if it := item(pressed.LeftOut, "socket, foot and ground: axial force"); it == nil || item(pressed.LeftOut, "socket, foot and ground: uplift") != nil {
		t.Errorf("left out %+v: nothing lifts a post", pressed.LeftOut)
	}
}
