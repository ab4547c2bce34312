package solver

import (
	"slices"
	"testing"
)

// A frame that was at rest answers as one that was not, to the last digit.
func TestRest(t *testing.T) {
	for _, kind := range runKinds() {
		f := &Frame{}
		rows := kind.run(f, 12, Vec{})
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		chain := s.Chain(rows...)
		from, to := chain.Ends(3)
		c := Case{Points: chain.Loads(3, (from+to)/2, Vec{30, 400, -500}), Gravity: Vec{0, 0, -9.81}}
		before := s.Solve(c)
		s.Rest()
		if s.band != nil || s.factor.Data != nil {
			t.Fatal("a frame at rest has a stiffness")
		}
		q, ok := s.recursionOf()
		if !ok || s.band != nil {
			t.Errorf("%s: the blocks of a frame at rest wake it", kind.name)
		}
		after := s.Solve(c)
		if p, ok := s.recursionOf(); !ok || !slices.EqualFunc(q.blocks, p.blocks, func(a, b chainBlock) bool { return slices.Equal(a.g(), b.g()) && slices.Equal(a.t(), b.t()) }) {
			t.Errorf("%s: other blocks at rest", kind.name)
		}
		if !slices.Equal(before.u, after.u) || !slices.Equal(before.Reactions, after.Reactions) || before.Residual != after.Residual {
			t.Errorf("%s: another answer after a rest", kind.name)
		}
		if before, err := s.Standing(c); err != nil {
			t.Error(err)
		} else {
			s.Rest()
			after, err := s.Standing(c)
			if err != nil || (before == nil) != (after == nil) {
				t.Errorf("%s: another answer in second order after a rest: %v", kind.name, err)
			}
		}
		stiffer, err := s.Resprung(2)
		if err != nil {
			t.Fatal(err)
		}
		want := stiffer.Solve(c)
		stiffer.Rest() // its springs are not those of the frame: it keeps what it has
		if got := stiffer.Solve(c); !slices.Equal(want.u, got.u) {
			t.Errorf("%s: another answer on other springs", kind.name)
		}
	}
}
