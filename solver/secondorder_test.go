package solver

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/internal/verification"
)

// column is a column of unit length and stiffness along X, held at its start, in n parts.
type column struct {
	frame      Frame
	start, end NodeID
	member     MemberID
}

const columnEA = 1e6 // of a column; its EI and GJ are 1

func newColumn(held ...Freedom) *column {
	c := &column{}
	c.start, c.end = c.frame.Node("start", Vec{}), c.frame.Node("end", Vec{1, 0, 0})
	c.frame.Restrain(c.start, held...)
	c.member = c.frame.Member(Member{Start: c.start, End: c.end, EA: columnEA, EIy: 1, EIz: 1, GJ: 1, Mass: 1, Reference: Vec{0, 1, 0}})
	return c
}

// pressed is a column under a force along it at its end, with a force and a moment there.
func (c *column) pressed(p float64, force, moment Vec) Case {
	force[0] -= p
	return Case{Nodes: []NodeLoad{{c.end, force, moment}}}
}

func (c *column) secondOrder(t *testing.T, n int, load Case) (*Divided, *SecondOrder) {
	t.Helper()
	d := c.frame.Divide(n)
	model, err := d.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	s, err := model.SecondOrder(d.Case(load))
	if err != nil {
		t.Fatal(err)
	}
	if !(s.Imbalance < s.roundedImbalance()) || !(s.Residual < 1e-13) {
		t.Errorf("imbalance %.1e, residual %.1e, want below %.1e and 1e-13", s.Imbalance, s.Residual, s.roundedImbalance())
	}
	return d, s
}

var clamped = []Freedom{UX, UY, UZ, RX, RY, RZ}

// cubicError is the relative error of the cubic in the critical load of a half wave of n
// cubics, kl = π/n: (kl)⁴/720 and higher terms, from the series of the exact stiffness
// functions against 4 and 2 with the geometric stiffness. The error of a deflection is that
// of the critical load times the amplification.
func cubicError(u float64, n int, amplification float64) float64 {
	return 1.2 * amplification * math.Pow(u/float64(n), 4) / 720
}

func TestCantileverInSecondOrder(t *testing.T) {
	// Timoshenko and Gere, Theory of Elastic Stability, 2nd edition, sections 1.1 to 1.3 (from
	// memory): δ = HL³/3EI · 3(tan u - u)/u³, M = HL tan u/u; about 1/(1 - P/Pcr) times
	// the first order.
	columns := verification.New(t, verification.Stability).From("cantilever under an axial and a level force, in eight parts", "Timoshenko and Gere, Theory of Elastic Stability, 2nd edition, sections 1.1 to 1.3 (memory)", verification.Memory)
	for _, ratio := range []float64{0.1, 0.5, 0.9} {
		p := ratio * math.Pi * math.Pi / 4
		u := math.Sqrt(p)
		amplification := 3 * (math.Tan(u) - u) / math.Pow(u, 3)
		if simple := 1 / (1 - ratio); math.Abs(amplification/simple-1) > 0.02 {
			t.Fatalf("the closed forms differ: %g and %g", amplification, simple)
		}
		last := 0.0
		for _, n := range []int{1, 2, 4, 8} {
			c := newColumn(clamped...)
			_, s := c.secondOrder(t, n, c.pressed(p, Vec{0, 1e-3, 2e-3}, Vec{}))
			got := s.Displacement(c.end, UY) * 3e3
			off := math.Abs(got/amplification - 1)
			if n == 8 { // fewer show how the cubic's error falls
				columns.Add(fmt.Sprintf("P/Pcr %g: movement over that of first order", ratio), amplification, got)
			}
			if want := cubicError(u, n, 1/(1-ratio)); off > want {
				t.Errorf("P/Pcr %g in %d parts: amplification %.8g, want %.8g ± %.1e", ratio, n, got, amplification, want)
			}
			if z := s.Displacement(c.end, UZ) * 1.5e3; math.Abs(z-got) > 1e-9*got {
				t.Errorf("amplification in z %g, in y %g", z, got)
			}
			// Errors fall with the fourth power of the length.
			if n > 2 && off > 1e-9 && !(last/off > 14 && last/off < 18) {
				t.Errorf("P/Pcr %g: twice the parts make the error %.3g times smaller, want 16", ratio, last/off)
			}
			last = off
			// What the foot carries is in balance with the deflection, whatever the parts.
			for _, r := range s.Reactions {
				if r.Freedom == RZ {
					near(t, "moment at the foot", r.Value, -(1e-3 + p*s.Displacement(c.end, UY)), 1e-3)
				}
			}
		}
	}
}

