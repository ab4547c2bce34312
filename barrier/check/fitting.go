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
	{"rail", "slip", sizeAxial},
	{"rail", "twist", sizeTorsion},
	{"rail", "force", sizeShear},
	{"rail", "moment", sizeMoment},
	{"post", "slip", size(func(s *analysis.State) float64 { return s.Vz })},
	{"post", "twist", size(func(s *analysis.State) float64 { return s.Mz })},
	{"post", "force", size(func(s *analysis.State) float64 { return math.Hypot(s.N, s.Vy) })},
	{"post", "moment", size(func(s *analysis.State) float64 { return math.Hypot(s.T, s.My) })},
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
	given := map[string]*float64{"slip": f.SlipForce, "twist": f.SlipMoment, "force": f.TransverseForce, "moment": f.MomentResistance}[kind]
	if given == nil {
		return nil
	}
	v := *given / f.ValuesFactor
	return &v
}

func gripUnit(kind string) string {
	if kind == "twist" || kind == "moment" {
		return "Nm"
	}
	return "N"
}

// joints finds the demands on fittings and splices, the worst of each kind on
// each tube of each rail, and checks those with a tested value.
func (m *model) joints(c *run) {
	for rail := range c.d.Rails {
		every := func(kind string) bool { return true }
		m.fittings = append(m.fittings, m.demands(c, rail, false, analysis.Strength, every)...)
		m.corners = append(m.corners, m.demands(c, rail, true, analysis.Strength, every)...)
		if !c.d.LeaveOut.Fitting {
			m.testedFittings(c, rail, false)
			m.testedFittings(c, rail, true)
		}
		for i := range m.analysis.Frame.Rails[rail].Splices {
			p := m.analysis.Splice(rail, i)
			m.splice(c, rail, p)
		}
	}
}

