package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// A bay between a wall and a post is a simple span: statics.
func TestWallEnd(t *testing.T) {
	outside := compared(t, verification.Barriers, "end at a wall")
	s := lonePosts()
	s.run = "length = \"3 m\"\nspacing = \"1.5 m\"\nstart = \"wall\"\ntoe_plate = \"none\""
	s.knee = ""
	s.scope = "leave_out = [\"fitting\", \"geometry\"]"
	r := s.check(t)
	if len(r.Posts) != 2 || r.Posts[0].X != 1.5 || r.Posts[1].X != 3 {
		t.Fatalf("posts %+v, want two at 1.5 and 3 m: none stands at the wall", r.Posts)
	}
	end := func(extreme string) EndRow {
		for _, row := range r.Ends {
			if row.End == "start" && row.ExtremeOf == extreme {
				return row
			}
		}
		t.Fatalf("no wall end with %s largest among %+v", extreme, r.Ends)
		return EndRow{}
	}
	half := 1.35 * handWeight() * 1.5 / 2
	outside.near("wall, across, N", end("Fy").Fy, 1.5*600, 1e-5, "the load at the wall itself")
	outside.near("wall, down, N", end("Fz").Fz, -half, 1e-6, "half of the bay's weight")
	outside.near("wall, largest force, N", math.Hypot(end("F").Fy, end("F").Fz), math.Hypot(1.5*600, half), 1e-5, "both")
	if it := r.open("wall: force"); it == nil || r.Status != Incomplete {
		t.Errorf("the wall's demand is not open: status %s, unchecked %+v", r.Status, r.Unchecked)
	}
	if last := r.LoadPath[len(r.LoadPath)-1]; last.Link != "wall" || last.Status != Unchecked {
		t.Errorf("the load path ends with %+v, want the wall, unchecked", last)
	}
}

// Where no post is a free end the piece that EN ISO 14122-3 tests is checked too: it is
// the run of three posts with open ends.
func TestTestPiece(t *testing.T) {
	walls := throughRails()
	walls.run = "posts = [\"0 m\", \"1.2 m\", \"2.6 m\", \"3.9 m\"]\nstart = \"wall\"\nend = \"wall\"\ntoe_plate = \"none\""
	walls.load = machinery
	open := walls
	open.run = "posts = [\"0 m\", \"1.4 m\", \"2.8 m\"]\ntoe_plate = \"none\""
	a, b := walls.check(t), open.check(t)
	for i := range b.Checks {
		want := &b.Checks[i]
		got := a.row(t, want.ID, "test piece "+want.Element)
		if got.Demand != want.Demand || *got.Utilisation != *want.Utilisation || got.Load != want.Load {
			t.Errorf("%s of the test piece: %+v, want %+v", want.ID, got, want)
		}
	}
	if !strings.HasPrefix(a.Governing.Overall.Element, "test piece ") {
		t.Errorf("governed by %+v, want the test piece: walls hold the run", a.Governing.Overall)
	}
	if one := strings.Replace(walls.run, "end = \"wall\"", "end = \"free\"", 1); true {
		walls.run = one
		if r := walls.check(t); strings.Contains(strings.Join(elements(r), " "), "test piece") {
			t.Error("a run with a free end needs no test piece")
		}
	}
}

// What a run between walls and its test piece both leave open is told once, with the
// larger demand and the larger least foot stiffness.
func TestTestPieceLeavesOpen(t *testing.T) {
	walls := throughRails()
	walls.run = "posts = [\"0 m\", \"1.2 m\", \"2.6 m\", \"3.9 m\"]\nstart = \"wall\"\nend = \"wall\""
	walls.load, walls.base, walls.scope = machinery, "", "leave_out = [\"fitting\"]"
	open := walls
	open.run = "posts = [\"0 m\", \"1.4 m\", \"2.8 m\"]"
	a, b := walls.check(t), open.check(t)
	told := map[string]bool{}
	for _, it := range a.Unchecked {
		if strings.HasPrefix(it.Item, "test piece ") || told[it.Item] {
			t.Errorf("%q is told beside what the run leaves open, or twice", it.Item)
		}
		told[it.Item] = true
	}
	own, piece := a.open("socket, foot and ground: moment"), b.open("socket, foot and ground: moment")
	if own == nil || piece == nil || own.Demand != piece.Demand || own.Item != "socket, foot and ground: moment (largest: test piece post 1)" {
		t.Errorf("base moment %+v, want that of the test piece %+v", own, piece)
	}
	if *a.Foot.LeastStiffness != *b.Foot.LeastStiffness {
		t.Errorf("least foot stiffness %v, want that of the test piece %v", *a.Foot.LeastStiffness, *b.Foot.LeastStiffness)
	}
	if it, other := a.open("deflection"), b.open("deflection"); it == nil || it.Reason != other.Reason || it.Demand != other.Demand {
		t.Errorf("deflection %+v, want it as of the test piece %+v", it, other)
	}
}

func elements(r *Result) []string {
	var all []string
	for _, c := range r.Checks {
		all = append(all, c.Element)
	}
	return all
}

