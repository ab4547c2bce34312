package analysis

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"example.com/stanchion/solver"
)

// WorstAlong returns the largest values of measures over every section of an
// element, each on its own. Of two that tie the first in order stands.
func (a *Analysis) WorstAlong(e *Element, l Level, measures []Measure) []Placed {
	return a.WorstOf(e, Query{Level: l, Measures: measures})[0]
}

// WorstOf returns the largest values of every query over every section of an
// element: for each query one placed value for each measure.
//
// Sections are tried at the ends of each member, at its quarter points and, on
// rails, under the load itself as it moves. The best then have section and load
// moved until neither gains: a movement has a peak in each bay, and the highest
// sample need not stand under the highest peak.
func (a *Analysis) WorstOf(e *Element, queries ...Query) [][]Placed {
	return a.worstOfIn(&results{}, e, queries)
}

// PeekOf returns what WorstOf does, good until the next search of the analysis.
func (a *Analysis) PeekOf(e *Element, queries ...Query) [][]Placed {
	return a.worstOfIn(&a.results, e, queries)
}

func (a *Analysis) worstOfIn(in *results, e *Element, queries []Query) [][]Placed {
	if e.isUpright() {
		// Where a post carries no load between rails its forces are linear and the
		// ends of its members decide; its movement may peak between them.
		in.split(queries)
		ends := a.worstAtEndsIn(&in.ends, e, in.forces)
		if slices.ContainsFunc(e.Probes, a.isLoaded) {
			for q, between := range a.worstPeaks(&in.peaks, e, in.forces) {
				for m := range between {
					if ends[q][m].better(between[m].Value) {
						ends[q][m] = between[m]
					}
				}
			}
		}
		a.complete(ends)
		found := in.rejoin(queries, ends, a.worstPeaks(&in.peaks, e, in.moves))
		a.twins(queries, found)
		return found
	}
	found := a.worstPeaks(&in.peaks, e, queries)
	a.complete(found)
	a.twins(queries, found)
	return found
}

// isUpright reports whether an element is a post.
func (e *Element) isUpright() bool { return len(e.Probes) > 0 && e.Probes[0].upright }

// worstAtEndsIn returns the largest values of every query over both ends of each
// member of an element, found in a room that is kept.
func (a *Analysis) worstAtEndsIn(room *bestRoom, e *Element, queries []Query) [][]Placed {
	best := room.empty(queries)
	for _, p := range e.Probes {
		open := a.open(p, queries, a.crests(queries, best))
		if open == nil {
			continue
		}
		for _, s := range [2]float64{0, p.Length} {
			a.at(p, s, open, best, fine)
		}
	}
	return best
}

// split parts the queries of forces from those of movements.
func (r *results) split(queries []Query) {
	r.forces, r.moves = r.forces[:0], r.moves[:0]
	for _, q := range queries {
		if q.Level == Service {
			r.moves = append(r.moves, q)
		} else {
			r.forces = append(r.forces, q)
		}
	}
}

// rejoin puts what was found for forces and movements back in the order of the
// queries.
func (r *results) rejoin(queries []Query, forces, moves [][]Placed) [][]Placed {
	r.joined = sized(r.joined, len(queries))
	for i := range queries {
		from := &forces
		if queries[i].Level == Service {
			from = &moves
		}
		r.joined[i], *from = (*from)[0], (*from)[1:]
	}
	return r.joined
}

// A member whose best sample is below this part of the highest does not
// hold the highest peak, and of the others the first few are polished: samples
// stand within a few per cent of their peaks.
const (
	worthPolishing = 0.95
	mostPolished   = 6
)

// midway is the least part of its peak that a movement has at the nearest eighth of its
// member: cos(π/16) for a half wave.
const midway = 0.98

func (a *Analysis) worstPeaks(room *bestRoom, e *Element, queries []Query) [][]Placed {
	k := a.peaks.begin(a, e, queries)
	for i := range e.Probes {
		k.member(e.Probes[k.place(i, len(e.Probes))])
	}
	return k.polished(room)
}

// peakSearch gathers the peaks along an element, member by member.
type peakSearch struct {
	a        *Analysis
	element  *Element
	queries  []Query
	high     [][]crest    // of the samples so far
	peaks    [][][]Placed // of each query and measure, in order
	tried    [][][]Placed // of the member in hand: its stations, then under the load
	order    []int        // room for highest
	hilltops []hilltop    // that were polished to
}

// crest is the value of the highest sample so far, or a floor; not known before there is one.
type crest struct {
	value float64
	known bool
}

