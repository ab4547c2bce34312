package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// asked is one thing that a joint must carry, and the value by which it resists that.
type asked struct {
	kind   string // slip, twist, force, moment ...: the end of the id of its check
	what   string // in words: "force along the rail in the fitting"
	symbol string // of it in a sum: "Fs"
	unit   string // N, Nm
	of     func(*analysis.State) float64
	// formula is what of works out, in the forces of the joint by their symbols in a trail.
	formula string
	// most is a bound of it on states of components up to those of one; nil: of itself.
	most   func(*analysis.State) float64
	raised float64 // factor of second order on it, at most amplifyTo; 1 for none
	second float64 // what that would be without bound: above amplifyTo nothing is judged by it
	weight float64 // of it in the sum
	resisting
}

// resisting is a value by which a joint resists, as it is given.
type resisting struct {
	given  *float64 // nil: nothing is given
	values barrier.TestedAs
	factor float64 // by which it is divided
	by     string  // what gives it: "tested value", "EN 74-1 right-angle B"
	clause string
}

// Rd is the resistance, N or N·m.
func (v *resisting) Rd() float64 { return *v.given / v.factor }

// words tell what the resistance is.
func (v *resisting) words() string { return v.by + " (" + v.values + ")" }

// note writes what is given over the factor to divide it by, by a symbol without its index.
func (v *resisting) note(symbol, unit string, r *Recorder) {
	r.given(v.words(), symbol+"k", *v.given, unit, usersOwn, "")
	r.given("factor to divide it by", "γ", v.factor, "1", usersOwn, "")
	r.step("resistance", symbol+"d", v.Rd(), unit, symbol+"k / γ", "")
}

// demand returns what is asked in a state, N or N·m.
func (a *asked) demand(s *analysis.State) float64 { return a.raised * a.of(s) }

// settled returns it on a state in second order, which nothing raises further.
func (a asked) settled() asked {
	a.raised = 1
	return a
}

// bound returns its utilisation at most, on states of components up to those of one.
func (a *asked) bound(s *analysis.State) float64 {
	of := a.most
	if of == nil {
		of = a.of
	}
	return a.raised * of(s) / a.Rd()
}

// steps notes demand and resistance by their symbols.
func (a *asked) steps(s *analysis.State, r *Recorder, ed, rd, raise string) {
	if !r.keepsSteps() {
		return
	}
	by := usersOwn
	if a.clause != "" {
		by = "" // as its clause is known
	}
	if a.factor != 1 {
		given := strings.Replace(rd, "d", "k", 1)
		r.given(a.words(), given, *a.given, a.unit, by, a.clause)
		r.given("factor to divide it by", "γ", a.factor, "1", by, a.clause)
		r.step("resistance", rd, a.Rd(), a.unit, given+" / γ", a.clause)
	} else {
		r.given("resistance: "+a.words(), rd, a.Rd(), a.unit, by, a.clause)
	}
	if a.raised == 1 {
		r.step(a.what+raise, ed, a.of(s), a.unit, a.formula, "")
		return
	}
	first := ed + "1"
	r.step(a.what+raise+", first order", first, a.of(s), a.unit, a.formula, "")
	r.given("factor of second order, 1/(1 - N/Ncr) at the largest compression of its members, at most 1.1", "k", a.raised, "1", derived, FromFrame)
	r.step(a.what, ed, a.demand(s), a.unit, "k "+first, "")
}

// alone is the check of what is asked against its own resistance.
func (a asked) alone(raise string) judge {
	return func(s *analysis.State, r *Recorder) float64 {
		a.steps(s, r, "Ed", "Rd", raise)
		clause := a.clause
		if r != nil && clause == "" {
			clause = a.words()
		}
		return r.verdict(a.demand(s), a.Rd(), a.unit, clause)
	}
}

// sum is several things that are asked of a joint at once, in one check.
type sum struct {
	of      []asked
	formula string
	clause  string
}

// linear is the clause of a sum of tested values: no test of them together stands behind it.
// Source: own derivation; that it is cautious holds where what resists
// one thing does not fall faster than in proportion under another.
const linear = "linear interaction, cautious"

// linearSum adds what is asked up by utilisation.
func linearSum(of []asked) sum {
	var terms []string
	for i := range of {
		terms = append(terms, fmt.Sprintf("%sEd / %sRd", of[i].symbol, of[i].symbol))
	}
	return sum{of, strings.Join(terms, " + "), linear}
}

// judge is the check of the sum.
func (u sum) judge(raise string) judge {
	return func(s *analysis.State, r *Recorder) float64 {
		total := 0.0
		for i := range u.of {
			a := &u.of[i]
			if r.keepsSteps() {
				a.steps(s, r, a.symbol+"Ed", a.symbol+"Rd", raise)
			}
			total += a.weight * a.demand(s) / a.Rd()
		}
		r.step("all of it at once", "U", total, "1", u.formula, u.clause)
		return r.verdict(total, 1, "1", u.clause)
	}
}

// settled is the sum on a state in second order.
func (u sum) settled() sum {
	of := make([]asked, len(u.of))
	for i := range of {
		of[i] = u.of[i].settled()
	}
	u.of = of
	return u
}

// jointCheck is what a finding about a joint has beside others.
type jointCheck struct {
	tube       string    // rail, brace: in whose axes its forces are told; "" those of the run
	second     float64   // factor of second order that may be in it, without bound
	settled    judge     // the check of a state in second order
	provenance string    // of what resists, and of the sum
	near       []finding // of the same id, of other joints: nearly as bad
}

