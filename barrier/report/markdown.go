package report

import (
	"io"
	"regexp"
	"strings"
	"sync"

	"example.com/stanchion/barrier/check"
)

// Markdown writes the report in GitHub-flavoured Markdown: the tables of Text as pipe tables, with the working of
// checks below them where the result has it. The notes of a row stand in the last column. Drawings are left out,
// and a line says so. What the user wrote is escaped: it neither ends a cell nor begins a heading, a link or HTML.
func Markdown(w io.Writer, r *check.Result, o TextOptions) error {
	p := &printer{r: r, units: o.Units, foldsTrails: true}
	p.sheet()
	m := &markdown{}
	m.blocks(p.titled())
	_, err := io.WriteString(w, m.out.String())
	return err
}

// markdown writes blocks, an empty line between two of them.
type markdown struct {
	out   strings.Builder
	title string
}

func (m *markdown) blocks(blocks []block) {
	for i := 0; i < len(blocks); {
		switch b := &blocks[i]; b.kind {
		case titleBlock:
			m.title = b.text
			m.part("# " + inline(m.title))
		case headingBlock:
			m.part("## " + inline(b.text))
		case verdictBlock:
			m.part("**" + inline(b.label) + "** " + inline(b.text))
		case leadBlock:
			m.part(opening(b.text))
		case inputBlock, paragraphBlock, verbatimBlock, drawingBlock:
			n := alike(blocks[i:])
			m.several(blocks[i : i+n])
			i += n
			continue
		case tableBlock:
			m.table(b.table)
			m.workings(b.table)
		}
		i++
	}
}

// part writes what stands by itself.
func (m *markdown) part(text string) {
	if text == "" {
		return
	}
	if m.out.Len() > 0 {
		m.out.WriteByte('\n')
	}
	m.out.WriteString(text)
	m.out.WriteByte('\n')
}

// several writes blocks of one kind that follow each other.
func (m *markdown) several(blocks []block) {
	switch blocks[0].kind {
	case inputBlock:
		m.table(inputTable(blocks))
	case verbatimBlock:
		m.verbatim(blocks)
	case drawingBlock:
		var names []string
		for i := range blocks {
			names = append(names, inline(blocks[i].drawing.kindOf(m.title)))
		}
		m.part("Left out here are the drawings, which the HTML and the PDF of this report have: " + strings.Join(names, "; ") + ".")
	default:
		m.paragraphs(blocks)
	}
}

// paragraphs writes paragraphs, and those with labels as a list.
func (m *markdown) paragraphs(blocks []block) {
	var items []string
	for i := range blocks {
		switch b := &blocks[i]; b.label {
		case "":
			m.part(opening(b.text))
		case "-":
			items = append(items, "- "+opening(b.text))
		default:
			items = append(items, "- **"+inline(b.label)+"** "+inline(b.text))
		}
	}
	m.part(strings.Join(items, "\n"))
}

// verbatim writes lines as code, fenced by more backticks than stand in them.
func (m *markdown) verbatim(blocks []block) {
	var lines []string
	fence := "```"
	for i := range blocks {
		if text := strings.TrimSpace(blocks[i].text); text != "" {
			lines = append(lines, text)
			for strings.Contains(text, fence) {
				fence += "`"
			}
		}
	}
	if len(lines) > 0 {
		m.part(fence + "\n" + strings.Join(lines, "\n") + "\n" + fence)
	}
}

// table writes a table; where rows have notes they stand in a column of their own.
func (m *markdown) table(t *Table) {
	if len(t.rows) == 0 {
		return
	}
	noted := false
	for i := range t.rows {
		noted = noted || len(t.rows[i].notes) > 0
	}
	var heads, rules []string
	for _, c := range t.columns {
		name, unit := c.named()
		heads = append(heads, inline(joined(", ", name, unit)))
		if c.left {
			rules = append(rules, ":---")
		} else {
			rules = append(rules, "---:")
		}
	}
	if noted {
		heads, rules = append(heads, "notes"), append(rules, ":---")
	}
	lines := []string{pipes(heads), pipes(rules)}
	for i := range t.rows {
		var cells []string
		for _, cell := range t.rows[i].cells {
			cells = append(cells, inline(cell))
		}
		if noted {
			cells = append(cells, inline(strings.Join(t.rows[i].notes, "; ")))
		}
		lines = append(lines, pipes(cells))
	}
	m.part(strings.Join(lines, "\n"))
}

func pipes(cells []string) string { return "| " + strings.Join(cells, " | ") + " |" }

// workings writes the working of each check of a table.
func (m *markdown) workings(t *Table) {
	for i := range t.rows {
		w := t.rows[i].working
		if w == nil {
			continue
		}
		m.part("### " + inline(w.heading()))
		for _, under := range w.under {
			m.part(opening(under))
		}
		m.table(w.table())
		if w.units != "" {
			m.part(opening(w.units))
		}
		m.part("**" + inline(w.verdict) + "**")
	}
}

// inline is text that Markdown shows as it is, in a paragraph, a heading or a cell.
func inline(text string) string {
	text = strings.TrimSpace(plain(strings.ToValidUTF8(text, "\uFFFD")))
	return marks().ReplaceAllStringFunc(text, func(found string) string {
		last := len(found) - 1
		return found[:last] + `\` + found[last:]
	})
}

// marks finds what Markdown would read as more than text: what begins code, emphasis, a link,
// HTML, an entity, a formula or a name, what ends a cell, and the colon or the full stop of an
// address that is made a link of itself.
var marks = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile("[\\\\`*_\\[\\]<>|&~$@]|:/|(?i:www)\\.")
})

// opening is inline text at the beginning of a line, where a heading, an item or a rule would begin.
func opening(text string) string {
	text = inline(text)
	digits := len(text) - len(strings.TrimLeft(text, "0123456789"))
	rest := text[digits:]
	begins := digits == 0 && strings.ContainsAny(text[:min(len(text), 1)], "-+=#")
	numbers := digits > 0 && (rest == "." || rest == ")" || strings.HasPrefix(rest, ". ") || strings.HasPrefix(rest, ") "))
	if begins || numbers {
		return text[:digits] + `\` + rest
	}
	return text
}
