package explore

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/internal/verification"
)

// laid is a file whose run has these lines in place of its length and spacing.
func laid(text, run string) string {
	text = regexp.MustCompile(`(?m)^(length|spacing) .*\n`).ReplaceAllString(text, "")
	return strings.Replace(text, "[run]\n", "[run]\n"+run+"\n", 1)
}

// layoutRun is one layout as a file of its own was checked.
type layoutRun struct {
	spacing     float64
	status      check.Status // empty: the file is refused
	utilisation *float64
	firstYield  *float64
	passes      map[string]bool // of each check id
}

// try writes a barrier to a file of its own and checks that.
func try(t *testing.T, spacing float64, text string) layoutRun {
	t.Helper()
	d, err := barrier.Parse("tried.toml", []byte(text))
	if err != nil {
		return layoutRun{spacing: spacing}
	}
	r, err := check.Run(d, check.Options{})
	if err != nil {
		t.Fatal(err)
	}
	out := layoutRun{spacing, r.Status, r.Governing.Overall.Utilisation, r.Governing.FirstYield.Utilisation, map[string]bool{}}
	for _, row := range r.Checks {
		was, known := out.passes[row.ID]
		out.passes[row.ID] = row.Status == check.Pass && (was || !known)
	}
	return out
}

// largestOf is the largest spacing that does not fail; 0 for none.
func largestOf(all []layoutRun) float64 {
	largest := 0.0
	for _, one := range all {
		if one.status == check.Pass || one.status == check.Incomplete {
			largest = math.Max(largest, one.spacing)
		}
	}
	return largest
}

// holdColumn compares a column with every layout checked by itself.
func holdColumn(t *testing.T, name string, c *SpacingColumn, all []layoutRun) {
	t.Helper()
	want := largestOf(all)
	if got := value(c.Largest); math.Abs(got-want) > 1e-9 {
		t.Errorf("%s, %s: the largest spacing is %g, by trying all %g", name, c.Name, got, want)
	}
	for _, row := range c.Rows {
		at := slices.IndexFunc(all, func(one layoutRun) bool { return math.Abs(one.spacing-row.Spacing) < 1e-9 })
		if at < 0 {
			t.Errorf("%s, %s: a layout of %g is none of those that were tried", name, c.Name, row.Spacing)
			continue
		}
		one := all[at]
		if one.status == "" {
			one.status = Refused
		}
		if row.FirstYield != nil && math.Abs(value(row.FirstYield.Utilisation)-value(one.firstYield)) > 1e-9 || row.FirstYield == nil && one.firstYield != nil {
			t.Errorf("%s, %s: %g m has first yield at %+v, a check at %g", name, c.Name, row.Spacing, row.FirstYield, value(one.firstYield))
		}
		if row.Status != one.status || math.Abs(value(row.Utilisation)-value(one.utilisation)) > 1e-9 {
			t.Errorf("%s, %s: %g m is %s at %g, in a check %s at %g", name, c.Name, row.Spacing, row.Status, value(row.Utilisation), one.status, value(one.utilisation))
		}
	}
	for _, of := range c.Checks {
		passes, fails := 0.0, 0.0
		for _, one := range all {
			judged := slices.ContainsFunc(c.Rows, func(r SpacingRow) bool { return math.Abs(r.Spacing-one.spacing) < 1e-9 })
			passing, known := one.passes[of.ID]
			switch {
			case !judged || !known:
			case passing:
				passes = math.Max(passes, one.spacing)
			case fails == 0 || one.spacing < fails:
				fails = one.spacing
			}
		}
		if math.Abs(value(of.Passes)-passes) > 1e-9 || math.Abs(value(of.Fails)-fails) > 1e-9 {
			t.Errorf("%s, %s: %s passes to %g and fails at %g, by trying all %g and %g", name, c.Name, of.ID, value(of.Passes), value(of.Fails), passes, fails)
		}
	}
}

