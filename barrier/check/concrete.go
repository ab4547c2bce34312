package check

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// A post set in concrete presses on it forward near the face and backward near its end. Two
// blocks of one pressure are a state that the concrete can take once it yields; the linear
// pressure of a rigid post is that of an elastic one. Both are statics, and hold for shear and
// moment that act together in any direction.

const (
	fromFile = "the definition" // the clause of a step whose value the user gives

	twoBlockClause = "two-block equilibrium"
	elasticClause  = "linear pressure of a rigid post"

	// enoughCover is the cover, in diameters of the tube, from which breakout of an edge is left
	// alone: common practice for an edge distance, here from the face of the tube.
	enoughCover = 2.5
)

// bearing is what concrete bears under a post, and why.
type bearing struct {
	stress     float64 // Pa
	symbol     string
	clause     string
	provenance string
	source     string
	note       func(*Recorder)
}

// concreteBearing returns what the concrete bears by the basis; ok is false where the file does
// not tell.
func (c *run) concreteBearing(given *barrier.Concrete) (b bearing, ok bool) {
	switch {
	case given.Stress != nil:
		kind := "design value"
		if c.d.Basis == loads.BasisASD {
			kind = "allowable value"
		}
		b = bearing{stress: *given.Stress, symbol: "fd", clause: fromFile, provenance: usersOwn}
		b.note = func(r *Recorder) {
			r.step("bearing stress of the concrete, "+kind, "fd", *given.Stress/1e6, "MPa", "", fromFile)
		}
		return b, true
	case given.Strength == nil:
		return bearing{}, false
	}
	f := *given.Strength
	factored := func(stress float64, symbol, strength, clause, formula string, factors ...Step) bearing {
		return bearing{stress: stress, symbol: symbol, clause: clause, provenance: "memory", source: clause + ", from memory", note: func(r *Recorder) {
			r.step("strength of the concrete", strength, f/1e6, "MPa", "", fromFile)
			for _, s := range factors {
				r.step(s.What, s.Symbol, s.Value, "1", "", clause)
			}
			r.step("bearing strength of the concrete", symbol, stress/1e6, "MPa", formula, clause)
		}}
	}
	switch c.d.Basis {
	case loads.BasisLRFD:
		const phi = 0.65
		return factored(phi*0.85*f, "fd", "f'c", "AISC 360-22 J8", "φ 0.85 f'c", Step{What: "factor on resistance", Symbol: "φ", Value: phi}), true
	case loads.BasisASD:
		const omega = 2.31
		return factored(0.85*f/omega, "fd", "f'c", "AISC 360-22 J8", "0.85 f'c / Ω", Step{What: "safety factor", Symbol: "Ω", Value: omega}), true
	case loads.BasisCSA:
		const phi = 0.65
		return factored(0.85*phi*f, "fd", "f'c", "CSA A23.3:19 10.8.1", "0.85 φc f'c", Step{What: "factor on resistance of concrete", Symbol: "φc", Value: phi}), true
	case loads.BasisAS:
		const phi = 0.60
		return factored(phi*0.9*f, "fd", "f'c", "AS 3600:2018 12.6", "φ 0.9 f'c", Step{What: "capacity factor", Symbol: "φ", Value: phi}), true
	}
	const gammaC = 1.5
	return factored(given.Alpha*f/gammaC, "fcd", "fck", "EN 1992-1-1 3.1.6 (3.15)", "αcc fck / γC",
		Step{What: "factor for long-term effects", Symbol: "αcc", Value: given.Alpha}, Step{What: "partial factor on concrete", Symbol: "γC", Value: gammaC}), true
}

// inConcrete is how a post stands in concrete.
type inConcrete struct {
	depth, width float64 // m
}

// lean returns the moments about the horizontal axes as vectors along the shear that would
// bring them, N·m: a load outward has its moment outward.
func (a *FootActions) lean() (x, y float64) { return a.My, -a.Mx }

