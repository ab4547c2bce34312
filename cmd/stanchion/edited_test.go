package main

import (
	"regexp"
	"slices"
	"strings"
	"testing"
)

// mostEdits is how many edits a barrier takes: more leave nothing of it.
const mostEdits = 6

// oddValues are what a key may be given: quantities at and beyond what is usual, words, lists, and
// what is no value at all.
var oddValues = [...]string{
	`"0 m"`, `"1 mm"`, `"-1 m"`, `"1e-9 m"`, `"1e300 m"`, `"3 m"`, `"1.5 m"`, `"1100 mm"`, `"42 in"`, `"3 ft 6 in"`, `"60 mm"`, `"0.3 mm"`,
	`"0 N"`, `"1 N"`, `"1 kN"`, `"-1 kN"`, `"1 MN"`, `"1e-12 kN"`, `"0.36 kN/m"`, `"1 MN/m"`, `"0 kN/m"`, `"1 kN/m2"`, `"200 lbf"`, `"50 plf"`,
	`"0 kNm"`, `"1 kNm"`, `"60 kNm/rad"`, `"1 Nm/rad"`, `"1e12 kNm/rad"`, `["1 Nm/rad", "1e9 kNm/rad"]`, `"rigid"`, `"free"`, `"gripped"`, `"from fixing"`,
	`{ about_rail = "7.5 kNm/rad" }`, `{ about_rail = "1 Nm/rad" }`, `"4 kNm/rad"`, `"none"`, `"wall"`, `{ kind = "wall", along = "held" }`,
	`"outward"`, `"inward"`, `"across"`, `"down"`, `"up"`, `"along"`, `"horizontal"`, `"any"`, `"right"`, `"left"`, `"point"`, `"line"`, `"area"`, `"wind"`, `"temperature"`,
	`"EN"`, `"AS"`, `"CSA"`, `"AISC-ASD"`, `"AISC-LRFD"`, `"UK"`, `"US"`, `"metric"`,
	`"EN ISO 14122-3"`, `"EN 13374 A"`, `"EN 1991-1-1 UK v"`, `"29 CFR 1910.29"`, `"AS 1657:2018"`, `"NBC 2010-2020"`,
	`"EN 10255 DN40 medium"`, `"EN 10255 DN15 light"`, `"EN 10219 60.3x4.0"`, `"ASTM A53 NPS 1-1/2 STD"`, `{ od = "48.3 mm", wall = "3.2 mm" }`, `{ od = "48.3 mm", wall = "24.15 mm" }`, `{ od = "48.3 mm", wall = "0.2 mm" }`, `{ od = "500 mm", wall = "20 mm" }`,
	`"S235JRH"`, `"S195T"`, `"Grade B"`, `"EN AW-6082 T6 ET"`, `{ fy = "1 MPa", fu = "2 MPa" }`, `{ fy = "2000 MPa", fu = "2001 MPa" }`,
	`"design"`, `"characteristic"`, `"working"`, `"elastic"`, `"plate"`, `"uk"`,
	`"90 deg"`, `"-90 deg"`, `"0 deg"`, `"89 deg"`, `"45 deg"`, `"1e-6 deg"`,
	`"0 kg"`, `"1 t"`, `"0 kN/m3"`, `"40 K"`, `"500 K"`, `"28 m/s"`, `"1 mm/s"`, `"0 MPa"`, `"300 GPa"`,
	`0`, `1`, `-1`, `2`, `3`, `1.0`, `0.5`, `1e308`, `nan`, `inf`, `true`, `false`, `""`, `[]`, `{}`, `["fitting"]`, `["base"]`, `["fitting", "base", "geometry"]`,
	`["1 m"]`, `["0 m", "1 m"]`, `["0 m", "1 mm", "2 m"]`, `[1, 2]`, `["0 mm", "2 m"]`, `2026-11-29`, `'h/24'`, `"h/24 + L/96"`,
}

// scales are what a number may be multiplied by, by the digits put before its own.
var scales = [...]string{
	"-", "0.000", "9", "1", "999999", "0.", "1e", "0.0000000000",
}

var (
	keyLine   = regexp.MustCompile(`^(\s*[A-Za-z_]+\s*=\s*)(.*)$`)
	tableLine = regexp.MustCompile(`^\[`)
	aNumber   = regexp.MustCompile(`[0-9][0-9.]*`)
)

