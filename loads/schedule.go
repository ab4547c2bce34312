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
	Stage     string // what the values are: "characteristic" or "nominal", factored by a combination; "service", factored by their standard; "ultimate", factored already

	Actions      []Action
	Limits       []Limit       // none where the standard has none
	Category     Category      // of its actions, where they name none of their own
	Categories   []Category    // those that a row of several covers, Category being the one with the largest psi; empty for a row of one
	GammaM       *Factor       // the standard's own partial factor on resistance at ULS; nil: that of the basis
	LoadedHeight *LoadedHeight // nil where the standard has none
	TestPosts    int           // posts of the piece with open ends on which the standard tests its loads; 0 for no test
	Test         *SiteTest     // how the standard puts its service load on; nil where nothing was read of it
	Rules        []GeometryRule

	Cautions        []string // what a reader must be warned of
	Assumptions     []string // how the schedule is read, where the standard leaves it open
	OpenAssumptions []string // the same of a barrier without infill

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
	for i := range s.Actions {
		s.Actions[i].With = slices.Clone(s.Actions[i].With)
	}
	s.Rules = slices.Clone(s.Rules)
	s.Cautions = slices.Clone(s.Cautions)
	s.Assumptions = slices.Clone(s.Assumptions)
	s.OpenAssumptions = slices.Clone(s.OpenAssumptions)
	s.Aliases = slices.Clone(s.Aliases)
	s.Categories = slices.Clone(s.Categories)
	s.Limits = slices.Clone(s.Limits)
	if s.GammaM != nil {
		own := *s.GammaM
		s.GammaM = &own
	}
	if s.Test != nil {
		test := s.Test.clone()
		s.Test = &test
	}
	if s.LoadedHeight != nil {
		loaded := *s.LoadedHeight
		s.LoadedHeight = &loaded
	}
	return s
}
