package barrier_test

import (
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

// TestBraceThroughRailAtCorner turns left by 90 deg with the hazard on the left: outward of the
// leg that ends at the corner is along the one that begins there, so a brace whose foot is told
// outward runs through the lower rail of that leg, and one told on along the first leg, where no
// rail goes on, through none (source: plane geometry).
func TestBraceThroughRailAtCorner(t *testing.T) {
	const text = `basis = "EN"
[run]
legs = [{ length = "3 m" }, { length = "3 m", turn = "90 deg" }]
spacing = "1.5 m"
[post]
tube = "EN 10219 48.3x3.2"
grade = "S235JRH"
[post.base]
stiffness = "rigid"
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10219 48.3x3.2"
grade = "S235JRH"
splices = "none"
[[rail]]
name = "knee"
height = "600 mm"
tube = "EN 10219 48.3x3.2"
grade = "S235JRH"
splices = "none"
[[load]]
kind = "point"
value = "1 kN"
direction = "outward"
[[brace]]
post = 3
height = "900 mm"
tube = "EN 10219 42.4x3.2"
grade = "S235JRH"
foot = { `
	const through = `the brace runs through rail "knee", 233.33 mm from the post`
	for _, c := range []struct {
		foot    string
		through bool
	}{
		{`along = "-700 mm"`, true},    // back along the first leg
		{`along = "700 mm"`, false},    // on, where it has ended
		{`outward = "700 mm"`, true},   // along the second leg
		{`outward = "-700 mm"`, false}, // away from it
		{`outward = "700 mm", along = "700 mm"`, false},
	} {
		_, err := barrier.Parse("corner.toml", []byte(text+c.foot+" }\n"))
		if got := err != nil && strings.Contains(err.Error(), through); got != c.through || err != nil && !got {
			t.Errorf("foot %s: %v, through the rail: want %v", c.foot, err, c.through)
		}
	}
}
