package barrier

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/internal/quantity"
)

// slack is the distance, m, below which two places along a run or up a post are one:
// far under anything that can be set out, far over rounding.
const slack = 1e-9

// runDraft is the run as far as it could be read.
type runDraft struct {
	table
	Run               // without posts where their places could not be read
	gapPaths []string // of each gap
}

// known says whether the places of posts and walls could be read.
func (r runDraft) known() bool { return r.Posts != nil }

// readRun reads [run].
func (t table) readRun() runDraft {
	given, ok := t.child("run", runTable)
	if !ok {
		if t.absent("run") {
			t.missing("[run] is missing", t.like(`add [run] with length = "9 m" and spacing = "1.5 m"`))
		}
		return runDraft{}
	}
	r := runDraft{table: given}
	r.Hazard = given.readHazard()
	var startOK, endOK bool
	r.Start, startOK = given.readEnd("start")
	r.End, endOK = given.readEnd("end")
	what := "post"
	if r.Start.Wall || r.End.Wall {
		what = "place"
	}
	legs, legsOK := given.readLegs()
	gaps, gapsOK := t.readGaps()
	places := given.readPlaces(what, legs, gaps)
	if startOK && endOK && legsOK && gapsOK && places != nil {
		r.setPlaces(places)
		r.setLegs(places, legs)
		r.setGaps(gaps)
		r.sayCourse()
	}
	r.readOverhang()
	if r.known() {
		r.cautionLongOverhangs()
	}
	r.ToePlate = given.readToePlate()
	return r
}

// readHazard reads the side to which outward points.
func (t table) readHazard() Side {
	word, ok := t.word("hazard", []string{string(Left), string(Right)}, nil)
	if ok {
		return Side(word)
	}
	if !t.has("hazard") {
		t.assume(`The hazard is on the left, walking from start to end: run.hazard is not given and taken as "left".`)
	}
	return Left
}

// setPlaces gives the places to walls and posts: the first and the last are those of the
// walls where there are any.
func (r *runDraft) setPlaces(places []float64) {
	posts := places
	if r.Start.Wall {
		r.Start.X, posts = posts[0], posts[1:]
	}
	if r.End.Wall {
		r.End.X, posts = posts[len(posts)-1], posts[:len(posts)-1]
	}
	if len(posts) == 0 {
		if r.has("posts") {
			r.fault(r.at("posts"), "both places are walls, and no post stands between", "list the posts between the walls too; rails from wall to wall are beams, to be checked elsewhere")
		} else {
			r.fault(r.at("spacing"), "one bay between two walls has no post", "write a closer spacing; rails from wall to wall are beams, to be checked elsewhere")
		}
		return
	}
	r.Posts = posts
}

// sayCourse records where walls stand and where the run rises.
func (r *runDraft) sayCourse() {
	if !r.known() {
		return
	}
	if r.Start.Wall {
		r.sayWall("start", r.Start)
	}
	if r.End.Wall {
		r.sayWall("end", r.End)
	}
	r.sayPitch()
}

// readPlaces reads the x of every post and of the walls at the ends: posts, or the length,
// or that of each leg, with spacing. It returns none or at least two. What names one of them.
func (t table) readPlaces(what string, legs []legDraft, gaps []gapDraft) []float64 {
	switch {
	case t.has("posts") && t.hasAny("length", "spacing"):
		other := "length"
		if !t.has(other) {
			other = "spacing"
		}
		fix := "keep posts, or length with spacing"
		if t.has("legs") {
			fix = "keep legs with posts, or legs with spacing"
		}
		t.faultOfKey(t.at(other), "posts and "+other+" exclude each other", fix)
		t.list("posts", postsExample)
		return nil
	case t.has("legs") && t.has("length"):
		t.faultOfKey(t.at("length"), "legs and length exclude each other", "leave length out: the run is as long as its legs")
		return nil
	case t.has("posts"):
		return t.readPostList(what)
	case t.hasAny("length", "legs") && t.has("spacing"):
		return t.readEqualBays(legs, gaps)
	case slices.ContainsFunc([]string{"length", "spacing", "posts", "legs"}, t.misspelt):
		return nil
	case t.has("legs"):
		t.lacks("legs stand without spacing", t.like(`add spacing = "1.5 m", the widest bay wanted, or posts with every corner`))
	case t.has("length"):
		t.positive("length", quantity.Length)
		t.lacks("length stands without spacing", t.like(`add spacing = "1.5 m", the widest bay wanted`))
	case t.has("spacing"):
		t.positive("spacing", quantity.Length)
		t.lacks("spacing stands without length", t.like(`add length = "9 m", from the first post or wall to the last`))
	default:
		t.lacks("nothing says where the posts stand", t.like(`add length = "9 m" and spacing = "1.5 m", or posts = ["0 m", "1.4 m", "2.9 m"]`))
	}
	return nil
}

