package check

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// FootActions is what a post does to its foot, all at once, in the axes of the leg that ends
// there: X runs along it, Y to its left, Z up; positive Fz is uplift. Forces in N, moments in
// N·m about the point where the post is held.
type FootActions struct{ Fx, Fy, Fz, Mx, My, Mz float64 }

// Moment returns the resultant overturning moment, N·m.
func (a *FootActions) Moment() float64 { return math.Hypot(a.Mx, a.My) }

// Shear returns the resultant horizontal force, N.
func (a *FootActions) Shear() float64 { return math.Hypot(a.Fx, a.Fy) }

// The links of the load path of which a footing is a check.
const (
	socketLink = "socket"
	footLink   = "foot"
	groundLink = "ground"
)

// footing is one check of what a post does to its foot, or, where nothing says what resists,
// one demand on it.
type footing struct {
	id         string // "base-socket-moment"
	link       string // socketLink, footLink, groundLink
	level      analysis.Level
	provenance string // of its formula and of what resists: usersOwn for a tested value
	// judge returns the utilisation, without bound where nothing resists; of a demand the
	// demand itself, in unit.
	judge func(*FootActions, *Recorder) float64
	// open says why nothing judges a demand, what names it: "bolt tension". Both are empty of a check.
	open, what, unit string
}

// footings are the checks and demands of the foot of any post: its socket's, then those of its
// kind.
func (c *run) footings() []footing {
	b := &c.d.Post.Base
	if b.Kind == barrier.NoBase || c.d.LeaveOut.Base {
		return nil
	}
	out := socketFootings(&b.Socket)
	switch b.Kind {
	case barrier.FlangeBase:
		out = append(out, c.flangeFootings()...)
	case barrier.SocketBase:
		out = append(withoutSocketMoment(out), c.concreteFootings(b.Concrete)...)
	case barrier.EarthBase:
		if b.Earth.Bare || b.Earth.Concrete != nil {
			out = withoutSocketMoment(out)
		}
		out = append(out, c.earthFootings()...)
	case barrier.SideBase:
		out = append(out, c.bracketFootings()...)
	case barrier.CounterweightBase:
		out = append(out, c.counterweightFootings()...)
	}
	return out
}

// withoutSocketMoment leaves out the moment of the socket where no tested value is given: of a
// post set in concrete or in earth it is what these press back.
func withoutSocketMoment(socket []footing) []footing {
	return slices.DeleteFunc(socket, func(f footing) bool { return f.id == "base-socket-moment" && f.open != "" })
}

// levelOf returns the level at which a tested value is compared: a working value with
// unfactored actions, the others with factored ones.
func levelOf(values barrier.TestedAs) analysis.Level {
	if values == barrier.Working {
		return analysis.Characteristic
	}
	return analysis.Strength
}

// against is the check of a demand against a value that the user gives; note notes the demand,
// Ed, in the working.
func against(v resisting, unit string, of func(*FootActions) float64, note func(*FootActions, *Recorder)) func(*FootActions, *Recorder) float64 {
	resistance, clause := v.Rd(), v.words()
	return func(a *FootActions, r *Recorder) float64 {
		if r.keepsSteps() {
			note(a, r)
			v.note("R", unit, r)
		}
		return r.verdict(of(a), resistance, unit, clause)
	}
}

// testedValue is what gives the resistance of a fitting, a splice or a socket.
const testedValue = "tested value"

// socketFootings are the checks of the socket that grips the foot of a post, against tested
// values.
func socketFootings(tested *barrier.SocketTested) []footing {
	var out []footing
	for _, e := range [...]struct {
		name, unit string
		given      *float64
		of         func(*FootActions) float64
		formula    string
	}{
		{"moment", "Nm", tested.Moment, (*FootActions).Moment, "√(Mx² + My²)"},
		{"uplift", "N", tested.Uplift, func(a *FootActions) float64 { return math.Max(0, a.Fz) }, "Fz, at least 0"},
		{"twist", "Nm", tested.Twist, func(a *FootActions) float64 { return math.Abs(a.Mz) }, "|Mz|"},
	} {
		f := footing{id: "base-socket-" + e.name, link: socketLink, level: levelOf(tested.Values), provenance: usersOwn}
		if e.given == nil {
			f.open, f.what, f.unit = "no tested value given: post.base.socket_"+e.name, "socket: "+e.name, e.unit
			f.level = analysis.Strength
			f.judge = func(a *FootActions, _ *Recorder) float64 { return e.of(a) }
			out = append(out, f)
			continue
		}
		f.judge = against(resisting{given: e.given, values: tested.Values, factor: tested.ValuesFactor, by: testedValue}, e.unit, e.of, func(a *FootActions, r *Recorder) {
			r.step("demand of the post on its socket", "Ed", e.of(a), e.unit, e.formula, "")
		})
		out = append(out, f)
	}
	return out
}

// footActions returns what a post does to its foot from the state there, its moments times k.
func footActions(s *analysis.State, k float64) FootActions {
	fx, fy, fz, mx, my, mz := onFoot(s)
	return FootActions{fx, fy, fz, k * mx, k * my, mz}
}

// judgeBy returns the footing as a check of a state, with the second order of a post.
func (f *footing) judgeBy(t resistance) judge {
	return func(s *analysis.State, r *Recorder) float64 {
		a := footActions(s, printedAmplification(t, s))
		return f.judge(&a, r)
	}
}

// unbounded is a bound of any measure.
func unbounded(*analysis.State) float64 { return math.Inf(1) }

