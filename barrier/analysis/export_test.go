package analysis

import (
	"math"

	"example.com/stanchion/solver"
)

// WorstOneWay returns the largest value of a measure at a station for one action
// that points along n alone, over its directions: the search of places and
// lengths without that of ways.
func (a *Analysis) WorstOneWay(p *Probe, s float64, action int, l Level, m Measure, n [3]float64) float64 {
	return a.PlacedOneWay(p, s, action, l, m, n).Value
}

// PlacedOneWay returns the same with where it stands.
func (a *Analysis) PlacedOneWay(p *Probe, s float64, action int, l Level, m Measure, n [3]float64) Placed {
	permanent := p.underPermanent(s)
	v := a.section(p, s, action)
	best := []Placed{{Value: math.Inf(-1), floored: true}}
	for _, c := range a.combinations(action, l) {
		h := hunt{a: a, v: v, combination: c, measures: []Measure{m}, best: best, how: fine, visit: &visit{}}
		h.added = scaled(&permanent, c.Permanent)
		if a.Actions[action].Point {
			h.pointsWith(&n)
		} else {
			h.keep(0, h.lineWith(0, &n))
		}
	}
	return best[0]
}

// MostOfLimits returns how much of its bound a component reaches at most under an
// action's line load, over ways and lengths adverse to random mixes of components.
func (a *Analysis) MostOfLimits(p *Probe, s float64, action int, random func() float64) float64 {
	w := newSweep(a.section(p, s, action), nil)
	w.setLimits()
	most := 0.0
	for range 100 {
		var slope components
		var n [3]float64
		for _, k := range w.active {
			if w.limit[k] > 0 {
				slope[k] = random() * random() * random() / w.limit[k]
			}
		}
		for d := range w.nd {
			n[d] = random()
		}
		w.lean(&slope)
		l, _ := w.settle(&slope, unit(n), 5)
		for _, k := range w.active {
			if w.limit[k] > 0 {
				most = max(most, math.Abs(l.unit[k])/w.limit[k])
			}
		}
	}
	return most
}

// ReadDirectly and ReadByBlocks have influence lines read in one way, whatever the length
// of the run; before any is read. ReadByBlocks reports whether that can be done.
func (a *Analysis) ReadDirectly() {
	for i, act := range a.Actions {
		a.influences[i] = a.model.Influence(a.chains[i], act.basis...)
	}
}

func (a *Analysis) ReadByBlocks() (ok bool) {
	for i, act := range a.Actions {
		if a.influences[i], ok = a.model.InfluenceByBlocks(a.chains[i], act.basis...); !ok {
			return false
		}
	}
	return true
}

// ReadsByBlocks reports whether every chain's lines are read by blocks.
func (a *Analysis) ReadsByBlocks() bool {
	for _, in := range a.influences {
		if _, ok := in.(*solver.BlockInfluence); !ok {
			return false
		}
	}
	return true
}
