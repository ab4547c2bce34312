package solver

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"testing"
)

// publishedFile holds the published frame cases; conventions stand in the file
// and are those of this package.
const publishedFile = "testdata/frame-benchmarks.json"

type publishedCase struct {
	ID, Kind, Source, Status, Description, Formula string

	Units struct{ Length, Force, Mass string }
	Nodes []struct {
		ID  string
		XYZ Vec
	}
	Members  []publishedMember
	Supports []struct {
		Node   string
		Fix    []string
		Disp   map[string]float64
		Spring map[string]float64
	}
	Masses []struct {
		Node string
		M    float64
	}
	NodeLoads []struct {
		Node string
		F    [6]float64
	} `json:"node_loads"`
	MemberLoads []publishedLoad `json:"member_loads"`
	Analysis    struct{ Type string }
	Expect      []publishedValue
}

type publishedMember struct {
	ID, I, J                string
	E, G, A, Iy, Iz, J0     float64
	Asy, Asz, Rho, Mpy, Mpz float64
	YRef                    Vec
	Div                     int
	Releases                map[string][]string
	Springs                 map[string]map[string]float64
}

type publishedLoad struct {
	Member, Type, Axes string
	X, X1, X2          float64
	F, M, Q1, Q2       Vec
}

type publishedValue struct {
	Name    string
	Printed string
	Value   float64
	Tol     float64
	Q       struct {
		Type, Node, Dof, Member, Comp, End, Side, Which string

		X     float64
		Abs   bool
		Scale float64
		Mode  int
	}
}

// UnmarshalJSON reads a member. Its end node and its torsion constant are "j"
// and "J", which encoding/json cannot tell apart by itself.
func (m *publishedMember) UnmarshalJSON(data []byte) error {
	var keys map[string]json.RawMessage
	if err := json.Unmarshal(data, &keys); err != nil {
		return err
	}
	into := map[string]any{"id": &m.ID, "i": &m.I, "j": &m.J, "E": &m.E, "G": &m.G, "A": &m.A, "Iy": &m.Iy, "Iz": &m.Iz, "J": &m.J0,
		"Asy": &m.Asy, "Asz": &m.Asz, "rho": &m.Rho, "Mpy": &m.Mpy, "Mpz": &m.Mpz, "yref": &m.YRef, "div": &m.Div,
		"releases": &m.Releases, "springs": &m.Springs}
	for key, raw := range keys {
		target, known := into[key]
		if !known {
			return fmt.Errorf("member has an unknown key %q", key)
		}
		if err := json.Unmarshal(raw, target); err != nil {
			return fmt.Errorf("member key %q: %w", key, err)
		}
	}
	return nil
}

func publishedCases(t *testing.T) []publishedCase {
	data, err := os.ReadFile(publishedFile)
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Format      string
		Conventions string
		Cases       []publishedCase
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&file); err != nil {
		t.Fatal(err)
	}
	return file.Cases
}

// beyond says what a case asks for that the solver does not do, or nothing.
func (c *publishedCase) beyond() string {
	switch c.Analysis.Type {
	case "linear":
	case "pdelta":
		return "second-order analysis"
	case "buckling":
		return "elastic critical load"
	case "modal":
		return "natural frequencies"
	case "plastic":
		return "plastic collapse"
	default:
		return "analysis of type " + c.Analysis.Type
	}
	for _, m := range c.Members {
		if m.Asy != 0 || m.Asz != 0 {
			return "shear-flexible member"
		}
	}
	for _, s := range c.Supports {
		if len(s.Disp) > 0 {
			return "prescribed displacement"
		}
	}
	return ""
}

// publishedFrame is a case put into a Frame. A member is cut where a couple
// stands on it, for a Case has couples on nodes only.
type publishedFrame struct {
	frame  Frame
	load   Case
	nodes  map[string]NodeID
	pieces map[string][]publishedPiece
}

type publishedPiece struct {
	member   MemberID
	from, to float64 // stations on the member of the case
}

var publishedFreedoms = map[string]Freedom{"ux": UX, "uy": UY, "uz": UZ, "rx": RX, "ry": RY, "rz": RZ}

