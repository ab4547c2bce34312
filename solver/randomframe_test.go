package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Random frames for the property tests: a crooked run of members on legs, with
// inclined members, members that run backwards, shear strain, rigid offsets, joints with
// turned axes and rigid arms, end ties, feet that are fixed or sprung, some in axes of
// their own, and tops that rest on a plane in any attitude.

func between(r *rand.Rand, a, b float64) float64 { return a + (b-a)*r.Float64() }

func randomVec(r *rand.Rand, size float64) Vec {
	return Vec{between(r, -size, size), between(r, -size, size), between(r, -size, size)}
}

// randomAxes returns right-handed axes in any attitude.
func randomAxes(r *rand.Rand) Axes {
	for {
		x, y := randomVec(r, 1), randomVec(r, 1)
		z := x.cross(y)
		if x.norm() > 0.3 && z.norm() > 0.3*x.norm() {
			x, z = x.scale(1/x.norm()), z.scale(1/z.norm())
			return Axes{x, z.cross(x), z}
		}
	}
}

func randomMember(r *rand.Rand, f *Frame, a, b NodeID) Member {
	if r.IntN(2) == 0 {
		a, b = b, a
	}
	m := Member{Start: a, End: b, EA: between(r, 2e7, 1e8), EIy: between(r, 1e4, 5e4), EIz: between(r, 1e4, 5e4), GJ: between(r, 1e4, 4e4),
		Mass: between(r, 2, 6), Expansion: between(r, 1e-5, 2e-5)}
	if r.IntN(2) == 0 {
		m.ShearY, m.ShearZ = between(r, 1e5, 1e6), between(r, 1e5, 1e6)
	}
	if r.IntN(4) == 0 {
		m.ShearY = 0
	}
	if r.IntN(3) == 0 {
		m.Offsets[r.IntN(2)] = randomVec(r, 0.1)
		m.Offsets[r.IntN(2)] = randomVec(r, 0.1)
	}
	along := f.Position(b).add(m.Offsets[1]).sub(f.Position(a).add(m.Offsets[0]))
	for m.Reference.cross(along).norm() < 0.3*along.norm() {
		m.Reference = randomVec(r, 1)
	}
	return m
}

// randomTie is free, sprung or shared.
func randomTie(r *rand.Rand, least, most float64) Tie {
	switch r.IntN(3) {
	case 0:
		return Free
	case 1:
		return Tie(between(r, least, most))
	}
	return Shared()
}

// randomEnds ties bending at both ends, and at one end perhaps the axial force
// or torsion too: never so that the member itself is loose.
func randomEnds(r *rand.Rand) []EndTie {
	var out []EndTie
	for end := range 2 {
		for _, d := range [...]Freedom{RY, RZ} {
			if r.IntN(2) == 0 {
				out = append(out, EndTie{end, d, randomTie(r, 1e3, 1e5)})
			}
		}
	}
	if d := [...]Freedom{UX, RX, RZ, RZ}[r.IntN(4)]; d != RZ {
		out = append(out, EndTie{r.IntN(2), d, randomTie(r, 1e4, 1e6)})
	}
	return out
}

// randomFrame returns a frame that is held, and that is no mechanism.
func randomFrame(r *rand.Rand) *Frame {
	f := &Frame{}
	n := 3 + r.IntN(4)
	last, lastLegged := NodeID(-1), true
	for i := range n {
		top := f.Node(fmt.Sprintf("top %d", i), Vec{1.3 * float64(i), 0, 1.1}.add(randomVec(r, 0.3)))
		legged := i == 0 || i == n-1 || r.IntN(4) > 0
		if legged {
			f.randomLeg(r, top)
		}
		if r.IntN(4) == 0 {
			f.Turn(top, randomAxes(r))
			f.Restrain(top, UZ)
		}
		switch {
		case last < 0:
		case legged && lastLegged:
			f.randomSpan(r, last, top)
		default: // a node without a leg hangs on its members
			f.Member(randomMember(r, f, last, top))
		}
		last, lastLegged = top, legged
	}
	return f
}

func (f *Frame) randomLeg(r *rand.Rand, top NodeID) {
	foot := f.Node(fmt.Sprintf("foot of %s", f.nodes[top].label), f.Position(top).sub(Vec{0, 0, 1.1}).add(randomVec(r, 0.2)))
	f.Member(randomMember(r, f, foot, top))
	if r.IntN(2) == 0 {
		f.Turn(foot, randomAxes(r))
	}
	if top == 0 || r.IntN(3) > 0 {
		f.Restrain(foot, UX, UY, UZ, RX, RY, RZ)
		return
	}
	for d := range Freedom(3) {
		f.Spring(foot, d, between(r, 1e5, 1e7))
		f.Spring(foot, RX+d, between(r, 1e4, 1e5))
	}
	if r.IntN(2) == 0 {
		f.Restrain(foot, Freedom(r.IntN(6)))
	}
}

