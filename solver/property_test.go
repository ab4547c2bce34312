package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// Properties that hold for every frame, tried on random ones. Sources: the
// theorems of linear structures in any text on matrix analysis, such as
// McGuire, Gallagher and Ziemian, Matrix Structural Analysis.

const trials = 60

// eachFrame runs a property on random frames, the same ones every time.
func eachFrame(t *testing.T, property func(t *testing.T, r *rand.Rand, f *Frame)) {
	t.Helper()
	r := rand.New(rand.NewPCG(1, 1))
	for i := range trials {
		f := randomFrame(r)
		if !t.Run(fmt.Sprint(i), func(t *testing.T) { property(t, r, f) }) {
			return
		}
	}
}

// TestRandomFrames guards the other tests of this file: the random
// frames have what they are said to have.
func TestRandomFrames(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	var joints, arms, ties, springs, sheared, offset, turned int
	for range trials {
		f := randomFrame(r)
		for _, j := range f.joints {
			joints++
			if f.Position(j.First) != f.Position(j.Second) {
				arms++
			}
		}
		for _, m := range f.members {
			ties += len(m.Ends)
			if m.ShearZ > 0 {
				sheared++
			}
			if m.Offsets[1] != (Vec{}) {
				offset++
			}
		}
		for _, n := range f.nodes {
			if n.axes != nil {
				turned++
			}
			if n.spring[UX] > 0 {
				springs++
			}
		}
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		if c := mat.Cond(s.scaled(), 2); c > 1e6 {
			t.Errorf("condition %.1e: larger than the tolerance allows for", c)
		}
	}
	if joints < 30 || arms < 10 || ties < 50 || springs < 20 {
		t.Errorf("%d joints, %d with arms, %d end ties, %d sprung feet: too few to test", joints, arms, ties, springs)
	}
	if sheared < 100 || offset < 50 || turned < 100 {
		t.Errorf("%d members with shear strain, %d with offsets, %d nodes with axes: too few to test", sheared, offset, turned)
	}
}

// scaled returns the stiffness scaled to a unit diagonal.
func (s *Factored) scaled() *mat.SymDense {
	out := mat.NewSymDense(s.free, nil)
	for i := range s.free {
		for j := i; j < s.free; j++ {
			out.SetSym(i, j, s.band.At(i, j)/math.Sqrt(s.band.At(i, i)*s.band.At(j, j)))
		}
	}
	return out
}

// TestElementStiffness checks each element by itself, with its end ties.
func TestElementStiffness(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		for id := range s.elements {
			checkElement(t, f, MemberID(id), &s.elements[id])
		}
	})
}

func checkElement(t *testing.T, f *Frame, id MemberID, e *element) {
	k := e.globalStiffness()
	// The largest stiffness of the member without its ties: what is rounded.
	size := max(e.ea/e.length, 12*max(e.eiy, e.eiz)/(e.length*e.length*e.length))
	for i := range 12 {
		for j := range i {
			// Terms of a product of three matrices, each rounded: 100 ε.
			if math.Abs(k[i][j]-k[j][i]) > 100*0x1p-52*size {
				t.Errorf("member %d: k[%d][%d] = %g, k[%d][%d] = %g", id, i, j, k[i][j], j, i, k[j][i])
			}
		}
	}
	start, far := f.Ends(id)
	for d := range 6 {
		var u vec12
		for end, at := range [...]Vec{start, far} {
			var move, turn Vec
			if d < 3 {
				move[d] = 1
			} else {
				turn[d-3] = 1
				move = turn.cross(at)
			}
			copy(u[6*end:], move[:])
			copy(u[6*end+3:], turn[:])
		}
		for i := range 12 {
			force := 0.0
			for j := range 12 {
				force += k[i][j] * u[j]
			}
			// Twelve products of size·|u|, and |u| is below 10 m here: 1000 ε.
			if math.Abs(force) > 1000*0x1p-52*size {
				t.Errorf("member %d: rigid motion %v gives end force %d = %g N", id, Freedom(d), i, force)
			}
		}
	}
}

