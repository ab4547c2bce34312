package barrier

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"example.com/stanchion/internal/quantity"
)

// ruleFix says what a limit of movement may be.
func (r *reader) ruleFix() string {
	return r.like(`write a length such as "25 mm", or a sum of terms h/number, L/number and lengths, such as "h/24 + L/96" or "h/120 + 5 mm"`)
}

// readRule reads a limit of movement: a length, or a rule, which is a sum of lengths and
// of shares h/n of the height and L/n of the bay.
func (t table) readRule(key string) (*Limit, bool) {
	path, value := t.at(key), t.values[key]
	text, isText := value.(string)
	if t.isLength(value) || !isText || !isRule(text) {
		v, ok := t.positive(key, quantity.Length)
		return &Limit{Length: v}, ok
	}
	if text == "none" {
		none := "or leave it out for no limit"
		if key == "rule" {
			none = `or deflection = "none" for no limit`
		}
		t.fault(path, `"none" is no rule`, t.ruleFix()+"; "+none)
		return nil, false
	}
	limit := &Limit{Rule: strings.Join(strings.Fields(text), " ")}
	for term := range strings.SplitSeq(text, "+") {
		if !t.addTerm(limit, path, strings.TrimSpace(term)) {
			return nil, false
		}
	}
	return limit, true
}

// isLength says whether a value can be read as a length.
func (r *reader) isLength(value any) bool {
	_, err := quantity.ParseValue(value, quantity.Length, r.def.Units)
	return err == nil
}

// isRule says whether a text that is no length is meant for a rule: it is a sum, begins
// with a letter, or has an h or an L that is part of no word.
func isRule(text string) bool {
	text = strings.TrimSpace(text)
	return strings.Contains(text, "+") || strings.IndexFunc(text, unicode.IsLetter) == 0 || hasLetterOfRule(text)
}

// hasLetterOfRule says whether a text has an h or an L, of either case, that is part of
// no word.
func hasLetterOfRule(text string) bool {
	isLetterOfRule := func(word string) bool { return strings.EqualFold(word, "h") || strings.EqualFold(word, "L") }
	words := strings.FieldsFunc(text, func(c rune) bool { return !unicode.IsLetter(c) })
	return slices.ContainsFunc(words, isLetterOfRule)
}

// subtracts says whether a term has a minus behind something that it can be taken from; a
// divisor with a sign has its slash there.
func subtracts(term string) bool {
	const minus = "-−–"
	before := ""
	for _, c := range term {
		switch {
		case strings.ContainsRune(minus, c) && before != "" && before != "/":
			return true
		case !unicode.IsSpace(c):
			before = string(c)
		}
	}
	return false
}

// addTerm adds one term of a rule to the limit.
func (t table) addTerm(limit *Limit, path, term string) bool {
	switch isLength := t.isLength(term); {
	case term == "":
		t.fault(path, "a term of the rule is missing", t.ruleFix())
		return false
	case !isLength && subtracts(term):
		t.fault(path, quote(term)+" subtracts, and the terms of a rule are added", t.ruleFix())
		return false
	case !isLength && strings.IndexFunc(term, unicode.IsLetter) == 0:
		return t.addShare(limit, path, term)
	case !isLength && hasLetterOfRule(term):
		t.fault(path, quote(term)+" is neither a share such as h/24 nor a length", t.ruleFix())
		return false
	}
	length, ok := t.quantityAt(path, term, quantity.Length)
	if ok && !t.isPositive(path, length, quantity.Length) {
		return false
	}
	limit.Length += length
	return ok
}

// addShare adds a share of the height or of the bay to the limit.
func (t table) addShare(limit *Limit, path, term string) bool {
	letter, number, isShare := strings.Cut(term, "/")
	letter = strings.TrimSpace(letter)
	if !isShare {
		t.fault(path, quote(term)+" is neither a share such as h/24 nor a length", t.ruleFix())
		return false
	}
	divisor, ok := t.divisor(path, term, strings.TrimSpace(number))
	if !ok {
		return false
	}
	switch letter {
	case "h":
		limit.PerHeight += 1 / divisor
	case "L":
		limit.PerBay += 1 / divisor
	default:
		fix := "h is the height of the highest rail, L the length of the bay: " + t.ruleFix()
		if letter == "H" || letter == "l" {
			fix = "h is the height of the highest rail, L the length of the bay, in these letters"
		}
		t.fault(path, "unknown letter "+quote(letter)+" in a rule", fix)
		return false
	}
	return true
}

// divisor reads the number by which a height or a bay is divided.
func (t table) divisor(path, term, text string) (float64, bool) {
	const most = 1e6 // far beyond any limit
	n, ok := plainNumber(text)
	switch {
	case !ok:
		t.fault(path, quote(term)+" does not divide by a plain number", t.ruleFix())
	case n == 0:
		t.fault(path, quote(term)+" divides by zero", t.ruleFix())
	case n < 0:
		t.fault(path, quote(term)+" divides by a negative number", t.ruleFix())
	case n > most:
		t.fault(path, quote(term)+" divides by more than a million", t.ruleFix())
	default:
		return n, true
	}
	return 0, false
}

// plainNumber reads a decimal number such as 24 or 62.5.
func plainNumber(text string) (float64, bool) {
	if text == "" || strings.Trim(text, "+-.0123456789") != "" {
		return 0, false
	}
	n, err := strconv.ParseFloat(text, 64)
	return n, err == nil
}
