package explore_test

import (
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier/explore"
)

// TestParetoAgainstAllPairs holds the set to its definition, pair by pair: on a coarse grid, where
// many points share measures, and on one where few do.
func TestParetoAgainstAllPairs(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 2))
	for round := range 200 {
		measures := 1 + round%4
		points := make([][]float64, random.IntN(60))
		for i := range points {
			for range measures {
				points[i] = append(points[i], float64(random.IntN(3+round)))
			}
		}
		got := explore.Pareto(points)
		for i, p := range points {
			beaten := false
			for _, q := range points {
				asSmall, smaller := true, false
				for m := range p {
					asSmall = asSmall && q[m] <= p[m]
					smaller = smaller || q[m] < p[m]
				}
				beaten = beaten || asSmall && smaller
			}
			if got[i] == beaten {
				t.Fatalf("round %d: point %d %v of %v: in the set %v, beaten %v", round, i, p, points, got[i], beaten)
			}
		}
	}
}

// TestParetoRounds takes points that differ by rounding alone as equal.
func TestParetoRounds(t *testing.T) {
	got := explore.Pareto([][]float64{{1, 2}, {1 + 1e-13, 2}, {1.001, 2}})
	if !got[0] || !got[1] || got[2] {
		t.Errorf("%v, want the first two", got)
	}
}
