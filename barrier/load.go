package barrier

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// readLoads reads every [[load]].
func (t table) readLoads(rails []railDraft) {
	tables := t.children("load", loadTable, MaxLoads)
	if len(tables) == 0 && t.absent("load") {
		t.missing("no [[load]]: there is nothing to check against", "add [[load]] with schedule = \""+t.scheduleExample()+"\", or a load of your own with kind, value and direction")
	}
	for i, table := range tables {
		t.def.Loads = append(t.def.Loads, table.readLoad(i, rails))
	}
}

// readLoad reads a schedule or a load of the user's own.
func (t table) readLoad(i int, rails []railDraft) Load {
	name, named := t.text("name", "people")
	load := Load{Name: name}
	mix, mixOK := t.flag("mix")
	own := []string{"kind", "value", "rail", "direction", "height"}
	switch {
	case t.has("schedule") && t.hasAny(own...):
		key := own[slices.IndexFunc(own, t.has)]
		t.faultOfKey(t.at(key), key+" belongs to a load of one's own, and this is a schedule", "leave it out, or put it into a [[load]] of its own")
		return load
	case t.has("schedule"):
		load.Schedule = t.readSchedule()
		if load.Schedule != nil && (mixOK || !t.has("mix")) {
			load.Mixed = t.readFamily(load.Schedule, mix)
		}
		if load.Schedule != nil && !named {
			load.Name = load.Schedule.Name
		}
	case t.misspelt("schedule"):
	case t.has("occupancy"):
		t.lacks("occupancy stands without schedule", "name the schedule, such as schedule = \"EN 1991-1-1 UK v\", or leave occupancy out")
	case !t.hasAny(own...) && slices.ContainsFunc(own, t.misspelt):
	case !t.hasAny(own...):
		t.lacks("the load is neither a schedule nor one's own", "add schedule = \""+t.scheduleExample()+"\", or kind, value and direction")
	default:
		load.Own = t.readOwnLoad(rails)
		if mix {
			t.faultOfKey(t.at("mix"), "a load of one's own belongs to the family of the basis", "leave mix out")
		}
		if !named {
			load.Name = fmt.Sprintf("load %d", i+1)
		}
	}
	return load
}

// readSchedule finds the schedule of that name and occupancy.
func (t table) readSchedule() *loads.Schedule {
	name, nameOK := t.text("schedule", t.scheduleExample())
	occupancy, occupancyOK := t.text("occupancy", "C5")
	if !nameOK || t.has("occupancy") && !occupancyOK {
		return nil
	}
	if t.isTooLong(t.at("schedule"), name) || t.isTooLong(t.at("occupancy"), occupancy) {
		return nil
	}
	schedule, err := loads.FindScheduleIn(t.def.Annex, name, occupancy)
	if err != nil {
		t.scheduleFault(name, err)
		return nil
	}
	return &schedule
}

// readFamily judges the family of a schedule against those that the basis combines: one of
// another family stands only where the user mixes it in.
func (t table) readFamily(s *loads.Schedule, mix bool) (mixed bool) {
	basis := t.def.Basis
	if basis == "" {
		return false
	}
	var own []string
	for _, family := range basis.Families() {
		own = append(own, string(family))
	}
	families := strings.Join(own, " or ")
	foreign := !slices.Contains(basis.Families(), s.Family)
	switch {
	case foreign && !mix:
		t.fault(t.at("schedule"), fmt.Sprintf("%s is of the family %s, the basis %s combines loads of the family %s", s.Name, s.Family, basis, families),
			"take a schedule of the family "+families+", or add mix = true to take it as a nominal imposed load of the basis")
	case foreign:
		t.caution("%s is of the family %s and is taken as a nominal imposed load of %s, whose own family is %s: mix = true.", s.Name, s.Family, basis, families)
	case mix:
		t.faultOfKey(t.at("mix"), fmt.Sprintf("%s is of the family %s, which the basis %s combines: there is nothing to mix", s.Name, s.Family, basis), "leave it out")
	}
	return foreign && mix
}

// scheduleFault records why no schedule was found.
func (t table) scheduleFault(name string, err error) {
	path := t.at("schedule")
	if unknown, ok := errors.AsType[*loads.UnknownScheduleError](err); ok {
		t.fault(path, "no schedule is called "+quote(name), suggestion(unknown.Nearest, `"stanchion list schedules" lists them`))
		return
	}
	if unsupported, ok := errors.AsType[*loads.UnsupportedScheduleError](err); ok {
		what := "schedule " + quote(name) + " is not supported yet"
		if unsupported.Reason != "" {
			what += ": " + unsupported.Reason
		}
		t.fault(path, what, `"stanchion list schedules" lists those that are`)
		return
	}
	if incomplete, ok := errors.AsType[*loads.IncompleteNameError](err); ok {
		t.fault(path, fmt.Sprintf("schedule %s does not say which %s", quote(name), incomplete.Lacks), suggestion(incomplete.Choices, ""))
		return
	}
	if occupancy, ok := errors.AsType[*loads.OccupancyError](err); ok {
		t.occupancyFault(occupancy)
		return
	}
	t.fault(path, err.Error(), `"stanchion list schedules" lists those that can be named`)
}

