package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Influence lines against direct solves: the same frame, the load placed as an
// ordinary load case, the response read from nodes and diagrams.

// probe is a response, named in a way that a solution can be read by too.
type probe struct {
	node      NodeID
	freedom   Freedom
	member    MemberID
	station   float64
	component Component // of a section, where section is set
	section   bool
	sum       []probe
	factors   []float64
}

func (p *probe) response(s *Factored) Response {
	switch {
	case p.sum != nil:
		var parts []Response
		for i := range p.sum {
			parts = append(parts, p.sum[i].response(s))
		}
		return Combine(p.factors, parts)
	case p.section:
		return s.Section(p.member, p.station, p.component)
	}
	return s.Freedom(p.node, p.freedom)
}

func (p *probe) read(s *Solution) float64 {
	switch {
	case p.sum != nil:
		out := 0.0
		for i := range p.sum {
			out += p.factors[i] * p.sum[i].read(s)
		}
		return out
	case p.section:
		return s.Diagram(p.member).At(p.component, p.station)
	}
	return s.Displacement(p.node, p.freedom)
}

func (p *probe) String() string {
	switch {
	case p.sum != nil:
		return fmt.Sprintf("sum of %d responses", len(p.sum))
	case p.section:
		return fmt.Sprintf("component %d at %.3f of member %d", p.component, p.station, p.member)
	}
	return fmt.Sprintf("%v of node %d", p.freedom, p.node)
}

// isForce says whether the response is in N or N·m; its scale under a unit load
// is then 1, else that of the movements.
func (p *probe) isForce() bool { return p.section && p.component < MoveX }

func randomProbe(r *rand.Rand, f *Frame, rows []Row) probe {
	m := MemberID(r.IntN(len(f.members)))
	if r.IntN(2) == 0 { // a loaded one
		row := rows[r.IntN(len(rows))].Members
		m = row[r.IntN(len(row))]
	}
	x := r.Float64() * f.Length(m)
	switch r.IntN(8) {
	case 0:
		x = 0
	case 1:
		x = f.Length(m)
	}
	return probe{member: m, station: x, component: Component(r.IntN(int(components))), section: true}
}

// randomProbes returns every component at sections of loaded and other members,
// freedoms of nodes, and sums of forces and of movements.
func randomProbes(r *rand.Rand, f *Frame, rows []Row) []probe {
	var out []probe
	for c := range components {
		p := randomProbe(r, f, rows)
		p.component = c
		out = append(out, p)
	}
	for range 3 {
		out = append(out, probe{node: NodeID(r.IntN(len(f.nodes))), freedom: Freedom(r.IntN(6))})
	}
	force := probe{factors: []float64{1, -2.5, 0, 0.3}}
	for range force.factors {
		force.sum = append(force.sum, randomProbe(r, f, rows))
	}
	return append(out, force)
}

// randomRow strings members of the frame together in any order: a chain does
// not ask whether they meet.
func randomRow(r *rand.Rand, f *Frame) Row {
	row := Row{Share: 1}
	for _, m := range r.Perm(len(f.members))[:1+r.IntN(len(f.members))] {
		row.Members = append(row.Members, MemberID(m))
	}
	return row
}

// directPoint is what a load at a coordinate does, found by walking along the
// rows. The coordinate is at no end of a member.
func directPoint(f *Frame, rows []Row, x float64, force Vec) []PointLoad {
	var out []PointLoad
	for _, row := range rows {
		at := row.Start
		for _, m := range row.Members {
			if x > at && x < at+f.Length(m) {
				out = append(out, PointLoad{Member: m, At: x - at, Force: force.scale(row.Share)})
			}
			at += f.Length(m)
		}
	}
	return out
}

// directLine is the same for a line load.
func directLine(f *Frame, rows []Row, over Length, force Vec) []LineLoad {
	var out []LineLoad
	for _, row := range rows {
		at := row.Start
		for _, m := range row.Members {
			if a, b := max(over.From, at), min(over.To, at+f.Length(m)); a < b {
				out = append(out, LineLoad{Member: m, From: a - at, To: b - at, Start: force.scale(row.Share), End: force.scale(row.Share)})
			}
			at += f.Length(m)
		}
	}
	return out
}

// influenceTrial is one frame with a chain, three load directions and the lines
// of several responses.
type influenceTrial struct {
	frame      *Frame
	model      *Factored
	rows       []Row
	chain      *Chain
	directions []Vec
	probes     []probe
	lines      []Line
	scales     []float64
}

