package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// within fails where a value is not that of its source, to a tolerance.
func isNear(t *testing.T, name string, got, want, tol float64, source string) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %v, want %v within %v (source: %s)", name, got, want, tol, source)
	}
}

const (
	testInch  = 0.0254          // m, exact
	testPound = 4.4482216152605 // N, exact
)

// A guard base plate and its fixing (city permit record, US, 2019): 200 lb at 3.5 ft, bolt
// couple of 3.5 in: T = 2,400 lb; plate arm 1.25 in, 3,000 lb·in, width 3 in, 21,600 psi:
// t = 0.53 in.
func TestGuardBasePlate(t *testing.T) {
	outside := compared(t, verification.Feet, "guard base plate")
	const source = "public city permit record of a US city, 2019"
	moment := 8400 * testPound * testInch
	// Four bolts, two rows 3.5 in apart, as the sheet has it: rotation about the bolt group.
	f := flangeOf([]barrier.BoltPlace{{Outward: 1.75 * testInch, Along: testInch}, {Outward: 1.75 * testInch, Along: -testInch}, {Outward: -1.75 * testInch, Along: testInch}, {Outward: -1.75 * testInch, Along: -testInch}}, barrier.LargerOfGroupAndTube, 0)
	g := newBoltGroup(f, 1.5*testInch, 1)
	p := g.pulled(leaningTo(moment, 0))
	row := 0.0
	for i := range g.x {
		row += math.Max(0, p.ax*g.x[i]+p.ay*g.y[i])
	}
	outside.near("T of the row, flange", row/testPound, 2400, 0.5, source)
	// The same couple between the rows of a bracket.
	b := newBracketBolts(&barrier.Bracket{Eccentricity: 0.1, Spacing: 3.5 * testInch, Columns: 1, Width: 0.1, Prying: 1}, 1)
	u := b.under(FootActions{Mx: -moment})
	outside.near("T of the row, bracket", u.upper/testPound, 2400, 0.5, source)
	// The plate: 0.6 of 36 ksi is the 21,600 psi of the sheet.
	bent := &barrier.Flange{Thickness: 0.53 * testInch, Fy: 36 * 6.894757293168361e6, ElasticPlate: true, Bolts: f.Bolts}
	q := &plate{flange: bent, tube: 0.75 * testInch, share: 0.6}
	radius := 2 * testInch
	outside.near("arm of the plate", q.lever(radius)/testInch, 1.25, 1e-9, source)
	perWidth := q.moment(radius) / q.width(radius)
	needed := 0.53 * math.Sqrt(3000*testPound*testInch/(perWidth*3*testInch))
	outside.near("t of the plate, in", needed, 0.53, 0.005, source)
}

// The check numbers of the side-fixed post: T upper = [H(h + s) + N a]/s, lower compression
// T - H, inward T lower = [H h - N a]/s, with bearing at the edge [H(h + s + g) + N a]/(s + g)
// (statics). Numbers by hand: H 1 kN, h 1.1 m, s 120 mm, g 40 mm, N 200 N, a 70 mm:
// (1220 + 14)/0.12 = 10283 N; inward without the weight's relief 1100/0.12 = 9167 N, with it
// 1086/0.12 = 9050 N; at the edge (1260 + 14)/0.16 = 7962.5 N.
func TestSideFixedPost(t *testing.T) {
	outside := compared(t, verification.Feet, "side-fixed post")
	const source = "statics, by hand"
	outward := FootActions{Fy: 1000, Mx: -1100, Fz: -200}
	inward := FootActions{Fy: -1000, Mx: 1100, Fz: -200}
	bracket := barrier.Bracket{Eccentricity: 0.07, Spacing: 0.12, Columns: 2, ColumnSpacing: 0.1, Bottom: 0.04, Top: 0.04, Prying: 1}
	b := newBracketBolts(&bracket, 1)
	u := b.under(outward)
	outside.near("upper", u.upper, 1234/0.12, 1e-9, source)
	outside.near("lower, pressed", -u.lower, u.upper-1000-200*0.07/0.12, 1e-9, "statics: C = T - H, without the relief of weight")
	u = b.under(inward)
	outside.near("lower, inward", u.lower, 1100/0.12, 1e-9, source)
	bracket.Weight = true
	u = b.under(inward)
	outside.near("lower, inward, weight counted", u.lower, 1086/0.12, 1e-9, source)
	u = b.under(outward)
	outside.near("lower, pressed, weight counted", -u.lower, u.upper-1000, 1e-9, "statics: C = T - H")
	bracket.EdgeBearing = true
	outside.near("upper, at the edge", b.under(outward).upper, 7962.5, 1e-9, source)
	outside.near("lower, at the edge", b.under(inward).lower, (1100+1000*-0.04-14)/0.16, 1e-9, "moments about the upper edge")
	// Posts inside the face: outward load presses the upper row and pulls the lower.
	bracket.EdgeBearing, bracket.Outward = false, true
	in := newBracketBolts(&bracket, 1)
	isNear(t, "face outward", in.under(outward).lower, 1086/0.12, 1e-9, "mirror of the inward load")
	// The hazard on the right: outward is -Y.
	bracket.Outward = false
	right := newBracketBolts(&bracket, -1)
	isNear(t, "hazard right", right.under(FootActions{Fy: -1000, Mx: 1100, Fz: -200}).upper, 1234/0.12, 1e-9, "mirror")
}

