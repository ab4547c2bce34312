package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/blas/blas64"
)

// Influence lines by blocks against those by one band solve an equation, which stand
// against direct solves in influence_test.go.

// influenceLines are what [Influence] and [BlockInfluence], two ways to the same numbers, share.
type influenceLines interface {
	Directions() []Vec
	Cubics(dst [][4]float64, r Response) bool
	CubicsWithin(dst [][4]float64, r Response) (from, to int)
	Line(r Response) Line
	Lines(responses ...Response) []Line
}

// byBlocks prepares the chain by blocks.
func byBlocks(t testing.TB, s *Factored, c *Chain, directions ...Vec) *BlockInfluence {
	t.Helper()
	in, ok := s.InfluenceByBlocks(c, directions...)
	if !ok {
		t.Fatal("a block does not hold itself")
	}
	return in
}

// alike holds two lines of one response equal over every piece and direction, to a part
// of the scale and of the line's own largest value, and returns the largest difference
// over its largest value.
func alike(t *testing.T, what string, got, want *Line, part, scale float64) float64 {
	t.Helper()
	if len(got.Pieces) != len(want.Pieces) {
		t.Fatalf("%s: %d pieces, want %d", what, len(got.Pieces), len(want.Pieces))
	}
	peak, apart := 0.0, 0.0
	for k := range want.Pieces {
		p, q := &got.Pieces[k], &want.Pieces[k]
		if p.From != q.From || p.To != q.To || p.Stretch != q.Stretch {
			t.Fatalf("%s: piece %d is %v, want %v", what, k, *p, *q)
		}
		for d := range q.Coeffs {
			for i := range 5 {
				x := q.From + (q.To-q.From)*float64(i)/4
				v := q.At(d, x)
				peak, apart = max(peak, math.Abs(v)), max(apart, math.Abs(v-p.At(d, x)))
			}
		}
	}
	if !(apart <= part*max(peak, scale)) {
		t.Errorf("%s: lines are %.3g apart, their peak is %.3g", what, apart, peak)
	}
	if peak < scale {
		return 0
	}
	return apart / peak
}

// TestBlocksOnRandomFrames holds both ways equal on random frames and chains: once as the
// frame was built, once with its nodes in any order, which leaves few blocks or one.
func TestBlocksOnRandomFrames(t *testing.T) {
	worst, lines := 0.0, 0
	eachInfluence(t, func(t *testing.T, r *rand.Rand, tr *influenceTrial) {
		var responses []Response
		for i := range tr.probes {
			responses = append(responses, tr.probes[i].response(tr.model))
		}
		got := byBlocks(t, tr.model, tr.chain, tr.directions...).Lines(responses...)
		for i := range got {
			// A small movement is a difference of large ones, a small force one of unit loads.
			worst = max(worst, alike(t, tr.probes[i].String(), &got[i], &tr.lines[i], 1e-10, tr.scales[i]))
			lines++
		}
		to := make([]NodeID, len(tr.frame.nodes))
		for i, n := range r.Perm(len(to)) {
			to[i] = NodeID(n)
		}
		f := tr.frame.renumbered(to)
		model, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		for i := range responses {
			p := tr.probes[i]
			if p.node = 0; !p.section && p.sum == nil {
				p.node = to[tr.probes[i].node]
			}
			responses[i] = p.response(model)
		}
		chain := model.Chain(tr.rows...)
		got = byBlocks(t, model, chain, tr.directions...).Lines(responses...)
		want := model.Influence(chain, tr.directions...).Lines(responses...)
		for i := range got {
			worst = max(worst, alike(t, "renumbered, "+tr.probes[i].String(), &got[i], &want[i], 1e-10, tr.scales[i]))
		}
	})
	t.Logf("%d lines at most %.1e of their peaks apart", lines, worst)
}

// runKind is a barrier-shaped run: posts with two rails through.
type runKind struct {
	name    string
	grip    [6]Tie  // of a rail at a post
	foot    float64 // N·m/rad; 0 for fixed
	splices bool    // a joint in some bays
	spins   bool    // rails spin in their joints but for the first
	bend    float64 // rad that the run turns at each post
	arm     Vec     // from a post to the rail that it grips
}

