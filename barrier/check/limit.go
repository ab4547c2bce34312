package check

import (
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// usersOwn is the provenance of a value of the file.
const usersOwn = "the user's"

// limit is the largest movement allowed, m, and who asks for it.
type limit struct {
	value      float64
	clause     string
	provenance string
	vertical   bool // of a vertical movement: the stiffness of the feet is not found from it
}

// limits are the limits that bind this barrier; nil ones do not.
type limits struct {
	total, post, span, vertical *limit
	none                        bool // the user wants none
}

// newLimits gathers the limits of the schedules and the user's: the smallest
// total stands, or the user's own with override.
func newLimits(d *barrier.Definition) limits {
	l := limits{none: d.Limits.DeflectionNone}
	users := func(v *float64, what string) *limit {
		if v == nil {
			return nil
		}
		return &limit{value: *v, clause: "the user's limit " + what, provenance: "the user's", vertical: what == "vertical"}
	}
	l.post, l.span, l.vertical = users(d.Limits.Post, "post"), users(d.Limits.Span, "span"), users(d.Limits.Vertical, "vertical")
	for i := range d.Loads {
		s := d.Loads[i].Schedule
		if s == nil || s.Limit == nil || l.none && d.Limits.Override {
			continue
		}
		if l.total == nil || s.Limit.Deflection < l.total.value {
			l.total = &limit{value: s.Limit.Deflection, clause: s.Limit.Standard + " " + s.Limit.Clause, provenance: s.Limit.Provenance}
		}
	}
	if u := users(d.Limits.Deflection, "deflection"); u != nil && (l.total == nil || d.Limits.Override || u.value < l.total.value) {
		l.total = u
	}
	return l
}

// any reports whether a movement across has a limit.
func (l *limits) any() bool { return l.total != nil || l.post != nil || l.span != nil }

// under returns a check of a movement against a limit, in mm.
func (l *limit) under(f func(*analysis.State) float64) judge {
	return func(s *analysis.State, r *Recorder) float64 {
		d := math.Abs(f(s))
		r.step("δ", d*1e3, "mm", "largest movement, foot and joints included, permanent actions excluded", "")
		r.step("δlim", l.value*1e3, "mm", "limit", l.clause)
		return r.verdict(d*1e3, l.value*1e3, "mm", l.clause)
	}
}

func across(s *analysis.State) float64   { return s.Across }
func span(s *analysis.State) float64     { return s.Span }
func vertical(s *analysis.State) float64 { return s.Vertical }

func (l *limits) forPost() []named {
	tightest := l.total
	if l.post != nil && (tightest == nil || l.post.value < tightest.value) {
		tightest = l.post
	}
	if tightest == nil {
		return nil
	}
	return []named{{"post-deflection", tightest.under(across), tightest}}
}

func (l *limits) forRail() []named {
	var out []named
	if l.total != nil {
		out = append(out, named{"rail-deflection", l.total.under(across), l.total})
	}
	if l.span != nil {
		out = append(out, named{"rail-span-deflection", l.span.under(span), l.span})
	}
	if l.vertical != nil {
		out = append(out, named{"rail-vertical-deflection", l.vertical.under(vertical), l.vertical})
	}
	return out
}
