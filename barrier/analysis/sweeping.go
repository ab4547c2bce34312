package analysis

import (
	"math"
	"slices"
)

// sweeping is the search of one measure for the worst load that turns: a hill
// over its ways, with lengths adverse to the slope in hand.
type sweeping struct {
	*hunt
	w     *sweep
	m     int
	slope components
	here  [3]float64
	stood components // with what stands whatever the action does

	value    float64 // of the best so far
	best     swept
	topValue float64 // of the best of the climb in hand
	top      swept
}

// sweep offers the worst way and lengths of a line load that turns.
func (h *hunt) sweep(m int) {
	w := h.sweepOf()
	h.a.trial = h.most(w)
	if len(w.active) == 0 || !h.best[m].better(h.measures[m].bound(&h.a.trial)) {
		return
	}
	s := sweeping{hunt: h, w: w, m: m, value: math.Inf(-1)}
	starts := s.look()
	switch {
	case len(starts) == 0: // nothing arrives here
		return
	case h.how == coarse:
		s.climbFrom(&starts[0], few)
	default:
		s.summits(starts)
	}
	s.take()
}

// most returns the largest magnitude of every component.
func (h *hunt) most(w *sweep) State {
	var c components
	for k := range c {
		c[k] = math.Abs(h.added[k]) + h.combination.Variable*w.limit[k]
	}
	return c.state()
}

// take keeps the best load found.
func (s *sweeping) take() {
	if !s.hunt.best[s.m].better(s.value) {
		return
	}
	c := s.with(&s.best)
	s.w.lean(&s.best.slope)
	s.w.stand(&s.best.n)
	lengths, whole := s.w.lengths()
	s.keep(s.m, spot{value: s.value, n: s.best.n, lengths: lengths, whole: whole, state: c.state()})
}

// with returns the components under a load and what stands with it.
func (s *sweeping) with(l *swept) components {
	c := s.added
	for _, k := range s.w.active {
		c[k] += s.combination.Variable * l.unit[k]
	}
	return c
}

func (s *sweeping) valueOf(c *components) float64 {
	s.a.trial = c.state()
	return s.measures[s.m].Of(&s.a.trial)
}

// offer takes a load as the best when it is, and returns its value.
func (s *sweeping) offer(l *swept) float64 {
	c := s.with(l)
	v := s.valueOf(&c)
	if v > s.value {
		s.value, s.best = v, *l
	}
	return v
}

// look offers the loads to begin with, and returns the best of them: those of
// the section, and those adverse to the measure's own mix of components.
func (s *sweeping) look() []swept {
	alone := s.alone()
	var counts [nState]bool
	none := true
	for _, k := range s.w.active {
		counts[k] = !(alone[k] <= 0)
		none = none && !counts[k]
	}
	if none { // components that count only together
		for k := range counts {
			counts[k] = true
		}
	}
	pool := s.w.loads(&counts)
	mixed := s.mixed(&alone, pool)
	type valued struct {
		value float64
		load  int // 2 i of the i-th, 2 i + 1 of its opposite
	}
	var top [4]valued
	for i := range top {
		top[i].value = math.Inf(-1)
	}
	all := func(i int) *swept {
		if i < len(pool) {
			return &pool[i]
		}
		return &mixed[i-len(pool)]
	}
	values := make([]float64, 2*(len(pool)+len(mixed)))
	for i := range values {
		l := *all(i / 2)
		if i%2 == 1 {
			l = l.turned()
		}
		v := s.offer(&l)
		values[i] = v
		for j := range top {
			if v > top[j].value {
				copy(top[j+1:], top[j:])
				top[j] = valued{v, i}
				break
			}
		}
	}
	var out []swept
	take := func(i int) {
		l := *all(i / 2)
		if i%2 == 1 {
			l = l.turned()
		}
		out = append(out, l)
	}
	for _, t := range top {
		if !math.IsInf(t.value, -1) {
			take(t.load)
		}
	}
	// Of those that are mixed each may lie below a top of its own.
	for i := 2 * len(pool); i < 2*(len(pool)+len(mixed)); i++ {
		if values[i] > 0.8*s.value && !slices.ContainsFunc(top[:], func(t valued) bool { return t.load == i }) {
			take(i)
		}
	}
	return out
}

// alone returns what each component alone can add to the measure.
func (s *sweeping) alone() (gain components) {
	base := s.valueOf(&s.added)
	for _, k := range s.w.active {
		for _, sign := range [2]float64{1, -1} {
			c := s.added
			c[k] += sign * s.combination.Variable * s.w.limit[k]
			gain[k] = max(gain[k], s.valueOf(&c)-base)
		}
	}
	return gain
}

