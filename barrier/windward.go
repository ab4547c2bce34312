package barrier

import (
	"fmt"
	"math"

	"example.com/stanchion/loads"
)

// What the barrier shows to the wind, bare or under ice.

// Solidity returns which part of the barrier's gross area, up to the top of the highest rail,
// is solid, seen square on: posts, rails and infill, each tube with a coat of ice of that
// thickness (m) all round, for an infill of that solidity. Braces, fittings and toe plates are
// not counted.
func (d *Definition) Solidity(coat, infill float64) float64 {
	length, up := d.railLength(), d.TopOfRail()
	gross := length * up
	rails := 0.0
	for i := range d.Rails {
		rails += (d.Rails[i].BuiltOD() + 2*coat) * length
	}
	posts := float64(len(d.Run.Posts)) * (d.Post.BuiltOD() + 2*coat) * math.Min(d.Post.Height, up)
	panels := 0.0
	if d.Infill.Stands() {
		panels = infill * (math.Min(d.Infill.Top, up) - math.Max(d.Infill.Bottom, 0)) * (length - d.Run.Overhang[0] - d.Run.Overhang[1])
	}
	open := 1.0
	for _, area := range [...]float64{rails, posts, panels} {
		open *= 1 - math.Min(math.Max(area/gross, 0), 1)
	}
	return 1 - open
}

// railLength returns the length of the highest rail without gaps, m.
func (d *Definition) railLength() (length float64) {
	for _, s := range d.Run.Stretches() {
		length += s.length()
	}
	return length
}

// HighestPoint returns the height of the highest point of the barrier above the walking surface
// at the start of the run, m. On a run that climbs it is the end that has climbed most.
func (d *Definition) HighestPoint() float64 {
	up := math.Max(d.TopOfRail(), d.Post.Height)
	if d.Infill.Stands() {
		up = math.Max(up, d.Infill.Top)
	}
	climbed := 0.0
	for _, s := range d.Run.Stretches() {
		leg := d.Run.LegOf((s.From + s.To) / 2)
		for _, x := range [...]float64{s.From, s.To} {
			climbed = math.Max(climbed, d.Run.At(leg, x, 0, 0)[2])
		}
	}
	return up + climbed
}

// IcedInfill returns what a coat of ice does to the infill; the zero value where there is none.
func (d *Definition) IcedInfill(c *loads.Coat) loads.IcedInfill {
	if !d.Infill.Stands() {
		return loads.IcedInfill{}
	}
	opening := 0.0
	if d.Infill.Opening != nil {
		opening = *d.Infill.Opening
	}
	return c.Infill(d.Infill.Solidity, opening, d.Infill.Kind == BarInfill)
}

// WindFaults returns what of a wind of the user's own, by its index into Definition.Loads,
// cannot be computed with on this barrier: bare, and under each ice that acts with the wind.
// Such a definition is none that can be analysed.
func (d *Definition) WindFaults(load int) []loads.Fault {
	l, up := &d.Loads[load], d.HighestPoint()
	faults := l.Own.Wind.Check(up, d.Solidity(0, d.Infill.Solidity))
	for _, with := range l.With {
		o := d.Loads[with].Own
		if len(faults) > 0 || o == nil || o.Ice == nil {
			continue
		}
		coat := o.Ice.Coat()
		faults = l.Own.Wind.Check(up, d.Solidity(coat.Thickness, d.IcedInfill(&coat).Solidity))
		for k := range faults {
			faults[k].What = fmt.Sprintf("with the ice of load %d, %s", with+1, faults[k].What)
		}
	}
	return faults
}

// judgeWinds reports every wind that cannot be computed with on the barrier that was read. It
// comes last, and only where nothing else is wrong.
func (r *reader) judgeWinds() {
	if len(r.problems) > 0 {
		return
	}
	for i := range r.def.Loads {
		own := r.def.Loads[i].Own
		if own == nil || own.Wind == nil {
			continue
		}
		for _, f := range r.def.WindFaults(i) {
			path := fmt.Sprintf("load[%d].%s", i, f.Field)
			if !r.stands(path) { // it is the barrier that does not fit
				path = fmt.Sprintf("load[%d].standard", i)
			}
			r.fault(path, f.What, f.Fix)
		}
	}
}
