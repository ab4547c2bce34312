package report

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
)

// A fold shows the rows that a stable sort would put first.
func TestFoldIsTheHeadOfASort(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	type row struct {
		place   int
		measure float64
	}
	for range 200 {
		rows := make([]row, random.IntN(4*mostRows))
		for i := range rows {
			rows[i] = row{i, float64(random.IntN(12))}
		}
		sorted := slices.Clone(rows)
		if len(rows) > mostRows {
			slices.SortStableFunc(sorted, func(a, b row) int { return cmp.Compare(b.measure, a.measure) })
			sorted = sorted[:mostRows]
		}
		shown, more := fold(rows, func(r row) float64 { return r.measure })
		if !slices.Equal(shown, sorted) || len(shown)+more != len(rows) {
			t.Fatalf("of %v\n%v and %d more, want\n%v", rows, shown, more, sorted)
		}
	}
}
