package analysis

import (
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// Field is a load that stands everywhere at once and is placed nowhere: wind, ice, a change of
// temperature. It has one or more senses, of which one acts at a time.
type Field struct{ Senses []Sense }

// Sense is one way in which a field acts: wind outward, wind inward; warmer, colder.
type Sense struct {
	// Words says in units what acts: "wind outward, velocity pressure 0.449 kN/m2".
	Words func(quantity.System) string
	// On is the load case of the sense on a frame, unfactored.
	On func(*Replayer) solver.Case
}

// fieldActions returns the actions that a wind, ice or temperature load of the user's own is,
// by its index into Definition.Loads.
func fieldActions(d *barrier.Definition, load int) ([]*Action, []quantity.Sentence) {
	l := &d.Loads[load]
	switch l.Own.Kind {
	case barrier.OwnWind:
		return windActions(d, load)
	case barrier.OwnIce:
		a, notes := iceAction(d, load)
		return []*Action{a}, notes
	}
	a, notes := warmthAction(d, load)
	return []*Action{a}, notes
}

// ofOwn returns an action that is a field of the user's own.
func ofOwn(d *barrier.Definition, load int, symbol string, category loads.Category) *Action {
	a := onBarrier(d)
	a.Name, a.Symbol, a.Category, a.Load, a.Yield = d.Loads[load].Name, symbol, category, load, 1
	a.Clause, a.Source, a.Provenance = "own load", "the definition", loads.UsersOwn
	a.Field = &Field{}
	if own := ownFactor(loads.CombinationsOf(d.Basis), d.Loads[load].Own); own != nil {
		a.Strength, a.StrengthBy = own.Value, own.Provenance
	}
	return a
}

// ownFactor returns the factor for strength that a field brings to a basis on whose level it was
// not found; nil where the basis has one.
func ownFactor(basis loads.Combinations, own *barrier.OwnLoad) *loads.Factor {
	switch {
	case own.Wind != nil:
		return basis.WindFactor(own.Wind.Route)
	case own.Ice != nil:
		return basis.IceFactor(*own.Ice)
	}
	return nil
}

// provenance returns the weakest provenance of steps.
func provenance(steps []loads.Step) string {
	var words []string
	for i := range steps {
		words = append(words, steps[i].Provenance)
	}
	return Weakest(words...)
}

// tube is a member of the frame that a field stands on all along.
type tube struct {
	id       solver.MemberID
	axis     solver.Vec // along it
	length   float64    // m
	leg      int
	cornered bool // of a post at a corner, where that leg ends
	of       *barrier.Member
}

// tubes returns every member of a frame: of posts, of rails, of braces.
func (r *Replayer) tubes(d *barrier.Definition) (all []tube) {
	add := func(id solver.MemberID, axis solver.Vec, leg int, of *barrier.Member) {
		all = append(all, tube{id: id, axis: axis, length: r.Frame.Length(id), leg: leg, of: of})
	}
	for i := range r.Frame.Posts {
		p := &r.Frame.Posts[i]
		for _, id := range p.Members {
			add(id, solver.Vec{0, 0, 1}, p.Leg, d.PostMember(i))
			all[len(all)-1].cornered = d.Run.TurnsAt(i)
		}
	}
	for i := range r.Frame.Rails {
		for _, m := range r.Frame.Rails[i].Members {
			add(m.ID, d.Run.RailAxes(m.Leg)[0], m.Leg, &d.Rails[i].Member)
		}
	}
	for i := range r.Frame.Braces {
		b := &r.Frame.Braces[i]
		add(b.ID, b.Axes[0], b.Leg, &d.Braces[i].Member)
	}
	return all
}

// all returns a line load all along a tube, N/m in global axes.
func (t *tube) all(q solver.Vec) solver.LineLoad {
	return solver.LineLoad{Member: t.id, To: t.length, Start: q, End: q}
}

func times(f float64, v solver.Vec) solver.Vec { return solver.Vec{f * v[0], f * v[1], f * v[2]} }

// sineTo returns the sine of the angle between two directions.
func sineTo(a, b solver.Vec) float64 {
	x := solver.Vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
	return math.Hypot(math.Hypot(x[0], x[1]), x[2])
}

// outwardOf returns the direction of a leg that points outward, global axes.
func outwardOf(d *barrier.Definition, leg int) solver.Vec {
	return times(d.Run.Hazard.Outward(), d.Run.Axes(leg)[1])
}

// slopeOf returns the cosine of the pitch of a leg: the level length of a metre of its rails.
func slopeOf(d *barrier.Definition, leg int) float64 {
	along, level := d.Run.RailAxes(leg)[0], d.Run.Axes(leg)[0]
	return dot(along, level)
}

// upPost puts a load of so many N for each metre of height, global axes, on a post from one z to
// another. What stands above its top or below its foot goes there, with its couple.
func (r *Replayer) upPost(c *solver.Case, post int, q solver.Vec, from, to float64) {
	p := &r.Frame.Posts[post]
	last := len(p.Levels) - 1
	for k, id := range p.Members {
		low, high := math.Max(from, p.Levels[k]), math.Min(to, p.Levels[k+1])
		if high > low {
			c.Lines = append(c.Lines, solver.LineLoad{Member: id, From: low - p.Levels[k], To: high - p.Levels[k], Start: q, End: q})
		}
	}
	beyond := func(low, high float64, at int) {
		if high <= low {
			return
		}
		force := times(high-low, q)
		arm := (low+high)/2 - p.Levels[at]
		c.Nodes = append(c.Nodes, solver.NodeLoad{Node: p.Nodes[at], Force: force, Moment: solver.Vec{-arm * force[1], arm * force[0], 0}})
	}
	beyond(math.Max(from, p.Levels[last]), to, last)
	beyond(from, math.Min(to, p.Levels[0]), 0)
}

// postAt returns the post, from 0, that is a support; not ok for a wall.
func postAt(d *barrier.Definition, support int) (post int, ok bool) {
	post = support - d.Run.PostSupport(0)
	return post, post >= 0 && post < len(d.Run.Posts)
}
