package sections

import (
	"math"
	"slices"
	"testing"
)

// The stress area is that of the diameter between those of pitch and core:
// As = π/4 (d - 0.9382 P)² (ISO 898-1, from memory; ASME B1.1 writes it π/4 (D - 0.9743/n)² with
// another thread tolerance), to the printed digits.
func TestBoltStressAreas(t *testing.T) {
	for _, b := range Bolts() {
		factor, tol := 0.9382, 0.005*b.StressArea
		if b.Name[0] != 'M' {
			factor = 0.9743
		}
		want := math.Pi / 4 * math.Pow(b.Diameter-factor*b.Pitch, 2)
		if math.Abs(b.StressArea-want) > tol {
			t.Errorf("%s: stress area %.2f mm², by the formula %.2f", b.Name, b.StressArea*1e6, want*1e6)
		}
		if !(b.Hole > b.Diameter) || b.Source == "" || b.Provenance == "" {
			t.Errorf("%+v", b)
		}
	}
}

// Classes are found by their basis, and each tells the stresses of its own code. The ultimate
// strength of a property class is a hundred times its first number (EN 1993-1-8 Table 3.1, memory).
func TestBoltClasses(t *testing.T) {
	for _, c := range BoltClasses() {
		if en := c.Basis == "EN"; en != (c.Fub > 0 && c.ShearFactor > 0) || en == (c.Fnt > 0 && c.Fnv > 0) || c.Source == "" {
			t.Errorf("%+v", c)
		}
	}
	if c, _, ok := FindBoltClass("8.8", "EN"); !ok || c.Fub != 800e6 || c.ShearFactor != 0.6 {
		t.Errorf("8.8: %+v", c)
	}
	if _, _, ok := FindBoltClass("8.8", "AISC"); ok {
		t.Error("8.8 is no class of AISC 360 Table J3.2")
	}
	if b, _, ok := FindBolt("m12"); !ok || math.Abs(b.StressArea-84.3e-6) > 1e-12 {
		t.Errorf("m12: %+v", b)
	}
	if _, near, ok := FindBolt("M13"); ok || !slices.Contains(near, "M12") {
		t.Errorf("M13: near %v", near)
	}
}
