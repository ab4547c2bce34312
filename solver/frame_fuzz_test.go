package solver

import (
	"errors"
	"math"
	"testing"
)

// byteReader hands out the fuzzer's bytes, zeros when they are spent.
type byteReader []byte

func (b *byteReader) next() int {
	if len(*b) == 0 {
		return 0
	}
	v := (*b)[0]
	*b = (*b)[1:]
	return int(v)
}

// number returns a quarter of a signed byte, or now and then what is no number.
func (b *byteReader) number() float64 {
	v := b.next()
	switch v {
	case 128:
		return math.NaN()
	case 129:
		return math.Inf(1)
	}
	return float64(int8(v)) / 4
}

func (b *byteReader) vec() Vec { return Vec{b.number(), b.number(), b.number()} }

// stiffness returns a power of ten, from 1e-8 to 1e23, or now and then nonsense.
func (b *byteReader) stiffness() float64 {
	v := b.next()
	if v >= 250 {
		return [...]float64{0, -1, math.NaN(), math.Inf(1), 1e300, 1e-300}[v-250]
	}
	return math.Pow(10, float64(v%32-8)) * (1 + float64(v)/256)
}

func (b *byteReader) tie() Tie {
	switch v := b.next() % 4; v {
	case 0:
		return Free
	case 1:
		return Tie(b.stiffness())
	default:
		return Shared()
	}
}

// frame reads a small frame: nodes with supports, members with end ties, joints.
func (b *byteReader) frame() *Frame {
	f := &Frame{}
	n := 2 + b.next()%5
	for range n {
		id := f.Node("n", b.vec())
		for d := range Freedom(6) {
			switch b.next() % 4 {
			case 0:
				f.Restrain(id, d)
			case 1:
				f.Spring(id, d, b.stiffness())
			}
		}
	}
	for range 1 + b.next()%6 {
		m := Member{Start: NodeID(b.next() % n), End: NodeID(b.next() % n), EA: b.stiffness(), EIy: b.stiffness(), EIz: b.stiffness(), GJ: b.stiffness(),
			Mass: b.number(), Reference: b.vec()}
		for range b.next() % 4 {
			m.Ends = append(m.Ends, EndTie{b.next() % 2, Freedom(b.next() % 6), b.tie()})
		}
		f.Member(m)
	}
	for range b.next() % 3 {
		j := Joint{First: NodeID(b.next() % n), Second: NodeID(b.next() % n)}
		if f.nodes[j.Second].joint >= 0 {
			continue
		}
		if turn := float64(b.next()) / 40; turn > 0 {
			c, s := math.Cos(turn), math.Sin(turn)
			j.Axes = Axes{{c, s, 0}, {-s, c, 0}, {0, 0, 1}}
		}
		for k := range j.Ties {
			j.Ties[k] = b.tie()
		}
		f.Join(j)
	}
	for i := range f.members {
		m, what := &f.members[i], b.next()
		if what&1 != 0 {
			m.ShearY, m.ShearZ = b.stiffness(), b.stiffness()
		}
		if what&2 != 0 {
			m.Offsets = [2]Vec{b.vec(), b.vec()}
		}
		if what&4 != 0 {
			m.Expansion = b.number() * 1e-5
		}
	}
	for i := range f.nodes {
		if turn := float64(b.next()) / 40; turn > 0 {
			c, s := math.Cos(turn), math.Sin(turn)
			f.Turn(NodeID(i), Axes{{c, 0, s}, {0, 1, 0}, {-s, 0, c}})
		}
	}
	return f
}

// load reads a case whose loads stand on their members and whose settlements the ground
// holds.
func (b *byteReader) load(f *Frame) Case {
	c := Case{Gravity: b.vec()}
	for range b.next() % 3 {
		c.Nodes = append(c.Nodes, NodeLoad{NodeID(b.next() % len(f.nodes)), b.vec(), b.vec()})
		m := MemberID(b.next() % len(f.members))
		x, y := float64(b.next())/255*f.Length(m), float64(b.next())/255*f.Length(m)
		c.Points = append(c.Points, PointLoad{m, x, b.vec(), b.vec(), b.next()%2 == 0})
		c.Lines = append(c.Lines, LineLoad{m, min(x, y), max(x, y), b.vec(), b.vec(), b.next()%2 == 0})
	}
	for range b.next() % 3 {
		c.Heats = append(c.Heats, Heat{MemberID(b.next() % len(f.members)), b.number(), [2]float64{b.number(), b.number()}})
		if n, d := NodeID(b.next()%len(f.nodes)), Freedom(b.next()%6); f.nodes[n].fixed[d] || f.nodes[n].spring[d] > 0 {
			c.Settlements = append(c.Settlements, Settlement{n, d, b.number()})
		}
	}
	return c
}

// FuzzFrame builds frames of any sort. Each is either refused with an error that
// says why, or its answer is made of numbers, or that answer says by its
// residual or its imbalance that it is not to be trusted.
func FuzzFrame(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 4, 0, 0, 2, 2, 2, 2, 2, 2, 0, 0, 1, 16, 12, 12, 12, 4, 0, 4, 0, 0, 0, 0, 0, 4, 1, 1, 4, 8, 12})
	f.Add([]byte{1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 4, 0, 0, 2, 2, 2, 2, 2, 2, 8, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 1, 16, 12, 12, 12, 4, 0, 4, 0, 1, 1, 5, 0, 1,
		2, 16, 12, 12, 12, 4, 0, 4, 0, 0, 1, 1, 2, 20, 0, 2, 1, 12, 2, 2, 2, 9, 9, 9, 1, 1, 2, 3, 4, 5, 6, 0, 100, 200, 1, 2, 3, 4})
	// A member with shear strain, offsets and expansion, its end on a spring in axes of its own.
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 8, 0, 0, 2, 1, 14, 2, 2, 2, 2, 0, 0, 1, 16, 12, 12, 12, 4, 0, 4, 0, 0, 0, 7, 13, 13, 1, 1, 0, 0, 1, 1, 4, 0, 20,
		0, 0, 4, 1, 1, 9, 9, 9, 1, 2, 3, 0, 90, 200, 8, 8, 8, 2, 2, 2, 0, 3, 3, 3, 4, 4, 4, 1, 1, 0, 40, 8, 8, 1, 1, 1})
	f.Fuzz(func(t *testing.T, data []byte) {
		b := byteReader(data)
		frame := b.frame()
		s, err := frame.Factorise()
		if err != nil {
			var in *InputError
			var loose *MechanismError
			var ill *IllConditionedError
			if !errors.As(err, &in) && !errors.As(err, &loose) && !errors.As(err, &ill) || err.Error() == "" {
				t.Fatalf("an error of another kind: %v", err)
			}
			return
		}
		c := b.load(frame)
		if err := s.Check(&c); err != nil {
			var in *InputError
			if !errors.As(err, &in) || err.Error() == "" {
				t.Fatalf("an error of another kind: %v", err)
			}
		}
		answer := s.Solve(c)
		if trusted := answer.Residual <= 1e-8 && answer.Imbalance <= 1e-8; trusted && !answer.finite() {
			t.Errorf("residual %g and imbalance %g, yet the answer is not finite", answer.Residual, answer.Imbalance)
		}
		if math.IsNaN(answer.Residual) || math.IsNaN(answer.Imbalance) {
			t.Errorf("residual %g, imbalance %g: a comparison with NaN passes or fails by chance", answer.Residual, answer.Imbalance)
		}
	})
}
