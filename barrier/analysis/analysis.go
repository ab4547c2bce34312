package analysis

import (
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// gravity is standard gravity, m/s²; ISO 80000-3, exact by definition.
var gravity = solver.Vec{0, 0, -9.80665}

// Analysis is one barrier in one layout under its actions, factorised once and
// ready to be searched, by one goroutine at a time.
type Analysis struct {
	Replayer
	Definition *barrier.Definition

	everywhere []everywhere // what stands everywhere: the permanent actions first
	fieldAt    []int        // of each action that is a field: where its senses start there
	acting     [levelCount]acting
	alone      [levelCount][]Combination // the permanent actions alone
	pairs      []pair                    // of actions that are placed together
	influences []influence               // one an action; equal chains and directions share one
	combos     loads.Combinations
	mixes      []loads.Mix // that were made of them, see Mixes
	posts      []Element
	rails      []Element
	turned     map[int]*Element // posts at corners in the axes of the leg that begins there, once asked for
	inHand     []*Probe         // that keep their lines, those taken first before
	sizeInHand int              // of what they keep, see hold
	scratch    []float64
	cubics     [][4]float64
	responses  memberResponses
	sides      solver.Room       // of the two sides of a grip
	verified   []verified        // loads that were solved again
	proved     verified          // the last of which nothing but its proof was asked
	sheet      solver.Worksheet  // on which it was solved
	bends      []bendKept        // loads that were run in second order
	pressed    []pressedKept     // what loads press, in first order
	cut        map[int]*cutFrame // into so many parts a member
	ran        int               // members solved in second order
	liftings   map[int]*lifting  // of the actions off the axes of their rails, by index
	attitude   *attitude         // of the member of which a probe was made last
	seen       section           // the section in hand
	partners   []*partner        // one an action that is placed with another: at the station in hand
	stands     []components      // what stands everywhere at the station in hand
	trial      State             // what a measure is asked about: one place, so that asking allocates nothing
	span       [2]State          // likewise of a range
	workspace                    // of the search in hand
}

// influence gives what a unit load on a chain does to a response, by whichever of the
// solver's two ways is the faster on this run.
type influence interface {
	Directions() []solver.Vec
	CubicsWithin(dst [][4]float64, r solver.Response) (from, to int)
}

// Element is a post or a rail: its members in order.
type Element struct {
	Probes []*Probe

	twinned bool   // each member stands for one beyond the middle too
	middle  *Probe // but for this one; nil for none
}

// Replayer is the frame of one barrier in one layout, factorised, with the chains
// that its actions travel: enough to let a load stand where it was placed.
type Replayer struct {
	Frame   *barrier.Frame
	Actions []*Action

	model  *solver.Factored
	chains []*solver.Chain                                    // one an action; equal rails, and equal posts, share one; nil for a field
	legs   [][]int                                            // of each stretch of the chain of each action: its leg
	own    map[*solver.Chain]map[solver.MemberID][]ownStretch // the stretches of a chain that load a member, in order; once searched
	fields map[[2]int]solver.Case                             // of each action that is a field and each of its senses, unfactored
	onFeet *solver.Factored                                   // on feet of another stiffness, the last that was asked for
	times  float64                                            // how many times as stiff they are
}

// New builds and factorises the frame of a definition in one layout and readies
// its actions. It returns the solver's error for a frame that cannot be trusted.
func New(d *barrier.Definition, l barrier.Layout, actions []*Action) (*Analysis, error) {
	r, err := NewReplayer(d, l, actions)
	if err != nil {
		return nil, err
	}
	return r.analysis(d)
}

// analysis readies the frame and its actions to be searched.
func (r *Replayer) analysis(d *barrier.Definition) (*Analysis, error) {
	a := &Analysis{Replayer: *r, Definition: d, turned: map[int]*Element{}, cut: map[int]*cutFrame{}, liftings: map[int]*lifting{}}
	var err error
	if a.combos, err = d.Combinations(); err != nil {
		return nil, err
	}
	a.standEverywhere()
	a.combine()
	a.Rest()
	a.influences = make([]influence, len(a.Actions))
	if a.own == nil {
		a.own = map[*solver.Chain]map[solver.MemberID][]ownStretch{}
	}
	for i, act := range a.Actions {
		if act.Field != nil {
			continue
		}
		if chain := a.chains[i]; a.own[chain] == nil {
			a.own[chain] = ownStretches(chain)
		}
		a.influenceOf(i)
	}
	a.posts = make([]Element, len(a.Frame.Posts))
	a.rails = make([]Element, len(a.Frame.Rails))
	return a, nil
}

// longRun is the number of stretches of a chain, one or two a bay, from which on influence
// lines are read by blocks. Directly, their cost is the square of the run's length; by
// blocks it is the length times the way that a load is felt. Processor time of a whole
// search by blocks over that of one directly, two rails (BenchmarkTurning: a point load
// outward, a line load outward, a point load in any way):
//
//	posts   7: 0.89, 1.03, 0.94
//	       21: 1.02, 0.98, 0.97
//	       41: 0.88, 1.06, 0.89
//	      101: 0.79, 0.93, 0.86
//
// and of a whole check at 1001 posts 0.37 (BenchmarkCheck, a point load): blocks are the
// faster way for certain from 100 on.
const longRun = 100

// veryLongRun is the number of posts from which on the stiffness and its factor, 4 kB a post and more,
// are given back once what stands everywhere has been solved. To make them anew costs as much as to search a few
// posts in a thousand, and they are asked for where a placed load is proved. A whole check of 15 000 posts takes 1.3 GB with them.
const veryLongRun = 15000

// influenceOf returns what a unit load of an action does, ready: that of another action on the same chain in the
// same directions where there is one.
func (a *Analysis) influenceOf(action int) influence {
	if a.influences[action] != nil {
		return a.influences[action]
	}
	chain, basis := a.chains[action], a.Actions[action].basis
	for i, in := range a.influences {
		if in != nil && a.chains[i] == chain && slices.Equal(in.Directions(), basis) {
			a.influences[action] = in
			return in
		}
	}
	a.influences[action] = a.influence(chain, basis)
	return a.influences[action]
}

// RestLines gives back what nothing but a search needs, of a very long run: it is made anew, the same to the
// last digit, when one is asked for.
func (a *Analysis) RestLines() {
	if a.isVeryLong() {
		a.restLines()
	}
}

func (a *Analysis) restLines() {
	for _, p := range a.inHand {
		p.giveBack()
	}
	a.inHand, a.sizeInHand, a.cubics, a.onFeet, a.verified = nil, 0, nil, nil, nil
	a.proved, a.sheet = verified{}, solver.Worksheet{}
	clear(a.posts)
	clear(a.rails)
	clear(a.turned)
	clear(a.influences)
	clear(a.liftings)
	a.model.RestBlocks()
}

// influence readies a chain in the way that is faster for its length.
func (a *Analysis) influence(chain *solver.Chain, basis []solver.Vec) influence {
	if chain.Stretches() >= longRun {
		if in, ok := a.model.InfluenceByBlocks(chain, basis...); ok {
			return in
		}
	}
	return a.model.Influence(chain, basis...)
}

// ownStretches lists the stretches of a chain by the members that they load.
func ownStretches(chain *solver.Chain) map[solver.MemberID][]ownStretch {
	own := map[solver.MemberID][]ownStretch{}
	for i := range chain.Stretches() {
		for _, part := range chain.Parts(i) {
			own[part.Member] = append(own[part.Member], ownStretch{stretch: i, at: part.At, share: part.Share, told: part.Axes})
		}
	}
	return own
}

// NewReplayer builds and factorises the frame of a definition in one layout.
// Errors are those of New.
func NewReplayer(d *barrier.Definition, l barrier.Layout, actions []*Action) (*Replayer, error) {
	r := &Replayer{Frame: d.Frame(l), Actions: actions}
	var err error
	if r.model, err = r.Frame.Factorise(); err != nil {
		return nil, err
	}
	for i, act := range actions {
		if act.Field != nil {
			r.chains, r.legs = append(r.chains, nil), append(r.legs, nil)
			continue
		}
		same := slices.IndexFunc(actions[:i], func(b *Action) bool {
			return b.Field == nil && slices.Equal(act.Rails, b.Rails) && act.inBays == b.inBays && slices.Equal(act.uprights, b.uprights)
		})
		if same >= 0 {
			r.chains, r.legs = append(r.chains, r.chains[same]), append(r.legs, r.legs[same])
			continue
		}
		r.chains = append(r.chains, r.model.Chain(act.rows(r.Frame)...))
		r.legs = append(r.legs, act.legsOn(r.chains[i]))
	}
	return r, nil
}

// Rest gives back what nothing but solving a load needs, of a very long run: it is made anew, the
// same to the last digit, when one is solved.
func (r *Replayer) Rest() {
	if r.isVeryLong() {
		r.model.Rest()
	}
}

func (r *Replayer) isVeryLong() bool { return len(r.Frame.Posts) >= veryLongRun }

// OnFeet returns the frame on feet of another stiffness, N·m/rad, than its own finite one.
// Fittings keep theirs. What it returned before is no longer good. Errors are those of
// solver.Factored.Resprung.
func (r *Replayer) OnFeet(stiffness float64) (*Replayer, error) {
	if times := stiffness / r.Frame.Layout.FootStiffness; r.onFeet == nil || times != r.times {
		model, err := r.model.ResprungIn(r.onFeet, times)
		r.onFeet, r.times = model, times
		if err != nil {
			return nil, err
		}
	}
	r.Rest()
	frame := *r.Frame
	frame.Layout.FootStiffness = stiffness
	return &Replayer{Frame: &frame, Actions: r.Actions, model: r.onFeet, chains: r.chains, legs: r.legs, own: r.own}, nil
}

// SearchOnFeet returns the barrier on feet of another stiffness, N·m/rad, ready to be searched. One whose feet are all
// alike and finite shares its frame: what [Replayer.OnFeet] or SearchOnFeet returned before is no longer good. Errors are those of [New].
func (a *Analysis) SearchOnFeet(stiffness float64) (*Analysis, error) {
	l := a.Frame.Layout
	if !a.Definition.HasOwnFeet() && !math.IsInf(l.FootStiffness, 1) && !math.IsInf(stiffness, 1) {
		return a.sharedOnFeet(stiffness)
	}
	l.FootStiffness = stiffness
	return New(a.Definition, l, a.Actions)
}

func (a *Analysis) sharedOnFeet(stiffness float64) (*Analysis, error) {
	r, err := a.OnFeet(stiffness)
	if err != nil {
		return nil, err
	}
	return r.analysis(a.Definition)
}

// Owns reports whether a placed load was found in this analysis.
func (a *Analysis) Owns(p *Placed) bool { return p.Probe != nil && p.Probe.owner == a }

// Post returns a post, from its foot up. A post at a corner moves in the axes of the leg
// that ends there.
func (a *Analysis) Post(i int) *Element {
	if a.posts[i].Probes == nil {
		a.posts[i].Probes = a.postProbes(i, a.Frame.Posts[i].Leg)
	}
	return &a.posts[i]
}

// DoneWith gives back what was made of a post of a very long run to search it.
func (a *Analysis) DoneWith(post int) {
	if a.isVeryLong() {
		a.posts[post] = Element{}
		delete(a.turned, post)
	}
}

// Turned returns a post at a corner whose movements are told in the axes of the leg that
// begins there; nil where the run does not turn at the post. It is the same one each time until
// RestLines or DoneWith.
func (a *Analysis) Turned(i int) *Element {
	if !a.Definition.Run.TurnsAt(i) {
		return nil
	}
	if a.turned[i] == nil {
		a.turned[i] = &Element{Probes: a.postProbes(i, a.legAfter(i))}
	}
	return a.turned[i]
}

// Rail returns a rail, from the start of the run.
func (a *Analysis) Rail(i int) *Element {
	if a.rails[i].Probes == nil {
		a.rails[i].Probes = a.railProbes(i)
	}
	return &a.rails[i]
}

// Bays returns those members of a rail that lie in the bays asked for: from 0, -1
// for the overhang at the start, the number of bays for that at the end.
func (e *Element) Bays(of func(bay int) bool) *Element {
	out := &Element{twinned: e.twinned, middle: e.middle}
	for _, p := range e.Probes {
		if of(p.Bay) {
			out.Probes = append(out.Probes, p)
		}
	}
	return out
}

// Grip returns the joint by which a rail is gripped at a post as the post feels
// it, whole, and as the rail's ends feel it: one end where the rail runs through,
// two where it is cut. A state of an end holds what the fitting does to the rail in the axes
// of the rail: N along it, Vy to the left, Vz square to both, T, My and Mz about them. Whole
// is told in the axes of the post's leg, and is opposite and equal to what the fitting does
// to the post: its moments are about the post's axis, and the fitting's own weight is among
// the permanent actions.
func (a *Analysis) Grip(rail, post int) (whole *Probe, ends []*Probe) {
	g := &a.Frame.Rails[rail].Grips[post]
	a.sides.Clear()
	side := func(id solver.MemberID, end bool) *[6]solver.Response {
		if id < 0 {
			return nil
		}
		s := 0.0
		if end {
			s = a.Frame.Length(id)
		}
		r := a.model.SectionForcesIn(&a.sides, id, s)
		return &r
	}
	left, right := side(g.LeftID, true), side(g.RightID, false)
	join := func(l, r *[6]solver.Response) *Probe {
		var sum [6]solver.Response
		switch {
		case l == nil:
			sum = solver.CombineForces([]float64{-1}, r)
		case r == nil:
			sum = solver.CombineForces([]float64{1}, l)
		default:
			sum = solver.CombineForces([]float64{1, -1}, l, r)
		}
		p := a.jointProbe(sum, nil)
		p.Post, p.Rail = post, rail
		p.untwisted = (l == nil || a.Frame.Rails[rail].IsUntwisted(g.LeftID)) && (r == nil || a.Frame.Rails[rail].IsUntwisted(g.RightID))
		if l != nil {
			p.endings = append(p.endings, straight(g.LeftID, a.Frame.Length(g.LeftID), 1))
		}
		if r != nil {
			p.endings = append(p.endings, straight(g.RightID, 0, -1))
		}
		return p
	}
	if g.ContinuousThrough || left == nil || right == nil {
		felt := join(left, right)
		leg := a.Frame.Posts[post].Leg
		if left == nil {
			leg = a.legAfter(post)
		}
		return a.atPost(felt, felt.responses[:6], a.Definition.Run.RailAxes(leg), g.Arm), []*Probe{felt}
	}
	ends = []*Probe{join(left, nil), join(nil, right)}
	if a.Definition.Run.IsCorner(post) {
		return a.atCorner(ends[0], ends[1]), ends
	}
	felt := join(left, right)
	return a.atPost(felt, felt.responses[:6], a.Definition.Run.RailAxes(a.Frame.Posts[post].Leg), g.Arm), ends
}

// atPost returns a grip as the post feels it, from what the rail feels: in the axes of the
// post's leg, moments carried to the post's axis, and the weight of the fitting added.
func (a *Analysis) atPost(felt *Probe, rail []solver.Response, axes solver.Axes, reach solver.Vec) *Probe {
	g := &a.Frame.Rails[felt.Rail].Grips[felt.Post]
	own := a.Definition.Run.Axes(a.Frame.Posts[felt.Post].Leg)
	dead, weighs := a.onFitting(felt.Post, g)
	if reach == (solver.Vec{}) && !weighs && axes == own {
		return felt
	}
	p := a.jointProbe(carriedTo(rail, axes, own, reach), dead)
	p.Post, p.Rail = felt.Post, felt.Rail
	for _, e := range felt.endings {
		p.endings = append(p.endings, e.turned(axes, own, reach))
	}
	return p
}

// atCorner returns the grips of both rails at a corner as the post feels them together.
func (a *Analysis) atCorner(before, after *Probe) *Probe {
	g, run := &a.Frame.Rails[before.Rail].Grips[before.Post], &a.Definition.Run
	leg := a.Frame.Posts[before.Post].Leg
	own := run.Axes(leg)
	one := carriedTo(before.responses[:6], run.RailAxes(leg), own, g.Arm)
	two := carriedTo(after.responses[:6], run.RailAxes(leg+1), own, g.ArmAfter)
	dead, _ := a.onFitting(before.Post, g)
	p := a.jointProbe(solver.CombineForces([]float64{1, 1}, &one, &two), dead)
	p.Post, p.Rail = before.Post, before.Rail
	for _, e := range before.endings {
		p.endings = append(p.endings, e.turned(run.RailAxes(leg), own, g.Arm))
	}
	for _, e := range after.endings {
		p.endings = append(p.endings, e.turned(run.RailAxes(leg+1), own, g.ArmAfter))
	}
	return p
}

// carriedTo returns what a joint passes, its force and its moment, in other axes and about a
// point from which the joint stands off by an arm, m, global axes.
func carriedTo(r []solver.Response, from, to solver.Axes, reach solver.Vec) (out [6]solver.Response) {
	out = turnedInto(r, from, to)
	forces := []solver.Response{out[cN], out[cVy], out[cVz]}
	for k, row := range arm(seen(&to, reach)) {
		out[cT+k] = solver.Combine([]float64{1, row[0], row[1], row[2]}, append([]solver.Response{out[cT+k]}, forces...))
	}
	return out
}

// turnedInto returns a force and a moment in other axes.
func turnedInto(r []solver.Response, from, to solver.Axes) (out [6]solver.Response) {
	if from == to {
		copy(out[:], r)
		return out
	}
	for k, row := range between(from, to) {
		out[cN+k] = along(func(axis int) solver.Response { return r[cN+axis] }, row)
		out[cT+k] = along(func(axis int) solver.Response { return r[cT+axis] }, row)
	}
	return out
}

// onFitting returns what holds up what acts on a grip itself, about the post's axis: of each
// load that stands everywhere, in the axes of the post's leg; and whether anything does.
func (a *Analysis) onFitting(post int, g *barrier.Grip) (dead [][6]float64, acts bool) {
	dead = make([][6]float64, len(a.everywhere))
	dead[0], acts = a.fittingWeight(post, g)
	axis, own := a.Frame.Posts[post].Nodes[g.Level], a.Definition.Run.Axes(a.Frame.Posts[post].Leg)
	for i := 1; i < len(dead); i++ {
		for _, l := range a.everywhere[i].load.Nodes {
			if l.Node != axis && l.Node != g.Before && l.Node != g.After {
				continue
			}
			acts = true
			var at solver.Vec
			for k := range at {
				at[k] = a.Frame.Position(l.Node)[k] - a.Frame.Position(axis)[k]
			}
			force, couple, rows := seen(&own, l.Force), seen(&own, l.Moment), arm(seen(&own, at))
			for k := range rows {
				dead[i][k] -= force[k]
				dead[i][cT+k] -= couple[k] + dot(rows[k], force)
			}
		}
	}
	return dead, acts
}

// fittingWeight returns what holds the masses of a grip up, about the post's axis:
// N and N·m in the axes of the post's leg.
func (a *Analysis) fittingWeight(post int, g *barrier.Grip) (dead [6]float64, weighs bool) {
	axis, own := a.Frame.Posts[post].Nodes[g.Level], a.Definition.Run.Axes(a.Frame.Posts[post].Leg)
	for _, l := range a.Frame.Lumps {
		if l.Node != axis && l.Node != g.Before && l.Node != g.After {
			continue
		}
		weighs = true
		var at, up solver.Vec
		for k := range up {
			at[k] = a.Frame.Position(l.Node)[k] - a.Frame.Position(axis)[k]
			up[k] = -l.Mass * gravity[k]
			dead[k] += up[k]
		}
		for k, row := range arm(seen(&own, at)) {
			dead[cT+k] += row[0]*up[0] + row[1]*up[1] + row[2]*up[2]
		}
	}
	return dead, weighs
}

// arm returns the matrix that turns a force into its moment: arm(r) F is r x F.
func arm(r solver.Vec) [3]solver.Vec {
	return [3]solver.Vec{{0, -r[2], r[1]}, {r[2], 0, -r[0]}, {-r[1], r[0], 0}}
}

// Wall returns the joint by which a rail ends in a wall, end 0 at the start of the
// run and 1 at its end; nil for a free end. A state of it holds what the rail does
// to the wall in the axes of the leg: N along, Vy to the left, Vz up, T, My and Mz about
// them.
func (a *Analysis) Wall(end, rail int) *Probe {
	w := a.Frame.Rails[rail].Walls[end]
	if w == nil {
		return nil
	}
	station, sign := 0.0, 1.0 // a section force is what lies beyond does to what lies before
	if end == 1 {
		station, sign = a.Frame.Length(w.ID), -1
	}
	r := a.model.SectionForces(w.ID, station)
	if sign < 0 {
		for c := range r {
			r[c] = negative(r[c])
		}
	}
	run := &a.Definition.Run
	leg, x := run.LegOf(run.Start.X), run.Start.X
	if end == 1 {
		leg, x = run.LegOf(run.End.X), run.End.X
	}
	p := a.jointProbe(turnedInto(r[:], run.RailAxes(leg), run.Axes(leg)), nil)
	p.Rail, p.From = rail, x
	p.endings = []ending{straight(w.ID, station, sign).turned(run.RailAxes(leg), run.Axes(leg), solver.Vec{})}
	return p
}

// Splice returns a splice of a rail as a joint: what it passes on, in the axes of the rail.
func (a *Analysis) Splice(rail, splice int) *Probe {
	s := a.Frame.Rails[rail].Splices[splice]
	p := a.jointProbe(a.model.SectionForces(s.RightID, 0), nil)
	p.Rail, p.From = rail, s.X
	p.endings = []ending{straight(s.RightID, 0, 1)}
	return p
}

// Residual returns the largest stiffness residual of all solves, and the imbalance of
// the load cases that stand everywhere: plain numbers, 0 for none.
func (a *Analysis) Residual() (stiffness, equilibrium float64) {
	equilibrium = a.everywhere[0].answer.Imbalance
	for i := range a.everywhere {
		equilibrium = max(equilibrium, a.everywhere[i].answer.Imbalance)
	}
	return a.model.Residual(), equilibrium
}
