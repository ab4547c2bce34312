package solver

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// PlasticMoments are the plastic moments of a member about its local y and z axes, N·m. An axis
// with none (0) stays elastic.
type PlasticMoments struct {
	Member MemberID
	My, Mz float64
}

// Hinge is a plastic hinge: a station of a member, m from its start, at which the moment
// about an axis (MomentY or MomentZ) stands at the plastic one, signed, N·m.
type Hinge struct {
	Member  MemberID
	Station float64
	Axis    Component
	Moment  float64
}

// HingeEvent is a hinge that forms, or one that closes because its rotation would run back,
// at a factor on all loads. Factors are plain numbers.
type HingeEvent struct {
	Hinge
	Factor float64
	Closes bool
}

// Collapse is the way of a frame to its mechanism.
type Collapse struct {
	// Factor on all loads, a plain number, at which the frame moves without more load.
	Factor float64
	// Events in their order; the last one makes the mechanism. Under a line load the peak of
	// the moment wanders as hinges form, and its hinge with it: an event holds where a hinge
	// formed, Mechanism where it is in the end.
	Events []HingeEvent
	// Mechanism holds the hinges that turn, and by how much: the largest is 1, with the sign
	// of its moment.
	Mechanism []HingeTurn
	// Place and Direction say what moves most in the mechanism.
	Place, Direction string
	// Gap is how far Factor may be off, as a part of it: the sum of how far it is from the two
	// bounds that the theorems of plastic theory set. From below these are the moments found,
	// in balance and past the plastic ones by a part of Gap at most; from above the work of
	// loads and hinges along the mechanism. It is mostly rounding; where a hinge under a line
	// load had to wander to a place that the frame's geometry sets, 1e-6 to 1e-3.
	Gap float64

	model *Factored
	u     vector
}

// HingeTurn is a hinge of a mechanism and its rotation, in the sense of its moment, rad for a
// largest one of 1.
type HingeTurn struct {
	Hinge
	Turn float64
}

// Displacement returns the movement of a node in the mechanism, m or rad for a largest hinge
// rotation of 1.
func (c *Collapse) Displacement(n NodeID, f Freedom) float64 { return sum(c.model.nodes.at(n, f), c.u) }

// NoCollapseError is a frame that the loads do not turn into a mechanism, however large.
type NoCollapseError struct {
	// Hinges is how many had formed, up to the factor on all loads.
	Hinges int
	Factor float64
}

func (e *NoCollapseError) Error() string {
	if e.Hinges == 0 {
		return "the frame does not collapse: the loads make no plastic hinge"
	}
	return fmt.Sprintf("the frame does not collapse: plastic hinges that form up to %.4g of the load are %d, and more load makes no other", e.Factor, e.Hinges)
}

// UnprovedCollapseError is a collapse whose two bounds are further apart than 1e-3 of its factor;
// Gap is +Inf where no mechanism was reached or the elastic answer has too large a residual.
type UnprovedCollapseError struct{ Factor, Gap float64 }

func (e *UnprovedCollapseError) Error() string {
	return fmt.Sprintf("the collapse factor is not proved: near %.4g its bounds are %.2g of it apart", e.Factor, e.Gap)
}

const (
	// noStiffness is the part of EI/L below which the self-stress of a hinge's rotation counts
	// as none: above what rounding leaves of it, below the restraint by any part of a frame that
	// is worth the name. What is softer would hold only after ten million times the rotation.
	noStiffness = 1e-7
	// noGrowth is the part of the largest moment of the loads below which a moment does not grow.
	noGrowth = 1e-9
	// looseness is the part by which a moment may pass the plastic one beside a hinge that no
	// longer follows its peak.
	looseness = 1e-6
	// provedGap is the largest gap between the bounds of a proved collapse: three digits, more
	// than plastic moments are known to.
	provedGap = 1e-3
	// mostResidual is the residual of the elastic frame past which it says nothing.
	mostResidual = 1e-8
	// atPeak is the part of a member's length to which the station of a peak is found.
	atPeak = 1e-10
)

