package check

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// Every load of a schedule is told as it is taken: BS 6180:2011 Table 2 row v.
func TestLoadsAreTold(t *testing.T) {
	s := lonePosts()
	s.load, s.limits = "schedule = \"EN 1991-1-1 UK v\"\n\n"+outward, "deflection = \"25 mm\""
	d := s.definition(t)
	d.Loads[0].With, d.Loads[1].With = []int{1}, []int{0}
	rows := result(t, d, Options{}).Loads
	for i, want := range []struct {
		name, kind, unit, stands string
		value                    float64
		factor, height           float64 // 0: none
		note                     string
	}{
		{"top line load", "line", "N/m", "top rail", 740, 1.5, 1.1, "acts alone, and with people"},
		{"infill area load", "area", "N/m2", "", 1000, 0, 0, "not applicable: the barrier has no infill"},
		{"infill point load", "point", "N", "knee rail", 500, 1.5, 0, ""},
		{"vertical line load", "line", "N/m", "top rail", 600, 1.5, 1.1, "acts with top line load of the same schedule"},
		{"vertical point load", "point", "N", "top rail", 1000, 1.5, 1.1, "acts with top line load of the same schedule"},
		{"people", "point", "N", "top rail", 600, 1.5, 1.1, "acts alone, and with EN 1991-1-1 UK v"},
	} {
		row := rows[i]
		if row.Name != want.name || row.Kind != want.kind || row.Unit != want.unit || row.Stands != want.stands || row.Value == nil || *row.Value != want.value {
			t.Errorf("row %d is %+v, want %+v", i, row, want)
		}
		for _, c := range []struct {
			got  *float64
			want float64
		}{{row.Factor, want.factor}, {row.Height, want.height}} {
			if (c.got != nil) != (c.want != 0) || c.got != nil && math.Abs(*c.got-c.want) > 1e-9 {
				t.Errorf("%s: %v, want %v", row.Name, c.got, c.want)
			}
		}
		if !strings.Contains(row.Note, want.note) {
			t.Errorf("%s: note %q, want %q", row.Name, row.Note, want.note)
		}
		if row.Load == "EN 1991-1-1 UK v" && row.Direction != "down" && (row.Standard != "BS 6180" || row.Edition != "2011" || row.Clause != "Table 2 row v" || row.Stage != "characteristic" || row.Provenance != "public") {
			t.Errorf("%s is of %s %s %s, %s, %s", row.Name, row.Standard, row.Edition, row.Clause, row.Stage, row.Provenance)
		}
	}
}

// A load that stands nowhere though it is asked for leaves the result incomplete.
func TestLoadNotPlaced(t *testing.T) {
	d := lonePosts().definition(t)
	gone := &barrier.Load{Name: "gale", Own: &barrier.OwnLoad{Kind: barrier.OwnWind, Wind: &loads.Wind{Route: loads.WindEN}}}
	c := &run{d: d, out: &Result{}}
	d.Loads = append(d.Loads, *gone)
	c.actions, _ = analysis.Actions(&barrier.Definition{Basis: d.Basis, Run: d.Run, Post: d.Post, Rails: d.Rails, Loads: d.Loads[:1]})
	c.loadRows()
	c.openLoads()
	if it := c.out.open("load gale"); it == nil || it.Kind != OpenLoad {
		t.Errorf("open are %+v, want the wind that is not placed", c.out.Unchecked)
	}
	if c.out.Loads[1].Standard != "EN 1991-1-4" || c.out.Loads[1].Value != nil {
		t.Errorf("row %+v", c.out.Loads[1])
	}
}

