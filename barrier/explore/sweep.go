package explore

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
)

// MaxSweep is how many variants a sweep has at most.
const MaxSweep = 10_000_000

// Sweep is a definition with every combination of some values of its keys: the product of all,
// in the order of the keys, of which the last varies fastest.
type Sweep struct {
	Vary []*Vary

	doc *barrier.Document
	n   int
}

// NewSweep reads flags such as "run.spacing=1m..2m:0.25m" for a document. The error is of type
// barrier.Problems: what is wrong with every flag, whose text stands in the place of the file's
// name; or what is wrong with the file in every variant.
//
// A value that can be none of its key whatever else is varied (a unit that does not fit, a
// name that is not known) is a problem. One that is refused beside some values alone is not: its
// variants are rows that say so.
func NewSweep(doc *barrier.Document, flags []string) (*Sweep, error) {
	s := &Sweep{doc: doc, n: 1}
	if len(flags) == 0 {
		return nil, barrier.Problems{problemOf("", "", "nothing is varied", "write --vary KEY=VALUES, such as --vary run.spacing=1m..2m:0.25m")}
	}
	var problems barrier.Problems
	var keys []*Vary // also those whose values are wrong
	for _, flag := range flags {
		v, wrong := parseVary(doc, flag)
		problems = append(problems, wrong...)
		keys = append(keys, v)
		if len(wrong) == 0 {
			s.Vary = append(s.Vary, v)
		}
	}
	problems = slices.Concat(problems, crossed(keys), s.count(), s.surveyed(), s.unreadable())
	if len(problems) > 0 {
		place := func(p *barrier.Problem) int {
			return slices.IndexFunc(flags, func(flag string) bool { return p.Pos.File == flagName(flag) })
		}
		slices.SortStableFunc(problems, func(a, b *barrier.Problem) int { return cmp.Compare(place(a), place(b)) })
		return nil, problems
	}
	return s, nil
}

// count counts the variants; more than are swept are a problem.
func (s *Sweep) count() barrier.Problems {
	for _, v := range s.Vary {
		if v.Len() > MaxSweep/s.n {
			what := fmt.Sprintf("with this the product of all values has more than %d variants", MaxSweep)
			return barrier.Problems{problemOf(v.written, v.Key, what, "vary less at once, or in larger steps")}
		}
		s.n *= v.Len()
	}
	return nil
}

// crossed returns a problem for each key that puts a value where another does.
func crossed(keys []*Vary) barrier.Problems {
	var problems barrier.Problems
	for i, v := range keys {
		for j, path := range v.Paths {
			if at, ok := meet(v.Paths[:j], v.Paths[j:j+1]); ok {
				problems.Add(problemOf(v.written, v.Key, path+" stands twice: "+at, "write it once"))
			}
		}
		for _, other := range keys[:i] {
			if path, ok := meet(other.Paths, v.Paths); ok {
				what := fmt.Sprintf("%s is varied by --vary %q already", path, other.written)
				problems.Add(problemOf(v.written, v.Key, what, "vary each value once, with all its values in one --vary"))
			}
		}
	}
	return problems
}

// meet returns a path of one list that is, leads to, or lies below one of the other.
func meet(a, b []string) (string, bool) {
	for _, path := range b {
		for _, other := range a {
			if leads(path, other) || leads(other, path) {
				return path, true
			}
		}
	}
	return "", false
}

// unreadable returns what is wrong with values, or with the file, in every variant.
func (s *Sweep) unreadable() barrier.Problems {
	var problems barrier.Problems
	for k, v := range s.Vary {
		for _, at := range v.samples() {
			_, err := s.doc.Definition(v.changes(at)...)
			for _, p := range wrongWith(err) {
				if p.Unreadable && under(p.Path, v.Paths) && s.persists(p.Path, k, at) {
					problems.Add(problemOf(v.written, p.Path, p.What, fixOf(v, p)))
					break // one for each value
				}
			}
		}
	}
	if len(problems) > 0 {
		return problems
	}
	text := func(p *barrier.Problem) string { return p.Path + p.What }
	_, err := s.doc.Definition()
	for _, p := range wrongWith(err) {
		if p.Unreadable && !slices.ContainsFunc(s.Vary, func(v *Vary) bool { return under(p.Path, v.Paths) }) && s.persists(p.Path, -1, 0) {
			problems.Add(p)
		}
	}
	slices.SortStableFunc(problems, func(a, b *barrier.Problem) int { return cmp.Compare(a.Pos.Line, b.Pos.Line) })
	return slices.CompactFunc(problems, func(a, b *barrier.Problem) bool { return text(a) == text(b) })
}

