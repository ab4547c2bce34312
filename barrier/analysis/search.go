package analysis

import (
	"math"
	"slices"

	"example.com/stanchion/solver"
)

// Query is what a search maximises at one level: several measures, each on its
// own.
type Query struct {
	Level    Level
	Measures []Measure
	// Floor is a value that does not interest: nothing is found that is not above
	// it. Zero looks for everything. Its unit is that of the measures.
	Floor float64
	// Only tells which actions count; nil: every one. A set of several counts where one that
	// is placed does, of fields alone where one of them does.
	Only func(*Action) bool
	// Sets tells which sets of variable actions count; nil: every one. The permanent actions
	// alone always do.
	Sets func([]*Action) bool
	// Forces says that the measures tell of the six forces alone: the movements of a state may be
	// nothing when they are asked.
	Forces bool
}

// takes reports whether a mixture counts.
func (q *Query) takes(m *mixture) bool {
	if q.Sets != nil && !q.Sets(m.set) {
		return false
	}
	if q.Only == nil {
		return true
	}
	fields := !slices.ContainsFunc(m.set, func(a *Action) bool { return a.Field == nil })
	return slices.ContainsFunc(m.set, func(a *Action) bool { return (fields || a.Field == nil) && q.Only(a) })
}

// workspace is what a search works in, kept for the next so that it allocates little.
type workspace struct {
	hunt    hunt
	walk    walk
	peaks   peakSearch
	values  []float64 // of the samples on a piece
	tried   []float64 // the stations of a member
	asked   []asked   // of the mixture in hand
	reaches []State   // on each piece
	found   [1]Placed // of one of a pair
	visits  []visit   // one an action: at the station in hand
	results results

	reach      [reachesKept]memberReach
	nextReach  int          // which is made anew next
	toEnds     [2]carriage  // to the start and the end of the member in hand
	felt, left []int        // components at these ends, and those of them that are looked at stretch by stretch
	sizedLines [][4]float64 // of its start under a load on one stretch
	some       []spans      // of the mixtures that count for a query
	someBounds []bounds     // as states
	opened     []Query      // those that a member may answer
	known      [][]crest    // of the best so far
}

// Worst returns the largest value of a measure at station s of a probe, m, over
// every action, placement and combination of a level.
func (a *Analysis) Worst(p *Probe, s float64, l Level, m Measure) Placed {
	return a.WorstAt(p, []float64{s}, Query{Level: l, Measures: []Measure{m}})[0][0]
}

// WorstAt returns the largest values of every query over stations of a probe, m: for
// each query one placed value for each measure.
func (a *Analysis) WorstAt(p *Probe, stations []float64, queries ...Query) [][]Placed {
	return a.worstAtIn(&bestRoom{}, p, stations, queries)
}

// PeekAt returns what WorstAt does, good until the next search of the analysis.
func (a *Analysis) PeekAt(p *Probe, stations []float64, queries ...Query) [][]Placed {
	return a.worstAtIn(&a.results.alone, p, stations, queries)
}

func (a *Analysis) worstAtIn(room *bestRoom, p *Probe, stations []float64, queries []Query) [][]Placed {
	best := room.empty(queries)
	if open := a.open(p, queries, a.crests(queries, best)); open != nil {
		for _, s := range stations {
			a.at(p, s, open, best, fine)
		}
	}
	a.complete(best)
	a.twins(queries, best)
	return best
}

// sampling is how far a search goes at one station: coarse takes a point load's
// best sample, which polishing moves on, fine goes to the peak.
type sampling bool

const (
	coarse sampling = true
	fine   sampling = false
)

// bestRoom is room for the best of each measure.
type bestRoom struct {
	best [][]Placed
	all  []Placed
}

// empty returns the best of each measure of some queries, of which nothing is known but their floors.
func (r *bestRoom) empty(queries []Query) [][]Placed {
	measures := 0
	for i := range queries {
		measures += len(queries[i].Measures)
	}
	r.best, r.all = sized(r.best, len(queries)), sized(r.all, measures)
	all := r.all
	for i := range queries {
		q := &queries[i]
		n := len(q.Measures)
		r.best[i], all = all[:n:n], all[n:]
		for m := range r.best[i] {
			r.best[i][m] = Placed{Value: q.Floor, floored: q.Floor != 0}
		}
	}
	return r.best
}

