// Package verification keeps the record of what tests compare with values from outside the
// project. A test opens its part of the record, adds each comparison to it, and at its end is
// held to what the record has in testdata/verification/, a file for each test:
//
//	go test ./sections -run Ring -update                 rewrites the part of a test
//	go test ./internal/verification -update              rewrites testdata/verification.md, and the lines of README
//
// The test itself judges whether theirs and ours agree; the record says by how much they differ.
package verification

import (
	"fmt"
	"math"
	"strconv"
)

// Provenance says how a value from outside is known.
type Provenance string

// Public, Memory, Derived and Practice are the words of the tables of data.
const (
	Public   Provenance = "public"          // a public page or document was read
	Memory   Provenance = "memory"          // known, not looked up
	Derived  Provenance = "derived"         // arithmetic, statics or a closed form from what the source states
	Practice Provenance = "common-practice" // a fact of the trade, no source
	Program  Provenance = "program"         // another program or library worked it out
)

func (p Provenance) known() bool {
	switch p {
	case Public, Memory, Derived, Practice, Program:
		return true
	}
	return false
}

// Comparison is one value from outside the project beside the same value of this program.
type Comparison struct {
	Row        string // of the record, in which comparisons of one kind stand together: "EN 10210-2"
	Case       string // what was worked out, with the unit: "60.3x4.5 Wel, cm3"
	Source     string // who says so: standard with its edition and clause, handbook with its table
	Provenance Provenance
	Theirs     float64 // in the unit of the case
	Ours       float64
}

// floor is the relative difference below which two values are told as equal: rounding, which
// differs from one processor to another.
const floor = 1e-6

// Difference returns how far ours is from theirs, relative to theirs; where theirs is zero, the
// difference itself.
func (c Comparison) Difference() float64 {
	d := math.Abs(c.Ours - c.Theirs)
	if c.Theirs != 0 {
		d /= math.Abs(c.Theirs)
	}
	if d < floor {
		return 0
	}
	return d
}

// settled returns ours, or theirs where the two are equal but for rounding: of a number that
// stands between two of six figures processors would print now the one and now the other.
func (c Comparison) settled() float64 {
	if math.Abs(c.Ours-c.Theirs) <= 1e-9*math.Abs(c.Theirs) {
		return c.Theirs
	}
	return c.Ours
}

// judge returns what is wrong with a comparison as it would stand in the record, or "".
func (c Comparison) judge() string {
	switch {
	case c.Row == "" || c.Case == "" || c.Source == "":
		return fmt.Sprintf("%+v: row, case and source are wanted", c)
	case !c.Provenance.known():
		return fmt.Sprintf("%s, %s: the provenance %q is not known", c.Row, c.Case, c.Provenance)
	case math.IsNaN(c.Theirs) || math.IsInf(c.Theirs, 0) || math.IsNaN(c.Ours) || math.IsInf(c.Ours, 0):
		return fmt.Sprintf("%s, %s: theirs is %g and ours %g", c.Row, c.Case, c.Theirs, c.Ours)
	}
	return ""
}

// printed writes a value with six significant figures, which no rounding of a processor turns.
func printed(v float64) string {
	if math.Abs(v) < 1e-12 {
		return "0"
	}
	return strconv.FormatFloat(v, 'g', 6, 64)
}
