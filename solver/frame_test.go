package solver

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// tube is a member with plain stiffnesses, bending upwards about its local z.
func tube(a, b NodeID) Member {
	return Member{Start: a, End: b, EA: 9e7, EIy: 2.4e4, EIz: 2.4e4, GJ: 1.9e4, Reference: Vec{0, 1, 0}}
}

func TestMechanisms(t *testing.T) {
	cases := []struct {
		name            string
		build           func(f *Frame)
		node, direction string
	}{
		{"nothing held", func(f *Frame) {
			f.Member(tube(f.Node("a", Vec{}), f.Node("b", Vec{1, 0, 0})))
		}, "a", "rotation about X"}, // one of six, the largest
		{"a node without members", func(f *Frame) {
			a, b := f.Node("a", Vec{}), f.Node("b", Vec{1, 0, 0})
			f.Restrain(a, UX, UY, UZ, RX, RY, RZ)
			f.Member(tube(a, b))
			f.Node("lost", Vec{2, 0, 0})
		}, "lost", "translation along X"},
		{"a beam that can roll about its axis", func(f *Frame) {
			a, b := f.Node("a", Vec{}), f.Node("b", Vec{1, 0, 0})
			f.Restrain(a, UX, UY, UZ)
			f.Restrain(b, UY, UZ)
			f.Member(tube(a, b))
		}, "a", "rotation about X"},
		{"three hinges in a line", func(f *Frame) {
			a, b, c := f.Node("a", Vec{}), f.Node("b", Vec{1, 0, 0}), f.Node("c", Vec{2, 0, 0})
			f.Restrain(a, UX, UY, UZ, RX, RY)
			f.Restrain(c, UX, UY, UZ, RX, RY)
			f.Member(tube(a, b))
			m := tube(b, c)
			m.Ends = []EndTie{{0, RZ, Free}}
			f.Member(m)
		}, "a", "rotation about Z"},
		{"a node whose members are all released", func(f *Frame) {
			a, b, c := f.Node("a", Vec{}), f.Node("b", Vec{1, 0, 0}), f.Node("c", Vec{2, 0, 0})
			for _, n := range [...]NodeID{a, c} {
				f.Restrain(n, UX, UY, UZ, RX, RY, RZ)
			}
			for _, m := range [...]Member{tube(a, b), tube(c, b)} {
				m.Ends = []EndTie{{1, RY, Free}}
				f.Member(m)
			}
		}, "b", "rotation about Y"},
		{"a member loose about its own axis", func(f *Frame) {
			a, b := f.Node("a", Vec{}), f.Node("b", Vec{1, 0, 0})
			for _, n := range [...]NodeID{a, b} {
				f.Restrain(n, UX, UY, UZ, RX, RY, RZ)
			}
			m := tube(a, b)
			m.Ends = []EndTie{{0, RX, Free}, {1, RX, Free}}
			f.Member(m)
		}, "member from a to b", "its own released ends"},
		{"a joint that slides along its own axis", func(f *Frame) {
			a, b := f.Node("a", Vec{}), f.Node("b", Vec{1, 0, 0})
			f.Restrain(a, UX, UY, UZ, RX, RY, RZ)
			f.Member(tube(a, b))
			c, d := f.Node("c", Vec{1, 0, 0}), f.Node("d", Vec{2, 0, 0})
			f.Join(Joint{First: b, Second: c, Axes: Axes{{0.6, 0.8, 0}, {-0.8, 0.6, 0}, {0, 0, 1}},
				Ties: [6]Tie{Shared(), Free, Shared(), Shared(), Shared(), Shared()}})
			f.Member(tube(c, d))
		}, "c", "translation along (-0.8, 0.6, 0)"},
		{"a joint with nothing on its far side", func(f *Frame) {
			a, b := f.Node("a", Vec{}), f.Node("b", Vec{1, 0, 0})
			f.Restrain(a, UX, UY, UZ, RX, RY, RZ)
			f.Member(tube(a, b))
			f.Join(Joint{First: b, Second: f.Node("c", Vec{1, 0, 0}), Axes: Axes{{0.6, 0.8, 0}, {-0.8, 0.6, 0}, {0, 0, 1}},
				Ties: [6]Tie{Shared(), Free, Shared(), Shared(), Shared(), Shared()}})
		}, "c", "translation along (-0.8, 0.6, 0)"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := &Frame{}
			c.build(f)
			_, err := f.Factorise()
			var m *MechanismError
			if !errors.As(err, &m) {
				t.Fatalf("error %v, want a mechanism", err)
			}
			if m.Node != c.node || m.Direction != c.direction {
				t.Errorf("mechanism %q in %q, want %q in %q", m.Node, m.Direction, c.node, c.direction)
			}
			if text := err.Error(); !strings.Contains(text, c.node) || !strings.Contains(text, c.direction) {
				t.Errorf("message %q names neither %q nor %q", text, c.node, c.direction)
			}
		})
	}
}

