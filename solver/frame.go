package solver

import (
	"fmt"
	"math"
	"slices"
)

// Freedom is one of the six freedoms of a node.
type Freedom int8

// The freedoms in their order: translations along X, Y and Z, m, then rotations about them, rad,
// by the right hand.
const (
	UX Freedom = iota
	UY
	UZ
	RX
	RY
	RZ
)

// String returns the freedom in words.
func (f Freedom) String() string {
	return [...]string{"translation along X", "translation along Y", "translation along Z",
		"rotation about X", "rotation about Y", "rotation about Z"}[f]
}

// Vec is a vector in three dimensions.
type Vec [3]float64

func (a Vec) add(b Vec) Vec       { return Vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a Vec) sub(b Vec) Vec       { return Vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a Vec) scale(s float64) Vec { return Vec{a[0] * s, a[1] * s, a[2] * s} }
func (a Vec) dot(b Vec) float64   { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a Vec) norm() float64       { return math.Hypot(math.Hypot(a[0], a[1]), a[2]) }

// size returns the norm, sooner than norm does where nothing can run over.
func (a Vec) size() float64 {
	if s := a.dot(a); s > 1e-200 && s < 1e200 {
		return math.Sqrt(s)
	}
	return a.norm()
}

func (a Vec) finite() bool {
	s := a[0]*0 + a[1]*0 + a[2]*0
	return !math.IsNaN(s) // nor is 0·Inf a number
}
func (a Vec) cross(b Vec) Vec {
	return Vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// Axes are three orthonormal vectors, one a row, right-handed.
type Axes [3]Vec

// global are the global axes.
var global = Axes{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}

// into returns the components of v along the axes.
func (a *Axes) into(v Vec) Vec { return Vec{a[0].dot(v), a[1].dot(v), a[2].dot(v)} }

// from returns the vector whose components along the axes are v.
func (a *Axes) from(v Vec) Vec {
	return Vec{
		a[0][0]*v[0] + a[1][0]*v[1] + a[2][0]*v[2],
		a[0][1]*v[0] + a[1][1]*v[1] + a[2][1]*v[2],
		a[0][2]*v[0] + a[1][2]*v[1] + a[2][2]*v[2],
	}
}

// right reports whether the axes are orthonormal and right-handed.
func (a Axes) right() bool {
	for k, v := range a {
		off := a[(k+1)%3].cross(a[(k+2)%3]).sub(v).norm()
		if !(math.Abs(v.norm()-1) < 1e-9 && off < 1e-9) {
			return false
		}
	}
	return true
}

// NodeID and MemberID are the numbers that Frame hands out.
type (
	NodeID   int32
	MemberID int32
)

// Tie says how a joint, or a member's end, passes one freedom on: Shared, Free,
// or a stiffness in N/m or N·m/rad.
type Tie float64

// Free passes nothing.
const Free Tie = 0

// Shared passes the freedom on whole.
func Shared() Tie { return Tie(math.Inf(1)) }

func (t Tie) shared() bool { return math.IsInf(float64(t), 1) }

// Joint ties the second node to the first. Axes left zero are the global ones.
// Ties are along the three axes, N/m, then about them, N·m/rad. When the nodes are
// apart the first node carries a rigid arm to the second.
type Joint struct {
	First, Second NodeID
	Axes          Axes
	Ties          [6]Tie
}

// Member is a prismatic member. Stiffnesses are EA in N; EIy, EIz and GJ in
// N·m². ShearY and ShearZ are the shear stiffnesses G·As, in N, for a shear force
// along local y and z; zero neglects the shear strain. Mass is in kg/m and counts
// under gravity and in vibration; with NoSpin it has no inertia about the member's own axis,
// so that a tube which little keeps from turning has no frequency of that. Expansion is the strain of a rise in temperature, 1/K.
// Reference lies in the local x-y plane on the +y side; it may be of any length.
//
// Offsets are rigid arms, m, global axes, from the start node to where the member
// starts and from the end node to where it ends. Stations, loads, mass, warmth and end
// ties belong to the length between.
type Member struct {
	Start, End       NodeID
	EA, EIy, EIz, GJ float64
	ShearY, ShearZ   float64
	Mass             float64
	NoSpin           bool
	Expansion        float64
	Reference        Vec
	Offsets          [2]Vec
	Ends             []EndTie
}

// EndTie releases one local freedom at an end of a member (0 start, 1 end), or
// passes it through a spring, N/m or N·m/rad.
type EndTie struct {
	End     int
	Freedom Freedom
	Tie     Tie
}

type node struct {
	label  string
	at     Vec
	axes   *Axes // its own, or nil for the global ones
	fixed  [6]bool
	spring [6]float64
	mass   float64 // kg
	joint  int     // index of the joint whose second node this is, or -1
}

// Frame is a frame under construction. The zero value is empty and ready.
type Frame struct {
	nodes   []node
	members []Member
	joints  []Joint
}

// Grow makes room for so many more nodes, members and joints.
func (f *Frame) Grow(nodes, members, joints int) {
	f.nodes, f.members, f.joints = slices.Grow(f.nodes, nodes), slices.Grow(f.members, members), slices.Grow(f.joints, joints)
}

// Node adds a node at a point, m, and returns its number. The label is what errors
// call it.
func (f *Frame) Node(label string, at Vec) NodeID {
	f.nodes = append(f.nodes, node{label: label, at: at, joint: -1})
	return NodeID(len(f.nodes) - 1)
}

// Turn gives a node axes of its own: its restraints, springs, settlements and
// reactions are along and about these. Loads and displacements stay global. Factorise
// refuses axes that are not orthonormal and right-handed.
func (f *Frame) Turn(n NodeID, axes Axes) { f.nodes[n].axes = &axes }

// Restrain holds freedoms of a node that is no joint's second node: Factorise refuses
// one that is.
func (f *Frame) Restrain(n NodeID, freedoms ...Freedom) {
	for _, d := range freedoms {
		f.nodes[n].fixed[d] = true
	}
}

// Spring ties one freedom of a node to the ground, N/m or N·m/rad. Several of one freedom
// add up. Factorise refuses one that is negative or not finite.
func (f *Frame) Spring(n NodeID, d Freedom, stiffness float64) {
	f.nodes[n].spring[d] += stiffness
}

// Join adds a joint. It panics where a node would be the second of two; Factorise refuses
// what else makes no sense.
func (f *Frame) Join(j Joint) {
	if j.Axes == (Axes{}) {
		j.Axes = global
	}
	if f.nodes[j.Second].joint >= 0 {
		panic("solver: node " + f.nodes[j.Second].label + " is the second node of two joints")
	}
	f.joints = append(f.joints, j)
	f.nodes[j.Second].joint = len(f.joints) - 1
}

// Member adds a member and returns its number. Factorise refuses one that makes no sense.
func (f *Frame) Member(m Member) MemberID {
	f.members = append(f.members, m)
	return MemberID(len(f.members) - 1)
}

func (f *Frame) has(n NodeID) bool { return n >= 0 && int(n) < len(f.nodes) }

// Position returns where a node is, m.
func (f *Frame) Position(n NodeID) Vec { return f.nodes[n].at }

// Ends returns where a member starts and ends, past its offsets, m.
func (f *Frame) Ends(m MemberID) (start, end Vec) {
	x := &f.members[m]
	return f.nodes[x.Start].at.add(x.Offsets[0]), f.nodes[x.End].at.add(x.Offsets[1])
}

// Length returns the length of a member between its offsets, m.
func (f *Frame) Length(m MemberID) float64 {
	start, end := f.Ends(m)
	return end.sub(start).norm()
}

// check looks for nodes, joints, springs and ties that make no sense. Members
// are looked at as their elements are made.
func (f *Frame) check() error {
	for _, j := range f.joints {
		if err := f.checkJoint(j); err != nil {
			return err
		}
	}
	for n := range f.nodes {
		if err := f.checkNode(NodeID(n)); err != nil {
			return err
		}
	}
	return nil
}

func (f *Frame) checkNode(id NodeID) error {
	n := &f.nodes[id]
	if s := n.at.norm(); math.IsNaN(s) || math.IsInf(s, 0) {
		return &InputError{"node " + n.label + " has a position that is not finite"}
	}
	if n.axes != nil && !n.axes.right() {
		return &InputError{"node " + n.label + " has axes that are not orthonormal and right-handed"}
	}
	for _, k := range n.spring {
		if !(k >= 0) || math.IsInf(k, 1) {
			return &InputError{"node " + n.label + " has a spring that is negative or not finite"}
		}
	}
	if n.joint >= 0 && n.fixed != [6]bool{} {
		return &InputError{"node " + n.label + " is held, but it is the second node of a joint"}
	}
	first := id
	for steps := 0; f.nodes[first].joint >= 0; steps++ {
		if steps == len(f.joints) {
			return &InputError{"the joints at node " + n.label + " go round in a ring"}
		}
		first = f.joints[f.nodes[first].joint].First
	}
	return nil
}

func (f *Frame) checkJoint(j Joint) error {
	if !f.has(j.First) {
		return &InputError{"the joint at node " + f.nodes[j.Second].label + " has a first node that is not there"}
	}
	fault := func(what string) error {
		return &InputError{"joint of " + f.nodes[j.First].label + " and " + f.nodes[j.Second].label + " has " + what}
	}
	for _, t := range j.Ties {
		if !(t >= 0) {
			return fault("a tie that is negative or not a number")
		}
	}
	if j.Axes != global && !j.Axes.right() {
		return fault("axes that are not orthonormal and right-handed")
	}
	return nil
}

// InputError is a frame or a case that makes no sense: a member of no length, a stiffness
// that is not positive, a number that is not finite, a load off its member.
type InputError struct{ What string }

func (e *InputError) Error() string { return "frame: " + e.What }

// MechanismError is a frame with a freedom that nothing holds: the node by its label, and
// the direction in words, of what moves most.
type MechanismError struct {
	Node      string
	Direction string
}

func (e *MechanismError) Error() string {
	return fmt.Sprintf("the frame is a mechanism: %s is free in %s", e.Node, e.Direction)
}
