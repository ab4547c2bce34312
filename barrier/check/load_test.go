package check

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// The UK set on an open barrier: the line load on the top rail, the infill point
// load on the intermediate rail, the area load not applicable.
func TestUKSchedule(t *testing.T) {
	outside := compared(t, verification.Barriers, "UK schedule")
	const w, P, h, L = 740.0, 500.0, 1.1, 1.5
	s := lonePosts()
	s.load, s.limits = "schedule = \"EN 1991-1-1 UK v\"", ""
	r := s.check(t)
	const source = "BS 6180:2011 Table 2 row v: 0.74 kN/m, 0.5 kN, memory; EN 1990 6.10"
	outside.equal("base shear", r.Posts[1].BaseShear, 1.5*w*L, source)
	// The vertical point load acts with the line load: second order raises the moment.
	const vertical, foot = 1000.0, 150e3
	pressed, raised := 1.5*vertical, 1.5*w*L*h
	factor := r.Posts[1].BaseMoment / raised
	critical := exactCritical(handE*handI, h, foot)
	least, most := 1/(1-pressed/critical), 1/(1-(pressed+1.35*handWeight()*(h+2*L))/(0.8*critical))
	if factor < least || factor > most {
		t.Errorf("base moment = %.10g, %.4f of 1.5 w L h, want a factor of %.4f to %.4f: 1/(1 - N/Ncr), N the vertical 1.0 kN (BS 6399-1:1996, as reported) and weight, Ncr a lower bound", r.Posts[1].BaseMoment, factor, least, most)
	}
	knee := r.row(t, "rail-bending", "rail knee bay 1")
	outside.equal("knee rail moment", knee.Demand, math.Hypot(1.5*P*L/4, 1.35*handWeight()*L*L/8), source)
	if knee.Load != "point 0.500 kN outward on knee rail at x = 0.750 m" {
		t.Errorf("the knee rail is bent most by %q", knee.Load)
	}
	for _, words := range []string{"infill area load is not applicable, the barrier has no infill", "infill point load is put on each intermediate rail"} {
		if !says(r.Assumptions, words) {
			t.Errorf("assumptions do not say %q: %q", words, r.Assumptions)
		}
	}
	if row := r.row(t, "post-deflection", "post 2"); row.Resistance != 25 || row.Clause != "BS 6180 6.4.1" {
		t.Errorf("movement is held against %v mm of %q, want 25 mm of BS 6180 6.4.1", row.Resistance, row.Clause)
	}
	// One rail has no intermediate one.
	s.knee = ""
	if r := s.check(t); says(r.Assumptions, "knee") {
		t.Errorf("a barrier without a knee rail speaks of one: %q", r.Assumptions)
	}
}

// EN 1991-1-1 acts at the top of the barrier, not above 1.20 m. On lone posts the
// base moment shows the height, however the load is put on the rails.
func TestHeightOfTheLoad(t *testing.T) {
	outside := compared(t, verification.Barriers, "height of the load")
	const w, L = 1000.0, 1.5
	for _, c := range []struct {
		what, height string
		acts         float64 // m
		words        string
	}{
		{"raised: the top of the rail is within half a diameter", "1100 mm", 1.1 + 0.0483/2, "within half a diameter of the axis of rail top at 1.100 m: it stands on that axis, times 1.0220"},
		{"lever: 1.20 m is between the rails", "1300 mm", 1.2, "by simple lever 0.8571 of it goes to rail top and 0.1429 to rail knee"},
		{"within half a diameter below: not lowered", "1220 mm", 1.22, "within half a diameter of the axis of rail top at 1.220 m: it stands on that axis, times 1.0000"},
	} {
		s := lonePosts()
		s.height, s.load, s.limits = c.height, "schedule = \"EN 1991-1-1\"\noccupancy = \"C\"", "deflection = \"120 mm\""
		r := s.check(t)
		outside.equal(c.what, r.Posts[1].BaseMoment, 1.5*w*L*c.acts, "1.5 w L × height")
		if !says(r.Assumptions, c.words) {
			t.Errorf("%s: assumptions do not say %q: %q", c.what, c.words, r.Assumptions)
		}
	}
}

