package solver

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

// stiffPost is a post 1 m high whose every stiffness is 1e12, on a foot that is held but
// for one rotation.
func stiffPost() (*Frame, NodeID, NodeID) {
	f := &Frame{}
	foot, top := f.Node("foot of post 3", Vec{}), f.Node("top of post 3", Vec{0, 0, 1})
	f.Restrain(foot, UX, UY, UZ, RY, RZ)
	f.Member(Member{Start: foot, End: top, EA: 1e12, EIy: 1e12, EIz: 1e12, GJ: 1e12, Reference: Vec{1, 0, 0}})
	return f, foot, top
}

// TestStiffnessesTooFarApart names what is soft and what is stiff. The size of a member's
// is that of its stiffness matrix: 12EI/L³ across, 4EI/L in bending, EA/L along, GJ/L in
// torsion (any text on matrix analysis); 3EI/L³ and 3EI/L with the other end released.
func TestStiffnessesTooFarApart(t *testing.T) {
	stiffBeam := func(a, b NodeID) Member {
		return Member{Start: a, End: b, EA: 1e13, EIy: 1e13, EIz: 1e13, GJ: 1e13, Reference: Vec{0, 1, 0}}
	}
	fixed := func(f *Frame) NodeID {
		a := f.Node("wall", Vec{})
		f.Restrain(a, UX, UY, UZ, RX, RY, RZ)
		return a
	}
	cases := []struct {
		name        string
		build       func(f *Frame)
		soft, stiff Stiffness
	}{
		{"a foot", func(f *Frame) {
			g, foot, _ := stiffPost()
			*f = *g
			f.Spring(foot, RX, 1e-3)
		},
			Stiffness{"spring of foot of post 3 in rotation about X", 1e-3, "N·m/rad"},
			Stiffness{"member from foot of post 3 to top of post 3 across its axis, along its z", 12e12, "N/m"}},
		{"an end tie", func(f *Frame) {
			m := stiffBeam(fixed(f), f.Node("tip", Vec{1, 0, 0}))
			m.Ends = []EndTie{{0, RZ, 1e-3}}
			f.Member(m)
		},
			Stiffness{"tie at the start of member from wall to tip in bending about its z", 1e-3, "N·m/rad"},
			Stiffness{"member from wall to tip across its axis, along its y", 3e13, "N/m"}},
		{"a joint", func(f *Frame) {
			a, b := fixed(f), f.Node("b", Vec{1, 0, 0})
			f.Member(stiffBeam(a, b))
			c := f.Node("c", Vec{1, 0, 0})
			f.Join(Joint{First: b, Second: c, Ties: [6]Tie{Shared(), Shared(), Shared(), 2e-3, Shared(), Shared()}})
			f.Member(stiffBeam(c, f.Node("d", Vec{3, 0, 0})))
		},
			Stiffness{"joint of b and c in rotation about X", 2e-3, "N·m/rad"},
			Stiffness{"member from c to d in torsion", 5e12, "N·m/rad"}},
		{"a soft member among stiff ones", func(f *Frame) {
			a, b, c := fixed(f), f.Node("b", Vec{1, 0, 0}), f.Node("c", Vec{2, 0, 0})
			f.Member(stiffBeam(a, b))
			m := stiffBeam(b, c)
			m.GJ = 4e-3
			f.Member(m)
			f.Member(stiffBeam(c, f.Node("d", Vec{3, 0, 0})))
		},
			Stiffness{"member from b to c in torsion", 4e-3, "N·m/rad"},
			Stiffness{"member from c to d in torsion", 1e13, "N·m/rad"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := &Frame{}
			c.build(f)
			_, err := f.Factorise()
			var ill *IllConditionedError
			if !errors.As(err, &ill) {
				t.Fatalf("error %v, want an ill-conditioned frame", err)
			}
			for _, s := range [...][2]Stiffness{{ill.Soft, c.soft}, {ill.Stiff, c.stiff}} {
				got, want := s[0], s[1]
				if got.Of != want.Of || got.Unit != want.Unit || math.Abs(got.Value-want.Value) > 1e-9*want.Value {
					t.Errorf("%v, want %v", got, want)
				}
			}
			text := err.Error()
			for _, part := range [...]string{c.soft.Of, fmt.Sprintf("%.3g", c.soft.Value), c.stiff.Of, fmt.Sprintf("%.3g", c.stiff.Value), c.soft.Unit, c.stiff.Unit} {
				if !strings.Contains(text, part) {
					t.Errorf("message %q does not say %q", text, part)
				}
			}
		})
	}
}

