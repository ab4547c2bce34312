package analysis

import (
	"math"

	"example.com/stanchion/solver"
)

// everywhere is a load that stands everywhere at once, whatever a search places: the
// permanent actions, or one sense of a field. It is solved once, unfactored.
type everywhere struct {
	action int // -1: the permanent actions
	sense  int
	load   solver.Case
	on     map[solver.MemberID]*onMember
	answer *solver.Solution
}

// onMember is the part of a load case that acts on one member, its gravity aside.
type onMember struct {
	lines  []solver.LineLoad
	points []solver.PointLoad
	heats  []solver.Heat
}

// byMember returns a load case by the members that it acts on.
func byMember(c *solver.Case) map[solver.MemberID]*onMember {
	out := map[solver.MemberID]*onMember{}
	at := func(m solver.MemberID) *onMember {
		if out[m] == nil {
			out[m] = &onMember{}
		}
		return out[m]
	}
	for _, l := range c.Lines {
		at(l.Member).lines = append(at(l.Member).lines, l)
	}
	for _, l := range c.Points {
		at(l.Member).points = append(at(l.Member).points, l)
	}
	for _, h := range c.Heats {
		at(h.Member).heats = append(at(h.Member).heats, h)
	}
	return out
}

// standing is what a load that does not move does to a probe, unfactored: what the search
// does not move at the time.
type standing struct {
	start  start      // of a member; the six values of a joint
	dead   [6]float64 // of a joint: the part of those that its responses do not tell, the load on the joint itself
	even   solver.Vec // on the member all along it, local axes, N/m
	lines  []solver.LineLoad
	points []standingPoint
	strain float64    // of warmth that nothing holds
	curl   [2]float64 // likewise, its turning per length about local y and z, rad/m
}

// standingPoint is a force and a couple on the member, local axes.
type standingPoint struct {
	at            float64
	force, couple solver.Vec
	after         bool // a section at the load lies just after it
}

// share is a standing load with its factor.
type share struct {
	factor float64
	of     *standing
}

// stood is a load that stands everywhere with its factor, by its place in the analysis.
type stood struct {
	factor float64
	at     int
}

// standEverywhere solves what stands everywhere: the permanent actions first, then each
// sense of each field.
func (a *Analysis) standEverywhere() {
	add := func(action, sense int, load solver.Case) {
		answer := a.model.Solve(load)
		if a.isVeryLong() {
			answer.Rest()
		}
		a.everywhere = append(a.everywhere, everywhere{action, sense, load, byMember(&load), answer})
	}
	a.fieldAt = make([]int, len(a.Actions))
	add(-1, 0, a.permanentCase(1))
	for i, act := range a.Actions {
		if act.Field == nil {
			continue
		}
		a.fieldAt[i] = len(a.everywhere)
		for sense := range act.Field.Senses {
			add(i, sense, a.fieldCase(i, sense))
		}
	}
}

// standing returns what stands everywhere on a probe, by its place in the analysis.
func (p *Probe) standing(i int) *standing {
	if p.stands == nil {
		stands := make([]standing, len(p.owner.everywhere))
		for k := range stands {
			stands[k] = p.owner.everywhere[k].standOn(p)
		}
		p.stands = stands
	}
	return &p.stands[i]
}

// standOn returns what a load that stands everywhere does on a member.
func (e *everywhere) standOn(p *Probe) standing {
	st := e.forcesOn(p)
	for k, axis := range p.axes {
		st.start[sUx+k], st.start[sRx+k] = e.answer.Movement(p.node, axis), e.answer.Rotation(p.node, axis)
	}
	if p.bay > 0 {
		from, to, _ := chord(&p.owner.Frame.Rails[p.Rail], p.Bay)
		st.start[sChord0], st.start[sChord1] = e.answer.Movement(from, p.axes[1]), e.answer.Movement(to, p.axes[1])
	}
	return st
}

