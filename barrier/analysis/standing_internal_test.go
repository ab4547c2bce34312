package analysis

import (
	"math"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/solver"
)

// What stands on a member is carried along it as the solver's own diagram has it: line loads
// that vary, forces and couples, and warmth of its axis and across it.
func TestStandingAgainstTheDiagram(t *testing.T) {
	f := &solver.Frame{}
	foot, knee, top := f.Node("foot", solver.Vec{}), f.Node("knee", solver.Vec{0, 0, 1.3}), f.Node("top", solver.Vec{0.9, 0, 1.6})
	f.Restrain(foot, solver.UX, solver.UY, solver.UZ, solver.RX, solver.RY, solver.RZ)
	f.Restrain(top, solver.UX, solver.UY, solver.UZ)
	tube := solver.Member{EA: 9e7, EIy: 3e4, EIz: 3e4, GJ: 2.3e4, Expansion: 12e-6, Mass: 3.5, Reference: solver.Vec{0, 1, 0}}
	tube.Start, tube.End = foot, knee
	m := f.Member(tube)
	tube.Start, tube.End = knee, top
	rest := f.Member(tube)
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	load := solver.Case{
		Lines: []solver.LineLoad{
			{Member: m, From: 0.2, To: 1.1, Start: solver.Vec{50, -30, 20}, End: solver.Vec{-10, 60, 5}},
			{Member: m, From: 0, To: 1.3, Start: solver.Vec{0, 90, 0}, End: solver.Vec{0, 90, 0}, Local: true},
		},
		Points: []solver.PointLoad{
			{Member: m, At: 0, Force: solver.Vec{3, 4, 5}, Moment: solver.Vec{1, 2, 3}},
			{Member: m, At: 0.7, Force: solver.Vec{30, -40, 50}, Moment: solver.Vec{10, 20, -30}},
			{Member: m, At: 1.3, Force: solver.Vec{30, 4, 5}},
		},
		Gravity: solver.Vec{1, 2, -9},
		Heats:   []solver.Heat{{Member: m, Rise: 35, Across: [2]float64{200, -300}}, {Member: rest, Rise: -20}},
	}
	a := &Analysis{Replayer: Replayer{Frame: &barrier.Frame{Frame: f}, model: model}}
	a.everywhere = []everywhere{{-1, 0, load, byMember(&load), model.Solve(load)}}
	steel := &barrier.Member{}
	steel.Grade.E, steel.Ring.Area, steel.Ring.I = 3e4, 9e7/3e4, 1
	axes := solver.Axes{{0, 0, 1}, {0, 1, 0}, {-1, 0, 0}}
	p := a.memberProbe(m, foot, steel, axes, axes)
	d := a.everywhere[0].answer.Diagram(m)
	for _, s := range []float64{0, 0.1, 0.35, 0.7, 0.9, 1.2, 1.3} {
		got := p.under(p.standing(0), s)
		for c := range cMz + 1 {
			if want := d.Before(solver.Component(c), s); math.Abs(got[c]-want) > 1e-9*(1+math.Abs(want)) {
				t.Errorf("section force %d at %g: %.12g, the diagram has %.12g", c, s, got[c], want)
			}
		}
		for k, c := range [3]solver.Component{solver.MoveX, solver.MoveY, solver.MoveZ} {
			if want := d.Before(c, s); math.Abs(got[cAlong+k]-want) > 1e-9*(1e-4+math.Abs(want)) {
				t.Errorf("movement %d at %g: %.12g, the diagram has %.12g", k, s, got[cAlong+k], want)
			}
		}
	}
}
