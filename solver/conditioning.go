package solver

import (
	"fmt"
	"math"
)

// Stiffness is one stiffness of a frame: whose it is, which way it acts, and its size in
// N/m or N·m/rad. That of a member is the force or moment at one end for a unit of
// movement there, all else held.
type Stiffness struct {
	Of    string
	Value float64
	Unit  string
}

func (s Stiffness) String() string { return fmt.Sprintf("%s, %.3g %s", s.Of, s.Value, s.Unit) }

// IllConditionedError is a frame with a motion that only Soft resists, so much less than
// Stiff does the movements in it that the answer cannot be trusted. Ratio is the energy of
// the motion over the sum of those of its freedoms each on its own; what is lost by
// rounding is about 1e-16 of the latter.
type IllConditionedError struct {
	Soft, Stiff Stiffness
	Ratio       float64
}

func (e *IllConditionedError) Error() string {
	return fmt.Sprintf("the frame cannot be solved to enough digits: stiffnesses are too far apart (%.0e): %s, against %s", e.Ratio, e.Soft, e.Stiff)
}

// fault says what is wrong with a frame that has a motion too soft to be trusted.
func (s *Factored) fault(motion vector) error {
	w := s.work(motion)
	if !(w.energy > leastEnergy*w.apart) {
		return s.mechanism(s.firstLargest(motion))
	}
	return &IllConditionedError{s.stiffnessOf(w.soft), s.stiffnessOf(w.stiff), w.energy / w.apart}
}

// work is what members and springs do in a motion. The energies are twice those of
// mechanics, in the unit of the motion.
type work struct {
	energy float64 // of all
	apart  float64 // sum of those of each freedom moving on its own
	soft   share   // the largest part of energy, the first of equals
	stiff  share   // the largest part of apart, the first of equals
}

// share is the part that one stiffness has in a work: that of a spring, or a member's at
// one of its end freedoms, or that of the tie there.
type share struct {
	value  float64
	spring *spring
	member MemberID
	end    int
	tie    float64 // N/m or N·m/rad
}

func (w *work) resist(a share) {
	w.energy += a.value
	if a.value > w.soft.value*(1+1e-9) {
		w.soft = a
	}
}

func (w *work) stand(a share) {
	w.apart += a.value
	if a.value > w.stiff.value*(1+1e-9) {
		w.stiff = a
	}
}

// work adds up what members and springs do in a motion of the free equations.
func (s *Factored) work(motion vector) work {
	var w work
	at := func(t term) float64 {
		if t.eq < s.free {
			return t.coeff * motion[t.eq]
		}
		return 0
	}
	for id := range s.elements {
		var u vec12
		for i, list := range s.ends(MemberID(id)) {
			for _, t := range list {
				u[i] += at(t)
			}
		}
		local := s.elements[id].toLocal(u)
		s.resists(&w, MemberID(id), &local)
		s.stands(&w, MemberID(id), &u, &local)
	}
	for _, list := range [...][]spring{s.jointSprings(), s.springs} {
		for i := range list {
			k := &list[i]
			moved, apart := 0.0, 0.0
			for _, t := range k.terms {
				moved += at(t)
				apart += at(t) * at(t)
			}
			w.resist(share{value: k.stiffness * moved * moved, spring: k})
			w.stand(share{value: k.stiffness * apart, spring: k})
		}
	}
	return w
}

// resists adds a member's energy: its own, and that of its end ties.
func (s *Factored) resists(w *work, id MemberID, u *vec12) {
	e := &s.elements[id]
	own, k := *u, e.ownStiffness()
	if e.condensed != nil {
		own = e.ownEnds(*u, vec12{})
		ties := tiesOf(s.frame.members[id].Ends)
		for _, i := range ties.freedoms {
			apart := u[i] - own[i]
			w.resist(share{value: ties.stiffness[i] * apart * apart, member: id, end: i, tie: ties.stiffness[i]})
		}
	}
	for i, v := range resistance(&k, &own, e.length) {
		w.resist(share{value: v, member: id, end: 6 + i})
	}
}

// resistance returns the energy of a movement of a member's ends, local axes, by the six
// freedoms of its second end; each may be negative, their sum is not. A movement of the
// member as a rigid body takes no force, so that is what its end's movement takes from
// where the start would carry it.
func resistance(k *mat12, u *vec12, length float64) (energy [6]float64) {
	carried := [6]float64{u[0], u[1] + u[5]*length, u[2] - u[4]*length, u[3], u[4], u[5]}
	var moved [6]float64
	for i := range 6 {
		moved[i] = u[6+i] - carried[i]
	}
	for i := range 6 {
		for j := range 6 {
			energy[i] += moved[i] * k[6+i][6+j] * moved[j]
		}
	}
	return energy
}

