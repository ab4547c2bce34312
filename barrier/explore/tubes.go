package explore

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// RankedBy says what candidates are ranked by.
type RankedBy string

// What candidates are ranked by.
const (
	ByMass RankedBy = "mass" // of posts, rails and fittings, by the metre of run
	ByCost RankedBy = "cost" // of tubes, fittings and feet, by the metre of run
)

// At which spacing candidates are ranked, as TubeRanking.At has it.
const (
	givenSpacing   = "given spacing"
	largestSpacing = "largest spacing"
)

// TubeOptions says how candidates are compared.
type TubeOptions struct {
	By             RankedBy
	LargestSpacing bool // each candidate's own largest spacing is sought too
	RankAtLargest  bool // candidates are ranked as they stand at it
	Units          quantity.System
	Fitting, Foot  float64 // price of one in Currency, for ByCost
	Currency       string
	From           string                // "tables" or "stock", for the record
	RailsDiffer    bool                  // for the record
	WithoutGrade   []string              // tubes of the tables that no grade makes a candidate, for the record
	Progress       func(done, total int) // may be nil; called on the caller's goroutine
}

// Price takes prices from a stock, nil for none. The error names all that lacks one.
func (o *TubeOptions) Price(stock *barrier.Stock, tubes []Stocked) error {
	if stock == nil {
		return errors.New("nothing has a price: list tubes with prices in [stock] or with --stock, or rank by mass")
	}
	var lacking []string
	for i := range tubes {
		if tubes[i].Price == nil {
			lacking = append(lacking, tubes[i].In(o.Units))
		}
	}
	take := func(what, key string, price *float64, to *float64) {
		if price == nil {
			lacking = append(lacking, what+" ("+key+" in [stock])")
			return
		}
		*to = *price
	}
	take("a fitting", "fitting_price", stock.Fitting, &o.Fitting)
	take("a foot", "foot_price", stock.Foot, &o.Foot)
	o.Currency = stock.Currency
	if len(lacking) > 0 {
		return fmt.Errorf("no cost without the price of %s", strings.Join(lacking, ", "))
	}
	return nil
}

// TubeRanking compares candidates, best first. Lengths are metres, movements millimetres,
// masses kilograms, forces newtons, moments newton metres.
type TubeRanking struct {
	Schema      int             `json:"schema"`
	Title       string          `json:"title"`
	Basis       string          `json:"basis"`
	Annex       string          `json:"annex,omitempty"`
	Cautions    []check.Caution `json:"cautions"`
	From        string          `json:"from"`         // "tables" or "stock"
	RailsDiffer bool            `json:"rails_differ"` // from posts, in some candidates
	By          RankedBy        `json:"ranked_by"`
	At          string          `json:"ranked_at"` // "given spacing" or "largest spacing"
	Currency    string          `json:"currency,omitempty"`
	RunLength   float64         `json:"run_length_m"`
	LeftAside   []string        `json:"left_aside"` // what neither mass nor cost has
	ScopeOpen   bool            `json:"scope_left_out"`
	Candidates  int             `json:"candidates"`
	Done        int             `json:"done"` // fewer than candidates where the comparison was interrupted
	Interrupted bool            `json:"interrupted"`
	Pass        int             `json:"pass"`
	Incomplete  int             `json:"incomplete"`
	Fail        int             `json:"fail"`
	Geometry    string          `json:"geometry,omitempty"` // the rule that every candidate that was checked breaks at the given spacing; none where one does not
	Rows        []TubeRow       `json:"rows"`               // those that pass, then the incomplete, then those that fail
	Refused     []TubeReason    `json:"refused"`            // those that the definition refuses
	NotTrusted  []TubeReason    `json:"not_trusted"`        // those whose calculation could not be trusted
	// WithoutGrade are the tubes that were no candidates because the tables have no grade for them.
	WithoutGrade []string `json:"without_grade"`
}

