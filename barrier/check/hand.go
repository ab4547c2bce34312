package check

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// above is the ratio of frame to hand from which a reason is given, as far as it is
// printed.
const above = 1.005

// handChecks sets hand formulas beside the frame's values: the base and the top of
// the post with the largest base moment, the base of the inner post with the
// largest, and each rail that carries a load. They are no bound.
func (c *run) handChecks() {
	posts := c.worst.posts
	largest := largestPost(posts, baseMoment)
	c.handPost(largest)
	if len(posts) > 2 {
		if inner := 1 + largestPost(posts[1:len(posts)-1], baseMoment); inner != largest {
			c.handPost(inner)
		}
	}
	c.handTop(largest)
	for i := range c.d.Rails {
		c.handRail(i)
	}
}

// unitForce returns the way a placed load points, in the axes of its leg.
func unitForce(p *analysis.Placement) [3]float64 {
	f := p.Force()
	return [3]float64{f[0] / p.Value, f[1] / p.Value, f[2] / p.Value}
}

// beside returns the lengths of the bays before and after a post, m, 0 for none and for a
// gap, and of the overhang there.
func (c *run) beside(post int) (before, after, overhang float64) {
	run := &c.d.Run
	at := run.PostSupport(post)
	if at > 0 {
		before = c.railed(at - 1)
	} else {
		overhang += run.Overhang[0]
	}
	if at < len(c.supports)-1 {
		after = c.railed(at)
	} else {
		overhang += run.Overhang[1]
	}
	return before, after, overhang
}

// isGap reports whether a bay has no rails.
func (c *run) isGap(bay int) bool { return bay >= 0 && bay < len(c.gaps) && c.gaps[bay] }

// bayLength returns the length of a bay, m.
func (c *run) bayLength(bay int) float64 { return c.supports[bay+1] - c.supports[bay] }

// railed returns the length of a bay, m, 0 for a gap.
func (c *run) railed(bay int) float64 {
	if c.isGap(bay) {
		return 0
	}
	return c.bayLength(bay)
}

// tributary returns half of the bays beside a post and the overhang there, m.
func (c *run) tributary(post int) float64 {
	before, after, overhang := c.beside(post)
	return (before+after)/2 + overhang
}

// largerBay returns the larger bay beside a post, m.
func (c *run) largerBay(post int) float64 {
	before, after, _ := c.beside(post)
	return math.Max(before, after)
}

// onPost returns the force of an action on a lone post, N, with its share on each
// rail, and the words for it. A line load that lies level on both legs of a corner turns
// with them: the half bays are summed as the vectors that they point along.
func (c *run) onPost(a *analysis.Action, post int) (force float64, words string) {
	switch {
	case !a.Point && c.d.Run.IsCorner(post):
		before, after, _ := c.beside(post)
		turn := c.d.Run.Legs[c.d.Run.LegOf(c.d.Run.Posts[post])+1].Turn
		return a.Value * math.Sqrt(before*before+after*after+2*before*after*math.Cos(turn)) / 2, "w × half bays of both legs, as vectors"
	case !a.Point:
		return a.Value * c.tributary(post), "w × tributary width"
	case a.PerSpacing:
		return a.Value * c.largerBay(post), "load per spacing × larger bay"
	}
	return a.Value, "P"
}

// noHand says what of a load has no hand formula, empty where all of it has.
func noHand(a *analysis.Action) string {
	switch {
	case a.At != nil:
		return a.Name + ", which governs there, stands at one place alone"
	case a.Field != nil:
		return a.Name + ", which governs there, stands everywhere at once"
	case a.Posts || len(a.Rails) == 0:
		return a.Name + ", which governs there, stands on a post"
	}
	return ""
}

// byHand returns the placed action for which hand formulas are, nil for none: why there are
// none is said once.
func (c *run) byHand(p *analysis.Placed) *analysis.Action {
	a := p.Placement.Action
	if a == nil {
		return nil
	}
	why := noHand(a)
	if why == "" {
		return a
	}
	note := quantity.Say("No hand formula stands beside some of the frame's values: %s.", why)
	if !slices.ContainsFunc(c.notes, func(n quantity.Sentence) bool { return n.In(quantity.Metric) == note.In(quantity.Metric) }) {
		c.notes = append(c.notes, note)
	}
	return nil
}

// liftOf returns by how much a load stands above the rail that takes it, m, below where
// negative: 0 within half a diameter of its axis and between rails, where its shares say it.
func (c *run) liftOf(a *analysis.Action) float64 {
	if len(a.Rails) != 1 {
		return 0
	}
	rail := &c.d.Rails[a.Rails[0].Rail]
	off := c.heightOf(a) - rail.Height
	if math.Abs(off) <= rail.BuiltOD()/2+geometrySlack {
		return 0
	}
	return off
}

