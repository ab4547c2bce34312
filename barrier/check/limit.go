package check

import (
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// usersOwn is the provenance of a value of the file.
const usersOwn = loads.UsersOwn

// allowance is a limit of movement as it is given, for any bay, and who asks for it.
type allowance struct {
	barrier.Limit
	of         string // loads.LimitTotal, ...
	clause     string
	provenance string
	vertical   bool                        // of a vertical movement: the stiffness of the feet is not found from it
	sinks      bool                        // of how far the highest rail sinks alone
	only       func(*analysis.Action) bool // the actions that it is about; nil: every one
}

// limit is an allowance for one bay: the largest movement allowed, m, and the height and the
// bay by which a rule finds it, m.
type limit struct {
	value       float64
	height, bay float64
	*allowance
}

// limits are the limits that bind this barrier.
type limits struct {
	total, post, span, vertical []*allowance // of each the tightest stands, bay by bay
	some                        []*allowance // about some actions alone: each is judged by itself
	height                      float64      // h of a rule, m
	none                        bool         // the user wants none
}

// newLimits gathers the limits of the schedules, of the named set that the user chose and the
// user's own. Of those of one movement the tightest stands, but the user's own in place of the
// set's, and with override in place of a schedule's.
func newLimits(d *barrier.Definition) limits {
	l := limits{none: d.Limits.DeflectionNone, height: d.RuleHeight()}
	of := l.kinds()
	own := ownLimits(d)
	for i := range d.Loads {
		s := d.Loads[i].Schedule
		if s == nil {
			continue
		}
		for k := range s.Limits {
			if given := &s.Limits[k]; !displaced(d, own, given.Of) {
				l.add(codeLimit(given, s))
			}
		}
		if s.LoadedHeight != nil {
			l.some = append(l.some, sinking(d, s))
		}
	}
	for _, given := range chosenLimits(d) {
		if !isGiven(own, given.Of) {
			l.add(codeLimit(&given, nil))
		}
	}
	for _, b := range own {
		*of[b.of] = append(*of[b.of], b)
	}
	return l
}

// kinds returns the limits on every action by what they are of.
func (l *limits) kinds() map[string]*[]*allowance {
	return map[string]*[]*allowance{loads.LimitTotal: &l.total, loads.LimitPost: &l.post, loads.LimitSpan: &l.span, loads.LimitVertical: &l.vertical}
}

// add takes a limit of a standard.
func (l *limits) add(b *allowance) {
	if b.only != nil {
		l.some = append(l.some, b)
		return
	}
	of := l.kinds()[b.of]
	*of = append(*of, b)
}

// ownLimits are the limits that the file gives one by one.
func ownLimits(d *barrier.Definition) []*allowance {
	var out []*allowance
	for _, given := range [...]struct {
		limit    *barrier.Limit
		of, what string
	}{
		{d.Limits.Deflection, loads.LimitTotal, "deflection"}, {d.Limits.Post, loads.LimitPost, "post"},
		{d.Limits.Span, loads.LimitSpan, "span"}, {d.Limits.Vertical, loads.LimitVertical, "vertical"},
	} {
		if given.limit == nil {
			continue
		}
		clause := "the user's limit " + given.what
		if given.limit.Rule != "" {
			clause += ", " + given.limit.Rule
		}
		out = append(out, &allowance{Limit: *given.limit, of: given.of, clause: clause, provenance: usersOwn, vertical: given.of == loads.LimitVertical})
	}
	return out
}

// displaced reports whether the user's own limit, or the wish for none across, stands in place
// of a standard's of the same movement.
func displaced(d *barrier.Definition, own []*allowance, of string) bool {
	if !d.Limits.Override {
		return false
	}
	return d.Limits.DeflectionNone && of != loads.LimitVertical || isGiven(own, of)
}

// isGiven reports whether a movement has a limit of the user's own.
func isGiven(own []*allowance, of string) bool {
	return slices.ContainsFunc(own, func(b *allowance) bool { return b.of == of })
}

// chosenLimits are those of the set that the user chose by name.
func chosenLimits(d *barrier.Definition) []loads.Limit {
	if d.Limits.Standard == nil {
		return nil
	}
	return d.Limits.Standard.Limits
}

// codeLimit is a limit of a schedule, or of a named set where the schedule is nil.
func codeLimit(given *loads.Limit, s *loads.Schedule) *allowance {
	b := &allowance{
		Limit: barrier.Limit{Length: given.Deflection, PerHeight: given.PerHeight, PerBay: given.PerBay, Rule: given.Rule},
		of:    given.Of, clause: given.Standard + " " + given.Clause, provenance: given.Provenance, vertical: given.Of == loads.LimitVertical,
	}
	if given.Rule != "" {
		b.clause += ", " + given.Rule
	}
	if given.Only != "" {
		b.clause += ", for " + given.Only + " only"
		b.only = func(a *analysis.Action) bool { return a.Schedule == s && s != nil && isCalled(a, given.Only) }
	}
	return b
}

// isCalled reports whether an action of a schedule is the one of that name.
func isCalled(a *analysis.Action, name string) bool {
	return a.Schedule != nil && a.Name == a.Schedule.Name+" "+name
}

// limitWords tells a limit of a standard: "25 mm", "h/12 of posts", "55 mm for side load only".
func (c *run) limitWords(l *loads.Limit) string {
	text := l.Rule
	if text == "" {
		text = quantity.Format(l.Deflection, quantity.Length, c.o.Units)
	}
	switch l.Of {
	case loads.LimitPost:
		text += " of posts"
	case loads.LimitSpan:
		text += " of spans"
	case loads.LimitVertical:
		text += " vertically"
	}
	if l.Only != "" {
		text += " for " + l.Only + " only"
	}
	return text
}

// sinking is how far the top of the highest rail may sink under the loads of a
// schedule.
func sinking(d *barrier.Definition, s *loads.Schedule) *allowance {
	room := d.TopOfRail() - s.LoadedHeight.Height
	return &allowance{
		Limit: barrier.Limit{Length: math.Max(0, room)}, clause: s.LoadedHeight.Standard + " " + s.LoadedHeight.Clause, provenance: s.LoadedHeight.Provenance,
		of: loads.LimitVertical, vertical: true, sinks: true, only: func(a *analysis.Action) bool { return a.Schedule == s && !a.Intermediate },
	}
}

// someAcross reports whether a limit of a movement across is about some actions alone.
func (l *limits) someAcross() bool {
	return slices.ContainsFunc(l.some, func(b *allowance) bool { return !b.vertical })
}

// any reports whether a movement across has a limit.
func (l *limits) any() bool {
	return len(l.total) > 0 || len(l.post) > 0 || len(l.span) > 0 || l.someAcross()
}

// anyVertical reports whether a vertical movement has one.
func (l *limits) anyVertical() bool {
	return len(l.vertical) > 0 || slices.ContainsFunc(l.some, func(b *allowance) bool { return b.vertical })
}

// anyTotal reports whether the total movement across has a limit under one action at least.
func (l *limits) anyTotal() bool {
	return len(l.total) > 0 || slices.ContainsFunc(l.some, func(b *allowance) bool { return b.of == loads.LimitTotal })
}

// leavesOpen reports whether the total movement across under an action has no limit though
// others have one. What a schedule limits under one of its actions it means to leave free
// under its others.
func (l *limits) leavesOpen(a *analysis.Action) bool {
	return len(l.total) == 0 && (a.Schedule == nil || !slices.ContainsFunc(a.Schedule.Limits, func(of loads.Limit) bool { return of.Of == loads.LimitTotal }))
}

// byBay reports whether a limit depends on the length of the bay.
func (l *limits) byBay() bool {
	return slices.ContainsFunc(slices.Concat(l.total, l.post, l.span, l.vertical, l.some), func(b *allowance) bool { return b.PerBay != 0 })
}

// at returns the limit for a bay, m.
func (l *limits) at(b *allowance, bay float64) *limit {
	return &limit{b.At(l.height, bay), l.height, bay, b}
}

// tightest returns the least limit for a bay, the first of equal ones, nil for none.
func (l *limits) tightest(bay float64, bounds ...*allowance) *limit {
	var least *limit
	for _, b := range bounds {
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
	permanent float64    // largest compression under the permanent actions, N
	soft      *softening // what stainless steel makes of every movement; nil: nothing
}

// column returns what compression and stainless steel do to the movements of an element.
func (m *model) column(t resistance, e *analysis.Element) column {
	return column{t, m.analysis.PressedByPermanent(e), m.soft}
}

// amplifyMost bounds the factor on a movement: near the critical force nothing stands,
// and that is no movement to print.
const amplifyMost = 100

// factor returns the factor of second order on the movements of a state.
func (c column) factor(s *analysis.State) float64 {
	return min(amplificationAt(c.soft.factor()*c.tube.ofCritical(max(0, -s.N)+c.permanent)), amplifyMost)
}

// size is a movement with second order as a size, amplified no more than amplifyTo:
// above it nothing is judged.
func (c column) size(moves movement) judge {
	return func(s *analysis.State, r *Recorder) float64 {
		return r.verdict(math.Abs(moves(s))*min(c.factor(s), amplifyTo)*c.soft.factor(), 1, "", "")
	}
}

// plain is a movement without second order as a size.
func (c column) plain(moves movement) judge {
	return size(func(s *analysis.State) float64 { return moves(s) * c.soft.factor() })
}

// under returns a check of a movement against a limit, in mm.
func (c column) under(l *limit, moves movement) judge {
	return func(s *analysis.State, r *Recorder) float64 {
		d, k := math.Abs(moves(s)), c.factor(s)
		if r.keepsSteps() {
			r.step("movement, feet and joints in it, permanent actions not", "δ", d*1e3, "mm", "", FromFrame)
			c.soft.record(r)
			formula := "kE δ"
			if k > 1 {
				c.recordFactor(s, k, r)
				formula = "kE k δ"
				if c.soft.factor() == 1 {
					r.step("movement with second order", "δ2", k*d*1e3, "mm", "k δ", "")
				}
			}
			c.soft.recordMovement(r, c.soft.factor()*k*d, formula)
			l.record(r)
		}
		return r.verdict(c.soft.factor()*k*d*1e3, l.value*1e3, "mm", l.clause)
	}
}

// recordFactor notes how compression amplifies the movements of a state, by a factor k.
func (c column) recordFactor(s *analysis.State, k float64, r *Recorder) {
	r.given("largest compression under the permanent actions", "P0", c.permanent, "N", derived, FromFrame)
	pressed := compressed(s) + c.permanent
	r.step("compression with that under this load", "P", pressed, "N", "max(0, -N) + P0", "")
	ratio := recordRatio(r, c.tube, "P")
	n := c.soft.factor() * c.tube.ofCritical(pressed)
	if c.soft != nil {
		ratio = "kE " + ratio
	}
	r.step("factor of second order", "k", k, "1", amplifiedBy(ratio, n, amplifyMost), "")
}

// recordRatio notes the elastic critical force of a tube, and returns the ratio of a compression
// to it as second order counts it, in symbols.
func recordRatio(r *Recorder, t resistance, compression string) string {
	r.step("elastic critical force, a lower bound", "Ncr", t.critical(), "N", "", "elastic critical force")
	if alpha := t.ofCritical(t.critical()); math.Abs(alpha-1) > 1e-9 {
		r.step("factor on the axial force in second order", "α", math.Round(alpha*1e9)/1e9, "1", "", "AISC 360-22 C2.1")
		return "α " + compression + "/Ncr"
	}
	return compression + "/Ncr"
}

// record notes a limit: the length itself, or the rule by which it is found.
func (l *limit) record(r *Recorder) {
	var rule []string
	if l.PerHeight > 0 {
		r.given("height of the rule", "h", l.height*1e3, "mm", usersOwn, "")
		rule = append(rule, "h/"+quantity.Fix(1/l.PerHeight, 0))
	}
	if l.PerBay > 0 {
		r.given("length of the bay", "L", l.bay*1e3, "mm", usersOwn, "")
		rule = append(rule, "L/"+quantity.Fix(1/l.PerBay, 0))
	}
	r.step("limit of movement", "δlim", l.value*1e3, "mm", strings.Join(rule, " + "), l.clause)
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
func along(s *analysis.State) float64    { return s.Along }
func span(s *analysis.State) float64     { return s.Span }
func vertical(s *analysis.State) float64 { return s.Vertical }
func sunk(s *analysis.State) float64     { return math.Max(0, -s.Vertical) }

// forPost returns the checks of the movement of a post; bay is the smaller of those
// beside it, m.
func (l *limits) forPost(bay float64) []named {
	var out []named
	if tightest := l.tightest(bay, slices.Concat(l.post, l.total)...); tightest != nil {
		out = append(out, named{id: "post-deflection", limit: tightest, moves: across})
	}
	for _, b := range l.some {
		if b.of == loads.LimitPost || b.of == loads.LimitTotal {
			out = append(out, named{id: "post-deflection", limit: l.at(b, bay), moves: across})
		}
	}
	return out
}

// railMovements are the movements of a rail by what a limit is of, with their checks.
var railMovements = [...]struct {
	of, id string
	moves  movement
}{
	{loads.LimitTotal, "rail-deflection", across},
	{loads.LimitSpan, "rail-span-deflection", span},
	{loads.LimitVertical, "rail-vertical-deflection", vertical},
}

// forRail returns the checks of the movement of a rail in a bay of that length, m.
func (l *limits) forRail(bay float64, highest bool) []named {
	var out []named
	kinds := l.kinds()
	for _, k := range railMovements {
		if tightest := l.tightest(bay, *kinds[k.of]...); tightest != nil {
			out = append(out, named{id: k.id, limit: tightest, moves: k.moves})
		}
	}
	for _, b := range l.some {
		for _, k := range railMovements {
			switch {
			case b.of != k.of:
			case !b.sinks:
				out = append(out, named{id: k.id, limit: l.at(b, bay), moves: k.moves})
			case highest:
				out = append(out, named{id: k.id, limit: l.at(b, bay), moves: sunk})
			}
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
	bays := len(c.supports) - 1
	length := func(bay int) float64 { return c.bayLength(min(max(bay, 0), bays-1)) } // an overhang has that of the bay beside it
	for bay := range bays {
		if c.isGap(bay) {
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
