package check

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
)

// grip is what one fitting does to one of its two tubes, read from the force it
// passes on in the run's axes.
type grip struct {
	tube  string // rail, post
	kind  string // slip, twist, force, moment
	judge judge
	// formula is what judge works out, in the forces that the fitting passes on.
	formula string
}

// id names what is asked: "rail slip".
func (g *grip) id() string { return g.tube + " " + g.kind }

// turns reports whether a twist or a moment is asked for.
func (g *grip) turns() bool { return g.kind == "twist" || g.kind == "moment" }

// nothing is the size, N or N·m, up to which a demand is none: a free fitting
// passes no twist and no moment.
const nothing = 1e-9

// grips are the demands of a fitting. Along the rail is X, along the post is Z.
var grips = [...]grip{
	{"rail", "slip", sizeAxial, "|N|"},
	{"rail", "twist", sizeTorsion, "|T|"},
	{"rail", "force", sizeShear, "√(Vy² + Vz²)"},
	{"rail", "moment", sizeMoment, "√(My² + Mz²)"},
	{"post", "slip", size(func(s *analysis.State) float64 { return s.Vz }), "|Vz|"},
	{"post", "twist", size(func(s *analysis.State) float64 { return s.Mz }), "|Mz|"},
	{"post", "force", size(func(s *analysis.State) float64 { return math.Hypot(s.N, s.Vy) }), "√(N² + Vy²)"},
	{"post", "moment", size(func(s *analysis.State) float64 { return math.Hypot(s.T, s.My) }), "√(T² + My²)"},
}

// testedOf returns the tested values of the fittings, or of those at corners.
func (c *run) testedOf(corner bool) *barrier.Tested {
	if corner {
		return &c.d.Fitting.Corner.Tested
	}
	return &c.d.Fitting.Tested
}

// tested returns the tested value of a kind of demand, N or N·m, divided by its
// factor; nil when none is given.
func (c *run) tested(corner bool, kind string) *float64 {
	f := c.testedOf(corner)
	given := givenOf(f, kind)
	if given == nil {
		return nil
	}
	v := *given / f.ValuesFactor
	return &v
}

// givenOf returns the tested value of a kind of demand as it is given, nil where none is.
func givenOf(f *barrier.Tested, kind string) *float64 {
	switch kind {
	case "slip":
		return f.SlipForce
	case "twist":
		return f.SlipMoment
	case "force":
		return f.TransverseForce
	case "moment":
		return f.MomentResistance
	}
	return nil
}

func gripUnit(kind string) string {
	if kind == "twist" || kind == "moment" {
		return "Nm"
	}
	return "N"
}

// joints finds the demands on fittings and splices, the worst of each kind on
// each tube of each rail, and checks those with a value that resists them.
func (m *model) joints(c *run) {
	for i := range m.posts {
		m.postSecond = math.Max(m.postSecond, m.posts[i].second)
	}
	if c.depth != failing {
		m.jointDemands(c)
	}
	if c.d.LeaveOut.Fitting {
		return
	}
	for rail := range c.d.Rails {
		m.checkFittings(c, rail, false)
		m.checkFittings(c, rail, true)
		var worst []finding
		for i := range m.analysis.Frame.Rails[rail].Splices {
			worst = worstByID(worst, m.checkSplice(c, rail, m.analysis.Splice(rail, i)))
		}
		m.findings = append(m.findings, worst...)
	}
}

// jointDemands finds the demands alone.
func (m *model) jointDemands(c *run) {
	m.crackedDemands(c)
	for rail := range c.d.Rails {
		m.fittings = append(m.fittings, m.demands(c, rail, false)...)
		m.corners = append(m.corners, m.demands(c, rail, true)...)
		for i := range m.analysis.Frame.Rails[rail].Splices {
			m.splice(c, rail, m.analysis.Splice(rail, i))
		}
	}
}

// asksOfFitting reports whether a demand on a fitting is told: each in a report; beside it the
// force along a tube, and what is left open.
func (c *run) asksOfFitting(corner bool, g *grip) bool {
	return c.depth == whole || g.kind == "slip" || !c.d.LeaveOut.Fitting && (c.tested(corner, g.kind) == nil || g.turns())
}

