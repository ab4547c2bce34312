package loads

import (
	"fmt"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// Geometry rules of the schedules beside those of TestMachineryGeometry, TestUKGeometry and
// TestUSGeometry.
func TestGeometryOfOtherSchedules(t *testing.T) {
	record := verification.New(t, verification.Loads)
	type rule struct {
		row, kind string
		value     float64 // m
		binding   bool
		words     string
	}
	ncc := []rule{{"AU-NCC-H", MinHeight, 1.0, false, "public high"}, {"AU-NCC-GAP", MaxSphere, 0.125, false, "memory medium"}}
	nz := append(ncc[:2:2], rule{"NZ-GAP", MaxSphere, 0.1, false, "public high"})
	de := []rule{{"DE-H", MinHeight, 0.9, true, "public high"}, {"DE-H", MinHeight, 1.0, false, "public high"}, {"DE-H", MinHeight, 1.1, false, "public high"}}
	canada := []rule{{"CA-H", MinHeight, 1.07, true, "public high"}, {"CA-GAP", MaxSphere, 0.1, true, "public high"}}
	as1657 := func(bound bool, words string) []rule {
		return []rule{
			{"AU-1657-H", MinHeight, 0.9, false, "public medium"}, {"AU-1657-H", MaxHeight, 1.1, false, "public medium"},
			{"AU-1657-GAP", MaxGap, 0.45, false, words}, {"AU-1657-GAP", MaxGap, 0.56, bound, words},
			{"AU-1657-TOE", MinToeBoard, 0.1, false, words}, {"AU-1657-TOE", MaxToeGap, 0.01, false, words}}
	}
	for _, row := range []struct {
		schedule, source string
		want             []rule
	}{
		{"EN ISO 14122-3:2001", "EN ISO 14122-3:2001 7.1 (memory): as 2016, gap under the toe plate 10 mm; replaced", []rule{
			{"M-H", MinHeight, 1.1, false, "memory medium"}, {"M-GAP", MaxGap, 0.5, false, "memory medium"}, {"M-TOE", MinToeBoard, 0.1, false, "memory medium"},
			{"M-TOE", MaxToeGap, 0.01, false, "memory medium"}, {"M-POST", MaxSpacing, 1.5, false, "memory medium"}}},
		{"EN 13374 A", "EN 13374 5.1.3, 5.1.4 (public fragment), 5.2.1 (memory)", []rule{
			{"T-H", MinHeight, 1.0, true, "public high"}, {"T-TOE", MinToeTop, 0.15, true, "public high"}, {"T-TOE", MaxToeGap, 0.02, true, "public high"},
			{"T-GAPA", MaxSphere, 0.47, true, "memory high"}, {"T-GAPA", MaxSphere, 0.25, false, "memory high"}}},
		{"EN 1991-1-1 DE A", "German building law, ASR A2.1 (public guide)", de},
		{"EN 1991-1-1 DE C5", "German building law, ASR A2.1 (public guide)", de},
		{"EN 1991-1-1 AT A", "none read", nil},
		{"NBC 2005 general", "OBC 3.3.1.18 (public)", canada},
		{"NBC 2010-2020 general", "OBC 3.3.1.18 (public)", canada},
		{"NBC 2010-2020 grandstand", "OBC 3.3.1.18 (public)", canada},
		{"NBC 2010-2020 equipment", "OBC 3.3.1.18 (public)", []rule{{"CA-H", MinHeight, 1.07, true, "public high"}, {"CA-GAP", MaxSphere, 0.1, false, "public high"}}},
		{"NBC 2010-2020 industrial", "OBC 3.3.5.9 (public)", []rule{{"CA-H", MinHeight, 1.07, true, "public high"}, {"CA-GAPI", MaxSphere, 0.535, true, "public high"}}},
		{"NBC 2010-2020 dwelling", "NBC 9.8.8.3 (memory), OBC 3.3.1.18 (public)", []rule{
			{"from memory", MinHeight, 0.9, false, "memory medium"}, {"CA-H", MinHeight, 1.07, false, "public high"}, {"CA-GAP", MaxSphere, 0.1, true, "public high"}}},
		{"NBC 2010-2020 handrail", "of guards only", nil},
		{"NBC 2010-2020 wall", "of guards only", nil},
		{"Quebec S-2.1 r.13", "S-2.1 r.13 s. 12 (public): 900 to 1100 mm, midrail midway", []rule{
			{"CA-QC-PT", MinHeight, 0.9, true, "public high"}, {"CA-QC-PT", MaxHeight, 1.1, true, "public high"}, {"CA-QC-PT", MaxGap, 0.55, true, "derived high"}}},
		{"AS/NZS 1170.1 A i", "NCC 2022 D3D18 (public), D3D20 (memory); NZBC F4/AS1 (public)", nz},
		{"AS/NZS 1170.1 C5", "NCC 2022 D3D18 (public), D3D20 (memory); NZBC F4/AS1 (public)", nz},
		{"AS/NZS 1170.1 B/E i", "NCC 2022 D3D18 (public)", ncc[:1]},
		{"AS/NZS 1170.1 B/E ii", "AS 1657 6.1", []rule{{"AU-1657-H", MinHeight, 0.9, false, "public medium"}, {"AU-1657-GAP", MaxGap, 0.56, true, "memory high"}}},
		{"AS/NZS 1170.1 B/E iii", "NCC 2022 D3D18 (public), D3D20 (memory)", ncc},
		{"AS/NZS 1170.1 F/G", "NCC 2022 D3D18 (public), D3D20 (memory)", ncc},
		{"AS 1657:2018", "AS 1657:2018 6.1 (memory; heights public of 1992)", as1657(true, "memory high")},
		{"AS 1657:1992", "AS 1657:1992 (memory; heights public); replaced", as1657(false, "memory medium")},
	} {
		rules := mustFind(t, row.schedule).Rules
		if len(rules) != len(row.want) {
			t.Errorf("%s: %d rules, want %d (source %s)", row.schedule, len(rules), len(row.want), row.source)
			continue
		}
		for i, w := range row.want {
			r := rules[i]
			record.From("geometry of other schedules", row.source, provenanceOf(w.words)).Add(fmt.Sprintf("%s: rule %d, %s, m", row.schedule, i+1, w.kind), w.value, r.Value)
			if r.Kind != w.kind || !equal(r.Value, w.value) || r.Binding() != w.binding || r.Provenance+" "+r.Confidence != w.words {
				t.Errorf("%s %s: %s %g m, binding %v, %s %s; want %s %g m, %v, %s (source %s)", row.schedule, w.row,
					r.Kind, r.Value, r.Binding(), r.Provenance, r.Confidence, w.kind, w.value, w.binding, w.words, row.source)
			}
		}
	}
}

// A rule of a replaced edition never binds.
func TestReplacedEditionsOnlyCaution(t *testing.T) {
	for _, name := range []string{"EN ISO 14122-3:2001", "AS 1657:1992"} {
		s := mustFind(t, name)
		for _, r := range s.Rules {
			if !r.Outdated || r.Binding() {
				t.Errorf("%s %s: outdated %v, binding %v", name, r.Kind, r.Outdated, r.Binding())
			}
		}
		if !strings.Contains(strings.Join(s.Cautions, "\n"), "has been replaced") {
			t.Errorf("%s: no caution says that it has been replaced", name)
		}
	}
}

// A schedule whose loads are not all held with high confidence says so.
func TestDoubtfulLoadsAreCautioned(t *testing.T) {
	for _, s := range Schedules() {
		text := strings.Join(s.Cautions, "\n")
		for _, a := range s.Actions {
			if a.Confidence != "high" && !strings.Contains(text, "memory") && !strings.Contains(text, "as reported") {
				t.Errorf("%s %s is of %s confidence, and no caution says so", s.Name, a.Name, a.Confidence)
			}
			if a.Confidence == "low" && !strings.Contains(text, "low confidence") {
				t.Errorf("%s %s is of low confidence, and no caution says so", s.Name, a.Name)
			}
		}
	}
}

// One word of provenance stands for a whole row of the list: it is not better than that of
// the value that gave the row its name.
func TestNewRowsClaimNoMoreThanTheirWeakestValue(t *testing.T) {
	for _, s := range Schedules() {
		if s.Family != NBC && s.Family != AS && s.Standard != "EN 13374" && s.Annex != "DE" && s.Annex != "AT" {
			continue
		}
		for _, a := range s.Actions {
			if a.Provenance == "memory" && s.Provenance != "memory" || a.Confidence == "medium" && s.Confidence == "high" {
				t.Errorf("%s is %s %s, and %s is %s %s", s.Name, s.Provenance, s.Confidence, a.Name, a.Provenance, a.Confidence)
			}
		}
	}
}
