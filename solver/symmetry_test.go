package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
)

// More properties of random frames: what the whole frame does when it moves as a rigid body,
// is mirrored, made larger or has its members turned end for end. Sources: statics, the theory
// of dimensions and symmetry.

// full returns the stiffness over all equations, restrained ones too.
func (s *Factored) full() *mat.Dense {
	n := s.free + s.held
	k := mat.NewDense(n, n, nil)
	for i := range s.free {
		for j := range s.free {
			k.Set(i, j, s.band.At(i, j))
		}
	}
	for r, row := range s.heldRows {
		for _, t := range row {
			k.Set(s.free+r, t.eq, k.At(s.free+r, t.eq)+t.coeff)
			if t.eq < s.free {
				k.Set(t.eq, s.free+r, k.At(t.eq, s.free+r)+t.coeff)
			}
		}
	}
	return k
}

// moving returns the movements of the equations that move every node as said.
func (s *Factored) moving(t *testing.T, node func(n NodeID) [6]float64) *mat.VecDense {
	n := s.free + s.held
	a, b := mat.NewDense(6*len(s.frame.nodes), n, nil), mat.NewVecDense(6*len(s.frame.nodes), nil)
	for id := range s.frame.nodes {
		for d, v := range node(NodeID(id)) {
			b.SetVec(6*id+d, v)
			for _, q := range s.nodes.at(NodeID(id), Freedom(d)) {
				a.Set(6*id+d, q.eq, a.At(6*id+d, q.eq)+q.coeff)
			}
		}
	}
	// The nodes' movements are more than the equations, and agree: by normal equations, whose
	// matrix is near the unit one.
	var normal mat.Dense
	var right mat.VecDense
	normal.Mul(a.T(), a)
	right.MulVec(a.T(), b)
	u := mat.NewVecDense(n, nil)
	if err := u.SolveVec(&normal, &right); err != nil {
		t.Fatal(err)
	}
	var left mat.VecDense
	left.MulVec(a, u)
	left.SubVec(&left, b)
	if mat.Norm(&left, math.Inf(1)) > 1e-12 {
		t.Errorf("the frame cannot move as a rigid body: a node is %g off", mat.Norm(&left, math.Inf(1)))
	}
	return u
}

// TestRigidBodyMotions moves whole frames, joints and arms with them, and finds no force
// anywhere. The frames stand on supports only, for the ground does not move with them.
func TestRigidBodyMotions(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		for n := range f.nodes {
			if f.nodes[n].spring != [6]float64{} {
				f.nodes[n].spring, f.nodes[n].fixed = [6]float64{}, [6]bool{true, true, true, true, true, true}
			}
		}
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		k := s.full()
		for d := range Freedom(6) {
			u := s.moving(t, func(n NodeID) [6]float64 {
				var move, turn Vec
				if d < RX {
					move[d] = 1
				} else {
					turn[d-RX] = 1
					move = turn.cross(f.Position(n))
				}
				return [6]float64{move[0], move[1], move[2], turn[0], turn[1], turn[2]}
			})
			var force mat.VecDense
			force.MulVec(k, u)
			// Some twenty products of |K| and movements of up to 10 m: 1000 ε.
			if worst := mat.Norm(&force, math.Inf(1)); worst > 1000*0x1p-52*mat.Norm(k, math.Inf(1)) {
				t.Errorf("rigid %v: a force of %g N", d, worst)
			}
		}
	})
}

