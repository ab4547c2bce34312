package solver

import (
	"math/rand/v2"
	"testing"
)

// TestAxesOfAReferenceNearTheAxis gives reference vectors at 1e-8 from the member's axis, ten
// times what is refused: its own axes stay orthonormal to rounding.
func TestAxesOfAReferenceNearTheAxis(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		f := &Frame{}
		to := randomVec(r, 1)
		m := tube(f.Node("start", Vec{}), f.Node("end", to))
		aside := to.cross(randomVec(r, 1))
		m.Reference = to.add(aside.scale(1e-8 * to.norm() / aside.norm()))
		f.Member(m)
		e, err := f.element(0, &prisms{})
		if err != nil {
			t.Fatal(err)
		}
		for i, a := range e.axes {
			for j, b := range e.axes {
				want := 0.0
				if i == j {
					want = 1
				}
				near(t, "product of two axes", a.dot(b), want, 1e-3) // to 1e-12
			}
		}
	}
}
