package verification

import "strings"

// Row is a row of the record, on which a test puts comparisons of one kind, each with a source of its own.
// One source for them all is a [Sourced].
type Row struct {
	record *Record
	name   string
}

// Row returns the row of a name.
func (r *Record) Row(name string) Row { return Row{r, name} }

// Add puts a comparison on the row. The source says how its value is known, as [KnownBy] reads it.
func (w Row) Add(what string, theirs, ours float64, source string) {
	w.record.t.Helper()
	w.record.From(w.name, source, KnownBy(source)).Add(what, theirs, ours)
}

// KnownBy reads from a source how its value is known, by the weakest of the words in it. A source without
// one is a formula that is worked out beside the check.
func KnownBy(source string) Provenance {
	for _, known := range []struct {
		word       string
		provenance Provenance
	}{
		{"memory", Memory},
		{"common practice", Practice},
		{"independent", Program},
		{"derived", Derived},
		{"public", Public},
	} {
		if strings.Contains(source, known.word) {
			return known.provenance
		}
	}
	return Derived
}
