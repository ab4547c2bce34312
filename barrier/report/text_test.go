package report

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/golden"
	"example.com/stanchion/internal/quantity"
)

func text(t *testing.T, r *check.Result, units quantity.System) string {
	t.Helper()
	var out bytes.Buffer
	if err := Text(&out, r, TextOptions{Units: units}); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestTextLayout(t *testing.T) {
	golden.Check(t, "testdata/fixture.txt", []byte(text(t, fixture(), quantity.Metric)))
}

func TestTextIsEightyColumnsWide(t *testing.T) {
	r := fixture()
	for _, id := range check.CheckIDs() { // of the longest id
		if len(id.ID) > len(r.Governing.Overall.ID) {
			r.Governing.Overall.ID = id.ID
		}
	}
	r.Governing.Overall.Element = "rail middle bay 2"
	for _, units := range []quantity.System{quantity.Metric, quantity.US} {
		for i, line := range strings.Split(text(t, r, units), "\n") {
			if utf8.RuneCountInString(line) > width {
				t.Errorf("%v: line %d has %d columns: %s", units, i+1, utf8.RuneCountInString(line), line)
			}
			if strings.TrimRight(line, " ") != line {
				t.Errorf("%v: line %d ends in a space: %q", units, i+1, line)
			}
		}
	}
}

func TestTextFollowsTheReportOrder(t *testing.T) {
	got := "\n" + text(t, fixture(), quantity.Metric)
	// Source: DEVELOPERS.md, Report order.
	order := []string{"Cautions\n", "Verdict\n", "What holds it back\n", "Load path", "Posts:", "Rails:", "Fittings:", "Feet:",
		"Checks:", "Geometry", "Hand checks", "Not checked\n", "Left out", "Assumptions\n", "Loads:", "Wind:", "Ice:", "Temperature:", "Inputs as read\n",
		"Cautions that hold", "Sources\n", "Self-check"}
	from := 0
	for _, heading := range order {
		at := strings.Index(got[from:], "\n"+heading)
		if at < 0 {
			t.Fatalf("%q does not follow in the report (source: DEVELOPERS.md, Report order)", heading)
		}
		from += at + 1
	}
}

func TestTextKeepsTheFirstCautionFirst(t *testing.T) {
	for _, status := range []check.Status{check.Pass, check.Fail, check.Incomplete} {
		r := fixture()
		r.Status = status
		got := text(t, r, quantity.Metric)
		caution, verdict := strings.Index(got, "qualified engineer"), strings.Index(got, "\nVerdict")
		if caution < 0 || caution > verdict {
			t.Errorf("%s: the caution stands at %d, the verdict at %d", status, caution, verdict)
		}
	}
}

func TestUtilisationIsRoundedUp(t *testing.T) {
	const source = "DEVELOPERS.md, Rounding: printed rounded up at the third digit"
	for _, c := range []struct {
		u    float64
		want string
	}{
		{0.599, "0.599"}, {0.5987, "0.599"}, {0.5990001, "0.600"}, {1, "1.000"},
		{1.0001, "1.001"}, {1 + 1e-12, "1.001"}, {0.9990001, "1.000"}, {0, "0.000"}, {1e-5, "0.001"}, {12.3456, "12.346"},
		{0.1 + 0.2, "0.300"},
	} {
		if got := roundedUp(c.u); got != c.want {
			t.Errorf("roundedUp(%v) = %s, want %s (source: %s)", c.u, got, c.want, source)
		}
	}
	if got := Utilisation(nil, check.Fail); got != "no bound" {
		t.Errorf("a failing utilisation without bound prints %q", got)
	}
	if got := Utilisation(nil, check.Unchecked); got != "-" {
		t.Errorf("an unchecked utilisation prints %q", got)
	}
}

func TestBarTellsOverOne(t *testing.T) {
	for _, c := range []struct {
		u    float64
		want string
	}{
		{0, ".........."}, {0.5, "=====....."}, {0.501, "======...."}, {1, "=========="},
		{1.0000001, "==========>"}, {40, "==========>"},
	} {
		if got := bar(&c.u); got != c.want {
			t.Errorf("bar(%v) = %s, want %s", c.u, got, c.want)
		}
	}
}

func TestUSReadersGetUSUnits(t *testing.T) {
	p := printer{units: quantity.US}
	for _, c := range []struct {
		value      float64
		unit, want string
		source     string
	}{
		{1355.8179483314, "Nm", "1000.0 lbf-ft", "NIST SP 811 B.8: 1 lbf-ft = 1.355818 N·m"},
		{444.82216152605, "N", "100 lbf", "NIST SP 811 B.8: 1 lbf = 4.448222 N"},
		{25.4, "mm", "1.000 in", "NIST SP 811 B.8: 1 in = 25.4 mm exactly"},
		{0.3048, "m", "1'0.00\"", "NIST SP 811 B.8: 1 ft = 0.3048 m exactly"},
		{6.894757, "MPa", "1.00 ksi", "NIST SP 811 B.8: 1 ksi = 6.894757 MPa"},
		{1355.8179, "Nm/rad", "1.0 kip-ft/rad", "1000 lbf-ft: NIST SP 811 B.8"},
		{0.75, "1", "0.750", "a ratio has no unit"},
	} {
		if got := p.value(c.value, c.unit); got != c.want {
			t.Errorf("value(%v %s) = %s, want %s (source: %s)", c.value, c.unit, got, c.want, c.source)
		}
	}
}

// manyPosts is the fixture with n posts whose 10th is the worst.
func manyPosts(n int) *check.Result {
	r := fixture()
	r.Posts = nil
	for i := range n {
		u := 0.3
		if i == 9 {
			u = 0.7
		}
		r.Posts = append(r.Posts, check.PostRow{Post: i + 1, X: float64(i) * 1.5, BaseMoment: 1000 * u, TopDeflection: 10 * u, Utilisation: &u})
	}
	return r
}

func TestLongRunsPrintEndsAndWorst(t *testing.T) {
	if got := selectPosts(manyPosts(24).Posts); len(got) != 24 {
		t.Errorf("of 24 posts %d are printed", len(got))
	}
	got := selectPosts(manyPosts(31).Posts)
	var posts []int
	for _, row := range got {
		posts = append(posts, row.Post)
	}
	if fmt.Sprint(posts) != "[1 10 31]" {
		t.Errorf("of 31 posts %v are printed, want both ends and the 10th, the worst", posts)
	}
	if !strings.Contains(text(t, manyPosts(31), quantity.Metric), "the other 28 are in the JSON") {
		t.Error("the report does not say that 28 posts are in the JSON alone")
	}
}

func TestChecksKeepTheWorstAndEveryFailure(t *testing.T) {
	row := func(id, element string, u float64) check.CheckRow {
		status := check.Pass
		if u > 1 {
			status = check.Fail
		}
		return check.CheckRow{ID: id, Element: element, Utilisation: &u, Status: status}
	}
	unbound := check.CheckRow{ID: "rail-bending", Element: "rail top rail bay 4", Status: check.Fail}
	s := selectChecks(&check.Result{Checks: []check.CheckRow{
		row("post-bending", "post 1", 1.1), row("post-bending", "post 2", 1.2), row("post-bending", "post 3", 0.4),
		row("rail-bending", "rail top rail bay 1", 0.5), row("rail-bending", "rail top rail bay 2", 0.6), unbound,
		row("rail-bending", "rail knee bay 1", 0.2), row("rail-bending", "rail knee bay 2", 0.2),
		row("post-yield", "post 1", 0.8), row("post-yield", "post 2", 0.79),
		row("rail-yield", "rail knee bay 1", 0.81), row("rail-yield", "rail knee bay 2", 0.1),
		row("fitting-slip", "fitting 1 top", 0.2), row("fitting-slip", "fitting 12 top", 0.3),
		row("splice-moment", "splice top 5.800", 0.2), row("splice-moment", "splice top 11.800", 0.4),
		row("base-moment", "post 1", 0.3), row("base-moment", "post 2", 0.3),
	}, Governing: check.Governing{Strength: check.CheckRef{ID: "base-moment", Element: "post 2", Utilisation: new(0.3)}}})
	list := func(rows []check.CheckRow) string {
		var b strings.Builder
		for _, r := range rows {
			fmt.Fprintf(&b, "%s %s\n", r.ID, r.Element)
		}
		return b.String()
	}
	const worst = `post-bending post 2
rail-bending rail top rail bay 4
rail-bending rail knee bay 1
rail-yield rail knee bay 1
fitting-slip fitting 12 top
splice-moment splice top 11.800
base-moment post 2
`
	if got := list(s.worst); got != worst {
		t.Errorf("the worst rows are\n%swant\n%s", got, worst)
	}
	if got, want := list(s.failing), "post-bending post 1\n"; got != want {
		t.Errorf("the failing rows besides are\n%swant\n%s", got, want)
	}
}

func TestUsersTextCannotMoveTheCursor(t *testing.T) {
	r := fixture()
	r.Title = "edge\x1b[2J\u202etop\nPASS"
	r.Inputs = check.Inputs{{Key: "title", Text: r.Title}}
	got := text(t, r, quantity.Metric)
	if strings.ContainsAny(got, "\x1b\u202e") || strings.Contains(got, "\nPASS") {
		t.Errorf("control characters of the title reach the report: %q", got[:60])
	}
}

func TestTrailsAreNumbered(t *testing.T) {
	r := fixture()
	r.Trails = trailsOf(r, 1, bendingSteps())
	got := text(t, r, quantity.Metric)
	for _, want := range []string{
		"Trail of post-bending, post 7\n  ULS 1.35 G + 1.75 Fu; base\n  point 0.450 kN outward on top rail at x = 9.000 m\n",
		"  1  moment about z of the section  Mz         -761  Nm   the frame\n  2  plastic section modulus",
		"  2  plastic section modulus        Wpl     6516.97  mm³  derived\n      (d³ - (d - 2t)³)/6 = (48.3³ - (48.3 - 2 × 3.2)³)/6\n",
		"  3  bending resistance             Mc,Rd   1270.81  Nm   memory\n      Wpl fy / γM0 = 6516.97 × 195 / 1; EN 1993-1-1 6.2.5\n",
		"\n      |Mz| = |-761|\n", "\n      Mz² = (-761)²; a clause\n",
		"  In N and mm: 1 Nm = 1000 N mm.\n  761.0 Nm / 1271.0 Nm = 0.599\n", "2 more trails are in the JSON",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("the trail does not have %q:\n%s", want, got)
		}
	}
	var first, second bytes.Buffer
	for _, out := range []*bytes.Buffer{&first, &second} {
		if err := Explanation(out, r, []Explained{{At: 1, Why: "governs overall"}}, []string{"a note"}, TextOptions{}); err != nil {
			t.Fatal(err)
		}
	}
	explained := first.String()
	if explained != second.String() || !strings.HasPrefix(explained, "Cautions\n  C1 ") || !strings.HasSuffix(explained, "= 0.599\n\n  a note\n") ||
		!strings.Contains(explained, "Trail of post-bending, post 7; governs overall\n") || strings.Contains(explained, "Load path") {
		t.Errorf("explained:\n%s", explained)
	}
}

