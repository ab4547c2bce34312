package analysis_test

import (
	"math"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/solver"
)

// reference solves the barrier of a definition with ordinary load cases, each
// load put on its member by hand: no influence line, no search of the package.
type reference struct {
	t testing.TB
	d *barrier.Definition
	f *barrier.Frame
	m *solver.Factored
}

func newReference(t testing.TB, d *barrier.Definition) *reference {
	t.Helper()
	f := d.Frame(layout(d))
	m, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	return &reference{t, d, f, m}
}

// standardGravity is in m/s²; ISO 80000-3.
const standardGravity = 9.80665

// place is a section of a post or rail: a member and a station on it, just before
// or just after a load that stands there.
type place struct {
	member  solver.MemberID
	upright bool
	post    int // of an upright member
	rail    int
	from    float64 // x (rail) or z (post) at the start of the member, m
	length  float64
	bay     int
	station float64
	after   bool
	leg     int
	told    int              // the leg in whose axes a post's movements are told
	ends    [2]solver.NodeID // the posts' nodes at both ends of the bay, -1 for a wall
	chord   [2]float64       // x of the two, m; equal for an overhang, which has none
}

// members returns the members of a post, or of a rail, as places at their start.
func (r *reference) members(element *analysis.Element) []place {
	var out []place
	for i, p := range element.Probes {
		if p.Rail < 0 {
			leg := r.legOf(r.d.Run.Posts[p.Post])
			out = append(out, place{member: r.f.Posts[p.Post].Members[i], upright: true, post: p.Post, leg: leg, told: leg, from: r.f.Posts[p.Post].Levels[i], length: p.Length})
			continue
		}
		m := r.f.Rails[p.Rail].Members[i]
		leg := r.legOf((m.From + m.To) / 2)
		q := place{member: m.ID, rail: p.Rail, leg: leg, told: leg, from: m.From, length: m.To - m.From, bay: m.Bay}
		if m.Bay >= 0 && m.Bay < len(r.supports())-1 {
			q.ends = [2]solver.NodeID{r.support(p.Rail, m.Bay), r.support(p.Rail, m.Bay+1)}
			q.chord = [2]float64{r.supports()[m.Bay], r.supports()[m.Bay+1]}
		}
		out = append(out, q)
	}
	return out
}

// read returns the state at a place in a solved case.
func (r *reference) read(s *solver.Solution, d *solver.Diagram, p *place) analysis.State {
	get := d.Before
	if p.after {
		get = d.At
	}
	at := func(c solver.Component) float64 { return get(c, p.station) }
	st := analysis.State{
		N: at(solver.Axial), Vy: at(solver.ShearY), Vz: at(solver.ShearZ),
		T: at(solver.Torsion), My: at(solver.MomentY), Mz: at(solver.MomentZ),
	}
	x, y, z := at(solver.MoveX), at(solver.MoveY), at(solver.MoveZ)
	if p.upright { // local x is up, y outward, z against the run
		turned := r.heading(p.told) - r.heading(p.leg)
		sin, cos := math.Sincos(turned)
		st.Along, st.Across, st.Vertical = cos*-z+sin*y, cos*y+sin*z, x
		return st
	}
	sin, cos := math.Sincos(r.pitch(p.leg)) // local x is along the slope, z square to it
	st.Along, st.Across, st.Vertical = cos*x-sin*z, y, sin*x+cos*z
	if p.chord[0] == p.chord[1] {
		return st
	}
	xi := (p.from + p.station - p.chord[0]) / (p.chord[1] - p.chord[0])
	st.Span = y
	for i, part := range [2]float64{1 - xi, xi} {
		if p.ends[i] >= 0 {
			sin, cos := math.Sincos(r.heading(p.leg))
			st.Span -= part * (cos*s.Displacement(p.ends[i], solver.UY) - sin*s.Displacement(p.ends[i], solver.UX))
		}
	}
	return st
}

// legOf returns the leg in which x lies, from 0; a corner belongs to the leg that ends there.
func (r *reference) legOf(x float64) int {
	leg := 0
	for i, l := range r.d.Run.Legs {
		if i > 0 && x > l.From+1e-9 {
			leg = i
		}
	}
	return leg
}

// heading is the angle in plan from the first leg to a leg, rad: the sum of the turns.
func (r *reference) heading(leg int) (angle float64) {
	for i, l := range r.d.Run.Legs {
		if i <= leg {
			angle += l.Turn
		}
	}
	return angle
}

// pitch is the slope of a leg, rad.
func (r *reference) pitch(leg int) float64 {
	if len(r.d.Run.Legs) == 0 {
		return 0
	}
	return r.d.Run.Legs[leg].Pitch
}

