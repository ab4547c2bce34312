package loads

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

// carried says for each published requirement by what of which schedule it is carried: the name
// of an action, or "rule", "limit", "caution", "assumption", "height", "strength", "gamma M",
// "loaded height", "set" or "refused" with what tells it from others. Values stand in the
// tests of each standard, beside their sources.
var carried = []struct{ ids, schedule, by string }{
	{"EU-LINE-A", "EN 1991-1-1 A", "top line load"},
	{"EU-LINE-B", "EN 1991-1-1 B", "top line load"},
	{"EU-LINE-C", "EN 1991-1-1 C", "top line load"},
	{"EU-LINE-C5", "EN 1991-1-1 C5", "top line load"},
	{"EU-LINE-E", "EN 1991-1-1 E", "top line load"},
	{"EU-LINE-C5RULE", "EN 1991-1-1 C", "caution possible overcrowding at public events take C5"},
	{"EU-HEIGHT", "EN 1991-1-1 A", "height barrier-top"},
	{"UK-III-LINE", "EN 1991-1-1 UK iii", "top line load"},
	{"UK-VERT-UDL", "EN 1991-1-1 UK v", "vertical line load"},
	{"UK-VERT-PT", "EN 1991-1-1 UK v", "vertical point load"},
	{"UK-XII-NOTE", "EN 1991-1-1 UK xii", "refused certifying authority"},
	{"UK-SEP", "EN 1991-1-1 UK v", "assumption one at a time, not added"},
	{"UK-DEF", "EN 1991-1-1 UK v", "limit total"},
	{"UK-FIX", "EN 1991-1-1 UK v", "caution 50 % on a fixing"},
	{"UK-SET", "EN 1991-1-1 UK v", "yield no permanent deflection"},
	{"UK-H-DW", "EN 1991-1-1 UK i", "rule min-height"},
	{"UK-H-EXT", "EN 1991-1-1 UK ix", "rule min-height"},
	{"UK-H-IND", "EN 1991-1-1 UK iv", "rule min-height"},
	{"UK-H-RES", "EN 1991-1-1 UK ii", "rule min-height"},
	{"UK-H-SEAT", "EN 1991-1-1 UK vi", "rule min-height"},
	{"UK-H-ASM", "EN 1991-1-1 UK xi", "rule min-height"},
	{"UK-H-RET", "EN 1991-1-1 UK xiii", "rule min-height"},
	{"UK-100", "EN 1991-1-1 UK i", "rule max-sphere"},
	{"M-SERV", "EN ISO 14122-3", "handrail load"},
	{"M-STR", "EN ISO 14122-3", "strength 1.75"},
	{"M-DEF", "EN ISO 14122-3", "limit total"},
	{"M-H", "EN ISO 14122-3", "rule min-height"},
	{"M-HS", "EN ISO 14122-3:2001", "caution 900 mm to 1000 mm, the edition of 2016 900 mm to 1100 mm"},
	{"M-GAP", "EN ISO 14122-3", "rule max-gap"},
	{"M-TOE", "EN ISO 14122-3", "rule min-toe-board"},
	{"M-POST", "EN ISO 14122-3", "rule max-spacing"},
	{"M-BREAK", "EN ISO 14122-3", "rule rail-interruption"},
	{"T-A-H", "EN 13374 A", "guardrail load"},
	{"T-A-TOE", "EN 13374 A", "toe board load"},
	{"T-A-PAR", "EN 13374 A", "load along the edge"},
	{"T-A-ACC", "EN 13374 A", "accidental load"},
	{"T-A-DEF", "EN 13374 A", "limit total"},
	{"T-WINDMAX", "EN 13374 A", "wind out of use"},
	{"T-WINDUSE", "EN 13374 A", "wind in use"},
	{"T-GM", "EN 13374 A", "gamma M 1.1"},
	{"T-H", "EN 13374 A", "rule min-height"},
	{"T-TOE", "EN 13374 A", "rule min-toe-top"},
	{"T-GAPA", "EN 13374 A", "rule max-sphere"},
	{"T-INCL T-USEA", "EN 13374 A", "caution slope at most 10 deg"},
	{"T-DYNB", "EN 13374 B", "refused 1100 J"},
	{"T-DYNC", "EN 13374 C", "refused 2200 J"},
	{"US-OSHA-PT", "29 CFR 1910.29", "top rail force"},
	{"US-OSHA-DEF", "29 CFR 1910.29", "loaded height"},
	{"US-OSHA-MID", "29 CFR 1910.29", "midrail force"},
	{"US-OSHA-TOEL", "29 CFR 1910.29", "toe board force"},
	{"US-OSHA-H", "29 CFR 1910.29", "rule max-height"},
	{"US-OSHA-GAP", "29 CFR 1910.29", "rule max-gap"},
	{"US-OSHA-TOE", "29 CFR 1910.29", "rule min-toe-board"},
	{"US-OSHAC-PT", "29 CFR 1926.502", "top rail force"},
	{"US-IBC2018-LINE", "IBC 2018 general", "top line load"},
	{"US-IBC2018-LINE20", "IBC 2018 not public under 50", "top line load"},
	{"US-IBC2018-PT", "IBC 2018 general", "top point load"},
	{"US-IBC2018-INT", "IBC 2018 general", "intermediate rail load"},
	{"US-IBC2021-LINE", "IBC 2021 general", "top line load"},
	{"US-IBC2021-LINE20", "IBC 2021 not public under 50", "top line load"},
	{"US-IBC2021-PT", "IBC 2021 general", "top point load"},
	{"US-IBC2021-INT", "IBC 2021 general", "intermediate rail load"},
	{"US-IBC-DEFNONE", "IBC 2021 general", "caution no limit on the movement"},
	{"US-IBC-H", "IBC 2021 general", "rule min-height"},
	{"US-IBC-4", "IBC 2021 general", "rule max-sphere"},
	{"US-IBC-21", "IBC 2021 not public", "rule max-sphere"},
	{"US-ASCE-LINE", "ASCE 7-16 general", "top line load"},
	{"US-ASCE-PT", "ASCE 7-16 general", "top point load"},
	{"US-ASCE-INT", "ASCE 7-16 general", "intermediate rail load"},
	{"US-E985-POST US-E985-MID US-E985-VERT", "ASTM E985", "set"},
	{"CA-300", "NBC 2005 grandstand", "top line load"},
	{"CA-PLAT", "NBC 2010-2020 equipment", "top point load"},
	{"CA-075", "NBC 2010-2020 general", "top line load"},
	{"CA-100", "NBC 2010-2020 general", "top point load"},
	{"CA-ELEM", "NBC 2010-2020 general", "load on elements"},
	{"CA-VERT", "NBC 2010-2020 general", "vertical line load"},
	{"CA-P9", "NBC 2010-2020 dwelling", "top line load"},
	{"CA-HR-PT", "NBC 2010-2020 dwelling handrail", "handrail point load"},
	{"CA-HR-U", "NBC 2010-2020 handrail", "handrail line load"},
	{"CA-WALL", "NBC 2010-2020 wall", "wall load"},
	{"CA-VEH", "NBC 2010-2020 vehicle", "refused 22 kN"},
	{"CA-QC-PT", "Quebec S-2.1 r.13", "top point load"},
	{"CA-QC-V", "Quebec S-2.1 r.13", "vertical line load"},
	{"CA-H", "NBC 2010-2020 general", "rule min-height"},
	{"CA-GAP", "NBC 2010-2020 general", "rule max-sphere"},
	{"CA-GAPI", "NBC 2010-2020 industrial", "rule max-sphere"},
	{"AU-PT", "AS/NZS 1170.1 D", "top point load"},
	{"AU-DEF", "AS/NZS 1170.0", "set"},
	{"AU-1657-PT", "AS 1657:2018", "point load"},
	{"AU-1657-LN", "AS 1657:2018", "top line load"},
	{"AU-1657-DEF", "AS 1657:2018", "limit total"},
	{"AU-1657-LF", "AS 1657:2018", "assumption minimum imposed actions"},
	{"AU-1657-H", "AS 1657:1992", "rule max-height"},
	{"AU-1657-GAP", "AS 1657:2018", "rule max-gap"},
	{"AU-1657-TOE", "AS 1657:2018", "rule min-toe-board"},
	{"AU-NCC-H", "AS/NZS 1170.1 A i", "rule min-height"},
	{"AU-NCC-GAP", "AS/NZS 1170.1 A i", "rule max-sphere"},
	{"NZ-GAP", "AS/NZS 1170.1 A ii", "rule max-sphere"},
	{"DE-LINE-A", "EN 1991-1-1 DE A", "top line load"},
	{"DE-LINE-B", "EN 1991-1-1 DE B2", "top line load"},
	{"DE-LINE-C", "EN 1991-1-1 DE C5", "top line load"},
	{"DE-WIND", "EN 1991-1-1 DE A", "caution wind be superimposed"},
	{"DE-H", "EN 1991-1-1 DE A", "rule min-height"},
	{"AT-LINE", "EN 1991-1-1 AT B", "top line load"},
}

