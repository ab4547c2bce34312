package solver

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/internal/verification"
)

func TestColumnUnderOwnWeight(t *testing.T) {
	// (qL)cr = 7.837 EI/L²: Timoshenko and Gere, section 2.12 (from memory); exactly 9/4 j²
	// with j = 1.866350858873, the first zero of the Bessel function J₋⅓ (Greenhill).
	const want = 9.0 / 4 * 1.866350858873 * 1.866350858873
	if math.Abs(want-7.837) > 5e-4 {
		t.Fatalf("the two sources differ: %g", want)
	}
	columns := verification.New(t, verification.Stability).From("column under its own weight, in eight parts", "Timoshenko and Gere, section 2.12 (memory); Greenhill, 9/4 j² with the first zero j of J₋⅓", verification.Memory)
	for _, n := range []int{1, 2, 8} {
		c := newColumn(clamped...)
		d := c.frame.Divide(n)
		model, err := d.Frame.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		for i, load := range []Case{
			{Gravity: Vec{-1, 0, 0}},
			{Lines: []LineLoad{{Member: c.member, To: 1, Start: Vec{-1, 0, 0}, End: Vec{-1, 0, 0}}}},
		} {
			name := []string{"gravity", "line load"}[i]
			loads, err := model.Critical(d.Case(load), 1)
			if err != nil {
				t.Fatal(err)
			}
			got := loads[0].Factor
			if n == 8 { // fewer are stiffer
				columns.Add(name+": (qL)cr L²/EI", want, got)
			}
			// Cubics are too stiff, never too soft; at the foot kl is that of the whole load.
			if tol := cubicError(math.Sqrt(want), n, 1); got < want*(1-1e-9) || got > want*(1+tol) {
				t.Errorf("%s, %d parts: %.9g, want %.9g to %.1e above", name, n, got, want, tol)
			}
		}
	}
}

// TestColumnPressedWithin presses a column between its ends alone: a line load along it from q
// at its start to -q at its end, on a cantilever, leaves nothing at either end and qL/4 at half
// its length (statics).
func TestColumnPressedWithin(t *testing.T) {
	c := newColumn(clamped...)
	const q = 2.0
	load := Case{Lines: []LineLoad{{Member: c.member, To: 1, Start: Vec{q, 0, 0}, End: Vec{-q, 0, 0}}}}
	_, s := c.secondOrder(t, 1, load)
	near(t, "slenderness", s.Slenderness, q/4, q/4)
	factor := func(n int) float64 {
		d := c.frame.Divide(n)
		model, err := d.Frame.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		loads, err := model.Critical(d.Case(load), 1)
		if err != nil {
			t.Fatal(err)
		}
		if len(loads) == 0 {
			t.Fatalf("%d parts: no critical load", n)
		}
		return loads[0].Factor
	}
	// From above by the energy of v = 1 - cos(πx/2L) under N = -qx(1 - x/L), 6(π/2)²EI/qL³; from
	// below by qL/4 all along, π²EI/4L² (Timoshenko and Gere, sections 2.1 and 2.8, the method).
	above, below := 6*math.Pi*math.Pi/4/q, math.Pi*math.Pi/q
	before := math.Inf(1)
	for _, n := range []int{1, 2, 4, 8} {
		got := factor(n)
		if got > before*(1+rounding) { // cubics are too stiff, the less so the more there are
			t.Errorf("%d parts: %.9g, more than the %.9g of fewer", n, got, before)
		}
		if n > 1 && !(got < above && got > below) {
			t.Errorf("%d parts: %.9g, want it between %.9g and %.9g", n, got, below, above)
		}
		before = got
	}
}

// TestCriticalOnAFootTooSoft stands a post on a foot so soft that rounding of the post's own
// stiffness hides what the axial force does: the count is refused, not guessed.
func TestCriticalOnAFootTooSoft(t *testing.T) {
	c := newColumn(UX, UY, UZ, RX)
	c.frame.Spring(c.start, RY, 1e-10)
	c.frame.Spring(c.start, RZ, 1e-10)
	model, err := c.frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	loads, err := model.Critical(c.pressed(1, Vec{}, Vec{}), 1)
	if miscount, ok := errors.AsType[*CountError](err); !ok || miscount.Counted != -1 {
		t.Errorf("%v, %v, want a count that cannot be told", loads, err)
	}
}

