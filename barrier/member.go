package barrier

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// thinWall is the nominal wall, m, under which fitting values hold only as tested on
// that wall (engineering rule; common practice, no source).
const thinWall = 2.6e-3

// The user's own grade is carbon steel: what it leaves out is that of EN 1993-1-1 3.2.6
// (E, G; clause from memory) and EN 1991-1-1 Table A.4 (density; from memory), and its
// bounds are those within which the checks hold.
const (
	steelE       = 210e9 // Pa
	steelG       = 81e9  // Pa
	steelDensity = 7850  // kg/m³
	leastSteelE  = 190e9 // Pa, below it is not carbon steel
	mostSteelE   = 220e9 // Pa, above it is not carbon steel
	leastSteelG  = 70e9  // Pa
	mostSteelG   = 90e9  // Pa
	mostSteelFy  = 460e6 // Pa, S460: the last grade of EN 1993-1-1 Table 3.1 (from memory)

	printedStress = 0.05e6 // Pa, more than a strength loses that is printed and copied
)

// readMember reads tube and grade. ringOK says whether the tube could be read.
func (t table) readMember() (m Member, ringOK bool) {
	if !t.require("tube", `"EN 10255 DN40 medium"`) {
		t.require("grade", `"S195T"`)
		return m, false
	}
	ringOK = t.readTube(&m)
	if t.require("grade", `"S195T"`) {
		t.readGrade(&m, ringOK)
	}
	return m, ringOK
}

// readTube reads a name of the tables or { od, wall }.
func (t table) readTube(m *Member) bool {
	switch value := t.values["tube"].(type) {
	case string:
		return t.findTube(m, value)
	case map[string]any:
		return t.readOwnTube(m)
	default:
		t.fault(t.at("tube"), "the name of a tube is wanted, this is "+kindOf(value),
			t.like(`write a name such as "EN 10255 DN40 medium", or { od = "48.3 mm", wall = "3.2 mm" }`))
		return false
	}
}

func (t table) findTube(m *Member, name string) bool {
	path := t.at("tube")
	if t.isTooLong(path, name) {
		return false
	}
	tube, err := sections.FindTube(name)
	if unknown, ok := errors.AsType[*sections.UnknownTubeError](err); ok {
		t.fault(path, "no tube is called "+quote(name), suggestion(unknown.Nearest,
			t.like(`"stanchion list tubes" lists them; a size of your own is { od = "48.3 mm", wall = "3.2 mm" }`)))
		return false
	}
	if ambiguous, ok := errors.AsType[*sections.AmbiguousTubeError](err); ok {
		t.fault(path, quote(name)+" names more than one tube", suggestion(ambiguous.Candidates, ""))
		return false
	}
	if err != nil {
		t.fault(path, err.Error(), "")
		return false
	}
	if tube.Material == sections.Aluminium || tube.Material == sections.Stainless {
		t.fault(path, fmt.Sprintf("%s tube is not supported yet", tube.Material), "take a tube of carbon steel")
		return false
	}
	wall, err := tube.WallOn(t.def.WallBasis)
	if err != nil {
		t.fault(path, err.Error(), `leave wall_basis out, or give { od, wall } with the least wall`)
		return false
	}
	m.Tube, m.Name, m.Nominal = tube, tube.Name, tube.Wall
	return t.setRing(m, tube.OD, wall)
}

// suggestion lists names to write instead, one a line where there are several.
func suggestion(names []string, otherwise string) string {
	const most = 8
	switch len(names) {
	case 0:
		return otherwise
	case 1:
		return `write "` + names[0] + `"`
	}
	lines := []string{"write one of"}
	for i, name := range names {
		if i == most {
			lines = append(lines, fmt.Sprintf("  or another of %d", len(names)))
			break
		}
		lines = append(lines, `  "`+name+`"`)
	}
	return strings.Join(lines, "\n")
}

