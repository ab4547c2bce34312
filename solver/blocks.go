package solver

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
)

// recursion is the inverse of the stiffness, held so that any of its columns can be read
// by walking outward from the diagonal: in the blocks of a block tridiagonal matrix.
//
// The equations are first parted: two parts share no stiffness. Along a straight run
// what moves across it and what moves within its plane are two parts of the same posts
// and rails. In a part the equations keep their order and are cut into blocks, each so
// long that it reaches into the next one only. Within a block, chain freedoms are those
// that meet another block; the inner ones follow them, u_n = W u_c + N f_n.
//
// With D_i the stiffness of the chain freedoms of block i, the inner ones condensed, and
// C_i that between blocks i and i+1:
//
//	S_i = D_i - C'_{i-1} inv(S_{i-1}) C_{i-1}    what holds block i from the left
//	R_i = D_i - C_i inv(R_{i+1}) C'_i            and from the right
//	T_i = -inv(R_{i+1}) C'_i                     u_{i+1} = T_i u_i with no load right of i
//	U_i = -inv(S_{i-1}) C_{i-1}                  u_{i-1} = U_i u_i with no load left of i
//	G_i = inv(S_i + R_i - D_i)                   the diagonal block of the inverse
//
// The last chain freedoms of a block may be alone: nothing in the block ties them to another one, as the spin of a rail that
// its joints let turn. While they are still on the way to a side, and nothing there moves them, only the others need
// be followed.
//
// Source: block elimination, Golub and Van Loan, Matrix Computations, section on block
// tridiagonal systems; from memory. All is linear in the number of blocks.
type recursion struct {
	block  []int32 // equation -> its block
	local  []int32 // equation -> its place in the block, chain freedoms first
	blocks []chainBlock
	widest int // the most freedoms of any block
}

// chainBlock is one block: chain and inner count its freedoms. Matrices are row by row.
type chainBlock struct {
	chain, inner  int
	before, after int32 // chain freedoms of the blocks beside it; 0 at the ends of a part
	part          int32
	alone         int32   // of the chain freedoms, the last ones
	apart         [2]bool // the others move no freedom that is alone in the block on the right, and on the left
	room          vector  // of its matrices
}

// tied is the number of chain freedoms that are not alone.
func (k *chainBlock) tied() int { return k.chain - int(k.alone) }

// s, r and g are chain × chain.
func (k *chainBlock) s() vector { return k.matrix(0, k.chain*k.chain) }
func (k *chainBlock) r() vector { return k.matrix(k.chain*k.chain, k.chain*k.chain) }
func (k *chainBlock) g() vector { return k.matrix(2*k.chain*k.chain, k.chain*k.chain) }

// t is chain of the next × chain, u chain of the one before × chain.
func (k *chainBlock) t() vector { return k.matrix(3*k.chain*k.chain, int(k.after)*k.chain) }
func (k *chainBlock) u() vector {
	return k.matrix((3*k.chain+int(k.after))*k.chain, int(k.before)*k.chain)
}

// w is inner × chain, n inner × inner.
func (k *chainBlock) w() vector {
	return k.matrix((3*k.chain+int(k.after+k.before))*k.chain, k.inner*k.chain)
}
func (k *chainBlock) n() vector {
	return k.matrix((3*k.chain+int(k.after+k.before)+k.inner)*k.chain, k.inner*k.inner)
}

// size is the room that all of them take.
func (k *chainBlock) size() int {
	return k.chain*(3*k.chain+int(k.after+k.before)) + k.inner*(k.chain+k.inner)
}

func (k *chainBlock) matrix(from, size int) vector { return k.room[from : from+size : from+size] }

// whileAssembled calls f with the stiffness of the frame. One at rest has it for a while, and no factor.
func (s *Factored) whileAssembled(f func(raw blas64.SymmetricBand)) {
	if s.free == 0 { // gonum has no matrix of size 0
		f(blas64.SymmetricBand{})
		return
	}
	if s.rested {
		s.assemble(s.jointSprings())
		defer func() { s.band, s.heldRows = nil, nil }()
	}
	f(s.stiffness().RawSymBand())
}