// begin readies a search of an element, in the room of the last.
func (k *peakSearch) begin(a *Analysis, e *Element, queries []Query) *peakSearch {
	k.a, k.element, k.queries = a, e, queries
	k.high, k.peaks = shaped(k.high, queries), shaped(k.peaks, queries)
	for q := range queries {
		floor := queries[q].Floor
		for m := range k.high[q] {
			k.high[q][m] = crest{floor, floor != 0}
			k.peaks[q][m] = k.peaks[q][m][:0]
		}
	}
	for i := range k.tried {
		k.tried[i] = shaped(k.tried[i], queries)
	}
	return k
}

// shaped returns room with one place for each measure of each query, with whatever is in it.
func shaped[T any](room [][]T, queries []Query) [][]T {
	room = sized(room, len(queries))
	missing := 0
	for q := range room {
		if n := len(queries[q].Measures); cap(room[q]) < n {
			missing += n
		}
	}
	fresh := make([]T, missing)
	for q := range room {
		n := len(queries[q].Measures)
		if cap(room[q]) < n {
			room[q], fresh = fresh[:n:n], fresh[n:]
		}
		room[q] = room[q][:n]
	}
	return room
}

func sized[T any](room []T, n int) []T {
	room = room[:cap(room)]
	if len(room) < n {
		room = append(room, make([]T, n-len(room))...)
	}
	return room[:n]
}

// place returns which of some places in a row is the i-th to be looked at: a post, which moves most at its top, is
// looked down.
func (k *peakSearch) place(i, of int) int {
	if k.element.isUpright() {
		return of - 1 - i
	}
	return i
}

// member samples one member, where it may hold the highest peak: its stations, and on a rail under the load.
func (k *peakSearch) member(p *Probe) {
	open := k.a.open(p, k.queries, k.high)
	if open == nil {
		return
	}
	at := k.a.stations(p)
	for range len(at) + 1 - len(k.tried) {
		k.tried = append(k.tried, shaped[Placed](nil, k.queries))
	}
	for j := range at {
		i := k.place(j, len(at))
		k.a.at(p, at[i], open, k.fresh(i), coarse)
		k.raise(i)
	}
	under := len(at)
	local := k.fresh(under)
	if p.Rail >= 0 || p.upright && k.a.isLoaded(p) { // loads stand there
		k.a.underLoad(p, open, local)
	}
	k.raise(under)
	for q := range open {
		for m := range open[q].Measures {
			k.takePeaks(under, q, m)
		}
	}
}

// fresh returns room for the samples of place i of a member, in which only what
// is worth polishing will be found.
func (k *peakSearch) fresh(i int) [][]Placed {
	for q := range k.tried[i] {
		for m := range k.tried[i][q] {
			floor := worthPolishing * max(k.queries[q].Floor, k.high[q][m].value) // a sample below it may stand under a peak above
			l := &k.tried[i][q][m]
			l.Value, l.floored, l.Probe = floor, floor != 0 || k.high[q][m] == crest{0, true}, nil
		}
	}
	return k.tried[i]
}

// raise takes the samples of place i into the highest.
func (k *peakSearch) raise(i int) {
	for q := range k.tried[i] {
		for m := range k.tried[i][q] {
			l, high := &k.tried[i][q][m], &k.high[q][m]
			if l.Found() && (!high.known || Beats(l.Value, high.value)) {
				*high = crest{l.Value, true}
			}
		}
	}
}

// polished returns the best of the peaks that are worth polishing.
func (k *peakSearch) polished(room *bestRoom) [][]Placed {
	best := room.empty(k.queries)
	k.hilltops = k.hilltops[:0]
	for q := range best {
		for m := range best[q] {
			peaks := k.peaks[q][m]
			for _, i := range k.highest(peaks, worthPolishing*k.high[q][m].value) {
				if !k.climb(q, m, &peaks[i]) {
					continue
				}
				if best[q][m].better(peaks[i].Value) {
					best[q][m] = peaks[i]
				}
			}
			k.a.between(&k.queries[q], m, &best[q][m])
			if b := &best[q][m]; k.element.isUpright() && b.Found() && b.Value == 0 {
				k.toFoot(q, m, b)
			}
		}
	}
	return best
}

// toFoot puts what was found to be 0 all over a post at its foot: of places that tie the first stands.
func (k *peakSearch) toFoot(q, m int, best *Placed) {
	alone := k.a.results.one[:]
	alone[0] = k.queries[q]
	alone[0].Measures = alone[0].Measures[m : m+1]
	foot := k.a.results.between.empty(alone)
	k.a.at(k.element.Probes[0], 0, alone, foot, coarse)
	if f := &foot[0][0]; f.Found() && f.Value == 0 {
		*best = *f
	}
}

