package check

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// A tube drilled at its fittings is judged there on what the hole leaves of it.

// netSection is a round tube with a hole of diameter d0 through one wall or both, bent so that
// the hole lies at the extreme fibre: the worst way to turn it.
//
// What a straight hole takes from the ring lies within the sector whose sides touch the hole at
// the inside of the wall, of half angle β = arcsin(d0/2r) on R and r, the outer and inner
// radius. The whole of it is taken off: Anet = A - w β (R² - r²) and about the axis through the
// middle I - w (R⁴ - r⁴)/4 (β + sin β cos β) for w walls. One hole moves the centroid by
// e = 2/3 (R³ - r³) sin β / Anet away from itself; the extreme fibre is then taken at R + e and
// axial force bends by e. Geometry (derived).
type netSection struct {
	ring   sections.Ring
	hole   barrier.Net
	beta   float64
	Area   float64 // m²
	Shift  float64 // of the centroid, m
	I      float64 // about the centroid, m⁴
	Wel    float64 // m³
	radii  [2]float64
	fy, fu float64 // Pa
}

func newNetSection(m *barrier.Member, hole *barrier.Net) *netSection {
	n := &netSection{ring: m.Ring, hole: *hole, fy: m.Grade.Fy, fu: m.Grade.Fu}
	R, r, w := m.Ring.OD/2, m.Ring.OD/2-m.Ring.Wall, float64(hole.Walls)
	n.radii = [2]float64{R, r}
	n.beta = math.Asin(hole.Hole / 2 / r)
	sin, cos := math.Sincos(n.beta)
	n.Area = m.Ring.Area - w*n.beta*(R*R-r*r)
	if hole.Walls == 1 {
		n.Shift = 2.0 / 3 * (R*R*R - r*r*r) * sin / n.Area
	}
	n.I = m.Ring.I - w*(math.Pow(R, 4)-math.Pow(r, 4))/4*(n.beta+sin*cos) - n.Area*n.Shift*n.Shift
	n.Wel = n.I / (R + n.Shift)
	if n.fu == 0 {
		n.fu = n.fy // no less
	}
	return n
}

// netRule is what a basis takes for the design stress of a net section of a material.
type netRule struct {
	basis                 loads.Basis
	material              sections.Material
	yield, rupture        netFactor
	clause, source, known string
}

// netFactor is a factor on a strength, share × strength over it where it is 1 or more, times it
// below.
type netFactor struct {
	symbol, formula, clause string
	share, value            float64
}

// of returns the design stress of a strength.
func (f netFactor) of(strength float64) float64 {
	if f.value < 1 {
		return f.share * strength * f.value
	}
	return f.share * strength / f.value
}

var netRules = sync.OnceValue(func() (out []netRule) {
	const table = "net_sections.csv"
	for _, row := range tableRows(table) {
		out = append(out, netRule{
			loads.Basis(row[0]), sections.Material(row[1]),
			netFactor{row[2], row[4], row[5], 1, tableNumber(table, row[3])},
			netFactor{row[7], row[9], row[10], tableNumber(table, row[6]), tableNumber(table, row[8])},
			row[11], row[12], row[13],
		})
	}
	return out
})

// netRuleOf returns the rule of a basis for a material; one that is not told is steel.
func netRuleOf(basis loads.Basis, material sections.Material) *netRule {
	if material == "" {
		material = sections.Steel
	}
	for _, rule := range netRules() {
		if rule.basis == basis && rule.material == material {
			return &rule
		}
	}
	panic(fmt.Sprintf("check: no rule for net sections of %s under basis %q", material, basis))
}

// netCheck is the check of a net section: N/(Anet f) + M/(Wnet f), f the less of the design
// stresses at yield and at rupture, with N of either sign. It is the linear sum of EN 1993-1-1
// 6.2.1(7) on elastic properties, for every basis; that it takes the hole as open in
// compression, and elastic bending, is cautious.
type netCheck struct {
	section *netSection
	rule    *netRule
	gamma   partial    // on yield where the basis divides by a partial factor; recommended: the rule's own
	tube    resistance // of which second order is taken
	most    float64    // the factor of second order on moments, at most
}

// upTo returns the judge with moments raised no more than by this factor.
func (n *netCheck) upTo(most float64) judge {
	out := *n
	out.most = most
	return out.judge
}

// stress returns the design stresses at yield and at rupture, Pa, with the factor on yield.
func (n *netCheck) stress() (yield, rupture float64, factor netFactor) {
	factor = n.rule.yield
	if n.rule.basis == loads.BasisEN {
		factor.value = n.partial().value
	}
	return factor.of(n.section.fy), n.rule.rupture.of(n.section.fu), factor
}

// partial returns the partial factor on yield, with why.
func (n *netCheck) partial() partial {
	own := partial{n.rule.yield.value, "recommended", n.rule.yield.clause, ""}
	return n.gamma.noLessThan(own)
}

