package barrier

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"example.com/stanchion/internal/quantity"
)

// readMoment reads the moments that a fitting passes: "free", "gripped", "rigid", one
// stiffness about all axes, or a table of stiffnesses.
func (t table) readMoment() Joint {
	free := Joint{Kind: FreeJoint}
	switch value := t.values["moment"].(type) {
	case nil:
		return free
	case map[string]any:
		return t.readAxes()
	case string:
		if isWord(value) {
			if what, fix := choice(value, jointWords(), nil); what != "" {
				t.fault(t.at("moment"), what, fix+t.like(`; or a stiffness such as "4 kNm/rad"`))
			}
			return jointOf(JointKind(value))
		}
	}
	k, ok := t.jointStiffness("moment")
	if !ok {
		return free
	}
	return Joint{Kind: StiffnessJoint, Stiffness: [3]float64{k, k, k}}
}

// jointWords are the words for what a fitting passes.
func jointWords() []string {
	return []string{string(FreeJoint), string(GrippedJoint), string(RigidJoint)}
}

// isWord says whether a text is meant for a word rather than for a quantity.
func isWord(text string) bool {
	return strings.IndexFunc(strings.TrimSpace(text), unicode.IsLetter) == 0
}

// jointOf returns the joint that a word stands for; free for none.
func jointOf(kind JointKind) Joint {
	shared := math.Inf(1)
	switch kind {
	case GrippedJoint:
		return Joint{Kind: kind, Stiffness: [3]float64{shared, 0, 0}}
	case RigidJoint:
		return Joint{Kind: kind, Stiffness: [3]float64{shared, shared, shared}}
	}
	return Joint{Kind: FreeJoint}
}

// readAxes reads a stiffness about one axis or more; about the others the joint is free.
func (t table) readAxes() Joint {
	kind := jointTable
	if t.kind == cornerTable {
		kind = turnTable
	}
	given, _ := t.child("moment", kind)
	keys := kind.names()
	joint := Joint{Kind: StiffnessJoint}
	if !given.hasAny(keys...) && !slices.ContainsFunc(keys, given.misspelt) {
		given.lacks("no axis has a stiffness", t.like(`write { about_rail = "7.5 kNm/rad" }, also about_outward and about_post; or moment = "free"`))
		return joint
	}
	for axis, key := range keys {
		if given.has(key) {
			joint.Stiffness[axis], _ = given.axisStiffness(key)
		}
	}
	return joint
}

// axisStiffness reads the stiffness about one axis, N·m/rad: a word is said of the whole
// fitting.
func (t table) axisStiffness(key string) (float64, bool) {
	word, isText := t.values[key].(string)
	if !isText || !isWord(word) {
		return t.jointStiffness(key)
	}
	near, ok := likely(word, jointWords())
	if !ok {
		return t.jointStiffness(key)
	}
	fix := t.like(`write a stiffness such as "4 kNm/rad", or moment = "` + near + `" in place of the table`)
	if near == string(FreeJoint) {
		fix = t.like(`leave the axis out, about which the fitting is free then, or write a stiffness such as "4 kNm/rad"`)
	}
	t.fault(t.at(key), fmt.Sprintf("%s stands alone, as moment = %q, and an axis takes a stiffness", quote(word), near), fix)
	return 0, false
}

// jointStiffness reads the stiffness of a joint, N·m/rad.
func (t table) jointStiffness(key string) (float64, bool) {
	k, ok := t.quantity(key, quantity.RotationalStiffness)
	if ok && k <= 0 {
		t.fault(t.at(key), "a joint of no stiffness passes no moment", `write a stiffness of more than 0, or moment = "free"`)
		return 0, false
	}
	return k, ok
}

// readSpliceMoment reads the moment that the splices of a rail pass, and what they resist.
func (r railDraft) readSpliceMoment() {
	r.SpliceMoment = r.spliceMoment()
	tested := []string{"splice_moment_resistance", "splice_slip", "splice_shear"}
	r.SpliceMomentResistance = r.tested("splice_moment_resistance", quantity.Moment)
	r.SpliceSlip, r.SpliceShear = r.tested("splice_slip", quantity.Force), r.tested("splice_shear", quantity.Force)
	if !r.has("splice_class") { // of a coupler, which has values of its own
		r.SpliceValues, r.SpliceValuesFactor = r.readValues(tested...)
	}
	if c := r.readCoupler("splice_class", tested, SleeveCoupler); c != nil {
		r.SpliceCoupler, r.SpliceMomentResistance, r.SpliceSlip = c, c.Bending, c.Slip
		r.SpliceValues, r.SpliceValuesFactor = Characteristic, CouplerFactor
		if r.ringOK {
			r.checkCoupledTube("splice_class", "rail "+quote(r.Name), &r.Member)
		}
		return
	}
	if r.SpliceMomentResistance != nil && r.SpliceMoment.Kind == FreeJoint && !r.misspelt("splice_moment") {
		said := "splice_moment is not given and taken as \"free\""
		if r.has("splice_moment") {
			said = "splice_moment is \"free\""
		}
		if word, isText := r.values["splice_moment"].(string); !r.has("splice_moment") || isText && word == string(FreeJoint) {
			r.faultOfKey(r.at("splice_moment_resistance"), "the splices pass no moment to resist: "+said, r.like(`leave it out, or write splice_moment = "rigid" or a stiffness such as "4 kNm/rad"`))
		}
	}
}

// spliceMoment reads "free", "rigid" or a stiffness: a splice that passes a moment passes it
// about both axes square to the rail.
func (r railDraft) spliceMoment() Joint {
	free := Joint{Kind: FreeJoint}
	words := []string{string(FreeJoint), string(RigidJoint)}
	value, given := r.values["splice_moment"]
	if !given {
		return free
	}
	if word, isText := value.(string); isText && isWord(word) {
		if what, fix := choice(word, words, nil); what != "" {
			r.fault(r.at("splice_moment"), what, fix+r.like(`; or a stiffness such as "4 kNm/rad"`))
			return free
		}
		if word == string(FreeJoint) {
			return free
		}
		return Joint{Kind: RigidJoint, Stiffness: [3]float64{0, math.Inf(1), math.Inf(1)}}
	}
	k, ok := r.quantity("splice_moment", quantity.RotationalStiffness)
	switch {
	case !ok:
		return free
	case k <= 0:
		r.fault(r.at("splice_moment"), "a splice of no stiffness passes no moment", `write a stiffness of more than 0, or splice_moment = "free"`)
		return free
	}
	return Joint{Kind: StiffnessJoint, Stiffness: [3]float64{0, k, k}}
}