// between looks once more, for a movement under a point load, between the stations of the member
// in which it peaks. Of each station the samples keep the worst placement alone: a load that comes second
// at all of them may have the higher peak between, as one at the tip of an overhang has beside
// one at the middle of the bay.
func (a *Analysis) between(q *Query, m int, best *Placed) {
	if q.Level != Service || !best.Found() {
		return
	}
	p := best.Probe
	points := func(act *Action) bool { return act.Point && (q.Only == nil || q.Only(act)) }
	alone := a.results.one[:]
	alone[0] = Query{Level: q.Level, Measures: q.Measures[m : m+1], Floor: midway * best.Value, Only: points, Sets: q.Sets}
	there := a.results.between.empty(alone)
	floor := there[0][0]
	for _, part := range [4]float64{0.125, 0.375, 0.625, 0.875} {
		peak := &there[0][0]
		*peak = floor
		a.at(p, part*p.Length, alone, there, fine)
		if !peak.Found() {
			continue
		}
		a.polish(&q.Measures[m], peak)
		if best.better(peak.Value) {
			*best = *peak
		}
	}
}

// takePeaks takes what was found at the stations of one member, the last being under the load,
// that stands above its neighbours, or under the load. The ends of the member are no
// neighbours to those inside: between an end and the first station inside there
// may be a valley.
func (k *peakSearch) takePeaks(under, q, m int) {
	beside := func(i, by int) float64 {
		n := i + by
		if n < 0 || n >= under || i > 0 && n == 0 || i < under-1 && n == under-1 {
			return math.Inf(-1)
		}
		return k.tried[n][q][m].Value
	}
	next := len(k.peaks[q][m])
	if k.element.isUpright() { // what was looked at before lies above
		next = 0
	}
	for i := range under + 1 {
		l := &k.tried[i][q][m]
		if l.Found() && (i == under || l.Value >= beside(i, -1) && l.Value >= beside(i, 1)) {
			k.peaks[q][m] = slices.Insert(k.peaks[q][m], next, *l)
			next++
		}
	}
	if peaks := k.peaks[q][m]; len(peaks) > mostPeaks {
		kept := peaks[:0]
		for _, i := range k.highest(peaks, worthPolishing*k.high[q][m].value) { // in their order: none is overwritten before its turn
			kept = append(kept, peaks[i])
		}
		clear(peaks[len(kept):])
		k.peaks[q][m] = kept
	}
}

// mostPeaks is how many peaks of a measure are kept along an element before those go that will not
// be polished: those of a long rail are alike, one or more a bay.
const mostPeaks = 64

// highest returns which are the few highest peaks above a floor, in their order. Of those that tie the first
// and the last are taken, for samples that tie need not stand under peaks that do, and what is unlike the rest stands
// near an end.
func (k *peakSearch) highest(peaks []Placed, floor float64) []int {
	order := k.order[:0]
	for i := range peaks {
		if peaks[i].Value >= floor {
			order = append(order, i)
		}
	}
	k.order = order
	if len(order) <= mostPolished/2 {
		return order
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := peaks[j].Value, peaks[i].Value
		if math.Abs(a-b) <= tie*math.Abs(a) {
			return 0
		}
		return cmp.Compare(a, b)
	})
	switch {
	case k.element.twinned:
		order = k.withTwins(order, peaks)
	case len(order) > mostPolished:
		order = endsOfTie(order, peaks)
	}
	slices.Sort(order)
	return order
}

// withTwins returns the first of some peaks that with their twins, which are not searched, are as many as are polished: the
// last of a tie are the twins of the first.
func (k *peakSearch) withTwins(order []int, peaks []Placed) []int {
	kept := 0
	for room := mostPolished; room > 0 && kept < len(order); kept++ {
		room--
		if peaks[order[kept]].Probe != k.element.middle {
			room--
		}
	}
	return order[:kept]
}

// endsOfTie returns as many peaks as are polished, the highest first: of those that tie where they are cut off as many of
// the last as of the first.
func endsOfTie(order []int, peaks []Placed) []int {
	cut := peaks[order[mostPolished-1]].Value
	ties := func(i int) bool { return math.Abs(peaks[i].Value-cut) <= tie*math.Abs(cut) }
	first := slices.IndexFunc(order, ties)
	last := mostPolished
	for last < len(order) && ties(order[last]) {
		last++
	}
	fromEnd := (mostPolished - first) / 2
	copy(order[mostPolished-fromEnd:mostPolished], order[last-fromEnd:last])
	return order[:mostPolished]
}

