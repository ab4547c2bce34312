package analysis_test

import (
	"fmt"
	"strings"
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

// BenchmarkSearch measures the searches of a check of 9 posts and two rails under the loads of a
// schedule: strength, first yield and movements over every post and rail, the foot and the top of
// every post, influence lines included.
func BenchmarkSearch(b *testing.B) {
	for _, load := range []string{"EN ISO 14122-3", "EN 1991-1-1 UK v", "IBC 2021 general"} {
		b.Run("load="+load[:7], func(b *testing.B) {
			p := benchmarkPlan(9, fmt.Sprintf("schedule = %q", load))
			if strings.HasPrefix(load, "IBC") {
				p.loads[0] += "\nmix = true"
			}
			a := ready(b, p.definition(b))
			ultimate := analysis.Query{Level: analysis.Strength, Measures: measured(moment, shear, torsion, interaction)}
			elastic := analysis.Query{Level: analysis.FirstYield, Measures: measured(equivalent)}
			service := analysis.Query{Level: analysis.Service, Measures: measured(across, along, vertical)}
			b.ReportAllocs()
			for b.Loop() {
				a.Forget()
				for i := range a.Frame.Posts {
					e := a.Post(i)
					a.WorstOf(e, ultimate, elastic, service)
					a.WorstAt(e.Probes[0], []float64{0}, ultimate)
					last := e.Probes[len(e.Probes)-1]
					a.WorstAt(last, []float64{last.Length}, service)
				}
				for i := range a.Frame.Rails {
					a.WorstOf(a.Rail(i), ultimate, elastic, service)
				}
			}
		})
	}
}

func measured(of ...func(*analysis.State) float64) (out []analysis.Measure) {
	for _, f := range of {
		out = append(out, measure(f))
	}
	return out
}
