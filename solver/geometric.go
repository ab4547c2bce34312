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

// pull is the axial force along one member: from each break a polynomial, N.
type pull struct {
	breaks []float64
	force  []polynomial
}

// pullOf returns the axial force of a diagram.
func pullOf(d *Diagram) pull {
	p := pull{breaks: d.Breaks}
	for i := range d.pieces {
		p.force = append(p.force, d.pieces[i][Axial])
	}
	return p
}

// each visits the Gauss points of the member: the piece, the station, and the axial force
// there times the length that the point stands for.
func (p *pull) each(visit func(piece int, x, force float64)) {
	for i, n := range p.force {
		gaussFive.each(p.breaks[i], p.breaks[i+1], func(x, length float64) {
			if f := n.At(x-p.breaks[i]) * length; f != 0 {
				visit(i, x, f)
			}
		})
	}
}

// peaks visits the axial force at both ends of every piece, and where it peaks between them.
func (p *pull) peaks(visit func(force float64)) {
	for i, n := range p.force {
		length := p.breaks[i+1] - p.breaks[i]
		visit(n.At(0))
		for _, x := range n.derivative().roots(length) {
			visit(n.At(x))
		}
		visit(n.At(length))
	}
}

// largest returns the largest size of the axial force.
func (p *pull) largest() float64 {
	size := 0.0
	p.peaks(func(n float64) { size = math.Max(size, math.Abs(n)) })
	return size
}

// squeeze returns the largest compression, or 0.
func (p *pull) squeeze() float64 {
	size := 0.0
	p.peaks(func(n float64) { size = math.Max(size, -n) })
	return size
}

// slopes returns the slopes in local y and z, at x, for a unit of each end freedom.
func slopes(shape *[12][4]cubic, x float64) [12][2]float64 {
	var out [12][2]float64
	for i := range shape {
		for d := range 2 {
			c := &shape[i][1+d]
			out[i][d] = c[1] + x*(2*c[2]+3*x*c[3])
		}
	}
	return out
}

// geometric returns the geometric stiffness of a member without end ties, local axes.
func (e *element) geometric(p *pull) mat12 {
	var k mat12
	shape := e.shapes()
	p.each(func(_ int, x, force float64) {
		s := slopes(&shape, x)
		for i := range 12 {
			for j := range 12 {
				k[i][j] += force * (s[i][0]*s[j][0] + s[i][1]*s[j][1])
			}
		}
	})
	return k
}

// asked returns what the axial force asks of the member's ends as the member takes the
// slopes of a diagram: ∫ N (v' φy' + w' φz') dx, local axes.
func (e *element) asked(p *pull, d *Diagram) vec12 {
	var out vec12
	shape := e.shapes()
	p.each(func(piece int, x, force float64) {
		at := x - d.Breaks[piece]
		v, w := d.pieces[piece][MoveY].derivative().At(at), d.pieces[piece][MoveZ].derivative().At(at)
		for i, s := range slopes(&shape, x) {
			out[i] += force * (v*s[0] + w*s[1])
		}
	})
	return out
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
		size = math.Max(size, math.Abs(p.pulls[i].force[0].At(0)-q.pulls[i].force[0].At(0)))
	}
	return size
}

// untied returns the same frame with neither end ties nor offsets: an end that has any
// stands on a node of its own, which a joint in the member's axes ties to the member's
// node. Its released freedoms are equations then, so that nothing of the member's geometric
// stiffness or mass is lost to condensation, and its offset is the rigid arm of the
// joint. Nodes and members keep their numbers.
func (s *Factored) untied() (*Factored, error) {
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

// withBand returns a copy of the frame with a stiffness of its own: the same, or nothing.
// It has no factor.
func (s *Factored) withBand(same bool) *Factored {
	out := *s
	out.flex, out.residual = flexibility{}, 0
	out.heldRows = make([][]term, len(s.heldRows))
	if s.free > 0 {
		out.band = s.bandOfWidth(s.geometricWidth())
	}
	if !same {
		if s.free > 0 {
			clear(out.band.RawSymBand().Data)
		}
		return &out
	}
	for i, row := range s.heldRows {
		out.heldRows[i] = slices.Clone(row)
	}
	return &out
}

// geometricWidth returns the width of the band that holds the arms of the joints too.
func (s *Factored) geometricWidth() int {
	width := s.band.RawSymBand().K
	for i := range s.frame.joints {
		if j := &s.frame.joints[i]; s.arm(j) != (Vec{}) {
			width = max(width, spread(s.nodes[j.First][RX:], s.free))
		}
	}
	return width
}

// bandOfWidth returns a copy of the band in a width at least its own.
func (s *Factored) bandOfWidth(width int) *mat.SymBandDense {
	raw := s.band.RawSymBand()
	out := mat.NewSymBandDense(s.free, width, nil)
	to := out.RawSymBand()
	for i := range s.free {
		copy(to.Data[i*to.Stride:i*to.Stride+raw.K+1], raw.Data[i*raw.Stride:i*raw.Stride+raw.K+1])
	}
	return out
}

// addGeometric adds a factor times the geometric stiffness.
func (s *Factored) addGeometric(p *prestress, factor float64) {
	for id := range s.elements {
		if p.pulls[id].largest() != 0 {
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
	turn := s.nodes[j.First][RX:]
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
