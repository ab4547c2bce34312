package solver

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/stanchion/internal/verification"
)

// A straightforward program has the stiffness whole, factorises it with a library, and solves
// it for the load at so many places in each bay: the baseline that stands beside the search.
// The model is the same: same nodes, members, joints and responses.

// placesABay is at how many places a bay is loaded, its ends among them.
const placesABay = 21

// baseline is a run with a point load across it on its top rail, and eight responses a post.
type baseline struct {
	s         *Factored
	chain     *Chain
	responses [][]Response
	shell     *Influence
	loaded    [][4][]term
}

func baselineOf(tb testing.TB, posts int) *baseline {
	f := &Frame{}
	rows := runKinds()[1].run(f, posts, Vec{})
	for k := range rows {
		rows[k].Members, rows[k].Axes = rows[k].Members[:posts-1], rows[k].Axes[:posts-1]
	}
	s, err := f.Factorise()
	if err != nil {
		tb.Fatal(err)
	}
	chain := s.Chain(rows[1])
	return &baseline{s, chain, eightAPost(s, rows), &Influence{model: s, chain: chain, directions: []Vec{{0, 1, 0}}}, equivalents(s, chain, Vec{0, 1, 0})}
}

// places visits every place of the load: its stretch and the distance into that.
func (m *baseline) places(visit func(column, stretch int, t float64)) {
	for st := range m.loaded {
		from, to := m.chain.Ends(st)
		for k := range placesABay {
			visit(st*placesABay+k, st, (to-from)*float64(k)/(placesABay-1))
		}
	}
}

// dense returns the least and the largest value of every response over all places, by a dense
// Cholesky factorisation and one right-hand side for each place.
func (m *baseline) dense(tb testing.TB, k *mat.SymDense) [][][2]float64 {
	var factor mat.Cholesky
	if !factor.Factorize(k) {
		tb.Fatal("the stiffness is not positive definite")
	}
	n := m.s.free
	right := mat.NewDense(n, len(m.loaded)*placesABay, nil)
	m.places(func(column, st int, t float64) {
		for power, terms := range &m.loaded[st] {
			for _, e := range terms {
				if e.eq < n {
					right.Set(e.eq, column, right.At(e.eq, column)+e.coeff*math.Pow(t, float64(power)))
				}
			}
		}
	})
	var moved mat.Dense
	if err := factor.SolveTo(&moved, right); err != nil {
		tb.Fatal(err)
	}
	return m.extremes(func(r *Response, column, st int) float64 {
		sum := 0.0
		for _, e := range r.terms {
			if e.eq < n {
				sum += e.coeff * moved.At(e.eq, column)
			}
		}
		return sum
	})
}

// extremes returns the least and the largest values given what the movements of the nodes do.
func (m *baseline) extremes(byNodes func(r *Response, column, st int) float64) [][][2]float64 {
	out := make([][][2]float64, len(m.responses))
	for i, post := range m.responses {
		for j := range post {
			r := &post[j]
			var reach [2]float64
			m.places(func(column, st int, t float64) {
				v := byNodes(r, column, st)
				for _, own := range r.own {
					var c [1][4]float64
					m.shell.addOwnTo(c[:], st, m.chain.stretches[st].from, own)
					v += cubic(c[0]).at(t)
				}
				reach = [2]float64{min(reach[0], v), max(reach[1], v)}
			})
			out[i] = append(out[i], reach)
		}
	}
	return out
}

