package solver

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
)

// flexibility holds the movements under a unit load on each of some equations, a column
// each, by rows: a row holds what one equation moves under each of the loads, and a
// response reads few rows.
type flexibility struct {
	column  []int32 // equation -> its column plus one, 0 for none
	columns int
	batches []batch
}

// batch is columns that were solved together.
type batch struct {
	first int      // column
	rows  []window // equation -> its movements
}

// window is a run of numbers within a longer row of which the rest is nothing.
type window struct {
	from   int
	values vector
}

const (
	// wholeBatch is how many numbers a batch of columns may have to be kept as it is solved,
	// and leastBatch how many columns are solved together in any case.
	wholeBatch = 1 << 18
	leastBatch = 32
	// faded is the part of the largest movement under a unit load below which a
	// movement counts as nothing: rounding is a hundred times that. Across the run the
	// effect of a load fades within some tens of bays, so that long runs need
	// little room.
	faded = 1e-18
)

// bend gives forces on equations the columns of these, solves for the unit
// loads that have not been solved, and returns how many columns there are.
func (s *Factored) bend(forces []nodalForce) int {
	x := &s.flex
	if x.column == nil {
		x.column = make([]int32, s.free)
	}
	var fresh []int
	for i := range forces {
		if eq := forces[i].column; x.column[eq] == 0 {
			x.column[eq] = -1
			fresh = append(fresh, eq)
		}
	}
	slices.Sort(fresh)
	for len(fresh) > 0 {
		some := fresh[:min(len(fresh), max(leastBatch, wholeBatch/s.free))]
		fresh = fresh[len(some):]
		x.batches = append(x.batches, batch{x.columns, s.solveUnits(some)})
		for _, eq := range some {
			x.columns++
			x.column[eq] = int32(x.columns)
		}
	}
	for i := range forces {
		forces[i].column = int(x.column[forces[i].column]) - 1
	}
	return x.columns
}

// moved writes the movement of a response under each unit load, column by column as far as
// dst goes, and reports whether there is any.
func (s *Factored) moved(dst vector, terms []term) (moves bool) {
	clear(dst)
	for _, t := range terms {
		if t.eq >= s.free || t.coeff == 0 {
			continue
		}
		for i := range s.flex.batches {
			b := &s.flex.batches[i]
			row := &b.rows[t.eq]
			if b.first >= len(dst) || row.values == nil {
				continue
			}
			moves = true
			to := dst[b.first+row.from:][:len(row.values)]
			for j, v := range row.values {
				to[j] += t.coeff * v
			}
		}
	}
	return moves
}

// solveUnits returns the movements of every equation under a unit load on each of the
// ascending equations given, proved together: part by part, as a load moves no other.
func (s *Factored) solveUnits(loaded []int) []window {
	s.wake()
	rows, stiffness := make([]window, s.free), s.stiffness().RawSymBand()
	first := 0
	for i, from := range s.parts[:len(s.parts)-1] {
		to, end := s.parts[i+1], first
		for end < len(loaded) && loaded[end] < to {
			end++
		}
		if m := end - first; m > 0 {
			x := unitMovements{s, from, to - from, loaded[first:end], make(vector, (to-from)*m)}
			x.solve()
			x.prove(stiffness)
			fade(x.all, m)
			for eq := from; eq < to; eq++ {
				rows[eq] = trimmed(x.row(eq-from), first)
				if s.free*len(loaded) > wholeBatch {
					rows[eq].values = slices.Clone(rows[eq].values)
				}
			}
		}
		first = end
	}
	return rows
}

// unitMovements are the movements of the equations of one part, a row each, under unit loads on some,
// a column each.
type unitMovements struct {
	s       *Factored
	from, n int   // the first equation of the part, and how many it has
	loaded  []int // ascending
	all     vector
}

// row returns what equation i of the part moves.
func (x *unitMovements) row(i int) vector { return x.all[i*len(x.loaded):][:len(x.loaded)] }

