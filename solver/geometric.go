package solver

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// The geometric stiffness of a member under an axial force N(x), tension positive, is
// ∫ N (φ'φ'ᵀ) dx in both planes of bending, with the member's own shape functions φ: the
// work that N does as the member turns. With N constant it is N/30L times the well-known
// numbers 36, 3L, 4L², -L². Source: McGuire, Gallagher and Ziemian, Matrix Structural
// Analysis, 2nd edition, section 9.1, from memory. Terms of shear, bending moment and
// torque, and the twisting of a section under axial stress, are not in it.

// pull is the axial force along one member: from each break a quadratic, N.
type pull struct {
	breaks []float64
	force  []quadratic
}

// quadratic is c0 + c1 x + c2 x².
type quadratic [3]float64

func (q *quadratic) at(x float64) float64 { return q[0] + x*(q[1]+x*q[2]) }

func (q *quadratic) isConstant() bool { return q[1] == 0 && q[2] == 0 }

// pull returns the axial force along a member: that of its Diagram.
func (r *Solution) pull(m MemberID) pull {
	load, e := r.loadOn(m), &r.model.elements[m]
	forces, _ := r.member(m)
	if !load.acts(0) {
		return pull{[]float64{0, e.length}, []quadratic{{-forces[0]}}}
	}
	p := pull{breaks: load.breaks(e.length)}
	p.force = make([]quadratic, len(p.breaks)-1)
	p.follow(load, -forces[0])
	return p
}

// follow sets the axial force from what it is at the start of the member, before any load.
func (p *pull) follow(load *memberLoad, n float64) {
	for i := range p.force {
		from, to := p.breaks[i], p.breaks[i+1]
		for k := range load.points {
			if q := &load.points[k]; q.At == from {
				n -= q.Force[0]
			}
		}
		q := load.intensity(0, from, to)
		p.force[i] = quadratic{n, -q[0], -q[1] / 2}
		n = p.force[i].at(to - from)
	}
}

// constant returns the axial force where it is the same all along the member.
func (p *pull) constant() (n float64, ok bool) {
	for i := range p.force {
		if !p.force[i].isConstant() || p.force[i][0] != p.force[0][0] {
			return 0, false
		}
	}
	return p.force[0][0], true
}

// each visits the Gauss points of the member: the piece, the station, and the axial force
// there times the length that the point stands for.
func (p *pull) each(visit func(piece int, x, force float64)) {
	for i := range p.force {
		gaussFive.each(p.breaks[i], p.breaks[i+1], func(x, length float64) {
			if f := p.force[i].at(x-p.breaks[i]) * length; f != 0 {
				visit(i, x, f)
			}
		})
	}
}

// peaks visits the axial force at both ends of every piece, and where it peaks between them.
func (p *pull) peaks(visit func(force float64)) {
	for i := range p.force {
		n, length := &p.force[i], p.breaks[i+1]-p.breaks[i]
		visit(n[0])
		if x := -n[1] / (2 * n[2]); x > 0 && x < length {
			visit(n.at(x))
		}
		visit(n.at(length))
	}
}

// largest returns the largest size of the axial force.
func (p *pull) largest() float64 {
	size := 0.0
	p.peaks(func(n float64) { size = math.Max(size, math.Abs(n)) })
	return size
}

// like reports whether two axial forces of a member differ by no more than a constant of a size, N.
func (p *pull) like(q *pull, within float64) bool {
	if len(p.force) != len(q.force) {
		return false
	}
	for i := range p.force {
		a, b := &p.force[i], &q.force[i]
		if p.breaks[i] != q.breaks[i] || a[1] != b[1] || a[2] != b[2] || !(math.Abs(a[0]-b[0]) <= within) {
			return false
		}
	}
	return true
}

// isNone reports whether there is no axial force.
func (p *pull) isNone() bool {
	n, ok := p.constant()
	return ok && n == 0
}

// squeeze returns the largest compression, or 0.
func (p *pull) squeeze() float64 {
	size := 0.0
	p.peaks(func(n float64) { size = math.Max(size, -n) })
	return size
}

// geometric returns the geometric stiffness of a member without end ties, local axes.
func (e *element) geometric(p *pull) mat12 {
	var k mat12
	shape := e.forceShapes()
	p.each(func(_ int, x, force float64) {
		slopes := shape.slopes(x)
		for d := range slopes {
			s, ends := &slopes[d], &acrossEnds[d]
			for i := range s {
				for j := range s {
					k[ends[i]][ends[j]] += force * (s[i] * s[j])
				}
			}
		}
	})
	return k
}

