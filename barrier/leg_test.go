package barrier_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/golden"
	"example.com/stanchion/solver"
)

// reactions returns the resultant force and moment about a node, global axes, of what the
// ground does to it.
func reactions(s *solver.Solution, n solver.NodeID) (force, moment solver.Vec) {
	for _, r := range s.Reactions {
		switch {
		case r.Node != n:
		case r.Freedom <= solver.UZ:
			force[r.Freedom] += r.Value
		default:
			moment[r.Freedom-solver.RX] += r.Value
		}
	}
	return force, moment
}

// in returns the components of a vector along axes.
func in(axes solver.Axes, v solver.Vec) (out solver.Vec) {
	for i, a := range axes {
		for k := range a {
			out[i] += a[k] * v[k]
		}
	}
	return out
}

// along returns a force given in axes.
func along(axes solver.Axes, v solver.Vec) (out solver.Vec) {
	for i, a := range axes {
		for k := range a {
			out[k] += a[k] * v[i]
		}
	}
	return out
}

// loadAt is a force in the axes of the leg, on the rail at x.
func loadAt(s solved, run *barrier.Run, rail int, x float64, force solver.Vec) solver.Case {
	for _, m := range s.Rails[rail].Members {
		if x >= m.From && x < m.To {
			return solver.Case{Points: []solver.PointLoad{{Member: m.ID, At: x - m.From, Force: along(run.Axes(m.Leg), force)}}}
		}
	}
	panic(fmt.Sprintf("no rail at %v", x))
}

// TestLegsAreRead compares what legs, pitch, gaps and gates stand for with what was worked
// out by hand: each leg, and each stretch between gaps, in equal bays for itself.
func TestLegsAreRead(t *testing.T) {
	const deg = math.Pi / 180
	for _, c := range []struct {
		run, gaps string
		want      barrier.Run
	}{
		{`legs = [{ length = "4 m" }, { length = "2.5 m", turn = "90 deg" }]` + "\n" + `spacing = "1.5 m"`, "", barrier.Run{ // 4 m in three bays, 2.5 m in two
			Legs:  []barrier.Leg{{From: 0, To: 4}, {From: 4, To: 6.5, Turn: 90 * deg}},
			Posts: []float64{0, 4. / 3, 8. / 3, 4, 5.25, 6.5},
		}},
		{`legs = [{ length = "2 m" }, { length = "1.5 m", turn = "-45 deg", pitch = "30 deg" }]` + "\n" + `posts = ["-1 m", "1 m", "2.5 m"]`, "", barrier.Run{ // x begins at -1 m
			Legs:  []barrier.Leg{{From: -1, To: 1}, {From: 1, To: 2.5, Turn: -45 * deg, Pitch: 30 * deg}},
			Posts: []float64{-1, 1, 2.5},
		}},
		{`length = "3 m"` + "\n" + `spacing = "1.5 m"` + "\n" + `pitch = "-32 deg"`, "", barrier.Run{
			Legs:  []barrier.Leg{{From: 0, To: 3, Pitch: -32 * deg}},
			Posts: []float64{0, 1.5, 3},
		}},
		{`length = "9 m"` + "\n" + `spacing = "1.5 m"`, "[[gap]]\nfrom = \"6 m\"\nto = \"8 m\"\n[[gate]]\nfrom = \"2 m\"\nto = \"3 m\"\n", barrier.Run{ // 2 m, 1 m of gate, 3 m, 2 m of gap, 1 m
			Gaps:  []barrier.Gap{{From: 2, To: 3, Gate: true}, {From: 6, To: 8}},
			Posts: []float64{0, 1, 2, 3, 4.5, 6, 8, 9},
		}},
		{`legs = [{ length = "3 m" }, { length = "3 m", turn = "0 deg", pitch = "30 deg" }, { length = "3 m", turn = "90 deg" }]` + "\n" + `spacing = "1.5 m"` + "\n" + `end = "wall"`,
			"[[gap]]\nfrom = \"6 m\"\nto = \"7 m\"\n", barrier.Run{ // the gap begins at the second corner
				Legs:  []barrier.Leg{{From: 0, To: 3}, {From: 3, To: 6, Pitch: 30 * deg}, {From: 6, To: 9, Turn: 90 * deg}},
				Gaps:  []barrier.Gap{{From: 6, To: 7}},
				Posts: []float64{0, 1.5, 3, 4.5, 6, 7, 8}, End: barrier.End{Wall: true, X: 9},
			}},
		{`legs = [{ length = "3 m" }, { length = "3 m", turn = "90 deg" }]` + "\n" + `spacing = "1.5 m"`,
			"[[gap]]\nfrom = \"2 m\"\nto = \"2.9997 m\"\n", barrier.Run{ // less than is set out before the corner: it ends there
				Legs:  []barrier.Leg{{From: 0, To: 3}, {From: 3, To: 6, Turn: 90 * deg}},
				Gaps:  []barrier.Gap{{From: 2, To: 3}},
				Posts: []float64{0, 1, 2, 3, 4.5, 6},
			}},
		{`legs = [{ length = "3 m" }]` + "\n" + `spacing = "1.5 m"`, "", barrier.Run{Posts: []float64{0, 1.5, 3}}}, // one level leg is a straight run
	} {
		d := oneRail(t, c.run, c.gaps)
		c.want.Hazard, c.want.ToePlate.State = barrier.Left, barrier.ToePlateNotMentioned
		if got, want := fmt.Sprintf("%.12v", d.Run), fmt.Sprintf("%.12v", c.want); got != want {
			t.Errorf("%s\n%s: got\n%s, want\n%s (source: worked out by hand)", c.run, c.gaps, got, want)
		}
	}
}

