package analysis_test

import (
	"fmt"
	"testing"

	"example.com/stanchion/barrier/analysis"
)

// BenchmarkTurning measures five measures over every post and rail of a barrier
// with two rails under one load that is free to turn, influence lines included;
// outward, a load of one way, is there to compare with.
func BenchmarkTurning(b *testing.B) {
	for _, kind := range []string{"point", "line"} {
		for _, word := range []string{"outward", "horizontal", "any"} {
			for _, posts := range []int{7, 101} {
				b.Run(fmt.Sprintf("load=%s/way=%s/posts=%d", kind, word, posts), func(b *testing.B) {
					value := map[string]string{"point": "0.89 kN", "line": "0.73 kN/m"}[kind]
					p := benchmarkPlan(posts, own(kind, value, "top", word))
					d := p.definition(b)
					actions, _ := analysis.Actions(d)
					b.ReportAllocs()
					for b.Loop() {
						a, err := analysis.New(d, layout(d), actions)
						if err != nil {
							b.Fatal(err)
						}
						_, all := elements(a)
						for _, e := range all {
							worst(a, e, fewMeasures())
						}
					}
				})
			}
		}
	}
}
