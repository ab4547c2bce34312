package barrier

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// MostHeight is the ratio of the height of a load of the user's own to that of the posts beyond
// which it is taken for a slip (rule of this program).
const MostHeight = 1.5

// keys returns the keys of [[load]] that belong to this kind of load.
func (k OwnLoadKind) keys() []string {
	switch k {
	case OwnLine:
		return []string{"kind", "value", "rail", "direction", "height"}
	case OwnPoint:
		return []string{"kind", "value", "rail", "direction", "height", "at"}
	case OwnArea:
		return []string{"kind", "value", "direction"}
	case OwnWind:
		return append([]string{"kind", "direction", "shielding", "pressure"}, siteKeys()...)
	case OwnIce:
		return []string{"kind", "class", "thickness", "density"}
	case OwnTemperature:
		return []string{"kind", "rise", "fall"}
	}
	return ownKeys()
}

// ownKinds returns the kinds of a load of the user's own.
func ownKinds() []string {
	return []string{string(OwnLine), string(OwnPoint), string(OwnArea), string(OwnWind), string(OwnIce), string(OwnTemperature)}
}

// article names the kind with its article: "an area load", "wind".
func (k OwnLoadKind) article() string {
	switch k {
	case OwnArea:
		return "an area load"
	case OwnLine, OwnPoint:
		return "a " + string(k) + " load"
	}
	return string(k)
}

// readOwnLoad reads a load of the user's own.
func (t table) readOwnLoad(s site) *OwnLoad {
	own := &OwnLoad{Rail: highest(len(s.rails), func(i int) float64 { return s.rails[i].Height })}
	if t.require("kind", oneOf(ownKinds())) {
		kind, _ := t.word("kind", ownKinds(), nil)
		own.Kind = OwnLoadKind(kind)
	}
	t.refuseForeign(own.Kind)
	switch own.Kind {
	case OwnArea:
		t.readArea(own, s.infill)
	case OwnWind:
		own.Wind = t.readWind()
		own.Direction = t.readWindDirection()
	case OwnIce:
		own.Ice = t.readIce()
	case OwnTemperature:
		own.Temperature = t.readWarmth()
	default:
		t.readOnRail(own, s)
	}
	return own
}

// refuseForeign reports the keys of other kinds of load. Where the kind is not known none is
// foreign.
func (t table) refuseForeign(kind OwnLoadKind) {
	if kind == "" {
		return
	}
	for _, key := range ownKeys() {
		if !t.has(key) || slices.Contains(kind.keys(), key) {
			continue
		}
		var of []string
		for _, other := range ownKinds() {
			if slices.Contains(OwnLoadKind(other).keys(), key) {
				of = append(of, other)
			}
		}
		t.faultOfKey(t.at(key), key+" is no key of "+kind.article(), "leave it out: it belongs to kind = "+oneOf(of))
	}
}

// readOnRail reads a line or a point load.
func (t table) readOnRail(own *OwnLoad, s site) {
	t.readValue(own)
	named := t.readRail(own, s.rails)
	if t.has("direction") || own.Kind != "" && t.require("direction", `"outward"`) {
		own.Direction = t.readDirection()
	}
	if height, ok := t.positive("height", quantity.Length); ok {
		own.Height = &height
		t.checkHeight(height, s)
		if named {
			t.checkRailOf(height, own.Rail, s.rails)
		}
	} else if !t.has("height") {
		t.assumeOnce("A load of the user's own that gives no height is on the axis of its rail.")
	}
	if own.Kind == OwnPoint {
		own.At = t.readAt(s.run)
	}
}

// readValue reads the value in the dimension of the kind. Where the kind is not known
// the value is not judged.
func (t table) readValue(own *OwnLoad) {
	dimension, example := quantity.LineLoad, `"0.36 kN/m"`
	switch own.Kind {
	case OwnPoint:
		dimension, example = quantity.Force, `"0.9 kN"`
	case OwnArea:
		dimension, example = quantity.AreaLoad, `"1 kN/m2"`
	}
	if own.Kind == "" || !t.require("value", example) {
		return
	}
	v, ok := t.positive("value", dimension)
	if ok && own.Kind == OwnArea && v > mostPressure {
		t.fault(t.at("value"), "no infill carries "+t.pressureText(v), "write the load of a square metre, such as "+t.like(example))
		return
	}
	own.Value = v
}

// mostPressure is the load of an area or the pressure of a wind, Pa, beyond which it is a slip: a
// stress in its place (rule of this program).
const mostPressure = 50e3

