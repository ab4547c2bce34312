package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"example.com/stanchion/internal/verification"
)

// plane elements for the lower-bound theorem: pieces of the members of a frame in the plane of
// global X and Y, between stations that are checked. Loads within a piece are uniform.
type planeElement struct {
	from, to Vec
	plastic  float64
	load     Vec // N/m of length, global
	nodes    [2]int
}

// lowerBound returns the largest factor on the loads for which moments, axial and shear forces
// in balance exist, with the moments at the ends of the elements within the plastic ones: the
// lower-bound theorem (Baker and Heyman, Plastic Design of Frames 1, section 3.2; from memory)
// as a linear programme. It knows no stiffness. Unknowns are, for each element, the moments at
// its ends and its axial force; equations the balance of each free freedom of each node.
func lowerBound(t *testing.T, nodes []Vec, fixed [][3]bool, elements []planeElement, forces []Vec) float64 {
	row := make([][3]int, len(nodes))
	rows := 0
	for n := range nodes {
		for d := range 3 {
			row[n][d] = -1
			if !fixed[n][d] {
				row[n][d] = rows
				rows++
			}
		}
	}
	// Columns: per element Mi + Mp, its slack, Mj + Mp, its slack, N+, N-; at last the factor.
	columns := 6*len(elements) + 1
	rows += 2 * len(elements)
	a, b := mat.NewDense(rows, columns, nil), make([]float64, rows)
	add := func(n, d, column int, v, constant float64) {
		if r := row[n][d]; r >= 0 {
			a.Set(r, column, a.At(r, column)+v)
			b[r] -= v * constant
		}
	}
	for i := range elements {
		e := &elements[i]
		c := 6 * i
		along := e.to.sub(e.from)
		length := along.norm()
		x := along.scale(1 / length)
		y := Vec{-x[1], x[0], 0}
		for end, n := range e.nodes {
			sign := [...]float64{1, -1}[end]
			for d := range 2 {
				// Sagging moments Mi, Mj: the node is pushed along y by ±(Mi - Mj)/L.
				add(n, d, c, sign*y[d]/length, -e.plastic)
				add(n, d, c+2, -sign*y[d]/length, -e.plastic)
				add(n, d, c+4, sign*x[d], 0)
				add(n, d, c+5, -sign*x[d], 0)
				if r := row[n][d]; r >= 0 {
					a.Set(r, columns-1, a.At(r, columns-1)+e.load[d]*length/2)
				}
			}
			// The moment that the element passes to its node.
			add(n, 2, c+2*end, sign, -e.plastic)
			r := rows - 2*len(elements) + 2*i + end
			a.Set(r, c+2*end, 1)
			a.Set(r, c+2*end+1, 1)
			b[r] = 2 * e.plastic
		}
	}
	for n, f := range forces {
		for d := range 3 {
			if r := row[n][d]; r >= 0 {
				a.Set(r, columns-1, a.At(r, columns-1)+f[d])
			}
		}
	}
	cost := make([]float64, columns)
	cost[columns-1] = -1
	best, _, err := lp.Simplex(cost, a, b, 1e-11, nil)
	if err != nil {
		t.Fatal("linear programme:", err)
	}
	return -best
}

// planeFrame returns what lowerBound wants of a plane frame whose members yield about their
// local z: members are cut at point loads, at the ends of line loads and at the stations given.
func planeFrame(f *Frame, c Case, strengths []PlasticMoments, stations map[MemberID][]float64) (nodes []Vec, fixed [][3]bool, elements []planeElement, forces []Vec) {
	for n := range f.nodes {
		p := &f.nodes[n]
		nodes = append(nodes, p.at)
		fixed = append(fixed, [3]bool{p.fixed[UX], p.fixed[UY], p.fixed[RZ]})
		forces = append(forces, Vec{})
	}
	for _, l := range c.Nodes {
		forces[l.Node] = forces[l.Node].add(Vec{l.Force[0], l.Force[1], l.Moment[2]})
	}
	for _, s := range strengths {
		m, length := f.members[s.Member], f.Length(s.Member)
		cuts := append([]float64{0, length}, stations[s.Member]...)
		for _, p := range c.Points {
			if p.Member == s.Member {
				cuts = append(cuts, p.At)
			}
		}
		for _, q := range c.Lines {
			if q.Member == s.Member {
				cuts = append(cuts, q.From, q.To)
			}
		}
		slices.Sort(cuts)
		cuts = slices.CompactFunc(cuts, func(a, b float64) bool { return math.Abs(a-b) < 1e-9*length })
		last := int(m.Start)
		for i, x := range cuts[1:] {
			next := int(m.End)
			if i < len(cuts)-2 {
				next = len(nodes)
				nodes, fixed, forces = append(nodes, f.along(s.Member, x)), append(fixed, [3]bool{}), append(forces, Vec{})
				for _, p := range c.Points {
					if p.Member == s.Member && p.At == x {
						forces[next] = forces[next].add(p.Force)
					}
				}
			}
			e := planeElement{nodes[last], nodes[next], s.Mz, Vec{}, [2]int{last, next}}
			for _, q := range c.Lines {
				if q.Member == s.Member && q.From <= cuts[i] && q.To >= x {
					e.load = e.load.add(q.Start)
				}
			}
			elements = append(elements, e)
			last = next
		}
	}
	return nodes, fixed, elements, forces
}

