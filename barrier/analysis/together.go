package analysis

import (
	"cmp"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/loads"
)

// What acts together: every variable action acts alone with the permanent ones, and every
// set of actions that are joined two by two acts besides, one action of each load, each
// field in one of its senses, at most two of them placed. A term that relieves, or that a
// combination has no factor for, is left out in a smaller set.

// mostPlaced is how many actions of a set a search can place.
const mostPlaced = 2

// mixture is one combination of one set of actions, ready to be searched.
type mixture struct {
	combination Combination
	set         []*Action
	stands      []stood     // what stands everywhere: the permanent actions first
	beside      []Placement // of the terms beside the one that is placed first
	second      int         // which of these is placed too; -1 for none
}

// acting are the mixtures of a level: of fields alone, and of each action that is placed
// alone, whatever fields stand beside it.
type acting struct {
	fields []mixture
	placed [][]mixture
}

// pair is two actions that are placed together, with the mixtures of each level.
type pair struct {
	first, second int
	mixtures      [levelCount][]mixture
}

// combine makes the mixtures of every level.
func (a *Analysis) combine() {
	sets := a.sets()
	pool := &besides{}
	a.partners = make([]*partner, len(a.Actions))
	for l := range Level(levelCount) {
		a.alone[l] = a.aloneAt(l)
		acts := &a.acting[l]
		acts.placed = make([][]mixture, len(a.Actions))
		for _, set := range sets {
			a.take(set, l, a.mixturesOf(set, l, pool))
		}
		for i := range a.Definition.Combine.Own {
			a.combineOwn(&a.Definition.Combine.Own[i], l, pool)
		}
	}
}

// take takes the mixtures of a set at a level among those that are searched.
func (a *Analysis) take(set []int, l Level, mixtures []mixture) {
	acts, placed := &a.acting[l], a.placedOf(set)
	switch len(placed) {
	case 0:
		acts.fields = append(acts.fields, mixtures...)
	case 1:
		acts.placed[placed[0]] = append(acts.placed[placed[0]], mixtures...)
	default:
		q := a.pairOf(placed[0], placed[1])
		if q == nil {
			a.pairs = append(a.pairs, pair{first: placed[0], second: placed[1]})
			q = &a.pairs[len(a.pairs)-1]
			a.partners[placed[0]], a.partners[placed[1]] = &partner{}, &partner{}
		}
		q.mixtures[l] = append(q.mixtures[l], mixtures...)
	}
}

// pairOf returns the pair of two actions, nil for none.
func (a *Analysis) pairOf(first, second int) *pair {
	i := slices.IndexFunc(a.pairs, func(p pair) bool { return p.first == first && p.second == second })
	if i < 0 {
		return nil
	}
	return &a.pairs[i]
}

// placedOf returns the actions of a set that a search places.
func (a *Analysis) placedOf(set []int) []int {
	return slices.DeleteFunc(slices.Clone(set), func(i int) bool { return a.Actions[i].Field != nil })
}

// sets returns every set of actions that act together, each in document order, the smaller
// ones first.
func (a *Analysis) sets() [][]int {
	var sets [][]int
	var grow func(set []int, next int)
	grow = func(set []int, next int) {
		for i := next; i < len(a.Actions); i++ {
			joined := !slices.ContainsFunc(set, func(j int) bool { return !a.joins(j, i) })
			if larger := append(slices.Clone(set), i); joined && len(a.placedOf(larger)) <= mostPlaced {
				if a.suit(larger) {
					sets = append(sets, larger)
				}
				grow(larger, i+1)
			}
		}
	}
	grow(nil, 0)
	slices.SortStableFunc(sets, func(x, y []int) int { return cmp.Compare(len(x), len(y)) })
	return sets
}

// suit reports whether every action is one of this set: a wind on ice is none of a set without
// that ice, a wind on the bare barrier none of one with it.
func (a *Analysis) suit(set []int) bool {
	var actions []*Action
	for _, i := range set {
		actions = append(actions, a.Actions[i])
	}
	return !slices.ContainsFunc(actions, func(x *Action) bool { return !x.suits(actions) })
}