// Load along the run and twist about the post: shears and pulls of the bolts balance the actions at
// the face (statics).
func TestBracketBalances(t *testing.T) {
	outside := compared(t, verification.Feet, "bracket in balance")
	bracket := barrier.Bracket{Eccentricity: 0.07, Below: 0.03, Spacing: 0.12, Columns: 3, ColumnSpacing: 0.05, Prying: 1}
	for _, outward := range []float64{1, -1} {
		b := newBracketBolts(&bracket, outward)
		a := FootActions{Fx: 500, Fy: outward * 800, Fz: -300, Mx: -outward * 900, My: 550, Mz: 20}
		u := b.under(a)
		var fx, fz, my, mz float64
		for i := range b.count() {
			x, z := b.inPlane(&u, i)
			row, at := b.place(i)
			up := -b.Below - float64(row)*b.Spacing
			fx, fz, my = fx+x, fz+z, my+up*x-at*z
			mz += 2 * at * outward * b.twistPull(&u, i) // what is pressed on the other side is as much
		}
		outside.near("Fx", fx, a.Fx, 1e-9, "statics")
		outside.near("Fz", fz, a.Fz, 1e-9, "statics")
		outside.near("My", my, a.My, 1e-9, "statics, about the point where the post is held")
		outside.near("Mz", mz, a.Mz-outward*0.07*a.Fx, 1e-9, "statics, at the face")
	}
	// One column: the pull of both rows at 0.8 of half the width.
	bracket.Columns, bracket.ColumnSpacing, bracket.Width = 1, 0, 0.1
	b := newBracketBolts(&bracket, 1)
	u := b.under(FootActions{Mz: 20})
	outside.near("one column", 2*b.twistPull(&u, 0)*0.04, 20, 1e-9, "statics")
}

// steelOf returns the checks of bolts of a size and class.
func steelOf(t *testing.T, bolt, class, codes string, basis loads.Basis) *anchoring {
	t.Helper()
	b, _, ok := sections.FindBolt(bolt)
	c, _, found := sections.FindBoltClass(class, codes)
	if !ok || !found {
		t.Fatal(bolt, class)
	}
	return &anchoring{kind: "flange", anchors: &barrier.Anchors{Bolt: &b, Class: &c}, basis: basis}
}

