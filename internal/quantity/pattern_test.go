package quantity

import (
	"regexp"
	"testing"
)

// Every spelling of a unit fits the pattern of its dimension, in the ways that Parse reads, and
// that of no other dimension; a number alone fits none.
func TestPattern(t *testing.T) {
	patterns := map[Dimension]*regexp.Regexp{}
	for d := Length; d <= CoatingMass; d++ {
		patterns[d] = regexp.MustCompile(d.Pattern())
		for _, text := range []string{"1100", "", "rigid", "1100 mm mm", "1,5 m", "2 stone"} {
			if patterns[d].MatchString(text) {
				t.Errorf("%q fits the pattern of %v", text, d)
			}
		}
	}
	for _, u := range table().units {
		for _, spelling := range u.spellings {
			for _, text := range []string{"1.5 " + spelling, "-2" + spelling} {
				if _, err := Parse(text, u.dimension); err != nil {
					t.Errorf("%q is not read: %v", text, err)
				}
				for d, pattern := range patterns {
					if want := d.measured() == u.dimension; pattern.MatchString(text) != want {
						t.Errorf("%q fits the pattern of %v: %v, want %v", text, d, !want, want)
					}
				}
			}
		}
	}
}

// Feet, inches and fractions fit as they are read.
func TestPatternLetsFeetThrough(t *testing.T) {
	pattern := regexp.MustCompile(Length.Pattern())
	for _, text := range []string{`3'6"`, `3' 6''`, "3′ 6″", "5'-4-1/2\"", "1-1/2 in", "3/4 in.", "6 ft - 2 in", "1e3 mm"} {
		if _, err := Parse(text, Length); err != nil {
			t.Errorf("%q is not read: %v", text, err)
		}
		if !pattern.MatchString(text) {
			t.Errorf("%q does not fit", text)
		}
	}
}
