package barrier

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// keyStep is one step on the way to a value: a key of a table, or an element of a list.
type keyStep struct {
	key   string
	index int // of an element, from 0; -1 for a key
}

func (s keyStep) isIndex() bool { return s.index >= 0 }

// String returns the step as it is written: key, "a key", [2].
func (s keyStep) String() string {
	if s.isIndex() {
		return "[" + strconv.Itoa(s.index) + "]"
	}
	return join("", s.key)
}

// keyPath is the way from the top level to a value.
type keyPath []keyStep

// String returns the path in the one way in which Input and Problem have it.
func (way keyPath) String() string {
	path := ""
	for _, s := range way {
		if s.isIndex() {
			path = element(path, s.index)
		} else {
			path = join(path, s.key)
		}
	}
	return path
}

// parseKeyPath reads keys with points between them, quoted where they hold more than letters,
// digits, - and _, or space inside a name, and indices in brackets: rail[0].height,
// load."v. 2".value.
func parseKeyPath(text string) (keyPath, error) {
	const most = 64 // steps, as a dotted key of TOML has at most
	var way keyPath
	for rest := text; ; {
		s, after, err := cutStep(rest)
		if err != nil {
			return nil, err
		}
		way = append(way, s)
		if len(way) > most {
			return nil, fmt.Errorf("a path of more than %d steps", most)
		}
		switch {
		case after == "":
			return way, nil
		case after[0] == '[':
			rest = after
		case after[0] == '.' && (len(after) == 1 || after[1] != '['):
			rest = after[1:]
		default:
			return nil, fmt.Errorf("a point is wanted before %s", quote(after))
		}
	}
}

// cutStep reads the first step of a path that has one.
func cutStep(text string) (s keyStep, rest string, err error) {
	switch {
	case strings.HasPrefix(text, "["):
		digits, rest, closed := strings.Cut(text[1:], "]")
		i, err := strconv.ParseUint(digits, 10, 31)
		if err != nil || !closed {
			return s, "", fmt.Errorf("%s is no index: write [0], [1] and so on", quote(text[:len(text)-len(rest)]))
		}
		return keyStep{index: int(i)}, rest, nil
	case strings.HasPrefix(text, `"`), strings.HasPrefix(text, "'"):
		end := closingQuote(text)
		name, ok := unquoted(text[:end])
		if !ok || name == "" {
			return s, "", fmt.Errorf("the quotes of %s hold no key", quote(text))
		}
		return keyStep{name, -1}, text[end:], nil
	}
	end := strings.IndexAny(text, ".[")
	if end < 0 {
		end = len(text)
	}
	name := strings.TrimSpace(text[:end])
	switch {
	case name == "" && text == "":
		return s, "", errors.New("a key is missing")
	case name == "":
		return s, "", fmt.Errorf("a key is missing before %s", quote(text))
	case strings.ContainsFunc(name, func(c rune) bool { return !unicode.IsPrint(c) || strings.ContainsRune(`"'=]`, c) }):
		return s, "", fmt.Errorf("%s is no key", quote(name))
	}
	return keyStep{name, -1}, text[end:], nil
}

// closingQuote returns how many bytes a quoted key takes; 0 where its quotes are not closed.
func closingQuote(text string) int {
	for i := 1; i < len(text); i++ {
		switch {
		case text[i] == '\\' && text[0] == '"':
			i++
		case text[i] == text[0]:
			return i + 1
		}
	}
	return 0
}

