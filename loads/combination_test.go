package loads

import (
	"fmt"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

func TestCombinations(t *testing.T) {
	record := verification.New(t, verification.Mixes)
	const (
		en    = "EN 1990 6.10 (Steel Buildings in Europe, Part 3, p. 3-5)"
		enSLS = "EN 1990 6.14b (memory)"
		lrfd  = "ASCE 7-16 2.3.1: 1.4D; 1.2D + 1.6L; 0.9D + 1.0W (memory)"
		asd   = "ASCE 7-16 2.4.1: D; D + L; 0.6D + 0.6W (memory)"
		us    = "unfactored actions (common practice)"
		nbc   = "NBC Table 4.1.3.2.-A: 1.4D; 1.25D (0.9D) + 1.5L (memory)"
		as    = "AS/NZS 1170.0 4.2.2: 1.35G; 1.2G + 1.5Q; 0.9G + Wu; 4.3: G + psi_s Q (memory)"
	)
	for _, row := range []struct {
		basis        Basis
		symbol       string
		what         string
		got          func(Combinations) Combination
		state        string
		unfavourable float64
		favourable   float64
		leading      float64
		source       string
		relief       string // provenance of the favourable factor
	}{
		{BasisEN, "G", "strength", strengthOf, "ULS", 1.35, 1.00, 1.5, en, "public"},
		{BasisEN, "G", "alone", aloneOf, "ULS", 1.35, 1.35, 0, en, "public"},
		{BasisEN, "G", "service", serviceOf, "SLS", 1, 1, 1, enSLS, "memory"},
		{BasisLRFD, "D", "strength", strengthOf, "ULS", 1.2, 0.9, 1.6, lrfd, "common-practice"},
		{BasisLRFD, "D", "alone", aloneOf, "ULS", 1.4, 1.4, 0, lrfd, "memory"},
		{BasisLRFD, "D", "service", serviceOf, "SLS", 1, 1, 1, us, "common-practice"},
		{BasisASD, "D", "strength", strengthOf, "ASD", 1, 0.6, 1, asd, "common-practice"},
		{BasisASD, "D", "alone", aloneOf, "ASD", 1, 1, 0, asd, "memory"},
		{BasisASD, "D", "service", serviceOf, "SLS", 1, 1, 1, us, "common-practice"},
		{BasisCSA, "D", "strength", strengthOf, "ULS", 1.25, 0.9, 1.5, nbc, "memory"},
		{BasisCSA, "D", "alone", aloneOf, "ULS", 1.4, 1.4, 0, nbc, "memory"},
		{BasisCSA, "D", "service", serviceOf, "SLS", 1, 1, 1, us, "common-practice"},
		{BasisAS, "G", "strength", strengthOf, "ULS", 1.2, 0.9, 1.5, as, "common-practice"},
		{BasisAS, "G", "alone", aloneOf, "ULS", 1.35, 1.35, 0, as, "memory"},
		{BasisAS, "G", "service", serviceOf, "SLS", 1, 1, 1, as, "memory"},
	} {
		all := CombinationsOf(row.basis)
		c := row.got(all)
		factors := record.From("factors of each basis", row.source, howKnown(row.source))
		what := fmt.Sprintf("%s, %s: factor of ", row.basis, row.what)
		factors.Add(what+row.symbol, row.unfavourable, c.PermanentUnfavourable)
		factors.Add(what+row.symbol+", relieving", row.favourable, c.PermanentFavourable)
		if row.leading > 0 {
			factors.Add(what+"the variable action", row.leading, c.Leading)
		}
		if all.Basis != row.basis || all.PermanentSymbol != row.symbol {
			t.Errorf("%s: basis %s, symbol %s, want %s", row.basis, all.Basis, all.PermanentSymbol, row.symbol)
		}
		if c.LimitState != row.state || c.PermanentUnfavourable != row.unfavourable || c.PermanentFavourable != row.favourable || c.Leading != row.leading {
			t.Errorf("%s %s: %s %g (%g) + %g, want %s %g (%g) + %g (source %s)", row.basis, row.what,
				c.LimitState, c.PermanentUnfavourable, c.PermanentFavourable, c.Leading, row.state, row.unfavourable, row.favourable, row.leading, row.source)
		}
		if c.Relief.Provenance != row.relief {
			t.Errorf("%s %s: the favourable factor is %s, want %s", row.basis, row.what, c.Relief.Provenance, row.relief)
		}
	}
	if got := CombinationsOf(BasisLRFD).ULS.Name; got != "ASCE 7-16 2.3.1 combination 2" {
		t.Errorf("the LRFD combination is called %q", got)
	}
}

func strengthOf(c Combinations) Combination { return c.ULS }
func serviceOf(c Combinations) Combination  { return c.SLS }
func aloneOf(c Combinations) Combination    { return c.PermanentAlone }

func TestUnknownBasisPanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("an unknown basis has combinations")
		}
	}()
	CombinationsOf("XX")
}

