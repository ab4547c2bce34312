package check

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// bent is a check judged in second order: the state under the governing placement on the
// bent frame, which nothing amplifies further.
type bent struct {
	state analysis.State
	judge judge
	words string // how it was run, and what it gave
}

// bender replaces the checks of a model that lie beyond amplifyTo.
type bender struct {
	run       *run
	model     *model
	permanent float64 // largest compression in a post under permanent actions alone, N
	most      int     // how many members it may solve in second order
	tried     map[question][]analysis.Placed
	outOfTrue
}

// question is what is searched in first order for the loads that a check is run under: findings that differ by their load
// share it.
type question struct {
	id        string
	member    int
	by        *situation
	level     analysis.Level
	limit     *limit // where it is about some actions alone: of the others any has the same worst loads
	bay       int    // of a movement of a rail
	afterTurn bool   // of a movement of a post at a corner: across the leg that begins there
}

func (m *model) bender(c *run) *bender {
	return &bender{run: c, model: m, most: mostRuns, tried: map[question][]analysis.Placed{}, outOfTrue: outOfTrueBy(c.d.Basis), permanent: m.postsPressed()}
}

// worstOf returns the placed loads that are worst for a question, searched once.
func (b *bender) worstOf(of question, e *analysis.Element, q analysis.Query) []analysis.Placed {
	found, known := b.tried[of]
	if !known {
		found = b.model.analysis.WorstOf(e, q)[0]
		b.tried[of] = found
	}
	return found
}

// postsPressed returns the largest compression in any post under the permanent actions, N, found
// once.
func (m *model) postsPressed() float64 {
	if m.permanent == nil {
		pressed := 0.0
		for i := range m.posts {
			pressed = math.Max(pressed, m.analysis.PressedByPermanent(m.analysis.Post(i)))
		}
		m.permanent = &pressed
	}
	return *m.permanent
}

// bend judges in second order what lies beyond amplifyTo, and below that what the frame
// raises by more than 1/(1 - N/Ncr) of its own compression: a post that is hardly pressed
// leans with those beside it that are. These are strength and first yield of posts, rails and
// braces; feet and what joints pass, under the load that is worst by the bound; movements where
// the stiffness of the feet is given; the sizes that are printed beside them.
func (m *model) bend(c *run) {
	b := m.bender(c)
	for _, f := range worstFirst(m.findings) {
		b.replace(f, b.strength)
	}
	for _, f := range worstFirst(m.moved) {
		if len(c.d.Post.Base.Stiffness) > 0 {
			b.replace(f, b.movement)
		} else if f.beyondFirstOrder() {
			f.unbent = "the stiffness of the feet is not given"
		}
	}
	bent := m.bentPosts()
	for i := range m.posts {
		if !m.leavesOut(c, i) {
			b.postSizes(i, bent)
		}
	}
	m.giveTwins(c)
	for i := range m.rails {
		b.railSizes(i)
	}
	m.largestAgain()
}

// worstFirst returns the findings, the largest utilisation first.
func worstFirst(found []finding) []*finding {
	out := make([]*finding, len(found))
	for i := range found {
		out[i] = &found[i]
	}
	slices.SortStableFunc(out, func(f, g *finding) int { return cmp.Compare(g.placed.Value, f.placed.Value) })
	return out
}

// mostRuns is how many members may be solved in second order in one model: some seconds.
const mostRuns = 80e3

// spent reports whether no more of them may be run.
func (b *bender) spent() bool { return b.model.analysis.BentMembers() > b.most }

// replace judges a finding in second order where 1/(1 - N/Ncr) does not do. One of a rail, whose own
// compression tells nothing of how its posts lean, is judged with what presses these beside its load too.
func (b *bender) replace(f *finding, judge func(*finding)) {
	before, beside := *f, b.pressedBeside(f)
	b.replaceUnder(f, judge)
	unbent := f.unbent
	for i := range beside {
		if math.IsInf(f.placed.Value, 1) {
			break
		}
		other := &beside[i]
		b.replaceUnder(other, judge)
		unbent = cmp.Or(unbent, other.unbent)
		if analysis.Beats(other.placed.Value, f.placed.Value) {
			*f = *other
		}
	}
	if unbent != "" && f.placed.Value <= 1 { // one that could not be run may be the one that fails
		before.unbent = unbent
		*f = before
	}
}

