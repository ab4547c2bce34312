package report

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// Trails: the working of a check as a numbered table of steps.

// Explained is one check to explain: its place in the checks and the trails of a result.
type Explained struct {
	At  int    // index into Result.Checks and Result.Trails
	Why string // why it is told, empty for what was asked by name: "governs overall"
}

// Explanation writes the trails of some checks of a result in plain text under its cautions:
// of each check the load, the steps, and demand over resistance. The result must have been
// made with trails.
func Explanation(w io.Writer, r *check.Result, checks []Explained, notes []string, o TextOptions) error {
	p := &printer{r: r, units: o.Units}
	p.topCautions()
	p.headline()
	for _, e := range checks {
		p.trail(&r.Checks[e.At], &r.Trails[e.At], e.Why)
	}
	for _, note := range notes {
		p.line("")
		p.sentence(note)
	}
	return p.writeText(w)
}

// explanation is the JSON of Explanation.
type explanation struct {
	Schema   int             `json:"schema"`
	Title    string          `json:"title"`
	Basis    string          `json:"basis"`
	Age      *check.Age      `json:"age,omitempty"`
	Status   check.Status    `json:"status"`
	Cautions []check.Caution `json:"cautions"`
	Checks   []explained     `json:"checks"`
	Notes    []string        `json:"notes"`
}

type explained struct {
	Why   string         `json:"why,omitempty"`
	Check check.CheckRow `json:"check"`
	Trail check.Trail    `json:"trail"`
}

// ExplanationJSON writes the same as one JSON document: each check as in JSON, with its trail.
func ExplanationJSON(w io.Writer, r *check.Result, checks []Explained, notes []string) error {
	out := explanation{Schema: r.Schema, Title: r.Title, Basis: r.Basis, Status: r.Status, Age: r.Age, Cautions: r.Cautions, Notes: notes}
	for _, e := range checks {
		out.Checks = append(out.Checks, explained{e.Why, r.Checks[e.At], r.Trails[e.At]})
	}
	return writeJSON(w, out)
}

// trails prints the trails of the checks above; they stand in the order of the checks.
func (p *printer) trails() {
	if len(p.r.Trails) == 0 {
		return
	}
	printed := 0
	worst := selectChecks(p.r).worst
	for i := range p.r.Trails {
		if slices.Contains(worst, p.r.Checks[i]) {
			p.trail(&p.r.Checks[i], &p.r.Trails[i], "")
			printed++
		}
	}
	if more := len(p.r.Trails) - printed; more > 0 {
		p.line("")
		p.sentence(fmt.Sprintf("%d more trails are in the JSON.", more))
	}
}

// trail prints one trail: under what load, the steps, the verdict.
func (p *printer) trail(row *check.CheckRow, trail *check.Trail, why string) {
	p.heading("Trail of " + trail.ID + ", " + trail.Element + labelled("; ", why))
	p.words("  ", "    ", joined("; ", row.LimitState+" "+combined(row.Combination, row.CombinationName), row.Section))
	p.words("  ", "    ", row.Load)
	if row.SecondOrder != "" {
		p.words("  ", "    ", row.SecondOrder)
	}
	t := NewTable(Numbers(""), Words("sought"), Words("symbol"), Numbers("value"), unnamed("unit"), Words("known by"))
	units := p.trailUnits()
	room := roomForSought(trail, units)
	for i := range trail.Steps {
		step := &trail.Steps[i]
		value, unit := stepIn(units, step.Value, step.Unit)
		what := wrap(step.What, room)
		t.Add(strconv.Itoa(i+1), what[0], step.Symbol, trimmed(value), unit, knownBy(step))
		t.Note(strings.Join(what[1:], " "))
		t.Note(stepNotes(step, units)...)
	}
	p.table(t)
	if note := unitsNote(trail, units); note != "" {
		p.sentence(note)
	}
	p.sentence(joined("; ", p.division(*row), verdictOn(row)))
}

