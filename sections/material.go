package sections

// Material is the family of metal a tube or grade is of; empty where it is not
// known, as for a tube that the user describes by its size.
type Material string

// The materials of the tables.
const (
	Steel     Material = "steel"
	Stainless Material = "stainless"
	Aluminium Material = "aluminium"
	Iron      Material = "iron" // cast fitting bodies only
)

// called returns the material within a sentence: stainless steel for stainless.
func (m Material) called() string {
	if m == Stainless {
		return "stainless steel"
	}
	return string(m)
}

// Density returns the conventional density in kg/m³ behind the masses that
// product standards print: 7850 for steel (EN 10219-2), that times 1.015 for
// austenitic stainless steel (EN ISO 1127), 2700 for aluminium (EN 1999-1-1
// 3.2.5); 0 for another material. Provenance: memory. A check takes the density
// of the grade instead.
func (m Material) Density() float64 {
	switch m {
	case Steel:
		return 7850
	case Stainless:
		return 7850 * 1.015
	case Aluminium:
		return 2700
	}
	return 0
}

// The moduli of steel in AISC 360-16, symbols E and G, Pa: 29 000 and 11 200 ksi.
// Source: public copy.
const (
	ModulusAISC      = 29_000 * ksi
	ShearModulusAISC = 11_200 * ksi
)

// The moduli of aluminium in the Aluminum Design Manual, Pa: 10 100 and 3800 ksi. Provenance:
// memory.
const (
	ModulusADM      = 10_100 * ksi
	ShearModulusADM = 3_800 * ksi
)

// The moduli of steel in AS 4100 1.4 and in CSA S16 2.2, symbols E and G, Pa. Provenance: memory.
const (
	ModulusAS4100      = 200e9
	ShearModulusAS4100 = 80e9
	ModulusS16         = 200e9
	ShearModulusS16    = 77e9
)

// Expansion is a coefficient of linear thermal expansion with its source.
type Expansion struct {
	Value float64 // 1/K

	Standard, Edition, Clause, Source, Provenance string
}

// Expansion returns the coefficient of linear thermal expansion of the material, that of EN
// 1991-1-5 Table C.1: 12e-6 for structural steel (EN 1993-1-1 3.2.6 has the same), 16e-6 for
// stainless steel and 24e-6 for aluminium; 10e-6 for cast iron. Steel's, for another material.
// The AISC Manual's 6.5e-6 per degF is 11.7e-6, so that this errs to the cautious side.
// Provenance: memory.
func (m Material) Expansion() Expansion {
	e := Expansion{Value: 12e-6, Standard: "EN 1991-1-5", Edition: "2003", Clause: "Table C.1", Source: "from memory", Provenance: "memory"}
	switch m {
	case Stainless:
		e.Value = 16e-6
	case Aluminium:
		e.Value = 24e-6
	case Iron:
		e.Value = 10e-6
	}
	return e
}