// pressureText prints the load of an area, for a message: "1.20 kN/m2", "25.0 psf".
func (r *reader) pressureText(v float64) string {
	if r.def.Units == quantity.US {
		return quantity.FormatIn(v, "psf", 1)
	}
	return quantity.FormatIn(v, "kN/m2", 2)
}

// readArea reads a load on the whole infill.
func (t table) readArea(own *OwnLoad, infill infillDraft) {
	t.readValue(own)
	if t.require("direction", `"outward"`) {
		word, _ := t.word("direction", []string{loads.Outward, loads.Inward, loads.Across}, nil)
		own.Direction = Direction{Word: word}
	}
	if infill.ok && !infill.Stands() {
		what := "an area load stands on infill, and the barrier has none: there is no [infill]"
		fix := `add [infill] with kind, mass and solidity, such as kind = "mesh", mass = "4.5 kg/m2" and solidity = 0.35, or put a line or a point load on a rail`
		if infill.kind == infillTable {
			what, fix = `an area load stands on infill, and the barrier has none: [infill] has kind = "none"`, `write kind = "mesh", "sheet" or "vertical bars" in [infill] with mass and solidity, or put a line or a point load on a rail`
		}
		t.fault(t.at("kind"), what, t.like(fix))
	}
}

// readAt reads the x of a point load that stands at one place; nil where none could be read.
func (t table) readAt(run runDraft) *float64 {
	x, ok := t.quantity("at", quantity.Length)
	if !ok {
		return nil
	}
	if !run.known() {
		return &x
	}
	path := t.at("at")
	from, to := run.RailEnds()
	if x < from-slack || x > to+slack {
		t.fault(path, fmt.Sprintf("a load at x = %s is off the rails, which run from %s to %s", t.placeText(x), t.placeText(from), t.placeText(to)), "write a place on the rails, measured as the posts are")
		return nil
	}
	for _, gap := range run.Gaps {
		if x > gap.From+slack && x < gap.To-slack {
			what := "gap"
			if gap.Gate {
				what = "gate"
			}
			t.fault(path, fmt.Sprintf("a load at x = %s is in the %s from %s to %s, where there are no rails", t.placeText(x), what, t.placeText(gap.From), t.placeText(gap.To)), "write a place on the rails, measured as the posts are")
			return nil
		}
	}
	return &x
}

// checkHeight judges the height of a load beyond the rails: it is read up to MostHeight times
// that of the posts and down to where they are held, and said where it is more than half a
// diameter above the highest axis or below the lowest.
func (t table) checkHeight(z float64, s site) {
	if s.post.heightOK && z > MostHeight*s.post.Height+slack {
		t.fault(t.at("height"), fmt.Sprintf("a load at %s, %s above the posts, which end at %s, stands on nothing", t.placeText(z), t.placeText(z-s.post.Height), t.placeText(s.post.Height)),
			fmt.Sprintf("write a height of at most %s, %v times that of the posts", t.placeText(MostHeight*s.post.Height), MostHeight))
		return
	}
	if s.post.levelOK && z < s.post.Base.Level-slack {
		t.fault(t.at("height"), fmt.Sprintf("a load at %s is below the foot of the posts, which are held at %s", t.placeText(z), t.placeText(s.post.Base.Level)),
			"write a height above the foot of the posts")
		return
	}
	if !allHeights(s.rails) || slices.ContainsFunc(s.rails, func(r railDraft) bool { return !r.ringOK }) {
		return
	}
	top := s.rails[highest(len(s.rails), func(i int) float64 { return s.rails[i].Height })]
	low := s.rails[highest(len(s.rails), func(i int) float64 { return -s.rails[i].Height })]
	switch {
	case z > top.Height+top.Ring.OD/2+slack:
		t.assumeOnce("A load of the user's own at %s stands above the highest rail, at %s, by more than half its diameter: that rail takes its force, and the posts its couple about the axis of that rail.", quantity.Size(z), quantity.Size(top.Height))
	case z < low.Height-low.Ring.OD/2-slack:
		t.assumeOnce("A load of the user's own at %s stands below the lowest rail, at %s, by more than half its diameter: that rail takes its force, and the posts its couple about the axis of that rail.", quantity.Size(z), quantity.Size(low.Height))
	}
}

