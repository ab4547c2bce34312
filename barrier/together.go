package barrier

import (
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/loads"
)

// MaxPlaced is how many loads that are placed where they are worst may act at once: the place
// of each is sought together with that of the other.
const MaxPlaced = 2

// IsPlaced says whether the load is put where it is worst, or stands at one place: a schedule,
// a line, a point or an area. Wind, ice and temperature are everywhere.
func (l *Load) IsPlaced() bool {
	return l.Own == nil || slices.Contains([]OwnLoadKind{OwnLine, OwnPoint, OwnArea}, l.Own.Kind)
}

// standsStill reports whether it is a point load that stands at one place and does not turn:
// nothing of it is sought.
func (l *Load) standsStill() bool {
	return l.Own != nil && l.Own.Kind == OwnPoint && l.Own.At != nil && l.Own.Direction.Word != "horizontal" && l.Own.Direction.Word != "any"
}

// placedAtOnce returns how many of its actions may have to be placed at once: two of a schedule
// that has them act together.
func (l *Load) placedAtOnce() int {
	switch {
	case !l.IsPlaced() || l.standsStill():
		return 0
	case l.Schedule == nil:
		return 1
	}
	isPlaced := func(a *loads.Action) bool { return a.Kind != loads.WindPressure && a.Target != loads.Everything }
	for i := range l.Schedule.Actions {
		a := &l.Schedule.Actions[i]
		joined := func(b loads.Action) bool { return isPlaced(&b) && slices.Contains(a.With, b.Name) }
		if isPlaced(a) && slices.ContainsFunc(l.Schedule.Actions, joined) {
			return 2
		}
	}
	return 1
}

// actsAlone says whether every action of the load is one that its standard lets act with no
// other variable action, and whether some are.
func (l *Load) actsAlone() (every, some bool) {
	if l.Schedule == nil {
		return false, false
	}
	isAlone := func(a loads.Action) bool { return a.Alone }
	some = slices.ContainsFunc(l.Schedule.Actions, isAlone)
	every = some && !slices.ContainsFunc(l.Schedule.Actions, func(a loads.Action) bool { return !a.Alone })
	return every, some
}

// category returns the category by which a load is combined; none where it could not be read.
func (l *Load) category() loads.Category {
	switch {
	case l.Category != "":
		return l.Category
	case l.Schedule == nil:
		return ""
	case l.Schedule.Category != "":
		return l.Schedule.Category
	}
	return loads.Imposed
}

// windsOf names the wind of a load: that of the user's own, or those that its schedule brings.
func windsOf(l *Load) string {
	if l.Own != nil && l.Own.Kind == OwnWind {
		return "wind"
	}
	var names []string
	if l.Schedule != nil {
		for i := range l.Schedule.Actions {
			if a := &l.Schedule.Actions[i]; a.Kind == loads.WindPressure {
				names = append(names, quote(a.Name))
			}
		}
	}
	return strings.Join(names, " and ")
}

// ofCategory names a load by its category.
func ofCategory(c loads.Category) string {
	switch c {
	case loads.WindAction, loads.IceAction:
		return string(c)
	case loads.Temperature:
		return "a change of temperature"
	case loads.Imposed:
		return "an imposed load"
	}
	return "an imposed load of category " + string(c)
}

// nameLoads reports a name that two loads have. Names that are not given may be the same:
// they are told of where one is referred to.
func (t table) nameLoads(tables []table) {
	first := map[string]int{}
	for i, given := range tables {
		name := t.def.Loads[i].Name
		if !given.has("name") || name == "" {
			continue
		}
		if j, taken := first[name]; taken {
			given.fault(given.at("name"), fmt.Sprintf("load %d has this name already", j+1), "give each load a name of its own")
			continue
		}
		first[name] = i
	}
}

// findLoad returns the load of a name, and reports where none has it, or several.
func (r *reader) findLoad(path, name string) (load int, ok bool) {
	var names []string
	found, unread := -1, false
	for i := range r.def.Loads {
		other := r.def.Loads[i].Name
		if other == name && found >= 0 {
			r.fault(path, fmt.Sprintf("loads %d and %d are both called %s", found+1, i+1, quote(name)), "give each of them a name of its own")
			return 0, false
		}
		if other == name {
			found = i
		}
		unread = unread || other == "" // its name follows from what could not be read
		if other != "" && !slices.Contains(names, other) {
			names = append(names, other)
		}
	}
	if found < 0 && !unread {
		r.unknownName(path, "load", name, names)
	}
	return found, found >= 0
}

// joinLoads reads with: which loads act together. It holds both ways, whichever says it, and
// between any two that one list names.
func (t table) joinLoads(tables []table) {
	joined := false
	for i, given := range tables {
		joined = given.readWith(i) || joined
	}
	if !joined {
		return
	}
	for i := range t.def.Loads {
		slices.Sort(t.def.Loads[i].With)
	}
	t.sayJoined()
	t.checkPlaced(tables)
}