// TestReleasesLeaveNothing hangs a node on one member whose end ties let it go,
// in any attitude and at any length: the rounding of what the ties take away
// must not pass for a stiffness.
func TestReleasesLeaveNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	loose := [][]EndTie{
		{{0, UX, Free}}, {{0, RX, Free}}, {{0, RZ, Free}}, {{1, RY, Free}}, {{0, UY, Free}}, {{1, UZ, Free}},
		{{0, RY, Free}, {0, RZ, Free}}, {{0, UY, Free}, {0, RZ, Free}}, {{0, UX, Free}, {0, RX, Free}, {1, RZ, 1e4}},
	}
	for range 200 {
		for _, ends := range loose {
			f := &Frame{}
			a := f.Node("a", randomVec(r, 1))
			along := [...]Vec{randomVec(r, 1), {between(r, 0.2, 2), 0, 0}, {0, 0, between(r, 0.2, 2)}}[r.IntN(3)]
			b := f.Node("b", f.Position(a).add(along))
			f.Restrain(a, UX, UY, UZ, RX, RY, RZ)
			m := randomMember(r, f, a, b)
			m.Start, m.End, m.Ends = a, b, ends
			f.Member(m)
			_, err := f.Factorise()
			if _, ok := errors.AsType[*MechanismError](err); !ok {
				t.Fatalf("ends %v along %v: error %v, want a mechanism", ends, along, err)
			}
		}
	}
}

// TestSoftIsNoMechanism holds a long run by soft springs only: it bends far, but
// it is held.
func TestSoftIsNoMechanism(t *testing.T) {
	f, n := &Frame{}, 400
	var nodes []NodeID
	for i := range n + 1 {
		nodes = append(nodes, f.Node("n", Vec{0.1 * float64(i), 0, 0}))
		if i > 0 {
			f.Member(tube(nodes[i-1], nodes[i]))
		}
	}
	f.Restrain(nodes[0], UX, UZ, RX, RY)
	f.Spring(nodes[0], UY, 50)
	f.Spring(nodes[n], UY, 50)
	s := f.solved(t, Case{Nodes: []NodeLoad{{Node: nodes[n], Force: Vec{0, 1, 0}}}})
	// Statics: the load stands over one spring, 1 N / 50 N/m.
	if got := s.Displacement(nodes[n], UY); math.Abs(got-0.02) > 1e-6*0.02 {
		t.Errorf("movement %.9g m, want 0.02", got)
	}
}

func TestInputErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	// Each case spoils a frame that is otherwise sound.
	cases := []struct {
		name  string
		spoil func(f *Frame)
		says  string
	}{
		{"no length", func(f *Frame) { f.nodes[1].at = f.nodes[0].at }, "member from a to b has no length"},
		{"a length of rounding", func(f *Frame) { f.nodes[3].at = Vec{1 + 1e-9, 0, 0} }, "member from c to d has no length"},
		{"position NaN", func(f *Frame) { f.nodes[1].at[2] = nan }, "node b has a position that is not finite"},
		{"position infinite", func(f *Frame) { f.nodes[1].at[2] = -inf }, "node b has a position that is not finite"},
		{"length overflows", func(f *Frame) { f.nodes[0].at[0], f.nodes[1].at[0] = -1e308, 1e308 }, "member from a to b has no length"},
		{"stiffness NaN", func(f *Frame) { f.members[0].EIy = nan }, "stiffness that is not positive and finite"},
		{"stiffness zero", func(f *Frame) { f.members[0].GJ = 0 }, "stiffness that is not positive and finite"},
		{"stiffness negative", func(f *Frame) { f.members[0].EA = -1 }, "stiffness that is not positive and finite"},
		{"stiffness infinite", func(f *Frame) { f.members[0].EIz = inf }, "stiffness that is not positive and finite"},
		{"stiffness overflows", func(f *Frame) { f.members[0].EA, f.nodes[1].at = 1e308, Vec{1e-3, 0, 0} }, "a stiffness is not finite"},
		{"mass NaN", func(f *Frame) { f.members[0].Mass = nan }, "mass that is negative or not finite"},
		{"mass negative", func(f *Frame) { f.members[0].Mass = -1 }, "mass that is negative or not finite"},
		{"reference along the member", func(f *Frame) { f.members[0].Reference = Vec{-2, 0, 0} }, "reference vector along the member"},
		{"no reference", func(f *Frame) { f.members[0].Reference = Vec{} }, "reference vector along the member"},
		{"reference NaN", func(f *Frame) { f.members[0].Reference = Vec{0, nan, 0} }, "reference vector along the member"},
		{"end tie negative", func(f *Frame) { f.members[0].Ends = []EndTie{{0, RZ, -1}} }, "end tie that is negative or not a number"},
		{"end tie NaN", func(f *Frame) { f.members[0].Ends = []EndTie{{0, RZ, Tie(nan)}} }, "end tie that is negative or not a number"},
		{"spring negative", func(f *Frame) { f.Spring(1, UY, -1e3) }, "node b has a spring that is negative or not finite"},
		{"spring NaN", func(f *Frame) { f.Spring(1, UY, nan) }, "node b has a spring that is negative or not finite"},
		{"spring infinite", func(f *Frame) { f.Spring(1, UY, inf) }, "node b has a spring that is negative or not finite"},
		{"joint tie NaN", func(f *Frame) { f.joints[0].Ties[4] = Tie(nan) }, "joint of b and c has a tie that is negative or not a number"},
		{"joint axes skew", func(f *Frame) { f.joints[0].Axes[1] = Vec{0, 0.8, 0.6} }, "axes that are not orthonormal"},
		{"joint axes long", func(f *Frame) { f.joints[0].Axes[0] = Vec{1.001, 0, 0} }, "axes that are not orthonormal"},
		{"joint axes left-handed", func(f *Frame) { f.joints[0].Axes[2] = Vec{0, 0, -1} }, "axes that are not orthonormal"},
		{"joint axes NaN", func(f *Frame) { f.joints[0].Axes[0][0] = nan }, "axes that are not orthonormal"},
		{"joint to nowhere", func(f *Frame) { f.joints[0].First = 99 }, "the joint at node c has a first node that is not there"},
		{"second node held", func(f *Frame) { f.Restrain(2, UX) }, "node c is held, but it is the second node of a joint"},
		{"joints in a ring", func(f *Frame) { f.Join(Joint{First: 2, Second: 1}) }, "go round in a ring"},
		{"joint of a node with itself", func(f *Frame) { f.Join(Joint{First: 1, Second: 1}) }, "go round in a ring"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := jointedFrame()
			if _, err := f.Factorise(); err != nil {
				t.Fatalf("the sound frame: %v", err)
			}
			c.spoil(f)
			_, err := f.Factorise()
			var in *InputError
			if !errors.As(err, &in) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("error %v, want an input error that says %q", err, c.says)
			}
		})
	}
}

// jointedFrame is two cantilevers whose tips are joined.
func jointedFrame() *Frame {
	f := &Frame{}
	a, b, c, d := f.Node("a", Vec{}), f.Node("b", Vec{1, 0, 0}), f.Node("c", Vec{1, 0, 0}), f.Node("d", Vec{2, 0, 0})
	f.Restrain(a, UX, UY, UZ, RX, RY, RZ)
	f.Restrain(d, UX, UY, UZ, RX, RY, RZ)
	f.Member(tube(a, b))
	f.Member(tube(c, d))
	f.Join(Joint{First: b, Second: c, Ties: [6]Tie{Shared(), Shared(), Shared(), Shared(), Free, 2e3}})
	return f
}

func panics(t *testing.T, what string, call func()) {
	t.Helper()
	defer func() {
		if recover() == nil {
			t.Errorf("%s: no panic", what)
		}
	}()
	call()
}

