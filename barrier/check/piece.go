package check

import (
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/loads"
)

// piece is the test piece of a standard that proves its loads on posts with open ends,
// checked beside a run that has none.
type piece struct {
	standard string
	*run
}

// pieceWords begin the elements of a test piece.
const pieceWords = "test piece "

// runPiece checks the test piece where no post of the run is a free end. Its bays are
// the longest of the run.
func (c *run) runPiece() error {
	d, s := c.pieceOf()
	if d == nil {
		return nil
	}
	p, err := c.runOfPiece(d)
	if err != nil {
		return err
	}
	if err := p.calculate(); err != nil {
		return err
	}
	if c.depth == whole {
		p.report()
	} else {
		p.conclude()
	}
	c.piece = &piece{s.Standard, p}
	return nil
}

// runOfPiece readies the check of the test piece.
func (c *run) runOfPiece(d *barrier.Definition) (*run, error) {
	if c.before != nil && c.before.piece != nil {
		return c.before.piece.again(c.depth), nil
	}
	return newRun(d, c.o, c.depth)
}

// pieceOf returns the test piece and the schedule that asks for it, nil for none.
func (c *run) pieceOf() (*barrier.Definition, *loads.Schedule) {
	if !c.d.Run.Start.Wall || !c.d.Run.End.Wall || len(c.d.Run.Gaps) > 0 {
		return nil, nil
	}
	var tested []int
	for i := range c.d.Loads {
		if s := c.d.Loads[i].Schedule; s != nil && s.TestPosts > 0 {
			tested = append(tested, i)
		}
	}
	if len(tested) == 0 {
		return nil, nil
	}
	s := c.d.Loads[tested[0]].Schedule
	return testPiece(c.d, tested, s), s
}

// testPiece returns the barrier as the piece that a schedule tests: so many posts, free
// ends, rails without a splice, under those of its loads that are tested. Of posts that were measured
// the weakest makes it, on feet and fittings as the file tells of them.
func testPiece(d *barrier.Definition, tested []int, s *loads.Schedule) *barrier.Definition {
	cut := *d
	cut.Run = barrier.Run{Hazard: d.Run.Hazard, ToePlate: d.Run.ToePlate}
	for i := range s.TestPosts {
		cut.Run.Posts = append(cut.Run.Posts, float64(i)*longestBay(d, false))
	}
	cut.Post.Member, cut.PostMembers, cut.Survey = *d.WeakestPost(), nil, nil
	cut.Loads, cut.Combine, cut.Braces = someLoads(d, tested), someCombining(&d.Combine, tested), nil
	cut.Rails = slices.Clone(d.Rails)
	for i := range cut.Rails {
		if r := &cut.Rails[i]; r.SpliceState != barrier.CutAtPosts {
			r.SpliceState, r.Splices = barrier.SplicesNotNeeded, nil
		}
	}
	return &cut
}

// someLoads returns some of the loads of a list, with what acts with each among them.
func someLoads(d *barrier.Definition, some []int) []barrier.Load {
	var out []barrier.Load
	for _, i := range some {
		l := d.Loads[i]
		l.With = nil
		for _, other := range d.Loads[i].With {
			if at := slices.Index(some, other); at >= 0 {
				l.With = append(l.With, at)
			}
		}
		out = append(out, l)
	}
	return out
}

// someCombining returns how some of the loads of a list are combined: without those
// combinations of the user's own that have none of them.
func someCombining(of *barrier.Combining, some []int) barrier.Combining {
	out := *of
	out.Own = nil
	for _, own := range of.Own {
		factors := map[int]float64{}
		for at, i := range some {
			if k, ok := own.Factors[i]; ok {
				factors[at] = k
			}
		}
		if own.Factors = factors; len(factors) > 0 {
			out.Own = append(out.Own, own)
		}
	}
	return out
}

// takePiece takes the checks of the test piece, and their trails, among those of the run.
func (c *run) takePiece() {
	if c.piece == nil {
		return
	}
	for _, row := range c.piece.out.Checks {
		row.Element = pieceWords + row.Element
		c.out.Checks = append(c.out.Checks, row)
	}
	for _, trail := range c.piece.out.Trails {
		trail.Element = pieceWords + trail.Element
		c.out.Trails = append(c.out.Trails, trail)
	}
}

// openPiece takes what the test piece leaves open: a demand that is larger than the run's
// own stands in its place, and what the run has not at all stands beside.
func (c *run) openPiece() {
	if c.piece == nil {
		return
	}
	c.out.Unchecked = largerDemands(c.out.Unchecked, c.piece.out.Unchecked)
	c.out.LeftOut = largerDemands(c.out.LeftOut, c.piece.out.LeftOut)
}

// largerDemands returns the items of a run with the larger demands of its test piece.
func largerDemands(own, piece []Item) []Item {
	for _, it := range piece {
		at := slices.IndexFunc(own, func(o Item) bool { return o.same(&it) })
		switch {
		case at < 0:
			it.Item = pieceWords + it.Item
			own = append(own, it)
		case it.Element != "" && it.Demand > own[at].Demand:
			named := largest(it.Kind, it.What, pieceWords+it.Element)
			named.Reason, named.Demand, named.Unit, named.Load = it.Reason, it.Demand, it.Unit, it.Load
			own[at] = named
		case it.Demand > own[at].Demand:
			own[at].Demand = it.Demand // what the run says of it holds of both
		}
	}
	return own
}
