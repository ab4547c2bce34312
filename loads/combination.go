package loads

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Combination is one combination of permanent actions with one variable action: plain factors on
// unfactored actions.
type Combination struct {
	Name       string // "EN 1990 6.10"
	LimitState string // "ULS" or "SLS"; "ASD" for strength under allowable stress design

	PermanentUnfavourable float64
	PermanentFavourable   float64
	Leading               float64 // on the leading variable action, unless the action brings its own factor; 0: none acts

	Citation
	Relief Citation // of PermanentFavourable
}

// Basis is the design basis by which actions are combined and members judged.
type Basis string

// The bases.
const (
	BasisEN   Basis = "EN"
	BasisLRFD Basis = "AISC-LRFD"
	BasisASD  Basis = "AISC-ASD"
	BasisCSA  Basis = "CSA" // actions by NBC
	BasisAS   Basis = "AS"  // actions by AS/NZS 1170.0
)

// bases returns the bases, in the order above.
func bases() []Basis { return []Basis{BasisEN, BasisLRFD, BasisASD, BasisCSA, BasisAS} }

// The rules of EN 1990 for strength. 6.10 is never less than 6.10a and 6.10b, which a
// national annex may allow instead.
const (
	Rule610   = "6.10"
	Rule610ab = "6.10a/b"
)

// rules returns the rules for strength between which the basis lets the user choose, the
// first by default; none where it has one only.
func (b Basis) rules() []string {
	if b == BasisEN {
		return []string{Rule610, Rule610ab}
	}
	return nil
}

// Combinations are the combinations of one basis: ULS, SLS and PermanentAlone for one
// variable action beside the permanent ones, [Combinations.Mixes] for any number of them.
type Combinations struct {
	Basis           Basis
	PermanentSymbol string      // "G", "D"
	ULS             Combination // strength, under AISC-ASD too
	SLS             Combination
	PermanentAlone  Combination // strength under the permanent actions alone; Leading is 0

	annex string // whose psi and xi are used; empty: the recommended ones
	rule  string // of EN 1990 for strength; empty on the other bases

	unfactored Factor // on an action of a family of the basis whose code has no factor; zero where there is none
	mixed      Factor // on an action of another family
}

// Families returns the families of load codes whose actions the basis combines: an
// action of another one is mixed in only where the user says so.
func (b Basis) Families() []Family {
	switch b {
	case BasisEN:
		return []Family{EN}
	case BasisLRFD, BasisASD:
		return []Family{ASCE, OSHA}
	case BasisCSA:
		return []Family{NBC}
	case BasisAS:
		return []Family{AS}
	}
	return nil
}

// home returns the basis whose strength factor stands in [Action.Strength] for actions of
// the family; ok is false for a family that no basis combines.
func (f Family) home() (basis Basis, ok bool) {
	for _, b := range bases() {
		if slices.Contains(b.Families(), f) {
			return b, true
		}
	}
	return "", false
}

// CombinationsOf returns the combinations of a basis: expressions 6.10 and 6.14b of EN
// 1990, combinations 1 and 2 of ASCE 7-16 2.3.1 (LRFD) or 2.4.1 (ASD) with D + L for
// movement, cases 1 and 2 of NBC Table 4.1.3.2.-A, or AS/NZS 1170.0 4.2.2 (a) and (b). It
// panics for a basis that is none of the constants.
func CombinationsOf(b Basis) Combinations {
	carried, ok := combinationParts()[b]
	if !ok {
		panic(fmt.Sprintf("loads: no combinations for basis %q", b))
	}
	c := carried()
	if rules := b.rules(); len(rules) > 0 {
		c.rule = rules[0]
	}
	return c
}

// RuleError says that a basis has no such rule for strength.
type RuleError struct {
	Basis   Basis
	Rule    string
	Choices []string // the rules that it has; none where there is no choice
}

func (e *RuleError) Error() string {
	if len(e.Choices) == 0 {
		return fmt.Sprintf("basis %s has no choice of rule, and %q is given", e.Basis, e.Rule)
	}
	return fmt.Sprintf("basis %s has no rule %q for strength; it has: %s", e.Basis, e.Rule, strings.Join(e.Choices, ", "))
}

// CombinationsUnder returns the combinations of a basis with the psi and xi of a national
// annex such as "UK", and by a rule for strength such as [Rule610ab]. An empty annex is
// none; an empty rule is that of [CombinationsOf], which gives ULS in any case. An annex
// that has none of its own leaves the recommended ones, and [Combinations.Annex] empty.
// The error is a *RuleError for a rule that the basis does not have. It panics as
// CombinationsOf does.
func CombinationsUnder(b Basis, annex, rule string) (Combinations, error) {
	c := CombinationsOf(b)
	if rule != "" {
		if !slices.Contains(b.rules(), rule) {
			return Combinations{}, &RuleError{Basis: b, Rule: rule, Choices: b.rules()}
		}
		c.rule = rule
	}
	annex = strings.TrimSpace(annex)
	if b != BasisEN || annex == "" {
		return c, nil
	}
	for _, name := range psiTable().annexes() {
		if strings.EqualFold(name, annex) {
			c.annex = name
		}
	}
	return c, nil
}

// Annex returns the national annex whose psi and xi the combinations use; empty where they
// are the recommended ones.
func (c Combinations) Annex() string { return c.annex }

