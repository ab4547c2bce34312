package solver

import "math"

// Solution is the answer to one load case.
type Solution struct {
	model     *Factored
	loads     []memberLoad
	u         vector // all equations, restrained ones zero
	Reactions []Reaction
	Residual  float64 // stiffness residual of this solve
	Imbalance float64 // of loads and reactions, scaled by the loads
}

// Reaction is what the ground does to one freedom of a node: N or N·m.
type Reaction struct {
	Node    NodeID
	Freedom Freedom
	Value   float64
}

// Solve returns the answer to a load case.
func (s *Factored) Solve(c Case) *Solution {
	out := &Solution{model: s, loads: s.memberLoads(&c)}
	f := make(vector, s.free+s.held)
	for id := range s.elements {
		l := &out.loads[id]
		if len(l.points) == 0 && len(l.lines) == 0 {
			continue
		}
		e := &s.elements[id]
		ends := s.ends(MemberID(id))
		for i, v := range e.toGlobal(e.throughTies(l.equivalent(e))) {
			for _, t := range ends[i] {
				f[t.eq] += t.coeff * v
			}
		}
	}
	for _, n := range c.Nodes {
		for d := range 3 {
			for _, t := range s.nodes[n.Node][d] {
				f[t.eq] += t.coeff * n.Force[d]
			}
			for _, t := range s.nodes[n.Node][3+d] {
				f[t.eq] += t.coeff * n.Moment[d]
			}
		}
	}
	out.u = append(vector(nil), f...)
	clear(out.u[s.free:])
	s.solve([]vector{out.u[:s.free]})
	out.Residual = s.residualOf(out.u[:s.free], f[:s.free])
	out.react(f)
	out.Imbalance = out.balance(&c)
	return out
}

// react works out the reactions from the restrained rows of the stiffness and
// from the springs.
func (r *Solution) react(f vector) {
	s := r.model
	for n := range s.frame.nodes {
		if s.frame.nodes[n].joint >= 0 {
			continue
		}
		for d := range 6 {
			if !s.frame.nodes[n].fixed[d] {
				continue
			}
			eq := s.nodes[n][d][0].eq
			sum := -f[eq]
			for _, t := range s.heldRows[eq-s.free] {
				sum += t.coeff * r.u[t.eq]
			}
			r.Reactions = append(r.Reactions, Reaction{NodeID(n), Freedom(d), sum})
		}
	}
	for _, spring := range s.springs {
		r.Reactions = append(r.Reactions, Reaction{spring.node, spring.freedom, -spring.stiffness * sum(spring.terms, r.u)})
	}
}

func sum(terms []term, u vector) float64 {
	s := 0.0
	for _, t := range terms {
		s += t.coeff * u[t.eq]
	}
	return s
}

// balance returns the largest component of the resultant of loads and reactions
// about the first node, over the sum of the sizes of all that acts.
func (r *Solution) balance(c *Case) float64 {
	s := r.model
	if len(s.frame.nodes) == 0 {
		return 0
	}
	about := s.frame.nodes[0].at
	var force, moment Vec
	var size, turn float64
	add := func(at, f, m Vec) {
		arm := at.sub(about)
		force, moment = force.add(f), moment.add(m).add(arm.cross(f))
		size += f.norm()
		turn += m.norm() + arm.norm()*f.norm()
	}
	for _, n := range c.Nodes {
		add(s.frame.nodes[n.Node].at, n.Force, n.Moment)
	}
	for id := range r.loads {
		e := &s.elements[id]
		start := s.frame.nodes[s.frame.members[id].Start].at
		at := func(x float64) Vec { return start.add(e.axes[0].scale(x)) }
		for _, p := range r.loads[id].points {
			add(at(p.At), e.axes.from(p.Force), Vec{})
		}
		for _, q := range r.loads[id].lines {
			mid, half := 0.5*(q.From+q.To), 0.5*(q.To-q.From)
			for _, g := range gauss {
				x := mid + half*g[0]
				add(at(x), e.axes.from(q.at(x).scale(g[1]*half)), Vec{})
			}
		}
	}
	for _, q := range r.Reactions {
		var f, m Vec
		if q.Freedom < RX {
			f[q.Freedom] = q.Value
		} else {
			m[q.Freedom-RX] = q.Value
		}
		add(s.frame.nodes[q.Node].at, f, m)
	}
	if s := size + turn; math.IsNaN(s) || math.IsInf(s, 1) {
		return math.Inf(1)
	}
	out := 0.0
	for d := range 3 {
		if size > 0 {
			out = math.Max(out, math.Abs(force[d])/size)
		}
		if turn > 0 {
			out = math.Max(out, math.Abs(moment[d])/turn)
		}
	}
	if math.IsNaN(out) {
		return math.Inf(1)
	}
	return out
}

// Displacement returns one global freedom of a node, m or rad.
func (r *Solution) Displacement(n NodeID, f Freedom) float64 { return sum(r.model.nodes[n][f], r.u) }

// EndForces returns what the nodes do to a member at its two ends, local axes:
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
	fixed := r.loads[m].equivalent(e)
	for i := range fixed {
		fixed[i] = -fixed[i]
	}
	moved = e.ownEnds(u, fixed)
	through := e.throughTies(fixed)
	for i := range 12 {
		forces[i] = through[i]
		for j := range 12 {
			forces[i] += e.k[i][j] * u[j]
		}
	}
	return forces, moved
}
