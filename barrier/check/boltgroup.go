package check

import (
	"math"

	"example.com/stanchion/barrier"
)

// boltGroup is the bolts of a flange on a plane, seen from above, in the axes of FootActions: x
// along the run, y to its left, from the axis of the post; m.
type boltGroup struct {
	x, y   []float64
	method barrier.TensionMethod
	arm    float64 // of what the flange bears at when it tilts, from the axis of the post
	weight bool    // compression relieves

	cx, cy        float64 // middle of the group
	sxx, syy, sxy float64 // Σx², Σy², Σxy from there
	line          bool    // all on one line: nothing about the middle resists across it

	rows [4]boltRow // of the bearing block: tension on the sides -x, +x, -y, +y
}

// boltRow is the row of bolts that is pulled when the flange bears on a block at the other side.
type boltRow struct {
	f     float64 // from the axis of the post to the row, m
	n     float64 // bolts in the row
	depth float64 // of the plate, m, across the axis of the moment
	q     float64 // stress on the concrete times the width of the plate, N/m
}

// newBoltGroup returns the bolts of a flange. Outward is the sign of the outward side along y.
func newBoltGroup(f *barrier.Flange, od, outward float64) *boltGroup {
	g := &boltGroup{method: f.Method, arm: f.Arm(od), weight: f.Weight}
	for _, b := range f.Bolts {
		g.x, g.y = append(g.x, b.Along), append(g.y, outward*b.Outward)
	}
	n := float64(len(g.x))
	for i := range g.x {
		g.cx += g.x[i] / n
		g.cy += g.y[i] / n
	}
	for i := range g.x {
		x, y := g.x[i]-g.cx, g.y[i]-g.cy
		g.sxx, g.syy, g.sxy = g.sxx+x*x, g.syy+y*y, g.sxy+x*y
	}
	const flat = 1e-9
	polar := g.sxx + g.syy
	g.line = g.sxx*g.syy-g.sxy*g.sxy < flat*polar*polar
	if f.Method == barrier.BearingBlock {
		g.setRows(f)
	}
	return g
}

// setRows finds the rows that the bearing block pulls. Of a round flange the block lies in the
// inscribed square: less than bears.
func (g *boltGroup) setRows(f *barrier.Flange) {
	along, across := f.Size[1], f.Size[0]
	if f.Diameter > 0 {
		along = f.Diameter / math.Sqrt2
		across = along
	}
	const inRow = 1e-6 // m
	for side := range g.rows {
		of, depth, width, sign := g.x, along, across, -1.0
		if side >= 2 {
			of, depth, width = g.y, across, along
		}
		if side%2 == 1 {
			sign = 1
		}
		row := boltRow{f: math.Inf(-1), depth: depth, q: f.Concrete * width}
		for _, v := range of {
			row.f = math.Max(row.f, sign*v)
		}
		for _, v := range of {
			if sign*v > row.f-inRow {
				row.n++
			}
		}
		g.rows[side] = row
	}
}

// pull is what the actions on a foot do to its bolts, before it is asked of one of them.
type pull struct {
	lift   float64 // of the whole group, N, shared evenly: uplift, negative where weight counts
	mx, my float64 // the way the moment lifts the flange: what is at r rises as m·r; N·m
	m      float64 // its size

	ax, ay float64 // rotation about the middle of the group: Ti = lift/n + ax x + ay y, N/m

	vx, vy float64 // way in which the flange tilts
	tilt   float64 // Ti = tilt (ri·v + arm), N/m, beside uplift
	levers float64 // Σ di li, m²: moment of bolts that are pulled by di
	net    float64 // moment that they take, N·m

	rows [4]float64 // of the bearing block: force in a row, N
}

