package check

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/analysis"
)

// Where the worst of each check over all elements is asked for, or whether one fails, an element
// is searched for what is above a floor alone: the worst that was found so far, or what fails.

// sought is what is looked for in the posts of a model, or in one of its rails.
type sought struct {
	checks  []named          // of strength, then first yield
	queries []analysis.Query // one for each check, then one for compression
	found   []analysis.Placed
}

func newSought(c *run, kind string, t resistance) *sought {
	s := &sought{checks: append(c.strengthChecks(kind, t), named{id: kind + "-yield", judge: t.Yield})}
	for i := range s.checks {
		n := &s.checks[i]
		q := analysis.Query{Level: analysis.Strength, Only: n.only(), Forces: true, Measures: []analysis.Measure{measure(n.judge)}}
		if isYield(n.id) {
			q.Level = analysis.FirstYield
		}
		s.queries = append(s.queries, q)
	}
	pressed := query(analysis.Strength, nil, sizePressed)
	pressed.Forces = true
	s.queries = append(s.queries, pressed)
	return s
}

// in searches an element for them and by other queries beside them. It returns what is found of
// the checks, the largest compression, and what is found by the others: all of it good until the next
// search of the model, the compression aside.
func (s *sought) in(m *model, e *analysis.Element, floor func(id string) float64, pressed float64, beside ...analysis.Query) (found []analysis.Placed, compression analysis.Placed, others [][]analysis.Placed) {
	for i := range s.checks {
		s.queries[i].Floor = floor(s.checks[i].id)
	}
	n := len(s.checks)
	s.queries[n].Floor = pressed
	s.queries = append(s.queries[:n+1], beside...)
	placed := m.analysis.PeekOf(e, s.queries...)
	s.found = slices.Grow(s.found[:0], n)
	for i := range n {
		s.found = append(s.found, placed[i][0])
	}
	return s.found, placed[n][0], placed[n+1:]
}

// soughtIn returns what is looked for in a post or in a rail.
func (m *model) soughtIn(c *run, kind string, member int) *sought {
	if m.sought == nil {
		m.sought = make([]*sought, len(m.tubes.posts)+len(m.rails))
	}
	at := &m.sought[m.tubes.place(kind == "post", member)]
	if *at == nil {
		*at = newSought(c, kind, m.tubes.of(kind == "post", member))
	}
	return *at
}

// The sizes of a judgement stand among the worst by these names.
const (
	worstBase     = "base moment"
	worstMovement = "movement"
)

// floorOf returns what a check must be above to be looked for.
func (m *model) floorOf(c *run, id string) float64 {
	if c.depth == failing {
		return m.floor
	}
	return c.best[id] * (1 - short)
}

// movesAbove returns what a movement against its limit must be above.
func (m *model) movesAbove(c *run, id string) float64 {
	switch {
	case c.depth == failing:
		return m.moves
	case len(c.d.Post.Base.Stiffness) == 0: // the least stiffness is found from each
		return 0
	}
	return m.floorOf(c, id)
}

// take notes findings among the worst.
func (c *run) take(found []finding) {
	if c.depth == failing {
		return
	}
	for i := range found {
		c.takeSize(found[i].id, found[i].placed.Value)
	}
}

func (c *run) takeSize(name string, v float64) { c.best[name] = math.Max(c.best[name], v) }

// postAbove searches one post for what is above the floors.
func (m *model) postAbove(c *run, i int) {
	x, e, t := &m.posts[i], m.analysis.Post(i), m.tubes.of(true, i)
	x.strength, x.deflection = -1, -1
	strength, moved := len(m.findings), len(m.moved)
	s := m.soughtIn(c, "post", i)
	name := postName(i)
	found, pressed, _ := s.in(m, e, func(id string) float64 { return m.floorOf(c, id) }, c.leastPressed(t))
	m.add(x, i, s.checks, found, func(*analysis.Placed) string { return name })
	m.netPost(c, t, i)
	if pressed.Found() {
		m.press(x, t, &pressed)
	}
	if limits := c.postLimits(i); len(limits) > 0 || c.depth == judged {
		column := m.column(t, e)
		limits = column.judged(limits)
		m.addMoved(x, column, i, limits, m.movedAbove(c, i, e, limits), func(*analysis.Placed) string { return name })
		if c.depth == judged {
			m.postSizesAbove(c, i, column)
		}
	}
	c.take(m.findings[strength:])
	c.take(m.moved[moved:])
}

