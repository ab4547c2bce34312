package loads

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// howKnown tells how a source in words is known: what stands in it in brackets or behind a comma
// as every test of this package writes it.
func howKnown(source string) verification.Provenance {
	switch {
	case strings.Contains(source, "memory"):
		return verification.Memory
	case strings.Contains(source, "common practice"):
		return verification.Practice
	case strings.Contains(source, "public") || strings.Contains(source, "Steel Buildings in Europe"):
		return verification.Public
	}
	return verification.Derived
}

// provenanceOf reads the first of the words that a test has for a value: "public high".
func provenanceOf(words string) verification.Provenance {
	first, _, _ := strings.Cut(words, " ")
	return verification.Provenance(first)
}

// unitOf is the SI unit of the value of an action.
func unitOf(k Kind) string {
	switch k {
	case Line:
		return "N/m"
	case Area, WindPressure:
		return "N/m²"
	case PointPerSpacing:
		return "N per metre of bay"
	}
	return "N"
}

var numbers = regexp.MustCompile(`[0-9.]+`)

// recordMixes puts the factors of combinations into the record, of which a test has words as
// [inWords] writes them.
func recordMixes(t *testing.T, row *verification.Sourced, what string, got []Mix, want []string) {
	t.Helper()
	if len(got) != len(want) {
		return // the test says so
	}
	for i, m := range got {
		_, factors, _ := strings.Cut(want[i], " ")
		theirs := numbers.FindAllString(factors, -1)
		ours := append([]float64{m.PermanentUnfavourable, m.PermanentFavourable}, m.Factors...)
		if len(theirs) != len(ours) {
			continue // likewise
		}
		for k, printed := range theirs {
			v, err := strconv.ParseFloat(printed, 64)
			if err != nil {
				t.Fatal(err)
			}
			of := "permanent"
			switch {
			case k == 1:
				of = "permanent, relieving"
			case k > 1:
				of = fmt.Sprint("action ", k-1)
			}
			row.Add(fmt.Sprintf("%s: combination %d of %d, factor of %s", what, i+1, len(got), of), v, ours[k])
		}
	}
}

// together names variable actions that act together.
func together(actions []Variable) string {
	if len(actions) == 0 {
		return "permanent alone"
	}
	var names []string
	for _, a := range actions {
		name := string(a.Category)
		if a.Accidental {
			name = "accidental"
		}
		names = append(names, name)
	}
	return strings.Join(names, " + ")
}
