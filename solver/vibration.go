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
// from memory): the gap is halved until it is small, and inverse iteration with the last σ
// betters the movement. The frame is left at rest.
func (s *Factored) LowestVibration(within float64) (*Vibration, error) {
	base, err := s.untied()
	if err != nil || base.free == 0 {
		return nil, err
	}
	p := base.pencil((*Factored).addMasses)
	x := p.start()
	high, ok := p.quotient(x.of)
	if !ok {
		return nil, nil
	}
	low, q := 0.0, p
	better := func() (settled bool) {
		before, last := high, math.Inf(1)
		for range lowestSteps {
			now := q.step(x)
			high = math.Min(high, now)
			if now > last*(1-stepSettled*within) {
				break
			}
			last = now
		}
		return high > before*(1-within)
	}
	better()
	p.factor = upper{}
	base.Rest()
	q = &pencil{b: p.b}
	room := make(vector, len(p.a.Data))
	sigma := 0.75 * high
	for range lowestMaxSteps {
		if !q.factorShifted(p, sigma, room) {
			high = sigma
			sigma = 0.5 * (low + high)
		} else {
			low = sigma
			settled := better()
			sigma = 0.25*low + 0.75*high
			if settled || sigma > high*(1-2*within) {
				sigma = high * (1 - 1.9*within)
			}
		}
		if low >= high*(1-2*within) {
			return base.vibration(p, high, x.of), nil
		}
	}
	return nil, &CountError{0, -1}
}

const (
	// lowestMaxSteps is how often a gap is halved at most.
	lowestMaxSteps = 100
	// lowestSteps is how many steps of inverse iteration are taken with one shift at most, and
	// stepSettled the part of what is asked for by which a step must lower the quotient for another one.
	lowestSteps = 6
	stepSettled = 1e-3
)

// vibration returns a vibration by the square of its frequency, (rad/s)², and its vector.
func (s *Factored) vibration(p *pencil, square float64, x vector) *Vibration {
	out := &Vibration{Radian: math.Sqrt(square), Hertz: math.Sqrt(square) / (2 * math.Pi), Shape: s.shape(x)}
	room := make(vector, s.free)
	p.b.times(out.u[:s.free], room)
	out.Mass = dot(room, out.u[:s.free])
	return out
}

// iterate is a movement x that is bettered by inverse iteration, and B x.
type iterate struct{ of, pushed, next, room vector }

// start returns a movement that has something of every shape, always the same.
func (p *pencil) start() *iterate {
	n := p.a.N
	room := make(vector, 4*n)
	x := &iterate{room[:n], room[n : 2*n], room[2*n : 3*n], room[3*n:]}
	source := rand.New(rand.NewPCG(1, 1))
	for i := range x.of {
		x.of[i] = source.Float64() - 0.5
	}
	p.b.times(x.of, x.pushed)
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

// step puts y = (A - σB)⁻¹B x in the place of x, of unit size, and returns its Rayleigh quotient
// yᵀAy/yᵀBy, which is σ + yᵀBx/yᵀBy; +Inf where B does nothing to it.
func (p *pencil) step(x *iterate) float64 {
	copy(x.next, x.pushed)
	substituteIn(&p.factor, x.next, x.room)
	work := dot(x.next, x.pushed)
	p.b.times(x.next, x.pushed)
	mass := dot(x.next, x.pushed)
	x.of, x.next = x.next, x.of
	if size := norm(x.of); size > 0 {
		scaleBy(x.of, 1/size)
		scaleBy(x.pushed, 1/size)
	}
	if !(mass > 0) {
		return math.Inf(1)
	}
	return p.shift + work/mass
}

// quotient returns xᵀAx/xᵀBx, not ok where B does nothing to x.
func (p *pencil) quotient(x vector) (value float64, ok bool) {
	y := make(vector, p.a.N)
	p.a.times(x, y)
	a := dot(x, y)
	p.b.times(x, y)
	b := dot(x, y)
	return a / b, b > 0
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
