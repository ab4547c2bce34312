package explore

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
)

// The cantilever on a foot spring of the closed-form table (statics, P h³/3EI + P h²/k): a lone post of
// 48.3x3.2 under 1.5 kN at 1.1 m on 60 kNm/rad moves 27.35 + 30.25 mm.
const (
	tableP, tableH, tableK = 1500.0, 1.1, 60e3
	tableTube              = 27.35 // mm
	tableFoot              = 30.25
)

// tableEI returns E I of the post from its printed size, N·m².
func tableEI() float64 {
	const od, wall = 0.0483, 0.0032
	return 210e9 * math.Pi / 64 * (math.Pow(od, 4) - math.Pow(od-2*wall, 4))
}

// tableMoves returns the movement of the cantilever on a foot, m.
func tableMoves(k float64) float64 {
	return tableP*tableH*tableH*tableH/(3*tableEI()) + tableP*tableH*tableH/k
}

// onSite tests a yard: its run, its base and what [prooftest] says.
func onSite(t *testing.T, text string) *ProofTest {
	t.Helper()
	s, err := TestOnSite(context.Background(), parsed(t, text), ProofTestOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// pulled is a yard of lone posts: its rail is cut at every post.
func pulled(base, test string) string {
	text := strings.Replace(yard(`posts = ["0 m", "1.5 m", "3 m", "4.5 m"]`, "[prooftest]\n"+test), `"rigid"`, base, 1)
	return text
}

// onRecord opens the part of the record of a test against the closed form of the cantilever on a foot.
func onRecord(t *testing.T) func(what string, got, want, within float64) {
	record := verification.New(t, verification.Answers)
	return func(what string, got, want, within float64) {
		t.Helper()
		alike(t, what, got, want, within)
		record.Add(verification.Comparison{
			Row: "site load test", Case: what, Source: "statics: P h³/3EI + P h²/k, P L³/48EI", Provenance: verification.Derived, Theirs: want, Ours: got,
		})
	}
}

func alike(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

func TestPredictsTheCantileverOnAFootSpring(t *testing.T) {
	closedForm := onRecord(t)
	s := onSite(t, pulled(`"60 kNm/rad"`, "post = 2\nforce = \"1.5 kN\""))
	if len(s.Predicted) != 2 || s.Predicted[0].Foot != nil || *s.Predicted[1].Foot != tableK {
		t.Fatalf("predicted %+v, want rigid feet and 60 kNm/rad", s.Predicted)
	}
	closedForm("P h³/3EI, mm", s.Predicted[0].Movement, tableTube, 0.005)
	closedForm("P h²/k, mm", s.Predicted[1].Movement-s.Predicted[0].Movement, tableFoot, 0.005)
	closedForm("the sum by its formula, mm", s.Predicted[1].Movement, 1e3*tableMoves(tableK), 1e-7)
	alike(t, "stop, mm", *s.Load.Stop, 1.25*s.Predicted[1].Movement, 1e-9)
}

// k = P h²/(d - P h³/3EI), and by its slope dk = k²/(P h²) dd.
func TestFindsTheFootOfTheCantilever(t *testing.T) {
	closedForm := onRecord(t)
	for _, k := range []float64{2e3, 18e3, tableK, 400e3} {
		d := tableMoves(k)
		for _, accuracy := range []float64{1e-6, 1e-4} {
			s := onSite(t, pulled(`["50 kNm/rad", "90 kNm/rad"]`, fmt.Sprintf("post = 2\nforce = \"1.5 kN\"\nmeasured = \"%.12f m\"\naccuracy = \"%g m\"", d, accuracy)))
			if len(s.Found) != 2 {
				t.Fatalf("%d frames, want both ends of the range", len(s.Found))
			}
			for _, f := range s.Found {
				if f.State != Explained || f.None != nil {
					t.Fatalf("%+v, want a stiffness, and a mechanism without one", f)
				}
				closedForm(fmt.Sprintf("foot of %g kNm/rad found, reading to %g m, kNm/rad", k/1e3, accuracy), *f.Stiffness/1e3, k/1e3, 1e-7*k/1e3)
				by := func(d float64) float64 { return tableP * tableH * tableH / (d - tableMoves(math.Inf(1))) }
				alike(t, "softest, relative", *f.Softest/by(d+accuracy), 1, 1e-6)
				alike(t, "stiffest, relative", *f.Stiffest/by(d-accuracy), 1, 1e-6)
				if slope := k * k / (tableP * tableH * tableH) * accuracy; slope < 1e-2*k {
					alike(t, "half the interval over k² dd/(P h²)", (*f.Stiffest-*f.Softest)/2/slope, 1, 1e-3)
				}
			}
		}
	}
}

// What goes back when the load is off finds the foot without what it has settled: a reading of 60 mm of
// which 3 mm stay is the closed form at 57 mm.
func TestFindsTheFootByWhatGoesBack(t *testing.T) {
	closedForm := onRecord(t)
	s := onSite(t, pulled(`"60 kNm/rad"`, "post = 2\nforce = \"1.5 kN\"\nmeasured = \"60 mm\"\nresidual = \"3 mm\""))
	by := func(d float64) float64 { return tableP * tableH * tableH / (d - tableMoves(math.Inf(1))) / 1e3 }
	f := s.Found[0]
	if f.Stiffness == nil || f.Recovered == nil {
		t.Fatalf("%+v, want a stiffness by the reading and by what goes back", f)
	}
	closedForm("foot by a reading of 60 mm, kNm/rad", *f.Stiffness/1e3, by(0.060), 1e-6)
	closedForm("foot by the 57 mm of it that go back, kNm/rad", *f.Recovered/1e3, by(0.057), 1e-6)
}

// Mid-span between lone posts: the rail as a simple span and the mean of two posts under P/2 each,
// P L³/48EI + (P/2)(h³/3EI + h²/k).
func TestFindsBothFeetBesideABay(t *testing.T) {
	closedForm := onRecord(t)
	const P, L, k = 700.0, 1.5, 35e3
	const od, wall = 0.0603, 0.005
	rail := 210e9 * math.Pi / 64 * (math.Pow(od, 4) - math.Pow(od-2*wall, 4))
	moved := P*L*L*L/(48*rail) + P/2*(tableH*tableH*tableH/(3*tableEI())+tableH*tableH/k)
	s := onSite(t, pulled(`"150 kNm/rad"`, fmt.Sprintf("bay = 2\nforce = \"700 N\"\ndirection = \"inward\"\nmeasured = \"%.12f m\"", moved)))
	f := s.Found[0]
	closedForm("feet of 35 kNm/rad beside a bay found, kNm/rad", *f.Stiffness/1e3, k/1e3, 1e-7*k/1e3)
	if f.Softest != nil || f.Stiffest != nil || !strings.Contains(f.Words, "the accuracy is not given") {
		t.Errorf("%+v: an interval without an accuracy", f)
	}
	if fmt.Sprint(s.Load.Feet) != "[2 3]" || len(s.Checks) != 2 || !strings.Contains(s.Checks[1].Feet, "posts 2 and 3, 35 kNm/rad; the others as the file has them") {
		t.Errorf("feet %v, checks %+v: want those of posts 2 and 3 alone", s.Load.Feet, s.Checks)
	}
	// The check on the stiffness that was found is that of those posts: base moment as ever, movement of the post its own.
	d := parsed(t, pulled(`"150 kNm/rad"`, "bay = 2\nforce = \"700 N\""))
	found := withFeet(d, []int{1, 2}, k)
	for post, want := range []float64{150e3, k, k, 150e3} {
		if got := found.FootOf(post, 150e3); got != want {
			t.Errorf("foot of post %d: %v, want %v", post+1, got, want)
		}
	}
	if d.HasOwnFeet() {
		t.Error("the definition itself was changed")
	}
}

// TestCheckWithTheFoundFoot holds the check on what was found to a file in which every post of a run of
// lone posts has that stiffness: the post that was tested moves as in that one, the others as before.
func TestCheckWithTheFoundFoot(t *testing.T) {
	text := func(base string) string {
		return strings.Replace(pulled(base, fmt.Sprintf("post = 2\nforce = \"700 N\"\nmeasured = \"%.12f m\"", tableMoves(40e3)/tableP*700)), "deflection = \"none\"", "deflection = \"80 mm\"", 1)
	}
	s := onSite(t, text(`"150 kNm/rad"`))
	moves := func(d *barrier.Definition) (post2, post3 float64) {
		r, err := check.Run(d, check.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return r.Posts[1].TopDeflection, r.Posts[2].TopDeflection
	}
	d := parsed(t, text(`"150 kNm/rad"`))
	soft, _ := moves(parsed(t, text(`"40 kNm/rad"`)))
	_, stiff := moves(d)
	post2, post3 := moves(withFeet(d, []int{1}, *s.Found[0].Stiffness))
	alike(t, "post 2, mm", post2, soft, 1e-5)
	alike(t, "post 3, mm", post3, stiff, 1e-5)
	if got := s.Checks[1].Deflection; got.Element != "post 2" || *s.Checks[0].Deflection.Utilisation > 0.7**got.Utilisation {
		t.Errorf("deflection is governed by %s at %v, with the file's feet %v", got.Element, *got.Utilisation, *s.Checks[0].Deflection.Utilisation)
	}
}

// Where the base is left out the softest feet are those at which the worst movement meets the limit:
// of lone posts under the point load of the file, that of the test.
func TestPredictsTheLimitOnTheLeastFoot(t *testing.T) {
	text := pulled(`"rigid"`, "post = 2\nforce = \"700 N\"")
	text = strings.Replace(text, "stiffness = \"rigid\"\n", "", 1)
	text = strings.Replace(text, "deflection = \"none\"", "deflection = \"25 mm\"", 1)
	text = strings.Replace(text, "kind = \"line\"\nvalue = \"0.74 kN/m\"", "kind = \"point\"\nvalue = \"700 N\"", 1)
	s := onSite(t, text)
	if len(s.Predicted) != 2 || s.Predicted[1].Foot == nil {
		t.Fatalf("predicted %+v, want rigid feet and the least", s.Predicted)
	}
	alike(t, "movement on the least feet, mm", s.Predicted[1].Movement, 25, 1e-5)
	if s.Load.Limit == nil || *s.Load.Limit != 25 || *s.Load.Stop != 25 {
		t.Errorf("limit %v, stop %v, want 25 mm for both", s.Load.Limit, s.Load.Stop)
	}
}

// TestNothingExplains holds both faults of a measured value, on either side of what the frame can do.
func TestNothingExplains(t *testing.T) {
	shared := func(test string) string {
		text := strings.Replace(pulled(`"60 kNm/rad"`, test), "through = false", "through = true\nstock = \"6 m\"", 1)
		return text
	}
	f := onSite(t, shared("post = 2\nforce = \"700 N\"\nmeasured = \"10 mm\"\naccuracy = \"0.1 mm\"")).Found[0]
	if f.None == nil || f.Rigid >= *f.None {
		t.Fatalf("from %v mm with a rigid foot to %v without one", f.Rigid, f.None)
	}
	for _, c := range []struct {
		measured, accuracy float64 // mm
		state, words       string
	}{
		{f.Rigid - 0.2, 0.1, BelowRigid, "More shares the load"},
		{f.Rigid - 0.05, 0.1, Explained, "by rigid feet within ± 0.1 mm: the foot of post 2 can be no softer than"},
		{*f.None + 0.05, 0.1, Explained, "at no stiffness, between no stiffness and"},
		{*f.None + 0.2, 0.1, AboveNone, "Something else gives"},
	} {
		s := onSite(t, shared(fmt.Sprintf("post = 2\nforce = \"700 N\"\nmeasured = \"%.9f mm\"\naccuracy = \"%g mm\"", c.measured, c.accuracy)))
		if got := s.Found[0]; got.State != c.state || !strings.Contains(got.Words, c.words) {
			t.Errorf("%v mm: %s, %q, want %s with %q", c.measured, got.State, got.Words, c.state, c.words)
		}
		if unexplained := c.state != Explained; unexplained != strings.Contains(s.Headline, "no stiffness of the base explains it") || unexplained != (len(s.Checks) == 1) {
			t.Errorf("%v mm: %q with %d checks", c.measured, s.Headline, len(s.Checks))
		}
		cautioned := slices.ContainsFunc(s.Cautions, func(c check.Caution) bool {
			return strings.Contains(c.Text, "the barrier on site is not that of the file")
		})
		if cautioned != (c.state != Explained) {
			t.Errorf("%v mm, %s: cautions %v", c.measured, c.state, s.Cautions)
		}
	}
}

// The one true statement of engineering.md 7: a displacement at and along a single load falls with the
// stiffness of any foot. And whatever stiffness makes a movement, the movement gives it back.
func TestMovementFallsAndGivesBackTheStiffness(t *testing.T) {
	for _, file := range []string{"gallery", "kiln-walk", "settling-tanks", "sluice-crossing", "valve-platform"} {
		data, err := os.ReadFile("../../testdata/" + file + ".toml")
		if err != nil {
			t.Fatal(err)
		}
		doc, err := barrier.Read(file+".toml", data)
		if err != nil {
			t.Fatal(err)
		}
		for _, place := range []string{"post", "bay"} {
			d, err := doc.Definition(barrier.Change{Path: "prooftest", Value: map[string]any{place: int64(2), "force": "300 N"}})
			if err != nil {
				t.Fatal(err)
			}
			test := &proofTest{ctx: t.Context(), d: d, load: d.Proof, feet: d.Proof.Feet(&d.Run)}
			for _, l := range check.Standing(d, 120e3) {
				c, err := test.curve(l)
				if err != nil {
					t.Fatal(err)
				}
				last := c.none
				for k := 500.0; k < 1e7; k *= 3 {
					moved, err := c.of(k)
					if err != nil {
						t.Fatal(err)
					}
					if !(moved < last && moved > c.rigid) {
						t.Errorf("%s, %s 2, %s: %v m at %v Nm/rad, not between %v and %v", file, place, l.Splices, moved, k, c.rigid, last)
					}
					last = moved
					back, err := c.stiffness(moved)
					if err != nil {
						t.Fatal(err)
					}
					// A movement to 1e-12 of its size tells the stiffness no better than its slope lets it.
					slope := (moved - c.rigid) / k
					alike(t, fmt.Sprintf("%s, %s 2: %v Nm/rad, given back", file, place, k), back, k, 1e-8*k+1e-11*moved/slope)
				}
			}
		}
	}
}

// TestExampleGivesBackTheStiffnessThatMadeIt makes the measured value of the example with the stiffness
// that it names, in a frame solved here, and holds what the test finds from the file to it.
func TestExampleGivesBackTheStiffnessThatMadeIt(t *testing.T) {
	const made, others = 42e3, 60e3
	data, err := os.ReadFile("../../testdata/sluice-crossing.toml")
	if err != nil {
		t.Fatal(err)
	}
	d := parsed(t, string(data))
	test := &proofTest{ctx: t.Context(), d: d, load: d.Proof, feet: d.Proof.Feet(&d.Run)}
	moved, err := test.movement(withFeet(d, test.feet, made), check.Standing(d, others)[0])
	if err != nil {
		t.Fatal(err)
	}
	const rounding = 0.005e-3 // m
	alike(t, "the measured value of the file, m", *d.Proof.Measured, moved, rounding)
	s := onSite(t, string(data))
	f := s.Found[0]
	if f.OtherFeet == nil || *f.OtherFeet != others {
		t.Fatalf("the first frame has other feet of %v", f.OtherFeet)
	}
	// The slope of a shared post is gentler in k than that of a lone one, so its rounding tells less: twice.
	within := 2 * made * made / (d.Proof.Force * tableH * tableH) * rounding
	alike(t, "the foot, Nm/rad", *f.Stiffness, made, within)
	if *f.Softest >= made || *f.Stiffest <= made {
		t.Errorf("from %v to %v does not hold %v", *f.Softest, *f.Stiffest, made)
	}
}

func TestSplicesThatAreNotKnownAreTwoFrames(t *testing.T) {
	text := strings.Replace(pulled(`"60 kNm/rad"`, "post = 2\nforce = \"700 N\"\nmeasured = \"16 mm\"\naccuracy = \"0.5 mm\""), "through = false", "through = true\nstock = \"3 m\"", 1)
	s := onSite(t, text)
	if len(s.Found) != 2 || s.Found[0].Splices != "continuous" || s.Found[1].Splices != "cut at every post" || len(s.Predicted) != 4 {
		t.Fatalf("found %+v, predicted %+v: want both readings", s.Found, s.Predicted)
	}
	if *s.Found[0].Stiffness >= *s.Found[1].Stiffness {
		t.Errorf("continuous rails find %v, cut ones %v: a post that is helped moves as far on a softer foot", *s.Found[0].Stiffness, *s.Found[1].Stiffness)
	}
	if want := 1 + 4; len(s.Checks) != want {
		t.Errorf("%d checks, want %d: the file, softest, both found, stiffest", len(s.Checks), want)
	}
}

// A force above first yield is cautioned of, and one that is small is not.
func TestCautionsOfTheTestLoadItself(t *testing.T) {
	const wel = 4.80e-6 // m³, of 48.3x3.2 (table of EN 10219-2: 4.80 cm³, memory)
	for _, c := range []struct {
		share  float64
		caught bool
	}{{0.75, false}, {0.85, true}, {1.1, true}} {
		force := c.share * wel * 235e6 / tableH
		s := onSite(t, pulled(`"60 kNm/rad"`, fmt.Sprintf("post = 2\nforce = \"%.3f N\"", force)))
		if u := *s.UnderLoad.FirstYield.Utilisation; math.Abs(u-c.share) > 0.02 {
			t.Errorf("first yield %v, want M/(Wel fy) of about %v", u, c.share)
		}
		if got := strings.Contains(s.UnderLoad.Caution, "first yield"); got != c.caught {
			t.Errorf("at %v of first yield: caution %q", c.share, s.UnderLoad.Caution)
		}
	}
}

func TestNeverACapacity(t *testing.T) {
	s := onSite(t, pulled(`"60 kNm/rad"`, "post = 2\nforce = \"700 N\""))
	if s.Cautions[0].ID != "C1" || s.Cautions[1].Text != NoCapacity || !s.Cautions[1].Triggered {
		t.Errorf("the first cautions are %+v", s.Cautions[:2])
	}
}

func TestNoTestIsPlanned(t *testing.T) {
	_, err := TestOnSite(context.Background(), parsed(t, yard(`posts = ["0 m", "1.5 m"]`)), ProofTestOptions{})
	if none := (*NoProofTestError)(nil); !errors.As(err, &none) {
		t.Errorf("%v, want that none is planned", err)
	}
}

// A surveyed foot stays what it was found where another post is tested.
func TestOtherFoundFeetStay(t *testing.T) {
	d := parsed(t, pulled(`"60 kNm/rad"`, "post = 2\nforce = \"700 N\""))
	loose := 5e3
	d.Survey = &barrier.Survey{Posts: []barrier.PostReading{{Post: 0, Stiffness: &loose}}}
	found := withFeet(d, []int{1}, 30e3)
	if found.FootOf(0, 60e3) != loose || found.FootOf(1, 60e3) != 30e3 || found.FootOf(2, 60e3) != 60e3 || d.FootOf(1, 60e3) != 60e3 {
		t.Error("feet of other posts are not what they were")
	}
	if all := withoutFeet(d); all.HasOwnFeet() || !d.HasOwnFeet() {
		t.Error("feet of a survey are still there, or gone from the file")
	}
}

func TestWordsInUnitsOfTheReader(t *testing.T) {
	d := parsed(t, pulled(`"60 kNm/rad"`, "post = 2\nforce = \"700 N\"\nmeasured = \"24 mm\""))
	s, err := TestOnSite(context.Background(), d, ProofTestOptions{Units: quantity.US})
	if err != nil {
		t.Fatal(err)
	}
	if all := s.Headline + s.Found[0].Words + s.Checks[1].Feet; strings.Contains(all, "mm") || strings.Contains(all, "kNm") || !strings.Contains(all, "kip-ft/rad") {
		t.Errorf("%s", all)
	}
}

// The movement of a post under a test load, held on the examples (corners, slopes, gaps, walls, offsets,
// hazards on either side) to that which a check finds by influence lines under a load of the user's own
// at the same place: another path through the program, which the checks hold to closed forms.
func TestMovementIsThatOfACheck(t *testing.T) {
	files, err := filepath.Glob("../../testdata/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	held := 0
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		doc, err := barrier.Read(file, data)
		if err != nil {
			t.Fatal(err)
		}
		for post := 1; post <= 6; post++ {
			d, err := doc.Definition(barrier.Change{Path: "prooftest", Value: map[string]any{"post": int64(post), "force": "300 N"}})
			if err != nil {
				break // no such post
			}
			x := d.Run.Posts[post-1]
			if d.Run.IsCorner(post-1) || d.Post.Height != d.Rails[d.Proof.Rail].Height || d.Fitting.Offset != 0 {
				continue // the printed movement is that of the top in either leg, and the load beside the axis there
			}
			load := barrier.Load{Name: "pull", Category: loads.Imposed, Fixing: 1, Own: &barrier.OwnLoad{Kind: barrier.OwnPoint, Value: 300, Rail: d.Proof.Rail, Direction: barrier.Direction{Word: loads.Outward}, At: &x}}
			alone := *d
			alone.Loads, alone.Combine, alone.Limits = []barrier.Load{load}, barrier.Combining{Rule: d.Combine.Rule}, barrier.Limits{DeflectionNone: true}
			alone.Post.Base.Stiffness = []float64{80e3}
			r, err := check.Run(&alone, check.Options{})
			if err != nil {
				t.Fatal(err)
			}
			test := &proofTest{ctx: t.Context(), d: &alone, load: d.Proof, feet: d.Proof.Feet(&d.Run)}
			largest := 0.0
			for _, l := range check.Standing(&alone, 80e3) {
				moved, err := test.movement(&alone, l)
				if err != nil {
					t.Fatal(err)
				}
				largest = max(largest, moved*1e3)
			}
			held++
			// The printed one has second order in it, which raises it.
			if got := r.Posts[post-1].TopDeflection; !(got >= largest*(1-1e-8) && got <= largest*1.02) {
				t.Errorf("%s, post %d: %v mm, a check finds %v", filepath.Base(file), post, largest, got)
			}
		}
	}
	if held < 60 {
		t.Errorf("only %d posts were held", held)
	}
}
