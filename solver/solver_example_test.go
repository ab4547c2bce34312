package solver_test

import (
	"fmt"
	"math"

	"example.com/stanchion/solver"
)

// A cantilever post of 1.1 m with 1 kN across its top. By hand the top moves
// PL³/3EI and the foot carries PL.
func ExampleFrame_Factorise() {
	const P, L, EI = 1000.0, 1.1, 24000.0 // N, m, N·m²

	var f solver.Frame
	foot := f.Node("foot", solver.Vec{0, 0, 0})
	top := f.Node("top", solver.Vec{0, 0, L})
	f.Restrain(foot, solver.UX, solver.UY, solver.UZ, solver.RX, solver.RY, solver.RZ)
	f.Member(solver.Member{Start: foot, End: top, EA: 9e7, EIy: EI, EIz: EI, GJ: 19000, Reference: solver.Vec{0, 1, 0}})

	model, err := f.Factorise()
	if err != nil {
		fmt.Println(err)
		return
	}
	s := model.Solve(solver.Case{Nodes: []solver.NodeLoad{{Node: top, Force: solver.Vec{0, P, 0}}}})
	fmt.Printf("top moves %.3f mm, by hand %.3f mm\n", 1000*s.Displacement(top, solver.UY), 1000*P*L*L*L/(3*EI))
	for _, r := range s.Reactions {
		if math.Abs(r.Value) > 1e-6 {
			fmt.Printf("foot, %v: %.0f\n", r.Freedom, r.Value)
		}
	}
	// Output:
	// top moves 18.486 mm, by hand 18.486 mm
	// foot, translation along Y: -1000
	// foot, rotation about X: 1100
}

// A load that travels along a beam of two spans. The moment over the middle
// support is largest, PL/(6√3), with the load at L/√3 of either span; a full
// line load gives wL²/8.
func ExampleInfluence() {
	const L, P, w = 1.5, 1000.0, 740.0 // m, N, N/m

	var f solver.Frame
	var row solver.Row
	var nodes [3]solver.NodeID
	row.Share = 1
	for i := range nodes {
		nodes[i] = f.Node(fmt.Sprint("support ", i), solver.Vec{L * float64(i), 0, 0})
		f.Restrain(nodes[i], solver.UY, solver.UZ, solver.RX, solver.RY)
		if i > 0 {
			row.Members = append(row.Members, f.Member(solver.Member{Start: nodes[i-1], End: nodes[i],
				EA: 9e7, EIy: 24000, EIz: 24000, GJ: 19000, Reference: solver.Vec{0, 1, 0}}))
		}
	}
	f.Restrain(nodes[0], solver.UX)

	model, err := f.Factorise()
	if err != nil {
		fmt.Println(err)
		return
	}
	down := solver.Vec{0, -1, 0}
	influence := model.Influence(model.Chain(row), down)
	line := influence.Line(model.Section(row.Members[0], L, solver.MomentZ))
	least, _ := line.Extremes(0)
	fmt.Printf("point load: %.2f N·m at %.4f m, by hand %.2f at %.4f\n", P*least.Value, least.Station, -P*L/(6*math.Sqrt(3)), L/math.Sqrt(3))

	worst := solver.Adverse([]solver.Line{line}, []float64{-1}, 0)
	fmt.Printf("line load over %.1f m to %.1f m: %.3f N·m, by hand %.3f\n", worst[0].From, worst[0].To, w*line.Integral(0, worst), -w*L*L/8)
	// Output:
	// point load: -144.34 N·m at 0.8660 m, by hand -144.34 at 0.8660
	// line load over 0.0 m to 3.0 m: -208.125 N·m, by hand -208.125
}
