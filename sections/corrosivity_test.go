package sections

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// Each category of ISO 9223 begins where the one below ends (ISO 9223:2012 Table 2, from memory),
// for every metal, and its middle is the arithmetic mean of its ends.
func TestCategoriesMeet(t *testing.T) {
	bands := verification.New(t, verification.Corrosion).From("bands of the rate of loss", "ISO 9223:2012 Table 2 (memory)", verification.Memory)
	table := Corrosivities()
	var names []string
	for _, c := range table {
		names = append(names, c.Category)
	}
	if got := strings.Join(names, " "); got != "C1 C2 C3 C4 C5 CX" {
		t.Fatalf("categories %s", got)
	}
	for i, c := range table {
		for j, b := range []RateBand{c.Steel, c.Zinc, c.Aluminium} {
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
	for _, v := range []struct {
		name      string
		got, want float64
	}{
		{"steel in C2: lower end", table[1].Steel.Low, 1.3}, {"steel in C2: upper end", table[1].Steel.High, 25}, {"steel in CX: lower end", cx.Steel.Low, 200},
		{"steel in CX: upper end", cx.Steel.High, 700}, {"zinc in C4: lower end", c4.Zinc.Low, 2.1}, {"zinc in C4: upper end", c4.Zinc.High, 4.2},
	} {
		bands.Within(1e-9, v.name+", um/year", v.want, v.got/um)
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
	even := verification.New(t, verification.Corrosion).From("aluminium spread evenly", "g/m² a year of ISO 9223 C4 over 2700 kg/m³", verification.Derived)
	even.Within(0.005, "from, um/year", 0.74, low)
	even.Within(0.005, "to, um/year", 1.85, high)
}
