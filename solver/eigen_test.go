package solver

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"

	"example.com/stanchion/internal/verification"
)

// randomPencil returns a banded problem: a positive definite by its diagonal, b of a kind.
func randomPencil(t *testing.T, r *rand.Rand, n, k int, kind string) *pencil {
	a, b := mat.NewSymBandDense(n, k, nil), mat.NewSymBandDense(n, k, nil)
	for i := range n {
		for j := i; j <= min(i+k, n-1); j++ {
			v := between(r, -1, 1)
			a.SetSymBand(i, j, v)
			if i == j {
				a.SetSymBand(i, i, 2*float64(k)+1.5+v)
			}
			switch {
			case kind == "of both signs":
				b.SetSymBand(i, j, between(r, -1, 1))
			case kind == "of few freedoms" && i == j && i%5 == 0, kind == "of masses" && i == j:
				b.SetSymBand(i, i, between(r, 0.1, 1))
			case kind == "mostly negative":
				b.SetSymBand(i, j, between(r, -0.1, 0.1))
				if i == j {
					b.SetSymBand(i, i, -1)
					if i%7 == 3 {
						b.SetSymBand(i, i, 0.5)
					}
				}
			}
		}
	}
	p := &pencil{a: symmetricOf(a.RawSymBand()), b: symmetricOf(b.RawSymBand())}
	factor, ok := cholesky(p.a, 0)
	if !ok {
		t.Fatal("not positive definite")
	}
	p.factor = factor
	return p
}

// denseValues solves the problem a second way: all λ of L⁻¹BL⁻ᵀ on full matrices.
func denseValues(t *testing.T, p *pencil) []float64 {
	t.Helper()
	n := p.a.N
	full := func(band blas64.SymmetricBand) *mat.SymDense {
		s := mat.NewSymDense(n, nil)
		for i := range n {
			for j := i; j <= min(i+band.K, n-1); j++ {
				s.SetSym(i, j, band.Data[i*band.Stride+j-i])
			}
		}
		return s
	}
	var chol mat.Cholesky
	chol.Factorize(full(p.a.SymmetricBand))
	var l mat.TriDense
	chol.LTo(&l)
	var half, whole mat.Dense
	if err := errors.Join(half.Solve(&l, full(p.b.SymmetricBand)), whole.Solve(&l, half.T())); err != nil {
		t.Fatal(err)
	}
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, 0.5*(whole.At(i, j)+whole.At(j, i)))
		}
	}
	var e mat.EigenSym
	e.Factorize(s, false)
	var out []float64
	for _, v := range e.Values(nil) {
		if v > 1e-10 {
			out = append(out, 1/v)
		}
	}
	slices.Sort(out)
	return out
}

func TestEigenvaluesAgainstDense(t *testing.T) {
	record := verification.New(t, verification.Libraries)
	for _, kind := range []string{"of both signs", "of few freedoms", "of masses", "mostly negative", "nothing"} {
		for seed := range uint64(6) {
			r := rand.New(rand.NewPCG(seed, 17))
			n := []int{1, 2, 9, 25, 60, 100}[seed]
			p := randomPencil(t, r, n, min(n-1, 1+r.IntN(8)), kind)
			want := denseValues(t, p)
			name := fmt.Sprintf("%s, %d freedoms", kind, n)
			for _, ask := range []int{1, 4, 15} {
				values, vectors, err := p.lowest(ask)
				if err != nil {
					t.Errorf("%s: %v", name, err)
					continue
				}
				if len(values) != min(ask, len(want)) || len(vectors) != len(values) {
					t.Errorf("%s: %d values of %d asked for, %d there", name, len(values), ask, len(want))
					continue
				}
				for i, v := range values {
					if ask == 15 {
						record.From("lowest values of A x = λ B x, random bands "+kind, "gonum, EigenSym of the whole matrix by way of a Cholesky factor", verification.Program).
							Add(fmt.Sprintf("%d freedoms: value %d", n, i+1), want[i], v)
					}
					if math.Abs(v/want[i]-1) > 1e-9 {
						t.Errorf("%s: value %d is %.12g, dense %.12g", name, i, v, want[i])
					}
					checkVector(t, p, v, vectors[i], name)
				}
			}
			if len(want) > 2 && kind != "nothing" {
				for _, at := range []int{0, len(want) / 2, len(want) - 2} {
					if want[at+1] < want[at]*1.02 {
						continue
					}
					if got := p.count(math.Sqrt(want[at] * want[at+1])); got != at+1 {
						t.Errorf("%s: %d values counted below the one numbered %d", name, got, at+1)
					}
				}
			}
		}
	}
}

// checkVector checks A x = λ B x and the Rayleigh quotient xᵀAx/xᵀBx = λ.
func checkVector(t *testing.T, p *pencil, value float64, x vector, name string) {
	ax, bx := make(vector, len(x)), make(vector, len(x))
	p.a.times(x, ax)
	p.b.times(x, bx)
	if q := dot(x, ax) / dot(x, bx); math.Abs(q/value-1) > 1e-9 {
		t.Errorf("%s: Rayleigh quotient %.12g, value %.12g", name, q, value)
	}
	size := norm(ax)
	addTo(ax, bx, -value)
	// A value that has settled to 1e-11 leaves its root of the vector.
	if off := norm(ax) / size; off > 1e-4 {
		t.Errorf("%s: residual %.1e at %g", name, off, value)
	}
}

// TestManyAlike looks for a few of very many equal values, and for those among which some
// stand alone.
func TestManyAlike(t *testing.T) {
	var f Frame
	const posts = 60
	for i := range posts {
		foot, top := f.Node("foot", Vec{float64(i), 0, 0}), f.Node("top", Vec{float64(i), 0, 1})
		f.Restrain(foot, clamped...)
		stiff := 1.0
		if i == 37 {
			stiff = 0.999
		}
		f.Member(Member{Start: foot, End: top, EA: 1e5, EIy: stiff, EIz: stiff, GJ: 1, Reference: Vec{0, 1, 0}})
		f.Mass(top, 3)
	}
	for _, n := range []int{1, 2, 3, 30} {
		for i, m := range vibrations(t, &f, n) {
			want := 1.0 // √(3EI/ML³)
			if i < 2 {
				want = math.Sqrt(0.999)
			}
			near(t, fmt.Sprintf("frequency %d of %d", i+1, n), m.Radian, want, want)
		}
	}
}

// TestCountPastASmallPivot counts where elimination meets a pivot p of nearly nothing. Of
// [p 1 1; 1 a b; 1 b c] with p to nothing the pivots are p, -1/p and a + c - 2b, which is
// below the rounding of 1/p, 1.2e-4.
func TestCountPastASmallPivot(t *testing.T) {
	const p, a, b, c = 1.05e-12, 0.50002, 0.50005, 0.50007 // a + c - 2b = -1e-5: two are negative
	band := func(data ...float64) *symmetric {
		return symmetricOf(blas64.SymmetricBand{N: 3, K: 2, Stride: 3, Uplo: blas.Upper, Data: data})
	}
	q := pencil{a: band(1, 0, 0, 1, 0, 0, 1, 0, 0), b: band(1-p, -1, -1, 1-a, -b, 0, 1-c, 0, 0)}
	if got := q.count(1); got != 2 {
		t.Errorf("%d negative pivots counted, want 2", got)
	}
}