// TestStiffnessSymmetric compares the answers themselves, since the band holds one half only:
// the movement at one freedom of any node, the second ones of joints too, by a unit force at
// another.
func TestStiffnessSymmetric(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		a, b := NodeID(r.IntN(len(f.nodes))), NodeID(r.IntN(len(f.nodes)))
		var moves [6][6][2]float64
		for d := range Freedom(6) {
			for side, at := range [...]NodeID{a, b} {
				load := NodeLoad{Node: at}
				if d < RX {
					load.Force[d] = 1
				} else {
					load.Moment[d-RX] = 1
				}
				s := f.solved(t, Case{Nodes: []NodeLoad{load}})
				for e := range Freedom(6) {
					if side == 0 {
						moves[d][e][0] = s.Displacement(b, e)
					} else {
						moves[e][d][1] = s.Displacement(a, e)
					}
				}
			}
		}
		scale := 0.0
		for _, row := range moves {
			for _, v := range row {
				scale = max(scale, math.Abs(v[0]))
			}
		}
		for d, row := range moves {
			for e, v := range row {
				near(t, fmt.Sprintf("%v of node %d by %v of node %d", Freedom(e), b, Freedom(d), a), v[0], v[1], max(scale, 1e-9))
			}
		}
	})
}

// workAlong returns the work of all loads of a case along the movements of a solution of the
// same frame, line loads by integration: their product with a movement is of the sixth degree.
func (c Case) workAlong(s *Solution) float64 {
	w := Case{Nodes: c.Nodes, Points: c.Points}.work(s)
	for _, q := range slices.Concat(c.Lines, c.weights(s)) {
		e := &s.model.elements[q.Member]
		if !q.Local {
			q.Start, q.End = e.axes.into(q.Start), e.axes.into(q.End)
		}
		d := s.Diagram(q.Member)
		cuts := []float64{q.From, q.To}
		for _, x := range d.Breaks {
			if x > q.From && x < q.To {
				cuts = append(cuts, x)
			}
		}
		slices.Sort(cuts)
		for i := range len(cuts) - 1 {
			w += quad.Fixed(func(x float64) float64 {
				return q.at(x).dot(Vec{d.At(MoveX, x), d.At(MoveY, x), d.At(MoveZ, x)})
			}, cuts[i], cuts[i+1], 6, quad.Legendre{}, 0)
		}
	}
	return w
}

// weights returns the weights of the members as line loads.
func (c Case) weights(s *Solution) []LineLoad {
	var out []LineLoad
	for id, m := range s.model.frame.members {
		w := c.Gravity.scale(m.Mass)
		out = append(out, LineLoad{Member: MemberID(id), To: s.model.elements[id].length, Start: w, End: w})
	}
	return out
}

// TestReciprocityOfLines is Betti's theorem with line loads and weights.
func TestReciprocityOfLines(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		a, b := randomCase(r, f), randomCase(r, f)
		a.Settlements, b.Settlements, a.Heats, b.Heats = nil, nil, nil, nil // are no loads with a work
		sa, sb := f.solved(t, a), f.solved(t, b)
		near(t, "work of one case along the other", a.workAlong(sb), b.workAlong(sa), math.Sqrt(a.workAlong(sa)*b.workAlong(sb)))
	})
}

// likened compares two solutions whose global movements and forces go over into each other by
// maps of vectors and of turning vectors.
type likened struct {
	got, want          *Solution
	move, turn         func(Vec) Vec // of displacements and rotations
	force, moment      func(Vec) Vec
	movement, strength float64 // scales
}

func (l *likened) compare(t *testing.T) {
	t.Helper()
	for n := range l.want.model.frame.nodes {
		id, label := NodeID(n), l.want.model.frame.nodes[n].label
		u, turn := l.got.moved(id)
		wu, wturn := l.want.moved(id)
		nearVec(t, "displacement of "+label, u, l.move(wu), l.movement)
		nearVec(t, "rotation of "+label, turn, l.turn(wturn), l.movement)
		p, m := l.got.held(id)
		wp, wm := l.want.held(id)
		nearVec(t, "reaction at "+label, p, l.force(wp), l.strength)
		nearVec(t, "reaction moment at "+label, m, l.moment(wm), l.strength)
	}
}

