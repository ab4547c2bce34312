package solver

import (
	"math"
	"math/rand/v2"
)

// A frame is a mechanism when it can move without bending. Its stiffness, scaled
// to a unit diagonal, then has an eigenvalue of zero, of which rounding leaves
// about ε times the width of the band: Higham, Accuracy and Stability of
// Numerical Algorithms, theorem 10.3. A single pivot does not tell: in an
// inclined frame rounding can leave one a million times that.
//
// Most frames are far from it, which costs one substitution to see (firmnessOf); the
// others are looked at by inverse iteration (softest).
const (
	// leastStiffness is the eigenvalue below which the answer of a frame is not to be
	// trusted. At it the answer would still have four digits.
	leastStiffness = 1e-12
	// mostCompliance is the sum of all 1/eigenvalue, estimated, up to which none of them
	// is thought to be as large as 1/leastStiffness, and leastPivot the pivot, against the
	// diagonal, that must be left besides. The estimate of a sum that one motion v rules is
	// (v·x)² times it, with x of random numbers of size 1. For an eigenvalue of
	// leastStiffness every estimate must fall short a thousandfold: |v·x| below 0.03, 2.5 in
	// a hundred for one, 4 in ten million for all four. For a mechanism, of eigenvalue 1e-14
	// or less, it is |v·x| below 0.003, and 4 in 1e11 for all four, with its last freedom
	// among the stillest: for the pivot is the eigenvalue over the square of that freedom's
	// part in v.
	mostCompliance = 1e9
	leastPivot     = 1e-9
	// turnedByRounding is the part of |K| below which a freedom's own stiffness
	// may be nothing: it may come from axes that are turned by rounding.
	turnedByRounding = 1e-20
	// turned is the part of a unit movement that rounding may turn into another direction.
	turned = 1e-12
	// leastEnergy is the energy of a motion, over that of its freedoms each on its own,
	// below which nothing resists it. Energies are found from how far the ends of members
	// and springs move apart, so that of a mechanism the rounding is squared: (1e-16)²,
	// some powers of ten more where other motions are soft.
	leastEnergy = 1e-21
)

// shifts are added to the scaled stiffness to find the motion of a mechanism, the first
// that makes it positive: above rounding, far below what holds a frame.
var shifts = [...]float64{1e-13, 1e-9}

// factorise factorises the band. It returns a *MechanismError that names the
// freedom which moves most where nothing holds it, and an *IllConditionedError where
// something does, but too softly.
func (s *Factored) factorise() error { return s.factoriseOver(upper{}) }

// factoriseOver does the same in the memory of a factor that is done with.
func (s *Factored) factoriseOver(old upper) error {
	if s.free == 0 {
		return nil
	}
	s.entries = entriesOf(s.band.RawSymBand())
	return s.factoriseEntries(old, firmness{})
}

// factoriseEntries does the same where the entries of the band are known, and how firm the frame is at least: the zero
// value where nothing is known of that.
func (s *Factored) factoriseEntries(old upper, known firmness) error {
	raw := s.symmetric()
	s.norm, s.firmness = raw.norm(), known
	if math.IsNaN(s.norm) || math.IsInf(s.norm, 0) {
		return &InputError{"a stiffness is not finite"}
	}
	if eq := s.loose(raw); eq >= 0 {
		return s.mechanism(eq)
	}
	if s.free >= longBand {
		return s.factoriseInPlace()
	}
	if factor, ok := choleskyIn(old, raw, 0); ok && s.isTrusted(&factor, raw) {
		s.factor = factor
		return nil
	}
	return s.unheld(raw)
}

// unheld returns what is wrong with a stiffness that cannot be factorised, or not be trusted.
func (s *Factored) unheld(raw *symmetric) error {
	for _, shift := range shifts {
		if factor, ok := cholesky(raw, shift); ok {
			_, motion := softest(&factor, raw)
			return s.fault(motion)
		}
	}
	return &InputError{"the stiffness is not positive"}
}

// isTrusted reports whether the least eigenvalue of the factorised band, scaled to a unit
// diagonal, is far enough above rounding, and notes how firm the frame is found to be.
func (s *Factored) isTrusted(factor *upper, band *symmetric) bool {
	if s.firmness.isEnough() {
		return true
	}
	s.firmness = firmnessOf(factor, band)
	if s.firmness.isEnough() {
		return true
	}
	stiffness, _ := softest(factor, band)
	return stiffness >= leastStiffness
}

