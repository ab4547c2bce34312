package analysis

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// State is what acts at one section of a member, concurrently: the section
// forces on the +x face in local axes, and the movements in the run's axes.
type State struct {
	N      float64 // axial, tension positive, N
	Vy, Vz float64 // shear, N
	T      float64 // torsion, N·m
	My, Mz float64 // bending moments, N·m

	Along, Across, Vertical float64 // movements along X, Y, Z, m
	Span                    float64 // movement across from the chord of the bay, m; rails only
}

// Moment returns the resultant bending moment, N·m.
func (s *State) Moment() float64 { return math.Hypot(s.My, s.Mz) }

// Shear returns the resultant shear, N.
func (s *State) Shear() float64 { return math.Hypot(s.Vy, s.Vz) }

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
// actions, unfactored variable actions alone (movements), and the actions under
// which first yield is judged.
const (
	Strength Level = iota
	Characteristic
	Service
	FirstYield
)

// Combination is one permanent factor with one variable action and its factor.
type Combination struct {
	Level     Level
	Permanent float64
	Variable  float64 // 0: permanent actions alone
	Symbol    string
}

// String returns the combination as "1.35 G + 1.75 Fu".
func (c Combination) String() string {
	if c.Variable == 0 {
		return fmt.Sprintf("%.2f G", c.Permanent)
	}
	if c.Level == Service {
		return fmt.Sprintf("%.2f %s", c.Variable, c.Symbol)
	}
	return loads.Expression(c.Permanent, c.Variable, c.Symbol)
}

// LimitState returns ULS or SLS.
func (c Combination) LimitState() string {
	if c.Level == Strength {
		return "ULS"
	}
	return "SLS"
}

// Placement is where one variable action stands. The zero Placement has no
// action: permanent actions alone.
type Placement struct {
	Action  *Action
	Stretch int             // of the action's chain, for a point
	X       float64         // m, for a point
	Value   float64         // N at the point, or N/m over the lengths
	Lengths []solver.Length // for a line
	Whole   bool            // a line over the whole run
	Way     [3]float64      // it points, over the action's directions
}

// Force returns the load as a vector in the run's axes: N, or N/m.
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

// String returns the load in words: "point 0.450 kN outward on top rail at
// x = 9.000 m".
func (p *Placement) String() string {
	if p.Action == nil {
		return "permanent actions alone"
	}
	a := p.Action
	var b strings.Builder
	if a.Point {
		fmt.Fprintf(&b, "point %s kN %s %s at x = %s m", quantity.Fix(p.Value/1e3, 3), a.directionWord(p.Way), a.Where, quantity.Fix(p.X, 3))
		return b.String()
	}
	fmt.Fprintf(&b, "line %s kN/m %s %s", quantity.Fix(p.Value/1e3, 3), a.directionWord(p.Way), a.Where)
	if p.Whole {
		b.WriteString(" over the whole run")
		return b.String()
	}
	for i, l := range p.Lengths {
		join := ", "
		if i == 0 {
			join = " over x = "
		}
		fmt.Fprintf(&b, "%s%s to %s m", join, quantity.Fix(l.From, 3), quantity.Fix(l.To, 3))
	}
	return b.String()
}

// Placed is the largest value of a measure: the state that gives it, where, and
// under what.
type Placed struct {
	Value       float64
	State       State
	Combination Combination
	Placement   Placement
	Probe       *Probe
	Station     float64 // m along the probe's member
	After       bool    // the section lies just after a load that stands at it
	floored     bool    // Value holds: a placed load's, or a floor below which nothing interests
}

// Found reports whether the search saw any state at all.
func (p *Placed) Found() bool { return p.Probe != nil }

// Measure is what a search maximises.
type Measure struct {
	Of func(*State) float64
	// Bound is at least Of for every state whose components are no larger in
	// magnitude than those given. Nil: Of itself has that property.
	Bound func(*State) float64
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

// Beats reports whether v is above the best by more than a tie; everything
// finite beats minus infinity.
func Beats(v, best float64) bool {
	return math.IsInf(best, -1) && v > best || v > best+tie*math.Abs(best)
}

// better reports whether v beats the best so far.
func (p *Placed) better(v float64) bool { return !p.floored || Beats(v, p.Value) }
