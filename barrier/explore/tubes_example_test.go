package explore_test

import (
	"context"
	"fmt"
	"os"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/quantity"
)

// The tubes of one standard up to 60.3 mm, in the place of those of a file: the three lightest
// barriers that pass. By hand the mass of the last, steel of 7850 kg/m³: 48.3x3.2 has π 45.1 mm
// 3.2 mm = 453.4 mm², so 3.559 kg/m; seven posts of 1.1 m and two rails of 9 m are 25.7 m of it,
// and 25.7 × 3.559 / 9 = 10.16 kg/m.
func ExampleTubes() {
	data, err := os.ReadFile("../../testdata/gallery.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	doc, err := barrier.Read("gallery.toml", data)
	if err != nil {
		fmt.Println(err)
		return
	}
	filter := explore.TubeFilter{Standards: []string{"EN 10255"}, LargestOD: 0.0603, SmallestWall: 0.0026}
	kept, err := filter.Keep(explore.FromTables())
	if err != nil {
		fmt.Println(err)
		return
	}
	graded, _ := explore.Graded(kept)
	candidates, err := explore.Pairs(graded, false)
	if err != nil {
		fmt.Println(err)
		return
	}
	ranking, err := explore.Tubes(context.Background(), doc, candidates, explore.TubeOptions{By: explore.ByMass})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(ranking.Cautions[0].Text)
	for _, row := range ranking.Rows[:3] {
		fmt.Printf("%s: %s, %.2f kg/m, governed by %s\n", row.Post.In(quantity.Metric), row.Status, row.Given.Mass, row.Given.Governing.ID)
	}
	// Output:
	// This is a pre-check. A qualified engineer must verify it; the local code and licensed practice come first.
	// EN 10255 DN40 L in S195T: pass, 9.27 kg/m, governed by post-bending
	// EN 10255 DN40 L2 in S195T: pass, 9.27 kg/m, governed by post-bending
	// EN 10255 DN40 medium in S195T: pass, 10.16 kg/m, governed by post-bending
}
