package solver

import (
	"math"
	"slices"
)

// Solution is the answer to one load case.
type Solution struct {
	model     *Factored
	loads     []memberLoad // nil while they rest
	gravity   Vec
	weight    bool   // the members carry nothing but their own
	u         vector // all equations, restrained ones zero
	Reactions []Reaction
	Residual  float64 // stiffness residual of this solve, a plain number
	Imbalance float64 // of loads and reactions about one point, scaled by the loads, likewise
}

// Reaction is what the ground does to one freedom of a node, along or about the node's
// own axes: N or N·m.
type Reaction struct {
	Node    NodeID
	Freedom Freedom
	Value   float64
}

// Worksheet is memory in which one load case is solved after another.
type Worksheet struct {
	answer  Solution
	weights []LineLoad
	f, held vector
	room    vector // of a proof
}

// Solve returns the answer to a load case. A case that makes no sense is the caller's bug: see
// [Factored.Check].
func (s *Factored) Solve(c Case) *Solution {
	out, w := &Solution{}, Worksheet{}
	s.solveIn(out, &w, &c)
	return out
}

// SolveIn returns the same on a worksheet. It is good until the next one is solved there.
func (s *Factored) SolveIn(w *Worksheet, c Case) *Solution {
	s.solveIn(&w.answer, w, &c)
	return &w.answer
}

// solveIn writes the answer to a load case over one that is done with.
func (s *Factored) solveIn(out *Solution, w *Worksheet, c *Case) {
	s.wake()
	*out = Solution{model: s, loads: out.loads, gravity: c.Gravity, u: out.u, Reactions: out.Reactions}
	members := out.load(w, c)
	ground := s.settleIn(w.held, c.Settlements, w.f)
	out.u = append(slices.Grow(out.u[:0], len(w.f)), w.f...)
	copy(out.u[s.free:], ground.held)
	w.room = slices.Grow(w.room[:0], 3*s.free)[:3*s.free]
	out.Residual = s.solveRows([]vector{out.u[:s.free]}, w.room)
	out.react(w.f, &ground)
	out.Imbalance = out.balance(&members, c)
}

// load writes the loads of a case on the members, and as forces on all equations. It returns the resultant of
// what acts on members.
func (r *Solution) load(w *Worksheet, c *Case) resultant {
	s, sum := r.model, r.model.frame.resultant()
	r.weight = len(c.Points)+len(c.Lines)+len(c.Heats) == 0
	r.loads = emptied(r.loads, len(s.elements))
	w.f, w.held = emptied(w.f, s.free+s.held), emptied(w.held, s.held)
	if c.Gravity != (Vec{}) {
		weight, factor := s.weightUnder(c.Gravity)
		addTo(w.f, weight.forces, factor)
		sum = weight.sum.times(factor)
	}
	s.loadMembers(r.loads, c)
	s.addRightHand(w.f, c, r.loads)
	for id := range r.loads {
		if !r.loads[id].none() {
			s.addLoad(&sum, MemberID(id), &r.loads[id])
		}
	}
	w.weights = s.loadWeights(r.loads, w.weights, c.Gravity)
	return sum
}

// Rest gives back the loads on the members where those carry nothing but their own weight: they are made
// anew, one at a time, when they are asked for.
func (r *Solution) Rest() {
	if r.weight {
		r.loads = nil
	}
}

// loadOn returns what acts on a member.
func (r *Solution) loadOn(m MemberID) *memberLoad {
	if r.loads != nil {
		return &r.loads[m]
	}
	return &memberLoad{lines: r.weightOn(m, nil)}
}

// weightOn adds the own weight of a member to line loads.
func (r *Solution) weightOn(m MemberID, to []LineLoad) []LineLoad {
	if e := &r.model.elements[m]; e.mass != 0 {
		return append(to, e.weight(m, r.gravity))
	}
	return to
}

// equivalentOn returns the end forces that do the same work as what acts on a member.
func (r *Solution) equivalentOn(m MemberID) vec12 {
	e := &r.model.elements[m]
	if r.loads != nil {
		return *r.loads[m].equivalent(e)
	}
	var room [1]LineLoad
	load := memberLoad{lines: r.weightOn(m, room[:0])}
	return *load.equivalent(e)
}