// asksOfSplice is the same of a splice.
func (c *run) asksOfSplice(rail int, g *grip) bool {
	return c.depth == whole || !c.d.LeaveOut.Fitting && (spliceGiven(&c.d.Rails[rail], g.kind) == nil || g.turns())
}

// demands returns the worst demand of each kind of one rail's fittings, those at corners or
// the others: on the rail at each end of it that a fitting grips, on the post by all that the
// fitting brings at once. There are none where no fitting is of the kind.
func (m *model) demands(c *run, rail int, corner bool) []finding {
	chosen := slices.DeleteFunc(slices.Clone(grips[:]), func(g grip) bool { return !c.asksOfFitting(corner, &g) })
	out, measures := make([]finding, len(chosen)), make([]analysis.Measure, len(chosen))
	for i := range chosen {
		measures[i] = measure(chosen[i].judge)
	}
	var queries []analysis.Query
	var room []held
	look := func(post int, tube string, p *analysis.Probe) {
		factor := m.jointFactor(rail, post)
		turning := math.Min(factor, amplifyTo) // above it nothing is judged
		queries = queries[:0]
		for i := range chosen {
			g := &chosen[i]
			if g.tube != tube {
				continue
			}
			q := analysis.Query{Level: analysis.Strength, Measures: measures[i : i+1]}
			if out[i].model != nil { // no less is told
				if q.Floor = out[i].placed.Value; g.turns() {
					q.Floor /= turning
				}
			}
			queries = append(queries, q)
		}
		found := c.heldOfEach(room, m, p, queries)
		room = found
		for i := range chosen {
			g := &chosen[i]
			if g.tube != tube {
				continue
			}
			h := &found[0]
			found = found[1:]
			if !h.Found() {
				continue
			}
			raise := h.raise.kept() // the room is used again
			f := finding{id: g.id(), member: rail, grip: g, corner: corner, judge: raise.judge(g.judge), raise: raise, placed: h.Placed, model: m, factor: factor}
			if g.turns() && turning > 1 {
				plain := f.judge
				f.judge = func(s *analysis.State, r *Recorder) float64 { return turning * plain(s, r) }
				f.placed.Value *= turning
			}
			if out[i].model == nil || out[i].worse(&f) {
				f.element = fittingName(corner, post, c.d.Rails[rail].Name)
				out[i] = f
			}
		}
	}
	any := false
	for post := range c.d.Run.Posts {
		if c.d.Run.IsCorner(post) != corner || m.hasTwin(post) {
			continue
		}
		if m.analysis.Frame.Rails[rail].Grips[post].Found == barrier.FittingMissing {
			continue
		}
		any = true
		whole, ends := m.analysis.Grip(rail, post)
		look(post, "post", whole)
		for _, p := range ends {
			look(post, "rail", p)
		}
	}
	if !any {
		return nil
	}
	return out
}

// heldOfEach returns what queries of one measure each find at a joint: in a report, which searches
// most joints for most of them, all at once and without their floors. It writes over what is done with.
func (c *run) heldOfEach(out []held, m *model, p *analysis.Probe, queries []analysis.Query) []held {
	if c.depth == whole {
		all := analysis.Query{Level: analysis.Strength}
		for _, q := range queries {
			all.Measures = append(all.Measures, q.Measures...)
		}
		queries = []analysis.Query{all}
	}
	out = out[:0]
	c.eachHeld(m, p, 0, func(float64) []analysis.Query { return queries }, func(q, i int, found []analysis.Placed, r *raise) {
		if at := q + i; at == len(out) { // one query, or one measure each
			out = append(out, held{found[i], *r})
		} else {
			out[at].take(&found[i], r)
		}
	})
	return out
}

// jointFactor returns the factor of second order on the twist and the moment that a
// fitting passes: that of its post and, where it clamps the rail's bending, of its rail, each
// at its largest compression, which is cautious. A free joint passes what statics gives it.
func (m *model) jointFactor(rail, post int) float64 {
	joint := m.layout.Joint
	if m.analysis.Definition.Run.IsCorner(post) {
		joint = m.layout.Corner
	}
	if joint.Stiffness == [3]float64{} || m.analysis.Frame.Rails[rail].Grips[post].Found != "" {
		return 1
	}
	n := m.posts[post].second
	if joint.Stiffness[1] > 0 || joint.Stiffness[2] > 0 {
		n = math.Max(n, m.rails[rail].second)
	}
	return amplificationAt(n)
}