// pulled returns it.
func (g *boltGroup) pulled(a FootActions) pull {
	p := pull{lift: a.Fz}
	if !g.weight {
		p.lift = math.Max(0, a.Fz)
	}
	// A moment turns the flange about its axis: what stands at (x, y) rises by θx y - θy x. Uplift
	// acts at the axis of the post, beside the middle of the group.
	p.mx, p.my = -a.My, a.Mx
	up := math.Max(0, p.lift)
	lever := p.lift // about the middle of the group
	if g.method == barrier.BearingBlock {
		g.pullRows(&p, up, math.Max(0, -p.lift))
		return p
	}
	if g.method == barrier.LargerOfGroupAndTube && !g.line {
		mx, my := p.mx-lever*g.cx, p.my-lever*g.cy
		det := g.sxx*g.syy - g.sxy*g.sxy
		p.ax, p.ay = (mx*g.syy-my*g.sxy)/det, (my*g.sxx-mx*g.sxy)/det
	}
	p.mx, p.my = p.mx-up*g.cx, p.my-up*g.cy
	p.m = math.Hypot(p.mx, p.my)
	g.tilted(&p, math.Max(0, -p.lift))
	return p
}

// tilted finds how a rigid flange that bears at arm from the axis of the post tilts under a
// moment: it turns about the tangent there, and the bolts that it lifts are pulled as they
// stretch, Ti = tilt (ri·v + arm). The way v is that in which bolts, bearing and moment balance
// about both axes; between them the moment of bolts turns with v and never back, for it is the
// slope of a convex energy, so there is one. Compression n bears at the tangent.
func (g *boltGroup) tilted(p *pull, n float64) {
	if p.m <= n*g.arm {
		return
	}
	ux, uy := p.mx/p.m, p.my/p.m
	// unbalanced is the moment about the axis across that of the moment, for v at tan(φ/2) = t
	// from it.
	unbalanced := func(t float64) float64 {
		g.tiltBy(p, ux, uy, t)
		gx, gy := g.tiltMoment(p.vx, p.vy)
		return gy*(p.mx-n*g.arm*p.vx) - gx*(p.my-n*g.arm*p.vy)
	}
	t := 0.0
	if off := unbalanced(0); math.Abs(off) > 1e-12*g.arm*g.arm*p.m {
		t = root(unbalanced, off)
	}
	g.tiltBy(p, ux, uy, t)
	gx, gy := g.tiltMoment(p.vx, p.vy)
	p.levers = gx*ux + gy*uy
	p.net = p.m - n*g.arm*(p.vx*ux+p.vy*uy)
	if p.levers <= 0 {
		p.tilt = math.Inf(1) // no bolt is lifted
		return
	}
	p.tilt = p.net / p.levers
}

// tiltBy sets the way in which the flange tilts, turned by φ from u, tan(φ/2) = t.
func (g *boltGroup) tiltBy(p *pull, ux, uy, t float64) {
	cos, sin := (1-t*t)/(1+t*t), 2*t/(1+t*t)
	p.vx, p.vy = ux*cos-uy*sin, ux*sin+uy*cos
}

// tiltMoment returns the moment about the bearing of bolts that are pulled by how much a unit
// tilt v stretches them, m².
func (g *boltGroup) tiltMoment(vx, vy float64) (gx, gy float64) {
	for i := range g.x {
		if d := g.x[i]*vx + g.y[i]*vy + g.arm; d > 0 {
			gx += d * (g.x[i] + g.arm*vx)
			gy += d * (g.y[i] + g.arm*vy)
		}
	}
	return gx, gy
}

// root returns where an unbalanced moment between t = -1 and 1, a quarter turn either way, passes
// 0, from its value at 0: by false position, with Illinois' halving of an end that stays.
func root(f func(float64) float64, atZero float64) float64 {
	low, high := -1.0, 1.0
	fLow, fHigh := f(low), f(high)
	if atZero > 0 {
		high, fHigh = 0, atZero
	} else {
		low, fLow = 0, atZero
	}
	const steps = 200
	last := 0
	for range steps {
		t := (low*fHigh - high*fLow) / (fHigh - fLow)
		if !(t > low && t < high) {
			return math.Max(low, math.Min(high, t))
		}
		switch v := f(t); {
		case v == 0 || high-low < 1e-15:
			return t
		case v > 0:
			high, fHigh = t, v
			if last > 0 {
				fLow /= 2
			}
			last = 1
		default:
			low, fLow = t, v
			if last < 0 {
				fHigh /= 2
			}
			last = -1
		}
	}
	return (low + high) / 2
}

