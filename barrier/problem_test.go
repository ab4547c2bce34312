package barrier

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// TestProblemWithoutPlace is what is told where the scanner and the toml package do not
// agree: the path, and no line rather than a wrong one.
func TestProblemWithoutPlace(t *testing.T) {
	r := &reader{def: &Definition{File: "gallery.toml"}}
	root, ok := r.parse("basis = \"EN\"\n[post]\nheight = 1100\n[[rail]]\nname = \"top\"\n")
	if !ok {
		t.Fatal(r.problems)
	}
	r.locator.distrust()
	r.definition(root)
	r.problems.setPositions(r.locator)
	r.problems.Sort()
	text := r.problems.Error()
	for _, want := range []string{
		"gallery.toml: post.height: quantity has no unit: 1100\n  fix: write \"1100 mm\"",
		"gallery.toml: rail[0]: height is missing\n  fix: ",
		"gallery.toml: [run] is missing\n  fix: ",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	if strings.Contains(text, "^") {
		t.Errorf("a caret without a place in\n%s", text)
	}
	want := []Input{{"basis", "EN", 0}, {"post.height", "1100", 0}, {"rail[0].name", "top", 0}}
	if got := r.def.Inputs; len(got) != 3 || got[0] != want[0] || got[1] != want[1] || got[2] != want[2] {
		t.Errorf("inputs = %v, want %v", got, want)
	}
}

// TestProblemFoundLater is a problem that shows only after the file was read: it stands
// at the key, at the inline table, or at the first key that the path begins.
func TestProblemFoundLater(t *testing.T) {
	data, err := os.ReadFile("testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	const named = `tube   = "EN 10255 DN40 medium"`
	if !strings.Contains(string(data), named) {
		t.Fatalf("the example has no %s", named)
	}
	for _, c := range []struct{ written, caret string }{
		{named, `"EN 10255 DN40 medium"`},
		{`tube = { od = "48.3 mm", wall = "3.2 mm" }`, `{ od = "48.3 mm", wall = "3.2 mm" }`},
		{"tube.od = \"48.3 mm\"\ntube.wall = \"3.2 mm\"", "tube.od"},
	} {
		source := strings.Replace(string(data), named, c.written, 1)
		d, err := Parse("gallery.toml", []byte(source))
		if err != nil {
			t.Fatal(err)
		}
		before, _, _ := strings.Cut(source, c.written)
		row, _, _ := strings.Cut(c.written, "\n")
		line, col := 1+strings.Count(before, "\n"), strings.Index(row, c.caret)
		want := fmt.Sprintf("gallery.toml:%d:%d: post.tube: too thin\n  %d | %s\n     | %s%s\n     fix: a thicker wall",
			line, col+1, line, row, strings.Repeat(" ", col), strings.Repeat("^", len(c.caret)))
		if got := d.Problem("post.tube", "too thin", "a thicker wall").Error(); got != want {
			t.Errorf("got\n%s\nwant\n%s", got, want)
		}
		if got := d.Problem("post.net", "unknown", "").Error(); got != "gallery.toml: post.net: unknown" {
			t.Errorf("without a place: %q", got)
		}
	}
	if got := (&Definition{File: "a.toml"}).Problem("post.tube", "too thin", "").Error(); got != "a.toml: post.tube: too thin" {
		t.Errorf("of a definition that was not read: %q", got)
	}
}

// TestLargeFileThatIsNoText asks whether a large file is a definition at all.
func TestLargeFileThatIsNoText(t *testing.T) {
	const text = "# Geländer\n"
	long := strings.Repeat(text, 1+MaxFileSize/len(text))
	for _, c := range []struct{ name, source, want string }{
		{"text", long, "split the barrier"},
		{"text with a character across the end of what is looked at", strings.Repeat("a", 4095) + "ä" + long, "split the barrier"},
		{"NUL at the end", long + "\x00", "is this a TOML definition?"},
		{"no UTF-8 at the start", "\x7fELF\xff" + long, "is this a TOML definition?"},
	} {
		_, err := Parse("x.toml", []byte(c.source))
		if err == nil || !strings.Contains(err.Error(), "more than 4 MiB") || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: the error does not say %q: %.300v", c.name, c.want, err)
		}
	}
}

// TestProblems checks order, the empty list, and what a Problem alone says.
func TestProblems(t *testing.T) {
	var p Problems
	if p.Err() != nil {
		t.Error("no problems are an error")
	}
	p.Add(&Problem{Pos: Position{"a.toml", 12, 1}, What: "third"})
	p.Add(&Problem{Pos: Position{"a.toml", 3, 9}, What: "second"})
	p.Add(&Problem{Pos: Position{File: "a.toml"}, Path: "run", What: "first"})
	p.Sort()
	if p[0].What != "first" || p[1].What != "second" || p[2].What != "third" || p.Err() == nil {
		t.Errorf("order %v", p)
	}
	if got := p[0].Error(); got != "a.toml: run: first" {
		t.Errorf("without a place: %q", got)
	}
	if got := p[1].Pos.String(); got != "a.toml:3:9" {
		t.Errorf("position %q", got)
	}
}

// TestHostileText gives texts that cost a careless reader minutes or its stack; the
// test is that each returns, with the reason.
func TestHostileText(t *testing.T) {
	long := func(unit string) string { return strings.Repeat(unit, (MaxFileSize-100)/len(unit)) }
	for _, c := range []struct{ name, text, want string }{
		{"key of many parts", "a" + long(".a") + " = 1", "nested more than"},
		{"table of many parts", "[a" + long(".a") + "]", "nested more than"},
		{"nested lists", "x = " + strings.Repeat("[", 19_000), "nested more than"},
		{"many brackets", long("#["), "lists and tables"},
		{"list of many", "x = [" + long("1,") + "]", "keys and values"},
		{"long tube", "[post]\ntube = \"" + long("EN ") + "\"", "a name of"},
		{"long grade", "[post]\ntube = \"EN 10255 DN40 medium\"\ngrade = \"" + long("S ") + "\"", "a name of"},
		{"long schedule", "[[load]]\nschedule = \"" + long("EN ") + "\"", "a name of"},
		{"long key", "\"" + long("k") + "\" = 1", "unknown key"},
		{"long number", "[run]\nlength = \"" + long("1") + " m\"", "too long"},
	} {
		_, err := Parse("x.toml", []byte(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: the error does not say %q: %.300v", c.name, c.want, err)
		}
	}
}

func TestNearest(t *testing.T) {
	names := []string{"length", "spacing", "posts", "start", "end", "toe_plate"}
	for _, c := range []struct{ typed, want string }{
		{"lenght", "length"}, {"Spacing", "spacing"}, {"post", "posts"}, {"toe-plate", "toe_plate"},
		{"ned", "end"}, {"colour", ""}, {"x", ""}, {strings.Repeat("length", 1000), ""},
	} {
		if got, _ := likely(c.typed, names); got != c.want {
			t.Errorf("likely(%.20q) = %q, want %q", c.typed, got, c.want)
		}
	}
}
