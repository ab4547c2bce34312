package analysis

import (
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

	permanent  *solver.Solution
	influences []*solver.Influence // one an action; equal chains and directions share one
	combos     loads.Combinations
	posts      []Element
	rails      []Element
	scratch    []float64
	cubics     [][4]float64
	verified   []verified // loads that were solved again
	seen       section    // the section in hand
	trial      State      // what a measure is asked about: one place, so that asking allocates nothing
}

// Element is a post or a rail: its members in order.
type Element struct{ Probes []*Probe }

// Replayer is the frame of one barrier in one layout, factorised, with the chains
// that its actions travel: enough to let a load stand where it was placed.
type Replayer struct {
	Frame   *barrier.Frame
	Actions []*Action

	model  *solver.Factored
	chains []*solver.Chain // one an action; equal rails share one
}

// New builds and factorises the frame of a definition in one layout and readies
// its actions. It returns the solver's error for a frame that cannot be trusted.
func New(d *barrier.Definition, l barrier.Layout, actions []*Action) (*Analysis, error) {
	r, err := NewReplayer(d, l, actions)
	if err != nil {
		return nil, err
	}
	a := &Analysis{Replayer: *r, Definition: d, combos: loads.CombinationsOf(d.Basis)}
	a.permanent = a.model.Solve(a.permanentCase(1))
	known := map[*solver.Chain][]*solver.Influence{}
	for i, act := range actions {
		chain := a.chains[i]
		at := slices.IndexFunc(known[chain], func(in *solver.Influence) bool { return slices.Equal(in.Directions(), act.basis) })
		if at < 0 {
			at = len(known[chain])
			known[chain] = append(known[chain], a.model.Influence(chain, act.basis...))
		}
		a.influences = append(a.influences, known[chain][at])
	}
	a.posts = make([]Element, len(a.Frame.Posts))
	a.rails = make([]Element, len(a.Frame.Rails))
	return a, nil
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
		same := slices.IndexFunc(actions[:i], func(b *Action) bool { return slices.Equal(act.Rails, b.Rails) })
		if same >= 0 {
			r.chains = append(r.chains, r.chains[same])
			continue
		}
		var rows []solver.Row
		for _, s := range act.Rails {
			rows = append(rows, r.Frame.Row(s.Rail, s.Share))
		}
		r.chains = append(r.chains, r.model.Chain(rows...))
	}
	return r, nil
}

// OnFeet returns the frame on feet of another stiffness than its own finite one.
// Fittings keep theirs.
func (r *Replayer) OnFeet(stiffness float64) (*Replayer, error) {
	model, err := r.model.Resprung(stiffness / r.Frame.Layout.FootStiffness)
	if err != nil {
		return nil, err
	}
	frame := *r.Frame
	frame.Layout.FootStiffness = stiffness
	return &Replayer{Frame: &frame, Actions: r.Actions, model: model, chains: r.chains}, nil
}

// Owns reports whether a placed load was found in this analysis.
func (a *Analysis) Owns(p *Placed) bool { return p.Probe != nil && p.Probe.owner == a }

// Post returns a post, from its foot up.
func (a *Analysis) Post(i int) *Element {
	if a.posts[i].Probes == nil {
		a.posts[i].Probes = a.postProbes(i)
	}
	return &a.posts[i]
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
	out := &Element{}
	for _, p := range e.Probes {
		if of(p.Bay) {
			out.Probes = append(out.Probes, p)
		}
	}
	return out
}

// Grip returns the joint by which a rail is gripped at a post as the post feels
// it, whole, and as the rail's ends feel it: one end where the rail runs through,
// two where it is cut. A state of it holds what the fitting does to the rail in the
// run's axes: N along X, Vy along Y, Vz up, T, My and Mz about them. Whole is
// opposite and equal to what the fitting does to the post: its moments are about
// the post's axis, and the fitting's own weight is among the permanent actions.
func (a *Analysis) Grip(rail, post int) (whole *Probe, ends []*Probe) {
	g := &a.Frame.Rails[rail].Grips[post]
	side := func(id solver.MemberID, end bool) *[6]solver.Response {
		if id < 0 {
			return nil
		}
		var r [6]solver.Response
		s := 0.0
		if end {
			s = a.Frame.Length(id)
		}
		for c := range r {
			r[c] = a.model.Section(id, s, solver.Component(c))
		}
		return &r
	}
	left, right := side(g.LeftID, true), side(g.RightID, false)
	join := func(l, r *[6]solver.Response) *Probe {
		var sum [6]solver.Response
		for c := range sum {
			switch {
			case l == nil:
				sum[c] = negative(r[c])
			case r == nil:
				sum[c] = l[c]
			default:
				sum[c] = solver.Combine([]float64{1, -1}, []solver.Response{l[c], r[c]})
			}
		}
		p := a.jointProbe(sum, [6]float64{})
		p.Post, p.Rail = post, rail
		return p
	}
	felt := join(left, right)
	whole = a.atPost(felt)
	if g.ContinuousThrough || left == nil || right == nil {
		return whole, []*Probe{felt}
	}
	return whole, []*Probe{join(left, nil), join(nil, right)}
}