// below returns the kind of the table that stands, or may stand, below a key; list says that
// there may be several, as of [[rail]]. ok is false for a key that holds a value and no table.
func (k tableKind) below(key string) (kind tableKind, list, ok bool) {
	type nested struct {
		kind tableKind
		list bool
	}
	tables := map[tableKind]map[string]nested{
		topLevel: {
			"run": {runTable, false}, "post": {postTable, false}, "rail": {railTable, true}, "brace": {braceTable, true},
			"infill": {infillTable, false}, "fitting": {fittingTable, false}, "gap": {gapTable, true}, "gate": {gapTable, true},
			"load": {loadTable, true}, "combinations": {combiningTable, false}, "limits": {limitsTable, false}, "scope": {scopeTable, false}, "stock": {stockTable, false},
			"exposure": {exposureTable, false}, "survey": {surveyTable, false}, "prooftest": {proofTable, false},
		},
		runTable:           {"legs": {legTable, true}, "start": {endTable, false}, "end": {endTable, false}, "toe_plate": {toePlateTable, false}},
		postTable:          {"tube": {tubeTable, false}, "grade": {gradeTable, false}, "net": {netTable, false}, "base": {baseTable, false}},
		railTable:          {"tube": {tubeTable, false}, "grade": {gradeTable, false}, "net": {netTable, false}},
		braceTable:         {"tube": {tubeTable, false}, "grade": {gradeTable, false}, "foot": {braceFootTable, false}},
		counterweightTable: {"weights": {weightTable, true}, "friction": {frictionTable, false}},
		fittingTable:       {"moment": {jointTable, false}, "corner": {cornerTable, false}, "brace": {braceFittingTable, false}, "screw": {screwTable, false}},
		cornerTable:        {"moment": {turnTable, false}},
		loadTable:          {"direction": {directionTable, false}},
		combiningTable:     {"own": {ownMixTable, true}},
		stockTable:         {"tubes": {stockTubeTable, true}},
		stockTubeTable:     {"tube": {tubeTable, false}, "grade": {gradeTable, false}},
		exposureTable:      {"inside": {insideTable, false}},
		surveyTable:        {"post": {surveyPostTable, true}, "rail": {surveyRailTable, true}, "fitting": {surveyFittingTable, true}},
	}
	if k == baseTable && slices.Contains(baseKinds(), key) {
		return baseTableOf(key), false, true
	}
	found, ok := tables[k][key]
	return found.kind, found.list, ok
}

// Paths returns the paths, as Change has them, that a key stands for as people write it: a path
// itself, with the name of an element in the place of its index ("rail.top.tube",
// "load.people.value"), or with neither, for every element of the list ("rail.tube"). A key
// that the file lacks and could have is among them; a list has the elements of the file alone.
//
// The error is a *Problem, whose path is the key: what there is instead, the nearest first.
func (doc *Document) Paths(key string) ([]string, error) {
	way, err := parseKeyPath(key)
	if err != nil {
		return nil, &Problem{Pos: Position{File: doc.name}, Path: key, What: err.Error(), Fix: "write a key as run.spacing, rail[0].height or rail.top.height", at: nowhere()}
	}
	found, problem := doc.inTable(topLevel, doc.root, nil, way)
	if problem != nil {
		problem.Path = way.String()
		problem.Pos.File, problem.at = doc.name, nowhere()
		return nil, problem
	}
	paths := make([]string, len(found))
	for i := range found {
		paths[i] = found[i].String()
	}
	return paths, nil
}

// inTable follows the rest of a way from a table, nil for one that the file lacks.
func (doc *Document) inTable(kind tableKind, values any, done, rest keyPath) ([]keyPath, *Problem) {
	next := rest[0]
	if next.isIndex() {
		return nil, &Problem{What: done.String() + " is one table and no list", Fix: "leave " + next.String() + " out"}
	}
	known, ok := kind.key(next.key)
	switch {
	case !ok:
		return nil, &Problem{What: next.String() + " is an unknown key " + kind.where(), Fix: kind.nearestKeys(next.key)}
	case known.instead != "":
		return nil, &Problem{What: next.String() + " is not supported yet", Fix: known.instead}
	}
	done = append(slices.Clip(done), next)
	value := valueAt(values, keyPath{next})
	below, list, isTable := kind.below(next.key)
	switch {
	case list:
		return doc.inList(below, value, done, rest[1:])
	case len(rest) == 1:
		return []keyPath{done}, nil
	case isTable && (value == nil || isMap(value)):
		return doc.inTable(below, value, done, rest[1:])
	case isMap(value) || valueAt(value, rest[1:]) != nil:
		return []keyPath{append(done, rest[1:]...)}, nil // keys of the file's own, elements of a list
	case value == nil:
		return nil, &Problem{What: done.String() + " is not in the file, and holds no table", Fix: "vary " + done.String()}
	}
	return nil, &Problem{What: fmt.Sprintf("%s is %s here, and nothing stands below it at %s", done, quote(tomlText(value)), rest[1]), Fix: "vary " + done.String()}
}

func isMap(value any) bool { _, ok := value.(map[string]any); return ok }

// isInline reports whether a list of tables is written as a value: legs = [{ ... }].
func isInline(value any) bool { _, ok := value.([]any); return ok }