// TestLoadsInTurnInSecondOrder runs loads on one frame one after the other, pressed alike, harder and
// lighter by turns: each as TestCantileverInSecondOrder has it, with the same source.
func TestLoadsInTurnInSecondOrder(t *testing.T) {
	const n = 8
	c := newColumn(clamped...)
	d := c.frame.Divide(n)
	model, err := d.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	for _, load := range []struct{ ratio, force float64 }{{0.1, 1e-3}, {0.1, -4e-3}, {0.9, 1e-3}, {0.9, 2e-3}, {0.1, 2e-3}, {0.1 + 1e-6, 2e-3}} {
		p := load.ratio * math.Pi * math.Pi / 4
		u := math.Sqrt(p)
		want := load.force * (math.Tan(u) - u) / math.Pow(u, 3)
		s, err := model.SecondOrder(d.Case(c.pressed(p, Vec{0, load.force, 0}, Vec{})))
		if err != nil {
			t.Fatal(err)
		}
		if got, off := s.Displacement(c.end, UY), cubicError(u, n, 1/(1-load.ratio)); math.Abs(got/want-1) > off {
			t.Errorf("P/Pcr %g, H %g: moved by %.9g, want %.9g ± %.1e", load.ratio, load.force, got, want, off)
		}
		if !(s.Imbalance < s.roundedImbalance()) || !(s.Residual < 1e-13) {
			t.Errorf("P/Pcr %g, H %g: imbalance %.1e, residual %.1e", load.ratio, load.force, s.Imbalance, s.Residual)
		}
	}
	if _, err := model.SecondOrder(d.Case(c.pressed(1.01*math.Pi*math.Pi/4, Vec{0, 1e-3, 0}, Vec{}))); err == nil {
		t.Error("a column stands above its critical load after lesser ones")
	}
}

func TestStabilityFunctions(t *testing.T) {
	// A column clamped at its start, its end turned by a moment: M = s EI/L θ, and c M at the
	// start. Livesley and Chandler, Stability Functions for Structural Frameworks, 1956 (from
	// memory): s = u(sin u - u cos u)/(2 - 2cos u - u sin u), c = (u - sin u)/(sin u - u cos u)
	// in compression, hyperbolic in tension.
	const n = 16
	functions := verification.New(t, verification.Stability).From("stability functions of a column in sixteen parts", "Livesley and Chandler, Stability Functions for Structural Frameworks, 1956 (memory)", verification.Memory)
	for _, p := range []float64{-30, -5, 2, 10, 19} {
		u := math.Sqrt(math.Abs(p))
		sin, cos := math.Sincos(u)
		stiff := u * (sin - u*cos) / (2 - 2*cos - u*sin)
		over := (u - sin) / (sin - u*cos)
		if p < 0 {
			sinh, cosh := math.Sinh(u), math.Cosh(u)
			stiff = u * (u*cosh - sinh) / (2 - 2*cosh + u*sinh)
			over = (sinh - u) / (u*cosh - sinh)
		}
		c := newColumn(clamped...)
		c.frame.Restrain(c.end, UY, UZ, RX)
		_, s := c.secondOrder(t, n, c.pressed(p, Vec{}, Vec{0, 0, 1e-3}))
		amplification := math.Max(1, 1/(1-p/20.19)) // critical at 20.19, where s is nothing
		functions.Add(fmt.Sprintf("PL²/EI %g: s", p), stiff, 1e-3/s.Displacement(c.end, RZ))
		if got := 1e-3 / s.Displacement(c.end, RZ); math.Abs(got/stiff-1) > cubicError(u, n, amplification) {
			t.Errorf("P = %g: s = %.9g, want %.9g", p, got, stiff)
		}
		for _, r := range s.Reactions {
			if r.Node == c.start && r.Freedom == RZ {
				functions.Add(fmt.Sprintf("PL²/EI %g: c", p), over, r.Value/1e-3)
			}
			if got := r.Value / 1e-3; r.Node == c.start && r.Freedom == RZ && math.Abs(got/over-1) > 4*cubicError(u, n, amplification) {
				t.Errorf("P = %g: c = %.9g, want %.9g", p, got, over)
			}
		}
	}
}

