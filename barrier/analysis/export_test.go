package analysis

import (
	"math"
	"slices"
	"strings"

	"example.com/stanchion/solver"
)

// WorstOneWay returns the largest value of a measure at a station for one action
// that points along n alone, over its directions: the search of places and
// lengths without that of ways.
func (a *Analysis) WorstOneWay(p *Probe, s float64, action int, l Level, m Measure, n [3]float64) float64 {
	return a.PlacedOneWay(p, s, action, l, m, n).Value
}

// PlacedOneWay returns the same with where it stands.
func (a *Analysis) PlacedOneWay(p *Probe, s float64, action int, l Level, m Measure, n [3]float64) Placed {
	a.standAt(p, s)
	v := a.section(p, s, action)
	best := []Placed{{Value: math.Inf(-1), floored: true}}
	mixtures := a.acting[l].placed[action]
	for i := range mixtures {
		h := hunt{a: a, v: v, combination: &mixtures[i].combination, measures: []Measure{m}, best: best, how: fine, visit: &visit{}}
		h.added = a.added(&mixtures[i])
		if a.Actions[action].Point {
			anywhere := v.reachAnywhere(h.combination.Variable, &n, &h.added)
			h.reached = false
			h.pointsWithin(&anywhere, &n)
		} else {
			h.keep(0, h.lineWith(0, &n))
		}
	}
	return best[0]
}

// MostOfLimits returns how much of its bound a component reaches at most under an
// action's line load, over ways and lengths adverse to random mixes of components.
func (a *Analysis) MostOfLimits(p *Probe, s float64, action int, random func() float64) float64 {
	w := newSweep(a.section(p, s, action), nil)
	w.setLimits()
	most := 0.0
	for range 100 {
		var slope components
		var n [3]float64
		for _, k := range w.active {
			if w.limit[k] > 0 {
				slope[k] = random() * random() * random() / w.limit[k]
			}
		}
		for d := range w.nd {
			n[d] = random()
		}
		w.lean(&slope)
		l, _ := w.settle(&slope, unit(n), 5)
		for _, k := range w.active {
			if w.limit[k] > 0 {
				most = max(most, math.Abs(l.unit[k])/w.limit[k])
			}
		}
	}
	return most
}

// ReadDirectly and ReadByBlocks have influence lines read in one way, whatever the length
// of the run; before any is read. ReadByBlocks reports whether that can be done.
func (a *Analysis) ReadDirectly() {
	for i, act := range a.Actions {
		a.influences[i] = a.model.Influence(a.chains[i], act.basis...)
	}
}

func (a *Analysis) ReadByBlocks() (ok bool) {
	for i, act := range a.Actions {
		if a.influences[i], ok = a.model.InfluenceByBlocks(a.chains[i], act.basis...); !ok {
			return false
		}
	}
	return true
}

// RestLinesNow rests the lines of a run of any length.
func (a *Analysis) RestLinesNow() { a.restLines() }

// SharedOnFeet shares the frame of a run of any length, at rest as that of a very long one.
func (a *Analysis) SharedOnFeet(stiffness float64) (*Analysis, error) {
	a.model.Rest()
	return a.sharedOnFeet(stiffness)
}

// ReadsByBlocks reports whether every chain's lines are read by blocks.
func (a *Analysis) ReadsByBlocks() bool {
	for _, in := range a.influences {
		if _, ok := in.(*solver.BlockInfluence); !ok {
			return false
		}
	}
	return true
}

// Suit reports whether every wind of a set of actions is that of the set.
func Suit(set []*Action) bool {
	for _, a := range set {
		if !a.suits(set) {
			return false
		}
	}
	return true
}

// Upright is a post, or one leg's side of it, along the chain of an action on posts: its foot at
// Start, loaded between two heights z.
type Upright struct {
	Post, Leg              int
	From, To, Share, Start float64
}

