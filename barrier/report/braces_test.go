package report

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// braced is the fixture with n braces: the last but one is used most, the first pressed most
// and the last presses the ground most.
func braced(n int) *check.Result {
	r := fixture()
	const combination, load = "1.35 G + 1.75 Fu", "point 0.450 kN outward on top rail at x = 9.000 m"
	for i := range n {
		used := 0.1 + 0.001*float64(i)
		if i == n-2 {
			used = 0.9
		}
		r.Braces = append(r.Braces, check.BraceRow{Brace: i + 1, Post: 2*i + 1, Height: 0.9, FootOutward: -0.7, FootAlong: -0.123, FootLevel: -0.3,
			Length: 1.389, Compression: 2045 + float64(n-i), Tension: 519, Utilisation: &used})
		for _, extreme := range []string{"Fz-", "H"} {
			r.BraceFeet = append(r.BraceFeet, check.BraceFoot{Brace: i + 1, ExtremeOf: extreme, Level: "design", Combination: combination, Load: load, Fx: -12, Fy: 1017, Fz: -1774 - float64(i)})
		}
		r.Fittings = append(r.Fittings, check.FittingRow{Fitting: fmt.Sprintf("brace %d", i+1), Tube: "brace", ExtremeOf: "slip", Level: "design", Slip: 2000 + float64(i), Force: 11, Combination: combination, Load: load})
	}
	return r
}

func textOf(t *testing.T, r *check.Result, units quantity.System) string {
	t.Helper()
	var out bytes.Buffer
	if err := Text(&out, r, TextOptions{Units: units}); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// oneSpaced joins the words of a text by single spaces: columns are as wide as their cells.
func oneSpaced(text string) string { return strings.Join(strings.Fields(text), " ") }

// TestBracesAreTold: where each stands in either system of units within 80 columns, their
// fittings as one group, and of their feet the worst with what acts with it.
func TestBracesAreTold(t *testing.T) {
	for units, wants := range map[quantity.System][]string{
		quantity.Metric: {"foot outward -0.700 m, along -0.123 m, level -0.300 m", " 1 1 0.900 1.389 2048 519 0.100 foot", "brace 3 brace slip 2002 "},
		quantity.US:     {"foot outward -2'3.56\", along -0'4.84\", level -0'11.81\""},
	} {
		text := textOf(t, braced(3), units)
		for _, want := range append(wants, "\nBraces: ", "\nBrace feet: ", "Fittings: the worst of each rail and of braces", "Checks: the worst post, brace and bay of each rail") {
			if !strings.Contains(text, want) && !strings.Contains(oneSpaced(text), want) {
				t.Errorf("%v: %q is missing in\n%s", units, want, text)
			}
		}
		if strings.Contains(oneSpaced(text), "brace 1 brace slip") {
			t.Errorf("%v: a brace's fitting that is not the worst is told", units)
		}
		for line := range strings.Lines(text) {
			if utf8.RuneCountInString(strings.TrimSuffix(line, "\n")) > 80 {
				t.Errorf("%v: %d columns: %s", units, utf8.RuneCountInString(line)-1, line)
			}
		}
	}
	if text := textOf(t, fixture(), quantity.Metric); strings.Contains(strings.ToLower(text), "brace") {
		t.Error("a barrier without braces speaks of them")
	}
}

// TestManyBraces: of many the most used, pressed and pulled are told, the others counted.
func TestManyBraces(t *testing.T) {
	text := textOf(t, braced(40), quantity.Metric)
	_, table, _ := strings.Cut(text, "\nBraces: ")
	table, _, _ = strings.Cut(table, "\n\n")
	for _, want := range []string{"      1     1  ", "     39    77  ", "The worst of 40 braces; the other 38 are in the JSON."} {
		if !strings.Contains(table, want) {
			t.Errorf("%q is missing in\n%s", want, table)
		}
	}
	if strings.Count(table, "foot outward") != 2 {
		t.Errorf("the table is\n%s", table)
	}
}

// TestFeetOfBracesMerge: one placement that is worst in two ways stands once.
func TestFeetOfBracesMerge(t *testing.T) {
	r := braced(1)
	if text := textOf(t, r, quantity.Metric); !strings.Contains(oneSpaced(text), " 1 Fz- H design -12 1017 -1774 1 ") {
		t.Errorf("the feet are\n%s", text)
	}
}

// TestRailNamedLikeABrace: a rail of that name keeps its fittings for itself.
func TestRailNamedLikeABrace(t *testing.T) {
	if a, b := fittingRail("brace 1"), fittingRail("4 brace"); a == b || b != "brace" {
		t.Errorf("fittings of a brace go by %q, those of the rail brace by %q", a, b)
	}
	if got := member("brace 12"); got != "brace" {
		t.Errorf("brace 12 belongs to %q", got)
	}
}
