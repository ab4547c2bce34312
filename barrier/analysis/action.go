package analysis

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// Action is one variable action of the barrier, ready to be placed: a point
// load or a line load on one rail, or on several with a share each, or on the posts.
type Action struct {
	Name         string
	Symbol       string  // in a combination: "Q", "Fu", "L"
	Point        bool    // else a line
	Value        float64 // N or N/m; N per metre of bay when PerSpacing is set, N/m² when Area is
	PerSpacing   bool
	Area         bool // of infill: a line whose shares are metres of height, on posts of width
	Rails        []Share
	At           *float64 // x, m, at which a point of the user's own stands alone; nil: wherever it is worst
	Posts        bool     // on the posts instead: a place along its chain is a height of one of them, see Placement.OnPost
	Lift         float64  // m by which it acts above the axis of its one rail, below where negative: its couple goes to the posts
	Field        *Field   // what stands everywhere at once, wind, ice or warmth, in place of a point or a line; nil for those
	Category     loads.Category
	Accidental   bool
	Load         int          // index into Definition.Loads
	Iced         int          // 1 and the index into Definition.Loads of the ice on which this wind blows; 0: on the bare barrier
	Where        string       // "on top rail"
	Strength     float64      // factor at the level of strength, a plain number
	Yield        float64      // factor for first yield, likewise
	Intermediate bool         // an infill load on an intermediate rail
	Steps        []loads.Step // how it was found, of a load of nature; none for others

	Schedule   *loads.Schedule // nil for an own load
	Clause     string
	Source     string
	Provenance string // of the value and of the height it acts at; loads.UsersOwn of an own load
	StrengthBy string // provenance of the factor at the level of strength
	YieldBy    string // provenance of the factor for first yield

	word     string
	outward  float64      // the sign of Y that points outward
	basis    []solver.Vec // directions that the load is made of
	fixed    [][3]float64 // the ways it may point, over the basis; empty: any unit vector over it
	supports []float64    // x of the ends of all bays, m
	run      *barrier.Run // on which it stands
	of       string       // which load of the definition it comes from, where there are several
	uprights []upright    // along the chain of an action on posts
	foot     float64      // z of the feet, m
	inBays   bool         // it stands on no overhang: on infill, which has none there
	aside    float64      // m by which an area load acts to the left of the axes of its rails
}

// Share is a rail with its share of a load.
type Share struct {
	Rail int // index into Definition.Rails
	// Share is a part of 1, a plain number; of an area load it is metres of height, negative
	// where the lever of infill that stands out pulls the other way: N/m² times it is N/m.
	Share float64
}

// Actions returns the variable actions of a definition in document order, and
// in words what was moved, left out or read into them.
func Actions(d *barrier.Definition) (actions []*Action, notes []quantity.Sentence) {
	basis := loads.CombinationsOf(d.Basis)
	for i := range d.Loads {
		l, before := &d.Loads[i], len(actions)
		var as []*Action
		var note []quantity.Sentence
		switch {
		case l.Own == nil:
			as, note = scheduleLoad(d, l.Schedule, &basis)
		case isField(l.Own.Kind):
			as, note = fieldActions(d, i)
		default:
			as, note = ownActions(d, l, &basis)
		}
		actions, notes = append(actions, as...), append(notes, note...)
		for _, a := range actions[before:] {
			a.Load = i
			if len(d.Loads) > 1 {
				a.of = l.Name
			}
		}
	}
	return actions, notes
}

// isField reports whether a load of the user's own stands everywhere at once.
func isField(k barrier.OwnLoadKind) bool {
	return k == barrier.OwnWind || k == barrier.OwnIce || k == barrier.OwnTemperature
}

// onBarrier returns an action of a barrier that stands nowhere yet.
func onBarrier(d *barrier.Definition) *Action {
	return &Action{supports: d.Supports(), run: &d.Run, foot: d.Post.Base.Level, Category: loads.Imposed}
}

// scheduleLoad returns the actions of a schedule on this barrier, and what it assumes.
func scheduleLoad(d *barrier.Definition, s *loads.Schedule, basis *loads.Combinations) (actions []*Action, notes []quantity.Sentence) {
	for k := range s.Actions {
		as, note := scheduleActions(d, s, &s.Actions[k], basis)
		actions = append(actions, as...)
		notes = append(notes, note...)
	}
	read := slices.Clone(s.Assumptions)
	if !d.Infill.Stands() {
		read = append(read, s.OpenAssumptions...)
	}
	for _, text := range read {
		notes = append(notes, quantity.Say("%s", text))
	}
	return actions, notes
}

