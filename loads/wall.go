package loads

import (
	"math"
	"slices"
)

// Zone is a part of a solid wall, counted from its free end.
type Zone struct {
	Name        string  // "A" to "D"
	To          float64 // m from the end of the wall; +Inf for the last
	Coefficient float64 // cp,net
	Pressure    float64 // N/m² of gross area, with every factor of the wind
}

// zoneEnds are where the zones of a wall end, in heights of the wall from its free end.
//
// EN 1991-1-4:2005 7.4.1 Figure 7.19; provenance: memory.
var zoneEnds = [...]float64{0.3, 2, 4, math.Inf(1)}

// WallCoefficients returns cp,net of zones A to D of a wall of length l and height h, m, of a
// solidity from 0.8 to 1, with a return corner at that end as long as returned times h: from 0,
// none, to 1. Between the rows of the table it interpolates on straight lines; beyond its first
// and last l/h the nearest row stands.
//
// EN 1991-1-4:2005 7.4.1 Table 7.9.
func WallCoefficients(l, h, solidity, returned float64) [4]float64 {
	c, _ := windEN().wallCoefficients(l, h, solidity, returned)
	return c
}

// Wall returns the zones of a solid infill, from its end, with the net pressure on each, and
// the steps to them. The arguments are those of [WallCoefficients].
func (g *Gust) Wall(l, h, solidity, returned float64) ([]Zone, []Step) {
	table := windEN()
	coefficients, provenance := table.wallCoefficients(l, h, solidity, returned)
	cscd := table.number("structural factor")
	var zones []Zone
	var steps []Step
	for i, c := range coefficients {
		zone := Zone{Name: string(rune('A' + i)), To: zoneEnds[i] * h, Coefficient: c, Pressure: cscd.Value * c * g.Pressure * g.factor}
		step := table.step("net pressure on the wall", zone.Pressure, g.factors(cscd, Value{"cp,net", c, ""}, Value{"qp(ze)", g.Pressure, "N/m2"},
			Value{"l/h", l / h, ""}, Value{"φ", solidity, ""}, Value{"return corner / h", returned, ""})...)
		step.What += ", zone " + zone.Name
		step.Provenance = weakest(step.Provenance, provenance)
		zones, steps = append(zones, zone), append(steps, step)
	}
	return zones, steps
}

// wallCoefficients returns the coefficients of [WallCoefficients] and the weakest provenance of
// the rows they are from.
func (t *enWind) wallCoefficients(l, h, solidity, returned float64) (c [4]float64, provenance string) {
	straight, provenance := t.straightWall(l / h)
	blend := func(a [4]float64, b *wallRow, part float64) [4]float64 {
		if part <= 0 {
			return a
		}
		provenance = weakest(provenance, b.Provenance)
		for i := range a {
			a[i] += (b.Coefficients[i] - a[i]) * math.Min(part, 1)
		}
		return a
	}
	c = blend(straight, t.wall(func(r *wallRow) bool { return r.Returned }), returned)
	porous := t.wall(func(r *wallRow) bool { return r.Solidity < 1 })
	return blend(c, porous, (1-solidity)/(1-porous.Solidity)), provenance
}

// straightWall returns the coefficients of a solid wall without return corners.
func (t *enWind) straightWall(slenderness float64) (c [4]float64, provenance string) {
	rows := slices.DeleteFunc(slices.Clone(t.Wall), func(r wallRow) bool { return r.Slenderness == 0 })
	at := math.Min(math.Max(slenderness, rows[0].Slenderness), rows[len(rows)-1].Slenderness)
	for i := range rows[1:] {
		a, b := rows[i], rows[i+1]
		if at > b.Slenderness {
			continue
		}
		part := (at - a.Slenderness) / (b.Slenderness - a.Slenderness)
		for k := range c {
			c[k] = a.Coefficients[k] + part*(b.Coefficients[k]-a.Coefficients[k])
		}
		switch part {
		case 0:
			return c, a.Provenance
		case 1:
			return c, b.Provenance
		}
		return c, weakest(a.Provenance, b.Provenance)
	}
	panic("loads: a wall beyond its table")
}

// wall returns the row that is so.
func (t *enWind) wall(is func(*wallRow) bool) *wallRow {
	for i := range t.Wall {
		if is(&t.Wall[i]) {
			return &t.Wall[i]
		}
	}
	panic("loads: a row of walls is missing")
}

// closed returns cp,net of a wall of the least solidity that counts as one.
func (t *enWind) closed() float64 {
	return t.wall(func(r *wallRow) bool { return r.Solidity < 1 }).Coefficients[0]
}