// Uprights returns those of an action.
func (a *Action) Uprights() (out []Upright) {
	for _, u := range a.uprights {
		out = append(out, Upright{u.post, u.leg, u.from, u.to, u.share, u.start})
	}
	return out
}

// Aside returns how far to the left of its rails an action stands.
func (a *Action) Aside() float64 { return a.aside }

// Fixed returns the ways that an action may point, over its directions.
func (a *Action) Fixed() [][3]float64 { return a.fixed }

// Moved returns a placed load with its section and its point loads moved, each where it
// stays on its member; not ok where it does not. Of lines nothing moves.
func (p *Placed) Moved(section, first, second float64) (Placed, bool) {
	q := *p
	q.Beside = slices.Clone(p.Beside)
	q.Station += section
	ok := q.Station >= 0 && q.Station <= p.Probe.Length
	move := func(at *Placement, by float64) {
		if at.Action == nil || !at.Action.Point || by == 0 {
			return
		}
		at.X += by
		from, to := p.Probe.owner.chains[p.Probe.owner.indexOf(at.Action)].Ends(at.Stretch)
		ok = ok && at.X >= from && at.X <= to
	}
	move(&q.Placement, first)
	if k := q.second(); k >= 0 {
		move(&q.Beside[k], second)
	}
	return q, ok
}

// Acting returns the combinations of a level that are searched, each with what acts in it:
// "people + wind: 1.35 G + 1.50 Q + 0.90 W".
func (a *Analysis) Acting(l Level) (out []string) {
	add := func(mixtures []mixture) {
		for i := range mixtures {
			var names []string
			for _, act := range mixtures[i].set {
				names = append(names, act.Name)
			}
			out = append(out, strings.Join(names, " + ")+": "+mixtures[i].combination.String()+" "+mixtures[i].combination.LimitState())
		}
	}
	add(a.acting[l].fields)
	for _, placed := range a.acting[l].placed {
		add(placed)
	}
	for i := range a.pairs {
		add(a.pairs[i].mixtures[l])
	}
	return out
}

// ReadByEndings returns the state of a joint under its placed load in first order, read from
// the ends of the members that meet it.
func (a *Analysis) ReadByEndings(p *Placed) State {
	load := a.Case(p)
	c := p.Probe.joined(a.model.Solve(load), &load)
	a.addDead(&c, p)
	return c.state()
}

// Forget forgets the probes of posts and rails and their influence lines.
func (a *Analysis) Forget() {
	clear(a.posts)
	clear(a.rails)
}

// ReachOf returns the bound of the magnitude of every component of a member at a level, by which
// members are passed over; false where it has none.
func (a *Analysis) ReachOf(p *Probe, l Level) ([]float64, bool) {
	r := a.reachOf(p)
	if !r.even {
		return nil, false
	}
	out := make([]float64, nState)
	for _, b := range r.all(&Query{Level: l}) {
		for c, v := range b.size.components() {
			out[c] = max(out[c], v)
		}
	}
	return out, true
}

// ComponentsOf returns the components of a state in a row.
func ComponentsOf(s *State) []float64 { c := s.components(); return c[:] }

// ReachAt returns the bound of the magnitude of every component at a station of a member under one action that points
// along n, by which sections are passed over; false where it has none.
func (a *Analysis) ReachAt(p *Probe, s float64, action int, l Level, n [3]float64) ([]float64, bool) {
	r := a.along(p)
	if r == nil {
		return nil, false
	}
	a.standAt(p, s)
	out := make([]float64, nState)
	for i := range a.acting[l].placed[action] {
		x := &a.acting[l].placed[action][i]
		added := a.added(x)
		beside := added.spans()
		over := under(r.at(action, s), x.combination.Variable, &n, &beside)
		for c := range out {
			out[c] = max(out[c], over[c].magnitude())
		}
	}
	return out, true
}

// Ways returns the ways in which an action may point, of one that is free to turn some of them.
func (a *Action) Ways() [][3]float64 {
	if a.fixed != nil {
		return a.fixed
	}
	return compass(len(a.basis))
}
