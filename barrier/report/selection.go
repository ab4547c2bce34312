package report

import (
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/check"
)

// yieldShown is the utilisation above which first yield is printed.
const yieldShown = 0.8

// selection is what the text report shows of the checks: the worst row of each
// group, and the failing rows besides.
type selection struct {
	worst   []check.CheckRow
	failing []check.CheckRow // those that are not among the worst
}

// selectChecks keeps, in document order, the worst row of each id for the posts
// and for each rail, and every failing row. Of rows that are equal the one that
// governs is kept, or the first. First yield is left out up to yieldShown.
func selectChecks(r *check.Result) selection {
	rows := r.Checks
	worst := make(map[string]int) // group → index
	governs := make(map[string]bool)
	for i, row := range rows {
		group := groupOf(row)
		if governs[group] || isYield(row.ID) && row.Utilisation != nil && *row.Utilisation <= yieldShown {
			continue
		}
		governs[group] = r.Governing.Names(&row)
		if best, ok := worst[group]; !ok || governs[group] || severity(row.Utilisation, row.Status) > severity(rows[best].Utilisation, rows[best].Status) {
			worst[group] = i
		}
	}
	var s selection
	for i, row := range rows {
		best, ok := worst[groupOf(row)]
		switch {
		case ok && best == i:
			s.worst = append(s.worst, row)
		case row.Status == check.Fail:
			s.failing = append(s.failing, row)
		}
	}
	return s
}

// groupOf names the rows of which the worst is shown: one check of one member; of
// movements one limit, for a rail may have several; what is accidental by itself.
func groupOf(row check.CheckRow) string {
	group := row.ID + " " + member(row.Element)
	switch {
	case row.Unit == "mm":
		group += " " + row.Clause
	case row.LimitState == "accidental":
		group += " accidental"
	}
	return group
}

func isYield(id string) bool { return strings.HasSuffix(id, "-yield") }

// severity orders rows: one without bound first, one that nothing checked last.
func severity(u *float64, status check.Status) float64 {
	switch {
	case u != nil:
		return *u
	case status == check.Fail:
		return 1e300
	}
	return -1
}

// member returns what an element belongs to: "post" of "post 4", "rail top" of
// "rail top bay 3" and of "rail top
// overhang end", "brace" of "brace 2", "fitting top" of "fitting 4 top", "corner fitting
// top" of "corner fitting 3 top", "splice top" of "splice top 5.800".
func member(element string) string {
	if of, ok := strings.CutPrefix(element, "test piece "); ok {
		return "test piece " + member(of)
	}
	if of, ok := strings.CutPrefix(element, "corner "); ok {
		return "corner " + member(of)
	}
	kind, rest, _ := strings.Cut(element, " ")
	switch kind {
	case "rail":
		for _, part := range [...]string{" bay ", " overhang "} {
			if at := strings.LastIndex(rest, part); at >= 0 {
				return kind + " " + rest[:at]
			}
		}
	case "fitting":
		_, rail, _ := strings.Cut(rest, " ")
		return kind + " " + rail
	case "splice":
		if at := strings.LastIndex(rest, " "); at >= 0 {
			return kind + " " + rest[:at]
		}
	case "post", "brace":
		return kind
	}
	return element
}

// mostPosts is the longest run whose posts are all printed.
const mostPosts = 24

// selectPosts keeps, of a long run, both ends and the posts with the largest
// utilisation, deflection and base moment.
func selectPosts(rows []check.PostRow) []check.PostRow {
	if len(rows) <= mostPosts {
		return rows
	}
	return keepLargest(rows, []int{0, len(rows) - 1},
		func(r check.PostRow) float64 { return severity(r.Utilisation, check.Unchecked) },
		func(r check.PostRow) float64 { return severity(r.DeflectionUtilisation, check.Unchecked) },
		func(r check.PostRow) float64 { return r.TopDeflection },
		func(r check.PostRow) float64 { return r.BaseMoment },
	)
}

// keepLargest keeps some rows and those that are the first with the largest of a measure, in
// their order.
func keepLargest[Row any](rows []Row, always []int, measures ...func(Row) float64) []Row {
	keep := map[int]bool{}
	for _, i := range always {
		keep[i] = true
	}
	for _, of := range measures {
		worst := 0
		for i, row := range rows {
			if of(row) > of(rows[worst]) {
				worst = i
			}
		}
		keep[worst] = true
	}
	var kept []Row
	for i, row := range rows {
		if keep[i] {
			kept = append(kept, row)
		}
	}
	return kept
}

// shown is a row as printed: where one placement makes several of its
// components the largest, it stands once.
type shown[Row any] struct {
	row      Row
	extremes []string
}

// merge joins the rows that differ only in what they make extreme.
func merge[Row comparable](rows []Row, extreme func(*Row) *string) []shown[Row] {
	var kept []shown[Row]
	seen := make(map[Row]int)
	for _, row := range rows {
		same := row
		*extreme(&same) = ""
		at, ok := seen[same]
		if !ok {
			at = len(kept)
			seen[same] = at
			kept = append(kept, shown[Row]{row: row})
		}
		kept[at].extremes = append(kept[at].extremes, *extreme(&row))
	}
	return kept
}

