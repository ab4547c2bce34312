package analysis_test

import (
	"flag"
	"fmt"
	"runtime"
	"syscall"
	"testing"

	"example.com/stanchion/barrier/analysis"
)

// longest is the number of posts up to which runs are searched: ten thousand take half a
// minute, a hundred thousand minutes.
var longest = flag.Int("longest", 1001, "posts of the longest run that BenchmarkScale searches")

// BenchmarkScale measures how the search of a whole run grows with its length: two rails, one
// load across the run or down, five measures over every post and rail, from the definition on.
// It reports the time and the processor time of one post, and what the analysis holds for one.
func BenchmarkScale(b *testing.B) {
	for _, word := range []string{"outward", "down"} {
		for _, kind := range []string{"point", "line"} {
			for _, posts := range []int{101, 1001, 10001, 100001} {
				if posts <= *longest {
					b.Run(fmt.Sprintf("load/posts=%d/way=%s/kind=%s", posts, word, kind), func(b *testing.B) { benchmarkScale(b, posts, word, kind, 0, posts) })
				}
			}
		}
	}
}

// BenchmarkScaleAlong measures the same for a load along the run, of sixteen posts and bays in
// its middle: rails are stiff along themselves, and such a load is felt for hundreds of bays.
func BenchmarkScaleAlong(b *testing.B) {
	for _, kind := range []string{"point", "line"} {
		for _, posts := range []int{101, 1001, 10001} {
			if posts <= *longest {
				b.Run(fmt.Sprintf("load/posts=%d/kind=%s", posts, kind), func(b *testing.B) { benchmarkScale(b, posts, "along", kind, posts/2-8, posts/2+8) })
			}
		}
	}
}

// benchmarkScale searches the posts and bays from one up to before another.
func benchmarkScale(b *testing.B, posts int, word, kind string, from, to int) {
	value := map[string]string{"point": "0.89 kN", "line": "0.73 kN/m"}[kind]
	p := benchmarkPlan(2, own(kind, value, "top", word))
	d := p.definition(b)
	d.Run.Posts = evenly(posts, 1.5) // a file holds fewer than the longest of these
	d.Run.End.X = 1.5 * float64(posts-1)
	actions, _ := analysis.Actions(d)
	queries := queriesOf(fewMeasures())
	b.ReportAllocs()
	began := processorTime(b)
	for b.Loop() {
		a, err := analysis.New(d, layout(d), actions)
		if err != nil {
			b.Fatal(err)
		}
		for i := from; i < to; i++ {
			a.WorstOf(a.Post(i), queries...)
		}
		for i := range a.Frame.Rails {
			a.WorstOf(a.Rail(i).Bays(func(bay int) bool { return bay >= from && bay < to }), queries...)
		}
		b.StopTimer()
		used := processorTime(b)
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		b.ReportMetric(float64(m.HeapAlloc)/float64(posts), "held-B/post")
		runtime.KeepAlive(a)
		began += processorTime(b) - used
		b.StartTimer()
	}
	searched := float64(b.N) * float64(to-from)
	b.ReportMetric((processorTime(b)-began)*1e6/searched, "processor-µs/post")
	b.ReportMetric(float64(b.Elapsed().Microseconds())/searched, "µs/post")
}

// processorTime returns what the process has used so far, s.
func processorTime(b *testing.B) float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Skip(err)
	}
	return float64(u.Utime.Sec+u.Stime.Sec) + 1e-6*float64(u.Utime.Usec+u.Stime.Usec)
}

func queriesOf(measures []named) (queries []analysis.Query) {
	for l := analysis.Strength; l <= analysis.FirstYield; l++ {
		q := analysis.Query{Level: l}
		for _, m := range measures {
			if m.level == l {
				q.Measures = append(q.Measures, measure(m.of))
			}
		}
		if q.Measures != nil {
			queries = append(queries, q)
		}
	}
	return queries
}