// scaled returns the frame with lengths and stiffnesses (force per strain) multiplied.
func (f *Frame) scaled(length, stiffness float64) *Frame {
	out := &Frame{slices.Clone(f.nodes), slices.Clone(f.members), slices.Clone(f.joints)}
	line, turning := stiffness/length, stiffness*length // of springs
	for i := range out.nodes {
		n := &out.nodes[i]
		n.at = n.at.scale(length)
		for d := range 3 {
			n.spring[d] *= line
			n.spring[3+d] *= turning
		}
	}
	tie := func(t Tie, d Freedom) Tie {
		if d < RX {
			return t * Tie(line)
		}
		return t * Tie(turning)
	}
	for i := range out.members {
		m := &out.members[i]
		m.EA, m.ShearY, m.ShearZ = m.EA*stiffness, m.ShearY*stiffness, m.ShearZ*stiffness
		m.Offsets = [2]Vec{m.Offsets[0].scale(length), m.Offsets[1].scale(length)}
		m.EIy, m.EIz, m.GJ = m.EIy*stiffness*length*length, m.EIz*stiffness*length*length, m.GJ*stiffness*length*length
		m.Ends = slices.Clone(m.Ends)
		for k := range m.Ends {
			m.Ends[k].Tie = tie(m.Ends[k].Tie, m.Ends[k].Freedom)
		}
	}
	for i := range out.joints {
		for k := range Freedom(6) {
			out.joints[i].Ties[k] = tie(out.joints[i].Ties[k], k)
		}
	}
	return out
}

// scaledTo returns the case with lengths and forces multiplied, and imposed strains with the
// strains that these make.
func (c Case) scaledTo(length, stiffness, force float64) Case {
	out := c.scaled(force)
	for i := range out.Nodes {
		out.Nodes[i].Moment = out.Nodes[i].Moment.scale(length)
	}
	for i := range out.Points {
		p := &out.Points[i]
		p.At, p.Moment = p.At*length, p.Moment.scale(length)
	}
	for i := range out.Settlements { // scale has seen to the force
		q := &out.Settlements[i]
		q.Value /= stiffness
		if q.Freedom < RX {
			q.Value *= length
		}
	}
	for i := range out.Heats {
		h := &out.Heats[i]
		h.Rise /= stiffness
		h.Across = [2]float64{h.Across[0] / stiffness / length, h.Across[1] / stiffness / length}
	}
	for i := range out.Lines {
		q := &out.Lines[i]
		q.From, q.To = q.From*length, q.To*length
		q.Start, q.End = q.Start.scale(1/length), q.End.scale(1/length)
	}
	out.Gravity = out.Gravity.scale(1 / length) // on the same mass per length
	return out
}

// TestScaledFrame makes a frame larger, stiffer and more loaded. Factors are no powers of two,
// so that every digit changes.
func TestScaledFrame(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		c := randomCase(r, f)
		length, stiffness, force := between(r, 0.1, 10), between(r, 0.01, 100), between(r, 0.1, 10)
		want := f.solved(t, c)
		l := likened{got: f.scaled(length, stiffness).solved(t, c.scaledTo(length, stiffness, force)), want: want}
		l.move = func(v Vec) Vec { return v.scale(force / stiffness * length) }
		l.turn = func(v Vec) Vec { return v.scale(force / stiffness) }
		l.force = func(v Vec) Vec { return v.scale(force) }
		l.moment = func(v Vec) Vec { return v.scale(force * length) }
		movement, strength := want.sizes()
		l.movement, l.strength = movement*force/stiffness*max(1, length), strength*force*max(1, length)
		l.compare(t)
	})
}

// mirror and its like for turning vectors: the plane is that of Y and Z.
func mirror(v Vec) Vec        { return Vec{-v[0], v[1], v[2]} }
func mirrorTurning(v Vec) Vec { return Vec{v[0], -v[1], -v[2]} }