// The steps of a load of nature are told once each, by their kind.
func TestStepsAreTold(t *testing.T) {
	qp := loads.Step{What: "peak velocity pressure", Symbol: "qp", Formula: "(1 + 7 Iv) 1/2 ρ vm^2", Values: []loads.Value{{Symbol: "vm", Value: 21, Unit: "m/s"}}, Result: 700, Unit: "N/m2",
		Citation: loads.Citation{Standard: "EN 1991-1-4", Clause: "4.5", Provenance: "memory"}}
	ice := loads.Step{What: "ice thickness", Symbol: "t", Result: 0.02, Unit: "m"}
	d := &barrier.Definition{Loads: []barrier.Load{{Name: "gale"}, {Name: "glaze"}}}
	c := &run{d: d, out: &Result{}, actions: []*analysis.Action{
		{Load: 0, Category: loads.WindAction, Steps: []loads.Step{qp, qp}},
		{Load: 0, Category: loads.WindAction, Steps: []loads.Step{qp}},
		{Load: 1, Category: loads.IceAction, Steps: []loads.Step{ice}},
	}}
	c.natureRows()
	if len(c.out.Wind) != 1 || len(c.out.Ice) != 1 || len(c.out.Temperature) != 0 {
		t.Fatalf("%d steps of wind, %d of ice", len(c.out.Wind), len(c.out.Ice))
	}
	if row := c.out.Wind[0]; row.Load != "gale" || row.Result != 700 || row.Unit != "N/m2" || row.Clause != "4.5" || len(row.Values) != 1 || row.Values[0] != (StepValue{"vm", 21, "m/s"}) {
		t.Errorf("step %+v", row)
	}
}

// The sources of steps are told, each standard and source once.
func TestSourcesOfSteps(t *testing.T) {
	d := lonePosts().definition(t)
	step := loads.Step{Citation: loads.Citation{Standard: "EN 1991-1-4", Edition: "2005", Clause: "4.5", Source: "public excerpt", Provenance: "public"}}
	other := step
	other.Clause = "7.9"
	c := &run{d: d, out: &Result{}, combos: loads.CombinationsOf(d.Basis), models: []*model{{analysis: &analysis.Analysis{}, tubes: &tubes{posts: []resistance{first(NewTube(&d.Post.Member))}}}}, actions: []*analysis.Action{{Name: "gale", Clause: "own load", Source: "the definition", Steps: []loads.Step{step, other}}}}
	c.sources()
	if n := strings.Count(strings.Join(c.out.Sources, "\n"), "steps of load gale: EN 1991-1-4 2005; public excerpt (public)"); n != 1 {
		t.Errorf("the source of the steps is told %d times: %q", n, c.out.Sources)
	}
}

// The factor on a wind that acts alone stands in its row: 1.5 by EN 1990 6.10.
func TestFactorOfAField(t *testing.T) {
	s := lonePosts()
	s.load = "name = \"gale\"\nkind = \"wind\"\npressure = \"0.4 kN/m2\""
	row := s.check(t).Loads[0]
	if row.Factor == nil || *row.Factor != 1.5 || row.Value == nil || *row.Value != 400 || row.Unit != "N/m2" || row.Standard != "" {
		t.Errorf("row %+v, want a velocity pressure of 400 N/m2 that takes 1.5", row)
	}
}

// A load that the program numbered, a standard whose name has its edition, and a wind of the
// user's own whose coefficients are from memory.
func TestWordsOfSources(t *testing.T) {
	d := lonePosts().definition(t)
	step := loads.Step{Citation: loads.Citation{Standard: "ASCE 7-16", Edition: "7-16", Source: "from memory", Provenance: "memory"}}
	c := &run{d: d, out: &Result{}, combos: loads.CombinationsOf(d.Basis), models: []*model{{analysis: &analysis.Analysis{}, tubes: &tubes{posts: []resistance{first(NewTube(&d.Post.Member))}}}}, actions: []*analysis.Action{{Name: "load 2", Clause: "own load", Source: "the definition", Provenance: "memory", Steps: []loads.Step{step}}}}
	c.sources()
	for _, want := range []string{"load 2: own load; the definition; coefficients from memory", "steps of load 2: ASCE 7-16; from memory (memory)"} {
		if !slices.Contains(c.out.Sources, want) {
			t.Errorf("sources %q, want %q", c.out.Sources, want)
		}
	}
}

// A point of the user's own that stands at one place is told there, on its rail or off it.
func TestRowOfLoadAtOnePlace(t *testing.T) {
	const own = "name = \"p\"\nkind = \"point\"\nvalue = \"600 N\"\nat = \"1.25 m\"\ndirection = "
	for load, want := range map[string][2]string{
		own + "\"down\"": {"top rail at x = 1.250 m", "stands nowhere else"},
		own + "\"outward\"\nheight = \"1400 mm\"": {"above top rail at x = 1.250 m", "stands nowhere else"},
		own + "\"any\"": {"top rail", ""}, // it may turn: it stands wherever it is worst
	} {
		s := lonePosts()
		s.load = load
		r := s.check(t)
		if row := r.Loads[0]; row.Stands != want[0] || row.Note != want[1] {
			t.Errorf("%s: on %q, %q; want %q", load, row.Stands, row.Note, want)
		}
	}
}

