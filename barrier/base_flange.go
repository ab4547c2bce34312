package barrier

import (
	"fmt"
	"math"
	"strconv"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// Flange is a flange on bolts, on top of what carries it. Its underside is at Base.Level, where
// the moment acts; the post stands at its middle.
type Flange struct {
	Anchors
	Bolts []BoltPlace // of a circle whose first bearing is not given, with the first outward
	// AnyBearing says that the bearing of the first bolt is not given: every direction counts.
	AnyBearing bool
	Circle     float64 // diameter of the bolt circle, m; 0 for other arrangements

	Diameter      float64    // of a round flange, m; 0 where not given
	Size          [2]float64 // of a rectangular one, m: outward and along the run; zero where not given
	Thickness, Fy float64    // m, Pa; 0 where not given
	ElasticPlate  bool       // the plate bends elastically

	Method   TensionMethod
	Bearing  float64 // of EdgeBearing: distance of the bearing edge from the axis, m
	Concrete float64 // of BearingBlock: stress on the concrete, Pa

	Prying      float64 // factor on the tension of the bolts; 1 for none
	PlatePrying bool    // prying is found from the plate
}

// BoltPlace is where a bolt stands, m from the axis of the post.
type BoltPlace struct{ Outward, Along float64 }

// TensionMethod is how the tension in the bolts of a flange is found.
type TensionMethod string

// The methods. The first is the larger of rotation about the bolt group and tension bolts
// against compression at the face of the tube.
const (
	LargerOfGroupAndTube TensionMethod = "larger of group and tube"
	EdgeBearing          TensionMethod = "edge"
	BearingBlock         TensionMethod = "block"
)

// mostBearing is the part of a flange's radius at which it may bear at most (engineering rule).
const mostBearing = 0.8

// flangeKeys are the keys of [post.base.flange].
func flangeKeys() []knownKey {
	return append(read("bolts", "circle", "turned", "rectangle", "at", "diameter", "size", "thickness", "fy", "bending", "method", "bearing", "concrete", "prying"), read(anchorKeys()...)...)
}

// readFlange reads [post.base.flange] of a post.
func (t table) readFlange(p *postDraft) *Flange {
	before := len(t.problems)
	f := &Flange{Anchors: t.readAnchors(), Prying: 1, Method: LargerOfGroupAndTube}
	key := t.readBoltPlaces(f)
	t.readOutline(f)
	t.readPlate(f)
	t.readMethod(f)
	t.readPrying(f)
	if len(t.problems) > before || len(f.Bolts) == 0 || !p.ringOK {
		return f
	}
	t.checkFlange(f, key, p.Ring.OD)
	t.sayAnchors(&f.Anchors)
	t.sayFlange(f)
	return f
}

// readBoltPlaces reads where the bolts stand, and returns the key that tells it.
func (t table) readBoltPlaces(f *Flange) (key string) {
	var given []string
	for _, k := range []string{"circle", "rectangle", "at"} {
		if t.has(k) {
			given = append(given, k)
		}
	}
	switch {
	case len(given) == 0 && !t.misspelt("circle") && !t.misspelt("rectangle") && !t.misspelt("at"):
		t.lacks("nothing says where the bolts stand", t.like(`add bolts = 4 and circle = "90 mm", the diameter through the bolts, or rectangle = ["120 mm", "80 mm"], outward and along the run`))
		return ""
	case len(given) == 0:
		return ""
	case len(given) > 1:
		t.faultOfKey(t.at(given[1]), "the bolts stand on "+given[0]+" already", "give one of circle, rectangle and at")
		return ""
	}
	if key = given[0]; key != "circle" && t.has("turned") {
		t.faultOfKey(t.at("turned"), "only a circle of bolts is turned", "leave it out, or give circle")
	}
	switch key {
	case "circle":
		t.readCircle(f)
	case "rectangle":
		t.readRectangle(f)
	case "at":
		t.readBoltList(f)
	}
	return key
}

// readNumberOfBolts reads how many bolts there are.
func (t table) readNumberOfBolts(least, most int) (int, bool) {
	n, ok := t.number("bolts", "4")
	if !ok {
		return 0, false
	}
	if n != math.Trunc(n) || n < float64(least) || n > float64(most) {
		fix := fmt.Sprintf("write a whole number from %d to %d", least, most)
		if least == most {
			fix = fmt.Sprintf("write bolts = %d, or leave it out", least)
		}
		t.fault(t.at("bolts"), "bolts = "+plain(n)+" does not fit this arrangement", fix)
		return 0, false
	}
	return int(n), true
}

// readCircle reads bolts on a circle.
func (t table) readCircle(f *Flange) {
	const mostBolts = 24
	t.require("bolts", "4")
	n, ok := t.readNumberOfBolts(2, mostBolts)
	diameter, diameterOK := t.positive("circle", quantity.Length)
	turned, turnedOK := t.quantity("turned", quantity.Angle)
	if !ok || !diameterOK || t.has("turned") && !turnedOK {
		return
	}
	f.Circle, f.AnyBearing = diameter, !t.has("turned") && !t.misspelt("turned")
	for i := range n {
		bearing := turned + 2*math.Pi*float64(i)/float64(n)
		f.Bolts = append(f.Bolts, BoltPlace{Outward: diameter / 2 * math.Cos(bearing), Along: diameter / 2 * math.Sin(bearing)})
	}
}

// readRectangle reads four bolts at the corners of a rectangle.
func (t table) readRectangle(f *Flange) {
	size, ok := t.pair("rectangle", `["120 mm", "80 mm"]`)
	if t.has("bolts") {
		if _, fits := t.readNumberOfBolts(4, 4); !fits {
			return
		}
	}
	if !ok {
		return
	}
	for _, sign := range [...][2]float64{{1, -1}, {1, 1}, {-1, 1}, {-1, -1}} {
		f.Bolts = append(f.Bolts, BoltPlace{Outward: sign[0] * size[0] / 2, Along: sign[1] * size[1] / 2})
	}
}

// readBoltList reads bolts one by one.
func (t table) readBoltList(f *Flange) {
	const mostBolts = 24
	const example = `[["45 mm", "0 mm"], ["-45 mm", "0 mm"]]`
	values, ok := t.list("at", example)
	if !ok {
		return
	}
	if len(values) < 2 || len(values) > mostBolts {
		t.fault(t.at("at"), fmt.Sprintf("a list of %d bolts", len(values)), fmt.Sprintf("list from 2 to %d bolts, each outward and along the run from the axis of the post", mostBolts))
		return
	}
	if n, ok := t.number("bolts", "4"); ok && n != float64(len(values)) {
		t.fault(t.at("bolts"), fmt.Sprintf("bolts = %s, and at lists %d", plain(n), len(values)), "leave bolts out, or list as many")
		return
	}
	var bolts []BoltPlace
	for i, value := range values {
		path := element(t.at("at"), i)
		each, isList := value.([]any)
		if !isList || len(each) != 2 {
			t.fault(path, "a bolt has two distances from the axis of the post", "write "+t.like(`["45 mm", "0 mm"]`)+", outward and along the run, negative the other way")
			continue
		}
		outward, outwardOK := t.quantityAt(element(path, 0), each[0], quantity.Length)
		along, alongOK := t.quantityAt(element(path, 1), each[1], quantity.Length)
		if outwardOK && alongOK {
			bolts = append(bolts, BoltPlace{Outward: outward, Along: along})
		}
	}
	if len(bolts) == len(values) {
		f.Bolts = bolts
	}
}

// pair reads a list of two lengths of more than nothing.
func (t table) pair(key, example string) (out [2]float64, ok bool) {
	values, given := t.list(key, example)
	if !given {
		return out, false
	}
	if len(values) != 2 {
		t.fault(t.at(key), fmt.Sprintf("two lengths are wanted, this list has %d", len(values)), "write "+key+" = "+t.like(example)+", outward and along the run")
		return out, false
	}
	ok = true
	for i, value := range values {
		path := element(t.at(key), i)
		v, read := t.quantityAt(path, value, quantity.Length)
		out[i] = v
		ok = ok && read && t.isPositive(path, v, quantity.Length)
	}
	return out, ok
}

// readOutline reads the outline of the flange.
func (t table) readOutline(f *Flange) {
	if t.has("diameter") && t.has("size") {
		t.faultOfKey(t.at("size"), "the flange is round already: diameter is given", "give diameter or size")
		return
	}
	f.Diameter, _ = t.positive("diameter", quantity.Length)
	f.Size, _ = t.pair("size", `["160 mm", "120 mm"]`)
}

// readPlate reads what the flange bends by.
func (t table) readPlate(f *Flange) {
	f.Thickness, _ = t.positive("thickness", quantity.Length)
	f.Fy, _ = t.positive("fy", quantity.Pressure)
	switch {
	case t.has("thickness") && t.absent("fy"):
		t.fault(t.at("thickness"), "the flange has a thickness and no strength", "add fy = "+t.like(`"235 MPa"`)+", the yield strength of its plate, or leave thickness out")
	case t.has("fy") && t.absent("thickness"):
		t.fault(t.at("fy"), "the flange has a strength and no thickness", "add thickness = "+t.like(`"10 mm"`)+", or leave fy out")
	case t.has("thickness") && t.def.Basis != "" && t.def.Basis != loads.BasisEN && !t.isAISC():
		t.fault(t.at("thickness"), fmt.Sprintf("the bending of a flange under basis %s is not carried", t.def.Basis), "leave thickness and fy out, and have the flange checked elsewhere")
	}
	if word, ok := t.word("bending", []string{"plastic", "elastic"}, nil); ok {
		f.ElasticPlate = word == "elastic"
		if t.absent("thickness") {
			t.faultOfKey(t.at("bending"), "nothing says how thick the flange is", "add thickness and fy, or leave bending out")
		}
	}
}

// readMethod reads how the tension in the bolts is found.
func (t table) readMethod(f *Flange) {
	word, ok := t.word("method", []string{"default", string(EdgeBearing), string(BearingBlock)}, nil)
	if ok && word != "default" {
		f.Method = TensionMethod(word)
	}
	described := f.Diameter > 0 || f.Size[0] > 0
	if f.Method != LargerOfGroupAndTube && !described && !t.misspelt("diameter") && !t.misspelt("size") {
		t.fault(t.at("method"), "nothing says how large the flange is", "add diameter, or size for a rectangular one, or leave method out")
	}
	switch {
	case f.Method != EdgeBearing && t.has("bearing"):
		t.faultOfKey(t.at("bearing"), "the flange bears at its edge only by request", `add method = "edge", or leave bearing out`)
	case f.Method == EdgeBearing && described:
		t.readBearing(f)
	}
	if f.AnyBearing && f.Weight {
		t.fault(t.at("weight"), "what weight relieves goes by where the bolts stand, and nothing says how their circle is turned", `add turned = "45 deg", the bearing of the first bolt from outward`)
	}
	if f.Method != BearingBlock {
		if t.has("concrete") {
			t.faultOfKey(t.at("concrete"), "the stress on the concrete is of the method of the bearing block", `add method = "block", or leave concrete out`)
		}
		return
	}
	if t.require("concrete", `"10 MPa"`) {
		f.Concrete, _ = t.positive("concrete", quantity.Pressure)
	}
	if f.AnyBearing && len(f.Bolts) > 0 {
		t.fault(t.at("method"), "the method of the bearing block goes by where the bolts stand, and nothing says how their circle is turned", `add turned = "45 deg", the bearing of the first bolt from outward`)
	}
}

// radius returns half the diameter of the flange, or half its shorter side, m; 0 where neither
// is given.
func (f *Flange) radius() float64 {
	if f.Diameter > 0 {
		return f.Diameter / 2
	}
	return math.Min(f.Size[0], f.Size[1]) / 2
}

// readBearing reads where the flange bears at its edge.
func (t table) readBearing(f *Flange) {
	most := mostBearing * f.radius()
	f.Bearing = most
	if !t.has("bearing") {
		t.assume("The flange bears at %s from the axis of the post, 0.8 of its radius.", quantity.Size(most))
		return
	}
	bearing, ok := t.positive("bearing", quantity.Length)
	if ok && bearing > most+slack {
		t.fault(t.at("bearing"), fmt.Sprintf("a flange bears at no more than 0.8 of its radius, %s", t.sizeText(most)), "write a distance of the bearing edge from the axis of the post up to that")
	}
	f.Bearing = bearing
}

// readPrying reads a factor, or "plate" for prying by the plate's description.
func (t table) readPrying(f *Flange) {
	const fix = `write prying = 1.2, the factor on the tension of the bolts, or "plate" for what the plate's own bending brings`
	value, given := t.values["prying"]
	if word, isText := value.(string); isText {
		if word != "plate" {
			t.fault(t.at("prying"), "unknown word "+quote(word), fix)
			return
		}
		if f.PlatePrying = true; t.absent("thickness") || t.absent("diameter") && t.absent("size") {
			t.fault(t.at("prying"), "prying goes by the plate, and the plate is not described", "add thickness, fy and diameter or size, or write the factor, such as prying = 1.2")
		}
		return
	}
	if !given {
		return
	}
	factor, ok := t.numberAt(t.at("prying"), value, fix)
	switch {
	case !ok:
	case !(factor >= 1 && factor <= 5):
		t.fault(t.at("prying"), "a factor from 1 to 5 is wanted", fix)
	default:
		f.Prying = factor
	}
}

// places returns the bolts as points: outward, along.
func (f *Flange) places() places {
	var out places
	for _, b := range f.Bolts {
		out = append(out, [2]float64{b.Outward, b.Along})
	}
	return out
}

// checkFlange compares bolts, flange and tube of an outside diameter. Key tells the places of the
// bolts.
func (t table) checkFlange(f *Flange, key string, od float64) {
	t.checkOverlap(key, f.places(), f.Bolt)
	if t.checkOutline(f, od) {
		t.checkBoltPlaces(f, key, od)
	}
	if f.Method == LargerOfGroupAndTube || f.Method == EdgeBearing {
		t.checkHeld(f, key, f.Arm(od))
	}
}

// checkOutline reports a flange that is smaller than its tube.
func (t table) checkOutline(f *Flange, od float64) bool {
	key := "diameter"
	if f.Diameter == 0 {
		key = "size"
	}
	r := f.radius()
	if r == 0 || r > od/2+slack {
		return true
	}
	t.fault(t.at(key), fmt.Sprintf("the flange is smaller than the tube, %s outside", t.sizeText(od)), "write the outline of the flange, larger than the tube and its bolts")
	return false
}

// checkBoltPlaces reports bolts that stand in the tube or over the edge of the flange. Only the
// first is reported.
func (t table) checkBoltPlaces(f *Flange, key string, od float64) {
	bolt, hole := 0.0, 0.0
	if f.Bolt != nil {
		bolt, hole = f.Bolt.Diameter, f.Bolt.Hole
	}
	path := func(i int) string {
		if key == "at" {
			return element(t.at(key), i)
		}
		return t.at(key)
	}
	for i, b := range f.Bolts {
		r := math.Hypot(b.Outward, b.Along)
		if r-bolt/2 <= od/2+slack {
			t.fault(path(i), fmt.Sprintf("bolt %d stands %s from the axis of the post, within the tube, %s outside", i+1, t.sizeText(r), t.sizeText(od)), "write places outside the tube, with room for the nut")
			return
		}
		if f.radius() > 0 && f.EdgeDistance(i) < hole/2+slack {
			t.fault(path(i), fmt.Sprintf("bolt %d stands outside the flange or in its edge", i+1), "write a larger flange, or places further in: its hole must lie within the flange")
			return
		}
	}
	if f.radius() == 0 {
		return
	}
	least := math.Inf(1)
	for i := range f.Bolts {
		least = math.Min(least, f.EdgeDistance(i))
	}
	if hole > 0 && least < 1.2*hole-slack {
		t.caution("Bolts of the foot stand %s from the edge of the flange, less than 1.2 hole diameters, %s (EN 1993-1-8 Table 3.3, from memory).", quantity.Size(least), quantity.Size(1.2*hole))
	}
}

// EdgeDistance returns the distance of a bolt from the nearest edge of the flange, m; negative
// outside it.
func (f *Flange) EdgeDistance(i int) float64 {
	b := f.Bolts[i]
	if f.Diameter > 0 {
		return f.Diameter/2 - math.Hypot(b.Outward, b.Along)
	}
	return math.Min(f.Size[0]/2-math.Abs(b.Outward), f.Size[1]/2-math.Abs(b.Along))
}

// Arm returns how far from the axis of a post of an outside diameter the flange is taken to bear
// when it tilts, m: at the face of the tube, or at its edge by request.
func (f *Flange) Arm(od float64) float64 {
	if f.Method == EdgeBearing {
		return f.Bearing
	}
	return od / 2
}

// checkHeld reports a direction in which no bolt holds the post: all stand beyond the line at
// which the flange bears.
func (t table) checkHeld(f *Flange, key string, arm float64) {
	const directions = 360
	least, at := math.Inf(1), 0
	for k := range directions {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / directions)
		held := math.Inf(-1)
		for _, b := range f.Bolts {
			held = math.Max(held, b.Outward*cos+b.Along*sin+arm)
		}
		if held < least-slack {
			least, at = held, k
		}
	}
	if least <= 0.1*arm {
		t.fault(t.at(key), fmt.Sprintf("no bolt holds the post when it is pulled up on the side of bearing %d deg", at), "set bolts on both sides of the post")
	}
}