// results are room for what a search finds.
type results struct {
	alone, ends, peaks bestRoom
	between            bestRoom
	joined             [][]Placed
	forces, moves      []Query
	one                [1]Query
}

// at improves the best of each measure by what station s has to offer.
func (a *Analysis) at(p *Probe, s float64, queries []Query, best [][]Placed, how sampling) {
	a.standAt(p, s)
	bare, along := tellOfForces(queries), a.along(p)
	for q := range queries {
		if queries[q].Level != Service {
			a.permanentAlone(p, s, queries[q].Level, queries[q].Measures, best[q])
		}
		a.fieldsAlone(p, s, &queries[q], best[q])
	}
	for i, act := range a.Actions {
		if act.Field != nil {
			continue
		}
		v, seen, made := &a.seen, a.visitOf(i), false
		if with := a.partners[i]; with != nil {
			v, made = &with.section, true
			with.begin(seen)
			a.sectionIn(v, p, s, i, false)
		}
		a.eachMixture(i, queries, best, func(x *mixture, asked []asked) {
			added := a.added(x)
			if along != nil {
				if beside := added.spans(); !a.mayRaise(i, along.at(i, s), x.combination.Variable, &beside, asked) {
					return
				}
			}
			if !made {
				a.sectionIn(v, p, s, i, bare && act.Point && act.fixed != nil)
				made = true
			}
			h := &a.hunt
			*h = hunt{a: a, v: v, combination: &x.combination, beside: x.beside, how: how, visit: seen, added: added}
			h.placeFor(asked)
		})
	}
	a.together(queries, best, how)
}

// tellOfForces reports whether all measures of queries do.
func tellOfForces(queries []Query) bool {
	return !slices.ContainsFunc(queries, func(q Query) bool { return !q.Forces && len(q.Measures) > 0 })
}

// complete sets the movements of what was found where the search left them.
func (a *Analysis) complete(found [][]Placed) {
	for q := range found {
		for m := range found[q] {
			p := &found[q][m]
			if !p.bare || !p.Found() {
				continue
			}
			w, o := a.walkTo(p)
			st := w.state(&o)
			p.State.Along, p.State.Across, p.State.Vertical, p.State.Span = st.Along, st.Across, st.Vertical, st.Span
			p.bare = false
		}
	}
}

// asked is what a query asks of a mixture that counts for it.
type asked struct {
	measures []Measure
	best     []Placed
}

// eachMixture visits the mixtures in which an action is placed, with the queries for which each counts.
func (a *Analysis) eachMixture(action int, queries []Query, best [][]Placed, visit func(*mixture, []asked)) {
	for level := range Level(levelCount) {
		if !slices.ContainsFunc(queries, func(q Query) bool { return q.Level == level && len(q.Measures) > 0 }) {
			continue
		}
		mixtures := a.acting[level].placed[action]
		for k := range mixtures {
			a.asked = a.asked[:0]
			for i := range queries {
				if q := &queries[i]; q.Level == level && len(q.Measures) > 0 && q.takes(&mixtures[k]) {
					a.asked = append(a.asked, asked{q.Measures, best[i]})
				}
			}
			if len(a.asked) > 0 {
				visit(&mixtures[k], a.asked)
			}
		}
	}
}

// placeFor places the action of a hunt for several queries.
func (h *hunt) placeFor(queries []asked) {
	if !h.v.action.Point {
		for _, q := range queries {
			h.measures, h.best = q.measures, q.best
			h.lines()
		}
		return
	}
	h.eachWay(func(n *[3]float64) {
		h.reached = false
		anywhere := h.v.reachAnywhere(h.combination.Variable, n, &h.added)
		for _, q := range queries {
			h.measures, h.best = q.measures, q.best
			h.pointsWithin(&anywhere, n)
		}
	})
}

// place places the action of a hunt.
func (h *hunt) place() { h.placeFor([]asked{{h.measures, h.best}}) }

// standAt works out what stands everywhere at a station of a probe.
func (a *Analysis) standAt(p *Probe, s float64) {
	a.stands = a.stands[:0]
	for i := range a.everywhere {
		a.stands = append(a.stands, p.under(p.standing(i), s))
	}
}

