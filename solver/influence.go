package solver

import (
	"math"
	"slices"
	"sort"
)

// Chain is an ordered row of members along which a load travels: its coordinate, m,
// is that of its rows (Row.Start). A stretch of it may load several
// members at once, each with a share of the load (a load between two rails).
type Chain struct {
	stretches []stretch
}

// stretch is a length of a chain over which the load stays on the same members.
type stretch struct {
	from, to float64
	parts    []Part
	stub     Vec // of a rigid arm beyond a member: its direction, global axes
}

// Row is one row of members that carries a share of a chain's load, a factor on it. Start is
// the chain coordinate, m, at the start of its first member. Axes, one a member, are those in
// which the directions of a load are given there, so that a load may turn with a bent row;
// none for the global ones. Within is the part of the chain over which alone the row carries
// its share, the zero Length for all of it: a length that begins or ends between nodes. What of
// it lies beyond the end of the last member is, with Stub, a rigid arm that goes on from there.
type Row struct {
	Members []MemberID
	Start   float64
	Share   float64
	Axes    []Axes
	Within  Length
	Stub    bool
}

// stub returns what of the rigid arm beyond the last member, which ends at x, carries a share;
// none where to is not above from.
func (r *Row) stub(x float64) (from, to float64) {
	if !r.Stub || len(r.Members) == 0 {
		return x, x
	}
	return math.Max(x, r.Within.From), r.Within.To
}

// carries returns the part of a length of the row that carries a share; none where to is not
// above from.
func (r *Row) carries(from, to float64) (float64, float64) {
	if r.Within == (Length{}) {
		return from, to
	}
	return math.Max(from, r.Within.From), math.Min(to, r.Within.To)
}

func (r *Row) axesOf(member int) Axes {
	if r.Axes == nil {
		return global
	}
	return r.Axes[member]
}

// Chain joins rows side by side into one chain; where a member of any row ends,
// a stretch of the chain ends. The members of a row run in the direction of the
// chain. Over a stretch that a row does not reach, only the others carry their
// shares.
func (s *Factored) Chain(rows ...Row) *Chain {
	var ends []float64
	for _, r := range rows {
		x := r.Start
		for _, m := range r.Members {
			end := x + s.elements[m].length
			if from, to := r.carries(x, end); to-from > 1e-9 {
				ends = append(ends, from, to)
			}
			x = end
		}
		if from, to := r.stub(x); to-from > 1e-9 {
			ends = append(ends, from, to)
		}
	}
	slices.Sort(ends)
	ends = slices.CompactFunc(ends, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })
	c := &Chain{}
	for i := range len(ends) - 1 {
		c.stretches = append(c.stretches, stretch{from: ends[i], to: ends[i+1]})
	}
	startingAt := func(x float64) int {
		return sort.Search(len(c.stretches), func(i int) bool { return c.stretches[i].from > x-1e-9 })
	}
	for _, r := range rows {
		x, i := r.Start, startingAt(r.Start)
		for k, m := range r.Members {
			end := x + s.elements[m].length
			from, to := r.carries(x, end)
			for i < len(c.stretches) && c.stretches[i].from < from-1e-9 {
				i++
			}
			for ; i < len(c.stretches) && c.stretches[i].to < to+1e-9; i++ {
				c.stretches[i].parts = append(c.stretches[i].parts, Part{m, c.stretches[i].from - x, r.Share, r.axesOf(k), 0})
			}
			x = end
		}
		from, to := r.stub(x)
		for i := startingAt(from); i < len(c.stretches) && c.stretches[i].to < to+1e-9; i++ {
			t, last := &c.stretches[i], len(r.Members)-1
			end := &s.elements[r.Members[last]]
			t.parts = append(t.parts, Part{r.Members[last], end.length, r.Share, r.axesOf(last), t.from - x})
			t.stub = end.axes[0]
		}
	}
	return c
}

// Stretches returns how many stretches the chain has.
func (c *Chain) Stretches() int { return len(c.stretches) }

// Ends returns the chain coordinates of the ends of stretch i, m.
func (c *Chain) Ends(i int) (from, to float64) { return c.stretches[i].from, c.stretches[i].to }

