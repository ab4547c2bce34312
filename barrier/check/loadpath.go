package check

import (
	"slices"
	"strings"
)

// loadPath says, link by link, what carries the load to the ground.
func (c *run) loadPath() {
	member := func(name, prefix string) Link {
		l := Link{Link: name, Status: Checked, Utilisation: c.largestOf(prefix)}
		switch {
		case c.hasOpen(OpenBuckling, OpenSecondOrder):
			l.Status, l.Note = Unchecked, "checked but for stability"
		case l.Utilisation == nil:
			l.Note = "no bound"
		}
		return l
	}
	c.out.LoadPath = append(c.out.LoadPath, member("rail", "rail-"))
	fitting := Link{Link: "fitting", Status: Unchecked, Note: "no tested values"}
	switch {
	case c.d.LeaveOut.Fitting:
		fitting.Status, fitting.Note = LeftOut, ""
	case c.fittingsComplete():
		fitting.Status, fitting.Utilisation, fitting.Note = Checked, c.largestOf("fitting-", "splice-"), ""
	case c.hasUnjudgedFittings():
		fitting.Utilisation, fitting.Note = c.largestOf("fitting-", "splice-"), "checked but for second order"
	case c.largestOf("fitting-", "splice-") != nil:
		fitting.Utilisation, fitting.Note = c.largestOf("fitting-", "splice-"), "checked in part"
	}
	c.out.LoadPath = append(c.out.LoadPath, fitting, member("post", "post-"))
	c.out.LoadPath = append(c.out.LoadPath, c.braceLinks()...)
	for _, name := range []string{"socket", "foot", "ground"} {
		c.out.LoadPath = append(c.out.LoadPath, c.baseLink(name))
	}
	if c.d.Run.Start.Wall || c.d.Run.End.Wall {
		c.out.LoadPath = append(c.out.LoadPath, c.baseLink("wall"))
	}
}

// baseLink is a link that holds the barrier and that nothing checks yet.
func (c *run) baseLink(name string) Link {
	if c.d.LeaveOut.Base {
		return Link{Link: name, Status: LeftOut}
	}
	return Link{Link: name, Status: Unchecked, Note: "its check is not supported yet"}
}

// largestOf returns the largest utilisation of the checks whose id begins with one of the
// prefixes, nil for none and for one without bound.
func (c *run) largestOf(prefixes ...string) *float64 {
	ref := governing(c.out.Checks, func(r *CheckRow) bool {
		return governs(r) && slices.ContainsFunc(prefixes, func(prefix string) bool { return strings.HasPrefix(r.ID, prefix) })
	})
	return ref.Utilisation
}

// fittingsComplete reports whether every demand on the fittings and splices was
// checked.
func (c *run) fittingsComplete() bool {
	return c.largestOf("fitting-") != nil && !c.hasOpen(OpenFitting, OpenSplice) && !c.hasUnjudgedFittings()
}

// hasUnjudgedFittings reports whether a tested value of a fitting or a splice is held against
// nothing, for second order.
func (c *run) hasUnjudgedFittings() bool {
	return slices.ContainsFunc(c.out.Checks, func(r CheckRow) bool {
		return r.Status == Unchecked && (strings.HasPrefix(r.ID, "fitting-") || strings.HasPrefix(r.ID, "splice-"))
	})
}
