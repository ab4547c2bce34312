package analysis_test

import (
	"math"
	"slices"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// Loads off the rails, on infill, on posts and in a cone, with one another and with a breeze.

// besides are such loads; the letter that begins a load's name tells its direction, see wayVectors.
var besides = []struct {
	name  string
	loads []string
	raise []float64 // heights of the first loads, m
	fill  *barrier.Infill
	areas int           // so many of the first loads are on the area of the infill
	also  *loads.Action // of a schedule, on the posts or on top
	field bool
}{
	{name: "raised point and wind", loads: []string{"name = \"a\"\n" + own("point", "0.6 kN", "top", "outward")}, raise: []float64{1.5}, field: true},
	{name: "raised point and line", loads: []string{"name = \"a\"\n" + own("point", "0.6 kN", "top", "outward"), "name = \"b\"\n" + own("line", "0.4 kN/m", "top", "down")}, raise: []float64{1.5}},
	{name: "raised line and point", loads: []string{"name = \"a\"\n" + own("line", "0.6 kN/m", "top", "outward"), "name = \"c\"\n" + own("point", "0.8 kN", "knee", "across")}, raise: []float64{1.5}, field: true},
	{name: "low line and wind", loads: []string{"name = \"c\"\n" + own("line", "0.6 kN/m", "top", "across")}, raise: []float64{0.2}, field: true},
	{name: "infill of rails and point", loads: []string{"name = \"c\"\n" + own("line", "0.9 kN/m", "top", "across"), "name = \"b\"\n" + own("point", "0.8 kN", "top", "down")}, areas: 1, fill: &barrier.Infill{Bottom: 0.1, Top: 1.4}},
	{name: "infill of posts and wind", loads: []string{"name = \"a\"\n" + own("line", "0.9 kN/m", "top", "outward")}, areas: 1, fill: &barrier.Infill{Bottom: 0.1, Top: 1.4, Carrier: barrier.CarriedByPosts}, field: true},
	{name: "infill of posts and line", loads: []string{"name = \"a\"\n" + own("line", "0.9 kN/m", "top", "outward"), "name = \"b\"\n" + own("line", "0.4 kN/m", "top", "down")}, areas: 1, fill: &barrier.Infill{Bottom: 0.1, Top: 1.2, Carrier: barrier.CarriedByPosts}},
	{name: "weight on infill and line", loads: []string{"name = \"b\"\n" + own("line", "0.9 kN/m", "top", "down"), "name = \"a\"\n" + own("line", "0.4 kN/m", "top", "outward")}, areas: 1, fill: &barrier.Infill{Bottom: 0.1, Top: 1.2, Offset: 0.09}},
	{name: "post and wind", also: &loads.Action{Kind: loads.Point, Value: 700, Direction: "across", Target: loads.AnyPart}, field: true},
	{name: "post and line", loads: []string{"name = \"b\"\n" + own("line", "0.4 kN/m", "top", "down")}, also: &loads.Action{Kind: loads.Point, Value: 700, Direction: "across", Target: loads.AnyPart}},
	{name: "post and raised point", loads: []string{"name = \"a\"\n" + own("point", "0.5 kN", "top", "outward")}, raise: []float64{1.5}, also: &loads.Action{Kind: loads.Point, Value: 700, Direction: "across", Target: loads.AnyPart}},
	{name: "post and infill", loads: []string{"name = \"a\"\n" + own("line", "0.9 kN/m", "top", "outward")}, areas: 1, fill: &barrier.Infill{Bottom: 0.1, Top: 1.2, Carrier: barrier.CarriedByPosts}, also: &loads.Action{Kind: loads.Point, Value: 700, Direction: "across", Target: loads.AnyPart}},
	{name: "cone and line", loads: []string{"name = \"a\"\n" + own("line", "0.4 kN/m", "top", "outward")}, also: &loads.Action{Kind: loads.Point, Value: 900, Direction: loads.DownCone, Target: loads.AnyPart}},
}

// newBeside returns such loads on a small barrier.
func newBeside(t *testing.T, pairing int, p plan) *tried {
	t.Helper()
	x := &besides[pairing]
	p.loads = x.loads
	if len(p.loads) == 0 {
		p.loads = []string{own("point", "1 kN", "top", "down")}
	}
	if x.fill != nil {
		p = filled(p, *x.fill)
	}
	before := p.change
	p.change = func(d *barrier.Definition) {
		if before != nil {
			before(d)
		}
		d.Loads = d.Loads[:len(x.loads)]
		for i := range x.areas {
			d.Loads[i].Own.Kind = barrier.OwnArea
		}
		for i := range x.raise {
			d.Loads[i].Own.Height = &x.raise[i]
		}
		if x.also != nil {
			act := *x.also
			act.Name, act.Symbol, act.FirstYield = "load", "Q", 1
			d.Loads = append(d.Loads, barrier.Load{Name: "c", Schedule: &loads.Schedule{Name: "c", Family: loads.EN, Actions: []loads.Action{act}}})
		}
	}
	factors := []float64{1.5, 0.9}[:len(p.definition(t).Loads)]
	var fields []*analysis.Action
	if x.field {
		fields, factors = append(fields, breeze(solver.Vec{0, 80, -30}, nil)), append(factors, 0.8)
	}
	a := joinedOf(t, &p, fields, func(a *analysis.Action) bool { return a.Schedule == nil || a.Posts }, factors...)
	return &tried{a, newReference(t, a.Definition), map[bool][]float64{false: factors, true: slices.Repeat([]float64{1}, len(factors))}}
}

// At stations and along elements no places on a grid give more than those found, and what was
// found is what it says when it is solved again.
func TestBesidesAgainstBruteForce(t *testing.T) {
	t.Parallel()
	measures := []named{{"moment", analysis.Strength, moment}, {"interaction", analysis.Strength, interaction}, {"shear", analysis.Strength, shear}, {"across", analysis.Service, across}}
	for i, pairing := range besides {
		t.Run(pairing.name, func(t *testing.T) {
			x := newBeside(t, i, small(nil))
			const step, along = 25e-3, 100e-3
			for _, e := range []*analysis.Element{x.a.Post(0), x.a.Post(1), x.a.Rail(0), x.a.Rail(1)} {
				found := worst(x.a, e, measures)
				for _, q := range x.ref.members(e) {
					for k := range 3 {
						q.station, q.after = q.length*[3]float64{0, 0.37, 1}[k], k%2 == 1
						for m, brute := range x.bruteAt(q, measures, map[bool]float64{true: step, false: along}[k == 1]) {
							x.below(t, &measures[m], &found[m], q, brute)
						}
					}
				}
				for m := range measures {
					if !found[m].Found() {
						t.Errorf("%s: nothing found", measures[m].name)
						continue
					}
					if off, _, _ := x.a.Verify(&found[m]); !(off < 1e-9) {
						t.Errorf("%s: %s off by %.1e", measures[m].name, found[m].LoadIn(quantity.Metric), off)
					}
					stepsAround(t, x.a, &measures[m], &found[m])
				}
			}
		})
	}
}

// Bounds leave out nothing that could win, of two loads together either: with a bound of
// infinity the same is found.
func TestBoundsOfBesides(t *testing.T) {
	t.Parallel()
	for i, pairing := range besides {
		t.Run(pairing.name, func(t *testing.T) {
			x := newBeside(t, i, small(nil))
			for _, m := range strengthAndMovement() {
				open := analysis.Measure{Of: m.of, Bound: func(*analysis.State) float64 { return math.Inf(1) }}
				for _, e := range []*analysis.Element{x.a.Post(1), x.a.Rail(0)} {
					found := x.a.WorstAlong(e, m.level, []analysis.Measure{measure(m.of)})[0]
					every := x.a.WorstAlong(e, m.level, []analysis.Measure{open})[0]
					if every.Value > found.Value*(1+2*slack)+negligible(&m) {
						t.Errorf("%s: %.12g under %s, %.12g under %s without bounds", m.name, found.Value, found.LoadIn(quantity.Metric), every.Value, every.LoadIn(quantity.Metric))
					}
				}
			}
		})
	}
}
