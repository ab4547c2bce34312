package solver

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// term is one equation's part in a freedom or a response.
type term struct {
	eq    int
	coeff float64
}

// freedoms are the six global components of a node's displacement, each a sum
// over equations. Restrained equations have numbers from Factored.free upwards.
type freedoms [6][]term

// allFreedoms are those of every node, in one piece.
type allFreedoms struct {
	starts [][7]int32 // of each node: where the terms of each freedom start, and the end of the last
	terms  []term
}

// put sets the freedoms of a node.
func (a *allFreedoms) put(n NodeID, of *freedoms) {
	for d, terms := range of {
		a.starts[n][d] = int32(len(a.terms))
		a.terms = append(a.terms, terms...)
	}
	a.starts[n][6] = int32(len(a.terms))
}

// putEach sets freedoms of a node that are an equation each.
func (a *allFreedoms) putEach(n NodeID, own *[6]term) {
	for d := range a.starts[n] {
		a.starts[n][d] = int32(len(a.terms) + d)
	}
	a.terms = append(a.terms, own[:]...)
}

// at returns one freedom of a node.
func (a *allFreedoms) at(n NodeID, f Freedom) []term {
	from, to := a.starts[n][f], a.starts[n][f+1]
	return a.terms[from:to:to]
}

// termsAt returns the terms of all freedoms of a node.
func (a *allFreedoms) termsAt(n NodeID) []term { return a.terms[a.starts[n][0]:a.starts[n][6]] }

// of returns all of a node.
func (a *allFreedoms) of(n NodeID) (out freedoms) {
	a.write(&out, n)
	return out
}

// write writes all of a node.
func (a *allFreedoms) write(out *freedoms, n NodeID) {
	starts := &a.starts[n]
	from := starts[0]
	for d := range out {
		to := starts[d+1]
		out[d], from = a.terms[from:to:to], to
	}
}

// Factored is a frame whose stiffness has been assembled and factorised.
// It is ready for any number of right-hand sides, one goroutine at a time. The frame must
// not change while it is in use.
type Factored struct {
	frame    *Frame
	elements []element
	nodes    allFreedoms
	free     int // equations to solve
	held     int // restrained equations, numbered after the free ones
	names    []equationName
	parts    []int         // the equation with which each part of the free ones begins, and the end
	width    int           // how far equations that share stiffness lie apart
	supports []heldFreedom // what the ground holds
	band     *mat.SymBandDense
	factor   upper
	entries  entries     // of the band, which a long frame does not keep
	heldRows [][]term    // stiffness rows of the restrained equations, over all equations
	norm     float64     // largest row sum of |K|
	firmness firmness    // of K
	springs  []spring    // between nodes and the ground
	flex     flexibility // movements under unit loads on equations
	weight   *weighed    // of its members, once gravity acts on them
	residual float64     // the largest of all solves so far
	inBlocks *recursion  // the inverse by blocks, once asked for
	rested   bool        // band and factor are given back for the time being
	resprung bool        // the springs are not those of the frame
	tieless  *Factored   // the frame without end ties, once asked for
	pressed  *pressed    // of the last answer in second order
}

// equationName says which movement an equation is: a freedom of a node, along or about
// the axes of its joint where it is the second node of one.
type equationName struct {
	node    NodeID
	freedom Freedom
}

// spring resists the movement that its terms add up to: of a node against the ground, or
// of the second node of a joint against the first, along or about the joint's axes.
type spring struct {
	node      NodeID
	freedom   Freedom
	terms     []term
	stiffness float64 // N/m or N·m/rad
	joint     bool    // of the joint whose second node this is
}

// Factorise numbers the equations, assembles the stiffness and factorises it.
// It returns an *InputError for what makes no sense, a *MechanismError for a frame that
// is not held, and an *IllConditionedError for one held too softly to be solved.
func (f *Frame) Factorise() (*Factored, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	s := &Factored{frame: f, elements: make([]element, len(f.members))}
	var known prisms
	for id := range f.members {
		e, err := f.element(MemberID(id), &known)
		if err != nil {
			return nil, err
		}
		s.elements[id] = e
	}
	s.number()
	s.supports = s.heldFreedoms()
	joints := s.jointSprings()
	s.springs = s.groundSprings()
	s.renumber(joints, s.springs)
	s.assemble(joints)
	if err := s.factorise(); err != nil {
		return nil, err
	}
	return s, nil
}

