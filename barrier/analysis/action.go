package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// Action is one variable action of the barrier, ready to be placed: a point
// load or a line load on one rail, or on two with a share each.
type Action struct {
	Name         string
	Symbol       string  // in a combination: "Q", "Fu", "L"
	Point        bool    // else a line
	Value        float64 // N or N/m; N per metre of bay when PerSpacing is set
	PerSpacing   bool
	Rails        []Share
	Where        string  // "on top rail"
	Strength     float64 // factor at ULS
	Yield        float64 // factor for first yield
	Intermediate bool    // an infill load on an intermediate rail

	Schedule   *loads.Schedule // nil for an own load
	Clause     string
	Source     string
	Provenance string // of the value and of the height it acts at
	StrengthBy string // provenance of the factor at the level of strength
	YieldBy    string // provenance of the factor for first yield

	word     string
	outward  float64      // the sign of Y that points outward
	basis    []solver.Vec // directions that the load is made of
	fixed    [][3]float64 // the ways it may point, over the basis; empty: any unit vector over it
	supports []float64    // x of the ends of all bays, m
	run      *barrier.Run // on which it stands
	of       string       // which load of the definition it comes from, where there are several
}

// Share is a rail with its share of a load.
type Share struct {
	Rail  int
	Share float64
}

// Actions returns the variable actions of a definition in document order, and
// in words what was moved, left out or read into them.
func Actions(d *barrier.Definition) (actions []*Action, notes []quantity.Sentence) {
	basis := loads.CombinationsOf(d.Basis)
	for i := range d.Loads {
		l, before := &d.Loads[i], len(actions)
		if l.Own != nil {
			a, note := ownAction(d, l, &basis)
			actions = append(actions, a)
			notes = append(notes, note...)
		} else {
			as, note := scheduleLoad(d, l.Schedule, &basis)
			actions = append(actions, as...)
			notes = append(notes, note...)
		}
		for _, a := range actions[before:] {
			if len(d.Loads) > 1 {
				a.of = l.Name
			}
		}
	}
	for _, a := range actions {
		a.supports, a.run = d.Supports(), &d.Run
	}
	return actions, notes
}

// scheduleLoad returns the actions of a schedule on this barrier, and what it assumes.
func scheduleLoad(d *barrier.Definition, s *loads.Schedule, basis *loads.Combinations) (actions []*Action, notes []quantity.Sentence) {
	for k := range s.Actions {
		as, note := scheduleActions(d, s, &s.Actions[k], basis)
		actions = append(actions, as...)
		notes = append(notes, note...)
	}
	for _, read := range s.Assumptions {
		notes = append(notes, quantity.Say("%s", read))
	}
	return actions, notes
}

func ownAction(d *barrier.Definition, l *barrier.Load, basis *loads.Combinations) (*Action, []quantity.Sentence) {
	o := l.Own
	symbol, clause := ownWords(basis.Basis)
	strength := basis.StrengthFactor(nil, loads.Action{})
	a := &Action{
		Name: l.Name, Symbol: symbol, Point: o.Kind == barrier.OwnPoint, Value: o.Value, Strength: strength.Value, StrengthBy: strength.Provenance, Yield: 1,
		Clause: clause, Source: "the definition", Provenance: "own load",
	}
	a.point(o.Direction, d.Run.Hazard)
	z := d.Rails[o.Rail].Height
	if o.Height != nil {
		z = *o.Height
	}
	note := a.stand(d, o.Rail, z)
	return a, note
}

// ownWords returns the symbol of a load of the user's own and the clause that combines
// it.
func ownWords(b loads.Basis) (symbol, clause string) {
	switch b {
	case loads.BasisLRFD:
		return "L", "own load, ASCE 7-16 2.3.1"
	case loads.BasisASD:
		return "L", "own load, ASCE 7-16 2.4.1"
	}
	return "Q", "own load, EN 1990 6.10"
}

