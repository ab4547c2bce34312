package sections

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"example.com/stanchion/internal/verification"
)

// The coatings of tube walls in use, um: ISO 1461:2009 (not centrifuged) as public tables give
// it, ASTM A123 for pipe and tubing by grade, the masses of ASTM A53, and EN 10240 from memory.
func TestCoatingsOfWalls(t *testing.T) {
	record := verification.New(t, verification.Corrosion)
	for _, c := range []struct {
		name        string
		wall        float64 // mm
		local, mean float64 // um
	}{
		{"ISO 1461", 3.2, 55, 70},
		{"ISO 1461", 4.0, 55, 70},
		{"ISO 1461", 6.0, 55, 70},
		{"ISO 1461", 6.3, 70, 85},
		{"ISO 1461", 3.0, 45, 55},
		{"iso1461", 2.0, 45, 55},
		{"ISO 1461", 1.5, 45, 55},
		{"ISO 1461", 1.4, 35, 45},
		{"ASTM A123", 3.1, 35, 45},
		{"ASTM A123", 3.2, 65, 75},
		{"ASTM A123", 6.4, 65, 75},
		{"ASTM A123 grade 100", 3.2, 85, 100},
		{"EN 10240 A.1", 3.2, 28, 0},
		{"en 10240 b.2", 3.2, 40, 0},
		{"ASTM A53", 3.7, 68, 77},
	} {
		got, err := FindCoating(c.name, c.wall*mm)
		row := record.From("thickness of "+got.Standard, got.Source, verification.Provenance(got.Provenance))
		row.Add(fmt.Sprintf("%s on %g mm: least, um", got.Name, c.wall), c.local, got.Local/um)
		if c.mean > 0 {
			row.Add(fmt.Sprintf("%s on %g mm: mean, um", got.Name, c.wall), c.mean, got.Mean/um)
		}
		if err != nil || math.Abs(got.Local/um-c.local) > 1e-9 || math.Abs(got.Mean/um-c.mean) > 1e-9 {
			t.Errorf("%s on %g mm: %g um, mean %g, %v; want %g and %g", c.name, c.wall, got.Local/um, got.Mean/um, err, c.local, c.mean)
		}
	}
}

// The masses that ISO 1461 and ASTM A53 print beside a mean thickness are that of zinc, 7.14 g/cm³,
// or of 7.2, which is often used: within 1.5 %.
func TestMassesOfCoatings(t *testing.T) {
	record := verification.New(t, verification.Corrosion)
	const zinc = "density of zinc, 7.14 g/cm³ (common practice); the masses are as ISO 1461 and ASTM A53 print them"
	n := 0
	for _, c := range Coatings() {
		if c.Mean == 0 || c.Mass == 0 {
			continue
		}
		n++
		record.From("mass of a coating over its mean thickness", zinc, verification.Practice).Add(fmt.Sprintf("%s, %s: g/cm³", c.Name, c.Words()), ZincDensity*1e-3, c.Mass/c.Mean*1e-3)
		if ratio := c.Mass / c.Mean / ZincDensity; math.Abs(ratio-1) > 0.015 {
			t.Errorf("%s, %s: %g g/m2 and %g um are %.3f of the density of zinc", c.Name, c.Words(), c.Mass*1e3, c.Mean/um, ratio)
		}
	}
	if n != 5 {
		t.Errorf("%d coatings with mean and mass, want the four of ISO 1461 and that of ASTM A53", n)
	}
	// 1.6 oz/ft² of a single specimen, at 28.349523125 g an ounce and 0.09290304 m² a square foot.
	if a53, _ := FindCoating("ASTM A53", 3.2*mm); math.Abs(a53.Local-1.6*0.028349523125/0.09290304/ZincDensity) > 0.5*um {
		t.Errorf("ASTM A53: %g um", a53.Local/um)
	}
}

// Every name has one row for every wall, and its least thickness is no more than its mean.
func TestEveryCoatingCoversEveryWall(t *testing.T) {
	for _, name := range CoatingNames() {
		for wall := 0.1 * mm; wall < 30*mm; wall += 0.1 * mm {
			covers := 0
			for _, c := range Coatings() {
				if c.Name == name && c.Covers(wall) {
					covers++
				}
			}
			if covers != 1 {
				t.Fatalf("%s: %d rows for a wall of %g mm", name, covers, wall/mm)
			}
		}
	}
	for _, c := range Coatings() {
		if c.Local <= 0 || c.Mean > 0 && c.Local > c.Mean || c.Standard == "" {
			t.Errorf("%+v", c)
		}
	}
}

func TestUnknownCoating(t *testing.T) {
	_, err := FindCoating("ISO 1416", 3.2*mm)
	unknown, ok := errors.AsType[*UnknownCoatingError](err)
	if !ok || !slices.Equal(unknown.Nearest, []string{"ISO 1461"}) {
		t.Errorf("%v", err)
	}
}
