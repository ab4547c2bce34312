package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// Every number of lone posts under a point load has a hand formula.
func TestLonePostsUnderAPointLoad(t *testing.T) {
	outside := compared(t, verification.Barriers, "lone posts under a point load")
	const P, h, L, k = 600.0, 1.1, 1.5, 150e3
	EI := handE * handI
	r := lonePosts().check(t)
	if r.Status != Pass || r.ScopeComplete {
		t.Errorf("status %s, scope complete %v, want pass and false", r.Status, r.ScopeComplete)
	}
	for i := range r.Posts {
		p := &r.Posts[i]
		outside.equal("base moment", p.BaseMoment, 1.5*P*h, "1.5 P h")
		outside.equal("base shear", p.BaseShear, 1.5*P, "1.5 P")
		outside.equal("top movement", p.TopDeflection, 1e3*(P*h*h*h/(3*EI)+P*h*h/k), "P h³/3EI + P h²/k")
		rails := 2 * L
		if i == 0 || i == len(r.Posts)-1 {
			rails = L
		}
		outside.equal("base axial", p.BaseAxial, -1.35*handWeight()*(h+rails), "1.35 × weight of the post and of half the rails beside it")
		outside.equal("utilisation", *p.Utilisation, math.Max(1.5*P*h/(handWpl*handFy), 1.5*P*h/(handWpl*handFy)+math.Pow(-p.BaseAxial/(handArea*handFy), 1.7)), "MEd/Mc,Rd + n^1.7")
		outside.equal("deflection utilisation", *p.DeflectionUtilisation, p.TopDeflection/30, "δ/30 mm")
	}
	bending := r.row(t, "post-bending", "post 2")
	outside.equal("Mc,Rd", bending.Resistance, handWpl*handFy, "Wpl fy")
	if bending.Section != "foot" || bending.LimitState != "ULS" || bending.Combination != "1.35 G + 1.50 Q" || bending.Load != "point 0.600 kN outward on top rail at x = 1.500 m" {
		t.Errorf("post-bending of post 2 is at %q, %s %q, under %q", bending.Section, bending.LimitState, bending.Combination, bending.Load)
	}
	// The rail: P L/4 across and g L²/8 down, 1.35 on the weight.
	rail := r.row(t, "rail-bending", "rail top bay 1")
	outside.equal("rail moment", rail.Demand, math.Hypot(1.5*P*L/4, 1.35*handWeight()*L*L/8), "√((1.5 P L/4)² + (1.35 g L²/8)²)")
	if rail.Section != "x = 0.750 m" || rail.Load != "point 0.600 kN outward on top rail at x = 0.750 m" {
		t.Errorf("rail-bending is at %q under %q, want mid-bay", rail.Section, rail.Load)
	}
	outside.equal("span movement", r.Rails[0].SpanDeflection, 1e3*P*L*L*L/(48*EI), "P L³/48EI")
	if r.Rails[0].VerticalDeflection != 0 || r.Rails[1].Moment == 0 {
		t.Errorf("top rail moves down %v mm under an outward load, knee rail has moment %v: want 0, and its own weight's", r.Rails[0].VerticalDeflection, r.Rails[1].Moment)
	}
	outside.equal("knee rail moment", r.Rails[1].Moment, 1.35*handWeight()*L*L/8, "1.35 g L²/8")
}

