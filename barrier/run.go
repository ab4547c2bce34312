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
	posts []float64 // m; nil where they could not be read
}

// length is the distance between the end posts, m.
func (r runDraft) length() float64 { return r.posts[len(r.posts)-1] - r.posts[0] }

// readRun reads [run].
func (t table) readRun() runDraft {
	run, ok := t.child("run", runTable)
	if !ok {
		if t.absent("run") {
			t.missing("[run] is missing", "add [run] with length = \"9 m\" and spacing = \"1.5 m\"")
		}
		return runDraft{}
	}
	posts := run.readPosts()
	t.def.Run.Hazard = "left"
	t.assume(`The hazard is on the left, walking from start to end: run.hazard is taken as "left".`)
	run.readEnd("start")
	run.readEnd("end")
	run.readToePlate()
	return runDraft{run, posts}
}

// readPosts reads where the posts stand: posts, or length with spacing.
func (t table) readPosts() []float64 {
	switch {
	case t.has("posts") && t.hasAny("length", "spacing"):
		other := "length"
		if !t.has(other) {
			other = "spacing"
		}
		t.faultOfKey(t.at(other), "posts and "+other+" exclude each other", "keep posts, or length with spacing")
		return nil
	case t.has("posts"):
		return t.readPostList()
	case t.has("length") && t.has("spacing"):
		return t.readEqualBays()
	case t.has("legs") || slices.ContainsFunc([]string{"length", "spacing", "posts"}, t.misspelt):
		return nil
	case t.has("length"):
		t.positive("length", quantity.Length)
		t.lacks("length stands without spacing", "add spacing = \"1.5 m\", the widest bay wanted")
	case t.has("spacing"):
		t.positive("spacing", quantity.Length)
		t.lacks("spacing stands without length", "add length = \"9 m\", from the first post to the last")
	default:
		t.lacks("nothing says where the posts stand", "add length = \"9 m\" and spacing = \"1.5 m\", or posts = [\"0 m\", \"1.4 m\", \"2.9 m\"]")
	}
	return nil
}

// readPostList reads the x of each post.
func (t table) readPostList() []float64 {
	values, ok := t.list("posts", `["0 m", "1.4 m", "2.9 m"]`)
	if !ok {
		return nil
	}
	path := t.at("posts")
	switch {
	case len(values) < 2:
		t.fault(path, "fewer than two posts make no bay", "give at least two posts")
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
	if !ok || !t.ascend(path, posts, "post") {
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
		fault := fmt.Sprintf("%s %d at %s does not stand beyond %s %d at %s", what, i+1, metres(places[i]), what, i, metres(places[i-1]))
		t.fault(element(path, i), fault, "list the "+what+"s in order from start to end, each once")
	}
	return ok
}

// readEqualBays divides the length into equal bays no longer than the spacing.
func (t table) readEqualBays() []float64 {
	length, lengthOK := t.positive("length", quantity.Length)
	spacing, spacingOK := t.positive("spacing", quantity.Length)
	if !lengthOK || !spacingOK {
		return nil
	}
	bays := math.Max(1, math.Ceil(length/spacing-slack))
	if bays+1 > MaxPosts {
		t.fault(t.at("spacing"), fmt.Sprintf("bays of %s on %s make more than %d posts", lengthText(spacing), metres(length), MaxPosts),
			"write a larger spacing, or split the run over several files")
		return nil
	}
	posts := make([]float64, int(bays)+1)
	for i := range posts {
		posts[i] = length * float64(i) / bays
	}
	return posts
}

// checkSpacing reports posts that stand nearer than their tube is wide. It returns the
// run, without posts where they cannot stand so.
func (r runDraft) checkSpacing(post postDraft) runDraft {
	if r.posts == nil || !post.ringOK {
		return r
	}
	od, posts := post.Ring.OD, r.posts
	for i := 1; i < len(posts); i++ {
		gap := posts[i] - posts[i-1]
		if gap >= od-slack {
			continue
		}
		r.posts = nil
		if !r.has("posts") {
			r.fault(r.at("spacing"), fmt.Sprintf("bays of %s are narrower than the post's tube of %s", lengthText(gap), lengthText(od)), "write a larger spacing")
			break
		}
		r.fault(element(r.at("posts"), i), fmt.Sprintf("posts %d and %d stand %s apart, nearer than their tube of %s is wide", i, i+1, lengthText(gap), lengthText(od)),
			"move the post or take it out of the list")
	}
	return r
}

// readEnd reads how the run starts or ends.
func (t table) readEnd(key string) {
	if values, isTable := t.values[key].(map[string]any); isTable {
		what, fix := "a table is wanted only for a wall, which is not supported yet", `write "free": the rails end at the end post`
		if kind, ok := values["kind"].(string); !ok || kind == "wall" {
			what = "a wall is not supported yet"
		}
		t.fault(t.at(key), what, fix)
		return
	}
	t.word(key, []string{"free"}, []string{"wall"})
	if !t.has(key) {
		t.assume(`The rails are free at the %s of the run: run.%s is not given and taken as "free".`, key, key)
	}
}

// readToePlate reads "none" or height and gap.
func (t table) readToePlate() {
	plate := &t.def.Run.ToePlate
	plate.State = ToePlateNotMentioned
	if _, isTable := t.values["toe_plate"].(map[string]any); !isTable {
		switch t.values["toe_plate"] {
		case nil:
		case "none":
			plate.State = NoToePlate
		default:
			t.fault(t.at("toe_plate"), "a toe plate is \"none\" or has height and gap", `write "none", or { height = "120 mm", gap = "10 mm" }`)
		}
		return
	}
	given, _ := t.child("toe_plate", toePlateTable)
	plate.State = ToePlateGiven
	if given.require("height", `"120 mm"`) {
		plate.Height, _ = given.positive("height", quantity.Length)
	}
	if !given.require("gap", `"10 mm"`) {
		return
	}
	gap, ok := given.quantity("gap", quantity.Length)
	if ok && gap < 0 {
		given.fault(given.at("gap"), "the gap is negative", `write the opening under the plate, "0 mm" for none`)
	}
	plate.Gap = gap
}
