package barrier

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/solver"
)

// leastBraceAngle is the angle, degrees, between a brace and its post, and between a brace
// and the ground, below which it is none: its force is the load times 1/sin of it, and a
// tube's play in its fittings is as much as what it should hold (rule of this program,
// common practice).
const leastBraceAngle = 15

// Reach returns the way from the foot of the post to that of the brace in plan, m.
func (b *Brace) Reach() float64 { return math.Hypot(b.Outward, b.Along) }

// Rise returns how far the brace's axis climbs from its foot to the post's axis, m.
func (b *Brace) Rise() float64 { return b.Height - b.Level }

// Length returns the length of the brace from its foot to the post's axis, m.
func (b *Brace) Length() float64 { return math.Hypot(b.Reach(), b.Rise()) }

// BracesOf returns which braces a post, from 0, carries, in document order.
func (d *Definition) BracesOf(post int) (braces []int) {
	for i := range d.Braces {
		if d.Braces[i].Post == post {
			braces = append(braces, i)
		}
	}
	return braces
}

// readBraces reads every [[brace]]. Rails, run, post and fitting are read before.
func (t table) readBraces(rails []railDraft, run runDraft, post postDraft) {
	for i, given := range t.children("brace", braceTable, MaxBraces) {
		brace := braceDraft{table: given, number: i + 1}
		brace.read(run, post, rails)
		t.def.Braces = append(t.def.Braces, brace.Brace)
	}
}

// braceDraft is a brace as far as it could be read.
type braceDraft struct {
	table
	Brace
	number                           int // from 1
	ringOK, postOK, heightOK, footOK bool
}

// read reads one brace.
func (b *braceDraft) read(run runDraft, post postDraft, rails []railDraft) {
	b.Post, b.postOK = b.readPostNumber(run)
	if b.require("height", `"900 mm"`) {
		b.Height, b.heightOK = b.positive("height", quantity.Length)
	}
	b.Member, b.ringOK = b.readMember()
	if coupler := b.def.Fitting.Brace.Coupler; coupler != nil && b.ringOK {
		b.checkCoupledTube("tube", fmt.Sprintf("brace %d", b.number), &b.Member)
		if post.ringOK {
			b.checkCoupledTube("tube", "its post", &post.Member)
		}
	}
	b.readFoot(run)
	b.checkOnPost(post, rails)
	b.checkAngles()
	b.checkAlone()
	b.checkCrossings(run, post, rails)
}

// readPostNumber reads the post that carries the brace, from 1 in the file and from 0 here.
func (t table) readPostNumber(run runDraft) (post int, ok bool) {
	if !t.require("post", "3") {
		return 0, false
	}
	return t.postNumber(t.at("post"), t.values["post"], run)
}

// postNumber reads the number of a post at a path, from 1 in the file and from 0 here.
func (r *reader) postNumber(path string, value any, run runDraft) (post int, ok bool) {
	n, isWhole := value.(int64)
	switch {
	case !isWhole:
		what := kindOf(value)
		if _, isNumber := value.(float64); isNumber {
			what = "a number with a point"
		}
		r.fault(path, "the number of a post is wanted, this is "+what, "write post = 3, without quotes, for the third post from the start of the run")
		return 0, false
	case n < 1:
		r.fault(path, fmt.Sprintf("there is no post %d: posts count from 1", n), "write post = 1 for the first post from the start of the run")
		return 0, false
	case !run.known():
		return 0, false
	case n > int64(len(run.Posts)):
		r.fault(path, fmt.Sprintf("there is no post %d: the run has %s", n, counted(len(run.Posts), "post")),
			fmt.Sprintf("write a number from 1 to %d; a wall is no post", len(run.Posts)))
		return 0, false
	}
	return int(n) - 1, true
}

