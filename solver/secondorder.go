package solver

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// SecondOrder is the answer to a load case with the equilibrium of the bent frame (P-Delta):
// axial forces act on the members where these have moved to. Displacements stay small, so
// that members keep their lengths and directions turn by the slope.
//
// The deflection of a member between its nodes is the cubic of its end movements with the
// first-order deflection of the loads on it; moments hold the axial force times it, so that
// they are in balance with the member's end forces at every station. It is good while
// |N|l²/EI is small: one member for the length of a half wave errs by a fifth in its
// critical load, two by 0.8 %, four by 0.05 %, and a member held against rotation at both
// ends cannot buckle between them at all unless it is divided ([Frame.Divide]).
// Slenderness tells how far a frame is from that. A member with shear strain is turned by the
// whole of its slope, shear strain included (Engesser's column); division then gains with the
// square of the parts, not the fourth power, on an error that N/GAs makes small.
type SecondOrder struct {
	Reactions []Reaction
	// Residual is the stiffness residual of the last solve.
	Residual float64
	// Imbalance is of loads and reactions, with the couples of the axial forces on what the
	// members' ends have moved across them, scaled by the loads.
	Imbalance float64
	// Steps is how often the frame was solved until the axial forces settled.
	Steps int
	// Slenderness is the largest N l²/EI of a member in compression, in the weaker plane:
	// 9.87 at the critical load of a member pinned at both ends. Below 0.6 the cubic is
	// good to 0.1 % of the critical load.
	Slenderness float64

	load   *Case
	first  *Solution // the same movements on the stiffness without axial forces
	second *Factored
	stress prestress
}

const (
	settled  = 1e-11 // change of the axial forces, part of the largest, at which they have settled
	maxSteps = 100
	// levelWithin is the relative error of the level at which a frame loses its stability.
	levelWithin = 1e-4
)

// InstabilityError is a frame that cannot carry a load case in second order.
type InstabilityError struct {
	// Level is the part of the case up to which the frame stands, to 1e-4 of itself.
	Level float64
	// Node and Direction are of the largest movement as it goes.
	Node, Direction string
}

func (e *InstabilityError) Error() string {
	return fmt.Sprintf("the frame is unstable from %.4g of the load on: %s moves in %s", e.Level, e.Node, e.Direction)
}

// SecondOrder returns the answer to a load case in second order: the geometric stiffness of
// the axial forces is added and the frame solved anew until the axial forces settle. It
// returns an *InstabilityError where they do not, or where the stiffness is no longer
// positive definite, and an *InputError for a case that makes no sense.
func (s *Factored) SecondOrder(c Case) (*SecondOrder, error) {
	out, err := s.Standing(c)
	if err != nil || out != nil {
		return out, err
	}
	base, err := s.untied()
	if err != nil {
		return nil, err
	}
	return nil, base.instability(&c)
}

// Standing returns the answer of SecondOrder, or nil where the frame does not stand: it does
// not seek the level at which the frame falls. An *InputError tells of a case that makes no sense.
func (s *Factored) Standing(c Case) (*SecondOrder, error) {
	if err := s.Check(&c); err != nil {
		return nil, err
	}
	base, err := s.untied()
	if err != nil {
		return nil, err
	}
	return base.secondOrder(&c), nil
}

// secondOrder returns the answer, or nil where the frame does not stand. The frame has no
// end ties.
func (s *Factored) secondOrder(c *Case) *SecondOrder {
	loads := s.memberLoads(c)
	f := s.rightHand(c, loads)
	held := s.heldMembers(loads, len(f))
	right := slices.Clone(f)
	ground := s.settle(c.Settlements, right)
	out := &SecondOrder{load: c, first: &Solution{model: s, loads: loads, u: slices.Concat(right[:s.free], ground.held)}}
	s.solve([]vector{out.first.u[:s.free]})
	var none prestress
	stress := s.prestress(c, out.first, &ground, &none)
	rounding := func() float64 { return 8 * 0x1p-52 * s.norm * largest(out.first.u) }
	known := s.pressed
	for range maxSteps {
		out.Steps++
		if known == nil || !known.stress.like(&stress, settled*stress.largest()+rounding()) {
			known = s.pressedBy(&stress)
		}
		if known == nil {
			return nil
		}
		out.stress, out.second = known.stress, known.model
		known = nil
		right = held.lessTurning(f, &out.stress)
		ground = out.second.settle(c.Settlements, right)
		copy(out.first.u[:s.free], right[:s.free])
		copy(out.first.u[s.free:], ground.held)
		out.Residual = out.second.solve([]vector{out.first.u[:s.free]})
		stress = s.prestress(c, out.first, &ground, &out.stress)
		change := stress.change(&out.stress)
		if math.IsNaN(change) {
			return nil
		}
		if change <= settled*stress.largest()+rounding() {
			out.finish(right, &ground)
			return out
		}
	}
	return nil
}

