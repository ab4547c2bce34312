package check

import (
	"strings"
	"testing"
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
