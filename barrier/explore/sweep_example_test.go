package explore_test

import (
	"context"
	"fmt"
	"log"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/explore"
)

// Two posts, one rail, and a load of 1 kN at any place along it. Right at a post that post
// carries all of it as a cantilever from its foot, so the design base moment is 1.5 × 1 kN × h:
// 1350 Nm at 900 mm and 150 Nm more with each 100 mm.
func ExampleNewSweep() {
	doc, err := barrier.Read("pair.toml", []byte(`basis = "EN"
[run]
length = "1.5 m"
spacing = "1.5 m"
toe_plate = "none"
[post]
tube = "EN 10255 DN40 medium"
grade = "S195T"
height = "900 mm"
[post.base]
stiffness = "rigid"
[[rail]]
name = "top"
height = "900 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
through = true
[fitting]
moment = "free"
[[load]]
kind = "point"
value = "1 kN"
direction = "outward"
rail = "top"
[limits]
deflection = "25 mm"
`))
	if err != nil {
		log.Fatal(err)
	}
	sweep, err := explore.NewSweep(doc, []string{"post.height+rail.top.height=900mm..1200mm:100mm"})
	if err != nil {
		log.Fatal(err)
	}
	err = sweep.Run(context.Background(), 0, func(_ int, row explore.Variant) error {
		fmt.Printf("%s: %s, %.1f Nm\n", row.Values[0].Text, row.Status, *row.BaseMoment)
		return nil
	})
	if err != nil {
		log.Fatal(err)
	}
	// Output:
	// 900 mm: fail, 1350.0 Nm
	// 1000 mm: fail, 1500.0 Nm
	// 1100 mm: fail, 1650.0 Nm
	// 1200 mm: fail, 1800.0 Nm
}
