package analysis_test

import (
	"math"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// The words for a load and where it stands, as reports and scripts read them.
func TestPlacementInWords(t *testing.T) {
	action := func(load string, rails ...railPlan) *analysis.Action {
		p := plan{posts: evenly(4, 1.5), foot: 150e3, rails: []railPlan{{name: "top", height: 1.1}, {name: "knee", height: 0.6}}, loads: []string{load}}
		p.rails = append(p.rails, rails...)
		actions, _ := analysis.Actions(p.definition(t))
		return actions[0]
	}
	fu := action("schedule = \"EN ISO 14122-3\"")
	across := action(own("point", "0.9 kN", "knee", "across"))
	alongs := action(own("point", "0.9 kN", "top", "along"))
	level := action(own("point", "0.9 kN", "top", "horizontal"))
	free := action(own("point", "0.9 kN", "top", "any"))
	bearings := action(own("point", "0.9 kN", "top", `{ azimuth = "-45 deg", elevation = "30 deg" }`))
	line := action(own("line", "0.36 kN/m", "top", "down"))
	lever := action("kind = \"line\"\nvalue = \"0.36 kN/m\"\ndirection = \"outward\"\nheight = \"0.85 m\"")
	either, slanted := worded("outward or down"), worded("outward to down")
	h := math.Sqrt(0.5)
	for _, c := range []struct {
		p    analysis.Placement
		want string
	}{
		{analysis.Placement{}, "permanent actions alone"},
		{analysis.Placement{Action: fu, X: 9, Value: 450, Way: [3]float64{1}}, "point 0.450 kN outward on top rail at x = 9.000 m"},
		{analysis.Placement{Action: across, X: 1.23456, Value: 900, Way: [3]float64{1}}, "point 0.900 kN outward on knee rail at x = 1.235 m"},
		{analysis.Placement{Action: across, X: 0, Value: 900, Way: [3]float64{-1}}, "point 0.900 kN inward on knee rail at x = 0.000 m"},
		{analysis.Placement{Action: alongs, X: -1e-12, Value: 900, Way: [3]float64{1}}, "point 0.900 kN along, towards the end, on top rail at x = 0.000 m"},
		{analysis.Placement{Action: alongs, X: 1, Value: 900, Way: [3]float64{-1}}, "point 0.900 kN along, towards the start, on top rail at x = 1.000 m"},
		{analysis.Placement{Action: level, X: 1, Value: 900, Way: [3]float64{h, -h}}, "point 0.900 kN at azimuth 315.0 deg on top rail at x = 1.000 m"},
		{analysis.Placement{Action: level, X: 1, Value: 900, Way: [3]float64{1, -1e-9}}, "point 0.900 kN along, towards the end, on top rail at x = 1.000 m"},
		{analysis.Placement{Action: free, X: 1, Value: 900, Way: [3]float64{0, h, -h}}, "point 0.900 kN outward, 45.0 deg down, on top rail at x = 1.000 m"},
		{analysis.Placement{Action: free, X: 1, Value: 900, Way: [3]float64{1e-12, 0, 1}}, "point 0.900 kN up on top rail at x = 1.000 m"},
		{analysis.Placement{Action: bearings, X: 1, Value: 900, Way: [3]float64{1}}, "point 0.900 kN at azimuth -45.0 deg, elevation 30.0 deg on top rail at x = 1.000 m"},
		{analysis.Placement{Action: either, X: 1, Value: 890, Way: [3]float64{1}}, "point 0.890 kN outward on top rail at x = 1.000 m"},
		{analysis.Placement{Action: either, X: 1, Value: 890, Way: [3]float64{0, -1}}, "point 0.890 kN down on top rail at x = 1.000 m"},
		{analysis.Placement{Action: slanted, X: 1, Value: 890, Way: [3]float64{h, -h}}, "point 0.890 kN outward, 45.0 deg down, on top rail at x = 1.000 m"},
		{analysis.Placement{Action: slanted, X: 1, Value: 890, Way: [3]float64{-h, h}}, "point 0.890 kN inward, 45.0 deg up, on top rail at x = 1.000 m"},
		{analysis.Placement{Action: slanted, X: 1, Value: 890, Way: [3]float64{1, -1e-9}}, "point 0.890 kN outward on top rail at x = 1.000 m"},
		{analysis.Placement{Action: slanted, X: 1, Value: 890, Way: [3]float64{-1e-9, -1}}, "point 0.890 kN down on top rail at x = 1.000 m"},
		{analysis.Placement{Action: line, Value: 360, Way: [3]float64{-1}, Whole: true, Lengths: []solver.Length{{From: 0, To: 4.5}}}, "line 0.360 kN/m down on top rail over the whole run"},
		{analysis.Placement{Action: line, Value: 360, Way: [3]float64{-1}, Lengths: []solver.Length{{From: 0, To: 1.5}, {From: 3, To: 4.5}}}, "line 0.360 kN/m down on top rail over x = 0.000 to 1.500 m, 3.000 to 4.500 m"},
		{analysis.Placement{Action: lever, Value: 360, Way: [3]float64{1}, Whole: true}, "line 0.360 kN/m outward between top rail and knee rail over the whole run"},
	} {
		if got := c.p.In(quantity.Metric); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// worded is a point load on the top rail in a direction that only schedules know.
func worded(word string) *analysis.Action {
	d := &barrier.Definition{Basis: loads.BasisEN, Rails: []barrier.Rail{{Name: "top", Height: 1.1}}}
	d.Run.Posts = evenly(2, 1.5)
	d.Loads = []barrier.Load{{Own: &barrier.OwnLoad{Kind: barrier.OwnPoint, Value: 890, Direction: barrier.Direction{Word: word}}}}
	actions, _ := analysis.Actions(d)
	return actions[0]
}

// The same in US units: pounds, feet and inches. 1 lbf is 4.4482216 N, 1 ft is 0.3048 m
// (NIST SP 811).
func TestPlacementInUSUnits(t *testing.T) {
	const lbf, ft = 4.4482216152605, 0.3048
	act := worded("outward or down")
	line := *act
	line.Point = false
	for _, c := range []struct {
		p    analysis.Placement
		want string
	}{
		{analysis.Placement{Action: act, X: 9.5 * ft, Value: 200 * lbf, Way: [3]float64{0, -1}}, "point 200.0 lbf down on top rail at x = 9'6.00\""},
		{analysis.Placement{Action: act, X: -0.5 * ft, Value: 200 * lbf, Way: [3]float64{1}}, "point 200.0 lbf outward on top rail at x = -0'6.00\""},
		{analysis.Placement{Action: &line, Value: 50 * lbf / ft, Way: [3]float64{1}, Whole: true}, "line 50.0 lbf/ft outward on top rail over the whole run"},
		{analysis.Placement{Action: &line, Value: 50 * lbf / ft, Way: [3]float64{1}, Lengths: []solver.Length{{From: 0, To: 5 * ft}, {From: 10 * ft, To: 12.25 * ft}}},
			"line 50.0 lbf/ft outward on top rail over x = 0'0.00\" to 5'0.00\", 10'0.00\" to 12'3.00\""},
	} {
		if got := c.p.In(quantity.US); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

func TestCombinationInWords(t *testing.T) {
	for _, c := range []struct {
		c           analysis.Combination
		want, state string
	}{
		{analysis.Combination{Basis: loads.BasisEN, PermanentSymbol: "G", Level: analysis.Strength, Permanent: 1.35, Variable: 1.75, Symbol: "Fu"}, "1.35 G + 1.75 Fu", "ULS"},
		{analysis.Combination{Basis: loads.BasisEN, PermanentSymbol: "G", Level: analysis.Strength, Permanent: 1, Variable: 1.5, Symbol: "Q"}, "1.00 G + 1.50 Q", "ULS"},
		{analysis.Combination{Basis: loads.BasisEN, PermanentSymbol: "G", Level: analysis.Strength, Permanent: 1.35}, "1.35 G", "ULS"},
		{analysis.Combination{Basis: loads.BasisEN, PermanentSymbol: "G", Level: analysis.Characteristic, Permanent: 1, Variable: 1, Symbol: "Q"}, "1.00 G + 1.00 Q", "SLS"},
		{analysis.Combination{Basis: loads.BasisEN, PermanentSymbol: "G", Level: analysis.FirstYield, Permanent: 1, Variable: 1.75, Symbol: "Fu"}, "1.00 G + 1.75 Fu", "SLS"},
		{analysis.Combination{Basis: loads.BasisEN, PermanentSymbol: "G", Level: analysis.Service, Variable: 1, Symbol: "Q"}, "1.00 Q", "SLS"},
		{analysis.Combination{Basis: loads.BasisLRFD, PermanentSymbol: "D", Level: analysis.Strength, Permanent: 1.2, Variable: 1.6, Symbol: "L"}, "1.20 D + 1.60 L", loads.CombinationsOf(loads.BasisLRFD).ULS.LimitState},
		{analysis.Combination{Basis: loads.BasisLRFD, PermanentSymbol: "D", Level: analysis.Strength, Permanent: 1.4}, "1.40 D", loads.CombinationsOf(loads.BasisLRFD).ULS.LimitState},
		{analysis.Combination{Basis: loads.BasisASD, PermanentSymbol: "D", Level: analysis.Strength, Permanent: 1, Variable: 1, Symbol: "L"}, "1.00 D + 1.00 L", "ASD"},
	} {
		if got := c.c.String(); got != c.want {
			t.Errorf("got %s, want %s", got, c.want)
		}
		if got := c.c.LimitState(); got != c.state {
			t.Errorf("%s: %s, want %s", c.want, got, c.state)
		}
	}
}

// Of equal values the first in document order stands (the project's design,
// conventions): on a run that is its own mirror image the first post, the first
// bay, the load nearest the start.
func TestTiesGoToTheFirst(t *testing.T) {
	p := oneRail(evenly(7, 1.5), 1.1, 150e3, own("point", "0.45 kN", "top", "across"))
	d := p.definition(t)
	a := ready(t, d)
	first, best := -1, 0.0
	for i := range d.Run.Posts {
		found := foot(a, i, moment)
		if v := found.Value; v > best*(1+1e-9) {
			first, best = i, v
		}
		if found.Placement.Way[0] != 1 {
			t.Errorf("post %d: inward stands, want outward, the first of the two", i+1)
		}
	}
	if first != 0 {
		t.Errorf("post %d has the largest base moment, want the first of the two end posts", first+1)
	}
	for _, m := range []named{{"moment", analysis.Service, moment}, {"across", analysis.Service, across}, {"span", analysis.Service, span}, {"shear", analysis.Service, shear}} {
		found := worst(a, a.Rail(0), []named{m})[0]
		if found.Probe.Bay > 2 { // six bays
			t.Errorf("rail %s: bay %d (%s), want its mirror image in the first half", m.name, found.Probe.Bay+1, &found.Placement)
		}
	}
	if found := foot(a, 3, moment); found.Placement.X > 4.5+1e-9 {
		t.Errorf("middle post: %s, want the first of two mirrored places", &found.Placement)
	}
	// Two actions that are the same: the first stands.
	p.loads = append(p.loads, p.loads[0])
	b := ready(t, p.definition(t))
	for i, e := range []*analysis.Element{b.Post(0), b.Rail(0)} {
		if found := worst(b, e, []named{{"moment", analysis.Strength, moment}})[0]; found.Placement.Action != b.Actions[0] {
			t.Errorf("element %d: the second of two equal actions stands", i)
		}
	}
}
