package check

import (
	"testing"

	"example.com/stanchion/internal/verification"
)

// comparisons is a row of the record that a test writes.
type comparisons struct {
	t      *testing.T
	record *verification.Record
	row    verification.Row
}

// compared opens the part of the record of a test, with the row on which its comparisons stand.
func compared(t *testing.T, section, row string) comparisons {
	t.Helper()
	record := verification.New(t, section)
	return comparisons{t, record, record.Row(row)}
}

// on returns the comparisons of another row.
func (c comparisons) on(row string) comparisons {
	c.row = c.record.Row(row)
	return c
}

// near holds what the program gives against a value from outside, as [near] does, and puts both
// into the record. The source says how the value is known.
func (c comparisons) near(what string, got, want, tol float64, source string) {
	c.t.Helper()
	near(c.t, what, got, want, tol, source)
	c.row.Add(what, want, got, source)
}

// equal does the same for a value that is right to the digits of a result, as [equal] does.
func (c comparisons) equal(what string, got, want float64, how string) {
	c.t.Helper()
	equal(c.t, what, got, want, how)
	c.row.Add(what, want, got, how)
}
