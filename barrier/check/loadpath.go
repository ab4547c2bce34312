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
		case c.hasOpen(OpenSecondOrder):
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
	case c.hasUnjudged("fitting-", "splice-"):
		fitting.Utilisation, fitting.Note = c.largestOf("fitting-", "splice-"), "checked but for second order"
	case c.largestOf("fitting-", "splice-") != nil:
		fitting.Utilisation, fitting.Note = c.largestOf("fitting-", "splice-"), "checked in part"
	}
	c.out.LoadPath = append(c.out.LoadPath, fitting, member("post", "post-"))
	c.out.LoadPath = append(c.out.LoadPath, c.braceLinks()...)
	c.out.LoadPath = append(c.out.LoadPath, c.footLinks()...)
	if c.d.Run.Start.Wall || c.d.Run.End.Wall {
		c.out.LoadPath = append(c.out.LoadPath, c.jointLink("wall", "nothing says what it resists", c.d.LeaveOut.Base, OpenWall, "wall-"))
	}
	for i := range c.out.LoadPath {
		c.out.LoadPath[i].tellFailure()
	}
}

// tellFailure notes of a link that is not wholly checked that what is checked of it fails.
func (l *Link) tellFailure() {
	if l.Status == Unchecked && l.Utilisation != nil && *l.Utilisation > 1 {
		l.Note += "; FAILS in that"
	}
}

// baseLink is a link that holds the barrier and that nothing checks, with the reason.
func (c *run) baseLink(name, note string) Link {
	if c.d.LeaveOut.Base {
		return Link{Link: name, Status: LeftOut}
	}
	return Link{Link: name, Status: Unchecked, Note: note}
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
	return c.largestOf("fitting-") != nil && !c.hasOpen(OpenFitting, OpenSplice) && !c.hasUnjudged("fitting-", "splice-")
}

// hasUnjudged reports whether a check whose id begins with one of the prefixes holds its value
// against nothing, for second order.
func (c *run) hasUnjudged(prefixes ...string) bool {
	return slices.ContainsFunc(c.out.Checks, func(r CheckRow) bool {
		return r.Status == Unchecked && slices.ContainsFunc(prefixes, func(prefix string) bool { return strings.HasPrefix(r.ID, prefix) })
	})
}

// jointLink is a link whose checks have ids of a prefix and whose open demands are of a kind;
// nothing is said where none of it is checked.
func (c *run) jointLink(name, nothing string, left bool, open ItemKind, prefix string) Link {
	l := Link{Link: name, Status: Checked, Utilisation: c.largestOf(prefix)}
	isOf := func(r CheckRow) bool { return strings.HasPrefix(r.ID, prefix) && r.Status != Unchecked }
	switch {
	case left:
		return Link{Link: name, Status: LeftOut}
	case c.hasUnjudged(prefix):
		l.Status, l.Note = Unchecked, "checked but for second order"
	case c.hasOpen(open) && slices.ContainsFunc(c.out.Checks, isOf):
		l.Status, l.Note = Unchecked, "checked in part"
	case c.hasOpen(open):
		l.Status, l.Note = Unchecked, nothing
	}
	return l
}
