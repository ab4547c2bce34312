package barrier

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// thinWall is the nominal wall, m, under which fitting values hold only as tested on
// that wall (engineering rule; common practice, no source).
const thinWall = 2.6e-3

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
	if ringOK && m.Grade.Material == sections.Aluminium {
		t.sayAluminium(&m)
	}
	return m, ringOK
}

// sayAluminium says what a tube of aluminium brings: what is tested on steel does not hold on it,
// and a weld takes its strength away (EN 1999-1-1 6.1.6, from memory: about half).
func (t table) sayAluminium(m *Member) {
	t.caution("%s is of aluminium: fitting values hold only as tested on this tube material and wall.", m.called())
	t.caution("Aluminium counts as unwelded: a weld, of a plate or a lug, about halves the strength beside it.")
	if t.isAISC() && t.def.WallBasis == sections.DesignWall {
		t.assumeOnce("A tube of aluminium counts on its nominal wall: the design wall of AISC 360 is one of steel, and the Aluminum Design Manual goes by nominal dimensions.")
	}
	if t.def.Basis == loads.BasisEN && m.Grade.BucklingClass == "" {
		t.assumeOnce("The buckling class of the grade %s is not known: the lower curve, B, stands, and the least limits of A and B (EN 1999-1-1 Tables 6.2, 6.6).", m.calledGrade())
	}
}

