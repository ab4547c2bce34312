package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// base draws the foot of a post, from the side first: what carries it, its bolts by bearing, and the
// forces on it as arrows with their values.
func base(r *check.Result, o TextOptions) *drawing {
	if r.Shape == nil || r.Shape.Base == nil {
		return nil
	}
	b := r.Shape.Base
	f := &footSheet{drawing: newDrawing(fmt.Sprintf("Foot of post %d: %s", b.Post, r.Title)), ShapeBase: b, r: r, o: o}
	y := f.head(2, f.under())
	f.scale, f.x, f.y = f.scaled(), 60, y+footAbove+10
	if f.Bracket != nil && f.Bracket.Face < 0 {
		f.x = 105
	}
	f.post()
	notes := f.draw()
	f.actions()
	bottom := f.low + 4
	if f.low == 0 {
		bottom = f.y + 20
	}
	f.description = fmt.Sprintf("Foot of post %d, %s. %s", b.Post, f.kind(), f.under())
	notes = append([]string{fmt.Sprintf("%s From the side, outward to the right. Foot: %s; stiffness %s.", lengthsIn(o.Units), f.kind(), r.Shape.Posts[b.Post-1].Base)}, notes...)
	f.notes(bottom, append(notes, f.unseen()...)...)
	return f.drawing
}

// footSheet is the drawing of a foot in the making.
type footSheet struct {
	*drawing
	*check.ShapeBase
	r           *check.Result
	o           TextOptions
	x, y, scale float64 // of the axis of the post where it is held; mm to a metre
	low         float64 // y of the lowest mark
}

// footAbove is how much of the post stands on paper above where it is held, mm, and footWide and
// footDeep what the rest may take.
const footAbove, footWide, footDeep = 42.0, 52.0, 70.0

// kind is the kind of foot in words.
func (f *footSheet) kind() string {
	switch f.Kind {
	case "flange":
		return "a flange on bolts"
	case "socket":
		return "set in concrete"
	case "earth":
		if f.Embedded.Bare {
			return "in the ground, without concrete"
		}
		return "in the ground, with a footing"
	case "side":
		return "a bracket on a face"
	case "counterweight":
		return "a weighted foot that stands freely"
	}
	return "the file does not tell how it is fixed"
}

// under says what the forces are under.
func (f *footSheet) under() string {
	if f.Actions == nil {
		return "No forces are told of this foot."
	}
	return fmt.Sprintf("Forces of the post on its foot, %s values, %s: %s.", f.Actions.Level, f.Actions.Combination, f.Actions.Load)
}

// scaled is the scale at which the foot fills its room.
func (f *footSheet) scaled() float64 {
	wide, deep := 0.12, 0.1
	reach := func(v float64) { wide = math.Max(wide, math.Abs(v)) }
	switch {
	case f.Flange != nil:
		reach(f.Flange.Out * 0.75)
		reach(f.Flange.Circle * 0.75)
		for _, b := range f.Flange.Bolts {
			reach(b[0] * 1.6)
		}
	case f.Embedded != nil:
		reach(f.Embedded.Width)
		deep = math.Max(deep, f.Embedded.Depth+f.Level-f.Embedded.Ground+0.1)
		deep = math.Max(deep, f.Embedded.Depth+0.05)
	case f.Bracket != nil:
		reach(f.Bracket.Face * 2)
		deep = -f.Bracket.Rows[1] + f.Bracket.Bottom + 0.05
	case f.Counterweight != nil:
		reach(f.Counterweight.Outward * 1.1)
		reach(f.Counterweight.Inward * 1.1)
	}
	return math.Min(math.Min(footWide/wide, footDeep/deep), 400)
}

// at puts a place of the foot on paper: outward of the axis and up from where the post is held.
func (f *footSheet) at(out, up float64) paper {
	p := paper{f.x + out*f.scale, f.y - up*f.scale}
	f.low = math.Max(f.low, p[1])
	return p
}

