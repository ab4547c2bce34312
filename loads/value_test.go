package loads

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"example.com/stanchion/internal/verification"
)

// publishedActions restates every action of the European schedules from its published row, in the
// order in which they are listed. Values are exact in SI, so the tolerance is rounding.
var publishedActions = []struct {
	row, schedule          string
	kind                   Kind
	want                   float64 // N, N/m, N/m²
	source                 string
	provenance, confidence string
}{
	{"M-SERV", "EN ISO 14122-3", PointPerSpacing, 300, "EN ISO 14122-3:2016 8.2.2 (2), public summary: F_U = 300 N/m x L", "public", "high"},
	{"EU-LINE-A", "EN 1991-1-1 A", Line, 500, "EN 1991-1-1:2002 Table 6.12, recommended 0.5 kN/m (memory)", "memory", "medium"},
	{"EU-LINE-B", "EN 1991-1-1 B", Line, 500, "EN 1991-1-1:2002 Table 6.12, recommended 0.5 kN/m (memory)", "memory", "medium"},
	{"EU-LINE-C", "EN 1991-1-1 C", Line, 1000, "EN 1991-1-1:2002 Table 6.12, recommended 1.0 kN/m (memory)", "memory", "medium"},
	{"EU-LINE-C5", "EN 1991-1-1 C5", Line, 3000, "EN 1991-1-1:2002 Table 6.12, recommended 3.0 kN/m (memory)", "memory", "medium"},
	{"EU-LINE-E", "EN 1991-1-1 E", Line, 2000, "EN 1991-1-1:2002 Table 6.12, recommended 2.0 kN/m (memory)", "memory", "medium"},
	{"UK-I-LINE", "EN 1991-1-1 UK i", Line, 360, "BS 6180:2011 Table 2 row i, 0.36 kN/m (public page scan)", "public", "high"},
	{"UK-I-UDL", "EN 1991-1-1 UK i", Area, 500, "BS 6180:2011 Table 2 row i, 0.5 kN/m2 (public page scan)", "public", "high"},
	{"UK-I-PT", "EN 1991-1-1 UK i", Point, 250, "BS 6180:2011 Table 2 row i, 0.25 kN (public page scan)", "public", "high"},
	{"UK-II-LINE", "EN 1991-1-1 UK ii", Line, 740, "BS 6180:2011 Table 2 row ii, 0.74 kN/m (public page scan)", "public", "high"},
	{"UK-II-UDL", "EN 1991-1-1 UK ii", Area, 1000, "BS 6180:2011 Table 2 row ii, 1.0 kN/m2 (public page scan)", "public", "high"},
	{"UK-II-PT", "EN 1991-1-1 UK ii", Point, 500, "BS 6180:2011 Table 2 row ii, 0.5 kN (public page scan)", "public", "high"},
	{"UK-III-LINE", "EN 1991-1-1 UK iii", Line, 220, "BS 6180:2011 Table 2 row iii, 0.22 kN/m (public page scan)", "public", "high"},
	{"UK-IV-LINE", "EN 1991-1-1 UK iv", Line, 360, "BS 6180:2011 Table 2 row iv, 0.36 kN/m (public page scan)", "public", "high"},
	{"UK-IV-UDL", "EN 1991-1-1 UK iv", Area, 500, "BS 6180:2011 Table 2 row iv, 0.5 kN/m2 (public page scan)", "public", "high"},
	{"UK-IV-PT", "EN 1991-1-1 UK iv", Point, 250, "BS 6180:2011 Table 2 row iv, 0.25 kN (public page scan)", "public", "high"},
	{"UK-V-LINE", "EN 1991-1-1 UK v", Line, 740, "BS 6180:2011 Table 2 row v, 0.74 kN/m (public page scan)", "public", "high"},
	{"UK-V-UDL", "EN 1991-1-1 UK v", Area, 1000, "BS 6180:2011 Table 2 row v, 1.0 kN/m2 (public page scan)", "public", "high"},
	{"UK-V-PT", "EN 1991-1-1 UK v", Point, 500, "BS 6180:2011 Table 2 row v, 0.5 kN (public page scan)", "public", "high"},
	{"UK-VI-LINE", "EN 1991-1-1 UK vi", Line, 1500, "BS 6180:2011 Table 2 row vi, 1.5 kN/m (public page scan)", "public", "high"},
	{"UK-VI-UDL", "EN 1991-1-1 UK vi", Area, 1500, "BS 6180:2011 Table 2 row vi, 1.5 kN/m2 (public page scan)", "public", "high"},
	{"UK-VI-PT", "EN 1991-1-1 UK vi", Point, 1500, "BS 6180:2011 Table 2 row vi, 1.5 kN (public page scan)", "public", "high"},
	{"UK-VII-LINE", "EN 1991-1-1 UK vii", Line, 1500, "BS 6180:2011 Table 2 row vii, 1.5 kN/m (memory)", "memory", "high"},
	{"UK-VII-UDL", "EN 1991-1-1 UK vii", Area, 1500, "BS 6180:2011 Table 2 row vii, 1.5 kN/m2 (memory)", "memory", "high"},
	{"UK-VII-PT", "EN 1991-1-1 UK vii", Point, 1500, "BS 6180:2011 Table 2 row vii, 1.5 kN (memory)", "memory", "high"},
	{"UK-VIII-LINE", "EN 1991-1-1 UK viii", Line, 740, "BS 6180:2011 Table 2 row viii, 0.74 kN/m (memory)", "memory", "high"},
	{"UK-VIII-UDL", "EN 1991-1-1 UK viii", Area, 1000, "BS 6180:2011 Table 2 row viii, 1.0 kN/m2 (memory)", "memory", "high"},
	{"UK-VIII-PT", "EN 1991-1-1 UK viii", Point, 500, "BS 6180:2011 Table 2 row viii, 0.5 kN (memory)", "memory", "high"},
	{"UK-IX-LINE", "EN 1991-1-1 UK ix", Line, 740, "BS 6180:2011 Table 2 row ix, 0.74 kN/m (memory)", "memory", "high"},
	{"UK-IX-UDL", "EN 1991-1-1 UK ix", Area, 1000, "BS 6180:2011 Table 2 row ix, 1.0 kN/m2 (memory)", "memory", "high"},
	{"UK-IX-PT", "EN 1991-1-1 UK ix", Point, 500, "BS 6180:2011 Table 2 row ix, 0.5 kN (memory)", "memory", "high"},
	{"UK-X-LINE", "EN 1991-1-1 UK x", Line, 1500, "BS 6180:2011 Table 2 row x, 1.5 kN/m (memory)", "memory", "high"},
	{"UK-X-UDL", "EN 1991-1-1 UK x", Area, 1500, "BS 6180:2011 Table 2 row x, 1.5 kN/m2 (memory)", "memory", "high"},
	{"UK-X-PT", "EN 1991-1-1 UK x", Point, 1500, "BS 6180:2011 Table 2 row x, 1.5 kN (memory)", "memory", "high"},
	{"UK-XI-LINE", "EN 1991-1-1 UK xi", Line, 3000, "BS 6180:2011 Table 2 row xi, 3.0 kN/m (memory)", "memory", "high"},
	{"UK-XI-UDL", "EN 1991-1-1 UK xi", Area, 1500, "BS 6180:2011 Table 2 row xi, 1.5 kN/m2 (memory)", "memory", "high"},
	{"UK-XI-PT", "EN 1991-1-1 UK xi", Point, 1500, "BS 6180:2011 Table 2 row xi, 1.5 kN (memory)", "memory", "high"},
	{"UK-XIII-LINE", "EN 1991-1-1 UK xiii", Line, 1500, "BS 6180:2011 Table 2 row xiii, 1.5 kN/m (memory)", "memory", "high"},
	{"UK-XIII-UDL", "EN 1991-1-1 UK xiii", Area, 1500, "BS 6180:2011 Table 2 row xiii, 1.5 kN/m2 (memory)", "memory", "high"},
	{"UK-XIII-PT", "EN 1991-1-1 UK xiii", Point, 1500, "BS 6180:2011 Table 2 row xiii, 1.5 kN (memory)", "memory", "high"},
	{"UK-XIV-LINE", "EN 1991-1-1 UK xiv", Line, 1500, "BS 6180:2011 Table 2 row xiv, 1.5 kN/m (memory)", "memory", "high"},
	{"UK-XIV-UDL", "EN 1991-1-1 UK xiv", Area, 1500, "BS 6180:2011 Table 2 row xiv, 1.5 kN/m2 (memory)", "memory", "high"},
	{"UK-XIV-PT", "EN 1991-1-1 UK xiv", Point, 1500, "BS 6180:2011 Table 2 row xiv, 1.5 kN (memory)", "memory", "high"},
}

