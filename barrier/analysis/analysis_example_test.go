package analysis_test

import (
	"fmt"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// A rail on two posts: the worst place for a point load on the first post is on
// the post itself, and its foot then has P h = 1.0 kN x 1.1 m; in the rail it is
// the middle, P L/4 = 1.0 kN x 1.5 m / 4.
func Example() {
	definition, err := barrier.Parse("bay.toml", []byte(`
basis = "EN"
[run]
length    = "1.5 m"
spacing   = "1.5 m"
toe_plate = "none"
[post]
tube   = "EN 10255 DN40 medium"
grade  = "S195T"
height = "1100 mm"
[post.base]
stiffness = "150 kNm/rad"
[[rail]]
name    = "top"
height  = "1100 mm"
tube    = "EN 10255 DN40 medium"
grade   = "S195T"
through = true
[[load]]
kind      = "point"
value     = "1 kN"
rail      = "top"
direction = "outward"
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	actions, _ := analysis.Actions(definition)
	layout := barrier.Layout{FootStiffness: definition.Post.Base.Stiffness[0], Rails: make([]barrier.Joints, 1)}
	a, err := analysis.New(definition, layout, actions)
	if err != nil {
		fmt.Println(err)
		return
	}
	across := []analysis.Measure{{Of: func(s *analysis.State) float64 {
		if s.Mz < 0 {
			return -s.Mz
		}
		return s.Mz
	}}}
	for _, e := range []*analysis.Element{a.Post(0), a.Rail(0)} {
		worst := a.WorstAlong(e, analysis.Service, across)[0]
		fmt.Printf("%.1f Nm under %s\n", worst.Value, &worst.Placement)
	}
	// Output:
	// 1100.0 Nm under point 1.000 kN outward on top rail at x = 0.000 m
	// 375.0 Nm under point 1.000 kN outward on top rail at x = 0.750 m
}