// TestStretches compares the stretches of a run with walls, a corner and gaps with what was
// worked out by hand.
func TestStretches(t *testing.T) {
	d := oneRail(t, `legs = [{ length = "6 m" }, { length = "4.5 m", turn = "90 deg" }]
spacing = "1.5 m"
start = "wall"
overhang = ["0 mm", "200 mm"]`, "[[gap]]\nfrom = \"1.5 m\"\nto = \"3 m\"\n[[gate]]\nfrom = \"6 m\"\nto = \"7 m\"\n")
	// Supports: wall 0, posts 1.5, 3, 4.5, 6 (corner), 7, then 3.5 m in three bays.
	want := []barrier.Stretch{{From: 0, To: 1.5, First: 0, Last: 1}, {From: 3, To: 6, First: 2, Last: 4}, {From: 7, To: 10.7, First: 5, Last: 8}}
	if got := d.Run.Stretches(); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("Stretches = %v, want %v (source: worked out by hand)", got, want)
	}
	for _, c := range []struct {
		x    float64
		want int
	}{{0.5, 0}, {2, -1}, {3, 1}, {6, 1}, {6.5, -1}, {10.6, 2}, {11, -1}} {
		if got := d.Run.StretchOf(c.x); got != c.want {
			t.Errorf("StretchOf(%v) = %d, want %d", c.x, got, c.want)
		}
	}
	for bay, want := range []bool{false, true, false, false, true, false, false, false} {
		if d.Run.IsGap(bay) != want {
			t.Errorf("IsGap(%d) = %v", bay, !want)
		}
	}
	if d.Run.IsGap(-1) || d.Run.IsGap(8) {
		t.Error("there is a gap beyond the run")
	}
}

// TestMirroredCorner loads the two legs of an L that is its own mirror image. A load outward on
// the one does at every post what its image on the other does at the image of the post: the
// moment about the leg is the same, that about outward and the twist are turned round. The
// corner's own axes are those of the leg that is loaded.
func TestMirroredCorner(t *testing.T) {
	for _, c := range []struct{ turn, fitting string }{
		{"90 deg", ""}, {"-60 deg", "offset = \"60 mm\"\nmoment = \"rigid\""}, {"135 deg", "moment = \"gripped\""},
		{"90 deg", "offset = \"-40 mm\"\n[fitting.corner]\nmoment = \"rigid\""},
	} {
		d := oneRail(t, `legs = [{ length = "3 m" }, { length = "3 m", turn = "`+c.turn+`" }]
spacing = "1.5 m"
overhang = "200 mm"`, c.fitting)
		if d.Fitting.Corner.Moment.Kind == barrier.RigidJoint {
			d.Fitting.Moment = barrier.Joint{Kind: barrier.RigidJoint, Stiffness: d.Fitting.Corner.Moment.Stiffness}
		}
		s := solve(t, d)
		for _, x := range []float64{-0.15, 0.4, 1.9, 2.7} {
			one := s.model.Solve(loadAt(s, &d.Run, 0, x, solver.Vec{0, 1000, 0}))
			other := s.model.Solve(loadAt(s, &d.Run, 0, 6-x, solver.Vec{0, 1000, 0}))
			for p := range s.Posts {
				image := len(s.Posts) - 1 - p
				legs := [2]int{s.Posts[p].Leg, s.Posts[image].Leg}
				if p == image {
					legs = [2]int{0, 1}
				}
				_, a := reactions(one, s.Posts[p].Nodes[0])
				_, b := reactions(other, s.Posts[image].Nodes[0])
				m, n := in(d.Run.Axes(legs[0]), a), in(d.Run.Axes(legs[1]), b)
				if diff := math.Max(math.Abs(m[0]-n[0]), math.Max(math.Abs(m[1]+n[1]), math.Abs(m[2]+n[2]))); diff > 1e-7*1100 {
					t.Errorf("turn %s, load at %v: post %d has %v, its image %v (source: symmetry)", c.turn, x, p+1, m, n)
				}
			}
		}
	}
}

