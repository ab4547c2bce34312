package analysis

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// Wind blows level and square to each leg, outward on the whole run or inward on the whole
// run, or along each leg. It presses every tube, posts, rails and braces alike, by its width seen
// from where the wind comes, every infill by its area, and a toe plate. No part shields
// another, and tubes in front of an infill count beside it. The velocity pressure is that at the
// top of the barrier, all the way down. Infill and toe plates that the wind runs along are taken
// to feel nothing: friction is neglected.
//
// A level force on an infill that stands off its rails has no couple about their axes: its line
// of action meets the height of the axis that it is levered to.

// windActions returns the actions of a wind of the user's own: on the bare barrier, and on the
// iced one for each ice that acts with it.
func windActions(d *barrier.Definition, load int) ([]*Action, []quantity.Sentence) {
	l := &d.Loads[load]
	b := newBlow(d, l.Own.Wind)
	a := ofOwn(d, load, "W", loads.WindAction)
	a.blown(d, b, l.Own.Direction.Word)
	actions, notes := []*Action{a}, b.notes(l.Name)
	for _, with := range l.With {
		ice := &d.Loads[with]
		if ice.Own == nil || ice.Own.Kind != barrier.OwnIce {
			continue
		}
		coat := ice.Own.Ice.Coat()
		iced := ofOwn(d, load, "W", loads.WindAction)
		iced.Name, iced.Iced = l.Name+" on "+ice.Name, 1+with
		on := b.iced(&coat)
		iced.blown(d, on, l.Own.Direction.Word)
		actions = append(actions, iced)
		infill := ""
		if d.Infill.Stands() {
			infill = ", and on infill of solidity " + quantity.Fix(on.infill, 2)
		}
		notes = append(notes, quantity.Say("%s acts together with %s on the iced barrier: on %s of its velocity pressure, on tubes that are wider by %s%s",
			l.Name, ice.Name, quantity.Fix(coat.Share, 2), quantity.Size(2*coat.Thickness), infill))
	}
	return actions, notes
}

// suits reports whether a wind is that of a set of actions that act together: the one on the
// bare barrier in a set without ice, the one on ice in a set that has this ice. Every other
// action suits any set. Whoever makes the sets of actions that act together asks it of each
// action of a set.
func (a *Action) suits(set []*Action) bool {
	if a.Category != loads.WindAction {
		return true
	}
	if a.Schedule != nil { // it has no action on ice
		return true
	}
	return slices.ContainsFunc(set, func(b *Action) bool {
		return b.Category == loads.IceAction && (a.Iced == 0 || b.Load == a.Iced-1)
	}) == (a.Iced != 0)
}

// scheduleField returns the actions of a schedule's wind, a velocity pressure on everything at
// once.
func scheduleField(d *barrier.Definition, s *loads.Schedule, row *loads.Action, basis *loads.Combinations) ([]*Action, []quantity.Sentence) {
	b := newBlow(d, loads.WindOf(row))
	a := onBarrier(d)
	a.Name, a.Symbol, a.Category, a.Field, a.Yield = s.Name+" "+row.Name, row.Symbol, loads.WindAction, &Field{}, row.FirstYield
	a.Schedule, a.Clause, a.Source, a.Provenance, a.YieldBy = s, row.Standard+" "+row.Clause, row.Source, row.Provenance, row.YieldRule.Provenance
	if row.Strength.Override && slices.Contains(basis.Basis.Families(), s.Family) {
		a.Strength, a.StrengthBy = row.Strength.Value, row.Strength.Provenance
	}
	a.blown(d, b, row.Direction)
	a.Provenance = Weakest(a.Provenance, row.Provenance)
	notes := b.notes(a.Name)
	return []*Action{a}, append(notes, quantity.Say("%s is a velocity pressure: the force coefficients of EN 1991-1-4 turn it into forces, those of %s are not known", a.Name, s.Standard))
}

// blown makes the action that of a wind, in every sense of a direction.
func (a *Action) blown(d *barrier.Definition, b *blow, direction string) {
	ways := windWays(direction)
	if turnsAtPost(d) {
		ways = append(ways, beyondCorners(ways)...)
	}
	for _, w := range ways {
		a.Field.Senses = append(a.Field.Senses, Sense{Words: b.words(w.word), On: func(r *Replayer) solver.Case { return b.on(r, &w) }})
	}
	a.Steps = b.steps
	a.Provenance = provenance(b.steps)
}

