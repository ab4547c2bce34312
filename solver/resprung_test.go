package solver

import (
	"math"
	"slices"
	"testing"
)

// A post on a foot spring: F h³/3EI + F h²/k at its top (statics), whether the
// spring is there from the start or put in later.
func TestResprung(t *testing.T) {
	const ei, h, force = 24.3e3, 1.1, 1500.0
	post := func(k float64) *Frame {
		f := &Frame{}
		foot, top := f.Node("foot", Vec{}), f.Node("top", Vec{0, 0, h})
		f.Restrain(foot, UX, UY, UZ, RZ)
		f.Spring(foot, RX, k)
		f.Spring(foot, RY, k)
		f.Member(Member{Start: foot, End: top, EA: 9e7, EIy: ei, EIz: ei, GJ: 18e3, Reference: Vec{0, 1, 0}})
		return f
	}
	first, err := post(60e3).Factorise()
	if err != nil {
		t.Fatal(err)
	}
	for i, k := range []float64{60e3, 150e3, 1e3, 60e3, 150e3, 1e3} {
		if i >= 3 {
			first.Rest()
		}
		s, err := first.Resprung(k / 60e3)
		if err != nil {
			t.Fatal(err)
		}
		got := s.Solve(Case{Nodes: []NodeLoad{{Node: 1, Force: Vec{0, force, 0}}}})
		want := force*h*h*h/(3*ei) + force*h*h/k
		if d := got.Displacement(1, UY); math.Abs(d-want) > 1e-12*want {
			t.Errorf("k = %g: top moves %v m, want %v (statics)", k, d, want)
		}
		if got.Imbalance > 1e-12 {
			t.Errorf("k = %g: imbalance %g: the reactions are not those of the new spring", k, got.Imbalance)
		}
	}
	if _, err := first.Resprung(-0.5); err == nil || err.Error() != "frame: a spring is negative" {
		t.Errorf("a spring turned round: error %v", err)
	}
	// The frame it came from is as it was.
	before := first.Solve(Case{Nodes: []NodeLoad{{Node: 1, Force: Vec{0, force, 0}}}}).Displacement(1, UY)
	if want := force*h*h*h/(3*ei) + force*h*h/60e3; math.Abs(before-want) > 1e-12*want {
		t.Errorf("the first frame moves %v m, want %v", before, want)
	}
}

// A frame resprung in the memory of another answers as one resprung by itself, to the last digit,
// and the frame that it comes from as before. So it does once that memory was of a frame that nothing holds.
func TestResprungInTheMemoryOfAnother(t *testing.T) {
	f := &Frame{}
	foot, top := f.Node("foot", Vec{}), f.Node("top", Vec{0, 0, 1.1})
	f.Restrain(foot, UX, UY, UZ, RZ)
	f.Spring(foot, RX, 60e3)
	f.Spring(foot, RY, 60e3)
	f.Member(Member{Start: foot, End: top, EA: 9e7, EIy: 24.3e3, EIz: 24.3e3, GJ: 18e3, Reference: Vec{0, 1, 0}})
	first, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	load := Case{Nodes: []NodeLoad{{Node: top, Force: Vec{0, 1500, 0}}}}
	moves := func(s *Factored) float64 { return s.Solve(load).Displacement(top, UY) }
	before := moves(first)
	var again *Factored
	for _, factor := range []float64{2.5, 1, 0.1} {
		if again != nil {
			if _, err := first.ResprungIn(again, 0); err == nil {
				t.Error("a post on no spring: no error")
			}
		}
		alone, err := first.Resprung(factor)
		if err != nil {
			t.Fatal(err)
		}
		if again, err = first.ResprungIn(again, factor); err != nil {
			t.Fatal(err)
		}
		if got, want := moves(again), moves(alone); got != want {
			t.Errorf("factor %g: the top moves %v m, want %v", factor, got, want)
		}
	}
	if got := moves(first); got != before {
		t.Errorf("the first frame moves %v m, want %v", got, before)
	}
}

// A spring on a node that a joint carries on an arm acts on what holds the other node too: a frame resprung answers as one
// built on such springs, and the frame that it comes from as before.
func TestResprungThroughAJoint(t *testing.T) {
	post := func(k float64) *Factored {
		f := &Frame{}
		foot, top, toe := f.Node("foot", Vec{}), f.Node("top", Vec{0, 0, 1.1}), f.Node("toe", Vec{0.2, 0, 0})
		f.Restrain(foot, UX, UY, UZ, RX, RZ)
		f.Join(Joint{First: foot, Second: toe, Axes: global, Ties: rigidGrip})
		f.Spring(toe, UZ, k)
		f.Member(Member{Start: foot, End: top, EA: 9e7, EIy: 24.3e3, EIz: 24.3e3, GJ: 18e3, Reference: Vec{0, 1, 0}})
		s, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	first, built := post(600e3), post(1500e3)
	load := Case{Nodes: []NodeLoad{{Node: 1, Force: Vec{700, 400, -900}}}}
	before := first.Solve(load)
	resprung, err := first.Resprung(2.5)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := resprung.Solve(load), built.Solve(load); !slices.EqualFunc(got.Reactions, want.Reactions, func(a, b Reaction) bool { return math.Abs(a.Value-b.Value) < 1e-8 }) {
		t.Errorf("reactions %v, want %v", got.Reactions, want.Reactions)
	}
	if after := first.Solve(load); !slices.Equal(after.Reactions, before.Reactions) {
		t.Errorf("reactions of the first frame %v, before %v", after.Reactions, before.Reactions)
	}
}