// A load on the tip of an overhang a levers its post: P (1 + a/L), statics of two posts.
func TestOverhang(t *testing.T) {
	outside := compared(t, verification.Barriers, "overhang")
	s := lonePosts()
	s.run = "length = \"1.5 m\"\nspacing = \"1.5 m\"\noverhang = [\"0 mm\", \"300 mm\"]\ntoe_plate = \"none\""
	s.top, s.knee = through, ""
	d := s.definition(t)
	r := result(t, d, Options{})
	outside.near("base moment of the end post, Nm", r.Posts[1].BaseMoment, 1.5*600*1.1*(1+0.3/1.5), 1e-5, "P (1 + a/L) h")
	outside.near("rail moment, Nm", r.Rails[0].Moment, math.Max(math.Hypot(1.5*600*1.5/4, 1.35*weightMoment()), 1.5*600*0.3), 0.02, "P L/4 or P a")
	for _, c := range r.HandChecks {
		if strings.HasPrefix(c.What, "rail moment") && math.Abs(c.Ratio-1) > 0.02 {
			t.Errorf("%s: hand %v, frame %v", c.What, c.Hand, c.Frame)
		}
	}
}

// weightMoment is the moment of the rail's weight in the middle of its bay of 1.5 m, with
// an overhang of 0.3 m at one end: g L²/8 - g a²/4.
func weightMoment() float64 { return handWeight() * (1.5*1.5/8 - 0.3*0.3/4) }

// The hazard on the right mirrors the barrier: every number stays, base moments turn.
func TestHazardRight(t *testing.T) {
	s := throughRails()
	left := s.check(t)
	s.run += "\nhazard = \"right\""
	right := s.check(t)
	for i := range left.Posts {
		near(t, "base moment", right.Posts[i].BaseMoment, left.Posts[i].BaseMoment, 1e-6, "mirror image")
		near(t, "movement", right.Posts[i].TopDeflection, left.Posts[i].TopDeflection, 1e-6, "mirror image")
	}
	for i := range left.BaseActions {
		if a, b := left.BaseActions[i], right.BaseActions[i]; a.ExtremeOf == "M" && math.Abs(a.Mx+b.Mx) > 1e-5 {
			t.Errorf("post %d: Mx %v and %v, want them opposite", a.Post, a.Mx, b.Mx)
		}
	}
}

// A barrier and its mirror image, start for end, have the same utilisations and demands,
// whatever its ends and joints: the search must not know which way a rail is laid.
func TestMirrorImage(t *testing.T) {
	const values = "\nvalues = \"design\"\nslip_force = \"90 kN\"\ntransverse_force = \"90 kN\"\nslip_moment = \"5 kNm\"\nmoment_resistance = \"6 kNm\""
	ends := [][2]string{
		{"overhang = [\"900 mm\", \"0 mm\"]", "overhang = [\"0 mm\", \"900 mm\"]"},
		{"start = \"wall\"", "end = \"wall\""},
		{"start = { kind = \"wall\", along = \"held\", rotation = \"held\" }", "end = { kind = \"wall\", along = \"held\", rotation = \"held\" }"},
		{"start = \"wall\"\noverhang = [\"0 mm\", \"300 mm\"]", "end = \"wall\"\noverhang = [\"300 mm\", \"0 mm\"]"},
	}
	for _, joint := range []string{"\"free\"", "\"gripped\"", "\"rigid\"", "\"20 kNm/rad\""} {
		for _, e := range ends {
			for _, direction := range []string{"outward", "down", "along"} {
				var both [2]*Result
				for i, end := range e {
					s := lonePosts()
					s.run = "length = \"4.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"\n" + end
					s.top, s.knee, s.fitting = "through = true\nstock = \"9 m\"", "", "moment = "+joint+values
					s.load = strings.NewReplacer("outward", direction, "600 N", "1.2 kN").Replace(outward)
					s.scope = "leave_out = [\"base\", \"geometry\"]"
					both[i] = s.check(t)
				}
				a, b := both[0], both[1]
				name := joint + ", " + e[0] + ", " + direction
				for _, id := range []string{"post-bending", "post-shear", "post-interaction", "rail-bending", "rail-shear", "rail-torsion", "rail-interaction", "fitting-force", "fitting-slip", "fitting-twist", "fitting-moment", "fitting-together"} {
					if x, y := a.largest(id), b.largest(id); math.Abs(x-y) > 1e-6*(1+math.Abs(x)) {
						t.Errorf("%s: %s is %v, its mirror image %v", name, id, x, y)
					}
				}
				last := len(a.Posts) - 1
				for i := range a.Posts {
					if x, y := a.Posts[i].BaseMoment, b.Posts[last-i].BaseMoment; math.Abs(x-y) > 1e-5*(1+x) {
						t.Errorf("%s: base moment of post %d is %v Nm, of its mirror image %v", name, i+1, x, y)
					}
				}
			}
		}
	}
}

// A load on the tip of an overhang whose joints clamp it: M = P a, statics; at the start
// as at the end.
func TestClampedOverhang(t *testing.T) {
	outside := compared(t, verification.Barriers, "clamped overhang")
	for _, overhang := range []string{"[\"900 mm\", \"0 mm\"]", "[\"0 mm\", \"900 mm\"]"} {
		s := lonePosts()
		s.run = "length = \"1.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"\noverhang = " + overhang
		s.top, s.knee, s.fitting = through, "", "moment = \"rigid\"\nvalues = \"design\"\nslip_force = \"9 kN\"\ntransverse_force = \"9 kN\"\nslip_moment = \"5 kNm\"\nmoment_resistance = \"6 kNm\""
		s.scope = "leave_out = [\"base\", \"geometry\"]"
		r := s.check(t)
		want := math.Hypot(1.5*600*0.9, 1.35*handWeight()*0.9*0.9/2)
		outside.near("rail moment with "+overhang+", Nm", r.Rails[0].Moment, want, 1e-4*want, "P a, with the weight of the overhang g a²/2")
	}
}
