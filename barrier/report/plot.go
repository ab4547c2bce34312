package report

import (
	"bytes"
	"fmt"
	"html"
	"image/color"
	"math"
	"regexp"
	"strings"
	"sync"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	letters "gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"example.com/stanchion/internal/quantity"
)

// How every plot looks: ink on paper, curves told apart by their strokes and named where they
// run, what is beyond a limit hatched. There is no colour and no legend.
const (
	plotWidth   = 17 * vg.Centimeter
	plotHeight  = 11 * vg.Centimeter
	plotText    = 9 // points
	plotHeading = 10
	thin, thick = vg.Length(0.4), vg.Length(1.1)
	hatchApart  = 5 * vg.Millimeter / 2
	glyph       = vg.Length(2.2)
)

func ink() color.Color   { return color.Gray{Y: 0x14} }
func faint() color.Color { return color.Gray{Y: 0xb4} }

// strokes are the dashes of the curves of one plot, in their order: whole, dashed, dotted, dashed and
// dotted.
func strokes() [][]vg.Length { return [][]vg.Length{nil, {7, 3}, {1.5, 3}, {7, 3, 1.5, 3}} }

// curve is values at points that were worked out; nothing is known between them.
type curve struct {
	name   string // stands at the curve
	points plotter.XYs
	marks  []mark // of each point
	apart  []bool // of each point: no line leads to it from the one before
	every  int    // one point of so many is marked, and the first of another kind; 0 stands for 1
}

// mark is how a point is drawn.
type mark int

// The marks: of what passes, of what fails, of what is not checked in full.
const (
	dot mark = iota
	ring
	square
)

// runs parts the points of a curve where it breaks.
func (c *curve) runs() (runs []plotter.XYs) {
	from := 0
	for i := range c.points {
		if i > from && c.apart[i] {
			runs, from = append(runs, c.points[from:i]), i
		}
	}
	return append(runs, c.points[from:])
}

// plotted is what one plot shows.
type plotted struct {
	title, x, y string
	below       []string // lines under the plot
	curves      []curve
	limit       float64 // y above which the plot is hatched
	top         float64 // the largest y that is shown
	mark        *plotter.XY
	markWords   string
	namesLast   bool // the names of the curves stand towards their ends
}

// svg draws the plot. The same values give the same bytes.
func (d *plotted) svg() ([]byte, error) {
	canvas := vgsvg.New(plotWidth, plotHeight)
	d.draw(draw.New(canvas))
	var out bytes.Buffer
	if _, err := canvas.WriteTo(&out); err != nil {
		return nil, fmt.Errorf("drawing a plot: %w", err)
	}
	return d.named(out.Bytes()), nil
}

// plotDots is how many dots of an inch a plot made of dots has.
const plotDots = 200

// png draws the plot in dots.
func (d *plotted) png() ([]byte, error) {
	canvas := vgimg.NewWith(vgimg.UseWH(plotWidth, plotHeight), vgimg.UseDPI(plotDots), vgimg.UseBackgroundColor(color.White))
	d.draw(draw.New(canvas))
	var out bytes.Buffer
	if _, err := (vgimg.PngCanvas{Canvas: canvas}).WriteTo(&out); err != nil {
		return nil, fmt.Errorf("drawing a plot: %w", err)
	}
	return out.Bytes(), nil
}

// draw draws the plot on a canvas.
func (d *plotted) draw(c draw.Canvas) {
	p := plot.New()
	d.style(p)
	p.Add(hatch{from: d.limit}, names{d}, level{y: d.limit}) // words first: they hide nothing that was worked out
	for i := range d.curves {
		p.Add(inkCurve{curve: &d.curves[i], dashes: strokes()[i%len(strokes())]})
	}
	if d.mark != nil {
		p.Add(upright{at: *d.mark, words: d.markWords})
	}
	p.X.Min, p.X.Max = d.span()
	p.Y.Min, p.Y.Max = 0, d.top
	line := vg.Length(plotText) * 1.3
	foot := line*vg.Length(len(d.below)) + 4
	for i, words := range d.below {
		c.FillText(plotStyle(plotText), vg.Point{X: 4, Y: foot - line*vg.Length(i+1)}, words)
	}
	p.Draw(draw.Crop(c, 2, -10, foot+2, -4))
}