// pullRows shares a moment between the axes of the plate, each with its share of the concrete's
// stress and of compression n, and finds the force in the row of each: a state of balance in
// which no concrete carries more than its stress.
func (g *boltGroup) pullRows(p *pull, up, n float64) {
	mx, my := p.mx-up*g.cx, p.my-up*g.cy
	p.m = math.Abs(mx) + math.Abs(my)
	if p.m == 0 {
		return
	}
	for side, m := range [4]float64{-mx, mx, -my, my} {
		if m > 0 {
			p.rows[side] = m / p.m * g.rows[side].tension(p.m, n)
		}
	}
}

// tension returns the tension in the row under a moment m and compression n, N; without bound
// where the plate is too small. Bearing over a rectangular block of depth Y at the other edge:
// AISC Design Guide 1, rectangular pressure.
func (w *boltRow) tension(m, n float64) float64 {
	if m <= n*(w.depth/2-n/(2*w.q)) { // e0 ≤ ecrit
		return 0
	}
	d := w.f + w.depth/2
	under := d*d - 2*(m+n*w.f)/w.q
	if d <= 0 || under < 0 {
		return math.Inf(1)
	}
	return math.Max(0, w.q*(d-math.Sqrt(under))-n)
}

// tension returns the tension in one bolt, N.
func (g *boltGroup) tension(p *pull, i int) float64 {
	t, _ := g.tensionBy(p, i)
	return t
}

// tensionBy is tension, and by which way it was found.
func (g *boltGroup) tensionBy(p *pull, i int) (t float64, by boltWay) {
	up := math.Max(0, p.lift) / float64(len(g.x))
	if g.method == barrier.BearingBlock {
		return up + g.inRows(p, i), byBlock
	}
	t, by = up, byTilt
	if d := g.x[i]*p.vx + g.y[i]*p.vy + g.arm; d > 0 && p.tilt > 0 {
		t += p.tilt * d
	}
	if g.method == barrier.LargerOfGroupAndTube && !g.line {
		if about := p.lift/float64(len(g.x)) + p.ax*(g.x[i]-g.cx) + p.ay*(g.y[i]-g.cy); about > t {
			return about, byGroup
		}
	}
	return t, by
}

// boltWay is the way in which the tension of a bolt was found.
type boltWay int

// The ways.
const (
	byTilt  boltWay = iota // tilting on a bearing
	byGroup                // rotation about the middle of the group
	byBlock                // a bearing block
)

// inRows returns what the rows of a bearing block put on a bolt, N.
func (g *boltGroup) inRows(p *pull, i int) float64 {
	t := 0.0
	for side, at := range [4]float64{-g.x[i], g.x[i], -g.y[i], g.y[i]} {
		const inRow = 1e-6 // m
		if at > g.rows[side].f-inRow && p.rows[side] > 0 {
			t += p.rows[side] / g.rows[side].n
		}
	}
	return t
}

// shear returns the shear in one bolt, N: the horizontal force evenly, and twist by distance from
// the middle of the group.
func (g *boltGroup) shear(a *FootActions, i int) float64 {
	twist := g.twist(a)
	polar := g.sxx + g.syy
	n := float64(len(g.x))
	return math.Hypot(a.Fx/n-twist*(g.y[i]-g.cy)/polar, a.Fy/n+twist*(g.x[i]-g.cx)/polar)
}

// twist returns the twist about the middle of the group, N·m.
func (g *boltGroup) twist(a *FootActions) float64 { return a.Mz - (g.cx*a.Fy - g.cy*a.Fx) }
