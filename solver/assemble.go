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

// at returns one freedom of a node.
func (a *allFreedoms) at(n NodeID, f Freedom) []term {
	from, to := a.starts[n][f], a.starts[n][f+1]
	return a.terms[from:to:to]
}

// termsAt returns the terms of all freedoms of a node.
func (a *allFreedoms) termsAt(n NodeID) []term { return a.terms[a.starts[n][0]:a.starts[n][6]] }

// of returns all of a node.
func (a *allFreedoms) of(n NodeID) (out freedoms) {
	for d := range out {
		out[d] = a.at(n, Freedom(d))
	}
	return out
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
	parts    []int // the equation with which each part of the free ones begins, and the end
	band     *mat.SymBandDense
	factor   blas64.TriangularBand
	entries  *entries    // in place of the band of a long frame
	heldRows [][]term    // stiffness rows of the restrained equations, over all equations
	norm     float64     // largest row sum of |K|
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
	s.band, s.factor, s.entries, s.heldRows, s.weight, s.rested = nil, blas64.TriangularBand{}, nil, nil, nil, true
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
	if s.rested || s.entries != nil {
		return s.resprungAnew(old, factor)
	}
	if old == nil || !old.resprung || old.frame != s.frame {
		old = &Factored{}
	}
	room, rows, springs, factored := old.band, old.heldRows, old.springs, old.factor.Data
	out := old
	*out = *s
	out.tieless, out.pressed = nil, nil
	out.flex, out.residual, out.inBlocks, out.resprung = flexibility{}, 0, nil, true
	if s.free > 0 { // gonum has no matrix of size 0
		raw := s.band.RawSymBand()
		if room == nil {
			room = mat.NewSymBandDense(s.free, raw.K, nil)
		}
		copy(room.RawSymBand().Data, raw.Data)
		out.band = room
	}
	if rows == nil {
		rows = make([][]term, len(s.heldRows))
	}
	out.heldRows = rows
	for i, row := range s.heldRows {
		out.heldRows[i] = append(rows[i][:0], row...)
	}
	out.springs = append(springs[:0], s.springs...)
	for i := range out.springs {
		k := &out.springs[i]
		out.addProduct(k.terms, k.terms, (factor-1)*k.stiffness)
		k.stiffness *= factor
	}
	if err := out.factoriseOver(factored); err != nil {
		return nil, err
	}
	return out, nil
}

// resprungAnew returns the same of a frame at rest, which stays so: the stiffness is assembled once,
// for the springs that are wanted, in the memory of an old frame of this one.
func (s *Factored) resprungAnew(old *Factored, factor float64) (*Factored, error) {
	out := *s
	out.band, out.factor, out.entries = nil, blas64.TriangularBand{}, nil
	var factored vector
	if old != nil && old.frame == s.frame && old.free == s.free {
		out.band, factored = old.band, old.factor.Data
		out.inRoomOf(old)
		old.band, old.factor, old.entries, old.rested = nil, blas64.TriangularBand{}, nil, true
	}
	out.tieless, out.pressed = nil, nil
	out.flex, out.residual, out.inBlocks, out.rested = flexibility{}, 0, nil, false
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

// assemble adds up the stiffness of members, joints and springs, one member after the
// other.
func (s *Factored) assemble(joints []spring) {
	s.makeRoom(joints, s.springs)
	var k mat12
	for id := range s.elements {
		if id == 0 || s.elements[id] != s.elements[id-1] { // bays are alike
			k = s.elements[id].globalStiffness()
		}
		ends := s.ends(MemberID(id))
		s.addBlock(&ends, &k)
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
func (s *Factored) makeRoom(springs ...[]spring) {
	s.heldRows = make([][]term, s.held)
	room := make([]term, heldTerms*s.held)
	for i := range s.heldRows {
		s.heldRows[i] = room[i*heldTerms : i*heldTerms : (i+1)*heldTerms]
	}
	if s.free == 0 { // gonum has no matrix of size 0
		return
	}
	width := 0
	s.eachTie(springs, func(tied []int32) {
		width = max(width, int(slices.Max(tied)-slices.Min(tied)))
	})
	if s.band != nil && s.band.SymmetricDim() == s.free && s.band.RawSymBand().K == width {
		clear(s.band.RawSymBand().Data)
		return
	}
	s.band = mat.NewSymBandDense(s.free, width, nil)
}

// addBlock adds the stiffness of a member.
func (s *Factored) addBlock(ends *[12][]term, k *mat12) {
	for i, ti := range ends {
		for j, tj := range ends {
			if k[i][j] != 0 {
				s.addProduct(ti, tj, k[i][j])
			}
		}
	}
}

// ends returns the terms of a member's twelve end freedoms in global axes, past its
// offsets.
func (s *Factored) ends(id MemberID) [12][]term {
	m := &s.frame.members[id]
	var out [12][]term
	for d := range Freedom(6) {
		out[d], out[6+d] = s.nodes.at(m.Start, d), s.nodes.at(m.End, d)
	}
	if m.Offsets != ([2]Vec{}) {
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
	for _, ta := range a {
		for _, tb := range b {
			v := ta.coeff * tb.coeff * k
			switch {
			case ta.eq >= s.free:
				s.addHeld(ta.eq-s.free, term{tb.eq, v})
			case tb.eq < s.free && tb.eq >= ta.eq:
				raw := s.band.RawSymBand()
				if tb.eq-ta.eq > raw.K {
					panic("solver: a stiffness beyond the band")
				}
				raw.Data[ta.eq*raw.Stride+tb.eq-ta.eq] += v
			}
		}
	}
}

// heldTerms is how many terms the row of a restrained equation seldom has more of.
const heldTerms = 4

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

// bandNorm returns the largest row sum of absolute values.
func bandNorm(raw blas64.SymmetricBand) float64 {
	sums := make([]float64, raw.N)
	for i := range raw.N {
		row := raw.Data[i*raw.Stride:][:min(raw.K, raw.N-1-i)+1]
		below := sums[i+1:][:len(row)-1]
		sum := math.Abs(row[0])
		for j, v := range row[1:] {
			v = math.Abs(v)
			sum += v
			below[j] += v
		}
		sums[i] += sum
	}
	return largest(sums)
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
		substituteIn(s.factor, u, p.left)
		worst = math.Max(worst, s.prove(&p, u, f))
	}
	s.residual = math.Max(s.residual, worst)
	return worst
}