// TubeRow is one candidate.
type TubeRow struct {
	Rank     int          `json:"rank"`   // from 1
	Status   check.Status `json:"status"` // at the spacing at which candidates are ranked
	Post     TubeChoice   `json:"post"`
	Rail     TubeChoice   `json:"rail"`
	AsInFile bool         `json:"as_in_file"` // posts and rails of the file are of these tubes
	Given    Built        `json:"given_spacing"`
	Largest  *Built       `json:"largest_spacing"` // nil where it was not sought, or none stands
	Sought   bool         `json:"largest_spacing_sought"`
	Cautions []string     `json:"cautions"` // that this candidate brings and others do not
}

// Built is the barrier of a candidate with its posts at one spacing. Of one that fails the first
// check that was found to fail is told, and what was not worked out is nil.
type Built struct {
	Spacing     float64         `json:"spacing_m"` // the longest bay that is no gap
	Feet        int             `json:"feet"`
	FeetPerM    float64         `json:"feet_per_m"`
	Status      check.Status    `json:"status"`
	Governing   check.CheckRef  `json:"governing"`
	Worst       bool            `json:"worst"`              // of all checks governing is the worst; false: the first that was found to fail
	FirstYield  *check.CheckRef `json:"first_yield"`        // as a row of LargestSpacing has it
	Geometry    string          `json:"geometry,omitempty"` // the geometry rule that fails
	Unchecked   *int            `json:"unchecked"`          // how many things nothing checked
	BaseMoment  *float64        `json:"base_moment_Nm"`     // this and what follows as check.Judgement has it
	BaseUplift  *float64        `json:"base_uplift_N"`
	FittingSlip *float64        `json:"fitting_slip_N"`
	Deflection  *float64        `json:"deflection_mm"`
	Mass        float64         `json:"mass_kg_per_m"`
	PostMass    float64         `json:"post_mass_kg_per_m"`
	RailMass    float64         `json:"rail_mass_kg_per_m"`
	FittingMass float64         `json:"fitting_mass_kg_per_m"`
	Cost        *float64        `json:"cost_per_m"` // in TubeRanking.Currency
	// Pareto says that no other that passes, at the same kind of spacing, is better in mass,
	// deflection and feet.
	Pareto bool `json:"pareto"`
}

// YieldsFirst reports whether first yield is nearer to failing than what governs, and does not
// fail: what fails governs.
func (b *Built) YieldsFirst() bool { return yieldsFirst(b.Governing.Utilisation, b.FirstYield) }

// TubeReason is a candidate that has no row, and why.
type TubeReason struct {
	Post   TubeChoice `json:"post"`
	Rail   TubeChoice `json:"rail"`
	Reason string     `json:"reason"`
}

// Tubes checks a barrier with the tubes of each candidate in place of its own, on as many
// processors as there are, and ranks them. A candidate of which a check is found to fail is
// checked no further. When ctx is done it ranks what was checked, and the
// error is ctx's. Any other error is one of the document itself, or of its own check.
func Tubes(ctx context.Context, doc *barrier.Document, candidates []Candidate, o TubeOptions) (*TubeRanking, error) {
	d, err := doc.Definition()
	if err != nil {
		return nil, err
	}
	if err := refuseSurveyed(d, "the choice of tubes"); err != nil {
		return nil, err
	}
	own, err := check.Run(d, check.Options{Units: o.Units})
	if err != nil {
		return nil, err
	}
	trial := tubeTrial{doc: doc, file: d, options: o}
	if o.LargestSpacing {
		if trial.layouts, err = wholeBays(d, o.Units); err != nil {
			return nil, err
		}
	}
	r := newTubeRanking(d, own, o)
	r.Candidates = len(candidates)
	err = InOrder(ctx, len(candidates), func(i int) tried { return trial.of(&candidates[i]) }, func(i int, t tried) error {
		r.take(&candidates[i], t)
		if o.Progress != nil {
			o.Progress(r.Done, r.Candidates)
		}
		return nil
	})
	r.Interrupted = r.Done < r.Candidates
	r.rank(o)
	r.shareCautions()
	return r, err
}