// post draws the tube, broken off at the top.
func (f *footSheet) post() {
	half := f.r.Shape.Posts[f.Post-1].OD / 2e3 * f.scale
	top := f.y - footAbove + 6
	f.line(medium, paper{f.x - half, f.y}, paper{f.x - half, top})
	f.line(medium, paper{f.x + half, f.y}, paper{f.x + half, top})
	f.line(fine, paper{f.x - half - 1.5, top + 0.8}, paper{f.x - half/3, top - 0.6}, paper{f.x + half/3, top + 0.6}, paper{f.x + half + 1.5, top - 0.8})
	f.write(paper{f.x - half - 2.5, top + 1}, letterSize, atEnd, fmt.Sprintf("post %d", f.Post))
}

// draw draws what holds the post, and returns words on it.
func (f *footSheet) draw() []string {
	switch {
	case f.Flange != nil:
		return f.flange()
	case f.Embedded != nil && f.Kind == "earth":
		return f.earth()
	case f.Embedded != nil:
		return f.socket()
	case f.Bracket != nil:
		return f.bracket()
	case f.Counterweight != nil:
		return f.counterweight()
	}
	f.ground(-0.1, 0.1, 0)
	return []string{"What holds the post is not checked here: the forces are what it must carry."}
}

// ground draws a surface at a height with a hatch below it.
func (f *footSheet) ground(from, to, up float64) {
	a, b := f.at(from, up), f.at(to, up)
	f.line(bold, a, b)
	f.hatch(45, a, b, paper{b[0], b[1] + 4}, paper{a[0], a[1] + 4})
	f.low = math.Max(f.low, a[1]+4)
}

// length prints a length of the foot.
func (f *footSheet) length(v float64) string { return drawnLength(v, f.o.Units) }

// below dimensions a width under the foot.
func (f *footSheet) below(from, to float64, words string) {
	y := f.low + 5
	a, b := paper{f.x + from*f.scale, y}, paper{f.x + to*f.scale, y}
	f.dimension(a, b, words)
	f.low = y + smallLetters
}

// beside dimensions a depth left of the foot.
func (f *footSheet) beside(left, from, to float64, words string) {
	a, b := f.at(left, from), f.at(left, to)
	a[0], b[0] = a[0]-6, b[0]-6
	if a[1] < b[1] {
		a, b = b, a
	}
	f.dimension(a, b, words)
}

// flange draws plate and bolts from the side, and beside it from above with the bolts by bearing.
func (f *footSheet) flange() []string {
	half := f.Flange.Out / 2
	var notes []string
	if half == 0 {
		half = 0.05
		for _, b := range f.Flange.Bolts {
			half = math.Max(half, math.Abs(b[0])*1.35)
		}
		half = math.Max(half, f.Flange.Circle/2*1.35)
		notes = append(notes, "The size of the plate is not given.")
	}
	thick := math.Max(f.Flange.Thickness, 1.2/f.scale)
	f.ground(-1.25*half, 1.25*half, 0)
	f.area(unfilled, medium, f.at(-half, 0), f.at(half, 0), f.at(half, thick), f.at(-half, thick))
	if f.Flange.Thickness > 0 {
		at := f.at(half, thick/2)
		f.write(paper{at[0] + 1.2, at[1] + 0.3*smallLetters}, smallLetters, atStart, "t = "+f.length(f.Flange.Thickness))
	}
	f.boltsFromSide(thick)
	if f.Flange.Out > 0 {
		f.below(-half, half, f.length(f.Flange.Out))
	}
	f.flangeFromAbove(half)
	return append(notes, f.boltNotes()...)
}

