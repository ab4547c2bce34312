package loads

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// LimitSet is the limits on movement of one standard, which a user may choose by its name
// whatever the loads.
type LimitSet struct {
	Name     string // "ASTM E985"
	Use      string
	Limits   []Limit  // each with its citation
	Cautions []string // what a reader must be warned of
	Aliases  []string // other spellings that find it
}

// UnknownLimitSetError says that no set of limits has the name, with the nearest names.
type UnknownLimitSetError struct {
	Name    string
	Nearest []string // likeliest first, may be empty
	Choices []string // the sets there are
}

func (e *UnknownLimitSetError) Error() string {
	text := fmt.Sprintf("no set of limits is called %q", e.Name)
	if len(e.Nearest) > 0 {
		return text + "; nearest: " + strings.Join(e.Nearest, ", ")
	}
	return text + "; there are: " + strings.Join(e.Choices, ", ")
}

// LimitSets returns every set of limits, in document order. The caller may change what it
// gets.
func LimitSets() []LimitSet {
	var sets []LimitSet
	for _, s := range limitTable() {
		sets = append(sets, s.clone())
	}
	return sets
}

// FindLimitSet returns the set of limits of that name. Case, spaces and the kind of dash do
// not matter, and its aliases find it. The error is an *UnknownLimitSetError.
func FindLimitSet(name string) (LimitSet, error) {
	var names []string
	for _, s := range limitTable() {
		if s.answersTo(name) {
			return s.clone(), nil
		}
		names = append(names, s.Name)
	}
	return LimitSet{}, &UnknownLimitSetError{Name: strings.TrimSpace(name), Nearest: nearestNames(spelling(name), names), Choices: names}
}

// answersTo reports whether the name is a spelling of that of the set.
func (s LimitSet) answersTo(name string) bool {
	same := func(other string) bool { return compact(other) == compact(name) }
	return same(s.Name) || slices.ContainsFunc(s.Aliases, same)
}

// clone returns a copy that shares no memory with s.
func (s LimitSet) clone() LimitSet {
	s.Limits, s.Cautions, s.Aliases = slices.Clone(s.Limits), slices.Clone(s.Cautions), slices.Clone(s.Aliases)
	return s
}

// limitSetRow is one set in the file of limits.
type limitSetRow struct {
	Name      string
	Spellings []string
	Use       string
	Cautions  []string
	Limit     []limitRow
}

// decodeLimitSets reads the sets of limits.
func decodeLimitSets(data []byte) ([]LimitSet, error) {
	var file struct{ Set []limitSetRow }
	if err := decode(data, &file); err != nil {
		return nil, err
	}
	var sets []LimitSet
	var faults []error
	for _, row := range file.Set {
		s, err := row.set()
		for _, name := range append([]string{s.Name}, s.Aliases...) {
			if slices.ContainsFunc(sets, func(other LimitSet) bool { return other.answersTo(name) }) {
				err = errors.Join(err, fmt.Errorf("the spelling %s stands for two sets", name))
			}
		}
		sets = append(sets, s)
		if err != nil {
			faults = append(faults, fmt.Errorf("%s: %w", row.Name, err))
		}
	}
	return sets, errors.Join(faults...)
}

// set builds one set.
func (r *limitSetRow) set() (LimitSet, error) {
	s := LimitSet{Name: r.Name, Use: r.Use, Cautions: r.Cautions, Aliases: r.Spellings}
	faults := []error{plain(r.Use), plain(r.Cautions...)}
	if r.Name == "" || r.Use == "" || len(r.Limit) == 0 {
		faults = append(faults, errors.New("a set of limits needs a name, a use and a limit"))
	}
	for _, row := range r.Limit {
		l, err := row.limit()
		if l.Only != "" {
			faults = append(faults, fmt.Errorf("only %q: a set of limits knows no loads", l.Only))
		}
		faults = append(faults, err, l.audit(), warned("deflection limit", l.Citation, r.Cautions))
		s.Limits = append(s.Limits, l)
	}
	return s, errors.Join(faults...)
}
