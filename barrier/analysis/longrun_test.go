package analysis_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier/analysis"
)

// TestBothWays holds what is found by influence lines of band solves and of blocks equal.
func TestBothWays(t *testing.T) {
	r := rand.New(rand.NewPCG(10, 10))
	for _, load := range []string{own("point", "0.5 kN", "top", "outward"), own("line", "0.36 kN/m", "top", "outward"), own("point", "0.5 kN", "top", "horizontal")} {
		for _, posts := range []int{2, 12, 48} {
			p := benchmarkPlan(posts, load)
			for i := range p.posts { // uneven bays: in even ones all is equal, and the first of equals depends on rounding
				p.posts[i] += between(r, 0, 0.3)
			}
			p.posts[0] = 0
			direct, blocks := ready(t, p.definition(t)), ready(t, p.definition(t))
			direct.ReadDirectly()
			if !blocks.ReadByBlocks() {
				t.Fatal("a block does not hold itself")
			}
			some := func(a *analysis.Analysis) []*analysis.Element {
				from := max(0, posts/2-2)
				near := func(bay int) bool { return bay >= from && bay < from+4 || bay == 0 }
				return []*analysis.Element{a.Post(0), a.Post(posts / 2), a.Rail(0).Bays(near), a.Rail(1).Bays(near)}
			}
			got, want := some(blocks), some(direct)
			for i := range want {
				measures := fewMeasures()
				x, y := worst(blocks, got[i], measures), worst(direct, want[i], measures)
				for m := range measures {
					tol := 1e-9*math.Abs(y[m].Value) + negligible(&measures[m])
					if load == own("point", "0.5 kN", "top", "horizontal") {
						tol += 2 * slack * math.Abs(y[m].Value)
					}
					if !(math.Abs(x[m].Value-y[m].Value) <= tol) {
						t.Errorf("%s, %d posts, element %d, %s: %.12g by blocks, %.12g directly", load, posts, i, measures[m].name, x[m].Value, y[m].Value)
					}
				}
			}
			if placement, _, _ := blocks.Verify(&worst(blocks, got[0], fewMeasures())[0]); placement > 1e-9 {
				t.Errorf("%s, %d posts: solved again, %s differs by %.1e", load, posts, fewMeasures()[0].name, placement)
			}
		}
	}
}

// TestLongRunReadsByBlocks takes the way that suits the length.
func TestLongRunReadsByBlocks(t *testing.T) {
	for posts, want := range map[int]bool{12: false, 101: true} {
		p := benchmarkPlan(posts, own("point", "0.5 kN", "top", "outward"))
		if got := ready(t, p.definition(t)).ReadsByBlocks(); got != want {
			t.Errorf("%d posts: by blocks %t, want %t", posts, got, want)
		}
	}
}
