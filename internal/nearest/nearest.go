// Package nearest finds the names that a misspelt one most likely stands for.
package nearest

import (
	"cmp"
	"slices"

	edlib "github.com/hbollon/go-edlib"
)

// Edits returns the fewest edits from one spelling to another: letters put in, left out,
// changed, or swapped with the letter beside them, no letter edited twice.
func Edits(a, b string) int { return edlib.OSADamerauLevenshteinDistance(a, b) }

// Names returns the names that are at most limit edits from the typed one, nearest first,
// each once and no more than most of them; equally near ones stay in order. The key brings
// the spellings of one name together before they are compared.
func Names(typed string, names []string, key func(string) string, limit, most int) []string {
	typed = key(typed)
	away := func(name string) int { return Edits(typed, key(name)) }
	var once []string
	for _, name := range Of(names, away, limit) {
		if !slices.Contains(once, name) {
			once = append(once, name)
		}
	}
	return once[:min(most, len(once))]
}

// Of returns the elements that are at most limit edits away, nearest first; equally near
// ones stay in order. It is for what answers to more than one spelling.
func Of[T any](all []T, away func(T) int, limit int) []T {
	type candidate struct {
		element T
		edits   int
	}
	var near []candidate
	for _, element := range all {
		if n := away(element); n <= limit {
			near = append(near, candidate{element, n})
		}
	}
	slices.SortStableFunc(near, func(a, b candidate) int { return cmp.Compare(a.edits, b.edits) })
	elements := make([]T, len(near))
	for i, c := range near {
		elements[i] = c.element
	}
	return elements
}