// joins reports whether two actions act together: of one load where its schedule says so, of
// two where the definition does; never one that its standard lets act with no other.
func (a *Analysis) joins(i, j int) bool {
	x, y := a.Actions[i], a.Actions[j]
	if x.Load == y.Load {
		return x.goesWith(y)
	}
	if x.actsAlone() || y.actsAlone() {
		return false
	}
	return slices.Contains(a.Definition.Loads[x.Load].With, y.Load)
}

// goesWith reports whether a schedule has two of its actions act together.
func (x *Action) goesWith(y *Action) bool {
	p, q := x.row(), y.row()
	return p != nil && q != nil && p != q && (slices.Contains(p.With, q.Name) || slices.Contains(q.With, p.Name))
}

func (x *Action) actsAlone() bool {
	row := x.row()
	return row != nil && row.Alone
}

// row returns the row of its schedule that an action comes from; nil for an own load.
func (x *Action) row() *loads.Action {
	if x.Schedule == nil {
		return nil
	}
	name := strings.TrimPrefix(x.Name, x.Schedule.Name+" ")
	i := slices.IndexFunc(x.Schedule.Actions, func(r loads.Action) bool { return r.Name == name })
	if i < 0 {
		return nil
	}
	return &x.Schedule.Actions[i]
}

// situation returns what a level is for a set.
func (a *Analysis) situation(set []int, l Level) loads.Situation {
	accidental := slices.ContainsFunc(set, func(i int) bool { return a.Actions[i].Accidental })
	switch {
	case l == Strength && accidental, l == Equilibrium && accidental:
		return loads.Accidental
	case l == Strength:
		return loads.Strength
	case l == Equilibrium:
		return loads.Equilibrium
	}
	return loads.Service
}

// mixturesOf returns the mixtures of a set at a level by the rules of the basis: those of an
// own combination of the situation may stand in their place.
func (a *Analysis) mixturesOf(set []int, l Level, pool *besides) (out []mixture) {
	situation, combine := a.situation(set, l), &a.Definition.Combine
	if combine.Only && slices.ContainsFunc(combine.Own, func(o barrier.OwnCombination) bool { return o.Situation == situation }) {
		return nil
	}
	if len(set) == 1 && a.isPlain(a.Actions[set[0]], l) {
		return a.plainMixtures(set[0], l)
	}
	for _, mix := range a.combos.Mixes(situation, a.variables(set)) {
		out = append(out, a.mixed(set, l, &mix, pool)...)
		if !slices.ContainsFunc(a.mixes, func(m loads.Mix) bool { return m.Name == mix.Name && m.LimitState == mix.LimitState }) {
			a.mixes = append(a.mixes, mix)
		}
	}
	return out
}

// Mixes returns one of each combination by which actions were combined that act together or
// stand everywhere, the first that was made of it.
func (a *Analysis) Mixes() []loads.Mix { return a.mixes }

// isPlain reports whether an action acts alone in the one combination that its basis has for
// an imposed load, with the factor that the action brings.
func (a *Analysis) isPlain(act *Action, l Level) bool {
	rule := a.Definition.Combine.Rule
	return act.Field == nil && !act.Accidental && l != Equilibrium && (rule == "" || rule == loads.Rule610)
}

// plainMixtures returns the mixtures of such an action: permanent factors unfavourable first.
func (a *Analysis) plainMixtures(i int, l Level) []mixture {
	act := a.Actions[i]
	c := a.combination(l, a.combos.SLS.PermanentUnfavourable)
	c.Variable, c.Symbol = act.Factor(l), act.Symbol
	relief := c.Permanent
	switch l {
	case Service:
		c.Permanent, relief = 0, 0
	case Strength:
		c.Permanent, relief = a.combos.ULS.PermanentUnfavourable, a.combos.ULS.PermanentFavourable
	}
	return bothWays(mixture{combination: c, set: []*Action{act}, stands: []stood{{c.Permanent, 0}}, second: -1}, relief)
}

// bothWays returns a mixture, and the same with the permanent actions relieving where that
// differs.
func bothWays(m mixture, relief float64) []mixture {
	if relief == m.combination.Permanent {
		return []mixture{m}
	}
	relieving := m
	relieving.combination.Permanent = relief
	relieving.stands = slices.Clone(m.stands)
	relieving.stands[0].factor = relief
	return []mixture{m, relieving}
}