func (c *publishedCase) build(t *testing.T) *publishedFrame {
	f := &publishedFrame{nodes: map[string]NodeID{}, pieces: map[string][]publishedPiece{}}
	for _, n := range c.Nodes {
		f.nodes[n.ID] = f.frame.Node(n.ID, n.XYZ)
	}
	for _, s := range c.Supports {
		for _, d := range s.Fix {
			f.frame.Restrain(f.nodes[s.Node], publishedFreedoms[d])
		}
		for d, k := range s.Spring {
			f.frame.Spring(f.nodes[s.Node], publishedFreedoms[d], k)
		}
	}
	for _, m := range c.Members {
		f.member(m, c.MemberLoads)
	}
	for _, n := range c.NodeLoads {
		f.load.Nodes = append(f.load.Nodes, NodeLoad{f.nodes[n.Node], Vec(n.F[:3]), Vec(n.F[3:])})
	}
	for _, l := range c.MemberLoads {
		f.apply(t, l)
	}
	return f
}

func (f *publishedFrame) member(m publishedMember, loads []publishedLoad) {
	start, end := f.nodes[m.I], f.nodes[m.J]
	a, b := f.frame.Position(start), f.frame.Position(end)
	length := b.sub(a).norm()
	var cuts []float64
	for _, l := range loads {
		if l.Member == m.ID && l.M != (Vec{}) && l.X > 0 && l.X < length {
			cuts = append(cuts, l.X)
		}
	}
	slices.Sort(cuts)
	cuts = append(slices.Compact(cuts), length)
	from, near := 0.0, start
	for i, to := range cuts {
		far := end
		if i < len(cuts)-1 {
			far = f.frame.Node(fmt.Sprintf("%s at %g", m.ID, to), a.add(b.sub(a).scale(to/length)))
		}
		piece := Member{Start: near, End: far, EA: m.E * m.A, EIy: m.E * m.Iy, EIz: m.E * m.Iz, GJ: m.G * m.J0, Reference: m.YRef}
		if i == 0 {
			piece.Ends = append(piece.Ends, m.ties(0, "i")...)
		}
		if i == len(cuts)-1 {
			piece.Ends = append(piece.Ends, m.ties(1, "j")...)
		}
		f.pieces[m.ID] = append(f.pieces[m.ID], publishedPiece{f.frame.Member(piece), from, to})
		from, near = to, far
	}
}

func (m *publishedMember) ties(end int, name string) []EndTie {
	var out []EndTie
	for _, d := range m.Releases[name] {
		out = append(out, EndTie{end, publishedFreedoms[d], Free})
	}
	for d, k := range m.Springs[name] {
		out = append(out, EndTie{end, publishedFreedoms[d], Tie(k)})
	}
	return out
}

func (f *publishedFrame) apply(t *testing.T, l publishedLoad) {
	local := l.Axes == "local"
	for _, p := range f.pieces[l.Member] {
		switch l.Type {
		case "point":
			if last := p == f.pieces[l.Member][len(f.pieces[l.Member])-1]; l.X < p.from || l.X > p.to || l.X == p.to && !last {
				continue
			}
			f.load.Points = append(f.load.Points, PointLoad{p.member, l.X - p.from, l.F, local})
			if l.M != (Vec{}) {
				m := f.frame.members[p.member]
				at := m.Start
				if l.X == p.to {
					at = m.End
				}
				if local {
					t.Fatalf("couple in local axes on member %s", l.Member)
				}
				f.load.Nodes = append(f.load.Nodes, NodeLoad{Node: at, Moment: l.M})
			}
		case "dist":
			a, b := max(l.X1, p.from), min(l.X2, p.to)
			if a >= b {
				continue
			}
			q := func(x float64) Vec { return l.Q1.add(l.Q2.sub(l.Q1).scale((x - l.X1) / (l.X2 - l.X1))) }
			f.load.Lines = append(f.load.Lines, LineLoad{p.member, a - p.from, b - p.from, q(a), q(b), local})
		default:
			t.Fatalf("member load of type %q", l.Type)
		}
	}
}

// at returns the piece of a member that holds a station, and the station on it.
// Where two pieces meet, side "-" is the one before.
func (f *publishedFrame) at(member string, x float64, side string) (MemberID, float64) {
	pieces := f.pieces[member]
	for i, p := range pieces {
		if x < p.to || i == len(pieces)-1 || x == p.to && side == "-" {
			return p.member, x - p.from
		}
	}
	panic("no piece")
}

var publishedForces = map[string]Component{"N": Axial, "Vy": ShearY, "Vz": ShearZ, "T": Torsion, "My": MomentY, "Mz": MomentZ}

