package explore

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// LifeOptions say which years are looked at.
type LifeOptions struct {
	Years  float64              // the last year, MostYears at most; 0 stands for fifty
	Step   float64              // years from one to the next; 0 stands for one
	Levels []sections.RateLevel // that are told, in order; none stands for all three
	Units  quantity.System      // of the words; numbers are SI in any

	Progress func(done, total int) // may be nil; called on the caller's goroutine
}

// What years are looked at where nothing is asked for, and the most that are.
const (
	usualYears = 50
	usualStep  = 1
	MostYears  = 100  // twice what structures are designed for
	mostSteps  = 1000 // of a life
)

// foundTo is how closely the year is found at which something begins, in years.
const foundTo = 0.01

// NotCovered is what becomes of a year at which the code of the basis does not cover the wall
// that is left.
const NotCovered check.Status = "not covered"

// Life is what years of weather make of a barrier: each number that of a check on the walls that
// are left at a year.
type Life struct {
	Schema        int             `json:"schema"`
	Title         string          `json:"title"`
	Basis         string          `json:"basis"`
	Status        check.Status    `json:"status"`         // fail: fails at year 0; otherwise that of the last year before anything ends it, incomplete where a wall leaves the code; not trusted
	ScopeComplete bool            `json:"scope_complete"` // false where the user left something out
	Headline      string          `json:"headline"`
	Cautions      []check.Caution `json:"cautions"`
	Years         float64         `json:"years"`      // the last that was looked at
	Step          float64         `json:"step_years"` // from one to the next
	Rates         []LifeRate      `json:"rates"`
	Coatings      []LifeCoating   `json:"coatings"`
	Inspection    Inspection      `json:"inspection"`
	Assumptions   []string        `json:"assumptions"` // of the exposure
	Unchecked     []check.Item    `json:"unchecked"`   // of the last year before anything ends it
	LeftOut       []check.Item    `json:"left_out"`
	Notes         []string        `json:"notes"`
}

// LifeRate is the life at one place within the range of the rates.
type LifeRate struct {
	Rate       string      `json:"rate"` // low, middle, high
	Fails      *LifeEvent  `json:"first_failure"`
	NotCovered *LifeEvent  `json:"first_not_covered"` // by the code of the basis
	Gone       *LifeEvent  `json:"wall_gone"`
	Checks     []LifeCheck `json:"checks"` // in the order of a report
	Rows       []LifeRow   `json:"rows"`   // by year
}

// LifeEvent is a year from which on something is so; within a year at which it is not and the
// first that was worked out at which it is, found to a hundredth of a year.
type LifeEvent struct {
	Year    float64 `json:"year"`
	ID      string  `json:"check,omitempty"` // that fails
	Element string  `json:"element"`
	What    string  `json:"what"` // in words
}

// LifeCheck is the worst of one check over all elements, at year 0 and at the last year with a value,
// and the first of the years that were worked out at which it fails.
type LifeCheck struct {
	ID      string   `json:"id"`
	Element string   `json:"element"` // that is worst at that last year
	First   *float64 `json:"utilisation_first"`
	Last    *float64 `json:"utilisation_last"`
	At      float64  `json:"last_year"`
	Fails   *float64 `json:"fails_at_year"` // null: at none
}

// LifeRow is one year.
type LifeRow struct {
	Year        float64         `json:"year"`
	Status      check.Status    `json:"status"`      // pass, fail, incomplete, not covered, not trusted
	Utilisation *float64        `json:"utilisation"` // the largest, first yield among them also below 1; null: no bound, or none
	ID          string          `json:"governing_check"`
	Element     string          `json:"governing_element"`
	LeastWall   *float64        `json:"least_wall_mm"` // of any tube; null where none is left of one
	Walls       []check.WallRow `json:"walls"`
	Checks      []LifeUse       `json:"checks"` // the worst of each id, in the order of a report
	Reason      string          `json:"reason,omitempty"`
}

