package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// PDF writes the report as pages of A4, or of Letter where people read US units: the tables of
// Text with their working and the drawings as the result has them. Caution C1 and the number of the page stand at the
// foot of each page. The same result gives the same bytes: the date of the document is that of the
// definition, written year-month-day, and else 1970-01-01.
func PDF(w io.Writer, r *check.Result, o TextOptions) error {
	faces, err := newTypeface()
	if err != nil {
		return err
	}
	p := &printer{r: r, units: o.Units, foldsTrails: true}
	p.sheet()
	sheets := newLeaves(faces, o.Units)
	sheets.print(p.titled())
	sheets.layOut()
	sheets.footings(r)
	return sheets.write(w, r)
}

// newLeaves returns pages of the size that readers of some units print on.
func newLeaves(faces *typeface, units quantity.System) *leaves {
	s := &leaves{faces: faces, width: 210, height: 297, top: 17}
	if units == quantity.US {
		s.width, s.height = 8.5*25.4, 11*25.4
	}
	const foot = 20
	s.left, s.bottom = (s.width-sheetWidth)/2, s.height-foot
	return s
}

// titled returns the blocks of a draft with the title, and what is said of it, before all else.
func (d *draft) titled() []block {
	from := slices.IndexFunc(d.blocks, func(b block) bool { return b.kind == titleBlock })
	if from < 0 {
		return d.blocks
	}
	to := from + 1
	for to < len(d.blocks) && d.blocks[to].kind == paragraphBlock {
		to++
	}
	return slices.Concat(d.blocks[from:to], d.blocks[:from], d.blocks[to:])
}

// print adds the blocks of a draft.
func (s *leaves) print(blocks []block) {
	title := ""
	for i := 0; i < len(blocks); {
		switch b := &blocks[i]; b.kind {
		case titleBlock:
			title = b.text
			s.title(shortened(title))
		case headingBlock:
			s.heading(b.text)
		case inputBlock:
			n := alike(blocks[i:])
			s.table(inputTable(blocks[i : i+n]))
			i += n
			continue
		case paragraphBlock:
			n := alike(blocks[i:])
			s.paragraphs(blocks[i : i+n])
			i += n
			continue
		case leadBlock:
			lead := kept(s.lines(s.faces.bold, bodyLetters, 2, 0, 0, "", b.text))
			lead[len(lead)-1].keeps = true
			s.add(lead...)
		case verdictBlock:
			s.verdict(b.label, b.text)
		case verbatimBlock:
			s.verbatim(b.text)
		case tableBlock:
			s.table(b.table)
			s.workings(b.table)
		case drawingBlock:
			s.draw(b.drawing, b.drawing.kindOf(title))
		}
		i++
	}
}

// kindOf is the title of a drawing without that of the report.
func (d *drawing) kindOf(title string) string {
	return strings.TrimSuffix(plain(d.title), ": "+title)
}

// alike is how many blocks at the beginning are of one kind, all with a label or none.
func alike(blocks []block) int {
	n := 1
	for n < len(blocks) && blocks[n].kind == blocks[0].kind && (blocks[n].label == "") == (blocks[0].label == "") && (blocks[n].label == "-") == (blocks[0].label == "-") {
		n++
	}
	return n
}

// paragraphs adds paragraphs that follow each other; labels stand in one column.
func (s *leaves) paragraphs(blocks []block) {
	hang := 0.0
	for i := range blocks {
		if label := blocks[i].label; label != "" {
			const most = 60
			hang = max(hang, min(s.labelFace(labelOf(label)).wide(labelOf(label), bodyLetters)+2, most))
		}
	}
	gap := 0.6
	if blocks[0].label == "" {
		gap = 1.2
	}
	for i := range blocks {
		label := labelOf(blocks[i].label)
		face := s.labelFace(label)
		s.add(s.lines(s.faces.regular, bodyLetters, gap, 0, hang, face.cut(face.printable(label), bodyLetters, hang), blocks[i].text)...)
	}
}

// labelOf is a label as it is printed.
func labelOf(label string) string {
	if label == "-" {
		return dash
	}
	return label
}

// verdict adds the verdict.
func (s *leaves) verdict(word, text string) {
	const size = 11 * point
	s.add(kept(s.lines(s.faces.bold, size, 0.6, 0, s.faces.bold.wide(word, size)+3, word, text))...)
}

// verbatim adds a line as it is; an empty one parts what is above from what is below.
func (s *leaves) verbatim(text string) {
	if strings.TrimSpace(text) == "" {
		s.add(box{gap: 1.2, ink: func(*leaf, paper) {}})
		return
	}
	const size = 8 * point
	s.add(s.lines(s.faces.mono, size, 0, 4, 0, "", text)...)
}