// windWay is a way in which a wind blows, in parts along each leg and outward: one of them is 1 or -1,
// the other 0.
type windWay struct {
	word           string
	along, outward float64
	beyond         bool // a post at a corner feels that of the leg that begins there, else that of the leg that ends there
}

// turnsAtPost reports whether some post stands at a corner in plan.
func turnsAtPost(d *barrier.Definition) bool {
	for post := range d.Run.Posts {
		if d.Run.TurnsAt(post) {
			return true
		}
	}
	return false
}

// beyondCorners returns the ways in which posts at corners feel the wind on the legs that begin there.
// A corner's post belongs to both legs, and a wind square to either presses it whole.
func beyondCorners(ways []windWay) []windWay {
	out := slices.Clone(ways)
	for i := range out {
		out[i].beyond = true
		out[i].word += " (on posts at corners as on the leg beyond)"
	}
	return out
}

// windWays returns the ways of a direction: those of a wind are level.
func windWays(direction string) []windWay {
	outward, inward := windWay{word: "outward", outward: 1}, windWay{word: "inward", outward: -1}
	along := []windWay{{word: "along, towards the end", along: 1}, {word: "along, towards the start", along: -1}}
	switch direction {
	case "outward":
		return []windWay{outward}
	case "inward":
		return []windWay{inward}
	case "along":
		return along
	case "horizontal", "any":
		return append([]windWay{outward, inward}, along...)
	}
	return []windWay{outward, inward}
}

// blow is a wind at a barrier with what it puts on each part.
type blow struct {
	d      *barrier.Definition
	wind   *loads.Wind
	gust   loads.Gust
	coat   *loads.Coat // of ice that it blows at; nil for none
	height float64     // above the walking surface at the start, m, for which the pressure is found
	whole  float64     // solidity of the barrier
	infill float64     // solidity of the infill; 0 for none
	widths []tubeDrag
	toe    float64 // N/m² on a toe plate; 0 for none
	pieces []piece // of infill along the run, none where there is no infill
	steps  []loads.Step
}

// tubeDrag is the force per metre, N/m, on a tube of that diameter, m.
type tubeDrag struct{ od, force float64 }

// piece is a length of infill with one pressure on its gross area.
type piece struct {
	from, to float64 // x, m
	leg      int
	pressure float64 // N/m²
}

// newBlow returns a wind at the bare barrier.
func newBlow(d *barrier.Definition, w *loads.Wind) *blow {
	b := &blow{d: d, wind: w, height: d.HighestPoint()}
	if d.Infill.Stands() {
		b.infill = d.Infill.Solidity
	}
	b.gust, b.whole = w.At(b.height), d.Solidity(0, b.infill)
	b.press()
	return b
}

// iced returns the same wind at the barrier under a coat of ice.
func (b *blow) iced(c *loads.Coat) *blow {
	on := &blow{d: b.d, wind: b.wind, height: b.height, gust: b.gust.Iced(c), coat: c}
	var steps []loads.Step
	if b.d.Infill.Stands() {
		ice := b.d.IcedInfill(c)
		on.infill, steps = ice.Solidity, ice.Steps
	}
	on.whole = b.d.Solidity(c.Thickness, on.infill)
	on.press()
	on.steps = slices.Concat(steps, on.steps)
	return on
}

// press finds what the wind puts on each part. It panics for a wind that
// [barrier.Definition.WindFaults] faults.
func (b *blow) press() {
	d := b.d
	if faults := b.wind.Check(b.height, b.whole); len(faults) > 0 {
		panic("analysis: wind: " + faults[0].Field + ": " + faults[0].What)
	}
	b.steps = slices.Clone(b.gust.Steps)
	b.pressTube("posts", d.Post.BuiltOD())
	for i := range d.Rails {
		b.pressTube("rail "+d.Rails[i].Name, d.Rails[i].BuiltOD())
	}
	for i := range d.Braces {
		b.pressTube(fmt.Sprintf("brace %d", i+1), d.Braces[i].BuiltOD())
	}
	if d.Run.ToePlate.State == barrier.ToePlateGiven {
		drag := b.gust.Plate(b.whole)
		b.toe = drag.Pressure
		b.steps = append(b.steps, titled("toe plate", drag.Steps)...)
	}
	if d.Infill.Stands() {
		b.pressInfill()
	}
}