// fade makes nothing of what has faded at both ends of the columns of X, which has m of them.
func fade(x vector, m int) {
	least, most := math.Inf(1), 0.0
	for _, v := range x {
		if v = math.Abs(v); v > 0 {
			least, most = min(least, v), max(most, v)
		}
	}
	if least > faded*most {
		return
	}
	floors, first, last := make(vector, m), make([]int, m), make([]int, m)
	for i := range len(x) / m {
		for j, v := range x[i*m : (i+1)*m] {
			floors[j] = max(floors[j], faded*math.Abs(v))
		}
	}
	for j := range first {
		first[j] = len(x)
	}
	for i := range len(x) / m {
		for j, v := range x[i*m : (i+1)*m] {
			if math.Abs(v) > floors[j] {
				first[j], last[j] = min(first[j], i), i
			}
		}
	}
	for i := range len(x) / m {
		for j := range m {
			if i < first[j] || i > last[j] {
				x[i*m+j] = 0
			}
		}
	}
}

// trimmed returns what of a row, whose columns begin with the one given, is something.
func trimmed(x vector, column int) window {
	from, to := 0, len(x)
	for from < to && x[from] == 0 {
		from++
	}
	for to > from && x[to-1] == 0 {
		to--
	}
	if from == to {
		return window{}
	}
	return window{column + from, x[from:to]}
}

// solve sets the movements to the solution of UᵀU X for the unit loads: column j is nothing above the
// equation loaded[j].
func (x *unitMovements) solve() {
	m, u := len(x.loaded), x.s.factor
	data := u.Data[x.from*u.Stride:]
	for j, eq := range x.loaded {
		x.row(eq - x.from)[j] = 1
	}
	r := rowSum{x: x.all, width: m, coeffs: make(vector, 0, u.K), rows: make([]int, 0, u.K), sum: make(vector, m)}
	reached := 0
	for i := range x.n {
		for reached < m && x.loaded[reached] <= x.from+i {
			reached++
		}
		r.coeffs, r.rows = r.coeffs[:0], r.rows[:0]
		for k := max(0, i-u.K, x.loaded[0]-x.from); k < i; k++ {
			r.add(data[k*u.Stride+i-k], k)
		}
		r.take(i, reached, data[i*u.Stride])
	}
	for i := x.n - 1; i >= 0; i-- {
		r.coeffs, r.rows = r.coeffs[:0], r.rows[:0]
		for j, c := range data[i*u.Stride:][1 : min(u.K, x.n-1-i)+1] {
			r.add(c, i+1+j)
		}
		r.take(i, m, data[i*u.Stride])
	}
}

// rowSum is a sum of rows of a matrix, each times a coefficient.
type rowSum struct {
	x      vector
	width  int
	coeffs vector
	rows   []int
	sum    vector
}

func (r *rowSum) add(coeff float64, row int) {
	if coeff != 0 {
		r.coeffs, r.rows = append(r.coeffs, coeff), append(r.rows, row)
	}
}

// take takes the sum from the first columns of row i and divides them by the pivot. Rows
// are added four at a time, as reading and writing the sum costs more than adding to it,
// and one after the other, to the same last digit as a column by itself.
func (r *rowSum) take(i, columns int, pivot float64) {
	at := func(row int) vector { return r.x[row*r.width:][:columns] }
	sum, c, rows := r.sum[:columns], r.coeffs, r.rows
	clear(sum)
	for ; len(c) >= 4; c, rows = c[4:], rows[4:] {
		c0, c1, c2, c3 := c[0], c[1], c[2], c[3]
		x0, x1, x2, x3 := at(rows[0]), at(rows[1]), at(rows[2]), at(rows[3])
		x0, x1, x2, x3 = x0[:len(sum)], x1[:len(sum)], x2[:len(sum)], x3[:len(sum)]
		for j, v := range sum {
			v += c0 * x0[j]
			v += c1 * x1[j]
			v += c2 * x2[j]
			sum[j] = v + c3*x3[j]
		}
	}
	for k, f := range c {
		for j, v := range at(rows[k])[:len(sum)] {
			sum[j] += f * v
		}
	}
	to := at(i)[:len(sum)]
	for j, v := range sum {
		to[j] = (to[j] - v) / pivot
	}
}

