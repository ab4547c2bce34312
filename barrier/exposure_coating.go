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

// The thickness, m, of a zinc coating outside of which it is a slip (rules of this program: a
// plated part has 5 um, and steel that takes up zinc all through seldom 300 um).
const (
	leastCoating = 5e-6
	mostCoating  = 500e-6
)

// coating is a zinc coating as it was given: by a name of the tables, whose thickness hangs on
// the wall of the tube, or by a thickness. The zero coating is none.
type coating struct {
	name      string  // empty for a thickness
	thickness float64 // m
	ofMass    bool    // it was given as a mass per area
}

// on returns the thickness on a tube of a nominal wall, both m.
func (c coating) on(wall float64) float64 {
	if c.name == "" {
		return c.thickness
	}
	return c.row(wall).Local
}

// row returns the row of the tables for a nominal wall, m.
func (c coating) row(wall float64) sections.Coating {
	found, err := sections.FindCoating(c.name, wall)
	if err != nil {
		panic("barrier: " + err.Error()) // the name was found when it was read, and its bands cover every wall
	}
	return found
}

// inside returns what of a coating of the outside is inside too.
func (c coating) inside() coating {
	if c.name == "" || c.row(thinWall).OutsideOnly {
		return coating{}
	}
	return c
}

// isDipped says whether the coating is one of finished work, for which tubes have holes.
func (c coating) isDipped() bool {
	return strings.HasPrefix(c.name, "ISO 1461") || strings.HasPrefix(c.name, "ASTM A123")
}

// readCoating reads "none", a name of the tables, a thickness, or a mass per area.
func (x exposureDraft) readCoating() coating {
	text, isText := x.values["coating"].(string)
	switch {
	case !x.has("coating"):
		return coating{}
	case !isText:
		x.unreadable(x.at("coating"), "the name of a coating or a thickness is wanted, this is "+kindOf(x.values["coating"]),
			x.thicknessFix(fmt.Sprint(x.values["coating"])))
		return coating{}
	case x.isTooLong(x.at("coating"), text), text == "none":
		return coating{}
	}
	c := x.readCoatingText(text)
	if c != (coating{}) && len(x.tubes) > 0 && !slices.ContainsFunc(x.tubes, weatheredTube.isSteel) {
		x.fault(x.at("coating"), "a coating of zinc is one of carbon steel, and no tube is of it", "leave coating out")
		return coating{}
	}
	return c
}

// coatingFix says what a coating may be.
const coatingFix = `write "none", a coating such as "ISO 1461" or "EN 10240 A.1" ("stanchion list coatings" lists them), its least thickness such as "70 um", or its mass such as "500 g/m2"`

// readCoatingText reads a coating that is not none.
func (x exposureDraft) readCoatingText(text string) coating {
	found, err := sections.FindCoating(text, thinWall)
	if err == nil {
		return coating{name: found.Name}
	}
	if strings.ContainsAny(text[:min(1, len(text))], "0123456789+-.") {
		return x.readThickness(text)
	}
	fix := x.like(coatingFix)
	if unknown, ok := errors.AsType[*sections.UnknownCoatingError](err); ok {
		fix = suggestion(unknown.Nearest, fix)
	}
	if near, ok := likely(text, []string{"none"}); ok {
		fix = `write "` + near + `"`
	}
	x.unreadable(x.at("coating"), "no coating is called "+quote(text), fix)
	return coating{}
}

// readThickness reads a thickness or a mass per area.
func (x exposureDraft) readThickness(text string) coating {
	path, c := x.at("coating"), coating{}
	if mass, err := quantity.ParseValue(text, quantity.CoatingMass, x.def.Units); err == nil {
		c = coating{thickness: mass / sections.ZincDensity, ofMass: true}
	} else if v, err := quantity.ParseValue(text, quantity.Length, x.def.Units); err == nil {
		c = coating{thickness: v}
	} else {
		x.unreadable(path, quote(text)+" is neither a thickness nor a mass per area", x.thicknessFix(text))
		return coating{}
	}
	film := x.filmText(c.thickness)
	least, called := x.leastWall()
	switch v := c.thickness; {
	case v <= 0:
		x.fault(path, "the coating is not thicker than nothing", `write its least thickness, such as "70 um", or "none"`)
	case v < leastCoating:
		x.fault(path, fmt.Sprintf("a coating of %s is none: thin plating has 5 um, dipped zinc some 25 um to 100 um", film), meantFilm(v*1e3))
	case v >= least:
		x.fault(path, fmt.Sprintf("the coating of %s is thicker than the wall of %s, %s", film, called, x.sizeText(least)), meantFilm(v/1e3))
	case v > mostCoating:
		x.fault(path, fmt.Sprintf("no coating of zinc is %s thick", film), meantFilm(v/1e3))
	default:
		return c
	}
	return coating{}
}

