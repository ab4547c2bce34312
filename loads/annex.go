package loads

import (
	"fmt"
	"slices"
	"strings"
)

// AnnexError says that no national annex of that name is carried.
type AnnexError struct {
	Annex   string
	Choices []string // the annexes carried
}

func (e *AnnexError) Error() string {
	return fmt.Sprintf("no national annex %q is carried; carried: %s", e.Annex, strings.Join(e.Choices, ", "))
}

// annex is a national annex: it names its choices for a standard as rows of their own.
type annex struct {
	name     string // "UK"
	standard string // "EN 1991-1-1"
	rows     string // the name under which its rows are found: "EN 1991-1-1 UK"
}

// FindScheduleIn returns the schedule that [FindSchedule] finds, under a national annex such
// as "UK"; an empty annex is none. A schedule with the recommended values of a standard to
// which the annex has values of its own comes with a caution that says so.
//
// The error is an *AnnexError for an annex that is not carried, or one of FindSchedule.
func FindScheduleIn(annex, name, occupancy string) (Schedule, error) {
	table := scheduleTable()
	annex = strings.TrimSpace(annex)
	national, ok := table.annex(annex)
	if annex != "" && !ok {
		return Schedule{}, &AnnexError{Annex: annex, Choices: table.annexNames()}
	}
	s, err := FindSchedule(name, occupancy)
	if err == nil && ok && s.Standard == national.standard && s.Annex != national.name {
		s.Cautions = append(s.Cautions, fmt.Sprintf("%s: the %s annex has its own value for this use, among the rows of %s, and the recommended one is used here", s.Name, national.name, national.rows))
	}
	return s, err
}

// annex returns the annex of that name, in upper or lower case.
func (t *tables) annex(name string) (annex, bool) {
	i := slices.IndexFunc(t.annexes, func(a annex) bool { return strings.EqualFold(a.name, name) })
	if i < 0 {
		return annex{}, false
	}
	return t.annexes[i], true
}

// annexNames returns the names of the annexes carried.
func (t *tables) annexNames() []string {
	var names []string
	for _, a := range t.annexes {
		names = append(names, a.name)
	}
	return names
}