// postSizesAbove searches one post for the sizes that a judgement tells.
func (m *model) postSizesAbove(c *run, i int, held column) {
	x, e := &m.posts[i], m.analysis.Post(i)
	if c.feetUndescribed() || len(c.fixings) > 1 || c.fixings[0].factor > 1 {
		m.atFoot(c, x, m.tubes.of(true, i), e.Probes[0])
	} else {
		q := query(analysis.Strength, nil, amplifiedMoment(m.tubes.of(true, i)))
		q.Floor = m.floorOf(c, worstBase)
		into(m.analysis.PeekAt(e.Probes[0], []float64{0}, q)[0], &x.base)
	}
	for _, leg := range []*analysis.Element{e, m.analysis.Turned(i)} {
		if leg == nil {
			continue
		}
		last := leg.Probes[len(leg.Probes)-1]
		q := query(analysis.Service, nil, held.size(across))
		q.Floor = m.floorOf(c, worstMovement)
		into(m.analysis.PeekAt(last, []float64{last.Length}, q)[0], &x.top)
		c.takeSize(worstMovement, x.top.Value)
	}
	c.takeSize(worstBase, x.base.Value)
}

// movedAbove returns the movements of a post above the floors, at a corner those across either
// leg.
func (m *model) movedAbove(c *run, post int, e *analysis.Element, limits []named) []analysis.Placed {
	moved := m.above(c, e, limits)
	if other := m.analysis.Turned(post); other != nil {
		for i, p := range m.above(c, other, limits) {
			if p.Found() && (!moved[i].Found() || analysis.Beats(p.Value, moved[i].Value)) {
				moved[i] = p
			}
		}
	}
	return moved
}

// above returns the movements of an element against some limits that are above the floors.
func (m *model) above(c *run, e *analysis.Element, limits []named) []analysis.Placed {
	if len(limits) == 0 || math.IsInf(m.moves, 1) {
		return make([]analysis.Placed, len(limits))
	}
	return firsts(m.analysis.PeekOf(e, m.limitQueries(c, limits)...))
}

// limitQueries look for the movements above the floors, one each.
func (m *model) limitQueries(c *run, limits []named) []analysis.Query {
	out := make([]analysis.Query, len(limits))
	for i := range limits {
		out[i] = analysis.Query{Level: analysis.Service, Only: limits[i].only(), Floor: m.movesAbove(c, limits[i].id), Measures: []analysis.Measure{measure(limits[i].judge)}}
	}
	return out
}

// firsts returns what queries of one measure each found.
func firsts(found [][]analysis.Placed) []analysis.Placed {
	out := make([]analysis.Placed, len(found))
	for i := range found {
		out[i] = found[i][0]
	}
	return out
}

// railAbove searches one rail for what is above the floors.
func (m *model) railAbove(c *run, i int) {
	x, e, t := &m.rails[i], m.analysis.Rail(i), m.tubes.rails[i]
	if m.mirrored {
		e = e.FirstHalf()
	}
	x.strength, x.deflection = -1, -1
	strength, moved := len(m.findings), len(m.moved)
	s, column, limits := m.soughtIn(c, "rail", i), m.column(t, e), c.railLimits(i)
	name := func(p *analysis.Placed) string { return c.railName(i, p.Probe.Bay) }
	var checks []named
	var beside []analysis.Query
	if len(limits) == 1 && !math.IsInf(m.moves, 1) {
		checks = column.judged(limits[0].checks)
		beside = m.limitQueries(c, checks)
	}
	if c.depth == judged {
		q := query(analysis.Service, nil, column.size(across))
		q.Floor = m.floorOf(c, worstMovement)
		beside = append(beside, q)
	}
	found, pressed, others := s.in(m, e, func(id string) float64 { return m.floorOf(c, id) }, c.leastPressed(t), beside...)
	m.add(x, i, s.checks, found, name)
	if c.depth == judged {
		into(others[len(others)-1], &x.across)
		c.takeSize(worstMovement, x.across.Value)
	}
	worst := firsts(others[:len(checks)])
	m.netRail(c, t, i)
	if pressed.Found() {
		m.press(x, t, &pressed)
	}
	if len(limits) > 1 {
		checks, worst = m.worstBays(e, column, limits, func(e *analysis.Element, judged []named) []analysis.Placed { return m.above(c, e, judged) })
	}
	m.addMoved(x, column, i, checks, worst, name)
	c.take(m.findings[strength:])
	c.take(m.moved[moved:])
}

