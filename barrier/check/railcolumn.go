package check

import (
	"cmp"
	"math"
	"slices"

	"example.com/stanchion/barrier"
)

// railColumn is one stretch of a rail as a straight column under uniform compression, held
// across at its supports. Its stiffness is by stability functions, which are exact between
// nodes.
type railColumn struct {
	ei    float64 // N·m²
	nodes []columnNode
}

// columnNode is a place along a railColumn: an end, a support or a splice.
type columnNode struct {
	x     float64 // m
	held  float64 // lateral stiffness there, N/m; +Inf holds it, 0 is none
	clamp bool    // does not turn
	joint float64 // rotational stiffness between what is before and what is after, N·m/rad; +Inf is a rail in one piece
}

// newRailColumn returns a stretch of a rail on posts of a lateral stiffness, N/m. A wall does
// not give, and clamps the rail where it holds both rotations that bend it.
func newRailColumn(ei, post float64, run *barrier.Run, stretch barrier.Stretch, joints barrier.Joints) *railColumn {
	supports := run.Supports()
	const ends = 2
	c := &railColumn{ei: ei, nodes: make([]columnNode, 0, stretch.Last-stretch.First+1+len(joints.Splices)+ends)}
	for i := stretch.First; i <= stretch.Last; i++ {
		n := columnNode{x: supports[i], held: post, joint: math.Inf(1)}
		if joints.Cut && i > stretch.First && i < stretch.Last {
			n.joint = 0
		}
		if end := wallAt(run, i, len(supports)); end != nil {
			n.held, n.clamp = math.Inf(1), end.Rotation[1] && end.Rotation[2]
		}
		c.nodes = append(c.nodes, n)
	}
	for _, x := range joints.Splices {
		if x > stretch.From && x < stretch.To {
			c.nodes = append(c.nodes, columnNode{x: x, joint: bendingStiffness(joints.Moment)})
		}
	}
	for _, x := range [2]float64{stretch.From, stretch.To} {
		if x < supports[stretch.First] || x > supports[stretch.Last] {
			c.nodes = append(c.nodes, columnNode{x: x, joint: math.Inf(1)})
		}
	}
	slices.SortFunc(c.nodes, func(a, b columnNode) int { return cmp.Compare(a.x, b.x) })
	return c
}

// bendingStiffness returns the lesser stiffness of a joint about the two axes square to the rail, N·m/rad;
// +Inf where its sides turn as one.
func bendingStiffness(j barrier.Joint) float64 { return math.Min(j.Stiffness[1], j.Stiffness[2]) }

// wallAt returns the end of the run whose wall a support, from 0, of n is; nil for a post.
func wallAt(run *barrier.Run, support, n int) *barrier.End {
	switch {
	case run.Start.Wall && support == 0:
		return &run.Start
	case run.End.Wall && support == n-1:
		return &run.End
	}
	return nil
}

// critical returns the least force, N, under which the column can stay bent, from below: 0 of a
// mechanism.
func (c *railColumn) critical() float64 {
	const (
		halvings = 50 // below 2^-50 of what its longest piece bears, it is a mechanism
		within   = 1e-9
	)
	high := c.builtIn()
	low := high * (1 - within)
	for range halvings {
		if c.stands(low) {
			for high > low*(1+within) {
				if middle := low + (high-low)/2; c.stands(middle) {
					low = middle
				} else {
					high = middle
				}
			}
			return low
		}
		low, high = low/2, low
	}
	return 0
}

// builtIn returns the least critical force, N, of the pieces between nodes, each with both its
// ends built in.
func (c *railColumn) builtIn() float64 {
	longest := 0.0
	for i := range len(c.nodes) - 1 {
		longest = math.Max(longest, c.nodes[i+1].x-c.nodes[i].x)
	}
	return 4 * math.Pi * math.Pi * c.ei / (longest * longest)
}

// freedoms numbers what of each node moves: its turn before, its way across and its turn
// after, -1 for what is held. They are coupled over columnBand at most.
func (c *railColumn) freedoms() (of [][3]int, n int) {
	next := func(free bool) int {
		if !free {
			return -1
		}
		n++
		return n - 1
	}
	of = make([][3]int, 0, len(c.nodes))
	for _, node := range c.nodes {
		turns, oneTurn := !node.clamp, math.IsInf(node.joint, 1)
		f := [3]int{0: -1, 1: -1, 2: -1}
		if turns && !oneTurn {
			f[0] = next(true)
		}
		f[1] = next(!math.IsInf(node.held, 1))
		f[2] = next(turns)
		if oneTurn {
			f[0] = f[2]
		}
		of = append(of, f)
	}
	return of, n
}

