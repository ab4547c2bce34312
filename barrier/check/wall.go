package check

import (
	"math"
	"slices"

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

// wallName names where a rail ends in a wall.
func (c *run) wallName(end, rail int) string {
	return "rail " + c.d.Rails[rail].Name + " at the " + barrier.EndNames()[end]
}

// endOf returns an end of the run, 0 its start.
func (c *run) endOf(end int) *barrier.End {
	return [...]*barrier.End{&c.d.Run.Start, &c.d.Run.End}[end]
}

// wallActions are what a rail does to its fixing in a wall. A push is held against what resists
// a pull: a wall on which a rail bears stands it better than one that it is drawn from.
var wallActions = [...]struct {
	kind, symbol, what, unit, formula string
	of                                func(*analysis.State) float64
	given                             func(*barrier.WallFixing) *float64
	turns                             bool
}{
	{"pull", "N", "force along the rail on the wall", "N", "|N|", func(s *analysis.State) float64 { return math.Abs(s.N) }, func(f *barrier.WallFixing) *float64 { return f.Pull }, false},
	{"shear", "V", "force across the rail on the wall", "N", "√(Vy² + Vz²)", (*analysis.State).Shear, func(f *barrier.WallFixing) *float64 { return f.Shear }, false},
	{"moment", "M", "moment on the wall", "Nm", "√(T² + My² + Mz²)", wallMoment, func(f *barrier.WallFixing) *float64 { return f.Moment }, true},
}

// walls checks the fixing of each rail in a wall against what it resists.
func (m *model) walls(c *run) {
	if c.d.LeaveOut.Base {
		return
	}
	for end := range 2 {
		for rail := range c.d.Rails {
			if p := m.analysis.Wall(end, rail); p != nil {
				m.findings = append(m.findings, m.checkWall(c, end, rail, p)...)
			}
		}
	}
}

// checkWall checks one of them.
func (m *model) checkWall(c *run, end, rail int, p *analysis.Probe) []finding {
	fixing := &c.endOf(end).Fixing
	of := askedOf{prefix: "wall", tube: "rail", element: c.wallName(end, rail), member: end*len(c.d.Rails) + rail, level: levelOf(fixing.Values), sum: linearSum, by: usersOwn}
	for _, e := range wallActions {
		given := e.given(fixing)
		if given == nil {
			continue
		}
		a := asked{
			kind: e.kind, what: e.what, symbol: e.symbol, unit: e.unit, of: e.of, formula: e.formula, raised: 1, second: m.leaningFactor(rail), weight: 1,
			resisting: resisting{given: given, values: fixing.Values, factor: fixing.ValuesFactor, by: "value given"},
		}
		if e.turns {
			a.second = amplificationAt(m.rails[rail].second)
			a.raised = math.Min(a.second, amplifyTo) // above it nothing is judged
		}
		of.asks = append(of.asks, a)
	}
	return m.checkJoint(c, p, 0, of)
}

// wallDemands are what is listed of a wall whose fixing resists nothing that is known: of a
// force whose part along or across the rail is, the other part, of across the whole, which is
// no less.
var wallDemands = [...]struct {
	of, unit, what, keys string
	open                 func(*barrier.End) bool
}{
	{"F", "N", "force", "pull and shear", func(e *barrier.End) bool { return e.Fixing.Shear == nil }},
	{"Fx", "N", "force along the rail", "pull", func(e *barrier.End) bool { return e.Fixing.Shear != nil && e.Fixing.Pull == nil }},
	{"M", "Nm", "moment", "moment", func(e *barrier.End) bool { return e.Fixing.Moment == nil }},
}

// openWalls lists the largest force and moment on a wall that nothing resists.
func (c *run) openWalls() {
	for _, e := range wallDemands {
		var worst *EndRow
		size := func(r *EndRow) float64 {
			switch e.of {
			case "Fx":
				return math.Abs(r.Fx)
			case "M":
				return math.Hypot(r.Mx, math.Hypot(r.My, r.Mz))
			}
			return math.Hypot(r.Fx, math.Hypot(r.Fy, r.Fz))
		}
		for i := range c.out.Ends {
			r := &c.out.Ends[i]
			if end := c.endOf(slices.Index([]string{"start", "end"}, r.End)); !e.open(end) && !c.d.LeaveOut.Base {
				continue
			} else if c.d.LeaveOut.Base && e.of == "Fx" {
				continue
			}
			if r.ExtremeOf == e.of && (worst == nil || analysis.Beats(size(r), size(worst))) {
				worst = r
			}
		}
		if worst != nil {
			it := largest(OpenWall, "wall: "+e.what, "rail "+worst.Rail+" at the "+worst.End)
			it.Reason, it.Demand, it.Unit, it.Load = "nothing says what the fixing resists: run.start or run.end, "+e.keys, size(worst), e.unit, worst.Load
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
