package main

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"
)

// list is the file of mutations.
type list struct {
	// Wider are the packages, by folder of the file, whose tests get what a mutation's own let pass.
	Wider     map[string][]string `toml:"wider"`
	Mutations []mutation          `toml:"mutation"`
}

// mutation is a formula spoilt.
type mutation struct {
	ID   string `toml:"id"`
	File string `toml:"file"`
	// After is a text that stands once and before Old, where Old stands more than once.
	After      string `toml:"after"`
	Old        string `toml:"old"`
	New        string `toml:"new"`
	Means      string `toml:"means"`
	In         string `toml:"in"`         // package of the test
	Test       string `toml:"test"`       // pattern of the tests; empty: all of the package
	Equivalent string `toml:"equivalent"` // why nothing can tell the two apart
}

// fate is what became of a mutation.
type fate string

const (
	killed     fate = "killed"
	survived   fate = "survived"
	notThere   fate = "does not apply"
	notGo      fate = "does not compile"
	equivalent fate = "equivalent"
	unsound    fate = "fails unspoilt" // the tests, whether a formula is spoilt or not
)

// read reads the list and refuses one that does not say all.
func read(name string) (*list, error) {
	var l list
	known, err := toml.DecodeFile(name, &l)
	if err != nil {
		return nil, err
	}
	if unknown := known.Undecoded(); len(unknown) > 0 {
		return nil, fmt.Errorf("%s: no key %v is known", name, unknown[0])
	}
	ids := map[string]bool{}
	for _, m := range l.Mutations {
		switch {
		case m.ID == "" || m.File == "" || m.Old == "" || m.Means == "" || m.In == "":
			return nil, fmt.Errorf("%s: mutation %q wants id, file, old, means and in", name, m.ID)
		case ids[m.ID]:
			return nil, fmt.Errorf("%s: two mutations are called %q", name, m.ID)
		case m.Old == m.New:
			return nil, fmt.Errorf("%s: mutation %q changes nothing", name, m.ID)
		}
		ids[m.ID] = true
	}
	return &l, nil
}

// groups returns the mutations by folder and by the package that tests them, each in the order of the
// list.
func (l *list) groups() [][]*mutation {
	type key struct{ folder, in string }
	at := map[key]int{}
	var groups [][]*mutation
	for i := range l.Mutations {
		m := &l.Mutations[i]
		k := key{path.Dir(m.File), m.In}
		if _, known := at[k]; !known {
			at[k] = len(groups)
			groups = append(groups, nil)
		}
		groups[at[k]] = append(groups[at[k]], m)
	}
	return groups
}

// chosen reports whether the id begins as one of several words does.
func (m *mutation) chosen(only string) bool {
	return slices.ContainsFunc(strings.Split(only, ","), func(begins string) bool { return strings.HasPrefix(m.ID, begins) })
}

// spoil returns a source with the mutation in it, and where it begins.
func (m *mutation) spoil(source string) (spoilt string, at int, err error) {
	if m.After != "" {
		if n := strings.Count(source, m.After); n != 1 {
			return "", 0, fmt.Errorf("%s: %d places have what it stands after, %q", m.File, n, m.After)
		}
		at = strings.Index(source, m.After) + len(m.After)
	}
	n := strings.Count(source[at:], m.Old)
	if n == 0 || n > 1 && m.After == "" {
		return "", 0, fmt.Errorf("%s: %d places have %q", m.File, n, m.Old)
	}
	at += strings.Index(source[at:], m.Old)
	return source[:at] + m.New + source[at+len(m.Old):], at, nil
}
