package check

import (
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/solver"
)

// moved is a placed load that moves a section of a post or rail, and the limit it
// is judged by.
type moved struct {
	splices   int // index of the splice model
	post      bool
	member    int
	limit     *limit
	moves     movement
	permanent float64    // compression under the permanent actions, N
	soft      *softening // of stainless tubes
	placed    analysis.Placed
}

// utilisation returns what a state of the held section is of its limit, with these tubes.
func (m *moved) utilisation(t *tubes, s *analysis.State) float64 {
	return column{t.of(m.post, m.member), m.permanent, m.soft}.under(m.limit, m.moves)(s, nil)
}

// of returns the resistance of a post or a rail.
func (t *tubes) of(post bool, member int) resistance {
	if post {
		return t.posts[t.place(true, member)]
	}
	return t.rails[member]
}

// place returns the place of a post's kind, or of a rail behind all kinds of post.
func (t *tubes) place(post bool, member int) int {
	switch {
	case !post:
		return len(t.posts) + member
	case t.kinds == nil:
		return 0
	}
	return t.kinds[member]
}

// all returns every resistance: of the posts, the rails and the braces.
func (t *tubes) all() []resistance {
	return slices.Concat(t.posts, t.rails, t.braces)
}

// findLeast finds the least foot stiffness at which every limit of movement
// across is still met. The governing placements of the models that were run are
// held, and the stiffness at which the worst of them meets its limit is found
// by fractions of 1/k, in which the movement of a single post is linear:
// F h³/3EI + F h²/k. A whole search with such feet then either confirms it or
// gives another placement to hold. Where second order counts on such feet stiffer ones are found.
func (c *run) findLeast(splices []spliceModel) error {
	if !c.limits.any() {
		return nil
	}
	if err := c.searchLeast(splices); err != nil || c.piece == nil {
		return err
	}
	switch p := c.piece; {
	case p.beyond, p.unsteady:
		c.least = nil
	case p.least != nil && (c.least == nil || *p.least > *c.least):
		c.least, c.leaning = p.least, p.leaning
	}
	return nil
}

// searchLeast finds that of the run itself, without its test piece.
func (c *run) searchLeast(splices []spliceModel) error {
	rest := func() {
		for _, m := range c.models {
			m.analysis.RestLines()
		}
	}
	rest()
	defer rest()
	held := c.movers()
	var from, u float64 // where one begins, and what is known of it
	if k := c.d.Post.Base.Stiffness; len(k) > 0 {
		from = 1 / k[0]
	}
	const rounds = 20 // each holds one more placement
	for range rounds {
		flexibility, ok, err := c.softest(splices, held, from, u)
		if err != nil || !ok {
			return err
		}
		if flexibility == 0 {
			c.beyond = true
			return nil
		}
		k := 1 / flexibility
		more, worst, softs, err := c.movement(splices, k)
		if err != nil {
			return err
		}
		settled := soften(held, softs)
		if worst <= 1+1e-9 && settled {
			c.least, err = c.stiffEnough(splices, k)
			c.unsteady = c.least == nil
			c.leaning = c.leaning && c.least != nil && *c.least == k
			return err
		}
		from, u = flexibility, 0
		if worst > 1 {
			held = append(held, more)
			if settled {
				u = worst
			}
		}
	}
	return nil
}

// movers returns the worst placement of each kind of limit in each model.
func (c *run) movers() []moved {
	var out []moved
	for _, m := range c.models {
		worst := map[string]moved{}
		var order []string
		for _, f := range m.moved {
			if f.limit.vertical {
				continue
			}
			w, known := worst[f.id]
			if !known {
				order = append(order, f.id)
			}
			if !known || analysis.Beats(f.placed.Value, w.placed.Value) {
				worst[f.id] = m.mover(&f)
			}
		}
		for _, id := range order {
			out = append(out, worst[id])
		}
	}
	return out
}

// mover holds a movement that was found.
func (m *model) mover(f *finding) moved {
	return moved{m.splicing, strings.HasPrefix(f.id, "post-"), f.member, f.limit, f.moves, f.held.permanent, f.held.soft, f.placed}
}

// replays are the frames of each splice model on the feet from which other stiffnesses are made.
type replays struct {
	run     *run
	splices []spliceModel
	held    []moved
	foot    float64
	sprung  []*analysis.Replayer // nil for one that is not made yet
	sheet   solver.Worksheet
}

