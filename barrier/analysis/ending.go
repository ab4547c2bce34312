package analysis

import (
	"math"
	"slices"

	"example.com/stanchion/solver"
)

// ending is the end of a member that meets a joint: what a probe of the joint takes from it.
// A joint whose answer is no combination of responses, that of a bent frame, is read by these.
type ending struct {
	member  solver.MemberID
	station float64       // 0 or the member's length
	sign    float64       // of what it passes on
	turn    [3]solver.Vec // from its axes into those of the probe
	reach   solver.Vec    // m, from the probe's point to the joint, in the axes of the probe
	axial   bool          // its axial force alone passes
}

// turned returns the ending told in other axes and about another point.
func (e ending) turned(from, to solver.Axes, reach solver.Vec) ending {
	e.turn, e.reach = between(from, to), seen(&to, reach)
	return e
}

// straight is an ending told in its own axes.
func straight(member solver.MemberID, station, sign float64) ending {
	return ending{member: member, station: station, sign: sign, turn: [3]solver.Vec{{1}, {0, 1}, {0, 0, 1}}}
}

// addTo adds what the end passes on, from the section forces just inside the joint.
func (e *ending) addTo(c *components, f [6]float64) {
	force, couple := solver.Vec{f[cN], f[cVy], f[cVz]}, solver.Vec{f[cT], f[cMy], f[cMz]}
	if e.axial {
		force, couple = solver.Vec{f[cN]}, solver.Vec{}
	}
	var turned solver.Vec
	for k, row := range e.turn {
		turned[k] = e.sign * dot(row, force)
		c[cN+k] += turned[k]
	}
	for k, row := range arm(e.reach) {
		c[cT+k] += e.sign*dot(e.turn[k], couple) + dot(row, turned)
	}
}

// outside returns the section forces of a diagram at an end of its member, beyond the loads
// that stand at that end, points in the axes of the member. A load may stand short of the end by
// rounding: the diagram is read on the inner side of it.
func outside(d *solver.Diagram, station float64, points []standingPoint) (f [6]float64) {
	read, inner, sign := d.Before, math.Min, -1.0
	if station == 0 {
		read, inner, sign = d.At, math.Max, 1
	}
	ending := slices.DeleteFunc(slices.Clone(points), func(l standingPoint) bool { return math.Abs(l.at-station) >= sameSpot })
	for _, l := range ending {
		station = inner(station, l.at)
	}
	for k := range f {
		f[k] = read(solver.Component(k), station)
	}
	for _, l := range ending {
		for k := range 3 {
			f[cN+k] += sign * l.force[k]
			f[cT+k] += sign * l.couple[k]
		}
	}
	return f
}

// joined returns what a joint passes on in an answer under a case of loads.
func (p *Probe) joined(s answer, c *solver.Case) (out components) {
	for i := range p.endings {
		e := &p.endings[i]
		axes := p.owner.axesOf(e.member)
		var points []standingPoint
		for _, l := range c.Points {
			if l.Member != e.member {
				continue
			}
			if !l.Local {
				l.Force, l.Moment = seen(&axes, l.Force), seen(&axes, l.Moment)
			}
			points = append(points, standingPoint{at: l.At, force: l.Force, couple: l.Moment})
		}
		e.addTo(&out, outside(s.Diagram(e.member), e.station, points))
	}
	return out
}
