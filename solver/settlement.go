package solver

import "fmt"

// ground is how far the ground has moved in a case: under each restrained equation, and
// under each spring that stands on it. No springs are listed when none has moved.
type ground struct {
	held    vector
	springs vector
}

// under returns how far the ground under spring i has moved.
func (g *ground) under(i int) float64 {
	if g.springs == nil {
		return 0
	}
	return g.springs[i]
}

// settle returns the movements of the ground and adds what they do to the free equations
// to the loads on these. A settlement of a freedom that the ground does not hold is the
// caller's bug.
func (s *Factored) settle(settlements []Settlement, f vector) ground {
	return s.settleIn(make(vector, s.held), settlements, f)
}

// settleIn does the same in room for the movements under restrained equations, which is nothing yet.
func (s *Factored) settleIn(held vector, settlements []Settlement, f vector) ground {
	g := ground{held: held}
	for _, q := range settlements {
		if s.frame.nodes[q.Node].fixed[q.Freedom] {
			g.held[s.along(q.Node, q.Freedom)[0].eq-s.free] += q.Value
			continue
		}
		i := s.springUnder(q.Node, q.Freedom)
		if i < 0 {
			panic(fmt.Sprintf("solver: a settlement of node %s in %v, which the ground does not hold", s.frame.nodes[q.Node].label, q.Freedom))
		}
		if g.springs == nil {
			g.springs = make(vector, len(s.springs))
		}
		g.springs[i] += q.Value
	}
	for row, moved := range g.held {
		if moved == 0 {
			continue
		}
		for _, t := range s.heldRows[row] {
			if t.eq < s.free {
				f[t.eq] -= t.coeff * moved
			}
		}
	}
	for i, moved := range g.springs {
		for _, t := range s.springs[i].terms {
			f[t.eq] += t.coeff * s.springs[i].stiffness * moved
		}
	}
	return g
}

// springUnder returns the number of the spring between a node's freedom and the ground,
// or -1.
func (s *Factored) springUnder(n NodeID, f Freedom) int {
	for i := range s.springs {
		if s.springs[i].node == n && s.springs[i].freedom == f {
			return i
		}
	}
	return -1
}

// groundStiffness returns the stiffness that a settlement of a freedom meets at its own
// node: N/m or N·m/rad.
func (s *Factored) groundStiffness(n NodeID, f Freedom) float64 {
	if !s.frame.nodes[n].fixed[f] {
		return s.springs[s.springUnder(n, f)].stiffness
	}
	eq := s.along(n, f)[0].eq
	for _, t := range s.heldRows[eq-s.free] {
		if t.eq == eq {
			return t.coeff
		}
	}
	return 0
}