// notCarried says why the other published requirements are not.
var notCarried = map[string]string{
	"UK-DEF-GLASS UK-DEF-PLAST":        "of glass and plastics, which are not checked",
	"UK-H-INDS UK-H-WIN":               "of stairs, ramps and windows: the rules are for level runs",
	"UK-WAH NO-H US-WAC-TOE US-E985-H": "heights and toe boards of texts whose loads were not read",
	"UK-CRUSH":                         "crush barriers are refused",
	"M-PRE":                            "a preload of the test, smaller than its loads",
	"T-GAPB T-GAPC":                    "of classes that are refused",
	"SC-H SC-V":                        "of scaffolds, often taken for EN 13374",
	"US-OSHA-HR US-OSHA-HRL US-OSHA-SR US-OSHA-CLR": "of handrails and stair rails",
}

// rowsOfTables adds the rows of the two tables that have one line an occupancy.
func rowsOfTables(add func(id, schedule, by string)) {
	for _, row := range []string{"i", "ii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xiii", "xiv"} {
		id, schedule := "UK-"+strings.ToUpper(row), "EN 1991-1-1 UK "+row
		add(id+"-LINE", schedule, "top line load")
		add(id+"-UDL", schedule, "infill area load")
		add(id+"-PT", schedule, "infill point load")
	}
	for id, occupancy := range map[string]string{
		"A1": "A i", "A2": "A ii", "B1": "B/E i", "B2": "B/E ii", "B3": "B/E iii", "C12": "C1/C2", "C3": "C3", "C5": "C5", "D": "D", "FG": "F/G",
	} {
		schedule := "AS/NZS 1170.1 " + occupancy
		add("AU-"+id+"-H", schedule, "top line load")
		add("AU-"+id+"-V", schedule, "vertical line load")
		if id != "B1" && id != "B2" {
			add("AU-"+id+"-UDL", schedule, "infill area load")
			add("AU-"+id+"-PT", schedule, "infill point load")
		}
	}
}