// asked returns what the axial force asks of the member's ends as the member takes the
// slopes of a diagram: ∫ N (v' φy' + w' φz') dx, local axes.
func (e *element) asked(p *pull, d *Diagram) vec12 {
	var out vec12
	shape := e.forceShapes()
	d.under(p, func(x, force, v, w float64) {
		slopes := shape.slopes(x)
		for i, end := range acrossEnds[0] {
			out[end] += force * (v * slopes[0][i])
		}
		for i, end := range acrossEnds[1] {
			out[end] += force * (w * slopes[1][i])
		}
	})
	return out
}

// under visits the Gauss points of a member under an axial force, as each does, with the slopes in
// local y and z of a diagram.
func (d *Diagram) under(p *pull, visit func(x, force, v, w float64)) {
	for i := range d.pieces {
		moveY, moveZ := d.pieces[i][MoveY], d.pieces[i][MoveZ]
		n, from := p.piece(d.Breaks[i], d.Breaks[i+1])
		gaussFive.each(d.Breaks[i], d.Breaks[i+1], func(x, length float64) {
			if f := n.at(x-from) * length; f != 0 {
				at := x - d.Breaks[i]
				visit(x, f, moveY.slope(at), moveZ.slope(at))
			}
		})
	}
}

// piece returns the axial force between two stations with no break between them, and from where
// it counts.
func (p *pull) piece(from, to float64) (*quadratic, float64) {
	mid, i := 0.5*(from+to), 0
	for i+1 < len(p.force) && p.breaks[i+1] < mid {
		i++
	}
	return &p.force[i], p.breaks[i]
}

// prestress is the axial force of every member and of the rigid arm of every joint, N.
type prestress struct {
	pulls []pull
	arms  []float64
}

// largest returns the largest axial force.
func (p *prestress) largest() float64 {
	size := largest(p.arms)
	for i := range p.pulls {
		size = math.Max(size, p.pulls[i].largest())
	}
	return size
}

// change returns the largest difference of two prestresses of one frame under one case. The
// axial forces of a member differ by the same all along it: they have the same loads.
func (p *prestress) change(q *prestress) float64 {
	size := 0.0
	for i := range p.arms {
		size = math.Max(size, math.Abs(p.arms[i]-q.arms[i]))
	}
	for i := range p.pulls {
		size = math.Max(size, math.Abs(p.pulls[i].force[0][0]-q.pulls[i].force[0][0]))
	}
	return size
}

// untied returns, made once, the same frame with neither end ties nor offsets: an end that has any
// stands on a node of its own, which a joint in the member's axes ties to the member's
// node. Its released freedoms are equations then, so that nothing of the member's geometric
// stiffness or mass is lost to condensation, and its offset is the rigid arm of the
// joint. Nodes and members keep their numbers.
func (s *Factored) untied() (*Factored, error) {
	if s.tieless != nil {
		return s.tieless, nil
	}
	out, err := s.withoutTies()
	if err == nil {
		s.tieless = out
	}
	return out, err
}

func (s *Factored) withoutTies() (*Factored, error) {
	f := s.frame.clone()
	for n := range f.nodes {
		f.nodes[n].spring = [6]float64{}
	}
	for _, k := range s.springs { // the frame does not know of Resprung
		f.nodes[k.node].spring[k.freedom] += k.stiffness
	}
	for id := range f.members {
		f.untie(&f.members[id], s.elements[id].axes)
	}
	if len(f.nodes) == len(s.frame.nodes) {
		return s, nil
	}
	return f.Factorise()
}

// clone returns a copy of the frame to which more can be added.
func (f *Frame) clone() *Frame {
	c := *f
	c.nodes, c.members, c.joints = slices.Clone(f.nodes), slices.Clone(f.members), slices.Clone(f.joints)
	return &c
}

// untie puts the ends of a member that are tied or offset on nodes of their own.
func (f *Frame) untie(m *Member, axes Axes) {
	t := tiesOf(m.Ends)
	for end, node := range [2]*NodeID{&m.Start, &m.End} {
		j := Joint{First: *node, Axes: axes}
		apart := m.Offsets[end] != Vec{}
		for d := range 6 {
			j.Ties[d] = Shared()
			if i := 6*end + d; t.tied[i] {
				j.Ties[d], apart = Tie(t.stiffness[i]), true
			}
		}
		if apart {
			j.Second = f.Node(f.nodes[*node].label, f.nodes[*node].at.add(m.Offsets[end]))
			f.Join(j)
			*node = j.Second
		}
	}
	m.Ends, m.Offsets = nil, [2]Vec{}
}

