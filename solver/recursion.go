package solver

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
)

// BlockInfluence is the second way to the influence lines of a chain. The movements that
// a response has under a unit load on each equation are K⁻¹g, with g the response as a
// row over the equations: found at the blocks of g and carried outward, block by block,
// until what remains cannot be told from nothing. A response costs what its own
// neighbourhood costs, however long the frame. It is for one goroutine at a time.
//
// # What remains
//
// Let no source lie right of block j. The movements a from block j on, their inner
// freedoms those that follow the chain, then satisfy every row of K right of j. Let K_j
// be K from block j on. As a'K_j a is least, over all that lies right of j, where those
// rows are satisfied,
//
//	a'K_j a = a_j'R_j a_j = e_j.
//
// Any functional f of what lies right of j is, by Cauchy and Schwarz in the metric of K_j,
//
//	|f'a| ≤ √(f'K_j⁻¹f) √e_j ≤ √(f'K⁻¹f) √e_j,
//
// the second step because K_j⁻¹ is the corner of K⁻¹ less what the rest of the frame,
// free to move, adds to it, which is positive semidefinite. The norm of f is at most the
// sum over its equations of |f_c| √(K⁻¹)_cc: the flexibility that each equation has
// itself. So one number bounds all that remains of a line. It holds at every block by
// itself, whether or not e_j falls from each block to the next. To the left alike, with S.
//
// That number is far too large for a movement which stores energy but is felt by no load: a
// rail that one end alone keeps from spinning spins all along. What a unit movement of one
// freedom c of block j does to any entry from block j on is at most
//
//	A_j,c ≤ t_j,c + Σ_d |T_j|_dc A_{j+1,d}   and   A_j,c ≤ ‖f‖ √(R_j)_cc,
//
// t_j,c being what the entry has of it in the block itself; from one end to the other these
// are worked out once. A freedom of which the first is far below the second idles. The
// movements split into those of the idle freedoms and the others, either part satisfies the
// rows right of j, and the bounds add up: A_j,c |a_c| for each that idles, the energy for the rest.
type BlockInfluence struct {
	shell   Influence // chain and directions, without columns
	q       *recursion
	entries []entry
	touches []touch // by block, then by entry
	from    []int32 // block -> its first touch, and the end
	inner   []bool  // blocks that are touched at an inner freedom
	beyond  [2]tails
	idling  [2]idlers
	on      stretchesOn
	full    bool // walk to the ends of the frame

	gathered []cubic // by entry: what the walk has gathered
	sources  []source
	core     []vector // movements of the blocks between the sources, and room beside them
	side     [2][2]vector
	factor   vector
	written  [][4]float64
}

// entry is one part's share in the line over one stretch in one direction.
type entry struct {
	slot        int32 // stretch times directions plus direction
	first, last int32 // blocks that it touches
	length      float64
}

// touch is what a unit movement of one freedom of a block adds to an entry.
type touch struct {
	entry, local int32
	cubic        cubic
}

// tails bounds what lies from each block on, to the end of its part: the largest norm
// of an entry, and the length of all entries.
type tails struct{ norm, length vector }

// source is the part of a response in one block, of which it is a range of the terms.
type source struct {
	block int32
	terms []term
}

// InfluenceByBlocks prepares a chain for unit loads in the given directions, as
// [Factored.Influence] does, by blocks. It reports false where rounding leaves a block
// that does not hold itself: the direct way is then the one to take.
func (s *Factored) InfluenceByBlocks(c *Chain, directions ...Vec) (*BlockInfluence, bool) {
	in := &BlockInfluence{shell: Influence{model: s, chain: c, directions: directions}, on: c.byMember()}
	found, held := in.ready()
	if !held {
		return nil, false
	}
	in.sort(found)
	in.bound()
	for side := range in.idling {
		in.idling[side] = in.idle(side)
	}
	in.makeRoom()
	return in, true
}

// stretchesOn lists the stretches of a chain by the members that they load.
type stretchesOn struct {
	from []int32 // member -> the first of its stretches, and the end; up to the last member that is loaded
	list []int32
}