func TestMomentsWithinMemberInSecondOrder(t *testing.T) {
	// A pinned column under a uniform load and an axial force: M = w/k² (cos(kL/2 - kx)/cos(kL/2)
	// - 1). Timoshenko and Gere, section 1.4 (from memory).
	const p, w = 5.0, 2e-3
	k := math.Sqrt(p)
	columns := verification.New(t, verification.Stability).From("pinned column under a uniform load and an axial force, in eight parts", "Timoshenko and Gere, section 1.4 (memory)", verification.Memory)
	for _, n := range []int{1, 2, 4, 8} {
		c := newColumn(UX, UY, UZ, RX)
		c.frame.Restrain(c.end, UY, UZ)
		load := c.pressed(p, Vec{}, Vec{})
		load.Lines = []LineLoad{{Member: c.member, To: 1, Start: Vec{0, -w, w}, End: Vec{0, -w, w}}}
		d, s := c.secondOrder(t, n, load)
		diagram := d.Diagram(s, c.member)
		for _, x := range []float64{0, 0.125, 0.3, 0.5, 0.77, 1} {
			want := w / p * (math.Cos(k/2-k*x)/math.Cos(k/2) - 1)
			tol := cubicError(math.Pi, n, 1/(1-p/(math.Pi*math.Pi))) * w / 8 * 2
			if n == 8 && want > 1e-12 {
				columns.Add(fmt.Sprintf("M at %g L: M/wL²", x), want/w, diagram.At(MomentZ, x)/w)
			}
			for axis, got := range map[string]float64{"z": diagram.At(MomentZ, x), "y": diagram.At(MomentY, x)} {
				if math.Abs(got-want) > tol {
					t.Errorf("%d parts: M%s(%g) = %.8g, want %.8g ± %.1e", n, axis, x, got, want, tol)
				}
			}
			// Statics on the bent column: M = w x(L-x)/2 - P v, exactly for any division.
			near(t, fmt.Sprintf("%d parts: statics at %g", n, x), diagram.At(MomentZ, x), w*x*(1-x)/2-p*diagram.At(MoveY, x), w)
		}
	}
}

// TestDiagramsMeetEndForcesInSecondOrder walks along each member of random frames: the section
// forces that set out as the start's end forces arrive as the end's, under any load.
func TestDiagramsMeetEndForcesInSecondOrder(t *testing.T) {
	ran := 0
	for seed := range uint64(25) {
		r := rand.New(rand.NewPCG(seed, 7))
		f := randomFrame(r)
		load := randomCase(r, f).scaled(20)
		model, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		s, err := model.SecondOrder(load)
		var unstable *InstabilityError
		if errors.As(err, &unstable) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		ran++
		if !(s.Imbalance < s.roundedImbalance()) || !(s.Residual < 1e-13) {
			t.Errorf("seed %d: imbalance %.1e, residual %.1e", seed, s.Imbalance, s.Residual)
		}
		for m := range f.members {
			ends, d := s.EndForces(MemberID(m)), s.Diagram(MemberID(m))
			size := 1.0
			for _, v := range ends {
				size = math.Max(size, math.Abs(v))
			}
			x := f.Length(MemberID(m))
			for c := range Component(6) {
				near(t, fmt.Sprintf("seed %d member %d start %d", seed, m, c), d.At(c, 0), -ends[c]-startLoad(s, m, c), size)
				near(t, fmt.Sprintf("seed %d member %d end %d", seed, m, c), d.At(c, x), ends[6+c], size)
			}
		}
	}
	if ran < 18 {
		t.Errorf("%d frames stood, want 18 at least", ran)
	}
}