// occupancyFault records an occupancy that is missing, wrong or not wanted.
func (t table) occupancyFault(e *loads.OccupancyError) {
	at := t.at("occupancy")
	if !t.has("occupancy") {
		at = t.at("schedule")
	}
	switch {
	case len(e.Choices) == 0:
		t.fault(at, e.Schedule+" has one schedule and takes no occupancy", "leave occupancy out")
	case e.Occupancy == "":
		t.fault(at, e.Schedule+" has several occupancies and none is named", "add occupancy with one of "+meanings(e))
	default:
		t.fault(at, fmt.Sprintf("%s has no occupancy %s", e.Schedule, quote(e.Occupancy)), "write "+meanings(e))
	}
}

// meanings lists the occupancies of a standard and, where they are several, says where
// each is told in words.
func meanings(e *loads.OccupancyError) string {
	if len(e.Choices) == 1 {
		return oneOf(e.Choices)
	}
	return fmt.Sprintf("%s\nstanchion list schedules --match %q says what each is", oneOf(e.Choices), e.Schedule)
}

// checkHeight refuses a load beyond the rails: more than half a diameter above the
// highest axis or below the lowest.
func (t table) checkHeight(z float64, rails []railDraft) {
	if len(rails) == 0 || slices.ContainsFunc(rails, func(r railDraft) bool { return !r.heightOK || !r.ringOK }) {
		return
	}
	byHeight := func(a, b railDraft) int { return cmp.Compare(a.Height, b.Height) }
	top, low := slices.MaxFunc(rails, byHeight), slices.MinFunc(rails, byHeight)
	switch {
	case z > top.Height+top.Ring.OD/2+slack:
		t.fault(t.at("height"), fmt.Sprintf("a load at %s, above the highest rail at %s by more than half its diameter, is not supported yet", t.placeText(z), t.placeText(top.Height)),
			"put it on a rail, or between two")
	case z < low.Height-low.Ring.OD/2-slack:
		t.fault(t.at("height"), fmt.Sprintf("a load at %s, below the lowest rail at %s by more than half its diameter, is not supported yet", t.placeText(z), t.placeText(low.Height)),
			"put it on a rail, or between two")
	}
}

// readOwnLoad reads a load of the user's own.
func (t table) readOwnLoad(rails []railDraft) *OwnLoad {
	own := &OwnLoad{Rail: highest(len(rails), func(i int) float64 { return rails[i].Height })}
	if t.require("kind", `"line" or "point"`) {
		kind, _ := t.word("kind", []string{string(OwnLine), string(OwnPoint)}, []string{"area", "wind", "ice", "temperature"})
		own.Kind = OwnLoadKind(kind)
	}
	t.readValue(own)
	t.readRail(own, rails)
	if t.require("direction", `"outward"`) {
		own.Direction = t.readDirection()
	}
	if height, ok := t.positive("height", quantity.Length); ok {
		own.Height = &height
		t.checkHeight(height, rails)
	} else if !t.has("height") {
		t.assumeOnce("A load of the user's own that gives no height is on the axis of its rail.")
	}
	return own
}

// readValue reads the value in the dimension of the kind. Where the kind is not known
// the value is not judged.
func (t table) readValue(own *OwnLoad) {
	dimension, example := quantity.LineLoad, `"0.36 kN/m"`
	if own.Kind == OwnPoint {
		dimension, example = quantity.Force, `"0.9 kN"`
	}
	if t.require("value", example) && own.Kind != "" {
		own.Value, _ = t.positive("value", dimension)
	}
}

// readRail finds the rail that is loaded: the highest where none is named.
func (t table) readRail(own *OwnLoad, rails []railDraft) {
	name, ok := t.text("rail", "top")
	if !ok {
		if !t.has("rail") && len(rails) > 1 {
			t.assumeOnce("A load of the user's own that names no rail is on the highest, %s.", quote(rails[own.Rail].Name))
		}
		return
	}
	names := make([]string, len(rails))
	for i, rail := range rails {
		names[i] = rail.Name
	}
	own.Rail = slices.Index(names, name)
	if own.Rail >= 0 || len(rails) == 0 {
		return
	}
	fix := "the rails are " + strings.ReplaceAll(oneOf(names), " or ", " and ")
	if near, ok := likely(name, names); ok {
		fix = `write "` + near + `"; ` + fix
	}
	t.fault(t.at("rail"), "no rail is called "+quote(name), fix)
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