// Collapse follows the frame under a case that grows as a whole, from hinge to hinge, to the
// mechanism; settlements and warmth grow with it. Members are elastic up to the plastic moment
// about each axis, and then turn under it: hinges stand at ends of members, at loads and where
// the moment peaks between,
// without interaction between the axes or with axial and shear force. Displacements are
// small and every other way to fail is left out: buckling, connections, the length of the
// yielded zone, the rotation that a wall can bear.
//
// Moments are those of the elastic frame plus the self-stress of the hinges' rotations, both
// from the one factorisation. How the rotations grow is a quadratic programme in rotations
// that cannot run back (Maier, A quadratic programming approach for certain classes of non
// linear structural problems, Meccanica 3, 1968), so that hinges which unload close. The
// factor does not depend on that way; what proves it is Gap.
//
// It returns an *InputError for loads or strengths that make no sense, a *NoCollapseError, or an
// *UnprovedCollapseError.
func (s *Factored) Collapse(c Case, strengths []PlasticMoments) (*Collapse, error) {
	w, err := s.collapseWay(c, strengths)
	if err != nil {
		return nil, err
	}
	// Each pass forms a hinge. A frame has as many open at once as it has redundants, and few
	// that form where another has closed, unless a hinge wanders in small steps.
	for range 400 + 8*len(w.bars) {
		turning, mechanism, ok := w.rates()
		switch {
		case !ok:
			return nil, &UnprovedCollapseError{w.factor, math.Inf(1)}
		case mechanism:
			return w.finish(turning)
		}
		if err := w.advance(turning); err != nil {
			return nil, err
		}
	}
	return nil, &UnprovedCollapseError{w.factor, math.Inf(1)}
}

// bar is a member about an axis in which it can yield.
type bar struct {
	member  MemberID
	axis    Component
	plastic float64 // moment, N·m
	length  float64
	scale   float64      // 1/√(EI/L): of a unit of self-stress
	breaks  []float64    // stations between which the moment is one polynomial
	elastic []polynomial // moment of the case on the elastic frame, from each break
	ends    [2][]term    // moment at the start and at the end from the nodes' movements
}

// turn is a station that has yielded.
type turn struct {
	bar     int
	piece   int // of the bar: where a couple stands, the moment is another on either side
	station float64
	sign    float64 // of its moment
	angle   float64 // rotation, in the sense of its moment, never negative
	yields  bool    // the moment stands at the plastic one
	wanders bool    // it takes over from one beside it
	opened  bool    // it has turned since it last stood still
	u       vector  // movements of the frame for a unit rotation
	stress  []ramp  // self-stress of a unit rotation, in each bar
}

// ramp is a moment along a bar: no load stands on it in self-stress.
type ramp struct{ start, slope float64 }

func (r ramp) at(x float64) float64 { return r.start + r.slope*x }

func (r ramp) plus(q ramp, s float64) ramp { return ramp{r.start + s*q.start, r.slope + s*q.slope} }

// collapseWay is how far the frame has come.
type collapseWay struct {
	model   *Factored
	bars    []bar
	turns   []turn
	factor  float64
	largest float64 // moment of the case on the elastic frame
	loose   bool    // hinges stay where they form, and others form beside them
	events  []HingeEvent
}

func (s *Factored) collapseWay(c Case, strengths []PlasticMoments) (*collapseWay, error) {
	if err := s.Check(&c); err != nil {
		return nil, err
	}
	w := &collapseWay{model: s}
	elastic := s.Solve(c)
	if !(elastic.Residual <= mostResidual) {
		return nil, &UnprovedCollapseError{0, math.Inf(1)}
	}
	known := map[MemberID]bool{}
	for _, m := range strengths {
		if m.Member < 0 || int(m.Member) >= len(s.elements) {
			return nil, &InputError{fmt.Sprintf("a strength of member %d, which is not there", m.Member)}
		}
		e := &s.elements[m.Member]
		if known[m.Member] {
			return nil, &InputError{s.memberName(m.Member) + " has two strengths"}
		}
		known[m.Member] = true
		d := elastic.Diagram(m.Member)
		for _, about := range [...]struct {
			axis        Component
			plastic, ei float64
		}{{MomentY, m.My, e.eiy}, {MomentZ, m.Mz, e.eiz}} {
			if !(about.plastic >= 0) || math.IsInf(about.plastic, 1) {
				return nil, &InputError{s.memberName(m.Member) + " has a plastic moment that is negative or not finite"}
			}
			if about.plastic == 0 {
				continue
			}
			b := bar{member: m.Member, axis: about.axis, plastic: about.plastic, length: e.length,
				scale: math.Sqrt(e.length / about.ei), breaks: d.Breaks}
			for end, x := range [...]float64{0, e.length} {
				b.ends[end] = s.Section(m.Member, x, about.axis).terms
			}
			for i := range d.pieces {
				b.elastic = append(b.elastic, d.pieces[i][about.axis])
			}
			least, most := d.Extremes(about.axis)
			w.largest = max(w.largest, -least.Value, most.Value)
			w.bars = append(w.bars, b)
		}
	}
	return w, nil
}

