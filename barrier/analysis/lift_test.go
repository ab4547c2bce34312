package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
)

// raised gives the own loads of a plan a height, m.
func raised(p plan, z float64) plan {
	before := p.change
	p.change = func(d *barrier.Definition) {
		if before != nil {
			before(d)
		}
		for i := range d.Loads {
			d.Loads[i].Own.Height = &z
		}
	}
	return p
}

// A lone post under a load above its rail: moment P h at its foot for the height h of the load,
// and P (h - z) just below the rail (statics).
func TestLonePostUnderALoadAboveItsRail(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const force = 900.0
	for _, h := range []float64{1.4, 0.7, 0.2} {
		p := raised(oneRail(evenly(3, 1.2), 1.1, 60e3, own("point", "0.9 kN", "top", "outward")), h)
		p.rails[0].cut = true
		p.rails = append(p.rails, railPlan{name: "knee", height: 0.5, cut: true})
		d := p.definition(t)
		stiffen(&d.Rails[0].Member, 1e-9)
		stiffen(&d.Rails[1].Member, 1e-9)
		a := ready(t, d)
		for i := range 3 {
			(&row{fmt.Sprintf("load at %g m, post %d, base moment, Nm", h, i+1), "P h, statics", foot(a, i, moment).Value, force * h, 1e-6 * force}).outside(t, record, "load above its rail")
		}
		if h < 1.1 {
			continue
		}
		top := a.Post(1).Probes[len(a.Post(1).Probes)-1]
		under := a.Worst(top, top.Length, analysis.Service, measure(moment))
		(&row{"moment below the rail, Nm", "P (h - z), statics", under.Value, force * (h - 1.1), 1e-6 * force}).outside(t, record, "load above its rail")
	}
}

// A load straight down has no arm about the axis of its rail, however high it stands (statics).
func TestLoadDownAboveTheRailsHasNoCouple(t *testing.T) {
	p := raised(oneRail(evenly(3, 1.2), 1.1, 60e3, own("point", "0.9 kN", "top", "down")), 1.5)
	actions, notes := analysis.Actions(p.definition(t))
	if lift := actions[0].Lift; lift != 0 {
		t.Errorf("a couple of force times %g m", lift)
	}
	said(t, notes, "load 1 acts at 1.500 m, above top rail, whose axis is at 1.100 m: it stands on that axis")
}

// Wherever a load stands, the moments of all feet together are load times its height (statics).
func TestLoadOffTheRailsTurnsAboutTheFeet(t *testing.T) {
	record := verification.New(t, verification.Placement)
	r := rand.New(rand.NewPCG(80, 0))
	for seed := range uint64(6) {
		p := randomPlan(rand.New(rand.NewPCG(80, seed)), own("point", "0.9 kN", "top", "outward"))
		p.level, p.foot = 0, math.Inf(1)
		h := []float64{1.7, 0.06}[seed%2]
		p = raised(p, h)
		a := ready(t, p.definition(t))
		for range 5 {
			x := a.Definition.Run.Posts[len(a.Definition.Run.Posts)-1] * r.Float64()
			found := a.Worst(a.Post(0).Probes[0], 0, analysis.Service, measure(moment))
			found.Placement.X = x
			for st, end := range newReference(t, a.Definition).stretches(a.Actions[0]) {
				if x >= end[0] && x <= end[1] {
					found.Placement.Stretch = st
				}
			}
			(&row{fmt.Sprintf("seed %d, x = %.3f, moments of all feet, Nm", seed, x), "load times height, statics", math.Abs(footMoments(a, &found)), 900 * h, 1e-6 * 900}).outside(t, record, "load off the rails, random barriers")
		}
	}
}

// Such loads against brute force, whose couples are worked out from the diagrams of each rail.
func TestLoadOffTheRailsAgainstBruteForce(t *testing.T) {
	t.Parallel()
	plans := map[string]plan{}
	for i, word := range []string{"across", "along"} {
		plans[word] = raised(randomPlan(rand.New(rand.NewPCG(81, uint64(i))), own("point", "0.9 kN", "top", word)), []float64{1.5, 0.08}[i])
	}
	for _, name := range []string{"dressed", "corner gap", "walls"} {
		plans[name] = raised(bentPlans(own("point", "0.9 kN", "top", "outward"))[name], 1.6)
	}
	for name, p := range plans {
		word := "outward"
		if name == "across" || name == "along" {
			word = name
		}
		t.Run(name, func(t *testing.T) {
			if testing.Short() && name != "across" && name != "corner gap" {
				t.Skip("short")
			}
			againstBruteForceOf(t, &p, func(*analysis.Action) bool { return true }, word, strengthAndMovement(), grids{step: 0.15, turn: 1, best: 1})
		})
	}
	t.Run("line", func(t *testing.T) {
		_, vectors := ways("outward", 1)
		p := raised(randomPlan(rand.New(rand.NewPCG(82, 0)), own("line", "0.74 kN/m", "top", "outward")), 1.5)
		lineAgainstBruteForce(t, &p, vectors, 0.3, 0.15, rand.New(rand.NewPCG(83, 0)))
	})
}

// By blocks and directly the same is found for loads on posts and off the rails.
func TestBothWaysOffTheRails(t *testing.T) {
	r := rand.New(rand.NewPCG(84, 0))
	for name, of := range map[string]func(plan) plan{
		"off the rails": func(p plan) plan { return raised(p, 1.5) },
		"on posts": func(p plan) plan {
			return scheduled(p, anyPart(300, "outward"))
		},
		"infill of posts": func(p plan) plan {
			return scheduled(filled(p, barrier.Infill{Bottom: 0.1, Top: 1.4, Carrier: barrier.CarriedByPosts}), area(800, "outward"))
		},
	} {
		p := benchmarkPlan(30, own("point", "0.9 kN", "top", "outward"))
		for i := range p.posts {
			p.posts[i] += between(r, 0, 0.3)
		}
		p.posts[0] = 0
		p = of(p)
		last := func(a *analysis.Analysis) *analysis.Analysis { return a }
		direct, blocks := last(ready(t, p.definition(t))), last(ready(t, p.definition(t)))
		direct.ReadDirectly()
		if !blocks.ReadByBlocks() {
			t.Fatal("a block does not hold itself")
		}
		for _, e := range []func(a *analysis.Analysis) *analysis.Element{
			func(a *analysis.Analysis) *analysis.Element { return a.Post(0) },
			func(a *analysis.Analysis) *analysis.Element { return a.Post(14) },
			func(a *analysis.Analysis) *analysis.Element {
				return a.Rail(0).Bays(func(bay int) bool { return bay == 0 || bay > 12 && bay < 16 })
			},
		} {
			measures := fewMeasures()
			x, y := worst(blocks, e(blocks), measures), worst(direct, e(direct), measures)
			for m := range measures {
				if !(math.Abs(x[m].Value-y[m].Value) <= 2e-9*math.Abs(y[m].Value)+negligible(&measures[m])) {
					t.Errorf("%s, %s: %.12g by blocks, %.12g directly", name, measures[m].name, x[m].Value, y[m].Value)
				}
				proven(t, blocks, name, &x[m])
			}
		}
	}
}
