package analysis

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/solver"
)

// Lean is how far the frame is out of true: slopes, plain numbers each with its sign, that stand
// as equivalent forces. Every vertical load is joined by a horizontal one, of its size times
// Along towards the end and times Across to the left: so the loads act on posts that all
// lean. Each part of a rail that is pressed is joined by forces across its two ends, of its
// compression times the slope, as if it ran askew: all parts the same way to the left (Skew),
// or turn and turn about to the left (Bent) and upwards (Arched).
type Lean struct{ Along, Across, Skew, Bent, Arched float64 }

// Bend is one placed load in second order on the frame.
type Bend struct {
	analysis *Analysis
	placed   Placed // scaled
	scale    float64
	lean     Lean
	answer   *bentFrame
	load     solver.Case // scaled, with what leans
}

// SlendernessError is a member that second order would have to cut into more parts than it
// does to be trusted. Slenderness is its Nl²/EI, a plain number.
type SlendernessError struct{ Slenderness float64 }

func (e *SlendernessError) Error() string {
	return fmt.Sprintf("second order: a member with Nl²/EI = %.3g is cut into no more than %d parts", e.Slenderness, mostParts)
}

// UnsettledError is a second-order answer that does not prove itself: its residual, a plain
// number, is too large.
type UnsettledError struct{ Residual float64 }

func (e *UnsettledError) Error() string {
	return fmt.Sprintf("second order: a residual of %.1e", e.Residual)
}

const (
	// slender is the Nl²/EI of a member up to which its cubic is good to 0.1 % of the
	// critical force, see solver.SecondOrder.
	slender = 0.6
	// unstableParts are the parts into which members are cut before a frame is called
	// unstable: the level is then good to 0.05 %.
	unstableParts = 4
	mostParts     = 8
	// levels is how often a frame is solved, about, to find the level at which it falls.
	levels = 14
	// settledTo is the largest residual that an answer in second order may have.
	settledTo = 1e-8
	// keptParts is how many members the answers have that are kept, leastKept how many
	// answers are at least: the checks of one element share their loads.
	keptParts = 8000
	leastKept = 24
)

// Bend runs a placed load and its permanent actions in second order, every load times a
// scale (forces and movements are told over it) and with a lean. Members are cut into
// parts as their slenderness asks for. It returns a *solver.InstabilityError, of the scaled
// load, where the frame does not stand, and a *SlendernessError or an *UnsettledError for an
// answer that cannot be trusted.
func (a *Analysis) Bend(p *Placed, scale float64, lean Lean) (*Bend, error) {
	for i := range a.bends {
		if b := &a.bends[i]; b.of.SameLoad(p) && b.scale == scale && b.lean == lean {
			return b.Bend, b.err
		}
	}
	out := &Bend{analysis: a, placed: *p, scale: scale, lean: lean}
	scaled := p.Combination.times(scale)
	out.placed.Combination = &scaled
	out.load = a.leaning(&out.placed, lean)
	answer, err := a.bend(out.load)
	if err != nil {
		out = nil
	} else {
		out.answer = answer
	}
	if kept := len(a.bends); kept >= leastKept && kept*a.members() > keptParts {
		a.bends = slices.Delete(a.bends, 0, 1)
	}
	a.bends = append(a.bends, bendKept{*p, scale, lean, out, err})
	return out, err
}

// BentMembers returns how many members were solved in second order so far: what it cost.
func (a *Analysis) BentMembers() int { return a.ran }

// Pressed is the largest compression in each post and in each rail under one placed load with
// its permanent actions, in first order, N.
type Pressed struct{ Posts, Rails []float64 }

// pressedKept is what a load presses, kept.
type pressedKept struct {
	of Placed
	Pressed
}

// mostPressed is how many loads are kept with what they press.
const mostPressed = 64

