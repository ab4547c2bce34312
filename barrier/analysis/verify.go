package analysis

import (
	"math"
	"slices"

	"example.com/stanchion/solver"
)

// Case returns the placed load and its permanent actions as an ordinary load
// case, factored.
func (r *Replayer) Case(p *Placed) solver.Case {
	c := r.permanentCase(p.Combination.Permanent)
	r.eachPlacement(p, func(at *Placement, factor float64) { r.addTo(&c, at, factor) })
	return c
}

// eachPlacement visits the variable actions of a placed load with their factors.
func (r *Replayer) eachPlacement(p *Placed, visit func(at *Placement, factor float64)) {
	if p.Placement.Action == nil {
		return
	}
	visit(&p.Placement, p.Combination.Variable)
	for i := range p.Beside {
		visit(&p.Beside[i], p.Combination.Beside.Terms[i].Factor)
	}
}

// addTo adds a placed action times a factor to a case.
func (r *Replayer) addTo(c *solver.Case, at *Placement, factor float64) {
	i := r.indexOf(at.Action)
	if at.Action.Field != nil {
		add(c, r.fieldCase(i, at.Sense), factor)
		return
	}
	f := at.Force()
	for k := range f {
		f[k] *= factor
	}
	var load solver.Case
	if at.Action.Point {
		load.Points = r.chains[i].Loads(at.Stretch, at.X, f)
	}
	for _, l := range at.Lengths {
		load.Lines = append(load.Lines, r.chains[i].LineLoads(l.From, l.To, f)...)
		load.Points = append(load.Points, r.chains[i].ArmLoads(l.From, l.To, f)...)
	}
	add(c, r.withCouples(at.Action, load), 1)
}

// fieldCase returns the load case of one sense of a field, unfactored, made once.
func (r *Replayer) fieldCase(action, sense int) solver.Case {
	key := [2]int{action, sense}
	if c, ok := r.fields[key]; ok {
		return c
	}
	if r.fields == nil {
		r.fields = map[[2]int]solver.Case{}
	}
	r.fields[key] = r.Actions[action].Field.Senses[sense].On(r)
	return r.fields[key]
}

// add adds a load case times a factor to another.
func add(c *solver.Case, load solver.Case, factor float64) {
	for _, l := range load.Nodes {
		l.Force, l.Moment = times(factor, l.Force), times(factor, l.Moment)
		c.Nodes = append(c.Nodes, l)
	}
	for _, l := range load.Points {
		l.Force, l.Moment = times(factor, l.Force), times(factor, l.Moment)
		c.Points = append(c.Points, l)
	}
	for _, l := range load.Lines {
		l.Start, l.End = times(factor, l.Start), times(factor, l.End)
		c.Lines = append(c.Lines, l)
	}
	for _, l := range load.Settlements {
		l.Value *= factor
		c.Settlements = append(c.Settlements, l)
	}
	for _, l := range load.Heats {
		l.Rise, l.Across = factor*l.Rise, [2]float64{factor * l.Across[0], factor * l.Across[1]}
		c.Heats = append(c.Heats, l)
	}
	for k := range c.Gravity {
		c.Gravity[k] += factor * load.Gravity[k]
	}
}

// permanentCase returns the permanent actions times a factor: gravity on the tubes, the
// fittings and the infill.
func (r *Replayer) permanentCase(factor float64) solver.Case {
	c := solver.Case{}
	if factor == 0 {
		return c
	}
	for k := range gravity {
		c.Gravity[k] = factor * gravity[k]
	}
	c.Nodes = r.Frame.NodeWeights(c.Gravity)
	return c
}

// Verify solves a placed load again as an ordinary load case and returns the
// largest difference between the state found and the state solved, over the
// size of the load or of the largest component of its kind, with the residuals of that solve: all
// plain numbers, of which package check trusts up to 1e-8.
// Equal load cases are solved once, where they are verified in succession.
func (a *Analysis) Verify(p *Placed) (placement, stiffness, equilibrium float64) {
	s := a.proofOf(p)
	want := a.solved(s, p)
	got := p.State
	forces := math.Max(math.Abs(got.N), math.Max(got.Shear(), math.Max(math.Abs(want.N), want.Shear())))
	forces = math.Max(forces, p.loadSize())
	if p.isStill() { // on the member itself it may do nothing: what a post has of it, in the mean
		c := a.Case(p)
		forces = math.Max(forces, sizeOf(&c)/float64(len(a.Frame.Posts)))
	}
	var room [4]share
	for _, st := range a.standsBeside(room[:0], p.Probe, p.Combination, &p.Placement, p.Beside) { // where shear passes through zero it is no scale
		forces = math.Max(forces, st.factor*st.of.size(p.Probe.Length))
	}
	moments := math.Max(got.Moment(), math.Abs(got.T))
	moves := math.Max(math.Abs(got.Across), math.Max(math.Abs(got.Along), math.Abs(got.Vertical)))
	if l := p.Probe.Length; l > 0 { // a movement that is rounding alone is judged against what the load does to such a member
		moves = math.Max(moves, forces*l*l*l/p.Probe.ei)
	}
	worst := 0.0
	differ := func(scale float64, pairs ...[2]float64) {
		for _, q := range pairs {
			if d := math.Abs(q[0] - q[1]); d > 0 && scale > 0 {
				worst = math.Max(worst, d/scale)
			}
		}
	}
	differ(forces, [2]float64{got.N, want.N}, [2]float64{got.Vy, want.Vy}, [2]float64{got.Vz, want.Vz})
	arm := p.Probe.Length
	if arm == 0 {
		arm = 1 // a joint has no length: a moment is judged against the force at one metre
	}
	differ(math.Max(moments, forces*arm), [2]float64{got.T, want.T}, [2]float64{got.My, want.My}, [2]float64{got.Mz, want.Mz})
	if p.Combination.Level == Service {
		differ(moves, [2]float64{got.Across, want.Across}, [2]float64{got.Along, want.Along}, [2]float64{got.Vertical, want.Vertical}, [2]float64{got.Span, want.Span})
	}
	if math.IsNaN(worst) {
		worst = math.Inf(1)
	}
	return worst, s.Residual, s.Imbalance
}

