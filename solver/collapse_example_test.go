package solver_test

import (
	"fmt"

	"example.com/stanchion/solver"
)

// A rail clamped at both ends, 2 m long, under a line load of 1 N/m; its plastic moment is
// 1000 N·m. By hand hinges form at both ends at wL²/12 = Mp, w = 3000 N/m, and the third in the
// middle at wL²/8 = 2 Mp, w = 4000 N/m.
func ExampleFactored_Collapse() {
	var f solver.Frame
	a, b := f.Node("left", solver.Vec{}), f.Node("right", solver.Vec{2, 0, 0})
	for _, n := range []solver.NodeID{a, b} {
		f.Restrain(n, solver.UX, solver.UY, solver.UZ, solver.RX, solver.RY, solver.RZ)
	}
	rail := f.Member(solver.Member{Start: a, End: b, EA: 1e8, EIy: 24000, EIz: 24000, GJ: 19000, Reference: solver.Vec{0, 0, 1}})
	model, err := f.Factorise()
	if err != nil {
		fmt.Println(err)
		return
	}
	down := solver.Vec{0, 0, -1}
	load := solver.Case{Lines: []solver.LineLoad{{Member: rail, To: 2, Start: down, End: down}}}
	way, err := model.Collapse(load, []solver.PlasticMoments{{Member: rail, Mz: 1000}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range way.Events {
		fmt.Printf("hinge at %.1f m, %.0f N/m\n", e.Station, e.Factor)
	}
	fmt.Printf("%s moves in %s\n", way.Place, way.Direction)
	// Output:
	// hinge at 0.0 m, 3000 N/m
	// hinge at 2.0 m, 3000 N/m
	// hinge at 1.0 m, 4000 N/m
	// member from left to right at 1 m moves in translation along Z
}
