package check

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// told is what a report says of the code that a resistance follows.
type told struct {
	factors string // the factors on resistance, a clause of a sentence: "1.00 on steel (γM0), recommended value"
	method  string // a sentence on how it judges, empty for none
	source  string // a line of the sources
}

// UncoveredError is a tube of a material that no code of the basis covers here.
type UncoveredError struct {
	Tube     string
	Material sections.Material
	Basis    loads.Basis
	Why      string
}

func (e *UncoveredError) Error() string {
	return fmt.Sprintf("%s: %s under basis %s: %s", e.Tube, e.Material, e.Basis, e.Why)
}

// Fix says what would be right.
func (e *UncoveredError) Fix() string {
	return fmt.Sprintf("take a tube and a grade of carbon steel, or a basis whose code for %s is carried: basis = %q", e.Material, string(loads.BasisEN))
}

// newResistance returns the resistances of a tube of a length (m) by the code of the basis for
// its material. It returns a *ClassError or an *UncoveredError for one that the code does not
// cover.
func newResistance(d *barrier.Definition, m *barrier.Member, length float64) (resistance, error) {
	switch material := m.Grade.Material; d.Basis {
	case loads.BasisEN:
		switch material {
		case sections.Stainless:
			return newStainless(m)
		case sections.Aluminium:
			return newAluminium(m)
		}
		return NewTube(m)
	case loads.BasisLRFD, loads.BasisASD:
		switch material {
		case sections.Aluminium:
			return newAluminumManual(m, d.Basis, length)
		case sections.Stainless:
			return nil, &UncoveredError{m.Name, material, d.Basis, "AISC 360 A1 is for carbon steel, and AISC 370 is not carried"}
		}
		return NewRoundTube(m, d.Basis, length)
	case loads.BasisAS:
		if material == sections.Stainless || material == sections.Aluminium {
			return nil, &UncoveredError{m.Name, material, d.Basis, "AS 4100 is for carbon steel, and AS/NZS 1664 and 4673 are not carried"}
		}
		return newAS4100(m)
	case loads.BasisCSA:
		switch material {
		case sections.Aluminium:
			return newS157(m)
		case sections.Stainless:
			return nil, &UncoveredError{m.Name, material, d.Basis, "CSA S16 is for carbon steel"}
		}
		return newS16(m)
	}
	panic(fmt.Sprintf("check: basis %q has no resistances", d.Basis))
}

// criticalStiffness returns EI of a member for its critical force, N·m²; of steel with no more
// than the modulus of the code that judges by it.
func criticalStiffness(d *barrier.Definition, m *barrier.Member) float64 {
	e := m.Grade.E
	if m.Grade.Material == sections.Steel || m.Grade.Material == "" {
		switch d.Basis {
		case loads.BasisLRFD, loads.BasisASD:
			e = math.Min(e, sections.ModulusAISC)
		case loads.BasisAS:
			e = math.Min(e, sections.ModulusAS4100)
		case loads.BasisCSA:
			e = math.Min(e, sections.ModulusS16)
		}
	}
	return e * m.Ring.I
}

// codeOfSteel names the code by which a basis judges tube of carbon steel, and how it writes the
// factor on a resistance.
func codeOfSteel(b loads.Basis) (code, factor string) {
	switch b {
	case loads.BasisEN:
		return "EN 1993-1-1", "γM0"
	case loads.BasisAS:
		return "AS 4100", "φ"
	case loads.BasisCSA:
		return "CSA S16", "φ"
	}
	return "AISC 360", "φ or Ω"
}
