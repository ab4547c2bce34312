// Package loads holds the load schedules that standards lay down for barriers, and the
// combinations that factor them. It knows nothing of frames, tubes or barriers: an action
// says what it is, on which part it stands and by which rule its height is found, and the
// caller places it.
//
// Schedules and combinations are data (tables/*.toml), one file per standard. Each value
// carries its standard, edition, clause, source, a provenance word (public, memory,
// derived, common-practice) and a confidence (high, medium, low). All actions are
// unfactored. Units are SI: N, m, N/m, N/m².
package loads

import "slices"

// Schedule is a group of requirements that a standard lays down for one occupancy: its
// actions, its limit on movement and its geometry rules.
type Schedule struct {
	Name      string // "EN ISO 14122-3", "EN 1991-1-1 UK v", "IBC 2021 dwelling"
	Standard  string
	Edition   string
	Clause    string
	Annex     string // the national annex its values are of: "UK"; empty where they are of none
	Occupancy string // "C5", "UK v", "dwelling"; empty where the standard has one schedule only
	Use       string // the occupancy in words
	Family    Family
	Stage     string // what the values are: "characteristic", "nominal" or "service"

	Actions      []Action
	Limit        *Limit        // nil where the standard has none
	LoadedHeight *LoadedHeight // nil where the standard has none
	TestPosts    int           // posts of the piece with open ends on which the standard tests its loads; 0 for no test
	Rules        []GeometryRule

	Cautions    []string // what a reader must be warned of
	Assumptions []string // how the schedule is read, where the standard leaves it open

	Source, Provenance, Confidence string
	Aliases                        []string // some other spellings that find it; case, spaces and the kind of dash never matter
}

// Schedules returns every schedule, in document order. The caller may change what it gets.
func Schedules() []Schedule {
	all := scheduleTable().schedules
	copies := make([]Schedule, len(all))
	for i, s := range all {
		copies[i] = s.clone()
	}
	return copies
}

// clone returns a copy that shares no memory with s.
func (s Schedule) clone() Schedule {
	s.Actions = slices.Clone(s.Actions)
	s.Rules = slices.Clone(s.Rules)
	s.Cautions = slices.Clone(s.Cautions)
	s.Assumptions = slices.Clone(s.Assumptions)
	s.Aliases = slices.Clone(s.Aliases)
	if s.Limit != nil {
		limit := *s.Limit
		s.Limit = &limit
	}
	if s.LoadedHeight != nil {
		loaded := *s.LoadedHeight
		s.LoadedHeight = &loaded
	}
	return s
}