// sizes adds up the rows and the sizes of what is added, over all columns.
func (r *rowSum) sizes(size vector) {
	at := func(row int) vector { return r.x[row*r.width:][:r.width] }
	sum, c, rows := r.sum, r.coeffs, r.rows
	clear(sum)
	clear(size)
	for ; len(c) >= 4; c, rows = c[4:], rows[4:] {
		c0, c1, c2, c3 := c[0], c[1], c[2], c[3]
		x0, x1, x2, x3 := at(rows[0]), at(rows[1]), at(rows[2]), at(rows[3])
		x0, x1, x2, x3, size := x0[:len(sum)], x1[:len(sum)], x2[:len(sum)], x3[:len(sum)], size[:len(sum)]
		for j := range sum {
			v0, v1, v2, v3 := c0*x0[j], c1*x1[j], c2*x2[j], c3*x3[j]
			sum[j] += (v0 + v1) + (v2 + v3)
			size[j] += (math.Abs(v0) + math.Abs(v1)) + (math.Abs(v2) + math.Abs(v3))
		}
	}
	for k, f := range c {
		for j, v := range at(rows[k]) {
			sum[j] += f * v
			size[j] += math.Abs(f * v)
		}
	}
}

// prove proves the movements as Factored.prove does each column, and refines those of which it is
// called for.
func (x *unitMovements) prove(band blas64.SymmetricBand) {
	m, data := len(x.loaded), band.Data[x.from*band.Stride:]
	room := make(vector, 5*m)
	r := rowSum{x: x.all, width: m, coeffs: make(vector, 0, 2*band.K+1), rows: make([]int, 0, 2*band.K+1), sum: room[:m]}
	terms, left, mostTerms, moved := room[m:2*m], room[2*m:3*m], room[3*m:4*m], room[4*m:]
	type place struct {
		column int
		terms  float64
	}
	var rough []place // that are worse than what is left unrefined
	next := 0
	for i := range x.n {
		r.coeffs, r.rows = r.coeffs[:0], r.rows[:0]
		for k := max(0, i-band.K); k < i; k++ {
			r.add(data[k*band.Stride+i-k], k)
		}
		for j, c := range data[i*band.Stride:][:min(band.K, x.n-1-i)+1] {
			r.add(c, i+j)
		}
		r.sizes(terms)
		if next < m && x.loaded[next] == x.from+i {
			r.sum[next]--
			terms[next]++
			next++
		}
		for j, u := range x.row(i) {
			v, size, u := math.Abs(r.sum[j]), terms[j], math.Abs(u)
			if v > left[j] || math.IsNaN(v) { // which it is where any of the others is not a number
				left[j] = v
			}
			if size > mostTerms[j] {
				mostTerms[j] = size
			}
			if u > moved[j] {
				moved[j] = u
			}
			if v > unrefined*size {
				rough = append(rough, place{j, size})
			}
		}
	}
	for j, v := range left {
		residual := v / (x.s.norm*moved[j] + 1)
		if math.IsNaN(residual) {
			residual = math.Inf(1)
		}
		left[j] = residual
	}
	refined := make([]bool, m)
	for _, at := range rough {
		if !refined[at.column] && at.terms > faded*mostTerms[at.column] {
			refined[at.column] = true
			left[at.column] = x.refine(at.column)
		}
	}
	for _, v := range left {
		x.s.residual = math.Max(x.s.residual, v)
	}
}

// refine refines one column, and returns its residual.
func (x *unitMovements) refine(j int) float64 {
	n, room := x.s.free, make(vector, 4*x.s.free)
	u, f, p := room[:n], room[n:2*n], proof{room[2*n : 3*n], room[3*n:]}
	f[x.loaded[j]] = 1
	for i := range x.n {
		u[x.from+i] = x.row(i)[j]
	}
	residual := x.s.prove(&p, u, f)
	for i := range x.n {
		x.row(i)[j] = u[x.from+i]
	}
	return residual
}
