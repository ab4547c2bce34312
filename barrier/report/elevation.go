package report

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"example.com/stanchion/barrier/check"
)

// elevation draws posts, rails and braces as they stand, shaded by utilisation, with dimensions
// and the governing load. A run that is longer than a sheet is drawn in rows.
func elevation(r *check.Result, o TextOptions) *drawing {
	d := newDrawing("Elevation: " + r.Title)
	if r.Shape == nil {
		return nil
	}
	e := &elevating{drawing: d, course: course{r.Shape}, r: r, o: o}
	d.description = e.words()
	rows, left := e.chosen()
	y := 2.0
	for i := range rows {
		y = e.row(&rows[i], y)
	}
	d.notes(y, append(append(e.notesBelow(), left...), e.loadNote(r)...)...)
	return d
}

// elevating is an elevation in the making.
type elevating struct {
	*drawing
	course
	r     *check.Result
	o     TextOptions
	scale float64 // mm of paper to a metre
}

// Room at the sides of a row for the heights and for a wall, mm.
const (
	leftRoom, rightRoom = 27.0, 12.0
	mostScale           = 40.0 // mm to a metre
)

// mostHigh is how high the barrier of one row may be on paper, mm.
const mostHigh = 140.0

// scaleOf is the scale at which the longest of some rows fills the sheet, and none is too high.
func (e *elevating) scaleOf(rows []part) float64 {
	scale := math.Min(mostScale, (sheetWidth-leftRoom-rightRoom)/longestOf(rows))
	for i := range rows {
		low, high := e.rises(&rows[i])
		scale = math.Min(scale, mostHigh/(high+e.top()-low-e.lowest(&rows[i])))
	}
	return scale
}

// heightOf is about how high a row is on paper, mm.
func (e *elevating) heightOf(p *part) float64 {
	low, high := e.rises(p)
	words := 0.0
	for _, l := range e.loadsIn(p) {
		words += loadBand(&l, e.width) + loadArm
	}
	return words + (high+e.top()-low-e.lowest(p))*e.scale + 6 + belowFeet + 4 + 12 + e.slopeRoom(p, e.postsOf(p))
}

// chosen returns the rows that are drawn: all of them, or of a long run that of the governing load
// and those with the largest utilisations, as many as a sheet takes, in the order of the run; and
// words on what is left out. It sets the scale.
func (e *elevating) chosen() (rows []part, left []string) {
	all := e.rows()
	e.scale = e.scaleOf(all)
	order := make([]int, len(all))
	worst := make([]float64, len(all))
	for i := range all {
		order[i], worst[i] = i, e.worstIn(&all[i])
	}
	sort.SliceStable(order, func(a, b int) bool { return worst[order[a]] > worst[order[b]] })
	if g := e.rowOf(all, e.LoadOf.Element); g >= 0 {
		order = append([]int{g}, slices.DeleteFunc(order, func(i int) bool { return i == g })...)
	}
	const notes = 30.0
	taken, n := 0.0, 0
	for ; n < len(order); n++ {
		if taken += e.heightOf(&all[order[n]]); n > 0 && taken > sheetHeight-notes {
			break
		}
	}
	var names []string
	for _, i := range slices.Sorted(slices.Values(order[:n])) {
		rows, names = append(rows, all[i]), append(names, all[i].span())
	}
	if n == len(all) {
		return rows, nil
	}
	largest := 0.0
	for _, i := range order[n:] {
		largest = math.Max(largest, worst[i])
	}
	return rows, []string{fmt.Sprintf("Of %d bays those that govern are drawn: %s. No post that is left out has a utilisation above %s.", len(e.Bays), strings.Join(names, ", "), roundedUp(largest))}
}

// worstIn is the largest utilisation of the posts of a part; above any for one without bound.
func (e *elevating) worstIn(p *part) float64 {
	worst := 0.0
	for _, post := range e.postsOf(p) {
		row := &e.r.Posts[post.Post-1]
		for _, u := range []*float64{row.Utilisation, row.DeflectionUtilisation} {
			if u != nil {
				worst = math.Max(worst, *u)
			}
		}
	}
	return worst
}

// rowOf is the row in which an element of the checks stands; -1 where it is none of a place.
func (e *elevating) rowOf(rows []part, element string) int {
	for i := range rows {
		for _, post := range e.postsOf(&rows[i]) {
			if element == fmt.Sprintf("post %d", post.Post) || strings.HasPrefix(element, fmt.Sprintf("fitting %d ", post.Post)) {
				return i
			}
		}
		for _, bay := range rows[i].bays {
			if strings.HasPrefix(element, "rail ") && strings.HasSuffix(element, fmt.Sprintf(" bay %d", bay.Bay)) {
				return i
			}
		}
	}
	return -1
}

