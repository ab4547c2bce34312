package analysis

import (
	"math"
	"slices"
)

// Two loads that are placed together, at one section: each is placed where it is worst with
// the other as it stands, in turn, until neither gains. Of a response that is linear each is
// at its worst at once, whatever the other does; of a utilisation it is an ascent, begun from
// what is extreme for each component and for two at a time, of both loads.

// partner is one of two loads that are placed together, seen at a section.
type partner struct {
	section
	visit   *visit
	bound   bool
	most    components // no way to stand moves a component by more
	ready   bool
	stances []components // extreme ways to stand, unfactored
}

// begin readies a partner for another section, in the room of the last.
func (p *partner) begin(v *visit) {
	p.visit, p.bound, p.most, p.ready, p.stances = v, false, components{}, false, p.stances[:0]
}

// duo is the search of a pair in one mixture.
type duo struct {
	a             *Analysis
	first, second *partner
	of            *mixture
	one           Combination // of the one that is placed while the other is held
	base          components  // what stands whatever the two do
	measures      []Measure
	how           sampling
}

// together offers what two loads do together at a station.
func (a *Analysis) together(queries []Query, best [][]Placed, how sampling) {
	for i := range a.pairs {
		pr := &a.pairs[i]
		for q := range queries {
			mixtures := pr.mixtures[queries[q].Level]
			for k := range mixtures {
				x := &mixtures[k]
				if !queries[q].takes(x) {
					continue
				}
				d := duo{a: a, first: a.partners[pr.first], second: a.partners[pr.second], of: x, base: a.added(x), measures: queries[q].Measures, how: how}
				for m := range d.measures {
					d.offer(m, &best[q][m])
				}
			}
		}
	}
}

// factors returns the factors on the two loads.
func (d *duo) factors() (first, second float64) {
	c := &d.of.combination
	return c.Variable, c.Beside.Terms[d.of.second].Factor
}

// offer takes the worst of the two loads for a measure as the best when it is.
func (d *duo) offer(m int, best *Placed) {
	d.a.trial = d.largest()
	if !best.better(d.measures[m].bound(&d.a.trial)) {
		return
	}
	for _, at := range d.starts(m, best) {
		if found := d.ascend(m, at); found.Found() && best.better(found.Value) {
			*best = found
		}
	}
}

// largest returns the largest magnitude of every component.
func (d *duo) largest() State {
	f, g := d.factors()
	first, second := d.first.mostOf(), d.second.mostOf()
	var c components
	for k := range c {
		c[k] = math.Abs(d.base[k]) + f*first[k] + g*second[k]
	}
	return c.state()
}

// starts returns what the second load does, factored, in the stances from which a climb
// begins: those that are highest with the best stance of the first.
func (d *duo) starts(m int, best *Placed) (out []components) {
	count, least := 4, 0.7
	if d.how == coarse {
		count, least = 2, 0.85
	}
	f, g := d.factors()
	straight := d.a.Definition.Run.IsStraight()
	first, second := d.first.stancesOf(straight), d.second.stancesOf(straight)
	values := make([]float64, len(second))
	for j := range values {
		with := plusFactor(&d.base, g, &second[j])
		values[j] = math.Inf(-1)
		for i := range first {
			c := plusFactor(&with, f, &first[i])
			values[j] = max(values[j], d.value(m, &c))
		}
	}
	for range min(count, len(values)) {
		top := 0
		for j := range values {
			if values[j] > values[top] {
				top = j
			}
		}
		if math.IsInf(values[top], -1) || best.floored && values[top] < least*best.Value {
			break
		}
		values[top] = math.Inf(-1)
		out = append(out, scaled(&second[top], g))
	}
	return out
}

func (d *duo) value(m int, c *components) float64 {
	d.a.trial = c.state()
	return d.measures[m].Of(&d.a.trial)
}

