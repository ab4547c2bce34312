package solver

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// part returns a byte as a part of 1.
func (b *byteReader) part() float64 { return float64(b.next()) / 255 }

// sane returns a number between two others, or now and then what is no number.
func (b *byteReader) sane(lo, hi float64) float64 {
	switch v := b.next(); v {
	case 255:
		return math.NaN()
	case 254:
		return math.Inf(1)
	case 253:
		return 0
	default:
		return lo + (hi-lo)*float64(v)/252
	}
}

// axes returns axes turned about Z, Y and X, one after the other.
func (b *byteReader) axes() Axes {
	out := global
	for d := range 3 {
		c, s := math.Cos(b.part()*7), math.Sin(b.part()*7)
		c, s = c/math.Hypot(c, s), s/math.Hypot(c, s)
		i, j := (d+1)%3, (d+2)%3
		out[i], out[j] = out[i].scale(c).add(out[j].scale(s)), out[j].scale(c).sub(out[i].scale(s))
	}
	return out
}

// featured reads a frame of nodes in a row that mostly hangs together, with any feature on any
// of them: supports, springs, joints with arms and axes of their own, end ties, members of any
// proportions and attitude.
func (b *byteReader) featured() *Frame {
	f := &Frame{}
	n := 2 + b.next()%4
	var last NodeID
	for i := range n {
		at := Vec{float64(i) * 1.5, 0, 0}.add(Vec{b.part(), b.part(), b.part()}.scale(1.4))
		id := f.Node(fmt.Sprintf("n%d", i), at)
		if i == 0 || b.next()%3 == 0 {
			f.Restrain(id, UX, UY, UZ, RX, RY, RZ)
		}
		if b.next()%4 == 0 {
			f.Turn(id, b.axes())
		}
		if b.next()%4 == 0 {
			f.Mass(id, 50*b.part()) // others are the caller's bug
		}
		if b.next()%4 == 0 {
			f.Spring(id, Freedom(b.next()%6), b.sane(1, 1e6))
		}
		if i > 0 {
			f.feature(b, last, id)
		}
		last = id
	}
	return f
}

func (f *Frame) feature(b *byteReader, from, to NodeID) {
	if b.next()%3 == 0 {
		j := Joint{First: from, Axes: b.axes()}
		j.Second = f.Node("j", f.Position(from).add(Vec{b.part(), b.part(), b.part()}.scale(0.2)))
		for k := range j.Ties {
			j.Ties[k] = Shared()
			switch b.next() % 8 {
			case 0:
				j.Ties[k] = Free
			case 1:
				j.Ties[k] = Tie(b.sane(1, 1e6))
			}
		}
		f.Join(j)
		from = j.Second
	}
	m := Member{Start: from, End: to, EA: b.sane(1e5, 1e8), EIy: b.sane(1e2, 1e5), EIz: b.sane(1e2, 1e5), GJ: b.sane(1e2, 1e5), Mass: b.sane(0, 10),
		Reference: Vec{b.part(), b.part(), 1}}
	if b.next()%2 == 0 {
		m.Start, m.End = m.End, m.Start
	}
	switch b.next() % 4 {
	case 0:
		m.ShearY, m.ShearZ = b.sane(1e4, 1e7), b.sane(1e4, 1e7)
	case 1:
		m.Offsets = [2]Vec{{b.part() / 5, b.part() / 5, b.part() / 5}, {b.part() / 5, b.part() / 5, b.part() / 5}}
	case 2:
		m.Expansion = b.sane(1e-6, 3e-5)
	}
	for range b.next() % 3 {
		m.Ends = append(m.Ends, EndTie{b.next() % 2, Freedom(b.next() % 6), b.tie()})
	}
	f.Member(m)
}

// named says whether an error is one of the package's own, and says something.
func named(err error) bool {
	kind := fmt.Sprintf("%T", err)
	return strings.HasPrefix(kind, "*solver.") && strings.HasSuffix(kind, "Error") && err.Error() != ""
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// FuzzFeatures takes frames through every analysis. Each returns numbers or an error that says
// why, or says by its residual that it is not to be trusted.
func FuzzFeatures(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("a frame with joints, springs and end ties, as long as a sentence that goes on and on"))
	f.Add([]byte{3, 10, 20, 30, 1, 1, 200, 40, 90, 2, 0, 2, 100, 0, 11, 22, 33, 44, 55, 66, 9, 8, 7, 1, 2, 3, 4, 5, 6, 90, 80, 70, 60, 50, 9, 9, 1, 2, 0, 5, 2,
		60, 70, 80, 0, 3, 9, 9, 1, 100, 100, 100, 100, 20, 5, 5, 0, 1, 1, 4, 1, 12, 30, 40, 50, 0, 90, 90, 90, 90, 3, 10, 200, 30, 200, 5, 6, 7, 1, 2, 3, 4})
	f.Fuzz(func(t *testing.T, data []byte) {
		b := byteReader(data)
		frame := b.featured()
		model, err := frame.Factorise()
		if err != nil {
			if !named(err) {
				t.Fatalf("an error without a name: %v", err)
			}
			return
		}
		c := b.load(frame)
		if err := model.Check(&c); err != nil && !named(err) {
			t.Fatalf("an error without a name: %v", err)
		}
		answer := model.Solve(c)
		if math.IsNaN(answer.Residual) || math.IsNaN(answer.Imbalance) {
			t.Fatalf("residual %g, imbalance %g", answer.Residual, answer.Imbalance)
		}
		if answer.Residual <= 1e-8 && answer.Imbalance <= 1e-8 {
			if !answer.finite() {
				t.Error("a trusted answer is not finite")
			}
			checkDiagrams(t, frame, answer)
		}
		checkLines(t, frame, model, &b)
		checkResprung(t, model, &b)
		checkCollapse(t, frame, model, c, &b)
		checkSecond(t, frame, model, c)
	})
}