// Pressed returns what a placed load presses. It may not be changed.
func (a *Analysis) Pressed(p *Placed) Pressed {
	for i := range a.pressed {
		if a.pressed[i].of.SameLoad(p) {
			return a.pressed[i].Pressed
		}
	}
	out := a.pressing(p)
	if len(a.pressed) < mostPressed {
		a.pressed = append(a.pressed, pressedKept{*p, out})
	}
	return out
}

func (a *Analysis) pressing(p *Placed) Pressed {
	s := a.solvedAgain(p)
	most := func(members []solver.MemberID) float64 {
		n := 0.0
		for _, m := range members {
			least, _ := s.Axial(m)
			n = math.Max(n, -least)
		}
		return n
	}
	var out Pressed
	for i := range a.Frame.Posts {
		out.Posts = append(out.Posts, most(a.Frame.Posts[i].Members))
	}
	for i := range a.Frame.Rails {
		var members []solver.MemberID
		for _, m := range a.Frame.Rails[i].Members {
			members = append(members, m.ID)
		}
		out.Rails = append(out.Rails, most(members))
	}
	return out
}

// bendKept is an answer that is kept, with what was asked.
type bendKept struct {
	of    Placed
	scale float64
	lean  Lean
	*Bend
	err error
}

// bend solves a case in second order on members cut finely enough.
func (a *Analysis) bend(c solver.Case) (*bentFrame, error) {
	parts := 1
	for {
		f, err := a.cutInto(parts)
		if err != nil {
			return nil, err
		}
		load := f.divided.Case(c)
		answer, err := f.model.Standing(load)
		a.ran += parts * a.members()
		if err == nil && answer == nil {
			a.ran += levels * parts * a.members()
			if parts < unstableParts {
				parts = unstableParts
				continue
			}
			_, err = f.model.SecondOrder(load)
		}
		if err != nil {
			return nil, err
		}
		if answer.Slenderness <= slender {
			if worst := math.Max(answer.Residual, answer.Imbalance); !(worst <= settledTo) {
				return nil, &UnsettledError{worst}
			}
			return &bentFrame{answer, f.divided, map[solver.MemberID]*solver.Diagram{}}, nil
		}
		more := parts * int(math.Ceil(math.Sqrt(answer.Slenderness/slender)))
		if more > mostParts {
			return nil, &SlendernessError{answer.Slenderness * float64(parts*parts)}
		}
		parts = more
	}
}

// members returns how many members the frame has.
func (a *Analysis) members() int {
	n := len(a.Frame.Braces)
	for i := range a.Frame.Posts {
		n += len(a.Frame.Posts[i].Members)
	}
	for i := range a.Frame.Rails {
		n += len(a.Frame.Rails[i].Members)
	}
	return n
}

// cutFrame is the frame with its members cut into equal parts.
type cutFrame struct {
	divided *solver.Divided
	model   *solver.Factored
}

// cutInto returns the frame with its members cut into so many parts.
func (a *Analysis) cutInto(parts int) (*cutFrame, error) {
	if f := a.cut[parts]; f != nil {
		return f, nil
	}
	f := &cutFrame{divided: a.Frame.Divide(parts)}
	var err error
	if f.model, err = f.divided.Frame.Factorise(); err != nil {
		return nil, err
	}
	a.cut[parts] = f
	return f, nil
}

// leaning returns a placed load with what a lean adds.
func (a *Analysis) leaning(p *Placed, l Lean) solver.Case {
	c := a.Case(p)
	var rails solver.Case
	if l.Skew != 0 || l.Bent != 0 || l.Arched != 0 {
		rails.Points = a.askew(a.model.Solve(c), l)
	}
	down := math.Abs(c.Gravity[2])
	c.Gravity[0] += l.Along * down
	c.Gravity[1] += l.Across * down
	for i := range c.Nodes {
		f := &c.Nodes[i].Force
		size := math.Abs(f[2])
		f[0] += l.Along * size
		f[1] += l.Across * size
	}
	if l.Along != 0 || l.Across != 0 {
		a.eachPlacement(p, func(at *Placement, factor float64) {
			if at.Action.Field != nil {
				a.leanField(&c, at, factor, l)
				return
			}
			size := math.Abs(factor * at.Force()[2])
			var by solver.Case
			a.aside(&by, at, solver.Vec{l.Along * size, l.Across * size, 0})
			add(&c, a.withCouples(at.Action, by), 1)
		})
	}
	c.Points = append(c.Points, rails.Points...)
	return c
}