// LifeUse is the worst of one check over all elements at one year.
type LifeUse struct {
	ID          string       `json:"id"`
	Element     string       `json:"element"`
	Utilisation *float64     `json:"utilisation"`
	Status      check.Status `json:"status"`
}

// errNoExposure is a barrier of which nothing says what years take from it.
var errNoExposure = &WrongOption{"[exposure]", "the file has none, so that nothing says what years take from its walls", `add that table, such as category = "C4" and coating = "ISO 1461"`}

// lifeSearch is one life under way.
type lifeSearch struct {
	d     *barrier.Definition // as built, or as surveyed
	o     LifeOptions
	years []float64
	found []lifeFound // of each wall that was worked out
	at    [3][]int    // of each level and year: which of these
	gone  [3][]error  // of each level and year: that no wall is left; nil where one is
}

// lifeFound is what was found on some walls.
type lifeFound struct {
	d         *barrier.Definition
	judgement *check.Judgement
	err       error
}

// LifeOf checks a barrier on the walls that its exposure leaves, year by year at the low, the middle
// and the high end of its rates.
//
// The error is of type *WrongOption for options that make no sense and for a barrier without an
// exposure, barrier.Problems for tubes that the method does not cover as new, or that of ctx.
func LifeOf(ctx context.Context, d *barrier.Definition, o LifeOptions) (*Life, error) {
	s, err := newLifeSearch(d, o)
	if err != nil {
		return nil, err
	}
	if err := s.workOut(ctx); err != nil {
		return nil, err
	}
	all, err := s.rates(ctx)
	if err != nil {
		return nil, err
	}
	out := &Life{Schema: 1, Title: d.Title, Basis: string(d.Basis), Years: s.o.Years, Step: s.o.Step, Coatings: coatingsOf(d)}
	for _, level := range s.o.Levels {
		out.Rates = append(out.Rates, all[level])
	}
	out.Inspection = s.inspection(&all[sections.HighRate], out.Coatings)
	return out, s.conclude(out)
}

func newLifeSearch(d *barrier.Definition, o LifeOptions) (*lifeSearch, error) {
	if d.Exposure == nil {
		return nil, errNoExposure
	}
	if o.Years == 0 {
		o.Years = usualYears
	}
	if o.Step == 0 {
		o.Step = min(usualStep, o.Years)
	}
	switch steps := o.Years / o.Step; {
	case !(o.Years > 0 && o.Years <= MostYears):
		return nil, &WrongOption{"--years", fmt.Sprintf("%g years are no life that is looked at", o.Years), fmt.Sprintf("write a number above 0, up to %d", MostYears)}
	case !(o.Step >= 10*foundTo && o.Step <= o.Years):
		return nil, &WrongOption{"--step", fmt.Sprintf("years are not looked at %g apart", o.Step), fmt.Sprintf("write a number of years from %g to that of --years", 10*foundTo)}
	case steps > mostSteps:
		return nil, &WrongOption{"--step", fmt.Sprintf("%g years in steps of %g are more than %d", o.Years, o.Step, mostSteps), "write a larger step"}
	}
	if len(o.Levels) == 0 {
		levels := sections.RateLevels()
		o.Levels = levels[:]
	}
	s := &lifeSearch{d: d, o: o}
	for i := 0; float64(i)*o.Step < o.Years-foundTo/2; i++ {
		s.years = append(s.years, quantity.Figures(float64(i)*o.Step, 9))
	}
	s.years = append(s.years, o.Years)
	return s, nil
}

// workOut checks the barrier on every wall that is left at some year and rate, each once: as long as
// a coating stands they are those as new.
func (s *lifeSearch) workOut(ctx context.Context) error {
	known := map[string]int{}
	for _, level := range sections.RateLevels() {
		s.at[level], s.gone[level] = make([]int, len(s.years)), make([]error, len(s.years))
		for i, year := range s.years {
			d, err := s.d.AtYear(year, level)
			if err != nil {
				s.gone[level][i] = err
				continue
			}
			key := wallsKey(d)
			n, ok := known[key]
			if !ok {
				n = len(s.found)
				known[key] = n
				s.found = append(s.found, lifeFound{d: d})
			}
			s.at[level][i] = n
		}
	}
	return InOrder(ctx, len(s.found), func(i int) lifeFound { return judgeWalls(s.found[i].d) }, func(i int, f lifeFound) error {
		s.found[i] = f
		var problems barrier.Problems
		if errors.As(f.err, &problems) { // as new: no year mends it
			return f.err
		}
		if s.o.Progress != nil {
			s.o.Progress(i+1, len(s.found)+1)
		}
		return nil
	})
}

