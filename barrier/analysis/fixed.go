package analysis

import (
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/solver"
)

// fix lets a point load on rails stand at x, m, alone: a field whose senses are the ways it may
// point, which needs no search. One that is free to turn is placed as any other, everywhere
// along its rail, and so at x too.
func (a *Action) fix(d *barrier.Definition, at *float64) []quantity.Sentence {
	x := *at
	if a.fixed == nil {
		return []quantity.Sentence{quantity.Say("%s stands at x = %s and may turn: it is put wherever it is worst along its rail, which is cautious", a.Name, quantity.Place(x))}
	}
	field := &Field{}
	for _, leg := range a.legsAt(x) {
		for _, before := range a.sidesAt(d, x) {
			for _, way := range a.fixed {
				p := Placement{Action: a, X: x, Leg: leg, Value: a.sizeAt(x), Way: way}
				force := p.Force()
				field.Senses = append(field.Senses, Sense{Words: p.placed, On: func(r *Replayer) solver.Case {
					return r.standing(a, leg, x, force, before)
				}})
			}
		}
	}
	a.Field, a.At = field, at
	return nil
}

// postStandingAt returns the post, from 0, that stands at x, m; -1 for none.
func postStandingAt(run *barrier.Run, x float64) int {
	return slices.IndexFunc(run.Posts, func(post float64) bool { return math.Abs(post-x) < sameSpot })
}

// legsAt returns the legs whose rails a place is on: both at a corner in plan, in whose axes a load there may
// point, but for one that has a gap there.
func (a *Action) legsAt(x float64) []int {
	run, leg := a.run, a.run.LegOf(x)
	at := postStandingAt(run, x)
	if at < 0 || !run.TurnsAt(at) {
		return []int{leg}
	}
	support := run.PostSupport(at)
	switch {
	case run.IsGap(support):
		return []int{leg}
	case run.IsGap(support - 1):
		return []int{leg + 1}
	}
	return []int{leg, leg + 1}
}

// sidesAt returns the sides of a place, false for that beyond it, true for that before it, on whose rails a load
// may stand there: both at a post between two bays where a rail of its ends, or may in the frames that are run, which has two
// ends there. Where the run turns in plan each leg has one of them.
func (a *Action) sidesAt(d *barrier.Definition, x float64) []bool {
	at := postStandingAt(&d.Run, x)
	last := len(a.supports) - 1
	isEnd := math.Abs(x-a.supports[0]) < sameSpot || math.Abs(x-a.supports[last]) < sameSpot
	if at < 0 || isEnd || d.Run.TurnsAt(at) {
		return []bool{false}
	}
	ends := func(s Share) bool {
		rail := &d.Rails[s.Rail]
		return !rail.Through || rail.SpliceState == barrier.SplicesUnknown || d.Run.IsCorner(at)
	}
	if slices.ContainsFunc(a.Rails, ends) {
		return []bool{false, true}
	}
	return []bool{false}
}

// standing returns the load case of a force, in the axes of a leg, on that leg's rails of an action at x, m: on
// the stretch that x is in, or else the nearest of the leg. One that stands at a post but for rounding stands
// at the end of a member, the one before it or the one beyond: on the fitting, so that no part of the rail lies
// between the two.
func (r *Replayer) standing(a *Action, leg int, x float64, force solver.Vec, before bool) solver.Case {
	chain := r.model.Chain(a.rows(r.Frame)...)
	on, nearest := 0, math.Inf(1)
	for i := range chain.Stretches() {
		from, to := chain.Ends(i)
		off := max(from-x, x-to, 0)
		if off < sameSpot {
			off = 0
		}
		if len(chain.Parts(i)) > 0 && a.run.LegOf((from+to)/2) == leg && (off < nearest || off == nearest && !before) {
			on, nearest = i, off
		}
	}
	from, to := chain.Ends(on)
	switch {
	case x-from < sameSpot:
		x = from
	case to-x < sameSpot:
		x = to
	}
	c := solver.Case{Points: chain.Loads(on, x, force)}
	return r.withCouples(a, c)
}