// placing puts x along the run and z above the walking surface of one row on paper.
type placing struct {
	course
	left, x0    float64 // mm; m in plan
	base, scale float64 // y of no rise and no height
}

func (p *placing) at(x, z float64) paper {
	s := p.course.at(x)
	return paper{p.left + (s.Level-p.x0)*p.scale, p.base - (s.Rise+z)*p.scale}
}

// row draws one row below y, and returns the y below it.
func (e *elevating) row(p *part, y float64) float64 {
	loads := e.loadsIn(p)
	top := y
	for i := range loads {
		top += loadBand(&loads[i], e.width)
	}
	place := placing{course: e.course, left: leftRoom, x0: p.level[0], scale: e.scale}
	low, high := e.rises(p)
	highest, lowest := high+e.top(), low+e.lowest(p)
	posts := e.postsOf(p)
	place.base = top + 6 + loadArm*e.rising(loads) + highest*e.scale
	e.walls(p, &place)
	e.surface(p, &place)
	for i := range e.Braces {
		e.brace(&e.Braces[i], p, &place)
	}
	for i := range e.Rails {
		e.rail(i, p, &place)
	}
	for _, post := range posts {
		e.post(&post, &place)
	}
	e.numbers(posts, p, &place)
	e.gaps(p, &place)
	e.loads(loads, p, &place, y)
	e.corners(p, &place)
	e.railNumbers(p, &place)
	e.jointWord(posts, p, &place)
	e.heightsOf(p, &place)
	return e.bayDimensions(p, posts, &place, lowest)
}

// top is the highest z.
func (e *elevating) top() float64 {
	top := 0.0
	if len(e.Posts) > 0 {
		top = e.Posts[0].Top
	}
	for _, r := range e.Rails {
		top = math.Max(top, r.Height)
	}
	return top
}

// lowest is the lowest z of feet in a part, those of braces among them, not above the walking surface.
func (e *elevating) lowest(p *part) float64 {
	low := 0.0
	if len(e.Posts) > 0 {
		low = math.Min(low, e.Posts[0].Foot)
	}
	for _, b := range e.Braces {
		if x := e.Posts[b.Post-1].X; p.holds(x) {
			low = math.Min(low, b.From[2]-e.course.at(x).Rise)
		}
	}
	return low
}

// Widths of posts and rails on paper, mm: more than their tubes have at this scale.
const (
	postWide, railWide, braceWide = 2.0, 1.4, 1.2
)

// surface draws the walking surface.
func (e *elevating) surface(p *part, place *placing) {
	points := []paper{}
	for _, s := range e.Course {
		if s.X > p.from && s.X < p.to {
			points = append(points, place.at(s.X, 0))
		}
	}
	first, last := place.at(p.from, 0), place.at(p.to, 0)
	points = append(append([]paper{{first[0] - 3, first[1]}, first}, points...), last, paper{last[0] + 3, last[1]})
	e.line(medium, points...)
}

// walls draws the walls in which rails end.
func (e *elevating) walls(p *part, place *placing) {
	for i, w := range e.Walls {
		if !p.holds(w.X) {
			continue
		}
		side := 4.0
		if w.X == e.Bays[0].From && (len(e.Walls) == 1 || i == 0) {
			side = -side
		}
		foot, head := place.at(w.X, 0), place.at(w.X, e.top()+0.05)
		e.hatch(45, foot, paper{foot[0] + side, foot[1]}, paper{head[0] + side, head[1]}, head)
		e.line(bold, foot, head)
		e.write(paper{foot[0] + side/2, foot[1] + letterSize + 0.6}, letterSize, atMiddle, "wall")
	}
}

// post draws one post.
func (e *elevating) post(p *check.ShapePost, place *placing) {
	row := &e.r.Posts[p.Post-1]
	head := place.at(p.X, p.Top)
	head[1] -= railWide / 2
	e.area(shadeOf(row.Utilisation, check.Fail), fine, tubeOutline(place.at(p.X, p.Foot), head, postWide)...)
}