// wallsKey tells walls from others.
func wallsKey(d *barrier.Definition) string {
	var key []byte
	for _, w := range check.Walls(d) {
		for _, v := range [...]float64{w.OD, w.Wall, w.LeastOD, w.LeastWall} {
			key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v))
		}
	}
	return string(key)
}

// judgeWalls checks a barrier. A bug that panics is an error of that year.
func judgeWalls(d *barrier.Definition) (f lifeFound) {
	defer func() {
		if bug := recover(); bug != nil {
			f.err = fmt.Errorf("bug in the program: %v", bug)
		}
	}()
	f.d = d
	f.judgement, f.err = check.Judge(d)
	return f
}

// row tells of a year at a level.
func (s *lifeSearch) row(level sections.RateLevel, i int) LifeRow {
	row := LifeRow{Year: s.years[i]}
	if gone := s.gone[level][i]; gone != nil {
		row.Status, row.Reason = check.Fail, gone.Error()
		return row
	}
	f := &s.found[s.at[level][i]]
	row.Walls = check.Walls(f.d)
	least := math.Inf(1)
	for k := range row.Walls {
		w := &row.Walls[k]
		for _, v := range [...]*float64{&w.NewOD, &w.NewWall, &w.OD, &w.Wall, &w.LeastOD, &w.LeastWall} {
			*v = quantity.Figures(*v, 9)
		}
		least = math.Min(least, w.LeastWall)
	}
	row.LeastWall = &least
	if f.err != nil {
		row.Status, row.Reason = NotTrusted, f.err.Error()
		if worn, ok := errors.AsType[*check.WornError](f.err); ok {
			row.Status, row.Reason = NotCovered, worn.Element+": "+worn.Err.Error()
		}
		return row
	}
	g := &f.judgement.Governing
	worst := &g.Overall
	if yieldsFirst(worst.Utilisation, &g.FirstYield) { // it will fail before the others do
		worst = &g.FirstYield
	}
	row.Status, row.Utilisation, row.ID, row.Element = f.judgement.Status, worst.Utilisation, worst.ID, worst.Element
	if g.Geometry != "" {
		row.Reason = "geometry fails: " + g.Geometry
	}
	for _, c := range f.judgement.Checks {
		row.Checks = append(row.Checks, LifeUse{c.ID, c.Element, c.Utilisation, c.Status})
	}
	return row
}

// rates tells the life at every level.
func (s *lifeSearch) rates(ctx context.Context) (all [3]LifeRate, err error) {
	for _, level := range sections.RateLevels() {
		r := &all[level]
		r.Rate = level.String()
		for i := range s.years {
			r.Rows = append(r.Rows, s.row(level, i))
		}
		r.Checks = checksOf(r.Rows)
	}
	type event struct {
		level sections.RateLevel
		of    lifeEnd
	}
	var events []event
	for _, level := range sections.RateLevels() {
		for _, of := range lifeEnds() {
			events = append(events, event{level, of})
		}
	}
	err = InOrder(ctx, len(events), func(i int) *LifeEvent { return s.begins(&all[events[i].level], events[i].level, events[i].of) }, func(i int, found *LifeEvent) error {
		*events[i].of.in(&all[events[i].level]) = found
		return nil
	})
	return all, err
}

// lifeEnd is something that ends a life.
type lifeEnd struct {
	is func(*LifeRow) bool
	in func(*LifeRate) **LifeEvent
}

