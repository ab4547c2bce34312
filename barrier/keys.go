package barrier

import (
	"slices"
	"strings"

	"example.com/stanchion/internal/nearest"
)

// knownKey is a key that a table may have. One that this version does not read says
// what to do instead; such a key is refused as not supported yet, which an unknown key
// is not.
type knownKey struct {
	name    string
	instead string // empty for a key that is read
}

// tableKind names the tables of a definition, as they are written in messages.
type tableKind string

const (
	topLevel           tableKind = "the top level"
	runTable           tableKind = "[run]"
	legTable           tableKind = "run.legs"
	endTable           tableKind = "run.start or run.end"
	toePlateTable      tableKind = "run.toe_plate"
	postTable          tableKind = "[post]"
	baseTable          tableKind = "[post.base]"
	flangeTable        tableKind = "[post.base.flange]"
	concreteTable      tableKind = "[post.base.socket]"
	earthTable         tableKind = "[post.base.earth]"
	sideTable          tableKind = "[post.base.side]"
	counterweightTable tableKind = "[post.base.counterweight]"
	weightTable        tableKind = "post.base.counterweight.weights"
	frictionTable      tableKind = "post.base.counterweight.friction"
	railTable          tableKind = "[[rail]]"
	netTable           tableKind = "net"
	braceTable         tableKind = "[[brace]]"
	braceFootTable     tableKind = "brace.foot"
	tubeTable          tableKind = "{ od, wall }"
	gradeTable         tableKind = "{ fy, fu }"
	fittingTable       tableKind = "[fitting]"
	jointTable         tableKind = "fitting.moment"
	cornerTable        tableKind = "[fitting.corner]"
	braceFittingTable  tableKind = "[fitting.brace]"
	screwTable         tableKind = "fitting.screw"
	turnTable          tableKind = "fitting.corner.moment"
	gapTable           tableKind = "[[gap]] or [[gate]]"
	infillTable        tableKind = "[infill]"
	loadTable          tableKind = "[[load]]"
	directionTable     tableKind = "load.direction"
	combiningTable     tableKind = "[combinations]"
	ownMixTable        tableKind = "[[combinations.own]]"
	limitsTable        tableKind = "[limits]"
	scopeTable         tableKind = "[scope]"
	stockTable         tableKind = "[stock]"
	stockTubeTable     tableKind = "[[stock.tubes]]"
	exposureTable      tableKind = "[exposure]"
	insideTable        tableKind = "[exposure.inside]"
	surveyTable        tableKind = "[survey]"
	surveyPostTable    tableKind = "[[survey.post]]"
	surveyRailTable    tableKind = "[[survey.rail]]"
	surveyFittingTable tableKind = "[[survey.fitting]]"
	proofTable         tableKind = "[prooftest]"
)

// where says where a key of the table stands.
func (k tableKind) where() string {
	if k == topLevel {
		return "at " + string(k)
	}
	return "in " + string(k)
}

// tableKinds returns every kind in document order.
func tableKinds() []tableKind {
	return []tableKind{topLevel, runTable, legTable, endTable, toePlateTable, postTable, baseTable, flangeTable, concreteTable, earthTable, sideTable, counterweightTable, weightTable, frictionTable, railTable, netTable, braceTable, braceFootTable, tubeTable,
		gradeTable, fittingTable, jointTable, cornerTable, turnTable, braceFittingTable, screwTable, gapTable, infillTable, loadTable, directionTable, combiningTable, ownMixTable, limitsTable, scopeTable, stockTable, stockTubeTable, exposureTable, insideTable, surveyTable, surveyPostTable, surveyRailTable, surveyFittingTable, proofTable}
}

// read makes keys that this version reads.
func read(names ...string) []knownKey {
	keys := make([]knownKey, 0, len(names))
	for _, name := range names {
		keys = append(keys, knownKey{name: name})
	}
	return keys
}

