package check

import (
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// Standing returns the layouts of a definition that count in its verdict, with feet of one stiffness,
// N·m/rad: one for each reading of its splices, with the joints that a tested value proves.
func Standing(d *barrier.Definition, foot float64) []barrier.Layout {
	var out []barrier.Layout
	for _, s := range spliceModels(d) {
		out = append(out, layoutOf(d, foot, s))
	}
	return out
}

// Trust refuses a solved load case one of whose residuals, plain numbers, is more than 1e-8:
// *UntrustedError.
func Trust(stiffness, equilibrium float64) error { return trust(0, stiffness, equilibrium) }

// MovementLimit is the tightest limit on the movement across at one place.
type MovementLimit struct {
	Value      float64 // m
	Clause     string
	Provenance string // public, memory, derived, common-practice, or "the user's"
}

// LimitUnder returns the limit on the movement across where a test load stands, under that load; nil
// for none. A limit of a span is from its chord and no limit here.
func LimitUnder(d *barrier.Definition, p *barrier.ProofLoad) *MovementLimit {
	l := newLimits(d)
	if l.none {
		return nil
	}
	action := &analysis.Action{}
	if s := p.Schedule; s != nil {
		action.Schedule, action.Name = s, s.Name+" "+p.Action.Name
		i := slices.IndexFunc(d.Loads, func(l barrier.Load) bool { return l.Schedule != nil && l.Schedule.Name == s.Name })
		if i >= 0 {
			action.Schedule = d.Loads[i].Schedule // whose limits the file is judged by
		} else {
			for k := range s.Limits {
				l.add(codeLimit(&s.Limits[k], s))
			}
		}
	}
	bounds := slices.Clone(l.total)
	if p.Post >= 0 {
		bounds = append(bounds, l.post...)
	}
	for _, b := range l.some {
		if !b.vertical && b.of != loads.LimitSpan && (p.Post >= 0 || b.of != loads.LimitPost) && b.only(action) {
			bounds = append(bounds, b)
		}
	}
	tightest := l.tightest(smallestBay(d, p), bounds...)
	if tightest == nil {
		return nil
	}
	return &MovementLimit{tightest.value, tightest.clause, tightest.provenance}
}

// smallestBay returns the length of the loaded bay, m, or of the smaller bay beside the loaded post:
// by a rule it has the tighter limit.
func smallestBay(d *barrier.Definition, p *barrier.ProofLoad) float64 {
	if p.Post < 0 {
		return d.BayLength(p.Bay)
	}
	at := d.Run.PostSupport(p.Post)
	least := 0.0
	for bay := max(at-1, 0); bay <= min(at, len(d.Supports())-2); bay++ {
		if length := d.BayLength(bay); !d.Run.IsGap(bay) && (least == 0 || length < least) {
			least = length
		}
	}
	return least
}
