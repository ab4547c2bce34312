package loads

import (
	"fmt"
	"maps"
	"math"
	"slices"
)

// Category is the kind of a variable action by which combinations take it: a category of
// imposed load of EN 1991-1-1, or a load of nature.
type Category string

// The categories.
const (
	Imposed     Category = "imposed" // of no category that is known: the most cautious of them
	ImposedA    Category = "A"       // domestic, residential
	ImposedB    Category = "B"       // offices
	ImposedC    Category = "C"       // congregation
	ImposedD    Category = "D"       // shopping
	ImposedE    Category = "E"       // storage, industrial
	ImposedF    Category = "F"       // traffic areas, light vehicles
	WindAction  Category = "wind"
	IceAction   Category = "ice"
	Temperature Category = "temperature"
)

// Categories returns the categories, in the order above.
func Categories() []Category {
	return []Category{Imposed, ImposedA, ImposedB, ImposedC, ImposedD, ImposedE, ImposedF, WindAction, IceAction, Temperature}
}

// stated returns the category, Imposed where none is stated.
func (c Category) stated() Category {
	if c == "" {
		return Imposed
	}
	return c
}

// kind returns the category without the class of an imposed load.
func (c Category) kind() Category {
	switch c {
	case ImposedA, ImposedB, ImposedC, ImposedD, ImposedE, ImposedF:
		return Imposed
	}
	return c
}

// in returns the value of a category in a list that may have one for all imposed loads.
func (c Category) in(values map[Category]float64) (float64, bool) {
	if v, ok := values[c]; ok {
		return v, true
	}
	v, ok := values[c.kind()]
	return v, ok
}

// Situation says for what a combination is.
type Situation string

// The situations.
const (
	Strength    Situation = "strength"
	Accidental  Situation = "accidental"
	Equilibrium Situation = "equilibrium" // of a base that stands by its weight
	Service     Situation = "service"
)

// Variable is a variable action as a combination takes it, or an accidental one.
type Variable struct {
	Category   Category // empty: Imposed
	Accidental bool     // an accidental action: it acts in the accidental situation only
	Group      int      // of actions that their schedule has act together undiminished: by EN 1990 those of one group lead and accompany as one; 0: none
	Own        *Factor  // for strength and equilibrium: the factor that its schedule, its mixed family or its wind brings, the whole of it when it leads; nil: that of the combination
}

// Mix is one combination of permanent actions with variable ones that act together: plain
// factors on unfactored actions.
type Mix struct {
	Name       string // "EN 1990 6.10"
	LimitState string // "ULS", "ASD", "SLS", "EQU" or "accidental"

	PermanentUnfavourable float64
	PermanentFavourable   float64
	Factors               []float64  // on each variable action, in the order given
	From                  []Citation // of each of Factors: of psi where an action accompanies

	Citation
	Relief    Citation // of PermanentFavourable
	Reduction Citation // of xi in PermanentUnfavourable; zero where there is none
}

// Mixes returns the combinations of a situation in which all the actions given act
// together: one for each that may lead, those that are equal once. A combination that has
// a factor of 0 on one of them is not among them: it is one of the others alone. With no
// action given it is that of the permanent actions alone.
//
// EN 1990: expressions 6.10, or 6.10a and 6.10b, Table A1.2(A), 6.11b and 6.14b. ASCE
// 7-16: 2.3 or 2.4. NBC: Table 4.1.3.2.-A. AS/NZS 1170.0: 4.2.2 and 4.3. A basis that
// has no combination for an accidental action takes it as an imposed one for strength; in
// the other situations an accidental action has none. It panics for a category or a
// situation that is none of the constants.
func (c Combinations) Mixes(s Situation, together []Variable) []Mix {
	together = known(s, together)
	all := mixesOf(c.Basis)
	if !slices.ContainsFunc(together, func(v Variable) bool { return v.Accidental }) {
		return c.mixes(s, all.rows(c, s), together)
	}
	as, imposed := all.accidental(c.Basis)
	switch {
	case s != Accidental:
		return nil
	case !imposed:
		return c.mixes(s, all.rows(c, s), together)
	}
	mixes := c.mixes(Strength, all.rows(c, Strength), asImposed(together))
	for i := range mixes {
		for k, v := range together {
			if v.Accidental {
				mixes[i].From[k] = as
			}
		}
	}
	return mixes
}

