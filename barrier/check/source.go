package check

import (
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// sources lists where the values come from, each once.
func (c *run) sources() {
	add := func(text string) {
		if !slices.Contains(c.out.Sources, text) {
			c.out.Sources = append(c.out.Sources, text)
		}
	}
	tubeAndGrade := func(m *barrier.Member) {
		if m.Tube.Source != "" {
			add(fmt.Sprintf("tube %s: %s (%s)", m.Name, m.Tube.Source, m.Tube.Provenance))
		} else {
			add(fmt.Sprintf("tube %s: the definition", m.NameIn(c.o.Units)))
		}
		if m.Grade.Provenance != "" {
			add(fmt.Sprintf("grade %s: %s (%s)", m.GradeIn(c.o.Units), m.Grade.Source, m.Grade.Provenance))
		} else {
			add(fmt.Sprintf("grade %s: the definition", m.GradeIn(c.o.Units)))
		}
	}
	tubeAndGrade(&c.d.Post.Member)
	for i := range c.d.Rails {
		tubeAndGrade(&c.d.Rails[i].Member)
	}
	for i := range c.d.Braces {
		tubeAndGrade(&c.d.Braces[i].Member)
	}
	for _, coupler := range c.couplers() {
		for _, source := range coupler.Sources {
			add(source)
		}
		add("factor 1.10 on couplers and their interaction: EN 12811-1:2003 10.2.3.2 and 10.3.3.5; terms from a public page, factors from memory")
	}
	if s := c.d.Fitting.Screw; s != nil {
		add(fmt.Sprintf("set screw %s: %s (%s); torque coefficients: fastening handbook, public page (public); friction (memory)", s.Size, s.Source, s.Provenance))
	}
	for _, a := range c.actions {
		add(fmt.Sprintf("%s: %s; %s", loadWords(a.Name), a.Clause, sourceOf(a)))
		for i := range a.Steps {
			if s := &a.Steps[i]; s.Source != "" {
				add(fmt.Sprintf("steps of %s: %s; %s (%s)", loadWords(a.Name), edition(s.Standard, s.Edition), s.Source, s.Provenance))
			}
		}
	}
	limit := func(l *loads.Limit) {
		add(fmt.Sprintf("limit %s: %s %s; %s (%s)", c.limitWords(l), l.Standard, l.Clause, l.Source, l.Provenance))
	}
	for i := range c.d.Loads {
		s := c.d.Loads[i].Schedule
		if s == nil {
			continue
		}
		for k := range s.Limits {
			limit(&s.Limits[k])
		}
		if g := s.GammaM; g != nil {
			add(fmt.Sprintf("partial factor on resistance %.2f: %s %s; %s (%s)", g.Value, g.Standard, g.Clause, g.Source, g.Provenance))
		}
	}
	for _, given := range chosenLimits(c.d) {
		limit(&given)
	}
	for _, line := range c.combinationSources() {
		add(line)
	}
	for _, line := range c.groundSources() {
		add(line)
	}
	for _, t := range c.models[0].tubes.all() {
		add(t.told().source)
	}
	for _, line := range slices.Concat(c.netSources(), c.softeningSources()) {
		add(line)
	}
	for _, a := range c.d.Post.Base.Bolts() {
		if a.Bolt != nil {
			add(fmt.Sprintf("bolt %s: %s (%s)", a.Bolt.Name, a.Bolt.Source, a.Bolt.Provenance))
		}
		if a.Class != nil {
			add(fmt.Sprintf("bolt class %s: %s (%s)", a.Class.Name, a.Class.Source, a.Class.Provenance))
		}
	}
	add("section properties: exact formulas of the circular ring (derived)")
}

// couplers returns the classes of coupler of the barrier, each once.
func (c *run) couplers() []*barrier.Coupler {
	of := []*barrier.Coupler{c.d.Fitting.Coupler, c.d.Fitting.Brace.Coupler}
	for i := range c.d.Rails {
		of = append(of, c.d.Rails[i].SpliceCoupler)
	}
	var out []*barrier.Coupler
	for _, k := range of {
		if k != nil && !slices.ContainsFunc(out, func(o *barrier.Coupler) bool { return o.Name == k.Name }) {
			out = append(out, k)
		}
	}
	return out
}

// sourceOf says where a load comes from. The provenance of one that is found from what the
// user gives is that of the coefficients by which it is found.
func sourceOf(a *analysis.Action) string {
	switch {
	case a.Schedule != nil || len(a.Steps) == 0:
		return fmt.Sprintf("%s (%s)", a.Source, a.Provenance)
	case a.Provenance == "memory":
		return a.Source + "; coefficients from memory"
	}
	return fmt.Sprintf("%s; coefficients %s", a.Source, a.Provenance)
}

// edition names a standard with its edition, where that is told and not in its name.
func edition(standard, edition string) string {
	if edition == "-" || edition == "" || strings.HasSuffix(standard, edition) {
		return standard
	}
	return standard + " " + edition
}

// combinationSources tells where the combinations come from by which actions were combined, and
// the factors on those that accompany others.
func (c *run) combinationSources() []string {
	line := func(name, state string, by loads.Citation) string {
		return fmt.Sprintf("combination %s (%s): %s; %s (%s)", name, state, strings.TrimPrefix(by.Standard+" "+by.Clause, loads.ThisProgram+" "), by.Source, by.Provenance)
	}
	var out []string
	if !c.ownAlone(loads.Strength) && c.combos.Rule() != loads.Rule610ab {
		out = append(out, line(c.combos.ULS.Name, c.combos.ULS.LimitState, c.combos.ULS.Citation))
	}
	if !c.ownAlone(loads.Service) {
		out = append(out, line(c.combos.SLS.Name, c.combos.SLS.LimitState, c.combos.SLS.Citation))
	}
	for _, m := range c.mixes() {
		out = append(out, line(m.Name, m.LimitState, m.Citation))
		if xi := m.Reduction; xi.Source != "" {
			out = append(out, fmt.Sprintf("factor ξ on permanent actions: %s %s; %s (%s)", xi.Standard, xi.Clause, xi.Source, xi.Provenance))
		}
	}
	for _, k := range c.psiUsed() {
		for n, psi := range c.combos.Psi(k.category) {
			if k.used[n] {
				out = append(out, fmt.Sprintf("factor %s on %s: %s %s; %s (%s)", psiNames[n], k.words(), psi.Standard, psi.Clause, psi.Source, psi.Provenance))
			}
		}
	}
	return out
}
