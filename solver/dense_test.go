package solver

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"

	"example.com/stanchion/internal/verification"
)

// The second method: the same frames by full matrices, sharing nothing with the package but
// the data of Frame and Case. A member is the flexibility of a cantilever, inverted; what loads
// do between its ends comes from the same flexibility by integration. Every node keeps its six
// global freedoms and every member with end ties or offsets its own twelve; supports, rigid joints and
// shared ends are equations with a multiplier each. The whole is solved by LU with pivoting.
// Source of the flexibilities: beam tables, PL³/3EI and its like, for a cantilever.

// six is a force and a moment, or a movement and a rotation, along three axes.
type six = *mat.VecDense

func newSix(v ...float64) six { return mat.NewVecDense(6, append(v, make([]float64, 6-len(v))...)) }

// denseMember is a member in the second method.
type denseMember struct {
	turn             *mat.Dense // 3×3, rows are the local axes
	length           float64
	ea, eiy, eiz, gj float64
	shear            [2]float64 // flexibility along y and z, 1/N
	strain           float64    // of warmth
	curl             [2]float64 // of warmth, about y and z, 1/m
	loads            []denseLoad
	ends             [2]int // first unknown of what moves each end
	local            bool   // these are the member's own, along local axes
}

// denseLoad is a force and a moment on a member, per length where to > from; local axes.
type denseLoad struct {
	from, to   float64
	start, end six
}

func denseTurn(a, b, reference Vec) *mat.Dense {
	x := b.sub(a)
	x = x.scale(1 / x.norm())
	y := reference.sub(x.scale(reference.dot(x)))
	y = y.scale(1 / y.norm())
	z := x.cross(y)
	return mat.NewDense(3, 3, []float64{x[0], x[1], x[2], y[0], y[1], y[2], z[0], z[1], z[2]})
}

// flexibility returns the movements of the end of a cantilever of length x by unit actions there.
func (m *denseMember) flexibility(x float64) *mat.Dense {
	f := mat.NewDense(6, 6, nil)
	f.Set(0, 0, x/m.ea)
	f.Set(3, 3, x/m.gj)
	bend := func(move, turn int, ei, shear, sign float64) {
		f.Set(move, move, x*x*x/3/ei+x*shear)
		f.Set(turn, turn, x/ei)
		f.Set(move, turn, sign*x*x/2/ei)
		f.Set(turn, move, sign*x*x/2/ei)
	}
	bend(1, 5, m.eiz, m.shear[0], 1)
	bend(2, 4, m.eiy, m.shear[1], -1)
	return f
}

// warmed returns what warmth makes of a cantilever of length x: strain, and an arc each way.
func (m *denseMember) warmed(x float64) six {
	return newSix(m.strain*x, m.curl[1]*x*x/2, -m.curl[0]*x*x/2, 0, m.curl[0]*x, m.curl[1]*x)
}

// carry returns what a rigid rod of length x along local x makes of a movement of its start.
// Its transpose takes actions from its end to its start.
func carry(x float64) *mat.Dense {
	t := mat.NewDense(6, 6, nil)
	for i := range 6 {
		t.Set(i, i, 1)
	}
	t.Set(1, 5, x)
	t.Set(2, 4, -x)
	return t
}

func mul6(a mat.Matrix, v six) six {
	out := mat.NewVecDense(6, nil)
	out.MulVec(a, v)
	return out
}

// over adds up a quantity over the loads between two stations. Quantities are of up to the
// fifth degree in the station: six Gauss points are exact.
func (m *denseMember) over(from, to float64, what func(x float64, action six) six) six {
	out := newSix()
	for _, l := range m.loads {
		if l.to == l.from {
			if l.from >= from && l.from <= to {
				out.AddVec(out, what(l.from, l.start))
			}
			continue
		}
		a, b := max(l.from, from), min(l.to, to)
		if a >= b {
			continue
		}
		x, weight := make([]float64, 6), make([]float64, 6)
		quad.Legendre{}.FixedLocations(x, weight, a, b)
		for i := range x {
			part := (x[i] - l.from) / (l.to - l.from)
			q := newSix()
			q.ScaleVec(1-part, l.start)
			q.AddScaledVec(q, part, l.end)
			out.AddScaledVec(out, weight[i], what(x[i], q))
		}
	}
	return out
}