func TestExpressions(t *testing.T) {
	for _, row := range []struct{ got, want string }{
		{Expression(1.35, "G", 1.75, "Fu"), "1.35 G + 1.75 Fu"},
		{Expression(1.35, "G", 1.5, "Q"), "1.35 G + 1.50 Q"},
		{Expression(1.2, "D", 1.6, "L"), "1.20 D + 1.60 L"},
		{Expression(0.6, "D", 1, "L"), "0.60 D + 1.00 L"},
		{Expression(1.35, "G", 1.5, "Q", Term{0.9, "W"}, Term{0.75, "I"}), "1.35 G + 1.50 Q + 0.90 W + 0.75 I"},
		{Sum(Term{1, "Q"}, Term{0.6, "W"}), "1.00 Q + 0.60 W"},
	} {
		if row.got != row.want {
			t.Errorf("got %q, want %q", row.got, row.want)
		}
	}
}

func TestFactorOfAction(t *testing.T) {
	c := CombinationsOf(BasisEN)
	own, plain := mustFind(t, "EN ISO 14122-3"), mustFind(t, "EN 1991-1-1 E")
	for _, row := range []struct {
		what      string
		got, want float64
	}{
		{"ULS, own factor", c.StrengthFactor(&own, own.Actions[0]).Value, 1.75},
		{"ULS, EN 1990 factor", c.StrengthFactor(&plain, plain.Actions[0]).Value, 1.5},
		{"SLS", c.SLS.Leading, 1.0},
	} {
		if row.got != row.want {
			t.Errorf("%s = %g, want %g", row.what, row.got, row.want)
		}
	}
}

// A factor is the action's own, that of the basis, or, for another family, that of the basis
// as on a nominal imposed load.
func TestStrengthFactor(t *testing.T) {
	record := verification.New(t, verification.Mixes)
	for _, row := range []struct {
		basis      Basis
		schedule   string // empty: an own load
		want       float64
		override   bool
		provenance string
		source     string
	}{
		{BasisEN, "EN ISO 14122-3", 1.75, true, "public", "EN ISO 14122-3:2016 8.2.2 (3), (4)"},
		{BasisEN, "EN 1991-1-1 E", 1.5, false, "public", "EN 1990 6.10"},
		{BasisEN, "IBC 2021 general", 1.5, false, "common-practice", "mixed: nominal imposed load"},
		{BasisEN, "29 CFR 1910.29", 1.5, false, "common-practice", "mixed: nominal imposed load"},
		{BasisEN, "", 1.5, false, "public", "EN 1990 6.10"},
		{BasisLRFD, "IBC 2021 general", 1.6, false, "memory", "ASCE 7-16 2.3.1, 1.6L"},
		{BasisLRFD, "ASCE 7-10 dwelling", 1.6, false, "memory", "ASCE 7-16 2.3.1, 1.6L"},
		{BasisLRFD, "29 CFR 1910.29", 1.6, false, "common-practice", "OSHA has no factor; 1.6 is common practice"},
		{BasisLRFD, "EN ISO 14122-3", 1.6, false, "common-practice", "mixed: its own 1.75 is dropped"},
		{BasisLRFD, "EN 1991-1-1 UK v", 1.6, false, "common-practice", "mixed: nominal imposed load"},
		{BasisLRFD, "", 1.6, false, "memory", "ASCE 7-16 2.3.1, 1.6L"},
		{BasisASD, "IBC 2021 general", 1.0, false, "memory", "ASCE 7-16 2.4.1, D + L"},
		{BasisASD, "29 CFR 1926.502", 1.0, false, "common-practice", "OSHA has no factor; 1.0 is common practice"},
		{BasisASD, "EN ISO 14122-3", 1.0, false, "common-practice", "mixed: its own 1.75 is dropped"},
		{BasisASD, "", 1.0, false, "memory", "ASCE 7-16 2.4.1, D + L"},
	} {
		var s *Schedule
		var a Action
		if row.schedule != "" {
			found := mustFind(t, row.schedule)
			s, a = &found, found.Actions[0]
		}
		f := CombinationsOf(row.basis).StrengthFactor(s, a)
		load := row.schedule
		if load == "" {
			load = "own load"
		}
		if !strings.HasPrefix(row.source, "mixed") { // a rule of this program
			record.From("factor of a load on each basis", row.source, verification.Provenance(row.provenance)).Add(fmt.Sprintf("%s: %s", row.basis, load), row.want, f.Value)
		}
		if f.Value != row.want || f.Override != row.override || f.Provenance != row.provenance {
			t.Errorf("%s, %q: factor %g, own %v, %s; want %g, %v, %s (source %s)", row.basis, row.schedule,
				f.Value, f.Override, f.Provenance, row.want, row.override, row.provenance, row.source)
		}
		if f.Clause == "" || f.Source == "" {
			t.Errorf("%s, %q: the factor has no clause or source", row.basis, row.schedule)
		}
	}
}

func TestFamiliesOfBases(t *testing.T) {
	for _, row := range []struct {
		basis Basis
		want  []Family
	}{
		{BasisEN, []Family{EN}},
		{BasisLRFD, []Family{ASCE, OSHA}},
		{BasisASD, []Family{ASCE, OSHA}},
		{BasisCSA, []Family{NBC}},
		{BasisAS, []Family{AS}},
		{"XX", nil},
	} {
		got := row.basis.Families()
		if len(got) != len(row.want) {
			t.Fatalf("%s combines %q, want %q", row.basis, got, row.want)
		}
		for i := range got {
			if got[i] != row.want[i] {
				t.Errorf("%s combines %q, want %q", row.basis, got, row.want)
			}
		}
	}
}
