package check

import (
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
)

// Judgement is what a check of a barrier comes to, without the rows of a report. Its values are
// those that Run finds, rounded alike; second order beside its bound is not told.
type Judgement struct {
	Status        Status
	ScopeComplete bool
	Governing     Governing     // without SecondOrder
	Checks        []Judged      // the worst of each id, in the order of the report: one that fails before one that is not judged
	Geometry      []GeometryRow // the geometry rules that fail
	Unchecked     []Item        // what was not checked, with its demand

	BaseMoment float64 // largest design base moment, N·m
	BaseUplift float64 // largest design uplift of a post, N; 0 where none is lifted
	Slip       float64 // largest design force along a tube in a fitting, N
	Deflection float64 // largest movement across of any point, m; permanent load excluded
	Feet       int     // posts
}

// Judged is the worst of one check over all elements, and where it is.
type Judged struct {
	ID          string
	Element     string
	Post        int      // from 0; -1 for none
	Rail, Bay   int      // from 0; -1 for none; Bay as analysis.Probe has it
	Utilisation *float64 // nil: it has no bound, or nothing judges it
	Status      Status   // pass, fail, unchecked
}

// depth is how much of a check is asked for.
type depth int

const (
	whole   depth = iota // every row of a report
	judged               // what it comes to
	failing              // whether it fails
)

// Judge checks a barrier as Run does, and tells what it comes to. Errors are those of Run, but
// for frames that Run shows beside those that count: these are not run.
func Judge(d *barrier.Definition) (*Judgement, error) {
	c, err := calculate(d, Options{}, judged)
	if err != nil {
		return nil, err
	}
	c.conclude()
	return c.judgement(), nil
}

// conclude fills of the result what its status rests on.
func (c *run) conclude() {
	c.completeGoverning()
	c.checkRows()
	c.thrusts()
	c.braceRows()
	c.wallEnds()
	c.geometry()
	c.openEnds()
	c.status()
}

// judgement returns what the check comes to.
func (c *run) judgement() *Judgement {
	j := &Judgement{
		Status: c.out.Status, ScopeComplete: c.out.ScopeComplete, Governing: c.out.Governing, Unchecked: c.out.Unchecked, Feet: len(c.d.Run.Posts),
		Checks: c.worstChecks(), BaseUplift: figures(c.uplift()), Slip: figures(c.slip()), Deflection: figures(c.largestMovement()) / 1e3,
	}
	for i := range c.worst.posts {
		j.BaseMoment = math.Max(j.BaseMoment, figures(c.worst.posts[i].base.Value))
	}
	for _, ref := range [...]*CheckRef{&j.Governing.Overall, &j.Governing.Strength, &j.Governing.Deflection, &j.Governing.FirstYield} {
		ref.Utilisation = settledUse(ref.Utilisation)
	}
	for _, g := range c.out.Geometry {
		if g.Status == Fail {
			g.Required, g.Found = figures(g.Required), figures(g.Found)
			j.Geometry = append(j.Geometry, g)
		}
	}
	for i := range j.Unchecked {
		j.Unchecked[i].Demand = figures(j.Unchecked[i].Demand)
	}
	return j
}

// figures rounds a number as a result is rounded.
func figures(v float64) float64 { return quantity.Figures(v, printedFigures) }

// settledUse rounds a utilisation that may have no bound.
func settledUse(u *float64) *float64 {
	if u == nil {
		return nil
	}
	settled := figures(*u)
	return &settled
}

// worstChecks returns the worst of each id, in the order of the report.
func (c *run) worstChecks() []Judged {
	const several = 16
	out := make([]Judged, 0, several)
	of := c.inOrder()
	for i := range c.out.Checks { // those of the test piece come last
		row := &c.out.Checks[i]
		at := slices.IndexFunc(out, func(j Judged) bool { return j.ID == row.ID })
		if at >= 0 && !out[at].yields(row) {
			continue
		}
		worst := Judged{ID: row.ID, Element: row.Element, Post: -1, Rail: -1, Bay: -1, Utilisation: row.Utilisation, Status: row.Status}
		if i < len(of) {
			worst.place(of[i])
		}
		if at < 0 {
			out = append(out, worst)
			continue
		}
		out[at] = worst
	}
	for i := range out {
		out[i].Utilisation = settledUse(out[i].Utilisation)
	}
	return out
}

// severity orders the verdicts of a check, the lightest first.
func severity(of Status) int { return slices.Index([]Status{Pass, Unchecked, Fail}, of) }

// yields reports whether a row is worse.
func (j *Judged) yields(row *CheckRow) bool {
	if a, b := severity(j.Status), severity(row.Status); a != b {
		return a < b
	}
	return j.Utilisation != nil && (row.Utilisation == nil || analysis.Beats(*row.Utilisation, *j.Utilisation))
}

// place tells where a finding is.
func (j *Judged) place(f *finding) {
	switch kind, _, _ := strings.Cut(f.id, "-"); kind {
	case "post", "base":
		j.Post = f.member
	case "rail":
		j.Rail, j.Bay = f.member, f.placed.Probe.Bay
	case "splice":
		j.Rail = f.member
	case "fitting":
		j.Post, j.Rail = f.placed.Probe.Post, f.member
	}
}

// uplift returns the largest design uplift of a post with second order, N.
func (c *run) uplift() float64 {
	if c.lifted == nil {
		return 0
	}
	state, _ := c.footState(&c.lifted.Placed, footExtremes[footIndex("Fz+")].of)
	state = c.lifted.raise.of(&state)
	return math.Max(0, state.N)
}

// slip returns the largest design force along a tube in a fitting, N.
func (c *run) slip() float64 {
	most := 0.0
	for _, found := range [...][]finding{c.worst.fittings, c.worst.corners, c.worst.bracing} {
		for i := range found {
			if found[i].grip.kind == "slip" {
				most = math.Max(most, found[i].placed.Value)
			}
		}
	}
	return most
}