// added returns the components, at the station in hand, of what stands everywhere in a
// mixture.
func (a *Analysis) added(m *mixture) components {
	c := scaled(&a.stands[m.stands[0].at], m.stands[0].factor)
	for _, st := range m.stands[1:] {
		for k := range c {
			c[k] += st.factor * a.stands[st.at][k]
		}
	}
	return c
}

func scaled(c *components, f float64) (out components) {
	for k := range c {
		out[k] = f * c[k]
	}
	return out
}

// permanentAlone offers the permanent actions without any variable action.
func (a *Analysis) permanentAlone(p *Probe, s float64, l Level, measures []Measure, best []Placed) {
	for i := range a.alone[l] {
		c := &a.alone[l][i]
		all := scaled(&a.stands[0], c.Permanent)
		a.trial = all.state()
		for m := range measures {
			if v := measures[m].Of(&a.trial); best[m].better(v) {
				best[m] = Placed{Value: v, State: a.trial, Combination: c, Probe: p, Station: s, floored: true}
			}
		}
	}
}

// fieldsAlone offers the fields that act without any action that is placed.
func (a *Analysis) fieldsAlone(p *Probe, s float64, q *Query, best []Placed) {
	mixtures := a.acting[q.Level].fields
	for i := range mixtures {
		x := &mixtures[i]
		if !q.takes(x) {
			continue
		}
		all := a.added(x)
		a.trial = all.state()
		for m := range q.Measures {
			if v := q.Measures[m].Of(&a.trial); best[m].better(v) {
				best[m] = Placed{Value: v, State: a.trial, Combination: &x.combination, Placement: a.lead(x), Beside: x.beside, Probe: p, Station: s, floored: true}
			}
		}
	}
}

// hunt looks for the worst placement of one action at one station in one
// combination.
type hunt struct {
	a           *Analysis
	v           *section
	combination *Combination
	beside      []Placement // as in what is placed
	added       components  // what stands whatever the action does
	measures    []Measure
	best        []Placed
	how         sampling
	reached     bool // the workspace holds the reaches of the load as it points
	*visit
}

// visit is what all hunts at one section share under a load that is free to turn.
type visit struct {
	swept  *sweep
	done   *sweep    // that of the section before, whose room may be had
	fans   [][]fanAt // of each piece
	fanned []bool    // which pieces have theirs
}

// visitOf returns a new visit of an action that is free to turn, in the room of the last; nothing
// is kept of others.
func (a *Analysis) visitOf(action int) *visit {
	if a.Actions[action].fixed != nil {
		return nil
	}
	a.visits = sized(a.visits, len(a.Actions))
	v := &a.visits[action]
	if v.swept != nil {
		v.done, v.swept = v.swept, nil
	}
	v.fanned = v.fanned[:0]
	return v
}

// sweepOf returns the sweep of the section.
func (h *hunt) sweepOf() *sweep {
	if h.swept == nil {
		h.swept = newSweep(h.v, h.done)
		h.swept.setLimits()
	}
	return h.swept
}

// spot is a placement under consideration: a point on a piece, or lengths.
type spot struct {
	value   float64
	piece   int
	x       float64
	n       [3]float64
	lengths []solver.Length
	whole   bool
	state   State
}

func (h *hunt) ways() [][3]float64 { return h.v.action.fixed }

// eachWay visits the ways in which a point load may point, nil for one that is free to turn.
func (h *hunt) eachWay(visit func(n *[3]float64)) {
	if h.ways() == nil {
		visit(nil)
		return
	}
	for i := range h.ways() {
		visit(&h.ways()[i])
	}
}

// pointsWithin places a point load that points along n, or any way when n is nil, which does no more
// than anywhere.
// The piece with the highest bound is searched first: pieces whose bound lies
// below what it gave are skipped.
func (h *hunt) pointsWithin(anywhere *State, n *[3]float64) {
	for m := range h.measures {
		h.a.trial = *anywhere
		if h.best[m].better(h.measures[m].bound(&h.a.trial)) {
			h.pointOf(m, n)
		}
	}
}

// pointOf places a point load for one measure.
func (h *hunt) pointOf(m int, n *[3]float64) {
	bounds := h.a.room(len(h.v.sizes))
	top := 0
	for i, most := range h.reaches(n) {
		h.a.trial = most
		bounds[i] = h.measures[m].bound(&h.a.trial)
		if bounds[i] > bounds[top] {
			top = i
		}
	}
	if !h.best[m].better(bounds[top]) {
		return
	}
	first := h.onPiece(m, top, n)
	floor := first.value - tie*math.Abs(first.value)
	for i := range bounds {
		if bounds[i] < floor || !h.best[m].better(bounds[i]) {
			continue
		}
		s := first
		if i != top {
			s = h.onPiece(m, i, n)
		}
		h.keep(m, s)
	}
}

