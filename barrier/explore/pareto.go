package explore

import (
	"cmp"
	"slices"

	"example.com/stanchion/internal/quantity"
)

// Pareto tells of each point whether no other is better: as small or smaller in every measure
// and smaller in one. Points that are equal are so together. Measures are compared to 9
// significant figures; every point has as many.
func Pareto(points [][]float64) []bool {
	rounded := make([][]float64, len(points))
	order := make([]int, len(points))
	for i, p := range points {
		order[i] = i
		for _, v := range p {
			rounded[i] = append(rounded[i], quantity.Figures(v, 9))
		}
	}
	// What is better than a point comes before it in this order, and is itself one that nothing
	// beats, or is beaten by one that is also better than the point.
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(slices.Compare(rounded[a], rounded[b]), cmp.Compare(a, b))
	})
	best := make([]bool, len(points))
	var front [][]float64
	for _, i := range order {
		p := rounded[i]
		if slices.ContainsFunc(front, func(q []float64) bool { return isBetter(q, p) }) {
			continue
		}
		best[i] = true
		front = append(front, p)
	}
	return best
}

// isBetter reports whether a is as small or smaller than b in every measure and smaller in one.
func isBetter(a, b []float64) bool {
	smaller := false
	for i := range a {
		if a[i] > b[i] {
			return false
		}
		smaller = smaller || a[i] < b[i]
	}
	return smaller
}
