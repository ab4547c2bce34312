package barrier

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.com/stanchion/internal/quantity"
)

// reader turns the values of a definition into a Definition and collects every problem
// on the way. A method that reads something returns it with ok; where ok is false the
// problem is on record, and whoever would compare that value does not.
type reader struct {
	locator  *locator
	root     map[string]any // what is read: the values of the file, or others in their place
	changes  []Change       // of the values of the file
	def      *Definition
	problems Problems
}

// nowhere marks a problem whose place is not known.
func nowhere() span { return span{-1, -1} }

// report records a problem at a stretch of the source.
func (r *reader) report(at span, path, what, fix string) {
	if len(r.problems) == maxProblems {
		return
	}
	r.problems.Add(&Problem{Pos: Position{File: r.def.File}, Path: path, What: what, Fix: fix, at: at})
}

// fault records a problem with the value at a path.
func (r *reader) fault(path, what, fix string) {
	at, put := r.whereabouts(path)
	r.report(at.value, path, what+put, fix)
}

// unreadable records a problem with the value at a path that stays whatever stands beside it:
// its kind, its unit or its name is wrong.
func (r *reader) unreadable(path, what, fix string) {
	n := len(r.problems)
	r.fault(path, what, fix)
	r.holdsFrom(n)
}

// holdsFrom marks the problems from the nth on as unreadable.
func (r *reader) holdsFrom(n int) {
	for _, p := range r.problems[n:] {
		p.Unreadable = true
	}
}

// whereabouts returns the place of a path in the file; where a change put a value, no place
// and what was put there, for a message.
func (r *reader) whereabouts(path string) (at place, put string) {
	nowhere := place{name: nowhere(), value: nowhere()}
	if c, changed := changeOf(r.changes, path); changed {
		return nowhere, c.put(path)
	}
	if p, ok := r.locator.find(path); ok {
		return p, ""
	}
	return nowhere, ""
}

// faultOfKey records a problem with the key at a path rather than with its value.
func (r *reader) faultOfKey(path, what, fix string) {
	at, put := r.whereabouts(path)
	r.report(at.name, path, what+put, fix)
}

// missing records a table that the file lacks, behind its last line.
func (r *reader) missing(what, fix string) {
	at := nowhere()
	if r.locator.places != nil {
		at = r.locator.end()
	}
	r.report(at, "", what, fix)
}

// assume records a default that was taken.
func (r *reader) assume(format string, values ...any) {
	r.def.Assumptions = append(r.def.Assumptions, quantity.Say(format, values...))
}

// assumeOnce records a default that several members may take.
func (r *reader) assumeOnce(format string, values ...any) {
	if said := quantity.Say(format, values...); !saidIn(r.def.Assumptions, said) {
		r.def.Assumptions = append(r.def.Assumptions, said)
	}
}

// caution records a caution once.
func (r *reader) caution(format string, values ...any) {
	if said := quantity.Say(format, values...); !saidIn(r.def.Cautions, said) {
		r.def.Cautions = append(r.def.Cautions, said)
	}
}

// saidIn says whether a sentence stands among others.
func saidIn(all []quantity.Sentence, said quantity.Sentence) bool {
	return slices.ContainsFunc(all, func(s quantity.Sentence) bool { return s.In(quantity.Metric) == said.In(quantity.Metric) })
}

// table is one table of the definition.
type table struct {
	*reader
	kind   tableKind
	path   string
	values map[string]any
	meant  []string // known keys that an unknown one most likely stands for
}

// at returns the path of a key of the table.
func (t table) at(key string) string { return join(t.path, key) }

// absent says whether the table lacks the key and no misspelling stands for it: that is
// the fault then, and is reported.
func (t table) absent(key string) bool { return !t.has(key) && !t.misspelt(key) }

// misspelt says whether an unknown key most likely stands for this one.
func (t table) misspelt(key string) bool { return slices.Contains(t.meant, key) }

// has says whether the table has the key.
func (t table) has(key string) bool { _, ok := t.values[key]; return ok }

// hasAny says whether the table has one of the keys.
func (t table) hasAny(keys ...string) bool { return slices.ContainsFunc(keys, t.has) }

