package check

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// report fills the result from what the models found.
func (c *run) report() {
	c.thrusts()
	c.baseActions()
	c.restLines() // what follows searches a few places at most
	c.checkRows()
	c.pathRows()
	c.elementRows()
	c.jointRows()
	c.boltRows()
	c.braceRows()
	c.wallEnds()
	c.handChecks()
	c.frequency()
	c.geometry()
	c.loadRows()
	c.natureRows()
	c.expansion()
	c.openEnds()
	c.loadPath()
	c.foot()
	c.modelRows()
	c.proposals()
	c.verdict()
	c.survey()
	c.words()
	if c.o.Diagrams {
		c.shape()
		c.diagrams()
	}
}

// foot fills the stiffness of the feet.
func (c *run) foot() {
	f := &c.out.Foot
	for _, k := range c.d.Post.Base.Stiffness {
		f.Stiffness = append(f.Stiffness, bounded(k))
	}
	f.LeastStiffness = c.least
	f.Loose = c.looseFeet()
	switch {
	case len(c.d.Post.Base.Stiffness) == 0:
		f.Statement = "not given"
	case math.IsInf(c.d.Post.Base.Stiffness[0], 1):
		f.Statement = "rigid, as stated"
	case c.d.Post.Base.FromFixing:
		f.Statement = "found from the fixing, that of its bolts alone"
	case len(c.d.Post.Base.Stiffness) == 2:
		f.Statement = "a range, both ends run"
	default:
		f.Statement = "as given"
	}
	if c.least != nil {
		f.Holds = fmt.Sprintf("Every limit of movement across is met if each %s is at least %s", c.eachFoot(), stiffness(*c.least, c.o.Units))
		if c.tooLong {
			f.Holds += " by the bound of second order in each movement; a run of the frame, for which the barrier is too long, may ask for more"
		}
		if c.leaning {
			f.Holds += "; softer ones meet them in first order, and lean so far that second order has to be looked at"
		}
		if unknownSplices(c.d) {
			f.Holds += " in the frames that count; splices, which are not given, may ask for more"
		}
	}
}

// footSentence says how stiff the feet must be for the limits of movement.
func (c *run) footSentence() string {
	switch {
	case c.piece != nil && c.piece.beyond:
		return "deflection does not hold even on rigid feet"
	case c.least != nil:
		return fmt.Sprintf("deflection holds if each %s is stiffer than %s", c.eachFoot(), stiffness(*c.least, c.o.Units))
	case c.beyond:
		return "deflection does not hold even on rigid feet"
	}
	return ""
}

// stiffness prints a rotational stiffness with its unit, rounded up at the third
// figure.
func stiffness(k float64, units quantity.System) string {
	unit := quantity.Display(quantity.RotationalStiffness, units).Name
	v := quantity.In(k, unit)
	if !(v > 0) {
		return "0 " + unit
	}
	step := math.Pow(10, math.Floor(math.Log10(v))-2)
	v = math.Ceil(v/step-1e-9) * step
	return quantity.Fix(v, max(0, 2-int(math.Floor(math.Log10(v*(1+1e-12)))))) + " " + unit
}

func (c *run) modelRows() {
	row := func(m *model, stands bool) {
		c.out.Models = append(c.out.Models, Model{
			Joint: layoutWords(&m.layout, c.o.Units), Splices: m.layout.Splices, FootStiffness: bounded(m.layout.FootStiffness),
			LargestUtilisation: bounded(m.largest()), Stands: stands,
		})
	}
	for _, m := range c.models {
		row(m, true)
	}
	for _, m := range c.shown() {
		row(m, false)
	}
}

func (c *run) proposals() {
	if c.offered == nil {
		return
	}
	for i := range c.d.Rails {
		if c.d.Rails[i].SpliceState != barrier.SplicesUnknown {
			continue
		}
		x := c.offered.layout.Rails[i].Splices
		c.out.Proposal = append(c.out.Proposal, SpliceProposal{
			Rail: c.d.Rails[i].Name, Splices: x, TOML: c.splicesInTOML(x), LargestUtilisation: bounded(c.offered.largest()),
		})
	}
}

// splicesInTOML writes splice positions as the file takes them, a few to a line where
// they are many.
func (c *run) splicesInTOML(positions []float64) string {
	const toALine = 4
	var lines []string
	for some := range slices.Chunk(positions, toALine) {
		var quoted []string
		for _, x := range some {
			text := quantity.Format(x, quantity.Length, quantity.Metric)
			if c.o.Units == quantity.US {
				text = quantity.FeetAndInches(x)
			}
			quoted = append(quoted, strconv.Quote(text))
		}
		lines = append(lines, strings.Join(quoted, ", "))
	}
	if len(lines) == 1 {
		return "splices = [" + lines[0] + "]"
	}
	return "splices = [\n  " + strings.Join(lines, ",\n  ") + ",\n]"
}

