package nearest

import (
	"slices"
	"strings"
	"testing"
)

func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b   string
		want   int
		source string
	}{
		{"", "", 0, "no letter"},
		{"rail", "", 4, "four letters left out"},
		{"kitten", "sitting", 3, "Wikipedia, Levenshtein distance: k to s, e to i, g put in"},
		{"post", "psot", 1, "one swap"},
		{"ca", "abc", 3, "Wikipedia, Damerau-Levenshtein distance: 3 where no letter is edited twice, else 2"},
		{"½ in", "¼ in", 1, "a letter of two bytes is one letter"},
	} {
		if got := Edits(c.a, c.b); got != c.want || Edits(c.b, c.a) != got {
			t.Errorf("Edits(%q, %q) = %d, back %d; want %d (source: %s)", c.a, c.b, got, Edits(c.b, c.a), c.want, c.source)
		}
	}
}

// Distances of the names from "grade", counted by hand: Grade 0, grad 1, grde 1, garde 1
// (a swap), shade 2, stock 5.
func TestNames(t *testing.T) {
	names := []string{"stock", "shade", "grad", "Grade", "grde", "grad", "garde"}
	for _, c := range []struct {
		what        string
		limit, most int
		want        []string
	}{
		{"nearest first, equally near ones in order, each once", 2, 9, []string{"Grade", "grad", "grde", "garde", "shade"}},
		{"the limit is within", 1, 9, []string{"Grade", "grad", "grde", "garde"}},
		{"no more than most", 2, 2, []string{"Grade", "grad"}},
		{"none", -1, 9, nil},
	} {
		if got := Names("GRADE", names, strings.ToLower, c.limit, c.most); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}