func TestActionsAgainstPublishedRows(t *testing.T) {
	record := verification.New(t, verification.Loads)
	next := 0
	for _, s := range earlierEuropeanSchedules() {
		for _, a := range s.Actions {
			if a.Standard == "BS 6399-1" {
				continue // TestUKVerticalLoads
			}
			if next == len(publishedActions) {
				t.Fatalf("%s %s has no published row", s.Name, a.Name)
			}
			row := publishedActions[next]
			next++
			if s.Name != row.schedule || a.Kind != row.kind {
				t.Fatalf("%s %s stands where %s has %s %s", s.Name, a.Kind, row.row, row.schedule, row.kind)
			}
			record.From("actions of schedules of the family EN and of the UK", row.source, verification.Provenance(row.provenance)).
				Add(fmt.Sprintf("%s: %s, %s", s.Name, a.Name, unitOf(a.Kind)), row.want, a.Value)
			if !equal(a.Value, row.want) {
				t.Errorf("%s %s = %g, want %g (source %s)", s.Name, a.Name, a.Value, row.want, row.source)
			}
			if a.Provenance != row.provenance || a.Confidence != row.confidence {
				t.Errorf("%s %s is %s, %s; want %s, %s (source %s)", s.Name, a.Name, a.Provenance, a.Confidence, row.provenance, row.confidence, row.source)
			}
			if a.Direction != "outward" {
				t.Errorf("%s %s acts %s, want outward (source %s)", s.Name, a.Name, a.Direction, row.source)
			}
		}
	}
	if next != len(publishedActions) {
		t.Errorf("%d actions listed, %d published", next, len(publishedActions))
	}
}

