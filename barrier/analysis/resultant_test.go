package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/solver"
)

// A resultant of two components is the largest of their effects along any direction of the section,
// and the largest effect along one is the sum of what every short length brings that is adverse to
// it. So the largest resultant of a line load is found direction by direction, in whole degrees, over
// cells of 25 mm, one of which ends at each section: on an L and on a run with walls, joints that hold and offsets, under a load that bends
// both ways at once. From the lengths adverse to a component alone an ascent ends up to a tenth below.
func TestResultantOfALineLoadByDegrees(t *testing.T) {
	for _, c := range []struct {
		plan    string
		az, el  float64
		element string
	}{{"L", 180, -40, "rail top"}, {"L", 60, -20, "post 2"}, {"dressed", 270, 10, "post 4"}} {
		p := bentPlans(own("line", "0.74 kN/m", "top", fmt.Sprintf(`{ azimuth = "%g deg", elevation = "%g deg" }`, c.az, c.el)))[c.plan]
		d := p.definition(t)
		a, ref := ready(t, d), newReference(t, d)
		act, n := a.Actions[0], bearing(c.az, c.el)
		names, all := elements(a)
		for k, e := range all {
			if names[k] != c.element {
				continue
			}
			places := ref.members(e)
			for i := range places {
				places[i].station = places[i].length / 2
			}
			each := ref.cells(act, []solver.Vec{n}, 0.025, places)
			for i, probe := range e.Probes {
				for what, of := range map[string]struct {
					pair [2]int // of components
					m    analysis.Measure
				}{"shear": {[2]int{1, 2}, measure(shear)}, "moment": {[2]int{4, 5}, measure(moment)}} {
					theirs := byDegrees(each, act, n, i, of.pair)
					ours := a.WorstOneWay(probe, places[i].station, 0, analysis.Characteristic, of.m, act.Fixed()[0])
					if !(ours >= theirs*(1-1e-9) && ours <= theirs*1.001+1e-6) { // cells cost a part in a thousand
						t.Errorf("%s, %s, member %d: %s %.9g, by degrees %.9g", c.plan, c.element, i+1, what, ours, theirs)
					}
				}
			}
		}
	}
}

// A line load that points down, outward and along the run bends its rail both ways and pulls it, since
// the fittings grip it beside the posts. What is worst is between the posts, and a sample there that is
// judged by the lengths adverse to one component falls short of one at a post: no lengths made of whole
// cells may give more.
func TestLineLoadThatPullsItsRail(t *testing.T) {
	p := plan{
		posts: []float64{0, 1.11, 2.48, 3.48, 4.48}, foot: 22.6e3, level: -0.08,
		rails: []railPlan{{name: "top", height: 1.093, splices: []float64{2.75}}, {name: "knee", height: 0.511}},
		loads: []string{own("line", "0.74 kN/m", "top", `{ azimuth = "200 deg", elevation = "-48 deg" }`)},
		change: func(d *barrier.Definition) {
			d.Fitting.Moment = barrier.Joint{Kind: barrier.GrippedJoint, Stiffness: [3]float64{math.Inf(1)}}
			d.Fitting.Offset = -0.036
			d.Run.Overhang = [2]float64{0.4, 0.2}
		},
	}
	lineAgainstBruteForce(t, &p, []solver.Vec{bearing(200, -48)}, 0.25, 0.1, rand.New(rand.NewPCG(7, 292)))
}

// byDegrees returns the largest resultant of a pair of components at a place.
func byDegrees(c *cells, a *analysis.Action, n solver.Vec, place int, pair [2]int) (most float64) {
	each := c.along(n, place)
	stands := components(&c.permanent[place])
	for _, f := range factors(a, analysis.Characteristic) {
		for degree := range 360 {
			sin, cos := math.Sincos(float64(degree) * math.Pi / 180)
			sum := f[0] * (cos*stands[pair[0]] + sin*stands[pair[1]])
			for i := range each {
				of := components(&each[i])
				sum += f[1] * math.Max(cos*of[pair[0]]+sin*of[pair[1]], 0)
			}
			most = math.Max(most, sum)
		}
	}
	return most
}
