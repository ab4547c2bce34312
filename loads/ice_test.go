package loads

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// The masses of glaze on a 10 mm rod that ISO 12494 Table 3 prints (from memory), kg/m.
func TestGlazeMasses(t *testing.T) {
	record := verification.New(t, verification.Weather)
	masses := record.From("glaze on a 10 mm rod", "ISO 12494 Table 3 (memory)", verification.Memory)
	shares := record.From("part k of the wind on ice", "ISO 12494 Table 12 (memory)", verification.Memory)
	for i, want := range []float64{0.57, 1.70, 3.39, 5.65, 8.48} {
		class := IceClasses()[i]
		c := (&Ice{Class: class}).Coat()
		m, step := c.Mass(0.010)
		masses.Within(0.005, class+": kg/m", want, m)
		shares.Within(0, class, []float64{0.40, 0.45, 0.50, 0.55, 0.60}[i], c.Share)
		if step.Result != m || step.Provenance != "memory" {
			t.Errorf("step %+v", step)
		}
	}
}

// The area of a ring is that of the outer circle less the inner one.
func TestOwnIce(t *testing.T) {
	c := (&Ice{Thickness: 0.02, Density: 700}).Coat()
	m, _ := c.Mass(0.0483)
	outer, inner := c.Width(0.0483), 0.0483
	verification.New(t, verification.Weather).From("ice of a given thickness", "geometry of a ring", verification.Derived).
		Within(1e-12, "20 mm of 700 kg/m³ on 48.3 mm: kg/m", 700*math.Pi/4*(outer*outer-inner*inner), m)
	if c.Share != 1 {
		t.Errorf("share %g without a class", c.Share)
	}
}

// Infill under ice, against geometry counted out on one square metre.
func TestIcedInfill(t *testing.T) {
	c := (&Ice{Class: "G1"}).Coat() // 10 mm, 900 kg/m³
	sheet := c.Infill(1, 0, false)
	infill := verification.New(t, verification.Weather).From("infill under 10 mm of ice", "geometry counted out on one square metre", verification.Derived)
	infill.Within(1e-12, "sheet, two faces: kg/m²", 2*0.010*900, sheet.Mass)

	// Bars of 12 mm at 112 mm centres: 12/112 solid, 100 mm clear.
	bars := c.Infill(12.0/112, 0.100, true)
	infill.Within(1e-9, "1/0.112 bars a metre: kg/m²", 900*math.Pi*0.010*0.022/0.112, bars.Mass)
	infill.Within(1e-9, "iced bars, 32 mm at 112 mm: solidity", 32.0/112, bars.Solidity)

	// Wires of 4 mm at 54 mm both ways.
	mesh := c.Infill(1-math.Pow(50.0/54, 2), 0.050, false)
	infill.Within(1e-9, "2/0.054 m of wire a square metre: kg/m²", 2*900*math.Pi*0.010*0.014/0.054, mesh.Mass)
	infill.Within(1e-9, "iced mesh, openings of 30 mm at 54 mm: solidity", 1-math.Pow(30.0/54, 2), mesh.Solidity)

	// Ice from both sides meets in openings of 20 mm and less, and where they are not known.
	for _, opening := range []float64{0, 0.020} {
		if shut := c.Infill(0.4, opening, false); shut.Solidity != 1 || shut.Mass <= sheet.Mass {
			t.Errorf("opening %g: %+v", opening, shut)
		}
	}
}

// Ice takes its part of the wind on the wider tube, with the coefficient 1.2.
func TestWindOnIce(t *testing.T) {
	c := (&Ice{Class: "G3"}).Coat()
	g := windy("II", 25, 5).At(1.1)
	bare, iced := g.Tube(0.0483, 0), g.Iced(&c)
	d := iced.Tube(0.0483, 0)
	near(t, "force per length", "0.50 of the wind on 108.3 mm", d.Pressure*0.0483, 0.50*1.2*g.Pressure*0.1083, 1e-9)
	if bare.Coefficient != 1.2 {
		t.Errorf("bare tube %g", bare.Coefficient)
	}
	if g.factor != 1 || g.coat != nil {
		t.Error("the gust itself is changed")
	}
}

func TestIceFaults(t *testing.T) {
	for _, row := range []struct {
		ice        Ice
		field, fix string
	}{
		{Ice{Class: "R3"}, "class", "G1, G2, G3, G4, G5"},
		{Ice{}, "thickness", "20 mm"},
		{Ice{Class: "G2", Thickness: 0.02}, "thickness", "leave one"},
		{Ice{Class: "G2", Density: 1200}, "density", "300 to 920"},
		{Ice{Class: "G2", WindShare: 2}, "wind_share", "part of 1"},
	} {
		faults := row.ice.Check()
		if len(faults) != 1 || faults[0].Field != row.field || !strings.Contains(faults[0].Fix, row.fix) {
			t.Errorf("%+v: %+v", row.ice, faults)
		}
	}
}