// Part is one member under a stretch of a chain: the station on it, m, where the
// stretch starts, its share of the load, and the axes in which the load is given there. On a
// rigid arm At is the end of the member, and Arm the distance, m, from there to where the
// stretch starts.
type Part struct {
	Member MemberID
	At     float64
	Share  float64
	Axes   Axes
	Arm    float64
}

// loads reports whether a load on the stretch stands on a member.
func (s *stretch) loads(m MemberID) bool {
	for i := range s.parts {
		if s.parts[i].Member == m {
			return true
		}
	}
	return false
}

// along returns what a load does as a cubic of the distance from a place in the stretch, given
// it as one of the station on the member: on a rigid arm it goes on straight from the end.
func (s *stretch) along(p *Part, c cubic, into float64) cubic {
	if s.stub == (Vec{}) {
		return c.shift(p.At + into)
	}
	c = c.shift(p.At)
	return cubic{c[0] + (p.Arm+into)*c[1], c[1]}
}

// carries returns the part's share of a load, global axes.
func (p *Part) carries(load Vec) Vec { return p.Axes.from(load.scale(p.Share)) }

// Parts returns the members under stretch i.
func (c *Chain) Parts(i int) []Part { return c.stretches[i].parts }

// Loads returns point loads for a force, N, at one coordinate of the chain, m, in
// stretch i. The force is in the axes of the row.
func (c *Chain) Loads(i int, x float64, force Vec) []PointLoad {
	var out []PointLoad
	s := &c.stretches[i]
	for _, p := range s.parts {
		if s.stub != (Vec{}) {
			out = append(out, s.onArm(&p, p.carries(force), p.Arm+x-s.from))
			continue
		}
		out = append(out, PointLoad{Member: p.Member, At: p.At + x - s.from, Force: p.carries(force)})
	}
	return out
}

// onArm returns a force at a distance along a rigid arm as what it does to the end of its member.
func (s *stretch) onArm(p *Part, force Vec, at float64) PointLoad {
	return PointLoad{Member: p.Member, At: p.At, Force: force, Moment: s.stub.scale(at).cross(force)}
}

// ArmLoads returns what a force per length, N/m, between two coordinates of the chain, m, does
// by the rigid arms there: point loads, which LineLoads has not. The force is in the axes of the row.
func (c *Chain) ArmLoads(from, to float64, force Vec) []PointLoad {
	var out []PointLoad
	for i := range c.stretches {
		s := &c.stretches[i]
		a, b := math.Max(from, s.from), math.Min(to, s.to)
		if s.stub == (Vec{}) || b <= a {
			continue
		}
		for _, p := range s.parts {
			out = append(out, s.onArm(&p, p.carries(force.scale(b-a)), p.Arm+(a+b)/2-s.from))
		}
	}
	return out
}

// LineLoads returns line loads for a force per length, N/m, between two coordinates
// of the chain, m, what stands on rigid arms aside: see ArmLoads. The force is in the axes of the row.
func (c *Chain) LineLoads(from, to float64, force Vec) []LineLoad {
	var out []LineLoad
	for _, s := range c.stretches {
		a, b := math.Max(from, s.from), math.Min(to, s.to)
		if b <= a || s.stub != (Vec{}) {
			continue
		}
		for _, p := range s.parts {
			f := p.carries(force)
			out = append(out, LineLoad{Member: p.Member, From: p.At + a - s.from, To: p.At + b - s.from, Start: f, End: f})
		}
	}
	return out
}

// Response is a scalar of the frame that is linear in the loads: a freedom, a
// section force, a displacement between nodes, or a sum of these. Its unit is that of what it
// tells: N, N·m, m or rad.
type Response struct {
	terms []term
	own   []ownTerm
}

// ownTerm is what a load on a member does to a section of that member beyond
// what its nodes' movements tell: a cubic of the load's station on either side of the section,
// for the one local direction that the component feels, or for a couple about local x. What
// couples about y and z and changes of temperature do follows from these.
type ownTerm struct {
	member        MemberID
	station       float64
	direction     int
	before, after cubic
}

// Freedom is the response of one global freedom of a node, m or rad.
func (s *Factored) Freedom(n NodeID, f Freedom) Response {
	return Response{terms: slices.Clone(s.nodes.at(n, f))}
}

