package report

import (
	"bufio"
	"bytes"
	"html"
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	extast "github.com/yuin/goldmark/extension/ast"
	gmhtml "github.com/yuin/goldmark/renderer/html"
	gmtext "github.com/yuin/goldmark/text"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/golden"
	"example.com/stanchion/internal/quantity"
)

func markdownOf(t *testing.T, r *check.Result, o TextOptions) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Markdown(&out, r, o); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// read is a Markdown text as goldmark reads it, which knows nothing of how we write it.
type read struct {
	headings []string
	tables   [][][]string // rows of cells, the heads first
	kinds    map[ast.NodeKind]int
}

func readMarkdown(source []byte) read {
	parser := goldmark.New(goldmark.WithExtensions(extension.GFM)).Parser()
	found := read{kinds: map[ast.NodeKind]int{}}
	// A walk errs only where its function does.
	_ = ast.Walk(parser.Parse(gmtext.NewReader(source)), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		found.kinds[n.Kind()]++
		switch n.Kind() {
		case ast.KindHeading:
			found.headings = append(found.headings, said(n, source))
		case extast.KindTable:
			var rows [][]string
			for row := n.FirstChild(); row != nil; row = row.NextSibling() {
				var cells []string
				for cell := row.FirstChild(); cell != nil; cell = cell.NextSibling() {
					cells = append(cells, said(cell, source))
				}
				rows = append(rows, cells)
			}
			found.tables = append(found.tables, rows)
		}
		return ast.WalkContinue, nil
	})
	return found
}

// said is the text that a reader sees of a node.
func said(n ast.Node, source []byte) string {
	var out bytes.Buffer
	w := bufio.NewWriter(&out)
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if text, ok := n.(*ast.Text); ok && entering {
			gmhtml.DefaultWriter.Write(w, text.Segment.Value(source))
		}
		return ast.WalkContinue, nil
	})
	_ = w.Flush() // into memory
	return html.UnescapeString(out.String())
}

// Every cell comes back from a parser of GitHub's Markdown as it was: the GFM specification 0.29, 4.10.
func TestMarkdownTablesComeBack(t *testing.T) {
	for _, text := range append(hostile, `back\|slash`, `\`, "``` fence", "1. first", "- item", "&amp; &lt;", "a  b", "~~~", "https://l.example/x", "mail@l.example", "|", "<!--", "![i](x)") {
		r := withHostile(text)
		p := &printer{r: r, foldsTrails: true}
		p.sheet()
		var want []*Table
		for i := range p.blocks {
			if p.blocks[i].kind != tableBlock {
				continue
			}
			want = append(want, p.blocks[i].table)
			for _, row := range p.blocks[i].table.rows {
				if row.working != nil {
					want = append(want, row.working.table())
				}
			}
		}
		got := readMarkdown(markdownOf(t, r, TextOptions{}))
		k := 0
		for _, table := range want {
			if len(table.rows) == 0 {
				continue
			}
			if k >= len(got.tables) {
				t.Fatalf("%.20q: %d tables come back", text, k)
			}
			rows := got.tables[k]
			k++
			if len(rows) != len(table.rows)+1 {
				t.Errorf("%.20q: table %d has %d rows and comes back with %d", text, k, len(table.rows), len(rows)-1)
				continue
			}
			for i := range table.rows {
				for c, cell := range table.rows[i].cells {
					if shown := strings.TrimSpace(strings.ToValidUTF8(cell, "\uFFFD")); rows[i+1][c] != shown {
						t.Errorf("%.20q: cell %q comes back as %q", text, shown, rows[i+1][c])
					}
				}
				if notes := table.rows[i].notes; len(notes) > 0 {
					if shown := strings.TrimSpace(plain(strings.ToValidUTF8(strings.Join(notes, "; "), "\uFFFD"))); rows[i+1][len(table.columns)] != shown {
						t.Errorf("%.20q: note %.80q comes back as %.80q", text, shown, rows[i+1][len(table.columns)])
					}
				}
			}
		}
		if k+1 != len(got.tables) { // that of the inputs is made of blocks of its own
			t.Errorf("%.20q: %d tables come back of %d and the inputs", text, len(got.tables), k)
		}
		for _, kind := range []ast.NodeKind{ast.KindRawHTML, ast.KindHTMLBlock, ast.KindLink, ast.KindAutoLink, ast.KindImage, ast.KindCodeSpan, ast.KindCodeBlock, ast.KindFencedCodeBlock, extast.KindStrikethrough, ast.KindThematicBreak, ast.KindBlockquote} {
			if n := got.kinds[kind]; n > 0 {
				t.Errorf("%.20q: the text makes %d of %s", text, n, kind)
			}
		}
		if title := strings.TrimSpace(plain(text)); got.headings[0] != title {
			t.Errorf("the title %.40q comes back as %.40q", title, got.headings[0])
		}
	}
}

func TestMarkdownHasWhatTheTextHas(t *testing.T) {
	r, o := example(t, "kiln-walk")
	source := markdownOf(t, r, o)
	got := readMarkdown(source)
	for line := range strings.Lines(text(t, r, o.Units)) {
		line = strings.TrimRight(line, "\n")
		if line == "" || strings.HasPrefix(line, " ") || strings.HasPrefix(line, "basis") || strings.HasPrefix(line, "project") || strings.HasPrefix(line, "date") {
			continue
		}
		found := false
		for _, heading := range got.headings {
			found = found || heading == line || strings.HasPrefix(line, "Trail of ") && strings.HasPrefix(heading, line+", ")
		}
		if !found {
			t.Errorf("no heading of the Markdown is that of the text: %q", line)
		}
	}
	for _, want := range []string{check.PreCheck, "Left out here are the drawings"} {
		if !bytes.Contains(source, []byte(want)) {
			t.Errorf("the Markdown does not say %q", want)
		}
	}
	if n := got.kinds[ast.KindThematicBreak] + got.kinds[ast.KindHTMLBlock] + got.kinds[ast.KindRawHTML]; n > 0 {
		t.Errorf("the Markdown has %d nodes that nothing in it means", n)
	}
}

func TestMarkdownLayout(t *testing.T) {
	golden.Check(t, "testdata/fixture.md", markdownOf(t, worked(), TextOptions{Units: quantity.Metric}))
}
