package explore

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// Inspection is when to look at the barrier next, as this program suggests. Inspections by local
// rule come first.
type Inspection struct {
	Year     float64  `json:"year"`          // 0: now
	Earliest *float64 `json:"earliest_year"` // credible, of what it rests on; null: nothing happens within the years
	Why      string   `json:"why"`
	Rule     string   `json:"rule"`
}

// Rules of this program, which no standard gives: an inspection comes after half of the time to the
// earliest credible date, and never later than some years; sooner where the foot or the fittings,
// which go first, are outside what was judged. Years are counted down to whole halves.
const (
	inspectWithin       = 5.0
	inspectWithinUntold = 2.0
	inspectStep         = 0.5
)

// inspection suggests one.
func (s *lifeSearch) inspection(high *LifeRate, coatings []LifeCoating) Inspection {
	bound, untold := inspectWithin, ""
	if e := s.d.Exposure; e.AtFoot == nil || e.AtFitting == nil {
		bound, untold = inspectWithinUntold, ", for the foot or the fittings are not covered"
	}
	out := Inspection{Rule: fmt.Sprintf("A rule of this program, not of a standard: half of the time to the earliest date at the high rate at which a coating is gone, a check fails or a wall leaves the code, rounded down to half a year; never later than %g years, or %g where at_foot or at_fitting is not given. It is a suggestion: inspections by local rule come first.",
		inspectWithin, inspectWithinUntold)}
	earliest, why := math.Inf(1), ""
	take := func(year float64, what string) {
		if year < earliest {
			earliest, why = year, what
		}
	}
	for _, e := range []*LifeEvent{high.Fails, high.NotCovered} {
		if e != nil {
			take(e.Year, e.What)
		}
	}
	for i := range coatings {
		c := &coatings[i]
		if gone := c.Gone(sections.HighRate); gone != nil && *gone > 0 {
			take(*gone, "nothing protects "+c.Elements+" "+c.Surface+" any more")
		}
	}
	if !math.IsInf(earliest, 1) {
		out.Earliest = &earliest
	}
	switch half := earliest / 2; {
	case earliest == 0:
		out.Year, out.Why = 0, "now: "+why+" as "+s.start()
	case half < bound:
		out.Year = math.Floor(half/inspectStep) * inspectStep
		out.Why = fmt.Sprintf("half of the %s years until %s", yearText(earliest), why)
		if out.Year == 0 {
			out.Why = "now: within the year " + why
		}
	case math.IsInf(earliest, 1):
		out.Year, out.Why = bound, "never later than that"+untold
	default:
		out.Year, out.Why = bound, fmt.Sprintf("never later than that%s; the earliest date is year %s, when %s", untold, yearText(earliest), why)
	}
	return out
}

// SoonerYear writes a year rounded down to a tenth: what begins then is never told later.
func SoonerYear(year float64) string { return quantity.Fix(math.Floor(year*10+1e-6)/10, 1) }

// yearText writes a year so within a sentence, a whole one without a point.
func yearText(year float64) string { return strings.TrimSuffix(SoonerYear(year), ".0") }

// Ends is when a life at a rate ends: what comes first; nil where nothing does.
func (r *LifeRate) Ends() *LifeEvent {
	switch {
	case r.Fails == nil:
		return r.NotCovered
	case r.NotCovered == nil || r.Fails.Year <= r.NotCovered.Year:
		return r.Fails
	}
	return r.NotCovered
}

// worst is the rate, among those that are told, at which most is lost.
func (out *Life) worst() *LifeRate { return &out.Rates[len(out.Rates)-1] }

// conclude checks the barrier whole at the last year before anything ends it at the highest rate
// told, for what is said of it, and says what the years come to.
func (s *lifeSearch) conclude(out *Life) error {
	worst, level := out.worst(), s.o.Levels[len(s.o.Levels)-1]
	last := 0
	for i, row := range worst.Rows {
		if row.Status != check.Pass && row.Status != check.Incomplete {
			break
		}
		last = i
	}
	if first := &worst.Rows[0]; first.Status == NotTrusted || first.Status == NotCovered {
		return fmt.Errorf("at year 0, %s: %s", first.Status, first.Reason)
	}
	d, err := s.d.AtYear(s.years[last], level)
	if err != nil {
		return err
	}
	r, err := check.Run(d, check.Options{Units: s.o.Units})
	if err != nil {
		return err
	}
	if row := &worst.Rows[last]; r.Status != row.Status && s.found[s.at[level][last]].judgement.Status != r.Status {
		return fmt.Errorf("at year %g a whole check says %s and the life %s", row.Year, r.Status, row.Status)
	}
	out.Status, out.ScopeComplete, out.Cautions = r.Status, r.ScopeComplete, r.Cautions
	out.Unchecked, out.LeftOut = r.Unchecked, r.LeftOut
	out.Assumptions = append([]string{
		"Years count from when the barrier stands as the file has it. Strength goes by the thinnest wall, at the foot and at fittings, wherever it is judged; stiffness by that between fittings; own weight, heights, openings, wind and ice by the tubes as new.",
	}, s.d.Exposure.Notes...)
	s.settleStatus(out)
	s.headline(out, r)
	s.note(out)
	return nil
}

// settleStatus takes into the status what happens at other years and rates.
func (s *lifeSearch) settleStatus(out *Life) {
	for i := range out.Rates {
		rate := &out.Rates[i]
		if out.Status == check.Pass && rate.NotCovered != nil && rate.Ends() == rate.NotCovered {
			out.Status = check.Incomplete
		}
		if slices.ContainsFunc(rate.Rows, func(row LifeRow) bool { return row.Status == NotTrusted }) {
			out.Status = NotTrusted
			return
		}
	}
}

