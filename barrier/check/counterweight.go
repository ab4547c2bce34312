package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// A counterweighted foot stands by weight alone: it tips about an edge or slides. The post
// brings its forces, its own weight and that of what it carries among them; the weights stand
// where the file says.

const (
	globalSafety   = 1.5 // of weights over tipping, unfactored; common practice
	frictionFactor = 1.3 // by which listed friction is divided; EN 12812, from memory

	tippingClause = "equilibrium about an edge"
	globalClause  = "global factor of safety"
	slidingClause = "equilibrium along the surface"
)

// frictionCap is the most that listed friction counts for at a place.
func frictionCap(p barrier.Place) float64 {
	switch p {
	case barrier.Outdoors:
		return 0.3
	case barrier.Frost:
		return 0.2
	}
	return math.Inf(1)
}

// weightFactors are the factors on weights in the equilibrium of the basis.
type weightFactors struct {
	unfavourable, favourable float64
	mix                      loads.Mix
}

// weightFactors returns them: those of the basis, and where the user has combinations of his own
// for equilibrium the more cautious.
func (c *run) weightFactors() weightFactors {
	mix := c.combos.Mixes(loads.Equilibrium, nil)[0]
	e := weightFactors{mix.PermanentUnfavourable, mix.PermanentFavourable, mix}
	for _, own := range c.d.Combine.Own {
		if own.Situation == loads.Equilibrium {
			e.unfavourable, e.favourable = math.Max(e.unfavourable, own.Permanent[0]), math.Min(e.favourable, own.Permanent[1])
		}
	}
	return e
}

// clause names where the factors come from.
func (e *weightFactors) clause() string {
	if e.mix.Standard == "" {
		return "unfactored"
	}
	return e.mix.Standard + " " + e.mix.Clause
}

// unfactored are the factors of working values.
func unfactored() weightFactors { return weightFactors{unfavourable: 1, favourable: 1} }

// weighted is a foot under counterweights.
type weighted struct {
	*barrier.Counterweight
	outward  float64 // of the run: 1 to its left, -1 to its right
	sin, cos float64 // of the slope
	weight   float64 // of all, N
	edges    [4]tippingEdge
}

// tippingEdge is an edge about which a foot tips.
type tippingEdge struct {
	name     string
	distance float64   // m from the axis of the post
	levers   []float64 // of each weight about it, m, plumb; negative: beyond the edge
	holding  float64   // moment of the weights that hold, N·m
	tipping  float64   // of those beyond the edge, N·m
}

// newWeighted returns the foot with the levers of its weights.
func newWeighted(given *barrier.Counterweight, outward float64) *weighted {
	w := &weighted{Counterweight: given, outward: outward, sin: math.Sin(given.Slope), cos: math.Cos(given.Slope)}
	for i := range given.Weights {
		w.weight += given.Weights[i].Mass * g0
	}
	w.edges = [4]tippingEdge{
		w.edge("outward", given.Outward, func(b *barrier.Weight) float64 { return (given.Outward-b.Outward)*w.cos - b.Height*w.sin }),
		w.edge("inward", given.Inward, func(b *barrier.Weight) float64 { return (given.Inward+b.Outward)*w.cos + b.Height*w.sin }),
		w.edge("along the run", given.Along, func(b *barrier.Weight) float64 { return (given.Along - b.Along) * w.cos }),
		w.edge("against the run", given.Along, func(b *barrier.Weight) float64 { return (given.Along + b.Along) * w.cos }),
	}
	return w
}

func (w *weighted) edge(name string, distance float64, lever func(*barrier.Weight) float64) tippingEdge {
	e := tippingEdge{name: name, distance: distance}
	for i := range w.Weights {
		x := lever(&w.Weights[i])
		e.levers = append(e.levers, x)
		if moment := w.Weights[i].Mass * g0 * x; moment > 0 {
			e.holding += moment
		} else {
			e.tipping -= moment
		}
	}
	return e
}

// lift returns the force of the post away from the surface, square to it, N.
func (w *weighted) lift(a *FootActions) float64 { return a.Fz*w.cos + w.outward*a.Fy*w.sin }

// moment returns the moment of the post about an edge, N·m, tipping positive.
func (w *weighted) moment(edge int, a *FootActions) float64 {
	var over float64
	switch edge {
	case 0:
		over = -w.outward * a.Mx
	case 1:
		over = w.outward * a.Mx
	case 2:
		over = a.My*w.cos - w.outward*a.Mz*w.sin
	case 3:
		over = w.outward*a.Mz*w.sin - a.My*w.cos
	}
	return over + w.edges[edge].distance*w.lift(a)
}

