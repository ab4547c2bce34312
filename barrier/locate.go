package barrier

import (
	"errors"
	"fmt"
	"iter"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
)

// The toml package files positions by dotted key, so that all [[rail]] tables share
// one "rail.height". The scanner here walks the text itself and keeps the place of
// every key and array element under a path with indices, "rail[1].height". Its key
// sequence is compared with that of the toml package; should they differ, no place is
// told, for a missing place is better than a wrong one.

// span is a stretch of the source, byte offsets from inclusive to exclusive.
type span struct{ from, to int }

// place is where one key, table header or array element stands.
type place struct {
	path   string   // with indices, such as "run.posts[2]"
	key    []string // as toml.MetaData.Keys has it; nil for an array element
	name   span     // the key; the value again for an array element
	value  span     // the value; the name again for a table header
	header bool     // of a [table] or [[table]]
	array  bool     // the value is an array
	table  bool     // the value is an inline table
}

// locator finds the place of a path in a source.
type locator struct {
	source string
	places []place // document order; nil when they cannot be trusted
	byPath map[string]int
	lines  []int // byte offset at which each line starts

	stopped int // byte offset at which the scanner stopped
}

// newLocator scans the source and keeps its places.
func newLocator(source string) (*locator, error) {
	l := &locator{source: source, byPath: map[string]int{}, lines: lineStarts(source)}
	var err error
	l.places, l.stopped, err = scanPlaces(source)
	for i, p := range l.places {
		if _, seen := l.byPath[p.path]; !seen {
			l.byPath[p.path] = i
		}
	}
	return l, err
}

// agrees says whether the scanned keys are those of the toml package, in its order.
func (l *locator) agrees(keys []toml.Key) bool {
	i := 0
	for _, p := range l.places {
		if p.key == nil {
			continue
		}
		if i >= len(keys) || !slices.Equal(p.key, []string(keys[i])) {
			return false
		}
		i++
	}
	return i == len(keys)
}

// writtenOver returns a value that takes the place of what stands before it, which TOML forbids and
// the toml package lets pass: one at the path of a table whose keys are given before, or a key of
// a table that is written in braces before.
func (l *locator) writtenOver() (second, first place, ok bool) {
	within := map[string]int{} // of every path under which something stands, the first that does
	braces := map[string]int{} // of every table in braces, its place
	for i, p := range l.places {
		if p.key == nil && !p.table {
			continue
		}
		if first, stands := within[p.path]; stands && p.key != nil && !p.header {
			return p, l.places[first], true
		}
		for path := range parents(p.path) {
			if first, written := braces[path]; written && p.value.from > l.places[first].value.to {
				return p, l.places[first], true
			}
			if _, known := within[path]; !known {
				within[path] = i
			}
		}
		if p.table {
			braces[p.path] = i
		}
	}
	return place{}, place{}, false
}

// parents yields the paths of the tables and lists that hold what stands at a path, from the nearest up.
func parents(path string) iter.Seq[string] {
	return func(yield func(string) bool) {
		quoted := false
		for i := len(path) - 1; i > 0; i-- {
			switch c := path[i]; {
			case c == '"' && path[i-1] != '\\':
				quoted = !quoted
			case !quoted && (c == '.' || c == '['):
				if !yield(path[:i]) {
					return
				}
			}
		}
	}
}

// distrust forgets every place.
func (l *locator) distrust() { l.places, l.byPath = nil, nil }

// find returns the place of a path. A table that has no header of its own, and a list
// of tables, stand where their first key or table does.
func (l *locator) find(path string) (place, bool) {
	if i, ok := l.byPath[path]; ok {
		return l.places[i], true
	}
	for _, p := range l.places {
		if strings.HasPrefix(p.path, path+".") || strings.HasPrefix(p.path, path+"[") {
			return place{path: path, name: p.name, value: p.name}, true
		}
	}
	return place{}, false
}

// end is the empty span behind the last visible character, where a missing table goes.
func (l *locator) end() span {
	n := len(strings.TrimRight(l.source, " \t\r\n"))
	return span{n, n}
}

// line returns the number (from 0) of the line that holds a byte offset.
func (l *locator) line(offset int) int {
	return sort.Search(len(l.lines), func(i int) bool { return l.lines[i] > offset }) - 1
}

// lineSpan returns the stretch of a line (from 0) without its line end.
func (l *locator) lineSpan(line int) span {
	s := span{l.lines[line], len(l.source)}
	if line+1 < len(l.lines) {
		s.to = l.lines[line+1]
	}
	text := l.source[s.from:s.to]
	s.to = s.from + len(strings.TrimSuffix(strings.TrimSuffix(text, "\n"), "\r"))
	return s
}

