package loads

import (
	"errors"
	"fmt"
	"slices"
	"sync"
)

// mixFile is the file of combinations of several variable actions.
type mixFile struct {
	Mix            []mixRow
	PsiRows        []psiRow `toml:"psi"`
	XiRows         []xiRow  `toml:"xi"`
	Wind           []windRow
	Ice            []iceRow
	AccidentalRows []accidentalRow `toml:"accidental"`
	Together       []togetherRow
}

// mixRow is one combination; the head of the file says what its keys mean.
type mixRow struct {
	Basis                 Basis
	Situations            []Situation
	Rule                  string // of the basis; empty: every one
	Name                  string
	PermanentUnfavourable float64 `toml:"permanent_unfavourable"`
	PermanentFavourable   float64 `toml:"permanent_favourable"`
	Reduced               bool
	Lead                  map[Category]float64
	LeadBy                string `toml:"lead_by"`
	Beside                map[Category]float64
	BesideBy              string  `toml:"beside_by"`
	Accidental            float64 // on the accidental action
	Needs                 []Category
	citationRow
	Favourable *citationRow
}

// psiRow has the combination factors of EN 1990 on some categories.
type psiRow struct {
	Annex            string
	Categories       []Category
	Psi0, Psi1, Psi2 float64
	citationRow                   // of psi0
	Rest             *citationRow // of psi1 and psi2, if elsewhere
}

// xiRow has the reduction of the unfavourable permanent factor in 6.10b.
type xiRow struct {
	Annex string
	Value float64
	citationRow
}

// windRow has the factor on a wind that was found by another route than the basis's.
type windRow struct {
	Basis  Basis
	Routes []WindRoute
	Value  float64
	citationRow
}

// iceRow has the factor on ice of a class of ISO 12494.
type iceRow struct {
	Basis Basis
	Value float64
	citationRow
}

// accidentalRow says as what a basis takes an accidental action.
type accidentalRow struct {
	Basis Basis
	As    Category
	citationRow
}

// togetherRow says whether categories may act together.
type togetherRow struct {
	Basis Basis
	A     Category
	B     []Category
	May   bool
	citationRow
}

// mixesFile is the embedded file of combinations of several variable actions.
const mixesFile = "tables/mixes.toml"

// The file is parsed in parts, each once: the combinations of a basis, what EN 1990 multiplies
// them by, and what may act together with its factors on winds and ice from elsewhere.
var (
	mixParts = sync.OnceValue(func() map[Basis]func() *mixFile {
		parts := map[Basis]func() *mixFile{}
		for _, b := range bases() {
			ofBasis := func(x *block) bool { return x.says("basis", string(b)) }
			parts[b] = sync.OnceValue(func() *mixFile { return mixPart(ofBasis, "mix", "accidental") })
		}
		return parts
	})
	psiTable     = sync.OnceValue(func() *mixFile { return mixPart(every, "psi", "xi") })
	joiningTable = sync.OnceValue(func() *mixFile { return mixPart(every, "together", "wind", "ice") })
)

func every(*block) bool { return true }

// mixesOf returns the combinations of a basis, and as what it takes an accidental action.
func mixesOf(b Basis) *mixFile { return mixParts()[b]() }

// mixPart parses some lists of the file, or those of their tables that are kept.
func mixPart(keep func(*block) bool, lists ...string) *mixFile {
	m := &mixFile{}
	must(mixesFile, decode(blocksIn(mixesFile, keep, lists...), m))
	must(mixesFile, m.auditRows())
	return m
}

// decodeMixes reads the combinations of several variable actions whole, as no part of the
// program but its tests needs them: what one part says of another is judged here.
func decodeMixes(data []byte) (*mixFile, error) {
	m := &mixFile{}
	if err := decode(data, m); err != nil {
		return nil, err
	}
	return m, errors.Join(m.auditRows(), m.auditPsi(), m.auditBases())
}

// rows returns the rows of a situation under the rule of the combinations, in the order of
// the file.
func (m *mixFile) rows(c Combinations, s Situation) []mixRow {
	return slices.DeleteFunc(slices.Clone(m.Mix), func(r mixRow) bool {
		return r.Basis != c.Basis || !slices.Contains(r.Situations, s) || r.Rule != "" && r.Rule != c.rule
	})
}

// accidental returns why a basis takes an accidental action as an imposed one; ok is false
// for a basis that has combinations for it.
func (m *mixFile) accidental(b Basis) (why Citation, ok bool) {
	i := slices.IndexFunc(m.AccidentalRows, func(r accidentalRow) bool { return r.Basis == b })
	if i < 0 {
		return Citation{}, false
	}
	return m.AccidentalRows[i].citation(), true
}