func (s *Factored) memberName(m MemberID) string {
	return memberName(&s.frame.nodes[s.frame.members[m].Start], &s.frame.nodes[s.frame.members[m].End])
}

// ofLoads returns the moment at a turn of the case on the elastic frame, in its sense.
func (w *collapseWay) ofLoads(t *turn) float64 {
	b := &w.bars[t.bar]
	return t.sign * b.elastic[t.piece].At(t.station-b.breaks[t.piece])
}

// put places a turn at a station and works out what a unit rotation there does. The loads
// at the nodes that are equivalent to it are what the nodes' unit movements do to the moment
// there.
func (w *collapseWay) put(t *turn) {
	s, b, station := w.model, &w.bars[t.bar], t.station
	t.u = make(vector, s.free+s.held)
	for _, q := range s.Section(b.member, station, b.axis).terms {
		t.u[q.eq] += q.coeff
	}
	clear(t.u[s.free:])
	s.solve([]vector{t.u[:s.free]})
	t.stress = make([]ramp, len(w.bars))
	for i := range w.bars {
		o := &w.bars[i]
		start, end := sum(o.ends[0], t.u), sum(o.ends[1], t.u)
		if o.member == b.member {
			e := &s.elements[b.member]
			held := e.throughTies(e.kinked(station, b.axis))
			from, to := endMoments(o.axis)
			start, end = start-held[from], end+held[to]
		}
		t.stress[i] = ramp{start, (end - start) / o.length}
	}
}

// endMoments returns the numbers of a member's end moments about an axis.
func endMoments(axis Component) (start, end int) {
	if axis == MomentZ {
		return int(RZ), 6 + int(RZ)
	}
	return int(RY), 6 + int(RY)
}

// kinked returns the end forces that hold a member with a unit rotation at a station and
// both ends fixed: what unit end movements do to the moment there, turned about.
func (e *element) kinked(x float64, axis Component) vec12 {
	k := e.ownStiffness()
	start, end := endMoments(axis)
	var out vec12
	for i := range out {
		out[i] = (1-x/e.length)*k[start][i] - x/e.length*k[end][i]
	}
	return out
}

// stress returns the moment at turn j for a unit rotation of turn i, each in the sense of
// its own moment, in units of EI/L: never positive for i = j.
func (w *collapseWay) stress(i, j int) float64 {
	a, b := &w.turns[i], &w.turns[j]
	return a.sign * b.sign * a.stress[b.bar].at(b.station) * w.bars[a.bar].scale * w.bars[b.bar].scale
}

// compliance returns the self-stress of some turns, sign changed, as a matrix.
func (w *collapseWay) compliance(of []int) *mat.SymDense {
	a := mat.NewSymDense(len(of), nil)
	for p, i := range of {
		for q := p; q < len(of); q++ {
			a.SetSym(p, q, -0.5*(w.stress(i, of[q])+w.stress(of[q], i)))
		}
	}
	return a
}

// growth is what the turns do as the loads grow: their rates, scaled.
type growth struct {
	of   []int // turns that turn
	rate []float64
}

