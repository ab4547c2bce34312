package quantity_test

import (
	"errors"
	"math"
	"testing"

	"example.com/stanchion/internal/quantity"
)

func length(term string) (float64, error) { return quantity.Parse(term, quantity.Length) }

func TestParseRule(t *testing.T) {
	for _, row := range []struct {
		text   string
		want   quantity.Rule
		source string
	}{
		{"h/12", quantity.Rule{PerHeight: 1. / 12}, "ASTM E985, post"},
		{"h/24 + L/96", quantity.Rule{PerHeight: 1. / 24, PerBay: 1. / 96}, "ASTM E985, rail"},
		{"h/60+L/240", quantity.Rule{PerHeight: 1. / 60, PerBay: 1. / 240}, "AS/NZS 1170.0 Table C1"},
		{"25 mm", quantity.Rule{Length: 0.025}, "BS 6180"},
		{"h / 120 + 5 mm", quantity.Rule{Length: 0.005, PerHeight: 1. / 120}, "arithmetic"},
	} {
		got, err := quantity.ParseRule(row.text, length)
		if err != nil || math.Abs(got.Length-row.want.Length) > 1e-15 || got.PerHeight != row.want.PerHeight || got.PerBay != row.want.PerBay {
			t.Errorf("ParseRule(%q) = %+v, %v; want %+v (source %s)", row.text, got, err, row.want, row.source)
		}
	}
}

func TestFaultsInARule(t *testing.T) {
	for _, row := range []struct {
		text, want string
		kind       quantity.RuleFault
	}{
		{"h/24 +", "a term of the rule is missing", quantity.WrongTerm},
		{"h/24 - L/96", `"h/24 - L/96" subtracts, and the terms of a rule are added`, quantity.WrongTerm},
		{"h", `"h" is neither a share such as h/24 nor a length`, quantity.WrongTerm},
		{"2 h", `"2 h" is neither a share such as h/24 nor a length`, quantity.WrongTerm},
		{"h/0", `"h/0" divides by zero`, quantity.WrongTerm},
		{"h/-3", `"h/-3" divides by a negative number`, quantity.WrongTerm},
		{"h/2e3", `"h/2e3" does not divide by a plain number`, quantity.WrongTerm},
		{"h/2000000", `"h/2000000" divides by more than a million`, quantity.WrongTerm},
		{"s/24", `unknown letter "s" in a rule`, quantity.WrongLetter},
		{"H/24", `unknown letter "H" in a rule`, quantity.WrongCase},
		{"l/96", `unknown letter "l" in a rule`, quantity.WrongCase},
	} {
		_, err := quantity.ParseRule(row.text, length)
		e, ok := errors.AsType[*quantity.RuleError](err)
		if !ok || e.Error() != row.want || e.Kind != row.kind {
			t.Errorf("ParseRule(%q): %v, want %q", row.text, err, row.want)
		}
	}
	if _, err := quantity.ParseRule("h/24 + 5 kN", length); err == nil {
		t.Error("a force is let through as a term")
	}
}

func TestIsRule(t *testing.T) {
	for text, want := range map[string]bool{"h/12": true, "5 mm + 3 mm": true, "2 h": true, "25 mm": false, "25": false, "3 mm of lead": false} {
		if got := quantity.IsRule(text); got != want {
			t.Errorf("IsRule(%q) = %v, want %v", text, got, want)
		}
	}
}
