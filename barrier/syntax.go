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
	at := wholeCharacters(r.locator.source, span{from, to})
	line := r.locator.lineSpan(r.locator.line(from))
	if p, first, ok := r.repeated(from); ok {
		what := fmt.Sprintf("this key stands twice, first on line %d", r.locator.line(first.name.from)+1)
		r.report(p.name, p.path, what, oneOrList(p.path))
		return
	}
	if bare, what, fix, ok := unquotedValue(r.locator.source[line.from:line.to]); ok {
		at = span{line.from + bare.from, line.from + bare.to}
		r.report(at, "", what, fix)
		return
	}
	if what, fix, ok := strayCharacter(r.locator.source[from:]); ok {
		r.report(at, "", what, fix)
		return
	}
	r.report(at, "", plainMessage(fault), mend(fault))
}

// wholeCharacters widens a stretch of the source that begins or ends within a character.
func wholeCharacters(source string, at span) span {
	for at.from > 0 && at.from < len(source) && !utf8.RuneStart(source[at.from]) {
		at.from--
	}
	for at.to < len(source) && !utf8.RuneStart(source[at.to]) {
		at.to++
	}
	return at
}

// writtenOver records a value that stands in the place of others.
func (r *reader) writtenOver(second, first place) {
	r.report(second.name, second.path, fmt.Sprintf("this is written over what stands on line %d", r.locator.line(first.name.from)+1), oneOrList(second.path))
}

// oneOrList says how to mend a key that stands twice: a rail or a load is written as a
// list.
func oneOrList(path string) string {
	name, _, _ := strings.Cut(path, "[")
	if slices.Contains([]string{"rail", "load", "brace", "gap", "gate"}, name) && !strings.Contains(path, ".") {
		return "write [[" + name + "]], in two brackets, above each"
	}
	return "keep one of them"
}

// strayCharacter recognises a character that an editor puts in and that few see, where TOML has no
// place for it.
func strayCharacter(source string) (what, fix string, ok bool) {
	c, _ := utf8.DecodeRuneInString(source)
	switch c {
	case '\u00a0', '\u2007', '\u202f':
		return fmt.Sprintf("a no-break space (U+%04X) stands here", c), "write an ordinary space in its place", true
	case '\u200b', '\u200c', '\u200d', '\u2060', '\ufeff', '\u00ad':
		return fmt.Sprintf("a character that is not seen (U+%04X) stands here", c), "take it away", true
	case '\u2028', '\u2029', '\u0085':
		return fmt.Sprintf("a line end that TOML does not know (U+%04X) stands here", c), "save the file with line ends of Unix or Windows", true
	case '“', '”', '„', '‟', '«', '»', '‘', '’':
		return fmt.Sprintf("%c is no quote of TOML", c), "write the straight quote \"", true
	}
	return "", "", false
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

// unquotedValue recognises key = 1100 mm, a value that lacks its quotes or has others than
// TOML knows. It returns where the value stands in the line, what is wrong with it and how it is
// written.
func unquotedValue(line string) (at span, what, fix string, ok bool) {
	m := unquotedPattern().FindStringSubmatchIndex(line)
	if m == nil {
		return span{}, "", "", false
	}
	key, value := line[m[2]:m[3]], strings.TrimRight(line[m[4]:m[5]], " \t")
	if !utf8.ValidString(value) || strings.ContainsAny(value, "=\\") {
		return span{}, "", "", false
	}
	var ignored map[string]any
	if _, err := toml.Decode("x = "+value, &ignored); err == nil {
		return span{}, "", "", false
	}
	what, fix = bareValue(key, value)
	return span{m[4], m[4] + len(value)}, what, fix, true
}

// bareValue says what is wrong with a value that TOML does not know, and how it is written.
func bareValue(key, value string) (what, fix string) {
	const aQuantity = ` = "1100 mm", or leave the key out`
	inside, others := otherQuotes(value)
	switch word := strings.ToLower(strings.TrimLeft(value, "+-")); {
	case others:
		return "the quotes are none of TOML", fmt.Sprintf("write %s = %q", key, inside)
	case word == "true" || word == "yes" || word == "on":
		return quote(value) + " is none of TOML's words", "write " + key + " = true, in small letters and without quotes"
	case word == "false" || word == "no" || word == "off":
		return quote(value) + " is none of TOML's words", "write " + key + " = false, in small letters and without quotes"
	case slices.Contains([]string{"nan", "inf", "infinity"}, word):
		return quote(value) + " is not a finite number", "write a value such as " + key + aQuantity
	case slices.Contains([]string{"null", "nil", "none", "na", "n/a", "undefined"}, word):
		return quote(value) + " is no value of TOML", "write a value such as " + key + aQuantity
	case isNumeric(value):
		return quote(value) + " is no number of TOML", `write a quantity as text with its unit and a decimal point, and a plain number without a comma, leading zeros or more than 18 digits`
	}
	return "a value of this kind goes in quotes", fmt.Sprintf("write %s = %q", key, value)
}

// otherQuotes returns what stands within typographic quotes, or such as a web page has.
func otherQuotes(value string) (inside string, ok bool) {
	for _, pair := range [][2]string{{"“", "”"}, {"„", "“"}, {"”", "”"}, {"«", "»"}, {"‘", "’"}, {"&quot;", "&quot;"}, {"`", "`"}} {
		if rest, begins := strings.CutPrefix(value, pair[0]); begins {
			if inside, ends := strings.CutSuffix(rest, pair[1]); ends {
				return strings.TrimSpace(inside), true
			}
		}
	}
	return "", false
}

// isNumeric says whether a text is digits and what goes with them alone.
func isNumeric(value string) bool {
	return strings.Trim(value, "0123456789.,+-_eE/:") == "" && strings.ContainsAny(value, "0123456789") && !strings.Contains(value, ":") && strings.Count(value, "-") < 2
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
		{"utf-8", "save the file as UTF-8"},
		{"utf-16", "save the file as UTF-8"},
		{"control characters", "save the file as plain text in UTF-8"},
		{"table array name delimiter", "write [[rail]] with two brackets on each side"},
		{"end table name", "write [run] or [[rail]], with its keys on the lines below"},
		{"table names cannot be empty", "write [run] or [[rail]], with its keys on the lines below"},
		{"expected key separator", "write a key, =, and its value, such as height = \"1100 mm\""},
		{"key name appears blank", "write a key before the =, such as height = \"1100 mm\""},
		{"or '='", "write a key, =, and its value, such as height = \"1100 mm\""},
		{"invalid start of key name", "write a key, =, and its value, such as height = \"1100 mm\""},
		{"expected value", "write a value: text in quotes, true, false, or a list in brackets"},
		{"unexpected eof", "close what was opened: a quote, a bracket or a brace"},
		{"array terminator", "part the elements of the list with commas and close it with ]"},
		{"inline table", "part the keys of the table with commas and close it with }"},
		{"top-level item to end", "end the line behind the value: each key has a line of its own, and a remark begins with #"},
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
