package check

import (
	"testing"

	"example.com/stanchion/barrier/analysis"
)

// A trail of aluminium can be followed, and what it ends on is the verdict, bit for bit, with
// the recorder or without.
func TestAluminiumTrails(t *testing.T) {
	states := map[string]analysis.State{
		"pushed": {N: -2000, Vy: 500, Vz: 300, T: 50, My: 300, Mz: 400},
		"hardly": {N: -230, Vy: 500, My: 300}, "pulled": {N: 3000, Vz: 400, Mz: 200},
		"sheared": {Vy: 33e3, T: 100, My: 100}, "compressed": {N: -1500}, "beyond": {N: -30e3, My: 1},
	}
	for name, r := range aluminiumTubes(t) {
		for check, judge := range judgesOf(r) {
			for state, s := range states {
				var trail Recorder
				u := judge(&s, &trail)
				if bare := judge(&s, nil); bare != u {
					t.Errorf("%s %s %s: %v with a recorder, %v without", name, check, state, u, bare)
				}
				if trail.Clause == "" || trail.Unit == "" {
					t.Errorf("%s %s %s: no verdict", name, check, state)
				}
				if err := checkNoted(&trail, &s); err != nil {
					t.Errorf("%s %s %s: %v", name, check, state, err)
				}
			}
		}
	}
}
