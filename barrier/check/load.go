package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// LoadRow is one load that a schedule asks for, or one of the user's own, as it is taken on
// this barrier. The value is unfactored.
type LoadRow struct {
	Load       string   `json:"load"` // the entry of the list that it is of
	Name       string   `json:"name"`
	Kind       string   `json:"kind"`            // line, point, point-per-spacing, area, wind-pressure, wind, ice, temperature
	Value      *float64 `json:"value"`           // in Unit, of a wind its velocity pressure where that is given; null for a load that is found in steps of its own
	Unit       string   `json:"unit"`            // N/m, N, N/m2
	Direction  string   `json:"direction"`       // empty for ice and temperature
	Stands     string   `json:"stands"`          // on which parts; empty where it stands nowhere
	Height     *float64 `json:"height_m"`        // above the walking surface, where it has one height
	Factor     *float64 `json:"strength_factor"` // factor for strength, a plain number
	Stage      string   `json:"stage"`           // characteristic, nominal, service, ultimate
	Standard   string   `json:"standard"`
	Edition    string   `json:"edition"`
	Clause     string   `json:"clause"`
	Provenance string   `json:"provenance"` // public, memory, derived, common-practice; "the user's" of an own load
	Note       string   `json:"note,omitempty"`
}

// loadRows fills the loads as they are taken.
func (c *run) loadRows() {
	for i := range c.d.Loads {
		l := &c.d.Loads[i]
		if l.Schedule == nil {
			c.out.Loads = append(c.out.Loads, c.ownRow(i, l))
			continue
		}
		for k := range l.Schedule.Actions {
			c.out.Loads = append(c.out.Loads, c.scheduleRow(i, l, &l.Schedule.Actions[k]))
		}
	}
}

// actionsBy returns the actions of an entry of the list, or of one of the actions of its
// schedule.
func (c *run) actionsBy(load int, of *loads.Action) []*analysis.Action {
	return slices.DeleteFunc(slices.Clone(c.actions), func(a *analysis.Action) bool {
		return a.Load != load || of != nil && !isCalled(a, of.Name)
	})
}

// valueUnits are the units of the values of loads, by their kind.
var valueUnits = map[string]string{
	"line": "N/m", "point": "N", "point-per-spacing": "N/m", "area": "N/m2", "wind-pressure": "N/m2",
}

func (c *run) scheduleRow(i int, l *barrier.Load, a *loads.Action) LoadRow {
	s, found := l.Schedule, c.actionsBy(i, a)
	row := LoadRow{
		Load: l.Name, Name: a.Name, Kind: string(a.Kind), Value: &a.Value, Unit: valueUnits[string(a.Kind)], Direction: a.Direction,
		Stands: c.stands(found), Factor: c.factorOf(found), Stage: s.Stage, Standard: cmp.Or(a.Standard, s.Standard), Edition: cmp.Or(a.Edition, s.Edition),
		Clause: cmp.Or(a.Clause, s.Clause), Provenance: a.Provenance,
	}
	row.Note = c.loadNote(l, found, a)
	if a.Target == loads.Top && len(found) > 0 {
		if weakest := analysis.Weakest(a.Provenance, a.Height.Provenance); weakest != a.Provenance {
			row.Note = join(heightWords(weakest), row.Note)
		}
		z := a.Height.At(c.d.Rails[c.d.Highest()].Height, c.d.TopOfRail())
		row.Height = &z
	}
	return row
}

// heightWords says that the rule for the height of a load is known less well than its value.
func heightWords(provenance string) string {
	if provenance == "memory" {
		return "the rule for its height is from memory"
	}
	return "the rule for its height is " + provenance
}

func (c *run) ownRow(i int, l *barrier.Load) LoadRow {
	o, found := l.Own, c.actionsBy(i, nil)
	row := LoadRow{
		Load: l.Name, Name: l.Name, Kind: string(o.Kind), Unit: valueUnits[string(o.Kind)], Direction: directionWords(o.Direction),
		Stands: c.stands(found), Factor: c.factorOf(found), Stage: "characteristic", Provenance: usersOwn,
	}
	if c.d.Basis != loads.BasisEN {
		row.Stage = "nominal"
	}
	switch o.Kind {
	case barrier.OwnLine, barrier.OwnPoint:
		z := c.d.Rails[o.Rail].Height
		if o.Height != nil {
			z = *o.Height
		}
		row.Value, row.Height = &o.Value, &z
	case barrier.OwnArea:
		row.Value = &o.Value
	case barrier.OwnWind:
		switch {
		case o.Wind == nil:
		case o.Wind.Route == loads.WindPressureGiven:
			row.Value, row.Unit = &o.Wind.Pressure, "N/m2"
		default:
			row.Standard = string(o.Wind.Route)
		}
	case barrier.OwnTemperature, barrier.OwnIce:
		row.Direction = ""
	}
	row.Note = c.loadNote(l, found, nil)
	if slices.ContainsFunc(found, func(a *analysis.Action) bool { return a.At != nil }) {
		row.Note = join("stands nowhere else", row.Note)
	}
	return row
}