// rail draws what of a rail stands in a part.
func (e *elevating) rail(i int, p *part, place *placing) {
	r, row := &e.Rails[i], &e.r.Rails[i]
	for _, piece := range r.Pieces {
		from, to := math.Max(piece[0], p.from), math.Min(piece[1], p.to)
		if to <= from {
			continue
		}
		places := []float64{from}
		for _, post := range e.Posts {
			if post.X > from+1e-9 && post.X < to-1e-9 {
				places = append(places, post.X)
			}
		}
		places = append(places, to)
		for k := 1; k < len(places); k++ {
			a, b := place.at(places[k-1], r.Height), place.at(places[k], r.Height)
			e.area(shadeOf(row.Utilisation, check.Fail), fine, tubeOutline(e.besidePost(places[k-1], a, b), e.besidePost(places[k], b, a), railWide)...)
		}
	}
	for _, x := range r.Splices {
		if at := place.at(x, r.Height); p.holds(x) {
			e.line(bold, paper{at[0], at[1] - 1.5}, paper{at[0], at[1] + 1.5})
		}
	}
}

// besidePost is an end of a rail, moved to the side of the post that stands there.
func (e *elevating) besidePost(x float64, end, other paper) paper {
	i := sort.Search(len(e.Posts), func(i int) bool { return e.Posts[i].X >= x-1e-6 })
	dx := other[0] - end[0]
	if i == len(e.Posts) || e.Posts[i].X > x+1e-6 || math.Abs(dx) < postWide {
		return end
	}
	part := postWide / 2 / math.Abs(dx)
	return paper{end[0] + dx*part, end[1] + (other[1]-end[1])*part}
}

// brace draws a brace as it is seen from the side of the run.
func (e *elevating) brace(b *check.ShapeLine, p *part, place *placing) {
	x := e.Posts[b.Post-1].X
	if !p.holds(x) {
		return
	}
	at := e.at(x)
	to := place.at(x, b.To[2]-at.Rise)
	from := paper{to[0] + b.Along*e.scale, to[1] + (b.To[2]-b.From[2])*e.scale}
	if b.Along == 0 { // it would hide behind its post
		from[0] += 1.6
		to[0] += 1.6
	}
	e.area(shadeOf(e.braceUtilisation(b), ""), fine, tubeOutline(from, to, braceWide)...)
}

func (e *elevating) braceUtilisation(b *check.ShapeLine) *float64 {
	for i := range e.Braces {
		if &e.Braces[i] == b && i < len(e.r.Braces) {
			return e.r.Braces[i].Utilisation
		}
	}
	return nil
}

// numbers writes the number, the utilisation and the foot of each post below it.
func (e *elevating) numbers(posts []check.ShapePost, of *part, place *placing) {
	word := ""
	if len(posts) > 0 {
		word = posts[0].Base
	}
	least := math.Inf(1)
	for i := 1; i < len(posts); i++ {
		least = math.Min(least, place.at(posts[i].X, 0)[0]-place.at(posts[i-1].X, 0)[0])
	}
	if n := len(posts); n > 0 && place.at(posts[n-1].X, 0)[0]+lettersWide(word, smallLetters)/2 > e.width {
		least = 0
	}
	foot := e.lowest(of)
	for i, p := range posts {
		at := place.at(p.X, foot)
		row := &e.r.Posts[p.Post-1]
		y := at[1] + headLetters + 0.6
		e.write(paper{at[0], y}, headLetters, atMiddle, fmt.Sprint(p.Post))
		y += smallLetters * lineFeed
		e.writeFree(smallLetters, Utilisation(row.Utilisation, check.Fail), atMiddle, paper{at[0], y}, paper{at[0] + 1.5, y}, paper{at[0] - 1.5, y}, paper{at[0] + 3, y}, paper{at[0], y + smallLetters*lineFeed})
		y += smallLetters * lineFeed
		switch {
		case lettersWide(word, smallLetters) < least-1:
			e.write(paper{at[0], y}, smallLetters, atMiddle, word)
		case i == 0:
			each := "each foot: " + word
			wide := lettersWide(each, smallLetters)
			places := []paper{{at[0] - postWide, y}}
			if !e.isLevel() { // the dimension line of a slope passes on the right
				places = nil
			}
			e.writeFree(smallLetters, each, atStart, append(places, paper{at[0] - wide + 2, y}, paper{at[0] - wide - 2, y - smallLetters}, paper{at[0] - postWide, y}, paper{at[0] - postWide, y + smallLetters*lineFeed})...)
		}
	}
}

// belowFeet is how far below a foot its words reach, mm.
const belowFeet = headLetters + 0.6 + 2*smallLetters*lineFeed + 0.6

