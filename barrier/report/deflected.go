package report

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// deflected draws how the barrier moves under the load that governs its movement, or its strength
// where no movement is limited: the rail that moves most from above, and the post that does from the
// side, enlarged.
func deflected(r *check.Result, o TextOptions) *drawing {
	if r.Shape == nil {
		return nil
	}
	m := &movingSheet{drawing: newDrawing("Deflected shape: " + r.Title), course: course{r.Shape}, r: r, o: o}
	rail := m.most(m.railNames(), check.MovementOut, check.MovementUp)
	out := find(r, check.UnderDeflection, rail, check.MovementOut)
	if out == nil {
		return nil
	}
	post := m.most(m.postNames(), check.MovementOut, check.MovementAlong)
	rows := m.tracedRows(out)
	scale := math.Min((sheetWidth-2*stripMargin)/longestOf(rows), mostScale)
	enlarged := m.enlarged(rail, post, scale)
	y := m.head(2, underWords(out))
	panels, largest := m.panels(rail)
	const postAndNotes = 95.0
	rows = m.within(rows, out.Check.Element, sheetHeight-postAndNotes-10*float64(len(panels)), func(p *part) (high float64) {
		for _, d := range panels {
			s := m.stripOf(d, p, scale, enlarged)
			high += s.rowHigh(len(m.under(check.UnderDeflection)))
		}
		return high
	})
	for _, d := range panels {
		y += letterSize * lineFeed
		m.write(paper{2, y}, letterSize, atStart, rail+", "+movesHow(d.Quantity))
		for i := range rows {
			y = m.strip(d, &rows[i], y+2, scale, enlarged)
		}
	}
	y = m.upright(post, y+2, enlarged, largest)
	told := fmt.Sprintf("Movements are drawn %s times larger than lengths; dashed: where it stood. The largest of %s is %s.", enlargedWords(enlarged), rail, m.words(largest))
	if len(panels) == 0 {
		told = fmt.Sprintf("Movements are drawn %s times larger than lengths; dashed: where it stood. Rails move neither outward nor up or down.", enlargedWords(enlarged))
	}
	if along := largestOf(find(r, check.UnderDeflection, rail, check.MovementAlong)); along > 0.01*largest {
		told += fmt.Sprintf(" Along the run %s moves at most %s.", rail, m.words(along))
	}
	m.description = underWords(out) + " " + told
	notes := []string{told}
	if out.Note != "" {
		notes = append(notes, out.Note)
	}
	m.notes(y, append(notes, m.leftOutBays(rows)...)...)
	return m.drawing
}

// panels are the movements of a rail outward and up that matter beside the larger of them and that
// along the run, and the larger of the two.
func (m *movingSheet) panels(rail string) (panels []*check.Diagram, largest float64) {
	all := largestOf(find(m.r, check.UnderDeflection, rail, check.MovementAlong)) / 10
	of := []*check.Diagram{find(m.r, check.UnderDeflection, rail, check.MovementOut), find(m.r, check.UnderDeflection, rail, check.MovementUp)}
	for _, d := range of {
		largest = math.Max(largest, largestOf(d))
	}
	const matters = 0.1
	for _, d := range of {
		if v := largestOf(d); v > 0 && v >= matters*math.Max(largest, all) {
			panels = append(panels, d)
		}
	}
	return panels, largest
}

type movingSheet struct {
	*drawing
	course
	r *check.Result
	o TextOptions
}

// enlargedWords prints a factor.
func enlargedWords(v float64) string {
	if v < 1 {
		return quantity.Fix(v, 2)
	}
	return quantity.Fix(v, 0)
}

func (m *movingSheet) railNames() (names []string) {
	for _, r := range m.Rails {
		names = append(names, "rail "+r.Rail)
	}
	return names
}

func (m *movingSheet) postNames() (names []string) {
	for _, p := range m.Posts {
		names = append(names, fmt.Sprintf("post %d", p.Post))
	}
	return names
}

