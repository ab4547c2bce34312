package barrier

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/solver"
)

// leastLeg is the length of a leg, m, below which no tube has room in it.
const leastLeg = 0.02

// What a leg may be, rad. Steeper than mostPitch is a ladder; a turn of less than leastTurn is
// a slip or none, and one of more than mostTurn folds the run back on itself.
const (
	mostPitch = 60 * math.Pi / 180
	leastTurn = 1 * math.Pi / 180
	mostTurn  = 150 * math.Pi / 180
)

// legDraft is a leg as far as it could be read, its ends counted from the start of the first.
type legDraft struct {
	table
	Leg
	pitchOK bool
}

// endOf returns where the last leg ends, m from the start of the first; 0 for no legs.
func endOf(legs []legDraft) float64 {
	if len(legs) == 0 {
		return 0
	}
	return legs[len(legs)-1].To
}

// readLegs reads legs, or the one pitch of a run without. ok is false where there is a fault;
// there are no legs then. A straight level run has none.
func (t table) readLegs() (legs []legDraft, ok bool) {
	if !t.has("legs") {
		pitch, ok := t.readPitch()
		if pitch != 0 {
			legs = []legDraft{{Leg: Leg{Pitch: pitch}}}
		}
		return legs, ok && !t.misspelt("legs")
	}
	ok = true
	if t.has("pitch") {
		t.faultOfKey(t.at("pitch"), "the pitch of a run with legs is that of each leg", t.like(`write it in the leg, as in { length = "3 m", turn = "90 deg", pitch = "32 deg" }`))
		ok = false
	}
	tables := t.children("legs", legTable, MaxLegs)
	if len(tables) == 0 {
		if values, isList := t.values["legs"].([]any); isList && len(values) == 0 {
			t.fault(t.at("legs"), "the list of legs is empty", t.like(`write a leg for each straight part of the run, such as [{ length = "6 m" }, { length = "3 m", turn = "90 deg" }]`))
		}
		return nil, false
	}
	from := 0.0
	for i, given := range tables {
		leg, legOK := given.readLeg(i, legs)
		leg.From, leg.To = from, from+leg.To
		from = leg.To
		legs = append(legs, leg)
		ok = ok && legOK
	}
	if !ok || !t.checkCrossings(legs) {
		return nil, false
	}
	return legs, true
}

// readLeg reads one leg, from 0 to its length.
func (t table) readLeg(i int, before []legDraft) (leg legDraft, ok bool) {
	leg.table = t
	if t.require("length", `"3 m"`) {
		leg.To, ok = t.positive("length", quantity.Length)
		if ok && leg.To < leastLeg-printed {
			t.fault(t.at("length"), fmt.Sprintf("a leg of %s has no room for the posts at its ends", t.sizeText(leg.To)), "write its length from corner to corner, or leave it out")
			ok = false
		}
	}
	leg.Pitch, leg.pitchOK = t.readPitch()
	turnOK := t.readTurn(i, &leg, before)
	return leg, ok && leg.pitchOK && turnOK
}

// readPitch reads how steeply the walking surface rises, rad; 0 where the key is left out.
func (t table) readPitch() (float64, bool) {
	if !t.has("pitch") {
		return 0, !t.misspelt("pitch")
	}
	pitch, ok := t.quantity("pitch", quantity.Angle)
	if ok && math.Abs(pitch) > mostPitch+slack {
		t.fault(t.at("pitch"), "a pitch of "+angleText(pitch)+" is a ladder's", "write at most \"60 deg\", measured from the horizontal; it is negative where the run goes down")
		return 0, false
	}
	return pitch, ok
}

// readTurn reads by how much the run turns at the start of a leg.
func (t table) readTurn(i int, leg *legDraft, before []legDraft) bool {
	const which = `positive to the left, walking from start to end`
	switch {
	case i == 0 && t.has("turn"):
		t.faultOfKey(t.at("turn"), "the first leg turns from none", "leave it out: a turn stands in the leg that begins with it")
		return false
	case i == 0:
		return true
	case t.misspelt("turn"):
		return false
	case !t.has("turn"):
		t.lacks(fmt.Sprintf("leg %d does not say by how much it turns from leg %d", i+1, i), `add turn = "90 deg", `+which)
		return false
	}
	turn, ok := t.quantity("turn", quantity.Angle)
	if !ok {
		return false
	}
	path := t.at("turn")
	switch size := math.Abs(turn); {
	case turn == 0 && leg.pitchOK && before[i-1].pitchOK && math.Abs(leg.Pitch-before[i-1].Pitch) < leastTurn:
		t.fault(path, fmt.Sprintf("leg %d runs straight on from leg %d", i+1, i), "make one leg of the two, or write a turn or another pitch")
		return false
	case turn != 0 && size < leastTurn-slack:
		t.fault(path, "a turn of "+angleText(turn)+" is none", `write at least "1 deg", or make one leg of the two`)
		return false
	case size > mostTurn+slack:
		t.fault(path, "a turn of "+angleText(turn)+" folds the run back on itself", `write at most "150 deg", `+which+"; with a short leg between, two turns take the run back")
		return false
	}
	leg.Turn = turn
	return true
}

// angleText prints an angle, for a message: "75 deg".
func angleText(v float64) string {
	number := quantity.Fix(v*180/math.Pi, 2)
	return strings.TrimSuffix(strings.TrimRight(number, "0"), ".") + " deg"
}

