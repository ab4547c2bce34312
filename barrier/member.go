package barrier

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
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
			`write a name such as "EN 10255 DN40 medium", or { od = "48.3 mm", wall = "3.2 mm" }`)
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
			`"stanchion list tubes" lists them; a size of your own is { od = "48.3 mm", wall = "3.2 mm" }`))
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
	m.Tube, m.Name = tube, tube.Name
	return t.setRing(m, tube.OD, wall, tube.Wall)
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

// readOwnTube reads { od, wall }. Its wall is the one in use, whatever the wall basis.
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
	if !odOK || !wallOK {
		return false
	}
	if wall > od/2-slack {
		t.fault(own.at("wall"), fmt.Sprintf("a wall of %s does not fit in a tube of %s outside", lengthText(wall), lengthText(od)),
			"write a wall of less than half the outside diameter")
		return false
	}
	m.Name = strings.TrimSuffix(lengthText(od), " mm") + " x " + lengthText(wall)
	if t.def.WallBasis == sections.MinimumWall {
		t.caution("The wall of the tube %s is counted on as given: wall_basis = \"minimum\" knows no tolerance for a size of the user's own.", m.Name)
	}
	return t.setRing(m, od, wall, wall)
}

// setRing works the section out on the wall in use and cautions of a thin nominal wall.
func (t table) setRing(m *Member, od, wall, nominal float64) bool {
	ring, err := sections.NewRing(od, wall)
	if err != nil {
		t.fault(t.at("tube"), err.Error(), "write another size")
		return false
	}
	m.Ring = ring
	if nominal < thinWall-slack {
		t.caution("%s has a wall under %s: fitting values hold only as tested on this tube material and wall.", m.Name, lengthText(thinWall))
	}
	return true
}

// readGrade reads a name of the tables or { fy, fu }. Where the tube could not be read
// only the user's own grade is judged: a name is found by the tube.
func (t table) readGrade(m *Member, ringOK bool) {
	switch value := t.values["grade"].(type) {
	case string:
		if ringOK {
			t.findGrade(m, value)
		}
	case map[string]any:
		t.readOwnGrade(m)
	default:
		t.fault(t.at("grade"), "the name of a grade is wanted, this is "+kindOf(value),
			`write a name such as "S195T", or { fy = "235 MPa", fu = "360 MPa" }`)
	}
}

func (t table) findGrade(m *Member, name string) {
	path := t.at("grade")
	if t.isTooLong(path, name) {
		return
	}
	wall := m.Tube.Wall
	if m.Tube.Name == "" {
		wall = m.Ring.Wall
	}
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
			`"stanchion list grades" lists them; one of your own is { fy = "235 MPa", fu = "360 MPa" }`))
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
	m.Grade = grade
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
	if fyOK && fy > mostSteelFy+1 {
		t.fault(own.at("fy"), stressText(fy)+" is beyond the steels that EN 1993-1-1 covers, up to S460", "write 460 MPa or less")
	}
	if fyOK && fuOK && fu < fy {
		t.fault(own.at("fu"), fmt.Sprintf("fu of %s is less than fy of %s", stressText(fu), stressText(fy)), "write the tensile strength as fu, the yield strength as fy")
	}
	m.Grade = sections.Grade{
		Name:     fmt.Sprintf("fy %s, fu %s", stressText(fy), stressText(fu)),
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
		t.caution("The grade of %s (%s) is the user's own, read from no standard and taken for carbon steel.", m.Name, m.Grade.Name)
	}
}

// modulus reads a modulus, Pa, or takes that of steel; it must lie where steel's does.
func (t table) modulus(key string, steel, least, most float64) float64 {
	if v, ok := t.positive(key, quantity.Pressure); ok {
		if v < least || v > most {
			t.fault(t.at(key), fmt.Sprintf("%s of %s is not that of carbon steel; another material is not supported yet", key, quantity.FormatIn(v, "GPa", 1)),
				fmt.Sprintf("write %s = %q, or leave it out", key, quantity.FormatIn(steel, "GPa", 0)))
		}
		return v
	}
	if !t.has(key) {
		t.assumeOnce("The user's own grade has %s = %s, as steel has: %s is not given.", key, quantity.FormatIn(steel, "GPa", 0), key)
	}
	return steel
}

// density reads a density, kg/m³, or takes that of steel.
func (t table) density() float64 {
	if v, ok := t.positive("density", quantity.Density); ok {
		return v
	}
	if !t.has("density") {
		t.assumeOnce("The user's own grade weighs %s, as steel does: density is not given.", quantity.FormatIn(steelDensity, "kg/m3", 0))
	}
	return steelDensity
}

func stressText(v float64) string {
	return strings.TrimSuffix(quantity.Fix(quantity.In(v, "MPa"), 1), ".0") + " MPa"
}
