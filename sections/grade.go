package sections

import (
	"math"
	"slices"
	"strings"
	"sync"
)

// What a row of the grade table may be used for. Only tube rows are found by
// FindGrade; the others stand in the table to be read and to say why not.
const (
	UseTube    = "tube"    // a grade of tube with guaranteed strengths
	UseTypical = "typical" // no strength is guaranteed, or no yield strength
	UseStrip   = "strip"   // strip or plate that tube is made from
	UseProfile = "profile" // profile or bar, not tube
	UseCasting = "casting" // fitting bodies
	UseFactors = "factors" // partial factors, no grade
)

// A Grade is a row of the grade table: the strength of a material in a band of
// wall thickness.
type Grade struct {
	Name     string // "S235JRH", "Grade B", "EN AW-6060 T6 ET"
	Standard string // "EN 10219-1"
	Edition  string
	Form     string // product form
	Band
	Fy       float64 // yield or 0.2 % proof strength, Pa; 0 where none is given
	Fu       float64 // least tensile strength, Pa; 0 where none is given
	FyUS     float64 // Fy as the standard prints it in ksi, Pa; 0 where it does not. Bases of AISC use it.
	FuUS     float64 // Fu as the standard prints it in ksi, Pa; 0 where it does not. Bases of AISC use it.
	E        float64 // modulus of elasticity, Pa
	G        float64 // shear modulus, Pa; 0 where none is given
	Density  float64 // kg/m³
	Material Material
	// BucklingClass is that of EN 1999-1-1 Table 3.2 for a temper of aluminium, A or B; empty
	// where none is given.
	BucklingClass string
	Use           string // one of the Use constants
	Notes         string
	Source        string
	Provenance    string   // public, memory, derived or common-practice
	caution       string   // comes with every use
	tubes         []string // tube standards whose own grade this is
	aliases       []string
}

// Grades returns every row of the grade table in document order, also those
// that are no tube grade. The slice is the caller's own.
func Grades() []Grade { return slices.Clone(gradeTable()) }

var gradeTable = sync.OnceValue(func() []Grade {
	rows := readTable("grades.csv")
	grades := make([]Grade, 0, len(rows))
	for _, r := range rows {
		grades = append(grades, gradeOf(r))
	}
	return grades
})

func gradeOf(r row) Grade {
	return Grade{
		Name:     r.text("name"),
		Standard: r.text("standard"),
		Edition:  r.text("edition"),
		Form:     r.text("form"),
		Band:     r.band(),
		Fy:       r.optional("fy_MPa") * mega,
		Fu:       r.optional("fu_MPa") * mega,
		FyUS:     r.optional("fy_ksi") * ksi,
		FuUS:     r.optional("fu_ksi") * ksi,
		E:        r.number("E_MPa") * mega,
		G:        r.optional("G_MPa") * mega,
		Density:  r.number("density_kg_per_m3"),
		Material: Material(r.text("material")),
		Use:      r.text("use"),
		Notes:    r.text("notes"),

		BucklingClass: bucklingClass(r.text("notes")),
		Source:        r.text("source"),
		Provenance:    r.text("provenance"),
		caution:       r.text("caution"),
		tubes:         list(r.text("tubes")),
		aliases:       list(r.text("aliases")),
	}
}

// bucklingClass reads the buckling class in the notes of a row; empty for none.
func bucklingClass(notes string) string {
	_, after, _ := strings.Cut(notes, "buckling class ")
	class, _, _ := strings.Cut(after, ";")
	return class
}

// list splits a field of several values.
func list(field string) []string {
	if field == "" {
		return nil
	}
	return strings.Split(field, "; ")
}

// A GradeRow is a grade as `list grades` gives it.
type GradeRow struct {
	Name         string   `json:"name"`
	Standard     string   `json:"standard"`
	Edition      string   `json:"edition"`
	Form         string   `json:"form"`
	Material     Material `json:"material"`
	Use          string   `json:"use"`
	Band         string   `json:"band"`
	WallOverMM   *float64 `json:"wall_over_mm"` // nil where the band is open
	WallToMM     *float64 `json:"wall_to_mm"`
	OverIncluded bool     `json:"wall_over_included"`
	ToExcluded   bool     `json:"wall_to_excluded"`
	FyMPa        *float64 `json:"fy_MPa"` // nil where none is given
	FuMPa        *float64 `json:"fu_MPa"`
	FyKsi        *float64 `json:"fy_ksi"` // nil where the standard prints no ksi
	FuKsi        *float64 `json:"fu_ksi"`
	EMPa         float64  `json:"E_MPa"`
	GMPa         *float64 `json:"G_MPa"`
	Density      float64  `json:"density_kg_per_m3"`
	Caution      string   `json:"caution"`
	Notes        string   `json:"notes"`
	Source       string   `json:"source"`
	Provenance   string   `json:"provenance"`
}

// Row returns the grade as a row of `list grades`, numbers rounded to 9
// significant digits.
func (g Grade) Row() GradeRow {
	r := GradeRow{
		Name: g.Name, Standard: g.Standard, Edition: g.Edition, Form: g.Form,
		Material: g.Material, Use: g.Use, Band: g.Words(),
		WallOverMM:   given(g.WallOver / mm),
		OverIncluded: g.OverIncluded, ToExcluded: g.ToExcluded,
		FyMPa: given(g.Fy / mega), FuMPa: given(g.Fu / mega),
		FyKsi: given(g.FyUS / ksi), FuKsi: given(g.FuUS / ksi),
		EMPa: round9(g.E / mega), GMPa: given(g.G / mega),
		Density: round9(g.Density), Caution: g.caution,
		Notes: g.Notes, Source: g.Source, Provenance: g.Provenance,
	}
	if !math.IsInf(g.WallTo, 1) {
		r.WallToMM = given(g.WallTo / mm)
	}
	return r
}
