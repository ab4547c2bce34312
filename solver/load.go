package solver

import (
	"fmt"
	"math"
	"slices"
)

// Case is one load case. Forces are in N, moments in N·m, lengths along a member
// in m from its start. Vectors are global unless Local is set.
type Case struct {
	Nodes       []NodeLoad
	Points      []PointLoad
	Lines       []LineLoad
	Gravity     Vec // acceleration on the members' masses, m/s²
	Settlements []Settlement
	Heats       []Heat
}

// NodeLoad is a force, N, and a moment, N·m, on a node, along and about the global axes.
type NodeLoad struct {
	Node          NodeID
	Force, Moment Vec
}

// PointLoad is a force, N, and a couple, N·m, on a member at station At, m, from 0 to the
// member's length: in global axes, or in those of the member where Local is set.
type PointLoad struct {
	Member        MemberID
	At            float64
	Force, Moment Vec
	Local         bool
}

// LineLoad is a force per length of member, N/m, varying linearly from Start at station From
// to End at station To, m; 0 ≤ From ≤ To ≤ the member's length. It is in global axes, or in
// those of the member where Local is set.
type LineLoad struct {
	Member     MemberID
	From, To   float64
	Start, End Vec
	Local      bool
}

// Settlement is a movement of the ground under a node, m or rad, of a freedom that is
// restrained or on a spring, along or about the node's own axes. Several add up.
type Settlement struct {
	Node    NodeID
	Freedom Freedom
	Value   float64
}

// Heat is a change of a member's temperature, the same all along it: Rise, K, on its
// axis, and Across, K/m, more for each metre along local y and z. A member whose far faces
// along y are a depth h apart and differ by dT has Across {dT/h, 0}. Several add up.
type Heat struct {
	Member MemberID
	Rise   float64
	Across [2]float64
}

// memberLoad is what acts on one member in a case, in local axes.
type memberLoad struct {
	points []PointLoad
	lines  []LineLoad
	warmth *warmth // nil when there is none

	ends   vec12 // once asked for: the end forces that do the same work
	worked bool
}

// warmth is what a change of temperature would do to a member that nothing holds.
type warmth struct {
	strain float64
	curl   Vec // turning per length about local y and z, rad/m
}

// held returns the axial force, N, and the couples, N·m, that would make a cold member
// strain and curl the same.
func (w *warmth) held(e *element) (force float64, couple Vec) {
	return e.ea * w.strain, Vec{0, e.eiy * w.curl[1], e.eiz * w.curl[2]}
}

// warmthOf returns the sum of what there is and of a change of temperature. A member that
// is warmer on its +y side grows longer there, and so turns backwards about z.
func (e *element) warmthOf(old *warmth, h *Heat) *warmth {
	out := &warmth{strain: e.warm * h.Rise, curl: Vec{0, e.warm * h.Across[1], -e.warm * h.Across[0]}}
	if old != nil {
		out.strain, out.curl = out.strain+old.strain, out.curl.add(old.curl)
	}
	return out
}

func (l *memberLoad) none() bool { return len(l.points) == 0 && len(l.lines) == 0 && l.warmth == nil }

// weight returns the own weight of a member as a line load.
func (e *element) weight(m MemberID, gravity Vec) LineLoad {
	w := e.axes.into(gravity.scale(e.mass))
	return LineLoad{Member: m, To: e.length, Start: w, End: w, Local: true}
}

func (s *Factored) memberLoads(c *Case) []memberLoad {
	out := make([]memberLoad, len(s.elements))
	s.loadMembers(out, c)
	s.loadWeights(out, nil, c.Gravity)
	return out
}

// loadMembers writes the loads of a case on the members, on which nothing acts yet, but for their weight.
func (s *Factored) loadMembers(out []memberLoad, c *Case) {
	for _, p := range c.Points {
		p.At = s.station(p.Member, p.At)
		if !p.Local {
			axes := &s.elements[p.Member].axes
			p.Force, p.Moment = axes.into(p.Force), axes.into(p.Moment)
		}
		out[p.Member].points = append(out[p.Member].points, p)
	}
	for _, l := range c.Lines {
		if !l.Local {
			l.Start, l.End = s.elements[l.Member].axes.into(l.Start), s.elements[l.Member].axes.into(l.End)
		}
		if l.From-l.To > 1e-6*s.elements[l.Member].length {
			panic(fmt.Sprintf("solver: a line load runs back from %g to %g", l.From, l.To))
		}
		l.From, l.To = s.station(l.Member, l.From), s.station(l.Member, l.To)
		if l.To > l.From {
			out[l.Member].lines = append(out[l.Member].lines, l)
		}
	}
	for i := range c.Heats {
		h := &c.Heats[i]
		out[h.Member].warmth = s.elements[h.Member].warmthOf(out[h.Member].warmth, h)
	}
}

// loadWeights adds the weights of the members to their loads. It returns them, written over those of a case that
// is done with.
func (s *Factored) loadWeights(out []memberLoad, weights []LineLoad, gravity Vec) []LineLoad {
	if gravity == (Vec{}) {
		return weights
	}
	weights = emptied(weights, len(s.elements))
	for id := range s.elements {
		e := &s.elements[id]
		if e.mass == 0 {
			continue
		}
		own := weights[id : id+1 : id+1]
		own[0] = e.weight(MemberID(id), gravity)
		if load := &out[id]; load.lines == nil {
			load.lines = own
		} else {
			load.lines = append(load.lines, own[0])
		}
		out[id].worked = false
	}
	return weights
}

