package check

import (
	"cmp"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/loads"
)

// opening is one clear opening of the barrier, m: a height between what runs along it, or the
// largest ball that passes the infill. Missing says what the definition does not tell and
// decides it; empty where it is known.
type opening struct {
	between string
	clear   float64
	missing string
}

// strip is what closes a height of the barrier all along it, m above the walking surface.
type strip struct {
	name     string
	from, to float64
}

// openings returns the clear openings from the top down: between rails, below the lowest, and
// through the infill.
func openings(d *barrier.Definition) []opening {
	strips := closedStrips(d)
	var out []opening
	for i := range len(strips) - 1 {
		hi, lo := &strips[i], &strips[i+1]
		out = append(out, opening{"between " + hi.name + " and " + lo.name, hi.from - lo.to, ""})
	}
	low := &strips[len(strips)-1]
	switch t := d.Run.ToePlate; t.State {
	case barrier.ToePlateGiven:
		out = append(out, opening{"under the toe plate", t.Gap, ""})
	case barrier.NoToePlate:
		out = append(out, opening{"between " + low.name + " and the walking surface", low.from, ""})
	default:
		out = append(out, opening{"below " + low.name, low.from, "the toe plate that is not mentioned must close the opening below " + low.name})
	}
	if d.Infill.Stands() {
		out = slices.DeleteFunc(out, func(o opening) bool { return o.clear <= geometrySlack }) // the infill reaches it
		out = append(out, onOverhangs(d)...)
		out = append(out, throughInfill(&d.Infill))
	}
	return out
}

// onOverhangs returns the openings of the overhangs, into which infill does not reach: each as
// high as that between the rails, or as long as the overhang, from the post's face, where that
// is less.
func onOverhangs(d *barrier.Definition) []opening {
	bare := *d
	bare.Infill = barrier.Infill{}
	var out []opening
	for end, name := range barrier.EndNames() {
		long := d.Run.Overhang[end] - d.Post.BuiltOD()/2
		if long <= geometrySlack {
			continue
		}
		for _, o := range openings(&bare) {
			out = append(out, opening{"on the overhang at the " + name + ", " + o.between, min(o.clear, long), o.missing})
		}
	}
	return out
}

// closedStrips returns the rails, the toe plate and the infill from the top down. What lies
// within another, or runs into it, is one with it.
func closedStrips(d *barrier.Definition) []strip {
	var all []strip
	for i := range d.Rails {
		r := &d.Rails[i]
		all = append(all, strip{"rail " + r.Name, r.Height - r.BuiltOD()/2, r.Height + r.BuiltOD()/2})
	}
	if d.Infill.Stands() {
		all = append(all, strip{"the infill", d.Infill.Bottom, d.Infill.Top})
	}
	if t := d.Run.ToePlate; t.State == barrier.ToePlateGiven {
		all = append(all, strip{"the toe plate", t.Gap, t.Gap + t.Height})
	}
	slices.SortStableFunc(all, func(a, b strip) int { return cmp.Compare(b.to, a.to) })
	if !d.Infill.Stands() {
		return all
	}
	merged := all[:1]
	for _, s := range all[1:] {
		last := &merged[len(merged)-1]
		if s.to < last.from-geometrySlack {
			merged = append(merged, s)
		} else if s.from < last.from {
			last.name, last.from = s.name, s.from
		}
	}
	return merged
}

// throughInfill is the opening through the infill itself: none through a sheet.
func throughInfill(f *barrier.Infill) opening {
	through := opening{between: "through the infill"}
	switch {
	case f.Opening != nil:
		through.clear = *f.Opening
	case f.Kind != barrier.SheetInfill:
		through.missing = "the infill is " + string(f.Kind) + " and its opening is not given: infill.opening must say the largest ball that passes it"
	}
	return through
}

// geometry checks the geometry rules of every schedule.
func (c *run) geometry() {
	for i := range c.d.Loads {
		s := c.d.Loads[i].Schedule
		if s == nil {
			continue
		}
		for k := range s.Rules {
			if row, applies := geometryRow(c.d, &s.Rules[k]); applies {
				row.Schedule, row.Occupancy = s.Name, s.Use
				if c.d.LeaveOut.Geometry {
					row.Note = join(string(row.Status)+" if it were judged", row.Note)
					row.Status = LeftOut
				}
				c.out.Geometry = append(c.out.Geometry, row)
			}
		}
	}
}

func join(a, b string) string {
	if b == "" {
		return a
	}
	return a + "; " + b
}

// ruled is what a barrier shows of one geometry rule: what was found, m, whether
// the rule holds, and what the reader needs to know of it.
type ruled struct {
	found   float64
	bound   float64 // that is broken, m, where it is not the rule's first one; 0: that one
	holds   bool
	unknown bool // what decides it is not in the definition
	note    string
}

