package barrier

import (
	"fmt"
	"maps"
	"slices"

	"example.com/stanchion/loads"
)

// mostFactor is the factor in a combination beyond which it is a slip.
const mostFactor = 10

// Combinations returns the combinations by which the loads are combined: those of the basis
// under its annex, on EN by the rule of the file. The error is that of
// [loads.CombinationsUnder].
func (d *Definition) Combinations() (loads.Combinations, error) {
	rule := d.Combine.Rule
	if d.Basis != loads.BasisEN {
		rule = "" // the others have no choice
	}
	return loads.CombinationsUnder(d.Basis, d.Annex, rule)
}

// readCombining reads [combinations]; all of it may be left out. Loads are read before.
func (t table) readCombining() {
	isEN := t.def.Basis == loads.BasisEN
	if isEN {
		t.def.Combine.Rule = loads.Rule610
	}
	given, ok := t.child("combinations", combiningTable)
	if !ok {
		return
	}
	switch {
	case given.has("rule") && t.def.Basis != "" && !isEN:
		given.faultOfKey(given.at("rule"), fmt.Sprintf("the rule is one of EN 1990, and the basis is %s", t.def.Basis), "leave it out")
	case given.has("rule"):
		if rule, ok := given.label("rule", "rule", []string{loads.Rule610, loads.Rule610ab}, `write "6.10" or "6.10a/b"`); ok {
			t.def.Combine.Rule = rule
		}
	case isEN && !given.misspelt("rule"):
		t.assume(`Strength is combined by expression 6.10 of EN 1990: combinations.rule is not given and taken as "6.10".`)
	}
	faults := len(t.problems)
	for i, own := range given.children("own", ownMixTable, MaxOwnCombinations) {
		t.def.Combine.Own = append(t.def.Combine.Own, own.readOwnCombination(i))
	}
	t.def.Combine.Only, _ = given.flag("only_own")
	if t.def.Combine.Only {
		given.judgeOnly(len(t.problems) == faults)
	}
}

// judgeOnly judges combinations of the user's own that stand in place of those of the basis;
// whole says whether every one could be read.
func (t table) judgeOnly(whole bool) {
	if len(t.def.Combine.Own) == 0 {
		if !t.misspelt("own") && !t.has("own") {
			t.faultOfKey(t.at("only_own"), "only the combinations of one's own are asked for, and there is none", "add [[combinations.own]] with name, permanent and factors, or leave only_own out")
		}
		return
	}
	t.caution("The combinations of the user's own stand in place of those of %s: only_own = true.", string(t.def.Basis))
	if whole && t.def.Basis != "" {
		t.judgeCovered()
		t.cautionOfLower()
	}
}

// readOwnCombination reads one combination of the user's own.
func (t table) readOwnCombination(i int) OwnCombination {
	own := OwnCombination{Name: fmt.Sprintf("own %d", i+1), Situation: loads.Strength}
	if name, ok := t.text("name", "site"); ok {
		own.Name = name
	}
	for j := range t.def.Combine.Own {
		if t.def.Combine.Own[j].Name == own.Name {
			path := t.path
			if t.has("name") {
				path = t.at("name")
			}
			t.fault(path, fmt.Sprintf("combination %d is called %s already", j+1, quote(own.Name)), "give each combination a name of its own")
		}
	}
	words := []string{string(loads.Strength), string(loads.Service), string(loads.Equilibrium), string(loads.Accidental)}
	if word, ok := t.word("situation", words, nil); ok {
		own.Situation = loads.Situation(word)
	} else if !t.has("situation") && !t.misspelt("situation") {
		t.assume(`The combination %s of the user's own is one for strength: its situation is not given and taken as "strength".`, quote(own.Name))
	}
	if t.require("permanent", "[1.35, 1.0]") {
		own.Permanent = t.readPermanent()
	}
	if t.require("factors", "{ people = 1.5 }") {
		own.Factors = t.readFactors()
		t.judgeAccidental(own)
	}
	return own
}

// readPermanent reads the factors on permanent actions: where they are unfavourable and where
// they relieve.
func (t table) readPermanent() (pair [2]float64) {
	const example = "write that where they add to the load and that where they relieve, such as permanent = [1.35, 1.0]"
	values, ok := t.list("permanent", "[1.35, 1.0]")
	switch {
	case !ok:
		return pair
	case len(values) != 2:
		t.fault(t.at("permanent"), fmt.Sprintf("permanent actions have two factors, this list has %d", len(values)), example)
		return pair
	}
	for i, value := range values {
		path := element(t.at("permanent"), i)
		v, numberOK := t.numberAt(path, value, example)
		if numberOK && !(v >= 0 && v <= mostFactor) {
			t.fault(path, fmt.Sprintf("a factor from 0 to %d is wanted", mostFactor), example)
			numberOK = false
		}
		pair[i], ok = v, ok && numberOK
	}
	if ok && pair[0] < pair[1] {
		t.fault(t.at("permanent"), "the factor where permanent actions relieve is the larger one", "write the larger first, such as permanent = [1.35, 1.0]")
	}
	return pair
}

// readFactors reads the factors on the loads, each by its name.
func (t table) readFactors() map[int]float64 {
	values, isTable := t.values["factors"].(map[string]any)
	path := t.at("factors")
	if !isTable {
		t.fault(path, "a table of factors by the names of loads is wanted, this is "+kindOf(t.values["factors"]), "write factors = { people = 1.5, wind = 0.9 }")
		return nil
	}
	if len(values) == 0 {
		t.fault(path, "no load has a factor", "write factors = { people = 1.5 } with the names of loads")
	}
	factors := map[int]float64{}
	for _, name := range slices.Sorted(maps.Keys(values)) {
		at := join(path, name)
		v, ok := t.numberAt(at, values[name], "write the factor on this load, such as 1.5")
		if ok && !(v > 0 && v <= mostFactor) {
			t.fault(at, fmt.Sprintf("a factor of more than 0 and at most %d is wanted", mostFactor), "leave out a load that does not act")
		}
		if load, found := t.findLoad(at, name); found {
			factors[load] = v
		}
	}
	t.judgeSet(path, slices.Sorted(maps.Keys(factors)))
	return factors
}

// judgeSet judges whether the loads of a combination may act at once.
func (t table) judgeSet(path string, set []int) {
	placed := ""
	count := 0
	for k, i := range set {
		if n := t.def.Loads[i].placedAtOnce(); n > 0 {
			count += n
			if placed != "" {
				placed += ", "
			}
			placed += quote(t.def.Loads[i].Name)
			if n > 1 {
				placed += " with two loads of its own"
			}
		}
		for _, j := range set[:k] {
			if !t.mayJoin(path, j, i) {
				return
			}
		}
	}
	if count > MaxPlaced {
		t.fault(path, fmt.Sprintf("%s would act at once, and of loads on rails, posts and infill at most %d do", placed, MaxPlaced), "leave all but two of them out; wind, ice and temperature may act with both")
	}
}
