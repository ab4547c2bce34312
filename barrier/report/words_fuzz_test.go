package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/yuin/goldmark/ast"
	xhtml "golang.org/x/net/html"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// FuzzWords puts words of the user's own into a file: its title, the name of a rail and that of a
// load. Whatever they are, every format is written, is read back by a library that is not ours, and
// has the structure that plain words give it.
func FuzzWords(f *testing.F) {
	for _, words := range []string{
		"plain", "<script>alert(1)</script>", "</title>", "]]>", "&amp; &lt;", "a | b", "`a` *b* _c_ ~d~", "# head", "[a](b)", "![a](b)", "- a", "1. a", "> a", "<!--", "|---|", `\`, `a\|b`,
		"=1+1", "@sum", "'", `"`, "{{.Title}}", "%s %d", "\u202egnal", "\U0001f6a7 work", "e\u0301", "表", "\u00a0", "-", "..", "a,b;c", "$x^2$", "www.example.com", "  two  ",
	} {
		f.Add(words)
	}
	plain := wordsIn(f, "plain")
	f.Fuzz(func(t *testing.T, words string) {
		const most = 60 // characters: beyond, words break into lines
		if len([]rune(words)) > most {
			return
		}
		d, err := barrier.Parse("words.toml", []byte(withWords(words)))
		if err != nil {
			return // refused: control characters, a name that is there twice
		}
		got := structureOf(t, d)
		for format, want := range plain {
			if !maps.Equal(got[format], want) {
				t.Errorf("%q changes the structure of %s from %v to %v", words, format, want, got[format])
			}
		}
	})
}

// withWords is the text of a small barrier with words of the user's own.
func withWords(words string) string {
	quoted, _ := json.Marshal(words) // a text in JSON is one in TOML
	return fmt.Sprintf(`title = %[1]s
basis = "EN"
[run]
length = "3 m"
spacing = "1.5 m"
toe_plate = "none"
[post]
tube = "EN 10255 DN40 medium"
grade = "S195T"
height = "1100 mm"
[post.base]
stiffness = "150 kNm/rad"
[[rail]]
name = %[1]s
height = "1100 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
splices = "none"
[[load]]
name = %[1]s
kind = "line"
value = "0.36 kN/m"
direction = "outward"
[limits]
deflection = "25 mm"
[scope]
leave_out = ["fitting", "base"]
`, quoted)
}

func wordsIn(t testing.TB, words string) map[string]map[string]int {
	d, err := barrier.Parse("words.toml", []byte(withWords(words)))
	if err != nil {
		t.Fatal(err)
	}
	return structureOf(t, d)
}

// structureOf writes a barrier in every format and returns what each is made of, as its reader has it.
func structureOf(t testing.TB, d *barrier.Definition) map[string]map[string]int {
	r, err := check.Run(d, check.Options{Diagrams: true, Units: quantity.Metric})
	if err != nil {
		t.Fatal(err)
	}
	written := func(write func(io.Writer) error) []byte {
		var out bytes.Buffer
		if err := write(&out); err != nil {
			t.Fatalf("%q: %v", d.Title, err)
		}
		return out.Bytes()
	}
	o := TextOptions{Units: quantity.Metric}
	text := written(func(w io.Writer) error { return Text(w, r, o) })
	if bytes.ContainsFunc(text, func(c rune) bool { return c != '\n' && unicode.IsControl(c) }) {
		t.Errorf("%q: the text holds control characters", d.Title)
	}
	written(func(w io.Writer) error { return PDF(w, r, o) })
	out := map[string]map[string]int{
		"JSON":     keysOf(t, written(func(w io.Writer) error { return JSON(w, r) })),
		"HTML":     elementsOf(t, written(func(w io.Writer) error { return HTML(w, r, o) })),
		"Markdown": nodesOf(written(func(w io.Writer) error { return Markdown(w, r, o) })),
		"SVG":      tagsOf(t, written(func(w io.Writer) error { return DrawingSVG(w, r, "elevation", o) })),
	}
	for _, table := range []string{"rails", "checks", "loads"} {
		out["table "+table] = recordsOf(t, written(func(w io.Writer) error { return TableCSV(w, d.Title, r, table) }))
	}
	return out
}

// keysOf counts the keys of an object and of the first of each of its lists, but for the inputs.
func keysOf(t testing.TB, data []byte) map[string]int {
	var r map[string]any
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	found := map[string]int{}
	for key, value := range r {
		found[key]++
		if list, ok := value.([]any); ok {
			found[key] += len(list)
		}
	}
	return found
}

// elementsOf returns the elements of a page with the names of their attributes, each once. Whether a
// drawing tells how long its words are depends on their letters.
func elementsOf(t testing.TB, data []byte) map[string]int {
	root, err := xhtml.Parse(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]int{}
	for n := range root.Descendants() {
		if n.Type == xhtml.TextNode {
			continue
		}
		var names []string
		for _, a := range n.Attr {
			if n.Data == "text" && (a.Key == "textLength" || a.Key == "lengthAdjust") {
				continue
			}
			names = append(names, a.Key)
		}
		slices.Sort(names)
		found[strconv.Itoa(int(n.Type))+" "+n.Data+" "+strings.Join(names, " ")] = 1
	}
	return found
}

// nodesOf counts the nodes of a Markdown text, but for texts and links that a reader makes by itself.
func nodesOf(data []byte) map[string]int {
	found := map[string]int{}
	for kind, n := range readMarkdown(data).kinds {
		if kind != ast.KindText && kind != ast.KindAutoLink {
			found[kind.String()] = n
		}
	}
	return found
}

// tagsOf returns the elements of a drawing, each once.
func tagsOf(t testing.TB, data []byte) map[string]int {
	found := map[string]int{}
	for decoder := xml.NewDecoder(bytes.NewReader(data)); ; {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			return found
		}
		if err != nil {
			t.Fatal(err)
		}
		if start, ok := token.(xml.StartElement); ok {
			found[start.Name.Local] = 1
		}
	}
}

// readsAsQuantity reports whether a cell is read as a quantity of any dimension.
func readsAsQuantity(cell string) bool {
	for d := quantity.Length; d <= quantity.CoatingMass; d++ {
		if _, err := quantity.Parse(cell, d); err == nil {
			return true
		}
	}
	return false
}

// recordsOf counts the records of a table and its cells, none of which a spreadsheet would run.
func recordsOf(t testing.TB, data []byte) map[string]int {
	reader := csv.NewReader(bytes.NewReader(data))
	reader.Comment = '#'
	records, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	cells := 0
	for _, record := range records {
		cells += len(record)
		for _, cell := range record {
			if _, err := strconv.ParseFloat(cell, 64); err != nil && cell != "" && strings.ContainsAny(cell[:1], "=+-@\t\r") {
				if !readsAsQuantity(cell) {
					t.Errorf("a spreadsheet would run %q", cell)
				}
			}
		}
	}
	return map[string]int{"records": len(records), "cells": cells}
}
