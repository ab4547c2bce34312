package check

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// A post in earth is held by the ground pressing sideways on its footing: the pole formula of
// IBC 1807.3, in which the depth sought also stands in the pressure that the ground may bear.

const (
	poleFree        = "IBC 2021 1807.3.2.1 (18-1)"
	poleConstrained = "IBC 2021 1807.3.2.2 (18-3)"

	// poleCap is the depth, m, beyond which the ground is taken to bear no more: 12 ft, IBC
	// 1807.3.2.1, here on the depth at which the pressure is read.
	poleCap = 12 * 0.3048

	isolatedFactor = 2.0 // IBC 1806.3.4, of a pole that half an inch of movement does not harm

	g0 = 9.80665 // standard gravity, m/s²; ISO 80000-3, exact by definition
)

// pole is a footing in earth.
type pole struct {
	bearing     float64 // allowable lateral bearing per depth, Pa/m
	width       float64 // b, m
	constrained bool
}

// pressure returns the allowable lateral bearing, Pa, of a pole of a depth: S1 at a third of it,
// constrained S3 at all of it.
func (p pole) pressure(depth float64) float64 {
	if p.constrained {
		return p.bearing * math.Min(depth, poleCap)
	}
	return p.bearing * math.Min(depth/3, poleCap)
}

// depth returns the depth, m, that the formula gives for a force P, N, and its moment M = P h at
// the ground, N·m, under an allowable pressure, Pa:
//
//	d = 0.5 A {1 + √(1 + 4.36 h/A)}, A = 2.34 P/(S1 b)    constrained: d = √(4.25 M/(S3 b))
func (p pole) depth(force, moment, pressure float64) float64 {
	if p.constrained {
		return math.Sqrt(4.25 * moment / (pressure * p.width))
	}
	a := 2.34 * force / (pressure * p.width)
	ha := 2.34 * moment / (pressure * p.width)
	return 0.5 * (a + math.Sqrt(a*a+4.36*ha))
}

// needed returns the depth, m, at which the formula gives the depth that its pressure is read
// for. Above the cap the formula gives it at once; below, with S1 = p d/3,
//
//	d³ - k d - 1.09 k h = 0, k = 7.02 P/(p b)
//
// which Newton's method solves from above, where the curve is convex.
func (p pole) needed(force, moment float64) float64 {
	if force == 0 && moment == 0 {
		return 0
	}
	if p.constrained {
		if d := math.Cbrt(4.25 * moment / (p.bearing * p.width)); d <= poleCap {
			return d
		}
		return p.depth(force, moment, p.bearing*poleCap)
	}
	k, c := 7.02*force/(p.bearing*p.width), 1.09*7.02*moment/(p.bearing*p.width)
	d := math.Sqrt(k) + math.Cbrt(c)
	for {
		next := d - (d*d*d-k*d-c)/(3*d*d-k)
		if !(next < d*(1-1e-15)) {
			break
		}
		d = next
	}
	if d/3 <= poleCap {
		return d
	}
	return p.depth(force, moment, p.bearing*poleCap)
}

// workingLevel is the level of unfactored actions: under AISC-ASD that of its combinations.
func (c *run) workingLevel() analysis.Level {
	if c.d.Basis == loads.BasisASD {
		return analysis.Strength
	}
	return analysis.Characteristic
}