// firmness is how far a frame is from a mechanism, of its stiffness scaled to a unit diagonal: an estimate
// of the sum of all 1/eigenvalue, and the least pivot. The zero value, of a frame not yet looked at, is not enough.
type firmness struct{ compliance, pivot float64 }

// isEnough reports whether it tells that no eigenvalue is near rounding.
func (f firmness) isEnough() bool { return f.compliance <= mostCompliance && f.pivot >= leastPivot }

// resprung returns what is left of it at least once all ground springs are a factor f times as stiff. The
// stiffness K and its diagonal D become K' and D' between them and f times them. So xᵀK'x/xᵀD'x, and with it
// each eigenvalue, falls to 1/f of what it was at most where f > 1, to f of it where f < 1. A pivot is the least
// xᵀK'x of a unit movement of its freedom, those after it held: it falls no further against its diagonal.
func (f firmness) resprung(factor float64) firmness {
	fall := max(factor, 1/factor)
	return firmness{f.compliance * fall, f.pivot / fall}
}

func (s *Factored) mechanism(eq int) error {
	return &MechanismError{Node: s.frame.nodes[s.names[eq].node].label, Direction: s.direction(eq)}
}

// probes are the random loads of firmnessOf on one equation.
type probes [4]float64

// firmnessOf returns how firm a factorised band is. With the scaled factor U the sum of all 1/eigenvalue
// is that of the squares of all of U⁻ᵀ, and of U⁻ᵀx that on average for random x of
// size 1: Hutchinson, A stochastic estimator of the trace of the influence matrix, 1990.
// The largest of the estimates of all probes counts; one pass over the factor serves them.
func firmnessOf(factor *upper, band *symmetric) firmness {
	x := make([]probes, band.N)
	random := rand.NewPCG(1, 1)
	for i := range x {
		root := math.Sqrt(band.diagonal(i))
		for p := 0; p < len(x[i]); p += 2 {
			bits := random.Uint64()
			x[i][p], x[i][p+1] = root*centred(uint32(bits>>32)), root*centred(uint32(bits))
		}
	}
	var sums probes
	pivot := 1.0
	for i := range x {
		row := factor.row(i)
		pivot = min(pivot, row[0]*row[0]/band.diagonal(i))
		a := x[i]
		for p := range a {
			a[p] /= row[0]
			sums[p] += a[p] * a[p]
		}
		a0, a1, a2, a3 := a[0], a[1], a[2], a[3]
		rest := x[i+1:][:len(row)-1]
		for j, u := range row[1:] {
			to := &rest[j]
			to[0] -= u * a0
			to[1] -= u * a1
			to[2] -= u * a2
			to[3] -= u * a3
		}
	}
	sum := largest(sums[:])
	if math.IsNaN(sum) {
		sum = math.Inf(1)
	}
	return firmness{sum, pivot}
}

// centred returns a number spread evenly about 0 with a mean square of 1.
func centred(bits uint32) float64 {
	return (float64(bits)/(1<<32) - 0.5) * math.Sqrt(12)
}

// softest returns an upper bound of the least eigenvalue of the factorised band,
// scaled to a unit diagonal, and its motion, by inverse iteration. With an
// eigenvalue of nothing one step brings out its motion; the others make sure.
func softest(factor *upper, band *symmetric) (float64, vector) {
	root := make(vector, band.N) // of the diagonal
	motion := make(vector, band.N)
	const golden = 0.6180339887498949 // spreads the start over all motions
	for i := range motion {
		root[i] = math.Sqrt(band.diagonal(i))
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

// firstLargest returns the equation that moves most, the first by its node of those that
// are about equal.
func (s *Factored) firstLargest(motion vector) int {
	floor := largest(motion) * (1 - 1e-3)
	at := -1
	for eq, x := range motion {
		if math.Abs(x) >= floor && (at < 0 || s.names[eq].before(s.names[at])) {
			at = eq
		}
	}
	return max(at, 0)
}

func (a equationName) before(b equationName) bool {
	return a.node < b.node || a.node == b.node && a.freedom < b.freedom
}