// rates finds which yielded turns turn on under growing loads, and how fast: they minimise
// ½ rᵀAr - bᵀr over r ≥ 0, A the self-stress and b the growth of the moments on the elastic
// frame. The method is that of Lawson and Hanson, Solving Least Squares Problems, chapter 23:
// one turn at a time is let go, the one whose moment would grow fastest, and those that would
// run back are stopped. Rates without self-stress that none stops are a mechanism.
func (w *collapseWay) rates() (g growth, mechanism, ok bool) {
	rate := make([]float64, len(w.turns))
	var free []int
	for range 10 + 10*len(w.turns) {
		next := w.fastest(free, rate)
		if next < 0 {
			for _, i := range free {
				g.of, g.rate = append(g.of, i), append(g.rate, rate[i])
			}
			w.close(rate)
			return g, false, true
		}
		free = append(free, next)
		for range 10 + len(w.turns) {
			target, motion := w.balanced(free)
			if slices.ContainsFunc(target, math.IsNaN) {
				return g, false, false
			}
			if motion && !slices.ContainsFunc(target, func(v float64) bool { return v < -noStiffness }) {
				return growth{free, target}, true, true
			}
			var stopped bool
			if free, stopped = step(free, rate, target, motion); !stopped {
				break
			}
		}
	}
	return g, false, false
}

// step takes the rates of the free turns towards a target, or along a motion, up to where the
// first of them would run back, and stops those that stand.
func step(free []int, rate, target []float64, motion bool) (kept []int, stopped bool) {
	along := func(p, i int) float64 {
		if motion {
			return target[p]
		}
		return target[p] - rate[i]
	}
	part, first := 1.0, -1
	if motion {
		part = math.Inf(1)
	}
	for p, i := range free {
		ends := target[p] <= 0 && !motion || target[p] < -noStiffness && motion
		if d := along(p, i); ends && d < 0 && rate[i] <= -part*d {
			part, first = -rate[i]/d, p
		}
	}
	for p, i := range free {
		rate[i] += part * along(p, i)
	}
	if first < 0 {
		return free, false
	}
	rate[free[first]] = 0
	return slices.Delete(slices.Clone(free), first, first+1), true
}

// grows returns how fast the moment at turn i grows, scaled, with the turns at some rates.
func (w *collapseWay) grows(i int, rate []float64) float64 {
	t := &w.turns[i]
	b := &w.bars[t.bar]
	v := w.ofLoads(t) * b.scale
	for k, r := range rate {
		if r != 0 {
			v += w.stress(k, i) * r
		}
	}
	return v
}

// fastest returns the yielded turn, not free yet, whose moment grows fastest, or -1.
func (w *collapseWay) fastest(free []int, rate []float64) int {
	best, most := -1, 0.0
	for i := range w.turns {
		if !w.turns[i].yields || slices.Contains(free, i) {
			continue
		}
		scale := w.bars[w.turns[i].bar].scale
		if v := w.grows(i, rate); v > noGrowth*w.largest*scale && v > most*(1+1e-9) {
			best, most = i, v
		}
	}
	return best
}

// balanced returns the rates of the free turns that keep their moments, or, where the last
// of them has no self-stress of its own, the rates of a motion with that one at 1.
func (w *collapseWay) balanced(free []int) (target []float64, motion bool) {
	n := len(free) - 1
	a := w.compliance(free)
	right := make([]float64, len(free))
	for p, i := range free {
		right[p] = w.grows(i, nil)
	}
	column := make([]float64, n)
	for p := range column {
		column[p] = -a.At(p, n)
	}
	follow := solveSmall(a, n, column)
	left := a.At(n, n)
	for p, v := range follow {
		left += a.At(p, n) * v
	}
	if left <= noStiffness {
		return append(follow, 1), true
	}
	target = solveSmall(a, n+1, right)
	if soft := softestMotion(a, target); soft != nil {
		return soft, true
	}
	return target, false
}

// softestMotion returns the motion that the free turns have all but for rounding, or nil: a
// hinge that wanders can bring a frame to where it is a mechanism. Its sense is that of the
// rates that the loads drive.
func softestMotion(a *mat.SymDense, rates []float64) []float64 {
	var c mat.Cholesky
	var inverse mat.SymDense
	if !c.Factorize(a) {
		return nil
	}
	// A Condition tells of the bad matrix that is looked for.
	_ = c.InverseTo(&inverse)
	most := 0
	for i := range rates {
		if inverse.At(i, i) > inverse.At(most, most) {
			most = i
		}
	}
	size := inverse.At(most, most)
	if !(size > 1/noStiffness) {
		return nil
	}
	motion := make([]float64, len(rates))
	for i := range motion {
		motion[i] = math.Copysign(1, rates[most]) * inverse.At(i, most) / size
	}
	return motion
}