// postsExample is a list of posts as it is written.
const postsExample = `["0 m", "1.4 m", "2.9 m"]`

// readPostList reads the x of each post, that of a wall at an end among them.
func (t table) readPostList(what string) []float64 {
	values, ok := t.list("posts", postsExample)
	if !ok {
		return nil
	}
	path := t.at("posts")
	switch {
	case len(values) < 2:
		fix := "give at least two posts"
		if what == "place" {
			fix = "list the x of the wall too, as the first or the last place, and at least one post"
		}
		t.fault(path, "fewer than two "+what+"s make no bay", fix)
		return nil
	case len(values) > MaxPosts:
		t.fault(path, fmt.Sprintf("%d posts, at most %d are read", len(values), MaxPosts), "split the run over several files")
		return nil
	}
	posts := make([]float64, len(values))
	for i, value := range values {
		x, xOK := t.quantityAt(element(path, i), value, quantity.Length)
		posts[i] = x
		ok = ok && xOK
	}
	if !ok || !t.ascend(path, posts, what) {
		return nil
	}
	return posts
}

// ascend reports the places of a list that do not follow the one before.
func (t table) ascend(path string, places []float64, what string) bool {
	ok := true
	for i := 1; i < len(places); i++ {
		if places[i] > places[i-1]+slack {
			continue
		}
		ok = false
		fault := fmt.Sprintf("%s %d at %s does not stand beyond %s %d at %s", what, i+1, t.placeText(places[i]), what, i, t.placeText(places[i-1]))
		t.fault(element(path, i), fault, "list the "+what+"s in order from start to end, each once")
	}
	return ok
}

// readEqualBays divides the run into equal bays no longer than the spacing: each leg, and
// each stretch between gaps, for itself. A gap is one bay.
func (t table) readEqualBays(legs []legDraft, gaps []gapDraft) []float64 {
	length, lengthOK := endOf(legs), legs != nil
	if t.has("length") {
		length, lengthOK = t.positive("length", quantity.Length)
	}
	spacing, spacingOK := t.positive("spacing", quantity.Length)
	if !lengthOK || !spacingOK {
		return nil
	}
	ends, isGap, ok := t.divisions(length, legs, gaps)
	if !ok {
		return nil
	}
	posts := []float64{0}
	for i, to := range ends {
		from, bays := posts[len(posts)-1], 1.0
		if !isGap[i] {
			bays = math.Max(1, math.Ceil((to-from)/spacing-slack))
		}
		if float64(len(posts))+bays > MaxPosts {
			t.fault(t.at("spacing"), fmt.Sprintf("bays of %s on %s make more than %d posts", t.sizeText(spacing), t.placeText(length), MaxPosts),
				"write a larger spacing, or split the run over several files")
			return nil
		}
		for k := 1.0; k <= bays; k++ {
			posts = append(posts, from+(to-from)*k/bays)
		}
	}
	return posts
}