// reaches returns the largest magnitude of every component on each piece, worked out once for all
// measures.
func (h *hunt) reaches(n *[3]float64) []State {
	if h.reached {
		return h.a.reaches
	}
	h.reached = true
	h.a.reaches = h.a.reaches[:0]
	for i := range h.v.sizes {
		h.a.reaches = append(h.a.reaches, h.v.reach(i, h.combination.Variable, n, &h.added))
	}
	return h.a.reaches
}

// keep takes a spot as the best of a measure when it is.
func (h *hunt) keep(m int, s spot) {
	if !h.best[m].better(s.value) {
		return
	}
	pl := Placement{Action: h.v.action, Way: s.n, Value: h.v.action.Value, Lengths: slices.Clone(s.lengths), Whole: s.whole}
	after := false
	if h.v.action.Point {
		pl.X, pl.Value = s.x, h.v.sizes[s.piece]
		pl.Stretch = 0
		for _, k := range h.v.active {
			pl.Stretch = h.v.lines[k].Pieces[s.piece].Stretch
			after = h.v.isPast(&h.v.lines[k].Pieces[s.piece])
			break
		}
		pl.Leg = h.a.legs[h.v.index][pl.Stretch]
	}
	h.best[m] = Placed{
		Value: s.value, State: s.state, Combination: h.combination, Placement: pl,
		Beside: h.beside, Probe: h.v.probe, Station: h.v.station, After: after, floored: true, bare: h.v.bare,
	}
}

// onPiece returns the best spot of a measure on one piece. A load that is free to
// turn is tried in a few ways at each sample, and turned at the peaks.
func (h *hunt) onPiece(m, i int, n *[3]float64) spot {
	if n == nil {
		return h.turningOnPiece(m, i)
	}
	p := pieceHunt{hunt: h, m: m, piece: i, n: n}
	top := p.sample()
	if top < 0 {
		return spot{value: math.Inf(-1)}
	}
	x, value := p.xs[top], p.values[top]
	if h.how == fine && !p.isLevel() {
		for k := range p.xs {
			if at, v, higher := p.peak(k, value); higher {
				x, value = at, v
			}
		}
	}
	return h.pointAt(m, i, x, n)
}

// pieceHunt looks for the worst place of a point load on one piece for one measure.
type pieceHunt struct {
	*hunt
	m, piece int
	n        *[3]float64
	xs, felt []float64
	values   []float64
}

// sample tries the samples of the piece and returns which is the best; -1 for none.
func (p *pieceHunt) sample() (top int) {
	p.xs, p.felt = p.v.samples(p.piece)
	p.values = p.a.values[:0]
	top = -1
	high := math.Inf(-1)
	for k := range p.xs {
		c := p.at(k)
		p.a.trial = c.state()
		v := p.measures[p.m].Of(&p.a.trial)
		if v > high {
			top, high = k, v
		}
		p.values = append(p.values, v)
	}
	p.a.values = p.values
	return top
}

// isLevel reports whether all samples are alike: the measure does not feel the load.
func (p *pieceHunt) isLevel() bool {
	return !slices.ContainsFunc(p.values, func(v float64) bool { return v != p.values[0] })
}

// at returns the components under the load at sample k.
func (p *pieceHunt) at(k int) components {
	per := len(p.felt) / len(p.xs)
	return p.v.underSample(p.piece, p.felt[k*per:(k+1)*per], p.combination.Variable, p.n, &p.added)
}

// peak returns where the measure is highest about sample k, when that is a peak among the samples
// and may be, and is, above a value.
func (p *pieceHunt) peak(k int, value float64) (x, v float64, higher bool) {
	a, b := max(k-1, 0), min(k+1, len(p.xs)-1)
	if p.values[k] < p.values[a] || p.values[k] < p.values[b] || b == a || !p.mayExceed(a, k, b, value) {
		return 0, 0, false
	}
	f := func(x float64) float64 { return p.value(p.m, p.piece, x, p.n) }
	mid := p.xs[k]
	if a == k || b == k { // an end: step inside to see whether the function rises there
		mid = p.xs[k] + 1e-6*(p.xs[a]+p.xs[b]-2*p.xs[k])
		if f(mid) <= p.values[k] {
			return 0, 0, false
		}
	}
	x, v = Maximum(f, p.xs[a], mid, p.xs[b])
	return x, v, v > value
}

