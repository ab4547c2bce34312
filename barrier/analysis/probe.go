package analysis

import (
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/solver"
)

// Probe is a place where states are taken: a member, at any station along it,
// or a joint.
type Probe struct {
	Post, Rail int     // the post or the rail it belongs to, -1 for neither
	Brace      int     // the brace it belongs to, -1 for none
	Bay        int     // of a rail's member, from 0; -1 for the overhang at the start, the number of bays for that at the end
	From       float64 // x, m, at which a rail's member starts or a splice or wall is; z at which a post's member starts
	Length     float64 // m; 0 for a joint

	owner     *Analysis
	member    solver.MemberID // -1 for a joint
	upright   bool            // a post's member
	untwisted bool            // a rail's member, or the end of one, that nothing twists
	node      solver.NodeID   // of a member: at its start
	inHand    bool            // keeps its lines for the time being

	*attitude // of a member

	chordFrom float64             // distance of the bay's start before the member's start, m
	bay       float64             // bay length, m; 0 without a chord
	responses *[6]solver.Response // of a joint
	stands    []standing          // the permanent actions, then each sense of each field; of a member once asked for
	lines     []*startLines       // one an action, while in hand
	few       [2]*startLines      // room for them where there are few
	endings   []ending            // of a joint: the ends of members that meet it
}

// attitude is how a member lies and how stiff it is: members that follow each other and are alike share one.
type attitude struct {
	axes   solver.Axes   // local ones
	told   [3]solver.Vec // the axes in which movements are told, in local ones
	ea, ei float64
}

// attitudeOf returns an attitude: the last one where that is the same.
func (a *Analysis) attitudeOf(t attitude) *attitude {
	if a.attitude == nil || *a.attitude != t {
		kept := t
		a.attitude = &kept
	}
	return a.attitude
}

// The start of a member: section forces and movements there, in local axes, and
// the movement across at the two ends of the bay.
const (
	sUx = 6 + iota
	sUy
	sUz
	sRx
	sRy
	sRz
	sChord0
	sChord1
	nStart
)

type start [nStart]float64

// memberProbe returns the probe of a member with its local axes and those of the leg in which
// its movements are told.
func (a *Analysis) memberProbe(id solver.MemberID, node solver.NodeID, m *barrier.Member, local, leg solver.Axes) Probe {
	return Probe{
		Post: -1, Rail: -1, Brace: -1, owner: a, member: id, node: node, Length: a.Frame.Length(id),
		attitude: a.attitudeOf(attitude{local, between(local, leg), m.Grade.E * m.Ring.Area, m.Grade.E * m.Ring.I}),
	}
}

// memberResponses are those of the member of which lines were asked for last: of each action in turn.
type memberResponses struct {
	of   *Probe
	at   [nStart]solver.Response
	room solver.Room
}

// responsesOf returns the responses of a probe. Those of a member are made when they are
// asked for, in the room of those of the member before.
func (a *Analysis) responsesOf(p *Probe) []solver.Response {
	if p.responses != nil {
		return p.responses[:]
	}
	r := &a.responses
	if r.of == p {
		return r.at[:]
	}
	r.of, r.at = p, [nStart]solver.Response{}
	r.room.Clear()
	if p.Brace < 0 {
		forces := a.model.SectionForcesIn(&r.room, p.member, 0)
		copy(r.at[:], forces[:])
	} else {
		r.at[cN] = a.model.Section(p.member, 0, solver.Axial)
	}
	moves := a.model.MovementsIn(&r.room, p.node, p.axes)
	copy(r.at[sUx:], moves[:])
	if p.bay > 0 {
		from, to, _ := chord(&a.Frame.Rails[p.Rail], p.Bay)
		r.at[sChord0], r.at[sChord1] = a.model.Movement(from, p.axes[1]), a.model.Movement(to, p.axes[1])
	}
	return r.at[:]
}

// What is in hand is measured in stretches of influence lines, of which what stands everywhere
// on a probe counts for some. A search goes back to the few members that it found to be the worst:
// mostInHand is tens of megabytes, and more than all that a short run has.
const (
	mostInHand  = 1 << 16
	leastProbes = 8
	probeSize   = 32
)

// hold takes a probe in hand, with so many more stretches, and gives back what those have
// that were taken first; it is worked out again, to the same last digit, where it is asked
// for again.
func (a *Analysis) hold(p *Probe, stretches int) {
	if !p.inHand {
		p.inHand = true
		a.inHand = append(a.inHand, p)
		stretches += probeSize
	}
	a.sizeInHand += stretches
	for a.sizeInHand > mostInHand && len(a.inHand) > leastProbes {
		first := a.inHand[0]
		a.inHand = a.inHand[1:]
		a.sizeInHand -= first.giveBack()
	}
}