// stiffness returns the 12×12 stiffness, local axes: the end moves by F p more than the start
// carries it, and the start bears what the end does.
func (m *denseMember) stiffness() *mat.Dense {
	var inverse, kij, kii mat.Dense
	if err := inverse.Inverse(m.flexibility(m.length)); err != nil {
		panic(err)
	}
	t := carry(m.length)
	kij.Product(&inverse, t)
	kii.Product(t.T(), &inverse, t)
	out := mat.NewDense(12, 12, nil)
	for i := range 6 {
		for j := range 6 {
			out.Set(i, j, kii.At(i, j))
			out.Set(6+i, j, -kij.At(i, j))
			out.Set(j, 6+i, -kij.At(i, j))
			out.Set(6+i, 6+j, inverse.At(i, j))
		}
	}
	return out
}

// held returns what the ends bear of the loads when they do not move.
func (m *denseMember) held() (start, end six) {
	moved := m.over(0, m.length, func(x float64, p six) six {
		return mul6(carry(m.length-x), mul6(m.flexibility(x), p))
	})
	moved.AddVec(moved, m.warmed(m.length))
	end = newSix()
	if err := end.SolveVec(m.flexibility(m.length), moved); err != nil {
		panic(err)
	}
	end.ScaleVec(-1, end)
	start = mul6(carry(m.length).T(), end)
	start.AddVec(start, m.over(0, m.length, func(x float64, p six) six { return mul6(carry(x).T(), p) }))
	start.ScaleVec(-1, start)
	return start, end
}

// denseAnswer is the answer of the second method.
type denseAnswer struct {
	frame   *Frame
	members []denseMember
	u       *mat.VecDense // movements, then multipliers
	held    map[[2]int]float64
}

// denseSystem is the full system under assembly.
type denseSystem struct {
	k      *mat.Dense
	f      *mat.VecDense
	used   int
	scale  float64 // of the equations, so that they stand beside the stiffness
	owners map[[2]int]int
}

// row is a sum of movements.
type denseRow map[int]float64

func (s *denseSystem) spring(r denseRow, k float64) {
	for i, a := range r {
		for j, b := range r {
			s.k.Set(i, j, s.k.At(i, j)+k*a*b)
		}
	}
}

// equate sets a sum of movements to a value and returns the number of its multiplier.
func (s *denseSystem) equate(r denseRow, value float64) int {
	n := s.used
	s.used++
	for i, a := range r {
		s.k.Set(n, i, s.scale*a)
		s.k.Set(i, n, s.scale*a)
	}
	s.f.SetVec(n, s.scale*value)
	return n
}

// tie joins a sum of movements by a tie.
func (s *denseSystem) tie(r denseRow, t Tie) {
	switch {
	case t.shared():
		s.equate(r, 0)
	case t != Free:
		s.spring(r, float64(t))
	}
}

func vecOf(v Vec) *mat.VecDense { return mat.NewVecDense(3, v[:]) }

// local returns a global force and moment in local axes.
func (m *denseMember) local6(force, moment Vec, local bool) six {
	if local {
		return newSix(force[0], force[1], force[2], moment[0], moment[1], moment[2])
	}
	var a, b mat.VecDense
	a.MulVec(m.turn, vecOf(force))
	b.MulVec(m.turn, vecOf(moment))
	return newSix(a.AtVec(0), a.AtVec(1), a.AtVec(2), b.AtVec(0), b.AtVec(1), b.AtVec(2))
}

