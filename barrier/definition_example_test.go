package barrier_test

import (
	"fmt"
	"strings"

	"example.com/stanchion/barrier"
)

// A run of 9 m in equal bays no longer than 1.6 m has 9 / 1.6 = 5.6, so 6 bays, of
// 9 / 6 = 1.5 m, on 7 posts. The quantity without a unit is a problem with its place and its mend.
func Example() {
	const file = `basis = "EN"
[run]
length = "9 m"
spacing = "1.6 m"
[post]
tube = "EN 10255 DN40 medium"
grade = "S195T"
[[rail]]
height = "1100 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
splices = ["5.8 m"]
[[load]]
schedule = "EN ISO 14122-3"
`
	d, err := barrier.Parse("gallery.toml", []byte(file))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d posts, bays of %.1f m, splices %s at %.1f m\n", len(d.Run.Posts), d.BayLength(0), d.Rails[0].SpliceState, d.Rails[0].Splices)

	_, err = barrier.Parse("gallery.toml", []byte(strings.Replace(file, `"1.6 m"`, `1.6`, 1)))
	fmt.Println(err)
	// Output:
	// 7 posts, bays of 1.5 m, splices given at [5.8] m
	// gallery.toml:4:11: run.spacing: quantity has no unit: 1.6
	//   4 | spacing = 1.6
	//     |           ^^^
	//     fix: write "1.6 m" if that is meant; units of a length: mm, m, cm, um, in, ft
}
