package analysis_test

import (
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/solver"
)

// Brute force: every load position of a fine grid, every section of a fine grid,
// every direction of a grid, each from ordinary load cases; then the best few
// are walked to their summit in steps that shrink to 0.1 mm and 0.01 deg.

// grids say how fine brute force goes.
type grids struct {
	step float64 // of the load and, where rails are loaded, of the section, m
	turn float64 // of the direction, degrees
	best int     // how many are walked on
}

// trial is a load at a spot in a direction, seen at a section.
type trial struct {
	value  float64
	place  place
	at     spot
	size   float64 // N
	n      solver.Vec
	factor [2]float64 // permanent, variable
	ends   [2]float64 // of the stretch that the load stays on
}

// ways returns the directions of a word: the fixed ones, or a grid over those
// the load may take.
func ways(word string, turn float64) (fixed bool, out []solver.Vec) {
	one := map[string][]solver.Vec{
		"outward": {{0, 1, 0}}, "inward": {{0, -1, 0}}, "across": {{0, 1, 0}, {0, -1, 0}},
		"up": {{0, 0, 1}}, "down": {{0, 0, -1}}, "along": {{1, 0, 0}, {-1, 0, 0}},
		"outward or down": {{0, 1, 0}, {0, 0, -1}},
		"cone":            inCone(),
	}
	if v, ok := one[word]; ok {
		return true, v
	}
	steps := int(math.Round(360 / turn))
	for i := range steps {
		az := 2 * math.Pi * float64(i) / float64(steps)
		switch word {
		case "horizontal":
			out = append(out, solver.Vec{math.Cos(az), math.Sin(az), 0})
			continue
		case "outward to down": // searched over the whole circle across the run
			out = append(out, solver.Vec{0, math.Cos(az), math.Sin(az)})
			continue
		}
		for j := range steps/2 + 1 {
			el := math.Pi * (float64(2*j)/float64(steps) - 0.5)
			out = append(out, solver.Vec{math.Cos(el) * math.Cos(az), math.Cos(el) * math.Sin(az), math.Sin(el)})
		}
	}
	return false, out
}

// directions returns the unit vectors that a word's directions are made of.
func directions(vectors []solver.Vec) []solver.Vec {
	var out []solver.Vec
	for k := range 3 {
		if slices.ContainsFunc(vectors, func(v solver.Vec) bool { return math.Abs(v[k]) > 1e-12 }) {
			var e solver.Vec
			e[k] = 1
			out = append(out, e)
		}
	}
	return out
}

// spots returns the load positions of an action: both ends of each stretch and
// the points of a grid between.
func (r *reference) spots(a *analysis.Action, step float64) (at []spot, ends [][2]float64) {
	for _, end := range r.stretches(a) {
		if end[1] == end[0] || !a.Posts && r.inGap((end[0]+end[1])/2) {
			continue
		}
		n := int(math.Ceil((end[1] - end[0]) / step))
		for i := range n + 1 {
			x := end[0] + (end[1]-end[0])*float64(i)/float64(n)
			at = append(at, spot{x, i == n})
			ends = append(ends, end)
		}
	}
	return at, ends
}

// inGap reports whether x lies where no rail is.
func (r *reference) inGap(x float64) bool {
	return slices.ContainsFunc(r.d.Run.Gaps, func(g barrier.Gap) bool { return x > g.From && x < g.To })
}

// sections returns the places at which an element is looked at: on a rail at the
// load positions, before and after the load; on a post at 11 stations a member, and at the
// load positions of an action on posts.
func (r *reference) sections(e *analysis.Element, loads []spot, on ...*analysis.Action) []place {
	var out []place
	for _, m := range r.members(e) {
		add := func(s float64) {
			for _, after := range [2]bool{false, true} {
				q := m
				q.station, q.after = s, after
				out = append(out, q)
			}
		}
		if m.upright {
			for i := range 11 {
				q := m
				q.station = m.length * float64(i) / 10
				out = append(out, q)
			}
			for _, act := range on {
				for _, l := range loads {
					if post, z, is := r.onPost(act, l.x); is && post == m.post && z > m.from+1e-9 && z < m.from+m.length-1e-9 {
						add(z - m.from)
					}
				}
			}
			continue
		}
		if len(on) > 0 && on[0].Posts {
			loads = nil
		}
		add(0)
		last := 0.0
		for _, l := range loads {
			if s := l.x - m.from; s > last+1e-9 && s < m.length-1e-9 {
				add(s)
				last = s
			}
		}
		add(m.length)
	}
	return out
}

// states solves a case and reads it at places.
func (r *reference) states(c solver.Case, places []place) []analysis.State {
	s := r.m.Solve(c)
	out := make([]analysis.State, len(places))
	var d *solver.Diagram
	var of solver.MemberID = -1
	for i := range places {
		if places[i].member != of {
			of = places[i].member
			d = s.Diagram(of)
		}
		out[i] = r.read(s, d, &places[i])
	}
	return out
}