func newTubeRanking(d *barrier.Definition, own *check.Result, o TubeOptions) *TubeRanking {
	r := &TubeRanking{
		Schema: 1, Title: own.Title, Basis: own.Basis, Annex: own.Annex, From: o.From, RailsDiffer: o.RailsDiffer, By: o.By, WithoutGrade: o.WithoutGrade,
		At: givenSpacing, RunLength: runLength(d), LeftAside: leftAside(d, o.By), ScopeOpen: !own.ScopeComplete,
	}
	if o.RankAtLargest {
		r.At = largestSpacing
	}
	if o.By == ByCost {
		r.Currency = o.Currency
	}
	ofFile := said(d, o.Units)
	for _, c := range own.Cautions {
		if c.OfResult || c.ID == "" && slices.Contains(ofFile, c.Text) {
			continue // of the file's own tubes; each candidate has its own
		}
		r.Cautions = append(r.Cautions, c)
		if c.ID == "C6" && c.Triggered {
			r.Cautions = append(r.Cautions, check.Caution{Text: "The tested values of the file stand here for every candidate. They hold only for the tube that was tested: ask for values of each other tube before it is chosen.", Triggered: true})
		}
	}
	return r
}

// said returns the cautions that a definition brings.
func said(d *barrier.Definition, units quantity.System) []string {
	texts := make([]string, 0, len(d.Cautions))
	for _, c := range d.Cautions {
		texts = append(texts, c.In(units))
	}
	return texts
}

// tubeTrial checks one candidate after the other; it does not change.
type tubeTrial struct {
	doc     *barrier.Document
	file    *barrier.Definition
	layouts []layout // that are tried for the largest spacing; none where it is not asked for
	options TubeOptions
}

// tried is what became of a candidate: a row, or the reason why there is none.
type tried struct {
	row     TubeRow
	refused string
	fault   string // why the calculation could not be trusted
}

// of checks a candidate. A bug that panics on the way is a calculation that is not trusted.
func (t *tubeTrial) of(c *Candidate) (out tried) {
	defer func() {
		if bug := recover(); bug != nil {
			out = tried{fault: fmt.Sprintf("bug in the program: %v", bug)}
		}
	}()
	changes := c.changes(len(t.file.Rails))
	d, err := t.doc.Definition(changes...)
	if err == nil {
		err = t.fill(&out.row, d, c, changes)
	}
	switch {
	case isRefusal(err):
		return tried{refused: reason(err)}
	case err != nil:
		return tried{fault: err.Error()}
	}
	return out
}

// fill checks a candidate at the spacing of the file and at its own largest.
func (t *tubeTrial) fill(row *TubeRow, d *barrier.Definition, c *Candidate, changes []barrier.Change) error {
	row.Cautions, row.AsInFile, row.Sought = said(d, t.options.Units), areOneTube(d, t.file), len(t.layouts) > 0
	j, failing, fails, err := check.JudgeUnlessFails(d)
	switch {
	case err != nil:
		return err
	case fails:
		row.Given = t.failed(d, c, failing)
	default:
		row.Given = t.judged(d, c, j)
	}
	if other := otherMetalThan(t.file, d); other != nil && (hasTested(t.file) || !fails && other.resting(j.Checks) > 0) {
		row.Cautions = append(row.Cautions, other.caution())
	}
	if !row.Sought {
		return nil
	}
	widest, j, err := widestStanding(t.doc, changes, t.layouts, d, j)
	if err != nil || widest == nil {
		return err
	}
	found := row.Given
	if widest != d {
		found = t.judged(widest, c, j)
	}
	row.Largest = &found
	return nil
}

// areOneTube reports whether two barriers have posts and rails of the same tubes and grades.
func areOneTube(a, b *barrier.Definition) bool {
	same := func(a, b *barrier.Member) bool {
		return a.Ring == b.Ring && a.Name == b.Name && a.GradeIn(quantity.Metric) == b.GradeIn(quantity.Metric) && a.Grade.Standard == b.Grade.Standard
	}
	if !same(&a.Post.Member, &b.Post.Member) {
		return false
	}
	for i := range a.Rails {
		if !same(&a.Rails[i].Member, &b.Rails[i].Member) {
			return false
		}
	}
	return true
}

