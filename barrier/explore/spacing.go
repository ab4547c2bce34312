package explore

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// SpacingOptions say which layouts of a run are looked at. Lengths are in m; 0 stands for what
// is not asked for.
type SpacingOptions struct {
	On     float64         // the length of the run, m, in place of that of the file
	Grid   float64         // m: posts are set out at multiples of it
	DownTo float64         // the smallest spacing to look at, m
	Units  quantity.System // of the words; numbers are SI in any

	Progress func(done, total int) // may be nil; called on the caller's goroutine
}

// What became of a layout that is neither pass, fail nor incomplete.
const (
	Refused    check.Status = "refused"     // the definition refuses it
	NotTrusted check.Status = "not trusted" // its calculation did not prove itself
)

// Spacing is the answer to the largest spacing of posts at which no check of a barrier fails,
// with the layouts that it rests on. Each number in it is that of a check of one layout.
type Spacing struct {
	Schema        int             `json:"schema"`
	Title         string          `json:"title"`
	Basis         string          `json:"basis"`
	Status        check.Status    `json:"status"`         // pass, incomplete: that of the answer; fail: no spacing passes; not trusted
	ScopeComplete bool            `json:"scope_complete"` // false where the user left something out
	Headline      string          `json:"headline"`
	Cautions      []check.Caution `json:"cautions"`
	Run           float64         `json:"run_m"`
	Grid          *float64        `json:"grid_m"` // null: equal bays
	SetOut        string          `json:"set_out"`
	Largest       *float64        `json:"largest_m"`       // null: no spacing passes
	OnlyBySharing bool            `json:"only_by_sharing"` // the largest is smaller where nothing is shared
	TOML          string          `json:"toml"`            // what to write in [run] for it; empty for none
	Columns       []SpacingColumn `json:"columns"`
	Unchecked     []check.Item    `json:"unchecked"` // of the answer
	LeftOut       []check.Item    `json:"left_out"`
	Notes         []string        `json:"notes"`
}

// SpacingColumn is what was found with one reading of the barrier.
type SpacingColumn struct {
	Name    string         `json:"column"`
	Means   string         `json:"means"`
	None    string         `json:"none,omitempty"` // why there is nothing in it
	Largest *float64       `json:"largest_m"`      // null: no spacing passes
	Beyond  Beyond         `json:"beyond"`         // layouts of larger spacing than those of the rows
	Rows    []SpacingRow   `json:"rows"`           // by spacing, the largest first
	Checks  []SpacingCheck `json:"checks"`         // in the order of a report
}

// Beyond counts layouts of which it is known that they do not pass, and not by how much.
type Beyond struct {
	Fail       int `json:"fail"`
	Refused    int `json:"refused"`
	NotTrusted int `json:"not_trusted"`
}

func (b *Beyond) count(became check.Status) {
	switch became {
	case Refused:
		b.Refused++
	case NotTrusted:
		b.NotTrusted++
	default:
		b.Fail++
	}
}

func (b *Beyond) layouts() int { return b.Fail + b.Refused + b.NotTrusted }

// SpacingRow is one layout.
type SpacingRow struct {
	Spacing     float64      `json:"spacing_m"` // the largest bay, gaps apart
	Bays        int          `json:"bays"`      // gaps apart
	Posts       int          `json:"posts"`
	OddBays     []float64    `json:"odd_bays_m"`      // what a grid leaves over
	Status      check.Status `json:"status"`          // pass, fail, incomplete, refused, not trusted
	Utilisation *float64     `json:"utilisation"`     // the largest, as a check of the layout tells it; null: no bound, or none
	ID          string       `json:"governing_check"` // its id; empty for none
	Element     string       `json:"governing_element"`
	Place       string       `json:"place"` // where that stands: end, corner, odd bay, inner, ...
	// FirstYield stands beside the code checks, and is among them from 1 on; null: none is judged.
	FirstYield *check.CheckRef `json:"first_yield"`
	Geometry   string          `json:"geometry"`         // the first geometry rule that is broken; empty for none
	Unchecked  int             `json:"unchecked"`        // how many items nothing checked
	Reason     string          `json:"reason,omitempty"` // why it is refused or not trusted

	Broken []check.GeometryRow `json:"-"` // every geometry rule that is broken
}

// SpacingCheck is how far one check lets the posts stand apart.
type SpacingCheck struct {
	ID      string   `json:"id"`
	Passes  *float64 `json:"largest_passing_m"`  // of the rows; null: at none
	Fails   *float64 `json:"smallest_failing_m"` // of the rows; null: at none
	Element string   `json:"element"`            // that fails there; the worst
	Place   string   `json:"place"`
}

// least is the spacing, m, down to which a layout of a run is looked for.
func (g *ground) least() float64 { return min(leastSpacing, g.longest()) }

