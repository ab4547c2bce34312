package check

import "math"

// crossing looks for the flexibility of the feet at which a utilisation that grows with it passes 1, between one
// at which it is below that and one at which it is not.
//
// Each foot alone makes a movement a fraction (a + b x)/(c + d x) of its flexibility x, on a lone post a
// straight line, and all together near to one. So the next flexibility is where the fraction through the last three
// utilisations passes 1: Jarratt and Nudds, The use of rational functions in the iterative solution of equations on a digital
// computer, 1965, from memory. Where that leads out of what is known what is known is halved, and by turns where it takes long.
type crossing struct {
	own, most float64   // flexibility of a post itself, as if it were in its foot; no flexibility above it is tried
	low, high float64   // 0 and +Inf while they are not known
	isLow     bool      // the low one is known
	last      [3]*trial // the last first
	taken     int
}

// trial is a flexibility and how far its utilisation is above 1.
type trial struct{ x, over float64 }

func newCrossing(own, most float64) *crossing {
	return &crossing{own: own, most: most, high: math.Inf(1)}
}

// take narrows what is known by a flexibility and its utilisation.
func (c *crossing) take(x, u float64) {
	if u < 1 {
		c.low, c.isLow = x, true
	} else {
		c.high = x
	}
	c.last[0], c.last[1], c.last[2] = &trial{x, u - 1}, c.last[0], c.last[1]
	c.taken++
}

// closed reports whether nothing is left between them.
func (c *crossing) closed() bool { return !math.IsInf(c.high, 1) && c.high-c.low <= 1e-12*c.high }

// next returns the flexibility to try: 0, rigid feet, where what is less than one too high has been too high as well.
func (c *crossing) next() float64 {
	const farther, patience = 10, 8
	x, farthest := c.guess(), farther*math.Max(c.low, c.own)
	inside := x > c.low && x < c.high
	switch {
	case math.IsInf(c.high, 1) && (!inside || x > farthest):
		x = farthest
	case !c.isLow && (!inside || c.taken > 3):
		x = 0
	case !inside || c.taken > patience && c.taken%2 == 0 && !math.IsInf(c.high, 1):
		x = 0.5 * (c.low + c.high)
	}
	return math.Min(x, c.most)
}

// ofLonePost returns the flexibility of its foot at which the movement of a lone post, which is in proportion to that and
// its own together, is what is allowed, where at another flexibility it is u of that; below 0 where none is low enough.
func ofLonePost(own, flexibility, u float64) float64 { return (own+flexibility)/u - own }

// guess returns where the fraction through the last three utilisations passes 1, the straight line through two, and of a lone
// post with one; no number where none does.
func (c *crossing) guess() float64 {
	a, b, d := c.last[0], c.last[1], c.last[2]
	switch {
	case b == nil:
		return ofLonePost(c.own, a.x, a.over+1)
	case d == nil:
		return a.x - a.over*(b.x-a.x)/(b.over-a.over)
	}
	y, z := b.x-a.x, d.x-a.x
	return a.x + a.over*(d.over-b.over)*y*z/((a.over-b.over)*d.over*z-(a.over-d.over)*b.over*y)
}