// inBlocks cuts all parts into blocks, which have no matrices.
func inBlocks(raw blas64.SymmetricBand, parts *parting) *recursion {
	q := &recursion{block: make([]int32, raw.N), local: make([]int32, raw.N)}
	for part := range parts.starts[1:] {
		q.cut(parts, part)
	}
	q.blocks = slices.Clone(q.blocks) // it has grown: give back the room beyond
	for i := range q.blocks {
		if k := &q.blocks[i]; q.linked(i) {
			k.after, q.blocks[i+1].before = int32(q.blocks[i+1].chain), int32(k.chain)
		}
	}
	q.putAloneLast(raw, parts)
	return q
}

// fill works out the matrices of some parts, where they are not known. It reports false where rounding leaves a block
// that does not hold itself.
func (q *recursion) fill(raw blas64.SymmetricBand, parts *parting, wanted []bool) bool {
	room := make(vector, 2*q.widest*q.widest)
	for from, to := 0, 0; from < len(q.blocks); from = to {
		for to = from + 1; q.linked(to - 1); {
			to++
		}
		if k := &q.blocks[from]; k.room != nil || !wanted[k.part] {
			continue
		}
		q.makeRoom(from, to)
		if !q.condense(raw, parts, from, to, room) || !q.sweep(from, to, room) {
			for b := from; b < to; b++ {
				q.blocks[b].room = nil
			}
			return false
		}
	}
	return true
}

// eachStiffness visits every entry of the upper half of a band that is not zero.
func eachStiffness(raw blas64.SymmetricBand, visit func(i, j int, v float64)) {
	for i := range raw.N {
		row := raw.Data[i*raw.Stride:]
		for k := 0; k <= raw.K && i+k < raw.N; k++ {
			if v := row[k]; v != 0 {
				visit(i, i+k, v)
			}
		}
	}
}

// parting is an order of the equations in which parts follow each other. Low and high
// are the least and the greatest place that each place shares stiffness with.
type parting struct {
	order     []int32 // place -> equation
	starts    []int   // the place where each part starts, and the end
	low, high []int32
}

// partsOf parts the equations of a band; parts go by their first equations.
func partsOf(raw blas64.SymmetricBand) *parting {
	first := firsts(identity(raw.N))
	eachStiffness(raw, func(i, j int, _ float64) { first.join(int32(i), int32(j)) })
	p := &parting{order: make([]int32, raw.N), low: make([]int32, raw.N), high: make([]int32, raw.N)}
	part := make([]int32, raw.N) // first equation -> part
	var sizes []int
	for i := range int32(raw.N) {
		r := first.of(i)
		if r == i {
			part[i] = int32(len(sizes))
			sizes = append(sizes, 0)
		}
		sizes[part[r]]++
	}
	p.starts = make([]int, len(sizes)+1)
	for k, n := range sizes {
		p.starts[k+1] = p.starts[k] + n
	}
	place := make([]int32, raw.N)
	next := append([]int(nil), p.starts...)
	for i := range int32(raw.N) {
		k := part[first.of(i)]
		place[i] = int32(next[k])
		p.order[next[k]] = i
		next[k]++
	}
	for i := range p.low {
		p.low[i], p.high[i] = int32(i), int32(i)
	}
	eachStiffness(raw, func(i, j int, _ float64) {
		a, b := place[i], place[j]
		p.high[a], p.low[b] = max(p.high[a], b), min(p.low[b], a)
	})
	return p
}

// firstBlocks is how many lengths of a part's first block are tried.
const firstBlocks = 64