// counted names a number of things.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// readFoot reads { outward, along, level }.
func (b *braceDraft) readFoot(run runDraft) {
	const example = `{ outward = "-700 mm" }`
	if !b.require("foot", example) {
		return
	}
	if _, isTable := b.values["foot"].(map[string]any); !isTable {
		b.fault(b.at("foot"), "a table is wanted, this is "+kindOf(b.values["foot"]), "write foot = "+b.like(example))
		return
	}
	foot, _ := b.child("foot", braceFootTable)
	b.Foot = foot.readBraceFoot()
	if !foot.hasAny("outward", "along") {
		if !foot.misspelt("outward") && !foot.misspelt("along") {
			foot.lacks("nothing says where the foot of the brace stands", "add "+b.like(`outward = "-700 mm"`)+", or along, measured from the axis of the post")
		}
		return
	}
	b.footOK = true
	for i, to := range [...]*float64{&b.Outward, &b.Along, &b.Level} {
		if key := braceFootTable.names()[i]; foot.has(key) {
			v, ok := foot.quantity(key, quantity.Length)
			*to = v
			b.footOK = b.footOK && ok
		}
	}
	if !foot.has("level") && !foot.misspelt("level") {
		b.assumeOnce("The feet of braces stand on the walking surface where foot.level is not given.")
		b.standOnSurface(run)
		if b.footOK && b.Outward > slack && b.postOK {
			b.caution("Brace %s stands on the hazard side of post %s and its foot.level is not given: its foot counts as standing on the walking surface, %s beyond the post.", fmt.Sprint(b.number), fmt.Sprint(b.Post+1), quantity.Size(b.Outward))
		}
	}
	if b.footOK && b.Outward < -slack && b.postOK {
		b.caution("Brace %s stands on the walking side of post %s: its foot reaches %s into the way.", fmt.Sprint(b.number), fmt.Sprint(b.Post+1), quantity.Size(-b.Outward))
	}
	b.cautionInGap(run)
}

// readBraceFoot reads what the foot of a brace resists.
func (t table) readBraceFoot() BraceFoot {
	v := BraceFoot{Uplift: t.tested("uplift", quantity.Force), Downward: t.tested("downward", quantity.Force), Shear: t.tested("shear", quantity.Force)}
	v.Values, v.ValuesFactor = t.readValues("uplift", "downward", "shear")
	if v.Values == "" {
		return BraceFoot{}
	}
	return v
}

// cautionInGap says that a brace leans into the opening that a gap or a gate leaves beside its post.
func (b *braceDraft) cautionInGap(run runDraft) {
	if !b.footOK || !b.postOK {
		return
	}
	x := run.Posts[b.Post]
	for _, gap := range run.Gaps {
		if b.Along > slack && math.Abs(gap.From-x) < slack || b.Along < -slack && math.Abs(gap.To-x) < slack {
			what := "gap"
			if gap.Gate {
				what = "gate"
			}
			b.caution("Brace %s stands in the %s from x = %s to %s: its foot reaches %s into the opening.", fmt.Sprint(b.number), what, quantity.Place(gap.From), quantity.Place(gap.To), quantity.Size(math.Abs(b.Along)))
		}
	}
}

// standOnSurface sets the level of a foot that stands along a slope from its post.
func (b *braceDraft) standOnSurface(run runDraft) {
	if !b.postOK {
		return
	}
	if pitch := run.PitchAt(run.Posts[b.Post]); pitch != 0 {
		b.Level = b.Along * math.Tan(pitch)
	}
}

// checkOnPost reports a brace that does not meet its post, or meets it a few millimetres
// from something else.
func (b *braceDraft) checkOnPost(post postDraft, rails []railDraft) {
	path := b.at("height")
	switch {
	case !b.heightOK:
		return
	case post.heightOK && b.Height > post.Height+slack:
		b.fault(path, fmt.Sprintf("the brace meets the axis of its post at %s, above the post, which ends at %s", b.sizeText(b.Height), b.sizeText(post.Height)),
			"lower the brace, or write a larger post.height")
		b.heightOK = false
		return
	case post.levelOK && b.Height < post.Base.Level+leastStub-printed:
		b.fault(path, fmt.Sprintf("the brace meets its post at %s, at its foot or below, which is held at %s", b.sizeText(b.Height), b.sizeText(post.Base.Level)),
			"write where the axis of the brace meets that of the post, at least "+b.sizeText(leastStub)+" above the foot")
		b.heightOK = false
		return
	}
	near := func(z float64) bool {
		apart := math.Abs(b.Height - z)
		return apart > slack && apart < leastStub-printed
	}
	for _, rail := range rails {
		if rail.heightOK && near(rail.Height) {
			b.fault(path, fmt.Sprintf("the brace meets its post %s from the axis of rail %s", b.sizeText(math.Abs(b.Height-rail.Height)), quote(rail.Name)),
				fmt.Sprintf("write %q where both meet the post at one place, or a height %s or more away", b.sizeText(rail.Height), b.sizeText(leastStub)))
			return
		}
	}
	for i := range b.def.Braces {
		if other := &b.def.Braces[i]; b.postOK && other.Post == b.Post && near(other.Height) {
			b.fault(path, fmt.Sprintf("the brace meets its post %s from brace %d", b.sizeText(math.Abs(b.Height-other.Height)), i+1),
				fmt.Sprintf("write %q where both meet the post at one place, or a height %s or more away", b.sizeText(other.Height), b.sizeText(leastStub)))
			return
		}
	}
}