// boltsFromSide draws the bolts of a flange, those behind each other as one, with their tension.
func (f *footSheet) boltsFromSide(thick float64) {
	places := f.Flange.Bolts
	if len(places) == 0 && f.Flange.Circle > 0 { // of any bearing: those outward and inward
		places = [][2]float64{{-f.Flange.Circle / 2, 0}, {f.Flange.Circle / 2, 0}}
	}
	drawn := map[int]bool{}
	for _, b := range places {
		key := int(math.Round(b[0] * 1e4))
		if drawn[key] {
			continue
		}
		drawn[key] = true
		head, tip := f.at(b[0], thick), f.at(b[0], 0)
		f.line(bold, paper{head[0], head[1] - 1.6}, paper{tip[0], tip[1] + 9})
		f.line(bold, paper{head[0] - 1.2, head[1] - 1}, paper{head[0] + 1.2, head[1] - 1})
		f.low = math.Max(f.low, tip[1]+9)
		if words := f.tensions(func(of *check.BoltRow) bool { return math.Abs(of.Outward-b[0]) < 1e-4 }); words != "" {
			f.arrow(medium, paper{head[0], head[1] - 2}, paper{head[0], head[1] - 11})
			a, x := atEnd, head[0]-1.4
			if b[0] > 0 {
				a, x = atStart, head[0]+1.4
			}
			f.writeFree(smallLetters, words, a, paper{x, head[1] - 8}, paper{x, head[1] - 11}, paper{x, head[1] - 5})
		}
	}
}

// tensions tells the tension of bolts that are seen as one: once where it is the same in all; empty
// where none is pulled.
func (f *footSheet) tensions(are func(*check.BoltRow) bool) string {
	var words []string
	pulled := false
	for i := range f.r.Bolts {
		if b := &f.r.Bolts[i]; are(b) {
			words, pulled = append(words, f.force(b.Tension)), pulled || b.Tension > 0
		}
	}
	switch distinct := slices.Compact(slices.Clone(words)); {
	case !pulled:
		return ""
	case len(distinct) > 1:
		return "tension " + strings.Join(words, ", ")
	case len(words) > 1:
		return fmt.Sprintf("%d x tension %s", len(words), words[0])
	}
	return "tension " + words[0]
}

// flangeFromAbove draws the plate from above.
func (f *footSheet) flangeFromAbove(half float64) {
	x, y := 138.0, f.y
	along := half
	if !f.Flange.Round && f.Flange.Along > 0 {
		along = f.Flange.Along / 2
	}
	scale := math.Min(f.scale, 22/math.Max(half, along))
	at := func(out, to float64) paper { return paper{x + out*scale, y - to*scale} }
	if f.Flange.Round {
		f.area(unfilled, medium, circle(paper{x, y}, half*scale)...)
	} else {
		f.area(unfilled, medium, at(-half, -along), at(half, -along), at(half, along), at(-half, along))
	}
	od := f.r.Shape.Posts[f.Post-1].OD / 2e3
	f.area(unfilled, medium, circle(paper{x, y}, od*scale)...)
	if f.Flange.Circle > 0 {
		ring := circle(paper{x, y}, f.Flange.Circle/2*scale)
		f.dashed(fine, append(ring, ring[0])...)
	}
	ahead := 1.0 // the end of the run on paper: seen from above, outward to the right
	end := "upwards"
	if f.r.Shape.Hazard == "left" {
		ahead, end = -1, "downwards"
	}
	f.write(paper{x, y + along*scale + letterSize + 6}, smallLetters, atMiddle, "from above; outward to the right, the end of the run "+end)
	f.low = math.Max(f.low, y+along*scale+letterSize+7)
	f.arrow(fine, paper{x + half*scale + 2, y}, paper{x + half*scale + 9, y})
	f.write(paper{x + half*scale + 2, y - 1}, smallLetters, atStart, "0 deg")
	for _, b := range f.r.Bolts {
		if b.Place != check.OnFlange {
			continue
		}
		place := at(b.Outward, ahead*b.Along)
		f.area(shade100, fine, circle(place, 1)...)
		f.bearing(paper{x, y}, place, math.Max(half, along)*scale, degrees(b.Bearing))
	}
	if len(f.r.Bolts) == 0 {
		for _, b := range f.Flange.Bolts {
			f.area(shade100, fine, circle(at(b[0], ahead*b[1]), 1)...)
		}
	}
}

