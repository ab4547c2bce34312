package solver_test

import (
	"fmt"
	"math"

	"example.com/stanchion/solver"
)

// A portal of 2.2 m with clamped feet and a beam that does not bend, under 15 kN on each
// post and 100 N across it. By hand each post, held from turning at both ends, moves
// (H/2)h³/12EI · 3(tan v - v)/v³ with v = h/2 √(P/EI), and carries (H/2)h/2 · tan v/v at
// its foot; the portal goes at π²EI/h² on each post. One cubic does not bend like that, so the
// posts are divided.
func ExampleFactored_SecondOrder() {
	const H, P, h, EI = 100.0, 15000.0, 2.2, 24000.0 // N, N, m, N·m²

	var f solver.Frame
	post := solver.Member{EA: 1e10, EIy: EI, EIz: EI, GJ: 19000, Reference: solver.Vec{0, 1, 0}}
	var feet, tops [2]solver.NodeID
	for i := range feet {
		feet[i] = f.Node("foot", solver.Vec{3 * float64(i), 0, 0})
		tops[i] = f.Node("top", solver.Vec{3 * float64(i), 0, h})
		f.Restrain(feet[i], solver.UX, solver.UY, solver.UZ, solver.RX, solver.RY, solver.RZ)
		f.Restrain(tops[i], solver.UY)
		post.Start, post.End = feet[i], tops[i]
		f.Member(post)
	}
	f.Member(solver.Member{Start: tops[0], End: tops[1], EA: 1e10, EIy: 1e4 * EI, EIz: 1e4 * EI, GJ: 1e8, Reference: solver.Vec{0, 1, 0}})

	d := f.Divide(8, 0, 1)
	model, err := d.Frame.Factorise()
	if err != nil {
		fmt.Println(err)
		return
	}
	load := solver.Case{Nodes: []solver.NodeLoad{
		{Node: tops[0], Force: solver.Vec{H, 0, -P}}, {Node: tops[1], Force: solver.Vec{0, 0, -P}},
	}}
	first := model.Solve(load)
	second, err := model.SecondOrder(load)
	if err != nil {
		fmt.Println(err)
		return
	}
	v := h / 2 * math.Sqrt(P/EI)
	sway := H / 2 * h * h * h / (12 * EI)
	fmt.Printf("first order  %.3f mm, by hand %.3f mm\n", 1000*first.Displacement(tops[0], solver.UX), 1000*sway)
	fmt.Printf("second order %.3f mm, by hand %.3f mm\n", 1000*second.Displacement(tops[0], solver.UX), 1000*sway*3*(math.Tan(v)-v)/(v*v*v))
	for _, r := range second.Reactions {
		if r.Node == feet[0] && r.Freedom == solver.RY {
			fmt.Printf("foot %.1f N·m, by hand %.1f N·m\n", -r.Value, H/2*h/2*math.Tan(v)/v)
		}
	}
	critical, err := model.Critical(load, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("goes at %.3f of the load, by hand %.3f\n", critical[0].Factor, math.Pi*math.Pi*EI/(h*h)/P)
	// Output:
	// first order  1.849 mm, by hand 1.849 mm
	// second order 2.655 mm, by hand 2.655 mm
	// foot 74.9 N·m, by hand 74.9 N·m
	// goes at 3.263 of the load, by hand 3.263
}

// A pinned tube of 1.5 m that weighs 3.6 kg/m, with and without 5 kg in its middle: by hand
// π/2 √(EI/mL⁴), and with Rayleigh's 17/35 of the tube's mass in its middle 1/2π √(48EI/ML³).
func ExampleFactored_Vibrations() {
	const L, EI, m = 1.5, 24000.0, 3.6 // m, N·m², kg/m

	var f solver.Frame
	a, b := f.Node("a", solver.Vec{0, 0, 0}), f.Node("b", solver.Vec{L, 0, 0})
	f.Restrain(a, solver.UX, solver.UY, solver.UZ, solver.RX)
	f.Restrain(b, solver.UY, solver.UZ)
	tube := f.Member(solver.Member{Start: a, End: b, EA: 9e7, EIy: EI, EIz: EI, GJ: 19000, Mass: m, Reference: solver.Vec{0, 1, 0}})
	d := f.Divide(8)
	for _, extra := range []float64{0, 5} {
		middle, _ := d.At(tube, L/2)
		d.Frame.Mass(d.Start(middle), extra)
		model, err := d.Frame.Factorise()
		if err != nil {
			fmt.Println(err)
			return
		}
		modes, err := model.Vibrations(1)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.2f Hz with %.0f kg\n", modes[0].Hertz, extra)
	}
	fmt.Printf("by hand %.2f Hz and %.1f Hz\n", math.Pi/2*math.Sqrt(EI/(m*L*L*L*L)), math.Sqrt(48*EI/((5+17.0/35*m*L)*L*L*L))/(2*math.Pi))
	// Output:
	// 57.00 Hz with 0 kg
	// 33.65 Hz with 5 kg
	// by hand 57.00 Hz and 33.7 Hz
}