// stands reports whether the column is stable under a compression, N: every piece between nodes
// stands with both its ends built in, and the stiffness under the compression is positive
// definite. Wittrick and Williams, Quarterly Journal of Mechanics and Applied Mathematics 24
// (1971); provenance: memory.
func (c *railColumn) stands(compression float64) bool {
	if !(compression < c.builtIn()) {
		return false
	}
	of, n := c.freedoms()
	k := newColumnMatrix(n)
	for i := range c.nodes {
		node, f := &c.nodes[i], of[i]
		k.add(f[1], f[1], node.held)
		if f[0] != f[2] {
			k.add(f[0], f[0], node.joint)
			k.add(f[2], f[2], node.joint)
			k.add(f[0], f[2], -node.joint)
		}
		if i > 0 {
			before := &c.nodes[i-1]
			k.addPiece(c.ei, node.x-before.x, compression, [4]int{of[i-1][1], of[i-1][2], f[1], f[0]})
		}
	}
	return k.positive()
}

// columnBand is how far freedoms that are coupled stand apart.
const columnBand = 3

// columnMatrix is the upper band of a symmetric stiffness, and of each freedom the sum of the
// sizes of what was added on the diagonal.
type columnMatrix struct {
	rows  [][columnBand + 1]float64
	sizes []float64
}

func newColumnMatrix(n int) *columnMatrix {
	return &columnMatrix{make([][columnBand + 1]float64, n), make([]float64, n)}
}

// add adds to an entry and its mirror image; nothing where a freedom is held.
func (m *columnMatrix) add(i, j int, v float64) {
	if i < 0 || j < 0 {
		return
	}
	m.rows[min(i, j)][max(i, j)-min(i, j)] += v
	if i == j {
		m.sizes[i] += math.Abs(v)
	}
}

// addPiece adds a piece of length l, m, with the freedoms way, turn, way, turn of its ends.
func (m *columnMatrix) addPiece(ei, l, compression float64, f [4]int) {
	near, far := stabilityFunctions(l * math.Sqrt(compression/ei))
	turn, across := ei/l*(near+far), compression/l
	k := [4][4]float64{
		{2*turn/(l*l) - across, turn / l, across - 2*turn/(l*l), turn / l},
		{0, ei / l * near, -turn / l, ei / l * far},
		{0, 0, 2*turn/(l*l) - across, -turn / l},
		{0, 0, 0, ei / l * near},
	}
	for i := range 4 {
		for j := i; j < 4; j++ {
			m.add(f[i], f[j], k[i][j])
		}
	}
}

// stabilityFunctions returns the moments, in EI/L, at the near and at the far end of a bar under
// compression whose near end is turned by 1 while neither end moves: 4 and 2 under none. u is
// L √(N/EI), below 2π. Timoshenko and Gere, 2.6; Livesley and Chandler, Stability Functions for
// Structural Frameworks (1956); provenance: memory.
func stabilityFunctions(u float64) (near, far float64) {
	if u < 0.1 { // their series: the closed forms are differences of like numbers
		u2 := u * u
		return 4 - u2*(2.0/15+u2*11/6300), 2 + u2*(1.0/30+u2*13/12600)
	}
	sin, cos := math.Sincos(u)
	d := 2 - 2*cos - u*sin
	return u * (sin - u*cos) / d, u * (u - sin) / d
}

// positive reports whether the matrix, which it destroys, is positive definite; not where a
// pivot is no more than rounding.
func (m *columnMatrix) positive() bool {
	const rounding = 1e-13
	for i := range m.rows {
		row := &m.rows[i]
		if !(row[0] > rounding*m.sizes[i]) {
			return false
		}
		for p := 1; p <= columnBand && i+p < len(m.rows); p++ {
			f := row[p] / row[0]
			for q := p; q <= columnBand; q++ {
				m.rows[i+p][q-p] -= f * row[q]
			}
		}
	}
	return true
}
