package check

import (
	"fmt"
	"math"
	"slices"

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

// tested returns the tested value of a kind of demand, N or N·m, divided by its
// factor; nil when none is given.
func (c *run) tested(kind string) *float64 {
	f := &c.d.Fitting
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
		m.fittings = append(m.fittings, m.demands(c, rail, analysis.Strength, func(kind string) bool { return true })...)
		if !c.d.LeaveOut.Fitting {
			m.testedFittings(c, rail)
		}
		for i := range m.analysis.Frame.Rails[rail].Splices {
			p := m.analysis.Splice(rail, i)
			m.splice(c, rail, p)
		}
	}
}

// demands returns the worst demand of each kind of one rail's fittings: on the
// rail at each end of it that a fitting grips, on the post by all that the
// fitting brings at once.
func (m *model) demands(c *run, rail int, l analysis.Level, wanted func(kind string) bool) []finding {
	chosen := slices.DeleteFunc(slices.Clone(grips[:]), func(g grip) bool { return !wanted(g.kind) })
	out := make([]finding, len(chosen))
	look := func(post int, tube string, p *analysis.Probe) {
		q := analysis.Query{Level: l}
		for _, g := range chosen {
			if g.tube == tube {
				q.Measures = append(q.Measures, measure(g.judge))
			}
		}
		found := m.analysis.WorstAt(p, []float64{0}, q)[0]
		factor := m.jointFactor(rail, post)
		for i, g := range chosen {
			if g.tube != tube {
				continue
			}
			f := finding{id: g.id(), element: fittingName(post, c.d.Rails[rail].Name), member: rail, grip: g, judge: g.judge, placed: found[0], model: m, factor: factor}
			if k := math.Min(factor, amplifyTo); g.turns() && k > 1 { // above it nothing is judged
				f.judge = func(s *analysis.State, r *Recorder) float64 { return k * g.judge(s, r) }
				f.placed.Value *= k
			}
			found = found[1:]
			if out[i].model == nil || out[i].worse(&f) {
				out[i] = f
			}
		}
	}
	for post := range c.d.Run.Posts {
		whole, ends := m.analysis.Grip(rail, post)
		look(post, "post", whole)
		for _, p := range ends {
			look(post, "rail", p)
		}
	}
	return out
}

// jointFactor returns the factor of second order on the twist and the moment that a
// fitting passes: that of its post and, where it clamps the rail's bending, of its rail, each
// at its largest compression, which is cautious. A free joint passes what statics gives it.
func (m *model) jointFactor(rail, post int) float64 {
	joint := m.layout.Joint
	if joint.Stiffness == [3]float64{} {
		return 1
	}
	n := m.posts[post].second
	if joint.Stiffness[1] > 0 || joint.Stiffness[2] > 0 {
		n = math.Max(n, m.rails[rail].second)
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

func fittingName(post int, rail string) string { return fmt.Sprintf("fitting %d %s", post+1, rail) }

// testedFittings checks one rail's fittings against the tested values: a working
// value against unfactored actions, the others against factored ones.
func (m *model) testedFittings(c *run, rail int) {
	level := analysis.Strength
	if c.d.Fitting.Values == "working" {
		level = analysis.Characteristic
	}
	worst := map[string]finding{}
	for _, f := range m.demands(c, rail, level, func(kind string) bool { return c.tested(kind) != nil }) {
		if w, ok := worst[f.grip.kind]; !ok || w.worse(&f) {
			worst[f.grip.kind] = f
		}
	}
	for _, kind := range [...]string{"slip", "twist", "force", "moment"} {
		f, ok := worst[kind]
		if !ok || f.placed.Value <= nothing {
			continue
		}
		demand, resistance := f.judge, *c.tested(kind)
		f.id = "fitting-" + kind
		f.judge = func(s *analysis.State, r *Recorder) float64 {
			v := demand(s, nil)
			r.step("Rd", resistance, gripUnit(kind), fmt.Sprintf("tested value (%s) / %.2f", c.d.Fitting.Values, c.d.Fitting.ValuesFactor), "")
			r.step("Ed", v, gripUnit(kind), "demand of this kind on this tube", "")
			return r.verdict(v, resistance, gripUnit(kind), "tested value ("+c.d.Fitting.Values+")")
		}
		f.placed.Value /= resistance
		m.findings = append(m.findings, f)
	}
}

// spliceDemands are what a splice must pass on.
var spliceDemands = [...]grip{{"rail", "slip", sizeAxial}, {"rail", "force", sizeShear}}

// splice notes the demands on one splice, worst of its rail.
func (m *model) splice(c *run, rail int, p *analysis.Probe) {
	for _, g := range spliceDemands {
		placed := m.analysis.WorstAtStations(p, []float64{0}, analysis.Strength, []analysis.Measure{measure(g.judge)})[0]
		f := finding{id: g.id(), element: c.spliceName(rail, p.From), member: rail, grip: g, judge: g.judge, placed: placed, model: m}
		m.splices = worstOf(m.splices, []finding{f})
	}
}