// checkCrossings reports legs that cross or meet an earlier one in plan, but for the one before.
func (t table) checkCrossings(legs []legDraft) bool {
	run := Run{Legs: drafted(legs, 0)}
	ends := make([]solver.Vec, 0, len(legs)+1)
	for i, leg := range run.Legs {
		ends = append(ends, run.At(i, leg.From, 0, 0))
	}
	last := len(legs) - 1
	ends = append(ends, run.At(last, run.Legs[last].To, 0, 0))
	for j := range legs {
		for i := range j - 1 {
			if crosses(ends[i], ends[i+1], ends[j], ends[j+1]) {
				t.fault(element(t.at("legs"), j), fmt.Sprintf("leg %d crosses or meets leg %d in plan", j+1, i+1), "change a length or a turn, or split the run over several files")
				return false
			}
		}
	}
	return true
}

// crosses says whether two lines from a to b and from c to d have a point in common in plan.
func crosses(a, b, c, d solver.Vec) bool {
	side := func(a, b, p solver.Vec) float64 { // area, m²: positive to the left of a to b
		s := (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0])
		if math.Abs(s) < slack {
			return 0
		}
		return s
	}
	within := func(p, q, r, s float64) bool {
		return math.Min(p, q) <= math.Max(r, s)+slack && math.Min(r, s) <= math.Max(p, q)+slack
	}
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0 &&
		within(a[0], b[0], c[0], d[0]) && within(a[1], b[1], c[1], d[1])
}

// drafted returns the legs of drafts, the first from x.
func drafted(drafts []legDraft, x float64) []Leg {
	var legs []Leg
	for _, draft := range drafts {
		leg := draft.Leg
		leg.From, leg.To = leg.From+x, leg.To+x
		legs = append(legs, leg)
	}
	return legs
}

// setLegs gives the run its legs, each from corner to corner: the posts at corners are among
// the places. Places of posts that are off by less than is set out count as the corner.
func (r *runDraft) setLegs(places []float64, drafts []legDraft) {
	legs := drafted(drafts, places[0])
	switch {
	case !r.known() || legs == nil:
		return
	case !r.has("legs"):
		legs[0].To = places[len(places)-1]
	case r.has("legs") && !r.meetCorners(places, legs, drafts):
		r.Posts = nil
		return
	}
	if len(legs) > 1 || legs[0].Pitch != 0 {
		r.Legs = legs
	}
}

// meetCorners moves each corner to the post that is listed there, and reports every one
// where none is.
func (r *runDraft) meetCorners(places []float64, legs []Leg, drafts []legDraft) bool {
	last := len(legs) - 1
	end := places[len(places)-1]
	met := true
	for i := range legs[:last] {
		at := nearestOf(places, legs[i].To)
		if math.Abs(places[at]-legs[i].To) > cutting || at == 0 || at == len(places)-1 {
			what, fix := fmt.Sprintf("leg %d ends at %s, and no post is listed there", i+1, r.placeText(legs[i].To)), fmt.Sprintf("list %q in run.posts: a post stands at every corner", r.placeText(legs[i].To))
			beyond := legs[i].To > end-cutting
			if beyond {
				what = fmt.Sprintf("leg %d ends at %s, and the last place of run.posts is %s", i+1, r.placeText(legs[i].To), r.placeText(end))
				fix = "list the posts of every leg, their places measured along the run through the corners"
			}
			r.fault(drafts[i].at("length"), what, fix)
			if beyond {
				return false
			}
			met = false
			continue
		}
		legs[i].To, legs[i+1].From = places[at], places[at]
	}
	if !met {
		return false
	}
	if short := end - legs[last].To; math.Abs(short) > cutting {
		r.fault(drafts[last].at("length"), fmt.Sprintf("leg %d ends at %s, and the last place of run.posts is %s", last+1, r.placeText(legs[last].To), r.placeText(end)),
			r.lastLegFix(end, legs[last].From))
		return false
	}
	legs[last].To = end
	return true
}

// lastLegFix says what the length of the last leg would be.
func (r *runDraft) lastLegFix(end, from float64) string {
	if end <= from+cutting {
		return "list the posts of every leg, their places measured along the run through the corners"
	}
	return fmt.Sprintf("write length = %q, or list posts up to there", r.placeText(end-from))
}

// nearestOf returns the index of the place nearest to x.
func nearestOf(places []float64, x float64) int {
	i, _ := slices.BinarySearch(places, x)
	if i == len(places) || i > 0 && x-places[i-1] < places[i]-x {
		i--
	}
	return i
}

// sayPitch records which legs have a slope, and how lengths are measured there.
func (r *runDraft) sayPitch() {
	var level []string
	for i, leg := range r.Legs {
		switch {
		case leg.Pitch != 0 && len(r.Legs) == 1:
			r.assume("The run %s at %s: lengths along it are measured along the slope, heights plumb above the pitch line.", rises(leg.Pitch), quantity.Of(math.Abs(leg.Pitch), quantity.Angle))
		case leg.Pitch != 0:
			r.assume("Leg %d %s at %s: lengths along it are measured along the slope, heights plumb above the pitch line.", i+1, rises(leg.Pitch), quantity.Of(math.Abs(leg.Pitch), quantity.Angle))
		default:
			level = append(level, fmt.Sprint(i+1))
		}
	}
	switch {
	case len(level) == len(r.Legs):
	case len(level) == 1:
		r.assume("Leg %s is level.", level[0])
	case len(level) > 1:
		r.assume("Legs %s and %s are level.", strings.Join(level[:len(level)-1], ", "), level[len(level)-1])
	}
}

// rises says which way a slope goes.
func rises(pitch float64) string {
	if pitch < 0 {
		return "falls"
	}
	return "rises"
}