// bearing writes the bearing of a bolt outside the plate, in the direction in which the bolt stands.
func (f *footSheet) bearing(middle, place paper, half float64, words string) {
	dx, dy := place[0]-middle[0], place[1]-middle[1]
	size := math.Hypot(dx, dy)
	if size == 0 {
		return
	}
	dx, dy = dx/size, dy/size
	reach := half + 1.5
	if !f.Flange.Round {
		reach = math.Max(reach*1.2, size+3)
	}
	edge := paper{middle[0] + reach*dx, middle[1] + reach*dy}
	f.line(fine, place, edge)
	a := atMiddle
	switch {
	case dx > 0.3:
		a, edge[0] = atStart, edge[0]+0.6
	case dx < -0.3:
		a, edge[0] = atEnd, edge[0]-0.6
	}
	f.writeFree(smallLetters, words, a, paper{edge[0], edge[1] + 0.36*smallLetters}, paper{edge[0], edge[1] - 1.4}, paper{edge[0], edge[1] + 2.4})
}

// boltNotes tell every bolt with what it carries.
func (f *footSheet) boltNotes() []string {
	if len(f.r.Bolts) == 0 {
		return []string{"No tension of a bolt is told."}
	}
	var words []string
	for _, b := range f.r.Bolts {
		name := degrees(b.Bearing)
		if b.Place != check.OnFlange {
			name = b.Place
		}
		if len(f.bracketColumns()) > 1 {
			name += " at " + f.signed(b.Along) + " along the run"
		}
		words = append(words, fmt.Sprintf("%s: tension %s, shear %s", name, f.force(b.Tension), f.force(b.Shear)))
	}
	return []string{"Bolts: " + strings.Join(words, "; ") + "."}
}

func (f *footSheet) bracketColumns() []float64 {
	if f.Bracket == nil {
		return nil
	}
	return f.Bracket.Columns
}

// signed prints a length with its sign.
func (f *footSheet) signed(v float64) string {
	if v < 0 {
		return "-" + f.length(-v)
	}
	return f.length(v)
}

func (f *footSheet) force(v float64) string { return valueIn(f.o.Units, v, "N") }

// socket draws a post in concrete.
func (f *footSheet) socket() []string {
	e := f.Embedded
	half := f.r.Shape.Posts[f.Post-1].OD / 2e3
	cover := e.Cover
	if cover == 0 {
		cover = 2 * half
	}
	f.embed(half, e.Depth)
	side := half + cover
	f.hatch(45, f.at(-side, 0), f.at(-half, 0), f.at(-half, -e.Depth), f.at(half, -e.Depth), f.at(half, 0), f.at(side, 0), f.at(side, -e.Depth*1.25), f.at(-side, -e.Depth*1.25))
	f.line(bold, f.at(-side, 0), f.at(-half, 0))
	f.line(bold, f.at(half, 0), f.at(side, 0))
	f.beside(-side, 0, -e.Depth, f.length(e.Depth))
	notes := []string{"The post stands " + f.length(e.Depth) + " deep in concrete and bears on a width of " + f.length(e.Width) + "."}
	if e.Cover > 0 {
		f.below(half, side, f.length(e.Cover))
		notes[0] += " Concrete between tube and the nearest edge: " + f.length(e.Cover) + "."
	}
	return notes
}

// embed draws the tube below where it is held.
func (f *footSheet) embed(half, depth float64) {
	f.line(medium, f.at(-half, 0), f.at(-half, -depth), f.at(half, -depth), f.at(half, 0))
}

// earth draws a footing in the ground.
func (f *footSheet) earth() []string {
	e := f.Embedded
	half := f.r.Shape.Posts[f.Post-1].OD / 2e3
	ground := e.Ground - f.Level
	wide := e.Width / 2
	out := wide + 0.5*math.Max(wide, 0.2)
	bottom := ground - e.Depth
	f.line(bold, f.at(-out, ground), f.at(-math.Max(wide, half), ground))
	f.line(bold, f.at(math.Max(wide, half), ground), f.at(out, ground))
	for _, side := range []float64{-1, 1} {
		a, b := f.at(side*out, ground), f.at(side*math.Max(wide, half), ground)
		f.hatch(45, a, b, paper{b[0], b[1] + 4}, paper{a[0], a[1] + 4})
	}
	words := "The post stands in the ground"
	if e.Bare {
		f.line(medium, f.at(-half, 0), f.at(-half, bottom), f.at(half, bottom), f.at(half, 0))
	} else {
		head := math.Max(0, ground)
		f.area(unfilled, medium, f.at(-wide, head), f.at(wide, head), f.at(wide, bottom), f.at(-wide, bottom))
		if e.Concrete > 0 {
			f.embed(half, e.Concrete)
			x := f.at(wide, 0)[0] + 6
			f.dimension(paper{x, f.at(0, -e.Concrete)[1]}, paper{x, f.at(0, 0)[1]}, f.length(e.Concrete))
		}
		words = "The footing stands in the ground"
		f.below(-wide, wide, f.length(e.Width))
	}
	f.beside(-wide, ground, bottom, f.length(e.Depth))
	words += ", " + f.length(e.Depth) + " deep below its surface."
	if e.Concrete > 0 {
		words += " The post stands " + f.length(e.Concrete) + " deep in its concrete."
	}
	return []string{words}
}