// mayExceed reports whether the measure may exceed a value, and the best so far, anywhere between
// samples a and b about k: between two samples every component is monotone.
func (p *pieceHunt) mayExceed(a, k, b int, value float64) bool {
	most := p.at(k)
	for c := range most {
		most[c] = math.Abs(most[c])
	}
	for _, i := range [2]int{a, b} {
		for c, v := range p.at(i) {
			most[c] = max(most[c], math.Abs(v))
		}
	}
	const rounding = 1e-13
	p.a.trial = most.state()
	bound := p.measures[p.m].bound(&p.a.trial)
	return bound > value+rounding*math.Abs(value) && p.best[p.m].better(bound)
}

// value returns the measure under a load at x on piece i that points along n.
func (h *hunt) value(m, i int, x float64, n *[3]float64) float64 {
	h.a.trial = h.v.at(i, x, h.combination.Variable, n, &h.added)
	return h.measures[m].Of(&h.a.trial)
}

// pointAt returns the spot at x on piece i, pointing along n.
func (h *hunt) pointAt(m, i int, x float64, n *[3]float64) spot {
	h.a.trial = h.v.at(i, x, h.combination.Variable, n, &h.added)
	return spot{value: h.measures[m].Of(&h.a.trial), piece: i, x: x, n: *n, state: h.a.trial}
}

// lines places a line load.
func (h *hunt) lines() {
	if h.ways() == nil {
		for m := range h.measures {
			h.sweep(m)
		}
		return
	}
	for i := range h.ways() {
		n := &h.ways()[i]
		over := h.v.reachOver(h.combination.Variable, n, &h.added)
		for m := range h.measures {
			h.a.trial = over
			if h.best[m].better(h.measures[m].bound(&h.a.trial)) {
				h.keep(m, h.lineWith(m, n))
			}
		}
	}
}

// lineWith returns the worst lengths for a measure and a load along n: the whole
// run, the lengths adverse to each component either way, those adverse to every
// direction of the bending moment and of the shear; and from the best of these,
// and from the whole run and the lengths adverse to the axial force, those
// adverse to the measure itself, as long as it gains. Samples go without these where
// no axial force comes of the load: there they are right to a few per cent.
func (h *hunt) lineWith(m int, n *[3]float64) spot {
	l := lengthsHunt{hunt: h, m: m, n: n, best: spot{value: math.Inf(-1)}}
	patterns, sign := h.v.patternsAlong(n)
	var starts [3]components // patterns are the whole run, then each active component either way, the axial force first
	few := 1
	if slices.Contains(h.v.active, cN) {
		few = 3
	}
	for i := range patterns {
		if c := l.offer(&patterns[i], sign); i < few {
			starts[i] = c
		}
	}
	for _, pair := range [2][2]int{{cMy, cMz}, {cVy, cVz}} {
		if slices.Contains(h.v.active, pair[0]) && slices.Contains(h.v.active, pair[1]) {
			l.pair(pair[0], pair[1], 1, 1)
		}
	}
	straight := h.a.Definition.Run.IsStraight()
	pressing := few == 3 && (straight || l.pressing())
	if pressing {
		reach := h.v.reachOfAll()
		for _, k := range [2]int{cMy, cMz} {
			if slices.Contains(h.v.active, k) {
				l.pair(cN, k, reach[cN], reach[k])
			}
		}
	}
	if h.how == coarse && !pressing || !l.ascend(l.best.state.components()) || h.how == coarse && !straight {
		return l.best
	}
	for i := range few {
		l.ascend(starts[i])
	}
	return l.best
}

// lengthsHunt looks for the worst lengths of a line load for one measure.
type lengthsHunt struct {
	*hunt
	m    int
	n    *[3]float64
	best spot
}