// hingeStations are the stations of a mechanism's hinges.
func (c *Collapse) hingeStations() map[MemberID][]float64 {
	out := map[MemberID][]float64{}
	for _, h := range c.Mechanism {
		out[h.Member] = append(out[h.Member], h.Station)
	}
	return out
}

const lowerBoundSource = "lower-bound theorem (Baker and Heyman, memory) as a linear programme, simplex of gonum"

// checkLowerBound compares a collapse with the linear programme on the stations of its hinges.
// Moments between the stations are not checked there, so that the programme gives at least the
// factor; with the hinges' stations among its own it gives no more. Where a hinge has wandered
// to a place that geometry sets, stations stand on both sides of it, h apart: the moment between
// them is past theirs by up to wh²/8.
func checkLowerBound(t *testing.T, row *verification.Sourced, f *Frame, c Case, strengths []PlasticMoments, got *Collapse) {
	t.Helper()
	stations, tolerance := got.hingeStations(), rounding
	if got.Gap > rounding {
		tolerance += got.Gap
		for _, q := range c.Lines {
			i := slices.IndexFunc(strengths, func(s PlasticMoments) bool { return s.Member == q.Member })
			h := 2e-3 * f.Length(q.Member)
			tolerance += got.Factor * q.Start.norm() * h * h / 8 / strengths[i].Mz
			for _, x := range got.hingeStations()[q.Member] {
				if x > h && x < f.Length(q.Member)-h {
					stations[q.Member] = append(stations[q.Member], x-h/2, x+h/2)
				}
			}
		}
	}
	want := lowerBound(planeFrameArgs(t, f, c, strengths, stations))
	_, frame, _ := strings.Cut(t.Name(), "/")
	row.Add(frame+": factor", want, got.Factor)
	if !(math.Abs(got.Factor-want) <= tolerance*want) {
		t.Errorf("collapse at %.12g, lower bound of the linear programme %.12g, differ by %.2g, allowed %.2g", got.Factor, want, got.Factor/want-1, tolerance)
	}
}

func planeFrameArgs(t *testing.T, f *Frame, c Case, strengths []PlasticMoments, stations map[MemberID][]float64) (*testing.T, []Vec, [][3]bool, []planeElement, []Vec) {
	nodes, fixed, elements, forces := planeFrame(f, c, strengths, stations)
	return t, nodes, fixed, elements, forces
}

// TestPublishedCollapseByLowerBound runs the published cases by the second method, on the
// stations that the file divides their members into too. A moment between two stations h
// apart is past theirs by up to wh²/8, which is how far the programme's factor may be above.
func TestPublishedCollapseByLowerBound(t *testing.T) {
	frames := verification.New(t, verification.Libraries).From("collapse of published frames", lowerBoundSource, verification.Program)
	for _, c := range publishedCases(t) {
		if c.Analysis.Type != "plastic" {
			continue
		}
		t.Run(c.ID, func(t *testing.T) {
			f := c.build(t)
			got := c.collapse(t)
			var strengths []PlasticMoments
			for i, m := range c.Members {
				strengths = append(strengths, PlasticMoments{MemberID(i), 0, m.Mpz})
			}
			checkLowerBound(t, frames, &f.frame, f.load, strengths, got)
			const n = 10
			stations, slack := map[MemberID][]float64{}, 0.0
			for i := range c.Members {
				id := MemberID(i)
				for k := 1; k < n; k++ {
					stations[id] = append(stations[id], f.frame.Length(id)*float64(k)/n)
				}
				for _, q := range f.load.Lines {
					if q.Member == id {
						h := f.frame.Length(id) / n
						slack = max(slack, got.Factor*q.Start.norm()*h*h/8/strengths[i].Mz)
					}
				}
			}
			bound := lowerBound(planeFrameArgs(t, &f.frame, f.load, strengths, stations))
			if !(bound >= got.Factor*(1-rounding) && bound*(1-slack) <= got.Factor*(1+rounding)) {
				t.Errorf("collapse at %.12g, outside %.12g to %.12g (source: lower-bound theorem)", got.Factor, bound*(1-slack), bound)
			}
			for _, v := range c.Expect {
				if bound < v.Value-v.Tol {
					t.Errorf("lower bound %.9g, want at least %.9g (source: %s)", bound, v.Value, c.Source)
				}
			}
		})
	}
}

