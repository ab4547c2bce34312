package report_test

import (
	"fmt"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
)

// A rail cut at every post makes each post a cantilever: 1 kN at 1.1 m above its foot is 1100 Nm
// there, so that is the top of the influence line.
func ExampleDrawingSVG() {
	d, err := barrier.Parse("landing.toml", []byte(`
title = "Landing"
basis = "EN"
run = { length = "4 m", spacing = "1 m" }
post = { tube = "EN 10219 48.3x3.2", grade = "S235JRH", height = "1100 mm", base = { stiffness = "rigid" } }
rail = [{ name = "top", height = "1100 mm", tube = "EN 10219 60.3x5.0", grade = "S355J2H", through = false }]
load = [{ kind = "point", value = "0.6 kN", rail = "top", direction = "outward" }]
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := check.Run(d, check.Options{Diagrams: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	var svg strings.Builder
	if err := report.DrawingSVG(&svg, r, "influence", report.TextOptions{}); err != nil {
		fmt.Println(err)
		return
	}
	for line := range strings.Lines(svg.String()) {
		if strings.Contains(line, "<title") || strings.Contains(line, ">1100.0 Nm<") {
			_, words, _ := strings.Cut(line, ">")
			fmt.Println(words[:strings.Index(words, "<")])
		}
	}
	// Output:
	// Influence line: Landing
	// 1100.0 Nm
}
