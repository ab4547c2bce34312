package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
)

// BS 6180:1999 6.5 (public page scan) raises the design loading of fixings by half where the
// strength of a component is not sure. On lone posts under a load across: the force in the
// fitting and the actions of the foot are 1.5 times, the post's own moment is not.
func TestFixings(t *testing.T) {
	outside := compared(t, verification.Feet, "factor on fixings")
	const P, h = 600.0, 1.1
	s := lonePosts()
	s.scope = "leave_out = [\"geometry\"]"
	d := s.definition(t)
	d.Loads[0].Fixing = 1.5
	r := result(t, d, Options{})
	outside.equal("moment of the post", r.Posts[1].BaseMoment, 1.5*P*h, "1.5 P h")
	outside.equal("bending of the post", r.row(t, "post-bending", "post 2").Demand, 1.5*P*h, "1.5 P h")
	for _, a := range r.BaseActions {
		if a.Post != 1 || a.ExtremeOf != "Mx-" {
			continue
		}
		factor := map[string]float64{"design": 1.5, "characteristic": 1}[a.Level]
		outside.equal(a.Level+" Mx", a.Mx, -1.5*factor*P*h, "1.5 × γ P h")
		outside.equal(a.Level+" Fy", a.Fy, 1.5*factor*P, "1.5 × γ P")
		if !strings.HasSuffix(a.Load, ", times 1.50 for fixings") {
			t.Errorf("the row says %q, and not that it is raised", a.Load)
		}
	}
	across := 1.5 * math.Hypot(1.5*P, 1.35*handWeight()*1.5/2) // with half a bay's weight of rail
	for _, c := range []struct {
		item string
		want float64
	}{{"fitting: force across the rail", across}, {"socket, foot and ground: moment", 1.5 * 1.5 * P * h}, {"socket, foot and ground: shear", 1.5 * 1.5 * P}} {
		it := r.open(c.item)
		if it == nil {
			t.Errorf("nothing is open of %s", c.item)
			continue
		}
		outside.equal(c.item, it.Demand, c.want, "1.5 × 1.5 P")
		if !strings.HasSuffix(it.Load, "for fixings") {
			t.Errorf("%s: %q does not say that it is raised", c.item, it.Load)
		}
	}
	if !says(r.Assumptions, "multiplied by 1.50") {
		t.Errorf("assumptions do not say it: %q", r.Assumptions)
	}
	// A tested value is held against the raised force.
	s.fitting = "moment = \"free\"\ntransverse_force = \"5 kN\"\nvalues = \"design\""
	d = s.definition(t)
	d.Loads[0].Fixing = 1.5
	row := result(t, d, Options{}).largest("fitting-force")
	outside.equal("fitting-force", row, across/5000, "1.5 √((1.5 P)² + (1.35 g L/2)²) / 5 kN")
}

// The weight that holds down a post is not raised: of a load straight up on its top
// the foot must hold 1.5 × 1.5 P - 1.0 G.
func TestFixingsUnderUplift(t *testing.T) {
	outside := compared(t, verification.Feet, "fixings under uplift")
	const P, h, L = 600.0, 1.1, 1.5
	s := lonePosts()
	s.load = strings.Replace(outward, "\"outward\"", "\"up\"", 1)
	d := s.definition(t)
	d.Loads[0].Fixing = 1.5
	r := result(t, d, Options{})
	G := handWeight() * (h + L) // of an end post and half of both rails in its bay
	want := 1.5*1.5*P - G
	for _, a := range r.BaseActions {
		if a.Post == 1 && a.ExtremeOf == "Fz+" && a.Level == "design" {
			outside.equal("uplift", a.Fz, want, "1.5 × 1.5 P - G")
			return
		}
	}
	t.Error("no uplift among the base actions of post 1")
}

