package barrier

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// Anchors are the bolts of a foot: what they are, what they resist, and how they are judged.
type Anchors struct {
	Bolt  *sections.Bolt      // size; nil where the file does not tell
	Class *sections.BoltClass // nil where the file does not tell

	// What a bolt resists, governing of all modes, and what the group does, N; nil where not
	// given.
	Tension, Shear           *float64
	GroupTension, GroupShear *float64
	Values                   TestedAs // empty when nothing was given
	ValuesFactor             float64  // characteristic values are divided by it; 1 for the others

	Interaction InteractionRule
	Weight      bool    // the compression in the post relieves the bolts
	Stretch     float64 // length over which a bolt stretches, m; 0 where not given
}

// Bolts returns the bolts of the foot, none of a kind that has none.
func (b *Base) Bolts() []*Anchors {
	switch {
	case b.Flange != nil:
		return []*Anchors{&b.Flange.Anchors}
	case b.Bracket != nil:
		return []*Anchors{&b.Bracket.Anchors}
	}
	return nil
}

// InteractionRule is how tension and shear of a bolt go together.
type InteractionRule string

// The rules of interaction.
const (
	LinearSum   InteractionRule = "linear" // N/NR + V/VR, at most 1
	PowerSum    InteractionRule = "1.5"    // (N/NR)^1.5 + (V/VR)^1.5, at most 1
	LinearTo120 InteractionRule = "1.2"    // N/NR + V/VR, at most 1.2, each at most 1
)

// anchorKeys are the keys of Anchors in the table of a foot.
func anchorKeys() []string {
	return []string{"bolt", "class", "tension", "shear", "group_tension", "group_shear", "values", "values_factor", "interaction", "weight", "stretch"}
}

// readAnchors reads them.
func (t table) readAnchors() Anchors {
	a := Anchors{
		Tension: t.tested("tension", quantity.Force), Shear: t.tested("shear", quantity.Force),
		GroupTension: t.tested("group_tension", quantity.Force), GroupShear: t.tested("group_shear", quantity.Force),
		Interaction: LinearSum,
	}
	a.Values, a.ValuesFactor = t.readValues("tension", "shear", "group_tension", "group_shear")
	if word, ok := t.word("interaction", []string{string(LinearSum), string(PowerSum), string(LinearTo120)}, nil); ok {
		a.Interaction = InteractionRule(word)
		if !t.has("tension") || !t.has("shear") {
			t.faultOfKey(t.at("interaction"), "interaction goes by the resistances of one bolt, and not both are given", "give tension and shear, or leave interaction out")
		}
	}
	if word, ok := t.word("weight", []string{"ignored", "counted"}, nil); ok {
		a.Weight = word == "counted"
	}
	a.Stretch, _ = t.positive("stretch", quantity.Length)
	a.Bolt = t.readBolt()
	a.Class = t.readBoltClass()
	if t.has("class") && t.absent("bolt") {
		t.fault(t.at("class"), "a class is given, and no size of bolt", `add bolt = `+t.like(`"M12"`)+`, or leave class out`)
	}
	t.checkSteel(&a)
	return a
}

// checkSteel reports resistances of one bolt above what its steel breaks at, which no mode is above: fub As of
// EN 1993-1-8 Table 3.4, or Fnt Ab of AISC 360 J3.7, without a partial factor.
func (t table) checkSteel(a *Anchors) {
	const rounding = 1.02 // of resistances printed in whole kN: a rule of this program
	if a.Bolt == nil || a.Class == nil {
		return
	}
	steel := math.Max(a.Class.Fub*a.Bolt.StressArea, a.Class.Fnt*a.Bolt.Area())
	for _, given := range []struct {
		key   string
		value *float64
	}{{"tension", a.Tension}, {"shear", a.Shear}} {
		if given.value != nil && *given.value > rounding*steel {
			t.fault(t.at(given.key), fmt.Sprintf("one bolt %s of class %s breaks at %s", a.Bolt.Name, a.Class.Name, quantity.Format(steel, quantity.Force, t.def.Units)),
				"write what one bolt resists, at most that: of all modes the least")
		}
	}
}

// readBolt reads the size of the bolts.
func (t table) readBolt() *sections.Bolt {
	name, ok := t.text("bolt", "M12")
	if !ok || t.isTooLong(t.at("bolt"), name) {
		return nil
	}
	bolt, near, ok := sections.FindBolt(name)
	if !ok {
		t.fault(t.at("bolt"), "no bolt is called "+quote(name), suggestion(near, t.like(`write a size such as "M12"`)))
		return nil
	}
	return &bolt
}

