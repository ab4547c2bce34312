package check_test

import (
	"fmt"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
)

// A lone post carries the load that stands on it, for its rail is cut at every
// post. By hand: MEd = 1.5 × 600 N × 1.1 m = 990 N·m; Wpl of 48.3x3.2 is
// (48.3³ - 41.9³)/6 mm³ = 6520 mm³, so Mc,Rd = 6520 mm³ × 235 MPa = 1532 N·m
// and the utilisation is 990/1532 = 0.646.
func ExampleRun() {
	d, err := barrier.Parse("landing.toml", []byte(`
basis = "EN"
[run]
length = "3 m"
spacing = "1.5 m"
toe_plate = "none"
[post]
tube = "EN 10219 48.3x3.2"
grade = "S235JRH"
height = "1100 mm"
[post.base]
stiffness = "rigid"
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10219 48.3x3.2"
grade = "S235JRH"
through = false
[[load]]
name = "people"
kind = "point"
value = "600 N"
direction = "outward"
[limits]
deflection = "30 mm"
[scope]
leave_out = ["fitting", "base"]
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := check.Run(d, check.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range r.Checks {
		if c.ID == "post-bending" && c.Element == "post 2" {
			fmt.Printf("%s: %.0f / %.0f %s = %.3f\n", c.Element, c.Demand, c.Resistance, c.Unit, *c.Utilisation)
			fmt.Println(c.Load)
		}
	}
	fmt.Println(r.Status)
	// Output:
	// post 2: 990 / 1532 Nm = 0.646
	// point 0.600 kN outward on top rail at x = 1.500 m
	// pass
}
