package solver_test

import (
	"fmt"

	"example.com/stanchion/solver"
)

// A rail of 20 m in the sun, 30 K warmer than when it was put up, between two walls. If
// both hold it fast it pushes with EA·a·T; a sliding end lets it grow by a·T·L.
func ExampleHeat() {
	const EA, a, T, L = 95e6, 12e-6, 30.0, 20.0 // N, 1/K, K, m

	for _, slides := range []bool{false, true} {
		var f solver.Frame
		left := f.Node("left wall", solver.Vec{0, 0, 0})
		right := f.Node("right wall", solver.Vec{L, 0, 0})
		f.Restrain(left, solver.UX, solver.UY, solver.UZ, solver.RX, solver.RY, solver.RZ)
		f.Restrain(right, solver.UY, solver.UZ)
		if !slides {
			f.Restrain(right, solver.UX)
		}
		rail := f.Member(solver.Member{Start: left, End: right, EA: EA, EIy: 24000, EIz: 24000, GJ: 19000, Expansion: a, Reference: solver.Vec{0, 1, 0}})
		model, err := f.Factorise()
		if err != nil {
			fmt.Println(err)
			return
		}
		s := model.Solve(solver.Case{Heats: []solver.Heat{{Member: rail, Rise: T}}})
		if slides {
			fmt.Printf("sliding, it grows by %.1f mm; by hand %.1f mm\n", 1000*s.Displacement(right, solver.UX), 1000*a*T*L)
		} else {
			fmt.Printf("held, it pushes with %.1f kN; by hand %.1f kN\n", -s.Diagram(rail).At(solver.Axial, L/2)/1000, EA*a*T/1000)
		}
	}
	// Output:
	// held, it pushes with 34.2 kN; by hand 34.2 kN
	// sliding, it grows by 7.2 mm; by hand 7.2 mm
}
