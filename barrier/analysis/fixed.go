package analysis

import (
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/solver"
)

// fix lets a point load on rails stand at x, m, alone: a field whose senses are the ways it may
// point, which needs no search. One that is free to turn is placed as any other, everywhere
// along its rail, and so at x too.
func (a *Action) fix(at *float64, units quantity.System) []quantity.Sentence {
	x := *at
	if a.fixed == nil {
		return []quantity.Sentence{quantity.Say("%s stands at x = %s and may turn: it is put wherever it is worst along its rail, which is cautious", a.Name, quantity.Place(x))}
	}
	field := &Field{}
	for _, way := range a.fixed {
		p := Placement{Action: a, X: x, Leg: a.run.LegOf(x), Value: a.sizeAt(x), Way: way}
		force := p.Force()
		field.Senses = append(field.Senses, Sense{Words: p.words(units), On: func(r *Replayer) solver.Case {
			return r.standing(a, x, force)
		}})
	}
	a.Field, a.At = field, at
	return nil
}

// standing returns the load case of a force on the rails of an action at x, m.
func (r *Replayer) standing(a *Action, x float64, force solver.Vec) solver.Case {
	chain := r.model.Chain(a.rows(r.Frame)...)
	on := -1
	for i := range chain.Stretches() {
		if from, to := chain.Ends(i); len(chain.Parts(i)) > 0 && from <= x+1e-9 && (on < 0 || x <= to+1e-9) {
			on = i
		}
	}
	from, to := chain.Ends(on)
	c := solver.Case{Points: chain.Loads(on, min(max(x, from), to), force)}
	return r.withCouples(a, c)
}
