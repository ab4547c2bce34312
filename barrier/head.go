package barrier

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// readHead reads the keys above the first table. Units come first: problems are told in
// those of the file.
func (t table) readHead() {
	d := t.def
	t.readUnits()
	d.Title, _ = t.text("title", "Filter gallery walkway")
	if !t.has("title") {
		base := filepath.Base(d.File)
		d.Title = strings.TrimSuffix(base, filepath.Ext(base))
	}
	d.Project, _ = t.text("project", "North works")
	d.Date = t.readDate()
	if t.require("basis", `"EN" above the first table`) {
		d.Basis = t.readBasis()
	}
	t.readAnnex()
	t.readWallBasis()
}

// readBasis reads the design basis. The names are short: what is not one of them in other
// letters is taken for none of the short ones.
func (t table) readBasis() loads.Basis {
	names := []string{string(loads.BasisEN), string(loads.BasisLRFD), string(loads.BasisASD), string(loads.BasisAS), string(loads.BasisCSA)}
	typed, isText := t.values["basis"].(string)
	meant := func(name string) bool { return strings.EqualFold(name, typed) }
	if isText && len(typed) < len("AISC") && !slices.ContainsFunc(names, meant) {
		t.fault(t.at("basis"), "unknown word "+quote(typed), "write "+oneOf(names))
		return ""
	}
	basis, _ := t.word("basis", names, nil)
	return loads.Basis(basis)
}

// readUnits reads the units in which people read the results.
func (t table) readUnits() {
	t.def.Units = quantity.Metric
	value, given := t.values["units"]
	if !given {
		t.assume(`Results are in metric units: units is not given and taken as "metric".`)
		return
	}
	word, isText := value.(string)
	if !isText {
		t.fault(t.at("units"), "a word in quotes is wanted, this is "+kindOf(value), `write "metric" or "US"`)
		return
	}
	units, err := quantity.ParseSystem(word)
	if e, ok := errors.AsType[*quantity.Error](err); ok {
		t.fault(t.at("units"), "unknown word "+quote(word), e.Fix)
		return
	}
	t.def.Units = units
}

// readDate reads a text, or a date of TOML as it is written.
func (t table) readDate() string {
	date, isDate := t.values["date"].(time.Time)
	if !isDate {
		text, _ := t.text("date", "2026-05-03")
		return text
	}
	if p, ok := t.locator.find(t.at("date")); ok && !t.isChanged(t.at("date")) {
		return t.locator.source[p.value.from:p.value.to]
	}
	return date.Format(time.DateOnly)
}

// readAnnex reads the national annex of the Eurocodes.
func (t table) readAnnex() {
	annex, ok := t.text("annex", "UK")
	if !ok {
		return
	}
	if basis := t.def.Basis; basis != "" && basis != loads.BasisEN {
		t.faultOfKey(t.at("annex"), "a national annex belongs to the Eurocodes, the basis is "+string(basis), `leave it out, or write basis = "EN"`)
		return
	}
	if carried := loads.Annexes(); !slices.Contains(carried, annex) {
		t.fault(t.at("annex"), "the national annex "+quote(annex)+" is not supported yet", "write "+oneOf(carried)+", or leave it out for the recommended values")
		return
	}
	t.def.Annex = annex
}

// isAISC says whether the basis is known and one of AISC 360.
func (r *reader) isAISC() bool {
	return r.def.Basis == loads.BasisLRFD || r.def.Basis == loads.BasisASD
}

// readWallBasis reads the wall that strength and stiffness count on: by default nominal,
// under AISC 360 its design wall.
func (t table) readWallBasis() {
	d := t.def
	d.WallBasis = sections.NominalWall
	if t.isAISC() {
		d.WallBasis = sections.DesignWall
	}
	if t.isForeignWall() {
		return
	}
	word, ok := t.word("wall_basis", []string{"nominal", "minimum", "design"}, nil)
	given := sections.WallBasis(word)
	switch {
	case !ok && t.has("wall_basis"):
	case !ok && t.isAISC():
		t.assume(`Strength and stiffness count on the design wall of AISC 360 B4.2, 0.93 of nominal for every tube, also one to EN, unless it is made to a full-wall standard: wall_basis is not given and taken as "design".`)
	case !ok && d.Basis == loads.BasisCSA:
		t.assume(`Strength and stiffness count on the nominal wall of every tube but one to ASTM A500: wall_basis is not given and taken as "nominal".`)
	case !ok:
		t.assume(`Strength and stiffness count on the nominal wall of every tube: wall_basis is not given and taken as "nominal".`)
	default:
		d.WallBasis = given
		if t.isAISC() && given == sections.NominalWall {
			t.caution(`Strength and stiffness count on the nominal wall, as stated by wall_basis = "nominal": AISC 360 B4.2 asks for the design wall, 0.93 of nominal for most tubes.`)
		}
	}
}

// isForeignWall reports a wall, misspelt or not, that the basis does not count on.
func (t table) isForeignWall() bool {
	word, _ := t.values["wall_basis"].(string)
	meant, _ := likely(word, []string{"nominal", "minimum", "design"})
	switch {
	case t.isAISC() && meant == "minimum":
		t.fault(t.at("wall_basis"), "the minimum wall is not one of AISC 360, whose design wall already stands for the tolerance", `write "design", or leave it out`)
		return true
	case t.isWithoutDesignWall() && meant == "design":
		t.fault(t.at("wall_basis"), "the design wall is one of AISC 360, the basis is "+string(t.def.Basis), `write "nominal" or "minimum", or leave it out`+t.wallOfCSA())
		return true
	}
	return false
}

// isWithoutDesignWall says whether the basis is known and none of AISC 360.
func (r *reader) isWithoutDesignWall() bool { return r.def.Basis != "" && !r.isAISC() }

// wallOfCSA says, under CSA, which tube counts with less than its nominal wall.
func (r *reader) wallOfCSA() string {
	if r.def.Basis != loads.BasisCSA {
		return ""
	}
	return ": tube to ASTM A500 counts with 0.90 of nominal by itself"
}

// countsOnShare reports whether a tube to a standard counts with less than its nominal wall
// under CSA S16.
func (r *reader) countsOnShare(standard string) bool {
	return r.def.Basis == loads.BasisCSA && r.def.WallBasis == sections.NominalWall && standard == "ASTM A500"
}

// assumeShare says so.
func (t table) assumeShare() {
	t.assumeOnce("Tube to ASTM A500 counts with %.2f of its nominal wall under CSA S16, for its tolerance; its weight is that of the nominal wall.", sections.DesignShareCSA)
}