// thicknessFix says what a text that gives no unit of a coating most likely stands for.
func (x exposureDraft) thicknessFix(text string) string {
	for _, unit := range []string{" um", "/ft2", "/m2"} {
		_, film := quantity.Parse(text+unit, quantity.Length)
		if _, mass := quantity.Parse(text+unit, quantity.CoatingMass); film == nil || mass == nil {
			return fmt.Sprintf("write %q if that is meant", text+unit)
		}
	}
	return x.like(coatingFix)
}

// filmText prints the thickness of a coating, m, or of what is far too thick to be one.
func (x exposureDraft) filmText(v float64) string {
	if v >= 1e-3 {
		return x.sizeText(v)
	}
	return fmt.Sprintf("%g um", quantity.Figures(quantity.In(v, "um"), 4))
}

// meantFilm says what a coating that is a thousand times as thick, or thin, may have been meant
// to be.
func meantFilm(v float64) string {
	if v < leastCoating || v > mostCoating {
		return `write its least thickness, such as "70 um"`
	}
	return fmt.Sprintf(`write "%g um" if that is meant`, quantity.Figures(v*1e6, 4))
}

// leastWall returns the least nominal wall of the tubes, m, and whose it is; +Inf where none
// could be read.
func (x exposureDraft) leastWall() (wall float64, called string) {
	wall = math.Inf(1)
	for _, tube := range x.tubes {
		if tube.Nominal < wall {
			wall, called = tube.Nominal, tube.called
		}
	}
	return wall, called
}

// sayCoatings notes the coatings of both sides.
func (x exposureDraft) sayCoatings() {
	if !x.has("coating") {
		x.note("The tubes have no coating outside: exposure.coating is not given.")
	}
	x.noteCoating("outside", x.coating[0])
	if c := x.coating[0]; strings.HasPrefix(c.name, "EN 10240") && !c.row(thinWall).OutsideOnly {
		x.warn("The least thickness of %s is one of the inside of the tube, and is taken for the outside too: measure it there.", c.name)
	}
	if x.coating[0].name != "" && !x.coating[0].isDipped() {
		x.warn("Cut ends and threads of tube that was coated at the mill are bare, unless they were repaired.")
	}
	if x.Inner == SealedInside {
		return
	}
	inside, _ := x.values["inside"].(map[string]any)
	if _, told := inside["coating"]; told {
		x.noteCoating("inside", x.coating[1])
		return
	}
	if x.coating[1] == (coating{}) {
		x.note("The tubes have no coating inside: exposure.inside.coating is not given.")
		return
	}
	x.note("The coating reaches the inside of the tubes: exposure.inside.coating is not given.")
}

// noteCoating notes a coating with its source; nothing for none.
func (x exposureDraft) noteCoating(side string, c coating) {
	switch {
	case c == (coating{}):
		return
	case c.ofMass:
		x.note("The coating %s is %s by its mass, at 7.14 g/m2 each um; a mass is a mean, and the coating may be thinner at a spot.", side, quantity.Film(c.thickness))
		return
	case c.name == "":
		x.note("The coating %s is %s as given, taken for its least thickness.", side, quantity.Film(c.thickness))
		return
	}
	var told []sections.Coating
	for _, tube := range x.tubes {
		row := c.row(tube.Nominal)
		if !tube.isSteel() || slices.Contains(told, row) {
			continue
		}
		told = append(told, row)
		x.note("%s %s: %s%s (%s).", row.Name, side, rowThickness(row), rowNotes(row), row.Source)
	}
}

// rowThickness says which thickness of a coating is counted on.
func rowThickness(row sections.Coating) quantity.Sentence {
	counted := "the least at a spot"
	switch {
	case !row.SaysLocal():
		counted = "that of a single specimen"
	case row.Mass > 0 && row.Mean == 0:
		counted = "from the mass asked for, which is a mean, so that a spot may have less"
	}
	walls := ""
	if row.Words() != "all walls" {
		walls = " on walls of " + row.Words()
	}
	if row.Mean > 0 {
		return quantity.Say("%s%s, %s; its least mean is %s", quantity.Film(row.Local), walls, counted, quantity.Film(row.Mean))
	}
	return quantity.Say("%s%s, %s", quantity.Film(row.Local), walls, counted)
}

// rowNotes are the notes of a row behind what is counted on.
func rowNotes(row sections.Coating) string {
	if row.Notes == "" {
		return ""
	}
	return "; " + row.Notes
}