// leanField adds to a case what leans of the vertical loads of a field on its members. Its
// forces on nodes and its gravity lean with those of the case.
func (a *Analysis) leanField(c *solver.Case, at *Placement, factor float64, l Lean) {
	load := a.fieldCase(a.indexOf(at.Action), at.Sense)
	lean := func(m solver.MemberID, f solver.Vec, local bool) solver.Vec {
		if local {
			f = unseen(a.axesOf(m), f)
		}
		size := math.Abs(factor * f[2])
		return solver.Vec{l.Along * size, l.Across * size, 0}
	}
	for _, q := range load.Points {
		c.Points = append(c.Points, solver.PointLoad{Member: q.Member, At: q.At, Force: lean(q.Member, q.Force, q.Local)})
	}
	for _, q := range load.Lines {
		c.Lines = append(c.Lines, solver.LineLoad{Member: q.Member, From: q.From, To: q.To, Start: lean(q.Member, q.Start, q.Local), End: lean(q.Member, q.End, q.Local)})
	}
}

// axesOf returns the local axes of a member.
func (a *Analysis) axesOf(m solver.MemberID) solver.Axes {
	run := &a.Definition.Run
	for i := range a.Frame.Rails {
		for _, r := range a.Frame.Rails[i].Members {
			if r.ID == m {
				return run.RailAxes(r.Leg)
			}
		}
	}
	for i := range a.Frame.Posts {
		if p := &a.Frame.Posts[i]; slices.Contains(p.Members, m) {
			return postAxes(run.Axes(p.Leg))
		}
	}
	for i := range a.Frame.Braces {
		if b := &a.Frame.Braces[i]; b.ID == m {
			return b.Axes
		}
	}
	panic("analysis: a member of another barrier")
}

// unseen returns a vector of some axes in the global ones.
func unseen(axes solver.Axes, v solver.Vec) (out solver.Vec) {
	for k := range out {
		out[k] = v[0]*axes[0][k] + v[1]*axes[1][k] + v[2]*axes[2][k]
	}
	return out
}

// aside adds to a case a load, N or N/m in global axes, that stands where a placed one does. A
// chain tells its loads in the axes of each leg.
func (a *Analysis) aside(c *solver.Case, at *Placement, load solver.Vec) {
	i, run := a.indexOf(at.Action), &a.Definition.Run
	chain := a.chains[i]
	on := func(stretch int) solver.Vec {
		axes := run.Axes(a.legs[i][stretch])
		return seen(&axes, load)
	}
	if at.Action.Point {
		c.Points = append(c.Points, chain.Loads(at.Stretch, at.X, on(at.Stretch))...)
		return
	}
	for _, length := range at.Lengths {
		for stretch := range chain.Stretches() {
			from, to := chain.Ends(stretch)
			if from, to = math.Max(from, length.From), math.Min(to, length.To); to > from {
				c.Lines = append(c.Lines, chain.LineLoads(from, to, on(stretch))...)
				c.Points = append(c.Points, chain.ArmLoads(from, to, on(stretch))...)
			}
		}
	}
}

// askew returns the forces across the ends of the parts of rails that are pressed.
func (a *Analysis) askew(s *solver.Solution, l Lean) []solver.PointLoad {
	var out []solver.PointLoad
	for i := range a.Frame.Rails {
		turn := 1.0
		for _, m := range a.Frame.Rails[i].Members {
			length := a.Frame.Length(m.ID)
			pressed := math.Max(0, -s.Diagram(m.ID).At(solver.Axial, length/2))
			left, up := pressed*(l.Skew+turn*l.Bent), pressed*turn*l.Arched
			turn = -turn
			if left == 0 && up == 0 {
				continue
			}
			out = append(out,
				solver.PointLoad{Member: m.ID, At: 0, Force: solver.Vec{0, -left, -up}, Local: true},
				solver.PointLoad{Member: m.ID, At: length, Force: solver.Vec{0, left, up}, Local: true})
		}
	}
	return out
}

