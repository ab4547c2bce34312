package check

import (
	"math"

	"example.com/stanchion/solver"
)

// LegRow is one leg of a run that turns or climbs. Places in plan count from the start of
// the first leg's x = 0: along that leg, to its left, up; m, on the walking surface.
type LegRow struct {
	Leg   int       `json:"leg"`
	From  float64   `json:"from_x_m"` // along the rails
	To    float64   `json:"to_x_m"`
	Turn  float64   `json:"turn_deg"`  // at its start, anticlockwise seen from above
	Pitch float64   `json:"pitch_deg"` // positive where it rises towards the end
	Start []float64 `json:"start_m"`
	End   []float64 `json:"end_m"`
}

// GapRow is a bay without rails.
type GapRow struct {
	What string  `json:"what"` // gap, gate
	From float64 `json:"from_x_m"`
	To   float64 `json:"to_x_m"`
}

// pathRows fills the legs and the gaps, none of a straight level run without gaps.
func (c *run) pathRows() {
	run := &c.d.Run
	if !run.IsStraight() {
		const degree = math.Pi / 180
		for i, l := range run.Legs {
			c.out.Legs = append(c.out.Legs, LegRow{
				Leg: i + 1, From: l.From, To: l.To, Turn: l.Turn / degree, Pitch: l.Pitch / degree,
				Start: place(run.At(i, l.From, 0, 0)), End: place(run.At(i, l.To, 0, 0)),
			})
		}
	}
	for _, g := range run.Gaps {
		what := "gap"
		if g.Gate {
			what = "gate"
		}
		c.out.Gaps = append(c.out.Gaps, GapRow{what, g.From, g.To})
	}
}

// legOf returns the number of the leg in which x lies, 0 for a straight run, which needs
// none.
func (c *run) legOf(x float64) int {
	if c.d.Run.IsStraight() {
		return 0
	}
	return c.d.Run.LegOf(x) + 1
}

// standsAt returns where a post stands on the walking surface, m, none on a straight run.
func (c *run) standsAt(x float64) []float64 {
	if c.d.Run.IsStraight() {
		return nil
	}
	return place(c.d.Run.At(c.d.Run.LegOf(x), x, 0, 0))
}

// place returns the coordinates of a point, m, without what is rounding.
func place(at solver.Vec) []float64 {
	const rounding = 1e-9
	out := make([]float64, len(at))
	for k, v := range at {
		if math.Abs(v) > rounding {
			out[k] = v
		}
	}
	return out
}