// pressedBeside returns a finding of a rail under each load beside its own that presses the posts harder.
func (b *bender) pressedBeside(f *finding) (out []finding) {
	if !strings.HasPrefix(f.id, "rail-") || !isRaised(f) || amplificationAt(b.model.second) <= amplifyFrom {
		return nil
	}
	moves := f.limit != nil
	least, j := math.Max(amplifyFrom, b.frameBound(&f.placed, moves)), f.plain()
	for _, p := range b.model.analysis.PressedBeside(&f.placed, f.only()) {
		if b.frameBound(&p, moves) <= least {
			continue
		}
		p.State = b.model.analysis.Replay(&p)
		other := *f
		p.Value = j(&p.State, nil)
		other.placed = p
		out = append(out, other)
	}
	return out
}

// only tells which actions a finding is about; nil for every one.
func (f *finding) only() func(*analysis.Action) bool {
	switch {
	case f.limit != nil:
		return f.limit.only
	case f.by != nil:
		return f.by.only
	}
	return nil
}

// replaceUnder is replace under the load of the finding. What cannot be run stays unjudged, unless a
// bound of the whole frame lets it pass.
func (b *bender) replaceUnder(f *finding, judge func(*finding)) {
	beyond := f.beyondFirstOrder()
	if !beyond && (!isRaised(f) || amplificationAt(b.model.second) <= amplifyFrom) {
		return
	}
	if b.spent() {
		if beyond || f.placed.Value*b.anyBound() > 1 && f.placed.Value*b.frameBound(&f.placed, f.limit != nil) > 1 {
			f.unbent = "the barrier is too long for a run of every check; the worst were run"
		}
		return
	}
	if !beyond && !b.leans(f) {
		return
	}
	before := *f
	judge(f)
	if !beyond && f.bent != nil && f.placed.Value < before.placed.Value {
		*f = before
	}
}

// isRaised reports whether a check is one of a member that second order raises. Buckling of a
// post or a rail has it in its critical force.
func isRaised(f *finding) bool {
	if f.joint != nil {
		return false
	}
	element, kind, _ := strings.Cut(f.id, "-")
	switch element {
	case "brace", "base":
		return kind != "shear" && kind != "torsion"
	case "post", "rail":
		return kind != "shear" && kind != "torsion" && kind != "buckling"
	}
	return false
}

// largestAgain finds the largest utilisations of posts, rails and braces among the findings
// once more.
func (m *model) largestAgain() {
	isBent := func(f finding) bool { return f.bent != nil }
	if !slices.ContainsFunc(m.findings, isBent) && !slices.ContainsFunc(m.moved, isBent) {
		return
	}
	of := func(f *finding) (strength, deflection *float64, at *analysis.Placed) {
		if f.joint != nil {
			return nil, nil, nil
		}
		switch kind, _, _ := strings.Cut(f.id, "-"); kind {
		case "post":
			x := &m.posts[f.member]
			return &x.strength, &x.deflection, nil
		case "rail":
			x := &m.rails[f.member]
			return &x.strength, &x.deflection, &x.strengthAt
		case "brace":
			return &m.braces[f.member].strength, nil, nil
		}
		return nil, nil, nil
	}
	for i := range m.findings {
		if strength, _, _ := of(&m.findings[i]); strength != nil {
			*strength = -1
		}
	}
	for i := range m.moved {
		if _, deflection, _ := of(&m.moved[i]); deflection != nil {
			*deflection = -1
		}
	}
	for i := range m.findings {
		f := &m.findings[i]
		strength, _, at := of(f)
		if strength != nil && (!isYield(f.id) || f.placed.Value > 1) && analysis.Beats(f.placed.Value, *strength) {
			*strength = f.placed.Value
			if at != nil {
				*at = f.placed
			}
		}
	}
	for i := range m.moved {
		if _, deflection, _ := of(&m.moved[i]); deflection != nil {
			*deflection = math.Max(*deflection, m.moved[i].placed.Value)
		}
	}
}

// judgeOf returns the check of a finding of a post, a rail or a brace by a resistance. What
// compresses a brace along its own length stays in it.
func judgeOf(id string, t resistance) judge {
	_, kind, _ := strings.Cut(id, "-")
	return map[string]judge{"bending": t.Bending, "shear": t.Shear, "torsion": t.Torsion, "interaction": t.Interaction, "buckling": t.Buckling, "yield": t.Yield}[kind]
}

