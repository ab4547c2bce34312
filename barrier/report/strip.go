package report

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/barrier/check"
)

// strip is a quantity along a rail, drawn over a line that stands for the rail: positive values
// above it.
type strip struct {
	*drawing
	course
	diagram *check.Diagram
	part    *part
	left    float64 // of the row on paper
	scale   float64 // mm to a metre in plan
	y       float64 // of the line
	unit    float64 // mm of paper for each unit of the value
	plain   bool    // a curve without a hatch over a dashed line
}

// sample is a value at a place.
type sample struct{ at, value float64 }

// runs are the samples of the diagram in the part, broken where the rail is.
func (s *strip) runs() (runs [][]sample) {
	xs, vs := s.diagram.Stations, s.diagram.Values
	var run []sample
	end := func() {
		if len(run) > 1 {
			runs = append(runs, run)
		}
		run = nil
	}
	for i := range xs {
		if i > 0 {
			if s.isBroken(xs[i-1], xs[i]) {
				end()
			} else {
				for _, edge := range []float64{s.part.from, s.part.to} {
					if xs[i-1] < edge && xs[i] > edge {
						run = append(run, sample{edge, vs[i-1] + (vs[i]-vs[i-1])*(edge-xs[i-1])/(xs[i]-xs[i-1])})
					}
				}
			}
		}
		if s.part.holds(xs[i]) {
			run = append(run, sample{xs[i], vs[i]})
		}
	}
	end()
	return runs
}

// isBroken reports whether a gap lies between two places.
func (s *strip) isBroken(from, to float64) bool {
	for _, bay := range s.part.bays {
		if bay.Gap != "" && from < bay.From+1e-6 && to > bay.To-1e-6 {
			return true
		}
	}
	return false
}

func (s *strip) x(at float64) float64 {
	return s.left + (s.course.at(at).Level-s.part.level[0])*s.scale
}

func (s *strip) paper(q sample) paper { return paper{s.x(q.at), s.y - q.value*s.unit} }

// draw draws the line with its posts, the curve with its hatch, and the largest values of either
// sign with words.
func (s *strip) draw(words func(value float64) string) {
	s.base()
	least, most := sample{value: math.Inf(1)}, sample{value: math.Inf(-1)}
	for _, run := range s.runs() {
		if !s.plain {
			s.fill(run)
		}
		points := make([]paper, len(run))
		for i, q := range run {
			points[i] = s.paper(q)
			if q.value > most.value {
				most = q
			}
			if q.value < least.value {
				least = q
			}
		}
		s.line(medium, points...)
	}
	if math.IsInf(most.value, -1) {
		return
	}
	if height := math.Max(math.Abs(least.value), math.Abs(most.value)); height*s.unit > seenOnPaper {
		s.labels(least, most, height, words)
	}
}

// labels writes the largest values of either sign, those that show beside the larger.
func (s *strip) labels(least, most sample, height float64, words func(value float64) string) {
	if most.value > shownBeside*height {
		s.label(most, words(most.value))
	}
	if least.value < -shownBeside*height {
		s.label(least, words(least.value))
	}
}

// shownBeside is the part of the larger value from which on that of the other sign is written.
const shownBeside = 0.08

// seenOnPaper is the height of a curve, mm, below which it is the line itself and has no words.
const seenOnPaper = 0.2

// room returns how much paper the strip needs above its line and below it, words included.
func (s *strip) room() (above, below float64) {
	high, low := s.extent()
	above, below = high*s.unit+2, low*s.unit+2
	if high > shownBeside*low && high*s.unit > seenOnPaper {
		above += letterSize
	}
	if low > shownBeside*high && low*s.unit > seenOnPaper {
		below += letterSize
	}
	return above, below
}

// base draws the line that stands for the rail, with strokes at its posts.
func (s *strip) base() {
	for _, bay := range s.part.bays {
		if bay.Gap == "" && !s.plain {
			s.line(fine, paper{s.x(bay.From), s.y}, paper{s.x(bay.To), s.y})
		} else if bay.Gap == "" {
			s.dashed(fine, paper{s.x(bay.From), s.y}, paper{s.x(bay.To), s.y})
		} else {
			s.write(paper{s.x((bay.From + bay.To) / 2), s.y - 0.6}, smallLetters, atMiddle, bay.Gap)
		}
	}
	for _, p := range s.postsOf(s.part) {
		s.line(medium, paper{s.x(p.X), s.y - 0.8}, paper{s.x(p.X), s.y + 0.8})
	}
}