// blocks returns the force per length in the two blocks, N/m, and the moment about the middle
// of the depth, N·m:
//
//	q = H [2e + √(4e² + L²)] / L²
//
// of a load H at e = h + L/2 above that middle, with H e the moment there of shear and moment
// in any two directions. Where these are not of one direction it is more than is needed.
func (p inConcrete) blocks(a *FootActions) (q, middle float64) {
	x, y := a.lean()
	middle = math.Hypot(x+a.Fx*p.depth/2, y+a.Fy*p.depth/2)
	v := a.Shear() * p.depth
	return (2*middle + math.Sqrt(4*middle*middle+v*v)) / (p.depth * p.depth), middle
}

// front returns the force of the block at the face, N: q a1 with a1 = (L + H/q)/2.
func (p inConcrete) front(a *FootActions) float64 {
	q, _ := p.blocks(a)
	return (q*p.depth + a.Shear()) / 2
}

// linear returns the force per length, N/m, at the face and at the end of the post:
//
//	q0 = (H/L)(4 + 6h/L)    qL = (H/L)(2 + 6h/L)
//
// with H and H h as vectors.
func (p inConcrete) linear(a *FootActions) (face, end float64) {
	x, y := a.lean()
	at := func(shear float64) float64 {
		return math.Hypot(shear*a.Fx+6*x/p.depth, shear*a.Fy+6*y/p.depth) / p.depth
	}
	return at(4), at(2)
}

// neededDepth returns the depth, m, at which two blocks of a force per length q, N/m, carry
// shear and moment that act together: the depth L of the two-block formula.
func neededDepth(shear, moment, q float64) float64 {
	return (shear + math.Sqrt(2*shear*shear+4*q*moment)) / q
}

// buried returns the largest moment in the post, N·m: below the face, where the shear is nil.
func (p inConcrete) buried(a *FootActions) float64 {
	q, _ := p.blocks(a)
	if q == 0 {
		return a.Moment()
	}
	return a.Moment() + a.Shear()*a.Shear()/(2*q)
}

// concreteFootings are the checks and demands of a post set in concrete.
func (c *run) concreteFootings(given *barrier.Concrete) []footing {
	p := inConcrete{given.Depth, given.Width}
	strength, ok := c.concreteBearing(given)
	provenance := analysis.Weakest("derived", strength.provenance)
	two := footing{id: "base-concrete-pressure", link: socketLink, level: analysis.Strength, provenance: provenance}
	two.judge = func(a *FootActions, r *Recorder) float64 {
		q, middle := p.blocks(a)
		if r.keepsSteps() {
			r.step("depth in the concrete", "L", p.depth*1e3, "mm", "", fromFile)
			r.step("width that bears", "b", p.width*1e3, "mm", "", fromFile)
			r.step("shear of the post", "H", a.Shear(), "N", "√(Fx² + Fy²)", twoBlockClause)
			r.step("moment of the post", "M", a.Moment(), "Nm", "√(Mx² + My²)", twoBlockClause)
			r.step("moment about the middle of the depth", "Mm", middle, "Nm", "√((My + Fx L/2)² + (Fy L/2 - Mx)²)", twoBlockClause)
			r.step("force per length in the blocks", "q", q/1e3, "N/mm", "(2Mm + √(4Mm² + H² L²)) / L²", twoBlockClause)
			if q > 0 {
				r.step("length of the block at the face", "a1", (p.depth+a.Shear()/q)/2*1e3, "mm", "(L + H/q) / 2", twoBlockClause)
				r.step("largest moment in the post, below the face", "Mmax", p.buried(a), "Nm", "M + H²/(2q)", twoBlockClause)
			}
			r.step("pressure on the concrete", "f", q/p.width/1e6, "MPa", "q / b", twoBlockClause)
		}
		if !ok {
			return q / p.width / 1e6
		}
		if r.keepsSteps() {
			strength.note(r)
			qd := strength.stress * p.width
			r.step("force per length that the concrete bears", "qd", qd/1e3, "N/mm", strength.symbol+" b", strength.clause)
			r.step("depth that would be enough", "Lmin", neededDepth(a.Shear(), a.Moment(), qd)*1e3, "mm", "(H + √(2H² + 4qd M)) / qd", twoBlockClause)
		}
		return r.verdict(q/p.width/1e6, strength.stress/1e6, "MPa", strength.clause)
	}
	out := []footing{two}
	if !ok {
		f := &out[0]
		f.open, f.what, f.unit = "the strength of the concrete is not given: post.base."+string(c.d.Post.Base.Kind)+".strength", "concrete: pressure of the post (two blocks)", "MPa"
	}
	if given.Elastic {
		out = append(out, p.elastic(strength, ok, provenance))
	}
	if given.Cover == nil || *given.Cover < enoughCover*c.d.Post.BuiltOD() {
		why := "cover is not given: post.base.socket.cover"
		if given.Cover != nil {
			why = fmt.Sprintf("cover of %s is less than %.1f diameters of the tube", quantity.Size(*given.Cover).In(c.o.Units), enoughCover)
		}
		out = append(out, footing{
			id: "base-concrete-edge", link: groundLink, level: analysis.Strength, what: "concrete edge: force of the post near the face", unit: "N",
			open:  why + ", and breakout of an edge has no check",
			judge: func(a *FootActions, _ *Recorder) float64 { return p.front(a) },
		})
	}
	return out
}

