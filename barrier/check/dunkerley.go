package check

import (
	"math"
	"slices"

	"example.com/stanchion/barrier"
)

// railCritical returns an elastic critical force of a rail, N, that is not above the true one
// for uniform compression all along: the least of its stretches, 0 of a mechanism.
func railCritical(ei, post float64, run *barrier.Run, joints barrier.Joints) float64 {
	least := math.Inf(1)
	for _, stretch := range run.Stretches() {
		least = math.Min(least, stretchCritical(ei, post, run, stretch, joints))
	}
	return least
}

// stretchCritical is railCritical of one stretch: after Dunkerley where each of its pieces
// stands on two supports or more and the column that the stretch is stands under that, and
// otherwise the critical force of the column. A piece on one support turns with those beside
// it, of which the sum of Dunkerley knows nothing; nor does it of a cut rail of few bays whose
// overhangs turn it. A splice whose sides turn as one parts nothing.
func stretchCritical(ei, post float64, run *barrier.Run, stretch barrier.Stretch, joints barrier.Joints) float64 {
	if math.IsInf(bendingStiffness(joints.Moment), 1) {
		joints.Splices = nil
	}
	column := newRailColumn(ei, post, run, stretch, joints)
	supports := run.Supports()[stretch.First : stretch.Last+1]
	pieces := piecesOf(stretch, joints.Splices)
	if slices.ContainsFunc(pieces, func(p [2]float64) bool { return len(supportsOf(p, supports)) < 2 }) {
		return column.critical()
	}
	overhangs := [2]float64{supports[0] - stretch.From, stretch.To - supports[len(supports)-1]}
	hinged := [2]bool{isCorner(run, stretch.First), isCorner(run, stretch.Last)}
	if n := dunkerley(ei, post, supports, overhangs, hinged, joints, pieces); column.stands(n) {
		return n
	}
	return column.critical()
}

// piecesOf returns the ends of the pieces of one stretch between splices, m.
func piecesOf(stretch barrier.Stretch, splices []float64) [][2]float64 {
	var pieces [][2]float64
	from := stretch.From
	for _, x := range splices {
		if x > stretch.From && x < stretch.To {
			pieces = append(pieces, [2]float64{from, x})
			from = x
		}
	}
	return append(pieces, [2]float64{from, stretch.To})
}

// supportsOf returns the supports of a piece.
func supportsOf(piece [2]float64, supports []float64) []float64 {
	from, _ := slices.BinarySearch(supports, piece[0])
	to := from
	for to < len(supports) && supports[to] <= piece[1] {
		to++
	}
	return supports[from:to]
}

// isCorner reports whether a support, from 0, is a post at a corner.
func isCorner(run *barrier.Run, support int) bool {
	post := support - run.PostSupport(0)
	return post >= 0 && post < len(run.Posts) && run.IsCorner(post)
}

// dunkerley returns a critical force of one stretch of a rail each piece of which stands on two
// supports or more, N: the least of its bays and overhangs, the reciprocals of the critical
// forces of each way to give, alone, summed. The ways are idealised, so that it is the column
// of the stretch that says whether it stands under that. It is hinged at those ends that are
// corners.
//
//   - a bay as a column between posts that stand still, π²EI/L²;
//   - an overhang a as a column built in at its post, π²EI/4a²;
//   - the rail on posts of lateral stiffness k: √(k EI/L) for a continuous one,
//     that of a long beam with a free end on a foundation k/L; k L/4 for a chain
//     of stiff bays hinged at each post (Engesser), and the lower of the two beside
//     a corner, where the rail is hinged; a wall counts as a post;
//   - a continuous rail on such posts that turns as a stiff bar, each piece between
//     splices and ends for itself: k Σ(x - x̄)²/l, l the length of the piece;
//   - where a splice hinges a bay at a from one post and b from the other, the
//     kink there held by the two overhangs, K a b/(a + b), K the sum of
//     3EI/(a²(a + L')), L' the bay behind;
//   - an overhang a turning on the bay L behind it, hinged at its far end: 3EI/(a L).
//
// Timoshenko and Gere, Theory of Elastic Stability, 2nd ed., 2.1, 2.6, 2.10;
// Hetényi, Beams on Elastic Foundation, chapter 7; statics; provenance: memory.
func dunkerley(ei, post float64, supports []float64, overhangs [2]float64, hinged [2]bool, joints barrier.Joints, pieces [][2]float64) float64 {
	last := len(supports) - 1
	least := math.Inf(1)
	swaying := func(i int, bay float64) float64 {
		chain, beam := 4/(post*bay), 1/math.Sqrt(post*ei/bay)
		switch {
		case joints.Cut:
			return chain
		case i == 0 && hinged[0] || i == last-1 && hinged[1]:
			return math.Max(chain, beam)
		}
		return beam
	}
	turning := 0.0
	if !joints.Cut {
		turning = turningPieces(post, supports, pieces)
	}
	splices := joints.Splices
	if !slices.IsSorted(splices) {
		splices = slices.Sorted(slices.Values(splices))
	}
	for i := range last {
		bay := supports[i+1] - supports[i]
		inverse := bay*bay/(math.Pi*math.Pi*ei) + swaying(i, bay) + turning
		for at, _ := slices.BinarySearch(splices, supports[i]); at < len(splices) && splices[at] < supports[i+1]; at++ {
			if x := splices[at]; x > supports[i] {
				inverse += 1 / kinkCritical(ei, supports, i, x)
			}
		}
		least = math.Min(least, 1/inverse)
	}
	for end, i := range [2]int{0, last - 1} {
		bay := supports[i+1] - supports[i]
		if a := overhangs[end]; a > 0 {
			inverse := (4*a*a+bay*bay)/(math.Pi*math.Pi*ei) + a*bay/(3*ei) + swaying(i, bay) + turning
			least = math.Min(least, 1/inverse)
		}
	}
	return least
}

// turningPieces returns 1/N, 1/N, of that piece of a continuous rail which turns most easily
// as a stiff bar on posts of this lateral stiffness: l/(k Σ(x - x̄)²), x its posts. Statics, derived.
func turningPieces(post float64, supports []float64, pieces [][2]float64) float64 {
	most := 0.0
	for _, p := range pieces {
		most = math.Max(most, (p[1]-p[0])/(post*spread(supportsOf(p, supports))))
	}
	return most
}

// spread returns Σ(x - x̄)².
func spread(xs []float64) float64 {
	mean, sum := 0.0, 0.0
	for _, x := range xs {
		mean += x / float64(len(xs))
	}
	for _, x := range xs {
		sum += (x - mean) * (x - mean)
	}
	return sum
}

// kinkCritical returns the critical force of the kink at a splice at x in bay i, which has a bay
// before it and one after it.
func kinkCritical(ei float64, posts []float64, i int, x float64) float64 {
	a, b := x-posts[i], posts[i+1]-x
	before, after := posts[i]-posts[i-1], posts[i+2]-posts[i+1]
	held := 3*ei/(a*a*(a+before)) + 3*ei/(b*b*(b+after))
	return held * a * b / (a + b)
}
