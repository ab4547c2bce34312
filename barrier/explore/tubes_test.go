package explore_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/sections"
)

// pairsOf makes candidates of the tubes of the tables that a filter keeps.
func pairsOf(t testing.TB, filter explore.TubeFilter, railsDiffer bool) []explore.Candidate {
	t.Helper()
	kept, err := filter.Keep(explore.FromTables())
	if err != nil {
		t.Fatal(err)
	}
	kept, _ = explore.Graded(kept)
	pairs, err := explore.Pairs(kept, railsDiffer)
	if err != nil {
		t.Fatal(err)
	}
	return pairs
}

func rank(t testing.TB, doc *barrier.Document, candidates []explore.Candidate, o explore.TubeOptions) *explore.TubeRanking {
	t.Helper()
	if o.By == "" {
		o.By = explore.ByMass
	}
	r, err := explore.Tubes(context.Background(), doc, candidates, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// few keeps DN32 to DN50, medium and heavy.
func few() explore.TubeFilter {
	return explore.TubeFilter{Standards: []string{"EN 10255"}, SmallestOD: 0.042, LargestOD: 0.0604, SmallestWall: 0.0031}
}

// TestRankingByHand ranks six tubes by the printed mass of their metre. The gallery has 7 posts
// of 1.1 m and 2 rails of 9 m on 9 m of run: 25.7 m of tube, 2.8556 times the mass of a metre.
// Masses: EN 10255, plain ends, from memory.
func TestRankingByHand(t *testing.T) {
	printed := map[string]float64{
		"EN 10255 DN32 medium": 3.10, "EN 10255 DN32 heavy": 3.79,
		"EN 10255 DN40 medium": 3.56, "EN 10255 DN40 heavy": 4.37,
		"EN 10255 DN50 medium": 5.03, "EN 10255 DN50 heavy": 6.19,
	}
	r := rank(t, document(t, "gallery.toml"), pairsOf(t, few(), false), explore.TubeOptions{})
	record := verification.New(t, verification.Answers)
	var order []string
	for _, row := range r.Rows {
		want, known := printed[row.Post.Tube]
		if !known {
			continue
		}
		order = append(order, row.Post.Tube)
		by := want * 25.7 / 9
		if math.Abs(row.Given.Mass-by) > 0.01*by {
			t.Errorf("%s: %.3f kg/m of run, by the printed mass %.3f", row.Post.Tube, row.Given.Mass, by)
		}
		record.Add(verification.Comparison{
			Row: "mass of candidates by the metre of run", Case: row.Post.Tube + ", kg/m", Source: "EN 10255 masses, from memory, of 25.7 m on 9 m", Provenance: verification.Memory, Theirs: by, Ours: row.Given.Mass,
		})
	}
	// DN32 medium fails and so is the last, though it is the lightest.
	want := []string{"EN 10255 DN40 medium", "EN 10255 DN32 heavy", "EN 10255 DN40 heavy", "EN 10255 DN50 medium", "EN 10255 DN50 heavy", "EN 10255 DN32 medium"}
	if !slices.Equal(order, want) {
		t.Errorf("the order is\n%q, want\n%q", order, want)
	}
}

// TestRowsAreChecks holds what a row says to a check of the same file with other tubes written
// into it.
func TestRowsAreChecks(t *testing.T) {
	r := rank(t, document(t, "gallery.toml"), pairsOf(t, few(), false), explore.TubeOptions{})
	failed := 0
	for _, row := range r.Rows {
		written := definition(t, document(t, "gallery.toml", "EN 10255 DN40 medium", row.Post.Tube))
		result, err := check.Run(written, check.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if row.Status != result.Status {
			t.Errorf("%s: %s, a check says %s", row.Post.Tube, row.Status, result.Status)
			continue
		}
		if row.Status == check.Fail {
			holdFailing(t, &row, result)
			failed++
			continue
		}
		moment, deflection, slip := 0.0, 0.0, 0.0
		for _, post := range result.Posts {
			moment, deflection = max(moment, post.BaseMoment), max(deflection, post.TopDeflection)
		}
		for _, rail := range result.Rails {
			deflection = max(deflection, rail.Deflection)
		}
		for _, fitting := range result.Fittings {
			slip = max(slip, math.Abs(fitting.Slip))
		}
		b := row.Given
		for _, c := range []struct {
			what      string
			got, want float64
		}{
			{"utilisation", *b.Governing.Utilisation, *result.Governing.Overall.Utilisation},
			{"base moment", *b.BaseMoment, moment},
			{"deflection", *b.Deflection, deflection},
			{"slip", *b.FittingSlip, slip},
			{"feet", float64(b.Feet), 7},
			{"feet per metre", b.FeetPerM, 7.0 / 9},
			{"spacing", b.Spacing, 1.5},
		} {
			if math.Abs(c.got-c.want) > 1e-8*math.Abs(c.want) {
				t.Errorf("%s: %s %v, a check says %v", row.Post.Tube, c.what, c.got, c.want)
			}
		}
		if b.Governing.ID != result.Governing.Overall.ID || !b.Worst {
			t.Errorf("%s: by %s (the worst: %t), a check says by %s", row.Post.Tube, b.Governing.ID, b.Worst, result.Governing.Overall.ID)
		}
	}
	if failed == 0 || failed == len(r.Rows) {
		t.Errorf("%d of %d rows fail, and some of either are wanted", failed, len(r.Rows))
	}
}

// holdFailing holds that what a row tells to fail does so in a check of its file, by as much or by
// more, and that it tells nothing that was not worked out.
func holdFailing(t *testing.T, row *explore.TubeRow, result *check.Result) {
	t.Helper()
	b := row.Given
	if !slices.ContainsFunc(result.Checks, func(c check.CheckRow) bool {
		return c.ID == b.Governing.ID && c.Element == b.Governing.Element && c.Status == check.Fail && *c.Utilisation >= *b.Governing.Utilisation*(1-1e-8)
	}) {
		t.Errorf("%s: %s of %s is told to fail at %v, and a check does not find it", row.Post.Tube, b.Governing.ID, b.Governing.Element, *b.Governing.Utilisation)
	}
	if b.Worst || b.BaseMoment != nil || b.FittingSlip != nil || b.Deflection != nil || b.Unchecked != nil {
		t.Errorf("%s: what was not worked out is told: %+v", row.Post.Tube, b)
	}
}

// TestLargestSpacingAgainstAllLayouts judges every layout in whole bays of a short run, and
// compares the largest in which nothing fails.
func TestLargestSpacingAgainstAllLayouts(t *testing.T) {
	doc := document(t, "vat-house.toml", `length    = "12 m"`, `length    = "5 m"`)
	r := rank(t, doc, pairsOf(t, few(), false)[:3], explore.TubeOptions{LargestSpacing: true})
	for _, row := range r.Rows {
		want := 0.0
		for bays := 1; 5.0/float64(bays) >= 0.3; bays++ {
			d, err := doc.Definition(
				barrier.Change{Path: "post.tube", Value: row.Post.Tube}, barrier.Change{Path: "post.grade", Value: "S195T"},
				barrier.Change{Path: "rail[0].tube", Value: row.Post.Tube}, barrier.Change{Path: "rail[0].grade", Value: "S195T"},
				barrier.Change{Path: "rail[1].tube", Value: row.Post.Tube}, barrier.Change{Path: "rail[1].grade", Value: "S195T"},
				barrier.Change{Path: "run.spacing"}, barrier.Change{Path: "run.length"}, barrier.Change{Path: "run.posts", Value: equalBays(5, bays)})
			if err != nil {
				t.Fatal(err)
			}
			result, err := check.Run(d, check.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if result.Status != check.Fail {
				want = max(want, 5/float64(bays))
			}
		}
		if row.Largest == nil || math.Abs(row.Largest.Spacing-want) > 1e-9 {
			t.Errorf("%s: largest spacing %+v, of all layouts %v", row.Post.Tube, row.Largest, want)
		}
	}
}

// TestLargestSpacingIsThatOfSpacing compares, for the tubes that files have, what the comparison
// and the search for one barrier answer: on a run with listed posts, on one with a gate, and on legs.
func TestLargestSpacingIsThatOfSpacing(t *testing.T) {
	for _, file := range []string{"pump-pit.toml", "quay-gate.toml", "sampling-platform.toml"} {
		doc := document(t, file)
		d := definition(t, doc)
		r := rank(t, doc, pairOf(t, &d.Post.Member, &d.Rails[0].Member), explore.TubeOptions{LargestSpacing: true})
		if len(r.Rows) != 1 || !r.Rows[0].AsInFile || r.Rows[0].Largest == nil {
			t.Fatalf("%s: %d rows, wanted is one of the file's own tubes that stands: %+v", file, len(r.Rows), r)
		}
		got := r.Rows[0].Largest.Spacing
		s, err := explore.LargestSpacing(t.Context(), doc, explore.SpacingOptions{DownTo: got * 0.999})
		if err != nil {
			t.Fatal(err)
		}
		if s.Largest == nil || math.Abs(*s.Largest-got) > 1e-9 {
			t.Errorf("%s: the comparison finds %v m, the search of one barrier %v", file, got, s.Largest)
		}
	}
}

// pairOf is the candidate of the tables with the tubes of two members.
func pairOf(t *testing.T, post, rail *barrier.Member) []explore.Candidate {
	t.Helper()
	of := func(s *explore.Stocked, m *barrier.Member) bool {
		return s.Tube == m.Tube.Name && s.Grade == m.Grade.Name && s.GradeStandard == m.Grade.Standard
	}
	all := explore.FromTables()
	all = slices.DeleteFunc(all, func(s explore.Stocked) bool { return !of(&s, post) && !of(&s, rail) })
	pairs, err := explore.Pairs(all, true)
	if err != nil {
		t.Fatal(err)
	}
	return slices.DeleteFunc(pairs, func(c explore.Candidate) bool { return !of(&c.Post, post) || !of(&c.Rail, rail) })
}

func equalBays(length float64, bays int) []any {
	var posts []any
	for i := range bays + 1 {
		posts = append(posts, fmt.Sprintf("%.17g m", length*float64(i)/float64(bays)))
	}
	return posts
}

// TestLargestSpacingOfListedPosts: a run that lists its posts is divided into whole bays as well,
// and the mass there is that of the layout found.
func TestLargestSpacingOfListedPosts(t *testing.T) {
	doc := document(t, "pump-pit.toml")
	r := rank(t, doc, pairsOf(t, few(), false)[:1], explore.TubeOptions{LargestSpacing: true})
	largest := r.Rows[0].Largest
	if largest == nil || math.Abs(math.Mod(5.7/largest.Spacing+1e-9, 1)) > 2e-9 || largest.Feet != int(math.Round(5.7/largest.Spacing))+1 {
		t.Fatalf("on 5.7 m of run: %+v", largest)
	}
}

// TestFilters keeps tubes by what is asked, and counts them over the tables by hand.
func TestFilters(t *testing.T) {
	for _, c := range []struct {
		name   string
		filter explore.TubeFilter
		keeps  func(tube sections.Tube, grade sections.Grade) bool
	}{
		{"none", explore.TubeFilter{}, func(sections.Tube, sections.Grade) bool { return true }},
		{"a standard without its part", explore.TubeFilter{Standards: []string{"en 10219"}}, func(t sections.Tube, _ sections.Grade) bool { return t.Standard == "EN 10219-2" }},
		{"two by number", explore.TubeFilter{Standards: []string{"10255", "A500"}}, func(t sections.Tube, _ sections.Grade) bool {
			return t.Standard == "EN 10255" || t.Standard == "ASTM A500"
		}},
		{"a number that is part of another", explore.TubeFilter{Standards: []string{"39"}}, func(t sections.Tube, _ sections.Grade) bool { return t.Standard == "EN 39" }},
		{"a grade", explore.TubeFilter{Grades: []string{"s235jrh"}}, func(_ sections.Tube, g sections.Grade) bool { return g.Name == "S235JRH" }},
		{"a grade of a standard", explore.TubeFilter{Grades: []string{"EN 10219-1 S355J2H"}}, func(_ sections.Tube, g sections.Grade) bool {
			return g.Name == "S355J2H" && g.Standard == "EN 10219-1"
		}},
		{"a material", explore.TubeFilter{Materials: []string{"aluminium"}}, func(t sections.Tube, _ sections.Grade) bool { return t.Material == sections.Aluminium }},
		{"sizes", explore.TubeFilter{LargestOD: 0.0603, SmallestOD: 0.0424, SmallestWall: 0.0026, LargestWall: 0.004}, func(t sections.Tube, _ sections.Grade) bool {
			return t.OD <= 0.0603+1e-9 && t.OD >= 0.0424-1e-9 && t.Wall >= 0.0026-1e-9 && t.Wall <= 0.004+1e-9
		}},
	} {
		var want []string
		for _, tube := range sections.Tubes() {
			for _, grade := range tube.Grades() {
				if c.keeps(tube, grade) {
					want = append(want, tube.Name+" in "+grade.Name)
				}
			}
		}
		var got []string
		kept, err := c.filter.Keep(explore.FromTables())
		kept, _ = explore.Graded(kept)
		for i := range kept {
			got = append(got, kept[i].In(quantity.Metric))
		}
		if err != nil || len(got) == 0 || !slices.Equal(got, want) {
			t.Errorf("%s: keeps %d, want %d (%v)\n%q\n%q", c.name, len(got), len(want), err, got, want)
		}
	}
}

// TestFilterNamesWhatNothingAnswersTo tells every such word at once, with the nearest.
func TestFilterNamesWhatNothingAnswersTo(t *testing.T) {
	filter := explore.TubeFilter{Standards: []string{"EN 10291"}, Grades: []string{"S235JRX", "S355J2H"}, Materials: []string{"aluminum"}}
	_, err := filter.Keep(explore.FromTables())
	const want = `no candidate is of standard "EN 10291"; nearest: EN 10219-2, EN 10210-2, EN 10255
no candidate is of grade "S235JRX"; nearest: S235JRH, S275J0H, S235GT
no candidate is of material "aluminum"; nearest: aluminium`
	if err == nil || err.Error() != want {
		t.Errorf("the filter says\n%v\nwant\n%s", err, want)
	}
	filter = explore.TubeFilter{Standards: []string{"EN 10255"}, Grades: []string{"S355J2H"}}
	if _, err := filter.Keep(explore.FromTables()); err == nil || !strings.Contains(err.Error(), "no tube is left") {
		t.Errorf("a filter that excludes all gives %v", err)
	}
}

// TestGradesOfTubes: a grade is found by its full name, and a tube without one is named.
func TestGradesOfTubes(t *testing.T) {
	var without []string
	for _, tube := range sections.Tubes() {
		if len(tube.Grades()) == 0 {
			without = append(without, tube.Name)
		}
		for _, grade := range tube.Grades() {
			if found, _, err := sections.FindGrade(grade.FullName(), tube, tube.Wall); err != nil || found.Name != grade.Name || found.Standard != grade.Standard || found.Fy != grade.Fy {
				t.Errorf("%s in %s is found as %s: %v", tube.Name, grade.FullName(), found.FullName(), err)
			}
		}
	}
	graded, named := explore.Graded(explore.FromTables())
	if !slices.Equal(named, without) || len(without) == 0 {
		t.Errorf("without a grade are %q, named are %q", without, named)
	}
	if len(graded)+len(named) != len(explore.FromTables()) {
		t.Error("a tube is neither a candidate nor named")
	}
}

// TestPairs makes every pair of a tube for posts and one for rails, and no other.
func TestPairs(t *testing.T) {
	stock := definition(t, document(t, "vat-house.toml")).Stock
	tubes := explore.FromStock(stock)
	for _, c := range []struct {
		differ bool
		want   int
	}{{false, 3}, {true, 5 * 4}} {
		pairs, err := explore.Pairs(tubes, c.differ)
		if err != nil || len(pairs) != c.want {
			t.Errorf("%d pairs, want %d: three tubes are for both, one for rails, two for posts (%v)", len(pairs), c.want, err)
		}
	}
	if _, err := explore.Pairs(tubes[3:], false); err == nil {
		t.Error("tubes for one use alone make candidates of one tube")
	}
}

// TestRefusedIsListed has rails 70 mm apart, which a tube of 76.1 mm cannot be.
func TestRefusedIsListed(t *testing.T) {
	filter := explore.TubeFilter{Standards: []string{"EN 10219"}, Grades: []string{"S235JRH"}, SmallestOD: 0.0603, LargestOD: 0.0761}
	candidates := pairsOf(t, filter, false)
	wide := 0
	for _, c := range candidates {
		if strings.Contains(c.Post.Tube, "76.1x") {
			wide++
		}
	}
	r := rank(t, document(t, "gallery.toml", `height  = "600 mm"`, `height  = "1030 mm"`), candidates, explore.TubeOptions{})
	if wide == 0 || wide == len(candidates) || len(r.Refused) != wide || len(r.Refused)+len(r.Rows) != len(candidates) || r.Done != len(candidates) {
		t.Fatalf("%d refused and %d rows of %d candidates, of which %d are too wide", len(r.Refused), len(r.Rows), len(candidates), wide)
	}
	for _, refused := range r.Refused {
		if !strings.Contains(refused.Post.Tube, "76.1x") || refused.Reason != `rail[1].height: the axis is 70 mm from that of rail "top", and their tubes need 76.1 mm` {
			t.Errorf("%s is refused for %q", refused.Post.Tube, refused.Reason)
		}
	}
}

// TestInterruptLeavesWhatIsDone ends the comparison after a few candidates.
func TestInterruptLeavesWhatIsDone(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	candidates := pairsOf(t, few(), true)
	r, err := explore.Tubes(ctx, document(t, "gallery.toml"), candidates, explore.TubeOptions{By: explore.ByMass, Progress: func(done, _ int) {
		if done == 5 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Fatalf("error %v", err)
	}
	if !r.Interrupted || r.Done != 5 || len(r.Rows) != 5 || r.Candidates != len(candidates) {
		t.Errorf("%d done of %d, %d rows; want the 5 that were done", r.Done, r.Candidates, len(r.Rows))
	}
	whole := rank(t, document(t, "gallery.toml"), candidates[:5], explore.TubeOptions{})
	if !reflect.DeepEqual(r.Rows, whole.Rows) {
		t.Error("the rows are not those of a comparison of the same candidates alone")
	}
}

// TestSameOnAnyNumberOfProcessors compares whole rankings.
func TestSameOnAnyNumberOfProcessors(t *testing.T) {
	on := func(n int) *explore.TubeRanking {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
		return rank(t, document(t, "vat-house.toml"), pairsOf(t, few(), false), explore.TubeOptions{LargestSpacing: true})
	}
	if one, eight := on(1), on(8); !reflect.DeepEqual(one, eight) {
		t.Errorf("on one processor\n%+v\non eight\n%+v", one, eight)
	}
}

// TestVerdictsAreApart ranks an incomplete barrier behind those that pass and before those that
// fail: nothing unchecked is called a pass.
func TestVerdictsAreApart(t *testing.T) {
	doc := document(t, "gallery.toml", `leave_out = ["fitting", "base"]`, `leave_out = ["base"]`)
	r := rank(t, doc, pairsOf(t, few(), false), explore.TubeOptions{})
	if r.Pass != 0 || r.Incomplete == 0 || r.Fail == 0 {
		t.Fatalf("%d pass, %d incomplete, %d fail; no fitting value is given, so none can pass", r.Pass, r.Incomplete, r.Fail)
	}
	for i, row := range r.Rows {
		if want := i < r.Incomplete; (row.Status == check.Incomplete) != want {
			t.Errorf("row %d is %s", i+1, row.Status)
		}
		if row.Given.Pareto {
			t.Errorf("row %d is in a set of those that pass", i+1)
		}
	}
	for i := r.Incomplete + 1; i < len(r.Rows); i++ {
		if r.Rows[i].Given.Mass < r.Rows[i-1].Given.Mass {
			t.Errorf("row %d is lighter than the one before", i+1)
		}
	}
}

// TestGeometryThatNoTubeMends names the rule where every candidate breaks one, and is silent where one does not: the knee
// rail stands so low that the gap above it, 500 mm at most by EN ISO 14122-3 (from memory), is too large with any tube.
func TestGeometryThatNoTubeMends(t *testing.T) {
	low := document(t, "gallery.toml", `height  = "600 mm"`, `height  = "400 mm"`)
	if r := rank(t, low, pairsOf(t, few(), false), explore.TubeOptions{}); !strings.Contains(r.Geometry, "500 mm") || r.Fail != len(r.Rows) {
		t.Errorf("%q, %d of %d fail", r.Geometry, r.Fail, len(r.Rows))
	}
	if r := rank(t, document(t, "gallery.toml"), pairsOf(t, few(), false), explore.TubeOptions{}); r.Geometry != "" {
		t.Errorf("%q of a barrier that keeps every rule", r.Geometry)
	}
}

// TestCostNamesWhatHasNoPrice names all of it at once.
func TestCostNamesWhatHasNoPrice(t *testing.T) {
	d := definition(t, document(t, "vat-house.toml", "price_per_m = 6.10 }", "}", "grade = \"S195T\",   ", "grade = \"S195T\" ", "foot_price    = 42\n", ""))
	o := explore.TubeOptions{}
	err := o.Price(d.Stock, explore.FromStock(d.Stock))
	const want = "no cost without the price of EN 10255 DN40 L in S195T, a foot (foot_price in [stock])"
	if err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

// TestRankingByCost ranks the stock by hand: 9 posts of 1.1 m, 2 rails of 12 m, 18 fittings of
// 9.50 and 9 feet of 42 on 12 m.
func TestRankingByCost(t *testing.T) {
	doc := document(t, "vat-house.toml")
	stock := definition(t, doc).Stock
	tubes := explore.FromStock(stock)
	pairs, err := explore.Pairs(tubes, false)
	if err != nil {
		t.Fatal(err)
	}
	o := explore.TubeOptions{By: explore.ByCost}
	if err := o.Price(stock, tubes); err != nil {
		t.Fatal(err)
	}
	r := rank(t, doc, pairs, o)
	record := verification.New(t, verification.Answers)
	price := map[string]float64{"EN 10219 48.3x3.2 in S235JRH": 7.20, "EN 10219 48.3x3.2 in S355J2H": 8.10, "EN 10255 DN40 L in S195T": 6.10}
	for i, row := range r.Rows {
		want := ((9*1.1+2*12)*price[row.Post.In(quantity.Metric)] + 18*9.50 + 9*42) / 12
		record.Add(verification.Comparison{
			Row: "cost of candidates", Case: row.Post.In(quantity.Metric) + ", by the metre", Source: "prices of the stock, by hand", Provenance: verification.Derived, Theirs: want, Ours: *row.Given.Cost,
		})
		if math.Abs(*row.Given.Cost-want) > 1e-9 {
			t.Errorf("%s costs %v a metre, by hand %v", row.Post.In(quantity.Metric), *row.Given.Cost, want)
		}
		if i > 0 && row.Status == r.Rows[i-1].Status && *row.Given.Cost < *r.Rows[i-1].Given.Cost {
			t.Errorf("row %d costs less than the one before", i+1)
		}
	}
	if r.Currency != "crowns" || len(r.Rows) != 3 {
		t.Errorf("currency %q, %d rows", r.Currency, len(r.Rows))
	}
}