func TestCriticalOfBothSigns(t *testing.T) {
	// Two pinned columns in a row, the first pulled and the second pressed by one force at the
	// middle: at the second the load goes 2/3, at the first the same load turned round. The
	// planes are told apart by their stiffness.
	var f Frame
	a, b, c := f.Node("a", Vec{}), f.Node("b", Vec{1, 0, 0}), f.Node("c", Vec{3, 0, 0})
	f.Restrain(a, UX, UY, UZ, RX)
	f.Restrain(b, UY, UZ)
	f.Restrain(c, UX, UY, UZ)
	var pins []EndTie
	for _, d := range []Freedom{RY, RZ} {
		pins = append(pins, EndTie{1, d, Free})
	}
	first := f.Member(Member{Start: a, End: b, EA: 1e6, EIy: 1, EIz: 3, GJ: 1, Reference: Vec{0, 1, 0}, Ends: pins})
	second := f.Member(Member{Start: b, End: c, EA: 2e6, EIy: 1, EIz: 3, GJ: 1, Reference: Vec{0, 1, 0}})
	d := f.Divide(8, first, second)
	model, err := d.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	load := Case{Nodes: []NodeLoad{{b, Vec{1, 0, 0}, Vec{}}}} // EA/l is 1e6 in both: half each
	row := verification.New(t, verification.Stability).From("two pinned columns, one pulled and one pressed, in eight parts", "Euler, n²π²EI/L² against half of the load", verification.Derived)
	for k, want := range [][]float64{{1.0 / 4, 3.0 / 4, 1, 9.0 / 4, 3, 4}, {1, 3, 4, 9, 12}} {
		name, sign := "pressed", 1.0
		if k == 1 {
			name, sign = "turned round", -1
		}
		loads, err := model.Critical(load.scaled(sign), len(want))
		if err != nil {
			t.Fatal(err)
		}
		for i, w := range want { // n²π²EI/L² against half of the load
			euler := 2 * math.Pi * math.Pi * w
			row.Add(fmt.Sprintf("%s: factor %d", name, i+1), euler, loads[i].Factor)
			if got := loads[i].Factor; math.Abs(got/euler-1) > cubicError(4*math.Pi, 8, 1) {
				t.Errorf("%s: factor %d is %.9g, want %.9g", name, i+1, got, euler)
			}
		}
	}
	pulled := Case{Nodes: []NodeLoad{{c, Vec{1, 0, 0}, Vec{}}}}
	if loads, err := model.Critical(pulled, 3); len(loads) != 0 || err != nil {
		t.Errorf("a load that goes straight to a support: %v, %v", loads, err)
	}
}

func TestTensionHasNoCriticalLoad(t *testing.T) {
	c := newColumn(clamped...)
	model, err := c.frame.Divide(4).Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []float64{-1, 0} {
		if loads, err := model.Critical(c.pressed(p, Vec{}, Vec{}), 3); len(loads) != 0 || err != nil {
			t.Errorf("P = %g: %v, %v", p, loads, err)
		}
	}
}

func TestBucklingShape(t *testing.T) {
	// A pinned column: sin πx, and the slopes at its ends are π.
	c := newColumn(UX, UY, UZ, RX)
	c.frame.Restrain(c.end, UY, UZ)
	c.frame.members[0].EIz = 0.5
	d := c.frame.Divide(8)
	model, err := d.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	loads, err := model.Critical(c.pressed(1, Vec{}, Vec{}), 1)
	if err != nil {
		t.Fatal(err)
	}
	shape := &loads[0].Shape
	for i, part := range d.Parts(c.member) {
		x := float64(i+1) / 8
		if got, want := shape.Displacement(d.Frame.members[part].End, UY), math.Sin(math.Pi*x); math.Abs(got-want) > 1e-4 {
			t.Errorf("shape at %g is %g, want %g", x, got, want)
		}
	}
	if got := shape.Displacement(c.start, RZ); math.Abs(got-math.Pi) > 1e-3 {
		t.Errorf("slope at the start %g, want π", got)
	}
}

// TestCriticalMeetsInstability holds two ways to the load at which random frames go: the least
// critical factor of the axial forces of first order, and the level up to which second
// order stands. They are one where axial forces do not change as the frame bends;
// a load small across and large along keeps the change small.
func TestCriticalMeetsInstability(t *testing.T) {
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(seed, 13))
		f := randomFrame(r)
		model, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		var load Case
		for n := range f.nodes {
			if f.nodes[n].at[2] > 0.5 && f.nodes[n].joint < 0 {
				load.Nodes = append(load.Nodes, NodeLoad{NodeID(n), Vec{0, 0, -between(r, 500, 1000)}, Vec{}})
			}
		}
		loads, err := model.Critical(load, 1)
		if err != nil || len(loads) != 1 {
			t.Fatalf("seed %d: %v, %v", seed, loads, err)
		}
		factor := loads[0].Factor
		if _, err := model.SecondOrder(load.scaled(0.5 * factor)); err != nil {
			t.Errorf("seed %d: at half of the critical load: %v", seed, err)
		}
		_, err = model.SecondOrder(load.scaled(1.6 * factor))
		var unstable *InstabilityError
		if !errors.As(err, &unstable) || unstable.Level*1.6 < 0.5 || unstable.Level*1.6 > 1.6 {
			t.Errorf("seed %d: at 1.6 times the critical load: %v", seed, err)
			continue
		}
		t.Logf("seed %d: factor %.4g, goes at %.4f of it", seed, factor, unstable.Level*1.6)
	}
}