// variables returns the actions of a set as a combination takes them.
func (a *Analysis) variables(set []int) []loads.Variable {
	var out []loads.Variable
	for _, i := range set {
		act := a.Actions[i]
		v := loads.Variable{Category: act.Category, Accidental: act.Accidental}
		if v.Category == "" {
			v.Category = loads.Imposed
		}
		if slices.ContainsFunc(set, func(j int) bool { return a.Actions[j].Load == act.Load && act.goesWith(a.Actions[j]) }) {
			v.Group = 1 + act.Load
		}
		if act.Strength > 0 && !act.Accidental {
			v.Own = &loads.Factor{Value: act.Strength, Citation: loads.Citation{Provenance: act.StrengthBy}}
		}
		out = append(out, v)
	}
	return out
}

// mixed returns a combination of a set as mixtures: in each sense of each field, with
// permanent factors unfavourable first. One without a factor on some action is a smaller
// set's.
func (a *Analysis) mixed(set []int, l Level, mix *loads.Mix, pool *besides) (out []mixture) {
	if slices.Contains(mix.Factors, 0) {
		return nil
	}
	factors := slices.Clone(mix.Factors)
	if l == FirstYield {
		for k, i := range set {
			factors[k] *= a.Actions[i].Yield
		}
	}
	c := a.combination(l, mix.PermanentUnfavourable)
	relief := mix.PermanentFavourable
	switch l {
	case Service:
		c.Permanent, relief = 0, 0
	case Characteristic, FirstYield:
		relief = c.Permanent
	case Equilibrium: // of two that tie the one with the less weight stands: it holds the base down
		c.Permanent, relief = relief, c.Permanent
	}
	if mix.LimitState != c.LimitState() {
		c.State = mix.LimitState
	}
	if mix.Name != a.combos.ULS.Name && mix.Name != a.combos.SLS.Name && mix.Standard != loads.ThisProgram {
		c.Name = mix.Name
	}
	c.FactorsBy = factorsBy(mix)
	for _, senses := range a.senses(set) {
		m := a.mixture(set, senses, factors, c, pool)
		out = append(out, bothWays(m, relief)...)
	}
	return out
}

// factorsBy returns the weakest provenance of the factors of a combination; empty for one of the
// user's own.
func factorsBy(m *loads.Mix) string {
	words := []string{m.Provenance, m.Reduction.Provenance}
	for _, from := range m.From {
		words = append(words, from.Provenance)
	}
	return Weakest(words...)
}

// senses returns every choice of senses of the fields of a set: one for each action, 0 for
// one that is no field.
func (a *Analysis) senses(set []int) [][]int {
	out := [][]int{nil}
	for _, i := range set {
		n := 1
		if f := a.Actions[i].Field; f != nil {
			n = len(f.Senses)
		}
		var longer [][]int
		for _, s := range out {
			for sense := range n {
				longer = append(longer, append(slices.Clone(s), sense))
			}
		}
		out = longer
	}
	return out
}

// mixture returns a combination of a set with the senses of its fields. What leads its words
// is the action that is placed first, or the first field.
func (a *Analysis) mixture(set, senses []int, factors []float64, c Combination, pool *besides) mixture {
	lead := max(0, slices.IndexFunc(set, func(i int) bool { return a.Actions[i].Field == nil }))
	m := mixture{stands: []stood{{c.Permanent, 0}}, second: -1}
	var terms []Term
	for k, i := range set {
		act := a.Actions[i]
		m.set = append(m.set, act)
		if act.Field != nil {
			m.stands = append(m.stands, stood{factors[k], a.fieldAt[i] + senses[k]})
		}
		if k == lead {
			c.Variable, c.Symbol = factors[k], act.Symbol
			continue
		}
		if act.Field == nil {
			m.second = len(terms)
		}
		terms = append(terms, Term{Action: act, Sense: senses[k], Factor: factors[k]})
		m.beside = append(m.beside, Placement{Action: act, Value: 1, Sense: senses[k]})
	}
	c.Beside = pool.of(terms)
	m.combination = c
	return m
}

