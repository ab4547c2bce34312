package sections

import (
	"fmt"
	"math"
)

// A Band is the nominal walls that a row of a table is for: WallOver < t <= WallTo,
// unless an end is said to be in or out.
type Band struct {
	WallOver     float64 // m; 0 where the band has no lower end
	WallTo       float64 // m; +Inf where the band has no upper end
	OverIncluded bool    // WallOver itself belongs to the band
	ToExcluded   bool    // WallTo itself does not
}

// bandSlack is the difference in wall, m, below which two walls are the same:
// far under any printed digit, far over rounding.
const bandSlack = 1e-9

// Covers reports whether a nominal wall in m lies in the band.
func (b Band) Covers(wall float64) bool {
	above := wall > b.WallOver+bandSlack || b.OverIncluded && wall > b.WallOver-bandSlack
	below := wall < b.WallTo-bandSlack || !b.ToExcluded && wall < b.WallTo+bandSlack
	return above && below
}

// Words returns the band in words: "3 <= t <= 16 mm", "all walls". It is no
// String, which a row that embeds the band would be printed by.
func (b Band) Words() string {
	over, to := "<", "<="
	if b.OverIncluded {
		over = "<="
	}
	if b.ToExcluded {
		to = "<"
	}
	lower, upper := fmt.Sprint(round9(b.WallOver/mm)), fmt.Sprint(round9(b.WallTo/mm))
	switch {
	case b.WallOver == 0 && math.IsInf(b.WallTo, 1):
		return "all walls"
	case b.WallOver == 0:
		return fmt.Sprintf("t %s %s mm", to, upper)
	case math.IsInf(b.WallTo, 1):
		return fmt.Sprintf("%s %s t mm", lower, over)
	case b.WallOver == b.WallTo:
		return fmt.Sprintf("t = %s mm", upper)
	}
	return fmt.Sprintf("%s %s t %s %s mm", lower, over, to, upper)
}

// band reads the wall band of a row; an empty end is open.
func (r row) band() Band {
	b := Band{
		WallOver:     r.optional("wall_over_mm") * mm,
		WallTo:       math.Inf(1),
		OverIncluded: r.text("wall_over_included") == "yes",
		ToExcluded:   r.text("wall_to_excluded") == "yes",
	}
	if r.text("wall_to_mm") != "" {
		b.WallTo = r.number("wall_to_mm") * mm
	}
	return b
}
