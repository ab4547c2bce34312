package analysis

import (
	"math"
	"slices"

	"example.com/stanchion/solver"
)

// A member is passed over where nothing that may act on it can beat what was found already. Of each
// component the least and the largest value anywhere on the member follow from its values at both
// ends: between them forces are constant and moments linear, but under a load on the member itself, and
// a movement leaves its chord by what curves the member.

// span is the least and the largest value of a component, neither beyond 0: a load may stand away.
type span struct{ low, high float64 }

func (r *span) take(low, high float64) { r.low, r.high = min(r.low, low), max(r.high, high) }

func (r *span) add(low, high float64) { r.low, r.high = r.low+low, r.high+high }

// times returns the span under a factor.
func (r span) times(f float64) span {
	if f < 0 {
		return span{f * r.high, f * r.low}
	}
	return span{f * r.low, f * r.high}
}

func (r span) magnitude() float64 { return max(-r.low, r.high) }

type spans [nState]span

// memberReach is how far the components of a member, or of a joint, may go.
type memberReach struct {
	a      *Analysis
	p      *Probe
	even   bool    // what stands everywhere does so evenly along it: else nothing is known of it
	still  []spans // of what stands everywhere, unfactored
	acts   []spans // of each action and direction, under its own size
	first  []int   // of each action: where its directions start
	ready  []bool  // which actions have theirs
	levels [levelCount]levelReach
}

// levelReach is what a member may come to at a level under every mixture, once it is asked for.
type levelReach struct {
	known bool
	all   []spans
}

// reachesKept is how many members have their reaches kept: those of a post are asked for in turn, for its
// forces, its movements, its foot and its top.
const reachesKept = 4

// reachOf returns the reach of a member.
func (a *Analysis) reachOf(p *Probe) *memberReach {
	for i := range a.reach {
		if a.reach[i].p == p {
			return &a.reach[i]
		}
	}
	r := &a.reach[a.nextReach]
	a.nextReach = (a.nextReach + 1) % reachesKept
	r.begin(a, p)
	return r
}

// begin readies the reach for a member, in the room of another.
func (r *memberReach) begin(a *Analysis, p *Probe) {
	r.a, r.p, r.even = a, p, true
	r.still, r.acts, r.first = r.still[:0], r.acts[:0], r.first[:0]
	for l := range r.levels {
		r.levels[l] = levelReach{all: r.levels[l].all[:0]}
	}
	for i := range a.everywhere {
		st := p.standing(i)
		if st.loads() {
			r.even = false
			return
		}
		r.still = append(r.still, p.stillSpans(st))
	}
	r.ready = sized(r.ready, len(a.Actions))
	clear(r.ready)
	for _, act := range a.Actions {
		r.first = append(r.first, len(r.acts))
		for range act.basis {
			r.acts = append(r.acts, spans{})
		}
	}
}

// of returns the spans of an action, one a direction.
func (r *memberReach) of(action int) []spans {
	out := r.acts[r.first[action]:][:len(r.a.Actions[action].basis)]
	if !r.ready[action] {
		r.ready[action] = true
		for d := range out {
			out[d] = r.a.spansUnder(r.p, action, d)
		}
	}
	return out
}

// chordDeviation is the largest part of M L²/(E I) by which a member curved by a moment M at one end
// leaves its chord: 1/(9√3).
const chordDeviation = 0.0641500299

// curves widens movements by what end moments make of them between the ends, and by what a load on the
// member, of the given size in local axes, does on a member held at both ends: deflected times it over E I
// across, stretched times it over E A along.
func (p *Probe) curves(r *spans, my, mz span, f solver.Vec, deflected, stretched float64) {
	if p.member < 0 {
		return // a joint has no length
	}
	k := chordDeviation * p.Length * p.Length / p.ei
	y, z := span{-k * mz.high, -k * mz.low}, span{k * my.low, k * my.high}
	widen := func(by *span, v float64) { by.add(min(v, 0), max(v, 0)) }
	widen(&y, f[1]*deflected/p.ei)
	widen(&z, f[2]*deflected/p.ei)
	x := math.Abs(f[0]) * stretched / p.ea
	for c := range p.told {
		row := &p.told[c]
		into := &r[cAlong+c]
		into.add(-math.Abs(row[0])*x, math.Abs(row[0])*x)
		for _, part := range [2]span{y.times(row[1]), z.times(row[2])} {
			into.add(part.low, part.high)
		}
	}
	if p.bay > 0 {
		r[cSpan].add(y.low, y.high)
	}
}