// bentFrame reads a second-order answer as that of the undivided frame.
type bentFrame struct {
	*solver.SecondOrder
	divided  *solver.Divided
	diagrams map[solver.MemberID]*solver.Diagram
}

// Diagram returns that of a member of the undivided frame.
func (f *bentFrame) Diagram(m solver.MemberID) *solver.Diagram {
	if d := f.diagrams[m]; d != nil {
		return d
	}
	d := f.divided.Diagram(f.SecondOrder, m)
	f.diagrams[m] = d
	return d
}

// Value panics: a response is of the straight frame.
func (f *bentFrame) Value(solver.Response) float64 {
	panic("analysis: a response in second order")
}

// Thrusts returns the placed loads of a level that push the rails along: every action that
// points along the run, or may, at either end of its chain and each way that it may point; a
// line over the whole run; each with the fields that act with it, and two together where both
// push. Compression that hardly differs from place to place differs in how
// much of a rail it presses, and these press the most of it. Fields alone are among them: warmth
// presses what is held. Of the combinations of one load only those are taken that press nearly as
// hard as the one that presses hardest. They have no section.
func (a *Analysis) Thrusts(l Level) []Placed {
	var out []Placed
	for i, act := range a.Actions {
		if act.Field != nil {
			continue // it stands still, below
		}
		for _, way := range act.alongWays() {
			for _, at := range a.atEnds(i, way) {
				for _, x := range a.hardest(a.acting[l].placed[i], at.pushes()) {
					out = append(out, Placed{Combination: &x.combination, Placement: at, Beside: x.beside})
				}
			}
		}
	}
	for _, x := range a.hardest(a.acting[l].fields, 0) {
		out = append(out, Placed{Combination: &x.combination, Placement: a.lead(x), Beside: x.beside})
	}
	for i := range a.pairs {
		out = append(out, a.thrustsOf(&a.pairs[i], l)...)
	}
	return out
}

// nearlyHardest is the part of the hardest pressing from which on a combination is taken.
const nearlyHardest = 0.9

// hardest returns those of some combinations that press the rails nearly as hard as the one that
// presses them hardest: by what stands everywhere, and by a load, N, that pushes along the run.
func (a *Analysis) hardest(mixtures []mixture, push float64) (out []*mixture) {
	pressed, most := make([]float64, len(mixtures)), 0.0
	for i := range mixtures {
		x := &mixtures[i]
		pressed[i] = a.pressedBy(x.stands) + x.combination.Variable*push
		most = math.Max(most, pressed[i])
	}
	for i := range mixtures {
		if pressed[i] >= nearlyHardest*most {
			out = append(out, &mixtures[i])
		}
	}
	return out
}

// pressedBy returns the largest compression in any rail, N, under what stands everywhere.
func (a *Analysis) pressedBy(stands []stood) float64 {
	most := 0.0
	for i := range a.Frame.Rails {
		for _, p := range a.Rail(i).Probes {
			n := 0.0
			for _, st := range stands {
				n += st.factor * p.standing(st.at).start[cN]
			}
			most = math.Max(most, -n)
		}
	}
	return most
}

// pushes returns with how much a placed load pushes along the run, N.
func (p *Placement) pushes() float64 {
	push := math.Abs(p.Force()[0])
	if p.Action.Point {
		return push
	}
	length := 0.0
	for _, l := range p.Lengths {
		length += l.To - l.From
	}
	return push * length
}

