package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// assumptions lists the user's statements that bear on the result first, then
// the defaults taken, then how the barrier is modelled.
func (c *run) assumptions() {
	base := c.d.Post.Base.Stiffness
	if len(base) > 0 && math.IsInf(base[0], 1) {
		text := "The feet are rigid: a statement of the user's."
		if c.least != nil {
			text += fmt.Sprintf(" The deflection limit holds down to %s.", stiffness(*c.least, c.o.Units))
		}
		c.say(text)
	}
	for _, said := range c.d.Assumptions {
		c.out.Assumptions = append(c.out.Assumptions, said.In(c.o.Units))
	}
	c.sayAge()
	for _, note := range c.notes {
		c.say(note.In(c.o.Units))
	}
	switch {
	case len(base) > 0:
	case c.least != nil:
		c.say("The stiffness of the feet is not given: strength is checked with rigid feet and with the softest that meet the deflection limit; the worse stands.")
	default:
		c.say("The stiffness of the feet is not given: strength is checked with rigid feet alone.")
	}
	c.say(fmt.Sprintf("Each post is held at z = %s: no translation and no twist there.", c.place(c.d.Post.Base.Level)))
	c.axes()
	c.path()
	c.joints()
	c.walls()
	c.sayBraces()
	c.splices()
	tubes := "posts and rails"
	if len(c.d.Braces) > 0 {
		tubes = "posts, rails and braces"
	}
	c.sayInfill()
	c.say("Own weight of " + tubes + " always acts; loads of the list act one at a time with it" + c.besides() + ".")
	c.factors()
	c.sayTogether()
	c.sayGammas()
	c.sayFixings()
	c.sayGround()
	c.sayExpansion()
	c.say("Movements are elastic, at tube axes, under the variable load alone: permanent actions excluded, foot and joint rotation included.")
	c.sayNet()
	c.saySoftening()
	c.say("First yield puts all stresses at one point of the section: cautious.")
	c.say("Bending deformation only: no shear flexibility.")
	c.sayFrequency()
	c.sayBent()
}

// besides says which loads act together besides.
func (c *run) besides() string {
	byUser := slices.ContainsFunc(c.d.Loads, func(l barrier.Load) bool { return len(l.With) > 0 })
	bySchedule := slices.ContainsFunc(c.d.Loads, func(l barrier.Load) bool { return joinsItsOwn(l.Schedule) })
	switch {
	case byUser && bySchedule:
		return ", and those that a schedule or with joins together besides"
	case byUser:
		return ", and those that with joins together besides"
	case bySchedule:
		return ", and those that their schedule joins together besides"
	}
	return ""
}

// sayInfill says what the infill is, what carries it and what it weighs.
func (c *run) sayInfill() {
	f := &c.d.Infill
	if !c.d.Infill.Stands() {
		return
	}
	carried := "the posts"
	if f.Carrier != barrier.CarriedByPosts {
		var names []string
		for _, i := range f.Rails {
			names = append(names, c.d.Rails[i].Name)
		}
		carried = "rails " + strings.Join(names, " and ")
	}
	weight := "its weight is not given and counts for nothing"
	if f.Mass > 0 {
		weight = "its weight, " + c.arealMass(f.Mass) + ", always acts with that of the tubes"
	}
	c.say(fmt.Sprintf("Infill (%s, solidity %s) stands from z = %s to %s and is carried by %s: its panels have no stiffness, and %s.",
		f.Kind, quantity.Fix(f.Solidity, 2), c.place(f.Bottom), c.place(f.Top), carried, weight))
}

// arealMass prints a mass of an area, kg/m².
func (c *run) arealMass(m float64) string {
	if c.o.Units == quantity.US {
		const pound, foot = 0.45359237, 0.3048 // kg, m, exact
		return quantity.Fix(m/pound*foot*foot, 2) + " lb/ft2"
	}
	return quantity.Fix(m, 2) + " kg/m2"
}

// axes says which way outward is, and from where an azimuth is turned.
func (c *run) axes() {
	if c.d.Run.Hazard == barrier.Right {
		c.say("The hazard is on the right, walking from start to end: outward is -Y, and an outward load gives a positive Mx.")
	}
	if slices.ContainsFunc(c.actions, (*analysis.Action).Turns) {
		of := "run"
		if len(c.d.Run.Legs) > 1 {
			of = "leg"
		}
		c.say("An azimuth is turned from the direction of the " + of + " to the left, seen from above: at 90 deg a load points to the left.")
	}
}

// path says how a run that turns, climbs or has gaps is measured and loaded.
func (c *run) path() {
	run := &c.d.Run
	sloping, _ := run.Slopes()
	if len(run.Legs) > 1 {
		c.say("x is measured along the rails, through every corner. X, Y and Z are the axes of the leg on which something stands: along it, to its left, up.")
		c.say("A load points the same way in the axes of each leg on which it stands: a line load over the whole run goes round the corners, outward on each leg, and its adverse lengths are sought on one leg and on several.")
		c.say("Base actions of a post at a corner are told in the axes of the leg that ends there; its movement across is the larger of those across either leg.")
	} else {
		c.say("x is measured along the rails from start to end, from where the file counts it. X, Y and Z are the axes of the run: along it, to its left, up.")
	}
	if sloping {
		c.say("On a slope posts stand plumb and rails run parallel to it. Loads, movements and base actions are told level and plumb; moments and forces in a rail, and slip, along the rail. A line load counts for each metre of slope.")
	}
	if len(run.Gaps) > 0 {
		c.say("Rails stop at the posts beside a gap or a gate, both ends free; that bay counts for no load and no width, and what is in it carries nothing.")
	}
}