// numbers writes the numbers of the posts at a height.
func (s *strip) numbers(y float64) {
	last := math.Inf(-1)
	for _, p := range s.postsOf(s.part) {
		text := fmt.Sprint(p.Post)
		half := lettersWide(text, letterSize) / 2
		if x := s.x(p.X); x-half > last+0.8 {
			s.write(paper{x, y}, letterSize, atMiddle, text)
			last = x + half
		}
	}
	for _, w := range s.Walls {
		if s.part.holds(w.X) {
			s.write(paper{s.x(w.X), y}, letterSize, atMiddle, "wall")
		}
	}
}

// fill hatches what is between the curve and the line, by sign.
func (s *strip) fill(run []sample) {
	var side []sample
	sign := 0.0
	flush := func() {
		if len(side) > 1 {
			points := []paper{{s.x(side[0].at), s.y}}
			for _, q := range side {
				points = append(points, s.paper(q))
			}
			s.hatch(45*sign, append(points, paper{s.x(side[len(side)-1].at), s.y})...)
		}
		side = nil
	}
	for i, q := range run {
		now := signOf(q.value)
		if i > 0 && sign*now < 0 {
			before := run[i-1]
			cross := sample{at: before.at + (q.at-before.at)*before.value/(before.value-q.value)}
			side = append(side, cross)
			flush()
			side = append(side, cross)
		}
		if now != 0 {
			sign = now
		}
		side = append(side, q)
	}
	if sign != 0 {
		flush()
	}
}

func signOf(v float64) float64 {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

// label writes a value at its place, beyond the curve.
func (s *strip) label(q sample, text string) {
	at := s.paper(q)
	s.line(bold, paper{at[0], at[1] - 0.5}, paper{at[0], at[1] + 0.5})
	y := at[1] - 1
	if q.value < 0 {
		y = at[1] + letterSize
	}
	half := lettersWide(text, letterSize) / 2
	x := math.Min(math.Max(at[0], half+1), s.width-half-1)
	s.writeFree(letterSize, text, atMiddle, paper{x, y}, paper{x + half + 1, y}, paper{x - half - 1, y})
}

// loadMarks says below y where the loads stand along the run, one below the other: a stroke for a
// point, a thick line for a line load. It returns the y below them.
func (s *strip) loadMarks(y float64, loads ...check.ShapeLoad) float64 {
	for _, l := range loads {
		words := "load"
		if len(loads) > 1 {
			words = strings.TrimSpace(l.Size + " " + strings.TrimSuffix(l.Toward, ","))
		}
		stands := false
		for _, span := range l.Spans {
			from, to := math.Max(span[0], s.part.from), math.Min(span[1], s.part.to)
			if to < from {
				continue
			}
			a, b := s.x(from), s.x(to)
			if span[0] != span[1] {
				s.line(bold, paper{a, y + 1.2}, paper{b, y + 1.2})
			}
			s.line(bold, paper{a, y}, paper{a, y + 2.4})
			s.line(bold, paper{b, y}, paper{b, y + 2.4})
			if half := lettersWide(words, smallLetters) / 2; !stands {
				x := math.Min(math.Max((a+b)/2, half+1), s.width-half-1)
				s.write(paper{x, y + 2.4 + smallLetters}, smallLetters, atMiddle, words)
			}
			stands = true
		}
		if stands {
			y += 2.4 + smallLetters + 1.2
		}
	}
	return y
}

// uprightStrip is a quantity up a post, drawn beside a line that stands for the post: positive values to
// the right.
type uprightStrip struct {
	*drawing
	diagram *check.Diagram
	x, y    float64 // of z = 0 on paper
	scale   float64 // mm to a metre of height
	unit    float64
	plain   bool
}

func (u *uprightStrip) paper(z, value float64) paper {
	return paper{u.x + value*u.unit, u.y - z*u.scale}
}

// draw draws the line of the post, the curve with its hatch, and its largest values.
func (u *uprightStrip) draw(words func(value float64) string) {
	zs, vs := u.diagram.Stations, u.diagram.Values
	if len(zs) < 2 {
		return
	}
	if u.plain {
		u.dashed(fine, u.paper(zs[0], 0), u.paper(zs[len(zs)-1], 0))
	} else {
		u.line(fine, u.paper(zs[0], 0), u.paper(zs[len(zs)-1], 0))
	}
	points := make([]paper, len(zs))
	most := 0
	for i := range zs {
		points[i] = u.paper(zs[i], vs[i])
		if math.Abs(vs[i]) > math.Abs(vs[most]) {
			most = i
		}
	}
	if !u.plain {
		u.fill(zs, vs)
	}
	u.line(medium, points...)
	if vs[most] == 0 {
		return
	}
	at, a := points[most], atStart
	x := at[0] + 1
	if vs[most] < 0 {
		a, x = atEnd, at[0]-1
	}
	u.writeFree(letterSize, words(vs[most]), a, paper{x, at[1] + 0.35*letterSize}, paper{x, at[1] - 1})
}

// fill hatches by sign.
func (u *uprightStrip) fill(zs, vs []float64) {
	from := 0
	flush := func(to int) {
		sign := 0.0
		for i := from; i <= to; i++ {
			if v := signOf(vs[i]); v != 0 {
				sign = v
			}
		}
		if sign == 0 || to == from {
			return
		}
		points := []paper{u.paper(zs[from], 0)}
		for i := from; i <= to; i++ {
			points = append(points, u.paper(zs[i], vs[i]))
		}
		u.hatch(45*sign, append(points, u.paper(zs[to], 0))...)
	}
	for i := 1; i < len(zs); i++ {
		if vs[i-1]*vs[i] < 0 {
			flush(i - 1)
			from = i
		}
	}
	flush(len(zs) - 1)
}

// nice is the largest of 1, 2 and 5 times a power of ten that is not above v.
func nice(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)+1e-9))
	for _, times := range []float64{5, 2} {
		if times*power <= v*(1+1e-9) {
			return times * power
		}
	}
	return power
}