func TestTargetFollowsKind(t *testing.T) {
	// BS 6180:2011 Table 2: line load at the design height, area load on the whole infill,
	// point load on any part of the infill; EN ISO 14122-3 8.2.2: at the handrail.
	want := map[Kind]Target{Line: Top, Area: InfillArea, Point: Intermediate, PointPerSpacing: Top}
	for _, s := range earlierEuropeanSchedules() {
		for _, a := range s.Actions {
			if a.Standard == "BS 6399-1" {
				continue // TestUKVerticalLoads
			}
			if a.Target != want[a.Kind] {
				t.Errorf("%s %s stands on %s, want %s", s.Name, a.Name, a.Target, want[a.Kind])
			}
		}
	}
}

func TestNationalRanges(t *testing.T) {
	record := verification.New(t, verification.Loads)
	for _, row := range []struct {
		schedule string
		low      float64 // N/m
		high     float64
		source   string
	}{
		{"EN 1991-1-1 A", 200, 1000, "EN 1991-1-1:2002 Table 6.12, 0.2 to 1.0 kN/m (memory)"},
		{"EN 1991-1-1 B", 200, 1000, "EN 1991-1-1:2002 Table 6.12, 0.2 to 1.0 kN/m (Steel Buildings in Europe, Part 3, p. 3-11)"},
		{"EN 1991-1-1 C", 800, 1000, "EN 1991-1-1:2002 Table 6.12, 0.8 to 1.0 kN/m (memory)"},
		{"EN 1991-1-1 C5", 3000, 5000, "EN 1991-1-1:2002 Table 6.12, 3.0 to 5.0 kN/m (memory)"},
		{"EN 1991-1-1 E", 800, 2000, "EN 1991-1-1:2002 Table 6.12, 0.8 to 2.0 kN/m (memory)"},
	} {
		a := mustFind(t, row.schedule).Actions[0]
		ends := record.From("ranges of national choice", row.source, howKnown(row.source))
		ends.Add(row.schedule+": least, N/m", row.low, a.Range[0])
		ends.Add(row.schedule+": most, N/m", row.high, a.Range[1])
		if !equal(a.Range[0], row.low) || !equal(a.Range[1], row.high) {
			t.Errorf("%s range = %g, want %g to %g (source %s)", row.schedule, a.Range, row.low, row.high, row.source)
		}
	}
}