// elastic is the check of the linear pressure.
func (p inConcrete) elastic(strength bearing, ok bool, provenance string) footing {
	f := footing{id: "base-concrete-elastic", link: socketLink, level: analysis.Strength, provenance: provenance}
	if !ok {
		f.open, f.what, f.unit = "the strength of the concrete is not given: post.base.socket.strength", "concrete: pressure of the post (linear)", "MPa"
	}
	f.judge = func(a *FootActions, r *Recorder) float64 {
		face, end := p.linear(a)
		q := math.Max(face, end)
		if r.keepsSteps() {
			r.step("depth in the concrete", "L", p.depth*1e3, "mm", "", fromFile)
			r.step("width that bears", "b", p.width*1e3, "mm", "", fromFile)
			r.step("force per length at the face", "q0", face/1e3, "N/mm", "√((4Fx/L + 6My/L²)² + (4Fy/L - 6Mx/L²)²)", elasticClause)
			r.step("force per length at the end of the post", "qL", end/1e3, "N/mm", "√((2Fx/L + 6My/L²)² + (2Fy/L - 6Mx/L²)²)", elasticClause)
			r.step("larger of the two", "qmax", q/1e3, "N/mm", "the larger of q0 and qL", elasticClause)
			r.step("largest pressure on the concrete", "f", q/p.width/1e6, "MPa", "qmax / b", elasticClause)
		}
		if !ok {
			return q / p.width / 1e6
		}
		if r.keepsSteps() {
			strength.note(r)
		}
		return r.verdict(q/p.width/1e6, strength.stress/1e6, "MPa", strength.clause)
	}
	return f
}