// global returns a vector given along a leg in plan, to its left and up.
func (r *reference) global(leg int, v solver.Vec) solver.Vec {
	sin, cos := math.Sincos(r.heading(leg))
	return solver.Vec{cos*v[0] - sin*v[1], sin*v[0] + cos*v[1], v[2]}
}

// supports returns the x of posts and walls.
func (r *reference) supports() (x []float64) {
	if r.d.Run.Start.Wall {
		x = append(x, r.d.Run.Start.X)
	}
	x = append(x, r.d.Run.Posts...)
	if r.d.Run.End.Wall {
		x = append(x, r.d.Run.End.X)
	}
	return x
}

// support returns the post's node at a support, at the level of a rail; -1 for a wall,
// which does not move.
func (r *reference) support(rail, support int) solver.NodeID {
	if r.d.Run.Start.Wall {
		support--
	}
	if support < 0 || support >= len(r.f.Posts) {
		return -1
	}
	return r.f.Posts[support].Nodes[r.f.Rails[rail].Grips[0].Level]
}

// dead are the permanent actions times a factor: gravity, and the weights of the
// fittings at their nodes.
func (r *reference) dead(factor float64) solver.Case {
	c := solver.Case{Gravity: solver.Vec{0, 0, -factor * standardGravity}}
	for _, l := range r.f.Lumps {
		c.Nodes = append(c.Nodes, solver.NodeLoad{Node: l.Node, Force: solver.Vec{0, 0, -factor * standardGravity * l.Mass}})
	}
	return c
}

// plus returns a + f b.
func plus(a *analysis.State, f float64, b *analysis.State) analysis.State {
	return analysis.State{
		N: a.N + f*b.N, Vy: a.Vy + f*b.Vy, Vz: a.Vz + f*b.Vz, T: a.T + f*b.T, My: a.My + f*b.My, Mz: a.Mz + f*b.Mz,
		Along: a.Along + f*b.Along, Across: a.Across + f*b.Across, Vertical: a.Vertical + f*b.Vertical, Span: a.Span + f*b.Span,
	}
}

// spot is where a load stands on a rail: on the member that holds the stretch
// just after x, or just before it.
type spot struct {
	x      float64
	before bool
}

// onRail returns the member of a rail under a spot and the station on it.
func (r *reference) onRail(rail int, at spot) (m *barrier.RailMember, station float64) {
	members := r.f.Rails[rail].Members
	for i := range members {
		m := &members[i]
		inside := at.x >= m.From-1e-9 && at.x < m.To-1e-9
		if at.before {
			inside = at.x > m.From+1e-9 && at.x <= m.To+1e-9
		}
		if inside {
			return m, math.Min(math.Max(at.x-m.From, 0), m.To-m.From)
		}
	}
	r.t.Fatalf("no member of rail %d at x = %g", rail, at.x)
	return nil, 0
}

// pointCase is a force on the rails of an action at a spot, in the axes of its leg.
func (r *reference) pointCase(a *analysis.Action, at spot, force solver.Vec) solver.Case {
	var c solver.Case
	if a.Posts {
		return r.pointOnPost(a, at, force)
	}
	for _, s := range a.Rails {
		m, station := r.onRail(s.Rail, at)
		c.Points = append(c.Points, solver.PointLoad{Member: m.ID, At: station, Force: r.global(r.legOf((m.From+m.To)/2), times(s.Share, force))})
	}
	return r.withCouples(a, c)
}

// lineCase is a force per length on the rails of an action over lengths of the run, in the
// axes of each leg.
func (r *reference) lineCase(a *analysis.Action, lengths []solver.Length, q solver.Vec) solver.Case {
	var c solver.Case
	if a.Posts {
		return r.lineOnPosts(a, lengths, q)
	}
	for _, s := range a.Rails {
		for _, m := range r.f.Rails[s.Rail].Members {
			for _, l := range lengths {
				from, to := math.Max(l.From, m.From), math.Min(l.To, m.To)
				if from, to = r.inBays(a, from, to); from >= to {
					continue
				}
				if to > from {
					q := r.global(r.legOf((m.From+m.To)/2), q)
					c.Lines = append(c.Lines, solver.LineLoad{Member: m.ID, From: from - m.From, To: to - m.From, Start: times(s.Share, q), End: times(s.Share, q)})
				}
			}
		}
	}
	return r.withCouples(a, c)
}

func times(f float64, v solver.Vec) solver.Vec { return solver.Vec{f * v[0], f * v[1], f * v[2]} }

