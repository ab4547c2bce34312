package solver

import (
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// A frame is a mechanism when it can move without bending. Its stiffness, scaled
// to a unit diagonal, then has an eigenvalue of zero, of which rounding leaves
// about ε times the width of the band: Higham, Accuracy and Stability of
// Numerical Algorithms, theorem 10.3. A single pivot does not tell: in an
// inclined frame rounding can leave one a million times that.
const (
	// leastStiffness is the eigenvalue below which a frame is not held. At it the
	// answer would still have four digits.
	leastStiffness = 1e-12
	// shift is added to the scaled stiffness to find the motion of a mechanism: far
	// above rounding, far below what holds a frame.
	shift = 1e-9
	// turnedByRounding is the part of |K| below which a freedom's own stiffness
	// counts as nothing: it comes from axes that are turned by rounding.
	turnedByRounding = 1e-20
)

// factorise factorises the band. It returns a *MechanismError that names the
// freedom which moves most where nothing holds it.
func (s *Factored) factorise() error {
	if s.free == 0 {
		return nil
	}
	raw := s.band.RawSymBand()
	s.norm = bandNorm(raw)
	if math.IsNaN(s.norm) || math.IsInf(s.norm, 0) {
		return &InputError{"a stiffness is not finite"}
	}
	for i := range s.free {
		if raw.Data[i*raw.Stride] <= turnedByRounding*s.norm {
			return s.mechanism(i)
		}
	}
	factor, ok := cholesky(raw, 0)
	if ok {
		if stiffness, _ := softest(factor, raw); stiffness >= leastStiffness {
			s.factor = factor
			return nil
		}
	}
	factor, ok = cholesky(raw, shift)
	if !ok {
		return &InputError{"the stiffness is not positive"}
	}
	_, motion := softest(factor, raw)
	return s.mechanism(firstLargest(motion))
}

func (s *Factored) mechanism(eq int) error {
	name := s.names[eq]
	return &MechanismError{Node: s.frame.nodes[name.node].label, Direction: name.direction}
}

// cholesky returns the upper factor of a copy of the band, whose diagonal is
// raised by a part of itself.
func cholesky(band blas64.SymmetricBand, raise float64) (blas64.TriangularBand, bool) {
	band.Data = append([]float64(nil), band.Data...)
	for i := range band.N {
		band.Data[i*band.Stride] *= 1 + raise
	}
	return lapack64.Pbtrf(band)
}

// softest returns an upper bound of the least eigenvalue of the factorised band,
// scaled to a unit diagonal, and its motion, by inverse iteration. With an
// eigenvalue of nothing one step brings out its motion; the others make sure.
func softest(factor blas64.TriangularBand, band blas64.SymmetricBand) (float64, vector) {
	root := make(vector, band.N) // of the diagonal
	motion := make(vector, band.N)
	const golden = 0.6180339887498949 // spreads the start over all motions
	for i := range motion {
		root[i] = math.Sqrt(band.Data[i*band.Stride])
		_, part := math.Modf(float64(i+1) * golden)
		motion[i] = part + 0.5
	}
	stiffness := math.Inf(1)
	for range 3 {
		before := norm(motion)
		for i := range motion {
			motion[i] *= root[i] / before
		}
		substitute(factor, motion)
		for i := range motion {
			motion[i] *= root[i]
		}
		stiffness = min(stiffness, 1/norm(motion))
	}
	for i := range motion {
		motion[i] /= root[i]
	}
	if math.IsNaN(stiffness) {
		return 0, motion
	}
	return stiffness, motion
}

func norm(v vector) float64 { return blas64.Nrm2(blas64.Vector{N: len(v), Inc: 1, Data: v}) }

// firstLargest returns where the largest component stands, the first of those
// that are about equal.
func firstLargest(v vector) int {
	at := 0
	for i, x := range v {
		if math.Abs(x) > math.Abs(v[at])*(1+1e-3) {
			at = i
		}
	}
	return at
}