// readTube reads a name of the tables or { od, wall }.
func (t table) readTube(m *Member) bool {
	switch value := t.values["tube"].(type) {
	case string:
		return t.findTube(m, value)
	case map[string]any:
		return t.readOwnTube(m)
	default:
		t.unreadable(t.at("tube"), "the name of a tube is wanted, this is "+kindOf(value),
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
		t.unreadable(path, "no tube is called "+quote(name), suggestion(unknown.Nearest,
			t.like(`"stanchion list tubes" lists them; a size of your own is { od = "48.3 mm", wall = "3.2 mm" }`)))
		return false
	}
	if ambiguous, ok := errors.AsType[*sections.AmbiguousTubeError](err); ok {
		t.unreadable(path, quote(name)+" names more than one tube", suggestion(ambiguous.Candidates, ""))
		return false
	}
	if err != nil {
		t.fault(path, err.Error(), "")
		return false
	}
	basis := t.def.WallBasis
	if tube.Material != sections.Steel && basis == sections.DesignWall {
		basis = sections.NominalWall
	}
	wall, err := tube.WallOn(basis)
	if err != nil {
		t.fault(path, err.Error(), `leave wall_basis out, or give { od, wall } with the least wall`)
		return false
	}
	m.Tube, m.Name, m.Nominal = tube, tube.Name, tube.Wall
	if t.countsOnShare(tube.Standard) {
		wall = sections.DesignShareCSA * tube.Wall
		t.assumeShare()
	}
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
	isAluminium := t.metal(wall) == sections.Aluminium
	is, isOK := own.readWallIs(isAluminium)
	if !odOK || !wallOK || !isOK {
		return false
	}
	if od < leastTube || od > mostTube {
		t.fault(own.at("od"), fmt.Sprintf("a tube of %s outside is none of a barrier", t.sizeText(od)),
			fmt.Sprintf("write an outside diameter from %s to %s", t.sizeText(leastTube), t.sizeText(mostTube)))
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
	if t.def.WallBasis == sections.DesignWall && is == sections.NominalWall && !isAluminium {
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
		return ownTubeName(m.BuiltOD(), m.Nominal, s)
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

// calledGrade is the name of the grade within a sentence.
func (m *Member) calledGrade() quantity.Sentence {
	if m.Grade.Standard == "" {
		return ownGrade(m.Grade.Fy, m.Grade.Fu)
	}
	return quantity.Say("%s", m.Grade.Name)
}

// called is the name of the tube within a sentence.
func (m *Member) called() quantity.Sentence {
	if m.isOwnTube() {
		return ownTube(m.BuiltOD(), m.Nominal)
	}
	return quantity.Say("%s", m.Name)
}

// MassPerMetre returns the mass of a metre of the tube, kg/m. It is that of the nominal wall,
// whatever wall strength and stiffness count on, and whatever corrosion has left of it: own
// weight goes by nominal dimensions (EN 1991-1-1 5.1, from memory; so do the weights of the AISC
// tables). A design wall that the file gives is weighed as given.
func (m *Member) MassPerMetre() float64 {
	ring := m.built()
	mass := ring.Mass(m.Grade.Density)
	if m.Nominal == 0 || m.Nominal == ring.Wall {
		return mass
	}
	return mass * m.Nominal * (ring.OD - m.Nominal) / (ring.Wall * (ring.OD - ring.Wall))
}

// readWallIs reads which wall a tube of the user's own gives. Under AISC 360 it must be
// said of steel; elsewhere, and of aluminium, there is none but the nominal one.
func (t table) readWallIs(isAluminium bool) (is sections.WallBasis, ok bool) {
	word, ok := t.word("wall_is", []string{"nominal", "design"}, nil)
	is = sections.WallBasis(word)
	switch {
	case !ok && (t.has("wall_is") || t.misspelt("wall_is")):
		return "", false
	case is == sections.DesignWall && isAluminium:
		t.fault(t.at("wall_is"), "the design wall of AISC 360 is one of steel, this tube is of aluminium", `write the nominal wall, and leave wall_is out`)
		return "", false
	case !ok && t.isAISC() && !isAluminium:
		t.lacks("nothing says whether the wall is the nominal or the design wall of AISC 360",
			fmt.Sprintf(`add wall_is = "nominal", of which %g is counted on, or wall_is = "design"`, sections.DesignShare))
		return "", false
	case !ok:
		return sections.NominalWall, true
	case is == sections.DesignWall && t.isWithoutDesignWall():
		t.fault(t.at("wall_is"), "the design wall is one of AISC 360, the basis is "+string(t.def.Basis), `write the nominal wall, and leave wall_is out`)
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
		t.unreadable(t.at("grade"), "the name of a grade is wanted, this is "+kindOf(value),
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
		t.unreadable(path, "no grade is called "+quote(name), suggestion(unknown.Nearest,
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
	if unknown, ok := errors.AsType[*sections.UnknownGradeError](err); ok {
		what := "no grade is called " + quote(name)
		if unknown.Standard != "" {
			what = fmt.Sprintf("no grade %s is known for tube to %s", quote(name), unknown.Standard)
		}
		if unknown.Reason != "" {
			what = "grade " + quote(name) + " does not serve: " + unknown.Reason
		}
		fix := suggestion(unknown.Nearest, t.like(`"stanchion list grades" lists them; one of your own is { fy = "235 MPa", fu = "360 MPa" }`))
		if other := tableMaterial(name, wall); other != "" && m.Tube.Material != "" && other != m.Tube.Material {
			join := ", "
			if strings.Contains(fix, "\n") {
				join = "\n"
			}
			fix += join + "or take a tube of " + t.metalOf(other).called
		}
		t.fault(path, what, fix)
		return
	}
	if ambiguous, ok := errors.AsType[*sections.AmbiguousGradeError](err); ok {
		t.unreadable(path, quote(name)+" names more than one grade", suggestion(ambiguous.Candidates, ""))
		return
	}
	if err != nil {
		t.fault(path, err.Error(), "")
		return
	}
	for _, caution := range cautions {
		if strings.Contains(caution, "EN 1993-1-1") && (t.def.Basis == loads.BasisAS || t.def.Basis == loads.BasisCSA) {
			continue // that its own code does not name it is said below
		}
		t.caution("%s.", strings.TrimSuffix(caution, "."))
	}
	m.Grade = t.strengthsOfBasis(grade)
	t.cautionForeign(grade)
	if m.isOwnTube() && t.countsOnShare(grade.Standard) {
		t.countShare(m)
	}
}

// countShare counts a tube of the user's own, whose grade says that it is one to ASTM A500, with
// the wall of CSA S16.
func (t table) countShare(m *Member) {
	ring, err := sections.NewRing(m.Ring.OD, sections.DesignShareCSA*m.Nominal)
	if err != nil {
		panic("barrier: " + err.Error()) // the thicker wall made one
	}
	m.Ring = ring
	t.assumeShare()
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

// codeOf returns the code of the basis for a metal and the family of standards whose grades it
// is written for: EN 1993-1-1 Table 3.1, EN 1993-1-4 Table 2.1 and EN 1999-1-1 Table 3.2 name
// grades of EN, AISC 360-16 A3.1 and the Aluminum Design Manual Table A.3.1 those of ASTM (from
// memory). Both are empty for one that names others beside its own.
func (r *reader) codeOf(metal sections.Material) (code, family string) {
	switch {
	case r.def.Basis == loads.BasisEN && metal == sections.Aluminium:
		return "EN 1999-1-1", "EN"
	case r.def.Basis == loads.BasisEN && metal == sections.Stainless:
		return "EN 1993-1-4", "EN"
	case r.def.Basis == loads.BasisEN:
		return "EN 1993-1-1", "EN"
	case r.isAISC() && metal == sections.Aluminium:
		return "the Aluminum Design Manual", "ASTM"
	case r.isAISC():
		return "AISC 360", "ASTM"
	}
	return "", ""
}

// cautionForeign cautions of a grade whose standard is none of those that the code of the
// basis is written for.
func (t table) cautionForeign(g sections.Grade) {
	switch {
	case t.def.Basis == loads.BasisAS && g.Standard == "AS 1074":
		t.caution("Grade %s is of AS 1074, which AS 4100 2.2.1 does not name among the standards of tube, from memory: AS/NZS 1163 is.", g.Name)
	case t.def.Basis == loads.BasisAS && !strings.HasPrefix(g.Standard, "AS"):
		t.caution("Grade %s is of %s, and AS 4100 is written for grades of Australian standards, of tube AS/NZS 1163.", g.Name, g.Standard)
	case t.def.Basis == loads.BasisCSA && g.Material != sections.Aluminium && !strings.HasPrefix(g.Standard, "CSA ") && !strings.HasPrefix(g.Standard, "ASTM "):
		t.caution("Grade %s is of %s, and CSA S16 is written for grades of CSA G40.21 and of ASTM standards.", g.Name, g.Standard)
	}
	if code, family := t.codeOf(g.Material); code != "" && !strings.HasPrefix(g.Standard, family+" ") {
		t.caution("Grade %s is of %s, and %s is written for grades of %s standards.", g.Name, g.Standard, code, family)
	}
}

// metal returns the material that the grade of the table has, before the tube is read; empty
// where nothing says.
func (t table) metal(wall float64) sections.Material {
	switch grade := t.values["grade"].(type) {
	case string:
		return tableMaterial(grade, wall)
	case map[string]any:
		word, _ := grade["material"].(string)
		return sections.Material(word)
	}
	return ""
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