// Bolt steel. EN 1993-1-8 Table 3.4: M12 8.8 has Ft,Rd = 0.9 x 800 x 84.3/1.25 = 48.56 kN and
// Fv,Rd = 0.6 x 800 x 84.3/1.25 = 32.37 kN (design tables, from memory: 48.6 and 32.4 kN).
// AISC Manual Tables 7-1 and 7-2, from memory: a 3/4 in bolt of the 120 ksi group, threads not
// excluded, has φrn 29.8 kips in tension and 17.9 kips in shear, rn/Ω 19.9 and 11.9.
func TestBoltSteel(t *testing.T) {
	outside := compared(t, verification.Feet, "steel of bolts")
	en := steelOf(t, "M12", "8.8", "EN", loads.BasisEN)
	outside.near("Ft,Rd alone", en.steelEN(48.6e3, 0, nil), 1, 0.002, "EN 1993-1-8 Table 3.4; design tables, memory: 48.6 kN")
	outside.near("Fv,Rd alone", en.steelEN(0, 32.4e3, nil), 1, 0.002, "EN 1993-1-8 Table 3.4; design tables, memory: 32.4 kN")
	outside.near("both", en.steelEN(24.28e3, 16.19e3, nil), 0.5+0.5/1.4, 0.001, "EN 1993-1-8 Table 3.4, memory")
	const kip = 1000 * testPound
	lrfd := steelOf(t, "3/4 in", "ASTM A325", "AISC", loads.BasisLRFD)
	outside.near("φ tension", lrfd.steelAISC(29.8*kip, 0, nil), 1, 0.002, "AISC Manual Table 7-2, memory")
	outside.near("φ shear", lrfd.steelAISC(0, 17.9*kip, nil), 1, 0.002, "AISC Manual Table 7-1, memory")
	asd := steelOf(t, "3/4 in", "ASTM A325", "AISC", loads.BasisASD)
	outside.near("tension/Ω", asd.steelAISC(19.9*kip, 0, nil), 1, 0.002, "AISC Manual Table 7-2, memory")
	outside.near("shear/Ω", asd.steelAISC(0, 11.9*kip, nil), 1, 0.004, "AISC Manual Table 7-1, memory")
	// J3-3a: F'nt = 1.3 Fnt - Fnt/(φFnv) frv: at 0.65 of both it is just met.
	outside.near("combined", lrfd.steelAISC(0.65*29.82*kip, 0.65*17.89*kip, nil), 1, 0.002, "AISC 360 J3-3a at its own point, memory")
}

// Interaction through its end points; each rule holds at what it prints.
func TestAnchorInteraction(t *testing.T) {
	tension, shear := 10e3, 8e3
	for _, c := range []struct {
		rule   barrier.InteractionRule
		t, v   float64
		want   float64
		source string
	}{
		{barrier.LinearSum, 1, 0, 1, "end point"}, {barrier.LinearSum, 0, 1, 1, "end point"}, {barrier.LinearSum, 0.5, 0.5, 1, "linear sum"},
		{barrier.PowerSum, 1, 0, 1, "end point"}, {barrier.PowerSum, 0, 1, 1, "end point"}, {barrier.PowerSum, 0.5, 0.5, 2 * math.Pow(0.5, 1.5), "EN 1992-4 Table 7.3, memory"},
		{barrier.LinearTo120, 1, 0, 1, "end point"}, {barrier.LinearTo120, 1, 0.2, 1, "EN 1992-4, ACI 318: up to 1.2"}, {barrier.LinearTo120, 0.6, 0.6, 1, "EN 1992-4: up to 1.2"},
	} {
		n := &anchoring{kind: "flange", anchors: &barrier.Anchors{Tension: &tension, Shear: &shear, ValuesFactor: 1, Interaction: c.rule}, bolts: oneBolt{c.t * tension, c.v * shear}}
		f := n.interaction()
		a := FootActions{}
		isNear(t, string(c.rule), f.judge(&a, nil), c.want, 1e-12, c.source)
	}
}

// oneBolt is a bolt with a tension and a shear.
type oneBolt struct{ tension, shear float64 }

func (b oneBolt) count() int                               { return 1 }
func (b oneBolt) under(FootActions) burden                 { return burden{} }
func (b oneBolt) force(burden, int) (float64, float64)     { return b.tension, b.shear }
func (b oneBolt) together(burden) float64                  { return b.tension }
func (oneBolt) sheared(a *FootActions) (float64, string)   { return a.Shear(), "" }
func (b oneBolt) noteTension(*FootActions, int, *Recorder) {}
func (b oneBolt) noteShear(*FootActions, int, *Recorder)   {}
func (b oneBolt) row(int) BoltRow                          { return BoltRow{} }

