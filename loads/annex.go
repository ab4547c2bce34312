package loads

import (
	"errors"
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
	partial  bool   // not all its rows are carried
}

// caution says that another value than that of the annex is used.
func (a annex) caution(s Schedule) string {
	used, where := "the recommended one", "among the rows of "+a.rows
	if s.Annex != "" {
		used = "that of the " + s.Annex + " annex"
	}
	if a.partial {
		where = "which is not carried"
	}
	return fmt.Sprintf("%s: the %s annex has its own value for this use, %s, and %s is used here", s.Name, a.name, where, used)
}

// FindScheduleIn returns the schedule that [FindSchedule] finds, under a national annex such
// as "UK"; an empty annex is none. Where the annex has a row for the occupancy of its standard,
// that is the schedule. A schedule with the recommended values of a standard to
// which the annex has values of its own comes with a caution that says so.
//
// The error is an *AnnexError for an annex that is not carried, or one of FindSchedule.
func FindScheduleIn(annex, name, occupancy string) (Schedule, error) {
	table := scheduleIndexTable().heads
	annex = strings.TrimSpace(annex)
	national, ok := table.annex(annex)
	if annex != "" && !ok {
		return Schedule{}, &AnnexError{Annex: annex, Choices: table.annexNames()}
	}
	if ok {
		own, err := table.national(national, name, occupancy)
		if _, refused := errors.AsType[*RefusedScheduleError](err); err == nil || refused {
			return own, err
		}
	}
	s, err := FindSchedule(name, occupancy)
	if err == nil && ok && s.Standard == national.standard && s.Annex != national.name {
		s.Cautions = append(s.Cautions, national.caution(s))
	}
	return s, err
}

// national returns the row that an annex has for the occupancy, where the names are those of
// the standard to which it is one.
func (t *tables) national(a annex, name, occupancy string) (Schedule, error) {
	found, rest := t.standardOf(spelling(name))
	if found == nil || found.name != a.standard || rest != "" && strings.TrimSpace(occupancy) != "" {
		return Schedule{}, &UnknownScheduleError{Name: name}
	}
	return FindSchedule(a.rows, rest+occupancy)
}

// annex returns the annex of that name, in upper or lower case.
func (t *tables) annex(name string) (annex, bool) {
	i := slices.IndexFunc(t.annexes, func(a annex) bool { return strings.EqualFold(a.name, name) })
	if i < 0 {
		return annex{}, false
	}
	return t.annexes[i], true
}

// Annexes returns the names of the national annexes carried, such as "UK".
func Annexes() []string { return scheduleIndexTable().heads.annexNames() }

// annexNames returns the names of the annexes carried.
func (t *tables) annexNames() []string {
	var names []string
	for _, a := range t.annexes {
		names = append(names, a.name)
	}
	return names
}
