package loads

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// audit returns what is wrong with the schedule as data: a word outside its closed set, a
// value without a source, a source that names a web address.
func (s Schedule) audit() error {
	faults := []error{
		oneOf("family", string(s.Family), string(EN), string(ASCE), string(OSHA), string(NBC), string(AS)),
		oneOf("stage", s.Stage, "characteristic", "nominal", "service", "ultimate"),
		knownCategory("schedule", s.Category), s.auditCategories(),
		cited("schedule", Citation{s.Standard, s.Edition, s.Clause, s.Source, s.Provenance, s.Confidence, ""}),
		plain(s.Use), plain(s.Cautions...), plain(s.Assumptions...), plain(s.OpenAssumptions...),
	}
	if len(s.Actions) == 0 {
		faults = append(faults, errors.New("no action"))
	}
	for i, a := range s.Actions {
		faults = append(faults, a.audit(), s.auditWith(a), warned(a.Name, a.Citation, s.Cautions))
		if slices.ContainsFunc(s.Actions[:i], func(other Action) bool { return other.Name == a.Name }) {
			faults = append(faults, fmt.Errorf("two actions are called %q", a.Name))
		}
	}
	for _, r := range s.Rules {
		faults = append(faults, r.audit())
	}
	for _, l := range s.Limits {
		faults = append(faults, l.audit(), warned("deflection limit", l.Citation, s.Cautions))
		if _, known := s.action(l.Only); l.Only != "" && !known {
			faults = append(faults, fmt.Errorf("deflection limit: only %q, which is no action of the schedule", l.Only))
		}
	}
	if s.GammaM != nil {
		faults = append(faults, positive("gamma M", s.GammaM.Value), cited("gamma M", s.GammaM.Citation))
	}
	if s.LoadedHeight != nil {
		faults = append(faults, s.auditLoadedHeight())
	}
	return errors.Join(faults...)
}

// auditCategories returns what is wrong with the categories of a row of several: it is combined
// as one of them, of which no psi is below that of another.
func (s Schedule) auditCategories() error {
	if len(s.Categories) > 0 && !slices.Contains(s.Categories, s.Category) {
		return fmt.Errorf("category %s is none of %s", s.Category, s.Categories)
	}
	if len(s.Categories) == 0 {
		return nil
	}
	var faults []error
	as := psiTable().psi("", s.Category)
	for _, category := range s.Categories {
		faults = append(faults, knownCategory("schedule", category))
		if r := psiTable().psi("", category); r.Psi0 > as.Psi0 || r.Psi1 > as.Psi1 || r.Psi2 > as.Psi2 {
			faults = append(faults, fmt.Errorf("category %s has a larger psi than %s", category, s.Category))
		}
	}
	return errors.Join(faults...)
}

// auditLoadedHeight returns what is wrong with the floor for the loaded top rail: it needs
// a load that presses the rail down.
func (s Schedule) auditLoadedHeight() error {
	faults := []error{
		positive("loaded height", s.LoadedHeight.Height),
		cited("loaded height", s.LoadedHeight.Citation),
	}
	if !slices.ContainsFunc(s.Actions, func(a Action) bool { return a.Target == Top && pointsDown(a.Direction) }) {
		faults = append(faults, errors.New("loaded height: no action presses the top rail down"))
	}
	return errors.Join(faults...)
}

// auditWith returns what is wrong with the names of what acts with an action.
func (s Schedule) auditWith(a Action) error {
	var faults []error
	for i, name := range a.With {
		other, known := s.action(name)
		switch {
		case !known:
			faults = append(faults, fmt.Errorf("%s: with %q, which is no action of the schedule", a.Name, name))
		case name == a.Name:
			faults = append(faults, fmt.Errorf("%s: with itself", a.Name))
		case slices.Contains(a.With[:i], name):
			faults = append(faults, fmt.Errorf("%s: with %s twice", a.Name, name))
		case a.Alone:
			faults = append(faults, fmt.Errorf("%s: alone, and with %s", a.Name, name))
		case other.Alone:
			faults = append(faults, fmt.Errorf("%s: with %s, which acts alone", a.Name, name))
		case a.Accidental && other.Accidental:
			faults = append(faults, fmt.Errorf("%s: with %s, and both are accidental", a.Name, name))
		}
	}
	return errors.Join(faults...)
}

