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

// span is the least and the largest value of a component.
type span struct{ low, high float64 }

func (r *span) take(of span) {
	if of.low < r.low {
		r.low = of.low
	}
	if of.high > r.high {
		r.high = of.high
	}
}

// or returns the span of either of two.
func (r span) or(other span) span {
	r.take(other)
	return r
}

func (r span) plus(other span) span { return span{r.low + other.low, r.high + other.high} }

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

// actReach is how far an action of one direction, under its own size, moves the components of a member:
// anywhere on it, at its start and at its end, and by how much more than in proportion between these. No span lies
// beyond 0: a load may stand away.
type actReach struct{ whole, start, end, more spans }

// take takes what a point load does to a component at both ends, and beyond that between them.
func (r *actReach) take(c int, start, end, more span) {
	r.whole[c].take(start.or(end).plus(more))
	r.start[c].take(start)
	r.end[c].take(end)
	r.more[c].take(more)
}

// holds reports whether that is no more than what is known of the component anywhere.
func (r *actReach) holds(c int, start, end, more span) bool {
	of := start.or(end).plus(more)
	return of.low >= r.whole[c].low && of.high <= r.whole[c].high
}

// bulge is a bound of what a load or an end moment does at a part of a member beyond the straight line between
// its ends, over the most that it does anywhere: the steepest, under an end moment, is ξ (1 - ξ²) 3√3/2.
func bulge(part float64) float64 { return min(1, 5.2*part*(1-part)) }

// at bounds the components at a part of the member. Forces jump under a load on it: of them no more is known than
// anywhere.
func (r *actReach) at(part float64) spans {
	out, high := r.whole, bulge(part)
	for c := cMy; c < nState; c++ {
		low := (1-part)*r.start[c].low + part*r.end[c].low + high*r.more[c].low
		most := (1-part)*r.start[c].high + part*r.end[c].high + high*r.more[c].high
		out[c] = span{max(out[c].low, low), min(out[c].high, most)}
	}
	return out
}

// spans returns components as they are as spans.
func (c *components) spans() (out spans) {
	for k, v := range c {
		out[k] = span{v, v}
	}
	return out
}

// bounds are spans as states: the least and the largest of every component, and its largest magnitude.
type bounds struct{ least, most, size State }

func (r *spans) bounds() bounds {
	var low, high, size components
	for c := range r {
		low[c], high[c] = r[c].low, r[c].high
		if size[c] = high[c]; -low[c] > size[c] {
			size[c] = -low[c]
		}
	}
	return bounds{low.state(), high.state(), size.state()}
}

// memberReach is how far the components of a member, or of a joint, may go.
type memberReach struct {
	a      *Analysis
	p      *Probe
	even   bool       // what stands everywhere does so evenly along it: else nothing is known of it
	still  []spans    // of what stands everywhere, unfactored
	acts   []actReach // of each action and direction
	here   []spans    // of the directions of one action, at a station
	first  []int      // of each action: where its directions start
	ready  []bool     // which actions have theirs
	levels [levelCount]levelReach
}

// levelReach is what a member may come to at a level under every mixture, once it is asked for.
type levelReach struct {
	known bool
	all   []bounds
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
			r.acts = append(r.acts, actReach{})
		}
	}
}

// of returns the reach of an action, one a direction.
func (r *memberReach) of(action int) []actReach {
	out := r.acts[r.first[action]:][:len(r.a.Actions[action].basis)]
	if !r.ready[action] {
		r.ready[action] = true
		for d := range out {
			out[d] = r.a.reachUnder(r.p, action, d)
		}
	}
	return out
}

// at returns the spans of an action at a station, one a direction, good until the next call.
func (r *memberReach) at(action int, s float64) []spans {
	r.here = r.here[:0]
	for _, of := range r.of(action) {
		r.here = append(r.here, of.at(s/r.p.Length))
	}
	return r.here
}