// TestAssembledStiffness compares the band, and the rows of held freedoms, with
// a dense sum of Aᵀ k A.
func TestAssembledStiffness(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		n := s.free + s.held
		want := mat.NewDense(n, n, nil)
		add := func(k mat.Matrix, rows [][]term) {
			a := mat.NewDense(len(rows), n, nil)
			for i, list := range rows {
				for _, term := range list {
					a.Set(i, term.eq, a.At(i, term.eq)+term.coeff)
				}
			}
			var part mat.Dense
			part.Product(a.T(), k, a)
			want.Add(want, &part)
		}
		for id := range s.elements {
			g := s.elements[id].globalStiffness()
			k := mat.NewDense(12, 12, nil)
			for i := range 12 {
				k.SetRow(i, g[i][:])
			}
			ends := s.ends(MemberID(id))
			add(k, ends[:])
		}
		for node := range f.nodes {
			axes := global
			if own := f.nodes[node].axes; own != nil {
				axes = *own
			}
			for d, k := range f.nodes[node].spring {
				var along []term
				for g, part := range axes[d%3] {
					for _, term := range s.nodes.at(NodeID(node), Freedom(d-d%3+g)) {
						along = append(along, term.times(part))
					}
				}
				add(mat.NewDense(1, 1, []float64{k}), [][]term{along})
			}
		}
		for _, j := range f.joints {
			addJoint(s, j, add)
		}
		size := mat.Max(want)
		for i := range n {
			got := make([]float64, n)
			if i < s.free {
				for k := range s.free {
					got[k] = s.band.At(i, k)
				}
			} else {
				for _, term := range s.heldRows[i-s.free] {
					got[term.eq] += term.coeff
				}
			}
			for k := range n {
				if i < s.free && k >= s.free {
					continue
				}
				near(t, fmt.Sprintf("K[%d][%d]", i, k), got[k], want.At(i, k), size)
			}
		}
	})
}

// addJoint adds the springs of a joint: each works on the movement of the second
// node past the end of the first node's arm, along or about its axis.
func addJoint(s *Factored, j Joint, add func(mat.Matrix, [][]term)) {
	arm := s.frame.Position(j.Second).sub(s.frame.Position(j.First))
	for k, tie := range j.Ties {
		if tie.shared() {
			continue
		}
		axis := j.Axes[k%3]
		var slip []term
		for d := range 3 {
			group := k - k%3
			for _, term := range s.nodes.at(j.Second, Freedom(group+d)) {
				slip = append(slip, term.times(axis[d]))
			}
			for _, term := range s.nodes.at(j.First, Freedom(group+d)) {
				slip = append(slip, term.times(-axis[d]))
			}
			if k < 3 {
				turn := Vec{}
				turn[d] = 1
				for _, term := range s.nodes.at(j.First, RX+Freedom(d)) {
					slip = append(slip, term.times(-axis.dot(turn.cross(arm))))
				}
			}
		}
		add(mat.NewDense(1, 1, []float64{float64(tie)}), [][]term{slip})
	}
}

func (t term) times(s float64) term { return term{t.eq, s * t.coeff} }

// TestReactionsBalance adds loads and reactions about a point of its own, the
// line loads by the closed form of a trapezium.
func TestReactionsBalance(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		c := randomCase(r, f)
		s := f.solved(t, c)
		about := Vec{1, 2, -1}
		var force, moment Vec
		add := func(at, p, m Vec) {
			force, moment = force.add(p), moment.add(m).add(at.sub(about).cross(p))
		}
		for _, n := range c.Nodes {
			add(f.Position(n.Node), n.Force, n.Moment)
		}
		for _, p := range c.Points {
			if p.Local {
				axes := s.model.elements[p.Member].axes
				p.Force, p.Moment = axes.from(p.Force), axes.from(p.Moment)
			}
			add(f.along(p.Member, p.At), p.Force, p.Moment)
		}
		for _, q := range c.Lines {
			if q.Local {
				axes := s.model.elements[q.Member].axes
				q.Start, q.End = axes.from(q.Start), axes.from(q.End)
			}
			// Two triangles, each through its own centroid.
			length := q.To - q.From
			add(f.along(q.Member, q.From+length/3), q.Start.scale(length/2), Vec{})
			add(f.along(q.Member, q.To-length/3), q.End.scale(length/2), Vec{})
		}
		for id := range f.members {
			m := &f.members[id]
			add(f.along(MemberID(id), f.Length(MemberID(id))/2), c.Gravity.scale(m.Mass*f.Length(MemberID(id))), Vec{})
			weight := s.model.elements[id].axes.from(s.model.Weight(MemberID(id), c.Gravity))
			nearVec(t, "weight per length", weight, c.Gravity.scale(m.Mass), c.Gravity.norm()*m.Mass)
		}
		for n := range f.nodes {
			p, m := s.held(NodeID(n))
			add(f.Position(NodeID(n)), p, m)
		}
		_, size := s.sizes()
		nearVec(t, "sum of forces", force, Vec{}, size)
		nearVec(t, "sum of moments", moment, Vec{}, size)
		if !(s.Residual < 1e-14) || !(s.Imbalance < rounding) || s.model.Residual() < s.Residual {
			t.Errorf("residual %.1e, imbalance %.1e", s.Residual, s.Imbalance)
		}
	})
}

