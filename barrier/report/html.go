package report

import (
	"bytes"
	"cmp"
	"fmt"
	"html/template"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"example.com/stanchion/barrier/check"
)

// HTML writes the report as one page that needs nothing else: no script, no other file. Cautions,
// verdict, what holds it back, load path, drawings, posts, rails, fittings, feet, checks with
// their working folded under each, geometry, hand checks, what is open, assumptions, loads, inputs with
// their lines in the file, the other cautions, sources, self-check. It prints with all that is
// folded. The result was made with check.Options.Trails and Diagrams, which the page leaves out
// where they are not there, and o.Units are those of its words. The same result gives the same
// bytes.
func HTML(w io.Writer, r *check.Result, o TextOptions) error {
	p := &printer{r: r, units: o.Units, foldsTrails: true}
	p.sheet()
	var out bytes.Buffer
	if err := pages().ExecuteTemplate(&out, "report.html", p.page()); err != nil {
		return fmt.Errorf("writing HTML: %w", err)
	}
	_, err := w.Write(out.Bytes())
	return err
}

// sheet makes the draft of what is printed on sheets: that of Text, with the drawings, and each
// trail with its check.
func (p *printer) sheet() {
	for _, section := range []func(){
		p.topCautions, p.headline, p.verdict, p.governing, p.survey, p.loadPath, p.drawings, p.frames,
		p.path, p.posts, p.rails, p.braces, p.fittings, p.ends, p.feet, p.braceFeet, p.checks, p.geometry,
		p.handChecks, p.openItems, p.assumptions, p.loads, p.nature, p.expansion, p.inputs, p.otherCautions,
		p.sources, p.selfCheck,
	} {
		section()
	}
}

// reportPage is what the template of a report shows.
type reportPage struct {
	Title, Status string
	Lead          []string // what is said of the title
	Cautions      []labelledText
	Sections      []pageSection
}

type pageSection struct {
	ID, Head string
	Parts    []pagePart
}

// pagePart is one of its fields: a paragraph, the verdict with its words, a list, a definition list,
// lines of a file, a table or a drawing.
type pagePart struct {
	Text, Verdict string
	Items         []string
	Labels, Terms []labelledText
	Verbatim      string
	Table         *pageTable
	Figure        *pageFigure
}

type pageFigure struct {
	ID, Caption string
	Drawing     template.HTML // our own, in which all text is escaped
}

// page lays a draft out as a page.
func (d *draft) page() *reportPage {
	l := pageLayout{ids: pageIDs{"main": 1, "cautions": 1}}
	for i := 0; i < len(d.blocks); {
		i += l.block(d.blocks[i:])
	}
	l.link()
	return &l.page
}

// pageLayout is a page as it is laid out.
type pageLayout struct {
	page    reportPage
	title   string // of the barrier, whole
	ids     pageIDs
	lead    string // the caption of the next table; empty for none
	topped  bool   // the title is there
	checks  []toldCheck
	leading []leadingCell
}

// toldCheck is a row of the page that tells a check.
type toldCheck struct {
	row *check.CheckRow
	id  string
}

// leadingCell is a cell that leads to the row of a check.
type leadingCell struct {
	cell *pageCell
	to   *check.CheckRef
}

// block takes the first of some blocks, with those that belong to it, and returns their number.
func (l *pageLayout) block(blocks []block) int {
	switch b := &blocks[0]; b.kind {
	case titleBlock:
		l.title = onPage(b.text)
		l.page.Title, l.topped = cmp.Or(shortened(l.title), "Barrier without a title"), true
	case headingBlock:
		if !l.topped { // the cautions, which stand above the title
			n := runOf(blocks[1:])
			l.page.Cautions = labelledTexts(blocks[1 : 1+n])
			return 1 + n
		}
		l.section(b.text, blocks[1:])
	case leadBlock:
		l.lead = strings.TrimRight(onPage(b.text), ":")
	case verdictBlock:
		l.page.Status = strings.ToLower(b.label)
		l.add(pagePart{Verdict: strings.ToLower(b.label), Text: onPage(b.text)})
	case inputBlock:
		n := countWhile(blocks, func(b *block) bool { return b.kind == inputBlock })
		l.table(inputTable(blocks[:n]))
		return n
	case verbatimBlock:
		return l.verbatim(blocks)
	case tableBlock:
		l.table(b.table)
	case drawingBlock:
		id := l.ids.of("drawing " + b.drawing.title)
		l.add(pagePart{Figure: &pageFigure{id, strings.TrimSuffix(onPage(b.drawing.title), ": "+l.title), template.HTML(bytes.TrimSpace(b.drawing.svg(id + "-svg")))}})
	case paragraphBlock:
		return l.paragraphs(blocks)
	}
	return 1
}

