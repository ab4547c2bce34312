package analysis

import "math"

// A load that is free to turn points along a unit vector over two or three
// directions of its action. What it does is linear in that vector, so a measure
// that curves upwards is worst at a way n that leans with its own slope there:
// n <- slope / |slope| never loses, and a few such steps from a few starts find
// the worst way.

// hill is a value over the ways a load may point, climbed step by step.
type hill interface {
	// at goes to a way and returns the value there.
	at(n *[3]float64) float64
	// lean returns the way with the most gain to first order from where it stands,
	// not ok where there is no slope.
	lean() (n [3]float64, ok bool)
	// still is the hill of the ways alone, with all else as it stands.
	still() *fan
}

// ascend climbs from a way until a step gains nothing, and returns the highest way
// it came by. It reports whether a step fell: no value that curves upwards does
// that.
//
// Where the slope turns slowly the steps shrink by the same part each time: their
// sum is then tried at once.
func ascend(h hill, n [3]float64, steps int) (way [3]float64, value float64, fell bool) {
	way, value = n, h.at(&n)
	var last [3]float64 // the step before
	for range steps {
		to, ok := h.lean()
		if !ok {
			break
		}
		step := minus(&to, &n)
		v := h.at(&to)
		if v < value-1e-10*math.Abs(value) {
			return way, value, true
		}
		shrink := inner(&step, &last) / inner(&last, &last)
		last = step
		if shrink > 0.1 && shrink < 0.9999 {
			far := unit(plusTimes(&to, min(shrink/(1-shrink), 50), &step))
			if high := h.at(&far); high > v {
				to, v, last = far, high, [3]float64{}
			} else {
				h.at(&to)
			}
		}
		gain := v - value
		n = to
		if v > value {
			way, value = to, v
		}
		if !(gain > 1e-13*math.Abs(value)) {
			break
		}
	}
	return way, value, false
}

// up climbs as ascend does, and by trial where a step fell.
func up(h hill, n [3]float64, nd int) (way [3]float64, value float64) {
	way, value, fell := ascend(h, n, enough)
	if fell {
		return climb(h.at, way, nd)
	}
	return way, value
}

// summit climbs to the top above a way, and goes on where a look around finds
// more.
func summit(h hill, n [3]float64, nd int) (way [3]float64, value float64) {
	way, value = up(h, n, nd)
	for range 4 {
		h.at(&way)
		side, higher := lookAround(h.still(), &way, nd, value)
		if !higher {
			break
		}
		n, v, fell := ascend(h, side, enough)
		if fell { // an edge is near: between the way and its side, or beyond
			before := v
			if n, v = alongEdge(h, &way, &n, nd); v <= before {
				n, v = climb(h.at, n, nd)
			}
		}
		if v <= value {
			break
		}
		way, value = n, v
	}
	return way, value
}

// lookAround returns the highest way found about a way, when it is above the value
// there: on arcs towards what turns each component most. On a saddle, or in a fold
// such as the size of a component has where it vanishes, no slope leads on, and to
// a jump of the measure none ever does.
func lookAround(f *fan, n *[3]float64, nd int, value float64) (way [3]float64, higher bool) {
	way, floor := *n, value+1e-12*math.Abs(value)
	take := func(side [3]float64) float64 {
		v := f.at(&side)
		if v > floor {
			way, floor, higher = side, v, true
		}
		return v
	}
	jumping := f.jumps(n)
	var room [16][3]float64
	for _, e := range f.bearings(room[:0], n) {
		before, from := value, 0.0
		for i, angle := range arc() {
			v := take(onArc(n, &e, angle))
			// After a jump the measure falls again as the load turns on: by how much
			// at most up to this angle tells whether its edge is worth finding.
			fall := 1.5 * (math.Cos(from) - math.Cos(angle)) * math.Abs(value)
			if jumping && i > 1 && v > before-fall && v+fall > floor && v < floor {
				take(onArc(n, &e, edge(func(angle float64) float64 { side := onArc(n, &e, angle); return f.at(&side) }, from, angle)))
			}
			before, from = v, angle
		}
	}
	return way, higher
}

// jumps reports whether a measure fails to curve upwards as component k of a state
// grows from nothing to its reach. Its top may then stand just beyond a jump, where
// no slope leads.
func jumps(of func(*components) float64, c components, k int, reach float64) bool {
	const steps, beyond = 8, 3 // a jump just below the reach shows beyond it
	var before, rise float64
	for i := range steps + beyond {
		c[k] = reach * float64(i) / steps
		v := of(&c)
		if i > 1 && v-before < rise-1e-9*math.Abs(v) {
			return true
		}
		before, rise = v, v-before
	}
	return false
}

