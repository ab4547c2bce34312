package barrier_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/solver"
)

// braced returns a barrier of three posts, 1.5 m apart, whose one rail at 1.1 m is cut at
// every post, so that a force on a grip goes to that post alone, with braces on the middle
// post.
func braced(t testing.TB, run, foot string, braces ...string) *barrier.Definition {
	t.Helper()
	const tube = "tube = \"EN 10219 48.3x3.2\"\ngrade = \"S235JRH\"\n"
	var text strings.Builder
	text.WriteString("basis = \"EN\"\n[run]\nposts = [\"0 m\", \"1.5 m\", \"3 m\"]\n" + run + "\n[post]\nheight = \"1.1 m\"\n" + tube +
		"[post.base]\nstiffness = \"" + foot + "\"\nlevel = \"0 mm\"\n[[rail]]\nname = \"top\"\nheight = \"1.1 m\"\nthrough = false\n" + tube +
		"[[load]]\nkind = \"point\"\nvalue = \"1 kN\"\ndirection = \"outward\"\n")
	for _, b := range braces {
		text.WriteString("[[brace]]\npost = 2\ntube = \"EN 10219 42.4x3.2\"\ngrade = \"S235JRH\"\n" + b + "\n")
	}
	d, err := barrier.Parse("braced.toml", []byte(text.String()))
	if err != nil {
		t.Fatalf("%v\n%s", err, text.String())
	}
	return d
}

// under solves a force on the grip of the middle post and returns the axial force of each
// brace, tension positive.
func (s *solved) under(force solver.Vec) (sol *solver.Solution, axial []float64) {
	sol = s.model.Solve(solver.Case{Nodes: []solver.NodeLoad{{Node: s.Rails[0].Grips[1].Before, Force: force}}})
	for _, b := range s.Braces {
		axial = append(axial, sol.Diagram(b.ID).At(solver.Axial, 0))
	}
	return sol, axial
}

// TestProppedPost lets a force F stand at the top, h, of a post that is built in and that a
// brace props at a: the brace, from d beside the foot to a, is stretched by as much as its
// head moves along it,
//
//	T L/EA' = (d/L) [F a²(3h - a)/6EI - (T d/L) a³/3EI] - (a/L) (T a/L) a/EA
//
// with EA' of the brace, EA and EI of the post. Across and along alike; a foot outward is
// pressed by an outward force, on whichever side the hazard is.
func TestProppedPost(t *testing.T) {
	outside := compared(t, "propped post")
	const h, f, source = 1.1, 1000.0, "compatibility of the comment above; beam tables: cantilever, load at its end"
	for _, c := range []struct {
		run, foot string
		force     solver.Vec
		a, d      float64
		sign      float64 // of the brace's force
	}{
		{"", `outward = "-700 mm"`, solver.Vec{0, f, 0}, 0.9, 0.7, 1},
		{"", `outward = "700 mm"`, solver.Vec{0, f, 0}, 0.9, 0.7, -1},
		{`hazard = "right"`, `outward = "700 mm"`, solver.Vec{0, -f, 0}, 0.9, 0.7, -1},
		{"", `along = "400 mm"`, solver.Vec{-f, 0, 0}, 0.6, 0.4, 1},
		{"", `along = "-300 mm", outward = "-400 mm"`, solver.Vec{0.6 * f, 0.8 * f, 0}, 1.1, 0.5, 1},
	} {
		d := braced(t, c.run, "rigid", fmt.Sprintf("height = \"%v m\"\nfoot = { %s, level = \"0 mm\" }", c.a, c.foot))
		d.Rails[0].Ring.Area *= 1e-12 // what moves along the run is tied to no other post
		s := solve(t, d)
		_, axial := s.under(c.force)
		post, brace := &d.Post, &d.Braces[0]
		ei, ea, own := post.Grade.E*post.Ring.I, post.Grade.E*post.Ring.Area, brace.Grade.E*brace.Ring.Area
		l := math.Hypot(c.a, c.d)
		free := f * c.a * c.a * (3*h - c.a) / (6 * ei)
		want := c.d / l * free / (l/own + c.d*c.d/(l*l)*c.a*c.a*c.a/(3*ei) + c.a*c.a*c.a/(l*l*ea))
		outside.within(c.run+" "+c.foot, axial[0], c.sign*want, 1e-8, source)
		if got := brace.Length(); math.Abs(got-l) > 1e-12 {
			t.Errorf("%s: the brace is %v m long, want %v", c.foot, got, l)
		}
	}
}

// TestTwoBarFrame lets a force stand where brace and post meet, on a foot that turns freely
// but for a thousandth of what the post's own stiffness is: two bars, of which statics gives
// the forces F L/d in the brace and F a/d in the post.
func TestTwoBarFrame(t *testing.T) {
	outside := compared(t, "two bars")
	const a, d, f, source = 1.1, 0.8, 1000.0, "statics of two bars"
	def := braced(t, "", "1 Nm/rad", `height = "1.1 m"
foot = { outward = "-800 mm", level = "0 mm" }`)
	s := solve(t, def)
	sol, axial := s.under(solver.Vec{0, f, 0})
	// The foot takes k/a of a force, k/a over the movement of the frame, F (L³/d² + a³/d²)/EA.
	const share = 1e-6
	outside.within("brace", axial[0], f*math.Hypot(a, d)/d, share, source)
	outside.within("post", sol.Diagram(s.Posts[1].Members[0]).At(solver.Axial, 0), -f*a/d, share, source)
}