// solveSmall solves the leading n rows of a positive definite matrix.
func solveSmall(a *mat.SymDense, n int, right []float64) []float64 {
	if n == 0 {
		return nil
	}
	lead := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			lead.SetSym(i, j, a.At(i, j))
		}
	}
	out := make([]float64, n)
	x := mat.NewVecDense(n, out)
	var c mat.Cholesky
	if !c.Factorize(lead) {
		for i := range out {
			out[i] = math.NaN()
		}
		return out
	}
	// A Condition tells of a bad matrix; the gap between the bounds judges what comes of it.
	_ = c.SolveVecTo(x, mat.NewVecDense(n, right[:n]))
	return out
}

// close lets go of the turns whose moment falls away from the plastic one.
func (w *collapseWay) close(rate []float64) {
	for i := range w.turns {
		t := &w.turns[i]
		scale := w.bars[t.bar].scale
		if !t.yields || rate[i] > 0 || w.grows(i, rate) > -noGrowth*w.largest*scale {
			continue
		}
		t.yields = false
		if t.opened {
			t.opened = false
			if w.wanderedOn(t) {
				continue
			}
			w.events = append(w.events, HingeEvent{w.hinge(t), w.factor, true})
		}
	}
}

// wanderedOn says whether another turn has taken over from one that closes.
func (w *collapseWay) wanderedOn(t *turn) bool {
	return slices.ContainsFunc(w.turns, func(o turn) bool {
		return o.wanders && o.yields && o.bar == t.bar && o.piece == t.piece && o.sign == t.sign
	})
}

func (w *collapseWay) hinge(t *turn) Hinge {
	b := &w.bars[t.bar]
	return Hinge{b.member, t.station, b.axis, t.sign * b.plastic}
}

// state is the moments of a stage, linear in the factor: constant + factor·(elastic + grown).
type state struct{ constant, grown []ramp }

// advance goes on to the next hinge. Hinges under line loads follow the peaks of their
// moments. Where they cannot, since the frame turns into a mechanism on the way, with a hinge
// at a place that its geometry sets, they stay from there on, and a new hinge forms wherever a
// moment beside them has passed the plastic one by a trifle.
func (w *collapseWay) advance(g growth) error {
	if !w.loose {
		before := slices.Clone(w.turns)
		next, factor, constant, slope, err := w.followed(g.of)
		if err == nil && w.sound(g.of, before, factor, constant, slope) {
			w.form(next, factor, g.of, constant, slope)
			return nil
		}
		w.turns, w.loose = before, true
	}
	constant, slope := w.angles(g.of)
	st := w.state(g.of, constant, slope)
	next, factor, ok := w.nextHinge(&st)
	if !ok {
		return &NoCollapseError{len(w.turns), w.factor}
	}
	w.form(next, factor, g.of, constant, slope)
	return nil
}

var errWanders = errors.New("hinges wander without end")

// followed returns the next hinge with the free turns on the peaks of their moments. Their
// stations and the factor are found by turns, each step with the error of the last squared.
func (w *collapseWay) followed(free []int) (next turn, factor float64, constant, slope []float64, err error) {
	for range 20 {
		constant, slope = w.angles(free)
		st := w.state(free, constant, slope)
		var ok bool
		if next, factor, ok = w.nextHinge(&st); !ok {
			return next, factor, nil, nil, &NoCollapseError{len(w.turns), w.factor}
		}
		if !w.follow(free, &st, factor) {
			return next, factor, constant, slope, nil
		}
	}
	return next, factor, nil, nil, errWanders
}

// sound says whether hinges that have followed their peaks turned on, under moments that are
// nowhere past the plastic ones, in a frame that is no mechanism.
func (w *collapseWay) sound(free []int, before []turn, factor float64, constant, slope []float64) bool {
	moved := false
	for p, i := range free {
		angle := constant[p] + factor*slope[p]
		moved = moved || w.turns[i].station != before[i].station
		if !(angle >= before[i].angle-1e-9*angle) {
			return false
		}
	}
	if !moved {
		return true
	}
	if _, motion := w.balanced(free); motion {
		return false
	}
	st := w.state(free, constant, slope)
	return w.excess(&st, factor) <= 1e-4*looseness
}

