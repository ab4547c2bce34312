package loads

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// Exact units: NIST Special Publication 811 (2008), Appendix B.8, 1 lbf = 4.448 221 615 260 5 N
// and 1 ft = 0.3048 m (memory).
const (
	lbf  = 4.4482216152605 // N
	inch = 0.0254          // m
	foot = 12 * inch       // m
)

// publishedUSActions restates every action of the US schedules from its published row, in
// the order in which they are listed: the printed number and its unit.
var publishedUSActions = []struct {
	row, schedule, name    string
	kind                   Kind
	printed                float64
	unit                   float64 // N, N/m
	direction              string
	target                 Target
	source                 string
	provenance, confidence string
}{
	{"US-OSHA-PT", "29 CFR 1910.29", "top rail force", Point, 200, lbf, OutwardOrDown, Top, "29 CFR 1910.29(b)(3), 200 lbf outward or downward (public)", "public", "high"},
	{"US-OSHA-MID", "29 CFR 1910.29", "midrail force", Point, 150, lbf, OutwardToDown, Intermediate, "29 CFR 1910.29(b)(5), 150 lbf (public), any outward or downward direction (memory)", "public", "high"},
	{"US-OSHA-TOEL", "29 CFR 1910.29", "toe board force", Point, 50, lbf, OutwardToDown, ToeBoard, "29 CFR 1910.29(k)(1)(v), 50 lbf downward or outward (memory)", "memory", "high"},
	{"US-OSHAC-PT", "29 CFR 1926.502", "top rail force", Point, 200, lbf, OutwardToDown, Top, "29 CFR 1926.502(b)(3), 200 lbf, any outward or downward direction (public)", "public", "high"},
	{"US-OSHAC-PT note", "29 CFR 1926.502", "midrail force", Point, 150, lbf, OutwardToDown, Intermediate, "29 CFR 1926.502(b)(5), 150 lbf (memory)", "memory", "high"},
	{"from memory", "29 CFR 1926.502", "toe board force", Point, 50, lbf, OutwardToDown, ToeBoard, "29 CFR 1926.502(j)(2), 50 lbf (memory)", "memory", "medium"},
	{"US-IBC2018-LINE", "IBC 2018 general", "top line load", Line, 50, lbf / foot, AnyDirection, Top, "IBC 2018 1607.8.1, 50 lbf/ft, any direction (public)", "public", "high"},
	{"US-IBC2018-PT", "IBC 2018 general", "top point load", Point, 200, lbf, AnyDirection, Top, "IBC 2018 1607.8.1.1 with ASCE 7 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-IBC2018-INT", "IBC 2018 general", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "IBC 2018 1607.8.1.2, 50 lbf, horizontal normal (public)", "public", "high"},
	{"US-IBC2018-LINE", "IBC 2018 not public", "top line load", Line, 50, lbf / foot, AnyDirection, Top, "IBC 2018 1607.8.1, 50 lbf/ft, any direction (public)", "public", "high"},
	{"US-IBC2018-PT", "IBC 2018 not public", "top point load", Point, 200, lbf, AnyDirection, Top, "IBC 2018 1607.8.1.1 with ASCE 7 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-IBC2018-INT", "IBC 2018 not public", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "IBC 2018 1607.8.1.2, 50 lbf, horizontal normal (public)", "public", "high"},
	{"US-IBC2018-LINE20", "IBC 2018 not public under 50", "top line load", Line, 20, lbf / foot, AnyDirection, Top, "IBC 2018 1607.8.1 exception, 20 lbf/ft (public)", "public", "high"},
	{"US-IBC2018-PT", "IBC 2018 not public under 50", "top point load", Point, 200, lbf, AnyDirection, Top, "IBC 2018 1607.8.1.1 with ASCE 7 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-IBC2018-INT", "IBC 2018 not public under 50", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "IBC 2018 1607.8.1.2, 50 lbf, horizontal normal (public)", "public", "high"},
	{"US-IBC2018-PT", "IBC 2018 dwelling", "top point load", Point, 200, lbf, AnyDirection, Top, "IBC 2018 1607.8.1.1 with ASCE 7 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-IBC2018-INT", "IBC 2018 dwelling", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "IBC 2018 1607.8.1.2, 50 lbf, horizontal normal (public)", "public", "high"},
	{"US-IBC2021-LINE", "IBC 2021 general", "top line load", Line, 50, lbf / foot, AnyDirection, Top, "IBC 2021 1607.9.1, 50 lbf/ft, any direction (public)", "public", "high"},
	{"US-IBC2021-PT", "IBC 2021 general", "top point load", Point, 200, lbf, AnyDirection, Top, "IBC 2021 1607.9.1.1 with ASCE 7 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-IBC2021-INT", "IBC 2021 general", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "IBC 2021 1607.9.1.2, 50 lbf, horizontal normal (memory)", "memory", "high"},
	{"US-IBC2021-LINE", "IBC 2021 not public", "top line load", Line, 50, lbf / foot, AnyDirection, Top, "IBC 2021 1607.9.1, 50 lbf/ft, any direction (public)", "public", "high"},
	{"US-IBC2021-PT", "IBC 2021 not public", "top point load", Point, 200, lbf, AnyDirection, Top, "IBC 2021 1607.9.1.1 with ASCE 7 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-IBC2021-INT", "IBC 2021 not public", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "IBC 2021 1607.9.1.2, 50 lbf, horizontal normal (memory)", "memory", "high"},
	{"US-IBC2021-LINE20", "IBC 2021 not public under 50", "top line load", Line, 20, lbf / foot, AnyDirection, Top, "IBC 2021 1607.9.1 exception, 20 lbf/ft (memory)", "memory", "high"},
	{"US-IBC2021-PT", "IBC 2021 not public under 50", "top point load", Point, 200, lbf, AnyDirection, Top, "IBC 2021 1607.9.1.1 with ASCE 7 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-IBC2021-INT", "IBC 2021 not public under 50", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "IBC 2021 1607.9.1.2, 50 lbf, horizontal normal (memory)", "memory", "high"},
	{"US-IBC2021-PT", "IBC 2021 dwelling", "top point load", Point, 200, lbf, AnyDirection, Top, "IBC 2021 1607.9.1.1 with ASCE 7 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-IBC2021-INT", "IBC 2021 dwelling", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "IBC 2021 1607.9.1.2, 50 lbf, horizontal normal (memory)", "memory", "high"},
	{"US-ASCE-LINE", "ASCE 7-10 general", "top line load", Line, 50, lbf / foot, AnyDirection, Top, "ASCE 7-10 4.5.1.1, 50 lbf/ft, any direction (public)", "public", "high"},
	{"US-ASCE-PT", "ASCE 7-10 general", "top point load", Point, 200, lbf, AnyDirection, Top, "ASCE 7-10 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-ASCE-INT", "ASCE 7-10 general", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "ASCE 7-10 4.5.1, 50 lbf, horizontal normal (memory)", "memory", "high"},
	{"US-ASCE-PT", "ASCE 7-10 industrial", "top point load", Point, 200, lbf, AnyDirection, Top, "ASCE 7-10 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-ASCE-INT", "ASCE 7-10 industrial", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "ASCE 7-10 4.5.1, 50 lbf, horizontal normal (memory)", "memory", "high"},
	{"US-ASCE-PT", "ASCE 7-10 dwelling", "top point load", Point, 200, lbf, AnyDirection, Top, "ASCE 7-10 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-ASCE-INT", "ASCE 7-10 dwelling", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "ASCE 7-10 4.5.1, 50 lbf, horizontal normal (memory)", "memory", "high"},
	{"US-ASCE-LINE", "ASCE 7-16 general", "top line load", Line, 50, lbf / foot, AnyDirection, Top, "ASCE 7-16 4.5.1.1, 50 lbf/ft, any direction (public)", "public", "high"},
	{"US-ASCE-PT", "ASCE 7-16 general", "top point load", Point, 200, lbf, AnyDirection, Top, "ASCE 7-16 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-ASCE-INT", "ASCE 7-16 general", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "ASCE 7-16 4.5.1, 50 lbf, horizontal normal (memory)", "memory", "high"},
	{"US-ASCE-PT", "ASCE 7-16 industrial", "top point load", Point, 200, lbf, AnyDirection, Top, "ASCE 7-16 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-ASCE-INT", "ASCE 7-16 industrial", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "ASCE 7-16 4.5.1, 50 lbf, horizontal normal (memory)", "memory", "high"},
	{"US-ASCE-PT", "ASCE 7-16 dwelling", "top point load", Point, 200, lbf, AnyDirection, Top, "ASCE 7-16 4.5.1, 200 lbf, any direction (memory)", "memory", "high"},
	{"US-ASCE-INT", "ASCE 7-16 dwelling", "intermediate rail load", Point, 50, lbf, Across, Intermediate, "ASCE 7-16 4.5.1, 50 lbf, horizontal normal (memory)", "memory", "high"},
}

