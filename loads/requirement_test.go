package loads

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// requirement is one action as its standard has it: value in SI, and the words for what acts
// with it ("alone", "accidental" or the names of actions).
type requirement struct {
	row, action string
	kind        Kind
	value       float64
	direction   string
	target      Target
	with        string
	words       string // provenance, confidence
}

// holds compares every action of a schedule with the requirements, in order.
func holds(t *testing.T, record *verification.Record, schedule, source string, want []requirement) {
	t.Helper()
	s := mustFind(t, schedule)
	if len(s.Actions) != len(want) {
		t.Errorf("%s: %d actions, want %d (source %s)", schedule, len(s.Actions), len(want), source)
		return
	}
	for i, a := range s.Actions {
		w := want[i]
		record.From("actions of other schedules", source, provenanceOf(w.words)).Add(fmt.Sprintf("%s: %s, %s", schedule, w.action, unitOf(w.kind)), w.value, a.Value)
		got := requirement{w.row, a.Name, a.Kind, w.value, a.Direction, a.Target, actsWith(a), a.Provenance + " " + a.Confidence}
		if got != w || !equal(a.Value, w.value) {
			t.Errorf("%s %s: %g %+v, want %+v (source %s)", schedule, w.row, a.Value, got, w, source)
		}
	}
}

func actsWith(a Action) string {
	words := slices.Clone(a.With)
	if a.Alone {
		words = append(words, "alone")
	}
	if a.Accidental {
		words = append(words, "accidental")
	}
	return strings.Join(words, ", ")
}

func TestUKVerticalLoads(t *testing.T) {
	record := verification.New(t, verification.Loads)
	const source = "BS 6399-1:1996 clause 10, as reported in a public forum: 0.6 kN/m or 1.0 kN down, with the horizontal line load"
	number := 0
	for _, s := range Schedules() {
		if s.Annex != "UK" {
			continue
		}
		number++
		line, okLine := s.action("vertical line load")
		point, okPoint := s.action("vertical point load")
		if !okLine || !okPoint {
			t.Errorf("%s has no vertical loads (source %s)", s.Name, source)
			continue
		}
		vertical := record.From("vertical loads of UK rows", source, verification.Public)
		vertical.Add(s.Name+": line, N/m", 600, line.Value)
		vertical.Add(s.Name+": point, N", 1000, point.Value)
		if line.Kind != Line || line.Value != 600 || point.Kind != Point || point.Value != 1000 {
			t.Errorf("%s: %g N/m, %g N (source %s)", s.Name, line.Value, point.Value, source)
		}
		for _, a := range []Action{line, point} {
			if a.Direction != Down || a.Target != Top || actsWith(a) != "top line load" || a.Provenance+" "+a.Confidence != "public medium" || a.Standard != "BS 6399-1" {
				t.Errorf("%s %s: %s on %s with %s, %s %s of %s (source %s)", s.Name, a.Name, a.Direction, a.Target, actsWith(a), a.Provenance, a.Confidence, a.Standard, source)
			}
		}
	}
	if number != 13 {
		t.Errorf("%d UK rows, want 13 (source BS 6180:2011 Table 2, i to xi, xiii, xiv)", number)
	}
}