// section begins a section, or goes on with one of the same name. A heading is parted at its colon: the
// rest is the caption of the table that follows, or else a paragraph.
func (l *pageLayout) section(heading string, blocks []block) {
	head, rest, parted := strings.Cut(onPage(heading), ": ")
	if last := len(l.page.Sections) - 1; last < 0 || l.page.Sections[last].Head != head {
		l.page.Sections = append(l.page.Sections, pageSection{ID: l.ids.of(head), Head: head})
	}
	l.lead = head
	if !parted {
		return
	}
	rest = strings.ToUpper(rest[:1]) + rest[1:]
	n := countWhile(blocks, func(b *block) bool { return b.kind == paragraphBlock && b.label == "" })
	if n < len(blocks) && blocks[n].kind == tableBlock {
		l.lead = rest
	} else {
		l.add(pagePart{Text: rest + "."})
	}
}

func (l *pageLayout) add(part pagePart) {
	if len(l.page.Sections) == 0 {
		return
	}
	s := &l.page.Sections[len(l.page.Sections)-1]
	s.Parts = append(s.Parts, part)
}

// table puts a table under its caption.
func (l *pageLayout) table(t *Table) {
	s := &l.page.Sections[len(l.page.Sections)-1]
	out := l.ids.tableOnPage(t)
	out.Caption = l.lead
	if out.Unseen = out.Caption == s.Head; !out.Unseen {
		out.Section = s.ID
	}
	out.ID = l.ids.of("table " + s.Head)
	for i := range t.rows {
		row := &t.rows[i]
		if row.isA != nil {
			out.Rows[i].ID = l.ids.of("check " + row.isA.ID + " " + row.isA.Element)
			l.checks = append(l.checks, toldCheck{row.isA, out.Rows[i].ID})
		}
		if row.leads != nil {
			l.leading = append(l.leading, leadingCell{&out.Rows[i].Cells[1], row.leads})
		}
	}
	l.add(pagePart{Table: out})
}

// link leads from what governs to the row that tells it.
func (l *pageLayout) link() {
	for _, leading := range l.leading {
		at := slices.IndexFunc(l.checks, func(told toldCheck) bool { return leading.to.Names(told.row) })
		if at >= 0 {
			leading.cell.Link = l.checks[at].id
		}
	}
}

// paragraphs takes a paragraph, or those of one list.
func (l *pageLayout) paragraphs(blocks []block) int {
	b := &blocks[0]
	switch {
	case !l.topped: // between cautions and title stands nothing
		return 1
	case len(l.page.Sections) == 0:
		l.page.Lead = append(l.page.Lead, onPage(b.text))
		return 1
	case b.label == "":
		l.add(pagePart{Text: onPage(b.text)})
		return 1
	}
	n := runOf(blocks)
	all := labelledTexts(blocks[:n])
	switch {
	case countWhile(blocks[:n], func(b *block) bool { return b.label == "-" }) == n:
		var part pagePart
		for _, item := range all {
			part.Items = append(part.Items, item.Text)
		}
		l.add(part)
	case isCaution(b):
		l.add(pagePart{Labels: all})
	default:
		l.add(pagePart{Terms: all})
	}
	return n
}

// verbatim takes lines as they are, up to an empty one.
func (l *pageLayout) verbatim(blocks []block) int {
	n := countWhile(blocks, func(b *block) bool { return b.kind == verbatimBlock })
	var lines []string
	for i := range blocks[:n] {
		lines = append(lines, strings.TrimSpace(blocks[i].text))
	}
	if text := strings.Trim(strings.Join(lines, "\n"), "\n"); text != "" {
		l.add(pagePart{Verbatim: text})
	}
	return n
}

// runOf is how many blocks at the start are labelled paragraphs, which make one list.
func runOf(blocks []block) int {
	return countWhile(blocks, func(b *block) bool { return b.kind == paragraphBlock && b.label != "" })
}

func countWhile(blocks []block, holds func(*block) bool) int {
	n := 0
	for n < len(blocks) && holds(&blocks[n]) {
		n++
	}
	return n
}

// isCaution says whether a paragraph's label is that of a caution.
func isCaution(b *block) bool { return cautionLabel().MatchString(b.label) }

var cautionLabel = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^C[0-9]+$`) })

func labelledTexts(blocks []block) (all []labelledText) {
	for i := range blocks {
		label := onPage(blocks[i].label)
		if label == "-" {
			label = "\u2013"
		}
		all = append(all, labelledText{label, onPage(blocks[i].text)})
	}
	return all
}

// inputTable is the inputs as a table.
func inputTable(blocks []block) *Table {
	t := NewTable(Numbers("line"), Words("key"), Words("as read"))
	for i := range blocks {
		line := "-"
		if blocks[i].place > 0 {
			line = strconv.Itoa(blocks[i].place)
		}
		t.Add(line, blocks[i].label, blocks[i].text)
	}
	return t
}

// shortened cuts a title that nobody reads to its end.
func shortened(title string) string {
	const most = 200 // letters
	letters := []rune(title)
	if len(letters) <= most {
		return title
	}
	return fmt.Sprintf("%s ... (%d characters in all; whole in the JSON)", strings.TrimSpace(string(letters[:most])), len(letters))
}
