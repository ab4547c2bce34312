package loads

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// limitRow of a test: what a standard prints, and its value for h = 1.2 m and L = 2.4 m.
type printedLimit struct {
	row, of, rule, only string
	at                  float64 // m, for h = 1.2 m and L = 2.4 m
	words               string
}

func holdsLimits(t *testing.T, record *verification.Record, what, source string, got []Limit, want []printedLimit) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %d limits, want %d (source %s)", what, len(got), len(want), source)
		return
	}
	for i, w := range want {
		l := got[i]
		at := l.Deflection + l.PerHeight*1.2 + l.PerBay*2.4
		of := l.Of
		if w.only != "" {
			of += ", " + w.only
		}
		record.From("limits of movement, h = 1.2 m, L = 2.4 m", source, provenanceOf(w.words)).Add(fmt.Sprintf("%s: %s, m", what, of), w.at, at)
		if l.Of != w.of || l.Rule != w.rule || l.Only != w.only || !equal(at, w.at) || l.Provenance+" "+l.Confidence != w.words {
			t.Errorf("%s %s: %s, %q, only %q, %g m, %s %s; want %+v (source %s)", what, w.row, l.Of, l.Rule, l.Only, at, l.Provenance, l.Confidence, w, source)
		}
	}
}

func TestLimitSets(t *testing.T) {
	record := verification.New(t, verification.Loads)
	for _, row := range []struct {
		name, source string
		want         []printedLimit
	}{
		{"ASTM E985", "ASTM E985-96: h/12 post, h/24 + L/96 rail, L/96 vertical (public quotation)", []printedLimit{
			{"US-E985-POST", LimitPost, "h/12", "", 0.100, "public high"},
			{"US-E985-MID", LimitTotal, "h/24 + L/96", "", 0.075, "public high"},
			{"US-E985-VERT", LimitVertical, "L/96", "", 0.025, "public high"}}},
		{"AS/NZS 1170.0", "AS/NZS 1170.0:2002 Table C1: h/60 + L/240 (public note)", []printedLimit{{"AU-DEF", LimitTotal, "h/60 + L/240", "", 0.030, "public medium"}}},
		{"BS 6180", "BS 6180:1999 6.4.1: 25 mm total (public page scan)", []printedLimit{{"UK-DEF", LimitTotal, "", "", 0.025, "public high"}}},
		{"EN ISO 14122-3", "EN ISO 14122-3:2016 8.2.3: 30 mm (public summary)", []printedLimit{{"M-DEF", LimitTotal, "", "", 0.030, "public high"}}},
		{"EN 13374", "EN 13374:2013 6.3: 55 mm (memory)", []printedLimit{{"T-A-DEF", LimitTotal, "", "", 0.055, "memory high"}}},
		{"AS 1657", "AS 1657:2018 6.1: 100 mm in any direction (public note)", []printedLimit{
			{"AU-1657-DEF", LimitTotal, "", "", 0.100, "public high"}, {"AU-1657-DEF", LimitVertical, "", "", 0.100, "public high"}}},
	} {
		set, err := FindLimitSet(row.name)
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		holdsLimits(t, record, row.name, row.source, set.Limits, row.want)
	}
	if n := len(LimitSets()); n != 6 {
		t.Errorf("%d sets, want 6", n)
	}
}

func TestLimitsOfSchedules(t *testing.T) {
	record := verification.New(t, verification.Loads)
	for _, row := range []struct {
		name, source string
		want         []printedLimit
	}{
		{"EN 13374 A", "EN 13374:2013 6.3: 55 mm under the 0.3 kN (memory)", []printedLimit{{"T-A-DEF", LimitTotal, "", "guardrail load", 0.055, "memory high"}}},
		{"AS/NZS 1170.1 C5", "AS/NZS 1170.0:2002 Table C1 (public note)", []printedLimit{{"AU-DEF", LimitTotal, "h/60 + L/240", "", 0.030, "public medium"}}},
		{"AS/NZS 1170.1 A i", "AS/NZS 1170.0:2002 Table C1 (public note)", []printedLimit{{"AU-DEF", LimitTotal, "h/60 + L/240", "", 0.030, "public medium"}}},
		{"AS 1657:2018", "AS 1657:2018 6.1 (public note)", []printedLimit{
			{"AU-1657-DEF", LimitTotal, "", "", 0.100, "public high"}, {"AU-1657-DEF", LimitVertical, "", "", 0.100, "public high"}}},
		{"AS 1657:1992", "none read", nil},
	} {
		holdsLimits(t, record, row.name, row.source, mustFind(t, row.name).Limits, row.want)
	}
}