// Prying by the plate: none while the plate holds, then the balance T m = MRd + Q n of mode 2 of the
// T-stub (EN 1993-1-8 Table 6.2, memory: FT,2 = (2 Mpl + n ΣFt)/(m + n) for two bolts is the same),
// and no jump between.
func TestPryingByThePlate(t *testing.T) {
	f := flangeOf(circle(4, 0.05, 0), barrier.LargerOfGroupAndTube, 0)
	f.Diameter, f.Thickness, f.Fy, f.PlatePrying = 0.14, 0.008, 235e6, true
	p := newPlate(f, testTube, loads.BasisEN)
	m, n, resists := p.lever(0.05), p.pryLever(0.05), p.moment(0.05)
	isNear(t, "edge", n, 0.02, 1e-12, "140/2 - 50 mm, less than 1.25 m")
	edge := resists / m
	isNear(t, "below", p.pried(0.9*edge, 0.05), 0.9*edge, 1e-9, "the plate does not yield")
	isNear(t, "at", p.pried(edge, 0.05), edge, 1e-9, "continuous")
	bolt := p.pried(1.5*edge, 0.05)
	isNear(t, "mode 2", 1.5*edge, (resists+n*bolt)/(m+n), 1e-6, "EN 1993-1-8 Table 6.2: FT,2, Mpl of one hinge")
}

// A whole run: the demand of the row is that of the method on the base actions that are printed; the
// needed resistance is reported where none is given, and no pass then.
func TestFlangeOfARun(t *testing.T) {
	s := throughRails()
	s.scope = ""
	text := strings.Replace(s.toml(), "[[rail]]", `[post.base.flange]
bolts = 4
circle = "90 mm"
turned = "45 deg"

[[rail]]`, 1)
	text = strings.Replace(text, "[post.base]", "[post.base]\nkind = \"flange\"", 1)
	r := result(t, parse(t, text), Options{})
	if r.Status == Pass {
		t.Error("passes without any resistance of the anchors")
	}
	worst := 0.0
	for _, p := range r.Posts {
		worst = math.Max(worst, p.BaseMoment)
	}
	found := false
	for _, it := range r.Unchecked {
		if it.What != "anchor tension, per bolt" {
			continue
		}
		found = true
		isNear(t, "needed tension", it.Demand, worst*8.933, 0.001*it.Demand, "DEVELOPERS.md, Feet: 8.93 kN for 1 kNm square to the load")
		if !strings.Contains(it.Reason, "post.base.flange.tension") {
			t.Errorf("does not say what to give: %q", it.Reason)
		}
	}
	if !found {
		t.Errorf("no demand on the anchors: %+v", r.Unchecked)
	}
	if len(r.Bolts) != 4 {
		t.Fatalf("%d bolts are told", len(r.Bolts))
	}
	// With a resistance it is judged, and half of it doubles the utilisation.
	given := strings.Replace(text, `turned = "45 deg"`, "turned = \"45 deg\"\ntension = \"20 kN\"\nshear = \"10 kN\"\nvalues = \"design\"", 1)
	half := strings.Replace(given, "20 kN", "10 kN", 1)
	a, b := result(t, parse(t, given), Options{Trails: true}), result(t, parse(t, half), Options{})
	for i := range a.Checks {
		row := &a.Checks[i]
		if row.ID != "base-flange-tension" {
			continue
		}
		other := b.row(t, row.ID, row.Element)
		isNear(t, "twice", *other.Utilisation, 2**row.Utilisation, 1e-8, "linear; results have nine figures")
	}
}

// A mirrored barrier has mirrored bolts: the hazard on the other side changes nothing but sides.
func TestBoltsOfAMirroredRun(t *testing.T) {
	s := throughRails()
	s.scope = ""
	text := strings.Replace(s.toml(), "[[rail]]", `[post.base.flange]
at = [["50 mm", "0 mm"], ["-45 mm", "30 mm"], ["-40 mm", "-35 mm"]]

[[rail]]`, 1)
	text = strings.Replace(text, "[post.base]", "[post.base]\nkind = \"flange\"", 1)
	left := result(t, parse(t, text), Options{})
	right := result(t, parse(t, strings.Replace(text, "[run]", "[run]\nhazard = \"right\"", 1)), Options{})
	if len(left.Bolts) != 3 || len(right.Bolts) != 3 {
		t.Fatalf("%d and %d bolts", len(left.Bolts), len(right.Bolts))
	}
	largest := func(r *Result) (most float64) {
		for _, b := range r.Bolts {
			most = math.Max(most, b.Tension)
		}
		return most
	}
	// Mirrored across the run alone the bolts' places along it stay: the load may stand at the other
	// end, so the largest of all posts agrees.
	isNear(t, "largest tension", largest(right), largest(left), 1e-6*largest(left), "symmetry of a run about its middle")
}