// readWith reads the names of the loads that act with load i. It says whether there are any.
func (t table) readWith(i int) bool {
	const example = `["wind"]`
	names, ok := t.list("with", example)
	if !ok {
		return false
	}
	var told []int
	for k, value := range names {
		path := element(t.at("with"), k)
		name, isText := value.(string)
		if !isText {
			t.fault(path, "the name of a load in quotes is wanted, this is "+kindOf(value), "write with = "+example)
			continue
		}
		j, found := t.findLoad(path, name)
		switch {
		case !found:
		case j == i:
			t.fault(path, "a load acts with itself as it is", "name the other loads that act with it")
		case slices.Contains(told, j):
			t.fault(path, quote(name)+" is named already", "name each load once")
		case t.mayJoin(path, i, j):
			told = append(told, j)
		}
	}
	t.joinList(i, told)
	return len(told) > 0
}

// joinList joins a load and those that its list names, each with each other. Where more of them
// are placed than may act at once, or two of the list may not act together, it says so and
// joins none of those.
func (t table) joinList(i int, told []int) {
	set := append([]int{i}, told...)
	slices.Sort(set)
	var placed []string
	for _, j := range set {
		if t.def.Loads[j].IsPlaced() {
			placed = append(placed, quote(t.def.Loads[j].Name))
		}
	}
	if len(placed) > MaxPlaced {
		t.tooManyPlaced(t.at("with"), placed)
		return
	}
	for k, j := range set {
		for _, l := range set[:k] {
			if j == i || l == i || t.mayJoinBeside(i, l, j) {
				t.join(l, j)
			}
		}
	}
}

// mayJoinBeside judges whether two loads that the list of load i names may act together.
func (t table) mayJoinBeside(i, j, k int) bool {
	what := t.whyNot(j, k)
	if what == "" {
		return true
	}
	all := t.def.Loads
	t.fault(t.at("with"), fmt.Sprintf("%s names %s and %s, which would act with each other too, and %s", quote(all[i].Name), quote(all[j].Name), quote(all[k].Name), what),
		fmt.Sprintf("leave one of them out, or let it name %s in a with of its own: then the two do not act with each other", quote(all[i].Name)))
	return false
}

// join joins two loads.
func (r *reader) join(i, j int) {
	a, b := &r.def.Loads[i], &r.def.Loads[j]
	if !slices.Contains(a.With, j) {
		a.With = append(a.With, j)
		b.With = append(b.With, i)
	}
}

// mayJoin judges whether two loads may act together.
func (t table) mayJoin(path string, i, j int) bool {
	what := t.whyNot(i, j)
	if what == "" {
		return true
	}
	fix := "leave it out: they act one at a time"
	a, b := &t.def.Loads[i], &t.def.Loads[j]
	if every, _ := a.actsAlone(); every {
		fix = fmt.Sprintf("leave it out: %s and %s act one at a time", quote(a.Name), quote(b.Name))
	} else if every, _ := b.actsAlone(); every {
		fix = fmt.Sprintf("leave it out: %s and %s act one at a time", quote(b.Name), quote(a.Name))
	}
	t.fault(path, what, fix)
	return false
}

// whyNot says why two loads may not act together; empty where they may.
func (r *reader) whyNot(i, j int) string {
	a, b := &r.def.Loads[i], &r.def.Loads[j]
	for _, l := range [2]*Load{a, b} {
		if every, _ := l.actsAlone(); every {
			return fmt.Sprintf("%s is to act with %s, and %s lets no load of %s act with another variable action", quote(a.Name), quote(b.Name), l.Schedule.Standard, quote(l.Name))
		}
	}
	if windsOf(a) != "" && windsOf(b) != "" && (a.Schedule != nil || b.Schedule != nil) {
		return fmt.Sprintf("%s has %s and %s has %s: two winds would blow at once", quote(a.Name), windsOf(a), quote(b.Name), windsOf(b))
	}
	of, with := a.category(), b.category()
	if r.def.Basis == "" || of == "" || with == "" {
		return ""
	}
	if may, why := loads.CombinationsOf(r.def.Basis).MayJoin(of, with); !may {
		return fmt.Sprintf("%s is %s and %s is %s, which do not act together: %s", quote(a.Name), ofCategory(of), quote(b.Name), ofCategory(with), strings.TrimPrefix(why.Standard+" "+why.Clause, loads.ThisProgram+" "))
	}
	return ""
}