var (
	freeGrip    = [6]Tie{Shared(), Shared(), Shared(), Shared(), Free, Free}
	grippedGrip = [6]Tie{Shared(), Shared(), Shared(), Shared(), Shared(), Free}
	rigidGrip   = [6]Tie{Shared(), Shared(), Shared(), Shared(), Shared(), Shared()}
	softGrip    = [6]Tie{Shared(), 5e6, Shared(), 2e3, 1e3, 4e3}
)

func runKinds() []runKind {
	return []runKind{
		{name: "free", grip: freeGrip, foot: 150e3},
		{name: "gripped", grip: grippedGrip, foot: 150e3},
		{name: "gripped on soft feet", grip: grippedGrip, foot: 10e3, splices: true},
		{name: "rigid on fixed feet", grip: rigidGrip},
		{name: "sprung and eccentric", grip: softGrip, foot: 80e3, splices: true, arm: Vec{0, 0.05, 0}},
		{name: "held at its start", grip: freeGrip, foot: 150e3, spins: true},
		{name: "bent", grip: grippedGrip, foot: 150e3, bend: 0.2, arm: Vec{0, 0.05, 0.02}},
	}
}

// run returns the run with the nodes of its rails as rows, axes of each member along it.
func (k *runKind) run(f *Frame, posts int, origin Vec) []Row {
	rows := []Row{{Share: 0.7}, {Share: 0.3}}
	var last [2]NodeID
	at, heading := origin, 0.0
	for i := range posts {
		along := Axes{{math.Cos(heading), math.Sin(heading), 0}, {-math.Sin(heading), math.Cos(heading), 0}, {0, 0, 1}}
		foot := f.Node(fmt.Sprintf("foot of post %d", i+1), at)
		f.Restrain(foot, UX, UY, UZ, RZ)
		if k.foot == 0 {
			f.Restrain(foot, RX, RY)
		} else {
			f.Spring(foot, RX, k.foot)
			f.Spring(foot, RY, k.foot)
		}
		below, grip := foot, k.grip
		if k.spins && i > 0 {
			grip[RX] = Free
		}
		for level, height := range [...]float64{0.6, 1.1} {
			post := f.Node(fmt.Sprintf("post %d at %g", i+1, height), at.add(Vec{0, 0, height}))
			f.Member(tube(below, post))
			below = post
			rail := f.Node(fmt.Sprintf("rail at post %d", i+1), f.Position(post).add(along.from(k.arm)))
			f.Join(Joint{First: post, Second: rail, Axes: along, Ties: grip})
			if i > 0 {
				k.span(f, &rows[level], last[level], rail, (i+level)%3 == 0)
			}
			last[level] = rail
		}
		if i%2 == 1 {
			heading += k.bend
		}
		at = at.add(Vec{math.Cos(heading), math.Sin(heading), 0}.scale(1.5))
	}
	return rows
}

// span puts a rail over a bay, cut by a joint where the run has splices.
func (k *runKind) span(f *Frame, row *Row, from, to NodeID, spliced bool) {
	add := func(a, b NodeID) {
		x := f.Position(b).sub(f.Position(a))
		x = x.scale(1 / x.norm())
		up := Vec{0, 0, 1}
		y := up.cross(x)
		y = y.scale(1 / y.norm())
		row.Members = append(row.Members, f.Member(tube(a, b)))
		row.Axes = append(row.Axes, Axes{x, y, x.cross(y)})
	}
	if !k.splices || !spliced {
		add(from, to)
		return
	}
	mid := f.Position(from).add(f.Position(to).sub(f.Position(from)).scale(0.4))
	before, after := f.Node("before the splice", mid), f.Node("after the splice", mid)
	f.Join(Joint{First: before, Second: after, Ties: [6]Tie{Shared(), Shared(), Shared(), Shared(), 3e3, 3e3}})
	add(from, before)
	add(after, to)
}

