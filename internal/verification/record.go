package verification

import (
	"bytes"
	"encoding/csv"
	"flag"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/internal/golden"
)

// columns of a part of the record.
var columns = []string{"section", "row", "case", "source", "provenance", "theirs", "ours"}

// Record is the part of the record that one test writes.
type Record struct {
	t       testing.TB
	section string
	rows    [][]string
}

// New opens the part of the record that belongs to a test, under a section of [Sections]. When the
// test ends well the part is held to testdata/verification/NAME.csv, where NAME is that of the test.
func New(t testing.TB, section string) *Record {
	t.Helper()
	if strings.Contains(t.Name(), "/") {
		t.Fatalf("a part of the record belongs to a whole test, not to %s", t.Name())
	}
	if sectionIndex(section) < 0 {
		t.Fatalf("the record has no section %q", section)
	}
	r := &Record{t: t, section: section}
	t.Cleanup(r.hold)
	return r
}

// Add puts a comparison into the record.
func (r *Record) Add(c Comparison) {
	r.t.Helper()
	if wrong := c.judge(); wrong != "" {
		r.t.Error(wrong)
		return
	}
	r.rows = append(r.rows, []string{r.section, c.Row, c.Case, c.Source, string(c.Provenance), printed(c.Theirs), printed(c.settled())})
}

// Sourced is a row of a part whose comparisons have their source in common.
type Sourced struct {
	record     *Record
	Name       string
	Source     string
	Provenance Provenance
}

// From opens a row of the part whose comparisons are from one source, or goes on with one.
func (r *Record) From(name, source string, known Provenance) *Sourced {
	return &Sourced{r, name, source, known}
}

// Add puts a comparison into the row.
func (w *Sourced) Add(what string, theirs, ours float64) {
	w.record.t.Helper()
	w.record.Add(Comparison{Row: w.Name, Case: what, Source: w.Source, Provenance: w.Provenance, Theirs: theirs, Ours: ours})
}

// Within puts a comparison into the row and fails the test unless ours is within a tolerance of
// theirs.
func (w *Sourced) Within(tolerance float64, what string, theirs, ours float64) {
	w.record.t.Helper()
	w.Add(what, theirs, ours)
	if !(math.Abs(ours-theirs) <= tolerance) {
		w.record.t.Errorf("%s, %s: %.9g, want %.9g within %g (source: %s)", w.Name, what, ours, theirs, tolerance, w.Source)
	}
}

// onlySomeSubtests reports whether -run picks among the subtests of a test, which then has not
// all of its part.
func onlySomeSubtests() bool {
	run := flag.Lookup("test.run")
	return run != nil && strings.Contains(run.Value.String(), "/")
}

// hold compares the part with what the record has.
func (r *Record) hold() {
	if r.t.Failed() || r.t.Skipped() || onlySomeSubtests() {
		return
	}
	if len(r.rows) == 0 {
		r.t.Error("nothing was put into the record")
		return
	}
	slices.SortFunc(r.rows, slices.Compare) // whatever the order in which they came
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	if err := w.WriteAll(append([][]string{columns}, r.rows...)); err != nil {
		r.t.Error(err)
	}
	golden.Check(r.t, filepath.Join("testdata", "verification", r.t.Name()+".csv"), out.Bytes())
}
