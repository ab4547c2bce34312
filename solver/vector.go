package solver

import (
	"math"

	"gonum.org/v1/gonum/blas/blas64"
)

type vector = []float64

func norm(v vector) float64 { return blas64.Nrm2(blas64.Vector{N: len(v), Inc: 1, Data: v}) }

func dot(x, y vector) float64 {
	return blas64.Dot(blas64.Vector{N: len(x), Inc: 1, Data: x}, blas64.Vector{N: len(y), Inc: 1, Data: y})
}

func scaleBy(x vector, s float64) { blas64.Scal(s, blas64.Vector{N: len(x), Inc: 1, Data: x}) }

// addTo adds s times y to x.
func addTo(x, y vector, s float64) {
	blas64.Axpy(s, blas64.Vector{N: len(y), Inc: 1, Data: y}, blas64.Vector{N: len(x), Inc: 1, Data: x})
}

// largest returns the largest size of a component, NaN where there is one.
func largest(v vector) float64 {
	m := 0.0
	for _, x := range v {
		a := math.Abs(x)
		if a <= m {
			continue
		}
		if math.IsNaN(a) {
			return a
		}
		m = a
	}
	return m
}

// peak returns where the largest component stands, the first of those that are about equal.
func peak(v vector) int {
	at := 0
	for i, x := range v {
		if math.Abs(x) > math.Abs(v[at])*(1+1e-3) {
			at = i
		}
	}
	return at
}
