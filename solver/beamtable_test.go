package solver

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// Beam tables and moving loads: closed forms and printed coefficients that the
// published cases of testdata do not have.

const (
	beamEA, beamEI, beamGJ = 9e7, 2.4e4, 1.9e4

	aisc = "AISC Manual Table 3-23 case "
)

// beam reads a straight beam along X in the X-Y plane, such as
// "fixed 2.4 roller 1 free": supports and the spans between them. A support is
// fixed, roller, free, or a stiffness along Y such as "k=5000".
func beam(t testing.TB, text string) (*Frame, []NodeID, Row) {
	t.Helper()
	f, x, row := &Frame{}, 0.0, Row{Share: 1}
	var nodes []NodeID
	for i, word := range strings.Fields(text) {
		if i%2 == 1 {
			span, err := strconv.ParseFloat(word, 64)
			if err != nil {
				t.Fatal(err)
			}
			x += span
			continue
		}
		n := f.Node(fmt.Sprint("support ", i/2), Vec{x, 0, 0})
		k, spring := strings.CutPrefix(word, "k=")
		switch {
		case word == "fixed":
			f.Restrain(n, UX, UY, UZ, RX, RY, RZ)
		case word == "roller":
			f.Restrain(n, UY, UZ, RX, RY)
		case spring:
			stiffness, err := strconv.ParseFloat(k, 64)
			if err != nil {
				t.Fatal(err)
			}
			f.Restrain(n, UZ, RX, RY)
			f.Spring(n, UY, stiffness)
		case word != "free":
			t.Fatalf("support %q", word)
		}
		if i == 0 {
			f.Restrain(n, UX)
		} else {
			row.Members = append(row.Members, f.Member(Member{Start: nodes[len(nodes)-1], End: n, EA: beamEA, EIy: beamEI, EIz: beamEI, GJ: beamGJ,
				Reference: Vec{0, 1, 0}}))
		}
		nodes = append(nodes, n)
	}
	return f, nodes, row
}

// roundTo rounds a place that is searched, which differs from one processor to another by more
// than a value does.
func roundTo(step, v float64) float64 { return math.Round(v/step) * step }

func down(p float64) Vec { return Vec{0, -p, 0} }

// uniform loads whole members with w downwards.
func uniform(f *Frame, w float64, members ...MemberID) Case {
	var c Case
	for _, m := range members {
		c.Lines = append(c.Lines, LineLoad{Member: m, To: f.Length(m), Start: down(w), End: down(w)})
	}
	return c
}

func (r *Solution) reaction(n NodeID, d Freedom) float64 {
	force, moment := r.held(n)
	if d < RX {
		return force[d]
	}
	return moment[d-RX]
}

// beamValue is one value of a beam table: half a unit of its last printed digit
// is its tolerance; a formula has to hold to 1e-9 of its value.
type beamValue struct {
	what string
	got  func(s *Solution) float64
	want float64
	tol  float64
}

func formula(what string, want float64, got func(s *Solution) float64) beamValue {
	return beamValue{what, got, want, 0}
}

func largestOf(m MemberID, c Component) func(s *Solution) float64 {
	return func(s *Solution) float64 {
		least, largest := s.Diagram(m).Extremes(c)
		return math.Max(-least.Value, largest.Value)
	}
}

func at(m MemberID, c Component, x float64) func(s *Solution) float64 {
	return func(s *Solution) float64 { return s.Diagram(m).At(c, x) }
}

func reactionUp(n NodeID) func(s *Solution) float64 {
	return func(s *Solution) float64 { return s.reaction(n, UY) }
}