// verdict settles the status and the headline.
func (c *run) verdict() {
	failed := c.status()
	switch c.out.Status {
	case Fail:
		c.out.Headline = "fails: " + c.firstFailures(failed)
		if len(c.out.Unchecked) > 0 {
			c.out.Headline += "; not checked: " + strings.Join(c.uncheckedKinds(), ", ")
		}
	case Incomplete:
		c.out.Headline = c.passedSoFar() + "; not checked: " + strings.Join(c.uncheckedKinds(), ", ")
	default:
		c.out.Headline = c.passedSoFar()
	}
	for i, p := range c.out.Proposal {
		if u := p.LargestUtilisation; i == 0 && (u == nil || *u > 1) {
			c.out.Headline += "; fails with the splices that are proposed"
		}
	}
	if left := c.leftOutWords(); left != "" {
		c.out.Headline += "; left out by the user: " + left
	}
	if s := c.footSentence(); s != "" && (len(c.d.Post.Base.Stiffness) == 0) {
		c.out.Headline += "; " + s
	}
}

// status settles the status, and returns what fails.
func (c *run) status() (failed []string) {
	for i := range c.out.Checks {
		if r := &c.out.Checks[i]; r.Status == Fail {
			failed = append(failed, r.ID+" of "+r.Element)
		}
	}
	for i := range c.out.Geometry {
		if g := &c.out.Geometry[i]; g.Status == Fail {
			failed = append(failed, "geometry: "+g.Rule)
			if c.out.Governing.Geometry == "" {
				c.out.Governing.Geometry = g.Rule
			}
		}
	}
	l := &c.d.LeaveOut
	c.out.ScopeComplete = !l.Fitting && !l.Base && !l.Geometry
	switch {
	case len(failed) > 0:
		c.out.Status = Fail
	case len(c.out.Unchecked) > 0:
		c.out.Status = Incomplete
	default:
		c.out.Status = Pass
	}
	return failed
}

// firstFailures names the governing failure and counts the others.
func (c *run) firstFailures(failed []string) string {
	first := failed[0]
	if u := c.out.Governing.Overall.Utilisation; u == nil || *u > 1 {
		first = c.out.Governing.Overall.ID + " of " + c.out.Governing.Overall.Element
	}
	switch n := len(failed) - 1; n {
	case 0:
		return first
	case 1:
		return first + " and 1 more"
	default:
		return fmt.Sprintf("%s and %d more", first, n)
	}
}

// passedSoFar says what did pass.
func (c *run) passedSoFar() string {
	parts := []string{"members"}
	if c.hasOpen(OpenSecondOrder) {
		parts[0] = "members but for stability"
	}
	if c.limits.any() && c.out.Governing.Deflection.ID != "" && !c.hasOpen(OpenDeflection, OpenTotalMovement) {
		parts = append(parts, "deflection")
	}
	if c.fittingsComplete() {
		parts = append(parts, "fittings")
	}
	if c.feetComplete() {
		parts = append(parts, "feet")
	}
	undecided := func(g GeometryRow) bool { return g.Status == Unchecked }
	if len(c.out.Geometry) > 0 && !c.d.LeaveOut.Geometry && !slices.ContainsFunc(c.out.Geometry, undecided) {
		parts = append(parts, "geometry")
	}
	if c.hasOpen(OpenSplicePlaces) {
		return strings.Join(parts, ", ") + " pass in the frames that were run"
	}
	return strings.Join(parts, ", ") + " pass"
}

// uncheckedKinds names the unchecked items by kind, each once.
func (c *run) uncheckedKinds() []string {
	var out []string
	for _, it := range c.out.Unchecked {
		if kind := it.Kind.String(); !slices.Contains(out, kind) {
			out = append(out, kind)
		}
	}
	return out
}

func (c *run) leftOutWords() string {
	var out []string
	for _, l := range []struct {
		left bool
		name string
	}{{c.d.LeaveOut.Fitting, "fittings and splices"}, {c.d.LeaveOut.Base, "socket, foot and ground"}, {c.d.LeaveOut.Geometry, "geometry"}, {c.leavesToePlate(), "toe plate"}} {
		if l.left {
			out = append(out, l.name)
		}
	}
	return strings.Join(out, "; ")
}

// leavesToePlate reports whether a force on a toe plate is left to whoever checks the fittings.
func (c *run) leavesToePlate() bool {
	return slices.ContainsFunc(c.out.LeftOut, func(it Item) bool { return it.Kind == OpenToePlate })
}

// words fills what is said: cautions, assumptions, inputs and sources.
func (c *run) words() {
	c.sources()
	c.cautions()
	c.assumptions()
	for _, in := range c.d.Inputs {
		c.out.Inputs = append(c.out.Inputs, Input{in.Path, in.Text, in.Line})
	}
}
