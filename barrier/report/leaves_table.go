package report

import (
	"strings"

	"example.com/stanchion/barrier/check"
)

// tabled is a table as it is laid on pages: as wide as its cells, in smaller letters where that is
// more than the text has, with words broken where it still is.
type tabled struct {
	*leaves
	table  *Table
	size   float64 // of letters, mm
	widths []float64
	bars   int // the column of bars; -1 for none
}

// Room about cells, mm.
const (
	columnGap = 3.2
	barWidth  = 22.0
	noteDent  = 4.0
	// mostWord is how wide a word may make a column of words; longer ones are broken.
	mostWord = 38.0
)

// table adds a table; one that no letters are small enough for becomes a list of its rows.
func (s *leaves) table(t *Table) { s.tableIn(t, 8.5*point, 7.6*point, 6.8*point, 6*point) }

// tableIn adds a table in the first of some sizes of letters that it fits in.
func (s *leaves) tableIn(t *Table, sizes ...float64) {
	if len(t.columns) == 0 || len(t.rows) == 0 {
		return
	}
	for _, size := range sizes {
		laid := &tabled{leaves: s, table: t, size: size, bars: -1}
		if laid.fit() {
			laid.layRows()
			return
		}
	}
	s.records(t)
}

// fit finds the widths of the columns, and reports whether the text is as wide as they need.
func (l *tabled) fit() bool {
	columns := l.table.columns
	l.widths = make([]float64, len(columns))
	least := make([]float64, len(columns))
	most := l.room() - columnGap*float64(len(columns)-1)
	for c := range columns {
		if name, _ := columns[c].named(); name == scaleTo1 {
			l.bars = c
			l.widths[c], least[c] = barWidth, barWidth
			continue
		}
		l.widths[c], least[c] = l.needed(c)
	}
	if sum(least) > most {
		return false
	}
	if sum(l.widths) > most {
		l.widths = levelled(l.widths, least, most)
	}
	return true
}

func sum(values []float64) (total float64) {
	for _, v := range values {
		total += v
	}
	return total
}

// needed is how wide a column is with its cells in one line, and at least.
func (l *tabled) needed(c int) (whole, least float64) {
	bold, regular := l.faces.bold, l.faces.regular
	name, unit := l.table.columns[c].named()
	least = max(bold.longestWord(bold.printable(name), l.size), bold.wide(bold.printable(unit), l.size))
	const short = 18.0 // a head no wider than this stays on one line where there is room
	whole = max(least, min(bold.wide(bold.printable(name), l.size), short))
	for i := range l.table.rows {
		text := regular.printable(l.table.rows[i].cells[c])
		wide := regular.wide(text, l.size)
		whole = max(whole, wide)
		if l.table.columns[c].left {
			wide = min(regular.longestWord(text, l.size), mostWord)
		}
		least = max(least, wide)
	}
	return whole, least
}

// levelled narrows the widest columns to one width, none below its least, so that they have just
// the room that there is.
func levelled(whole, least []float64, room float64) []float64 {
	at := func(level float64) []float64 {
		widths := make([]float64, len(whole))
		for i := range whole {
			widths[i] = min(whole[i], max(least[i], level))
		}
		return widths
	}
	low, high := 0.0, room
	for range 40 {
		level := (low + high) / 2
		if sum(at(level)) <= room {
			low = level
		} else {
			high = level
		}
	}
	return at(low)
}

// wide is how wide the table is.
func (l *tabled) wide() float64 { return sum(l.widths) + columnGap*float64(len(l.widths)-1) }

// lineOf is one line of the cells of a row.
type lineOf struct {
	cells []string
	face  *face
}

// lines breaks the cells of a row into lines.
func (l *tabled) lines(f *face, cells []string) (lines []lineOf) {
	for c, cell := range cells {
		if c == l.bars || strings.TrimSpace(cell) == "" {
			continue
		}
		for i, text := range f.wrap(cell, l.size, l.widths[c]+1e-6) {
			if i == len(lines) {
				lines = append(lines, lineOf{make([]string, len(cells)), f})
			}
			lines[i].cells[c] = text
		}
	}
	if len(lines) == 0 {
		lines = append(lines, lineOf{make([]string, len(cells)), f})
	}
	return lines
}

// print puts a line of cells on a page, y its baseline.
func (l *tabled) print(p *leaf, x, y float64, line *lineOf) {
	for c, text := range line.cells {
		at, f := x, line.face
		if text == statusWord(check.Fail) {
			f = l.faces.bold
		}
		if !l.table.columns[c].left {
			at += l.widths[c] - f.wide(text, l.size)
		}
		p.print(paper{at, y}, f, l.size, text)
		x += l.widths[c] + columnGap
	}
}