// sizeOf returns the sum of the sizes of the forces of a load case, N, gravity on members aside.
func sizeOf(c *solver.Case) (sum float64) {
	size := func(f solver.Vec) float64 { return math.Sqrt(dot(f, f)) }
	for _, l := range c.Nodes {
		sum += size(l.Force)
	}
	for _, l := range c.Points {
		sum += size(l.Force)
	}
	for _, l := range c.Lines {
		sum += (l.To - l.From) * (size(l.Start) + size(l.End)) / 2
	}
	return sum
}

// verified is a load that was solved again, and its answer.
type verified struct {
	placed   Placed
	solution *solver.Solution
}

// solvedBefore returns the answer to a load that was solved again, nil where it is not kept.
func (a *Analysis) solvedBefore(p *Placed) *solver.Solution {
	for i := range a.verified {
		if p.SameLoad(&a.verified[i].placed) {
			return a.verified[i].solution
		}
	}
	return nil
}

// proofOf solves a placed load as an ordinary load case. The answer is good until the next is asked for.
func (a *Analysis) proofOf(p *Placed) *solver.Solution {
	if s := a.solvedBefore(p); s != nil {
		return s
	}
	if a.proved.solution == nil || !p.SameLoad(&a.proved.placed) {
		a.proved = verified{*p, a.model.SolveIn(&a.sheet, a.Case(p))}
	}
	return a.proved.solution
}

// solvedAgain solves a placed load as an ordinary load case, once.
func (a *Analysis) solvedAgain(p *Placed) *solver.Solution {
	if s := a.solvedBefore(p); s != nil {
		return s
	}
	s := a.model.Solve(a.Case(p))
	most := 16 // a result has few governing loads
	if a.isVeryLong() {
		most = 2
	}
	if len(a.verified) < most {
		a.verified = append(a.verified, verified{*p, s})
	}
	return s
}

// loadSize returns the size of the variable load that is placed, N; 0 for what stands everywhere.
func (p *Placed) loadSize() float64 {
	if p.isStill() {
		return 0
	}
	size := math.Abs(p.Combination.Variable * p.Placement.Value)
	if p.Placement.Action.Point {
		return size
	}
	length := 0.0
	for _, l := range p.Placement.Lengths {
		length += l.To - l.From
	}
	return size * length
}

// SameLoad reports whether two placed loads are the same load case.
func (p *Placed) SameLoad(q *Placed) bool {
	return *p.Combination == *q.Combination && p.Placement.same(&q.Placement) &&
		slices.EqualFunc(p.Beside, q.Beside, func(a, b Placement) bool { return a.same(&b) })
}

// same reports whether two placements are the same load.
func (p *Placement) same(q *Placement) bool {
	return p.Action == q.Action && p.Sense == q.Sense && p.Stretch == q.Stretch && p.X == q.X &&
		p.Value == q.Value && p.Way == q.Way && slices.Equal(p.Lengths, q.Lengths)
}

// Replay returns the state at a placed load's section when the same load stands
// on this frame: one with the same posts, rails and splices, and for a joint with
// feet that are rigid, or not, in both.
func (r *Replayer) Replay(p *Placed) (out State) {
	r.ReplayEach(&solver.Worksheet{}, []*Placed{p}, func(_ int, s *State) { out = *s })
	return out
}

// ReplayEach visits the same of several, solved on a worksheet: a load that follows its like is not solved again.
func (r *Replayer) ReplayEach(w *solver.Worksheet, placed []*Placed, visit func(i int, s *State)) {
	var s *solver.Solution
	for i, p := range placed {
		if i == 0 || !p.SameLoad(placed[i-1]) {
			s = r.model.SolveIn(w, r.Case(p))
		}
		st := r.solved(s, p)
		visit(i, &st)
	}
}

