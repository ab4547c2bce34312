package sections

import (
	"math"
	"slices"
	"testing"

	"example.com/stanchion/internal/verification"
)

// The stress area is that of the diameter between those of pitch and core:
// As = π/4 (d - 0.9382 P)² (ISO 898-1, from memory; ASME B1.1 writes it π/4 (D - 0.9743/n)² with
// another thread tolerance), to the printed digits.
func TestBoltStressAreas(t *testing.T) {
	record := verification.New(t, verification.Joints)
	for _, b := range Bolts() {
		factor, tol, source := 0.9382, 0.005*b.StressArea, "π/4 (d - 0.9382 P)², ISO 898-1 (memory)"
		if b.Name[0] != 'M' {
			factor, source = 0.9743, "π/4 (D - 0.9743/n)², ASME B1.1 (memory)"
		}
		want := math.Pi / 4 * math.Pow(b.Diameter-factor*b.Pitch, 2)
		record.From("stress area of bolts", source, verification.Memory).Add(b.Name+": mm²", want*1e6, b.StressArea*1e6)
		if math.Abs(b.StressArea-want) > tol {
			t.Errorf("%s: stress area %.2f mm², by the formula %.2f", b.Name, b.StressArea*1e6, want*1e6)
		}
		if shank := math.Pi * (b.Diameter / 2) * (b.Diameter / 2); math.Abs(b.Area()-shank) > 1e-12*shank {
			t.Errorf("%s: area of the shank %.2f mm², a circle has %.2f", b.Name, b.Area()*1e6, shank*1e6)
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

// A clearance hole is wider than its bolt by 1 mm to M14 and by 2 mm to M24 (EN 1090-2 Table 11, normal
// round holes, memory), and by 1/16 in to 7/8 in and 1/8 in at 1 in (AISC 360 Table J3.3, memory).
func TestClearanceHoles(t *testing.T) {
	for _, b := range Bolts() {
		want := 1 * mm
		switch isMetric := b.Name[0] == 'M'; {
		case isMetric && b.Diameter > 15*mm:
			want = 2 * mm
		case !isMetric && b.Diameter > 0.9*inch:
			want = inch / 8
		case !isMetric:
			want = inch / 16
		}
		if math.Abs(b.Hole-b.Diameter-want) > 1e-9 {
			t.Errorf("%s: hole of %g mm on %g mm, want %g mm more", b.Name, b.Hole/mm, b.Diameter/mm, want/mm)
		}
	}
}

// Every class has the strengths of its table: EN 1993-1-8 Tables 3.1 and 3.4, EN ISO 3506-1, AISC 360
// Table J3.2 with threads in the shear plane, 0.75 Fu and 0.450 Fu of threaded rods; from memory.
func TestStrengthsOfBoltClasses(t *testing.T) {
	want := map[string][2]float64{ // EN: fub in MPa and αv; AISC: Fnt and Fnv in ksi
		"4.6": {400, 0.6}, "4.8": {400, 0.5}, "5.6": {500, 0.6}, "5.8": {500, 0.5}, "6.8": {600, 0.5}, "8.8": {800, 0.6}, "10.9": {1000, 0.5},
		"A2-50": {500, 0.5}, "A2-70": {700, 0.5}, "A4-70": {700, 0.5}, "A4-80": {800, 0.5},
		"ASTM A307": {45, 27}, "ASTM A325": {90, 54},
		"ASTM F1554 Grade 36": {0.75 * 58, 0.45 * 58}, "ASTM F1554 Grade 55": {0.75 * 75, 0.45 * 75}, "ASTM F1554 Grade 105": {0.75 * 125, 0.45 * 125},
	}
	for _, c := range BoltClasses() {
		of, known := want[c.Name]
		got := [2]float64{c.Fub / mega, c.ShearFactor}
		if c.Basis == "AISC" {
			got = [2]float64{c.Fnt / ksi, c.Fnv / ksi}
		}
		if !known || math.Abs(got[0]-of[0]) > 1e-9*of[0] || math.Abs(got[1]-of[1]) > 1e-9 {
			t.Errorf("%s: %v, want %v", c.Name, got, of)
		}
	}
}
