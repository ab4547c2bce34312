package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// What fittings, splices, wall ends and feet must carry.

// fittings prints the worst fitting of each rail, and the splices likewise.
func (p *printer) fittings() {
	of := "each rail"
	if len(p.r.Braces) > 0 {
		of = "each rail and of braces"
	}
	p.fittingTable("Fittings: the worst of "+of+", with what acts at the same time", "fitting", p.r.Fittings, fittingRail)
	p.fittingTable("Splices: the worst of each rail, with what acts at the same time", "splice", p.r.Splices, spliceRail)
}

func (p *printer) fittingTable(heading, what string, rows []check.FittingRow, rail func(string) string) {
	worst := selectFittings(rows, rail)
	if len(worst) == 0 {
		return
	}
	p.heading(heading)
	t := NewTable(Words(what), Words("grips\ntube"), Words("largest\nof"),
		p.measure("slip", "N"), p.measure("twist", "Nm"), p.measure("force", "N"),
		p.measure("moment", "Nm"), Words("key"))
	var loads keys
	for _, shown := range worst {
		row := shown.row
		t.Add(row.Fitting, row.Tube, strings.Join(shown.extremes, " "), p.number(row.Slip, "N"), p.number(row.Twist, "Nm"),
			p.number(row.Force, "N"), p.number(row.Moment, "Nm"), loads.of(row.Level, combined(row.Combination, row.CombinationName), row.Load))
	}
	p.table(t)
	p.keys(loads)
	p.sentence("Slip is along the gripped tube, twist about it, force across it.")
}

// ends prints the reactions of wall ends.
func (p *printer) ends() {
	if len(p.r.Ends) == 0 {
		return
	}
	p.heading("Wall ends: what each rail does to its wall, with what acts at the same time")
	t := NewTable(Words("end"), Words("rail"), Words("largest\nof"), p.measure("Fx", "N"), p.measure("Fy", "N"), p.measure("Fz", "N"),
		p.measure("Mx", "Nm"), p.measure("My", "Nm"), p.measure("Mz", "Nm"), Words("key"))
	var loads keys
	for _, shown := range merge(p.r.Ends, func(row *check.EndRow) *string { return &row.ExtremeOf }) {
		row := shown.row
		t.Add(row.End, row.Rail, strings.Join(shown.extremes, " "), p.number(row.Fx, "N"), p.number(row.Fy, "N"), p.number(row.Fz, "N"),
			p.number(row.Mx, "Nm"), p.number(row.My, "Nm"), p.number(row.Mz, "Nm"), loads.of(row.Level, combined(row.Combination, row.CombinationName), row.Load))
	}
	p.table(t)
	p.keys(loads)
}

// feet says how the feet were modelled and what the posts do to them.
func (p *printer) feet() {
	p.heading("Feet: what each post does to its foot")
	foot := p.r.Foot
	if foot.Statement != "" {
		p.item("Stiffness of each foot: " + foot.Statement + p.footStiffnesses() + ".")
	}
	if foot.Loose != "" {
		p.item("Found loose, and so in every frame: " + foot.Loose + ".")
	}
	if foot.Holds != "" {
		p.item(foot.Holds + ".")
	}
	if len(p.r.BaseActions) == 0 {
		return
	}
	p.item("X runs along, Y to the left, Z up; positive Fz is uplift. The six act at the same time.")
	p.footPosts()
	rows, twins, isFolded := p.r.BaseActions, [][2]int(nil), true
	if len(postsOf(rows)) <= 2*mostRows { // twins halve them at most
		rows, twins = p.withoutTwins(rows)
		isFolded = len(postsOf(rows)) > mostRows
	}
	if isFolded {
		rows, twins = worstBaseActions(p.r.BaseActions), nil
	}
	for _, twin := range twins {
		p.item(fmt.Sprintf("Post %d does to its foot what post %d does, mirrored: Fx, My and Mz have the other sign, and the loads stand towards the other end of the run.", twin[1], twin[0]))
	}
	var loads keys
	for _, level := range levels(rows) {
		p.line("")
		p.lead(strings.ToUpper(level[:1]) + level[1:] + " actions:")
		p.baseTable(rows, level, &loads)
	}
	if isFolded {
		p.sentence(fmt.Sprintf("Of %d posts the one with the largest of each"+everyRow, len(postsOf(p.r.BaseActions))))
	}
	p.keys(loads)
	p.bolts()
}

// bolts prints what each bolt of a foot carries where one of them is pulled most. Only the
// places that bolts differ by are told.
func (p *printer) bolts() {
	if len(p.r.Bolts) == 0 {
		return
	}
	first := p.r.Bolts[0]
	p.line("")
	p.lead(fmt.Sprintf("Bolts of post %d, under the load that pulls one of them most:", first.Post))
	var told []boltPlace
	columns := []Column{Numbers("bolt"), Words("place")}
	for _, place := range [...]boltPlace{
		{"outward", func(b *check.BoltRow) float64 { return b.Outward }},
		{"along", func(b *check.BoltRow) float64 { return b.Along }},
		{"up", func(b *check.BoltRow) float64 { return b.Up }},
	} {
		if slices.ContainsFunc(p.r.Bolts, func(b check.BoltRow) bool { return place.of(&b) != 0 }) {
			told, columns = append(told, place), append(columns, p.measure(place.name, "mm"))
		}
	}
	t := NewTable(append(columns, p.measure("tension", "N"), p.measure("shear", "N"))...)
	bearings := false
	for i := range p.r.Bolts {
		b := &p.r.Bolts[i]
		place := b.Place
		if place == check.OnFlange {
			place, bearings = "bearing "+quantity.Fix(b.Bearing, 0)+" deg", true
		}
		cells := []string{strconv.Itoa(b.Bolt), place}
		for _, at := range told {
			const m = 1e3 // mm
			cells = append(cells, p.number(at.of(b)*m, "mm"))
		}
		t.Add(append(cells, p.number(b.Tension, "N"), p.number(b.Shear, "N"))...)
	}
	p.table(t)
	p.words("  ", "    ", first.Load)
	if bearings {
		p.sentence("A bearing is turned from outward, 0 deg, towards the end of the run.")
	}
}

