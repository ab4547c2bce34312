package check

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// On lone posts the least stiffness is the root of P h³/3EI + P h²/k = limit, for stiff
// feet and soft.
func TestLeastStiffnessOfLonePosts(t *testing.T) {
	const P, h = 600.0, 1.1
	for limit, slack := range map[float64]float64{0.012: 1e-6, 0.030: 1e-6, 0.060: 0.02, 0.200: 0.06} { // on soft feet second order counts
		s := lonePosts()
		s.base, s.limits = "", fmt.Sprintf("deflection = \"%g m\"", limit)
		r := s.check(t)
		if r.Foot.LeastStiffness == nil {
			t.Fatalf("no least stiffness for a limit of %g m", limit)
		}
		want := P * h * h / (limit - P*h*h*h/(3*handE*handI))
		if got := *r.Foot.LeastStiffness; got < want*(1-1e-6) || got > want*(1+slack) {
			t.Errorf("least stiffness for %g m = %.9g Nm/rad, want %.9g (P h²/(δ - P h³/3EI), statics)", limit, got, want)
		}
		if len(r.Foot.Stiffness) != 0 || r.Foot.Statement != "not given" {
			t.Errorf("foot is %v, %q; want none and \"not given\"", r.Foot.Stiffness, r.Foot.Statement)
		}
	}
}

// The least stiffness, given as the stiffness, puts the largest movement on its
// limit; a little softer exceeds it and a little stiffer does not.
func TestLeastStiffnessMeetsTheLimit(t *testing.T) {
	for name, s := range map[string]scenario{"through": throughRails(), "cut": lonePosts(), "spliced": func() scenario {
		s := throughRails()
		s.load, s.top = machinery, "splices = [\"2.1 m\"]"
		return s
	}()} {
		s.base = ""
		open := s.check(t)
		least := *open.Foot.LeastStiffness
		for _, c := range []struct {
			times  float64
			status Status
		}{{0.999, Fail}, {1.001, Pass}} {
			s.base = fmt.Sprintf("stiffness = \"%.9f Nm/rad\"", least*c.times)
			r := s.check(t)
			if r.Status != c.status {
				t.Errorf("%s: %.3f of the least stiffness gives %s, want %s", name, c.times, r.Status, c.status)
			}
		}
		s.base = fmt.Sprintf("stiffness = \"%.9f Nm/rad\"", least)
		r := s.check(t)
		if u := *r.Governing.Deflection.Utilisation; math.Abs(u-1) > 1e-6 {
			t.Errorf("%s: at the least stiffness the movement is %.9f of its limit, want 1", name, u)
		}
		if again := *r.Foot.LeastStiffness; math.Abs(again-least) > 1e-6*least {
			t.Errorf("%s: least stiffness is %.9g beside a given one, %.9g beside none", name, again, least)
		}
	}
}

// Where posts lean with others that are pressed harder, a movement on given feet is that of the frame's own run, out of
// true: on feet of the least stiffness it meets its limit too.
func TestLeastStiffnessInSecondOrder(t *testing.T) {
	for _, name := range []string{"roof-terrace.toml", "inlet-channel.toml", "mixing-deck.toml", "brine-platform.toml"} {
		doc := document(t, name)
		on := func(changes ...barrier.Change) *Result {
			d, err := doc.Definition(changes...)
			if err != nil {
				t.Fatal(err)
			}
			return result(t, d, Options{})
		}
		least := *on().Foot.LeastStiffness
		r := on(barrier.Change{Path: "post.base.stiffness", Value: fmt.Sprintf("%.9f Nm/rad", least)})
		largest, ran := 0.0, false
		for i := range r.Checks {
			if row := &r.Checks[i]; isMovement(row.ID) && row.ID != "rail-vertical-deflection" {
				largest, ran = math.Max(largest, *row.Utilisation), ran || row.SecondOrder != ""
			}
		}
		if !ran {
			t.Errorf("%s: no movement is of second order", name)
		}
		if largest > 1+1e-6 || largest < 0.998 {
			t.Errorf("%s: on feet of the least stiffness, %.9g Nm/rad, the largest movement is %.9g of its limit", name, least, largest)
		}
	}
}