func TestColumnsWithShearStrain(t *testing.T) {
	// Engesser's column, Timoshenko and Gere, section 2.17 (from memory): P = Pe/(1 + Pe/GAs),
	// here in y only.
	const shear = 30.0
	c := newColumn(UX, UY, UZ, RX)
	c.frame.Restrain(c.end, UY, UZ)
	c.frame.members[0].ShearY, c.frame.members[0].EIz = shear, 0.9
	model, err := c.frame.Divide(8).Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	loads, err := model.Critical(c.pressed(1, Vec{}, Vec{}), 2)
	if err != nil {
		t.Fatal(err)
	}
	euler := math.Pi * math.Pi
	engesser := verification.New(t, verification.Stability).From("column with shear strain in eight parts", "Engesser, Pe/(1 + Pe/GAs), Timoshenko and Gere, section 2.17 (memory)", verification.Memory)
	for i, want := range []float64{0.9 * euler / (1 + 0.9*euler/shear), euler} {
		// A part's shear strain adds to the cubic's error what it adds to its bending: with
		// 12EI/GAs l² = 23 the whole is bounded by the polygon's error, (π/8)²/12.
		tol := cubicError(math.Pi, 8, 1)
		if i == 0 {
			tol = math.Pow(math.Pi/8, 2) / 12
		}
		engesser.Add(fmt.Sprintf("critical load %d, L²/EI", i+1), want, loads[i].Factor)
		if got := loads[i].Factor; math.Abs(got/want-1) > tol {
			t.Errorf("critical load %d is %.9g, want %.9g ± %.1e of it", i+1, got, want, tol)
		}
	}
}

// TestOffsetsAreArms makes one frame with offsets of its member and with joints all shared.
func TestOffsetsAreArms(t *testing.T) {
	frame := func(offsets bool) (*Frame, NodeID) {
		var f Frame
		near, far := f.Node("foot", Vec{}), f.Node("top", Vec{0, 0, 2})
		f.Restrain(near, UX, UY, UZ, RZ)
		f.Spring(near, RX, 4e4)
		f.Spring(near, RY, 5e4)
		m := Member{Start: near, End: far, EA: 1e8, EIy: 2e4, EIz: 3e4, GJ: 1e4, Mass: 3, Reference: Vec{0, 1, 0},
			Offsets: [2]Vec{{0.02, 0, 0.3}, {0, 0.05, -0.2}}, Ends: []EndTie{{0, RZ, 6e4}}}
		if !offsets {
			shared := [6]Tie{Shared(), Shared(), Shared(), Shared(), Shared(), Shared()}
			for end, n := range [2]*NodeID{&m.Start, &m.End} {
				j := Joint{First: *n, Second: f.Node("arm", f.Position(*n).add(m.Offsets[end])), Ties: shared}
				f.Join(j)
				*n = j.Second
			}
			m.Offsets = [2]Vec{}
		}
		f.Member(m)
		return &f, far
	}
	type answer struct {
		moved   float64
		factors [2]float64
		hertz   [3]float64
	}
	var answers [2]answer
	for i := range answers {
		f, top := frame(i == 0)
		model, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		load := Case{Nodes: []NodeLoad{{top, Vec{100, 200, -6000}, Vec{}}}}
		s, err := model.SecondOrder(load)
		if err != nil {
			t.Fatal(err)
		}
		if !(s.Imbalance < s.roundedImbalance()) {
			t.Errorf("imbalance %.1e", s.Imbalance)
		}
		answers[i].moved = s.Displacement(top, UX)
		loads, err := model.Critical(load, 2)
		if err != nil || len(loads) != 2 {
			t.Fatal(loads, err)
		}
		modes, err := model.Vibrations(3)
		if err != nil || len(modes) != 3 {
			t.Fatal(modes, err)
		}
		for k := range answers[i].factors {
			answers[i].factors[k] = loads[k].Factor
		}
		for k := range answers[i].hertz {
			answers[i].hertz[k] = modes[k].Hertz
		}
	}
	near(t, "movement", answers[0].moved, answers[1].moved, math.Abs(answers[1].moved))
	for k, v := range answers[1].factors {
		near(t, "critical factor", answers[0].factors[k], v, v)
	}
	for k, v := range answers[1].hertz {
		near(t, "frequency", answers[0].hertz[k], v, v)
	}
}
