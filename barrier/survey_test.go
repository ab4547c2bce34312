package barrier_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

const surveyedRun = `basis = %q
[run]
length = "6 m"
spacing = "1.5 m"
toe_plate = "none"
[post]
tube = %s
grade = { fy = "235 MPa", fu = "360 MPa" }
height = "1100 mm"
[post.base]
stiffness = "150 kNm/rad"
[[rail]]
name = "top"
height = "1100 mm"
tube = %[2]s
grade = { fy = "235 MPa", fu = "360 MPa" }
through = true
[[load]]
kind = "point"
value = "0.5 kN"
direction = "outward"
[limits]
deflection = "30 mm"
%s`

func surveyed(t *testing.T, basis, tube, survey string) *barrier.Definition {
	t.Helper()
	d, err := barrier.Parse("surveyed.toml", fmt.Appendf(nil, surveyedRun, basis, tube, survey))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// What readings leave of a tube: the measured wall counts, what only the wall tells is lost outside, and no
// diameter counts above nominal. Under AISC 360 a measured wall counts whole, others by 0.93 (B4.2).
func TestMeasuredSections(t *testing.T) {
	const own = `{ od = "48.3 mm", wall = "3.2 mm" }`
	const ownUS = `{ od = "48.3 mm", wall = "3.2 mm", wall_is = "nominal" }`
	for _, c := range []struct {
		basis, tube, readings string
		od, wall              float64 // mm
	}{
		{"EN", own, `wall = "2.4 mm"`, 46.7, 2.4},
		{"EN", own, `wall = ["2.9 mm", "2.4 mm", "2.6 mm"]`, 46.7, 2.4},
		{"EN", own, "wall = \"2.4 mm\"\nod = [\"48.0 mm\", \"47.6 mm\"]", 47.6, 2.4},
		{"EN", own, "wall = \"3.0 mm\"\nod = \"48.9 mm\"", 48.3, 3},
		{"EN", own, `wall = "3.4 mm"`, 48.3, 3.4},
		{"EN", own, `od = "47.5 mm"`, 47.5, 2.8},
		{"EN", own, `od = "48.6 mm"`, 48.3, 3.2},
		{"AISC-LRFD", ownUS, `wall = "3.1 mm"`, 48.1, 3.1},
		{"AISC-LRFD", ownUS, `od = "47.9 mm"`, 47.9, 0.93*3.2 - 0.2},
	} {
		d := surveyed(t, c.basis, c.tube, "[[survey.post]]\npost = 3\n"+c.readings+"\n[[survey.rail]]\nrail = \"top\"\n"+c.readings)
		for what, m := range map[string]*barrier.Member{"post 3": d.PostMember(2), "rail top": &d.Rails[0].Member} {
			if math.Abs(m.Ring.OD*1e3-c.od) > 1e-9 || math.Abs(m.Ring.Wall*1e3-c.wall) > 1e-9 {
				t.Errorf("%s, %s: %s counts as %.3f x %.3f mm, want %.3f x %.3f", c.basis, c.readings, what, m.Ring.OD*1e3, m.Ring.Wall*1e3, c.od, c.wall)
			}
			if m.BuiltOD() != 48.3e-3 {
				t.Errorf("%s was built %v m wide", what, m.BuiltOD())
			}
		}
		if d.PostMember(1).Wear != nil || d.PostMember(1).Ring != d.Post.Ring {
			t.Errorf("%s: post 2 is not as new", c.readings)
		}
		fresh, bare := d.AsBuilt(), surveyed(t, c.basis, c.tube, "")
		if fresh.Rails[0].Ring != bare.Rails[0].Ring || fresh.PostMember(2).Ring != bare.Post.Ring || fresh.Survey != nil {
			t.Errorf("%s: as built it is not the barrier without a survey", c.readings)
		}
	}
}

// A rail that is cut at every post is cut at none that it is not joined to, and each of its pieces stands on
// two that it is.
func TestCutsWithoutFittings(t *testing.T) {
	for _, missing := range []string{"", "[1]", "[2]", "[3]", "[5]", "[2, 4]", "[1, 2]", "[1, 2, 5]", "[1, 3, 5]"} {
		survey := ""
		if missing != "" {
			survey = "[[survey.fitting]]\npost = " + missing + "\nrail = \"top\"\nfound = \"missing\"\n"
		}
		d := surveyed(t, "EN", `{ od = "48.3 mm", wall = "3.2 mm" }`, survey)
		var on int
		cuts := d.CutsAtPosts(0)
		for post := range cuts {
			joined := d.FittingAt(post, 0) != barrier.FittingMissing
			if cuts[post] && (!joined || post == 0 || post == len(cuts)-1) {
				t.Errorf("%s missing: cut at post %d", missing, post+1)
			}
			if joined {
				on++
			}
			if cuts[post] || post == len(cuts)-1 {
				if on < 2 {
					t.Errorf("%s missing: a piece up to post %d stands on %d", missing, post+1, on)
				}
				on = 1
			}
		}
		if missing == "" && (!cuts[1] || !cuts[2] || !cuts[3]) {
			t.Errorf("cuts %v", cuts)
		}
	}
}

// A foot of its own is that of its post alone, and of a copy.
func TestWithFoot(t *testing.T) {
	d := surveyed(t, "EN", `{ od = "48.3 mm", wall = "3.2 mm" }`, "[[survey.post]]\npost = [4, 2]\nfoot = \"40 kNm/rad\"\n")
	e := d.WithFoot(2, 20e3).WithFoot(3, 10e3)
	if got := fmt.Sprint(e.FeetOn(150e3), d.FeetOn(150e3)); got != "[150000 40000 20000 10000 150000] [150000 40000 150000 40000 150000]" {
		t.Errorf("feet %s", got)
	}
	if e.FootOf(2, 150e3) != 20e3 || d.FootOf(2, 150e3) != 150e3 || e.Survey.FeetAlone || !e.HasOwnFeet() {
		t.Errorf("foot of post 3: %v, of the file %v", e.FootOf(2, 150e3), d.FootOf(2, 150e3))
	}
	said := false
	for _, s := range d.Assumptions {
		said = said || strings.Contains(s.In(d.Units), "The foot of post 4 was found loose: it has 40 kNm/rad")
	}
	if bare := surveyed(t, "EN", `{ od = "48.3 mm", wall = "3.2 mm" }`, ""); !bare.WithFoot(0, 1).Survey.FeetAlone || !said {
		t.Error("a foot alone is told as a survey of walls, or a loose foot is not said")
	}
}
