package analysis

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/solver"
)

// The lengths over which a cubic is positive are those that solver.Adverse gives
// for one piece, to the billionth of a length that an end may be off.
func TestPositiveLengthsAgainstAdverse(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 0))
	w := sweep{one: solver.Piece{Coeffs: make([][4]float64, 1)}}
	mixed := 0
	for range 20000 {
		length := 0.1 + 3*r.Float64()
		var c [4]float64
		for k := range c {
			c[k] = (2*r.Float64() - 1) * math.Pow(length, -float64(k))
		}
		c[0] *= 0.3
		line := solver.Line{Pieces: []solver.Piece{{To: length, Coeffs: [][4]float64{c}}}}
		want, got := solver.Adverse([]solver.Line{line}, []float64{1}, 0), w.positive(&c, length)
		if len(want) != len(got) {
			t.Fatalf("%v over %g: %v, solver.Adverse says %v", c, length, got, want)
		}
		for i := range want {
			if math.Abs(want[i].From-got[i].From) > 2e-9*length || math.Abs(want[i].To-got[i].To) > 2e-9*length {
				t.Fatalf("%v over %g: %v, solver.Adverse says %v", c, length, got, want)
			}
		}
		sign := signOf(&c, length)
		all := len(want) == 1 && want[0] == solver.Length{To: length}
		if sign == 1 && !all || sign == -1 && len(want) > 0 {
			t.Fatalf("%v over %g: sign %d, positive over %v", c, length, sign, want)
		}
		if len(want) > 0 && !all {
			mixed++
		}
	}
	if mixed < 5000 {
		t.Errorf("only %d cubics change sign", mixed)
	}
}