// anywhere returns the same all along the member.
func (r *memberReach) anywhere(action int) []spans {
	r.here = r.here[:0]
	for _, of := range r.of(action) {
		r.here = append(r.here, of.whole)
	}
	return r.here
}

// along returns the reach of a member, nil where nothing is known of it. Of a joint, which has one section, open says all.
func (a *Analysis) along(p *Probe) *memberReach {
	if p.member < 0 {
		return nil
	}
	if r := a.reachOf(p); r.even {
		return r
	}
	return nil
}

// mayRaise reports whether an action with these spans, times a factor, may raise the best of a measure beside what
// stands.
func (a *Analysis) mayRaise(action int, of []spans, factor float64, beside *spans, queries []asked) bool {
	for _, q := range queries {
		if slices.ContainsFunc(q.best[:len(q.measures)], func(p Placed) bool { return !p.floored }) {
			return true
		}
	}
	return a.someWay(action, func(n *[3]float64) bool {
		spans := under(of, factor, n, beside)
		over := spans.bounds()
		for _, q := range queries {
			for m := range q.measures {
				if q.best[m].better(a.most(&q.measures[m], &over)) {
					return true
				}
			}
		}
		return false
	})
}

// someWay reports whether something holds for a way in which an action may point, nil standing for any.
func (a *Analysis) someWay(action int, holds func(n *[3]float64) bool) bool {
	ways := a.Actions[action].fixed
	if ways == nil {
		return holds(nil)
	}
	for i := range ways {
		if holds(&ways[i]) {
			return true
		}
	}
	return false
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

// reachUnder returns the reach of an action along one of its directions: of a point load at any place, of
// a line load over any lengths. Stretches are taken outwards from the one nearest to the member, where a point load
// does most: one off the member is looked at closely only where it may do more.
func (a *Analysis) reachUnder(p *Probe, action, d int) (r actReach) {
	l, act, chain := a.under(p, action), a.Actions[action], a.chains[action]
	a.toEnds[0].set(p, l.active, 0, nState)
	a.toEnds[1].set(p, l.active, p.Length, nState)
	near, felt := a.nearest(p, l, chain), a.feltAtEnds()
	for i := range l.end - l.first {
		if i == closeBy && act.Point && len(felt) > 0 {
			if felt = a.takeFar(&r, p, l, action, d, near, felt); len(felt) == 0 {
				break
			}
		}
		st := outwards(near, i, l.first, l.end)
		if len(chain.Parts(st)) == 0 {
			continue // a gap
		}
		from, to := chain.Ends(st)
		size := act.Value // over lengths
		if act.Point {
			size = act.sizeAt(from)
		}
		on := stretchReach{p: p, own: l.within(p, st), length: to - from, f: times(size, act.basis[d]), to: &a.toEnds, lines: a.timesLines(size, l.of(st, d))}
		switch {
		case !act.Point:
			on.line(&r)
		case on.own != nil:
			on.pointOn(&r)
		default:
			on.pointOff(&r, felt)
		}
	}
	if !act.Point {
		for c := range r.whole {
			r.whole[c] = r.start[c].or(r.end[c]).plus(r.more[c])
		}
	}
	return r
}

// closeBy is how many stretches are looked at one by one before those further off are looked at together.
const closeBy = 3

// takeFar takes a point load on any of the stretches from the place closeBy outwards into the reach, by the spans of what
// it does to the member's start on any of them. It leaves the components that may come to more so than what is known of
// them, with the moments that movements follow from, and all of them where such a stretch is on the member.
func (a *Analysis) takeFar(into *actReach, p *Probe, l *startLines, action, d, near int, felt []int) (left []int) {
	act, chain := a.Actions[action], a.chains[action]
	var room [nStart]span
	hulls := room[:len(l.active)]
	for i := closeBy; i < l.end-l.first; i++ {
		st := outwards(near, i, l.first, l.end)
		if len(chain.Parts(st)) == 0 {
			continue // a gap
		}
		if l.within(p, st) != nil {
			return felt
		}
		from, to := chain.Ends(st)
		size, lines := act.sizeAt(from), l.of(st, d)
		for k := range hulls {
			hulls[k].take(hullOf(bernstein(&lines[k], to-from)).times(size))
		}
	}
	var start, end, more spans
	for _, c := range felt {
		start[c], end[c] = a.toEnds[0].span(c, hulls), a.toEnds[1].span(c, hulls)
	}
	p.curves(&more, beyondZero(start[cMy], end[cMy]), beyondZero(start[cMz], end[cMz]), solver.Vec{}, 0, 0)
	left = a.left[:0]
	for k := len(felt) - 1; k >= 0; k-- {
		c := felt[k]
		bends := (c == cMy || c == cMz) && len(left) > 0 // which tells of movements that are left
		if !bends && start[c].or(end[c]).plus(more[c]).magnitude() <= into.whole[c].magnitude() {
			into.take(c, start[c], end[c], more[c])
		} else {
			left = append(left, c)
		}
	}
	a.left = left
	slices.Reverse(left)
	return left
}

// within returns a stretch on a member past which the member has sections: not one off it, nor the rigid arm beyond its end.
func (l *startLines) within(p *Probe, stretch int) *ownStretch {
	if own := l.ownOf(stretch); own != nil && own.at < p.Length-sameSpot {
		return own
	}
	return nil
}

// feltAtEnds returns the components that the start of the member in hand moves at one of its ends, or between them.
func (a *Analysis) feltAtEnds() []int {
	a.felt = a.felt[:0]
	ends := &a.toEnds
	bends := ends[1].count[cMy]+ends[1].count[cMz] > 0
	for c := range nState {
		if ends[0].count[c]+ends[1].count[c] > 0 || bends && c >= cAlong {
			a.felt = append(a.felt, c)
		}
	}
	return a.felt
}

// nearest returns the stretch nearest to a member, or to a joint, of those that are felt there.
func (a *Analysis) nearest(p *Probe, l *startLines, chain *solver.Chain) int {
	if len(l.own) > 0 {
		return l.own[0].stretch
	}
	x := p.From
	if p.Post >= 0 {
		x = a.Definition.Run.Posts[p.Post]
	}
	return endingBeyond(chain, l.first, l.end-1, x)
}

// outwards returns the i-th of the places from first to before end, outwards from one of them by turns.
func outwards(from, i, first, end int) int {
	switch before, after := from-first, end-1-from; {
	case i > 2*after:
		return end - 1 - i
	case i > 2*before:
		return first + i
	case i%2 == 1:
		return from + (i+1)/2
	}
	return from - i/2
}

// timesLines returns lines under a load of a size, good until the next call.
func (a *Analysis) timesLines(size float64, of [][4]float64) [][4]float64 {
	a.sizedLines = append(a.sizedLines[:0], of...)
	for k := range a.sizedLines {
		for i := range a.sizedLines[k] {
			a.sizedLines[k][i] *= size
		}
	}
	return a.sizedLines
}

// stretchReach is one stretch of an action's chain, seen from the ends of a member under a load, N or N/m.
type stretchReach struct {
	p      *Probe
	own    *ownStretch
	length float64
	f      solver.Vec // the load
	to     *[2]carriage
	lines  [][4]float64 // of the member's start
}

// carry returns the cubics at both ends from those of the member's start.
func (s *stretchReach) carry() (start, end [nState][4]float64) {
	for c := range nState {
		start[c], end[c] = s.to[0].cubic(c, s.lines), s.to[1].cubic(c, s.lines)
		if s.own != nil && (c != cSpan || s.p.bay > 0) {
			s.p.passCubic(&end[c], c, s.f, s.own, s.p.Length)
		}
	}
	return start, end
}

// pointOff takes a point load on a stretch off the member into the reach: a component as closely as Bernstein
// coefficients tell it where it goes no further than what is known of it anywhere, else by its extremes.
func (s *stretchReach) pointOff(into *actReach, felt []int) {
	var room [nStart][4]float64
	hulls := room[:len(s.lines)]
	for k := range hulls {
		hulls[k] = bernstein(&s.lines[k], s.length)
	}
	var start, end, more spans
	bent := false
	for _, c := range felt {
		if c >= cAlong && !bent {
			bent = true
			s.p.curves(&more, beyondZero(start[cMy], end[cMy]), beyondZero(start[cMz], end[cMz]), solver.Vec{}, 0, 0)
		}
		varies := s.p.member >= 0 && c >= cMy // along the member
		start[c] = hullOf(s.to[0].cubic(c, hulls))
		end[c] = start[c]
		if varies {
			end[c] = hullOf(s.to[1].cubic(c, hulls))
		}
		if !into.holds(c, start[c], end[c], more[c]) {
			start[c] = s.extremes(0, c)
			end[c] = start[c]
			if varies {
				end[c] = s.extremes(1, c)
			}
		}
		into.take(c, start[c], end[c], more[c])
	}
}

// extremes returns the span of a component at an end of the member.
func (s *stretchReach) extremes(end, c int) span {
	k := s.to[end].cubic(c, s.lines)
	return cubicExtremes(&k, s.length)
}

// hullOf returns the span of some Bernstein coefficients.
func hullOf(b [4]float64) span {
	r := span{b[0], b[0]}
	for _, v := range b[1:] {
		r.take(span{v, v})
	}
	return r
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

// pointOn takes a point load on a stretch that is on the member into the reach.
func (s *stretchReach) pointOn(into *actReach) {
	starts, ends := s.carry()
	var start, end, more spans
	for c := range nState {
		start[c], end[c] = cubicExtremes(&starts[c], s.length), cubicExtremes(&ends[c], s.length)
	}
	l, f := s.p.Length, s.force()
	s.p.curves(&more, beyondZero(start[cMy], end[cMy]), beyondZero(start[cMz], end[cMz]), f, l*l*l/48, l/4)
	for c := range nState {
		into.take(c, start[c], end[c], more[c])
	}
	for _, m := range [2]struct {
		c, v    int
		sign, q float64
	}{{cMy, cVz, 1, f[2]}, {cMz, cVy, -1, -f[1]}} {
		into.whole[m.c].take(underLoadSpan(&starts[m.c], &starts[m.v], m.sign, s.own.at, s.length))
		bow := m.q * l / 4
		into.more[m.c].take(span{min(bow, 0), max(bow, 0)})
	}
}

// beyondZero returns the sum of two spans, of each what lies beyond 0 either way.
func beyondZero(a, b span) span {
	return span{min(a.low, 0) + min(b.low, 0), max(a.high, 0) + max(b.high, 0)}
}

// line adds a line load over any part of the stretch to the sums at both ends, and to what
// it does between them.
func (s *stretchReach) line(into *actReach) {
	starts, ends := s.carry()
	var my, mz span
	for c := range nState {
		a, b := cubicReach(&starts[c], s.length), cubicReach(&ends[c], s.length)
		into.start[c].add(a.low, a.high)
		into.end[c].add(b.low, b.high)
		if s.own != nil && c <= cT { // some of the load lies before the section, some after
			into.more[c].add(min(a.low, b.low), max(a.high, b.high))
		}
		switch c {
		case cMy:
			my = span{a.low + b.low, a.high + b.high}
		case cMz:
			mz = span{a.low + b.low, a.high + b.high}
		}
	}
	l, f := s.p.Length, s.force()
	s.p.curves(&into.more, my, mz, f, 5*l*l*l*l/384, l*l/8)
	for _, m := range [2]struct {
		c int
		q float64
	}{{cMy, f[2]}, {cMz, -f[1]}} {
		bow := m.q * l * l / 8
		into.more[m.c].add(min(bow, 0), max(bow, 0))
	}
}

// cubicExtremes returns the least and the largest value of a cubic over a length from its start.
func cubicExtremes(k *[4]float64, length float64) span {
	if *k == ([4]float64{}) {
		return span{}
	}
	if isMonotone(k, length) {
		a, b := k[0], k[0]+length*(k[1]+length*(k[2]+length*k[3]))
		return span{min(a, b), max(a, b)}
	}
	piece := solver.Piece{To: length, Coeffs: [][4]float64{*k}}
	low, high := extremes(&piece, 0)
	return span{low, high}
}

// cubicReach bounds the integral of a cubic over any part of a length, as solver.Line.Reach does.
func cubicReach(k *[4]float64, length float64) (r span) {
	l := length
	for _, b := range bernstein(k, l) {
		r.add(min(b, 0)*l/4, max(b, 0)*l/4)
	}
	return r
}

// bernstein returns the coefficients of a cubic over a length in Bernstein form: it lies between the least and the
// largest of them.
func bernstein(k *[4]float64, l float64) [4]float64 {
	return [4]float64{k[0], k[0] + l*k[1]/3, k[0] + l*(2*k[1]+l*k[2])/3, k[0] + l*(k[1]+l*(k[2]+l*k[3]))}
}

// underLoadSpan bounds a moment under a load as it moves over a length of the member from station at: the
// moment at the start and sign times the shear there, times the station. Both are cubics, so that this
// is of the fourth degree: its Bernstein coefficients over each quarter bound it.
func underLoadSpan(moment, shear *[4]float64, sign, at, length float64) span {
	var q [5]float64
	for i := range 4 {
		q[i] += moment[i] + sign*at*shear[i]
		q[i+1] += sign * shear[i]
	}
	const parts = 4
	h := length / parts
	low, high := math.Inf(1), math.Inf(-1)
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
	return span{low, high}
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

// under returns the spans of an action, given those of its directions, times a factor, that points along n, or
// any way when n is nil, beside what stands.
func under(of []spans, factor float64, n *[3]float64, beside *spans) (out spans) {
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

// appendWays appends the spans of every way in which an action may point, anywhere on the member.
func (r *memberReach) appendWays(dst []spans, action int, factor float64, beside *spans) []spans {
	of := r.anywhere(action)
	r.a.someWay(action, func(n *[3]float64) bool {
		dst = append(dst, under(of, factor, n, beside))
		return false
	})
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

// all returns the bounds of every mixture that counts for a query: where every one does they are worked out
// once.
func (r *memberReach) all(q *Query) []bounds {
	if q.Only != nil || q.Sets != nil {
		r.a.someBounds = r.appendBounds(r.a.someBounds[:0], q)
		return r.a.someBounds
	}
	l := &r.levels[q.Level]
	if !l.known {
		l.known, l.all = true, r.appendBounds(l.all, q)
	}
	return l.all
}

func (r *memberReach) appendBounds(dst []bounds, q *Query) []bounds {
	r.a.some = r.append(r.a.some[:0], q)
	dst = slices.Grow(dst, len(r.a.some))
	for i := range r.a.some {
		dst = append(dst, r.a.some[i].bounds())
	}
	return dst
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
func (a *Analysis) most(m *Measure, over *bounds) float64 {
	if m.Range != nil {
		a.span = [2]State{over.least, over.most}
		return m.Range(&a.span[0], &a.span[1])
	}
	a.trial = over.size
	return m.bound(&a.trial)
}

// open returns the queries with the measures of those alone that may find something on a member, or at a
// joint, above what is known; none at all where no query may.
func (a *Analysis) open(p *Probe, queries []Query, known [][]crest) []Query {
	if len(queries) == 0 {
		return nil
	}
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
