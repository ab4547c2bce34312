package check

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
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
	slices.SortStableFunc(order, func(a, b int) int { return -compare(d.Rails[a].Height, d.Rails[b].Height) })
	var out []opening
	for i := range len(order) - 1 {
		hi, lo := &d.Rails[order[i]], &d.Rails[order[i+1]]
		out = append(out, opening{fmt.Sprintf("between rail %s and rail %s", hi.Name, lo.Name), hi.Height - hi.Ring.OD/2 - lo.Height - lo.Ring.OD/2, true})
	}
	low := &d.Rails[order[len(order)-1]]
	under := low.Height - low.Ring.OD/2
	switch t := d.Run.ToePlate; t.State {
	case "given":
		out = append(out, opening{"between rail " + low.Name + " and the toe plate", under - t.Gap - t.Height, true})
	case "none":
		out = append(out, opening{"between rail " + low.Name + " and the walking surface", under, true})
	default:
		out = append(out, opening{"below rail " + low.Name, under, false})
	}
	return out
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
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

// geometryRow judges one rule; it does not apply where the barrier has nothing
// of the kind.
func geometryRow(d *barrier.Definition, r *loads.GeometryRule) (GeometryRow, bool) {
	row := GeometryRow{Rule: r.Text, Standard: r.Standard + " " + r.Clause, Required: r.Value * 1e3, Unit: "mm", Provenance: r.Provenance}
	judge := func(found float64, holds bool, note string) (GeometryRow, bool) {
		row.Found, row.Note = found*1e3, note
		switch {
		case holds:
			row.Status = Pass
		case r.Binding():
			row.Status = Fail
		default:
			row.Status = Warned
			row.Note = join(note, r.When)
			if r.Preferred {
				row.Note = join(row.Note, "preferred, not required")
			}
		}
		return row, true
	}
	unknown := func(found float64, note string) (GeometryRow, bool) {
		row.Found, row.Note, row.Status = found*1e3, note, Unchecked
		return row, true
	}
	const slack = 1e-9
	toe := d.Run.ToePlate
	switch r.Kind {
	case loads.MinHeight:
		top := &d.Rails[analysis.Highest(d)]
		found := top.Height + top.Ring.OD/2
		return judge(found, found >= r.Value-slack, "top of rail "+top.Name)
	case loads.MaxGap, loads.MaxSphere:
		all := openings(d)
		largest := slices.MaxFunc(all, func(a, b opening) int { return compare(a.clear, b.clear) })
		if holds := largest.clear <= r.Value+slack; holds || largest.known {
			return judge(largest.clear, holds, "largest opening, "+largest.between)
		}
		for _, o := range all {
			if o.known && o.clear > r.Value+slack {
				return judge(o.clear, false, o.between)
			}
		}
		return unknown(largest.clear, "the toe plate that is not mentioned must close the opening "+largest.between)
	case loads.MinToeBoard:
		switch toe.State {
		case "given":
			return judge(toe.Height, toe.Height >= r.Value-slack, "height of the toe plate")
		case "none":
			return judge(0, false, "no toe plate")
		}
		all := openings(d)
		return unknown(all[len(all)-1].clear, "a toe plate is not mentioned; it must close the opening "+all[len(all)-1].between)
	case loads.MaxToeGap:
		if toe.State != "given" {
			return row, false
		}
		return judge(toe.Gap, toe.Gap <= r.Value+slack, "gap under the toe plate")
	case loads.MaxSpacing:
		bay := 0.0
		for i := range len(d.Run.Posts) - 1 {
			bay = math.Max(bay, d.Run.Posts[i+1]-d.Run.Posts[i])
		}
		return judge(bay, bay <= r.Value+slack, "largest bay")
	}
	return row, false // interruptions of the handrail: this barrier has none
}