func TestHeights(t *testing.T) {
	record := verification.New(t, verification.Loads)
	for _, row := range []struct {
		schedule  string
		axis, top float64 // m
		want      float64 // m
		source    string
	}{
		{"EN 1991-1-1 C5", 1.10, 1.124, 1.124, "EN 1991-1-1:2002 6.4(1): barrier height, at most 1.20 m (Steel Buildings in Europe, Part 3, p. 3-11)"},
		{"EN 1991-1-1 C5", 1.30, 1.324, 1.20, "EN 1991-1-1:2002 6.4(1): barrier height, at most 1.20 m (Steel Buildings in Europe, Part 3, p. 3-11)"},
		{"EN 1991-1-1 UK v", 1.10, 1.124, 1.10, "BS 6180:2011: design height normally 1.1 m (memory)"},
		{"EN 1991-1-1 UK v", 1.00, 1.024, 1.024, "BS 6180:2011: top of the barrier if lower (memory)"},
		{"EN ISO 14122-3", 1.10, 1.124, 1.10, "EN ISO 14122-3:2016 8.2.2: at the centre of the handrail (public summary)"},
	} {
		got := mustFind(t, row.schedule).Actions[0].Height.At(row.axis, row.top)
		record.From("heights of loads", row.source, howKnown(row.source)).Add(fmt.Sprintf("%s, top rail at %g m: m", row.schedule, row.axis), row.want, got)
		if !equal(got, row.want) {
			t.Errorf("%s, axis %g m, top %g m: load at %g m, want %g m (source %s)", row.schedule, row.axis, row.top, got, row.want, row.source)
		}
	}
	for name, want := range map[string][2]string{
		"EN 1991-1-1 A":    {"public", "high"},
		"EN 1991-1-1 UK i": {"memory", "medium"},
		"EN ISO 14122-3":   {"public", "high"},
	} {
		h := mustFind(t, name).Actions[0].Height
		if h.Provenance != want[0] || h.Confidence != want[1] {
			t.Errorf("height of %s is %s, %s; want %s, %s", name, h.Provenance, h.Confidence, want[0], want[1])
		}
	}
}

func TestDeflectionLimits(t *testing.T) {
	record := verification.New(t, verification.Loads)
	for _, s := range Schedules() {
		var want float64 // m, 0: no limit
		var source string
		switch {
		case s.Family == AS || s.Standard == "EN 13374":
			continue // TestLimitsOfSchedules
		case s.Family != EN:
			source = "IBC sets no deflection limit for guards (public); 29 CFR and ASCE 7 have none (memory); none found for NBC"
		case s.Name == "EN ISO 14122-3":
			want, source = 0.030, "EN ISO 14122-3:2016 8.2.3, 30 mm (public summary)"
		case s.Name == "EN ISO 14122-3:2001":
			want, source = 0.030, "EN ISO 14122-3:2001 + A1:2010, the same 30 mm (memory)"
		case s.Annex == "UK":
			want, source = 0.025, "BS 6180:1999 6.4.1, 25 mm total (public page scan)"
		default:
			source = "EN 1991-1-1 has no deflection limit"
		}
		var got float64
		if len(s.Limits) > 0 {
			got = s.Limits[0].Deflection
		}
		if want > 0 {
			record.From("limits of movement of schedules", source, howKnown(source)).Add(s.Name+": m", want, got)
		}
		if !equal(got, want) {
			t.Errorf("%s limit = %g m, want %g m (source %s)", s.Name, got, want, source)
		}
	}
}