// A line load makes the same with tributary widths.
func TestLonePostsUnderALineLoad(t *testing.T) {
	outside := compared(t, verification.Barriers, "lone posts under a line load")
	const w, h, L, k = 740.0, 1.1, 1.5, 150e3
	EI := handE * handI
	s := lonePosts()
	s.load = "name = \"crowd\"\nkind = \"line\"\nvalue = \"0.74 kN/m\"\nrail = \"top\"\ndirection = \"outward\""
	s.limits = "deflection = \"60 mm\""
	r := s.check(t)
	for i := range r.Posts {
		width := L
		if i == 0 || i == len(r.Posts)-1 {
			width = L / 2
		}
		outside.equal("base moment", r.Posts[i].BaseMoment, 1.5*w*width*h, "1.5 w × tributary width × h")
		outside.equal("top movement", r.Posts[i].TopDeflection, 1e3*w*width*(h*h*h/(3*EI)+h*h/k), "w × tributary width × (h³/3EI + h²/k)")
	}
	outside.equal("rail moment", r.Rails[0].Moment, math.Hypot(1.5*w*L*L/8, 1.35*handWeight()*L*L/8), "√((1.5 w L²/8)² + (1.35 g L²/8)²)")
	outside.equal("span movement", r.Rails[0].SpanDeflection, 1e3*5*w*math.Pow(L, 4)/(384*EI), "5 w L⁴/384EI")
	// The hand checks say the same, so each ratio is 1; own weight is in the rail's.
	if len(r.HandChecks) != 3 {
		t.Fatalf("%d hand checks, want the post, its top and the rail", len(r.HandChecks))
	}
	for _, c := range r.HandChecks {
		switch c.What {
		case "post base moment, lone cantilever":
			outside.equal(c.What, c.Hand, 1.5*w*L*h, "1.5 w L h")
			equal(t, c.What+", ratio", c.Ratio, 1, "lone cantilevers")
		case "post top movement, lone cantilever":
			outside.equal(c.What, c.Hand, 1e3*w*L*(h*h*h/(3*EI)+h*h/k), "w L (h³/3EI + h²/k)")
			equal(t, c.What+", ratio", c.Ratio, 1, "lone cantilevers")
		case "rail moment, simple span":
			outside.equal(c.What, c.Hand, 1.5*w*L*L/8, "1.5 w L²/8")
			outside.equal(c.What+", ratio", c.Ratio, math.Hypot(1.5*w, 1.35*handWeight())/(1.5*w), "own weight is in the frame's value")
		}
	}
}

// Beside continuous rails the hand checks keep their own numbers, and say why the
// frame's are others.
func TestHandChecksBesideContinuousRails(t *testing.T) {
	outside := compared(t, verification.Barriers, "hand checks")
	const P, h, L, k = 600.0, 1.1, 1.5, 150e3
	EI := handE * handI
	r := throughRails().check(t)
	want := map[string]float64{
		"post base moment, lone cantilever":  1.5 * P * h,
		"post top movement, lone cantilever": 1e3 * P * (h*h*h/(3*EI) + h*h/k),
		"rail moment, simple span":           1.5 * P * L / 4,
	}
	posts := 0
	for _, c := range r.HandChecks {
		outside.equal(c.What, c.Hand, want[c.What], c.Formula)
		equal(t, c.What+", ratio", c.Ratio, c.Frame/c.Hand, "frame/hand")
		if (c.Ratio > 1 || c.Ratio < 0.70) != (c.Why != "") {
			t.Errorf("%s of %s: ratio %.3f, why %q: it is said above 1.00 and below 0.70", c.What, c.Element, c.Ratio, c.Why)
		}
		if strings.HasPrefix(c.What, "post base") {
			posts++
		}
	}
	if posts != 2 {
		t.Errorf("%d posts beside hand formulas, want the end post that governs and an inner one", posts)
	}
	s := lonePosts()
	s.load = machinery
	c := s.check(t).HandChecks[0]
	outside.equal("hand moment under 300 N/m × L", c.Hand, 1.75*300*L*h, "1.75 × 300 N/m × larger bay × h")
}

// A published sample sheet of a railing post, rebuilt whole: 3 kN/m over 1.45 m at
// 1.1 m, W = 23 630 mm³, fy = 355 MPa, I = 1 370 544 mm⁴, E = 205 000 MPa. Its post
// is not round, so the modulus and the second moment are put into the definition.
func TestPublishedRailingPost(t *testing.T) {
	outside := compared(t, verification.Barriers, "published railing post")
	const source = "public sample calculation of a railing post"
	s := lonePosts()
	s.run = "length = \"4.35 m\"\nspacing = \"1.45 m\"\ntoe_plate = \"none\""
	s.base = "stiffness = \"rigid\""
	s.load = strings.Replace(outward, "600 N", "4.35 kN", 1)
	d := s.definition(t)
	d.Post.Ring.Wpl, d.Post.Ring.I = 23630e-9, 1370544e-12
	d.Post.Grade.Fy, d.Post.Grade.E = 355e6, 205e9
	r := result(t, d, Options{})
	outside.near("force on the post, kN", r.Posts[1].BaseShear/1e3, 6.53, 0.005+1e-9, source)
	outside.near("moment capacity, kNm", r.row(t, "post-bending", "post 2").Resistance/1e3, 8.39, 0.005, source)
	// The sheet puts the factored load into PL³/3EI: 1.5 times ours.
	outside.near("1.5 × top movement, mm", 1.5*r.Posts[1].TopDeflection, 10.30, 0.005, source)
	outside.near("top movement, mm", r.Posts[1].TopDeflection, 6.87, 0.005, source+", unfactored (derived)")
}