// known returns the keys of a kind of table.
func (k tableKind) known() []knownKey {
	switch k {
	case topLevel:
		return read("title", "project", "date", "basis", "annex", "units", "wall_basis", "run", "post", "rail", "brace", "infill", "fitting", "gap", "gate", "load", "combinations", "limits", "scope", "stock", "exposure", "survey", "prooftest")
	case runTable:
		return read("length", "spacing", "posts", "legs", "pitch", "start", "end", "overhang", "hazard", "toe_plate")
	case legTable:
		return read("length", "turn", "pitch")
	case gapTable:
		return read("from", "to")
	case toePlateTable:
		return read("height", "gap")
	case postTable:
		return read("tube", "grade", "net", "height", "base")
	case baseTable:
		return append(read("stiffness", "level", "loose", "kind", "socket_moment", "socket_uplift", "socket_twist", "values", "values_factor"), read(baseKinds()...)...)
	case flangeTable:
		return flangeKeys()
	case concreteTable:
		return concreteKeys()
	case earthTable:
		return earthKeys()
	case sideTable:
		return sideKeys()
	case counterweightTable:
		return counterweightKeys()
	case weightTable:
		return weightKeys()
	case frictionTable:
		return frictionKeys()
	case railTable:
		return read("name", "height", "tube", "grade", "net", "through", "stock", "splices", "splice_moment",
			"splice_moment_resistance", "splice_slip", "splice_shear", "splice_class", "values", "values_factor")
	case netTable:
		return netKeys()
	case braceTable:
		return read("post", "height", "tube", "grade", "foot")
	case braceFootTable:
		return read("outward", "along", "level", "uplift", "downward", "shear", "values", "values_factor")
	case tubeTable:
		return read("od", "wall", "wall_is")
	case endTable:
		return read("kind", "along", "rotation", "pull", "shear", "moment", "values", "values_factor")
	case jointTable, turnTable:
		return read("about_rail", "about_outward", "about_post")
	case gradeTable:
		return read("fy", "fu", "material", "E", "G", "density", "buckling_class")
	case infillTable:
		return read("kind", "mass", "solidity", "bottom", "top", "carried_by", "rails", "offset", "opening")
	case fittingTable:
		return read("moment", "offset", "mass", "slip_force", "slip_moment", "moment_resistance",
			"transverse_force", "values", "values_factor", "class", "screw", "corner", "brace")
	case braceFittingTable:
		return read("slip_force", "transverse_force", "values", "values_factor", "class")
	case screwTable:
		return read("size", "torque")
	case cornerTable:
		return read("moment", "mass", "slip_force", "slip_moment", "moment_resistance",
			"transverse_force", "values", "values_factor")
	case loadTable:
		return read("schedule", "occupancy", "fixings", "mix", "name", "with", "category", "kind", "value", "rail", "direction", "height", "at",
			"standard", "velocity", "terrain", "exposure", "ground", "pressure", "air_density", "return_period", "topography", "shielding",
			"class", "thickness", "density", "rise", "fall")
	case directionTable:
		return read("azimuth", "elevation")
	case combiningTable:
		return read("rule", "only_own", "own")
	case ownMixTable:
		return read("name", "situation", "permanent", "factors")
	case limitsTable:
		return read("standard", "deflection", "rule", "post", "span", "vertical", "override")
	case scopeTable:
		return read("leave_out")
	case stockTable:
		return read("currency", "fitting_price", "foot_price", "tubes")
	case stockTubeTable:
		return read("tube", "grade", "use", "price_per_m", "price_per_ft")
	case exposureTable:
		return read("category", "zinc_rate", "steel_rate", "coating", "paint", "law", "from_wall", "at_foot", "at_fitting", "inside")
	case insideTable:
		return read("tube", "category", "zinc_rate", "steel_rate", "coating")
	case surveyTable:
		return read("date", "coating_left", "post", "rail", "fitting")
	case surveyPostTable:
		return read("post", "wall", "od", "foot")
	case surveyRailTable:
		return read("rail", "wall", "od")
	case surveyFittingTable:
		return read("post", "rail", "found")
	case proofTable:
		return read("schedule", "force", "post", "bay", "rail", "direction", "preload", "hold", "measured", "accuracy", "residual")
	}
	return nil
}

// key returns the known key of that name.
func (k tableKind) key(name string) (knownKey, bool) { return keyOf(k.known(), name) }

// keyOf returns the key of that name among those of a table.
func keyOf(known []knownKey, name string) (knownKey, bool) {
	for _, k := range known {
		if k.name == name {
			return k, true
		}
	}
	return knownKey{}, false
}

// names returns the keys that are read.
func (k tableKind) names() []string {
	var names []string
	for _, known := range k.known() {
		if known.instead == "" {
			names = append(names, known.name)
		}
	}
	return names
}

// rightKey says what to write for a key that the table does not know: the nearest that
// it knows, else the table that has a key of this name, else all that it knows.
func (k tableKind) rightKey(name string) string {
	if k == topLevel && name == "base" {
		return "the foot belongs to the post: write [post.base]"
	}
	if near, ok := likely(name, k.names()); ok {
		return "the nearest known key is " + near
	}
	for _, other := range tableKinds() {
		if _, ok := other.key(name); ok && other != k {
			return name + " belongs to " + string(other) + "; known here: " + strings.Join(k.names(), ", ")
		}
	}
	return "known here: " + strings.Join(k.names(), ", ")
}

// likely returns the name that a misspelt one most likely stands for, case aside: at most
// one edit away for up to three letters, two for four or five, and one more for each three
// letters beyond. Of equally near names the first is taken.
func likely(typed string, names []string) (string, bool) {
	const longest = 60 // no name is longer, and hostile text is not compared
	if len(typed) > longest {
		return "", false
	}
	limit := 1 + len(typed)/3
	if len(typed) < 4 {
		limit = 1
	}
	found := nearest.Names(typed, names, strings.ToLower, limit, 1)
	if len(found) == 0 {
		return "", false
	}
	return found[0], true
}

// oneOf lists words for a message: "free", "wall" or "held".
func oneOf(words []string) string {
	quoted := make([]string, len(words))
	for i, word := range words {
		quoted[i] = `"` + word + `"`
	}
	if n := len(quoted); n > 1 {
		return strings.Join(quoted[:n-1], ", ") + " or " + quoted[n-1]
	}
	return strings.Join(quoted, "")
}

// choice judges a word against those that are read and those that are only known. It
// returns what is wrong and what would be right, both empty for a good word.
func choice(word string, supported, known []string) (what, fix string) {
	switch {
	case slices.Contains(supported, word):
		return "", ""
	case slices.Contains(known, word):
		return quote(word) + " is not supported yet", "write " + oneOf(supported)
	}
	if near, ok := likely(word, append(slices.Clone(supported), known...)); ok && slices.Contains(supported, near) {
		return "unknown word " + quote(word), `write "` + near + `"`
	}
	return "unknown word " + quote(word), "write " + oneOf(supported)
}

// KeyTable is a table of a definition with the keys that are read in it.
type KeyTable struct {
	Name string // as messages write it: "[post.base]", "run.legs", "the top level"
	Keys []string
}

// Keys returns every table of a definition, in document order, with its keys.
func Keys() []KeyTable {
	var tables []KeyTable
	for _, kind := range tableKinds() {
		tables = append(tables, KeyTable{string(kind), kind.names()})
	}
	return tables
}
