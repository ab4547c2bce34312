package barrier_test

import (
	"math"
	"slices"
	"testing"

	"example.com/stanchion/barrier"
)

func TestBays(t *testing.T) {
	d := &barrier.Definition{Run: barrier.Run{Posts: []float64{1, 2, 4, 5, 7}}}
	for _, c := range []struct {
		x    float64
		want int
	}{{1, 0}, {1.5, 0}, {2, 1}, {3.99, 1}, {4, 2}, {6.9, 3}, {7, 3}, {0, 0}, {8, 3}} {
		if got := d.BayOf(c.x); got != c.want {
			t.Errorf("BayOf(%v) = %d, want %d", c.x, got, c.want)
		}
	}
	for bay, want := range []float64{1, 2, 1, 2} {
		if got := d.BayLength(bay); got != want {
			t.Errorf("BayLength(%d) = %v, want %v", bay, got, want)
		}
	}
}

// A wall ends a bay as a post does, and an overhang goes to the bay beside it.
func TestBaysBetweenWalls(t *testing.T) {
	d := &barrier.Definition{Run: barrier.Run{Start: barrier.End{Wall: true, X: 1}, Posts: []float64{2, 4}, Overhang: [2]float64{0, 0.5}}}
	if got, want := d.Supports(), []float64{1, 2, 4}; !slices.Equal(got, want) {
		t.Errorf("supports at %v, want %v", got, want)
	}
	for _, c := range []struct {
		x    float64
		want int
	}{{1, 0}, {1.5, 0}, {2, 1}, {4, 1}, {4.3, 1}} {
		if got := d.BayOf(c.x); got != c.want {
			t.Errorf("BayOf(%v) = %d, want %d", c.x, got, c.want)
		}
	}
	if from, to := d.Run.RailEnds(); from != 1 || to != 4.5 {
		t.Errorf("rails run from %v to %v, want 1 to 4.5", from, to)
	}
	if d.BayLength(0) != 1 || d.BayLength(1) != 2 || d.Run.PostSupport(0) != 1 {
		t.Errorf("bays of %v and %v, post 1 is support %d", d.BayLength(0), d.BayLength(1), d.Run.PostSupport(0))
	}
}

// The height of a rule counts from the walking surface, or from a foot above it.
func TestRuleHeight(t *testing.T) {
	for _, c := range []struct{ level, want float64 }{{0, 1.1}, {-0.2, 1.1}, {0.3, 0.8}} {
		d := &barrier.Definition{Rails: []barrier.Rail{{Height: 0.5}, {Height: 1.1}}, Post: barrier.Post{Base: barrier.Base{Level: c.level}}}
		if got := d.RuleHeight(); math.Abs(got-c.want) > 1e-15 {
			t.Errorf("foot at %v: h = %v, want %v", c.level, got, c.want)
		}
	}
}

func TestHighest(t *testing.T) {
	for _, c := range []struct {
		heights []float64
		want    int
	}{{[]float64{1.1}, 0}, {[]float64{0.5, 1.1}, 1}, {[]float64{0.5, 1.1, 0.8, 1.1}, 1}} {
		d := &barrier.Definition{}
		for _, h := range c.heights {
			d.Rails = append(d.Rails, barrier.Rail{Height: h})
		}
		if got := d.Highest(); got != c.want {
			t.Errorf("rails at %v: highest %d, want %d", c.heights, got, c.want)
		}
	}
}
