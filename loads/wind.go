package loads

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// WindRoute says by what the velocity pressure of a wind is found.
type WindRoute string

// The routes.
const (
	WindEN            WindRoute = "EN 1991-1-4" // from basic velocity, terrain and height
	WindASCE          WindRoute = "ASCE 7-16"   // from basic speed, exposure and height
	WindPressureGiven WindRoute = "pressure"    // a velocity pressure that the user gives
)

// Wind is what is known of the wind at a site. A field that its route does not use is zero.
type Wind struct {
	Route      WindRoute
	Velocity   float64  // m/s: basic velocity vb of EN 1991-1-4, basic speed V of ASCE 7 (3 s gust, strength level)
	Terrain    string   // EN: "0", "I", "II", "III", "IV"
	Exposure   string   // ASCE: "B", "C", "D"
	Ground     float64  // m: height of the walking surface above the ground
	Pressure   float64  // N/m²: the velocity pressure given
	Given      Citation // of Pressure, where it is of a schedule
	Density    float64  // EN: of air, kg/m³; 0: the recommended one
	Return     float64  // EN: return period, years; 0: 50, that of the basic velocity
	Topography float64  // ASCE: Kzt; EN: co; 0: 1
	Shielded   float64  // factor on the force on every part, by request; 0: shielding ignored
}

// Terrains returns the names of the terrain categories of EN 1991-1-4, from the smoothest.
func Terrains() []string {
	var names []string
	for _, t := range windEN().Terrain {
		names = append(names, t.Name)
	}
	return names
}

// Exposures returns the names of the exposures of ASCE 7-16, from the most sheltered.
func Exposures() []string {
	var names []string
	for _, e := range windASCE().Exposure {
		names = append(names, e.Name)
	}
	return names
}

// Fault says what of a wind or an ice cannot be computed with.
type Fault struct {
	Field string // of Wind or Ice: "velocity", "thickness", ...; "solidity" where the barrier is what does not fit
	What  string
	Fix   string
}

// givePressure is what is right where a standard does not reach.
const givePressure = `write a velocity pressure such as pressure = "0.9 kN/m2" in place of standard and its keys`

// longestReturn is the longest return period, years, to which the probability factor is taken.
const longestReturn = 10000

// faults gathers what cannot be computed with.
type faults []Fault

func (f *faults) add(field, what, fix string) { *f = append(*f, Fault{field, what, fix}) }

// positive faults a value that is not above zero and finite.
func (f *faults) positive(field string, v float64, fix string) {
	if !(v > 0) || math.IsInf(v, 0) {
		f.add(field, "it is not above zero", fix)
	}
}

// factor faults a factor that is given, and not above zero and finite.
func (f *faults) factor(field string, v float64) {
	if v != 0 {
		f.positive(field, v, "give a factor above zero, or leave it out")
	}
}

// Check returns what of the wind cannot be computed with on a barrier whose top is that high
// above the walking surface, m, and whose solid area is that part of its gross area; nothing
// where all can.
func (w *Wind) Check(top, solidity float64) []Fault {
	var f faults
	f.factor("shielding", w.Shielded)
	if w.Shielded > 1 {
		f.add("shielding", "a shelter does not raise the wind", "give a factor of at most 1, or leave it out")
	}
	if w.Route == WindPressureGiven {
		f.positive("pressure", w.Pressure, "give a velocity pressure such as \"0.6 kN/m2\"")
		return f
	}
	f.positive("velocity", w.Velocity, "give a speed such as \"26 m/s\"")
	f.factor("topography", w.Topography)
	switch w.Route {
	case WindEN:
		w.checkEN(&f, w.Ground+top)
	case WindASCE:
		w.checkASCE(&f, w.Ground+top, solidity)
	default:
		f.add("standard", fmt.Sprintf("no wind is found by %q", w.Route), fmt.Sprintf("take %s or %s, or give a velocity pressure", WindEN, WindASCE))
	}
	return f
}

// checkEN faults what EN 1991-1-4 cannot be taken with, at a height above the ground, m.
func (w *Wind) checkEN(f *faults, z float64) {
	table := windEN()
	if table.terrain(w.Terrain) == nil {
		f.add("terrain", fmt.Sprintf("EN 1991-1-4 has no terrain %q", w.Terrain), "take one of "+strings.Join(Terrains(), ", "))
	}
	if most := table.number("largest height").Value; z > most {
		f.add("ground", fmt.Sprintf("the profile of EN 1991-1-4 holds up to %g m above the ground", most), givePressure)
	}
	if w.Return != 0 && !(w.Return > 1 && w.Return <= longestReturn) {
		f.add("return_period", fmt.Sprintf("it is not from above 1 to %d years", longestReturn), "give years, such as 50")
	}
	f.factor("air_density", w.Density)
}