func TestUSActionsAgainstPublishedRows(t *testing.T) {
	record := verification.New(t, verification.Loads)
	next := 0
	for _, s := range unitedStatesSchedules() {
		for _, a := range s.Actions {
			if next == len(publishedUSActions) {
				t.Fatalf("%s %s has no published row", s.Name, a.Name)
			}
			row := publishedUSActions[next]
			next++
			if s.Name != row.schedule || a.Name != row.name || a.Kind != row.kind {
				t.Fatalf("%s %s, %s, stands where %s has %s %s, %s", s.Name, a.Name, a.Kind, row.row, row.schedule, row.name, row.kind)
			}
			unit := "lbf"
			if row.kind == Line {
				unit = "lbf/ft"
			}
			record.From("actions of schedules of ASCE, IBC and OSHA", row.source, verification.Provenance(row.provenance)).
				Add(fmt.Sprintf("%s: %s, %s", s.Name, a.Name, unit), row.printed, a.Value/row.unit)
			if want := row.printed * row.unit; !equal(a.Value, want) {
				t.Errorf("%s %s = %g, want %g (source %s)", s.Name, a.Name, a.Value, want, row.source)
			}
			if a.Direction != row.direction || a.Target != row.target {
				t.Errorf("%s %s acts %s on %s, want %s on %s (source %s)", s.Name, a.Name, a.Direction, a.Target, row.direction, row.target, row.source)
			}
			if a.Provenance != row.provenance || a.Confidence != row.confidence {
				t.Errorf("%s %s is %s, %s; want %s, %s (source %s)", s.Name, a.Name, a.Provenance, a.Confidence, row.provenance, row.confidence, row.source)
			}
			if a.Symbol != "L" || a.FirstYield != 1 || a.YieldRule.Provenance != "common-practice" || a.FreeAction || s.Stage != "nominal" {
				t.Errorf("%s %s: symbol %s, first yield %g (%s), free action %v, stage %s; want a nominal live load L, without failure read as without permanent set",
					s.Name, a.Name, a.Symbol, a.FirstYield, a.YieldRule.Provenance, a.FreeAction, s.Stage)
			}
		}
	}
	if next != len(publishedUSActions) {
		t.Errorf("%d actions listed, %d published", next, len(publishedUSActions))
	}
}