// pressed is a frame on the stiffness that axial forces leave it: those of loads that press it alike
// share one.
type pressed struct {
	stress prestress
	model  *Factored
}

// pressedBy returns the frame on the stiffness that axial forces leave it, and keeps it; nil where
// it does not stand.
func (s *Factored) pressedBy(stress *prestress) *pressed {
	out := &pressed{*stress, s.withBand(true)}
	out.model.addGeometric(stress, 1)
	if !out.model.holds() {
		return nil
	}
	s.pressed = out
	return out
}

// holds factorises the stiffness and reports whether it is positive definite and far
// enough from singular to be solved.
func (s *Factored) holds() bool {
	if s.free == 0 {
		return true
	}
	s.entries = entriesOf(s.band.RawSymBand())
	s.norm = s.entries.norm()
	raw := s.symmetric()
	for i := range s.free {
		if !(raw.diagonal(i) > 0) {
			return false
		}
	}
	factor, ok := cholesky(raw, 0)
	if !ok {
		return false
	}
	s.factor = factor
	stiffness, _ := softest(&factor, raw)
	return stiffness >= leastStiffness
}

// prestress returns the axial forces in a solution. Those before are the ones under which
// its movements were found; they count in the forces on the arms.
func (s *Factored) prestress(c *Case, r *Solution, ground *ground, before *prestress) prestress {
	p := prestress{pulls: s.pulls(r, before)}
	if !s.hasArms() {
		p.arms = make([]float64, len(s.frame.joints))
		return p
	}
	onMembers := make([]Vec, len(s.frame.nodes))
	for id := range s.elements {
		e := &s.elements[id]
		forces, _ := r.member(MemberID(id))
		if before.pulls != nil {
			for i, g := range e.asked(&before.pulls[id], r.Diagram(MemberID(id))) {
				forces[i] += g
			}
		}
		forces = e.toGlobal(forces)
		m := &s.frame.members[id]
		onMembers[m.Start] = onMembers[m.Start].add(Vec(forces[0:3]))
		onMembers[m.End] = onMembers[m.End].add(Vec(forces[6:9]))
	}
	p.arms = s.armForces(c, r.u, ground, onMembers)
	return p
}

// pulls returns the axial force of every member in a solution. Where a load acts, and so where the
// force has its breaks, is as it was before.
func (s *Factored) pulls(r *Solution, before *prestress) []pull {
	out := make([]pull, len(s.elements))
	if before.pulls == nil {
		for id := range out {
			out[id] = r.pull(MemberID(id))
		}
		return out
	}
	pieces := 0
	for id := range before.pulls {
		pieces += len(before.pulls[id].force)
	}
	room := make([]quadratic, pieces)
	for id := range out {
		p, was := &out[id], &before.pulls[id]
		n := len(was.force)
		p.breaks, p.force, room = was.breaks, room[:n:n], room[n:]
		forces, _ := r.member(MemberID(id))
		p.follow(&r.loads[id], -forces[0])
	}
	return out
}

// hasArms reports whether any joint has an arm.
func (s *Factored) hasArms() bool {
	for i := range s.frame.joints {
		if s.arm(&s.frame.joints[i]) != (Vec{}) {
			return true
		}
	}
	return false
}

