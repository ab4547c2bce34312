package analysis_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// still is a field of so many senses that does nothing.
func still(name, symbol string, senses int, of loads.Category) *analysis.Action {
	f := &analysis.Field{}
	for range senses {
		f.Senses = append(f.Senses, analysis.Sense{Words: called(name), On: func(*analysis.Replayer) solver.Case { return solver.Case{} }})
	}
	return &analysis.Action{Name: name, Symbol: symbol, Field: f, Category: of, Strength: 1.5, Yield: 1}
}

// together returns the analysis of a plan with fields behind its loads, joined as given by
// index.
func together(t *testing.T, p *plan, fields []*analysis.Action, with ...[2]int) *analysis.Analysis {
	t.Helper()
	d := p.definition(t)
	actions, _ := analysis.Actions(d)
	for _, f := range fields {
		f.Load = len(d.Loads)
		d.Loads = append(d.Loads, barrier.Load{Name: f.Name})
		actions = append(actions, f)
	}
	for _, w := range with {
		d.Loads[w[0]].With = append(d.Loads[w[0]].With, w[1])
		d.Loads[w[1]].With = append(d.Loads[w[1]].With, w[0])
	}
	a, err := analysis.New(d, layout(d), actions)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// sets returns the sets that act at a level, each once.
func sets(a *analysis.Analysis, l analysis.Level) (out []string) {
	for _, words := range a.Acting(l) {
		set, _, _ := strings.Cut(words, ":")
		if !slices.Contains(out, set) {
			out = append(out, set)
		}
	}
	slices.Sort(out)
	return out
}

func named3(rails ...string) []string {
	var out []string
	for i, word := range rails {
		out = append(out, fmt.Sprintf("name = %q\n%s", string("pqr"[i]), own([]string{"point", "line", "point"}[i], []string{"1 kN", "1 kN/m", "1 kN"}[i], "top", word)))
	}
	return out
}

// Every action acts alone and every set of actions joined two by two acts together, one
// action of each load and at most two of them placed.
func TestWhatActsTogether(t *testing.T) {
	wind, warmth := still("wind", "W", 2, loads.WindAction), still("heat", "T", 2, loads.Temperature)
	for _, x := range []struct {
		name string
		with [][2]int
		want []string
	}{
		{"nothing joined", nil, []string{"heat", "p", "q", "r", "wind"}},
		{"a chain", [][2]int{{0, 3}, {3, 4}}, []string{"heat", "p", "p + wind", "q", "r", "wind", "wind + heat"}},
		{"a triangle", [][2]int{{0, 3}, {3, 4}, {0, 4}}, []string{"heat", "p", "p + heat", "p + wind", "p + wind + heat", "q", "r", "wind", "wind + heat"}},
		{"three placed", [][2]int{{0, 1}, {1, 2}, {0, 2}}, []string{"heat", "p", "p + q", "p + r", "q", "q + r", "r", "wind"}},
	} {
		p := oneRail(evenly(3, 1), 1.1, 1e5, named3("outward", "down", "outward")...)
		a := together(t, &p, []*analysis.Action{wind, warmth}, x.with...)
		for _, l := range []analysis.Level{analysis.Strength, analysis.Characteristic, analysis.Service, analysis.FirstYield, analysis.Equilibrium} {
			if got := sets(a, l); !slices.Equal(got, x.want) {
				t.Errorf("%s, level %d: %q, want %q", x.name, l, got, x.want)
			}
		}
	}
}

// The combinations of a set are those that package loads mixes, in each sense of each field,
// with the permanent actions either way for strength and for equilibrium.
func TestCombinationsAreThoseOfTheBasis(t *testing.T) {
	p := oneRail(evenly(3, 1), 1.1, 1e5, named3("outward")...)
	a := together(t, &p, []*analysis.Action{still("wind", "W", 2, loads.WindAction)}, [2]int{0, 1})
	basis := loads.CombinationsOf(loads.BasisEN)
	vars := []loads.Variable{{Category: loads.Imposed, Own: &loads.Factor{Value: 1.5}}, {Category: loads.WindAction, Own: &loads.Factor{Value: 1.5}}}
	for level, situation := range map[analysis.Level]loads.Situation{
		analysis.Strength: loads.Strength, analysis.Equilibrium: loads.Equilibrium, analysis.Service: loads.Service, analysis.Characteristic: loads.Service,
	} {
		var want []string
		for _, mix := range basis.Mixes(situation, vars) {
			permanent := []float64{mix.PermanentUnfavourable}
			if situation != loads.Service && mix.PermanentFavourable != mix.PermanentUnfavourable {
				permanent = append(permanent, mix.PermanentFavourable)
			}
			state := mix.LimitState
			if level == analysis.Equilibrium {
				slices.Reverse(permanent) // of two that tie the less weight stands
				state = "EQU"
				if mix.LimitState != "EQU" {
					state = mix.LimitState
				}
			}
			for range 2 { // senses
				for _, g := range permanent {
					words := fmt.Sprintf("p + wind: %.2f G + %.2f Q + %.2f W %s", g, mix.Factors[0], mix.Factors[1], state)
					if level == analysis.Service {
						words = fmt.Sprintf("p + wind: %.2f Q + %.2f W %s", mix.Factors[0], mix.Factors[1], state)
					}
					want = append(want, words)
				}
			}
		}
		var got []string
		for _, words := range a.Acting(level) {
			if strings.HasPrefix(words, "p + wind:") {
				got = append(got, words)
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("level %d:\n%q\nwant\n%q", level, got, want)
		}
	}
}

// Actions of one schedule act together where one names the other, and never where one may
// act with no other.
func TestScheduleJoinsItsActions(t *testing.T) {
	s := &loads.Schedule{Name: "S", Actions: []loads.Action{{Name: "one", With: []string{"two"}}, {Name: "two"}, {Name: "three", Alone: true}}}
	p := oneRail(evenly(3, 1), 1.1, 1e5, named3("outward")...)
	var fields []*analysis.Action
	for _, row := range s.Actions {
		f := still("S "+row.Name, "W", 1, loads.WindAction)
		f.Schedule = s
		fields = append(fields, f)
	}
	d := p.definition(t)
	actions, _ := analysis.Actions(d)
	for _, f := range fields {
		f.Load = 1
	}
	d.Loads = append(d.Loads, barrier.Load{Name: "S", With: []int{0}})
	d.Loads[0].With = []int{1}
	a, err := analysis.New(d, layout(d), append(actions, fields...))
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"S one", "S one + S two", "S three", "S two", "p", "p + S one", "p + S one + S two", "p + S two"}
	if got := sets(a, analysis.Strength); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	// A combination of the user's own that stands alone holds them together too, and what it
	// names it has act together.
	d.Combine = barrier.Combining{Only: true, Own: []barrier.OwnCombination{{Name: "site", Situation: loads.Strength, Permanent: [2]float64{1.35, 1}, Factors: map[int]float64{0: 1.5, 1: 1.2}}}}
	if a, err = analysis.New(d, layout(d), append(actions, fields...)); err != nil {
		t.Fatal(err)
	}
	want = []string{"S one", "S one + S two", "S three", "S two", "p", "p + S one", "p + S one + S two", "p + S three", "p + S two"}
	if got := sets(a, analysis.Strength); !slices.Equal(got, want) {
		t.Errorf("own combination: %q, want %q", got, want)
	}
}

// Variable actions that share a symbol are numbered in the order in which they are told.
func TestSharedSymbols(t *testing.T) {
	q, w := &analysis.Action{Symbol: "Q"}, &analysis.Action{Symbol: "W"}
	c := analysis.Combination{Level: analysis.Strength, Permanent: 1.35, PermanentSymbol: "G", Variable: 1.5, Symbol: "Q",
		Beside: &analysis.Beside{Terms: []analysis.Term{{Action: w, Factor: 0.9}, {Action: q, Factor: 1.05}}}}
	if got, want := c.String(), "1.35 G + 1.50 Q1 + 0.90 W + 1.05 Q2"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	c.Level, c.Symbol = analysis.Service, "Fu"
	if got, want := c.String(), "1.50 Fu + 0.90 W + 1.05 Q"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// An accidental action is combined as such, and a query may ask for the sets with it or for
// those without.
func TestAccidentalSets(t *testing.T) {
	p := oneRail(evenly(3, 1), 1.1, 1e5, named3("outward", "outward")...)
	d := p.definition(t)
	actions, _ := analysis.Actions(d)
	actions[0].Accidental = true
	a, err := analysis.New(d, layout(d), actions)
	if err != nil {
		t.Fatal(err)
	}
	isAccidental := func(x *analysis.Action) bool { return x.Accidental }
	moment := []analysis.Measure{measure(moment)}
	probe := a.Post(1).Probes[0]
	found := a.WorstAt(probe, []float64{0},
		analysis.Query{Level: analysis.Strength, Measures: moment, Sets: func(s []*analysis.Action) bool { return slices.ContainsFunc(s, isAccidental) }},
		analysis.Query{Level: analysis.Strength, Measures: moment, Sets: func(s []*analysis.Action) bool { return !slices.ContainsFunc(s, isAccidental) }})
	if got := found[0][0].Placement.Action; got != actions[0] {
		t.Errorf("among accidental sets: %v", got)
	}
	if got := found[1][0].Placement.Action; got != actions[1] {
		t.Errorf("among the others: %v", got)
	}
	mix := loads.CombinationsOf(loads.BasisEN).Mixes(loads.Accidental, []loads.Variable{{Category: loads.Imposed, Accidental: true}})[0]
	if c := found[0][0].Combination; c.Variable != mix.Factors[0] || c.LimitState() != mix.LimitState {
		t.Errorf("%s (%s), want factor %g (%s)", c, c.LimitState(), mix.Factors[0], mix.LimitState)
	}
}

// A grip passes on what stands on the rail and on its own nodes: what the post's section
// forces lose at that level, from ordinary load cases.
func TestGripsUnderAField(t *testing.T) {
	for _, offset := range []float64{0, 0.06} {
		p := oneRail([]float64{0, 0.9, 2.1}, 1.1, 1e5, named3("outward")...)
		p.top = 1.2
		p.rails = append(p.rails, railPlan{name: "knee", height: 0.5})
		p.change = func(d *barrier.Definition) { d.Fitting.Offset, d.Fitting.Mass = offset, 0.7 }
		wind := breeze(solver.Vec{}, nil)
		wind.Field.Senses = wind.Field.Senses[:1]
		wind.Field.Senses[0].On = func(r *analysis.Replayer) (c solver.Case) {
			for i := range r.Frame.Rails {
				for _, m := range r.Frame.Rails[i].Members {
					length := r.Frame.Length(m.ID)
					c.Lines = append(c.Lines, solver.LineLoad{Member: m.ID, To: length, Start: solver.Vec{10, 90, -20}, End: solver.Vec{10, 90, -20}})
					for _, at := range []float64{0, 0.3 * length, length} {
						c.Points = append(c.Points, solver.PointLoad{Member: m.ID, At: at, Force: solver.Vec{5, 7, -9}, Moment: solver.Vec{1, 2, 3}})
					}
				}
				for _, g := range r.Frame.Rails[i].Grips {
					c.Nodes = append(c.Nodes, solver.NodeLoad{Node: g.After, Force: solver.Vec{11, 13, -17}, Moment: solver.Vec{0, 0, 2}})
				}
			}
			return c
		}
		a := joined(t, &p, []*analysis.Action{wind}, 1.5, 0.9)
		ref := newReference(t, a.Definition)
		alone := func(s []*analysis.Action) bool { return len(s) == 1 && s[0] == wind }
		for rail, rf := range a.Frame.Rails {
			for post := range a.Frame.Posts {
				whole, _ := a.Grip(rail, post)
				found := a.WorstAt(whole, []float64{0}, analysis.Query{Level: analysis.Service, Measures: []analysis.Measure{measure(shear)}, Sets: alone})[0][0]
				s := ref.m.Solve(ref.caseOf(a, &found))
				pf, level := &ref.f.Posts[post], rf.Grips[post].Level
				below, above := s.Diagram(pf.Members[level-1]), s.Diagram(pf.Members[level])
				end := below.Breaks[len(below.Breaks)-1]
				loses := func(c solver.Component) float64 { return below.At(c, end) - above.At(c, 0) }
				want := [6]float64{loses(solver.ShearZ), -loses(solver.ShearY), -loses(solver.Axial), loses(solver.MomentZ), -loses(solver.MomentY), -loses(solver.Torsion)}
				st := found.State
				for k, got := range [6]float64{st.N, st.Vy, st.Vz, st.T, st.My, st.Mz} {
					if math.Abs(got-want[k]) > 1e-8*(shear(&st)+math.Abs(st.N)) {
						t.Errorf("offset %g, rail %d, post %d: component %d is %.9g, the post loses %.9g", offset, rail, post, k, got, want[k])
					}
				}
				if off, _, _ := a.Verify(&found); !(off < 1e-9) {
					t.Errorf("offset %g, rail %d, post %d: off by %.1e", offset, rail, post, off)
				}
			}
		}
	}
}

// A load in second order, with all that stands beside it, tends to that of first order as its
// scale vanishes; and a field's vertical loads lean like any other.
func TestBendWithBeside(t *testing.T) {
	p := small(pairings[3].loads)
	a := joined(t, &p, []*analysis.Action{breeze(solver.Vec{0, 80, -30}, nil)}, 1.5, 0.9, 0.6)
	e := a.Rail(0)
	found := worst(a, e, []named{{"interaction", analysis.Strength, interaction}})[0]
	if len(found.Beside) != 2 {
		t.Fatalf("%s", found.Combination)
	}
	bend, err := a.Bend(&found, 1e-6, analysis.Lean{})
	if err != nil {
		t.Fatal(err)
	}
	st := bend.State(&found)
	if got := interaction(&st); math.Abs(got-found.Value) > 1e-5*found.Value {
		t.Errorf("scaled to nothing %.9g, first order %.9g", got, found.Value)
	}
	leaned, err := a.Bend(&found, 1e-6, analysis.Lean{Along: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	// Statics: along the run the feet carry 0.01 of all that is vertical, weight in it.
	c := a.Case(&found)
	vertical := 0.0
	for _, l := range c.Points {
		vertical += math.Abs(l.Force[2])
	}
	for _, l := range c.Lines {
		vertical += math.Abs(l.Start[2]) * (l.To - l.From)
	}
	vertical += found.Combination.Permanent * weightOf(a.Definition)
	along := 0.0
	for i := range a.Frame.Posts {
		at := found
		at.Probe, at.Station, at.After = a.Post(i).Probes[0], 0, false
		st, straight := leaned.State(&at), bend.State(&at)
		along -= st.Vz - straight.Vz // local z is against the run
	}
	if math.Abs(math.Abs(along)-0.01*vertical) > 1e-4*0.01*vertical {
		t.Errorf("feet carry %.6g N along, want %.6g", along, 0.01*vertical)
	}
}

// called are the words of a sense that has no units.
func called(name string) func(quantity.System) string {
	return func(quantity.System) string { return name }
}