// cut cuts a part into blocks. The length of the first one decides where all others end:
// of the lengths up to the part's width, that is taken of which the blocks cost least.
func (q *recursion) cut(p *parting, part int) {
	from, to := p.starts[part], p.starts[part+1]
	far := make([]int32, to-from+1) // the place after all that the first places reach
	width := 0
	for i := from; i < to; i++ {
		far[i-from+1] = max(far[i-from], p.high[i]+1)
		width = max(width, int(p.high[i])-i+1)
	}
	best, least := 0, math.Inf(1)
	for first := 1; first <= min(width, firstBlocks, to-from); first++ {
		cost := 0.0
		eachBlock(from, to, first, far, func(a, b int) {
			chain := 0.0
			for i := a; i < b; i++ {
				if p.meets(i, a, b) {
					chain++
				}
			}
			inner := float64(b-a) - chain
			cost += chain*chain*chain + 0.3*inner*inner*inner
		})
		if cost < least {
			best, least = first, cost
		}
	}
	eachBlock(from, to, best, far, func(a, b int) { q.add(p, part, a, b) })
}

// meets reports whether a place of the block from a to b shares stiffness with another block.
func (p *parting) meets(i, a, b int) bool { return int(p.low[i]) < a || int(p.high[i]) >= b }

// eachBlock visits the blocks of a part: each ends where the one before it reaches.
func eachBlock(from, to, first int, far []int32, visit func(a, b int)) {
	for a, b := from, from+first; a < to; a, b = b, int(far[b-from]) {
		visit(a, b)
	}
}

// add adds the block of the places from a to b.
func (q *recursion) add(p *parting, part, a, b int) {
	k := chainBlock{part: int32(part)}
	for i := a; i < b; i++ {
		if p.meets(i, a, b) {
			q.local[p.order[i]] = int32(k.chain)
			k.chain++
		}
	}
	for i := a; i < b; i++ {
		q.block[p.order[i]] = int32(len(q.blocks))
		if !p.meets(i, a, b) {
			q.local[p.order[i]] = int32(k.chain + k.inner)
			k.inner++
		}
	}
	q.blocks = append(q.blocks, k)
	q.widest = max(q.widest, b-a)
}

// putAloneLast puts those chain freedoms of each block last that are alone: what they share stiffness with is in other blocks, and
// shares none with its own.
func (q *recursion) putAloneLast(raw blas64.SymmetricBand, p *parting) {
	tied, beside := make([]bool, raw.N), make([]bool, raw.N)
	within := func(i, j int) bool { return i != j && q.block[i] == q.block[j] }
	eachStiffness(raw, func(i, j int, _ float64) {
		if within(i, j) {
			tied[i], tied[j] = true, true
		}
	})
	eachStiffness(raw, func(i, j int, _ float64) { beside[i], beside[j] = beside[i] || tied[j], beside[j] || tied[i] })
	var alone []int32
	from := 0
	for b := range q.blocks {
		k := &q.blocks[b]
		size := k.chain + k.inner
		next := int32(0)
		alone = alone[:0]
		for _, i := range p.order[from : from+size] {
			switch {
			case int(q.local[i]) >= k.chain:
			case tied[i] || beside[i]:
				q.local[i] = next
				next++
			default:
				alone = append(alone, i)
			}
		}
		for _, i := range alone {
			q.local[i] = next
			next++
		}
		k.alone = int32(len(alone))
		from += size
	}
}

// linked reports whether a block and the next one belong to one part.
func (q *recursion) linked(i int) bool {
	return i+1 < len(q.blocks) && q.blocks[i].part == q.blocks[i+1].part
}

// makeRoom makes room for the matrices of a part, the blocks from one up to before another.
func (q *recursion) makeRoom(from, to int) {
	size := 0
	for i := from; i < to; i++ {
		size += q.blocks[i].size()
	}
	room := make(vector, size)
	for i := from; i < to; i++ {
		k := &q.blocks[i]
		size := k.size()
		k.room, room = room[:size:size], room[size:]
	}
}

// condense takes the inner freedoms out of every block of a part, and leaves D in its g and C', which ties it to
// the next, in its t.
func (q *recursion) condense(raw blas64.SymmetricBand, p *parting, from, to int, room vector) bool {
	block := make(vector, q.widest*q.widest)
	at := p.starts[q.blocks[from].part]
	for i := from; i < to; i++ {
		k := &q.blocks[i]
		size := k.chain + k.inner
		whole := block[:size*size]
		clear(whole)
		q.read(raw, int32(i), p.order[at:at+size], whole)
		if !k.condense(whole, room) {
			return false
		}
		at += size
	}
	return true
}