func TestFindLimitSet(t *testing.T) {
	for name, want := range map[string]string{
		"astm e 985": "ASTM E985", "E985": "ASTM E985", "BS6180:2011": "BS 6180", "AS1657": "AS 1657", "BS EN 13374": "EN 13374", "ISO 14122–3": "EN ISO 14122-3",
	} {
		if set, err := FindLimitSet(name); err != nil || set.Name != want {
			t.Errorf("FindLimitSet(%q) = %q, %v; want %q", name, set.Name, err, want)
		}
	}
	for _, row := range []struct{ name, want string }{
		{"ASTM E958", `no set of limits is called "ASTM E958"; nearest: ASTM E985`},
		{"DIN 18008", `no set of limits is called "DIN 18008"; there are: ASTM E985, AS/NZS 1170.0, BS 6180, EN ISO 14122-3, EN 13374, AS 1657`},
		{" ", `no set of limits is called ""; there are: ASTM E985, AS/NZS 1170.0, BS 6180, EN ISO 14122-3, EN 13374, AS 1657`},
	} {
		_, err := FindLimitSet(row.name)
		if _, ok := errors.AsType[*UnknownLimitSetError](err); !ok || err.Error() != row.want {
			t.Errorf("FindLimitSet(%q): %v\nwant %s", row.name, err, row.want)
		}
	}
	first, _ := FindLimitSet("ASTM E985")
	first.Limits[0].PerHeight, first.Cautions[0] = 1, ""
	if again, _ := FindLimitSet("ASTM E985"); again.Limits[0].PerHeight == 1 || again.Cautions[0] == "" {
		t.Error("a change to one copy shows in the next")
	}
}

func TestFaultsInTheLimits(t *testing.T) {
	whole := string(embedded("tables/limits.toml"))
	for _, row := range []struct{ what, from, to, want string }{
		{"unknown key", `of = "post"`, "of = \"post\"\nat = 1", "unknown key set.limit.at"},
		{"unknown kind", `of = "post"`, `of = "rail"`, `deflection limit "rail" is not one of`},
		{"unknown letter", `rule = "h/12"`, `rule = "H/12"`, `unknown letter "H" in a rule`},
		{"a rule and a length", `rule = "h/12"`, "rule = \"h/12\"\ndeflection = \"5 mm\"", "which holds is ambiguous"},
		{"neither", `rule = "h/12"`, "", "quantity is empty"},
		{"one load", `of = "post"`, "of = \"post\"\nonly = \"x\"", "a set of limits knows no loads"},
		{"no use", `use = "barriers that protect people"`, "", "needs a name, a use and a limit"},
		{"one spelling for two", `"E985", `, `"E985", "BS 6180", `, "stands for two sets"},
		{"no source", `source = "from memory"`, "", "no source"},
		{"a doubt that is not said", "\t\"BS 6180 limits movement to the smaller of 25 mm and the limit of the material code; only the 25 mm is checked\",\n]\n\n[[set.limit]]\ndeflection = \"25 mm\"\nstandard = \"BS 6180\"\nedition = \"1999 (same rule in 2011: memory)\"\nclause = \"6.4.1\"\nsource = \"public page scan of BS 6180:1999 clause 6.4\"\nprovenance = \"public\"\nconfidence = \"high\"",
			"]\n\n[[set.limit]]\ndeflection = \"25 mm\"\nstandard = \"BS 6180\"\nedition = \"1999\"\nclause = \"6.4.1\"\nsource = \"public\"\nprovenance = \"public\"\nconfidence = \"medium\"", "of medium confidence, and no caution says so"},
	} {
		if !strings.Contains(whole, row.from) {
			t.Fatalf("%s: the file has no %q", row.what, row.from)
		}
		_, err := decodeLimitSets([]byte(strings.Replace(whole, row.from, row.to, 1)))
		if err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: %v, want an error with %q", row.what, err, row.want)
		}
	}
	if !slices.ContainsFunc(LimitSets(), func(s LimitSet) bool { return len(s.Cautions) > 0 }) {
		t.Error("no set has a caution")
	}
}