// open takes a table in hand and reports the keys it should not have.
func (r *reader) open(kind tableKind, path string, values map[string]any) table {
	t := table{reader: r, kind: kind, path: path, values: values}
	keys := kind.known()
	for _, key := range slices.Sorted(maps.Keys(values)) {
		n := len(r.problems)
		if n == maxProblems {
			break
		}
		switch known, ok := keyOf(keys, key); {
		case !ok:
			r.faultOfKey(t.at(key), "unknown key "+kind.where(), kind.rightKey(key))
			if near, ok := likely(key, kind.names()); ok {
				t.meant = append(t.meant, near)
			}
		case known.instead != "":
			r.faultOfKey(t.at(key), "not supported yet", known.instead)
		}
		r.holdsFrom(n)
	}
	return t
}

// child opens the table under a key; ok is false where there is none or it is no table.
func (t table) child(key string, kind tableKind) (table, bool) {
	switch v := t.values[key].(type) {
	case nil:
		return table{}, false
	case map[string]any:
		return t.open(kind, t.at(key), v), true
	case []map[string]any:
		t.unreadable(t.at(key)+"[0]", "one table is wanted, this is a list of tables", "write ["+t.at(key)+"] once")
	default:
		t.unreadable(t.at(key), "a table is wanted, this is "+kindOf(v), "write ["+t.at(key)+"] with its keys below")
	}
	return table{}, false
}

// children opens the tables of a list of tables such as [[rail]].
func (t table) children(key string, kind tableKind, most int) []table {
	var opened []table
	switch v := t.values[key].(type) {
	case nil:
	case []map[string]any:
		if t.tooMany(key, len(v), most) {
			return nil
		}
		for i, values := range v {
			opened = append(opened, t.open(kind, element(t.at(key), i), values))
		}
	case []any:
		if t.tooMany(key, len(v), most) {
			return nil
		}
		for i, value := range v {
			if values, ok := value.(map[string]any); ok {
				opened = append(opened, t.open(kind, element(t.at(key), i), values))
			} else {
				t.unreadable(element(t.at(key), i), "a table is wanted, this is "+kindOf(value), "write [["+t.at(key)+"]] with its keys below")
			}
		}
	case map[string]any:
		t.unreadable(t.at(key), "a list of tables is wanted, this is one table", "write [["+t.at(key)+"]] with two brackets on each side")
		opened = append(opened, t.open(kind, t.at(key), v))
	default:
		t.unreadable(t.at(key), "a list of tables is wanted, this is "+kindOf(v), "write [["+t.at(key)+"]] with its keys below")
	}
	return opened
}

func (t table) tooMany(key string, n, most int) bool {
	if n <= most {
		return false
	}
	t.unreadable(element(t.at(key), most), fmt.Sprintf("%d tables [[%s]], at most %d are read", n, t.at(key), most), "split the barrier over several files")
	return true
}

// text reads a string. ok is false where the key is absent too.
func (t table) text(key, example string) (string, bool) {
	value, given := t.values[key]
	if !given {
		return "", false
	}
	text, isText := value.(string)
	switch {
	case !isText:
		t.unreadable(t.at(key), "text in quotes is wanted, this is "+kindOf(value), "write "+key+" = \""+example+"\"")
		return "", false
	case strings.TrimSpace(text) == "":
		t.unreadable(t.at(key), "the text is empty", "write "+key+" = \""+example+"\", or leave it out")
		return "", false
	case strings.ContainsFunc(text, func(c rune) bool { return !unicode.IsPrint(c) && !unicode.Is(unicode.Cf, c) }):
		t.unreadable(t.at(key), "the text holds a line end or a control character", "write it on one line")
		return "", false
	}
	return text, true
}

// isTooLong reports a name that is longer than any that is listed; looking for the nearest
// would take long.
func (r *reader) isTooLong(path, name string) bool {
	const longest = 200
	if len(name) <= longest {
		return false
	}
	r.unreadable(path, fmt.Sprintf("a name of %d characters", utf8.RuneCountInString(name)), fmt.Sprintf("write a listed name, of less than %d", longest))
	return true
}