// besideLoad is how far beyond a point load that stands everywhere a section is tried, m: the
// forces jump there.
const besideLoad = 1e-8

// stations returns the sections of a member that are tried first: its quarter points, its
// eighths where two loads are placed together, which are not tried under either as it moves,
// and both sides of what stands between its ends. They are good until the next call.
func (a *Analysis) stations(p *Probe) []float64 {
	out := append(a.tried[:0], 0, 0.25*p.Length, 0.5*p.Length, 0.75*p.Length, p.Length)
	known := len(out)
	if len(a.pairs) > 0 {
		out = append(out, 0.125*p.Length, 0.375*p.Length, 0.625*p.Length, 0.875*p.Length)
	}
	for i := range a.everywhere {
		for _, l := range p.standing(i).points {
			if l.at+besideLoad < p.Length {
				out = append(out, l.at, l.at+besideLoad)
			}
		}
	}
	if len(out) > known {
		slices.Sort(out)
		out = slices.Compact(out)
	}
	a.tried = out
	return out
}

// walk is one action in one combination seen from one member, at any section and
// for the load at any place.
type walk struct {
	a           *Analysis
	p           *Probe
	l           *startLines
	action      int
	combination *Combination
	beside      []Placement
	stands      []share // whatever the action does
	still       start   // what they do to the start

	room  [4]share
	ready ready
}

// ready is the stretch that a walk is on, from its start, and the size of the load there.
type ready struct {
	is         bool
	stretch    int
	from, size float64
	own        *ownStretch
}

// standing readies a walk for what stands everywhere in a mixture.
func (w *walk) standing(m *mixture) {
	w.stands = w.room[:0]
	for _, st := range m.stands {
		w.stands = append(w.stands, share{st.factor, w.p.standing(st.at)})
	}
	w.addStill()
}

// standingBeside readies a walk for what a placed load has beside it.
func (w *walk) standingBeside(best *Placed) {
	w.stands = w.a.standsBeside(w.room[:0], best.Probe, best.Combination, &best.Placement, best.Beside)
	w.addStill()
}

func (w *walk) addStill() {
	for _, st := range w.stands {
		for c := range w.still {
			w.still[c] += st.factor * st.of.start[c]
		}
	}
}

// on readies a walk for a stretch.
func (w *walk) on(stretch int) *ready {
	if r := &w.ready; !r.is || r.stretch != stretch {
		from, _ := w.a.chains[w.action].Ends(stretch)
		*r = ready{true, stretch, from, w.combination.Variable * w.a.Actions[w.action].sizeAt(from), w.l.ownOf(stretch)}
	}
	return &w.ready
}

// spotOn is where the section and the load are: the station, the stretch and the
// distance into it, and whether the section lies just after the load.
type spotOn struct {
	s       float64
	stretch int
	t       float64
	after   bool
	n       [3]float64
}

// sameSpot is the distance, m, within which a load stands at the section.
const sameSpot = 1e-9

// state returns the state of a spot.
func (w *walk) state(o *spotOn) State {
	on := w.on(o.stretch)
	r := w.still
	w.l.at(&r, o.stretch, o.t, on.size, &o.n)
	c := w.p.carry(&r, o.s)
	for i := range w.stands {
		w.p.passStanding(&c, w.stands[i].of, w.stands[i].factor, o.s)
	}
	if own := on.own; own != nil {
		// Within sameSpot the side decides, as it does where a state is solved again.
		if b := o.s - own.at - o.t; b > sameSpot || o.after && b > -sameSpot {
			w.p.pass(&c, w.force(own, on.size*own.share, &o.n), max(b, 0))
		}
	}
	return c.state()
}

// value returns a measure of the state of a spot.
func (w *walk) value(m *Measure, o *spotOn) float64 {
	w.a.trial = w.state(o)
	return m.Of(&w.a.trial)
}

// force returns a load on the member in its local axes.
func (w *walk) force(own *ownStretch, size float64, n *[3]float64) solver.Vec {
	var f solver.Vec
	for d, basis := range w.a.Actions[w.action].basis {
		for k := range f {
			f[k] += size * n[d] * basis[k]
		}
	}
	return own.into(f)
}