func newInfluenceTrial(t *testing.T, r *rand.Rand, f *Frame, rows []Row) *influenceTrial {
	t.Helper()
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	tr := &influenceTrial{frame: f, model: model, rows: rows, chain: model.Chain(rows...), probes: randomProbes(r, f, rows),
		directions: []Vec{randomVec(r, 1), {0, 1, 0}, randomVec(r, 1)}}
	var responses []Response
	for i := range tr.probes {
		responses = append(responses, tr.probes[i].response(model))
	}
	tr.lines = model.Influence(tr.chain, tr.directions...).Lines(responses...)
	tr.setScales()
	return tr
}

// setScales gives each line the scale of its differences: its own largest value,
// but at least the unit load for a force, and the largest line of any movement
// for a movement, of which a small one is a difference.
func (tr *influenceTrial) setScales() {
	tr.scales = make([]float64, len(tr.lines))
	movement := 0.0
	for i := range tr.lines {
		for d := range tr.directions {
			least, largest := tr.lines[i].Extremes(d)
			tr.scales[i] = max(tr.scales[i], -least.Value, largest.Value)
		}
		if p := &tr.probes[i]; p.isForce() || p.sum != nil {
			tr.scales[i] = max(tr.scales[i], 1)
		} else {
			movement = max(movement, tr.scales[i])
		}
	}
	for i := range tr.lines {
		if p := &tr.probes[i]; !p.isForce() && p.sum == nil {
			tr.scales[i] = movement
		}
	}
}

// eachInfluence runs a property on random frames with a random chain of one row,
// and of two rows that do not start and end together.
func eachInfluence(t *testing.T, property func(t *testing.T, r *rand.Rand, tr *influenceTrial)) {
	t.Helper()
	tied := 0
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		rows := []Row{randomRow(r, f)}
		if r.IntN(2) == 0 {
			rows = append(rows, randomRow(r, f))
			rows[0].Share, rows[1].Share = 0.3, 0.7
			rows[1].Start = between(r, -1, 1)
		}
		for _, row := range rows {
			for _, m := range row.Members {
				tied += len(f.members[m].Ends)
			}
		}
		property(t, r, newInfluenceTrial(t, r, f, rows))
	})
	if tied < 20 {
		t.Errorf("%d end ties of loaded members: too few to test", tied)
	}
}

// somewhere returns a coordinate inside a piece, often near an end of it.
func (p *Piece) somewhere(r *rand.Rand) float64 {
	length := p.To - p.From
	switch r.IntN(4) {
	case 0:
		return p.From + 1e-6*length
	case 1:
		return p.To - 1e-6*length
	}
	return between(r, p.From, p.To)
}

// TestLineAgainstDirectSolve places a unit load anywhere along the chain, before
// and after the section of a response on the same member too.
func TestLineAgainstDirectSolve(t *testing.T) {
	same := 0
	eachInfluence(t, func(t *testing.T, r *rand.Rand, tr *influenceTrial) {
		for range 6 {
			pieces := tr.lines[0].Pieces
			k := r.IntN(len(pieces))
			x, d := pieces[k].somewhere(r), r.IntN(len(tr.directions))
			direct := directPoint(tr.frame, tr.rows, x, tr.directions[d])
			if !slices.EqualFunc(direct, tr.chain.Loads(pieces[k].Stretch, x, tr.directions[d]), samePoint) {
				t.Errorf("at %g: chain gives %v, want %v", x, tr.chain.Loads(pieces[k].Stretch, x, tr.directions[d]), direct)
			}
			s := tr.model.Solve(Case{Points: direct})
			for i := range tr.lines {
				p := &tr.probes[i]
				for _, l := range direct {
					if p.section && l.Member == p.member {
						same++
					}
				}
				near(t, fmt.Sprintf("%v, load at %.6f in direction %d", p, x, d), tr.lines[i].Pieces[k].At(d, x), p.read(s), tr.scales[i])
			}
		}
	})
	if same < 200 {
		t.Errorf("%d responses on the loaded member: too few to test", same)
	}
}

func samePoint(a, b PointLoad) bool {
	return a.Member == b.Member && math.Abs(a.At-b.At) < 1e-12 && a.Force.sub(b.Force).norm() < 1e-12
}

