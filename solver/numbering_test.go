package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// plan is a barrier for the tests of numbering: posts on sprung feet at places in plan, a
// rail through at each height, gripped by every post; some posts braced to the ground.
type plan struct {
	name    string
	posts   []Vec
	heights []float64
	closed  bool  // a last bay leads back to the first post
	braced  []int // posts with a brace
	bays    int   // bays side by side across the run: 1, or 2 in a ring
}

const (
	railsOwn = 2 // equations of a rail at its post: the rotations that a fitting leaves free
	feetOwn  = 2 // of a foot: its two sprung rotations
)

// frame builds the barrier post by post, each rail right after what it is gripped by.
func (p *plan) frame(f *Frame) {
	var first, last []NodeID
	for i, at := range p.posts {
		below := f.foot(fmt.Sprintf("foot of post %d", i+1), at)
		var rails []NodeID
		for k, h := range p.heights {
			post := f.Node(fmt.Sprintf("post %d at %g", i+1, h), at.add(Vec{0, 0, h}))
			f.Member(tube(below, post))
			below = post
			rails = append(rails, f.gripped(post))
			if i > 0 {
				f.rail(last[k], rails[k])
			}
		}
		if slices.Contains(p.braced, i) {
			f.rail(f.foot(fmt.Sprintf("foot of brace %d", i+1), at.add(Vec{0.1, -0.6, 0})), below)
		}
		if first == nil {
			first = rails
		}
		last = rails
	}
	if p.closed {
		for k := range p.heights {
			f.rail(last[k], first[k])
		}
	}
}

func (f *Frame) foot(label string, at Vec) NodeID {
	n := f.Node(label, at)
	f.Restrain(n, UX, UY, UZ, RZ)
	f.Spring(n, RX, 150e3)
	f.Spring(n, RY, 150e3)
	return n
}

func (f *Frame) gripped(post NodeID) NodeID {
	rail := f.Node("rail at "+f.nodes[post].label, f.nodes[post].at)
	f.Join(Joint{First: post, Second: rail, Ties: [6]Tie{Shared(), Shared(), Shared(), 40e3, 3e3, Shared()}})
	return rail
}

func (f *Frame) rail(a, b NodeID) {
	m := tube(a, b)
	m.Reference = Vec{0.3, 0.2, 1}
	f.Member(m)
}

func along(posts int) []Vec {
	var out []Vec
	for i := range posts {
		out = append(out, Vec{1.5 * float64(i), 0, 0})
	}
	return out
}

func round(posts int) []Vec {
	var out []Vec
	for i := range posts {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(posts))
		radius := 1.5 * float64(posts) / (2 * math.Pi)
		out = append(out, Vec{radius * c, radius * s, 0})
	}
	return out
}

// cornered leads round corners: two legs, and a return back along the first.
func cornered(posts int) []Vec {
	out := along(posts)
	end := out[posts-1]
	for i := range posts {
		out = append(out, end.add(Vec{0, 1.2 * float64(i+1), 0}))
	}
	return append(out, end.add(Vec{-1.2, 1.2 * float64(posts), 0}))
}

func plans() []plan {
	return []plan{
		{"one rail", along(20), []float64{1.1}, false, nil, 1},
		{"two rails", along(20), []float64{0.6, 1.1}, false, nil, 1},
		{"four rails", along(12), []float64{0.3, 0.6, 0.9, 1.2}, false, nil, 1},
		{"corners", cornered(9), []float64{0.6, 1.1}, false, nil, 1},
		{"braces", along(20), []float64{0.6, 1.1}, false, []int{0, 5, 6, 13}, 1},
		{"braced corners", cornered(9), []float64{0.6, 1.1}, false, []int{3, 8}, 1},
		{"ring", round(16), []float64{0.6, 1.1}, true, nil, 2},
		{"braced ring", round(16), []float64{0.6, 1.1}, true, []int{4}, 2},
	}
}

// bayOwn is how many equations a bay has, braces left out.
func (p *plan) bayOwn() int {
	return feetOwn + len(p.heights)*(6+railsOwn)
}

// widest is a width that an order along the run certainly has: with p.bays bays between an
// equation and those it is tied to, that many bays' equations, those of a brace, and the
// post and rail at the far end.
func (p *plan) widest() int {
	width := p.bays*p.bayOwn() + 6 + railsOwn - 1
	if p.braced != nil {
		width += 2 * feetOwn
	}
	return width
}

func halfBand(s *Factored) int {
	if s.band == nil { // the factor of a long frame stands in its place
		return s.factor.K
	}
	return s.band.RawSymBand().K
}

// asAdded returns half the band of a frame in the order in which its nodes were added.
func (f *Frame) asAdded(t *testing.T) int {
	t.Helper()
	s, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	plain := &Factored{frame: f, elements: s.elements}
	plain.number()
	ties := plain.ties([][]spring{plain.jointSprings(), plain.groundSprings()})
	return ties.widest(identity(plain.free))
}

