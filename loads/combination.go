package loads

import (
	"errors"
	"fmt"
	"slices"
)

// Combination is one combination of permanent actions with one variable action.
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
)

// Combinations are the combinations of one basis for one variable action beside the
// permanent ones.
type Combinations struct {
	Basis           Basis
	PermanentSymbol string      // "G", "D"
	ULS             Combination // strength, under AISC-ASD too
	SLS             Combination
	PermanentAlone  Combination // strength under the permanent actions alone; Leading is 0

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
	}
	return nil
}

// home returns the basis whose strength factor stands in [Action.Strength] for actions of
// the family; ok is false for a family that no basis combines.
func (f Family) home() (basis Basis, ok bool) {
	for _, b := range []Basis{BasisEN, BasisLRFD} {
		if slices.Contains(b.Families(), f) {
			return b, true
		}
	}
	return "", false
}

// CombinationsOf returns the combinations of a basis: expressions 6.10 and 6.14b of EN
// 1990, or combinations 1 and 2 of ASCE 7-16 2.3.1 (LRFD) or 2.4.1 (ASD) with D + L for
// movement. It panics for a basis that is none of the constants.
func CombinationsOf(b Basis) Combinations {
	for _, c := range combinationTable() {
		if c.Basis == b {
			return c
		}
	}
	panic(fmt.Sprintf("loads: no combinations for basis %q", b))
}

// StrengthFactor returns the factor for strength on the action a of the schedule s. An
// action of a family of the basis takes its own factor where it brings one, otherwise the
// leading one of the basis; to an OSHA force that factor is common practice, since 29 CFR
// has none. An action of another family is mixed in as a nominal imposed load: it takes
// the leading factor of the basis and loses its own. A nil schedule is a load of the
// user's own, of the family of the basis.
func (c Combinations) StrengthFactor(s *Schedule, a Action) Factor {
	switch {
	case s == nil:
		return Factor{Value: c.ULS.Leading, Citation: c.ULS.Citation}
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

// Expression returns the combination in words: Expression(1.2, "D", 1.6, "L") is
// "1.20 D + 1.60 L".
func Expression(permanent float64, permanentSymbol string, variable float64, symbol string) string {
	return fmt.Sprintf("%.2f %s + %.2f %s", permanent, permanentSymbol, variable, symbol)
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

// decodeCombinations reads the combinations of every basis.
func decodeCombinations(data []byte) ([]Combinations, error) {
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
	for _, b := range []Basis{BasisEN, BasisLRFD, BasisASD} {
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