// The codes print SI values beside their own, rounded: each holds to its last printed digit.
func TestUSValuesAgainstPrintedSI(t *testing.T) {
	record := verification.New(t, verification.Loads)
	for _, row := range []struct {
		schedule, action string
		printed, digit   float64 // N, N/m; the last printed digit
		source           string
	}{
		{"29 CFR 1910.29", "top rail force", 890, 1, "29 CFR 1910.29(b)(3) prints 890 N"},
		{"29 CFR 1910.29", "midrail force", 667, 1, "29 CFR 1910.29(b)(5) prints 667 N"},
		{"29 CFR 1910.29", "toe board force", 222, 1, "29 CFR 1910.29(k)(1) prints 222 N (memory)"},
		{"IBC 2018 general", "top line load", 730, 10, "IBC 2018 1607.8.1 prints 0.73 kN/m"},
		{"IBC 2018 not public under 50", "top line load", 290, 10, "IBC 2018 1607.8.1 exception prints 0.29 kN/m"},
		{"IBC 2021 general", "top line load", 730, 10, "IBC 2021 1607.9.1 prints 0.73 kN/m"},
		{"IBC 2021 not public under 50", "top line load", 290, 10, "IBC 2021 1607.9.1 exception prints 0.29 kN/m"},
	} {
		a := mustFindAction(t, row.schedule, row.action)
		from := verification.Public
		if strings.Contains(row.source, "memory") {
			from = verification.Memory
		}
		record.From("what US codes print in SI", row.source, from).Add(fmt.Sprintf("%s: %s, %s", row.schedule, row.action, unitOf(a.Kind)), row.printed, a.Value)
		if math.Abs(a.Value-row.printed) > row.digit/2 {
			t.Errorf("%s %s = %g, want %g to %g (source %s)", row.schedule, row.action, a.Value, row.printed, row.digit/2, row.source)
		}
	}
}