// Rest gives back the stiffness and its factor, most of what a long frame takes, until a load
// is solved again: they are made anew then, the same to the last digit. Influence lines by
// blocks that are ready need neither.
func (s *Factored) Rest() {
	if s.free == 0 || s.resprung {
		return
	}
	s.band, s.factor, s.entries, s.heldRows, s.weight, s.rested = nil, upper{}, entries{}, nil, nil, true
}

// wake makes the stiffness and its factor anew where they were given back.
func (s *Factored) wake() {
	if !s.rested {
		return
	}
	s.rested = false
	s.assemble(s.jointSprings())
	if err := s.factorise(); err != nil {
		panic("solver: a frame that was factorised cannot be factorised again: " + err.Error())
	}
}

// number gives every freedom of every node its terms.
func (s *Factored) number() {
	f := s.frame
	s.nodes = allFreedoms{make([][7]int32, len(f.nodes)), make([]term, 0, 8*len(f.nodes))}
	s.names = make([]equationName, 0, 6*(len(f.nodes)-len(f.joints))+3*len(f.joints))
	done := make([]bool, len(f.nodes))
	var visit func(n NodeID)
	visit = func(n NodeID) {
		if done[n] {
			return
		}
		done[n] = true
		if j := f.nodes[n].joint; j >= 0 {
			visit(f.joints[j].First)
			s.second(&f.joints[j])
			return
		}
		s.firstHand(n)
	}
	for n := range f.nodes {
		visit(NodeID(n))
	}
	s.nodes.terms = slices.Clone(s.nodes.terms) // give back the room beyond
	// Restrained equations were numbered from -1 down; they go after the free ones.
	for i, t := range s.nodes.terms {
		if t.eq < 0 {
			s.nodes.terms[i].eq = s.free - 1 - t.eq
		}
	}
}

// termRoom hands out lists of terms, many from one piece of memory.
type termRoom []term

func (r *termRoom) keep(list ...term) []term {
	if cap(*r)-len(*r) < len(list) {
		*r = make(termRoom, 0, max(cap(*r)/2, 2*len(list), 64))
	}
	from := len(*r)
	*r = append(*r, list...)
	return (*r)[from:len(*r):len(*r)]
}

func (s *Factored) equation(fixed bool, n NodeID, freedom Freedom) int {
	if fixed {
		s.held++
		return -s.held
	}
	s.names = append(s.names, equationName{n, freedom})
	s.free++
	return s.free - 1
}

// direction says in words which way an equation moves its node.
func (s *Factored) direction(eq int) string {
	name := s.names[eq]
	n := &s.frame.nodes[name.node]
	switch {
	case n.joint >= 0:
		return directionIn(&s.frame.joints[n.joint].Axes, name.freedom)
	case n.axes != nil:
		return directionIn(n.axes, name.freedom)
	}
	return name.freedom.String()
}

// directionIn says in words which way a freedom along or about some axes moves.
func directionIn(axes *Axes, f Freedom) string {
	kind := "translation along "
	if f >= RX {
		kind = "rotation about "
	}
	return kind + axisName(axes[f%3])
}

// second sets the freedoms of a joint's second node: along each axis of the
// joint the first node's where it is shared, an equation of its own elsewhere.
func (s *Factored) second(j *Joint) {
	var spare [12][12]term // keeps short lists off the heap
	var local [6][]term
	for k := range 6 {
		if j.Ties[k].shared() {
			local[k] = s.carried(spare[k][:0], j, k)
		} else {
			local[k] = append(spare[k][:0], term{s.equation(false, j.Second, Freedom(k)), 1})
		}
	}
	var out freedoms
	for d := range out {
		group := d - d%3
		out[d] = spare[6+d][:0]
		for k := range 3 {
			out[d] = combine(out[d], local[group+k], j.Axes[k][d%3])
		}
	}
	s.nodes.put(j.Second, &out)
}

