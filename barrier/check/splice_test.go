package check

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

func unknownSplicesRun() scenario {
	s := throughRails()
	s.run = "length = \"9 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\""
	s.load = machinery
	return s
}

// Where splices are not known both models stand, the worse of each number is
// reported, and the status is incomplete.
func TestSplicesNotKnown(t *testing.T) {
	s := unknownSplicesRun()
	r := s.check(t)
	if r.Status != Incomplete {
		t.Errorf("status %s, want incomplete", r.Status)
	}
	it := r.open("splice positions")
	if it == nil || !strings.Contains(it.Reason, "top, knee") || !strings.Contains(it.Reason, "neither is a bound") {
		t.Errorf("unchecked splice positions are %+v; want both rails named and no bound claimed", it)
	}
	if !strings.Contains(r.Headline, "not checked: splice positions") {
		t.Errorf("headline %q does not say that splice positions are not checked", r.Headline)
	}
	var splices []string
	for _, m := range r.Models {
		splices = append(splices, m.Splices)
		if m.Stands != (m.Splices != "as proposed") {
			t.Errorf("model %q stands: %v", m.Splices, m.Stands)
		}
	}
	if !slices.Equal(splices, []string{"continuous", "cut at every post", "as proposed"}) {
		t.Fatalf("models %q", splices)
	}
	s.top, s.knee = "through = true\nstock = \"12 m\"", "through = true\nstock = \"12 m\""
	continuous := s.check(t)
	s.top, s.knee = cutRail, cutRail
	cut := s.check(t)
	for i := range r.Posts {
		equal(t, "base moment", r.Posts[i].BaseMoment, math.Max(continuous.Posts[i].BaseMoment, cut.Posts[i].BaseMoment), "worse of continuous and cut")
		equal(t, "top movement", r.Posts[i].TopDeflection, math.Max(continuous.Posts[i].TopDeflection, cut.Posts[i].TopDeflection), "worse of continuous and cut")
	}
	for i := range r.Rails {
		equal(t, "rail moment", r.Rails[i].Moment, math.Max(continuous.Rails[i].Moment, cut.Rails[i].Moment), "worse of continuous and cut")
	}
	if !(continuous.Rails[0].Moment > cut.Rails[0].Moment && cut.Posts[3].BaseMoment > continuous.Posts[3].BaseMoment) {
		t.Error("the case does not need both models")
	}
}

// A proposal copied into the file is valid and gives what the report says of it.
func TestProposedSplices(t *testing.T) {
	s := unknownSplicesRun()
	r := s.check(t)
	if len(r.Proposal) != 2 || r.Proposal[0].Rail != "top" || r.Proposal[1].Rail != "knee" {
		t.Fatalf("proposals %+v, want one for each rail", r.Proposal)
	}
	for _, p := range r.Proposal {
		if !p.pieces(9, 6) {
			t.Errorf("rail %s: pieces of %v are longer than the stock of 6 m", p.Rail, p.Splices)
		}
		for _, x := range p.Splices {
			off := math.Mod(x+1e-9, 1.5)
			if off = math.Min(off, 1.5-off); off > 0.15*1.5+1e-6 || off < 1e-6 || x < 1.5 || x > 7.5 {
				t.Errorf("rail %s: splice at %v m is %v m from a post; want within 0.15 of a bay of an inner one, in no end bay", p.Rail, x, off)
			}
		}
	}
	s.top, s.knee = through+"\n"+r.Proposal[0].TOML, through+"\n"+r.Proposal[1].TOML
	taken := s.check(t)
	if taken.Status != Pass || taken.open("splice") != nil {
		t.Errorf("status with the proposal %s, unchecked %+v", taken.Status, taken.Unchecked)
	}
	equal(t, "largest utilisation of the proposal", *r.Proposal[0].LargestUtilisation, taken.largest(""), "that of the file with the proposal")
}

func (p *SpliceProposal) pieces(length, stock float64) bool {
	from := 0.0
	for _, x := range append(slices.Clone(p.Splices), length) {
		if x-from > stock+1e-9 {
			return false
		}
		from = x
	}
	return true
}

// Foot and splice models are crossed.
func TestSpliceAndFootModelsAreCrossed(t *testing.T) {
	s := unknownSplicesRun()
	s.base = "stiffness = [\"60 kNm/rad\", \"200 kNm/rad\"]"
	stands := 0
	for _, m := range s.check(t).Models {
		if m.Stands {
			stands++
		}
	}
	if stands != 4 {
		t.Errorf("%d models stand, want two splice models on two foot models", stands)
	}
}