// leastSpacing is the spacing, m, down to which a passing layout is looked for: nobody sets
// posts closer.
const leastSpacing = 0.3

// Which layouts beside the largest that passes are worked out: up to so many times its spacing,
// and a few in any case; down to a third of it. There are no more than so many on either side.
const (
	judgedUpTo = 2.0
	judgedFew  = 3
	judgedMost = 40
)

// spacingSearch is one search under way.
type spacingSearch struct {
	doc      *barrier.Document
	file     *barrier.Definition // as it stands
	o        SpacingOptions
	ground   ground
	spacings []float64 // of every layout, descending
}

// LargestSpacing finds the largest spacing of posts at which no check of the document's barrier
// fails, by checking real layouts of the run from the largest spacing downwards; and then goes
// on to smaller ones, for utilisation need not fall with the spacing. It does so three times:
// as the file has it, with no load shared between posts, and on the softest foot of a range.
//
// The error is of type barrier.Problems for a file that is no barrier, *WrongOption for options
// that do not fit it or that leave no layout that can be built, or that of ctx.
func LargestSpacing(ctx context.Context, doc *barrier.Document, o SpacingOptions) (*Spacing, error) {
	s, err := newSpacingSearch(doc, o)
	if err != nil {
		return nil, err
	}
	out := &Spacing{Schema: 1, Title: s.file.Title, Basis: string(s.file.Basis), Run: s.ground.runLength(), SetOut: s.setOut()}
	if o.Grid > 0 {
		out.Grid = &o.Grid
	}
	readings := s.readings()
	for i, r := range readings {
		column, err := s.column(ctx, r, s.progress(i, len(readings)))
		if err != nil {
			return nil, err
		}
		out.Columns = append(out.Columns, column)
	}
	if refused := s.refusal(&out.Columns[0]); refused != nil {
		return nil, refused
	}
	return out, s.conclude(out)
}

// progress tells how far one of some readings has come: half of it is the search, half what stands
// about the answer.
func (s *spacingSearch) progress(reading, of int) func(done, of int) {
	return func(done, steps int) {
		if s.o.Progress != nil {
			const whole = 1000
			s.o.Progress((reading*whole+done*whole/max(steps, 1))*100/(of*whole), 100)
		}
	}
}

func newSpacingSearch(doc *barrier.Document, o SpacingOptions) (*spacingSearch, error) {
	file, err := doc.Definition()
	if err != nil {
		return nil, err
	}
	if err := refuseSurveyed(file, "the largest spacing"); err != nil {
		return nil, err
	}
	s := &spacingSearch{doc: doc, file: file, o: o}
	if s.ground, err = groundOf(file, o.On, o.Grid, o.Units); err != nil {
		return nil, err
	}
	least := cmp.Or(o.DownTo, s.ground.least())
	switch longest := s.ground.longest(); {
	case !(least > 0):
		return nil, &WrongOption{"--down-to", "posts stand at a distance above 0", `write the smallest spacing to look at, such as --down-to "1 m"`}
	case least > longest+setOut:
		return nil, &WrongOption{"--down-to", "no part of the run is so long: the longest is " + quantity.Place(longest).In(o.Units), "write a smaller spacing"}
	}
	s.spacings, err = s.ground.spacings(least)
	return s, err
}

// runLength is the distance from the first support to the last, m.
func (g *ground) runLength() float64 { return g.parts[len(g.parts)-1].to - g.parts[0].from }

// setOut says how posts are set out.
func (s *spacingSearch) setOut() string {
	divided := len(s.ground.parts) > 1
	switch grid := quantity.Size(s.o.Grid); {
	case s.o.Grid > 0 && divided:
		return quantity.Say("Posts are set out from the start of each leg and from each gap in bays of whole multiples of %s; what is left over is one odd bay at the end of that part.", grid).In(s.o.Units)
	case s.o.Grid > 0:
		return quantity.Say("Posts are set out from the start of the run in bays of whole multiples of %s; what is left over is one odd bay at its end.", grid).In(s.o.Units)
	case divided:
		return "Each leg, and each stretch between gaps, is divided into equal bays for itself, none larger than the spacing."
	}
	return "The run is divided into equal bays."
}

// judged is what became of one layout with one reading.
type judged struct {
	layout     layout
	definition *barrier.Definition
	judgement  *check.Judgement // nil where there is none
	fails      bool
	err        error
}

// definition makes the barrier of a layout.
func (s *spacingSearch) definition(l *layout, r *reading) (*barrier.Definition, error) {
	return s.doc.Definition(append(slices.Clone(r.changes), l.changes()...)...)
}

