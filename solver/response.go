package solver

import "math"

// Value returns a response in a solved load case. A point load that stands at
// the response's own section counts as just after it, as in Diagram.Before.
func (r *Solution) Value(q Response) float64 {
	v := sum(q.terms, r.u)
	for i := range q.own {
		v += q.own[i].under(&r.loads[q.own[i].member])
	}
	return v
}

// under returns what the loads on the member do to the response beyond the
// nodes' movements.
func (o *ownTerm) under(l *memberLoad) float64 {
	v := 0.0
	add := func(x float64, f Vec, side *[3]cubic) {
		for d := range 3 {
			v += f[d] * side[d].at(x)
		}
	}
	for _, p := range l.points {
		if p.At < o.station {
			add(p.At, p.Force, &o.before)
		} else {
			add(p.At, p.Force, &o.after)
		}
	}
	for i := range l.lines {
		q := &l.lines[i]
		o.underLine(q, q.From, math.Min(q.To, o.station), &o.before, add)
		o.underLine(q, math.Max(q.From, o.station), q.To, &o.after, add)
	}
	return v
}

func (o *ownTerm) underLine(q *LineLoad, from, to float64, side *[3]cubic, add func(float64, Vec, *[3]cubic)) {
	if to <= from {
		return
	}
	mid, half := 0.5*(from+to), 0.5*(to-from)
	for _, g := range gauss {
		x := mid + half*g[0]
		add(x, q.at(x).scale(g[1]*half), side)
	}
}

// Weight returns the weight per length of a member under an acceleration, in
// local axes, N/m.
func (s *Factored) Weight(m MemberID, gravity Vec) Vec {
	e := &s.elements[m]
	return e.axes.into(gravity.scale(e.mass))
}
