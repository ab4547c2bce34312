package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// cautionTexts are the cautions with stable ids, in order.
var cautionTexts = [...]Caution{
	{ID: "C1", Text: "This is a pre-check. A qualified engineer must verify it; the local code and licensed practice come first."},
	{ID: "C2", Text: "Loads and values marked memory were not read in the standard: read its current text before relying on them."},
	{ID: "C3", Text: "Not a vehicle, crash or crowd-control barrier, and no anchor for fall arrest, ropes, hoists, pipes or cables."},
	{ID: "C4", Text: "No sheeting, banners, nets or signs unless entered as infill, which is not supported yet: they multiply the wind."},
	{ID: "C5", Text: "Substrate, slab edge, anchors in concrete, welds and ground are checked only where listed."},
	{ID: "C6", Text: "Fitting values hold for the tested tube, wall, material, screw torque and coating; record the torque and recheck it after first loading and at inspection."},
	{ID: "C7", Text: "Impact and fatigue (wind or machine vibration) are not checked."},
	{ID: "C8", Text: "Slip and settlement of joints add to the elastic deflection."},
	{ID: "C9", Text: "Geometry, climbability, toe boards and openings are checked only for the rules listed."},
	{ID: "C10", Text: "Corrosion in crevices, under fittings and at the ground line is outside the method."},
	{ID: "C11", Text: "The user's own load is below the listed code load for the stated occupancy."},
}

// cautions fills the cautions: those with ids, then those that this barrier
// brings.
func (c *run) cautions() {
	for _, caution := range cautionTexts {
		switch caution.ID {
		case "C1", "C2": // of every barrier; the formulas of the resistances are from memory
			caution.Triggered = true
		case "C6":
			caution.Triggered = c.d.Fitting.Values != "" || c.d.Fitting.Corner.Values != "" ||
				slices.ContainsFunc(c.d.Rails, func(r barrier.Rail) bool { return r.SpliceValues != "" })
		case "C11":
			if caution.Triggered = c.ownLoadBelowCode(); !caution.Triggered {
				continue // it says something of this barrier
			}
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

// mostPressed names the member whose compression is the largest part of its critical
// force.
func (c *run) mostPressed() string {
	name, most := "", -1.0
	for i := range c.worst.posts {
		if n := c.worst.posts[i].second; n > most {
			name, most = postName(i), n
		}
	}
	for i := range c.worst.rails {
		if n := c.worst.rails[i].second; n > most {
			name, most = "rail "+c.d.Rails[i].Name, n
		}
	}
	return name
}

// ownLoadsOnly reports whether no schedule stands among the loads.
func (c *run) ownLoadsOnly() bool {
	return !slices.ContainsFunc(c.d.Loads, func(l barrier.Load) bool { return l.Schedule != nil })
}

// ownCautions are those that the definition, its schedules and its result bring.
func (c *run) ownCautions() []string {
	var out []string
	for _, said := range c.d.Cautions {
		out = append(out, said.In(c.o.Units))
	}
	if c.ownLoadsOnly() {
		out = append(out, "The loads are the user's own: nothing here says that they are as large as a code asks for.")
	}
	if len(c.d.Braces) > 0 {
		out = append(out, "Braces count as holding without give or play, pulled and pressed alike: what their fittings slip or their feet yield puts load back on the posts.")
	}
	for i := range c.d.Loads {
		if s := c.d.Loads[i].Schedule; s != nil {
			out = append(out, s.Cautions...)
		}
	}
	for _, g := range openGaps(c.d) {
		out = append(out, "The run has a gap "+c.stretchWords(g.From, g.To)+": nothing here says that no guard is needed there.")
	}
	for i := range c.out.Geometry {
		if g := &c.out.Geometry[i]; g.Status == LeftOut && strings.HasPrefix(g.Note, string(Fail)) {
			out = append(out, "A geometry rule that is left out is broken: "+g.Rule+".")
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
	if k := amplificationAt(c.worst.second); k > 1 && !math.IsInf(k, 1) {
		out = append(out, fmt.Sprintf("Second order: the compression in %s reaches %s of its critical force. Moments, movements and base actions include 1/(1 - N/Ncr) of their own load where that is above %.2f.", c.mostPressed(), quantity.Fix(c.worst.second, 3), amplifyFrom))
	}
	out = append(out, c.bentCautions()...)
	seen := map[string]bool{}
	return slices.DeleteFunc(out, func(s string) bool {
		was := seen[s]
		seen[s] = true
		return was
	})
}

// bentCautions are what second order leaves to be said first.
func (c *run) bentCautions() []string {
	var out []string
	if c.isBent() {
		out = append(out, fmt.Sprintf("Second order: checks whose factor would be above %.2f, or that the frame raises by more than it, rest on a run of the frame under their governing placements, as each says.", amplifyTo))
	}
	if c.fallen {
		out = append(out, fmt.Sprintf("Second order: under loads that the frame was not found to carry, or not run for, base actions are those of first order with no more than %.2f on their moments, and no foot is to be made by them.", amplifyTo))
	}
	return out
}
