package barrier_test

import (
	"math"
	"testing"

	"example.com/stanchion/barrier"
)

// TestBraceOnSlope lets the foot of a brace stand up the slope from its post: on the
// surface where no level is given, as high as it says where one is.
func TestBraceOnSlope(t *testing.T) {
	const text = `basis = "EN"
[run]
length = "3 m"
spacing = "1.5 m"
pitch = "30 deg"
[post]
tube = "EN 10219 48.3x3.2"
grade = "S235JRH"
[post.base]
stiffness = "rigid"
[[rail]]
height = "1100 mm"
tube = "EN 10219 48.3x3.2"
grade = "S235JRH"
splices = "none"
[[load]]
kind = "point"
value = "1 kN"
direction = "outward"
[[brace]]
post = 2
height = "900 mm"
tube = "EN 10219 42.4x3.2"
grade = "S235JRH"
foot = { along = "600 mm", outward = "300 mm"`
	for _, c := range []struct {
		level string
		z     float64
	}{{" }", 0.6 * math.Tan(math.Pi/6)}, {`, level = "-50 mm" }`, -0.05}} {
		d, err := barrier.Parse("slope.toml", []byte(text+c.level+"\n"))
		if err != nil {
			t.Fatal(err)
		}
		s := solve(t, d)
		b := s.Braces[0]
		foot, post := s.Position(b.Foot), s.Position(s.Posts[1].Nodes[0])
		for k, want := range [3]float64{0.6, 0.3, c.z} {
			if got := foot[k] - post[k]; math.Abs(got-want) > 1e-12 {
				t.Errorf("%s: the foot is %v m from that of the post in direction %d, want %v (source: plane geometry)", c.level, got, k, want)
			}
		}
		if got := s.Length(b.ID); math.Abs(got-d.Braces[0].Length()) > 1e-12 {
			t.Errorf("%s: the member is %v m long, the brace %v", c.level, got, d.Braces[0].Length())
		}
	}
}