// TestValueAgainstDiagram reads responses from a solution under loads of every
// kind, on their own members too.
func TestValueAgainstDiagram(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		s := f.solved(t, randomCase(r, f))
		movement, force := s.sizes()
		for _, p := range randomProbes(r, f, []Row{randomRow(r, f)}) {
			scale := force + movement
			if !p.isForce() && p.sum == nil {
				scale = movement
			}
			near(t, p.String(), s.Value(p.response(s.model)), p.read(s), scale)
		}
	})
	// Just before a load at the section itself.
	r := rand.New(rand.NewPCG(1, 1))
	f := randomFrame(r)
	s := f.solved(t, Case{Points: []PointLoad{{Member: 1, At: 0.5, Force: Vec{100, 200, 300}}}})
	for c := range components {
		near(t, fmt.Sprint("component ", c), s.Value(s.model.Section(1, 0.5, c)), s.Diagram(1).Before(c, 0.5), 100)
	}
}

// TestLineIntegralAgainstDirectSolve puts a line load over random lengths.
func TestLineIntegralAgainstDirectSolve(t *testing.T) {
	eachInfluence(t, func(t *testing.T, r *rand.Rand, tr *influenceTrial) {
		from, _ := tr.chain.Ends(0)
		_, to := tr.chain.Ends(tr.chain.Stretches() - 1)
		cuts := make([]float64, 4)
		for i := range cuts {
			cuts[i] = between(r, from-0.2, to+0.2)
		}
		slices.Sort(cuts)
		over := []Length{{cuts[0], cuts[1]}, {cuts[2], cuts[3]}}
		d := r.IntN(len(tr.directions))
		var direct, chained []LineLoad
		for _, o := range over {
			direct = append(direct, directLine(tr.frame, tr.rows, o, tr.directions[d])...)
			chained = append(chained, tr.chain.LineLoads(o.From, o.To, tr.directions[d])...)
		}
		s, c := tr.model.Solve(Case{Lines: direct}), tr.model.Solve(Case{Lines: chained})
		for i := range tr.lines {
			p, scale := &tr.probes[i], tr.scales[i]*max(1, to-from)
			near(t, fmt.Sprintf("%v, integral over %v", p, over), tr.lines[i].Integral(d, over), p.read(s), scale)
			near(t, fmt.Sprintf("%v, chain's line loads over %v", p, over), p.read(c), p.read(s), scale)
		}
	})
}

// TestLineExtremes compares the extremes with a fine search.
func TestLineExtremes(t *testing.T) {
	eachInfluence(t, func(t *testing.T, r *rand.Rand, tr *influenceTrial) {
		for i := range tr.lines {
			line, scale := &tr.lines[i], tr.scales[i]
			for d := range tr.directions {
				least, largest := line.Extremes(d)
				lo, hi := math.Inf(1), math.Inf(-1)
				for k := range line.Pieces {
					p := &line.Pieces[k]
					for j := range 101 {
						v := p.At(d, p.From+(p.To-p.From)*float64(j)/100)
						lo, hi = min(lo, v), max(hi, v)
					}
				}
				// Stations are a hundredth of a piece apart: the search misses at most
				// an eighth of its square times the second derivative, and a cubic of
				// size 1 on a length h has at most 96/h² of that (V. A. Markov's
				// inequality, (2/h)² · 9·8/3).
				const missed = 96.0 / 8 * 0.01 * 0.01
				slack := missed / (1 - missed) * max(hi, -lo)
				if least.Value > lo+rounding*scale || least.Value < lo-slack-rounding*scale ||
					largest.Value < hi-rounding*scale || largest.Value > hi+slack+rounding*scale {
					t.Errorf("%v: extremes %g and %g, search %g and %g", &tr.probes[i], least.Value, largest.Value, lo, hi)
				}
				for _, e := range [...]Extreme{least, largest} {
					if !line.hasValue(d, e, rounding*scale) {
						t.Errorf("%v: extreme %g is not the line's value at %g", &tr.probes[i], e.Value, e.Station)
					}
				}
			}
		}
	})
}

func (l *Line) hasValue(d int, e Extreme, tol float64) bool {
	for i := range l.Pieces {
		p := &l.Pieces[i]
		if e.Station >= p.From && e.Station <= p.To && math.Abs(p.At(d, e.Station)-e.Value) <= tol {
			return true
		}
	}
	return false
}