func (c *Chain) byMember() stretchesOn {
	type pair struct {
		member  MemberID
		stretch int32
	}
	var all []pair
	for st := range c.stretches {
		for _, p := range c.stretches[st].parts {
			all = append(all, pair{p.Member, int32(st)})
		}
	}
	slices.SortFunc(all, func(a, b pair) int { return cmp.Or(cmp.Compare(a.member, b.member), cmp.Compare(a.stretch, b.stretch)) })
	var on stretchesOn
	for i, p := range all {
		if i > 0 && all[i-1] == p {
			continue
		}
		for len(on.from) <= int(p.member) {
			on.from = append(on.from, int32(len(on.list)))
		}
		on.list = append(on.list, p.stretch)
	}
	on.from = append(on.from, int32(len(on.list)))
	return on
}

// of returns the stretches on a member, in order.
func (on *stretchesOn) of(m MemberID) []int32 {
	if int(m)+1 >= len(on.from) {
		return nil
	}
	return on.list[on.from[m]:on.from[m+1]]
}

// RestBlocks gives back the blocks of the frame: those that InfluenceByBlocks made stay in use as long as
// what it returned, and it makes them anew, the same to the last digit.
func (s *Factored) RestBlocks() { s.inBlocks = nil }

// ready takes the blocks of the frame, of which those of every part that the chain touches have matrices then, and returns the
// touches of each block.
func (in *BlockInfluence) ready() (found [][]touch, held bool) {
	s := in.shell.model
	if in.q = s.inBlocks; in.q != nil {
		if found = in.touch(); !in.lacks(found) {
			return found, true
		}
	}
	s.whileAssembled(func(raw blas64.SymmetricBand) {
		parts := partsOf(raw)
		if in.q == nil {
			in.q = inBlocks(raw, parts)
			found = in.touch()
		}
		touched := make([]bool, len(parts.starts))
		for b, list := range found {
			touched[in.q.blocks[b].part] = touched[in.q.blocks[b].part] || len(list) > 0
		}
		held = in.q.fill(raw, parts, touched)
	})
	if held {
		s.inBlocks = in.q
	}
	return found, held
}

// touch makes the entries and returns the touches of each block.
func (in *BlockInfluence) touch() [][]touch {
	s, nd := in.shell.model, len(in.shell.directions)
	found := make([][]touch, len(in.q.blocks))
	if len(found) == 0 {
		return nil
	}
	var loads [4][]term
	var forces []nodalForce
	var gathered []touchAt
	for st := range in.shell.chain.stretches {
		stretch := &in.shell.chain.stretches[st]
		for d, dir := range in.shell.directions {
			s.consistent(&loads, stretch, dir)
			forces = s.nodalForces(forces[:0], &loads)
			gathered = gathered[:0]
			for i := range forces {
				f := &forces[i]
				gathered = append(gathered, touchAt{in.q.block[f.column], in.q.local[f.column], f.cubic})
			}
			slices.SortFunc(gathered, func(a, b touchAt) int {
				return cmp.Or(cmp.Compare(a.block, b.block), cmp.Compare(a.local, b.local))
			})
			part := int32(-1)
			for _, t := range gathered {
				if p := in.q.blocks[t.block].part; p != part {
					part = p
					in.entries = append(in.entries, entry{int32(st*nd + d), t.block, t.block, stretch.to - stretch.from})
				}
				last := len(in.entries) - 1
				in.entries[last].last = t.block
				found[t.block] = append(found[t.block], touch{int32(last), t.local, t.cubic})
			}
		}
	}
	return found
}

// lacks reports whether the blocks of a part that is touched have no matrices.
func (in *BlockInfluence) lacks(found [][]touch) bool {
	for b, list := range found {
		if len(list) > 0 && in.q.blocks[b].room == nil {
			return true
		}
	}
	return false
}

// touchAt is a touch before its entry is known.
type touchAt struct {
	block, local int32
	cubic        cubic
}