// answer is a solved load case, in first or in second order.
type answer interface {
	Diagram(solver.MemberID) *solver.Diagram
	Displacement(solver.NodeID, solver.Freedom) float64
	Value(solver.Response) float64
}

// solved reads the state of a placed load from an answer.
func (r *Replayer) solved(s answer, p *Placed) State {
	if p.Probe.member < 0 {
		var c components
		for k := range 6 {
			c[k] = s.Value(p.Probe.responses[k])
		}
		r.addDead(&c, p)
		return c.state()
	}
	d := s.Diagram(p.Probe.member)
	at, loads := p.Station, r.pointsOn(p)
	for _, load := range loads { // a load at the section stands there exactly
		if math.Abs(load.at-at) < sameSpot {
			at = load.at
		}
	}
	read := d.Before
	if p.After {
		read = d.At
	}
	var c components
	for k := range cMz + 1 {
		c[k] = read(solver.Component(k), at)
	}
	p.Probe.move(&c, read(solver.MoveX, at), read(solver.MoveY, at), read(solver.MoveZ, at))
	if q := p.Probe; q.bay > 0 {
		from, to, _ := chord(&r.Frame.Rails[q.Rail], q.Bay)
		xi := (q.chordFrom + p.Station) / q.bay
		left := func(n solver.NodeID) (moved float64) {
			for k, part := range q.axes[1] {
				if part != 0 {
					moved += part * s.Displacement(n, solver.UX+solver.Freedom(k))
				}
			}
			return moved
		}
		c[cSpan] = c[cAcross] - (1-xi)*left(from) - xi*left(to)
	}
	// A diagram ends on the inner side of a load at the very end of the member; and of two
	// loads at the section one may stand before it and one after.
	there := (p.After || at == 0) && !(p.After && at >= p.Probe.Length)
	for _, load := range loads {
		if math.Abs(load.at-p.Station) > sameSpot && load.at != at {
			continue
		}
		told := load.at < at || load.at == at && there
		switch {
		case load.after && !told:
			p.Probe.passPoint(&c, &load, 1, 0)
		case !load.after && told:
			p.Probe.passPoint(&c, &load, -1, 0)
		}
	}
	return c.state()
}

// addDead adds what holds up what acts on the joint of a placed load's section itself.
func (r *Replayer) addDead(c *components, p *Placed) {
	for k, dead := range p.Probe.standing(0).dead {
		c[k] += p.Combination.Permanent * dead
	}
	r.eachPlacement(p, func(at *Placement, factor float64) {
		if at.Action.Field != nil {
			a := p.Probe.owner
			for k, dead := range p.Probe.standing(a.fieldAt[a.indexOf(at.Action)] + at.Sense).dead {
				c[k] += factor * dead
			}
		}
	})
}

// pointsOn returns the point loads on the member of a placed load's section, factored, each
// with the side of it on which a section at it lies: that of the search for an action that was
// placed; for a field just before it, and after one at the very start.
func (r *Replayer) pointsOn(p *Placed) (out []standingPoint) {
	r.eachPlacement(p, func(at *Placement, factor float64) {
		var c solver.Case
		r.addTo(&c, at, factor)
		after := at.after
		if at == &p.Placement {
			after = p.After
		}
		for _, l := range c.Points {
			if l.Member != p.Probe.member {
				continue
			}
			if !l.Local {
				l.Force, l.Moment = seen(&p.Probe.axes, l.Force), seen(&p.Probe.axes, l.Moment)
			}
			out = append(out, standingPoint{l.At, l.Force, l.Moment, after && at.Action.Field == nil || at.Action.Field != nil && l.At <= 0})
		}
	})
	return out
}

// TracePoint is the state at one place along an element: x of a rail, z of a
// post, m.
type TracePoint struct {
	At    float64
	State State
}

// Trace returns the states along an element under a placed load and its
// permanent actions, at 17 stations a member and at the load.
func (a *Analysis) Trace(e *Element, p *Placed) []TracePoint {
	return e.trace(a.model.Solve(a.Case(p)))
}

// trace reads the states along an element from a solved load case.
func (e *Element) trace(s answer) (out []TracePoint) {
	const parts = 16
	for _, q := range e.Probes {
		d := s.Diagram(q.member)
		stations := append([]float64(nil), d.Breaks...)
		for i := 1; i < parts; i++ {
			stations = append(stations, q.Length*float64(i)/parts)
		}
		slices.Sort(stations)
		for _, x := range slices.Compact(stations) {
			var c components
			for k := range cMz + 1 {
				c[k] = d.At(solver.Component(k), x)
			}
			q.move(&c, d.At(solver.MoveX, x), d.At(solver.MoveY, x), d.At(solver.MoveZ, x))
			out = append(out, TracePoint{q.From + x, c.state()})
		}
	}
	return out
}
