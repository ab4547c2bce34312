package analysis

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// State is what acts at one section of a member, concurrently: the section
// forces on the +x face in local axes, and the movements in the axes of its leg.
type State struct {
	N      float64 // axial, tension positive, N
	Vy, Vz float64 // shear, N
	T      float64 // torsion, N·m
	My, Mz float64 // bending moments, N·m

	Along, Across, Vertical float64 // movements, m: along the leg in plan, towards the end; to its left; up
	Span                    float64 // movement across from the chord of the bay, m; rails only, 0 in an overhang
}

// Moment returns the resultant bending moment, N·m.
func (s *State) Moment() float64 { return resultant(s.My, s.Mz) }

// Shear returns the resultant shear, N.
func (s *State) Shear() float64 { return resultant(s.Vy, s.Vz) }

// resultant returns the size of two parts square to each other: math.Hypot's, to the last digit, without
// its call.
func resultant(a, b float64) float64 {
	more, less := math.Abs(a), math.Abs(b)
	if more < less {
		more, less = less, more
	}
	if less == 0 || math.IsInf(more, 1) {
		return more
	}
	less /= more
	return more * math.Sqrt(1+less*less)
}

// The components of a state in a row.
const (
	cN = iota
	cVy
	cVz
	cT
	cMy
	cMz
	cAlong
	cAcross
	cVertical
	cSpan
	nState
)

type components [nState]float64

func (c *components) state() State {
	return State{c[cN], c[cVy], c[cVz], c[cT], c[cMy], c[cMz], c[cAlong], c[cAcross], c[cVertical], c[cSpan]}
}

func (s *State) components() components {
	return components{s.N, s.Vy, s.Vz, s.T, s.My, s.Mz, s.Along, s.Across, s.Vertical, s.Span}
}

// Level says with which factors actions are combined.
type Level int

// The levels: design values for strength, unfactored values with the permanent
// actions, unfactored variable actions alone (movements), the actions under
// which first yield is judged, and the equilibrium of a base that stands by its weight. Where
// several variable actions act together the second to fourth take those of serviceability.
const (
	Strength Level = iota
	Characteristic
	Service
	FirstYield
	Equilibrium
	levelCount = iota
)

// Combination is one permanent factor with one variable action and its factor, and with those
// that act beside it.
type Combination struct {
	Basis           loads.Basis // whose combination it is
	Level           Level
	Permanent       float64 // factor, a plain number as the others
	PermanentSymbol string  // "G", "D"
	Variable        float64 // factor; 0: permanent actions alone
	Symbol          string  // "Q", "L"
	Beside          *Beside // the other variable actions that act with it; nil: none. One for each, so that combinations compare
	State           string  // limit state, where it is not that of the level: "accidental", "EQU"
	Name            string  // "EN 1990 6.10b", "site"; empty: that of the basis for one variable action, or none of a standard
	FactorsBy       string  // provenance of the weakest of its factors; empty: they are those that its action brings
}

// Beside are the variable actions that act with the one that a combination is placed by.
type Beside struct{ Terms []Term }

// Term is one variable action of those that act beside another, with its factor.
type Term struct {
	Action *Action
	Sense  int // of a field
	Factor float64
}

// String returns the combination as "1.35 G + 1.75 Fu", "1.35 G + 1.50 Q + 0.90 W" or
// "1.40 D"; where variable actions share a symbol, numbered as the loads are told: "1.35 G +
// 1.50 Q1 + 1.05 Q2".
func (c Combination) String() string {
	permanent := loads.Term{Factor: c.Permanent, Symbol: c.PermanentSymbol}
	switch {
	case c.Variable == 0:
		return loads.Sum(permanent)
	case c.Level == Service:
		return loads.Sum(c.variables()...)
	}
	return loads.Sum(append([]loads.Term{permanent}, c.variables()...)...)
}

// variables returns the variable actions of a combination with their factors, those that share
// a symbol numbered.
func (c Combination) variables() []loads.Term {
	terms := []loads.Term{{Factor: c.Variable, Symbol: c.Symbol}}
	if c.Beside == nil {
		return terms
	}
	for _, t := range c.Beside.Terms {
		terms = append(terms, loads.Term{Factor: t.Factor, Symbol: t.Action.Symbol})
	}
	of := map[string]int{}
	for _, t := range terms {
		of[t.Symbol]++
	}
	told := map[string]int{}
	for i := range terms {
		if t := &terms[i]; of[t.Symbol] > 1 {
			told[t.Symbol]++
			t.Symbol += strconv.Itoa(told[t.Symbol])
		}
	}
	return terms
}