// workings adds the working of each check of a table below it.
func (s *leaves) workings(t *Table) {
	for i := range t.rows {
		w := t.rows[i].working
		if w == nil {
			continue
		}
		head := kept(s.lines(s.faces.bold, trailLetters, 3.5, 0, 0, "", w.heading()))
		head[len(head)-1].keeps = true
		s.mark(&head[0], 1, w.heading())
		s.add(head...)
		for _, under := range w.under {
			boxes := kept(s.lines(s.faces.regular, bodyLetters, 0, 0, 0, "", under))
			boxes[len(boxes)-1].keeps = true
			s.add(boxes...)
		}
		s.tableIn(w.table(), 7.4*point, 6.6*point, 6*point)
		if w.units != "" {
			s.add(s.lines(s.faces.regular, bodyLetters, 0.5, 0, 0, "", w.units)...)
		}
		s.add(s.lines(s.faces.bold, bodyLetters, 0.5, 0, 0, "", w.verdict)...)
	}
}

// footings puts a head and a foot on every page: title and verdict, C1 and the number of the page.
func (s *leaves) footings(r *check.Result) {
	regular, bold := s.faces.regular, s.faces.bold
	right := s.left + s.room()
	verdict := strings.ToUpper(string(r.Status))
	about := regular.cut(regular.printable(joined(", ", labelled("project ", r.Project), r.Date, r.Basis)), footLetters, 60)
	rest := regular.wide(about, footLetters) + bold.wide(verdict, footLetters) + 8
	title := regular.cut(regular.printable(r.Title), footLetters, s.room()-rest)
	for i, p := range s.all {
		y := s.top - 6
		p.printGrey(paper{s.left, y}, regular, footLetters, title)
		x := right - bold.wide(verdict, footLetters)
		p.print(paper{x, y}, bold, footLetters, verdict)
		p.printGrey(paper{x - 2.5 - regular.wide(about, footLetters), y}, regular, footLetters, about)
		y = s.bottom + 5
		p.rule(fine, paper{s.left, y}, paper{right, y})
		number := fmt.Sprintf("page %d of %d", i+1, len(s.all))
		y += footLetters * spacedLines
		p.print(paper{right - regular.wide(number, footLetters), y}, regular, footLetters, number)
		for _, line := range bold.wrap("C1 "+check.PreCheck, footLetters, s.room()-25) {
			p.print(paper{s.left, y}, bold, footLetters, line)
			y += footLetters * spacedLines
		}
	}
}

// write writes the pages as a document.
func (s *leaves) write(w io.Writer, r *check.Result) error {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: s.width, Ht: s.height}})
	doc.SetCatalogSort(true)
	dated := dateOf(r.Date)
	doc.SetCreationDate(dated)
	doc.SetModificationDate(dated)
	doc.SetProducer("", false)
	doc.SetCreator("stanchion", false)
	doc.SetLang("en-GB")
	doc.SetTitle(s.metadata(r.Title), true)
	doc.SetSubject(s.metadata(joined(", ", labelled("project ", r.Project), labelled("date ", r.Date), "basis "+r.Basis, "C1 "+check.PreCheck)), true)
	doc.SetAutoPageBreak(false, 0)
	doc.SetMargins(0, 0, 0)
	for _, f := range s.used() {
		doc.AddUTF8FontFromBytes(f.name, f.style, f.data)
	}
	pen := &pen{doc: doc, faces: s.faces}
	for _, p := range s.all {
		doc.AddPage()
		pen.page(p)
	}
	if err := doc.Output(w); err != nil {
		return fmt.Errorf("writing the pages: %w", err)
	}
	return nil
}

// used are the faces of which letters stand on a page.
func (s *leaves) used() (faces []*face) {
	faces = []*face{s.faces.regular, s.faces.bold}
	for _, p := range s.all {
		for i := range p.letters {
			if p.letters[i].face == s.faces.mono {
				return append(faces, s.faces.mono)
			}
		}
	}
	return faces
}

// metadata is text of a document's own entries, which hold signs of up to 16 bits.
func (s *leaves) metadata(text string) string {
	const most = 250
	letters := []rune(s.faces.regular.printable(text))
	if len(letters) > most {
		return string(letters[:most]) + "…"
	}
	return string(letters)
}

// dateOf is the date of a definition, and the first day of 1970 where it gives none or writes it
// some other way.
func dateOf(text string) time.Time {
	if date, err := time.Parse(time.DateOnly, strings.TrimSpace(text)); err == nil {
		return date
	}
	return time.Unix(0, 0).UTC()
}

// pen draws on a document.
type pen struct {
	doc   *fpdf.Fpdf
	faces *typeface
}

func (d *pen) page(p *leaf) {
	for _, b := range p.places {
		d.doc.SetFont(d.faces.regular.name, d.faces.regular.style, 1) // its signs are those of the text
		d.doc.Bookmark(b.text, b.level, b.y)
	}
	for _, r := range p.rules {
		d.doc.SetDrawColor(r.grey, r.grey, r.grey)
		d.doc.SetLineWidth(r.weight)
		d.doc.Line(r.from[0], r.from[1], r.to[0], r.to[1])
	}
	for i := range p.marks {
		d.mark(&p.marks[i])
	}
	for i := range p.drawings {
		d.drawing(&p.drawings[i])
	}
	for i := range p.letters {
		d.letters(&p.letters[i])
	}
}