// feet searches the foot of one post.
func (m *model) feet(c *run, post int) {
	footings := c.footings()
	if c.depth == failing {
		footings = slices.DeleteFunc(footings, func(f footing) bool { return f.open != "" })
	}
	if len(footings) == 0 {
		return
	}
	var levels []analysis.Level                // that a footing asks for, a query each
	var measures []int                         // of each query
	places := make([][2]int, 0, len(footings)) // of each footing: its query and its measure there
	for i := range footings {
		q := slices.Index(levels, footings[i].level)
		if q < 0 {
			q = len(levels)
			levels, measures = append(levels, footings[i].level), append(measures, 0)
		}
		places = append(places, [2]int{q, measures[q]})
		measures[q]++
	}
	found := c.worstHeldBy(m, m.analysis.Post(post).Probes[0], 0, func(factor float64) []analysis.Query {
		t := underRaised(m.tubes.of(true, post), factor)
		queries := make([]analysis.Query, len(levels))
		for q := range levels {
			queries[q].Level, queries[q].Floor = levels[q], m.floor
		}
		for i := range footings {
			of, j := &queries[places[i][0]], footings[i].judgeBy(t)
			of.Measures = append(of.Measures, analysis.Measure{Of: func(s *analysis.State) float64 { return j(s, nil) }, Bound: unbounded})
		}
		return queries
	})
	for i := range footings {
		f, p := &footings[i], found[places[i][0]][places[i][1]]
		if !p.Found() {
			continue // below the floor
		}
		t := underRaised(m.tubes.of(true, post), p.raise.factor)
		found := finding{id: f.id, element: postName(post), member: post, footing: f, judge: p.raise.judge(f.judgeBy(t)), raise: p.raise.kept(), placed: p.Placed, model: m}
		if f.open != "" {
			m.demandsOnFeet = append(m.demandsOnFeet, found)
		} else {
			m.findings = append(m.findings, found)
		}
	}
}

// ofFoot is the check of a foot on a state that nothing amplifies further.
func (f *finding) ofFoot() judge {
	return f.raise.judge(func(s *analysis.State, r *Recorder) float64 {
		a := footActions(s, 1)
		return f.footing.judge(&a, r)
	})
}

// foot judges the foot of a post in second order under the load that was worst by the bound.
func (b *bender) foot(f *finding) {
	j := f.ofFoot()
	b.worstRun(f, []analysis.Placed{f.placed}, func(p *analysis.Placed) (*bent, error) {
		value, state, err := b.section(p, func(s *analysis.State) float64 { return j(s, nil) })
		if err != nil {
			return nil, err
		}
		p.Value = value
		return b.compared(p.Combination.Level, state, &p.State, j), nil
	})
}

// openFootings lists the largest demand of each kind on a foot that nothing resists.
func (c *run) openFootings() {
	var order []string
	worst := map[string]*finding{}
	for i := range c.worst.demandsOnFeet {
		f := &c.worst.demandsOnFeet[i]
		if worst[f.id] == nil {
			order = append(order, f.id)
		}
		if worst[f.id] == nil || worst[f.id].worse(f) {
			worst[f.id] = f
		}
	}
	for _, id := range order {
		f := worst[id]
		if f.placed.Value <= nothing {
			continue
		}
		it := largest(OpenBase, f.footing.what, f.element)
		it.Reason, it.Demand, it.Unit, it.Load = f.footing.open, f.placed.Value, f.footing.unit, c.loadWords(f)
		c.open(it)
	}
	c.openEquilibrium()
}

// footLinks are the links of the load path below the posts.
func (c *run) footLinks() []Link {
	if c.d.Post.Base.Kind == barrier.NoBase || c.d.LeaveOut.Base {
		const undescribed = "not described: post.base.kind"
		return []Link{c.baseLink(socketLink, undescribed), c.baseLink(footLink, undescribed), c.baseLink(groundLink, undescribed)}
	}
	var out []Link
	for _, name := range [...]string{socketLink, footLink, groundLink} {
		if l, ok := c.footLink(name); ok {
			out = append(out, l)
		}
	}
	hasGround := slices.ContainsFunc(out, func(l Link) bool { return l.Link == groundLink })
	if c.d.Post.Base.Kind == barrier.SocketBase && !hasGround {
		out = append(out, Link{Link: groundLink, Status: Checked, Note: fmt.Sprintf("by cover of %.1f diameters alone (common practice); what carries the concrete is not checked", enoughCover)})
	}
	return out
}

// feetComplete reports whether every demand on the feet was checked.
func (c *run) feetComplete() bool {
	return c.largestOf("base-") != nil && !c.hasOpen(OpenBase) && !c.hasUnjudged("base-")
}

// footLink is one of them; not ok where the kind of foot has none of that name.
func (c *run) footLink(name string) (Link, bool) {
	var ids []string
	open := false
	for _, f := range c.footings() {
		switch {
		case f.link != name:
			continue
		case f.open != "":
			open = open || slices.ContainsFunc(c.worst.demandsOnFeet, func(d finding) bool { return d.id == f.id && d.placed.Value > nothing })
		}
		ids = append(ids, f.id)
	}
	if len(ids) == 0 {
		return Link{}, false
	}
	ref := governing(c.out.Checks, func(r *CheckRow) bool { return governs(r) && slices.Contains(ids, r.ID) })
	l := Link{Link: name, Status: Checked, Utilisation: ref.Utilisation}
	unjudged := slices.ContainsFunc(c.out.Checks, func(r CheckRow) bool { return r.Status == Unchecked && slices.Contains(ids, r.ID) })
	switch {
	case !open && ref.ID == "" && !unjudged:
		return Link{}, false // nothing comes to it
	case open && ref.ID != "":
		l.Status, l.Note = Unchecked, "checked in part"
	case open:
		l.Status, l.Note = Unchecked, "nothing says what it resists"
	case unjudged:
		l.Status, l.Note = Unchecked, "checked but for second order"
	}
	return l, true
}
