package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/solver"
)

// What a diagram is under: the load of the check that governs all, strength or movement.
const (
	UnderOverall    = "overall"
	UnderStrength   = "strength"
	UnderDeflection = "deflection"
)

// The quantities of diagrams. Moments are signed by the side in tension, movements by where
// they go.
const (
	MomentResultant = "resultant moment"
	MomentAcross    = "moment across"   // about the plumb axis of a rail, about the run of a post: positive with tension on the walking side
	MomentUp        = "moment up"       // of a rail, about outward: positive with tension below
	MomentAlong     = "moment along"    // of a post, about outward: positive with tension towards the start
	MovementAcross  = "movement across" // to the left
	MovementOut     = "movement outward"
	MovementAlong   = "movement along" // towards the end
	MovementUp      = "movement up"
	InfluenceOn     = "influence"
)

// mostTraced is how many bays at most are traced whole; of a longer run those nearTraced to
// either side of the section and of the load.
const (
	mostTraced = 24
	nearTraced = 5
)

// diagrams fills, for the governing strength check, moment and movement along the post with the
// largest base moment and along each rail, then signed moments of every post and rail; for the
// governing movement the movements of every post and rail; for what governs all its influence
// line. Of a long run they tell the bays about the section alone.
func (c *run) diagrams() {
	c.out.Diagrams = nil
	strength := c.governing(c.out.Governing.Strength)
	if strength == nil {
		return
	}
	c.resultants(strength)
	c.traced(strength, UnderStrength, c.moments)
	moving := c.governing(c.out.Governing.Deflection)
	if moving == nil {
		moving = strength
	}
	c.traced(moving, UnderDeflection, c.movements)
	if overall := c.governing(c.out.Governing.Overall); overall != nil {
		c.influenceLine(overall)
	}
}

// governing returns the finding of a check that is named. Where a test piece has it, or no check
// is named, it is the largest of strength that the barrier itself has.
func (c *run) governing(ref CheckRef) (best *finding) {
	for i := range c.worst.findings {
		f := &c.worst.findings[i]
		if f.id == ref.ID && f.element == ref.Element && (best == nil || best.worse(f)) {
			best = f
		}
	}
	if best != nil || ref.ID == "" {
		return best
	}
	for i := range c.worst.findings {
		if f := &c.worst.findings[i]; f.limit == nil && f.placed.Found() && (best == nil || best.worse(f)) {
			best = f
		}
	}
	return best
}

// resultants are moment and movement along the post with the largest base moment and along each
// rail.
func (c *run) resultants(f *finding) {
	a := f.model.analysis
	post := largestPost(c.worst.posts, baseMoment)
	bays := c.near(f)
	names, elements := []string{postName(post)}, []*analysis.Element{a.Post(post)}
	for r := range c.d.Rails {
		names, elements = append(names, "rail "+c.d.Rails[r].Name), append(elements, a.Rail(r).Bays(bays))
	}
	for i, trace := range a.Traces(&f.placed, elements...) {
		c.diagram(f, UnderStrength, names[i], MomentResultant, "Nm", trace, (*analysis.State).Moment)
		c.diagram(f, UnderStrength, names[i], MovementAcross, "mm", trace, func(s *analysis.State) float64 { return s.Across * f.model.soft.factor() * 1e3 })
	}
}

// traced traces every rail and every post under the load of a finding.
func (c *run) traced(f *finding, under string, tell func(f *finding, under, element string, post bool, trace []analysis.TracePoint)) {
	a := f.model.analysis
	bays := c.near(f)
	var names []string
	var elements []*analysis.Element
	for r := range c.d.Rails {
		names, elements = append(names, "rail "+c.d.Rails[r].Name), append(elements, a.Rail(r).Bays(bays))
	}
	for p := range c.d.Run.Posts {
		if support := c.d.Run.PostSupport(p); bays(support) || bays(support-1) {
			names, elements = append(names, postName(p)), append(elements, a.Post(p))
		}
	}
	for i, trace := range a.Traces(&f.placed, elements...) {
		if len(trace) > 0 {
			tell(f, under, names[i], i >= len(c.d.Rails), trace)
		}
	}
}

// moments tells the signed bending moments of a post or a rail. Local axes of a rail run along it,
// to its left and up, of a post up, to its left and towards the start.
func (c *run) moments(f *finding, under, element string, post bool, trace []analysis.TracePoint) {
	outward := c.d.Run.Hazard.Outward()
	c.diagram(f, under, element, MomentAcross, "Nm", trace, func(s *analysis.State) float64 { return outward * s.Mz })
	if post {
		c.diagram(f, under, element, MomentAlong, "Nm", trace, func(s *analysis.State) float64 { return s.My })
		return
	}
	c.diagram(f, under, element, MomentUp, "Nm", trace, func(s *analysis.State) float64 { return -s.My })
}