// judged weighs a barrier in which no check fails. What passes on a tested value of another metal
// counts as not checked.
func (t *tubeTrial) judged(d *barrier.Definition, c *Candidate, j *check.Judgement) Built {
	b := t.weighed(d, c)
	unchecked, deflection := len(j.Unchecked), j.Deflection*1000
	b.Status, b.Governing, b.Worst, b.Geometry, b.Unchecked = j.Status, j.Governing.Overall, true, j.Governing.Geometry, &unchecked
	if y := j.Governing.FirstYield; y.ID != "" {
		b.FirstYield = &y
	}
	if resting := otherMetalThan(t.file, d).resting(j.Checks); resting > 0 {
		unchecked += resting
		if b.Status == check.Pass {
			b.Status = check.Incomplete
		}
	}
	b.BaseMoment, b.BaseUplift, b.FittingSlip, b.Deflection = &j.BaseMoment, &j.BaseUplift, &j.Slip, &deflection
	return b
}

// failed weighs a barrier of which it is known that a check fails.
func (t *tubeTrial) failed(d *barrier.Definition, c *Candidate, failing check.Judged) Built {
	b := t.weighed(d, c)
	b.Status = check.Fail
	if failing.ID == geometryID {
		b.Geometry = failing.Element
	} else {
		b.Governing = check.CheckRef{ID: failing.ID, Element: failing.Element, Utilisation: failing.Utilisation}
	}
	return b
}

// geometryID is what check.Fails calls a geometry rule that is broken.
const geometryID = "geometry"

// weighed is a barrier with its feet, its mass and its cost.
func (t *tubeTrial) weighed(d *barrier.Definition, c *Candidate) Built {
	length, mass, feet := runLength(d), MassOf(d), len(d.Run.Posts)
	b := Built{
		Spacing: longestBay(d), Feet: feet, FeetPerM: float64(feet) / length,
		Mass: mass.Total() / length, PostMass: mass.Posts / length, RailMass: mass.Rails / length, FittingMass: mass.Fittings / length,
	}
	if t.options.By == ByCost && c.Post.Price != nil && c.Rail.Price != nil {
		cost := CostOf(d, Prices{Post: *c.Post.Price, Rail: *c.Rail.Price, Fitting: t.options.Fitting, Foot: t.options.Foot}) / length
		b.Cost = &cost
	}
	return b
}

// longestBay returns the length of the longest bay that is no gap, m.
func longestBay(d *barrier.Definition) (longest float64) {
	for bay := range len(d.Supports()) - 1 {
		if !d.Run.IsGap(bay) {
			longest = math.Max(longest, d.BayLength(bay))
		}
	}
	return longest
}

// reason is what the definition says of what it refuses, without the place.
func reason(err error) string {
	var problems barrier.Problems
	if !errors.As(err, &problems) || len(problems) == 0 {
		return err.Error()
	}
	first := problems[0]
	for _, p := range problems { // what is wrong with a tube goes before what follows from it
		if strings.HasPrefix(p.Path, "post.") || strings.HasPrefix(p.Path, "rail[") {
			first = p
			break
		}
	}
	text := first.What
	if first.Path != "" {
		text = first.Path + ": " + text
	}
	if n := len(problems); n > 1 {
		text += fmt.Sprintf(" (and %d more)", n-1)
	}
	return text
}

// take keeps what became of a candidate.
func (r *TubeRanking) take(c *Candidate, t tried) {
	r.Done++
	switch {
	case t.refused != "":
		r.Refused = append(r.Refused, TubeReason{c.Post.TubeChoice, c.Rail.TubeChoice, t.refused})
	case t.fault != "":
		r.NotTrusted = append(r.NotTrusted, TubeReason{c.Post.TubeChoice, c.Rail.TubeChoice, t.fault})
	default:
		t.row.Post, t.row.Rail = c.Post.TubeChoice, c.Rail.TubeChoice
		r.Rows = append(r.Rows, t.row)
	}
}