// sort lays the touches out flat, by block.
func (in *BlockInfluence) sort(found [][]touch) {
	in.touches = slices.Concat(found...)
	in.from = make([]int32, len(found)+1)
	in.inner = make([]bool, len(found))
	for b, list := range found {
		in.from[b+1] = in.from[b] + int32(len(list))
		for i := range list {
			in.inner[b] = in.inner[b] || int(list[i].local) >= in.q.blocks[b].chain
		}
	}
}

// of returns the touches of a block.
func (in *BlockInfluence) of(b int) []touch { return in.touches[in.from[b]:in.from[b+1]] }

// bound works out the tails.
func (in *BlockInfluence) bound() {
	n := len(in.q.blocks)
	norms := make(vector, len(in.entries))
	for b := range n {
		for _, t := range in.of(b) {
			c := t.cubic
			l := in.entries[t.entry].length
			high := c.height(l)
			norms[t.entry] += high * math.Sqrt(in.q.blocks[b].flexibility(int(t.local)))
		}
	}
	for side := range in.beyond {
		in.beyond[side] = tails{make(vector, n), make(vector, n)}
	}
	right, left := &in.beyond[0], &in.beyond[1]
	for i, e := range in.entries {
		right.length[e.last] += e.length
		left.length[e.first] += e.length
		for b := e.first; b <= e.last; b++ {
			right.norm[b] = max(right.norm[b], norms[i])
		}
	}
	copy(left.norm, right.norm)
	for b := 1; b < n; b++ {
		if in.q.linked(b - 1) {
			left.length[b] += left.length[b-1]
			left.norm[b] = max(left.norm[b], left.norm[b-1])
		}
	}
	for b := n - 2; b >= 0; b-- {
		if in.q.linked(b) {
			right.length[b] += right.length[b+1]
			right.norm[b] = max(right.norm[b], right.norm[b+1])
		}
	}
}

// idlers are the chain freedoms of each block that idle, and what a unit movement of each does
// to an entry beyond at most.
type idlers struct {
	from   []int32 // block -> its first, and the end
	local  []int32 // of a block in order
	effect vector
}

// idles is the part of what a movement's energy lets one expect of it below which it idles.
const idles = 1e-6

// idle finds the freedoms that idle for all that lies on a side, 0 right and 1 left.
func (in *BlockInfluence) idle(side int) idlers {
	q, n := in.q, len(in.q.blocks)
	out := idlers{from: make([]int32, n+1)}
	effect, beyond := make(vector, q.widest), make(vector, q.widest)
	direct := make(vector, q.widest)
	// Blocks are visited from the far end: for the right side from the last one on.
	at := func(i int) int {
		if side == 0 {
			return n - 1 - i
		}
		return i
	}
	for i := range n {
		b := at(i)
		if q.blocks[b].room == nil { // nothing is touched in its part
			out.from[i+1] = int32(len(out.local))
			continue
		}
		k, stiff, carry, next := &q.blocks[b], q.blocks[b].r(), q.blocks[b].t(), b+1
		ends := !q.linked(b)
		if side == 1 {
			stiff, carry, next, ends = k.s(), k.u(), b-1, b == 0 || !q.linked(b-1)
		}
		in.direct(b, direct)
		copy(effect[:k.chain], direct[:k.chain])
		if !ends {
			for d := range q.blocks[next].chain {
				for c, v := range carry[d*k.chain : (d+1)*k.chain] {
					effect[c] += math.Abs(v) * beyond[d]
				}
			}
		}
		norm := in.beyond[side].norm[b]
		for c := range k.chain {
			cap := norm * math.Sqrt(max(0, stiff[c*k.chain+c]))
			if effect[c] < idles*cap {
				out.local, out.effect = append(out.local, int32(c)), append(out.effect, effect[c])
			}
			effect[c] = min(effect[c], cap)
		}
		out.from[i+1] = int32(len(out.local))
		effect, beyond = beyond, effect
	}
	if side == 0 { // from the first block on again
		out = out.reversed()
	}
	return out
}

