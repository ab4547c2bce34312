package explore

import (
	"errors"
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// Vary is one key of a definition, or several that are the same, with the values taken in turn.
type Vary struct {
	Key   string   // as it was written: "rail.top.tube", "post.height+rail.top.height"
	Paths []string // of the document, that it stands for

	written string      // the flag
	parts   []varyPart  // one after the other
	ends    []int       // values up to the end of each part
	keep    []keptValue // of the parts that are no ranges
}

// varyPart is a range, or one value of a list.
type varyPart struct {
	isRange bool
	values  quantity.Range
	kept    int // the value of a list
}

// keptValue is a value of a list.
type keptValue struct {
	text  string // as it is told
	value any    // as TOML gives it
}

// Len returns how many values the key takes.
func (v *Vary) Len() int { return v.ends[len(v.ends)-1] }

// At returns a value, from 0: as it is told, and as it is put into the document.
func (v *Vary) At(i int) (text string, value any) {
	p := sort.SearchInts(v.ends, i+1)
	part := &v.parts[p]
	if !part.isRange {
		return v.keep[part.kept].text, v.keep[part.kept].value
	}
	first := v.ends[p] - part.values.Len()
	text = part.values.At(i - first)
	return text, scalar(text)
}

// samples returns the places of values that stand for all: each of a list, the first of a range,
// whose values are of one kind.
func (v *Vary) samples() []int {
	at := make([]int, len(v.parts))
	for i := 1; i < len(v.parts); i++ {
		at[i] = v.ends[i-1]
	}
	return at
}

// scalar returns the value that a text without quotes stands for: true, false, a number, or
// else the text.
func scalar(text string) any {
	switch text {
	case "true", "false":
		return text == "true"
	}
	if strings.Trim(text, "+-.0123456789eE") != "" {
		return text
	}
	if whole, err := strconv.ParseInt(text, 10, 64); err == nil {
		return whole
	}
	if number, err := strconv.ParseFloat(text, 64); err == nil {
		return number
	}
	return text
}

// parseVary reads KEY=VALUES. Several keys with + between them take each value together. VALUES are parted by |, or by commas where there is no |; each is a
// range, a word, a quantity, a number, true or false, or a value of TOML that begins with a
// quote or a bracket. Problems come back with the flag as their file, and what could be read.
func parseVary(doc *barrier.Document, flag string) (*Vary, barrier.Problems) {
	var problems barrier.Problems
	refuse := func(path, what, fix string) { problems.Add(problemOf(flag, path, what, fix)) }
	key, values, found := strings.Cut(flag, "=")
	if !found {
		refuse("", "a key and its values are wanted", "write it as --vary run.spacing=1m..2m:0.25m")
		return &Vary{written: flag}, problems
	}
	v := &Vary{Key: strings.TrimSpace(key), written: flag}
	for key := range strings.SplitSeq(v.Key, "+") {
		paths, err := doc.Paths(strings.TrimSpace(key))
		if p, ok := errors.AsType[*barrier.Problem](err); ok {
			refuse(p.Path, p.What, p.Fix)
		}
		v.Paths = append(v.Paths, paths...)
	}
	texts, err := partValues(values)
	if err != nil {
		refuse(v.Key, err.Error(), "close it")
		return v, problems
	}
	var told []string
	n := 0
	for _, text := range texts {
		part, kept, problem := parsePart(text)
		if problem != nil {
			refuse(v.Key, problem.What, problem.Fix)
			continue
		}
		if part.isRange {
			n += part.values.Len()
		} else if slices.Contains(told, kept.text) {
			refuse(v.Key, strconv.Quote(kept.text)+" stands twice", "write each value once")
			continue
		} else {
			n++
			part.kept = len(v.keep)
			v.keep = append(v.keep, kept)
			told = append(told, kept.text)
		}
		v.parts, v.ends = append(v.parts, part), append(v.ends, n)
	}
	return v, problems
}

// problemOf is a problem of a --vary flag.
func problemOf(flag, path, what, fix string) *barrier.Problem {
	return &barrier.Problem{Pos: barrier.Position{File: flagName(flag)}, Path: path, What: what, Fix: fix}
}

// flagName is a flag in the place of the name of a file.
func flagName(flag string) string { return "--vary " + strconv.Quote(flag) }

// parsePart reads a range or one value.
func parsePart(text string) (varyPart, keptValue, *barrier.Problem) {
	switch {
	case text == "":
		return varyPart{}, keptValue{}, &barrier.Problem{What: "a value is missing", Fix: "write a value between two separators, or leave one out"}
	case strings.ContainsRune(`"'[{`, rune(text[0])):
		value, err := barrier.Value(text)
		if err != nil {
			return varyPart{}, keptValue{}, &barrier.Problem{What: strconv.Quote(text) + ": " + err.Error(), Fix: `write it as in the file, such as "a, b" or { od = "48.3 mm", wall = "3.2 mm" }`}
		}
		if word, ok := value.(string); ok {
			text = word
		}
		return varyPart{}, keptValue{text, value}, nil
	case quantity.IsRange(text):
		values, err := quantity.ParseRange(text)
		if e, ok := errors.AsType[*quantity.Error](err); ok {
			return varyPart{}, keptValue{}, &barrier.Problem{What: e.What, Fix: e.Fix}
		}
		return varyPart{isRange: true, values: values}, keptValue{}, nil
	}
	return varyPart{}, keptValue{text, scalar(text)}, nil
}

// partValues parts values at |, or at commas where there is no |, but for those inside quotes
// and brackets.
func partValues(text string) ([]string, error) {
	bars, err := cutOutside(text, '|')
	if err != nil || len(bars) > 1 {
		return bars, err
	}
	return cutOutside(text, ',')
}

// cutOutside cuts a text at a separator outside quotes and brackets. A quote opens only where a
// value begins or inside brackets: 3'6" has none.
func cutOutside(text string, separator byte) ([]string, error) {
	var parts []string
	var open []byte // closing marks that are awaited
	start, begun := 0, false
	for i := 0; i < len(text); i++ {
		c := text[i]
		inQuotes := len(open) > 0 && (open[len(open)-1] == '"' || open[len(open)-1] == '\'')
		switch {
		case inQuotes && c == '\\' && open[len(open)-1] == '"':
			i++
		case len(open) > 0 && c == open[len(open)-1]:
			open = open[:len(open)-1]
		case inQuotes:
		case (c == '"' || c == '\'') && (!begun || len(open) > 0):
			open = append(open, c)
		case c == '[' && (!begun || len(open) > 0):
			open = append(open, ']')
		case c == '{' && (!begun || len(open) > 0):
			open = append(open, '}')
		case len(open) == 0 && c == separator:
			parts = append(parts, strings.TrimSpace(text[start:i]))
			start, begun = i+1, false
			continue
		}
		begun = c != ',' && (begun || c != ' ' && c != '\t') || len(open) > 0
	}
	if len(open) > 0 {
		return nil, fmt.Errorf("%q opens a quote or a bracket and does not close it with %c", strings.TrimSpace(text[start:]), open[len(open)-1])
	}
	return append(parts, strings.TrimSpace(text[start:])), nil
}
