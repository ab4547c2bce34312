package analysis

import (
	"math"
	"slices"

	"example.com/stanchion/solver"
)

// Case returns the placed load and its permanent actions as an ordinary load
// case, factored.
func (r *Replayer) Case(p *Placed) solver.Case {
	c := r.permanentCase(p.Combination.Permanent)
	act := p.Placement.Action
	if act == nil {
		return c
	}
	chain := r.chains[r.indexOf(act)]
	f := p.Placement.Force()
	for k := range f {
		f[k] *= p.Combination.Variable
	}
	if act.Point {
		c.Points = chain.Loads(p.Placement.Stretch, p.Placement.X, f)
		return c
	}
	for _, l := range p.Placement.Lengths {
		c.Lines = append(c.Lines, chain.LineLoads(l.From, l.To, f)...)
	}
	return c
}

// permanentCase returns the permanent actions times a factor: gravity on the tubes and
// on the fittings.
func (r *Replayer) permanentCase(factor float64) solver.Case {
	c := solver.Case{}
	if factor == 0 {
		return c
	}
	for k := range gravity {
		c.Gravity[k] = factor * gravity[k]
	}
	for _, l := range r.Frame.Lumps {
		w := solver.NodeLoad{Node: l.Node}
		for k := range gravity {
			w.Force[k] = l.Mass * c.Gravity[k]
		}
		c.Nodes = append(c.Nodes, w)
	}
	return c
}

// Verify solves a placed load again as an ordinary load case and returns the
// largest difference between the state found and the state solved, over the
// size of the load or of the largest component of its kind, with the residuals of that solve.
// Equal load cases are solved once.
func (a *Analysis) Verify(p *Placed) (placement, stiffness, equilibrium float64) {
	s := a.solvedAgain(p)
	want := a.solved(s, p)
	got := p.State
	forces := math.Max(math.Abs(got.N), math.Max(got.Shear(), math.Max(math.Abs(want.N), want.Shear())))
	forces = math.Max(forces, p.loadSize())
	for _, w := range p.Probe.weight { // permanent actions alone: where shear passes through zero it is no scale
		forces = math.Max(forces, p.Combination.Permanent*math.Abs(w)*p.Probe.Length)
	}
	moments := math.Max(got.Moment(), math.Abs(got.T))
	moves := math.Max(math.Abs(got.Across), math.Max(math.Abs(got.Along), math.Abs(got.Vertical)))
	if l := p.Probe.Length; l > 0 { // a movement that is rounding alone is judged against what the load does to such a member
		moves = math.Max(moves, forces*l*l*l/p.Probe.ei)
	}
	worst := 0.0
	differ := func(scale float64, pairs ...[2]float64) {
		for _, q := range pairs {
			if d := math.Abs(q[0] - q[1]); d > 0 && scale > 0 {
				worst = math.Max(worst, d/scale)
			}
		}
	}
	differ(forces, [2]float64{got.N, want.N}, [2]float64{got.Vy, want.Vy}, [2]float64{got.Vz, want.Vz})
	arm := p.Probe.Length
	if arm == 0 {
		arm = 1 // a joint has no length: a moment is judged against the force at one metre
	}
	differ(math.Max(moments, forces*arm), [2]float64{got.T, want.T}, [2]float64{got.My, want.My}, [2]float64{got.Mz, want.Mz})
	if p.Combination.Level == Service {
		differ(moves, [2]float64{got.Across, want.Across}, [2]float64{got.Along, want.Along}, [2]float64{got.Vertical, want.Vertical}, [2]float64{got.Span, want.Span})
	}
	if math.IsNaN(worst) {
		worst = math.Inf(1)
	}
	return worst, s.Residual, s.Imbalance
}

// verified is a load that was solved again, and its answer.
type verified struct {
	placed   Placed
	solution *solver.Solution
}

// solvedAgain solves a placed load as an ordinary load case, once.
func (a *Analysis) solvedAgain(p *Placed) *solver.Solution {
	for i := range a.verified {
		if p.sameLoad(&a.verified[i].placed) {
			return a.verified[i].solution
		}
	}
	s := a.model.Solve(a.Case(p))
	const most = 16 // a result has few governing loads
	if len(a.verified) < most {
		a.verified = append(a.verified, verified{*p, s})
	}
	return s
}

