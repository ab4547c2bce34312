package check

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// hasOpen reports whether an item of one of the kinds is unchecked.
func (c *run) hasOpen(kinds ...ItemKind) bool {
	return slices.ContainsFunc(c.out.Unchecked, func(it Item) bool { return slices.Contains(kinds, it.Kind) })
}

// openEnds lists what nothing checked, or the user left out, with its demand.
func (c *run) openEnds() {
	c.openFittings()
	c.openJoint()
	c.openSpliceDemands()
	c.openBase()
	c.openWalls()
	c.openToePlate()
	c.openDeflection()
	c.openFeet()
	c.openSplices()
	c.openStability()
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
// tested value.
func (c *run) openFittings() {
	left := c.d.LeaveOut.Fitting
	for _, e := range [...]struct{ kind, what string }{
		{"slip", "slip along the"}, {"twist", "twist about the"}, {"force", "force across the"}, {"moment", "moment in the"},
	} {
		if c.tested(e.kind) != nil && !left {
			continue
		}
		if worst := worstKind(c.worst.fittings, e.kind); worst != nil {
			it := largest(OpenFitting, "fitting: "+e.what+" "+worst.grip.tube, worst.element)
			it.Reason = "no tested value given"
			c.openUnless(left, c.demanded(it, worst))
		}
	}
}

// demanded returns an item with the demand that was found on a joint.
func (c *run) demanded(it Item, f *finding) Item {
	it.Demand, it.Unit, it.Load = f.placed.Value, gripUnit(f.grip.kind), f.placed.Placement.In(c.o.Units)
	return it
}

// openSpliceDemands lists the largest demands on a splice.
func (c *run) openSpliceDemands() {
	for _, e := range [...]struct{ kind, what string }{{"slip", "axial force"}, {"force", "shear"}} {
		if worst := worstKind(c.worst.splices, e.kind); worst != nil {
			it := largest(OpenSplice, "splice: "+e.what, worst.element)
			it.Reason = "splices have no check yet"
			c.openUnless(c.d.LeaveOut.Fitting, c.demanded(it, worst))
		}
	}
}

// openBase lists the largest demands of a post on what holds it.
func (c *run) openBase() {
	for _, e := range [...]struct {
		what, unit string
		of         func(*extremes) *analysis.Placed
	}{{"moment", "Nm", baseMoment}, {"shear", "N", baseShear}, {"axial force", "N", baseAxial}} {
		top := largestPost(c.worst.posts, e.of)
		p := e.of(&c.worst.posts[top])
		it := largest(OpenBase, "socket, foot and ground: "+e.what, postName(top))
		it.Reason, it.Demand, it.Unit, it.Load = "the checks of feet are not supported yet", p.Value, e.unit, p.Placement.In(c.o.Units)
		c.openUnless(c.d.LeaveOut.Base, it)
	}
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
	largest := 0.0
	for i := range c.out.Posts {
		largest = math.Max(largest, c.out.Posts[i].TopDeflection)
	}
	for i := range c.out.Rails {
		largest = math.Max(largest, c.out.Rails[i].Deflection)
	}
	switch {
	case !c.limits.any() && !c.limits.none:
		c.open(Item{Kind: OpenDeflection, Item: "deflection", Reason: "no limit from a schedule or the user; deflection = \"none\" says that none is wanted", Demand: largest, Unit: "mm"})
	case len(c.limits.total) == 0 && !c.limits.none:
		c.open(Item{Kind: OpenTotalMovement, Item: "deflection: total movement", Reason: "limits are given for posts or spans alone, and none for the total movement across at any point", Demand: largest, Unit: "mm"})
	}
	what := "deflection"
	if !c.limits.any() {
		what = "deflection: vertical movement"
	}
	if c.feetOpen() && (c.limits.any() || c.limits.vertical != nil || len(c.limits.loaded) > 0) {
		c.open(Item{Kind: OpenDeflection, Item: what, Reason: join("the stiffness of the feet is not given", c.footSentence()), Demand: largest, Unit: "mm"})
	}
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
	c.open(Item{Kind: OpenFoot, Item: "foot stiffness", Unit: "1",
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
	if c.offered == nil {
		none = "; no positions can be proposed within its stock"
	}
	c.open(Item{Kind: OpenSplicePlaces, Item: "splice positions", Unit: "1",
		Reason: "rail " + names + " runs through and is longer than its stock, and its splices are not given; two models are run, and neither is a bound: a splice in some bays raises moments and movements far above both" + none})
}

// openStability lists member buckling and second order where they may not be
// left alone.
func (c *run) openStability() {
	n := c.worst.second
	if c.d.Basis == loads.BasisEN && n > negligibleAxial {
		c.open(Item{Kind: OpenBuckling, Item: "member buckling", Demand: n, Unit: "1",
			Reason: fmt.Sprintf("NEd/Ncr is above %.2f (EN 1993-1-1 6.3.1.2(4)) and the check is not supported yet", negligibleAxial)})
	}
	if slices.ContainsFunc(slices.Concat(c.worst.findings, c.worst.moved), func(f finding) bool { return c.beyondFirstOrder(&f) }) {
		c.open(Item{Kind: OpenSecondOrder, Item: "second order", Demand: n, Unit: "1",
			Reason: fmt.Sprintf("the amplification 1/(1 - N/Ncr) is above %.2f, which asks for a second-order analysis", amplifyTo)})
	}
}