func TestBeamTables(t *testing.T) {
	record := verification.New(t, verification.Beams)
	const w, P, EI = 740.0, 1500.0, beamEI
	point := func(m MemberID, x float64) Case {
		return Case{Points: []PointLoad{{Member: m, At: x, Force: down(P)}}}
	}
	pow := math.Pow
	const L, a = 2.4, 0.9
	const b = L - a
	cases := []struct {
		name, source, beam string
		load               func(f *Frame) Case
		values             []beamValue
	}{
		{"simple span, uniform", aisc + "1", "roller 2.4 roller", func(f *Frame) Case { return uniform(f, w, 0) }, []beamValue{
			formula("M at the middle", w*L*L/8, at(0, MomentZ, L/2)),
			formula("largest M", w*L*L/8, largestOf(0, MomentZ)),
			formula("deflection", -5*w*pow(L, 4)/(384*EI), at(0, MoveY, L/2)),
			formula("slope at the end", w*pow(L, 3)/(24*EI), func(s *Solution) float64 { return s.Displacement(1, RZ) }),
			formula("V just after the support", -w*L/2, at(0, ShearY, 0)),
		}},
		{"simple span, two equal loads", aisc + "9", "roller 2.4 roller",
			func(f *Frame) Case { return point(0, a).plus(point(0, L-a)) }, []beamValue{
				formula("M between the loads", P*a, at(0, MomentZ, L/2)),
				formula("deflection", -P*a*(3*L*L-4*a*a)/(24*EI), at(0, MoveY, L/2)),
			}},
		{"propped, uniform", aisc + "12", "roller 2.4 fixed", func(f *Frame) Case { return uniform(f, w, 0) }, []beamValue{
			formula("prop", 3*w*L/8, reactionUp(0)),
			formula("M at the fixed end", -w*L*L/8, at(0, MomentZ, L)),
			formula("M in the span", 9*w*L*L/128, at(0, MomentZ, 3*L/8)),
			{"largest deflection (1/185)", largestOf(0, MoveY), w * pow(L, 4) / (185 * EI), w * pow(L, 4) / EI * (1/184.5 - 1/185.5) / 2},
		}},
		{"propped, load anywhere", aisc + "14", "roller 2.4 fixed", func(f *Frame) Case { return point(0, a) }, []beamValue{
			formula("prop", P*b*b*(a+2*L)/(2*pow(L, 3)), reactionUp(0)),
			formula("M at the fixed end", -P*a*b*(a+L)/(2*L*L), at(0, MomentZ, L)),
			formula("deflection at the load", -P*a*a*pow(b, 3)*(3*L+a)/(12*EI*pow(L, 3)), at(0, MoveY, a)),
		}},
		{"fixed, load in the middle", aisc + "16", "fixed 2.4 fixed", func(f *Frame) Case { return point(0, L/2) }, []beamValue{
			formula("M at the end", -P*L/8, at(0, MomentZ, 0)),
			formula("M at the load", P*L/8, at(0, MomentZ, L/2)),
			formula("deflection", -P*pow(L, 3)/(192*EI), at(0, MoveY, L/2)),
			formula("deflection at the quarter", -P*pow(L, 3)/(384*EI), at(0, MoveY, L/4)),
		}},
		{"cantilever, load rising to the tip", "Roark's Formulas for Stress and Strain, table of straight beams; from memory: M = wL²/3, y = 11wL⁴/120EI",
			"fixed 2.4 free", func(f *Frame) Case {
				return Case{Lines: []LineLoad{{Member: 0, To: L, End: down(w)}}}
			}, []beamValue{
				formula("M at the foot", -w*L*L/3, at(0, MomentZ, 0)),
				formula("tip", -11*w*pow(L, 4)/(120*EI), at(0, MoveY, L)),
			}},
		{"cantilever, couple at the tip", "statics: ML/EI, ML²/2EI", "fixed 2.4 free", func(f *Frame) Case {
			return Case{Nodes: []NodeLoad{{Node: 1, Moment: Vec{0, 0, P}}}}
		}, []beamValue{
			formula("tip", P*L*L/(2*EI), at(0, MoveY, L)),
			formula("slope", P*L/EI, func(s *Solution) float64 { return s.Displacement(1, RZ) }),
			formula("M all along", P, at(0, MomentZ, a)),
		}},
		{"bar pulled and twisted", "statics: PL/EA", "fixed 2.4 free", func(f *Frame) Case {
			return Case{Points: []PointLoad{{Member: 0, At: a, Force: Vec{P, 0, 0}}}, Nodes: []NodeLoad{{Node: 1, Moment: Vec{80, 0, 0}}}}
		}, []beamValue{
			formula("pull before the load", P, at(0, Axial, a/2)),
			formula("stretch", P*a/beamEA, at(0, MoveX, L)),
			formula("twist", 80*L/beamGJ, at(0, Twist, L)),
			formula("torsion", 80, at(0, Torsion, a)),
		}},
		{"two spans, a load in the middle of each", "AISC Manual Table 3-23 case 13 and symmetry: 3PL/16, 5P/16", "roller 2.4 roller 2.4 roller",
			func(f *Frame) Case { return point(0, L/2).plus(point(1, L/2)) }, []beamValue{
				formula("M at the support", -3*P*L/16, at(0, MomentZ, L)),
				formula("outer reaction", 5*P/16, reactionUp(0)),
				formula("middle reaction", 11*P/8, reactionUp(1)),
			}},
		{"three spans, outer two loaded", "AISC Manual Table 3-23: 0.1013 wL², 0.0099 wL⁴/EI", "roller 2.4 roller 2.4 roller 2.4 roller",
			func(f *Frame) Case { return uniform(f, w, 0, 2) }, []beamValue{
				{"M in the outer span", largestOf(0, MomentZ), 0.1013 * w * L * L, 0.00005 * w * L * L},
				{"deflection", largestOf(0, MoveY), 0.0099 * w * pow(L, 4) / EI, 0.00005 * w * pow(L, 4) / EI},
				formula("M at the support", -w*L*L/20, at(0, MomentZ, L)),
			}},
		{"five spans, all loaded", "AISC Manual Table 3-23: 1.132 wL", "roller 2.4 roller 2.4 roller 2.4 roller 2.4 roller 2.4 roller",
			func(f *Frame) Case { return uniform(f, w, 0, 1, 2, 3, 4) }, []beamValue{
				{"first inner support", reactionUp(1), 1.132 * w * L, 0.0005 * w * L},
			}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f, _, _ := beam(t, c.beam)
			s := f.solved(t, c.load(f))
			known := verification.Derived
			if strings.HasPrefix(c.source, "AISC") || strings.Contains(c.source, "memory") {
				known = verification.Memory
			}
			for _, v := range c.values {
				record.From(c.name+" (N, m, rad)", c.source, known).Add(v.what, v.want, v.got(s))
				if got := v.got(s); !(math.Abs(got-v.want) <= v.tol+1e-9*math.Abs(v.want)) {
					t.Errorf("%s of %s = %.9g, want %.9g ± %.1g (source: %s)", v.what, c.name, got, v.want, v.tol, c.source)
				}
			}
		})
	}
}