// bracket draws a bracket on a face beside the post.
func (f *footSheet) bracket() []string {
	k := f.Bracket
	toward := 1.0 // from the post to the face
	if k.Face < 0 {
		toward = -1
	}
	high, deep := k.Rows[0]+k.Top, k.Rows[1]-k.Bottom
	notes := []string{}
	if k.Top == 0 || k.Bottom == 0 {
		notes = append(notes, "The height of the plate is not given.")
		high, deep = k.Rows[0]+math.Max(k.Top, 0.02), k.Rows[1]-math.Max(k.Bottom, 0.02)
	}
	half := f.r.Shape.Posts[f.Post-1].OD / 2e3
	f.line(bold, f.at(k.Face, high+0.02), f.at(k.Face, deep-0.03))
	a, b := f.at(k.Face, high+0.02), f.at(k.Face, deep-0.03)
	f.hatch(45, a, paper{a[0] + toward*6, a[1]}, paper{b[0] + toward*6, b[1]}, b)
	plate := 1.4 / f.scale
	f.area(unfilled, medium, f.at(k.Face, high), f.at(k.Face-toward*plate, high), f.at(k.Face-toward*plate, deep), f.at(k.Face, deep))
	f.area(unfilled, medium, f.at(k.Face-toward*plate, 0.01), f.at(-toward*half, 0.01), f.at(-toward*half, deep*0.6), f.at(k.Face-toward*plate, deep))
	for i, up := range k.Rows {
		in, out := f.at(k.Face, up), f.at(k.Face-toward*plate, up)
		f.line(bold, paper{in[0] + toward*9, in[1]}, paper{out[0] - toward*1.6, out[1]})
		words := []string{"upper row", "lower row"}[i]
		pull := f.tensions(func(of *check.BoltRow) bool { return of.Place == words })
		x := in[0] + toward*17
		anchor := atStart
		if toward < 0 {
			anchor = atEnd
		}
		if pull != "" {
			f.arrow(medium, paper{in[0] + toward*9, in[1]}, paper{in[0] + toward*16, in[1]})
			words += ": " + pull
		}
		f.write(paper{x, in[1] + 0.3*smallLetters}, smallLetters, anchor, words)
	}
	x := f.at(-toward*half, 0)[0] - toward*8
	f.dimension(paper{x, f.at(0, k.Rows[1])[1]}, paper{x, f.at(0, k.Rows[0])[1]}, f.length(k.Rows[0]-k.Rows[1]))
	f.below(math.Min(0, k.Face), math.Max(0, k.Face), f.length(math.Abs(k.Face)))
	return append(notes, f.boltNotes()...)
}

