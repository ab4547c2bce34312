package barrier

import (
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
			words := []string{string(FreeJoint), string(GrippedJoint), string(RigidJoint)}
			if what, fix := choice(value, words, nil); what != "" {
				t.fault(t.at("moment"), what, fix+`; or a stiffness such as "4 kNm/rad"`)
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
	given, _ := t.child("moment", jointTable)
	keys := jointTable.names()
	joint := Joint{Kind: StiffnessJoint}
	if !given.hasAny(keys...) && !slices.ContainsFunc(keys, given.misspelt) {
		given.lacks("no axis has a stiffness", `write { about_rail = "7.5 kNm/rad" }, also about_outward and about_post; or moment = "free"`)
		return joint
	}
	for axis, key := range keys {
		if given.has(key) {
			joint.Stiffness[axis], _ = given.jointStiffness(key)
		}
	}
	return joint
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
