package loads

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
)

// scheduleFile is a file of schedules. What stands at its top holds for every schedule of
// the file.
type scheduleFile struct {
	scheduleHead
	Standard        string
	Edition         string
	Family          string
	Stage           string
	Height          heightRow  // of the load on the top rail
	Strength        *factorRow // the standard's own ULS factor, instead of the combination's
	Accidental      *factorRow // on the accidental actions of the file, in place of Strength
	FirstYield      factorRow  `toml:"first_yield"`
	GammaM          *factorRow `toml:"gamma_m"` // the standard's own partial factor on resistance
	Limit           []limitRow
	LoadedHeight    *loadedHeightRow `toml:"loaded_height"`
	TestPosts       int              `toml:"test_posts"` // of the piece on which the standard tests its loads
	Test            *siteTestRow     // how the standard puts its service load on
	FreeAction      bool             `toml:"free_action"`
	Action          []actionRow      // after those of each schedule
	Rule            []ruleRow        // after those of each schedule
	Cautions        []string
	Assumptions     []string
	OpenAssumptions []string `toml:"open_assumptions"` // of a barrier without infill
	Schedule        []scheduleRow
	Refused         []refusedRow
}

// scheduleHead is what the top of a file of schedules says of the names under which they are
// found.
type scheduleHead struct {
	Name      string   // under which its schedules are found, by occupancy where they have one
	Spellings []string // other spellings of Name
	PartOf    string   `toml:"part_of"` // a standard under whose name they are found as well
	Annex     string   // the national annex to PartOf that the file is
	Partial   bool     // the annex has rows that the file has not
}

type scheduleRow struct {
	Occupancy  string
	Spellings  []string // other spellings of Occupancy
	National   []string // spellings that hold under the names of the file only, not of the standard it is part of
	Use        string
	Clause     string
	Category   string // of its actions; left out: imposed
	Categories []Category
	Action     []actionRow
	Rule       []ruleRow
	Cautions   []string
	Source     string
	Provenance string
	Confidence string
}

type actionRow struct {
	Name      string
	Kind      string
	Value     string
	Range     []string
	Direction string
	Target    string
	Symbol    string

	Category   string // left out: that of the schedule
	Accidental bool
	Alone      bool
	With       []string // names of actions of the schedule, each pair named once

	citationRow
}

// citationRow has the fields of a Citation, each a key of the row it is embedded in.
type citationRow Citation

type heightRow struct {
	Kind   string
	AtMost string `toml:"at_most"`
	Value  string
	citationRow
}

type factorRow struct {
	Value float64
	citationRow
}

type limitRow struct {
	Of         string // left out: total
	Deflection string // a length
	Rule       string // in its place, such as "h/60 + L/240"
	Only       string // the one action that it binds
	citationRow
}

type loadedHeightRow struct {
	Height string
	citationRow
}

type siteTestRow struct {
	Preload *factorRow
	Set     *setRow
}

type setRow struct {
	Text string
	citationRow
}

type ruleRow struct {
	Kind      string
	Value     string
	AtMost    string `toml:"at_most"`
	Preferred bool
	Outdated  bool
	When      string
	Text      string
	citationRow
}

type refusedRow struct {
	Occupancy  string
	Spellings  []string
	National   []string
	Use        string
	Reason     string
	Source     string
	Provenance string
	Confidence string
}