func value(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

// apart is a file in which no post helps another.
func apart(text string) string {
	text = regexp.MustCompile(`(?m)^(through|splices) .*$`).ReplaceAllString(text, "through = false")
	return regexp.MustCompile(`(?m)^(moment|slip_moment|values) .*\n`).ReplaceAllString(text, "")
}

// TestSpacingIsThatOfTryingAll holds the three columns against every layout written to a file
// of its own and checked by check.Run.
func TestSpacingIsThatOfTryingAll(t *testing.T) {
	walk := strings.Replace(lockPlatform(t), `splices = ["3.6 m"]`, "through = true", 1)
	ranged := strings.Replace(walk, `"60 kNm/rad"`, `["30 kNm/rad", "150 kNm/rad"]`, 1)
	gripped := strings.Replace(walk, `moment = "free"`, "moment = \"gripped\"\nslip_moment = \"300 Nm\"\nvalues = \"design\"", 1)
	for _, c := range []struct {
		name, text string
		o          SpacingOptions
		length     float64 // m
	}{
		{"equal bays, feet of a range", ranged, SpacingOptions{DownTo: 0.9}, 6},
		{"equal bays, joints that are gripped", gripped, SpacingOptions{DownTo: 0.9, On: 4.8}, 4.8},
		{"on a grid", walk, SpacingOptions{DownTo: 1.9, Grid: 0.2, On: 5.5}, 5.5},
	} {
		s, err := LargestSpacing(t.Context(), read(t, c.text), c.o)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		runs := map[float64]string{}
		if c.o.Grid == 0 {
			for n := 1.0; c.length/n >= c.o.DownTo-1e-9; n++ {
				runs[c.length/n] = fmt.Sprintf("length = \"%g m\"\nspacing = \"%.9f m\"", c.length, c.length/n+1e-7)
			}
		} else {
			runs[c.length] = fmt.Sprintf("posts = [\"0 m\", \"%g m\"]", c.length)
			for k := 1.0; k*c.o.Grid < c.length; k++ {
				if k*c.o.Grid >= c.o.DownTo-1e-9 {
					runs[k*c.o.Grid] = postsEvery(k*c.o.Grid, c.length)
				}
			}
		}
		texts := []string{c.text, apart(c.text)}
		if s.Columns[2].None == "" {
			texts = append(texts, strings.Replace(c.text, `["30 kNm/rad", "150 kNm/rad"]`, `"30 kNm/rad"`, 1))
		}
		for i, text := range texts {
			var all []layoutRun
			for spacing, run := range runs {
				all = append(all, try(t, spacing, laid(text, run)))
			}
			holdColumn(t, c.name, &s.Columns[i], all)
		}
		if alone := largestOfColumn(s, 1); s.OnlyBySharing != (value(s.Largest) > alone+1e-9) {
			t.Errorf("%s: only by sharing is %t, with %g and %g alone", c.name, s.OnlyBySharing, value(s.Largest), alone)
		}
	}
}

func largestOfColumn(s *Spacing, i int) float64 { return value(s.Columns[i].Largest) }

// postsEvery lists posts at a spacing from the start, and one at the end.
func postsEvery(spacing, length float64) string {
	var posts []string
	for x := 0.0; x < length-0.01; x += spacing {
		posts = append(posts, fmt.Sprintf(`"%.9f m"`, x))
	}
	return "posts = [" + strings.Join(posts, ", ") + fmt.Sprintf(", \"%g m\"]", length)
}

// TestSpacingOnLegs tries every value of run.spacing, by 5 mm, on a run with a corner and a gate.
func TestSpacingOnLegs(t *testing.T) {
	text := strings.Replace(lockPlatform(t), `splices = ["3.6 m"]`, "through = true", 1)
	text = strings.Replace(text, `length = "6 m"`, `legs = [{ length = "4.2 m" }, { length = "2 m", turn = "90 deg" }]`, 1) + "\n[[gate]]\nfrom = \"1.3 m\"\nto = \"2.2 m\"\n"
	s, err := LargestSpacing(t.Context(), read(t, text), SpacingOptions{DownTo: 0.6})
	if err != nil {
		t.Fatal(err)
	}
	var all []layoutRun
	seen := map[string]bool{}
	for spacing := 2.05; spacing > 0.6; spacing -= 0.005 {
		one := regexp.MustCompile(`(?m)^spacing .*$`).ReplaceAllString(text, fmt.Sprintf(`spacing = "%.4f m"`, spacing))
		d := parsed(t, one)
		if key := fmt.Sprint(d.Supports()); !seen[key] {
			seen[key] = true
			largest := 0.0
			for i := range len(d.Supports()) - 1 {
				if !d.Run.IsGap(i) {
					largest = math.Max(largest, d.BayLength(i))
				}
			}
			if largest >= 0.6 {
				all = append(all, try(t, largest, one))
			}
		}
	}
	holdColumn(t, "legs", &s.Columns[0], all)
	if got, want := len(s.Columns[0].Rows)+s.Columns[0].Beyond.layouts(), len(all); got != want {
		t.Errorf("%d layouts, by trying all %d", got, want)
	}
}

// TestUtilisationNeedNotFallWithTheSpacing holds the search on a barrier where a splice falls
// into the middle of a bay at some spacings: wider ones pass where closer ones fail, so that
// halving an interval would find another answer.
func TestUtilisationNeedNotFallWithTheSpacing(t *testing.T) {
	text := lockPlatform(t)
	o := SpacingOptions{Grid: 0.1, DownTo: 2}
	s, err := LargestSpacing(t.Context(), read(t, text), o)
	if err != nil {
		t.Fatal(err)
	}
	var all []layoutRun
	for k := 20.0; k <= 60; k++ {
		all = append(all, try(t, k*0.1, laid(text, postsEvery(k*0.1, 6))))
	}
	holdColumn(t, "lock platform", &s.Columns[0], all)
	status := map[string]check.Status{}
	for _, row := range s.Columns[0].Rows {
		status[fmt.Sprintf("%.1f", row.Spacing)] = row.Status
	}
	for spacing, want := range map[string]check.Status{"3.6": Refused, "3.5": check.Fail, "3.4": check.Pass, "3.0": check.Pass, "2.9": check.Fail, "2.4": check.Fail, "2.3": check.Pass} {
		if status[spacing] != want {
			t.Errorf("%s m is %q, want %q", spacing, status[spacing], want)
		}
	}
	if got := value(s.Largest); math.Abs(got-3.4) > 1e-9 {
		t.Errorf("the largest spacing is %g, want 3.4", got)
	}
	notes := strings.Join(s.Notes, "\n")
	for _, want := range []string{
		"of those down to 2.000 m these fail: 2.900 m, 2.800 m, 2.700 m, 2.600 m, 2.500 m and 2.400 m.",
		"From 2.300 m down to there none fails.",
		"2 larger layouts cannot be built as declared (the smallest of them: rail[0].splices[0]: the splice at 3.6 m is on post 2 at 3.6 m)",
	} {
		if !strings.Contains(notes, want) {
			t.Errorf("the notes do not say %q:\n%s", want, notes)
		}
	}
}

// TestLonePostsAgainstStatics holds the answer against the formula of a cantilever. A rail that
// is cut at every post hands each inner post q s, so that
//
//	γ q s h = Wpl fy,  s = Wpl fy / (γ q h)
//
// Source: statics; EN 1990 6.10 γ = 1.5, EN 1993-1-1 6.2.5 (6.13), Wpl = (D³ - d³)/6.
func TestLonePostsAgainstStatics(t *testing.T) {
	const q, h, grid = 740.0, 1.1, 0.025
	wpl := (math.Pow(48.3e-3, 3) - math.Pow(48.3e-3-2*3.2e-3, 3)) / 6
	exact := wpl * 235e6 / (1.5 * q * h)
	want := math.Floor(exact/grid) * grid
	if share := exact/grid - math.Floor(exact/grid); share < 0.1 || share > 0.99 {
		t.Fatalf("%g m is too near to the grid for axial force to be left out", exact)
	}
	s, err := LargestSpacing(t.Context(), read(t, yard(`length = "4 m"`+"\n"+`spacing = "1 m"`)), SpacingOptions{Grid: grid, DownTo: 1.2})
	if err != nil {
		t.Fatal(err)
	}
	verification.New(t, verification.Answers).Add(verification.Comparison{
		Row: "largest spacing", Case: "lone posts 48.3x3.2 S235, 0.74 kN/m at 1.1 m, on a grid of 25 mm, m", Source: "statics: Wpl fy/(γ q h), rounded down to the grid",
		Provenance: verification.Derived, Theirs: want, Ours: value(s.Largest),
	})
	if got := value(s.Largest); math.Abs(got-want) > 1e-9 {
		t.Errorf("the largest spacing is %g m, by hand %g m on the grid, %.4f m off it", got, want, exact)
	}
	if s.OnlyBySharing || math.Abs(largestOfColumn(s, 1)-want) > 1e-9 {
		t.Errorf("only by sharing %t, without %g m: nothing is shared here", s.OnlyBySharing, largestOfColumn(s, 1))
	}
	for _, of := range s.Columns[0].Checks {
		if of.ID == "post-bending" && (math.Abs(value(of.Passes)-want) > 1e-9 || math.Abs(value(of.Fails)-want-grid) > 1e-9) {
			t.Errorf("post-bending passes at %g and fails at %g, by hand %g and %g", value(of.Passes), value(of.Fails), want, want+grid)
		}
	}
}

func TestNoSpacingPasses(t *testing.T) {
	text := strings.Replace(yard(`length = "3 m"`+"\n"+`spacing = "1 m"`), `"0.74 kN/m"`, `"20 kN/m"`, 1)
	s, err := LargestSpacing(t.Context(), read(t, text), SpacingOptions{DownTo: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	if s.Status != check.Fail || s.Largest != nil || s.TOML != "" || !strings.HasPrefix(s.Headline, "no spacing passes, from 3.000 m down to 0.500 m: ") {
		t.Errorf("%s, %v, %q: %s", s.Status, s.Largest, s.TOML, s.Headline)
	}
	if len(s.Columns[0].Rows) != 6 {
		t.Errorf("%d layouts are told, want 6", len(s.Columns[0].Rows))
	}
}

// TestNoLayoutCanBeBuilt holds that a file whose splice lies off every run is refused, and not
// told as failing.
func TestNoLayoutCanBeBuilt(t *testing.T) {
	_, err := LargestSpacing(t.Context(), read(t, lockPlatform(t)), SpacingOptions{On: 3})
	var wrong *WrongOption
	if !errors.As(err, &wrong) || wrong.Option != "--on" || !strings.Contains(err.Error(), "the splice at 3.6 m is off the rail") || !strings.Contains(wrong.What, "from 3.000 m down to 0.300 m") {
		t.Errorf("%v, want --on, the layouts and the problem with the splice", err)
	}
}

// TestDownToThatLeavesNoLayout has one layout above --down-to, in which the splice leaves a
// mechanism; closer ones stand.
func TestDownToThatLeavesNoLayout(t *testing.T) {
	_, err := LargestSpacing(t.Context(), read(t, lockPlatform(t)), SpacingOptions{DownTo: 5})
	var wrong *WrongOption
	if !errors.As(err, &wrong) || wrong.Option != "--down-to" || !strings.Contains(wrong.What, "the only layout that was looked at, at a spacing of 6.000 m") {
		t.Errorf("%v, want --down-to and the one layout", err)
	}
}

// notesOf joins the notes of a spacing.
func notesOf(s *Spacing) string { return strings.Join(s.Notes, "\n") }

// TestOddBayOfTheAnswerIsTold sets out 4 m on 4.05 m, which leaves 0.05 m, and 1.25 m on 3.85 m,
// which leaves 0.1 m and takes the posts of four equal bays.
func TestOddBayOfTheAnswerIsTold(t *testing.T) {
	text := strings.Replace(yard(`length = "4.05 m"`+"\n"+`spacing = "1 m"`), `"0.74 kN/m"`, `"0.25 kN/m"`, 1)
	s, err := LargestSpacing(t.Context(), read(t, text), SpacingOptions{Grid: 4, DownTo: 4})
	if err != nil {
		t.Fatal(err)
	}
	if rows := s.Columns[0].Rows; rows[1].Spacing != 4 || rows[1].ShortOddBay() != "very short" || rows[0].ShortOddBay() != "" {
		t.Errorf("rows %+v: want the second with an odd bay that is very short", rows)
	}
	if row := (&SpacingRow{Spacing: 3, OddBays: []float64{0.9}}); row.ShortOddBay() != "short" {
		t.Errorf("0.9 m beside 3 m is %q, want short", row.ShortOddBay())
	}
	s, err = LargestSpacing(t.Context(), read(t, yard(`length = "3.85 m"`+"\n"+`spacing = "1 m"`)), SpacingOptions{Grid: 1.25, DownTo: 1.25})
	if err != nil {
		t.Fatal(err)
	}
	if want := "the largest spacing is 1.250 m with an odd bay of 0.100 m"; !strings.HasPrefix(s.Headline, want) {
		t.Errorf("headline %q, want %q", s.Headline, want)
	}
	for _, want := range []string{
		"An odd bay of 0.100 m is very short: fittings or feet may clash.",
		"Equal bays of 0.963 m use as many posts", // 3.85 m / 4
	} {
		if !strings.Contains(notesOf(s), want) {
			t.Errorf("no note %q:\n%s", want, notesOf(s))
		}
	}
}

// TestLengthLimitsTheAnswer has a run so short that its two posts alone pass.
func TestLengthLimitsTheAnswer(t *testing.T) {
	s, err := LargestSpacing(t.Context(), read(t, yard(`length = "0.9 m"`+"\n"+`spacing = "0.9 m"`)), SpacingOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if value(s.Largest) != 0.9 || !strings.Contains(s.Headline, "limited by the length of the run and not by a check") || !strings.Contains(notesOf(s), "--on looks at a longer one") {
		t.Errorf("%g, %q\n%s", value(s.Largest), s.Headline, notesOf(s))
	}
	s, err = LargestSpacing(t.Context(), read(t, yard(`length = "4 m"`+"\n"+`spacing = "1 m"`)), SpacingOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(s.Headline, "limited") {
		t.Errorf("a check limits it, and the headline is %q", s.Headline)
	}
}

// TestRowsEndWhereTheNoteSays has a grid so fine that the rows end before a third of the answer.
func TestRowsEndWhereTheNoteSays(t *testing.T) {
	text := yard(`length = "4 m"` + "\n" + `spacing = "1 m"`)
	s, err := LargestSpacing(t.Context(), read(t, text), SpacingOptions{Grid: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	rows := s.Columns[0].Rows
	if last := rows[len(rows)-1].Spacing; math.Abs(last-(*s.Largest-0.4)) > 1e-9 || !strings.Contains(notesOf(s), "40 layouts below the answer; write --down-to to see further") {
		t.Errorf("the answer is %g, the last row %g:\n%s", *s.Largest, last, notesOf(s))
	}
}

// TestAnswerIsWrittenForTheFile holds that what is to be written in [run] gives the layout.
func TestAnswerIsWrittenForTheFile(t *testing.T) {
	walk := strings.Replace(lockPlatform(t), `splices = ["3.6 m"]`, "through = true", 1)
	for _, c := range []struct {
		text, want string
		o          SpacingOptions
	}{
		{walk, "length = \"5 m\"\nspacing = \"2.5 m\"", SpacingOptions{On: 5, DownTo: 2}},
		{strings.Replace(walk, `"60 mm"`, `"30 mm"`, 1), "length = \"5 m\"\nspacing = \"1.667 m\"", SpacingOptions{On: 5, DownTo: 1.6}},
		{walk, "posts = [\n  \"0 m\", \"3.5 m\", \"5 m\",\n]", SpacingOptions{On: 5, Grid: 0.1, DownTo: 2.5}},
		{"units = \"US\"\n" + walk, "length = \"196.850394 in\"\nspacing = \"98.426 in\"", SpacingOptions{On: 5, DownTo: 2}},
	} {
		o := c.o
		o.Units = parsed(t, c.text).Units
		s, err := LargestSpacing(t.Context(), read(t, c.text), o)
		if err != nil {
			t.Fatal(err)
		}
		if s.TOML != c.want {
			t.Errorf("%+v: write\n%s\nwant\n%s", c.o, s.TOML, c.want)
		}
		d := parsed(t, laid(c.text, s.TOML))
		one := try(t, *s.Largest, laid(c.text, s.TOML))
		row := s.Columns[0].Rows[slices.IndexFunc(s.Columns[0].Rows, func(r SpacingRow) bool { return r.Spacing == *s.Largest })]
		if one.status != row.Status || len(d.Run.Posts) != row.Posts || math.Abs(value(one.utilisation)-value(row.Utilisation)) > 1e-4 {
			t.Errorf("%+v: the file with it is %s with %d posts at %g, the row says %s, %d, %g", c.o, one.status, len(d.Run.Posts), value(one.utilisation), row.Status, row.Posts, value(row.Utilisation))
		}
	}
}

func TestInterruptedSearchSaysSo(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := LargestSpacing(ctx, read(t, lockPlatform(t)), SpacingOptions{})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want that it was interrupted", err)
	}
}

func TestSoftestFootSaysWhyThereIsNone(t *testing.T) {
	run := `length = "3 m"` + "\n" + `spacing = "1 m"`
	for stiffness, want := range map[string]string{
		`stiffness = "rigid"`:      "the feet are rigid as stated, and no range",
		`stiffness = "80 kNm/rad"`: "the feet have one stiffness, 80 kNm/rad, and no range",
		``:                         "post.base.stiffness is not given, so there is no range: every check is on rigid feet and on the softest that hold the limit",
	} {
		d := parsed(t, strings.Replace(yard(run), `stiffness = "rigid"`, stiffness, 1))
		if got := softest(d, d.Units).none; got != want {
			t.Errorf("%q: %s, want %s", stiffness, got, want)
		}
	}
}

// Of layouts all of which break a geometry rule it is said that no spacing mends it only of a rule that each
// breaks by as much; of others where they fail.
func TestGeometryThatNoSpacingMends(t *testing.T) {
	low := check.GeometryRow{Rule: "at least 1100 mm high", Standard: "A", Found: 900}
	plate := check.GeometryRow{Rule: "toe plate at least 100 mm high", Standard: "A"}
	wide := func(bay float64) check.GeometryRow {
		return check.GeometryRow{Rule: "posts at most 1500 mm apart", Standard: "A", Found: bay}
	}
	row := func(spacing float64, broken ...check.GeometryRow) SpacingRow {
		return SpacingRow{Spacing: spacing, Status: check.Fail, Broken: broken}
	}
	for _, c := range []struct {
		what string
		rows []SpacingRow
		want string
	}{
		{"the same rule", []SpacingRow{row(2, wide(2000), low), {Spacing: 1.7, Status: Refused}, row(1.5, low)},
			"A geometry rule fails at every spacing that was worked out, and no spacing mends it: at least 1100 mm high."},
		{"the same rules", []SpacingRow{row(2, plate, low), row(1.5, plate, low)},
			"Geometry rules fail at every spacing that was worked out, and no spacing mends them: toe plate at least 100 mm high; at least 1100 mm high."},
		{"other rules", []SpacingRow{row(3, wide(3000)), row(2, wide(2000)), row(1.5, low), row(1.2, low)},
			"A geometry rule fails at every spacing that was worked out, down to 1.200 m: posts at most 1500 mm apart, at 3.000 m and 2.000 m; at least 1100 mm high, at 1.500 m and 1.200 m."},
		{"a rule on the spacing", []SpacingRow{row(3, wide(3000)), row(2, wide(2000))},
			"A geometry rule fails at every spacing that was worked out, down to 2.000 m: posts at most 1500 mm apart, at each of them."},
		{"one layout", []SpacingRow{row(2, wide(2000))},
			"A geometry rule fails at every spacing that was worked out, down to 2.000 m: posts at most 1500 mm apart, at each of them."},
		{"none at one", []SpacingRow{row(2, low), row(1.5)}, ""},
		{"none built", []SpacingRow{{Spacing: 2, Status: Refused}}, ""},
	} {
		var said []string
		(&spacingSearch{}).noteGeometry(c.rows, func(format string, args ...any) {
			said = append(said, quantity.Say(format, args...).In(quantity.Metric))
		})
		if got := strings.Join(said, "\n"); got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}

// A rail that is too low is so at every spacing.
func TestLowRailFailsAtEverySpacing(t *testing.T) {
	text, err := os.ReadFile("../../testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	low := strings.Replace(string(text), "name    = \"top\"\nheight  = \"1100 mm\"", "name    = \"top\"\nheight  = \"1000 mm\"", 1)
	s, err := LargestSpacing(t.Context(), read(t, low), SpacingOptions{DownTo: 1})
	if err != nil {
		t.Fatal(err)
	}
	if s.Largest != nil || !strings.Contains(notesOf(s), "no spacing mends it: top of the handrail at least 1100 mm") {
		t.Errorf("largest %v; %q", s.Largest, s.Notes)
	}
}