// edited is one of some barriers after edits of its lines, three bytes each: what is done, where, and
// with what.
func edited(barriers []string, which int, edits []byte) string {
	lines := strings.Split(barriers[which%len(barriers)], "\n")
	for edit := range slices.Chunk(edits[:min(len(edits), 3*mostEdits)], 3) {
		if len(edit) < 3 || len(lines) == 0 {
			break
		}
		what, at, with := edit[0], int(edit[1])%len(lines), int(edit[2])
		switch what % 8 {
		case 0, 1, 2:
			lines[at] = valued(lines[at], oddValues[with%len(oddValues)])
		case 3:
			lines = slices.Delete(lines, at, at+1)
		case 4:
			lines = slices.Insert(lines, with%(len(lines)+1), lines[at])
		case 5:
			lines[at] = scaled(lines[at], with)
		case 6:
			if m := keyLine.FindStringSubmatch(lines[with%len(lines)]); m != nil {
				lines[at] = valued(lines[at], m[2])
			}
		case 7:
			lines = exchanged(lines, strings.Split(barriers[with%len(barriers)], "\n"), int(edit[1]))
		}
	}
	return strings.Join(lines, "\n")
}

// valued is a line whose key has another value; one without a key stays.
func valued(line, value string) string {
	if m := keyLine.FindStringSubmatch(line); m != nil {
		return m[1] + value
	}
	return line
}

// scaled is a line in which one number is another.
func scaled(line string, how int) string {
	numbers := aNumber.FindAllStringIndex(line, -1)
	if len(numbers) == 0 {
		return line
	}
	at := numbers[how/len(scales)%len(numbers)]
	return line[:at[0]] + scales[how%len(scales)] + line[at[0]:]
}

// exchanged has a table of another barrier, in place of its own of that name or beside the others.
func exchanged(lines, other []string, which int) []string {
	tables := tablesIn(other)
	if len(tables) == 0 {
		return lines
	}
	t := tables[which%len(tables)]
	taken := other[t[0]:t[1]]
	for _, own := range tablesIn(lines) {
		if lines[own[0]] == taken[0] {
			return slices.Replace(slices.Clone(lines), own[0], own[1], taken...)
		}
	}
	return append(append(slices.Clone(lines), ""), taken...)
}

// tablesIn returns the first line of each table and the one behind its last.
func tablesIn(lines []string) (tables [][2]int) {
	for i, line := range lines {
		if !tableLine.MatchString(line) {
			continue
		}
		if len(tables) > 0 {
			tables[len(tables)-1][1] = i
		}
		tables = append(tables, [2]int{i, len(lines)})
	}
	return tables
}

// A barrier is edited as the fuzzer asks, whatever it asks, and is itself where it asks nothing.
func TestEdited(t *testing.T) {
	const text = "basis = \"EN\"\n\n[run]\nlength = \"3 m\"\n\n[post]\nheight = \"1100 mm\""
	const other = "[post]\nheight = \"1 m\"\ntube = \"x\"\n[limits]\npost = \"30 mm\""
	for _, c := range []struct {
		what  string
		edits []byte
		want  string
	}{
		{"nothing", nil, text},
		{"too little", []byte{0, 0}, text},
		{"a value", []byte{0, 0, 2}, strings.Replace(text, `"EN"`, `"-1 m"`, 1)},
		{"a line without a key", []byte{0, 1, 2}, text},
		{"a line less", []byte{3, 1, 0}, strings.Replace(text, "\n\n", "\n", 1)},
		{"a line twice", []byte{4, 3, 3}, strings.Replace(text, "length", "length = \"3 m\"\nlength", 1)},
		{"a number", []byte{5, 6, 2}, strings.Replace(text, "1100", "91100", 1)},
		{"the value of another", []byte{6, 3, 6}, strings.Replace(text, `"3 m"`, `"1100 mm"`, 1)},
		{"a table in place of its own", []byte{7, 0, 1}, strings.Replace(text, "height = \"1100 mm\"", "height = \"1 m\"\ntube = \"x\"", 1)},
		{"a table more", []byte{7, 1, 1}, text + "\n\n[limits]\npost = \"30 mm\""},
	} {
		if got := edited([]string{text, other}, 0, c.edits); got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}
