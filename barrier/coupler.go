package barrier

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// CouplerKind is what an EN 74-1 coupler joins.
type CouplerKind string

// The kinds of coupler.
const (
	RightAngleCoupler CouplerKind = "right-angle" // two tubes that cross square
	SwivelCoupler     CouplerKind = "swivel"      // two tubes at any angle
	SleeveCoupler     CouplerKind = "sleeve"      // two tubes end to end
)

// Coupler is a class of coupler of EN 74-1 with the characteristic values of EN 12811-1
// Annex C. A nil value is not known here. It is never taken but by its name.
type Coupler struct {
	Name     string // "EN 74-1 right-angle B"
	Kind     CouplerKind
	Slip     *float64   // N, along either tube
	Pull     *float64   // N, that pulls the tubes apart
	Bending  *float64   // N·m, about the axis square to both tubes
	Rotation *float64   // N·m, twist about a tube
	Stiff    [3]float64 // N·m/rad about the rail's axis, outward and the post's axis; 0: not known here
	Sources  []string   // of each value, with its provenance
	// Provenance is the weakest of its values.
	Provenance string
}

// CouplerFactor is γM of couplers; EN 12811-1:2003 10.2.3.2, provenance: memory.
const CouplerFactor = 1.1

const (
	couplerOD   = 48.3e-3 // m, of the tubes of EN 74-1
	couplerWall = 3.2e-3  // m, the least nominal wall of EN 39 and EN 12811-1 (from memory)
	couplerFy   = 235e6   // Pa, of the tubes of EN 39 (from memory)
)

// couplers are the classes in the order of their table, read once.
var couplers = sync.OnceValue(func() []Coupler {
	var out []Coupler
	dimensions := map[string]quantity.Dimension{"kN": quantity.Force, "kNm": quantity.Moment, "kNm/rad": quantity.RotationalStiffness}
	for _, row := range tableRows("couplers.csv") {
		if len(out) == 0 || out[len(out)-1].Name != row["class"] {
			kind, _, _ := strings.Cut(strings.TrimPrefix(row["class"], "EN 74-1 "), " ")
			out = append(out, Coupler{Name: row["class"], Kind: CouplerKind(kind), Provenance: "public"})
		}
		v, err := quantity.Parse(row["value"]+" "+row["unit"], dimensions[row["unit"]])
		if err != nil {
			panic("barrier: couplers.csv: " + err.Error())
		}
		out[len(out)-1].take(row, v)
	}
	return out
})

// take notes one value of the class, SI, with its source.
func (c *Coupler) take(row map[string]string, v float64) {
	switch row["quantity"] {
	case "slip":
		c.Slip = &v
	case "pull":
		c.Pull = &v
	case "bending":
		c.Bending = &v
	case "rotation":
		c.Rotation = &v
	case "stiffness about rail":
		c.Stiff[0], c.Stiff[2] = v, v
	case "stiffness about outward":
		c.Stiff[1] = v
	default:
		panic("barrier: couplers.csv: " + row["quantity"])
	}
	c.Sources = append(c.Sources, fmt.Sprintf("%s %s %s %s: %s (%s)", c.Name, row["quantity"], row["value"], row["unit"], row["source"], row["provenance"]))
	if row["provenance"] != "public" {
		c.Provenance = row["provenance"]
	}
}

// couplerNames are the names of the classes of some kinds.
func couplerNames(kinds ...CouplerKind) []string {
	var names []string
	for _, c := range couplers() {
		if slices.Contains(kinds, c.Kind) {
			names = append(names, c.Name)
		}
	}
	return names
}

// readCoupler reads the class of a coupler under a key; nil for none. The values that a
// test gives, under other keys, exclude it.
func (t table) readCoupler(key string, tested []string, kinds ...CouplerKind) *Coupler {
	names := couplerNames(kinds...)
	name, ok := t.label(key, "class", names, "write "+oneOf(names))
	if !ok {
		return nil
	}
	for _, other := range append(slices.Clone(tested), "values", "values_factor") {
		if t.has(other) {
			t.faultOfKey(t.at(other), other+" is given beside the class of a coupler, which has values of its own", "leave it out, or leave "+key+" out and give every tested value")
			return nil
		}
	}
	if t.def.Basis != loads.BasisEN {
		t.fault(t.at(key), "couplers are checked by EN 12811-1, which goes with basis EN", "leave it out and give tested values, or write basis = \"EN\"")
		return nil
	}
	found := couplers()[slices.IndexFunc(couplers(), func(c Coupler) bool { return c.Name == name })]
	t.caution("%s is a coupler made and marked to EN 74-1, tightened to 50 Nm: its values are those of that standard's own product and hold of no slip-on fitting with set screws.", found.Name)
	return &found
}

// checkCoupledTube reports, at a key, a tube on which the values of a coupler do not hold.
func (t table) checkCoupledTube(key, what string, m *Member) {
	const fix = "use steel tube of 48.3 mm with a wall of 3.2 mm or more and fy of 235 MPa or more, or give tested values in place of the class"
	const close = 0.05e-3 // m
	switch {
	case m.Ring.OD == 0: // not read
	case math.Abs(m.Ring.OD-couplerOD) > close:
		t.fault(t.at(key), fmt.Sprintf("the values of EN 74-1 hold on tubes of 48.3 mm, %s has %s", what, t.sizeText(m.Ring.OD)), fix)
	case m.Nominal < couplerWall-1e-6:
		t.fault(t.at(key), fmt.Sprintf("the values of EN 74-1 hold on walls of %s or more, %s has %s", t.sizeText(couplerWall), what, t.sizeText(m.Nominal)), fix)
	case m.Grade.Material != "" && m.Grade.Material != sections.Steel:
		t.fault(t.at(key), fmt.Sprintf("the values of EN 74-1 are taken for carbon steel, %s is %s", what, m.Grade.Material), fix)
	case m.Grade.Fy > 0 && m.Grade.Fy < couplerFy-1:
		t.fault(t.at(key), fmt.Sprintf("the values of EN 74-1 hold on steel of 235 MPa or more, %s has %.0f MPa", what, m.Grade.Fy/1e6), fix)
	}
}

// tested returns the values of a coupler as those of a test are given.
func (c *Coupler) tested() Tested {
	return Tested{SlipForce: c.Slip, SlipMoment: c.Rotation, MomentResistance: c.Bending, TransverseForce: c.Pull, Values: Characteristic, ValuesFactor: CouplerFactor, Coupler: c}
}

// checkStiffness reports a joint that a coupler of the class is not.
func (t table) checkStiffness(c *Coupler, asked Joint) {
	switch asked.Kind {
	case GrippedJoint, RigidJoint:
		t.fault(t.at("moment"), fmt.Sprintf("a coupler is not %s", asked.Kind), t.couplerFix(c))
		return
	case FreeJoint:
		return
	}
	for axis, about := range [...]string{"rail", "outward", "post"} {
		if asked.Stiffness[axis] > c.Stiff[axis]*(1+1e-9) {
			t.fault(t.at("moment"), fmt.Sprintf("%s is not so stiff about %s", c.Name, about), t.couplerFix(c))
			return
		}
	}
}

// couplerFix says how stiff a coupler may be taken.
func (t table) couplerFix(c *Coupler) string {
	if c.Stiff == [3]float64{} {
		return `write moment = "free": no stiffness of this class is known here`
	}
	return fmt.Sprintf(`write moment = "free", or { about_rail = "%g kNm/rad", about_outward = "%g kNm/rad", about_post = "%g kNm/rad" } or less`, c.Stiff[0]/1e3, c.Stiff[1]/1e3, c.Stiff[2]/1e3)
}