func (f *publishedFrame) value(t *testing.T, s *Solution, v *publishedValue) float64 {
	q := &v.Q
	d := publishedFreedoms[q.Dof]
	switch q.Type {
	case "disp":
		return s.Displacement(f.nodes[q.Node], d)
	case "reaction":
		sum, found := 0.0, false
		for _, r := range s.Reactions {
			if r.Node == f.nodes[q.Node] && r.Freedom == d {
				sum, found = sum+r.Value, true
			}
		}
		if !found {
			t.Fatalf("%s: no reaction at %s %s", v.Name, q.Node, q.Dof)
		}
		return sum
	case "mforce":
		m, x := f.at(q.Member, q.X, q.Side)
		dia, c := s.Diagram(m), publishedForces[q.Comp]
		if q.Side == "-" {
			return dia.Before(c, x)
		}
		return dia.At(c, x)
	case "mdisp":
		m, x := f.at(q.Member, q.X, q.Side)
		dia := s.Diagram(m)
		return s.model.elements[m].axes.from(Vec{dia.At(MoveX, x), dia.At(MoveY, x), dia.At(MoveZ, x)})[d]
	case "endforce":
		pieces := f.pieces[q.Member]
		c := map[string]int{"Fx": 0, "Fy": 1, "Fz": 2, "Mx": 3, "My": 4, "Mz": 5}[q.Comp]
		if q.End == "i" {
			return s.EndForces(pieces[0].member)[c]
		}
		return s.EndForces(pieces[len(pieces)-1].member)[6+c]
	case "extreme":
		c, force := publishedForces[q.Comp]
		if !force {
			c = MoveX + Component(d)
		}
		least, largest := Extreme{Value: math.Inf(1)}, Extreme{Value: math.Inf(-1)}
		for _, p := range f.pieces[q.Member] {
			if !force && s.model.elements[p.member].axes != global {
				t.Fatalf("%s: extreme of a displacement on a member whose axes are not the global ones", v.Name)
			}
			lo, hi := s.Diagram(p.member).Extremes(c)
			if lo.Value < least.Value {
				least = lo
			}
			if hi.Value > largest.Value {
				largest = hi
			}
		}
		if q.Which == "min" {
			return least.Value
		}
		return largest.Value
	}
	t.Fatalf("%s: quantity of type %q", v.Name, q.Type)
	return 0
}

// TestPublishedFrames runs every published case that the solver can express and
// skips the others with what they ask for.
func TestPublishedFrames(t *testing.T) {
	cases := publishedCases(t)
	ran, values := 0, 0
	skipped := map[string]int{}
	for i := range cases {
		c := &cases[i]
		if why := c.beyond(); why != "" {
			skipped[why]++
			t.Run(c.ID, func(t *testing.T) { t.Skipf("not in the solver: %s (%s)", why, c.Source) })
			continue
		}
		ran++
		values += len(c.Expect)
		t.Run(c.ID, func(t *testing.T) { c.run(t) })
	}
	// What the file holds and what is left out of it, so that none drops out in silence.
	if len(cases) != 74 || ran != 47 || values != 239 {
		t.Errorf("%d cases in the file, %d ran with %d values; want 74, 47 and 239", len(cases), ran, values)
	}
	want := map[string]int{"second-order analysis": 7, "elastic critical load": 5, "natural frequencies": 6, "plastic collapse": 6,
		"shear-flexible member": 2, "prescribed displacement": 1}
	for why, n := range want {
		if skipped[why] != n {
			t.Errorf("%d cases skipped for %s, want %d", skipped[why], why, n)
		}
	}
}

// roundedImbalance returns the imbalance that rounding of the displacements to
// float64 can cause: each is known to ε|u| and meets a stiffness of up to |K|;
// one digit more for the sum.
func (r *Solution) roundedImbalance() float64 {
	size := 0.0
	for _, q := range r.Reactions {
		size = max(size, math.Abs(q.Value))
	}
	return 10 * 0x1p-52 * (1 + r.model.norm*largest(r.u)/size)
}

func (c *publishedCase) run(t *testing.T) {
	f := c.build(t)
	model, err := f.frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	s := model.Solve(f.load)
	if !(s.Residual < 1e-14) || !(s.Imbalance < s.roundedImbalance()) {
		t.Errorf("residual %.1e, imbalance %.1e, want below 1e-14 and %.1e", s.Residual, s.Imbalance, s.roundedImbalance())
	}
	for i := range c.Expect {
		v := &c.Expect[i]
		got := f.value(t, s, v)
		want := v.Value
		if v.Q.Abs {
			got, want = math.Abs(got), math.Abs(want)
		}
		if !(math.Abs(got-want) <= v.Tol) {
			t.Errorf("%s, %s: %s = %.9g, want %.9g ± %.2g (source: %s; %s)", c.ID, c.Description, v.Name, got, want, v.Tol, c.Source, c.Status)
		}
	}
}