// Section is the response of one component at a station of a
// member, m, in its local axes and with the signs of a [Diagram]. A line that runs over the section is cut there: the
// piece up to the station ends with the load just before the section, the next
// one starts with the load just after it. At the far end every load on the member,
// one at the very end too, stands before the section. It panics for a station off the member.
func (s *Factored) Section(m MemberID, station float64, c Component) Response {
	var rows sectionRows
	var out [1]Response
	s.section(m, station).rows(&rows, []Component{c})
	s.sections(&Room{}, out[:], m, &rows)
	return out[0]
}

// sectionForces are the components that are forces and moments.
var sectionForces = [6]Component{Axial, ShearY, ShearZ, Torsion, MomentY, MomentZ}

// SectionForces are the responses of the forces and moments at a station of a member, m: those
// of Section, all six of Axial to MomentZ.
func (s *Factored) SectionForces(m MemberID, station float64) (out [6]Response) {
	return s.SectionForcesIn(&Room{}, m, station)
}

// SectionForcesIn returns the same in a room.
func (s *Factored) SectionForcesIn(room *Room, m MemberID, station float64) (out [6]Response) {
	if room.known == nil {
		room.known = new(kinds[section, sectionRows])
	}
	forces := func(to *sectionRows, of section) { of.rows(to, sectionForces[:]) }
	s.sections(room, out[:], m, room.known.of(s.section(m, station), forces))
	return out
}

// Room is memory for responses that are done with soon: they are good until it is cleared.
type Room struct {
	terms []term
	own   []ownTerm
	known *kinds[section, sectionRows] // section forces
}

// section is a section of an element at a station, m.
type section struct {
	station float64
	element
}

// section returns one of a member.
func (s *Factored) section(m MemberID, station float64) section {
	return section{s.station(m, station), s.elements[m]}
}

// sectionRows are components of a section as rows over the end displacements of its member's nodes, global
// axes, and what a load on the member does to them besides.
type sectionRows struct {
	rows [6]vec12
	own  [6]ownTerm // of no member yet
}

// rows writes those of up to six components.
func (of section) rows(out *sectionRows, components []Component) {
	shape, k := of.shapes(), of.stiffness()
	for i, c := range components {
		own := &out.own[i]
		*own = ownTerm{}
		out.rows[i] = of.toGlobal(of.section(own, &shape, &k, of.station, c))
		if of.station >= of.length*(1-1e-12) {
			own.station = math.Inf(1) // every load on the member stands before its far end
		}
	}
}

// Clear makes room anew: what was written in it is no longer good.
func (r *Room) Clear() { r.terms, r.own = r.terms[:0], r.own[:0] }

// reserve makes room for so many terms and own terms more.
func (r *Room) reserve(terms, own int) {
	if cap(r.terms)-len(r.terms) < terms {
		r.terms = make([]term, 0, max(terms, 2*cap(r.terms)))
	}
	if cap(r.own)-len(r.own) < own {
		r.own = make([]ownTerm, 0, max(own, 2*cap(r.own)))
	}
}

// sections writes the responses of components of a section of a member, in a room.
func (s *Factored) sections(in *Room, out []Response, m MemberID, of *sectionRows) {
	ends := s.ends(m)
	in.reserve(len(out)*termsOf(ends[:]), len(out))
	from := len(in.own)
	in.own = append(in.own, of.own[:len(out)]...)
	own, room := in.own[from:], in.terms
	for i := range out {
		own[i].member = m
		terms := room[len(room):]
		for j, f := range of.rows[i] {
			terms = combine(terms, ends[j], f)
		}
		room = room[:len(room)+len(terms)]
		out[i] = Response{terms: terms[:len(terms):len(terms)], own: own[i : i+1 : i+1]}
	}
	in.terms = room
}

// Movement is the response of a node's movement along a direction, a unit vector in global
// axes, m.
func (s *Factored) Movement(n NodeID, direction Vec) Response {
	moves := s.nodes.of(n)
	return Response{terms: towards(make([]term, 0, termsOf(moves[:3])), moves[:3], direction)}
}

