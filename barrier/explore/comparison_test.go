package explore_test

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/verification"
)

// designOf checks an example.
func designOf(t *testing.T, name string) (explore.Design, *check.Result) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	d, err := barrier.Parse(name, data)
	if err != nil {
		t.Fatal(err)
	}
	r, err := check.Run(d, check.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return explore.DesignOf(name, d, r), r
}

// The gallery has 7 posts of 1.1 m and 2 rails of 9 m on 9 m of run: 25.7 m of DN40 medium, of
// 3.56 kg/m by pi (48.3² - 41.9²)/4 mm² of steel of 7850 kg/m3 (closed form).
func TestDesignByHand(t *testing.T) {
	d, r := designOf(t, "gallery.toml")
	const metre = math.Pi / 4 * (48.3*48.3 - 41.9*41.9) * 1e-6 * 7850
	verification.New(t, verification.Answers).Add(verification.Comparison{
		Row: "mass of a design", Case: "gallery, kg/m", Source: "π/4 (D² - d²) ρ of 25.7 m on 9 m", Provenance: verification.Derived, Theirs: 25.7 / 9 * metre, Ours: d.Mass,
	})
	if want := 25.7 / 9 * metre; math.Abs(d.Mass-want) > 1e-9*want {
		t.Errorf("%.6f kg/m, by hand %.6f", d.Mass, want)
	}
	if d.Feet != 7 || math.Abs(d.FeetPerM-7.0/9) > 1e-12 || d.Length != 9 {
		t.Errorf("%d feet, %g by the metre of %g m", d.Feet, d.FeetPerM, d.Length)
	}
	seen := false
	for _, p := range r.Posts {
		if p.BaseMoment > d.BaseMoment || p.TopDeflection > d.Deflection {
			t.Errorf("post %d has %g Nm and %g mm, more than %g and %g", p.Post, p.BaseMoment, p.TopDeflection, d.BaseMoment, d.Deflection)
		}
		seen = seen || p.BaseMoment == d.BaseMoment
	}
	if !seen {
		t.Errorf("no post has a base moment of %g Nm", d.BaseMoment)
	}
}

// A design beside itself differs in nothing; two are told the same from either side, with changes turned round;
// the use of each check is the largest of its rows.
func TestCompare(t *testing.T) {
	a, ofA := designOf(t, "gallery.toml")
	b, ofB := designOf(t, "loading-bay.toml")
	same := explore.Compare(a, a, ofA, ofA)
	if len(same.Inputs) > 0 || same.Alike != len(ofA.Inputs) {
		t.Errorf("a design beside itself: %d inputs differ, %d of %d are alike", len(same.Inputs), same.Alike, len(ofA.Inputs))
	}
	for _, pair := range same.Checks {
		if pair.Change == nil || *pair.Change != 0 {
			t.Errorf("a design beside itself: %+v", pair)
		}
	}
	there, back := explore.Compare(a, b, ofA, ofB), explore.Compare(b, a, ofB, ofA)
	if len(there.Checks) != len(back.Checks) || len(there.Inputs) != len(back.Inputs) || there.Alike != back.Alike || len(there.Inputs) == 0 {
		t.Fatalf("there %d checks and %d inputs, back %d and %d", len(there.Checks), len(there.Inputs), len(back.Checks), len(back.Inputs))
	}
	for i, pair := range there.Checks {
		other := back.Checks[i]
		if pair.ID != other.ID || (pair.Change == nil) != (other.Change == nil) || pair.Change != nil && *pair.Change != -*other.Change {
			t.Errorf("there %+v, back %+v", pair, other)
		}
		for _, row := range ofA.Checks {
			if row.ID == pair.ID && row.Utilisation != nil && (pair.A == nil || pair.A.Utilisation != nil && *row.Utilisation > *pair.A.Utilisation*(1+1e-9)) {
				t.Errorf("%s of %s is used %g, the comparison has %+v", row.ID, row.Element, *row.Utilisation, pair.A)
			}
		}
	}
	for _, pair := range there.Inputs {
		if pair.A == nil && pair.B == nil || pair.A != nil && pair.B != nil && *pair.A == *pair.B {
			t.Errorf("%s does not differ", pair.Key)
		}
	}
	if !there.Cautions[0].Triggered || there.Cautions[0].ID != "C1" {
		t.Errorf("the first caution is %+v", there.Cautions[0])
	}
}

// A caution that one design alone brings says which; those of both, and the numbered ones, stand once.
func TestCautionsOfTwoDesigns(t *testing.T) {
	a, ofA := designOf(t, "gallery.toml")
	b, ofB := designOf(t, "loading-bay.toml")
	has := func(r *check.Result, text string) bool {
		return slices.ContainsFunc(r.Cautions, func(c check.Caution) bool { return c.Text == text })
	}
	told := 0
	for _, c := range explore.Compare(a, b, ofA, ofB).Cautions {
		from, text := "", c.Text
		for _, design := range []string{"A", "B"} {
			if rest, ok := strings.CutPrefix(c.Text, design+": "); ok {
				from, text = design, rest
			}
		}
		inA, inB := has(ofA, text), has(ofB, text)
		want := ""
		switch {
		case c.ID != "" || inA && inB:
		case inA:
			want = "A"
		default:
			want = "B"
		}
		if from != want || !inA && !inB {
			t.Errorf("%q is said to be of %q, want %q", c.Text, from, want)
		}
		if from != "" {
			told++
		}
	}
	if told == 0 {
		t.Error("no caution says which design brings it")
	}
}
