package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

const baseOut = "leave_out = [\"base\", \"geometry\"]"

// The demand on the fittings of lone posts, by hand: a load at the fitting goes
// straight into it, with the weight of half a bay of rail: of both rail ends down
// the post, of one across each end.
func TestFittingDemandByHand(t *testing.T) {
	outside := compared(t, verification.Joints, "force of a fitting")
	const P, L = 600.0, 1.5
	r := lonePosts().check(t)
	found := map[string]*FittingRow{}
	for i := range r.Fittings {
		f := &r.Fittings[i]
		if strings.HasSuffix(f.Fitting, " top") {
			found[f.Tube+" "+f.ExtremeOf] = f
		}
		if f.Moment > 1e-6 || f.Twist > 1e-6 || f.Level != "design" {
			t.Errorf("free fitting passes %v Nm and twist %v Nm, level %s", f.Moment, f.Twist, f.Level)
		}
	}
	weight := 1.35 * handWeight() * L / 2
	for what, want := range map[string]float64{"rail force": math.Hypot(1.5*P, weight), "post force": 1.5 * P, "post slip": 2 * weight} {
		f := found[what]
		if f == nil {
			t.Errorf("no %s among the fittings", what)
			continue
		}
		got := map[string]float64{"force": f.Force, "slip": f.Slip}[f.ExtremeOf]
		outside.equal(what, got, want, "1.5 P across, 1.35 g L/2 down the post")
	}
	it := item(r.LeftOut, "fitting: force across the rail")
	if it == nil || it.Reason != "left out by the user" {
		t.Fatalf("left out: %+v, want the force across the rail", r.LeftOut)
	}
	equal(t, "demand left out", it.Demand, math.Hypot(1.5*P, weight), "that of the fitting")
}

// A tested value is compared at the level of actions that its word asks for,
// after its factor: characteristic and design values with factored actions, working
// values with unfactored ones.
func TestTestedValues(t *testing.T) {
	outside := compared(t, verification.Joints, "tested values of a fitting")
	const P, L = 600.0, 1.5
	design := math.Hypot(1.5*P, 1.35*handWeight()*L/2)
	characteristic := math.Hypot(P, handWeight()*L/2)
	for _, c := range []struct {
		values             string
		demand, resistance float64
		limitState         string
	}{
		{"values = \"characteristic\"\nvalues_factor = 1.25", design, 2000 / 1.25, "ULS"},
		{"values = \"design\"", design, 2000, "ULS"},
		{"values = \"working\"", characteristic, 2000, "SLS"},
	} {
		s := lonePosts()
		s.scope, s.fitting = baseOut, "moment = \"free\"\ntransverse_force = \"2 kN\"\nslip_force = \"1 kN\"\n"+c.values
		r := s.check(t)
		row := r.row(t, "fitting-force", "fitting 1 top")
		outside.equal(c.values+": demand", row.Demand, c.demand, "by hand")
		outside.equal(c.values+": resistance", row.Resistance, c.resistance, "value over factor")
		equal(t, c.values+": utilisation", *row.Utilisation, c.demand/c.resistance, "demand over resistance")
		if row.LimitState != c.limitState {
			t.Errorf("%s: limit state %s, want %s", c.values, row.LimitState, c.limitState)
		}
		// Every demand of free fittings is tested: nothing is left open.
		if r.Status != Pass || r.open("fitting") != nil || !strings.Contains(r.Headline, "fittings") {
			t.Errorf("%s: status %s, headline %q, unchecked %+v; want pass with fittings", c.values, r.Status, r.Headline, r.Unchecked)
		}
		if link := r.LoadPath[1]; link.Status != Checked || link.Utilisation == nil || math.Abs(*link.Utilisation-r.largest("fitting-")) > 0 {
			t.Errorf("%s: link %+v, want checked at the largest of the fittings", c.values, link)
		}
		if !cautionTriggered(r, "C6") {
			t.Errorf("%s: C6 is not triggered", c.values)
		}
	}
}

func cautionTriggered(r *Result, id string) bool {
	for _, c := range r.Cautions {
		if c.ID == id {
			return c.Triggered
		}
	}
	return false
}

// With some of the values missing their demands stay unchecked.
func TestSomeTestedValuesAreMissing(t *testing.T) {
	s := lonePosts()
	s.scope, s.fitting = baseOut, "moment = \"free\"\ntransverse_force = \"2 kN\"\nvalues = \"design\""
	r := s.check(t)
	if r.Status != Incomplete || r.open("fitting: slip along the post") == nil || r.open("fitting: force") != nil {
		t.Errorf("status %s, unchecked %+v; want incomplete for slip alone", r.Status, r.Unchecked)
	}
	if link := r.LoadPath[1]; link.Status != Unchecked || link.Note != "checked in part" || link.Utilisation == nil {
		t.Errorf("link %+v, want unchecked, checked in part", link)
	}
	s.fitting = "moment = \"free\"\ntransverse_force = \"900 N\"\nvalues = \"design\"" // less than 1.5 x 600 N and weight
	if link := s.check(t).LoadPath[1]; link.Status != Unchecked || link.Note != "checked in part; FAILS in that" {
		t.Errorf("link %+v, want it told to fail", link)
	}
	s.fitting = "moment = \"free\""
	r = s.check(t)
	if r.Status != Incomplete || r.open("fitting: slip along the post") == nil || r.open("fitting: force across the rail") == nil || r.has("fitting-force") {
		t.Errorf("status %s, unchecked %+v; want both demands unchecked", r.Status, r.Unchecked)
	}
	if link := r.LoadPath[1]; link.Status != Unchecked || link.Utilisation != nil {
		t.Errorf("link %+v, want unchecked", link)
	}
}

// A fitting that holds too little fails the barrier.
func TestFittingFails(t *testing.T) {
	s := lonePosts()
	s.scope, s.fitting = baseOut, "moment = \"free\"\ntransverse_force = \"900 N\"\nslip_force = \"1 kN\"\nvalues = \"design\""
	r := s.check(t)
	if row := r.row(t, "fitting-force", "fitting 1 top"); r.Status != Fail || row.Status != Fail {
		t.Errorf("status %s, %+v; 900.3 N on 900 N must fail", r.Status, row)
	}
	if r.Governing.Overall.ID != "fitting-together" || !strings.HasPrefix(r.Headline, "fails: fitting-together of fitting 2 top") {
		t.Errorf("governing %+v, headline %q; slip comes on top of it", r.Governing.Overall, r.Headline)
	}
}
