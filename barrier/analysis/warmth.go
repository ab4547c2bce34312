package analysis

import (
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// A change of temperature is the same in every tube. Whatever holds the rails resists it: posts
// that have to bend along the run where both its ends are free, walls that hold them along,
// corners. The foot plates and the ground keep their length.

// warmthAction returns the action of a change of temperature of the user's own.
func warmthAction(d *barrier.Definition, load int) (*Action, []quantity.Sentence) {
	l := &d.Loads[load]
	a := ofOwn(d, load, "T", loads.Temperature)
	for _, s := range [...]struct {
		word string
		rise float64
	}{{"warmer", l.Own.Temperature.Rise}, {"colder", -l.Own.Temperature.Fall}} {
		if s.rise != 0 {
			a.Field.Senses = append(a.Field.Senses, Sense{
				Words: func(units quantity.System) string { return kelvin(math.Abs(s.rise), units) + " " + s.word },
				On:    func(r *Replayer) solver.Case { return r.warmed(d, s.rise) },
			})
		}
	}
	a.Steps = warmthSteps(d)
	a.Provenance = provenance(a.Steps)
	return a, []quantity.Sentence{
		quantity.Say("%s is the same in every tube, and what the posts stand on keeps its length", l.Name),
		quantity.Say("%s: fittings, splices and corners pass on the whole force along the rails; play and slip in them make it less", l.Name),
	}
}

// kelvin prints a difference of temperature.
func kelvin(difference float64, s quantity.System) string {
	if s == quantity.US {
		return quantity.Fix(difference*1.8, 0) + " degF"
	}
	return quantity.Fix(difference, 0) + " K"
}

// warmed returns the load case of a rise of temperature, K, in every tube.
func (r *Replayer) warmed(d *barrier.Definition, rise float64) (c solver.Case) {
	for _, t := range r.tubes(d) {
		c.Heats = append(c.Heats, solver.Heat{Member: t.id, Rise: rise})
	}
	return c
}

// warmthSteps returns by what the tubes expand, each material once.
func warmthSteps(d *barrier.Definition) (steps []loads.Step) {
	seen := map[float64]bool{}
	add := func(m *barrier.Member) {
		e := m.Grade.Material.Expansion()
		if seen[e.Value] {
			return
		}
		seen[e.Value] = true
		steps = append(steps, loads.Step{
			What: "thermal expansion, " + string(m.Grade.Material), Symbol: "αT", Result: e.Value, Unit: "1/K",
			Citation: loads.Citation{Standard: e.Standard, Edition: e.Edition, Clause: e.Clause, Source: e.Source, Provenance: e.Provenance, Confidence: "high"},
		})
	}
	add(&d.Post.Member)
	for i := range d.Rails {
		add(&d.Rails[i].Member)
	}
	for i := range d.Braces {
		add(&d.Braces[i].Member)
	}
	return steps
}

// Gap is the way that an end or a splice of a rail must be free to go for a change of
// temperature to press on nothing: the expansion of the whole length of rail that may come to
// meet there, which is cautious where something holds that length in its middle.
type Gap struct {
	Load   int     // index into Definition.Loads
	Rail   int     // index into Definition.Rails
	Where  string  // "free end", "wall end", "splice", "cut at a post"
	X      float64 // m
	Length float64 // m of rail that expands towards it: of both pieces at a splice
	Closes float64 // m by which it closes when warmer
	Opens  float64 // m by which it opens when colder
}

// Gaps returns what each temperature load of the definition asks of the ends and the splices
// that the definition gives, rail by rail from the start. An end that a wall holds along the run
// has none, it pushes instead; nor do corners, whose fittings hold both rails.
func Gaps(d *barrier.Definition) (gaps []Gap) {
	for i := range d.Loads {
		o := d.Loads[i].Own
		if o == nil || o.Temperature == nil {
			continue
		}
		for rail := range d.Rails {
			alpha := d.Rails[rail].Grade.Material.Expansion().Value
			for _, g := range railGaps(d, rail) {
				g.Load, g.Rail = i, rail
				g.Closes, g.Opens = alpha*o.Temperature.Rise*g.Length, alpha*o.Temperature.Fall*g.Length
				gaps = append(gaps, g)
			}
		}
	}
	return gaps
}

// railGaps returns the places of a rail at which its pieces end, with the length that moves there.
func railGaps(d *barrier.Definition, rail int) (gaps []Gap) {
	stretches := d.Run.Stretches()
	for i, s := range stretches {
		joints := jointsWithin(d, rail, s)
		places := append([]Gap{{X: s.From, Where: endWord(d, stretches, i, true)}}, joints...)
		places = append(places, Gap{X: s.To, Where: endWord(d, stretches, i, false)})
		for k := range places {
			if k > 0 {
				places[k].Length += places[k].X - places[k-1].X
			}
			if k < len(places)-1 {
				places[k].Length += places[k+1].X - places[k].X
			}
			if places[k].Where != "" {
				gaps = append(gaps, places[k])
			}
		}
	}
	return gaps
}

// jointsWithin returns where a rail is spliced or cut inside a stretch.
func jointsWithin(d *barrier.Definition, rail int, s barrier.Stretch) (places []Gap) {
	r := &d.Rails[rail]
	word, at := "splice", r.Splices
	if !r.Through {
		word, at = "cut at a post", d.Run.Posts
		if !d.Run.Start.Wall { // the rail runs on to a free end over the first post and the last
			at = at[1:]
		}
		if !d.Run.End.Wall {
			at = at[:len(at)-1]
		}
	}
	const apart = 1e-6 // m
	for _, x := range at {
		if x > s.From+apart && x < s.To-apart {
			places = append(places, Gap{X: x, Where: word})
		}
	}
	return places
}

// endWord says how a stretch ends; empty where nothing moves there.
func endWord(d *barrier.Definition, all []barrier.Stretch, i int, start bool) string {
	end, next, x := d.Run.End, i+1, all[i].To
	if start {
		end, next, x = d.Run.Start, i-1, all[i].From
	}
	if next >= 0 && next < len(all) {
		if there := all[next]; there.From == x || there.To == x { // a corner
			return ""
		}
		return "free end"
	}
	switch {
	case !end.Wall:
		return "free end"
	case end.AlongHeld:
		return ""
	}
	return "wall end"
}
