package analysis_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// members returns the first posts and rails of a barrier, and the last of each rail.
func members(a *analysis.Analysis) (probes []*analysis.Probe) {
	for i := range min(3, len(a.Frame.Posts)) {
		probes = append(probes, a.Post(i).Probes...)
	}
	for i := range a.Frame.Rails {
		all := a.Rail(i).Probes
		probes = append(probes, all[:min(3, len(all))]...)
		probes = append(probes, all[len(all)-1])
	}
	return probes
}

// eachReached runs a test on barriers whose members have bounds.
func eachReached(t *testing.T, test func(t *testing.T, d *barrier.Definition, a *analysis.Analysis) (bounded int)) {
	for _, name := range []string{"gallery", "roof-edge", "screen-house-asd", "boat-house", "quay-gate"} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join("../../testdata", name+".toml")
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			d, err := barrier.Parse(file, data)
			if err != nil {
				t.Fatal(err)
			}
			if test(t, d, ready(t, d)) == 0 {
				t.Skip("nothing is bounded")
			}
		})
	}
}

// No search finds a component of a member larger than the bound by which members are passed over, and the
// bound is not far above what is found.
func TestReachBoundsEverySearch(t *testing.T) {
	eachReached(t, func(t *testing.T, d *barrier.Definition, a *analysis.Analysis) (bounded int) {
		probes := members(a)
		for i := range a.Frame.Rails {
			joint, ends := a.Grip(i, 1)
			probes = append(append(probes, joint), ends...)
		}
		for _, p := range probes {
			for _, l := range []analysis.Level{analysis.Strength, analysis.Service} {
				reach, ok := a.ReachOf(p, l)
				if !ok {
					continue
				}
				bounded++
				for c := range reach {
					size := analysis.Measure{Of: func(s *analysis.State) float64 { return math.Abs(analysis.ComponentsOf(s)[c]) }}
					found := a.WorstAlong(&analysis.Element{Probes: []*analysis.Probe{p}}, l, []analysis.Measure{size})[0]
					if found.Value > reach[c]*(1+1e-9)+1e-12 {
						t.Errorf("post %d, rail %d, bay %d, level %d, component %d: %.9g is above the bound %.9g: %s, station %g of %g", p.Post, p.Rail, p.Bay, l, c, found.Value, reach[c], found.LoadIn(d.Units), found.Station, p.Length)
					}
				}
			}
		}
		return bounded
	})
}

// No placement makes a component at a station larger than the bound by which sections are passed over.
func TestReachBoundsEverySection(t *testing.T) {
	eachReached(t, func(t *testing.T, _ *barrier.Definition, a *analysis.Analysis) int { return reachedAtSections(t, a) })
}

// Nor does one above the top of a post, where a load stands on an arm that has no sections.
func TestReachUnderLoadsAboveThePosts(t *testing.T) {
	for _, kind := range []loads.Kind{loads.Point, loads.Area} {
		p := filled(oneRail(evenly(4, 0.8), 1.1, 60e3, own("point", "1 kN", "top", "down")), barrier.Infill{Bottom: 0.3, Top: 2.5, Carrier: barrier.CarriedByPosts})
		target := map[loads.Kind]loads.Target{loads.Point: loads.Intermediate, loads.Area: loads.InfillArea}[kind]
		p = scheduled(p, loads.Action{Kind: kind, Value: 500, Direction: "outward", Target: target})
		if reachedAtSections(t, onlyAction(t, p.definition(t), isOnPosts)) == 0 {
			t.Errorf("%s: nothing is bounded", kind)
		}
	}
}

// reachedAtSections holds the bounds at stations of members against what is found there, and returns how many there are.
func reachedAtSections(t *testing.T, a *analysis.Analysis) (bounded int) {
	for _, p := range members(a) {
		for i, act := range a.Actions {
			if act.Field != nil {
				continue
			}
			for _, n := range act.Ways()[:min(4, len(act.Ways()))] {
				for _, part := range []float64{0, 0.07, 0.5, 0.81, 1} {
					reach, ok := a.ReachAt(p, part*p.Length, i, analysis.Service, n)
					if !ok {
						continue
					}
					bounded++
					for c := range reach {
						size := analysis.Measure{Of: func(s *analysis.State) float64 { return math.Abs(analysis.ComponentsOf(s)[c]) }}
						if v := a.WorstOneWay(p, part*p.Length, i, analysis.Service, size, n); v > reach[c]*(1+1e-9)+1e-12 {
							t.Errorf("post %d, rail %d, bay %d, action %d along %v, component %d: %.9g is above the bound %.9g, station %g of %g", p.Post, p.Rail, p.Bay, i, n, c, v, reach[c], part*p.Length, p.Length)
						}
					}
				}
			}
		}
	}
	return bounded
}
