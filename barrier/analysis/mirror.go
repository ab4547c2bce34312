package analysis

import "math"

// A load that is free to turn often has twins: turned round across the run or along it, it
// does the same to a barrier that is alike on both sides. Which of them a search meets
// first is rounding's choice, so the one that is told is chosen here: outward rather than
// inward, towards the end rather than the start, down rather than up; and a direction that
// is one of the axes but for rounding is that axis.

// onAxis is the part of a unit vector, below which a component is rounding where the
// measure does not miss it.
const onAxis = 1e-4

// twins puts the chosen twin in the place of each load that is free to turn.
func (a *Analysis) twins(queries []Query, found [][]Placed) {
	for q := range found {
		for m := range found[q] {
			if p := &found[q][m]; p.Found() {
				a.chooseTwins(&queries[q].Measures[m], p)
			}
		}
	}
}

// chooseTwins turns a placed load, and one that is placed beside it.
func (a *Analysis) chooseTwins(m *Measure, p *Placed) {
	if p.isStill() {
		return
	}
	if p.Placement.Action.fixed == nil {
		a.chooseTwin(m, p)
	}
	if k := p.second(); k >= 0 && p.Beside[k].Action.fixed == nil {
		other := p.exchanged(k)
		a.chooseTwin(m, &other)
		p.takeBack(&other, k)
	}
}

// chooseTwin turns a placed load to the twin that is told.
func (a *Analysis) chooseTwin(m *Measure, p *Placed) {
	again, after := a.standAgain(p)
	for _, way := range preferred(p.Placement.Action, p.Placement.Way) {
		st, ok := again(way)
		if !ok {
			return
		}
		a.trial = st
		if v := m.Of(&a.trial); v >= p.Value-tie*math.Abs(p.Value) {
			p.Value, p.State, p.Placement.Way, p.After = v, st, way, after
			return
		}
	}
}

// preferred returns the twins of a way, the one to be told first.
func preferred(act *Action, way [3]float64) [][3]float64 {
	directions := len(act.basis)
	var sign [3]float64 // of the component that is told
	for d := range directions {
		switch b := act.basis[d]; {
		case b[1] != 0:
			sign[d] = act.outward * b[1]
		case b[2] != 0:
			sign[d] = -b[2]
		default:
			sign[d] = b[0]
		}
	}
	var out [][3]float64
	for _, from := range [2][3]float64{onAxes(way), way} {
		for flips := range 1 << directions {
			w := from
			for d := range directions {
				w[d] = math.Abs(w[d]) * sign[d]
				if flips>>d&1 == 1 {
					w[d] = -w[d]
				}
			}
			out = append(out, w)
		}
	}
	return out
}

// onAxes returns a way without the components that are rounding.
func onAxes(way [3]float64) [3]float64 {
	size := 0.0
	for d := range way {
		if math.Abs(way[d]) < onAxis {
			way[d] = 0
		}
		size += way[d] * way[d]
	}
	for d := range way {
		way[d] /= math.Sqrt(size)
	}
	return way
}

// standAgain returns the state at a placed load's section as a function of the way it
// points, and whether the section lies just after it; not ok where the load's place is not found
// again.
func (a *Analysis) standAgain(p *Placed) (again func(way [3]float64) (State, bool), after bool) {
	action := a.indexOf(p.Placement.Action)
	v := a.section(p.Probe, p.Station, action)
	var room [4]share
	added, factor := p.Probe.addedAt(a.standsBeside(room[:0], p.Probe, p.Combination, &p.Placement, p.Beside), p.Station), p.Combination.Variable
	if !p.Placement.Action.Point {
		return func(way [3]float64) (State, bool) {
			c := added
			unit := v.pattern(p.Placement.Lengths, p.Placement.Whole, &way).unit
			for k := range c {
				c[k] += factor * unit[k]
			}
			return c.state(), true
		}, p.After
	}
	piece := a.pieceOf(v, p, factor, &added)
	if piece >= 0 {
		after = v.isPast(&v.lines[v.active[0]].Pieces[piece])
	}
	return func(way [3]float64) (State, bool) {
		if piece < 0 {
			return State{}, false
		}
		return v.at(piece, p.Placement.X, factor, &way, &added), true
	}, after
}

// pieceOf returns the piece of a section's influence lines on which a placed point load
// stands: of two that meet there the one that gave its state; -1 for none.
func (a *Analysis) pieceOf(v *section, p *Placed, factor float64, added *components) int {
	if len(v.active) == 0 {
		return -1
	}
	const near = 1e-9 // m
	at, least := -1, math.Inf(1)
	for i, piece := range v.lines[v.active[0]].Pieces {
		if piece.Stretch != p.Placement.Stretch || p.Placement.X < piece.From-near || p.Placement.X > piece.To+near {
			continue
		}
		st, off := v.at(i, p.Placement.X, factor, &p.Placement.Way, added), 0.0
		got, want := st.components(), p.State.components()
		for k := range got {
			off += math.Abs(got[k] - want[k])
		}
		if off < least {
			at, least = i, off
		}
	}
	return at
}