func lineStarts(source string) []int {
	starts := []int{0}
	for i := range len(source) {
		if source[i] == '\n' {
			starts = append(starts, i+1)
		}
	}
	return starts
}

var (
	errTooDeep  = fmt.Errorf("nested more than %d deep", maxNesting)
	errTooMany  = fmt.Errorf("more than %d keys and values", maxPlaces)
	errNotKnown = errors.New("the scanner does not know this text")
)

// scanPlaces returns the places of a TOML document in document order. It is lenient:
// the toml package judges the syntax. At text it cannot follow it stops and returns
// what it has, where it stopped, and an error.
func scanPlaces(source string) (places []place, stopped int, err error) {
	s := &scanner{source: source, tables: map[string]int{}}
	for {
		s.skipBlank()
		if s.at == len(s.source) {
			return s.places, s.at, nil
		}
		if s.source[s.at] == '[' {
			err = s.tableHeader()
		} else {
			err = s.pair(s.table, s.tableKey, 0)
		}
		if err != nil {
			return s.places, s.at, err
		}
	}
}

// scanner walks a TOML document from the start to the end.
type scanner struct {
	source   string
	at       int
	places   []place
	tables   map[string]int // how many tables each [[path]] has so far
	table    string         // path of the table whose keys follow
	tableKey []string
}

// skipSpace passes blanks and tabs.
func (s *scanner) skipSpace() {
	for s.at < len(s.source) && (s.source[s.at] == ' ' || s.source[s.at] == '\t') {
		s.at++
	}
}

// skipBlank passes white space, line ends and comments.
func (s *scanner) skipBlank() {
	for s.at < len(s.source) {
		switch s.source[s.at] {
		case ' ', '\t', '\r', '\n':
			s.at++
		case '#':
			s.at = s.lineEnd()
		default:
			return
		}
	}
}

func (s *scanner) lineEnd() int {
	if n := strings.IndexByte(s.source[s.at:], '\n'); n >= 0 {
		return s.at + n
	}
	return len(s.source)
}

// accept passes the text if it stands here.
func (s *scanner) accept(text string) bool {
	if !strings.HasPrefix(s.source[s.at:], text) {
		return false
	}
	s.at += len(text)
	return true
}

// tableHeader reads [a.b] or [[a.b]]; the keys that follow belong to it.
func (s *scanner) tableHeader() error {
	start := s.at
	closing := "]"
	s.at++
	if s.accept("[") {
		closing = "]]"
	}
	parts, _, err := s.keyParts()
	if err != nil {
		return err
	}
	if !s.accept(closing) {
		return errNotKnown
	}
	path := s.resolve("", parts[:len(parts)-1])
	path = join(path, parts[len(parts)-1])
	if closing == "]]" {
		s.tables[path]++
	}
	path = s.indexed(path)
	s.table, s.tableKey = path, parts
	here := span{start, s.at}
	s.places = append(s.places, place{path: path, key: parts, name: here, value: here, header: true})
	return nil
}

// resolve appends key parts to a path; a part that names an array of tables stands for
// its newest table.
func (s *scanner) resolve(path string, parts []string) string {
	for _, part := range parts {
		path = s.indexed(join(path, part))
	}
	return path
}

func (s *scanner) indexed(path string) string {
	if n := s.tables[path]; n > 0 {
		return fmt.Sprintf("%s[%d]", path, n-1)
	}
	return path
}

func join(path, part string) string {
	if name := (toml.Key{part}).String(); path == "" {
		return name
	} else {
		return path + "." + name
	}
}

// pair reads key = value inside the table of the given path and key.
func (s *scanner) pair(path string, key []string, depth int) error {
	parts, name, err := s.keyParts()
	if err != nil {
		return err
	}
	if !s.accept("=") {
		return errNotKnown
	}
	s.skipSpace()
	for _, part := range parts {
		path = join(path, part)
	}
	whole := append(slices.Clone(key), parts...)
	return s.value(place{path: path, key: whole, name: name}, whole, depth)
}

// keyParts reads a dotted key and the blanks behind it.
func (s *scanner) keyParts() (parts []string, at span, err error) {
	s.skipSpace()
	at = span{s.at, s.at}
	for {
		part, err := s.keyPart()
		if err != nil {
			return nil, at, err
		}
		parts = append(parts, part)
		if len(parts) > maxKeyParts {
			return nil, at, errTooDeep
		}
		at.to = s.at
		s.skipSpace()
		if !s.accept(".") {
			return parts, at, nil
		}
		s.skipSpace()
	}
}