// carried adds to out the first node's movement along (or rotation about) axis k of
// the joint, at the second node, carried there by the rigid arm.
func (s *Factored) carried(out []term, j *Joint, k int) []term {
	first := s.nodes.of(j.First)
	axis := j.Axes[k%3]
	if k >= 3 {
		for d := range 3 {
			out = combine(out, first[3+d], axis[d])
		}
		return out
	}
	return first.atArm(out, s.frame.nodes[j.Second].at.sub(s.frame.nodes[j.First].at), axis)
}

func axisName(a Vec) string {
	for d, n := range [3]string{"X", "Y", "Z"} {
		if math.Abs(a[d]) == 1 {
			return n
		}
	}
	return fmt.Sprintf("(%.3g, %.3g, %.3g)", a[0], a[1], a[2])
}

// combine returns dst + scale·src, term by term.
func combine(dst, src []term, scale float64) []term {
	if scale == 0 {
		return dst
	}
next:
	for _, t := range src {
		for i := range dst {
			if dst[i].eq == t.eq {
				dst[i].coeff += scale * t.coeff
				continue next
			}
		}
		dst = append(dst, term{t.eq, scale * t.coeff})
	}
	return dst
}

// Resprung returns the same frame with the stiffness of every ground spring times
// a factor, factorised anew. It shares everything else with the frame it comes
// from. Errors are those of Factorise, and an *InputError for a factor below nothing.
func (s *Factored) Resprung(factor float64) (*Factored, error) {
	return s.ResprungIn(nil, factor)
}

// ResprungIn returns the same in the memory of a frame that Resprung returned of this one and
// that is done with, nil for none: solutions of that one are no longer good. Errors are the same.
func (s *Factored) ResprungIn(old *Factored, factor float64) (*Factored, error) {
	if factor < 0 {
		return nil, &InputError{"a spring is negative"}
	}
	if s.rested || s.isInPlace() {
		return s.resprungAnew(old, factor)
	}
	if old == nil || !old.resprung || old.frame != s.frame {
		old = &Factored{}
	}
	room, values, springs, factored := old.band, old.entries.values, old.springs, old.factor
	out := old
	*out = s.unassembled()
	out.heldRows, out.resprung = s.heldRows, true
	if s.free > 0 { // gonum has no matrix of size 0
		raw := s.band.RawSymBand()
		if room == nil {
			room = mat.NewSymBandDense(s.free, raw.K, nil)
		}
		copy(room.RawSymBand().Data, raw.Data)
		out.band = room
	}
	onDiagonal := s.free > 0 && !slices.ContainsFunc(s.springs, func(k spring) bool { return len(k.terms) != 1 || k.terms[0].eq >= s.free })
	if !onDiagonal {
		out.heldRows = cloneRows(s.heldRows)
	}
	out.springs = append(springs[:0], s.springs...)
	for i := range out.springs {
		k := &out.springs[i]
		out.addProduct(k.terms, k.terms, (factor-1)*k.stiffness)
		k.stiffness *= factor
	}
	var err error
	if onDiagonal {
		out.entries = s.entries.onDiagonal(out.band.RawSymBand(), out.springs, values)
		err = out.factoriseEntries(factored, s.firmness.resprung(factor))
	} else {
		err = out.factoriseOver(factored)
	}
	if err != nil {
		return nil, err
	}
	return out, nil
}

// resprungAnew returns the same of a frame at rest, which stays so: the stiffness is assembled once,
// for the springs that are wanted, in the memory of an old frame of this one.
func (s *Factored) resprungAnew(old *Factored, factor float64) (*Factored, error) {
	out := s.unassembled()
	var factored upper
	if old != nil && old.frame == s.frame && old.free == s.free {
		out.band, factored = old.band, old.factor
		out.inRoomOf(old)
		old.band, old.factor, old.entries, old.rested = nil, upper{}, entries{}, true
	}
	out.springs = slices.Clone(s.springs)
	for i := range out.springs {
		out.springs[i].stiffness *= factor
	}
	out.assemble(out.jointSprings())
	if err := out.factoriseOver(factored); err != nil {
		return nil, err
	}
	return &out, nil
}