// reversed returns the same with the blocks in the other order.
func (f *idlers) reversed() idlers {
	n := len(f.from) - 1
	out := idlers{make([]int32, n+1), make([]int32, 0, len(f.local)), make(vector, 0, len(f.effect))}
	for b := range n {
		i := n - 1 - b
		out.local = append(out.local, f.local[f.from[i]:f.from[i+1]]...)
		out.effect = append(out.effect, f.effect[f.from[i]:f.from[i+1]]...)
		out.from[b+1] = int32(len(out.local))
	}
	return out
}

// direct writes what a unit movement of each chain freedom of a block does to an entry by what
// is touched in the block itself: no more than the sum over its touches.
func (in *BlockInfluence) direct(b int, dst vector) {
	k := &in.q.blocks[b]
	clear(dst[:k.chain])
	for _, t := range in.of(b) {
		high := t.cubic.height(in.entries[t.entry].length)
		if a := int(t.local) - k.chain; a >= 0 {
			for c, v := range k.w()[a*k.chain : (a+1)*k.chain] {
				dst[c] += math.Abs(v) * high
			}
			continue
		}
		dst[t.local] += high
	}
}

// height returns a bound of a cubic over a length.
func (c cubic) height(l float64) float64 {
	return math.Abs(c[0]) + l*(math.Abs(c[1])+l*(math.Abs(c[2])+l*math.Abs(c[3])))
}

// without returns the movements of a block with none of the freedoms that idle, and the most
// that those do beyond it. The movements may be those of the first freedoms alone.
func (f *idlers) without(b int, x, room vector) (rest vector, most float64) {
	from, to := f.from[b], f.from[b+1]
	for from < to && int(f.local[to-1]) >= len(x) {
		to--
	}
	if from == to {
		return x, 0
	}
	rest = room[:len(x)]
	copy(rest, x)
	for i := from; i < to; i++ {
		c := f.local[i]
		most += math.Abs(x[c]) * f.effect[i]
		rest[c] = 0
	}
	return rest, most
}

// flexibility returns the movement of a freedom under a unit load on itself.
func (k *chainBlock) flexibility(local int) float64 {
	if local < k.chain {
		return k.g()[local*k.chain+local]
	}
	a := local - k.chain
	return k.n()[a*k.inner+a] + energy(k.g(), k.w()[a*k.chain:(a+1)*k.chain])
}

func (in *BlockInfluence) makeRoom() {
	in.gathered = make([]cubic, len(in.entries))
	in.factor = make(vector, in.q.widest*in.q.widest)
	for side := range in.side {
		in.side[side] = [2]vector{make(vector, in.q.widest), make(vector, in.q.widest)}
	}
}

// Directions returns the directions of the unit loads.
func (in *BlockInfluence) Directions() []Vec { return in.shell.directions }

// Cubics is [Influence.Cubics] by blocks.
func (in *BlockInfluence) Cubics(dst [][4]float64, r Response) bool {
	from, to := in.CubicsWithin(dst, r)
	return from < to
}

// CubicsWithin adds the influence line of a response to dst as Cubics does, and returns
// the stretches, from the first up to before the second, to which it may have added
// something; none where the two are equal.
func (in *BlockInfluence) CubicsWithin(dst [][4]float64, r Response) (from, to int) {
	nd := len(in.shell.directions)
	from, to = in.follow(dst, r.terms)
	for _, own := range r.own {
		for _, at := range in.on.of(own.member) {
			st := int(at)
			if in.shell.addOwnTo(dst[st*nd:(st+1)*nd], st, in.shell.chain.stretches[st].from, own) {
				from, to = joined(from, to, st, st+1)
			}
		}
	}
	return from, to
}

// joined returns the range that holds both, of which either may be empty.
func joined(a, b, c, d int) (from, to int) {
	switch {
	case a >= b:
		return c, d
	case c >= d:
		return a, b
	}
	return min(a, c), max(b, d)
}

// Line is [Influence.Line] by blocks.
func (in *BlockInfluence) Line(r Response) Line { return in.Lines(r)[0] }

