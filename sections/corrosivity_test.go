package sections

import (
	"math"
	"strings"
	"testing"
)

// Each category of ISO 9223 begins where the one below ends (ISO 9223:2012 Table 2, from memory),
// for every metal, and its middle is the arithmetic mean of its ends.
func TestCategoriesMeet(t *testing.T) {
	table := Corrosivities()
	var names []string
	for _, c := range table {
		names = append(names, c.Category)
	}
	if got := strings.Join(names, " "); got != "C1 C2 C3 C4 C5 CX" {
		t.Fatalf("categories %s", got)
	}
	for i, c := range table {
		bands := []RateBand{c.Steel, c.Zinc, c.Aluminium}
		for j, b := range bands {
			if i > 0 && b.Low != []RateBand{table[i-1].Steel, table[i-1].Zinc, table[i-1].Aluminium}[j].High {
				t.Errorf("%s begins at %g, and the one below ends elsewhere", c.Category, b.Low)
			}
			if b.Source == "" || b.Provenance == "" || b.High < b.Low {
				t.Errorf("%s: %+v", c.Category, b)
			}
			if r := b.Range(); !math.IsInf(b.High, 1) && math.Abs(r[MiddleRate]-(b.Low+b.High)/2) > 1e-15 {
				t.Errorf("%s: middle %g of %g and %g", c.Category, r[MiddleRate], b.Low, b.High)
			}
		}
		// Zinc loses less than steel in open air.
		if c.Zinc.High > c.Steel.High || c.Zinc.Low > c.Steel.Low {
			t.Errorf("%s: zinc %v, steel %v", c.Category, c.Zinc, c.Steel)
		}
	}
	// The ends of the table of facts, um/year: steel 1.3 to 25 in C2, 200 to 700 in CX; zinc 2.1 to 4.2 in C4.
	c4, _ := FindCorrosivity("C4")
	cx, _ := FindCorrosivity("CX")
	for name, v := range map[string][2]float64{
		"steel in C2": {table[1].Steel.Low, 1.3}, "steel to C2": {table[1].Steel.High, 25}, "steel in CX": {cx.Steel.Low, 200}, "steel to CX": {cx.Steel.High, 700},
		"zinc in C4": {c4.Zinc.Low, 2.1}, "zinc to C4": {c4.Zinc.High, 4.2},
	} {
		if math.Abs(v[0]/um-v[1]) > 1e-9 {
			t.Errorf("%s: %g um/year, want %g", name, v[0]/um, v[1])
		}
	}
	if _, ok := FindCorrosivity("C6"); ok {
		t.Error("there is a category C6")
	}
}

// The aluminium of C4, 2 to 5 g/m² a year, is 0.74 to 1.85 um a year spread evenly: the table of
// facts, at 2700 kg/m³.
func TestAluminiumSpreadEvenly(t *testing.T) {
	c4, _ := FindCorrosivity("C4")
	low, high := c4.Aluminium.Low/Aluminium.Density()/um, c4.Aluminium.High/Aluminium.Density()/um
	if math.Abs(low-0.74) > 0.005 || math.Abs(high-1.85) > 0.005 {
		t.Errorf("%.3f to %.3f um/year, want 0.74 to 1.85", low, high)
	}
}