// form takes the frame to a factor and adds the hinge that forms there.
func (w *collapseWay) form(next turn, factor float64, free []int, constant, slope []float64) {
	w.factor = factor
	for p, i := range free {
		w.turns[i].angle = constant[p] + factor*slope[p]
		w.turns[i].opened = true
	}
	w.put(&next)
	next.wanders = w.loose && slices.ContainsFunc(w.turns, func(t turn) bool {
		return t.yields && t.bar == next.bar && t.piece == next.piece && t.sign == next.sign
	})
	w.turns = append(w.turns, next)
	if !next.wanders {
		w.events = append(w.events, HingeEvent{w.hinge(&next), factor, false})
	}
}

// angles returns the rotations of the free turns, as constant and slope over the factor, that
// hold their moments at the plastic ones.
func (w *collapseWay) angles(free []int) (constant, slope []float64) {
	n := len(free)
	if n == 0 { // gonum has no matrix of size 0
		return nil, nil
	}
	a := w.compliance(free)
	fixed, growing := make([]float64, n), make([]float64, n)
	for p, i := range free {
		t := &w.turns[i]
		b := &w.bars[t.bar]
		growing[p] = w.ofLoads(t) * b.scale
		fixed[p] = -b.plastic * b.scale
		for k := range w.turns {
			if o := &w.turns[k]; o.angle != 0 && !slices.Contains(free, k) {
				fixed[p] += w.stress(k, i) * o.angle / w.bars[o.bar].scale
			}
		}
	}
	constant, slope = solveSmall(a, n, fixed), solveSmall(a, n, growing)
	for p, i := range free {
		scale := w.bars[w.turns[i].bar].scale
		constant[p], slope[p] = constant[p]*scale, slope[p]*scale
	}
	return constant, slope
}

func (w *collapseWay) state(free []int, angle, slope []float64) state {
	st := state{make([]ramp, len(w.bars)), make([]ramp, len(w.bars))}
	for k := range w.turns {
		t := &w.turns[k]
		constant, grown := t.angle, 0.0
		if p := slices.Index(free, k); p >= 0 {
			constant, grown = angle[p], slope[p]
		}
		for i := range w.bars {
			st.constant[i] = st.constant[i].plus(t.stress[i], t.sign*constant)
			st.grown[i] = st.grown[i].plus(t.stress[i], t.sign*grown)
		}
	}
	return st
}

// moment returns the moment along a piece of a bar at a factor, from the piece's start.
func (w *collapseWay) moment(st *state, i, piece int, factor float64) polynomial {
	b := &w.bars[i]
	r := st.constant[i].plus(st.grown[i], factor)
	return line(b.elastic[piece].scale(factor), r, b.breaks[piece])
}

// line returns the sum of a polynomial from a station and a ramp.
func line(p polynomial, r ramp, from float64) polynomial {
	out := append(slices.Clone(p), make(polynomial, max(0, 2-len(p)))...)
	out[0] += r.at(from)
	out[1] += r.slope
	return out
}

// nextHinge returns the place that yields next, and the factor.
func (w *collapseWay) nextHinge(st *state) (next turn, factor float64, ok bool) {
	factor = math.Inf(1)
	for i := range w.bars {
		b := &w.bars[i]
		for piece := range b.elastic {
			for _, sign := range [...]float64{1, -1} {
				for _, x := range w.sites(i, piece, sign) {
					station, at, reached := w.yieldsAt(st, i, piece, sign, x)
					if reached && factor-at > 1e-12*math.Abs(at) && !w.taken(i, sign, station) {
						next, factor = turn{bar: i, piece: piece, station: station, sign: sign, yields: true}, at
					}
				}
			}
		}
	}
	return next, max(factor, w.factor), !math.IsInf(factor, 1)
}

// limit is the moment at which the next hinge of a bar forms. It turns under the plastic
// moment.
func (w *collapseWay) limit(b *bar) float64 {
	if w.loose {
		return b.plastic * (1 + looseness)
	}
	return b.plastic
}

// site is where to look on a piece: at one of its stations, or at its peak.
type site struct {
	x    float64
	peak bool
}

