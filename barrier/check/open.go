package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// hasOpen reports whether an item of one of the kinds is unchecked.
func (c *run) hasOpen(kinds ...ItemKind) bool {
	return slices.ContainsFunc(c.out.Unchecked, func(it Item) bool { return slices.Contains(kinds, it.Kind) })
}

// openEnds lists what nothing checked, or the user left out, with its demand.
func (c *run) openEnds() {
	c.openLoads()
	c.openFittings()
	c.openSurvey()
	c.openJoint()
	c.openSpliceDemands()
	c.openBase()
	c.openBraces()
	c.openWalls()
	c.openToePlate()
	c.openGates()
	c.openDeflection()
	c.openFeet()
	c.openSplices()
	c.openCorrosion()
	c.openSecondOrder()
	c.openLeaning()
	for _, g := range c.out.Geometry {
		if g.Status == Unchecked {
			c.open(Item{Kind: OpenGeometry, Item: "geometry: " + g.Rule, Reason: g.Note, Demand: g.Found, Unit: "mm"})
		}
	}
	c.openPiece()
}

// largest returns an item that is a demand of the element where it is largest.
func largest(kind ItemKind, what, element string) Item {
	return Item{Kind: kind, Item: what + " (largest: " + element + ")", What: what, Element: element}
}

// open lists an item as unchecked.
func (c *run) open(it Item) { c.out.Unchecked = append(c.out.Unchecked, it) }

// openUnless lists an item as unchecked, or as left out by the user.
func (c *run) openUnless(left bool, it Item) {
	if !left {
		c.open(it)
		return
	}
	it.Reason = "left out by the user"
	c.out.LeftOut = append(c.out.LeftOut, it)
}

// openFittings lists the largest demand of each kind on a fitting that has no
// tested value: on those at corners apart, for they are other fittings.
func (c *run) openFittings() {
	left := c.d.LeaveOut.Fitting
	for _, corner := range [2]bool{false, true} {
		name, found := "fitting: ", c.worst.fittings
		if corner {
			name, found = "corner fitting: ", c.worst.corners
		}
		for _, e := range [...]struct{ kind, what string }{
			{"slip", "slip along the"}, {"twist", "twist about the"}, {"force", "force across the"}, {"moment", "moment in the"},
		} {
			if c.tested(corner, e.kind) != nil && !left {
				continue
			}
			if worst := worstKind(found, e.kind); worst != nil {
				it := largest(OpenFitting, name+e.what+" "+worst.grip.tube, worst.element)
				it.Reason = "no tested value given"
				c.openUnless(left, c.demanded(it, worst))
			}
		}
	}
}

// demanded returns an item with the demand that was found on a joint.
func (c *run) demanded(it Item, f *finding) Item {
	it.Demand, it.Unit, it.Load = f.placed.Value, gripUnit(f.grip.kind), c.loadWords(f)
	return it
}

// openSpliceDemands lists the largest demands on a splice. Where splices pass a moment a
// tested value proves it, and it is checked; with the splices left out it is free.
func (c *run) openSpliceDemands() {
	left := c.d.LeaveOut.Fitting
	for _, e := range [...]struct{ kind, what, key string }{{"slip", "axial force", "splice_slip"}, {"force", "shear", "splice_shear"}} {
		open := slices.DeleteFunc(slices.Clone(c.worst.splices), func(f finding) bool {
			return !left && spliceGiven(&c.d.Rails[f.member], e.kind) != nil
		})
		if worst := worstKind(open, e.kind); worst != nil {
			it := largest(OpenSplice, "splice: "+e.what, worst.element)
			it.Reason = "no tested value given: " + e.key
			if of := c.d.Rails[worst.member].SpliceCoupler; of != nil {
				it.Reason = of.Name + " has no value of it; tested values, all of them, can stand in place of splice_class"
			}
			c.openUnless(left, c.demanded(it, worst))
		}
	}
}

// openBase lists the largest demands of a post on what holds it. Where a post is lifted, what
// lifts and what presses stand apart, for other things hold them.
func (c *run) openBase() {
	if c.d.Post.Base.Kind != barrier.NoBase && !c.d.LeaveOut.Base {
		c.openFootings()
		return
	}
	list := func(what, unit string, post int, p *held) {
		it := largest(OpenBase, "socket, foot and ground: "+what, postName(post))
		it.Reason, it.Demand, it.Unit, it.Load = "the foot is not described: post.base.kind", p.Value, unit, p.LoadIn(c.o.Units)+p.raise.words()
		c.openUnless(c.d.LeaveOut.Base, it)
	}
	for i, e := range [...]struct{ what, unit string }{{"moment", "Nm"}, {"shear", "N"}} {
		post, p := c.largestHeld(i)
		list(e.what, e.unit, post, p)
	}
	if c.lifted == nil {
		post, p := c.largestHeld(2)
		list("axial force", "N", post, p)
	} else {
		list("uplift", "N", c.lifted.post, &c.lifted.held)
		if c.pressed != nil {
			list("downward force", "N", c.pressed.post, &c.pressed.held)
		}
	}
	c.openOverturning()
}

