package loads

// What a limit is of.
const (
	LimitTotal    = "total"    // the movement across, at any point, from the unloaded position
	LimitPost     = "post"     // the movement across at a post
	LimitSpan     = "span"     // a rail across, from the chord of its bay
	LimitVertical = "vertical" // a rail, vertical
)

// Limit is a standard's limit on movement under the unfactored actions:
// Deflection + PerHeight h + PerBay L, for the height h of the barrier and the bay L, m.
// PerHeight and PerBay are plain numbers: 1/60 and 1/240 of "h/60 + L/240".
type Limit struct {
	Of         string  // LimitTotal, ...
	Deflection float64 // m
	PerHeight  float64
	PerBay     float64
	Rule       string // as the source prints it, such as "h/60 + L/240"; empty for a length alone
	Only       string // the name of the one action that it binds; empty: every one of the schedule

	Citation
}

// LoadedHeight is a standard's floor for the top rail while the unfactored loads that may
// point down do so.
type LoadedHeight struct {
	Height float64 // m: the top of the top rail must not come below it

	Citation
}

// The kinds of geometry rule.
const (
	MinHeight        = "min-height"        // top of the highest rail above the walking surface, at least Value
	MaxHeight        = "max-height"        // top of the highest rail above the walking surface, at most Value
	MaxGap           = "max-gap"           // clear opening between rails, and between lowest rail and toe plate (or surface), at most Value
	MinToeBoard      = "min-toe-board"     // height of the toe plate, at least Value
	MinToeTop        = "min-toe-top"       // top edge of the toe plate above the walking surface, at least Value
	MaxToeGap        = "max-toe-gap"       // clear opening under the toe plate, at most Value
	MaxSpacing       = "max-spacing"       // post spacing, axis to axis, at most Value
	RailInterruption = "rail-interruption" // clear opening between two lengths of handrail, from Value to AtMost
	MaxSphere        = "max-sphere"        // a ball of diameter Value must not pass any opening
)

// GeometryRule is one geometric requirement that comes with a schedule.
type GeometryRule struct {
	Kind      string  // one of the kinds above
	Value     float64 // m
	AtMost    float64 // m, the upper end of a range; 0 where the rule has one value
	Preferred bool    // the source calls it preferred
	Outdated  bool    // it stands in an edition that has been replaced
	When      string  // the condition under which it applies; empty: always
	Text      string  // the rule in words

	Citation
}

// Binding reports whether a barrier that breaks the rule fails. A rule that its source
// calls preferred, that is outdated, that is not held with high confidence, or that
// depends on something the definition does not state, cautions instead.
func (r GeometryRule) Binding() bool {
	return !r.Preferred && !r.Outdated && r.When == "" && r.Confidence == "high"
}
