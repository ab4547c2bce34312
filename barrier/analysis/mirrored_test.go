package analysis_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// symmetrical is a barrier that is alike from both ends, of bays that differ.
func symmetrical(loads ...string) plan {
	return plan{
		posts: []float64{0, 1.1, 2.6, 4.7, 6.2, 7.3}, foot: 90e3,
		rails: []railPlan{{name: "top", height: 1.1, splices: []float64{0.4, 1.6, 5.7, 6.9}}, {name: "knee", height: 0.5, cut: true}},
		loads: loads,
	}
}

// What is found in a half is found in the other: symmetry, of the frame's own equations, each of
// whose halves is searched for itself here.
func TestHalvesOfMirroredBarriers(t *testing.T) {
	for _, of := range []struct {
		name   string
		loads  []string
		change func(*barrier.Definition)
	}{
		{name: "schedule", loads: []string{`schedule = "EN ISO 14122-3"`}},
		{name: "outward", loads: []string{own("point", "0.9 kN", "knee", "outward")}},
		{name: "horizontal", loads: []string{own("point", "0.9 kN", "top", "horizontal")}},
		{name: "lines", loads: []string{own("line", "0.4 kN/m", "top", "outward"), own("line", "0.6 kN/m", "top", "down")}},
		{name: "overhangs", loads: []string{own("point", "0.9 kN", "top", "across")}, change: func(d *barrier.Definition) { d.Run.Overhang = [2]float64{0.3, 0.3} }},
		{name: "offset", loads: []string{own("point", "0.9 kN", "top", "outward")}, change: func(d *barrier.Definition) { d.Fitting.Offset = 0.06 }},
		{name: "gripped", loads: []string{own("point", "0.9 kN", "top", "down")}, change: func(d *barrier.Definition) {
			d.Fitting.Offset = 0.06
			d.Fitting.Moment = barrier.Joint{Kind: barrier.StiffnessJoint, Stiffness: [3]float64{2e3, 3e3, 4e3}}
		}},
	} {
		t.Run(of.name, func(t *testing.T) {
			p := symmetrical(of.loads...)
			p.change = of.change
			a := ready(t, p.definition(t))
			if !a.IsMirrored() {
				t.Fatal("not mirrored")
			}
			measures := strengthAndMovement()
			compare := func(name string, e, twin *analysis.Element) {
				found, other := worst(a, e, measures), worst(a, twin, measures)
				for m := range measures {
					if v, w := found[m].Value, other[m].Value; math.Abs(v-w) > 2*slack*math.Max(math.Abs(v), math.Abs(w))+1e-12 {
						t.Errorf("%s %s: %.12g, in its twin %.12g", name, measures[m].name, v, w)
					}
				}
			}
			posts := len(a.Frame.Posts)
			for i := range posts / 2 {
				compare(fmt.Sprintf("post %d", i+1), a.Post(i), a.Post(posts-1-i))
			}
			for i := range a.Frame.Rails {
				members := a.Rail(i).Probes
				back := slices.Clone(members)
				slices.Reverse(back)
				for k := range len(members) / 2 {
					compare(fmt.Sprintf("rail %d member %d", i+1, k+1), &analysis.Element{Probes: members[k : k+1]}, &analysis.Element{Probes: back[k : k+1]})
				}
				if half := a.Rail(i).FirstHalf().Probes; len(half) != (len(members)+1)/2 {
					t.Errorf("rail %d: %d of %d members", i+1, len(half), len(members))
				}
			}
		})
	}
}

// Whatever differs from end to end is seen.
func TestBarriersThatAreNotMirrored(t *testing.T) {
	line := own("line", "0.4 kN/m", "top", "outward")
	for name, change := range map[string]func(*plan){
		"post":     func(p *plan) { p.posts[1] += 1e-3 },
		"splice":   func(p *plan) { p.rails[0].splices[3] += 1e-3 },
		"overhang": func(p *plan) { p.change = func(d *barrier.Definition) { d.Run.Overhang[0] = 0.3 } },
		"one way":  func(p *plan) { p.loads = []string{own("point", "0.9 kN", "top", "{ azimuth = \"45 deg\" }")} },
		"place": func(p *plan) {
			p.loads = []string{own("point", "0.9 kN", "top", "outward")}
			p.change = func(d *barrier.Definition) { at := 1.2; d.Loads[0].Own.At = &at }
		},
	} {
		p := symmetrical(line)
		change(&p)
		if ready(t, p.definition(t)).IsMirrored() {
			t.Errorf("%s: mirrored", name)
		}
	}
}
