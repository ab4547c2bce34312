package analysis

import (
	"math"
	"slices"

	"example.com/stanchion/barrier"
)

// IsMirrored reports whether the barrier and what may act on it are alike seen from both of its
// ends: what a search finds in an element it finds in the one as far from the other end too. Of
// barriers with a survey, legs, walls, gaps, braces or infill, and of loads that act off their rails, on posts, at one place or
// everywhere, it reports false.
func (a *Analysis) IsMirrored() bool {
	d := a.Definition
	run := &d.Run
	if d.Survey != nil { // posts, feet and fittings differ
		return false
	}
	if len(run.Legs) > 0 || len(run.Gaps) > 0 || run.Start.Wall || run.End.Wall || len(d.Braces) > 0 || d.Infill.Kind != barrier.NoInfill {
		return false
	}
	ends := run.Posts[0] + run.Posts[len(run.Posts)-1]
	if math.Abs(run.Overhang[0]-run.Overhang[1]) > alikeFromBothEnds || !isMirroredAbout(ends, run.Posts) {
		return false
	}
	for i := range a.Frame.Layout.Rails {
		if !isMirroredAbout(ends, a.Frame.Layout.Rails[i].Splices) {
			return false
		}
	}
	return !slices.ContainsFunc(a.Actions, func(act *Action) bool { return !act.isMirrored() })
}

// alikeFromBothEnds is how far a place may be from its mirror image, m: rounding.
const alikeFromBothEnds = 1e-12

// isMirroredAbout reports whether ascending places are alike from both ends of a length, given
// the sum of the places of its ends.
func isMirroredAbout(ends float64, x []float64) bool {
	for i := range x {
		if math.Abs(x[i]+x[len(x)-1-i]-ends) > alikeFromBothEnds*math.Max(1, math.Abs(ends)) {
			return false
		}
	}
	return true
}

// isMirrored reports whether an action stands on whole rails alone, and may point along the run one
// way where it may point the other.
func (a *Action) isMirrored() bool {
	if a.Field != nil || a.Posts || a.At != nil || a.isOffAxis() {
		return false
	}
	along := -1
	for d, b := range a.basis {
		switch {
		case b[0] == 0:
		case b[1] != 0 || b[2] != 0:
			return false
		default:
			along = d
		}
	}
	if along < 0 {
		return true
	}
	return !slices.ContainsFunc(a.fixed, func(n [3]float64) bool {
		n[along] = -n[along]
		return !slices.ContainsFunc(a.fixed, func(m [3]float64) bool {
			return math.Abs(m[0]-n[0])+math.Abs(m[1]-n[1])+math.Abs(m[2]-n[2]) < alikeFromBothEnds
		})
	})
}

// RailOfTwins returns a rail to be searched for its worst: of a mirrored barrier the members up to its middle, for
// those beyond have the same, and of two that tie the first is told.
func (a *Analysis) RailOfTwins(rail int) *Element {
	if a.IsMirrored() {
		return a.Rail(rail).FirstHalf()
	}
	return a.Rail(rail)
}

// FirstHalf returns the members of an element up to its middle, for itself and for the other half.
func (e *Element) FirstHalf() *Element {
	half := &Element{Probes: e.Probes[:(len(e.Probes)+1)/2], twinned: true}
	if n := len(e.Probes); n%2 == 1 {
		half.middle = e.Probes[n/2]
	}
	return half
}