// on returns the frame of a splice model on feet of a flexibility: on rigid ones it is not kept.
func (r *replays) on(splices int, flexibility float64) (*analysis.Replayer, error) {
	if flexibility == 0 || r.run.d.HasOwnFeet() { // which another stiffness of the others leaves as they are
		return r.build(splices, 1/flexibility)
	}
	if r.sprung[splices] == nil {
		a, err := r.build(splices, r.foot)
		if err != nil {
			return nil, err
		}
		r.sprung[splices] = a
	}
	return r.sprung[splices].OnFeet(1 / flexibility)
}

// replaysOf returns those for placements that are held.
func (c *run) replaysOf(splices []spliceModel, held []moved) *replays {
	foot := c.d.Post.Grade.E * c.d.Post.Ring.I / c.d.Post.Height
	if k := c.d.Post.Base.Stiffness; len(k) > 0 && !math.IsInf(k[0], 1) {
		foot = k[0]
	}
	return &replays{run: c, splices: splices, held: held, foot: foot, sprung: make([]*analysis.Replayer, len(splices))}
}

// build returns the frame of a splice model with feet of a stiffness: that of the model that was
// run where there is one.
func (r *replays) build(splices int, foot float64) (*analysis.Replayer, error) {
	s := r.splices[splices]
	for _, m := range r.run.models {
		if m.splicing == s.index && m.layout.FootStiffness == foot {
			return &m.analysis.Replayer, nil
		}
	}
	return analysis.NewReplayer(r.run.d, layoutOf(r.run.d, foot, s), r.run.actions)
}

// largest returns the largest utilisation of the held placements with feet of a
// flexibility 1/k.
func (r *replays) largest(flexibility float64) (float64, error) {
	largest := 0.0
	for i := range r.splices {
		t, err := r.run.tubesOn(r.splices[i], flexibility)
		if err != nil {
			return 0, err
		}
		a, err := r.on(i, flexibility)
		if err != nil {
			return 0, err
		}
		var held []*moved
		var placed []*analysis.Placed
		for k := range r.held {
			if h := &r.held[k]; h.splices == i {
				held, placed = append(held, h), append(placed, &h.placed)
			}
		}
		a.ReplayEach(&r.sheet, placed, func(k int, s *analysis.State) {
			largest = math.Max(largest, held[k].utilisation(t, s))
		})
	}
	return largest, nil
}

// tubesOn returns the resistances of one splice model with feet of a flexibility
// 1/k.
func (c *run) tubesOn(s spliceModel, flexibility float64) (*tubes, error) {
	l := layoutOf(c.d, 1/flexibility, s)
	return newTubes(c.d, &l)
}

// softest returns the largest flexibility 1/k of the feet at which every held
// placement meets its limit, and no more than that at which the posts stand: 0 when
// rigid feet do not do, not ok when nothing moves. It begins at a flexibility, of whose utilisation u it may know, 0 for not.
//
// Where feet do, stiffer ones are taken to do as well, so that no frame is built on rigid ones unless others do not do.
// Statics gives that for the movement at and along a single load alone; what is found is
// confirmed by a whole search on such feet.
func (c *run) softest(splices []spliceModel, held []moved, from, u float64) (flexibility float64, ok bool, err error) {
	r := c.replaysOf(splices, held)
	if u == 0 {
		u, err = r.largest(from)
	}
	if u == 0 && from > 0 && err == nil {
		from = 0
		u, err = r.largest(from)
	}
	if err != nil || u == 0 {
		return 0, false, err
	}
	most, err := c.softestStanding(splices)
	if err != nil {
		return 0, false, err
	}
	if most == 0 { // even on rigid feet second order would have to be analysed
		if from > 0 && u >= 1 {
			u, err = r.largest(0)
		}
		return 0, u >= 1, err
	}
	if from > most {
		from = most
		if u, err = r.largest(from); err != nil {
			return 0, false, err
		}
	}
	flexibility = from
	root := newCrossing(c.ownFlexibility(), most)
	for range 100 {
		if flexibility == 0 && u >= 1 {
			return 0, true, nil
		}
		if flexibility > 0 && math.Abs(u-1) < 1e-9 || u < 1 && flexibility == most {
			break
		}
		root.take(flexibility, u)
		if root.closed() {
			flexibility = root.low
			break
		}
		flexibility = root.next()
		if u, err = r.largest(flexibility); err != nil {
			return 0, false, err
		}
	}
	c.leaning = flexibility == most
	return flexibility, true, nil
}

// mostRailPressed is the part of its critical force up to which a rail may be pressed on
// feet that are sought: nearer to it movements grow so steeply that none is sure to be the
// largest.
const mostRailPressed = 0.3