// checkASCE faults what ASCE 7-16 29.4 cannot be taken with, at a height above the ground, m, and
// on a barrier of a solidity.
func (w *Wind) checkASCE(f *faults, z, solidity float64) {
	table := windASCE()
	if e := table.exposure(w.Exposure); e == nil {
		f.add("exposure", fmt.Sprintf("ASCE 7-16 has no exposure %q", w.Exposure), "take one of "+strings.Join(Exposures(), ", "))
	} else if z > e.Gradient {
		f.add("ground", fmt.Sprintf("it is above the gradient height of exposure %s, %g m", e.Name, e.Gradient), givePressure)
	}
	if most := table.number("largest solidity").Value; solidity > most {
		f.add("solidity", fmt.Sprintf("%.2f of the barrier's area is solid, and the coefficients of ASCE 7-16 29.4 for open frames end at %g; those for solid walls are not carried", solidity, most), givePressure)
	}
}

// Gust is the velocity pressure of a wind at a barrier, on which force coefficients act, with
// how it was found.
type Gust struct {
	Route    WindRoute
	Height   float64 // above the ground, m, for which it is found; 0 for a pressure that is given
	Pressure float64 // N/m²: qp(z) of EN 1991-1-4, qz of ASCE 7, or that given
	Steps    []Step
	Notes    []string // what is assumed

	density float64 // of air, kg/m³
	factor  float64 // on every force: shielding, and the part of the wind on ice
	coat    *Coat   // of ice on what it blows at; nil: none
}

// At returns the gust at a height z above the walking surface, m: for a barrier that of its
// top, which is cautious for what is lower. It panics for a wind that [Wind.Check] faults.
func (w *Wind) At(z float64) Gust {
	if faults := w.Check(z, 0); len(faults) > 0 {
		panic(fmt.Sprintf("loads: wind: %s: %s", faults[0].Field, faults[0].What))
	}
	g := Gust{Route: w.Route, factor: 1}
	switch w.Route {
	case WindEN:
		g.peakPressure(w, w.Ground+z)
	case WindASCE:
		g.velocityPressure(w, w.Ground+z)
	default:
		table := windEN()
		g.Pressure, g.density = w.Pressure, table.number("air density").Value
		q := ownStep("velocity pressure", "q", w.Pressure, "N/m2", "pressure")
		if w.Given != (Citation{}) {
			q.Citation = w.Given
		}
		g.Steps = append(g.Steps, q)
		g.Notes = append(g.Notes, "the velocity pressure is given: height, terrain and gusts are in it, and the force coefficients are those of EN 1991-1-4")
	}
	if w.Shielded != 0 && w.Shielded != 1 {
		g.factor = w.Shielded
		g.Notes = append(g.Notes, fmt.Sprintf("shielding is counted on by request: every wind force is multiplied by %g", w.Shielded))
	} else {
		g.Notes = append(g.Notes, "no part shields another, and nothing around the barrier shields it")
	}
	return g
}