// startLoad returns what a point load exactly at the start adds to the section force there.
func startLoad(s *SecondOrder, m int, c Component) float64 {
	v := 0.0
	for _, p := range s.first.loads[m].points {
		if p.At == 0 && c < 3 {
			v += p.Force[c]
		}
	}
	return v
}

// TestBalanceOnBentFrame takes moments of loads and reactions where they have moved to. Members
// that keep their lengths leave nothing of it; the force along a member is what second
// order takes account of, so that the frame is plane and loaded at its nodes.
func TestBalanceOnBentFrame(t *testing.T) {
	var f Frame
	member := func(a, b NodeID, ends ...EndTie) {
		f.Member(Member{Start: a, End: b, EA: 1e13, EIy: 3e4, EIz: 3e4, GJ: 2e4, Reference: Vec{0, 0, 1}, Ends: ends})
	}
	a, b := f.Node("a", Vec{0, 0, 0}), f.Node("b", Vec{0, 1.2, 0})
	c, d := f.Node("c", Vec{2, 1.2, 0}), f.Node("d", Vec{2, 0, 0})
	f.Restrain(a, UX, UY, UZ, RX, RY, RZ)
	f.Restrain(d, UX, UY, UZ, RX, RY)
	member(a, b)
	member(b, c, EndTie{1, RY, Tie(2e4)}, EndTie{0, RY, Tie(5e4)})
	member(d, c)
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	load := Case{Nodes: []NodeLoad{{b, Vec{800, -9000, 0}, Vec{}}, {c, Vec{0, -7000, 0}, Vec{0, 0, 50}}}}
	s, err := model.SecondOrder(load)
	if err != nil {
		t.Fatal(err)
	}
	bent := func(answer interface {
		Displacement(NodeID, Freedom) float64
	}, reactions []Reaction) float64 {
		moment := 0.0
		at := func(n NodeID) Vec {
			p := f.Position(n)
			return p.add(Vec{answer.Displacement(n, UX), answer.Displacement(n, UY), 0})
		}
		for _, l := range load.Nodes {
			moment += at(l.Node).cross(l.Force)[2] + l.Moment[2]
		}
		for _, r := range reactions {
			switch r.Freedom {
			case UX, UY:
				var force Vec
				force[r.Freedom] = r.Value
				moment += at(r.Node).cross(force)[2]
			case RZ:
				moment += r.Value
			}
		}
		return moment
	}
	// Lengths change by N/EA = 1e-9 of themselves and stiff members let rounding through:
	// 1e-16 of EA times a length of metres is some 1e-3 N·m.
	if off := bent(s, s.Reactions); math.Abs(off) > 5e-3 {
		t.Errorf("moments on the bent frame add up to %g N·m", off)
	}
	first := model.Solve(load)
	if off := bent(first, first.Reactions); math.Abs(off) < 50 {
		t.Errorf("moments of the first order on the bent frame add up to %g N·m: the test sees nothing", off)
	}
}