// giveBack drops the lines of a probe, and what stands on a member, and returns how many
// stretches they were.
func (p *Probe) giveBack() int {
	size := probeSize
	for i, l := range p.lines {
		if l != nil {
			size += l.size()
			p.lines[i] = nil
		}
	}
	if p.member >= 0 {
		p.stands = nil
	}
	p.inHand = false
	return size
}

// postProbes makes the probes of a post, whose movements are told in the axes of a leg.
func (a *Analysis) postProbes(post, leg int) []*Probe {
	pf, run := &a.Frame.Posts[post], &a.Definition.Run
	out, room := make([]*Probe, len(pf.Members)), make([]Probe, len(pf.Members))
	for i, id := range pf.Members {
		p := &room[i]
		*p = a.memberProbe(id, pf.Nodes[i], a.Definition.PostMember(post), postAxes(run.Axes(pf.Leg)), run.Axes(leg))
		p.Post, p.From, p.upright = post, pf.Levels[i], true
		out[i] = p
	}
	return out
}

func negative(r solver.Response) solver.Response {
	return solver.Combine([]float64{-1}, []solver.Response{r})
}

func (a *Analysis) railProbes(rail int) []*Probe {
	rf, run := &a.Frame.Rails[rail], &a.Definition.Run
	supports := run.Supports()
	out, room := make([]*Probe, len(rf.Members)), make([]Probe, len(rf.Members))
	for i, m := range rf.Members {
		p := &room[i]
		*p = a.memberProbe(m.ID, m.Start, &a.Definition.Rails[rail].Member, run.RailAxes(m.Leg), run.Axes(m.Leg))
		p.Rail, p.Bay, p.From, p.untwisted = rail, m.Bay, m.From, m.Untwisted
		if _, _, ok := chord(rf, m.Bay); ok {
			start := supports[m.Bay]
			p.chordFrom, p.bay = m.From-start, supports[m.Bay+1]-start
		}
		out[i] = p
	}
	return out
}

// chord returns the nodes of a rail at the two ends of a bay, at posts or walls; an
// overhang has none.
func chord(rf *barrier.RailFrame, bay int) (from, to solver.NodeID, ok bool) {
	first, posts := 0, len(rf.Grips)
	if rf.Walls[0] != nil {
		first = 1
	}
	supports := first + posts
	if rf.Walls[1] != nil {
		supports++
	}
	if bay < 0 || bay+1 >= supports {
		return 0, 0, false
	}
	at := func(support int) (before, after solver.NodeID) {
		switch post := support - first; {
		case post < 0:
			return rf.Walls[0].Node, rf.Walls[0].Node
		case post < posts:
			return rf.Grips[post].Before, rf.Grips[post].After
		}
		return rf.Walls[1].Node, rf.Walls[1].Node
	}
	_, from = at(bay)
	to, _ = at(bay + 1)
	return from, to, true
}

// jointProbe makes a probe of six responses that belong to no one member, with what
// holds up what acts on the joint itself: of each load that stands everywhere, nil for none.
func (a *Analysis) jointProbe(responses [6]solver.Response, dead [][6]float64) *Probe {
	p := &Probe{Post: -1, Rail: -1, Brace: -1, owner: a, member: -1, attitude: &attitude{}, responses: &responses}
	p.stands = make([]standing, len(a.everywhere))
	for i := range p.stands {
		st := &p.stands[i]
		if dead != nil {
			st.dead = dead[i]
		}
		for c := range responses {
			st.start[c] = st.dead[c] + a.everywhere[i].answer.Value(p.responses[c])
		}
	}
	return p
}

// startLines are the influence lines of a member's start under one action: for
// each stretch and each direction of the action, a cubic for each component that it moves.
// Stretches so far away that nothing of their load arrives are left out.
type startLines struct {
	active     []int        // components that the action moves at all
	first, end int          // the stretches that are not left out, up to before the end
	directions int          // of the action
	cubics     [][4]float64 // of each stretch, each direction and each active component
	own        []ownStretch // the stretches that load this very member
	room       [nStart]int  // of active
}

// size returns how many stretches and directions the lines hold.
func (l *startLines) size() int { return (l.end - l.first) * l.directions }

// has reports whether a stretch is not left out.
func (l *startLines) has(stretch int) bool { return stretch >= l.first && stretch < l.end }

// of returns the cubics of a stretch that is not left out and a direction, one an active component.
func (l *startLines) of(stretch, direction int) [][4]float64 {
	n := len(l.active)
	return l.cubics[((stretch-l.first)*l.directions+direction)*n:][:n:n]
}

