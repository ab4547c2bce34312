package barrier

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/solver"
)

// Layout is one way to read what the definition leaves open: how stiff the feet
// are and where the rails are spliced.
type Layout struct {
	FootStiffness float64  // N·m/rad about both horizontal axes; +Inf is rigid
	Splices       string   // in words: "as given", "continuous", "cut at every post", "as proposed"
	Rails         []Joints // one a rail
	Joint         Joint    // of every fitting but those at corners
	Corner        Joint    // of every fitting at a corner, between the post and the end of each rail
}

// Joints says where one rail is not continuous. It is a reading of the rail, not a joint
// of the frame: Frame makes a solver.Joint of each splice, and of each fitting.
type Joints struct {
	Splices []float64 // x, m: each passes forces, and what Moment says
	Moment  Joint     // of every splice; the zero Joint passes none
	Cut     bool      // cut at every post but one at a free end, past which an overhang runs on
}

// Frame is the barrier as a frame for the solver, in the axes of the first leg: X along, Y to the
// left walking from start to end, Z up. Run.Hazard changes no sign of it but that of the
// offset: outward is Run.Hazard.Outward() times Y.
type Frame struct {
	*solver.Frame
	Layout Layout
	Posts  []PostFrame
	Rails  []RailFrame
	Braces []BraceFrame // one a brace of the definition
	// Held says, for each piece of rail in order that neither a joint nor a wall keeps from
	// spinning about its own axis, where it is held: at one post, in a wall where it
	// meets none.
	Held []quantity.Sentence
	// Lumps are the masses of the fittings, one a grip, two at a corner; none where fittings weigh nothing.
	// A fitting sits between two tubes: its mass is put on the axis of the rail where the
	// rails run outward of the posts, and on that of the post where they run inward, so
	// that it leans outward no less than it does.
	Lumps []Lump
	// Infill is what the infill does to nodes of posts, beside the weight that is among the
	// mass of the rails that carry it; none where it does nothing to them.
	Infill []InfillWeight

	run *Run
}

// Lump is a mass at a node, kg.
type Lump struct {
	Node solver.NodeID
	Mass float64
}

// PostFrame is one post: its nodes from the foot up, and the members between.
// A post's local x points up, its local y to the left of its leg, its local z against the
// run; at a corner its leg is the one that ends there.
type PostFrame struct {
	X       float64           // m, along the run
	Leg     int               // from 0
	Levels  []float64         // z of the nodes, m
	Nodes   []solver.NodeID   // one a level
	Members []solver.MemberID // between one level and the next
}

// RailFrame is one rail: its members from its start to its end, overhangs included, whose
// local axes are Run.RailAxes of their leg.
type RailFrame struct {
	Members []RailMember
	Grips   []Grip // one a post
	Splices []SpliceJoint
	Walls   [2]*WallGrip // at the start and at the end of the run; nil for a free end
}

// IsUntwisted reports whether a member of the rail is Untwisted.
func (r *RailFrame) IsUntwisted(id solver.MemberID) bool {
	at, is := slices.BinarySearchFunc(r.Members, id, func(m RailMember, id solver.MemberID) int { return cmp.Compare(m.ID, id) })
	return is && r.Members[at].Untwisted
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
	Leg      int     // from 0
	Bay      int     // from 0, between two supports; -1 for the overhang at the start, the number of bays for that at the end
	Start    solver.NodeID
	// Untwisted says that its piece of rail is kept from spinning at one place at most. No load has a
	// couple about the axis of a rail, so by statics nothing twists it.
	Untwisted bool
}

// Grip is where a rail meets a post: the post's node, the rail's node on either
// side (the same where the rail runs through, or is on one side alone) and the rail members
// there, those of an overhang or next to a wall among them (-1 for none: at an end of the run
// and beside a gap).
type Grip struct {
	Level             int // index into PostFrame.Levels
	Before, After     solver.NodeID
	LeftID, RightID   solver.MemberID
	ContinuousThrough bool
	Arm, ArmAfter     solver.Vec   // from the post's axis to the rail's on either side, m: rigid arms of the post
	Found             FittingState // what a survey found of its fitting: nothing joins the two where it is missing
}

// SpliceJoint is a splice between two members of a rail.
type SpliceJoint struct {
	X               float64 // m, along the run
	LeftID, RightID solver.MemberID
}

