package solver

import "math"

// weighed is what the weight of all members does under one gravity. It is in proportion to gravity, so that load
// cases that differ by their other loads are given it without going through the members again.
type weighed struct {
	gravity Vec
	forces  vector    // on all equations
	sum     resultant // about the first node
}

// weightUnder returns what the weight of all members does under a gravity, as that under another one times a factor.
func (s *Factored) weightUnder(gravity Vec) (w *weighed, factor float64) {
	if s.weight != nil {
		if factor, along := s.weight.gravity.factorTo(gravity); along {
			return s.weight, factor
		}
	}
	s.weight = &weighed{gravity, make(vector, s.free+s.held), s.frame.resultant()}
	load := memberLoad{lines: make([]LineLoad, 1)}
	var known kinds[element, vec12] // the end forces
	work := func(to *vec12, e element) {
		load.worked = false
		*to = e.toGlobal(e.throughTies(*load.equivalent(&e)))
	}
	for id := range s.elements {
		if e := &s.elements[id]; e.mass != 0 {
			load.lines[0] = e.weight(MemberID(id), gravity)
			ends := s.ends(MemberID(id))
			addForces(s.weight.forces, &ends, known.of(*e, work))
			s.addLoad(&s.weight.sum, MemberID(id), &load)
		}
	}
	return s.weight, 1
}

// factorTo returns the factor that makes a vector another one, where they point along the same line.
func (v Vec) factorTo(to Vec) (factor float64, along bool) {
	const rounding = 1e-15
	factor = v.dot(to) / v.dot(v)
	return factor, to.sub(v.scale(factor)).norm() <= rounding*to.norm()
}

// times returns the resultant of everything times a factor.
func (r *resultant) times(factor float64) resultant {
	size := math.Abs(factor)
	return resultant{r.about, r.force.scale(factor), r.moment.scale(factor), size * r.size, size * r.turn}
}