// TestAdverse compares the adverse lengths of a weighted sum of lines with a
// brute-force search.
func TestAdverse(t *testing.T) {
	eachInfluence(t, func(t *testing.T, r *rand.Rand, tr *influenceTrial) {
		lines := []Line{tr.lines[r.IntN(len(tr.lines))], tr.lines[r.IntN(len(tr.lines))], tr.lines[r.IntN(len(tr.lines))]}
		weights := []float64{between(r, -1, 1), 0, between(r, -1, 1)}
		d := r.IntN(len(tr.directions))
		adverse := Adverse(lines, weights, d)
		sum := func(k int, x float64) float64 {
			return weights[0]*lines[0].Pieces[k].At(d, x) + weights[2]*lines[2].Pieces[k].At(d, x)
		}
		inside := func(x float64) bool {
			return slices.ContainsFunc(adverse, func(l Length) bool { return x >= l.From && x <= l.To })
		}
		brute, size := 0.0, 0.0
		for k, p := range lines[0].Pieces {
			const steps = 200
			h := (p.To - p.From) / steps
			for j := range steps {
				x := p.From + (float64(j)+0.5)*h
				v := sum(k, x)
				size = max(size, math.Abs(v))
				brute += max(v, 0) * h
				if (v > 0) != inside(x) && math.Abs(v) > rounding*size {
					t.Errorf("sum is %g at %g, adverse lengths are %v", v, x, adverse)
				}
			}
		}
		for i, l := range adverse {
			if !(l.From < l.To) || i > 0 && !(l.From > adverse[i-1].To) {
				t.Errorf("adverse lengths not in order and apart: %v", adverse)
			}
		}
		got := weights[0]*lines[0].Integral(d, adverse) + weights[2]*lines[2].Integral(d, adverse)
		from, to := lines[0].Pieces[0].From, lines[0].Pieces[len(lines[0].Pieces)-1].To
		// The midpoint rule on 200 steps errs by h²/24 of the second derivative.
		if tol := 1e-4 * size * (to - from); math.Abs(got-brute) > tol {
			t.Errorf("integral over the adverse lengths %g, by search %g ± %g", got, brute, tol)
		}
		for range 20 { // no other lengths give more
			a, b := between(r, from, to), between(r, from, to)
			other := []Length{{min(a, b), max(a, b)}}
			if v := weights[0]*lines[0].Integral(d, other) + weights[2]*lines[2].Integral(d, other); v > got+rounding*size*(to-from) {
				t.Errorf("%g over %v is more than %g over %v", v, other, got, adverse)
			}
		}
	})
}

// TestReach compares the bounds of the integral over any lengths with that over the adverse ones,
// which is the largest there is; where every piece has one sign they are equal.
func TestReach(t *testing.T) {
	equal := 0
	eachInfluence(t, func(t *testing.T, _ *rand.Rand, tr *influenceTrial) {
		for _, line := range tr.lines {
			for d := range tr.directions {
				low, high := line.Reach(d)
				for _, b := range []struct{ sign, bound float64 }{{1, high}, {-1, -low}} {
					most := b.sign * line.Integral(d, Adverse([]Line{line}, []float64{b.sign}, d))
					size := max(high, -low)
					if b.bound < most-rounding*size {
						t.Errorf("integral over adverse lengths %g, bound %g", most, b.bound)
					}
					if most > 0 && math.Abs(b.bound-most) <= rounding*size {
						equal++
					}
				}
			}
		}
	})
	if equal == 0 {
		t.Error("no bound is reached: they are too wide")
	}
}

// TestSigns has the lengths either way be those adverse to a line and to its opposite.
func TestSigns(t *testing.T) {
	eachInfluence(t, func(t *testing.T, _ *rand.Rand, tr *influenceTrial) {
		for _, line := range tr.lines {
			for d := range tr.directions {
				above, below := line.Signs(d)
				if want := Adverse([]Line{line}, []float64{1}, d); !slices.Equal(above, want) {
					t.Errorf("above zero over %v, adverse %v", above, want)
				}
				if want := Adverse([]Line{line}, []float64{-1}, d); !slices.Equal(below, want) {
					t.Errorf("below zero over %v, adverse to the opposite %v", below, want)
				}
			}
		}
	})
}