// peakPressure finds qp(z) at a height above the ground, m.
//
// EN 1991-1-4:2005 4.2 to 4.5, recommended values.
func (g *Gust) peakPressure(w *Wind, ze float64) {
	table := windEN()
	t := table.terrain(w.Terrain)
	add := func(name string, result float64, values ...Value) float64 {
		g.Steps = append(g.Steps, table.step(name, result, values...))
		return result
	}
	rho := table.number("air density")
	if w.Density != 0 {
		rho.Value = w.Density
	} else {
		g.Steps = append(g.Steps, table.given("air density"))
	}
	vb := w.Velocity
	if w.Return != 0 && w.Return != 50 {
		K, n := table.number("shape parameter"), table.number("exponent")
		cprob := add("probability factor", ProbabilityFactor(w.Return), Value{"T", w.Return, "years"}, K, n)
		vb = add("basic wind velocity", cprob*w.Velocity, Value{"cprob", cprob, ""}, Value{"vb,50", w.Velocity, "m/s"})
	} else {
		g.Steps = append(g.Steps, ownStep("basic wind velocity", "vb", vb, "m/s", "velocity"))
	}
	z0, zmin := Value{"z0", t.Z0, "m"}, Value{"zmin", t.Zmin, "m"}
	z := table.step("height", math.Max(ze, t.Zmin), Value{"ze", ze, "m"}, zmin)
	z.Note = "terrain category " + t.Name
	z.Provenance = weakest(z.Provenance, t.Provenance)
	g.Steps = append(g.Steps, z)
	g.Height = z.Result
	at := Value{"z", z.Result, "m"}
	kr := add("terrain factor", 0.19*math.Pow(t.Z0/table.number("roughness length of category II").Value, 0.07), z0, table.number("roughness length of category II"))
	cr := add("roughness factor", kr*math.Log(g.Height/t.Z0), Value{"kr", kr, ""}, at, z0)
	co := table.number("orography factor")
	if w.Topography != 0 {
		co.Value = w.Topography
	}
	co.Symbol = "co(z)"
	vm := add("mean wind velocity", cr*co.Value*vb, Value{"cr(z)", cr, ""}, co, Value{"vb", vb, "m/s"})
	kI := table.number("turbulence factor")
	Iv := add("turbulence intensity", kI.Value/(co.Value*math.Log(g.Height/t.Z0)), kI, co, at, z0)
	g.Pressure = add("peak velocity pressure", (1+7*Iv)*0.5*rho.Value*vm*vm, Value{"Iv(z)", Iv, ""}, rho, Value{"vm(z)", vm, "m/s"})
	g.density = rho.Value
	g.Notes = append(g.Notes,
		"EN 1991-1-4: recommended values; a national annex may have its own exposure charts, air density and wall zones, and they come first",
		"EN 1991-1-4: the basic velocity is taken as given, its directional, seasonal and altitude factors in it")
}

// ProbabilityFactor returns cprob of EN 1991-1-4:2005 expression (4.2), a plain number, for a
// return period in years, more than 1, with the recommended K and n: what the basic velocity of 50
// years is multiplied by.
func ProbabilityFactor(years float64) float64 {
	table := windEN()
	K, n := table.number("shape parameter").Value, table.number("exponent").Value
	p := 1 / years
	return math.Pow((1-K*math.Log(-math.Log(1-p)))/(1-K*math.Log(-math.Log(0.98))), n)
}

// velocityPressure finds qz at a height above the ground, m.
//
// ASCE 7-16 26.10, equation (26.10-1.si).
func (g *Gust) velocityPressure(w *Wind, z float64) {
	table := windASCE()
	e := table.exposure(w.Exposure)
	g.Height = math.Max(z, table.number("least height").Value)
	Kz := table.step("velocity pressure exposure coefficient", 2.01*math.Pow(g.Height/e.Gradient, 2/e.Alpha),
		Value{"z", g.Height, "m"}, Value{"zg", e.Gradient, "m"}, Value{"α", e.Alpha, ""})
	Kz.Note = "exposure " + e.Name
	Kzt, Kd, Ke := table.number("topographic factor"), table.number("directionality factor"), table.number("ground elevation factor")
	if w.Topography != 0 {
		Kzt.Value = w.Topography
	}
	V := Value{"V", w.Velocity, "m/s"}
	qz := 0.613 * Kz.Result * Kzt.Value * Kd.Value * Ke.Value * V.Value * V.Value
	g.Steps = append(g.Steps, Kz, table.given("directionality factor"), table.given("ground elevation factor"),
		table.step("velocity pressure", qz, Value{"Kz", Kz.Result, ""}, Kzt, Kd, Ke, V))
	g.Pressure = qz
	g.Notes = append(g.Notes,
		"ASCE 7-16: the basic speed is a 3 s gust at strength level, and the barrier is taken as an open sign or a single-plane open frame (29.4)")
}

// Iced returns the gust on the barrier under a coat of ice: a part of it, on wider members.
//
// ISO 12494 9 Table 12; provenance: memory.
func (g Gust) Iced(c *Coat) Gust {
	g.Steps = append(slices.Clone(g.Steps), c.share)
	g.factor *= c.Share
	g.coat = c
	return g
}

// WindOf returns the wind of an action of a schedule that is a velocity pressure (Kind
// WindPressure), such as those of EN 13374. The force coefficients of EN 1991-1-4 turn it into
// forces.
func WindOf(a *Action) *Wind {
	return &Wind{Route: WindPressureGiven, Pressure: a.Value, Given: a.Citation}
}

// weakest returns the weaker of two words of provenance.
func weakest(a, b string) string {
	for _, weak := range [...]string{"memory", "common-practice", "derived", "public"} {
		if a == weak || b == weak {
			return weak
		}
	}
	return a
}