// everyStart returns the six forces and two movements at the start of every member.
func everyStart(s *Factored) (out []Response) {
	for m := range s.elements {
		out = append(out, startOf(s, MemberID(m))...)
	}
	return out
}

func startOf(s *Factored, m MemberID) (out []Response) {
	for c := range MoveX {
		out = append(out, s.Section(m, 0, c))
	}
	n := s.frame.members[m].Start
	return append(out, s.Freedom(n, UY), s.Freedom(n, RZ))
}

// TestBlocksOnRuns holds both ways equal on runs of 2 to 30 posts, each response to 1e-10
// of its line's peak, two runs apart from each other among them.
func TestBlocksOnRuns(t *testing.T) {
	directions := []Vec{{0, 1, 0}, {0, 0, -1}, {0.6, 0, 0.8}}
	for _, kind := range runKinds() {
		worst := 0.0
		for _, posts := range [...]int{2, 3, 7, 30} {
			for apart := range 2 {
				f := &Frame{}
				rows := kind.run(f, posts, Vec{})
				if apart == 1 {
					if posts > 7 {
						continue
					}
					other := kind.run(f, 4, Vec{0, 50, 0})
					other[0].Start, other[1].Start = 3, 1.1
					rows = append(rows, other...)
				}
				s, err := f.Factorise()
				if err != nil {
					t.Fatal(err)
				}
				chain := s.Chain(rows...)
				direct, blocks := s.Influence(chain, directions...), byBlocks(t, s, chain, directions...)
				responses := everyStart(s)
				if posts > 7 { // the members of a few posts in the middle
					responses = responses[len(responses)/2-80 : len(responses)/2+80]
				}
				got, want := blocks.Lines(responses...), direct.Lines(responses...)
				for i := range got {
					scale := 1e-4 // of a unit load, N or N·m: less is a difference of larger forces
					if i%8 > 5 {
						scale = 1e-9 // m or rad a newton
					}
					what := fmt.Sprintf("%s, %d posts, response %d", kind.name, posts, i)
					worst = max(worst, alike(t, what, &got[i], &want[i], 1e-10, scale))
				}
				sameCubics(t, blocks, direct, responses)
			}
		}
		t.Logf("%s: at most %.1e of the peak apart", kind.name, worst)
	}
}

// sameCubics holds the cubics of a whole stretch equal, and sees that none is written
// outside the stretches that the walk says it reached.
func sameCubics(t *testing.T, blocks, direct influenceLines, responses []Response) {
	t.Helper()
	nd := len(blocks.Directions())
	stretches := len(direct.(*Influence).chain.stretches)
	a, b := make([][4]float64, nd*stretches), make([][4]float64, nd*stretches)
	for i, r := range responses {
		clear(a)
		clear(b)
		from, to := blocks.CubicsWithin(a, r)
		direct.CubicsWithin(b, r)
		peak := 0.0
		for k := range b {
			peak = max(peak, math.Abs(b[k][0]), math.Abs(b[k][1])) // stretches are 0.6 to 1.5 m long
			if (k < from*nd || k >= to*nd) && a[k] != ([4]float64{}) {
				t.Fatalf("response %d writes stretch %d, not from %d to %d", i, k/nd, from, to)
			}
		}
		for k := range b {
			for p := range 4 {
				if !(math.Abs(a[k][p]-b[k][p]) <= 1e-9*peak+1e-14) {
					t.Errorf("response %d, stretch %d: cubic %v, want %v", i, k/nd, a[k], b[k])
					break
				}
			}
		}
	}
}