// times returns the combination with every factor times another.
func (c Combination) times(factor float64) Combination {
	c.Permanent *= factor
	c.Variable *= factor
	if c.Beside != nil {
		scaled := slices.Clone(c.Beside.Terms)
		for i := range scaled {
			scaled[i].Factor *= factor
		}
		c.Beside = &Beside{scaled}
	}
	return c
}

// LimitState returns what the basis calls the state that a combination is for:
// "ULS" or "ASD" at the level of strength, "SLS" at the others, "EQU" for equilibrium and
// "accidental" where an accidental action is among them.
func (c Combination) LimitState() string {
	switch {
	case c.State != "":
		return c.State
	case c.Level == Equilibrium:
		return "EQU"
	}
	of := loads.CombinationsOf(c.Basis)
	if c.Level == Strength {
		return of.ULS.LimitState
	}
	return of.SLS.LimitState
}

// Placement is where one variable action stands. The zero Placement has no
// action: permanent actions alone.
type Placement struct {
	Action  *Action
	Stretch int             // of the action's chain, for a point
	X       float64         // m, for a point: along the run, or along the chain of an action on posts, see OnPost
	Leg     int             // from 0, for a point: that on which it stands and in whose axes it points
	Value   float64         // N at the point, or N/m over the lengths, N/m² for an area load
	Lengths []solver.Length // for a line, along the same
	Whole   bool            // a line over the whole run
	Way     [3]float64      // unit vector, over the action's directions: which way it points
	Sense   int             // of a field

	after bool // of a load beside another: the section lies just after it
}

// Force returns the load as a vector in the axes of its leg: N, or N/m.
func (p *Placement) Force() solver.Vec {
	var v solver.Vec
	for d, basis := range p.Action.basis {
		for k := range v {
			v[k] += p.Way[d] * basis[k]
		}
	}
	for k := range v {
		v[k] *= p.Value
	}
	return v
}

// In returns the load in words, in a system of units: "point 0.450 kN outward on top
// rail at x = 9.000 m", and where the definition has several loads, of which: "... (IBC
// 2021 general)".
func (p *Placement) In(units quantity.System) string {
	switch {
	case p.Action == nil:
		return "permanent actions alone"
	case p.Action.of == "":
		return p.words(units)
	}
	return p.words(units) + " (" + p.Action.of + ")"
}

// LoadIn returns the placed load and those beside it in words: "point 0.450 kN outward on top
// rail at x = 9.000 m; with wind outward on every tube".
func (p *Placed) LoadIn(units quantity.System) string {
	words := []string{p.Placement.In(units)}
	for i := range p.Beside {
		words = append(words, p.Beside[i].In(units))
	}
	return strings.Join(words, "; with ")
}

// words returns the load in words, without that of which it is.
func (p *Placement) words(units quantity.System) string {
	a := p.Action
	if a.Field != nil {
		return a.Field.Senses[p.Sense].Words(units)
	}
	return p.placed(units)
}

// placed returns a load that is placed in words.
func (p *Placement) placed(units quantity.System) string {
	a := p.Action
	if a.Posts && a.Point {
		return fmt.Sprintf("point %s %s %s", quantity.Format(p.Value, quantity.Force, units), a.directionWord(p.Way), p.onUpright(units))
	}
	if a.Point {
		return "point " + quantity.Format(p.Value, quantity.Force, units) + " " + a.directionWord(p.Way) + " " + a.Where + " at x = " + quantity.Place(p.X).In(units) + p.onLegs()
	}
	var b strings.Builder
	if a.Area {
		fmt.Fprintf(&b, "area %s %s %s", areaIn(p.Value, units), a.directionWord(p.Way), a.Where)
	} else {
		fmt.Fprintf(&b, "line %s %s %s", quantity.Format(p.Value, quantity.LineLoad, units), a.directionWord(p.Way), a.Where)
	}
	switch {
	case p.Whole:
		b.WriteString(" over the whole run")
		return b.String()
	case a.Posts:
		b.WriteString(", " + p.upUprights(units))
		return b.String()
	}
	for i, l := range p.printed() {
		join := ", "
		if i == 0 {
			join = " over x = "
		}
		from := quantity.Place(l.From).In(units)
		if units == quantity.Metric {
			from = quantity.Fix(l.From, 3)
		}
		fmt.Fprintf(&b, "%s%s to %s", join, from, quantity.Place(l.To).In(units))
	}
	b.WriteString(p.onLegs())
	return b.String()
}