// Where second order counts and the barrier is too long to be run, the result says what the least stiffness rests on.
func TestLeastStiffnessOfALongBarrier(t *testing.T) {
	for posts, told := range map[int]bool{9: false, mostBentFeet + 1: true} {
		d, err := barrier.Parse("long.toml", []byte(long(posts, "schedule = \"EN ISO 14122-3\"")))
		if err != nil {
			t.Fatal(err)
		}
		r := result(t, d, Options{})
		if strings.Contains(r.Foot.Holds, "a run of the frame, for which the barrier is too long") != told {
			t.Errorf("%d posts: %q", posts, r.Foot.Holds)
		}
	}
}

// The least stiffness of a barrier that is alike from both ends, of which half is searched, and what governs on such feet
// are those of one whose posts are not quite alike, and are all searched.
func TestLeastStiffnessOfAMirroredBarrier(t *testing.T) {
	for _, posts := range []int{5, 6} {
		for _, load := range []string{
			"kind = \"point\"\nvalue = \"0.9 kN\"\nrail = \"top\"\ndirection = \"outward\"",
			"kind = \"line\"\nvalue = \"0.5 kN/m\"\nrail = \"knee\"\ndirection = \"horizontal\"",
			"schedule = \"EN ISO 14122-3\"",
		} {
			found := func(off float64) *Result {
				d, err := barrier.Parse("mirrored.toml", []byte(strings.Replace(long(posts, load), `stiffness = "150 kNm/rad"`, "", 1)))
				if err != nil {
					t.Fatal(err)
				}
				d.Run.Posts[1] += off
				return result(t, d, Options{})
			}
			half, all := found(0), found(1e-10)
			if half.Foot.LeastStiffness == nil || all.Foot.LeastStiffness == nil {
				t.Fatalf("%d posts, %s: no least stiffness", posts, load)
			}
			if a, b := *half.Foot.LeastStiffness, *all.Foot.LeastStiffness; math.Abs(a-b) > 1e-7*b {
				t.Errorf("%d posts, %s: the least stiffness is %.9g Nm/rad, %.9g where all posts are searched", posts, load, a, b)
			}
			if a, b := half.Governing.Deflection, all.Governing.Deflection; a.ID != b.ID || a.Element != b.Element {
				t.Errorf("%d posts, %s: %s of %s governs, %s of %s where all posts are searched", posts, load, a.ID, a.Element, b.ID, b.Element)
			}
		}
	}
}

// Where the feet are not given, strength covers rigid feet and the softest that
// hold the limit, and deflection stays unchecked.
func TestFeetNotGiven(t *testing.T) {
	s := throughRails()
	s.load, s.base = machinery, ""
	r := s.check(t)
	if r.Status != Incomplete {
		t.Errorf("status %s, want incomplete", r.Status)
	}
	least := *r.Foot.LeastStiffness
	words := "deflection holds if each foot is stiffer than " + stiffness(least, quantity.Metric)
	if it := r.open("deflection"); it == nil || !strings.Contains(it.Reason, words) {
		t.Errorf("unchecked deflection is %+v, want it with %q", it, words)
	}
	if !strings.Contains(r.Headline, words) || !strings.HasPrefix(r.Headline, "members pass; not checked: deflection") {
		t.Errorf("headline %q does not say that members pass, deflection is not checked, and %q", r.Headline, words)
	}
	for i := range r.Checks {
		if c := &r.Checks[i]; strings.HasSuffix(c.ID, "-deflection") && (c.Status != Unchecked || c.Utilisation != nil || c.Demand <= 0) {
			t.Errorf("%s of %s is %s, utilisation %v, demand %v; want its demand, unchecked", c.ID, c.Element, c.Status, c.Utilisation, c.Demand)
		}
	}
	if !r.has("post-deflection") || !r.has("rail-deflection") {
		t.Error("the unchecked movements are not listed")
	}
	if r.open("foot stiffness") != nil {
		t.Error("strength on soft feet is unchecked, though the limit gives a least stiffness")
	}
	if len(r.Models) != 2 || r.Models[0].FootStiffness != nil || math.Abs(*r.Models[1].FootStiffness-least) > digits*least || !r.Models[0].Stands || !r.Models[1].Stands {
		t.Fatalf("models %+v, want rigid feet and the least stiffness", r.Models)
	}
	s.base = "stiffness = \"rigid\""
	rigid := s.check(t)
	s.base = fmt.Sprintf("stiffness = \"%.9f Nm/rad\"", least)
	soft := s.check(t)
	for i := range r.Posts {
		equal(t, "base moment", r.Posts[i].BaseMoment, math.Max(rigid.Posts[i].BaseMoment, soft.Posts[i].BaseMoment), "worse of rigid and least")
	}
	for i := range r.Rails {
		equal(t, "rail moment", r.Rails[i].Moment, math.Max(rigid.Rails[i].Moment, soft.Rails[i].Moment), "worse of rigid and least")
		equal(t, "rail utilisation", *r.Rails[i].Utilisation, math.Max(*rigid.Rails[i].Utilisation, *soft.Rails[i].Utilisation), "worse of rigid and least")
	}
	// Why both are run (DEVELOPERS.md, How a check runs): a softer foot raises rail
	// moments, a stiffer one those of posts.
	if !(soft.Rails[0].Moment > rigid.Rails[0].Moment && rigid.Posts[0].BaseMoment > soft.Posts[0].BaseMoment) {
		t.Errorf("top rail moment %v soft, %v rigid; post 1 moment %v soft, %v rigid: this case must need both", soft.Rails[0].Moment, rigid.Rails[0].Moment, soft.Posts[0].BaseMoment, rigid.Posts[0].BaseMoment)
	}
}

