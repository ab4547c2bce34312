package barrier

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// situations returns those that a combination of the user's own may be for.
func situations() []loads.Situation {
	return []loads.Situation{loads.Strength, loads.Service, loads.Equilibrium, loads.Accidental}
}

// accidental returns the names of the accidental actions of a load.
func (l *Load) accidental() (names []string) {
	if l.Schedule == nil {
		return nil
	}
	for i := range l.Schedule.Actions {
		if a := &l.Schedule.Actions[i]; a.Accidental {
			names = append(names, quote(a.Name))
		}
	}
	return names
}

// occursIn says whether the load has an action that the basis combines in a situation: an
// accidental one in the accidental situation, another one in the others.
func (l *Load) occursIn(s loads.Situation) bool {
	accidental := len(l.accidental())
	if s == loads.Accidental {
		return accidental > 0
	}
	return l.Own != nil || l.Schedule != nil && accidental < len(l.Schedule.Actions)
}

// judgeAccidental reports a factor on a load with an accidental action in a combination for
// another situation.
func (t table) judgeAccidental(own OwnCombination) {
	if own.Situation == loads.Accidental {
		return
	}
	for i := range t.def.Loads {
		l := &t.def.Loads[i]
		names := l.accidental()
		if _, has := own.Factors[i]; !has || len(names) == 0 {
			continue
		}
		t.fault(join(t.at("factors"), l.Name), fmt.Sprintf("%s has an accidental action, %s, and this combination is one for %s", quote(l.Name), strings.Join(names, ", "), own.Situation),
			fmt.Sprintf("an accidental action belongs to situation = %q: write that, or leave %s out and to the combinations of the basis", loads.Accidental, quote(l.Name)))
	}
}

// judgeCovered reports the loads that no combination of the user's own takes in a situation in
// which those of the basis do not stand: they would be judged nowhere.
func (t table) judgeCovered() {
	for _, s := range situations() {
		own := t.ownFor(s)
		if len(own) == 0 {
			continue
		}
		var left []string
		addable := true
		for i := range t.def.Loads {
			l := &t.def.Loads[i]
			if !l.occursIn(s) || slices.ContainsFunc(own, func(o *OwnCombination) bool { return o.Factors[i] > 0 }) {
				continue
			}
			left = append(left, quote(l.Name))
			addable = addable && (s == loads.Accidental || len(l.accidental()) == 0)
		}
		if len(left) == 0 {
			continue
		}
		fix := "leave only_own out"
		if addable {
			fix = fmt.Sprintf("add what has none to the factors of %s or of another one for %s, or leave only_own out", quote(own[0].Name), s)
		}
		t.faultOfKey(t.at("only_own"), fmt.Sprintf("combinations.own for %s has no factor on %s, and those of %s do not stand there: what has none would be judged nowhere", s, strings.Join(left, ", "), t.def.Basis), fix)
	}
}

// ownFor returns the combinations of the user's own for a situation.
func (r *reader) ownFor(s loads.Situation) (own []*OwnCombination) {
	for i := range r.def.Combine.Own {
		if o := &r.def.Combine.Own[i]; o.Situation == s {
			own = append(own, o)
		}
	}
	return own
}

// cautionOfLower cautions of each load whose largest factor in the combinations of the user's
// own for a situation is below that of the basis where the load leads.
func (t table) cautionOfLower() {
	basis, err := t.def.Combinations()
	if err != nil {
		return // the rule has been reported
	}
	for _, s := range situations() {
		for i := range t.def.Loads {
			var largest *OwnCombination
			for _, o := range t.ownFor(s) {
				if o.Factors[i] > 0 && (largest == nil || o.Factors[i] > largest.Factors[i]) {
					largest = o
				}
			}
			if largest == nil {
				continue
			}
			l := &t.def.Loads[i]
			if by, factor := l.leadingFactor(basis, s); largest.Factors[i] < factor {
				t.caution("The user's own combination %s takes %s at %s where %s takes %s.", quote(largest.Name), quote(l.Name), quantity.Fix(largest.Factors[i], 2), by, quantity.Fix(factor, 2))
			}
		}
	}
}

// leadingFactor returns the largest factor that the basis, or the schedule of the load, has on
// an action of the load where it is the only variable one, and what it is called; 0 for none.
func (l *Load) leadingFactor(basis loads.Combinations, s loads.Situation) (by string, factor float64) {
	for _, v := range l.variables(basis, s) {
		for _, mix := range basis.Mixes(s, []loads.Variable{v}) {
			if mix.Factors[0] <= factor {
				continue
			}
			by, factor = mix.Name, mix.Factors[0]
			if v.Own != nil && v.Own.Override && (s == loads.Strength || s == loads.Equilibrium) {
				by = strings.TrimSpace(v.Own.Standard + " " + v.Own.Clause)
			}
		}
	}
	return by, factor
}

// variables returns the actions of the load as combinations for a situation take them.
func (l *Load) variables(basis loads.Combinations, s loads.Situation) (out []loads.Variable) {
	if l.Own != nil {
		v := loads.Variable{Category: l.Category}
		switch {
		case s == loads.Accidental:
			return nil
		case l.Own.Wind != nil:
			v.Own = basis.WindFactor(l.Own.Wind.Route)
		case l.Own.Ice != nil:
			v.Own = basis.IceFactor(*l.Own.Ice)
		}
		return []loads.Variable{v}
	}
	if l.Schedule == nil {
		return nil // it could not be read
	}
	for _, a := range l.Schedule.Actions {
		v := loads.Variable{Category: cmp.Or(a.Category, l.Schedule.Category), Accidental: a.Accidental}
		if a.Accidental != (s == loads.Accidental) {
			continue
		}
		if !a.Accidental {
			own := basis.StrengthFactor(l.Schedule, a)
			v.Own = &own
		}
		out = append(out, v)
	}
	return out
}
