package check

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
)

// braceOn is a brace of the scenario's tube on a post, from 1.
func braceOn(post int, height, foot string) string {
	return fmt.Sprintf("[[brace]]\npost = %d\nheight = %q\nfoot = { %s }\ntube = \"EN 10219 48.3x3.2\"\ngrade = \"S235JRH\"\n", post, height, foot)
}

// braced is a scenario with braces.
func braced(t testing.TB, s scenario, braces ...string) *barrier.Definition {
	t.Helper()
	return parse(t, s.toml()+strings.Join(braces, ""))
}

// weightless takes the weight of everything, so that hand formulas have the load alone.
func weightless(d *barrier.Definition) *barrier.Definition {
	d.Post.Grade.Density = 1e-9
	for i := range d.Rails {
		d.Rails[i].Grade.Density = 1e-9
	}
	for i := range d.Braces {
		d.Braces[i].Grade.Density = 1e-9
	}
	return d
}

// TestProppedPostByHand is the scenario of lone posts, 600 N outward, with a brace on its
// second post: what a cantilever on a foot of stiffness k and a bar give each other by
// compatibility, the same at each place of the result.
func TestProppedPostByHand(t *testing.T) {
	outside := compared(t, verification.Barriers, "post with a brace")
	const h, a, d, k, f, how = 1.1, 0.9, 0.7, 150e3, 600.0, "compatibility of post, foot and bar"
	r := result(t, weightless(braced(t, lonePosts(), braceOn(2, "900 mm", `outward = "700 mm", level = "0 mm"`))), Options{})
	ei, ea, l := handE*handI, handE*handArea, math.Hypot(a, d)
	free := f * (a*a*(3*h-a)/(6*ei) + h*a/k)
	give := d / l * d / l * (a*a*a/(3*ei) + a*a/k)
	n := d / l * free / (l/ea + give + a/l*a/l*a/ea)
	row := r.Braces[0]
	outside.equal("compression", row.Compression, 1.5*n, how)
	if row.Tension > 1e-3 {
		t.Errorf("a load outward pulls a brace that stands outward by %g N", row.Tension)
	}
	if row.Brace != 1 || row.Post != 2 || row.Height != 0.9 || row.FootOutward != 0.7 || row.FootAlong != 0 || row.FootLevel != 0 {
		t.Errorf("the brace is %+v", row)
	}
	outside.equal("length", row.Length, l, "Pythagoras")
	outside.equal("brace-interaction", *r.row(t, "brace-interaction", "brace 1").Utilisation, math.Pow(1.5*n/(handArea*handFy), 1.7), "EN 1993-1-1 6.2.9.1 without a moment")
	outside.equal("brace-yield", *r.row(t, "brace-yield", "brace 1").Utilisation, n/(handArea*handFy), "N/A")
	slenderness := math.Sqrt(handArea * handFy / (math.Pi * math.Pi * ei / (l * l)))
	phi := 0.5 * (1 + 0.49*(slenderness-0.2) + slenderness*slenderness)
	outside.equal("brace-buckling", *r.row(t, "brace-buckling", "brace 1").Utilisation, 1.5*n*(phi+math.Sqrt(phi*phi-slenderness*slenderness))/(handArea*handFy), "EN 1993-1-1 6.3.1, curve c")
	equal(t, "utilisation", *row.Utilisation, *r.row(t, "brace-buckling", "brace 1").Utilisation, "the largest of its checks")
	for _, foot := range r.BraceFeet {
		factor := map[string]float64{"design": 1.5, "characteristic": 1}[foot.Level]
		outside.equal(foot.Level+" "+foot.ExtremeOf+": Fy", foot.Fy, factor*n*d/l, "along the brace")
		outside.equal(foot.Level+" "+foot.ExtremeOf+": Fz", foot.Fz, -factor*n*a/l, "along the brace")
	}
	if len(r.BraceFeet) != 4 {
		t.Errorf("the brace has %d rows of its foot, want Fz- and H, design and characteristic: %+v", len(r.BraceFeet), r.BraceFeet)
	}
	for _, c := range []struct {
		tube, kind string
		want       float64
	}{{"brace", "slip", 1.5 * n}, {"post", "slip", 1.5 * n * a / l}, {"post", "force", 1.5 * n * d / l}} {
		at := slices.IndexFunc(r.Fittings, func(f FittingRow) bool { return f.Fitting == "brace 1" && f.Tube == c.tube && f.ExtremeOf == c.kind })
		if at < 0 {
			t.Errorf("no %s of the %s among the fittings", c.kind, c.tube)
			continue
		}
		got := map[string]float64{"slip": r.Fittings[at].Slip, "force": r.Fittings[at].Force}[c.kind]
		outside.equal(c.tube+" "+c.kind, got, c.want, "along the brace, up and level")
	}
	// The post beside it is a cantilever as ever.
	outside.equal("base moment of post 1", r.Posts[0].BaseMoment, 1.5*f*h, "lone cantilever")
	outside.equal("base moment of post 2", r.Posts[1].BaseMoment, math.Abs(1.5*(f*h-n*d/l*a)), "statics")
	outside.equal("base axial of post 2", r.Posts[1].BaseAxial, 1.5*n*a/l, "statics: the brace lifts the post")
}

