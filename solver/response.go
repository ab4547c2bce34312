package solver

import "math"

// Value returns a response in a solved load case. A point load that stands at
// the response's own section counts as just after it, as in Diagram.Before.
func (r *Solution) Value(q Response) float64 {
	v := sum(q.terms, r.u)
	for i := range q.own {
		m := q.own[i].member
		v += q.own[i].under(r.loadOn(m), &r.model.elements[m])
	}
	return v
}

// under returns what the loads on the member do to the response beyond the
// nodes' movements.
func (o *ownTerm) under(l *memberLoad, e *element) float64 {
	v := 0.0
	for _, p := range l.points {
		side := &o.after
		if p.At < o.station {
			side = &o.before
		}
		if o.direction < about {
			v += p.Force[o.direction] * side.at(p.At)
		}
		if p.Moment != (Vec{}) {
			v += e.couple(o.direction, side, p.At, p.Moment)
		}
	}
	before := func(x float64, f Vec) { v += f[o.direction] * o.before.at(x) }
	after := func(x float64, f Vec) { v += f[o.direction] * o.after.at(x) }
	for i := range l.lines {
		q := &l.lines[i]
		if o.direction == about || q.Start[o.direction] == 0 && q.End[o.direction] == 0 {
			continue
		}
		if to := math.Min(q.To, o.station); to > q.From {
			q.eachPoint(q.From, to, before)
		}
		if from := math.Max(q.From, o.station); from < q.To {
			q.eachPoint(from, q.To, after)
		}
	}
	if l.warmth != nil {
		v += o.underWarmth(l.warmth, e)
	}
	return v
}

// underWarmth returns what a change of temperature does to the response. Of a short length
// it does what a force and a couple on one side of it do, and the opposite ones on the
// other; over the member these add up to what they do at its ends and on the two sides of
// the section.
func (o *ownTerm) underWarmth(w *warmth, e *element) float64 {
	force, couple := w.held(e)
	do := func(side *cubic, x float64) float64 {
		if o.direction == 0 {
			return force * side.at(x)
		}
		return e.couple(o.direction, side, x, couple)
	}
	cut := math.Min(o.station, e.length)
	return do(&o.before, cut) - do(&o.before, 0) + do(&o.after, e.length) - do(&o.after, cut)
}

// Warmed returns what a change of temperature would do to its member if nothing held it: the
// strain, and the turning per length about local y and z, rad/m.
func (s *Factored) Warmed(h Heat) (strain float64, curl [2]float64) {
	w := s.elements[h.Member].warmthOf(nil, &h)
	return w.strain, [2]float64{w.curl[1], w.curl[2]}
}

// Weight returns the weight per length of a member under an acceleration, in
// local axes, N/m.
func (s *Factored) Weight(m MemberID, gravity Vec) Vec {
	e := &s.elements[m]
	return e.axes.into(gravity.scale(e.mass))
}
