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
	result   *Result
}

// pieceWords begin the elements of a test piece.
const pieceWords = "test piece "

// runPiece checks the test piece where no post of the run is a free end. Its bays are
// the longest of the run.
func (c *run) runPiece() error {
	if !c.d.Run.Start.Wall || !c.d.Run.End.Wall {
		return nil
	}
	tested := slices.DeleteFunc(slices.Clone(c.d.Loads), func(l barrier.Load) bool { return l.Schedule == nil || l.Schedule.TestPosts == 0 })
	if len(tested) == 0 {
		return nil
	}
	s := tested[0].Schedule
	result, err := Run(testPiece(c.d, tested, s), c.o)
	if err != nil {
		return err
	}
	c.piece = &piece{s.Standard, result}
	return nil
}

// testPiece returns the barrier as the piece that a schedule tests: so many posts, free
// ends, rails without a splice.
func testPiece(d *barrier.Definition, tested []barrier.Load, s *loads.Schedule) *barrier.Definition {
	cut := *d
	cut.Run = barrier.Run{Hazard: d.Run.Hazard, ToePlate: d.Run.ToePlate}
	for i := range s.TestPosts {
		cut.Run.Posts = append(cut.Run.Posts, float64(i)*longestBay(d))
	}
	cut.Loads = tested
	cut.Rails = slices.Clone(d.Rails)
	for i := range cut.Rails {
		if r := &cut.Rails[i]; r.SpliceState != barrier.CutAtPosts {
			r.SpliceState, r.Splices = barrier.SplicesNotNeeded, nil
		}
	}
	return &cut
}

// takePiece takes the checks of the test piece among those of the run, and what it
// leaves unchecked that the run does not.
func (c *run) takePiece() {
	if c.piece == nil {
		return
	}
	for _, row := range c.piece.result.Checks {
		row.Element = pieceWords + row.Element
		c.out.Checks = append(c.out.Checks, row)
	}
	for _, trail := range c.piece.result.Trails {
		trail.Element = pieceWords + trail.Element
		c.out.Trails = append(c.out.Trails, trail)
	}
}

// openPiece lists what the test piece leaves unchecked and the run does not.
func (c *run) openPiece() {
	if c.piece == nil {
		return
	}
	for _, it := range c.piece.result.Unchecked {
		if !c.hasOpen(it.Kind) {
			it.Item = pieceWords + it.Item
			c.open(it)
		}
	}
}