// strength judges a finding in second order. Its placement was the worst by the bound, which
// makes more of what presses than the frame does; so the placements are run as well that are
// worst with the bound held to amplifyTo, in first order, and for compression, and for a rail
// those that push along it from either end.
func (b *bender) strength(f *finding) {
	kind, _, _ := strings.Cut(f.id, "-")
	switch {
	case f.net != nil:
		b.net(f)
		return
	case f.joint != nil:
		b.joint(f)
		return
	case kind == "brace":
		b.brace(f)
		return
	case kind == "base":
		b.foot(f)
		return
	}
	element, t := b.model.elementOf(f), f.by.by(b.model.tubes.of(kind != "rail", f.member))
	plain := judgeOf(f.id, t.upTo(1))
	level := f.placed.Combination.Level
	q := query(level, []named{{judge: judgeOf(f.id, t.upTo(amplifyTo))}, {judge: plain}}, sizePressed)
	q.Only = f.only()
	tried := b.worstOf(question{id: f.id, member: f.member, by: f.by, level: level}, element, q)
	look := func(bend *analysis.Bend) (analysis.Placed, analysis.State) {
		return bend.Worst(element, func(s *analysis.State) float64 { return plain(s, nil) })
	}
	tried = append([]analysis.Placed{f.placed}, tried...)
	if kind == "rail" {
		for _, p := range b.model.analysis.Thrusts(level) {
			if f.by.holds(p.Placement.Action) {
				tried = append(tried, p)
			}
		}
	}
	b.worstRun(f, tried, func(p *analysis.Placed) (*bent, error) {
		at, state, err := b.adverse(p, look, plain)
		if err != nil {
			return nil, err
		}
		p.Probe, p.Station, p.After, p.Value = at.Probe, at.Station, at.After, at.Value
		p.State = b.model.analysis.Replay(p)
		return b.compared(level, state, &p.State, plain), nil
	})
	if kind == "rail" && f.bent != nil {
		f.element = b.run.railName(f.member, f.placed.Probe.Bay)
	}
}

// worstRun judges a finding by the worst of some placed loads, each of which run gives the
// section and the value in second order. Where the frame falls under one, that is the worst.
func (b *bender) worstRun(f *finding, tried []analysis.Placed, run func(*analysis.Placed) (*bent, error)) {
	worst, fall := finding{}, fallen{}
	var untold error
	for _, p := range tried {
		found, err := run(&p)
		switch {
		case fall.takes(&p, err):
		case err != nil:
			untold = err
		case worst.bent == nil || analysis.Beats(p.Value, worst.placed.Value):
			worst.placed, worst.bent = p, found
		}
	}
	switch {
	case fall.error != nil:
		b.fall(f, &fall)
	case untold != nil:
		f.unbent = untold.Error()
	default:
		f.placed, f.bent = worst.placed, worst.bent
	}
}

// compared is a check in second order, told beside first order under the same load at the
// same section.
func (b *bender) compared(l analysis.Level, state analysis.State, first *analysis.State, j judge) *bent {
	words := b.wordsAt(l)
	if u := j(first, nil); u > traceOfUse && !math.IsInf(u, 1) {
		words += ": " + quantity.Fix(j(&state, nil)/u, 3) + " of first order"
	}
	return &bent{state: state, words: words, judge: func(s *analysis.State, r *Recorder) float64 {
		if first.Moment() > 0 {
			r.step("moment of first order, for comparison", "M1", first.Moment(), "Nm", "", FromFrame)
		}
		return j(s, r)
	}}
}

// fallen is the load of those tried at the least part of which the frame does not stand.
type fallen struct {
	placed analysis.Placed
	error  *solver.InstabilityError // nil: it stands under all
}

// takes notes a load that the frame does not carry, and reports whether it is one.
func (w *fallen) takes(p *analysis.Placed, err error) bool {
	fall, ok := errors.AsType[*solver.InstabilityError](err)
	if ok && (w.error == nil || fall.Level < w.error.Level*(1-1e-3)) {
		w.placed, w.error = *p, fall
	}
	return ok
}

// fall makes a finding one of a frame that does not stand: a failure without bound.
func (b *bender) fall(f *finding, w *fallen) {
	p, fallen := &w.placed, w.error
	load := "this load"
	if p.Combination.Level == analysis.Strength && b.run.d.Basis == loads.BasisASD {
		load = "α = 1.6 times this load"
	}
	words := fmt.Sprintf("%s: unstable from %s of %s on, permanent actions with it", b.wordsAt(p.Combination.Level), quantity.Fix(fallen.Level, 3), load)
	if fallen.Node != "" {
		words += ": " + fallen.Node + " moves in " + fallen.Direction
	}
	place := f.placed
	f.placed = *p
	f.placed.Probe, f.placed.Station, f.placed.After = place.Probe, place.Station, place.After
	f.placed.State, f.placed.Value = b.model.analysis.Replay(&f.placed), math.Inf(1)
	f.bent = &bent{state: f.placed.State, words: words, judge: func(_ *analysis.State, r *Recorder) float64 {
		r.step("part of the load at which the frame loses its stability", "load", fallen.Level, "1", "", FromFrame)
		r.verdict(1, fallen.Level, "1", "stability of the frame, second order")
		return math.Inf(1)
	}}
}

