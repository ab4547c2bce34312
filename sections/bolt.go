package sections

import (
	"math"
	"slices"
	"sync"

	"example.com/stanchion/internal/nearest"
)

// A Bolt is a size of bolt, threaded rod or anchor.
type Bolt struct {
	Name       string  // "M12", "1/2 in"
	Diameter   float64 // nominal, m
	Pitch      float64 // of the coarse thread, m
	StressArea float64 // tensile stress area, m²
	Hole       float64 // diameter of the clearance hole, m
	Source     string
	Provenance string
}

// Area returns the area of the unthreaded shank, m².
func (b *Bolt) Area() float64 { return math.Pi / 4 * b.Diameter * b.Diameter }

// A BoltClass is the strength of a bolt, in the terms of one family of codes.
type BoltClass struct {
	Name        string  // "8.8", "ASTM A325"
	Basis       string  // "EN" or "AISC"
	Fub         float64 // EN: ultimate strength, Pa
	ShearFactor float64 // EN: alpha_v of EN 1993-1-8 Table 3.4, threads in the shear plane
	Fnt, Fnv    float64 // AISC: nominal tensile and shear stress of AISC 360 Table J3.2, Pa
	Source      string
	Provenance  string
}

// Bolts returns every size in document order.
func Bolts() []Bolt { return slices.Clone(boltTable()) }

// BoltClasses returns every class in document order.
func BoltClasses() []BoltClass { return slices.Clone(boltClassTable()) }

var boltTable = sync.OnceValue(func() []Bolt {
	var bolts []Bolt
	for _, r := range readTable("bolts.csv") {
		b := Bolt{
			Name: r.text("name"), Diameter: r.optional("diameter_mm") * mm, Pitch: r.optional("pitch_mm") * mm,
			StressArea: r.optional("stress_area_mm2") * mm * mm, Hole: r.optional("hole_mm") * mm, Source: r.text("source"), Provenance: r.text("provenance"),
		}
		if b.Diameter == 0 {
			b.Diameter, b.Pitch = r.number("diameter_in")*inch, inch/r.number("threads_per_in")
			b.StressArea, b.Hole = r.number("stress_area_in2")*inch*inch, r.number("hole_in")*inch
		}
		bolts = append(bolts, b)
	}
	return bolts
})

var boltClassTable = sync.OnceValue(func() []BoltClass {
	var classes []BoltClass
	for _, r := range readTable("bolt_classes.csv") {
		classes = append(classes, BoltClass{
			Name: r.text("name"), Basis: r.text("basis"), Fub: r.optional("fub_MPa") * mega, ShearFactor: r.optional("shear_factor"),
			Fnt: r.optional("Fnt_ksi") * ksi, Fnv: r.optional("Fnv_ksi") * ksi, Source: r.text("source"), Provenance: r.text("provenance"),
		})
	}
	return classes
})

// FindBolt returns the size of a name, case and spaces aside; where there is none, the
// likeliest names.
func FindBolt(name string) (bolt Bolt, near []string, ok bool) {
	return find(boltTable(), func(b *Bolt) string { return b.Name }, name)
}

// FindBoltClass returns the class of a name of a basis, "EN" or "AISC"; where there is none,
// the likeliest names of that basis.
func FindBoltClass(name, basis string) (class BoltClass, near []string, ok bool) {
	of := slices.DeleteFunc(BoltClasses(), func(c BoltClass) bool { return c.Basis != basis })
	return find(of, func(c *BoltClass) string { return c.Name }, name)
}

// find returns the row of a name, else the names of the likeliest.
func find[T any](rows []T, nameOf func(*T) string, name string) (found T, near []string, ok bool) {
	var names []string
	for i := range rows {
		if squash(nameOf(&rows[i])) == squash(name) {
			return rows[i], nil, true
		}
		names = append(names, nameOf(&rows[i]))
	}
	return found, nearest.Names(name, names, squash, max(1, len(name)/2), mostNear), false
}