// Lines is [Influence.Lines] by blocks.
func (in *BlockInfluence) Lines(responses ...Response) []Line {
	shell := &in.shell
	nd, stretches := len(shell.directions), len(shell.chain.stretches)
	cuts := shell.cuts(responses)
	out := make([]Line, len(responses))
	if len(in.written) < nd*stretches {
		in.written = make([][4]float64, nd*stretches)
	}
	for i, r := range responses {
		from, to := in.follow(in.written, r.terms)
		out[i] = Line{Pieces: make([]Piece, 0, stretches+len(cuts)), zero: from == to}
		store := make([][4]float64, (stretches+len(cuts))*nd)
		for st := range stretches {
			out[i].Pieces = shell.split(out[i].Pieces, &store, st, in.written[st*nd:(st+1)*nd], cuts)
		}
		for _, own := range r.own {
			shell.addOwn(&out[i], own)
		}
		clear(in.written[from*nd : to*nd])
	}
	return out
}

// follow adds what the movements of the nodes do to a response, and returns the stretches
// that it reached.
func (in *BlockInfluence) follow(dst [][4]float64, terms []term) (from, to int) {
	q := in.q
	sources := in.sourcesOf(terms)
	for len(sources) > 0 {
		n := 1
		for n < len(sources) && q.blocks[sources[n].block].part == q.blocks[sources[0].block].part {
			n++
		}
		a, b := in.walk(dst, sources[:n])
		from, to = joined(from, to, a, b)
		sources = sources[n:]
	}
	return from, to
}

// sourcesOf sorts the terms of a response by block, which is by part too.
func (in *BlockInfluence) sourcesOf(terms []term) []source {
	in.sources = in.sources[:0]
	for _, t := range terms {
		if t.eq >= len(in.q.block) || t.coeff == 0 {
			continue
		}
		b := in.q.block[t.eq]
		at, known := slices.BinarySearchFunc(in.sources, b, func(s source, b int32) int { return cmp.Compare(s.block, b) })
		if !known {
			room := in.sources[:cap(in.sources)]
			var spare []term
			if len(in.sources) < len(room) {
				spare = room[len(in.sources)].terms[:0] // inserting moves the others up by one over it
			}
			in.sources = slices.Insert(in.sources, at, source{b, spare})
		}
		in.sources[at].terms = append(in.sources[at].terms, term{int(in.q.local[t.eq]), t.coeff})
	}
	return in.sources
}

// walk is the way of one response through one part: the blocks from lo to hi are visited.
type walk struct {
	in         *BlockInfluence
	lo, hi     int
	peak, area float64 // of the entries that are whole: lower bounds of the largest value and of the integral of the size
	blur       float64 // the root of the energy below which movements are rounding of the response itself
	apart      [2]bool // freedoms that are alone do not move on a side, 0 right and 1 left
}

// negligible is the part of the largest value of a line, and of the integral of its size,
// below which all that remains of it is left out.
const negligible = 1e-12

// blurred is the relative error of sixteen operations.
const blurred = 0x1p-48

// blur returns the part of the root of an energy that is rounding. A response Σ g_c u_c is
// at most Σ |g_c| √(K⁻¹)_cc times the norm of a load, and its terms are rounded as they are
// added up: what is smaller than that by the error of a few operations cannot be told
// from it, by this way or by any other.
func (in *BlockInfluence) blur(sources []source) float64 {
	sum := 0.0
	for _, s := range sources {
		for _, t := range s.terms {
			sum += math.Abs(t.coeff) * math.Sqrt(in.q.blocks[s.block].flexibility(t.eq))
		}
	}
	return blurred * sum
}

// walk adds the line of the sources of one part.
func (in *BlockInfluence) walk(dst [][4]float64, sources []source) (from, to int) {
	first, last := int(sources[0].block), int(sources[len(sources)-1].block)
	if in.beyond[0].length[first] == 0 && in.beyond[1].length[first] == 0 {
		return 0, 0 // no load reaches this part
	}
	w := walk{in: in, lo: first, hi: first - 1, blur: in.blur(sources)}
	in.solveCore(sources, first, last)
	for b := first; b <= last; b++ {
		w.hi = b
		w.visit(b, in.core[2*(b-first)])
	}
	w.outward(in.core[2*(last-first)], in.core[0])
	return in.flush(dst, w.lo, w.hi)
}