// blocks returns the same by influence lines, and with at the ends of what the load does at
// any place rather than at those of the places.
func (m *baseline) blocks(tb testing.TB) (sampled, all [][][2]float64) {
	in := byBlocks(tb, m.s, m.chain, Vec{0, 1, 0})
	room := make([][4]float64, m.chain.Stretches())
	for _, post := range m.responses {
		var some, every [][2]float64
		for j := range post {
			from, to := in.CubicsWithin(room, post[j])
			var reach [2]float64
			m.places(func(_, st int, t float64) {
				v := cubic(room[st]).at(t)
				reach = [2]float64{min(reach[0], v), max(reach[1], v)}
			})
			least, largest := extremesOf(m.chain, room, from, to)
			clear(room[from:to])
			some, every = append(some, reach), append(every, [2]float64{least, largest})
		}
		sampled, all = append(sampled, some), append(all, every)
	}
	return sampled, all
}

// whole returns the stiffness as a dense matrix.
func (m *baseline) whole() *mat.SymDense {
	k := mat.NewSymDense(m.s.free, nil)
	eachStiffness(m.s.band.RawSymBand(), func(i, j int, v float64) { k.SetSym(i, j, v) })
	return k
}

// eightNames are the responses of eightAPost.
var eightNames = [8]string{"lower rail, moment", "lower rail, shear", "upper rail, moment", "upper rail, shear", "foot, moment along", "foot, moment across", "top, movement", "top, turn"}

// TestBaseline holds the search by blocks to the dense program: at the same places to 1e-9 of
// the largest value that any place has, and its own extremes at least as far out.
func TestBaseline(t *testing.T) {
	record := verification.New(t, verification.LongRuns)
	for _, posts := range []int{9, 31} {
		row := record.From(fmt.Sprintf("least and largest of eight responses a post of %d, load at 21 places a bay (N, m, rad)", posts), "the whole stiffness by dense Cholesky of gonum", verification.Program)
		m := baselineOf(t, posts)
		want := m.dense(t, m.whole())
		sampled, all := m.blocks(t)
		for i := range want {
			for j, w := range want[i] {
				tol := 1e-9*max(-w[0], w[1]) + 1e-13 // lines that are rounding
				got, far := sampled[i][j], all[i][j]
				for k, end := range []string{"least", "largest"} {
					if math.Abs(w[k]) > 1e-3*max(-w[0], w[1]) && max(-w[0], w[1]) > 1e-9 { // others are rounding
						row.Add(fmt.Sprintf("post %d, %s: %s", i+1, eightNames[j], end), w[k], got[k])
					}
				}
				if math.Abs(got[0]-w[0]) > tol || math.Abs(got[1]-w[1]) > tol {
					t.Errorf("%d posts, post %d, response %d: %.12g by blocks, %.12g by the dense program", posts, i+1, j, got, w)
				}
				if far[0] > w[0]+tol || far[1] < w[1]-tol {
					t.Errorf("%d posts, post %d, response %d: extremes %.12g lie within the %.12g of some places", posts, i+1, j, far, w)
				}
				if between := max(-far[0], far[1]) - max(-w[0], w[1]); between > 0.01*max(-far[0], far[1]) {
					t.Errorf("%d posts, post %d, response %d: extremes %.12g lie far beyond the %.12g of %d places a bay", posts, i+1, j, far, w, placesABay)
				}
			}
		}
	}
}

// BenchmarkBaseline measures the dense program from the matrix on, and beside it the same
// responses by blocks, made ready and every extreme found.
func BenchmarkBaseline(b *testing.B) {
	for _, posts := range []int{9, 31, 101} {
		m := baselineOf(b, posts)
		k := m.whole()
		b.Run(fmt.Sprintf("posts=%d", posts), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				m.dense(b, k)
			}
			n, places := float64(m.s.free), float64(len(m.loaded)*placesABay)
			gigaflops(b, n*n*n/3+2*n*n*places)
			room := make([][4]float64, m.chain.Stretches())
			beside(b, "blocks", func() { m.s.inBlocks = nil }, func() {
				in := byBlocks(b, m.s, m.chain, Vec{0, 1, 0})
				for _, post := range m.responses {
					for _, r := range post {
						placed(m.chain, room, in, r)
					}
				}
			})
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(posts), "µs/post")
		})
	}
}