// readBoltClass reads the class of the bolts, which must be one of the codes of the basis.
func (t table) readBoltClass() *sections.BoltClass {
	name, ok := t.text("class", "8.8")
	if !ok || t.isTooLong(t.at("class"), name) {
		return nil
	}
	basis := "EN"
	switch {
	case t.isAISC():
		basis = "AISC"
	case t.def.Basis == "": // faulted where it is read
		return nil
	case t.def.Basis != loads.BasisEN:
		t.fault(t.at("class"), fmt.Sprintf("the strength of bolt steel under basis %s is not carried", t.def.Basis), "leave class out: tension and shear are the user's, governing of all modes, the steel of the bolt among them")
		return nil
	}
	class, near, ok := sections.FindBoltClass(name, basis)
	if !ok {
		var names []string
		for _, c := range sections.BoltClasses() {
			if c.Basis == basis {
				names = append(names, c.Name)
			}
		}
		t.fault(t.at("class"), fmt.Sprintf("no class of bolt is called %s under basis %s", quote(name), t.def.Basis), suggestion(near, "write "+oneOf(names)))
		return nil
	}
	return &class
}

// sayAnchors lists what is taken of the bolts.
func (t table) sayAnchors(a *Anchors) {
	if !a.Weight {
		t.assume("The compression in the posts does not relieve the bolts of a foot; uplift pulls them.")
	}
	if a.Class == nil && a.Tension != nil {
		t.assume("The steel of the bolts is among the modes of which the given resistance is the governing one: no class of bolt is given.")
	}
	if a.Tension != nil {
		t.caution("The resistances of the anchors are the user's: steel, concrete cone, pull-out, splitting and blow-out in tension, steel (with its lever arm), pry-out and concrete edge in shear must be among the modes of which they are the governing ones.")
	}
}

// axialStiffness returns E A / L of one bolt, N/m. E is 200 GPa, the least of the standards for
// bolts of steel; A is the tensile stress area.
func (a *Anchors) axialStiffness() float64 {
	const e = 200e9
	return e * a.Bolt.StressArea / a.Stretch
}

// fixingFix says what to give for the stiffness of a foot from its bolts.
func (t table) fixingFix(a *Anchors, where string) string {
	var lacking []string
	if a.Bolt == nil {
		lacking = append(lacking, `bolt = `+t.like(`"M12"`))
	}
	if a.Stretch == 0 {
		lacking = append(lacking, `stretch = `+t.like(`"80 mm"`)+", the length over which a bolt stretches")
	}
	if len(lacking) == 0 {
		return ""
	}
	return "add " + strings.Join(lacking, " and ") + ", to [post.base." + where + "]"
}

// places are points on the plane of the bolts, m.
type places [][2]float64

// nearest returns the least distance between two of them, m, and which; +Inf for fewer than two.
func (p places) nearest() (distance float64, i, j int) {
	distance = math.Inf(1)
	for a := range p {
		for b := a + 1; b < len(p); b++ {
			if d := math.Hypot(p[a][0]-p[b][0], p[a][1]-p[b][1]); d < distance {
				distance, i, j = d, a, b
			}
		}
	}
	return distance, i, j
}

// checkOverlap reports bolts whose holes overlap, and cautions of those nearer than 2.2 hole
// diameters, the least spacing of EN 1993-1-8 Table 3.3 (from memory). Without a size only bolts
// at one place overlap.
func (t table) checkOverlap(key string, p places, bolt *sections.Bolt) {
	distance, i, j := p.nearest()
	const onePlace = 1e-3 // m
	hole := onePlace
	if bolt != nil {
		hole = bolt.Hole
	}
	switch {
	case distance < hole:
		what := fmt.Sprintf("bolts %d and %d overlap: they stand %s apart", i+1, j+1, t.sizeText(distance))
		if bolt != nil {
			what += ", and the hole of " + bolt.Name + " is " + t.sizeText(hole)
		}
		t.fault(t.at(key), what, "set them further apart, 2.2 hole diameters at least, or give fewer or smaller bolts")
	case bolt != nil && distance < 2.2*hole-slack:
		t.caution("Bolts of the foot stand %s apart, less than 2.2 hole diameters, %s (EN 1993-1-8 Table 3.3, from memory).", quantity.Size(distance), quantity.Size(2.2*hole))
	}
}