// fixOf is what would be right in the place of a value of a key. Where a list is wanted it shows
// how several are told from the values in each.
func fixOf(v *Vary, p *barrier.Problem) string {
	if !strings.HasPrefix(p.What, "a list") {
		return p.Fix
	}
	return fmt.Sprintf(`%s; each list is one value, with | between them: --vary '%s=["0 m", "2 m"]|["0 m", "1 m", "2 m"]'`, p.Fix, v.Key)
}

// persists reports whether a path stays unreadable whatever value another key takes; the kth
// key, where k is not negative, keeps the one at a place.
func (s *Sweep) persists(path string, k, at int) bool {
	const most = 1000 // definitions that are tried
	tried := 0
	for j, other := range s.Vary {
		if j == k {
			continue
		}
		for _, i := range other.samples() {
			if tried++; tried > most {
				return true
			}
			changes := other.changes(i)
			if k >= 0 {
				changes = append(changes, s.Vary[k].changes(at)...)
			}
			_, err := s.doc.Definition(changes...)
			if !slices.ContainsFunc(wrongWith(err), func(p *barrier.Problem) bool { return p.Unreadable && p.Path == path }) {
				return false
			}
		}
	}
	return true
}

// under reports whether a path is one of some or lies below it.
func under(path string, paths []string) bool {
	return slices.ContainsFunc(paths, func(above string) bool { return leads(above, path) })
}