// selectFittings keeps the worst fitting of each rail for each tube, extreme
// and level; rows of which the extreme is 0 say nothing and are left out.
func selectFittings(rows []check.FittingRow, rail func(string) string) []shown[check.FittingRow] {
	type group struct{ rail, tube, extreme, level string }
	groupOf := func(row check.FittingRow) group {
		return group{rail(row.Fitting), row.Tube, row.ExtremeOf, row.Level}
	}
	worst := make(map[group]int)
	for i, row := range rows {
		if extremeOf(row) == 0 {
			continue
		}
		if best, ok := worst[groupOf(row)]; !ok || extremeOf(row) > extremeOf(rows[best]) {
			worst[groupOf(row)] = i
		}
	}
	var kept []check.FittingRow
	for i, row := range rows {
		if best, ok := worst[groupOf(row)]; ok && best == i {
			kept = append(kept, row)
		}
	}
	return merge(kept, func(row *check.FittingRow) *string { return &row.ExtremeOf })
}

// extremeOf returns the magnitude of the component that the row makes largest.
func extremeOf(row check.FittingRow) float64 {
	switch row.ExtremeOf {
	case "slip":
		return max(row.Slip, -row.Slip)
	case "twist":
		return max(row.Twist, -row.Twist)
	case "force":
		return max(row.Force, -row.Force)
	}
	return max(row.Moment, -row.Moment)
}

// ofBrace stands for the rail of a brace's fitting: no rail has a control character in
// its name.
const ofBrace = "\x00brace"

// fittingRail returns the rail of a fitting: "top" of "4 top"; of one at a corner "corner
// top" of "corner 3 top"; "brace 2" has none.
func fittingRail(fitting string) string {
	if strings.HasPrefix(fitting, "brace ") {
		return ofBrace
	}
	if of, ok := strings.CutPrefix(fitting, "corner "); ok {
		return "corner " + fittingRail(of)
	}
	_, rail, _ := strings.Cut(fitting, " ")
	return rail
}

// spliceRail returns the rail of a splice: "top" of "top 5.800".
func spliceRail(splice string) string {
	if at := strings.LastIndex(splice, " "); at >= 0 {
		return splice[:at]
	}
	return splice
}

// levels returns the levels of the rows, each once, in their order.
func levels(rows []check.BaseAction) []string {
	var found []string
	for _, row := range rows {
		if !slices.Contains(found, row.Level) {
			found = append(found, row.Level)
		}
	}
	return found
}

// withoutTwins returns the base actions without those of a post that stands as far from its end
// of the run as one before it from the other and does the same to its foot, mirrored; and the
// pairs of such posts.
func (p *printer) withoutTwins(rows []check.BaseAction) (kept []check.BaseAction, twins [][2]int) {
	of := map[int][]check.BaseAction{}
	for _, row := range rows {
		of[row.Post] = append(of[row.Post], row)
	}
	last := len(p.r.Posts) - 1
	isTwin := func(post int) bool {
		other := last + 2 - post
		if post <= other || len(p.r.Legs) > 1 || of[other] == nil {
			return false
		}
		ends, places := p.r.Posts[0].X+p.r.Posts[last].X, p.r.Posts[post-1].X+p.r.Posts[other-1].X
		return math.Abs(ends-places) < 1e-6 && mirrored(of[other], of[post])
	}
	told := map[int]bool{}
	for _, row := range rows {
		switch {
		case told[row.Post]:
		case !isTwin(row.Post):
			kept = append(kept, row)
		default:
			told[row.Post] = true
			twins = append(twins, [2]int{last + 2 - row.Post, row.Post})
		}
	}
	return kept, twins
}

// mirrored reports whether each row of a post has its mirror image among those of another: the
// same combination, Fx, My and Mz of the other sign.
func mirrored(rows, others []check.BaseAction) bool {
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-6*(1+math.Abs(a)) }
	return len(rows) == len(others) && !slices.ContainsFunc(rows, func(r check.BaseAction) bool {
		return !slices.ContainsFunc(others, func(o check.BaseAction) bool {
			return o.Level == r.Level && o.ExtremeOf == mirroredExtreme(r.ExtremeOf) && o.Combination == r.Combination &&
				near(o.Fx, -r.Fx) && near(o.Fy, r.Fy) && near(o.Fz, r.Fz) && near(o.Mx, r.Mx) && near(o.My, -r.My) && near(o.Mz, -r.Mz)
		})
	})
}

// mirroredExtreme returns what is extreme in a mirror across the run.
func mirroredExtreme(extreme string) string {
	switch extreme {
	case "My+":
		return "My-"
	case "My-":
		return "My+"
	}
	return extreme
}

// selectBaseActions keeps the rows of one level.
func selectBaseActions(rows []check.BaseAction, level string) []shown[check.BaseAction] {
	var kept []check.BaseAction
	for _, row := range rows {
		if row.Level == level {
			kept = append(kept, row)
		}
	}
	return merge(kept, func(row *check.BaseAction) *string { return &row.ExtremeOf })
}