// solveCore writes the movements of the blocks that hold sources and of those between
// them, inner freedoms included. What lies right of the first block is eliminated from
// the last one back, h_j = ĝ_j + T_j'h_{j+1}; then a = G h there, and from it onward
// a_{j+1} = T_j a_j + inv(R_{j+1}) h_{j+1}. A force is a small difference of large
// stiffnesses times movements: here those are subtracted before they meet the inverse.
func (in *BlockInfluence) solveCore(sources []source, first, last int) {
	q := in.q
	for len(in.core) < 2*(last-first+1) {
		in.core = append(in.core, make(vector, q.widest))
	}
	moved := func(b int) vector { return in.core[2*(b-first)] }
	held := func(b int) vector { return in.core[2*(b-first)+1] } // h, then the inner sources as they are
	next := sources
	for b := last; b >= first; b-- {
		k, h := &q.blocks[b], held(b)
		var terms []term
		if n := len(next); n > 0 && int(next[n-1].block) == b {
			terms, next = next[n-1].terms, next[:n-1]
		}
		k.load(h, terms)
		if b < last {
			t := k.t()
			for i, v := range held(b + 1)[:q.blocks[b+1].chain] {
				axpy(h[:k.chain], v, t[i*k.chain:])
			}
		}
	}
	k := &q.blocks[first]
	times(moved(first)[:k.chain], k.g(), held(first)[:k.chain])
	for b := first + 1; b <= last; b++ {
		k, before := &q.blocks[b], &q.blocks[b-1]
		x, from := moved(b)[:k.chain], held(b)[:k.chain]
		times(x, before.t(), moved(b - 1)[:before.chain])
		choleskyInto(in.factor, k.r(), k.chain) // it has been done before: R holds itself
		solveCholesky(in.factor, k.chain, from, 1)
		axpy(x, 1, from)
	}
	for b := first; b <= last; b++ {
		k := &q.blocks[b]
		times(moved(b)[k.chain:k.chain+k.inner], k.n(), held(b)[k.chain:k.chain+k.inner])
		k.addInner(moved(b))
	}
}

// load writes the sources of a block: the inner ones passed on to the chain, then as
// they are.
func (k *chainBlock) load(dst vector, terms []term) {
	dst = dst[:k.chain+k.inner]
	clear(dst)
	for _, t := range terms {
		dst[t.eq] += t.coeff
		if a := t.eq - k.chain; a >= 0 {
			axpy(dst[:k.chain], t.coeff, k.w()[a*k.chain:])
		}
	}
}

// addInner adds to the inner freedoms how they follow the chain.
func (k *chainBlock) addInner(x vector) {
	w := k.w()
	for a := range k.inner {
		row := w[a*k.chain : (a+1)*k.chain]
		for c, v := range row {
			x[k.chain+a] += v * x[c]
		}
	}
}

// visit gathers what the movements of a block add to the line.
func (w *walk) visit(b int, x vector) {
	in := w.in
	touches := in.of(b)
	for len(touches) > 0 {
		at := touches[0].entry
		g := &in.gathered[at]
		c0, c1, c2, c3 := g[0], g[1], g[2], g[3]
		for len(touches) > 0 && touches[0].entry == at {
			t := &touches[0]
			v := x[t.local]
			c0 += v * t.cubic[0]
			c1 += v * t.cubic[1]
			c2 += v * t.cubic[2]
			c3 += v * t.cubic[3]
			touches = touches[1:]
		}
		*g = cubic{c0, c1, c2, c3}
		if e := &in.entries[at]; int(e.first) >= w.lo && int(e.last) <= w.hi {
			w.measure(g, e.length)
		}
	}
}

// measure notes the size of an entry that is whole: its mean is no larger than its largest value.
func (w *walk) measure(c *cubic, length float64) {
	const third = 1.0 / 3
	mean := math.Abs(c[0] + length*(c[1]*0.5+length*(c[2]*third+length*c[3]*0.25)))
	w.area += mean * length
	if start := math.Abs(c[0]); start > mean {
		mean = start
	}
	if mean > w.peak {
		w.peak = mean
	}
}