// TestOneBlock is a post alone: no block has a neighbour.
func TestOneBlock(t *testing.T) {
	f := &Frame{}
	foot, top := f.Node("foot", Vec{}), f.Node("top", Vec{0, 0, 1.1})
	f.Restrain(foot, UX, UY, UZ, RX, RY, RZ)
	m := f.Member(tube(foot, top))
	s, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	in := byBlocks(t, s, s.Chain(Row{Members: []MemberID{m}, Share: 1}), Vec{0, 1, 0})
	tip, bottom := in.Line(s.Freedom(top, UY)), in.Line(s.Section(m, 0, MomentZ))
	e := &s.elements[m]
	ei := e.eiy
	if ei != e.eiz {
		t.Fatal("the tube is not round")
	}
	for _, x := range []float64{0, 0.3, 1, 1.1} {
		// AISC Manual Table 3-23 case 21: cantilever, concentrated load at any point.
		near(t, "tip", tip.Pieces[0].At(0, x), x*x*(3*1.1-x)/(6*ei), 1.1*1.1*1.1/(3*ei))
		near(t, "moment at the foot", math.Abs(bottom.Pieces[0].At(0, x)), x, 1.1)
	}
	if l := in.Line(s.Section(m, 0.5, Axial)); !l.Zero() {
		t.Error("a load across pulls")
	}
}

// TestInverseByBlocks holds the diagonal blocks and the transfers to columns of the inverse.
func TestInverseByBlocks(t *testing.T) {
	eachFrame(t, func(t *testing.T, r *rand.Rand, f *Frame) {
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		q, ok := s.recursionOf()
		if !ok {
			t.Fatal("a block does not hold itself")
		}
		eq := r.IntN(s.free)
		x := make(vector, s.free)
		x[eq] = 1
		s.solve([]vector{x})
		top := largest(x)
		at := make(map[[2]int32]int) // block and place -> equation
		for i := range s.free {
			at[[2]int32{q.block[i], q.local[i]}] = i
		}
		b := q.block[eq]
		k := &q.blocks[b]
		near(t, "flexibility", k.flexibility(int(q.local[eq])), x[eq], top)
		if int(q.local[eq]) >= k.chain {
			return
		}
		for i := range k.chain {
			near(t, "block of the inverse", k.g()[i*k.chain+int(q.local[eq])], x[at[[2]int32{b, int32(i)}]], top)
		}
		if q.linked(int(b)) {
			moved := make(vector, k.chain)
			for i := range moved {
				moved[i] = x[at[[2]int32{b, int32(i)}]]
			}
			next := make(vector, q.blocks[b+1].chain)
			times(next, k.t(), moved)
			for i, v := range next {
				near(t, "transfer", v, x[at[[2]int32{b + 1, int32(i)}]], top)
			}
		}
	})
}

// TestBoundOfWhatRemains proves the bound at every block beyond the sources of a random
// response: no entry of the line exceeds it, nor does any part of an entry's terms.
func TestBoundOfWhatRemains(t *testing.T) {
	looked, tightest, grew := 0, 0.0, 0
	r := rand.New(rand.NewPCG(4, 10))
	for _, kind := range runKinds() {
		for range 10 {
			f := &Frame{}
			rows := kind.run(f, 4+r.IntN(9), Vec{})
			shake(r, f)
			s, err := f.Factorise()
			if err != nil {
				t.Fatal(err)
			}
			q, ok := s.recursionOf()
			if !ok {
				t.Fatal("a block does not hold itself")
			}
			s.inBlocks = q // of all parts, whether or not a load reaches them
			in := byBlocks(t, s, s.Chain(rows...), randomVec(r, 1))
			x := make(vector, s.free)
			lo, hi := int32(math.MaxInt32), int32(-1)
			b := int32(r.IntN(len(q.blocks)))
			for eq := range x {
				if c := q.block[eq]; c == b || c == b+1 && q.linked(int(b)) {
					x[eq] = between(r, -1, 1) / math.Sqrt(1e7)
					lo, hi = min(lo, c), max(hi, c)
				}
			}
			s.solve([]vector{x})
			local := make([]vector, len(q.blocks))
			for c := range local {
				local[c] = make(vector, q.blocks[c].chain+q.blocks[c].inner)
			}
			for eq, v := range x {
				local[q.block[eq]][q.local[eq]] = v
			}
			for side := range 2 {
				before := math.Inf(1)
				from, step := int(hi), 1
				if side == 1 {
					from, step = int(lo), -1
				}
				w := walk{in: in}
				for c := from; w.goesOn(side, c); c += step {
					k := &q.blocks[c]
					stiff := k.r()
					if side == 1 {
						stiff = k.s()
					}
					e := energy(stiff, local[c][:k.chain])
					if e > before {
						grew++
					}
					before = e
					bound := in.beyond[side].norm[c+step] * math.Sqrt(max(e, 0))
					beyond := make([]cubic, len(in.entries))
					for d := c + step; d >= 0 && d < len(q.blocks) && q.blocks[d].part == k.part; d += step {
						for _, u := range in.of(d) {
							beyond[u.entry] = beyond[u.entry].plus(u.cubic, local[d][u.local])
						}
					}
					for i := range beyond {
						for j := range 9 {
							v := math.Abs(beyond[i].at(in.entries[i].length * float64(j) / 8))
							if v > bound*(1+1e-9) {
								t.Fatalf("%s: %.6g remains beyond block %d, bound %.6g", kind.name, v, c, bound)
							}
							if bound > 0 {
								tightest = max(tightest, v/bound)
							}
							looked++
						}
					}
				}
			}
		}
	}
	t.Logf("%d values, the largest %.2f of its bound; the energy grew %d times", looked, tightest, grew)
	if looked < 10000 || tightest < 0.01 {
		t.Errorf("%d values, at most %.1e of the bound: too few or too far to test", looked, tightest)
	}
}