// forcesOn returns the same without the movements of its start.
func (e *everywhere) forcesOn(p *Probe) standing {
	var st standing
	forces := e.answer.StartForces(p.member)
	copy(st.start[:], forces[:])
	if e.load.Gravity != (solver.Vec{}) {
		st.even = p.owner.model.Weight(p.member, e.load.Gravity)
	}
	on := e.on[p.member]
	if on == nil {
		return st
	}
	for _, l := range on.lines {
		if !l.Local {
			l.Start, l.End, l.Local = seen(&p.axes, l.Start), seen(&p.axes, l.End), true
		}
		st.lines = append(st.lines, l)
	}
	for _, l := range on.points {
		if l.At <= 0 { // what stands at the very start is in the start
			continue
		}
		if !l.Local {
			l.Force, l.Moment = seen(&p.axes, l.Force), seen(&p.axes, l.Moment)
		}
		st.points = append(st.points, standingPoint{at: l.At, force: l.Force, couple: l.Moment})
	}
	for _, h := range on.heats {
		strain, curl := p.owner.model.Warmed(h)
		st.strain += strain
		st.curl[0] += curl[0]
		st.curl[1] += curl[1]
	}
	return st
}

// under returns the components at station s under a standing load, unfactored.
func (p *Probe) under(st *standing, s float64) components {
	c := p.carry(&st.start, s)
	p.passStanding(&c, st, 1, s)
	return c
}

// passStanding adds what a standing load on the member, times a factor, does at a section
// beyond what the start tells.
func (p *Probe) passStanding(c *components, st *standing, factor, s float64) {
	if p.member < 0 || factor == 0 {
		return
	}
	if s > 0 && st.even != (solver.Vec{}) {
		q := st.even
		for k := range q {
			q[k] *= factor
		}
		p.passLine(c, q, s, 0)
	}
	for i := range st.lines {
		p.passVarying(c, &st.lines[i], factor, s)
	}
	for i := range st.points {
		l := &st.points[i]
		if b := s - l.at; b > sameSpot || l.after && b > -sameSpot {
			p.passPoint(c, l, factor, max(b, 0))
		}
	}
	if st.strain != 0 || st.curl != [2]float64{} {
		p.shift(c, factor*st.strain*s, factor*st.curl[1]*s*s/2, -factor*st.curl[0]*s*s/2)
	}
}

// passVarying adds the part of a line load that lies before the section. What it does is a
// polynomial of the fourth degree along it, which three Gauss points add up exactly.
func (p *Probe) passVarying(c *components, l *solver.LineLoad, factor, s float64) {
	to := min(l.To, s)
	if to <= l.From {
		return
	}
	if l.Start == l.End {
		p.passLine(c, times(factor, l.Start), s-l.From, s-to)
		return
	}
	half, middle := (to-l.From)/2, (to+l.From)/2
	for _, g := range [3][2]float64{{-math.Sqrt(0.6), 5.0 / 9}, {0, 8.0 / 9}, {math.Sqrt(0.6), 5.0 / 9}} {
		x := middle + half*g[0]
		t := (x - l.From) / (l.To - l.From)
		var f solver.Vec
		for k := range f {
			f[k] = factor * g[1] * half * ((1-t)*l.Start[k] + t*l.End[k])
		}
		p.pass(c, f, s-x)
	}
}

// passPoint adds what a force and a couple at distance b before the section do.
func (p *Probe) passPoint(c *components, l *standingPoint, factor, b float64) {
	p.pass(c, times(factor, l.force), b)
	if l.couple == (solver.Vec{}) {
		return
	}
	m := times(factor, l.couple)
	c[cT] -= m[0]
	c[cMy] -= m[1]
	c[cMz] -= m[2]
	p.shift(c, 0, -m[2]*b*b/(2*p.ei), m[1]*b*b/(2*p.ei))
}