func TestEveryRequirementIsCarriedOrSaidNotToBe(t *testing.T) {
	const published = 197 // rows on loads, limits and geometry of barriers
	seen := map[string]bool{}
	note := func(id string) {
		if seen[id] {
			t.Errorf("%s stands twice", id)
		}
		seen[id] = true
	}
	add := func(id, schedule, by string) {
		note(id)
		if !isCarried(schedule, by) {
			t.Errorf("%s: %s has no %s", id, schedule, by)
		}
	}
	rowsOfTables(add)
	for _, row := range carried {
		for id := range strings.FieldsSeq(row.ids) {
			add(id, row.schedule, row.by)
		}
	}
	for ids, reason := range notCarried {
		for id := range strings.FieldsSeq(ids) {
			note(id)
			if reason == "" {
				t.Errorf("%s is not carried and nothing says why", id)
			}
		}
	}
	if len(seen) != published {
		t.Errorf("%d requirements, want %d", len(seen), published)
	}
}

// isCarried reports whether a schedule has what the words say.
func isCarried(name, by string) bool {
	kind, rest, _ := strings.Cut(by, " ")
	s, err := FindSchedule(name, "")
	has := func(texts []string) bool { return strings.Contains(strings.Join(texts, "\n"), rest) }
	switch {
	case kind == "refused":
		_, refused := errors.AsType[*RefusedScheduleError](err)
		return refused && strings.Contains(err.Error(), rest)
	case kind == "set":
		_, err := FindLimitSet(name)
		return err == nil
	case err != nil:
		return false
	case kind == "rule":
		return slices.ContainsFunc(s.Rules, func(r GeometryRule) bool { return r.Kind == rest })
	case kind == "limit":
		return slices.ContainsFunc(s.Limits, func(l Limit) bool { return l.Of == rest })
	case kind == "caution":
		return has(s.Cautions)
	case kind == "assumption":
		return has(s.Assumptions)
	case kind == "height":
		return string(s.Actions[0].Height.Kind) == rest
	case kind == "yield":
		return strings.Contains(s.Actions[0].YieldRule.Note, rest)
	case kind == "strength":
		return s.Actions[0].Strength.Override
	case by == "gamma M 1.1":
		return s.GammaM != nil
	case by == "loaded height":
		return s.LoadedHeight != nil
	}
	_, ok := s.action(by)
	return ok
}
