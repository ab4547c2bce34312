package solver

import "math"

// Vibration is a natural frequency of a frame and its shape.
type Vibration struct {
	Hertz  float64 // cycles a second
	Radian float64 // rad/s
	Mass   float64 // of the shape, φᵀMφ with the shape's largest translation 1, kg
	Shape
}

// Mass puts a mass on a node, kg. It resists translation in every direction and counts in
// vibration only: its weight is a load on the node. It panics on a mass that is negative or
// not finite.
func (f *Frame) Mass(n NodeID, kg float64) {
	if !(kg >= 0) || math.IsInf(kg, 1) {
		panic("solver: the mass on node " + f.nodes[n].label + " is negative or not finite")
	}
	f.nodes[n].mass += kg
}

// Vibrations returns the n lowest natural frequencies, in order: K φ = ω² M φ, with the
// consistent mass of the members and the masses on the nodes. Fewer come back where the
// masses give no more, up to 1e3 times the lowest frequency; none without masses. A member's
// mass moves along, across and about it; about it with the radius of gyration of a section
// of one material, r² = (EIy + EIz)/EA. The rotation of sections in bending has no mass. A
// member follows a cubic between its nodes, which makes frequencies too high; [Frame.Divide]
// mends that. A *CountError tells that the count could not be proved.
func (s *Factored) Vibrations(n int) ([]Vibration, error) {
	base, err := s.untied()
	if err != nil {
		return nil, err
	}
	if base.free == 0 {
		return nil, nil
	}
	p := base.pencil((*Factored).addMasses)
	values, vectors, err := p.lowest(n)
	if err != nil {
		return nil, err
	}
	var out []Vibration
	room := make(vector, base.free)
	for i, v := range values {
		m := Vibration{Radian: math.Sqrt(v), Hertz: math.Sqrt(v) / (2 * math.Pi), Shape: base.shape(vectors[i])}
		bandTimes(p.b, m.u[:base.free], room)
		m.Mass = dot(room, m.u[:base.free])
		out = append(out, m)
	}
	return out, nil
}

// addMasses adds the masses of members and nodes.
func (s *Factored) addMasses() {
	for id := range s.elements {
		if e := &s.elements[id]; e.mass > 0 {
			s.addLocal(MemberID(id), e.consistentMass(), 1)
		}
	}
	for n := range s.frame.nodes {
		if kg := s.frame.nodes[n].mass; kg > 0 {
			for d := range 3 {
				s.addProduct(s.nodes[n][d], s.nodes[n][d], kg)
			}
		}
	}
}

// consistentMass returns the mass of a member without end ties, ∫ m φφᵀ dx with the shape
// functions φ of the stiffness, local axes: kg, kg·m and kg·m². Source: Clough and Penzien,
// Dynamics of Structures, section 10-3, from memory.
func (e *element) consistentMass() mat12 {
	var m mat12
	shape := e.shapes()
	gaussFive.each(0, e.length, func(x, length float64) {
		kg := e.mass * length
		for i := range 12 {
			for j := range 12 {
				for d := range 3 { // of the shapes those that move
					m[i][j] += kg * shape[i][d].at(x) * shape[j][d].at(x)
				}
			}
		}
	})
	gyration := (e.eiy + e.eiz) / e.ea // m²
	whole := e.mass * e.length * gyration
	m[3][3], m[9][9] = m[3][3]+whole/3, m[9][9]+whole/3
	m[3][9], m[9][3] = m[3][9]+whole/6, m[9][3]+whole/6
	return m
}
