package solver

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// longBand is the number of equations from which on the factor takes the place of the stiffness, of which no
// more is kept than proves solutions: 3 kB a post in place of 5 on a straight run whose posts have two rails and 20
// equations, in a band of 13; rails on arms make the band twice as wide.
const longBand = 345_000

// entries are what is not zero in the upper half of a band, and its diagonal, row by row, each from its diagonal on.
type entries struct {
	starts  []int32 // of each row, and the end
	columns []int32
	values  vector
}

// entriesOf finds those of a band.
func entriesOf(band blas64.SymmetricBand) entries {
	e := roomFor(band)
	for i := range band.N {
		e.starts = append(e.starts, int32(len(e.values)))
		for j, v := range wholeRow(band, i) {
			if v != 0 || j == 0 {
				e.columns, e.values = append(e.columns, int32(i+j)), append(e.values, v)
			}
		}
	}
	e.starts = append(e.starts, int32(len(e.values)))
	return e
}

// roomFor returns room for the entries of a band.
func roomFor(band blas64.SymmetricBand) entries {
	count := band.N
	for _, v := range band.Data {
		if v != 0 {
			count++
		}
	}
	return entries{make([]int32, 0, band.N+1), make([]int32, 0, count), make(vector, 0, count)}
}

// onDiagonal returns those of a band that differs where springs stand, each on one equation, in the room
// given where that is enough.
func (e *entries) onDiagonal(band blas64.SymmetricBand, springs []spring, room vector) entries {
	out := entries{e.starts, e.columns, append(room[:0], e.values...)}
	for i := range springs {
		eq := springs[i].terms[0].eq
		out.values[out.starts[eq]] = band.Data[eq*band.Stride]
	}
	return out
}

// diagonal returns the one of row i.
func (e *entries) diagonal(i int) float64 { return e.values[e.starts[i]] }

// reaches returns of each row how many places there are from its diagonal to its last entry, in the room
// given where that is enough.
func (e *entries) reaches(room []int32) []int32 {
	out := slices.Grow(room[:0], len(e.starts)-1)
	for i, end := range e.starts[1:] {
		out = append(out, e.columns[end-1]-int32(i)+1)
	}
	return out
}

// times sets y to A x.
func (e *entries) times(x, y vector) {
	starts, columns, values := e.starts, e.columns, e.values
	clear(y)
	for i, v := range x {
		from, to := starts[i], starts[i+1]
		sum := values[from] * v
		for k := from + 1; k < to; k++ {
			c, j := values[k], columns[k]
			y[j] += c * v
			sum += c * x[j]
		}
		y[i] += sum
	}
}

// norm returns the largest row sum of absolute values.
func (e *entries) norm() float64 {
	sums := make(vector, len(e.starts)-1)
	for i := range sums {
		from, to := e.starts[i], e.starts[i+1]
		sum := math.Abs(e.values[from])
		for k := from + 1; k < to; k++ {
			v := math.Abs(e.values[k])
			sum += v
			sums[e.columns[k]] += v
		}
		sums[i] += sum
	}
	return largest(sums)
}

// work works the proof of a solution out.
func (e *entries) work(p *proof, u vector) {
	starts, columns, values, left, terms := e.starts, e.columns, e.values, p.left, p.terms
	for i, ui := range u {
		from, to := starts[i], starts[i+1]
		left0 := values[from] * ui
		terms0 := math.Abs(left0)
		for k := from + 1; k < to; k++ {
			j, v := columns[k], values[k]
			here, there := v*u[j], v*ui
			left0 += here
			terms0 += math.Abs(here)
			left[j] -= there
			terms[j] += math.Abs(there)
		}
		left[i] -= left0
		terms[i] += terms0
	}
}

// factoriseInPlace puts the factor in the place of the stiffness.
func (s *Factored) factoriseInPlace() error {
	band := s.symmetric()
	factor, ok := factoriseIn(band.SymmetricBand, band.reaches(nil))
	s.band = nil
	if !ok || !s.isTrusted(&factor, band) {
		return s.unheld(s.symmetric())
	}
	s.factor = factor
	return nil
}

// isInPlace reports whether the factor stands in the place of the stiffness.
func (s *Factored) isInPlace() bool { return s.band == nil && s.factor.Data != nil }

// stiffness returns the stiffness, assembled again where the factor stands in its place.
func (s *Factored) stiffness() *mat.SymBandDense {
	if s.band != nil {
		return s.band
	}
	out := *s
	out.assemble(out.jointSprings())
	return out.band
}

// inRoomOf makes room for the stiffness in that of the factor of another frame of as many equations.
func (s *Factored) inRoomOf(old *Factored) {
	if old.isInPlace() {
		s.band = mat.NewSymBandDense(old.factor.N, old.factor.K, old.factor.Data)
	}
}