// checkRailOf judges the height of a load that names its rail: it is on that rail, or beyond all
// rails and names the one next to it.
func (t table) checkRailOf(z float64, rail int, rails []railDraft) {
	if !allHeights(rails) || !rails[rail].ringOK {
		return
	}
	r := &rails[rail]
	at := func(i int) float64 { return rails[i].Height }
	down := func(i int) float64 { return -rails[i].Height }
	above, below := z > r.Height, z < r.Height
	switch {
	case math.Abs(z-r.Height) <= r.Ring.OD/2+slack:
		return
	case above && rail == highest(len(rails), at), below && rail == highest(len(rails), down):
		return
	}
	fix := "leave rail out: the rails next above and below this height share the load; or leave height out: it is then on the axis of rail " + quote(r.Name)
	if top, low := highest(len(rails), at), highest(len(rails), down); z > rails[top].Height || z < rails[low].Height {
		near := rails[top].Name
		if z < rails[low].Height {
			near = rails[low].Name
		}
		fix = fmt.Sprintf("leave rail out, or write rail = %s, which is next to this height; or leave height out: the load is then on the axis of rail %s", quote(near), quote(r.Name))
	}
	t.fault(t.at("height"), fmt.Sprintf("a load at %s is not on rail %s, whose axis is at %s", t.placeText(z), quote(r.Name), t.placeText(r.Height)), fix)
}

// readRail finds the rail that is loaded: the highest where none is named. It says whether one is.
func (t table) readRail(own *OwnLoad, rails []railDraft) (named bool) {
	name, ok := t.text("rail", "top")
	if !ok {
		if !t.has("rail") && len(rails) > 1 {
			t.assumeOnce("A load of the user's own that names no rail is on the highest, %s.", quote(rails[own.Rail].Name))
		}
		return false
	}
	rail, ok := t.findRail(t.at("rail"), name, rails)
	if ok {
		own.Rail = rail
	}
	return ok
}

// readDirection reads a word, or azimuth and elevation.
func (t table) readDirection() Direction {
	if _, isTable := t.values["direction"].(map[string]any); !isTable {
		word, _ := t.word("direction", []string{"outward", "inward", "across", "down", "up", "along", "horizontal", "any"}, nil)
		return Direction{Word: word}
	}
	given, _ := t.child("direction", directionTable)
	var d Direction
	if given.require("azimuth", `"90 deg", which is to the left`) {
		d.Azimuth = given.angle("azimuth", 2*math.Pi, "from -360 deg to 360 deg")
	}
	d.Elevation = given.angle("elevation", math.Pi/2, "from -90 deg, straight down, to 90 deg")
	if !given.has("elevation") {
		t.assumeOnce("A load of the user's own whose direction has no elevation is horizontal.")
	}
	return d
}

// angle reads an angle, rad, of at most a size.
func (t table) angle(key string, most float64, bounds string) float64 {
	v, ok := t.quantity(key, quantity.Angle)
	if ok && math.Abs(v) > most+slack {
		t.fault(t.at(key), "the angle is out of bounds", "write an angle "+bounds)
	}
	return v
}

// readCategory reads the category of an imposed load by which combinations take it.
func (t table) readCategory() (loads.Category, bool) {
	if !t.has("category") {
		return "", false
	}
	if basis := t.def.Basis; basis != "" && basis != loads.BasisEN {
		what := fmt.Sprintf("categories are those of EN 1990, and the basis %s combines every imposed load alike", basis)
		if basis == loads.BasisAS {
			what = "categories are those of EN 1990, and under the basis AS a load takes the factor of AS/NZS 1170.0 Table 4.1 that its schedule goes with, one of the user's own the largest"
		}
		t.faultOfKey(t.at("category"), what, "leave it out")
		return "", false
	}
	labels := []string{string(loads.ImposedA), string(loads.ImposedB), string(loads.ImposedC), string(loads.ImposedD), string(loads.ImposedE), string(loads.ImposedF)}
	label, ok := t.label("category", "category", labels, `write "A" for dwellings, "B" for offices, "C" where people gather, "D" for shops, "E" for storage and industry, or "F" for light traffic, as EN 1991-1-1 has them`)
	return loads.Category(label), ok
}

// categoryOf returns the category of a load of the user's own: that of its kind, or for an
// imposed load what the user gives.
func (t table) categoryOf(own *OwnLoad) loads.Category {
	natural := map[OwnLoadKind]loads.Category{OwnWind: loads.WindAction, OwnIce: loads.IceAction, OwnTemperature: loads.Temperature}
	if category, ok := natural[own.Kind]; ok {
		if t.has("category") {
			t.faultOfKey(t.at("category"), "a category is one of imposed loads, and this is "+own.Kind.article(), "leave it out")
		}
		return category
	}
	if category, ok := t.readCategory(); ok {
		return category
	}
	return loads.Imposed
}