func TestGermanAndAustrianLoads(t *testing.T) {
	record := verification.New(t, verification.Loads)
	const de = "DIN EN 1991-1-1/NA Table 6.12DE: 0.5, 1.0, 2.0 kN/m (public guidance); inward half of it, not below 0.5 kN/m (memory)"
	for _, row := range []struct {
		id, schedule    string
		outward, inward float64 // N/m
	}{
		{"DE-LINE-A", "EN 1991-1-1 DE A", 500, 500},
		{"DE-LINE-B", "EN 1991-1-1 DE B2", 1000, 500},
		{"DE-LINE-C", "EN 1991-1-1 DE C5", 2000, 1000},
	} {
		holds(t, record, row.schedule, de, []requirement{
			{row.id, "top line load", Line, row.outward, Outward, Top, "", "public high"},
			{row.id, "top line load inward", Line, row.inward, Inward, Top, "", "memory medium"},
		})
	}
	// The categories of each row, from memory.
	for schedule, categories := range map[string]string{
		"EN 1991-1-1 DE A": "A B1 H F T1 Z1", "EN 1991-1-1 DE B2": "B2 B3 C1 C2 C3 C4 D E T2", "EN 1991-1-1 DE C5": "C5 C6 T3",
	} {
		for category := range strings.FieldsSeq(categories) {
			if s, err := FindSchedule("DIN EN 1991-1-1/NA", category); err != nil || s.Name != schedule {
				t.Errorf("category %s is %q, %v; want %s (source %s)", category, s.Name, err, schedule, de)
			}
		}
	}
	const at = "ÖNORM B 1991-1-1:2006 6.4: A 0.5 kN/m, stairs of B 1.0 kN/m (public lexicon)"
	holds(t, record, "EN 1991-1-1 AT A", at, []requirement{{"AT-LINE", "top line load", Line, 500, Outward, Top, "", "public high"}})
	holds(t, record, "EN 1991-1-1 AT B", at, []requirement{{"AT-LINE", "top line load", Line, 1000, Outward, Top, "", "public high"}})
	for _, s := range Schedules() {
		if s.Annex == "DE" && !strings.Contains(strings.Join(s.Cautions, "\n"), "wind be superimposed") {
			t.Errorf("%s: no caution on wind (DE-WIND, source ETB 1985 3.1)", s.Name)
		}
	}
}

func TestMachineryOf2001(t *testing.T) {
	record := verification.New(t, verification.Loads)
	holds(t, record, "EN ISO 14122-3:2001", "EN ISO 14122-3:2001 + A1:2010 8.2, 300 N/m x L (memory)", []requirement{
		{"M-SERV", "handrail load", PointPerSpacing, 300, Outward, Top, "", "memory medium"},
	})
	s := mustFind(t, "EN ISO 14122-3:2001")
	record.From("factors of schedules for strength", "EN ISO 14122-3:2001 + A1:2010 (memory)", verification.Memory).Add(s.Name, 1.75, s.Actions[0].Strength.Value)
	if s.Actions[0].Strength.Value != 1.75 || !s.Actions[0].Strength.Override || s.TestPosts != 3 {
		t.Errorf("strength %+v on %d posts, want 1.75 of its own on three (memory)", s.Actions[0].Strength, s.TestPosts)
	}
}

func TestTemporaryEdgeProtection(t *testing.T) {
	record := verification.New(t, verification.Loads)
	const source = "EN 13374:2013 + A1:2018 6.3, 6.3.5 class A (memory)"
	holds(t, record, "EN 13374 A", source, []requirement{
		{"T-A-H", "guardrail load", Point, 300, Across, AnyPart, "wind in use", "memory high"},
		{"T-A-TOE", "toe board load", Point, 200, Across, ToeBoard, "wind in use", "memory medium"},
		{"T-A-PAR", "load along the edge", Point, 200, Along, AnyPart, "wind in use", "memory low"},
		{"T-A-ACC", "accidental load", Point, 1250, DownCone, AnyPart, "alone, accidental", "memory high"},
		{"T-WINDUSE", "wind in use", WindPressure, 200, Horizontal, Everything, "", "memory medium"},
		{"T-WINDMAX", "wind out of use", WindPressure, 600, Horizontal, Everything, "alone", "memory medium"},
	})
	s := mustFind(t, "EN 13374 A")
	if s.GammaM == nil || s.GammaM.Value != 1.1 || s.GammaM.Provenance+" "+s.GammaM.Confidence != "memory medium" {
		t.Errorf("gamma M %+v, want 1.1 (T-GM, source EN 13374 6.2, memory)", s.GammaM)
	}
	if s.GammaM != nil {
		record.From("factors of EN 13374", "EN 13374 6.2 (memory)", verification.Memory).Add("gamma M", 1.1, s.GammaM.Value)
	}
	for _, a := range s.Actions {
		strength, override, yield := 1.5, false, 1.0
		if a.Accidental {
			strength, override, yield = 1, true, 0
		}
		factors := record.From("factors of EN 13374", source, verification.Memory)
		factors.Add(a.Name+": strength", strength, a.Strength.Value)
		if yield > 0 {
			factors.Add(a.Name+": without permanent set", yield, a.FirstYield)
		}
		if a.Strength.Value != strength || a.Strength.Override != override || a.FirstYield != yield {
			t.Errorf("%s: strength %g (own %v), first yield %g; want %g (%v), %g (source %s)", a.Name, a.Strength.Value, a.Strength.Override, a.FirstYield, strength, override, yield, source)
		}
		if symbol := map[bool]string{true: "W", false: "Q"}[a.Kind == WindPressure]; a.Symbol != symbol && !a.Accidental || a.Accidental && a.Symbol != "A" {
			t.Errorf("%s has the symbol %s", a.Name, a.Symbol)
		}
	}
	if text := strings.Join(s.Cautions, "\n"); !strings.Contains(text, "0.2 kN along the edge is a recall of low confidence") || !strings.Contains(text, "at most 10 deg") {
		t.Errorf("cautions %q lack the load along or the slope (T-A-PAR, T-USEA)", s.Cautions)
	}
}

