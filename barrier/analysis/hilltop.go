package analysis

import "math"

// A measure often peaks where another does, and several samples stand on one hill. From the foot of
// a hill whose top is known nothing is climbed again: the top is the start.

// hilltop is where a point load that may not turn was polished to for a measure.
type hilltop struct {
	q, m        int // which measure's
	probe       *Probe
	action      *Action
	combination *Combination
	stretch     int
	way         [3]float64
	after, met  bool    // the section lies just after the load; or stands at it, and both sides were tried
	s, x        float64 // station and place of the load, m
}

// climb polishes a peak of a measure. It reports false where the peak stands on a hill whose top
// was found already.
func (k *peakSearch) climb(q, m int, peak *Placed) bool {
	of := &k.queries[q].Measures[m]
	if !peak.isOnePoint() {
		k.a.polish(of, peak)
		return true
	}
	var start *hilltop // of another measure
	for i := range k.hilltops {
		top := &k.hilltops[i]
		switch own := top.q == q && top.m == m; {
		case !own && start != nil || !top.isOf(peak) || !k.a.leadsTo(top, of, peak):
		case own:
			return false
		default:
			start = top
		}
	}
	if start != nil {
		k.a.standOn(of, peak, start)
	}
	k.a.polish(of, peak)
	k.hilltops = append(k.hilltops, hilltop{
		q: q, m: m, probe: peak.Probe, action: peak.Placement.Action, combination: peak.Combination, stretch: peak.Placement.Stretch,
		way: peak.Placement.Way, after: peak.After, met: k.a.standsAtSection(peak.Probe, peak.Station, &peak.Placement), s: peak.Station, x: peak.Placement.X,
	})
	return true
}

// isOnePoint reports whether one point load was placed, one that may not turn.
func (p *Placed) isOnePoint() bool {
	act := p.Placement.Action
	return act != nil && act.Field == nil && act.Point && act.fixed != nil && p.second() < 0
}

// isOf reports whether a placed load is the one of a hilltop, on its stretch and as it points, and
// its section on the same member.
func (t *hilltop) isOf(p *Placed) bool {
	at := &p.Placement
	return t.probe == p.Probe && t.action == at.Action && t.stretch == at.Stretch && t.way == at.Way && *t.combination == *p.Combination
}

// leadsTo reports whether a measure nowhere falls on the straight way from a placed load and its
// section to a hilltop on the same side of the load: a valley may lie under it.
func (a *Analysis) leadsTo(top *hilltop, m *Measure, p *Placed) bool {
	w, o := a.walkTo(p)
	to := w.spotOf(top)
	if o.after != to.after && !top.met {
		return false
	}
	last := p.Value
	const parts = 4
	ds, dt := (to.s-o.s)/parts, (to.t-o.t)/parts
	for i := range parts {
		if o.s, o.t = o.s+ds, o.t+dt; i == parts-1 {
			o = to
		}
		v := w.value(m, &o)
		if v < last-tie*math.Abs(last) {
			return false
		}
		last = v
	}
	return true
}

// spotOf returns the spot of a hilltop.
func (w *walk) spotOf(t *hilltop) spotOn {
	from, _ := w.a.chains[w.action].Ends(t.stretch)
	return spotOn{s: t.s, stretch: t.stretch, t: t.x - from, after: t.after, n: t.way}
}

// standOn puts a placed load and its section where those of a hilltop are, when that gains.
func (a *Analysis) standOn(m *Measure, p *Placed, t *hilltop) {
	w, _ := a.walkTo(p)
	o := w.spotOf(t)
	if v := w.value(m, &o); Beats(v, p.Value) {
		w.set(o, w.state(&o), v, p)
	}
}
