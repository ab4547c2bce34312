package report

import (
	"fmt"
	"slices"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// face is one of the fonts that a document is printed in. All have the same signs.
type face struct {
	name, style string // by which the document knows it
	data        []byte
	font        *sfnt.Font
	buffer      sfnt.Buffer
	advances    map[rune]float64 // over the size of letters; negative for a sign that the font lacks
}

// typeface is the set of faces of one document. It is no one else's: a document writes into the
// bytes of its fonts.
type typeface struct{ regular, bold, mono *face }

func newTypeface() (*typeface, error) {
	var faces [3]*face
	for i, of := range []struct {
		name, style string
		data        []byte
	}{{"text", "", goregular.TTF}, {"text", "B", gobold.TTF}, {"mono", "", gomono.TTF}} {
		parsed, err := sfnt.Parse(of.data)
		if err != nil {
			return nil, fmt.Errorf("reading a font: %w", err)
		}
		faces[i] = &face{name: of.name, style: of.style, data: slices.Clone(of.data), font: parsed, advances: map[rune]float64{}}
	}
	return &typeface{faces[0], faces[1], faces[2]}, nil
}

// advance is how far a sign takes the pen, over the size of letters; negative for one that the
// font lacks.
func (f *face) advance(r rune) float64 {
	if known, ok := f.advances[r]; ok {
		return known
	}
	wide := -1.0
	if glyph, err := f.font.GlyphIndex(&f.buffer, r); err == nil && glyph != 0 {
		units := f.font.UnitsPerEm()
		if a, err := f.font.GlyphAdvance(&f.buffer, glyph, fixed.I(int(units)), font.HintingNone); err == nil {
			wide = float64(a) / 64 / float64(units)
		}
	}
	f.advances[r] = wide
	return wide
}

// wide is the width of printable text in letters of a size, in the unit of the size.
func (f *face) wide(text string, size float64) float64 {
	wide := 0.0
	for _, r := range text {
		wide += max(f.advance(r), 0)
	}
	return wide * size
}

// standIn is a sign that the fonts have in place of one that they lack.
func standIn(r rune) (rune, bool) {
	switch r {
	case '\u2205', '\u2300': // empty set and diameter sign, for a diameter
		return 'Ø', true
	case '\u22c5':
		return '·', true
	case '\u2010', '\u2011':
		return '-', true
	case '\u2012', '\u2015':
		return '–', true
	case '\u223c':
		return '~', true
	case '\u2002', '\u2003', '\u2007', '\u2008', '\u2009', '\u200a', '\u202f', '\u3000':
		return ' ', true
	}
	return r, false
}

// printable is text in signs that the fonts have: others are told by a plain sign or by their code
// points in brackets, and what moves a cursor or turns the direction of writing is a space.
func (f *face) printable(text string) string {
	text = plain(strings.ToValidUTF8(text, "\uFFFD"))
	if !strings.ContainsFunc(text, func(r rune) bool { return f.advance(r) < 0 }) {
		return text
	}
	var out strings.Builder
	open := false // in brackets
	for _, r := range text {
		if other, ok := standIn(r); ok {
			r = other
		}
		lacks := f.advance(r) < 0
		switch {
		case lacks && open:
			fmt.Fprintf(&out, " %04X", r)
		case lacks:
			fmt.Fprintf(&out, "[U+%04X", r)
		case open:
			out.WriteByte(']')
		}
		if open = lacks; !lacks {
			out.WriteRune(r)
		}
	}
	if open {
		out.WriteByte(']')
	}
	return out.String()
}

// wrap breaks text into lines no wider than a width where its words allow, and words that are
// wider between any two signs. There is always a line.
func (f *face) wrap(text string, size, width float64) (lines []string) {
	line, used, space := "", 0.0, f.wide(" ", size)
	for _, word := range unbroken(f.printable(text)) {
		wide := f.wide(word, size)
		if line != "" && used+space+wide <= width {
			line, used = line+" "+word, used+space+wide
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for wide > width {
			head := f.head(word, size, width)
			lines, word = append(lines, head), word[len(head):]
			wide = f.wide(word, size)
		}
		line, used = word, wide
	}
	return append(lines, line)
}

// head is the longest beginning of a word that is no wider than a width; of one sign at least.
func (f *face) head(word string, size, width float64) string {
	used := 0.0
	for i, r := range word {
		used += f.wide(string(r), size)
		if used > width && i > 0 {
			return word[:i]
		}
	}
	return word
}

// cut shortens printable text to a width.
func (f *face) cut(text string, size, width float64) string {
	if f.wide(text, size) <= width {
		return text
	}
	return strings.TrimSpace(f.head(text, size, width-f.wide("…", size))) + "…"
}

// longestWord is the width of the widest word of printable text.
func (f *face) longestWord(text string, size float64) float64 {
	widest := 0.0
	for _, word := range unbroken(text) {
		widest = max(widest, f.wide(word, size))
	}
	return widest
}
