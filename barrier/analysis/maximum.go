package analysis

import "math"

// Maximum returns where f is largest between a and b, given a point m between
// them at least as high as both ends, and the value there. It is Brent's method
// (Brent, Algorithms for Minimization without Derivatives, 1973, chapter 5) on
// -f: parabolas through the best three points, golden sections where they fail.
// Where f is smooth the value is right to about the square of the tolerance. It ends before
// that where a parabola's own small step adds no more than rounding, and where f is level.
func Maximum(f func(float64) float64, a, m, b float64) (at, value float64) {
	return maximumFrom(f, a, m, b, f(m))
}

// maximumFrom is Maximum where the value at m is known.
func maximumFrom(f func(float64) float64, a, m, b, fm float64) (at, value float64) {
	const golden = 0.3819660112501051
	const tolerance = 2e-8
	const level = 1e-13 // of a value: rounding
	x, w, v := m, m, m
	fx, fw, fv := fm, fm, fm
	var step, before float64
	small, wide := 1e-3*(b-a), 0.1*(b-a)
	for range 60 {
		mid := 0.5 * (a + b)
		tol := tolerance*math.Abs(x) + 1e-10
		if math.Abs(x-mid) <= 2*tol-0.5*(b-a) {
			break
		}
		parabolic := false
		if math.Abs(before) > tol {
			r := (x - w) * (fx - fv)
			q := (x - v) * (fx - fw)
			p := (x-v)*q - (x-w)*r
			q = 2 * (q - r)
			if q > 0 {
				p = -p
			}
			q = math.Abs(q)
			last := before
			before = step
			if q != 0 && math.Abs(p) < math.Abs(0.5*q*last) && p > q*(a-x) && p < q*(b-x) {
				step = p / q
				if u := x + step; u-a < 2*tol || b-u < 2*tol {
					step = math.Copysign(tol, mid-x)
				}
				parabolic = true
			}
		}
		if !parabolic {
			before = b - x
			if x >= mid {
				before = a - x
			}
			step = golden * before
		}
		u := x + step
		if math.Abs(step) < tol {
			u = x + math.Copysign(tol, step)
		}
		fu := f(u)
		settled := parabolic && math.Abs(u-x) < small && math.Abs(fu-fx) <= level*math.Abs(fx)
		if fu >= fx {
			if u >= x {
				a = x
			} else {
				b = x
			}
			v, w, x = w, x, u
			fv, fw, fx = fw, fx, fu
		} else {
			if u < x {
				a = u
			} else {
				b = u
			}
			if fu >= fw || w == x {
				v, w = w, u
				fv, fw = fw, fu
			} else if fu >= fv || v == x || v == w {
				v, fv = u, fu
			}
		}
		isLevel := fx-min(fw, fv) <= level*math.Abs(fx) && max(x, w, v)-min(x, w, v) > wide && v != w && v != x
		if settled || isLevel {
			break
		}
	}
	return x, fx
}
