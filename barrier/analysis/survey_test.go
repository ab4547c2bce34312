package analysis_test

import (
	"fmt"
	"math"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
)

// surveyed returns a barrier with a survey.
func surveyed(t *testing.T, p plan, survey string) *barrier.Definition {
	t.Helper()
	d, err := barrier.Parse("surveyed.toml", []byte(p.toml()+"\n"+survey))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// ringI is the second moment of area of a ring, m⁴, from its sizes in mm.
func ringI(od, wall float64) float64 {
	return math.Pi / 64 * (math.Pow(od, 4) - math.Pow(od-2*wall, 4)) * 1e-12
}

// A rigid rail on posts of unequal walls and feet: it moves as a + b x, and each post takes k (a + b x).
func TestRigidRailOnUnequalPosts(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const (
		source = "statics: R_i = k_i (a + b x_i), k = 1/(h³/3EI + h²/kφ), ring formulas"
		h      = 1.1
		given  = 150e3
		e      = 210e9
	)
	p := oneRail(evenly(6, 1.2), h, given, own("point", "0.9 kN", "top", "outward"))
	p.tube = "EN 10219 48.3x3.2"
	d := surveyed(t, p, `
[[survey.post]]
post = 2
wall = ["2.6 mm", "2.4 mm", "2.5 mm"]
[[survey.post]]
post = [4, 6]
wall = "2.0 mm"
od = "47.0 mm"
[[survey.post]]
post = 5
foot = "20 kNm/rad"
[[survey.post]]
post = 3
wall = "2.9 mm"
od = "48.6 mm"
foot = "60 kNm/rad"
`)
	stiffen(&d.Rails[0].Member, 1e6)
	a := ready(t, d)
	i := []float64{ringI(48.3, 3.2), ringI(48.3-1.6, 2.4), ringI(48.3, 2.9), ringI(47, 2), ringI(48.3, 3.2), ringI(47, 2)}
	feet := []float64{given, given, 60e3, given, 20e3, given}
	const load = 900.0
	for _, at := range []float64{0, 2.4, 3.1, 6} {
		var s0, s1, s2 float64
		k := make([]float64, len(i))
		for n, x := range d.Run.Posts {
			k[n] = 1 / (h*h*h/(3*e*i[n]) + h*h/feet[n])
			s0, s1, s2 = s0+k[n], s1+k[n]*x, s2+k[n]*x*x
		}
		det := s0*s2 - s1*s1
		move, turn := load*(s2-s1*at)/det, load*(s0*at-s1)/det
		placed := placedPoint(a, min(int(at/1.2), 4), at)
		for n, x := range d.Run.Posts {
			want := k[n] * (move + turn*x)
			got := a.Trace(a.Post(n), placed)[0].State
			(&row{fmt.Sprintf("load at %g m, post at %g m: R, N", at, x), source, got.Shear(), math.Abs(want), 2e-4 * load}).outside(t, record, "rigid rail on posts of unequal walls and feet")
			(&row{fmt.Sprintf("load at %g m, post at %g m: M, Nm", at, x), source, got.Moment(), math.Abs(want) * h, 2e-4 * load * h}).outside(t, record, "rigid rail on posts of unequal walls and feet")
		}
	}
}

// A rail that no fitting joins to a post is as if the post were not there, and the post carries nothing.
func TestMissingFittingLeavesThePostOut(t *testing.T) {
	text := own("point", "0.9 kN", "top", "outward")
	without := surveyed(t, oneRail([]float64{0, 1.5, 3, 6, 7.5}, 1.1, 150e3, text), "")
	with := surveyed(t, oneRail([]float64{0, 1.5, 3, 4.5, 6, 7.5}, 1.1, 150e3, text), `
[[survey.fitting]]
post = 4
rail = "top"
found = "missing"
`)
	a, b := ready(t, without), ready(t, with)
	posts := []int{0, 1, 2, 4, 5}
	for n, post := range posts {
		want, got := foot(a, n, moment).Value, foot(b, post, moment).Value
		(&row{fmt.Sprintf("post at x = %g m, M, Nm", with.Run.Posts[post]), "the frame without that post", got, want, 1e-6 * want}).check(t)
	}
	(&row{"post without a fitting, M, Nm", "statics: nothing touches it", foot(b, 3, moment).Value, 0, 1e-9}).check(t)
	want, got := along1(a, sagging()).Value, along1(b, sagging()).Value
	(&row{"rail, M, Nm", "the frame without that post", got, want, 1e-6 * want}).check(t)
}
