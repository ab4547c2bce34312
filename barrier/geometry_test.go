package barrier_test

import (
	"slices"
	"testing"

	"example.com/stanchion/barrier"
)

// uneven has bays of 1, 2, 1 and 2 m, and a rail that is cut at every post.
func uneven() *barrier.Definition {
	return &barrier.Definition{
		Run:   barrier.Run{Posts: []float64{1, 2, 4, 5, 7}},
		Rails: []barrier.Rail{{Through: true}, {Through: false}},
	}
}

func TestBays(t *testing.T) {
	d := uneven()
	for _, c := range []struct {
		x    float64
		want int
	}{{1, 0}, {1.5, 0}, {2, 1}, {3.99, 1}, {4, 2}, {6.9, 3}, {7, 3}, {0, 0}, {8, 3}} {
		if got := d.BayOf(c.x); got != c.want {
			t.Errorf("BayOf(%v) = %d, want %d", c.x, got, c.want)
		}
	}
	if d.Bays() != 4 || d.Length() != 6 || d.BayLength(1) != 2 {
		t.Errorf("%d bays, length %v, bay 1 %v; want 4, 6, 2", d.Bays(), d.Length(), d.BayLength(1))
	}
}

func TestPieces(t *testing.T) {
	d := uneven()
	atPosts := []barrier.Piece{{From: 1, To: 2}, {From: 2, To: 4}, {From: 4, To: 5}, {From: 5, To: 7}}
	for _, c := range []struct {
		rail    int
		splices []float64
		want    []barrier.Piece
	}{
		{0, nil, []barrier.Piece{{From: 1, To: 7}}},
		{0, []float64{2.5, 4.5}, []barrier.Piece{{From: 1, To: 2.5}, {From: 2.5, To: 4.5}, {From: 4.5, To: 7}}},
		{0, d.InnerPosts(), atPosts},
		{1, nil, atPosts},
	} {
		if got := d.Pieces(c.rail, c.splices); !slices.Equal(got, c.want) {
			t.Errorf("Pieces(%d, %v) = %v, want %v", c.rail, c.splices, got, c.want)
		}
	}
}
