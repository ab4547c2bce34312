package solver

import (
	"math"
	"slices"
)

// cubic is c0 + c1 x + c2 x² + c3 x³.
type cubic [4]float64

func (c cubic) at(x float64) float64 { return c[0] + x*(c[1]+x*(c[2]+x*c[3])) }

func (c cubic) scale(s float64) cubic { return cubic{c[0] * s, c[1] * s, c[2] * s, c[3] * s} }

func (c cubic) plus(d cubic, s float64) cubic {
	return cubic{c[0] + s*d[0], c[1] + s*d[1], c[2] + s*d[2], c[3] + s*d[3]}
}

// shift returns the cubic in t for x = at + t.
func (c cubic) shift(at float64) cubic {
	return cubic{c.at(at), c[1] + at*(2*c[2]+3*at*c[3]), c[2] + 3*at*c[3], c[3]}
}

// integral returns the integral from a to b.
func (c cubic) integral(a, b float64) float64 {
	p := func(x float64) float64 { return x * (c[0] + x*(c[1]/2+x*(c[2]/3+x*c[3]/4))) }
	return p(b) - p(a)
}

// stationary appends to dst the points inside (0, length) where the slope is zero.
func (c cubic) stationary(dst []float64, length float64) []float64 {
	return quadraticRoots(dst, 3*c[3], 2*c[2], c[1], length)
}

// quadraticRoots appends the roots of a x² + b x + c inside (0, length), in order.
func quadraticRoots(dst []float64, a, b, c, length float64) []float64 {
	in := func(x float64) bool { return x > 0 && x < length }
	scale := math.Abs(a)*length*length + math.Abs(b)*length + math.Abs(c)
	if scale == 0 {
		return dst
	}
	if math.Abs(a)*length*length < 1e-14*scale {
		if b != 0 {
			if x := -c / b; in(x) {
				dst = append(dst, x)
			}
		}
		return dst
	}
	disc := b*b - 4*a*c
	if disc < 0 {
		return dst
	}
	q := -0.5 * (b + math.Copysign(math.Sqrt(disc), b))
	x1 := q / a
	x2 := x1
	if q != 0 {
		x2 = c / q
	}
	if x1 > x2 {
		x1, x2 = x2, x1
	}
	if in(x1) {
		dst = append(dst, x1)
	}
	if x2 != x1 && in(x2) {
		dst = append(dst, x2)
	}
	return dst
}

// roots appends to dst the points inside (0, length) where the cubic changes
// sign, in order.
func (c cubic) roots(dst []float64, length float64) []float64 {
	var turning [2]float64
	return signChanges(dst, c.stationary(turning[:0], length), length, c.at, c.rootBetween)
}

// bernstein returns the coefficients over (0, length) in Bernstein form: the cubic lies between
// the least and the largest of them, and a quarter of each times the length adds up to its integral.
func (c cubic) bernstein(length float64) [4]float64 {
	a, b := length*c[1]/3, length*length*c[2]/3
	return [4]float64{c[0], c[0] + a, c[0] + 2*a + b, c[0] + 3*(a+b) + length*length*length*c[3]}
}

// sign returns 1 or -1 for a cubic that is above or below zero all over (0, length) by more than
// rounding; 0 where that is not plain to see.
func (c cubic) sign(length float64) int {
	const rounding = 1e-9
	b := c.bernstein(length)
	low, high := min(b[0], b[1], b[2], b[3]), max(b[0], b[1], b[2], b[3])
	switch {
	case low > rounding*high:
		return 1
	case high < rounding*low:
		return -1
	}
	return 0
}

// eachSign visits the parts of (0, length) over which the cubic is positive, sign 1, or negative,
// -1, in order.
func (c cubic) eachSign(length float64, visit func(from, to float64, sign int)) {
	if sign := c.sign(length); sign != 0 {
		visit(0, length, sign)
		return
	}
	var room [4]float64
	a := 0.0
	for _, b := range append(c.roots(room[:0], length), length) {
		switch v := c.at(0.5 * (a + b)); {
		case v > 0:
			visit(a, b, 1)
		case v < 0:
			visit(a, b, -1)
		}
		a = b
	}
}