// EN ISO 14122-3 has its own factor, and its line of 300 N/m is one force of the
// larger bay at a post.
func TestMachinerySchedule(t *testing.T) {
	outside := compared(t, verification.Barriers, "machinery schedule")
	const h = 1.1
	s := lonePosts()
	s.run = "posts = [\"0 m\", \"1.5 m\", \"2.3 m\", \"3.3 m\"]\ntoe_plate = \"none\""
	s.load, s.limits = machinery, ""
	r := s.check(t)
	const source = "EN ISO 14122-3 8.2.2, public summary: 1.75 × 300 N/m × L, the ULS action itself"
	for i, larger := range []float64{1.5, 1.5, 1.0, 1.0} {
		outside.equal("base moment", r.Posts[i].BaseMoment, 1.75*300*larger*h, source)
	}
	if c := r.row(t, "post-bending", "post 1").Combination; c != "1.35 G + 1.75 Fu" {
		t.Errorf("combination %q", c)
	}
	// First yield is judged under the strength load, with the permanent unfactored.
	yield := r.row(t, "post-yield", "post 2")
	wel := 2 * handI / 0.0483
	weight := handWeight() * (h + (1.5 + 0.8)) // of the post and half of both rails' bays
	V, M := 1.75*450, 1.75*450*h
	want := math.Hypot(M/wel+weight/handArea, math.Sqrt(3)*2*V/handArea) / 1e6
	outside.equal("stress at first yield, MPa", yield.Demand, want, "√((M/Wel + N/A)² + 3 (2V/A)²) under 1.00 G + 1.75 Fu")
}

// Loads of the user's own.
func TestOwnLoads(t *testing.T) {
	outside := compared(t, verification.Barriers, "own loads")
	const P, L = 800.0, 1.5
	s := lonePosts()
	s.load = "name = \"bag\"\nkind = \"point\"\nvalue = \"0.8 kN\"\nrail = \"knee\"\ndirection = \"down\""
	r := s.check(t)
	row := r.row(t, "rail-bending", "rail knee bay 1")
	outside.equal("moment of a load down", row.Demand, 1.5*P*L/4+1.35*handWeight()*L*L/8, "1.5 P L/4 + 1.35 g L²/8")
	outside.equal("vertical movement", r.Rails[1].VerticalDeflection, 1e3*P*L*L*L/(48*handE*handI)*(1+48*handI*(0.6/(2*handArea))/(L*L*L)), "P L³/48EI and the posts' a/2EA, down positive")
	alone := func(c Caution) bool { return c.ID == "" && strings.HasPrefix(c.Text, "The loads are the user's own") }
	if cautionTriggered(r, "C11") || !slices.ContainsFunc(r.Cautions, alone) {
		t.Errorf("cautions %+v: want a word on own loads alone, and no C11 without a code's load beside", r.Cautions)
	}
	s.load = machinery
	if r := s.check(t); cautionTriggered(r, "C11") || slices.ContainsFunc(r.Cautions, alone) {
		t.Error("a schedule brings the cautions of own loads")
	}
	s.limits = "deflection = \"25 mm\""
	for _, c := range []struct {
		value string
		below bool
	}{{"0.5 kN/m", true}, {"0.74 kN/m", false}} {
		s.load = "schedule = \"EN 1991-1-1 UK v\"\n[[load]]\nname = \"lean\"\nkind = \"line\"\nvalue = \"" + c.value + "\"\ndirection = \"outward\""
		if got := cautionTriggered(s.check(t), "C11"); got != c.below {
			t.Errorf("C11 for an own %s beside the code's 0.74 kN/m: %v, want %v", c.value, got, c.below)
		}
	}
	// Loads act one at a time: the larger counts, not the sum.
	s.load = outward + "\n\n" + strings.NewReplacer("600 N", "500 N", "people", "others").Replace(outward)
	outside.equal("base moment under two loads", s.check(t).Posts[1].BaseMoment, 1.5*600*1.1, "the larger alone")
	// Across and inward are mirrors of outward.
	for _, direction := range []string{"inward", "across", "horizontal"} {
		s.load = strings.Replace(outward, "outward", direction, 1)
		outside.equal(direction+": base moment", s.check(t).Posts[1].BaseMoment, 1.5*600*1.1, "1.5 P h")
	}
}
