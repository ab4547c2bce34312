package solver

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

// exactResidual returns the largest component of f - K u, each over |f| + |K||u|, worked out
// with 300 bits on the full matrix.
func (s *Factored) exactResidual(u, f vector) float64 {
	number := func(v float64) *big.Float { return new(big.Float).SetPrec(300).SetFloat64(v) }
	worst := 0.0
	for i := range s.free {
		left, terms, part := number(f[i]), number(math.Abs(f[i])), number(0)
		for j := range s.free {
			part.Mul(number(s.band.At(i, j)), number(u[j]))
			left.Sub(left, part)
			terms.Add(terms, part.Abs(part))
		}
		if terms.Sign() > 0 {
			r, _ := part.Quo(left.Abs(left), terms).Float64()
			worst = math.Max(worst, r)
		}
	}
	return worst
}

// TestRefinement looks for frames whose plain solution leaves a residual: the stiffnesses of
// their members are fourteen powers of ten apart. One step leaves rounding. Other frames
// stay as they are.
func TestRefinement(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	refined, left := 0, 0
	for range 1500 {
		f := randomFrame(r)
		for i := range f.members {
			m, k := &f.members[i], math.Pow(10, 7*float64(2*r.IntN(2)-1))
			m.EA, m.EIy, m.EIz, m.GJ = m.EA*k, m.EIy*k, m.EIz*k, m.GJ*k
		}
		s, err := f.Factorise()
		if err != nil {
			continue
		}
		c := randomCase(r, f)
		var w Worksheet
		(&Solution{model: s}).load(&w, &c)
		s.settle(c.Settlements, w.f)
		right := w.f[:s.free]
		plain := append(vector(nil), right...)
		substitute(&s.factor, plain)
		got := s.Solve(c).u[:s.free]
		p := proof{make(vector, s.free), make(vector, s.free)}
		p.work(s, plain, right)
		if p.largest() <= unrefined {
			left++
			for i := range got {
				if got[i] != plain[i] {
					t.Fatal("a solution was changed that needs no refinement")
				}
			}
			continue
		}
		refined++
		// (n+1)ε, n terms a row: Higham, theorem 12.4. It says nothing of how near the movements
		// are: that is up to the condition of the frame.
		bound := float64(2*halfBand(s)+2) * 0x1p-52
		if before, after := s.exactResidual(plain, right), s.exactResidual(got, right); !(after <= bound && before > bound) {
			t.Errorf("residual %.1e before and %.1e after refinement, want at most %.1e", before, after, bound)
		}
	}
	if refined < 3 || left < 300 {
		t.Errorf("%d frames were refined, %d not: too few to tell", refined, left)
	}
}
