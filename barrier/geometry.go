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

// BayLength returns the length of a bay, m. Bays count from 0, bay i from post i to
// post i+1. It panics where there is no such bay.
func (d *Definition) BayLength(bay int) float64 {
	posts := d.Run.Posts
	if bay < 0 || bay > len(posts)-2 {
		panic(fmt.Sprintf("barrier: no bay %d of %d", bay, len(posts)-1))
	}
	return posts[bay+1] - posts[bay]
}

// BayOf returns the bay, from 0, in which x (m) lies. A post belongs to the bay that
// follows it, the last post to the last bay; what is off the run goes to the nearest.
func (d *Definition) BayOf(x float64) int { return bayOf(d.Run.Posts, x) }

func bayOf(posts []float64, x float64) int {
	i, onPost := slices.BinarySearch(posts, x)
	if !onPost {
		i--
	}
	return min(max(i, 0), len(posts)-2)
}

// railPiece is a length of rail without a splice.
type railPiece struct {
	from, to float64 // x of its ends, m
}

// length returns the length of the piece, m.
func (p railPiece) length() float64 { return p.to - p.from }

// cut returns the pieces of a rail along these posts, cut at the positions.
func cut(posts, positions []float64) []railPiece {
	pieces := make([]railPiece, 0, len(positions)+1)
	from := posts[0]
	for _, x := range positions {
		pieces = append(pieces, railPiece{from, x})
		from = x
	}
	return append(pieces, railPiece{from, posts[len(posts)-1]})
}
