package check

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// What years of weather leave of the tubes, and what of that is not judged.

// Age tells which year's walls a check is of.
type Age struct {
	Year  float64   `json:"year"` // years since the barrier was built, or surveyed
	Rate  string    `json:"rate"` // low, middle, high
	Walls []WallRow `json:"walls"`
}

// WallRow is what corrosion leaves of the tubes of one element: as new, between fittings, which its
// stiffness goes by, and at its thinnest, at the foot and at fittings, which its strength goes by.
type WallRow struct {
	Element   string  `json:"element"` // posts, post 4, rail top, brace 1
	NewOD     float64 `json:"new_od_mm"`
	NewWall   float64 `json:"new_wall_mm"`
	OD        float64 `json:"between_od_mm"`
	Wall      float64 `json:"between_wall_mm"`
	LeastOD   float64 `json:"least_od_mm"`
	LeastWall float64 `json:"least_wall_mm"`
}

// WornError is a tube whose wall, as far as corrosion has left it at a year, the code of the
// basis does not cover.
type WornError struct {
	Element string // posts, rail top, brace 1
	Age     barrier.Age
	Wall    float64 // that is left at its thinnest, m
	Err     error   // a *ClassError
}

func (e *WornError) Error() string {
	return fmt.Sprintf("%s at year %s, %s rate: the wall that is left, %s mm, is not covered by the code: %v",
		e.Element, yearWords(e.Age.Year), e.Age.Level, quantity.Fix(e.Wall*1e3, 2), e.Err)
}

func (e *WornError) Unwrap() error { return e.Err }

// Walls returns what is left of the tubes of a definition, in document order.
func Walls(d *barrier.Definition) []WallRow {
	var out []WallRow
	add := func(element string, m *barrier.Member) {
		fresh, least := m.Ring, m.Ring
		if m.Wear != nil {
			fresh, least = m.Wear.New, m.Wear.Local
		}
		out = append(out, WallRow{element, fresh.OD * 1e3, fresh.Wall * 1e3, m.Ring.OD * 1e3, m.Ring.Wall * 1e3, least.OD * 1e3, least.Wall * 1e3})
	}
	if d.PostMembers == nil {
		add("posts", &d.Post.Member)
	}
	for i := range d.PostMembers {
		add(postName(i), &d.PostMembers[i])
	}
	for i := range d.Rails {
		add("rail "+d.Rails[i].Name, &d.Rails[i].Member)
	}
	for i := range d.Braces {
		add(braceName(i), &d.Braces[i].Member)
	}
	return out
}

// yearWords writes a year: whole, or with what follows the point.
func yearWords(year float64) string {
	return strings.TrimSuffix(strings.TrimRight(quantity.Fix(year, 2), "0"), ".")
}

// age returns what the result says of the year of its walls; nil for the barrier as new.
func (c *run) age() *Age {
	if c.d.Age == nil {
		return nil
	}
	return &Age{c.d.Age.Year, c.d.Age.Level.String(), Walls(c.d)}
}

// tubeProblem tells of a tube that a code does not cover. A wall that corrosion has thinned is
// no fault of the file's: that of a tube which the code covers as new is a *WornError.
func tubeProblem(d *barrier.Definition, m *barrier.Member, length float64, path, element string, err error) error {
	_, thin := errors.AsType[*ClassError](err)
	if d.Age == nil || m.Wear == nil || !thin {
		return inputProblem(d, path, err)
	}
	fresh := *m
	fresh.Ring = m.Wear.New
	if _, err := newResistance(d, &fresh, length); err != nil {
		return inputProblem(d, path, err)
	}
	return &WornError{element, *d.Age, m.Wear.Local.Wall, err}
}

// isAged reports whether years of weather are among what a check is of.
func (c *run) isAged() bool { return c.d.Age != nil && c.d.Exposure != nil }

// sayAge says what the walls are that the check goes by.
func (c *run) sayAge() {
	if c.d.Exposure == nil {
		return
	}
	if c.d.Age == nil {
		as := "new"
		if c.d.Survey != nil && !c.d.Survey.FeetAlone {
			as = "surveyed"
		}
		c.say("The barrier is checked as " + as + ": [exposure] bears on --at-year and on stanchion life alone.")
		return
	}
	c.say(fmt.Sprintf("The walls are those that [exposure] leaves at year %s at the %s rate: strength goes by the thinnest, at the foot and at fittings, wherever it is judged; stiffness by that between fittings; own weight, heights, openings, wind and ice by the tubes as new.",
		yearWords(c.d.Age.Year), c.d.Age.Level))
	for _, note := range c.d.Exposure.Notes {
		c.say(note)
	}
}