func TestInstability(t *testing.T) {
	c := newColumn(clamped...)
	d := c.frame.Divide(8)
	model, err := d.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	levels := verification.New(t, verification.Stability).From("level at which a cantilever falls (found to 1e-4)", "Euler, π²EI/4L²", verification.Derived)
	for _, over := range []float64{1.001, 2.5, 1e5} {
		// Euler's cantilever, π²EI/4L².
		_, err := model.SecondOrder(c.pressed(over*math.Pi*math.Pi/4, Vec{0, 1e-3, 0}, Vec{}))
		var unstable *InstabilityError
		if !errors.As(err, &unstable) {
			t.Fatalf("at %g times the critical load: %v", over, err)
		}
		levels.Add(fmt.Sprintf("at %g times the critical load: level times that", over), 1, roundTo(1e-6, unstable.Level*over))
		if math.Abs(unstable.Level*over-1) > 1.1*levelWithin || unstable.Node != "end" {
			t.Errorf("at %g times the critical load: %v, want %.6g", over, unstable, 1/over)
		}
	}
	_, err = model.SecondOrder(c.pressed(2.5*math.Pi*math.Pi/4, Vec{}, Vec{}))
	if want := "the frame is unstable from 0.4 of the load on: end moves in rotation about Z"; err == nil || err.Error() != want {
		t.Errorf("error %q, want %q", err, want)
	}
}

// TestClampedColumnNeedsDivision shows the limit of one cubic: between clamped ends it has
// no freedom to bend in.
func TestClampedColumnNeedsDivision(t *testing.T) {
	c := newColumn(clamped...)
	c.frame.Restrain(c.end, UY, UZ, RX, RY, RZ)
	load := c.pressed(1.05*4*math.Pi*math.Pi, Vec{}, Vec{}) // Euler: 4π²EI/L²
	_, s := c.secondOrder(t, 1, load)
	near(t, "slenderness", s.Slenderness, 1.05*4*math.Pi*math.Pi, 1)
	model, err := c.frame.Divide(4).Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := model.SecondOrder(load); err == nil {
		t.Error("a divided column stands above its critical load")
	}
}

// leaning is a cantilever along X, and a column pinned at both ends that leans on it by a
// pinned link: the load p on the column pulls the cantilever's end aside by p δ/L.
func leaning(parts int) (*Divided, NodeID, NodeID) {
	c := newColumn(clamped...)
	f := &c.frame
	foot, top := f.Node("leaning foot", Vec{0, 1, 0}), f.Node("leaning top", Vec{1, 1, 0})
	f.Restrain(foot, clamped...)
	f.Restrain(top, RX, RY, RZ, UZ)
	f.Restrain(c.end, UZ)
	pinned := []EndTie{{0, RY, Free}, {0, RZ, Free}, {1, RY, Free}, {1, RZ, Free}}
	f.Member(Member{Start: foot, End: top, EA: columnEA, EIy: 1e3, EIz: 1e3, GJ: 1, Reference: Vec{0, 1, 0}, Ends: pinned})
	f.Member(Member{Start: c.end, End: top, EA: columnEA * 1e3, EIy: 1, EIz: 1, GJ: 1, Reference: Vec{1, 0, 0}, Ends: pinned})
	return f.Divide(parts), c.end, top
}

func TestLeaningColumn(t *testing.T) {
	// By hand: the end is pushed by H + pδ/L against 3EI/L³, so that δ = H/(3 - p) with EI = L = 1
	// and the critical load is 3.
	d, end, top := leaning(1)
	model, err := d.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	const p, h = 2.0, 1e-3
	s, err := model.SecondOrder(Case{Nodes: []NodeLoad{{end, Vec{0, h, 0}, Vec{}}, {top, Vec{-p, 0, 0}, Vec{}}}})
	if err != nil {
		t.Fatal(err)
	}
	hand := verification.New(t, verification.Stability).From("column that leans on a cantilever", "by hand: δ = H/(3 - p), critical load 3 (EI = L = 1)", verification.Derived)
	hand.Add("movement over H", 1/(3-p), s.Displacement(end, UY)/h)
	// The link's stiffness of 1e9 and the column's of 1e3·12 against 2 leave some 1e-6.
	if got, want := s.Displacement(end, UY), h/(3-p); math.Abs(got/want-1) > 1e-5 {
		t.Errorf("the end moves %.9g, want %.9g", got, want)
	}
	loads, err := model.Critical(Case{Nodes: []NodeLoad{{top, Vec{-1, 0, 0}, Vec{}}}}, 1)
	if len(loads) == 1 {
		hand.Add("critical load", 3, loads[0].Factor)
	}
	if err != nil || len(loads) != 1 || math.Abs(loads[0].Factor/3-1) > 1e-5 {
		t.Errorf("critical loads %v, %v, want 3", loads, err)
	}
}