// loadWords names a load, whose own name may begin with that word.
func loadWords(name string) string {
	if strings.HasPrefix(name, "load ") {
		return name
	}
	return "load " + name
}

// stands says on which parts the actions of a load stand.
func (c *run) stands(found []*analysis.Action) string {
	var parts []string
	for _, a := range found {
		where := strings.TrimPrefix(a.Where, "on ")
		switch {
		case a.At != nil:
			where += " at x = " + c.place(*a.At)
		case a.Field != nil:
			where = "everything at once"
		case a.Posts && where == "":
			where = "every post"
		}
		if !slices.Contains(parts, where) {
			parts = append(parts, where)
		}
	}
	return strings.Join(parts, ", ")
}

// factorOf returns the factor for strength on a load that acts alone, nil where it has no one:
// where it stands nowhere, acts as an accidental one, or in combinations with factors of their
// own.
func (c *run) factorOf(found []*analysis.Action) *float64 {
	several := c.combos.Rule() == loads.Rule610ab || c.d.Combine.Only
	if several || len(found) == 0 || found[0].Accidental {
		return nil
	}
	a := found[0]
	if a.Strength != 0 {
		return &a.Strength
	}
	mixes := c.combos.Mixes(loads.Strength, []loads.Variable{{Category: a.Category}})
	if len(mixes) == 0 || slices.ContainsFunc(mixes, func(m loads.Mix) bool { return m.Factors[0] != mixes[0].Factors[0] }) {
		return nil
	}
	return &mixes[0].Factors[0]
}

// directionWords tells a direction of the user's own.
func directionWords(d barrier.Direction) string {
	if d.Word != "" {
		return d.Word
	}
	const degree = math.Pi / 180
	return fmt.Sprintf("azimuth %s deg, elevation %s deg", quantity.Fix(d.Azimuth/degree, 1), quantity.Fix(d.Elevation/degree, 1))
}

// loadNote says what else must be known of a load: why it stands nowhere, what acts with it,
// and what was known of it beside its value.
func (c *run) loadNote(l *barrier.Load, found []*analysis.Action, a *loads.Action) string {
	note := ""
	if len(found) == 0 {
		note = c.whyNowhere(a)
	}
	if a != nil {
		if a.Accidental {
			note = join(note, "accidental")
		}
		if a.Alone {
			note = join(note, "its standard has it act alone")
		}
		if len(a.With) > 0 {
			note = join(note, "acts with "+strings.Join(a.With, ", ")+" of the same schedule")
		}
	}
	if l.Mixed {
		note = join(note, "mixed in as a nominal imposed load of the basis")
	}
	var with []string
	for _, other := range l.With {
		with = append(with, c.d.Loads[other].Name)
	}
	if len(with) > 0 && (a == nil || !a.Alone) {
		note = join(note, "acts alone, and with "+strings.Join(with, ", "))
	}
	if a != nil {
		note = join(note, a.Note)
	}
	return strings.TrimSuffix(strings.TrimPrefix(note, "; "), "; ")
}

// whyNowhere says why a load stands nowhere on this barrier.
func (c *run) whyNowhere(a *loads.Action) string {
	switch {
	case a == nil:
		return notPlaced
	case a.Target == loads.InfillArea && !c.d.Infill.Stands():
		return "not applicable: the barrier has no infill"
	case a.Target == loads.ToeBoard:
		return "on the toe board, which is no part of the frame"
	case a.Target == loads.Intermediate && len(c.d.Rails) == 1:
		return "not applicable: the barrier has no intermediate rail"
	}
	return notPlaced
}

// notPlaced is the note of a load that was not placed though it is asked for.
const notPlaced = "not placed: it is not checked"

// openLoads lists the loads that were not placed.
func (c *run) openLoads() {
	for i := range c.out.Loads {
		row := &c.out.Loads[i]
		if !strings.HasPrefix(row.Note, notPlaced) {
			continue
		}
		it := Item{Kind: OpenLoad, Item: loadWords(row.Load), Reason: "this program did not place it: nothing is checked under it"}
		if row.Name != row.Load {
			it.Item += " " + row.Name
		}
		if row.Value != nil {
			it.Demand, it.Unit = *row.Value, row.Unit
		}
		c.open(it)
	}
}
