package analysis

import (
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/solver"
)

// Size returns the value of a placed load with its unit, unfactored; empty for a field, which
// has none.
func (p *Placement) Size(units quantity.System) string {
	switch a := p.Action; {
	case a == nil || a.Field != nil:
		return ""
	case a.Point:
		return quantity.Format(p.Value, quantity.Force, units)
	case a.Area:
		return areaIn(p.Value, units)
	}
	return quantity.Format(p.Value, quantity.LineLoad, units)
}

// Toward returns in words which way a placed load points; empty for a field.
func (p *Placement) Toward() string {
	if p.Action == nil || p.Action.Field != nil {
		return ""
	}
	return p.Action.directionWord(p.Way)
}

// Toward returns in words which way the action points along a unit way.
func (a *Action) Toward(way [3]float64) string { return a.directionWord(way) }

// UpPost is a length of a post, z in m, over which a load stands: of a point load one of no
// length.
type UpPost struct {
	Post     int // from 0
	From, To float64
}

// UpPosts returns where a load on posts stands; none for any other load.
func (p *Placement) UpPosts() (up []UpPost) {
	if p.Action == nil || !p.Action.Posts {
		return nil
	}
	if post, z, ok := p.OnPost(); ok {
		return []UpPost{{post, z, z}}
	}
	for _, l := range p.Lengths {
		u := &p.Action.uprights[p.Action.uprightAt((l.From+l.To)/2)]
		up = append(up, UpPost{u.post, l.From - u.start + p.Action.foot, l.To - u.start + p.Action.foot})
	}
	return up
}

// Traces returns the states along several elements under a placed load, as Trace does along one:
// the load is solved once.
func (a *Analysis) Traces(p *Placed, of ...*Element) (all [][]TracePoint) {
	s := a.model.Solve(a.Case(p))
	for _, e := range of {
		all = append(all, e.trace(s))
	}
	a.Rest()
	return all
}

// InfluenceLine returns what a unit load that points as the placed one does, or as a way of
// another action, does at the section of the placed load: the state there with the load at one
// place after another along the rails of the action, so many to a piece between two nodes, in a
// length of the run. State is in N and N·m for each N, and movements in m for each N; it jumps
// where the load passes the section. Nothing stands elsewhere: no permanent action is in it.
// There is none for a field and for a load on posts.
func (a *Analysis) InfluenceLine(p *Placed, of *Action, way [3]float64, within solver.Length, parts int) (line []TracePoint) {
	if of == nil || of.Field != nil || of.Posts {
		return nil
	}
	seen := a.section(p.Probe, p.Station, a.indexOf(of))
	if len(seen.active) == 0 {
		return nil
	}
	pieces := seen.lines[seen.active[0]].Pieces
	for i := range pieces {
		from, to := max(pieces[i].From, within.From), min(pieces[i].To, within.To)
		if to < from || to == from && pieces[i].To > pieces[i].From {
			continue
		}
		for k := range parts + 1 {
			x := from + (to-from)*float64(k)/float64(parts)
			var c components
			for _, component := range seen.active {
				for d, part := range way[:len(of.basis)] {
					c[component] += part * seen.lines[component].Pieces[i].At(d, x)
				}
			}
			line = append(line, TracePoint{x, c.state()})
		}
	}
	a.Rest()
	return line
}

// FirstWay returns a unit way of an action that travels along the rails: the first in which it may
// point, or along the first of the directions of which its load is made.
func (a *Action) FirstWay() [3]float64 {
	if len(a.fixed) > 0 {
		return a.fixed[0]
	}
	return [3]float64{1}
}
