package solver

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The axial force along a member lies between the values of its diagram.
func TestAxialIsThatOfTheDiagram(t *testing.T) {
	even, uneven := 0, 0
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(91, seed))
		f := randomFrame(r)
		load := randomCase(r, f)
		if seed%2 == 0 {
			load = Case{Nodes: load.Nodes}
		}
		s := f.solved(t, load)
		for m := range f.members {
			low, high := s.Diagram(MemberID(m)).Extremes(Axial)
			least, largest := s.Axial(MemberID(m))
			rounding := 1e-12 * math.Max(math.Abs(low.Value), math.Abs(high.Value)) // products are joined to sums elsewhere than on amd64
			if math.Abs(least-low.Value) > rounding || math.Abs(largest-high.Value) > rounding {
				t.Errorf("seed %d, member %d: %g to %g, by its diagram %g to %g", seed, m, least, largest, low.Value, high.Value)
			}
			if largest-least <= rounding {
				even++
			} else {
				uneven++
			}
		}
	}
	if even == 0 || uneven == 0 {
		t.Errorf("%d members with an even force, %d with an uneven one", even, uneven)
	}
}