// Frame builds the frame of the barrier for one layout. Posts stand on feet that
// hold all translations and the twist about Z, and rotate about X and Y by the
// foot's stiffness. Fittings pass forces and, by l.Joint, at corners by l.Corner, moments about
// the axes of the rail; with an offset they reach from the post to the rail by a rigid arm. Walls
// hold the ends of rails in the axes of the rail. At a corner and at a gap every rail ends.
// Braces are pinned to their posts and to the ground, which holds their feet. Whether the frame
// stands is for solver.Frame.Factorise to say.
func (d *Definition) Frame(l Layout) *Frame {
	f := &Frame{run: &d.Run, Frame: &solver.Frame{}, Layout: l, Rails: make([]RailFrame, len(d.Rails)), Braces: make([]BraceFrame, len(d.Braces))}
	posts, rails, levels := len(d.Run.Posts), len(d.Rails), len(d.postLevels(0))
	f.Grow(posts*(levels+rails), posts*(levels-1+rails), posts*rails) // the usual, with no splices
	f.Posts = make([]PostFrame, 0, posts)
	rows := make([]*railRow, len(d.Rails))
	for i := range d.Rails {
		rows[i] = newRailRow(d, f, i)
		rows[i].begin()
	}
	var known levelWords
	for p, x := range d.Run.Posts {
		f.addPost(d, p, x, &known)
		for _, row := range rows {
			row.reachPost(p, x)
		}
	}
	for i, row := range rows {
		row.finish()
		f.Rails[i] = row.out
		f.Held = append(f.Held, row.held...)
	}
	f.Infill = f.InfillWeights(d, d.Infill.Mass)
	return f
}

// addPost adds a post's nodes and members, whose names say where they are.
func (f *Frame) addPost(d *Definition, p int, x float64, known *levelWords) {
	leg := d.Run.LegOf(x)
	post := PostFrame{X: x, Leg: leg, Levels: d.postLevels(p)}
	post.Nodes, post.Members = make([]solver.NodeID, 0, len(post.Levels)), make([]solver.MemberID, 0, len(post.Levels)-1)
	name, where, axes, tube := "post "+strconv.Itoa(p+1), known.of(post.Levels), d.Run.Axes(leg), d.PostMember(p)
	for i, z := range post.Levels {
		n := f.Node(name+where[i], d.Run.At(leg, x, 0, z))
		post.Nodes = append(post.Nodes, n)
		if i == 0 {
			f.Restrain(n, solver.UX, solver.UY, solver.UZ, solver.RZ)
			f.standOn(n, d.FootOf(p, f.Layout.FootStiffness))
			continue
		}
		post.Members = append(post.Members, f.Member(tube.stiffness(post.Nodes[i-1], n, axes[1])))
	}
	f.Posts = append(f.Posts, post)
	f.addBraces(d, p)
}

// levelWords says where the levels of a post are, and remembers it: most posts are alike.
type levelWords struct {
	levels []float64
	words  []string
}

// of returns the words for levels, of which the first is the foot.
func (w *levelWords) of(levels []float64) []string {
	if w.words != nil && slices.Equal(w.levels, levels) {
		return w.words
	}
	*w = levelWords{levels, make([]string, len(levels))}
	w.words[0] = " foot"
	for i, z := range levels[1:] {
		w.words[1+i] = " at z = " + strconv.FormatFloat(z, 'f', 3, 64) + " m"
	}
	return w.words
}

// standOn lets the foot of a post rotate by a stiffness, N·m/rad: not at all where it is rigid, and
// freely where there is none.
func (f *Frame) standOn(n solver.NodeID, stiffness float64) {
	switch {
	case math.IsInf(stiffness, 1):
		f.Restrain(n, solver.RX, solver.RY)
	case stiffness > 0:
		f.Spring(n, solver.RX, stiffness)
		f.Spring(n, solver.RY, stiffness)
	}
}

// leastStub is the length, m, below which what stands of a post above all that meets it is
// left out: it carries nothing but its own weight, and a member of a few millimetres is so
// stiff beside the rest that the answer loses the digits that prove it.
const leastStub = 0.02

// postLevels returns the z of a post's foot, of every rail, of its braces and of its top.
func (d *Definition) postLevels(post int) []float64 {
	levels := append(make([]float64, 0, len(d.Rails)+3), d.Post.Base.Level)
	for i := range d.Rails {
		levels = append(levels, d.Rails[i].Height)
	}
	levels = d.braceLevels(post, levels)
	if d.Post.Height-slices.Max(levels) >= leastStub {
		levels = append(levels, d.Post.Height)
	}
	slices.Sort(levels)
	return slices.Compact(levels)
}

