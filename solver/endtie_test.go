package solver

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"
)

// TestEndTiesAreJoints ties any of a member's twelve end freedoms, free or by a spring,
// and compares with a member whose ends are nodes of their own, each at the end of a joint
// with the member's axes: elimination in the joint against condensation in the member. The
// member leans, bends and shears, has offsets and bears loads of every kind. Where the ties
// leave the member itself loose, both frames say so.
func TestEndTiesAreJoints(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	held, loose := 0, 0
	var seen [12]int
	for trial := range 400 {
		ends, ties := randomEndTies(r)
		a, b := tiedPair(r, ends, ties)
		ma, errA := a.Factorise()
		mb, errB := b.Factorise()
		if errA != nil || errB != nil {
			var mechanism *MechanismError
			if !errors.As(errA, &mechanism) || !errors.As(errB, &mechanism) {
				t.Errorf("trial %d, %v: %v by end ties, %v by joints", trial, ends, errA, errB)
			}
			loose++
			continue
		}
		held++
		for _, e := range ends {
			seen[6*e.End+int(e.Freedom)]++
		}
		c := tiedCase(r, a)
		compareTied(t, fmt.Sprintf("trial %d, %v", trial, ends), ma, mb, c)
	}
	if held < 100 || loose < 20 {
		t.Errorf("%d held and %d loose: too few to test", held, loose)
	}
	for i, n := range seen {
		if n < 15 {
			t.Errorf("end freedom %d tied %d times: too few to test", i, n)
		}
	}
}

// randomEndTies ties up to five end freedoms, as end ties and as ties of two joints.
func randomEndTies(r *rand.Rand) (ends []EndTie, ties [2][6]Tie) {
	ties = [2][6]Tie{rigid(), rigid()}
	for _, i := range r.Perm(12)[:1+r.IntN(5)] {
		tie := Free
		if r.IntN(2) == 0 {
			tie = Tie(between(r, 1e4, 1e6))
		}
		ends = append(ends, EndTie{i / 6, Freedom(i % 6), tie})
		ties[i/6][i%6] = tie
	}
	return ends, ties
}

// tiedPair returns two frames that are the same: a member with end ties, and one with
// joints instead. Its far node is on springs.
func tiedPair(r *rand.Rand, ends []EndTie, ties [2][6]Tie) (a, b *Frame) {
	m := Member{Start: 0, End: 1, EA: 5e6, EIy: 2e4, EIz: 5e4, GJ: 1.2e4, ShearY: 4e5, ShearZ: 2e5, Expansion: 12e-6, Reference: Vec{0.2, 1, 0.1},
		Offsets: [2]Vec{randomVec(r, 0.1), randomVec(r, 0.1)}}
	build := func(m Member) *Frame {
		f := &Frame{}
		f.Node("A", Vec{})
		f.Node("B", Vec{0.7, -0.4, 1.3})
		f.Restrain(0, UX, UY, UZ, RX, RY, RZ)
		for d := range Freedom(3) {
			f.Spring(1, d, 3e5)
			f.Spring(1, RX+d, 2e4)
		}
		f.Member(m)
		return f
	}
	tied := m
	tied.Ends = ends
	a, b = build(tied), build(m)
	x := b.Position(1).add(m.Offsets[1]).sub(m.Offsets[0])
	x = x.scale(1 / x.norm())
	z := x.cross(m.Reference)
	z = z.scale(1 / z.norm())
	joined := &b.members[0]
	for end, n := range [2]NodeID{0, 1} {
		j := Joint{First: n, Second: b.Node("end", b.Position(n).add(m.Offsets[end])), Axes: Axes{x, z.cross(x), z}, Ties: ties[end]}
		b.Join(j)
		if end == 0 {
			joined.Start = j.Second
		} else {
			joined.End = j.Second
		}
	}
	joined.Offsets = [2]Vec{}
	return a, b
}

func tiedCase(r *rand.Rand, f *Frame) Case {
	l := f.Length(0)
	c := Case{
		Nodes:       []NodeLoad{{1, randomVec(r, 300), randomVec(r, 200)}},
		Heats:       []Heat{{0, between(r, -20, 20), [2]float64{between(r, -200, 200), between(r, -200, 200)}}},
		Settlements: []Settlement{{0, Freedom(r.IntN(6)), 1e-4}, {1, Freedom(r.IntN(6)), 1e-4}},
	}
	for range 2 {
		c.Points = append(c.Points, PointLoad{0, r.Float64() * l, randomVec(r, 300), randomVec(r, 200), r.IntN(2) == 0})
		x, y := r.Float64()*l, r.Float64()*l
		c.Lines = append(c.Lines, LineLoad{0, min(x, y), max(x, y), randomVec(r, 300), randomVec(r, 300), r.IntN(2) == 0})
	}
	return c
}

// compareTied holds the end forces, the diagrams, the movements and the responses of the
// two frames together, and an influence line of every component.
func compareTied(t *testing.T, what string, ma, mb *Factored, c Case) {
	t.Helper()
	sa, sb := ma.Solve(c), mb.Solve(c)
	movement, force := sb.sizes()
	ua, ta := sa.moved(1)
	ub, tb := sb.moved(1)
	nearVec(t, what+": displacement", ua, ub, movement)
	nearVec(t, what+": rotation", ta, tb, movement)
	sameEndForces(t, sa, sb)
	da, db := sa.Diagram(0), sb.Diagram(0)
	l := ma.frame.Length(0)
	along := []Vec{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	row := Row{Members: []MemberID{0}, Share: 1}
	ia, ib := ma.Influence(ma.Chain(row), along...), mb.Influence(mb.Chain(row), along...)
	for k := range components {
		scale, unit := force, 1.0
		if k >= MoveX {
			scale, unit = movement, 1e-4
		}
		for _, x := range []float64{0, 0.37 * l, l} {
			near(t, fmt.Sprintf("%s: component %d at %g", what, k, x), da.At(k, x), db.At(k, x), scale)
			near(t, fmt.Sprintf("%s: response %d at %g", what, k, x), sa.Value(ma.Section(0, x, k)), db.Before(k, x), scale)
		}
		la, lb := ia.Line(ma.Section(0, 0.37*l, k)), ib.Line(mb.Section(0, 0.37*l, k))
		for i := range la.Pieces {
			for d := range along {
				x := 0.3*la.Pieces[i].From + 0.7*la.Pieces[i].To
				near(t, fmt.Sprintf("%s: line %d in direction %d at %g", what, k, d, x), la.Pieces[i].At(d, x), lb.Pieces[i].At(d, x), unit)
			}
		}
	}
}