// shake gives every member and ground spring a stiffness of its own, a thousand times
// apart at most.
func shake(r *rand.Rand, f *Frame) {
	for i := range f.members {
		m := &f.members[i]
		by := math.Pow(10, between(r, -1.5, 1.5))
		m.EA, m.EIy, m.EIz, m.GJ = m.EA*by, m.EIy*by, m.EIz*by, m.GJ*by
	}
	for i := range f.nodes {
		for d := range f.nodes[i].spring {
			f.nodes[i].spring[d] *= math.Pow(10, between(r, -1.5, 1.5))
		}
	}
}

// TestWalkAgainstFullWalk holds the walk that stops to the one that does not: values to
// the part of the peak that it may leave out, and integrals over any lengths to the same
// part of the integral of the line's size; either with what cannot be told from rounding, of
// which stiffnesses a thousand times apart make more.
func TestWalkAgainstFullWalk(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 11))
	const leftOut = 10 * negligible
	stopped, worst := 0, 0.0
	for _, kind := range runKinds() {
		f := &Frame{}
		rows := kind.run(f, 150, Vec{})
		shake(r, f)
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		chain := s.Chain(rows...)
		short := byBlocks(t, s, chain, Vec{0, 1, 0}, Vec{0, 0, 1})
		long := byBlocks(t, s, chain, Vec{0, 1, 0}, Vec{0, 0, 1})
		long.full = true
		room := make([][4]float64, 2*chain.Stretches())
		for range 12 {
			m := MemberID(r.IntN(len(f.members)))
			for i, q := range startOf(s, m) {
				if kind.spins && i == int(Torsion) { // of a rail nothing by statics: its line is rounding
					continue
				}
				clear(room)
				if from, to := short.CubicsWithin(room, q); to-from < chain.Stretches() {
					stopped++
				}
				got, want := short.Line(q), long.Line(q)
				if want.Zero() {
					if !got.Zero() {
						t.Errorf("%s: a line where there is none", kind.name)
					}
					continue
				}
				scale := 1e-4 // as in TestBlocksOnRuns
				if i > 5 {
					scale = 1e-9
				}
				what := fmt.Sprintf("%s, member %d, response %d", kind.name, m, i)
				worst = max(worst, alike(t, what, &got, &want, leftOut, scale))
				for d := range 2 {
					over := Adverse([]Line{want}, []float64{1}, d)
					other := Adverse([]Line{want}, []float64{-1}, d)
					a, b := want.Integral(d, over), -want.Integral(d, other)
					if p := got.Integral(d, over); math.Abs(p-a) > leftOut*max(a+b, scale) {
						t.Errorf("%s: integral over the adverse lengths %g, want %g", what, p, a)
					}
				}
			}
		}
	}
	t.Logf("%d of the walks stopped before the ends; at most %.1e of the peak apart", stopped, worst)
	if stopped < 200 {
		t.Errorf("%d walks stopped: too few to test", stopped)
	}
}