// sites returns the ends of a piece, and its peak unless a hinge stands on it already.
func (w *collapseWay) sites(i, piece int, sign float64) []site {
	b := &w.bars[i]
	length := b.breaks[piece+1] - b.breaks[piece]
	out := []site{{x: 0}, {x: length}}
	for k := range w.turns {
		t := &w.turns[k]
		inside := t.station > b.breaks[piece]+atPeak*b.length && t.station < b.breaks[piece+1]-atPeak*b.length
		if !w.loose && t.yields && t.bar == i && t.sign == sign && inside {
			return out
		}
	}
	if len(b.elastic[piece]) > 2 {
		out = append(out, site{peak: true})
	}
	return out
}

// taken says whether a yielded turn stands at a station.
func (w *collapseWay) taken(i int, sign, station float64) bool {
	// A peak that rises beside a hinge is found to the root of the rounding of its moment.
	const beside = 1e-6
	for k := range w.turns {
		t := &w.turns[k]
		if t.yields && t.bar == i && t.sign == sign && math.Abs(t.station-station) < beside*w.bars[i].length {
			return true
		}
	}
	return false
}

// yieldsAt returns the factor at which a site yields, and the station. The largest moment of a
// piece is a convex function of the factor, the largest of lines, so that Newton's method
// comes down to it from above without fail.
func (w *collapseWay) yieldsAt(st *state, i, piece int, sign float64, at site) (station, factor float64, ok bool) {
	b := &w.bars[i]
	from := b.breaks[piece]
	length := b.breaks[piece+1] - from
	growing := line(b.elastic[piece], st.grown[i], from).scale(sign)
	constant := line(nil, st.constant[i], from).scale(sign)
	x := at.x
	if at.peak {
		x = highest(growing, length)
	}
	for pass := 0; ; pass++ {
		slope := growing.At(x)
		if !(slope > noGrowth*w.largest) {
			return 0, 0, false
		}
		now := (w.limit(b) - constant.At(x)) / slope
		if !at.peak || pass == 100 || pass > 0 && now >= factor*(1-1e-15) {
			return from + x, now, true
		}
		factor = now
		x = highest(w.moment(st, i, piece, factor).scale(sign), length)
	}
}

// highest returns where a polynomial is largest between 0 and a length.
func highest(p polynomial, length float64) float64 {
	best := 0.0
	for _, x := range append(p.derivative().roots(length), length) {
		if p.At(x) > p.At(best) {
			best = x
		}
	}
	return best
}

// follow brings the free turns to the peaks beside them and says whether any has moved.
func (w *collapseWay) follow(free []int, st *state, factor float64) bool {
	moved := false
	for _, i := range free {
		t := &w.turns[i]
		b := &w.bars[t.bar]
		piece, to := w.uphill(t, st, factor)
		if math.Abs(to-t.station) > atPeak*b.length {
			t.piece, t.station = piece, to
			w.put(t)
			moved = true
		}
	}
	return moved
}

// uphill returns the peak beside a turn and its piece: where a line load stands and the
// moment rises, up to the first stationary point or the end of the piece.
func (w *collapseWay) uphill(t *turn, st *state, factor float64) (piece int, station float64) {
	b := &w.bars[t.bar]
	piece, station = t.piece, t.station
	most := b.plastic * (1 + 1e-13)
	for i := range b.elastic {
		from, to := b.breaks[i], b.breaks[i+1]
		if t.station < from || t.station > to || len(b.elastic[i]) <= 2 {
			continue
		}
		p := w.moment(st, t.bar, i, factor).scale(t.sign)
		x := t.station - from
		if math.Abs(p.At(x)-b.plastic) > 1e-6*b.plastic { // past a couple
			continue
		}
		end := besidePeak(p, x, to-from)
		if v := p.At(end); v > most {
			piece, station, most = i, from+end, v
		}
	}
	return piece, station
}

// besidePeak returns the first stationary point uphill from x, or the end on that side.
func besidePeak(p polynomial, x, length float64) float64 {
	slope := p.derivative()
	before, after := 0.0, length
	for _, r := range slope.roots(length) {
		if r <= x {
			before = max(before, r)
		} else {
			after = min(after, r)
		}
	}
	if slope.At(x) < 0 {
		return before
	}
	return after
}

