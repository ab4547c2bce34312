package barrier

import (
	"fmt"
	"math"

	"example.com/stanchion/internal/quantity"
)

// The most that is read of one definition. What goes beyond is refused with a problem that names
// the bound; README.md has them in a table.
const (
	MaxFileSize        = 4 << 20 // bytes, of a definition and of a list of tubes
	MaxPosts           = 200_000 // posts of the run, splices of a rail, posts and fittings of a survey
	MaxLegs            = 200
	MaxGaps            = 1_000 // gaps, and as many gates
	MaxRails           = 50
	MaxBraces          = 500
	MaxLoads           = 500
	MaxOwnCombinations = 50           // of the user's own
	MaxStock           = 2_000        // tubes that a stock lists
	MaxFittings        = 2 * MaxPosts // posts times rails
	MaxPlacings        = 4_000_000    // fittings times loads: what a search goes through
)

// The most of TOML that is read, whatever it says: far beyond any barrier, and little enough for
// every parser.
const (
	maxNesting  = 64      // arrays and inline tables within one another
	maxKeyParts = 64      // parts of a dotted key
	maxPlaces   = 250_000 // keys and values
	maxOpenings = 20_000  // brackets and braces: each costs a parser a level of its stack at worst
)

// What is told of a file that is wrong throughout.
const (
	maxProblems = 1_000 // problems that are collected
	maxPrinted  = 100   // of which Problems.Error prints as many, and counts the rest
)

// leastTube and mostTube are the diameters, m, beyond which a tube is a slip of the pen.
const leastTube, mostTube = 0.001, 0.5

// mostPost is how high, m, a post or a rail may be: beyond, the unit is a slip.
const mostPost = 10

// mostToePlate is how high, m, the top of a toe plate may be: beyond, it is an infill.
const mostToePlate = 0.5

// mostOf returns the size, SI, beyond which a quantity is a slip: far beyond any barrier,
// and small enough for the frame to be solved.
func mostOf(d quantity.Dimension) float64 {
	switch d {
	case quantity.Length:
		return 5e5
	case quantity.Force, quantity.LineLoad, quantity.Moment:
		return 1e9
	case quantity.RotationalStiffness, quantity.Pressure, quantity.AreaLoad, quantity.PressurePerDepth:
		return 1e12
	case quantity.Angle:
		return 100 * 2 * math.Pi
	case quantity.Duration:
		return 1e4
	}
	return 1e6
}

// leastOf returns the size, SI, below which a quantity that is not zero is a slip.
func leastOf(d quantity.Dimension) float64 {
	switch d {
	case quantity.RotationalStiffness:
		return 0.01 // less holds nothing, and the frame would be a mechanism to its last digit
	case quantity.Rate:
		return 1e-12 // a millionth of a micrometre a year
	}
	return 1e-9
}

// checkSize reports a barrier whose parts are each within bounds and together more than a machine
// can hold or search.
func (t table) checkSize(run runDraft, rails int) {
	if !run.known() {
		return
	}
	fittings := len(run.Posts) * rails
	switch loads := len(t.def.Loads); {
	case fittings > MaxFittings:
		t.faultOfKey("run", fmt.Sprintf("%d posts and %d rails make %d fittings, at most %d are read", len(run.Posts), rails, fittings, MaxFittings), "split the run over several files")
	case fittings*loads > MaxPlacings:
		t.faultOfKey("run", fmt.Sprintf("%d fittings under %d loads are more than the %d pairs that are searched", fittings, loads, MaxPlacings), "split the run, or the loads, over several files")
	}
}
