package analysis_test

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
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

// People and wind together on a post that stands alone, for its rails are cut at every post:
// 1.0 kN at its top (category B) and a velocity pressure of 500 N/m2, so 1.2 x 500 x 0.0483 =
// 28.98 N/m on every tube. With psi0 0.6 of wind (EN 1990 Table A1.1) its foot has
// 1.5 Q h + 0.9 W h/2 + 0.9 R h = 1650 + 15.8 + 43.0 = 1708.8 Nm: W = 31.9 N is the wind on the
// post, R = 43.5 N that on half of the rail of 1.5 m on either side.
func Example_peopleAndWind() {
	definition, err := barrier.Parse("windy.toml", []byte(`
basis = "EN"
[run]
length    = "3 m"
spacing   = "1.5 m"
toe_plate = "none"
[post]
tube   = "EN 10255 DN40 medium"
grade  = "S195T"
height = "1100 mm"
[post.base]
stiffness = "rigid"
[[rail]]
name    = "top"
height  = "1100 mm"
tube    = "EN 10255 DN40 medium"
grade   = "S195T"
through = false
[[load]]
name      = "people"
kind      = "point"
value     = "1 kN"
direction = "outward"
category  = "B"
with      = ["wind"]
[[load]]
name     = "wind"
kind     = "wind"
pressure = "0.5 kN/m2"
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	actions, _ := analysis.Actions(definition)
	layout := barrier.Layout{FootStiffness: math.Inf(1), Rails: []barrier.Joints{{Cut: true}}}
	a, err := analysis.New(definition, layout, actions)
	if err != nil {
		fmt.Println(err)
		return
	}
	foot := a.Post(1).Probes[0]
	worst := a.Worst(foot, 0, analysis.Strength, analysis.Measure{Of: func(s *analysis.State) float64 { return math.Abs(s.Mz) }})
	fmt.Printf("%.1f Nm in %s\n%s\n", worst.Value, worst.Combination, worst.LoadIn(quantity.Metric))
	// Output:
	// 1708.8 Nm in 1.35 G + 1.50 Q + 0.90 W
	// point 1.000 kN outward on top rail at x = 1.500 m (people); with wind outward, velocity pressure 0.500 kN/m2 (wind)
}
