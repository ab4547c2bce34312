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

// PreCheck is what caution C1 says; it stands in every output.
const PreCheck = "This is a pre-check. A qualified engineer must verify it; the local code and licensed practice come first."

// cautionTexts are the cautions with stable ids, in order.
var cautionTexts = [...]Caution{
	{ID: "C1", Text: PreCheck},
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
// brings.
func (c *run) cautions() {
	for _, caution := range cautionTexts {
		switch caution.ID {
		case "C1", "C2": // of every barrier; the formulas of the resistances are from memory
			caution.Triggered = true
		case "C4":
			if c.d.Infill.Stands() {
				caution.Text = "No sheeting, banners, nets or signs beside the infill that is entered: they multiply the wind."
			}
		case "C5":
			caution.Triggered = !c.d.LeaveOut.Base && c.d.Post.Base.Kind != barrier.NoBase
		case "C6":
			caution.Triggered = c.hasTested() || c.d.Fitting.Screw != nil || c.isAged()
		case "C9":
			if len(c.out.Geometry) == 0 && !c.d.LeaveOut.Geometry {
				caution.Text, caution.Triggered = "Geometry is not checked: no schedule of the file has a rule for height, openings, toe boards or climbing.", true
			}
		case "C10":
			caution.Triggered = c.isAged()
		case "C11":
			if caution.Triggered = c.ownLoadBelowCode(); !caution.Triggered {
				continue // it says something of this barrier
			}
		}
		c.out.Cautions = append(c.out.Cautions, caution)
	}
	seen := map[string]bool{}
	for i, texts := range [...][]string{c.ownCautions(), c.foundCautions()} {
		for _, text := range texts {
			if !seen[text] {
				c.out.Cautions = append(c.out.Cautions, Caution{Text: text, Triggered: true, OfResult: i == 1})
			}
			seen[text] = true
		}
	}
}

// ownLoadBelowCode reports whether an own line or area load, or a point load on the same
// parts, is below that of a schedule in the same list. Loads that press down or lift are
// compared among themselves.
func (c *run) ownLoadBelowCode() bool {
	for i := range c.out.Loads {
		own := &c.out.Loads[i]
		if own.Provenance != usersOwn || own.Value == nil {
			continue
		}
		for k := range c.out.Loads {
			code := &c.out.Loads[k]
			if code.Provenance == usersOwn || code.Kind != own.Kind || code.Stands == "" || code.Value == nil || isUpright(code) != isUpright(own) {
				continue
			}
			if (own.Kind != "point" || own.Stands == code.Stands) && *own.Value < *code.Value {
				return true
			}
		}
	}
	return false
}

// isUpright reports whether a load points down or up alone.
func isUpright(row *LoadRow) bool {
	return row.Direction == loads.Down || row.Direction == loads.Up || row.Direction == loads.DownCone
}

// actAtOnce reports whether two loads of the list act together: joined, or in a combination of
// the user's own.
func (c *run) actAtOnce(i, k int) bool {
	return slices.Contains(c.d.Loads[i].With, k) || slices.ContainsFunc(c.d.Combine.Own, func(own barrier.OwnCombination) bool {
		return own.Factors[i] != 0 && own.Factors[k] != 0
	})
}

// natureCautions are those of loads of nature: wind that is left out, or that no load of people
// or no ice is joined to.
func (c *run) natureCautions() []string {
	var out []string
	winds, people := c.loadsOf(true), c.loadsOf(false)
	if c.d.Infill.Stands() && len(winds) == 0 {
		out = append(out, "The barrier has infill and no wind is among its loads: nothing here says that it stands in wind.")
	}
	for _, w := range winds {
		for _, p := range people {
			if w != p && !c.actAtOnce(w, p) {
				with := "EN 1990 combines them"
				if c.d.Basis != loads.BasisEN {
					with = "the basis may combine them"
				}
				out = append(out, c.apart(p, w, with))
			}
		}
		for i := range c.d.Loads {
			if own := c.d.Loads[i].Own; own != nil && own.Kind == barrier.OwnIce && !c.actAtOnce(w, i) {
				out = append(out, c.apart(i, w, "wind on ice is part of what ice does (ISO 12494, from memory)"))
			}
		}
	}
	return out
}

// apart says of two loads that they are not joined, and why that is to be thought over.
func (c *run) apart(i, k int, why string) string {
	return fmt.Sprintf("Loads %s and %s do not act together here, for neither names the other in with: %s where they may occur at once.", c.d.Loads[i].Name, c.d.Loads[k].Name, why)
}

// loadsOf returns the entries of the list that bring wind, or those that bring loads of people.
// A schedule may bring both, and says itself whether they act together.
func (c *run) loadsOf(wind bool) []int {
	var out []int
	for i := range c.d.Loads {
		l, brings := &c.d.Loads[i], false
		switch {
		case l.Own != nil && wind:
			brings = l.Own.Kind == barrier.OwnWind
		case l.Own != nil:
			brings = l.Own.Kind == barrier.OwnLine || l.Own.Kind == barrier.OwnPoint || l.Own.Kind == barrier.OwnArea
		default:
			brings = slices.ContainsFunc(l.Schedule.Actions, func(a loads.Action) bool { return (a.Kind == loads.WindPressure) == wind })
		}
		if brings {
			out = append(out, i)
		}
	}
	return out
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

// ownCautions are those that the definition and its schedules bring.
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
		out = append(out, scheduleCautions(&c.d.Loads[i])...)
	}
	out = append(out, c.natureCautions()...)
	out = append(out, c.wornCautions()...)
	for _, g := range openGaps(c.d) {
		out = append(out, "The run has a gap "+c.stretchWords(g.From, g.To)+": nothing here says that no guard is needed there.")
	}
	return out
}

// foundCautions are those that the result brings.
func (c *run) foundCautions() []string {
	var out []string
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
			if g.ref.Names(r) && r.Provenance == "memory" {
				out = append(out, fmt.Sprintf("The governing %s check (%s of %s) rests on a value from memory.", g.what, r.ID, r.Element))
			}
		}
	}
	if k := amplificationAt(c.worst.second); k > 1 && !math.IsInf(k, 1) {
		out = append(out, fmt.Sprintf("Second order: the compression in %s reaches %s of its critical force. Moments, movements and base actions include 1/(1 - N/Ncr) of their own load where that is above %.2f.", c.mostPressed(), quantity.Fix(c.worst.second, 3), amplifyFrom))
	}
	return append(out, c.bentCautions()...)
}

// fixingClause is the clause whose factor on fixings a schedule warns is not applied.
const fixingClause = "BS 6180:1999 6.5"

// scheduleCautions are those of the schedule of a load, without the one that its request for a
// factor on fixings answers.
func scheduleCautions(l *barrier.Load) []string {
	if l.Schedule == nil {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(l.Schedule.Cautions), func(text string) bool {
		return l.Fixing > 1 && strings.Contains(text, fixingClause)
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