// boltPlace is one of the coordinates of a bolt.
type boltPlace struct {
	name string
	of   func(*check.BoltRow) float64 // m
}

// footPosts says which posts are listed where not all are.
func (p *printer) footPosts() {
	if len(postsOf(p.r.BaseActions)) >= len(p.r.Posts) {
		return
	}
	also := ""
	if len(p.r.Legs) > 1 {
		also += ", those at corners"
	}
	if len(p.r.Gaps) > 0 {
		also += ", those beside gaps"
	}
	if len(p.r.Braces) > 0 {
		also += ", the braced one whose foot is pulled or pressed most"
	}
	p.item("Listed are the first and the last post" + also + ", and those with the largest base moment and, where feet are lifted, uplift and downward force; --all-base-actions lists every post.")
}

// postsOf returns the posts whose base actions are listed.
func postsOf(rows []check.BaseAction) map[int]bool {
	listed := map[int]bool{}
	for i := range rows {
		listed[rows[i].Post] = true
	}
	return listed
}

// worstBaseActions keeps, of each extreme and level, the row in which it is largest.
func worstBaseActions(rows []check.BaseAction) []check.BaseAction {
	type group struct{ extreme, level string }
	worst := make(map[group]int)
	for i := range rows {
		g := group{rows[i].ExtremeOf, rows[i].Level}
		if best, ok := worst[g]; !ok || extremeOfBase(&rows[i]) > extremeOfBase(&rows[best]) {
			worst[g] = i
		}
	}
	var kept []check.BaseAction
	for i := range rows {
		if worst[group{rows[i].ExtremeOf, rows[i].Level}] == i {
			kept = append(kept, rows[i])
		}
	}
	return kept
}

// extremeOfBase returns the component that a row makes extreme, the larger the worse.
func extremeOfBase(row *check.BaseAction) float64 {
	switch row.ExtremeOf {
	case "Mx+":
		return row.Mx
	case "Mx-":
		return -row.Mx
	case "My+":
		return row.My
	case "My-":
		return -row.My
	case "M":
		return math.Hypot(row.Mx, row.My)
	case "V":
		return math.Hypot(row.Fx, row.Fy)
	case "Fz+":
		return row.Fz
	case "Fz-":
		return -row.Fz
	}
	return math.Abs(row.Mz)
}

// baseTable prints the base actions of one level: design, characteristic or equilibrium.
func (p *printer) baseTable(rows []check.BaseAction, level string, loads *keys) {
	t := NewTable(Numbers("post"), Words("largest\nof"), p.measure("Fx", "N"), p.measure("Fy", "N"),
		p.measure("Fz", "N"), p.measure("Mx", "Nm"), p.measure("My", "Nm"),
		p.measure("Mz", "Nm"), Words("key"))
	for _, shown := range selectBaseActions(rows, level) {
		row := shown.row
		t.Add(strconv.Itoa(row.Post), strings.Join(shown.extremes, " "), p.number(row.Fx, "N"), p.number(row.Fy, "N"), p.number(row.Fz, "N"),
			p.number(row.Mx, "Nm"), p.number(row.My, "Nm"), p.number(row.Mz, "Nm"), loads.of(row.Level, combined(row.Combination, row.CombinationName), row.Load))
	}
	p.table(t)
}

// footStiffnesses adds the values to the statement, which says rigid itself.
func (p *printer) footStiffnesses() string {
	var each []string
	for _, k := range p.r.Foot.Stiffness {
		if k == nil {
			each = append(each, "rigid")
		} else {
			each = append(each, p.value(*k, "Nm/rad"))
		}
	}
	if len(each) == 0 || len(each) == 1 && p.r.Foot.Stiffness[0] == nil {
		return ""
	}
	return ": " + strings.Join(each, " and ")
}

// keys numbers the loads of a table, so that each is told once below it, with its combination at
// each level.
type keys struct {
	entries []keyed
}

// keyed is a load with its combinations.
type keyed struct {
	load         string
	levels       []string
	combinations []string // of each level
}

// of returns the key of a load in its combination at a level.
func (k *keys) of(level, combination, load string) string {
	for i := range k.entries {
		e := &k.entries[i]
		if e.load != load {
			continue
		}
		at := slices.Index(e.levels, level)
		if at < 0 {
			e.levels, e.combinations = append(e.levels, level), append(e.combinations, combination)
			at = len(e.levels) - 1
		}
		if e.combinations[at] == combination {
			return strconv.Itoa(i + 1)
		}
	}
	k.entries = append(k.entries, keyed{load, []string{level}, []string{combination}})
	return strconv.Itoa(len(k.entries))
}

// text tells the load after its combinations, each with its level where the table has several.
func (e *keyed) text(several bool) string {
	var each []string
	for i, combination := range e.combinations {
		if several {
			combination = e.levels[i] + " " + combination
		}
		each = append(each, combination)
	}
	return strings.Join(each, ", ") + ": " + e.load
}

func (p *printer) keys(k keys) {
	p.sentence("keys of the combinations and loads")
	several := slices.ContainsFunc(k.entries, func(e keyed) bool { return e.levels[0] != k.entries[0].levels[0] || len(e.levels) > 1 })
	for i := range k.entries {
		p.words(fmt.Sprintf("  %4d  ", i+1), "        ", k.entries[i].text(several))
	}
}