// geometryRow judges one rule; it does not apply where the barrier has nothing
// of the kind.
func geometryRow(d *barrier.Definition, r *loads.GeometryRule) (row GeometryRow, applies bool) {
	var v ruled
	switch r.Kind {
	case loads.MinHeight:
		v = ruleHeight(d, r, atLeast)
	case loads.MaxHeight:
		v = ruleHeight(d, r, atMost)
	case loads.MaxGap, loads.MaxSphere:
		v = ruleOpenings(d, r.Value)
	case loads.MinToeBoard:
		v = ruleToePlate(d, r.Value, d.Run.ToePlate.Height, "height of the toe plate")
	case loads.MinToeTop:
		v = ruleToePlate(d, r.Value, d.Run.ToePlate.Gap+d.Run.ToePlate.Height, "top edge of the toe plate")
	case loads.MaxToeGap:
		if d.Run.ToePlate.State != barrier.ToePlateGiven {
			return row, false
		}
		v = ruleToeGap(d, r.Value)
	case loads.MaxSpacing:
		v = ruleSpacing(d, r.Value)
	case loads.RailInterruption:
		gaps := openGaps(d)
		if len(gaps) == 0 {
			return row, false
		}
		v = ruleInterruption(d, r, gaps)
	default:
		v = ruled{unknown: true, note: "this program does not judge a rule of this kind: check it by hand"}
	}
	row = GeometryRow{Rule: r.Text, Standard: r.Standard + " " + r.Clause, Required: r.Value * 1e3, Found: v.found * 1e3,
		Unit: "mm", Note: v.note, Provenance: r.Provenance}
	if v.bound != 0 {
		row.Required = v.bound * 1e3
	}
	some, all := d.Run.Slopes()
	switch {
	case v.unknown:
		row.Status = Unchecked
	case all, some && v.holds:
		row.Status = Unchecked
		row.Note = join(row.Note, "the rule is for level runs, and this run has a slope: look up what holds on slopes and stairs")
		if r.Note != "" {
			row.Note = join(row.Note, r.Note)
		}
	case v.holds:
		row.Status = Pass
	case r.Binding():
		row.Status = Fail
		if some {
			row.Note = join(row.Note, "the rule is for level runs, and part of this run is level: its slopes have rules of their own")
		}
	default:
		row.Status = Warned
		row.Note = join(row.Note, r.When)
		if r.Preferred {
			row.Note = join(row.Note, "preferred, not required")
		}
	}
	return row, true
}

// geometrySlack is what a length may miss a rule by: rounding, m.
const geometrySlack = 1e-9

func atLeast(found, required float64) bool { return found >= required-geometrySlack }
func atMost(found, allowed float64) bool   { return found <= allowed+geometrySlack }

// ruleHeight asks for the top of the highest rail at a height or above, or at one or
// below; of a range, for one from its lower to its upper end.
func ruleHeight(d *barrier.Definition, r *loads.GeometryRule, holds func(found, height float64) bool) ruled {
	found := d.TopOfRail()
	v := ruled{found: found, holds: holds(found, r.Value), note: "top of rail " + d.Rails[d.Highest()].Name}
	if r.AtMost != 0 && !atMost(found, r.AtMost) {
		v.holds, v.bound = false, r.AtMost
	}
	return v
}

// ruleOpenings allows no opening above a size. What the definition does not tell leaves it
// open only where no other opening fails.
func ruleOpenings(d *barrier.Definition, allowed float64) ruled {
	all := openings(d)
	largest := slices.MaxFunc(all, func(a, b opening) int { return cmp.Compare(a.clear, b.clear) })
	told := slices.DeleteFunc(slices.Clone(all), func(o opening) bool { return o.missing != "" })
	for _, o := range told {
		if !atMost(o.clear, allowed) {
			if largest.missing == "" {
				o = largest
			}
			note := o.between
			if o == largest {
				note = "largest opening, " + note
			}
			return ruled{found: o.clear, note: note}
		}
	}
	for _, o := range all {
		if o.missing != "" && (o.clear == 0 || !atMost(o.clear, allowed)) {
			return ruled{found: o.clear, unknown: true, note: o.missing}
		}
	}
	return ruled{found: largest.clear, holds: true, note: "largest opening, " + largest.between}
}

// ruleToePlate asks for a toe plate whose measure that is found is so much or more.
func ruleToePlate(d *barrier.Definition, required, found float64, measure string) ruled {
	switch d.Run.ToePlate.State {
	case barrier.ToePlateGiven:
		return ruled{found: found, holds: atLeast(found, required), note: measure}
	case barrier.NoToePlate:
		return ruled{note: "no toe plate"}
	}
	strips := closedStrips(d)
	lowest := strips[len(strips)-1]
	return ruled{found: max(0, lowest.from), unknown: true, note: "a toe plate is not mentioned; it must close the opening below " + lowest.name}
}

// ruleToeGap allows no gap under the toe plate above a size.
func ruleToeGap(d *barrier.Definition, allowed float64) ruled {
	gap := d.Run.ToePlate.Gap
	return ruled{found: gap, holds: atMost(gap, allowed), note: "gap under the toe plate"}
}

// openGaps returns the gaps in which no gate hangs.
func openGaps(d *barrier.Definition) []barrier.Gap {
	return slices.DeleteFunc(slices.Clone(d.Run.Gaps), func(g barrier.Gap) bool { return g.Gate })
}

// ruleInterruption asks for the clear opening of a gap, between the tubes of its posts, from
// one size to another. The widest gap is told.
func ruleInterruption(d *barrier.Definition, r *loads.GeometryRule, gaps []barrier.Gap) ruled {
	v := ruled{holds: true, note: "widest gap, between the tubes of its posts"}
	for _, g := range gaps {
		clear := g.To - g.From - d.Post.BuiltOD()
		v.found = max(v.found, clear)
		v.holds = v.holds && atLeast(clear, r.Value) && (r.AtMost == 0 || atMost(clear, r.AtMost))
	}
	if r.AtMost != 0 && !atMost(v.found, r.AtMost) {
		v.bound = r.AtMost
	}
	return v
}

// ruleSpacing allows no bay above a length.
func ruleSpacing(d *barrier.Definition, allowed float64) ruled {
	bay := longestBay(d, false)
	return ruled{found: bay, holds: atMost(bay, allowed), note: "largest bay"}
}