// Moments of published worked examples, in lbf·in, from the loads carried.
func TestPublishedMoments(t *testing.T) {
	record := verification.New(t, verification.Loads)
	line := mustFindAction(t, "IBC 2018 general", "top line load").Value
	point := mustFindAction(t, "IBC 2018 general", "top point load").Value
	osha := mustFindAction(t, "29 CFR 1910.29", "top rail force").Value
	span := func(inches float64) float64 { return inches * inch }
	for _, row := range []struct {
		what    string
		got     float64 // N·m
		printed float64 // lbf·in
		digit   float64 // lbf·in, the last printed
		source  string
	}{
		{"rail, 50 lbf/ft over 4 ft", line * span(48) * span(48) / 8, 1200, 1, "published handrail and post design sheet: 100 lbf ft = 1200 lbf in"},
		{"post, 50 lbf/ft x 4 ft at 42 in", line * span(48) * span(42), 8400, 1, "the same sheet: 200 lbf, 8400 lbf in"},
		{"post, 200 lbf at 42 in", point * span(42), 8400, 1, "published permit calculation of a stair guard: 8400 lbf in"},
		{"post, OSHA 200 lbf at 42 in", osha * span(42), 35740 * 0.235, 0.235 * 10, "published question on a pipe post: fb = 35.74 ksi on S = 0.235 in3"},
		{"rail, 50 lbf/ft over 42 in", line * span(42) * span(42) / 8, 900, 100, "published permit calculation: w L2/8 = 0.9 kip in"},
		{"rail, 200 lbf over 42 in", point * span(42) / 4, 2100, 100, "the same: P L/4 = 2.1 kip in"},
		{"post, 50 lbf/ft x 40.29 in at 42 in", line * span(40.29) * span(42), 0.235 * 30000, 1.75, "published question on post spacing: 40.29 in for S = 0.235 in3 at 30 ksi; its last digit is 1.75 lbf in"},
	} {
		record.From("moments of published worked examples from the loads carried", row.source, verification.Public).Add(row.what+": lbf in", row.printed, row.got/(lbf*inch))
		if got := row.got / (lbf * inch); math.Abs(got-row.printed) > row.digit/2 {
			t.Errorf("%s: %g lbf in, want %g to %g (source %s)", row.what, got, row.printed, row.digit/2, row.source)
		}
	}
}