// mixed returns loads adverse to several components at once, each weighed by what
// it alone can add to the measure: the three that count most, their signs in
// every way. A power of a component has no slope where it vanishes, so slopes
// alone would not bring it in.
func (s *sweeping) mixed(alone *components, pool []swept) []swept {
	type share struct {
		k    int
		gain float64
	}
	var top [3]share
	for _, k := range s.w.active {
		x := share{k, alone[k]}
		for j := range top {
			if x.gain > top[j].gain {
				x, top[j] = top[j], x
			}
		}
	}
	least := 1e-6
	if s.how == coarse {
		least = 0.01
	}
	count := 0
	for count < len(top) && top[count].gain > least*top[0].gain && !math.IsInf(top[count].gain, 0) {
		count++
	}
	if count < 2 || count == 2 && pairOf(top[0].k, top[1].k) {
		return nil
	}
	var starts [][3]float64
	for i := range pool {
		for _, t := range top[:count] {
			n := &pool[i].n
			if pool[i].slope[t.k] != 0 && !slices.ContainsFunc(starts, func(o [3]float64) bool { return math.Abs(inner(&o, n)) > 0.98 }) {
				starts = append(starts, *n)
				break
			}
		}
	}
	if s.how == fine {
		starts = s.tilted(starts, top[0].k, top[1].k, top[2].k)
	}
	var out []swept
	for signs := range 1 << (count - 1) {
		var slope components
		for j, t := range top[:count] {
			slope[t.k] = t.gain / s.w.limit[t.k]
			if j > 0 && signs>>(j-1)&1 == 1 {
				slope[t.k] = -slope[t.k]
			}
		}
		s.w.lean(&slope)
		out = append(out, s.w.bestOf(&slope, starts))
	}
	return out
}

// tilted adds to ways to begin with that of the component that counts most, tilted
// a little towards those of two others, to either side. Where a load far off gives
// nothing of the first but some of another, it stands there for one tilt and not
// for its opposite, and no step leads from the one to the other.
func (s *sweeping) tilted(starts [][3]float64, first int, others ...int) [][3]float64 {
	n := s.w.adverseTo(first)[0].n
	for _, k := range others {
		if s.w.limit[k] == 0 {
			continue
		}
		for _, e := range s.w.adverseTo(k) {
			for _, by := range [6]float64{0.15, -0.15, 0.02, -0.02, 0.002, -0.002} {
				starts = append(starts, unit(plusTimes(&n, by, &e.n)))
			}
		}
	}
	return starts
}

// pairOf reports whether two components are those of a resultant, for which the
// section has loads already.
func pairOf(x, y int) bool {
	pairs := resultants()
	return slices.Contains(pairs[:], [2]int{min(x, y), max(x, y)})
}

// climbFrom climbs from a load to the top above it, and returns the load there.
func (s *sweeping) climbFrom(l *swept, steps int) swept {
	s.slope = l.slope
	s.w.lean(&s.slope)
	s.top, s.topValue = *l, math.Inf(-1)
	ascend(s, l.n, steps)
	return s.top
}

func (s *sweeping) at(n *[3]float64) float64 {
	s.here = *n
	s.w.stand(n)
	l := swept{slope: s.slope, n: *n, unit: s.w.unit(n)}
	s.stood = s.with(&l)
	v := s.valueOf(&s.stood)
	if v > s.topValue {
		s.topValue, s.top = v, l
	}
	if v > s.value {
		s.value, s.best = v, l
	}
	return v
}

// lean takes the measure's slope where the load stands, and turns the load with
// it.
func (s *sweeping) lean() (n [3]float64, ok bool) {
	at := s.stood
	var slope components
	for _, k := range s.w.active {
		step := 1e-6 * (math.Abs(at[k]) + s.combination.Variable*s.w.limit[k])
		if step == 0 {
			continue
		}
		up, down := at, at
		up[k] += step
		down[k] -= step
		if d := (s.valueOf(&up) - s.valueOf(&down)) / (2 * step); usable(d) {
			slope[k], ok = d, true
		}
	}
	if !ok {
		return n, false
	}
	s.slope = slope
	s.w.lean(&s.slope)
	n = s.here
	for range 2 {
		to := s.w.stand(&n)
		if to == ([3]float64{}) {
			return n, false
		}
		n = unit(to)
	}
	return n, true
}

// still returns the fan of the load on the lengths it stands on.
func (s *sweeping) still() *fan {
	f := &fan{a: s.a, of: s.measures[s.m].Of, nd: s.w.nd, base: s.added}
	for d := range f.nd {
		var n [3]float64
		n[d] = 1
		by := s.w.unit(&n)
		f.by[d] = scaled(&by, s.combination.Variable)
	}
	return f
}

// summits climbs from each start to the top above it, looks around from the
// highest, and from each top beyond where the measure jumps.
func (s *sweeping) summits(starts []swept) {
	var tops []swept
	for i := range starts {
		top := s.climbFrom(&starts[i], enough)
		if !slices.ContainsFunc(tops, func(o swept) bool { return inner(&o.n, &top.n) > 1-1e-6 }) {
			tops = append(tops, top)
		}
	}
	s.resume()
	summit(s, s.best.n, s.w.nd)
	s.folds()
	tops = append(tops, s.best)
	for i := range tops {
		for _, k := range s.w.active {
			for _, sign := range [2]float64{1, -1} {
				reach := sign * (math.Abs(s.added[k]) + s.combination.Variable*s.w.limit[k])
				if s.w.limit[k] > 0 && jumps(s.valueOf, s.with(&tops[i]), k, reach) {
					s.trade(&tops[i], k, sign)
				}
			}
		}
	}
}