// TestZeroLine has a load across a straight beam, which does not pull at it: nothing
// is adverse to what the load does not do.
func TestZeroLine(t *testing.T) {
	f, _, row := beam(t, "fixed 1 roller 1 roller")
	s, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	in := s.Influence(s.Chain(row), down(1))
	pull := in.Line(s.Section(0, 0.5, Axial))
	if over := Adverse([]Line{pull}, []float64{1}, 0); len(over) != 0 {
		t.Errorf("a load across is adverse to the pull over %v", over)
	}
	if least, largest := pull.Extremes(0); least.Value != 0 || largest.Value != 0 {
		t.Errorf("a load across pulls between %g and %g", least.Value, largest.Value)
	}
	held := in.Line(s.Freedom(0, UY))
	if !held.Zero() {
		t.Error("the line of a held freedom is not zero")
	}
	if bend := in.Line(s.Section(0, 0.5, MomentZ)); bend.Zero() {
		t.Error("the line of the moment is zero")
	}
}

// TestTwoRows loads two rails on common posts, cut at different places, each
// with its share; the chain is cut where either is.
func TestTwoRows(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	f, rows := twoRails(t)
	tr := newInfluenceTrial(t, r, f, rows)
	var ends []float64
	for i := range tr.chain.Stretches() {
		a, b := tr.chain.Ends(i)
		ends = append(ends, a)
		if i == tr.chain.Stretches()-1 {
			ends = append(ends, b)
		}
	}
	want := []float64{0, 0.5, 1.5, 2.1, 3}
	if !slices.EqualFunc(ends, want, func(a, b float64) bool { return math.Abs(a-b) < 1e-12 }) {
		t.Fatalf("stretches end at %v, want %v", ends, want)
	}
	if parts := tr.chain.Parts(1); len(parts) != 2 || parts[0] != (Part{rows[0].Members[1], 0, 0.6, global, 0}) || parts[1] != (Part{rows[1].Members[0], 0.5, 0.4, global, 0}) {
		t.Errorf("second stretch loads %v", parts)
	}
	for x := 0.05; x < 3; x += 0.1 {
		direct := tr.model.Solve(Case{Points: directPoint(f, rows, x, tr.directions[0])})
		for i := range tr.lines {
			for k := range tr.lines[i].Pieces {
				if p := &tr.lines[i].Pieces[k]; x > p.From && x < p.To {
					near(t, fmt.Sprintf("%v, load at %.3f", &tr.probes[i], x), p.At(0, x), tr.probes[i].read(direct), tr.scales[i])
				}
			}
		}
	}
	// A load whose shares sum to 1 has the whole reaction.
	s := tr.model.Solve(Case{Points: tr.chain.Loads(1, 1, Vec{0, 1, 0})})
	sum := 0.0
	for _, q := range s.Reactions {
		if q.Freedom == UY {
			sum += q.Value
		}
	}
	near(t, "reactions", sum, -1, 1)
}

// twoRails returns three posts, a rail of four members with a joint between the
// last two, and a rail of two members.
func twoRails(t *testing.T) (*Frame, []Row) {
	t.Helper()
	f := &Frame{}
	rail := func(a, b NodeID) MemberID {
		return f.Member(Member{Start: a, End: b, EA: 9e7, EIy: 3e4, EIz: 3e4, GJ: 2.3e4, Reference: Vec{0, 1, 0}})
	}
	var low, high []NodeID
	for i := range 3 {
		foot := f.Node("foot", Vec{1.5 * float64(i), 0, 0})
		f.Restrain(foot, UX, UY, UZ, RX, RY, RZ)
		low = append(low, f.Node("low", Vec{1.5 * float64(i), 0, 0.5}))
		high = append(high, f.Node("high", Vec{1.5 * float64(i), 0, 1.1}))
		rail(foot, low[i])
		rail(low[i], high[i])
	}
	mid, before, after := f.Node("mid", Vec{0.5, 0, 1.1}), f.Node("before", Vec{2.1, 0, 1.1}), f.Node("after", Vec{2.1, 0, 1.1})
	f.Join(Joint{First: before, Second: after, Ties: [6]Tie{Shared(), Shared(), Shared(), Free, Free, 2e3}})
	return f, []Row{
		{Members: []MemberID{rail(high[0], mid), rail(mid, high[1]), rail(high[1], before), rail(after, high[2])}, Share: 0.6},
		{Members: []MemberID{rail(low[0], low[1]), rail(low[1], low[2])}, Share: 0.4},
	}
}