// sayConcrete says how a post in concrete is judged, how deep it would have to stand, and what
// its own moment comes to below the face.
func (c *run) sayConcrete(given *barrier.Concrete) {
	p := inConcrete{given.Depth, given.Width}
	say := fmt.Sprintf("Posts stand %s deep in concrete whose face is where they are held: two blocks of pressure carry shear and moment of one load together, by statics", quantity.Size(given.Depth).In(c.o.Units))
	if given.Elastic {
		say += "; the linear pressure of a rigid post is judged as well"
	}
	c.say(say + ". No confinement by the concrete around counts.")
	strength, ok := c.concreteBearing(given)
	depth, at, more := 0.0, "", 0.0
	for _, found := range [][]finding{c.worst.findings, c.worst.demandsOnFeet} {
		for i := range found {
			f := &found[i]
			if f.id != "base-concrete-pressure" || f.placed.Value <= nothing {
				continue
			}
			a := footActions(&f.placed.State, printedAmplification(f.model.tubes.of(true, f.member), &f.placed.State))
			if m := a.Moment(); m > 0 {
				more = math.Max(more, p.buried(&a)/m-1)
			}
			if !ok {
				continue
			}
			if d := neededDepth(a.Shear(), a.Moment(), strength.stress*p.width); analysis.Beats(d, depth) {
				depth, at = d, f.element
			}
		}
	}
	if depth > 0 {
		c.say(fmt.Sprintf("By two blocks a post needs %s of depth in this concrete at most (%s).", quantity.Size(math.Ceil(depth*1e3)/1e3).In(c.o.Units), at))
	}
	if more > 0 {
		c.say(fmt.Sprintf("In the concrete the moment of a post rises above that at the face by %s %% at most; posts are checked at the face.", quantity.Fix(math.Ceil(more*1e3)/10, 1)))
	}
	if given.Cover != nil && *given.Cover >= enoughCover*c.d.Post.BuiltOD() {
		c.say(fmt.Sprintf("Breakout of an edge is left alone: cover of %s is %.1f diameters of the tube or more (common practice).", quantity.Size(*given.Cover).In(c.o.Units), enoughCover))
	}
	if c.d.Post.Base.Kind == barrier.SocketBase {
		c.say("What carries the concrete is not checked.")
	}
}

// groundSources are the sources of what feet in concrete, in earth and under counterweights
// are judged by.
func (c *run) groundSources() []string {
	if c.d.LeaveOut.Base {
		return nil
	}
	b := &c.d.Post.Base
	switch b.Kind {
	case barrier.SocketBase:
		return c.concreteSources(b.Concrete)
	case barrier.EarthBase:
		out := []string{"post in earth: IBC 2021 1807.3.2, read on a public page (public)"}
		if b.Earth.Soil != nil {
			out = append(out, fmt.Sprintf("lateral bearing of %s: %s (%s)", b.Earth.Soil.Describes, b.Earth.Soil.Source, b.Earth.Soil.Provenance))
		}
		if b.Earth.Concrete != nil {
			out = append(out, c.concreteSources(b.Earth.Concrete)...)
		}
		return out
	case barrier.CounterweightBase:
		e := c.weightFactors()
		out := []string{fmt.Sprintf("weights of a foot in equilibrium %.2f and %.2f: %s %s; %s (%s)", e.favourable, e.unfavourable, e.mix.Standard, e.mix.Clause, e.mix.Relief.Source, analysis.Weakest(e.mix.Provenance, e.mix.Relief.Provenance)),
			fmt.Sprintf("global factor of safety %.1f on tipping: common practice (common-practice)", globalSafety)}
		if f := b.Counterweight.Friction; f != nil && f.Contact != nil {
			out = append(out, fmt.Sprintf("friction of %s: %s (%s)", f.Contact.Name, f.Contact.Source, f.Contact.Provenance),
				fmt.Sprintf("factor %.1f on friction: EN 12812, from memory (memory); caps: rule of this program after DIN EN 12195-1 (common-practice)", frictionFactor))
		}
		return out
	}
	return nil
}

// concreteSources are those of a post in concrete.
func (c *run) concreteSources(given *barrier.Concrete) []string {
	out := []string{"pressure of a post in concrete: two blocks and linear, by statics (derived)"}
	if strength, ok := c.concreteBearing(given); ok && strength.source != "" {
		out = append(out, "bearing strength of concrete: "+strength.source+" ("+strength.provenance+")")
	}
	return out
}

// sayGround says how the foot is judged.
func (c *run) sayGround() {
	if c.d.LeaveOut.Base {
		return
	}
	switch c.d.Post.Base.Kind {
	case barrier.SocketBase:
		c.sayConcrete(c.d.Post.Base.Concrete)
	case barrier.EarthBase:
		c.sayEarth()
	case barrier.CounterweightBase:
		c.sayCounterweight()
	}
}