// emptied returns n places with nothing in them, in the room of others where that is enough.
func emptied[T any](room []T, n int) []T {
	if cap(room) < n {
		return make([]T, n)
	}
	room = room[:n]
	clear(room)
	return room
}

// rightHand returns the loads of a case as forces on all equations.
func (s *Factored) rightHand(c *Case, loads []memberLoad) vector {
	f := make(vector, s.free+s.held)
	s.addRightHand(f, c, loads)
	return f
}

// addRightHand adds the loads of a case to the forces on all equations.
func (s *Factored) addRightHand(f vector, c *Case, loads []memberLoad) {
	for id := range s.elements {
		if l := &loads[id]; !l.none() {
			s.addMember(f, MemberID(id), l)
		}
	}
	for _, n := range c.Nodes {
		for d := range 3 {
			addTerms(f, s.nodes.at(n.Node, Freedom(d)), n.Force[d])
			addTerms(f, s.nodes.at(n.Node, Freedom(3+d)), n.Moment[d])
		}
	}
}

// addMember adds the load on a member to the forces on all equations.
func (s *Factored) addMember(f vector, m MemberID, load *memberLoad) {
	e, ends := &s.elements[m], s.ends(m)
	forces := e.toGlobal(e.throughTies(*load.equivalent(e)))
	addForces(f, &ends, &forces)
}

// addForces adds forces on the ends of a member to those on the equations.
func addForces(f vector, ends *[12][]term, forces *vec12) {
	for i, v := range forces {
		if v != 0 {
			addTerms(f, ends[i], v)
		}
	}
}

// addTerms adds a force on a freedom to those on its equations.
func addTerms(f vector, freedom []term, force float64) {
	for _, t := range freedom {
		f[t.eq] += t.coeff * force
	}
}

// react works out the reactions from the restrained rows of the stiffness and
// from the springs.
func (r *Solution) react(f vector, ground *ground) {
	s := r.model
	r.Reactions = slices.Grow(r.Reactions[:0], s.held+len(s.springs))
	for _, h := range s.supports {
		sum := -f[h.eq]
		for _, t := range s.heldRows[int(h.eq)-s.free] {
			sum += t.coeff * r.u[t.eq]
		}
		r.Reactions = append(r.Reactions, Reaction{h.node, h.freedom, sum})
	}
	for i, k := range s.springs {
		r.Reactions = append(r.Reactions, Reaction{k.node, k.freedom, -k.stiffness * (sum(k.terms, r.u) - ground.under(i))})
	}
}

func sum(terms []term, u vector) float64 {
	s := 0.0
	for _, t := range terms {
		s += t.coeff * u[t.eq]
	}
	return s
}

// balance returns the largest component of the resultant of loads and reactions, over the sum of the
// sizes of all that acts, given what acts on the members.
func (r *Solution) balance(all *resultant, c *Case) float64 {
	nodes := r.model.frame.nodes
	for _, n := range c.Nodes {
		all.add(nodes[n.Node].at, n.Force, n.Moment)
	}
	for _, q := range r.Reactions {
		f, m := r.model.frame.pointing(q.Node, q.Freedom, q.Value)
		all.add(nodes[q.Node].at, f, m)
	}
	for _, q := range c.Settlements {
		f, m := r.model.frame.pointing(q.Node, q.Freedom, r.model.groundStiffness(q.Node, q.Freedom)*q.Value)
		all.addPair(nodes[q.Node].at, f, m)
	}
	return all.imbalance()
}

// addLoad adds what acts on a member.
func (s *Factored) addLoad(all *resultant, m MemberID, load *memberLoad) {
	e := &s.elements[m]
	start, end := s.frame.Ends(m)
	add := func(x float64, f Vec) { all.addForce(start.add(e.axes[0].scale(x)), e.axes.from(f)) }
	for _, p := range load.points {
		add(p.At, p.Force)
		if p.Moment != (Vec{}) {
			all.add(start, Vec{}, e.axes.from(p.Moment))
		}
	}
	if w := load.warmth; w != nil {
		force, couple := w.held(e)
		all.addPair(end, e.axes[0].scale(force), e.axes.from(couple))
	}
	for i := range load.lines {
		q := &load.lines[i]
		if q.isEven() {
			add((q.From+q.To)/2, q.Start.scale(q.To-q.From))
			continue
		}
		q.eachPoint(q.From, q.To, add)
	}
}

