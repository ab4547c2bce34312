package barrier

import (
	"example.com/stanchion/internal/quantity"
)

// A fixing is a kind of foot whose stiffness can be found from its parts.
type fixing interface {
	// stiffnessOf returns the rotational stiffness of the foot of a post, N·m/rad, what it is
	// that of, in words, and what it leaves out; or, where it cannot be found, the fix: what
	// to give.
	stiffnessOf(t table, p *postDraft) (k float64, of, without, fix string)
}

// stiffnessOf is that of the bolts of a flange.
func (f *Flange) stiffnessOf(t table, p *postDraft) (k float64, of, without, fix string) {
	if fix = t.fixingFix(&f.Anchors, "flange"); fix != "" {
		return 0, "", "", fix
	}
	return f.fixingStiffness(p.Ring.OD), "bolts that stretch under a rigid flange, in the softest direction", "flange, socket and concrete", ""
}

// stiffnessOf is that of the bolts of a bracket.
func (b *Bracket) stiffnessOf(t table, _ *postDraft) (k float64, of, without, fix string) {
	if fix = t.fixingFix(&b.Anchors, "side"); fix != "" {
		return 0, "", "", fix
	}
	return b.fixingStiffness(), "bolts that stretch under a rigid bracket, about the run", "bracket, socket and concrete, and slip of bolts in their holes under load along the run,", ""
}

// fixingOf returns the foot as a fixing, nil for a kind that has no stiffness of its own.
func (b *Base) fixingOf() fixing {
	switch {
	case b.Flange != nil:
		return b.Flange
	case b.Bracket != nil:
		return b.Bracket
	}
	return nil
}

// takeFixingStiffness sets the stiffness of the foot to that of its fixing. Faults is how many
// problems there were before the foot was read: after others it is not asked for.
func (t table) takeFixingStiffness(b *Base, p *postDraft, faults int) {
	if len(t.problems) > faults || !p.ringOK {
		return
	}
	foot := b.fixingOf()
	if foot == nil {
		fix := `write the stiffness, such as stiffness = ` + t.like(`"150 kNm/rad"`) + `, or leave it out where it is not known`
		what := "the stiffness of this kind of foot cannot be found from its parts"
		if b.Kind == NoBase {
			what = "nothing says how the post is fixed"
			fix = `add kind = "flange" or "side" with its table, or ` + fix
		}
		t.fault(t.at("stiffness"), what, fix)
		return
	}
	k, of, without, fix := foot.stiffnessOf(t, p)
	if fix != "" {
		t.fault(t.at("stiffness"), "the stiffness of the foot cannot be found from what is given", fix)
		return
	}
	b.Stiffness = []float64{k}
	t.assume("The stiffness of each foot, %s, is found from its fixing: that of %s.", quantity.Of(k, quantity.RotationalStiffness), of)
	t.caution("The stiffness of the feet, %s, counts their bolts alone, an upper bound: %s give way too. Posts move more than is told here, rails carry more and second order is larger: nothing that rests on it is cautious. Where a softer foot is possible, give post.base.stiffness as a range.", quantity.Of(k, quantity.RotationalStiffness), without)
}