// dense solves a case by the second method.
func dense(t *testing.T, f *Frame, c Case) *denseAnswer {
	t.Helper()
	out := &denseAnswer{frame: f, held: map[[2]int]float64{}}
	size, equations := 6*len(f.nodes), 0
	for _, m := range f.members {
		start, end := f.nodes[m.Start].at.add(m.Offsets[0]), f.nodes[m.End].at.add(m.Offsets[1])
		d := denseMember{length: end.sub(start).norm(), ea: m.EA, eiy: m.EIy, eiz: m.EIz, gj: m.GJ,
			turn: denseTurn(start, end, m.Reference), ends: [2]int{6 * int(m.Start), 6 * int(m.End)}}
		for i, stiffness := range [...]float64{m.ShearY, m.ShearZ} {
			if stiffness > 0 {
				d.shear[i] = 1 / stiffness
			}
		}
		if len(m.Ends) > 0 || m.Offsets != [2]Vec{} {
			d.local, d.ends = true, [2]int{size, size + 6}
			size += 12
			equations += 12
		}
		if m.Mass > 0 && c.Gravity != (Vec{}) {
			w := d.local6(c.Gravity.scale(m.Mass), Vec{}, false)
			d.loads = append(d.loads, denseLoad{0, d.length, w, w})
		}
		out.members = append(out.members, d)
	}
	for _, p := range c.Points {
		m := &out.members[p.Member]
		v := m.local6(p.Force, p.Moment, p.Local)
		m.loads = append(m.loads, denseLoad{p.At, p.At, v, nil})
	}
	for _, l := range c.Lines {
		m := &out.members[l.Member]
		m.loads = append(m.loads, denseLoad{l.From, l.To, m.local6(l.Start, Vec{}, l.Local), m.local6(l.End, Vec{}, l.Local)})
	}
	for _, h := range c.Heats {
		m, warm := &out.members[h.Member], f.members[h.Member].Expansion
		m.strain += warm * h.Rise
		m.curl[0] += warm * h.Across[1] // warmer towards +z turns +x to -z
		m.curl[1] -= warm * h.Across[0]
	}
	settled := map[[2]int]float64{}
	for _, q := range c.Settlements {
		settled[[2]int{int(q.Node), int(q.Freedom)}] += q.Value
	}
	for n := range f.nodes {
		for _, is := range f.nodes[n].fixed {
			if is {
				equations++
			}
		}
	}
	equations += 6 * len(f.joints)
	s := &denseSystem{mat.NewDense(size+equations, size+equations, nil), mat.NewVecDense(size+equations, nil), size, 1e7, map[[2]int]int{}}
	for id := range out.members {
		out.members[id].assemble(s, f.members[id])
	}
	for _, j := range f.joints {
		s.joint(f, j)
	}
	for n := range f.nodes {
		for d := range 6 {
			who, along := [2]int{n, d}, f.alongOwn(n, d)
			if f.nodes[n].fixed[d] {
				s.owners[who] = s.equate(along, settled[who])
			}
			if k := f.nodes[n].spring[d]; k > 0 {
				s.spring(along, k)
				if f.nodes[n].fixed[d] { // the ground moves under the support, not the spring
					continue
				}
				for i, part := range along {
					s.f.SetVec(i, s.f.AtVec(i)+k*part*settled[who])
				}
			}
		}
	}
	for _, n := range c.Nodes {
		for d := range 3 {
			i := 6*int(n.Node) + d
			s.f.SetVec(i, s.f.AtVec(i)+n.Force[d])
			s.f.SetVec(i+3, s.f.AtVec(i+3)+n.Moment[d])
		}
	}
	out.u = mat.NewVecDense(s.used, nil)
	if err := out.u.SolveVec(s.k.Slice(0, s.used, 0, s.used), s.f.SliceVec(0, s.used)); err != nil {
		if _, ill := errors.AsType[mat.Condition](err); !ill {
			t.Fatal(err)
		}
	}
	for n := range f.nodes {
		for d, k := range f.nodes[n].spring {
			who := [2]int{n, d}
			moved := 0.0
			for i, part := range f.alongOwn(n, d) {
				moved += part * out.u.AtVec(i)
			}
			if !f.nodes[n].fixed[d] {
				moved -= settled[who]
			}
			out.held[who] -= k * moved
		}
	}
	for who, n := range s.owners {
		out.held[who] -= s.scale * out.u.AtVec(n)
	}
	return out
}

// alongOwn returns a node's freedom along or about its own axes.
func (f *Frame) alongOwn(n, d int) denseRow {
	out := denseRow{6*n + d: 1}
	if axes := f.nodes[n].axes; axes != nil {
		for j, part := range axes[d%3] {
			out[6*n+d-d%3+j] = part
		}
	}
	return out
}

