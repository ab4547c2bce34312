package analysis

import "example.com/stanchion/solver"

// Brace returns a brace, from its foot up. Its states are in its own axes, which turn with
// it and not with the run: N along it, Vz and My in the upright plane through it, Vy and Mz
// across that; Along, Across and Vertical are movements along its x, y and z.
//
// A brace is pinned at both ends and no action is placed on it, so what acts
// elsewhere gives it an axial force alone: statics, which leaves no rounding for a moment.
func (a *Analysis) Brace(i int) *Element {
	b := &a.Frame.Braces[i]
	p := a.memberProbe(b.ID, b.Foot, &a.Definition.Braces[i].Member, b.Axes, b.Axes)
	p.Brace = i
	return &Element{Probes: []*Probe{&p}}
}

// BraceHead returns the joint by which a brace meets its post. A state of it holds what the
// brace does to the post, in the axes of the leg that ends there: N along the run, Vy to
// the left, Vz up.
func (a *Analysis) BraceHead(i int) *Probe {
	return a.braceEnd(i, a.Frame.Length(a.Frame.Braces[i].ID), -1)
}

// BraceFoot returns the foot of a brace. A state of it holds what the brace does to the ground, in
// the axes of the leg that ends at its post: N along the run, Vy to the left, Vz up.
func (a *Analysis) BraceFoot(i int) *Probe { return a.braceEnd(i, 0, 1) }

// braceEnd returns what a brace does at one end: its axial force at that station, taken with
// a sign along its axis, and half of its weight square to that.
func (a *Analysis) braceEnd(i int, station, sign float64) *Probe {
	b := &a.Frame.Braces[i]
	leg := a.Definition.Run.Axes(b.Leg)
	axial := a.model.Section(b.ID, station, solver.Axial)
	weight := a.model.Weight(b.ID, gravity) // N/m, local axes
	half := a.Frame.Length(b.ID) / 2
	var r [6]solver.Response
	dead := make([][6]float64, len(a.everywhere))
	for k, axis := range leg {
		r[k] = solver.Combine([]float64{sign * dot(b.Axes[0], axis)}, []solver.Response{axial})
		for c := 1; c < 3; c++ {
			dead[0][k] += half * weight[c] * dot(b.Axes[c], axis)
		}
	}
	for i := 1; i < len(dead); i++ { // what acts between its ends bends it
		d := a.everywhere[i].answer.Diagram(b.ID)
		square := [3]float64{1: d.At(solver.ShearY, station), 2: d.At(solver.ShearZ, station)}
		for k, axis := range leg {
			for c := 1; c < 3; c++ {
				dead[i][k] += sign * square[c] * dot(b.Axes[c], axis)
			}
		}
	}
	p := a.jointProbe(r, dead)
	p.Brace, p.Post = i, b.Post
	end := straight(b.ID, station, sign).turned(b.Axes, leg, solver.Vec{})
	end.axial = true
	p.endings = []ending{end}
	return p
}

func dot(a, b solver.Vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
