package barrier

import (
	"fmt"
	"slices"
)

// Highest returns the index of the highest rail, the first of equal ones.
func (d *Definition) Highest() int {
	return highest(len(d.Rails), func(i int) float64 { return d.Rails[i].Height })
}

// highest returns which of n rails is the highest, the first of equal ones; 0 for none.
func highest(n int, height func(rail int) float64) int {
	top := 0
	for i := range n {
		if height(i) > height(top) {
			top = i
		}
	}
	return top
}

// RuleHeight returns the height h of a rule of movement, m: that of the axis of the
// highest rail above the walking surface, or above the foot where that is higher.
func (d *Definition) RuleHeight() float64 {
	return d.Rails[d.Highest()].Height - max(0, d.Post.Base.Level)
}

// TopOfRail returns the height of the top of the highest rail above the walking surface, m.
func (d *Definition) TopOfRail() float64 {
	top := &d.Rails[d.Highest()]
	return top.Height + top.BuiltOD()/2
}

// BayLength returns the length of a bay, m. Bays count from 0, bay i from support i to
// support i+1, each a post or a wall. It panics where there is no such bay.
func (d *Definition) BayLength(bay int) float64 {
	s := d.Supports()
	if bay < 0 || bay > len(s)-2 {
		panic(fmt.Sprintf("barrier: no bay %d of %d", bay, len(s)-1))
	}
	return s[bay+1] - s[bay]
}

// BayOf returns the bay, from 0, in which x (m) lies. A post belongs to the bay that
// follows it, the last support to the last bay; what is beyond, such as an overhang, goes
// to the nearest.
func (d *Definition) BayOf(x float64) int { return bayOf(d.Supports(), x) }

func bayOf(supports []float64, x float64) int {
	i, onSupport := slices.BinarySearch(supports, x)
	if !onSupport {
		i--
	}
	return min(max(i, 0), len(supports)-2)
}

// Supports returns the x of the ends of all bays, m: of every post and of a wall at
// either end.
func (d *Definition) Supports() []float64 { return d.Run.Supports() }

// Supports returns the x of every post and of a wall at either end, m, ascending.
func (r *Run) Supports() []float64 {
	var all []float64
	if r.Start.Wall {
		all = append(all, r.Start.X)
	}
	all = append(all, r.Posts...)
	if r.End.Wall {
		all = append(all, r.End.X)
	}
	return all
}

// bays returns how many bays the run has, gaps among them.
func (r *Run) bays() int {
	n := len(r.Posts) - 1
	for _, end := range [2]End{r.Start, r.End} {
		if end.Wall {
			n++
		}
	}
	return n
}

// PostSupport returns which support a post is: posts count from 0, and so do supports.
func (r *Run) PostSupport(post int) int {
	if r.Start.Wall {
		return post + 1
	}
	return post
}

// postNumber returns the number, from 1, of the post that is this support, from 0.
func (r *Run) postNumber(support int) int {
	if r.Start.Wall {
		return support
	}
	return support + 1
}

// isWall says whether a support, from 0, of n is a wall.
func (r *Run) isWall(support, n int) bool {
	return r.Start.Wall && support == 0 || r.End.Wall && support == n-1
}

// RailEnds returns the x at which every rail starts and ends, m: at a wall, or at the
// end post and past it by the overhang.
func (r *Run) RailEnds() (from, to float64) {
	s := r.Supports()
	return s[0] - r.Overhang[0], s[len(s)-1] + r.Overhang[1]
}
