package check

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

// A tube of class 4 is a problem of the definition, at its line.
func TestClass4IsAProblemOfTheDefinition(t *testing.T) {
	s := lonePosts()
	text := strings.Replace(s.toml(), `tube = "EN 10219 48.3x3.2"`, `tube = { od = "200 mm", wall = "1 mm" }`, 1)
	text = strings.Replace(text, `grade = "S235JRH"`, `grade = { fy = "235 MPa", fu = "360 MPa" }`, 1)
	d, err := barrier.Parse("thin.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	_, err = Run(d, Options{})
	problems, ok := errors.AsType[barrier.Problems](err)
	if !ok || len(problems) != 1 {
		t.Fatalf("Run = %v, want one problem", err)
	}
	if p := problems[0]; p.Path != "post.tube" || p.Pos.Line == 0 || !strings.Contains(p.What, "class 4") || !strings.Contains(p.What, "EN 1993-1-6") {
		t.Errorf("problem %v, want class 4 at the post's tube with the clause", p)
	}
}

// A splice in a bay lets the rail give sideways under compression far below the
// Euler force of the bay. An eigenvalue analysis (second method: a frame with
// geometric stiffness) of a 26.9x2.0 rail in 2.4 m bays, spliced at the middle of
// the second, gave 1715 N on stiff feet and 1552 N on feet of 8 kNm/rad.
func TestRailCriticalIsALowerBoundWithASplice(t *testing.T) {
	d := 26.9e-3
	bore := d - 2*2.0e-3
	ei := 210e9 * math.Pi / 64 * (math.Pow(d, 4) - math.Pow(bore, 4))
	posts, spliced := []float64{0, 2.4, 4.8, 7.2}, barrier.Joints{Splices: []float64{3.6}}
	const source = "eigenvalue of an independent frame with geometric stiffness"
	for _, c := range []struct{ post, exact float64 }{{math.Inf(1), 1715}, {postStiffness(24.3e3, 1.1, 8e3), 1552}} {
		if got := railCritical(ei, c.post, &barrier.Run{Posts: posts}, spliced); got > c.exact || got < 0.3*c.exact {
			t.Errorf("Ncr = %.0f N, want below %v N and of its size (%s)", got, c.exact, source)
		}
	}
	if whole, cut := railCritical(ei, math.Inf(1), &barrier.Run{Posts: posts}, barrier.Joints{}), railCritical(ei, math.Inf(1), &barrier.Run{Posts: posts}, spliced); !(cut < whole/2) {
		t.Errorf("Ncr %v with the splice, %v without", cut, whole)
	}
}

// A stiff rail on soft posts turns as a whole: rigid rails have k Σ(x - x̄)²/l, and real ones
// no more. Eigenvalues of a beam on springs with geometric stiffness (second method, derived).
func TestRailCriticalIsALowerBoundOfATurningRail(t *testing.T) {
	const source = "eigenvalue of an independent beam on springs with geometric stiffness"
	for _, c := range []struct {
		what    string
		ei, k   float64 // N·m², N/m
		posts   []float64
		splices []float64
		exact   float64
	}{
		{"rail of no give on three posts, 2 k L²/(2 L)", 1e12, 3e3, []float64{0, 1, 2}, nil, 3000},
		{"114.3x9.53 on four posts of 60.3", 200e9 * math.Pi / 64 * (math.Pow(0.1143, 4) - math.Pow(0.09524, 4)), 26031.5, []float64{0, 1.2, 2.4, 3.6}, nil, 52048},
		{"no give, spliced at the middle, k L/3", 1e12, 3e3, []float64{0, 1, 2, 3}, []float64{1.5}, 1000},
	} {
		if got := railCritical(c.ei, c.k, &barrier.Run{Posts: c.posts}, barrier.Joints{Splices: c.splices}); got > c.exact*1.0005 || got < 0.3*c.exact {
			t.Errorf("%s: Ncr = %.0f N, want below %.0f N and of its size (%s)", c.what, got, c.exact, source)
		}
	}
}

// Beyond the critical force nothing passes, and the headline does not say that
// members do.
func TestPressedBeyondItsCriticalForce(t *testing.T) {
	s := lonePosts()
	s.load = "name = \"press\"\nkind = \"point\"\nvalue = \"60 kN\"\ndirection = \"down\""
	r := s.check(t)
	row := r.row(t, "post-bending", "post 2")
	if r.Status != Fail || row.Status != Fail || row.Utilisation != nil || !(row.Demand > row.Resistance) {
		t.Errorf("status %s, row %+v; want a failure of NEd over Ncr without bound", r.Status, row)
	}
	if strings.Contains(r.Headline, "members pass") || strings.Contains(r.Headline, "members,") {
		t.Errorf("headline %q", r.Headline)
	}
}

// Between 1.01 and 1.10 moments, movements and base actions are amplified alike.
func TestSecondOrderCountsEverywhere(t *testing.T) {
	s := lonePosts()
	s.load = "name = \"lean\"\nkind = \"point\"\nvalue = \"2 kN\"\ndirection = { azimuth = \"90 deg\", elevation = \"-60 deg\" }"
	r := s.check(t)
	row := r.row(t, "post-bending", "post 2")
	k := row.Demand / (1.5 * 2000 * math.Cos(math.Pi/3) * 1.1)
	if !(k > 1.01 && k < 1.10) {
		t.Fatalf("amplification %v: the case must lie between", k)
	}
	equal(t, "base moment", r.Posts[1].BaseMoment, row.Demand, "the demand of bending at the foot")
	it := item(r.LeftOut, "socket, foot and ground: moment")
	if it == nil {
		t.Fatalf("left out %+v: no moment of the foot", r.LeftOut)
	}
	equal(t, "what the foot must carry", it.Demand, row.Demand, "the same")
	equal(t, "movement", r.Posts[1].TopDeflection, r.row(t, "post-deflection", "post 2").Demand, "the same amplification")
}