// span is the range of x of what is shown, with room at both sides.
func (d *plotted) span() (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for _, c := range d.curves {
		for _, q := range c.points {
			if q.Y <= d.top {
				from, to = math.Min(from, q.X), math.Max(to, q.X)
			}
		}
	}
	if math.IsInf(from, 1) { // all of it is above
		return 0, 1
	}
	if !(to > from) {
		return from - 0.5, from + 0.5
	}
	room := 0.04 * (to - from)
	return from - room, to + room
}

// style sets letters and lines.
func (d *plotted) style(p *plot.Plot) {
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = d.title, d.x, d.y
	p.Title.TextStyle = plotStyle(plotHeading)
	p.Title.TextStyle.XAlign, p.Title.TextStyle.YAlign = draw.XCenter, draw.YTop
	p.Title.Padding = 4
	for _, axis := range []*plot.Axis{&p.X, &p.Y} {
		label, tick := plotStyle(plotText), plotStyle(plotText)
		label.XAlign, label.YAlign = axis.Label.TextStyle.XAlign, axis.Label.TextStyle.YAlign
		tick.XAlign, tick.YAlign = axis.Tick.Label.XAlign, axis.Tick.Label.YAlign
		label.Rotation = axis.Label.TextStyle.Rotation
		axis.Label.TextStyle, axis.Tick.Label = label, tick
		axis.LineStyle = draw.LineStyle{Color: ink(), Width: thin}
		axis.Tick.LineStyle = axis.LineStyle
		axis.Label.Padding = 2
		axis.Tick.Marker = plot.TickerFunc(evenTicks)
	}
}

// evenTicks sets five to ten ticks at whole multiples of 1, 2 or 5 times a power of ten.
func evenTicks(from, to float64) []plot.Tick {
	const most = 10
	step := math.Pow(10, math.Floor(math.Log10((to-from)/most)))
	for _, times := range []float64{1, 2, 5, 10} {
		if (to-from)/(step*times) <= most {
			step *= times
			break
		}
	}
	digits := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	var ticks []plot.Tick
	for k := math.Ceil(from/step - 1e-9); k*step <= to+1e-9*step; k++ {
		ticks = append(ticks, plot.Tick{Value: k * step, Label: quantity.Fix(k*step, digits)})
	}
	return ticks
}

func plotStyle(size font.Length) draw.TextStyle {
	return draw.TextStyle{Color: ink(), Font: font.Font{Typeface: "Liberation", Variant: "Sans", Size: size}, Handler: plotLetters()}
}

// plotLetters measures text.
var plotLetters = sync.OnceValue(func() letters.Handler { return letters.Plain{Fonts: font.DefaultCache} })

// svgOpening is the element that opens a drawing, with what stands before it.
var svgOpening = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(?s)^.*?<svg[^>]*?(viewBox="[^"]*")[^>]*>`) })

// named gives a drawing what those need who do not see it, and letters that any reader has.
func (d *plotted) named(svg []byte) []byte {
	view := svgOpening().FindSubmatch(svg)
	if view == nil {
		panic("report: a plot without a view box")
	}
	description := strings.Join(append([]string{d.title}, d.below...), " ")
	opening := fmt.Sprintf("<svg xmlns=\"http://www.w3.org/2000/svg\" %s width=\"100%%\" role=\"img\">\n<title>%s</title>\n<desc>%s</desc>\n<rect width=\"100%%\" height=\"100%%\" fill=\"#fff\"/>\n",
		view[1], html.EscapeString(plain(d.title)), html.EscapeString(plain(description)))
	drawn := bytes.ReplaceAll(svg[len(view[0]):], []byte("font-family:Liberation Sans"), []byte("font-family:'Liberation Sans',Arial,Helvetica,sans-serif"))
	return append([]byte(opening), drawn...)
}

// hatch fills what is above a value.
type hatch struct{ from float64 }