// heldMembers is how the loaded members deflect with their ends held.
type heldMembers struct {
	model    *Factored
	diagrams []*Diagram // nil: no load
}

// heldMembers returns how the members with loads deflect, of a frame with so many equations.
func (s *Factored) heldMembers(loads []memberLoad, equations int) heldMembers {
	fixed := &Solution{model: s, loads: loads, u: make(vector, equations)}
	h := heldMembers{s, make([]*Diagram, len(loads))}
	before := -1 // the last that was worked out: many members are alike, under their weight
	for id := range loads {
		switch {
		case loads[id].none():
		case before >= 0 && s.elements[id].bendsLike(&s.elements[before]) && loads[id].isLine(&loads[before]):
			h.diagrams[id] = h.diagrams[before]
		default:
			h.diagrams[id], before = fixed.Diagram(MemberID(id)), id
		}
	}
	return h
}

// bendsLike reports whether another member deflects the same under the same loads in its local axes.
func (e *element) bendsLike(other *element) bool {
	return e.condensed == nil && other.condensed == nil && e.length == other.length && e.ea == other.ea && e.gj == other.gj &&
		e.eiy == other.eiy && e.eiz == other.eiz && e.shear == other.shear
}

// isLine reports whether a load is one line load, the same as that of another member.
func (l *memberLoad) isLine(other *memberLoad) bool {
	if len(l.lines) != 1 || len(other.lines) != 1 || len(l.points)+len(other.points) > 0 || l.warmth != nil || other.warmth != nil {
		return false
	}
	a, b := &l.lines[0], &other.lines[0]
	return a.From == b.From && a.To == b.To && a.Start == b.Start && a.End == b.End
}

// lessTurning returns the loads less what the axial forces do on the deflection of each
// loaded member with its ends held.
func (h *heldMembers) lessTurning(f vector, stress *prestress) vector {
	out := slices.Clone(f)
	for id, d := range h.diagrams {
		if d == nil || stress.pulls[id].isNone() {
			continue
		}
		e := &h.model.elements[id]
		ends := h.model.ends(MemberID(id))
		for i, v := range e.toGlobal(e.asked(&stress.pulls[id], d)) {
			if v == 0 {
				continue
			}
			for _, t := range ends[i] {
				out[t.eq] -= t.coeff * v
			}
		}
	}
	return out
}

// finish works out what the last solve tells.
func (r *SecondOrder) finish(right vector, ground *ground) {
	s := r.second
	sol := &Solution{model: s, loads: r.first.loads, u: r.first.u}
	sol.react(right, ground)
	r.Reactions = sol.Reactions
	c := *r.load
	c.Nodes = slices.Clone(c.Nodes)
	for id := range s.elements {
		e := &s.elements[id]
		p := &r.stress.pulls[id]
		weaker := math.Min(e.eiy, e.eiz)
		r.Slenderness = math.Max(r.Slenderness, p.squeeze()*e.length*e.length/weaker)
		c.Nodes = append(c.Nodes, NodeLoad{Node: s.frame.members[id].Start, Moment: r.couple(MemberID(id)).scale(-1)})
	}
	for i, n := range r.stress.arms {
		if n != 0 {
			j := &s.frame.joints[i]
			c.Nodes = append(c.Nodes, NodeLoad{Node: j.First, Moment: r.armCouple(j, n).scale(-1)})
		}
	}
	all := s.frame.resultant()
	for id := range s.elements {
		s.addLoad(&all, MemberID(id), sol.loadOn(MemberID(id)))
	}
	r.Imbalance = sol.balance(&all, &c)
}

// couple returns the moment of a member's axial force on the way that its end has moved
// across it, ∫ N (0, -w', v') dx, global axes, N·m.
func (r *SecondOrder) couple(m MemberID) Vec {
	var c Vec
	p := &r.stress.pulls[m]
	if n, ok := p.constant(); ok {
		if n == 0 {
			return c
		}
		_, u := r.first.member(m)
		c[1], c[2] = -n*(u[8]-u[2]), n*(u[7]-u[1])
	} else {
		r.first.Diagram(m).under(p, func(_, force, v, w float64) {
			c[1] -= force * w
			c[2] += force * v
		})
	}
	return r.second.elements[m].axes.from(c)
}