// gaps names gaps and gates.
func (e *elevating) gaps(p *part, place *placing) {
	for _, bay := range p.bays {
		if bay.Gap != "" {
			e.write(place.at((bay.From+bay.To)/2, e.top()/2), letterSize, atMiddle, bay.Gap)
		}
	}
}

// corners says where the run turns or changes its slope.
func (e *elevating) corners(p *part, place *placing) {
	for i, leg := range e.r.Legs {
		if i == 0 || !p.holds(leg.From) {
			continue
		}
		words := fmt.Sprintf("leg %d", leg.Leg)
		if leg.Turn != 0 {
			words = fmt.Sprintf("corner %s, leg %d", degrees(math.Abs(leg.Turn)), leg.Leg)
		}
		at := place.at(leg.From, e.top())
		e.dashed(fine, paper{at[0], at[1] - railWide/2}, paper{at[0], at[1] - 5})
		right, left := at[0]+0.8, at[0]-0.8-lettersWide(words, smallLetters)
		var places []paper
		for _, up := range []float64{3, 5.8, 8.6} {
			places = append(places, paper{right, at[1] - up}, paper{left, at[1] - up})
		}
		e.writeFree(smallLetters, words, atStart, places...)
	}
}

// railNumbers writes the utilisation of each rail where it is largest.
func (e *elevating) railNumbers(p *part, place *placing) {
	if e.isCrowded() {
		e.railNumbersBeside(p, place)
		return
	}
	for i := range e.Rails {
		row := &e.r.Rails[i]
		if !p.holds(row.AtX) || row.AtX == p.from && p.from != e.Bays[0].From {
			continue
		}
		at := place.at(row.AtX, e.Rails[i].Height)
		text := Utilisation(row.Utilisation, check.Fail)
		half := lettersWide(text, smallLetters) / 2
		e.line(medium, paper{at[0], at[1] + railWide/2}, paper{at[0], at[1] + railWide/2 + 0.7})
		var places []paper
		for _, y := range []float64{at[1] + railWide/2 + smallLetters, at[1] - railWide/2 - 0.9, at[1] + railWide/2 + 2*smallLetters} {
			for _, x := range []float64{0, half + postWide/2 + 0.5, -half - postWide/2 - 0.5, half + postWide + 2, -half - postWide - 2} {
				places = append(places, paper{at[0] + x, y + 0.4})
			}
		}
		e.writeFree(smallLetters, text, atMiddle, places...)
	}
}

// isCrowded reports whether rails are so close on paper that no number stands between them.
func (e *elevating) isCrowded() bool {
	rails := railsUp(e.Rails)
	for i := 1; i < len(rails); i++ {
		if (rails[i].Height-rails[i-1].Height)*e.scale < railWide+smallLetters+1 {
			return true
		}
	}
	return false
}

// railNumbersBeside writes the utilisation of each rail at the end of the row in which it is largest.
func (e *elevating) railNumbersBeside(p *part, place *placing) {
	above := math.Inf(1)
	for _, r := range railsUp(e.Rails) {
		i := slices.IndexFunc(e.Rails, func(s check.ShapeRail) bool { return s.Rail == r.Rail })
		row := &e.r.Rails[i]
		if !p.holds(row.AtX) || row.AtX == p.from && p.from != e.Bays[0].From {
			continue
		}
		at := place.at(p.to, r.Height)
		y := math.Min(at[1]+0.3*smallLetters, above-1.1*smallLetters)
		above = y
		x := at[0] + postWide/2 + 0.4
		e.line(fine, paper{x, at[1]}, paper{x + 1.8, y - 0.3*smallLetters})
		e.write(paper{x + 2.1, y}, smallLetters, atStart, Utilisation(row.Utilisation, check.Fail))
	}
}

// jointWord says at the first joint of a row what it passes.
func (e *elevating) jointWord(posts []check.ShapePost, p *part, place *placing) {
	if len(posts) == 0 || len(e.Rails) == 0 {
		return
	}
	top := 0
	for i := range e.Rails {
		if e.Rails[i].Height > e.Rails[top].Height {
			top = i
		}
	}
	at := place.at(posts[0].X, e.Rails[top].Height)
	words, x := "joints: "+e.Joint, at[0]+postWide/2+0.8
	var places []paper
	for _, y := range []float64{at[1] + railWide/2 + smallLetters + 0.3, at[1] + railWide/2 + 2*smallLetters + 0.8, at[1] - railWide/2 - 0.9} {
		for _, dx := range []float64{0, 3, 6, 9} {
			places = append(places, paper{x + dx, y})
		}
	}
	places = append(places, paper{at[0] - 2 - lettersWide(words, smallLetters), at[1] - 4})
	e.writeFree(smallLetters, words, atStart, places...)
}