func (d *pen) letters(l *printed) {
	grey := inkGrey
	if l.grey {
		grey = backGrey
	}
	d.doc.SetTextColor(grey, grey, grey)
	d.doc.SetFont(l.face.name, l.face.style, l.size/point)
	d.doc.Text(l.at[0], l.at[1], l.text)
}

// drawing draws the marks of a drawing at its place.
func (d *pen) drawing(h *hung) {
	for _, m := range h.marks {
		points := make([]paper, len(m.points))
		for i, p := range m.points {
			points[i] = paper{h.at[0] + p[0]*h.scale, h.at[1] + p[1]*h.scale}
		}
		m.points, m.weight, m.size = points, m.weight*h.scale, m.size*h.scale
		d.mark(&m)
	}
}

// mark draws one mark.
func (d *pen) mark(m *inked) {
	d.doc.SetDrawColor(inkGrey, inkGrey, inkGrey)
	d.doc.SetFillColor(inkGrey, inkGrey, inkGrey)
	d.doc.SetLineWidth(max(m.weight, fine/2))
	d.doc.SetLineJoinStyle("round")
	if len(m.dash) > 0 {
		d.doc.SetDashPattern(m.dash, 0)
		defer d.doc.SetDashPattern(nil, 0)
	}
	switch m.kind {
	case penLine:
		d.line(m.points)
	case outline:
		d.outline(m)
	case hatching:
		d.hatch(m.points, m.slant, hatchGap)
	case arrow:
		d.line(m.points)
		d.doc.Polygon(corners(m.head()), "F")
	case lettering:
		d.lettering(m)
	}
}

func (d *pen) line(points []paper) {
	for i, p := range points {
		if i == 0 {
			d.doc.MoveTo(p[0], p[1])
		} else {
			d.doc.LineTo(p[0], p[1])
		}
	}
	d.doc.DrawPath("D")
}

// outline draws a closed outline filled with its shade; one without weight is filled alone.
func (d *pen) outline(m *inked) {
	if m.shade == shadeOver {
		d.doc.Polygon(corners(m.points), "F")
		d.doc.SetDrawColor(255, 255, 255)
		d.doc.SetLineWidth(0.35)
		d.hatch(m.points, 45, 1.2)
		d.doc.SetDrawColor(inkGrey, inkGrey, inkGrey)
		d.doc.SetLineWidth(max(m.weight, fine/2))
	}
	style := ""
	if m.shade != unfilled && m.shade != shadeOver {
		grey := 255 - int(math.Round((255-inkGrey)*m.shade.opacity()))
		d.doc.SetFillColor(grey, grey, grey)
		style = "F"
	}
	if m.weight > 0 {
		style += "D"
	}
	if style != "" {
		d.doc.Polygon(corners(m.points), style)
	}
}

// hatch fills a closed outline with lines in the pen's colour, slanting by degrees upwards to the
// right, a gap apart. Lines of two outlines side by side go on in each other.
func (d *pen) hatch(points []paper, slant, gap float64) {
	if len(points) < 3 {
		return
	}
	d.doc.ClipPolygon(corners(points), false)
	sin, cos := math.Sincos(slant * math.Pi / 180)
	low, high := paper{math.Inf(1), math.Inf(1)}, paper{math.Inf(-1), math.Inf(-1)} // along and across the lines
	for _, p := range points {
		u, v := p[0]*cos-p[1]*sin, p[0]*sin+p[1]*cos
		low, high = paper{min(low[0], u), min(low[1], v)}, paper{max(high[0], u), max(high[1], v)}
	}
	for k := math.Ceil(low[1] / gap); k*gap <= high[1]; k++ {
		v := k * gap
		d.doc.Line(low[0]*cos+v*sin, -low[0]*sin+v*cos, high[0]*cos+v*sin, -high[0]*sin+v*cos)
	}
	d.doc.ClipEnd()
}

// lettering writes words of a drawing, squeezed to the width that the drawing keeps for them.
func (d *pen) lettering(m *inked) {
	f := d.faces.regular
	text := f.printable(m.text)
	size := m.size
	if wide, room := f.wide(text, size), lettersWide(m.text, size); wide > room && text == m.text {
		size *= room / wide
	}
	x, y := m.points[0][0], m.points[0][1]
	at := paper{x, y}
	switch m.anchor {
	case atMiddle:
		at[0] -= f.wide(text, size) / 2
	case atEnd:
		at[0] -= f.wide(text, size)
	}
	d.doc.SetTextColor(inkGrey, inkGrey, inkGrey)
	d.doc.SetFont(f.name, f.style, size/point)
	if m.turn == 0 {
		d.doc.Text(at[0], at[1], text)
		return
	}
	d.doc.TransformBegin()
	d.doc.TransformRotate(m.turn, x, y)
	d.doc.Text(at[0], at[1], text)
	d.doc.TransformEnd()
}

func corners(points []paper) []fpdf.PointType {
	out := make([]fpdf.PointType, len(points))
	for i, p := range points {
		out[i] = fpdf.PointType{X: p[0], Y: p[1]}
	}
	return out
}
