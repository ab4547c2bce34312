package barrier

import (
	"fmt"
	"math"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// printedStress is more, Pa, than a strength loses that is printed and copied.
const printedStress = 0.05e6

// metal is what a grade of the user's own may be of: what it leaves out, and the bounds within
// which the checks hold.
type metal struct {
	of               sections.Material
	called           string  // "carbon steel"
	most             float64 // of fy, Pa
	grades, last     string  // "steels", "S460 of EN 1993-1-1"
	E, leastE, mostE float64 // Pa
	G, leastG, mostG float64 // Pa
	density          float64 // kg/m³
	tube             string  // of a tube of the tables, whose metal is known; else empty
}

// metals are those of which a grade of the user's own may be, as material names them.
func metals() []string {
	return []string{string(sections.Steel), string(sections.Stainless), string(sections.Aluminium)}
}

// metalOf returns a metal under the basis. Provenance: from memory. Steel: EN 1993-1-1 Table 3.1
// and 3.2.6, EN 1991-1-1 Table A.4; AISC 360 for its moduli. Stainless steel: EN 1993-1-4
// Table 2.1 and 2.1.3. Aluminium: EN 1999-1-1 Table 3.2b and 3.2.5, whose strongest tube is EN
// AW-7020 T6, the Aluminum Design Manual (10 100 and 3800 ksi) and CSA S157.
func (r *reader) metalOf(material sections.Material) metal {
	switch material {
	case sections.Aluminium:
		m := metal{
			of: material, called: "aluminium", most: 290e6, grades: "alloys", last: "EN AW-7020 T6 of EN 1999-1-1",
			E: 70e9, leastE: 62e9, mostE: 75e9, G: 27e9, leastG: 23e9, mostG: 29e9, density: material.Density(),
		}
		switch {
		case r.isAISC():
			m.E, m.G = sections.ModulusADM, sections.ShearModulusADM
		case r.def.Basis == loads.BasisCSA:
			m.G = 26e9
		}
		return m
	case sections.Stainless:
		return metal{
			of: material, called: "stainless steel", most: 500e6, grades: "stainless steels", last: "the duplex grades of EN 1993-1-4",
			E: 200e9, leastE: 185e9, mostE: 210e9, G: 76.9e9, leastG: 70e9, mostG: 85e9, density: 7900,
		}
	}
	m := metal{
		of: sections.Steel, called: "carbon steel", most: 460e6, grades: "steels", last: "S460 of EN 1993-1-1",
		E: 210e9, leastE: 190e9, mostE: 220e9, G: 81e9, leastG: 70e9, mostG: 90e9, density: sections.Steel.Density(),
	}
	switch r.def.Basis {
	case loads.BasisLRFD, loads.BasisASD:
		m.E, m.G = sections.ModulusAISC, sections.ShearModulusAISC
	case loads.BasisAS:
		m.E, m.G, m.last = sections.ModulusAS4100, sections.ShearModulusAS4100, "460 MPa"
	case loads.BasisCSA:
		m.E, m.G, m.last = sections.ModulusS16, sections.ShearModulusS16, "460 MPa"
	}
	return m
}

// readOwnGrade reads { fy, fu } with material, E, G, density and buckling class where given.
// What is not said to be of another metal is of the tube's, or carbon steel.
func (t table) readOwnGrade(m *Member) {
	own, _ := t.child("grade", gradeTable)
	of := own.readMetal(m)
	var fy, fu float64
	var fyOK, fuOK bool
	if own.require("fy", `"235 MPa"`) {
		fy, fyOK = own.positive("fy", quantity.Pressure)
	}
	if own.require("fu", `"360 MPa"`) {
		fu, fuOK = own.positive("fu", quantity.Pressure)
	}
	if fyOK && fy > of.most+printedStress {
		t.fault(own.at("fy"), fmt.Sprintf("%s is beyond the %s that the checks cover, up to %s", t.stressText(fy), of.grades, of.last), "write "+t.stressText(of.most)+" or less")
	}
	if fyOK && fuOK && fu < fy {
		t.fault(own.at("fu"), fmt.Sprintf("fu of %s is less than fy of %s", t.stressText(fu), t.stressText(fy)), "write the tensile strength as fu, the yield strength as fy")
	}
	m.Grade = sections.Grade{
		Name:          ownGradeName(fy, fu, quantity.Metric),
		Band:          sections.Band{WallTo: math.Inf(1)},
		Fy:            fy,
		Fu:            fu,
		E:             own.modulus("E", &of, of.E, of.leastE, of.mostE),
		G:             own.modulus("G", &of, of.G, of.leastG, of.mostG),
		Density:       own.density(&of),
		Material:      of.of,
		BucklingClass: own.readBucklingClass(&of),
		Use:           sections.UseTube,
		Source:        "stated in the definition",
	}
	if fyOK && fuOK {
		t.caution("The grade of %s (%s) is the user's own, read from no standard and taken for %s.", m.called(), ownGrade(fy, fu), of.called)
	}
}

// readMetal reads material; that of the tube, where the tables know it, must be the same. Where
// the word cannot be read, which is reported, nothing bounds the grade.
func (t table) readMetal(m *Member) metal {
	word, given := t.word("material", metals(), nil)
	material := sections.Material(word)
	switch {
	case !given && !t.absent("material"):
		of := t.metalOf(m.Tube.Material)
		of.most, of.mostE, of.leastE, of.mostG, of.leastG = math.Inf(1), math.Inf(1), 0, math.Inf(1), 0
		return of
	case !given:
		material = m.Tube.Material
	case given && m.Tube.Material != "" && material != m.Tube.Material:
		t.fault(t.at("material"), fmt.Sprintf("the grade is of %s, the tube %s of %s", material, m.Tube.Name, m.Tube.Material),
			fmt.Sprintf("write material = %q, or take a tube of %s", m.Tube.Material, material))
	}
	of := t.metalOf(material)
	of.tube = m.Tube.Name
	return of
}

// readBucklingClass reads the buckling class of aluminium under EN 1999-1-1.
func (t table) readBucklingClass(of *metal) string {
	class, _ := t.label("buckling_class", "buckling class", []string{"A", "B"}, `write "A" or "B", that of EN 1999-1-1 Table 3.2`)
	if t.has("buckling_class") && (of.of != sections.Aluminium || t.def.Basis != loads.BasisEN && t.def.Basis != "") {
		t.faultOfKey(t.at("buckling_class"), "a buckling class is one of aluminium by EN 1999-1-1", "leave it out")
		return ""
	}
	return class
}

// ownGrade is the name of the user's own grade within a sentence.
func ownGrade(fy, fu float64) quantity.Sentence {
	return quantity.Say("fy %s, fu %s", quantity.Of(fy, quantity.Pressure), quantity.Of(fu, quantity.Pressure))
}

// modulus reads a modulus, Pa, or takes that of the metal; it must lie where the metal's does.
func (t table) modulus(key string, of *metal, usual, least, most float64) float64 {
	if v, ok := t.positive(key, quantity.Pressure); ok {
		if v < least || v > most {
			fix := fmt.Sprintf("write %s = %q, or leave it out", key, t.modulusText(usual))
			switch {
			case of.tube != "":
				fix += "; the tube is of " + of.called
			case !t.has("material"):
				fix += `; of another metal say material = "aluminium" or "stainless"`
			}
			t.fault(t.at(key), fmt.Sprintf("%s of %s is not that of %s", key, t.modulusText(v), of.called), fix)
		}
		return v
	}
	if !t.has(key) {
		t.assumeOnce("The user's own grade has %s = %s, as %s has: %s is not given.", key, quantity.Modulus(usual), of.short(), key)
	}
	return usual
}

// short names a metal within a sentence: steel, not carbon steel.
func (of *metal) short() string {
	if of.of == sections.Steel {
		return "steel"
	}
	return of.called
}

// density reads a density, kg/m³, or takes that of the metal.
func (t table) density(of *metal) float64 {
	if v, ok := t.positive("density", quantity.Density); ok {
		return v
	}
	if !t.has("density") {
		t.assumeOnce("The user's own grade weighs %s, as %s does: density is not given.", quantity.Of(of.density, quantity.Density), of.short())
	}
	return of.density
}