// arm returns the rigid arm of a joint, from its first node to its second, m.
func (s *Factored) arm(j *Joint) Vec {
	return s.frame.nodes[j.Second].at.sub(s.frame.nodes[j.First].at)
}

// armForces returns the axial force of every joint's arm, N, tension positive, given the
// force of each node on the ends of its members, global axes, and the loads and springs on it.
func (s *Factored) armForces(c *Case, u vector, ground *ground, onMembers []Vec) []float64 {
	if len(s.frame.joints) == 0 {
		return nil
	}
	tip := make([]Vec, len(s.frame.nodes)) // what acts on each node, and on those it carries
	for n := range tip {
		tip[n] = onMembers[n].scale(-1)
	}
	for _, l := range c.Nodes {
		tip[l.Node] = tip[l.Node].add(l.Force)
	}
	for i, k := range s.springs {
		force, _ := s.frame.pointing(k.node, k.freedom, -k.stiffness*(sum(k.terms, u)-ground.under(i)))
		tip[k.node] = tip[k.node].add(force)
	}
	out := make([]float64, len(s.frame.joints))
	for _, i := range s.frame.outermostFirst() {
		j := &s.frame.joints[i]
		if a := s.arm(j); a.norm() > 0 {
			out[i] = tip[j.Second].dot(a) / a.norm()
		}
		tip[j.First] = tip[j.First].add(tip[j.Second])
	}
	return out
}

// outermostFirst returns the joints in an order in which one that hangs on the second node
// of another comes before it.
func (f *Frame) outermostFirst() []int {
	depth := func(i int) int {
		d := 0
		for i >= 0 {
			i = f.nodes[f.joints[i].First].joint
			d++
		}
		return d
	}
	order := make([]int, len(f.joints))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return depth(b) - depth(a) })
	return order
}

// like reports whether two prestresses differ by no more than a size, N.
func (p *prestress) like(q *prestress, within float64) bool {
	for i, n := range p.arms {
		if !(math.Abs(n-q.arms[i]) <= within) {
			return false
		}
	}
	for i := range p.pulls {
		if !p.pulls[i].like(&q.pulls[i], within) {
			return false
		}
	}
	return true
}

// withBand returns a copy of the frame with a stiffness of its own: the same, or nothing.
// It has no factor.
func (s *Factored) withBand(same bool) *Factored {
	out := s.unassembled()
	if !same {
		out.makeRoom()
		return &out
	}
	if s.free > 0 {
		out.band = s.bandCopy()
	}
	out.heldRows = cloneRows(s.heldRows)
	return &out
}

// cloneRows returns rows of their own.
func cloneRows(rows [][]term) [][]term {
	out := make([][]term, len(rows))
	for i, row := range rows {
		out[i] = slices.Clone(row)
	}
	return out
}

// bandCopy returns a copy of the band, which has room for the arms of the joints too: they are among its ties.
func (s *Factored) bandCopy() *mat.SymBandDense {
	if s.band == nil {
		return s.stiffness() // assembled for this alone
	}
	raw := s.band.RawSymBand()
	return mat.NewSymBandDense(s.free, raw.K, slices.Clone(raw.Data))
}

// addGeometric adds a factor times the geometric stiffness.
func (s *Factored) addGeometric(p *prestress, factor float64) {
	for id := range s.elements {
		if !p.pulls[id].isNone() {
			s.addLocal(MemberID(id), s.elements[id].geometric(&p.pulls[id]), factor)
		}
	}
	for i, n := range p.arms {
		if n != 0 {
			s.addArm(&s.frame.joints[i], factor*n)
		}
	}
}

// addLocal adds a factor times a matrix in a member's local axes.
func (s *Factored) addLocal(id MemberID, k mat12, factor float64) {
	g := k.inGlobal(&s.elements[id].axes)
	ends := s.ends(id)
	for i := range 12 {
		for j := range 12 {
			if v := factor * g[i][j]; v != 0 {
				s.addProduct(ends[i], ends[j], v)
			}
		}
	}
}

// addArm adds the geometric stiffness of a rigid arm under an axial force n: it swings
// with the rotation θ of its first node, and n does the work n |θ × a|²/2|a|.
func (s *Factored) addArm(j *Joint, n float64) {
	a := s.arm(j)
	length := a.norm()
	a = a.scale(1 / length)
	first := s.nodes.of(j.First)
	turn := first[RX:]
	for p := range 3 {
		for q := range 3 {
			k := -a[p] * a[q]
			if p == q {
				k++
			}
			if k != 0 {
				s.addProduct(turn[p], turn[q], n*length*k)
			}
		}
	}
}