// ascend places the two in turn, begun with what the second does, until neither gains.
func (d *duo) ascend(m int, second components) (best Placed) {
	f, g := d.factors()
	rounds := 20
	if d.how == coarse {
		rounds = 2
	}
	for range rounds {
		beside := plusFactor(&d.base, 1, &second)
		one := d.place(d.first, f, m, &beside)
		if !one.Found() {
			break
		}
		first := one.State.components()
		first = plusFactor(&first, -1, &beside)
		beside = plusFactor(&d.base, 1, &first)
		two := d.place(d.second, g, m, &beside)
		if !two.Found() || best.Found() && !Beats(two.Value, best.Value) {
			break
		}
		best = d.join(&one, &two)
		second = two.State.components()
		second = plusFactor(&second, -1, &beside)
	}
	return best
}

// place returns the worst placement of one of the two with all else as it stands.
func (d *duo) place(of *partner, factor float64, m int, added *components) Placed {
	found := d.a.found[:]
	found[0] = Placed{}
	h := &d.a.hunt
	d.one = d.of.combination
	d.one.Variable = factor
	*h = hunt{a: d.a, v: &of.section, combination: &d.one, added: *added, measures: d.measures[m : m+1], best: found, how: d.how, visit: of.visit}
	h.place()
	return found[0]
}

// join returns two loads placed together; the state is that of the second.
func (d *duo) join(one, two *Placed) Placed {
	out := *two
	out.Combination, out.Placement, out.After = &d.of.combination, one.Placement, one.After
	out.Beside = slices.Clone(d.of.beside)
	out.Beside[d.of.second] = two.Placement
	out.Beside[d.of.second].after = two.After
	return out
}

func plusFactor(a *components, f float64, b *components) (out components) {
	for k := range out {
		out[k] = a[k] + f*b[k]
	}
	return out
}

// mostOf bounds what the load does to each component, once.
func (p *partner) mostOf() *components {
	if p.bound {
		return &p.most
	}
	p.bound = true
	if p.action.fixed == nil {
		p.most = p.reachOf(nil)
		return &p.most
	}
	for i := range p.action.fixed {
		reach := p.reachOf(&p.action.fixed[i])
		for k := range reach {
			p.most[k] = max(p.most[k], reach[k])
		}
	}
	return &p.most
}

// reachOf bounds what the load does to each component when it points along n, or any way when n
// is nil.
func (p *partner) reachOf(n *[3]float64) components {
	var reach State
	switch {
	case p.action.Point:
		reach = p.reachAnywhere(1, n, &components{})
	case n == nil:
		return p.sweep().limit
	default:
		reach = p.reachOver(1, n, &components{})
	}
	return reach.components()
}

// sweep returns the sweep of a line load that turns.
func (p *partner) sweep() *sweep {
	if p.visit.swept == nil {
		p.visit.swept = newSweep(&p.section, p.visit.done)
		p.visit.swept.setLimits()
	}
	return p.visit.swept
}

// stancesOf finds the stances of the load, once.
func (p *partner) stancesOf(straight bool) []components {
	if p.ready {
		return p.stances
	}
	p.ready = true
	slopes := p.slopes(straight)
	switch {
	case p.action.Point:
		p.standPoint(slopes)
	case p.action.fixed == nil:
		p.standSwept()
	default:
		p.standLine(slopes)
	}
	return p.stances
}

// standPoint finds the stances of a point load among the ends of each piece and the places
// at which a component is stationary.
func (p *partner) standPoint(slopes []components) {
	top := make([]components, len(slopes))
	high := make([]float64, len(slopes))
	look := func(i int, x float64, n *[3]float64) {
		st := p.at(i, x, 1, n, &components{})
		c := st.components()
		for j := range slopes {
			if v := slopes[j].dot(&c); v > high[j] {
				high[j], top[j] = v, c
			}
		}
	}
	turning := make([][3]float64, 0, 2*nState)
	lookFrom := func(i int, x float64) {
		ways := p.action.fixed
		if ways == nil {
			f := fan{nd: len(p.action.basis), by: p.fan(i, x)}
			ways = f.starts(turning[:0])
		}
		for k := range ways {
			look(i, x, &ways[k])
		}
	}
	for i := range p.sizes {
		from, _ := p.span(i)
		lookFrom(i, from)
	}
	least := slices.Clone(high) // what the starts of the pieces give: a piece whose bounds are below it has no stance
	clear(high)
	for i := range p.sizes {
		if p.mayExceed(i, slopes, least) {
			for _, x := range p.places(i) {
				lookFrom(i, x)
			}
		}
	}
	for j := range top {
		if high[j] > 0 {
			p.add(&top[j])
		}
	}
}