// atPost returns a grip as the post feels it, from what the rail feels: moments
// carried to the post's axis, and the weight of the fitting added.
func (a *Analysis) atPost(felt *Probe) *Probe {
	g := &a.Frame.Rails[felt.Rail].Grips[felt.Post]
	dead, weighs := a.fittingWeight(felt.Post, g)
	if g.Arm == (solver.Vec{}) && !weighs {
		return felt
	}
	r := [6]solver.Response(felt.responses[:6])
	forces := []solver.Response{r[cN], r[cVy], r[cVz]}
	for k, row := range arm(g.Arm) {
		r[cT+k] = solver.Combine([]float64{1, row[0], row[1], row[2]}, append([]solver.Response{r[cT+k]}, forces...))
	}
	p := a.jointProbe(r, dead)
	p.Post, p.Rail = felt.Post, felt.Rail
	return p
}

// fittingWeight returns what holds the masses of a grip up, about the post's axis:
// N and N·m in the run's axes.
func (a *Analysis) fittingWeight(post int, g *barrier.Grip) (dead [6]float64, weighs bool) {
	axis := a.Frame.Posts[post].Nodes[g.Level]
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
		for k, row := range arm(at) {
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
// to the wall in the run's axes: N along X, Vy along Y, Vz up, T, My and Mz about
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
	var r [6]solver.Response
	for c := range r {
		r[c] = solver.Combine([]float64{sign}, []solver.Response{a.model.Section(w.ID, station, solver.Component(c))})
	}
	p := a.jointProbe(r, [6]float64{})
	p.Rail, p.From = rail, a.Frame.Position(w.Node)[0]
	return p
}

// Splice returns a splice of a rail as a joint: what it passes on.
func (a *Analysis) Splice(rail, splice int) *Probe {
	s := a.Frame.Rails[rail].Splices[splice]
	var r [6]solver.Response
	for c := range r {
		r[c] = a.model.Section(s.RightID, 0, solver.Component(c))
	}
	p := a.jointProbe(r, [6]float64{})
	p.Rail, p.From = rail, s.X
	return p
}

// combinations returns the combinations of an action at a level, permanent
// factors unfavourable first.
func (a *Analysis) combinations(action int, l Level) []Combination {
	act := a.Actions[action]
	c := a.combination(l, a.combos.SLS.PermanentUnfavourable)
	c.Variable, c.Symbol = act.Factor(l), act.Symbol
	switch l {
	case Service:
		c.Permanent = 0
	case Strength:
		c.Permanent = a.combos.ULS.PermanentUnfavourable
		relieving := c
		relieving.Permanent = a.combos.ULS.PermanentFavourable
		if relieving != c {
			return []Combination{c, relieving}
		}
	}
	return []Combination{c}
}

// alone returns the combination of the permanent actions alone at a level.
func (a *Analysis) alone(l Level) Combination {
	if l == Strength {
		return a.combination(l, a.combos.PermanentAlone.PermanentUnfavourable)
	}
	return a.combination(l, a.combos.SLS.PermanentUnfavourable)
}

func (a *Analysis) combination(l Level, permanent float64) Combination {
	return Combination{Basis: a.combos.Basis, Level: l, Permanent: permanent, PermanentSymbol: a.combos.PermanentSymbol}
}

// Residual returns the largest stiffness residual of all solves, and the
// imbalance of the permanent load case.
func (a *Analysis) Residual() (stiffness, equilibrium float64) {
	return a.model.Residual(), a.permanent.Imbalance
}
