package barrier

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/solver"
)

// Layout is one way to read what the definition leaves open: how stiff the feet
// are and where the rails are spliced.
type Layout struct {
	FootStiffness float64  // N·m/rad about both horizontal axes; +Inf is rigid
	Splices       string   // in words: "as given", "continuous", "cut at every post", "as proposed"
	Rails         []Joints // one a rail
}

// Joints says where one rail is not continuous. It is a reading of the rail, not a joint
// of the frame: Frame makes a solver.Joint of each splice, and of each fitting.
type Joints struct {
	Splices []float64 // x, m: hinges that pass forces and no moment
	Cut     bool      // cut at every post
}

// Frame is the barrier as a frame for the solver, in the axes of the run: X
// along, Y outward, Z up.
type Frame struct {
	*solver.Frame
	Layout Layout
	Posts  []PostFrame
	Rails  []RailFrame
	// Held says, for each piece of rail in order, at which post its spin about its
	// own axis is held.
	Held []string
}

// PostFrame is one post: its nodes from the foot up, and the members between.
// A post's local x points up, its local y outward, its local z against the run.
type PostFrame struct {
	X       float64
	Levels  []float64 // z of the nodes, m
	Nodes   []solver.NodeID
	Members []solver.MemberID
}

// RailFrame is one rail: its members from the start of the run to its end, whose
// local axes are those of the run.
type RailFrame struct {
	Members []RailMember
	Grips   []Grip // one a post
	Splices []SpliceJoint
}

// RailMember is a member of a rail: one bay of it, or the part of a bay on one
// side of a splice.
type RailMember struct {
	ID       solver.MemberID
	From, To float64 // x, m
	Bay      int     // from 0
	Start    solver.NodeID
}

// Grip is where a rail meets a post: the post's node, the rail's node on either
// side (the same where the rail runs through) and the rail members there (-1
// for none).
type Grip struct {
	Level             int // index into PostFrame.Levels
	Before, After     solver.NodeID
	LeftID, RightID   solver.MemberID
	ContinuousThrough bool
}

// SpliceJoint is a splice between two members of a rail.
type SpliceJoint struct {
	X               float64
	LeftID, RightID solver.MemberID
}

// Frame builds the frame of the barrier for one layout. Posts stand on feet that
// hold all translations and the twist about Z, and rotate about X and Y by the
// foot's stiffness. Fittings pass forces and no moment.
func (d *Definition) Frame(l Layout) *Frame {
	f := &Frame{Frame: &solver.Frame{}, Layout: l, Rails: make([]RailFrame, len(d.Rails))}
	rows := make([]railRow, len(d.Rails))
	for i := range d.Rails {
		rows[i] = railRow{d: d, f: f, rail: i, joints: l.Rails[i], openSpin: true}
	}
	for p, x := range d.Run.Posts {
		f.addPost(d, p, x)
		for i := range rows {
			rows[i].reachPost(p, x)
		}
	}
	for i := range rows {
		f.Rails[i] = rows[i].out
		f.Held = append(f.Held, rows[i].held...)
	}
	return f
}

// addPost adds a post's nodes and members.
func (f *Frame) addPost(d *Definition, p int, x float64) {
	post := PostFrame{X: x, Levels: d.postLevels()}
	for i, z := range post.Levels {
		label := fmt.Sprintf("post %d at z = %.3f m", p+1, z)
		if i == 0 {
			label = fmt.Sprintf("post %d foot", p+1)
		}
		n := f.Node(label, solver.Vec{x, 0, z})
		post.Nodes = append(post.Nodes, n)
		if i == 0 {
			f.Restrain(n, solver.UX, solver.UY, solver.UZ, solver.RZ)
			if math.IsInf(f.Layout.FootStiffness, 1) {
				f.Restrain(n, solver.RX, solver.RY)
			} else {
				f.Spring(n, solver.RX, f.Layout.FootStiffness)
				f.Spring(n, solver.RY, f.Layout.FootStiffness)
			}
			continue
		}
		post.Members = append(post.Members, f.Member(d.Post.Member.stiffness(post.Nodes[i-1], n, solver.Vec{0, 1, 0})))
	}
	f.Posts = append(f.Posts, post)
}

// postLevels returns the z of the foot, of every rail and of the post's top.
func (d *Definition) postLevels() []float64 {
	levels := []float64{d.Post.Base.Level, d.Post.Height}
	for i := range d.Rails {
		levels = append(levels, d.Rails[i].Height)
	}
	slices.Sort(levels)
	return slices.Compact(levels)
}

// stiffness returns a member of this tube between two nodes.
func (m *Member) stiffness(start, end solver.NodeID, reference solver.Vec) solver.Member {
	return solver.Member{
		Start: start, End: end, Reference: reference,
		EA: m.Grade.E * m.Ring.Area, EIy: m.Grade.E * m.Ring.I, EIz: m.Grade.E * m.Ring.I, GJ: m.Grade.G * m.Ring.J,
		Mass: m.Ring.Mass(m.Grade.Density),
	}
}

