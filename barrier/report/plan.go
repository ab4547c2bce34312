package report

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// plan draws the barrier from above: legs with their lengths, posts with their numbers, braces, walls
// and gaps, the hazard's side, and the governing load. Beside a long run, whose bays are too small
// on paper, it draws those about what governs.
func plan(r *check.Result, o TextOptions) *drawing {
	if r.Shape == nil {
		return nil
	}
	d := newDrawing("Plan: " + r.Title)
	p := &planning{drawing: d, course: course{r.Shape}, r: r, o: o}
	y := 0.0
	for _, l := range p.standing() {
		y = d.head(y, l.Words)
	}
	all := part{bays: p.Bays, from: p.Bays[0].From, to: p.Bays[len(p.Bays)-1].To}
	y = p.panel(&all, y+1)
	left := []string{}
	if near := p.close(); near != nil {
		y += letterSize*lineFeed + 1
		d.write(paper{2, y}, letterSize, atStart, fmt.Sprintf("Bays %d to %d, about what governs:", near.bays[0].Bay, near.bays[len(near.bays)-1].Bay))
		y = p.panel(near, y+1)
		left = append(left, "The upper drawing has the posts and the numbers for which there is room.")
	}
	d.description = fmt.Sprintf("%d posts in %s; the hazard is on the %s, walking from start to end.", len(p.Posts), counted(max(1, len(r.Legs)), "leg"), p.Hazard)
	notes := []string{lengthsIn(o.Units) + " Seen from above, the start of the run on the left; the hazard is on the " + p.Hazard + ", walking from start to end."}
	d.notes(y, append(append(append(notes, p.legNotes()...), left...), p.loadNote(r)...)...)
	return d
}

type planning struct {
	*drawing
	course
	r *check.Result
	o TextOptions

	x0, y0, scale float64 // of the panel in hand: paper of the origin of the plan, mm to a metre
}

// Room of a panel: at its sides for words and loads, and at most in height, mm.
const planRoom, planHeight = 20.0, 120.0

// leastBay is the length of a bay on paper, mm, below which a plan shows the bays about what governs
// beside the whole run.
const leastBay = 5.0

// close are the bays about what governs where the whole run leaves them too small; nil otherwise.
func (p *planning) close() *part {
	mean := (p.Bays[len(p.Bays)-1].To - p.Bays[0].From) / float64(len(p.Bays)) * p.scale
	if mean >= leastBay {
		return nil
	}
	e := elevating{course: p.course, r: p.r}
	rows := e.rows()
	if i := e.rowOf(rows, p.LoadOf.Element); i >= 0 {
		return &rows[i]
	}
	return &rows[0]
}

// at puts a place of the plan on paper.
func (p *planning) at(plan [2]float64) paper {
	return paper{p.x0 + plan[0]*p.scale, p.y0 - plan[1]*p.scale}
}

func (p *planning) spot(x float64) paper { return p.at(p.course.at(x).Plan) }

// way is the direction of the run at x on paper, and to its left, of the leg that ends there.
func (p *planning) way(x float64) (along, left paper) {
	spots := p.Course
	i := 1
	for i < len(spots)-1 && spots[i].X < x-1e-9 {
		i++
	}
	dx, dy := spots[i].Plan[0]-spots[i-1].Plan[0], spots[i].Plan[1]-spots[i-1].Plan[1]
	length := math.Hypot(dx, dy)
	along = paper{dx / length, -dy / length}
	return along, paper{along[1], -along[0]}
}

// outward is the direction of outward at x on paper.
func (p *planning) outward(x float64) paper {
	_, left := p.way(x)
	if p.Hazard == "right" {
		return paper{-left[0], -left[1]}
	}
	return left
}