func (r *reference) permanent(places []place) []analysis.State {
	return r.states(r.dead(1), places)
}

// worstPoint returns the largest value of each measure that brute force finds on
// an element, for one point action in the directions of a word.
func (r *reference) worstPoint(e *analysis.Element, a *analysis.Action, word string, measures []named, g grids) []trial {
	loads, ends := r.spots(a, g.step)
	places := r.sections(e, loads, a)
	permanent := r.permanent(places)
	fixed, vectors := ways(word, g.turn)
	basis := directions(vectors)
	tops := make([][]trial, len(measures))
	for i, at := range loads {
		size := r.size(a, at)
		units := make([][]analysis.State, len(basis))
		for d := range basis {
			units[d] = r.states(r.pointCase(a, at, basis[d]), places)
		}
		for _, n := range vectors {
			for k := range places {
				var under analysis.State
				for d := range basis {
					under = plus(&under, size*dot(basis[d], n), &units[d][k])
				}
				for m := range measures {
					for _, f := range factors(a, measures[m].level) {
						var st analysis.State
						st = plus(&st, f[0], &permanent[k])
						st = plus(&st, f[1], &under)
						if v := measures[m].of(&st); len(tops[m]) < g.best || v > tops[m][len(tops[m])-1].value {
							tops[m] = enter(tops[m], trial{v, places[k], at, size, n, f, ends[i]}, g)
						}
					}
				}
			}
		}
	}
	out := make([]trial, len(measures))
	for m := range measures {
		for _, t := range tops[m] {
			if t = r.summit(a, t, &measures[m], fixed, word == "horizontal", g); t.value > out[m].value {
				out[m] = t
			}
		}
	}
	return out
}

func dot(a, b solver.Vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// enter puts a trial among the best, one for each member, stretch and side.
func enter(best []trial, t trial, g grids) []trial {
	same := func(o trial) bool {
		return o.place.member == t.place.member && o.place.after == t.place.after && o.ends == t.ends
	}
	if i := slices.IndexFunc(best, same); i >= 0 {
		if best[i].value >= t.value {
			return best
		}
		best = slices.Delete(best, i, i+1)
	}
	best = append(best, t)
	slices.SortStableFunc(best, func(a, b trial) int {
		if a.value > b.value {
			return -1
		}
		return 1
	})
	return best[:min(len(best), g.best)]
}

// summit walks a trial uphill: load and section by steps, alone and together,
// and the direction by turns, until steps of 0.1 mm and 0.01 deg gain nothing.
func (r *reference) summit(a *analysis.Action, t trial, m *named, fixed, level bool, g grids) trial {
	look := func(t trial) trial {
		c := r.pointCase(a, t.at, times(t.size*t.factor[1], t.n))
		dead := r.dead(t.factor[0])
		c.Gravity, c.Nodes = dead.Gravity, append(c.Nodes, dead.Nodes...)
		for _, l := range c.Points {
			if l.Member == t.place.member && math.Abs(l.At-t.place.station) < 1e-9 {
				t.place.station = l.At
			}
		}
		st := r.states(c, []place{t.place})
		t.value = m.of(&st[0])
		return t
	}
	step, turn := g.step/2, g.turn/2*math.Pi/180
	for step > 0.9e-4 || !fixed && turn > 1e-4 {
		moved := false
		for dx := -1.0; dx <= 1; dx++ {
			for ds := -1.0; ds <= 1; ds++ {
				next := t
				x := math.Min(math.Max(t.at.x+dx*step, t.ends[0]), t.ends[1])
				next.at = spot{x, x > t.ends[1]-1e-9}
				next.place.station = math.Min(math.Max(t.place.station+ds*step, 0), t.place.length)
				if next = look(next); next.value > t.value {
					t, moved = next, true
				}
			}
		}
		if !fixed {
			for _, n := range turned(t.n, turn, level) {
				next := t
				next.n = n
				if next = look(next); next.value > t.value {
					t, moved = next, true
				}
			}
		}
		if !moved {
			step, turn = step/2, turn/2
		}
	}
	return t
}

// turned returns a direction turned by an angle each way, in plan only or both
// about Z and in elevation.
func turned(n solver.Vec, angle float64, level bool) []solver.Vec {
	az, el := math.Atan2(n[1], n[0]), math.Asin(math.Min(math.Max(n[2], -1), 1))
	at := func(az, el float64) solver.Vec {
		return solver.Vec{math.Cos(el) * math.Cos(az), math.Cos(el) * math.Sin(az), math.Sin(el)}
	}
	out := []solver.Vec{at(az+angle, el), at(az-angle, el)}
	if !level {
		out = append(out, at(az, el+angle), at(az, el-angle))
	}
	return out
}

// bearing returns the unit vector at an azimuth and an elevation in degrees.
func bearing(azimuth, elevation float64) solver.Vec {
	az, el := azimuth*math.Pi/180, elevation*math.Pi/180
	return solver.Vec{math.Cos(el) * math.Cos(az), math.Cos(el) * math.Sin(az), math.Sin(el)}
}