func TestUSHeights(t *testing.T) {
	record := verification.New(t, verification.Loads)
	// A rail of 1.900 in with its top 42 in above the surface.
	axis, top := 42*inch-0.95*inch, 42*inch
	for _, row := range []struct {
		schedule string
		want     float64
		source   string
	}{
		{"29 CFR 1910.29", axis, "29 CFR 1910.29(b)(3): within 2 in of the top edge"},
		{"29 CFR 1926.502", axis, "29 CFR 1926.502(b)(3): within 2 in of the top edge"},
		{"IBC 2018 general", top, "IBC 2018 1607.8.1: at the top of the handrail or guard"},
		{"IBC 2021 dwelling", top, "IBC 2021 1607.9.1: at the top of the handrail or guard"},
		{"ASCE 7-16 general", top, "ASCE 7-16 4.5.1.1: along the handrail or top rail"},
	} {
		s := mustFind(t, row.schedule)
		got := s.Actions[0].Height.At(axis, top)
		record.From("heights of US loads, top of a 1.900 in rail at 42 in", row.source, verification.Provenance(s.Actions[0].Height.Provenance)).Add(row.schedule+": in", row.want/inch, got/inch)
		if !equal(got, row.want) || top-got > 2*inch {
			t.Errorf("%s: load at %g m, want %g m (source %s)", row.schedule, got, row.want, row.source)
		}
		// No cap: a guard of 60 in is loaded at its top.
		if h := s.Actions[0].Height; h.Kind == AtBarrierTop && !equal(h.At(59*inch, 60*inch), 60*inch) {
			t.Errorf("%s: a high guard is loaded at %g m", row.schedule, h.At(59*inch, 60*inch))
		}
	}
}

func TestLoadedHeights(t *testing.T) {
	record := verification.New(t, verification.Loads)
	for _, s := range Schedules() {
		var want float64 // m
		var provenance, source string
		switch s.Name {
		case "29 CFR 1910.29":
			want, provenance, source = 39*inch, "public", "29 CFR 1910.29(b)(4), 39 in under 200 lbf downward (public)"
		case "29 CFR 1926.502":
			want, provenance, source = 39*inch, "memory", "29 CFR 1926.502(b)(4), 39 in (memory)"
		}
		if s.LoadedHeight == nil {
			if want != 0 {
				t.Errorf("%s has no loaded height (source %s)", s.Name, source)
			}
			continue
		}
		record.From("least height of a top rail under its load", source, verification.Provenance(provenance)).Add(s.Name+": in", want/inch, s.LoadedHeight.Height/inch)
		if got := *s.LoadedHeight; !equal(got.Height, want) || got.Provenance != provenance {
			t.Errorf("%s: loaded height %g m, %s; want %g m, %s (source %s)", s.Name, got.Height, got.Provenance, want, provenance, source)
		}
	}
}

func TestUSGeometry(t *testing.T) {
	record := verification.New(t, verification.Loads)
	type rule struct {
		kind    string
		value   float64 // in
		binding bool
		words   string // provenance, confidence
	}
	osha := func(read, toe string) []rule {
		return []rule{
			{MinHeight, 39, true, read}, {MaxHeight, 45, false, read},
			{MaxGap, 19, false, "memory high"}, {MaxGap, 22.5, true, "derived high"},
			{MinToeBoard, 3.5, false, toe}, {MaxToeGap, 0.25, false, toe},
		}
	}
	ibc := func(height string, sphere float64) []rule {
		return []rule{{MinHeight, 42, true, height}, {MaxSphere, sphere, true, "memory high"}}
	}
	dwelling := func(height string) []rule {
		return []rule{{MinHeight, 36, true, "memory high"}, {MinHeight, 42, false, height}, {MaxSphere, 4, true, "memory high"}}
	}
	const section = "IBC 1015.2-1015.4: 42 in (2021 public), 36 in dwellings, 4 in and 21 in spheres (memory)"
	for _, row := range []struct {
		schedule string
		want     []rule
		source   string
	}{
		{"29 CFR 1910.29", osha("public high", "public high"), "29 CFR 1910.29(b)(1), (b)(2), (k)(1): 42 +/- 3 in, 19 in, 3-1/2 in, 1/4 in"},
		{"29 CFR 1926.502", osha("memory high", "memory medium"), "29 CFR 1926.502(b)(1), (b)(2), (j): the same (memory)"},
		{"IBC 2018 general", ibc("memory high", 4), section},
		{"IBC 2018 not public", ibc("memory high", 21), section},
		{"IBC 2018 not public under 50", ibc("memory high", 21), section},
		{"IBC 2018 dwelling", dwelling("memory high"), section},
		{"IBC 2021 general", ibc("public high", 4), section},
		{"IBC 2021 not public", ibc("public high", 21), section},
		{"IBC 2021 not public under 50", ibc("public high", 21), section},
		{"IBC 2021 dwelling", dwelling("public high"), section},
		{"ASCE 7-10 general", nil, "ASCE 7 has no geometry"},
		{"ASCE 7-16 industrial", nil, "ASCE 7 has no geometry"},
	} {
		rules := mustFind(t, row.schedule).Rules
		if len(rules) != len(row.want) {
			t.Errorf("%s: %d rules, want %d (source %s)", row.schedule, len(rules), len(row.want), row.source)
			continue
		}
		for i, want := range row.want {
			r := rules[i]
			record.From("geometry of US schedules", row.source, provenanceOf(want.words)).Add(fmt.Sprintf("%s: rule %d, %s, in", row.schedule, i+1, want.kind), want.value, r.Value/inch)
			if r.Kind != want.kind || !equal(r.Value, want.value*inch) || r.Binding() != want.binding || r.Provenance+" "+r.Confidence != want.words {
				t.Errorf("%s: %s %g m, binding %v, %s %s; want %s %g in, binding %v, %s (source %s)", row.schedule,
					r.Kind, r.Value, r.Binding(), r.Provenance, r.Confidence, want.kind, want.value, want.binding, want.words, row.source)
			}
		}
	}
}

