package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// FromFrame is the clause of a step whose value the run of the frame gives, under the load of
// the trail.
const FromFrame = "the frame, under this load"

// derived is the provenance of geometry and statics.
const derived = "derived"

// trail makes the trail of a finding from what its check noted: first the forces of the state
// that is judged, as far as a formula asks for them; the values put into each formula; how
// each step is known.
func (c *run) trail(f *finding, row *CheckRow, noted []Step) Trail {
	noted = c.withWall(f, c.withCritical(f, noted))
	steps := slices.Concat(usedBy(noted, c.forcesOf(f)), noted)
	putIn(steps)
	for i := range steps {
		steps[i].Provenance = c.knownBy(f, &steps[i])
	}
	return Trail{ID: f.id, Element: f.element, LimitState: row.LimitState, Combination: row.Combination, Load: row.Load, Section: row.Section, Steps: steps}
}

// forcesOf are the steps of the forces that a finding is judged for: those of the section, or
// what a post does to its foot.
func (c *run) forcesOf(f *finding) []Step {
	given := func(what, symbol string, value float64, unit string) Step {
		return Step{What: what, Symbol: symbol, Value: value, Unit: unit, Clause: FromFrame}
	}
	placed := f.placed.State
	if f.bent != nil {
		placed = f.bent.state
	}
	s := f.raise.of(&placed)
	if f.joint != nil {
		along, left, up := "along the run", "to its left", "up"
		if f.joint.tube != "" {
			along, left, up = "along the "+f.joint.tube, "to its left", "square to both"
		}
		return []Step{
			given("force of the joint "+along, "N", s.N, "N"), given("force of the joint "+left, "Vy", s.Vy, "N"), given("force of the joint "+up, "Vz", s.Vz, "N"),
			given("moment of the joint about the axis of N", "T", s.T, "Nm"),
			given("moment of the joint about the axis of Vy", "My", s.My, "Nm"), given("moment of the joint about the axis of Vz", "Mz", s.Mz, "Nm"),
		}
	}
	if f.footing == nil {
		return []Step{
			given("axial force, tension positive", "N", s.N, "N"),
			given("shear along y of the section", "Vy", s.Vy, "N"), given("shear along z of the section", "Vz", s.Vz, "N"),
			given("torque", "T", s.T, "Nm"),
			given("moment about y of the section", "My", s.My, "Nm"), given("moment about z of the section", "Mz", s.Mz, "Nm"),
		}
	}
	k, moment := 1.0, ""
	if f.bent == nil {
		if k = printedAmplification(f.model.tubes.of(true, f.member), &placed); k > 1 {
			moment = ", with second order"
		}
	}
	a := footActions(&s, k)
	return []Step{
		given("force on the foot along the run", "Fx", a.Fx, "N"), given("force on the foot across the run", "Fy", a.Fy, "N"), given("force on the foot, up positive", "Fz", a.Fz, "N"),
		given("moment on the foot about the run"+moment, "Mx", a.Mx, "Nm"), given("moment on the foot about the axis across"+moment, "My", a.My, "Nm"), given("twist of the foot", "Mz", a.Mz, "Nm"),
	}
}

// usedBy returns those of the given steps whose symbols stand in a formula before a step of
// that name.
func usedBy(steps, given []Step) []Step {
	var symbols []string
	for i := range given {
		symbols = append(symbols, given[i].Symbol)
	}
	var told []string
	used := map[string]bool{}
	for i := range steps {
		for _, p := range partsOf(steps[i].Formula, slices.Concat(symbols, told)) {
			if p.symbol && !slices.Contains(told, p.text) {
				used[p.text] = true
			}
		}
		told = append(told, steps[i].Symbol)
	}
	return slices.DeleteFunc(slices.Clone(given), func(s Step) bool { return !used[s.Symbol] })
}

// putIn fills the values of each formula: of every symbol in it that is one of an earlier
// step, the last of that name.
func putIn(steps []Step) {
	var symbols []string
	for i := range steps {
		s := &steps[i]
		for _, p := range partsOf(s.Formula, symbols) {
			if !p.symbol || slices.ContainsFunc(s.Values, func(v StepValue) bool { return v.Symbol == p.text }) {
				continue
			}
			of := &steps[lastOf(symbols, p.text)]
			s.Values = append(s.Values, StepValue{Symbol: of.Symbol, Value: of.Value, Unit: of.Unit})
		}
		symbols = append(symbols, s.Symbol)
	}
}