// offer takes a pattern as the best when it is, and returns its components.
func (l *lengthsHunt) offer(p *pattern, sign float64) components {
	c := l.added
	for _, k := range l.v.active {
		c[k] += l.combination.Variable * sign * p.unit[k]
	}
	l.a.trial = c.state()
	v := l.measures[l.m].Of(&l.a.trial)
	if Beats(v, l.best.value) {
		l.best = spot{value: v, n: *l.n, lengths: p.lengths, whole: p.whole, state: l.a.trial}
	}
	return c
}

// pressing reports whether the axial force that the action can bring counts beside the best so
// far: round a corner a load across one leg presses the rails of another, and the lengths for
// moment and axial force together are far from those for each. Samples need be right to a few
// per cent alone.
func (l *lengthsHunt) pressing() bool {
	gain := 1e-9
	if l.how == coarse {
		gain = 0.01
	}
	reach := l.combination.Variable * l.v.reachOfAll()[cN]
	for _, sign := range [2]float64{-1, 1} {
		pressed := l.best.state.components()
		pressed[cN] += sign * reach
		if l.value(&pressed) > l.best.value+gain*math.Abs(l.best.value) {
			return true
		}
	}
	return false
}

// pair offers the lengths adverse to cos a·x + sin a·y, a over the full turn, each component
// over a size of its own. The largest resultant of two of one size stands where their effect
// along a is largest: the support of the set of all states, which has no jumps in a.
func (l *lengthsHunt) pair(x, y int, sizeX, sizeY float64) {
	if sizeX == 0 || sizeY == 0 {
		return
	}
	towards := func(angle float64) float64 {
		cos, sin := math.Cos(angle)/sizeX, math.Sin(angle)/sizeY
		var slope components
		slope[x], slope[y] = cos, sin
		p := l.v.adverseTo(&slope, l.n)
		c := l.offer(&p, 1)
		return cos*c[x] + sin*c[y]
	}
	if x == cN || l.how == coarse && !l.a.Definition.Run.IsStraight() { // an ascent follows, or a finer look
		const ring = 12
		for i := range ring {
			towards(2 * math.Pi * float64(i) / ring)
		}
		return
	}
	around(towards, 24)
}

// ascend offers the lengths adverse to the measure's slope at a state, and goes
// on from what they give as long as it gains: for a measure that curves upwards
// no other lengths gain more to first order. It reports whether the slope has two
// components at least; with one the lengths are known already.
func (l *lengthsHunt) ascend(at components) bool {
	value := l.value(&at)
	for range 20 {
		p, coupled := l.uphill(&at)
		if !coupled {
			return false
		}
		at = l.offer(&p, 1)
		v := l.value(&at)
		if !Beats(v, value) {
			break
		}
		value = v
	}
	return true
}

func (l *lengthsHunt) value(c *components) float64 {
	l.a.trial = c.state()
	return l.measures[l.m].Of(&l.a.trial)
}

// uphill returns the lengths adverse to the measure's slope at a state.
func (l *lengthsHunt) uphill(at *components) (p pattern, coupled bool) {
	var slopes components
	count, reach := 0, l.v.reachOfAll()
	for _, k := range l.v.active {
		step := 1e-6 * (math.Abs(at[k]) + math.Abs(reach[k])*l.combination.Variable)
		if step == 0 {
			continue
		}
		up, down := *at, *at
		up[k] += step
		down[k] -= step
		if slope := (l.value(&up) - l.value(&down)) / (2 * step); usable(slope) {
			slopes[k] = slope
			count++
		}
	}
	if count < 2 {
		return pattern{}, false
	}
	return l.v.adverseTo(&slopes, l.n), true
}

// around seeks the largest value of f over a full turn from a ring of starts.
func around(f func(float64) float64, starts int) (angle, value float64) {
	step := 2 * math.Pi / float64(starts)
	values := make([]float64, starts)
	top := 0
	for i := range values {
		values[i] = f(float64(i) * step)
		if values[i] > values[top] {
			top = i
		}
	}
	angle, value = float64(top)*step, values[top]
	for i, v := range values {
		if v < values[(i+starts-1)%starts] || v < values[(i+1)%starts] {
			continue
		}
		at := float64(i) * step
		if x, best := Maximum(f, at-step, at, at+step); best > value {
			angle, value = x, best
		}
	}
	return angle, value
}

// room returns scratch space of n numbers, good until the next call.
func (a *Analysis) room(n int) []float64 {
	if cap(a.scratch) < n {
		a.scratch = make([]float64, n)
	}
	return a.scratch[:n]
}