// known returns the actions with the category of those that state none.
func known(s Situation, together []Variable) []Variable {
	if !slices.Contains([]Situation{Strength, Accidental, Equilibrium, Service}, s) {
		panic(fmt.Sprintf("loads: no combinations for situation %q", s))
	}
	together = slices.Clone(together)
	for i := range together {
		together[i].Category = together[i].Category.stated()
		if category := together[i].Category; !slices.Contains(Categories(), category) {
			panic(fmt.Sprintf("loads: no combinations for category %q", category))
		}
	}
	return together
}

// asImposed returns the actions with the accidental ones as imposed loads that take the
// factor of the basis.
func asImposed(together []Variable) []Variable {
	taken := slices.Clone(together)
	for i := range taken {
		if taken[i].Accidental {
			taken[i] = Variable{Category: Imposed, Group: taken[i].Group}
		}
	}
	return taken
}

// mixes returns the combinations of the rows of a situation.
func (c Combinations) mixes(s Situation, rows []mixRow, together []Variable) []Mix {
	if len(together) == 0 {
		return c.alone(s, rows)
	}
	var mixes []Mix
	for _, row := range rows {
		if !row.needed(together) {
			continue
		}
		for _, leader := range row.leaders(together) {
			m, ok := c.mix(s, rows, row, together, leader)
			if ok && !slices.ContainsFunc(mixes, m.equals) {
				mixes = append(mixes, m)
			}
		}
	}
	return mixes
}

// alone returns the combination of the permanent actions alone.
func (c Combinations) alone(s Situation, rows []mixRow) []Mix {
	if s == Strength {
		of := c.PermanentAlone
		return []Mix{{Name: of.Name, LimitState: of.LimitState, PermanentUnfavourable: of.PermanentUnfavourable, PermanentFavourable: of.PermanentFavourable, Citation: of.Citation, Relief: of.Relief}}
	}
	if len(rows) == 0 {
		return nil
	}
	return []Mix{c.permanent(s, rows[0])}
}

// permanent returns the combination of a row without its variable actions.
func (c Combinations) permanent(s Situation, row mixRow) Mix {
	m := Mix{
		Name: row.Name, LimitState: c.limitState(s),
		PermanentUnfavourable: row.PermanentUnfavourable, PermanentFavourable: row.PermanentFavourable,
		Citation: row.citation(), Relief: row.citation(),
	}
	if row.Favourable != nil {
		m.Relief = row.Favourable.citation()
	}
	if row.Reduced {
		xi := psiTable().xi(c.annex)
		m.PermanentUnfavourable = decimal(m.PermanentUnfavourable * xi.Value)
		m.Reduction = xi.citation()
	}
	return m
}

// limitState returns what the basis calls the state that a situation is of.
func (c Combinations) limitState(s Situation) string {
	switch s {
	case Accidental:
		return "accidental"
	case Equilibrium:
		return "EQU"
	case Service:
		return c.SLS.LimitState
	}
	return c.ULS.LimitState
}

// mix returns the combination of a row in which one of the actions leads, by index; -1:
// none does, as beside an accidental action alone. It is false where an action has no
// factor in the row, or one of 0.
func (c Combinations) mix(s Situation, rows []mixRow, row mixRow, together []Variable, leader int) (Mix, bool) {
	m := c.permanent(s, row)
	for i, v := range together {
		leads := i == leader || leader >= 0 && row.BesideBy != "" && v.Group != 0 && v.Group == together[leader].Group
		f, ok := row.factor(c.annex, v, leads)
		if !ok || f.Value == 0 {
			return Mix{}, false
		}
		if own := v.Own; own != nil && !v.Accidental && (s == Strength || s == Equilibrium) {
			if leads {
				f.Citation = own.Citation
			}
			f.Value = decimal(own.Value * (f.Value / leading(rows, v.Category)))
		}
		m.Factors = append(m.Factors, f.Value)
		m.From = append(m.From, f.Citation)
	}
	return m, true
}

// leading returns the factor on an action of the category where it is the only variable one.
func leading(rows []mixRow, category Category) float64 {
	for _, row := range rows {
		if f, ok := category.in(row.Lead); ok && len(row.Needs) == 0 {
			return f
		}
	}
	return 1
}

