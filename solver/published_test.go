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

// publishedFrame is a case put into a Frame.
type publishedFrame struct {
	frame   Frame
	load    Case
	nodes   map[string]NodeID
	members map[string]MemberID
}

var publishedFreedoms = map[string]Freedom{"ux": UX, "uy": UY, "uz": UZ, "rx": RX, "ry": RY, "rz": RZ}

func (c *publishedCase) build(t *testing.T) *publishedFrame {
	f := &publishedFrame{nodes: map[string]NodeID{}, members: map[string]MemberID{}}
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
		for d, moved := range s.Disp {
			f.frame.Restrain(f.nodes[s.Node], publishedFreedoms[d])
			f.load.Settlements = append(f.load.Settlements, Settlement{f.nodes[s.Node], publishedFreedoms[d], moved})
		}
	}
	for _, m := range c.Members {
		f.members[m.ID] = f.frame.Member(Member{Start: f.nodes[m.I], End: f.nodes[m.J], EA: m.E * m.A, EIy: m.E * m.Iy, EIz: m.E * m.Iz, GJ: m.G * m.J0,
			ShearY: m.G * m.Asy, ShearZ: m.G * m.Asz, Reference: m.YRef, Ends: slices.Concat(m.ties(0, "i"), m.ties(1, "j"))})
	}
	for _, n := range c.NodeLoads {
		f.load.Nodes = append(f.load.Nodes, NodeLoad{f.nodes[n.Node], Vec(n.F[:3]), Vec(n.F[3:])})
	}
	for _, l := range c.MemberLoads {
		f.apply(t, l)
	}
	return f
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
	m, local := f.members[l.Member], l.Axes == "local"
	switch l.Type {
	case "point":
		f.load.Points = append(f.load.Points, PointLoad{m, l.X, l.F, l.M, local})
	case "dist":
		f.load.Lines = append(f.load.Lines, LineLoad{m, l.X1, l.X2, l.Q1, l.Q2, local})
	default:
		t.Fatalf("member load of type %q", l.Type)
	}
}

var publishedForces = map[string]Component{"N": Axial, "Vy": ShearY, "Vz": ShearZ, "T": Torsion, "My": MomentY, "Mz": MomentZ}

func (f *publishedFrame) value(t *testing.T, s *Solution, v *publishedValue) float64 {
	q := &v.Q
	d, m := publishedFreedoms[q.Dof], f.members[q.Member]
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
		if q.Side == "-" {
			return s.Diagram(m).Before(publishedForces[q.Comp], q.X)
		}
		return s.Diagram(m).At(publishedForces[q.Comp], q.X)
	case "mdisp":
		dia := s.Diagram(m)
		return s.model.elements[m].axes.from(Vec{dia.At(MoveX, q.X), dia.At(MoveY, q.X), dia.At(MoveZ, q.X)})[d]
	case "endforce":
		c := map[string]int{"Fx": 0, "Fy": 1, "Fz": 2, "Mx": 3, "My": 4, "Mz": 5}[q.Comp]
		if q.End == "j" {
			c += 6
		}
		return s.EndForces(m)[c]
	case "extreme":
		c, force := publishedForces[q.Comp]
		if !force {
			c = MoveX + Component(d)
			if s.model.elements[m].axes != global {
				t.Fatalf("%s: extreme of a displacement on a member whose axes are not the global ones", v.Name)
			}
		}
		least, largest := s.Diagram(m).Extremes(c)
		if q.Which == "min" {
			return least.Value
		}
		return largest.Value
	}
	t.Fatalf("%s: quantity of type %q", v.Name, q.Type)
	return 0
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

// linear returns what the linear analysis gives for the expected values of a case, in its units.
func (c *publishedCase) linear(t *testing.T) []float64 {
	f := c.build(t)
	model, err := f.frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	s := model.Solve(f.load)
	if !(s.Residual < 1e-14) || !(s.Imbalance < s.roundedImbalance()) {
		t.Errorf("residual %.1e, imbalance %.1e, want below 1e-14 and %.1e", s.Residual, s.Imbalance, s.roundedImbalance())
	}
	var out []float64
	for i := range c.Expect {
		out = append(out, f.value(t, s, &c.Expect[i]))
	}
	return out
}