// demands returns the worst demand of each kind of one rail's fittings, those at corners or
// the others: on the rail at each end of it that a fitting grips, on the post by all that the
// fitting brings at once. There are none where no fitting is of the kind.
func (m *model) demands(c *run, rail int, corner bool, l analysis.Level, wanted func(kind string) bool) []finding {
	chosen := slices.DeleteFunc(slices.Clone(grips[:]), func(g grip) bool { return !wanted(g.kind) })
	out := make([]finding, len(chosen))
	look := func(post int, tube string, p *analysis.Probe) {
		q := analysis.Query{Level: l}
		for _, g := range chosen {
			if g.tube == tube {
				q.Measures = append(q.Measures, measure(g.judge))
			}
		}
		found := c.worstHeld(m, p, 0, q)[0]
		factor := m.jointFactor(rail, post)
		for i, g := range chosen {
			if g.tube != tube {
				continue
			}
			f := finding{id: g.id(), element: fittingName(corner, post, c.d.Rails[rail].Name), member: rail, grip: g, corner: corner, judge: found[0].raise.judge(g.judge), raise: found[0].raise, placed: found[0].Placed, model: m, factor: factor}
			if k := math.Min(factor, amplifyTo); g.turns() && k > 1 { // above it nothing is judged
				plain := f.judge
				f.judge = func(s *analysis.State, r *Recorder) float64 { return k * plain(s, r) }
				f.placed.Value *= k
			}
			found = found[1:]
			if out[i].model == nil || out[i].worse(&f) {
				out[i] = f
			}
		}
	}
	any := false
	for post := range c.d.Run.Posts {
		if c.d.Run.IsCorner(post) != corner {
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

// jointFactor returns the factor of second order on the twist and the moment that a
// fitting passes: that of its post and, where it clamps the rail's bending, of its rail, each
// at its largest compression, which is cautious. A free joint passes what statics gives it.
func (m *model) jointFactor(rail, post int) float64 {
	joint := m.layout.Joint
	if m.analysis.Definition.Run.IsCorner(post) {
		joint = m.layout.Corner
	}
	if joint.Stiffness == [3]float64{} {
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
	n := m.rails[rail].second
	for i := range m.posts {
		n = math.Max(n, m.posts[i].second)
	}
	return amplificationAt(n)
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

// testedFittings checks one rail's fittings, those at corners or the others, against their
// tested values: a working value against unfactored actions, the others against factored
// ones.
func (m *model) testedFittings(c *run, rail int, corner bool) {
	level, values := analysis.Strength, c.testedOf(corner)
	if values.Values == barrier.Working {
		level = analysis.Characteristic
	}
	worst := map[string]finding{}
	for _, f := range m.demands(c, rail, corner, level, func(kind string) bool { return c.tested(corner, kind) != nil }) {
		if w, ok := worst[f.grip.kind]; !ok || w.worse(&f) {
			worst[f.grip.kind] = f
		}
	}
	for _, kind := range [...]string{"slip", "twist", "force", "moment"} {
		f, ok := worst[kind]
		if !ok || f.placed.Value <= nothing {
			continue
		}
		demand, resistance := f.judge, *c.tested(corner, kind)
		f.id = "fitting-" + kind
		f.judge = func(s *analysis.State, r *Recorder) float64 {
			v := demand(s, nil)
			r.step("Rd", resistance, gripUnit(kind), fmt.Sprintf("tested value (%s) / %.2f", values.Values, values.ValuesFactor), "")
			r.step("Ed", v, gripUnit(kind), "demand of this kind on this tube"+f.raise.words(), "")
			return r.verdict(v, resistance, gripUnit(kind), "tested value ("+values.Values+")")
		}
		f.placed.Value /= resistance
		m.findings = append(m.findings, f)
	}
}

// spliceDemands are what a splice must pass on.
var spliceDemands = [...]grip{{"rail", "slip", sizeAxial}, {"rail", "force", sizeShear}, {"rail", "moment", sizeMoment}}

// splice notes the demands on one splice, worst of its rail, and checks its moment where a
// tested value is given.
func (m *model) splice(c *run, rail int, p *analysis.Probe) {
	for _, g := range spliceDemands {
		if g.kind == "moment" && m.layout.Rails[rail].Moment.Stiffness == [3]float64{} {
			continue
		}
		m.splices = worstOf(m.splices, []finding{m.atSplice(c, rail, p, analysis.Strength, g)})
	}
	if resistance := c.spliceResistance(rail); resistance != nil && m.layout.Rails[rail].Moment.Stiffness != [3]float64{} {
		m.testedSplice(c, rail, p, *resistance)
	}
}

// atSplice finds one demand on a splice, a moment with second order.
func (m *model) atSplice(c *run, rail int, p *analysis.Probe, l analysis.Level, g grip) finding {
	found := c.worstHeld(m, p, 0, analysis.Query{Level: l, Measures: []analysis.Measure{measure(g.judge)}})[0][0]
	f := finding{id: g.id(), element: c.spliceName(rail, p.From), member: rail, grip: g, judge: found.raise.judge(g.judge), raise: found.raise, placed: found.Placed, model: m}
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

// spliceResistance returns the moment that a splice of a rail resists, N·m, divided by its
// factor; nil when none is given.
func (c *run) spliceResistance(rail int) *float64 {
	r := &c.d.Rails[rail]
	if r.SpliceMomentResistance == nil || c.d.LeaveOut.Fitting {
		return nil
	}
	v := *r.SpliceMomentResistance / r.SpliceValuesFactor
	return &v
}

// testedSplice checks the moment of a splice against its tested value; of the splices of a
// rail the worst stays.
func (m *model) testedSplice(c *run, rail int, p *analysis.Probe, resistance float64) {
	r := &c.d.Rails[rail]
	level := analysis.Strength
	if r.SpliceValues == barrier.Working {
		level = analysis.Characteristic
	}
	f := m.atSplice(c, rail, p, level, spliceDemands[2])
	demand := f.judge
	f.id = "splice-moment"
	f.judge = func(s *analysis.State, rec *Recorder) float64 {
		v := demand(s, nil)
		rec.step("Rd", resistance, "Nm", fmt.Sprintf("tested value (%s) / %.2f", r.SpliceValues, r.SpliceValuesFactor), "")
		rec.step("Ed", v, "Nm", "moment in the splice"+f.raise.words(), "")
		return rec.verdict(v, resistance, "Nm", "tested value ("+r.SpliceValues+")")
	}
	f.placed.Value /= resistance
	m.findings = worstOf(m.findings, []finding{f})
}
