package analysis

import (
	"slices"

	"example.com/stanchion/solver"
)

// PressedBeside returns the placed loads of the same level and section in which the load of p
// stands where it stands and others act with it, or it alone in other combinations: a load beside
// it that presses the posts may add nothing to what p was found for in first order, and makes
// the frame lean more. What is placed beside it stands where it presses the posts next to the
// section: a line over the whole run, a point at either end of the bay, at the section, or beside a point. Only tells
// which actions count, as in a [Query].
func (a *Analysis) PressedBeside(p *Placed, only func(*Action) bool) []Placed {
	if p.Placement.Action == nil {
		return nil
	}
	acts, lead := &a.acting[p.Combination.Level], a.indexOf(p.Placement.Action)
	g := gathering{at: p, of: Query{Only: only}}
	if p.Placement.Action.Field == nil {
		for i := range acts.placed[lead] {
			g.take(&acts.placed[lead][i], p.Placement, nil)
		}
	} else {
		a.besideField(&g, acts)
	}
	for i := range a.pairs {
		pr := &a.pairs[i]
		for k := range pr.mixtures[p.Combination.Level] {
			x := &pr.mixtures[p.Combination.Level][k]
			switch {
			case p.Placement.Action.Field != nil:
				a.pairBesideField(&g, pr, x)
			case lead == pr.first:
				for _, other := range a.pressingPlaces(pr.second, p) {
					g.take(x, p.Placement, &other)
				}
			case lead == pr.second:
				for _, other := range a.pressingPlaces(pr.first, p) {
					g.take(x, other, &p.Placement)
				}
			}
		}
	}
	return g.found
}

// besideField gathers what acts with a field, which stands everywhere.
func (a *Analysis) besideField(g *gathering, acts *acting) {
	for i := range acts.fields {
		if x := &acts.fields[i]; a.holds(x, &g.at.Placement) {
			g.take(x, a.lead(x), nil)
		}
	}
	for j := range acts.placed {
		for i := range acts.placed[j] {
			if x := &acts.placed[j][i]; a.holds(x, &g.at.Placement) {
				for _, at := range a.pressingPlaces(j, g.at) {
					g.take(x, at, nil)
				}
			}
		}
	}
}

// pairBesideField gathers a pair of placed actions with a field that acts with both.
func (a *Analysis) pairBesideField(g *gathering, pr *pair, x *mixture) {
	if !a.holds(x, &g.at.Placement) {
		return
	}
	for _, first := range a.pressingPlaces(pr.first, g.at) {
		for _, second := range a.pressingPlaces(pr.second, g.at) {
			g.take(x, first, &second)
		}
	}
}

// holds reports whether a field acts in a mixture, in its sense.
func (a *Analysis) holds(m *mixture, field *Placement) bool {
	at := a.fieldAt[a.indexOf(field.Action)] + field.Sense
	return slices.ContainsFunc(m.stands, func(st stood) bool { return st.at == at })
}

// gathering is placed loads that are gathered for one section.
type gathering struct {
	at    *Placed
	of    Query
	found []Placed
}

// take takes a mixture with what is placed first, and second where it places two.
func (g *gathering) take(x *mixture, first Placement, second *Placement) {
	if !g.of.takes(x) {
		return
	}
	p := Placed{Combination: &x.combination, Placement: first, Beside: x.beside, Probe: g.at.Probe, Station: g.at.Station, After: g.at.After}
	if second != nil {
		p.Beside = slices.Clone(x.beside)
		p.Beside[x.second] = *second
	}
	if !p.SameLoad(g.at) {
		g.found = append(g.found, p)
	}
}

// pressingPlaces returns where an action presses the posts next to a section hardest; none for one
// that never points down.
func (a *Analysis) pressingPlaces(i int, p *Placed) (out []Placement) {
	act, chain := a.Actions[i], a.chains[i]
	for _, way := range act.downWays() {
		if !act.Point {
			out = append(out, a.atEnds(i, way)...)
			continue
		}
		at := Placement{Action: act, Way: way}
		for _, x := range pointsNear(act, p) {
			if stretch, ok := stretchAt(chain, x); ok {
				from, _ := chain.Ends(stretch)
				at.Stretch, at.X, at.Leg, at.Value = stretch, x, a.legs[i][stretch], act.sizeAt(from)
				out = append(out, at)
			}
		}
	}
	return out
}

// pointsNear returns where along the run a point presses what is near a section, m: at either end of its bay, at
// the section, and beside the point that leads.
func pointsNear(act *Action, p *Placed) []float64 {
	if act.Posts {
		return nil // it stands on its post, and is found with what presses that
	}
	x := p.Probe.From + p.Station
	from, to := act.bayAt(x)
	places := []float64{from, to, x}
	if lead := &p.Placement; lead.Action.Point && !lead.Action.Posts {
		places = append(places, lead.X)
	}
	return places
}

// stretchAt returns the first stretch of a chain that holds a place, m; not ok where none does.
func stretchAt(chain *solver.Chain, x float64) (stretch int, ok bool) {
	n := chain.Stretches()
	if stretch = endingBeyond(chain, 0, n, x-sameSpot); stretch == n {
		return 0, false
	}
	from, _ := chain.Ends(stretch)
	return stretch, from <= x+sameSpot
}

// downWays returns the ways of an action that point down: for one that may turn, straight down or as near
// to it as its directions allow.
func (a *Action) downWays() (out [][3]float64) {
	down := func(way [3]float64) bool {
		p := Placement{Action: a, Value: 1, Way: way}
		return p.Force()[2] < 0
	}
	ways := a.fixed
	if ways == nil {
		var steepest [3]float64
		for d, basis := range a.basis {
			steepest[d] = -basis[2]
		}
		ways = [][3]float64{steepest}
	}
	for _, way := range ways {
		if down(way) {
			out = append(out, way)
		}
	}
	return out
}