// askedOf is what is asked of one joint at one place: the checks of it alone and together.
type askedOf struct {
	prefix  string // of the ids: "fitting", "splice", "brace-grip"
	tube    string // rail, brace: in whose axes its forces are; "" those of the run
	element string
	member  int
	corner  bool
	level   analysis.Level
	asks    []asked // those with a resistance
	sum     func([]asked) sum
	by      string // provenance of the values
}

// checkJoint finds the worst of what is asked of a joint, each alone and, where two things or more
// are asked, all at once.
func (m *model) checkJoint(c *run, p *analysis.Probe, station float64, of askedOf) []finding {
	if len(of.asks) == 0 {
		return nil
	}
	q := analysis.Query{Level: of.level}
	for _, a := range of.asks {
		j := a.alone("")
		q.Measures = append(q.Measures, analysis.Measure{Of: func(s *analysis.State) float64 { return j(s, nil) }, Bound: a.bound})
	}
	all := of.sum(of.asks)
	j := all.judge("")
	q.Measures = append(q.Measures, analysis.Measure{
		Of: func(s *analysis.State) float64 { return j(s, nil) },
		Bound: func(s *analysis.State) float64 {
			total := 0.0
			for i := range all.of {
				total += all.of[i].weight * all.of[i].bound(s)
			}
			return total
		},
	})
	if m.floor > 0 {
		quick := q
		quick.Floor = m.floor
		if !slices.ContainsFunc(c.worstHeld(m, p, station, quick)[0], func(h held) bool { return h.Found() }) {
			return nil
		}
	}
	found := c.worstHeld(m, p, station, q)[0]
	var out []finding
	var kinds []string
	add := func(kind string, h *held, check func(raise string) judge, settled judge, second float64, provenance string) {
		out = append(out, finding{
			id: of.prefix + "-" + kind, element: of.element, member: of.member, corner: of.corner,
			judge: h.raise.judge(check(h.raise.words())), raise: h.raise.kept(), placed: h.Placed, model: m,
			joint: &jointCheck{tube: of.tube, second: second, settled: settled, provenance: provenance},
		})
	}
	second := 1.0
	for i := range of.asks {
		a := &of.asks[i]
		if h := &found[i]; h.Found() && h.Value*a.Rd() > nothing {
			add(a.kind, h, a.alone, a.settled().alone(""), a.second, of.by)
			second = math.Max(second, a.second)
			kinds = append(kinds, a.kind)
		}
	}
	if h := &found[len(of.asks)]; len(kinds) > 1 && h.Found() {
		add("together", h, all.judge, all.settled().judge(""), second, analysis.Weakest(of.by, "derived"))
	}
	return out
}

// nearWorst is the part of the worst of a check from which on another joint's is kept beside
// it: second order may turn their order about.
const nearWorst = 0.9

// worstByID keeps the worst finding of each id, and beside it those that are nearly as bad.
func worstByID(findings []finding, found []finding) []finding {
	for _, f := range found {
		at := slices.IndexFunc(findings, func(g finding) bool { return g.id == f.id })
		if at < 0 {
			findings = append(findings, f)
			continue
		}
		worst, other := &findings[at], f
		if worst.worse(&f) {
			other, f.joint.near = *worst, worst.joint.near
			*worst = f
		}
		worst.joint.near = append(worst.joint.near, other)
		worst.joint.near = slices.DeleteFunc(worst.joint.near, func(g finding) bool { return g.placed.Value < nearWorst*worst.placed.Value })
	}
	return findings
}

// joint judges a joint in second order, and those beside which it is the worst. One that fails
// is a failure whatever those do that cannot be run.
func (b *bender) joint(f *finding) {
	worst, unbent := *f, ""
	b.oneJoint(&worst)
	unbent = worst.unbent
	for _, other := range f.joint.near {
		if worst.bent != nil && math.IsInf(worst.placed.Value, 1) {
			break
		}
		if b.spent() {
			unbent = "the barrier is too long for a run of every check; the worst were run"
			break
		}
		b.oneJoint(&other)
		if other.bent == nil {
			unbent = other.unbent
		} else if worst.bent == nil || worst.worse(&other) {
			worst = other
		}
	}
	switch {
	case unbent == "" || worst.bent != nil && math.IsInf(worst.placed.Value, 1):
	case worst.bent != nil && worst.placed.Value > 1:
		worst.bent.words += "; a joint nearly as bad was not run: " + unbent
	default:
		worst = *f
		worst.unbent = unbent
	}
	*f = worst
}

// oneJoint judges one joint in second order: under the load that was worst by the bound, and
// under those that push along the rails from either end.
func (b *bender) oneJoint(f *finding) {
	j := f.raise.judge(f.joint.settled)
	tried := []analysis.Placed{f.placed}
	for _, p := range b.model.analysis.Thrusts(f.placed.Combination.Level) {
		if f.raise.raises() && b.run.fixingOf(p.Placement.Action) != f.raise.factor {
			continue
		}
		p.Probe, p.Station, p.After = f.placed.Probe, f.placed.Station, f.placed.After
		tried = append(tried, p)
	}
	b.worstRun(f, tried, func(p *analysis.Placed) (*bent, error) {
		value, state, err := b.section(p, func(s *analysis.State) float64 { return j(s, nil) })
		if err != nil {
			return nil, err
		}
		p.Value, p.State = value, b.model.analysis.Replay(p)
		return b.compared(p.Combination.Level, state, &p.State, j), nil
	})
}