// keyPart reads one bare or quoted part of a key.
func (s *scanner) keyPart() (string, error) {
	start := s.at
	if s.at < len(s.source) && (s.source[s.at] == '"' || s.source[s.at] == '\'') {
		quote := s.source[s.at]
		if !s.quoted() {
			return "", errNotKnown
		}
		text := s.source[start+1 : s.at-1]
		if quote == '"' {
			return unescape(text)
		}
		return text, nil
	}
	for s.at < len(s.source) && !strings.ContainsRune(" \t\r\n.=[]{},#\"'", rune(s.source[s.at])) {
		s.at++
	}
	if s.at == start {
		return "", errNotKnown
	}
	return s.source[start:s.at], nil
}

// value reads any value and records its place, the places inside it after it.
func (s *scanner) value(p place, key []string, depth int) error {
	if depth > maxNesting {
		return errTooDeep
	}
	if s.at == len(s.source) {
		return errNotKnown
	}
	p.value.from = s.at
	n := len(s.places)
	if n == maxPlaces {
		return errTooMany
	}
	s.places = append(s.places, p)
	ok, err := true, error(nil)
	switch s.source[s.at] {
	case '"', '\'':
		ok = s.quoted()
	case '[':
		s.places[n].array = true
		err = s.elements(p.path, key, depth)
	case '{':
		s.places[n].table = true
		err = s.inlineTable(p.path, key, depth)
	default:
		ok = s.bare()
	}
	if !ok {
		err = errNotKnown
	}
	s.places[n].value.to = s.at
	if p.key == nil {
		s.places[n].name = s.places[n].value
	}
	return err
}

// elements reads the elements of an array.
func (s *scanner) elements(path string, key []string, depth int) error {
	s.at++
	for i := 0; ; i++ {
		s.skipBlank()
		if s.accept("]") {
			return nil
		}
		if err := s.value(place{path: fmt.Sprintf("%s[%d]", path, i)}, key, depth+1); err != nil {
			return err
		}
		s.skipBlank()
		if !s.accept(",") && !strings.HasPrefix(s.source[s.at:], "]") {
			return errNotKnown
		}
	}
}

// inlineTable reads the pairs of { ... }.
func (s *scanner) inlineTable(path string, key []string, depth int) error {
	s.at++
	for {
		s.skipBlank()
		if s.accept("}") {
			return nil
		}
		if err := s.pair(path, key, depth+1); err != nil {
			return err
		}
		s.skipBlank()
		if !s.accept(",") && !strings.HasPrefix(s.source[s.at:], "}") {
			return errNotKnown
		}
	}
}

// quoted passes a string of any of the four kinds.
func (s *scanner) quoted() bool {
	quote := s.source[s.at : s.at+1]
	long := strings.Repeat(quote, 3)
	escapes := quote == `"`
	if !s.accept(long) {
		s.at++
		return s.closeString(quote, escapes)
	}
	if !s.closeString(long, escapes) {
		return false
	}
	for range 2 { // two quotes may stand right before the closing three
		s.accept(quote)
	}
	return true
}

// closeString passes the rest of a string and the quotes that close it.
func (s *scanner) closeString(quotes string, escapes bool) bool {
	for s.at < len(s.source) {
		switch {
		case escapes && s.source[s.at] == '\\':
			s.at = min(s.at+2, len(s.source))
		case s.accept(quotes):
			return true
		case len(quotes) == 1 && s.source[s.at] == '\n':
			return false
		default:
			s.at++
		}
	}
	return false
}

// bare passes a number, a boolean, a date or whatever else stands unquoted.
func (s *scanner) bare() bool {
	start := s.at
	for s.at < len(s.source) && !strings.ContainsRune(",]}#\r\n", rune(s.source[s.at])) {
		s.at++
	}
	for s.at > start && (s.source[s.at-1] == ' ' || s.source[s.at-1] == '\t') {
		s.at--
	}
	return s.at > start
}

// unescape resolves the escapes of a basic string.
func unescape(text string) (string, error) {
	if !strings.Contains(text, `\`) {
		return text, nil
	}
	single := map[byte]string{'b': "\b", 't': "\t", 'n': "\n", 'f': "\f", 'r': "\r", 'e': "\x1b", '"': `"`, '\\': `\`}
	digits := map[byte]int{'x': 2, 'u': 4, 'U': 8}
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		if text[i] != '\\' {
			b.WriteByte(text[i])
			continue
		}
		i++
		if i == len(text) {
			return "", errNotKnown
		}
		if plain, ok := single[text[i]]; ok {
			b.WriteString(plain)
			continue
		}
		n := digits[text[i]]
		if n == 0 || i+n >= len(text) {
			return "", errNotKnown
		}
		code, err := strconv.ParseUint(text[i+1:i+1+n], 16, 32)
		if err != nil || code > utf8.MaxRune {
			return "", errNotKnown
		}
		b.WriteRune(rune(code))
		i += n
	}
	return b.String(), nil
}
