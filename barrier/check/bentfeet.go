package check

import (
	"math"
	"slices"
)

// stiffEnough returns the stiffness of feet, N·m/rad, on which every limit of movement across is met in second order
// too, where first order meets them on one; nil where no feet are found that do. Movements on given feet are judged by the
// frame's own run, out of true, where second order counts: so are they here, and the feet are made as much
// stiffer as the movement of a lone post, F h²(h/3EI + 1/k), asks for, until they do.
func (c *run) stiffEnough(splices []spliceModel, k float64) (*float64, error) {
	const (
		rounds = 20
		spare  = 1e-4 // of the limit, so that the last steps are not endless
	)
	own := c.ownFlexibility()
	for range rounds {
		counts, err := c.secondOrderCounts(splices, 1/k)
		if err != nil {
			return nil, err
		}
		if c.tooLong = counts && len(c.d.Run.Posts) > mostBentFeet; c.tooLong || !counts {
			return &k, nil
		}
		u, err := c.largestBentMovement(splices, k)
		switch {
		case err != nil:
			return nil, err
		case u <= 1+1e-9:
			return &k, nil
		}
		flexibility := ofLonePost(own, 1/k, u/(1-spare))
		if math.IsInf(u, 1) {
			flexibility = 0.5 / k
		}
		if !(flexibility > 0) {
			return nil, nil
		}
		k = 1 / flexibility
	}
	return nil, nil
}

// mostBentFeet is the most posts of a run whose least foot stiffness is looked at in second order: each stiffness asks for a
// frame beside the one that is kept.
const mostBentFeet = 2000

// ownFlexibility returns that of a post in its foot, rad/(N·m): with it in the place of the foot's a lone rigid post moves as
// far as this one on a rigid foot.
func (c *run) ownFlexibility() float64 {
	return c.d.Post.Height / (3 * c.d.Post.Grade.E * c.d.Post.Ring.I)
}

// secondOrderCounts reports whether anything that is pressed makes second order count on feet of a flexibility.
func (c *run) secondOrderCounts(splices []spliceModel, flexibility float64) (bool, error) {
	posts, rails := c.compressions()
	for _, s := range splices {
		t, err := c.tubesOn(s, flexibility)
		if err != nil {
			return false, err
		}
		if amplificationAt(max(mostOfCritical(t.posts, posts), mostOfCritical(t.rails, rails))) > amplifyFrom {
			return true, nil
		}
	}
	return false, nil
}

// mostOfCritical returns the largest N/Ncr of some members, a plain number, each under a compression, N.
func mostOfCritical(of []resistance, pressed []float64) (most float64) {
	for i, n := range pressed {
		most = math.Max(most, of[i].ofCritical(n))
	}
	return most
}

// compressions returns the largest compression of each kind of post and of each rail in the models that were run, N.
func (c *run) compressions() (posts, rails []float64) {
	posts, rails = make([]float64, len(c.models[0].tubes.posts)), make([]float64, len(c.d.Rails))
	for _, m := range c.models {
		for i := range m.posts {
			kind := m.tubes.place(true, i)
			posts[kind] = math.Max(posts[kind], m.posts[i].pressed)
		}
		for i := range m.rails {
			rails[i] = math.Max(rails[i], m.rails[i].pressed)
		}
	}
	return posts, rails
}

// halfway is the part of its limit below which no movement is looked at: none comes from there to its limit.
const halfway = 0.5

// mostRaised is how many movements of each limit are run, the largest first, as far as they are above a part of the largest,
// nearlyLargest: what second order makes of these at most it is taken to make of all.
const (
	mostRaised    = 3
	nearlyLargest = 0.9
)

// largestBentMovement returns the largest utilisation of a limit of movement across on feet of a stiffness, second order
// in it: +Inf where one cannot be told.
func (c *run) largestBentMovement(splices []spliceModel, foot float64) (float64, error) {
	most, of := 0.0, c.again(failing)
	of.built = nil // what was run in second order on a frame counts, and is of this alone
	for _, s := range splices {
		m, err := of.frame(foot, s, standing(c.d))
		if err != nil {
			return 0, err
		}
		of.models = append(of.models, m)
		m.soft = of.softeningOf(m.analysis, m.tubes)
		m.floor, m.moves, m.mirrored = math.Inf(1), halfway, m.analysis.IsMirrored() // no strength
		m.searchAll(of, func() bool { return true })
		across := slices.DeleteFunc(m.moved, func(f finding) bool { return f.limit.vertical })
		most = math.Max(most, m.bender(of).largestMovement(worstFirst(across)))
	}
	return most, nil
}

// largestMovement returns the largest of some movements against their limits, the largest in first order first.
func (b *bender) largestMovement(moved []*finding) float64 {
	type raised struct {
		ran         int
		first, part float64
	}
	most, kinds := 0.0, map[string]*raised{}
	for _, f := range moved {
		kind := kinds[f.id]
		if kind == nil {
			kind = &raised{first: f.placed.Value, part: 1}
			kinds[f.id] = kind
		}
		before := f.placed.Value
		if kind.ran == mostRaised || before < nearlyLargest*kind.first {
			continue
		}
		kind.ran++
		b.replace(f, b.movement)
		kind.part = math.Max(kind.part, b.atMost(f)/before)
		most = math.Max(most, kind.first*kind.part)
	}
	return most
}

// atMost returns the utilisation of a movement, where there was no time for its run by the bound of the whole frame.
func (b *bender) atMost(f *finding) float64 {
	switch {
	case !f.unjudged():
		return f.placed.Value
	case b.spent():
		return f.placed.Value * b.frameBound(&f.placed, true)
	}
	return math.Inf(1)
}