// bendingSteps are some steps of a trail, with the values put in.
func bendingSteps() []check.Step {
	d, wall := check.StepValue{Symbol: "d", Value: 48.3, Unit: "mm"}, check.StepValue{Symbol: "t", Value: 3.2, Unit: "mm"}
	moment := []check.StepValue{{Symbol: "Mz", Value: -761, Unit: "Nm"}}
	return []check.Step{
		{What: "moment about z of the section", Symbol: "Mz", Value: -761, Unit: "Nm", Clause: check.FromFrame, Provenance: "derived"},
		{What: "plastic section modulus", Symbol: "Wpl", Value: 6516.97, Unit: "mm³", Formula: "(d³ - (d - 2t)³)/6", Values: []check.StepValue{d, wall}, Provenance: "derived"},
		{What: "bending resistance", Symbol: "Mc,Rd", Value: 1270.809, Unit: "Nm", Formula: "Wpl fy / γM0", Clause: "EN 1993-1-1 6.2.5", Provenance: "memory",
			Values: []check.StepValue{{Symbol: "Wpl", Value: 6516.97, Unit: "mm³"}, {Symbol: "fy", Value: 195, Unit: "MPa"}, {Symbol: "γM0", Value: 1, Unit: "1"}}},
		{What: "size", Symbol: "MEd", Value: 761, Unit: "Nm", Formula: "|Mz|", Values: moment, Provenance: "derived"},
		{What: "square", Symbol: "M2", Value: 579121, Unit: "1", Formula: "Mz²", Values: moment, Clause: "a clause", Provenance: "derived"},
	}
}

