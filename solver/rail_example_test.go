package solver_test

import (
	"fmt"

	"example.com/stanchion/solver"
)

// A rail that runs through over three posts, two bays of 1.5 m, on joints that pass forces
// alone, under 1 kN outward on the middle post. By hand a post gives h³/3EI to a unit force.
// What the outer posts take, half each, moves them by half of that and bends the rail over
// both bays by (2L)³/48EI: the middle post takes the load by these two flexibilities.
func ExampleFrame_Join() {
	const P, h, L, EI = 1000.0, 1.1, 1.5, 24000.0 // N, m, m, N·m²

	var f solver.Frame
	tube := solver.Member{EA: 9e7, EIy: EI, EIz: EI, GJ: 19000, Reference: solver.Vec{0, 1, 0}}
	add := func(start, end solver.NodeID) solver.MemberID {
		tube.Start, tube.End = start, end
		return f.Member(tube)
	}
	var feet, rail [3]solver.NodeID
	var bays [2]solver.MemberID
	for i := range feet {
		x := L * float64(i)
		feet[i] = f.Node("foot", solver.Vec{x, 0, 0})
		top := f.Node("top", solver.Vec{x, 0, h})
		f.Restrain(feet[i], solver.UX, solver.UY, solver.UZ, solver.RX, solver.RY, solver.RZ)
		add(feet[i], top)
		rail[i] = f.Node("rail", solver.Vec{x, 0, h})
		forces := solver.Joint{First: top, Second: rail[i], Ties: [6]solver.Tie{solver.Shared(), solver.Shared(), solver.Shared()}}
		if i == 0 {
			forces.Ties[solver.RX] = solver.Shared() // or the rail would spin: a mechanism
		}
		f.Join(forces)
		if i > 0 {
			bays[i-1] = add(rail[i-1], rail[i])
		}
	}
	model, err := f.Factorise()
	if err != nil {
		fmt.Println(err)
		return
	}
	s := model.Solve(solver.Case{Nodes: []solver.NodeLoad{{Node: rail[1], Force: solver.Vec{0, P, 0}}}})

	post, around := h*h*h/(3*EI), h*h*h/(3*EI)/2+8*L*L*L/(48*EI) // m/N
	taken := P * around / (around + post)
	for _, r := range s.Reactions {
		if r.Freedom == solver.RX && r.Node == feet[1] {
			fmt.Printf("middle foot %.1f N·m, by hand %.1f N·m\n", r.Value, taken*h)
		}
	}
	fmt.Printf("rail over it %.1f N·m, by hand %.1f N·m\n", s.Diagram(bays[0]).At(solver.MomentZ, L), -(P-taken)/2*L)
	fmt.Printf("top moves %.2f mm, by hand %.2f mm\n", 1000*s.Displacement(rail[1], solver.UY), 1000*taken*post)
	// Output:
	// middle foot 702.6 N·m, by hand 702.6 N·m
	// rail over it -271.0 N·m, by hand -271.0 N·m
	// top moves 11.81 mm, by hand 11.81 mm
}