// TestPitchedCantilevers holds a run on a slope to the level one: posts are plumb and as high,
// so a load at a post does what it does there. P amid a bay of slope length l is halved between
// its posts across and vertically, and bends the rail by its part square to the rail.
func TestPitchedCantilevers(t *testing.T) {
	outside := compared(t, "posts and rails of a slope")
	const p, h, l, a, source = 1000.0, 1.1, 1.5, 0.4, "statics and beam tables, of the rail's length along the slope"
	const pitch = 32 * math.Pi / 180
	text := "posts = [\"0 m\", \"1.5 m\"]\noverhang = [\"0 mm\", \"400 mm\"]\npitch = \"32 deg\""
	d := oneRail(t, text, "")
	s := solve(t, d)
	ei := d.Post.Grade.E * d.Post.Ring.I
	for post := range 2 {
		at := s.Position(s.Posts[post].Nodes[0])
		top := s.Position(s.Posts[post].Nodes[1])
		x := float64(post) * l
		if want := (solver.Vec{x * math.Cos(pitch), 0, x * math.Sin(pitch)}); math.Abs(at[0]-want[0])+math.Abs(at[2]-want[2]) > 1e-12 || at[0] != top[0] || math.Abs(top[2]-at[2]-h) > 1e-12 {
			t.Errorf("post %d stands at %v up to %v, want %v, plumb", post+1, at, top, want)
		}
		sol := s.model.Solve(solver.Case{Nodes: []solver.NodeLoad{{Node: s.Rails[0].Grips[post].Before, Force: solver.Vec{0, p, 0}}}})
		outside.within("foot of the loaded post", reaction(sol, s.Posts[post].Nodes[0], solver.RX), p*h, 1e-9, source)
		outside.within("top of the loaded post", sol.Displacement(s.Posts[post].Nodes[1], solver.UY), p*h*h*h/3/ei, 1e-9, source)
	}
	sol := s.model.Solve(loadAt(s, &d.Run, 0, l/2, solver.Vec{0, p, -p}))
	for post := range 2 {
		outside.within("foot, half of the load across", reaction(sol, s.Posts[post].Nodes[0], solver.RX), p/2*h, 1e-9, source)
		outside.within("foot, half of the load down", reaction(sol, s.Posts[post].Nodes[0], solver.UZ), p/2, 1e-9, source)
	}

	stiffen(d)
	s = solve(t, d)
	ei = d.Rails[0].Grade.E * d.Rails[0].Ring.I
	bay, over := s.Rails[0].Members[0].ID, s.Rails[0].Members[1].ID
	sol = s.model.Solve(loadAt(s, &d.Run, 0, l/2, solver.Vec{0, p, -p}))
	square := func(id solver.MemberID, x float64) float64 { return sol.Diagram(id).At(solver.MoveZ, x) }
	outside.within("middle of the bay across", sol.Diagram(bay).At(solver.MoveY, l/2), p*l*l*l/48/ei, 1e-4, source)
	outside.within("middle of the bay square to the slope", square(bay, l/2), -p*math.Cos(pitch)*l*l*l/48/ei, 1e-4, source)
	sol = s.model.Solve(solver.Case{Points: []solver.PointLoad{{Member: over, At: a, Force: solver.Vec{0, 0, -p}}}})
	outside.within("end of the overhang square to the slope", square(over, a), -p*math.Cos(pitch)*a*a*(l+a)/3/ei, 1e-4, source)
}

// TestWallOnALeg ends a leg that turns right and rises in a wall: the middle of its last bay is
// halved across and square to the slope between the wall and the corner's post. Clamped, and on
// a stiff post, the wall takes 11/16.
func TestWallOnALeg(t *testing.T) {
	outside := compared(t, "wall on a leg")
	const p, source = 1000.0, "statics; beam tables: one end fixed, the other supported, load amid"
	run := `legs = [{ length = "2 m" }, { length = "2 m", turn = "-90 deg", pitch = "30 deg" }]
spacing = "2 m"
end = `
	for _, c := range []struct {
		end   string
		share float64
		held  bool
		said  string
	}{
		{`"wall"`, 0.5, false, "across the run and square to the slope, and lets them turn about every axis"},
		{`{ kind = "wall", rotation = ["outward", "up"] }`, 11. / 16, false, "across the run and square to the slope, and stops them turning about the axes outward and up"},
		{`{ kind = "wall", along = "held", rotation = "held" }`, 11. / 16, true, "across the run, along the slope and square to it, and stops them turning about every axis"},
	} {
		d := oneRail(t, run+c.end, "")
		if !strings.Contains(strings.Join(said(d.Assumptions), "\n"), "The wall holds the ends of the rails "+c.said) {
			t.Errorf("%s: %q does not say %q", c.end, said(d.Assumptions), c.said)
		}
		stiffen(d)
		s := solve(t, d)
		wall := s.Rails[0].Walls[1]
		axes := d.Run.RailAxes(1)
		for k := 1; k < 3; k++ {
			sol := s.model.Solve(solver.Case{Points: []solver.PointLoad{{Member: wall.ID, At: 1, Force: solver.Vec{p * axes[k][0], p * axes[k][1], p * axes[k][2]}}}})
			ground := solver.Vec{} // what is not on a foot is on the wall
			for _, r := range sol.Reactions {
				onFoot := slices.ContainsFunc(s.Posts, func(p barrier.PostFrame) bool { return p.Nodes[0] == r.Node })
				if !onFoot && r.Freedom <= solver.UZ {
					ground[r.Freedom] += r.Value
				}
			}
			got := in(axes, ground)
			outside.within(fmt.Sprintf("%s, axis %d", c.end, k), got[k], -c.share*p, 1e-4, source)
			if math.Abs(got[0]) > 1e-3*p && !c.held || math.Abs(got[3-k]) > 1e-3*p {
				t.Errorf("%s, axis %d: the wall has %v, want nothing else (source: %s)", c.end, k, got, source)
			}
		}
	}
}

