package analysis_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
)

// A rail cut at every post, weight and a load at the middle of a bay, both down: the
// moment there is gamma G w L²/8 + gamma Q P L/4, and the weight alone has its own factor.
// The same load up is relieved by the weight.
func TestFactorsOfEveryBasis(t *testing.T) {
	record := verification.New(t, verification.Mixes)
	const length, force = 1.5, 900.0
	for _, c := range []struct {
		basis            loads.Basis
		source           string
		permanent, load  float64
		relief           float64 // of the weight under a load up
		alone            float64
		together, single string
		state            string
	}{
		{loads.BasisEN, "EN 1990:2002 6.10 with gamma G 1.35, gamma Q 1.50, and 1.00 for a weight that relieves", 1.35, 1.5, 1, 1.35, "1.35 G + 1.50 Q", "1.35 G", "ULS"},
		{loads.BasisLRFD, "ASCE 7-16 2.3.1, combinations 1 and 2, and 0.9 for a weight that relieves (memory)", 1.2, 1.6, 0.9, 1.4, "1.20 D + 1.60 L", "1.40 D", loads.CombinationsOf(loads.BasisLRFD).ULS.LimitState},
		{loads.BasisASD, "ASCE 7-16 2.4.1, combinations 1 and 2, and 0.6 for a weight that relieves (memory)", 1, 1, 0.6, 1, "1.00 D + 1.00 L", "1.00 D", "ASD"},
	} {
		at := func(value, word string) (*analysis.Analysis, analysis.Placed) {
			p := oneRail(evenly(2, length), 1.1, math.Inf(1), own("point", value, "top", word))
			p.rails[0].cut = true
			p.change = func(d *barrier.Definition) { d.Basis = c.basis }
			a := ready(t, p.definition(t))
			return a, a.Worst(a.Rail(0).Probes[0], length/2, analysis.Strength, measure(moment))
		}
		a, down := at("0.9 kN", "down")
		_, up := at("0.9 kN", "up")
		_, alone := at("1e-9 N", "up")
		rail := a.Definition.Rails[0].Member
		weight := math.Pi * (rail.Ring.OD - rail.Ring.Wall) * rail.Ring.Wall * rail.Grade.Density * standardGravity * length * length / 8
		for _, r := range []row{
			{fmt.Sprintf("%s, weight and load, Nm", c.basis), c.source, down.Value, c.permanent*weight + c.load*force*length/4, 1e-9 * force},
			{fmt.Sprintf("%s, load up, Nm", c.basis), c.source, up.Value, c.load*force*length/4 - c.relief*weight, 1e-9 * force},
			{fmt.Sprintf("%s, weight alone, Nm", c.basis), c.source, alone.Value, c.alone * weight, 1e-8},
		} {
			r.outside(t, record, "factors of every basis in the frame")
		}
		if got := down.Combination.String(); got != c.together {
			t.Errorf("%s: %s, want %s", c.basis, got, c.together)
		}
		if got := alone.Combination.String(); got != c.single {
			t.Errorf("%s: %s, want %s", c.basis, got, c.single)
		}
		if got := down.Combination.LimitState(); got != c.state {
			t.Errorf("%s: limit state %s, want %s", c.basis, got, c.state)
		}
		if stiffness, equilibrium := a.Residual(); !(stiffness < 1e-8 && equilibrium < 1e-8) {
			t.Errorf("%s: residuals %g, %g", c.basis, stiffness, equilibrium)
		}
	}
}

