package barrier

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
)

// syntaxFault records why a source is not TOML, with the likeliest mend.
func (r *reader) syntaxFault(err error) {
	fault, ok := errors.AsType[toml.ParseError](err)
	if !ok {
		r.report(nowhere(), "", err.Error(), "")
		return
	}
	from := min(max(fault.Position.Start, 0), len(r.locator.source))
	to := min(from+max(fault.Position.Len, 1), len(r.locator.source))
	at := span{from, to}
	line := r.locator.lineSpan(r.locator.line(from))
	if p, first, ok := r.repeated(from); ok {
		what := fmt.Sprintf("this key stands twice, first on line %d", r.locator.line(first.name.from)+1)
		r.report(p.name, p.path, what, oneOrList(p.path))
		return
	}
	if bare, fix, ok := unquotedValue(r.locator.source[line.from:line.to]); ok {
		at = span{line.from + bare.from, line.from + bare.to}
		r.report(at, "", "a value of this kind goes in quotes", fix)
		return
	}
	r.report(at, "", plainMessage(fault), mend(fault))
}

// oneOrList says how to mend a key that stands twice: a rail or a load is written as a
// list.
func oneOrList(path string) string {
	if path == "rail" || path == "load" {
		return "write [[" + path + "]], in two brackets, above each"
	}
	return "keep one of them"
}

// repeated returns the place at which a key is given a second time and that of the
// first, where the fault at the offset is that.
func (r *reader) repeated(offset int) (second, first place, ok bool) {
	for _, p := range r.locator.places {
		if p.key == nil || offset < p.name.from || offset > p.name.to {
			continue
		}
		first, found := r.locator.find(p.path)
		return p, first, found && first.name.from < p.name.from
	}
	return place{}, place{}, false
}

var unquotedPattern = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^\s*([A-Za-z0-9_-]+)\s*=\s*([^\s"'\[{#][^"'\[{#]*)`)
})

// unquotedValue recognises key = 1100 mm, a value that lacks its quotes. It returns
// where the value stands in the line and how it is written.
func unquotedValue(line string) (at span, fix string, ok bool) {
	m := unquotedPattern().FindStringSubmatchIndex(line)
	if m == nil {
		return span{}, "", false
	}
	key, value := line[m[2]:m[3]], strings.TrimRight(line[m[4]:m[5]], " \t")
	if !utf8.ValidString(value) || strings.ContainsAny(value, "=\\") {
		return span{}, "", false
	}
	var ignored map[string]any
	if _, err := toml.Decode("x = "+value, &ignored); err == nil {
		return span{}, "", false
	}
	return span{m[4], m[4] + len(value)}, fmt.Sprintf("write %s = %q", key, value), true
}

// plainMessage is the message of the toml package in this program's way of writing, without
// control characters that it repeats from the source.
func plainMessage(fault toml.ParseError) string {
	printable := func(c rune) rune {
		if unicode.IsPrint(c) {
			return c
		}
		return utf8.RuneError
	}
	text := strings.Map(printable, strings.TrimSuffix(fault.Message, "."))
	if first, size := utf8.DecodeRuneInString(text); !strings.HasPrefix(text, "TOML") {
		text = string(unicode.ToLower(first)) + text[size:]
	}
	return text
}

// mend says what would be right where a syntax fault has a usual cause.
func mend(fault toml.ParseError) string {
	text := strings.ToLower(fault.Message)
	for _, usual := range []struct{ sign, fix string }{
		{"strings cannot contain newlines", "close the text with a quote on the same line"},
		{"unexpected eof", "close what was opened: a quote, a bracket or a brace"},
		{"utf-8", "save the file as UTF-8"},
		{"utf-16", "save the file as UTF-8"},
		{"control characters", "save the file as plain text in UTF-8"},
		{"table array name delimiter", "write [[rail]] with two brackets on each side"},
		{"end table name", "write [run] or [[rail]], with its keys on the lines below"},
		{"table names cannot be empty", "write [run] or [[rail]], with its keys on the lines below"},
		{"expected key separator", "write a key, =, and its value, such as height = \"1100 mm\""},
		{"or '='", "write a key, =, and its value, such as height = \"1100 mm\""},
		{"invalid start of key name", "write a key, =, and its value, such as height = \"1100 mm\""},
		{"expected value", "write a value: text in quotes, true, false, or a list in brackets"},
		{"array terminator", "part the elements of the list with commas and close it with ]"},
		{"inline table", "part the keys of the table with commas and close it with }"},
		{"top-level item to end", "put each key on a line of its own"},
		{"escape", "write \\\\ for a backslash, or put the text in single quotes"},
		{"datetime", "put the value in quotes"},
		{"already", "keep one of them"},
	} {
		if strings.Contains(text, usual.sign) {
			return usual.fix
		}
	}
	return ""
}

// unplacedInputs returns every value as read, by key, where no place is known.
func unplacedInputs(path string, value any) []Input {
	var inputs []Input
	switch v := value.(type) {
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(v)) {
			inputs = append(inputs, unplacedInputs(join(path, key), v[key])...)
		}
	case []map[string]any:
		for i, values := range v {
			inputs = append(inputs, unplacedInputs(element(path, i), values)...)
		}
	case []any:
		if len(v) == 0 || !isMap(v[0]) {
			return []Input{{Path: path, Text: tomlText(v)}}
		}
		for i := range v {
			inputs = append(inputs, unplacedInputs(element(path, i), v[i])...)
		}
	case string:
		inputs = append(inputs, Input{Path: path, Text: v})
	default:
		inputs = append(inputs, Input{Path: path, Text: tomlText(v)})
	}
	return inputs
}
