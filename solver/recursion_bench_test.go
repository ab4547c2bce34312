package solver

import (
	"fmt"
	"testing"
)

// eightAPost returns eight responses a post: the moments and shears of both rails at it,
// of the post at its foot, and how far it leans out and turns.
func eightAPost(s *Factored, rows []Row) [][]Response {
	perPost := len(s.elements) / len(rows[0].Members)
	out := make([][]Response, len(rows[0].Members))
	for i := range out {
		low, top := rows[0].Members[i], rows[1].Members[i]
		end := s.frame.members[top].Start
		foot := MemberID(max(0, min(int(top)-perPost, len(s.elements)-1)))
		out[i] = []Response{s.Section(low, 0, MomentZ), s.Section(low, 0, ShearY), s.Section(top, 0, MomentZ), s.Section(top, 0, ShearY),
			s.Section(foot, 0, MomentY), s.Section(foot, 0, MomentZ), s.Freedom(end, UY), s.Freedom(end, RZ)}
	}
	return out
}

// BenchmarkInfluenceWays measures eight influence lines a post of a run of two rails in
// both ways, the load outward on the top rail: made ready, and read as cubics. Directly
// 10 001 posts would take a hundred times what 1 001 take: they are left out.
func BenchmarkInfluenceWays(b *testing.B) {
	for i, kind := range []runKind{runKinds()[1], runKinds()[4]} {
		for _, posts := range [...]int{9, 101, 1001, 10001} {
			f := &Frame{}
			rows := kind.run(f, posts, Vec{})
			for k := range rows {
				rows[k].Members = rows[k].Members[:posts-1]
				rows[k].Axes = rows[k].Axes[:posts-1]
			}
			rows[0].Share, rows[1].Share = 0, 1
			for _, way := range [...]string{"direct", "blocks"} {
				if posts > 1001 && (way == "direct" || i == 1) {
					continue
				}
				b.Run(fmt.Sprintf("kind=%s/way=%s/posts=%d", kind.name, way, posts), func(b *testing.B) { benchmarkWay(b, f, rows, way) })
			}
		}
	}
}

func benchmarkWay(b *testing.B, f *Frame, rows []Row, way string) {
	s, err := f.Factorise()
	if err != nil {
		b.Fatal(err)
	}
	chain := s.Chain(rows[1])
	responses := eightAPost(s, rows)
	room := make([][4]float64, chain.Stretches())
	reached := 0
	b.ReportAllocs()
	for b.Loop() {
		s.flex, s.inBlocks = flexibility{}, nil
		var in influenceLines
		if way == "direct" {
			in = s.Influence(chain, Vec{0, 1, 0})
		} else {
			in = byBlocks(b, s, chain, Vec{0, 1, 0})
		}
		reached = 0
		for _, post := range responses {
			for _, r := range post {
				from, to := in.CubicsWithin(room, r)
				clear(room[from:to])
				reached += to - from
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(len(responses)), "µs/post")
	b.ReportMetric(float64(reached)/float64(8*len(responses)), "stretches/line")
}

// BenchmarkReadyByBlocks measures the blocks alone, and with what one chain adds.
func BenchmarkReadyByBlocks(b *testing.B) {
	kind := runKinds()[1]
	for _, posts := range [...]int{9, 101, 1001, 10001} {
		f := &Frame{}
		rows := kind.run(f, posts, Vec{})
		s, err := f.Factorise()
		if err != nil {
			b.Fatal(err)
		}
		chain := s.Chain(rows[1])
		b.Run(fmt.Sprintf("part=blocks/posts=%d", posts), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				s.recursionOf()
			}
		})
		b.Run(fmt.Sprintf("part=chain/posts=%d", posts), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				byBlocks(b, s, chain, Vec{0, 1, 0})
			}
		})
	}
}
