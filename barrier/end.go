package barrier

import (
	"fmt"
	"strconv"

	"example.com/stanchion/internal/quantity"
)

// rotationWords are the axes of End.Rotation in their order.
func rotationWords() []string { return []string{"run", "outward", "up"} }

// readEnd reads how the run starts or ends: "free", "wall", or a table. ok is false where
// that is not known.
func (t table) readEnd(key string) (end End, ok bool) {
	switch t.values[key].(type) {
	case nil:
		t.assume(`The rails are free at the %s of the run: run.%s is not given and taken as "free".`, key, key)
		return End{}, !t.misspelt(key)
	case map[string]any:
		return t.readLongEnd(key)
	}
	word, ok := t.word(key, []string{"free", "wall"}, nil)
	return End{Wall: word == "wall"}, ok
}

// readLongEnd reads { kind, along, rotation }.
func (t table) readLongEnd(key string) (end End, ok bool) {
	given, _ := t.child(key, endTable)
	if !given.require("kind", `"wall"`) {
		return End{}, false
	}
	kind, ok := given.word("kind", []string{"wall", "free"}, nil)
	if !ok {
		return End{}, false
	}
	if kind == "free" {
		for _, wallOnly := range endTable.names()[1:] {
			if given.has(wallOnly) {
				given.faultOfKey(given.at(wallOnly), wallOnly+" belongs to a wall, and this end is free", `leave it out, or write kind = "wall"`)
			}
		}
		return End{}, true
	}
	along, _ := given.word("along", []string{"held", "free"}, nil)
	end = End{Wall: true, AlongHeld: along == "held", Rotation: given.readRotation()}
	end.Fixing = given.readWallFixing(end)
	return end, true
}

// readWallFixing reads what the fixing of a rail in a wall resists.
func (t table) readWallFixing(end End) WallFixing {
	v := WallFixing{Pull: t.tested("pull", quantity.Force), Shear: t.tested("shear", quantity.Force), Moment: t.tested("moment", quantity.Moment)}
	v.Values, v.ValuesFactor = t.readValues("pull", "shear", "moment")
	if v.Values == "" {
		return WallFixing{}
	}
	if v.Pull != nil && !end.AlongHeld && !t.misspelt("along") {
		t.faultOfKey(t.at("pull"), "the wall does not hold the rails along the run, so nothing pulls at it", `leave it out, or write along = "held"`)
	}
	if v.Moment != nil && end.Rotation == [3]bool{} && !t.misspelt("rotation") {
		t.faultOfKey(t.at("moment"), "the wall lets the rails turn about every axis, so it takes no moment", `leave it out, or write rotation = "held", or a list of axes`)
	}
	return v
}

// readRotation reads which rotations a wall holds: "free", "held" for all, or a list.
func (t table) readRotation() (held [3]bool) {
	values, isList := t.values["rotation"].([]any)
	if !isList {
		if word, _ := t.word("rotation", []string{"free", "held"}, nil); word == "held" {
			return [3]bool{true, true, true}
		}
		return held
	}
	words := rotationWords()
	for i, value := range values {
		path := element(t.at("rotation"), i)
		word, isText := value.(string)
		if !isText {
			t.fault(path, "an axis in quotes is wanted, this is "+kindOf(value), "write "+oneOf(words))
			continue
		}
		if what, fix := choice(word, words, nil); what != "" {
			t.fault(path, what, fix)
			continue
		}
		for axis, name := range words {
			held[axis] = held[axis] || name == word
		}
	}
	return held
}

// sayWall records where a wall stands and what it holds.
func (r runDraft) sayWall(key string, end End) {
	place := map[string]string{"start": "the first place of run.posts", "end": "the last place of run.posts"}[key]
	if r.has("legs") && !r.has("posts") {
		place = map[string]string{"start": "from which the first leg counts", "end": "to which the last leg counts"}[key]
	} else if !r.has("posts") {
		place = map[string]string{"start": "from which run.length counts", "end": "to which run.length counts"}[key]
	}
	holds := "across the run and vertically"
	switch sloped := r.PitchAt(end.X) != 0; {
	case sloped && end.AlongHeld:
		holds = "across the run, along the slope and square to it"
	case sloped:
		holds = "across the run and square to the slope"
	case end.AlongHeld:
		holds = "across the run, along it and vertically"
	}
	said := ""
	given, _ := r.values[key].(map[string]any)
	var missing []string
	for _, k := range []string{"along", "rotation"} {
		if _, ok := given[k]; !ok {
			missing = append(missing, k)
		}
	}
	switch len(missing) {
	case 1:
		said = "; " + missing[0] + ` is not given and taken as "free"`
	case 2:
		said = `; along and rotation are not given and taken as "free"`
	}
	r.assume("The rails end in a wall at the %s of the run, x = %s, %s; no post stands there. The wall holds the ends of the rails %s, and %s%s.",
		key, quantity.Place(end.X), place, holds, end.turning(), said)
}