// judge works a layout out, or finds out whether it fails and no more. A bug that panics is an
// error of that layout.
func (s *spacingSearch) judge(i int, r *reading, whole bool) (j judged) {
	defer func() {
		if bug := recover(); bug != nil {
			j.err = fmt.Errorf("bug in the program: %v", bug)
		}
	}()
	j.layout = s.ground.at(s.spacings[i])
	if j.definition, j.err = s.definition(&j.layout, r); j.err != nil {
		return j
	}
	if !whole {
		_, j.fails, j.err = check.Fails(j.definition)
		return j
	}
	j.judgement, j.err = check.Judge(j.definition)
	return j
}

// errFound ends a search.
var errFound = errors.New("found")

// column searches with one reading.
func (s *spacingSearch) column(ctx context.Context, r reading, progress func(done, of int)) (SpacingColumn, error) {
	c := SpacingColumn{Name: r.name, Means: r.means, None: r.none}
	if r.none != "" {
		return c, nil
	}
	n := len(s.spacings)
	larger, err := s.firstThatPasses(ctx, &r, func(done int) { progress(done, 2*n) })
	if err != nil {
		return c, err
	}
	answer := len(larger)
	from, to := s.window(answer)
	for _, became := range larger[:from] {
		c.Beyond.count(became)
	}
	err = InOrder(ctx, to-from, func(i int) judged { return s.judge(from+i, &r, true) }, func(i int, j judged) error {
		row := s.row(&j)
		if from+i == answer {
			c.Largest = &row.Spacing
		}
		c.Rows = append(c.Rows, row)
		c.add(&j)
		progress(to-from+i+1, 2*(to-from))
		return nil
	})
	c.sortChecks()
	return c, err
}

// firstThatPasses looks for the largest spacing at which nothing fails, and returns what became
// of each larger one: of all where there is none.
func (s *spacingSearch) firstThatPasses(ctx context.Context, r *reading, progress func(done int)) (larger []check.Status, err error) {
	const some = 8 // are begun before it is known that they are needed
	for from := 0; from < len(s.spacings) && err == nil; from += some {
		err = InOrder(ctx, min(some, len(s.spacings)-from), func(i int) judged { return s.judge(from+i, r, false) }, func(_ int, j judged) error {
			became := j.became()
			if became == "" {
				return errFound
			}
			larger = append(larger, became)
			progress(len(larger))
			return nil
		})
	}
	if errors.Is(err, errFound) {
		err = nil
	}
	return larger, err
}

// became says what became of a layout that does not pass; it is empty for one that fails
// nothing.
func (j *judged) became() check.Status {
	switch {
	case isRefusal(j.err):
		return Refused
	case j.err != nil:
		return NotTrusted
	case j.fails:
		return check.Fail
	}
	return ""
}

// window returns which layouts about the largest that passes are worked out; where none does,
// which of the smallest.
func (s *spacingSearch) window(answer int) (from, to int) {
	n := len(s.spacings)
	if answer == n {
		return max(0, n-judgedMost), n
	}
	from, to = answer, answer+1
	for from > 0 && answer-from < judgedMost && (answer-from < judgedFew || s.spacings[from-1] <= judgedUpTo*s.spacings[answer]*(1+rounding)) {
		from--
	}
	if s.o.DownTo > 0 {
		return from, n
	}
	for to < n && to-answer <= judgedMost && s.spacings[to] >= s.spacings[answer]/3*(1-rounding) {
		to++
	}
	return from, to
}

// row tells of one layout.
func (s *spacingSearch) row(j *judged) SpacingRow {
	l := &j.layout
	row := SpacingRow{Spacing: l.spacing, Bays: l.bays(), Posts: len(l.supports)}
	for _, end := range []barrier.End{s.file.Run.Start, s.file.Run.End} {
		if end.Wall {
			row.Posts--
		}
	}
	for _, bay := range l.odd {
		row.OddBays = append(row.OddBays, l.supports[bay+1]-l.supports[bay])
	}
	var problems barrier.Problems
	switch row.Status = j.became(); {
	case errors.As(j.err, &problems):
		row.Reason = reasonOf(problems)
	case j.err != nil:
		row.Reason = j.err.Error()
	default:
		row.Status, row.Geometry, row.Unchecked = j.judgement.Status, j.judgement.Governing.Geometry, len(j.judgement.Unchecked)
		row.Broken = j.judgement.Geometry
		g := &j.judgement.Governing
		row.Utilisation, row.ID, row.Element = g.Overall.Utilisation, g.Overall.ID, g.Overall.Element
		row.Place = placeOf(j.definition, l.odd, row.Element)
		if g.FirstYield.ID != "" {
			row.FirstYield = &g.FirstYield
		}
	}
	return row
}

// shortOdd is the share of the spacing below which an odd bay is told as short, and clashing the
// length, m, below which fittings and feet of its two posts may clash: common practice.
const (
	shortOdd = 1.0 / 3
	clashing = leastSpacing
)