// TestMeasureIsALowerBound holds what a walk notes of an entry that is whole to its true largest value and to the integral of
// its size: never above, and the same where the entry is the same all along.
func TestMeasureIsALowerBound(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 500 {
		length := 0.1 + 3*r.Float64()
		c := cubic{r.NormFloat64(), r.NormFloat64() / length, r.NormFloat64() / (length * length), r.NormFloat64() / (length * length * length)}
		most, area := max(math.Abs(c.at(0)), math.Abs(c.at(length))), 0.0
		for _, x := range c.stationary(nil, length) {
			most = max(most, math.Abs(c.at(x)))
		}
		c.eachSign(length, func(from, to float64, _ int) { area += math.Abs(c.integral(from, to)) })
		var w, even walk
		w.measure(&c, length)
		rounding := 1e-14 * c.height(length)
		if w.peak > most+rounding || w.area > area+rounding*length {
			t.Errorf("%v over %g: peak %g and area %g, want at most %g and %g", c, length, w.peak, w.area, most, area)
		}
		even.measure(&cubic{c[0]}, length)
		if even.peak != math.Abs(c[0]) || even.area != math.Abs(c[0])*length {
			t.Errorf("%g over %g: peak %g and area %g", c[0], length, even.peak, even.area)
		}
	}
}

// TestBlocksAgainstLoads holds lines by blocks to a load case for each place: the load
// stands there, the frame is solved, and the response is read from its movements.
func TestBlocksAgainstLoads(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 23))
	directions := []Vec{{0, 1, 0}, {0, 0, 1}, {1, 0, 0}}
	for _, kind := range runKinds() {
		f := &Frame{}
		rows := kind.run(f, 110, Vec{})
		shake(r, f)
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		chain := s.Chain(rows...)
		in := byBlocks(t, s, chain, directions...)
		for range 4 {
			m := MemberID(r.IntN(len(f.members)))
			responses := startOf(s, m)
			lines := in.Lines(responses...)
			for range 8 {
				d, piece := r.IntN(3), r.IntN(len(lines[0].Pieces))
				at := &lines[0].Pieces[piece]
				x := between(r, at.From, at.To)
				solved := s.Solve(Case{Points: chain.Loads(at.Stretch, x, directions[d])})
				for i := range responses {
					least, largest := lines[i].Extremes(d)
					scale := 1e-4 // as in TestBlocksOnRuns
					if i > 5 {
						scale = 1e-9
					}
					tol := 1e-9 * max(-least.Value, largest.Value, scale)
					if got, want := lines[i].Pieces[piece].At(d, x), solved.Value(responses[i]); math.Abs(got-want) > tol {
						t.Errorf("%s, member %d, response %d, a load along %v at %g: %.12g by blocks, %.12g solved", kind.name, m, i, directions[d], x, got, want)
					}
				}
			}
		}
	}
}

// recursionOf returns the recursion of a frame with the matrices of all its parts, or false where rounding leaves a
// block that does not hold itself.
func (s *Factored) recursionOf() (q *recursion, held bool) {
	s.whileAssembled(func(raw blas64.SymmetricBand) {
		parts := partsOf(raw)
		q = inBlocks(raw, parts)
		held = q.fill(raw, parts, slices.Repeat([]bool{true}, len(parts.starts)))
	})
	return q, held
}

