package barrier

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/internal/quantity"
)

// Counterweight is a weighted foot that stands freely on a surface. Distances are measured
// along the surface from the axis of the post, outward and along the run positive.
type Counterweight struct {
	Weights  []Weight
	Outward  float64   // m from the axis to the edge about which it tips outward
	Inward   float64   // m to the edge about which it tips inward
	Along    float64   // m to the edges about which it tips along the run, either way
	Slope    float64   // rad, by which the surface falls outward; negative: inward
	Friction *Friction // nil where nothing is known of it
	// Arm is the moment that the arm or plate under the post was tested to carry, N·m; nil
	// where not given.
	Arm          *float64
	Values       TestedAs // what that is; empty where nothing was given
	ValuesFactor float64  // characteristic values are divided by it; 1 for the others
}

// Weight is one counterweight.
type Weight struct {
	Mass    float64 // kg
	Outward float64 // m from the axis of the post to its centre, along the surface
	Along   float64 // m likewise along the run
	Height  float64 // m of its centre above the surface
}

// Friction is how a weighted foot holds against sliding.
type Friction struct {
	Coefficient  float64  // as given or as listed; a plain number
	Contact      *Contact // whose it is; nil: the user's own
	Place        Place    // where a listed one counts
	Values       TestedAs // what the user's own is
	ValuesFactor float64  // a characteristic one is divided by it; 1 for the others
}

// Place is where a weighted foot stands, by which listed friction is capped.
type Place string

// The places.
const (
	Indoors  Place = "indoors"
	Outdoors Place = "outdoors"
	Frost    Place = "frost" // outdoors where frost, ice or snow may lie
)

// counterweightKeys are the keys of [post.base.counterweight].
func counterweightKeys() []knownKey {
	return read("weights", "outward", "inward", "along", "slope", "friction", "arm_moment", "values", "values_factor")
}

// weightKeys are the keys of a counterweight.
func weightKeys() []knownKey { return read("mass", "outward", "along", "height") }

// frictionKeys are the keys of a friction.
func frictionKeys() []knownKey { return read("contact", "place", "value", "values", "values_factor") }

const (
	mostWeights  = 50
	mostFriction = 1.2                // above it a coefficient is a slip of the pen
	mostSlope    = 45 * math.Pi / 180 // rad, steeper than anything stands on by its weight
)

// readCounterweight reads [post.base.counterweight] of a post.
func (t table) readCounterweight(*postDraft) *Counterweight {
	b := &Counterweight{}
	for _, edge := range []struct {
		key, example string
		to           *float64
	}{{"outward", `"200 mm"`, &b.Outward}, {"inward", `"900 mm"`, &b.Inward}, {"along", `"200 mm"`, &b.Along}} {
		if t.require(edge.key, edge.example) {
			*edge.to, _ = t.positive(edge.key, quantity.Length)
		}
	}
	if t.has("slope") {
		slope, ok := t.quantity("slope", quantity.Angle)
		switch {
		case ok && math.Abs(slope) > mostSlope:
			t.fault(t.at("slope"), "nothing stands by its weight on a slope of this size", `write how far the surface falls outward, such as slope = "5 deg"; one that falls inward is negative`)
		case ok:
			b.Slope = slope
		}
	} else if !t.misspelt("slope") {
		t.assume("The surface under the counterweights is level: slope is not given.")
	}
	t.readWeights(b)
	t.readFriction(b)
	b.Arm = t.tested("arm_moment", quantity.Moment)
	b.Values, b.ValuesFactor = t.readValues("arm_moment")
	return b
}

// readWeights reads the counterweights.
func (t table) readWeights(b *Counterweight) {
	const example = `[{ mass = "25 kg", outward = "-700 mm" }]`
	if !t.require("weights", example) {
		return
	}
	whole := true
	for _, w := range t.children("weights", weightTable, mostWeights) {
		weight, ok := w.readWeight(b)
		whole = whole && ok
		b.Weights = append(b.Weights, weight)
	}
	switch {
	case len(b.Weights) == 0 && whole:
		t.fault(t.at("weights"), "there is no weight in the list", "write weights = "+t.like(example))
	case whole && b.Outward > 0 && b.Inward > 0 && !slices.ContainsFunc(b.Weights, func(w Weight) bool { return w.Outward < b.Outward && w.Outward > -b.Inward }):
		t.fault(t.at("weights"), "every weight stands beyond the edges of the foot: none holds it down", "write outward of each weight from the axis of the post, negative for inward, and the edges so that they enclose it")
	}
}