// MovementsIn are the responses of a node's movements along three axes, m, and of its rotations
// about them, rad, in a room that is kept.
func (s *Factored) MovementsIn(in *Room, n NodeID, axes Axes) (out [6]Response) {
	freedoms := s.nodes.of(n)
	in.reserve(3*termsOf(freedoms[:]), 0)
	room := in.terms
	for k := range out {
		terms := towards(room[len(room):], freedoms[k-k%3:][:3], axes[k%3])
		room = room[:len(room)+len(terms)]
		out[k] = Response{terms: terms[:len(terms):len(terms)]}
	}
	in.terms = room
	return out
}

func termsOf(lists [][]term) (n int) {
	for _, l := range lists {
		n += len(l)
	}
	return n
}

// towards returns the sum of three freedoms, each times its part of a direction, in the room
// of an empty list.
func towards(room []term, freedoms [][]term, direction Vec) []term {
	for k, f := range direction {
		room = combine(room, freedoms[k], f)
	}
	return room
}

// section returns a component as a row over the local end displacements of the
// member's nodes, and sets its own term, which is nothing yet.
func (e *element) section(own *ownTerm, shape *[12][4]cubic, k *mat12, x float64, c Component) (row vec12) {
	d := c.direction()
	own.station, own.direction = x, d
	if c >= MoveX {
		return e.movement(own, shape, x, c)
	}
	// The section force is the action on the +x face: minus what stands before it.
	var pick vec12 // over the start forces
	pick[c] = -1
	direct := cubic{-1} // of a unit load at station a before the section
	switch c {
	case MomentY:
		pick = vec12{2: -x, 4: -1}
		direct = cubic{-x, 1}
	case MomentZ:
		pick = vec12{1: x, 5: -1}
		direct = cubic{x, -1}
	}
	for i, p := range pick {
		if p == 0 {
			continue
		}
		for j := range 12 {
			row[j] += p * k[i][j]
		}
		own.after = own.after.plus(e.fixedEnd(shape, i, d), p)
	}
	own.before = own.after.plus(direct, 1)
	return row
}

// direction returns the one local direction of a load that a component feels while the
// nodes are still; of couples and changes of temperature those about the same axis.
func (c Component) direction() int {
	switch c {
	case Axial, MoveX:
		return 0
	case ShearY, MomentZ, MoveY, TurnZ:
		return 1
	case ShearZ, MomentY, MoveZ, TurnY:
		return 2
	}
	return about
}

// fixedEnd returns end force i that holds the member against a unit load in
// local direction d, with its nodes still, as a cubic of the load's station.
func (e *element) fixedEnd(shape *[12][4]cubic, i, d int) cubic {
	out := shape[i][d].scale(-1)
	if e.condensed == nil {
		return out
	}
	for j := range 12 {
		for k := range 12 {
			if g := e.full[i][j] * e.give[j][k]; g != 0 {
				out = out.plus(shape[k][d], g)
			}
		}
	}
	return out
}

// movement returns a displacement or a rotation of a section: the shape functions on the
// member's own ends, and the movement of the member between fixed ends.
func (e *element) movement(own *ownTerm, shape *[12][4]cubic, x float64, c Component) (row vec12) {
	d := c.direction()
	var ends vec12
	for i := range 12 {
		switch c {
		case TurnY:
			ends[i] = -e.turning(2, &shape[i][2]).at(x)
		case TurnZ:
			ends[i] = e.turning(1, &shape[i][1]).at(x)
		default:
			ends[i] = shape[i][d].at(x)
		}
	}
	own.before, own.after = e.fixedMovement(shape, x, c)
	if e.condensed == nil {
		return ends
	}
	for i := range 12 {
		if ends[i] == 0 {
			continue
		}
		for j := range 12 {
			row[j] += ends[i] * e.follow[i][j]
		}
		for k := range 12 {
			if g := ends[i] * e.give[i][k]; g != 0 { // v = … - give·F, and F = -shape
				own.before = own.before.plus(shape[k][d], g)
				own.after = own.after.plus(shape[k][d], g)
			}
		}
	}
	return row
}

