package solver

import (
	"math"
	"slices"
	"sort"
)

// Component is one quantity along a member, in its local axes.
type Component int

// The section forces (N, N·m) and the displacements (m) and rotations (rad) of a section, with
// the signs of the package comment.
const (
	Axial Component = iota
	ShearY
	ShearZ
	Torsion
	MomentY
	MomentZ
	MoveX
	MoveY
	MoveZ
	Twist
	TurnY
	TurnZ
	components
)

// Diagram holds every component along one member as polynomials between the
// stations where loads begin, stand or end: exact for a prismatic member.
type Diagram struct {
	Breaks []float64 // stations, m, from 0 to the length
	pieces []piece
}

type piece [components]polynomial

// Extreme is a value and the station or chain coordinate, m, at which it stands.
type Extreme struct{ Station, Value float64 }

// widen makes room for a value between the least and the largest one, the first of equals.
func widen(least, largest *Extreme, by Extreme) {
	if by.Value < least.Value {
		*least = by
	}
	if by.Value > largest.Value {
		*largest = by
	}
}

// Diagram returns the internal forces and displacements along a member.
func (r *Solution) Diagram(m MemberID) *Diagram {
	e := &r.model.elements[m]
	load := r.loadOn(m)
	f, v := r.member(m)
	d := &Diagram{Breaks: load.breaks(e.length)}
	d.pieces = make([]piece, len(d.Breaks)-1)
	room := make(coefficients, 0, len(d.pieces)*pieceSize)
	// Running totals at the start of each piece: the part of the member before
	// it, in balance, gives the section force on the +x face.
	n, vy, vz, t, my, mz := -f[0], -f[1], -f[2], -f[3], -f[4], -f[5]
	ux, uy, uz, rx, ry, rz := v[0], v[1], v[2], v[3], v[4], v[5]
	var warm warmth
	if load.warmth != nil {
		warm = *load.warmth
	}
	for i := range len(d.Breaks) - 1 {
		x0, length := d.Breaks[i], d.Breaks[i+1]-d.Breaks[i]
		for _, p := range load.points {
			if p.At == x0 {
				n, vy, vz = n-p.Force[0], vy-p.Force[1], vz-p.Force[2]
				t, my, mz = t-p.Moment[0], my-p.Moment[1], mz-p.Moment[2]
			}
		}
		var q [3][2]float64
		for k := range q {
			q[k] = load.intensity(k, x0, d.Breaks[i+1])
		}
		p := &d.pieces[i]
		p[Axial] = room.integral(n, -1, q[0][:], 0)
		p[ShearY] = room.integral(vy, -1, q[1][:], 0)
		p[ShearZ] = room.integral(vz, -1, q[2][:], 0)
		p[Torsion] = room.take(1)
		p[Torsion][0] = t
		p[MomentY] = room.integral(my, 1, p[ShearZ], 0)
		p[MomentZ] = room.integral(mz, -1, p[ShearY], 0)
		p[MoveX] = room.integral(ux, 1/e.ea, p[Axial], warm.strain)
		p[Twist] = room.integral(rx, 1/e.gj, p[Torsion], 0)
		p[TurnY] = room.integral(ry, 1/e.eiy, p[MomentY], warm.curl[1])
		p[TurnZ] = room.integral(rz, 1/e.eiz, p[MomentZ], warm.curl[2])
		// The slope is the turning and the shear strain.
		p[MoveY] = room.integral(uy, 1, p[TurnZ], 0)
		p[MoveY].addIntegral(e.shear[0], p[ShearY])
		p[MoveZ] = room.integral(uz, -1, p[TurnY], 0)
		p[MoveZ].addIntegral(e.shear[1], p[ShearZ])
		n, vy, vz = p[Axial].At(length), p[ShearY].At(length), p[ShearZ].At(length)
		my, mz = p[MomentY].At(length), p[MomentZ].At(length)
		ux, uy, uz, rx = p[MoveX].At(length), p[MoveY].At(length), p[MoveZ].At(length), p[Twist].At(length)
		ry, rz = p[TurnY].At(length), p[TurnZ].At(length)
	}
	return d
}

// coefficients hands out polynomials from one piece of memory, pieceSize for all those of a piece.
type coefficients []float64

