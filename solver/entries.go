package solver

import (
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// longBand is the number of equations from which on the factor takes the place of the stiffness, of which no
// more is kept than proves solutions: 5 kB a post in place of 9. A post with two rails has 23 equations.
const longBand = 200_000

// entries are what is not zero in the upper half of a band, row by row, each from its diagonal on.
type entries struct {
	starts  []int32 // of each row, and the end
	columns []int32
	values  vector
}

func entriesOf(raw blas64.SymmetricBand) *entries {
	count := 0
	eachRow(raw, func(row vector) {
		for j, v := range row {
			if j == 0 || v != 0 {
				count++
			}
		}
	})
	e := &entries{make([]int32, 0, raw.N+1), make([]int32, 0, count), make(vector, 0, count)}
	eachRow(raw, func(row vector) {
		i := len(e.starts)
		e.starts = append(e.starts, int32(len(e.values)))
		for j, v := range row {
			if j == 0 || v != 0 {
				e.columns, e.values = append(e.columns, int32(i+j)), append(e.values, v)
			}
		}
	})
	e.starts = append(e.starts, int32(len(e.values)))
	return e
}

func eachRow(raw blas64.SymmetricBand, visit func(row vector)) {
	for i := range raw.N {
		visit(raw.Data[i*raw.Stride:][:min(raw.K, raw.N-1-i)+1])
	}
}

// diagonal returns the diagonal as a band.
func (e *entries) diagonal() blas64.SymmetricBand {
	n := len(e.starts) - 1
	out := blas64.SymmetricBand{N: n, Stride: 1, Data: make(vector, n)}
	for i, at := range e.starts[:n] {
		out.Data[i] = e.values[at]
	}
	return out
}

// work works the proof of a solution out, as that by a band does, to the same last digit.
func (e *entries) work(p *proof, u vector) {
	for i := range len(e.starts) - 1 {
		from, to := e.starts[i], e.starts[i+1]
		ui := u[i]
		left0, terms0 := e.values[from]*ui, math.Abs(e.values[from]*ui)
		for k := from + 1; k < to; k++ {
			j := e.columns[k]
			here, there := e.values[k]*u[j], e.values[k]*ui
			left0 += here
			terms0 += math.Abs(here)
			p.left[j] -= there
			p.terms[j] += math.Abs(there)
		}
		p.left[i] -= left0
		p.terms[i] += terms0
	}
}

// factoriseInPlace puts the factor in the place of the stiffness.
func (s *Factored) factoriseInPlace() error {
	raw := s.band.RawSymBand()
	kept := entriesOf(raw)
	factor, ok := factoriseIn(raw)
	s.band = nil
	if !ok || !trusted(factor, kept.diagonal()) {
		return s.unheld(s.stiffness().RawSymBand())
	}
	s.factor, s.entries = factor, kept
	return nil
}

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
	if old.entries != nil {
		s.band = mat.NewSymBandDense(old.factor.N, old.factor.K, old.factor.Data)
	}
}