// softestStanding returns the largest flexibility 1/k of the feet at which the
// compression in the posts leaves second order within amplifyTo, and that in the rails
// within mostRailPressed. Softer feet do not hold a barrier up, whatever its limits of
// movement: rails between walls may meet those on any feet. It is 0 where rigid feet do
// not do.
func (c *run) softestStanding(splices []spliceModel) (float64, error) {
	pressed, along := c.compressions()
	layouts := make([]barrier.Layout, len(splices))
	for i, s := range splices {
		layouts[i] = layoutOf(c.d, 0, s)
	}
	stands := func(flexibility float64) (bool, error) {
		for i := range layouts {
			var t tubes
			l := &layouts[i]
			l.FootStiffness = 1 / flexibility
			if err := t.newPosts(c.d, l); err != nil {
				return false, err
			}
			if amplificationAt(mostOfCritical(t.posts, pressed)) > amplifyTo {
				return false, nil
			}
			if !slices.ContainsFunc(along, func(n float64) bool { return n != 0 }) {
				continue
			}
			if err := t.newRails(c.d, l); err != nil {
				return false, err
			}
			if mostOfCritical(t.rails, along) > mostRailPressed {
				return false, nil
			}
		}
		return true, nil
	}
	if ok, err := stands(0); !ok {
		return 0, err
	}
	stiff := c.d.Post.Height / (c.d.Post.Grade.E * c.d.Post.Ring.I)
	const decades, halvings = 6, 40                  // to 3e-11 of it
	low, high := -float64(decades), float64(decades) // powers of ten of the post's own flexibility
	for range halvings {
		middle := (low + high) / 2
		ok, err := stands(stiff * math.Pow(10, middle))
		if err != nil {
			return 0, err
		}
		if ok {
			low = middle
		} else {
			high = middle
		}
	}
	return stiff * math.Pow(10, low), nil
}

// soften gives the held placements what stainless tubes make of movements on the feet that
// were tried last, one for each splice model, and reports whether that is what they had.
func soften(held []moved, softs []*softening) (settled bool) {
	const close = 1e-6
	settled = true
	for i := range held {
		soft := softs[held[i].splices]
		if math.Abs(soft.factor()-held[i].soft.factor()) > close {
			settled = false
		}
		held[i].soft = soft
	}
	return settled
}

// searchedOn returns the frame of a splice model on feet of a stiffness, ready to be searched.
func (c *run) searchedOn(s spliceModel, foot float64) (*analysis.Analysis, error) {
	for _, m := range c.models {
		if m.splicing == s.index {
			return m.analysis.SearchOnFeet(foot)
		}
	}
	return analysis.New(c.d, layoutOf(c.d, foot, s), c.actions)
}

// movement searches the barrier with feet of one stiffness for the largest
// utilisation of a limit of movement across that is above 1, 0 for none. It returns as well
// what stainless tubes make of movements on those feet in each splice model.
func (c *run) movement(splices []spliceModel, foot float64) (worst moved, largest float64, softs []*softening, err error) {
	for i, s := range splices {
		a, err := c.searchedOn(s, foot)
		if err != nil {
			return moved{}, 0, nil, err
		}
		t, err := c.tubesOn(s, 1/foot)
		if err != nil {
			return moved{}, 0, nil, err
		}
		soft := c.softeningOf(a, t)
		softs = append(softs, soft)
		look := func(e *analysis.Element, post bool, member int, checks []named) {
			held := column{t.of(post, member), a.PressedByPermanent(e), soft}
			checks = held.judged(slices.DeleteFunc(slices.Clone(checks), func(n named) bool { return n.limit.vertical }))
			service := newSearch(analysis.Service, checks)
			for i := range service.queries {
				service.queries[i].Floor = max(largest, 1)
			}
			placed := a.WorstOf(e, service.queries...)
			movements, _ := service.found(&placed)
			for n, found := range movements {
				if found.Found() && found.Value > largest {
					worst, largest = moved{i, post, member, checks[n].limit, checks[n].moves, held.permanent, soft, found}, found.Value
				}
			}
		}
		posts := len(c.d.Run.Posts)
		if a.IsMirrored() {
			posts = (posts + 1) / 2
		}
		for p := range posts {
			look(a.Post(p), true, p, c.postLimits(p))
			if other := a.Turned(p); other != nil {
				look(other, true, p, c.postLimits(p))
			}
			a.DoneWith(p)
		}
		for r := range c.d.Rails {
			for _, l := range c.railLimits(r) {
				look(a.RailOfTwins(r).Bays(l.in), false, r, l.checks)
			}
		}
	}
	return worst, largest, softs, nil
}
