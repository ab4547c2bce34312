package solver

import "math"

// krylovSteps is how many times a krylov is pushed on at most: of more the first are no longer square to the last.
const krylovSteps = 8

// krylov is a movement v of a problem A x = λ B x and what inverse iteration with a shift σ makes of it: v, T v, T²v ...
// with T = (A - σB)⁻¹B, each freed of those before it and of unit mass, vᵀBv = 1. In them T is a tridiagonal
// matrix, whose largest eigenvalue θ is at most that of T, 1/(λ - σ) of the least λ: σ + 1/θ is never below that
// λ, and far nearer to it than iteration alone comes in as many steps. Source: Lanczos, as in Parlett, The
// Symmetric Eigenvalue Problem, sections 13.2 and 15.11, from memory.
type krylov struct {
	basis  [krylovSteps + 1]vector
	pushed vector    // B times the last
	room   vector    // of a substitution
	own    []float64 // on the diagonal of the tridiagonal matrix
	beside []float64 // and beside it
}

// krylovOf returns that of a movement alone.
func krylovOf(x vector) *krylov {
	n := len(x)
	return &krylov{basis: [krylovSteps + 1]vector{x}, pushed: make(vector, n), room: make(vector, n)}
}

// better puts in the place of the movement what steps with the shift of a problem make the best of it, and returns σ + 1/θ,
// +Inf where it has no mass, and which part of that the last step took away. A step that takes no more
// than enough is the last.
func (k *krylov) better(p *pencil, enough float64) (lowest, drop float64) {
	if !k.begin(p) {
		return math.Inf(1), 0
	}
	lowest, drop = math.Inf(1), 1
	theta := 0.0
	for i := range krylovSteps {
		k.push(p, i)
		theta = k.largest()
		before := lowest
		lowest = p.shift + 1/theta
		drop = 1 - lowest/before
		if drop <= enough || i == krylovSteps-1 || !k.free(p, i) {
			break
		}
	}
	k.mix(theta)
	return lowest, drop
}

// begin brings the movement to unit mass and reports whether it has any.
func (k *krylov) begin(p *pencil) bool {
	k.own, k.beside = k.own[:0], k.beside[:0]
	p.b.times(k.basis[0], k.pushed)
	mass := dot(k.basis[0], k.pushed)
	if !(mass > 0) {
		return false
	}
	k.scale(0, 1/math.Sqrt(mass))
	return true
}

// scale brings one of the movements, and what it is pushed by, to another size.
func (k *krylov) scale(i int, size float64) {
	scaleBy(k.basis[i], size)
	scaleBy(k.pushed, size)
}

// push makes the next movement of the last one, i.
func (k *krylov) push(p *pencil, i int) {
	if k.basis[i+1] == nil {
		k.basis[i+1] = make(vector, len(k.pushed))
	}
	next := k.basis[i+1]
	copy(next, k.pushed)
	substituteIn(&p.factor, next, k.room)
	k.own = append(k.own, dot(next, k.pushed))
}

// free frees the movement that was made of the last one, i, of the two before it, which are all that it has anything of, and
// reports whether anything is left.
func (k *krylov) free(p *pencil, i int) bool {
	next := k.basis[i+1]
	addTo(next, k.basis[i], -k.own[i])
	if i > 0 {
		addTo(next, k.basis[i-1], -k.beside[i-1])
	}
	p.b.times(next, k.pushed)
	beside := math.Sqrt(math.Max(0, dot(next, k.pushed)))
	const rounding = 1e-14
	if !(beside > rounding*k.own[i]) {
		return false
	}
	k.beside = append(k.beside, beside)
	k.scale(i+1, 1/beside)
	return true
}

// largest returns the largest eigenvalue of the tridiagonal matrix, by Newton's method on the determinant of t - T
// from a t above all eigenvalues, on which side it falls to the largest one. The determinant is the product of the
// pivots, and so f'/f the sum of theirs.
func (k *krylov) largest() float64 {
	t := 0.0
	for i, own := range k.own { // Gershgorin's circles
		t = math.Max(t, own+k.besideOf(i-1)+k.besideOf(i))
	}
	const most, settled = 100, 1e-15
	for range most {
		pivot, slope, sum := 1.0, 0.0, 0.0
		for i, own := range k.own {
			b := k.besideOf(i - 1)
			part := b * b / pivot
			slope = 1 + part/pivot*slope
			pivot = t - own - part
			sum += slope / pivot
		}
		step := 1 / sum
		if !(step > settled*t) {
			break
		}
		t -= step
	}
	return t
}

// besideOf returns what stands beside the diagonal in row i, nothing outside the matrix.
func (k *krylov) besideOf(i int) float64 {
	if i < 0 || i >= len(k.own)-1 {
		return 0
	}
	return k.beside[i]
}

// mix puts the movement that θ belongs to in the first place. Its parts are found from the last to the first, as they grow.
func (k *krylov) mix(theta float64) {
	var parts [krylovSteps + 1]float64
	n := len(k.own)
	parts[n-1] = 1
	for i := n - 1; i > 0; i-- {
		parts[i-1] = ((theta-k.own[i])*parts[i] - k.besideOf(i)*parts[i+1]) / k.beside[i-1]
	}
	for i := 1; i < n; i++ {
		addTo(k.basis[0], k.basis[i], parts[i]/parts[0])
	}
}
