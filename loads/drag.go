package loads

import (
	"math"
	"slices"
)

// Drag is what a gust puts on a part that stands square to it.
type Drag struct {
	Coefficient float64 // force coefficient, a plain number
	Pressure    float64 // N/m², with every factor of the wind: on the area that the method which returns it names
	Steps       []Step
}

// galvanised is the surface that barrier tubes are taken to have.
const galvanised = "galvanised steel"

// Tube returns the drag of a round tube of outside diameter od, m, on its projected area: where
// the gust is on ice, that of the iced tube, on the area of the bare one times what it is wider.
// Multiplied by od it is a force per length either way, N/m. Solidity is that part of the
// barrier's gross area that is solid, which ASCE 7 asks for.
func (g *Gust) Tube(od, solidity float64) Drag {
	width, steps := od, []Step(nil)
	if g.coat != nil {
		width = g.coat.Width(od)
		steps = append(steps, g.coat.widthStep(od))
	}
	var d Drag
	switch {
	case g.Route == WindASCE:
		d = g.roundMember(width, solidity)
	case g.coat != nil:
		d = g.forceEN(IcedTube())
	default:
		d = g.cylinder(od, galvanised)
	}
	d.Steps = slices.Concat(steps, d.Steps)
	d.Pressure *= width / od
	return d
}

// Plate returns the drag of a flat-sided member, such as a toe plate, on its projected area.
// Ice does not widen it. Solidity is as for [Gust.Tube].
func (g *Gust) Plate(solidity float64) Drag {
	if g.Route == WindASCE {
		table := windASCE()
		row := table.coefficient(solidity)
		return g.forceASCE(table.coefficientStep(row, "Cf", row.Flat, Value{"ε", solidity, ""}))
	}
	return g.forceEN(windEN().given("force coefficient of flat-sided members"))
}

// Open returns the drag of an infill with openings, solidity phi below 0.8, on its gross area.
// Its members are taken as flat-sided: the definition does not tell their shape. Whole is the
// solidity of the whole barrier, which ASCE 7 asks for. Under ice phi is that of the iced
// infill.
func (g *Gust) Open(phi, whole float64) Drag {
	if g.Route == WindASCE {
		table := windASCE()
		d := g.Plate(whole)
		p := d.Pressure * phi
		d.Steps = append(d.Steps, table.step("pressure on the gross area", p, Value{"φ", phi, ""}, Value{"qz G Cf", d.Pressure, "N/m2"}))
		return Drag{d.Coefficient * phi, p, d.Steps}
	}
	table := windEN()
	flat, wall := table.number("force coefficient of flat-sided members"), table.closed()
	c := table.step("coefficient of an open infill", math.Min(flat.Value*phi, wall), flat, Value{"φ", phi, ""}, Value{"cp,net", wall, ""})
	d := g.forceEN(c)
	d.Steps = slices.Concat([]Step{table.given("force coefficient of flat-sided members")}, d.Steps)
	return d
}

// solidWall is the solidity from which EN 1991-1-4 7.4.1 takes a wall for one with zones.
const solidWall = 0.8

// IsWall says whether an infill of that solidity is a wall with zones: one of 0.8 and more, but
// under ASCE 7, whose solid walls are not carried.
func (g *Gust) IsWall(phi float64) bool { return g.Route != WindASCE && phi >= solidWall }

// cylinder returns the drag of a round tube by EN 1991-1-4 7.9: by the larger of the two
// branches of Figure 7.28. The low one is 1.2 up to a Reynolds number of 1.81e5, which the
// tubes of a barrier hardly reach, and there it holds alone.
func (g *Gust) cylinder(b float64, surface string) Drag {
	table := windEN()
	Re, steps := g.reynolds(b)
	cf0 := table.step("force coefficient, low branch", lowBranch(table, Re), Value{"Re", Re, ""})
	if cf0.Result < table.number("largest force coefficient of the low branch").Value {
		k := table.surface(surface)
		high := table.step("force coefficient, high branch", 1.2+0.18*math.Log10(10*k.K/b)/(1+0.4*math.Log10(Re/1e6)),
			Value{"k", k.K, "m"}, Value{"b", b, "m"}, Value{"Re", Re, ""})
		high.Provenance, high.Note = weakest(high.Provenance, k.Provenance), k.Name
		if high.Result > cf0.Result {
			cf0 = high
		}
	}
	psi := table.given("end-effect factor taken")
	cf := table.step("force coefficient", cf0.Result*psi.Result, Value{"cf,0", cf0.Result, ""}, Value{psi.Symbol, psi.Result, ""})
	d := g.forceEN(cf)
	d.Steps = slices.Concat(steps, []Step{cf0, psi}, d.Steps)
	return d
}

