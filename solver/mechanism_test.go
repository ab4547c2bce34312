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
		factor, ok := cholesky(band, 0)
		if !ok {
			t.Fatal("not positive definite")
		}
		if sum, _ := compliance(factor, band); sum <= mostCompliance {
			t.Errorf("the motion %.3g is missed: the estimate of 1/λ is %.2g", v, sum)
		}
	}
}