// stillSpans returns the spans of a load that stands evenly along a member.
func (p *Probe) stillSpans(st *standing) (r spans) {
	start, end := p.under(st, 0), p.under(st, p.Length)
	for c := range r {
		r[c] = span{min(start[c], end[c]), max(start[c], end[c])}
	}
	sum := func(c int) span { return span{min(start[c], 0) + min(end[c], 0), max(start[c], 0) + max(end[c], 0)} }
	length := p.Length
	p.curves(&r, sum(cMy), sum(cMz), st.even, 5*length*length*length*length/384, length*length/8)
	for _, m := range [2]struct {
		c int
		q float64
	}{{cMy, st.even[2]}, {cMz, st.even[1]}} {
		bow := math.Abs(m.q) * length * length / 8
		r[m.c].add(-bow, bow)
	}
	return r
}

// spansUnder returns the spans of an action along one of its directions: of a point load at any place, of
// a line load over any lengths.
func (a *Analysis) spansUnder(p *Probe, action, d int) (r spans) {
	l, act, chain := a.under(p, action), a.Actions[action], a.chains[action]
	a.toEnds[0].set(p, l.active, 0, nState)
	a.toEnds[1].set(p, l.active, p.Length, nState)
	var starts, ends spans // of a line load: the sums so far
	for st := l.first; st < l.end; st++ {
		if len(chain.Parts(st)) == 0 {
			continue // a gap
		}
		from, to := chain.Ends(st)
		on := stretchReach{p: p, own: l.ownOf(st), length: to - from, f: act.basis[d]}
		on.carry(&a.toEnds, l.of(st, d), l.active)
		if act.Point {
			on.point(&r, act.sizeAt(from))
		} else {
			on.line(&starts, &ends, &r)
		}
	}
	if act.Point {
		return r
	}
	// So far r holds what each place adds between the ends of the member.
	for c := range r {
		r[c].add(min(starts[c].low, ends[c].low), max(starts[c].high, ends[c].high))
		r[c] = r[c].times(act.Value)
	}
	return r
}

// stretchReach is one stretch of an action's chain, seen from the ends of a member under a unit load.
type stretchReach struct {
	p      *Probe
	own    *ownStretch
	length float64
	f      solver.Vec
	lead   [cMz + 1][4]float64 // the forces at the start
	start  [nState][4]float64
	end    [nState][4]float64
}

// carry sets the cubics at both ends from those of the member's start.
func (s *stretchReach) carry(to *[2]carriage, cubics [][4]float64, active []int) {
	for k, c := range active {
		if c <= cMz {
			s.lead[c] = cubics[k]
		}
	}
	for c := range nState {
		s.start[c], s.end[c] = to[0].cubic(c, cubics), to[1].cubic(c, cubics)
	}
	if s.own == nil {
		return
	}
	for c := range nState {
		if c == cSpan && s.p.bay == 0 {
			continue
		}
		s.p.passCubic(&s.end[c], c, s.f, s.own, s.p.Length)
	}
}

// force returns the load in local axes where it stands on the member itself.
func (s *stretchReach) force() solver.Vec {
	if s.own == nil {
		return solver.Vec{}
	}
	f := s.own.into(s.f)
	for k := range f {
		f[k] *= s.own.share
	}
	return f
}

// point takes a point load on the stretch into the spans.
func (s *stretchReach) point(into *spans, size float64) {
	var r spans
	var my, mz span
	for c := range nState {
		alow, ahigh := cubicExtremes(&s.start[c], s.length)
		blow, bhigh := alow, ahigh
		if s.p.member >= 0 && (c >= cMy || s.own != nil) {
			blow, bhigh = cubicExtremes(&s.end[c], s.length)
		}
		r[c] = span{min(alow, blow), max(ahigh, bhigh)}
		switch c {
		case cMy:
			my = span{min(alow, 0) + min(blow, 0), max(ahigh, 0) + max(bhigh, 0)}
		case cMz:
			mz = span{min(alow, 0) + min(blow, 0), max(ahigh, 0) + max(bhigh, 0)}
		}
	}
	if s.own != nil {
		for _, m := range [2]struct {
			c, v int
			sign float64
		}{{cMy, cVz, 1}, {cMz, cVy, -1}} {
			low, high := underLoadSpan(&s.lead[m.c], &s.lead[m.v], m.sign, s.own.at, s.length)
			r[m.c].take(low, high)
		}
	}
	l := s.p.Length
	s.p.curves(&r, my, mz, s.force(), l*l*l/48, l/4)
	for c := range r {
		t := r[c].times(size)
		into[c].take(t.low, t.high)
	}
}