// underLoad tries the section under a point load as the load moves along the
// member: just before the load and just after it where the load stands on this
// very member, and on a rail opposite the load where it stands on another.
func (a *Analysis) underLoad(p *Probe, queries []Query, best [][]Placed) {
	along := a.along(p)
	for i, act := range a.Actions {
		if !act.Point || act.Field != nil {
			continue
		}
		lines := a.under(p, i)
		chain, alongside := a.chains[i], !p.upright && !act.Posts
		first, end := p.stretchesBeside(chain, lines.own, alongside)
		for st := first; st < end; st++ {
			from, to := chain.Ends(st)
			own := lines.ownOf(st)
			if own == nil && (!alongside || to <= p.From || from >= p.From+p.Length) {
				continue
			}
			beside := ownStretch{stretch: st, at: from - p.From}
			if own != nil {
				beside = *own
			}
			a.eachMixture(i, queries, best, func(x *mixture, asked []asked) {
				if along != nil {
					if beside := along.standing(x); !a.mayRaise(i, along.anywhere(i), x.combination.Variable, &beside, asked) {
						return
					}
				}
				w := &a.walk
				*w = walk{a: a, p: p, l: lines, action: i, combination: &x.combination, beside: x.beside}
				w.standing(x)
				w.underLoad(&beside, false, asked)
				if own != nil {
					w.underLoad(&beside, true, asked)
				}
			})
		}
	}
}

// stretchesBeside returns the stretches of a chain, from the first up to before the end, among which are all that load the
// member of a probe, which are given, and where asked for all that lie alongside it.
func (p *Probe) stretchesBeside(chain *solver.Chain, own []ownStretch, alongside bool) (first, end int) {
	if n := len(own); n > 0 {
		first, end = own[0].stretch, own[n-1].stretch+1
	}
	if alongside {
		from := endingBeyond(chain, 0, chain.Stretches(), p.From)
		to := sort.Search(chain.Stretches(), func(st int) bool { from, _ := chain.Ends(st); return from >= p.From+p.Length })
		if len(own) == 0 {
			return from, to
		}
		first, end = min(first, from), max(end, to)
	}
	return first, end
}

// endingBeyond returns the first stretch of a chain that ends beyond a place, m, among those from the first up to
// before the end; the end where none does.
func endingBeyond(chain *solver.Chain, first, end int, x float64) int {
	return first + sort.Search(end-first, func(i int) bool { _, to := chain.Ends(first + i); return to > x })
}

func (w *walk) underLoad(own *ownStretch, after bool, asked []asked) {
	from, to := w.a.chains[w.action].Ends(own.stretch)
	length := to - from
	low := max(0, -own.at) // a stretch beside the member may start before it and end after it
	length = min(length, w.p.Length-own.at) - low
	at := func(t float64, n [3]float64) spotOn {
		return spotOn{s: own.at + t, stretch: own.stretch, t: t, after: after, n: n}
	}
	const parts = 10
	act := w.a.Actions[w.action]
	var states [parts + 1]State // under a load with one way to point, for all measures
	var fans [parts + 1]fanAt   // of a load that is free to turn
	for i := range states {
		o := at(low+length*float64(i)/parts, [3]float64{})
		switch {
		case act.fixed == nil:
			fans[i] = w.fan(&o)
			f := fan{nd: len(act.basis), by: fans[i].by}
			fans[i].starts = f.starts(nil)
		case len(act.fixed) == 1:
			o.n = act.fixed[0]
			states[i] = w.state(&o)
		}
	}
	search := func(measure *Measure, best *Placed) {
		value := func(o spotOn) float64 { return w.value(measure, &o) }
		top, high := -1, math.Inf(-1)
		var n [3]float64
		for i := range states {
			var way [3]float64
			var v float64
			switch {
			case act.fixed == nil:
				f := fans[i].of(w.a, measure, len(act.basis))
				way, _ = f.first(fans[i].starts)
				way, v, _ = ascend(&f, way, few)
			case len(act.fixed) == 1:
				w.a.trial = states[i]
				way, v = act.fixed[0], measure.Of(&w.a.trial)
			default:
				o := at(low+length*float64(i)/parts, way)
				way = w.way(measure, &o)
				v = value(at(o.t, way))
			}
			if v > high {
				top, high, n = i, v, way
			}
		}
		// A peak between samples stands above them by far less than a tenth.
		if best.floored && high < 0.9*best.Value {
			return
		}
		peak := at(low+length*float64(top)/parts, n)
		if top > 0 && top < parts {
			step := length / parts
			if t, v := maximumFrom(func(t float64) float64 { return value(at(t, n)) }, peak.t-step, peak.t, peak.t+step, high); v > high {
				peak = at(t, n)
			}
		}
		w.keep(measure, peak, best)
	}
	for _, q := range asked {
		for m := range q.measures {
			search(&q.measures[m], &q.best[m])
		}
	}
}

