package barrier

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/solver"
)

// Layout is one way to read what the definition leaves open: how stiff the feet
// are and where the rails are spliced.
type Layout struct {
	FootStiffness float64  // N·m/rad about both horizontal axes; +Inf is rigid
	Splices       string   // in words: "as given", "continuous", "cut at every post", "as proposed"
	Rails         []Joints // one a rail
	Joint         Joint    // of every fitting
}

// Joints says where one rail is not continuous. It is a reading of the rail, not a joint
// of the frame: Frame makes a solver.Joint of each splice, and of each fitting.
type Joints struct {
	Splices []float64 // x, m: hinges that pass forces and no moment
	Cut     bool      // cut at every post but one at a free end, past which an overhang runs on
}

// Frame is the barrier as a frame for the solver, in the axes of the run: X along, Y to the
// left walking from start to end, Z up. Run.Hazard changes no sign of it but that of the
// offset: outward is Run.Hazard.Outward() times Y.
type Frame struct {
	*solver.Frame
	Layout Layout
	Posts  []PostFrame
	Rails  []RailFrame
	// Held says, for each piece of rail in order that neither a joint nor a wall keeps from
	// spinning about its own axis, where it is held: at one post, in a wall where it
	// meets none.
	Held []quantity.Sentence
	// Lumps are the masses of the fittings, one a grip; none where fittings weigh nothing.
	// A fitting sits between two tubes: its mass is put on the axis of the rail where the
	// rails run outward of the posts, and on that of the post where they run inward, so
	// that it leans outward no less than it does.
	Lumps []Lump
}

// Lump is a mass at a node, kg.
type Lump struct {
	Node solver.NodeID
	Mass float64
}

// PostFrame is one post: its nodes from the foot up, and the members between.
// A post's local x points up, its local y along Y, its local z against the run.
type PostFrame struct {
	X       float64
	Levels  []float64 // z of the nodes, m
	Nodes   []solver.NodeID
	Members []solver.MemberID
}

// RailFrame is one rail: its members from its start to its end, overhangs included, whose
// local axes are those of the run.
type RailFrame struct {
	Members []RailMember
	Grips   []Grip // one a post
	Splices []SpliceJoint
	Walls   [2]*WallGrip // at the start and at the end of the run; nil for a free end
}

// WallGrip is where a rail ends in a wall: the rail's node there, which the ground holds,
// and the member that ends there.
type WallGrip struct {
	Node solver.NodeID
	ID   solver.MemberID
}

// RailMember is a member of a rail: one bay of it, or the part of a bay on one
// side of a splice.
type RailMember struct {
	ID       solver.MemberID
	From, To float64 // x, m
	Bay      int     // from 0, between two supports; -1 for the overhang at the start, the number of bays for that at the end
	Start    solver.NodeID
}

// Grip is where a rail meets a post: the post's node, the rail's node on either
// side (the same where the rail runs through) and the rail members there, those of an
// overhang or next to a wall among them (-1 for none).
type Grip struct {
	Level             int // index into PostFrame.Levels
	Before, After     solver.NodeID
	LeftID, RightID   solver.MemberID
	ContinuousThrough bool
	Arm               solver.Vec // from the post's axis to the rail's, m: a rigid arm of the post
}

// SpliceJoint is a splice between two members of a rail.
type SpliceJoint struct {
	X               float64
	LeftID, RightID solver.MemberID
}

