package solver

import (
	"math"
	"math/rand/v2"
)

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
// of one material, r² = (EIy + EIz)/EA, where it is not [Member].NoSpin. The rotation of sections in bending has no mass. A
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
	for i, v := range values {
		out = append(out, *base.vibration(p, v, vectors[i]))
	}
	return out, nil
}

// LowestVibration returns the lowest natural frequency alone, to within a part of it, a plain
// number, and never below it but for rounding, and a movement of the frame that has it: of several
// frequencies that are as near to each other a mixture. It returns nil without masses. All else,
// errors too, is as [Factored.Vibrations] says; on long frames whose frequencies crowd it is many times as fast.
//
// The square of the frequency lies below the Rayleigh quotient of any movement and above σ where
// K - σM is positive definite (Parlett, The Symmetric Eigenvalue Problem, sections 1.5 and 3.3,
// from memory): the gap is narrowed until it is small, and Lanczos steps with the last σ
// better the movement. The frame is left at rest.
func (s *Factored) LowestVibration(within float64) (*Vibration, error) {
	base, err := s.untied()
	if err != nil || base.free == 0 {
		return nil, err
	}
	p := base.pencil((*Factored).addMasses)
	x := krylovOf(base.start())
	high, drop := x.better(p, stepSettled*within)
	if math.IsInf(high, 1) {
		return nil, nil
	}
	p.factor = upper{}
	base.Rest()
	q, room := &pencil{b: p.b}, make(vector, len(p.a.Data))
	low, gap := 0.0, high*nearest(within, drop)
	for range lowestMaxSteps {
		if low >= high*(1-2*within) {
			return base.vibration(p, high, x.basis[0]), nil
		}
		sigma := math.Max(0.5*(low+high), high-gap)
		if !q.factorShifted(p, sigma, room) {
			high, gap = sigma, 4*gap
			continue
		}
		low = sigma
		if low < high*(1-2*within) {
			var now float64
			now, drop = x.better(q, stepSettled*within)
			high = math.Min(high, now)
			gap = high * nearest(within, drop)
		}
	}
	return nil, &CountError{0, -1}
}

// nearest returns the part below a value by which the next shift stands, where the last step lowered it by a part: what is
// asked for, and as much as other steps may lower it still.
func nearest(within, drop float64) float64 { return math.Max(1.9*within, 4*drop) }

const (
	// lowestMaxSteps is how often a gap is halved at most.
	lowestMaxSteps = 100
	// stepSettled is the part of what is asked for by which a step must lower the value for another one.
	stepSettled = 1e-2
)

// vibration returns a vibration by the square of its frequency, (rad/s)², and its vector.
func (s *Factored) vibration(p *pencil, square float64, x vector) *Vibration {
	out := &Vibration{Radian: math.Sqrt(square), Hertz: math.Sqrt(square) / (2 * math.Pi), Shape: s.shape(x)}
	room := make(vector, s.free)
	p.b.times(out.u[:s.free], room)
	out.Mass = dot(room, out.u[:s.free])
	return out
}

// start returns a movement of all nodes to one side, slantwise, with something of every shape, always the same.
func (s *Factored) start() vector {
	const some = 0.1
	x := make(vector, s.free)
	source := rand.New(rand.NewPCG(1, 1))
	for i := range x {
		x[i] = some * (source.Float64() - 0.5)
		if s.names[i].freedom < RX {
			x[i]++
		}
	}
	return x
}

// factorShifted makes the factor that of a problem with a shift, in the room given, and reports
// whether A stays positive definite.
func (p *pencil) factorShifted(of *pencil, sigma float64, room vector) (ok bool) {
	band := of.a.SymmetricBand
	band.Data = room
	copy(room, of.a.Data)
	addTo(room, of.b.Data, -sigma)
	reach := of.a.reaches(p.factor.reach)
	for i, n := range of.b.reaches(nil) {
		reach[i] = max(reach[i], n)
	}
	p.shift = sigma
	p.factor, ok = factoriseIn(band, reach)
	return ok
}

// addMasses adds the masses of members and nodes.
func (s *Factored) addMasses() {
	var known kinds[element, []entry12]
	mass := func(to *[]entry12, e element) {
		m := e.globalMass()
		m.entries(to)
	}
	for id := range s.elements {
		if e := s.elements[id]; e.mass > 0 {
			ends := s.ends(MemberID(id))
			s.addBlock(&ends, *known.of(e, mass))
		}
	}
	for n := range s.frame.nodes {
		if kg := s.frame.nodes[n].mass; kg > 0 {
			for d := range Freedom(3) {
				move := s.nodes.at(NodeID(n), d)
				s.addProduct(move, move, kg)
			}
		}
	}
}

// globalMass returns the mass between the member's nodes in global axes.
func (e *element) globalMass() mat12 {
	m := e.consistentMass()
	return m.inGlobal(&e.axes)
}

// consistentMass returns the mass of a member without end ties, ∫ m φφᵀ dx with the shape
// functions φ of the stiffness, local axes: kg, kg·m and kg·m². Source: Clough and Penzien,
// Dynamics of Structures, section 10-3, from memory.
func (e *element) consistentMass() mat12 {
	var m mat12
	shape := e.forceShapes()
	add := func(kg float64, ends []int, moves []float64) {
		for i, a := range moves {
			for j, b := range moves {
				m[ends[i]][ends[j]] += kg * a * b
			}
		}
	}
	gaussFive.each(0, e.length, func(x, length float64) {
		kg := e.mass * length
		add(kg, []int{0, 6}, []float64{shape.along[0].at(x), shape.along[1].at(x)})
		for k := range shape.across {
			s := &shape.across[k]
			add(kg, acrossEnds[k][:], []float64{s[0].at(x), s[1].at(x), s[2].at(x), s[3].at(x)})
		}
	})
	if e.noSpin {
		return m
	}
	gyration := (e.eiy + e.eiz) / e.ea // m²
	whole := e.mass * e.length * gyration
	m[3][3], m[9][9] = m[3][3]+whole/3, m[9][9]+whole/3
	m[3][9], m[9][3] = m[3][9]+whole/6, m[9][3]+whole/6
	return m
}