// headline says the answer in one line of words.
func (s *lifeSearch) headline(out *Life, r *check.Result) {
	worst := out.worst()
	if worst.Rows[0].Status == check.Fail {
		out.Headline = "fails as " + s.start() + ": " + strings.TrimPrefix(r.Headline, "fails: ")
		return
	}
	var told, holds []string
	for i := len(out.Rates) - 1; i >= 0; i-- {
		rate := &out.Rates[i]
		switch e := rate.Ends(); e {
		case nil:
			holds = append(holds, rate.Rate)
		case rate.NotCovered:
			told = append(told, fmt.Sprintf("at the %s rate the code does not cover the wall from year %s", rate.Rate, yearText(e.Year)))
		default:
			told = append(told, fmt.Sprintf("at the %s rate it fails from year %s (%s)", rate.Rate, yearText(e.Year), joinedWords(e.ID, e.Element)))
		}
	}
	if len(holds) > 0 {
		slices.Reverse(holds)
		rates := "the " + list(holds) + " rate"
		if len(holds) > 1 {
			rates += "s"
		}
		told = append(told, fmt.Sprintf("at %s nothing fails within %g years", rates, out.Years))
	}
	until := ": "
	if len(holds) < len(out.Rates) {
		until = "; until then "
	}
	out.Headline = strings.Join(told, "; ") + until + r.Headline
}

// start is what the barrier is at year 0.
func (s *lifeSearch) start() string {
	if s.d.Survey != nil {
		return "surveyed"
	}
	return "new"
}

// joinedWords joins what is not empty.
func joinedWords(words ...string) string {
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), ", ")
}

// note says what the numbers do not.
func (s *lifeSearch) note(out *Life) {
	say := func(format string, args ...any) { out.Notes = append(out.Notes, fmt.Sprintf(format, args...)) }
	for i := range out.Rates {
		if e := out.Rates[i].Ends(); e != nil && e.Year > 0 {
			say("A check was made at every year of the table; between the last that holds and the first that does not the year is found by halving, to %g of a year.", foundTo)
			break
		}
	}
	if level := s.o.Levels[len(s.o.Levels)-1]; s.losesMoreAbove(level) {
		say("The high rate, at which more is lost than at the %s one, is not told here.", level)
	}
	s.noteCoating(out, say)
	for i := range out.Rates {
		rate := &out.Rates[i]
		if e := rate.NotCovered; e != nil && e == rate.Ends() {
			say("At the %s rate the wall leaves the code from year %s: %s. That is no failure, and no pass: nothing judges it there.", rate.Rate, yearText(e.Year), e.What)
		}
		if e := rate.Gone; e != nil {
			say("At the %s rate, by year %s: %s.", rate.Rate, yearText(e.Year), e.What)
		}
		if n := failsAndPasses(rate.Rows); n >= 0 {
			say("At the %s rate it fails at year %g, and not at each later one: a thinner wall draws less load.", rate.Rate, rate.Rows[n].Year)
		}
	}
	if len(s.d.Uncovered()) == 1+len(s.d.Rails)+len(s.d.Braces)+len(s.d.PostMembers) {
		say("No tube of this barrier loses its wall evenly: every year is as new, and what its metal loses in pits is not judged.")
	}
}

// losesMoreAbove reports whether the high rate takes more than a level.
func (s *lifeSearch) losesMoreAbove(level sections.RateLevel) bool {
	e := s.d.Exposure
	return slices.ContainsFunc([]sections.RateRange{e.Outside.Zinc, e.Outside.Steel, e.Inside.Zinc, e.Inside.Steel}, func(r sections.RateRange) bool { return r[level] < r[sections.HighRate] })
}

// noteCoating says how long the tubes last beyond what protects them.
func (s *lifeSearch) noteCoating(out *Life, say func(string, ...any)) {
	level := s.o.Levels[len(s.o.Levels)-1]
	first := -1
	for i := range out.Coatings {
		gone := out.Coatings[i].Gone(level)
		if gone != nil && *gone > 0 && (first < 0 || *gone < *out.Coatings[first].Gone(level)) {
			first = i
		}
	}
	if first < 0 {
		return
	}
	c := &out.Coatings[first]
	gone := *c.Gone(level)
	where := c.Elements + ", " + c.Surface
	switch e := out.worst().Ends(); {
	case gone > out.Years:
		say("At the %s rate every coating outlives these years; the first is gone at year %s (%s).", level, yearText(gone), where)
	case e == nil:
		say("At the %s rate the first coating is gone at year %s (%s), and the barrier outlives it by more than %s years: a coating that is gone is no failure yet.", level, yearText(gone), where, yearText(out.Years-gone))
	case e.Year > gone:
		say("At the %s rate the first coating is gone at year %s (%s), and the barrier outlives it by %s years: a coating that is gone is no failure yet.", level, yearText(gone), where, yearText(e.Year-gone))
	}
}

// failsAndPasses returns the first failing row after which one does not fail; -1 for none.
func failsAndPasses(rows []LifeRow) int {
	at := slices.IndexFunc(rows, func(r LifeRow) bool { return r.Status == check.Fail })
	if at < 0 || !slices.ContainsFunc(rows[at:], func(r LifeRow) bool { return r.Status == check.Pass || r.Status == check.Incomplete }) {
		return -1
	}
	return at
}
