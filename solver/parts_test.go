package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// aligned returns a frame of posts in a row and a rail, square to the axes, so that most have parts: with
// springs to the ground, joints on rigid arms, lumps, and end ties, each by chance.
func aligned(r *rand.Rand) *Frame {
	f := &Frame{}
	chance := func(of int) bool { return r.IntN(of) == 0 }
	last := NodeID(-1)
	for i := range 2 + r.IntN(4) {
		foot := f.Node(fmt.Sprintf("foot %d", i), Vec{1.3 * float64(i), 0, 0})
		top := f.Node(fmt.Sprintf("top %d", i), Vec{1.3 * float64(i), 0, 1.1})
		f.Restrain(foot, UX, UY, UZ, RZ)
		f.Spring(foot, RX, between(r, 1e4, 1e6))
		f.Spring(foot, RY, between(r, 1e4, 1e6))
		post := tube(foot, top)
		if chance(4) {
			post.Ends = []EndTie{{1, Freedom(r.IntN(6)), Tie(between(r, 1e4, 1e6))}}
		}
		f.Member(post)
		at := Vec{}
		if chance(3) {
			at[r.IntN(3)] = between(r, 0.03, 0.2)
		}
		rail := f.Node(fmt.Sprintf("rail at %d", i), Vec{1.3 * float64(i), 0, 1.1}.add(at))
		j := Joint{First: top, Second: rail, Ties: [6]Tie{Shared(), Shared(), Shared(), Shared()}}
		for k := RX; k <= RZ; k++ {
			if chance(2) {
				j.Ties[k] = Tie(between(r, 1e3, 1e5))
			}
		}
		f.Join(j)
		if chance(3) {
			f.Spring(rail, Freedom(r.IntN(6)), between(r, 1e4, 1e6))
		}
		if chance(3) {
			f.Mass(rail, between(r, 0.1, 5))
		}
		if last >= 0 && f.Position(last)[1] == f.Position(rail)[1] && f.Position(last)[2] == f.Position(rail)[2] {
			m := tube(last, rail)
			m.Reference = Vec{0, 1, 0}
			f.Member(m)
		}
		last = rail
	}
	return f
}

// Parts of the equations are blocks of every matrix on the diagonal: no stiffness, no mass and no axial
// force ties an equation of one to one of another. Each matrix is put together from the elements, which
// know nothing of parts.
func TestNothingTiesTwoParts(t *testing.T) {
	parted := 0
	for seed := range uint64(400) {
		r := rand.New(rand.NewPCG(47, seed))
		f := aligned(r)
		s, err := f.Factorise()
		if err != nil {
			continue // a mechanism
		}
		if len(s.parts) > 2 {
			parted++
		}
		c := Case{Gravity: Vec{0, 0, -9.81}}
		for n := range f.nodes {
			c.Nodes = append(c.Nodes, NodeLoad{Node: NodeID(n), Force: randomVec(r, 1e4)})
		}
		untied, err := s.untied()
		if err != nil {
			t.Fatal(err)
		}
		ground := untied.settle(nil, make(vector, untied.free+untied.held))
		var none prestress
		stress := untied.prestress(&c, untied.Solve(c), &ground, &none)
		geometric, masses := untied.withBand(false), s.withBand(false)
		geometric.addGeometric(&stress, 1)
		masses.addMasses()
		for _, of := range []struct {
			name  string
			of    *Factored
			parts []int
		}{{"stiffness", s, s.parts}, {"geometric stiffness", geometric, untied.parts}, {"mass", masses, s.parts}} {
			expectParted(t, fmt.Sprintf("frame %d: %s", seed, of.name), of.of.stiffness(), of.parts)
		}
	}
	if parted < 100 {
		t.Errorf("%d frames have parts: the case is gone", parted)
	}
}

// expectParted reports the first entry of a matrix between two parts.
func expectParted(t *testing.T, name string, k *mat.SymBandDense, parts []int) {
	t.Helper()
	part := 0
	for i := range k.SymmetricDim() {
		for i >= parts[part+1] {
			part++
		}
		for j := parts[part+1]; j < k.SymmetricDim(); j++ {
			if v := k.At(i, j); math.Abs(v) != 0 {
				t.Errorf("%s ties equation %d of part %d with %d: %g", name, i, part, j, v)
				return
			}
		}
	}
}