// TestBraceReactions loads the middle post every way: the ground gives back the whole force
// and its moment, at the brace's foot a force along the brace alone.
func TestBraceReactions(t *testing.T) {
	d := braced(t, "", "80 kNm/rad", "height = \"0.9 m\"\nfoot = { outward = \"-700 mm\", along = \"150 mm\", level = \"-100 mm\" }",
		"height = \"0.6 m\"\nfoot = { outward = \"500 mm\", level = \"0 mm\" }")
	s := solve(t, d)
	force := solver.Vec{300, 800, -500}
	sol, axial := s.under(force)
	var sum, moment solver.Vec
	add := func(at, v solver.Vec) {
		for k := range 3 {
			sum[k] += v[k]
			i, j := (k+1)%3, (k+2)%3
			moment[k] += at[i]*v[j] - at[j]*v[i]
		}
	}
	add(s.Position(s.Rails[0].Grips[1].Before), force)
	for _, r := range sol.Reactions {
		var v solver.Vec
		if r.Freedom >= solver.RX {
			moment[r.Freedom-solver.RX] += r.Value
			continue
		}
		v[r.Freedom] = r.Value
		add(s.Position(r.Node), v)
	}
	for k := range 3 {
		if math.Abs(sum[k]) > 1e-7 || math.Abs(moment[k]) > 1e-7 {
			t.Errorf("the ground leaves forces %v and moments %v (source: equilibrium)", sum, moment)
			break
		}
	}
	for i, b := range s.Braces {
		for k := range 3 {
			got := reaction(sol, b.Foot, solver.Freedom(k))
			if want := -axial[i] * b.Axes[0][k]; math.Abs(got-want) > 1e-6 {
				t.Errorf("brace %d: reaction %v at its foot is %v, want %v along the brace", i+1, k, got, want)
			}
		}
		for _, c := range []solver.Component{solver.ShearY, solver.ShearZ, solver.Torsion, solver.MomentY, solver.MomentZ} {
			if v := sol.Diagram(b.ID).At(c, 0); math.Abs(v) > 1e-9 {
				t.Errorf("brace %d carries %v of component %v at its foot: a pinned bar has none", i+1, v, c)
			}
		}
	}
}

// TestBracesMirror turns the hazard to the other side, and the run round: the same brace
// does the same.
func TestBracesMirror(t *testing.T) {
	brace := func(along int) string {
		return fmt.Sprintf("height = \"0.9 m\"\nfoot = { outward = \"-700 mm\", along = \"%d mm\", level = \"0 mm\" }", along)
	}
	left, right, back := solve(t, braced(t, "", "80 kNm/rad", brace(200))), solve(t, braced(t, `hazard = "right"`, "80 kNm/rad", brace(200))), solve(t, braced(t, "", "80 kNm/rad", brace(-200)))
	_, want := left.under(solver.Vec{300, 700, -200})
	_, mirrored := right.under(solver.Vec{300, -700, -200})
	_, turned := back.under(solver.Vec{-300, 700, -200})
	within(t, "hazard on the right", mirrored[0], want[0], 1e-9, "mirror image")
	within(t, "run the other way", turned[0], want[0], 1e-9, "mirror image")
}

// TestBraceAtCorner stands a brace at a corner: outward and along are those of the leg that
// ends there, and the brace meets the post of that corner.
func TestBraceAtCorner(t *testing.T) {
	d := braced(t, "", "rigid", `height = "0.9 m"
foot = { outward = "-700 mm", along = "100 mm", level = "0 mm" }`)
	d.Run.Legs = []barrier.Leg{{From: 0, To: 1.5}, {From: 1.5, To: 3, Turn: math.Pi / 2}}
	s := solve(t, d)
	b := s.Braces[0]
	if foot, head := s.Position(b.Foot), s.Position(b.Head); foot != (solver.Vec{1.6, -0.7, 0}) || head != (solver.Vec{1.5, 0, 0.9}) {
		t.Errorf("the brace runs from %v to %v (source: plane geometry)", foot, head)
	}
	if got := s.Posts[1].Levels[b.Level]; got != 0.9 {
		t.Errorf("it meets its post at %v m", got)
	}
}

// TestBraceMeetsRail lets a brace and a rail meet the post at one height: they share its
// node, and no other post has a node more.
func TestBraceMeetsRail(t *testing.T) {
	at := solve(t, braced(t, "", "rigid", `height = "1.1 m"
foot = { outward = "-700 mm" }`))
	if n := len(at.Posts[1].Levels); n != 2 {
		t.Errorf("the post has %d nodes", n)
	}
	below := solve(t, braced(t, "", "rigid", `height = "0.9 m"
foot = { outward = "-700 mm" }`))
	if a, b := len(below.Posts[0].Levels), len(below.Posts[1].Levels); a != 2 || b != 3 {
		t.Errorf("a post without a brace has %d nodes, one with %d", a, b)
	}
}

// TestBraceDefaults says what is taken where the file does not say, and warns of a foot in
// the way.
func TestBraceDefaults(t *testing.T) {
	d := braced(t, "", "rigid", `height = "0.9 m"
foot = { outward = "-700 mm" }`, `height = "0.6 m"
foot = { along = "300 mm" }`)
	if b := d.Braces[0]; b.Along != 0 || b.Level != 0 || b.Post != 1 {
		t.Errorf("the brace is %+v", b)
	}
	if said := strings.Join(said(d.Assumptions), "\n"); strings.Count(said, "The feet of braces stand on the walking surface") != 1 {
		t.Errorf("assumptions:\n%s", said)
	}
	if said := strings.Join(said(d.Cautions), "\n"); said != "Brace 1 stands on the walking side of post 2: its foot reaches 700 mm into the way." {
		t.Errorf("cautions:\n%s", said)
	}
	if got := d.BracesOf(1); len(got) != 2 || len(d.BracesOf(0)) != 0 {
		t.Errorf("post 2 carries %v", got)
	}
}
