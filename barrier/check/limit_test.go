package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
)

// No limit from schedule or user leaves deflection unchecked; "none" says that
// none is wanted.
func TestNoLimit(t *testing.T) {
	s := throughRails()
	s.limits = ""
	r := s.check(t)
	if it := r.open("deflection"); r.Status != Incomplete || it == nil || it.Unit != "mm" || it.Demand != r.Rails[0].Deflection {
		t.Errorf("status %s, deflection %+v; want incomplete with the largest movement, %v mm", r.Status, it, r.Rails[0].Deflection)
	}
	if r.has("post-deflection") || r.Governing.Deflection.ID != "" || r.Posts[0].DeflectionUtilisation != nil {
		t.Error("deflection is judged without a limit")
	}
	s.limits = "deflection = \"none\""
	r = s.check(t)
	if r.Status != Pass || r.open("deflection") != nil || !strings.HasPrefix(r.Headline, "members pass; left out") {
		t.Errorf("status %s, headline %q; want pass of the members alone", r.Status, r.Headline)
	}
}

// A limit of vertical movement alone says nothing of movement across.
func TestVerticalLimitAlone(t *testing.T) {
	s := throughRails()
	s.limits = "vertical = \"5 mm\""
	r := s.check(t)
	if r.Status != Incomplete || r.open("deflection") == nil || !r.has("rail-vertical-deflection") {
		t.Errorf("status %s, unchecked %+v; want movement across unchecked, vertical checked", r.Status, r.Unchecked)
	}
	if strings.Contains(r.Headline, "deflection pass") {
		t.Errorf("headline %q says that deflection passes", r.Headline)
	}
}

// The user's limit may tighten a schedule's 30 mm; to loosen it takes override.
func TestUsersLimit(t *testing.T) {
	for _, c := range []struct {
		limits, clause string
		limit          float64 // mm
		caution        bool
	}{
		{"", "EN ISO 14122-3 8.2.3, 7", 30, false},
		{"deflection = \"20 mm\"", "the user's limit deflection", 20, false},
		{"deflection = \"40 mm\"\noverride = true", "the user's limit deflection", 40, true},
		{"deflection = \"20 mm\"\noverride = true", "the user's limit deflection", 20, false},
	} {
		s := throughRails()
		s.load, s.limits = machinery, c.limits
		r := s.check(t)
		for _, id := range []string{"post-deflection", "rail-deflection"} {
			for i := range r.Checks {
				if row := &r.Checks[i]; row.ID == id && (row.Resistance != c.limit || row.Clause != c.clause || row.Unit != "mm" || row.LimitState != "SLS") {
					t.Errorf("%q: %s of %s is held against %v %s, %q; want %v mm, %q", c.limits, id, row.Element, row.Resistance, row.Unit, row.Clause, c.limit, c.clause)
				}
			}
		}
		if says(r.ownCautions(), "override = true") != c.caution {
			t.Errorf("%q: cautions %q; caution of an override: %v", c.limits, r.ownCautions(), c.caution)
		}
	}
	s := throughRails()
	s.load, s.limits = machinery, "deflection = \"none\"\noverride = true"
	if r := s.check(t); r.has("post-deflection") || r.open("deflection") != nil || !says(r.ownCautions(), "override = true") {
		t.Errorf("none with override: unchecked %+v, cautions %q", r.Unchecked, r.ownCautions())
	}
}