// jumps reports whether the measure jumps as a component grows from what it is
// under the load along n.
func (f *fan) jumps(n *[3]float64) bool {
	st := f.state(n)
	at := st.components()
	of := func(c *components) float64 { f.a.trial = c.state(); return f.of(&f.a.trial) }
	for k := range at {
		reach := math.Sqrt(f.by[0][k]*f.by[0][k] + f.by[1][k]*f.by[1][k] + f.by[2][k]*f.by[2][k])
		if reach == 0 {
			continue
		}
		reach += math.Abs(f.base[k])
		if jumps(of, at, k, reach) || jumps(of, at, k, -reach) {
			return true
		}
	}
	return false
}

// arc returns the angles of a look along an arc, rad.
func arc() [20]float64 {
	return [...]float64{3e-5, 0.002, 0.01, 0.0135, 0.018, 0.025, 0.033, 0.045, 0.06, 0.08, 0.11, 0.15, 0.2, 0.28, 0.38, 0.5, 0.7, 0.95, 1.2, 1.5}
}

// onArc returns the way turned from n towards e by an angle.
func onArc(n, e *[3]float64, angle float64) [3]float64 {
	sin, cos := math.Sincos(angle)
	side := [3]float64{cos * n[0], cos * n[1], cos * n[2]}
	return plusTimes(&side, sin, e)
}

// edge returns where, between two angles, f rises most steeply: just beyond a jump
// when there is one.
func edge(f func(float64) float64, lo, hi float64) float64 {
	low, high := f(lo), f(hi)
	for range 36 {
		mid := 0.5 * (lo + hi)
		if v := f(mid); v-low > high-v {
			hi, high = mid, v
		} else {
			lo, low = mid, v
		}
	}
	return hi
}

// alongEdge follows the edge of a jump that was found by turning from a way to a
// side of it, and returns the highest way on it. Which bearing is best it asks the
// hill of the ways alone: that is level there, and need not be known well.
func alongEdge(h hill, n, side *[3]float64, nd int) (way [3]float64, value float64) {
	angle := math.Acos(min(1, inner(n, side)))
	e := unit(plusTimes(side, -inner(n, side), n))
	across := [3]float64{n[1]*e[2] - n[2]*e[1], n[2]*e[0] - n[0]*e[2], n[0]*e[1] - n[1]*e[0]}
	on := func(h hill, bearing float64) (way [3]float64, value float64) {
		to := onArc(&e, &across, bearing)
		f := func(angle float64) float64 { w := onArc(n, &to, angle); return h.at(&w) }
		way = onArc(n, &to, edge(f, 0, min(1.2*angle/math.Cos(bearing), 1.5)))
		return way, h.at(&way)
	}
	way, value = *side, h.at(side)
	bearings := []float64{0}
	if nd == 3 {
		still := h.still()
		best, _ := Maximum(func(bearing float64) float64 { _, v := on(still, bearing); return v }, -0.9, 0, 0.9)
		bearings = append(bearings, best)
	}
	for _, bearing := range bearings {
		if w, v := on(h, bearing); v > value {
			way, value = w, v
		}
	}
	return way, value
}

// tangents returns the directions in which a way over nd directions may turn.
func tangents(n *[3]float64, nd int) [][3]float64 {
	if nd == 2 {
		return [][3]float64{{-n[1], n[0], 0}}
	}
	a, b := perpendiculars(*n)
	return [][3]float64{a, b}
}

// climb ascends f over the circle or sphere from a start by great circles, in
// turn along each tangent, until none gains. It follows no slope, so f may jump.
func climb(f func(*[3]float64) float64, v [3]float64, nd int) ([3]float64, float64) {
	value := f(&v)
	for range 40 {
		before := value
		for _, e := range tangents(&v, nd) {
			along := func(angle float64) [3]float64 {
				c, s := math.Cos(angle), math.Sin(angle)
				return [3]float64{c*v[0] + s*e[0], c*v[1] + s*e[1], c*v[2] + s*e[2]}
			}
			x, best := Maximum(func(angle float64) float64 { w := along(angle); return f(&w) }, -0.8, 0, 0.8)
			if best > value {
				v, value = along(x), best
			}
		}
		if value-before <= 1e-12*math.Abs(value) {
			break
		}
	}
	return v, value
}

func perpendiculars(v [3]float64) (a, b [3]float64) {
	axis := [3]float64{1, 0, 0}
	if math.Abs(v[0]) > 0.9 {
		axis = [3]float64{0, 1, 0}
	}
	cross := func(p, q *[3]float64) [3]float64 {
		return [3]float64{p[1]*q[2] - p[2]*q[1], p[2]*q[0] - p[0]*q[2], p[0]*q[1] - p[1]*q[0]}
	}
	a = unit(cross(&v, &axis))
	return a, cross(&v, &a)
}

// compass returns ways spread over a circle or a sphere: the axes and the
// diagonals between them. The second half are the opposites of the first.
func compass(nd int) [][3]float64 {
	d, e := 1/math.Sqrt2, 1/math.Sqrt(3)
	half := [][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {e, e, e}, {e, e, -e}, {e, -e, e}, {e, -e, -e}}
	if nd == 2 {
		half = [][3]float64{{1, 0, 0}, {0, 1, 0}, {d, d, 0}, {d, -d, 0}}
	}
	return append(half, opposites(half)...)
}