// TestBlocksOfWhatLoadsReach has the matrices of a part worked out once a load reaches it, of a frame at rest too.
func TestBlocksOfWhatLoadsReach(t *testing.T) {
	f := &Frame{}
	rows := runKinds()[0].run(f, 20, Vec{})
	s, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	known := func() (out int) {
		for i := range s.inBlocks.blocks {
			if s.inBlocks.blocks[i].room != nil {
				out++
			}
		}
		return out
	}
	chain := s.Chain(rows...)
	rested, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	before, m := 0, rows[1].Members[9]
	for _, direction := range []Vec{{0, 1, 0}, {0, 0, 1}} {
		r := s.Section(m, 0, MomentZ)
		if direction[2] != 0 {
			r = s.Section(m, 0, MomentY)
		}
		want := s.Influence(chain, direction).Line(r)
		for _, model := range []*Factored{s, rested} {
			rested.Rest()
			got := byBlocks(t, model, chain, direction).Line(r)
			alike(t, fmt.Sprintf("along %v", direction), &got, &want, 1e-10, 1e-4)
		}
		if n := known(); n <= before || before == 0 && n > len(s.inBlocks.blocks)/2 {
			t.Errorf("a load along %v: %d of %d blocks are known, %d before", direction, n, len(s.inBlocks.blocks), before)
		} else {
			before = n
		}
	}
}

// TestSpinsAreAlone has the spins of rails that one end alone keeps from spinning followed by none of the walks that they do not
// concern, but beside that end.
func TestSpinsAreAlone(t *testing.T) {
	f := &Frame{}
	i := slices.IndexFunc(runKinds(), func(k runKind) bool { return k.spins })
	rows := runKinds()[i].run(f, 110, Vec{})
	s, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	chain, across := s.Chain(rows...), Vec{0, 1, 0}
	in := byBlocks(t, s, chain, across)
	alone, felt := 0, 0
	for _, m := range rows[1].Members {
		spin := s.Freedom(f.members[m].End, RX).terms[0].eq
		k := &in.q.blocks[in.q.block[spin]]
		if int(in.q.local[spin]) >= k.tied() {
			alone++
		}
		if !k.apart[1] {
			felt++
		}
	}
	if alone < 100 || felt == 0 || felt > 60 {
		t.Errorf("spins are alone in %d blocks, and felt from %d of them", alone, felt)
	}
	middle := rows[1].Members[60]
	spin, moment := s.Freedom(f.members[middle].Start, RX), s.Section(middle, 0, MomentZ)
	in.full = true
	for _, r := range []Response{spin, moment} { // the second walk has nothing of the first
		got, want := in.Line(r), s.Influence(chain, across).Line(r)
		alike(t, "a walk to both ends", &got, &want, 1e-10, 1e-9)
	}
}

// TestReachStays holds the reach of a line to that of a shorter run: of a load across it no more
// of the frame is walked where the run is three times as long, a rail that spins in its joints
// and is held by one end alone included.
func TestReachStays(t *testing.T) {
	reach := func(kind runKind, posts int) (most int) {
		f := &Frame{}
		rows := kind.run(f, posts, Vec{})
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		chain := s.Chain(rows[1])
		in := byBlocks(t, s, chain, Vec{0, 1, 0})
		room := make([][4]float64, chain.Stretches())
		for _, r := range eightAPost(s, rows)[posts/2] {
			from, to := in.CubicsWithin(room, r)
			most = max(most, to-from)
		}
		torsion := s.Section(rows[1].Members[posts/2], 0, Torsion)
		from, to := in.CubicsWithin(room, torsion)
		return max(most, to-from)
	}
	for _, kind := range runKinds()[:2] {
		short, long := reach(kind, 200), reach(kind, 600)
		if long > short+8 || long > 120 {
			t.Errorf("%s: lines reach over %d stretches of 600, over %d of 200", kind.name, long, short)
		}
	}
}

// TestWalkAllocatesNothing walks in the room that it has.
func TestWalkAllocatesNothing(t *testing.T) {
	kind := runKinds()[1]
	f := &Frame{}
	rows := kind.run(f, 40, Vec{})
	s, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	chain := s.Chain(rows...)
	in := byBlocks(t, s, chain, Vec{0, 1, 0}, Vec{0, 0, 1})
	room := make([][4]float64, 2*chain.Stretches())
	responses := startOf(s, rows[0].Members[20])
	for _, r := range responses {
		in.Cubics(room, r)
	}
	if n := testing.AllocsPerRun(10, func() {
		for _, r := range responses {
			in.Cubics(room, r)
		}
	}); n > 0 {
		t.Errorf("%d responses allocate %g times", len(responses), n)
	}
}