// loadSize returns the size of the variable load, N.
func (p *Placed) loadSize() float64 {
	size := math.Abs(p.Combination.Variable * p.Placement.Value)
	if p.Placement.Action == nil || p.Placement.Action.Point {
		return size
	}
	length := 0.0
	for _, l := range p.Placement.Lengths {
		length += l.To - l.From
	}
	return size * length
}

// sameLoad reports whether two placed loads are the same load case.
func (p *Placed) sameLoad(q *Placed) bool {
	a, b := &p.Placement, &q.Placement
	return p.Combination == q.Combination && a.Action == b.Action && a.Stretch == b.Stretch && a.X == b.X &&
		a.Value == b.Value && a.Way == b.Way && slices.Equal(a.Lengths, b.Lengths)
}

// Replay returns the state at a placed load's section when the same load stands
// on this frame: one with the same posts, rails and splices, and for a joint with
// feet that are rigid, or not, in both.
func (r *Replayer) Replay(p *Placed) State {
	return r.solved(r.model.Solve(r.Case(p)), p)
}

// answer is a solved load case, in first or in second order.
type answer interface {
	Diagram(solver.MemberID) *solver.Diagram
	Displacement(solver.NodeID, solver.Freedom) float64
	Value(solver.Response) float64
}

// solved reads the state of a placed load from an answer.
func (r *Replayer) solved(s answer, p *Placed) State {
	if p.Probe.member < 0 {
		var c components
		for k := range 6 {
			c[k] = s.Value(p.Probe.responses[k]) + p.Combination.Permanent*p.Probe.dead[k]
		}
		return c.state()
	}
	d := s.Diagram(p.Probe.member)
	at, loads := p.Station, r.Case(p).Points
	for _, load := range loads { // a load at the section stands there exactly
		if load.Member == p.Probe.member && math.Abs(load.At-at) < 1e-9 {
			at = load.At
		}
	}
	read := d.Before
	if p.After {
		read = d.At
	}
	var c components
	for k := range cMz + 1 {
		c[k] = read(solver.Component(k), at)
	}
	p.Probe.move(&c, read(solver.MoveX, at), read(solver.MoveY, at), read(solver.MoveZ, at))
	if q := p.Probe; q.bay > 0 {
		from, to, _ := chord(&r.Frame.Rails[q.Rail], q.Bay)
		xi := (q.chordFrom + p.Station) / q.bay
		left := func(n solver.NodeID) (moved float64) {
			for k, part := range q.axes[1] {
				if part != 0 {
					moved += part * s.Displacement(n, solver.UX+solver.Freedom(k))
				}
			}
			return moved
		}
		c[cSpan] = c[cAcross] - (1-xi)*left(from) - xi*left(to)
	}
	// A diagram ends on the inner side of a load at the very end of the member.
	for _, load := range loads {
		if load.Member != p.Probe.member || load.At != at {
			continue
		}
		force := seen(&p.Probe.axes, load.Force)
		switch {
		case p.After && at >= p.Probe.Length:
			p.Probe.pass(&c, force, 0)
		case !p.After && at == 0:
			p.Probe.pass(&c, solver.Vec{-force[0], -force[1], -force[2]}, 0)
		}
	}
	return c.state()
}

// TracePoint is the state at one place along an element: x of a rail, z of a
// post, m.
type TracePoint struct {
	At    float64
	State State
}

// Trace returns the states along an element under a placed load and its
// permanent actions, at 17 stations a member and at the load.
func (a *Analysis) Trace(e *Element, p *Placed) []TracePoint {
	s := a.model.Solve(a.Case(p))
	const parts = 16
	var out []TracePoint
	for _, q := range e.Probes {
		d := s.Diagram(q.member)
		stations := append([]float64(nil), d.Breaks...)
		for i := 1; i < parts; i++ {
			stations = append(stations, q.Length*float64(i)/parts)
		}
		slices.Sort(stations)
		for _, x := range slices.Compact(stations) {
			var c components
			for k := range cMz + 1 {
				c[k] = d.At(solver.Component(k), x)
			}
			q.move(&c, d.At(solver.MoveX, x), d.At(solver.MoveY, x), d.At(solver.MoveZ, x))
			out = append(out, TracePoint{q.From + x, c.state()})
		}
	}
	return out
}