// TestPostOnFootSpring is a 48.3x3.2 tube, 1.1 m high, on 60 kN·m/rad, with
// 1.5 kN at its top: 27.35 + 30.25 mm. Source: statics, Ph³/3EI + Ph²/k.
func TestPostOnFootSpring(t *testing.T) {
	inner := 0.0483 - 2*0.0032
	second := math.Pi / 64 * (math.Pow(0.0483, 4) - math.Pow(inner, 4))
	ei := 210e9 * second
	build := func(stiffness float64) *Frame {
		f := &Frame{}
		foot, top := f.Node("foot", Vec{}), f.Node("top", Vec{0, 0, 1.1})
		f.Restrain(foot, UX, UY, UZ, RY, RZ)
		f.Spring(foot, RX, stiffness)
		f.Member(Member{Start: foot, End: top, EA: 9e7, EIy: ei, EIz: ei, GJ: ei, Reference: Vec{0, 1, 0}})
		return f
	}
	post := verification.New(t, verification.Beams).From("post on a foot spring", "statics, Ph³/3EI + Ph²/k", verification.Derived)
	load := Case{Nodes: []NodeLoad{{Node: 1, Force: Vec{0, 1500, 0}}}}
	soft, stiff := build(60e3).solved(t, load), build(1e15).solved(t, load)
	post.Within(0.005, "bending of the post, mm", 27.35, 1000*stiff.Displacement(1, UY))
	post.Within(0.005, "turn of the foot, mm", 30.25, 1000*(soft.Displacement(1, UY)-stiff.Displacement(1, UY)))
}

