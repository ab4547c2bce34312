package solver

import (
	"fmt"
	"slices"
)

// Case is one load case. Forces are in N, moments in N·m, lengths along a member
// in m from its start. Vectors are global unless Local is set.
type Case struct {
	Nodes   []NodeLoad
	Points  []PointLoad
	Lines   []LineLoad
	Gravity Vec // acceleration on the members' masses, m/s²
}

// NodeLoad is a force and a moment on a node.
type NodeLoad struct {
	Node          NodeID
	Force, Moment Vec
}

// PointLoad is a force on a member at station At, from 0 to the member's length.
type PointLoad struct {
	Member MemberID
	At     float64
	Force  Vec
	Local  bool
}

// LineLoad is a force per length of member, varying linearly from Start at
// station From to End at station To, N/m; 0 ≤ From ≤ To ≤ the member's length.
type LineLoad struct {
	Member     MemberID
	From, To   float64
	Start, End Vec
	Local      bool
}

// memberLoad is what acts on one member in a case, in local axes.
type memberLoad struct {
	points []PointLoad
	lines  []LineLoad
}

func (s *Factored) memberLoads(c *Case) []memberLoad {
	out := make([]memberLoad, len(s.elements))
	for _, p := range c.Points {
		p.At = s.station(p.Member, p.At)
		if !p.Local {
			p.Force = s.elements[p.Member].axes.into(p.Force)
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
	if c.Gravity != (Vec{}) {
		for id := range s.elements {
			e := &s.elements[id]
			if e.mass == 0 {
				continue
			}
			w := e.axes.into(c.Gravity.scale(e.mass))
			out[id].lines = append(out[id].lines, LineLoad{Member: MemberID(id), To: e.length, Start: w, End: w, Local: true})
		}
	}
	return out
}

// station returns x, brought onto the member where rounding has put it just
// past an end. A load that stands off its member is the caller's bug.
func (s *Factored) station(m MemberID, x float64) float64 {
	length := s.elements[m].length
	if rounding := 1e-6 * length; !(x >= -rounding && x <= length+rounding) {
		panic(fmt.Sprintf("solver: a load at %g m stands off a member %g m long", x, length))
	}
	return min(max(x, 0), length)
}

func (l *LineLoad) at(x float64) Vec {
	t := (x - l.From) / (l.To - l.From)
	return l.Start.scale(1 - t).add(l.End.scale(t))
}

// Gauss points of three on (-1, 1): exact to the fifth degree, and a linear load
// on a cubic shape is of the fourth. Source: Abramowitz and Stegun, Table 25.4.
var gauss = [3][2]float64{{-0.774596669241483377, 5.0 / 9}, {0, 8.0 / 9}, {0.774596669241483377, 5.0 / 9}}

// eachPoint visits the Gauss points between two stations of the load, each with the force,
// N, that stands for the load there.
func (l *LineLoad) eachPoint(from, to float64, visit func(x float64, force Vec)) {
	mid, half := 0.5*(from+to), 0.5*(to-from)
	for _, g := range gauss {
		x := mid + half*g[0]
		visit(x, l.at(x).scale(g[1]*half))
	}
}

// equivalent returns the loads as end forces that do the same work, local axes.
func (l *memberLoad) equivalent(e *element) vec12 {
	var out vec12
	if len(l.points) == 0 && len(l.lines) == 0 {
		return out
	}
	shape := shapes(e.length)
	add := func(x float64, p Vec) {
		for i, v := range equivalent(&shape, x, p) {
			out[i] += v
		}
	}
	for _, p := range l.points {
		add(p.At, p.Force)
	}
	for i := range l.lines {
		q := &l.lines[i]
		q.eachPoint(q.From, q.To, add)
	}
	return out
}

// breaks returns the stations at which a load begins, ends or stands, with both
// ends of the member, in order and each once.
func (l *memberLoad) breaks(length float64) []float64 {
	out := []float64{0, length}
	for _, p := range l.points {
		out = append(out, p.At)
	}
	for _, q := range l.lines {
		out = append(out, q.From, q.To)
	}
	slices.Sort(out)
	return slices.Compact(out)
}
