package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// jointing is what the joints of a layout pass: fittings, those at corners, and the splices
// of each rail.
type jointing struct {
	fitting, corner barrier.Joint
	splices         []barrier.Joint
}

// standing returns the joints that count: each as it is asked for where a tested value proves
// what it passes, free otherwise. Where the user leaves fittings out nothing here compares
// what they pass with those values.
func standing(d *barrier.Definition) jointing {
	j := jointing{fitting: proven(d, d.Fitting.Moment, &d.Fitting.Tested), corner: proven(d, d.Fitting.Corner.Moment, &d.Fitting.Corner.Tested)}
	for i := range d.Rails {
		r := &d.Rails[i]
		j.splices = append(j.splices, proven(d, r.SpliceMoment, &barrier.Tested{MomentResistance: r.SpliceMomentResistance}))
	}
	return j
}

// proven returns the joint that is asked for where a tested value proves what it passes, a
// free one otherwise. A gripped joint passes twist about the rail; one that is stiff about
// the rail's axis alone does too.
func proven(d *barrier.Definition, asked barrier.Joint, tested *barrier.Tested) barrier.Joint {
	free := barrier.Joint{Kind: barrier.FreeJoint}
	if d.LeaveOut.Fitting {
		return free
	}
	switch asked.Kind {
	case barrier.GrippedJoint:
		if tested.SlipMoment != nil {
			return asked
		}
	case barrier.RigidJoint:
		if tested.MomentResistance != nil {
			return asked
		}
	case barrier.StiffnessJoint:
		aboutRail := asked.Stiffness[1] == 0 && asked.Stiffness[2] == 0
		if tested.MomentResistance != nil || aboutRail && tested.SlipMoment != nil {
			return asked
		}
	}
	return free
}

// askedFor returns the joints as the user asks for them.
func askedFor(d *barrier.Definition) jointing {
	j := jointing{fitting: d.Fitting.Moment, corner: orFree(d.Fitting.Corner.Moment)}
	for i := range d.Rails {
		j.splices = append(j.splices, orFree(d.Rails[i].SpliceMoment))
	}
	return j
}

// orFree returns a joint, free where it has no kind.
func orFree(j barrier.Joint) barrier.Joint {
	if j.Kind == "" {
		j.Kind = barrier.FreeJoint
	}
	return j
}

// freeJoints returns joints that pass no moment.
func freeJoints(d *barrier.Definition) jointing {
	free := barrier.Joint{Kind: barrier.FreeJoint}
	return jointing{fitting: free, corner: free, splices: slices.Repeat([]barrier.Joint{free}, len(d.Rails))}
}

func (j jointing) equal(other jointing) bool {
	return j.fitting == other.fitting && j.corner == other.corner && slices.Equal(j.splices, other.splices)
}

// of sets the joints of a layout.
func (j jointing) of(l barrier.Layout) barrier.Layout {
	l.Joint, l.Corner = j.fitting, j.corner
	l.Rails = slices.Clone(l.Rails)
	for i := range l.Rails {
		l.Rails[i].Moment = j.splices[i]
	}
	return l
}

// jointed is one kind of joint, of which something is asked.
type jointed struct {
	words  string // "Joints", "Corner fittings", "Splices of rail top"
	item   string // of an item: "fitting", "corner fitting", "splice"
	proof  string // the tested value that makes it count
	asked  barrier.Joint
	stands barrier.Joint
	found  func(*model) []finding // the demands on it
	kind   ItemKind
}

// jointKinds returns every kind of joint of the run, with what is asked of it.
func (c *run) jointKinds() []jointed {
	asked, stands := askedFor(c.d), standing(c.d)
	out := []jointed{{"Joints", "fitting", proof(asked.fitting), asked.fitting, stands.fitting, func(m *model) []finding { return m.fittings }, OpenFitting}}
	out = append(out, jointed{"Corner fittings", "corner fitting", "corner " + proof(asked.corner), asked.corner, stands.corner, func(m *model) []finding { return m.corners }, OpenFitting})
	for i := range c.d.Rails {
		of := func(m *model) []finding {
			return slices.DeleteFunc(slices.Clone(m.splices), func(f finding) bool { return f.member != i })
		}
		out = append(out, jointed{"Splices of rail " + c.d.Rails[i].Name, "splice", "splice_moment_resistance", asked.splices[i], stands.splices[i], of, OpenSplice})
	}
	return out
}

// proof names the tested value that a joint needs to count.
func proof(j barrier.Joint) string {
	if j.Kind == barrier.GrippedJoint {
		return "slip_moment"
	}
	return "moment_resistance"
}

