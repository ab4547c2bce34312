package quantity

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Rule is a limit of movement that goes with the size of a barrier:
// Length + PerHeight h + PerBay L, for the height h of its highest rail and the length L
// of a bay.
type Rule struct {
	Length    float64 // m
	PerHeight float64 // a plain number: 1/24 of "h/24"
	PerBay    float64 // likewise
}

// RuleFault is the kind of a fault in a rule.
type RuleFault int

// The kinds of fault.
const (
	WrongTerm   RuleFault = iota // a term is missing, subtracts, or is neither a share nor a length
	WrongLetter                  // a share is of another letter than h and L
	WrongCase                    // a share is of H or l
)

// RuleError is a term of a rule that could not be read.
type RuleError struct {
	What string
	Kind RuleFault
}

// Error returns what is wrong.
func (e *RuleError) Error() string { return e.What }

// ParseRule reads a rule such as "h/24 + L/96" or "h/120 + 5 mm": a sum of shares of h and L
// and of lengths, each of which the function length reads. The error is a [*RuleError], or
// that of length.
func ParseRule(text string, length func(term string) (float64, error)) (Rule, error) {
	var rule Rule
	for term := range strings.SplitSeq(text, "+") {
		if err := rule.add(strings.TrimSpace(term), length); err != nil {
			return Rule{}, err
		}
	}
	return rule, nil
}

// IsRule says whether a text that is no length is meant for a rule: it is a sum, begins
// with a letter, or has an h or an L that is part of no word.
func IsRule(text string) bool {
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

// add adds one term to the rule.
func (r *Rule) add(term string, length func(term string) (float64, error)) error {
	_, err := Parse(term, Length)
	switch isLength := err == nil; {
	case term == "":
		return &RuleError{What: "a term of the rule is missing"}
	case !isLength && subtracts(term):
		return &RuleError{What: quote(term) + " subtracts, and the terms of a rule are added"}
	case !isLength && strings.IndexFunc(term, unicode.IsLetter) == 0:
		return r.addShare(term)
	case !isLength && hasLetterOfRule(term):
		return &RuleError{What: quote(term) + " is neither a share such as h/24 nor a length"}
	}
	v, err := length(term)
	r.Length += v
	return err
}

// addShare adds a share of the height or of the bay to the rule.
func (r *Rule) addShare(term string) error {
	letter, number, isShare := strings.Cut(term, "/")
	letter = strings.TrimSpace(letter)
	if !isShare {
		return &RuleError{What: quote(term) + " is neither a share such as h/24 nor a length"}
	}
	divisor, err := divisorOf(term, strings.TrimSpace(number))
	if err != nil {
		return err
	}
	switch letter {
	case "h":
		r.PerHeight += 1 / divisor
	case "L":
		r.PerBay += 1 / divisor
	case "H", "l":
		return &RuleError{"unknown letter " + quote(letter) + " in a rule", WrongCase}
	default:
		return &RuleError{"unknown letter " + quote(letter) + " in a rule", WrongLetter}
	}
	return nil
}

// divisorOf reads the number by which the height or the bay of a term is divided.
func divisorOf(term, text string) (float64, error) {
	const most = 1e6 // far beyond any limit
	n, ok := plainNumber(text)
	switch {
	case !ok:
		return 0, &RuleError{What: quote(term) + " does not divide by a plain number"}
	case n == 0:
		return 0, &RuleError{What: quote(term) + " divides by zero"}
	case n < 0:
		return 0, &RuleError{What: quote(term) + " divides by a negative number"}
	case n > most:
		return 0, &RuleError{What: quote(term) + " divides by more than a million"}
	}
	return n, nil
}

// plainNumber reads a decimal number such as 24 or 62.5.
func plainNumber(text string) (float64, bool) {
	if text == "" || strings.Trim(text, "+-.0123456789") != "" {
		return 0, false
	}
	n, err := strconv.ParseFloat(text, 64)
	return n, err == nil
}