func (f *Frame) along(m MemberID, x float64) Vec {
	a, b := f.Ends(m)
	return a.add(b.sub(a).scale(x / f.Length(m)))
}

// TestNodesInBalance adds what the members' ends, the ground and the loads do to
// each node that is in no joint.
func TestNodesInBalance(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		c := randomCase(r, f)
		s := f.solved(t, c)
		force, moment := make([]Vec, len(f.nodes)), make([]Vec, len(f.nodes))
		for id, m := range f.members {
			e := s.EndForces(MemberID(id))
			axes := s.model.elements[id].axes
			for end, n := range [...]NodeID{m.Start, m.End} {
				p := axes.from(Vec(e[6*end : 6*end+3]))
				force[n] = force[n].sub(p)
				moment[n] = moment[n].sub(axes.from(Vec(e[6*end+3 : 6*end+6]))).sub(m.Offsets[end].cross(p))
			}
		}
		for _, n := range c.Nodes {
			force[n.Node], moment[n.Node] = force[n.Node].add(n.Force), moment[n.Node].add(n.Moment)
		}
		jointed := map[NodeID]bool{}
		for _, j := range f.joints {
			jointed[j.First], jointed[j.Second] = true, true
			// Both nodes together, about the first.
			arm := f.Position(j.Second).sub(f.Position(j.First))
			force[j.First] = force[j.First].add(force[j.Second])
			moment[j.First] = moment[j.First].add(moment[j.Second]).add(arm.cross(force[j.Second]))
			jointed[j.First], jointed[j.Second] = false, true
		}
		_, size := s.sizes()
		for n := range f.nodes {
			if jointed[NodeID(n)] {
				continue
			}
			p, m := s.held(NodeID(n))
			nearVec(t, "force on "+f.nodes[n].label, force[n].add(p), Vec{}, size)
			nearVec(t, "moment on "+f.nodes[n].label, moment[n].add(m), Vec{}, size)
		}
	})
}

// work returns what the point and node loads of a case do along the movements of a
// solution, less what that solution's reactions do along the case's settlements, and more
// what its section forces do along the free strains of the case's changes of temperature.
func (c Case) work(s *Solution) float64 {
	sum := 0.0
	for _, n := range c.Nodes {
		u, turn := s.moved(n.Node)
		sum += n.Force.dot(u) + n.Moment.dot(turn)
	}
	for _, p := range c.Points {
		d := s.Diagram(p.Member)
		u := Vec{d.At(MoveX, p.At), d.At(MoveY, p.At), d.At(MoveZ, p.At)}
		turn := Vec{d.At(Twist, p.At), d.At(TurnY, p.At), d.At(TurnZ, p.At)}
		if axes := s.model.elements[p.Member].axes; !p.Local {
			u, turn = axes.from(u), axes.from(turn)
		}
		sum += p.Force.dot(u) + p.Moment.dot(turn)
	}
	for _, q := range c.Settlements {
		for _, held := range s.Reactions {
			if held.Node == q.Node && held.Freedom == q.Freedom {
				sum -= held.Value * q.Value
			}
		}
	}
	for _, h := range c.Heats {
		expansion := s.model.frame.members[h.Member].Expansion
		d := s.Diagram(h.Member)
		for i, p := range d.pieces {
			length := d.Breaks[i+1] - d.Breaks[i]
			over := func(c Component) float64 { return p[c].integral(0).At(length) }
			// Fibres at y and z strain by the expansion times (Rise + Across·(y, z)); the
			// stress there is N/A - Mz y/Iz + My z/Iy.
			sum += expansion * (h.Rise*over(Axial) - h.Across[0]*over(MomentZ) + h.Across[1]*over(MomentY))
		}
	}
	return sum
}