// TestRigidArmInSecondOrder has a column that is all rigid arm on a spring: δ = Ha²/(k - Pa).
func TestRigidArmInSecondOrder(t *testing.T) {
	const k, a, p, h = 50.0, 0.4, 60.0, 1e-3
	shared := [6]Tie{Shared(), Shared(), Shared(), Shared(), Shared(), Shared()}
	record := verification.New(t, verification.Stability)
	for _, links := range []int{1, 2} { // one arm, or two in a row
		var f Frame
		near := f.Node("foot", Vec{})
		f.Restrain(near, UX, UY, UZ, RX)
		f.Spring(near, RY, k)
		f.Spring(near, RZ, k)
		for i := range links {
			far := f.Node("tip", Vec{a * float64(i+1) / float64(links), 0, 0})
			f.Join(Joint{First: near, Second: far, Ties: shared})
			near = far
		}
		model, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		s, err := model.SecondOrder(Case{Nodes: []NodeLoad{{near, Vec{-p, h, 2 * h}, Vec{}}}})
		if err != nil {
			t.Fatal(err)
		}
		want := h * a * a / (k - p*a)
		closed := record.From("column that is all rigid arm on a spring", "δ = Ha²/(k - Pa), critical load k/a", verification.Derived)
		closed.Add(fmt.Sprintf("arms %d: along y, m", links), want, s.Displacement(near, UY))
		closed.Add(fmt.Sprintf("arms %d: along z, m", links), 2*want, s.Displacement(near, UZ))
		if y, z := s.Displacement(near, UY), s.Displacement(near, UZ); math.Abs(y/want-1) > 1e-12 || math.Abs(z/want-2) > 1e-12 {
			t.Errorf("%d arms: the tip moves %.12g and %.12g, want %.12g and twice that", links, y, z, want)
		}
		if !(s.Imbalance < 1e-14) {
			t.Errorf("%d arms: imbalance %.1e", links, s.Imbalance)
		}
		loads, err := model.Critical(Case{Nodes: []NodeLoad{{near, Vec{-1, 0, 0}, Vec{}}}}, 2)
		for i := range loads {
			closed.Add(fmt.Sprintf("arms %d: critical load %d, N", links, i+1), k/a, loads[i].Factor)
		}
		if err != nil || len(loads) != 2 || math.Abs(loads[0].Factor/(k/a)-1) > 1e-12 {
			t.Errorf("%d arms: critical loads %v, %v, want %g twice", links, loads, err, k/a)
		}
	}
}

// A spring at the tip of a rigid arm takes its part of a push along the arm, and the arm is pressed by the
// rest alone: by p k1/(k1 + k2) between springs k1 at its foot and k2 at its tip. The tip then moves
// across by h a²/(k - N a). Statics of the bent arm.
func TestSpringAtTheTipOfAnArm(t *testing.T) {
	const k, a, p, h, k1, k2 = 50.0, 0.4, 60.0, 1e-3, 3000.0, 1000.0
	var f Frame
	foot, tip := f.Node("foot", Vec{}), f.Node("tip", Vec{a, 0, 0})
	f.Restrain(foot, UY, UZ, RX)
	f.Spring(foot, UX, k1)
	f.Spring(foot, RY, k)
	f.Spring(foot, RZ, k)
	f.Spring(tip, UX, k2)
	f.Join(Joint{First: foot, Second: tip, Ties: [6]Tie{Shared(), Shared(), Shared(), Shared(), Shared(), Shared()}})
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	s, err := model.SecondOrder(Case{Nodes: []NodeLoad{{tip, Vec{-p, h, 2 * h}, Vec{}}}})
	if err != nil {
		t.Fatal(err)
	}
	const pressed = p * k1 / (k1 + k2)
	want := h * a * a / (k - pressed*a)
	if y, z := s.Displacement(tip, UY), s.Displacement(tip, UZ); math.Abs(y/want-1) > 1e-9 || math.Abs(z/want-2) > 1e-9 {
		t.Errorf("the tip moves %.12g and %.12g, want %.12g and twice that", y, z, want)
	}
}