// panel draws a part of the run below y, and returns the y below it.
func (p *planning) panel(of *part, y float64) float64 {
	low, high := p.bounds(of)
	p.scale = math.Min(mostScale, (sheetWidth-2*planRoom)/math.Max(high[0]-low[0], 1e-9))
	p.scale = math.Min(p.scale, planHeight/math.Max(high[1]-low[1], 1e-9))
	p.x0 = planRoom - low[0]*p.scale
	p.y0 = y + planRoom + high[1]*p.scale
	for _, bay := range of.bays {
		p.bay(&bay)
	}
	p.walls(of)
	for i := range p.Braces {
		p.brace(&p.Braces[i], of)
	}
	p.legs(of)
	for _, l := range p.standing() {
		p.load(&l, of)
	}
	p.posts(of)
	p.sides(of)
	return p.y0 - low[1]*p.scale + planRoom
}

// bounds are the least and largest places of a part.
func (p *planning) bounds(of *part) (low, high [2]float64) {
	low, high = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	take := func(at [2]float64) {
		for k := range at {
			low[k], high[k] = math.Min(low[k], at[k]), math.Max(high[k], at[k])
		}
	}
	take(p.course.at(of.from).Plan)
	take(p.course.at(of.to).Plan)
	for _, s := range p.Course {
		if of.holds(s.X) {
			take(s.Plan)
		}
	}
	for _, b := range p.Braces {
		if of.holds(p.Posts[b.Post-1].X) {
			take([2]float64{b.From[0], b.From[1]})
		}
	}
	return low, high
}

// bay draws the rails of a bay, or names the gap.
func (p *planning) bay(bay *check.ShapeBay) {
	from, to := p.spot(bay.From), p.spot(bay.To)
	if bay.Gap == "" {
		p.line(bold, from, to)
		return
	}
	middle := paper{(from[0] + to[0]) / 2, (from[1] + to[1]) / 2}
	out := p.outward(bay.To)
	p.writeFree(smallLetters, bay.Gap, atMiddle, paper{middle[0], middle[1] + 0.35*smallLetters}, paper{middle[0] + 5*out[0], middle[1] + 5*out[1] + 1})
}

// walls draws the walls in which rails end.
func (p *planning) walls(of *part) {
	for _, w := range p.Walls {
		if !of.holds(w.X) {
			continue
		}
		at := p.spot(w.X)
		along, left := p.way(w.X)
		if w.X == p.Bays[0].From {
			along = paper{-along[0], -along[1]}
		}
		corner := func(a, l float64) paper {
			return paper{at[0] + a*along[0] + l*left[0], at[1] + a*along[1] + l*left[1]}
		}
		p.hatch(45, corner(0, -5), corner(3, -5), corner(3, 5), corner(0, 5))
		p.line(bold, corner(0, -5), corner(0, 5))
		p.write(corner(4+3*math.Abs(along[0]), -1), smallLetters, atMiddle, "wall")
	}
}

// brace draws a brace from its foot.
func (p *planning) brace(b *check.ShapeLine, of *part) {
	if !of.holds(p.Posts[b.Post-1].X) {
		return
	}
	from, to := p.at([2]float64{b.From[0], b.From[1]}), p.at([2]float64{b.To[0], b.To[1]})
	p.line(medium, from, to)
	p.line(medium, paper{from[0] - 1, from[1] - 1}, paper{from[0] + 1, from[1] + 1})
	p.line(medium, paper{from[0] - 1, from[1] + 1}, paper{from[0] + 1, from[1] - 1})
	p.writeFree(smallLetters, "brace", atMiddle, paper{from[0], from[1] + 3.6}, paper{from[0], from[1] - 2}, paper{from[0] + 5, from[1]})
}

// posts draws the posts for which there is room, with their numbers on the hazard's side.
func (p *planning) posts(of *part) {
	const room = 2.4 // from post to post
	last := paper{math.Inf(-1), 0}
	for _, post := range p.postsOf(of) {
		at := p.spot(post.X)
		if math.Hypot(at[0]-last[0], at[1]-last[1]) < room && !p.isCorner(post.X) {
			continue
		}
		last = at
		p.area(shade100, fine, circle(at, 1)...)
		out := p.outward(post.X)
		text := fmt.Sprint(post.Post)
		half := lettersWide(text, letterSize) / 2
		away := 1.6 + half*math.Abs(out[0]) + letterSize/2*math.Abs(out[1])
		put := func(side, along float64) paper {
			return paper{at[0] + side*away*out[0] - along*out[1], at[1] + side*away*out[1] + along*out[0] + 0.36*letterSize}
		}
		if p.isFree(boxOf(&inked{kind: lettering, points: []paper{put(1, 0)}, size: letterSize, anchor: atMiddle, text: text})) {
			p.writeFree(letterSize, text, atMiddle, put(1, 0), put(1, 2.4), put(1, -2.4), put(-1, 0), put(-1, 2.4), put(-1, -2.4))
		}
	}
}