// fixedMovement returns the movement or rotation at station s of the member between fixed
// ends, as a cubic of the station a of a unit load in the component's direction, for a < s
// and for a > s. Each is the deflection, by statics and strain, of the part of the member
// between the section and the end where no load stands, from the forces at that end.
func (e *element) fixedMovement(shape *[12][4]cubic, s float64, c Component) (before, after cubic) {
	l, t := e.length, e.length-s
	switch c {
	case MoveX:
		return cubic{0, t / (l * e.ea)}, cubic{s / e.ea, -s / (l * e.ea)}
	case Twist:
		return cubic{0, t / (l * e.gj)}, cubic{s / e.gj, -s / (l * e.gj)}
	}
	d := c.direction()
	ei, flexibility := e.bending(d)
	v1, r1, v2, r2 := shape[1][d], shape[5][d], shape[7][d], shape[11][d]
	sign := 1.0
	if d == 2 {
		v1, r1, v2, r2 = shape[2][d], shape[4][d].scale(-1), shape[8][d], shape[10][d].scale(-1)
		sign = -1
	}
	if c == MoveY || c == MoveZ {
		after = v1.scale(flexibility*s-s*s*s/(6*ei)).plus(r1, s*s/(2*ei))
		before = v2.scale(flexibility*t-t*t*t/(6*ei)).plus(r2, -t*t/(2*ei))
		return before, after
	}
	after = v1.scale(-s*s/(2*ei)).plus(r1, s/ei)
	before = v2.scale(t*t/(2*ei)).plus(r2, t/ei)
	return before.scale(sign), after.scale(sign)
}

// Combine returns the sum of responses, each times its factor.
func Combine(factors []float64, responses []Response) Response {
	terms, own := 0, 0
	for i := range responses {
		if factors[i] != 0 {
			terms, own = terms+len(responses[i].terms), own+len(responses[i].own)
		}
	}
	out := Response{terms: make([]term, 0, terms), own: make([]ownTerm, 0, own)}
	for i := range responses {
		out.add(factors[i], &responses[i])
	}
	return out
}

// CombineForces returns the sums of responses as [Factored.SectionForces] gives them, each set
// times its factor, in one piece of memory.
func CombineForces(factors []float64, sets ...*[6]Response) (out [6]Response) {
	terms, own := 0, 0
	for _, set := range sets {
		for k := range set {
			terms, own = terms+len(set[k].terms), own+len(set[k].own)
		}
	}
	termRoom, ownRoom := make([]term, 0, terms), make([]ownTerm, 0, own)
	for k := range out {
		r := Response{terms: termRoom[len(termRoom):], own: ownRoom[len(ownRoom):]}
		for i, set := range sets {
			r.add(factors[i], &set[k])
		}
		termRoom, ownRoom = termRoom[:len(termRoom)+len(r.terms)], ownRoom[:len(ownRoom)+len(r.own)]
		out[k] = Response{terms: slices.Clip(r.terms), own: slices.Clip(r.own)}
	}
	return out
}

// add adds a response times a factor.
func (r *Response) add(factor float64, of *Response) {
	if factor == 0 {
		return
	}
	r.terms = combine(r.terms, of.terms, factor)
	for _, o := range of.own {
		o.before, o.after = o.before.scale(factor), o.after.scale(factor)
		r.own = append(r.own, o)
	}
}

// Influence holds what a unit load does along one chain, for a set of load
// directions: ready to give the influence line of any response.
type Influence struct {
	model      *Factored
	chain      *Chain
	directions []Vec
	basis      []nodalForce // those of unit loads
	from       []int32      // where those of each stretch and direction begin; the end
	columns    int          // of the flexibility that the basis reads
	scratch    vector
}

// nodalForce is what a unit load in a direction does to an equation: a cubic of the coordinate from the
// start of a stretch.
type nodalForce struct {
	column int // the equation; of an influence the column of the flexibility under a unit load on it
	cubic
}

// Influence prepares a chain for unit loads in the given directions (in the axes of its
// rows, not necessarily of unit size). It makes one band solve for each equation that
// such a load can reach and that no chain has been prepared for.
func (s *Factored) Influence(c *Chain, directions ...Vec) *Influence {
	in := &Influence{model: s, chain: c, directions: directions}
	in.from = make([]int32, 0, len(directions)*len(c.stretches)+1)
	in.basis = make([]nodalForce, 0, 4*cap(in.from))
	var loads [4][]term
	for i := range c.stretches {
		for _, dir := range directions {
			s.consistent(&loads, &c.stretches[i], dir)
			in.from = append(in.from, int32(len(in.basis)))
			in.basis = s.nodalForces(in.basis, &loads)
		}
	}
	in.from = append(in.from, int32(len(in.basis)))
	in.columns = s.bend(in.basis)
	return in
}