func (h hatch) Plot(c draw.Canvas, p *plot.Plot) {
	_, ty := p.Transforms(&c)
	low := ty(h.from)
	if low >= c.Max.Y {
		return
	}
	area := draw.Crop(c, 0, 0, low-c.Min.Y, 0)
	rise := area.Max.Y - area.Min.Y
	for x := area.Min.X - rise; x < area.Max.X; x += hatchApart {
		line := []vg.Point{{X: x, Y: area.Min.Y}, {X: x + rise, Y: area.Max.Y}}
		area.StrokeLines(draw.LineStyle{Color: faint(), Width: thin}, area.ClipLinesXY(line)...)
	}
}

// level is a line across the plot at a value.
type level struct{ y float64 }

func (l level) Plot(c draw.Canvas, p *plot.Plot) {
	_, ty := p.Transforms(&c)
	c.StrokeLine2(draw.LineStyle{Color: ink(), Width: thin}, c.Min.X, ty(l.y), c.Max.X, ty(l.y))
}

// upright is a line from the axis to a point, with words at its foot.
type upright struct {
	at    plotter.XY
	words string
}

func (u upright) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	x := tx(u.at.X)
	c.StrokeLine2(draw.LineStyle{Color: ink(), Width: thin, Dashes: []vg.Length{2, 2}}, x, c.Min.Y, x, ty(u.at.Y))
	at := vg.Point{X: x + 3, Y: c.Min.Y + 4}
	style := plotStyle(plotText)
	if at.X+style.Width(u.words) > c.Max.X {
		at.X, style.XAlign = x-3, draw.XRight
	}
	fillOnPaper(c, style, at, u.words)
}

// inkCurve draws the points of a curve and the strokes that join them.
type inkCurve struct {
	*curve
	dashes []vg.Length
}

func (i inkCurve) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	for _, run := range i.runs() {
		line := make([]vg.Point, len(run))
		for k, q := range run {
			line[k] = vg.Point{X: tx(q.X), Y: ty(q.Y)}
		}
		c.StrokeLines(draw.LineStyle{Color: ink(), Width: thick, Dashes: i.dashes}, c.ClipLinesXY(line)...)
	}
	for k, q := range i.points {
		at := vg.Point{X: tx(q.X), Y: ty(q.Y)}
		if !c.Contains(at) || !i.isMarked(k) {
			continue
		}
		c.DrawGlyph(draw.GlyphStyle{Color: color.White, Radius: glyph, Shape: draw.CircleGlyph{}}, at)
		style := draw.GlyphStyle{Color: ink(), Radius: glyph, Shape: draw.CircleGlyph{}}
		switch i.marks[k] {
		case ring:
			style.Shape = draw.RingGlyph{}
		case square:
			style.Shape = draw.SquareGlyph{}
		}
		c.DrawGlyph(style, at)
	}
}

// isMarked reports whether a point has its mark.
func (c *curve) isMarked(k int) bool {
	return k%max(1, c.every) == 0 || k == len(c.points)-1 || c.marks[k] != c.marks[k-1]
}

// names writes the name of each curve beside one of its points, each farther along than the one
// before, where no curve, no line and no other words run.
type names struct{ *plotted }

func (n names) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	taken := n.strokes(c, tx, ty)
	for i := range n.curves {
		var seen []vg.Point
		for _, q := range n.curves[i].points {
			if at := (vg.Point{X: tx(q.X), Y: ty(q.Y)}); c.Contains(at) {
				seen = append(seen, at)
			}
		}
		if len(seen) == 0 {
			continue
		}
		style := plotStyle(plotText)
		preferred := len(seen) * (i + 1) / (len(n.curves) + 1)
		if n.namesLast {
			preferred = len(seen) * 9 / 10
		}
		box := freePlace(c, seen, preferred, style.Width(n.curves[i].name), taken)
		fillOnPaper(c, style, box.Min, n.curves[i].name)
		for x := box.Min.X; x <= box.Max.X; x += strokeStep {
			taken = append(taken, vg.Point{X: x, Y: box.Min.Y}, vg.Point{X: x, Y: box.Max.Y})
		}
	}
}