func checkDiagrams(t *testing.T, f *Frame, s *Solution) {
	for id := range f.members {
		d := s.Diagram(MemberID(id))
		for c := range components {
			least, largest := d.Extremes(c)
			if !finite(least.Value, largest.Value) || least.Value > largest.Value {
				t.Errorf("member %d component %d: extremes %v and %v", id, c, least, largest)
			}
		}
	}
}

func checkLines(t *testing.T, f *Frame, model *Factored, b *byteReader) {
	row := Row{Share: 1}
	for id := range f.members {
		row.Members = append(row.Members, MemberID(id))
	}
	m := MemberID(b.next() % len(f.members))
	lines := model.Influence(model.Chain(row), Vec{0, 0, -1}, Vec{0, 1, 0}).Lines(model.Section(m, b.part()*f.Length(m), Component(b.next()%int(components))),
		model.Freedom(NodeID(b.next()%len(f.nodes)), Freedom(b.next()%6)))
	if !(model.Residual() <= 1e-8) {
		return
	}
	for i := range lines {
		for d := range 2 {
			least, largest := lines[i].Extremes(d)
			if !finite(least.Value, largest.Value) || least.Value > largest.Value {
				t.Errorf("line %d in direction %d: extremes %v and %v", i, d, least, largest)
			}
		}
	}
}

func checkResprung(t *testing.T, model *Factored, b *byteReader) {
	again, err := model.Resprung(b.sane(0.1, 10))
	if err != nil {
		if !named(err) {
			t.Errorf("an error without a name: %v", err)
		}
		return
	}
	if again == nil {
		t.Error("neither a frame nor an error")
	}
}

func checkCollapse(t *testing.T, f *Frame, model *Factored, c Case, b *byteReader) {
	var strengths []PlasticMoments
	for id := range f.members {
		strengths = append(strengths, PlasticMoments{MemberID(id), b.sane(1, 1000), b.sane(1, 1000)})
	}
	out, err := model.Collapse(c, strengths)
	if err != nil {
		if !named(err) {
			t.Errorf("an error without a name: %v", err)
		}
		return
	}
	if !finite(out.Factor, out.Gap) || out.Factor <= 0 || out.Gap > provedGap || out.Place == "" || out.Direction == "" || len(out.Mechanism) == 0 {
		t.Errorf("collapse %+v", out)
	}
	last := 0.0
	for _, e := range out.Events {
		if e.Factor < last {
			t.Errorf("events %+v are out of order", out.Events)
		}
		last = e.Factor
	}
	for n := range f.nodes {
		for d := range Freedom(6) {
			if !finite(out.Displacement(NodeID(n), d)) {
				t.Errorf("the mechanism's %v of node %d is not finite", d, n)
			}
		}
	}
}

func checkSecond(t *testing.T, f *Frame, model *Factored, c Case) {
	if s, err := model.SecondOrder(c); err != nil {
		if !named(err) {
			t.Errorf("an error without a name: %v", err)
		}
	} else if s.Residual <= 1e-8 && s.Imbalance <= 1e-8 {
		for id := range f.members {
			end := s.EndForces(MemberID(id))
			if !finite(end[:]...) {
				t.Errorf("second order: end forces %v of member %d are not finite", end, id)
			}
		}
	} else if math.IsNaN(s.Residual) || math.IsNaN(s.Imbalance) {
		t.Errorf("second order: residual %g, imbalance %g", s.Residual, s.Imbalance)
	}
	if loads, err := model.Critical(c, 1); err != nil {
		if !named(err) {
			t.Errorf("an error without a name: %v", err)
		}
	} else {
		for _, l := range loads {
			if !finite(l.Factor) || l.Factor <= 0 {
				t.Errorf("critical factor %g", l.Factor)
			}
		}
	}
	if modes, err := model.Vibrations(1); err != nil {
		if !named(err) {
			t.Errorf("an error without a name: %v", err)
		}
	} else {
		for _, m := range modes {
			if !finite(m.Hertz) || m.Hertz <= 0 {
				t.Errorf("frequency %g Hz", m.Hertz)
			}
		}
	}
}

// TestNothingMoves takes a frame whose every node is held through what works on the free
// equations, of which it has none.
func TestNothingMoves(t *testing.T) {
	f := &Frame{}
	a, b := f.Node("a", Vec{}), f.Node("b", Vec{2})
	f.Restrain(a, UX, UY, UZ, RX, RY, RZ)
	f.Restrain(b, UX, UY, UZ, RX, RY, RZ)
	m := f.Member(Member{Start: a, End: b, EA: 1e8, EIy: 2e4, EIz: 3e4, GJ: 2e4, Reference: Vec{0, 1, 0}})
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	if model, err = model.Resprung(2); err != nil {
		t.Fatal(err)
	}
	down := Vec{0, -1, 0}
	got, err := model.Collapse(Case{Lines: []LineLoad{{Member: m, To: 2, Start: down, End: down}}}, []PlasticMoments{{m, 0, 1000}})
	// 16 Mp/L² of a beam clamped at both ends (source: Neal, The Plastic Methods of Structural
	// Analysis; from memory).
	if err != nil || math.Abs(got.Factor-4000) > 1e-9*4000 {
		t.Errorf("collapse %+v, %v; want at 4000", got, err)
	}
}