// Without any limit nothing says how soft a foot may be, so strength on soft feet
// is unchecked and the barrier cannot pass.
func TestFeetNotGivenAndNoLimit(t *testing.T) {
	s := throughRails()
	s.base, s.limits = "", "deflection = \"none\""
	r := s.check(t)
	if r.Status != Incomplete || r.open("foot stiffness") == nil {
		t.Errorf("status %s, unchecked %+v: want incomplete with the foot stiffness", r.Status, r.Unchecked)
	}
	if !says(r.Assumptions, "strength is checked with rigid feet alone") {
		t.Errorf("no assumption says that feet are taken as rigid: %q", r.Assumptions)
	}
	s.limits = "deflection = \"none\"\nvertical = \"5 mm\""
	if r := s.check(t); r.Status != Incomplete || r.open("deflection") == nil {
		t.Errorf("status %s, unchecked %+v: want the vertical limit unchecked", r.Status, r.Unchecked)
	}
	s.base = "stiffness = \"150 kNm/rad\""
	if r := s.check(t); r.Status != Pass || !r.has("rail-vertical-deflection") {
		t.Errorf("status %s with the feet given: want pass, vertical movement checked", r.Status)
	}
}

// Stated rigid is the user's statement: it comes first, with the least stiffness.
func TestFeetStatedRigid(t *testing.T) {
	s := throughRails()
	s.base = "stiffness = \"rigid\""
	r := s.check(t)
	if r.Status != Pass {
		t.Errorf("status %s, want pass", r.Status)
	}
	want := "The feet are rigid: a statement of the user's. The deflection limit holds down to " + stiffness(*r.Foot.LeastStiffness, quantity.Metric) + "."
	if r.Assumptions[0] != want {
		t.Errorf("first assumption %q, want %q", r.Assumptions[0], want)
	}
	if len(r.Foot.Stiffness) != 1 || r.Foot.Stiffness[0] != nil {
		t.Errorf("stiffness %v, want one null", r.Foot.Stiffness)
	}
}

// Feet that move too far even when rigid fail; nothing is left open.
func TestFeetThatCannotMeetTheLimit(t *testing.T) {
	s := throughRails()
	s.base, s.limits = "", "deflection = \"4 mm\""
	r := s.check(t)
	if r.Status != Fail || r.Foot.LeastStiffness != nil {
		t.Errorf("status %s, least stiffness %v; want fail and none", r.Status, r.Foot.LeastStiffness)
	}
	if u := r.Governing.Deflection.Utilisation; u == nil || *u <= 1 {
		t.Errorf("deflection governs at %v, want above 1", u)
	}
	if !strings.Contains(r.Headline, "deflection does not hold even on rigid feet") {
		t.Errorf("headline %q does not say that rigid feet do not help", r.Headline)
	}
	// P h³/3EI = 10.9 mm on lone posts is already more than 4 mm.
	if h := 1.1; 600*h*h*h/(3*handE*handI) < 0.004 {
		t.Error("the case does not do what it is for")
	}
}