// armCouple returns the same of a joint's arm under the axial force n.
func (r *SecondOrder) armCouple(j *Joint, n float64) Vec {
	a := r.second.arm(j)
	var turn Vec
	for d := range 3 {
		turn[d] = r.Displacement(j.First, RX+Freedom(d))
	}
	return a.cross(turn.cross(a)).scale(n / a.norm())
}

// Displacement returns one global freedom of a node, m or rad.
func (r *SecondOrder) Displacement(n NodeID, f Freedom) float64 { return r.first.Displacement(n, f) }

// EndForces returns what the nodes do to a member at its two ends: N and N·m, six at the
// start, then six at the end, along the local axes of the member before it bends.
func (r *SecondOrder) EndForces(m MemberID) [12]float64 {
	f, _ := r.first.member(m)
	for i, g := range r.second.elements[m].asked(&r.stress.pulls[m], r.first.Diagram(m)) {
		f[i] += g
	}
	return f
}

// Diagram returns the internal forces and displacements along a member. Forces are along
// the local axes of the member before it bends: dMz/dx = -Vy + N v', dMy/dx = Vz - N w'.
func (r *SecondOrder) Diagram(m MemberID) *Diagram {
	d := r.first.Diagram(m)
	p := &r.stress.pulls[m]
	g := r.second.elements[m].asked(p, d)
	my, mz := -g[4], -g[5] // what second order adds at the start of a piece
	for i := range d.pieces {
		q := &d.pieces[i]
		length := d.Breaks[i+1] - d.Breaks[i]
		n, _ := p.piece(d.Breaks[i], d.Breaks[i+1])
		addY := q[MoveZ].derivative().multiplied(n[:]).plus(polynomial{g[2]}).scale(-1).integral(my)
		addZ := q[MoveY].derivative().multiplied(n[:]).plus(polynomial{g[1]}).integral(mz)
		q[ShearY], q[ShearZ] = q[ShearY].plus(polynomial{-g[1]}), q[ShearZ].plus(polynomial{-g[2]})
		q[MomentY], q[MomentZ] = q[MomentY].plus(addY), q[MomentZ].plus(addZ)
		my, mz = addY.At(length), addZ.At(length)
	}
	return d
}

// instability finds the level at which a frame that does not carry a case loses its
// stability, by bisection.
func (s *Factored) instability(c *Case) error {
	low, high := 0.0, 1.0
	standing := s
	for steps := 0; high-low > levelWithin*high && steps < 100; steps++ {
		level := 0.5 * (low + high)
		part := c.scaled(level)
		if r := s.secondOrder(&part); r != nil {
			low, standing = level, r.second
		} else {
			high = level
		}
	}
	_, motion := softest(&standing.factor, standing.symmetric())
	out := &InstabilityError{Level: low}
	if moving, ok := errors.AsType[*MechanismError](s.mechanism(peak(motion))); ok {
		out.Node, out.Direction = moving.Node, moving.Direction
	}
	return out
}

// scaled returns a factor times the case.
func (c Case) scaled(factor float64) Case {
	out := Case{Gravity: c.Gravity.scale(factor)}
	for _, n := range c.Nodes {
		n.Force, n.Moment = n.Force.scale(factor), n.Moment.scale(factor)
		out.Nodes = append(out.Nodes, n)
	}
	for _, p := range c.Points {
		p.Force, p.Moment = p.Force.scale(factor), p.Moment.scale(factor)
		out.Points = append(out.Points, p)
	}
	for _, l := range c.Lines {
		l.Start, l.End = l.Start.scale(factor), l.End.scale(factor)
		out.Lines = append(out.Lines, l)
	}
	for _, q := range c.Settlements {
		q.Value *= factor
		out.Settlements = append(out.Settlements, q)
	}
	for _, h := range c.Heats {
		h.Rise, h.Across = h.Rise*factor, [2]float64{h.Across[0] * factor, h.Across[1] * factor}
		out.Heats = append(out.Heats, h)
	}
	return out
}
