package check

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// formulaPart is a piece of a formula: one of the symbols, or the text between two of them.
type formulaPart struct {
	text   string
	symbol bool
}

// partsOf divides a formula at its symbols. Where several begin at one place the longest is
// meant: "Mc,Rd" and not "Mc". Symbols may stand side by side ("EI"); a word that is not
// made of symbols is text.
func partsOf(formula string, symbols []string) []formulaPart {
	longest := slices.Clone(symbols)
	slices.SortStableFunc(longest, func(a, b string) int { return cmp.Compare(len(b), len(a)) })
	var out []formulaPart
	text := func(s string) {
		if n := len(out); n > 0 && !out[n-1].symbol {
			out[n-1].text += s
			return
		}
		out = append(out, formulaPart{text: s})
	}
	for formula != "" {
		first, size := utf8.DecodeRuneInString(formula)
		if !isOfWord(first) || unicode.IsDigit(first) {
			text(formula[:size])
			formula = formula[size:]
			continue
		}
		if found := symbolsAt(formula, longest); len(found) > 0 {
			for _, symbol := range found {
				out = append(out, formulaPart{symbol, true})
				formula = formula[len(symbol):]
			}
			continue
		}
		n := len(word(formula))
		text(formula[:n])
		formula = formula[n:]
	}
	return out
}

// symbolsAt returns the symbols that make up the word at which a formula begins, nil where
// it is none of theirs.
func symbolsAt(formula string, longest []string) []string {
	if w := word(formula); isConnective(w) || isFunction(w) {
		return nil
	}
	for _, symbol := range longest {
		if symbol == "" || !strings.HasPrefix(formula, symbol) {
			continue
		}
		rest := formula[len(symbol):]
		next, _ := utf8.DecodeRuneInString(rest)
		switch {
		case rest == "" || !isOfWord(next):
			return []string{symbol}
		case unicode.IsDigit(next):
			continue
		}
		if more := symbolsAt(rest, longest); more != nil {
			return append([]string{symbol}, more...)
		}
	}
	return nil
}

// isOfWord reports whether r may be part of a symbol's name. π is a number.
func isOfWord(r rune) bool {
	return r != 'π' && (unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) || '₀' <= r && r <= '₉')
}

// word returns the letters and digits at which a text begins.
func word(text string) string {
	for i, r := range text {
		if !isOfWord(r) {
			return text[:i]
		}
	}
	return text
}

// connectives are the words between the terms of a formula: "Fcr S, at most Fy Z", "the
// larger of a and b".
var connectives = [...]string{"at", "most", "least", "no", "more", "less", "than", "the", "larger", "smaller", "of", "and"}

func isConnective(word string) bool { return slices.Contains(connectives[:], word) }

// functions are the functions of a formula: "min(Mnp, Mnlb)", "sin β".
var functions = [...]string{"min", "max", "sin", "cos", "arcsin"}

func isFunction(word string) bool { return slices.Contains(functions[:], word) }

// PutIn returns the formula with its values put in, each as show prints it, in brackets where
// it is negative; factors side by side come apart with a ×.
func (s *Step) PutIn(show func(StepValue) string) string {
	var symbols []string
	for _, v := range s.Values {
		symbols = append(symbols, v.Symbol)
	}
	out, value := "", false // whether a value is the last thing in it
	parts := partsOf(s.Formula, symbols)
	for i, p := range parts {
		text := p.text
		if p.symbol {
			text = s.shown(p.text, show)
			if i > 0 && i+1 < len(parts) && strings.HasSuffix(parts[i-1].text, "|") && strings.HasPrefix(parts[i+1].text, "|") {
				text = strings.Trim(text, "()") // the bars are brackets enough
			}
		}
		beforeSize := value && strings.HasPrefix(text, " |") // "k |T|"
		if (p.symbol || value) && areFactors(out, text) || beforeSize {
			out = strings.TrimRight(out, " ") + " × " + strings.TrimLeft(text, " ")
		} else {
			out += text
		}
		value = p.symbol || value && strings.TrimSpace(text) == ""
	}
	return out
}

// shown prints the value of a symbol.
func (s *Step) shown(symbol string, show func(StepValue) string) string {
	for _, v := range s.Values {
		if v.Symbol != symbol {
			continue
		}
		text := show(v)
		if strings.HasPrefix(text, "-") {
			return "(" + text + ")"
		}
		return text
	}
	return symbol
}

// areFactors reports whether two texts, one after the other, are a product.
func areFactors(left, right string) bool {
	left, right = strings.TrimRight(left, " "), strings.TrimLeft(right, " ")
	last, _ := utf8.DecodeLastRuneInString(left)
	first, _ := utf8.DecodeRuneInString(right)
	ends := unicode.IsDigit(last) || strings.ContainsRune(")]²³⁴π", last)
	begins := unicode.IsDigit(first) || unicode.IsLetter(first) || strings.ContainsRune("([√", first)
	return ends && begins && !isConnective(word(right))
}
