package analysis

import (
	"slices"
	"testing"
)

// Samples that lie about a tie apart need not tie with one another: whatever their order, as many peaks are polished as
// are asked for, each once, and the highest is among them.
func TestPeaksNearATieArePolishedOnceEach(t *testing.T) {
	for _, over := range [][]float64{
		{0.9, 1.5, 0.9, 0.9, 0.9, 0, 0}, {0.9, 0.9, 0.9, 1.5, 0.9, 0, 0}, {0, 0, 0, 0, 0, 0, 0, 0}, {3, 2, 1, 0, 1, 2, 3},
	} {
		peaks := make([]Placed, len(over))
		highest := 0
		for i, v := range over {
			peaks[i].Value = 1 + v*tie
			if v > over[highest] {
				highest = i
			}
		}
		k := peakSearch{element: &Element{}}
		got := k.highest(peaks, 0)
		if len(got) != mostPolished || len(slices.Compact(slices.Clone(got))) != mostPolished || !slices.IsSorted(got) {
			t.Errorf("of %v are polished %v", over, got)
		}
		if over[highest] > 2 && !slices.Contains(got, highest) {
			t.Errorf("of %v are polished %v without the highest", over, got)
		}
	}
}