// ownStretch is a stretch of the action's chain on the probe's own member.
type ownStretch struct {
	stretch int
	at      float64 // station where the stretch starts
	share   float64
	told    solver.Axes   // in which a load is given there
	local   [3]solver.Vec // the member's local axes, in those
}

// into returns a force that is given in the axes of the stretch in local ones.
func (o *ownStretch) into(f solver.Vec) solver.Vec { return seen((*solver.Axes)(&o.local), f) }

// under returns the lines of a probe under an action.
func (a *Analysis) under(p *Probe, action int) *startLines {
	if p.lines == nil {
		if n := len(a.Actions); n <= len(p.few) {
			p.lines = p.few[:n]
		} else {
			p.lines = make([]*startLines, n)
		}
	}
	if l := p.lines[action]; l != nil {
		return l
	}
	responses := a.responsesOf(p)
	chain := a.chains[action]
	nd := len(a.Actions[action].basis)
	l := &startLines{first: chain.Stretches(), directions: nd}
	l.active = l.room[:0]
	last := -1
	var cubics [nStart][][4]float64
	var written [nStart][][4]float64
	room := a.cubicRoom(len(responses) * nd * chain.Stretches())
	for c := range responses {
		if c == cT && p.untwisted { // nothing by statics: read from movements it is a difference of spins that are felt all along
			continue
		}
		if c == sRx { // no state tells of it: what a far end that alone holds a rail from spinning does to it is felt all along
			continue
		}
		cubics[c] = room[c*nd*chain.Stretches() : (c+1)*nd*chain.Stretches()]
		from, to := a.cubicsOf(cubics[c], action, responses[c])
		written[c] = cubics[c][from*nd : to*nd]
		if from == to || p.negligible(c, written[c], chain, from, nd) {
			continue
		}
		l.active = append(l.active, c)
		from, to = reaching(written[c], chain, from, nd)
		l.first, last = min(l.first, from), max(last, to)
	}
	if own := a.own[chain][p.member]; len(own) > 0 {
		l.own = slices.Clone(own)
		for i := range l.own {
			l.own[i].local = between(l.own[i].told, p.axes)
		}
		l.first, last = min(l.first, l.own[0].stretch), max(last, l.own[len(l.own)-1].stretch)
	}
	if last < l.first { // nothing arrives: one stretch stands for all
		l.first, last = 0, 0
	}
	l.end = last + 1
	l.cubics = make([][4]float64, 0, l.size()*len(l.active))
	for i := l.first * nd; i < l.end*nd; i++ {
		for _, c := range l.active {
			l.cubics = append(l.cubics, cubics[c][i])
		}
	}
	for _, w := range written {
		clear(w)
	}
	p.lines[action] = l
	a.hold(p, l.size())
	return l
}

// cubicRoom returns n cubics of nothing, good until the next call, by which they are
// nothing again.
func (a *Analysis) cubicRoom(n int) [][4]float64 {
	if cap(a.cubics) < n {
		a.cubics = make([][4]float64, n)
	}
	return a.cubics[:n]
}

// height returns a bound of a cubic over a length from its start.
func height(k *[4]float64, length float64) float64 {
	return math.Abs(k[0]) + length*(math.Abs(k[1])+length*(math.Abs(k[2])+length*math.Abs(k[3])))
}

// reaching returns the first and the last stretch over which a line is more than
// rounding of its highest: what lies beyond is below 1e-15 of it. The cubics are nd a
// stretch, from the first stretch given.
func reaching(cubics [][4]float64, chain *solver.Chain, first, nd int) (from, to int) {
	at := func(i int) float64 {
		a, b := chain.Ends(first + i/nd)
		return height(&cubics[i], b-a)
	}
	top := 0.0
	for i := range cubics {
		top = max(top, at(i))
	}
	floor := 1e-15 * top
	from, to = 0, len(cubics)-1
	for from < to && at(from) <= floor {
		from++
	}
	for to > from && at(to) <= floor {
		to--
	}
	return first + from/nd, first + to/nd
}

// negligible reports whether a line is rounding alone: below 1e-12 of what a
// unit load does to a member of this length and stiffness. The cubics are nd a stretch,
// from the first stretch given.
func (p *Probe) negligible(c int, cubics [][4]float64, chain *solver.Chain, first, nd int) bool {
	scale := 1.0
	if p.member >= 0 {
		switch {
		case c >= cT && c <= cMz:
			scale = p.Length
		case c >= sRx && c <= sRz:
			scale = p.Length * p.Length / p.ei
		case c >= sUx:
			scale = p.Length * p.Length * p.Length / p.ei
		}
	}
	for i, k := range cubics {
		from, to := chain.Ends(first + i/nd)
		if height(&k, to-from) > 1e-12*scale {
			return false
		}
	}
	return true
}

