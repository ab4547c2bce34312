package analysis

import (
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/solver"
)

// Directions are told in the axes of a leg: along the run in plan, to the left, and up. A
// member has axes of its own: a rail's run along its slope, a post's stand up.

// postAxes returns the local axes of a post of a leg: up, to the left, and against the run.
func postAxes(leg solver.Axes) solver.Axes {
	along := leg[0]
	return solver.Axes{leg[2], leg[1], {-along[0], -along[1], -along[2]}}
}

// between returns the rows that turn a vector from one set of axes into another: row k is
// the k-th axis of to, in the axes of from. What is rounding is taken off.
func between(from, to solver.Axes) (rows [3]solver.Vec) {
	const rounding = 1e-15
	for k := range to {
		rows[k] = seen(&from, to[k])
		for j, f := range rows[k] {
			if whole := math.Round(f); math.Abs(f-whole) < rounding {
				rows[k][j] = whole
			}
		}
	}
	return rows
}

// seen returns a vector of the global axes in others.
func seen(axes *solver.Axes, v solver.Vec) (out solver.Vec) {
	for k := range axes {
		out[k] = axes[k][0]*v[0] + axes[k][1]*v[1] + axes[k][2]*v[2]
	}
	return out
}

// along returns the response of three, by its parts along the axes, along a direction of
// those axes.
func along(part func(axis int) solver.Response, direction solver.Vec) solver.Response {
	var factors []float64
	var of []solver.Response
	for k, f := range direction {
		if f != 0 {
			factors, of = append(factors, f), append(of, part(k))
		}
	}
	return solver.Combine(factors, of)
}

// legAfter returns the leg in which the rails go on behind a post.
func (a *Analysis) legAfter(post int) int {
	leg := a.Frame.Posts[post].Leg
	if a.Definition.Run.IsCorner(post) {
		leg++
	}
	return leg
}

// legsOf returns the leg in which each stretch of a chain lies.
func legsOf(run *barrier.Run, chain *solver.Chain) []int {
	legs := make([]int, chain.Stretches())
	for i := range legs {
		from, to := chain.Ends(i)
		legs[i] = run.LegOf((from + to) / 2)
	}
	return legs
}