// turned returns a spot whose load has climbed, when that gains.
func (w *walk) turned(m *Measure, o spotOn, climb func(hill, [3]float64, int) ([3]float64, float64)) spotOn {
	at := w.fan(&o)
	f := at.of(w.a, m, len(w.a.Actions[w.action].basis))
	q := o
	q.n, _ = climb(&f, o.n, f.nd)
	if w.value(m, &q) > w.value(m, &o) {
		return q
	}
	return o
}

// way returns the worst of the fixed ways that the load of a spot may point.
func (w *walk) way(m *Measure, o *spotOn) [3]float64 {
	act := w.a.Actions[w.action]
	f := func(n *[3]float64) float64 {
		trial := *o
		trial.n = *n
		return w.value(m, &trial)
	}
	way := act.fixed[0]
	for _, n := range act.fixed[1:] {
		if Beats(f(&n), f(&way)) {
			way = n
		}
	}
	return way
}

// fan returns what the load of a spot does along each direction, factored, and
// what stands without it.
func (w *walk) fan(o *spotOn) fanAt {
	along := func(n [3]float64) components {
		trial := *o
		trial.n = n
		st := w.state(&trial)
		return st.components()
	}
	out := fanAt{x: o.t, base: along([3]float64{})}
	nd := len(w.a.Actions[w.action].basis)
	for d := range nd {
		var n [3]float64
		n[d] = 1
		out.by[d] = along(n)
		for k := range out.base {
			out.by[d][k] -= out.base[k]
		}
	}
	return out
}

// keep takes a spot as the best when it is.
func (w *walk) keep(m *Measure, o spotOn, best *Placed) {
	v := w.value(m, &o)
	if !best.better(v) {
		return
	}
	w.set(o, w.state(&o), v, best)
}

func (w *walk) set(o spotOn, st State, v float64, best *Placed) {
	act := w.a.Actions[w.action]
	from, _ := w.a.chains[w.action].Ends(o.stretch)
	*best = Placed{
		Value: v, State: st, Combination: w.combination, Beside: w.beside, Probe: w.p, Station: o.s, After: o.after, floored: true,
		Placement: Placement{Action: act, Stretch: o.stretch, Leg: w.a.legs[w.action][o.stretch], X: from + o.t, Value: act.sizeAt(from), Way: o.n},
	}
}

// polish moves the section of the best along its member, and its load along the
// run, until neither gains, and takes the other factor of the permanent actions
// when that is worse where it has got to.
func (a *Analysis) polish(m *Measure, best *Placed) {
	a.polishAll(m, best)
	if best.Placement.Action != nil && a.otherPermanent(m, best) {
		a.polishAll(m, best)
	}
}

// polishAll polishes what was placed, one or two together.
func (a *Analysis) polishAll(m *Measure, best *Placed) {
	if k := best.second(); k >= 0 {
		a.polishPair(m, best, k)
		return
	}
	a.polishOne(m, best)
}

func (a *Analysis) polishOne(m *Measure, best *Placed) {
	switch {
	case best.isStill():
		var room [4]share
		stands := a.standsBeside(room[:0], best.Probe, best.Combination, &best.Placement, best.Beside)
		a.polishStation(best, func(s float64) (float64, State) {
			c := best.Probe.addedAt(stands, s)
			a.trial = c.state()
			return m.Of(&a.trial), a.trial
		})
	case best.Placement.Action.Point:
		a.polishPoint(m, best)
	default:
		a.polishLine(m, best)
	}
}

// otherPermanent puts another permanent factor of the level into a placed load
// when it gains.
func (a *Analysis) otherPermanent(m *Measure, best *Placed) (gained bool) {
	permanent := best.Probe.underPermanent(best.Station)
	at, with := best.State.components(), best.Combination.Permanent
	mixtures := a.mixturesOn(best)
	for i := range mixtures {
		c, other := &mixtures[i].combination, *best.Combination
		if other.Permanent = c.Permanent; other != *c {
			continue // of other actions or with other factors on them
		}
		for k := range at {
			at[k] += (c.Permanent - with) * permanent[k]
		}
		with = c.Permanent
		a.trial = at.state()
		if v := m.Of(&a.trial); best.better(v) {
			best.Value, best.State, best.Combination = v, a.trial, c
			gained = true
		}
	}
	return gained
}

// polishStation moves the section alone.
func (a *Analysis) polishStation(best *Placed, f func(float64) (float64, State)) {
	s, gained := climbOn(func(s float64) float64 { v, _ := f(s); return v }, best.Station, 0, best.Probe.Length, best.Probe.Length/4)
	if gained {
		v, st := f(s)
		best.Value, best.State, best.Station = v, st, s
	}
}

