package check

import (
	"fmt"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
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
	for _, a := range c.actions {
		add(fmt.Sprintf("load %s: %s; %s (%s)", a.Name, a.Clause, a.Source, a.Provenance))
	}
	for i := range c.d.Loads {
		if s := c.d.Loads[i].Schedule; s != nil && s.Limit != nil {
			add(fmt.Sprintf("limit %s: %s %s; %s (%s)", quantity.Format(s.Limit.Deflection, quantity.Length, c.o.Units), s.Limit.Standard, s.Limit.Clause, s.Limit.Source, s.Limit.Provenance))
		}
	}
	k := loads.CombinationsOf(c.d.Basis)
	for _, k := range []loads.Combination{k.ULS, k.SLS} {
		add(fmt.Sprintf("combination %s (%s): %s %s; %s (%s)", k.Name, k.LimitState, k.Standard, k.Clause, k.Source, k.Provenance))
	}
	if c.d.Basis == loads.BasisEN {
		add("resistances: EN 1993-1-1:2005 with AC:2009, clauses as listed, formulas and γM0 from memory, held against published worked examples in the tests (memory)")
	} else {
		add("resistances: AISC 360-22, clauses as listed; F8, G5, H1, H3 and E3 as printed in the AISC Design Examples v16 (public), F8-2, F8-3, E7 and the second-order factor from memory; held against those examples in the tests")
	}
	add("section properties: exact formulas of the circular ring (derived)")
}
