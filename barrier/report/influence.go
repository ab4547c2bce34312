package report

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// influence draws what a unit load at each place along the rail does to what governs.
func influence(r *check.Result, o TextOptions) *drawing {
	line := influenceLine(r)
	if r.Shape == nil || line == nil {
		return nil
	}
	f := &influenceSheet{drawing: newDrawing("Influence line: " + r.Title), course: course{r.Shape}, line: line, o: o}
	y := f.head(2, upperFirst(line.Response)+": what a load of "+f.load()+" adds to it, at each place where the load may stand.")
	rows := f.tracedRows(&check.Diagram{Stations: f.span()})
	largest := largestOf(line)
	scale := math.Min((sheetWidth-2*stripMargin)/longestOf(rows), mostScale)
	stripOf := func(p *part) strip {
		return strip{drawing: f.drawing, course: f.course, diagram: line, part: p, left: stripMargin, scale: scale, unit: 1.6 * stripHeight / largest}
	}
	const notesBelow = 50.0
	rows = f.within(rows, line.Check.Element, sheetHeight-notesBelow, func(p *part) float64 {
		s := stripOf(p)
		return s.rowHigh(len(f.standing()))
	})
	for i := range rows {
		s := stripOf(&rows[i])
		above, below := s.room()
		s.y = y + above
		s.draw(f.words)
		low := s.y + below + letterSize
		s.numbers(low)
		if sameCheck(line.Check, f.LoadOf) {
			low = s.loadMarks(low+1.2, f.standing()...)
		}
		y = low + 2
	}
	f.description = fmt.Sprintf("%s under a load of %s. The largest value is %s.", upperFirst(line.Response), f.load(), f.words(f.largest()))
	notes := []string{
		fmt.Sprintf("Largest value %s. A hatch that rises to the right is positive, one that falls negative. A load stands for itself alone: permanent actions and factors are not in it.", f.words(f.largest())),
		fmt.Sprintf("%s of %s governs, utilisation %s.", line.Check.ID, line.Check.Element, Utilisation(line.Check.Utilisation, check.Fail)),
	}
	if f.Load != nil && sameCheck(line.Check, f.LoadOf) {
		notes[1] += " Its load, where it stands: " + f.Load.Words + "."
	}
	f.notes(y, append(notes, f.leftOutBays(rows)...)...)
	return f.drawing
}

type influenceSheet struct {
	*drawing
	course
	line *check.Diagram
	o    TextOptions
}

// influenceLine is that of the result; nil for none.
func influenceLine(r *check.Result) *check.Diagram {
	for i := range r.Diagrams {
		if d := &r.Diagrams[i]; d.Quantity == check.InfluenceOn && len(d.Stations) > 1 {
			return d
		}
	}
	return nil
}

// span are the ends of what is drawn: of a line that reaches less far than the bays that are told,
// those that it reaches.
func (f *influenceSheet) span() []float64 {
	return []float64{f.line.Stations[0], f.line.Stations[len(f.line.Stations)-1]}
}

// load is the unit load in words.
func (f *influenceSheet) load() string {
	if f.o.Units == quantity.US {
		return "1 lbf" + f.line.Load[len("1 N"):]
	}
	return "1 kN" + f.line.Load[len("1 N"):]
}

// largest is the value that is largest without its sign, with it.
func (f *influenceSheet) largest() float64 { return leans(f.line) * largestOf(f.line) }

// words prints a value: what a load of 1 kN, or of 1 lbf, does.
func (f *influenceSheet) words(v float64) string {
	const newtons = 4.4482216152605 // in 1 lbf, exact by definition
	us := f.o.Units == quantity.US
	load := 1e3
	if us {
		load = newtons
	}
	unit := f.line.Unit[:len(f.line.Unit)-len("/N")]
	if unit == "1" {
		return quantity.Fix(v*load, 3)
	}
	if us {
		return quantity.Fix(readIn(f.o.Units, v*load, unit), 3) + " " + readingIn(f.o.Units, unit).unit
	}
	return valueIn(f.o.Units, v*load, unit)
}

// upperFirst begins text with a capital.
func upperFirst(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
