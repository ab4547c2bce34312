package solver

import "math"

// unrefined is the residual, each component against its own terms, up to which a solution
// is left as it is. Rounding leaves some 1e-15 in a frame of ordinary stiffnesses; more
// where parts that hardly move hang on others that move far, or soft ones on stiff ones.
// One step of refinement then brings it down to about 1e-16: Higham, Accuracy and Stability
// of Numerical Algorithms, theorem 12.4.
const unrefined = 1e-12

// proof is what is left of the loads under a solution, and how large the terms of each
// component were: f - K u and |f| + |K||u|.
type proof struct{ left, terms vector }

// prove returns |f - K u| / (|K| |u| + |f|), largest components, after it has refined the
// solution by one step if that is called for. What it leaves is the better of the two.
func (s *Factored) prove(p *proof, u, f vector) float64 {
	p.work(s, u, f)
	before := p.largest()
	if !(before > unrefined) {
		return p.residual(s, u, f)
	}
	rough, residual := append(vector(nil), u...), p.residual(s, u, f)
	substituteIn(&s.factor, p.left, p.terms)
	for i, v := range p.left {
		u[i] += v
	}
	p.work(s, u, f)
	if !(p.largest() < before) {
		copy(u, rough)
		return residual
	}
	return p.residual(s, u, f)
}

// work works the proof of a solution out.
func (p *proof) work(s *Factored, u, f vector) {
	for i, v := range f {
		p.left[i], p.terms[i] = v, math.Abs(v)
	}
	s.entries.work(p, u)
}

// largest returns the largest component of what is left, each against its own terms. Those
// to which what happens elsewhere has faded do not count.
func (p *proof) largest() float64 {
	floor, worst := faded*largest(p.terms), 0.0
	for i, v := range p.left {
		size := p.terms[i]
		if !(size > floor) {
			continue
		}
		if r := math.Abs(v) / size; r > worst || math.IsNaN(r) {
			worst = r
		}
	}
	return worst
}

// residual returns the largest of what is left over the largest that there was; +Inf where
// that is no number.
func (p *proof) residual(s *Factored, u, f vector) float64 {
	r := largest(p.left)
	if math.IsNaN(r) {
		return math.Inf(1)
	}
	if scale := s.norm*largest(u) + largest(f); scale > 0 {
		return r / scale
	}
	return 0
}

// Residual returns the largest stiffness residual of all solves so far, a plain number.
func (s *Factored) Residual() float64 { return s.residual }
