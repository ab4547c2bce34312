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
	adding := func(side *[3]cubic) func(x float64, f Vec) {
		return func(x float64, f Vec) {
			for d := range 3 {
				v += f[d] * side[d].at(x)
			}
		}
	}
	before, after := adding(&o.before), adding(&o.after)
	for _, p := range l.points {
		if p.At < o.station {
			before(p.At, p.Force)
		} else {
			after(p.At, p.Force)
		}
	}
	for i := range l.lines {
		q := &l.lines[i]
		if to := math.Min(q.To, o.station); to > q.From {
			q.eachPoint(q.From, to, before)
		}
		if from := math.Max(q.From, o.station); from < q.To {
			q.eachPoint(from, q.To, after)
		}
	}
	return v
}

// Weight returns the weight per length of a member under an acceleration, in
// local axes, N/m.
func (s *Factored) Weight(m MemberID, gravity Vec) Vec {
	e := &s.elements[m]
	return e.axes.into(gravity.scale(e.mass))
}