// tip returns the moment that tips the foot about an edge and that which holds it, N·m.
func (w *weighted) tip(edge int, a *FootActions, by *weightFactors) (tipping, holding float64) {
	e := &w.edges[edge]
	return math.Max(0, w.moment(edge, a)+by.unfavourable*e.tipping), by.favourable * e.holding
}

// worstEdge returns the edge about which the foot tips first.
func (w *weighted) worstEdge(a *FootActions, by *weightFactors) int {
	worst, most := 0, -1.0
	var none *Recorder
	for edge := range w.edges {
		tipping, holding := w.tip(edge, a, by)
		if u := none.verdict(tipping, holding, "", ""); u > most {
			worst, most = edge, u
		}
	}
	return worst
}

// formula returns the moment of the post about an edge as a formula.
func (w *weighted) formula(edge int) string {
	outward, inward, fy, mz, zm := " - Mx", " + Mx", " + Fy a sinθ", " - Mz sinθ", " + Mz sinθ"
	if w.outward < 0 {
		outward, inward, fy, mz, zm = inward, outward, " - Fy a sinθ", zm, mz
	}
	if w.sin == 0 {
		return "Fz a" + [...]string{outward, inward, " + My", " - My"}[edge]
	}
	return "Fz a cosθ" + fy + [...]string{outward, inward, " + My cosθ" + mz, zm + " - My cosθ"}[edge]
}

// noteSlope notes the slope of the surface.
func (w *weighted) noteSlope(r *Recorder) {
	if w.sin != 0 {
		r.step("slope of the surface, falling outward", "θ", w.Slope*180/math.Pi, "deg", "", fromFile)
		r.step("its sine", "sinθ", w.sin, "1", "", tippingClause)
		r.step("its cosine", "cosθ", w.cos, "1", "", tippingClause)
	}
}

// noteTipping notes the moments about an edge.
func (w *weighted) noteTipping(r *Recorder, edge int, a *FootActions, by *weightFactors) {
	e := &w.edges[edge]
	w.noteSlope(r)
	r.step("distance of the edge: it tips "+e.name, "a", e.distance*1e3, "mm", "", fromFile)
	r.step("moment of the post about the edge", "Mp", w.moment(edge, a), "Nm", w.formula(edge), tippingClause)
	r.step("factor on a weight that relieves", "γinf", by.favourable, "1", "", by.clause())
	r.step("factor on a weight beyond the edge", "γsup", by.unfavourable, "1", "", by.clause())
	var holds, tips []string
	for i, x := range e.levers {
		G, lever := fmt.Sprintf("G%d", i+1), fmt.Sprintf("x%d", i+1)
		r.step(fmt.Sprintf("weight %d, %s kg", i+1, quantity.Fix(w.Weights[i].Mass, 1)), G, w.Weights[i].Mass*g0, "N", "", fromFile)
		r.step("its lever about the edge, negative beyond it", lever, x*1e3, "mm", w.noteLever(r, edge, i), tippingClause)
		if x < 0 {
			tips = append(tips, "- γsup "+G+" "+lever)
			continue
		}
		holds = append(holds, "γinf "+G+" "+lever)
	}
	tipping, holding := w.tip(edge, a, by)
	r.step("moment that tips", "Mdst", tipping, "Nm", strings.Join(append([]string{"Mp"}, tips...), " ")+", at least 0", tippingClause)
	r.step("moment that holds", "Mstb", holding, "Nm", strings.Join(holds, " + "), tippingClause)
}

// noteLever notes where a weight stands and returns the formula of its lever about an edge.
func (w *weighted) noteLever(r *Recorder, edge, weight int) string {
	b := &w.Weights[weight]
	s, t := fmt.Sprintf("s%d", weight+1), fmt.Sprintf("t%d", weight+1)
	sign := [...]string{" - ", " + ", " - ", " + "}[edge]
	if edge > 1 {
		r.step("its distance from the post along the run", s, b.Along*1e3, "mm", "", fromFile)
		if w.sin == 0 {
			return "a" + sign + s
		}
		return "(a" + sign + s + ") cosθ"
	}
	r.step("its distance from the post, outward", s, b.Outward*1e3, "mm", "", fromFile)
	if w.sin == 0 {
		return "a" + sign + s
	}
	r.step("height of its centre above the surface", t, b.Height*1e3, "mm", "", fromFile)
	return "(a" + sign + s + ") cosθ" + sign + t + " sinθ"
}

// tippingBy is the check of tipping by the equilibrium of the basis.
func (w *weighted) tippingBy(by weightFactors) func(*FootActions, *Recorder) float64 {
	return func(a *FootActions, r *Recorder) float64 {
		edge := w.worstEdge(a, &by)
		tipping, holding := w.tip(edge, a, &by)
		if r.keepsSteps() {
			w.noteTipping(r, edge, a, &by)
		}
		return r.verdict(tipping, holding, "Nm", by.clause())
	}
}

