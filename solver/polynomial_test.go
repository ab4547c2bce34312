package solver

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// fromRoots returns the monic polynomial with the given roots, times a factor.
func fromRoots(factor float64, roots ...float64) polynomial {
	p := polynomial{factor}
	for _, r := range roots {
		next := make(polynomial, len(p)+1)
		for i, c := range p {
			next[i] -= r * c
			next[i+1] += c
		}
		p = next
	}
	return p
}

// TestRoots finds the roots that a polynomial was made of: those inside
// (0, length) at which it changes sign.
func TestRoots(t *testing.T) {
	cases := []struct {
		name   string
		p      polynomial
		length float64
		want   []float64
	}{
		{"none", nil, 1, nil},
		{"constant", polynomial{3}, 1, nil},
		{"zero", polynomial{0, 0, 0, 0}, 1, nil},
		{"line", fromRoots(2, 0.25), 1, []float64{0.25}},
		{"line with zeros above", append(fromRoots(2, 0.25), 0, 0), 1, []float64{0.25}},
		{"line, root outside", fromRoots(2, 1.25), 1, nil},
		{"line, root at the start", fromRoots(2, 0), 1, nil},
		{"line, root at the end", fromRoots(2, 1), 1, nil},
		{"parabola", fromRoots(-1, 0.3, 0.8), 1, []float64{0.3, 0.8}},
		{"parabola, one inside", fromRoots(1, -0.3, 0.8), 1, []float64{0.8}},
		{"parabola without roots", polynomial{1, 0, 1}, 1, nil},
		{"cubic", fromRoots(1e-9, 1, 2, 3), 4, []float64{1, 2, 3}},
		{"cubic, two inside", fromRoots(1e9, -1, 0.5, 3.5), 4, []float64{0.5, 3.5}},
		{"cubic, threefold", fromRoots(1, 0.5, 0.5, 0.5), 1, []float64{0.5}},
		{"cubic, roots close together", fromRoots(1, 0.5, 0.5001, 0.9), 1, []float64{0.5, 0.5001, 0.9}},
		{"cubic with a line's curvature", polynomial{-0.5, 1, 1e-18, 1e-18}, 1, []float64{0.5}},
		{"quartic", fromRoots(7, 0.1, 0.2, 0.6, 0.9), 1, []float64{0.1, 0.2, 0.6, 0.9}},
	}
	equal := func(got, want float64) bool { return math.Abs(got-want) < 1e-9 }
	for _, c := range cases {
		tol := equal
		if c.name == "cubic, threefold" { // known to the cube root of the rounding
			tol = func(got, want float64) bool { return math.Abs(got-want) < 1e-5 }
		}
		if got := c.p.roots(c.length); !slices.EqualFunc(got, c.want, tol) {
			t.Errorf("%s: polynomial.roots = %v, want %v", c.name, got, c.want)
		}
		if len(c.p) > 4 {
			continue
		}
		var as cubic
		copy(as[:], c.p)
		if got := as.roots(nil, c.length); !slices.EqualFunc(got, c.want, tol) {
			t.Errorf("%s: cubic.roots = %v, want %v", c.name, got, c.want)
		}
	}
}

// TestCubic checks shift, integral and the points without slope by the values of
// the cubic itself.
func TestCubic(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		c := cubic{between(r, -1, 1), between(r, -1, 1), between(r, -1, 1), between(r, -1, 1)}
		at, x := between(r, -1, 1), between(r, -1, 1)
		if got, want := c.shift(at).at(x), c.at(at+x); math.Abs(got-want) > 1e-13 {
			t.Errorf("shifted by %g: %g at %g, want %g", at, got, x, want)
		}
		// Simpson's rule is exact for a cubic.
		if got, want := c.integral(at, x), (x-at)/6*(c.at(at)+4*c.at((at+x)/2)+c.at(x)); math.Abs(got-want) > 1e-14 {
			t.Errorf("integral %g, want %g", got, want)
		}
		for _, s := range c.stationary(nil, 1) {
			const h = 1e-4 // the slope by difference is off by h² c₃
			if slope := (c.at(s+h) - c.at(s-h)) / (2 * h); math.Abs(slope) > 1e-7 {
				t.Errorf("slope %g at %g, where %v should have none", slope, s, c)
			}
		}
		p := polynomial(c[:])
		if got, want := p.integral(0).At(x)-p.integral(0).At(at), c.integral(at, x); math.Abs(got-want) > 1e-14 {
			t.Errorf("polynomial.integral %g, want %g", got, want)
		}
		if got, want := p.integral(2).derivative().At(x), c.at(x); math.Abs(got-want) > 1e-14 {
			t.Errorf("derivative of the integral %g, want %g", got, want)
		}
	}
}