// schedule builds one schedule of the file.
func (f *scheduleFile) schedule(row scheduleRow) (Schedule, error) {
	s := Schedule{
		Name:     strings.TrimSpace(f.Standard + " " + row.Occupancy),
		Standard: f.Standard, Edition: f.Edition, Clause: row.Clause, Annex: f.Annex,
		Occupancy: row.Occupancy, Use: row.Use, Family: Family(f.Family), Stage: f.Stage,
		Category:    Category(cmp.Or(row.Category, string(Imposed))),
		Categories:  row.Categories,
		Cautions:    append(slices.Clone(row.Cautions), f.Cautions...),
		Assumptions: slices.Clone(f.Assumptions), OpenAssumptions: slices.Clone(f.OpenAssumptions),
		Source: row.Source, Provenance: row.Provenance, Confidence: row.Confidence,
	}
	s.Aliases = f.aliases(row, s.Name)
	var faults []error
	for _, r := range append(slices.Clone(row.Action), f.Action...) {
		a, err := f.action(r, s.Category)
		faults = append(faults, err)
		s.Actions = append(s.Actions, a)
	}
	for _, r := range append(slices.Clone(row.Rule), f.Rule...) {
		rule, err := r.rule()
		faults = append(faults, err)
		s.Rules = append(s.Rules, rule)
	}
	for _, r := range f.Limit {
		limit, err := r.limit()
		faults = append(faults, err)
		s.Limits = append(s.Limits, limit)
	}
	s.TestPosts = f.TestPosts
	if f.Test != nil {
		s.Test = f.Test.siteTest()
	}
	if f.GammaM != nil {
		own := f.GammaM.factor()
		s.GammaM = &own
	}
	if f.LoadedHeight != nil {
		loaded, err := f.LoadedHeight.loadedHeight()
		faults = append(faults, err)
		s.LoadedHeight = &loaded
	}
	faults = append(faults, f.auditStrength(), s.audit(), s.auditTest())
	return s, errors.Join(faults...)
}

// auditStrength returns what is ambiguous between the stage of the values and the factor for
// strength that the file gives: values to be factored by a combination bring no factor, those
// of a test bring theirs, and ultimate ones bring none but 1.0 and leave no limit on movement.
func (f *scheduleFile) auditStrength() error {
	switch f.Stage {
	case "characteristic", "nominal":
		if f.Strength != nil {
			return fmt.Errorf("%s values take the factor of a combination, and the file gives its own: which holds is ambiguous", f.Stage)
		}
	case "service":
		if f.Strength == nil {
			return errors.New("service values need the factor of their standard for strength: with none it is ambiguous")
		}
	case "ultimate":
		if f.Strength == nil || f.Strength.Value != 1 {
			return errors.New("ultimate values take a factor for strength of 1.0 and no other on top")
		}
		if len(f.Limit) > 0 || f.LoadedHeight != nil {
			return errors.New("a limit on movement needs unfactored values, and these are ultimate")
		}
	}
	return nil
}

// aliases returns spellings that find the schedule of a row besides its name: those of the
// standard, with those of the occupancy where it has any.
func (f *scheduleFile) aliases(row scheduleRow, name string) []string {
	occupancies := row.Spellings
	if len(occupancies) == 0 {
		occupancies = []string{row.Occupancy}
	}
	occupancies = slices.Concat(occupancies, row.National)
	var aliases []string
	for _, standard := range append([]string{f.Name}, f.Spellings...) {
		for _, occupancy := range occupancies {
			if alias := strings.TrimSpace(standard + " " + occupancy); alias != name {
				aliases = append(aliases, alias)
			}
		}
	}
	return aliases
}

// action builds one action of a schedule of the file, whose actions are of the category
// unless they say otherwise.
func (f *scheduleFile) action(row actionRow, category Category) (Action, error) {
	a := Action{
		Name: row.Name, Kind: Kind(row.Kind), Direction: row.Direction, Target: Target(row.Target),
		Height: HeightRule{Kind: AtAxis}, Symbol: row.Symbol,
		Category:   Category(cmp.Or(row.Category, string(category))),
		Accidental: row.Accidental, Alone: row.Alone, With: row.With,
		Strength:   f.strength(row.Accidental),
		FirstYield: f.FirstYield.Value, YieldRule: f.FirstYield.citation(),
		FreeAction: f.FreeAction,
		Citation:   row.citation(),
	}
	if a.Accidental {
		a.FirstYield = 0
	}
	var faults [4]error
	a.Value, faults[0] = quantity.Parse(row.Value, a.Kind.dimension())
	switch len(row.Range) {
	case 0:
	case 2:
		a.Range[0], faults[1] = quantity.Parse(row.Range[0], a.Kind.dimension())
		a.Range[1], faults[2] = quantity.Parse(row.Range[1], a.Kind.dimension())
	default:
		faults[1] = fmt.Errorf("%s: a range has two values", row.Name)
	}
	if a.Target == Top {
		a.Height, faults[3] = f.Height.rule()
	}
	return a, errors.Join(faults[:]...)
}

