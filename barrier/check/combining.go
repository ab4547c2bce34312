package check

import (
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// By which factors actions are combined, as the report tells it.

// ownAlone reports whether combinations of the user's own stand in place of those of the basis
// in a situation.
func (c *run) ownAlone(s loads.Situation) bool {
	return c.d.Combine.Only && slices.ContainsFunc(c.d.Combine.Own, func(own barrier.OwnCombination) bool { return own.Situation == s })
}

// factors says by which factors actions and resistances are judged.
func (c *run) factors() {
	uls := c.combos.ULS
	permanent := fmt.Sprintf("%.2f on unfavourable, %.2f on favourable permanent actions, %.2f on a variable action", uls.PermanentUnfavourable, uls.PermanentFavourable, uls.Leading)
	actions := fmt.Sprintf("%s: %s", uls.Name, permanent)
	if c.ownAlone(loads.Strength) {
		actions = "the user's own combinations"
	}
	var resistances []string
	for _, t := range c.models[0].tubes.all() {
		if factors := t.told().factors; !slices.Contains(resistances, factors) {
			resistances = append(resistances, factors)
		}
	}
	on := strings.Join(resistances, "; ")
	switch {
	case c.ownAlone(loads.Strength) && c.d.Basis == loads.BasisEN:
		c.say(fmt.Sprintf("Partial factors of %s; %s.", actions, on))
	case c.combos.Rule() == loads.Rule610ab:
		c.say(fmt.Sprintf("Strength by EN 1990 6.10a and 6.10b, both of them: their factors stand in each combination; %s.", on))
	case c.d.Basis == loads.BasisEN:
		c.say(fmt.Sprintf("Partial factors of %s unless its schedule has its own; %s.", actions, on))
	case c.d.Basis == loads.BasisASD:
		c.say(fmt.Sprintf("Load factors of %s; %s. Design values in this report are those of the ASD combinations.", actions, on))
	default:
		c.say(fmt.Sprintf("Load factors of %s; permanent actions alone %.2f; %s.", actions, c.combos.PermanentAlone.PermanentUnfavourable, on))
	}
	for _, t := range c.models[0].tubes.all() {
		if method := t.told().method; method != "" {
			c.say(method)
		}
	}
}

// sayTogether says how loads that act together are combined, and which combinations are the
// user's own.
func (c *run) sayTogether() {
	if c.actTogether() {
		c.say(togetherWords(c.d.Basis) + "; the factor of each stands in its combination, in the order in which the loads are told, and letters that several share are numbered so.")
	}
	c.sayPsi()
	for _, m := range c.mixes() {
		if m.Note != "" {
			c.say(fmt.Sprintf("Combination %s (%s): %s.", m.Name, m.LimitState, m.Note))
		}
	}
	for _, own := range c.d.Combine.Own {
		var parts []string
		for i := range c.d.Loads {
			if k, ok := own.Factors[i]; ok {
				parts = append(parts, quantity.Fix(k, 2)+" on "+c.d.Loads[i].Name)
			}
		}
		beside := "beside those of the basis"
		if c.d.Combine.Only {
			beside = "in place of those of the basis"
		}
		c.say(fmt.Sprintf("Combination %s is the user's own, %s, for %s: %s and %s on unfavourable and favourable permanent actions, %s.",
			own.Name, beside, own.Situation, quantity.Fix(own.Permanent[0], 2), quantity.Fix(own.Permanent[1], 2), strings.Join(parts, ", ")))
	}
}

// togetherWords says by what rule of a basis loads that act together are combined.
func togetherWords(b loads.Basis) string {
	switch b {
	case loads.BasisLRFD:
		return "Loads that act together take the combinations of ASCE 7-16 2.3, which name those of people, wind, ice and temperature"
	case loads.BasisASD:
		return "Loads that act together take the combinations of ASCE 7-16 2.4, which name those of people, wind, ice and temperature"
	case loads.BasisCSA:
		return "Loads that act together take the combinations of NBC 4.1.3.2, one of them principal at a time, and where it names none those of this program's rules, as each says"
	case loads.BasisAS:
		return "Loads that act together take the combinations of AS/NZS 1170.0 4.2.2, and where it names none those of this program's rules, as each says"
	}
	return "Loads that act together are combined with one of them leading at a time"
}

// actTogether reports whether any loads act together, joined by the user or by a schedule.
func (c *run) actTogether() bool {
	return slices.ContainsFunc(c.d.Loads, func(l barrier.Load) bool { return len(l.With) > 0 || joinsItsOwn(l.Schedule) })
}

// joinsItsOwn reports whether a schedule has actions of its own act together.
func joinsItsOwn(s *loads.Schedule) bool {
	return s != nil && slices.ContainsFunc(s.Actions, func(a loads.Action) bool { return len(a.With) > 0 })
}

// mixes returns one of each combination by which actions were combined that act together or
// stand everywhere; those of equilibrium only where a base stands by its weight.
func (c *run) mixes() []loads.Mix {
	return slices.DeleteFunc(slices.Clone(c.models[0].analysis.Mixes()), func(m loads.Mix) bool { return m.LimitState == "EQU" && !c.d.Post.Base.Loose })
}

// psiNames are the combination factors of EN 1990, in the order of [loads.Combinations.Psi].
var psiNames = [3]string{"ψ0", "ψ1", "ψ2"}

// psiOf says which combination factors are used on a category.
type psiOf struct {
	category loads.Category
	used     [3]bool
}

// words names the actions of the category: "wind", "imposed loads of category C", "imposed loads
// of no category".
func (k *psiOf) words() string {
	switch k.category {
	case loads.WindAction, loads.IceAction, loads.Temperature:
		return string(k.category)
	case loads.Imposed:
		return "imposed loads of no category"
	}
	return "imposed loads of category " + string(k.category)
}

// psiUsed returns the categories of the actions on which EN 1990 may take combination factors:
// those that act beside another one, and by 6.10a all of them.
func (c *run) psiUsed() []psiOf {
	if c.d.Basis != loads.BasisEN || c.ownAlone(loads.Strength) && c.ownAlone(loads.Service) {
		return nil
	}
	var out []psiOf
	for _, a := range c.actions {
		beside := c.besideOf(a)
		accidental := slices.ContainsFunc(beside, func(b *analysis.Action) bool { return b.Accidental })
		imposed := slices.ContainsFunc(beside, func(b *analysis.Action) bool { return !b.Accidental })
		used := [3]bool{imposed || c.combos.Rule() == loads.Rule610ab, accidental, accidental && imposed}
		if a.Accidental || used == [3]bool{} {
			continue
		}
		at := slices.IndexFunc(out, func(k psiOf) bool { return k.category == a.Category })
		if at < 0 {
			at = len(out)
			out = append(out, psiOf{category: a.Category})
		}
		for n := range used {
			out[at].used[n] = out[at].used[n] || used[n]
		}
	}
	return out
}

// besideOf returns the actions of other loads of the list that act with one.
func (c *run) besideOf(a *analysis.Action) []*analysis.Action {
	return slices.DeleteFunc(slices.Clone(c.actions), func(b *analysis.Action) bool { return !slices.Contains(c.d.Loads[a.Load].With, b.Load) })
}

// sayPsi says the combination factors.
func (c *run) sayPsi() {
	var parts []string
	whose := "recommended values"
	switch annex := c.combos.Annex(); {
	case annex != "":
		whose = "values of the " + annex + " annex"
	case c.d.Annex != "":
		whose += ", for those of the " + c.d.Annex + " annex are not known here and come first"
	}
	for _, k := range c.psiUsed() {
		for n, psi := range c.combos.Psi(k.category) {
			if k.used[n] {
				parts = append(parts, fmt.Sprintf("%s = %.2f on %s", psiNames[n], psi.Value, k.words()))
			}
		}
	}
	if len(parts) > 0 {
		c.say("Combination factors of EN 1990, " + whose + ": " + strings.Join(parts, ", ") + ".")
	}
}