// Of two loads of one schedule, that which its standard has act alone says no more.
func TestRowOfLoadThatActsAlone(t *testing.T) {
	s := lonePosts()
	s.load = "schedule = \"EN 13374 A\"\nwith = [\"p\"]\n[[load]]\nname = \"p\"\nkind = \"point\"\nvalue = \"1 kN\"\ndirection = \"down\""
	alone, joined := 0, 0
	for _, row := range s.check(t).Loads {
		if row.Load == "p" {
			continue
		}
		acts, together := strings.Contains(row.Note, "its standard has it act alone"), strings.Contains(row.Note, "acts alone, and with p")
		if acts == together {
			t.Errorf("%s: %s", row.Name, row.Note)
		}
		if acts {
			alone++
		} else {
			joined++
		}
	}
	if alone == 0 || joined == 0 {
		t.Errorf("%d act alone, %d with p", alone, joined)
	}
}

// The weakest word of every action of a combination stands.
func TestProvenanceOfActionsTogether(t *testing.T) {
	d := lonePosts().definition(t)
	c := &run{d: d}
	d.Post.Tube.Provenance, d.Post.Grade.Provenance = "public", "public"
	f := &finding{id: "post-bending"}
	f.placed.Combination = &analysis.Combination{}
	f.placed.Placement.Action = &analysis.Action{Provenance: "public", StrengthBy: "public"}
	if got := c.provenance(f); got != "public" {
		t.Errorf("alone: %s", got)
	}
	f.placed.Combination.Beside = &analysis.Beside{Terms: []analysis.Term{{Action: &analysis.Action{Provenance: "memory", StrengthBy: "public"}}}}
	if got := c.provenance(f); got != "memory" {
		t.Errorf("with a load from memory: %s", got)
	}
}

// A load of the user's own below the code's of the same kind, and of a point on the same parts,
// is C11.
func TestOwnPointBelowCode(t *testing.T) {
	for value, below := range map[string]bool{"400 N": true, "500 N": false} {
		for rail, same := range map[string]bool{"knee": true, "top": false} {
			s := lonePosts()
			s.limits = "deflection = \"25 mm\""
			s.load = "schedule = \"EN 1991-1-1 UK v\"\n[[load]]\nname = \"lean\"\nkind = \"point\"\nvalue = \"" + value + "\"\ndirection = \"outward\"\nrail = \"" + rail + "\""
			if got := cautionTriggered(s.check(t), "C11"); got != (below && same) {
				t.Errorf("C11 for %s on the %s rail beside the code's 500 N on the knee rail: %v", value, rail, got)
			}
		}
	}
}

// People and wind that are not joined are told.
func TestWindApart(t *testing.T) {
	d := lonePosts().definition(t)
	d.Loads = append(d.Loads, barrier.Load{Name: "gale", Own: &barrier.OwnLoad{Kind: barrier.OwnWind}})
	c := &run{d: d}
	if !says(c.natureCautions(), "Loads people and gale do not act together here") {
		t.Errorf("cautions %q", c.natureCautions())
	}
	d.Loads[0].With, d.Loads[1].With = []int{1}, []int{0}
	if got := c.natureCautions(); len(got) > 0 {
		t.Errorf("joined: %q", got)
	}
	d.Loads[0].With, d.Loads[1].With = nil, nil
	d.Combine.Own = []barrier.OwnCombination{{Factors: map[int]float64{0: 1.5, 1: 0.9}}}
	if got := c.natureCautions(); len(got) > 0 {
		t.Errorf("in a combination of the user's own: %q", got)
	}
	d.Loads = append(d.Loads, barrier.Load{Name: "glaze", Own: &barrier.OwnLoad{Kind: barrier.OwnIce}})
	if !says(c.natureCautions(), "Loads glaze and gale do not act together here") {
		t.Errorf("wind apart from ice: %q", c.natureCautions())
	}
	d.Loads[1].With, d.Loads[2].With = []int{2}, []int{1}
	if got := c.natureCautions(); len(got) > 0 {
		t.Errorf("wind with ice: %q", got)
	}
}