// lead returns the placement of a mixture of fields alone.
func (a *Analysis) lead(m *mixture) Placement {
	at := &a.everywhere[m.stands[1].at]
	return Placement{Action: a.Actions[at.action], Value: 1, Sense: at.sense}
}

// besides are the lists of terms that act beside another, each once, so that combinations
// compare.
type besides struct{ known []*Beside }

func (b *besides) of(terms []Term) *Beside {
	if len(terms) == 0 {
		return nil
	}
	for _, k := range b.known {
		if slices.Equal(k.Terms, terms) {
			return k
		}
	}
	b.known = append(b.known, &Beside{Terms: terms})
	return b.known[len(b.known)-1]
}

// combineOwn makes the mixtures of an own combination at a level: of every set of actions
// of the loads that it has a factor on, one of each load but for those that its schedule has act
// together, and of their subsets.
func (a *Analysis) combineOwn(own *barrier.OwnCombination, l Level, pool *besides) {
	var grow func(set []int, next int)
	grow = func(set []int, next int) {
		for i := next; i < len(a.Actions); i++ {
			act := a.Actions[i]
			taken := own.Factors[act.Load] == 0 || slices.ContainsFunc(set, func(j int) bool {
				return a.Actions[j].Load == act.Load && !a.Actions[j].goesWith(act)
			})
			if larger := append(slices.Clone(set), i); !taken && len(a.placedOf(larger)) <= mostPlaced {
				if a.suit(larger) {
					a.addOwn(own, larger, l, pool)
				}
				grow(larger, i+1)
			}
		}
	}
	grow(nil, 0)
}

func (a *Analysis) addOwn(own *barrier.OwnCombination, set []int, l Level, pool *besides) {
	serves := map[loads.Situation][]Level{
		loads.Strength: {Strength}, loads.Accidental: {Strength, Equilibrium}, loads.Equilibrium: {Equilibrium}, loads.Service: {Characteristic, Service, FirstYield},
	}
	if !slices.Contains(serves[own.Situation], l) {
		return
	}
	mix := loads.Mix{Name: own.Name, PermanentUnfavourable: own.Permanent[0], PermanentFavourable: own.Permanent[1]}
	switch own.Situation {
	case loads.Accidental:
		mix.LimitState = "accidental"
	case loads.Equilibrium:
		mix.LimitState = "EQU"
	default:
		mix.LimitState = a.combination(l, 0).LimitState()
	}
	for _, i := range set {
		mix.Factors = append(mix.Factors, own.Factors[a.Actions[i].Load])
	}
	a.take(set, l, a.mixed(set, l, &mix, pool))
}

// aloneAt returns the combinations of the permanent actions alone at a level.
func (a *Analysis) aloneAt(l Level) []Combination {
	switch l {
	case Strength:
		return []Combination{a.combination(l, a.combos.PermanentAlone.PermanentUnfavourable)}
	case Equilibrium:
		var out []Combination
		for _, mix := range a.combos.Mixes(loads.Equilibrium, nil) {
			for _, factor := range [2]float64{mix.PermanentUnfavourable, mix.PermanentFavourable} {
				c := a.combination(l, factor)
				c.State = mix.LimitState
				out = append(out, c)
			}
		}
		return out
	}
	return []Combination{a.combination(l, a.combos.SLS.PermanentUnfavourable)}
}

func (a *Analysis) combination(l Level, permanent float64) Combination {
	return Combination{Basis: a.combos.Basis, Level: l, Permanent: permanent, PermanentSymbol: a.combos.PermanentSymbol}
}

// mixturesOn returns the mixtures in which what a placed load was placed by is placed alike.
func (a *Analysis) mixturesOn(p *Placed) []mixture {
	acts := &a.acting[p.Combination.Level]
	if p.isStill() {
		return acts.fields
	}
	first := a.indexOf(p.Placement.Action)
	second := p.second()
	if second < 0 {
		return acts.placed[first]
	}
	if q := a.pairOf(first, a.indexOf(p.Beside[second].Action)); q != nil {
		return q.mixtures[p.Combination.Level]
	}
	return nil
}

// second returns which of the loads beside is placed by a search too; -1 for none.
func (p *Placed) second() int {
	return slices.IndexFunc(p.Beside, func(b Placement) bool { return b.Action.Field == nil })
}
