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
	if length := run.longestStretch(); len(positions) == 0 {
		if stockOK && length > r.Stock+cutting {
			r.caution("Rail %s is taken as one piece of %s, longer than its stock of %s, as stated by splices = \"none\".", quote(r.Name), quantity.Place(length), quantity.Place(r.Stock))
		}
		return
	}
	if stockOK && !r.checkStock(path, positions, run.Run) {
		return
	}
	if !r.checkMechanism(path, positions, run) {
		return
	}
	r.cautionEndBays(positions, run)
}

// checkMechanism reports a stretch of the run with a splice in every bay.
func (r railDraft) checkMechanism(path string, positions []float64, run runDraft) bool {
	stretches := run.Stretches()
	count := make([]int, len(stretches))
	for _, x := range positions {
		count[stretchOf(stretches, x)]++
	}
	for i, n := range count {
		if n <= run.mostSplices(i, stretches) {
			continue
		}
		where, why, fix := "", ", for a splice passes no moment", "take one out, or write \"none\""
		if s := stretches[i]; len(stretches) > 1 {
			where, fix = fmt.Sprintf(" from %s to %s", r.placeText(s.From), r.placeText(s.To)), "take one of them out"
		}
		if r.SpliceMoment.Kind != FreeJoint {
			why = " where the moment of its splices does not count"
		}
		r.fault(path, "a splice in every bay"+where+" leaves the rail a mechanism"+why, fix)
		return false
	}
	return true
}

// mostSplices is how many splices, one in a bay at most, the rail of a stretch on free joints
// can have and stand: each support and each splice is one condition on the lines of its pieces,
// of which each has two unknowns, and so is a wall that holds the rotations that bend a rail.
func (r *Run) mostSplices(stretch int, stretches []Stretch) int {
	s := stretches[stretch]
	clamps := func(end End) bool { return end.Wall && end.Rotation[1] && end.Rotation[2] }
	if stretch == 0 && clamps(r.Start) || stretch == len(stretches)-1 && clamps(r.End) {
		return s.Last - s.First
	}
	return s.Last - s.First - 1
}

// cutting is how much, m, a piece may be longer than stock: less than is cut or set out,
// and more than a position loses that is printed and copied.
const cutting = 0.5e-3

// readPositions reads the list; "none" is an empty one.
func (r railDraft) readPositions(path string) ([]float64, bool) {
	example := r.like(`["5.8 m"], or "none"`)
	if word, isText := r.values["splices"].(string); isText {
		if word != "none" {
			r.unreadable(path, "a list of positions is wanted, this is text", "write splices = "+example)
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
	case run.IsGap(bayOf(supports, x)) && x > supports[0] && x < supports[last]:
		bay := bayOf(supports, x)
		r.fault(path, fmt.Sprintf("the splice at %s is in the gap from %s to %s, which has no rail", r.placeText(x), r.placeText(supports[bay]), r.placeText(supports[bay+1])), "move it into a bay with rails, or take it out")
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

// checkStock reports each piece that is longer than stock, at the splice that ends it or else
// that begins it.
func (r railDraft) checkStock(path string, positions []float64, run Run) bool {
	ok := true
	for _, piece := range run.cut(positions) {
		if piece.length() <= r.Stock+cutting {
			continue
		}
		ok = false
		at := path
		if i := slices.Index(positions, piece.to); i >= 0 {
			at = element(path, i)
		} else if i := slices.Index(positions, piece.from); i >= 0 {
			at = element(path, i)
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

// cautionEndBays cautions of splices in the first and the last bay of a stretch.
func (r railDraft) cautionEndBays(positions []float64, run runDraft) {
	supports, stretches := run.Supports(), run.Stretches()
	for _, x := range positions {
		s := stretches[stretchOf(stretches, x)]
		if bay := bayOf(supports, x); bay == s.First || bay == s.Last-1 {
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
// inner post, none in an end bay or an overhang, and no two in one bay; at a corner and at a
// gap the rail ends, and the bays beside it are end bays too. They are as few as
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
	for _, s := range run.Stretches() {
		proposed, ok := proposeFor(s, supports[s.First:s.Last+1], stock)
		if !ok {
			return nil, false
		}
		positions = append(positions, proposed...)
	}
	return positions, true
}

// proposeFor proposes the splices of one stretch on its supports.
func proposeFor(s Stretch, supports []float64, stock float64) (positions []float64, ok bool) {
	if s.length() <= stock+slack {
		return nil, true
	}
	places := candidates(supports)
	end := candidate{x: s.To, bay: len(supports) - 2}
	oldest := 0 // the first place from which a piece reaches the current one
	for i := range places {
		oldest = places[i].link(places, oldest, i, s.From, stock)
	}
	end.link(places, oldest, len(places), s.From, stock)
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
