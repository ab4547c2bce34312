package loads

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"example.com/stanchion/internal/nearest"
)

// UnknownScheduleError says that no schedule has the name, with the nearest names.
type UnknownScheduleError struct {
	Name    string
	Nearest []string // likeliest first, may be empty
}

func (e *UnknownScheduleError) Error() string {
	text := fmt.Sprintf("no schedule is called %q", e.Name)
	if len(e.Nearest) > 0 {
		text += "; nearest: " + strings.Join(e.Nearest, ", ")
	}
	return text
}

// OccupancyError says that a standard has several schedules and the occupancy picks none
// of them, that a full name has another occupancy beside it, or that the standard takes no
// occupancy (no Choices).
type OccupancyError struct {
	Schedule  string   // the standard, or the full name
	Occupancy string   // as given; may be empty
	Choices   []string // the occupancies the standard has, those nearest to Occupancy first
}

func (e *OccupancyError) Error() string {
	switch {
	case len(e.Choices) == 0:
		return fmt.Sprintf("%s has one schedule and takes no occupancy, so not %q", e.Schedule, e.Occupancy)
	case e.Occupancy == "" && len(e.Choices) == 1:
		return fmt.Sprintf("%s needs its occupancy, and none is named: %s", e.Schedule, e.Choices[0])
	case e.Occupancy == "":
		return fmt.Sprintf("%s has several occupancies and none is named: %s", e.Schedule, strings.Join(e.Choices, ", "))
	}
	return fmt.Sprintf("%s has no occupancy %q; it has: %s", e.Schedule, e.Occupancy, strings.Join(e.Choices, ", "))
}

// UnsupportedScheduleError names a standard, or an edition of one, that is known but not
// carried.
type UnsupportedScheduleError struct {
	Name   string
	Reason string // may be empty
}

func (e *UnsupportedScheduleError) Error() string {
	text := fmt.Sprintf("schedule %q is not supported yet", e.Name)
	if e.Reason != "" {
		text += ": " + e.Reason
	}
	return text
}

// IncompleteNameError names a code of which several parts or editions are carried, without
// saying which.
type IncompleteNameError struct {
	Name    string
	Lacks   string   // what the name does not say: "edition" or "section"
	Choices []string // the standards that are carried
}

func (e *IncompleteNameError) Error() string {
	return fmt.Sprintf("schedule %q names no %s; carried: %s", e.Name, e.Lacks, strings.Join(e.Choices, ", "))
}

// RefusedScheduleError names a row of a carried standard for which no load can be given.
type RefusedScheduleError struct {
	Name   string
	Reason string
}

func (e *RefusedScheduleError) Error() string {
	return fmt.Sprintf("schedule %q is refused: %s", e.Name, e.Reason)
}

// FindSchedule returns the schedule of that name, or of that standard and occupancy. Case,
// spaces, brackets and the kind of dash do not matter, and a schedule's aliases find it.
//
// The error is an *UnknownScheduleError, an *OccupancyError where the standard has several
// schedules and none or a wrong one is named, an *IncompleteNameError for a code without its
// edition or section, an *UnsupportedScheduleError for a standard or edition that is known
// but not carried, or a *RefusedScheduleError for a row whose loads do not come from the
// table.
func FindSchedule(name, occupancy string) (Schedule, error) {
	index := scheduleIndexTable()
	if e, complete := index.find(compact(name)); complete {
		if err := e.contradiction(name, occupancy); err != nil {
			return Schedule{}, err
		}
		return e.result(name, "")
	}
	if e, ok := index.find(compact(name + " " + occupancy)); ok {
		return e.result(name, occupancy)
	}
	return Schedule{}, scheduleTable().explain(name, occupancy)
}

// entry is what a name stands for: a schedule, or the reason why there is none.
type entry struct {
	schedule    *Schedule
	occupancies []string // spellings of the occupancy, compact
	refused     string
}

// result returns the schedule, or the refusal of the row the names stand for.
func (e entry) result(name, occupancy string) (Schedule, error) {
	if e.refused != "" {
		return Schedule{}, &RefusedScheduleError{Name: strings.TrimSpace(name + " " + occupancy), Reason: e.refused}
	}
	return e.schedule.clone(), nil
}

// contradiction returns an error if the occupancy, given beside a full name, is another one
// than that of the name.
func (e entry) contradiction(name, occupancy string) error {
	if key := compact(occupancy); key == "" || e.refused != "" || slices.Contains(e.occupancies, key) {
		return nil
	}
	err := &OccupancyError{Schedule: strings.TrimSpace(name), Occupancy: strings.TrimSpace(occupancy)}
	if e.schedule.Occupancy != "" {
		err.Choices = []string{e.schedule.Occupancy}
	}
	return err
}

// standard is a name under which schedules are found, by occupancy where there are several.
type standard struct {
	name      string
	spellings spelled  // the name among them
	choices   []string // occupancies; empty where the standard has one schedule
}

// unsupported is a standard that is known and not carried, or a code of which only the
// named editions or sections are.
type unsupported struct {
	spellings spelled
	reason    string
	lacks     string // what the bare name does not say
	carried   []string
}