// global is the check of tipping by a global factor of safety.
func (w *weighted) global(a *FootActions, r *Recorder) float64 {
	by := unfactored()
	edge := w.worstEdge(a, &by)
	tipping, holding := w.tip(edge, a, &by)
	if r.keepsSteps() {
		w.noteTipping(r, edge, a, &by)
		if tipping > 0 {
			r.step("factor of safety", "FS", holding/tipping, "1", "Mstb / Mdst", globalClause)
		}
		r.step("factor of safety that is wanted", "FSmin", globalSafety, "1", "", globalClause)
		r.step("moment that tips, times that factor", "Ed", globalSafety*tipping, "Nm", "FSmin Mdst", globalClause)
	}
	return r.verdict(globalSafety*tipping, holding, "Nm", globalClause)
}

// slide returns the force that drives the foot along the surface and that which presses it on
// the surface, N. A weight on a slope drives it by the unfavourable factor and holds it by the
// favourable one.
func (w *weighted) slide(a *FootActions, by *weightFactors) (driving, pressing float64) {
	down := w.outward*a.Fy*w.cos - a.Fz*w.sin
	fall := math.Max(math.Abs(down+by.unfavourable*w.weight*w.sin), math.Abs(down+by.favourable*w.weight*w.sin))
	return math.Hypot(a.Fx, fall), by.favourable*w.weight*w.cos - w.lift(a)
}

// designFriction returns the coefficient of friction that counts.
func designFriction(f *barrier.Friction) float64 {
	if f.Contact == nil {
		return f.Coefficient / f.ValuesFactor
	}
	return math.Min(f.Coefficient/frictionFactor, frictionCap(f.Place))
}

// slidingBy is the check of sliding.
func (w *weighted) slidingBy(by weightFactors) func(*FootActions, *Recorder) float64 {
	mu := designFriction(w.Friction)
	return func(a *FootActions, r *Recorder) float64 {
		driving, pressing := w.slide(a, &by)
		if r.keepsSteps() {
			w.noteSliding(r, a, &by, driving, pressing)
		}
		return r.verdict(driving, mu*pressing, "N", by.clause())
	}
}

// noteSliding notes the forces along the surface.
func (w *weighted) noteSliding(r *Recorder, a *FootActions, by *weightFactors, driving, pressing float64) {
	r.step("weight of all counterweights", "G", w.weight, "N", "", fromFile)
	r.step("factor on a weight that relieves", "γinf", by.favourable, "1", "", by.clause())
	drives, presses := "√(Fx² + Fy²)", "γinf G - Fz"
	if w.sin != 0 {
		w.noteSlope(r)
		r.step("factor on a weight that drives", "γsup", by.unfavourable, "1", "", by.clause())
		down := w.outward*a.Fy*w.cos - a.Fz*w.sin
		fall := math.Max(math.Abs(down+by.unfavourable*w.weight*w.sin), math.Abs(down+by.favourable*w.weight*w.sin))
		formula, minus := "Fy cosθ - Fz sinθ", "-"
		if w.outward < 0 {
			formula, minus = "0 - Fy cosθ - Fz sinθ", "+"
		}
		r.step("force of the post down the slope", "F", down, "N", formula, slidingClause)
		r.step("the same with the weights", "Ff", fall, "N", "the larger of |F + γsup G sinθ| and |F + γinf G sinθ|", slidingClause)
		drives, presses = "√(Fx² + Ff²)", "(γinf G - Fz) cosθ "+minus+" Fy sinθ"
	}
	r.step("force that drives", "Ed", driving, "N", drives, slidingClause)
	r.step("force on the surface", "N", pressing, "N", presses, slidingClause)
	f := w.Friction
	if f.Contact == nil {
		r.step("coefficient of friction ("+f.Values+")", "μ", f.Coefficient, "1", "", fromFile)
		r.step("factor to divide it by", "γμ", f.ValuesFactor, "1", "", fromFile)
		r.step("coefficient that counts", "μd", designFriction(f), "1", "μ / γμ", slidingClause)
	} else {
		r.step("coefficient of friction, "+f.Contact.Name+", dry", "μ", f.Coefficient, "1", "", "friction of "+f.Contact.Name)
		r.step("factor to divide it by", "γμ", frictionFactor, "1", "", "EN 12812")
		formula := "μ / γμ"
		if most := frictionCap(f.Place); !math.IsInf(most, 1) {
			r.step("most that counts "+string(f.Place), "μmax", most, "1", "", "friction outdoors and with frost")
			formula = "μ / γμ, at most μmax"
		}
		r.step("coefficient that counts", "μd", designFriction(f), "1", formula, slidingClause)
	}
	r.step("force that holds", "Rd", designFriction(f)*pressing, "N", "μd N", slidingClause)
}