// assemble adds a member, and what ties its own ends to its nodes.
func (m *denseMember) assemble(s *denseSystem, of Member) {
	k := m.stiffness()
	start, end := m.held()
	load := mat.NewVecDense(12, append(append([]float64(nil), start.RawVector().Data...), end.RawVector().Data...))
	turn := mat.NewDense(12, 12, nil)
	for i := range 12 {
		for j := range 3 {
			if m.local {
				turn.Set(i, i, 1)
			} else {
				turn.Set(i, i-i%3+j, m.turn.At(i%3, j))
			}
		}
	}
	var global mat.Dense
	var right mat.VecDense
	global.Product(turn.T(), k, turn)
	right.MulVec(turn.T(), load)
	at := func(i int) int { return m.ends[i/6] + i%6 }
	for i := range 12 {
		for j := range 12 {
			s.k.Set(at(i), at(j), s.k.At(at(i), at(j))+global.At(i, j))
		}
		s.f.SetVec(at(i), s.f.AtVec(at(i))-right.AtVec(i))
	}
	if !m.local {
		return
	}
	ties := [2][6]Tie{}
	for end := range ties {
		for d := range 6 {
			ties[end][d] = Shared()
		}
	}
	for _, e := range of.Ends {
		ties[e.End][e.Freedom] = e.Tie
	}
	for end, n := range [...]NodeID{of.Start, of.End} {
		for d := range 6 {
			slip := denseRow{m.ends[end] + d: -1}
			for j := range 3 {
				slip[6*int(n)+d-d%3+j] += m.turn.At(d%3, j)
				if d < 3 { // the rigid arm of the offset turns with the node
					var unit Vec
					unit[j] = 1
					swept := unit.cross(of.Offsets[end])
					slip[6*int(n)+3+j] += m.turn.At(d, 0)*swept[0] + m.turn.At(d, 1)*swept[1] + m.turn.At(d, 2)*swept[2]
				}
			}
			s.tie(slip, ties[end][d])
		}
	}
}

// joint ties the second node to the point that the first carries on a rigid arm.
func (s *denseSystem) joint(f *Frame, j Joint) {
	arm := f.nodes[j.Second].at.sub(f.nodes[j.First].at)
	for k, t := range j.Ties {
		slip := denseRow{}
		axis := j.Axes[k%3]
		for d := range 3 {
			slip[6*int(j.Second)+k-k%3+d] += axis[d]
			slip[6*int(j.First)+k-k%3+d] -= axis[d]
			if k < 3 {
				var unit Vec
				unit[d] = 1
				slip[6*int(j.First)+3+d] -= axis.dot(unit.cross(arm))
			}
		}
		s.tie(slip, t)
	}
}

// end returns the movement of a member's own end, local axes.
func (a *denseAnswer) end(id MemberID, end int) six {
	m := &a.members[id]
	v := newSix()
	for d := range 6 {
		if m.local {
			v.SetVec(d, a.u.AtVec(m.ends[end]+d))
			continue
		}
		for j := range 3 {
			v.SetVec(d, v.AtVec(d)+m.turn.At(d%3, j)*a.u.AtVec(m.ends[end]+d-d%3+j))
		}
	}
	return v
}

// endForces returns what acts on a member at its ends.
func (a *denseAnswer) endForces(id MemberID) (start, end six) {
	m := &a.members[id]
	start, end = m.held()
	v := mul6(carry(m.length), a.end(id, 0))
	v.SubVec(a.end(id, 1), v)
	p := newSix()
	if err := p.SolveVec(m.flexibility(m.length), v); err != nil {
		panic(err)
	}
	end.AddVec(end, p)
	start.SubVec(start, mul6(carry(m.length).T(), p))
	return start, end
}

// section returns the forces on the face of a section and its movement, local axes: no point
// load stands there.
func (a *denseAnswer) section(id MemberID, x float64) (force, move six) {
	m := &a.members[id]
	_, end := a.endForces(id)
	force = mul6(carry(m.length-x).T(), end)
	force.AddVec(force, m.over(x, m.length, func(at float64, p six) six { return mul6(carry(at-x).T(), p) }))
	move = mul6(carry(x), a.end(id, 0))
	move.AddVec(move, mul6(m.flexibility(x), force))
	move.AddVec(move, m.warmed(x))
	move.AddVec(move, m.over(0, x, func(at float64, p six) six { return mul6(carry(x-at), mul6(m.flexibility(at), p)) }))
	return force, move
}

// components returns all of Diagram's components at a section.
func (a *denseAnswer) components(id MemberID, x float64) (out [components]float64) {
	force, move := a.section(id, x)
	for i, c := range [...]Component{Axial, ShearY, ShearZ, Torsion, MomentY, MomentZ} {
		out[c] = force.AtVec(i)
	}
	for i, c := range [...]Component{MoveX, MoveY, MoveZ, Twist, TurnY, TurnZ} {
		out[c] = move.AtVec(i)
	}
	return out
}