// movements tells where the sections of a post or a rail move.
func (c *run) movements(f *finding, under, element string, _ bool, trace []analysis.TracePoint) {
	outward, soft := c.d.Run.Hazard.Outward(), f.model.soft.factor()*1e3
	c.diagram(f, under, element, MovementOut, "mm", trace, func(s *analysis.State) float64 { return outward * s.Across * soft })
	c.diagram(f, under, element, MovementAlong, "mm", trace, func(s *analysis.State) float64 { return s.Along * soft })
	c.diagram(f, under, element, MovementUp, "mm", trace, func(s *analysis.State) float64 { return s.Vertical * soft })
}

// diagram adds one quantity along one element.
func (c *run) diagram(f *finding, under, element, quantity, unit string, trace []analysis.TracePoint, of func(*analysis.State) float64) {
	d := Diagram{Element: element, Quantity: quantity, Unit: unit, Under: under, Check: f.ref(), Combination: f.placed.Combination.String(), Load: f.placed.LoadIn(c.o.Units), Note: f.orderNote()}
	for _, t := range trace {
		d.Stations, d.Values = append(d.Stations, t.At), append(d.Values, of(&t.State))
	}
	withoutRounding(d.Values)
	c.out.Diagrams = append(c.out.Diagrams, d)
}

// withoutRounding writes what is below 1e-9 of the largest of some values as 0.
func withoutRounding(values []float64) {
	largest := 0.0
	for _, v := range values {
		largest = math.Max(largest, math.Abs(v))
	}
	for i, v := range values {
		if math.Abs(v) < 1e-9*largest {
			values[i] = 0
		}
	}
}

// ref names a finding.
func (f *finding) ref() CheckRef { return CheckRef{f.id, f.element, bounded(f.placed.Value)} }

// orderNote says what second order does beside what a diagram shows, which is first order.
func (f *finding) orderNote() string {
	if factor := f.secondOrderFactor(); factor > 1.0005 && !math.IsInf(factor, 1) {
		return fmt.Sprintf("First order; for second order the check raises it by up to %.3f.", factor)
	}
	return ""
}

// near returns which bays are traced for a finding, from 0; -1 is the overhang at the start.
func (c *run) near(f *finding) func(bay int) bool {
	n := len(c.supports) - 1
	if n <= mostTraced {
		return func(int) bool { return true }
	}
	at := c.bayAt(c.sectionX(f))
	low, high := at-nearTraced, at+nearTraced
	if low < 0 {
		low, high = -1, 2*nearTraced
	} else if high > n-1 {
		low, high = n-1-2*nearTraced, n
	}
	return func(bay int) bool { return bay >= low && bay <= high }
}

// sectionX is where along the run the section of a finding is, m.
func (c *run) sectionX(f *finding) float64 {
	q := f.placed.Probe
	switch {
	case q.Post >= 0 && q.Post < len(c.d.Run.Posts):
		return c.d.Run.Posts[q.Post]
	case q.Brace >= 0:
		return c.d.Run.Posts[c.d.Braces[q.Brace].Post]
	}
	return q.From + f.placed.Station
}

// bayAt is the bay in which x lies, from 0.
func (c *run) bayAt(x float64) int {
	i, _ := slices.BinarySearch(c.supports, x+1e-9)
	return min(max(i-1, 0), len(c.supports)-2)
}

// response is a size that is linear in the loads.
type response struct {
	words, unit string
	scale       float64 // from SI to unit
	of          func(*analysis.State) float64
}

// responseOf is the response that a check is about, linear about its governing state: the moment
// of a post or a rail in the direction in which it governs, its shear likewise, its torsion, a
// movement; of a foot the moment of its post; of any other check its utilisation, by its slope
// there.
func (c *run) responseOf(f *finding) response {
	at := f.placed.State
	kind := f.id
	if member, rest, ok := strings.Cut(f.id, "-"); ok && (member == "post" || member == "rail") {
		kind = rest
	}
	outward := c.d.Run.Hazard.Outward()
	along := func(a, b float64, of func(*analysis.State) (float64, float64)) func(*analysis.State) float64 {
		size := math.Hypot(a, b)
		return func(s *analysis.State) float64 {
			p, q := of(s)
			return (p*a + q*b) / size
		}
	}
	section := f.element
	if where := c.where(&f.placed); where != "" {
		section += ", " + where
	}
	switch {
	case kind == "span-deflection":
		return response{"movement outward from the chord of its bay of " + section, "mm/N", 1e3, func(s *analysis.State) float64 { return outward * s.Span }}
	case kind == "vertical-deflection":
		return response{"movement up of " + section, "mm/N", 1e3, func(s *analysis.State) float64 { return s.Vertical }}
	case kind == "deflection":
		return response{"movement outward of " + section, "mm/N", 1e3, func(s *analysis.State) float64 { return outward * s.Across }}
	case kind == "torsion":
		return response{"torsion of " + section, "Nm/N", 1, func(s *analysis.State) float64 { return s.T }}
	case kind == "shear" && at.Shear() > 0:
		return response{"shear of " + section + ", in its own direction", "N/N", 1, along(at.Vy, at.Vz, func(s *analysis.State) (float64, float64) { return s.Vy, s.Vz })}
	case (kind != f.id || f.footing != nil) && at.Moment() > 0:
		words := "bending moment of " + section + ", in its own direction"
		if f.footing != nil {
			words = "bending moment at the foot of " + postName(f.placed.Probe.Post) + ", in its own direction"
		}
		return response{words, "Nm/N", 1, along(at.My, at.Mz, func(s *analysis.State) (float64, float64) { return s.My, s.Mz })}
	}
	return response{"utilisation of " + f.id + " of " + f.element + ", by its slope under the governing load", "1/N", 1, f.slope()}
}