// sayJoined says by what loads of the user's own without a category are combined, and which
// loads stay alone.
func (r *reader) sayJoined() {
	for i := range r.def.Loads {
		l := &r.def.Loads[i]
		if len(l.With) == 0 {
			continue
		}
		if _, some := l.actsAlone(); some {
			r.assumeOnce("Of the loads of %s, those that its standard lets act with no other variable action act alone all the same; the others act with what with names.", l.Schedule.Name)
		}
		if l.Category == loads.Imposed && r.def.Basis == loads.BasisEN {
			r.assumeOnce("A load of the user's own that names no category is combined by the most cautious factors of all of them.")
		}
		if l.Category == loads.IceAction {
			r.doubtIce(l)
		}
	}
}

// doubtIce says what is in doubt where ice acts with others: how EN 1990 combines it, and how a
// wind presses what it coats.
func (r *reader) doubtIce(ice *Load) {
	if r.def.Basis == loads.BasisEN {
		psi := loads.CombinationsOf(loads.BasisEN).Psi(loads.IceAction)[0]
		r.caution("Beside another load ice takes psi0 %.1f: %s.", psi.Value, psi.Note)
	}
	for _, i := range ice.With {
		own := r.def.Loads[i].Own
		if own != nil && own.Wind != nil && own.Wind.Route != loads.WindASCE {
			cf := loads.IcedTube()
			r.caution("Wind on iced tubes takes a force coefficient of %.1f, from memory and held with low confidence: %s.", cf.Result, cf.Note)
		}
	}
}

// sayCategories says as what the rows of several categories are combined, where psi counts: on
// what acts together, and in 6.10a.
func (r *reader) sayCategories() {
	if r.def.Basis != loads.BasisEN {
		return
	}
	k, err := loads.CombinationsUnder(loads.BasisEN, r.def.Annex, "")
	if err != nil {
		panic("barrier: " + err.Error()) // no rule is asked for
	}
	for i := range r.def.Loads {
		l := &r.def.Loads[i]
		if l.Schedule == nil || l.Category != "" || len(l.Schedule.Categories) == 0 || len(l.With) == 0 && r.def.Combine.Rule != loads.Rule610ab {
			continue
		}
		of := l.Schedule.Category
		r.assumeOnce(`%s covers the categories %s and is combined as %s, whose psi is the largest of them (psi0 %.1f): category is not given. Where the floor is of one, add it to the load, such as category = %s.`,
			l.Schedule.Name, categoryList(l.Schedule.Categories), string(of), k.Psi(of)[0].Value, quote(string(l.Schedule.Categories[0])))
	}
}

// categoryList lists categories: "B, C and E".
func categoryList(categories []loads.Category) string {
	words := make([]string, len(categories))
	for i, c := range categories {
		words[i] = string(c)
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// checkPlaced reports loads of which more act at once than can be placed together.
func (t table) checkPlaced(tables []table) {
	all := t.def.Loads
	placed := func(i int) []int {
		return slices.DeleteFunc(slices.Clone(all[i].With), func(j int) bool { return j <= i || all[j].placedAtOnce() == 0 })
	}
	for i := range all {
		if all[i].placedAtOnce() == 0 {
			continue
		}
		others := placed(i)
		for k, j := range others {
			if all[i].placedAtOnce()+all[j].placedAtOnce() > MaxPlaced {
				t.tooManyOfSchedule(tables, i, j)
				return
			}
			for _, l := range others[k+1:] {
				if slices.Contains(all[j].With, l) {
					t.tooManyPlaced(lastJoined(tables, i, j, l), []string{quote(all[i].Name), quote(all[j].Name), quote(all[l].Name)})
					return
				}
			}
		}
	}
}

// tooManyOfSchedule reports two loads that act at once, of one of which two actions do already.
func (t table) tooManyOfSchedule(tables []table, i, j int) {
	all := t.def.Loads
	two, other := i, j
	if all[i].placedAtOnce() < 2 {
		two, other = j, i
	}
	t.fault(lastJoined(tables, i, j), fmt.Sprintf("%s has two loads that act at once, and %s would be a third: of loads on rails, posts and infill at most %d do", quote(all[two].Name), quote(all[other].Name), MaxPlaced),
		"leave one of the two out of with; wind, ice and temperature may act with either")
}

// lastJoined returns the place of the last with among loads that are joined.
func lastJoined(tables []table, joined ...int) (at string) {
	for _, i := range joined {
		if tables[i].has("with") {
			at = tables[i].at("with")
		}
	}
	return at
}

// tooManyPlaced reports placed loads that would act at once.
func (r *reader) tooManyPlaced(at string, names []string) {
	n := len(names) - 1
	r.fault(at, fmt.Sprintf("%s and %s would act at once, and of loads on rails, posts and infill at most %d do", strings.Join(names[:n], ", "), names[n], MaxPlaced),
		"join two of them at most in one list, and not every one with each other; wind, ice and temperature may act with both")
}
