package main

import (
	"math"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// matches reports whether the texts, together, have all the words. A number in them is matched whole:
// A53 is not found in A536.
func matches(words []string, texts ...string) bool {
	all := strings.ToLower(strings.Join(texts, "\n"))
	for _, word := range words {
		if !hasWord(all, word) {
			return false
		}
	}
	return true
}

// hasWord reports whether a word stands in a text with no digit of it beside another one.
func hasWord(text, word string) bool {
	for from := 0; ; {
		i := strings.Index(text[from:], word)
		if i < 0 {
			return false
		}
		start, end := from+i, from+i+len(word)
		if !splitsNumber(text, start) && !splitsNumber(text, end) {
			return true
		}
		from = start + 1
	}
}

// splitsNumber reports whether a place of a text lies between two digits.
func splitsNumber(text string, at int) bool {
	isDigit := func(c byte) bool { return '0' <= c && c <= '9' }
	return at > 0 && at < len(text) && isDigit(text[at-1]) && isDigit(text[at])
}

// tubes leaves the area to JSON: the mass says as much. A mass in plf is in lb/ft.
func tubes(words []string, system quantity.System) catalogue {
	var (
		inch    = quantity.In(1e-3, "in") // in a mm
		size    = in(system, scale{"mm", 1, 2}, scale{"in", inch, 3})
		mass    = in(system, scale{"kg/m", 1, 2}, scale{"plf", quantity.In(1, "lb") / quantity.In(1, "ft"), 2})
		inertia = in(system, scale{"cm4", 1e-4, 2}, scale{"in4", math.Pow(inch, 4), 3})
		modulus = in(system, scale{"cm3", 1e-3, 2}, scale{"in3", math.Pow(inch, 3), 3})
	)
	elastic, plastic, lead := "Wel", "Wpl", "Properties are those of the nominal wall."
	if system == quantity.US {
		elastic, plastic = "S", "Z"
		lead = "Properties are those of the nominal wall, not of the AISC design wall; plf is\nlb/ft of mass."
	}
	rows := []sections.TubeRow{}
	out := sheet{lead: lead, columns: []column{{"name", 30}, size.column("od"), size.column("wall"), mass.column("mass"),
		inertia.column("I"), modulus.column(elastic), modulus.column(plastic), {"known\nfrom", 8}}}
	for _, tube := range sections.Tubes() {
		r := tube.Row()
		if !matches(words, r.Name, r.Standard, r.Edition, r.Designation, r.Series, r.NominalSize, string(r.Material), r.Provenance) {
			continue
		}
		rows = append(rows, r)
		out.add("", r.Name, size.value(r.ODMM), size.value(r.WallMM), mass.value(r.MassKgPerM),
			inertia.value(r.IMM4), modulus.value(r.WelMM3), modulus.value(r.WplMM3), r.Provenance)
	}
	return catalogue{rows, &out}
}

func grades(words []string, system quantity.System) catalogue {
	var (
		strength  = in(system, scale{"MPa", 1, 0}, scale{"ksi", quantity.In(1e6, "ksi"), 1})
		stiffness = in(system, scale{"MPa", 1, 0}, scale{"ksi", quantity.In(1e6, "ksi"), 0})
		wall      = in(system, scale{"mm", 1, 1}, scale{"in", quantity.In(1e-3, "in"), 3})
	)
	rows := []sections.GradeRow{}
	out := sheet{columns: []column{{"name", 20}, {"standard", 14}, {"wall\n" + wall.unit, 16},
		strength.column("fy"), strength.column("fu"), stiffness.column("E"), {"known\nfrom", 8}}}
	for _, grade := range sections.Grades() {
		r := grade.Row()
		if !matches(words, r.Name, r.Standard, r.Edition, r.Form, string(r.Material), r.Use, r.Band, r.Provenance) {
			continue
		}
		rows = append(rows, r)
		band := strings.TrimSuffix(r.Band, " mm")
		if system == quantity.US {
			band = bandIn(wall, r)
		}
		out.add("", r.Name, r.Standard, band, strengthIn(system, strength, r.FyMPa, r.FyKsi), strengthIn(system, strength, r.FuMPa, r.FuKsi), stiffness.value(r.EMPa), r.Provenance)
	}
	return catalogue{rows, &out}
}

// bandIn is a band of wall in other units than those of its standard. Rounded
// ends can be in or out; the metric list and JSON say which.
func bandIn(wall scale, r sections.GradeRow) string {
	switch {
	case r.WallOverMM == nil && r.WallToMM == nil:
		return "all walls"
	case r.WallOverMM == nil:
		return "to " + wall.given(r.WallToMM)
	case r.WallToMM == nil:
		return "over " + wall.given(r.WallOverMM)
	}
	return wall.given(r.WallOverMM) + " - " + wall.given(r.WallToMM)
}

func schedules(words []string, system quantity.System) catalogue {
	var (
		foot    = quantity.In(1, "ft")
		line    = in(system, scale{"N/m", 1, 0}, scale{"lbf/ft", quantity.In(1, "lbf/ft"), 1})
		point   = in(system, scale{"N", 1, 0}, scale{"lbf", quantity.In(1, "lbf"), 1})
		spacing = in(system, scale{"N/m", 1, 0}, scale{"lbf/ft", quantity.In(1, "lbf") / foot, 1})
		area    = in(system, scale{"N/m2", 1, 0}, scale{"psf", quantity.In(1, "psf"), 1})
		height  = in(system, scale{"m", 1, 2}, scale{"in", quantity.In(1, "in"), 1})
		limit   = in(system, scale{"mm", 1, 0}, scale{"in", quantity.In(1e-3, "in"), 2})
	)
	rows := []loads.Row{}
	out := sheet{columns: []column{{"name", 19}, line.column("line"), point.column("top\npoint"), point.column("other\npoint"), spacing.column("by\nbay"),
		area.column("area"), height.column("height"), limit.column("limit"), {"known\nfrom", 8}}}
	for _, schedule := range loads.Schedules() {
		for _, r := range schedule.Rows() {
			if !matches(words, r.Name, r.Standard, r.Edition, r.Clause, r.Occupancy, r.Use, r.Family, r.Provenance) {
				continue
			}
			rows = append(rows, r)
			top := r.Point
			if r.PointTarget != nil && *r.PointTarget != string(loads.Top) {
				top = nil // it stands in the next column
			}
			out.add(r.Use, r.Name, line.given(r.Line), point.given(top), point.given(r.IntermediatePoint), spacing.given(r.PointPerSpacing), area.given(r.Area),
				height.given(r.Height), limit.given(r.DeflectionMM), r.Provenance)
			out.also(furtherLoads(r, line, point, area))
		}
	}
	return catalogue{rows, &out}
}

// furtherLoads says in words what a row has beside its columns; empty where that is nothing.
func furtherLoads(r loads.Row, line, point, area scale) string {
	var parts []string
	say := func(what string, s scale, v *float64) {
		if v != nil {
			parts = append(parts, what+s.value(*v)+" "+s.unit)
		}
	}
	if r.PointTarget != nil && *r.PointTarget == string(loads.AnyPart) {
		say("on any part ", point, r.Point)
	}
	say("inward ", line, r.InwardLine)
	say("down ", line, r.VerticalLine)
	say("down ", point, r.VerticalPoint)
	if r.VerticalWithLine {
		parts[len(parts)-1] += ", each alone and with the line"
	}
	say("along ", point, r.AlongPoint)
	say("toe board ", point, r.ToeBoardPoint)
	say("accidental ", point, r.AccidentalPoint)
	say("wind with these ", area, r.Wind)
	say("wind alone ", area, r.WindAlone)
	if r.DeflectionRule != nil {
		parts = append(parts, "limit "+*r.DeflectionRule)
	}
	if len(parts) == 0 {
		return ""
	}
	return "also " + strings.Join(parts, "; ")
}

// strengthIn shows a strength: in US units the one that its standard prints in them, where
// it does.
func strengthIn(system quantity.System, strength scale, mpa, ksi *float64) string {
	if system == quantity.US && ksi != nil {
		return quantity.Fix(*ksi, 1)
	}
	return strength.given(mpa)
}

func checks(words []string, _ quantity.System) catalogue {
	rows := []check.CheckID{}
	out := sheet{columns: []column{{"id", 25}, {"what is checked", 51}}}
	for _, id := range check.CheckIDs() {
		if !matches(words, id.ID, id.Meaning) {
			continue
		}
		rows = append(rows, id)
		out.add("", id.ID, id.Meaning)
	}
	return catalogue{rows, &out}
}
