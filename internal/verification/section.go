package verification

import "slices"

// The sections of the record, in its order.
const (
	Units       = "Units"
	Tubes       = "Tubes and sections"
	Grades      = "Materials"
	Corrosion   = "Coatings and corrosion"
	Loads       = "Loads"
	Weather     = "Wind, ice and warmth"
	Mixes       = "Combinations"
	Frames      = "Frames: published cases"
	Beams       = "Frames: beam tables and closed forms"
	Libraries   = "Frames: the same by other programs and libraries"
	Stability   = "Second order, critical loads, frequencies, collapse"
	Placement   = "Placement of moving loads"
	Resistances = "Resistances: published worked examples"
	Formulas    = "Resistances: formulas of the codes"
	Feet        = "Feet: bolts, concrete, ground, counterweights"
	Joints      = "Joints, fittings and splices"
	Barriers    = "Whole barriers"
	Answers     = "Spacing, tubes, life and site load tests"
	Reports     = "Reports and drawings"
	LongRuns    = "Long runs"
)

// Sections returns the sections of the record in its order.
func Sections() []string {
	return []string{
		Units, Tubes, Grades, Corrosion, Loads, Weather, Mixes, Frames, Beams, Libraries, Stability, Placement,
		Resistances, Formulas, Feet, Joints, Barriers, Answers, Reports, LongRuns,
	}
}

func sectionIndex(name string) int { return slices.Index(Sections(), name) }