// atEnds returns the placements of an action that point one way: at either end of its chain,
// or over the whole run.
func (a *Analysis) atEnds(i int, way [3]float64) []Placement {
	act, chain := a.Actions[i], a.chains[i]
	last := chain.Stretches() - 1
	start, _ := chain.Ends(0)
	from, end := chain.Ends(last)
	p := Placement{Action: act, Value: act.sizeAt(start), Way: way}
	if !act.Point {
		p.Lengths, p.Whole = []solver.Length{{From: start, To: end}}, true
		return []Placement{p}
	}
	q := p
	p.X = start
	q.Stretch, q.X, q.Leg, q.Value = last, end, a.legs[i][last], act.sizeAt(from)
	return []Placement{p, q}
}

// thrustsOf returns the placed loads of a pair both of which push along the run.
func (a *Analysis) thrustsOf(pr *pair, l Level) (out []Placed) {
	for _, way := range a.Actions[pr.first].alongWays() {
		for _, other := range a.Actions[pr.second].alongWays() {
			for _, at := range a.atEnds(pr.first, way) {
				for _, beside := range a.atEnds(pr.second, other) {
					for _, x := range a.hardest(pr.mixtures[l], at.pushes()) {
						p := Placed{Combination: &x.combination, Placement: at, Beside: slices.Clone(x.beside)}
						p.Beside[x.second] = beside
						out = append(out, p)
					}
				}
			}
		}
	}
	return out
}

// alongWays returns the ways of an action that push along the run: for one that may turn, both
// ways straight along it.
func (a *Action) alongWays() [][3]float64 {
	var out [][3]float64
	along := func(way [3]float64) float64 {
		p := Placement{Action: a, Value: 1, Way: way}
		return math.Abs(p.Force()[0])
	}
	for _, way := range a.fixed {
		if along(way) > 0 {
			out = append(out, way)
		}
	}
	if way := [3]float64{1}; a.fixed == nil && along(way) > 0 {
		out = append(out, way, [3]float64{-1})
	}
	return out
}

// State returns the state at a placed load's section or joint; the load itself is that of the
// bend.
func (b *Bend) State(at *Placed) State {
	p := b.placed
	p.Probe, p.Station, p.After = at.Probe, at.Station, at.After
	if p.Probe.member < 0 {
		c := p.Probe.joined(b.answer, &b.load)
		b.analysis.addDead(&c, &p)
		return b.unscaled(c.state())
	}
	return b.unscaled(b.analysis.solved(b.answer, &p))
}

func (b *Bend) unscaled(s State) State {
	c := s.components()
	for k := range c {
		c[k] /= b.scale
	}
	return c.state()
}

// Worst returns where along an element a measure of the section forces is largest, with the
// state there: at both sides of every break of the member and at its eighths. Movements
// are left out.
func (b *Bend) Worst(e *Element, of func(*State) float64) (at Placed, state State) {
	const parts = 8
	at = b.placed
	at.Probe, at.Value = nil, math.Inf(-1)
	for _, p := range e.Probes {
		d := b.answer.Diagram(p.member)
		stations := slices.Clone(d.Breaks)
		for i := 1; i < parts; i++ {
			stations = append(stations, p.Length*float64(i)/parts)
		}
		slices.Sort(stations)
		for _, x := range slices.Compact(stations) {
			for _, after := range [2]bool{false, true} {
				s := b.unscaled(sectionOf(d, x, after))
				if v := of(&s); Beats(v, at.Value) {
					at.Probe, at.Station, at.After, at.Value, state = p, x, after, v, s
				}
			}
		}
	}
	return at, state
}

// sectionOf reads the section forces at a station.
func sectionOf(d *solver.Diagram, x float64, after bool) State {
	read := d.Before
	if after {
		read = d.At
	}
	var c components
	for k := range cMz + 1 {
		c[k] = read(solver.Component(k), x)
	}
	return c.state()
}

// Plus returns the sum of a state and another times a factor, component by component.
func (s *State) Plus(factor float64, other *State) State {
	a, b := s.components(), other.components()
	for k := range a {
		a[k] += factor * b[k]
	}
	return a.state()
}