// scheduleActions returns the actions that one action of a schedule is on this
// barrier: an infill point goes to every intermediate rail.
func scheduleActions(d *barrier.Definition, s *loads.Schedule, a *loads.Action, basis *loads.Combinations) (out []*Action, notes []quantity.Sentence) {
	strength := basis.StrengthFactor(s, *a)
	symbol := a.Symbol
	if !slices.Contains(basis.Basis.Families(), s.Family) {
		symbol, _ = ownWords(basis.Basis) // mixed in: a nominal imposed load of the basis
	}
	add := func(rail int, z float64) {
		n := &Action{
			Name: s.Name + " " + a.Name, Symbol: symbol, Point: a.Kind != loads.Line, Value: a.Value,
			PerSpacing: a.Kind == loads.PointPerSpacing, Strength: strength.Value, StrengthBy: strength.Provenance, Yield: a.FirstYield,
			Intermediate: a.Target == loads.Intermediate,
			Schedule:     s, Clause: a.Standard + " " + a.Clause, Source: a.Source, Provenance: Weakest(a.Provenance, a.Height.Provenance), YieldBy: a.YieldRule.Provenance,
		}
		n.point(barrier.Direction{Word: a.Direction}, d.Run.Hazard)
		notes = append(notes, n.stand(d, rail, z)...)
		out = append(out, n)
	}
	top := d.Highest()
	switch a.Target {
	case loads.InfillArea:
		notes = append(notes, quantity.Say("%s: %s is not applicable, the barrier has no infill", s.Name, a.Name))
	case loads.ToeBoard:
		notes = append(notes, quantity.Say("%s: %s acts on the toe board, which is no part of the frame: it stands on no rail and no post", s.Name, a.Name))
	case loads.Intermediate:
		for i := range d.Rails {
			if i != top {
				add(i, d.Rails[i].Height)
			}
		}
		notes = append(notes, quantity.Say("%s: %s is put on each intermediate rail at its worst place (common practice on an open barrier)", s.Name, a.Name))
	default:
		if a.Kind == loads.PointPerSpacing && d.Run.Overhang != [2]float64{} {
			notes = append(notes, quantity.Say("%s: on an overhang %s is that of the bay beside it", s.Name, a.Name))
		}
		add(top, a.Height.At(d.Rails[top].Height, d.TopOfRail()))
		if a.Kind == loads.Line && !a.FreeAction {
			notes = append(notes, quantity.Say("%s: partial length used: the line load also stands on the adverse lengths alone", s.Name))
		}
	}
	if a.Direction == loads.OutwardToDown && len(out) > 0 {
		notes = append(notes, quantity.Say("%s: %s may point any way from outward to straight down: it is turned through the whole circle across the run, which is cautious", s.Name, a.Name))
	}
	return out, notes
}

// Weakest returns the weakest of the words of provenance given, empty for none.
func Weakest(words ...string) string {
	for _, weak := range [...]string{"memory", "common-practice", "derived", "public"} {
		if slices.Contains(words, weak) {
			return weak
		}
	}
	return ""
}

// stand puts the action at height z: on its rail when z is within half a
// diameter of the axis (raised by z over axis where it is above), between the
// two rails beside z by simple lever otherwise. Loads beyond the rails were
// refused with the definition.
func (a *Action) stand(d *barrier.Definition, rail int, z float64) []quantity.Sentence {
	r := &d.Rails[rail]
	a.Rails = []Share{{rail, 1}}
	a.Where = "on " + r.Name + " rail"
	off := z - r.Height
	if math.Abs(off) < 1e-9 {
		return nil
	}
	below, above := neighbours(d, z)
	if math.Abs(off) <= r.Ring.OD/2 || below < 0 || above < 0 {
		foot := d.Post.Base.Level
		share := max(1, z/r.Height, (z-foot)/(r.Height-foot))
		a.Rails[0].Share = share
		return []quantity.Sentence{quantity.Say("%s acts at %s, within half a diameter of the axis of rail %s at %s: it stands on that axis, times %s",
			a.Name, quantity.Place(z), r.Name, quantity.Place(r.Height), quantity.Fix(share, 4))}
	}
	lo, hi := &d.Rails[below], &d.Rails[above]
	up := (z - lo.Height) / (hi.Height - lo.Height)
	a.Rails = []Share{{above, up}, {below, 1 - up}}
	a.Where = fmt.Sprintf("between %s rail and %s rail", hi.Name, lo.Name)
	return []quantity.Sentence{quantity.Say("%s acts at %s: by simple lever %s of it goes to rail %s and %s to rail %s",
		a.Name, quantity.Place(z), quantity.Fix(up, 4), hi.Name, quantity.Fix(1-up, 4), lo.Name)}
}

// neighbours returns the rails next below and next above z, -1 for none.
func neighbours(d *barrier.Definition, z float64) (below, above int) {
	below, above = -1, -1
	for i := range d.Rails {
		switch h := d.Rails[i].Height; {
		case h <= z && (below < 0 || h > d.Rails[below].Height):
			below = i
		case h > z && (above < 0 || h < d.Rails[above].Height):
			above = i
		}
	}
	return below, above
}