func (p *planning) isCorner(x float64) bool {
	for _, s := range p.Course[1 : len(p.Course)-1] {
		if math.Abs(s.X-x) < 1e-6 {
			return true
		}
	}
	return false
}

// turnsAway reports whether the legs beside a leg, from 1, turn to the walking side, so that there is
// room on the other alone.
func (p *planning) turnsAway(leg int) bool {
	sum := 0.0
	for _, l := range p.r.Legs {
		if l.Leg == leg && leg > 1 || l.Leg == leg+1 {
			sum += l.Turn
		}
	}
	if p.Hazard == "right" {
		return sum > 0
	}
	return sum < 0
}

// legs dimensions each leg, where there is room on the walking side.
func (p *planning) legs(of *part) {
	for i := 1; i < len(p.Course); i++ {
		from, to := math.Max(p.Course[i-1].X, of.from), math.Min(p.Course[i].X, of.to)
		if to <= from {
			continue
		}
		words := drawnLength(to-from, p.o.Units)
		if len(p.Course) > 2 {
			words = fmt.Sprintf("leg %d: %s", i, words)
		}
		out, off := p.outward((from+to)/2), 13.5
		if p.turnsAway(i) {
			off = -off
		}
		move := func(at paper) paper { return paper{at[0] - off*out[0], at[1] - off*out[1]} }
		a, b := move(p.spot(from)), move(p.spot(to))
		if b[0] < a[0]-1e-9 || math.Abs(b[0]-a[0]) < 1e-9 && b[1] > a[1] { // words are not upside down
			a, b = b, a
		}
		p.dimension(a, b, words)
	}
}

// sides names the hazard's side and the walking surface at the longest leg.
func (p *planning) sides(of *part) {
	longest, at := 0.0, 0.0
	for i := 1; i < len(p.Course); i++ {
		from, to := math.Max(p.Course[i-1].X, of.from), math.Min(p.Course[i].X, of.to)
		if to-from > longest {
			longest, at = to-from, (from+to)/2
		}
	}
	p.side(at, longest, "hazard", 9, 12, 16)
	p.side(at, longest, "walking surface", -5, -8, -16)
}

// side writes a word beside the run about x, so far outward, where it covers nothing.
func (p *planning) side(x, length float64, words string, offs ...float64) {
	along, _ := p.way(x)
	turn := -math.Atan2(along[1], along[0]) * 180 / math.Pi
	if turn > 90.5 || turn < -89.5 {
		turn += 180
	}
	sin, cos := math.Sincos(-turn * math.Pi / 180)
	var places []paper
	for _, off := range offs {
		for _, part := range []float64{0, -0.12, 0.12, -0.25, 0.25, -0.35, 0.35} {
			spot, out := p.spot(x+part*length), p.outward(x)
			places = append(places, paper{spot[0] + off*out[0] - sin*0.36*letterSize, spot[1] + off*out[1] + cos*0.36*letterSize})
		}
	}
	p.writeFreeTurned(letterSize, words, atMiddle, turn, places...)
}

// load draws a load on a rail or a post, seen from above.
func (p *planning) load(l *check.ShapeLoad, of *part) {
	var at []float64
	mark := func(x float64) {
		at = append(at, x)
		p.loadAt(l, x)
	}
	for _, s := range l.Spans {
		from, to := math.Max(s[0], of.from), math.Min(s[1], of.to)
		if to < from {
			continue
		}
		n := math.Ceil((to - from) * p.scale / 6)
		if s[0] == s[1] {
			n = 0
		}
		for k := 0.0; k <= n; k++ {
			mark(from + (to-from)*k/math.Max(n, 1))
		}
	}
	for _, u := range l.Posts {
		if x := p.Posts[u.Post-1].X; of.holds(x) {
			mark(x)
		}
	}
	if len(at) > 0 {
		p.loadWords(l, at[0])
	}
}