// psi returns the combination factors on a category: of the annex where it has its own,
// otherwise the recommended ones.
func (m *mixFile) psi(annex string, category Category) psiRow {
	var recommended psiRow
	for _, row := range m.PsiRows {
		switch {
		case !slices.Contains(row.Categories, category):
		case row.Annex == annex:
			return row
		case row.Annex == "":
			recommended = row
		}
	}
	return recommended
}

// factor returns the combination factor of that name.
func (r *psiRow) factor(name string) Factor {
	rest := r.citation()
	if r.Rest != nil {
		rest = r.Rest.citation()
	}
	switch name {
	case "psi1":
		return Factor{Value: r.Psi1, Citation: rest}
	case "psi2":
		return Factor{Value: r.Psi2, Citation: rest}
	}
	return Factor{Value: r.Psi0, Citation: r.citation()}
}

// xi returns the reduction of the annex, or the recommended one.
func (m *mixFile) xi(annex string) xiRow {
	var recommended xiRow
	for _, row := range m.XiRows {
		switch row.Annex {
		case annex:
			return row
		case "":
			recommended = row
		}
	}
	return recommended
}

// annexes returns the annexes that have combination factors of their own.
func (m *mixFile) annexes() []string {
	var names []string
	for _, row := range m.PsiRows {
		if row.Annex != "" && !slices.Contains(names, row.Annex) {
			names = append(names, row.Annex)
		}
	}
	return names
}

// auditRows returns what is wrong with each row by itself.
func (m *mixFile) auditRows() error {
	var faults []error
	for _, r := range m.Mix {
		faults = append(faults, r.audit())
	}
	for _, r := range m.PsiRows {
		faults = append(faults, r.audit())
	}
	for _, r := range m.XiRows {
		faults = append(faults, upToOne("xi", r.Value), positive("xi", r.Value), cited("xi", r.citation()))
	}
	for _, r := range m.Wind {
		faults = append(faults, knownBasis(r.Basis), positive("wind", r.Value), cited("wind", r.citation()))
		for _, route := range r.Routes {
			faults = append(faults, oneOf("wind route", string(route), string(WindEN), string(WindASCE), string(WindPressureGiven)))
		}
	}
	for _, r := range m.Ice {
		faults = append(faults, knownBasis(r.Basis), positive("ice", r.Value), cited("ice", r.citation()))
	}
	for _, r := range m.AccidentalRows {
		faults = append(faults, knownBasis(r.Basis), oneOf("accidental, as", string(r.As), string(Imposed)), cited("accidental", r.citation()))
	}
	for _, r := range m.Together {
		faults = append(faults, knownBasis(r.Basis), cited("together", r.citation()))
	}
	return errors.Join(faults...)
}

// audit returns what is wrong with one combination.
func (r mixRow) audit() error {
	faults := []error{
		knownBasis(r.Basis),
		positive(r.Name+", unfavourable", r.PermanentUnfavourable),
		positive(r.Name+", favourable", r.PermanentFavourable),
		notNegative(r.Name+", accidental", r.Accidental),
		oneOf(r.Name+", rule", r.Rule, append([]string{""}, r.Basis.rules()...)...),
		oneOf(r.Name+", lead_by", r.LeadBy, "", "psi0", "psi1", "psi2"),
		oneOf(r.Name+", beside_by", r.BesideBy, "", "psi0", "psi1", "psi2"),
		cited(r.Name, r.citation()),
	}
	if r.Name == "" || len(r.Situations) == 0 || len(r.Lead) == 0 {
		faults = append(faults, fmt.Errorf("%q has no name, no situation or nothing that leads", r.Name))
	}
	if len(r.Beside) > 0 && r.BesideBy != "" {
		faults = append(faults, fmt.Errorf("%s: beside and beside_by exclude each other", r.Name))
	}
	if r.PermanentFavourable > r.PermanentUnfavourable {
		faults = append(faults, fmt.Errorf("%s: favourable %g is above unfavourable %g", r.Name, r.PermanentFavourable, r.PermanentUnfavourable))
	}
	for _, s := range r.Situations {
		faults = append(faults, oneOf(r.Name+", situation", string(s), string(Strength), string(Accidental), string(Equilibrium), string(Service)))
	}
	for _, values := range []map[Category]float64{r.Lead, r.Beside} {
		for _, category := range categoriesOf(values) {
			faults = append(faults, knownCategory(r.Name, category), positive(r.Name+", "+string(category), values[category]))
			if all, ok := values[Imposed]; ok && category.kind() == Imposed && values[category] > all {
				faults = append(faults, fmt.Errorf("%s: %s is above every imposed load", r.Name, category))
			}
		}
	}
	for _, category := range r.Needs {
		faults = append(faults, oneOf(r.Name+", needs", string(category), kinds()...))
	}
	if r.Favourable != nil {
		faults = append(faults, cited(r.Name+", favourable", r.Favourable.citation()))
	}
	return errors.Join(faults...)
}