// explain returns the error for a name that begins with that of the standard and goes on
// with rest.
func (u *unsupported) explain(name, rest string) error {
	switch {
	case len(u.carried) == 0:
		return &UnsupportedScheduleError{Name: name, Reason: u.reason}
	case rest != "" && !unicode.IsLetter(rune(rest[0])):
		return &UnsupportedScheduleError{Name: name, Reason: "carried are " + strings.Join(u.carried, ", ")}
	}
	return &IncompleteNameError{Name: name, Lacks: u.lacks, Choices: slices.Clone(u.carried)}
}

// explain returns the error for a name and occupancy that find nothing.
func (t *tables) explain(name, occupancy string) error {
	name, occupancy = strings.TrimSpace(name), strings.TrimSpace(occupancy)
	words := spelling(name)
	found, rest := t.standardOf(words)
	if known, after := t.unsupportedOf(words); known != nil && (found == nil || len(after) < len(rest)) {
		return known.explain(name, after)
	}
	switch {
	case found == nil:
		return &UnknownScheduleError{Name: name, Nearest: t.nearest(words)}
	case startsWithYear(rest):
		return &UnsupportedScheduleError{Name: name, Reason: "this edition is not carried"}
	case occupancy == "":
		occupancy = rest
	}
	return &OccupancyError{Schedule: found.name, Occupancy: occupancy, Choices: t.nearestFirst(found, occupancy)}
}

// nearestFirst returns the occupancies of a standard: first, nearest first, those of which a
// spelling differs from the one given in a letter, or in a third of the letters of a longer one.
func (t *tables) nearestFirst(s *standard, occupancy string) []string {
	given := compact(occupancy)
	if given == "" {
		return slices.Clone(s.choices)
	}
	away := func(choice string) int {
		least := math.MaxInt
		for _, known := range t.names[compact(s.name+" "+choice)].occupancies {
			least = min(least, nearest.Edits(given, known))
		}
		return least
	}
	near := nearest.Of(s.choices, away, max(min(1, len(given)-1), len(given)/3))
	rest := slices.DeleteFunc(slices.Clone(s.choices), func(choice string) bool { return slices.Contains(near, choice) })
	return append(near, rest...)
}

// standardOf returns the standard whose spelling begins the words, the longest one where
// several do, and the words that follow.
func (t *tables) standardOf(words string) (found *standard, rest string) {
	longest := 0
	for i := range t.standards {
		s := &t.standards[i]
		if after, n := s.spellings.begin(words, " "); n > longest {
			found, rest, longest = s, after, n
		}
	}
	return found, rest
}

// unsupportedOf returns the standard known and not carried whose spelling begins the words,
// the longest one where several do, and what follows.
func (t *tables) unsupportedOf(words string) (known *unsupported, rest string) {
	longest := 0
	for i := range t.unsupported {
		u := &t.unsupported[i]
		if after, n := u.spellings.begin(words, " -"); n > longest {
			known, rest, longest = u, after, n
		}
	}
	return known, rest
}

// spelled is a name in its spellings, as returned by spelling.
type spelled []string

// begin returns what follows the longest of the spellings that begins the words and ends
// with them or before one of the stops, and its length; 0 where none does.
func (s spelled) begin(words, stops string) (rest string, longest int) {
	for _, text := range s {
		after, ok := strings.CutPrefix(words, text)
		if ok && (after == "" || strings.Contains(stops, after[:1])) && len(text) > longest {
			rest, longest = strings.TrimSpace(after), len(text)
		}
	}
	return rest, longest
}

// startsWithYear reports whether the words begin with the year of an edition.
func startsWithYear(words string) bool {
	year, _, _ := strings.Cut(words, " ")
	n, err := strconv.Atoi(year)
	return err == nil && len(year) == 4 && n >= 1900 && n < 2100
}

// spelling brings a name to one way of writing: lower case, hyphens only between digits,
// one space between words and wherever letters meet digits, no brackets or colons.
func spelling(name string) string {
	text := []rune(strings.ToLower(strings.TrimSpace(name)))
	for i, r := range text {
		if unicode.Is(unicode.Pd, r) || r == '−' {
			text[i] = '-'
		}
	}
	var b strings.Builder
	last := ' ' // the rune written last
	write := func(r rune) {
		if r != ' ' || last != ' ' {
			b.WriteRune(r)
			last = r
		}
	}
	for i, r := range text {
		switch {
		case r == '-' && unicode.IsDigit(last) && i+1 < len(text) && unicode.IsDigit(text[i+1]):
			write(r)
		case r == '.':
			write(r)
		case !unicode.IsLetter(r) && !unicode.IsDigit(r):
			write(' ')
		default:
			if unicode.IsLetter(r) && unicode.IsDigit(last) || unicode.IsDigit(r) && unicode.IsLetter(last) {
				write(' ')
			}
			write(r)
		}
	}
	return strings.TrimSpace(b.String())
}

// compact is the spelling of a name without its spaces: the key under which it is found.
func compact(name string) string {
	return strings.ReplaceAll(spelling(name), " ", "")
}

// nearest returns the names of standards and schedules near the words.
func (t *tables) nearest(words string) []string {
	var names []string
	for _, s := range t.standards {
		names = append(names, s.name)
	}
	for _, s := range t.schedules {
		names = append(names, s.Name)
	}
	return nearestNames(words, names)
}

// nearestNames returns up to three names near the words, nearest first: those that differ in
// two letters, or in a third of the letters of a longer name.
func nearestNames(words string, names []string) []string {
	return nearest.Names(words, names, compact, max(2, len(compact(words))/3), 3)
}