// done reports whether all that lies beyond block b on a side, 0 right and 1 left, is
// negligible. The movements of the block are x.
func (w *walk) done(side, b int, x vector) bool {
	in := w.in
	k, next := &in.q.blocks[b], b+1-2*side
	if side == 0 && !in.q.linked(b) || side == 1 && (b == 0 || !in.q.linked(b-1)) {
		return true
	}
	t := &in.beyond[side]
	if t.length[next] == 0 {
		return true
	}
	if in.full {
		return false
	}
	stiff := k.r()
	if side == 1 {
		stiff = k.s()
	}
	x, idle := in.idling[side].without(b, x[:w.follows(side, k)], in.factor)
	root := math.Sqrt(max(0, energyOfLeading(stiff, k.chain, x)))
	if root <= w.blur && idle <= w.blur*t.norm[next] {
		return true
	}
	rest := t.norm[next]*root + idle
	return rest <= negligible*w.peak && rest*t.length[next] <= negligible*w.area
}

// lookEvery is how many blocks are walked from one look at what remains to the next.
const lookEvery = 3

// outward walks on from both ends of the core, a block at a time on either side, so that
// either side knows how large the line is on the other.
func (w *walk) outward(right, left vector) {
	in := w.in
	x := [2]vector{right, left}
	for side, b := range [2]int{w.hi, w.lo} {
		k := &in.q.blocks[b]
		w.apart[side] = !slices.ContainsFunc(x[side][k.tied():k.chain], func(v float64) bool { return v != 0 })
	}
	done := [2]bool{}
	for step := 0; !done[0] || !done[1]; step++ {
		for side := range 2 {
			at := w.hi
			if side == 1 {
				at = w.lo
			}
			if !done[side] && (step%lookEvery == 0 || !w.goesOn(side, at)) {
				done[side] = w.done(side, at, x[side])
			}
			if done[side] {
				continue
			}
			room := in.side[side][step%2]
			w.step(side, at, room, x[side])
			x[side] = room
		}
	}
}

// goesOn reports whether the part goes on beyond block b.
func (w *walk) goesOn(side, b int) bool {
	if side == 0 {
		return w.in.q.linked(b)
	}
	return b > 0 && w.in.q.linked(b-1)
}

// follows returns how many of the chain freedoms of a block are followed on a side.
func (w *walk) follows(side int, k *chainBlock) int {
	if w.apart[side] {
		return k.tied()
	}
	return k.chain
}

// step carries the movements of block b to the next one on a side and visits that.
func (w *walk) step(side, b int, dst, x vector) {
	q := w.in.q
	k, carry, next := &q.blocks[b], q.blocks[b].t(), b+1
	if side == 1 {
		carry, next = k.u(), b-1
	}
	to := &q.blocks[next]
	w.apart[side] = w.apart[side] && k.apart[side]
	moved := w.follows(side, to)
	timesLeading(dst[:moved], carry, k.chain, x[:w.follows(side, k)])
	clear(dst[moved:to.chain])
	if w.in.inner[next] {
		clear(dst[to.chain : to.chain+to.inner])
		to.addInner(dst)
	}
	w.lo, w.hi = min(w.lo, next), max(w.hi, next)
	w.visit(next, dst)
}

// flush adds what was gathered over the blocks from lo to hi to dst, and forgets it.
func (in *BlockInfluence) flush(dst [][4]float64, lo, hi int) (from, to int) {
	nd := len(in.shell.directions)
	touches := in.touches[in.from[lo]:in.from[hi+1]]
	least, most := math.MaxInt, -1
	last := int32(-1)
	for i := range touches {
		at := touches[i].entry
		if at == last {
			continue
		}
		last = at
		g, slot := &in.gathered[at], int(in.entries[at].slot)
		if *g == (cubic{}) {
			continue
		}
		for p, v := range g {
			dst[slot][p] += v
		}
		*g = cubic{}
		least, most = min(least, slot), max(most, slot)
	}
	if most < 0 {
		return 0, 0
	}
	return least / nd, most/nd + 1
}