// nodalForces appends the forces of a load on free equations, given for each power of the coordinate.
func (s *Factored) nodalForces(to []nodalForce, loads *[4][]term) []nodalForce {
	own := len(to)
	for power, terms := range loads {
		for _, t := range terms {
			if t.eq >= s.free || t.coeff == 0 {
				continue
			}
			i := own
			for i < len(to) && to[i].column != t.eq {
				i++
			}
			if i == len(to) {
				to = append(to, nodalForce{column: t.eq})
			}
			to[i].cubic[power] += t.coeff
		}
	}
	return to
}

// consistent writes the nodal forces that are equivalent to a unit load on a
// stretch, as terms for each power of the coordinate from its start, over lists that are done with.
func (s *Factored) consistent(out *[4][]term, st *stretch, direction Vec) {
	for k := range out {
		out[k] = out[k][:0]
	}
	for i := range st.parts {
		p := &st.parts[i]
		e := &s.elements[p.Member]
		shape := e.shapes()
		local := e.axes.into(p.carries(direction))
		ends := s.ends(p.Member)
		var forces [4]vec12
		for i := range 12 {
			for d := range 3 {
				if local[d] == 0 {
					continue
				}
				f := e.fixedEnd(&shape, i, d)
				if f == (cubic{}) {
					continue
				}
				f = st.along(p, f.scale(-local[d]), 0)
				for k := range f {
					forces[k][i] += f[k]
				}
			}
		}
		for k := range forces {
			for i, v := range e.toGlobal(forces[k]) {
				out[k] = combine(out[k], ends[i], v)
			}
		}
	}
}

// Directions returns the directions of the unit loads.
func (in *Influence) Directions() []Vec { return in.directions }

// Line is the influence line of one response along a chain: in each piece a
// cubic of the coordinate from the piece's start, for each load direction. A value is the
// response to the direction taken as a force in N.
type Line struct {
	Pieces []Piece
	zero   bool
}

// Piece is a length of an influence line.
type Piece struct {
	Stretch  int          // of the chain, from 0
	From, To float64      // chain coordinates, m
	Coeffs   [][4]float64 // one cubic for each direction: factors of 1, s, s² and s³, s from the piece's start, m
}

// At returns the value for direction d at chain coordinate x, m, within the piece.
func (p *Piece) At(d int, x float64) float64 { return cubic(p.Coeffs[d]).at(x - p.From) }

// Line returns the influence line of a response.
func (in *Influence) Line(r Response) Line { return in.Lines(r)[0] }

// Lines returns the influence lines of several responses, cut into the same
// pieces.
func (in *Influence) Lines(responses ...Response) []Line {
	cuts := in.cuts(responses)
	out := make([]Line, len(responses))
	moved := make(vector, in.columns)
	stretches := len(in.chain.stretches)
	for i, r := range responses {
		moves := in.model.moved(moved, r.terms)
		out[i] = Line{Pieces: make([]Piece, 0, stretches+len(cuts)), zero: !moves}
		store := make([][4]float64, (stretches+len(cuts))*len(in.directions))
		for st := range stretches {
			whole := in.stretchLine(st, moved, moves)
			out[i].Pieces = in.split(out[i].Pieces, &store, st, whole, cuts)
		}
		for _, own := range r.own {
			in.addOwn(&out[i], own)
		}
	}
	return out
}

// cuts returns the chain coordinates at which the responses' own members must
// be cut: at their sections.
func (in *Influence) cuts(responses []Response) []float64 {
	var cuts []float64
	for _, r := range responses {
		for _, own := range r.own {
			for _, st := range in.chain.stretches {
				for _, p := range st.parts {
					x := st.from + own.station - p.At
					if p.Member == own.member && x > st.from+1e-12 && x < st.to-1e-12 && !slices.Contains(cuts, x) {
						cuts = append(cuts, x)
					}
				}
			}
		}
	}
	slices.Sort(cuts)
	return cuts
}