// lastOf returns the index of the last element that is a text.
func lastOf(all []string, text string) int {
	for i := len(all) - 1; i >= 0; i-- {
		if all[i] == text {
			return i
		}
	}
	return -1
}

// knownBy returns the provenance of a step: of the clause of its formula, of the row of the
// tables that gives it, or the user's.
func (c *run) knownBy(f *finding, s *Step) string {
	row, listed := clauseOf(s.Clause)
	switch {
	case s.Provenance != "":
		return s.Provenance
	case s.Clause == "" && s.Formula != "", s.Clause == FromFrame:
		return derived
	case s.Clause == "" && isOfForces(s.Unit):
		return "" // what is worked out has its formula, what the user gives its provenance
	case s.Clause == "" && c.isTube(f):
		return givenBy(c.memberOf(f), s)
	case s.Clause == "" && f.footing != nil && s.Symbol == "D":
		return givenBy(c.d.PostMember(f.member), s)
	case s.Clause == "":
		return usersOwn
	case f.limit != nil && s.Clause == f.limit.clause:
		return f.limit.provenance
	case f.by != nil && s.Clause == f.by.gamma.clause && f.by.gamma.provenance != "":
		return f.by.gamma.provenance
	case listed:
		return row.provenance
	case f.footing != nil:
		return f.footing.provenance
	}
	return ""
}

// isOfForces reports whether a unit is that of a force, of a moment, or of what a section is
// worked out to, which no step has by itself.
func isOfForces(unit string) bool {
	return slices.Contains([]string{"N", "Nm", "mm²", "mm³", "mm⁴"}, unit)
}

// isTube reports whether a finding is about a tube and not what joins or holds it.
func (c *run) isTube(f *finding) bool {
	kind, _, _ := strings.Cut(f.id, "-")
	return kind == "post" || kind == "rail" || kind == "brace"
}

// givenBy returns the provenance of a size of a tube, or of a stress of its grade.
func givenBy(m *barrier.Member, s *Step) string {
	switch {
	case s.Unit == "mm" && slices.Contains([]string{"d", "D", "do", "t", "tnom"}, s.Symbol):
		return cmp.Or(m.Tube.Provenance, usersOwn)
	case s.Unit == "MPa":
		return cmp.Or(m.Grade.Provenance, usersOwn)
	}
	return usersOwn
}

// withWall says how the wall in use comes from the nominal one, where it is another.
func (c *run) withWall(f *finding, steps []Step) []Step {
	if !c.isTube(f) {
		return steps
	}
	if wall, od, ok := c.readingsOf(f); ok {
		return withReadings(steps, wall, od)
	}
	m := c.memberOf(f)
	if m.Wear != nil {
		return c.withWear(m, steps)
	}
	nominal, wall := m.Tube.Wall*1e3, m.Ring.Wall*1e3
	at := slices.IndexFunc(steps, func(s Step) bool { return s.Symbol == "t" && s.Formula == "" })
	if at < 0 || nominal == 0 || math.Abs(nominal-wall) < 1e-9 {
		return steps
	}
	out := slices.Clone(steps)
	if math.Abs(wall-designPart*nominal) > 1e-9 {
		out[at].What = "wall in use, " + string(c.d.WallBasis)
		return out
	}
	out[at].What, out[at].Formula = "design wall", "0.93 tnom"
	return slices.Insert(out, at, Step{What: "nominal wall", Symbol: "tnom", Value: nominal, Unit: "mm"})
}

// designPart is the part of the nominal wall that AISC 360-22 B4.2 counts on.
const designPart = 0.93

// criticalSymbols are those of the elastic critical force of a member in the codes.
var criticalSymbols = []string{"Ncr", "Pe", "Nom", "Ce"}