// plain prints a number as a file gives it.
func plain(v float64) string { return strconv.FormatFloat(v, 'g', 9, 64) }

// sayFlange lists what is taken of the flange.
func (t table) sayFlange(f *Flange) {
	t.assume("The underside of the flange is where the post is held, post.base.level: the moment acts there. Packing or a kerb below it is not in it.")
	switch f.Method {
	case LargerOfGroupAndTube:
		t.assume("The tension in a bolt of a flange is the larger of that by rotation about the bolt group and that of tension bolts against compression at the face of the tube, in the direction of the moment.")
	case EdgeBearing:
		t.assume("The tension in a bolt of a flange is that of tension bolts against compression at the bearing edge, as asked.")
	case BearingBlock:
		t.assume("The tension in a bolt of a flange is that against a rectangular bearing block, as asked; a moment askew is shared between the axes of the flange with the concrete's stress, and of a round flange the inscribed square bears.")
	}
	if f.AnyBearing {
		t.assume("How the circle of bolts is turned is not given: the tension in a bolt is that of the worst direction of the moment.")
	}
	if f.Thickness == 0 {
		t.assume("The flange itself is not described by thickness and fy: its bending is covered only by the tested moment of its socket.")
	}
	if f.Thickness == 0 || !f.PlatePrying && f.Prying == 1 {
		t.caution("Prying is not counted: a thin flange raises the tension of the bolts by a tenth to four tenths; give prying.")
	}
}

// fixingStiffness returns the rotational stiffness that the bolts alone give the flange in the
// softest direction, N·m/rad: a rigid plate that bears at Arm tilts against bolts that stretch.
// Unit tilt v stretches bolt i by di = ri·v + arm and takes the moment G = Σ di (ri + arm v) E A/L;
// the tilt about the axis of that moment over its size gives the stiffness.
func (f *Flange) fixingStiffness(od float64) float64 {
	const directions = 720
	arm, softest := f.Arm(od), math.Inf(1)
	for k := range directions {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / directions)
		var g [2]float64
		for _, b := range f.Bolts {
			if d := b.Outward*cos + b.Along*sin + arm; d > 0 {
				g[0] += d * (b.Outward + arm*cos)
				g[1] += d * (b.Along + arm*sin)
			}
		}
		softest = math.Min(softest, (g[0]*g[0]+g[1]*g[1])/(g[0]*cos+g[1]*sin))
	}
	return softest * f.axialStiffness()
}
