package check

import (
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// usersOwn is the provenance of a value of the file.
const usersOwn = "the user's"

// allowance is a limit of movement as it is given, for any bay, and who asks for it.
type allowance struct {
	barrier.Limit
	clause     string
	provenance string
	vertical   bool                        // of a vertical movement: the stiffness of the feet is not found from it
	only       func(*analysis.Action) bool // the actions that it is about; nil: every one
}

// limit is an allowance for one bay: the largest movement allowed, m.
type limit struct {
	value float64
	*allowance
}

// limits are the limits that bind this barrier; nil ones do not.
type limits struct {
	total                []*allowance // the tightest stands, bay by bay
	post, span, vertical *allowance
	loaded               []*allowance // how far the highest rail may sink under the loads of a schedule
	height               float64      // h of a rule, m
	none                 bool         // the user wants none
}

// newLimits gathers the limits of the schedules and the user's. Of the total movement
// across the tightest stands, or the user's own with override.
func newLimits(d *barrier.Definition) limits {
	l := limits{none: d.Limits.DeflectionNone, height: d.RuleHeight()}
	users := func(v *barrier.Limit, what string) *allowance {
		if v == nil {
			return nil
		}
		clause := "the user's limit " + what
		if v.Rule != "" {
			clause += ", " + v.Rule
		}
		return &allowance{Limit: *v, clause: clause, provenance: usersOwn, vertical: what == "vertical"}
	}
	l.post, l.span, l.vertical = users(d.Limits.Post, "post"), users(d.Limits.Span, "span"), users(d.Limits.Vertical, "vertical")
	own := users(d.Limits.Deflection, "deflection")
	for i := range d.Loads {
		s := d.Loads[i].Schedule
		if s == nil {
			continue
		}
		if s.Limit != nil && !(d.Limits.Override && (l.none || own != nil)) {
			l.total = append(l.total, &allowance{Limit: barrier.Limit{Length: s.Limit.Deflection}, clause: s.Limit.Standard + " " + s.Limit.Clause, provenance: s.Limit.Provenance})
		}
		if s.LoadedHeight != nil {
			l.loaded = append(l.loaded, sinking(d, s))
		}
	}
	if own != nil {
		l.total = append(l.total, own)
	}
	return l
}

// sinking is how far the top of the highest rail may sink under the loads of a
// schedule.
func sinking(d *barrier.Definition, s *loads.Schedule) *allowance {
	room := d.TopOfRail() - s.LoadedHeight.Height
	return &allowance{
		Limit: barrier.Limit{Length: math.Max(0, room)}, clause: s.LoadedHeight.Standard + " " + s.LoadedHeight.Clause, provenance: s.LoadedHeight.Provenance,
		vertical: true, only: func(a *analysis.Action) bool { return a.Schedule == s && !a.Intermediate },
	}
}

// any reports whether a movement across has a limit.
func (l *limits) any() bool { return len(l.total) > 0 || l.post != nil || l.span != nil }

// byBay reports whether a limit depends on the length of the bay.
func (l *limits) byBay() bool {
	for _, b := range append([]*allowance{l.post, l.span, l.vertical}, l.total...) {
		if b != nil && b.PerBay != 0 {
			return true
		}
	}
	return false
}

// at returns the limit for a bay, m.
func (l *limits) at(b *allowance, bay float64) *limit { return &limit{b.At(l.height, bay), b} }

// tightest returns the least limit for a bay, the first of equal ones, nil for none.
func (l *limits) tightest(bay float64, bounds ...*allowance) *limit {
	var least *limit
	for _, b := range bounds {
		if b == nil {
			continue
		}
		if at := l.at(b, bay); least == nil || at.value < least.value {
			least = at
		}
	}
	return least
}

// movement is a movement of a section, m.
type movement func(*analysis.State) float64

// column is what compression does to the movements of an element: it amplifies them by
// 1/(1 - N/Ncr), N that of the same load with the permanent one, unfactored.
type column struct {
	tube      resistance
	permanent float64 // largest compression under the permanent actions, N
}

// amplifyMost bounds the factor on a movement: near the critical force nothing stands,
// and that is no movement to print.
const amplifyMost = 100

// factor returns the factor of second order on the movements of a state.
func (c column) factor(s *analysis.State) float64 {
	return math.Min(amplificationAt(c.tube.ofCritical(math.Max(0, -s.N)+c.permanent)), amplifyMost)
}

// size is a movement with second order as a size, amplified no more than amplifyTo:
// above it nothing is judged.
func (c column) size(moves movement) judge {
	return func(s *analysis.State, r *Recorder) float64 {
		return r.verdict(math.Abs(moves(s))*math.Min(c.factor(s), amplifyTo), 1, "", "")
	}
}

// under returns a check of a movement against a limit, in mm.
func (c column) under(l *limit, moves movement) judge {
	return func(s *analysis.State, r *Recorder) float64 {
		d, k := math.Abs(moves(s)), c.factor(s)
		r.step("δ", d*1e3, "mm", "largest movement, foot and joints included, permanent actions excluded", "")
		if k > 1 {
			r.step("k", k, "1", "1 / (1 - N/Ncr), second order", "")
		}
		r.step("δlim", l.value*1e3, "mm", "limit", l.clause)
		return r.verdict(k*d*1e3, l.value*1e3, "mm", l.clause)
	}
}

// judged returns checks of movements with their judges.
func (c column) judged(checks []named) []named {
	out := slices.Clone(checks)
	for i := range out {
		out[i].judge = c.under(out[i].limit, out[i].moves)
	}
	return out
}

func across(s *analysis.State) float64   { return s.Across }
func span(s *analysis.State) float64     { return s.Span }
func vertical(s *analysis.State) float64 { return s.Vertical }
func sunk(s *analysis.State) float64     { return math.Max(0, -s.Vertical) }

// forPost returns the checks of the movement of a post; bay is the smaller of those
// beside it, m.
func (l *limits) forPost(bay float64) []named {
	tightest := l.tightest(bay, append([]*allowance{l.post}, l.total...)...)
	if tightest == nil {
		return nil
	}
	return []named{{id: "post-deflection", limit: tightest, moves: across}}
}

// forRail returns the checks of the movement of a rail in a bay of that length, m.
func (l *limits) forRail(bay float64, highest bool) []named {
	var out []named
	if total := l.tightest(bay, l.total...); total != nil {
		out = append(out, named{id: "rail-deflection", limit: total, moves: across})
	}
	if l.span != nil {
		at := l.at(l.span, bay)
		out = append(out, named{id: "rail-span-deflection", limit: at, moves: span})
	}
	if l.vertical != nil {
		at := l.at(l.vertical, bay)
		out = append(out, named{id: "rail-vertical-deflection", limit: at, moves: vertical})
	}
	if highest {
		for _, b := range l.loaded {
			at := l.at(b, bay)
			out = append(out, named{id: "rail-vertical-deflection", limit: at, moves: sunk})
		}
	}
	return out
}

// bayLimits are the checks of the movement of a rail that hold in some of its bays.
type bayLimits struct {
	in     func(bay int) bool
	checks []named
}

// railLimits returns the checks of the movement of a rail, for each length of bay.
func (c *run) railLimits(rail int) []bayLimits {
	highest := rail == c.d.Highest()
	if !c.limits.byBay() {
		return []bayLimits{{func(int) bool { return true }, c.limits.forRail(0, highest)}}
	}
	var out []bayLimits
	var lengths []float64
	bays := len(c.d.Supports()) - 1
	length := func(bay int) float64 { return c.d.BayLength(min(max(bay, 0), bays-1)) } // an overhang has that of the bay beside it
	for bay := range bays {
		if c.d.Run.IsGap(bay) {
			continue
		}
		of := length(bay)
		if slices.ContainsFunc(lengths, func(l float64) bool { return sameLength(l, of) }) {
			continue
		}
		lengths = append(lengths, of)
		alike := func(other int) bool { return sameLength(length(other), of) }
		out = append(out, bayLimits{alike, c.limits.forRail(of, highest)})
	}
	return out
}

func sameLength(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// postLimits returns the checks of the movement of a post, with the shorter bay beside it
// that has rails.
func (c *run) postLimits(post int) []named {
	before, after, _ := c.beside(post)
	if before == 0 || after > 0 && after < before {
		before = after
	}
	return c.limits.forPost(before)
}
