package barrier

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"github.com/BurntSushi/toml"

	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// Document is a file as it was read, before its values are judged: what Definition makes a
// barrier of, with its own values or with others in their place. It does not change, and may
// be used by several goroutines at once.
type Document struct {
	name    string
	root    map[string]any
	locator *locator
}

// Change puts another value in the place of one of a document, or takes a key out. A table that
// is not there yet is made; an element of a list must be there, and stays.
type Change struct {
	Path  string // with indices, as Input has it: "run.spacing", "rail[0].tube"
	Value any    // as TOML gives it: string, int64, float64, bool, []any, map[string]any; nil: the key is taken out
}

// readTables begins to read the tables that nearly every definition asks for, beside its TOML.
var readTables = sync.OnceFunc(func() {
	go sections.Ready()
	go loads.Annexes()
})

// Read reads the TOML of a definition, and not yet what it means. Name and error are those of
// Parse.
func Read(name string, data []byte) (*Document, error) {
	readTables()
	if name == "-" {
		name = standardInput
	}
	r := &reader{def: &Definition{File: name}}
	root, ok := r.parse(strings.TrimPrefix(string(data), "\ufeff"))
	if !ok {
		return nil, r.sorted()
	}
	return &Document{name: name, root: root, locator: r.locator}, nil
}

// Definition reads the barrier that the document describes, with changes made one after the
// other. The error is of type Problems, as that of Parse; a problem with a changed value has no
// place and tells the value. A change to a key that no table has is a problem like that of an
// unknown key.
func (doc *Document) Definition(changes ...Change) (*Definition, error) {
	r := &reader{locator: doc.locator, root: doc.root, def: &Definition{File: doc.name}}
	for _, c := range changes {
		if err := r.change(c); err != nil {
			r.report(nowhere(), c.Path, err.Error(), "")
		}
	}
	if len(r.problems) > 0 {
		return nil, r.sorted()
	}
	r.definition(r.root)
	r.judgeWinds()
	if err := r.sorted(); err != nil {
		return nil, err
	}
	return r.def, nil
}

// change makes a change of what is to be read.
func (r *reader) change(c Change) error {
	way, err := parseKeyPath(c.Path)
	if err != nil {
		return err
	}
	changed, err := changedAt(r.root, way, c.Value)
	if err != nil {
		return err
	}
	r.root = changed.(map[string]any)
	r.changes = append(slices.Clip(r.changes), Change{way.String(), c.Value})
	return nil
}

// sorted returns the problems at their places, in order; nil where there are none.
func (r *reader) sorted() error {
	if r.locator != nil {
		r.problems.setPositions(r.locator)
	}
	r.problems.Sort()
	return r.problems.Err()
}

// changeOf returns the last of some changes by which what stands at a path was put there.
func changeOf(changes []Change, path string) (Change, bool) {
	for _, c := range slices.Backward(changes) {
		if covers(c.Path, path) {
			return c, true
		}
	}
	return Change{}, false
}

