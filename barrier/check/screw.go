package check

import (
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// What a torque tells of a set screw. Nothing is checked by it, and none of it is a resistance.

// The ranges within which a set screw may be.
//
// Torque coefficients: fastening handbook, public page (0.15 lubricated to 0.3 dry or rusty).
// Friction of the point and of the opposite wall: provenance memory.
const (
	leastTorqueCoefficient, mostTorqueCoefficient = 0.15, 0.3
	leastScrewFriction, mostScrewFriction         = 0.12, 0.2
)

// screwRange is the least and the most of what one screw may bring.
type screwRange struct{ force, slip, twist [2]float64 }

// rangeOf returns what one screw may bring on tubes of some diameters, m: its force F = T/(k d),
// N; friction at its point and at the wall opposite, 2 μ F, N; and that at half the diameter on
// either side, μ F D, N·m.
func rangeOf(s *barrier.Screw, od [2]float64) screwRange {
	force := [2]float64{s.Force(mostTorqueCoefficient), s.Force(leastTorqueCoefficient)}
	mu := [2]float64{leastScrewFriction, mostScrewFriction}
	var r screwRange
	for i := range 2 {
		r.force[i], r.slip[i], r.twist[i] = force[i], 2*mu[i]*force[i], mu[i]*force[i]*od[i]
	}
	return r
}

// screwNote says what the torque of the set screws may mean, nothing where none is told.
func (c *run) screwNote() string {
	s := c.d.Fitting.Screw
	if s == nil {
		return ""
	}
	od := [2]float64{c.d.Post.BuiltOD(), c.d.Post.BuiltOD()}
	for i := range c.d.Rails {
		od[0], od[1] = math.Min(od[0], c.d.Rails[i].BuiltOD()), math.Max(od[1], c.d.Rails[i].BuiltOD())
	}
	r := rangeOf(s, od)
	show := func(v [2]float64, d quantity.Dimension) string {
		unit := quantity.Display(d, c.o.Units).Name
		return quantity.Fix(quantity.In(v[0], unit), 2) + " to " + quantity.Fix(quantity.In(v[1], unit), 2) + " " + unit
	}
	return "The torque of the set screws is information and no rating: F = T/(k d) with k from 0.15 to 0.30 would press one " + s.Size + " screw with " + show(r.force, quantity.Force) +
		", and friction from 0.12 (at the least force) to 0.20 (at the most) would hold " + show(r.slip, quantity.Force) + " along the tube (2 μ F) and " + show(r.twist, quantity.Moment) +
		" about it (μ F D). Two public tables differ by 2.5 times for one screw; thin or aluminium walls dent, zinc creeps, points differ, and screws are to be tightened again: what a fitting holds is tested."
}
