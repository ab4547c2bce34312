package solver

import (
	"fmt"
	"math"
	"strconv"
)

// Divided is a frame whose members are cut into equal parts. Nodes keep their numbers and
// those between the parts come after them; each member is a row of parts.
type Divided struct {
	Frame  *Frame
	rows   [][]MemberID
	starts [][]float64 // of the parts: stations on the member, m, and its length after the last
}

// Divide returns the frame with some members, or all where none is named, cut into n equal
// parts. End ties and offsets stay at the ends of the member. A member cut into n parts has
// the same linear answers; in second order, critical loads and vibration it follows its true
// shape more closely. It panics where n is less than 1.
func (f *Frame) Divide(n int, members ...MemberID) *Divided {
	if n < 1 {
		panic(fmt.Sprintf("solver: a member divided into %d parts", n))
	}
	parts := make([]int, len(f.members))
	for id := range parts {
		parts[id] = 1
		if len(members) == 0 {
			parts[id] = n
		}
	}
	for _, m := range members {
		parts[m] = n
	}
	all := 0
	for _, n := range parts {
		all += n
	}
	d := &Divided{Frame: f.clone()}
	d.Frame.members = nil
	d.Frame.Grow(all-len(f.members), all, 0)
	for id, m := range f.members {
		d.cut(m, f.Length(MemberID(id)), parts[id])
	}
	return d
}

// cut adds a member of the undivided frame in n parts.
func (d *Divided) cut(m Member, length float64, n int) {
	from, to := d.Frame.Position(m.Start).add(m.Offsets[0]), d.Frame.Position(m.End).add(m.Offsets[1])
	labels := [2]string{d.Frame.nodes[m.Start].label, d.Frame.nodes[m.End].label}
	var row []MemberID
	var starts []float64
	near := m.Start
	for i := range n {
		part := m
		part.Start, part.Ends = near, nil
		if i > 0 {
			part.Offsets[0] = Vec{}
		}
		if i < n-1 {
			part.Offsets[1] = Vec{}
			t := float64(i+1) / float64(n)
			label := strconv.Itoa(i+1) + "/" + strconv.Itoa(n) + " from " + labels[0] + " to " + labels[1]
			part.End = d.Frame.Node(label, from.scale(1-t).add(to.scale(t)))
		}
		for _, tie := range m.Ends {
			if tie.End == 0 && i == 0 || tie.End == 1 && i == n-1 {
				part.Ends = append(part.Ends, tie)
			}
		}
		row = append(row, d.Frame.Member(part))
		starts = append(starts, length*float64(i)/float64(n))
		near = part.End
	}
	d.rows, d.starts = append(d.rows, row), append(d.starts, append(starts, length))
}

// Parts returns the parts of a member of the undivided frame, from its start.
func (d *Divided) Parts(m MemberID) []MemberID { return d.rows[m] }

// At returns the part on which a station of a member of the undivided frame stands, m from
// its start, and the station on that part. Between two parts it is the start of the second.
func (d *Divided) At(m MemberID, station float64) (MemberID, float64) {
	i := len(d.rows[m]) - 1
	for i > 0 && d.starts[m][i] > station {
		i--
	}
	return d.rows[m][i], station - d.starts[m][i]
}

// Start returns the node at which a part starts.
func (d *Divided) Start(part MemberID) NodeID { return d.Frame.members[part].Start }

// Case returns a case of the undivided frame on the parts.
func (d *Divided) Case(c Case) Case {
	out := c
	out.Points, out.Lines, out.Heats = nil, nil, nil
	for _, p := range c.Points {
		p.Member, p.At = d.At(p.Member, d.onto(p.Member, p.At))
		out.Points = append(out.Points, p)
	}
	for _, l := range c.Lines {
		out.Lines = append(out.Lines, d.line(l)...)
	}
	for _, h := range c.Heats {
		for _, part := range d.rows[h.Member] {
			h.Member = part
			out.Heats = append(out.Heats, h)
		}
	}
	return out
}

// line returns a line load on the parts that it reaches. What stands off the member stays
// so on the part beside it, and a load that runs back stays so on one part: Check and Solve
// see it there.
func (d *Divided) line(l LineLoad) []LineLoad {
	l.From, l.To = d.onto(l.Member, l.From), d.onto(l.Member, l.To)
	if !(l.From < l.To) {
		length := l.To - l.From
		l.Member, l.From = d.At(l.Member, l.From)
		l.To = l.From + length
		return []LineLoad{l}
	}
	var out []LineLoad
	starts := d.starts[l.Member]
	for i, part := range d.rows[l.Member] {
		from, to := l.From, l.To
		if i > 0 {
			from = math.Max(from, starts[i])
		}
		if i+2 < len(starts) {
			to = math.Min(to, starts[i+1])
		}
		if from < to {
			out = append(out, LineLoad{Member: part, From: from - starts[i], To: to - starts[i], Start: l.at(from), End: l.at(to), Local: l.Local})
		}
	}
	return out
}

// onto returns a station, brought onto the member where rounding has put it just past an end.
func (d *Divided) onto(m MemberID, x float64) float64 {
	if length := d.starts[m][len(d.starts[m])-1]; onMember(x, x, length) {
		return min(max(x, 0), length)
	}
	return x
}

// Diagram joins the diagrams of a member's parts into that of the member of the undivided
// frame. The answer, in first or in second order, is of the divided frame.
func (d *Divided) Diagram(answer interface{ Diagram(MemberID) *Diagram }, m MemberID) *Diagram {
	out := &Diagram{Breaks: []float64{0}}
	for i, part := range d.rows[m] {
		p := answer.Diagram(part)
		for k, b := range p.Breaks[1:] {
			out.Breaks = append(out.Breaks, d.starts[m][i]+b)
			out.pieces = append(out.pieces, p.pieces[k])
		}
		out.Breaks[len(out.Breaks)-1] = d.starts[m][i+1]
	}
	return out
}