// leaningFactor returns the factor of second order on the forces that the fittings of a rail
// pass between posts that lean: that of the most pressed of the posts and the rail.
func (m *model) leaningFactor(rail int) float64 {
	return amplificationAt(math.Max(m.rails[rail].second, m.postSecond))
}

// spliceName names a splice by its place.
func (c *run) spliceName(rail int, x float64) string {
	at := quantity.Fix(x, 3)
	if c.o.Units == quantity.US {
		at = quantity.FeetAndInchesShort(x, 2)
	}
	return "splice " + c.d.Rails[rail].Name + " " + at
}

func fittingName(corner bool, post int, rail string) string {
	if corner {
		return fmt.Sprintf("corner fitting %d %s", post+1, rail)
	}
	return fmt.Sprintf("fitting %d %s", post+1, rail)
}

// kinds are what a fitting does to one of its tubes, in the order of the checks, with the symbol
// of each in a sum.
var kinds = [...]struct{ kind, symbol, what string }{
	{"slip", "F", "force along the %s"}, {"twist", "T", "twist about the %s"},
	{"force", "V", "force across the %s"}, {"moment", "M", "moment on the %s"},
}

// resistingOf returns the tested value of a kind among those of one fitting.
func resistingOf(f *barrier.Tested, kind string) resisting {
	v := resisting{given: givenOf(f, kind), values: f.Values, factor: f.ValuesFactor, by: testedValue}
	if f.Coupler != nil {
		v.by, v.clause = f.Coupler.Name, couplerValues
	}
	return v
}

// ofValues is the provenance of the values of a fitting.
func ofValues(coupler *barrier.Coupler) string {
	if coupler != nil {
		return coupler.Provenance
	}
	return usersOwn
}

// askedOfTube returns what a fitting does to one of its tubes and its values resist: turning is
// raised by a factor of second order, forces may be by leaning.
func askedOfTube(from []grip, tube string, f *barrier.Tested, turning, leaning float64) []asked {
	var out []asked
	for _, k := range kinds {
		at := slices.IndexFunc(from, func(g grip) bool { return g.tube == tube && g.kind == k.kind })
		v := resistingOf(f, k.kind)
		if at < 0 || v.given == nil {
			continue
		}
		g := from[at]
		a := asked{
			kind: k.kind, what: fmt.Sprintf(k.what, tube), symbol: k.symbol, unit: gripUnit(k.kind),
			of: func(s *analysis.State) float64 { return g.judge(s, nil) }, formula: g.formula, raised: 1, second: leaning, weight: 1, resisting: v,
		}
		if g.turns() {
			a.raised, a.second = math.Min(turning, amplifyTo), turning // above it nothing is judged
		}
		out = append(out, a)
	}
	return out
}

// checkFittings checks one rail's fittings, those at corners or the others, against their
// values: a working value against unfactored actions, the others against factored ones. Of all
// of them the worst stays for each check.
func (m *model) checkFittings(c *run, rail int, corner bool) {
	values := c.testedOf(corner)
	var worst []finding
	for post := range c.d.Run.Posts {
		if c.d.Run.IsCorner(post) != corner || m.hasTwin(post) || m.analysis.Frame.Rails[rail].Grips[post].Found != "" {
			continue // no value of a fitting that is cracked holds
		}
		of := askedOf{
			prefix: "fitting", element: fittingName(corner, post, c.d.Rails[rail].Name), member: rail, corner: corner,
			level: levelOf(values.Values), sum: linearSum, by: ofValues(values.Coupler),
		}
		turning, leaning := m.jointFactor(rail, post), m.leaningFactor(rail)
		whole, ends := m.analysis.Grip(rail, post)
		if values.Coupler != nil {
			of.sum = couplerSum(values.Coupler)
			of.asks, of.tube = askedOfCoupler(values, turning, leaning), "rail"
			for _, p := range ends {
				worst = worstByID(worst, m.checkJoint(c, p, 0, of))
			}
			if !slices.Contains(ends, whole) { // about the post's axis: no twist of the rail
				of.tube = ""
				of.asks = slices.DeleteFunc(of.asks, func(a asked) bool { return a.what == aboutRail })
				worst = worstByID(worst, m.checkJoint(c, whole, 0, of))
			}
			continue
		}
		of.asks = askedOfTube(grips[:], "post", values, turning, leaning)
		worst = worstByID(worst, m.checkJoint(c, whole, 0, of))
		of.asks, of.tube = askedOfTube(grips[:], "rail", values, turning, leaning), "rail"
		for _, p := range ends {
			worst = worstByID(worst, m.checkJoint(c, p, 0, of))
		}
	}
	m.findings = append(m.findings, worst...)
}