// reynolds returns the Reynolds number of a member of width b, m, in the gust, with its steps.
func (g *Gust) reynolds(b float64) (float64, []Step) {
	table := windEN()
	nu := table.number("kinematic viscosity of air")
	v := math.Sqrt(2 * g.Pressure / g.density)
	Re := b * v / nu.Value
	return Re, []Step{
		table.step("peak wind velocity", v, Value{"qp", g.Pressure, "N/m2"}, Value{"ρ", g.density, "kg/m3"}),
		table.step("Reynolds number", Re, Value{"b", b, "m"}, Value{"v(ze)", v, "m/s"}, nu),
	}
}

func lowBranch(table *enWind, Re float64) float64 {
	least, most := table.number("least force coefficient of the low branch").Value, table.number("largest force coefficient of the low branch").Value
	return math.Min(math.Max(0.11/math.Pow(Re/1e6, 1.4), least), most)
}

// forceEN returns the drag with the force coefficient of a step.
func (g *Gust) forceEN(cf Step) Drag {
	table := windEN()
	cscd := table.number("structural factor")
	p := cscd.Value * cf.Result * g.Pressure * g.factor
	steps := []Step{cf, table.step("force on the projected area", p, g.factors(cscd, Value{cf.Symbol, cf.Result, ""}, Value{"qp(ze)", g.Pressure, "N/m2"})...)}
	return Drag{cf.Result, p, steps}
}

// factors returns the values of a force with the factor of shielding and ice, where it is not 1.
func (g *Gust) factors(values ...Value) []Value {
	if g.factor != 1 {
		values = append(values, Value{"factor", g.factor, ""})
	}
	return values
}

// roundMember returns the drag of a round member by ASCE 7-16 29.4.
func (g *Gust) roundMember(D, solidity float64) Drag {
	table := windASCE()
	row := table.coefficient(solidity)
	size := table.step("size of a round member", D*math.Sqrt(g.Pressure), Value{"D", D, "m"}, Value{"qz", g.Pressure, "N/m2"})
	cf := row.Round
	if size.Result > table.number("limit of D sqrt(qz)").Value {
		cf = row.RoundLarge
	}
	d := g.forceASCE(table.coefficientStep(row, "Cf", cf, Value{"ε", solidity, ""}, Value{"D sqrt(qz)", size.Result, ""}))
	d.Steps = slices.Concat([]Step{size}, d.Steps)
	return d
}

// forceASCE returns the drag with the force coefficient of a step, not below the least force,
// which neither shelter nor ice lessens.
func (g *Gust) forceASCE(cf Step) Drag {
	table := windASCE()
	G, least := table.number("gust-effect factor"), table.number("least force")
	p := math.Max(g.Pressure*G.Value*cf.Result*g.factor, least.Value)
	steps := []Step{cf, table.given("gust-effect factor"),
		table.step("force on the projected area", p, g.factors(Value{"qz", g.Pressure, "N/m2"}, G, Value{"Cf", cf.Result, ""})...)}
	return Drag{cf.Result, p, steps}
}

// Slenderness returns the effective slenderness, a plain number, of a round member of length l
// and width b, m.
//
// EN 1991-1-4:2005 7.13 Table 7.16.
func Slenderness(l, b float64) float64 {
	const short, long = 15.0, 50.0 // m
	part := math.Min(math.Max((l-short)/(long-short), 0), 1)
	shorter, longer := math.Min(l/b, 70), math.Min(0.7*l/b, 70)
	return shorter + part*(longer-shorter)
}

// EndEffect returns the end-effect factor of a solid member of an effective slenderness: a
// reading of the graph, straight on its logarithmic axis between the readings carried, from 1
// to 70, beyond which the nearest stands.
//
// EN 1991-1-4:2005 7.13 Figure 7.36; provenance: public. Barrier rails are taken at 1.0, which is
// cautious.
func EndEffect(slenderness float64) float64 {
	readings := windEN().EndEffect
	lambda := math.Min(math.Max(slenderness, readings[0].Slenderness), readings[len(readings)-1].Slenderness)
	for i := range readings[1:] {
		a, b := readings[i], readings[i+1]
		if lambda <= b.Slenderness {
			return a.Factor + (b.Factor-a.Factor)*math.Log(lambda/a.Slenderness)/math.Log(b.Slenderness/a.Slenderness)
		}
	}
	return readings[len(readings)-1].Factor
}
