package solver

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// Shear strain, offsets, turned nodes, couples, settlements and warmth against closed
// forms and against frames that are made the same in another way.

// Stiffnesses of a stocky member in no particular proportion, so that each closed form
// tells which it used. Shear strain adds a fifth or so to a deflection.
const (
	stockyEA, stockyEIy, stockyEIz, stockyGJ = 5e6, 20e3, 50e3, 12e3
	stockyGAy, stockyGAz                     = 400e3, 150e3
	stockyExpansion                          = 12e-6
	stockySpan                               = 1.7
)

// closedForm is one number of one frame and what its formula gives.
type closedForm struct {
	what, source string
	got, want    float64
}

// exact is the difference that rounding may make to a small frame's answer, for its size.
const exact = 1e-11

func checkClosedForms(t *testing.T, record *verification.Record, kind string, rows []closedForm) {
	t.Helper()
	for _, r := range rows {
		record.From(kind, r.source, verification.Derived).Add(r.what, r.want, r.got)
		if !(math.Abs(r.got-r.want) <= exact*math.Abs(r.want)) {
			t.Errorf("%s = %.14g, want %.14g (source: %s)", r.what, r.got, r.want, r.source)
		}
	}
}

// stocky returns a member along X between two nodes, its local axes the global ones.
func stocky(ends ...EndTie) *Frame {
	f := &Frame{}
	f.Node("A", Vec{})
	f.Node("B", Vec{stockySpan, 0, 0})
	f.Member(Member{Start: 0, End: 1, EA: stockyEA, EIy: stockyEIy, EIz: stockyEIz, GJ: stockyGJ, ShearY: stockyGAy, ShearZ: stockyGAz,
		Expansion: stockyExpansion, Reference: Vec{0, 1, 0}, Ends: ends})
	return f
}

func (f *Frame) clamp(nodes ...NodeID) *Frame {
	for _, n := range nodes {
		f.Restrain(n, UX, UY, UZ, RX, RY, RZ)
	}
	return f
}

