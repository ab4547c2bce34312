package barrier

import (
	"math"
	"testing"

	"example.com/stanchion/solver"
)

// TestPath checks places along a run that turns and climbs against plane geometry: a 3-4-5
// slope after a left turn.
func TestPath(t *testing.T) {
	run := Run{Legs: []Leg{
		{From: 0, To: 6},
		{From: 6, To: 11, Turn: math.Pi / 2, Pitch: math.Atan2(3, 4)},
		{From: 11, To: 13, Turn: -math.Pi / 2},
	}, Posts: []float64{0, 3, 6, 8.5, 11, 13}}
	for _, c := range []struct {
		what        string
		leg         int
		x, left, up float64
		want        solver.Vec
	}{
		{"start", 0, 0, 0, 0, solver.Vec{0, 0, 0}},
		{"first leg, left of it and above", 0, 3, 0.1, 1.1, solver.Vec{3, 0.1, 1.1}},
		{"corner, before", 0, 6, 0.1, 1.1, solver.Vec{6, 0.1, 1.1}},
		{"corner, after", 1, 6, 0.1, 1.1, solver.Vec{5.9, 0, 1.1}},
		{"top of the slope", 1, 11, 0, 1, solver.Vec{6, 4, 4}},
		{"landing", 2, 13, 0.1, 1, solver.Vec{8, 4.1, 4}},
	} {
		got := run.At(c.leg, c.x, c.left, c.up)
		for k := range got {
			if math.Abs(got[k]-c.want[k]) > 1e-12 {
				t.Errorf("%s: At = %v, want %v (source: plane geometry)", c.what, got, c.want)
				break
			}
		}
	}
	for post, want := range []bool{false, false, true, false, true, false} {
		if got := run.IsCorner(post); got != want {
			t.Errorf("IsCorner(%d) = %v, want %v", post, got, want)
		}
	}
	if leg := run.LegOf(6); leg != 0 {
		t.Errorf("LegOf(6) = %d, want 0: a corner belongs to the leg that ends there", leg)
	}
}
