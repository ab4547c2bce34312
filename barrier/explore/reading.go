package explore

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// reading is a way in which a barrier is read: as its file has it, or with something of it
// changed.
type reading struct {
	name    string
	means   string
	none    string // why it is not made; empty where it is
	changes []barrier.Change
}

// The names of the columns of a largest spacing.
const (
	AsDeclared   = "as declared"
	NoSharing    = "no sharing"
	SoftestFoot  = "softest foot"
	meansShares  = "joints, splices and feet as the file has them"
	meansSharing = "no moment in any joint and every rail cut at every post: no post helps another"
)

// readings returns the readings of the file, that of the file itself first.
func (s *spacingSearch) readings() []reading {
	return []reading{
		{name: AsDeclared, means: meansShares},
		{name: NoSharing, means: meansSharing, changes: unshared(s.file)},
		softest(s.file, s.o.Units),
	}
}

// unshared takes out of a file whatever lets a post share its load with others.
func unshared(d *barrier.Definition) []barrier.Change {
	changes := []barrier.Change{{Path: "fitting.moment", Value: "free"}}
	if given(d, "fitting.corner") {
		changes = append(changes, barrier.Change{Path: "fitting.corner.moment", Value: "free"})
	}
	for i := range d.Rails {
		rail := fmt.Sprintf("rail[%d].", i)
		for _, key := range []string{"splices", "splice_moment", "splice_moment_resistance", "splice_slip", "splice_shear", "splice_class", "values", "values_factor"} {
			changes = append(changes, barrier.Change{Path: rail + key})
		}
		changes = append(changes, barrier.Change{Path: rail + "through", Value: false})
	}
	return changes
}

// softest puts the softest foot of a range in its place.
func softest(d *barrier.Definition, units quantity.System) reading {
	r := reading{name: SoftestFoot, means: "every foot at the softest of its range"}
	switch base := &d.Post.Base; {
	case len(base.Stiffness) > 1:
		k := base.Stiffness[0]
		r.means = quantity.Say("every foot at %s, the softest of its range", quantity.Of(k, quantity.RotationalStiffness)).In(units)
		r.changes = []barrier.Change{{Path: "post.base.stiffness", Value: newtonMetres(k)}}
	case len(base.Stiffness) == 0:
		r.none = "post.base.stiffness is not given, so there is no range: every check is on rigid feet and on the softest that hold the limit"
	case base.FromFixing:
		r.none = "the feet have the one stiffness of their fixing, and no range"
	case math.IsInf(base.Stiffness[0], 1):
		r.none = "the feet are rigid as stated, and no range"
	default:
		r.none = quantity.Say("the feet have one stiffness, %s, and no range", quantity.Of(base.Stiffness[0], quantity.RotationalStiffness)).In(units)
	}
	return r
}

// newtonMetres writes a rotational stiffness (N·m/rad) as a definition takes it.
func newtonMetres(k float64) any {
	if math.IsInf(k, 1) {
		return "rigid"
	}
	return strings.TrimSuffix(metres(k), " m") + " Nm/rad"
}

// given reports whether a file has a key, or something in the table of that name.
func given(d *barrier.Definition, path string) bool {
	for _, in := range d.Inputs {
		if rest, ok := strings.CutPrefix(in.Path, path); ok && (rest == "" || rest[0] == '.' || rest[0] == '[') {
			return true
		}
	}
	return false
}
