package sections

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"example.com/stanchion/internal/nearest"
)

// squash brings two spellings of one name together: case, spaces, hyphens,
// brackets and the sign of multiplication do not matter.
func squash(name string) string {
	if plain, ok := squashASCII(name); ok {
		return plain
	}
	name = strings.ReplaceAll(strings.ToLower(name), "×", "x")
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '-' || r == '(' || r == ')' {
			return -1
		}
		return r
	}, name)
}

// squashASCII is squash for a name of ASCII letters; ok is false for any other.
func squashASCII(name string) (squashed string, ok bool) {
	kept := make([]byte, 0, len(name))
	for i := range len(name) {
		switch c := name[i]; {
		case c >= utf8.RuneSelf:
			return "", false
		case c == ' ' || '\t' <= c && c <= '\r' || c == '-' || c == '(' || c == ')':
		case 'A' <= c && c <= 'Z':
			kept = append(kept, c+'a'-'A')
		default:
			kept = append(kept, c)
		}
	}
	return string(kept), true
}

// A nameIndex holds the rows of a table, in document order, by each squashed name that they bear.
type nameIndex map[string][]int

// add enters a row under a name. Rows come in document order.
func (x nameIndex) add(name string, row int) {
	rows := x[name]
	if len(rows) == 0 || rows[len(rows)-1] != row {
		x[name] = append(rows, row)
	}
}

// named returns the rows of a table that bear a name, in document order.
func named[T any](x nameIndex, table []T, name string) []T {
	var found []T
	for _, i := range x[squash(name)] {
		found = append(found, table[i])
	}
	return found
}

// A spelling rewrites one way of writing a tube to the one that words counts on.
type spelling struct {
	pattern *regexp.Regexp
	rewrite string
}

// spellings are applied in order to a name in lower case; commas between digits
// are decimal commas.
var spellings = sync.OnceValue(func() []spelling {
	return []spelling{
		{regexp.MustCompile(`(\d),(\d)`), "$1.$2"},
		{regexp.MustCompile(`[×*]`), "x"},
		{regexp.MustCompile(`[øØ⌀"″,;()]+`), " "},
		{regexp.MustCompile(`½`), " 1/2"},
		{regexp.MustCompile(`¼`), " 1/4"},
		{regexp.MustCompile(`¾`), " 3/4"},
		{regexp.MustCompile(`\b(bs|din|nf|uni|sn|i\.s\.)[ -]+en\b`), "en"},
		{regexp.MustCompile(`\b(en|bs|as|nzs|jis|astm|asme|iso|nps|chs|hss|stk|pipe|type)(\d)`), "$1 $2"},
		{regexp.MustCompile(`\bdn\s*(\d)`), "dn$1"},
		{regexp.MustCompile(`\bsch(edule|\.)?\s*(\d)`), "sch$2"},
		{regexp.MustCompile(`\b(a|b)\s+(53|500|221|241|429|36\.10)`), "$1$2"},
		{regexp.MustCompile(`\bg3444\b`), "g 3444"},
		{regexp.MustCompile(`(\d)\s*(mm|in)\b`), "$1 "},
		{regexp.MustCompile(`(\d)\s*x\s*([\d.])`), "${1}x$2"},
	}
})

// mixedNumber is a pipe size such as 1-1/2, 1 1/2 or 3/4.
var mixedNumber = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(^|\s)(?:(\d)[ -]+)?([1-9])/([248])(std|xs)?(\s|$)`)
})

// isFiller reports whether a word tells no tube from another.
func isFiller(word string) bool {
	switch word {
	case "", "in", "inch", "mm", "od", "pipe", "round", "series", "size", "the", "tube", "type", "wall":
		return true
	}
	return false
}

// words splits a name into what tells tubes apart, in one spelling.
func words(name string) []string {
	name = strings.ToLower(name)
	for _, s := range spellings() {
		name = s.pattern.ReplaceAllString(name, s.rewrite)
	}
	name = mixedNumber().ReplaceAllStringFunc(name, decimalOfMixed)
	var found []string
	for _, w := range strings.FieldsFunc(name, func(r rune) bool { return unicode.IsSpace(r) || r == '/' }) {
		if w = plainWord(w); !isFiller(w) {
			found = append(found, w)
		}
	}
	return found
}

// decimalOfMixed writes 1-1/2 as 1.5, keeping what stands around it apart.
func decimalOfMixed(match string) string {
	part := mixedNumber().FindStringSubmatch(match)
	whole, _ := strconv.ParseFloat("0"+part[2], 64)
	over, _ := strconv.ParseFloat(part[3], 64)
	under, _ := strconv.ParseFloat(part[4], 64)
	return part[1] + plain(whole+over/under) + " " + part[5] + part[6]
}

// plainWord drops the trailing zeros of a number or of both sides of a size.
func plainWord(word string) string {
	sides := strings.Split(strings.Trim(word, ".-"), "x")
	if len(sides) > 2 {
		return word
	}
	for i, side := range sides {
		if v, err := strconv.ParseFloat(side, 64); err == nil && strings.ContainsAny(side, "0123456789") {
			sides[i] = plain(v)
		}
	}
	return strings.Join(sides, "x")
}

// plain writes a number with the fewest digits.
func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// standardNumbers returns the numbers that name a standard: "EN 10219-2" is
// called 10219-2 and 10219.
func standardNumbers(standard string) []string {
	var numbers []string
	for _, w := range words(standard) {
		if !strings.ContainsAny(w, "0123456789") {
			continue
		}
		numbers = append(numbers, w)
		if number, _, found := strings.Cut(w, "-"); found {
			numbers = append(numbers, number)
		}
		if number, found := strings.CutSuffix(w, "m"); found {
			numbers = append(numbers, number)
		}
	}
	return numbers
}

// mostNear is how many names an error offers.
const mostNear = 5

// near returns names in order of edits from the one typed, none that differs in
// more than half of it.
func near(typed string, names []string) []string {
	return nearest.Names(typed, names, squash, len(squash(typed))/2, mostNear)
}

// quoted joins names for an error, the first eight of them.
func quoted(names []string) string {
	const most = 8
	var shown []string
	for _, name := range names[:min(most, len(names))] {
		shown = append(shown, strconv.Quote(name))
	}
	text := strings.Join(shown, ", ")
	if more := len(names) - most; more > 0 {
		text += " and " + strconv.Itoa(more) + " more"
	}
	return text
}

// keep returns the elements that pass, in order.
func keep[T any](all []T, pass func(T) bool) []T {
	var kept []T
	for _, v := range all {
		if pass(v) {
			kept = append(kept, v)
		}
	}
	return kept
}

// distinct drops later repetitions.
func distinct(names []string) []string {
	var once []string
	for _, name := range names {
		if !slices.Contains(once, name) {
			once = append(once, name)
		}
	}
	return once
}
