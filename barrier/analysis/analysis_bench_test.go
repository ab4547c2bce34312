package analysis_test

import (
	"fmt"
	"testing"

	"example.com/stanchion/barrier/analysis"
)

// BenchmarkNew measures the frame, its factors and the columns of its influence
// lines; BenchmarkWorstAlong one measure over a post and a rail, the influence
// lines of their members included only the first time.

func benchmarkPlan(posts int, load string) plan {
	p := oneRail(evenly(posts, 1.5), 1.1, 150e3, load)
	p.rails = append(p.rails, railPlan{name: "knee", height: 0.6})
	return p
}

func BenchmarkNew(b *testing.B) {
	for _, posts := range []int{9, 101} {
		b.Run(fmt.Sprintf("posts=%d", posts), func(b *testing.B) {
			p := benchmarkPlan(posts, `schedule = "EN ISO 14122-3"`)
			d := p.definition(b)
			actions, _ := analysis.Actions(d)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := analysis.New(d, layout(d), actions); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkWorstAlong(b *testing.B) {
	for _, load := range []struct{ name, load string }{
		{"point", `schedule = "EN ISO 14122-3"`}, {"line", `schedule = "EN 1991-1-1 UK v"`}, {"any", own("point", "0.5 kN", "top", "any")},
	} {
		for _, m := range []named{{"moment", analysis.Strength, moment}, {"interaction", analysis.Strength, interaction}, {"across", analysis.Service, across}} {
			b.Run(fmt.Sprintf("load=%s/measure=%s", load.name, m.name), func(b *testing.B) {
				p := benchmarkPlan(9, load.load)
				a := ready(b, p.definition(b))
				b.ReportAllocs()
				for b.Loop() {
					worst(a, a.Post(4), []named{m})
					worst(a, a.Rail(0), []named{m})
				}
			})
		}
	}
}