// roomForSought is how wide the words of what is sought may be beside the other columns of a
// trail; the rest goes below.
func roomForSought(trail *check.Trail, units quantity.System) int {
	widest := [...]int{len("symbol"), len("value"), 0, len("known by")}
	for i := range trail.Steps {
		step := &trail.Steps[i]
		value, unit := stepIn(units, step.Value, step.Unit)
		for k, text := range [...]string{step.Symbol, trimmed(value), unit, knownBy(step)} {
			widest[k] = max(widest[k], widthOf(text))
		}
	}
	const between, indent = 2, 2
	room := width - indent - len(strconv.Itoa(len(trail.Steps)))
	for _, w := range widest {
		room -= between + w
	}
	return max(room-between, least)
}

// least is how many columns of words there are at least.
const least = 24

// verdictOn tells the verdict of a check where it is no pass.
func verdictOn(row *check.CheckRow) string {
	if row.Status == check.Pass {
		return ""
	}
	return statusWord(row.Status)
}

// trailUnits are the units of the steps: those of the reader, but where the formulas of the
// code hold in N and mm alone.
func (p *printer) trailUnits() quantity.System {
	if !strings.HasPrefix(p.r.Basis, "AISC") {
		return quantity.Metric
	}
	return p.units
}

// knownBy says how a step is known: a force of the section by the frame, or its provenance.
func knownBy(s *check.Step) string {
	if s.Clause == check.FromFrame {
		return "the frame"
	}
	return s.Provenance
}

// stepNotes are the lines below a step: the formula, the same with the values put in, and its
// clause, on one line where they fit.
func stepNotes(s *check.Step, units quantity.System) []string {
	put := labelled("= ", putIn(s, units))
	clause := s.Clause
	if clause == check.FromFrame {
		clause = ""
	}
	const room = width - 10
	formula := joined(" ", s.Formula, put)
	all := joined("; ", formula, clause)
	switch {
	case widthOf(all) <= room:
		return []string{all}
	case widthOf(formula) <= room:
		return []string{formula, clause}
	}
	return []string{s.Formula, put, clause}
}

// putIn is the formula of a step with its values put in, "" where it has none.
func putIn(s *check.Step, units quantity.System) string {
	if len(s.Values) == 0 {
		return ""
	}
	return s.PutIn(func(v check.StepValue) string {
		value, _ := stepIn(units, v.Value, v.Unit)
		return trimmed(value)
	})
}

// unitsNote says how the units of a trail's formulas that mix them are brought to those of the
// section, "" where none does.
func unitsNote(trail *check.Trail, units quantity.System) string {
	var mixed []string
	for i := range trail.Steps {
		s := &trail.Steps[i]
		if s.Formula == "" {
			continue
		}
		of := []string{s.Unit}
		for _, v := range s.Values {
			of = append(of, v.Unit)
		}
		of = slices.DeleteFunc(of, func(unit string) bool { return unit == "1" })
		slices.Sort(of)
		if of = slices.Compact(of); len(of) > 1 {
			mixed = append(mixed, of...)
		}
	}
	has := func(names ...string) bool {
		return slices.ContainsFunc(names, func(unit string) bool { return slices.Contains(mixed, unit) })
	}
	var out []string
	if units == quantity.US {
		switch {
		case has("Nm", "Nm/rad"):
			out = append(out, "1 lbf-ft = 0.012 kip-in", "1 kip-ft = 12 kip-in", "1 lbf = 0.001 kip")
		case has("N") && has("MPa", "kPa", "N/mm"):
			out = append(out, "1 lbf = 0.001 kip")
		}
		if has("kPa", "kPa/m") {
			out = append(out, "1 psf = 1/144000 ksi", "1 psf/ft = 1/1728000 kip/in³")
		}
		return inUnits("kip and in", out)
	}
	if has("Nm", "Nm/rad") {
		out = append(out, "1 Nm = 1000 N mm")
	}
	if has("kPa", "kPa/m") {
		out = append(out, "1 kPa = 0.001 MPa", "1 kPa/m = 0.000001 N/mm³")
	}
	return inUnits("N and mm", out)
}

// inUnits names the units in which formulas hold, with how others come to them; "" for none.
func inUnits(names string, others []string) string {
	if len(others) == 0 {
		return ""
	}
	return "In " + names + ": " + strings.Join(others, ", ") + "."
}

// trimmed prints a value with up to six significant digits.
func trimmed(v float64) string {
	text := significant(v)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
