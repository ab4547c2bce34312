package analysis

import (
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/solver"
)

// ProofLoaded is a barrier under a test load alone, without permanent load, in first order.
type ProofLoaded struct {
	Movement  float64 // m across, at the load and along it: in the axes of the leg that ends at a loaded post, outward or inward as the load
	Stiffness float64 // stiffness residual of the solve, a plain number
	Imbalance float64 // of loads and reactions, scaled by the loads, likewise
}

// UnderProofLoad solves a barrier in one layout under a test load: a force across at the axis of a
// post, at the height of a rail, or at mid-span of a rail. Errors are those of New.
func UnderProofLoad(d *barrier.Definition, l barrier.Layout, p *barrier.ProofLoad) (*ProofLoaded, error) {
	f := d.Frame(l)
	model, err := f.Factorise()
	if err != nil {
		return nil, err
	}
	left := p.Outward() * d.Run.Hazard.Outward() // of the load, in the axes of its leg
	pull := func(leg int) solver.Vec {
		axis := d.Run.Axes(leg)[1]
		return solver.Vec{left * p.Force * axis[0], left * p.Force * axis[1], left * p.Force * axis[2]}
	}
	if p.Post >= 0 {
		post := &f.Posts[p.Post]
		node := post.Nodes[slices.Index(post.Levels, d.Rails[p.Rail].Height)]
		force := pull(post.Leg)
		s := model.Solve(solver.Case{Nodes: []solver.NodeLoad{{Node: node, Force: force}}})
		axis := d.Run.Axes(post.Leg)[1]
		return &ProofLoaded{left * s.Movement(node, axis), s.Residual, s.Imbalance}, nil
	}
	m, at := midSpan(f, p, d)
	s := model.Solve(solver.Case{Points: []solver.PointLoad{{Member: m.ID, At: at, Force: pull(m.Leg)}}})
	return &ProofLoaded{left * s.Diagram(m.ID).At(solver.MoveY, at), s.Residual, s.Imbalance}, nil
}

// midSpan returns the member of the loaded rail at mid-span of its bay, and the station there, m.
func midSpan(f *barrier.Frame, p *barrier.ProofLoad, d *barrier.Definition) (m barrier.RailMember, at float64) {
	x := p.X(&d.Run)
	members := f.Rails[p.Rail].Members
	i := slices.IndexFunc(members, func(m barrier.RailMember) bool { return m.Bay == p.Bay && x <= m.To })
	m = members[i]
	return m, (x - m.From) / (m.To - m.From) * f.Length(m.ID)
}