// openCorrosion lists what of corrosion nothing judges.
func (c *run) openCorrosion() {
	if !c.isAged() {
		return
	}
	e, fitting, base := c.d.Exposure, c.d.LeaveOut.Fitting, c.d.LeaveOut.Base
	open := func(left bool, item, reason string) {
		c.openUnless(left, Item{Kind: OpenCorrosion, Item: "corrosion: " + item, Reason: reason, Unit: "1"})
	}
	if e.AtFoot == nil {
		open(false, "crevice and ground line not covered", "at_foot is not given, so that nothing says how much more is lost where a post leaves what holds it")
	}
	if e.AtFitting == nil {
		open(false, "tubes under fittings not covered", "at_fitting is not given, so that nothing says how much more is lost in the crevice under a fitting")
	}
	var pitted []string
	for _, m := range c.d.Uncovered() {
		pitted = append(pitted, m.Element)
	}
	if len(pitted) > 0 {
		open(false, "pitting of "+strings.Join(pitted, ", "), "aluminium and stainless steel are attacked in pits and crevices and not evenly: no wall is taken off them, and no rate says how deep a pit goes")
	}
	open(fitting, "set screws and castings", "what years leave of them and of their grip is no part of the method")
	if len(c.d.Post.Base.Bolts()) > 0 {
		open(base, "flange, bolts and anchors", "what years leave of them is no part of the method")
	}
	if c.d.Infill.Stands() {
		open(false, "infill and what holds it", "what years leave of it is no part of the method")
	}
}

// wornCautions are what years of weather leave to be said first.
func (c *run) wornCautions() []string {
	if !c.isAged() {
		return nil
	}
	out := append(slices.Clone(c.d.Exposure.Cautions), "No year that follows from rates of corrosion is a promise: measure the walls that are left before relying on one.")
	thinnest := slices.MinFunc(Walls(c.d), func(a, b WallRow) int {
		switch x, y := a.LeastWall/a.NewWall, b.LeastWall/b.NewWall; {
		case x < y*(1-1e-9):
			return -1
		case x > y*(1+1e-9):
			return 1
		}
		return 0
	})
	if c.hasTested() && thinnest.LeastWall < thinnest.NewWall*(1-1e-9) {
		out = append(out, quantity.Say("Tested values of fittings and sockets hold for the wall that was tested; %s is left of %s (%s).",
			quantity.Size(thinnest.LeastWall/1e3), quantity.Size(thinnest.NewWall/1e3), thinnest.Element).In(c.o.Units))
	}
	return out
}

// hasTested reports whether tested values of fittings, splices or sockets are given.
func (c *run) hasTested() bool {
	return c.d.Fitting.Values != "" || c.d.Fitting.Corner.Values != "" || c.d.Fitting.Brace.Values != "" ||
		!c.d.LeaveOut.Base && c.d.Post.Base.Socket.Values != "" ||
		slices.ContainsFunc(c.d.Rails, func(r barrier.Rail) bool { return r.SpliceValues != "" })
}

// withWear says how the wall of a worn tube comes from that as new.
func (c *run) withWear(m *barrier.Member, steps []Step) []Step {
	at := slices.IndexFunc(steps, func(s Step) bool { return s.Symbol == "t" && s.Formula == "" })
	if at < 0 {
		return steps
	}
	lost := (m.Wear.New.Wall - m.Wear.Local.Wall) * 1e3
	if lost == 0 {
		return steps
	}
	when := ""
	if c.d.Survey != nil {
		when = "before the survey and "
	}
	if c.d.Age != nil {
		when += fmt.Sprintf("by year %s, %s rate", yearWords(c.d.Age.Year), c.d.Age.Level)
	}
	what := "lost of both surfaces "
	if c.d.Exposure != nil && c.d.Exposure.WallBasis == sections.MinimumWall {
		what = "the tolerance, and what is lost of both surfaces "
	}
	out := slices.Clone(steps)
	for i := range out {
		if out[i].Formula == "" && math.Abs(out[i].Value-m.Wear.Local.OD*1e3) < 1e-9 && out[i].Unit == "mm" {
			out[i].What, out[i].Provenance = "outside diameter that is left", derived
		}
	}
	out[at].What, out[at].Formula, out[at].Provenance = "wall that is left at its thinnest", "tnew - tlost", derived
	return slices.Insert(out, at,
		Step{What: "wall as new", Symbol: "tnew", Value: m.Wear.New.Wall * 1e3, Unit: "mm", Provenance: givenBy(m, &Step{Symbol: "t", Unit: "mm"})},
		Step{What: what + when, Symbol: "tlost", Value: lost, Unit: "mm", Provenance: derived})
}
