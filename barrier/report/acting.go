package report

import (
	"math"

	"example.com/stanchion/barrier/check"
)

// loadNote says whose load is drawn where it is not that of what governs, which is of a test piece.
func (c course) loadNote(r *check.Result) []string {
	if g := r.Governing.Overall; c.LoadOf.ID != "" && !sameCheck(g, c.LoadOf) {
		return []string{"What governs, " + g.ID + " of " + g.Element + ", is not of this drawing: its load is that of " + c.LoadOf.ID + " of " + c.LoadOf.Element + "."}
	}
	return nil
}

// loadsIn are the governing load and those beside it as far as they stand in a part.
func (e *elevating) loadsIn(p *part) (loads []check.ShapeLoad) {
	for _, l := range e.standing() {
		stands := len(l.Spans) == 0 && len(l.Posts) == 0
		for _, s := range l.Spans {
			stands = stands || s[0] <= p.to+1e-6 && s[1] >= p.from-1e-6
		}
		for _, u := range l.Posts {
			stands = stands || p.holds(e.Posts[u.Post-1].X)
		}
		if stands {
			loads = append(loads, l)
		}
	}
	return loads
}

// loadArm is how long the arrow of a load is, mm.
const loadArm = 7.0

// loadBand is how high the band above a row is that the words of a load take, with a leader.
func loadBand(l *check.ShapeLoad, width float64) float64 {
	return float64(len(wrapLetters(l.Words, letterSize, width-4)))*letterSize*lineFeed + 2
}

// loads draws the loads of a row, their words in bands one above the other that begin at y, from each
// a leader to where the load stands where it crosses no words.
func (e *elevating) loads(loads []check.ShapeLoad, p *part, place *placing, y float64) {
	var leaders [][2]paper
	for i := range loads {
		l := &loads[i]
		spans := e.spansOn(l, p, place)
		middle := 2.0
		if len(spans) > 0 {
			middle = (spans[0][0][0] + spans[0][1][0]) / 2
		}
		y = e.loadWords(l, middle, y)
		for k, span := range spans {
			e.marksOf(l, span[0], span[1])
			if k == 0 {
				leaders = append(leaders, [2]paper{{middle, y + 0.8}, {middle, (span[0][1]+span[1][1])/2 - 2 - loadArm*math.Max(0, -l.Up)}})
			}
		}
		y += 2
	}
	for _, to := range leaders {
		if to[0][1] < to[1][1] && e.isFree(lettered{to[0][0] - 0.4, to[0][1] + 0.1, to[0][0] + 0.4, to[1][1]}) {
			e.line(fine, to[0], to[1])
		}
	}
}

// loadWords writes the words of a load below y, about where it stands, and returns the y below them.
func (e *elevating) loadWords(l *check.ShapeLoad, middle, y float64) float64 {
	wide, lines := 0.0, wrapLetters(l.Words, letterSize, e.width-4)
	for _, line := range lines {
		wide = math.Max(wide, lettersWide(line, letterSize))
	}
	left := math.Max(2, math.Min(middle-wide/2, e.width-2-wide))
	for _, line := range lines {
		y += letterSize * lineFeed
		e.write(paper{left, y}, letterSize, atStart, line)
	}
	return y
}

// spansOn are the ends on paper of the lengths over which a load stands in a part.
func (e *elevating) spansOn(l *check.ShapeLoad, p *part, place *placing) (spans [][2]paper) {
	for _, s := range l.Spans {
		if from, to := math.Max(s[0], p.from), math.Min(s[1], p.to); to >= from {
			spans = append(spans, e.alongRail(from, to, l.Height, place)...)
		}
	}
	for _, u := range l.Posts {
		if x := e.Posts[u.Post-1].X; p.holds(x) {
			spans = append(spans, [2]paper{place.at(x, u.From), place.at(x, u.To)})
		}
	}
	return spans
}

// alongRail are the ends on paper of the straight pieces of a length at a height: a rail bends where the
// slope of the run changes.
func (e *elevating) alongRail(from, to, height float64, place *placing) (pieces [][2]paper) {
	const level = 0.2 // mm on paper that a bend may leave the straight
	start, end := place.at(from, height), place.at(to, height)
	for _, s := range e.Course {
		if s.X <= from || s.X >= to {
			continue
		}
		bend := place.at(s.X, height)
		if chord := math.Hypot(end[0]-start[0], end[1]-start[1]); math.Abs((bend[0]-start[0])*(end[1]-start[1])-(bend[1]-start[1])*(end[0]-start[0])) > level*chord {
			pieces = append(pieces, [2]paper{start, bend})
			start = bend
		}
	}
	return append(pieces, [2]paper{start, end})
}

// marksOf draws the marks of a load.
func (e *elevating) marksOf(l *check.ShapeLoad, from, to paper) {
	length := math.Hypot(to[0]-from[0], to[1]-from[1])
	n := math.Max(1, math.Round(length/6))
	for k := 0.0; k <= n; k++ {
		at := paper{from[0] + (to[0]-from[0])*k/n, from[1] + (to[1]-from[1])*k/n}
		e.loadMark(l, at)
		if length == 0 {
			break
		}
	}
}

// loadMark draws one arrow: from the side it is a line, towards the reader or away from him a ring
// with a dot or a cross.
func (e *elevating) loadMark(l *check.ShapeLoad, at paper) {
	inPlane := math.Hypot(l.Along, l.Up)
	if inPlane > 0.05 {
		e.arrow(bold, paper{at[0] - loadArm*l.Along, at[1] + loadArm*l.Up}, at)
	}
	away := l.Outward
	if e.Hazard == "right" { // seen from the hazard side
		away = -away
	}
	if math.Abs(away) < 0.05 {
		return
	}
	e.ring(at, away > 0)
}

// rising is 1 where an arrow of some loads comes from above, 0 otherwise.
func (e *elevating) rising(loads []check.ShapeLoad) float64 {
	for _, l := range loads {
		if l.Up < -0.05 {
			return 1
		}
	}
	return 0
}
