package solver

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
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

// Factored is a frame whose stiffness has been assembled and factorised.
// It is ready for any number of right-hand sides, one goroutine at a time.
type Factored struct {
	frame    *Frame
	elements []element
	nodes    []freedoms
	free     int // equations to solve
	held     int // restrained equations, numbered after the free ones
	names    []equationName
	band     *mat.SymBandDense
	factor   blas64.TriangularBand
	heldRows [][]term       // stiffness rows of the restrained equations, over all equations
	norm     float64        // largest row sum of |K|
	springs  []spring       // between nodes and the ground
	columns  map[int]window // solutions for a unit load on one equation
	residual float64        // the largest of all solves so far
}

type equationName struct {
	node      NodeID
	direction string
}

// spring resists the movement that its terms add up to: of a node against the ground, or
// of the two nodes of a joint against each other, which has no node and no freedom here.
type spring struct {
	node      NodeID
	freedom   Freedom
	terms     []term
	stiffness float64 // N/m or N·m/rad
}

// Factorise numbers the equations, assembles the stiffness and factorises it.
// It returns an *InputError for what makes no sense and a
// *MechanismError for a frame that is not held.
func (f *Frame) Factorise() (*Factored, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	s := &Factored{frame: f, columns: map[int]window{}, elements: make([]element, len(f.members))}
	for id := range f.members {
		e, err := f.element(MemberID(id))
		if err != nil {
			return nil, err
		}
		s.elements[id] = e
	}
	s.number()
	s.assemble()
	if err := s.factorise(); err != nil {
		return nil, err
	}
	return s, nil
}

// number gives every freedom of every node its terms.
func (s *Factored) number() {
	f := s.frame
	s.nodes = make([]freedoms, len(f.nodes))
	done := make([]bool, len(f.nodes))
	var visit func(n NodeID)
	visit = func(n NodeID) {
		if done[n] {
			return
		}
		done[n] = true
		if j := f.nodes[n].joint; j >= 0 {
			visit(f.joints[j].First)
			s.nodes[n] = s.second(f.joints[j])
			return
		}
		for d := range 6 {
			eq := s.equation(f.nodes[n].fixed[d], n, Freedom(d).String())
			s.nodes[n][d] = []term{{eq, 1}}
		}
	}
	for n := range f.nodes {
		visit(NodeID(n))
	}
	// Restrained equations were numbered from -1 down; they go after the free ones.
	for n := range s.nodes {
		for d := range 6 {
			for i, t := range s.nodes[n][d] {
				if t.eq < 0 {
					s.nodes[n][d][i].eq = s.free - 1 - t.eq
				}
			}
		}
	}
}

func (s *Factored) equation(fixed bool, n NodeID, direction string) int {
	if fixed {
		s.held++
		return -s.held
	}
	s.names = append(s.names, equationName{n, direction})
	s.free++
	return s.free - 1
}

// second returns the freedoms of a joint's second node: along each axis of the
// joint the first node's where it is shared, an equation of its own elsewhere.
func (s *Factored) second(j Joint) freedoms {
	var local freedoms
	for k := range 6 {
		if j.Ties[k].shared() {
			local[k] = s.carried(j, k)
			continue
		}
		kind := "translation along"
		if k >= 3 {
			kind = "rotation about"
		}
		local[k] = []term{{s.equation(false, j.Second, kind+" "+axisName(j.Axes[k%3])), 1}}
	}
	var out freedoms
	for d := range 6 {
		group := d - d%3
		for k := range 3 {
			out[d] = combine(out[d], local[group+k], j.Axes[k][d%3])
		}
	}
	return out
}