// TestBracesOnEitherSide turns hazard and load over: everything but the axes stays.
func TestBracesOnEitherSide(t *testing.T) {
	s := throughRails()
	left := result(t, braced(t, s, braceOn(3, "900 mm", `outward = "-700 mm", along = "100 mm"`)), Options{})
	s.run += "\nhazard = \"right\""
	right := result(t, braced(t, s, braceOn(3, "900 mm", `outward = "-700 mm", along = "100 mm"`)), Options{})
	a, b := left.Braces[0], right.Braces[0]
	equal(t, "compression", b.Compression, a.Compression, "mirror image")
	equal(t, "tension", b.Tension, a.Tension, "mirror image")
	if len(left.BraceFeet) != len(right.BraceFeet) || len(left.BraceFeet) < 4 {
		t.Fatalf("%d and %d rows of the foot", len(left.BraceFeet), len(right.BraceFeet))
	}
	for i := range left.BraceFeet {
		a, b := left.BraceFeet[i], right.BraceFeet[i]
		equal(t, a.ExtremeOf+": Fy", b.Fy, -a.Fy, "mirror image")
		equal(t, a.ExtremeOf+": Fz", b.Fz, a.Fz, "mirror image")
	}
}

// TestBracesAreNeverSilent: what holds a brace has no check, so nothing passes while it is in
// the scope, tested values of the rails' fittings or not; left out it keeps its demand.
func TestBracesAreNeverSilent(t *testing.T) {
	s := lonePosts()
	brace := braceOn(2, "900 mm", `outward = "700 mm", level = "0 mm"`)
	left := result(t, braced(t, s, brace), Options{})
	if left.Status != Pass || len(left.Unchecked) > 0 || left.ScopeComplete {
		t.Errorf("with all left out: %s, unchecked %+v", left.Status, left.Unchecked)
	}
	s.scope = "leave_out = [\"base\", \"geometry\"]"
	s.fitting = "moment = \"free\"\nslip_force = \"20 kN\"\ntransverse_force = \"20 kN\"\nslip_moment = \"1 kNm\"\nmoment_resistance = \"1 kNm\"\nvalues = \"design\""
	tested := result(t, braced(t, s, brace), Options{})
	if tested.Status != Incomplete || tested.open("brace fitting: slip along the brace") == nil {
		t.Errorf("tested values of the rails' fittings: %s, unchecked %+v", tested.Status, tested.Unchecked)
	}
	s.scope = "leave_out = [\"fitting\", \"geometry\"]"
	feet := result(t, braced(t, s, brace), Options{})
	if feet.Status != Incomplete {
		t.Errorf("feet in the scope: %s", feet.Status)
	}
	for _, c := range []struct {
		in   []Item
		item string
		want float64
	}{
		{left.LeftOut, "brace fitting: slip along the brace (largest: brace 1)", left.Braces[0].Compression},
		{left.LeftOut, "foot of a brace and ground: downward force (largest: brace 1)", -left.BraceFeet[0].Fz},
		{feet.Unchecked, "foot of a brace and ground: downward force (largest: brace 1)", -left.BraceFeet[0].Fz},
		{feet.Unchecked, "foot of a brace and ground: horizontal force (largest: brace 1)", math.Hypot(left.BraceFeet[1].Fx, left.BraceFeet[1].Fy)},
		{tested.Unchecked, "brace fitting: force across the post (largest: brace 1)", left.BraceFeet[1].Fy},
	} {
		it := item(c.in, c.item)
		if it == nil {
			t.Errorf("%s is neither open nor left out", c.item)
			continue
		}
		if math.Abs(it.Demand-c.want) > 0.02*c.want { // the brace's own weight is between them
			t.Errorf("%s: %g N, want about %g", c.item, it.Demand, c.want)
		}
	}
	var links []string
	for _, l := range feet.LoadPath {
		links = append(links, l.Link+" "+string(l.Status))
	}
	if got := strings.Join(links, ", "); !strings.Contains(got, "post checked, brace checked, brace fitting left out, brace foot unchecked, socket unchecked") {
		t.Errorf("the load path is %s", got)
	}
	if !strings.Contains(feet.Headline, "brace feet") || !strings.Contains(tested.Headline, "brace fittings") {
		t.Errorf("headlines: %s; %s", feet.Headline, tested.Headline)
	}
}

