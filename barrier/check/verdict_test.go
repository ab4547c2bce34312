package check

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
)

// example reads one of the whole barriers.
func example(t testing.TB, name string) *barrier.Definition {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", name)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	d, err := barrier.Parse(path, data)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// README's worked example: the end post beside the splice governs at about 0.60,
// and with fittings and feet left out the rest passes.
func TestGallery(t *testing.T) {
	outside := compared(t, verification.Barriers, "resistance of the gallery")
	r := result(t, example(t, "gallery.toml"), Options{})
	g := r.Governing
	if g.Overall.ID != "post-bending" || g.Overall.Element != "post 7" || math.Abs(*g.Overall.Utilisation-0.60) > 0.005 {
		t.Errorf("governing %+v at %v, want post-bending of post 7 at 0.60", g.Overall, *g.Overall.Utilisation)
	}
	if g.Strength != g.Overall && g.Strength.Element != "post 7" || g.Deflection.Element != "post 7" {
		t.Errorf("strength %+v, deflection %+v, want post 7 in both", g.Strength, g.Deflection)
	}
	if r.Status != Pass || r.ScopeComplete || len(r.Unchecked) != 0 {
		t.Errorf("status %s, scope complete %v, unchecked %+v; want pass, not complete, nothing open", r.Status, r.ScopeComplete, r.Unchecked)
	}
	if want := "members, deflection, geometry pass; left out by the user: fittings and splices; socket, foot and ground"; r.Headline != want {
		t.Errorf("headline %q, want %q", r.Headline, want)
	}
	outside.near("post 7 bending resistance, Nm", r.row(t, "post-bending", "post 7").Resistance, 1271, 0.5, "6.52 cm³ × 195 MPa = 1271 Nm")
}

// What a verdict says, by what the barrier lacks.
func TestVerdict(t *testing.T) {
	for _, c := range []struct {
		what     string
		change   func(*scenario)
		status   Status
		complete bool
		headline string
	}{
		{"all left out", func(*scenario) {}, Pass, false,
			"members, deflection pass; left out by the user: fittings and splices; socket, foot and ground; geometry"},
		{"nothing left out", func(s *scenario) { s.scope = "leave_out = []" }, Incomplete, true,
			"members, deflection pass; not checked: fittings, socket, foot and ground"},
		{"a splice too", func(s *scenario) { s.scope, s.top = "leave_out = [\"base\"]", "splices = [\"1.8 m\"]" }, Incomplete, false,
			"members, deflection pass; not checked: fittings, splices; left out by the user: socket, foot and ground"},
		{"fittings tested", func(s *scenario) {
			s.scope, s.fitting = baseOut, "slip_force = \"2 kN\"\ntransverse_force = \"2 kN\"\nvalues = \"design\""
		}, Pass, false, "members, deflection, fittings pass; left out by the user: socket, foot and ground; geometry"},
		{"two posts too weak", func(s *scenario) {
			s.load = strings.Replace(outward, "600 N", "1.2 kN", 1)
			s.limits = "deflection = \"100 mm\""
		}, Fail, false, "fails: post-bending of post 1 and 9 more; left out by the user: fittings and splices; socket, foot and ground; geometry"},
	} {
		s := throughRails()
		c.change(&s)
		r := s.check(t)
		if r.Status != c.status || r.ScopeComplete != c.complete {
			t.Errorf("%s: %s, scope complete %v; want %s, %v", c.what, r.Status, r.ScopeComplete, c.status, c.complete)
		}
		headline := c.headline
		if c.status == Fail { // how many others fail is counted, not pinned
			failed := 0
			for i := range r.Checks {
				if r.Checks[i].Status == Fail {
					failed++
				}
			}
			if failed < 3 {
				t.Errorf("%s: %d checks fail, want several", c.what, failed)
			}
			head, tail := r.Governing.Overall.ID+" of "+r.Governing.Overall.Element, headline[strings.Index(headline, ";"):]
			headline = "fails: " + head + " and " + strconv.Itoa(failed-1) + " more" + tail
		}
		if r.Headline != headline {
			t.Errorf("%s: headline %q, want %q", c.what, r.Headline, headline)
		}
	}
}

// A utilisation above 1 fails, however little, on the unrounded number, and is
// printed rounded up.
func TestJustAboveOneFails(t *testing.T) {
	limit := 1.5 * 600 * 1.1 // the base moment of lone posts
	for _, c := range []struct {
		times  float64
		status Status
	}{{1 + 1e-8, Pass}, {1 - 1e-8, Fail}} {
		s := lonePosts()
		d := s.definition(t)
		d.Post.Ring.Wpl = limit / d.Post.Grade.Fy * c.times
		row := result(t, d, Options{}).row(t, "post-bending", "post 2")
		if row.Status != c.status {
			t.Errorf("resistance %.8f of the demand: %s at %.9f, want %s", c.times, row.Status, *row.Utilisation, c.status)
		}
	}
	for u, want := range map[float64]float64{1.0000001: 1001, 1: 1000, 0.5981: 599, 0.598: 598} {
		if got := thousandths(u); got != want {
			t.Errorf("thousandths(%v) = %v, want %v", u, got, want)
		}
	}
}

// First yield stands beside the code checks, but above 1 it fails, governs and
// counts among the utilisations: 1.75 Fu on the elastic modulus, 1.36 times less.
func TestFirstYieldAboveOne(t *testing.T) {
	s := lonePosts()
	s.grade, s.load = "S235JRH", machinery
	s.run = "length = \"7.2 m\"\nspacing = \"2.4 m\"\ntoe_plate = \"none\""
	s.limits = "deflection = \"100 mm\"\noverride = true"
	r := s.check(t)
	yield, bending := r.row(t, "post-yield", "post 2"), r.row(t, "post-bending", "post 2")
	if !(*yield.Utilisation > 1 && *bending.Utilisation < 1) {
		t.Fatalf("first yield %v, bending %v: the case must have them on both sides of 1", *yield.Utilisation, *bending.Utilisation)
	}
	if r.Status != Fail || yield.Status != Fail || r.Governing.Overall.ID != "post-yield" || !strings.HasPrefix(r.Headline, "fails: post-yield of post 2") {
		t.Errorf("status %s, governing %+v, headline %q; want first yield to fail", r.Status, r.Governing.Overall, r.Headline)
	}
	if u := *r.Posts[1].Utilisation; u != *yield.Utilisation {
		t.Errorf("post 2 prints %v, want its first yield %v", u, *yield.Utilisation)
	}
	// Below 1 it does not govern.
	s.run = "length = \"4.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\""
	r = s.check(t)
	if u := r.yield("post-yield"); u > 1 || u < *r.Governing.Overall.Utilisation || isYield(r.Governing.Overall.ID) {
		t.Errorf("first yield at %v beside %+v: below 1 it stands beside", u, r.Governing.Overall)
	}
}

// The loads of the machinery example are read from a public summary; the tubes and
// grades of EN 10219 are held from memory. A governing check that rests on memory
// says so.
func TestGoverningCheckFromMemory(t *testing.T) {
	r := throughRails().check(t)
	memory := r.row(t, r.Governing.Overall.ID, r.Governing.Overall.Element).Provenance == "memory"
	if memory != says(r.ownCautions(), "The governing strength check") || memory != cautionTriggered(r, "C2") {
		t.Errorf("governing check is from memory: %v; cautions %q", memory, r.ownCautions())
	}
	if !memory {
		t.Error("the case must rest on memory")
	}
}

// Compression is checked for member buckling however little it is, and 1/(1 - N/Ncr) above
// 1.10 is run in second order: nothing is open for stability.
func TestStabilityIsNotLeftAlone(t *testing.T) {
	outside := compared(t, verification.Barriers, "stability")
	s := lonePosts()
	down := "name = \"stack\"\nkind = \"point\"\nvalue = \"VALUE kN\"\ndirection = \"down\""
	for _, c := range []struct {
		value  string
		kN     float64
		second bool
	}{{"0.5", 0.5, false}, {"1.2", 1.2, false}, {"2.6", 2.6, true}} {
		s.load, s.limits = strings.Replace(down, "VALUE", c.value, 1), "deflection = \"none\""
		r := s.check(t)
		if says(r.Assumptions, "run in second order") != c.second || len(r.Unchecked) > 0 || r.Status != Pass {
			t.Errorf("%s kN: status %s, unchecked %+v; want second order %v", c.value, r.Status, r.Unchecked, c.second)
		}
		// By hand: 1/Ncr = 4h²/π²EI + h/k, curve c, no moment.
		h := 1.1
		slenderness := math.Sqrt(handArea * handFy * (4*h*h/(math.Pi*math.Pi*handE*handI) + h/150e3))
		phi := 0.5 * (1 + 0.49*(slenderness-0.2) + slenderness*slenderness)
		chi := 1 / (phi + math.Sqrt(phi*phi-slenderness*slenderness))
		n := (1.5*1e3*c.kN + 1.35*handWeight()*(h+3)) / (chi * handArea * handFy)
		outside.equal("NEd/Nb,Rd", *r.row(t, "post-buckling", "post 2").Utilisation, n, "by hand, post with two bays of two rails")
	}
}

// Every id that a report uses is of the closed list, each once.
func TestCheckIDs(t *testing.T) {
	known := map[string]bool{}
	for _, id := range CheckIDs() {
		if known[id.ID] || id.Meaning == "" {
			t.Errorf("id %q twice, or without a meaning", id.ID)
		}
		known[id.ID] = true
	}
	s := throughRails()
	s.scope, s.fitting = baseOut, "slip_force = \"2 kN\"\ntransverse_force = \"2 kN\"\nvalues = \"design\""
	s.limits = "deflection = \"30 mm\"\nspan = \"4 mm\"\nvertical = \"2 mm\""
	r := s.check(t)
	used := map[string]bool{}
	last := -1
	for _, c := range r.Checks {
		if !known[c.ID] {
			t.Errorf("check id %q is not of the list", c.ID)
		}
		at := slices.IndexFunc(CheckIDs(), func(id CheckID) bool { return id.ID == c.ID })
		if at < last {
			t.Errorf("%s of %s is out of the order of the list", c.ID, c.Element)
		}
		used[c.ID], last = true, at
	}
	for _, id := range []string{"post-bending", "post-shear", "post-torsion", "post-interaction", "post-yield", "post-deflection",
		"rail-bending", "rail-shear", "rail-torsion", "rail-interaction", "rail-yield", "rail-deflection", "rail-span-deflection", "rail-vertical-deflection",
		"fitting-slip", "fitting-force"} {
		if !used[id] {
			t.Errorf("no %s among the checks", id)
		}
	}
	ids := CheckIDs()
	ids[0].ID = "changed"
	if CheckIDs()[0].ID == "changed" {
		t.Error("a caller can change the list")
	}
}

// The lists of checks name everything: each post and each rail has its rows.
func TestEveryElementIsChecked(t *testing.T) {
	r := throughRails().check(t)
	for i := range r.Posts {
		for _, id := range []string{"post-bending", "post-shear", "post-torsion", "post-interaction", "post-yield", "post-deflection"} {
			r.row(t, id, postName(i))
		}
	}
	for _, rail := range []string{"top", "knee"} {
		for _, id := range []string{"rail-bending", "rail-shear", "rail-torsion", "rail-interaction", "rail-yield", "rail-deflection"} {
			n := 0
			for _, c := range r.Checks {
				if c.ID == id && strings.HasPrefix(c.Element, "rail "+rail+" bay ") {
					n++
				}
			}
			if n != 1 {
				t.Errorf("%d rows of %s of rail %s, want the worst bay alone", n, id, rail)
			}
		}
	}
}