// checkAngles reports a brace whose foot stands under its post or above where it meets it,
// and one that leans too little from its post or from the ground.
func (b *braceDraft) checkAngles() {
	if !b.heightOK || !b.footOK {
		return
	}
	path := b.at("foot")
	angle := math.Atan2(b.Reach(), b.Rise()) * 180 / math.Pi // from the post
	const rounding = 0.01                                    // deg, more than a length loses that is printed and copied
	switch {
	case b.Rise() <= slack:
		b.fault(path, fmt.Sprintf("the foot of the brace at %s is not below where it meets the post, at %s", b.sizeText(b.Level), b.sizeText(b.Height)),
			"write a lower level of the foot, or a larger height")
	case b.Reach() <= slack:
		b.fault(path, "the foot of the brace stands under the axis of the post itself", "write how far the foot stands from it, "+b.like(`outward = "-700 mm"`)+" or along")
	case angle < leastBraceAngle-rounding:
		b.fault(path, fmt.Sprintf("the brace leans %.2f deg from its post: below %d deg it is too steep to hold it", angle, leastBraceAngle),
			fmt.Sprintf("set the foot %s or more from the post", b.sizeText(b.Rise()*math.Tan(leastBraceAngle*math.Pi/180))))
	case angle > 90-leastBraceAngle+rounding:
		b.fault(path, fmt.Sprintf("the brace rises %.2f deg from the ground: below %d deg it is too flat", 90-angle, leastBraceAngle),
			fmt.Sprintf("set the foot %s or less from the post", b.sizeText(b.Rise()/math.Tan(leastBraceAngle*math.Pi/180))))
	default:
		return
	}
	b.footOK = false
}

// checkAlone reports a second brace at one place.
func (b *braceDraft) checkAlone() {
	if !b.heightOK || !b.footOK || !b.postOK {
		return
	}
	same := func(a, c float64) bool { return math.Abs(a-c) <= slack }
	for i := range b.def.Braces {
		o := &b.def.Braces[i]
		if o.Post == b.Post && same(o.Height, b.Height) && same(o.Outward, b.Outward) && same(o.Along, b.Along) && same(o.Level, b.Level) {
			b.faultOfKey(b.path, fmt.Sprintf("brace %d stands at this place already", i+1), "leave one of them out, or move it: another post, height or foot")
			return
		}
	}
}

// checkCrossings reports a brace that runs through the tube of a rail below it, clear of
// the post.
func (b *braceDraft) checkCrossings(run runDraft, post postDraft, rails []railDraft) {
	if !b.heightOK || !b.footOK || !b.postOK || !b.ringOK || !post.ringOK {
		return
	}
	for _, leg := range run.legsAt(b.Post) {
		for _, rail := range rails {
			if !rail.heightOK || !rail.ringOK {
				continue
			}
			if away := b.throughRail(run, leg, &rail); away >= post.Ring.OD {
				b.fault(b.at("foot"), fmt.Sprintf("the brace runs through rail %s, %s from the post", quote(rail.Name), b.sizeText(away)),
					"set the foot farther out of the line of the rails, or the height below that rail")
				b.footOK = false
				return
			}
		}
	}
}

// throughRail returns how far from its post in plan, m, the brace runs through a rail of a leg
// at its post, 0 where it does not.
func (b *braceDraft) throughRail(run runDraft, leg int, rail *railDraft) float64 {
	// The foot in the axes of that leg: the file tells it in those of the leg that ends at the post.
	home, axes, outward := run.Axes(run.LegOf(run.Posts[b.Post])), run.Axes(leg), run.Hazard.Outward()
	dot := func(k int) float64 {
		along, left := home[0], home[1]
		return b.Along*(along[0]*axes[k][0]+along[1]*axes[k][1]) + outward*b.Outward*(left[0]*axes[k][0]+left[1]*axes[k][1])
	}
	along, beyond := dot(0), outward*dot(1)
	pitch := run.legs()[leg].Pitch
	share := (b.Height - rail.Height) / (b.Rise() + along*math.Tan(pitch)) // of the way down
	if !(share > 0 && share < 1) {
		return 0
	}
	from, to := run.RailEnds()
	if leg > 0 {
		from = run.Legs[leg].From
	}
	if leg < len(run.Legs)-1 {
		to = run.Legs[leg].To
	}
	at := run.Posts[b.Post] + share*along/math.Cos(pitch)
	apart := math.Abs(share*beyond-b.def.Fitting.Offset) * b.Rise() / math.Hypot(b.Rise(), beyond)
	if at < from || at > to || run.inGap(at) || apart >= (b.Ring.OD+rail.Ring.OD)/2-slack {
		return 0
	}
	return math.Abs(share * along)
}

