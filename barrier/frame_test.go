package barrier_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/solver"
)

// oneRail returns a barrier with one rail at 1.1 m in one piece, its run and fitting as
// given, on posts that end at the rail.
func oneRail(t testing.TB, run, fitting string) *barrier.Definition {
	t.Helper()
	d, err := barrier.Parse("test.toml", []byte(`basis = "EN"
[run]
`+run+`
[post]
tube = "EN 10255 DN40 medium"
grade = "S195T"
[post.base]
stiffness = "rigid"
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
splices = "none"
[fitting]
`+fitting+`
[[load]]
kind = "point"
value = "1 kN"
direction = "outward"
`))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// solved is a frame of a barrier on the feet that its file gives.
type solved struct {
	*barrier.Frame
	model *solver.Factored
}

func solve(t testing.TB, d *barrier.Definition) solved {
	t.Helper()
	l := barrier.Layout{FootStiffness: d.Post.Base.Stiffness[0], Joint: d.Fitting.Moment, Corner: d.Fitting.Corner.Moment}
	for _, rail := range d.Rails {
		l.Rails = append(l.Rails, barrier.Joints{Splices: rail.Splices, Moment: rail.SpliceMoment, Cut: !rail.Through})
	}
	f := d.Frame(l)
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	return solved{f, model}
}

// reaction returns what the ground does to one freedom of a node.
func reaction(s *solver.Solution, n solver.NodeID, f solver.Freedom) float64 {
	for _, r := range s.Reactions {
		if r.Node == n && r.Freedom == f {
			return r.Value
		}
	}
	return math.NaN()
}

// within fails where a value is off by more than a share of the one wanted.
func within(t testing.TB, what string, got, want, share float64, source string) {
	t.Helper()
	if !(math.Abs(got-want) <= share*math.Abs(want)) {
		t.Errorf("%s = %.9g, want %.9g (source: %s)", what, got, want, source)
	}
}

// comparisons is a row of the record that a test writes.
type comparisons struct {
	t   *testing.T
	row verification.Row
}

// compared opens the part of the record of a test that solves a frame, with its one row.
func compared(t *testing.T, row string) comparisons {
	t.Helper()
	return comparisons{t, verification.New(t, verification.Beams).Row("barrier as a frame: " + row)}
}

// within holds a value against one from outside, as the function of that name does, and puts both into the record.
func (c comparisons) within(what string, got, want, share float64, source string) {
	c.t.Helper()
	within(c.t, what, got, want, share, source)
	c.row.Add(what, want, got, source)
}

// stiffen makes the posts stiff beside the rails, without limits for the solver's numbers.
func stiffen(d *barrier.Definition) {
	const stiff = 1e6
	ring := &d.Post.Ring
	ring.Area, ring.I, ring.J = stiff*ring.Area, stiff*ring.I, stiff*ring.J
}

// TestTwistSharing lets a force P outward stand at the first of two posts. The rail is a
// simple span between them, so it hands no force on; its twist does. With the turn of the
// top of a post by force and moment, and k what the tie of the two tops resists to being
// turned against each other,
//
//	f1 = P h²/2EI - T h/EI    f2 = T h/EI    T = k (f1 - f2)
//	T = k P h²/2EI / (1 + 2 k h/EI)
//
// and the feet carry P h - T and T. Gripped: k = GJ/L. With a stiffness c of each fitting:
// 1/k = L/GJ + 2/c. (Engineering rules 10, last row: two posts, one tied rail.)
func TestTwistSharing(t *testing.T) {
	outside := compared(t, "twist of a rail that posts share")
	const p, h, l, c = 1000.0, 1.1, 1.5, 7.5e3
	for _, f := range []struct {
		moment string
		k      func(gjl float64) float64
	}{
		{`"gripped"`, func(gjl float64) float64 { return gjl }},
		{`{ about_rail = "7.5 kNm/rad" }`, func(gjl float64) float64 { return 1 / (1/gjl + 2/c) }},
		{`"free"`, func(float64) float64 { return 0 }},
	} {
		d := oneRail(t, `posts = ["0 m", "1.5 m"]`, "moment = "+f.moment)
		s := solve(t, d)
		grip := s.Rails[0].Grips[0]
		sol := s.model.Solve(solver.Case{Nodes: []solver.NodeLoad{{Node: grip.Before, Force: solver.Vec{0, p, 0}}}})
		ei := d.Post.Grade.E * d.Post.Ring.I
		k := f.k(d.Rails[0].Grade.G * d.Rails[0].Ring.J / l)
		shared := k * p * h * h / 2 / ei / (1 + 2*k*h/ei)
		const source = "statics of the comment above"
		outside.within(f.moment+": foot 1", reaction(sol, s.Posts[0].Nodes[0], solver.RX), p*h-shared, 1e-9, source)
		if got := reaction(sol, s.Posts[1].Nodes[0], solver.RX); math.Abs(got-shared) > 1e-9*p*h {
			t.Errorf("%s: foot 2 carries %.9g N·m, want %.9g (source: %s)", f.moment, got, shared, source)
		}
		if held := len(s.Held) > 0; held != (f.moment == `"free"`) {
			t.Errorf("%s: spin held: %v", f.moment, said(s.Held))
		}
	}
}

// TestRigidJointsShareAllRotations bends a rail between two stiff posts: rigid joints clamp
// it (P L/8 at the ends, P L³/192EI amid), others let it turn (P L³/48EI). A stiffness about
// one axis clamps that alone.
func TestRigidJointsShareAllRotations(t *testing.T) {
	outside := compared(t, "rigid joints")
	const p, l, source = 1000.0, 2.0, "beam tables: both ends fixed, both ends free to turn, load amid"
	for _, c := range []struct {
		moment       string
		across, down float64 // 192 where clamped, 48 where not
	}{
		{`"free"`, 48, 48}, {`"gripped"`, 48, 48}, {`"rigid"`, 192, 192},
		{`"1e9 kNm/rad"`, 192, 192}, {`{ about_post = "1e9 kNm/rad" }`, 192, 48}, {`{ about_outward = "1e9 kNm/rad" }`, 48, 192},
	} {
		d := oneRail(t, `posts = ["0 m", "2 m"]`, "moment = "+c.moment)
		stiffen(d)
		s := solve(t, d)
		m := s.Rails[0].Members[0].ID
		ei := d.Rails[0].Grade.E * d.Rails[0].Ring.I
		amid := func(c solver.Component, force solver.Vec) float64 {
			sol := s.model.Solve(solver.Case{Points: []solver.PointLoad{{Member: m, At: l / 2, Force: force}}})
			return sol.Diagram(m).At(c, l/2)
		}
		// A post a million times as stiff gives (h/l)³ 64 / 1e6 or less of what a rail gives.
		outside.within(c.moment+" across", amid(solver.MoveY, solver.Vec{0, p, 0}), p*l*l*l/c.across/ei, 1e-4, source)
		outside.within(c.moment+" down", amid(solver.MoveZ, solver.Vec{0, 0, -p}), -p*l*l*l/c.down/ei, 1e-4, source)
	}
}

// TestOverhang loads the end of a rail that runs a past the last of two stiff posts, l
// apart. Free to turn on them its end moves P a² (l + a)/3EI, clamped P a³/3EI.
func TestOverhang(t *testing.T) {
	outside := compared(t, "overhang")
	const p, l, a, source = 500.0, 1.5, 0.4, "beam tables: overhanging beam, cantilever"
	for _, c := range []struct {
		moment string
		move   float64 // times P/3EI
	}{{`"free"`, a * a * (l + a)}, {`"rigid"`, a * a * a}} {
		for end := range 2 {
			text := `overhang = ["0 mm", "400 mm"]`
			if end == 0 {
				text = `overhang = ["400 mm", "0 mm"]`
			}
			d := oneRail(t, "posts = [\"0 m\", \"1.5 m\"]\n"+text, "moment = "+c.moment)
			stiffen(d)
			s := solve(t, d)
			members := s.Rails[0].Members
			over, at, bay := members[0], 0.0, -1
			if end == 1 {
				over, at, bay = members[len(members)-1], a, 1
			}
			if over.Bay != bay || len(members) != 2 {
				t.Errorf("overhang %d is in bay %d, want %d, of %d members", end, over.Bay, bay, len(members))
			}
			grip := s.Rails[0].Grips[end]
			if grip.LeftID < 0 || grip.RightID < 0 {
				t.Errorf("overhang %d: the post beside it has rail members %d and %d", end, grip.LeftID, grip.RightID)
			}
			sol := s.model.Solve(solver.Case{Points: []solver.PointLoad{{Member: over.ID, At: at, Force: solver.Vec{0, 0, -p}}}})
			ei := d.Rails[0].Grade.E * d.Rails[0].Ring.I
			outside.within(fmt.Sprintf("%s, end %d", c.moment, end), sol.Diagram(over.ID).At(solver.MoveZ, at), -p/3/ei*c.move, 1e-4, source)
			if row := s.Rows(0, 1)[0]; row.Start != over.From && end == 0 || len(row.Members) != 2 {
				t.Errorf("the row of the rail starts at %v", row.Start)
			}
		}
	}
}

// TestWallBay loads the middle of a bay from a wall to a post. Free to turn in the wall the
// rail is a simple span, P/2 to either end however soft the post; clamped in the wall and on
// a stiff post it is a propped cantilever, 11/16 P to the wall.
func TestWallBay(t *testing.T) {
	outside := compared(t, "bay between a post and a wall")
	const p, source = 1000.0, "statics; beam tables: one end fixed, the other supported, load amid"
	d := oneRail(t, "posts = [\"0 m\", \"2 m\"]\nstart = \"wall\"", "")
	s := solve(t, d)
	if len(s.Posts) != 1 || len(s.Rails[0].Grips) != 1 || s.Rails[0].Walls[0] == nil || s.Rails[0].Walls[1] != nil {
		t.Fatalf("%d posts, walls %v", len(s.Posts), s.Rails[0].Walls)
	}
	wall := s.Rails[0].Walls[0]
	load := solver.Case{Points: []solver.PointLoad{{Member: wall.ID, At: 1, Force: solver.Vec{0, p, -p}}}}
	sol := s.model.Solve(load)
	outside.within("wall across", reaction(sol, wall.Node, solver.UY), -p/2, 1e-9, source)
	outside.within("wall up", reaction(sol, wall.Node, solver.UZ), p/2, 1e-9, source)
	outside.within("post across", reaction(sol, s.Posts[0].Nodes[0], solver.UY), -p/2, 1e-9, source)
	outside.within("foot of the post", reaction(sol, s.Posts[0].Nodes[0], solver.RX), p/2*1.1, 1e-9, source)
	if m := reaction(sol, wall.Node, solver.UX); !math.IsNaN(m) {
		t.Errorf("the wall holds the rail along the run with %v N", m)
	}

	d = oneRail(t, "posts = [\"0 m\", \"2 m\"]\nend = { kind = \"wall\", rotation = [\"outward\", \"up\"] }", "")
	stiffen(d)
	s = solve(t, d)
	wall = s.Rails[0].Walls[1]
	sol = s.model.Solve(solver.Case{Points: []solver.PointLoad{{Member: wall.ID, At: 1, Force: solver.Vec{0, p, 0}}}})
	outside.within("clamping wall", reaction(sol, wall.Node, solver.UY), -11./16*p, 1e-4, source)

	// Along the run a wall that holds it shares a force at a post with that post, by the
	// stiffnesses of rail, EA/L, and post, 3EI/h³.
	d = oneRail(t, "posts = [\"0 m\", \"2 m\"]\nstart = { kind = \"wall\", along = \"held\" }", "")
	s = solve(t, d)
	wall = s.Rails[0].Walls[0]
	sol = s.model.Solve(solver.Case{Nodes: []solver.NodeLoad{{Node: s.Rails[0].Grips[0].Before, Force: solver.Vec{p, 0, 0}}}})
	rail, post := d.Rails[0].Grade.E*d.Rails[0].Ring.Area/2, 3*d.Post.Grade.E*d.Post.Ring.I/(1.1*1.1*1.1)
	outside.within("wall along", reaction(sol, wall.Node, solver.UX), -p*rail/(rail+post), 1e-9, "statics")
}

// TestOffset puts a load P down on a rail that runs e outward of its post: the foot carries
// P e about X, from the side of the hazard.
func TestOffset(t *testing.T) {
	outside := compared(t, "rail beside its posts")
	const p, e, source = 1000.0, 0.06, "statics"
	for _, c := range []struct {
		hazard, offset string
		y              float64 // of the rail
	}{{"left", "60 mm", e}, {"right", "60 mm", -e}, {"left", "-60 mm", -e}, {"right", "-60 mm", e}} {
		d := oneRail(t, "posts = [\"0 m\", \"2 m\"]\nhazard = \""+c.hazard+"\"", "offset = \""+c.offset+"\"\nmass = \"1.5 kg\"")
		s := solve(t, d)
		name := c.hazard + " " + c.offset
		grip := s.Rails[0].Grips[1]
		if at := s.Position(grip.Before); at != (solver.Vec{2, c.y, 1.1}) || grip.Arm != (solver.Vec{0, c.y, 0}) {
			t.Errorf("%s: rail at %v, arm %v", name, at, grip.Arm)
		}
		sol := s.model.Solve(solver.Case{Nodes: []solver.NodeLoad{{Node: grip.Before, Force: solver.Vec{0, 0, -p}}}})
		outside.within(name+": foot about X", reaction(sol, s.Posts[1].Nodes[0], solver.RX), p*c.y, 1e-9, source)
		outside.within(name+": foot up", reaction(sol, s.Posts[1].Nodes[0], solver.UZ), p, 1e-9, source)

		// A fitting at each of two posts, where it leans outward most.
		want := 0.0
		if d.Fitting.Offset > 0 {
			want = c.y
		}
		total := 0.0
		for _, lump := range s.Lumps {
			total += lump.Mass
			if y := s.Position(lump.Node)[1]; y != want {
				t.Errorf("%s: the mass of a fitting is at y = %v, want %v", name, y, want)
			}
		}
		outside.within(name+": mass of the fittings", total, 2*1.5, 1e-12, "two fittings of 1.5 kg")
	}
}

// TestShortStub lets a post end a little above its highest rail, as 1067 mm do above 42 in:
// the frame stands, and its foot carries the load as ever.
func TestShortStub(t *testing.T) {
	outside := compared(t, "lone post")
	for _, stub := range []float64{1e-5, 0.2e-3, 5e-3, 0.019, 0.021, 0.3} {
		d := oneRail(t, `posts = ["0 m", "1.5 m"]`, "")
		d.Post.Height += stub
		s := solve(t, d)
		if levels := len(s.Posts[0].Levels); levels != 2 && stub < 0.02 || levels != 3 && stub > 0.02 {
			t.Errorf("a stub of %v m: %d levels", stub, levels)
		}
		sol := s.model.Solve(solver.Case{Nodes: []solver.NodeLoad{{Node: s.Rails[0].Grips[0].Before, Force: solver.Vec{0, 1000, 0}}}})
		outside.within("foot", reaction(sol, s.Posts[0].Nodes[0], solver.RX), 1100, 1e-8, "statics, P h")
		if sol.Imbalance > 1e-8 {
			t.Errorf("a stub of %v m: imbalance %v", stub, sol.Imbalance)
		}
	}
}

// TestHeldSpin says where each piece is kept from spinning, once each.
func TestHeldSpin(t *testing.T) {
	for _, c := range []struct {
		name, run, fitting string
		splices            []float64
		cut                bool
		want               []string
	}{
		{"one piece", ``, ``, nil, false, []string{"rail top from x = 0.000 m: spin held at post 1"}},
		{"two pieces", ``, ``, []float64{2.5}, false, []string{"rail top from x = 0.000 m: spin held at post 1", "rail top from x = 2.500 m: spin held at post 3"}},
		{"overhang", `overhang = "100 mm"`, ``, nil, false, []string{"rail top from x = -0.100 m: spin held at post 1"}},
		{"gripped", ``, `moment = "gripped"`, []float64{2.5}, false, nil},
		{"tied about the post alone", ``, `moment = { about_post = "1 kNm/rad" }`, nil, false, []string{"rail top from x = 0.000 m: spin held at post 1"}},
		{"cut", ``, ``, nil, true, []string{"rail top from x = 0.000 m: spin held at post 1", "rail top from x = 2.000 m: spin held at post 2", "rail top from x = 4.000 m: spin held at post 3"}},
		{"cut with overhangs", `overhang = "100 mm"`, ``, nil, true, []string{"rail top from x = -0.100 m: spin held at post 1", "rail top from x = 2.000 m: spin held at post 2", "rail top from x = 4.000 m: spin held at post 3"}},
		{"wall that lets turn", `start = "wall"`, ``, nil, false, []string{"rail top from x = 0.000 m: spin held at post 1"}},
		{"wall to splice", `start = "wall"`, `moment = "gripped"`, []float64{1}, false, []string{"rail top from x = 0.000 m: spin held in the wall at the start"}},
		{"splice to wall", `end = "wall"`, ``, []float64{5}, false, []string{"rail top from x = 0.000 m: spin held at post 1", "rail top from x = 5.000 m: spin held in the wall at the end"}},
		{"wall that holds", `start = { kind = "wall", rotation = ["run"] }`, ``, []float64{3}, false, []string{"rail top from x = 3.000 m: spin held at post 2"}},
		{"wall that holds at the end", `end = { kind = "wall", rotation = ["run"] }`, ``, []float64{3}, false, []string{"rail top from x = 0.000 m: spin held at post 1"}},
		{"cut between walls that hold", "start = { kind = \"wall\", rotation = [\"run\"] }\nend = { kind = \"wall\", rotation = [\"run\"] }", ``, nil, true, []string{"rail top from x = 2.000 m: spin held at post 1"}},
	} {
		d := oneRail(t, "posts = [\"0 m\", \"2 m\", \"4 m\", \"6 m\"]\n"+c.run, c.fitting)
		d.Rails[0].Splices, d.Rails[0].Through = c.splices, !c.cut
		if got := said(solve(t, d).Held); !slices.Equal(got, c.want) {
			t.Errorf("%s: held %q, want %q", c.name, got, c.want)
		}
	}
}

// TestEveryRunStands builds frames of random runs, splices and joints. Each can be solved;
// the members of a rail follow one another from its start to its end, their bays in order;
// the rail is gripped once at every post; under a load across at the end of the rail the
// feet and walls carry all of it.
func TestEveryRunStands(t *testing.T) {
	base := oneRail(t, `posts = ["0 m", "1.5 m"]`, "")
	rapid.Check(t, func(t *rapid.T) {
		d := *base
		d.Run = randomRun(t)
		d.Run.Hazard = rapid.SampledFrom([]barrier.Side{barrier.Left, barrier.Right}).Draw(t, "hazard")
		for _, end := range []*barrier.End{&d.Run.Start, &d.Run.End} {
			if end.Wall {
				end.AlongHeld = rapid.Bool().Draw(t, "along")
				end.Rotation[0] = rapid.Bool().Draw(t, "spin")
			}
		}
		d.Fitting.Offset = rapid.SampledFrom([]float64{0, 0.05, -0.05}).Draw(t, "offset")
		d.Fitting.Mass = rapid.SampledFrom([]float64{0, 1}).Draw(t, "mass")
		d.Fitting.Moment = rapid.SampledFrom([]barrier.Joint{{}, {Kind: "gripped", Stiffness: [3]float64{math.Inf(1), 0, 0}}, {Kind: "stiffness", Stiffness: [3]float64{0, 0, 4e3}}}).Draw(t, "joint")
		supports := d.Run.Supports()
		rail := d.Rails[0]
		rail.Through = rapid.Bool().Draw(t, "through")
		for i := 1; i < len(supports)-1 && rail.Through; i++ { // never in the last bay: one bay stays whole
			if rapid.Bool().Draw(t, "splice") {
				rail.Splices = append(rail.Splices, (supports[i-1]+supports[i])/2)
			}
		}
		d.Rails = []barrier.Rail{rail}
		l := barrier.Layout{FootStiffness: 100e3, Joint: d.Fitting.Moment, Rails: []barrier.Joints{{Splices: rail.Splices, Cut: !rail.Through}}}
		f := d.Frame(l)
		model, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		judgeRail(t, &d, f)
		members := f.Rails[0].Members
		last := members[len(members)-1]
		sol := model.Solve(solver.Case{Points: []solver.PointLoad{{Member: last.ID, At: last.To - last.From, Force: solver.Vec{0, 1000, 0}}}})
		sum := 0.0
		for _, r := range sol.Reactions {
			if r.Freedom == solver.UY {
				sum += r.Value
			}
		}
		if math.Abs(sum+1000) > 1e-5 || sol.Imbalance > 1e-8 { // 1e-8: the residual beyond which a run is not trusted
			t.Fatalf("feet and walls carry %v N of 1000, imbalance %v", -sum, sol.Imbalance)
		}
		judgeTwist(t, &d, f, model)
	})
}

// judgeTwist holds the torsion of members that nothing twists to nothing under a load in any direction on any
// member, by statics: a piece that is kept from spinning at one place passes no torque on. Where
// fittings let rails turn and no two walls keep one from it, all are such members.
func judgeTwist(t *rapid.T, d *barrier.Definition, f *barrier.Frame, model *solver.Factored) {
	members := f.Rails[0].Members
	on := rapid.SampledFrom(members).Draw(t, "loaded")
	force := solver.Vec{rapid.Float64Range(-1e3, 1e3).Draw(t, "along"), rapid.Float64Range(-1e3, 1e3).Draw(t, "across"), rapid.Float64Range(-1e3, 1e3).Draw(t, "up")}
	sol := model.Solve(solver.Case{Points: []solver.PointLoad{{Member: on.ID, At: rapid.Float64Range(0, on.To-on.From).Draw(t, "at"), Force: force}}})
	free := d.Fitting.Moment.Stiffness[0] == 0 && (!d.Run.Start.Rotation[0] || !d.Run.End.Rotation[0])
	for _, m := range members {
		if twist := sol.Value(model.Section(m.ID, 0, solver.Torsion)); m.Untwisted && !(math.Abs(twist) <= 1e-6) {
			t.Fatalf("the member from %v to %v is twisted by %v Nm", m.From, m.To, twist)
		}
		if free && !m.Untwisted {
			t.Fatalf("the member from %v to %v may be twisted", m.From, m.To)
		}
	}
}

func judgeRail(t *rapid.T, d *barrier.Definition, f *barrier.Frame) {
	rail := f.Rails[0]
	at, end := d.Run.RailEnds()
	bay := -1
	for _, m := range rail.Members {
		if m.From != at || m.Bay < bay || m.Bay > len(d.Supports())-1 {
			t.Fatalf("member from %v to %v in bay %d follows %v in bay %d", m.From, m.To, m.Bay, at, bay)
		}
		if inside := m.Bay >= 0 && m.Bay < len(d.Supports())-1; inside && d.BayOf((m.From+m.To)/2) != m.Bay {
			t.Fatalf("member from %v to %v is said to be in bay %d", m.From, m.To, m.Bay)
		}
		at, bay = m.To, m.Bay
	}
	if at != end {
		t.Fatalf("the rail ends at %v, want %v", at, end)
	}
	byID := map[solver.MemberID]barrier.RailMember{-1: {From: math.NaN(), To: math.NaN()}}
	for _, m := range rail.Members {
		byID[m.ID] = m
	}
	if len(rail.Grips) != len(d.Run.Posts) {
		t.Fatalf("%d grips at %d posts", len(rail.Grips), len(d.Run.Posts))
	}
	for i, g := range rail.Grips {
		x := d.Run.Posts[i]
		if left := byID[g.LeftID]; g.LeftID >= 0 && left.To != x || g.LeftID < 0 && x > rail.Members[0].From {
			t.Fatalf("grip %d at %v has the member from %v to %v before it", i, x, left.From, left.To)
		}
		if right := byID[g.RightID]; g.RightID >= 0 && right.From != x || g.RightID < 0 && x < end {
			t.Fatalf("grip %d at %v has the member from %v to %v after it", i, x, right.From, right.To)
		}
	}
	for i, wall := range []barrier.End{d.Run.Start, d.Run.End} {
		if (rail.Walls[i] != nil) != wall.Wall {
			t.Fatalf("wall %d: %v", i, rail.Walls[i])
		}
	}
	masses := 0
	if d.Fitting.Mass > 0 {
		masses = len(d.Run.Posts)
	}
	if len(f.Lumps) != masses || strings.Contains(strings.Join(said(f.Held), " "), "post 0") {
		t.Fatalf("%d lumps, want %d; held %q", len(f.Lumps), masses, said(f.Held))
	}
}