// action returns the action of that name.
func (s Schedule) action(name string) (Action, bool) {
	i := slices.IndexFunc(s.Actions, func(a Action) bool { return a.Name == name })
	if i < 0 {
		return Action{}, false
	}
	return s.Actions[i], true
}

func (l Limit) audit() error {
	return errors.Join(
		oneOf("deflection limit", l.Of, LimitTotal, LimitPost, LimitSpan, LimitVertical),
		positive("deflection limit", l.Deflection+l.PerHeight+l.PerBay), cited("deflection limit", l.Citation))
}

func (a Action) audit() error {
	faults := []error{
		oneOf("kind", string(a.Kind), string(Line), string(Point), string(PointPerSpacing), string(Area), string(WindPressure)),
		oneOf("target", string(a.Target), string(Top), string(Intermediate), string(InfillArea), string(ToeBoard), string(AnyPart), string(Everything)),
		knownCategory(a.Name, a.Category),
		oneOf("direction", a.Direction, directions()...),
		positive(a.Name, a.Value),
		positive(a.Name+", strength factor", a.Strength.Value),
		cited(a.Name, a.Citation),
		cited(a.Name+", strength factor", a.Strength.Citation),
		cited(a.Name+", first yield factor", a.YieldRule),
	}
	if !a.Accidental {
		faults = append(faults, positive(a.Name+", first yield factor", a.FirstYield))
	}
	if a.Name == "" || a.Symbol == "" {
		faults = append(faults, fmt.Errorf("action %q has no name or no symbol", a.Name))
	}
	if !a.Kind.standsOn(a.Target) {
		faults = append(faults, fmt.Errorf("%s: kind %s does not stand on target %s", a.Name, a.Kind, a.Target))
	}
	if a.Kind == Area {
		faults = append(faults, oneOf(a.Name+": direction of an area load", a.Direction, Outward, Inward, Across))
	}
	if a.Range != [2]float64{} && (a.Value < a.Range[0] || a.Value > a.Range[1]) {
		faults = append(faults, fmt.Errorf("%s: value %g lies outside its range %g", a.Name, a.Value, a.Range))
	}
	if a.Target == Top {
		faults = append(faults, a.Height.audit())
	}
	return errors.Join(faults...)
}

// standsOn reports whether an action of the kind may stand on the target.
func (k Kind) standsOn(t Target) bool {
	switch t {
	case InfillArea:
		return k == Area
	case Everything:
		return k == WindPressure
	case AnyPart, ToeBoard:
		return k == Point
	}
	return k != Area && k != WindPressure
}

func (h HeightRule) audit() error {
	faults := []error{
		oneOf("height rule", string(h.Kind), string(AtAxis), string(AtBarrierTop), string(AtFixed)),
		cited("height rule", h.Citation),
	}
	if h.Kind == AtFixed {
		faults = append(faults, positive("height rule", h.Value))
	}
	return errors.Join(faults...)
}

func (r GeometryRule) audit() error {
	faults := []error{
		oneOf("geometry rule", r.Kind, MinHeight, MaxHeight, MaxGap, MinToeBoard, MinToeTop, MaxToeGap, MaxSpacing, RailInterruption, MaxSphere),
		positive(r.Kind, r.Value),
		plain(r.Text, r.When),
		cited(r.Kind, r.Citation),
	}
	if r.Text == "" {
		faults = append(faults, fmt.Errorf("%s has no text", r.Kind))
	}
	if r.AtMost != 0 && r.AtMost <= r.Value {
		faults = append(faults, fmt.Errorf("%s: range from %g to %g", r.Kind, r.Value, r.AtMost))
	}
	return errors.Join(faults...)
}