func (in *Influence) stretchLine(st int, moved vector, moves bool) [][4]float64 {
	out := make([][4]float64, len(in.directions))
	if moves {
		in.addStretch(out, st, moved)
	}
	return out
}

// addStretch adds the cubics of one stretch, one for each direction.
func (in *Influence) addStretch(dst [][4]float64, st int, moved vector) {
	ends := in.from[len(in.directions)*st:][:len(in.directions)+1]
	from := ends[0]
	for d, to := range ends[1:] {
		forces := in.basis[from:to]
		from = to
		sum := &dst[d]
		for i := range forces {
			f := &forces[i]
			if u := moved[f.column]; u != 0 {
				sum[0] += f.cubic[0] * u
				sum[1] += f.cubic[1] * u
				sum[2] += f.cubic[2] * u
				sum[3] += f.cubic[3] * u
			}
		}
	}
}

// Cubics adds the influence line of a response to dst, one cubic for each stretch
// and, within it, each direction, of the coordinate from the stretch's start. It
// reports whether there is any. No section of the response may lie inside a
// stretch: its line would have two cubics there, as Lines gives.
func (in *Influence) Cubics(dst [][4]float64, r Response) bool {
	if len(in.scratch) < in.columns {
		in.scratch = make(vector, in.columns)
	}
	nd := len(in.directions)
	moves := in.model.moved(in.scratch, r.terms)
	if moves {
		for st := range in.chain.stretches {
			in.addStretch(dst[st*nd:(st+1)*nd], st, in.scratch)
		}
	}
	for i := range r.own {
		own := &r.own[i]
		for st := range in.chain.stretches {
			if s := &in.chain.stretches[st]; s.loads(own.member) && in.addOwnTo(dst[st*nd:(st+1)*nd], st, s.from, *own) {
				moves = true
			}
		}
	}
	return moves
}

// CubicsWithin adds the influence line of a response to dst as Cubics does, and returns
// the stretches, from the first up to before the second, to which it may have added
// something; none where the two are equal.
func (in *Influence) CubicsWithin(dst [][4]float64, r Response) (from, to int) {
	if in.Cubics(dst, r) {
		return 0, len(in.chain.stretches)
	}
	return 0, 0
}

// split appends a stretch to the pieces, cut where the cuts lie in it.
func (in *Influence) split(pieces []Piece, store *[][4]float64, st int, whole [][4]float64, cuts []float64) []Piece {
	s := in.chain.stretches[st]
	from := s.from
	add := func(to float64) {
		n := len(in.directions)
		coeffs := (*store)[:n:n]
		*store = (*store)[n:]
		for d := range coeffs {
			coeffs[d] = [4]float64(cubic(whole[d]).shift(from - s.from))
		}
		pieces = append(pieces, Piece{st, from, to, coeffs})
		from = to
	}
	for _, x := range cuts {
		if x > from && x < s.to {
			add(x)
		}
	}
	add(s.to)
	return pieces
}

// addOwn adds an own term to the pieces that load its member.
func (in *Influence) addOwn(l *Line, own ownTerm) {
	for i := range l.Pieces {
		p := &l.Pieces[i]
		if in.addOwnTo(p.Coeffs, p.Stretch, p.From, own) {
			l.zero = false
		}
	}
}

// addOwnTo adds an own term to the cubics of a length that starts at coordinate
// from of a stretch, and reports whether it changed any.
func (in *Influence) addOwnTo(coeffs [][4]float64, st int, from float64, own ownTerm) bool {
	if own.direction == about {
		return false
	}
	changed := false
	stretch := &in.chain.stretches[st]
	for i := range stretch.parts {
		part := &stretch.parts[i]
		if part.Member != own.member {
			continue
		}
		at := part.At + from - stretch.from
		side := own.before
		if at > own.station-1e-12 {
			side = own.after
		}
		if side == (cubic{}) {
			continue
		}
		e := &in.model.elements[own.member]
		for d, dir := range in.directions {
			if f := e.axes[own.direction].dot(part.carries(dir)); f != 0 {
				coeffs[d] = [4]float64(cubic(coeffs[d]).plus(stretch.along(part, side, from-stretch.from), f))
				changed = true
			}
		}
	}
	return changed
}

// Zero reports whether the line vanishes everywhere by the frame's make-up.
func (l *Line) Zero() bool { return l.zero }