// strokeStep is how far apart the points lie that stand for a stroke: less than letters are high.
const strokeStep = vg.Length(3)

// strokes are points along every curve and line of the plot, and along the words of the mark.
func (n names) strokes(c draw.Canvas, tx, ty func(float64) vg.Length) []vg.Point {
	var all []vg.Point
	line := func(a, b vg.Point) {
		steps := math.Ceil(math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))/float64(strokeStep)) + 1
		for k := 0.0; k <= steps; k++ {
			if at := (vg.Point{X: a.X + (b.X-a.X)*vg.Length(k/steps), Y: a.Y + (b.Y-a.Y)*vg.Length(k/steps)}); c.Contains(at) {
				all = append(all, at)
			}
		}
	}
	line(vg.Point{X: c.Min.X, Y: ty(n.limit)}, vg.Point{X: c.Max.X, Y: ty(n.limit)})
	for i := range n.curves {
		for _, run := range n.curves[i].runs() {
			for k, q := range run {
				before := run[max(0, k-1)]
				line(vg.Point{X: tx(before.X), Y: ty(before.Y)}, vg.Point{X: tx(q.X), Y: ty(q.Y)})
			}
		}
	}
	if n.mark != nil {
		x := tx(n.mark.X)
		wide := plotStyle(plotText).Width(n.markWords) + 6
		line(vg.Point{X: x, Y: c.Min.Y}, vg.Point{X: x, Y: ty(n.mark.Y)})
		line(vg.Point{X: x - wide, Y: c.Min.Y + plotText}, vg.Point{X: x + wide, Y: c.Min.Y + plotText})
	}
	return all
}

// freePlace is a box for words of a width beside one of some points, the nearest to a preferred one
// that covers nothing; where there is none, to the lower right of that.
func freePlace(c draw.Canvas, points []vg.Point, preferred int, wide vg.Length, taken []vg.Point) vg.Rectangle {
	const high = vg.Length(plotText)
	boxAt := func(at vg.Point) vg.Rectangle {
		at.X = min(max(at.X, c.Min.X+3), c.Max.X-wide-3)
		at.Y = min(max(at.Y, c.Min.Y+4), c.Max.Y-high-2)
		return vg.Rectangle{Min: at, Max: vg.Point{X: at.X + wide, Y: at.Y + high}}
	}
	isFree := func(box vg.Rectangle) bool {
		const room = 3
		for _, q := range taken {
			if q.X > box.Min.X-room && q.X < box.Max.X+room && q.Y > box.Min.Y-room && q.Y < box.Max.Y+room {
				return false
			}
		}
		return true
	}
	for _, away := range []vg.Length{6, 14} {
		for step := range 2 * len(points) {
			k := preferred + (step+1)/2*(1-2*(step%2))
			if k < 0 || k >= len(points) {
				continue
			}
			at := points[k]
			for _, corner := range []vg.Point{
				{X: at.X - away - wide, Y: at.Y + away}, {X: at.X + away, Y: at.Y - away - high},
				{X: at.X - away - wide, Y: at.Y - away - high}, {X: at.X + away, Y: at.Y + away},
			} {
				if box := boxAt(corner); isFree(box) {
					return box
				}
			}
		}
	}
	at := points[min(preferred, len(points)-1)]
	return boxAt(vg.Point{X: at.X + 6, Y: at.Y - 6 - high})
}

// fillOnPaper writes words on a piece of blank paper, so that no hatch runs through them.
func fillOnPaper(c draw.Canvas, style draw.TextStyle, at vg.Point, words string) {
	box := style.Rectangle(words)
	c.FillPolygon(color.White, []vg.Point{
		{X: at.X + box.Min.X - 1, Y: at.Y + box.Min.Y - 1}, {X: at.X + box.Max.X + 1, Y: at.Y + box.Min.Y - 1},
		{X: at.X + box.Max.X + 1, Y: at.Y + box.Max.Y + 1}, {X: at.X + box.Min.X - 1, Y: at.Y + box.Max.Y + 1},
	})
	c.FillText(style, at, words)
}