// TestShearStrain has beams that bend and shear, in both planes.
func TestShearStrain(t *testing.T) {
	record := verification.New(t, verification.Beams)
	const l, p, q, at = stockySpan, 900.0, 700.0, 0.6
	const timoshenko = "Timoshenko beam theory: Gere, Mechanics of Materials; Przemieniecki, Theory of Matrix Structural Analysis, section 5.6"
	tip := stocky().clamp(0).solved(t, Case{Nodes: []NodeLoad{{Node: 1, Force: Vec{0, p, p}}}})
	line := Case{Lines: []LineLoad{{Member: 0, To: l, Start: Vec{0, q, q}, End: Vec{0, q, q}}}}
	spread := stocky().clamp(0).solved(t, line)
	both := stocky().clamp(0, 1).solved(t, line)
	point := stocky().clamp(0, 1).solved(t, Case{Points: []PointLoad{{Member: 0, At: at, Force: Vec{0, p, p}}}})
	turned := stocky().clamp(0, 1).solved(t, Case{Settlements: []Settlement{{1, RZ, 1e-3}}})
	pinned := stocky(EndTie{0, RZ, Free}, EndTie{1, RZ, Free}, EndTie{0, RY, Free}).clamp(0, 1).solved(t, line)
	rows := []closedForm{
		{"tip y PL³/3EI + PL/GA", timoshenko, tip.Displacement(1, UY), p*l*l*l/(3*stockyEIz) + p*l/stockyGAy},
		{"tip z PL³/3EI + PL/GA", timoshenko, tip.Displacement(1, UZ), p*l*l*l/(3*stockyEIy) + p*l/stockyGAz},
		{"tip turn PL²/2EI", timoshenko, tip.Displacement(1, RZ), p * l * l / (2 * stockyEIz)},
		{"tip turn y -PL²/2EI", timoshenko, tip.Displacement(1, RY), -p * l * l / (2 * stockyEIy)},
		{"tip y qL⁴/8EI + qL²/2GA", timoshenko, spread.Displacement(1, UY), q*l*l*l*l/(8*stockyEIz) + q*l*l/(2*stockyGAy)},
		{"tip z qL⁴/8EI + qL²/2GA", timoshenko, spread.Displacement(1, UZ), q*l*l*l*l/(8*stockyEIy) + q*l*l/(2*stockyGAz)},
		{"middle y qL⁴/384EI + qL²/8GA", timoshenko, both.Diagram(0).At(MoveY, l/2), q*l*l*l*l/(384*stockyEIz) + q*l*l/(8*stockyGAy)},
		{"middle z qL⁴/384EI + qL²/8GA", timoshenko, both.Diagram(0).At(MoveZ, l/2), q*l*l*l*l/(384*stockyEIy) + q*l*l/(8*stockyGAz)},
		{"released middle y 5qL⁴/384EI + qL²/8GA", timoshenko, pinned.Diagram(0).At(MoveY, l/2), 5*q*l*l*l*l/(384*stockyEIz) + q*l*l/(8*stockyGAy)},
	}
	for _, plane := range []struct {
		name     string
		ei, ga   float64
		move     Component
		reaction Freedom
	}{{"y", stockyEIz, stockyGAy, MoveY, UY}, {"z", stockyEIy, stockyGAz, MoveZ, UZ}} {
		// By the force method: d and c are the deflection and the turn of the start, let go,
		// under the load; the force r and the couple m bring it back.
		b := l - at
		d, c := p*b*b*b/(3*plane.ei)+p*b*b*at/(2*plane.ei)+p*b/plane.ga, p*b*b/(2*plane.ei)
		a11, a12, a22 := l*l*l/(3*plane.ei)+l/plane.ga, l*l/(2*plane.ei), l/plane.ei
		// R a11 - M a12 = d, R a12 - M a22 = c
		r := (d*a22 - c*a12) / (a11*a22 - a12*a12)
		m := (d*a12 - c*a11) / (a11*a22 - a12*a12)
		v := r*at*at*at/(6*plane.ei) - m*at*at/(2*plane.ei) - r*at/plane.ga
		rows = append(rows,
			closedForm{"reaction " + plane.name, "force method, " + timoshenko, -point.reaction(0, plane.reaction), r},
			closedForm{"at the load " + plane.name, "force method, " + timoshenko, -point.Diagram(0).At(plane.move, at), v})
	}
	ratio := 12 * stockyEIz / (stockyGAy * l * l)
	rows = append(rows,
		closedForm{"near moment (4+φ)EI/L(1+φ)", timoshenko, turned.reaction(1, RZ), 1e-3 * (4 + ratio) * stockyEIz / (l * (1 + ratio))},
		closedForm{"far moment (2-φ)EI/L(1+φ)", timoshenko, turned.reaction(0, RZ), 1e-3 * (2 - ratio) * stockyEIz / (l * (1 + ratio))})
	checkClosedForms(t, record, "beams that bend and shear (N, m, rad)", rows)
}

// TestNoShearStiffnessIsStiffest has the shear stiffness rise: the plain member is where
// it goes, as 1/GA.
func TestNoShearStiffnessIsStiffest(t *testing.T) {
	c := Case{Nodes: []NodeLoad{{Node: 1, Force: Vec{0, 100, 0}}}}
	plain := stocky().clamp(0)
	plain.members[0].ShearY = 0
	end := plain.solved(t, c).Displacement(1, UY)
	for _, ga := range []float64{1e7, 1e8, 1e9} {
		f := stocky().clamp(0)
		f.members[0].ShearY = ga
		if more, want := f.solved(t, c).Displacement(1, UY)-end, 100*stockySpan/ga; math.Abs(more-want) > 1e-8*want {
			t.Errorf("GA = %g adds %g m, want PL/GA = %g", ga, more, want)
		}
	}
}

