package solver

import "math"

// CriticalLoad is a factor, a plain number, on a whole load case at which the frame, straight until then,
// can stay bent, and the shape in which it does.
type CriticalLoad struct {
	Factor float64
	Shape
}

// Shape is a movement of the frame of no given size: its largest translation, or rotation
// where no node translates, is 1.
type Shape struct {
	model *Factored
	u     vector
}

// Displacement returns one global freedom of a node in the shape, m or rad for a largest of 1.
func (s *Shape) Displacement(n NodeID, f Freedom) float64 { return sum(s.model.nodes.at(n, f), s.u) }

// shape scales a vector of free equations so that its largest translation is 1.
func (s *Factored) shape(x vector) Shape {
	out := Shape{s, make(vector, s.free+s.held)}
	copy(out.u, x)
	var moves, turns vector
	for n := range s.frame.nodes {
		for d := range 6 {
			if v := out.Displacement(NodeID(n), Freedom(d)); d < 3 {
				moves = append(moves, v)
			} else {
				turns = append(turns, v)
			}
		}
	}
	size := moves[peak(moves)]
	if turn := turns[peak(turns)]; math.Abs(turn)*s.extent() > 1e6*math.Abs(size) {
		size = turn // what translates is rounding
	}
	scaleBy(out.u, 1/size)
	return out
}

// extent returns how far a node is from the first at most, m.
func (s *Factored) extent() float64 {
	out := 0.0
	for _, n := range s.frame.nodes {
		out = math.Max(out, n.at.sub(s.frame.nodes[0].at).norm())
	}
	return out
}

// Critical returns the n least positive critical factors of a load case, in order: K φ = λ
// (-Kg) φ, with the geometric stiffness Kg of the axial forces that the case gives in first
// order. Fewer come back where there are no more up to 1e6 times the least in size; none where
// nothing is in compression. Shapes are good to about five digits. Factors of the case turned
// round, which are negative, are found by turning it round. A member follows a cubic between
// its nodes: see [SecondOrder] for what that costs, and [Frame.Divide]. An *InputError tells
// of a case that makes no sense, a *CountError that the count could not be proved.
func (s *Factored) Critical(c Case, n int) ([]CriticalLoad, error) {
	if err := s.Check(&c); err != nil {
		return nil, err
	}
	base, err := s.untied()
	if err != nil {
		return nil, err
	}
	if base.free == 0 {
		return nil, nil
	}
	first := base.Solve(c)
	ground := base.settle(c.Settlements, make(vector, base.free+base.held))
	var none prestress
	stress := base.prestress(&c, first, &ground, &none)
	if size := stress.largest(); math.IsNaN(size) || math.IsInf(size, 0) {
		return nil, &InputError{"the axial forces are not finite"}
	}
	values, vectors, err := base.pencil(func(b *Factored) { b.addGeometric(&stress, -1) }).lowest(n)
	if err != nil {
		return nil, err
	}
	var out []CriticalLoad
	for i, v := range values {
		out = append(out, CriticalLoad{v, base.shape(vectors[i])})
	}
	return out, nil
}

// pencil returns the eigenproblem of the stiffness against a matrix that add puts together
// on an empty one.
func (s *Factored) pencil(add func(*Factored)) *pencil {
	s.wake()
	b := s.withBand(false)
	add(b)
	return &pencil{a: s.symmetric(), b: symmetricOf(b.band.RawSymBand()), factor: s.factor}
}