// A range is run at both ends; the worse of each number stands.
func TestRangeOfFeet(t *testing.T) {
	s := throughRails()
	s.load, s.limits = machinery, "deflection = \"30 mm\""
	s.run = "posts = [\"0 m\", \"1.1 m\", \"2.5 m\", \"3.4 m\", \"4.9 m\"]\ntoe_plate = \"none\""
	run := func(base string) *Result {
		s.base = base
		return s.check(t)
	}
	both := run("stiffness = [\"60 kNm/rad\", \"200 kNm/rad\"]")
	soft, stiff := run("stiffness = \"60 kNm/rad\""), run("stiffness = \"200 kNm/rad\"")
	if len(both.Models) != 2 || *both.Models[0].FootStiffness != 60e3 || *both.Models[1].FootStiffness != 200e3 || !both.Models[0].Stands || !both.Models[1].Stands {
		t.Fatalf("models %+v, want 60 and 200 kNm/rad, both standing", both.Models)
	}
	for i, one := range []*Result{soft, stiff} {
		equal(t, "largest utilisation of a model", *both.Models[i].LargestUtilisation, one.largest(""), "that of its own run")
	}
	worse := func(what string, got, a, b float64) {
		t.Helper()
		equal(t, what, got, math.Max(a, b), "worse of both ends")
	}
	for i := range both.Posts {
		p, a, b := &both.Posts[i], &soft.Posts[i], &stiff.Posts[i]
		worse("base moment", p.BaseMoment, a.BaseMoment, b.BaseMoment)
		worse("base shear", p.BaseShear, a.BaseShear, b.BaseShear)
		worse("top movement", p.TopDeflection, a.TopDeflection, b.TopDeflection)
		worse("utilisation", *p.Utilisation, *a.Utilisation, *b.Utilisation)
	}
	for i := range both.Rails {
		p, a, b := &both.Rails[i], &soft.Rails[i], &stiff.Rails[i]
		worse("rail moment", p.Moment, a.Moment, b.Moment)
		worse("rail movement", p.Deflection, a.Deflection, b.Deflection)
		worse("rail utilisation", *p.Utilisation, *a.Utilisation, *b.Utilisation)
	}
	for i := range both.Checks {
		c := &both.Checks[i]
		a, b := math.Inf(-1), math.Inf(-1)
		for k := range soft.Checks { // a rail's worst bay may differ between the ends
			if sameMember(&soft.Checks[k], c) {
				a = *soft.Checks[k].Utilisation
			}
			if sameMember(&stiff.Checks[k], c) {
				b = *stiff.Checks[k].Utilisation
			}
		}
		worse(c.ID+" of "+c.Element, *c.Utilisation, a, b)
	}
	for _, p := range both.BaseActions {
		if p.ExtremeOf == "M" && p.Level == "design" {
			equal(t, "resultant base moment among the base actions", math.Hypot(p.Mx, p.My), both.Posts[p.Post-1].BaseMoment, "that of the posts")
		}
	}
	if both.Foot.Statement != "a range, both ends run" {
		t.Errorf("statement %q", both.Foot.Statement)
	}
}

// sameMember reports whether two rows are the same check of the same post or rail.
func sameMember(a, b *CheckRow) bool {
	member := func(s string) string { m, _, _ := strings.Cut(s, " bay "); return m }
	return a.ID == b.ID && member(a.Element) == member(b.Element)
}

// The printed stiffness is never below the one found.
func TestStiffnessRoundsUp(t *testing.T) {
	for k, want := range map[float64]string{24_901: "25.0", 24_900: "24.9", 18_034: "18.1", 123_400: "124", 1_234_000: "1240", 56.71: "0.0568"} {
		if got := stiffness(k, quantity.Metric); got != want+" kNm/rad" {
			t.Errorf("stiffness(%v) = %q, want %q", k, got, want)
		}
	}
}

// A foot of the printed stiffness must do: it is rounded up at the third figure.
func TestStiffnessIsNotRoundedDown(t *testing.T) {
	for value, want := range map[float64]string{38211.04: "38.3", 38200: "38.2", 999.1: "1.00", 114900: "115", 114900.1: "115", 0: "0"} {
		if got := stiffness(value, quantity.Metric); got != want+" kNm/rad" {
			t.Errorf("stiffness(%v) = %s, want %s", value, got, want)
		}
	}
}