// word reads a string that is one of a few. ok is false where the key is absent too.
func (t table) word(key string, supported, known []string) (string, bool) {
	value, given := t.values[key]
	if !given {
		return "", false
	}
	word, isText := value.(string)
	if !isText {
		t.unreadable(t.at(key), "a word in quotes is wanted, this is "+kindOf(value), "write "+oneOf(supported))
		return "", false
	}
	if what, fix := choice(word, supported, known); what != "" {
		t.unreadable(t.at(key), what, fix)
		return "", false
	}
	return word, true
}

// label reads a string that is one of a few that resemble one another: none is taken for the
// likeliest. ok is false where the key is absent too. What names it, fix says what each is.
func (t table) label(key, what string, labels []string, fix string) (string, bool) {
	label, isText := t.values[key].(string)
	switch {
	case !t.has(key):
	case !isText:
		t.unreadable(t.at(key), "a word in quotes is wanted, this is "+kindOf(t.values[key]), fix)
	case !slices.Contains(labels, label):
		t.unreadable(t.at(key), "unknown "+what+" "+quote(label), fix)
	default:
		return label, true
	}
	return "", false
}

// flag reads true or false. ok is false where the key is absent too.
func (t table) flag(key string) (value, ok bool) {
	v, given := t.values[key]
	if !given {
		return false, false
	}
	value, ok = v.(bool)
	if !ok {
		t.unreadable(t.at(key), "true or false is wanted, this is "+kindOf(v), "write "+key+" = true or "+key+" = false, without quotes")
	}
	return value, ok
}

// quantity reads a quantity in SI. ok is false where the key is absent too.
func (t table) quantity(key string, d quantity.Dimension) (float64, bool) {
	value, given := t.values[key]
	if !given {
		return 0, false
	}
	return t.quantityAt(t.at(key), value, d)
}

// quantityAt reads a value as a quantity in SI.
func (r *reader) quantityAt(path string, value any, d quantity.Dimension) (float64, bool) {
	v, err := quantity.ParseValue(value, d, r.def.Units)
	switch size := math.Abs(v); {
	case err != nil:
	case size > mostOf(d):
		r.fault(path, "no barrier has "+withArticle(d)+" of this size", "write less than "+quantity.Format(mostOf(d), d, r.def.Units))
		return 0, false
	case size > 0 && size < leastOf(d):
		r.fault(path, "no barrier has "+withArticle(d)+" as small as this", "write more than "+r.leastText(d))
		return 0, false
	default:
		return v, true
	}
	fix := ""
	if e, ok := errors.AsType[*quantity.Error](err); ok {
		fix = e.Fix
	}
	r.unreadable(path, err.Error(), fix)
	return 0, false
}

// withArticle names a dimension for a message: "a length", "an angle".
func withArticle(d quantity.Dimension) string {
	if d == quantity.Angle {
		return "an " + d.String()
	}
	return "a " + d.String()
}

// leastText prints the least size of a quantity, for a message: "1e-06 mm".
func (r *reader) leastText(d quantity.Dimension) string {
	unit := quantity.Display(d, r.def.Units)
	return fmt.Sprintf("%.3g %s", unit.In(leastOf(d)), unit.Name)
}

// number reads a plain number, always finite. ok is false where the key is absent too.
func (t table) number(key, example string) (float64, bool) {
	value, given := t.values[key]
	if !given {
		return 0, false
	}
	return t.numberAt(t.at(key), value, "write "+key+" = "+example+", without quotes")
}

// numberAt reads a value as a plain number; fix says what would be right.
func (r *reader) numberAt(path string, value any, fix string) (float64, bool) {
	switch v := value.(type) {
	case int64:
		return float64(v), true
	case float64:
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			return v, true
		}
		r.unreadable(path, "the number is not finite", fix)
		return 0, false
	}
	r.unreadable(path, "a plain number is wanted, this is "+kindOf(value), fix)
	return 0, false
}

// mostListed is how many names a message lists.
const mostListed = 12