// TestDenseSecondMethod compares movements, reactions, end forces and every component within
// the members with the second method.
func TestDenseSecondMethod(t *testing.T) {
	const source = "a program of full matrices that shares data alone with this one, solved by LU with pivoting of gonum"
	frames := verification.New(t, verification.Libraries).From("random frames under random loads (N, m, rad)", source, verification.Program)
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		c := randomCase(r, f)
		got, want := f.solved(t, c), dense(t, f, c)
		movement, force := got.sizes()
		_, frame, _ := strings.Cut(t.Name(), "/")
		keepLargest(frames, frame, f, got, want)
		for n := range f.nodes {
			for d := range Freedom(6) {
				near(t, fmt.Sprintf("%v of %s", d, f.nodes[n].label), got.Displacement(NodeID(n), d), want.u.AtVec(6*n+int(d)), movement)
			}
		}
		reactions := map[[2]int]float64{}
		for _, q := range got.Reactions {
			reactions[[2]int{int(q.Node), int(q.Freedom)}] += q.Value
		}
		for who, v := range reactions {
			near(t, fmt.Sprintf("reaction %v of %s", Freedom(who[1]), f.nodes[who[0]].label), v, want.held[who], force)
		}
		for id := range f.members {
			m := MemberID(id)
			start, end := want.endForces(m)
			for i, v := range got.EndForces(m) {
				w := start
				if i >= 6 {
					w = end
				}
				near(t, fmt.Sprintf("end force %d of member %d", i, m), v, w.AtVec(i%6), force)
			}
			d := got.Diagram(m)
			for range 3 {
				x := r.Float64() * f.Length(m)
				all := want.components(m, x)
				for k := range components {
					scale := force
					if k >= MoveX {
						scale = movement
					}
					near(t, fmt.Sprintf("component %d at %.3f of member %d", k, x, m), d.At(k, x), all[k], scale)
				}
			}
		}
	})
}

// keepLargest puts the largest movement of a frame and its largest reaction into the record.
func keepLargest(row *verification.Sourced, frame string, f *Frame, got *Solution, want *denseAnswer) {
	node, freedom, most := NodeID(0), Freedom(0), 0.0
	for n := range f.nodes {
		for d := range Freedom(6) {
			if v := math.Abs(want.u.AtVec(6*n + int(d))); v > most {
				node, freedom, most = NodeID(n), d, v
			}
		}
	}
	if most > 0 {
		row.Add(fmt.Sprintf("frame %s: %v of node %d", frame, freedom, node), want.u.AtVec(6*int(node)+int(freedom)), got.Displacement(node, freedom))
	}
	var at [2]int
	most = 0
	for who, v := range want.held {
		if a := math.Abs(v); a > most || a == most && slices.Compare(who[:], at[:]) < 0 {
			at, most = who, a
		}
	}
	if most > 0 {
		row.Add(fmt.Sprintf("frame %s: reaction in %v of node %d", frame, Freedom(at[1]), at[0]), want.held[at], got.along(NodeID(at[0]), Freedom(at[1])))
	}
}

// readDense returns a response from the second method.
func (p *probe) readDense(a *denseAnswer) float64 {
	switch {
	case p.sum != nil:
		out := 0.0
		for i := range p.sum {
			out += p.factors[i] * p.sum[i].readDense(a)
		}
		return out
	case p.section:
		return a.components(p.member, p.station)[p.component]
	}
	return a.u.AtVec(6*int(p.node) + int(p.freedom))
}

// TestDenseInfluence places unit loads in the second method and reads the lines, which come by
// reciprocity, beside them.
func TestDenseInfluence(t *testing.T) {
	eachInfluence(t, func(t *testing.T, r *rand.Rand, tr *influenceTrial) {
		for range 2 {
			pieces := tr.lines[0].Pieces
			k := r.IntN(len(pieces))
			x, d := pieces[k].somewhere(r), r.IntN(len(tr.directions))
			a := dense(t, tr.frame, Case{Points: directPoint(tr.frame, tr.rows, x, tr.directions[d])})
			for i := range tr.lines {
				p := &tr.probes[i]
				near(t, fmt.Sprintf("%v, load at %.6f in direction %d", p, x, d), tr.lines[i].Pieces[k].At(d, x), p.readDense(a), tr.scales[i])
			}
		}
	})
}
