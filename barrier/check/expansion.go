package check

import (
	"example.com/stanchion/barrier/analysis"
)

// ExpansionRow is the way that a change of temperature asks for at one place where a rail ends:
// the movement of the whole length of rail that may come to meet there, which is cautious.
type ExpansionRow struct {
	Load   string  `json:"load"`
	Rail   string  `json:"rail"`
	Where  string  `json:"where"` // free end, wall end, splice, cut at a post
	X      float64 `json:"x_m"`
	Length float64 `json:"length_m"` // of rail that moves towards it
	Closes float64 `json:"closes_mm"`
	Opens  float64 `json:"opens_mm"`
}

// expansion fills what changes of temperature ask of the ends and splices of the rails.
func (c *run) expansion() {
	for _, g := range analysis.Gaps(c.d) {
		c.out.Expansion = append(c.out.Expansion, ExpansionRow{
			Load: c.d.Loads[g.Load].Name, Rail: c.d.Rails[g.Rail].Name, Where: g.Where, X: g.X, Length: g.Length, Closes: g.Closes * 1e3, Opens: g.Opens * 1e3,
		})
	}
}

// sayExpansion says what the gaps rest on.
func (c *run) sayExpansion() {
	if len(c.out.Expansion) == 0 {
		return
	}
	c.say("Gaps for warmth count the whole length of rail that may come to meet at a place, by EN 1991-1-5 Table C.1 (from memory), which is cautious. In the frame splices pass forces along the rail as if they left no gap; where a gap is left, posts and fittings get less of it.")
	if unknownSplices(c.d) {
		c.say("Rails whose splices are not known count as one piece for the gaps of warmth.")
	}
}