func opposites(ways [][3]float64) [][3]float64 {
	out := make([][3]float64, len(ways))
	for i := range ways {
		out[i] = opposite(&ways[i])
	}
	return out
}

func opposite(n *[3]float64) [3]float64 { return [3]float64{-n[0], -n[1], -n[2]} }

func inner(a, b *[3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func minus(a, b *[3]float64) [3]float64 { return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func plusTimes(a *[3]float64, f float64, b *[3]float64) [3]float64 {
	return [3]float64{a[0] + f*b[0], a[1] + f*b[1], a[2] + f*b[2]}
}

// unit returns a vector of length one, or one of no length as it is.
func unit(a [3]float64) [3]float64 {
	size := math.Sqrt(inner(&a, &a))
	if size == 0 {
		return a
	}
	return [3]float64{a[0] / size, a[1] / size, a[2] / size}
}

// fan is a point load at one place that is free to turn, seen by one measure at
// one section: a hill over its ways.
type fan struct {
	a    *Analysis
	of   func(*State) float64
	nd   int
	base components    // without the load
	by   [3]components // under the load along each direction
	here [3]float64
}

func (f *fan) state(n *[3]float64) State {
	c := f.base
	for d := range f.nd {
		if n[d] == 0 {
			continue
		}
		for k := range c {
			c[k] += n[d] * f.by[d][k]
		}
	}
	return c.state()
}

func (f *fan) at(n *[3]float64) float64 {
	f.here = *n
	f.a.trial = f.state(n)
	return f.of(&f.a.trial)
}

func (f *fan) still() *fan { return f }

func (f *fan) lean() (n [3]float64, ok bool) {
	const step = 1e-6
	from := f.here
	for d := range f.nd {
		up, down := from, from
		up[d] += step
		down[d] -= step
		n[d] = f.at(&up) - f.at(&down)
	}
	f.here = from
	return unit(n), usable(inner(&n, &n))
}

// usable reports whether a number is a slope to follow.
func usable(slope float64) bool {
	return slope != 0 && !math.IsNaN(slope) && !math.IsInf(slope, 0)
}

// bearings appends the directions, square to a way, in which the load turns to
// change a component most, both of each, those that nearly coincide once.
func (f *fan) bearings(dst [][3]float64, n *[3]float64) [][3]float64 {
	add := func(e [3]float64) {
		e = unit(e)
		if e == ([3]float64{}) || len(dst)+2 > cap(dst) {
			return
		}
		for i := range dst {
			if math.Abs(inner(&dst[i], &e)) > 0.98 {
				return
			}
		}
		dst = append(dst, e, opposite(&e))
	}
	for k := range nState {
		row := [3]float64{f.by[0][k], f.by[1][k], f.by[2][k]}
		square := plusTimes(&row, -inner(&row, n), n)
		if inner(&square, &square) > 1e-16*inner(&row, &row) {
			add(square)
		}
	}
	for _, e := range tangents(n, f.nd) {
		add(e)
	}
	return dst
}

// starts appends the ways to begin with: those in which a component alone is
// extreme, both of each, those that nearly coincide once, and the compass.
func (f *fan) starts(dst [][3]float64) [][3]float64 {
	for k := range nState {
		row := unit([3]float64{f.by[0][k], f.by[1][k], f.by[2][k]})
		if row == ([3]float64{}) {
			continue
		}
		known := false
		for i := range dst {
			known = known || math.Abs(inner(&dst[i], &row)) > 0.999
		}
		if !known {
			dst = append(dst, row, opposite(&row))
		}
	}
	return append(dst, compass(f.nd)...)
}

// first returns the best of the ways to begin with.
func (f *fan) first(starts [][3]float64) (way [3]float64, value float64) {
	value = math.Inf(-1)
	for i := range starts {
		if v := f.at(&starts[i]); Beats(v, value) {
			way, value = starts[i], v
		}
	}
	return way, value
}

// enough steps for a hill that curves upwards; few where more follow elsewhere.
const (
	enough = 40
	few    = 3
)

// worst returns the top above the best few of the ways to begin with.
func (f *fan) worst(starts [][3]float64) (way [3]float64, value float64) {
	var room [48]float64
	values := room[:0]
	for i := range starts {
		values = append(values, f.at(&starts[i]))
	}
	value = math.Inf(-1)
	for range 3 {
		top := 0
		for i := range values {
			if values[i] > values[top] {
				top = i
			}
		}
		if math.IsInf(values[top], -1) {
			break
		}
		n, v := up(f, starts[top], f.nd)
		if Beats(v, value) {
			way, value = n, v
		}
		values[top] = math.Inf(-1)
	}
	return way, value
}