// runLightly searches the posts and the rails of a model for the worst of each check alone, over
// the models so searched. It reports false, and leaves nothing behind, where second order counts:
// what it makes of each check then has to be found of each.
func (m *model) runLightly(c *run) bool {
	const (
		most    = 2 // of the movements of stainless steel, on which second order rests too
		several = 16
	)
	if c.best == nil {
		c.best = make(map[string]float64, several)
	}
	if c.wasPressed(m) {
		return false
	}
	before := maps.Clone(c.best)
	light := func() bool { return amplificationAt(m.second) <= amplifyFrom }
	m.mirrored = m.analysis.IsMirrored()
	if m.soft.factor() < most && m.searchAll(c, light) {
		m.light = true
		return true
	}
	c.best, m.mirrored = before, false
	m.second, m.findings, m.moved = 0, nil, nil
	clear(m.posts)
	m.rails = newRails(len(m.rails))
	return false
}

// wasPressed reports whether the check before found that second order counts in a model.
func (c *run) wasPressed(m *model) bool {
	return c.before != nil && slices.ContainsFunc(c.before.models, func(other *model) bool {
		return other.analysis == m.analysis && amplificationAt(other.second) > amplifyFrom
	})
}

// hasTwin reports whether one post before this one has all that it has.
func (m *model) hasTwin(post int) bool { return m.mirrored && post >= (len(m.posts)+1)/2 }

// leavesOut reports whether a post is not searched since it has a twin: a report searches all.
func (m *model) leavesOut(c *run, post int) bool { return c.depth != whole && m.hasTwin(post) }

// giveTwins gives the posts that were left out what was found of their twins.
func (m *model) giveTwins(c *run) {
	for i := range m.posts {
		if m.leavesOut(c, i) {
			m.posts[i] = m.posts[len(m.posts)-1-i]
		}
	}
}

// searchAll searches posts, in the order of mostLoadedFirst, and rails as long as goes says so.
func (m *model) searchAll(c *run, goes func() bool) bool {
	const several = 32 // a finding is large: room is made once
	if c.depth == judged {
		m.findings = slices.Grow(m.findings, several)
	}
	for _, i := range c.mostLoadedFirst() {
		if m.leavesOut(c, i) {
			continue
		}
		if m.postAbove(c, i); !goes() {
			return false
		}
	}
	m.giveTwins(c)
	for i := range m.rails {
		if m.railAbove(c, i); !goes() {
			return false
		}
	}
	m.findings, m.moved = inDocumentOrder(m.findings, len(m.moved)), inDocumentOrder(m.moved, 0)
	return true
}

// completeGoverning searches the posts and rails that govern once more: of their checks that print
// the same the first is told.
func (c *run) completeGoverning() {
	if !slices.ContainsFunc(c.models, func(m *model) bool { return m.light }) {
		return
	}
	rows := make([]CheckRow, 0, len(c.worst.findings))
	of := byID(c.worst.findings)
	for _, f := range of {
		row, _ := c.row(f)
		rows = append(rows, row)
	}
	found := len(c.worst.findings)
	var done []int
	for _, wanted := range governed {
		if top := governingRow(rows, wanted); top >= 0 && of[top].joint == nil && !slices.Contains(done, top) {
			c.complete(of[top])
			done = append(done, top)
		}
	}
	if len(c.worst.findings) > found {
		c.worst.findings = inDocumentOrder(c.worst.findings, 0)
	}
}

// complete finds the checks of the post or the rail of a finding that are told before it where
// they print the same.
func (c *run) complete(f *finding) {
	kind, _, _ := strings.Cut(f.id, "-")
	if kind != "post" && kind != "rail" || isYield(f.id) || math.IsInf(f.utilisation(), 1) {
		return
	}
	floor := (thousandths(f.utilisation()) - 1) / 1e3
	for _, m := range c.models {
		if m.light {
			c.worst.findings = worstOf(c.worst.findings, m.before(c, f, kind, floor))
		}
	}
}