// climbOn seeks a larger value of f near x, within reach of it and within
// (lo, hi).
func climbOn(f func(float64) float64, x, lo, hi, reach float64) (at float64, gained bool) {
	at, v, here := climbUp(f, x, math.NaN(), lo, hi, reach)
	return at, v > here
}

// climbUp is climbOn from a value at x, NaN where it is not known, and returns the value where it
// gets to too.
func climbUp(f func(float64) float64, x, here, lo, hi, reach float64) (at, value, start float64) {
	a, b := max(lo, x-reach), min(hi, x+reach)
	if b-a < 1e-9 {
		return x, here, here
	}
	if math.IsNaN(here) {
		here = f(x)
	}
	mid, high := x, here
	if x-a < 1e-9 || b-x < 1e-9 {
		mid = x + 1e-6*(a+b-2*x)
		if high = f(mid); high <= here {
			return x, here, here
		}
	}
	at, value = maximumFrom(f, a, mid, b, high)
	const near = 1e-6 // of the length: a climb to an end stops short of it
	for _, end := range [2]float64{a, b} {
		if at != end && math.Abs(at-end) < near*(b-a) {
			if v := f(end); v >= value {
				at, value = end, v
			}
		}
	}
	return at, value, here
}

// polishPoint moves section, load and the load's direction in turn. From a
// section under the load it goes on to the other side of it. On a run that turns or climbs a load
// presses a rail that its opposite pulls, so it tries the opposite way too.
func (a *Analysis) polishPoint(m *Measure, best *Placed) {
	a.polishSide(m, best, math.Inf(-1))
	if a.standsAtSection(best.Probe, best.Station, &best.Placement) {
		other := *best
		other.After = !best.After
		a.polishSide(m, &other, worthPolishing*best.Value)
		if best.better(other.Value) {
			*best = other
		}
	}
	if !a.Definition.Run.IsStraight() && best.Placement.Action.fixed == nil {
		round := *best
		round.Placement.Way = opposite(&best.Placement.Way)
		a.polishSide(m, &round, math.Inf(-1))
		if best.better(round.Value) {
			*best = round
		}
	}
}

// polishSide moves them with the section on its side of the load, from where the measure is no less
// than a floor.
func (a *Analysis) polishSide(m *Measure, best *Placed, floor float64) {
	w, o := a.walkTo(best)
	from, to := a.chains[w.action].Ends(o.stretch)
	value := func(o *spotOn) float64 { return w.value(m, o) }
	start, reach := value(&o), w.p.Length/4
	if start < floor {
		return
	}
	v := start
	along := func(f func(float64) float64, x, lo, hi float64) float64 {
		at, to, _ := climbUp(f, x, v, lo, hi, reach)
		if to > v {
			v = to
			return at
		}
		return x
	}
	q := o
	for range 20 {
		before := v
		lo, hi := w.sectionRange(&o)
		q = o
		o.s = along(func(s float64) float64 { q.s = s; return value(&q) }, o.s, lo, hi)
		lo, hi = w.loadRange(&o, to-from)
		q = o
		o.t = along(func(t float64) float64 { q.t = t; return value(&q) }, o.t, lo, hi)
		// Section and load together: the peak is a ridge along both.
		back, on := min(o.s, o.t), min(w.p.Length-o.s, to-from-o.t)
		q = o
		by := along(func(by float64) float64 { q.s, q.t = o.s+by, o.t+by; return value(&q) }, 0, -back, on)
		o.s, o.t = o.s+by, o.t+by
		free := w.a.Actions[w.action].fixed == nil
		if free {
			o = w.turned(m, o, up)
			v = value(&o)
		}
		if free && v-before <= 1e-12*math.Abs(before) {
			o = w.turned(m, o, summit)
			v = value(&o)
		}
		if v-before <= 1e-12*math.Abs(before) {
			break
		}
	}
	o = w.met(o)
	if v := value(&o); v >= start {
		w.set(o, w.state(&o), v, best)
	}
}

// walkTo readies the walk of a placed point load, and returns the spot where it stands.
func (a *Analysis) walkTo(p *Placed) (*walk, spotOn) {
	i := a.indexOf(p.Placement.Action)
	w := &a.walk
	*w = walk{a: a, p: p.Probe, l: a.under(p.Probe, i), action: i, combination: p.Combination, beside: p.Beside}
	w.standingBeside(p)
	from, _ := a.chains[i].Ends(p.Placement.Stretch)
	return w, w.sided(spotOn{s: p.Station, stretch: p.Placement.Stretch, t: p.Placement.X - from, after: p.After, n: p.Placement.Way})
}

