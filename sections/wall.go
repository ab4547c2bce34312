package sections

import (
	"fmt"
	"math"
	"sync"
)

// A WallBasis says which wall of a tube strength and stiffness count on.
type WallBasis string

// The wall bases.
const (
	NominalWall WallBasis = "nominal" // the default
	MinimumWall WallBasis = "minimum" // nominal less the product standard's minus tolerance
	DesignWall  WallBasis = "design"  // that of AISC 360 B4.2, see Tube.WallOn
)

// DesignShare is the design wall as a share of the nominal one, of steel tube that is not
// made to a full-wall standard. It already stands for the tolerance of the wall. AISC 360-16
// B4.2, for electric-resistance-welded HSS and pipe; public copy.
const DesignShare = 0.93

// DesignShareCSA is the wall of steel tube to ASTM A500 that CSA S16 designs with, as a share of
// the nominal one; tube to CSA G40.20 and others count with their nominal wall. Provenance:
// public, in an engineer's worked example.
const DesignShareCSA = 0.90

// fullWall holds the product standards whose tube is designed with its nominal wall:
// AISC 360-16 B4.2, public copy. A tube is to one where its own standard says so, never
// by its grade.
func fullWall(standard string) bool { return standard == "ASTM A1085" || standard == "ASTM A1065" }

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
// basis), the least that the product standard lets through, or the design wall of
// AISC 360. That is the one its tables print for the size, the nominal wall of a tube to
// ASTM A1085 or A1065, and 0.93 of nominal for every other tube of steel: also for one to
// EN, and for a seamless one, where it is cautious. It errs for a basis that does not
// exist, for a minimum where the tables hold no tolerance for the tube, and for a design
// wall of a tube that is known not to be of carbon steel.
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
		return t.designWall()
	}
	return 0, fmt.Errorf("no wall basis %q: write \"nominal\", \"minimum\" or \"design\"", b)
}

// designWall returns the wall of AISC 360 B4.2, m.
func (t Tube) designWall() (float64, error) {
	switch {
	case t.Material != Steel && t.Material != "":
		return 0, fmt.Errorf("AISC 360 has no design wall for a tube of %s", t.Material)
	case t.DesignWall > 0:
		return t.DesignWall, nil
	case fullWall(t.Standard):
		return t.Wall, nil
	}
	return DesignShare * t.Wall, nil
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
