package check

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/loads"
)

// opening is one clear height of the barrier, m. Known is false where a toe plate
// that the definition does not mention decides it.
type opening struct {
	between string
	clear   float64
	known   bool
}

// openings returns the clear heights between rails and below the lowest, from
// the top down.
func openings(d *barrier.Definition) []opening {
	order := make([]int, len(d.Rails))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(d.Rails[b].Height, d.Rails[a].Height) })
	var out []opening
	for i := range len(order) - 1 {
		hi, lo := &d.Rails[order[i]], &d.Rails[order[i+1]]
		out = append(out, opening{fmt.Sprintf("between rail %s and rail %s", hi.Name, lo.Name), hi.Height - hi.Ring.OD/2 - lo.Height - lo.Ring.OD/2, true})
	}
	low := &d.Rails[order[len(order)-1]]
	under := low.Height - low.Ring.OD/2
	switch t := d.Run.ToePlate; t.State {
	case barrier.ToePlateGiven:
		out = append(out, opening{"between rail " + low.Name + " and the toe plate", under - t.Gap - t.Height, true}, opening{"under the toe plate", t.Gap, true})
	case barrier.NoToePlate:
		out = append(out, opening{"between rail " + low.Name + " and the walking surface", under, true})
	default:
		out = append(out, opening{"below rail " + low.Name, under, false})
	}
	return out
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
		v = ruleHeight(d, r.Value, atLeast)
	case loads.MaxHeight:
		v = ruleHeight(d, r.Value, atMost)
	case loads.MaxGap, loads.MaxSphere:
		v = ruleOpenings(d, r.Value)
	case loads.MinToeBoard:
		v = ruleToePlate(d, r.Value)
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
		return row, false
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
// below.
func ruleHeight(d *barrier.Definition, height float64, holds func(found, height float64) bool) ruled {
	found := d.TopOfRail()
	return ruled{found: found, holds: holds(found, height), note: "top of rail " + d.Rails[d.Highest()].Name}
}

// ruleOpenings allows no opening above a size. A toe plate that is not mentioned
// leaves it open only where no other opening fails.
func ruleOpenings(d *barrier.Definition, allowed float64) ruled {
	all := openings(d)
	largest := slices.MaxFunc(all, func(a, b opening) int { return cmp.Compare(a.clear, b.clear) })
	if holds := atMost(largest.clear, allowed); holds || largest.known {
		return ruled{found: largest.clear, holds: holds, note: "largest opening, " + largest.between}
	}
	for _, o := range all {
		if o.known && !atMost(o.clear, allowed) {
			return ruled{found: o.clear, note: o.between}
		}
	}
	return ruled{found: largest.clear, unknown: true, note: "the toe plate that is not mentioned must close the opening " + largest.between}
}

// ruleToePlate asks for a toe plate of a height or above.
func ruleToePlate(d *barrier.Definition, required float64) ruled {
	switch toe := d.Run.ToePlate; toe.State {
	case barrier.ToePlateGiven:
		return ruled{found: toe.Height, holds: atLeast(toe.Height, required), note: "height of the toe plate"}
	case barrier.NoToePlate:
		return ruled{note: "no toe plate"}
	}
	all := openings(d)
	lowest := all[len(all)-1]
	return ruled{found: lowest.clear, unknown: true, note: "a toe plate is not mentioned; it must close the opening " + lowest.between}
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
		clear := g.To - g.From - d.Post.Ring.OD
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