// earthFootings are the checks and demands of a post in earth.
func (c *run) earthFootings() []footing {
	given := c.d.Post.Base.Earth
	var out []footing
	if given.Concrete != nil {
		out = c.concreteFootings(given.Concrete)
	}
	n := 1.0
	provenance := "public"
	if given.Isolated {
		n = isolatedFactor
	}
	if given.Soil != nil {
		provenance = given.Soil.Provenance
	}
	bearingClause := fromFile
	if given.Soil != nil {
		bearingClause = "IBC 2021 Table 1806.2"
	}
	p := pole{n * given.Bearing, given.Width, given.Constrained}
	above := c.d.Post.Base.Level - given.Ground
	depth := footing{id: "base-earth-depth", link: groundLink, level: c.workingLevel(), provenance: provenance}
	depth.judge = func(a *FootActions, r *Recorder) float64 {
		x, y := a.lean()
		force, moment := a.Shear(), math.Hypot(x+a.Fx*above, y+a.Fy*above)
		d := p.needed(force, moment)
		clause := poleFree
		if p.constrained {
			clause = poleConstrained
		}
		if r.keepsSteps() {
			r.step("height above the ground at which the post is held", "z", above*1e3, "mm", "", fromFile)
			r.step("force", "P", force, "N", "√(Fx² + Fy²)", clause)
			r.step("moment at the ground", "Mg", moment, "Nm", "√((My + Fx z)² + (Fy z - Mx)²)", clause)
			r.step("allowable lateral bearing per depth", "p", given.Bearing/1e3, "kPa/m", "", bearingClause)
			r.step("factor of an isolated pole", "n", n, "1", "", "IBC 2021 1806.3.4")
			r.step(map[bool]string{false: "diameter of the footing", true: "diagonal of the footing"}[given.Square], "b", p.width*1e3, "mm", "", fromFile)
			r.step("depth, by trial", "d", d*1e3, "mm", "", clause)
			p.note(r, force, moment, d, clause)
		}
		return r.verdict(d*1e3, given.Depth*1e3, "mm", clause)
	}
	uplift := footing{id: "base-earth-uplift", link: groundLink, level: analysis.Equilibrium}
	if given.Mass == nil {
		uplift.open, uplift.what, uplift.unit = "the weight of the footing is not given: post.base.earth.mass", "ground: uplift", "N"
		uplift.judge = func(a *FootActions, _ *Recorder) float64 { return math.Max(0, a.Fz) }
		return append(out, depth, uplift)
	}
	e := c.weightFactors()
	uplift.provenance = analysis.Weakest(e.mix.Relief.Provenance)
	uplift.judge = func(a *FootActions, r *Recorder) float64 {
		weight, pull := *given.Mass*g0, math.Max(0, a.Fz)
		if r.keepsSteps() {
			r.step("weight of the footing, "+quantity.Fix(*given.Mass, 1)+" kg", "G", weight, "N", "", fromFile)
			r.step("factor on a weight that relieves", "γG,inf", e.favourable, "1", "", e.clause())
			r.step("weight that holds", "Rd", e.favourable*weight, "N", "γG,inf G", e.clause())
			r.step("uplift of the post", "Ed", pull, "N", "Fz, at least 0", "")
		}
		return r.verdict(pull, e.favourable*weight, "N", e.clause())
	}
	return append(out, depth, uplift)
}

// note notes the formula at the depth found.
func (p pole) note(r *Recorder, force, moment, d float64, clause string) {
	if d == 0 {
		return
	}
	s := p.pressure(d)
	if p.constrained {
		formula := "n p d"
		if d > poleCap {
			formula = p.noteCap(r)
		}
		r.step("allowable lateral bearing at the depth", "S3", s/1e3, "kPa", formula, clause)
		r.step("depth needed", "d", p.depth(force, moment, s)*1e3, "mm", "√(4.25 Mg / (S3 b))", clause)
		return
	}
	formula := "n p d / 3"
	if d/3 > poleCap {
		formula = p.noteCap(r)
	}
	r.step("allowable lateral bearing at a third of the depth", "S1", s/1e3, "kPa", formula, clause)
	if force == 0 {
		r.step("depth needed, of a moment alone", "d", p.depth(force, moment, s)*1e3, "mm", "0.5 √(4.36 × 2.34 Mg / (S1 b))", clause)
		return
	}
	a := 2.34 * force / (s * p.width)
	r.step("height of the force above the ground", "h", moment/force*1e3, "mm", "Mg / P", clause)
	r.step("coefficient of the formula", "A", a*1e3, "mm", "2.34 P / (S1 b)", clause)
	r.step("depth needed", "d", p.depth(force, moment, s)*1e3, "mm", "0.5 A (1 + √(1 + 4.36 h/A))", clause)
}

// noteCap notes the depth at which the pressure stops and returns its formula there.
func (p pole) noteCap(r *Recorder) string {
	r.step("depth beyond which the ground bears no more, 12 ft", "dmax", poleCap*1e3, "mm", "", "IBC 2021 1807.3.2.1")
	return "n p dmax"
}

// sayEarth says how a post in earth is judged.
func (c *run) sayEarth() {
	given := c.d.Post.Base.Earth
	shape := "diameter"
	if given.Square {
		shape = "diagonal"
	}
	held := "nothing holds it at the surface (18-1)"
	if given.Constrained {
		held = "a slab or paving holds it at the surface (18-3), and must carry the force of the post there"
	}
	c.say(fmt.Sprintf("A post in earth is judged by IBC 2021 1807.3.2 with %s as the %s of its footing: %s. Force and moment of one load count as acting the same way.", quantity.Size(given.Width).In(c.o.Units), shape, held))
	bearing := "a value of the user's"
	if given.Soil != nil {
		bearing = given.Soil.Describes + " (" + given.Soil.Provenance + ")"
	}
	doubled := ""
	if given.Isolated {
		doubled = ", doubled as an isolated pole that half an inch of movement does not harm (IBC 1806.3.4, by request)"
	}
	c.say(fmt.Sprintf("The ground bears %s sideways, %s%s.", quantity.Format(given.Bearing, quantity.PressurePerDepth, c.o.Units), bearing, doubled))
	if c.d.Basis != loads.BasisASD {
		c.say("The pole formula is one of working loads: under basis " + string(c.d.Basis) + " it is judged under the unfactored actions.")
	}
	if given.Concrete != nil {
		c.sayConcrete(given.Concrete)
	}
	c.say("What the ground bears downward is not checked.")
	c.say("The stiffness of the ground is not known from its allowable bearing: no stiffness of the foot is computed.")
}