// readOwnTube reads { od, wall, wall_is }.
func (t table) readOwnTube(m *Member) bool {
	own, _ := t.child("tube", tubeTable)
	var od, wall float64
	var odOK, wallOK bool
	if own.require("od", `"48.3 mm"`) {
		od, odOK = own.positive("od", quantity.Length)
	}
	if own.require("wall", `"3.2 mm"`) {
		wall, wallOK = own.positive("wall", quantity.Length)
	}
	is, isOK := own.readWallIs()
	if !odOK || !wallOK || !isOK {
		return false
	}
	if wall > od/2-slack {
		t.fault(own.at("wall"), fmt.Sprintf("a wall of %s does not fit in a tube of %s outside", t.sizeText(wall), t.sizeText(od)),
			"write a wall of less than half the outside diameter")
		return false
	}
	m.Nominal = wall
	m.Name = ownTubeName(od, wall, quantity.Metric)
	if t.def.WallBasis == sections.MinimumWall {
		t.caution("The wall of the tube %s is counted on as given: wall_basis = \"minimum\" knows no tolerance for a size of the user's own.", ownTube(od, wall))
	}
	if t.def.WallBasis == sections.DesignWall && is == sections.NominalWall {
		wall *= sections.DesignShare
	}
	return t.setRing(m, od, wall)
}

// ownTubeName names a tube of the user's own by the size it is given with, in one unit:
// "48.3 x 3.2 mm", "1.9 x 0.145 in".
func ownTubeName(od, wall float64, units quantity.System) string {
	unit := " " + quantity.Display(quantity.Length, units).Name
	return strings.TrimSuffix(quantity.Format(od, quantity.Length, units), unit) + " x " + quantity.Format(wall, quantity.Length, units)
}

// ownTube is the name of a tube of the user's own within a sentence.
func ownTube(od, wall float64) quantity.Sentence {
	return quantity.Say("%s x %s", quantity.Size(od), quantity.Size(wall))
}

// NameIn returns the name of the tube as people read it: a size of the user's own in the
// units of the system.
func (m *Member) NameIn(s quantity.System) string {
	if m.isOwnTube() {
		return ownTubeName(m.Ring.OD, m.Nominal, s)
	}
	return m.Name
}

// isOwnTube says whether the tube is a size of the user's own.
func (m *Member) isOwnTube() bool { return m.Tube.Name == "" && m.Ring.OD > 0 }

// GradeIn returns the name of the grade as people read it: strengths of the user's own in
// the units of the system.
func (m *Member) GradeIn(s quantity.System) string {
	if m.Grade.Standard != "" {
		return m.Grade.Name
	}
	return ownGradeName(m.Grade.Fy, m.Grade.Fu, s)
}

// ownGradeName names a grade of the user's own: "fy 235 MPa, fu 360 MPa".
func ownGradeName(fy, fu float64, s quantity.System) string {
	return strings.ReplaceAll(ownGrade(fy, fu).In(s), ".0 MPa", " MPa")
}

// called is the name of the tube within a sentence.
func (m *Member) called() quantity.Sentence {
	if m.isOwnTube() {
		return ownTube(m.Ring.OD, m.Nominal)
	}
	return quantity.Say("%s", m.Name)
}

// MassPerMetre returns the mass of a metre of the tube, kg/m. It is that of the nominal wall,
// whatever wall strength and stiffness count on: own weight goes by nominal dimensions
// (EN 1991-1-1 5.1, from memory; so do the weights of the AISC tables). A design wall that
// the file gives is weighed as given.
func (m *Member) MassPerMetre() float64 {
	mass := m.Ring.Mass(m.Grade.Density)
	if m.Nominal == 0 || m.Nominal == m.Ring.Wall {
		return mass
	}
	return mass * m.Nominal * (m.Ring.OD - m.Nominal) / (m.Ring.Wall * (m.Ring.OD - m.Ring.Wall))
}

// readWallIs reads which wall a tube of the user's own gives. Under AISC 360 it must be
// said; elsewhere there is none but the nominal one.
func (t table) readWallIs() (is sections.WallBasis, ok bool) {
	word, ok := t.word("wall_is", []string{"nominal", "design"}, nil)
	is = sections.WallBasis(word)
	switch {
	case !ok && (t.has("wall_is") || t.misspelt("wall_is")):
		return "", false
	case !ok && t.isAISC():
		t.lacks("nothing says whether the wall is the nominal or the design wall of AISC 360",
			fmt.Sprintf(`add wall_is = "nominal", of which %g is counted on, or wall_is = "design"`, sections.DesignShare))
		return "", false
	case !ok:
		return sections.NominalWall, true
	case is == sections.DesignWall && t.def.Basis == loads.BasisEN:
		t.fault(t.at("wall_is"), "the design wall is one of AISC 360, the basis is EN", `write the nominal wall, and leave wall_is out`)
		return "", false
	case is == sections.DesignWall && t.isAISC() && t.def.WallBasis == sections.NominalWall:
		t.fault(t.at("wall_is"), `the wall given is the design wall, and wall_basis = "nominal" counts on the nominal one`,
			`write the nominal wall with wall_is = "nominal", or wall_basis = "design"`)
		return "", false
	}
	return is, true
}