// TestOffsetsAreRigidJoints compares offsets with nodes at their ends, each carried by a
// joint that shares everything, under loads of every kind.
func TestOffsetsAreRigidJoints(t *testing.T) {
	for _, ends := range [][]EndTie{nil, {{0, RZ, Free}, {1, RY, 4e4}, {1, UX, 1e6}}} {
		a, b := stocky(ends...), stocky(ends...)
		offsets := [2]Vec{{0.12, -0.05, 0.07}, {-0.2, 0.1, 0.03}}
		a.members[0].Offsets = offsets
		for end, n := range [...]NodeID{0, 1} {
			j := Joint{First: n, Second: b.Node("arm", b.Position(n).add(offsets[end])), Ties: rigid()}
			b.Join(j)
			if end == 0 {
				b.members[0].Start = j.Second
			} else {
				b.members[0].End = j.Second
			}
		}
		for _, f := range []*Frame{a, b} {
			f.clamp(0)
			f.Spring(1, UY, 1e5)
			f.Spring(1, RX, 2e4)
		}
		c := Case{Nodes: []NodeLoad{{1, Vec{100, -200, 300}, Vec{50, 60, -70}}},
			Points:      []PointLoad{{0, 0.4, Vec{100, 200, -300}, Vec{40, -50, 60}, false}},
			Lines:       []LineLoad{{0, 0.1, 0.9, Vec{10, 200, -30}, Vec{0, 400, 100}, true}},
			Heats:       []Heat{{0, 20, [2]float64{300, -200}}},
			Settlements: []Settlement{{0, RX, 1e-3}, {1, UY, 2e-3}}}
		sa, sb := a.solved(t, c), b.solved(t, c)
		movement, force := sb.sizes()
		for n := range NodeID(2) {
			ua, ta := sa.moved(n)
			ub, tb := sb.moved(n)
			nearVec(t, "displacement", ua, ub, movement)
			nearVec(t, "rotation", ta, tb, movement)
			pa, ma := sa.held(n)
			pb, mb := sb.held(n)
			nearVec(t, "reaction", pa, pb, force)
			nearVec(t, "moment of the reaction", ma, mb, force)
		}
		sameEndForces(t, sa, sb)
		for k := range components {
			for _, x := range []float64{0, 0.3, 0.4, 1.2} {
				near(t, fmt.Sprintf("component %d at %g", k, x), sa.Diagram(0).At(k, x), sb.Diagram(0).At(k, x), force+movement)
				near(t, fmt.Sprintf("response %d at %g", k, x), sa.Value(sa.model.Section(0, x, k)), sa.Diagram(0).Before(k, x), force+movement)
			}
		}
		if got, want := a.Length(0), b.Length(0); math.Abs(got-want) > 1e-15 {
			t.Errorf("length %g, want %g", got, want)
		}
	}
}

func rigid() [6]Tie {
	return [6]Tie{Shared(), Shared(), Shared(), Shared(), Shared(), Shared()}
}

// TestOffsetOfABeam has a clamped beam with stiff end zones: its clear length deflects as a
// clamped beam of that length.
func TestOffsetOfABeam(t *testing.T) {
	record := verification.New(t, verification.Beams)
	f := stocky().clamp(0, 1)
	f.members[0].Offsets = [2]Vec{{0.2, 0, 0}, {-0.3, 0, 0}}
	const l, q = stockySpan - 0.5, 500.0
	s := f.solved(t, Case{Lines: []LineLoad{{Member: 0, To: l, Start: Vec{0, -q, 0}, End: Vec{0, -q, 0}}}})
	const clamped = "clamped beam: M = qL²/12, R = qL/2; at the wall by statics"
	checkClosedForms(t, record, "beam with stiff end zones (N, m, rad)", []closedForm{
		{"moment at the face", clamped, s.Diagram(0).At(MomentZ, 0), -q * l * l / 12},
		{"moment at the wall", clamped, s.reaction(0, RZ), q*l*l/12 + q*l/2*0.2},
		{"moment at the far wall", clamped, s.reaction(1, RZ), -q*l*l/12 - q*l/2*0.3},
	})
}