// heightsOf dimensions the heights of rails and posts at the start of a row.
func (e *elevating) heightsOf(p *part, place *placing) {
	of := []height{}
	add := func(z float64, name string) {
		of = append(of, height{place.at(p.from, z)[1], name + " " + drawnLength(z, e.o.Units)})
	}
	rails := railsUp(e.Rails)
	for _, r := range rails {
		add(r.Height, cutTo(r.Rail, smallLetters, 12))
	}
	if n := len(rails); len(e.Posts) > 0 && (n == 0 || e.Posts[0].Top > rails[n-1].Height+1e-6) {
		add(e.Posts[0].Top, "post")
	}
	x := place.at(p.from, 0)
	e.heights(x[0]-5.5, x[1], of)
}

// slopeRoom is how far farther down a sloping dimension line passes below the words of the feet.
func (e *elevating) slopeRoom(p *part, posts []check.ShapePost) float64 {
	steepest := 0.0
	for i := 1; i < len(e.Course); i++ {
		if a, b := e.Course[i-1], e.Course[i]; b.X > p.from && a.X < p.to {
			steepest = math.Max(steepest, math.Abs((b.Rise-a.Rise)/(b.Level-a.Level)))
		}
	}
	if len(posts) == 0 {
		return 0
	}
	return steepest * lettersWide(posts[0].Base, smallLetters) / 2
}

// railsUp are rails from the lowest up.
func railsUp(of []check.ShapeRail) []check.ShapeRail {
	rails := slices.Clone(of)
	sort.SliceStable(rails, func(a, b int) bool { return rails[a].Height < rails[b].Height })
	return rails
}

// bayDimensions dimensions the bays of a row, and the row where it is level. It returns the y below.
func (e *elevating) bayDimensions(p *part, posts []check.ShapePost, place *placing, lowest float64) float64 {
	foot := e.lowest(p)
	below := belowFeet + 4 + e.slopeRoom(p, posts)
	y := place.base - lowest*e.scale + below
	down := func(x float64) paper {
		at := place.at(x, foot)
		return paper{at[0], at[1] + below}
	}
	for _, bay := range p.bays {
		e.dimension(down(bay.From), down(bay.To), drawnLength(bay.To-bay.From, e.o.Units))
	}
	if len(p.bays) > 1 && e.course.at(p.from).Rise == e.course.at(p.to).Rise {
		y += 6
		e.dimension(paper{place.at(p.from, 0)[0], y}, paper{place.at(p.to, 0)[0], y}, drawnLength(p.to-p.from, e.o.Units))
	}
	return y + 6
}

// notesBelow says how the elevation is to be read.
func (e *elevating) notesBelow() []string {
	from := "the walking surface"
	if e.Hazard == "right" {
		from = "the hazard side"
	}
	how := lengthsIn(e.o.Units)
	if !e.isLevel() {
		how += " Those of bays are measured along the slope, heights plumb above the walking surface."
	}
	return []string{
		how + " Seen from " + from + ", the start of the run on the left. To scale, both ways alike; tubes are drawn wider than they are.",
		"Below a post stand its number, its largest utilisation in strength and its foot; " + e.railNote() + " its utilisation where it is largest, for which all of it is shaded. Shades: up to 0.25, 0.50, 0.75 and 1.00; above that black with a white hatch.",
	}
}

// railNote says where the numbers of rails stand.
func (e *elevating) railNote() string {
	if e.isCrowded() {
		return "at the end of a rail"
	}
	return "below a rail"
}

// words tell a reader who sees no drawing what it shows.
func (e *elevating) words() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d posts and %d rails, %s long.", len(e.Posts), len(e.Rails), drawnLength(e.Bays[len(e.Bays)-1].To-e.Bays[0].From, e.o.Units))
	if g := e.r.Governing.Overall; g.ID != "" {
		fmt.Fprintf(&b, " %s of %s governs, utilisation %s", g.ID, g.Element, Utilisation(g.Utilisation, check.Fail))
		if e.Load != nil && sameCheck(g, e.LoadOf) {
			b.WriteString(", under " + e.Load.Words)
		}
		b.WriteString(".")
	}
	return b.String()
}