// checkSpacing reports posts that stand nearer than their tube is wide, to each other or,
// by half of that, to a wall. It returns the run, without posts where they cannot stand so.
func (r runDraft) checkSpacing(post postDraft) runDraft {
	if !r.known() || !post.ringOK {
		return r
	}
	od, supports := post.Ring.OD, r.Supports()
	for i := 1; i < len(supports); i++ {
		gap, least := supports[i]-supports[i-1], od
		wall := r.isWall(i-1, len(supports)) || r.isWall(i, len(supports))
		if wall {
			least = od / 2
		}
		if gap >= least-slack {
			continue
		}
		r.Posts = nil
		switch {
		case !r.has("posts"):
			r.tooNarrow(supports[i-1], supports[i], od)
			return r
		case wall:
			r.fault(element(r.at("posts"), i), fmt.Sprintf("a post stands %s from the wall, nearer than half its tube of %s", r.sizeText(gap), r.sizeText(od)),
				"move the post or take it out of the list")
		default:
			r.fault(element(r.at("posts"), i), fmt.Sprintf("posts %d and %d stand %s apart, nearer than their tube of %s is wide", r.postNumber(i-1), r.postNumber(i), r.sizeText(gap), r.sizeText(od)),
				"move the post or take it out of the list")
		}
	}
	return r
}

// tooNarrow reports that a bay is narrower than the tube of the posts: for a leg or a gap that
// leaves it no more, or for the spacing.
func (r runDraft) tooNarrow(from, to, od float64) {
	bay := to - from
	if leg := r.LegOf(to); r.has("legs") && len(r.Legs) > 0 && r.Legs[leg].To-r.Legs[leg].From < od-slack {
		r.fault(join(element(r.at("legs"), leg), "length"), fmt.Sprintf("leg %d has no room for its posts: it is %s long, and their tube is %s wide", leg+1, r.sizeText(bay), r.sizeText(od)),
			"write a longer leg, or leave it out")
		return
	}
	for i, g := range r.Gaps {
		switch {
		case g.From == from:
			r.fault(join(r.gapPaths[i], "to"), fmt.Sprintf("a gap of %s is narrower than the post's tube of %s", r.sizeText(bay), r.sizeText(od)), "write a wider one")
			return
		case g.To == from:
			r.fault(join(r.gapPaths[i], "to"), fmt.Sprintf("it ends %s before the next post, nearer than their tube of %s is wide", r.sizeText(bay), r.sizeText(od)), "end it at that post, or farther from it")
			return
		case g.From == to:
			r.fault(join(r.gapPaths[i], "from"), fmt.Sprintf("it begins %s behind the post before, nearer than their tube of %s is wide", r.sizeText(bay), r.sizeText(od)), "begin it at that post, or farther from it")
			return
		}
	}
	r.fault(r.at("spacing"), fmt.Sprintf("bays of %s are narrower than the post's tube of %s", r.sizeText(bay), r.sizeText(od)), "write a larger spacing")
}

// readToePlate reads "none" or height and gap.
func (t table) readToePlate() (plate ToePlate) {
	plate.State = ToePlateNotMentioned
	if _, isTable := t.values["toe_plate"].(map[string]any); !isTable {
		switch t.values["toe_plate"] {
		case nil:
		case "none":
			plate.State = NoToePlate
		default:
			t.fault(t.at("toe_plate"), "a toe plate is \"none\" or has height and gap", t.like(`write "none", or { height = "120 mm", gap = "10 mm" }`))
		}
		return plate
	}
	given, _ := t.child("toe_plate", toePlateTable)
	plate.State = ToePlateGiven
	if given.require("height", `"120 mm"`) {
		plate.Height, _ = given.positive("height", quantity.Length)
	}
	if !given.require("gap", `"10 mm"`) {
		return plate
	}
	gap, ok := given.quantity("gap", quantity.Length)
	if ok && gap < 0 {
		given.fault(given.at("gap"), "the gap is negative", t.like(`write the opening under the plate, "0 mm" for none`))
	}
	plate.Gap = gap
	if top := plate.Gap + plate.Height; top > mostToePlate {
		given.fault(given.at("height"), fmt.Sprintf("a toe plate does not reach %s above the walking surface", t.sizeText(top)),
			"write the height of the plate itself; what closes the openings between rails is [infill]")
	}
	return plate
}