// TestInclinedRoller holds the end of a beam across a slope of its own.
func TestInclinedRoller(t *testing.T) {
	record := verification.New(t, verification.Beams)
	const slope = 0.6 // rad
	c, s := math.Cos(slope), math.Sin(slope)
	axes := Axes{{c, s, 0}, {-s, c, 0}, {0, 0, 1}}
	const l, p = stockySpan, 800.0
	// Pinned at A, B on a plane at the slope, a load P down in the middle: the plane's
	// thrust N has N cos = P/2 (moments about A), so it also pushes B back by N sin.
	roller := stocky()
	roller.Restrain(0, UX, UY, UZ, RX)
	roller.Turn(1, axes)
	roller.Restrain(1, UY, UZ)
	got := roller.solved(t, Case{Points: []PointLoad{{Member: 0, At: l / 2, Force: Vec{0, -p, 0}}}})
	n := p / 2 / c
	checkClosedForms(t, record, "end of a beam across a slope (N, m, rad)", []closedForm{
		{"thrust of the plane", "statics", got.along(1, UY), n},
		{"pull at A", "statics", got.reaction(0, UX), n * s},
		{"force in the beam", "statics", got.Diagram(0).At(Axial, 0.1), -n * s},
		{"B slides down the plane by NsL/EA along the beam", "statics", got.Displacement(1, UX), -n * s * l / stockyEA},
		{"and so moves down with the slope", "statics", got.Displacement(1, UY), -n * s * l / stockyEA * s / c},
	})
	// A spring along the same direction, the ground below which sinks by d along it.
	sprung := stocky()
	sprung.Restrain(0, UX, UY, UZ, RX, RY, RZ)
	sprung.Turn(1, axes)
	const k, d = 3e5, 2e-3
	sprung.Spring(1, UY, k)
	sunk := sprung.solved(t, Case{Settlements: []Settlement{{1, UY, -d}}})
	// The tip gives along the plane's normal: s²L/EA + c²(L³/3EI + L/GA).
	give := s*s*l/stockyEA + c*c*(l*l*l/(3*stockyEIz)+l/stockyGAy)
	force := -d / (give + 1/k)
	checkClosedForms(t, record, "end of a beam across a slope (N, m, rad)", []closedForm{
		{"spring's force", "springs in a row", sunk.along(1, UY), force},
		{"moment at A", "statics", sunk.reaction(0, RZ), -force * c * l},
	})
	// A settlement along the plane's normal of a node held across it alone.
	moved := roller.solved(t, Case{Settlements: []Settlement{{1, UY, -d}}})
	checkClosedForms(t, record, "end of a beam across a slope (N, m, rad)", []closedForm{
		{"B sinks along the plane's normal", "kinematics", axes.into(Vec{moved.Displacement(1, UX), moved.Displacement(1, UY), 0})[1], -d},
		{"A turns as the beam is carried", "kinematics: B can only go down, as A holds it along the beam", moved.Displacement(0, RZ), -d / c / l},
	})
}

// along returns what the ground does to a node along or about its own axes.
func (r *Solution) along(n NodeID, d Freedom) float64 {
	sum := 0.0
	for _, q := range r.Reactions {
		if q.Node == n && q.Freedom == d {
			sum += q.Value
		}
	}
	return sum
}

// TestTurnedSecondNode puts springs of its own axes under the second node of a joint.
func TestTurnedSecondNode(t *testing.T) {
	c, s := math.Cos(0.4), math.Sin(0.4)
	axes := Axes{{c, 0, -s}, {0, 1, 0}, {s, 0, c}}
	build := func(joined bool) *Frame {
		f := stocky().clamp(0)
		n := NodeID(1)
		if joined {
			n = f.Node("second", f.Position(1))
			f.Join(Joint{First: 1, Second: n, Ties: rigid()})
		}
		f.Turn(n, axes)
		f.Spring(n, UX, 2e5)
		f.Spring(n, RY, 3e4)
		return f
	}
	load := Case{Nodes: []NodeLoad{{1, Vec{100, 200, 300}, Vec{10, 20, 30}}}}
	want := build(false).solved(t, load)
	load.Settlements = nil
	got := build(true).solved(t, load)
	sameEndForces(t, got, want)
	near(t, "spring", got.along(2, UX), want.along(1, UX), 300)
}