// Frame builds the frame of the barrier for one layout. Posts stand on feet that
// hold all translations and the twist about Z, and rotate about X and Y by the
// foot's stiffness. Fittings pass forces and, by l.Joint, moments about X, Y and Z; with an
// offset they reach from the post to the rail by a rigid arm. Walls hold the ends of rails.
func (d *Definition) Frame(l Layout) *Frame {
	f := &Frame{Frame: &solver.Frame{}, Layout: l, Rails: make([]RailFrame, len(d.Rails))}
	rows := make([]*railRow, len(d.Rails))
	for i := range d.Rails {
		rows[i] = newRailRow(d, f, i)
		rows[i].begin()
	}
	for p, x := range d.Run.Posts {
		f.addPost(d, p, x)
		for _, row := range rows {
			row.reachPost(p, x)
		}
	}
	for i, row := range rows {
		row.finish()
		f.Rails[i] = row.out
		f.Held = append(f.Held, row.held...)
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

// leastStub is the length, m, below which what stands of a post above its highest rail is
// left out: it carries nothing but its own weight, and a member of a few millimetres is so
// stiff beside the rest that the answer loses the digits that prove it.
const leastStub = 0.02

// postLevels returns the z of the foot, of every rail and of the post's top.
func (d *Definition) postLevels() []float64 {
	levels := []float64{d.Post.Base.Level}
	if d.Post.Height-d.Rails[d.Highest()].Height >= leastStub {
		levels = append(levels, d.Post.Height)
	}
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
		Mass: m.MassPerMetre(),
	}
}

// railRow lays one rail from its start to its end.
type railRow struct {
	d      *Definition
	f      *Frame
	rail   int
	joints Joints
	out    RailFrame
	held   []quantity.Sentence
	y      float64       // of the rail's axis, m
	last   solver.NodeID // where the next member starts; -1 before the first node
	lastX  float64
	start  float64 // x at which the piece in hand starts, m
	spins  bool    // nothing holds the spin of the piece in hand yet
	next   int     // splice to come
}

func newRailRow(d *Definition, f *Frame, rail int) *railRow {
	from, _ := d.Run.RailEnds()
	return &railRow{
		d: d, f: f, rail: rail, joints: f.Layout.Rails[rail],
		y: d.Run.Hazard.Outward() * d.Fitting.Offset, last: -1, start: from, spins: true,
	}
}

// node adds a node of the rail.
func (r *railRow) node(where string, x float64) solver.NodeID {
	rail := &r.d.Rails[r.rail]
	return r.f.Node("rail "+rail.Name+" "+where, solver.Vec{x, r.y, rail.Height})
}

// begin starts the rail in a wall or with an overhang; otherwise it starts at the first post.
func (r *railRow) begin() {
	from, _ := r.d.Run.RailEnds()
	switch wall := r.d.Run.Start; {
	case wall.Wall:
		r.last, r.lastX = r.node("in the wall at the start", from), from
		r.out.Walls[0] = r.hold(wall, r.last)
	case r.d.Run.Overhang[0] > 0:
		r.last, r.lastX = r.node("at its start", from), from
	}
}

// finish ends the rail in a wall or with an overhang; otherwise it ends at the last post.
func (r *railRow) finish() {
	_, to := r.d.Run.RailEnds()
	bay := r.d.Run.PostSupport(len(r.d.Run.Posts) - 1)
	switch wall := r.d.Run.End; {
	case wall.Wall:
		r.spliceUpTo(bay, to)
		n := r.node("in the wall at the end", to)
		id := r.member(bay, n, to)
		r.out.Walls[1] = r.hold(wall, n)
		r.out.Walls[1].ID = id
		r.holdInWall("end", r.out.Walls[1])
	case r.d.Run.Overhang[1] > 0:
		r.member(bay, r.node("at its end", to), to)
	}
	if start := r.out.Walls[0]; start != nil {
		start.ID = r.out.Members[0].ID
	}
}

// hold restrains the rail's end in a wall.
func (r *railRow) hold(wall End, n solver.NodeID) *WallGrip {
	r.f.Restrain(n, solver.UY, solver.UZ)
	if wall.AlongHeld {
		r.f.Restrain(n, solver.UX)
	}
	for axis, held := range wall.Rotation {
		if held {
			r.f.Restrain(n, solver.RX+solver.Freedom(axis))
		}
	}
	r.spins = r.spins && !wall.Rotation[0]
	return &WallGrip{Node: n}
}

// reachPost lays the rail from where it has got to up to this post and joins it.
func (r *railRow) reachPost(p int, x float64) {
	post := &r.f.Posts[p]
	level := slices.Index(post.Levels, r.d.Rails[r.rail].Height)
	grip := Grip{Level: level, LeftID: -1, RightID: -1, ContinuousThrough: true, Arm: solver.Vec{0, r.y, 0}}
	support := r.d.Run.PostSupport(p)
	r.spliceUpTo(support-1, x)
	n := r.node(fmt.Sprintf("at post %d", p+1), x)
	if r.last >= 0 {
		grip.LeftID = r.member(support-1, n, x)
	}
	cutHere := r.joints.Cut && support > 0 && support < len(r.d.Supports())-1
	lastPost := p == len(r.d.Run.Posts)-1
	reachesEnd := r.next == len(r.joints.Splices) && (!r.joints.Cut || lastPost && !cutHere)
	r.grip(p, post.Nodes[level], n, reachesEnd)
	grip.Before, grip.After = n, n
	r.last, r.lastX = n, x
	if cutHere {
		grip.ContinuousThrough = false
		n = r.node(fmt.Sprintf("after post %d", p+1), x)
		r.start, r.spins = x, true
		r.grip(p, post.Nodes[level], n, lastPost)
		grip.After, r.last = n, n
	}
	r.out.Grips = append(r.out.Grips, grip)
	r.weigh(post.Nodes[level], grip.Before)
}

// grip joins a rail's node to the post: forces in three directions, moments by the joint of
// the layout, and the rail's spin at one post of each piece that nothing else keeps from it:
// neither a joint, nor the wall in which it began, nor that in which it ends where it
// reaches the end of the run.
func (r *railRow) grip(p int, post, rail solver.NodeID, reachesEnd bool) {
	j := solver.Joint{First: post, Second: rail, Ties: forcesOnly()}
	for axis, k := range r.f.Layout.Joint.Stiffness {
		j.Ties[solver.RX+solver.Freedom(axis)] = solver.Tie(k)
	}
	heldAhead := reachesEnd && r.d.Run.End.Wall && r.d.Run.End.Rotation[0]
	if r.spins && j.Ties[solver.RX] == solver.Free && !heldAhead {
		j.Ties[solver.RX] = solver.Shared()
		r.held = append(r.held, quantity.Say("rail %s from x = %s: spin held at post %d", r.d.Rails[r.rail].Name, quantity.Place(r.start), p+1))
	}
	r.spins = false
	r.f.Join(j)
}

// holdInWall holds the spin of a piece that meets no post and that its wall lets turn.
func (r *railRow) holdInWall(end string, wall *WallGrip) {
	if !r.spins {
		return
	}
	r.spins = false
	r.f.Restrain(wall.Node, solver.RX)
	r.held = append(r.held, quantity.Say("rail %s from x = %s: spin held in the wall at the %s", r.d.Rails[r.rail].Name, quantity.Place(r.start), end))
}

// weigh puts the mass of the fitting that joins two nodes on one of them.
func (r *railRow) weigh(post, rail solver.NodeID) {
	if r.d.Fitting.Mass == 0 {
		return
	}
	at := post
	if r.d.Fitting.Offset > 0 {
		at = rail
	}
	r.f.Lumps = append(r.f.Lumps, Lump{Node: at, Mass: r.d.Fitting.Mass})
}

func forcesOnly() (t [6]solver.Tie) {
	t[solver.UX], t[solver.UY], t[solver.UZ] = solver.Shared(), solver.Shared(), solver.Shared()
	return t
}

// spliceUpTo lays the splices to come that stand before x.
func (r *railRow) spliceUpTo(bay int, x float64) {
	for ; r.next < len(r.joints.Splices) && r.joints.Splices[r.next] < x; r.next++ {
		r.splice(bay, r.joints.Splices[r.next])
	}
}

// splice ends a member at a hinge and starts the next piece there.
func (r *railRow) splice(bay int, x float64) {
	n := r.node(fmt.Sprintf("before the splice at x = %.3f m", x), x)
	left := r.member(bay, n, x)
	r.holdInWall("start", r.out.Walls[0])
	after := r.node(fmt.Sprintf("after the splice at x = %.3f m", x), x)
	r.f.Join(solver.Joint{First: n, Second: after, Ties: forcesOnly()})
	r.out.Splices = append(r.out.Splices, SpliceJoint{X: x, LeftID: left, RightID: -1})
	r.last, r.lastX, r.start, r.spins = after, x, x, true
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
	row := solver.Row{Start: f.Rails[rail].Members[0].From, Share: share}
	for _, m := range f.Rails[rail].Members {
		row.Members = append(row.Members, m.ID)
	}
	return row
}
