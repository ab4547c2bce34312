package solver

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/golden"
)

// The table of published cases in DEVELOPERS.md is written from what the cases give:
//
//	go test ./solver -run Published -update      rewrites it: read the diff
const (
	publishedTable = "../DEVELOPERS.md"
	tableFrom      = "<!-- published frames: from here to the end mark written by go test ./solver -run Published -update -->\n"
	tableTo        = "<!-- end of published frames -->\n"
)

// analyses are the kinds of published cases, each with what gives its values and how the
// table calls it.
var publishedAnalyses = []struct {
	kind, name string
	values     func(c *publishedCase, t *testing.T) []float64
	cases      int // in the file, so that none drops out in silence
}{
	{"linear", "linear", (*publishedCase).linear, 50},
	{"pdelta", "second order", (*publishedCase).secondOrder, 7},
	{"buckling", "critical loads", (*publishedCase).criticalLoads, 5},
	{"modal", "natural frequencies", (*publishedCase).frequencies, 6},
	{"plastic", "plastic collapse", (*publishedCase).collapseFactor, 6},
}

// publishedQuantities is how many values the file expects.
const publishedQuantities = 293

// compared is a value that a case expects, beside what was found.
type compared struct {
	*publishedValue
	want, got float64
}

// off returns the difference in tolerances.
func (v *compared) off() float64 { return math.Abs(v.got-v.want) / v.Tol }

// compare sets what was found beside what a case expects, in its units and, where the source
// has magnitudes only, without signs.
func (c *publishedCase) compare(t *testing.T, found []float64) []compared {
	var out []compared
	for i := range c.Expect {
		v := compared{&c.Expect[i], c.Expect[i].Value, found[i]}
		if v.Q.Abs {
			v.got, v.want = math.Abs(v.got), math.Abs(v.want)
		}
		if v.Q.Scale != 0 {
			v.got *= v.Q.Scale
		}
		t.Logf("%s: %.9g, want %.9g ± %.2g", v.Name, v.got, v.want, v.Tol)
		if !(v.off() <= 1) {
			t.Errorf("%s, %s: %s = %.9g, want %.9g ± %.2g (source: %s; %s)", c.ID, c.Description, v.Name, v.got, v.want, v.Tol, c.Source, c.Status)
		}
		out = append(out, v)
	}
	return out
}

// TestPublished runs every published case, each to its tolerance, and holds the table in
// DEVELOPERS.md against what they give.
func TestPublished(t *testing.T) {
	cases := publishedCases(t)
	var table strings.Builder
	ran, values := 0, 0
	for _, a := range publishedAnalyses {
		var rows strings.Builder
		n, quantities := 0, 0
		for i := range cases {
			if c := &cases[i]; c.Analysis.Type == a.kind {
				n++
				t.Run(c.ID, func(t *testing.T) {
					got := c.compare(t, a.values(c, t))
					quantities += len(got)
					rows.WriteString(c.row(got))
				})
			}
		}
		if n != a.cases {
			t.Errorf("%d cases of kind %s, want %d", n, a.kind, a.cases)
		}
		ran, values = ran+n, values+quantities
		fmt.Fprintf(&table, "\n%s, %d cases with %d values:\n\n| case | source | theirs | ours | difference |\n|---|---|---|---|---|\n%s",
			strings.ToUpper(a.name[:1])+a.name[1:], n, quantities, rows.String())
	}
	if ran != len(cases) || ran != 74 || values != publishedQuantities {
		t.Fatalf("%d of %d cases ran with %d values, want 74 and %d", ran, len(cases), values, publishedQuantities)
	}
	head := fmt.Sprintf("\nAll %d published cases with their %d values. The row of a case is its value that is furthest off,\nmeasured by its tolerance, in the case's own units; the tolerance comes from the digits the source prints.\n", ran, values)
	golden.CheckBlock(t, publishedTable, tableFrom, tableTo, head+table.String()+"\n")
}

// row returns the line of a case in the table: its value that is furthest off. Values that
// differ by rounding only are alike, so that the line is the same on every machine.
func (c *publishedCase) row(values []compared) string {
	worst := &values[0]
	for i := range values {
		if values[i].off() > worst.off()+1e-3 {
			worst = &values[i]
		}
	}
	theirs := worst.Printed
	if theirs == "" {
		theirs = fmt.Sprintf("%.6g", worst.want)
	}
	cell := func(s string) string { return strings.ReplaceAll(s, "|", "\\|") }
	return fmt.Sprintf("| %s: %s | %s | %s | %s | %s |\n", c.ID, cell(worst.Name), cell(c.Source), cell(theirs), worst.ours(), worst.difference())
}

// ours returns what was found; a zero that is found to rounding is one.
func (v *compared) ours() string {
	if v.want == 0 && v.off() < 1e-3 {
		return "0"
	}
	return fmt.Sprintf("%.6g", v.got)
}

// difference returns the relative difference to one digit; what differs by rounding differs by
// nothing.
func (v *compared) difference() string {
	if v.off() < 1e-3 {
		return "0 %"
	}
	if v.want == 0 {
		return fmt.Sprintf("%.1g", v.got)
	}
	return fmt.Sprintf("%.1g %%", 100*math.Abs(v.got/v.want-1))
}