func TestCanadianLoads(t *testing.T) {
	record := verification.New(t, verification.Loads)
	const source = "NBC 2005 4.1.5.16, 2010-2020 4.1.5.14 (1), (3), (6), (7); OBC Table 9.8.8.2, 4.1.5.16 (public; (3) from memory)"
	line := func(row string, value float64) requirement {
		return requirement{row, "top line load", Line, value, Across, Top, "", "public high"}
	}
	point := func(row string) requirement {
		return requirement{row, "top point load", Point, 1000, Across, Top, "", "public high"}
	}
	rest := func(elements, vertical string) []requirement {
		return []requirement{
			{"CA-ELEM", "load on elements", Point, 500, Across, Intermediate, "", elements},
			{"CA-VERT", "vertical line load", Line, 1500, Down, Top, "", vertical},
		}
	}
	for _, edition := range []struct{ name, elements, vertical string }{
		{"NBC 2005", "memory medium", "memory medium"}, {"NBC 2010-2020", "memory high", "public high"},
	} {
		common := rest(edition.elements, edition.vertical)
		holds(t, record, edition.name+" general", source, slices.Concat([]requirement{line("CA-075", 750), point("CA-100")}, common))
		holds(t, record, edition.name+" grandstand", source, slices.Concat([]requirement{line("CA-300", 3000)}, common))
		holds(t, record, edition.name+" equipment", source, slices.Concat([]requirement{point("CA-PLAT")}, common))
	}
	later := rest("memory high", "public high")
	holds(t, record, "NBC 2010-2020 industrial", source, slices.Concat([]requirement{line("CA-075", 750), point("CA-100")}, later))
	holds(t, record, "NBC 2010-2020 dwelling", source, slices.Concat([]requirement{line("CA-P9", 500), point("CA-P9")}, rest("public high", "public high")))
	handrail := requirement{"CA-HR-PT", "handrail point load", Point, 900, AnyDirection, Top, "", "public high"}
	holds(t, record, "NBC 2010-2020 handrail", source, []requirement{{"CA-HR-U", "handrail line load", Line, 700, AnyDirection, Top, "", "public high"}, handrail})
	holds(t, record, "NBC 2010-2020 dwelling handrail", source, []requirement{handrail})
	holds(t, record, "NBC 2010-2020 wall", source, []requirement{{"CA-WALL", "wall load", Area, 500, Across, InfillArea, "", "public high"}})
	holds(t, record, "Quebec S-2.1 r.13", "Quebec S-2.1 r.13 s. 12 (public): 0.55 kN horizontal, 1.5 kN/m vertical", []requirement{
		{"CA-QC-PT", "top point load", Point, 550, Horizontal, Top, "", "public high"},
		{"CA-QC-V", "vertical line load", Line, 1500, Down, Top, "", "public high"},
	})
}

