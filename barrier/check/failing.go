package check

import (
	"cmp"
	"math"
	"slices"

	"example.com/stanchion/barrier"
)

// Fails reports whether a check of a barrier fails, and which was found to: the first, and not
// the worst. It is told as soon as one is found, and what passes is not sought further than
// that; so it costs far less than Judge. Where it reports false Judge's status is Pass or
// Incomplete, where it reports true Fail. Of a geometry rule the id is "geometry" and the
// element the rule. Errors are those of Run, as far as it goes: of a failure its own load is
// solved again.
func Fails(d *barrier.Definition) (Judged, bool, error) {
	c, err := newRun(d, Options{}, failing)
	if err != nil {
		return Judged{}, false, err
	}
	return c.fails(true)
}

// JudgeUnlessFails tells of a barrier in which a check fails what Fails does, with true and no
// Judgement, and of any other what Judge does, with false: what was built to see whether one fails is
// used again. Errors are those of both.
func JudgeUnlessFails(d *barrier.Definition) (*Judgement, Judged, bool, error) {
	c, err := newRun(d, Options{}, failing)
	if err != nil {
		return nil, Judged{}, false, err
	}
	c.atOnce = true
	failure, failed, err := c.fails(true)
	if failed || err != nil {
		return nil, failure, failed, err
	}
	j := c.again(judged)
	if err := j.calculate(); err != nil {
		return nil, Judged{}, false, err
	}
	j.conclude()
	if c.left && j.out.Status == Fail {
		if failure, failed, err = c.again(failing).fails(true); failed || err != nil {
			return nil, failure, failed, err
		}
	}
	return j.judgement(), Judged{}, false, nil
}

// short is how far a utilisation may stay below 1 and still be looked at.
const short = 1e-8

// fails looks for a check that fails, geometry among them or not. One that is to be told at once
// leaves it open where second order has to say.
func (c *run) fails(geometry bool) (Judged, bool, error) {
	if piece, failed, err := c.pieceFails(); failed || err != nil || c.left {
		return piece, failed, err
	}
	base, splices := c.d.Post.Base.Stiffness, spliceModels(c.d)
	feet := base
	if len(feet) == 0 {
		feet = []float64{math.Inf(1)}
	}
	if err := c.frames(feet, splices); err != nil {
		return Judged{}, false, err
	}
	if rule, failed := c.geometryFails(); failed && geometry {
		return rule, true, nil
	}
	if f, err := c.modelsFail(c.models); f != nil || err != nil || c.left {
		return c.failed(f, err)
	}
	if len(base) == 0 {
		f, err := c.softFeetFail(splices)
		if f != nil || err != nil || c.left {
			return c.failed(f, err)
		}
	}
	return Judged{}, false, c.proveFrames()
}

// frames readies the models of some feet.
func (c *run) frames(feet []float64, splices []spliceModel) error {
	joints := standing(c.d)
	for _, s := range splices {
		for _, k := range feet {
			m, err := c.frame(k, s, joints)
			if err != nil {
				return err
			}
			c.models = append(c.models, m)
		}
	}
	return nil
}

// pieceFails looks at the test piece, where there is one.
func (c *run) pieceFails() (Judged, bool, error) {
	d, s := c.pieceOf()
	if d == nil {
		return Judged{}, false, nil
	}
	p, err := newRun(d, c.o, failing)
	if err != nil {
		return Judged{}, false, err
	}
	p.atOnce = c.atOnce
	c.piece = &piece{s.Standard, p}
	found, failed, err := p.fails(false)
	c.left = p.left
	found.Element = pieceWords + found.Element
	found.Post, found.Rail, found.Bay = -1, -1, -1
	return found, failed, err
}

// geometryFails looks for a geometry rule that is broken.
func (c *run) geometryFails() (Judged, bool) {
	c.geometry()
	for i := range c.out.Geometry {
		if g := &c.out.Geometry[i]; g.Status == Fail {
			return Judged{ID: "geometry", Element: g.Rule, Post: -1, Rail: -1, Bay: -1, Status: Fail}, true
		}
	}
	return Judged{}, false
}

// modelsFail looks for a check that fails in some models.
func (c *run) modelsFail(models []*model) (*finding, error) {
	for _, m := range models {
		if f := m.fails(c); f != nil || c.left {
			return f, nil
		}
	}
	return nil, nil
}

// softFeetFail looks at what Run does where the stiffness of the feet is not given: at the
// movements on rigid feet where these do not do, and at strength on the softest that do.
func (c *run) softFeetFail(splices []spliceModel) (*finding, error) {
	if err := c.findLeast(splices); err != nil {
		return nil, err
	}
	rigid := len(c.models)
	if c.least != nil {
		if err := c.frames([]float64{*c.least}, splices); err != nil {
			return nil, err
		}
	}
	if f, err := c.modelsFail(c.models[rigid:]); f != nil || err != nil || c.left || !c.beyond {
		return f, err
	}
	for _, m := range c.models {
		for i := range m.moved {
			if m.moved[i].utilisation() > 1 {
				return &m.moved[i], nil
			}
		}
	}
	return nil, nil
}

// movesFrom returns the part of its limit from which on a movement is sought in a model. Where
// the stiffness of the feet is not given that is every one in the models on rigid feet, from
// which the least stiffness is found, and none on these feet where the limits are met.
func (c *run) movesFrom(m *model) float64 {
	switch {
	case len(c.d.Post.Base.Stiffness) > 0:
		return m.floor
	case c.least == nil:
		return 0
	case c.beyond:
		return 1 - short // they are not run in second order
	}
	return math.Inf(1)
}

