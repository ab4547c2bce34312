package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// cautionTexts are the cautions with stable ids, in order.
var cautionTexts = [...]Caution{
	{ID: "C1", Text: "This is a pre-check. A qualified engineer must verify it; the local code and licensed practice come first."},
	{ID: "C2", Text: "Loads and values marked memory were not read in the standard: read its current text before relying on them."},
	{ID: "C3", Text: "Not a vehicle, crash or crowd-control barrier, and no anchor for fall arrest, ropes, hoists, pipes or cables."},
	{ID: "C4", Text: "No sheeting, banners, nets or signs unless entered as infill: they multiply the wind."},
	{ID: "C5", Text: "Substrate, slab edge, anchors in concrete, welds and ground are checked only where listed."},
	{ID: "C6", Text: "Fitting values hold for the tested tube, wall, material, screw torque and coating; record the torque and recheck it after first loading and at inspection."},
	{ID: "C7", Text: "Impact and fatigue (wind or machine vibration) are not checked."},
	{ID: "C8", Text: "Slip and settlement of joints add to the elastic deflection."},
	{ID: "C9", Text: "Geometry, climbability, toe boards and openings are checked only for the rules listed."},
	{ID: "C10", Text: "Corrosion in crevices, under fittings and at the ground line is outside the method."},
	{ID: "C11", Text: "The user's own load is below the listed code load for the stated occupancy."},
}

// cautions fills the cautions: those with ids, then those that this barrier
// brings. The first always counts as triggered.
func (c *run) cautions() {
	for _, caution := range cautionTexts {
		switch caution.ID {
		case "C1":
			caution.Triggered = true
		case "C2":
			caution.Triggered = slices.ContainsFunc(c.out.Sources, func(s string) bool { return strings.HasSuffix(s, "(memory)") }) ||
				slices.ContainsFunc(c.out.Checks, func(r CheckRow) bool { return r.Provenance == "memory" }) ||
				slices.ContainsFunc(c.out.Geometry, func(g GeometryRow) bool { return g.Provenance == "memory" })
		case "C6":
			caution.Triggered = c.d.Fitting.Values != ""
		case "C11":
			caution.Triggered = c.ownLoadBelowCode()
		}
		c.out.Cautions = append(c.out.Cautions, caution)
	}
	for _, text := range c.ownCautions() {
		c.out.Cautions = append(c.out.Cautions, Caution{Text: text, Triggered: true})
	}
}

// ownLoadBelowCode reports whether an own line load along a rail is below the
// line load of a schedule in the same list.
func (c *run) ownLoadBelowCode() bool {
	for _, own := range c.actions {
		for _, code := range c.actions {
			if own.Schedule == nil && code.Schedule != nil && !own.Point && !code.Point && own.Value < code.Value {
				return true
			}
		}
	}
	return false
}

// ownLoadsOnly reports whether no schedule stands among the loads.
func (c *run) ownLoadsOnly() bool {
	return !slices.ContainsFunc(c.d.Loads, func(l barrier.Load) bool { return l.Schedule != nil })
}

// ownCautions are those that the definition, its schedules and its result bring.
func (c *run) ownCautions() []string {
	out := slices.Clone(c.d.Cautions)
	if c.ownLoadsOnly() {
		out = append(out, "The loads are the user's own: nothing here says that they are as large as a code asks for.")
	}
	for i := range c.d.Loads {
		if s := c.d.Loads[i].Schedule; s != nil {
			out = append(out, s.Cautions...)
		}
	}
	for _, g := range []struct {
		what string
		ref  CheckRef
	}{{"strength", c.out.Governing.Strength}, {"deflection", c.out.Governing.Deflection}} {
		for i := range c.out.Checks {
			r := &c.out.Checks[i]
			if r.ID == g.ref.ID && r.Element == g.ref.Element && r.Provenance == "memory" {
				out = append(out, fmt.Sprintf("The governing %s check (%s of %s) rests on a value from memory.", g.what, r.ID, r.Element))
			}
		}
	}
	if c.amplified() {
		out = append(out, fmt.Sprintf("Second order: the axial force raises moments by up to 1/(1 - %s); moments, movements and base moments include it where it is above 1.01.", quantity.Fix(c.merged().second, 3)))
	}
	seen := map[string]bool{}
	return slices.DeleteFunc(out, func(s string) bool {
		was := seen[s]
		seen[s] = true
		return was
	})
}

func (c *run) amplified() bool {
	n := c.merged().second
	return n < 1 && 1/(1-n) > amplifyFrom
}

// words fills what is said: cautions, assumptions, inputs and sources.
func (c *run) words() {
	c.sources()
	c.cautions()
	c.assumptions()
	for _, in := range c.d.Inputs {
		c.out.Inputs = append(c.out.Inputs, Input{in.Path, in.Text})
	}
}

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
	c.say("Partial factors of EN 1990 6.10: 1.35 on unfavourable, 1.00 on favourable permanent actions, 1.50 on a variable action unless its schedule has its own; 1.00 on steel (γM0), recommended values.")
	c.say("Movements are elastic, at tube axes, under the variable load alone: permanent actions excluded, foot and joint rotation included.")
	c.say("First yield puts all stresses at one point of the section: cautious.")
	c.say("Bending deformation only: no shear flexibility.")
	if n := c.merged().second; n <= negligibleAxial {
		c.say(fmt.Sprintf("Member buckling is left alone: NEd/Ncr is at most %s, not above 0.04 (EN 1993-1-1 6.3.1.2(4)); Ncr of a post is a lower bound with its foot's stiffness.", quantity.Fix(math.Ceil(n*1e4)/1e4, 4)))
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

// sources lists where the values come from, each once.
func (c *run) sources() {
	add := func(text string) {
		if !slices.Contains(c.out.Sources, text) {
			c.out.Sources = append(c.out.Sources, text)
		}
	}
	tubeAndGrade := func(m *barrier.Member) {
		if m.Tube.Source != "" {
			add(fmt.Sprintf("tube %s: %s (%s)", m.Name, m.Tube.Source, m.Tube.Provenance))
		} else {
			add(fmt.Sprintf("tube %s: the definition", m.Name))
		}
		if m.Grade.Source != "" {
			add(fmt.Sprintf("grade %s: %s (%s)", m.Grade.Name, m.Grade.Source, m.Grade.Provenance))
		} else {
			add("grade: the definition")
		}
	}
	tubeAndGrade(&c.d.Post.Member)
	for i := range c.d.Rails {
		tubeAndGrade(&c.d.Rails[i].Member)
	}
	for _, a := range c.actions {
		add(fmt.Sprintf("load %s: %s; %s (%s)", a.Name, a.Clause, a.Source, a.Provenance))
	}
	for i := range c.d.Loads {
		if s := c.d.Loads[i].Schedule; s != nil && s.Limit != nil {
			add(fmt.Sprintf("limit %s mm: %s %s; %s (%s)", quantity.Fix(s.Limit.Deflection*1e3, 0), s.Limit.Standard, s.Limit.Clause, s.Limit.Source, s.Limit.Provenance))
		}
	}
	for _, k := range []loads.Combination{loads.CombinationsEN().ULS, loads.CombinationsEN().SLS} {
		add(fmt.Sprintf("combination %s (%s): %s %s; %s (%s)", k.Name, k.LimitState, k.Standard, k.Clause, k.Source, k.Provenance))
	}
	add("resistances: EN 1993-1-1:2005 with AC:2009, clauses as listed, formulas and γM0 from memory, held against published worked examples in the tests (memory)")
	add("section properties: exact formulas of the circular ring (derived)")
}