// heightOf returns the height at which an action on rails acts, m: that of its rail where it
// has none of its own.
func (c *run) heightOf(a *analysis.Action) float64 {
	onRail := c.d.Rails[a.Rails[0].Rail].Height
	l := &c.d.Loads[a.Load]
	if l.Schedule == nil {
		if l.Own.Height != nil {
			return *l.Own.Height
		}
		return onRail
	}
	for i := range l.Schedule.Actions {
		if of := &l.Schedule.Actions[i]; of.Target == loads.Top && isCalled(a, of.Name) {
			return of.Height.At(onRail, c.d.TopOfRail())
		}
	}
	return onRail
}

// handCheck lists a hand value beside the frame's. What acts with the placed load is in the
// frame's value alone, which is why that may be the larger one.
func (c *run) handCheck(h HandCheck, p *analysis.Placed) {
	if p.Combination.Beside != nil {
		const beside = "the hand value is of the placed load alone, and what acts with it is in the frame's"
		if h.Ratio > above || h.Why == "" {
			h.Why = beside
		} else {
			h.Why = join(h.Why, beside)
		}
	}
	c.out.HandChecks = append(c.out.HandChecks, h)
}

func (c *run) handPost(i int) {
	p := &c.worst.posts[i].base
	a := c.byHand(p)
	if a == nil || c.hasBrace(i) {
		return
	}
	force, words := c.onPost(a, i)
	f := unitForce(&p.Placement)
	hand := 0.0
	for _, s := range a.Rails {
		hand += force * s.Share * (c.d.Rails[s.Rail].Height - c.d.Post.Base.Level)
	}
	hand += force * c.liftOf(a)
	hand *= p.Combination.Variable * math.Hypot(f[0], f[1])
	if hand == 0 {
		return // a load straight up or down
	}
	h := HandCheck{What: "post base moment, lone cantilever", Element: postName(i), Formula: "γ × " + words + " × height above the foot", Hand: hand, Frame: p.Value, Unit: "Nm"}
	h.Ratio = h.Frame / h.Hand
	_, _, overhang := c.beside(i)
	switch {
	case h.Ratio > above && c.spliceNear(i):
		h.Why = "a splice beside this post hangs the next piece of rail on it"
	case h.Ratio > above && overhang > 0:
		h.Why = "a load on the overhang levers this post: P (1 + a/L)"
	case h.Ratio > above && c.d.Run.IsCorner(i):
		h.Why = "the rails of both legs are hinged at this corner, and what presses one leg pushes the post along the other"
	case h.Ratio > above && c.d.Rails[a.Rails[0].Rail].SpliceState == barrier.CutAtPosts:
		h.Why = "another load than the hand formula's governs, or second order counts"
	case h.Ratio > above:
		h.Why = "a continuous rail puts more than its tributary load on a post (up to 1.25 of it on stiff posts), or another load than the hand formula's governs"
	case h.Ratio < 0.70 && c.d.Run.IsCorner(i):
		h.Why = "the rails of each leg hold the post against loads across the other"
	case h.Ratio < 0.70:
		h.Why = "the rails carry part of the load to the neighbouring posts"
	}
	c.handCheck(h, p)
}

// spliceNear reports whether a rail has a splice in a bay beside a post.
func (c *run) spliceNear(post int) bool {
	x := c.d.Run.Posts[post]
	before, after, _ := c.beside(post)
	for i := range c.d.Rails {
		for _, s := range c.d.Rails[i].Splices {
			if s > x-before && s < x+after {
				return true
			}
		}
	}
	return false
}

// cornerTop says why no hand value stands beside the movement of a corner post's top.
func (c *run) cornerTop(post int) {
	c.say(fmt.Sprintf("No hand value stands beside the movement of the top of post %d, at a corner: the rails of the other leg stand in its way and bring loads of another direction.", post+1))
}