// TestGapParts holds a run with a gap to the two files of the runs beside it: loaded on one side
// nothing reaches the other, and its feet carry what they carry in the file of that side alone.
func TestGapParts(t *testing.T) {
	const splice = 4.8 // m, in the second part
	whole := oneRail(t, `posts = ["0 m", "1.2 m", "2.4 m", "3.6 m", "4.6 m", "6 m", "7.6 m"]`, "moment = \"gripped\"\n[[gap]]\nfrom = \"2.4 m\"\nto = \"3.6 m\"")
	left := oneRail(t, `posts = ["0 m", "1.2 m", "2.4 m"]`, `moment = "gripped"`)
	right := oneRail(t, `posts = ["3.6 m", "4.6 m", "6 m", "7.6 m"]`, `moment = "gripped"`)
	whole.Rails[0].Splices, right.Rails[0].Splices = []float64{splice}, []float64{splice}
	s := solve(t, whole)
	if rows := s.Rows(0, 1); len(rows) != 2 || rows[0].Start != 0 || rows[1].Start != 3.6 || len(rows[0].Members) != 2 || len(rows[1].Members) != 4 {
		t.Errorf("rows %v, want one for each part", rows)
	}
	for i, part := range []solved{solve(t, left), solve(t, right)} {
		first := 3 * i
		for _, x := range []float64{0.5, 2, 3.7, 5.3, 7} {
			if (x > 3) != (i == 1) {
				continue
			}
			force := solver.Vec{100, 1000, -300}
			sol := s.model.Solve(loadAt(s, &whole.Run, 0, x, force))
			alone := part.model.Solve(loadAt(part, &left.Run, 0, x, force))
			for p := range s.Posts {
				f, m := reactions(sol, s.Posts[p].Nodes[0])
				var wantF, wantM solver.Vec
				if p >= first && p < first+len(part.Posts) {
					wantF, wantM = reactions(alone, part.Posts[p-first].Nodes[0])
				}
				for k := range f {
					if math.Abs(f[k]-wantF[k]) > 1e-7 || math.Abs(m[k]-wantM[k]) > 1e-7 {
						t.Errorf("load at %v: foot %d has %v and %v, want %v and %v (source: the file of one side)", x, p+1, f, m, wantF, wantM)
						break
					}
				}
			}
		}
	}
}

// TestCornerFitting loads the middle of a bay that runs from a post up to a corner on stiff posts. A
// corner fitting of stiffness k, N·m/rad, about the axis takes 3PL/16 / (1 + 3EI/(k L)): nothing
// where free, 3PL/16 where rigid (beam tables: one end fixed, the other supported; slope of the
// simple span PL²/16EI, of a couple at its end L/3EI). What other fittings pass does not count.
func TestCornerFitting(t *testing.T) {
	const p, l, source = 1000.0, 2.0, "beam tables, as above"
	for _, c := range []struct {
		moment string
		k      float64
	}{{`"free"`, 0}, {`"gripped"`, 0}, {`"rigid"`, math.Inf(1)}, {`"4 kNm/rad"`, 4e3}} {
		for _, gap := range []bool{false, true} {
			gaps := ""
			if gap {
				gaps = "[[gap]]\nfrom = \"2 m\"\nto = \"3 m\"\n"
			}
			d := oneRail(t, `legs = [{ length = "2 m" }, { length = "5 m", turn = "90 deg" }]
spacing = "2 m"`, "[fitting.corner]\nmoment = "+c.moment+"\n"+gaps)
			stiffen(d)
			s := solve(t, d)
			bay := s.Rails[0].Members[0].ID
			ei := d.Rails[0].Grade.E * d.Rails[0].Ring.I
			sol := s.model.Solve(loadAt(s, &d.Run, 0, l/2, solver.Vec{0, p, -p}))
			want := 0.0
			if c.k > 0 {
				want = 3 * p * l / 16 / (1 + 3*ei/c.k/l)
			}
			for _, about := range []solver.Component{solver.MomentY, solver.MomentZ} {
				if got := math.Abs(sol.Diagram(bay).At(about, l)); math.Abs(got-want) > 1e-4*p*l {
					t.Errorf("%s, gap %v: the rail has %v N·m at the corner, want %v (source: %s)", c.moment, gap, got, want, source)
				}
			}
		}
	}
	d := oneRail(t, `legs = [{ length = "2 m" }, { length = "2 m", turn = "90 deg" }]
spacing = "2 m"`, "moment = \"rigid\"\noffset = \"60 mm\"\nmass = \"1 kg\"\n[fitting.corner]\nmass = \"3 kg\"")
	s := solve(t, d)
	bay := s.Rails[0].Members[0].ID
	sol := s.model.Solve(loadAt(s, &d.Run, 0, l/2, solver.Vec{0, p, -p}))
	if m := sol.Diagram(bay).At(solver.MomentZ, l); math.Abs(m) > 1e-6*p {
		t.Errorf("a free corner passes %v N·m beside rigid fittings", m)
	}
	total := map[float64]float64{}
	for _, lump := range s.Lumps {
		total[s.Position(lump.Node)[0]] += lump.Mass
	}
	// Posts at x = 0 and 2 and, up the second leg, at x = 2: its rails run 60 mm to the left.
	if len(s.Lumps) != 4 || total[0] != 1 || total[2] != 1.5 || math.Abs(total[1.94]-2.5) > 1e-12 {
		t.Errorf("lumps %v at %v, want 1 kg at each end and 3 kg at the corner by halves", s.Lumps, total)
	}
}

