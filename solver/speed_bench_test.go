package solver

import (
	"fmt"
	"math"
	"testing"
	"time"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// A post of postsAndRails has 18 equations: 2 at its foot, 6 at either rail, and the 2
// that the rail's grip leaves free.
var freedomCounts = [...]int{1e2, 1e4, 1e6}

func postsFor(freedoms int) int { return (freedoms + 17) / 18 }

// Operations that the methods need in theory, multiplications and additions, for n
// equations with b of the band beside the diagonal: Golub and Van Loan, Matrix Computations,
// sections 4.3.5 and 4.3.2.
func factoriseFlops(n, b float64) float64 { return n * (b*b + 3*b) }
func solveFlops(n, b float64) float64     { return 4 * n * b }

// gigaflops reports the operations in theory and how many of them a second.
func gigaflops(b *testing.B, flops float64) {
	b.ReportMetric(flops, "flop/op")
	b.ReportMetric(flops*float64(b.N)/float64(b.Elapsed().Nanoseconds()), "GFLOP/s")
}

// beside times a call that stands beside the one that was measured, as often, and reports
// it and the ratio of the two.
func beside(b *testing.B, what string, prepare, call func()) {
	var spent time.Duration
	for range b.N {
		prepare()
		start := time.Now()
		call()
		spent += time.Since(start)
	}
	b.ReportMetric(float64(spent.Nanoseconds())/float64(b.N), what+"-ns/op")
	b.ReportMetric(float64(b.Elapsed())/float64(spent), "x-"+what)
}

func barrierOf(b *testing.B, freedoms int) (*Frame, []MemberID, *Factored) {
	f, top := postsAndRails(postsFor(freedoms))
	s, err := f.Factorise()
	if err != nil {
		b.Fatal(err)
	}
	return f, top, s
}

// BenchmarkFreedoms measures each step on a barrier-shaped band: Factorise as a whole,
// and of it numbering and assembly; the factorisation with its search for mechanisms beside
// bare lapack64.Pbtrf on the same matrix; substitution beside lapack64.Pbtrs; the loads and
// the residual.
func BenchmarkFreedoms(b *testing.B) {
	for _, freedoms := range freedomCounts {
		f, top, s := barrierOf(b, freedoms)
		run := func(name string, bench func(b *testing.B)) {
			b.Run(fmt.Sprintf("n=%.0e/%s", float64(freedoms), name), func(b *testing.B) {
				b.ReportAllocs()
				bench(b)
			})
		}
		n, width := float64(s.free), float64(halfBand(s))
		raw := s.stiffness().RawSymBand()
		room := raw
		room.Data = make([]float64, len(raw.Data))
		run("whole", func(b *testing.B) {
			for b.Loop() {
				if _, err := f.Factorise(); err != nil {
					b.Fatal(err)
				}
			}
		})
		run("number", func(b *testing.B) {
			for b.Loop() {
				t := &Factored{frame: f, elements: s.elements}
				t.number()
				t.renumber(t.jointSprings(), t.groundSprings())
			}
		})
		run("assemble", func(b *testing.B) {
			t := *s
			for b.Loop() {
				t.assemble(nil)
			}
		})
		run("factorise", func(b *testing.B) {
			t := *s
			for b.Loop() {
				b.StopTimer()
				t.band = s.stiffness() // that of a long frame gives its place to the factor
				b.StartTimer()
				if err := t.factorise(); err != nil {
					b.Fatal(err)
				}
			}
			gigaflops(b, factoriseFlops(n, width))
			beside(b, "pbtrf", func() { copy(room.Data, raw.Data) }, func() { lapack64.Pbtrf(room) })
		})
		x := make(vector, s.free)
		load := func() {
			for i := range x {
				x[i] = math.Cos(float64(i))
			}
		}
		run("substitute", func(b *testing.B) {
			load()
			for b.Loop() {
				substitute(&s.factor, x)
			}
			gigaflops(b, solveFlops(n, width))
			beside(b, "pbtrs", load, func() {
				lapack64.Pbtrs(s.factor.TriangularBand, blas64.General{Rows: s.free, Cols: 1, Stride: 1, Data: x})
			})
		})
		c := uniform(f, 740, top...)
		run("loads", func(b *testing.B) {
			for b.Loop() {
				s.rightHand(&c, s.memberLoads(&c))
			}
		})
		run("residual", func(b *testing.B) {
			p := proof{make(vector, s.free), make(vector, s.free)}
			load()
			right := append(vector(nil), x...)
			substitute(&s.factor, x)
			for b.Loop() {
				s.prove(&p, x, right)
			}
			gigaflops(b, 2*solveFlops(n, width))
		})
		run("solve", func(b *testing.B) {
			for b.Loop() {
				s.Solve(c)
			}
		})
	}
}