// ShortOddBay says of the shortest odd bay that it is "short" beside the spacing, or "very short":
// so that fittings or feet may clash in it; empty for one that is neither.
func (r *SpacingRow) ShortOddBay() string {
	if len(r.OddBays) == 0 {
		return ""
	}
	switch shortest := slices.Min(r.OddBays); {
	case shortest < clashing:
		return "very short"
	case shortest < shortOdd*r.Spacing:
		return "short"
	}
	return ""
}

// YieldsFirst reports whether first yield is nearer to failing than what governs, and does not
// fail: what fails governs.
func (r *SpacingRow) YieldsFirst() bool { return yieldsFirst(r.Utilisation, r.FirstYield) }

func yieldsFirst(governing *float64, yield *check.CheckRef) bool {
	return governing != nil && yield != nil && yield.Utilisation != nil && *yield.Utilisation > *governing+ties
}

// ties is the difference below which two utilisations are one.
const ties = 1e-9

// reasonOf tells the first of the problems of a layout.
func reasonOf(problems barrier.Problems) string {
	text := problems[0].What
	if problems[0].Path != "" {
		text = problems[0].Path + ": " + text
	}
	if n := len(problems) - 1; n > 0 {
		text += fmt.Sprintf("; and %d more", n)
	}
	return text
}

// add counts a layout among those of each check; layouts come by spacing, the largest first.
func (c *SpacingColumn) add(j *judged) {
	if j.judgement == nil {
		return
	}
	spacing := j.layout.spacing
	for i := range j.judgement.Checks {
		found := &j.judgement.Checks[i]
		at := slices.IndexFunc(c.Checks, func(s SpacingCheck) bool { return s.ID == found.ID })
		if at < 0 {
			at = len(c.Checks)
			c.Checks = append(c.Checks, SpacingCheck{ID: found.ID})
		}
		of := &c.Checks[at]
		switch {
		case found.Status == check.Pass && of.Passes == nil:
			of.Passes = &spacing
		case found.Status == check.Fail:
			of.Fails, of.Element = &spacing, found.Element
			of.Place = placeOf(j.definition, j.layout.odd, found.Element)
		}
	}
}

// sortChecks puts the checks in the order of a report.
func (c *SpacingColumn) sortChecks() {
	rank := map[string]int{}
	for i, id := range check.CheckIDs() {
		rank[id.ID] = i
	}
	slices.SortStableFunc(c.Checks, func(a, b SpacingCheck) int { return rank[a.ID] - rank[b.ID] })
}

// refusal returns why no layout at all can be built as the file has it, and the option that
// keeps those away that can; nil where one can.
func (s *spacingSearch) refusal(declared *SpacingColumn) error {
	if declared.Beyond.Fail+declared.Beyond.NotTrusted > 0 || slices.ContainsFunc(declared.Rows, func(r SpacingRow) bool { return r.Status != Refused }) {
		return nil
	}
	last := s.ground.at(s.spacings[len(s.spacings)-1])
	_, err := s.definition(&last, &reading{})
	var problems barrier.Problems
	if !errors.As(err, &problems) {
		return err
	}
	what := s.lookedAt() + reasonOf(problems)
	switch {
	case s.o.DownTo > 0 && s.standsBelow():
		return &WrongOption{"--down-to", what, "smaller ones can: write a smaller spacing to stop at, or leave it out"}
	case s.o.On > 0:
		return &WrongOption{"--on", what, "splices, gaps, braces and loads stay where the file has them: write another length, or change what stands against it"}
	case s.o.Grid > 0:
		return &WrongOption{"--grid", what, "write another grid, or change what stands against it"}
	}
	return &WrongOption{"[run]", what, "change what stands against it, or set posts out with --grid"}
}

// lookedAt says of the layouts that were looked at that none can be built.
func (s *spacingSearch) lookedAt() string {
	largest, smallest := s.spacings[0], s.spacings[len(s.spacings)-1]
	if len(s.spacings) == 1 {
		return "the only layout that was looked at, at a spacing of " + s.place(largest) + ", cannot be built: "
	}
	return fmt.Sprintf("none of the %d layouts that were looked at, at spacings from %s down to %s, can be built: ", len(s.spacings), s.place(largest), s.place(smallest))
}

// standsBelow reports whether a layout closer than those that are looked at can be built.
func (s *spacingSearch) standsBelow() bool {
	all, err := s.ground.spacings(s.ground.least())
	if err != nil {
		return false
	}
	for _, spacing := range all {
		if spacing >= s.spacings[len(s.spacings)-1] {
			continue
		}
		l := s.ground.at(spacing)
		if _, err := s.definition(&l, &reading{}); err == nil {
			return true
		}
	}
	return false
}

// isBuilt reports whether a layout was checked.
func (r *SpacingRow) isBuilt() bool { return r.Status != Refused && r.Status != NotTrusted }

// list joins words as a sentence does.
func list(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