// Stationary appends to dst the coordinates inside the piece, m from its start,
// at which direction d has no slope.
func (p *Piece) Stationary(dst []float64, d int) []float64 {
	return cubic(p.Coeffs[d]).stationary(dst, p.To-p.From)
}

// Extremes returns the least and largest value for direction d and where along
// the chain they stand.
func (l *Line) Extremes(d int) (least, largest Extreme) {
	least, largest = Extreme{Value: math.Inf(1)}, Extreme{Value: math.Inf(-1)}
	look := func(x, v float64) { widen(&least, &largest, Extreme{x, v}) }
	for i := range l.Pieces {
		p := &l.Pieces[i]
		var room [4]float64
		look(p.From, p.Coeffs[d][0])
		for _, x := range p.Stationary(room[:0], d) {
			look(p.From+x, cubic(p.Coeffs[d]).at(x))
		}
		look(p.To, cubic(p.Coeffs[d]).at(p.To-p.From))
	}
	return least, largest
}

// Length is a part of a chain, between two of its coordinates, m.
type Length struct{ From, To float64 }

// Integral returns the integral of direction d over lengths of the chain: the response to the
// direction, in N/m, all along them.
func (l *Line) Integral(d int, over []Length) float64 {
	s := 0.0
	i := 0
	for _, part := range over {
		for i > 0 && l.Pieces[i-1].To > part.From {
			i--
		}
		for ; i < len(l.Pieces) && l.Pieces[i].From < part.To; i++ {
			p := &l.Pieces[i]
			a, b := math.Max(part.From, p.From), math.Min(part.To, p.To)
			if b > a {
				s += cubic(p.Coeffs[d]).integral(a-p.From, b-p.From)
			}
		}
	}
	return s
}

// Reach bounds from below and above the integral of direction d over any lengths of the chain. The
// negative and the positive coefficients of a piece in Bernstein form bound its negative and its
// positive part; where it has one sign alone the bound is its integral.
func (l *Line) Reach(d int) (low, high float64) {
	for i := range l.Pieces {
		p := &l.Pieces[i]
		length := p.To - p.From
		for _, b := range cubic(p.Coeffs[d]).bernstein(length) {
			low += min(b, 0) * length / 4
			high += max(b, 0) * length / 4
		}
	}
	return low, high
}

// Adverse returns the lengths of the chain over which a sum of lines (each times
// its weight, in direction d) is positive, touching lengths joined. The lines are of one
// call of Lines, cut into the same pieces.
func Adverse(lines []Line, weights []float64, d int) []Length {
	var above joinedLengths
	for i := range lines[0].Pieces {
		var c cubic
		for k := range lines {
			if weights[k] != 0 {
				c = c.plus(cubic(lines[k].Pieces[i].Coeffs[d]), weights[k])
			}
		}
		p := &lines[0].Pieces[i]
		c.eachSign(p.To-p.From, func(a, b float64, sign int) {
			if sign > 0 {
				above.add(p.From+a, p.From+b)
			}
		})
	}
	return above
}

// Signs returns the lengths of the chain over which direction d is positive and those over
// which it is negative: what [Adverse] returns for the line and for its opposite.
func (l *Line) Signs(d int) (above, below []Length) { return l.SignsIn(nil, nil, d) }

// SignsIn returns the same in the room of two lists that are done with.
func (l *Line) SignsIn(above, below []Length, d int) (newAbove, newBelow []Length) {
	lengths := [2]joinedLengths{above[:0], below[:0]}
	for i := range l.Pieces {
		p := &l.Pieces[i]
		cubic(p.Coeffs[d]).eachSign(p.To-p.From, func(a, b float64, sign int) {
			lengths[(1-sign)/2].add(p.From+a, p.From+b)
		})
	}
	return lengths[0], lengths[1]
}

// joinedLengths are lengths in order, those that touch joined.
type joinedLengths []Length

func (l *joinedLengths) add(from, to float64) {
	if from >= to { // a root may stand on the end of a piece
		return
	}
	if n := len(*l); n > 0 && from-(*l)[n-1].To < 1e-9 {
		(*l)[n-1].To = to
		return
	}
	*l = append(*l, Length{from, to})
}