// slope is the utilisation of a finding as far as it is linear about its governing state: the
// sum of what each component adds, for each unit of it.
func (f *finding) slope() func(*analysis.State) float64 {
	of := func(s *analysis.State) [6]*float64 { return [6]*float64{&s.N, &s.Vy, &s.Vz, &s.T, &s.My, &s.Mz} }
	at := f.placed.State
	largest := 0.0
	for _, v := range of(&at) {
		largest = math.Max(largest, math.Abs(*v))
	}
	var slopes [6]float64
	step := 1e-5 * largest
	for k := range slopes {
		up, down := at, at
		*of(&up)[k] += step
		*of(&down)[k] -= step
		if rise := f.judge(&up, nil) - f.judge(&down, nil); step > 0 && !math.IsNaN(rise) && !math.IsInf(rise, 0) {
			slopes[k] = rise / (2 * step)
		}
	}
	return func(s *analysis.State) (sum float64) {
		for k, v := range of(s) {
			sum += slopes[k] * *v
		}
		return sum
	}
}

// influenceLine adds what a load of 1 N does to what governs as it moves along the rails: the
// governing one, or where that stands on a post or everywhere the first that moves along the
// highest rail it finds.
func (c *run) influenceLine(f *finding) {
	of, way := f.placed.Placement.Action, f.placed.Placement.Way
	if of == nil || of.Field != nil || of.Posts {
		i := slices.IndexFunc(c.actions, func(a *analysis.Action) bool { return a.Field == nil && !a.Posts && len(a.Rails) > 0 })
		if i < 0 {
			return
		}
		of = c.actions[i]
		way = of.FirstWay()
	}
	within := c.nearLength(f)
	const parts = 12
	r := c.responseOf(f)
	d := Diagram{
		Quantity: InfluenceOn, Unit: r.unit, Under: UnderOverall, Check: f.ref(), Response: r.words,
		Load: "1 N " + of.Toward(way) + " " + of.Where, Note: f.orderNote(),
	}
	for _, share := range of.Rails {
		d.Element = strings.TrimPrefix(d.Element+" and rail "+c.d.Rails[share.Rail].Name, " and ")
	}
	soft := 1.0
	if f.limit != nil {
		soft = f.model.soft.factor()
	}
	for _, t := range f.model.analysis.InfluenceLine(&f.placed, of, way, within, parts) {
		d.Stations, d.Values = append(d.Stations, t.At), append(d.Values, r.of(&t.State)*r.scale*soft)
	}
	if n := len(d.Stations); n > 0 { // what lies beyond where a load is felt
		if d.Stations[0] > within.From {
			d.Stations, d.Values = slices.Insert(d.Stations, 0, within.From), slices.Insert(d.Values, 0, 0)
		}
		if d.Stations[len(d.Stations)-1] < within.To {
			d.Stations, d.Values = append(d.Stations, within.To), append(d.Values, 0)
		}
	}
	withoutRounding(d.Values)
	if !slices.ContainsFunc(d.Values, func(v float64) bool { return cmp.Compare(v, 0) != 0 }) {
		return
	}
	c.out.Diagrams = append(c.out.Diagrams, d)
}

// nearLength is the length of the rails that is traced for a finding.
func (c *run) nearLength(f *finding) solver.Length {
	from, to := c.d.Run.RailEnds()
	n := len(c.supports) - 1
	if n <= mostTraced {
		return solver.Length{From: from, To: to}
	}
	bays := c.near(f)
	within := solver.Length{From: math.Inf(1), To: math.Inf(-1)}
	for i := range n {
		if bays(i) {
			within.From, within.To = math.Min(within.From, c.supports[i]), math.Max(within.To, c.supports[i+1])
		}
	}
	if bays(-1) {
		within.From = from
	}
	if bays(n) {
		within.To = to
	}
	return within
}