// counterweightFootings are the checks and demands of a weighted foot.
func (c *run) counterweightFootings() []footing {
	given := c.d.Post.Base.Counterweight
	w, by := newWeighted(given, c.d.Run.Hazard.Outward()), c.weightFactors()
	provenance := analysis.Weakest("derived", by.mix.Provenance, by.mix.Relief.Provenance)
	out := []footing{
		c.arm(),
		{id: "base-counterweight-tilt", link: groundLink, level: analysis.Equilibrium, provenance: provenance, judge: w.tippingBy(by)},
		{id: "base-counterweight-global", link: groundLink, level: analysis.Characteristic, provenance: "common-practice", judge: w.global},
	}
	sliding := footing{id: "base-counterweight-slide", link: groundLink, level: analysis.Equilibrium, provenance: provenance}
	switch f := given.Friction; {
	case f == nil:
		sliding.open, sliding.what, sliding.unit = "no friction is given: post.base.counterweight.friction", "ground: sliding", "N"
		sliding.judge = func(a *FootActions, _ *Recorder) float64 { driving, _ := w.slide(a, &by); return driving }
	case f.Values == barrier.Working && c.d.Basis != loads.BasisASD:
		sliding.level, sliding.provenance, sliding.judge = analysis.Characteristic, usersOwn, w.slidingBy(unfactored())
	default:
		sliding.judge = w.slidingBy(by)
		sliding.provenance = analysis.Weakest(provenance, "memory") // the factor on listed friction
		if f.Contact == nil {
			sliding.provenance = provenance
		}
	}
	return append(out, sliding)
}

// arm is the check of what joins the post to its weights, against a tested value.
func (c *run) arm() footing {
	given := c.d.Post.Base.Counterweight
	f := footing{id: "base-counterweight-arm", link: footLink, level: levelOf(given.Values), provenance: usersOwn}
	if given.Arm == nil {
		f.level, f.open, f.what, f.unit = analysis.Strength, "no tested value given: post.base.counterweight.arm_moment", "arm or plate of the foot: moment", "Nm"
		f.judge = func(a *FootActions, _ *Recorder) float64 { return a.Moment() }
		return f
	}
	f.judge = against(resisting{given: given.Arm, values: given.Values, factor: given.ValuesFactor, by: testedValue}, "Nm", (*FootActions).Moment, func(a *FootActions, r *Recorder) {
		r.step("moment of the post on its foot", "Ed", a.Moment(), "Nm", "√(Mx² + My²)", "")
	})
	return f
}

// sayCounterweight says how a weighted foot is judged.
func (c *run) sayCounterweight() {
	given, by := c.d.Post.Base.Counterweight, c.weightFactors()
	c.say("The frame holds each weighted foot to the surface: no foot lifts, slips or gives in it, and what a foot that does so would hand to its neighbours is not in the result.")
	c.say(fmt.Sprintf("Each foot stands by its own weights, and by what the post presses down: weights count %.2f where they hold and %.2f where they tip or drive (%s).", by.favourable, by.unfavourable, by.clause()))
	c.say(fmt.Sprintf("A global factor of safety of %.1f on tipping, unfactored, is asked for beside it (common practice).", globalSafety))
	c.say("What lies under the foot is not checked: its bearing, its waterproofing, and whether the surface is held down itself.")
	if f := given.Friction; f != nil && f.Contact != nil {
		most := ""
		if limit := frictionCap(f.Place); !math.IsInf(limit, 1) {
			most = fmt.Sprintf(", at most %.2f %s", limit, f.Place)
		}
		c.say(fmt.Sprintf("Friction of %s is %.2f dry and indicative, divided by %.1f%s: %.2f counts. Wet, mossy or bitumen surfaces need a tested value.", f.Contact.Name, f.Coefficient, frictionFactor, most, designFriction(f)))
	}
}

// openEquilibrium lists accidental actions, which no combination of equilibrium takes.
func (c *run) openEquilibrium() {
	if c.d.Post.Base.Kind != barrier.CounterweightBase {
		return
	}
	i := slices.IndexFunc(c.actions, func(a *analysis.Action) bool {
		return a.Accidental && !slices.ContainsFunc(c.d.Combine.Own, func(own barrier.OwnCombination) bool {
			return own.Situation == loads.Accidental && own.Factors[a.Load] != 0
		})
	})
	if i < 0 {
		return
	}
	c.open(Item{Kind: OpenBase, Item: "foot that stands by its weight: accidental load " + c.actions[i].Name, Unit: "1",
		Reason: "no combination of equilibrium takes an accidental action: one of your own with situation = \"accidental\" does"})
}
