package barrier

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
)

// readSplices reads "none" or the positions of the splices and judges them.
func (r railDraft) readSplices(run runDraft, post postDraft, stockOK bool) {
	path := r.at("splices")
	positions, ok := r.readPositions(path)
	if !ok || !run.known() {
		return
	}
	reach := 0.0
	if post.ringOK {
		reach = post.Ring.OD / 2
	}
	for i, x := range positions {
		ok = r.checkPlace(element(path, i), x, run.Run, reach) && ok
	}
	supports := run.Supports()
	if !ok || !r.ascend(path, positions, "splice") || !r.checkBayOfEach(path, positions, supports) {
		return
	}
	r.Splices = positions
	if length := run.railLength(); len(positions) == 0 {
		if stockOK && length > r.Stock+cutting {
			r.caution("Rail %s is taken as one piece of %s, longer than its stock of %s, as stated by splices = \"none\".", quote(r.Name), quantity.Place(length), quantity.Place(r.Stock))
		}
		return
	}
	if stockOK && !r.checkStock(path, positions, run.Run) {
		return
	}
	if len(positions) > run.mostSplices() {
		r.fault(path, "a splice in every bay leaves the rail a mechanism, for a splice passes no moment", "take one out, or write \"none\"")
		return
	}
	r.cautionEndBays(positions, supports)
}

// mostSplices is how many splices, one in a bay at most, a rail on free joints can have
// and stand: each support and each splice is one condition on the lines of its pieces, of
// which each has two unknowns, and so is a wall that holds the rotations that bend a rail.
func (r *Run) mostSplices() int {
	bays := len(r.Supports()) - 1
	for _, end := range [2]End{r.Start, r.End} {
		if end.Wall && end.Rotation[1] && end.Rotation[2] {
			return bays
		}
	}
	return bays - 1
}

// cutting is how much, m, a piece may be longer than stock: less than is cut or set out,
// and more than a position loses that is printed and copied.
const cutting = 0.5e-3

// readPositions reads the list; "none" is an empty one.
func (r railDraft) readPositions(path string) ([]float64, bool) {
	example := r.like(`["5.8 m"], or "none"`)
	if word, isText := r.values["splices"].(string); isText {
		if word != "none" {
			r.fault(path, "a list of positions is wanted, this is text", "write splices = "+example)
		}
		return []float64{}, word == "none"
	}
	values, ok := r.list("splices", example)
	if ok && len(values) == 0 {
		r.fault(path, "the list of positions is empty", `write "none" for a rail in one piece, or leave splices out where they are not known`)
		return nil, false
	}
	if len(values) > MaxPosts {
		r.fault(path, fmt.Sprintf("%d splices, at most %d are read", len(values), MaxPosts), "split the run over several files")
		return nil, false
	}
	positions := make([]float64, len(values))
	for i, value := range values {
		x, xOK := r.quantityAt(element(path, i), value, quantity.Length)
		positions[i] = x
		ok = ok && xOK
	}
	return positions, ok
}

// checkPlace reports a splice that is off the rail, in an overhang, or on a post or a wall:
// nearer to its axis or face than reach.
func (r railDraft) checkPlace(path string, x float64, run Run, reach float64) bool {
	from, to := run.RailEnds()
	supports := run.Supports()
	last := len(supports) - 1
	for i, s := range supports {
		wall := run.isWall(i, len(supports))
		switch {
		case math.Abs(x-s) > math.Max(reach, slack):
			continue
		case wall:
			r.fault(path, fmt.Sprintf("the splice at %s is at the wall, which stands at %s", r.placeText(x), r.placeText(s)), "move it into a bay, past the wall's fixing")
			return false
		default:
			r.fault(path, fmt.Sprintf("the splice at %s is on post %d at %s", r.placeText(x), run.postNumber(i), r.placeText(s)), "move it into a bay, past the fitting")
			return false
		}
	}
	switch {
	case x < from || x > to:
		r.fault(path, fmt.Sprintf("the splice at %s is off the rail, which runs from %s to %s", r.placeText(x), r.placeText(from), r.placeText(to)), "write its place along the run, measured as the posts are")
	case x < supports[0] || x > supports[last]:
		r.fault(path, fmt.Sprintf("the splice at %s is in an overhang, and what is beyond it would hang free", r.placeText(x)), "move it into a bay")
	default:
		return true
	}
	return false
}

// checkBayOfEach reports a second splice in one bay.
func (r railDraft) checkBayOfEach(path string, positions, supports []float64) bool {
	ok := true
	for i := 1; i < len(positions); i++ {
		if bay := bayOf(supports, positions[i]); bay == bayOf(supports, positions[i-1]) {
			r.fault(element(path, i), fmt.Sprintf("this is the second splice in bay %d: the piece between two would hang free", bay+1), "keep one splice in a bay")
			ok = false
		}
	}
	return ok
}