// The two openings of a guardrail with its top rail at the highest the band allows and its
// midrail midway fit under the opening that binds, whatever their tube.
func TestMidrailMidwayNeverBreaksTheBindingOpening(t *testing.T) {
	for _, name := range []string{"29 CFR 1910.29", "29 CFR 1926.502"} {
		rules := mustFind(t, name).Rules
		i := slices.IndexFunc(rules, func(r GeometryRule) bool { return r.Kind == MaxGap && r.Binding() })
		for _, top := range []float64{39, 42, 45} {
			for _, od := range []float64{1.315, 1.66, 1.9, 2.375} {
				if below := (top/2 - od/2) * inch; below > rules[i].Value {
					t.Errorf("%s: top %g in, tube %g in: the opening of %g m below a midrail midway is over %g m", name, top, od, below, rules[i].Value)
				}
			}
		}
	}
}

func TestUSCautions(t *testing.T) {
	for _, row := range []struct{ schedule, want string }{
		{"IBC 2018 not public under 50", "20 lbf/ft here; ASCE 7 waives it"},
		{"IBC 2021 not public under 50", "the two disagree"},
		{"ASCE 7-10 industrial", "waives the line load here"},
		{"ASCE 7-16 industrial", "the two disagree"},
		{"IBC 2018 general", "no limit on the movement"},
		{"IBC 2021 dwelling", "h/24 + L/96"},
		{"IBC 2021 dwelling", "no line load"},
		{"ASCE 7-16 dwelling", "L/96 for a rail down"},
		{"ASCE 7-16 general", "no rules for heights and openings"},
		{"29 CFR 1910.29", "states no factor"},
		{"29 CFR 1926.502", "the other values are from memory"},
	} {
		if text := strings.Join(mustFind(t, row.schedule).Cautions, "\n"); !strings.Contains(text, row.want) {
			t.Errorf("%s: no caution has %q", row.schedule, row.want)
		}
	}
	for _, s := range unitedStatesSchedules() {
		if strings.Contains(strings.Join(s.Cautions, ""), `\`) {
			t.Errorf("%s: a caution holds a backslash", s.Name)
		}
	}
}

func TestUSRows(t *testing.T) {
	for _, row := range []struct{ name, want string }{
		{"29 CFR 1910.29", `{"name":"29 CFR 1910.29","standard":"29 CFR 1910.29","edition":"2016 rule","clause":"(b)(3)","occupancy":"","use":"guardrail systems, general industry","family":"OSHA","line_N_per_m":null,"point_N":889.6443230521,"point_target":"top","intermediate_point_N":667.233242289075,"toe_board_point_N":222.411080763025,"point_N_per_m_of_spacing":null,"area_N_per_m2":null,"inward_line_N_per_m":null,"vertical_line_N_per_m":null,"vertical_point_N":null,"vertical_with_line":false,"infill_point_N":667.233242289075,"along_point_N":null,"wind_N_per_m2":null,"wind_alone_N_per_m2":null,"accidental_point_N":null,"height_rule":"axis","height_m":null,"deflection_mm":null,"deflection_rule":null,"deflection_only":null,"gamma_M":null,"loaded_height_m":0.9906,"strength_factor":1.6,"strength_basis":"AISC-LRFD","direction":"outward or down","stage":"nominal","source":"public copy of 29 CFR 1910.29; the toe board from memory","provenance":"memory","confidence":"high"}`},
		{"ASCE 7-16 dwelling", `{"name":"ASCE 7-16 dwelling","standard":"ASCE 7-16","edition":"7-16","clause":"4.5.1.1","occupancy":"dwelling","use":"one- and two-family dwellings","family":"ASCE","line_N_per_m":null,"point_N":889.6443230521,"point_target":"top","intermediate_point_N":222.411080763025,"toe_board_point_N":null,"point_N_per_m_of_spacing":null,"area_N_per_m2":null,"inward_line_N_per_m":null,"vertical_line_N_per_m":null,"vertical_point_N":null,"vertical_with_line":false,"infill_point_N":222.411080763025,"along_point_N":null,"wind_N_per_m2":null,"wind_alone_N_per_m2":null,"accidental_point_N":null,"height_rule":"barrier-top","height_m":null,"deflection_mm":null,"deflection_rule":null,"deflection_only":null,"gamma_M":null,"loaded_height_m":null,"strength_factor":1.6,"strength_basis":"AISC-LRFD","direction":"any","stage":"nominal","source":"from memory","provenance":"memory","confidence":"high"}`},
	} {
		got, err := json.Marshal(mustFind(t, row.name).Rows()[0])
		if err != nil || string(got) != row.want {
			t.Errorf("%s\n got %s %v\nwant %s", row.name, got, err, row.want)
		}
	}
}

// One word of provenance stands for a whole row of the list: that of its weakest value.
func TestUSRowsClaimNoMoreThanTheirWeakestValue(t *testing.T) {
	for _, s := range unitedStatesSchedules() {
		remembered := slices.ContainsFunc(s.Actions, func(a Action) bool { return a.Provenance == "memory" })
		if remembered && s.Provenance != "memory" {
			t.Errorf("%s is called %s, and one of its loads is from memory", s.Name, s.Provenance)
		}
	}
}

// The order in which a schedule lists its points does not decide which one is point_N.
func TestPointOfARowIsTheTopOne(t *testing.T) {
	top, intermediate := Action{Kind: Point, Target: Top, Value: 3}, Action{Kind: Point, Target: Intermediate, Value: 2}
	for _, s := range []Schedule{{Actions: []Action{top, intermediate}}, {Actions: []Action{intermediate, top}}} {
		if r := s.Rows()[0]; *r.Point != 3 || *r.PointTarget != "top" || *r.IntermediatePoint != 2 {
			t.Errorf("point %g on %s, intermediate %g", *r.Point, *r.PointTarget, *r.IntermediatePoint)
		}
	}
}

func TestDirectionsThatPointDown(t *testing.T) {
	want := map[string]bool{Down: true, AnyDirection: true, OutwardOrDown: true, OutwardToDown: true, DownCone: true}
	for _, word := range directions() {
		if pointsDown(word) != want[word] {
			t.Errorf("%s points down: %v, want %v", word, pointsDown(word), want[word])
		}
	}
}

// unitedStatesSchedules returns the schedules of the ASCE and OSHA families, in document
// order.
func unitedStatesSchedules() []Schedule {
	return slices.DeleteFunc(Schedules(), func(s Schedule) bool { return s.Family != ASCE && s.Family != OSHA })
}

func mustFindAction(t *testing.T, schedule, name string) Action {
	t.Helper()
	for _, a := range mustFind(t, schedule).Actions {
		if a.Name == name {
			return a
		}
	}
	t.Fatalf("%s has no %s", schedule, name)
	return Action{}
}