// handTop is the movement of the top of a lone cantilever on its foot's spring:
// F a² (3h - a)/6EI + F a h/k for a force at a on a post of height h.
func (c *run) handTop(i int) {
	p := &c.worst.posts[i].top
	a := c.byHand(p)
	if a == nil || p.Value == 0 || c.hasBrace(i) {
		return
	}
	if c.liftOf(a) != 0 {
		return // its couple on the post has no part in the formula
	}
	if c.d.Run.IsCorner(i) {
		c.cornerTop(i)
		return
	}
	force, words := c.onPost(a, i)
	h := c.d.Post.Height - c.d.Post.Base.Level
	foot := math.Inf(1)
	for _, m := range c.models {
		foot = math.Min(foot, c.d.FootOf(i, m.layout.FootStiffness))
	}
	modulus, symbol := c.d.Post.Grade.E, "E"
	if soft := c.softestTube(); soft != nil {
		modulus, symbol = modulus/soft.factor(), "Es"
	}
	hand := 0.0
	for _, s := range a.Rails {
		arm := c.d.Rails[s.Rail].Height - c.d.Post.Base.Level
		hand += force * s.Share * (arm*arm*(3*h-arm)/(6*modulus*c.d.PostMember(i).Ring.I) + arm*h/foot)
	}
	if hand *= p.Combination.Variable * math.Abs(unitForce(&p.Placement)[1]); hand == 0 {
		return
	}
	row := HandCheck{What: "post top movement, lone cantilever", Element: postName(i), Formula: words + " × [a²(3h - a)/6" + symbol + "I + a h/k]", Hand: hand * 1e3, Frame: p.Value * 1e3, Unit: "mm"}
	row.Ratio = row.Frame / row.Hand
	switch {
	case row.Ratio > above:
		row.Why = "the rails bring more than the tributary load to this post"
	case row.Ratio < 0.70:
		row.Why = "the rails hold the post's top to its neighbours"
	}
	c.handCheck(row, p)
}

// wallBeside reports whether a bay ends at a wall.
func (c *run) wallBeside(bay int) bool {
	return bay == 0 && c.d.Run.Start.Wall || bay == len(c.supports)-2 && c.d.Run.End.Wall
}

// isBay reports whether it is a bay, and not an overhang.
func (c *run) isBay(bay int) bool { return bay >= 0 && bay < len(c.supports)-1 }

// bayOrOverhang returns the length of a bay, m, or of the overhang before the first
// (-1) or after the last, 0 for none.
func (c *run) bayOrOverhang(bay int) float64 {
	switch bays := len(c.supports) - 1; bay {
	case -1:
		return c.d.Run.Overhang[0]
	case bays:
		return c.d.Run.Overhang[1]
	}
	return c.bayLength(bay)
}

// squareToRail returns the part of a placed load, of 1, that is square to the rail on which
// its section lies.
func (c *run) squareToRail(p *analysis.Placed) float64 {
	unit := unitForce(&p.Placement)
	sin, cos := math.Sincos(c.d.Run.PitchAt(p.Probe.From + p.Station))
	return math.Hypot(unit[1], cos*unit[2]-sin*unit[0])
}

func (c *run) handRail(i int) {
	p := &c.worst.rails[i].moment
	a := c.byHand(p)
	if a == nil {
		return
	}
	share := 0.0
	for _, s := range a.Rails {
		if s.Rail == i {
			share = s.Share
		}
	}
	if share == 0 {
		return
	}
	h := HandCheck{What: "rail moment, simple span", Element: c.railName(i, p.Probe.Bay), Frame: p.Value, Unit: "Nm"}
	f := p.Combination.Variable * share * c.squareToRail(p)
	if f == 0 {
		return // a load along the rail
	}
	bay := c.bayOrOverhang(p.Probe.Bay)
	overhangs := !c.isBay(p.Probe.Bay)
	switch {
	case overhangs && a.Point:
		h.What, h.Formula, h.Hand = "rail moment, cantilever", "γ P a", f*p.Placement.Value*bay
	case overhangs:
		h.What, h.Formula, h.Hand = "rail moment, cantilever", "γ w a²/2", f*p.Placement.Value*bay*bay/2
	case a.Point:
		h.Formula, h.Hand = "γ P L/4", f*p.Placement.Value*bay/4
	default:
		h.Formula, h.Hand = "γ w L²/8", f*p.Placement.Value*bay*bay/8
	}
	h.Ratio = h.Frame / h.Hand
	cut := false
	if supports := c.supports; !overhangs {
		for _, s := range c.d.Rails[i].Splices {
			cut = cut || s > supports[p.Probe.Bay] && s < supports[p.Probe.Bay+1]
		}
	}
	switch {
	case h.Ratio > above && cut:
		h.Why = "the rail cantilevers to the splice in this bay"
	case h.Ratio > above && c.wallBeside(p.Probe.Bay):
		h.Why = "the posts give and the wall does not, so the rail spans farther than this bay; own weight is in the frame's value"
	case h.Ratio > above && (overhangs || c.d.Rails[i].SpliceState == barrier.CutAtPosts):
		h.Why = "own weight is in the frame's value"
	case h.Ratio > above:
		h.Why = "the posts move, so the rail spreads the load over more than one bay; own weight is in the frame's value"
	case h.Ratio < 0.70:
		h.Why = "the rail is continuous over its posts"
	}
	c.handCheck(h, p)
}