// legsAt returns the legs, from 0, that meet at a post: two at a corner.
func (r *Run) legsAt(post int) []int {
	leg := r.LegOf(r.Posts[post])
	if r.IsCorner(post) {
		return []int{leg, leg + 1}
	}
	return []int{leg}
}

// inGap says whether x (m) lies where the rails stop.
func (r *Run) inGap(x float64) bool {
	for _, gap := range r.Gaps {
		if x > gap.From && x < gap.To {
			return true
		}
	}
	return false
}

// BraceFrame is one brace: its member from the foot up to the post, whose local x points up
// the brace, whose local y is horizontal and whose local z is square to both, upwards.
type BraceFrame struct {
	ID    solver.MemberID
	Foot  solver.NodeID // which the ground holds, but for its rotations
	Head  solver.NodeID // at the post's axis
	Post  int           // from 0
	Level int           // index into PostFrame.Levels of the node that it meets
	Leg   int           // of the run, in whose axes its foot is told
	Axes  solver.Axes   // local x, y and z in global axes
}

// braceLevels adds to the z of a post's nodes those where its braces meet it.
func (d *Definition) braceLevels(post int, levels []float64) []float64 {
	for _, i := range d.BracesOf(post) {
		if z := d.Braces[i].Height; levelAt(levels, z) < 0 {
			levels = append(levels, z)
		}
	}
	return levels
}

// levelAt returns which of the z of a post's nodes is z, m; -1 for none.
func levelAt(levels []float64, z float64) int {
	return slices.IndexFunc(levels, func(l float64) bool { return math.Abs(l-z) <= slack })
}

// addBraces adds the braces of a post. A brace is pinned at both ends: its foot holds
// translations alone, and at the post forces pass and no moment but the one about its own
// axis, which holds its spin and is none, for the foot lets it turn.
func (f *Frame) addBraces(d *Definition, p int) {
	post := &f.Posts[p]
	for _, i := range d.BracesOf(p) {
		b := &d.Braces[i]
		axes := d.Run.Axes(post.Leg)
		foot := d.Run.At(post.Leg, post.X, d.Run.Hazard.Outward()*b.Outward, b.Level)
		for k := range foot {
			foot[k] += b.Along * axes[0][k]
		}
		level := levelAt(post.Levels, b.Height)
		at := f.Position(post.Nodes[level])
		local := braceAxes(foot, at)
		label := fmt.Sprintf("brace %d", i+1)
		frame := BraceFrame{Post: p, Level: level, Leg: post.Leg, Axes: local, Foot: f.Node(label+" foot", foot), Head: f.Node(label+" head", at)}
		f.Restrain(frame.Foot, solver.UX, solver.UY, solver.UZ)
		head := solver.Joint{First: post.Nodes[level], Second: frame.Head, Axes: local, Ties: forcesOnly()}
		head.Ties[solver.RX] = solver.Shared()
		f.Join(head)
		frame.ID = f.Member(b.stiffness(frame.Foot, frame.Head, local[1]))
		f.Braces[i] = frame
	}
}

// braceAxes returns the local axes of a brace from its foot to the post.
func braceAxes(foot, head solver.Vec) solver.Axes {
	var x solver.Vec
	for k := range x {
		x[k] = head[k] - foot[k]
	}
	length := math.Hypot(math.Hypot(x[0], x[1]), x[2])
	for k := range x {
		x[k] /= length
	}
	flat := math.Hypot(x[0], x[1])
	y := solver.Vec{-x[1] / flat, x[0] / flat, 0}
	z := solver.Vec{x[1]*y[2] - x[2]*y[1], x[2]*y[0] - x[0]*y[2], x[0]*y[1] - x[1]*y[0]}
	return solver.Axes{x, y, z}
}
