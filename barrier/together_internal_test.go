package barrier

import (
	"strings"
	"testing"

	"example.com/stanchion/loads"
)

// readerOf returns a reader that has got to the loads of a file, for messages without a place.
func readerOf(t *testing.T, basis loads.Basis, list ...Load) table {
	t.Helper()
	l, err := newLocator("")
	if err != nil {
		t.Fatal(err)
	}
	return table{reader: &reader{locator: l, def: &Definition{File: "test.toml", Basis: basis, Loads: list}}, kind: loadTable, path: "load[0]"}
}

// TestActsAlone joins wind with schedules all or some of whose actions act alone: the first is
// refused with both names, whichever of them says it, the second is said.
func TestActsAlone(t *testing.T) {
	wind := Load{Name: "wind", Own: &OwnLoad{Kind: OwnWind}, Category: loads.WindAction}
	all := Load{Name: "people", Schedule: &loads.Schedule{Name: "X 1 dwelling", Standard: "X 1", Actions: []loads.Action{{Alone: true}, {Alone: true}}}}
	for _, with := range [][2]int{{0, 1}, {1, 0}} {
		r := readerOf(t, loads.BasisEN, all, wind)
		if r.mayJoin("load[0].with[0]", with[0], with[1]) || len(r.problems) != 1 {
			t.Fatalf("a load that acts alone is joined with wind: %v", r.problems)
		}
		p := r.problems[0]
		for _, part := range []string{`"people"`, `"wind"`, `X 1 lets no load of "people" act with another variable action`} {
			if !strings.Contains(p.What, part) {
				t.Errorf("%q does not say %q", p.What, part)
			}
		}
		if p.Fix != `leave it out: "people" and "wind" act one at a time` {
			t.Errorf("fix %q", p.Fix)
		}
	}
	some := all
	some.Schedule = &loads.Schedule{Name: "X 1 dwelling", Standard: "X 1", Actions: []loads.Action{{Alone: true}, {}}}
	r := readerOf(t, loads.BasisEN, some, wind)
	if !r.mayJoin("", 0, 1) {
		t.Fatal(r.problems)
	}
	r.join(0, 1)
	r.sayJoined()
	if len(r.def.Assumptions) != 1 || !strings.HasPrefix(r.def.Assumptions[0].In(r.def.Units), "Of the loads of X 1 dwelling, those that its standard lets act with no other variable action act alone all the same") {
		t.Errorf("assumptions %v", r.def.Assumptions)
	}
}

// TestFamilies judges schedules of every family under every basis that is read: a foreign one
// is refused with both families and the basis by name.
func TestFamilies(t *testing.T) {
	for _, basis := range []loads.Basis{loads.BasisEN, loads.BasisLRFD, loads.BasisASD} {
		for _, family := range []loads.Family{loads.EN, loads.ASCE, loads.OSHA, loads.NBC, loads.AS} {
			own := basis.Families()[0] == family || len(basis.Families()) > 1 && basis.Families()[1] == family
			r := readerOf(t, basis)
			r.readFamily(&loads.Schedule{Name: "X 1", Family: family}, false)
			if len(r.problems) > 0 == own {
				t.Errorf("%s under %s: %v", family, basis, r.problems)
			}
			for _, p := range r.problems {
				for _, part := range []string{"the family " + string(family), "the basis " + string(basis), "of the family " + string(basis.Families()[0])} {
					if !strings.Contains(p.What, part) {
						t.Errorf("%q does not name %q", p.What, part)
					}
				}
			}
			if r = readerOf(t, basis); !own && (!r.readFamily(&loads.Schedule{Name: "X 1", Family: family}, true) || len(r.def.Cautions) != 1) {
				t.Errorf("%s is not mixed in under %s: %v", family, basis, r.problems)
			}
		}
	}
}

// TestOverriddenRules compares limits of the user's own with those of a schedule that are
// rules, or that bind one movement or one action.
func TestOverriddenRules(t *testing.T) {
	limits := []loads.Limit{
		{Of: loads.LimitTotal, PerHeight: 1. / 60, PerBay: 1. / 240, Rule: "h/60 + L/240"},
		{Of: loads.LimitPost, Deflection: 0.025, Only: "top line"},
	}
	s := size{post: 1.1, height: 1.1, bay: 1.5, least: 1}
	// 1100/60 + 1000/240 = 22.5 mm in the shortest bay, 24.58 mm in the longest.
	for _, c := range []struct {
		own  Limits
		want string // of what is wrong; empty for nothing
	}{
		{Limits{Deflection: &Limit{Length: 0.022}}, ""},
		{Limits{Deflection: &Limit{Length: 0.024}}, "a limit of 24 mm is looser than the 22.5 mm by h/60 + L/240 of X 1"},
		{Limits{Deflection: &Limit{PerHeight: 1. / 60, PerBay: 1. / 240, Rule: "h/60 + L/240"}}, ""},
		{Limits{Deflection: &Limit{PerBay: 1. / 50, Rule: "L/50"}}, "a limit of up to 30 mm by L/50 is looser than the 24.58 mm by h/60 + L/240 of X 1"},
		{Limits{DeflectionNone: true}, `deflection = "none" is looser than the 22.5 mm by h/60 + L/240 of X 1`},
		{Limits{Post: &Limit{Length: 0.03}}, "a limit of 30 mm is looser than the 25 mm of X 1"},
		{Limits{Span: &Limit{Length: 0.3}}, ""},
		{Limits{Vertical: &Limit{Length: 0.3}}, ""},
	} {
		r := readerOf(t, loads.BasisEN, Load{Name: "X 1", Schedule: &loads.Schedule{Name: "X 1", Limits: limits}})
		r.def.Limits = c.own
		r.compareLimits(s)
		var got strings.Builder
		for _, p := range r.problems {
			got.WriteString(p.What)
		}
		if got.String() != c.want {
			t.Errorf("%q, want %q (source: the rule, by hand)", got.String(), c.want)
		}
		r.def.Limits.Override, r.problems = true, nil
		if r.compareLimits(s); len(r.problems) > 0 || len(r.def.Cautions) > 0 != (c.want != "") {
			t.Errorf("overridden: %v, cautions %v", r.problems, r.def.Cautions)
		}
	}
}
