package loads

import (
	"fmt"
)

// Combination is one combination of permanent actions with one variable action.
type Combination struct {
	Name       string // "EN 1990 6.10"
	LimitState string // "ULS" or "SLS"

	PermanentUnfavourable float64
	PermanentFavourable   float64
	Leading               float64 // on the leading variable action, unless the action brings its own factor

	Citation
}

// Combinations are the combinations of one family.
type Combinations struct {
	Family Family
	ULS    Combination
	SLS    Combination
}

// CombinationsEN returns the combinations of EN 1990 for one variable action beside the
// permanent ones: expression 6.10 for strength, 6.14b for serviceability.
func CombinationsEN() Combinations { return combinationTable() }

// Factor returns the factor on the action a in this combination: the action's own at ULS
// where it brings one, otherwise that of the combination.
func (c Combination) Factor(a Action) float64 {
	if c.LimitState == "ULS" && a.Strength.Override {
		return a.Strength.Value
	}
	return c.Leading
}

// Expression returns the combination in words: Expression(1.35, 1.75, "Fu") is
// "1.35 G + 1.75 Fu".
func Expression(permanent, variable float64, symbol string) string {
	return fmt.Sprintf("%.2f G + %.2f %s", permanent, variable, symbol)
}

// decodeCombinations reads the combinations of EN 1990.
func decodeCombinations(data []byte) (Combinations, error) {
	type row struct {
		Name                  string
		PermanentUnfavourable float64 `toml:"permanent_unfavourable"`
		PermanentFavourable   float64 `toml:"permanent_favourable"`
		Leading               float64
		citationRow
	}
	var file struct {
		Family   string
		ULS, SLS row
	}
	if err := decode(data, &file); err != nil {
		return Combinations{}, err
	}
	combination := func(r row, state string) Combination {
		return Combination{
			Name: r.Name, LimitState: state,
			PermanentUnfavourable: r.PermanentUnfavourable, PermanentFavourable: r.PermanentFavourable,
			Leading: r.Leading, Citation: r.citation(),
		}
	}
	c := Combinations{Family: Family(file.Family), ULS: combination(file.ULS, "ULS"), SLS: combination(file.SLS, "SLS")}
	return c, c.audit()
}