// TestSpliceMoment loads the middle of one bay between two stiff posts, where a splice of
// stiffness k stands: PL³/48EI, and its kink PL/4k times L/4. Rigid, the rail bends as if whole.
func TestSpliceMoment(t *testing.T) {
	outside := compared(t, "moment of a splice on a slope")
	const p, l, source = 1000.0, 2.0, "beam tables: simple span, load amid; the kink by geometry"
	const pitch = 30 * math.Pi / 180
	for _, c := range []struct {
		moment string
		give   float64 // rad per N·m
	}{{`"rigid"`, 0}, {`"2 kNm/rad"`, 1. / 2e3}, {`"1.5 kip-ft/rad"`, 1 / (1.5 * 4448.2216152605 * 0.3048)}} {
		d := oneRail(t, "posts = [\"0 m\", \"2 m\"]\npitch = \"30 deg\"", "")
		d.Rails[0].SpliceMoment = spliceMoment(t, c.moment)
		d.Rails[0].Splices = []float64{l / 2}
		stiffen(d)
		s := solve(t, d)
		ei := d.Rails[0].Grade.E * d.Rails[0].Ring.I
		want := l*l*l/48/ei + l*l/16*c.give
		sol := s.model.Solve(loadAt(s, &d.Run, 0, l/2, solver.Vec{0, p, -p}))
		g := sol.Diagram(s.Rails[0].Members[1].ID)
		outside.within(c.moment+" across", g.At(solver.MoveY, 0), p*want, 1e-4, source)
		outside.within(c.moment+" square to the slope", g.At(solver.MoveZ, 0), -p*math.Cos(pitch)*want, 1e-4, source)
		if got := said(s.Held); len(got) != 2 {
			t.Errorf("a splice passes no twist, so both pieces are held: %q", got)
		}
	}
}

// spliceMoment reads what a splice passes.
func spliceMoment(t *testing.T, value string) barrier.Joint {
	t.Helper()
	d := parse(t, `basis = "EN"
run = { length = "6 m", spacing = "1.5 m" }
post = { tube = "EN 10255 DN40 medium", grade = "S195T" }
[[rail]]
height = "1100 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
splices = ["3.3 m"]
splice_moment = `+value+`
splice_moment_resistance = "0.9 kNm"
values = "characteristic"
values_factor = 1.5
[[load]]
kind = "point"
value = "1 kN"
direction = "outward"
`)
	rail := d.Rails[0]
	if rail.SpliceMomentResistance == nil || *rail.SpliceMomentResistance != 900 || rail.SpliceValues != barrier.Characteristic || rail.SpliceValuesFactor != 1.5 {
		t.Errorf("resistance of the splice read as %v, %q, %v", rail.SpliceMomentResistance, rail.SpliceValues, rail.SpliceValuesFactor)
	}
	return rail.SpliceMoment
}

// TestHeldSpinRoundCorners says where each piece is kept from spinning on a run with corners
// and gaps, once each.
func TestHeldSpinRoundCorners(t *testing.T) {
	const corner = "legs = [{ length = \"4 m\" }, { length = \"4 m\", turn = \"90 deg\" }]\nspacing = \"2 m\"\n"
	const held = `{ kind = "wall", rotation = ["run"] }`
	for _, c := range []struct {
		name, run, fitting string
		splices            []float64
		cut                bool
		want               []string
	}{
		{"corner", corner, "", nil, false, []string{"rail top from x = 0.000 m: spin held at post 1", "rail top from x = 4.000 m: spin held at post 3"}},
		{"gripped, and a free corner", corner, `moment = "gripped"`, nil, false, nil},
		{"gripped beyond a splice, and a free corner", corner, `moment = "gripped"`, []float64{5}, false, []string{"rail top from x = 4.000 m: spin held at post 3"}},
		{"free, and a gripped corner", corner, "[fitting.corner]\nmoment = \"gripped\"", nil, false, nil},
		{"gripped corner", corner, "moment = \"gripped\"\n[fitting.corner]\nmoment = \"gripped\"", nil, false, nil},
		{"corner with a wall that holds", corner + "end = " + held, "", nil, false, []string{"rail top from x = 0.000 m: spin held at post 1"}},
		{"splice, corner and a wall that holds", corner + "end = " + held, "", []float64{2.3, 6.3}, false, []string{"rail top from x = 0.000 m: spin held at post 1", "rail top from x = 2.300 m: spin held at post 3", "rail top from x = 4.000 m: spin held at post 3"}},
		{"cut", corner, "", nil, true, []string{"rail top from x = 0.000 m: spin held at post 1", "rail top from x = 2.000 m: spin held at post 2", "rail top from x = 4.000 m: spin held at post 3", "rail top from x = 6.000 m: spin held at post 4"}},
		{"gap at the corner, behind it", corner, "[[gap]]\nfrom = \"4 m\"\nto = \"6 m\"", nil, false, []string{"rail top from x = 0.000 m: spin held at post 1", "rail top from x = 6.000 m: spin held at post 4"}},
		{"gap at the corner, before it, and a wall that holds", corner + "end = " + held, "[[gap]]\nfrom = \"2 m\"\nto = \"4 m\"", nil, false, []string{"rail top from x = 0.000 m: spin held at post 1"}},
		{"wall that lets turn, splice in its bay", corner + "start = \"wall\"", "moment = \"gripped\"\n[fitting.corner]\nmoment = \"gripped\"", []float64{1}, false, []string{"rail top from x = 0.000 m: spin held in the wall at the start"}},
		{"splice to wall", corner + "end = \"wall\"", "", []float64{7}, false, []string{"rail top from x = 0.000 m: spin held at post 1", "rail top from x = 4.000 m: spin held at post 3", "rail top from x = 7.000 m: spin held in the wall at the end"}},
	} {
		d := oneRail(t, c.run, c.fitting)
		d.Rails[0].Splices, d.Rails[0].Through = c.splices, !c.cut
		if got := said(solve(t, d).Held); !slices.Equal(got, c.want) {
			t.Errorf("%s: held %q, want %q", c.name, got, c.want)
		}
	}
}