// sided returns a spot with the side of its load on which its section lies: away from the load
// where they stand decides. The section may have been moved past it with another load.
func (w *walk) sided(o spotOn) spotOn {
	if own := w.l.ownOf(o.stretch); own != nil {
		if b := o.s - own.at - o.t; math.Abs(b) > sameSpot {
			o.after = b > 0
		}
	}
	return o
}

// met returns a spot whose section stands exactly at the load, where it is the same spot but for
// what is left of a climb.
func (w *walk) met(o spotOn) spotOn {
	own := w.l.ownOf(o.stretch)
	if own == nil || math.Abs(own.at+o.t-o.s) >= sameSpot {
		return o
	}
	o.s = min(own.at+o.t, w.p.Length)
	return o
}

// standsAtSection reports whether a point load stands at a section, or opposite it on another
// rail.
func (a *Analysis) standsAtSection(p *Probe, s float64, at *Placement) bool {
	i := a.indexOf(at.Action)
	if own := a.under(p, i).ownOf(at.Stretch); own != nil {
		from, _ := a.chains[i].Ends(at.Stretch)
		return math.Abs(own.at+at.X-from-s) < sameSpot
	}
	return !p.upright && !at.Action.Posts && math.Abs(at.X-p.From-s) < sameSpot
}

// sectionRange returns the stations on the spot's side of its load.
func (w *walk) sectionRange(o *spotOn) (lo, hi float64) {
	own := w.l.ownOf(o.stretch)
	switch {
	case own == nil:
		return 0, w.p.Length
	case o.after:
		return own.at + o.t, w.p.Length
	}
	return 0, min(own.at+o.t, w.p.Length) // a load may stand on an arm beyond the member
}

// loadRange returns the places of the load on the spot's side of its section.
func (w *walk) loadRange(o *spotOn, length float64) (lo, hi float64) {
	own := w.l.ownOf(o.stretch)
	switch {
	case own == nil:
		return 0, length
	case o.after:
		return 0, min(length, o.s-own.at)
	}
	return max(0, o.s-own.at), length
}

func (r *Replayer) indexOf(act *Action) int {
	for i := range r.Actions {
		if r.Actions[i] == act {
			return i
		}
	}
	panic("analysis: an action of another barrier")
}

// rangesAbout returns the stations over which the section of a line load may climb: those to either
// side of a point load beside it at which it stands, for there the forces bend.
func (a *Analysis) rangesAbout(p *Placed) [][2]float64 {
	for i := range p.Beside {
		if at := &p.Beside[i]; at.Action.Field == nil && at.Action.Point && a.standsAtSection(p.Probe, p.Station, at) {
			return [][2]float64{{0, p.Station}, {p.Station, p.Probe.Length}}
		}
	}
	return [][2]float64{{0, p.Probe.Length}}
}

// polishLine moves the section, and finds the worst lengths again at each place.
func (a *Analysis) polishLine(m *Measure, best *Placed) {
	if best.Placement.Action.fixed == nil {
		a.polishSwept(m, best)
		return
	}
	i := a.indexOf(best.Placement.Action)
	n := best.Placement.Way
	stands := a.standsBeside(nil, best.Probe, best.Combination, &best.Placement, best.Beside)
	h := &hunt{a: a, combination: best.Combination, beside: best.Beside, measures: []Measure{*m}}
	hunting := func(s float64) spot {
		h.v, h.added = a.section(best.Probe, s, i), best.Probe.addedAt(stands, s)
		return h.lineWith(0, &n)
	}
	// On the way the lengths follow the section: those that stood at the place before, and what they lead to.
	last := spot{lengths: best.Placement.Lengths, whole: best.Placement.Whole}
	scale := a.section(best.Probe, best.Station, i).reachOfAll() // which hardly moves
	following := func(s float64) float64 {
		h.v, h.added = a.section(best.Probe, s, i), best.Probe.addedAt(stands, s)
		l := lengthsHunt{hunt: h, n: &n, best: spot{value: math.Inf(-1)}}
		p := h.v.pattern(last.lengths, last.whole, &n)
		h.v.largest = &scale
		if at := l.offer(&p, 1); !l.ascend(at) {
			h.v.largest = nil
			l.best = h.lineWith(0, &n)
			l.best.lengths = slices.Clone(l.best.lengths)
		}
		last = l.best
		return l.best.value
	}
	s := best.Station // what stands there was found by a coarse search
	for _, r := range a.rangesAbout(best) {
		if at, gained := climbOn(following, s, r[0], r[1], best.Probe.Length/4); gained {
			s = at
			break
		}
	}
	p := hunting(s)
	found := []Placed{*best}
	h.best = found
	h.keep(0, p)
	*best = found[0]
}