// areaIn prints a load on an area.
func areaIn(v float64, units quantity.System) string {
	if units == quantity.US {
		return quantity.FormatIn(v, "lbf/ft2", 1)
	}
	return quantity.FormatIn(v, "kN/m2", 3)
}

// onLegs says on which legs a load stands where the run has several: " on leg 2".
func (p *Placement) onLegs() string {
	run := p.Action.run
	if len(run.Legs) < 2 {
		return ""
	}
	legs := []int{p.Leg + 1}
	if !p.Action.Point {
		legs = nil
		const inside = 1e-6 // m
		for _, l := range p.printed() {
			for leg := run.LegOf(l.From + inside); leg <= run.LegOf(l.To-inside); leg++ {
				if len(legs) == 0 || legs[len(legs)-1] <= leg {
					legs = append(legs, leg+1)
				}
			}
		}
	}
	return legWords(legs)
}

// legWords says on which legs something stands, given their numbers in order.
func legWords(legs []int) string {
	var b strings.Builder
	for i, leg := range legs {
		switch {
		case i == 0 && len(legs) == 1:
			b.WriteString(" on leg ")
		case i == 0:
			b.WriteString(" on legs ")
		case i == len(legs)-1:
			b.WriteString(" and ")
		default:
			b.WriteString(", ")
		}
		b.WriteString(strconv.Itoa(leg))
	}
	return b.String()
}

// printed returns the lengths of a line load that show as lengths: one that begins and
// ends at the same printed place is left out, unless there is no other.
func (p *Placement) printed() []solver.Length {
	const shown = 1e-3 // m
	kept := slices.DeleteFunc(slices.Clone(p.Lengths), func(l solver.Length) bool { return l.To-l.From < shown })
	if len(kept) == 0 {
		return p.Lengths
	}
	return kept
}

// Placed is the largest value of a measure: the state that gives it, where, and
// under what.
type Placed struct {
	Value       float64 // of the measure, in its unit
	State       State
	Combination *Combination // shared, never changed; nil where nothing was found
	Placement   Placement
	Probe       *Probe
	Station     float64     // m along the probe's member
	Beside      []Placement // of the terms of Combination.Beside, in order; a field's says its sense
	After       bool        // the section lies just after a load that stands at it
	floored     bool        // Value holds: a placed load's, or a floor below which nothing interests
	bare        bool        // the movements of State are not known yet
}

// Found reports whether the search saw any state at all.
func (p *Placed) Found() bool { return p.Probe != nil }

// Measure is what a search maximises.
type Measure struct {
	Of func(*State) float64
	// Bound is at least Of for every state whose components are no larger in
	// magnitude than those given. Nil: Of itself has that property.
	Bound func(*State) float64
	// Range is at least Of for every state whose components lie between those of two: tighter than
	// Bound for a measure that one sign alone raises. Nil: nothing but Bound is known.
	Range func(least, most *State) float64
}

func (m *Measure) bound(s *State) float64 {
	if m.Bound != nil {
		return m.Bound(s)
	}
	return m.Of(s)
}

// tie is the relative difference below which two values count as equal: the
// first in document order stands.
const tie = 1e-9

// Beats reports whether v is above the best by more than a tie, 1e-9 of it; everything
// finite beats minus infinity.
func Beats(v, best float64) bool {
	return math.IsInf(best, -1) && v > best || v > best+tie*math.Abs(best)
}

// better reports whether v beats the best so far.
func (p *Placed) better(v float64) bool { return !p.floored || Beats(v, p.Value) }

// String returns the load in words, in metric units.
func (p *Placement) String() string { return p.In(quantity.Metric) }