// jointWords names a joint.
func jointWords(j barrier.Joint, units quantity.System) string {
	if j.Kind != barrier.StiffnessJoint {
		return string(j.Kind)
	}
	show := func(k float64) string { return quantity.Format(k, quantity.RotationalStiffness, units) }
	if k := j.Stiffness; k[0] == k[1] && k[1] == k[2] {
		return show(k[0])
	}
	var parts []string
	for i, about := range [...]string{"rail", "outward", "post"} {
		if j.Stiffness[i] > 0 {
			parts = append(parts, show(j.Stiffness[i])+" about "+about)
		}
	}
	return strings.Join(parts, ", ")
}

// spliceWords names what a splice passes: a moment about both axes square to the rail.
func spliceWords(j barrier.Joint, units quantity.System) string {
	j.Stiffness[0] = j.Stiffness[1]
	return jointWords(j, units)
}

// in names what is asked of a kind of joint.
func (k *jointed) in(units quantity.System) string {
	if k.kind == OpenSplice {
		return spliceWords(k.asked, units)
	}
	return jointWords(k.asked, units)
}

// layoutWords names the joints of a layout: those of fittings, and of corners and splices
// where they pass a moment.
func layoutWords(l *barrier.Layout, units quantity.System) string {
	text := jointWords(l.Joint, units)
	if corner := orFree(l.Corner); corner.Kind != barrier.FreeJoint {
		text += ", corners " + jointWords(corner, units)
	}
	var splices []string
	for _, r := range l.Rails {
		if words := spliceWords(orFree(r.Moment), units); words != string(barrier.FreeJoint) && !slices.Contains(splices, words) {
			splices = append(splices, words)
		}
	}
	if len(splices) > 0 {
		text += ", splices " + strings.Join(splices, " or ")
	}
	return text
}

// asked returns the model with the joints that are asked for and do not count, nil for
// none.
func (c *run) asked() *model {
	if c.other == nil || standing(c.d).equal(askedFor(c.d)) {
		return nil
	}
	return c.other
}

// saving says what the joints that are asked for would save, did they count, or what free
// joints would give beside those that do.
func (c *run) saving() {
	if c.other == nil {
		return
	}
	stands := c.like(c.other)
	if stands == nil {
		return
	}
	if c.asked() == nil {
		c.say(fmt.Sprintf("Free joints would give a largest utilisation of %s, where the joints that count give %s.", printed(c.other.largest()), printed(stands.largest())))
		return
	}
	change := "no less than"
	if c.other.largest() < stands.largest()*(1-1e-9) {
		change = "down from"
	}
	var parts, proofs []string
	for _, k := range c.jointKinds() {
		if k.asked != k.stands {
			if len(parts) > 0 {
				k.words = strings.ToLower(k.words[:1]) + k.words[1:]
			}
			parts = append(parts, fmt.Sprintf("%s as asked (%s)", k.words, k.in(c.o.Units)))
			proofs = append(proofs, k.proof)
		}
	}
	with := "free ones"
	if free := freeJoints(c.d); !standing(c.d).equal(free) {
		with = "those that count"
	}
	c.say(fmt.Sprintf("%s would give a largest utilisation of %s, %s %s with %s; they count when fittings are in the scope and a tested %s is given.",
		strings.Join(parts, " and "), printed(c.other.largest()), change, printed(stands.largest()), with, strings.Join(slices.Compact(proofs), " and ")))
}

// like returns the model that stands with the feet and splices of another.
func (c *run) like(m *model) *model {
	for _, other := range c.models {
		if other.layout.FootStiffness == m.layout.FootStiffness && other.layout.Splices == m.layout.Splices {
			return other
		}
	}
	return nil
}

// printed is a utilisation in words.
func printed(u float64) string {
	if math.IsInf(u, 1) {
		return "no bound"
	}
	return quantity.Fix(RoundedUp(u), 3)
}

// openJoint lists the twist and the moment that joints as asked would have to pass on.
func (c *run) openJoint() {
	other := c.asked()
	if other == nil {
		return
	}
	for _, k := range c.jointKinds() {
		if k.asked == k.stands {
			continue
		}
		words := k.in(c.o.Units)
		for _, kind := range [...]string{"twist", "moment"} {
			worst := worstKind(k.found(other), kind)
			if worst == nil || kind == "moment" && k.asked.Kind == barrier.GrippedJoint {
				continue
			}
			where := " in the " + worst.grip.tube
			if k.kind == OpenSplice {
				where = ""
			}
			it := largest(k.kind, fmt.Sprintf("%s as asked (%s): %s%s", k.item, words, kind, where), worst.element)
			it.Reason = "no tested " + k.proof + " is given, so free joints stand"
			if k.kind == OpenSplice {
				it.Reason = "no tested " + k.proof + " is given, so free splices stand"
			}
			c.openUnless(c.d.LeaveOut.Fitting, c.demanded(it, worst))
		}
	}
}
