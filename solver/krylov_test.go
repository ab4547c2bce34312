package solver

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The largest eigenvalue of random tridiagonal matrices is that of a dense solver.
func TestKrylovLargest(t *testing.T) {
	for seed := range uint64(50) {
		r := rand.New(rand.NewPCG(seed, 7))
		k, n := &krylov{}, 1+r.IntN(krylovSteps)
		m := mat.NewSymDense(n, nil)
		for i := range n {
			k.own = append(k.own, r.Float64())
			m.SetSym(i, i, k.own[i])
			if i > 0 {
				k.beside = append(k.beside, math.Pow(10, -6*r.Float64()))
				m.SetSym(i-1, i, k.beside[i-1])
			}
		}
		values, _ := eigen(m)
		if got, want := k.largest(), values[n-1]; math.Abs(got-want) > 1e-13*want {
			t.Errorf("matrix %d: %.16g, want %.16g", seed, got, want)
		}
	}
}

// A step count that holds all shapes finds the lowest frequency and its movement to rounding: Lanczos ends there.
func TestKrylovOfFewFreedoms(t *testing.T) {
	c := newColumn(clamped...)
	c.frame.Restrain(c.end, UX, UY, RX, RZ) // leaves two
	model, err := c.frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	p := model.pencil((*Factored).addMasses)
	k := krylovOf(model.start())
	got, _ := k.better(p, 0)
	want := vibrations(t, &c.frame, 1)[0].Radian
	if math.Abs(math.Sqrt(got)/want-1) > 1e-10 {
		t.Errorf("%.12g rad/s, want %.12g", math.Sqrt(got), want)
	}
	if q := p.quotient(k.basis[0]); math.Abs(q/got-1) > 1e-9 {
		t.Errorf("its movement has the square %.12g, it has %.12g", q, got)
	}
}

// The lowest vibration is found where all that the start pushes has a higher one: of a tube that turns about
// itself, and of two masses that swing against each other.
func TestLowestVibrationBesideTheStart(t *testing.T) {
	spun := newColumn(UX, UY, UZ, RX)
	spun.frame.Restrain(spun.end, UY, UZ)
	spun.frame.members[0].GJ = 1e-9
	holdsLowest(t, spun.frame.Divide(4).Frame, 100)

	f := &Frame{}
	left, right := f.Node("left", Vec{0, 0, 0}), f.Node("right", Vec{2, 0, 0})
	middle := f.Node("middle", Vec{1, 0, 0})
	for _, m := range [][2]NodeID{{left, middle}, {middle, right}} {
		f.Member(Member{Start: m[0], End: m[1], EA: 1e6, EIy: 1e3, EIz: 1e3, GJ: 1e3, Mass: 1, Reference: Vec{0, 1, 0}})
	}
	for _, n := range []NodeID{left, right} {
		f.Mass(n, 50)
	}
	f.Restrain(middle, UX, UY, UZ, RX) // it turns softly where it does not move
	f.Spring(middle, RY, 1)
	f.Spring(middle, RZ, 2)
	holdsLowest(t, f, 101)
}
