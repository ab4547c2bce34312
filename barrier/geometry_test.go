package barrier_test

import (
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
