package report

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// bending draws the bending moments along the highest rail, or that which governs, and down the
// governing post, under the load of the governing strength check.
func bending(r *check.Result, o TextOptions) *drawing {
	if r.Shape == nil {
		return nil
	}
	b := &bendingSheet{drawing: newDrawing("Bending moment: " + r.Title), course: course{r.Shape}, r: r, o: o}
	rail := b.rail()
	across := find(r, check.UnderStrength, rail, check.MomentAcross)
	if across == nil {
		return nil
	}
	y := b.head(2, underWords(across))
	rows := b.tracedRows(across)
	panels := b.panels(rail, check.MomentAcross, check.MomentUp)
	largest := 0.0
	for _, p := range panels {
		largest = math.Max(largest, largestOf(p))
	}
	scale := math.Min((sheetWidth-2*stripMargin)/longestOf(rows), mostScale)
	const postAndNotes = 95.0
	rows = b.within(rows, across.Check.Element, sheetHeight-postAndNotes-10*float64(len(panels)), func(p *part) (high float64) {
		for _, d := range panels {
			s := b.stripOf(d, p, scale, largest)
			high += s.rowHigh(len(b.under(check.UnderStrength)))
		}
		return high
	})
	for _, diagram := range panels {
		y += letterSize * lineFeed
		b.write(paper{2, y}, letterSize, atStart, rail+": "+momentSides(diagram.Quantity))
		for i := range rows {
			y = b.strip(diagram, &rows[i], y+2, scale, largest)
		}
	}
	post := b.post()
	y = b.uprights(post, y+2)
	b.description = fmt.Sprintf("%s Largest along %s %s; in %s %s.", underWords(across), rail, b.moment(largest), post, b.moment(b.largestIn(post)))
	notes := []string{"A hatch that rises to the right is positive, one that falls negative. A stroke or a thick line below shows where along the run the load stands."}
	if len(panels) == 1 {
		notes[0] += " Bending of the rail about its other axis is less than a tenth of that and is left out."
	}
	if across.Note != "" {
		notes = append(notes, across.Note)
	}
	b.notes(y, append(notes, b.leftOutBays(rows)...)...)
	return b.drawing
}

type bendingSheet struct {
	*drawing
	course
	r *check.Result
	o TextOptions
}

// stripMargin is the room at either side of a strip, and stripHeight how high its largest value is, mm.
const stripMargin, stripHeight = 12.0, 13.0

// longestOf is the length of the longest of some rows, m in plan.
func longestOf(rows []part) (longest float64) {
	for i := range rows {
		longest = math.Max(longest, rows[i].level[1]-rows[i].level[0])
	}
	return longest
}

// head writes words above all else.
func (d *drawing) head(y float64, words string) float64 {
	for _, line := range wrapLetters(words, letterSize, d.width-4) {
		y += letterSize * lineFeed
		d.write(paper{2, y}, letterSize, atStart, line)
	}
	return y + 2
}

// rail is the one that governs strength, otherwise the highest.
func (b *bendingSheet) rail() string {
	highest := 0
	for i, r := range b.Rails {
		if strings.HasPrefix(b.strength().Element, "rail "+r.Rail+" bay ") {
			return "rail " + r.Rail
		}
		if r.Height > b.Rails[highest].Height {
			highest = i
		}
	}
	return "rail " + b.Rails[highest].Rail
}

// strength is the check under whose load the moments are.
func (b *bendingSheet) strength() check.CheckRef {
	for i := range b.r.Diagrams {
		if d := &b.r.Diagrams[i]; d.Under == check.UnderStrength {
			return d.Check
		}
	}
	return check.CheckRef{}
}

// post is the one that governs strength, otherwise that with the largest moment under the load.
func (b *bendingSheet) post() string {
	governs, largest := "", -1.0
	for _, p := range b.Posts {
		name := fmt.Sprintf("post %d", p.Post)
		m := b.largestIn(name)
		if m <= 0 {
			continue
		}
		if name == b.strength().Element {
			return name
		}
		if m > largest*(1+1e-9) {
			governs, largest = name, m
		}
	}
	return governs
}

// largestIn is the largest moment of a post about either axis.
func (b *bendingSheet) largestIn(post string) float64 {
	return math.Max(largestOf(find(b.r, check.UnderStrength, post, check.MomentAcross)), largestOf(find(b.r, check.UnderStrength, post, check.MomentAlong)))
}

// panels are the diagrams of an element that matter: those above a part of the largest.
func (b *bendingSheet) panels(element string, quantities ...string) (panels []*check.Diagram) {
	largest := 0.0
	for _, q := range quantities {
		largest = math.Max(largest, largestOf(find(b.r, check.UnderStrength, element, q)))
	}
	const matters = 0.1
	for i, q := range quantities {
		if d := find(b.r, check.UnderStrength, element, q); d != nil && (largestOf(d) > matters*largest || i == 0 && largest == 0) {
			panels = append(panels, d)
		}
	}
	return panels
}