// line adds a line load of 1 per metre over any part of the stretch to the sums at both ends, and to what
// it does between them.
func (s *stretchReach) line(starts, ends, between *spans) {
	var my, mz span
	for c := range nState {
		a, b := cubicReach(&s.start[c], s.length), cubicReach(&s.end[c], s.length)
		starts[c].add(a.low, a.high)
		ends[c].add(b.low, b.high)
		if s.own != nil && c <= cT { // some of the load lies before the section, some after
			between[c].add(min(a.low, b.low), max(a.high, b.high))
		}
		switch c {
		case cMy:
			my = span{a.low + b.low, a.high + b.high}
		case cMz:
			mz = span{a.low + b.low, a.high + b.high}
		}
	}
	l, f := s.p.Length, s.force()
	s.p.curves(between, my, mz, f, 5*l*l*l*l/384, l*l/8)
	for _, m := range [2]struct {
		c int
		q float64
	}{{cMy, f[2]}, {cMz, -f[1]}} {
		bow := m.q * l * l / 8
		between[m.c].add(min(bow, 0), max(bow, 0))
	}
}

// cubicExtremes returns the least and the largest value of a cubic over a length from its start.
func cubicExtremes(k *[4]float64, length float64) (low, high float64) {
	if *k == ([4]float64{}) {
		return 0, 0
	}
	if isMonotone(k, length) {
		a, b := k[0], k[0]+length*(k[1]+length*(k[2]+length*k[3]))
		return min(a, b), max(a, b)
	}
	piece := solver.Piece{To: length, Coeffs: [][4]float64{*k}}
	return extremes(&piece, 0)
}

// cubicReach bounds the integral of a cubic over any part of a length, as solver.Line.Reach does.
func cubicReach(k *[4]float64, length float64) (r span) {
	l := length
	for _, b := range [4]float64{k[0], k[0] + l*k[1]/3, k[0] + l*(2*k[1]+l*k[2])/3, k[0] + l*(k[1]+l*(k[2]+l*k[3]))} {
		r.add(min(b, 0)*l/4, max(b, 0)*l/4)
	}
	return r
}

// underLoadSpan bounds a moment under a load as it moves over a length of the member from station at: the
// moment at the start and sign times the shear there, times the station. Both are cubics, so that this
// is of the fourth degree: its Bernstein coefficients over each quarter bound it.
func underLoadSpan(moment, shear *[4]float64, sign, at, length float64) (low, high float64) {
	var q [5]float64
	for i := range 4 {
		q[i] += moment[i] + sign*at*shear[i]
		q[i+1] += sign * shear[i]
	}
	const parts = 4
	h := length / parts
	low, high = math.Inf(1), math.Inf(-1)
	for range parts {
		a, b, c, d, e := q[0], q[1]*h, q[2]*h*h, q[3]*h*h*h, q[4]*h*h*h*h
		for _, v := range [5]float64{a, a + b/4, a + b/2 + c/6, a + 3*b/4 + c/2 + d/4, a + b + c + d + e} {
			low, high = min(low, v), max(high, v)
		}
		q = [5]float64{
			q[0] + h*(q[1]+h*(q[2]+h*(q[3]+h*q[4]))), q[1] + h*(2*q[2]+h*(3*q[3]+4*h*q[4])),
			q[2] + h*(3*q[3]+6*h*q[4]), q[3] + 4*h*q[4], q[4],
		}
	}
	return low, high
}

// standing returns what stands everywhere in a mixture.
func (r *memberReach) standing(m *mixture) (out spans) {
	for _, st := range m.stands {
		for c := range out {
			t := r.still[st.at][c].times(st.factor)
			out[c].add(t.low, t.high)
		}
	}
	return out
}

// under returns the largest magnitude of every component under an action, times a factor, that points
// along n, or any way when n is nil, beside what stands.
func (r *memberReach) under(action int, factor float64, n *[3]float64, beside *spans) (out spans) {
	of := r.of(action)
	out = *beside
	for c := range out {
		if n == nil {
			sum := 0.0
			for d := range of {
				m := of[d][c].magnitude()
				sum += m * m
			}
			out[c].add(-factor*math.Sqrt(sum), factor*math.Sqrt(sum))
			continue
		}
		for d := range of {
			t := of[d][c].times(factor * n[d])
			out[c].add(t.low, t.high)
		}
	}
	return out
}

