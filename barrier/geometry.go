package barrier

import (
	"fmt"
	"slices"
)

// Piece is a length of rail without a splice or a cut.
type Piece struct {
	From, To float64 // x of its ends, m
}

// Length returns the length of the piece, m.
func (p Piece) Length() float64 { return p.To - p.From }

// Length returns the distance between the end posts, m.
func (d *Definition) Length() float64 { return d.Run.Posts[len(d.Run.Posts)-1] - d.Run.Posts[0] }

// Bays returns the number of bays: one less than there are posts.
func (d *Definition) Bays() int { return len(d.Run.Posts) - 1 }

// BayLength returns the length of a bay, m. Bays count from 0, bay i from post i to
// post i+1. It panics where there is no such bay.
func (d *Definition) BayLength(bay int) float64 {
	if bay < 0 || bay >= d.Bays() {
		panic(fmt.Sprintf("barrier: no bay %d of %d", bay, d.Bays()))
	}
	return d.Run.Posts[bay+1] - d.Run.Posts[bay]
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

// InnerPosts returns the x of every post but the first and the last, m: where a rail is
// cut that is cut at every post. The slice is the caller's own.
func (d *Definition) InnerPosts() []float64 {
	return slices.Clone(d.Run.Posts[1 : len(d.Run.Posts)-1])
}

// Pieces returns the continuous pieces of a rail, given by its index, that is spliced at
// the positions (x, m, ascending), from start to end. With InnerPosts for splices the
// rail is cut at every post, and a rail with through = false always is.
func (d *Definition) Pieces(rail int, splices []float64) []Piece {
	if !d.Rails[rail].Through {
		splices = d.InnerPosts()
	}
	return cut(d.Run.Posts, splices)
}

// cut returns the pieces of a rail along these posts, cut at the positions.
func cut(posts, positions []float64) []Piece {
	pieces := make([]Piece, 0, len(positions)+1)
	from := posts[0]
	for _, x := range positions {
		pieces = append(pieces, Piece{from, x})
		from = x
	}
	return append(pieces, Piece{from, posts[len(posts)-1]})
}
