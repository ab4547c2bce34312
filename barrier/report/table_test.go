package report

import (
	"strings"
	"testing"
)

// Cells stand under their heads: words left, numbers right, each sign as wide as a terminal
// shows it (Unicode Standard Annex 11: wide signs take two columns, combining ones none).
func TestTableStandsInColumns(t *testing.T) {
	table := NewTable(Words("name"), Numbers("length\nmm"), Words(""))
	table.Add("手すり", "5", "a")
	table.Add(" e\u0301tage ", "1200", "b\x07c")
	table.Note("a note")
	table.Add("short")
	var out strings.Builder
	if err := table.Text(&out); err != nil {
		t.Fatal(err)
	}
	const want = "" +
		"  name    length\n" +
		"              mm\n" +
		"  手すり       5  a\n" +
		"  e\u0301tage     1200  b c\n" +
		"      a note\n" +
		"  short\n"
	if out.String() != want {
		t.Errorf("the table is\n%swant\n%s", out.String(), want)
	}
}