// resultant returns that of nothing, about the first node.
func (f *Frame) resultant() (r resultant) {
	if len(f.nodes) > 0 {
		r.about = f.nodes[0].at
	}
	return r
}

// resultant adds up forces and moments about a point, with the sizes of all that is
// added: of the forces (N), and of the moments with those of the forces (N·m).
type resultant struct {
	about, force, moment Vec
	size, turn           float64
}

func (r *resultant) add(at, force, moment Vec) {
	if force != (Vec{}) {
		r.addForce(at, force)
	}
	if moment != (Vec{}) {
		r.moment = r.moment.add(moment)
		r.turn += moment.size()
	}
}

// addForce adds a force.
func (r *resultant) addForce(at, force Vec) {
	x, y, z := at[0]-r.about[0], at[1]-r.about[1], at[2]-r.about[2]
	r.force[0] += force[0]
	r.force[1] += force[1]
	r.force[2] += force[2]
	r.moment[0] += y*force[2] - z*force[1]
	r.moment[1] += z*force[0] - x*force[2]
	r.moment[2] += x*force[1] - y*force[0]
	size := force.size()
	r.size += size
	r.turn += Vec{x, y, z}.size() * size
}

// addPair adds a force and a moment and their opposites: what adds nothing but its size.
func (r *resultant) addPair(at, force, moment Vec) {
	r.add(at, force, moment)
	r.add(at, force.scale(-1), moment.scale(-1))
}

// imbalance returns the largest component of the resultant over the sizes; +Inf where
// they are not finite.
func (r *resultant) imbalance() float64 {
	if s := r.size + r.turn; math.IsNaN(s) || math.IsInf(s, 1) {
		return math.Inf(1)
	}
	out := 0.0
	for d := range 3 {
		if r.size > 0 {
			out = math.Max(out, math.Abs(r.force[d])/r.size)
		}
		if r.turn > 0 {
			out = math.Max(out, math.Abs(r.moment[d])/r.turn)
		}
	}
	if math.IsNaN(out) {
		return math.Inf(1)
	}
	return out
}

// Displacement returns one global freedom of a node, m or rad.
func (r *Solution) Displacement(n NodeID, f Freedom) float64 { return sum(r.model.nodes.at(n, f), r.u) }

// Movement returns how a node moves along a direction, global axes, m.
func (r *Solution) Movement(n NodeID, direction Vec) float64 {
	freedoms := r.model.nodes.of(n)
	return r.towards(freedoms[:3], direction)
}

// Rotation returns how a node turns about a direction, global axes, rad.
func (r *Solution) Rotation(n NodeID, direction Vec) float64 {
	freedoms := r.model.nodes.of(n)
	return r.towards(freedoms[3:], direction)
}

func (r *Solution) towards(freedoms [][]term, direction Vec) float64 {
	var room [12]term
	return sum(towards(room[:0], freedoms, direction), r.u)
}

// EndForces returns what the nodes do to a member at its two ends, past its offsets, local axes:
// N and N·m, six at the start, then six at the end.
func (r *Solution) EndForces(m MemberID) [12]float64 {
	f, _ := r.member(m)
	return f
}

// member returns a member's end forces and its own end displacements.
func (r *Solution) member(m MemberID) (forces, moved vec12) {
	s := r.model
	e := &s.elements[m]
	var u vec12
	for i, t := range s.ends(m) {
		u[i] = sum(t, r.u)
	}
	u = e.toLocal(u)
	fixed := r.equivalentOn(m)
	for i := range fixed {
		fixed[i] = -fixed[i]
	}
	moved, forces = e.ownEnds(u, fixed), e.throughTies(fixed)
	e.resist(&forces, &u)
	return forces, moved
}