// TestSettlements has the closed forms of moved supports.
func TestSettlements(t *testing.T) {
	record := verification.New(t, verification.Beams)
	const l, d, k = stockySpan, 3e-3, 2e5
	plain := func() *Frame {
		f := stocky()
		f.members[0].ShearY = 0
		return f
	}
	clamped := plain().clamp(0, 1).solved(t, Case{Settlements: []Settlement{{1, UY, -d}, {1, UY, -d}}})
	turned := plain().clamp(0, 1).solved(t, Case{Settlements: []Settlement{{0, RZ, d}}})
	f := plain().clamp(0)
	f.Spring(1, UY, k)
	sprung := f.solved(t, Case{Settlements: []Settlement{{1, UY, -d}}})
	give := l * l * l / (3 * stockyEIz)
	two := plain()
	two.Node("C", Vec{2 * l, 0, 0})
	m := two.members[0]
	m.Start, m.End = 1, 2
	two.Member(m)
	two.Restrain(0, UX, UY, UZ, RX)
	two.Restrain(1, UY, UZ)
	two.Restrain(2, UY, UZ)
	sunk := two.solved(t, Case{Settlements: []Settlement{{1, UY, -d}}})
	carried := two.solved(t, Case{Settlements: []Settlement{{0, UY, d}, {1, UY, 2 * d}, {2, UY, 3 * d}}})
	const slope = "slope-deflection equations (any text on structural analysis)"
	checkClosedForms(t, record, "supports that move (N, m, rad)", []closedForm{
		{"6EI·2d/L²", slope, clamped.Diagram(0).At(MomentZ, 0), -6 * stockyEIz * 2 * d / (l * l)},
		{"12EI·2d/L³", slope, clamped.reaction(1, UY), -12 * stockyEIz * 2 * d / (l * l * l)},
		{"the node goes with the ground", slope, clamped.Displacement(1, UY), -2 * d},
		{"4EI/L", slope, turned.reaction(0, RZ), 4 * stockyEIz / l * d},
		{"2EI/L", slope, turned.reaction(1, RZ), 2 * stockyEIz / l * d},
		{"spring on sinking ground", "springs in a row", sprung.reaction(1, UY), -d / (give + 1/k)},
		{"tip over sinking ground", "springs in a row", sprung.Displacement(1, UY), -d / (give + 1/k) * give},
		{"middle of two spans, 48EId/(2L)³", "simple beam of stockySpan 2L", sunk.reaction(1, UY), -48 * stockyEIz * d / (8 * l * l * l)},
		{"moment there, 3EId/L²", "the same", sunk.Diagram(0).At(MomentZ, l), 3 * stockyEIz * d / (l * l)},
		{"supports that stay in line turn the beam", "kinematics", carried.Displacement(1, RZ), d / l},
	})
	if r := carried.reaction(1, UY); math.Abs(r) > exact*48*stockyEIz*d/(8*l*l*l) {
		t.Errorf("supports that stay in line force the beam by %g N", r)
	}
	if carried.Imbalance > 1e-12 || clamped.Imbalance > 1e-12 {
		t.Errorf("imbalance %g and %g", carried.Imbalance, clamped.Imbalance)
	}
}

// TestWarmth has the closed forms of members that warm up, along and across.
func TestWarmth(t *testing.T) {
	record := verification.New(t, verification.Beams)
	const l, rise, y, z, k = stockySpan, 30.0, 400.0, -250.0, 1e6
	const a, ei = stockyExpansion, stockyEIz
	warm := Case{Heats: []Heat{{0, rise, [2]float64{y, z}}}}
	free := stocky().clamp(0).solved(t, warm)
	held := stocky().clamp(0, 1).solved(t, warm)
	f := stocky().clamp(0)
	f.Spring(1, UX, k)
	sprung := f.solved(t, warm)
	f = stocky()
	f.Restrain(0, UX, UY, UZ, RX)
	f.Restrain(1, UY, UZ)
	simple := f.solved(t, Case{Heats: []Heat{{0, rise, [2]float64{y / 2, z}}, {0, 0, [2]float64{y / 2, 0}}}})
	f = stocky().clamp(0)
	f.Restrain(1, UY)
	propped := f.solved(t, warm)
	tied := stocky(EndTie{1, UX, k}, EndTie{0, RZ, Free}).clamp(0, 1).solved(t, warm)
	const theory = "free strain a·T, free curvature a·dT/h: Gere, Mechanics of Materials; Roark, beams under temperature differentials"
	give := l*l*l/(3*ei) + l/stockyGAy
	checkClosedForms(t, record, "members that warm up (N, m, rad)", []closedForm{
		{"free end aTL", theory, free.Displacement(1, UX), a * rise * l},
		{"free end bends away from the warm side, aGL²/2", theory, free.Displacement(1, UY), -a * y * l * l / 2},
		{"and along z", theory, free.Displacement(1, UZ), -a * z * l * l / 2},
		{"free end turns aGL", theory, free.Displacement(1, RZ), -a * y * l},
		{"and about y", theory, free.Displacement(1, RY), a * z * l},
		{"middle of the free member", theory, free.Diagram(0).At(MoveX, l/2), a * rise * l / 2},
		{"held EAaT", theory, held.Diagram(0).At(Axial, 0.3), -stockyEA * a * rise},
		{"its reaction", theory, held.reaction(0, UX), stockyEA * a * rise},
		{"held EIaG", theory, held.Diagram(0).At(MomentZ, 0.3), ei * a * y},
		{"held about y", theory, held.Diagram(0).At(MomentY, 0.3), -stockyEIy * a * z},
		{"on a spring, aTL/(L/EA + 1/k)", "springs in a row", sprung.Diagram(0).At(Axial, 0.3), -a * rise * l / (l/stockyEA + 1/k)},
		{"end tie of the same stiffness", "springs in a row", tied.Diagram(0).At(Axial, 0.3), -a * rise * l / (l/stockyEA + 1/k)},
		{"clamp of the start-released member, by the force method", theory, tied.reaction(1, RZ), a * y * l * l / 2 / give * l},
		{"middle of a simple beam aGL²/8", theory, simple.Diagram(0).At(MoveY, l/2), a * y * l * l / 8},
		{"propped cantilever's reaction, by the force method", theory, propped.reaction(1, UY), a * y * l * l / 2 / give},
	})
	for _, s := range []*Solution{free, held, sprung, simple, propped, tied} {
		if !(s.Imbalance < 1e-12) || !(s.Residual < 1e-14) {
			t.Errorf("imbalance %g, residual %g", s.Imbalance, s.Residual)
		}
		for c := range components {
			for _, x := range []float64{0, l / 3, l} {
				scale := map[bool]float64{true: stockyEA * a * rise, false: a * y * l * l}[c < MoveX]
				near(t, fmt.Sprintf("response %d at %g", c, x), s.Value(s.model.Section(0, x, c)), s.Diagram(0).Before(c, x), scale)
			}
		}
	}
}

