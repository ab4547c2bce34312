package sections

import (
	"fmt"
	"slices"
	"strings"
	"sync"
)

// An UnknownTubeError says that no tube bears a name.
type UnknownTubeError struct {
	Name    string
	Nearest []string // listed names, likeliest first, may be empty
}

func (e *UnknownTubeError) Error() string {
	if len(e.Nearest) == 0 {
		return fmt.Sprintf("no tube %q", e.Name)
	}
	return fmt.Sprintf("no tube %q; nearest: %s", e.Name, quoted(e.Nearest))
}

// An AmbiguousTubeError says that several tubes fit a name.
type AmbiguousTubeError struct {
	Name       string
	Candidates []string // listed names in document order
}

func (e *AmbiguousTubeError) Error() string {
	return fmt.Sprintf("%q names more than one tube: %s", e.Name, quoted(e.Candidates))
}

// FindTube returns the tube of a name: its listed name, its designation, or any
// words that single it out and name its standard, in any order. Case, spaces,
// "x" or "×", trailing zeros and a standard's part number do not matter; a size
// to inches answers to mm as well ("A500 48.3x3.68"), and a pipe size may be
// written "1 1/2", "1-1/2" or "1.5".
//
// Errors: *UnknownTubeError, *AmbiguousTubeError.
func FindTube(name string) (Tube, error) {
	fit := tubesCalled(name)
	if len(fit) == 0 {
		fit = tubesWith(words(name))
		if len(fit) == 1 && !fit[0].standardIn(words(name)) {
			return Tube{}, &UnknownTubeError{Name: name, Nearest: tubeNames(fit)}
		}
	}
	switch len(fit) {
	case 0:
		return Tube{}, &UnknownTubeError{Name: name, Nearest: near(name, tubeNames(tubeTable()))}
	case 1:
		return fit[0], nil
	}
	return Tube{}, &AmbiguousTubeError{Name: name, Candidates: tubeNames(fit)}
}

// tubesCalled returns the tubes whose listed name or designation it is.
func tubesCalled(name string) []Tube { return named(tubeIndex(), tubeTable(), name) }

// Ready reads the tables by which the names of tubes and grades are found, which the first search
// would do otherwise.
func Ready() {
	tubeIndex()
	gradeIndex()
}

var tubeIndex = sync.OnceValue(func() nameIndex {
	index := nameIndex{}
	for i, t := range tubeTable() {
		index.add(squash(t.Name), i)
		index.add(squash(t.Designation), i)
	}
	return index
})

// tubesWith returns the tubes that answer to every one of the words.
func tubesWith(words []string) []Tube {
	if len(words) == 0 {
		return nil
	}
	var fit []Tube
	for i, t := range tubeTable() {
		own := tubeWords()[i]
		if !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(own, w) }) {
			fit = append(fit, t)
		}
	}
	return fit
}

// tubeWords holds the words of every tube in document order.
var tubeWords = sync.OnceValue(func() [][]string {
	all := make([][]string, 0, len(tubeTable()))
	for _, t := range tubeTable() {
		all = append(all, t.words())
	}
	return all
})

func tubeNames(tubes []Tube) []string {
	names := make([]string, 0, len(tubes))
	for _, t := range tubes {
		names = append(names, t.Name)
	}
	return names
}

// words returns every word a tube answers to.
func (t Tube) words() []string {
	own := words(strings.Join([]string{t.Name, t.Standard, t.Designation, t.Series, t.NominalSize}, " "))
	for _, also := range t.also {
		own = append(own, words(also)...)
	}
	for _, size := range t.sizes {
		own = append(own, plainWord(size))
	}
	return append(own, standardNumbers(t.Standard)...)
}

// standardIn reports whether the number of the tube's standard is among the words.
func (t Tube) standardIn(words []string) bool {
	numbers := standardNumbers(t.Standard)
	return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(numbers, w) })
}
