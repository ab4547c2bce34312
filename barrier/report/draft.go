package report

import (
	"bytes"
	"io"
	"strings"
)

// A report is made once, as a list of blocks in the order in which it is read, and written by
// one of several writers: as plain text, as Markdown, as HTML, as PDF. A block says what it is
// and not how it looks.
type draft struct {
	blocks []block
}

// block is one part of a draft.
type block struct {
	kind blockKind
	// text of a heading, of a paragraph, of one row of an indented listing.
	text string
	// label of a paragraph: "-" of an item of a list, "C1" of a caution, "PASS" of the verdict, the
	// name of an input; empty for none.
	label string
	// place of an input: its line in the file; 0 where that is not known.
	place int
	// first and further are how far plain text indents a paragraph: its first line, its label
	// included, and the others.
	first, further string
	table          *Table
	drawing        *drawing
}

type blockKind int

// The kinds of blocks.
const (
	titleBlock     blockKind = iota // the heading of the whole
	headingBlock                    // of what follows, up to the next
	paragraphBlock                  // broken into lines where its words allow
	leadBlock                       // a paragraph that says of what the next table is
	verdictBlock                    // a paragraph whose label is the verdict
	inputBlock                      // a paragraph of one input
	verbatimBlock                   // a line as it is; an empty one parts two blocks
	tableBlock
	drawingBlock // for paper: plain text has none
)

// title adds the heading of the whole.
func (d *draft) title(text string) {
	d.blocks = append(d.blocks, block{kind: titleBlock, text: plain(text)})
}

func (d *draft) heading(text string) {
	d.blocks = append(d.blocks, block{kind: headingBlock, text: plain(text)})
}

// words adds a paragraph with plain text's indents; what stands in the first beside spaces is
// its label.
func (d *draft) words(first, further, text string) {
	d.paragraph(paragraphBlock, first, further, text)
}

// paragraph adds a block of words, and returns it.
func (d *draft) paragraph(kind blockKind, first, further, text string) *block {
	d.blocks = append(d.blocks, block{kind: kind, text: text, label: strings.TrimSpace(first), first: first, further: further})
	return &d.blocks[len(d.blocks)-1]
}

// lead adds a sentence that says of what the next table is.
func (d *draft) lead(text string) { d.paragraph(leadBlock, "  ", "  ", text) }

func (d *draft) line(text string) {
	d.blocks = append(d.blocks, block{kind: verbatimBlock, text: plain(text)})
}

func (d *draft) table(t *Table) {
	d.blocks = append(d.blocks, block{kind: tableBlock, table: t})
}

func (d *draft) draw(drawing *drawing) {
	d.blocks = append(d.blocks, block{kind: drawingBlock, drawing: drawing})
}

// sentence adds a paragraph.
func (d *draft) sentence(text string) { d.words("  ", "  ", text) }

// item adds an item of a list.
func (d *draft) item(text string) { d.words("  - ", "    ", text) }

// writeText writes the draft in plain text.
func (d *draft) writeText(w io.Writer) error {
	var out bytes.Buffer
	var l layer
	for i := range d.blocks {
		switch b := &d.blocks[i]; b.kind {
		case titleBlock, headingBlock:
			if i > 0 {
				out.WriteByte('\n')
			}
			writeLine(&out, b.text)
		case paragraphBlock, leadBlock, verdictBlock, inputBlock:
			writeWords(&out, b.first, b.further, b.text)
		case verbatimBlock:
			writeLine(&out, b.text)
		case tableBlock:
			if err := b.table.textBy(&l, &out); err != nil {
				return err
			}
		}
	}
	_, err := w.Write(out.Bytes())
	return err
}