// trailsOf are trails of all checks of a result up to the last, one of them with steps.
func trailsOf(r *check.Result, at int, steps []check.Step) []check.Trail {
	var out []check.Trail
	for i := range r.Checks[:4] {
		trail := check.Trail{ID: r.Checks[i].ID, Element: r.Checks[i].Element, Load: r.Checks[i].Load, Steps: []check.Step{}}
		if i == at {
			trail.Steps = steps
		}
		out = append(out, trail)
	}
	return out
}

// The formulas of an American code are read in inches, those of another stay in N and mm.
func TestTrailsInUSUnits(t *testing.T) {
	r := fixture()
	r.Trails = trailsOf(r, 1, bendingSteps())
	if got := text(t, r, quantity.US); !strings.Contains(got, "Mc,Rd   1270.81  Nm ") || !strings.Contains(got, "561.3 lbf-ft / 937.4 lbf-ft = 0.599") {
		t.Errorf("a trail of EN 1993 in US units:\n%s", got)
	}
	r.Basis = "AISC-LRFD"
	if got := text(t, r, quantity.US); !strings.Contains(got, "Wpl      0.39769  in³ ") || !strings.Contains(got, "0.39769 × 28.2824 / 1;") || !strings.Contains(got, "1 lbf-ft = 0.012 kip-in") {
		t.Errorf("a trail of AISC 360 in US units:\n%s", got)
	}
}

