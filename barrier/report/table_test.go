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

// However narrow the lines, a number stays with its unit, a place with its letter and a factor with
// its load; other words part. No line is wider than it may be but for what stays together (common
// practice of setting quantities).
func TestQuantitiesAreNotBroken(t *testing.T) {
	const text = "posts of 12 kN/m stand at x = 1.5 m under 1.6 Lr there, not 3 times 1.5 kip-ft/rad or (y = 2 in)"
	whole := []string{"12 kN/m", "x = 1.5 m", "1.6 Lr", "1.5 kip-ft/rad", "(y = 2 in)"}
	for width := 1; width <= len(text); width++ {
		lines := wrap(text, width)
		if got := strings.Join(lines, " "); got != text {
			t.Fatalf("at %d columns the text is %q", width, got)
		}
		for _, part := range whole {
			if !strings.Contains(strings.Join(lines, "\n"), part) {
				t.Errorf("at %d columns %q is broken: %q", width, part, lines)
			}
		}
		for _, line := range lines {
			if len(line) > width && strings.Contains(line, " ") && !strings.Contains("posts of "+strings.Join(whole, ""), line) {
				t.Errorf("at %d columns a line is %q", width, line)
			}
		}
	}
	if lines := wrap("3 times", 1); len(lines) != 2 {
		t.Errorf("words that are no unit stay together: %q", lines)
	}
}