// The stiffness of bolts under a rigid flange: two bolts in line with the moment, D/2 from the tube's
// face, give EA/L (R + D/2)², and the softest direction is sought (statics). Four at 45 deg give
// 2 EA/L (R/√2 + D/2)².
func TestStiffnessFromFixing(t *testing.T) {
	base := strings.Replace(throughRails().toml(), "[[rail]]", `[post.base.flange]
bolts = 4
circle = "90 mm"
turned = "45 deg"
bolt = "M12"
stretch = "80 mm"

[[rail]]`, 1)
	s := throughRails()
	text := strings.Replace(base, s.base, "kind = \"flange\"\nstiffness = \"from fixing\"", 1)
	d := parse(t, text)
	ea := 200e9 * 84.3e-6 / 0.08
	lever := 0.045/math.Sqrt2 + testTube/2
	square := 2 * ea * lever * lever
	diagonal := ea * (math.Pow(0.045+testTube/2, 2) + 2*math.Pow(testTube/2, 2))
	softest := math.Min(square, diagonal)
	if k := d.Post.Base.Stiffness[0]; k > softest*(1+1e-9) || k < 0.9*softest {
		t.Errorf("%v Nm/rad, want the softest of all directions, at most %v", k, softest)
	}
	r := result(t, d, Options{})
	if !strings.HasPrefix(r.Foot.Statement, "found from the fixing") {
		t.Errorf("%q", r.Foot.Statement)
	}
}

// A foot that a load only presses, with weight counted, has a working of numbers: no moment has no
// direction, and the bolts take nothing (statics).
func TestPressedFlangeIsExplained(t *testing.T) {
	for _, a := range []FootActions{{Fz: -500}, {Fz: -500, Mx: 1}, {Fz: 500}, {}} {
		f := flangeOf(circle(4, 0.05, 0.3), barrier.LargerOfGroupAndTube, 0)
		f.Weight = true
		b := newFlangeBolts(f, testTube, 1, newPlate(f, testTube, loads.BasisEN))
		r := &Recorder{}
		b.noteTension(&a, 0, r)
		want := math.Max(0, a.Fz) / 4
		for _, s := range r.Steps {
			if math.IsNaN(s.Value) || math.IsInf(s.Value, 0) {
				t.Errorf("%+v: %s is %v", a, s.Symbol, s.Value)
			}
			if s.Symbol == "T" && !within(s.Value, want, 1e-12) {
				t.Errorf("%+v: T = %v N, want %v", a, s.Value, want)
			}
		}
	}
}

// All bolts together are sheared in their plane: of a flange horizontally, of a bracket on a
// vertical face along the run and vertically (statics; resistance.md B6, shear per bolt N/2).
func TestGroupShearLiesInThePlaneOfTheBolts(t *testing.T) {
	a := FootActions{Fx: 300, Fy: 400, Fz: -1200, Mx: 50}
	f := flangeOf(circle(4, 0.05, 0), barrier.LargerOfGroupAndTube, 0)
	given := 5000.0
	for _, c := range []struct {
		name  string
		bolts bolts
		want  float64
	}{
		{"flange", newFlangeBolts(f, testTube, 1, newPlate(f, testTube, loads.BasisEN)), 500},
		{"side", newBracketBolts(&barrier.Bracket{Eccentricity: 0.1, Spacing: 0.1, Columns: 1, Width: 0.1, Prying: 1}, 1), math.Hypot(300, 1200)},
	} {
		n := &anchoring{kind: c.name, anchors: &barrier.Anchors{GroupShear: &given, ValuesFactor: 1}, bolts: c.bolts}
		for _, check := range n.footings() {
			if check.id != "base-"+c.name+"-group-shear" {
				continue
			}
			r := &Recorder{}
			if used := check.judge(&a, r); !within(r.Demand, c.want, 1e-12) || !within(used, c.want/given, 1e-12) {
				t.Errorf("%s: %v N, want %v", check.id, r.Demand, c.want)
			}
			if r.Steps[0].Formula == "" {
				t.Errorf("%s: no formula: %+v", check.id, r.Steps[0])
			}
		}
	}
}
