package explore

import (
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
)

// Comparison is two designs side by side, A and B. Changes are those from A to B.
type Comparison struct {
	Schema   int             `json:"schema"`
	Cautions []check.Caution `json:"cautions"` // of either, those of A first; one of one barrier alone begins with A: or B:
	A        Design          `json:"a"`
	B        Design          `json:"b"`
	Inputs   []InputPair     `json:"inputs_that_differ"`
	Alike    int             `json:"inputs_alike"`
	Checks   []CheckPair     `json:"checks"`
}

// Design is one of two designs: what became of it, and what it takes to build.
type Design struct {
	File          string          `json:"file"`
	Title         string          `json:"title"`
	Basis         string          `json:"basis"`
	Status        check.Status    `json:"status"`
	ScopeComplete bool            `json:"scope_complete"`
	Headline      string          `json:"headline"`
	Governing     check.Governing `json:"governing"`
	BaseMoment    float64         `json:"base_moment_Nm"` // the largest design one of any post
	Deflection    float64         `json:"deflection_mm"`  // the largest total movement across of a post or a rail
	Length        float64         `json:"length_m"`       // of the run
	Mass          float64         `json:"mass_kg_per_m"`  // of posts, rails and fittings, by the metre of run
	Feet          int             `json:"feet"`
	FeetPerM      float64         `json:"feet_per_m"`
	Unchecked     int             `json:"unchecked"` // how many things nothing checked
	LeftOut       int             `json:"left_out"`
}

// InputPair is a key whose value differs; null where a file does not have it.
type InputPair struct {
	Key string  `json:"key"`
	A   *string `json:"a"`
	B   *string `json:"b"`
}

// CheckPair is one check, of each design by the element with its largest utilisation; null where a
// design has none of that id.
type CheckPair struct {
	ID     string    `json:"id"`
	A      *CheckUse `json:"a"`
	B      *CheckUse `json:"b"`
	Change *float64  `json:"change"` // of the utilisation; null where one of them has none
}

// CheckUse is the largest utilisation of a check.
type CheckUse struct {
	Element     string       `json:"element"`
	Utilisation *float64     `json:"utilisation"`
	Status      check.Status `json:"status"`
}

// DesignOf tells of a design that was checked.
func DesignOf(file string, d *barrier.Definition, r *check.Result) Design {
	length := runLength(d)
	out := Design{
		File: file, Title: r.Title, Basis: r.Basis, Status: r.Status, ScopeComplete: r.ScopeComplete, Headline: r.Headline, Governing: r.Governing,
		Length: length, Mass: MassOf(d).Total() / length, Feet: len(d.Run.Posts), FeetPerM: float64(len(d.Run.Posts)) / length,
		Unchecked: len(r.Unchecked), LeftOut: len(r.LeftOut),
	}
	for i := range r.Posts {
		out.BaseMoment = math.Max(out.BaseMoment, r.Posts[i].BaseMoment)
		out.Deflection = math.Max(out.Deflection, r.Posts[i].TopDeflection)
	}
	for i := range r.Rails {
		out.Deflection = math.Max(out.Deflection, r.Rails[i].Deflection)
	}
	return out
}

// Compare sets two designs, and the results that tell of them, side by side.
func Compare(a, b Design, ofA, ofB *check.Result) *Comparison {
	c := &Comparison{Schema: 1, A: a, B: b, Cautions: cautionsOfBoth(ofA.Cautions, ofB.Cautions)}
	c.Inputs, c.Alike = inputPairs(ofA.Inputs, ofB.Inputs)
	worstA, worstB := worstByID(ofA), worstByID(ofB)
	for _, id := range check.CheckIDs() {
		pair := CheckPair{ID: id.ID, A: worstA[id.ID], B: worstB[id.ID]}
		if pair.A == nil && pair.B == nil {
			continue
		}
		if pair.A != nil && pair.B != nil && pair.A.Utilisation != nil && pair.B.Utilisation != nil {
			change := *pair.B.Utilisation - *pair.A.Utilisation
			pair.Change = &change
		}
		c.Checks = append(c.Checks, pair)
	}
	return c
}

// cautionsOfBoth joins the cautions of two results: one that either has triggered is triggered, and
// one that a barrier of its own brings says which, where the other does not.
func cautionsOfBoth(a, b []check.Caution) []check.Caution {
	type same struct{ id, text string }
	var all []check.Caution
	at := map[same]int{}
	var of []string // which design brings each
	for which, list := range [][]check.Caution{a, b} {
		for _, c := range list {
			key := same{c.ID, c.Text}
			if i, ok := at[key]; ok {
				all[i].Triggered, of[i] = all[i].Triggered || c.Triggered, ""
				continue
			}
			at[key] = len(all)
			all, of = append(all, c), append(of, string(rune('A'+which))+": ")
		}
	}
	for i := range all {
		if all[i].ID == "" {
			all[i].Text = of[i] + all[i].Text
		}
	}
	return all
}

// inputPairs returns the keys whose values differ, those of a in their order and then those that b alone
// has, and how many are alike.
func inputPairs(a, b check.Inputs) (differ []InputPair, alike int) {
	of := map[string]string{}
	for _, in := range b {
		of[in.Key] = in.Text
	}
	known := map[string]bool{}
	for i := range a {
		in := &a[i]
		known[in.Key] = true
		switch other, ok := of[in.Key]; {
		case !ok:
			differ = append(differ, InputPair{in.Key, &in.Text, nil})
		case other != in.Text:
			differ = append(differ, InputPair{in.Key, &in.Text, &other})
		default:
			alike++
		}
	}
	for i := range b {
		if in := &b[i]; !known[in.Key] {
			differ = append(differ, InputPair{in.Key, nil, &in.Text})
		}
	}
	return differ, alike
}

// worstByID returns the row of each check that is used most: one without a bound before all
// others, one that nothing checked behind them.
func worstByID(r *check.Result) map[string]*CheckUse {
	worst := map[string]*CheckUse{}
	for i := range r.Checks {
		row := &r.Checks[i]
		if known, ok := worst[row.ID]; ok && !usedMore(row.Utilisation, row.Status, known.Utilisation, known.Status) {
			continue
		}
		worst[row.ID] = &CheckUse{row.Element, row.Utilisation, row.Status}
	}
	return worst
}

// usedMore reports whether one utilisation is beyond another by more than what counts as a tie.
func usedMore(u *float64, status check.Status, than *float64, thanStatus check.Status) bool {
	const tie = 1e-9
	size := func(u *float64, status check.Status) float64 {
		switch {
		case u != nil:
			return *u
		case status == check.Fail:
			return math.Inf(1)
		}
		return -1
	}
	a, b := size(u, status), size(than, thanStatus)
	return a > b*(1+tie) && a != b
}
