package analysis

import (
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/solver"
)

// Infill carries what acts on it to rails or to posts by simple lever: each strip between two
// carrying rails goes half and half, and of what stands out beyond the outermost carrier the
// lever takes from the next what it adds to that one. So the parts add up to the load, and
// their moment about any level is the load's. A level load has no couple about the axis of a
// rail, however far the infill stands off it: its line of action meets the height of that axis.
// One that points up or down has no lever, and what stands out hangs on the outermost carrier;
// where the infill stands off the axis it has a couple, which goes to the posts.

// onInfill returns an area load on the infill as it goes to what carries that.
func (a *Action) onInfill(d *barrier.Definition) ([]*Action, []quantity.Sentence) {
	if !d.Infill.Stands() {
		if a.Schedule == nil {
			return nil, []quantity.Sentence{quantity.Say("%s is not applicable, the barrier has no infill", a.Name)}
		}
		return nil, []quantity.Sentence{quantity.Say("%s: %s is not applicable, the barrier has no infill", a.Schedule.Name, a.Name[len(a.Schedule.Name)+1:])}
	}
	a.Area = true
	f := &d.Infill
	if f.Carrier == barrier.CarriedByPosts {
		a.onPosts(d, f.Bottom, f.Top, width(d))
		a.Where = "on the infill"
		notes := []quantity.Sentence{quantity.Say("%s acts on the infill from z = %s to %s, which the posts carry: each takes half of the bays beside it, and infill on an overhang is not counted", a.Name, quantity.Place(f.Bottom), quantity.Place(f.Top))}
		if f.Offset != 0 && !a.isLevel() {
			notes = append(notes, quantity.Say("%s: its couple about the axes of the posts, load times %s, is not counted", a.Name, quantity.Place(f.Offset)))
		}
		return []*Action{a}, notes
	}
	a.Rails, a.Lift = tributary(d)
	if a.isUpright() {
		a.Rails, a.Lift = hung(d), 0
	}
	a.inBays = true
	a.Where = "on the infill"
	a.aside = d.Run.Hazard.Outward() * f.Offset
	var parts []string
	for _, s := range a.Rails {
		parts = append(parts, d.Rails[s.Rail].Name+" "+quantity.Fix(s.Share, 4)+" m")
	}
	notes := []quantity.Sentence{quantity.Say("%s acts on the infill from z = %s to %s, which the rails carry: by simple lever the height that goes to each is %s; an overhang has none, and on a slope its height is plumb and its length that of the rails, which is cautious",
		a.Name, quantity.Place(f.Bottom), quantity.Place(f.Top), strings.Join(parts, ", "))}
	return []*Action{a}, notes
}

// carriers returns the rails that carry the infill, from the lowest up, each height once.
func carriers(d *barrier.Definition) []int {
	rails := slices.Clone(d.Infill.Rails)
	slices.SortStableFunc(rails, func(i, j int) int {
		switch a, b := d.Rails[i].Height, d.Rails[j].Height; {
		case a < b:
			return -1
		case a > b:
			return 1
		}
		return 0
	})
	return slices.CompactFunc(rails, func(i, j int) bool { return d.Rails[i].Height == d.Rails[j].Height })
}

// tributary returns the height of infill, m, that goes to each of the rails that carry it.
// Where one alone does, lift is how far the middle of the infill is above its axis, m.
func tributary(d *barrier.Definition) (shares []Share, lift float64) {
	rails, bottom, top := carriers(d), d.Infill.Bottom, d.Infill.Top
	if len(rails) == 1 {
		return []Share{{rails[0], top - bottom}}, (bottom+top)/2 - d.Rails[rails[0]].Height
	}
	heights := make([]float64, len(rails))
	for i := range len(rails) - 1 { // the strip that the lever between this rail and the next carries
		from, to := max(bottom, d.Rails[rails[i]].Height), min(top, d.Rails[rails[i+1]].Height)
		if i == 0 {
			from = bottom
		}
		if i == len(rails)-2 {
			to = top
		}
		if to <= from {
			continue
		}
		low, high := lever(d, rails[i], rails[i+1], (from+to)/2)
		heights[i] += low * (to - from)
		heights[i+1] += high * (to - from)
	}
	return sharesOf(rails, heights), 0
}

// hung returns the same for a load that points up or down: what stands out beyond the
// outermost carrier hangs on it.
func hung(d *barrier.Definition) []Share {
	rails, bottom, top := carriers(d), d.Infill.Bottom, d.Infill.Top
	heights := make([]float64, len(rails))
	last := len(rails) - 1
	heights[0] += max(0, min(top, d.Rails[rails[0]].Height)-bottom)
	heights[last] += max(0, top-max(bottom, d.Rails[rails[last]].Height))
	for i := range last {
		from, to := max(bottom, d.Rails[rails[i]].Height), min(top, d.Rails[rails[i+1]].Height)
		if to > from {
			low, high := lever(d, rails[i], rails[i+1], (from+to)/2)
			heights[i] += low * (to - from)
			heights[i+1] += high * (to - from)
		}
	}
	return sharesOf(rails, heights)
}

