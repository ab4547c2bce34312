package report

import (
	"fmt"
	"math"
	"sort"

	"example.com/stanchion/barrier/check"
)

// course lays places of the barrier on paper.
type course struct{ *check.Shape }

// at is the place of the walking surface at x: on the straight between two places of the course.
func (c course) at(x float64) check.ShapeSpot {
	spots := c.Course
	i := sort.Search(len(spots), func(i int) bool { return spots[i].X >= x })
	switch {
	case i == 0:
		i = 1
	case i == len(spots):
		i = len(spots) - 1
	}
	a, b := spots[i-1], spots[i]
	part := (x - a.X) / (b.X - a.X)
	mix := func(p, q float64) float64 { return p + part*(q-p) }
	return check.ShapeSpot{X: x, Level: mix(a.Level, b.Level), Plan: [2]float64{mix(a.Plan[0], b.Plan[0]), mix(a.Plan[1], b.Plan[1])}, Rise: mix(a.Rise, b.Rise)}
}

// isLevel reports whether the walking surface is level throughout.
func (c course) isLevel() bool {
	for _, s := range c.Course {
		if s.Rise != c.Course[0].Rise {
			return false
		}
	}
	return true
}

// part is a part of the run that one row of a drawing shows: some bays side by side.
type part struct {
	bays     []check.ShapeBay
	from, to float64 // x, m
	level    [2]float64
}

// longestRow and mostBays are how much of a run stands in one row, m in plan and bays.
const (
	longestRow = 14.0
	mostBays   = 12
)

// rows divides the run into rows of much the same length: as few as keep each within longestRow and
// mostBays, or one for each bay.
func (c course) rows() []part {
	for n := 1; ; n++ {
		rows := c.inRows(n)
		fits := true
		for i := range rows {
			fits = fits && len(rows[i].bays) <= mostBays && (len(rows[i].bays) == 1 || rows[i].level[1]-rows[i].level[0] <= longestRow*1.1)
		}
		if fits || n >= len(c.Bays) {
			return rows
		}
	}
}

// inRows divides the run into at most so many rows, a bay to that in which its middle lies.
func (c course) inRows(n int) (rows []part) {
	last := len(c.Bays) - 1
	begin, end := c.at(c.Bays[0].From).Level, c.at(c.Bays[last].To).Level
	rowOf := func(bay *check.ShapeBay) int {
		return min(int((c.at((bay.From+bay.To)/2).Level-begin)/(end-begin)*float64(n)), n-1)
	}
	from := 0
	for i := range c.Bays {
		if i < last && rowOf(&c.Bays[i+1]) == rowOf(&c.Bays[from]) {
			continue
		}
		p := part{bays: c.Bays[from : i+1], from: c.Bays[from].From, to: c.Bays[i].To}
		p.level = [2]float64{c.at(p.from).Level, c.at(p.to).Level}
		rows, from = append(rows, p), i+1
	}
	return rows
}

// span names the bays of a part.
func (p *part) span() string {
	first, last := p.bays[0].Bay, p.bays[len(p.bays)-1].Bay
	if first == last {
		return fmt.Sprint(first)
	}
	return fmt.Sprintf("%d to %d", first, last)
}

// rises are the least and largest rise of the walking surface in a part.
func (c course) rises(p *part) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	take := func(s check.ShapeSpot) { low, high = math.Min(low, s.Rise), math.Max(high, s.Rise) }
	take(c.at(p.from))
	take(c.at(p.to))
	for _, s := range c.Course {
		if p.holds(s.X) {
			take(s)
		}
	}
	return low, high
}

// holds reports whether x lies in the part, its ends among it.
func (p *part) holds(x float64) bool { return x >= p.from-1e-6 && x <= p.to+1e-6 }

// postsOf are the posts that stand in a part.
func (c course) postsOf(p *part) (posts []check.ShapePost) {
	for _, post := range c.Posts {
		if p.holds(post.X) {
			posts = append(posts, post)
		}
	}
	return posts
}

// shadeOf is the step of a utilisation; none for one that is not known, and above 1 what has no
// bound.
func shadeOf(utilisation *float64, status check.Status) shade {
	switch {
	case utilisation == nil && status == check.Fail:
		return shadeOver
	case utilisation == nil:
		return unfilled
	case *utilisation <= 0.25:
		return shade25
	case *utilisation <= 0.5:
		return shade50
	case *utilisation <= 0.75:
		return shade75
	case *utilisation <= 1:
		return shade100
	}
	return shadeOver
}