// largestHeld returns the post whose foot must carry most of the moment (0), the shear (1) or
// the axial force (2).
func (c *run) largestHeld(kind int) (post int, most *held) {
	for i := range c.worst.posts {
		x := &c.worst.posts[i]
		plain := [...]*analysis.Placed{&x.base, &x.shear, &x.axial}[kind]
		value, factor := plain.Value, 0.0
		if x.feet != nil {
			value = x.feet[kind].Value
			if k := c.fixingOf(plain.Placement.Action); analysis.Beats(k*plain.Value, value) { // with the frame's own second order
				value, factor = k*plain.Value, k
			}
		}
		if most != nil && !analysis.Beats(value, most.Value) {
			continue
		}
		if post = i; x.feet != nil && factor == 0 {
			most = &x.feet[kind]
			continue
		}
		most = &held{*plain, raise{factor: factor}}
		most.Value = value
	}
	return post, most
}

// thrust is the largest design axial force of one sign at the foot of a post.
type thrust struct {
	post int
	held
}

// thrusts finds the post that is lifted most and, where one is, that which is pressed most.
func (c *run) thrusts() {
	if c.lifted = c.largestAxial(1); c.lifted != nil {
		c.pressed = c.largestAxial(-1)
	}
}

// largestAxial returns the largest design axial force of one sign at the foot of a post,
// tension positive, N, over the models that stand; nil where there is none.
func (c *run) largestAxial(sign float64) *thrust {
	worst := thrust{post: -1}
	worst.Value = nothing
	axial := analysis.Measure{
		Of:    func(s *analysis.State) float64 { return sign * s.N },
		Bound: func(s *analysis.State) float64 { return math.Abs(s.N) },
		Range: func(least, most *analysis.State) float64 { return max(sign*least.N, sign*most.N) },
	}
	for i := range c.d.Run.Posts {
		for _, m := range c.models {
			if m.hasTwin(i) {
				continue
			}
			q := analysis.Query{Level: analysis.Strength, Floor: worst.Value, Measures: []analysis.Measure{axial}}
			p := &c.worstHeld(m, m.analysis.Post(i).Probes[0], 0, q)[0][0]
			if p.Found() && analysis.Beats(p.Value, worst.Value) {
				worst = thrust{i, *p}
			}
		}
	}
	if worst.post < 0 {
		return nil
	}
	return &worst
}

// openGates lists the gates: what hangs in them stands beside the barrier.
func (c *run) openGates() {
	for _, g := range c.d.Run.Gaps {
		if g.Gate {
			c.open(Item{Kind: OpenGate, Item: "gate " + c.stretchWords(g.From, g.To),
				Reason: "its leaf, hinges and latch, and what they put on the posts beside it, are no part of the frame"})
		}
	}
}

// stretchWords says from where to where something reaches.
func (c *run) stretchWords(from, to float64) string {
	return "from x = " + c.place(from) + " to " + c.place(to)
}

// worstKind returns the largest demand of a kind on either tube, nil for none.
func worstKind(found []finding, kind string) *finding {
	var worst *finding
	for i := range found {
		if found[i].grip.kind == kind && found[i].placed.Value > nothing && (worst == nil || worst.worse(&found[i])) {
			worst = &found[i]
		}
	}
	return worst
}

// openDeflection lists movement where no limit or no foot stiffness judges it,
// with the largest movement across.
func (c *run) openDeflection() {
	largest := c.largestMovement()
	switch {
	case !c.limits.any() && !c.limits.none:
		c.open(Item{Kind: OpenDeflection, Item: "deflection", Reason: "no limit from a schedule or the user; deflection = \"none\" says that none is wanted", Demand: largest, Unit: "mm"})
	case !c.limits.anyTotal() && !c.limits.none:
		c.open(Item{Kind: OpenTotalMovement, Item: "deflection: total movement", Reason: "limits are given for posts or spans alone, and none for the total movement across at any point", Demand: largest, Unit: "mm"})
	case len(c.unlimited()) > 0 && !c.limits.none:
		c.open(Item{Kind: OpenTotalMovement, Item: "deflection: total movement", Reason: "the limits given are about other loads, and none is given for the total movement across under " + strings.Join(c.unlimited(), ", "), Demand: largest, Unit: "mm"})
	}
	what := "deflection"
	if !c.limits.any() {
		what = "deflection: vertical movement"
	}
	if c.feetOpen() && (c.limits.any() || c.limits.anyVertical()) {
		c.open(Item{Kind: OpenDeflection, Item: what, Reason: join("the stiffness of the feet is not given", c.footSentence()), Demand: largest, Unit: "mm"})
	}
}