// folds tries, from the best load, to bring in each component that hardly acts
// there, either way: its size has no slope where it vanishes, and which of the far
// lengths bring it in depends on which way the load tilts.
func (s *sweeping) folds() {
	alone, top := s.alone(), s.best
	for _, k := range s.w.active {
		limit := s.w.limit[k]
		if limit == 0 || math.Abs(top.unit[k]) > 0.3*limit || !(alone[k] > 1e-4*math.Abs(s.value)) || math.IsInf(alone[k], 0) {
			continue
		}
		toward := s.w.adverseTo(k)[0].n
		fold := unit(plusTimes(&top.n, -inner(&top.n, &toward), &toward))
		starts := [2][3]float64{unit(plusTimes(&fold, 0.02, &toward)), unit(plusTimes(&fold, -0.02, &toward))}
		for _, sign := range [2]float64{1, -1} {
			slope := top.slope
			slope[k] = sign * alone[k] / limit
			for i := range starts {
				s.w.lean(&slope)
				l, _ := s.w.settle(&slope, starts[i], 6)
				if s.offer(&l) > 0.98*s.value {
					s.climbFrom(&l, enough)
				}
			}
		}
	}
}

// resume stands at the best again.
func (s *sweeping) resume() {
	s.slope = s.best.slope
	s.w.lean(&s.slope)
	s.at(&s.best.n)
}

// trade gives up some of the measure's slope at a load for more of one component,
// from none to all, and looks for the edge of a jump on the way: ways and lengths
// are at each step those that give the most of the one for the least of the other.
func (s *sweeping) trade(l *swept, k int, sign float64) {
	rest := l.slope
	rest[k] = 0
	gain := 0.0
	for _, j := range s.w.active {
		gain += rest[j] * l.unit[j]
	}
	if !(gain > 0) {
		return
	}
	n, last := l.n, *l
	at := func(part float64) float64 {
		sin, cos := math.Sincos(part * math.Pi / 2)
		var slope components
		for j := range slope {
			slope[j] = cos * rest[j]
		}
		slope[k] = sign * sin * gain / s.w.limit[k]
		s.w.lean(&slope)
		last, _ = s.w.settle(&slope, n, 6)
		n = last.n
		return s.offer(&last)
	}
	const steps = 20
	before, fall := at(0), 0.0
	for i := range steps {
		from, to := float64(i)/steps, float64(i+1)/steps
		v := at(to)
		// Without a jump the measure falls about as much as in the step before.
		if v-before > -0.5*fall && v+3*fall > 0.7*s.value {
			beyond := last
			if part := edge(at, from, to); at(part) > v {
				beyond = last
			}
			s.climbOver(&beyond)
			n = beyond.n
		}
		before, fall = v, max(0, before-v)
	}
}

// climbOver climbs from a load, and by trial where it comes to an edge.
func (s *sweeping) climbOver(l *swept) {
	s.slope = l.slope
	s.w.lean(&s.slope)
	up(s, l.n, s.w.nd)
}

// polishSwept moves the section under a line load that turns, which finds its way
// and lengths again at each place.
func (a *Analysis) polishSwept(m *Measure, best *Placed) {
	i := a.indexOf(best.Placement.Action)
	found := []Placed{*best}
	stands := a.standsBeside(nil, best.Probe, best.Combination, &best.Placement, best.Beside)
	hunting := func(s float64) *hunt {
		h := &hunt{a: a, v: a.section(best.Probe, s, i), combination: best.Combination, beside: best.Beside, measures: []Measure{*m}, best: found, visit: &visit{}}
		h.added = best.Probe.addedAt(stands, s)
		return h
	}
	var last swept // where the load stood at the section before
	var room *sweep
	follow := func(s float64) float64 {
		h := hunting(s)
		if last.n != ([3]float64{}) { // limits are a scale here, and hardly move
			h.swept = newSweep(h.v, room)
			h.swept.limit = room.limit
		}
		w := sweeping{hunt: h, w: h.sweepOf(), value: math.Inf(-1)}
		room = w.w
		if last.n == ([3]float64{}) {
			for _, l := range w.look() {
				w.climbFrom(&l, few)
			}
		} else {
			w.climbFrom(&last, enough)
		}
		last = w.best
		return w.value
	}
	s, gained := climbOn(follow, best.Station, 0, best.Probe.Length, best.Probe.Length/4)
	if !gained {
		s = best.Station // what stands there was found by a coarse search
	}
	hunting(s).sweep(0)
	*best = found[0]
}