// Hand formulas are for a load that is placed on rails: none stands beside a field or a load
// on a post, and what acts with a placed load is in the frame's value alone.
func TestHandChecksOfOtherLoads(t *testing.T) {
	c := &run{d: lonePosts().definition(t), out: &Result{}}
	c.worst = &model{posts: make([]extremes, 4), rails: newRails(2)}
	for _, a := range []*analysis.Action{{Name: "gale", Field: &analysis.Field{}}, {Name: "bump", Point: true, Posts: true}} {
		for i := range c.worst.posts {
			c.worst.posts[i].base.Placement.Action, c.worst.posts[i].top.Placement.Action = a, a
		}
		for i := range c.worst.rails {
			c.worst.rails[i].moment.Placement.Action = a
		}
		c.handChecks()
	}
	if len(c.out.HandChecks) > 0 {
		t.Errorf("hand checks %+v", c.out.HandChecks)
	}
	for _, words := range []string{"gale, which governs there, stands everywhere at once", "bump, which governs there, stands on a post"} {
		if !slices.ContainsFunc(c.notes, func(n quantity.Sentence) bool { return strings.Contains(n.In(quantity.Metric), words) }) {
			t.Errorf("nothing says %q", words)
		}
	}
	c.handCheck(HandCheck{}, &analysis.Placed{Combination: &analysis.Combination{Beside: &analysis.Beside{}}})
	if why := c.out.HandChecks[0].Why; !strings.HasPrefix(why, "the hand value is of the placed load alone") {
		t.Errorf("why %q", why)
	}
}