// TestBraceTakesSecondOrderOfItsPost presses the post hard by a brace that is pulled: the
// force of the brace takes the factor that the lower bound of the post's critical force
// gives the post.
func TestBraceTakesSecondOrderOfItsPost(t *testing.T) {
	outside := compared(t, verification.Barriers, "brace of a pressed post")
	s := lonePosts()
	s.base, s.load = "stiffness = \"25 kNm/rad\"", "kind = \"point\"\nvalue = \"300 N\"\ndirection = \"outward\""
	d := weightless(braced(t, s, braceOn(2, "1100 mm", `outward = "-600 mm", level = "0 mm"`)))
	c, err := calculate(d, Options{}, whole)
	if err != nil {
		t.Fatal(err)
	}
	x, post := &c.worst.braces[0], &c.worst.posts[1]
	k := 1 / (1 - post.pressed*(4*1.1*1.1/(math.Pi*math.Pi*handE*handI)+1.1/25e3))
	if k < 1.02 || k > 1.09 {
		t.Fatalf("the factor is %v: choose another load", k)
	}
	const how = "1/(1 - N/Ncr), 1/Ncr = 4h²/π²EI + h/k"
	outside.equal("factor", x.factor(), k, how)
	outside.equal("tension", x.tension.Value, k*x.tension.State.N, how)
	c.report()
	outside.equal("design tension", c.out.Braces[0].Tension, k*x.tension.State.N, how)
	outside.equal("uplift", c.out.BraceFeet[0].Fz, k*x.tension.State.N*1.1/math.Hypot(1.1, 0.6), how)
	// Beyond 1.10 the frame is run, and what the fitting and the foot are asked stays open.
	s.load = strings.Replace(s.load, "300", "1500", 1)
	r := result(t, braced(t, s, braceOn(2, "1100 mm", `outward = "-600 mm", level = "0 mm"`)), Options{})
	if row := r.row(t, "brace-buckling", "brace 1"); row.Status != Pass || row.SecondOrder == "" || r.open("second order: fittings and feet of braces") == nil {
		t.Errorf("far beyond: %+v, unchecked %+v", row, r.Unchecked)
	}
}

// TestBraceLeansOnItsPost sets the foot of a brace far above that of its post: its
// compression leans on the post by more than the post's tension holds.
func TestBraceLeansOnItsPost(t *testing.T) {
	outside := compared(t, verification.Barriers, "brace that leans")
	s := lonePosts()
	s.load = "kind = \"point\"\nvalue = \"3 kN\"\ndirection = \"outward\""
	level := result(t, braced(t, s, braceOn(2, "1000 mm", `outward = "700 mm", level = "0 mm"`)), Options{})
	if it := level.open("second order: braces of post 2"); it != nil {
		t.Errorf("a brace on the level of its post leans: %+v", it)
	}
	above := braced(t, s, braceOn(2, "1000 mm", `outward = "300 mm", level = "500 mm"`))
	r := result(t, above, Options{})
	it := r.open("second order: braces of post 2")
	if it == nil || r.Status == Pass {
		t.Fatalf("a foot half way up the post: %s, unchecked %+v", r.Status, r.Unchecked)
	}
	rise, length := 0.5, math.Hypot(0.5, 0.3)
	critical := 1 / (4*1.1*1.1/(math.Pi*math.Pi*handE*handI) + 1.1/150e3)
	outside.equal("leaning", it.Demand, r.Braces[0].Compression*rise/length*(1.0/rise-1)/critical, "N rise/L (height/rise - 1) over Ncr of the post")
}

