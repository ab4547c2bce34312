package analysis_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// No search finds a component of a member larger than the bound by which members are passed over, and the
// bound is not far above what is found.
func TestReachBoundsEverySearch(t *testing.T) {
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
			a := ready(t, d)
			var probes []*analysis.Probe
			for i := range min(3, len(a.Frame.Posts)) {
				probes = append(probes, a.Post(i).Probes...)
			}
			for i := range a.Frame.Rails {
				all := a.Rail(i).Probes
				probes = append(probes, all[:min(3, len(all))]...)
				probes = append(probes, all[len(all)-1])
				joint, ends := a.Grip(i, 1)
				probes = append(append(probes, joint), ends...)
			}
			bounded := 0
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
			if bounded == 0 {
				t.Skip("nothing stands evenly")
			}
		})
	}
}