// largestMovement returns the largest movement across of the top of a post or of a rail, mm.
func (c *run) largestMovement() float64 {
	largest := 0.0
	for i := range c.worst.posts {
		largest = math.Max(largest, c.worst.posts[i].top.Value*1e3)
	}
	for i := range c.worst.rails {
		largest = math.Max(largest, c.worst.rails[i].across.Value*1e3)
	}
	return largest
}

// unlimited names the loads under which the total movement across has no limit though it has
// one under others.
func (c *run) unlimited() []string {
	var out []string
	for _, a := range c.actions {
		if c.limits.leavesOpen(a) && !slices.Contains(out, a.Name) {
			out = append(out, a.Name)
		}
	}
	return out
}

// feetOpen reports whether the stiffness of the feet is open: not given, and rigid
// feet do not already move too far.
func (c *run) feetOpen() bool { return len(c.d.Post.Base.Stiffness) == 0 && !c.beyond }

// openFeet lists the strength on soft feet where no limit of movement bounds them.
func (c *run) openFeet() {
	if !c.feetOpen() || c.least != nil {
		return
	}
	why := "no limit of movement says how soft a foot may be"
	if c.limits.any() {
		why = "no least stiffness was found at which every limit of movement is met"
	}
	c.open(Item{Kind: OpenFoot, Item: "foot stiffness",
		Reason: "not given, and " + why + ": strength is checked with rigid feet alone, and softer ones raise rail moments"})
}

// openSplices lists the splice positions where they are not known.
func (c *run) openSplices() {
	if !unknownSplices(c.d) {
		return
	}
	names := ""
	for i := range c.d.Rails {
		if c.d.Rails[i].SpliceState == barrier.SplicesUnknown {
			if names != "" {
				names += ", "
			}
			names += c.d.Rails[i].Name
		}
	}
	none := ""
	if _, ok := proposed(c.d); !ok {
		none = "; no positions can be proposed within its stock"
	}
	c.open(Item{Kind: OpenSplicePlaces, Item: "splice positions",
		Reason: "rail " + names + " runs through and is longer than its stock, and its splices are not given; two models are run, and neither is a bound: a splice in some bays raises moments and movements far above both" + none})
}

// openSecondOrder lists second order where neither the bound nor a run of the frame judges it:
// in a check, in what braces ask of their fittings and feet, and in what rails ask of walls.
func (c *run) openSecondOrder() {
	for f := range c.worst.all() {
		if !f.unjudged() {
			continue
		}
		why := "the frame leans by more than 1/(1 - N/Ncr) of this check's own compression, which asks for a second-order analysis"
		if f.beyondFirstOrder() {
			why = fmt.Sprintf("the amplification 1/(1 - N/Ncr) is above %.2f, which asks for a second-order analysis", amplifyTo)
		}
		c.open(Item{Kind: OpenSecondOrder, Item: "second order", Demand: c.worst.second, Unit: "1", Reason: join(why, f.unbent)})
		break
	}
	for i := range c.worst.braces {
		if c.worst.braces[i].factor() > amplifyTo && (c.d.LeaveOut.Fitting || c.d.LeaveOut.Base || c.hasOpen(OpenBraceFitting, OpenBraceFoot)) {
			c.open(Item{Kind: OpenSecondOrder, Item: "second order: fittings and feet of braces", Demand: c.worst.braces[i].second, Unit: "1",
				Reason: fmt.Sprintf("their forces are raised by %.2f at most, and 1/(1 - N/Ncr) of a post with a brace is above it", amplifyTo)})
			break
		}
	}
	for i := range c.worst.rails {
		if len(c.out.Ends) > 0 && (c.d.LeaveOut.Base || c.hasOpen(OpenWall)) && amplificationAt(c.worst.rails[i].second) > amplifyTo {
			c.open(Item{Kind: OpenSecondOrder, Item: "second order: walls", Demand: c.worst.rails[i].second, Unit: "1",
				Reason: fmt.Sprintf("the moments on walls are raised by %.2f at most, and 1/(1 - N/Ncr) of a rail is above it", amplifyTo)})
			break
		}
	}
}