// setRing works the section out on the wall in use and cautions of a thin nominal wall.
func (t table) setRing(m *Member, od, wall float64) bool {
	ring, err := sections.NewRing(od, wall)
	if err != nil {
		t.fault(t.at("tube"), err.Error(), "write another size")
		return false
	}
	m.Ring = ring
	if m.Nominal < thinWall-slack {
		t.caution("%s has a wall under %s: fitting values hold only as tested on this tube material and wall.", m.called(), quantity.Size(thinWall))
	}
	return true
}

// readGrade reads a name of the tables or { fy, fu }. Where the tube could not be read
// the user's own grade is judged, and a name that no standard has: others are found by the tube.
func (t table) readGrade(m *Member, ringOK bool) {
	switch value := t.values["grade"].(type) {
	case string:
		if ringOK {
			t.findGrade(m, value)
		} else {
			t.checkGradeName(value)
		}
	case map[string]any:
		t.readOwnGrade(m)
	default:
		t.fault(t.at("grade"), "the name of a grade is wanted, this is "+kindOf(value),
			t.like(`write a name such as "S195T", or { fy = "235 MPa", fu = "360 MPa" }`))
	}
}

// checkGradeName reports a grade that no standard has.
func (t table) checkGradeName(name string) {
	path := t.at("grade")
	if t.isTooLong(path, name) {
		return
	}
	_, _, err := sections.FindGrade(name, sections.Tube{}, 0)
	if unknown, ok := errors.AsType[*sections.UnknownGradeError](err); ok && unknown.Reason == "" {
		t.fault(path, "no grade is called "+quote(name), suggestion(unknown.Nearest,
			t.like(`"stanchion list grades" lists them; one of your own is { fy = "235 MPa", fu = "360 MPa" }`)))
	}
}

func (t table) findGrade(m *Member, name string) {
	path := t.at("grade")
	if t.isTooLong(path, name) {
		return
	}
	wall := m.Nominal
	grade, cautions, err := sections.FindGrade(name, m.Tube, wall)
	material := grade.Material
	if err != nil {
		material = tableMaterial(name, wall)
	}
	switch material {
	case sections.Aluminium:
		t.fault(path, "a grade of aluminium is not supported yet", "take a grade of carbon steel")
		return
	case sections.Stainless:
		t.fault(path, "a grade of stainless steel is not supported yet", "take a grade of carbon steel")
		return
	}
	if unknown, ok := errors.AsType[*sections.UnknownGradeError](err); ok {
		what := "no grade is called " + quote(name)
		if unknown.Standard != "" {
			what = fmt.Sprintf("no grade %s is known for tube to %s", quote(name), unknown.Standard)
		}
		if unknown.Reason != "" {
			what = "grade " + quote(name) + " does not serve: " + unknown.Reason
		}
		t.fault(path, what, suggestion(unknown.Nearest,
			t.like(`"stanchion list grades" lists them; one of your own is { fy = "235 MPa", fu = "360 MPa" }`)))
		return
	}
	if ambiguous, ok := errors.AsType[*sections.AmbiguousGradeError](err); ok {
		t.fault(path, quote(name)+" names more than one grade", suggestion(ambiguous.Candidates, ""))
		return
	}
	if err != nil {
		t.fault(path, err.Error(), "")
		return
	}
	for _, caution := range cautions {
		t.caution("%s.", strings.TrimSuffix(caution, "."))
	}
	m.Grade = t.strengthsOfBasis(grade)
	t.cautionForeign(grade)
}

// strengthsOfBasis returns the grade with the strengths of the units that the basis is
// written in: a standard that prints ksi and MPa rounds each for itself, and AISC 360 goes
// by the ksi.
func (r *reader) strengthsOfBasis(g sections.Grade) sections.Grade {
	if r.isAISC() && g.FyUS > 0 {
		g.Fy = g.FyUS
	}
	if r.isAISC() && g.FuUS > 0 {
		g.Fu = g.FuUS
	}
	return g
}

