package report

import (
	"math"
	"strings"
	"sync"
	"unicode"

	"gonum.org/v1/plot/font"

	"example.com/stanchion/internal/quantity"
)

// How every drawing looks, mm of paper: a sheet as wide as A4 and Letter leave it, three pens and
// three sizes of letters.
const (
	sheetWidth  = 180.0
	sheetHeight = 235.0 // at most

	fine, medium, bold = 0.18, 0.3, 0.6

	smallLetters, letterSize, headLetters = 2.3, 2.7, 3.6
	lineFeed                              = 1.35 // from line to line, over the size of letters
)

// paper is a place on paper, mm.
type paper = [2]float64

// newDrawing begins a drawing. A title that is longer than anybody reads is cut.
func newDrawing(title string) *drawing {
	const most = 200
	if letters := []rune(title); len(letters) > most {
		title = string(letters[:most]) + "…"
	}
	return &drawing{title: title, width: sheetWidth}
}

// line draws an open line.
func (d *drawing) line(weight float64, points ...paper) {
	d.marks = append(d.marks, inked{kind: penLine, points: points, weight: weight})
}

// dashed draws an open line with gaps.
func (d *drawing) dashed(weight float64, points ...paper) {
	d.marks = append(d.marks, inked{kind: penLine, points: points, weight: weight, dash: []float64{1.6, 1}})
}

// area draws a closed outline in a shade.
func (d *drawing) area(s shade, weight float64, points ...paper) {
	d.marks = append(d.marks, inked{kind: outline, points: points, weight: weight, shade: s})
}

// hatch fills a closed outline with slanting lines, without the outline itself.
func (d *drawing) hatch(slant float64, points ...paper) {
	d.marks = append(d.marks, inked{kind: hatching, points: points, weight: fine, slant: slant})
}

// arrow draws a line with a head at its end.
func (d *drawing) arrow(weight float64, from, to paper) {
	d.marks = append(d.marks, inked{kind: arrow, points: []paper{from, to}, weight: weight})
}

// write puts words on the paper.
func (d *drawing) write(at paper, size float64, a anchor, text string) {
	d.writeTurned(at, size, a, 0, text)
}

// writeTurned puts words on the paper that are turned about their place, degrees anticlockwise.
func (d *drawing) writeTurned(at paper, size float64, a anchor, turn float64, text string) {
	if text = plain(text); text != "" {
		d.marks = append(d.marks, inked{kind: lettering, points: []paper{at}, size: size, anchor: a, turn: turn, text: text})
	}
}

// writeFree puts words at the first of some places where they cover no others and no line, and stay on
// the paper; where there is none, at the first where they cover no others; else at the first.
func (d *drawing) writeFree(size float64, text string, a anchor, places ...paper) {
	d.writeFreeTurned(size, text, a, 0, places...)
}

// writeFreeTurned does so with words that are turned.
func (d *drawing) writeFreeTurned(size float64, text string, a anchor, turn float64, places ...paper) {
	best, at := -1, places[0]
	for _, p := range places {
		box := boxOf(&inked{kind: lettering, points: []paper{p}, size: size, anchor: a, turn: turn, text: plain(text)})
		worth := 0
		switch {
		case box.left < 0 || box.right > d.width:
		case !d.isFree(box):
			worth = 1
		case d.isCrossed(box):
			worth = 2
		default:
			worth = 3
		}
		if worth > best {
			best, at = worth, p
		}
		if best == 3 {
			break
		}
	}
	d.writeTurned(at, size, a, turn, text)
}

// isFree reports whether no words stand in a box.
func (d *drawing) isFree(box lettered) bool {
	for i := range d.marks {
		if d.marks[i].kind == lettering && boxOf(&d.marks[i]).meets(box) {
			return false
		}
	}
	return true
}

// isCrossed reports whether a line runs through a box.
func (d *drawing) isCrossed(box lettered) bool {
	for i := range d.marks {
		m := &d.marks[i]
		if m.kind == lettering || m.kind == hatching {
			continue
		}
		for k := 1; k < len(m.points); k++ {
			if box.isCrossedBy(m.points[k-1], m.points[k]) {
				return true
			}
		}
		if m.kind == outline && box.isCrossedBy(m.points[len(m.points)-1], m.points[0]) {
			return true
		}
	}
	return false
}

// isCrossedBy reports whether a straight line has a part in the box.
func (b lettered) isCrossedBy(from, to paper) bool {
	low, high := 0.0, 1.0
	clip := func(p, d, least, most float64) bool {
		if d == 0 {
			return p >= least && p <= most
		}
		t, u := (least-p)/d, (most-p)/d
		low, high = math.Max(low, math.Min(t, u)), math.Min(high, math.Max(t, u))
		return low <= high
	}
	return clip(from[0], to[0]-from[0], b.left, b.right) && clip(from[1], to[1]-from[1], b.top, b.bottom)
}