// TestVerticalMember has couples and loads in local and global axes on an upright and on
// one that leans in two directions.
func TestVerticalMember(t *testing.T) {
	record := verification.New(t, verification.Beams)
	for _, to := range []Vec{{0, 0, stockySpan}, {0, 0, -stockySpan}, {0.8, -0.5, 1.1}} {
		f := &Frame{}
		foot, top := f.Node("foot", Vec{}), f.Node("top", to)
		f.clamp(foot)
		m := Member{Start: foot, End: top, EA: stockyEA, EIy: stockyEIy, EIz: stockyEIz, GJ: stockyGJ, ShearY: stockyGAy, Reference: Vec{1, 0, 0}}
		if to[0] != 0 {
			m.Reference = Vec{0, 1, 0.2}
		}
		f.Member(m)
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		l, at := f.Length(0), 0.5
		axes := s.elements[0].axes
		local := Vec{70, -110, 130}
		a := s.Solve(Case{Points: []PointLoad{{Member: 0, At: at, Moment: local, Local: true}}})
		b := s.Solve(Case{Points: []PointLoad{{Member: 0, At: at, Moment: axes.from(local)}}})
		u, turn := a.moved(top)
		u, turn = axes.into(u), axes.into(turn)
		const source = "cantilever with a couple: v = Ma(L - a/2)/EI, turn = Ma/EI, twist = Ta/GJ"
		checkClosedForms(t, record, fmt.Sprintf("couple on a member that goes to %v (N, m, rad)", to), []closedForm{
			{"twist", source, turn[0], local[0] * at / stockyGJ},
			{"turn about y", source, turn[1], local[1] * at / stockyEIy},
			{"turn about z", source, turn[2], local[2] * at / stockyEIz},
			{"along y", source, u[1], local[2] * at * (l - at/2) / stockyEIz},
			{"along z", source, u[2], -local[1] * at * (l - at/2) / stockyEIy},
		})
		sameEndForces(t, b, a)
	}
}