// splices says what the splices pass.
func (c *run) splices() {
	of := "Splices"
	for i, r := range c.models[0].layout.Rails {
		if r.Moment.Stiffness != [3]float64{} {
			c.say(fmt.Sprintf("Splices of rail %s pass forces, and moments by their stiffness (%s), up to the tested moment.", c.d.Rails[i].Name, spliceWords(r.Moment, c.o.Units)))
			of = "Other splices"
		}
	}
	c.say(of + " pass forces and no moment.")
}

// joints says what the fittings pass, and what holds the spin of the rails.
func (c *run) joints() {
	switch joint := c.models[0].layout.Joint; joint.Kind {
	case barrier.FreeJoint:
		c.say("Fittings pass forces in three directions and no moment; load shared by clamping moments does not count.")
	case barrier.GrippedJoint:
		c.say("Fittings are gripped: they pass forces in three directions and twist about the rail, up to the tested slip moment.")
	case barrier.RigidJoint:
		c.say("Fittings are rigid: they pass forces and moments in all directions, up to the tested moment.")
	default:
		c.say("Fittings pass forces in three directions and moments by their stiffness: " + jointWords(joint, c.o.Units) + ".")
	}
	c.corners()
	if note := c.screwNote(); note != "" {
		c.say(note)
	}
	c.saving()
	if held := c.spinWords(); held != "" {
		c.say("Each continuous piece of rail that no fitting grips is held against spinning about its own axis at one place, without any couple on it: " + held + ".")
	}
}

// corners says what the fittings at corners pass.
func (c *run) corners() {
	if len(c.d.Run.Legs) < 2 {
		return
	}
	if joint := c.models[0].layout.Corner; joint.Stiffness != [3]float64{} {
		c.say("At a corner the rails of both legs end at the post: corner fittings pass forces, and moments to the post by their stiffness (" + jointWords(joint, c.o.Units) + "), up to the tested value.")
		return
	}
	c.say("At a corner the rails of both legs end at the post: corner fittings pass forces in three directions and no moment.")
}

// walls says what the ends of the run are.
func (c *run) walls() {
	if c.d.Run.Start.Wall || c.d.Run.End.Wall {
		c.say("A wall counts as a support that does not give, for each rail on its own.")
	}
	if !c.d.LeaveOut.Base && (c.d.Run.Start.Fixing.Pull != nil || c.d.Run.End.Fixing.Pull != nil) {
		c.say("What pushes a rail onto its wall is held against what the fixing resists of a pull.")
	}
	if c.piece != nil {
		c.say(fmt.Sprintf("No post of this run is a free end, so a piece of three posts with open ends and bays of %s is checked too, as %s tests it; its checks are named test piece.", c.place(longestBay(c.d, false)), c.piece.standard))
		if c.d.PostMembers != nil {
			c.say("The posts of the test piece have the weakest section that was measured, on feet and fittings as the file tells of new ones.")
		}
	}
}

// spinWords says where spins are held, shortened on a long run.
func (c *run) spinWords() string {
	held := c.models[0].analysis.Frame.Held
	const most = 4
	text := ""
	for i, h := range held {
		if i == most {
			return text + fmt.Sprintf("; and %d more pieces at their first post", len(held)-most)
		}
		if i > 0 {
			text += "; "
		}
		text += h.In(c.o.Units)
	}
	return text
}

func (c *run) say(text string) {
	if !slices.Contains(c.out.Assumptions, text) {
		c.out.Assumptions = append(c.out.Assumptions, text)
	}
}

// sayBent says how second order was run.
func (c *run) sayBent() {
	if !c.isBent() {
		return
	}
	c.say(fmt.Sprintf("Where 1/(1 - N/Ncr) is above %.2f, or the frame raises a check by more than it and by more than %.2f, the frame is run in second order instead, and its state judged as it is. Placements are not searched in second order: those run are the worst by that bound, by the bound held to %.2f, in first order, and for compression, of a rail those with what may press its posts besides, and of loads along the run those at its two ends.", amplifyTo, amplifyFrom, amplifyTo))
	const askew = "in the adverse direction in every combination, on the whole stiffness; pressed rails run askew by as much, which no clause asks for. Bow imperfections of members are not in it: member buckling is within the interaction, whose strength in compression stays on the critical force of the bound."
	switch c.d.Basis {
	case loads.BasisAS:
		c.say("In second order the frame is out of true by 0.002, as notional forces of 0.002 of the vertical ones (AS 4100 3.2.4, from memory), " + askew)
		return
	case loads.BasisCSA:
		c.say("In second order the frame is out of true by 0.005, as notional loads of 0.005 of the gravity loads (CSA S16 8.4.1, from memory), " + askew)
		return
	case loads.BasisEN:
		c.say("In second order the frame is out of true by φ = 1/200 in the adverse direction, as forces φN (EN 1993-1-1 5.3.2(3) with αh = αm = 1; from memory), also where 5.3.2(4) would leave that out; pressed rails run askew by as much, all one way and turn and turn about, which no clause asks for. Bow imperfections of members are not in it: member buckling is a check of its own.")
		return
	}
	c.say("In second order strength is found with 0.8 of every stiffness, that of feet and joints too, under α times the loads, divided by α (AISC 360 C2.1, C2.3), and notional loads of 0.003 of the vertical ones, 0.002 and 0.001 in place of τb (C2.2b, C2.3), in the adverse direction in every combination; pressed rails run askew by as much, which no clause asks for; clauses from memory. Movements and first yield keep the whole stiffness. Compressive strength stays on the critical force of the bound.")
}
