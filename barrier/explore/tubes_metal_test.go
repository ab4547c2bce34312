package explore_test

import (
	"strings"
	"testing"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
)

// TestNoTestedValuePassesAnotherMetal compares a steel barrier with tested fittings in steel and in
// aluminium: engineering practice is that a grip tested on one metal says nothing of another. With
// the fittings left out nothing rests on the values.
func TestNoTestedValuePassesAnotherMetal(t *testing.T) {
	for leftOut, want := range map[string]check.Status{`["base"]`: check.Incomplete, `["base", "fitting"]`: check.Pass} {
		doc := document(t, "vat-house.toml", `leave_out = ["base"]`, "leave_out = "+leftOut)
		for _, metal := range []string{"aluminium", "steel"} {
			r := rank(t, doc, pairsOf(t, explore.TubeFilter{Materials: []string{metal}, SmallestOD: 0.0602, LargestOD: 0.0604, SmallestWall: 0.0049}, false), explore.TubeOptions{LargestSpacing: true})
			if metal == "steel" && r.Pass == 0 || metal == "aluminium" && len(r.Rows) == r.Fail {
				t.Fatalf("%s: %d pass and %d fail of %d: the test shows nothing", metal, r.Pass, r.Fail, len(r.Rows))
			}
			var said strings.Builder
			for _, c := range r.Cautions {
				said.WriteString(c.Text)
			}
			for i := range r.Rows {
				row := &r.Rows[i]
				if metal == "aluminium" && row.Status != check.Fail && (row.Status != want || row.Largest.Status != want) {
					t.Errorf("left out %s: %s is %s, want %s", leftOut, row.Post.Tube, row.Status, want)
				}
				said.WriteString(strings.Join(row.Cautions, ""))
			}
			if got := strings.Contains(said.String(), "Metals share no tested values"); got != (metal == "aluminium" && want == check.Incomplete) {
				t.Errorf("left out %s, %s: the caution is %t", leftOut, metal, got)
			}
			if metal == "steel" && r.Incomplete > 0 {
				t.Errorf("%d of steel are incomplete", r.Incomplete)
			}
		}
	}
}
