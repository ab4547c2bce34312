package check

import (
	"math"
	"testing"
)

// A crossing finds where functions pass 1 whose roots are known: movements of a lone post, a straight line of the
// flexibility of its foot, and of a post that rails hold, a fraction of it, in few steps; and those that no
// fraction follows, with a kink, bent, and all but level until they jump.
func TestCrossing(t *testing.T) {
	const own, within = 2e-5, 1e-9
	for _, c := range []struct {
		name  string
		of    func(x float64) float64
		root  float64
		tries int
	}{
		{"lone post", func(x float64) float64 { return (own + x) / 9e-5 }, 7e-5, 2},
		{"line of another slope", func(x float64) float64 { return 0.3 + 1e4*x }, 7e-5, 3},
		{"fraction", func(x float64) float64 { return (0.2 + 3e4*x) / (1 + 1e4*x) }, 4e-5, 4},
		{"fraction that levels out beyond", func(x float64) float64 { return 1.25 * x / (1e-5 + x) }, 4e-5, 4},
		{"two lines", func(x float64) float64 { return math.Max(0.5+2e3*x, 6e4*x-1.4) }, 4e-5, 20},
		{"power", func(x float64) float64 { return math.Pow(x/3e-5, 5) }, 3e-5, 20},
		{"jump", func(x float64) float64 { return 1 + math.Copysign(0.5, x-5e-5) }, 5e-5, 80},
	} {
		for _, from := range []float64{0, 1e-9, 1.3e-5, 6e-4} {
			root, x, tries := newCrossing(own, 1e-3), from, 0
			for u := c.of(x); math.Abs(u-1) >= within && !root.closed(); u = c.of(x) {
				root.take(x, u)
				x = root.next()
				if tries++; tries > 100 {
					break
				}
			}
			if math.Abs(x/c.root-1) > 1e-8 {
				t.Errorf("%s from %g: found %.12g, want %.12g", c.name, from, x, c.root)
			}
			if more := 2; tries > c.tries+more { // one may go to rigid feet, one is spent on what is too far
				t.Errorf("%s from %g: %d tries, want %d", c.name, from, tries, c.tries)
			}
		}
	}
}

// What passes 1 at no flexibility that is tried ends at the largest one, and what is above it on rigid feet is asked of
// these.
func TestCrossingOfNothing(t *testing.T) {
	root := newCrossing(2e-5, 1e-3)
	x := 1e-5
	for range 20 {
		root.take(x, 0.9*x/(1e-5+x))
		x = root.next()
	}
	if x != 1e-3 {
		t.Errorf("a movement that stays below its limit is looked for at %g, want the largest, %g", x, 1e-3)
	}
	root, x = newCrossing(2e-5, 1e-3), 1e-4
	for range 20 {
		if x == 0 {
			return
		}
		root.take(x, 1.5+1e3*x)
		x = root.next()
	}
	t.Errorf("a movement above its limit is looked for at %g, want rigid feet", x)
}
