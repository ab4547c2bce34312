package report

import (
	"bytes"
	"fmt"
	"html"
	"math"
	"slices"
	"strings"
)

// svg writes the drawing as one svg element in ink of the page's own colour, its ids begun by a
// prefix that no other drawing of the page has. Nothing outside is asked for, and nothing runs.
func (d *drawing) svg(id string) []byte {
	w := svgWriter{id: id}
	fmt.Fprintf(&w.out, "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %s %s\" width=\"100%%\" role=\"img\" aria-labelledby=\"%s-title %s-desc\" font-family=\"Helvetica, Arial, 'Liberation Sans', sans-serif\" fill=\"none\" stroke-linejoin=\"round\">\n",
		onPaper(d.width), onPaper(d.height), id, id)
	fmt.Fprintf(&w.out, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, escape(d.title), id, escape(d.description))
	w.patterns(d)
	for i := range d.marks {
		w.mark(&d.marks[i])
	}
	w.out.WriteString("</svg>\n")
	return w.out.Bytes()
}

// escape makes text harmless in an SVG.
func escape(text string) string { return html.EscapeString(plain(strings.ToValidUTF8(text, "�"))) }

type svgWriter struct {
	id  string
	out bytes.Buffer
}

// patterns defines the hatches that a drawing has.
func (w *svgWriter) patterns(d *drawing) {
	var names []string
	var defs bytes.Buffer
	add := func(name, lines string, turn float64, apart float64) {
		if slices.Contains(names, name) {
			return
		}
		names = append(names, name)
		fmt.Fprintf(&defs, "<pattern id=\"%s-%s\" width=\"%s\" height=\"%s\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(%s)\">%s</pattern>\n",
			w.id, name, onPaper(apart), onPaper(apart), onPaper(turn), lines)
	}
	for i := range d.marks {
		switch m := &d.marks[i]; {
		case m.kind == hatching:
			add(hatchName(m.slant), fmt.Sprintf("<path d=\"M0 %s H%s\" stroke=\"currentColor\" stroke-width=\"%s\"/>", onPaper(hatchGap/2), onPaper(hatchGap), onPaper(m.weight)), -m.slant, hatchGap)
		case m.shade == shadeOver: // black, and the paper between
			add("over", "<path d=\"M0 0.5 H1.2\" stroke=\"currentColor\" stroke-width=\"0.85\"/>", -45, 1.2)
		}
	}
	if len(names) > 0 {
		fmt.Fprintf(&w.out, "<defs>\n%s</defs>\n", defs.Bytes())
	}
}

// hatchGap is the distance of the lines of a hatch, mm.
const hatchGap = 1.1

func hatchName(slant float64) string {
	if slant < 0 {
		return "falls"
	}
	return "rises"
}

// opacity is how much ink a shade of the four steps has.
func (s shade) opacity() float64 {
	switch s {
	case shade25:
		return 0.1
	case shade50:
		return 0.3
	case shade75:
		return 0.55
	}
	return 0.82
}

func (w *svgWriter) mark(m *inked) {
	switch m.kind {
	case penLine:
		fmt.Fprintf(&w.out, "<path d=\"%s\"%s%s/>\n", path(m.points, false), stroke(m.weight), dashes(m.dash))
	case outline:
		fill := ""
		switch m.shade {
		case unfilled:
		case shadeOver:
			fill = fmt.Sprintf(" fill=\"url(#%s-over)\"", w.id)
		default:
			fill = fmt.Sprintf(" fill=\"currentColor\" fill-opacity=\"%s\"", onPaper(m.shade.opacity()))
		}
		fmt.Fprintf(&w.out, "<path d=\"%s\"%s%s%s/>\n", path(m.points, true), fill, stroke(m.weight), dashes(m.dash))
	case hatching:
		fmt.Fprintf(&w.out, "<path d=\"%s\" fill=\"url(#%s-%s)\"/>\n", path(m.points, true), w.id, hatchName(m.slant))
	case arrow:
		fmt.Fprintf(&w.out, "<path d=\"%s\"%s/>\n<path d=\"%s\" fill=\"currentColor\"/>\n", path(m.points, false), stroke(m.weight), path(m.head(), true))
	case lettering:
		w.lettering(m)
	}
}

func (w *svgWriter) lettering(m *inked) {
	at := m.points[0]
	fmt.Fprintf(&w.out, "<text x=\"%s\" y=\"%s\" font-size=\"%s\" fill=\"currentColor\"", onPaper(at[0]), onPaper(at[1]), onPaper(m.size))
	switch m.anchor {
	case atMiddle:
		w.out.WriteString(" text-anchor=\"middle\"")
	case atEnd:
		w.out.WriteString(" text-anchor=\"end\"")
	}
	if m.turn != 0 {
		fmt.Fprintf(&w.out, " transform=\"rotate(%s %s %s)\"", onPaper(-m.turn), onPaper(at[0]), onPaper(at[1]))
	}
	if wide, whole := measured(m.text, m.size); whole { // a wider font of the reader's is set as narrow
		fmt.Fprintf(&w.out, " textLength=\"%s\" lengthAdjust=\"spacingAndGlyphs\"", onPaper(wide))
	}
	fmt.Fprintf(&w.out, ">%s</text>\n", escape(m.text))
}

// head is the outline of an arrow's head, which ends at its last point.
func (m *inked) head() []paper {
	const long, wide = 2.0, 1.2
	to, from := m.points[len(m.points)-1], m.points[len(m.points)-2]
	dx, dy := to[0]-from[0], to[1]-from[1]
	if l := math.Hypot(dx, dy); l > 0 {
		dx, dy = dx/l, dy/l
	}
	back := paper{to[0] - long*dx, to[1] - long*dy}
	return []paper{to, {back[0] - dy*wide/2, back[1] + dx*wide/2}, {back[0] + dy*wide/2, back[1] - dx*wide/2}}
}

func path(points []paper, closed bool) string {
	var b strings.Builder
	for i, p := range points {
		b.WriteByte("ML"[min(i, 1)])
		b.WriteString(onPaper(p[0]) + " " + onPaper(p[1]))
	}
	if closed {
		b.WriteByte('Z')
	}
	return b.String()
}

func stroke(weight float64) string {
	if weight == 0 {
		return ""
	}
	return fmt.Sprintf(" stroke=\"currentColor\" stroke-width=\"%s\"", onPaper(weight))
}

func dashes(dash []float64) string {
	if len(dash) == 0 {
		return ""
	}
	words := make([]string, len(dash))
	for i, v := range dash {
		words[i] = onPaper(v)
	}
	return fmt.Sprintf(" stroke-dasharray=\"%s\"", strings.Join(words, " "))
}