func TestAustralianLoads(t *testing.T) {
	record := verification.New(t, verification.Loads)
	const source = "AS/NZS 1170.1:2002 Table 3.3: 0.35 kN/m of A (i) and the 0.6 kN public (BRANZ Build 107), the rest from memory"
	for _, row := range []struct {
		id, occupancy      string
		across, down       float64 // N/m
		area, infill       float64 // N/m², N; 0: none
		horizontalKnownFor string
	}{
		{"AU-A1", "A i", 350, 350, 500, 250, "public high"},
		{"AU-A2", "A ii", 750, 750, 1000, 500, "memory high"},
		{"AU-B1", "B/E i", 220, 220, 0, 0, "memory high"},
		{"AU-B2", "B/E ii", 350, 350, 0, 0, "memory high"},
		{"AU-B3", "B/E iii", 750, 750, 1000, 500, "memory high"},
		{"AU-C12", "C1/C2", 1500, 750, 1500, 1500, "memory high"},
		{"AU-C3", "C3", 750, 750, 1000, 500, "memory high"},
		{"AU-C5", "C5", 3000, 750, 1500, 1500, "memory high"},
		{"AU-D", "D", 1500, 750, 1500, 1500, "memory high"},
		{"AU-FG", "F/G", 1500, 750, 1500, 1500, "memory high"},
	} {
		want := []requirement{
			{row.id + "-H", "top line load", Line, row.across, Outward, Top, "", row.horizontalKnownFor},
			{row.id + "-V", "vertical line load", Line, row.down, Down, Top, "", "memory medium"},
		}
		if row.area > 0 {
			want = append(want,
				requirement{row.id + "-UDL", "infill area load", Area, row.area, Across, InfillArea, "", "memory high"},
				requirement{row.id + "-PT", "infill point load", Point, row.infill, AnyDirection, Intermediate, "", "memory high"})
		}
		want = append(want,
			requirement{"AU-PT", "top point load", Point, 600, Across, Top, "", "public high"},
			requirement{"AU-PT", "top point load down", Point, 600, Down, Top, "", "public high"})
		holds(t, record, "AS/NZS 1170.1 "+row.occupancy, source, want)
	}
	holds(t, record, "AS 1657:2018", "AS 1657:2013 and 2018 6.1: 350 N/m, 600 N (memory)", []requirement{
		{"AU-1657-LN", "top line load", Line, 350, OutwardOrDown, Top, "", "memory high"},
		{"AU-1657-PT", "point load", Point, 600, OutwardOrDown, AnyPart, "", "memory high"},
	})
	holds(t, record, "AS 1657:1992", "AS 1657:1992: 330 N/m, 550 N (memory)", []requirement{
		{"AU-1657-LN", "top line load", Line, 330, OutwardOrDown, Top, "", "memory medium"},
		{"AU-1657-PT", "point load", Point, 550, OutwardOrDown, AnyPart, "", "memory medium"},
	})
}

// Loads of Canada and Australia are factored by 1.5 as live loads and imposed actions, and by
// nothing else.
func TestStrengthOfNewFamilies(t *testing.T) {
	record := verification.New(t, verification.Loads)
	for _, row := range []struct {
		family Family
		basis  Basis
		stage  string
		symbol string
		source string
	}{
		{NBC, BasisCSA, "nominal", "L", "NBC Table 4.1.3.2: 1.5 L (memory)"},
		{AS, BasisAS, "characteristic", "Q", "AS/NZS 1170.0:2002 4.2.2 (b): 1.5 Q (memory)"},
	} {
		number := 0
		for _, s := range Schedules() {
			if s.Family != row.family {
				continue
			}
			for _, a := range s.Actions {
				number++
				got := CombinationsOf(row.basis).StrengthFactor(&s, a)
				record.From("factors of live loads and imposed actions", row.source, howKnown(row.source)).Add(fmt.Sprintf("%s: %s", s.Name, a.Name), 1.5, got.Value)
				if got.Value != 1.5 || a.Strength.Value != 1.5 || a.Strength.Override || a.Symbol != row.symbol || s.Stage != row.stage || a.FirstYield != 1 {
					t.Errorf("%s %s: %g, %+v, %s, %s, first yield %g; want 1.5 (source %s)", s.Name, a.Name, got.Value, a.Strength, a.Symbol, s.Stage, a.FirstYield, row.source)
				}
			}
		}
		if number == 0 {
			t.Errorf("no action of the family %s", row.family)
		}
	}
}