// equals reports whether two combinations have the same factors in the same limit state.
func (m Mix) equals(other Mix) bool {
	return m.LimitState == other.LimitState && slices.Equal(m.Factors, other.Factors) &&
		m.PermanentUnfavourable == other.PermanentUnfavourable && m.PermanentFavourable == other.PermanentFavourable
}

// needed reports whether all the categories that the row needs are there.
func (r *mixRow) needed(together []Variable) bool {
	for _, category := range r.Needs {
		if !slices.ContainsFunc(together, func(v Variable) bool { return v.Category.kind() == category }) {
			return false
		}
	}
	return true
}

// leaders returns the indices of the actions that may lead in the row; -1 alone where
// every one is accidental.
func (r *mixRow) leaders(together []Variable) []int {
	var leaders []int
	accidental := 0
	for i, v := range together {
		switch _, ok := v.Category.in(r.Lead); {
		case v.Accidental:
			accidental++
		case ok:
			leaders = append(leaders, i)
		}
	}
	if accidental == len(together) {
		return []int{-1}
	}
	return leaders
}

// factor returns the factor of the row on an action that leads or accompanies; ok is false
// where the row has none.
func (r *mixRow) factor(annex string, v Variable, leads bool) (f Factor, ok bool) {
	if v.Accidental {
		return Factor{Value: r.Accidental, Citation: r.citation()}, r.Accidental != 0
	}
	values, by := r.Beside, r.BesideBy
	if leads {
		values, by = r.Lead, r.LeadBy
	} else if by != "" {
		values = r.Lead
	}
	f.Citation = r.citation()
	f.Value, ok = v.Category.in(values)
	if ok && by != "" {
		row := psiTable().psi(annex, v.Category)
		psi := row.factor(by)
		f = Factor{Value: decimal(f.Value * psi.Value), Citation: psi.Citation}
	}
	return f, ok
}

// decimal returns a product of factors as the decimal number that it is: 0.9 for 1.5 times
// 0.6.
func decimal(product float64) float64 {
	const digits = 1e9
	return math.Round(product*digits) / digits
}

// Psi returns the combination factors psi0, psi1 and psi2 of EN 1990 on a category, under
// the annex of the combinations. They are of no use on other bases.
func (c Combinations) Psi(category Category) [3]Factor {
	row := psiTable().psi(c.annex, category.stated())
	return [3]Factor{row.factor("psi0"), row.factor("psi1"), row.factor("psi2")}
}

// MayJoin reports whether actions of two categories may act together where the user or a
// schedule joins them, and by what. Nothing acts together unasked.
func (c Combinations) MayJoin(a, b Category) (ok bool, why Citation) {
	a, b = a.stated().kind(), b.stated().kind()
	for _, row := range joiningTable().Together {
		if row.Basis == c.Basis && (row.A == a && slices.Contains(row.B, b) || row.A == b && slices.Contains(row.B, a)) {
			return row.May, row.citation()
		}
	}
	return false, Citation{}
}

// WindFactor returns the factor for strength on a wind that was found by a route that is
// not of the basis, the whole of it where the wind leads: for [Variable.Own]. It is nil
// where the wind takes the factor of the basis.
func (c Combinations) WindFactor(route WindRoute) *Factor {
	for _, row := range joiningTable().Wind {
		if row.Basis == c.Basis && slices.Contains(row.Routes, route) {
			return &Factor{Value: row.Value, Citation: row.citation()}
		}
	}
	return nil
}

// IceFactor returns the factor for strength on an ice coat of a class of ISO 12494, the
// whole of it where the ice leads, on a basis whose own ice is of strength level: for
// [Variable.Own]. It is nil where the ice takes the factor of the basis; so it does where
// its thickness is given, which is then to be of the basis's own level.
func (c Combinations) IceFactor(i Ice) *Factor {
	for _, row := range joiningTable().Ice {
		if row.Basis == c.Basis && i.Class != "" {
			return &Factor{Value: row.Value, Citation: row.citation()}
		}
	}
	return nil
}

// categoriesOf returns the categories of a list in order.
func categoriesOf(values map[Category]float64) []Category {
	return slices.Sorted(maps.Keys(values))
}