// size returns the action in the bay at a spot, N or N/m: 300 N/m times the bay
// for a point per spacing.
func (r *reference) size(a *analysis.Action, at spot) float64 {
	if !a.PerSpacing {
		return a.Value
	}
	m, _ := r.onRail(a.Rails[0].Rail, at)
	x := r.supports()
	bay := min(max(m.Bay, 0), len(x)-2) // an overhang goes with the bay beside it
	return a.Value * (x[bay+1] - x[bay])
}

// factors are the permanent and variable factors of the combinations at a level:
// EN 1990:2002 expression (6.10) with gamma G 1.35 and 1.00; (6.14b) for the
// characteristic level; the variable action alone for movements.
func factors(a *analysis.Action, l analysis.Level) [][2]float64 {
	switch l {
	case analysis.Strength:
		return [][2]float64{{1.35, a.Strength}, {1, a.Strength}}
	case analysis.FirstYield:
		return [][2]float64{{1, a.Yield}}
	case analysis.Service:
		return [][2]float64{{0, 1}}
	}
	return [][2]float64{{1, 1}}
}

// reproduce solves a placed load again and returns the state at its section.
func (r *reference) reproduce(e *analysis.Element, p *analysis.Placed) analysis.State {
	r.t.Helper()
	var c solver.Case
	add := func(pl *analysis.Placement, factor float64) {
		force := times(factor, pl.Force())
		var of solver.Case
		if pl.Action.Point {
			at := r.spotOf(pl)
			if got, want := pl.Value, r.size(pl.Action, at); math.Abs(got-want) > 1e-9*want {
				r.t.Errorf("%s: the load is %g N, the action is %g N there", pl, got, want)
			}
			of = r.pointCase(pl.Action, r.inward(pl.Action, at, p), force)
		} else {
			of = r.lineCase(pl.Action, pl.Lengths, force)
		}
		c.Points, c.Lines, c.Nodes = append(c.Points, of.Points...), append(c.Lines, of.Lines...), append(c.Nodes, of.Nodes...)
	}
	if p.Placement.Action != nil {
		add(&p.Placement, p.Combination.Variable)
	}
	for i := range p.Beside {
		add(&p.Beside[i], p.Combination.Beside.Terms[i].Factor)
	}
	dead := r.dead(p.Combination.Permanent)
	c.Gravity, c.Nodes = dead.Gravity, append(c.Nodes, dead.Nodes...)
	s := r.m.Solve(c)
	for i, q := range r.members(e) {
		if e.Probes[i] == p.Probe {
			q.station, q.after = p.Station, p.After
			for _, load := range c.Points { // the load stands at the section to rounding
				if load.Member == q.member && math.Abs(load.At-q.station) < 1e-9 {
					q.station = load.At
				}
			}
			return r.read(s, s.Diagram(q.member), &q)
		}
	}
	r.t.Fatal("the probe is not of the element")
	return analysis.State{}
}

// spotOf returns where a placed point load stands.
func (r *reference) spotOf(pl *analysis.Placement) spot {
	return spot{x: pl.X, before: pl.X >= r.stretches(pl.Action)[pl.Stretch][1]-1e-9}
}

// inward moves a load that stands at the very end of a member by a hair onto it
// where the section is taken between the load and that end.
func (r *reference) inward(a *analysis.Action, at spot, p *analysis.Placed) spot {
	const hair = 1e-10
	for _, end := range r.stretches(a) {
		switch {
		case a.Posts:
			return r.inwardOnPost(a, at, p)
		case p.Probe.Rail < 0:
		case at.before && p.After && math.Abs(at.x-end[1]) < 1e-9 && math.Abs(p.Probe.From+p.Station-end[1]) < 1e-9:
			at.x = end[1] - hair
		case !at.before && !p.After && math.Abs(at.x-end[0]) < 1e-9 && math.Abs(p.Probe.From+p.Station-end[0]) < 1e-9:
			at.x = end[0] + hair
		}
	}
	return at
}

// stretches returns the ends along the run of the stretches over which an
// action's load stays on the same members.
func (r *reference) stretches(a *analysis.Action) [][2]float64 {
	if a.Posts {
		return r.stretchesOnPosts(a)
	}
	var rows []solver.Row
	for _, s := range a.Rails {
		rows = append(rows, r.f.Rows(s.Rail, s.Share)...)
	}
	c := r.m.Chain(rows...)
	var out [][2]float64
	for i := range c.Stretches() {
		from, to := c.Ends(i)
		if from, to = r.inBays(a, from, to); from >= to {
			continue
		}
		out = append(out, [2]float64{from, to})
	}
	return out
}