func TestStepsInJSON(t *testing.T) {
	r := fixture()
	r.Trails = trailsOf(r, 1, bendingSteps()[:3])
	var out bytes.Buffer
	if err := ExplanationJSON(&out, r, []Explained{{At: 1}}, nil); err != nil {
		t.Fatal(err)
	}
	const want = `"what": "bending resistance",
            "symbol": "Mc,Rd",
            "formula": "Wpl fy / γM0",
            "values": [
              {
                "symbol": "Wpl",
                "value": 6516.97,
                "unit": "mm³"
              },`
	if got := out.String(); !strings.Contains(got, want) || !strings.Contains(got, `"provenance": "memory"`) || !strings.Contains(got, `"id": "C1"`) {
		t.Errorf("%s\nlacks\n%s", got, want)
	}
}

// Of two rows of one check and element the one that governs is told.
func TestGoverningRowOfTwo(t *testing.T) {
	r := fixture()
	other := r.Checks[1] // post-bending of post 7, which governs
	other.Utilisation, other.Demand = new(0.1), 127
	r.Checks = append([]check.CheckRow{other}, r.Checks...)
	if got := text(t, r, quantity.Metric); !strings.Contains(got, "761.0 Nm / 1271.0 Nm = 0.599") {
		t.Errorf("the governing row is not told:\n%s", got)
	}
}