// point sets the ways the load may point.
func (a *Action) point(d barrier.Direction, hazard barrier.Side) {
	x, y, z := solver.Vec{1, 0, 0}, solver.Vec{0, 1, 0}, solver.Vec{0, 0, 1}
	out := solver.Vec{0, hazard.Outward(), 0}
	one, minus := [3]float64{1}, [3]float64{-1}
	a.word, a.outward = d.Word, hazard.Outward()
	switch d.Word {
	case "outward":
		a.basis, a.fixed = []solver.Vec{out}, [][3]float64{one}
	case "inward":
		a.basis, a.fixed = []solver.Vec{out}, [][3]float64{minus}
	case "across":
		a.basis, a.fixed = []solver.Vec{out}, [][3]float64{one, minus}
	case loads.OutwardOrDown:
		a.basis, a.fixed = []solver.Vec{out, z}, [][3]float64{one, {0, -1}}
	case loads.OutwardToDown:
		a.basis = []solver.Vec{out, z}
	case "up":
		a.basis, a.fixed = []solver.Vec{z}, [][3]float64{one}
	case "down":
		a.basis, a.fixed = []solver.Vec{z}, [][3]float64{minus}
	case "along":
		a.basis, a.fixed = []solver.Vec{x}, [][3]float64{one, minus}
	case "horizontal":
		a.basis = []solver.Vec{x, y}
	case "any":
		a.basis = []solver.Vec{x, y, z}
	case "":
		c := math.Cos(d.Elevation)
		a.basis = []solver.Vec{{c * math.Cos(d.Azimuth), c * math.Sin(d.Azimuth), math.Sin(d.Elevation)}}
		a.fixed = [][3]float64{one}
		a.word = fmt.Sprintf("at azimuth %s deg, elevation %s deg", quantity.Fix(degrees(d.Azimuth), 1), quantity.Fix(degrees(d.Elevation), 1))
	default:
		panic("analysis: direction " + d.Word)
	}
}

// Turns reports whether a placed load of the action may be told by its azimuth.
func (a *Action) Turns() bool {
	return a.word == "horizontal" || a.word == "any" || strings.HasPrefix(a.word, "at azimuth")
}

// directionWord says which way a placed load points.
func (a *Action) directionWord(n [3]float64) string {
	switch a.word {
	case "across":
		if n[0] < 0 {
			return "inward"
		}
		return "outward"
	case loads.OutwardOrDown:
		if n[0] > 0 {
			return "outward"
		}
		return "down"
	case loads.OutwardToDown:
		return a.heading([3]float64{0, a.outward * n[0], n[1]}) // given outward and up
	case "along":
		if n[0] < 0 {
			return "along, towards the start,"
		}
		return "along, towards the end,"
	case "horizontal", "any":
		return a.heading(n)
	}
	return a.word
}

// heading says which way a load points that is free to turn, given along its leg, to the
// left and up: on
// the level by a word or by its azimuth, and by how much it points up or down.
func (a *Action) heading(n [3]float64) string {
	if word := a.plainWord(n); word != "" {
		return word
	}
	level := a.plainWord([3]float64{n[0], n[1]})
	if level == "" {
		level = fmt.Sprintf("at azimuth %s deg", quantity.Fix(azimuth(n), 1))
	}
	tilt, way := degrees(math.Atan2(n[2], math.Hypot(n[0], n[1]))), "up"
	if tilt < 0 {
		tilt, way = -tilt, "down"
	}
	if tilt < tenth/2 {
		return level
	}
	return fmt.Sprintf("%s, %s deg %s,", strings.TrimSuffix(level, ","), quantity.Fix(tilt, 1), way)
}

// tenth is the angle, in degrees, to which directions are printed.
const tenth = 0.1

// plainWord says which way a load points that is free to turn, where that has a word of
// its own to a tenth of a degree; empty where it has not.
func (a *Action) plainWord(n [3]float64) string {
	const tenth = 0.05 * math.Pi / 180
	along := func(axis int) bool {
		return math.Hypot(n[(axis+1)%3], n[(axis+2)%3]) < math.Sin(tenth)*math.Abs(n[axis])
	}
	switch {
	case along(0) && n[0] < 0:
		return "along, towards the start,"
	case along(0):
		return "along, towards the end,"
	case along(1) && n[1]*a.outward < 0:
		return "inward"
	case along(1):
		return "outward"
	case along(2) && n[2] < 0:
		return "down"
	case along(2):
		return "up"
	}
	return ""
}

// azimuth returns degrees in [0, 360) from the direction of the leg, anticlockwise seen from
// above.
// A load that points straight up or down has azimuth 0.
func azimuth(n [3]float64) float64 {
	if math.Hypot(n[0], n[1]) < 1e-9 {
		return 0
	}
	deg := math.Round(degrees(math.Atan2(n[1], n[0]))*10) / 10
	if deg < 0 {
		deg += 360
	}
	return deg
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }

// Factor returns the factor on the action at a level.
func (a *Action) Factor(l Level) float64 {
	switch l {
	case Strength:
		return a.Strength
	case FirstYield:
		return a.Yield
	}
	return 1
}

// sizeAt returns the size of the load on the part of the run that begins at x: N,
// or N/m. An overhang goes with the bay beside it.
func (a *Action) sizeAt(x float64) float64 {
	if !a.PerSpacing {
		return a.Value
	}
	i, _ := slices.BinarySearch(a.supports, x+1e-9)
	bay := min(max(i-1, 0), len(a.supports)-2)
	return a.Value * (a.supports[bay+1] - a.supports[bay])
}