// TestReciprocity is the theorem of Betti and Maxwell: the loads of one case do the same
// work along the movements of another as the other way round, with the settlements and
// the free strains of either put to work on the forces of the other.
func TestReciprocity(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		a, b := randomCase(r, f), randomCase(r, f)
		a.Lines, b.Lines, a.Gravity, b.Gravity = nil, nil, Vec{}, Vec{}
		sa, sb := f.solved(t, a), f.solved(t, b)
		movement, force := sa.sizes()
		movementB, forceB := sb.sizes()
		near(t, "work of one case along the other", a.work(sb), b.work(sa), movement*forceB+movementB*force)
	})
}

func TestSuperposition(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		a, b := randomCase(r, f), randomCase(r, f)
		sa, sb := f.solved(t, a), f.solved(t, b)
		both := f.solved(t, a.scaled(2).plus(b.scaled(-3)))
		movement, force := both.sizes()
		for n := range f.nodes {
			ua, ta := sa.moved(NodeID(n))
			ub, tb := sb.moved(NodeID(n))
			u, turn := both.moved(NodeID(n))
			nearVec(t, "displacement of "+f.nodes[n].label, u, ua.scale(2).sub(ub.scale(3)), movement)
			nearVec(t, "rotation of "+f.nodes[n].label, turn, ta.scale(2).sub(tb.scale(3)), movement)
		}
		for id := range f.members {
			m := MemberID(id)
			ea, eb := sa.EndForces(m), sb.EndForces(m)
			for i, v := range both.EndForces(m) {
				near(t, fmt.Sprintf("end force %d of member %d", i, m), v, 2*ea[i]-3*eb[i], force)
			}
			da, db, d := sa.Diagram(m), sb.Diagram(m), both.Diagram(m)
			x := r.Float64() * f.Length(m)
			for c := range components {
				scale := force
				if c >= MoveX {
					scale = movement
				}
				near(t, fmt.Sprintf("component %d of member %d", c, m), d.At(c, x), 2*da.At(c, x)-3*db.At(c, x), scale)
			}
		}
	})
}

// TestTurnedFrame turns frame and loads as a whole: movements and reactions turn
// with them, local end forces stay.
func TestTurnedFrame(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		c, to := randomCase(r, f), randomAxes(r)
		a, b := f.solved(t, c), f.turned(to).solved(t, c.turned(to))
		movement, force := a.sizes()
		for n := range f.nodes {
			id, label := NodeID(n), f.nodes[n].label
			ua, ta := a.moved(id)
			ub, tb := b.moved(id)
			nearVec(t, "displacement of "+label, ub, to.from(ua), movement)
			nearVec(t, "rotation of "+label, tb, to.from(ta), movement)
			fa, ma := a.held(id)
			fb, mb := b.held(id)
			nearVec(t, "reaction at "+label, fb, to.from(fa), force)
			nearVec(t, "reaction moment at "+label, mb, to.from(ma), force)
		}
		sameEndForces(t, b, a)
	})
}

func sameEndForces(t *testing.T, got, want *Solution) {
	t.Helper()
	_, force := want.sizes()
	for m := range want.model.elements {
		w := want.EndForces(MemberID(m))
		for i, v := range got.EndForces(MemberID(m)) {
			near(t, fmt.Sprintf("end force %d of member %d", i, m), v, w[i], force)
		}
	}
}

func TestRenumberedNodes(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		c := randomCase(r, f)
		a := f.solved(t, c)
		to := make([]NodeID, len(f.nodes))
		for i, p := range r.Perm(len(to)) {
			to[i] = NodeID(p)
		}
		for i := range c.Nodes {
			c.Nodes[i].Node = to[c.Nodes[i].Node]
		}
		for i := range c.Settlements {
			c.Settlements[i].Node = to[c.Settlements[i].Node]
		}
		b := f.renumbered(to).solved(t, c)
		movement, _ := a.sizes()
		for n := range f.nodes {
			ua, ta := a.moved(NodeID(n))
			ub, tb := b.moved(to[n])
			nearVec(t, "displacement of "+f.nodes[n].label, ub, ua, movement)
			nearVec(t, "rotation of "+f.nodes[n].label, tb, ta, movement)
		}
		sameEndForces(t, b, a)
	})
}