// failed tells a check that fails, once its load is solved again.
func (c *run) failed(f *finding, err error) (Judged, bool, error) {
	if err != nil || f == nil {
		return Judged{}, false, err
	}
	stiffness, equilibrium := f.model.analysis.Residual()
	p, s, e := f.model.analysis.Verify(&f.placed)
	if err := trust(p, math.Max(stiffness, s), math.Max(equilibrium, e)); err != nil {
		return Judged{}, false, err
	}
	u := f.judged(nil)
	found := Judged{ID: f.id, Element: f.element, Post: -1, Rail: -1, Bay: -1, Utilisation: settledUse(bounded(u)), Status: Fail}
	found.place(f)
	return found, true, nil
}

// proveFrames proves the models of which nothing fails.
func (c *run) proveFrames() error {
	for _, m := range c.models {
		stiffness, equilibrium := m.analysis.Residual()
		placement := 0.0
		if len(m.findings) > 0 {
			worst := worstFirst(m.findings)[0]
			p, s, e := m.analysis.Verify(&worst.placed)
			placement, stiffness, equilibrium = p, math.Max(stiffness, s), math.Max(equilibrium, e)
		}
		if err := trust(placement, stiffness, equilibrium); err != nil {
			return err
		}
	}
	return nil
}

// fails looks for a check of the model that fails: first for one that does so in first order,
// the posts in the order of mostLoadedFirst, then among those that second order may raise.
func (m *model) fails(c *run) *finding {
	m.soft = c.softeningOf(m.analysis, m.tubes)
	m.floor = 1 - short
	m.moves = c.movesFrom(m)
	m.mirrored = m.analysis.IsMirrored()
	if f := m.membersFail(c); f != nil {
		return f
	}
	if m.floor = m.failingFrom(); m.floor < 1-short {
		if c.atOnce {
			c.left = true
			return nil
		}
		m.mirrored = false // few come here, and the runs cost more than the search
		m.moves = c.movesFrom(m)
		m.findings, m.moved = nil, nil
		if f := m.membersFail(c); f != nil {
			return f
		}
	}
	steps := []func(){}
	for i := range m.braces {
		steps = append(steps, func() { m.brace(c, i) })
	}
	steps = append(steps, func() { m.joints(c) }, func() { m.walls(c) })
	if len(c.footings()) > 0 {
		for i := range m.posts {
			steps = append(steps, func() { m.feet(c, i) })
		}
	}
	seen := len(m.findings)
	for _, step := range steps {
		step()
		if f := firstFailure(m.findings[seen:]); f != nil {
			return f
		}
		seen = len(m.findings)
	}
	return m.bendsToFail(c)
}

// membersFail looks at posts and rails for a check that fails in first order.
func (m *model) membersFail(c *run) (failed *finding) {
	strength, moved := 0, 0
	m.searchAll(c, func() bool {
		failed = firstFailure(m.findings[strength:])
		if failed == nil && len(c.d.Post.Base.Stiffness) > 0 {
			failed = firstFailure(m.moved[moved:])
		}
		strength, moved = len(m.findings), len(m.moved)
		return failed == nil
	})
	return failed
}

// firstFailure returns the first finding that fails whatever second order makes of it.
func firstFailure(found []finding) *finding {
	for i := range found {
		if f := &found[i]; f.utilisation() > 1 && !f.beyondFirstOrder() {
			return f
		}
	}
	return nil
}

// bendsToFail judges in second order what was found, the largest first, and returns the first
// that fails.
func (m *model) bendsToFail(c *run) *finding {
	b := m.bender(c)
	for _, f := range worstFirst(m.findings) {
		if b.replace(f, b.strength); f.utilisation() > 1 {
			return f
		}
	}
	if len(c.d.Post.Base.Stiffness) == 0 {
		return nil
	}
	for _, f := range worstFirst(m.moved) {
		if b.replace(f, b.movement); f.utilisation() > 1 {
			return f
		}
	}
	return nil
}

// failingFrom returns the utilisation in first order from which on a check may fail. Where
// second order counts that is half of what its bound of the whole frame would raise to 1, for
// the frame is run out of true too; where it counts for much everything is looked at.
func (m *model) failingFrom() float64 {
	if amplificationAt(m.second) <= amplifyFrom {
		return 1 - short
	}
	const most = 1.5
	if k := amplificationAt(3 * m.second); k < most {
		return 0.5 / k
	}
	return 0
}

// leastPressed returns the compression of a member up to which second order leaves it alone, N;
// 0 where compression is asked for itself, for feet that are not given.
func (c *run) leastPressed(t resistance) float64 {
	if len(c.d.Post.Base.Stiffness) == 0 {
		return 0
	}
	return amplifyRise * (1 - short) / t.ofCritical(1)
}

// mostLoadedFirst returns the posts: those at the ends, which bear alone what stands there unless a wall does, then those
// with the longest bays beside them.
func (c *run) mostLoadedFirst() []int {
	carried := make([]float64, len(c.d.Run.Posts))
	out := make([]int, len(carried))
	for i := range carried {
		carried[i], out[i] = c.tributary(i), i
	}
	carried[0], carried[len(carried)-1] = math.Inf(1), math.Inf(1)
	slices.SortStableFunc(out, func(i, j int) int {
		if carried[i] == carried[j] || sameLength(carried[i], carried[j]) {
			return 0
		}
		return cmp.Compare(carried[j], carried[i])
	})
	return out
}