// turning says about which axes a wall lets the rails turn.
func (e End) turning() string {
	var about []string
	for axis, held := range e.Rotation {
		if held {
			about = append(about, rotationWords()[axis])
		}
	}
	switch len(about) {
	case 0:
		return "lets them turn about every axis"
	case 1:
		return "stops them turning about the axis " + about[0]
	case 2:
		return "stops them turning about the axes " + about[0] + " and " + about[1]
	}
	return "stops them turning about every axis"
}

// readOverhang reads by how much the rails run past the end posts: one length for both
// ends, or a list of two.
func (r *runDraft) readOverhang() {
	value, given := r.values["overhang"]
	path := r.at("overhang")
	ends := [2]End{r.Start, r.End}
	switch values, isList := value.([]any); {
	case !given:
		if (!r.Start.Wall || !r.End.Wall) && !r.misspelt("overhang") {
			r.assume("The rails end at the axis of the end post: run.overhang is not given and taken as %s.", quantity.Size(0))
		}
	case isList && len(values) != 2:
		r.fault(path, fmt.Sprintf("an overhang has two lengths, this list has %d", len(values)), r.like(`write that at the start and that at the end, such as ["0 mm", "200 mm"]`))
	case isList:
		for i, v := range values {
			at := element(path, i)
			if length, ok := r.overhangAt(at, v); ok && ends[i].Wall && length > 0 {
				r.fault(at, "the rails end in a wall at the "+EndNames()[i]+" of the run and do not run past it", r.like(`write "0 mm" there`))
			} else if ok {
				r.Overhang[i] = length
			}
		}
	default:
		r.readOneOverhang(path, value, ends)
	}
}

// EndNames names the two ends of a run.
func EndNames() [2]string { return [2]string{"start", "end"} }

// readOneOverhang reads one length for both ends, none of which may be a wall.
func (r *runDraft) readOneOverhang(path string, value any, ends [2]End) {
	length, ok := r.overhangAt(path, value)
	switch {
	case !ok:
	case length == 0 || !ends[0].Wall && !ends[1].Wall:
		r.Overhang = [2]float64{length, length}
	case ends[0].Wall && ends[1].Wall:
		r.fault(path, "the rails end in walls and do not run past them", "leave it out")
	default:
		wall, fix := 0, r.like(`["0 mm", "%s"]`)
		if ends[1].Wall {
			wall, fix = 1, r.like(`["%s", "0 mm"]`)
		}
		r.fault(path, "the rails end in a wall at the "+EndNames()[wall]+" of the run and do not run past it",
			"write overhang = "+fmt.Sprintf(fix, value))
	}
}

// leastOverhang is the length, m, below which an overhang is none: the rail ends within its
// fitting. A member of a few millimetres is so stiff beside the rest that the answer loses
// the digits that prove it.
const leastOverhang = 0.02

// overhangAt reads one overhang, m.
func (r *runDraft) overhangAt(path string, value any) (float64, bool) {
	length, ok := r.quantityAt(path, value, quantity.Length)
	if ok && length < 0 {
		r.fault(path, "the overhang is negative", r.like(`write how far the rails run past the end post, "0 mm" for not at all`))
		return 0, false
	}
	if ok && length > 0 && length < leastOverhang-printed {
		r.fault(path, "an overhang of "+r.sizeText(length)+" is none: the rail ends within its fitting", r.like(`write "0 mm", or `)+strconv.Quote(r.sizeText(leastOverhang))+" or more")
		return 0, false
	}
	return length, ok
}

// cautionLongOverhangs cautions of an overhang longer than the bay beside it: it can be
// built and is worked out as it stands, and is more often a slip.
func (r *runDraft) cautionLongOverhangs() {
	s := r.Supports()
	for i, bay := range [2]float64{s[1] - s[0], s[len(s)-1] - s[len(s)-2]} {
		if r.Overhang[i] > bay+slack {
			r.caution("The overhang of %s at the %s of the run is longer than the bay beside it, %s: see that it is meant.",
				quantity.Place(r.Overhang[i]), EndNames()[i], quantity.Place(bay))
		}
	}
}