// Rule returns the rule of EN 1990 for strength; empty on the other bases.
func (c Combinations) Rule() string { return c.rule }

// StrengthFactor returns the factor for strength on the action a of the schedule s. An
// action of a family of the basis takes its own factor where it brings one, otherwise the
// leading one of the basis; to an OSHA force that factor is common practice, since 29 CFR
// has none. An action of another family is mixed in as a nominal imposed load: it takes
// the leading factor of the basis and loses its own. An ultimate value keeps its 1.0 on
// every basis. A nil schedule is a load of the user's own, of the family of the basis.
func (c Combinations) StrengthFactor(s *Schedule, a Action) Factor {
	switch {
	case s == nil:
		return Factor{Value: c.ULS.Leading, Citation: c.ULS.Citation}
	case s.Stage == "ultimate":
		return a.Strength
	case a.Strength.Override && slices.Contains(c.Basis.Families(), s.Family):
		return a.Strength
	}
	return c.leading(s.Family)
}

// leading returns the leading factor on the actions of a family that bring none.
func (c Combinations) leading(f Family) Factor {
	switch {
	case !slices.Contains(c.Basis.Families(), f):
		return c.mixed
	case f == OSHA:
		return c.unfactored
	}
	return Factor{Value: c.ULS.Leading, Citation: c.ULS.Citation}
}

// Term is an action in the words of a combination: its factor and its symbol.
type Term struct {
	Factor float64
	Symbol string
}

// Sum returns terms in words: "1.50 Q + 0.90 W".
func Sum(terms ...Term) string {
	var words []string
	for _, t := range terms {
		words = append(words, strconv.FormatFloat(t.Factor, 'f', 2, 64)+" "+t.Symbol)
	}
	return strings.Join(words, " + ")
}

// Expression returns the factors on unfactored actions in words: Expression(1.2, "D", 1.6, "L") is
// "1.20 D + 1.60 L", and with Term{1, "T"} beside "1.20 D + 1.60 L + 1.00 T".
func Expression(permanent float64, permanentSymbol string, variable float64, symbol string, beside ...Term) string {
	terms := []Term{{permanent, permanentSymbol}, {variable, symbol}}
	return Sum(append(terms, beside...)...)
}

// combinationRow is one combination in the file of combinations.
type combinationRow struct {
	Name                  string
	LimitState            string  `toml:"limit_state"`
	PermanentUnfavourable float64 `toml:"permanent_unfavourable"`
	PermanentFavourable   float64 `toml:"permanent_favourable"`
	Leading               float64
	citationRow
	Favourable *citationRow // where PermanentFavourable comes from, if elsewhere
}

// basisRow is one basis in the file of combinations.
type basisRow struct {
	Name            Basis
	PermanentSymbol string `toml:"permanent_symbol"`
	Strength        combinationRow
	Service         combinationRow
	PermanentAlone  combinationRow `toml:"permanent_alone"`
	Unfactored      factorRow
	Mixed           factorRow
}

// combinationsFile is the embedded file of combinations with one variable action.
const combinationsFile = "tables/combinations.toml"

// combinationParts parses the combinations of each basis, once and when they are asked for.
var combinationParts = sync.OnceValue(func() map[Basis]func() Combinations {
	parts := map[Basis]func() Combinations{}
	for _, b := range bases() {
		parts[b] = sync.OnceValue(func() Combinations {
			ofBasis := func(x *block) bool { return x.says("name", string(b)) }
			all, err := decodeRows(blocksIn(combinationsFile, ofBasis, "basis"))
			must(combinationsFile, err)
			return all[0]
		})
	}
	return parts
})

// decodeRows reads the combinations of the bases in a text.
func decodeRows(data []byte) ([]Combinations, error) {
	var file struct{ Basis []basisRow }
	if err := decode(data, &file); err != nil {
		return nil, err
	}
	var all []Combinations
	var faults []error
	for _, row := range file.Basis {
		c := row.combinations()
		all = append(all, c)
		faults = append(faults, c.audit())
	}
	return all, errors.Join(faults...)
}

// decodeCombinations reads the combinations of every basis whole, as no part of the program but
// its tests needs them.
func decodeCombinations(data []byte) ([]Combinations, error) {
	all, err := decodeRows(data)
	faults := []error{err}
	for _, b := range bases() {
		carried := slices.DeleteFunc(slices.Clone(all), func(c Combinations) bool { return c.Basis != b })
		if len(carried) != 1 {
			faults = append(faults, fmt.Errorf("basis %s stands %d times", b, len(carried)))
		}
	}
	return all, errors.Join(faults...)
}

func (r *basisRow) combinations() Combinations {
	return Combinations{
		Basis: r.Name, PermanentSymbol: r.PermanentSymbol,
		ULS: r.Strength.combination(), SLS: r.Service.combination(), PermanentAlone: r.PermanentAlone.combination(),
		unfactored: r.Unfactored.factor(), mixed: r.Mixed.factor(),
	}
}

func (r *combinationRow) combination() Combination {
	c := Combination{
		Name: r.Name, LimitState: r.LimitState,
		PermanentUnfavourable: r.PermanentUnfavourable, PermanentFavourable: r.PermanentFavourable,
		Leading: r.Leading, Citation: r.citation(), Relief: r.citation(),
	}
	if r.Favourable != nil {
		c.Relief = r.Favourable.citation()
	}
	return c
}