// mirrored returns the frame and the case in the mirror. A member's local z turns about, for
// axes stay right-handed.
func (f *Frame) mirrored(c Case) (*Frame, Case) {
	out := &Frame{slices.Clone(f.nodes), slices.Clone(f.members), slices.Clone(f.joints)}
	for i := range out.nodes {
		n := &out.nodes[i]
		n.at = mirror(n.at)
		own := global
		if n.axes != nil {
			own = *n.axes
		}
		out.Turn(NodeID(i), Axes{mirror(own[0]), mirror(own[1]), mirror(own[2]).scale(-1)})
	}
	for i := range out.members {
		m := &out.members[i]
		m.Reference, m.Offsets = mirror(m.Reference), [2]Vec{mirror(m.Offsets[0]), mirror(m.Offsets[1])}
	}
	for i := range out.joints {
		a := &out.joints[i].Axes
		a[0], a[1], a[2] = mirror(a[0]), mirror(a[1]), mirror(a[2]).scale(-1)
	}
	load := c.scaled(1)
	load.Gravity = mirror(c.Gravity)
	for i := range load.Nodes {
		n := &load.Nodes[i]
		n.Force, n.Moment = mirror(n.Force), mirrorTurning(n.Moment)
	}
	vector := func(v Vec, local bool) Vec {
		if local {
			return Vec{v[0], v[1], -v[2]}
		}
		return mirror(v)
	}
	for i := range load.Points {
		p := &load.Points[i]
		p.Force = vector(p.Force, p.Local)
		p.Moment = vector(p.Moment, p.Local).scale(-1) // turning vectors go the other way
	}
	for i := range load.Settlements {
		q := &load.Settlements[i]
		if q.Freedom == UZ || q.Freedom == RX || q.Freedom == RY {
			q.Value = -q.Value
		}
	}
	for i := range load.Heats {
		load.Heats[i].Across[1] *= -1
	}
	for i := range load.Lines {
		q := &load.Lines[i]
		q.Start, q.End = vector(q.Start, q.Local), vector(q.End, q.Local)
	}
	return out, load
}

func TestMirroredFrame(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		c := randomCase(r, f)
		g, load := f.mirrored(c)
		l := likened{got: g.solved(t, load), want: f.solved(t, c), move: mirror, turn: mirrorTurning, force: mirror, moment: mirrorTurning}
		l.movement, l.strength = l.want.sizes()
		l.compare(t)
		sign := [components]float64{Axial: 1, ShearY: 1, ShearZ: -1, Torsion: -1, MomentY: -1, MomentZ: 1, MoveX: 1, MoveY: 1, MoveZ: -1, Twist: -1, TurnY: -1, TurnZ: 1}
		for id := range f.members {
			m, x := MemberID(id), r.Float64()*f.Length(MemberID(id))
			got, want := l.got.Diagram(m), l.want.Diagram(m)
			for k := range components {
				scale := l.strength
				if k >= MoveX {
					scale = l.movement
				}
				near(t, fmt.Sprintf("component %d of member %d", k, m), got.At(k, x), sign[k]*want.At(k, x), scale)
			}
		}
	})
}

// TestReversedMembers turns every member end for end: nothing that is global changes.
func TestReversedMembers(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		c := randomCase(r, f)
		g := &Frame{f.nodes, slices.Clone(f.members), f.joints}
		for i := range g.members {
			m := &g.members[i]
			m.Start, m.End = m.End, m.Start
			m.Offsets[0], m.Offsets[1] = m.Offsets[1], m.Offsets[0]
			m.Ends = slices.Clone(m.Ends)
			for k := range m.Ends {
				m.Ends[k].End = 1 - m.Ends[k].End
			}
		}
		local := func(v Vec, is bool) Vec {
			if is {
				return Vec{-v[0], v[1], -v[2]}
			}
			return v
		}
		load := c.scaled(1)
		for i := range load.Points {
			p := &load.Points[i]
			p.At, p.Force, p.Moment = f.Length(p.Member)-p.At, local(p.Force, p.Local), local(p.Moment, p.Local)
		}
		for i := range load.Heats {
			load.Heats[i].Across[1] *= -1
		}
		for i := range load.Lines {
			q := &load.Lines[i]
			length := f.Length(q.Member)
			q.From, q.To = length-q.To, length-q.From
			q.Start, q.End = local(q.End, q.Local), local(q.Start, q.Local)
		}
		same := func(v Vec) Vec { return v }
		l := likened{got: g.solved(t, load), want: f.solved(t, c), move: same, turn: same, force: same, moment: same}
		l.movement, l.strength = l.want.sizes()
		l.compare(t)
	})
}
