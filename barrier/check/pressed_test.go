package check

import (
	"math"
	"slices"
	"testing"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
)

// pressedPair is two posts and a rail on them, with loads across and down.
func pressedPair(loads string) string {
	return `basis = "EN"
[run]
length = "2.4 m"
spacing = "2.4 m"
[post]
tube = "EN 10219 48.3x3.2"
grade = "S355J2H"
[post.base]
stiffness = "50 kNm/rad"
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10219 48.3x3.2"
grade = "S355J2H"
through = true
[fitting]
moment = "free"
[limits]
deflection = "25 mm"
[scope]
leave_out = ["fitting", "base", "geometry"]
` + loads
}

// leanAndPress is 0.36 kN/m outward on the rail, with a line that presses it down.
func leanAndPress(press string) string {
	return `
[[load]]
name = "lean"
kind = "line"
value = "0.36 kN/m"
direction = "outward"
with = ["press"]
[[load]]
name = "press"
kind = "line"
value = "` + press + `"
direction = "down"
`
}

// swayUnder returns the movement, m, of the top of a post of height h on a foot of stiffness k under a force H
// across and N down at its top. From EI v” = H (h - x) + N (δ - v), v(0) = 0, v'(0) = (H h + N δ) / k.
// Derived from the differential equation of a pressed beam.
func swayUnder(h, ei, k, across, down float64) float64 {
	alpha := math.Sqrt(down / ei)
	tan := math.Tan(alpha * h)
	return across/down*tan/alpha/(1-down*tan/(k*alpha)) - across*h/down
}

// A rail moves with posts that another load presses: its own compression is nothing. The middle of the rail moves by
// the sway of the posts, and by 5 q L⁴ / 384 E I. All that is vertical pushes across
// by 1/200 of it: the frame is out of true (EN 1993-1-1 5.3.2).
func TestRailMovesWithPressedPosts(t *testing.T) {
	r := result(t, parse(t, pressedPair(leanAndPress("1.6 kN/m"))), Options{})
	const (
		h, l, k = 1.1, 2.4, 50e3
		across  = 0.36e3
		down    = 1.6e3
		slope   = 1.0 / 200
	)
	ring := math.Pi / 64 * (math.Pow(48.3e-3, 4) - math.Pow(41.9e-3, 4))
	ei := 210e9 * ring
	weight := 7850 * 9.80665 * math.Pi / 4 * (math.Pow(48.3e-3, 2) - math.Pow(41.9e-3, 2)) // N/m
	n := down*l/2 + weight*(l/2+h/2)                                                       // half of a post's own weight acts at its top, about
	want := swayUnder(h, ei, k, across*l/2+slope*n, n) + 5*(across+slope*(down+weight))*math.Pow(l, 4)/(384*ei)
	const near = 5e-4 // the weight of a post is spread along it
	row := r.row(t, "rail-deflection", "rail top bay 1")
	compared(t, verification.Stability, "rail on pressed posts").near("movement at mid-bay, mm", row.Demand, want*1e3, near*want*1e3, "derived: differential equation of a pressed beam")
	if row.Status != Fail {
		t.Errorf("%.2f mm of 25 mm is %s", row.Demand, row.Status)
	}
	if got := r.Rails[0].Deflection; math.Abs(got-row.Demand) > 1e-6*got {
		t.Errorf("the table of rails has %v mm, the check %v mm", got, row.Demand)
	}
}

// A load that points across and down is the same as one of each, at once.
func TestLoadInTwoPartsPressesAsOne(t *testing.T) {
	parts := result(t, parse(t, pressedPair(leanAndPress("0.48 kN/m"))), Options{})
	whole := result(t, parse(t, pressedPair(`
[[load]]
kind = "line"
value = "0.6 kN/m"
direction = { azimuth = "90 deg", elevation = "-53.13010235415598 deg" }
`)), Options{}) // 3 : 4 : 5
	for _, id := range []string{"rail-deflection", "rail-bending"} {
		a, b := parts.row(t, id, "rail top bay 1"), whole.row(t, id, "rail top bay 1")
		if math.Abs(a.Demand-b.Demand) > 1e-7*b.Demand {
			t.Errorf("%s: %v in two parts, %v in one", id, a.Demand, b.Demand)
		}
	}
}

// A check that one of its loads could not be run for is open, though the run of another lets it pass.
func TestRailNotRunUnderEveryLoadIsUnchecked(t *testing.T) {
	c, err := calculate(parse(t, pressedPair(`
[[load]]
name = "lean"
kind = "line"
value = "1.0 kN/m"
direction = { azimuth = "90 deg", elevation = "-77 deg" }
with = ["press"]
[[load]]
name = "press"
kind = "line"
value = "1.0 kN/m"
direction = "down"
`)), Options{}, whole)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(c.worst.findings, func(f finding) bool { return f.id == "rail-deflection" && f.bent != nil })
	if i < 0 {
		t.Fatal("no movement of the rail was run")
	}
	f := c.worst.findings[i]
	a := f.model.analysis
	alone := slices.IndexFunc(a.PressedBeside(&f.placed, nil), func(p analysis.Placed) bool { return len(p.Beside) == 0 })
	if alone < 0 {
		t.Fatal("the rail is worst under one load")
	}
	f.placed = a.PressedBeside(&f.placed, nil)[alone]
	f.placed.State = a.Replay(&f.placed)
	f.placed.Value, f.bent = f.plain()(&f.placed.State, nil), nil
	b, runs := f.model.bender(c), 0
	b.replace(&f, func(f *finding) {
		if runs++; runs > 1 {
			f.unbent = "the run does not settle"
			return
		}
		b.movement(f)
	})
	if row, _ := c.row(&f); runs < 2 || row.Status != Unchecked {
		t.Errorf("%d loads were run, and %s is %s, want it unchecked", runs, f.id, row.Status)
	}
}