func TestCategories(t *testing.T) {
	// The categories that the standards give their rows; of two, the one with the larger psi of
	// EN 1990 Table A1.1 (E over B, C over B, F over A).
	for schedule, want := range map[string]Category{
		"EN 1991-1-1 A": ImposedA, "EN 1991-1-1 B": ImposedC, "EN 1991-1-1 C": ImposedC, "EN 1991-1-1 C5": ImposedC, "EN 1991-1-1 E": ImposedE,
		"EN 1991-1-1 UK i": ImposedA, "EN 1991-1-1 UK v": ImposedE, "EN 1991-1-1 UK xi": ImposedC, "EN 1991-1-1 UK xiii": ImposedD, "EN 1991-1-1 UK xiv": ImposedF,
		"EN 1991-1-1 DE A": ImposedF, "EN 1991-1-1 DE B2": ImposedE, "EN 1991-1-1 AT B": ImposedB, "EN ISO 14122-3": ImposedE,
		"IBC 2021 general": Imposed, "29 CFR 1910.29": Imposed, "NBC 2005 general": Imposed, "AS/NZS 1170.1 D": ImposedD, "EN 13374 A": Imposed,
	} {
		s := mustFind(t, schedule)
		for _, a := range s.Actions {
			if s.Category != want || a.Category != want && a.Name != "wind out of use" {
				t.Errorf("%s %s is of category %s and %s, want %s", schedule, a.Name, s.Category, a.Category, want)
			}
		}
	}
	if a := mustFindAction(t, "EN 13374 A", "wind out of use"); a.Category != WindAction {
		t.Errorf("wind out of use is of category %s", a.Category)
	}
}

// heights above the walking surface, for a barrier whose top rail axis is at 1.3 m and whose
// top is at 1.324 m.
func TestHeightsOfNewSchedules(t *testing.T) {
	record := verification.New(t, verification.Loads)
	for _, row := range []struct {
		schedule string
		want     float64 // m
		source   string
	}{
		{"EN ISO 14122-3:2001", 1.3, "EN ISO 14122-3: at the centre of the handrail"},
		{"EN 1991-1-1 DE A", 1.2, "DIN EN 1991-1-1/NA 6.4: handrail level, not above 1.20 m"},
		{"EN 1991-1-1 AT A", 1.2, "EN 1991-1-1:2002 6.4(1): not above 1.20 m"},
		{"NBC 2005 general", 1.324, "NBC 4.1.5.16: minimum required height, taken as the top"},
		{"NBC 2010-2020 dwelling", 1.324, "OBC Table 9.8.8.2: minimum required height, taken as the top"},
		{"Quebec S-2.1 r.13", 1.3, "Quebec S-2.1 r.13 s. 12: at the top rail"},
		{"AS/NZS 1170.1 C5", 1.324, "AS/NZS 1170.1:2002 Table 3.3: at the top edge"},
		{"AS 1657:2018", 1.3, "AS 1657 6.1: on the top rail"},
	} {
		height := mustFind(t, row.schedule).Actions[0].Height
		record.From("heights of loads, top rail at 1.3 m, top at 1.324 m", row.source, verification.Provenance(height.Provenance)).Add(row.schedule+": m", row.want, height.At(1.3, 1.324))
		if got := height.At(1.3, 1.324); !equal(got, row.want) {
			t.Errorf("%s: load at %g m, want %g m (source %s)", row.schedule, got, row.want, row.source)
		}
	}
}