// read writes the stiffness of a block, whose equations are given, and that which ties it to the next. In a
// part the equations keep their order: what lies in the upper half of their rows is all of it.
func (q *recursion) read(raw blas64.SymmetricBand, block int32, equations []int32, whole vector) {
	k := &q.blocks[block]
	size := k.chain + k.inner
	for _, i := range equations {
		x := int(q.local[i])
		for at, v := range raw.Data[int(i)*raw.Stride:][:min(raw.K, raw.N-1-int(i))+1] {
			if v == 0 {
				continue
			}
			j := int(i) + at
			y := int(q.local[j])
			if q.block[j] == block {
				whole[x*size+y], whole[y*size+x] = v, v
			} else {
				k.t()[y*k.chain+x] = v
			}
		}
	}
}

// condense takes the inner freedoms out of a block and leaves D in g.
func (k *chainBlock) condense(whole, room vector) bool {
	m, n := k.chain, k.inner
	size := m + n
	for a := range n {
		copy(k.n()[a*n:(a+1)*n], whole[(m+a)*size+m:])
	}
	if !invert(k.n(), n, room) {
		return false
	}
	for a := range n { // W = -N K_nc
		row := k.w()[a*m : (a+1)*m]
		for b := range n {
			axpy(row, -k.n()[a*n+b], whole[(m+b)*size:])
		}
	}
	for a := range m { // D = K_cc + K_cn W
		row := k.g()[a*m : (a+1)*m]
		copy(row, whole[a*size:])
		for b := range n {
			axpy(row, whole[a*size+m+b], k.w()[b*m:])
		}
	}
	return true
}

// sweep works the blocks of a part out from one end to the other and back.
func (q *recursion) sweep(from, to int, room vector) bool {
	for i := from; i < to; i++ { // S and U
		k := &q.blocks[i]
		m := k.chain
		copy(k.s(), k.g())
		if i == from {
			continue
		}
		p := &q.blocks[i-1]
		if !choleskyInto(room, p.s(), p.chain) {
			return false
		}
		tie := p.t() // C'
		for b := range p.chain {
			for a := range m {
				k.u()[b*m+a] = -tie[a*p.chain+b]
			}
		}
		solveCholesky(room, p.chain, k.u(), m)
		for b := range p.chain { // S = D + C' U
			for a := range m {
				axpy(k.s()[a*m:(a+1)*m], tie[a*p.chain+b], k.u()[b*m:])
			}
		}
		k.loosen(k.s())
	}
	for i := to - 1; i >= from; i-- { // R and T
		k := &q.blocks[i]
		m := k.chain
		copy(k.r(), k.g())
		if i == to-1 {
			continue
		}
		p := &q.blocks[i+1]
		if !choleskyInto(room, p.r(), p.chain) {
			return false
		}
		tie := append(room[p.chain*p.chain:][:0], k.t()...) // C'
		for a, v := range tie {
			k.t()[a] = -v
		}
		solveCholesky(room, p.chain, k.t(), m)
		for a := range m { // R = D + C T
			for b := range p.chain {
				axpy(k.r()[a*m:(a+1)*m], tie[b*m+a], k.t()[b*m:])
			}
		}
		k.loosen(k.r())
	}
	for i := from; i < to; i++ {
		k := &q.blocks[i]
		k.apart[0] = i == to-1 || k.keepsApart(k.t(), q.blocks[i+1].tied())
		k.apart[1] = i == from || k.keepsApart(k.u(), q.blocks[i-1].tied())
		for a, d := range k.g() {
			k.g()[a] = k.s()[a] + k.r()[a] - d
		}
		if !invert(k.g(), k.chain, room) {
			return false
		}
	}
	return true
}

// leastTie is the part of what holds two freedoms below which a tie between them is nothing: far below rounding.
const leastTie = 1e-18