// Only what asks for it is raised: two loads, one of them with the factor.
func TestFixingsOfOneLoad(t *testing.T) {
	outside := compared(t, verification.Feet, "fixings of one load")
	const h = 1.1
	s := lonePosts()
	s.load = outward + "\n\n" + strings.NewReplacer("600 N", "800 N", "people", "others").Replace(outward)
	d := s.definition(t)
	d.Loads[0].Fixing, d.Loads[1].Fixing = 1.5, 1
	r := result(t, d, Options{})
	outside.equal("moment of the foot", item(r.LeftOut, "socket, foot and ground: moment").Demand, 1.5*1.5*600*h, "1.5 × 1.5 × 600 N h is more than 1.5 × 800 N h")
	outside.equal("moment of the post", r.Posts[1].BaseMoment, 1.5*800*h, "1.5 × 800 N h")
	d.Loads[0].Fixing = 1.2
	r = result(t, d, Options{})
	outside.equal("moment of the foot", item(r.LeftOut, "socket, foot and ground: moment").Demand, 1.5*800*h, "1.5 × 800 N h is more than 1.2 × 1.5 × 600 N h")
}

// No raised state is beyond what bounds it, component by component.
func TestRaisedWithinItsBound(t *testing.T) {
	r := raise{1.5, analysis.State{N: -40, Vz: 12, Mz: 3}}
	for _, s := range []analysis.State{{N: 100, Vy: -5, Vz: -30, T: 2, My: 7, Mz: -9}, {N: -100, Vz: 30, Mz: 9}, {}} {
		got, most := r.of(&s), r.atMost(&s)
		for _, c := range [][2]float64{{got.N, most.N}, {got.Vy, most.Vy}, {got.Vz, most.Vz}, {got.T, most.T}, {got.My, most.My}, {got.Mz, most.Mz}} {
			if c[0] > c[1] || -c[0] > c[1] {
				t.Errorf("raised %+v to %+v, beyond %+v", s, got, most)
			}
		}
	}
}

// A base that stands by its weight lists its actions at equilibrium, and what would turn it
// over: by EN 1990 (6.7) with 1.5 Q, on a lone post 1.5 P h.
func TestLooseBase(t *testing.T) {
	outside := compared(t, verification.Feet, "loose foot")
	const P, h = 600.0, 1.1
	s := lonePosts()
	s.scope = "leave_out = [\"fitting\", \"geometry\"]"
	d := s.definition(t)
	d.Post.Base.Loose = true
	r := result(t, d, Options{})
	found := false
	for _, a := range r.BaseActions {
		if a.Level == "equilibrium" && a.ExtremeOf == "Mx-" && a.Post == 1 {
			found = true
			outside.equal("Mx at equilibrium", a.Mx, -1.5*P*h, "1.5 P h")
			outside.equal("Fz at equilibrium", a.Fz, -0.9*handWeight()*(h+2*0.75), "0.90 of the weight of a post and half a bay of two rails, EN 1990 Table A1.2(A)")
		}
	}
	if !found {
		t.Error("no base actions at equilibrium")
	}
	it := r.open("base that stands by its weight: overturning moment")
	if it == nil || r.Status != Incomplete {
		t.Fatalf("status %s, overturning %+v", r.Status, it)
	}
	outside.equal("overturning moment", it.Demand, 1.5*P*h, "1.5 P h")
	d.Post.Base.Loose = false
	if r := result(t, d, Options{}); r.open("base that stands by") != nil {
		t.Error("a base that is held lists its overturning")
	}
}

// The schedule warns that the factor is not applied; where it is, it does not.
func TestFixingsAnswerTheCaution(t *testing.T) {
	s := lonePosts()
	s.load, s.limits = "schedule = \"EN 1991-1-1 UK v\"", ""
	d := s.definition(t)
	for factor, warned := range map[float64]bool{1: true, 1.5: false} {
		d.Loads[0].Fixing = factor
		if got := says(result(t, d, Options{}).ownCautions(), "BS 6180:1999 6.5 raises"); got != warned {
			t.Errorf("factor %v: warned that it is not applied: %v", factor, got)
		}
	}
}