// TestFromHeldToLoose softens the foot of a stiff post by tens. The answer is right (the
// top of the post goes F h²/k, by statics; the bending of the post is nothing beside it)
// to the digits that the stiffness leaves, or it is refused as ill-conditioned; without
// the foot the frame is a mechanism, and that alone is one.
func TestFromHeldToLoose(t *testing.T) {
	refused := false
	for e := 9; e >= -7; e-- {
		k := math.Pow(10, float64(e))
		f, foot, top := stiffPost()
		f.Spring(foot, RX, k)
		s, err := f.Factorise()
		if err != nil {
			if _, ill := errors.AsType[*IllConditionedError](err); !ill {
				t.Fatalf("k = %g: error %v, want an ill-conditioned frame", k, err)
			}
			refused = true
			continue
		}
		if refused {
			t.Errorf("k = %g is solved, a stiffer foot was refused", k)
		}
		// Four digits are left where the least eigenvalue is leastStiffness.
		got, want := s.Solve(Case{Nodes: []NodeLoad{{Node: top, Force: Vec{0, 1e3, 0}}}}).Displacement(top, UY), 1e3/k+1e3/3e12
		if math.Abs(got-want) > 1e-3*want {
			t.Errorf("k = %g: the top moves %.9g m, want %.9g (statics)", k, got, want)
		}
	}
	if !refused {
		t.Error("no foot was too soft")
	}
	f, _, _ := stiffPost()
	_, err := f.Factorise()
	if m, loose := errors.AsType[*MechanismError](err); !loose || m.Node != "foot of post 3" || m.Direction != "rotation about X" {
		t.Errorf("without a foot: %v, want a mechanism at the foot about X", err)
	}
}

// TestSlenderIsNoMechanism cuts a cantilever into ever more members, until rounding eats
// the answer, P L³/3EI. What is not refused has three digits, and what is refused is no
// mechanism.
func TestSlenderIsNoMechanism(t *testing.T) {
	refused := false
	for n := 16; n <= 8192; n *= 2 {
		f := &Frame{}
		last := f.Node("wall", Vec{})
		f.Restrain(last, UX, UY, UZ, RX, RY, RZ)
		for i := range n {
			next := f.Node(fmt.Sprintf("node %d", i+1), Vec{10 * float64(i+1) / float64(n), 0, 0})
			f.Member(tube(last, next))
			last = next
		}
		s, err := f.Factorise()
		if err != nil {
			if _, ill := errors.AsType[*IllConditionedError](err); !ill {
				t.Fatalf("%d members: error %v, want an ill-conditioned frame", n, err)
			}
			refused = true
			continue
		}
		got, want := s.Solve(Case{Nodes: []NodeLoad{{Node: last, Force: Vec{0, 10, 0}}}}).Displacement(last, UY), 10*1000/(3*2.4e4)
		if math.Abs(got-want) > 1e-3*want {
			t.Errorf("%d members: the tip moves %.9g m, want %.9g", n, got, want)
		}
	}
	if !refused {
		t.Error("no number of members was refused")
	}
}

// TestSoftApartFromStiff has a soft spring that nothing ties to what is stiff: no digits
// are lost, whatever their ratio.
func TestSoftApartFromStiff(t *testing.T) {
	f, foot, _ := stiffPost()
	f.Spring(foot, RX, 1e12)
	n := f.Node("float", Vec{5, 0, 0})
	for d := range Freedom(6) {
		f.Spring(n, d, 1e-12)
	}
	s := f.solved(t, Case{Nodes: []NodeLoad{{Node: n, Force: Vec{3e-12, 0, 0}}}})
	if got := s.Displacement(n, UX); math.Abs(got-3) > 1e-14*3 {
		t.Errorf("movement %.17g m, want 3 (F/k)", got)
	}
}