// unassembled returns the same frame with no stiffness, and with nothing that comes of one.
func (s *Factored) unassembled() Factored {
	out := *s
	out.band, out.factor, out.entries, out.heldRows, out.firmness, out.rested = nil, upper{}, entries{}, nil, firmness{}, false
	out.tieless, out.pressed, out.inBlocks, out.flex, out.residual = nil, nil, nil, flexibility{}, 0
	return out
}

// assemble adds up the stiffness of members, joints and springs, one member after the
// other.
func (s *Factored) assemble(joints []spring) {
	s.makeRoom()
	var known kinds[element, []entry12]
	stiffness := func(to *[]entry12, e element) {
		k := e.globalStiffness()
		k.entries(to)
	}
	for id := range s.elements {
		ends := s.ends(MemberID(id))
		s.addBlock(&ends, *known.of(s.elements[id], stiffness))
	}
	for _, list := range [...][]spring{joints, s.springs} {
		for i := range list {
			s.addProduct(list[i].terms, list[i].terms, list[i].stiffness)
		}
	}
}

// jointSprings returns the springs of the joints: each resists the second node's movement
// less that of the first, carried there.
func (s *Factored) jointSprings() []spring {
	var springs []spring
	for i := range s.frame.joints {
		j := &s.frame.joints[i]
		for k, t := range j.Ties {
			if t.shared() || t == Free {
				continue
			}
			slip := combine(nil, s.carried(nil, j, k), -1)
			group := k - k%3
			for d := range 3 {
				slip = combine(slip, s.nodes.at(j.Second, Freedom(group+d)), j.Axes[k%3][d])
			}
			springs = append(springs, spring{j.Second, Freedom(k), slip, float64(t), true})
		}
	}
	return springs
}

// groundSprings returns the springs between nodes and the ground.
func (s *Factored) groundSprings() []spring {
	var springs []spring
	var room termRoom
	for n := range s.frame.nodes {
		if s.frame.nodes[n].spring == [6]float64{} {
			continue
		}
		for d, k := range s.frame.nodes[n].spring {
			if k != 0 {
				springs = append(springs, spring{NodeID(n), Freedom(d), room.keep(s.along(NodeID(n), Freedom(d))...), k, false})
			}
		}
	}
	return springs
}

// makeRoom makes a band as wide as equations that share stiffness lie apart, and the rows of the
// restrained ones.
func (s *Factored) makeRoom() {
	s.heldRows = emptyRows(s.held)
	if s.free == 0 { // gonum has no matrix of size 0
		return
	}
	if s.band != nil && s.band.SymmetricDim() == s.free && s.band.RawSymBand().K == s.width {
		clear(s.band.RawSymBand().Data)
		return
	}
	s.band = mat.NewSymBandDense(s.free, s.width, nil)
}

// kinds remember what was worked out of the last few elements, or sections, that differ: posts are alike, and bays.
type kinds[K comparable, T any] struct {
	last [4]struct {
		of    K // nothing is of the zero value, which no element has
		value T
	}
	next int
}

// of returns it for one. Where it is not known, work writes it over that of another one.
func (r *kinds[K, T]) of(one K, work func(to *T, of K)) *T {
	for i := range r.last {
		if known := &r.last[i]; known.of == one {
			return &known.value
		}
	}
	out := &r.last[r.next]
	r.next = (r.next + 1) % len(r.last)
	out.of = one
	work(&out.value, one)
	return &out.value
}

// entry12 is an entry of a member's matrix that is not zero.
type entry12 struct {
	row, column int8
	value       float64
}

// entries writes what of a matrix is not zero, row by row.
func (a *mat12) entries(to *[]entry12) {
	*to = slices.Grow((*to)[:0], 64)
	for i := range a {
		for j, v := range a[i] {
			if v != 0 {
				*to = append(*to, entry12{int8(i), int8(j), v})
			}
		}
	}
}

