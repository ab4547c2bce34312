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

// TestLinesRest holds what is found after lines have been given back equal to what was found before, to the last
// digit, and what is found with the frame shared on other feet equal to what one built for them gives.
func TestLinesRest(t *testing.T) {
	const foot = 60e3
	p := benchmarkPlan(60, own("point", "0.5 kN", "top", "outward"))
	d := p.definition(t)
	a, other := ready(t, d), ready(t, d)
	some := func(a *analysis.Analysis) []*analysis.Element {
		return []*analysis.Element{a.Post(0), a.Post(30), a.Rail(0).Bays(func(bay int) bool { return bay < 3 })}
	}
	shared, err := other.SharedOnFeet(foot)
	if err != nil {
		t.Fatal(err)
	}
	l := layout(d)
	l.FootStiffness = foot
	built, err := analysis.New(d, l, a.Actions)
	if err != nil {
		t.Fatal(err)
	}
	sharedOf, builtOf := some(shared), some(built)
	for i, e := range some(a) {
		before := worst(a, e, fewMeasures())
		a.RestLinesNow()
		after := worst(a, some(a)[i], fewMeasures())
		x, y := worst(shared, sharedOf[i], fewMeasures()), worst(built, builtOf[i], fewMeasures())
		for m, n := range fewMeasures() {
			if after[m].Value != before[m].Value {
				t.Errorf("element %d, %s: %.17g after a rest, %.17g before", i, n.name, after[m].Value, before[m].Value)
			}
			if got, want := x[m].Value, y[m].Value; !(math.Abs(got-want) <= 1e-9*math.Abs(want)+negligible(&n)) {
				t.Errorf("element %d, %s: %.12g on a shared frame, %.12g on its own", i, n.name, got, want)
			}
		}
	}
}