// checkStock reports each piece that is longer than stock, at the splice that ends it.
func (r railDraft) checkStock(path string, positions []float64, run Run) bool {
	ok := true
	for i, piece := range run.cut(positions) {
		if piece.length() <= r.Stock+cutting {
			continue
		}
		ok = false
		at := path
		if n := len(positions); n > 0 {
			at = element(path, min(i, n-1))
		}
		what := fmt.Sprintf("the piece from %s to %s is %s long, the longest piece (stock) is %s", r.placeText(piece.from), r.placeText(piece.to), r.placeText(piece.length()), r.placeText(r.Stock))
		r.fault(at, what, r.spliceFix(run))
	}
	return ok
}

// spliceFix proposes splices ready to copy.
func (r railDraft) spliceFix(run Run) string {
	const most = 8 // positions that are worth a line
	proposed, ok := ProposeSplices(run, r.Stock)
	if !ok || len(proposed) == 0 || len(proposed) > most {
		return "add splices, or write a larger stock"
	}
	texts := make([]string, len(proposed))
	for i, x := range proposed {
		texts[i] = `"` + r.placeText(x) + `"`
	}
	return "write splices = [" + strings.Join(texts, ", ") + "], or a larger stock"
}

// cautionEndBays cautions of splices in the first and the last bay.
func (r railDraft) cautionEndBays(positions, supports []float64) {
	for _, x := range positions {
		if bay := bayOf(supports, x); bay == 0 || bay == len(supports)-2 {
			r.caution("The splice of rail %s at %s is in an end bay, where it can raise a post moment by half and the deflection fivefold.", quote(r.Name), quantity.Place(x))
		}
	}
}

// proposedShares are the distances of a proposed splice from its post as shares of the
// bay, the best first: a continuous rail bends little near 0.15 to 0.2 of a bay from a
// post, and the shorter shares serve where a piece would be too long.
func proposedShares() []float64 { return []float64{0.15, 0.10, 0.05} }

// leastFromPost is the least distance of a proposed splice from a post, m: room for the
// fitting and half the sleeve.
const leastFromPost = 0.05

// candidate is a place where a splice may be proposed.
type candidate struct {
	x       float64 // m
	bay     int
	penalty int // by share, 0 for the best

	splices int // fewest splices of a rail up to this one, this one included; 0 while unreachable
	worse   int // least sum of penalties of such a rail
	before  int // the splice before it, -1 for none
}

// ProposeSplices returns positions for the splices of a rail along this run, in pieces no
// longer than stock, overhangs included; all in m. Each stands within 0.15 of a bay from an
// inner post, none in an end bay or an overhang, and no two in one bay. They are as few as
// can be, and never so many that the rail becomes a mechanism: with one splice at most in a
// bay and none in the end bays the first piece rests on two supports, so it stands, and each
// further piece rests on one post and on the piece before it.
//
// ok is false where there is no such set of positions. A rail no longer than stock needs
// no splice and gives none. Positions are those of the run's own measure.
func ProposeSplices(run Run, stock float64) (positions []float64, ok bool) {
	supports := run.Supports()
	if len(supports) < 2 {
		return nil, false
	}
	first, last := run.RailEnds()
	if last-first <= stock+slack {
		return nil, true
	}
	places := candidates(supports)
	end := candidate{x: last, bay: len(supports) - 2}
	oldest := 0 // the first place from which a piece reaches the current one
	for i := range places {
		oldest = places[i].link(places, oldest, i, first, stock)
	}
	end.link(places, oldest, len(places), first, stock)
	if end.splices == 0 {
		return nil, false
	}
	for i := end.before; i >= 0; i = places[i].before {
		positions = append(positions, places[i].x)
	}
	slices.Reverse(positions)
	return positions, true
}

// link joins the place to the best of those before it, places[:until], within reach of
// one piece. It returns the first place that still is in reach.
func (c *candidate) link(places []candidate, oldest, until int, first, stock float64) int {
	c.before = -1
	if c.x-first <= stock+slack {
		c.splices, c.worse = 1, c.penalty
		return oldest
	}
	for oldest < until && c.x-places[oldest].x > stock+slack {
		oldest++
	}
	for i := oldest; i < until; i++ {
		p := places[i]
		if p.splices == 0 || p.bay == c.bay {
			continue
		}
		splices, worse := p.splices+1, p.worse+c.penalty
		if c.splices == 0 || splices < c.splices || splices == c.splices && worse <= c.worse {
			c.splices, c.worse, c.before = splices, worse, i
		}
	}
	return oldest
}

// candidates returns the places for splices in the inner bays, ascending: at each share
// of the bay from either post, on a whole 10 mm nearer to the post.
func candidates(supports []float64) []candidate {
	var places []candidate
	for bay := 1; bay+2 < len(supports); bay++ {
		from, to := supports[bay], supports[bay+1]
		n := len(places)
		for penalty, share := range proposedShares() {
			d := share * (to - from)
			after := math.Floor((from+d)*100+slack) / 100
			before := math.Ceil((to-d)*100-slack) / 100
			if after-from >= leastFromPost {
				places = append(places, candidate{x: after, bay: bay, penalty: penalty})
			}
			if to-before >= leastFromPost {
				places = append(places, candidate{x: before, bay: bay, penalty: penalty})
			}
		}
		slices.SortFunc(places[n:], func(a, b candidate) int { return cmp.Compare(a.x, b.x) })
	}
	return places
}