// TestDividedFrames cuts the members of random frames: first order does not feel it.
func TestDividedFrames(t *testing.T) {
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 11))
		f := randomFrame(r)
		load := randomCase(r, f)
		whole := f.solved(t, load)
		d := f.Divide(3, MemberID(r.IntN(len(f.members))), MemberID(r.IntN(len(f.members))))
		parts := d.Frame.solved(t, d.Case(load))
		movement, force := whole.sizes()
		for m := range f.members {
			one, many := whole.Diagram(MemberID(m)), d.Diagram(parts, MemberID(m))
			for i := range 9 {
				x := f.Length(MemberID(m)) * (float64(i) + 0.37) / 9
				for c := range components {
					scale := force
					if c >= MoveX {
						scale = movement
					}
					near(t, fmt.Sprintf("seed %d member %d component %d at %g", seed, m, c, x), many.At(c, x), one.At(c, x), scale)
				}
			}
		}
	}
}

// TestGeometricStiffness is of the matrix printed in McGuire, Gallagher and Ziemian, equation
// 9.18 (from memory): N/L times 6/5, L/10, 2L²/15 and -L²/30.
func TestGeometricStiffness(t *testing.T) {
	const n, l = 7.0, 1.3
	e := element{length: l, prism: &prism{eiy: 1, eiz: 1}}
	printed := verification.New(t, verification.Stability).From("geometric stiffness of an element, 7 N, 1.3 m (N, m)", "McGuire, Gallagher and Ziemian, equation 9.18 (memory)", verification.Memory)
	k := e.geometric(&pull{[]float64{0, 0.4, l}, []quadratic{{n}, {n}}})
	for _, want := range []struct {
		i, j  int
		value float64
	}{
		{1, 1, 1.2 * n / l}, {1, 5, n / 10}, {1, 7, -1.2 * n / l}, {5, 5, 2 * n * l / 15}, {5, 11, -n * l / 30}, {7, 11, -n / 10},
		{2, 2, 1.2 * n / l}, {2, 4, -n / 10}, {4, 4, 2 * n * l / 15}, {4, 10, -n * l / 30}, {8, 10, n / 10}, {0, 0, 0}, {1, 2, 0}, {3, 3, 0},
	} {
		if want.value != 0 {
			printed.Add(fmt.Sprintf("k[%d][%d]", want.i, want.j), want.value, k[want.i][want.j])
		}
		if got := k[want.i][want.j]; math.Abs(got-want.value) > 1e-14*n {
			t.Errorf("k[%d][%d] = %.15g, want %.15g", want.i, want.j, got, want.value)
		}
		if k[want.i][want.j] != k[want.j][want.i] {
			t.Errorf("k[%d][%d] is not symmetric", want.i, want.j)
		}
	}
}

func TestSenselessCasesInSecondOrder(t *testing.T) {
	c := newColumn(clamped...)
	model, err := c.frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	for name, load := range map[string]Case{
		"not a number": c.pressed(math.NaN(), Vec{}, Vec{}),
		"infinite":     c.pressed(math.Inf(1), Vec{}, Vec{}),
		"off":          {Points: []PointLoad{{Member: c.member, At: 3, Force: Vec{-1, 0, 0}}}},
	} {
		if s, err := model.SecondOrder(load); s != nil || err == nil {
			t.Errorf("%s: second order gives %v, %v", name, s, err)
		}
		if s, err := model.Critical(load, 1); s != nil || err == nil {
			t.Errorf("%s: critical loads %v, %v", name, s, err)
		}
	}
}