// A splice passes the force that its stub carries: on a rail cut once beside a
// post it hangs the next piece on it.
func TestSpliceForces(t *testing.T) {
	s := throughRails()
	s.top, s.scope = "splices = [\"1.8 m\"]", "leave_out = [\"base\", \"geometry\"]"
	r := s.check(t)
	if len(r.Splices) != 1 || r.Splices[0].Fitting != "top 1.800" || r.Splices[0].ExtremeOf != "force" {
		t.Fatalf("splices %+v, want the force of the one at 1.8 m", r.Splices)
	}
	if r.Splices[0].Moment > 1e-6 || r.Splices[0].Twist > 1e-6 {
		t.Errorf("splice passes %v Nm and %v Nm, want none", r.Splices[0].Moment, r.Splices[0].Twist)
	}
	if it := r.open("splice: shear"); it == nil || math.Abs(it.Demand-r.Splices[0].Force) > digits*it.Demand || it.Unit != "N" {
		t.Errorf("unchecked shear of the splice is %+v, want its %v N", it, r.Splices[0].Force)
	}
}

// A splice in an end bay is cautioned.
func TestSpliceInAnEndBay(t *testing.T) {
	s := throughRails()
	s.top = "splices = [\"0.4 m\"]"
	if r := s.check(t); !says(r.ownCautions(), "in an end bay, where it can raise a post moment by half") {
		t.Errorf("no caution of the end bay: %q", r.ownCautions())
	}
}

// Rails that are no longer than their stock need no splices.
func TestShortRunNeedsNoSplices(t *testing.T) {
	r := throughRails().check(t)
	if len(r.Models) != 1 || r.Models[0].Splices != "as given" || len(r.Splices) != 0 || len(r.Proposal) != 0 {
		t.Errorf("models %+v, splices %+v, proposals %+v; want one model and no splices", r.Models, r.Splices, r.Proposal)
	}
	if _, ok := proposed(&barrier.Definition{Rails: []barrier.Rail{{SpliceState: "cut"}}}); ok {
		t.Error("splices are proposed for a rail that takes none")
	}
}

// Where the splices that are proposed fail, the headline says so, and nothing
// passes but in the frames that were run.
func TestHeadlineOfOpenSplices(t *testing.T) {
	s := unknownSplicesRun()
	r := s.check(t)
	if !strings.Contains(r.Headline, "pass in the frames that were run; not checked: splice positions") || strings.Contains(r.Headline, "proposed") {
		t.Errorf("headline %q, want what passed in the frames that were run", r.Headline)
	}
	if !strings.Contains(r.Foot.Holds, "splices, which are not given, may ask for more") {
		t.Errorf("the feet hold %q", r.Foot.Holds)
	}
	// Frames that count hold the limit, the proposal does not.
	for foot := 100.0; foot < 200; foot += 2 {
		d, err := barrier.Parse("mezzanine.toml", fmt.Appendf(nil, mezzanine, foot))
		if err != nil {
			t.Fatal(err)
		}
		r, err := Run(d, Options{})
		if err != nil {
			t.Fatal(err)
		}
		fails := *r.Proposal[0].LargestUtilisation > 1
		if said := strings.Contains(r.Headline, "fails with the splices that are proposed"); said != fails {
			t.Fatalf("foot %v kNm/rad: headline %q with the proposal at %v", foot, r.Headline, *r.Proposal[0].LargestUtilisation)
		}
		if fails && r.Status == Incomplete {
			return
		}
	}
	t.Error("no foot at which the frames that count hold and the proposal fails: the case is gone")
}

const mezzanine = `
basis = "EN"
[run]
length = "12 m"
spacing = "1.2 m"
toe_plate = "none"
[post]
tube = "EN 10219 48.3x4.0"
grade = "S355J2H"
[post.base]
stiffness = "%v kNm/rad"
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10219 48.3x3.0"
grade = "S355J2H"
through = true
[[rail]]
name = "mid"
height = "550 mm"
tube = "EN 10219 48.3x3.0"
grade = "S355J2H"
through = true
[fitting]
moment = "free"
[[load]]
schedule = "EN 1991-1-1 UK viii"
[scope]
leave_out = ["fitting", "base", "geometry"]
`