// ownActions returns the actions that a point, line or area load of the user's own is.
func ownActions(d *barrier.Definition, l *barrier.Load, basis *loads.Combinations) ([]*Action, []quantity.Sentence) {
	o := l.Own
	a := onBarrier(d)
	a.Name, a.Point, a.Value, a.Yield = l.Name, o.Kind == barrier.OwnPoint, o.Value, 1
	var clause string
	a.Symbol, clause = ownWords(basis.Basis)
	strength := basis.StrengthFactor(nil, loads.Action{})
	a.Strength, a.StrengthBy = strength.Value, strength.Provenance
	a.Clause, a.Source, a.Provenance = clause, "the definition", loads.UsersOwn
	if l.Category != "" {
		a.Category = l.Category
	}
	a.point(o.Direction, d.Run.Hazard)
	if o.Kind == barrier.OwnArea {
		return a.onInfill(d)
	}
	z := d.Rails[o.Rail].Height
	if o.Height != nil {
		z = *o.Height
	}
	notes := a.stand(d, o.Rail, z)
	if o.At != nil {
		notes = append(notes, a.fix(d, o.At)...)
	}
	return []*Action{a}, notes
}

// ownWords returns the symbol of a load of the user's own and the clause that combines
// it.
func ownWords(b loads.Basis) (symbol, clause string) {
	switch b {
	case loads.BasisLRFD:
		return "L", "own load, ASCE 7-16 2.3.1"
	case loads.BasisASD:
		return "L", "own load, ASCE 7-16 2.4.1"
	case loads.BasisCSA:
		return "L", "own load, NBC 4.1.3.2 case 2"
	case loads.BasisAS:
		return "Q", "own load, AS/NZS 1170.0 4.2.2 (b)"
	}
	return "Q", "own load, EN 1990 6.10"
}

// scheduleActions returns the actions that one action of a schedule is on this
// barrier: one for each part that it may stand on.
func scheduleActions(d *barrier.Definition, s *loads.Schedule, a *loads.Action, basis *loads.Combinations) (out []*Action, notes []quantity.Sentence) {
	if a.Kind == loads.WindPressure || a.Target == loads.Everything {
		return scheduleField(d, s, a, basis)
	}
	strength := basis.StrengthFactor(s, *a)
	symbol := a.Symbol
	if !slices.Contains(basis.Basis.Families(), s.Family) {
		symbol, _ = ownWords(basis.Basis) // mixed in: a nominal imposed load of the basis
	}
	one := func() *Action {
		n := onBarrier(d)
		n.Name, n.Symbol, n.Point, n.Value = s.Name+" "+a.Name, symbol, a.Kind == loads.Point || a.Kind == loads.PointPerSpacing, a.Value
		n.PerSpacing, n.Strength, n.StrengthBy, n.Yield = a.Kind == loads.PointPerSpacing, strength.Value, strength.Provenance, a.FirstYield
		n.Intermediate = a.Target == loads.Intermediate
		n.Schedule, n.Clause, n.Source, n.Provenance, n.YieldBy = s, a.Standard+" "+a.Clause, a.Source, Weakest(a.Provenance, a.Height.Provenance), a.YieldRule.Provenance
		n.Accidental = a.Accidental
		for _, category := range [2]loads.Category{a.Category, s.Category} {
			if category != "" {
				n.Category = category
				break
			}
		}
		n.point(barrier.Direction{Word: a.Direction}, d.Run.Hazard)
		return n
	}
	add := func(rail int, z float64) {
		n := one()
		notes = append(notes, n.stand(d, rail, z)...)
		out = append(out, n)
	}
	top := d.Highest()
	switch a.Target {
	case loads.InfillArea:
		var note []quantity.Sentence
		out, note = one().onInfill(d)
		notes = append(notes, note...)
	case loads.ToeBoard:
		notes = append(notes, quantity.Say("%s: %s acts on the toe board, which is no part of the frame: it stands on no rail and no post", s.Name, a.Name))
	case loads.Intermediate:
		for i := range d.Rails {
			if i != top {
				add(i, d.Rails[i].Height)
			}
		}
		if d.Infill.Stands() {
			as, note := infillPoints(d, one)
			out, notes = append(out, as...), append(notes, note...)
			break
		}
		notes = append(notes, quantity.Say("%s: %s is put on each intermediate rail at its worst place (common practice on an open barrier)", s.Name, a.Name))
	case loads.AnyPart:
		for i := range d.Rails {
			add(i, d.Rails[i].Height)
		}
		if a.Kind == loads.Point {
			n := one()
			n.onPosts(d, max(0, d.Post.Base.Level), d.Post.Height, nil)
			out = append(out, n)
			notes = append(notes, quantity.Say("%s: %s is put on every rail and on every post above the walking surface, at its worst place", s.Name, a.Name))
			edges, note := infillEdges(d, one)
			out, notes = append(out, edges...), append(notes, note...)
		}
	default:
		if a.Kind == loads.PointPerSpacing && d.Run.Overhang != [2]float64{} {
			notes = append(notes, quantity.Say("%s: on an overhang %s is that of the bay beside it", s.Name, a.Name))
		}
		add(top, a.Height.At(d.Rails[top].Height, d.TopOfRail()))
		if a.Kind == loads.Line && !a.FreeAction {
			notes = append(notes, quantity.Say("%s: partial length used: the line load also stands on the adverse lengths alone", s.Name))
		}
	}
	if len(out) > 0 {
		notes = append(notes, turnNotes(s.Name, a)...)
	}
	return out, notes
}