// randomPortal returns a plane frame of one or two bays and storeys with leaning legs, on feet
// that are fixed or pinned, with loads in its plane.
func randomPortal(r *rand.Rand) (*Frame, Case, []PlasticMoments) {
	f := &Frame{}
	var c Case
	var strengths []PlasticMoments
	bays, storeys := 1+r.IntN(2), 1+r.IntN(2)
	levels := make([][]NodeID, storeys+1)
	for level := range levels {
		for i := range bays + 1 {
			n := f.Node(fmt.Sprintf("%d at level %d", i, level), Vec{4*float64(i) + between(r, -0.5, 0.5), 3*float64(level) + between(r, -0.3, 0.3), 0})
			f.Restrain(n, UZ, RX, RY)
			levels[level] = append(levels[level], n)
			if level == 0 {
				f.Restrain(n, UX, UY)
				if r.IntN(3) > 0 {
					f.Restrain(n, RZ)
				}
			} else {
				c.Nodes = append(c.Nodes, NodeLoad{n, Vec{between(r, -10, 40), between(r, -20, 0), 0}, Vec{0, 0, between(r, -5, 5)}})
			}
		}
	}
	member := func(a, b NodeID) MemberID {
		m := f.Member(Member{Start: a, End: b, EA: between(r, 5e3, 1e5), EIy: 1e4, EIz: between(r, 1e3, 1e4), GJ: 1e4, Reference: Vec{-1, 2, 0.1}})
		f.members[m].Reference = Vec{0, 0, 1}.cross(f.Position(b).sub(f.Position(a)))
		strengths = append(strengths, PlasticMoments{m, 0, between(r, 20, 100)})
		return m
	}
	for level := 1; level <= storeys; level++ {
		for i := range bays + 1 {
			member(levels[level-1][i], levels[level][i])
		}
		for i := range bays {
			m := member(levels[level][i], levels[level][i+1])
			switch r.IntN(3) {
			case 0:
				c.Points = append(c.Points, PointLoad{Member: m, At: between(r, 0.5, 2.5), Force: Vec{between(r, -10, 10), between(r, -60, -10), 0}})
			case 1:
				q := Vec{0, between(r, -30, -5), 0}
				from := between(r, 0, 1)
				c.Lines = append(c.Lines, LineLoad{Member: m, From: from, To: between(r, 1.5, f.Length(m)), Start: q, End: q})
			}
		}
	}
	return f, c, strengths
}

// collapsed factorises the frame and follows it to its mechanism.
func (f *Frame) collapsed(t *testing.T, c Case, strengths []PlasticMoments) (*Factored, *Collapse) {
	t.Helper()
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	got, err := model.Collapse(c, strengths)
	if err != nil {
		t.Fatal(err)
	}
	return model, got
}

// TestRandomPortals compares the way from hinge to hinge with the linear programme, which
// knows neither stiffness nor hinges.
func TestRandomPortals(t *testing.T) {
	frames := verification.New(t, verification.Libraries).From("collapse of random portals", lowerBoundSource, verification.Program)
	r := rand.New(rand.NewPCG(7, 1))
	closed, wandered := 0, 0
	for i := range 100 {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			f, c, strengths := randomPortal(r)
			_, got := f.collapsed(t, c, strengths)
			checkLowerBound(t, frames, f, c, strengths, got)
			for _, e := range got.Events {
				if e.Closes {
					closed++
				}
			}
			wandered += got.wandered()
		})
	}
	if closed < 5 || wandered < 5 {
		t.Errorf("%d hinges closed and %d wandered: too few to test", closed, wandered)
	}
	t.Logf("%d closed, %d wandered", closed, wandered)
}

// wandered counts the hinges of the mechanism that formed elsewhere.
func (c *Collapse) wandered() int {
	n := 0
	for _, h := range c.Mechanism {
		if !slices.ContainsFunc(c.Events, func(e HingeEvent) bool { return !e.Closes && e.Hinge == h.Hinge }) {
			n++
		}
	}
	return n
}

// hingedPiece is a part of a member between hinges, and its stations on that.
type hingedPiece struct {
	member   MemberID
	from, to float64
}