// most is the element that moves most in one of some ways: the first of those that tie.
func (m *movingSheet) most(elements []string, ways ...string) string {
	name, largest := "", 0.0
	for _, e := range elements {
		v := 0.0
		for _, way := range ways {
			v = math.Max(v, largestOf(find(m.r, check.UnderDeflection, e, way)))
		}
		if name == "" && find(m.r, check.UnderDeflection, e, check.MovementOut) != nil || v > largest*(1+1e-9) {
			name, largest = e, v
		}
	}
	return name
}

// ofPost is how the post is seen from the side: across the run, or along it where it moves more.
func (m *movingSheet) ofPost(post string) (d *check.Diagram, right string) {
	out, along := find(m.r, check.UnderDeflection, post, check.MovementOut), find(m.r, check.UnderDeflection, post, check.MovementAlong)
	if largestOf(along) > largestOf(out) {
		return along, "the end of the run"
	}
	return out, "outward"
}

// postScale is the scale at which the post is drawn, mm to a metre.
const postScale = 34.0

// enlarged is the factor on movements, one for all of the sheet: a round one at which none goes
// farther than the room for it.
func (m *movingSheet) enlarged(rail, post string, scale float64) float64 {
	most := math.Inf(1)
	for _, of := range []string{check.MovementOut, check.MovementUp} {
		if v := largestOf(find(m.r, check.UnderDeflection, rail, of)); v > 0 {
			most = math.Min(most, stripHeight/(v/1e3*scale))
		}
	}
	d, _ := m.ofPost(post)
	if v := largestOf(d); v > 0 {
		most = math.Min(most, 40/(v/1e3*postScale))
	}
	if math.IsInf(most, 1) {
		return 1
	}
	return nice(most)
}

func movesHow(of string) string {
	if of == check.MovementUp {
		return "from the side, up and down"
	}
	return "from above, outward upwards on the paper"
}

func (m *movingSheet) words(v float64) string { return valueIn(m.o.Units, v, "mm") }

func (m *movingSheet) stripOf(d *check.Diagram, p *part, scale, enlarged float64) strip {
	return strip{drawing: m.drawing, course: m.course, diagram: d, part: p, left: stripMargin, scale: scale, unit: scale * enlarged / 1e3, plain: true}
}

// strip draws one row of the rail below y, and returns the y below it.
func (m *movingSheet) strip(d *check.Diagram, p *part, y, scale, enlarged float64) float64 {
	s := m.stripOf(d, p, scale, enlarged)
	above, below := s.room()
	s.y = y + above
	s.draw(m.words)
	low := s.y + below + letterSize
	s.numbers(low)
	low = s.loadMarks(low+1.2, m.under(check.UnderDeflection)...)
	return low + 2
}

// upright draws the post from the side below y, where it moves enough beside the largest movement to
// be seen, and returns the y below it.
func (m *movingSheet) upright(post string, y, enlarged, largest float64) float64 {
	out, right := m.ofPost(post)
	const seen = 0.03
	if v := largestOf(out); v == 0 || v < seen*largest {
		return y
	}
	y += letterSize * lineFeed
	m.write(paper{2, y}, letterSize, atStart, post+", from the side, "+right+" to the right")
	foot, top := out.Stations[0], out.Stations[len(out.Stations)-1]
	scale := math.Min(postScale, 60/(top-foot))
	u := uprightStrip{drawing: m.drawing, diagram: out, x: 60, y: y + 6 + top*scale, scale: scale, unit: postScale * enlarged / 1e3, plain: true}
	u.levels(m.course, 2)
	u.draw(m.words)
	at := u.paper(foot, 0)
	m.line(medium, paper{at[0] - 6, at[1]}, paper{at[0] + 6, at[1]})
	m.write(paper{at[0], at[1] + smallLetters + 1}, smallLetters, atMiddle, "foot: "+m.Posts[0].Base)
	return at[1] + smallLetters + 4
}