// leads reports whether a path is another or leads to it.
func leads(path, to string) bool {
	rest, begins := strings.CutPrefix(to, path)
	return begins && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

func wrongWith(err error) barrier.Problems {
	problems, _ := errors.AsType[barrier.Problems](err)
	return problems
}

// changes returns what puts a value, from 0, wherever the key stands.
func (v *Vary) changes(i int) []barrier.Change {
	_, value := v.At(i)
	changes := make([]barrier.Change, len(v.Paths))
	for j, path := range v.Paths {
		changes[j] = barrier.Change{Path: path, Value: value}
	}
	return changes
}

// Len returns how many variants there are.
func (s *Sweep) Len() int { return s.n }

// at returns the place of each key's value in a variant, from 0.
func (s *Sweep) at(i int) []int {
	places := make([]int, len(s.Vary))
	for k := len(s.Vary) - 1; k >= 0; k-- {
		n := s.Vary[k].Len()
		places[k], i = i%n, i/n
	}
	return places
}

// Values returns the values of a variant, from 0, in the order of the keys, as they are told.
func (s *Sweep) Values(i int) []string {
	values := make([]string, len(s.Vary))
	for k, place := range s.at(i) {
		values[k], _ = s.Vary[k].At(place)
	}
	return values
}

// Variant is one row of a sweep. Of one that was refused or not trusted the numbers are nil; those of
// others are what check.Judgement has.
type Variant struct {
	Values                check.Inputs `json:"values"` // by key, as written
	Status                check.Status `json:"status"` // pass, fail, incomplete, refused, not trusted
	ScopeComplete         *bool        `json:"scope_complete"`
	Utilisation           *float64     `json:"utilisation"` // nil too where a check has no bound, or nothing is checked
	GoverningCheck        string       `json:"governing_check"`
	GoverningElement      string       `json:"governing_element"`
	StrengthUtilisation   *float64     `json:"strength_utilisation"`
	DeflectionUtilisation *float64     `json:"deflection_utilisation"`
	BaseMoment            *float64     `json:"base_moment_Nm"`
	BaseUplift            *float64     `json:"base_uplift_N"`
	Slip                  *float64     `json:"fitting_slip_N"`
	Deflection            *float64     `json:"deflection_mm"`
	Feet                  *int         `json:"feet"`
	LongestBay            *float64     `json:"longest_bay_m"` // as it is built; gaps apart, 0 where all bays are gaps
	Unchecked             *int         `json:"unchecked"`     // items that nothing checked
	Note                  string       `json:"note"`          // why there is no result, or what the numbers do not tell
	Checks                []CheckWorst `json:"checks"`        // of each id at its worst, as in a report
}

// CheckWorst is the worst of one check over all elements of a variant.
type CheckWorst struct {
	ID          string       `json:"id"`
	Element     string       `json:"element"`
	Utilisation *float64     `json:"utilisation"`
	Status      check.Status `json:"status"`
}

// Variant checks one variant, from 0. What goes wrong with it is in the row.
func (s *Sweep) Variant(i int) (row Variant) {
	places := s.at(i)
	var changes []barrier.Change
	for k, v := range s.Vary {
		text, _ := v.At(places[k])
		row.Values = append(row.Values, check.Input{Key: v.Key, Text: text})
		changes = append(changes, v.changes(places[k])...)
	}
	defer func() {
		if bug := recover(); bug != nil {
			row = Variant{Values: row.Values, Status: NotTrusted, Note: fmt.Sprintf("bug in the program: %v\n%s", bug, debug.Stack())}
		}
	}()
	definition, err := s.doc.Definition(changes...)
	if err == nil {
		var j *check.Judgement
		if j, err = check.Judge(definition); err == nil {
			row.judge(definition, j)
			return row
		}
	}
	row.Status, row.Note = NotTrusted, err.Error()
	if problems := wrongWith(err); problems != nil {
		row.Status, row.Note = Refused, inOneLine(problems)
	}
	return row
}

// judge takes over what the check of a definition comes to.
func (row *Variant) judge(d *barrier.Definition, j *check.Judgement) {
	governing := j.Governing
	row.Status, row.ScopeComplete = j.Status, &j.ScopeComplete
	row.Utilisation, row.GoverningCheck, row.GoverningElement = governing.Overall.Utilisation, governing.Overall.ID, governing.Overall.Element
	row.StrengthUtilisation, row.DeflectionUtilisation = governing.Strength.Utilisation, governing.Deflection.Utilisation
	deflection, bay, unchecked := j.Deflection*1000, longestBay(d), len(j.Unchecked)
	row.BaseMoment, row.BaseUplift, row.Slip, row.Deflection = &j.BaseMoment, &j.BaseUplift, &j.Slip, &deflection
	row.Feet, row.LongestBay, row.Unchecked = &j.Feet, &bay, &unchecked
	var unbounded, notes []string
	for _, c := range j.Checks {
		row.Checks = append(row.Checks, CheckWorst{c.ID, c.Element, c.Utilisation, c.Status})
		if c.Status == check.Fail && c.Utilisation == nil {
			unbounded = append(unbounded, c.ID+" of "+c.Element)
		}
	}
	if governing.Geometry != "" {
		notes = append(notes, "a geometry rule fails: "+governing.Geometry)
	}
	if len(unbounded) > 0 {
		notes = append(notes, "no bound: "+strings.Join(unbounded, ", "))
	}
	if !j.ScopeComplete {
		notes = append(notes, "parts left out of the scope are not checked")
	}
	row.Note = strings.Join(notes, "; ")
}

// inOneLine tells problems without their places.
func inOneLine(problems barrier.Problems) string {
	const most = 3
	var told []string
	for i, p := range problems {
		if i == most {
			told = append(told, fmt.Sprintf("%d more problems", len(problems)-most))
			break
		}
		text := strings.TrimPrefix(p.Path+": "+p.What, ": ")
		if p.Fix != "" {
			text += ": " + strings.Join(strings.Fields(p.Fix), " ")
		}
		told = append(told, text)
	}
	return strings.Join(told, "; ")
}

// Run checks the variants from one on, on as many processors as there are, and delivers them in
// order as they finish. It stops at the first error of deliver, and when ctx is done, with ctx's
// error.
func (s *Sweep) Run(ctx context.Context, from int, deliver func(i int, row Variant) error) error {
	if from >= s.n {
		return nil
	}
	do := func(i int) Variant { return s.Variant(from + i) }
	return InOrder(ctx, s.n-from, do, func(i int, row Variant) error { return deliver(from+i, row) })
}