const pieceSize = 3*3 + 1 + 2*4 + 4 + 2 + 2*5 + 2*6

// take returns n coefficients of nothing.
func (r *coefficients) take(n int) polynomial {
	from := len(*r)
	*r = (*r)[:from+n]
	return polynomial((*r)[from : from+n : from+n])
}

// integral returns the integral of a·p + raise that starts at the constant c.
func (r *coefficients) integral(c, a float64, p polynomial, raise float64) polynomial {
	out := r.take(len(p) + 1)
	out[0] = c
	for i, v := range p {
		v *= a
		if i == 0 {
			v += raise
		}
		out[i+1] = v / float64(i+1)
	}
	return out
}

// addIntegral adds the integral of a·q, which is shorter, in place.
func (p polynomial) addIntegral(a float64, q polynomial) {
	for i, v := range q {
		p[i+1] += a * v / float64(i+1)
	}
}

// StartForces returns the section forces and moments at the start of a member, Axial to
// MomentZ, just after what stands there: those of its Diagram, N and N·m.
func (r *Solution) StartForces(m MemberID) (out [6]float64) {
	f, _ := r.member(m)
	for k := range out {
		out[k] = -f[k]
	}
	if r.loads == nil { // nothing but weight acts
		return out
	}
	for _, p := range r.loads[m].points {
		if p.At == 0 {
			for k := range 3 {
				out[k] -= p.Force[k]
				out[3+k] -= p.Moment[k]
			}
		}
	}
	return out
}

// Axial returns the least and the largest axial force along a member: those of its Diagram, N.
func (r *Solution) Axial(m MemberID) (least, largest float64) {
	p := r.pull(m)
	if len(p.force) == 1 && p.force[0].isConstant() {
		n := p.force[0][0]
		return n, n
	}
	least, largest = math.Inf(1), math.Inf(-1)
	p.peaks(func(n float64) { least, largest = min(least, n), max(largest, n) })
	return least, largest
}

// acts reports whether any load acts on a member in local direction k between its ends.
func (l *memberLoad) acts(k int) bool {
	return slices.ContainsFunc(l.points, func(p PointLoad) bool { return p.Force[k] != 0 }) ||
		slices.ContainsFunc(l.lines, func(q LineLoad) bool { return q.Start[k] != 0 || q.End[k] != 0 })
}

// intensity returns the line load in direction k between two breaks, as a
// polynomial from the first.
func (l *memberLoad) intensity(k int, from, to float64) (q [2]float64) {
	for i := range l.lines {
		line := &l.lines[i]
		if line.From <= from && line.To >= to {
			a, b := line.at(from)[k], line.at(to)[k]
			q[0] += a
			q[1] += (b - a) / (to - from)
		}
	}
	return q
}

// At returns a component, N, N·m, m or rad, at a station, m; where it jumps, the value just after it
// (at the far end of the member, the value just before it). Past an end it goes on as the
// polynomial that ends there.
func (d *Diagram) At(c Component, station float64) float64 {
	i := sort.SearchFloat64s(d.Breaks[1:len(d.Breaks)-1], math.Nextafter(station, math.Inf(1)))
	return d.pieces[i][c].At(station - d.Breaks[i])
}

// Before returns a component, N, N·m, m or rad, at a station, m; where it jumps, the value just
// before it (at the start of the member, the value just after it).
func (d *Diagram) Before(c Component, station float64) float64 {
	i := min(max(sort.SearchFloat64s(d.Breaks, station)-1, 0), len(d.pieces)-1)
	return d.pieces[i][c].At(station - d.Breaks[i])
}

// Extremes returns the least and the largest value of a component and where
// they stand.
func (d *Diagram) Extremes(c Component) (least, largest Extreme) {
	least, largest = Extreme{Value: math.Inf(1)}, Extreme{Value: math.Inf(-1)}
	look := func(x, v float64) { widen(&least, &largest, Extreme{x, v}) }
	for i, p := range d.pieces {
		x0, length := d.Breaks[i], d.Breaks[i+1]-d.Breaks[i]
		look(x0, p[c].At(0))
		for _, x := range p[c].derivative().roots(length) {
			look(x0+x, p[c].At(x))
		}
		look(d.Breaks[i+1], p[c].At(length))
	}
	return least, largest
}
