package sections

import (
	"math"
	"slices"
	"sync"
)

// ZincDensity is that of a zinc coating, kg/m³: 1 um of it is 7.14 g/m². Source: public tables
// of coatings; 7.2 is often used, and makes less thickness of a mass.
const ZincDensity = 7140

// Corrosivity is a category of ISO 9223 for open air: what metals lose in their first year.
type Corrosivity struct {
	Category  string // "C1" to "C5" and "CX"
	Words     string // "very low" to "extreme"
	Steel     RateBand
	Zinc      RateBand
	Aluminium RateBand // kg/(m² year): its attack is pitting, and no thickness tells of it
}

// RateBand are the ends of what a metal loses in its first year in a category: of thickness, but
// for aluminium of mass, see [Corrosivity].
type RateBand struct {
	Low, High          float64 // m/year, of aluminium kg/(m² year); High is +Inf where it has no end
	Source, Provenance string
}

// Range returns the band as a range of rates.
func (b RateBand) Range() RateRange { return Rates(b.Low, b.High) }

// Corrosivities returns the categories from the mildest on. The slice is the caller's own.
func Corrosivities() []Corrosivity { return slices.Clone(corrosivityTable()) }

// FindCorrosivity returns the category of that name; ok is false where there is none.
func FindCorrosivity(category string) (c Corrosivity, ok bool) {
	for _, c := range corrosivityTable() {
		if c.Category == category {
			return c, true
		}
	}
	return Corrosivity{}, false
}

var corrosivityTable = sync.OnceValue(func() []Corrosivity {
	const um, gram = 1e-6, 1e-3
	var table []Corrosivity
	for _, r := range readTable("corrosivity.csv") {
		i := slices.IndexFunc(table, func(c Corrosivity) bool { return c.Category == r.text("category") })
		if i < 0 {
			i = len(table)
			table = append(table, Corrosivity{Category: r.text("category"), Words: r.text("words")})
		}
		switch c := &table[i]; Metal(r.text("metal")) {
		case CarbonSteel:
			c.Steel = r.rateBand(um)
		case Zinc:
			c.Zinc = r.rateBand(um)
		case AluminiumMetal:
			c.Aluminium = r.rateBand(gram)
		}
	}
	return table
})

// rateBand reads low and high of a row, each in units of so much SI.
func (r row) rateBand(unit float64) RateBand {
	b := RateBand{Low: r.number("low") * unit, High: math.Inf(1), Source: r.text("source"), Provenance: r.text("provenance")}
	if r.text("high") != "" {
		b.High = r.number("high") * unit
	}
	return b
}

// A CorrosivityRow is a category as `list corrosivity` gives it: the ends of its bands.
type CorrosivityRow struct {
	Category            string   `json:"category"`
	Words               string   `json:"words"`
	SteelFrom           float64  `json:"steel_from_um_per_year"`
	SteelTo             float64  `json:"steel_to_um_per_year"`
	SteelSource         string   `json:"steel_source"`
	SteelProvenance     string   `json:"steel_provenance"`
	ZincFrom            float64  `json:"zinc_from_um_per_year"`
	ZincTo              float64  `json:"zinc_to_um_per_year"`
	ZincSource          string   `json:"zinc_source"`
	ZincProvenance      string   `json:"zinc_provenance"`
	AluminiumFrom       float64  `json:"aluminium_from_g_per_m2_year"`
	AluminiumTo         *float64 `json:"aluminium_to_g_per_m2_year"` // nil where the band has no end
	AluminiumSource     string   `json:"aluminium_source"`
	AluminiumProvenance string   `json:"aluminium_provenance"`
}

// Row returns the category as a row of `list corrosivity`, numbers rounded to 9 significant digits.
func (c Corrosivity) Row() CorrosivityRow {
	row := CorrosivityRow{
		Category: c.Category, Words: c.Words,
		SteelFrom: round9(c.Steel.Low * 1e6), SteelTo: round9(c.Steel.High * 1e6), SteelSource: c.Steel.Source, SteelProvenance: c.Steel.Provenance,
		ZincFrom: round9(c.Zinc.Low * 1e6), ZincTo: round9(c.Zinc.High * 1e6), ZincSource: c.Zinc.Source, ZincProvenance: c.Zinc.Provenance,
		AluminiumFrom: round9(c.Aluminium.Low * 1e3), AluminiumSource: c.Aluminium.Source, AluminiumProvenance: c.Aluminium.Provenance,
	}
	if !math.IsInf(c.Aluminium.High, 1) {
		to := round9(c.Aluminium.High * 1e3)
		row.AluminiumTo = &to
	}
	return row
}