func lifeEnds() [3]lifeEnd {
	isGone := func(r *LifeRow) bool { return r.Status == check.Fail && r.LeastWall == nil }
	return [...]lifeEnd{
		{func(r *LifeRow) bool { return r.Status == check.Fail }, func(r *LifeRate) **LifeEvent { return &r.Fails }},
		{func(r *LifeRow) bool { return r.Status == NotCovered }, func(r *LifeRate) **LifeEvent { return &r.NotCovered }},
		{isGone, func(r *LifeRate) **LifeEvent { return &r.Gone }},
	}
}

// begins finds when something begins that is so at a year that was worked out: the first such
// year, and between it and the one before by bisection. nil: at none.
func (s *lifeSearch) begins(r *LifeRate, level sections.RateLevel, of lifeEnd) *LifeEvent {
	at := slices.IndexFunc(r.Rows, func(row LifeRow) bool { return of.is(&row) })
	if at < 0 {
		return nil
	}
	row := r.Rows[at]
	if at > 0 {
		from, steps := s.years[at-1], int(math.Round((s.years[at]-s.years[at-1])/foundTo))
		yearOf := func(hundredths int) float64 { return quantity.Figures(from+float64(hundredths)*foundTo, 9) }
		low, high := 0, steps // not yet, and already
		for high-low > 1 {
			middle := (low + high) / 2
			if became := s.glance(level, yearOf(middle)); of.is(&became) {
				high = middle
			} else {
				low = middle
			}
		}
		if high < steps {
			row = s.rowAt(level, yearOf(high))
		}
	}
	e := &LifeEvent{Year: row.Year, ID: row.ID, Element: row.Element, What: row.Reason}
	if row.Status == check.Fail && row.Reason == "" {
		e.What = fmt.Sprintf("%s of %s is above 1", row.ID, row.Element)
	}
	return e
}

// rowAt works out a year between two others.
func (s *lifeSearch) rowAt(level sections.RateLevel, year float64) LifeRow {
	one := &lifeSearch{d: s.d, o: s.o, years: []float64{year}}
	one.at[level], one.gone[level] = []int{0}, []error{nil}
	d, err := s.d.AtYear(year, level)
	if err != nil {
		one.gone[level][0] = err
	} else {
		one.found = []lifeFound{judgeWalls(d)}
	}
	return one.row(level, 0)
}

// glance finds out of a year whether it fails, whether the code covers its walls, and whether any
// are left, and no more.
func (s *lifeSearch) glance(level sections.RateLevel, year float64) LifeRow {
	d, err := s.d.AtYear(year, level)
	if err != nil {
		return LifeRow{Year: year, Status: check.Fail}
	}
	row := LifeRow{Year: year, Status: check.Pass, LeastWall: new(float64)}
	_, fails, err := check.Fails(d)
	_, thin := errors.AsType[*check.WornError](err)
	switch {
	case thin:
		row.Status = NotCovered
	case err != nil:
		row.Status = NotTrusted
	case fails:
		row.Status = check.Fail
	}
	return row
}

// checksOf gathers each check over the years.
func checksOf(rows []LifeRow) []LifeCheck {
	rank := map[string]int{}
	for i, id := range check.CheckIDs() {
		rank[id.ID] = i
	}
	var out []LifeCheck
	for i := range rows {
		for _, c := range rows[i].Checks {
			at := slices.IndexFunc(out, func(o LifeCheck) bool { return o.ID == c.ID })
			if at < 0 {
				at = len(out)
				out = append(out, LifeCheck{ID: c.ID})
			}
			of := &out[at]
			if i == 0 {
				of.First = c.Utilisation
			}
			if c.Utilisation != nil || c.Status == check.Fail {
				of.Last, of.Element, of.At = c.Utilisation, c.Element, rows[i].Year
			}
			if of.Fails == nil && c.Status == check.Fail {
				of.Fails = &rows[i].Year
			}
		}
	}
	slices.SortStableFunc(out, func(a, b LifeCheck) int { return rank[a.ID] - rank[b.ID] })
	return out
}