// loadAt draws one arrow of a load: on the level a line, up a ring with a dot, down one with a cross.
func (p *planning) loadAt(l *check.ShapeLoad, x float64) {
	at := p.spot(x)
	if tail, level := p.tail(l, x); level {
		p.arrow(medium, tail, at)
	}
	if math.Abs(l.Up) > 0.05 {
		p.ring(at, l.Up < 0)
	}
}

// tail is where the arrow of a load begins, and whether it has one on the level; else it is a place
// beside the load on the walking side.
func (p *planning) tail(l *check.ShapeLoad, x float64) (tail paper, level bool) {
	at, out := p.spot(x), p.outward(x)
	along, _ := p.way(x)
	dx, dy := l.Outward*out[0]+l.Along*along[0], l.Outward*out[1]+l.Along*along[1]
	if math.Hypot(dx, dy) > 0.05 {
		return paper{at[0] - 9*dx, at[1] - 9*dy}, true
	}
	return paper{at[0] - 4*out[0], at[1] - 4*out[1]}, false
}

// loadWords writes size and direction of a load beside its first arrow.
func (p *planning) loadWords(l *check.ShapeLoad, x float64) {
	words := strings.TrimSpace(l.Size + " " + strings.TrimSuffix(l.Toward, ","))
	tail, _ := p.tail(l, x)
	wide := lettersWide(words, smallLetters)
	left, right := tail[0]-1.2-wide, tail[0]+1.2
	p.writeFree(smallLetters, words, atStart,
		paper{right, tail[1] + 1}, paper{left, tail[1] + 1}, paper{tail[0], tail[1] + 2.7}, paper{tail[0], tail[1] - 1}, paper{right, tail[1] + 4}, paper{left, tail[1] + 4},
		paper{tail[0] - wide/2, tail[1] + 3.4}, paper{tail[0] - wide/2, tail[1] - 2}, paper{left, tail[1] - 2}, paper{right, tail[1] - 2})
}

// ring draws what comes towards the reader, a ring with a dot, or goes away from him, one with a cross.
func (d *drawing) ring(at paper, away bool) {
	const radius = 1.7
	d.area(unfilled, medium, circle(at, radius)...)
	if !away {
		d.area(shade100, medium, circle(at, 0.5)...)
		return
	}
	k := radius / math.Sqrt2
	d.line(medium, paper{at[0] - k, at[1] - k}, paper{at[0] + k, at[1] + k})
	d.line(medium, paper{at[0] - k, at[1] + k}, paper{at[0] + k, at[1] - k})
}

// legNotes say how legs turn and climb.
func (p *planning) legNotes() (notes []string) {
	const most = 12
	var words []string
	for _, leg := range p.r.Legs {
		var parts []string
		if leg.Turn > 0 {
			parts = append(parts, "turns "+degrees(leg.Turn)+" to the left")
		} else if leg.Turn < 0 {
			parts = append(parts, "turns "+degrees(-leg.Turn)+" to the right")
		}
		if leg.Pitch > 0 {
			parts = append(parts, "rises at "+degrees(leg.Pitch))
		} else if leg.Pitch < 0 {
			parts = append(parts, "falls at "+degrees(-leg.Pitch))
		}
		if len(parts) > 0 {
			words = append(words, fmt.Sprintf("leg %d %s", leg.Leg, strings.Join(parts, " and ")))
		}
	}
	if len(words) > most {
		words = append(words[:most], "and so on")
	}
	if len(words) > 0 {
		notes = append(notes, upperFirst(strings.Join(words, "; "))+".")
	}
	if !p.isLevel() {
		notes = append(notes, "Lengths of legs are measured along the slope; the drawing has them as they are seen from above.")
	}
	return notes
}

func degrees(v float64) string {
	text := quantity.Fix(v, 1)
	return strings.TrimSuffix(text, ".0") + " deg"
}
