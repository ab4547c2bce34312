package solver

import (
	"math"
	"testing"
)

// A cantilever of height h whose load travels from low to high, the part above its top on a
// rigid arm: the moment at its foot is the height of the load, the movement of its top
// b²(3h - b)/6EI for b below h, and h³/3EI + (b - h) h²/2EI above (beam tables and statics).
func TestRowWithinAndStub(t *testing.T) {
	const h, low, high, ei = 1.1, 0.2, 1.7, 20e3
	f := &Frame{}
	foot, knee, top := f.Node("foot", Vec{}), f.Node("knee", Vec{0, 0, 0.6}), f.Node("top", Vec{0, 0, h})
	f.Restrain(foot, UX, UY, UZ, RX, RY, RZ)
	tube := Member{EA: 1e8, EIy: ei, EIz: ei, GJ: 1e4, Reference: Vec{0, 1, 0}}
	var post []MemberID
	for _, ends := range [2][2]NodeID{{foot, knee}, {knee, top}} {
		m := tube
		m.Start, m.End = ends[0], ends[1]
		post = append(post, f.Member(m))
	}
	s, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	chain := s.Chain(Row{Members: post, Start: 10, Share: 2, Within: Length{10 + low, 10 + high}, Stub: true})
	var ends []float64
	for i := range chain.Stretches() {
		from, to := chain.Ends(i)
		ends = append(ends, from-10, to-10)
	}
	for i, want := range []float64{low, 0.6, 0.6, h, h, high} {
		if len(ends) != 6 || math.Abs(ends[i]-want) > 1e-12 {
			t.Fatalf("stretches end at %v", ends)
		}
	}
	moved := func(b float64) float64 {
		if b < h {
			return b * b * (3*h - b) / (6 * ei)
		}
		return h*h*h/(3*ei) + (b-h)*h*h/(2*ei)
	}
	moment, move := s.Section(post[0], 0, MomentZ), s.Freedom(top, UY)
	direct := s.Influence(chain, Vec{0, 1, 0})
	for name, in := range map[string]influenceLines{"direct": direct, "blocks": byBlocks(t, s, chain, Vec{0, 1, 0})} {
		for i := range chain.Stretches() {
			from, to := chain.Ends(i)
			for _, part := range [5]float64{0, 0.3, 0.5, 0.9, 1} {
				x := from + part*(to-from)
				b := x - 10
				value := func(r Response) float64 {
					room := make([][4]float64, chain.Stretches())
					in.CubicsWithin(room, r)
					return cubic(room[i]).at(x - from)
				}
				solved := s.Solve(Case{Points: chain.Loads(i, x, Vec{0, 1, 0})})
				for _, c := range []struct {
					what             string
					line, load, want float64
				}{
					{"moment at the foot", math.Abs(value(moment)), math.Abs(solved.Value(moment)), 2 * b},
					{"movement of the top", value(move), solved.Value(move), 2 * moved(b)},
				} {
					if math.Abs(c.line-c.want) > 1e-9*c.want || math.Abs(c.load-c.want) > 1e-9*c.want {
						t.Errorf("%s, load at %.3f m, %s: line %.12g, load case %.12g, want %.12g", name, b, c.what, c.line, c.load, c.want)
					}
				}
			}
		}
	}
	// A line load over part of both: its resultant times its height.
	from, to := 10+0.8, 10+1.5
	solved := s.Solve(Case{Lines: chain.LineLoads(from, to, Vec{0, 1, 0}), Points: chain.ArmLoads(from, to, Vec{0, 1, 0})})
	line := direct.Line(moment)
	want := 2 * (1.5*1.5 - 0.8*0.8) / 2
	if got, by := math.Abs(solved.Value(moment)), math.Abs(line.Integral(0, []Length{{from, to}})); math.Abs(got-want) > 1e-9 || math.Abs(by-want) > 1e-9 {
		t.Errorf("line load: %.12g as a load case, %.12g by its line, want %.12g", got, by, want)
	}
}