// pressTube finds the force per metre on a tube; equal tubes once.
func (b *blow) pressTube(part string, od float64) {
	if b.forceOn(od) > 0 {
		return
	}
	drag := b.gust.Tube(od, b.whole)
	force := drag.Pressure * od
	b.widths = append(b.widths, tubeDrag{od, force})
	width, symbol := od, "b"
	if b.coat != nil {
		width, symbol = b.coat.Width(od), "D"
	}
	b.steps = append(b.steps, titled(part, append(drag.Steps, loads.Step{
		What: "force on a metre of tube", Symbol: "w", Formula: "pressure times " + symbol, Result: force, Unit: "N/m",
		Values:   []loads.Value{{Symbol: "p", Value: force / width, Unit: "N/m2"}, {Symbol: symbol, Value: width, Unit: "m"}},
		Citation: drag.Steps[len(drag.Steps)-1].Citation,
	}))...)
}

// titled returns steps that say of which part they are.
func titled(part string, steps []loads.Step) []loads.Step {
	out := slices.Clone(steps)
	for i := range out {
		out[i].What += ", " + part
	}
	return out
}

// forceOn returns the force per metre on a tube of that diameter, N/m; 0 for one not found yet.
func (b *blow) forceOn(od float64) float64 {
	for _, w := range b.widths {
		if w.od == od {
			return w.force
		}
	}
	return 0
}

// pressInfill finds the pressure on the infill along the run: by zones from its ends where it
// is a wall.
func (b *blow) pressInfill() {
	if !b.gust.IsWall(b.infill) {
		drag := b.gust.Open(b.infill, b.whole)
		b.steps = append(b.steps, titled("infill", drag.Steps)...)
		b.pieces = b.even(drag.Pressure)
		return
	}
	walls := wallsOf(b.d)
	for i := range walls {
		b.pressWall(i+1, &walls[i])
	}
}

// pressWall finds the zones of a wall, numbered from 1, from both its ends and takes the larger
// pressure at each place.
func (b *blow) pressWall(number int, w *wall) {
	d := b.d
	h, l := d.Infill.Top-d.Infill.Bottom, w.to-w.from
	var zones [2][]loads.Zone
	for end := range zones {
		var steps []loads.Step
		zones[end], steps = b.gust.Wall(l, h, b.infill, w.returned[end])
		if end == 0 || w.returned[0] != w.returned[1] {
			b.steps = append(b.steps, titled(fmt.Sprintf("wall %d of infill, from its %s", number, [2]string{"start", "end"}[end]), steps)...)
		}
	}
	cuts := slices.Clone(w.legs)
	for end := range zones {
		for _, z := range zones[end] {
			x := w.from + z.To
			if end == 1 {
				x = w.to - z.To
			}
			if x > w.from && x < w.to {
				cuts = append(cuts, x)
			}
		}
	}
	cuts = append(cuts, w.from, w.to)
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	for i := range cuts[1:] {
		middle := (cuts[i] + cuts[i+1]) / 2
		p := math.Max(pressureAt(zones[0], middle-w.from), pressureAt(zones[1], w.to-middle))
		b.pieces = append(b.pieces, piece{cuts[i], cuts[i+1], d.Run.LegOf(middle), p})
	}
}

// pressureAt returns the pressure at a distance from the end that zones are counted from.
func pressureAt(zones []loads.Zone, distance float64) float64 {
	for _, z := range zones {
		if distance <= z.To {
			return z.Pressure
		}
	}
	return zones[len(zones)-1].Pressure
}

// wall is a length of solid infill, straight in plan.
type wall struct {
	from, to float64    // x, m
	legs     []float64  // x inside it at which a leg ends: it climbs on otherwise
	returned [2]float64 // its return corner at either end, in heights: 0, a free end, to 1
}