// stands adds what a member does against each of its freedoms alone. The stiffness named
// is that of the local freedom that moves, or, where none does that has one, the largest.
func (s *Factored) stands(w *work, id MemberID, u, local *vec12) {
	e := &s.elements[id]
	k, own := e.globalStiffness(), e.stiffness()
	for b := 0; b < 12; b += 3 {
		alone, end := 0.0, b
		for i := b; i < b+3; i++ {
			alone += k[i][i] * u[i] * u[i]
			if own[i][i]*local[i]*local[i] > own[end][end]*local[end]*local[end] {
				end = i
			}
		}
		if own[end][end]*local[end]*local[end] < 1e-6*alone {
			end = own.stiffest(b)
		}
		w.stand(share{value: alone, member: id, end: end})
	}
}

// stiffest returns the stiffest of the three end freedoms from b on.
func (a *mat12) stiffest(b int) int {
	end := b
	for i := b; i < b+3; i++ {
		if a[i][i] > a[end][end] {
			end = i
		}
	}
	return end
}

// loose returns the first equation by its node on which nothing acts but what rounding has
// turned into it from other directions, or -1. Equations on which more than the part
// turnedByRounding of |K| acts are taken as held.
func (s *Factored) loose(band *symmetric) int {
	held := map[int]bool{} // equation suspected -> whether something holds it
	for i := range s.free {
		if band.diagonal(i) <= turnedByRounding*s.norm {
			held[i] = false
		}
	}
	if len(held) == 0 {
		return -1
	}
	for id := range s.elements {
		s.hold(held, MemberID(id))
	}
	for _, list := range [...][]spring{s.jointSprings(), s.springs} {
		for i := range list {
			for _, t := range list[i].terms {
				if _, suspect := held[t.eq]; suspect && math.Abs(t.coeff) > turned {
					held[t.eq] = true
				}
			}
		}
	}
	at := -1
	for eq := range s.free { // in order
		if is, suspect := held[eq]; suspect && !is && (at < 0 || s.names[eq].before(s.names[at])) {
			at = eq
		}
	}
	return at
}

// hold marks the equations suspected that a member holds.
func (s *Factored) hold(held map[int]bool, id MemberID) {
	e := &s.elements[id]
	ends, k := s.ends(id), e.stiffness()
	for _, list := range ends {
		for _, t := range list {
			if is, suspect := held[t.eq]; !suspect || is {
				continue
			}
			u := e.moved(&ends, t.eq)
			for i, v := range u {
				if math.Abs(v) > turned && k[i][i] > 0 {
					held[t.eq] = true
				}
			}
		}
	}
}

// moved returns the movement of a member's ends, local axes, for a unit of one equation.
func (e *element) moved(ends *[12][]term, eq int) vec12 {
	var u vec12
	for i, list := range ends {
		for _, t := range list {
			if t.eq == eq {
				u[i] += t.coeff
			}
		}
	}
	return e.toLocal(u)
}

// stiffnessOf says which stiffness a share is of.
func (s *Factored) stiffnessOf(a share) Stiffness {
	if a.spring != nil {
		return s.springStiffness(a.spring)
	}
	m := &s.frame.members[a.member]
	name := memberName(&s.frame.nodes[m.Start], &s.frame.nodes[m.End])
	how := [...]string{"along its axis", "across its axis, along its y", "across its axis, along its z",
		"in torsion", "in bending about its y", "in bending about its z"}[a.end%6]
	unit := unitOf(Freedom(a.end % 6))
	e := &s.elements[a.member]
	k := e.stiffness()
	switch {
	case a.tie > 0:
		return Stiffness{fmt.Sprintf("tie at the %s of %s %s", [...]string{"start", "end"}[a.end/6], name, how), a.tie, unit}
	case e.condensed != nil && k[a.end][a.end] == 0:
		return Stiffness{name + " " + how, e.full[a.end][a.end], unit}
	}
	return Stiffness{name + " " + how, k[a.end][a.end], unit}
}

func (s *Factored) springStiffness(k *spring) Stiffness {
	n := &s.frame.nodes[k.node]
	of := "spring of " + n.label + " in "
	switch {
	case n.axes != nil && !k.joint:
		of += directionIn(n.axes, k.freedom)
	default:
		of += k.freedom.String()
	}
	if k.joint {
		j := &s.frame.joints[n.joint]
		of = "joint of " + s.frame.nodes[j.First].label + " and " + n.label + " in " + directionIn(&j.Axes, k.freedom)
	}
	return Stiffness{of, k.stiffness, unitOf(k.freedom)}
}

// unitOf returns the unit of a stiffness that acts on a freedom.
func unitOf(f Freedom) string {
	if f >= RX {
		return "N·m/rad"
	}
	return "N/m"
}