// covers reports whether a path is another or leads to it.
func covers(path, other string) bool {
	rest, begins := strings.CutPrefix(other, path)
	return begins && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// isChanged reports whether a value stands, or would stand, where another was put.
func (r *reader) isChanged(path string) bool {
	_, changed := changeOf(r.changes, path)
	return changed
}

// stands reports whether something stands at a path in what is read.
func (r *reader) stands(path string) bool {
	way, err := parseKeyPath(path)
	return err == nil && valueAt(r.root, way) != nil
}

// put tells what a change put at a path, for a message about it.
func (c Change) put(path string) string {
	const longest = 80
	way, err := parseKeyPath(strings.TrimPrefix(strings.TrimPrefix(path, c.Path), "."))
	value := c.Value
	if err == nil {
		value = valueAt(c.Value, way)
	}
	if value == nil {
		return " (taken out)"
	}
	text := []rune(tomlText(value))
	if len(text) > longest {
		text = append(text[:longest], []rune("...")...)
	}
	return " (put here: " + string(text) + ")"
}

// valueAt returns what stands at the end of some steps; nil for nothing.
func valueAt(value any, way keyPath) any {
	for _, s := range way {
		switch v := value.(type) {
		case map[string]any:
			if s.isIndex() {
				return nil
			}
			value = v[s.key]
		case []map[string]any:
			if !s.isIndex() || s.index >= len(v) {
				return nil
			}
			value = v[s.index]
		case []any:
			if !s.isIndex() || s.index >= len(v) {
				return nil
			}
			value = v[s.index]
		default:
			return nil
		}
	}
	return value
}

// changedAt returns a copy of a value with another at the end of some steps; what does not lie
// on the way is shared.
func changedAt(value any, way keyPath, to any) (any, error) {
	if len(way) == 0 {
		return to, nil
	}
	next := way[0]
	switch v := value.(type) {
	case nil:
		if next.isIndex() {
			return nil, errors.New("there is no list of that name in the file")
		}
		changed, err := changedAt(nil, way[1:], to)
		if err != nil || changed == nil {
			return nil, err // nothing to take out
		}
		return map[string]any{next.key: changed}, nil
	case map[string]any:
		if next.isIndex() {
			return nil, fmt.Errorf("%s stands below a table and not below a list", next)
		}
		changed, err := changedAt(v[next.key], way[1:], to)
		if err != nil {
			return nil, err
		}
		out := maps.Clone(v)
		if out[next.key] = changed; changed == nil {
			delete(out, next.key)
		}
		return out, nil
	case []map[string]any:
		changed, err := changedElement(len(v), func(i int) any { return v[i] }, way, to)
		if err != nil {
			return nil, err
		}
		table, ok := changed.(map[string]any)
		if !ok {
			return nil, fmt.Errorf("%s is a table, and no value can stand in its place", next)
		}
		out := slices.Clone(v)
		out[next.index] = table
		return out, nil
	case []any:
		changed, err := changedElement(len(v), func(i int) any { return v[i] }, way, to)
		if err != nil {
			return nil, err
		}
		out := slices.Clone(v)
		out[next.index] = changed
		return out, nil
	}
	return nil, fmt.Errorf("%s stands below a value and not below a table", next)
}

// changedElement returns one element of a list of n with another value at the end of some
// steps, the first of which is its index.
func changedElement(n int, at func(int) any, way keyPath, to any) (any, error) {
	next := way[0]
	if !next.isIndex() || next.index >= n {
		return nil, fmt.Errorf("%s is none of a list of %d: they are counted from [0]", next, n)
	}
	changed, err := changedAt(at(next.index), way[1:], to)
	if err == nil && changed == nil {
		return nil, fmt.Errorf("%s is an element of a list, and cannot be taken out alone", next)
	}
	return changed, err
}

// changeAt returns the first change, as its index, by which what stands at a path was put there.
func (r *reader) changeAt(path string) (int, bool) {
	i := slices.IndexFunc(r.changes, func(c Change) bool { return covers(c.Path, path) })
	return i, i >= 0
}

// changedElements reports whether elements of a list were changed, and marks those changes as
// told.
func (r *reader) changedElements(list string, told []bool) bool {
	some := false
	for i, c := range r.changes {
		if strings.HasPrefix(c.Path, list+"[") {
			told[i], some = true, true
		}
	}
	return some
}

// changedInputs returns the values that a change put there, as they stand after all changes;
// none for one within another, or whose place is told already.
func (r *reader) changedInputs(i int) []Input {
	path := r.changes[i].Path
	for j, other := range r.changes {
		if j != i && covers(other.Path, path) && (other.Path != path || j < i) {
			return nil
		}
	}
	way, err := parseKeyPath(path)
	value := valueAt(r.root, way)
	if err != nil || value == nil {
		return nil
	}
	return unplacedInputs(path, value)
}

// tomlText returns a value as TOML has it, on one line.
func tomlText(value any) string {
	switch v := value.(type) {
	case []any:
		parts := make([]string, len(v))
		for i := range v {
			parts[i] = tomlText(v[i])
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case []map[string]any:
		parts := make([]string, len(v))
		for i := range v {
			parts[i] = tomlText(v[i])
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case map[string]any:
		var parts []string
		for _, key := range slices.Sorted(maps.Keys(v)) {
			parts = append(parts, join("", key)+" = "+tomlText(v[key]))
		}
		return strings.Replace("{ "+strings.Join(parts, ", ")+" }", "{  }", "{}", 1)
	}
	data, err := toml.Marshal(map[string]any{"x": value})
	if err != nil {
		return fmt.Sprint(value)
	}
	return strings.TrimPrefix(strings.TrimSpace(string(data)), "x = ")
}