// dimension returns the dimension of the value of an action of this kind. A force per metre
// of post spacing is written as a line load.
func (k Kind) dimension() quantity.Dimension {
	switch k {
	case Point:
		return quantity.Force
	case Area, WindPressure:
		return quantity.Pressure
	}
	return quantity.LineLoad
}

// strength returns the factor for strength on the actions of the file: the standard's own,
// or that of the combination of its family's basis.
func (f *scheduleFile) strength(accidental bool) Factor {
	row := f.Strength
	if accidental {
		row = f.Accidental
	}
	switch {
	case row != nil:
		own := row.factor()
		own.Override = true
		return own
	case accidental:
		return Factor{} // the audit asks for one
	}
	family := Family(f.Family)
	basis, ok := family.home()
	if !ok {
		return Factor{} // the audit refuses the family
	}
	return CombinationsOf(basis).leading(family)
}

func (r *factorRow) factor() Factor { return Factor{Value: r.Value, Citation: r.citation()} }

func (r *heightRow) rule() (HeightRule, error) {
	rule := HeightRule{Kind: HeightKind(r.Kind), Citation: r.citation()}
	var err error
	switch rule.Kind {
	case AtAxis:
	case AtBarrierTop:
		if r.AtMost == "" {
			break
		}
		if rule.AtMost, err = quantity.Parse(r.AtMost, quantity.Length); err == nil {
			err = positive("height rule", rule.AtMost)
		}
	case AtFixed:
		rule.Value, err = quantity.Parse(r.Value, quantity.Length)
	default:
		err = fmt.Errorf("unknown height rule %q", r.Kind)
	}
	return rule, err
}

// limit reads a limit on movement: a length, or a rule.
func (r *limitRow) limit() (Limit, error) {
	l := Limit{Of: cmp.Or(r.Of, LimitTotal), Only: r.Only, Citation: r.citation()}
	length := func(term string) (float64, error) { return quantity.Parse(term, quantity.Length) }
	if r.Rule == "" {
		var err error
		l.Deflection, err = length(r.Deflection)
		return l, err
	}
	if r.Deflection != "" {
		return l, fmt.Errorf("limit %q and %q: which holds is ambiguous", r.Deflection, r.Rule)
	}
	rule, err := quantity.ParseRule(r.Rule, length)
	l.Rule, l.Deflection, l.PerHeight, l.PerBay = r.Rule, rule.Length, rule.PerHeight, rule.PerBay
	return l, err
}

func (r *loadedHeightRow) loadedHeight() (LoadedHeight, error) {
	height, err := quantity.Parse(r.Height, quantity.Length)
	return LoadedHeight{Height: height, Citation: r.citation()}, err
}

func (r *ruleRow) rule() (GeometryRule, error) {
	rule := GeometryRule{
		Kind: r.Kind, Preferred: r.Preferred, Outdated: r.Outdated, When: r.When, Text: r.Text,
		Citation: r.citation(),
	}
	var faults [2]error
	rule.Value, faults[0] = quantity.Parse(r.Value, quantity.Length)
	if r.AtMost != "" {
		rule.AtMost, faults[1] = quantity.Parse(r.AtMost, quantity.Length)
	}
	return rule, errors.Join(faults[:]...)
}

func (r *citationRow) citation() Citation { return Citation(*r) }