// TestCutMember cuts a loaded member in two: the diagrams of the halves are
// those of the whole.
func TestCutMember(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		c := randomCase(r, f)
		id := c.Lines[0].Member
		length := f.Length(id)
		x := between(r, 0.2, 0.8) * length
		cutFrame, cutCase := f.cut(c, id, x)
		a, b := f.solved(t, c), cutFrame.solved(t, cutCase)
		movement, force := a.sizes()
		for n := range f.nodes {
			ua, ta := a.moved(NodeID(n))
			ub, tb := b.moved(NodeID(n))
			nearVec(t, "displacement of "+f.nodes[n].label, ub, ua, movement)
			nearVec(t, "rotation of "+f.nodes[n].label, tb, ta, movement)
		}
		whole, first, second := a.Diagram(id), b.Diagram(id), b.Diagram(MemberID(len(f.members)))
		for c := range components {
			scale := force
			if c >= MoveX {
				scale = movement
			}
			for range 5 {
				s := r.Float64() * length
				got := first.At(c, min(s, x))
				if s > x {
					got = second.At(c, s-x)
				}
				near(t, fmt.Sprintf("component %d at %g of %g, cut at %g", c, s, length, x), got, whole.At(c, s), scale)
			}
		}
	})
}

// TestSharedJointIsOneNode compares a joint that shares everything, whatever its
// axes, with members that meet at one node.
func TestSharedJointIsOneNode(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		c := randomCase(r, f)
		split := &Frame{append([]node(nil), f.nodes...), append([]Member(nil), f.members...), append([]Joint(nil), f.joints...)}
		j := Joint{First: f.members[0].End, Axes: randomAxes(r)}
		for k := range j.Ties {
			j.Ties[k] = Shared()
		}
		j.Second = split.Node("second", f.Position(j.First))
		split.members[0].End = j.Second
		split.Join(j)
		a, b := f.solved(t, c), split.solved(t, c)
		movement, _ := a.sizes()
		ua, ta := a.moved(j.First)
		ub, tb := b.moved(j.Second)
		nearVec(t, "displacement", ub, ua, movement)
		nearVec(t, "rotation", tb, ta, movement)
		sameEndForces(t, b, a)
	})
}

// TestRigidArm checks the movement of a shared joint's second node against that
// of a rigid body, u₂ = u₁ + θ × arm. That the forces follow is told by
// TestNodesInBalance and TestReciprocity.
func TestRigidArm(t *testing.T) {
	arms := 0
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		for i := range f.joints {
			for k := range 6 {
				f.joints[i].Ties[k] = Shared()
			}
		}
		s := f.solved(t, randomCase(r, f))
		movement, _ := s.sizes()
		for _, j := range f.joints {
			arm := f.Position(j.Second).sub(f.Position(j.First))
			if arm != (Vec{}) {
				arms++
			}
			u, turn := s.moved(j.First)
			v, turned := s.moved(j.Second)
			nearVec(t, "displacement of second node", v, u.add(turn.cross(arm)), movement)
			nearVec(t, "rotation of second node", turned, turn, movement)
		}
	})
	if arms < 10 {
		t.Errorf("%d arms: too few to test", arms)
	}
}

// TestStiffTiesTendToShared raises the stiffness of a joint's ties, and of the
// end ties of members, tenfold at a time: the way to the shared answer shortens
// tenfold, as 1/k does, until rounding ends it.
func TestStiffTiesTendToShared(t *testing.T) {
	stiffen := func(f *Frame, tie Tie) *Frame {
		out := &Frame{append([]node(nil), f.nodes...), append([]Member(nil), f.members...), append([]Joint(nil), f.joints...)}
		for i := range out.joints {
			for k := range 6 {
				out.joints[i].Ties[k] = tie
			}
		}
		for i := range out.members {
			m := &out.members[i]
			m.Ends = append([]EndTie(nil), m.Ends...)
			for k := range m.Ends {
				m.Ends[k].Tie = tie
			}
		}
		return out
	}
	steps := 0
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		c := randomCase(r, f)
		shared := stiffen(f, Shared()).solved(t, c)
		movement, _ := shared.sizes()
		apart := func(tie Tie) float64 {
			s, out := stiffen(f, tie).solved(t, c), 0.0
			for n := range f.nodes {
				ua, ta := shared.moved(NodeID(n))
				ub, tb := s.moved(NodeID(n))
				out = max(out, ua.sub(ub).norm(), ta.sub(tb).norm())
			}
			return out / movement
		}
		last := apart(1e9)
		for _, tie := range [...]Tie{1e10, 1e11} {
			next := apart(tie)
			if last > 1e-6 { // else too near to rounding to show a trend
				steps++
				if ratio := last / next; !(ratio > 9 && ratio < 11) {
					t.Errorf("from %.1e to %.1e: %.3e to %.3e away from shared, want a tenth", float64(tie)/10, float64(tie), last, next)
				}
			}
			last = next
		}
		// A very large tie is as good as shared at a member's end.
		for i := range f.joints {
			for k := range 6 {
				f.joints[i].Ties[k] = Shared()
			}
		}
		for i := range f.members {
			for k := range f.members[i].Ends {
				f.members[i].Ends[k].Tie = 1e20
			}
		}
		sameEndForces(t, f.solved(t, c), shared)
	})
	if steps < 20 {
		t.Errorf("%d steps show the trend: too few to test", steps)
	}
}