// TestBracedPostHasNoHandCheck: a lone cantilever is no hand formula for a post that a brace
// props, and that is said once.
func TestBracedPostHasNoHandCheck(t *testing.T) {
	s := lonePosts()
	var braces []string
	for post := range 4 {
		braces = append(braces, braceOn(post+1, "600 mm", `outward = "700 mm"`))
	}
	r := result(t, braced(t, s, braces...), Options{})
	for _, h := range r.HandChecks {
		if strings.HasPrefix(h.Element, "post") {
			t.Errorf("hand check of a braced post: %+v", h)
		}
	}
	said := 0
	for _, a := range r.Assumptions {
		if strings.HasPrefix(a, "No hand formula stands beside base and top of post ") {
			said++
		}
	}
	if said == 0 || said > 2 {
		t.Errorf("%d sentences say why: %v", said, r.Assumptions)
	}
}

// TestTestPieceStandsWithoutBraces: between walls the standard's piece of three posts has no
// brace, and is no worse for one on the run.
func TestTestPieceStandsWithoutBraces(t *testing.T) {
	s := throughRails()
	s.run = "posts = [\"0 m\", \"1.5 m\", \"3 m\", \"4.5 m\"]\nstart = \"wall\"\nend = \"wall\"\ntoe_plate = \"none\""
	s.load, s.limits = machinery, ""
	plain := result(t, parse(t, s.toml()), Options{})
	r := result(t, braced(t, s, braceOn(1, "900 mm", `outward = "700 mm"`)), Options{})
	if !says(r.Assumptions, "The test piece stands without braces.") {
		t.Errorf("assumptions: %v", r.Assumptions)
	}
	for _, id := range []string{"post-bending", "post-deflection"} {
		equal(t, id, *r.row(t, id, "test piece post 2").Utilisation, *plain.row(t, id, "test piece post 2").Utilisation, "the same piece")
	}
	for i := range r.Checks {
		if strings.HasPrefix(r.Checks[i].Element, "test piece brace") {
			t.Errorf("the test piece has %+v", r.Checks[i])
		}
	}
}

// TestBracesInWords: where a section of a braced post is, and how braces are modelled.
func TestBracesInWords(t *testing.T) {
	s := lonePosts()
	r := result(t, braced(t, s, braceOn(2, "900 mm", `outward = "700 mm"`)), Options{Trails: true})
	if at := r.row(t, "post-bending", "post 2").Section; at != "below brace 1" && at != "above brace 1" {
		t.Errorf("the post's bending is largest at %q", at)
	}
	if at := r.row(t, "brace-buckling", "brace 1").Section; !strings.HasSuffix(at, " m from its foot") {
		t.Errorf("the brace's section is %q", at)
	}
	for _, words := range []string{"Braces are pinned at both ends", "A brace is a strut", "Own weight of posts, rails and braces"} {
		if !says(r.Assumptions, words) {
			t.Errorf("nothing says %q in %v", words, r.Assumptions)
		}
	}
	trail := slices.IndexFunc(r.Trails, func(tr Trail) bool { return tr.ID == "brace-buckling" })
	if trail < 0 || len(r.Trails[trail].Steps) < 10 {
		t.Errorf("the trail of the brace's buckling is %+v", r.Trails)
	}
}

// TestBracesOfAISC: the same ids on the other bases, compression by E3 and bending in H1.
func TestBracesOfAISC(t *testing.T) {
	for _, basis := range []string{"AISC-LRFD", "AISC-ASD"} {
		text := guard(basis, "ASTM A53 NPS 1-1/2 STD", "42 in", "15 ft", "5 ft", point200) +
			"[[brace]]\npost = 2\nheight = \"36 in\"\nfoot = { outward = \"-28 in\", level = \"0 in\" }\ntube = \"ASTM A53 NPS 1-1/4 STD\"\ngrade = \"Grade B\"\n"
		r := result(t, parse(t, text), Options{})
		for id, clause := range map[string]string{"brace-interaction": "AISC 360-22 H1.1 (H1-1b)", "brace-buckling": "AISC 360-22 E3"} {
			if row := r.row(t, id, "brace 1"); row.Clause != clause || row.Utilisation == nil {
				t.Errorf("%s: %s is %+v", basis, id, row)
			}
		}
		if r.Braces[0].Tension < r.Braces[0].Compression {
			t.Errorf("%s: a load outward presses a brace that stands inward: %+v", basis, r.Braces[0])
		}
	}
}