// find returns a diagram of the result; nil for none.
func find(r *check.Result, under, element, quantity string) *check.Diagram {
	for i := range r.Diagrams {
		d := &r.Diagrams[i]
		if d.Under == under && d.Element == element && d.Quantity == quantity && len(d.Stations) > 1 {
			return d
		}
	}
	return nil
}

// largestOf is the largest value of a diagram, without its sign.
func largestOf(d *check.Diagram) (largest float64) {
	if d == nil {
		return 0
	}
	for _, v := range d.Values {
		largest = math.Max(largest, math.Abs(v))
	}
	return largest
}

// tracedRows are the rows of the part of the run that a diagram along a rail tells of.
func (c course) tracedRows(d *check.Diagram) []part {
	from, to := d.Stations[0], d.Stations[len(d.Stations)-1]
	traced := *c.Shape
	traced.Bays = nil
	for _, bay := range c.Bays {
		if bay.To > from+1e-6 && bay.From < to-1e-6 {
			traced.Bays = append(traced.Bays, bay)
		}
	}
	if len(traced.Bays) == 0 {
		return nil
	}
	return course{&traced}.rows()
}

// leftOutBays says which bays a diagram leaves out; empty for none.
func (c course) leftOutBays(rows []part) []string {
	first, last := rows[0].bays[0].Bay, rows[len(rows)-1].bays[len(rows[len(rows)-1].bays)-1].Bay
	if first == c.Bays[0].Bay && last == c.Bays[len(c.Bays)-1].Bay {
		return nil
	}
	return []string{fmt.Sprintf("Of %d bays those from %d to %d, about what governs, are drawn.", len(c.Bays), first, last)}
}

// underWords say what a diagram is under.
func underWords(d *check.Diagram) string {
	words := fmt.Sprintf("Under the load of %s of %s", d.Check.ID, d.Check.Element)
	if d.Combination != "" {
		words += ", " + d.Combination
	}
	return words + ": " + d.Load + "."
}

// sameCheck reports whether two references name the same check.
func sameCheck(a, b check.CheckRef) bool { return a.ID == b.ID && a.Element == b.Element }

// rowHigh is about how high one row of a strip is on paper, with its numbers and its loads, mm.
func (s *strip) rowHigh(loads int) float64 {
	above, below := s.room()
	return 2 + above + below + letterSize + 2 + float64(loads)*(2.4+smallLetters+1.2)
}

// within keeps of some rows those nearest to that of an element whose heights together do not go beyond
// a room, one at least.
func (c course) within(rows []part, element string, room float64, high func(*part) float64) []part {
	e := elevating{course: c}
	first := max(e.rowOf(rows, element), 0)
	last := first
	taken := high(&rows[first])
	for {
		switch {
		case last+1 < len(rows) && taken+high(&rows[last+1]) <= room:
			last++
			taken += high(&rows[last])
		case first > 0 && taken+high(&rows[first-1]) <= room:
			first--
			taken += high(&rows[first])
		default:
			return rows[first : last+1]
		}
	}
}