// signChanges appends to dst the points inside (0, length) where f changes sign,
// in order. Between its turning points, which ascend, f is monotone, so each root
// is bracketed; root finds the one between a and b, where f(a) is fa.
func signChanges(dst, turning []float64, length float64, f func(float64) float64, root func(a, b, fa float64) float64) []float64 {
	a, fa := 0.0, f(0)
	for i := 0; i <= len(turning); i++ {
		b := length
		if i < len(turning) {
			b = turning[i]
		}
		fb := f(b)
		if fa*fb < 0 {
			dst = append(dst, root(a, b, fa))
		} else if fa == 0 && a > 0 && fb != 0 {
			dst = append(dst, a)
		}
		a, fa = b, fb
	}
	return dst
}

// rootBetween finds the root between a and b, where the value at a is fa and the
// value at b differs in sign: Newton's method, kept within the bracket by
// halving.
func (c cubic) rootBetween(a, b, fa float64) float64 {
	x := 0.5 * (a + b)
	for range 100 {
		f := c.at(x)
		if f == 0 {
			return x
		}
		if (f < 0) == (fa < 0) {
			a = x
		} else {
			b = x
		}
		next := x - f/(c[1]+x*(2*c[2]+3*x*c[3]))
		if !(next > a && next < b) {
			next = 0.5 * (a + b)
		}
		if math.Abs(next-x) <= 4e-16*math.Abs(x) || b-a <= 4e-16*math.Abs(x) {
			return next
		}
		x = next
	}
	return x
}

// bisect finds the root of f between a and b, where f(a) = fa and f(b) differ
// in sign, to the last bit, by false position kept honest by bisection.
func bisect(f func(float64) float64, a, b, fa float64) float64 {
	fb := f(b)
	for range 200 {
		if b-a <= 1e-15*(math.Abs(a)+math.Abs(b)) {
			break
		}
		m := (a*fb - b*fa) / (fb - fa)
		if !(m > a && m < b) || math.Min(m-a, b-m) < 0.01*(b-a) {
			m = 0.5 * (a + b)
		}
		if m <= a || m >= b {
			break
		}
		fm := f(m)
		switch {
		case fm == 0:
			return m
		case (fm < 0) == (fa < 0):
			a, fa = m, fm
		default:
			b, fb = m, fm
		}
	}
	return 0.5 * (a + b)
}

// polynomial holds coefficients from the constant up.
type polynomial []float64

// At returns the value at x.
func (p polynomial) At(x float64) float64 {
	s := 0.0
	for _, c := range slices.Backward(p) {
		s = s*x + c
	}
	return s
}

// slope returns the derivative at x.
func (p polynomial) slope(x float64) float64 {
	s := 0.0
	for i := len(p) - 1; i > 0; i-- {
		s = s*x + float64(i)*p[i]
	}
	return s
}

func (p polynomial) derivative() polynomial {
	if len(p) < 2 {
		return nil
	}
	d := make(polynomial, len(p)-1)
	for i := range d {
		d[i] = float64(i+1) * p[i+1]
	}
	return d
}

// integral returns the integral that starts at the constant c.
func (p polynomial) integral(c float64) polynomial {
	out := make(polynomial, len(p)+1)
	out[0] = c
	for i, v := range p {
		out[i+1] = v / float64(i+1)
	}
	return out
}

func (p polynomial) scale(s float64) polynomial {
	out := make(polynomial, len(p))
	for i, v := range p {
		out[i] = v * s
	}
	return out
}

func (p polynomial) multiplied(q polynomial) polynomial {
	if len(p) == 0 || len(q) == 0 {
		return nil
	}
	out := make(polynomial, len(p)+len(q)-1)
	for i, a := range p {
		for j, b := range q {
			out[i+j] += a * b
		}
	}
	return out
}

func (p polynomial) plus(q polynomial) polynomial {
	out := make(polynomial, max(len(p), len(q)))
	copy(out, p)
	for i, v := range q {
		out[i] += v
	}
	return out
}

// roots returns the points inside (0, length) where p changes sign.
func (p polynomial) roots(length float64) []float64 {
	for len(p) > 0 && p[len(p)-1] == 0 {
		p = p[:len(p)-1]
	}
	if len(p) < 2 {
		return nil
	}
	between := func(a, b, fa float64) float64 { return bisect(p.At, a, b, fa) }
	return signChanges(nil, p.derivative().roots(length), length, p.At, between)
}
