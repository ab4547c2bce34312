package solver

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// TestNoSoftMotionIsMissed gives ten thousand stiffnesses one soft motion v each, in any
// direction: I - (1-λ)vv'. The estimate is blind to a motion across its random loads; at the
// λ to be found it should miss one in 2.5 million (mostCompliance), so none here. A mechanism
// is a thousand times softer.
func TestNoSoftMotionIsMissed(t *testing.T) {
	const n = 8
	r := rand.New(rand.NewPCG(4, 12))
	band := blas64.SymmetricBand{N: n, K: n - 1, Stride: n, Data: make([]float64, n*n), Uplo: blas.Upper}
	for range 10000 {
		v := make(vector, n)
		for i := range v {
			v[i] = r.NormFloat64()
		}
		scaleBy(v, 1/norm(v))
		for i := range n {
			for j := i; j < n; j++ {
				band.Data[i*n+j-i] = -(1 - 0.5*leastStiffness) * v[i] * v[j]
			}
			band.Data[i*n]++
		}
		whole := symmetricOf(band)
		factor, ok := cholesky(whole, 0)
		if !ok {
			t.Fatal("not positive definite")
		}
		if firm := firmnessOf(&factor, whole); firm.compliance <= mostCompliance {
			t.Errorf("the motion %.3g is missed: the estimate of 1/λ is %.2g", v, firm.compliance)
		}
	}
}

// On other ground springs a frame is as firm as firmness.resprung says at least: its pivots, and the sum of
// all 1/eigenvalue, here the true one, by a solution for each freedom.
func TestFirmnessOnOtherSprings(t *testing.T) {
	trace := func(s *Factored) (sum float64) {
		for i := range s.free {
			u := make(vector, s.free)
			u[i] = 1
			substitute(&s.factor, u)
			sum += s.entries.diagonal(i) * u[i]
		}
		return sum
	}
	for _, kind := range runKinds() {
		f := &Frame{}
		kind.run(f, 6, Vec{})
		for n := range f.nodes {
			if f.nodes[n].joint < 0 && !f.nodes[n].fixed[RY] {
				f.Spring(NodeID(n), RY, 40e3*float64(1+n%3))
			}
		}
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		for _, factor := range []float64{1e-3, 0.4, 1, 30, 1e4} {
			r, err := s.Resprung(factor)
			if err != nil {
				t.Fatal(err)
			}
			firm := firmnessOf(&r.factor, r.symmetric())
			bound := firmness{trace(s), s.firmness.pivot}.resprung(factor)
			if got := trace(r); !(got <= bound.compliance*(1+1e-9)) || !(firm.pivot >= bound.pivot*(1-1e-9)) {
				t.Errorf("%s, springs times %g: compliance %g and pivot %g, want at most %g and at least %g", kind.name, factor, got, firm.pivot, bound.compliance, bound.pivot)
			}
			if !r.firmness.isEnough() || !firm.isEnough() {
				t.Errorf("%s, springs times %g: not firm", kind.name, factor)
			}
		}
	}
}