// circle is a closed outline round a place.
func circle(at paper, radius float64) []paper {
	corners := 16 + 4*int(math.Ceil(radius))
	out := make([]paper, corners)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		out[i] = paper{at[0] + radius*cos, at[1] + radius*sin}
	}
	return out
}

// tubeOutline is the outline of a line of a width.
func tubeOutline(from, to paper, width float64) []paper {
	dx, dy := to[0]-from[0], to[1]-from[1]
	length := math.Hypot(dx, dy)
	if length == 0 {
		return []paper{from, to}
	}
	nx, ny := -dy/length*width/2, dx/length*width/2
	return []paper{{from[0] + nx, from[1] + ny}, {to[0] + nx, to[1] + ny}, {to[0] - nx, to[1] - ny}, {from[0] - nx, from[1] - ny}}
}

// notes writes lines of words below all else, broken to the width of the sheet, and sets the height
// of the drawing.
func (d *drawing) notes(y float64, texts ...string) {
	for _, text := range texts {
		for _, line := range wrapLetters(text, letterSize, d.width-4) {
			y += letterSize * lineFeed
			d.write(paper{2, y}, letterSize, atStart, line)
		}
	}
	d.height = y + 2
}

// wrapLetters breaks text into lines no wider than so many mm where its words allow, and cuts words that
// are wider.
func wrapLetters(text string, size, width float64) (lines []string) {
	line := ""
	for _, word := range unbroken(text) {
		word = cutTo(word, size, width)
		switch {
		case line == "":
			line = word
		case lettersWide(line+" "+word, size) <= width:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// cutTo shortens text to a width, mm.
func cutTo(text string, size, width float64) string {
	if lettersWide(text, size) <= width {
		return text
	}
	room := width - lettersWide("…", size)
	used := 0.0
	for i, r := range text {
		used += lettersWide(string(r), size)
		if used > room {
			return strings.TrimSpace(text[:i]) + "…"
		}
	}
	return text
}

// lettersWide is how wide text is, mm, in letters of a size: with some room, for readers have fonts of
// their own. What the font that is measured lacks counts as wide as it is high.
func lettersWide(text string, size float64) float64 {
	const room = 1.05
	wide, _ := measured(text, size)
	return room * wide
}

// measured returns how wide text is in the font that is measured, mm, and whether it has every letter.
func measured(text string, size float64) (wide float64, whole bool) {
	widths, whole := letterWidths(), true
	for _, r := range text {
		w, ok := widths[r]
		if !ok {
			w, whole = 1, false
		}
		wide += w
	}
	return wide * size, whole
}

// letterWidths are the widths of letters over their size.
var letterWidths = sync.OnceValue(func() map[rune]float64 {
	const size = 100
	face := font.DefaultCache.Lookup(font.Font{Typeface: "Liberation", Variant: "Sans"}, size)
	widths := map[rune]float64{}
	add := func(r rune) { widths[r] = float64(face.Width(string(r))) / size }
	for r := ' '; r <= unicode.MaxLatin1; r++ {
		add(r)
	}
	for _, r := range "…≤≥γψµ√→≈–−" {
		add(r)
	}
	return widths
})

// lettered is the room that words take, mm.
type lettered struct{ left, top, right, bottom float64 }

// meets reports whether two boxes have room in common.
func (b lettered) meets(other lettered) bool {
	const touching = 0.05
	return b.left < other.right-touching && other.left < b.right-touching && b.top < other.bottom-touching && other.top < b.bottom-touching
}

// boxOf is the box round words, turned as they are.
func boxOf(m *inked) lettered {
	wide := lettersWide(m.text, m.size)
	from := 0.0
	switch m.anchor {
	case atMiddle:
		from = -wide / 2
	case atEnd:
		from = -wide
	}
	sin, cos := math.Sincos(-m.turn * math.Pi / 180)
	b := lettered{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, c := range []paper{{from, 0.22 * m.size}, {from + wide, 0.22 * m.size}, {from, -0.74 * m.size}, {from + wide, -0.74 * m.size}} {
		x, y := m.points[0][0]+c[0]*cos-c[1]*sin, m.points[0][1]+c[0]*sin+c[1]*cos
		b = lettered{math.Min(b.left, x), math.Min(b.top, y), math.Max(b.right, x), math.Max(b.bottom, y)}
	}
	return b
}

// onPaper prints mm of paper.
func onPaper(v float64) string {
	text := quantity.Fix(v, 2)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
