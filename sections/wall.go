package sections

import (
	"fmt"
	"math"
	"sync"
)

// A WallBasis says which wall of a tube strength and stiffness count on.
type WallBasis string

// The wall bases. Design is the AISC wall of 0.93 times nominal.
const (
	NominalWall WallBasis = "nominal" // the default
	MinimumWall WallBasis = "minimum" // nominal less the product standard's minus tolerance
	DesignWall  WallBasis = "design"  // not supported yet
)

// A WallTolerance is a row of the tolerance table: how far below nominal a
// standard lets the wall be. The larger of fraction and least counts.
type WallTolerance struct {
	Standard string
	Series   string // empty: every series
	Band
	Fraction   float64 // of the nominal wall
	Least      float64 // m
	Notes      string
	Source     string
	Provenance string
}

// Minus returns the minus tolerance on a nominal wall, both in m.
func (w WallTolerance) Minus(wall float64) float64 { return math.Max(w.Fraction*wall, w.Least) }

// WallOn returns the wall in m that a basis gives: nominal (also for the empty
// basis) or the least that the product standard lets through. It errs for the
// design wall, for a basis that does not exist, and for a minimum where the
// tables hold no tolerance for the tube.
func (t Tube) WallOn(b WallBasis) (float64, error) {
	switch b {
	case NominalWall, "":
		return t.Wall, nil
	case MinimumWall:
		tolerance, err := t.WallTolerance()
		if err != nil {
			return 0, err
		}
		return t.Wall - tolerance.Minus(t.Wall), nil
	case DesignWall:
		return 0, fmt.Errorf("wall basis %q is not supported yet", b)
	}
	return 0, fmt.Errorf("no wall basis %q: write \"nominal\" or \"minimum\"", b)
}

// WallTolerance returns the row of the tolerance table for a tube. It errs where
// there is none: for a tube that the user describes by its size, and for
// standards that only list dimensions or whose tolerance is not known.
func (t Tube) WallTolerance() (WallTolerance, error) {
	if t.Standard == "" {
		return WallTolerance{}, fmt.Errorf("a tube given by its size has no wall tolerance: give the wall to count on")
	}
	for _, w := range toleranceTable() {
		if w.Standard == t.Standard && (w.Series == "" || w.Series == t.Series) && w.Covers(t.Wall) {
			return w, nil
		}
	}
	return WallTolerance{}, fmt.Errorf("no wall tolerance is listed for %s: give the wall to count on", t.Name)
}

var toleranceTable = sync.OnceValue(func() []WallTolerance {
	rows := readTable("tolerances.csv")
	tolerances := make([]WallTolerance, 0, len(rows))
	for _, r := range rows {
		tolerances = append(tolerances, WallTolerance{
			Standard:   r.text("standard"),
			Series:     r.text("series"),
			Band:       r.band(),
			Fraction:   r.optional("wall_minus_percent") / 100,
			Least:      r.optional("wall_minus_mm") * mm,
			Notes:      r.text("notes"),
			Source:     r.text("source"),
			Provenance: r.text("provenance"),
		})
	}
	return tolerances
})