// TestLinesWithFeatures draws influence lines on a beam with every feature and holds them
// against unit loads; the random frames do the same (TestLineAgainstDirectSolve).
func TestLinesWithFeatures(t *testing.T) {
	f := stocky(EndTie{0, RZ, 3e4}, EndTie{1, UY, Free}, EndTie{1, RX, 2e3})
	f.members[0].Offsets = [2]Vec{{0.1, 0.02, -0.03}, {-0.1, 0.05, 0.04}}
	f.clamp(0)
	c, s := math.Cos(0.5), math.Sin(0.5)
	f.Turn(1, Axes{{1, 0, 0}, {0, c, s}, {0, -s, c}})
	f.Restrain(1, UY, RX)
	f.Spring(1, UZ, 2e5)
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	directions := []Vec{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	in := model.Influence(model.Chain(Row{Members: []MemberID{0}, Share: 1}), directions...)
	for k := range components {
		for _, station := range []float64{0, 0.7, f.Length(0)} {
			line := in.Line(model.Section(0, station, k))
			for d, dir := range directions {
				for x := 0.05; x < f.Length(0); x += 0.1 {
					got := 0.0
					for i := range line.Pieces {
						if p := &line.Pieces[i]; x >= p.From && x <= p.To {
							got = p.At(d, x)
						}
					}
					direct := model.Solve(Case{Points: []PointLoad{{Member: 0, At: x, Force: dir}}})
					want := direct.Diagram(0).At(k, station)
					near(t, fmt.Sprintf("component %d at %g, load %d at %g", k, station, d, x), got, want, map[bool]float64{true: 1, false: 1e-5}[k < MoveX])
				}
			}
		}
	}
}

// TestElementFaults has members, nodes and cases that make no sense.
func TestElementFaults(t *testing.T) {
	edit := func(change func(f *Frame)) error {
		f := stocky().clamp(0)
		change(f)
		_, err := f.Factorise()
		return err
	}
	load := func(c Case) error {
		s, err := stocky().clamp(0).Factorise()
		if err != nil {
			t.Fatal(err)
		}
		return s.Check(&c)
	}
	nan := math.NaN()
	for _, fault := range []struct {
		says string
		err  error
	}{
		{"member from A to B has a shear stiffness that is negative", edit(func(f *Frame) { f.members[0].ShearY = -1 })},
		{"shear stiffness that is negative or not finite", edit(func(f *Frame) { f.members[0].ShearZ = math.Inf(1) })},
		{"out of all proportion", edit(func(f *Frame) { f.members[0].ShearZ = 1e-305 })},
		{"expansion that is not finite", edit(func(f *Frame) { f.members[0].Expansion = nan })},
		{"no length", edit(func(f *Frame) { f.members[0].Offsets[1] = Vec{-stockySpan, 0, 0} })},
		{"no length", edit(func(f *Frame) { f.members[0].Offsets[0] = Vec{nan, 0, 0} })},
		{"reference vector along", edit(func(f *Frame) { f.members[0].Reference = Vec{1, 0, 0} })},
		{"end tie at no end", edit(func(f *Frame) { f.members[0].Ends = []EndTie{{2, RZ, Free}} })},
		{"node B has axes", edit(func(f *Frame) { f.Turn(1, Axes{{1, 0, 0}, {0, 1, 0}, {0, 0, -1}}) })},
		{"node B has axes", edit(func(f *Frame) { f.Turn(1, Axes{{nan, 0, 0}, {0, 1, 0}, {0, 0, 1}}) })},
		{"node that is not there", edit(func(f *Frame) { f.members[0].End = 7 })},
		{"node B has a settlement in translation along Y, which the ground does not hold", load(Case{Settlements: []Settlement{{1, UY, 1}}})},
		{"node A has a settlement that is not finite", load(Case{Settlements: []Settlement{{0, UY, nan}}})},
		{"freedom that is not there", load(Case{Settlements: []Settlement{{0, 6, 1}}})},
		{"member 3, which is not there", load(Case{Heats: []Heat{{Member: 3}}})},
		{"load that is not finite", load(Case{Heats: []Heat{{Rise: math.Inf(-1)}}})},
		{"load that is not finite", load(Case{Points: []PointLoad{{Moment: Vec{0, nan, 0}}}})},
		{"has a load from 0 to 2 m, but is 1.7 m long", load(Case{Lines: []LineLoad{{To: 2}}})},
		{"has a load from 1 to 0.5 m", load(Case{Lines: []LineLoad{{From: 1, To: 0.5}}})},
		{"node that is not there", load(Case{Nodes: []NodeLoad{{Node: -1}}})},
		{"gravity", load(Case{Gravity: Vec{nan}})},
	} {
		var in *InputError
		if !errors.As(fault.err, &in) || !strings.Contains(fault.err.Error(), fault.says) {
			t.Errorf("got %v, want an input error that says %q", fault.err, fault.says)
		}
	}
	if err := load(Case{Settlements: []Settlement{{0, UY, 1}}, Points: []PointLoad{{At: stockySpan, Force: Vec{1, 2, 3}}}, Heats: []Heat{{Rise: 1}}}); err != nil {
		t.Errorf("a sound case is refused: %v", err)
	}
	defer func() {
		if recover() == nil {
			t.Error("a settlement of a free freedom is taken")
		}
	}()
	stocky().clamp(0).solved(t, Case{Settlements: []Settlement{{1, UY, 1}}})
}
