package barrier

import (
	"strconv"
	"strings"
	"unicode"

	"example.com/stanchion/internal/quantity"
)

// ruleExample is a rule of movement for a message.
const ruleExample = `"25 mm", or a rule such as "h/24 + L/96"`

// readRule reads a limit of movement: a length, or a rule, which is a sum of lengths and
// of shares h/n of the height and L/n of the bay.
func (t table) readRule(key string) (*Limit, bool) {
	path, value := t.at(key), t.values[key]
	text, isText := value.(string)
	if _, err := quantity.ParseValue(value, quantity.Length); err == nil || !isText || !isRule(text) {
		v, ok := t.positive(key, quantity.Length)
		return &Limit{Length: v}, ok
	}
	limit := &Limit{Rule: strings.Join(strings.Fields(text), " ")}
	for term := range strings.SplitSeq(text, "+") {
		if !t.addTerm(limit, path, strings.TrimSpace(term)) {
			return nil, false
		}
	}
	return limit, true
}

// isRule says whether a text is meant for a rule rather than for a length: it is a sum, or
// begins with a letter and has a share.
func isRule(text string) bool {
	text = strings.TrimSpace(text)
	return strings.ContainsAny(text, "+") || strings.Contains(text, "/") && strings.IndexFunc(text, unicode.IsLetter) == 0
}

// addTerm adds one term of a rule to the limit.
func (t table) addTerm(limit *Limit, path, term string) bool {
	if strings.IndexFunc(term, unicode.IsLetter) != 0 {
		if term == "" {
			t.fault(path, "a term of the rule is missing", "write "+ruleExample)
			return false
		}
		length, ok := t.quantityAt(path, term, quantity.Length)
		if ok && !t.isPositive(path, length, quantity.Length) {
			return false
		}
		limit.Length += length
		return ok
	}
	letter, number, isShare := strings.Cut(term, "/")
	letter = strings.TrimSpace(letter)
	if !isShare {
		t.fault(path, quote(term)+" is neither a share such as h/24 nor a length", "write "+ruleExample)
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
		fix := "h is the height of the highest rail, L the length of the bay: write " + ruleExample
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
		t.fault(path, quote(term)+" does not divide by a plain number", "terms are added, each h/number, L/number or a length: write "+ruleExample)
	case n == 0:
		t.fault(path, quote(term)+" divides by zero", "write "+ruleExample)
	case n < 0:
		t.fault(path, quote(term)+" divides by a negative number", "write "+ruleExample)
	case n > most:
		t.fault(path, quote(term)+" divides by more than a million", "write "+ruleExample)
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