// TestMovingLoads reads known extremes of influence lines, with the place of the
// load. Units of P, L and w are 1.
func TestMovingLoads(t *testing.T) {
	record := verification.New(t, verification.Placement)
	moment := func(m MemberID, x float64) func(s *Factored) Response {
		return func(s *Factored) Response { return s.Section(m, x, MomentZ) }
	}
	reaction := func(m MemberID) func(s *Factored) Response {
		return func(s *Factored) Response { // a support's reaction: the jump of the shear
			return Combine([]float64{-1, 1}, []Response{s.Section(m+1, 0, ShearY), s.Section(m, 1, ShearY)})
		}
	}
	spans := func(n int) string { return "roller" + strings.Repeat(" 1 roller", n) }
	points := []struct {
		name, source, beam string
		response           func(s *Factored) Response
		value, where       float64
		tol                float64
	}{
		{"support moment of two spans", "M = Pa(L²-a²)/(4L²): PL/(6√3) at L/√3", spans(2), moment(0, 1), -1 / (6 * math.Sqrt(3)), 1 / math.Sqrt(3), 1e-12},
		{"support moment of two spans, printed", "0.0962 PL at 0.5774 L", spans(2), moment(0, 1), -0.0962, 0.5774, 5e-5},
		{"span moment of two spans at 0.432 L", "M = Pa(L-a)(4L²-aL-a²)/(4L³): 0.2074 PL", spans(2), moment(0, 0.432), 0.2074, 0.432, 5e-5},
		{"middle reaction of two spans", "statics: the load over the support", spans(2), reaction(0), 1, 1, 1e-9},
	}
	for _, c := range points {
		f, _, row := beam(t, c.beam)
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		line := s.Influence(s.Chain(row), down(1)).Line(c.response(s))
		least, largest := line.Extremes(0)
		got := largest
		if c.value < 0 {
			got = least
		}
		kept := record.From("largest under a moving load (P = L = 1)", c.source, verification.Derived)
		kept.Add(c.name, c.value, got.Value)
		kept.Add(c.name+": place of the load", c.where, roundTo(1e-6, got.Station))
		if math.Abs(got.Value-c.value) > c.tol || math.Abs(got.Station-c.where) > math.Max(c.tol, 1e-7) {
			t.Errorf("%s: %.9g at %.9g, want %.9g at %.9g (source: %s)", c.name, got.Value, got.Station, c.value, c.where, c.source)
		}
	}
	lengths := []struct {
		name, source, beam string
		response           func(s *Factored) Response
		sign, value, tol   float64
		over               []Length
	}{
		{"M at an inner support of three spans", "AISC Manual Table 3-23: two adjacent spans, 0.1167 wL² (three moments: 7/60)", spans(3),
			moment(0, 1), -1, 7.0 / 60, 1e-9, []Length{{0, 2}}},
		{"reaction at an inner support of three spans", "AISC Manual Table 3-23: two adjacent spans, 1.20 wL", spans(3),
			reaction(0), 1, 1.2, 1e-9, []Length{{0, 2}}},
		{"M in an outer span of three", "AISC Manual Table 3-23: outer two spans, 0.1013 wL² (three moments: at 0.45 L, 0.45²/2)", spans(3),
			moment(0, 0.45), 1, 0.10125, 1e-9, []Length{{0, 1}, {2, 3}}},
		{"reaction at the middle of two spans", "AISC Manual Table 3-22c: 1.25 wL", spans(2), reaction(0), 1, 1.25, 1e-9, []Length{{0, 2}}},
	}
	for _, c := range lengths {
		f, _, row := beam(t, c.beam)
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		line := s.Influence(s.Chain(row), down(1)).Line(c.response(s))
		over := Adverse([]Line{line}, []float64{c.sign}, 0)
		record.From("adverse lengths (w = L = 1)", c.source, verification.Memory).Add(c.name, c.value, c.sign*line.Integral(0, over))
		if got := c.sign * line.Integral(0, over); math.Abs(got-c.value) > c.tol {
			t.Errorf("%s: %.9g over %v, want %.9g (source: %s)", c.name, got, over, c.value, c.source)
		}
		same := len(over) == len(c.over)
		for i := range min(len(over), len(c.over)) {
			same = same && math.Abs(over[i].From-c.over[i].From) < 1e-9 && math.Abs(over[i].To-c.over[i].To) < 1e-9
		}
		if !same {
			t.Errorf("%s: adverse lengths %v, want %v (source: %s)", c.name, over, c.over, c.source)
		}
	}
}

// TestRigidRail puts a load at the end of a very stiff beam on nine equal
// springs. Source: statics, R = P/n + P e x/Σx²; at the end 0.37778 P.
func TestRigidRail(t *testing.T) {
	f, nodes, _ := beam(t, "k=1"+strings.Repeat(" 1.5 k=1", 8))
	for i := range f.members {
		f.members[i].EIz = 1e8
	}
	springs := verification.New(t, verification.Beams).From("rigid beam on nine springs, load at the end: share of it", "statics, P/n + P e x/Σx²", verification.Derived)
	s := f.solved(t, Case{Nodes: []NodeLoad{{Node: nodes[8], Force: down(1)}}})
	sumSquares := 0.0
	for i := range 9 {
		x := 1.5 * float64(i-4)
		sumSquares += x * x
	}
	for i, n := range nodes {
		x := 1.5 * float64(i-4)
		// The beam's own bending is k L³/EI = 1.7e-5 of the springs'.
		springs.Within(2e-5, fmt.Sprint("spring ", i+1), 1.0/9+6*x/sumSquares, s.reaction(n, UY))
	}
	springs.Within(2.5e-5, "end spring, printed", 0.37778, s.reaction(nodes[8], UY))
}