func (n *netCheck) judge(s *analysis.State, r *Recorder) float64 {
	yield, rupture, factor := n.stress()
	f, at := math.Min(yield, rupture), n.section
	k := math.Min(amplification(n.tube, s), n.most)
	if math.IsInf(k, 1) {
		return r.boundless(s.Moment(), "Nm", n.rule.clause)
	}
	m := k*s.Moment() + math.Abs(s.N)*at.Shift
	sum := math.Abs(s.N)/(at.Area*f) + m/(at.Wel*f)
	if r.keepsSteps() {
		n.record(s, r, k, m, f, factor)
		r.step("sum of the ratios", "sum", sum, "1", "|N|/Nnet + M/Mnet", n.rule.clause)
	}
	return r.verdict(sum, 1, "1", n.rule.clause)
}

// record notes the section, the design stress and the actions.
func (n *netCheck) record(s *analysis.State, r *Recorder, k, m, f float64, factor netFactor) {
	at, rule := n.section, n.rule
	w := float64(at.hole.Walls)
	r.step("outside diameter", "d", at.ring.OD*1e3, "mm", "", "")
	r.step("wall in use", "t", at.ring.Wall*1e3, "mm", "", "")
	r.given("diameter of the hole", "d0", at.hole.Hole*1e3, "mm", usersOwn, "")
	r.given("walls that it goes through", "w", w, "1", usersOwn, "")
	r.step("outer radius", "R", at.radii[0]*1e3, "mm", "d/2", "")
	r.step("inner radius", "r", at.radii[1]*1e3, "mm", "d/2 - t", "")
	r.step("half the angle of the sector that holds the hole, rad", "β", at.beta, "1", "arcsin(d0/(2 r))", "")
	r.step("area", "A", at.ring.Area*1e6, "mm²", "π(d - t)t", "")
	r.step("net area", "Anet", at.Area*1e6, "mm²", "A - w β (R² - r²)", "")
	r.step("second moment of area", "I", at.ring.I*1e12, "mm⁴", "π(d⁴ - (d - 2t)⁴)/64", "")
	if at.Shift > 0 {
		r.step("shift of the centroid", "e", at.Shift*1e3, "mm", "2/3 (R³ - r³) sin β / Anet", "")
		r.step("net second moment of area", "Inet", at.I*1e12, "mm⁴", "I - w (R⁴ - r⁴)/4 (β + sin β cos β) - Anet e²", "")
		r.step("net elastic section modulus", "Wnet", at.Wel*1e9, "mm³", "Inet/(R + e)", "")
	} else {
		r.step("net second moment of area", "Inet", at.I*1e12, "mm⁴", "I - w (R⁴ - r⁴)/4 (β + sin β cos β)", "")
		r.step("net elastic section modulus", "Wnet", at.Wel*1e9, "mm³", "Inet/R", "")
	}
	r.step("yield strength of the grade", "fy", at.fy/1e6, "MPa", "", "")
	r.step("tensile strength of the grade", "fu", at.fu/1e6, "MPa", "", "")
	if rule.basis == loads.BasisEN {
		g := n.partial()
		r.step("partial factor on yield, "+g.why, factor.symbol, g.value, "1", "", g.clause)
	} else {
		r.step("factor on yield", factor.symbol, factor.value, "1", "", factor.clause)
	}
	r.step("design stress at yield", "f1", factor.of(at.fy)/1e6, "MPa", factor.formula, factor.clause)
	if rule.rupture.symbol != factor.symbol {
		r.step("factor on rupture", rule.rupture.symbol, rule.rupture.value, "1", "", rule.rupture.clause)
	}
	r.step("design stress at rupture", "f2", rule.rupture.of(at.fu)/1e6, "MPa", rule.rupture.formula, rule.rupture.clause)
	r.step("design stress", "f", f/1e6, "MPa", "min(f1, f2)", "")
	r.step("axial resistance of the net section", "Nnet", at.Area*f, "N", "Anet f", "")
	r.step("bending resistance of the net section", "Mnet", at.Wel*f, "Nm", "Wnet f", "")
	r.step("resultant moment of first order", "M1", s.Moment(), "Nm", "√(My² + Mz²)", "")
	formula := "M1"
	if k > 1 {
		ratio := recordRatio(r, n.tube, "|N|")
		r.step("factor of second order", "k", k, "1", amplifiedBy(ratio, n.tube.ofCritical(-s.N), n.most), "")
		formula = "k M1"
	}
	if at.Shift > 0 {
		formula += " + |N| e"
	}
	r.step("moment about the net section", "M", m, "Nm", formula, "")
}