// stiffness returns a member of this tube between two nodes.
func (m *Member) stiffness(start, end solver.NodeID, reference solver.Vec) solver.Member {
	return solver.Member{
		Start: start, End: end, Reference: reference,
		EA: m.Grade.E * m.Ring.Area, EIy: m.Grade.E * m.Ring.I, EIz: m.Grade.E * m.Ring.I, GJ: m.Grade.G * m.Ring.J,
		Mass: m.MassPerMetre(), NoSpin: true, Expansion: m.Grade.Material.Expansion().Value,
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
	y      float64       // of the rail's axis to the left, m
	leg    int           // in which the rail has got to
	last   solver.NodeID // where the next member starts; -1 before the first node
	lastX  float64
	start  float64 // x at which the piece in hand starts, m
	spins  bool    // nothing holds the spin of the piece in hand yet
	piece  int     // its first member
	holds  int     // places at which its spin is held
	next   int     // splice to come
	ends   []bool  // at each post: a piece ends there
	walls  [2]*solver.Joint
}

func newRailRow(d *Definition, f *Frame, rail int) *railRow {
	from, _ := d.Run.RailEnds()
	r := &railRow{
		d: d, f: f, rail: rail, joints: f.Layout.Rails[rail],
		y: d.Run.Hazard.Outward() * d.Fitting.Offset, last: -1, start: from, spins: true,
	}
	last := len(d.Supports()) - 1
	inner := func(post int) bool { return d.Run.PostSupport(post) > 0 && d.Run.PostSupport(post) < last }
	r.ends = make([]bool, 0, len(d.Run.Posts))
	cut := func(post int) bool { return r.joints.Cut && inner(post) }
	if r.joints.Cut && d.LacksFitting(rail) {
		cuts := d.CutsAtPosts(rail)
		cut = func(post int) bool { return cuts[post] }
	}
	r.out.Grips, r.out.Members = make([]Grip, 0, len(d.Run.Posts)), make([]RailMember, 0, len(d.Run.Posts)+1)
	for p, x := range d.Run.Posts {
		r.ends = append(r.ends, d.Run.IsCorner(p) || d.Run.isGapFrom(x) || cut(p))
	}
	return r
}

// node adds a node of the rail.
func (r *railRow) node(where string, x float64) solver.NodeID {
	rail := &r.d.Rails[r.rail]
	return r.f.Node("rail "+rail.Name+" "+where, r.d.Run.At(r.leg, x, r.y, rail.Height))
}

// begin starts the rail in a wall or with an overhang; otherwise it starts at the first post.
func (r *railRow) begin() {
	from, _ := r.d.Run.RailEnds()
	switch wall := r.d.Run.Start; {
	case wall.Wall:
		r.last, r.lastX = r.node("in the wall at the start", from), from
		r.out.Walls[0] = r.hold(0, wall, r.last)
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
		r.out.Walls[1] = r.hold(1, wall, n)
		r.out.Walls[1].ID = id
		r.holdInWall("end", r.out.Walls[1])
	case r.d.Run.Overhang[1] > 0:
		r.member(bay, r.node("at its end", to), to)
	}
	r.endPiece()
	if start := r.out.Walls[0]; start != nil {
		start.ID = r.out.Members[0].ID
	}
	for _, j := range r.walls {
		if j != nil {
			r.f.Join(*j)
		}
	}
}

// beginPiece begins the next piece of the rail at x.
func (r *railRow) beginPiece(x float64) {
	r.endPiece()
	r.start, r.spins, r.piece, r.holds = x, true, len(r.out.Members), 0
}

// endPiece notes of the members of the piece in hand whether anything may twist them.
func (r *railRow) endPiece() {
	for i := r.piece; i < len(r.out.Members); i++ {
		r.out.Members[i].Untwisted = r.holds <= 1
	}
}

// hold holds the rail's end in a wall, in the axes of the rail: across it and upwards, and
// what the wall's long form adds.
func (r *railRow) hold(which int, wall End, n solver.NodeID) *WallGrip {
	held := [6]bool{wall.AlongHeld, true, true, wall.Rotation[0], wall.Rotation[1], wall.Rotation[2]}
	if r.d.Run.IsStraight() {
		for freedom, is := range held {
			if is {
				r.f.Restrain(n, solver.Freedom(freedom))
			}
		}
	} else {
		r.walls[which] = r.built(n, held)
	}
	if wall.Rotation[0] {
		r.spins = false
		r.holds++
	}
	return &WallGrip{Node: n}
}

// built returns the joint of a rail's end with the ground, which holds what it holds in the
// axes of the rail. It is made when the rail is finished.
func (r *railRow) built(n solver.NodeID, held [6]bool) *solver.Joint {
	ground := r.f.Node("the wall at rail "+r.d.Rails[r.rail].Name, r.f.Position(n))
	j := &solver.Joint{First: ground, Second: n, Axes: r.d.Run.RailAxes(r.leg)}
	for freedom, is := range held {
		r.f.Restrain(ground, solver.Freedom(freedom))
		if is {
			j.Ties[freedom] = solver.Shared()
		}
	}
	return j
}

// reachPost lays the rail from where it has got to up to this post and joins it, and ends the
// piece in hand there at a corner, before a gap, and where the rail is cut.
func (r *railRow) reachPost(p int, x float64) {
	post := &r.f.Posts[p]
	level := slices.Index(post.Levels, r.d.Rails[r.rail].Height)
	bay := r.d.Run.PostSupport(p) - 1 // before the post
	corner, gapAfter := r.d.Run.IsCorner(p), r.d.Run.isGapFrom(x)
	starts := p > 0 && r.d.Run.isGapFrom(r.d.Run.Posts[p-1]) // behind a gap
	if starts {
		r.beginPiece(x)
	}
	if starts && corner { // the leg that ends here has no rail
		r.leg++
	}
	grip := Grip{Level: level, LeftID: -1, RightID: -1, ContinuousThrough: true, Arm: r.arm(), ArmAfter: r.arm(), Found: r.d.FittingAt(p, r.rail)}
	r.spliceUpTo(bay, x)
	n := r.node("at post "+strconv.Itoa(p+1), x)
	if r.last >= 0 {
		grip.LeftID = r.member(bay, n, x)
	}
	r.grip(p, post.Nodes[level], n, starts)
	grip.Before, grip.After = n, n
	r.last, r.lastX = n, x
	if corner && !starts {
		r.leg++
	}
	switch {
	case gapAfter:
		r.last = -1
	case r.ends[p] && !starts:
		n = r.node(fmt.Sprintf("after post %d", p+1), x)
		r.beginPiece(x)
		r.last = n
		r.grip(p, post.Nodes[level], n, true)
		grip.After, grip.ArmAfter, grip.ContinuousThrough = n, r.arm(), false
	}
	r.out.Grips = append(r.out.Grips, grip)
	if grip.Found != FittingMissing {
		r.weigh(post.Nodes[level], grip, corner)
	}
}

// heldAhead says whether something farther on keeps the piece in hand at a post, which it starts
// at or comes up to, from spinning: a joint, or the wall in which it ends.
func (r *railRow) heldAhead(post int, starts bool) bool {
	if r.ends[post] && !starts {
		return false
	}
	run := &r.d.Run
	reached := func(x float64) bool { return r.next == len(r.joints.Splices) || r.joints.Splices[r.next] > x }
	for p := post + 1; p < len(run.Posts); p++ {
		switch {
		case !reached(run.Posts[p]):
			return false
		case r.jointAt(p).Stiffness[0] > 0:
			return true
		case r.ends[p]:
			return false
		}
	}
	return run.End.Wall && run.End.Rotation[0] && reached(run.End.X)
}

// jointAt returns the joint of the layout at a post: a free one where its fitting is cracked, and none
// that holds a spin where it is missing.
func (r *railRow) jointAt(post int) Joint {
	if r.d.FittingAt(post, r.rail) != "" {
		return Joint{Kind: FreeJoint}
	}
	if r.d.Run.IsCorner(post) {
		return r.f.Layout.Corner
	}
	return r.f.Layout.Joint
}

// arm returns the way from the post's axis to the rail's, m, global axes.
func (r *railRow) arm() solver.Vec {
	left := r.d.Run.Axes(r.leg)[1]
	return solver.Vec{r.y * left[0], r.y * left[1], r.y * left[2]}
}

// grip joins a rail's node to the post: forces in three directions, moments by the joint of
// the layout, and the rail's spin at one post of each piece that nothing else keeps from it:
// neither a joint, nor the wall in which it began, nor that in which it ends. The piece comes
// up to the post, or starts at it. A missing fitting joins nothing.
func (r *railRow) grip(p int, post, rail solver.NodeID, starts bool) {
	if r.d.FittingAt(p, r.rail) == FittingMissing {
		return
	}
	j := solver.Joint{First: post, Second: rail, Axes: r.d.Run.RailAxes(r.leg), Ties: forcesOnly()}
	for axis, k := range r.jointAt(p).Stiffness {
		j.Ties[solver.RX+solver.Freedom(axis)] = solver.Tie(k)
	}
	if r.spins && j.Ties[solver.RX] == solver.Free && !r.heldAhead(p, starts) {
		j.Ties[solver.RX] = solver.Shared()
		r.held = append(r.held, quantity.Say("rail %s from x = %s: spin held at post %d", r.d.Rails[r.rail].Name, quantity.Place(r.start), p+1))
	}
	if j.Ties[solver.RX] != solver.Free {
		r.holds++
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
	r.holds++
	if at := slices.Index([]string{"start", "end"}, end); r.walls[at] != nil {
		r.walls[at].Ties[solver.RX] = solver.Shared()
	} else {
		r.f.Restrain(wall.Node, solver.RX)
	}
	r.held = append(r.held, quantity.Say("rail %s from x = %s: spin held in the wall at the %s", r.d.Rails[r.rail].Name, quantity.Place(r.start), end))
}

// weigh puts the mass of the fitting that joins a post's node to a rail on one of them; that
// of a corner on the ends of both rails, by halves.
func (r *railRow) weigh(post solver.NodeID, grip Grip, corner bool) {
	mass := r.d.Fitting.Mass
	if corner {
		mass = r.d.Fitting.Corner.Mass
	}
	switch {
	case mass == 0:
	case r.d.Fitting.Offset <= 0:
		r.f.Lumps = append(r.f.Lumps, Lump{Node: post, Mass: mass})
	case corner && grip.Before != grip.After:
		r.f.Lumps = append(r.f.Lumps, Lump{Node: grip.Before, Mass: mass / 2}, Lump{Node: grip.After, Mass: mass / 2})
	default:
		r.f.Lumps = append(r.f.Lumps, Lump{Node: grip.Before, Mass: mass})
	}
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

// splice ends a member at a splice and starts the next piece there.
func (r *railRow) splice(bay int, x float64) {
	n := r.node(fmt.Sprintf("before the splice at x = %.3f m", x), x)
	left := r.member(bay, n, x)
	r.holdInWall("start", r.out.Walls[0])
	after := r.node(fmt.Sprintf("after the splice at x = %.3f m", x), x)
	j := solver.Joint{First: n, Second: after, Axes: r.d.Run.RailAxes(r.leg), Ties: forcesOnly()}
	j.Ties[solver.RY], j.Ties[solver.RZ] = solver.Tie(r.joints.Moment.Stiffness[1]), solver.Tie(r.joints.Moment.Stiffness[2])
	r.f.Join(j)
	r.out.Splices = append(r.out.Splices, SpliceJoint{X: x, LeftID: left, RightID: -1})
	r.last, r.lastX = after, x
	r.beginPiece(x)
}

// member adds the member from where the rail has got to up to node n at x.
func (r *railRow) member(bay int, n solver.NodeID, x float64) solver.MemberID {
	tube := r.d.Rails[r.rail].stiffness(r.last, n, r.d.Run.Axes(r.leg)[1])
	if bay >= 0 && bay < r.d.Run.bays() {
		tube.Mass += r.d.InfillMass(r.d.Infill.Mass, r.rail, r.leg)
	}
	id := r.f.Member(tube)
	r.out.Members = append(r.out.Members, RailMember{ID: id, From: r.lastX, To: x, Leg: r.leg, Bay: bay, Start: r.last})
	if k := len(r.out.Splices); k > 0 && r.out.Splices[k-1].RightID < 0 {
		r.out.Splices[k-1].RightID = id
	}
	if k := len(r.out.Grips); k > 0 && r.out.Grips[k-1].RightID < 0 {
		r.out.Grips[k-1].RightID = id
	}
	return id
}

// Rows returns the rail as rows of a chain that carries a share of the load (see
// analysis.Share), given in the axes of each leg: one row for each part of it between gaps.
func (f *Frame) Rows(rail int, share float64) []solver.Row {
	var rows []solver.Row
	for i, m := range f.Rails[rail].Members {
		if i == 0 || f.Rails[rail].Members[i-1].To != m.From {
			rows = append(rows, solver.Row{Start: m.From, Share: share})
		}
		row := &rows[len(rows)-1]
		row.Members = append(row.Members, m.ID)
		row.Axes = append(row.Axes, f.run.Axes(m.Leg))
	}
	return rows
}

// PostRow returns a post as a row of a chain: its foot at a coordinate of the chain, m, a share
// of the load between two heights z, m, given in the axes of a leg. What of them lies above its
// top stands on a rigid arm there.
func (f *Frame) PostRow(post, leg int, foot, share, from, to float64) solver.Row {
	p := &f.Posts[post]
	row := solver.Row{Members: p.Members, Start: foot, Share: share, Within: solver.Length{From: foot + from - p.Levels[0], To: foot + to - p.Levels[0]}, Stub: true}
	for range p.Members {
		row.Axes = append(row.Axes, f.run.Axes(leg))
	}
	return row
}