// turnNotes says how a direction is read that is neither one way nor every way.
func turnNotes(schedule string, a *loads.Action) []quantity.Sentence {
	switch a.Direction {
	case loads.OutwardToDown:
		return []quantity.Sentence{quantity.Say("%s: %s may point any way from outward to straight down: it is turned through the whole circle across the run, which is cautious", schedule, a.Name)}
	case loads.DownCone:
		lean, high := coneLean()
		return []quantity.Sentence{quantity.Say("%s: %s may point any way within 10 deg of straight down: it is taken straight down, and at full size or %s of it downwards with %s of it sideways in each of eight directions; among them lies every way that it may point, which is cautious by less than 2 %% of its size",
			schedule, a.Name, quantity.Fix(high, 3), quantity.Fix(lean, 3))}
	}
	return nil
}

// Weakest returns the weakest of the words of provenance given, in the order memory,
// common-practice, derived, public; empty for none.
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
// two rails beside z by simple lever otherwise. Beyond the rails it stands on the nearest,
// with a couple on the posts. A load straight up or down gains nothing from its height: it
// stands on the axis as it is, has no couple, and between two rails is not shared.
func (a *Action) stand(d *barrier.Definition, rail int, z float64) []quantity.Sentence {
	r := &d.Rails[rail]
	a.Rails = []Share{{rail, 1}}
	a.Where = "on " + r.Name + " rail"
	off := z - r.Height
	if math.Abs(off) < 1e-9 {
		return nil
	}
	const rounding = 1e-9 // m
	below, above := neighbours(d, z)
	near := math.Abs(off) <= r.BuiltOD()/2+rounding
	if !near && (below < 0 || above < 0) {
		return a.beyond(d, max(below, above), z)
	}
	switch {
	case near && a.isUpright():
		return []quantity.Sentence{quantity.Say("%s acts at %s, within half a diameter of the axis of rail %s at %s: it stands on that axis",
			a.Name, quantity.Place(z), r.Name, quantity.Place(r.Height))}
	case near:
		foot := d.Post.Base.Level
		share := max(1, z/r.Height, (z-foot)/(r.Height-foot))
		a.Rails[0].Share = share
		return []quantity.Sentence{quantity.Say("%s acts at %s, within half a diameter of the axis of rail %s at %s: it stands on that axis, times %s",
			a.Name, quantity.Place(z), r.Name, quantity.Place(r.Height), quantity.Fix(share, 4))}
	}
	if a.isUpright() {
		return []quantity.Sentence{quantity.Say("%s acts at %s, between two rails: as it points straight up or down, all of it stands on the axis of rail %s at %s",
			a.Name, quantity.Place(z), r.Name, quantity.Place(r.Height))}
	}
	lo, hi := &d.Rails[below], &d.Rails[above]
	up := (z - lo.Height) / (hi.Height - lo.Height)
	a.Rails = []Share{{above, up}, {below, 1 - up}}
	a.Where = fmt.Sprintf("between %s rail and %s rail", hi.Name, lo.Name)
	return []quantity.Sentence{quantity.Say("%s acts at %s: by simple lever %s of it goes to rail %s and %s to rail %s",
		a.Name, quantity.Place(z), quantity.Fix(up, 4), hi.Name, quantity.Fix(1-up, 4), lo.Name)}
}

// beyond puts an action at a height z above the highest rail or below the lowest, which is
// the rail given: its force stands on the axis of that rail, and its couple about that axis
// goes to the posts in the ratio of their reactions.
func (a *Action) beyond(d *barrier.Definition, rail int, z float64) []quantity.Sentence {
	r := &d.Rails[rail]
	a.Rails, a.Where = []Share{{rail, 1}}, "above "+r.Name+" rail"
	if z < r.Height {
		a.Where = "below " + r.Name + " rail"
	}
	if a.isUpright() {
		return []quantity.Sentence{quantity.Say("%s acts at %s, %s, whose axis is at %s: it stands on that axis",
			a.Name, quantity.Place(z), a.Where, quantity.Place(r.Height))}
	}
	a.Lift = z - r.Height
	return []quantity.Sentence{quantity.Say("%s acts at %s, %s, whose axis is at %s: its force stands on that axis, and its couple, force times %s, on the posts in the ratio of their reactions",
		a.Name, quantity.Place(z), a.Where, quantity.Place(r.Height), quantity.Place(a.Lift))}
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
	case loads.DownCone:
		a.basis, a.fixed = []solver.Vec{x, y, z}, cone()
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
	case loads.DownCone:
		return a.leaning(n)
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

// Factor returns the factor on the action at a level where it acts alone: Strength, Yield, or 1.
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
	from, to := a.bayAt(x)
	return a.Value * (to - from)
}

// bayAt returns the ends of the bay that begins at x or that x is in, m. An overhang goes with the bay beside it.
func (a *Action) bayAt(x float64) (from, to float64) {
	i := sort.SearchFloat64s(a.supports, x+1e-9)
	bay := min(max(i-1, 0), len(a.supports)-2)
	return a.supports[bay], a.supports[bay+1]
}
