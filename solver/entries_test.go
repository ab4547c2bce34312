package solver

import (
	"slices"
	"testing"
)

// A frame whose factor stands in the place of its stiffness answers as one that keeps both, to the last digit.
func TestFactorInPlace(t *testing.T) {
	for _, kind := range runKinds() {
		f := &Frame{}
		rows := kind.run(f, 12, Vec{})
		whole, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		s.factor = upper{}
		if err := s.factoriseInPlace(); err != nil {
			t.Fatal(err)
		}
		if s.band != nil {
			t.Fatal("it keeps the stiffness")
		}
		chain := whole.Chain(rows...)
		from, to := chain.Ends(3)
		c := Case{Points: chain.Loads(3, (from+to)/2, Vec{30, 400, -500}), Gravity: Vec{0, 0, -9.81}}
		want, got := whole.Solve(c), s.Solve(c)
		if !slices.Equal(want.u, got.u) || want.Residual != got.Residual || want.Imbalance != got.Imbalance {
			t.Errorf("%s: another answer", kind.name)
		}
		if !slices.Equal(whole.stiffness().RawSymBand().Data, s.stiffness().RawSymBand().Data) {
			t.Errorf("%s: another stiffness", kind.name)
		}
		a, err := whole.Resprung(2)
		if err != nil {
			t.Fatal(err)
		}
		b, err := s.Resprung(2)
		if err != nil {
			t.Fatal(err)
		}
		if residual := largestApart(a.Solve(c).u, b.Solve(c).u); !(residual < 1e-9) {
			t.Errorf("%s: on other springs it moves %g apart", kind.name, residual)
		}
		if p, ok := s.recursionOf(); !ok || len(p.blocks) == 0 {
			t.Errorf("%s: no blocks", kind.name)
		}
	}
}

// largestApart returns the largest difference of two vectors over the largest of one.
func largestApart(a, b vector) float64 {
	apart := make(vector, len(a))
	for i := range a {
		apart[i] = a[i] - b[i]
	}
	return largest(apart) / largest(a)
}
