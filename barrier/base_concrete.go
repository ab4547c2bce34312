package barrier

import (
	"fmt"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// Concrete is a post set in concrete, whose face is where the post is held.
type Concrete struct {
	Depth    float64  // m, from the face to the end of the post
	Width    float64  // m, on which the post bears: its diameter or less
	Strength *float64 // Pa, specified or characteristic cylinder strength; nil where not given
	Alpha    float64  // αcc of EN 1992-1-1 on it
	Stress   *float64 // Pa, the user's own design value of the bearing stress; nil where not given; under AISC-ASD allowable
	Cover    *float64 // m of concrete between the tube and the nearest edge; nil where not given
	Elastic  bool     // it is judged under linear pressure as well as under two blocks
}

// concreteKeys are the keys of [post.base.socket].
func concreteKeys() []knownKey {
	return read("depth", "width", "strength", "alpha_cc", "stress", "cover", "pressure")
}

// The distributions of pressure along a post in concrete.
const (
	twoBlocks       = "two blocks"
	elasticPressure = "elastic"
)

// mostConcrete is the strength, Pa, above which a concrete is none that EN 1992-1-1 has.
const mostConcrete = 105e6

// readConcrete reads [post.base.socket] of a post.
func (t table) readConcrete(p *postDraft) *Concrete {
	b := &Concrete{Alpha: 1}
	if t.require("depth", `"200 mm"`) {
		b.Depth, _ = t.positive("depth", quantity.Length)
		if p.ringOK && b.Depth > 0 && b.Depth < p.Ring.OD {
			t.fault(t.at("depth"), fmt.Sprintf("the post stands %s deep in the concrete, less than its own diameter, %s", t.sizeText(b.Depth), t.sizeText(p.Ring.OD)), "write how deep the tube reaches below the face: some 3 to 6 diameters are usual")
		}
	}
	t.readBearingWidth(b, p)
	b.Strength = t.tested("strength", quantity.Pressure)
	b.Stress = t.tested("stress", quantity.Pressure)
	for _, given := range []struct {
		key string
		v   *float64
	}{{"strength", b.Strength}, {"stress", b.Stress}} {
		if given.v != nil && *given.v > mostConcrete {
			t.fault(t.at(given.key), "no concrete bears "+t.stressText(*given.v), "write "+given.key+" = "+t.like(`"25 MPa"`)+", or what the concrete has")
		}
	}
	if t.has("strength") && t.has("stress") {
		t.faultOfKey(t.at("stress"), "strength and stress are both given", "write strength for the concrete's own, or stress for a bearing stress that is a design value, and not both")
	}
	if b.Stress != nil && t.def.Basis == loads.BasisASD {
		t.assume("post.base.socket.stress is an allowable bearing stress: under AISC-ASD it is compared with actions without a factor.")
	}
	t.readAlpha(b)
	t.readCover(b)
	word, _ := t.word("pressure", []string{twoBlocks, elasticPressure}, nil)
	b.Elastic = word == elasticPressure
	return b
}

// readBearingWidth reads the width on which the post bears: by default its diameter.
func (t table) readBearingWidth(b *Concrete, p *postDraft) {
	if !t.has("width") {
		b.Width = p.Ring.OD
		if p.ringOK && !t.misspelt("width") {
			t.assume("A post bears on its concrete over its whole diameter: post.base.socket.width is not given and taken as %s.", quantity.Size(b.Width))
		}
		return
	}
	b.Width, _ = t.positive("width", quantity.Length)
	if p.ringOK && b.Width > p.Ring.OD+slack {
		t.fault(t.at("width"), fmt.Sprintf("the post bears on %s, and its diameter is %s", t.sizeText(b.Width), t.sizeText(p.Ring.OD)), "write a width up to the diameter of the tube, or leave it out")
	}
}

// readAlpha reads αcc, which EN 1992-1-1 alone has.
func (t table) readAlpha(b *Concrete) {
	v, ok := t.number("alpha_cc", "0.85")
	switch {
	case t.has("alpha_cc") && t.def.Basis != loads.BasisEN:
		t.faultOfKey(t.at("alpha_cc"), "basis "+string(t.def.Basis)+" has no αcc", "leave it out")
	case t.has("alpha_cc") && t.has("stress"):
		t.faultOfKey(t.at("alpha_cc"), "αcc is a factor on the strength of concrete, and a stress is given", "leave it out")
	case ok && !(v >= 0.8 && v <= 1):
		t.fault(t.at("alpha_cc"), "αcc lies between 0.8 and 1.0", "write alpha_cc = 0.85, or what the national annex says")
	case ok:
		b.Alpha = v
	case t.def.Basis == loads.BasisEN && t.has("strength") && !t.has("alpha_cc") && !t.misspelt("alpha_cc"):
		t.assume("αcc of the concrete is 1.00, the recommended value of EN 1992-1-1 3.1.6: alpha_cc is not given.")
	}
}

// readCover reads the concrete between the tube and the nearest edge.
func (t table) readCover(b *Concrete) {
	cover, ok := t.quantity("cover", quantity.Length)
	switch {
	case !ok:
	case cover <= 0:
		t.fault(t.at("cover"), "the tube stands out of the concrete: its cover is "+t.sizeText(cover), "write the concrete between the tube and the nearest edge, such as cover = "+t.like(`"120 mm"`))
	default:
		b.Cover = &cover
	}
}
