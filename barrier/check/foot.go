package check

import (
	"math"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// moved is a placed load that moves a section of a post or rail, and the limit it
// is judged by, before second order.
type moved struct {
	splices int // index of the splice model
	post    bool
	member  int
	judge   judge
	placed  analysis.Placed
}

// findLeast finds the least foot stiffness at which every limit of movement
// across is still met. The governing placements of the models that were run are
// held, and the stiffness at which the worst of them meets its limit is found
// by the secant method on 1/k, in which the movement of a single post is linear:
// F h³/3EI + F h²/k. A whole search with such feet then either confirms it or
// gives another placement to hold.
func (c *run) findLeast(splices []spliceModel) error {
	if !c.limits.any() {
		return nil
	}
	held := c.movers()
	for range 20 {
		flexibility, ok, err := c.softest(splices, held)
		if err != nil || !ok {
			return err
		}
		if flexibility == 0 {
			c.beyond = true
			return nil
		}
		k := 1 / flexibility
		more, worst, err := c.movement(splices, k)
		if err != nil {
			return err
		}
		if worst <= 1+1e-9 {
			c.least = &k
			return nil
		}
		held = append(held, more)
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
			if !known || f.placed.Value > w.placed.Value {
				worst[f.id] = moved{m.splicing, strings.HasPrefix(f.id, "post-"), f.member, f.raw, f.placed}
			}
		}
		for _, id := range order {
			out = append(out, worst[id])
		}
	}
	return out
}

// replays are the frames of each splice model, rigid and on the feet from which
// other stiffnesses are made.
type replays struct {
	run           *run
	splices       []spliceModel
	held          []moved
	rigid, sprung []*analysis.Replayer
}

// newReplays builds the frames.
func (c *run) newReplays(splices []spliceModel, held []moved, foot float64) (*replays, error) {
	r := &replays{run: c, splices: splices, held: held}
	for _, s := range splices {
		for _, at := range []struct {
			to   *[]*analysis.Replayer
			foot float64
		}{{&r.rigid, math.Inf(1)}, {&r.sprung, foot}} {
			a, err := analysis.NewReplayer(c.d, barrier.Layout{FootStiffness: at.foot, Splices: s.words, Rails: s.rails}, c.actions)
			if err != nil {
				return nil, err
			}
			*at.to = append(*at.to, a)
		}
	}
	return r, nil
}

// largest returns the largest utilisation of the held placements with feet of a
// flexibility 1/k.
func (r *replays) largest(flexibility float64) (float64, error) {
	largest := 0.0
	for i := range r.rigid {
		a := r.rigid[i]
		t, err := r.run.tubesOn(r.splices[i], flexibility)
		if err != nil {
			return 0, err
		}
		if flexibility > 0 {
			if a, err = r.sprung[i].OnFeet(1 / flexibility); err != nil {
				return 0, err
			}
		}
		for k := range r.held {
			if r.held[k].splices == i {
				st := a.Replay(&r.held[k].placed)
				largest = math.Max(largest, r.held[k].judge(&st, nil)*r.run.secondOrder(t, &r.held[k]))
			}
		}
	}
	return largest, nil
}

// tubesOn returns the resistances of one splice model with feet of a flexibility
// 1/k.
func (c *run) tubesOn(s spliceModel, flexibility float64) (*tubes, error) {
	return newTubes(c.d, &barrier.Layout{FootStiffness: 1 / flexibility, Rails: s.rails})
}

// secondOrder returns the factor of second order on a movement: the compression
// does not depend on the feet, the critical force of the tubes does.
func (c *run) secondOrder(t *tubes, m *moved) float64 {
	pressed, critical := 0.0, t.post.Critical
	for _, run := range c.models {
		if m.post {
			pressed = math.Max(pressed, run.posts[m.member].pressed)
		} else {
			pressed = math.Max(pressed, run.rails[m.member].pressed)
		}
	}
	if !m.post {
		critical = t.rails[m.member].Critical
	}
	return math.Min(amplificationAt(pressed/critical), amplifyTo)
}

// softest returns the largest flexibility 1/k of the feet at which every held
// placement meets its limit: 0 when rigid feet do not do, not ok when nothing
// moves.
func (c *run) softest(splices []spliceModel, held []moved) (flexibility float64, ok bool, err error) {
	flexibility = c.d.Post.Height / (c.d.Post.Grade.E * c.d.Post.Ring.I)
	if k := c.d.Post.Base.Stiffness; len(k) > 0 && !math.IsInf(k[0], 1) {
		flexibility = 1 / k[0]
	}
	r, err := c.newReplays(splices, held, 1/flexibility)
	if err != nil {
		return 0, false, err
	}
	before := 0.0 // rigid feet
	value, err := r.largest(before)
	switch {
	case err != nil || value == 0:
		return 0, false, err
	case value >= 1:
		return 0, true, nil
	}
	for range 60 {
		u, err := r.largest(flexibility)
		if err != nil {
			return 0, false, err
		}
		if math.Abs(u-1) < 1e-9 {
			break
		}
		next := flexibility + (1-u)*(flexibility-before)/(u-value)
		if !(next > 0) || math.IsInf(next, 0) {
			next = 2 * flexibility
		}
		if next == flexibility {
			break
		}
		before, value, flexibility = flexibility, u, next
	}
	return flexibility, true, nil
}

// movement searches the barrier with feet of one stiffness for the largest
// utilisation of a limit of movement across that is above 1, 0 for none.
func (c *run) movement(splices []spliceModel, foot float64) (worst moved, largest float64, err error) {
	for i, s := range splices {
		a, err := analysis.New(c.d, barrier.Layout{FootStiffness: foot, Splices: s.words, Rails: s.rails}, c.actions)
		if err != nil {
			return moved{}, 0, err
		}
		t, err := c.tubesOn(s, 1/foot)
		if err != nil {
			return moved{}, 0, err
		}
		look := func(e *analysis.Element, post bool, member int, checks []named) {
			m := moved{splices: i, post: post, member: member}
			k := c.secondOrder(t, &m)
			q := query(analysis.Service, checks)
			q.Floor = max(largest, 1) / k
			for n, found := range a.WorstOf(e, q)[0] {
				if u := k * found.Value; !checks[n].limit.vertical && found.Found() && u > largest {
					m.judge, m.placed = checks[n].judge, found
					worst, largest = m, u
				}
			}
		}
		for p := range c.d.Run.Posts {
			look(a.Post(p), true, p, c.limits.forPost())
		}
		for r := range c.d.Rails {
			look(a.Rail(r), false, r, c.limits.forRail())
		}
	}
	return worst, largest, nil
}
