package analysis

import (
	"math"
	"slices"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/solver"
)

// fix lets a point load on rails stand at x, m, alone: a field whose senses are the ways it may
// point, which needs no search. One that is free to turn is placed as any other, everywhere
// along its rail, and so at x too.
func (a *Action) fix(at *float64) []quantity.Sentence {
	x := *at
	if a.fixed == nil {
		return []quantity.Sentence{quantity.Say("%s stands at x = %s and may turn: it is put wherever it is worst along its rail, which is cautious", a.Name, quantity.Place(x))}
	}
	field := &Field{}
	for _, leg := range a.legsAt(x) {
		for _, way := range a.fixed {
			p := Placement{Action: a, X: x, Leg: leg, Value: a.sizeAt(x), Way: way}
			force := p.Force()
			field.Senses = append(field.Senses, Sense{Words: p.placed, On: func(r *Replayer) solver.Case {
				return r.standing(a, leg, x, force)
			}})
		}
	}
	a.Field, a.At = field, at
	return nil
}

// legsAt returns the legs whose rails a place is on: both at a corner in plan, in whose axes a load there may
// point, but for one that has a gap there.
func (a *Action) legsAt(x float64) []int {
	run, leg := a.run, a.run.LegOf(x)
	at := slices.IndexFunc(run.Posts, func(post float64) bool { return math.Abs(post-x) < 1e-9 })
	if at < 0 || !run.IsCorner(at) || run.Axes(leg) == run.Axes(leg+1) {
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

// standing returns the load case of a force, in the axes of a leg, on that leg's rails of an action at x, m: on
// the stretch that x is in, or else the nearest of the leg.
func (r *Replayer) standing(a *Action, leg int, x float64, force solver.Vec) solver.Case {
	chain := r.model.Chain(a.rows(r.Frame)...)
	on, nearest := 0, math.Inf(1)
	for i := range chain.Stretches() {
		from, to := chain.Ends(i)
		if off := max(from-x, x-to, 0); len(chain.Parts(i)) > 0 && a.run.LegOf((from+to)/2) == leg && off <= nearest {
			on, nearest = i, off
		}
	}
	from, to := chain.Ends(on)
	c := solver.Case{Points: chain.Loads(on, min(max(x, from), to), force)}
	return r.withCouples(a, c)
}
