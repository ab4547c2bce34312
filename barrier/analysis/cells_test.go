package analysis_test

import (
	"math"
	"math/rand/v2"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/solver"
)

// Line loads by brute force: the run is cut into cells, each loaded alone in an
// ordinary load case. Any lengths made of whole cells are then a sum, exact for
// those lengths, so no search over lengths may find less.

// cells are the cells of an action's run and what a unit load on each does at
// some places.
type cells struct {
	lengths   []solver.Length
	places    []place
	permanent []analysis.State
	basis     []solver.Vec
	states    [][][]analysis.State // cell, basis vector, place
}

// cells cuts the run of an action and solves each cell.
func (r *reference) cells(a *analysis.Action, vectors []solver.Vec, step float64, places []place) *cells {
	out := &cells{places: places, permanent: r.permanent(places), basis: directions(vectors)}
	for _, end := range r.stretches(a) {
		n := int(math.Ceil((end[1] - end[0]) / step))
		for i := range n {
			at := func(i int) float64 { return end[0] + (end[1]-end[0])*float64(i)/float64(n) }
			l := solver.Length{From: at(i), To: at(i + 1)}
			var states [][]analysis.State
			for _, e := range out.basis {
				states = append(states, r.states(r.lineCase(a, []solver.Length{l}, times(a.Value, e)), places))
			}
			out.lengths, out.states = append(out.lengths, l), append(out.states, states)
		}
	}
	return out
}

// along returns what each cell does at a place under the load along n.
func (c *cells) along(n solver.Vec, at int) []analysis.State {
	out := make([]analysis.State, len(c.lengths))
	for i := range out {
		for d, e := range c.basis {
			out[i] = plus(&out[i], dot(e, n), &c.states[i][d][at])
		}
	}
	return out
}

// components lists the ten components of a state.
func components(s *analysis.State) [10]float64 {
	return [10]float64{s.N, s.Vy, s.Vz, s.T, s.My, s.Mz, s.Along, s.Across, s.Vertical, s.Span}
}

func stateOf(c [10]float64) analysis.State {
	return analysis.State{N: c[0], Vy: c[1], Vz: c[2], T: c[3], My: c[4], Mz: c[5], Along: c[6], Across: c[7], Vertical: c[8], Span: c[9]}
}

// chosen is a set of cells under consideration.
type chosen struct {
	value float64
	place int
	n     solver.Vec
	on    []bool
}

// worstLine returns the largest value of a measure over the places: the whole
// run, random lengths, the cells adverse to every component either way and to
// every direction of moment and of shear, and from the best of these uphill by
// the cells that raise the measure at the state reached (for a convex measure
// each step gains).
func (c *cells) worstLine(a *analysis.Action, vectors []solver.Vec, m *named, random *rand.Rand) chosen {
	var best chosen
	for k := range c.places {
		for _, n := range vectors {
			each := c.along(n, k)
			for _, f := range factors(a, m.level) {
				look := func(on []bool) (float64, analysis.State) {
					var st analysis.State
					st = plus(&st, f[0], &c.permanent[k])
					for i := range each {
						if on[i] {
							st = plus(&st, f[1], &each[i])
						}
					}
					return m.of(&st), st
				}
				top := chosen{place: k, n: n}
				try := func(on []bool) {
					for {
						v, st := look(on)
						if top.on != nil && v <= top.value {
							return
						}
						top.value, top.on = v, on
						on = adverse(each, gradient(m, &st))
					}
				}
				for _, on := range c.starts(each, random) {
					if v, st := look(on); top.on == nil || v > top.value {
						top.value, top.on = v, on
						try(adverse(each, gradient(m, &st)))
					}
				}
				if top.value > best.value {
					best = top
				}
			}
		}
	}
	return best
}

// starts returns the sets of cells that the climb starts from.
func (c *cells) starts(each []analysis.State, random *rand.Rand) [][]bool {
	out := [][]bool{adverse(each, [10]float64{})}
	for i := range out[0] {
		out[0][i] = true
	}
	for k := range 10 {
		var g [10]float64
		g[k] = 1
		out = append(out, adverse(each, g))
		g[k] = -1
		out = append(out, adverse(each, g))
	}
	for i := range 12 {
		s, co := math.Sincos(2 * math.Pi * float64(i) / 12)
		out = append(out, adverse(each, [10]float64{1: co, 2: s}), adverse(each, [10]float64{4: co, 5: s}))
	}
	for range 4 {
		on := make([]bool, len(each))
		for range 1 + random.IntN(3) {
			i, j := random.IntN(len(on)), random.IntN(len(on))
			for k := min(i, j); k <= max(i, j); k++ {
				on[k] = true
			}
		}
		out = append(out, on)
	}
	return out
}

// adverse returns the cells over which a weighted sum of components is positive.
func adverse(each []analysis.State, weights [10]float64) []bool {
	on := make([]bool, len(each))
	for i := range each {
		sum := 0.0
		for k, v := range components(&each[i]) {
			sum += weights[k] * v
		}
		on[i] = sum > 0
	}
	return on
}

// gradient returns the slopes of a measure over the components, by central
// differences.
func gradient(m *named, s *analysis.State) (g [10]float64) {
	at := components(s)
	size := 0.0
	for _, v := range at[:6] {
		size = math.Max(size, math.Abs(v))
	}
	for k := range at {
		h := 1e-6 * size
		if k >= 6 {
			h = 1e-9
		}
		up, down := at, at
		up[k] += h
		down[k] -= h
		u, d := stateOf(up), stateOf(down)
		g[k] = (m.of(&u) - m.of(&d)) / (2 * h)
	}
	return g
}