// unknownName reports a name that none of the things that it may stand for has.
func (r *reader) unknownName(path, what, name string, names []string) {
	fix := "the " + what + "s are " + strings.ReplaceAll(oneOf(names), " or ", " and ")
	switch n := len(names); {
	case n > mostListed:
		fix = fmt.Sprintf("the %ss are %s and %d more", what, strings.ReplaceAll(oneOf(names[:mostListed]), " or ", ", "), n-mostListed)
	case n == 1:
		fix = "the one " + what + " is " + oneOf(names)
	}
	if near, ok := likely(name, names); ok {
		fix = `write "` + near + `"; ` + fix
	}
	r.unreadable(path, "no "+what+" is called "+quote(name), fix)
}

// positive reads a quantity that must be more than zero.
func (t table) positive(key string, d quantity.Dimension) (float64, bool) {
	v, ok := t.quantity(key, d)
	if !ok {
		return 0, false
	}
	return v, t.isPositive(t.at(key), v, d)
}

func (r *reader) isPositive(path string, v float64, d quantity.Dimension) bool {
	if v > 0 {
		return true
	}
	word := "negative"
	if v == 0 {
		word = "zero"
	}
	r.fault(path, "the "+d.String()+" is "+word, "write a "+d.String()+" of more than 0")
	return false
}

// list reads an array. ok is false where the key is absent too.
func (t table) list(key, example string) ([]any, bool) {
	switch v := t.values[key].(type) {
	case nil:
		return nil, false
	case []any:
		return v, true
	case []map[string]any:
		t.unreadable(t.at(key)+"[0]", "a list is wanted, this is a list of tables", "write "+key+" = "+t.like(example))
	default:
		t.unreadable(t.at(key), "a list is wanted, this is "+kindOf(v), "write "+key+" = "+t.like(example))
	}
	return nil, false
}

// require says whether the table has a key that it must have, and reports where not.
func (t table) require(key, example string) bool {
	if t.absent(key) {
		t.lacks(key+" is missing", "add "+key+" = "+t.like(example))
	}
	return t.has(key)
}

// lacks records that something is missing from the table, at the table's name.
func (t table) lacks(what, fix string) {
	if t.path == "" {
		at := nowhere()
		if t.locator.places != nil {
			at = span{}
		}
		t.report(at, "", what, fix)
		return
	}
	t.faultOfKey(t.path, what, fix)
}

// element returns the path of an element of a list.
func element(path string, i int) string { return path + "[" + strconv.Itoa(i) + "]" }

// kindOf names a TOML value for a message.
func kindOf(v any) string {
	switch v := v.(type) {
	case bool:
		return strconv.FormatBool(v)
	case string:
		return "text"
	case int64, float64:
		return "a number"
	case time.Time:
		return "a date or time"
	case []any:
		return "a list"
	case []map[string]any:
		return "a list of tables"
	case map[string]any:
		return "a table"
	}
	return fmt.Sprintf("a value of type %T", v)
}

// quote puts a text of the user's in quotes for a message; a long one is cut.
func quote(text string) string {
	if letters := []rune(text); len(letters) > 60 {
		text = string(letters[:60]) + "..."
	}
	return strconv.Quote(text)
}

// sizeText prints a length such as a height or a diameter, for a message: "48.3 mm".
func (r *reader) sizeText(v float64) string { return quantity.Format(v, quantity.Length, r.def.Units) }

// placeText prints a position or a length along the run, for a message: "5.8 m",
// "19 ft 0.35 in".
func (r *reader) placeText(v float64) string {
	if r.def.Units == quantity.US {
		return quantity.FeetAndInches(v)
	}
	number := quantity.Fix(v, 3)
	return strings.TrimSuffix(strings.TrimRight(number, "0"), ".") + " m"
}

// stressText prints a strength, for a message: "235 MPa", "34.08 ksi".
func (r *reader) stressText(v float64) string {
	return strings.Replace(quantity.Format(v, quantity.Pressure, r.def.Units), ".0 MPa", " MPa", 1)
}

// modulusText prints a modulus, for a message: "210 GPa", "29000 ksi".
func (r *reader) modulusText(v float64) string { return quantity.Modulus(v).In(r.def.Units) }