// heads is the box of the heads, each at the foot of it, its unit below it.
func (l *tabled) heads() *box {
	columns := make([][]string, len(l.table.columns))
	deep := 0
	for c := range columns {
		name, unit := l.table.columns[c].named()
		if name != "" {
			columns[c] = l.faces.bold.wrap(name, l.size, l.widths[c]+1e-6)
		}
		if unit != "" {
			columns[c] = append(columns[c], l.faces.bold.printable(unit))
		}
		deep = max(deep, len(columns[c]))
	}
	lines := make([]lineOf, deep)
	for i := range lines {
		lines[i] = lineOf{make([]string, len(columns)), l.faces.bold}
		for c := range columns {
			if at := i - (deep - len(columns[c])); at >= 0 {
				lines[i].cells[c] = columns[c][at]
			}
		}
	}
	height := float64(deep)*l.size*spacedLines + 1.4
	return &box{gap: 1, height: height, keeps: true, ink: func(p *leaf, at paper) {
		for i := range lines {
			l.print(p, at[0], at[1]+l.size*(float64(i)*spacedLines+baseline), &lines[i])
		}
		y := at[1] + height - 0.7
		p.rule(medium, paper{at[0], y}, paper{at[0] + max(l.wide(), l.noted()), y})
	}}
}

// noted is how wide the table's notes make it.
func (l *tabled) noted() float64 {
	for i := range l.table.rows {
		if len(l.table.rows[i].notes) > 0 {
			return l.room()
		}
	}
	return 0
}

// mostKept is how high a row may be that is not parted by the end of a page, mm.
const mostKept = 60.0

// layRows adds the heads and the rows.
func (l *tabled) layRows() {
	heads := l.heads()
	l.add(*heads)
	parted := l.noted() > 0
	for i := range l.table.rows {
		boxes := l.row(&l.table.rows[i])
		if parted && i > 0 {
			boxes[0].gap = 0.9
			ink := boxes[0].ink
			boxes[0].ink = func(p *leaf, at paper) {
				p.parting(paper{at[0], at[1] - 0.4}, paper{at[0] + l.room(), at[1] - 0.4})
				ink(p, at)
			}
		}
		height := 0.0
		for b := range boxes {
			boxes[b].again = heads
			height += boxes[b].gap + boxes[b].height
		}
		if height <= mostKept {
			boxes = kept(boxes)
		}
		// No page ends with the heads and one row alone, nor begins with the last row alone.
		if more := len(l.table.rows) - 1 - i; more > 0 && height <= mostKept && (i == 0 || more == 1) {
			boxes[len(boxes)-1].keeps = true
		}
		l.add(boxes...)
	}
	l.add(box{height: 1, ink: func(*leaf, paper) {}})
}

// row makes the boxes of a row: its lines and its notes.
func (l *tabled) row(row *tableRow) (boxes []box) {
	lines := l.lines(l.faces.regular, row.cells)
	for i := range lines {
		boxes = append(boxes, box{height: l.size * spacedLines, ink: func(p *leaf, at paper) {
			l.print(p, at[0], at[1]+l.size*baseline, &lines[i])
			if i == 0 && l.bars >= 0 && row.utilisation != nil {
				x := at[0] + sum(l.widths[:l.bars]) + columnGap*float64(l.bars)
				p.bar(paper{x, at[1] + 0.22*l.size}, l.size*0.85, *row.utilisation)
			}
		}})
	}
	for _, note := range row.notes {
		const smaller = 0.94
		size := l.size * smaller
		for _, line := range l.faces.regular.wrap(note, size, l.room()-noteDent) {
			boxes = append(boxes, box{height: size * spacedLines, ink: func(p *leaf, at paper) {
				p.printGrey(paper{at[0] + noteDent, at[1] + size*baseline}, l.faces.regular, size, line)
			}})
		}
	}
	return boxes
}

// bar draws a utilisation against the length that stands for 1; what goes past it fills it.
func (p *leaf) bar(at paper, high, u float64) {
	frame := func(wide float64) []paper {
		return []paper{at, {at[0] + wide, at[1]}, {at[0] + wide, at[1] + high}, {at[0], at[1] + high}}
	}
	if full := min(max(u, 0), 1) * barWidth; full > 0 {
		p.marks = append(p.marks, inked{kind: outline, points: frame(full), shade: shadeOf(&u, "")})
	}
	p.marks = append(p.marks, inked{kind: outline, points: frame(barWidth), weight: fine})
}

// records adds the rows of a table as a list: of each its cells with their heads.
func (s *leaves) records(t *Table) {
	for i := range t.rows {
		row := &t.rows[i]
		s.add(s.lines(s.faces.regular, bodyLetters, 1, 0, 4, dash, t.record(row))...)
		for _, note := range row.notes {
			s.add(s.lines(s.faces.regular, bodyLetters, 0, 4, 0, "", note)...)
		}
	}
}

// record tells a row in words: of each cell that is not empty its head, value and unit.
func (t *Table) record(row *tableRow) string {
	var said []string
	for c, cell := range row.cells {
		name, unit := t.columns[c].named()
		if cell != "" && name != scaleTo1 {
			said = append(said, joined(" ", name, cell, unit))
		}
	}
	return strings.Join(said, "; ")
}