// finish proves and names the mechanism.
func (w *collapseWay) finish(g growth) (*Collapse, error) {
	s := w.model
	out := &Collapse{Factor: w.factor, Events: w.events, model: s, u: make(vector, s.free+s.held)}
	largestTurn := 0.0
	for p, i := range g.of {
		g.rate[p] *= w.bars[w.turns[i].bar].scale
		largestTurn = max(largestTurn, g.rate[p])
	}
	resisted, driven := 0.0, 0.0 // work of hinges and of loads
	for p, i := range g.of {
		t := &w.turns[i]
		rate := max(g.rate[p], 0) / largestTurn
		if rate < noStiffness {
			continue
		}
		b := &w.bars[t.bar]
		resisted += rate * b.plastic
		driven += rate * w.ofLoads(t)
		out.Mechanism = append(out.Mechanism, HingeTurn{w.hinge(t), t.sign * rate})
		for k, v := range t.u {
			out.u[k] += t.sign * rate * v
		}
	}
	st := w.state(nil, nil, nil)
	out.Gap = math.Abs(resisted/driven/w.factor-1) + w.excess(&st, w.factor)
	if !(out.Gap <= provedGap) || !(w.factor > 0) {
		return nil, &UnprovedCollapseError{w.factor, out.Gap}
	}
	out.name()
	return out, nil
}

// excess returns the largest part by which a moment is past the plastic one.
func (w *collapseWay) excess(st *state, factor float64) float64 {
	out := 0.0
	for i := range w.bars {
		b := &w.bars[i]
		for piece := range b.elastic {
			p := w.moment(st, i, piece, factor)
			length := b.breaks[piece+1] - b.breaks[piece]
			for _, x := range append(p.derivative().roots(length), 0, length) {
				out = max(out, math.Abs(p.At(x))/b.plastic-1)
			}
		}
	}
	return out
}

// name finds what moves most: a node or a hinge within a member. A motion of nothing but
// rotations is named by the largest of these.
func (c *Collapse) name() {
	var most, size float64
	look := func(place string, at Vec, first Freedom, least float64) {
		for d, v := range at {
			if a := math.Abs(v); a > least && a > most*(1+1e-6) {
				most, c.Place, c.Direction = a, place, (first + Freedom(d)).String()
			}
		}
	}
	nodes := c.model.frame.nodes
	for id := range c.model.elements {
		size = max(size, c.model.elements[id].length)
	}
	least := 1e-6 * size // of a rotation of 1 over the longest member
	for n := range nodes {
		look(nodes[n].label, c.moved(NodeID(n), UX), UX, least)
	}
	for _, h := range c.Mechanism {
		// A member with released ends can move between its nodes.
		for _, x := range [...]float64{h.Station, 0, c.model.elements[h.Member].length} {
			h.Station = x
			look(fmt.Sprintf("%s at %.4g m", c.model.memberName(h.Member), x), c.hingeMoves(h.Hinge), UX, least)
		}
	}
	if c.Place == "" {
		for n := range nodes {
			look(nodes[n].label, c.moved(NodeID(n), RX), RX, 0)
		}
	}
	if c.Place == "" { // a member turns within its released ends
		c.Place, c.Direction = c.model.memberName(c.Mechanism[0].Member), "rotation of its own"
	}
}

func (c *Collapse) moved(n NodeID, first Freedom) Vec {
	return Vec{c.Displacement(n, first), c.Displacement(n, first+1), c.Displacement(n, first+2)}
}

// hingeMoves returns the movement of a hinge's station, global axes: its member is straight
// from its start to there but for the hinges between.
func (c *Collapse) hingeMoves(h Hinge) Vec {
	e := &c.model.elements[h.Member]
	var u, kinks vec12
	for i, t := range c.model.ends(h.Member) {
		u[i] = sum(t, c.u)
	}
	var bend Vec // of the hinges before
	for _, o := range c.Mechanism {
		if o.Member != h.Member {
			continue
		}
		for i, v := range e.kinked(o.Station, o.Axis) {
			kinks[i] += o.Turn * v
		}
		if arm := h.Station - o.Station; arm > 0 {
			if o.Axis == MomentZ {
				bend[1] += o.Turn * arm
			} else {
				bend[2] -= o.Turn * arm
			}
		}
	}
	v := e.ownEnds(e.toLocal(u), kinks)
	at := Vec{v[0], v[1] + v[5]*h.Station, v[2] - v[4]*h.Station}
	return e.axes.from(at.add(bend))
}