// TestEveryCourseStands builds frames of random legs, slopes, gaps, walls, splices and joints,
// loads them anyhow and asks for equilibrium of the whole: what the ground does to feet and
// walls balances the load in force and in moment about the origin.
func TestEveryCourseStands(t *testing.T) {
	base := oneRail(t, `posts = ["0 m", "1.5 m"]`, "")
	rapid.Check(t, func(t *rapid.T) {
		d := *base
		d.Run = randomCourse(t)
		d.Fitting.Offset = rapid.SampledFrom([]float64{0, 0.05, -0.05}).Draw(t, "offset")
		d.Fitting.Mass, d.Fitting.Corner.Mass = 1, 1
		joints := []barrier.Joint{{}, {Kind: "gripped", Stiffness: [3]float64{math.Inf(1), 0, 0}}, {Kind: "stiffness", Stiffness: [3]float64{0, 0, 4e3}}}
		l := barrier.Layout{FootStiffness: 100e3, Joint: rapid.SampledFrom(joints).Draw(t, "joint"), Corner: rapid.SampledFrom(joints).Draw(t, "corner")}
		rail := barrier.Joints{Cut: rapid.Bool().Draw(t, "cut"), Moment: rapid.SampledFrom(joints).Draw(t, "splice moment")}
		supports := d.Run.Supports()
		for _, s := range d.Run.Stretches() {
			for i := s.First + 1; i < s.Last && !rail.Cut; i++ { // never in its last bay: one bay stays whole
				if rapid.Bool().Draw(t, "splice") {
					rail.Splices = append(rail.Splices, (supports[i-1]+supports[i])/2)
				}
			}
		}
		l.Rails = []barrier.Joints{rail}
		f := d.Frame(l)
		model, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		judgeCourse(t, &d, f)
		m := f.Rails[0].Members[rapid.IntRange(0, len(f.Rails[0].Members)-1).Draw(t, "member")]
		load := solver.Vec{300, 1000, -500}
		station := (m.To - m.From) / 3
		sol := model.Solve(solver.Case{Points: []solver.PointLoad{{Member: m.ID, At: station, Force: load}}})
		start, along := f.Position(m.Start), d.Run.RailAxes(m.Leg)[0]
		var at solver.Vec
		for k := range at {
			at[k] = start[k] + station*along[k]
		}
		force, moment := load, cross(at, load)
		for _, r := range sol.Reactions {
			var one solver.Vec
			one[r.Freedom%3] = r.Value
			if r.Freedom > solver.UZ {
				add(&moment, one)
				continue
			}
			add(&force, one)
			add(&moment, cross(f.Position(r.Node), one))
		}
		for k := range force {
			if math.Abs(force[k]) > 1e-5 || math.Abs(moment[k]) > 1e-4 || sol.Imbalance > 1e-8 {
				t.Fatalf("what is left of the load is %v and %v, imbalance %v", force, moment, sol.Imbalance)
			}
		}
	})
}