// leastReturn is the cosine of the turn up to which a corner is no return corner: 45 deg.
// Rule of this program, common practice.
const leastReturn = 0.7072

// wallsOf returns the walls that an infill makes: they end at corners in plan, at gaps and at
// the ends of the run. A corner of 45 deg and more is a return corner as long as the wall
// behind it, and a building's wall one as long as the infill is high: both shelter the end. A
// lesser corner is a free end, which is cautious.
func wallsOf(d *barrier.Definition) []wall {
	h := d.Infill.Top - d.Infill.Bottom
	heading := func(x float64) solver.Vec { return d.Run.Axes(d.Run.LegOf(x))[0] }
	var walls []wall
	corner := []bool{}
	for _, s := range stretchesOfBays(d) {
		last := len(walls) - 1
		joined := last >= 0 && walls[last].to == s.From
		if joined && heading((s.From+s.To)/2) == heading(walls[last].to) {
			walls[last].legs = append(walls[last].legs, s.From)
			walls[last].to = s.To
			continue
		}
		turn := 1.0
		if joined {
			turn = dot(heading((s.From+s.To)/2), heading(walls[last].to))
		}
		corner = append(corner, joined && turn < leastReturn)
		walls = append(walls, wall{from: s.From, to: s.To})
	}
	for i := range walls {
		if corner[i] {
			walls[i].returned[0] = math.Min((walls[i-1].to-walls[i-1].from)/h, 1)
			walls[i-1].returned[1] = math.Min((walls[i].to-walls[i].from)/h, 1)
		}
	}
	if d.Run.Start.Wall {
		walls[0].returned[0] = 1
	}
	if d.Run.End.Wall {
		walls[len(walls)-1].returned[1] = 1
	}
	return walls
}

// words says what the wind is, in units: "wind outward, velocity pressure 0.449 kN/m2", "wind outward
// on the iced barrier, 0.45 of velocity pressure 0.449 kN/m2".
func (b *blow) words(way string) func(quantity.System) string {
	return func(units quantity.System) string {
		pressure := quantity.FormatIn(b.gust.Pressure, "kN/m2", 3)
		if units == quantity.US {
			pressure = quantity.FormatIn(b.gust.Pressure, "psf", 1)
		}
		if b.coat != nil {
			return fmt.Sprintf("wind %s on the iced barrier, %s of velocity pressure %s", way, quantity.Fix(b.coat.Share, 2), pressure)
		}
		return fmt.Sprintf("wind %s, velocity pressure %s", way, pressure)
	}
}

// notes says how the wind is read.
func (b *blow) notes(name string) []quantity.Sentence {
	notes := []quantity.Sentence{quantity.Say("%s has one velocity pressure on the whole barrier, that at its highest point, %s above the walking surface at the start; it blows square to each leg or along it, on the whole run one way at a time",
		name, quantity.Place(b.height))}
	for _, n := range b.gust.Notes {
		notes = append(notes, quantity.Say("%s: %s", name, n))
	}
	if b.d.Infill.Stands() {
		notes = append(notes, b.infillNotes(name)...)
	} else {
		notes = append(notes, quantity.Say("%s acts on tubes alone: sheeting, nets, banners and signs would multiply it", name))
	}
	if b.d.Run.ToePlate.State == barrier.ToePlateGiven {
		notes = append(notes, quantity.Say("%s on the toe plate goes to the posts, half of a bay each, as on a flat-sided member", name))
	}
	return notes
}

func (b *blow) infillNotes(name string) (notes []quantity.Sentence) {
	if b.gust.IsWall(b.infill) {
		notes = append(notes, quantity.Say("%s on the infill is that on a wall, in zones from each of its ends, the larger where they meet; a corner of 45 deg and more, and a building's wall, count as return corners", name))
	} else {
		notes = append(notes, quantity.Say("%s on the infill is that on flat-sided members with its solid area, without shielding: the file does not tell their shape, and round wires or bars take less", name))
	}
	if b.d.Infill.Carrier == barrier.CarriedByPosts {
		return append(notes, quantity.Say("%s on the infill goes to the posts by simple lever in each bay; a wall takes its part of the bay that ends there, and an overhang has none", name))
	}
	return append(notes, quantity.Say("%s on the infill goes to the rails that carry it by simple lever; an overhang has none", name))
}