// A rail of 4.5 m with a splice at 2.9 m, 35 K warmer and 45 K colder: α ΔT L with 12e-6 1/K
// (EN 1991-1-5 Table C.1, memory). Each piece is held at its far end.
func TestExpansion(t *testing.T) {
	s := throughRails()
	s.top = "splices = [\"2.9 m\"]"
	s.run = strings.Replace(s.run, "spacing", "end = \"wall\"\nspacing", 1)
	d := s.definition(t)
	d.Loads = append(d.Loads, barrier.Load{Name: "season", Own: &barrier.OwnLoad{Kind: barrier.OwnTemperature, Temperature: &barrier.Warmth{Rise: 35, Fall: 45}}})
	c := &run{d: d, out: &Result{}}
	c.expansion()
	const alpha = 12e-6
	for i, want := range []ExpansionRow{
		{"season", "top", "free end", 0, 2.9, alpha * 35 * 2900, alpha * 45 * 2900},
		{"season", "top", "splice", 2.9, 4.5, alpha * 35 * 4500, alpha * 45 * 4500},
		{"season", "top", "wall end", 4.5, 1.6, alpha * 35 * 1600, alpha * 45 * 1600},
		{"season", "knee", "free end", 0, 4.5, alpha * 35 * 4500, alpha * 45 * 4500},
		{"season", "knee", "wall end", 4.5, 4.5, alpha * 35 * 4500, alpha * 45 * 4500},
	} {
		if i >= len(c.out.Expansion) {
			t.Fatalf("%d rows: %+v", len(c.out.Expansion), c.out.Expansion)
		}
		got := c.out.Expansion[i]
		equal(t, "gap", got.Closes, want.Closes, "α ΔT L")
		equal(t, "length", got.Length, want.Length, "L")
		equal(t, "opening", got.Opens, want.Opens, "α ΔT L")
		if got.Rail != want.Rail || got.Where != want.Where || got.X != want.X {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
}

// The test piece of a standard keeps, of what acts together, what is tested.
func TestPieceOfJoinedLoads(t *testing.T) {
	d := &barrier.Definition{Loads: []barrier.Load{{Name: "a", With: []int{1, 2}}, {Name: "b", With: []int{0}}, {Name: "c", With: []int{0}}}}
	some := someLoads(d, []int{0, 2})
	if len(some) != 2 || !slices.Equal(some[0].With, []int{1}) || !slices.Equal(some[1].With, []int{0}) {
		t.Errorf("some loads %+v", some)
	}
	own := barrier.Combining{Own: []barrier.OwnCombination{{Name: "all", Factors: map[int]float64{0: 1.5, 1: 0.9, 2: 1.2}}, {Name: "b", Factors: map[int]float64{1: 1}}}}
	got := someCombining(&own, []int{0, 2})
	if len(got.Own) != 1 || len(got.Own[0].Factors) != 2 || got.Own[0].Factors[0] != 1.5 || got.Own[0].Factors[1] != 1.2 {
		t.Errorf("some combining %+v", got)
	}
}

// A combination of the user's own, and loads that act together, are said.
func TestOwnCombinationIsSaid(t *testing.T) {
	d := lonePosts().definition(t)
	d.Loads = append(d.Loads, barrier.Load{Name: "gale", Own: &barrier.OwnLoad{Kind: barrier.OwnWind}, With: []int{0}})
	d.Combine = barrier.Combining{Own: []barrier.OwnCombination{{Name: "site", Situation: loads.Strength, Permanent: [2]float64{1.35, 1}, Factors: map[int]float64{0: 1.5, 1: 0.9}}}}
	c := &run{d: d, out: &Result{}, combos: loads.CombinationsOf(d.Basis), models: []*model{{analysis: &analysis.Analysis{}, tubes: &tubes{posts: []resistance{first(NewTube(&d.Post.Member))}}}}}
	c.sayTogether()
	for _, words := range []string{"one of them leading at a time", "Combination site is the user's own, beside those of the basis, for strength: 1.35 and 1.00 on unfavourable and favourable permanent actions, 1.50 on people, 0.90 on gale."} {
		if !says(c.out.Assumptions, words) {
			t.Errorf("assumptions do not say %q: %q", words, c.out.Assumptions)
		}
	}
}

// The combination factors that are used are said with their values and their sources: ψ0 = 0.7
// of category C, and of wind 0.6 recommended and 0.5 in the UK (EN 1990 Table A1.1 and NA to BS
// EN 1990 Table NA.A1.1); combinations by other names than that of one variable action stand
// in the rows.
func TestCombinationFactorsAreSaid(t *testing.T) {
	gale := "\nwith = [\"gale\"]\ncategory = \"C\"\n[[load]]\nname = \"gale\"\nkind = \"wind\"\npressure = \"0.4 kN/m2\""
	for _, c := range []struct{ annex, words string }{
		{"", "Combination factors of EN 1990, recommended values: ψ0 = 0.70 on imposed loads of category C, ψ0 = 0.60 on wind."},
		{"UK", "Combination factors of EN 1990, values of the UK annex: ψ0 = 0.70 on imposed loads of category C, ψ0 = 0.50 on wind."},
		{"FR", "recommended values, for those of the FR annex are not known here and come first: ψ0"},
	} {
		s := lonePosts()
		s.load = outward + gale
		d := s.definition(t)
		d.Annex = c.annex
		r := result(t, d, Options{})
		if !says(r.Assumptions, c.words) {
			t.Errorf("annex %q: assumptions do not say %q: %q", c.annex, c.words, r.Assumptions)
		}
		for _, words := range []string{"factor ψ0 on imposed loads of category C: ", "factor ψ0 on wind: "} {
			if !says(r.Sources, words) {
				t.Errorf("annex %q: sources do not say %q: %q", c.annex, words, r.Sources)
			}
		}
		d.Combine.Rule = loads.Rule610ab
		row := result(t, d, Options{}).row(t, "post-bending", "post 2")
		if row.CombinationName != "EN 1990 6.10a" && row.CombinationName != "EN 1990 6.10b" {
			t.Errorf("by 6.10a and 6.10b: %s is called %q", row.Combination, row.CombinationName)
		}
	}
	s := lonePosts()
	if r := s.check(t); says(r.Assumptions, "Combination factors") || r.row(t, "post-bending", "post 2").CombinationName != "" {
		t.Error("loads that act alone have combination factors")
	}
}

// A load above the top rail by more than half a diameter levers the foot by its own height.
func TestLiftOfALoad(t *testing.T) {
	d := lonePosts().definition(t)
	c := &run{d: d}
	a := &analysis.Action{Rails: []analysis.Share{{Rail: 0, Share: 1}}}
	for z, want := range map[float64]float64{1.1: 0, 1.12: 0, 1.3: 0.2} {
		d.Loads[0].Own.Height = &z
		if got := c.liftOf(a); math.Abs(got-want) > 1e-12 {
			t.Errorf("a load at %v m above a rail at 1.1 m is lifted by %v, want %v", z, got, want)
		}
	}
}

// first returns a resistance without its error.
func first(t *Tube, _ error) resistance { return t }