// inList follows the rest of a way from a list of tables: to the element of an index or a name,
// or to all of them.
func (doc *Document) inList(kind tableKind, value any, done, rest keyPath) ([]keyPath, *Problem) {
	elements := tablesOf(value)
	names := make([]string, len(elements))
	for i := range elements {
		names[i], _ = elements[i]["name"].(string)
	}
	a := done.String()
	switch {
	case len(elements) == 0:
		return nil, &Problem{What: "there is no [[" + a + "]] in the file", Fix: "add one; a value can be put into those that are there"}
	case len(rest) == 0 && isInline(value):
		return []keyPath{done}, nil
	case len(rest) == 0:
		return nil, &Problem{What: a + " is a list of tables", Fix: fmt.Sprintf("name a key below it, %s.%s of every one or %s[0].%s of the first; known here: %s", a, kind.names()[0], a, kind.names()[0], strings.Join(kind.names(), ", "))}
	case rest[0].isIndex() && rest[0].index >= len(elements):
		return nil, &Problem{What: fmt.Sprintf("there is no %s%s: the file has %d", a, rest[0], len(elements)), Fix: fmt.Sprintf("they are counted from [0]: write %s[%d] for the last", a, len(elements)-1)}
	case rest[0].isIndex():
		return doc.inElement(kind, elements[rest[0].index], append(slices.Clip(done), rest[0]), rest[1:])
	}
	_, isKey := kind.key(rest[0].key)
	at := slices.Index(names, rest[0].key)
	switch {
	case at >= 0 && (len(rest) > 1 || !isKey):
		one := append(slices.Clip(done), keyStep{index: at})
		found, problem := doc.inElement(kind, elements[at], one, rest[1:])
		if problem == nil || !isKey {
			return found, problem
		}
	case !isKey:
		return nil, doc.unknownElement(kind, a, rest[0].key, names)
	}
	var all []keyPath
	for i := range elements {
		found, problem := doc.inTable(kind, elements[i], append(slices.Clip(done), keyStep{index: i}), rest)
		if problem != nil {
			return nil, problem
		}
		all = append(all, found...)
	}
	return all, nil
}

// inElement follows the rest of a way from one element of a list of tables.
func (doc *Document) inElement(kind tableKind, values map[string]any, done, rest keyPath) ([]keyPath, *Problem) {
	if len(rest) == 0 {
		return nil, &Problem{What: done.String() + " is a table", Fix: "name a key below it, such as " + done.String() + "." + kind.names()[0] + "; known here: " + strings.Join(kind.names(), ", ")}
	}
	return doc.inTable(kind, values, done, rest)
}

// unknownElement says what may have been meant by a word that is neither a name in a list of
// tables nor a key of each.
func (doc *Document) unknownElement(kind tableKind, list, word string, names []string) *Problem {
	names = slices.DeleteFunc(slices.Clone(names), func(name string) bool { return name == "" })
	fix := ""
	if near, ok := likely(word, append(slices.Clone(names), kind.names()...)); ok {
		fix = "the nearest is " + list + "." + join("", near) + "; "
	}
	if n := len(names); n > mostListed {
		fix += fmt.Sprintf("there are %s and %d more; ", strings.ReplaceAll(oneOf(names[:mostListed]), " or ", ", "), n-mostListed)
	} else if n > 0 {
		fix += "there are " + strings.ReplaceAll(oneOf(names), " or ", " and ") + "; "
	}
	return &Problem{
		What: quote(word) + " is neither the name of a [[" + list + "]] nor a key of one",
		Fix:  fix + "known keys: " + strings.Join(kind.names(), ", "),
	}
}

// tablesOf returns the tables of a list of them, in either way of writing it.
func tablesOf(value any) []map[string]any {
	switch v := value.(type) {
	case []map[string]any:
		return v
	case []any:
		tables := make([]map[string]any, len(v))
		for i := range v {
			tables[i], _ = v[i].(map[string]any)
		}
		return tables
	}
	return nil
}

// nearestKeys says which known key a word most likely stands for, and all that are known.
func (k tableKind) nearestKeys(word string) string {
	all := "known here: " + strings.Join(k.names(), ", ")
	if right := k.rightKey(word); !strings.HasSuffix(right, all) {
		return right + "; " + all
	}
	return k.rightKey(word)
}

// Value reads a value of TOML, such as "text", ["0 m", "1.2 m"] or { od = "48.3 mm" }. The error
// says that a text is none.
func Value(text string) (any, error) {
	if strings.ContainsAny(text, "\r\n") {
		return nil, errors.New("the value holds a line end")
	}
	var root map[string]any
	if _, err := decodeTOML("x = "+text, &root); err != nil {
		return nil, errors.New("this is no value of TOML")
	}
	return root["x"], nil
}
