package check

import (
	"fmt"
	"strings"
	"testing"
)

func TestPartsOf(t *testing.T) {
	symbols := []string{"M", "Mc,Rd", "MEd", "MEd,2", "d", "t", "d/t", "D", "D/t", "E", "I", "Pr", "Pc", "Pr/Pc", "λ", "γM0", "a", "fy", "A", "L"}
	for formula, want := range map[string]string{
		"MEd,2/Mc,Rd + n^1.7":     "[MEd,2]/[Mc,Rd] + n^1.7",
		"MEd/M":                   "[MEd]/[M]",
		"π² EI/(4h²)":             "π² [E][I]/(4h²)",
		"π²EI/L²":                 "π²[E][I]/[L]²",
		"Pr/Pc, at most 0.2":      "[Pr/Pc], at most 0.2", // at is no product of a and t
		"Pr/(2 Pc)":               "[Pr]/(2 [Pc])",
		"2d/t":                    "2[d/t]",
		"0.021E/(D/t) + Fy":       "0.021[E]/([D/t]) + Fy",
		"λ̄²":                     "λ̄²", // another symbol than λ
		"A fy / γM0":              "[A] [fy] / [γM0]",
		"the larger of d and t":   "the larger of [d] and [t]",
		"min(d, t) + sin E cos I": "min([d], [t]) + sin [E] cos [I]",
		"M1":                      "M1",
		"tested value":            "tested value",
		"":                        "",
	} {
		var got strings.Builder
		for _, p := range partsOf(formula, symbols) {
			if p.symbol {
				fmt.Fprintf(&got, "[%s]", p.text)
			} else {
				got.WriteString(p.text)
			}
		}
		if got.String() != want {
			t.Errorf("partsOf(%q) = %s, want %s", formula, got.String(), want)
		}
	}
}

func TestPutIn(t *testing.T) {
	values := []StepValue{{"Wpl", 6520, "mm³"}, {"fy", 195, "MPa"}, {"γM0", 1, "1"}, {"N", -5, "N"}, {"A", 2, "mm²"}, {"E", 7, "MPa"}, {"I", 9, "mm⁴"}, {"λ", 0.5, "1"}, {"D/t", 20, "1"}}
	for formula, want := range map[string]string{
		"Wpl fy / γM0":                         "6520 × 195 / 1",
		"|N|/A":                                "|-5|/2",
		"A |N| / fy":                           "2 × |-5| / 195",
		"N²":                                   "(-5)²",
		"-N":                                   "-(-5)",
		"2A/π":                                 "2 × 2/π",
		"π² EI/(4A²)":                          "π² × 7 × 9/(4 × 2²)",
		"A min(fy, λ E)":                       "2 × min(195, 0.5 × 7)",
		"A sin λ cos λ":                        "2 × sin 0.5 × cos 0.5",
		"√(A fy/N)":                            "√(2 × 195/(-5))",
		"0.5 [1 + A(λ - 0.2) + λ²]":            "0.5 [1 + 2 × (0.5 - 0.2) + 0.5²]",
		"A (fy/√3)":                            "2 × (195/√3)",
		"(D/t)^(3/2)":                          "(20)^(3/2)",
		"the larger of A and λ, at most 0.6fy": "the larger of 2 and 0.5, at most 0.6 × 195",
		"0.658^(fy/E) fy":                      "0.658^(195/7) × 195",
		"(1 - λ) Wpl, at least 0":              "(1 - 0.5) × 6520, at least 0",
	} {
		s := Step{Formula: formula, Values: values}
		if got := s.PutIn(func(v StepValue) string { return fmt.Sprint(v.Value) }); got != want {
			t.Errorf("%q with its values is %q, want %q", formula, got, want)
		}
	}
}

// A clause is found by the longest of the rows that it begins with.
func TestClauseOf(t *testing.T) {
	for clause, want := range map[string]string{
		"AISC 360-22 F8-1":            "public",
		"AISC 360-22 F8-2":            "memory",
		"AISC 360-22 F80":             "",
		"AISC 360-22 H1.1 (H1-1b)":    "public",
		"AISC 360-22 E3-3":            "memory",
		"AISC 360-22 E3-2":            "public",
		"EN 1993-1-1 6.2.5(2) (6.13)": "memory",
		"EN 1993-1-12 6.2":            "",
		FromFrame:                     "derived",
		"a clause that no table has":  "",
		columnClause:                  "memory",
	} {
		row, listed := clauseOf(clause)
		if row.provenance != want || listed != (want != "") {
			t.Errorf("%s is known by %q, want %q", clause, row.provenance, want)
		}
	}
}

// Every row of the tables of clauses says how it is known and where from, and stands once.
func TestClauseTables(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range clauses() {
		if r.clause == "" || r.source == "" || seen[r.clause] {
			t.Errorf("%+v lacks something or stands twice", r)
		}
		seen[r.clause] = true
		switch r.provenance {
		case "public", "memory", derived, "common-practice", usersOwn:
		default:
			t.Errorf("%s: provenance %q", r.clause, r.provenance)
		}
	}
}