// carried returns the first node's movement along (or rotation about) axis k of
// the joint, at the second node, carried there by the rigid arm.
func (s *Factored) carried(j Joint, k int) []term {
	first := &s.nodes[j.First]
	axis := j.Axes[k%3]
	var out []term
	if k >= 3 {
		for d := range 3 {
			out = combine(out, first[3+d], axis[d])
		}
		return out
	}
	arm := s.frame.nodes[j.Second].at.sub(s.frame.nodes[j.First].at)
	turn := arm.cross(axis) // axis·(θ × arm) = θ·(arm × axis)
	for d := range 3 {
		out = combine(out, first[d], axis[d])
		out = combine(out, first[3+d], turn[d])
	}
	return out
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
// from. Errors are those of Factorise.
func (s *Factored) Resprung(factor float64) (*Factored, error) {
	out := *s
	out.columns, out.residual = map[int]window{}, 0
	raw := s.band.RawSymBand()
	out.band = mat.NewSymBandDense(s.free, raw.K, slices.Clone(raw.Data))
	out.heldRows = make([][]term, len(s.heldRows))
	for i, row := range s.heldRows {
		out.heldRows[i] = slices.Clone(row)
	}
	out.springs = slices.Clone(s.springs)
	for i := range out.springs {
		k := &out.springs[i]
		out.addProduct(k.terms, k.terms, (factor-1)*k.stiffness)
		k.stiffness *= factor
	}
	if err := out.factorise(); err != nil {
		return nil, err
	}
	return &out, nil
}

// assemble adds up the stiffness of members, joints and springs.
func (s *Factored) assemble() {
	blocks := s.blocks()
	s.springs = s.groundSprings()
	springs := append(s.jointSprings(), s.springs...)
	s.makeRoom(blocks, springs)
	for id := range blocks {
		s.addBlock(&blocks[id])
	}
	for _, k := range springs {
		s.addProduct(k.terms, k.terms, k.stiffness)
	}
}

// block is the stiffness of one member with the terms of its end freedoms, global axes.
type block struct {
	terms [12][]term
	k     mat12
}

func (s *Factored) blocks() []block {
	blocks := make([]block, len(s.elements))
	for id := range s.elements {
		blocks[id] = block{s.ends(MemberID(id)), s.elements[id].globalStiffness()}
	}
	return blocks
}

// jointSprings returns the springs of the joints: each resists the second node's movement
// less that of the first, carried there.
func (s *Factored) jointSprings() []spring {
	var springs []spring
	for _, j := range s.frame.joints {
		for k, t := range j.Ties {
			if t.shared() || t == Free {
				continue
			}
			slip := combine(nil, s.carried(j, k), -1)
			group := k - k%3
			for d := range 3 {
				slip = combine(slip, s.nodes[j.Second][group+d], j.Axes[k%3][d])
			}
			springs = append(springs, spring{terms: slip, stiffness: float64(t)})
		}
	}
	return springs
}

// groundSprings returns the springs between nodes and the ground.
func (s *Factored) groundSprings() []spring {
	var springs []spring
	for n := range s.frame.nodes {
		for d, k := range s.frame.nodes[n].spring {
			if k != 0 {
				springs = append(springs, spring{NodeID(n), Freedom(d), s.nodes[n][d], k})
			}
		}
	}
	return springs
}

// makeRoom makes a band as wide as the widest block or spring, and the rows of the
// restrained equations.
func (s *Factored) makeRoom(blocks []block, springs []spring) {
	width := 0
	for id := range blocks {
		width = max(width, spread(blocks[id].terms[:], s.free))
	}
	for _, k := range springs {
		width = max(width, spread([][]term{k.terms}, s.free))
	}
	if s.free > 0 { // gonum has no matrix of size 0
		s.band = mat.NewSymBandDense(s.free, min(width, s.free-1), nil)
	}
	s.heldRows = make([][]term, s.held)
}

// addBlock adds the stiffness of a member.
func (s *Factored) addBlock(b *block) {
	for i, ti := range b.terms {
		for j, tj := range b.terms {
			if k := b.k[i][j]; k != 0 {
				s.addProduct(ti, tj, k)
			}
		}
	}
}

// ends returns the terms of a member's twelve end freedoms in global axes.
func (s *Factored) ends(id MemberID) [12][]term {
	m := s.frame.members[id]
	var out [12][]term
	for d := range 6 {
		out[d], out[6+d] = s.nodes[m.Start][d], s.nodes[m.End][d]
	}
	return out
}

// spread returns the widest distance between two free equations of one block.
func spread(lists [][]term, free int) int {
	lo, hi := free, -1
	for _, list := range lists {
		for _, t := range list {
			if t.eq < free {
				lo, hi = min(lo, t.eq), max(hi, t.eq)
			}
		}
	}
	return max(hi-lo, 0)
}

// addProduct adds k·aᵀb to the stiffness. Called for (a, b) and (b, a), it keeps
// the upper half.
func (s *Factored) addProduct(a, b []term, k float64) {
	var raw blas64.SymmetricBand
	if s.free > 0 {
		raw = s.band.RawSymBand()
	}
	for _, ta := range a {
		for _, tb := range b {
			v := ta.coeff * tb.coeff * k
			switch {
			case ta.eq >= s.free:
				row := ta.eq - s.free
				s.heldRows[row] = combine(s.heldRows[row], []term{{tb.eq, v}}, 1)
			case tb.eq < s.free && tb.eq >= ta.eq:
				raw.Data[ta.eq*raw.Stride+tb.eq-ta.eq] += v
			}
		}
	}
}

// bandNorm returns the largest row sum of absolute values.
func bandNorm(raw blas64.SymmetricBand) float64 {
	sums := make([]float64, raw.N)
	for i := range raw.N {
		for j := 0; j <= min(raw.K, raw.N-1-i); j++ {
			v := math.Abs(raw.Data[i*raw.Stride+j])
			sums[i] += v
			if j > 0 {
				sums[i+j] += v
			}
		}
	}
	largest := 0.0
	for _, v := range sums {
		largest = math.Max(largest, v)
	}
	return largest
}

// solve overwrites each row of the block with the solution for it and proves it.
func (s *Factored) solve(rows []vector) {
	if s.free == 0 || len(rows) == 0 {
		return
	}
	right, room := make(vector, s.free), make(vector, s.free)
	for _, r := range rows {
		copy(right, r)
		substitute(s.factor, r)
		s.residual = math.Max(s.residual, s.residualIn(room, r, right))
	}
}

// substitute overwrites x with the solution of UᵀU u = x.
func substitute(u blas64.TriangularBand, x vector) {
	v := blas64.Vector{N: len(x), Inc: 1, Data: x}
	blas64.Tbsv(blas.Trans, u, v)
	blas64.Tbsv(blas.NoTrans, u, v)
}

// residualOf returns |f - K u| / (|K| |u| + |f|), largest components.
func (s *Factored) residualOf(u, f vector) float64 {
	return s.residualIn(make(vector, s.free), u, f)
}

// residualIn works the residual out in the room given.
func (s *Factored) residualIn(y, u, f vector) float64 {
	if s.free == 0 {
		return 0
	}
	copy(y, f)
	blas64.Sbmv(-1, s.band.RawSymBand(), blas64.Vector{N: s.free, Inc: 1, Data: u}, 1, blas64.Vector{N: s.free, Inc: 1, Data: y})
	r, nu, nf := largest(y), largest(u), largest(f)
	if math.IsNaN(r) {
		return math.Inf(1)
	}
	if scale := s.norm*nu + nf; scale > 0 {
		return r / scale
	}
	return 0
}

func largest(v vector) float64 {
	m := 0.0
	for _, x := range v {
		if a := math.Abs(x); a > m || math.IsNaN(a) {
			m = a
		}
	}
	return m
}

// Residual returns the largest stiffness residual of all solves so far.
func (s *Factored) Residual() float64 { return s.residual }