// loads reports whether the standing load acts on the member between its ends otherwise than
// evenly along it.
func (st *standing) loads() bool {
	return len(st.lines) > 0 || len(st.points) > 0 || st.strain != 0 || st.curl != [2]float64{}
}

// size returns the size of what acts on the member, N.
func (st *standing) size(length float64) float64 {
	size := 0.0
	for k := range st.even {
		size = max(size, math.Abs(st.even[k])*length)
	}
	for i := range st.lines {
		l := &st.lines[i]
		size += (l.To - l.From) * max(math.Sqrt(dot(l.Start, l.Start)), math.Sqrt(dot(l.End, l.End)))
	}
	for i := range st.points {
		size += math.Sqrt(dot(st.points[i].force, st.points[i].force))
	}
	return size
}

// held returns what a placed load does to a probe as it stands, unfactored.
func (a *Analysis) held(p *Probe, at *Placement) *standing {
	i := a.indexOf(at.Action)
	st, lines, chain := &standing{}, a.under(p, i), a.chains[i]
	w := walk{a: a, p: p, action: i}
	if at.Action.Point {
		from, _ := chain.Ends(at.Stretch)
		t := at.X - from
		lines.at(&st.start, at.Stretch, t, at.Value, &at.Way)
		if own := lines.ownOf(at.Stretch); own != nil {
			st.points = append(st.points, standingPoint{at: own.at + t, force: w.force(own, at.Value*own.share, &at.Way), after: at.after})
		}
		return st
	}
	for stretch := lines.first; stretch < lines.end; stretch++ {
		from, to := chain.Ends(stretch)
		for _, l := range at.Lengths {
			begin, end := max(l.From, from), min(l.To, to)
			if end <= begin {
				continue
			}
			lines.over(&st.start, stretch, begin-from, end-from, at.Value, &at.Way)
			if own := lines.ownOf(stretch); own != nil {
				q := w.force(own, at.Value*own.share, &at.Way)
				st.lines = append(st.lines, solver.LineLoad{Member: p.member, From: own.at + begin - from, To: own.at + end - from, Start: q, End: q, Local: true})
			}
		}
	}
	return st
}

// over adds the start of a member under a line load of the given size and direction from one
// distance into a stretch to another.
func (l *startLines) over(dst *start, stretch int, from, to, size float64, n *[3]float64) {
	for d := range l.directions {
		if f := size * n[d]; f != 0 {
			cubics := l.of(stretch, d)
			for i, c := range l.active {
				dst[c] += f * area(&cubics[i], from, to)
			}
		}
	}
}

// standsBeside returns all that stands at a probe beside what a placed load was placed by.
func (a *Analysis) standsBeside(dst []share, p *Probe, c *Combination, at *Placement, beside []Placement) []share {
	dst = append(dst, share{c.Permanent, p.standing(0)})
	if at.Action != nil && at.Action.Field != nil {
		dst = append(dst, share{c.Variable, p.standing(a.fieldAt[a.indexOf(at.Action)] + at.Sense)})
	}
	if c.Beside == nil {
		return dst
	}
	for k, t := range c.Beside.Terms {
		if t.Action.Field != nil {
			dst = append(dst, share{t.Factor, p.standing(a.fieldAt[a.indexOf(t.Action)] + t.Sense)})
		} else {
			dst = append(dst, share{t.Factor, a.held(p, &beside[k])})
		}
	}
	return dst
}

// addedAt returns the components of standing loads at a station.
func (p *Probe) addedAt(stands []share, s float64) (sum components) {
	for i, st := range stands {
		c := p.under(st.of, s)
		if i == 0 {
			sum = scaled(&c, st.factor)
			continue
		}
		for k := range sum {
			sum[k] += st.factor * c[k]
		}
	}
	return sum
}

// isStill reports whether a placed load has nothing that could be moved: permanent actions and
// fields alone.
func (p *Placed) isStill() bool { return p.Placement.Action == nil || p.Placement.Action.Field != nil }