// hinged returns the frame with every hinge of a list as a joint that lets the member turn
// about the hinge's axis, and with the case put on the pieces of the members.
func (f *Frame) hinged(t *testing.T, c Case, axes func(MemberID) Axes, hinges []Hinge) (*Frame, Case, map[MemberID][]hingedPiece) {
	out := &Frame{nodes: slices.Clone(f.nodes), joints: slices.Clone(f.joints)}
	load := Case{Nodes: c.Nodes}
	pieces := map[MemberID][]hingedPiece{}
	for id, m := range f.members {
		member, length := MemberID(id), f.Length(MemberID(id))
		var at []Hinge
		for _, h := range hinges {
			if h.Member == member {
				at = append(at, h)
			}
		}
		slices.SortFunc(at, func(a, b Hinge) int { return int(math.Copysign(1, a.Station-b.Station)) })
		if len(m.Ends) > 0 {
			t.Fatal("a member with end ties is not cut here")
		}
		near, from := m.Start, 0.0
		piece := func(far NodeID, to float64) {
			p := m
			p.Start, p.End = near, far
			pieces[member] = append(pieces[member], hingedPiece{out.Member(p), from, to})
		}
		for _, h := range at {
			a, end := near, h.Station > length*(1-1e-9)
			if h.Station > from && !end {
				a = out.Node("before", f.along(member, h.Station))
				piece(a, h.Station)
			}
			j := Joint{First: a, Axes: axes(member), Ties: [6]Tie{Shared(), Shared(), Shared(), Shared(), Shared(), Shared()}}
			j.Ties[map[Component]Freedom{MomentY: RY, MomentZ: RZ}[h.Axis]] = Free
			if end {
				j.First, j.Second = m.End, out.Node("end", f.along(member, length))
				out.Join(j)
				m.End = j.Second
				continue
			}
			j.Second = out.Node("after", f.along(member, h.Station))
			out.Join(j)
			near, from = j.Second, h.Station
		}
		piece(m.End, length)
		for _, p := range c.Points {
			for _, q := range pieces[member] {
				if p.Member == member && p.At >= q.from && (p.At < q.to || q.to == length) {
					p.Member, p.At = q.member, p.At-q.from
					load.Points = append(load.Points, p)
					break
				}
			}
		}
	}
	return out, load, pieces
}

// TestEventsStepByStep follows the frames once more: at each stage a frame of its own with
// joints for hinges, moments added up over the stages. At each event the moment of the new
// hinge has come to the plastic one and none has passed it, but for what Gap tells: a hinge whose peak
// wanders may leave a moment past the plastic one, and rounding decides where one does.
func TestEventsStepByStep(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 2))
	stages := 0
	for i := range 100 {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			f, c, strengths := randomPortal(r)
			c.Lines = nil // hinges then stand at nodes and loads
			model, got := f.collapsed(t, c, strengths)
			axes := func(m MemberID) Axes { return model.elements[m].axes }
			// Stations that are looked at, and their moments.
			type place struct {
				member  MemberID
				x       float64
				plastic float64
			}
			var places []place
			for _, s := range strengths {
				places = append(places, place{s.Member, 0, s.Mz}, place{s.Member, f.Length(s.Member), s.Mz})
				for _, p := range c.Points {
					if p.Member == s.Member {
						places = append(places, place{s.Member, p.At, s.Mz})
					}
				}
			}
			moments, factor, off := make([]float64, len(places)), 0.0, 1e-7+got.Gap
			var open []Hinge
			for _, e := range got.Events {
				if e.Closes {
					open = slices.DeleteFunc(open, func(h Hinge) bool { return h == e.Hinge })
					continue
				}
				h, load, pieces := f.hinged(t, c, axes, open)
				s := h.solved(t, load)
				stages++
				for k, p := range places {
					for _, q := range pieces[p.member] {
						if p.x >= q.from && p.x <= q.to {
							moments[k] += (e.Factor - factor) * s.Diagram(q.member).At(MomentZ, p.x-q.from)
							break
						}
					}
					if math.Abs(moments[k]) > p.plastic*(1+off) {
						t.Errorf("at %.6g: moment %.9g at %g of member %d, past %g", e.Factor, moments[k], p.x, p.member, p.plastic)
					}
					if p.member == e.Member && p.x == e.Station && math.Abs(moments[k]-e.Moment) > off*p.plastic {
						t.Errorf("at %.6g: moment %.9g at the new hinge, want %.9g", e.Factor, moments[k], e.Moment)
					}
				}
				factor = e.Factor
				open = append(open, e.Hinge)
			}
		})
	}
	if stages < 300 {
		t.Errorf("%d stages: too few to test", stages)
	}
}

