package check

import (
	"math"

	"example.com/stanchion/barrier/analysis"
)

// section returns the worst state at a placed load's own section by a measure of it, and
// the measure there.
func (b *bender) section(p *analysis.Placed, of func(*analysis.State) float64) (float64, analysis.State, error) {
	look := func(bend *analysis.Bend) (analysis.Placed, analysis.State) {
		s := bend.State(p)
		at := *p
		at.Value = of(&s)
		return at, s
	}
	at, s, err := b.adverse(p, look, func(s *analysis.State, _ *Recorder) float64 { return of(s) })
	return at.Value, s, err
}

// postSizes puts second order into what is printed of a post, where it lies beyond
// amplifyTo. What a frame that does not stand would give is left as it was, and what the
// frame is too long to be run for.
func (b *bender) postSizes(i int, bent map[int][]*finding) {
	x, t := &b.model.posts[i], b.model.tubes.of(true, i)
	if x.base.Found() && !b.spent() && amplification(t, &x.base.State) > amplifyTo {
		if m, _, err := b.section(&x.base, (*analysis.State).Moment); err == nil {
			x.base.Value = m
		}
	}
	foot := b.model.analysis.Post(i).Probes[0]
	for _, f := range bent[i] {
		if f.placed.Probe == foot && f.placed.Station == 0 && !math.IsInf(f.placed.Value, 1) {
			x.base.Value = math.Max(x.base.Value, f.bent.state.Moment())
		}
	}
	held := b.model.column(t, b.model.analysis.Post(i))
	b.moves(&x.top, held, across)
}

// bentPosts returns the bending of each post that was judged in second order, in order.
func (m *model) bentPosts() map[int][]*finding {
	out := map[int][]*finding{}
	for i := range m.findings {
		if f := &m.findings[i]; f.bent != nil && f.id == "post-bending" {
			out[f.member] = append(out[f.member], f)
		}
	}
	return out
}

// railSizes is the same of a rail.
func (b *bender) railSizes(i int) {
	x, t := &b.model.rails[i], b.model.tubes.rails[i]
	if x.moment.Found() && !b.spent() && amplification(t, &x.moment.State) > amplifyTo {
		if m, _, err := b.section(&x.moment, (*analysis.State).Moment); err == nil {
			x.moment.Value = m
		}
	}
	held := b.model.column(t, b.model.analysis.Rail(i))
	for _, size := range [...]struct {
		id     string
		placed *analysis.Placed
		of     movement
	}{{"rail-deflection", &x.across, across}, {"rail-span-deflection", &x.span, span}} {
		if len(b.run.d.Post.Base.Stiffness) > 0 {
			b.railMoves(size.id, i, size.placed, held, size.of)
		} else {
			b.moves(size.placed, held, size.of)
		}
	}
	if amplificationAt(b.model.second) > amplifyFrom {
		x.moment.Value = math.Max(x.moment.Value, b.largestJudged("rail-bending", i))
	}
}

// railMoves puts second order into a movement of a rail that is printed, as into a check of it with a limit of 1 m.
func (b *bender) railMoves(id string, rail int, p *analysis.Placed, held column, moves movement) {
	if !p.Found() {
		return
	}
	f := finding{id: id, member: rail, limit: &limit{value: 1, allowance: &allowance{}}, moves: moves, held: &held, placed: *p, model: b.model}
	if b.replace(&f, b.movement); !math.IsInf(f.placed.Value, 1) {
		p.Value = f.placed.Value
	}
}

// largestJudged returns the largest moment, N·m, in what a check judged of a rail, with second
// order; other placements than the one with the largest bound may bring more.
func (b *bender) largestJudged(id string, rail int) float64 {
	most := 0.0
	for k := range b.model.findings {
		f := &b.model.findings[k]
		switch {
		case f.id != id || f.member != rail || math.IsInf(f.placed.Value, 1):
		case f.bent != nil:
			most = math.Max(most, f.bent.state.Moment())
		default:
			most = math.Max(most, f.placed.State.Moment()*printedAmplification(b.model.tubes.rails[rail], &f.placed.State))
		}
	}
	return most
}

// moves puts second order into a movement that is printed.
func (b *bender) moves(p *analysis.Placed, held column, moves movement) {
	if !p.Found() || b.spent() || held.factor(&p.State) <= amplifyTo {
		return
	}
	if at, _, err := b.moving(p, func(s *analysis.State) float64 { return math.Abs(moves(s)) }); err == nil {
		p.Value = at.Value * held.soft.factor()
	}
}

// footState returns what acts at a post's foot with second order: the state, and the factor
// on its moments where it is of first order.
func (c *run) footState(p *analysis.Placed, of func(*analysis.State) float64) (analysis.State, float64) {
	m := c.modelOf(p)
	b, k := m.bender(c), amplification(m.tubes.of(true, p.Probe.Post), &p.State)
	switch {
	case k <= amplifyTo && !m.isBentPost(p.Probe.Post):
		return p.State, k
	case b.spent():
		c.fallen = true
		return p.State, math.Min(k, amplifyTo)
	}
	_, state, err := b.section(p, of)
	if err != nil {
		c.fallen = true
		return p.State, amplifyTo
	}
	if k <= amplifyTo && of(&state) < k*of(&p.State) {
		return p.State, k
	}
	return state, 1
}

// isBentPost reports whether the bending of a post is judged in second order.
func (m *model) isBentPost(i int) bool {
	if m.bentOnes == nil {
		m.bentOnes = m.bentPosts()
	}
	return len(m.bentOnes[i]) > 0
}

// modelOf returns the model that a placed load was found in.
func (c *run) modelOf(p *analysis.Placed) *model {
	for _, m := range c.models {
		if m.analysis.Owns(p) {
			return m
		}
	}
	panic("check: a placed load of no model that stands")
}