// addBlock adds the matrix of a member.
func (s *Factored) addBlock(ends *[12][]term, entries []entry12) {
	band := s.rawBand()
	for _, k := range entries {
		rows, columns := ends[k.row], ends[k.column]
		if len(rows) == 1 && len(columns) == 1 && rows[0].eq < s.free && columns[0].eq < s.free { // most are
			a, b := &rows[0], &columns[0]
			if apart := b.eq - a.eq; apart >= 0 {
				band.Data[a.eq*band.Stride:][:band.Stride][apart] += a.coeff * b.coeff * k.value
			}
			continue
		}
		for _, a := range rows {
			for _, b := range columns {
				s.addPair(&band, a, b, k.value)
			}
		}
	}
}

// rawBand returns the band of the stiffness, that of nothing where no equation is free.
func (s *Factored) rawBand() blas64.SymmetricBand {
	if s.band == nil {
		return blas64.SymmetricBand{}
	}
	return s.band.RawSymBand()
}

// ends returns the terms of a member's twelve end freedoms in global axes, past its
// offsets.
func (s *Factored) ends(id MemberID) (out [12][]term) {
	m := &s.frame.members[id]
	s.nodes.write((*freedoms)(out[:6]), m.Start)
	s.nodes.write((*freedoms)(out[6:]), m.End)
	if m.Offsets[0] != (Vec{}) || m.Offsets[1] != (Vec{}) {
		start, end := s.nodes.of(m.Start), s.nodes.of(m.End)
		for d, axis := range global {
			out[d], out[6+d] = start.atArm(nil, m.Offsets[0], axis), end.atArm(nil, m.Offsets[1], axis)
		}
	}
	return out
}

// addProduct adds k·aᵀb to the stiffness. Called for (a, b) and (b, a), it keeps
// the upper half.
func (s *Factored) addProduct(a, b []term, k float64) {
	band := s.rawBand()
	for _, ta := range a {
		for _, tb := range b {
			s.addPair(&band, ta, tb, k)
		}
	}
}

// addPair does so for one term of each.
func (s *Factored) addPair(band *blas64.SymmetricBand, a, b term, k float64) {
	v, apart := a.coeff*b.coeff*k, b.eq-a.eq
	switch {
	case a.eq >= s.free:
		s.addHeld(a.eq-s.free, term{b.eq, v})
	case apart >= 0 && b.eq < s.free:
		if apart > band.K {
			panic("solver: a stiffness beyond the band")
		}
		band.Data[a.eq*band.Stride+apart] += v
	}
}

// heldTerms is how many terms the row of a restrained equation seldom has more of.
const heldTerms = 4

// emptyRows returns so many rows with nothing in them.
func emptyRows(n int) [][]term {
	rows, room := make([][]term, n), make([]term, heldTerms*n)
	for i := range rows {
		rows[i] = room[i*heldTerms : i*heldTerms : (i+1)*heldTerms]
	}
	return rows
}

// addHeld adds to the row of a restrained equation.
func (s *Factored) addHeld(row int, t term) {
	list := s.heldRows[row]
	for i := range list {
		if list[i].eq == t.eq {
			list[i].coeff += t.coeff
			return
		}
	}
	s.heldRows[row] = append(list, t)
}

// solve overwrites each row of the block with the solution for it, proves it, and returns
// the largest residual.
func (s *Factored) solve(rows []vector) float64 { return s.solveRows(rows, make(vector, 3*s.free)) }

// solveRows does the same in room for three numbers an equation, whatever they are.
func (s *Factored) solveRows(rows []vector, room vector) float64 {
	if s.free == 0 || len(rows) == 0 {
		return 0
	}
	s.wake()
	n := s.free
	f, p := room[:n], proof{room[n : 2*n], room[2*n:]}
	worst := 0.0
	for _, u := range rows {
		copy(f, u)
		substituteIn(&s.factor, u, p.left)
		worst = math.Max(worst, s.prove(&p, u, f))
	}
	s.residual = math.Max(s.residual, worst)
	return worst
}