// momentSides says what is positive of a moment.
func momentSides(of string) string {
	switch of {
	case check.MomentAcross:
		return "bending across the run, positive with tension on the walking side"
	case check.MomentUp:
		return "bending up and down, positive with tension below"
	}
	return "bending along the run, positive with tension towards the start"
}

// moment prints a moment.
func (b *bendingSheet) moment(v float64) string { return valueIn(b.o.Units, v, "Nm") }

// valueIn prints a value of the result with its unit.
func valueIn(units quantity.System, v float64, unit string) string {
	read := readingIn(units, unit)
	return strings.TrimSpace(quantity.Fix(readIn(units, v, unit), read.digits) + " " + read.unit)
}

// strip draws one row of one diagram below y, and returns the y below it.
func (b *bendingSheet) strip(d *check.Diagram, p *part, y, scale, largest float64) float64 {
	s := b.stripOf(d, p, scale, largest)
	above, below := s.room()
	s.y = y + above
	s.draw(b.moment)
	low := s.y + below + letterSize
	s.numbers(low)
	low = s.loadMarks(low+1.2, b.under(check.UnderStrength)...)
	return low + 2
}

func (b *bendingSheet) stripOf(d *check.Diagram, p *part, scale, largest float64) strip {
	s := strip{drawing: b.drawing, course: b.course, diagram: d, part: p, left: stripMargin, scale: scale}
	if largest > 0 {
		s.unit = stripHeight / largest
	}
	return s
}

// under are the loads that diagrams are under.
func (c course) under(what string) []check.ShapeLoad {
	for _, u := range c.Under {
		if u.Under == what {
			return u.Loads
		}
	}
	return nil
}

// standing are the loads of what governs.
func (c course) standing() []check.ShapeLoad {
	if c.Load == nil {
		return nil
	}
	return append([]check.ShapeLoad{*c.Load}, c.Beside...)
}

// extent is how far the values go above and below the line.
func (s *strip) extent() (above, below float64) {
	for _, run := range s.runs() {
		for _, q := range run {
			above, below = math.Max(above, q.value), math.Max(below, -q.value)
		}
	}
	return above, below
}

// uprights draws the moments of a post below y, side by side, and returns the y below them.
func (b *bendingSheet) uprights(post string, y float64) float64 {
	panels := b.panels(post, check.MomentAcross, check.MomentAlong)
	if len(panels) == 0 {
		return y
	}
	const wide = 28.0
	zs := panels[0].Stations
	foot, top := zs[0], zs[len(zs)-1]
	scale := math.Min(mostScale, 50/(top-foot))
	y += letterSize * lineFeed
	for i, d := range panels {
		left := 2 + float64(i)*88
		room := 86.0
		if len(panels) == 1 {
			room = b.width - 4
		}
		lines := wrapLetters(post+": "+momentSides(d.Quantity), letterSize, room)
		for k, line := range lines {
			b.write(paper{left, y + float64(k)*letterSize*lineFeed}, letterSize, atStart, line)
		}
		x := left + 36
		if leans(d) < 0 {
			x = left + 66
		}
		u := uprightStrip{drawing: b.drawing, diagram: d, x: x, y: y + 8 + top*scale, scale: scale, unit: wide / math.Max(b.largestIn(post), 1e-12)}
		u.levels(b.course, left+2)
		u.draw(b.moment)
	}
	return y + 8 + (top-foot)*scale + 4
}

// leans is the sign of the largest value of a diagram.
func leans(d *check.Diagram) float64 {
	most := 0.0
	for _, v := range d.Values {
		if math.Abs(v) > math.Abs(most)*(1+1e-9) {
			most = v
		}
	}
	return signOf(most)
}

// levels draws a line at the height of each rail, of the walking surface, and of the foot.
func (u *uprightStrip) levels(c course, left float64) {
	foot := u.diagram.Stations[0]
	taken := math.Inf(1)
	mark := func(z float64, words string) {
		at := u.paper(z, 0)
		u.dashed(fine, paper{left + 12, at[1]}, paper{u.x, at[1]})
		y := math.Min(at[1]+0.3*smallLetters, taken-smallLetters*1.1)
		u.write(paper{left + 11, y}, smallLetters, atEnd, words)
		taken = y
	}
	if foot < 0 {
		mark(foot, "foot")
	}
	mark(0, "surface")
	for _, r := range railsUp(c.Rails) {
		mark(r.Height, cutTo(r.Rail, smallLetters, 11))
	}
}