// Which factor, symbol and clause an action has on a basis. A schedule's own factor holds
// on the basis of its family alone (the project's engineering rules 4: a load of another
// family is taken as a nominal imposed load).
func TestActionsOnEveryBasis(t *testing.T) {
	schedule := func(family loads.Family, symbol string, own float64) *loads.Schedule {
		a := loads.Action{
			Name: "top load", Kind: loads.Point, Value: 890, Direction: "outward or down", Target: loads.Top, Height: loads.HeightRule{Kind: loads.AtAxis},
			Symbol: symbol, Strength: loads.Factor{Value: own, Override: own != 0}, FirstYield: 1,
		}
		toe := a
		toe.Name, toe.Target, toe.Direction = "toe board load", "toe-board", "outward to down"
		infill := a
		infill.Name, infill.Target, infill.Direction = "infill load", loads.Intermediate, "outward to down"
		return &loads.Schedule{Name: string(family) + " schedule", Family: family, Actions: []loads.Action{a, infill, toe}}
	}
	for _, c := range []struct {
		basis  loads.Basis
		load   barrier.Load
		factor float64
		symbol string
		clause string
	}{
		{loads.BasisEN, barrier.Load{Schedule: schedule(loads.EN, "Fu", 1.75)}, 1.75, "Fu", " "},
		{loads.BasisEN, barrier.Load{Schedule: schedule(loads.EN, "Q", 0)}, 1.5, "Q", " "},
		{loads.BasisEN, barrier.Load{Schedule: schedule(loads.OSHA, "L", 0), Mixed: true}, 1.5, "Q", " "},
		{loads.BasisLRFD, barrier.Load{Schedule: schedule(loads.EN, "Fu", 1.75), Mixed: true}, 1.6, "L", " "},
		{loads.BasisLRFD, barrier.Load{Schedule: schedule(loads.OSHA, "L", 0)}, 1.6, "L", " "},
		{loads.BasisASD, barrier.Load{Schedule: schedule(loads.ASCE, "L", 0)}, 1, "L", " "},
		{loads.BasisEN, barrier.Load{Own: &barrier.OwnLoad{Kind: barrier.OwnPoint, Value: 1, Direction: barrier.Direction{Word: "down"}}}, 1.5, "Q", "own load, EN 1990 6.10"},
		{loads.BasisLRFD, barrier.Load{Own: &barrier.OwnLoad{Kind: barrier.OwnPoint, Value: 1, Direction: barrier.Direction{Word: "down"}}}, 1.6, "L", "own load, ASCE 7-16 2.3.1"},
		{loads.BasisASD, barrier.Load{Own: &barrier.OwnLoad{Kind: barrier.OwnPoint, Value: 1, Direction: barrier.Direction{Word: "down"}}}, 1, "L", "own load, ASCE 7-16 2.4.1"},
	} {
		d := &barrier.Definition{Basis: c.basis, Loads: []barrier.Load{c.load}, Rails: []barrier.Rail{{Name: "top", Height: 1.1}, {Name: "knee", Height: 0.6}}}
		d.Run.Posts = evenly(2, 1.5)
		actions, notes := analysis.Actions(d)
		name := string(c.basis) + ", own load"
		if s := c.load.Schedule; s != nil {
			name = string(c.basis) + ", " + s.Name
			if len(actions) != 2 {
				t.Fatalf("%s: %d actions, want that on top and that on the knee rail", name, len(actions))
			}
			if actions[1].Rails[0].Rail != 1 || !actions[1].Intermediate {
				t.Errorf("%s: the infill load stands on rail %d", name, actions[1].Rails[0].Rail+1)
			}
			said(t, notes, s.Name+": toe board load acts on the toe board, which is no part of the frame: it stands on no rail and no post")
			said(t, notes, s.Name+": infill load may point any way from outward to straight down: it is turned through the whole circle across the run, which is cautious")
		}
		for _, a := range actions {
			if got := a.Factor(analysis.Strength); math.Abs(got-c.factor) > 1e-12 || a.Symbol != c.symbol || a.Clause != c.clause {
				t.Errorf("%s: %g %s, %q, want %g %s, %q", name, got, a.Symbol, a.Clause, c.factor, c.symbol, c.clause)
			}
		}
	}
}

// A load at the top of a guard, whatever its height (IBC 1607.9.1 as the schedules of
// package loads read it), stands half a diameter above the axis: on the axis, it is
// raised by height over axis, so that it bends the post no less.
func TestLoadAtTheTopOfTheGuard(t *testing.T) {
	record := verification.New(t, verification.Placement)
	i := slices.IndexFunc(loads.Schedules(), func(s loads.Schedule) bool {
		return s.Family == loads.ASCE && s.Actions[0].Height.Kind == loads.AtBarrierTop && s.Actions[0].Height.AtMost == 0
	})
	if i < 0 {
		t.Fatal("no schedule has a load at the top of the guard")
	}
	p := oneRail(evenly(2, 1.5), 1.0668, math.Inf(1), own("point", "1 N", "top", "down"))
	s := loads.Schedules()[i]
	p.change = func(d *barrier.Definition) {
		d.Basis, d.Loads = loads.BasisLRFD, []barrier.Load{{Schedule: &s}}
	}
	d := p.definition(t)
	actions, _ := analysis.Actions(d)
	want := 1 + d.Rails[0].Ring.OD/2/1.0668
	(&row{s.Name + ", share on the axis", "(axis + OD/2) / axis", actions[0].Rails[0].Share, want, 1e-12}).outside(t, record, "load half a diameter above the axis")
}
