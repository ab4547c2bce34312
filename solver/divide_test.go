package solver

import "testing"

// TestDividedLoadsOffTheMember divides a member under loads that stand off it. Check finds
// them on the parts as it does on the whole: none is cut down to what fits.
func TestDividedLoadsOffTheMember(t *testing.T) {
	f := &Frame{}
	foot, top := f.Node("foot", Vec{}), f.Node("top", Vec{0, 0, 1.2})
	f.Restrain(foot, UX, UY, UZ, RX, RY, RZ)
	m := f.Member(tube(foot, top))
	whole, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	d := f.Divide(3)
	parts, err := d.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	const slip = 1e-7 // m
	line := func(from, to float64) Case {
		return Case{Lines: []LineLoad{{Member: m, From: from, To: to, Start: Vec{100}, End: Vec{100}}}}
	}
	point := func(at float64) Case { return Case{Points: []PointLoad{{Member: m, At: at, Force: Vec{100}}}} }
	for _, row := range []struct {
		name  string
		c     Case
		sound bool
	}{
		{"line", line(0, 1.2), true},
		{"line past an end by rounding", line(-slip, 1.2+slip), true},
		{"line of no length", line(0.7, 0.7), true},
		{"line past the end", line(0, 4), false},
		{"line past the end from the last part", line(1, 1.3), false},
		{"line from before the start", line(-3, 0.5), false},
		{"line that runs back", line(0.9, 0.1), false},
		{"point", point(0.5), true},
		{"point past the end by rounding", point(1.2 + slip), true},
		{"point past the end", point(1.3), false},
		{"point before the start", point(-0.1), false},
	} {
		divided := d.Case(row.c)
		if err := whole.Check(&row.c); (err == nil) != row.sound {
			t.Errorf("%s on the whole: error %v", row.name, err)
		}
		if err := parts.Check(&divided); (err == nil) != row.sound {
			t.Errorf("%s on the parts: error %v", row.name, err)
		}
	}
}
