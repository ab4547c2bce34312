package barrier

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/loads"
)

// readLoads reads every [[load]].
func (t table) readLoads(s site) {
	tables := t.children("load", loadTable, MaxLoads)
	if len(tables) == 0 && t.absent("load") {
		t.missing("no [[load]]: there is nothing to check against", "add [[load]] with schedule = \""+t.scheduleExample()+"\", or a load of your own with kind, value and direction")
	}
	for i, table := range tables {
		t.def.Loads = append(t.def.Loads, table.readLoad(i, s))
	}
	t.nameLoads(tables)
	t.joinLoads(tables)
}

// site is the barrier on which loads stand, as far as it could be read.
type site struct {
	run    runDraft
	post   postDraft
	rails  []railDraft
	infill infillDraft
}

// ownKeys returns the keys that belong to a load of the user's own, but those that a schedule
// takes as well.
func ownKeys() []string {
	names := loadTable.names()
	return names[slices.Index(names, "kind"):]
}

// readLoad reads a schedule or a load of the user's own.
func (t table) readLoad(i int, s site) Load {
	name, named := t.text("name", "people")
	load := Load{Name: name, Fixing: 1}
	mix, mixOK := t.flag("mix")
	own := ownKeys()
	switch {
	case t.has("schedule"):
		if t.hasAny(own...) {
			key := own[slices.IndexFunc(own, t.has)]
			t.faultOfKey(t.at(key), key+" belongs to a load of one's own, and this is a schedule", "leave it out, or put it into a [[load]] of its own")
		}
		t.readOfSchedule(&load, mix, mixOK || !t.has("mix"))
	case t.misspelt("schedule"):
	case t.has("occupancy"):
		t.lacks("occupancy stands without schedule", "name the schedule, such as schedule = \"EN 1991-1-1 UK v\", or leave occupancy out")
	case !t.hasAny(own...) && slices.ContainsFunc(own, t.misspelt):
	case !t.hasAny(own...):
		t.lacks("the load is neither a schedule nor one's own", "add schedule = \""+t.scheduleExample()+"\", or kind, value and direction")
	default:
		load.Own = t.readOwnLoad(s)
		load.Category = t.categoryOf(load.Own)
		if t.has("fixings") {
			t.faultOfKey(t.at("fixings"), "fixings is a factor of BS 6180, and this is a load of one's own", "leave it out")
		}
		if mix && !t.isForeignWind(load.Own) {
			t.faultOfKey(t.at("mix"), "a load of one's own belongs to the family of the basis", "leave mix out")
		}
		if !named {
			load.Name = fmt.Sprintf("load %d", i+1)
		}
	}
	return load
}

// readOfSchedule reads a schedule and what else its load tells of it; mix is judged where it
// could be read.
func (t table) readOfSchedule(load *Load, mix, mixOK bool) {
	s := t.readSchedule()
	if load.Schedule = s; s == nil {
		return
	}
	if mixOK {
		load.Mixed = t.readFamily(s, mix)
	}
	if load.Name == "" {
		load.Name = s.Name
	}
	load.Fixing = t.readFixings(s)
	if category, ok := t.readCategory(); ok {
		load.Category = category
		categorise(s, category)
	}
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
		t.familyOfChoice(err)
		return nil
	}
	return &schedule
}

// familyOfChoice judges the family of a standard whose occupancy is missing or wrong.
func (t table) familyOfChoice(err error) {
	unsaid, ok := errors.AsType[*loads.OccupancyError](err)
	mix, isFlag := t.values["mix"].(bool)
	if !ok || len(unsaid.Choices) == 0 || t.has("mix") && !isFlag {
		return
	}
	if s, err := loads.FindScheduleIn(t.def.Annex, unsaid.Schedule, unsaid.Choices[0]); err == nil {
		s.Name = unsaid.Schedule
		t.readFamily(&s, mix)
	}
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
		t.unreadable(path, "no schedule is called "+quote(name), suggestion(unknown.Nearest, `"stanchion list schedules" lists them`))
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
	case e.Occupancy == "" && len(e.Choices) == 1:
		t.fault(at, e.Schedule+" needs its occupancy, and none is named", "add occupancy = "+quote(e.Choices[0]))
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

// categorise gives the imposed loads of a schedule the category that the user names.
func categorise(s *loads.Schedule, category loads.Category) {
	s.Category = category
	for i := range s.Actions {
		switch of := &s.Actions[i].Category; *of {
		case loads.WindAction, loads.IceAction, loads.Temperature:
		default:
			*of = category
		}
	}
}

// readFixings reads the factor on the actions of fittings and feet that BS 6180 asks for where
// the strength of a fixing is uncertain.
//
// BS 6180:1999 6.5: design loading factors raised by 50 %; provenance: public.
func (t table) readFixings(s *loads.Schedule) float64 {
	factor, ok := t.number("fixings", "1.5")
	switch {
	case !ok:
	case s.Annex != "UK":
		t.faultOfKey(t.at("fixings"), "fixings is a factor of BS 6180, and "+s.Name+" is no row of the UK set", "leave it out")
	case !(factor >= 1 && factor <= 2):
		t.fault(t.at("fixings"), "a factor from 1 to 2 is wanted", "write fixings = 1.5 for what BS 6180 6.5 asks for, or leave it out")
	default:
		return factor
	}
	return 1
}
