package explore

import (
	"testing"

	"example.com/stanchion/barrier/check"
)

// A rule is named where every candidate breaks that one: a tube that keeps it, though it breaks another, mends it.
func TestGeometryOfAllCandidates(t *testing.T) {
	for _, c := range []struct {
		rules []string
		want  string
	}{{nil, ""}, {[]string{"height", "height"}, "height"}, {[]string{"height", ""}, ""}, {[]string{"height", "opening"}, ""}, {[]string{"", ""}, ""}} {
		var r TubeRanking
		for _, rule := range c.rules {
			r.Rows = append(r.Rows, TubeRow{Given: Built{Status: check.Fail, Geometry: rule}})
		}
		if r.rank(TubeOptions{}); r.Geometry != c.want {
			t.Errorf("of %q every candidate breaks %q, want %q", c.rules, r.Geometry, c.want)
		}
	}
}