// randomSpan puts a member between two nodes: rigidly, with end ties, or by a
// joint at one end.
func (f *Frame) randomSpan(r *rand.Rand, a, b NodeID) {
	switch r.IntN(3) {
	case 0:
		m := randomMember(r, f, a, b)
		f.Member(m)
	case 1:
		m := randomMember(r, f, a, b)
		m.Ends = randomEnds(r)
		f.Member(m)
	case 2:
		if r.IntN(2) == 0 {
			a, b = b, a
		}
		j := Joint{First: a, Axes: randomAxes(r)}
		arm := Vec{}
		if r.IntN(2) == 0 {
			arm = randomVec(r, 0.1)
		}
		j.Second = f.Node(fmt.Sprintf("joint at %s", f.nodes[a].label), f.Position(a).add(arm))
		for k := range 3 {
			j.Ties[k] = randomTie(r, 1e5, 1e7)
			j.Ties[3+k] = randomTie(r, 1e3, 1e5)
		}
		f.Join(j)
		f.Member(randomMember(r, f, j.Second, b))
	}
}

// randomCase loads nodes and members in every way a Case knows.
func randomCase(r *rand.Rand, f *Frame) Case {
	c := Case{Gravity: randomVec(r, 10)}
	for range 3 {
		c.Nodes = append(c.Nodes, NodeLoad{NodeID(r.IntN(len(f.nodes))), randomVec(r, 500), randomVec(r, 300)})
		m := MemberID(r.IntN(len(f.members)))
		c.Points = append(c.Points, PointLoad{m, r.Float64() * f.Length(m), randomVec(r, 500), randomVec(r, 300), r.IntN(2) == 0})
		m = MemberID(r.IntN(len(f.members)))
		x, y := r.Float64()*f.Length(m), r.Float64()*f.Length(m)
		c.Lines = append(c.Lines, LineLoad{m, min(x, y), max(x, y), randomVec(r, 400), randomVec(r, 400), r.IntN(2) == 0})
		m = MemberID(r.IntN(len(f.members)))
		c.Heats = append(c.Heats, Heat{m, between(r, -10, 10), [2]float64{between(r, -200, 200), between(r, -200, 200)}})
	}
	c.Settlements = randomSettlements(r, f)
	return c
}

// randomSettlements moves about a quarter of what the ground holds.
func randomSettlements(r *rand.Rand, f *Frame) []Settlement {
	var out []Settlement
	for n := range f.nodes {
		for d := range Freedom(6) {
			if (f.nodes[n].fixed[d] || f.nodes[n].spring[d] > 0) && r.IntN(4) == 0 {
				out = append(out, Settlement{NodeID(n), d, between(r, -1e-4, 1e-4)})
			}
		}
	}
	return out
}

func (c Case) plus(d Case) Case {
	return Case{slices.Concat(c.Nodes, d.Nodes), slices.Concat(c.Points, d.Points), slices.Concat(c.Lines, d.Lines), c.Gravity.add(d.Gravity),
		slices.Concat(c.Settlements, d.Settlements), slices.Concat(c.Heats, d.Heats)}
}

// turned returns the frame turned as a whole: axis i of the axes is where global
// axis i goes. Each node keeps the axes it had.
func (f *Frame) turned(to Axes) *Frame {
	out := &Frame{slices.Clone(f.nodes), slices.Clone(f.members), slices.Clone(f.joints)}
	for i := range out.nodes {
		n := &out.nodes[i]
		n.at = to.from(n.at)
		own := global
		if n.axes != nil {
			own = *n.axes
		}
		out.Turn(NodeID(i), Axes{to.from(own[0]), to.from(own[1]), to.from(own[2])})
	}
	for i := range out.members {
		m := &out.members[i]
		m.Reference = to.from(m.Reference)
		m.Offsets = [2]Vec{to.from(m.Offsets[0]), to.from(m.Offsets[1])}
	}
	for i := range out.joints {
		for k := range 3 {
			out.joints[i].Axes[k] = to.from(out.joints[i].Axes[k])
		}
	}
	return out
}

func (c Case) turned(to Axes) Case {
	out := c.scaled(1)
	out.Gravity = to.from(c.Gravity)
	for i := range out.Nodes {
		n := &out.Nodes[i]
		n.Force, n.Moment = to.from(n.Force), to.from(n.Moment)
	}
	for i := range out.Points {
		if p := &out.Points[i]; !p.Local {
			p.Force, p.Moment = to.from(p.Force), to.from(p.Moment)
		}
	}
	for i := range out.Lines {
		if q := &out.Lines[i]; !q.Local {
			q.Start, q.End = to.from(q.Start), to.from(q.End)
		}
	}
	return out
}