func (c Combinations) audit() error {
	strength := "ULS"
	if c.Basis == BasisASD {
		strength = "ASD"
	}
	faults := []error{
		knownBasis(c.Basis),
		c.ULS.audit(strength), c.SLS.audit("SLS"), c.PermanentAlone.audit(strength),
		positive(c.ULS.Name+", leading", c.ULS.Leading),
		positive(c.SLS.Name+", leading", c.SLS.Leading),
		c.mixed.audit("mixed", c.ULS.Leading),
	}
	if c.PermanentSymbol == "" {
		faults = append(faults, errors.New("no symbol for the permanent actions"))
	}
	if c.PermanentAlone.Leading != 0 {
		faults = append(faults, errors.New("a variable action stands with the permanent actions alone"))
	}
	if slices.Contains(c.Basis.Families(), OSHA) {
		faults = append(faults, c.unfactored.audit("unfactored", c.ULS.Leading))
	}
	return errors.Join(faults...)
}

// audit returns what is wrong with the combination, which is to be of the limit state.
func (c Combination) audit(state string) error {
	return errors.Join(
		oneOf(c.Name+", limit state", c.LimitState, state),
		positive(c.Name+", unfavourable", c.PermanentUnfavourable),
		positive(c.Name+", favourable", c.PermanentFavourable),
		cited(c.Name, c.Citation),
		cited(c.Name+", favourable", c.Relief))
}

// audit returns what is wrong with a factor that stands for the leading one of a basis.
func (f Factor) audit(what string, leading float64) error {
	if f.Value != leading {
		return fmt.Errorf("%s: factor %g is not the leading %g", what, f.Value, leading)
	}
	return cited(what, f.Citation)
}

func (r refusedRow) audit() error {
	if r.Occupancy == "" || r.Use == "" || r.Reason == "" {
		return errors.New("a refused row needs occupancy, use and reason")
	}
	return errors.Join(plain(r.Use, r.Reason), sourced("refused row", r.Source, r.Provenance, r.Confidence))
}

// cited returns what is wrong with a citation.
func cited(what string, c Citation) error {
	if c.Standard == "" || c.Edition == "" || c.Clause == "" {
		return fmt.Errorf("%s: no standard, edition or clause", what)
	}
	return errors.Join(plain(c.Standard, c.Edition, c.Clause, c.Note), sourced(what, c.Source, c.Provenance, c.Confidence))
}

// warned returns an error for a value that is not held with high confidence where nothing warns
// of it.
func warned(what string, c Citation, cautions []string) error {
	if c.Confidence != "high" && len(cautions) == 0 {
		return fmt.Errorf("%s: of %s confidence, and no caution says so", what, c.Confidence)
	}
	return nil
}

// sourced returns what is wrong with a source and the words beside it.
func sourced(what, source, provenance, confidence string) error {
	faults := []error{
		oneOf(what+", provenance", provenance, "public", "memory", "derived", "common-practice"),
		oneOf(what+", confidence", confidence, "high", "medium", "low"),
		plain(source),
	}
	if source == "" {
		faults = append(faults, fmt.Errorf("%s: no source", what))
	}
	return errors.Join(faults...)
}

// oneOf returns an error unless the word is in its closed set.
func oneOf(what, word string, set ...string) error {
	if slices.Contains(set, word) {
		return nil
	}
	return fmt.Errorf("%s %q is not one of %s", what, word, strings.Join(set, ", "))
}

// positive returns an error unless the value is above zero.
func positive(what string, value float64) error {
	if value > 0 {
		return nil
	}
	return fmt.Errorf("%s: value %g is not positive", what, value)
}

// plain returns an error if a text names a web address.
func plain(texts ...string) error {
	for _, text := range texts {
		lower := strings.ToLower(text)
		for _, sign := range []string{"://", "www.", ".com", ".org", ".net", ".be", ".eu", ".it", ".info"} {
			if strings.Contains(lower, sign) {
				return fmt.Errorf("%q names a web address", text)
			}
		}
	}
	return nil
}