func shuffled(r *rand.Rand, f *Frame) (*Frame, []NodeID) {
	to := make([]NodeID, len(f.nodes))
	for i, j := range r.Perm(len(to)) {
		to[i] = NodeID(j)
	}
	return f.renumbered(to), to
}

// TestAnyOrderGivesANarrowBand adds the nodes of barriers in random order: the band is no
// wider than that of the barrier built along its run, nor wider than the bays side by side
// demand, and the answer is the same.
func TestAnyOrderGivesANarrowBand(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, p := range plans() {
		t.Run(p.name, func(t *testing.T) {
			f := &Frame{}
			p.frame(f)
			natural := f.asAdded(t)
			load := func(n NodeID) Case {
				return Case{Nodes: []NodeLoad{{Node: n, Force: Vec{300, 740, -200}, Moment: Vec{30, -40, 50}}}}
			}
			middle := NodeID(len(f.nodes) / 2)
			want := f.solved(t, load(middle))
			if got := halfBand(want.model); got > natural || got > p.widest() {
				t.Errorf("built along the run: half band %d, want at most %d as added and %d", got, natural, p.widest())
			}
			movement, _ := want.sizes()
			for range 5 {
				mixed, to := shuffled(r, f)
				got := mixed.solved(t, load(to[middle]))
				if half := halfBand(got.model); half > natural || half > p.widest() {
					t.Errorf("shuffled: half band %d, want at most %d as built along the run and %d", half, natural, p.widest())
				}
				for n := range f.nodes {
					for d := range Freedom(6) {
						near(t, f.nodes[n].label+" "+d.String(), got.Displacement(to[n], d), want.Displacement(NodeID(n), d), movement)
					}
				}
			}
		})
	}
}

// TestPartsAreNumberedEachForItself mixes two barriers that nothing ties: the band is that
// of the wider one alone.
func TestPartsAreNumberedEachForItself(t *testing.T) {
	a := plan{"", along(9), []float64{0.6, 1.1}, false, nil, 1}
	b := plan{"", round(7), []float64{1}, true, nil, 2}
	var alone [2]int
	both := &Frame{}
	for i, p := range [...]*plan{&a, &b} {
		f := &Frame{}
		p.frame(f)
		alone[i] = halfBand(f.solved(t, Case{}).model)
		p.frame(both)
	}
	r := rand.New(rand.NewPCG(2, 1))
	for range 5 {
		mixed, _ := shuffled(r, both)
		if got, want := halfBand(mixed.solved(t, Case{}).model), max(alone[0], alone[1]); got != want {
			t.Errorf("half band %d, want %d as of the wider part alone", got, want)
		}
	}
}

// TestANarrowOrderIsKept keeps the order in which nodes were added where no narrower one
// is found, and never takes a wider one.
func TestANarrowOrderIsKept(t *testing.T) {
	f := &Frame{}
	p := plans()[1]
	p.frame(f)
	s := f.solved(t, Case{}).model
	if got, natural := halfBand(s), f.asAdded(t); got == natural {
		if !slices.IsSortedFunc(s.names, func(a, b equationName) int { return int(a.node - b.node) }) {
			t.Errorf("half band %d either way, yet the order of the nodes was changed", got)
		}
	}
	r := rand.New(rand.NewPCG(3, 1))
	for range 300 {
		f := randomFrame(r)
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		got, natural := halfBand(s), f.asAdded(t)
		if got > natural {
			t.Errorf("half band %d, as added %d", got, natural)
		}
		plain := &Factored{frame: f, elements: s.elements}
		plain.number()
		if same := slices.Equal(s.names, plain.names); same != (got == natural) {
			t.Errorf("half band %d, as added %d, yet the order is kept: %v", got, natural, same)
		}
		again, _ := f.Factorise()
		if !slices.Equal(s.names, again.names) {
			t.Error("the same frame was numbered in two ways")
		}
	}
}

// TestLevels holds that a member or a joint ties nodes of one level or of two neighbours,
// and that each node that can move is in one level.
func TestLevels(t *testing.T) {
	for _, p := range plans() {
		f := &Frame{}
		p.frame(f)
		s := f.solved(t, Case{}).model
		level := make([]int, len(f.nodes))
		for i := range level {
			level[i] = -1
		}
		levels := s.levels()
		for i, set := range levels {
			for _, n := range set {
				if level[n] >= 0 {
					t.Errorf("%s: %s is in levels %d and %d", p.name, f.nodes[n].label, level[n], i)
				}
				level[n] = i
			}
		}
		if slices.Contains(level, -1) {
			t.Errorf("%s: a node is in no level", p.name)
		}
		for _, m := range f.members {
			if gap := level[m.Start] - level[m.End]; gap < -1 || gap > 1 {
				t.Errorf("%s: %s spans levels %d and %d", p.name, memberName(&f.nodes[m.Start], &f.nodes[m.End]), level[m.Start], level[m.End])
			}
		}
		if want := len(p.posts) / p.bays; len(levels) < want {
			t.Errorf("%s: %d levels, want at least %d as there are posts", p.name, len(levels), want)
		}
	}
}
