package explore_test

import (
	"context"
	"fmt"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/explore"
)

// The rail is cut at every post, so each post carries what stands on half of the bays beside
// it. By hand: Wpl of 48.3x3.2 is 6520 mm³, so that MRd = 6520 mm³ × 235 MPa = 1532 N·m, and
// 1.5 × 740 N/m × s × 1.1 m = 1532 N·m at s = 1.255 m. On a grid of 50 mm that is 1.25 m.
func ExampleLargestSpacing() {
	doc, err := barrier.Read("landing.toml", []byte(`
basis = "EN"
[run]
length = "4 m"
spacing = "1 m"
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
tube = "EN 10219 60.3x5.0"
grade = "S355J2H"
through = false
[[load]]
name = "people"
kind = "line"
value = "0.74 kN/m"
direction = "outward"
[limits]
deflection = "none"
[scope]
leave_out = ["fitting", "base"]
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := explore.LargestSpacing(context.Background(), doc, explore.SpacingOptions{Grid: 0.05, DownTo: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Headline)
	for _, row := range s.Columns[0].Rows {
		if row.Spacing < 1.33 && row.Spacing > 1.17 {
			fmt.Printf("%.2f m %s %.3f %s of %s (%s)\n", row.Spacing, row.Status, *row.Utilisation, row.ID, row.Element, row.Place)
		}
	}
	// Output:
	// the largest spacing is 1.250 m with an odd bay of 0.250 m: members pass; left out by the user: fittings and splices; socket, foot and ground
	// 1.30 m fail 1.036 post-bending of post 2 (inner)
	// 1.25 m pass 0.996 post-bending of post 2 (inner)
	// 1.20 m pass 0.956 post-bending of post 2 (inner)
}
