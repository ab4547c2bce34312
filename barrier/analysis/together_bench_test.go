package analysis_test

import (
	"fmt"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// BenchmarkTogether measures one post and one rail under loads that act together, beside the
// same loads one at a time.
func BenchmarkTogether(b *testing.B) {
	for _, posts := range []int{9, 101} {
		for _, x := range []struct {
			name   string
			loads  []string
			joined bool
		}{
			{"point/alone", []string{"point"}, false}, {"point/wind", []string{"point"}, true},
			{"line/alone", []string{"line"}, false}, {"line/wind", []string{"line"}, true},
			{"both/alone", []string{"point", "line"}, false}, {"both/wind", []string{"point", "line"}, true},
		} {
			b.Run(fmt.Sprintf("%s/posts=%d", x.name, posts), func(b *testing.B) {
				p := benchmarkPlan(posts, "")
				p.loads = nil
				strength := map[int]float64{}
				for i, kind := range x.loads {
					p.loads = append(p.loads, own(kind, map[string]string{"point": "0.5 kN", "line": "0.36 kN/m"}[kind], "top", "outward"))
					strength[i] = 1.5
				}
				d := p.definition(b)
				actions, _ := analysis.Actions(d)
				if x.joined {
					wind := breeze(solver.Vec{0, 80, 0}, nil)
					wind.Load = len(d.Loads)
					d.Loads = append(d.Loads, barrier.Load{Name: "wind"})
					strength[wind.Load] = 0.9
					actions = append(actions, wind)
					d.Combine.Own = []barrier.OwnCombination{{Name: "own", Situation: loads.Strength, Permanent: [2]float64{1.35, 1}, Factors: strength}}
				}
				b.ReportAllocs()
				for b.Loop() {
					a, err := analysis.New(d, layout(d), actions)
					if err != nil {
						b.Fatal(err)
					}
					m := []named{{"interaction", analysis.Strength, interaction}, {"shear", analysis.Strength, shear}}
					worst(a, a.Post(posts/2), m)
					worst(a, a.Rail(0), m)
				}
			})
		}
	}
}