// spliceDemands are what a splice must pass on.
var spliceDemands = [...]grip{{"rail", "slip", sizeAxial, "|N|"}, {"rail", "force", sizeShear, "√(Vy² + Vz²)"}, {"rail", "moment", sizeMoment, "√(My² + Mz²)"}}

// splice notes the demands on one splice, worst of its rail.
func (m *model) splice(c *run, rail int, p *analysis.Probe) {
	for i := range spliceDemands {
		g := &spliceDemands[i]
		if g.kind == "moment" && m.layout.Rails[rail].Moment.Stiffness == [3]float64{} || !c.asksOfSplice(rail, g) {
			continue
		}
		m.splices = worstOf(m.splices, []finding{m.atSplice(c, rail, p, analysis.Strength, g)})
	}
}

// atSplice finds one demand on a splice, a moment with second order.
func (m *model) atSplice(c *run, rail int, p *analysis.Probe, l analysis.Level, g *grip) finding {
	found := c.worstHeld(m, p, 0, analysis.Query{Level: l, Measures: []analysis.Measure{measure(g.judge)}})[0][0]
	f := finding{id: g.id(), element: c.spliceName(rail, p.From), member: rail, grip: g, judge: found.raise.judge(g.judge), raise: found.raise.kept(), placed: found.Placed, model: m}
	if g.kind == "moment" {
		f.factor = amplificationAt(m.rails[rail].second)
		if k := math.Min(f.factor, amplifyTo); k > 1 { // above it nothing is judged
			plain := f.judge
			f.judge = func(s *analysis.State, r *Recorder) float64 { return k * plain(s, r) }
			f.placed.Value *= k
		}
	}
	return f
}

// spliceGiven returns what a splice of a rail resists of a kind of demand; nil: nothing is
// given.
func spliceGiven(r *barrier.Rail, kind string) *float64 {
	return map[string]*float64{"slip": r.SpliceSlip, "force": r.SpliceShear, "moment": r.SpliceMomentResistance}[kind]
}

// checkSplice checks one splice against the values of its rail.
func (m *model) checkSplice(c *run, rail int, p *analysis.Probe) []finding {
	r := &c.d.Rails[rail]
	of := askedOf{prefix: "splice", tube: "rail", element: c.spliceName(rail, p.From), member: rail, level: levelOf(r.SpliceValues), sum: linearSum, by: ofValues(r.SpliceCoupler)}
	if r.SpliceCoupler != nil {
		of.sum = sleeveSum
	}
	for i, k := range [...]struct{ kind, symbol, what string }{{"slip", "F", "force along the rail in the splice"}, {"shear", "V", "force across the rail in the splice"}, {"moment", "M", "moment in the splice"}} {
		g := spliceDemands[i]
		v := resisting{given: spliceGiven(r, g.kind), values: r.SpliceValues, factor: r.SpliceValuesFactor, by: testedValue}
		if r.SpliceCoupler != nil {
			v.by, v.clause = r.SpliceCoupler.Name, couplerValues
		}
		if v.given == nil || g.turns() && m.layout.Rails[rail].Moment.Stiffness == [3]float64{} {
			continue
		}
		a := asked{
			kind: k.kind, what: k.what, symbol: k.symbol, unit: gripUnit(g.kind),
			of: func(s *analysis.State) float64 { return g.judge(s, nil) }, formula: g.formula, raised: 1, second: m.leaningFactor(rail), weight: 1, resisting: v,
		}
		if g.turns() {
			a.second = amplificationAt(m.rails[rail].second)
			a.raised = math.Min(a.second, amplifyTo) // above it nothing is judged
		}
		of.asks = append(of.asks, a)
	}
	return m.checkJoint(c, p, 0, of)
}
