package analysis

import (
	"os"
	"path/filepath"
	"testing"

	"example.com/stanchion/barrier"
)

// eachExample analyses each of the whole barriers.
func eachExample(t *testing.T, look func(file string, a *Analysis)) {
	t.Helper()
	files, err := filepath.Glob("../../testdata/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		d, err := barrier.Parse(file, data)
		if err != nil {
			continue
		}
		l := barrier.Layout{FootStiffness: 50e3, Splices: "as given", Joint: d.Fitting.Moment}
		for i := range d.Rails {
			l.Rails = append(l.Rails, barrier.Joints{Splices: d.Rails[i].Splices, Cut: !d.Rails[i].Through})
		}
		actions, _ := Actions(d)
		a, err := New(d, l, actions)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		look(file, a)
	}
}

// A load is tried at every stretch that loads a member itself, and on a rail at every one that lies along any of it.
func TestNoStretchBesideAMemberIsLeftOut(t *testing.T) {
	tried := 0
	eachExample(t, func(file string, a *Analysis) {
		var probes []*Probe
		for i := range a.Frame.Posts {
			probes = append(probes, a.Post(i).Probes...)
		}
		for i := range a.Frame.Rails {
			probes = append(probes, a.Rail(i).Probes...)
		}
		for i, act := range a.Actions {
			if act.Field != nil {
				continue
			}
			chain := a.chains[i]
			for _, p := range probes {
				own := a.own[chain][p.member]
				alongside := !p.upright && !act.Posts
				first, end := p.stretchesBeside(chain, own, alongside)
				for st := range chain.Stretches() {
					from, to := chain.Ends(st)
					beside := alongside && to > p.From && from < p.From+p.Length || ownOf(own, st) != nil
					if beside && (st < first || st >= end) {
						t.Errorf("%s: %s, post %d, rail %d from %g m: stretch %d from %g to %g m is left out", file, act.Name, p.Post, p.Rail, p.From, st, from, to)
					}
					tried++
				}
			}
		}
	})
	if tried == 0 {
		t.Error("nothing was looked at")
	}
}

// The stretch at a place is the first that holds it, by walking them all; in a gap and beyond the ends none does.
func TestStretchAtAPlace(t *testing.T) {
	held, none := 0, 0
	eachExample(t, func(file string, a *Analysis) {
		for i, act := range a.Actions {
			if act.Field != nil {
				continue
			}
			chain := a.chains[i]
			places := []float64{-1, 1e6}
			for st := range chain.Stretches() {
				from, to := chain.Ends(st)
				places = append(places, from-1e-3, from-sameSpot/2, from, (from+to)/2, to, to+sameSpot/2, to+1e-3)
			}
			for _, x := range places {
				want := -1
				for st := range chain.Stretches() {
					if from, to := chain.Ends(st); from-sameSpot <= x && x <= to+sameSpot {
						want = st
						break
					}
				}
				got, ok := stretchAt(chain, x)
				if ok != (want >= 0) || ok && got != want {
					t.Errorf("%s: %s at %g m: stretch %d, %v, want %d", file, act.Name, x, got, ok, want)
				}
				if ok {
					held++
				} else {
					none++
				}
			}
		}
	})
	if held == 0 || none == 0 {
		t.Errorf("%d places on a stretch and %d on none", held, none)
	}
}

// Places are taken each once, none before one that is nearer on its side.
func TestPlacesOutwards(t *testing.T) {
	const first, end = 3, 9
	for from := first; from < end; from++ {
		low, high := from, from-1
		for i := range end - first {
			switch at := outwards(from, i, first, end); {
			case at == high+1 && at < end:
				high = at
			case at == low-1 && at >= first:
				low = at
			default:
				t.Errorf("from %d: place %d is %d", from, i, at)
			}
		}
	}
}
