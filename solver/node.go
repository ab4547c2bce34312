package solver

import "math"

// firstHand sets the freedoms of a node that is no joint's second node: an equation each,
// along and about the node's own axes where it has any.
func (s *Factored) firstHand(n NodeID) {
	node := &s.frame.nodes[n]
	var own [6]term
	for k := range Freedom(6) {
		own[k] = term{s.equation(node.fixed[k], n, k), 1}
	}
	if node.axes == nil {
		s.nodes.putEach(n, &own)
		return
	}
	var out freedoms
	for k := range Freedom(6) {
		for d := range Freedom(3) {
			to := &out[k-k%3+d]
			*to = combine(*to, []term{own[k]}, node.axes[k%3][d])
		}
	}
	s.nodes.put(n, &out)
}

// heldFreedom is a freedom of a node along or about its own axes that the ground holds, and its equation.
type heldFreedom struct {
	node    NodeID
	freedom Freedom
	eq      int32
}

// heldFreedoms returns all of them.
func (s *Factored) heldFreedoms() []heldFreedom {
	out := make([]heldFreedom, 0, s.held)
	for n := range s.frame.nodes {
		if s.frame.nodes[n].joint >= 0 {
			continue
		}
		for d, is := range s.frame.nodes[n].fixed {
			if is {
				eq := s.along(NodeID(n), Freedom(d))[0].eq
				out = append(out, heldFreedom{NodeID(n), Freedom(d), int32(eq)})
			}
		}
	}
	return out
}

// along returns the terms of a node's freedom along or about its own axes.
func (s *Factored) along(n NodeID, f Freedom) []term {
	node := &s.frame.nodes[n]
	if node.axes == nil {
		return s.nodes.at(n, f)
	}
	var out []term
	group := f - f%3
	for d, part := range node.axes[f%3] {
		out = combine(out, s.nodes.at(n, group+Freedom(d)), part)
	}
	if node.joint >= 0 {
		return out
	}
	// The axes are orthonormal: one equation is left whole, of others rounding.
	whole := out[0]
	for _, t := range out {
		if math.Abs(t.coeff) > math.Abs(whole.coeff) {
			whole = t
		}
	}
	return []term{{whole.eq, 1}}
}

// atArm adds to out the movement along an axis at the end of a rigid arm from the node.
func (n *freedoms) atArm(out []term, arm, axis Vec) []term {
	turn := arm.cross(axis) // axis·(θ × arm) = θ·(arm × axis)
	for d := range 3 {
		out = combine(out, n[d], axis[d])
		out = combine(out, n[3+d], turn[d])
	}
	return out
}

// pointing returns a node's freedom as global vectors: of a force along it or of a moment
// about it, whichever it takes.
func (f *Frame) pointing(n NodeID, d Freedom, value float64) (force, moment Vec) {
	axes := &global
	if f.nodes[n].axes != nil {
		axes = f.nodes[n].axes
	}
	if d < RX {
		return axes[d].scale(value), Vec{}
	}
	return Vec{}, axes[d-RX].scale(value)
}