// counterweight draws a weighted foot.
func (f *footSheet) counterweight() []string {
	w := f.Counterweight
	f.ground(-w.Inward*1.05, w.Outward*1.2+0.02, 0)
	thick := math.Max(0.01, 1.4/f.scale)
	f.area(unfilled, medium, f.at(-w.Inward, 0), f.at(w.Outward, 0), f.at(w.Outward, thick), f.at(-w.Inward, thick))
	for _, one := range w.Weights {
		half := math.Max(math.Min(one.Height-thick, 0.1), 1.2/f.scale)
		f.area(shade50, medium, f.at(one.Outward-half, thick), f.at(one.Outward+half, thick), f.at(one.Outward+half, thick+2*half), f.at(one.Outward-half, thick+2*half))
		at := f.at(one.Outward, thick+2*half)
		words := f.mass(one.Mass)
		f.writeFree(smallLetters, words, atMiddle, paper{at[0], at[1] - 1.2}, paper{at[0], at[1] - 4.4}, paper{at[0], at[1] - 7.6})
	}
	y := f.low + 5
	f.dimension(paper{f.x - w.Inward*f.scale, y}, paper{f.x, y}, f.length(w.Inward))
	f.dimension(paper{f.x, y}, paper{f.x + w.Outward*f.scale, y}, f.length(w.Outward))
	f.low = y + 2*smallLetters
	words := "It tips about the ends of its plate."
	if w.Slope != 0 {
		words += " The surface falls " + degrees(w.Slope) + " outward."
	}
	return []string{words + " Weights are drawn where their middles are; their sizes are not given."}
}

func (f *footSheet) mass(v float64) string {
	return quantity.Format(v, quantity.Mass, f.o.Units)
}

// actions draws the forces of the post on its foot: the force outward, that along the axis, and the
// moment that tips outward.
func (f *footSheet) actions() {
	if f.Actions == nil {
		return
	}
	a := f.Actions
	half := f.r.Shape.Posts[f.Post-1].OD / 2e3 * f.scale
	y := f.y - footAbove + 25
	if f.Out != 0 {
		side := signOf(f.Out)
		from, to := paper{f.x + side*(half+2), y}, paper{f.x + side*(half+14), y}
		f.arrow(bold, from, to)
		f.writeBeside(side, paper{to[0] + side*1.2, y + 0.3*letterSize}, valueIn(f.o.Units, math.Abs(f.Out), "N")+" "+map[float64]string{1: "outward", -1: "inward"}[side])
	}
	if f.Tip != 0 {
		f.turning(signOf(f.Tip), half)
	}
	top := f.y - footAbove + 4
	if a.Fz != 0 {
		from, to := paper{f.x, top - 9}, paper{f.x, top - 1}
		words := " down"
		if a.Fz > 0 {
			from, to, words = to, from, " up"
		}
		f.arrow(bold, from, to)
		f.write(paper{f.x + 1.6, top - 5.5}, letterSize, atStart, f.force(math.Abs(a.Fz))+words)
	}
}

func (f *footSheet) writeBeside(side float64, at paper, words string) {
	if side < 0 {
		f.write(at, letterSize, atEnd, words)
		return
	}
	f.write(at, letterSize, atStart, words)
}

// turning draws a moment as an arrow that goes round the post.
func (f *footSheet) turning(side, half float64) {
	y, radius := f.y-footAbove+17, half+6
	var points []paper
	for k := 0.0; k <= 16; k++ {
		angle := (150 - 120*k/16) * math.Pi / 180
		points = append(points, paper{f.x + side*radius*math.Cos(angle), y - radius*math.Sin(angle)*0.6 + radius*0.3})
	}
	f.marks = append(f.marks, inked{kind: arrow, points: points, weight: bold})
	end := points[len(points)-1]
	f.writeBeside(side, paper{end[0] + side*2, end[1]}, valueIn(f.o.Units, math.Abs(f.Tip), "Nm")+" tips "+map[float64]string{1: "outward", -1: "inward"}[side])
}

// unseen tells the forces that are not seen from the side.
func (f *footSheet) unseen() []string {
	if f.Actions == nil {
		return nil
	}
	var words []string
	tell := func(v float64, unit, how string) {
		if text := valueIn(f.o.Units, math.Abs(v), unit); strings.Trim(strings.Fields(text)[0], "0.") != "" {
			words = append(words, text+how)
		}
	}
	tell(f.Actions.Fx, "N", towardsEnd(f.Actions.Fx))
	tell(f.Actions.My, "Nm", " tips"+towardsEnd(f.Actions.My))
	tell(f.Actions.Mz, "Nm", " about the post")
	if len(words) == 0 {
		return nil
	}
	return []string{"With these act, along the run and about the post: " + strings.Join(words, "; ") + "."}
}

func towardsEnd(v float64) string {
	if v < 0 {
		return " towards the start"
	}
	return " towards the end"
}