// TestDiagramEnds compares the ends of the diagrams with end forces and, where
// no end tie lies between, with the movements of the nodes.
func TestDiagramEnds(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		s := f.solved(t, randomCase(r, f))
		movement, force := s.sizes()
		for id, m := range f.members {
			d, e, length := s.Diagram(MemberID(id)), s.EndForces(MemberID(id)), f.Length(MemberID(id))
			for c := range MoveX {
				near(t, fmt.Sprintf("force %d at start of member %d", c, id), d.At(c, 0), -e[c], force)
				near(t, fmt.Sprintf("force %d at end of member %d", c, id), d.At(c, length), e[6+c], force)
			}
			var tied [12]bool
			for _, tie := range m.Ends {
				tied[6*tie.End+int(tie.Freedom)] = true
			}
			for end := range 2 {
				u, turn := s.movedEnd(MemberID(id), end)
				for c, want := range [...]float64{u[0], u[1], u[2], turn[0], turn[1], turn[2]} {
					if !tied[6*end+c] {
						near(t, fmt.Sprintf("movement %d at end %d of member %d", c, end, id), d.At(MoveX+Component(c), float64(end)*length), want, movement)
					}
				}
			}
		}
	})
}

// TestTiePasses checks each end tie: what it passes is its stiffness times the
// difference between the node and the member's own end, zero when it is free.
func TestTiePasses(t *testing.T) {
	springs := 0
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		s := f.solved(t, randomCase(r, f))
		movement, force := s.sizes()
		for id, m := range f.members {
			_, own := s.member(MemberID(id))
			e := s.EndForces(MemberID(id))
			for _, tie := range m.Ends {
				i := 6*tie.End + int(tie.Freedom)
				u, turn := s.movedEnd(MemberID(id), tie.End)
				node := [6]float64{u[0], u[1], u[2], turn[0], turn[1], turn[2]}[tie.Freedom]
				if tie.Tie.shared() {
					near(t, "shared tie", own[i], node, movement)
					continue
				}
				springs++
				near(t, fmt.Sprintf("end force %d of member %d", i, id), e[i], float64(tie.Tie)*(node-own[i]), force)
			}
		}
	})
	if springs < 20 {
		t.Errorf("%d end ties: too few to test", springs)
	}
}

// TestDiagramExtremes compares the extremes with a fine search.
func TestDiagramExtremes(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		s := f.solved(t, randomCase(r, f))
		movement, force := s.sizes()
		for id := range f.members {
			d, length := s.Diagram(MemberID(id)), f.Length(MemberID(id))
			for c := range components {
				scale := force
				if c >= MoveX {
					scale = movement
				}
				least, largest := d.Extremes(c)
				lo, hi := math.Inf(1), math.Inf(-1)
				const steps = 150
				for i := range steps + 1 {
					x := length * float64(i) / steps
					for _, v := range [...]float64{d.At(c, x), d.Before(c, x)} {
						lo, hi = min(lo, v), max(hi, v)
					}
				}
				// The extremes hold all that the search finds, and are values of the diagram.
				if least.Value > lo+rounding*scale || largest.Value < hi-rounding*scale {
					t.Errorf("member %d component %d: extremes %g and %g, search %g and %g", id, c, least.Value, largest.Value, lo, hi)
				}
				for _, e := range [...]Extreme{least, largest} {
					if v, w := d.At(c, e.Station), d.Before(c, e.Station); math.Abs(v-e.Value) > rounding*scale && math.Abs(w-e.Value) > rounding*scale {
						t.Errorf("member %d component %d: extreme %g at %g, where the diagram has %g and %g", id, c, e.Value, e.Station, w, v)
					}
				}
			}
		}
	})
}