func TestCallersBugsPanic(t *testing.T) {
	model, err := jointedFrame().Factorise()
	if err != nil {
		t.Fatal(err)
	}
	load := func(x float64) func() {
		return func() { model.Solve(Case{Points: []PointLoad{{Member: 0, At: x, Force: Vec{0, 1, 0}}}}) }
	}
	panics(t, "load before its member", load(-0.1))
	panics(t, "load past its member", load(1.1))
	panics(t, "load nowhere", load(math.NaN()))
	line := func(from, to float64) func() {
		return func() { model.Solve(Case{Lines: []LineLoad{{Member: 0, From: from, To: to}}}) }
	}
	panics(t, "line load past its member", line(0.5, 1.1))
	panics(t, "line load that runs back", line(0.5, 0.4))
	panics(t, "section past its member", func() { model.Section(0, 1.1, MomentZ) })
	panics(t, "section nowhere", func() { model.Section(0, math.NaN(), MomentZ) })
	panics(t, "second node of two joints", func() { jointedFrame().Join(Joint{First: 3, Second: 2}) })
}

// TestLoadsThatAreNoNumbers gives loads that are not finite: the answer says by
// its residual that it cannot be trusted.
func TestLoadsThatAreNoNumbers(t *testing.T) {
	f := jointedFrame()
	for _, bad := range [...]float64{math.NaN(), math.Inf(1), 1e308} {
		for what, c := range map[string]Case{
			"node":    {Nodes: []NodeLoad{{Node: 1, Force: Vec{bad, bad, bad}}}},
			"point":   {Points: []PointLoad{{Member: 0, At: 0.5, Force: Vec{0, bad, bad}}}},
			"line":    {Lines: []LineLoad{{Member: 0, To: 1, Start: Vec{0, bad, 0}, End: Vec{bad, bad, bad}}}},
			"gravity": {Gravity: Vec{bad, bad, bad}},
		} {
			if what == "gravity" {
				f.members[0].Mass = 1e3
			}
			s := f.solved(t, c)
			if s.finite() || s.Residual > 1e-8 || s.Imbalance > 1e-8 {
				continue
			}
			t.Errorf("%s load of %g: residual %g and imbalance %g, yet the answer is not finite", what, bad, s.Residual, s.Imbalance)
		}
	}
}

// finite says whether every displacement, reaction, end force and diagram is.
func (r *Solution) finite() bool {
	sum := 0.0 // of zeros, or NaN
	for _, v := range r.u {
		sum += 0 * v
	}
	for _, q := range r.Reactions {
		sum += 0 * q.Value
	}
	for m := range r.model.elements {
		for _, v := range r.EndForces(MemberID(m)) {
			sum += 0 * v
		}
		d := r.Diagram(MemberID(m))
		for c := range components {
			least, largest := d.Extremes(c)
			sum += 0*least.Value + 0*largest.Value
		}
	}
	return sum == 0
}

// TestAllHeld solves a frame without a free freedom: the fixed-ended beam, which
// has reactions all the same. Source: AISC Manual Table 3-23 case 15, wL²/12.
func TestAllHeld(t *testing.T) {
	f, nodes, row := beam(t, "fixed 2.4 fixed")
	held := verification.New(t, verification.Beams).From("beam between clamps, all held", "AISC Manual Table 3-23 case 15, wL²/12 (memory)", verification.Memory)
	s := f.solved(t, uniform(f, 740, 0))
	held.Add("end moment, Nm", 740*2.4*2.4/12, s.reaction(nodes[0], RZ))
	if got, want := s.reaction(nodes[0], RZ), 740*2.4*2.4/12; math.Abs(got-want) > 1e-9*want {
		t.Errorf("end moment %.9g N·m, want %.9g", got, want)
	}
	line := s.model.Influence(s.model.Chain(row), Vec{0, -1, 0}).Line(s.model.Section(0, 0, MomentZ))
	if got, want := line.Integral(0, []Length{{0, 2.4}}), -2.4*2.4/12; math.Abs(got-want) > 1e-12 {
		t.Errorf("by the influence line %.9g m, want %.9g", got, want)
	}
	if s.Residual != 0 || !(s.Imbalance < 1e-14) {
		t.Errorf("residual %g, imbalance %g", s.Residual, s.Imbalance)
	}
}

func TestEmptyFrame(t *testing.T) {
	f := &Frame{}
	s := f.solved(t, Case{Gravity: Vec{0, 0, -9.80665}})
	if len(s.Reactions) != 0 || s.Residual != 0 || s.Imbalance != 0 {
		t.Errorf("an empty frame has %v, %g, %g", s.Reactions, s.Residual, s.Imbalance)
	}
}
