package sections

import (
	"math"
	"slices"
	"strconv"
	"testing"
)

// Sizes are those of the series that their standards draw on, whether or not properties are
// printed for them. Outside diameters to ISO 4200 and EN 10220 series 1 by nominal size, and
// their preferred walls, those of EN 10219-2 besides, from memory; pipe to ASME B36.10M in inches, from memory.
func TestSizesAreOfTheirSeries(t *testing.T) {
	const source = "ISO 4200, EN 10220 series 1 and ASME B36.10M, memory"
	diameters := map[string]float64{ // mm, by DN
		"DN 15": 21.3, "DN 20": 26.9, "DN 25": 33.7, "DN 32": 42.4, "DN 40": 48.3, "DN 50": 60.3, "DN 65": 76.1, "DN 80": 88.9, "DN 100": 114.3,
	}
	walls := []float64{2.0, 2.3, 2.6, 2.9, 3.2, 3.6, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1, 8.0, 8.8, 10.0} // mm
	coldFormed := append([]float64{2.5, 3.0, 6.0}, walls...)                                       // EN 10219-2 has these as well
	pipes := map[float64][]float64{                                                                // in: diameter, walls of schedules 40 and 80
		1.05: {0.113, 0.154}, 1.315: {0.133, 0.179}, 1.66: {0.140, 0.191}, 1.9: {0.145, 0.200}, 2.375: {0.154, 0.218}, 2.875: {0.203, 0.276},
	}
	metric, inches := 0, 0
	for _, tube := range Tubes() {
		switch tube.Standard {
		case "EN 10210-2", "EN 10219-2", "EN 10255":
			metric++
			if want, known := diameters[tube.NominalSize]; known && math.Abs(tube.OD/mm-want) > 0.05 {
				t.Errorf("%s: %s mm outside, want %v of %s (source: %s)", tube.Name, strconv.FormatFloat(tube.OD/mm, 'f', 2, 64), want, tube.NominalSize, source)
			}
			of := walls
			if tube.Standard == "EN 10219-2" {
				of = coldFormed
			}
			if !slices.ContainsFunc(of, func(w float64) bool { return math.Abs(tube.Wall/mm-w) < 1e-6 }) {
				t.Errorf("%s: wall of %v mm is none of the series (source: %s)", tube.Name, tube.Wall/mm, source)
			}
		case "ASME B36.10M", "ASTM A53":
			inches++
			of, known := pipes[math.Round(tube.OD/inch*1e4)/1e4]
			if !known || !slices.ContainsFunc(of, func(w float64) bool { return math.Abs(tube.Wall/inch-w) < 1e-6 }) {
				t.Errorf("%s: %v in by %v in is no pipe of schedule 40 or 80 (source: %s)", tube.Name, tube.OD/inch, tube.Wall/inch, source)
			}
		}
	}
	if metric < 50 || inches < 10 {
		t.Errorf("%d metric and %d inch sizes: the series are no longer found by their standards", metric, inches)
	}
}