// renumbered returns the frame with node n under the number to[n].
func (f *Frame) renumbered(to []NodeID) *Frame {
	out := &Frame{make([]node, len(f.nodes)), slices.Clone(f.members), slices.Clone(f.joints)}
	for n := range f.nodes {
		out.nodes[to[n]] = f.nodes[n]
	}
	for i := range out.members {
		m := &out.members[i]
		m.Start, m.End = to[m.Start], to[m.End]
	}
	for i := range out.joints {
		j := &out.joints[i]
		j.First, j.Second = to[j.First], to[j.Second]
	}
	return out
}

// cut returns the frame and the case with a member cut in two at a station. The
// second part is the last member of the new frame.
func (f *Frame) cut(c Case, id MemberID, x float64) (*Frame, Case) {
	out := &Frame{slices.Clone(f.nodes), slices.Clone(f.members), slices.Clone(f.joints)}
	m := f.members[id]
	first, second := m, m
	first.End = out.Node("cut", f.along(id, x))
	first.Offsets[1], second.Offsets[0] = Vec{}, Vec{}
	second.Start, first.Ends, second.Ends = first.End, nil, nil
	for _, e := range m.Ends {
		if e.End == 0 {
			first.Ends = append(first.Ends, e)
		} else {
			second.Ends = append(second.Ends, e)
		}
	}
	out.members[id] = first
	other := out.Member(second)
	load := c.scaled(1)
	load.Lines = nil
	for _, h := range c.Heats {
		if h.Member == id {
			h.Member = other
			load.Heats = append(load.Heats, h)
		}
	}
	for i := range load.Points {
		if p := &load.Points[i]; p.Member == id && p.At >= x {
			p.Member, p.At = other, p.At-x
		}
	}
	for _, q := range c.Lines {
		if q.Member != id || q.To <= x {
			load.Lines = append(load.Lines, q)
			continue
		}
		after := q
		after.Member, after.From, after.To = other, max(q.From, x)-x, q.To-x
		if q.From < x {
			after.Start = q.at(x)
			q.To, q.End = x, after.Start
			load.Lines = append(load.Lines, q)
		}
		load.Lines = append(load.Lines, after)
	}
	return out, load
}

// solved factorises the frame and solves the case.
func (f *Frame) solved(t *testing.T, c Case) *Solution {
	t.Helper()
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	return model.Solve(c)
}

// moved returns the displacement and rotation of a node.
func (r *Solution) moved(n NodeID) (u, turn Vec) {
	for d := range 3 {
		u[d], turn[d] = r.Displacement(n, Freedom(d)), r.Displacement(n, RX+Freedom(d))
	}
	return u, turn
}

// movedEnd returns the displacement and rotation of a rigid arm's end at an end of a
// member, in the member's axes.
func (r *Solution) movedEnd(id MemberID, end int) (u, turn Vec) {
	m := &r.model.frame.members[id]
	u, turn = r.moved([...]NodeID{m.Start, m.End}[end])
	axes := r.model.elements[id].axes
	return axes.into(u.add(turn.cross(m.Offsets[end]))), axes.into(turn)
}

// held returns the sum of what the ground does to a node.
func (r *Solution) held(n NodeID) (force, moment Vec) {
	for _, q := range r.Reactions {
		if q.Node != n {
			continue
		}
		axes := global
		if own := r.model.frame.nodes[n].axes; own != nil {
			axes = *own
		}
		if q.Freedom < RX {
			force = force.add(axes[q.Freedom].scale(q.Value))
		} else {
			moment = moment.add(axes[q.Freedom-RX].scale(q.Value))
		}
	}
	return force, moment
}

// sizes returns the largest movement and the largest end force of a solution:
// the scales of differences. Lengths are about 1 m, so metres and radians, and
// newtons and newton-metres, go together.
func (r *Solution) sizes() (movement, force float64) {
	for n := range r.model.frame.nodes {
		u, turn := r.moved(NodeID(n))
		movement = max(movement, u.norm(), turn.norm())
	}
	for m := range r.model.elements {
		for _, v := range r.EndForces(MemberID(m)) {
			force = max(force, math.Abs(v))
		}
	}
	return movement, force
}

// rounding is the relative difference allowed between two ways to one answer:
// ε = 2e-16 times the condition of a random frame, scaled to a unit diagonal,
// which stays below 1e6 (TestRandomFrames). Source of the bound: Higham, Accuracy
// and Stability of Numerical Algorithms, section 10.1.
const rounding = 1e-9

func near(t *testing.T, what string, got, want, scale float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rounding*scale) {
		t.Errorf("%s = %.12g, want %.12g (differ by %.1e of the scale)", what, got, want, math.Abs(got-want)/scale)
	}
}

func nearVec(t *testing.T, what string, got, want Vec, scale float64) {
	t.Helper()
	if !(got.sub(want).norm() <= rounding*scale) {
		t.Errorf("%s = %.12g, want %.12g (differ by %.1e of the scale)", what, got, want, got.sub(want).norm()/scale)
	}
}