// Limits of posts, spans and vertical movement bind those.
func TestOtherLimits(t *testing.T) {
	s := throughRails()
	s.limits = "deflection = \"30 mm\"\npost = \"12 mm\"\nspan = \"4 mm\"\nvertical = \"2 mm\""
	r := s.check(t)
	for id, limit := range map[string]float64{"post-deflection": 12, "rail-deflection": 30, "rail-span-deflection": 4, "rail-vertical-deflection": 2} {
		found := false
		for i := range r.Checks {
			if row := &r.Checks[i]; row.ID == id {
				found = true
				if row.Resistance != limit {
					t.Errorf("%s is held against %v mm, want %v", id, row.Resistance, limit)
				}
			}
		}
		if !found {
			t.Errorf("no %s", id)
		}
	}
	top := &r.Rails[0]
	equal(t, "span utilisation", *r.row(t, "rail-span-deflection", "rail top bay "+bayOf(r, "rail-span-deflection")).Utilisation, top.SpanDeflection/4, "span movement over its limit")
	s.limits = "deflection = \"30 mm\"\npost = \"40 mm\""
	if row := s.check(t).row(t, "post-deflection", "post 1"); row.Resistance != 30 {
		t.Errorf("a post limit looser than the total: %v mm, want the total 30", row.Resistance)
	}
}

// bayOf returns the bay in which a check of the top rail stands.
func bayOf(r *Result, id string) string {
	for i := range r.Checks {
		if e := r.Checks[i].Element; r.Checks[i].ID == id && strings.HasPrefix(e, "rail top bay ") {
			return strings.TrimPrefix(e, "rail top bay ")
		}
	}
	return ""
}

// The limits of ASTM E985 (quoted on a public mailing list of engineers, 15 Feb 1999) by the
// user's choice: h/12 at a post, h/24 + L/96 in a span, L/96 vertically, for h = 1.1 m and L =
// 1.5 m.
func TestNamedSetOfLimits(t *testing.T) {
	const h, L = 1100.0, 1500.0 // mm
	s := throughRails()
	s.limits = ""
	d := s.definition(t)
	cited := loads.Citation{Standard: "ASTM E985", Clause: "deflection", Provenance: "public"}
	d.Limits.Standard = &loads.LimitSet{Name: "ASTM E985", Limits: []loads.Limit{
		{Of: loads.LimitPost, PerHeight: 1. / 12, Rule: "h/12", Citation: cited},
		{Of: loads.LimitSpan, PerHeight: 1. / 24, PerBay: 1. / 96, Rule: "h/24 + L/96", Citation: cited},
		{Of: loads.LimitVertical, PerBay: 1. / 96, Rule: "L/96", Citation: cited},
	}}
	r := result(t, d, Options{})
	for id, want := range map[string]float64{"post-deflection": h / 12, "rail-span-deflection": h/24 + L/96, "rail-vertical-deflection": L / 96} {
		for i := range r.Checks {
			if row := &r.Checks[i]; row.ID == id {
				equal(t, id+", limit", row.Resistance, want, row.Clause)
				if !strings.HasPrefix(row.Clause, "ASTM E985 ") {
					t.Errorf("%s: clause %q", id, row.Clause)
				}
			}
		}
		if !r.has(id) {
			t.Errorf("no %s", id)
		}
	}
	if !says(r.Sources, "limit h/24 + L/96 of spans: ASTM E985") {
		t.Errorf("sources do not tell the rule: %q", r.Sources)
	}
	// One of the user's own stands in its place, looser or not.
	d.Limits.Post = &barrier.Limit{Length: 0.095}
	if row := result(t, d, Options{}).row(t, "post-deflection", "post 2"); row.Resistance != 95 || row.Clause != "the user's limit post" {
		t.Errorf("own limit beside the set: %v mm of %q, want 95 mm of the user's", row.Resistance, row.Clause)
	}
}

