package analysis

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// leastDown is the angle of the cone from straight down, rad.
const leastDown = loads.ConeAngle * math.Pi / 180

// coneSides is in how many directions a load in the cone leans.
const coneSides = 8

// coneLean returns how much of a load in the cone lies sideways at the corners of a prism that
// holds all of its directions, and how much of it points down at the least: the prism stands
// between these depths and has a regular polygon about the circle of the cone as its base.
func coneLean() (lean, high float64) {
	return math.Sin(leastDown) / math.Cos(math.Pi/coneSides), math.Cos(leastDown)
}

// cone returns straight down and the corners of that prism, along the run, to the left and up.
// A measure that curves upwards is largest at one of the corners, and is no less there than
// for any direction within: the way to search a cone without turning the load in it.
func cone() [][3]float64 {
	lean, high := coneLean()
	ways := [][3]float64{{0, 0, -1}}
	for _, down := range [2]float64{1, high} {
		for i := range coneSides {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / coneSides)
			if i%(coneSides/4) == 0 {
				sin, cos = math.Round(sin), math.Round(cos)
			}
			ways = append(ways, [3]float64{lean * cos, lean * sin, -down})
		}
	}
	return ways
}

// leaning says which way a load in the cone points.
func (a *Action) leaning(n [3]float64) string {
	if n[0] == 0 && n[1] == 0 {
		return "down"
	}
	level := a.plainWord([3]float64{n[0], n[1]})
	if level == "" {
		level = fmt.Sprintf("at azimuth %s deg", quantity.Fix(azimuth(n), 1))
	}
	return "down, leaning " + strings.TrimPrefix(level, "at ")
}
