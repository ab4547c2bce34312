package loads

import "math"

// Kind says what an action is. It knows no geometry: where the action stands and how long
// it is comes from the barrier.
type Kind string

// The kinds of action a schedule may hold, each with the unit of [Action.Value].
const (
	Line            Kind = "line"              // N/m along a rail
	Point           Kind = "point"             // N
	PointPerSpacing Kind = "point-per-spacing" // N per metre of post spacing: one force of Value times spacing
	Area            Kind = "area"              // N/m² of infill
	WindPressure    Kind = "wind-pressure"     // N/m²: a velocity pressure, which force coefficients turn into forces
)

// Target says which part of a barrier an action stands on.
type Target string

// The targets of an action.
const (
	Top          Target = "top"          // the highest rail, at the height of [Action.Height]
	Intermediate Target = "intermediate" // every rail but the highest, on its axis
	InfillArea   Target = "infill-area"  // the whole infill; not applicable to an open barrier
	ToeBoard     Target = "toe-board"    // any point of the toe plate (the standards' toe board), where the barrier has one
	AnyPart      Target = "any-part"     // any point of every rail and of every post
	Everything   Target = "everything"   // every tube and the infill at once: wind
)

// Family is the family of load codes an action belongs to, by which a basis combines it.
type Family string

// The families.
const (
	EN   Family = "EN"   // European standards: characteristic actions, combined by EN 1990
	ASCE Family = "ASCE" // IBC and ASCE 7: nominal live loads
	OSHA Family = "OSHA" // 29 CFR: forces to be withstood, without a factor of their own
	NBC  Family = "NBC"  // National Building Code of Canada: specified loads
	AS   Family = "AS"   // AS/NZS 1170 and AS 1657: imposed actions
)

// HeightKind says how the height of an action on the top rail is found.
type HeightKind string

// The kinds of height rule.
const (
	AtAxis       HeightKind = "axis"        // the axis of the rail
	AtBarrierTop HeightKind = "barrier-top" // the top of the barrier, at most HeightRule.AtMost where that is not 0
	AtFixed      HeightKind = "fixed"       // HeightRule.Value, or the top of the barrier where that is lower
)

// HeightRule is a standard's rule for the height above the walking surface at which an
// action on the top rail stands.
type HeightRule struct {
	Kind   HeightKind
	AtMost float64 // m, for AtBarrierTop; 0: no cap
	Value  float64 // m, for AtFixed

	Citation
}

// At returns the height of the action above the walking surface, in m, for a rail whose
// axis is at axis and a barrier whose top is at top, both in m.
func (h HeightRule) At(axis, top float64) float64 {
	switch {
	case h.Kind == AtBarrierTop && h.AtMost == 0:
		return top
	case h.Kind == AtBarrierTop:
		return math.Min(top, h.AtMost)
	case h.Kind == AtFixed:
		return math.Min(top, h.Value)
	}
	return axis
}

// Factor is a factor on an action, a plain number, with where it comes from.
type Factor struct {
	Value    float64
	Override bool // the schedule's own factor: it is the whole ULS factor, with no other on top

	Citation
}

// ThisProgram is the [Citation.Standard] of a rule that is this program's own.
const ThisProgram = "stanchion"

// UsersOwn is the [Citation.Provenance] of what the user gives.
const UsersOwn = "the user's"

// Citation says where a value comes from.
type Citation struct {
	Standard, Edition, Clause string
	Source                    string // the document that was read, or "from memory"
	Provenance                string // public, memory, derived, common-practice or UsersOwn
	Confidence                string // high, medium or low
	Note                      string // what else must be known of this value; may be empty
}

// Action is one action of a schedule, unfactored. Actions of one schedule act one at a
// time, each with the permanent actions, but where one names others that act with it.
type Action struct {
	Name      string
	Kind      Kind
	Value     float64    // in the unit of Kind
	Range     [2]float64 // the band a national choice may take, in the unit of Kind; both 0 where there is none
	Direction string     // one of the words for a direction
	Target    Target
	Height    HeightRule

	Category   Category // by which it is combined with others
	Accidental bool     // an accidental action, combined as such
	Alone      bool     // its standard lets no other variable action act with it
	With       []string // names of actions of the schedule that act with it, undiminished and pair by pair: one of the two may name the other, and two that share a third do not act together

	Symbol     string  // as in a combination: "Q", "Fu", "L"
	Strength   Factor  // for strength, on the EN basis for an EN action and on AISC-LRFD for a US one; see [Combinations.StrengthFactor]
	FirstYield float64 // factor on the action for the first-yield check; 0 for an accidental one, which may leave a permanent set
	YieldRule  Citation
	FreeAction bool // the standard lets the action be left out where it relieves; false means that a partial length is this program's caution

	Citation // of Value, Direction and Target
}