// mayExceed reports whether a point load on piece i can give a slope its least value.
func (p *partner) mayExceed(i int, slopes []components, least []float64) bool {
	const rounding = 1e-12
	var most components
	for w := range max(1, len(p.action.fixed)) {
		var n *[3]float64
		if p.action.fixed != nil {
			n = &p.action.fixed[w]
		}
		reach := p.reach(i, 1, n, &components{})
		for k, v := range reach.components() {
			most[k] = max(most[k], v)
		}
	}
	for j := range slopes {
		bound := 0.0
		for k, v := range most {
			bound += math.Abs(slopes[j][k]) * v
		}
		if bound >= least[j]*(1-rounding) && bound > 0 {
			return true
		}
	}
	return false
}

// span returns the ends of a piece along the chain.
func (v *section) span(i int) (from, to float64) {
	if len(v.active) == 0 {
		return v.whole.From, v.whole.To
	}
	p := &v.lines[v.active[0]].Pieces[i]
	return p.From, p.To
}

// places returns the ends of a piece and the places on it at which a component is stationary.
func (v *section) places(i int) []float64 {
	from, to := v.span(i)
	out := []float64{from, to}
	var room [2]float64
	for _, k := range v.active {
		piece := &v.lines[k].Pieces[i]
		for d := range piece.Coeffs {
			for _, t := range piece.Stationary(room[:0], d) {
				out = append(out, piece.From+t)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// standLine finds the stances of a line load with ways of its own: the whole run, and the
// lengths adverse to each component and to two together.
func (p *partner) standLine(slopes []components) {
	for i := range p.action.fixed {
		n := &p.action.fixed[i]
		patterns, sign := p.patternsAlong(n)
		for j := range patterns {
			c := scaled(&patterns[j].unit, sign)
			p.add(&c)
		}
		for j := range slopes {
			if p.counts(&slopes[j]) > 1 {
				adverse := p.adverseTo(&slopes[j], n)
				p.add(&adverse.unit)
			}
		}
	}
}

// counts returns how many active components a slope has.
func (p *partner) counts(slope *components) (n int) {
	for _, k := range p.active {
		if slope[k] != 0 {
			n++
		}
	}
	return n
}

// standSwept finds the stances of a line load that turns.
func (p *partner) standSwept() {
	var all [nState]bool
	for k := range all {
		all[k] = true
	}
	for _, l := range p.sweep().loads(&all) {
		turned := l.turned()
		p.add(&l.unit)
		p.add(&turned.unit)
	}
}

// slopes returns the directions for which stances are sought: each component either way, and
// two that count together in every quarter; axial force with bending where the run is not
// straight, for there a load across one leg presses the rails of another.
func (p *partner) slopes(straight bool) (out []components) {
	for _, k := range p.active {
		for _, sign := range [2]float64{1, -1} {
			var c components
			c[k] = sign
			out = append(out, c)
		}
	}
	pairs := [][2]int{{cMy, cMz}, {cVy, cVz}, {cN, cMy}, {cN, cMz}}
	if straight {
		pairs = pairs[:2]
	}
	most := *p.mostOf()
	if !p.action.Point && p.action.fixed != nil {
		most = p.reachOfAll()
	}
	for _, pair := range pairs {
		x, y := most[pair[0]], most[pair[1]]
		if x == 0 || y == 0 {
			continue
		}
		for _, sign := range [4][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
			var c components
			c[pair[0]], c[pair[1]] = sign[0]/x, sign[1]/y
			out = append(out, c)
		}
	}
	return out
}

func (c *components) dot(b *components) (sum float64) {
	for k := range c {
		sum += c[k] * b[k]
	}
	return sum
}

// add adds a stance that is not there yet.
func (p *partner) add(c *components) {
	if *c != (components{}) && !slices.Contains(p.stances, *c) {
		p.stances = append(p.stances, *c)
	}
}

// exchanged returns a placed load told by the one that was placed beside it.
func (p *Placed) exchanged(k int) Placed {
	out := *p
	out.Beside = slices.Clone(p.Beside)
	out.Placement, out.Beside[k] = p.Beside[k], p.Placement
	out.After, out.Beside[k].after = p.Beside[k].after, p.After
	terms := slices.Clone(p.Combination.Beside.Terms)
	c := *p.Combination
	c.Variable, c.Symbol = terms[k].Factor, terms[k].Action.Symbol
	terms[k] = Term{Action: p.Placement.Action, Factor: p.Combination.Variable}
	c.Beside = &Beside{terms}
	out.Combination = &c
	return out
}

// takeBack takes where an exchanged load has got to.
func (p *Placed) takeBack(other *Placed, k int) {
	c := p.Combination
	if c.Permanent != other.Combination.Permanent {
		changed := *c
		changed.Permanent = other.Combination.Permanent
		c = &changed
	}
	at, after := other.Placement, other.After
	*p = *other
	p.Combination, p.Beside = c, slices.Clone(other.Beside)
	p.Placement, p.Beside[k] = other.Beside[k], at
	p.After, p.Beside[k].after = other.Beside[k].after, after
}

// polishPair moves the section, and each of two loads with the other held, until nothing
// gains: where the one stays as it was the other has nothing new to meet.
func (a *Analysis) polishPair(m *Measure, best *Placed, k int) {
	for round := range 40 {
		before := best.Value
		a.polishOne(m, best)
		if round > 0 && !(best.Value-before > 1e-12*math.Abs(before)) {
			return
		}
		before = best.Value
		other := best.exchanged(k)
		a.polishOne(m, &other)
		if other.Value >= best.Value {
			best.takeBack(&other, k)
		}
		a.shiftTogether(m, best, k)
		if !(best.Value-before > 1e-12*math.Abs(before)) {
			return
		}
	}
}

// shiftTogether moves a section with two point loads that both stand at it.
func (a *Analysis) shiftTogether(m *Measure, best *Placed, k int) {
	at, beside := &best.Placement, &best.Beside[k]
	if !at.Action.Point || !beside.Action.Point || !a.standsAtSection(best.Probe, best.Station, at) || !a.standsAtSection(best.Probe, best.Station, beside) {
		return
	}
	back, on := best.Station, best.Probe.Length-best.Station
	for _, p := range [2]*Placement{at, beside} {
		from, to := a.chains[a.indexOf(p.Action)].Ends(p.Stretch)
		back, on = math.Min(back, p.X-from), math.Min(on, to-p.X)
	}
	shifted := func(by float64) Placed {
		q := *best
		q.Beside = slices.Clone(best.Beside)
		q.Station += by
		q.Placement.X += by
		q.Beside[k].X += by
		q.State = a.stateOf(&q)
		a.trial = q.State
		q.Value = m.Of(&a.trial)
		return q
	}
	if by, gained := climbOn(func(by float64) float64 { q := shifted(by); return q.Value }, 0, -back, on, best.Probe.Length/4); gained {
		if q := shifted(by); q.Value > best.Value {
			*best = q
		}
	}
}

// stateOf returns the state at a placed point load's section as all of it stands.
func (a *Analysis) stateOf(p *Placed) State {
	i := a.indexOf(p.Placement.Action)
	w := &walk{a: a, p: p.Probe, l: a.under(p.Probe, i), action: i}
	w.combination = p.Combination
	w.standingBeside(p)
	from, _ := a.chains[i].Ends(p.Placement.Stretch)
	return w.state(&spotOn{s: p.Station, stretch: p.Placement.Stretch, t: p.Placement.X - from, after: p.After, n: p.Placement.Way})
}
