package check

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// standing returns the joint that counts: the one that is asked for where a tested
// value proves what it passes, a free one otherwise. A gripped joint passes twist about
// the rail; one that is stiff about the rail's axis alone does too. Where the user leaves
// fittings out nothing here compares what they pass with that value.
func standing(d *barrier.Definition) barrier.Joint {
	f, free := &d.Fitting, barrier.Joint{Kind: barrier.FreeJoint}
	if d.LeaveOut.Fitting {
		return free
	}
	switch asked := f.Moment; asked.Kind {
	case barrier.GrippedJoint:
		if f.SlipMoment != nil {
			return asked
		}
	case barrier.RigidJoint:
		if f.MomentResistance != nil {
			return asked
		}
	case barrier.StiffnessJoint:
		aboutRail := asked.Stiffness[1] == 0 && asked.Stiffness[2] == 0
		if f.MomentResistance != nil || aboutRail && f.SlipMoment != nil {
			return asked
		}
	}
	return free
}

// proof names the tested value that a joint needs to count.
func proof(j barrier.Joint) string {
	if j.Kind == barrier.GrippedJoint {
		return "slip_moment"
	}
	return "moment_resistance"
}

// jointWords names a joint.
func jointWords(j barrier.Joint, units quantity.System) string {
	if j.Kind != barrier.StiffnessJoint {
		return string(j.Kind)
	}
	show := func(k float64) string { return quantity.Format(k, quantity.RotationalStiffness, units) }
	if k := j.Stiffness; k[0] == k[1] && k[1] == k[2] {
		return show(k[0])
	}
	var parts []string
	for i, about := range [...]string{"rail", "outward", "post"} {
		if j.Stiffness[i] > 0 {
			parts = append(parts, show(j.Stiffness[i])+" about "+about)
		}
	}
	return strings.Join(parts, ", ")
}

// asked returns the model with the joint that is asked for and does not count, nil for
// none.
func (c *run) asked() *model {
	if c.other == nil || c.other.layout.Joint.Kind == barrier.FreeJoint {
		return nil
	}
	return c.other
}

// saving says what the joint that is asked for would save, did it count, or what free
// joints would give beside those that do.
func (c *run) saving() {
	if c.other == nil {
		return
	}
	stands := c.like(c.other)
	if stands == nil {
		return
	}
	if c.asked() == nil {
		c.say(fmt.Sprintf("Free joints would give a largest utilisation of %s, where the joints that count give %s.", printed(c.other.largest()), printed(stands.largest())))
		return
	}
	joint, change := c.other.layout.Joint, "no less than"
	if c.other.largest() < stands.largest()*(1-1e-9) {
		change = "down from"
	}
	c.say(fmt.Sprintf("Joints as asked (%s) would give a largest utilisation of %s, %s %s with free ones; they count when fittings are in the scope and a tested %s is given.",
		jointWords(joint, c.o.Units), printed(c.other.largest()), change, printed(stands.largest()), proof(joint)))
}

// like returns the model that stands with the feet and splices of another.
func (c *run) like(m *model) *model {
	for _, other := range c.models {
		if other.layout.FootStiffness == m.layout.FootStiffness && other.layout.Splices == m.layout.Splices {
			return other
		}
	}
	return nil
}

// printed is a utilisation in words.
func printed(u float64) string {
	if math.IsInf(u, 1) {
		return "no bound"
	}
	return quantity.Fix(RoundedUp(u), 3)
}

// openJoint lists the twist and the moment that joints as asked would have to pass on.
func (c *run) openJoint() {
	asked := c.asked()
	if asked == nil {
		return
	}
	words := jointWords(asked.layout.Joint, c.o.Units)
	for _, kind := range [...]string{"twist", "moment"} {
		worst := worstKind(asked.fittings, kind)
		if worst == nil || kind == "moment" && asked.layout.Joint.Kind == barrier.GrippedJoint {
			continue
		}
		it := largest(OpenFitting, fmt.Sprintf("fitting as asked (%s): %s in the %s", words, kind, worst.grip.tube), worst.element)
		it.Reason = "no tested " + proof(asked.layout.Joint) + " is given, so free joints stand"
		c.openUnless(c.d.LeaveOut.Fitting, c.demanded(it, worst))
	}
}
