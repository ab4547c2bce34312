package analysis_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// jointsOf returns the probes of every joint of a barrier.
func jointsOf(a *analysis.Analysis) []*analysis.Probe {
	var out []*analysis.Probe
	for rail := range a.Frame.Rails {
		for post := range a.Frame.Posts {
			whole, ends := a.Grip(rail, post)
			out = append(append(out, whole), ends...)
		}
		for end := range 2 {
			if w := a.Wall(end, rail); w != nil {
				out = append(out, w)
			}
		}
		for i := range a.Frame.Rails[rail].Splices {
			out = append(out, a.Splice(rail, i))
		}
	}
	for i := range a.Frame.Braces {
		out = append(out, a.BraceHead(i), a.BraceFoot(i))
	}
	return out
}

// What a joint passes on, read from the ends of the members that meet it, is what its
// responses give; and under a ten-thousandth of the load second order is none.
func TestJointsReadFromMemberEnds(t *testing.T) {
	read := 0
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(61, seed))
		p := withEnds(r, randomPlan(r, mixed(r)...))
		if seed%2 == 0 {
			p = withBraces(p, barrier.Brace{Post: 1, Height: 0.3, Outward: -0.4, Along: 0.1, Level: -0.1})
		}
		ends := p.change
		p.change = func(d *barrier.Definition) {
			if ends != nil {
				ends(d)
			}
			d.Fitting.Offset, d.Fitting.Mass = 0.05, 1.5
			d.Fitting.Moment = barrier.Joint{Kind: barrier.StiffnessJoint, Stiffness: [3]float64{4e3, 6e3, 9e3}}
		}
		a := ready(t, p.definition(t))
		for _, q := range jointsOf(a) {
			for _, m := range []analysis.Measure{measure(wholeForce), measure(wholeCouple)} {
				found := a.Worst(q, 0, analysis.Strength, m)
				size := wholeForce(&found.State) + wholeCouple(&found.State) + 1
				got := a.ReadByEndings(&found)
				if d := apart(&got, &found.State); d > 1e-7*size {
					t.Errorf("seed %d: %+v read from the member ends, want %+v", seed, got, found.State)
				}
				bend, err := a.Bend(&found, 1e-4, analysis.Lean{})
				if err != nil {
					t.Fatal(err)
				}
				got = bend.State(&found)
				if d := apart(&got, &found.State); d > 1e-3*size {
					t.Errorf("seed %d: %+v under next to no load in second order, want %+v", seed, got, found.State)
				}
				read++
			}
		}
	}
	if read < 100 {
		t.Errorf("%d joints were read: the case is gone", read)
	}
}

func wholeForce(s *analysis.State) float64  { return math.Hypot(s.N, s.Shear()) }
func wholeCouple(s *analysis.State) float64 { return math.Hypot(s.T, s.Moment()) }

// apart is the largest difference of two states' forces.
func apart(a, b *analysis.State) float64 {
	d := a.Plus(-1, b)
	return math.Max(wholeForce(&d), wholeCouple(&d))
}