// brace judges a brace by its axial force in second order at the section of first order. Its
// own bending, and what compression makes of that, is in its check.
func (b *bender) brace(f *finding) {
	j := judgeOf(f.id, f.by.by(b.model.tubes.braces[f.member]))
	b.worstRun(f, []analysis.Placed{f.placed}, func(p *analysis.Placed) (*bent, error) {
		look := func(bend *analysis.Bend) (analysis.Placed, analysis.State) {
			s, at := p.State, *p
			moved := bend.State(p)
			s.N = moved.N
			at.Value = j(&s, nil)
			return at, s
		}
		at, state, err := b.adverse(p, look, j)
		if err != nil {
			return nil, err
		}
		p.Value = at.Value
		return b.compared(p.Combination.Level, state, &p.State, j), nil
	})
}

// elementOf returns the post or the rail that a finding is of: there may be fewer posts than rails.
func (m *model) elementOf(f *finding) *analysis.Element {
	if strings.HasPrefix(f.id, "rail-") {
		return m.analysis.Rail(f.member)
	}
	return m.analysis.Post(f.member)
}

// movement judges a movement in second order: what the variable load adds to the permanent
// ones on the bent frame, where the bound found it largest and where first order does in the
// same bay. What a frame out of true moves more is in it.
func (b *bender) movement(f *finding) {
	l, moves := f.limit, f.moves
	j := func(s *analysis.State, r *Recorder) float64 {
		d := math.Abs(moves(s))
		if r.keepsSteps() {
			r.step("movement in second order, beyond that of the permanent actions", "δ", d*1e3, "mm", "", FromFrame)
			f.held.soft.record(r)
			f.held.soft.recordMovement(r, f.held.soft.factor()*d, "kE δ")
			l.record(r)
		}
		return r.verdict(f.held.soft.factor()*d*1e3, l.value*1e3, "mm", l.clause)
	}
	e, of := b.model.elementOf(f), question{id: f.id, member: f.member, level: analysis.Service}
	if l.only != nil {
		of.limit = l
	}
	if strings.HasPrefix(f.id, "post-") { // at a corner a post moves across either leg
		if other := b.model.analysis.Turned(f.member); other != nil && slices.Contains(other.Probes, f.placed.Probe) {
			e, of.afterTurn = other, true
		}
	}
	if strings.HasPrefix(f.id, "rail-") {
		of.bay = f.placed.Probe.Bay
		e = e.Bays(func(other int) bool { return other == of.bay })
	}
	q := query(analysis.Service, []named{{judge: j}})
	q.Only = f.only()
	tried := append([]analysis.Placed{f.placed}, b.worstOf(of, e, q)...)
	b.worstRun(f, tried, func(p *analysis.Placed) (*bent, error) {
		at, state, err := b.moving(p, func(s *analysis.State) float64 { return j(s, nil) })
		if err != nil {
			return nil, err
		}
		p.Value = at.Value
		found := b.compared(analysis.Service, state, &p.State, j)
		found.judge = j
		return found, nil
	})
}

// moving returns a placed load with the state at its section that the variable load adds, at
// its worst by a measure.
func (b *bender) moving(p *analysis.Placed, of func(*analysis.State) float64) (analysis.Placed, analysis.State, error) {
	alone := *p
	by := *p.Combination
	by.Permanent = 1
	still := by
	still.Variable, still.Beside = 0, nil
	alone.Placement, alone.Beside, alone.Combination = analysis.Placement{}, nil, &still
	dead, err := b.model.analysis.Bend(&alone, 1, analysis.Lean{})
	if err != nil {
		return *p, analysis.State{}, err
	}
	before := dead.State(p)
	loaded := *p
	loaded.Combination = &by
	look := func(bend *analysis.Bend) (analysis.Placed, analysis.State) {
		s := bend.State(p)
		s = s.Plus(-1, &before)
		at := *p
		at.Value = of(&s)
		return at, s
	}
	return b.adverse(&loaded, look, func(s *analysis.State, _ *Recorder) float64 { return of(s) })
}

// isBent reports whether any check that counts was judged in second order.
func (c *run) isBent() bool {
	return c.piece != nil && c.piece.isBent() || slices.ContainsFunc(slices.Concat(c.worst.findings, c.worst.moved), func(f finding) bool { return f.bent != nil })
}
