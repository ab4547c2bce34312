package report

import (
	"strconv"
	"strings"

	"example.com/stanchion/barrier/check"
)

// Braces and their feet.

// mostBraces is the largest number of braces that are all printed.
const mostBraces = 24

// braces prints the braces: where each stands and what acts along it.
func (p *printer) braces() {
	if len(p.r.Braces) == 0 {
		return
	}
	p.heading("Braces: where each stands, and its largest design forces")
	t := NewTable(Numbers("brace"), Numbers("post"), p.measure("axis", "m"), p.measure("length", "m"),
		p.measure("compression", "N"), p.measure("tension", "N"), Numbers("util-\nisation"))
	shown := selectBraces(p.r.Braces)
	for _, row := range shown {
		t.Add(strconv.Itoa(row.Brace), strconv.Itoa(row.Post), p.number(row.Height, "m"), p.number(row.Length, "m"),
			p.number(row.Compression, "N"), p.number(row.Tension, "N"), Utilisation(row.Utilisation, check.Fail))
		t.Note("foot outward " + p.value(row.FootOutward, "m") + ", along " + p.value(row.FootAlong, "m") + ", level " + p.value(row.FootLevel, "m"))
	}
	p.table(t)
	if more := len(p.r.Braces) - len(shown); more > 0 {
		p.sentence("The worst of " + strconv.Itoa(len(p.r.Braces)) + " braces; the other " + strconv.Itoa(more) + " are in the JSON.")
	}
	p.sentence("The axis is where brace and post meet; a foot is told from the axis of its post.")
}

// selectBraces keeps, where they are many, the braces with the largest utilisation,
// compression and tension.
func selectBraces(rows []check.BraceRow) []check.BraceRow {
	if len(rows) <= mostBraces {
		return rows
	}
	return keepLargest(rows, nil,
		func(r check.BraceRow) float64 { return severity(r.Utilisation, check.Fail) },
		func(r check.BraceRow) float64 { return r.Compression },
		func(r check.BraceRow) float64 { return r.Tension },
	)
}

// braceFeet prints what braces do to the ground: of every extreme the largest.
func (p *printer) braceFeet() {
	if len(p.r.BraceFeet) == 0 {
		return
	}
	p.heading("Brace feet: the worst of the braces, with what acts at the same time")
	t := NewTable(Numbers("brace"), Words("largest\nof"), Words("level"), p.measure("Fx", "N"), p.measure("Fy", "N"), p.measure("Fz", "N"), Words("key"))
	var loads keys
	for _, shown := range merge(worstFeet(p.r.BraceFeet), func(row *check.BraceFoot) *string { return &row.ExtremeOf }) {
		row := shown.row
		t.Add(strconv.Itoa(row.Brace), strings.Join(shown.extremes, " "), row.Level, p.number(row.Fx, "N"), p.number(row.Fy, "N"), p.number(row.Fz, "N"),
			loads.of(row.Level, combined(row.Combination, row.CombinationName), row.Load))
	}
	p.table(t)
	p.keys(loads)
	p.sentence("X runs along, Y to the left, Z up; positive Fz is uplift. H is the resultant of Fx and Fy. A pinned foot passes no moment.")
}

// worstFeet keeps, of each extreme and level, the row in which it is largest.
func worstFeet(rows []check.BraceFoot) []check.BraceFoot {
	type group struct{ extreme, level string }
	worst := make(map[group]int)
	for i := range rows {
		g := group{rows[i].ExtremeOf, rows[i].Level}
		if best, ok := worst[g]; !ok || rows[i].Extreme() > rows[best].Extreme() {
			worst[g] = i
		}
	}
	var kept []check.BraceFoot
	for i := range rows {
		if worst[group{rows[i].ExtremeOf, rows[i].Level}] == i {
			kept = append(kept, rows[i])
		}
	}
	return kept
}