// audit returns what is wrong with combination factors, which fall from psi0 to psi2.
func (r psiRow) audit() error {
	faults := []error{upToOne("psi0", r.Psi0), notNegative("psi2", r.Psi2), cited("psi", r.citation())}
	if r.Psi0 < r.Psi1 || r.Psi1 < r.Psi2 {
		faults = append(faults, fmt.Errorf("psi of %q: %g, %g, %g do not fall", r.Categories, r.Psi0, r.Psi1, r.Psi2))
	}
	if r.Rest != nil {
		faults = append(faults, cited("psi, rest", r.Rest.citation()))
	}
	for _, category := range r.Categories {
		faults = append(faults, knownCategory("psi", category))
	}
	return errors.Join(faults...)
}

// auditPsi returns which categories have no recommended psi, or several, and whether one
// with no category known is spared anything that a known one is not.
func (m *mixFile) auditPsi() error {
	var faults []error
	unknown := m.psi("", Imposed)
	for _, category := range Categories() {
		rows := 0
		for _, r := range m.PsiRows {
			if r.Annex == "" && slices.Contains(r.Categories, category) {
				rows++
			}
		}
		if rows != 1 {
			faults = append(faults, fmt.Errorf("psi of %s stands %d times", category, rows))
		}
		r := m.psi("", category)
		if category.kind() == Imposed && (r.Psi0 > unknown.Psi0 || r.Psi1 > unknown.Psi1 || r.Psi2 > unknown.Psi2) {
			faults = append(faults, fmt.Errorf("psi of %s is above that of a load of no known category", category))
		}
	}
	if m.xi("").Value == 0 {
		faults = append(faults, errors.New("no xi is recommended"))
	}
	return errors.Join(faults...)
}

// auditBases returns what a basis lacks: a combination in which a category leads alone, in
// each situation and under each of its rules, and a word on each pair of categories.
func (m *mixFile) auditBases() error {
	var faults []error
	for _, b := range bases() {
		rules := b.rules()
		if len(rules) == 0 {
			rules = []string{""}
		}
		for _, rule := range rules {
			c := Combinations{Basis: b, rule: rule}
			for _, s := range m.situations(b) {
				for _, kind := range kinds() {
					if !slices.ContainsFunc(m.rows(c, s), func(r mixRow) bool { _, ok := r.Lead[Category(kind)]; return ok && len(r.Needs) == 0 }) {
						faults = append(faults, fmt.Errorf("%s %s %s: %s never leads alone", b, rule, s, kind))
					}
				}
			}
		}
		faults = append(faults, m.auditPairs(b))
	}
	return errors.Join(faults...)
}

// situations returns the situations for which a basis needs rows.
func (m *mixFile) situations(b Basis) []Situation {
	if _, ok := m.accidental(b); ok {
		return []Situation{Strength, Equilibrium, Service}
	}
	return []Situation{Strength, Accidental, Equilibrium, Service}
}

// auditPairs returns the pairs of categories of which a basis does not say once whether
// they may act together.
func (m *mixFile) auditPairs(b Basis) error {
	said := map[[2]string]int{}
	for _, r := range m.Together {
		for _, other := range r.B {
			if pair := [2]string{string(r.A), string(other)}; r.Basis == b {
				slices.Sort(pair[:])
				said[pair]++
			}
		}
	}
	var faults []error
	pairs := 0
	for i, one := range kinds() {
		for _, other := range kinds()[i:] {
			pair := [2]string{one, other}
			slices.Sort(pair[:])
			pairs++
			if said[pair] != 1 {
				faults = append(faults, fmt.Errorf("%s: %s with %s stands %d times", b, one, other, said[pair]))
			}
		}
	}
	if len(said) > pairs {
		faults = append(faults, fmt.Errorf("%s: %d pairs of categories, of which there are %d", b, len(said), pairs))
	}
	return errors.Join(faults...)
}

// kinds returns the categories without the classes of imposed loads.
func kinds() []string {
	return []string{string(Imposed), string(WindAction), string(IceAction), string(Temperature)}
}

func knownBasis(b Basis) error {
	var names []string
	for _, known := range bases() {
		names = append(names, string(known))
	}
	return oneOf("basis", string(b), names...)
}

func knownCategory(what string, category Category) error {
	var names []string
	for _, known := range Categories() {
		names = append(names, string(known))
	}
	return oneOf(what+", category", string(category), names...)
}

// notNegative returns an error for a value below zero.
func notNegative(what string, value float64) error {
	if value >= 0 {
		return nil
	}
	return fmt.Errorf("%s: value %g is negative", what, value)
}

// upToOne returns an error for a value above one.
func upToOne(what string, value float64) error {
	if value <= 1 {
		return nil
	}
	return fmt.Errorf("%s: value %g is above 1", what, value)
}
