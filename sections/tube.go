package sections

import (
	"slices"
	"sync"
)

// A Tube is a row of the tube table: a size of a product standard.
type Tube struct {
	Name        string // listed name, unique: "EN 10255 DN40 medium"
	Standard    string // product or dimension standard: "EN 10219-2"
	Edition     string
	Designation string  // as the standard or its tables write the size; not unique between standards
	Series      string  // "medium", "L2", "hot finished CHS"
	NominalSize string  // "DN 40", "NPS 1-1/2", empty where there is none
	OD          float64 // nominal outside diameter, m
	Wall        float64 // nominal wall, m
	DesignWall  float64 // wall that the AISC tables design with, m; 0 where none is printed
	ODMin       float64 // least and largest outside diameter of the product, m; 0 where not listed
	ODMax       float64
	Material    Material
	Source      string
	Provenance  string   // public, memory, derived or common-practice
	also        []string // further words that may be typed for this row
	sizes       []string // diameter, and diameter x wall, as listed in mm and where given in inches
}

// Tubes returns every tube of the table in document order. The slice is the
// caller's own.
func Tubes() []Tube { return slices.Clone(tubeTable()) }

var tubeTable = sync.OnceValue(func() []Tube {
	rows := readTable("tubes.csv")
	tubes := make([]Tube, 0, len(rows))
	for _, r := range rows {
		tubes = append(tubes, tubeOf(r))
	}
	return tubes
})

// tubeOf reads one row. A row in inches takes its size from the inches, of which
// the millimetres beside it are a rounding.
func tubeOf(r row) Tube {
	t := Tube{
		Name:        r.text("name"),
		Standard:    r.text("standard"),
		Edition:     r.text("edition"),
		Designation: r.text("designation"),
		Series:      r.text("series"),
		NominalSize: r.text("nominal_size"),
		OD:          r.number("od_mm") * mm,
		Wall:        r.number("wall_mm") * mm,
		ODMin:       r.optional("od_min_mm") * mm,
		ODMax:       r.optional("od_max_mm") * mm,
		Material:    Material(r.text("material")),
		Source:      r.text("source"),
		Provenance:  r.text("provenance"),
		also:        list(r.text("also")),
		sizes:       r.sizes("od_mm", "wall_mm"),
	}
	if r.text("od_in") != "" {
		t.OD = r.number("od_in") * inch
		t.Wall = r.number("wall_in") * inch
		t.DesignWall = r.optional("design_wall_in") * inch
		t.sizes = append(t.sizes, r.sizes("od_in", "wall_in")...)
	}
	return t
}

// sizes returns a row's diameter and its diameter by wall as they are listed.
func (r row) sizes(od, wall string) []string {
	return []string{r.text(od), r.text(od) + "x" + r.text(wall)}
}

// A TubeRow is a tube as `list tubes` gives it, with the properties of the ring
// on the nominal wall and the mass by the material's conventional density.
type TubeRow struct {
	Name         string   `json:"name"`
	Standard     string   `json:"standard"`
	Edition      string   `json:"edition"`
	Designation  string   `json:"designation"`
	Series       string   `json:"series"`
	NominalSize  string   `json:"nominal_size"`
	Material     Material `json:"material"`
	ODMM         float64  `json:"od_mm"`
	WallMM       float64  `json:"wall_mm"`
	DesignWallMM *float64 `json:"design_wall_mm"` // nil where the table prints none
	MassKgPerM   float64  `json:"mass_kg_per_m"`
	AreaMM2      float64  `json:"area_mm2"`
	IMM4         float64  `json:"I_mm4"`
	WelMM3       float64  `json:"Wel_mm3"`
	WplMM3       float64  `json:"Wpl_mm3"`
	Source       string   `json:"source"`
	Provenance   string   `json:"provenance"`
}

// Row returns the tube as a row of `list tubes`, numbers rounded to 9
// significant digits. It panics on a tube that is no ring.
func (t Tube) Row() TubeRow {
	ring, err := NewRing(t.OD, t.Wall)
	if err != nil {
		panic("sections: " + err.Error())
	}
	return TubeRow{
		Name: t.Name, Standard: t.Standard, Edition: t.Edition, Designation: t.Designation,
		Series: t.Series, NominalSize: t.NominalSize, Material: t.Material,
		ODMM:         round9(t.OD / mm),
		WallMM:       round9(t.Wall / mm),
		DesignWallMM: given(t.DesignWall / mm),
		MassKgPerM:   round9(ring.Mass(t.Material.Density())),
		AreaMM2:      round9(ring.Area / (mm * mm)),
		IMM4:         round9(ring.I / (mm * mm * mm * mm)),
		WelMM3:       round9(ring.Wel / (mm * mm * mm)),
		WplMM3:       round9(ring.Wpl / (mm * mm * mm)),
		Source:       t.Source,
		Provenance:   t.Provenance,
	}
}