// The cantilever on a foot spring of the closed-form table: 48.3x3.2, 1.5 kN at
// 1.1 m on 60 kNm/rad moves 27.35 + 30.25 mm.
func TestCantileverOnAFootSpring(t *testing.T) {
	outside := compared(t, verification.Barriers, "cantilever on a foot spring")
	s := lonePosts()
	s.load = strings.Replace(outward, "600 N", "1.5 kN", 1)
	s.limits = "deflection = \"60 mm\""
	s.base = "stiffness = \"60 kNm/rad\""
	soft := s.check(t).Posts[1].TopDeflection
	s.base = "stiffness = \"rigid\""
	rigid := s.check(t).Posts[1].TopDeflection
	const source = "closed-form table: Ph³/3EI + Ph²/k (statics)"
	outside.near("Ph³/3EI, mm", rigid, 27.35, 0.005, source)
	outside.near("Ph²/k, mm", soft-rigid, 30.25, 0.005, source)
}

// A load on a rail below the top of the posts, at a on a post of height h: P a at the foot, and the top
// moves by P a² (3h - a)/6EI + P a h/k (beam tables). Lone posts make the frame's the same.
func TestHandChecksOfALowRail(t *testing.T) {
	const P, a, h, k = 600.0, 0.6, 1.1, 150e3
	EI := handE * handI
	s := lonePosts()
	s.load = "name = \"people\"\nkind = \"point\"\nvalue = \"600 N\"\nrail = \"knee\"\ndirection = \"outward\""
	told := map[string]bool{}
	for _, c := range s.check(t).HandChecks {
		told[c.What] = true
		switch c.What {
		case "post base moment, lone cantilever":
			equal(t, c.What, c.Hand, 1.5*P*a, "1.5 P a")
			equal(t, c.What+", ratio", c.Ratio, 1, "lone cantilevers")
		case "post top movement, lone cantilever":
			equal(t, c.What, c.Hand, 1e3*P*(a*a*(3*h-a)/(6*EI)+a*h/k), "P a²(3h - a)/6EI + P a h/k")
			equal(t, c.What+", ratio", c.Ratio, 1, "lone cantilevers")
		}
	}
	if !told["post base moment, lone cantilever"] || !told["post top movement, lone cantilever"] {
		t.Errorf("hand checks %v, want the foot and the top", told)
	}
}

// A rail on an overhang a is a cantilever: P a under a load at its tip, w a²/2 under a line load.
func TestHandChecksOfAnOverhang(t *testing.T) {
	const a = 0.9
	for load, want := range map[string]float64{
		outward: 1.5 * 600 * a,
		"name = \"crowd\"\nkind = \"line\"\nvalue = \"0.74 kN/m\"\nrail = \"top\"\ndirection = \"outward\"": 1.5 * 740 * a * a / 2,
	} {
		s := lonePosts()
		s.run = "length = \"1.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"\noverhang = [\"900 mm\", \"0 mm\"]"
		s.top, s.knee, s.load = through, "", load
		found := false
		for _, c := range s.check(t).HandChecks {
			if found = found || c.What == "rail moment, cantilever"; c.What == "rail moment, cantilever" {
				equal(t, c.What+" under "+load, c.Hand, want, c.Formula)
				near(t, c.What+", ratio under "+load, c.Ratio, math.Hypot(want, 1.35*handWeight()*a*a/2)/want, 1e-3, "statics, with the weight of the overhang")
			}
		}
		if !found {
			t.Errorf("no hand check of the overhang under %s", load)
		}
	}
}
