package barrier

import (
	"math"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// testedKeys are the keys of the tested values of a fitting.
func testedKeys() []string {
	return []string{"slip_force", "slip_moment", "moment_resistance", "transverse_force"}
}

// readFitting reads [fitting], [fitting.corner] and [fitting.brace]; all of it may be left
// out. Rails and post are read before.
func (t table) readFitting(run runDraft, rails []railDraft, post postDraft) {
	fitting, ok := t.child("fitting", fittingTable)
	if !ok && t.has("fitting") {
		return
	}
	f := &t.def.Fitting
	f.Moment, f.ValuesFactor, f.Brace.ValuesFactor = Joint{Kind: FreeJoint}, 1, 1
	if !fitting.has("moment") {
		t.assume(`Fittings pass forces and no moment: fitting.moment is not given and taken as "free".`)
	}
	if !fitting.has("offset") {
		t.assume("The rails meet the posts axis on axis: fitting.offset is not given and taken as %s.", quantity.Size(0))
	}
	if !fitting.has("mass") {
		t.assume("Fittings weigh nothing: fitting.mass is not given.")
	}
	if ok {
		f.Moment = fitting.readMoment()
		f.Offset = fitting.readOffset()
		f.Mass = fitting.readMass()
		f.Tested = fitting.readTested()
		fitting.readClass(f, run, rails, post)
		f.Screw = fitting.readScrew()
		f.Brace = fitting.readBraceFitting(t.has("brace"))
	}
	f.Corner = t.readCorner(fitting, run, f.Mass)
}

// readCorner reads [fitting.corner], what is known of the fittings at corners; mass is that
// of the other fittings, kg.
func (t table) readCorner(fitting table, run runDraft, mass float64) CornerFitting {
	corner := CornerFitting{Moment: Joint{Kind: FreeJoint}, Mass: mass, Tested: Tested{ValuesFactor: 1}}
	given, ok := fitting.child("corner", cornerTable)
	switch {
	case !ok && fitting.has("corner"):
		return corner
	case ok && run.known() && len(run.Legs) < 2:
		t.faultOfKey(given.path, "the run has no corner", "leave [fitting.corner] out, or write run.legs")
		return corner
	case len(run.Legs) < 2 && !ok:
		return corner
	}
	if !given.has("moment") {
		t.assume(`Corner fittings pass forces and no moment: fitting.corner.moment is not given and taken as "free".`)
	}
	if mass > 0 && !given.has("mass") {
		t.assume("A corner fitting weighs what any other does: fitting.corner.mass is not given.")
	}
	if !ok {
		return corner
	}
	corner.Moment = given.readMoment()
	if given.has("mass") {
		corner.Mass = given.readMass()
	}
	corner.Tested = given.readTested()
	return corner
}

// mostOffset is the distance, m, beyond which an offset is a slip: no fitting reaches so
// far.
const mostOffset = 0.5

// readOffset reads the distance from the axis of the post to those of the rails, m,
// positive where the rails run outward of the posts.
func (t table) readOffset() float64 {
	v, ok := t.quantity("offset", quantity.Length)
	if ok && math.Abs(v) > mostOffset {
		t.fault(t.at("offset"), "no fitting holds a rail "+t.sizeText(math.Abs(v))+" beside its post",
			"write the distance between the two axes, positive where the rails run outward of the posts, at most "+t.sizeText(mostOffset))
		return 0
	}
	return v
}

// readMass reads the mass of one fitting, kg.
func (t table) readMass() float64 {
	v, ok := t.quantity("mass", quantity.Mass)
	if ok && v < 0 {
		t.fault(t.at("mass"), "the mass is negative", "write the mass of one fitting, or leave it out")
		return 0
	}
	return v
}

// tested reads a tested value; nil where none could be read.
func (t table) tested(key string, d quantity.Dimension) *float64 {
	if v, ok := t.positive(key, d); ok {
		return &v
	}
	return nil
}

// readTested reads the tested values of a fitting.
func (t table) readTested() Tested {
	v := Tested{
		SlipForce:        t.tested("slip_force", quantity.Force),
		SlipMoment:       t.tested("slip_moment", quantity.Moment),
		MomentResistance: t.tested("moment_resistance", quantity.Moment),
		TransverseForce:  t.tested("transverse_force", quantity.Force),
	}
	if !t.has("class") { // of a coupler, which has values of its own
		v.Values, v.ValuesFactor = t.readValues(testedKeys()...)
	}
	return v
}

// readClass reads the class of the couplers that join rails and posts, in place of tested values.
func (t table) readClass(f *Fitting, run runDraft, rails []railDraft, post postDraft) {
	const key = "class"
	coupler := t.readCoupler(key, testedKeys(), RightAngleCoupler, SwivelCoupler)
	if coupler == nil {
		return
	}
	f.Tested = coupler.tested()
	if post.ringOK {
		t.checkCoupledTube(key, "the post", &post.Member)
	}
	for _, rail := range rails {
		if rail.ringOK {
			t.checkCoupledTube(key, "rail "+quote(rail.Name), &rail.Member)
		}
	}
	if coupler.Kind == RightAngleCoupler && run.known() && slices.ContainsFunc(run.legs(), func(l Leg) bool { return l.Pitch != 0 }) {
		t.fault(t.at(key), "a right-angle coupler joins tubes that cross square, and the rails climb", "write a class of swivel coupler")
	}
	t.checkStiffness(coupler, f.Moment)
	if f.Offset == 0 {
		t.caution("The tubes of a coupler pass beside each other, %s or more from axis to axis, and here the rails meet the posts axis on axis: give fitting.offset.", quantity.Size(couplerOD))
	}
}

// readBraceFitting reads [fitting.brace], what is known of the fitting that joins a brace to
// its post.
func (t table) readBraceFitting(braced bool) BraceFitting {
	none := BraceFitting{Tested: Tested{ValuesFactor: 1}}
	given, ok := t.child("brace", braceFittingTable)
	if !ok {
		return none
	}
	if !braced {
		t.faultOfKey(given.path, "the barrier has no brace", "leave [fitting.brace] out, or write [[brace]]")
		return none
	}
	tested := []string{"slip_force", "transverse_force"}
	if coupler := given.readCoupler("class", tested, SwivelCoupler); coupler != nil {
		return BraceFitting{Tested: coupler.tested()}
	}
	v := Tested{SlipForce: given.tested("slip_force", quantity.Force), TransverseForce: given.tested("transverse_force", quantity.Force)}
	if !given.has("class") {
		v.Values, v.ValuesFactor = given.readValues(tested...)
	}
	return BraceFitting{Tested: v}
}

// readValues reads what the tested values of some keys are, and the factor to divide them by.
func (t table) readValues(tested ...string) (values TestedAs, factor float64) {
	if !t.hasAny(tested...) {
		for _, key := range []string{"values", "values_factor"} {
			if t.has(key) {
				t.faultOfKey(t.at(key), key+" is given and no tested value is", "leave it out, or give "+strings.Join(tested, ", "))
				break
			}
		}
		return "", 1
	}
	if t.absent("values") {
		t.lacks("tested values are given and nothing says what they are", `add values = "characteristic" with values_factor, "design" or "working"`)
		return "", 1
	}
	values, ok := t.word("values", []string{Characteristic, Design, Working}, nil)
	if !ok {
		return "", 1
	}
	if values != Working && t.def.Basis == loads.BasisASD {
		t.fault(t.at("values"), "a "+values+" value is compared with factored actions, and AISC-ASD has none",
			`write values = "working" and the values that the test report allows under actions without a factor`)
		return "", 1
	}
	return values, t.readValuesFactor(values)
}

// readValuesFactor reads the partial factor by which characteristic values are divided; 1
// for others.
func (t table) readValuesFactor(values TestedAs) float64 {
	switch {
	case values == Characteristic && t.misspelt("values_factor"):
		return 1
	case values == Characteristic && !t.has("values_factor"):
		t.fault(t.at("values"), "characteristic values need the factor to divide them by", "add values_factor = 1.5, or what the test report says")
		return 1
	case values != Characteristic && t.has("values_factor"):
		t.faultOfKey(t.at("values_factor"), values+" values are not divided by a factor", `leave it out, or write values = "characteristic"`)
		return 1
	case values != Characteristic:
		return 1
	}
	path := t.at("values_factor")
	factor, ok := t.number("values_factor", "1.5")
	switch {
	case !ok:
	case !(factor >= 1 && factor <= 10):
		t.fault(path, "a factor from 1 to 10 is wanted", "write the number to divide by, such as values_factor = 1.5")
	default:
		return factor
	}
	return 1
}