// cautionForeign cautions of a grade whose standard is none of those that the codes of the
// basis are written for: EN 1993-1-1 Table 3.1 names grades of EN, AISC 360-16 A3.1 those of
// ASTM (both from memory).
func (t table) cautionForeign(g sections.Grade) {
	switch {
	case t.def.Basis == loads.BasisEN && !strings.HasPrefix(g.Standard, "EN "):
		t.caution("Grade %s is of %s, and EN 1993-1-1 is written for grades of EN standards.", g.Name, g.Standard)
	case t.isAISC() && !strings.HasPrefix(g.Standard, "ASTM "):
		t.caution("Grade %s is of %s, and AISC 360 is written for grades of ASTM standards.", g.Name, g.Standard)
	}
}

// tableMaterial returns the material of the first listed grade of that name, of tube or
// not; empty where none is listed.
func tableMaterial(name string, wall float64) sections.Material {
	grade, _, err := sections.FindGrade(name, sections.Tube{}, wall)
	if err == nil {
		return grade.Material
	}
	names := []string{name}
	if ambiguous, ok := errors.AsType[*sections.AmbiguousGradeError](err); ok {
		names = ambiguous.Candidates
	}
	for _, g := range sections.Grades() {
		isNamed := func(name string) bool {
			return strings.EqualFold(name, g.Name) || strings.EqualFold(name, g.Standard+" "+g.Name)
		}
		if slices.ContainsFunc(names, isNamed) {
			return g.Material
		}
	}
	return ""
}

// readOwnGrade reads { fy, fu } with E, G and density where given.
func (t table) readOwnGrade(m *Member) {
	own, _ := t.child("grade", gradeTable)
	var fy, fu float64
	var fyOK, fuOK bool
	if own.require("fy", `"235 MPa"`) {
		fy, fyOK = own.positive("fy", quantity.Pressure)
	}
	if own.require("fu", `"360 MPa"`) {
		fu, fuOK = own.positive("fu", quantity.Pressure)
	}
	if fyOK && fy > mostSteelFy+printedStress {
		t.fault(own.at("fy"), t.stressText(fy)+" is beyond the steels that the checks cover, up to S460 of EN 1993-1-1", "write "+t.stressText(mostSteelFy)+" or less")
	}
	if fyOK && fuOK && fu < fy {
		t.fault(own.at("fu"), fmt.Sprintf("fu of %s is less than fy of %s", t.stressText(fu), t.stressText(fy)), "write the tensile strength as fu, the yield strength as fy")
	}
	steelE, steelG := t.steelModuli()
	m.Grade = sections.Grade{
		Name:     ownGradeName(fy, fu, quantity.Metric),
		Band:     sections.Band{WallTo: math.Inf(1)},
		Fy:       fy,
		Fu:       fu,
		E:        own.modulus("E", steelE, leastSteelE, mostSteelE),
		G:        own.modulus("G", steelG, leastSteelG, mostSteelG),
		Density:  own.density(),
		Material: sections.Steel,
		Use:      sections.UseTube,
		Source:   "stated in the definition",
	}
	if fyOK && fuOK {
		t.caution("The grade of %s (%s) is the user's own, read from no standard and taken for carbon steel.", m.called(), ownGrade(fy, fu))
	}
}

// ownGrade is the name of the user's own grade within a sentence.
func ownGrade(fy, fu float64) quantity.Sentence {
	return quantity.Say("fy %s, fu %s", quantity.Of(fy, quantity.Pressure), quantity.Of(fu, quantity.Pressure))
}

// steelModuli returns the moduli of steel under the basis, Pa.
func (r *reader) steelModuli() (e, g float64) {
	if r.isAISC() {
		return sections.ModulusAISC, sections.ShearModulusAISC
	}
	return steelE, steelG
}

// modulus reads a modulus, Pa, or takes that of steel; it must lie where steel's does.
func (t table) modulus(key string, steel, least, most float64) float64 {
	if v, ok := t.positive(key, quantity.Pressure); ok {
		if v < least || v > most {
			t.fault(t.at(key), fmt.Sprintf("%s of %s is not that of carbon steel; another material is not supported yet", key, t.modulusText(v)),
				fmt.Sprintf("write %s = %q, or leave it out", key, t.modulusText(steel)))
		}
		return v
	}
	if !t.has(key) {
		t.assumeOnce("The user's own grade has %s = %s, as steel has: %s is not given.", key, quantity.Modulus(steel), key)
	}
	return steel
}

// density reads a density, kg/m³, or takes that of steel.
func (t table) density() float64 {
	if v, ok := t.positive("density", quantity.Density); ok {
		return v
	}
	if !t.has("density") {
		t.assumeOnce("The user's own grade weighs %s, as steel does: density is not given.", quantity.Of(steelDensity, quantity.Density))
	}
	return steelDensity
}