// at adds the start of a member under a load of the given size and direction at
// distance t into a stretch.
func (l *startLines) at(dst *start, stretch int, t, size float64, n *[3]float64) {
	if !l.has(stretch) {
		return
	}
	for d := range l.directions {
		f := size * n[d]
		if f == 0 {
			continue
		}
		cubics := l.of(stretch, d)
		for i, c := range l.active {
			k := &cubics[i]
			dst[c] += f * (k[0] + t*(k[1]+t*(k[2]+t*k[3])))
		}
	}
}

// carry returns the components at station s from those at the start, without
// what loads the member in between: statics for the forces, the integrals of
// the curvature for the movements.
func (p *Probe) carry(r *start, s float64) components {
	var c components
	if p.member < 0 {
		copy(c[:6], r[:6])
		return c
	}
	c[cN], c[cVy], c[cVz], c[cT] = r[cN], r[cVy], r[cVz], r[cT]
	c[cMy] = r[cMy] + s*r[cVz]
	c[cMz] = r[cMz] - s*r[cVy]
	ux := r[sUx] + s*r[cN]/p.ea
	uy := r[sUy] + s*(r[sRz]+s*(r[cMz]/2-s*r[cVy]/6)/p.ei)
	uz := r[sUz] - s*(r[sRy]+s*(r[cMy]/2+s*r[cVz]/6)/p.ei)
	p.move(&c, ux, uy, uz)
	if p.bay > 0 {
		xi := (p.chordFrom + s) / p.bay
		c[cSpan] = uy - (1-xi)*r[sChord0] - xi*r[sChord1]
	}
	return c
}

// move sets the movements as they are told from those in local axes.
func (p *Probe) move(c *components, ux, uy, uz float64) {
	for k := range p.told {
		row := &p.told[k]
		c[cAlong+k] = row[0]*ux + row[1]*uy + row[2]*uz
	}
}

// pass adds what a local force f on the member, at distance b before the section,
// does at the section beyond what the start tells.
func (p *Probe) pass(c *components, f solver.Vec, b float64) {
	c[cN] -= f[0]
	c[cVy] -= f[1]
	c[cVz] -= f[2]
	c[cMy] -= f[2] * b
	c[cMz] += f[1] * b
	p.shift(c, -f[0]*b/p.ea, f[1]*b*b*b/(6*p.ei), f[2]*b*b*b/(6*p.ei))
}

// passLine adds the same for a local force q per length over the distances from
// b0 to b1 before the section, b0 the greater: the integral of pass.
func (p *Probe) passLine(c *components, q solver.Vec, b0, b1 float64) {
	d1, d2 := b0-b1, (b0*b0-b1*b1)/2
	d4 := (b0*b0*b0*b0 - b1*b1*b1*b1) / 24
	c[cN] -= q[0] * d1
	c[cVy] -= q[1] * d1
	c[cVz] -= q[2] * d1
	c[cMy] -= q[2] * d2
	c[cMz] += q[1] * d2
	p.shift(c, -q[0]*d2/p.ea, q[1]*d4/p.ei, q[2]*d4/p.ei)
}

// shift adds movements in local axes.
func (p *Probe) shift(c *components, ux, uy, uz float64) {
	for k := range p.told {
		row := &p.told[k]
		c[cAlong+k] += row[0]*ux + row[1]*uy + row[2]*uz
	}
	if p.bay > 0 {
		c[cSpan] += uy
	}
}

// PressedByPermanent returns the largest compression in an element under the permanent
// actions, unfactored, N.
func (a *Analysis) PressedByPermanent(e *Element) float64 {
	pressed := 0.0
	for _, p := range e.Probes {
		st := a.everywhere[0].forcesOn(p)
		for _, s := range [2]float64{0, p.Length} {
			c := p.under(&st, s)
			pressed = math.Max(pressed, -c[cN])
		}
	}
	return pressed
}

// underPermanent returns the components at station s under the permanent
// actions, unfactored.
func (p *Probe) underPermanent(s float64) components { return p.under(p.standing(0), s) }

// isLoaded reports whether anything may load the member of a probe between its ends, an even
// load along it aside: its section forces may then be largest there.
func (a *Analysis) isLoaded(p *Probe) bool {
	for i := range a.everywhere {
		st := p.standing(i)
		if st.loads() || i > 0 && st.even != (solver.Vec{}) {
			return true
		}
	}
	for _, own := range a.own {
		if len(own[p.member]) > 0 {
			return true
		}
	}
	return false
}