// withCritical says how the elastic critical force of a member comes about, where a trail has
// it as given: of a post as a cantilever on the rotational stiffness of its foot, of a brace
// between its ends. That of a rail is the least of many bays, and stays given.
func (c *run) withCritical(f *finding, steps []Step) []Step {
	at := slices.IndexFunc(steps, func(s Step) bool { return slices.Contains(criticalSymbols, s.Symbol) && s.Formula == "" })
	if at < 0 {
		return steps
	}
	if strings.HasPrefix(f.id, "rail-") {
		out := slices.Clone(steps)
		out[at].What, out[at].Clause = "elastic critical force, a lower bound of any bay", railClause
		return out
	}
	m := c.memberOf(f)
	r := &Recorder{Steps: slices.Clone(steps[:at])}
	od := "d"
	for _, symbol := range []string{"D", "do"} {
		if slices.ContainsFunc(steps, func(s Step) bool { return s.Symbol == symbol && s.Unit == "mm" }) {
			od = symbol
		}
	}
	earlier := func(s Step) { // unless it stands; where a later step tells it, in its words
		same := func(e Step) bool { return e.Symbol == s.Symbol && e.Unit == s.Unit }
		if slices.ContainsFunc(r.Steps, same) {
			return
		}
		if at := slices.IndexFunc(steps, same); at >= 0 {
			s = steps[at]
		}
		r.note(s)
	}
	thick, second := "t", "I"
	if m.Wear != nil { // its stiffness is that between fittings
		od, thick, second = "dm", "tm", "Im"
		earlier(Step{What: "outside diameter between fittings", Symbol: od, Value: m.Ring.OD * 1e3, Unit: "mm", Provenance: derived})
		earlier(Step{What: "wall that is left between fittings", Symbol: thick, Value: m.Ring.Wall * 1e3, Unit: "mm", Provenance: derived})
	} else {
		earlier(Step{What: "outside diameter", Symbol: od, Value: m.Ring.OD * 1e3, Unit: "mm"})
		earlier(Step{What: "wall in use", Symbol: thick, Value: m.Ring.Wall * 1e3, Unit: "mm"})
	}
	earlier(Step{What: "modulus of elasticity", Symbol: "E", Value: criticalStiffness(c.d, m) / m.Ring.I / 1e6, Unit: "MPa"})
	earlier(Step{What: "second moment of area", Symbol: second, Value: m.Ring.I * 1e12, Unit: "mm⁴", Formula: "π(" + od + "⁴ - (" + od + " - 2" + thick + ")⁴)/64"})
	critical := steps[at]
	critical.Formula, critical.Clause = c.recordColumn(f, r), columnClause
	if m.Wear != nil {
		critical.Formula = strings.ReplaceAll(critical.Formula, "EI", "E "+second)
	}
	r.note(critical)
	for _, s := range steps[at+1:] {
		told := func(e Step) bool {
			return e.Symbol == s.Symbol && e.Value == s.Value && e.Clause == s.Clause && e.Formula == s.Formula
		}
		again := slices.Contains(criticalSymbols, s.Symbol) && s.Formula == "" && s.Value == critical.Value
		if again || slices.Contains([]string{"E", "I"}, s.Symbol) && slices.ContainsFunc(r.Steps, told) {
			continue
		}
		r.note(s)
	}
	return r.Steps
}

// Where the critical forces come from.
const (
	columnClause = "Timoshenko and Gere, Theory of Elastic Stability, 2.1"
	railClause   = columnClause + ", 2.6, 2.10"
)

// recordColumn notes the length of a post or a brace, with what holds its foot, and returns
// the formula of its critical force.
func (c *run) recordColumn(f *finding, r *Recorder) string {
	if strings.HasPrefix(f.id, "brace-") {
		r.given("length of the brace", "L", c.d.Braces[f.member].Length()*1e3, "mm", usersOwn, "")
		return "π² EI/L²"
	}
	r.given("height of the post above its hold", "h", (c.d.Post.Height-c.d.Post.Base.Level)*1e3, "mm", usersOwn, "")
	k := c.d.FootOf(f.member, f.model.layout.FootStiffness)
	if math.IsInf(k, 1) {
		return "π² EI/(4h²)"
	}
	by := usersOwn
	if _, own := c.d.OwnFoot(f.member); !own && (len(c.d.Post.Base.Stiffness) == 0 || c.d.Post.Base.FromFixing) {
		by = derived
	}
	r.given("rotational stiffness of the foot", "kφ", k, "Nm/rad", by, "")
	return "1/(4h²/(π² EI) + h/kφ)"
}

// amplifiedBy is the formula of amplificationAt, no more than most, for a compression over the
// critical force, both in symbols, of a value of n.
func amplifiedBy(ratio string, n, most float64) string {
	formula := "1 / (1 - " + ratio + ")"
	if n < 1-1/amplifyFrom {
		formula = "1 + 0.05 ((" + ratio + ")/(1 - 1/1.01) - 0.8)"
	}
	if amplificationAt(n) > most {
		formula += fmt.Sprintf(", at most %g", most)
	}
	return formula
}

// compressed is the size of the compression of a state, N.
func compressed(s *analysis.State) float64 { return math.Max(0, -s.N) }