// rank puts the rows in order and marks the Pareto sets.
func (r *TubeRanking) rank(o TubeOptions) {
	for i := range r.Rows {
		row := &r.Rows[i]
		at := row.at(o)
		row.Status = check.Fail // no layout of it stands
		if at != nil {
			row.Status = at.Status
		}
		switch row.Status {
		case check.Pass:
			r.Pass++
		case check.Incomplete:
			r.Incomplete++
		default:
			r.Fail++
		}
	}
	slices.SortStableFunc(r.Rows, func(a, b TubeRow) int {
		return cmp.Or(cmp.Compare(group(a.Status), group(b.Status)), cmp.Compare(a.key(o), b.key(o)))
	})
	for i := range r.Rows {
		r.Rows[i].Rank = i + 1
	}
	if len(r.Rows) > 0 {
		r.Geometry = r.Rows[0].Given.Geometry
	}
	if slices.ContainsFunc(r.Rows, func(row TubeRow) bool { return row.Given.Geometry != r.Geometry }) {
		r.Geometry = ""
	}
	markPareto(r.Rows, func(row *TubeRow) *Built { return &row.Given })
	markPareto(r.Rows, func(row *TubeRow) *Built { return row.Largest })
}

// at returns the barrier that ranks the candidate; nil where none stands.
func (row *TubeRow) at(o TubeOptions) *Built {
	if o.RankAtLargest {
		return row.Largest
	}
	return &row.Given
}

// group orders the verdicts.
func group(s check.Status) int {
	switch s {
	case check.Pass:
		return 0
	case check.Incomplete:
		return 1
	}
	return 2
}

// key is what a candidate is ranked by among those of its verdict: mass or cost, at the given
// spacing where none stands at the one that ranks. Equal ones, to 9 figures, stay in the order of
// the candidates.
func (row *TubeRow) key(o TubeOptions) float64 {
	at := row.at(o)
	if at == nil {
		at = &row.Given
	}
	switch {
	case o.By != ByCost:
		return quantity.Figures(at.Mass, 9)
	case at.Cost != nil:
		return quantity.Figures(*at.Cost, 9)
	}
	return math.Inf(1)
}

// markPareto marks the barriers that pass and that none that passes is better than, in mass,
// deflection and feet.
func markPareto(rows []TubeRow, built func(*TubeRow) *Built) {
	var passing []*Built
	var points [][]float64
	for i := range rows {
		if b := built(&rows[i]); b != nil && b.Status == check.Pass {
			passing = append(passing, b)
			points = append(points, []float64{b.Mass, *b.Deflection, float64(b.Feet)})
		}
	}
	for i, best := range Pareto(points) {
		passing[i].Pareto = best
	}
}

// shareCautions moves what every row is cautioned of to the top.
func (r *TubeRanking) shareCautions() {
	if len(r.Rows) == 0 {
		return
	}
	inAll := func(text string) bool {
		return !slices.ContainsFunc(r.Rows, func(row TubeRow) bool { return !slices.Contains(row.Cautions, text) })
	}
	var shared []string
	for _, text := range r.Rows[0].Cautions {
		if inAll(text) {
			shared = append(shared, text)
			r.Cautions = append(r.Cautions, check.Caution{Text: text, Triggered: true})
		}
	}
	for i := range r.Rows {
		row := &r.Rows[i]
		row.Cautions = slices.DeleteFunc(row.Cautions, func(text string) bool { return slices.Contains(shared, text) })
	}
}

// AtLargest reports whether candidates are ranked as they stand at the largest spacing of each.
func (r *TubeRanking) AtLargest() bool { return r.At == largestSpacing }

// Top keeps the first n rows.
func (r *TubeRanking) Top(n int) { r.Rows = r.Rows[:min(n, len(r.Rows))] }