// before returns the findings above a floor of the checks that are told before one, of its own
// post or rail.
func (m *model) before(c *run, f *finding, kind string, floor float64) []finding {
	e, x, t := m.elementOf(f), &extremes{}, m.tubes.of(kind == "post", f.member)
	name := func(*analysis.Placed) string { return postName(f.member) }
	if kind == "rail" {
		name = func(p *analysis.Placed) string { return c.railName(f.member, p.Probe.Bay) }
	}
	of := model{layout: m.layout, analysis: m.analysis, tubes: m.tubes, soft: m.soft}
	// What is nowhere above the floor is not here either; the check itself was found, and others may have been.
	rivals := func(n *named) bool {
		return rankOf(n.id) <= rankOf(f.id) && (n.id != f.id || n.by != f.by) && c.best[n.id] >= floor && (n.limit != nil || !m.hasFound(n, f.member))
	}
	if f.limit == nil {
		checks := slices.DeleteFunc(c.strengthChecks(kind, t), func(n named) bool { return !rivals(&n) })
		if len(checks) > 0 {
			found := newSearch(analysis.Strength, checks)
			placed := m.analysis.PeekOf(e, flooredAt(floor, found.queries)...)
			worst, _ := found.found(&placed)
			of.add(x, f.member, checks, worst, name)
		}
	} else {
		column, kinds := m.column(t, e), []bayLimits{{func(int) bool { return true }, c.postLimits(f.member)}}
		if kind == "rail" {
			kinds = c.railLimits(f.member)
		}
		if !slices.ContainsFunc(kinds, func(l bayLimits) bool { return slices.ContainsFunc(l.checks, func(n named) bool { return rivals(&n) }) }) {
			return nil
		}
		checks, worst := m.worstBays(e, column, kinds, func(e *analysis.Element, judged []named) []analysis.Placed {
			found := newSearch(analysis.Service, judged)
			placed := m.worstOf(e, flooredAt(floor, found.queries)...)
			worst, _ := found.found(&placed)
			return worst
		})
		if len(checks) > 1 {
			of.addMoved(x, column, f.member, checks, worst, name)
		}
	}
	out := append(of.findings, of.moved...)
	for i := range out {
		out[i].model = m
	}
	return out
}

// hasFound reports whether the worst of a strength check is among the findings of a post or a rail.
func (m *model) hasFound(n *named, member int) bool {
	return slices.ContainsFunc(m.findings, func(f finding) bool { return f.id == n.id && f.by == n.by && f.member == member })
}

// flooredAt sets the floor of queries.
func flooredAt(floor float64, queries []analysis.Query) []analysis.Query {
	for i := range queries {
		queries[i].Floor = floor
	}
	return queries
}

// rankOf returns the place of a check among the ids.
func rankOf(id string) int {
	if at, known := placeOfID()[id]; known {
		return at
	}
	return -1
}

// inDocumentOrder returns findings in the order in which Run has them: of posts, of rails, of
// the rest, and last movements. Where they are moved there is room for some more.
func inDocumentOrder(found []finding, more int) []finding {
	place := func(f *finding) (group, member int) {
		kind, _, _ := strings.Cut(f.id, "-")
		switch {
		case kind == "post" && f.joint == nil:
			group, member = 0, f.member
		case kind == "rail" && f.joint == nil:
			group, member = 1, f.member
		default:
			return 2, 0
		}
		if f.limit != nil {
			group += 3
		}
		return group, member
	}
	order := make([]int, len(found))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(f, g int) int {
		a, i := place(&found[f])
		b, k := place(&found[g])
		return cmp.Or(cmp.Compare(a, b), cmp.Compare(i, k))
	})
	arrange(found, order)
	return slices.Grow(found, more)
}

// arrange puts into each place what stands at order's, which it uses up.
func arrange[T any](of []T, order []int) {
	for i := range order {
		first := of[i]
		at := i
		for order[at] != i {
			from := order[at]
			of[at], order[at] = of[from], at
			at = from
		}
		of[at], order[at] = first, at
	}
}