// railRow lays one rail along the posts.
type railRow struct {
	d        *Definition
	f        *Frame
	rail     int
	joints   Joints
	out      RailFrame
	held     []string
	last     solver.NodeID // where the next member starts
	lastX    float64
	openSpin bool // the piece in hand has not met a post yet
	next     int  // splice to come
}

// reachPost lays the rail from the post before up to this one and joins it.
func (r *railRow) reachPost(p int, x float64) {
	rail := &r.d.Rails[r.rail]
	post := &r.f.Posts[p]
	level := slices.Index(post.Levels, rail.Height)
	grip := Grip{Level: level, LeftID: -1, RightID: -1, ContinuousThrough: true}
	if p > 0 {
		for ; r.next < len(r.joints.Splices) && r.joints.Splices[r.next] < x; r.next++ {
			r.splice(p-1, r.joints.Splices[r.next])
		}
	}
	n := r.f.Node(fmt.Sprintf("rail %s at post %d", rail.Name, p+1), solver.Vec{x, 0, rail.Height})
	r.grip(p, post.Nodes[level], n)
	grip.Before, grip.After = n, n
	if p > 0 {
		grip.LeftID = r.member(p-1, n, x)
	}
	r.last, r.lastX = n, x
	if r.joints.Cut && p > 0 && p < len(r.d.Run.Posts)-1 {
		grip.ContinuousThrough = false
		n = r.f.Node(fmt.Sprintf("rail %s after post %d", rail.Name, p+1), solver.Vec{x, 0, rail.Height})
		r.openSpin = true
		r.grip(p, post.Nodes[level], n)
		grip.After, r.last = n, n
	}
	r.out.Grips = append(r.out.Grips, grip)
}

// grip joins a rail's node to the post: forces in three directions, and the
// rail's spin at one post of each piece.
func (r *railRow) grip(p int, post, rail solver.NodeID) {
	j := solver.Joint{First: post, Second: rail, Ties: forcesOnly()}
	if r.openSpin {
		j.Ties[solver.RX] = solver.Shared()
		r.openSpin = false
		r.held = append(r.held, fmt.Sprintf("rail %s from x = %.3f m: spin held at post %d", r.d.Rails[r.rail].Name, r.pieceStart(), p+1))
	}
	r.f.Join(j)
}

// pieceStart returns where the piece in hand starts.
func (r *railRow) pieceStart() float64 {
	if n := len(r.out.Splices); n > 0 {
		return r.out.Splices[n-1].X
	}
	if r.joints.Cut {
		return r.lastX
	}
	return r.d.Run.Posts[0]
}

func forcesOnly() (t [6]solver.Tie) {
	t[solver.UX], t[solver.UY], t[solver.UZ] = solver.Shared(), solver.Shared(), solver.Shared()
	return t
}

// splice ends a member at a hinge and starts the next piece there.
func (r *railRow) splice(bay int, x float64) {
	rail := &r.d.Rails[r.rail]
	at := solver.Vec{x, 0, rail.Height}
	n := r.f.Node(fmt.Sprintf("rail %s before the splice at x = %.3f m", rail.Name, x), at)
	left := r.member(bay, n, x)
	after := r.f.Node(fmt.Sprintf("rail %s after the splice at x = %.3f m", rail.Name, x), at)
	r.f.Join(solver.Joint{First: n, Second: after, Ties: forcesOnly()})
	r.out.Splices = append(r.out.Splices, SpliceJoint{X: x, LeftID: left, RightID: -1})
	r.last, r.lastX, r.openSpin = after, x, true
}

// member adds the member from where the rail has got to up to node n at x.
func (r *railRow) member(bay int, n solver.NodeID, x float64) solver.MemberID {
	id := r.f.Member(r.d.Rails[r.rail].Member.stiffness(r.last, n, solver.Vec{0, 1, 0}))
	r.out.Members = append(r.out.Members, RailMember{ID: id, From: r.lastX, To: x, Bay: bay, Start: r.last})
	if k := len(r.out.Splices); k > 0 && r.out.Splices[k-1].RightID < 0 {
		r.out.Splices[k-1].RightID = id
	}
	if k := len(r.out.Grips); k > 0 && r.out.Grips[k-1].RightID < 0 {
		r.out.Grips[k-1].RightID = id
	}
	return id
}

// Row returns the rail as a row of a chain that carries a share of the load.
func (f *Frame) Row(rail int, share float64) solver.Row {
	row := solver.Row{Start: f.Posts[0].X, Share: share}
	for _, m := range f.Rails[rail].Members {
		row.Members = append(row.Members, m.ID)
	}
	return row
}