// Check returns an *InputError for a case that makes no sense on the frame: a load off its
// member or with a number that is not finite, a settlement of what the ground does not
// hold. Solve takes such a case for the caller's bug and panics, where it does not give
// numbers that are not finite.
func (s *Factored) Check(c *Case) error {
	for _, n := range c.Nodes {
		if !s.frame.has(n.Node) || !n.Force.finite() || !n.Moment.finite() {
			return &InputError{"a load on a node that is not there, or not finite"}
		}
	}
	for _, p := range c.Points {
		if err := s.checkLoad(p.Member, p.At, p.At, p.Force, p.Moment); err != nil {
			return err
		}
	}
	for _, l := range c.Lines {
		if err := s.checkLoad(l.Member, l.From, l.To, l.Start, l.End); err != nil {
			return err
		}
	}
	for _, h := range c.Heats {
		if err := s.checkLoad(h.Member, 0, 0, Vec{h.Rise, h.Across[0], h.Across[1]}); err != nil {
			return err
		}
	}
	for _, q := range c.Settlements {
		if err := s.checkSettlement(q); err != nil {
			return err
		}
	}
	if !c.Gravity.finite() {
		return &InputError{"a gravity that is not finite"}
	}
	return nil
}

// checkLoad checks what acts on a member between two stations.
func (s *Factored) checkLoad(m MemberID, from, to float64, parts ...Vec) error {
	if m < 0 || int(m) >= len(s.elements) {
		return &InputError{fmt.Sprintf("a load on member %d, which is not there", m)}
	}
	x := &s.frame.members[m]
	name := memberName(&s.frame.nodes[x.Start], &s.frame.nodes[x.End])
	length := s.elements[m].length
	if !onMember(from, to, length) {
		return &InputError{fmt.Sprintf("%s has a load from %g to %g m, but is %g m long", name, from, to, length)}
	}
	for _, p := range parts {
		if !p.finite() {
			return &InputError{name + " has a load that is not finite"}
		}
	}
	return nil
}

func (s *Factored) checkSettlement(q Settlement) error {
	if !s.frame.has(q.Node) || q.Freedom < UX || q.Freedom > RZ {
		return &InputError{"a settlement of a freedom that is not there"}
	}
	n := &s.frame.nodes[q.Node]
	if !n.fixed[q.Freedom] && n.spring[q.Freedom] == 0 {
		return &InputError{fmt.Sprintf("node %s has a settlement in %v, which the ground does not hold", n.label, q.Freedom)}
	}
	if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) {
		return &InputError{"node " + n.label + " has a settlement that is not finite"}
	}
	return nil
}

// station returns x, brought onto the member where rounding has put it just
// past an end. A load or a section that stands off its member is the caller's bug.
func (s *Factored) station(m MemberID, x float64) float64 {
	length := s.elements[m].length
	if !onMember(x, x, length) {
		panic(fmt.Sprintf("solver: station %g m stands off a member %g m long", x, length))
	}
	return min(max(x, 0), length)
}

// onMember reports whether a length of a member, from one station to another, lies on it but
// for rounding.
func onMember(from, to, length float64) bool {
	rounding := 1e-6 * length
	return from >= -rounding && from <= to+rounding && to <= length+rounding
}

// isEven reports whether the load is the same all along it.
func (l *LineLoad) isEven() bool { return l.Start == l.End }

func (l *LineLoad) at(x float64) Vec {
	t := (x - l.From) / (l.To - l.From)
	return l.Start.scale(1 - t).add(l.End.scale(t))
}

// eachPoint visits the Gauss points between two stations of the load, each with the force,
// N, that stands for the load there.
func (l *LineLoad) eachPoint(from, to float64, visit func(x float64, force Vec)) {
	if l.isEven() {
		gaussTwo.each(from, to, func(x, length float64) { visit(x, l.Start.scale(length)) })
		return
	}
	gaussThree.each(from, to, func(x, length float64) { visit(x, l.at(x).scale(length)) })
}

// equivalent returns the loads as end forces that do the same work, local axes.
func (l *memberLoad) equivalent(e *element) *vec12 {
	if !l.worked {
		l.worked = true
		if !l.none() {
			l.ends = l.work(e)
		}
	}
	return &l.ends
}

func (l *memberLoad) work(e *element) (out vec12) {
	shape := e.forceShapes()
	for i := range l.points {
		p := &l.points[i]
		shape.add(&out, p.At, &p.Force)
		if p.Moment != (Vec{}) {
			all := e.shapes()
			for k := range out {
				for d := range all[k] {
					out[k] += e.couple(d, &all[k][d], p.At, p.Moment)
				}
			}
		}
	}
	for i := range l.lines {
		q := &l.lines[i]
		q.eachPoint(q.From, q.To, func(x float64, force Vec) { shape.add(&out, x, &force) })
	}
	if l.warmth != nil {
		force, couple := l.warmth.held(e)
		for i, v := range [6]float64{force, 0, 0, 0, couple[1], couple[2]} {
			out[i] -= v
			out[6+i] += v
		}
	}
	return out
}

// breaks returns the stations at which a load begins, ends or stands, with both
// ends of the member, in order and each once.
func (l *memberLoad) breaks(length float64) []float64 {
	out := append(make([]float64, 0, 2+len(l.points)+2*len(l.lines)), 0, length)
	for _, p := range l.points {
		out = append(out, p.At)
	}
	for _, q := range l.lines {
		out = append(out, q.From, q.To)
	}
	slices.Sort(out)
	return slices.Compact(out)
}