// netChecks returns the checks of a drilled tube, one for each situation.
func (c *run) netChecks(id string, m *barrier.Member, hole *barrier.Net, t resistance) []named {
	section, rule := newNetSection(m.Weakest(), hole), netRuleOf(c.d.Basis, m.Grade.Material)
	var out []named
	for _, s := range c.situations {
		n := &netCheck{section: section, rule: rule, gamma: recommended, tube: s.by(t), most: math.Inf(1)}
		if s != nil {
			n.gamma = s.gamma
		}
		out = append(out, named{id: id, judge: n.judge, by: s, net: n})
	}
	return out
}

// netPost judges a drilled post where fittings grip it: at every rail and brace, and at its
// foot where a fitting holds it there.
func (m *model) netPost(c *run, t resistance, i int) {
	if c.d.Post.Net == nil {
		return
	}
	checks := c.netChecks("post-net", c.d.PostMember(i), c.d.Post.Net, t)
	placed := m.atEnds(m.analysis.Post(i), checks, !c.drilledFoot())
	m.add(&m.posts[i], i, checks, placed, func(*analysis.Placed) string { return postName(i) })
}

// netRail is the same of a rail: at every post, wall and splice.
func (m *model) netRail(c *run, t resistance, i int) {
	r := &c.d.Rails[i]
	if r.Net == nil {
		return
	}
	checks := c.netChecks("rail-net", &r.Member, r.Net, t)
	placed := m.atEnds(m.analysis.Rail(i), checks, false)
	m.add(&m.rails[i], i, checks, placed, func(p *analysis.Placed) string { return c.railName(i, p.Probe.Bay) })
}

// drilledFoot reports whether a fitting may hold the post at its foot: not where it stands in
// concrete or in the ground.
func (c *run) drilledFoot() bool {
	kind := c.d.Post.Base.Kind
	return kind != barrier.SocketBase && kind != barrier.EarthBase
}

// atEnds returns the worst of some checks at the ends of the members of an element, which is
// where fittings grip it; without the first end where it is spared.
func (m *model) atEnds(e *analysis.Element, checks []named, spareFirst bool) []analysis.Placed {
	var worst []analysis.Placed
	for i, p := range e.Probes {
		stations := []float64{0, p.Length}
		if i == 0 && spareFirst {
			stations = stations[1:]
		}
		search := newSearch(analysis.Strength, checks)
		found := m.analysis.WorstAt(p, stations, flooredAt(m.floor, search.queries)...)
		placed, _ := search.found(&found)
		if worst == nil {
			worst = placed
			continue
		}
		for k := range placed {
			if placed[k].Found() && (!worst[k].Found() || analysis.Beats(placed[k].Value, worst[k].Value)) {
				worst[k] = placed[k]
			}
		}
	}
	return worst
}

// net judges a net section in second order under the load that was worst by the bound, at its
// own section.
func (b *bender) net(f *finding) {
	j := f.net.upTo(1)
	b.worstRun(f, []analysis.Placed{f.placed}, func(p *analysis.Placed) (*bent, error) {
		value, state, err := b.section(p, func(s *analysis.State) float64 { return j(s, nil) })
		if err != nil {
			return nil, err
		}
		p.Value = value
		return b.compared(p.Combination.Level, state, &p.State, j), nil
	})
}

// sayNet says where drilled tubes are judged on their net section, and how.
func (c *run) sayNet() {
	var drilled []string
	say := func(name string, n *barrier.Net) {
		if n != nil {
			walls := "both walls"
			if n.Walls == 1 {
				walls = "one wall"
			}
			drilled = append(drilled, fmt.Sprintf("%s (%s, %s)", name, quantity.Format(n.Hole, quantity.Length, c.o.Units), walls))
		}
	}
	say("the posts", c.d.Post.Net)
	for i := range c.d.Rails {
		say("rail "+c.d.Rails[i].Name, c.d.Rails[i].Net)
	}
	if len(drilled) == 0 {
		return
	}
	foot := ""
	switch {
	case c.d.Post.Net == nil:
	case c.drilledFoot():
		foot = ", the foot of a post among them"
	default:
		foot = ", the foot of a post not among them: it stands in no fitting"
	}
	c.say(fmt.Sprintf("Drilled at every fitting%s: %s. There axial force and bending are judged on the net section as well, elastic, the hole at the extreme fibre and open; shear, torsion, stability and movement on the full one.", foot, strings.Join(drilled, "; ")))
}

// netSources tells where the design stresses of net sections come from.
func (c *run) netSources() []string {
	var out []string
	of := func(m *barrier.Member, n *barrier.Net) {
		if n != nil {
			rule := netRuleOf(c.d.Basis, m.Grade.Material)
			out = append(out, fmt.Sprintf("net sections: %s, %s; %s (%s); geometry of the hole (derived)", rule.rupture.clause, rule.clause, rule.source, rule.known))
		}
	}
	of(&c.d.Post.Member, c.d.Post.Net)
	for i := range c.d.Rails {
		of(&c.d.Rails[i].Member, c.d.Rails[i].Net)
	}
	return out
}
