package explore_test

import (
	"fmt"
	"runtime/debug"
	"testing"

	"example.com/stanchion/barrier/explore"
)

// BenchmarkTubes compares pairs of tubes for the gallery of 7 posts and two rails, on all
// processors: at the given spacing, and with the largest spacing of each. The heap has about the
// room that the command gives it.
//
//	go test ./barrier/explore -run '^$' -bench 'Tubes/candidates=1000$' -benchtime 1x
func BenchmarkTubes(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(400))
	// Of all sizes that rails and posts are made of, in one grade for each tube.
	doc := document(b, "gallery.toml", "splices = [\"5.8 m\"]", `splices = "none"`, "splices = [\"4.6 m\"]", `splices = "none"`)
	pairs := pairsOf(b, explore.TubeFilter{Standards: []string{"EN 10219", "EN 10255"}, Grades: []string{"S235JRH", "S195T"}, SmallestOD: 0.0269, LargestOD: 0.0889}, true)
	for _, n := range []int{100, 1000} {
		if len(pairs) < n {
			b.Fatalf("%d pairs, %d are wanted", len(pairs), n)
		}
		var some []explore.Candidate // evenly over all of them
		for i := range n {
			some = append(some, pairs[i*len(pairs)/n])
		}
		for _, c := range []struct {
			name    string
			largest bool
		}{{"given", false}, {"largest", true}} {
			b.Run(fmt.Sprintf("candidates=%d/%s", n, c.name), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					r := rank(b, doc, some, explore.TubeOptions{LargestSpacing: c.largest})
					if len(r.Rows) != n {
						b.Fatalf("%d rows", len(r.Rows))
					}
				}
				b.ReportMetric(float64(b.Elapsed().Microseconds())/1e3/float64(b.N*n), "ms/candidate")
			})
		}
	}
}