// A limit of one action of a schedule binds that one alone, as the 55 mm of EN 13374 under its
// 0.3 kN (memory): here under the infill point load of the UK set on lone posts, whose line
// load has none. P a²(3h - a)/6EI + P a h/k at the top of a post, for a load at a.
func TestLimitOfOneAction(t *testing.T) {
	outside := compared(t, verification.Barriers, "limit of one action")
	const P, h, a, k, w, L = 500.0, 1.1, 0.6, 150e3, 740.0, 1.5
	EI := handE * handI
	s := lonePosts()
	s.load, s.limits = "schedule = \"EN 1991-1-1 UK v\"", ""
	d := withSchedule(t, s, func(s *loads.Schedule) {
		s.Actions = level(s.Actions)
		s.Limits = []loads.Limit{{Of: loads.LimitTotal, Deflection: 0.055, Only: "infill point load", Citation: loads.Citation{Standard: "EN 13374", Clause: "6.3", Provenance: "memory"}}}
	})
	r := result(t, d, Options{})
	row := r.row(t, "post-deflection", "post 2")
	outside.equal("movement of the top", row.Demand, 1e3*P*(a*a*(3*h-a)/(6*EI)+a*h/k), "P a²(3h - a)/6EI + P a h/k")
	if row.Resistance != 55 || row.Clause != "EN 13374 6.3, for infill point load only" || len(r.rowsOf("post-deflection", "post 2")) != 1 {
		t.Errorf("held against %v mm of %q, want 55 mm of EN 13374 6.3 once", row.Resistance, row.Clause)
	}
	equal(t, "printed movement of the top", r.Posts[1].TopDeflection, 1e3*w*L*(h*h*h/(3*EI)+h*h/k), "that of the line load, which is larger")
	if r.open("deflection") != nil {
		t.Error("a schedule that limits one of its loads leaves the others free, and not open")
	}
	// Another load beside it has no limit.
	s.load += "\n\n" + outward
	d = withSchedule(t, s, func(s *loads.Schedule) {
		s.Limits = []loads.Limit{{Of: loads.LimitTotal, Deflection: 0.055, Only: "infill point load"}}
	})
	r = result(t, d, Options{})
	if it := r.open("deflection: total movement"); it == nil || !strings.Contains(it.Reason, "people") {
		t.Errorf("an own load without a limit: %+v; want it open, named", it)
	}
	// On feet of unknown stiffness the least is sought under that action alone.
	s.base = ""
	s.load = "schedule = \"EN 1991-1-1 UK v\""
	d = withSchedule(t, s, func(s *loads.Schedule) {
		s.Limits = []loads.Limit{{Of: loads.LimitTotal, Deflection: 0.008, Only: "infill point load"}}
	})
	r = result(t, d, Options{})
	want := P * a * h / (0.008 - P*a*a*(3*h-a)/(6*EI))
	if got := r.Foot.LeastStiffness; got == nil || math.Abs(*got-want) > 1e-6*want {
		t.Errorf("least stiffness %v, want %.0f N·m/rad: P a h/(8 mm - P a²(3h - a)/6EI)", r.Foot.Holds, want)
	}
}

// A limit of a schedule by rule: h/60 + L/240 of AS 1657 (memory), bay by bay.
func TestLimitByRuleOfASchedule(t *testing.T) {
	outside := compared(t, verification.Barriers, "limit by rule of a schedule")
	s := lonePosts()
	s.run = "posts = [\"0 m\", \"1.2 m\", \"2.7 m\"]\ntoe_plate = \"none\""
	s.load, s.limits = "schedule = \"EN 1991-1-1 UK v\"", ""
	d := withSchedule(t, s, func(s *loads.Schedule) {
		s.Limits = []loads.Limit{{Of: loads.LimitTotal, PerHeight: 1. / 60, PerBay: 1. / 240, Rule: "h/60 + L/240", Citation: loads.Citation{Standard: "AS 1657", Clause: "deflection"}}}
	})
	r := result(t, d, Options{})
	for post, bay := range map[string]float64{"post 1": 1200, "post 2": 1200, "post 3": 1500} {
		row := r.row(t, "post-deflection", post)
		outside.equal(post+", limit", row.Resistance, 1100./60+bay/240, "h/60 + L/240 with the shorter bay")
		if row.Clause != "AS 1657 deflection, h/60 + L/240" {
			t.Errorf("clause %q", row.Clause)
		}
	}
}
