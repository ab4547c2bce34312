package barrier

import (
	"math"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// readFitting reads [fitting]; all of it may be left out.
func (t table) readFitting() {
	fitting, ok := t.child("fitting", fittingTable)
	if !ok && t.has("fitting") {
		return
	}
	f := &t.def.Fitting
	f.Moment, f.ValuesFactor = Joint{Kind: FreeJoint}, 1
	if !fitting.has("moment") {
		t.assume(`Fittings pass forces and no moment: fitting.moment is not given and taken as "free".`)
	}
	if !fitting.has("offset") {
		t.assume("The rails meet the posts axis on axis: fitting.offset is not given and taken as %s.", quantity.Size(0))
	}
	if !fitting.has("mass") {
		t.assume("Fittings weigh nothing: fitting.mass is not given.")
	}
	if !ok {
		return
	}
	f.Moment = fitting.readMoment()
	f.Offset = fitting.readOffset()
	f.Mass = fitting.readMass()
	f.SlipForce = fitting.tested("slip_force", quantity.Force)
	f.SlipMoment = fitting.tested("slip_moment", quantity.Moment)
	f.MomentResistance = fitting.tested("moment_resistance", quantity.Moment)
	f.TransverseForce = fitting.tested("transverse_force", quantity.Force)
	fitting.readValues(f)
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

// readValues reads what the tested values are.
func (t table) readValues(f *Fitting) {
	tested := []string{"slip_force", "slip_moment", "moment_resistance", "transverse_force"}
	if !t.hasAny(tested...) {
		for _, key := range []string{"values", "values_factor"} {
			if t.has(key) {
				t.faultOfKey(t.at(key), key+" is given and no tested value is", "leave it out, or give "+strings.Join(tested, ", "))
				return
			}
		}
		return
	}
	if t.absent("values") {
		t.lacks("tested values are given and nothing says what they are", `add values = "characteristic" with values_factor, "design" or "working"`)
		return
	}
	values, ok := t.word("values", []string{Characteristic, Design, Working}, nil)
	if !ok {
		return
	}
	if values != Working && t.def.Basis == loads.BasisASD {
		t.fault(t.at("values"), "a "+values+" value is compared with factored actions, and AISC-ASD has none",
			`write values = "working" and the values that the test report allows under actions without a factor`)
		return
	}
	f.Values = values
	t.readValuesFactor(f)
}

// readValuesFactor reads the partial factor by which characteristic values are divided.
func (t table) readValuesFactor(f *Fitting) {
	switch {
	case f.Values == Characteristic && t.misspelt("values_factor"):
		return
	case f.Values == Characteristic && !t.has("values_factor"):
		t.fault(t.at("values"), "characteristic values need the factor to divide them by", "add values_factor = 1.5, or what the test report says")
		return
	case f.Values != Characteristic && t.has("values_factor"):
		t.faultOfKey(t.at("values_factor"), f.Values+" values are not divided by a factor", `leave it out, or write values = "characteristic"`)
		return
	case f.Values != Characteristic:
		return
	}
	path, value := t.at("values_factor"), t.values["values_factor"]
	factor, ok := number(value)
	switch {
	case !ok:
		t.fault(path, "a plain number is wanted, this is "+kindOf(value), "write values_factor = 1.5, without quotes")
	case !(factor >= 1 && factor <= 10):
		t.fault(path, "a factor from 1 to 10 is wanted", "write the number to divide by, such as values_factor = 1.5")
	default:
		f.ValuesFactor = factor
	}
}

// number returns a TOML number.
func number(value any) (float64, bool) {
	switch v := value.(type) {
	case int64:
		return float64(v), true
	case float64:
		return v, true
	}
	return 0, false
}
