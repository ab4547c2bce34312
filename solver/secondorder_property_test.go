package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// standing returns the answer in second order, or nil where the frame does not stand.
func (f *Frame) standing(t *testing.T, c Case) *SecondOrder {
	t.Helper()
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	if err := model.Check(&c); err != nil {
		t.Fatal(err)
	}
	base, err := model.untied()
	if err != nil {
		t.Fatal(err)
	}
	return base.secondOrder(&c)
}

// TestSmallLoadsAreFirstOrder holds second order to first order where loads are so small that
// axial forces do nothing, through end ties, offsets, joints, warmth and settlements.
func TestSmallLoadsAreFirstOrder(t *testing.T) {
	const small = 1e-6 // leaves some 1e-8 of second order
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 23))
		f := randomFrame(r)
		load := randomCase(r, f)
		first := f.solved(t, load)
		second := f.standing(t, load.scaled(small))
		movement, force := first.sizes()
		for n := range f.nodes {
			for d := range Freedom(6) {
				if got, want := second.Displacement(NodeID(n), d)/small, first.Displacement(NodeID(n), d); math.Abs(got-want) > 1e-6*movement {
					t.Errorf("seed %d node %d: %v %g, in first order %g", seed, n, d, got, want)
				}
			}
		}
		for i, q := range second.Reactions {
			if p := first.Reactions[i]; q.Node != p.Node || q.Freedom != p.Freedom || math.Abs(q.Value/small-p.Value) > 1e-6*force {
				t.Errorf("seed %d: reaction %v, in first order %v", seed, q, p)
			}
		}
		for m := range f.members {
			one, two := first.Diagram(MemberID(m)), second.Diagram(MemberID(m))
			ends := second.EndForces(MemberID(m))
			for i, want := range first.EndForces(MemberID(m)) {
				if math.Abs(ends[i]/small-want) > 1e-6*force {
					t.Errorf("seed %d member %d: end force %d is %g, in first order %g", seed, m, i, ends[i]/small, want)
				}
			}
			for i := range 5 {
				x := f.Length(MemberID(m)) * (float64(i) + 0.41) / 5
				for c := range components {
					size := force
					if c >= MoveX {
						size = movement
					}
					if got, want := two.At(c, x)/small, one.At(c, x); math.Abs(got-want) > 1e-6*size {
						t.Errorf("seed %d member %d: component %d at %g is %g, in first order %g", seed, m, c, x, got, want)
					}
				}
			}
		}
	}
}

// TestTurnedInSecondOrder turns whole frames: the answer turns with them.
func TestTurnedInSecondOrder(t *testing.T) {
	ran := 0
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 29))
		f := randomFrame(r)
		load := randomCase(r, f).scaled(10)
		to := randomAxes(r)
		one, two := f.standing(t, load), f.turned(to).standing(t, load.turned(to))
		if (one == nil) != (two == nil) {
			t.Errorf("seed %d: the frame stands one way and not the other", seed)
		}
		if one == nil || two == nil {
			continue
		}
		ran++
		// What first order leaves to rounding, second order makes larger as it makes movements.
		linear := f.solved(t, load)
		was, _ := linear.sizes()
		movement := 0.0
		moved := func(s *SecondOrder, n int) (u, turn Vec) {
			for d := range 3 {
				u[d], turn[d] = s.Displacement(NodeID(n), Freedom(d)), s.Displacement(NodeID(n), RX+Freedom(d))
			}
			return u, turn
		}
		for n := range f.nodes {
			u, turn := moved(one, n)
			movement = max(movement, u.norm(), turn.norm())
		}
		scale := movement * max(1, movement/was)
		for n := range f.nodes {
			u, turn := moved(one, n)
			v, turned := moved(two, n)
			nearVec(t, fmt.Sprintf("seed %d node %d moves", seed, n), v, to.from(u), scale)
			nearVec(t, fmt.Sprintf("seed %d node %d turns", seed, n), turned, to.from(turn), scale)
		}
		if one.Steps != two.Steps && one.Steps < 20 && math.Abs(float64(one.Steps-two.Steps)) > 2 {
			t.Errorf("seed %d: %d steps and %d", seed, one.Steps, two.Steps)
		}
	}
	if ran < 20 {
		t.Errorf("%d frames stood, want 20 at least", ran)
	}
}

// TestDivisionConverges divides the members of random frames in two again and again: what that
// changes falls with the fourth power of the length, until rounding. (With shear strain it
// falls with the square, from N/GAs of that, and where a point force makes the axial force jump
// within a part, with a power that hangs on where it stands.)
func TestDivisionConverges(t *testing.T) {
	ran := 0
	for seed := range uint64(10) {
		r := rand.New(rand.NewPCG(seed, 31))
		f := randomFrame(r)
		load := randomCase(r, f).scaled(10)
		for m := range f.members {
			f.members[m].ShearY, f.members[m].ShearZ = 0, 0
		}
		for i := range load.Points {
			load.Points[i].Force = Vec{}
		}
		var tops [5]vector
		var size float64
		stood := true
		for i := range tops {
			d := f.Divide(1 << i)
			s := d.Frame.standing(t, d.Case(load))
			if s == nil {
				stood = false
				break
			}
			for n := range f.nodes {
				for k := range Freedom(3) {
					tops[i] = append(tops[i], s.Displacement(NodeID(n), k))
				}
			}
			size = largest(tops[i])
		}
		if !stood {
			continue
		}
		ran++
		var off [4]float64 // the first is of no order yet
		for i := range off {
			for k := range tops[i] {
				off[i] = math.Max(off[i], math.Abs(tops[i][k]-tops[i+1][k]))
			}
		}
		for i := 2; i < len(off); i++ {
			// 16 times in the end; the square would give 4.
			if off[i] > off[i-1]/8 && off[i] > rounding*size {
				t.Errorf("seed %d: division changes movements of %g by %.2g, then %.2g", seed, size, off[i-1], off[i])
			}
		}
		if off[0] == 0 {
			t.Errorf("seed %d: division changes nothing", seed)
		}
	}
	if ran < 7 {
		t.Errorf("%d frames stood, want 7 at least", ran)
	}
}

// TestResprungInSecondOrder holds a frame with other springs to one that was made with them.
func TestResprungInSecondOrder(t *testing.T) {
	made := func(factor float64) (*Factored, NodeID) {
		c := newColumn(UX, UY, UZ, RX)
		c.frame.Spring(c.start, RY, 2*factor)
		c.frame.Spring(c.start, RZ, 3*factor)
		c.frame.members[0].Ends = []EndTie{{0, RZ, 5}}
		model, err := c.frame.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		return model, c.end
	}
	soft, end := made(1)
	stiff, _ := made(1.7)
	sprung, err := soft.Resprung(1.7)
	if err != nil {
		t.Fatal(err)
	}
	load := Case{Nodes: []NodeLoad{{end, Vec{-0.4, 0.01, 0.02}, Vec{}}}}
	a, err := stiff.SecondOrder(load)
	if err != nil {
		t.Fatal(err)
	}
	b, err := sprung.SecondOrder(load)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "movement", b.Displacement(end, UY), a.Displacement(end, UY), a.Displacement(end, UY))
}
