package check

import (
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// situation is a group of actions under which strength is judged with a partial factor on
// resistance of its own. A nil one is that of every action where no schedule brings a factor.
type situation struct {
	only  func(*analysis.Action) bool
	gamma partial
}

// partial is a partial factor on the resistance of steel, with why it stands.
type partial struct {
	value       float64
	why, clause string
	provenance  string
}

// recommended is the partial factor of EN 1993-1-1:2005 6.1(1); provenance: memory.
var recommended = partial{gammaM0, "recommended", "EN 1993-1-1 6.1(1)", ""}

// situationsOf returns the groups of actions with partial factors of their own: a nil one
// alone where no schedule brings a factor that the basis knows.
func (c *run) situationsOf() []*situation {
	if !slices.ContainsFunc(c.actions, func(a *analysis.Action) bool { return c.gammaBrought(a) != nil }) {
		return []*situation{nil}
	}
	var out []*situation
	for _, a := range c.actions {
		gamma := c.gammaOf(a)
		if slices.ContainsFunc(out, func(s *situation) bool { return s.gamma == gamma }) {
			continue
		}
		out = append(out, &situation{only: func(other *analysis.Action) bool { return c.gammaOf(other) == gamma }, gamma: gamma})
	}
	return out
}

// gammaBrought returns the partial factor on resistance that the schedule of an action brings,
// nil for none: a mixed one loses it with its factor on actions, and codes other than EN have φ
// or Ω in its place.
func (c *run) gammaBrought(a *analysis.Action) *loads.Factor {
	if c.d.Basis != loads.BasisEN || a.Schedule == nil || c.d.Loads[a.Load].Mixed {
		return nil
	}
	return a.Schedule.GammaM
}

// gammaOf returns the partial factor on resistance under an action: 1.00 under an accidental
// one of a schedule that brings a factor, otherwise the largest that the action's schedule, or
// one of a load that acts with it, brings.
func (c *run) gammaOf(a *analysis.Action) partial {
	of := recommended
	take := func(g *loads.Factor) {
		if g != nil && g.Value > of.value {
			of = partial{g.Value, "of the schedule, in place of the recommended value", g.Standard + " " + g.Clause, g.Provenance}
		}
	}
	if g := c.gammaBrought(a); g != nil && a.Accidental {
		return partial{1, "of the schedule under an accidental action", g.Standard + " " + g.Clause, g.Provenance}
	}
	take(c.gammaBrought(a))
	for _, other := range c.actions {
		if slices.Contains(c.d.Loads[a.Load].With, other.Load) {
			take(c.gammaBrought(other))
		}
	}
	return of
}

// by returns a resistance with the partial factor of a situation.
func (s *situation) by(t resistance) resistance {
	if s == nil {
		return t
	}
	return t.by(s.gamma)
}

// holds reports whether an action is one of the situation's.
func (s *situation) holds(a *analysis.Action) bool { return s == nil || a == nil || s.only(a) }

// strengthChecks returns the strength checks of a post or a rail in every situation.
func (c *run) strengthChecks(kind string, t resistance) []named {
	var out []named
	for _, s := range c.situations {
		for _, n := range strengthChecks(kind, s.by(t)) {
			n.by = s
			out = append(out, n)
		}
	}
	return out
}

// metals names the metals of the posts, rails and braces, each once.
func (c *run) metals() string {
	members := []*barrier.Member{&c.d.Post.Member}
	for i := range c.d.Rails {
		members = append(members, &c.d.Rails[i].Member)
	}
	for i := range c.d.Braces {
		members = append(members, &c.d.Braces[i].Member)
	}
	var names []string
	for _, m := range members {
		if name := string(m.Grade.Material); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return strings.Join(names, " and ")
}

// sayGammas says which schedules bring a partial factor on resistance and what becomes of it.
func (c *run) sayGammas() {
	for i := range c.d.Loads {
		s := c.d.Loads[i].Schedule
		if s == nil || s.GammaM == nil {
			continue
		}
		g := s.GammaM
		by := fmt.Sprintf("%s brings a partial factor of %.2f on the resistance of %s (%s %s)", s.Name, g.Value, c.metals(), g.Standard, g.Clause)
		switch {
		case c.d.Basis != loads.BasisEN:
			code, factor := codeOfSteel(c.d.Basis)
			c.say(by + "; " + code + " judges by its own " + factor + " instead, and it is not applied.")
		case c.d.Loads[i].Mixed:
			c.say(by + "; its loads are mixed in as nominal imposed loads of the basis, and it is not applied.")
		default:
			c.say(by + ": strength is judged with it under its loads and those that act with them, with 1.00 under its accidental ones. First yield is not divided by it." + c.ofStainless(g.Value))
		}
	}
}
