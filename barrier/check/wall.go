package check

import (
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// wallExtremes are the measures of what a rail does to a wall.
var wallExtremes = [...]struct {
	name string
	of   func(*analysis.State) float64
}{
	{"Fx", func(s *analysis.State) float64 { return math.Abs(s.N) }},
	{"Fy", func(s *analysis.State) float64 { return math.Abs(s.Vy) }},
	{"Fz", func(s *analysis.State) float64 { return math.Abs(s.Vz) }},
	{"F", wallForce},
	{"M", wallMoment},
}

func wallForce(s *analysis.State) float64  { return math.Hypot(s.N, s.Shear()) }
func wallMoment(s *analysis.State) float64 { return math.Hypot(s.T, s.Moment()) }

// wallEnds fills what the rails do to the walls, design values, over the models that
// stand.
func (c *run) wallEnds() {
	q := analysis.Query{Level: analysis.Strength}
	for _, e := range wallExtremes {
		q.Measures = append(q.Measures, analysis.Measure{Of: e.of})
	}
	for end, name := range barrier.EndNames() {
		for rail := range c.d.Rails {
			for i, p := range c.worstWall(end, rail, q) {
				if p.Value <= nothing {
					continue
				}
				raised := p.raised()
				s := &raised
				k := math.Min(amplificationAt(c.worst.rails[rail].second), amplifyTo)
				c.out.Ends = append(c.out.Ends, EndRow{
					End: name, Leg: c.legOf(p.Probe.From), Rail: c.d.Rails[rail].Name, ExtremeOf: wallExtremes[i].name, Level: "design", Combination: p.Combination.String(), CombinationName: p.Combination.Name,
					Fx: s.N, Fy: s.Vy, Fz: s.Vz, Mx: k * s.T, My: k * s.My, Mz: k * s.Mz, Load: p.LoadIn(c.o.Units) + p.raise.words(),
				})
			}
		}
	}
}

// worstWall returns the largest values at the wall where a rail ends, none where it
// ends free.
func (c *run) worstWall(end, rail int, q analysis.Query) []held {
	var best []held
	for _, m := range c.models {
		probe := m.analysis.Wall(end, rail)
		if probe == nil {
			return nil
		}
		found := c.worstHeld(m, probe, 0, q)[0]
		if best == nil {
			best = found
			continue
		}
		for i := range found {
			if analysis.Beats(found[i].Value, best[i].Value) {
				best[i] = found[i]
			}
		}
	}
	return best
}

// openWalls lists the largest force and moment on a wall.
func (c *run) openWalls() {
	for _, e := range [...]struct{ of, unit, what string }{{"F", "N", "force"}, {"M", "Nm", "moment"}} {
		var worst *EndRow
		size := func(r *EndRow) float64 {
			if e.of == "M" {
				return math.Hypot(r.Mx, math.Hypot(r.My, r.Mz))
			}
			return math.Hypot(r.Fx, math.Hypot(r.Fy, r.Fz))
		}
		for i := range c.out.Ends {
			if r := &c.out.Ends[i]; r.ExtremeOf == e.of && (worst == nil || analysis.Beats(size(r), size(worst))) {
				worst = r
			}
		}
		if worst != nil {
			it := largest(OpenWall, "wall: "+e.what, "rail "+worst.Rail+" at the "+worst.End)
			it.Reason, it.Demand, it.Unit, it.Load = "the checks of wall fixings are not supported yet", size(worst), e.unit, worst.Load
			c.openUnless(c.d.LeaveOut.Base, it)
		}
	}
}

// openToePlate lists the force that a schedule puts on a toe plate, which is no part of
// the frame.
func (c *run) openToePlate() {
	if c.d.Run.ToePlate.State != barrier.ToePlateGiven {
		return
	}
	for i := range c.d.Loads {
		s := c.d.Loads[i].Schedule
		if s == nil {
			continue
		}
		for _, a := range s.Actions {
			if a.Target == loads.ToeBoard {
				c.openUnless(c.d.LeaveOut.Fitting, Item{Kind: OpenToePlate, Item: "toe plate and its fixing: " + s.Name + " " + a.Name,
					Reason: "the toe plate is no part of the frame", Demand: a.Value, Unit: "N"})
			}
		}
	}
}