func TestStrengthAndFirstYieldFactors(t *testing.T) {
	record := verification.New(t, verification.Loads)
	for _, row := range []struct {
		schedule   string
		strength   float64
		override   bool
		firstYield float64
		yieldFrom  string
		symbol     string
		source     string
	}{
		{"EN 1991-1-1 A", 1.5, false, 1.0, "common-practice", "Q", "EN 1990 6.10 (Steel Buildings in Europe, Part 3, p. 3-5)"},
		{"EN 1991-1-1 UK xi", 1.5, false, 1.0, "memory", "Q", "EN 1990 6.10; no permanent set, BS 6180:1999 6.4.1 (memory)"},
		{"EN ISO 14122-3", 1.75, true, 1.75, "memory", "Fu", "EN ISO 14122-3:2016 8.2.2 (3), (4) (public summary); no permanent set after it (memory)"},
	} {
		a := mustFind(t, row.schedule).Actions[0]
		record.From("factors of schedules for strength", row.source, howKnown(row.source)).Add(row.schedule, row.strength, a.Strength.Value)
		record.From("factors of schedules without permanent set", row.source, verification.Provenance(row.yieldFrom)).Add(row.schedule, row.firstYield, a.FirstYield)
		if a.Strength.Value != row.strength || a.Strength.Override != row.override || a.FirstYield != row.firstYield ||
			a.YieldRule.Provenance != row.yieldFrom || a.Symbol != row.symbol {
			t.Errorf("%s: strength %g (override %v), first yield %g (%s), symbol %s; want %g (%v), %g (%s), %s (source %s)", row.schedule,
				a.Strength.Value, a.Strength.Override, a.FirstYield, a.YieldRule.Provenance, a.Symbol,
				row.strength, row.override, row.firstYield, row.yieldFrom, row.symbol, row.source)
		}
	}
}

// EN ISO 14122-3:2016 8.2.2 (3), (4), public summary: F_S = 1.75 F_U = 525 N/m x L, so 450 N
// and 787.5 N at L = 1.5 m.
func TestMachineryStrengthLoad(t *testing.T) {
	forces := verification.New(t, verification.Loads).From("forces of EN ISO 14122-3", "EN ISO 14122-3:2016 8.2.2 (3), (4), public summary: 1.75 F_U = 525 N/m x L", verification.Public)
	schedule := mustFind(t, "EN ISO 14122-3")
	a := schedule.Actions[0]
	for _, row := range []struct{ spacing, service, strength float64 }{{1, 300, 525}, {1.5, 450, 787.5}} {
		service := a.Value * row.spacing
		strength := service * CombinationsOf(BasisEN).StrengthFactor(&schedule, a).Value
		forces.Add(fmt.Sprintf("L = %g m: service, N", row.spacing), row.service, service)
		forces.Add(fmt.Sprintf("L = %g m: strength, N", row.spacing), row.strength, strength)
		if !equal(service, row.service) || !equal(strength, row.strength) {
			t.Errorf("L = %g m: %g N and %g N, want %g N and %g N", row.spacing, service, strength, row.service, row.strength)
		}
	}
}

// earlierEuropeanSchedules returns EN ISO 14122-3:2016, the recommended rows of EN 1991-1-1 and
// those of the UK, in document order.
func earlierEuropeanSchedules() []Schedule {
	return slices.DeleteFunc(Schedules(), func(s Schedule) bool {
		return s.Standard != "EN ISO 14122-3" && (s.Standard != "EN 1991-1-1" || s.Annex == "DE" || s.Annex == "AT")
	})
}

// equal reports whether two values are equal to rounding: a parsed decimal scaled to SI.
func equal(got, want float64) bool {
	return math.Abs(got-want) <= 1e-12*math.Abs(want)
}

func mustFind(t *testing.T, name string) Schedule {
	t.Helper()
	s, err := FindSchedule(name, "")
	if err != nil {
		t.Fatal(err)
	}
	return s
}