// TestCantileverCollapse holds a cantilever bent both ways against Mp/PL about each axis, its
// mechanism against a rigid rod that turns about its root.
func TestCantileverCollapse(t *testing.T) {
	const length, my, mz = 1.1, 700.0, 900.0
	hinge := verification.New(t, verification.Stability).From("collapse of a cantilever bent both ways", "statics, Mp = PL", verification.Derived)
	for _, row := range []struct {
		force     Vec
		want      float64
		axis      Component
		direction string
	}{
		{Vec{0, -500, 300}, mz / 500 / length, MomentZ, "translation along Y"},
		{Vec{0, -500, 600}, my / 600 / length, MomentY, "translation along Z"},
	} {
		f := &Frame{}
		root, tip := f.Node("root", Vec{}), f.Node("tip", Vec{length})
		f.Restrain(root, UX, UY, UZ, RX, RY, RZ)
		m := f.Member(Member{Start: root, End: tip, EA: 1e8, EIy: 2e4, EIz: 3e4, GJ: 2e4, Reference: Vec{0, 1, 0}})
		model, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		c := Case{Nodes: []NodeLoad{{Node: tip, Force: row.force}}}
		got, err := model.Collapse(c, []PlasticMoments{{m, my, mz}})
		if err != nil {
			t.Fatal(err)
		}
		hinge.Add(fmt.Sprintf("load %v N: factor", row.force), row.want, got.Factor)
		if math.Abs(got.Factor-row.want) > 1e-12 || len(got.Events) != 1 || got.Events[0].Axis != row.axis || got.Events[0].Station != 0 {
			t.Errorf("%+v, want %.12g about component %d (source: statics, Mp = PL)", got.Events, row.want, row.axis)
		}
		if got.Place != "tip" || got.Direction != row.direction {
			t.Errorf("mechanism moves at %s in %s", got.Place, got.Direction)
		}
		u := Vec{got.Displacement(tip, UX), got.Displacement(tip, UY), got.Displacement(tip, UZ)}
		if math.Abs(u.norm()-length) > 1e-9 || u.dot(row.force) < 0 {
			t.Errorf("tip moves by %v for a root rotation of 1, want %g along the load", u, length)
		}
	}
}

func TestNoCollapse(t *testing.T) {
	f := &Frame{}
	root, tip := f.Node("root", Vec{}), f.Node("tip", Vec{2})
	f.Restrain(root, UX, UY, UZ, RX, RY, RZ)
	m := f.Member(Member{Start: root, End: tip, EA: 1e8, EIy: 2e4, EIz: 3e4, GJ: 2e4, Reference: Vec{0, 1, 0}})
	f.Spring(tip, UY, 1e5)
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	load := func(p Vec) Case { return Case{Nodes: []NodeLoad{{Node: tip, Force: p}}} }
	yields := []PlasticMoments{{m, 500, 500}}
	for _, row := range []struct {
		what      string
		c         Case
		strengths []PlasticMoments
		want      string
	}{
		{"a pull", load(Vec{100}), yields, "the frame does not collapse: the loads make no plastic hinge"},
		{"an elastic member", load(Vec{0, 0, 100}), nil, "the frame does not collapse: the loads make no plastic hinge"},
		// PL³/3EI with the spring beside it: the spring takes 1/(1 + 3EI/kL³) = 0.898876, so that
		// 500 N·m stand at the root from 500/(2·100·(1-0.898876)) = 24.72 times the load.
		{"a spring that carries on", load(Vec{0, 100, 0}), yields, "the frame does not collapse: plastic hinges that form up to 24.72 of the load are 1, and more load makes no other"},
		{"a strength below nothing", load(Vec{0, 100, 0}), []PlasticMoments{{m, -1, 500}}, "frame: member from root to tip has a plastic moment that is negative or not finite"},
		{"a strength that is no number", load(Vec{0, 100, 0}), []PlasticMoments{{m, 1, math.NaN()}}, "frame: member from root to tip has a plastic moment that is negative or not finite"},
		{"a strength of no member", load(Vec{0, 100, 0}), []PlasticMoments{{m + 1, 1, 1}}, "frame: a strength of member 1, which is not there"},
		{"two strengths", load(Vec{0, 100, 0}), append(yields, yields...), "frame: member from root to tip has two strengths"},
		{"a load that is no number", load(Vec{0, math.NaN(), 0}), yields, "frame: a load on a node that is not there, or not finite"},
	} {
		if got, err := model.Collapse(row.c, row.strengths); err == nil || err.Error() != row.want {
			t.Errorf("%s: %v, %v; want %q", row.what, got, err, row.want)
		}
	}
}