func cross(a, b solver.Vec) solver.Vec {
	return solver.Vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func add(a *solver.Vec, b solver.Vec) {
	for k := range a {
		a[k] += b[k]
	}
}

// randomCourse returns a run of random legs with gaps and walls where it draws them. Its legs
// may cross.
func randomCourse(t *rapid.T) barrier.Run {
	run := barrier.Run{Hazard: rapid.SampledFrom([]barrier.Side{barrier.Left, barrier.Right}).Draw(t, "hazard")}
	x := rapid.Float64Range(-5, 5).Draw(t, "first")
	places := []float64{x}
	for i := range rapid.IntRange(1, 4).Draw(t, "legs") {
		leg := barrier.Leg{From: x, Pitch: rapid.SampledFrom([]float64{0, 0.5, -1}).Draw(t, "pitch")}
		if i > 0 {
			leg.Turn = rapid.SampledFrom([]float64{math.Pi / 2, -math.Pi / 2, 0.3, -2.5}).Draw(t, "turn")
		}
		for range rapid.IntRange(1, 4).Draw(t, "bays") {
			x += rapid.Float64Range(0.8, 2.5).Draw(t, "bay")
			places = append(places, x)
		}
		leg.To = x
		run.Legs = append(run.Legs, leg)
	}
	last := len(places) - 1
	for i := 1; i+1 < last; i++ {
		if rapid.IntRange(0, 3).Draw(t, "gap") == 0 {
			run.Gaps = append(run.Gaps, barrier.Gap{From: places[i], To: places[i+1]})
			i++
		}
	}
	wall := func(x float64) barrier.End {
		if !rapid.Bool().Draw(t, "wall") {
			return barrier.End{}
		}
		return barrier.End{Wall: true, X: x, AlongHeld: rapid.Bool().Draw(t, "along"), Rotation: [3]bool{rapid.Bool().Draw(t, "spin")}}
	}
	run.Posts = places
	if run.Start = wall(places[0]); run.Start.Wall {
		run.Posts = run.Posts[1:]
	} else {
		run.Overhang[0] = randomOverhang(t)
	}
	if len(run.Posts) < 2 {
		return run
	}
	if run.End = wall(x); run.End.Wall {
		run.Posts = run.Posts[:len(run.Posts)-1]
	} else {
		run.Overhang[1] = randomOverhang(t)
	}
	return run
}

// judgeCourse follows a rail: its members lie end to end but at gaps, each in its leg and its
// bay, where the path says; every post is gripped once on every side that has a rail.
func judgeCourse(t *rapid.T, d *barrier.Definition, f *barrier.Frame) {
	rail, run := f.Rails[0], &d.Run
	at, end := run.RailEnds()
	supports := run.Supports()
	y := run.Hazard.Outward() * d.Fitting.Offset
	for _, m := range rail.Members {
		if m.From != at {
			if bay := d.BayOf((at + m.From) / 2); !run.IsGap(bay) || supports[bay] != at || supports[bay+1] != m.From {
				t.Fatalf("no member from %v to %v", at, m.From)
			}
		}
		if mid := (m.From + m.To) / 2; m.Leg != run.LegOf(mid) || m.Bay >= 0 && m.Bay < len(supports)-1 && (m.Bay != d.BayOf(mid) || run.IsGap(m.Bay)) {
			t.Fatalf("member from %v to %v is said to be in leg %d, bay %d", m.From, m.To, m.Leg, m.Bay)
		}
		if got, want := f.Position(m.Start), run.At(m.Leg, m.From, y, d.Rails[0].Height); got != want {
			t.Fatalf("member from %v starts at %v, want %v", m.From, got, want)
		}
		if length := f.Length(m.ID); math.Abs(length-(m.To-m.From)) > 1e-9 {
			t.Fatalf("member from %v to %v is %v long", m.From, m.To, length)
		}
		at = m.To
	}
	if at != end {
		t.Fatalf("the rail ends at %v, want %v", at, end)
	}
	for i, g := range rail.Grips {
		support := run.PostSupport(i)
		atStart := support == 0 && run.Overhang[0] == 0
		atEnd := support == len(supports)-1 && run.Overhang[1] == 0
		if none := run.IsGap(support-1) || atStart; (g.LeftID < 0) != none {
			t.Fatalf("grip %d has member %d before it", i, g.LeftID)
		}
		if none := run.IsGap(support) || atEnd; (g.RightID < 0) != none {
			t.Fatalf("grip %d has member %d after it", i, g.RightID)
		}
		if run.IsCorner(i) && g.LeftID >= 0 && g.RightID >= 0 && g.ContinuousThrough {
			t.Fatalf("the rail runs through the corner at post %d", i+1)
		}
	}
}

// TestLanding reads a whole file with legs, a slope, a gap, a gate, a corner fitting and splices
// that pass a moment, and compares what it assumes with the golden beside it.
func TestLanding(t *testing.T) {
	d := parseFile(t, "testdata/landing.toml")
	got := strings.Join(slices.Concat([]string{"assumptions:"}, said(d.Assumptions), []string{"cautions:"}, said(d.Cautions)), "\n") + "\n"
	golden.Check(t, "testdata/landing.txt", []byte(got))
	corner := d.Fitting.Corner
	if corner.Moment.Stiffness != [3]float64{0, 4e3, 4e3} || corner.Mass != 0.9 || *corner.MomentResistance != 600 || corner.Values != barrier.Design {
		t.Errorf("corner fitting %+v", corner)
	}
	if d.Rails[1].SpliceState != barrier.SplicesNotNeeded || d.Rails[0].SpliceMoment.Kind != barrier.RigidJoint {
		t.Errorf("knee rail's splices %q, top rail's moment %v", d.Rails[1].SpliceState, d.Rails[0].SpliceMoment)
	}
	solve(t, d)
}

// TestProposalsRoundCorners proposes splices for runs with corners and gaps: to each stretch
// belong those of a run of its own posts, and where one has none there are none at all.
func TestProposalsRoundCorners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		run := randomCourse(t)
		stock := rapid.Float64Range(2, 8).Draw(t, "stock")
		var want []float64
		wantOK := true
		supports := run.Supports()
		for _, s := range run.Stretches() {
			alone := barrier.Run{Posts: supports[s.First : s.Last+1], Overhang: [2]float64{supports[s.First] - s.From, s.To - supports[s.Last]}}
			if alone.Overhang[0] > 0 { // as the run has it, to the last bit
				alone.Overhang[0] = run.Overhang[0]
			}
			if alone.Overhang[1] > 0 {
				alone.Overhang[1] = run.Overhang[1]
			}
			proposed, ok := barrier.ProposeSplices(alone, stock)
			want, wantOK = append(want, proposed...), wantOK && ok
		}
		if !wantOK {
			want = nil
		}
		if got, ok := barrier.ProposeSplices(run, stock); ok != wantOK || !slices.Equal(got, want) {
			t.Fatalf("ProposeSplices = %v, %v; want %v, %v (source: each stretch alone)", got, ok, want, wantOK)
		}
	})
}