// appendWays appends the spans of every way in which an action may point.
func (r *memberReach) appendWays(dst []spans, action int, factor float64, beside *spans) []spans {
	ways := r.a.Actions[action].fixed
	if ways == nil {
		return append(dst, r.under(action, factor, nil, beside))
	}
	for i := range ways {
		dst = append(dst, r.under(action, factor, &ways[i], beside))
	}
	return dst
}

// append appends the spans of every mixture that counts for a query.
func (r *memberReach) append(dst []spans, q *Query) []spans {
	a := r.a
	if q.Level != Service {
		for _, c := range a.alone[q.Level] {
			s := r.still[0]
			for k := range s {
				s[k] = s[k].times(c.Permanent)
			}
			dst = append(dst, s)
		}
	}
	acts := &a.acting[q.Level]
	for i := range acts.fields {
		if x := &acts.fields[i]; q.takes(x) {
			dst = append(dst, r.standing(x))
		}
	}
	for i := range acts.placed {
		for k := range acts.placed[i] {
			if x := &acts.placed[i][k]; q.takes(x) {
				beside := r.standing(x)
				dst = r.appendWays(dst, i, x.combination.Variable, &beside)
			}
		}
	}
	for i := range a.pairs {
		pr := &a.pairs[i]
		for k := range pr.mixtures[q.Level] {
			if x := &pr.mixtures[q.Level][k]; q.takes(x) {
				beside := r.standing(x)
				for _, s := range r.appendWays(nil, pr.first, x.combination.Variable, &beside) {
					dst = r.appendWays(dst, pr.second, x.combination.Beside.Terms[x.second].Factor, &s)
				}
			}
		}
	}
	return dst
}

// all returns the spans of every mixture that counts for a query: where every one does they are worked out
// once.
func (r *memberReach) all(q *Query) []spans {
	if q.Only != nil || q.Sets != nil {
		r.a.some = r.append(r.a.some[:0], q)
		return r.a.some
	}
	l := &r.levels[q.Level]
	if !l.known {
		l.known, l.all = true, r.append(l.all, q)
	}
	return l.all
}

// beats reports whether some measure of a query may be above what is known of it.
func (r *memberReach) beats(q *Query, known []crest) bool {
	all := r.all(q)
	for i := range all {
		for m := range q.Measures {
			if Beats(r.a.most(&q.Measures[m], &all[i]), known[m].value) {
				return true
			}
		}
	}
	return false
}

// most bounds a measure over spans.
func (a *Analysis) most(m *Measure, over *spans) float64 {
	var low, high components
	for k := range over {
		low[k], high[k] = over[k].low, over[k].high
	}
	if m.Range != nil {
		a.span = [2]State{low.state(), high.state()}
		return m.Range(&a.span[0], &a.span[1])
	}
	for k := range high {
		high[k] = max(-low[k], high[k])
	}
	a.trial = high.state()
	return m.bound(&a.trial)
}

// open returns the queries with the measures of those alone that may find something on a member, or at a
// joint, above what is known; none at all where no query may.
func (a *Analysis) open(p *Probe, queries []Query, known [][]crest) []Query {
	if !isBounded(known) {
		return queries
	}
	r := a.reachOf(p)
	if !r.even {
		return queries
	}
	a.opened = append(a.opened[:0], queries...)
	open := false
	for q := range queries {
		if isKnown(known[q]) && !r.beats(&queries[q], known[q]) {
			a.opened[q].Measures = nil
			continue
		}
		open = true
	}
	if !open {
		return nil
	}
	return a.opened
}

// isBounded reports whether something is known of every measure of some query.
func isBounded(known [][]crest) bool {
	return slices.ContainsFunc(known, isKnown)
}

func isKnown(known []crest) bool {
	for m := range known {
		if !known[m].known {
			return false
		}
	}
	return true
}

// crests returns what is known of the best so far.
func (a *Analysis) crests(queries []Query, best [][]Placed) [][]crest {
	a.known = shaped(a.known, queries)
	for q := range best {
		for m := range best[q] {
			a.known[q][m] = crest{best[q][m].Value, best[q][m].floored}
		}
	}
	return a.known
}