// loosen drops the ties between freedoms that are alone in the block and the others that what lies beyond it
// leaves, where they are nothing.
func (k *chainBlock) loosen(stiff vector) {
	m := k.chain
	for a := range k.tied() {
		for c := k.tied(); c < m; c++ {
			v, w := stiff[a*m+c], stiff[c*m+a]
			if max(math.Abs(v), math.Abs(w)) < leastTie*math.Sqrt(stiff[a*m+a]*stiff[c*m+c]) {
				stiff[a*m+c], stiff[c*m+a] = 0, 0
			}
		}
	}
}

// keepsApart reports whether a matrix that carries the movements of the block to another one, of which so many freedoms
// are tied, moves none that is alone there with those that are tied here.
func (k *chainBlock) keepsApart(carry vector, tied int) bool {
	for c := tied * k.chain; c < len(carry); c += k.chain {
		if slices.ContainsFunc(carry[c:c+k.tied()], func(v float64) bool { return v != 0 }) {
			return false
		}
	}
	return true
}

// axpy adds a times the start of src to dst.
func axpy(dst vector, a float64, src vector) {
	if a == 0 {
		return
	}
	src = src[:len(dst)]
	for i := range dst {
		dst[i] += a * src[i]
	}
}

// times writes the product of a matrix, row by row, and a vector.
func times(dst, a, x vector) { timesLeading(dst, a, len(x), x) }

// timesLeading does so with the leading rows and columns of a matrix that is wider: two rows at a time, so that neither sum
// waits for the other.
func timesLeading(dst, a vector, wide int, x vector) {
	for i := 0; i < len(dst); i += 2 {
		j := min(i+1, len(dst)-1)
		one, two := a[i*wide:][:len(x)], a[j*wide:][:len(x)]
		sum, other := 0.0, 0.0
		for k, v := range x {
			sum += one[k] * v
			other += two[k] * v
		}
		dst[i], dst[j] = sum, other
	}
}

// energy returns x'Ax.
func energy(a, x vector) float64 { return energyOfLeading(a, len(x), x) }

// energyOfLeading does so with the leading rows and columns of a matrix that is wider.
func energyOfLeading(a vector, wide int, x vector) float64 {
	sum := 0.0
	for i, v := range x {
		row := a[i*wide:][:len(x)]
		part := 0.0
		for j, w := range x {
			part += row[j] * w
		}
		sum += v * part
	}
	return sum
}

// choleskyInto writes L with LL' = A, and reports whether A is positive definite. The
// upper half of A is not read.
func choleskyInto(l, a vector, n int) bool {
	for i := range n {
		row := l[i*n : (i+1)*n]
		copy(row, a[i*n:(i+1)*n])
		for j := range i {
			other := l[j*n : (j+1)*n]
			v := row[j]
			for k := range j {
				v -= row[k] * other[k]
			}
			row[j] = v / other[j]
		}
		d := row[i]
		for k := range i {
			d -= row[k] * row[k]
		}
		if !(d > 0) || math.IsInf(d, 1) {
			return false
		}
		row[i] = math.Sqrt(d)
	}
	return true
}

// solveCholesky overwrites X, n × columns, with inv(LL') X.
func solveCholesky(l vector, n int, x vector, columns int) {
	for i := range n {
		row := x[i*columns : (i+1)*columns]
		for j := range i {
			axpy(row, -l[i*n+j], x[j*columns:])
		}
		for c := range row {
			row[c] /= l[i*n+i]
		}
	}
	for i := n - 1; i >= 0; i-- {
		row := x[i*columns : (i+1)*columns]
		for j := i + 1; j < n; j++ {
			axpy(row, -l[j*n+i], x[j*columns:])
		}
		for c := range row {
			row[c] /= l[i*n+i]
		}
	}
}

// invert overwrites a symmetric matrix with its inverse, and reports whether it is
// positive definite.
func invert(a vector, n int, room vector) bool {
	if !choleskyInto(room, a, n) {
		return false
	}
	clear(a)
	for i := range n {
		a[i*n+i] = 1
	}
	solveCholesky(room, n, a, n)
	for i := range n {
		for j := range i {
			v := 0.5 * (a[i*n+j] + a[j*n+i])
			a[i*n+j], a[j*n+i] = v, v
		}
	}
	return true
}