// sharesOf returns the rails that have a height of infill to carry.
func sharesOf(rails []int, heights []float64) (shares []Share) {
	for i, h := range heights {
		if h != 0 {
			shares = append(shares, Share{rails[i], h})
		}
	}
	return shares
}

// lever returns the parts of a load at height z that go to a rail and to a higher one.
func lever(d *barrier.Definition, low, high int, z float64) (toLow, toHigh float64) {
	toHigh = (z - d.Rails[low].Height) / (d.Rails[high].Height - d.Rails[low].Height)
	return 1 - toHigh, toHigh
}

// width returns the width of infill, m, that goes to a post in the direction of a leg: half of
// the bays beside it in that leg.
func width(d *barrier.Definition) func(post, leg int) float64 {
	run := &d.Run
	supports := run.Supports()
	half := func(bay int) float64 {
		if bay < 0 || bay >= len(supports)-1 || run.IsGap(bay) {
			return 0
		}
		return (supports[bay+1] - supports[bay]) / 2
	}
	return func(post, leg int) float64 {
		at := run.PostSupport(post)
		switch first := run.LegOf(run.Posts[post]); {
		case !run.TurnsAt(post):
			return half(at-1) + half(at)
		case leg == first:
			return half(at - 1)
		}
		return half(at)
	}
}

// infillPoints returns a point load on an infill: one action for each rail that carries it
// and is not loaded as an intermediate rail already, and one at each edge that stands out
// beyond the outermost of them; or one on the posts that carry it.
func infillPoints(d *barrier.Definition, one func() *Action) (out []*Action, notes []quantity.Sentence) {
	f := &d.Infill
	name := one().Name
	if f.Carrier == barrier.CarriedByPosts {
		n := one()
		n.onPosts(d, f.Bottom, f.Top, nil)
		return []*Action{n}, []quantity.Sentence{quantity.Say("%s is put on each intermediate rail, and all of it on one of the posts that carry the infill, at its worst height from z = %s to %s, which is cautious",
			name, quantity.Place(f.Bottom), quantity.Place(f.Top))}
	}
	rails := carriers(d)
	for _, rail := range rails {
		if rail != d.Highest() {
			continue
		}
		n := one()
		notes = append(notes, n.stand(d, rail, d.Rails[rail].Height)...)
		out = append(out, n)
	}
	notes = append(notes, quantity.Say("%s is put on each intermediate rail and on each rail that carries the infill, all of it on one rail at its worst place: its area is taken to be lower than the rails are apart, which is cautious", name))
	edges, note := infillEdges(d, one)
	return append(out, edges...), append(notes, note...)
}

// infillEdges returns a point load across on each edge of an infill that stands out beyond the
// outermost of the rails that carry it: none where posts do.
func infillEdges(d *barrier.Definition, one func() *Action) (out []*Action, notes []quantity.Sentence) {
	f, rails, name := &d.Infill, carriers(d), one().Name
	if len(rails) == 0 || !one().isAcross() {
		return nil, nil
	}
	last := len(rails) - 1
	edge := func(z float64, low, high int) {
		n := one()
		n.Where, n.inBays = "on the edge of the infill", true
		if low == high {
			notes = append(notes, n.beyond(d, low, z)...)
			out = append(out, n)
			return
		}
		toLow, toHigh := lever(d, low, high, z)
		n.Rails = []Share{{high, toHigh}, {low, toLow}}
		out = append(out, n)
		notes = append(notes, quantity.Say("%s also acts at the edge of the infill at %s: by simple lever %s of it goes to rail %s and %s to rail %s",
			name, quantity.Place(z), quantity.Fix(toHigh, 4), d.Rails[high].Name, quantity.Fix(toLow, 4), d.Rails[low].Name))
	}
	const standsOut = 1e-9 // m
	if f.Top > d.Rails[rails[last]].Height+standsOut {
		edge(f.Top, rails[max(last-1, 0)], rails[last])
	}
	if f.Bottom < d.Rails[rails[0]].Height-standsOut {
		edge(f.Bottom, rails[0], rails[min(1, last)])
	}
	return out, notes
}

// isLevel reports whether every way the action may point is level.
func (a *Action) isLevel() bool {
	return !slices.ContainsFunc(a.basis, func(b solver.Vec) bool { return b[2] != 0 })
}

// isUpright reports whether every way the action may point is straight up or down.
func (a *Action) isUpright() bool {
	return !slices.ContainsFunc(a.basis, func(b solver.Vec) bool { return b[0] != 0 || b[1] != 0 })
}

// isAcross reports whether every way the action may point is square to the run and level.
func (a *Action) isAcross() bool {
	return !slices.ContainsFunc(a.basis, func(b solver.Vec) bool { return b[0] != 0 || b[2] != 0 })
}
