package check

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
)

// fixing is a group of loads by the factor on what they ask of fittings, splices, walls and
// feet: 1, or by request that of BS 6180:1999 6.5.
type fixing struct {
	factor float64
	only   func(*analysis.Action) bool // nil: every action
}

// fixingsOf returns the groups: one of every action where no load asks for a factor.
func (c *run) fixingsOf() []fixing {
	var factors []float64
	for _, a := range c.actions {
		if k := c.fixingOf(a); !slices.Contains(factors, k) {
			factors = append(factors, k)
		}
	}
	if len(factors) == 0 || len(factors) == 1 && factors[0] == 1 {
		return []fixing{{factor: 1}}
	}
	var out []fixing
	for _, k := range factors {
		out = append(out, fixing{k, func(a *analysis.Action) bool { return c.fixingOf(a) == k }})
	}
	return out
}

// fixingOf returns the factor on what an action asks of fittings and feet: the largest of its
// own load's and of those that act with it.
func (c *run) fixingOf(a *analysis.Action) float64 {
	if a == nil {
		return 1
	}
	factor := math.Max(1, c.d.Loads[a.Load].Fixing)
	for _, other := range c.d.Loads[a.Load].With {
		factor = math.Max(factor, c.d.Loads[other].Fixing)
	}
	return factor
}

// raise is a factor on a state at a joint or a foot. What permanent actions relieve it by is
// not raised.
type raise struct {
	factor    float64 // 0 or 1: none
	permanent analysis.State
}

// raises reports whether it is more than 1.
func (r *raise) raises() bool { return r != nil && r.factor > 1 }

// kept returns what a finding keeps of it: nil for none.
func (r *raise) kept() *raise {
	if !r.raises() {
		return nil
	}
	out := *r
	return &out
}

// of returns the raised state.
func (r *raise) of(s *analysis.State) analysis.State {
	out := *s
	if !r.raises() {
		return out
	}
	r.each(&out, func(x *float64, permanent float64) {
		value := r.factor * *x
		if *x*permanent < 0 {
			value -= (r.factor - 1) * permanent
		}
		*x = value
	})
	return out
}

// each visits the forces of a state, each with that of the permanent actions.
func (r *raise) each(s *analysis.State, visit func(x *float64, permanent float64)) {
	visit(&s.N, r.permanent.N)
	visit(&s.Vy, r.permanent.Vy)
	visit(&s.Vz, r.permanent.Vz)
	visit(&s.T, r.permanent.T)
	visit(&s.My, r.permanent.My)
	visit(&s.Mz, r.permanent.Mz)
}

// atMost returns a state whose components are no smaller than those of any raised state of
// components up to those given.
func (r *raise) atMost(s *analysis.State) analysis.State {
	out := *s
	if !r.raises() {
		return out
	}
	r.each(&out, func(x *float64, permanent float64) {
		*x = r.factor*math.Abs(*x) + (r.factor-1)*math.Abs(permanent)
	})
	return out
}

// judge returns the judge of raised states.
func (r *raise) judge(j judge) judge {
	if !r.raises() {
		return j
	}
	return func(s *analysis.State, rec *Recorder) float64 {
		raised := r.of(s)
		return j(&raised, rec)
	}
}

// words say that a demand is raised, empty where it is not.
func (r *raise) words() string {
	if !r.raises() {
		return ""
	}
	return ", times " + quantity.Fix(r.factor, 2) + " for fixings"
}

// held is a placed load at a joint or a foot, and how its state is raised.
type held struct {
	analysis.Placed
	raise raise
}

// raised returns the state that the joint or the foot must carry.
func (h *held) raised() analysis.State { return h.raise.of(&h.State) }

// worstHeld returns the largest values at a station of a probe over every action, each raised
// by the factor of its load.
func (c *run) worstHeld(m *model, p *analysis.Probe, station float64, queries ...analysis.Query) [][]held {
	return c.worstHeldBy(m, p, station, func(float64) []analysis.Query { return queries })
}

// worstHeldBy is the same of queries that know by how much the states they judge are raised.
func (c *run) worstHeldBy(m *model, p *analysis.Probe, station float64, queries func(factor float64) []analysis.Query) [][]held {
	var best [][]held
	c.eachHeld(m, p, station, queries, func(q, i int, found []analysis.Placed, r *raise) {
		if q == len(best) {
			best = append(best, make([]held, 0, len(found)))
		}
		if i == len(best[q]) {
			best[q] = append(best[q], held{found[i], *r})
		} else {
			best[q][i].take(&found[i], r)
		}
	})
	return best
}

// eachHeld visits what is found for each query and measure i, beside what is found for its others, once for each factor.
func (c *run) eachHeld(m *model, p *analysis.Probe, station float64, queries func(factor float64) []analysis.Query, visit func(q, i int, found []analysis.Placed, r *raise)) {
	for _, f := range c.fixings {
		r := raise{factor: f.factor}
		if f.factor > 1 {
			r.permanent = m.underPermanent(p, station)
		}
		for q, found := range m.analysis.PeekAt(p, []float64{station}, r.queries(queries(f.factor), f.only)...) {
			for i := range found {
				visit(q, i, found, &r)
			}
		}
	}
}

// take takes what is found in the place of what is less.
func (h *held) take(found *analysis.Placed, r *raise) {
	if !h.Found() || found.Found() && analysis.Beats(found.Value, h.Value) {
		*h = held{*found, *r}
	}
}

// underRaised returns a resistance whose second order is that of a state before it is raised.
func underRaised(t resistance, factor float64) resistance {
	if factor <= 1 {
		return t
	}
	out := t.upTo(math.Inf(1))
	out.setCritical(1)
	out.setCritical(factor * out.ofCritical(1) / t.ofCritical(1))
	return out
}

// queries returns queries about raised states of some actions.
func (r *raise) queries(plain []analysis.Query, only func(*analysis.Action) bool) []analysis.Query {
	if r.factor <= 1 && only == nil {
		return plain
	}
	out := slices.Clone(plain)
	for q := range out {
		out[q].Only = only
		if !r.raises() {
			continue
		}
		out[q].Measures = slices.Clone(out[q].Measures)
		for i, m := range out[q].Measures {
			bound := m.Bound
			if bound == nil {
				bound = m.Of
			}
			out[q].Measures[i] = analysis.Measure{
				Of:    func(s *analysis.State) float64 { raised := r.of(s); return m.Of(&raised) },
				Bound: func(s *analysis.State) float64 { most := r.atMost(s); return bound(&most) },
			}
		}
	}
	return out
}

// underPermanent returns the state at a station of a probe under the permanent actions,
// unfactored.
func (m *model) underPermanent(p *analysis.Probe, station float64) analysis.State {
	none := analysis.Query{
		Level: analysis.Characteristic, Only: func(*analysis.Action) bool { return false },
		Measures: []analysis.Measure{{Of: func(*analysis.State) float64 { return 1 }}},
	}
	return m.analysis.PeekAt(p, []float64{station}, none)[0][0].State
}

// sayFixings says which loads ask for a factor on fittings and feet.
func (c *run) sayFixings() {
	for i := range c.d.Loads {
		if l := &c.d.Loads[i]; l.Fixing > 1 {
			c.say(fmt.Sprintf("What %s asks of fittings, splices, walls and feet is multiplied by %s, its permanent actions with it but for those that relieve ("+fixingClause+", by request); posts and rails are not.", l.Name, quantity.Fix(l.Fixing, 2)))
		}
	}
}
