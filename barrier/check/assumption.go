package check

import (
	"fmt"
	"math"
	"slices"

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
			text += fmt.Sprintf(" The deflection limit holds down to %s kNm/rad.", stiffness(*c.least))
		}
		c.say(text)
	}
	c.out.Assumptions = append(c.out.Assumptions, c.d.Assumptions...)
	for _, n := range c.notes {
		c.say(n)
	}
	switch {
	case len(base) > 0:
	case c.least != nil:
		c.say("The stiffness of the feet is not given: strength is checked with rigid feet and with the softest that meet the deflection limit; the worse stands.")
	default:
		c.say("The stiffness of the feet is not given: strength is checked with rigid feet alone.")
	}
	c.say(fmt.Sprintf("Each post is held at z = %s m: no translation and no twist there.", quantity.Fix(c.d.Post.Base.Level, 3)))
	c.say("Fittings pass forces in three directions and no moment; load shared by clamping moments does not count.")
	c.say(fmt.Sprintf("Each continuous piece of rail is held against spinning about its own axis at one post, without any couple on it: %s.", c.spinWords()))
	c.say("Splices pass forces and no moment.")
	c.say("Own weight of posts and rails always acts; loads of the list act one at a time with it.")
	uls := loads.CombinationsEN().ULS
	c.say(fmt.Sprintf("Partial factors of %s: %.2f on unfavourable, %.2f on favourable permanent actions, %.2f on a variable action unless its schedule has its own; %.2f on steel (γM0), recommended values.",
		uls.Name, uls.PermanentUnfavourable, uls.PermanentFavourable, uls.Leading, gammaM0))
	c.say("Movements are elastic, at tube axes, under the variable load alone: permanent actions excluded, foot and joint rotation included.")
	c.say("First yield puts all stresses at one point of the section: cautious.")
	c.say("Bending deformation only: no shear flexibility.")
	if n := c.worst.second; n <= negligibleAxial {
		c.say(fmt.Sprintf("Member buckling is left alone: NEd/Ncr is at most %s, not above %.2f (EN 1993-1-1 6.3.1.2(4)); Ncr of a post is a lower bound with its foot's stiffness.", quantity.Fix(math.Ceil(n*1e4)/1e4, 4), negligibleAxial))
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
		text += h
	}
	return text
}

func (c *run) say(text string) {
	if !slices.Contains(c.out.Assumptions, text) {
		c.out.Assumptions = append(c.out.Assumptions, text)
	}
}
