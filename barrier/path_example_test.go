package barrier_test

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
)

// A run goes 6 m along X, turns left and climbs a slope of 3 in 4. Its rail at 1.1 m is, 5 m
// farther on, 4 m along the second leg in plan and 3 m higher: 1.1 + 3 = 4.1 m up.
func ExampleRun_At() {
	run := barrier.Run{Legs: []barrier.Leg{
		{From: 0, To: 6},
		{From: 6, To: 11, Turn: math.Pi / 2, Pitch: math.Atan2(3, 4)},
	}}
	fmt.Printf("%.2f m\n", run.At(1, 11, 0, 1.1))
	// Output: [6.00 4.00 4.10] m
}