// on returns the load case of the wind on a frame as it blows one way.
func (b *blow) on(r *Replayer, w *windWay) solver.Case {
	var c solver.Case
	along, outward := w.along, w.outward
	way := func(leg int) solver.Vec {
		n, out := times(along, b.d.Run.Axes(leg)[0]), times(outward, outwardOf(b.d, leg))
		return solver.Vec{n[0] + out[0], n[1] + out[1], n[2] + out[2]}
	}
	for _, t := range r.tubes(b.d) {
		leg := t.leg
		if w.beyond && t.cornered {
			leg++
		}
		n := way(leg)
		if seen := sineTo(t.axis, n); seen > 1e-9 {
			c.Lines = append(c.Lines, t.all(times(b.forceOn(t.of.BuiltOD())*seen, n)))
		}
	}
	if outward == 0 {
		return c
	}
	if b.toe > 0 {
		plate := b.d.Run.ToePlate
		b.onPosts(r, &c, b.even(b.toe), way, plate.Gap, plate.Gap+plate.Height)
	}
	switch {
	case len(b.pieces) == 0:
	case b.d.Infill.Carrier == barrier.CarriedByPosts:
		b.onPosts(r, &c, b.pieces, way, b.d.Infill.Bottom, b.d.Infill.Top)
	default:
		b.onRails(r, &c, way)
	}
	return c
}

// even returns pieces of one pressure on every stretch of bays.
func (b *blow) even(pressure float64) (pieces []piece) {
	for _, s := range stretchesOfBays(b.d) {
		pieces = append(pieces, piece{s.From, s.To, b.d.Run.LegOf((s.From + s.To) / 2), pressure})
	}
	return pieces
}

// stretchesOfBays returns the stretches of the run without its overhangs, on which no infill and
// no toe plate stands.
func stretchesOfBays(d *barrier.Definition) []barrier.Stretch {
	all, supports := d.Run.Stretches(), d.Run.Supports()
	for i := range all {
		all[i].From = math.Max(all[i].From, supports[0])
		all[i].To = math.Min(all[i].To, supports[len(supports)-1])
	}
	return all
}

// onRails puts the infill's pieces on the rails that carry it, by the height that goes to each.
func (b *blow) onRails(r *Replayer, c *solver.Case, way func(leg int) solver.Vec) {
	shares, _ := tributary(b.d)
	for _, share := range shares {
		for _, m := range r.Frame.Rails[share.Rail].Members {
			for _, p := range b.pieces {
				from, to := math.Max(p.from, m.From), math.Min(p.to, m.To)
				if to <= from {
					continue
				}
				q := times(p.pressure*share.Share*slopeOf(b.d, m.Leg), way(m.Leg))
				c.Lines = append(c.Lines, solver.LineLoad{Member: m.ID, From: from - m.From, To: to - m.From, Start: q, End: q})
			}
		}
	}
}

// onPosts puts pieces of panels between two heights on the posts: in each bay by simple lever to
// its ends. A wall takes its part.
func (b *blow) onPosts(r *Replayer, c *solver.Case, pieces []piece, way func(leg int) solver.Vec, bottom, top float64) {
	supports := b.d.Supports()
	for bay := range len(supports) - 1 {
		if b.d.Run.IsGap(bay) {
			continue
		}
		start, length := supports[bay], supports[bay+1]-supports[bay]
		leg := b.d.Run.LegOf(start + length/2)
		var ends [2]float64 // N for each metre of height
		for _, p := range pieces {
			from, to := math.Max(p.from, start), math.Min(p.to, start+length)
			if to <= from {
				continue
			}
			force := p.pressure * (to - from) * slopeOf(b.d, leg)
			part := ((from+to)/2 - start) / length
			ends[0] += force * (1 - part)
			ends[1] += force * part
		}
		for end, force := range ends {
			if post, ok := postAt(b.d, bay+end); ok {
				r.upPost(c, post, times(force, way(leg)), bottom, top)
			}
		}
	}
}
