package barrier

import (
	"fmt"
	"math"

	"example.com/stanchion/internal/quantity"
)

// Earth is a post in the ground, with or without concrete round it.
type Earth struct {
	Depth       float64  // m, from the ground's surface to the end of what stands in it
	Width       float64  // m: the diameter of a round footing or post, the diagonal of a square one
	Square      bool     // it is square, and Width its diagonal
	Bearing     float64  // allowable lateral bearing per metre of depth, Pa/m, without Isolated
	Soil        *Soil    // whose it is; nil: the user's own value
	Isolated    bool     // an isolated pole that may move half an inch: it may be doubled, IBC 1806.3.4
	Constrained bool     // something rigid at the surface holds it sideways
	Ground      float64  // z of the ground's surface, m
	GroundAt    bool     // Ground was given; false: it is where the post is held
	Mass        *float64 // kg, of the footing, which holds it down; nil where not given
	// Concrete is how the post stands in the concrete of its footing; nil where the file does
	// not tell, and of a post without concrete.
	Concrete *Concrete
	Bare     bool // the post stands in the ground without concrete: it is as wide as its tube
}

// earthKeys are the keys of [post.base.earth].
func earthKeys() []knownKey {
	return read("depth", "diameter", "side", "bearing", "soil", "isolated", "constrained", "ground", "mass", "embedded", "strength")
}

// readEarth reads [post.base.earth] of a post.
func (t table) readEarth(p *postDraft) *Earth {
	b := &Earth{}
	t.readEarthSize(b, p)
	t.readFootingConcrete(b, p)
	t.readSoil(b)
	b.Isolated, _ = t.flag("isolated")
	b.Constrained, _ = t.flag("constrained")
	if !t.has("constrained") && !t.misspelt("constrained") {
		t.assume("Nothing at the surface of the ground holds a post sideways: constrained is not given and taken as false.")
	}
	b.Ground, b.GroundAt = t.quantity("ground", quantity.Length)
	if !t.has("ground") && !t.misspelt("ground") {
		t.assume("The surface of the ground is where the posts are held: post.base.earth.ground is not given.")
	}
	if v, ok := t.positive("mass", quantity.Mass); ok {
		b.Mass = &v
	}
	return b
}

// readEarthSize reads how deep and how wide the footing is.
func (t table) readEarthSize(b *Earth, p *postDraft) {
	if t.require("depth", `"900 mm"`) {
		b.Depth, _ = t.positive("depth", quantity.Length)
	}
	key := "diameter"
	switch {
	case t.has("diameter") && t.has("side"):
		t.faultOfKey(t.at("side"), "diameter and side are both given", "write diameter for a round footing or post, or side for a square footing")
		return
	case t.has("side"):
		key = "side"
	case t.absent("diameter") && !t.misspelt("side"):
		t.lacks("nothing says how wide the footing is", "add "+t.like(`diameter = "300 mm"`)+", or side for a square footing; of a post without concrete it is the tube's diameter")
		return
	}
	v, ok := t.positive(key, quantity.Length)
	if !ok {
		return
	}
	if p.ringOK && v < p.Ring.OD-slack {
		t.fault(t.at(key), fmt.Sprintf("the footing is %s wide, and the tube in it %s", t.sizeText(v), t.sizeText(p.Ring.OD)), "write the width of the footing, no less than the diameter of the tube")
		return
	}
	b.Width, b.Square = v, key == "side"
	if b.Square {
		b.Width = math.Sqrt2 * v
	}
	if b.Depth > 0 && b.Depth < v {
		t.fault(t.at("depth"), fmt.Sprintf("the footing reaches %s into the ground and is %s wide: it is no pole", t.sizeText(b.Depth), t.sizeText(v)), "write a depth that is more than the width; a shallow footing is checked elsewhere")
	}
}

// readFootingConcrete reads how the post stands in the concrete of its footing.
func (t table) readFootingConcrete(b *Earth, p *postDraft) {
	if !p.ringOK || b.Width == 0 {
		return
	}
	least := b.Width // of the footing, m
	if b.Square {
		least /= math.Sqrt2
	}
	b.Bare = least < p.Ring.OD+slack
	embedded, ok := t.positive("embedded", quantity.Length)
	strength := t.tested("strength", quantity.Pressure)
	for _, key := range []string{"embedded", "strength"} {
		if b.Bare && t.has(key) {
			t.faultOfKey(t.at(key), "the footing is as wide as the tube: there is no concrete round it", "leave it out, or write how wide the concrete is")
			return
		}
	}
	switch {
	case !t.has("embedded"):
		if t.has("strength") && !t.misspelt("embedded") {
			t.faultOfKey(t.at("strength"), "the concrete has a strength and nothing says how deep the post stands in it", "add "+t.like(`embedded = "300 mm"`))
		}
		return
	case !ok:
		return
	case embedded < p.Ring.OD:
		t.fault(t.at("embedded"), fmt.Sprintf("the post stands %s deep in its concrete, less than its own diameter, %s", t.sizeText(embedded), t.sizeText(p.Ring.OD)), "write how deep the tube reaches into the concrete: some 3 to 6 diameters are usual")
	case b.Depth > 0 && embedded > b.Depth+slack:
		t.fault(t.at("embedded"), fmt.Sprintf("the post reaches %s into a footing of %s", t.sizeText(embedded), t.sizeText(b.Depth)), "write how deep the tube reaches into the concrete, no more than depth")
	}
	if strength != nil && *strength > mostConcrete {
		t.fault(t.at("strength"), "no concrete bears "+t.stressText(*strength), "write strength = "+t.like(`"25 MPa"`)+", or what the concrete has")
	}
	cover := (least - p.Ring.OD) / 2
	b.Concrete = &Concrete{Depth: embedded, Width: p.Ring.OD, Strength: strength, Alpha: 1, Cover: &cover}
}

// readSoil reads what the ground bears, by its class or as the user's own value.
func (t table) readSoil(b *Earth) {
	const own = `bearing = "31.4 kPa/m"`
	var names []string
	for _, soil := range Soils() {
		names = append(names, soil.Name)
	}
	switch {
	case t.has("soil") && t.has("bearing"):
		t.faultOfKey(t.at("bearing"), "soil and bearing are both given", "write the class of the soil, or its allowable lateral bearing per depth, and not both")
	case t.has("soil"):
		word, ok := t.word("soil", names, nil)
		for _, soil := range Soils() {
			if ok && soil.Name == word {
				b.Soil, b.Bearing = &soil, soil.Bearing
			}
		}
	case t.has("bearing"):
		b.Bearing, _ = t.positive("bearing", quantity.PressurePerDepth)
	case !t.misspelt("soil") && !t.misspelt("bearing"):
		t.lacks("nothing says what the ground bears sideways", "add "+t.like(own)+", the allowable lateral bearing per depth, or soil = "+oneOf(names))
	}
}
