package report

import (
	"math"
	"testing"

	"example.com/stanchion/barrier/check"
)

// A line load over a level leg of 4 m and one that rises 3 m on 4 m stands on the rail in both: its pieces meet at
// the bend, drawn 10 mm to the metre (geometry of the case: own arithmetic).
func TestLoadsFollowTheSlopeOfTheRail(t *testing.T) {
	run := course{&check.Shape{Course: []check.ShapeSpot{{X: 0}, {X: 4, Level: 4}, {X: 9, Level: 8, Rise: 3}}}}
	place := &placing{course: run, base: 100, scale: 10}
	e := &elevating{course: run}
	want := [][2]paper{{{20, 90}, {40, 90}}, {{40, 90}, {80, 60}}}
	got := e.alongRail(2, 9, 1, place)
	if len(got) != len(want) {
		t.Fatalf("pieces %v, want %v", got, want)
	}
	for i := range want {
		for k := range want[i] {
			if math.Hypot(got[i][k][0]-want[i][k][0], got[i][k][1]-want[i][k][1]) > 1e-9 {
				t.Errorf("piece %d ends at %v, want %v", i, got[i][k], want[i][k])
			}
		}
	}
	if level := e.alongRail(0, 4, 1, place); len(level) != 1 {
		t.Errorf("a straight length is in pieces %v", level)
	}
}
