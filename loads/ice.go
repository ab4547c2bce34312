package loads

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"
)

// Ice is a coat of ice all round every tube and on both faces of an infill's solid parts.
type Ice struct {
	Class     string  // of ISO 12494: "G1" to "G5"; empty where the thickness is given
	Thickness float64 // m
	Density   float64 // kg/m³; 0: that of glaze
	WindShare float64 // k: the part of the wind that acts on the iced barrier; 0: as the class, or 1
}

// IceClasses returns the names of the classes of glaze of ISO 12494, from the thinnest.
func IceClasses() []string {
	var names []string
	for _, c := range iceTable().Class {
		names = append(names, c.Name)
	}
	return names
}

// Check returns what of the ice cannot be computed with; the Field of a fault is one of Ice.
func (i *Ice) Check() []Fault {
	var f faults
	switch {
	case i.Class == "" && !(i.Thickness > 0 && i.Thickness <= 1):
		f.add("thickness", "it is not above zero, or above 1 m", "give a thickness such as \"20 mm\", or a class: "+strings.Join(IceClasses(), ", "))
	case i.Class != "" && iceTable().class(i.Class) == nil:
		f.add("class", fmt.Sprintf("ISO 12494 has no class of glaze %q here; rime is not carried", i.Class), "take one of "+strings.Join(IceClasses(), ", ")+", or give a thickness")
	case i.Class != "" && i.Thickness != 0:
		f.add("thickness", "the class has a thickness", "leave one of them out")
	}
	if i.Density < 0 || i.Density > 1000 || math.IsNaN(i.Density) {
		f.add("density", "ice is not denser than water, nor lighter than nothing", "give 300 to 920 kg/m3, or leave it out")
	}
	if i.WindShare < 0 || i.WindShare > 1 || math.IsNaN(i.WindShare) {
		f.add("wind_share", "it is not from 0 to 1", "give a part of 1, or leave it out")
	}
	return f
}

// Coat is a coat of ice with how it was found.
type Coat struct {
	Thickness float64 // m, all round
	Density   float64 // kg/m³
	Share     float64 // k: the part of the wind that acts on what it coats
	Steps     []Step

	share Step
}

// Coat returns the coat. It panics for ice that [Ice.Check] faults.
func (i *Ice) Coat() Coat {
	if faults := i.Check(); len(faults) > 0 {
		panic(fmt.Sprintf("loads: ice: %s: %s", faults[0].Field, faults[0].What))
	}
	table := iceTable()
	t := ownStep("ice thickness", "t", i.Thickness, "m", "ice")
	k := ownStep("part of the wind on ice", "k", 1, "", "ice")
	k.Note = "no class is given, so the whole wind acts with the ice"
	if class := table.class(i.Class); class != nil {
		t.Result, t.Formula, t.Citation = class.Thickness, "class "+class.Name, table.cite(class.citationRow)
		k = table.step("part of the wind on ice", class.Share)
		k.Formula = "class " + class.Name
	}
	if i.WindShare != 0 {
		k = ownStep(k.What, k.Symbol, i.WindShare, "", "ice")
	}
	rho := table.given("density of glaze")
	if i.Density != 0 {
		rho = ownStep("density of the ice", "ρ", i.Density, "kg/m3", "ice")
	}
	return Coat{Thickness: t.Result, Density: rho.Result, Share: k.Result, Steps: []Step{t, rho}, share: k}
}

// Width returns how wide a round member of diameter d, m, is with its ice, m.
func (c *Coat) Width(d float64) float64 { return d + 2*c.Thickness }

func (c *Coat) widthStep(d float64) Step {
	return iceTable().step("width of an iced member", c.Width(d), Value{"d", d, "m"}, Value{"t", c.Thickness, "m"})
}

// Mass returns the mass of ice on a round member of diameter d (m), kg/m, and the step to it.
//
// ISO 12494 7.4, the same as ASCE 7 equation (10.4-1); provenance: memory.
func (c *Coat) Mass(d float64) (float64, Step) {
	m := c.Density * math.Pi * c.Thickness * (d + c.Thickness)
	return m, iceTable().step("mass of ice on a round member", m, Value{"ρ", c.Density, "kg/m3"}, Value{"t", c.Thickness, "m"}, Value{"d", d, "m"})
}

// IcedInfill is an infill under ice.
type IcedInfill struct {
	Mass     float64 // of the ice, kg/m² of gross area
	Solidity float64 // of the infill with its ice
	Steps    []Step
}

// Infill returns what ice does to an infill of a solidity above 0, whose openings let a ball
// of diameter opening (m) pass; 0 where that is not known. Bars are vertical, round and side by
// side; else it is a mesh of square openings. Where the opening is not known, and where ice
// from both sides meets, the openings are closed by ice.
func (c *Coat) Infill(solidity, opening float64, bars bool) IcedInfill {
	table := iceTable()
	t := c.Thickness
	rho, thick, phi := Value{"ρ", c.Density, "kg/m3"}, Value{"t", t, "m"}, Value{"φ", solidity, ""}
	if solidity >= 1 {
		m := 2 * c.Density * t
		return IcedInfill{m, 1, []Step{table.step("ice on a sheet", m, rho, thick)}}
	}
	d := t // not known: cautious
	if opening > 0 {
		d = opening * (1/math.Sqrt(1-solidity) - 1)
		if bars {
			d = solidity * opening / (1 - solidity)
		}
	}
	width, clear := Value{"d", d, "m"}, Value{"g", opening, "m"}
	closing := 2*c.Density*t + c.Density*d*(1-solidity)
	if opening <= 2*t {
		return IcedInfill{closing, 1, []Step{table.step("ice that closes the openings", closing, rho, thick, width, phi)}}
	}
	m, iced := 2*c.Density*math.Pi*t*(d+t)/(d+opening), 1-math.Pow((opening-2*t)/(d+opening), 2)
	names := [2]string{"ice on a mesh", "solidity of an iced mesh"}
	if bars {
		m, iced = m/2, (d+2*t)/(d+opening)
		names = [2]string{"ice on vertical bars", "solidity of iced bars"}
	}
	return IcedInfill{m, iced, []Step{
		table.step(names[0], m, rho, thick, width, clear, phi),
		table.step(names[1], iced, width, thick, clear),
	}}
}

// IcedTube returns the force coefficient of an iced tube by EN 1991-1-4 as a step, with what is
// in doubt of it in its note.
func IcedTube() Step { return iceTable().given("force coefficient of an iced tube") }

// iceFile is the file of ISO 12494.
type iceFile struct {
	code
	Class []glazeRow
}

type glazeRow struct {
	Name      string
	Thickness float64
	Share     float64
	citationRow
}

var iceTable = sync.OnceValue(func() *iceFile {
	const file = "tables/ice-iso-12494.toml"
	t, err := decodeIce(embedded(file))
	must(file, err)
	return t
})

func decodeIce(data []byte) (*iceFile, error) {
	t := &iceFile{}
	if err := decode(data, t); err != nil {
		return nil, err
	}
	faults := []error{t.audit()}
	for _, r := range t.Class {
		faults = append(faults, positive(r.Name, r.Thickness), positive(r.Name, r.Share), t.citedRow(r.Name, r.citationRow))
	}
	return t, errors.Join(faults...)
}

// class returns a class of glaze, nil where there is none of that name.
func (t *iceFile) class(name string) *glazeRow {
	for i := range t.Class {
		if t.Class[i].Name == name {
			return &t.Class[i]
		}
	}
	return nil
}