// TestPiecesEndAtCorners says when splices are asked for: where a stretch is longer than stock,
// not where the run is.
func TestPiecesEndAtCorners(t *testing.T) {
	for _, c := range []struct {
		run, gaps string
		want      barrier.SpliceState
	}{
		{"legs = [{ length = \"6 m\" }, { length = \"6 m\", turn = \"90 deg\" }]", "", barrier.SplicesNotNeeded},
		{"legs = [{ length = \"6 m\" }, { length = \"7.5 m\", turn = \"90 deg\" }]", "", barrier.SplicesUnknown},
		{"legs = [{ length = \"6 m\" }, { length = \"6 m\", turn = \"90 deg\" }]\noverhang = \"100 mm\"", "", barrier.SplicesUnknown},
		{"length = \"12 m\"", "", barrier.SplicesUnknown},
		{"length = \"12 m\"", "[[gate]]\nfrom = \"5.5 m\"\nto = \"6.5 m\"\n", barrier.SplicesNotNeeded},
		{"length = \"12 m\"", "[[gate]]\nfrom = \"1.5 m\"\nto = \"2.5 m\"\n", barrier.SplicesUnknown},
	} {
		d := parse(t, "basis = \"EN\"\n[run]\nspacing = \"1.5 m\"\n"+c.run+`
[post]
tube = "EN 10255 DN40 medium"
grade = "S195T"
[[rail]]
height = "1100 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
through = true
[[load]]
kind = "point"
value = "1 kN"
direction = "outward"
`+c.gaps)
		if got := d.Rails[0].SpliceState; got != c.want {
			t.Errorf("%s\n%s: splices %s, want %s (source: lengths by hand against 6 m)", c.run, c.gaps, got, c.want)
		}
	}
}

// TestSplicesInEveryBayOfAStretch holds the rule for given splices on corners and gaps to the
// frame: with a splice in every bay of a stretch, and no wall that clamps, the rail is a
// mechanism, and a bay without one saves it.
func TestSplicesInEveryBayOfAStretch(t *testing.T) {
	const corner = "legs = [{ length = \"4 m\" }, { length = \"4 m\", turn = \"90 deg\" }]\nspacing = \"2 m\"\n"
	for _, c := range []struct {
		run     string
		splices []float64
		moves   bool
	}{
		{corner, []float64{1, 3}, true}, {corner, []float64{1}, false}, {corner, []float64{1, 5}, false}, {corner, []float64{1, 5, 7}, true},
		{corner + "end = { kind = \"wall\", rotation = \"held\" }", []float64{1, 5, 7}, false},
		{corner + "end = { kind = \"wall\", rotation = \"held\" }", []float64{1, 3}, true},
		{corner + "start = { kind = \"wall\", rotation = \"held\" }", []float64{1, 3, 5}, false},
		{corner + "start = { kind = \"wall\", rotation = \"held\" }", []float64{5, 7}, true},
	} {
		text := make([]string, len(c.splices))
		for i, x := range c.splices {
			text[i] = fmt.Sprintf("%q", fmt.Sprintf("%v m", x))
		}
		_, err := barrier.Parse("x.toml", []byte(`basis = "EN"
[run]
`+c.run+`
[post]
tube = "EN 10255 DN40 medium"
grade = "S195T"
[[rail]]
height = "1100 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
splices = [`+strings.Join(text, ", ")+`]
[[load]]
kind = "point"
value = "1 kN"
direction = "outward"
`))
		if refused := err != nil && strings.Contains(err.Error(), "mechanism"); refused != c.moves {
			t.Errorf("%s, splices at %v: Parse = %v, want refused %v", c.run, c.splices, err, c.moves)
		}
		d := oneRail(t, c.run, "")
		l := barrier.Layout{FootStiffness: 100e3, Rails: []barrier.Joints{{Splices: c.splices}}}
		_, err = d.Frame(l).Factorise()
		if _, moves := errors.AsType[*solver.MechanismError](err); moves != c.moves {
			t.Errorf("%s, splices at %v: the frame gives %v, want a mechanism %v", c.run, c.splices, err, c.moves)
		}
	}
}

// TestLegsThatCross reads courses drawn on squared paper, turns to the left unless said.
func TestLegsThatCross(t *testing.T) {
	for _, c := range []struct {
		name, legs string
		refused    bool
	}{
		{"spiral inwards", `{ length = "6 m" }, { length = "6 m", turn = "90 deg" }, { length = "5 m", turn = "90 deg" }, { length = "5 m", turn = "90 deg" }, { length = "4 m", turn = "90 deg" }`, false},
		{"back and forth", `{ length = "6 m" }, { length = "1 m", turn = "90 deg" }, { length = "6 m", turn = "90 deg" }, { length = "1 m", turn = "-90 deg" }, { length = "9 m", turn = "-90 deg" }`, false},
		{"ends on its first leg", `{ length = "6 m" }, { length = "3 m", turn = "90 deg" }, { length = "3 m", turn = "90 deg" }, { length = "3 m", turn = "90 deg" }`, true},
		{"runs back on its first leg", `{ length = "6 m" }, { length = "3 m", turn = "120 deg" }, { length = "3 m", turn = "120 deg" }, { length = "2 m", turn = "120 deg" }`, true},
		{"meets its own start", `{ length = "3 m" }, { length = "3 m", turn = "120 deg" }, { length = "3 m", turn = "120 deg" }`, true},
		{"two steep legs are short in plan", `{ length = "3 m" }, { length = "4 m", turn = "90 deg", pitch = "60 deg" }, { length = "2 m", turn = "90 deg" }, { length = "1.9 m", turn = "90 deg" }`, false}, // 2 m across in plan
		{"level they cross", `{ length = "3 m" }, { length = "1.8 m", turn = "90 deg" }, { length = "2 m", turn = "90 deg" }, { length = "1.9 m", turn = "90 deg" }`, true},
	} {
		_, err := barrier.Parse("x.toml", []byte("basis = \"EN\"\n[run]\nlegs = ["+c.legs+"]\nspacing = \"1.5 m\"\n"))
		if refused := strings.Contains(err.Error(), "crosses or meets"); refused != c.refused {
			t.Errorf("%s: refused %v, want %v (source: drawn by hand): %v", c.name, refused, c.refused, err)
		}
	}
}