// readWeight reads one counterweight.
func (t table) readWeight(b *Counterweight) (w Weight, ok bool) {
	if t.require("mass", `"25 kg"`) {
		w.Mass, ok = t.positive("mass", quantity.Mass)
	}
	if !t.has("outward") {
		ok = false
		if !t.misspelt("outward") {
			t.lacks("nothing says on which side the weight stands", "add "+t.like(`outward = "-700 mm"`)+", from the axis of the post to its centre, outward positive")
		}
	}
	for _, e := range []struct {
		key string
		to  *float64
	}{{"outward", &w.Outward}, {"along", &w.Along}, {"height", &w.Height}} {
		if t.has(e.key) {
			v, good := t.quantity(e.key, quantity.Length)
			*e.to, ok = v, ok && good
		}
	}
	switch {
	case w.Height < 0:
		t.fault(t.at("height"), "the weight hangs below the surface", "write the height of its centre above the surface")
		ok = false
	case b.Slope != 0 && !t.has("height") && !t.misspelt("height"):
		t.lacks("the surface slopes and the height of the weight is not given", "add "+t.like(`height = "120 mm"`)+", of its centre above the surface: on a slope it stands further out by it")
		ok = false
	}
	return w, ok
}

// readFriction reads how the foot holds against sliding: a listed contact or the user's own
// coefficient.
func (t table) readFriction(b *Counterweight) {
	if !t.has("friction") {
		return
	}
	const example = `friction = { contact = "rubber mat", place = "outdoors" }, or { value = 0.4, values = "design" }`
	if _, isTable := t.values["friction"].(map[string]any); !isTable {
		t.fault(t.at("friction"), "a table is wanted, this is "+kindOf(t.values["friction"]), "write "+example+": a coefficient says what it is")
		return
	}
	f, ok := t.child("friction", frictionTable)
	if !ok {
		return
	}
	out := &Friction{ValuesFactor: 1}
	switch {
	case f.has("contact") && f.has("value"):
		f.faultOfKey(f.at("value"), "contact and value are both given", "write a contact of the table, or a coefficient of your own, and not both")
	case f.has("contact"):
		f.readContact(out)
	case f.has("value"):
		f.readOwnFriction(out)
	case !f.misspelt("contact") && !f.misspelt("value"):
		f.lacks("nothing says what the friction is", "write "+example)
	}
	b.Friction = out
}

// readContact reads a listed pair of surfaces and where it stands.
func (t table) readContact(out *Friction) {
	var names []string
	for _, c := range Contacts() {
		names = append(names, c.Name)
	}
	word, ok := t.word("contact", names, nil)
	for _, c := range Contacts() {
		if ok && c.Name == word {
			out.Contact, out.Coefficient = &c, c.Coefficient
		}
	}
	for _, key := range []string{"values", "values_factor"} {
		if t.has(key) {
			t.faultOfKey(t.at(key), "a listed friction is dry and indicative, and reduced as such", "leave it out, or give value in place of contact")
		}
	}
	places := []string{string(Indoors), string(Outdoors), string(Frost)}
	if t.absent("place") {
		t.lacks("nothing says where the foot stands, by which a listed friction is capped", "add place = "+oneOf(places))
		return
	}
	place, _ := t.word("place", places, nil)
	out.Place = Place(place)
}

// readOwnFriction reads the user's own coefficient.
func (t table) readOwnFriction(out *Friction) {
	if t.has("place") {
		t.faultOfKey(t.at("place"), "a coefficient of your own is not capped by place", "leave it out, and give the coefficient of the worst weather")
	}
	out.Values, out.ValuesFactor = t.readValues("value")
	v, ok := t.number("value", "0.4")
	switch {
	case !ok:
	case v <= 0:
		t.fault(t.at("value"), "a coefficient of friction is more than 0", "write value = 0.4, or leave friction out where it is not known")
	case v > mostFriction:
		t.fault(t.at("value"), fmt.Sprintf("a coefficient of friction above %.1f is a slip", mostFriction), "write the tested coefficient, such as value = 0.4")
	default:
		out.Coefficient = v
	}
}
