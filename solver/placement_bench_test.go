package solver

import (
	"fmt"
	"math"
	"testing"
)

// BenchmarkPlacement measures the placement of a point load for eight responses a post, a run
// of two rails loaded outward on the top one: blocks made ready, the influence line of each
// response read as far as it is felt, and its least and largest value found. Beside it stands
// the same by one band solve per response: the movements that the response has under a unit
// load anywhere, the line read from them, and its extremes.
func BenchmarkPlacement(b *testing.B) {
	kind := runKinds()[1]
	for _, posts := range [...]int{101, 401, 1001} {
		f := &Frame{}
		rows := kind.run(f, posts, Vec{})
		for k := range rows {
			rows[k].Members = rows[k].Members[:posts-1]
			rows[k].Axes = rows[k].Axes[:posts-1]
		}
		b.Run(fmt.Sprintf("posts=%d", posts), func(b *testing.B) {
			s, err := f.Factorise()
			if err != nil {
				b.Fatal(err)
			}
			chain := s.Chain(rows[1])
			all := eightAPost(s, rows)
			room := make([][4]float64, chain.Stretches())
			sum := 0.0
			for b.Loop() {
				s.inBlocks = nil
				in := byBlocks(b, s, chain, Vec{0, 1, 0})
				for _, post := range all {
					for _, r := range post {
						least, largest := placed(chain, room, in, r)
						sum += least + largest
					}
				}
			}
			if math.IsNaN(sum) {
				b.Fatal("no extremes")
			}
			each := 8 * len(all)
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(all))/1e3, "µs/post")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(each)/1e3, "µs/response")
			loaded := equivalents(s, chain, Vec{0, 1, 0})
			shell := &Influence{model: s, chain: chain, directions: []Vec{{0, 1, 0}}}
			x := make(vector, s.free)
			beside(b, "band", func() {}, func() {
				for _, post := range all {
					for _, r := range post {
						placedByBand(s, shell, loaded, x, room, r)
					}
				}
			})
		})
	}
}

// placed returns the least and the largest value of a response as a unit load travels a chain.
func placed(chain *Chain, room [][4]float64, in influenceLines, r Response) (least, largest float64) {
	from, to := in.CubicsWithin(room, r)
	least, largest = extremesOf(chain, room, from, to)
	clear(room[from:to])
	return least, largest
}

// extremesOf returns the least and the largest value of the cubics of some stretches, 0 among them.
func extremesOf(chain *Chain, room [][4]float64, from, to int) (least, largest float64) {
	for st := from; st < to; st++ {
		a, b := chain.Ends(st)
		c := cubic(room[st])
		var turning [2]float64
		for _, t := range append(c.stationary(turning[:0], b-a), 0, b-a) {
			v := c.at(t)
			least, largest = min(least, v), max(largest, v)
		}
	}
	return least, largest
}

// equivalents are the nodal forces that a unit load on each stretch is equivalent to.
func equivalents(s *Factored, chain *Chain, direction Vec) (out [][4][]term) {
	out = make([][4][]term, len(chain.stretches))
	for i := range out {
		s.consistent(&out[i], &chain.stretches[i], direction)
	}
	return out
}

// placedByBand returns the same as placed by one band solve for the response as a load.
func placedByBand(s *Factored, shell *Influence, loaded [][4][]term, x vector, room [][4]float64, r Response) (least, largest float64) {
	clear(x)
	for _, t := range r.terms {
		if t.eq < s.free {
			x[t.eq] += t.coeff
		}
	}
	s.solve([]vector{x})
	for st := range loaded {
		for k, terms := range &loaded[st] {
			for _, t := range terms {
				if t.eq < s.free {
					room[st][k] += t.coeff * x[t.eq]
				}
			}
		}
		for _, own := range r.own {
			shell.addOwnTo(room[st:st+1], st, shell.chain.stretches[st].from, own)
		}
	}
	least, largest = extremesOf(shell.chain, room, 0, len(loaded))
	clear(room[:len(loaded)])
	return least, largest
}

// TestPlacedByBlocks holds the extremes that the benchmark finds to those of whole lines by
// band solves.
func TestPlacedByBlocks(t *testing.T) {
	kind := runKinds()[1]
	f := &Frame{}
	rows := kind.run(f, 40, Vec{})
	for k := range rows {
		rows[k].Members, rows[k].Axes = rows[k].Members[:39], rows[k].Axes[:39]
	}
	s, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	chain := s.Chain(rows[1])
	in := byBlocks(t, s, chain, Vec{0, 1, 0})
	room := make([][4]float64, chain.Stretches())
	direct := s.Influence(chain, Vec{0, 1, 0})
	loaded, x := equivalents(s, chain, Vec{0, 1, 0}), make(vector, s.free)
	shell := &Influence{model: s, chain: chain, directions: []Vec{{0, 1, 0}}}
	for i, post := range eightAPost(s, rows) {
		for k, r := range post {
			line := direct.Line(r)
			lo, hi := line.Extremes(0)
			least, largest := placed(chain, room, in, r)
			tol := 1e-9*max(math.Abs(lo.Value), math.Abs(hi.Value)) + 1e-15 // lines that are rounding
			if math.Abs(least-min(0, lo.Value)) > tol || math.Abs(largest-max(0, hi.Value)) > tol {
				t.Errorf("post %d, response %d: %.12g to %.12g by blocks, %.12g to %.12g by band solves", i+1, k, least, largest, lo.Value, hi.Value)
			}
			if low, high := placedByBand(s, shell, loaded, x, room, r); math.Abs(least-low) > tol || math.Abs(largest-high) > tol {
				t.Errorf("post %d, response %d: %.12g to %.12g by blocks, %.12g to %.12g by its own band solve", i+1, k, least, largest, low, high)
			}
		}
	}
}
