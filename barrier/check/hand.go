package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/analysis"
)

// handChecks sets hand formulas beside the frame's values: the post with the
// largest base moment, the inner post with the largest, the same post's top, and
// each rail that carries a load. They are no bound.
func (c *run) handChecks() {
	posts := c.merged().posts
	largest, inner := 0, -1
	for i := range posts {
		if posts[i].base.Value > posts[largest].base.Value*(1+1e-9) {
			largest = i
		}
		if i > 0 && i < len(posts)-1 && (inner < 0 || posts[i].base.Value > posts[inner].base.Value*(1+1e-9)) {
			inner = i
		}
	}
	c.handPost(largest)
	if inner >= 0 && inner != largest {
		c.handPost(inner)
	}
	c.handTop(largest)
	for i := range c.d.Rails {
		c.handRail(i)
	}
}

// unitForce returns the way a placed load points, in the run's axes.
func unitForce(p *analysis.Placement) [3]float64 {
	f := p.Force()
	return [3]float64{f[0] / p.Value, f[1] / p.Value, f[2] / p.Value}
}

// tributary returns half of the bays beside a post, m.
func (c *run) tributary(post int) float64 {
	x := c.d.Run.Posts
	w := 0.0
	if post > 0 {
		w += (x[post] - x[post-1]) / 2
	}
	if post < len(x)-1 {
		w += (x[post+1] - x[post]) / 2
	}
	return w
}

// largerBay returns the larger bay beside a post, m.
func (c *run) largerBay(post int) float64 {
	x := c.d.Run.Posts
	w := 0.0
	if post > 0 {
		w = x[post] - x[post-1]
	}
	if post < len(x)-1 {
		w = math.Max(w, x[post+1]-x[post])
	}
	return w
}

// onPost returns the force of an action on a lone post, N, with its share on each
// rail, and the words for it.
func (c *run) onPost(a *analysis.Action, post int) (force float64, words string) {
	switch {
	case !a.Point:
		return a.Value * c.tributary(post), "w × tributary width"
	case a.PerSpacing:
		return a.Value * c.largerBay(post), "load per spacing × larger bay"
	}
	return a.Value, "P"
}

func (c *run) handPost(i int) {
	p := &c.merged().posts[i].base
	a := p.Placement.Action
	if a == nil {
		return
	}
	force, words := c.onPost(a, i)
	f := unitForce(&p.Placement)
	hand := 0.0
	for _, s := range a.Rails {
		hand += force * s.Share * (c.d.Rails[s.Rail].Height - c.d.Post.Base.Level)
	}
	hand *= p.Combination.Variable * math.Hypot(f[0], f[1])
	if hand == 0 {
		return // a load straight up or down
	}
	h := HandCheck{What: "post base moment, lone cantilever", Element: postName(i), Formula: "γ × " + words + " × height above the foot", Hand: hand, Frame: p.Value, Unit: "Nm"}
	h.Ratio = h.Frame / h.Hand
	switch {
	case h.Ratio > 1 && c.spliceNear(i):
		h.Why = "a splice beside this post hangs the next piece of rail on it"
	case h.Ratio > 1:
		h.Why = "a continuous rail puts more than its tributary load on a post (up to 1.25 of it on stiff posts), or another load than the hand formula's governs"
	case h.Ratio < 0.70:
		h.Why = "the rails carry part of the load to the neighbouring posts"
	}
	c.out.HandChecks = append(c.out.HandChecks, h)
}

// spliceNear reports whether a rail has a splice in a bay beside a post.
func (c *run) spliceNear(post int) bool {
	x := c.d.Run.Posts
	for i := range c.d.Rails {
		for _, s := range c.d.Rails[i].Splices {
			if s > x[max(post-1, 0)] && s < x[min(post+1, len(x)-1)] {
				return true
			}
		}
	}
	return false
}

// handTop is the movement of the top of a lone cantilever on its foot's spring:
// F a² (3h - a)/6EI + F a h/k for a force at a on a post of height h.
func (c *run) handTop(i int) {
	p := &c.merged().posts[i].top
	a := p.Placement.Action
	if a == nil || p.Value == 0 {
		return
	}
	force, words := c.onPost(a, i)
	h := c.d.Post.Height - c.d.Post.Base.Level
	foot := math.Inf(1)
	for _, m := range c.models[:len(c.models)-1] {
		foot = math.Min(foot, m.layout.FootStiffness)
	}
	hand := 0.0
	for _, s := range a.Rails {
		arm := c.d.Rails[s.Rail].Height - c.d.Post.Base.Level
		hand += force * s.Share * (arm*arm*(3*h-arm)/(6*c.d.Post.Grade.E*c.d.Post.Ring.I) + arm*h/foot)
	}
	if hand *= math.Abs(unitForce(&p.Placement)[1]); hand == 0 {
		return
	}
	row := HandCheck{What: "post top movement, lone cantilever", Element: postName(i), Formula: words + " × [a²(3h - a)/6EI + a h/k]", Hand: hand * 1e3, Frame: p.Value * 1e3, Unit: "mm"}
	row.Ratio = row.Frame / row.Hand
	switch {
	case row.Ratio > 1:
		row.Why = "the rails bring more than the tributary load to this post"
	case row.Ratio < 0.70:
		row.Why = "the rails hold the post's top to its neighbours"
	}
	c.out.HandChecks = append(c.out.HandChecks, row)
}

func (c *run) handRail(i int) {
	p := &c.merged().rails[i].moment
	a := p.Placement.Action
	if a == nil {
		return
	}
	share := 0.0
	for _, s := range a.Rails {
		if s.Rail == i {
			share = s.Share
		}
	}
	if share == 0 {
		return
	}
	x := c.d.Run.Posts
	bay := x[p.Probe.Bay+1] - x[p.Probe.Bay]
	h := HandCheck{What: "rail moment, simple span", Element: railName(c.d.Rails[i].Name, p.Probe.Bay), Frame: p.Value, Unit: "Nm"}
	unit := unitForce(&p.Placement)
	f := p.Combination.Variable * share * math.Hypot(unit[1], unit[2])
	if f == 0 {
		return // a load along the rail
	}
	if a.Point {
		h.Formula, h.Hand = "γ P L/4", f*p.Placement.Value*bay/4
	} else {
		h.Formula, h.Hand = "γ w L²/8", f*p.Placement.Value*bay*bay/8
	}
	h.Ratio = h.Frame / h.Hand
	cut := false
	for _, s := range c.d.Rails[i].Splices {
		cut = cut || s > x[p.Probe.Bay] && s < x[p.Probe.Bay+1]
	}
	switch {
	case h.Ratio > 1 && cut:
		h.Why = "the rail cantilevers to the splice in this bay"
	case h.Ratio > 1:
		h.Why = "the posts move, so the rail spreads the load over more than one bay; own weight is in the frame's value"
	case h.Ratio < 0.70:
		h.Why = "the rail is continuous over its posts"
	}
	c.out.HandChecks = append(c.out.HandChecks, h)
}

// loadPath says, link by link, what carries the load to the ground.
func (c *run) loadPath() {
	member := func(name, prefix string) Link {
		l := Link{Link: name, Status: Checked, Utilisation: c.largestOf(prefix)}
		switch {
		case c.hasOpen("member buckling") || c.hasOpen("second order"):
			l.Status, l.Note = Unchecked, "checked but for stability"
		case l.Utilisation == nil:
			l.Note = "no bound"
		}
		return l
	}
	c.out.LoadPath = append(c.out.LoadPath, member("rail", "rail-"))
	fitting := Link{Link: "fitting", Status: Unchecked, Note: "no tested values"}
	switch {
	case c.d.LeaveOut.Fitting:
		fitting.Status, fitting.Note = LeftOut, ""
	case c.fittingsComplete():
		fitting.Status, fitting.Utilisation, fitting.Note = Checked, c.largestOf("fitting-"), ""
	case c.largestOf("fitting-") != nil:
		fitting.Utilisation, fitting.Note = c.largestOf("fitting-"), "checked in part"
	}
	c.out.LoadPath = append(c.out.LoadPath, fitting, member("post", "post-"))
	for _, name := range []string{"socket", "foot", "ground"} {
		l := Link{Link: name, Status: Unchecked, Note: "its check is not supported yet"}
		if c.d.LeaveOut.Base {
			l.Status, l.Note = LeftOut, ""
		}
		c.out.LoadPath = append(c.out.LoadPath, l)
	}
}

// hasOpen reports whether an item of that name is unchecked.
func (c *run) hasOpen(name string) bool {
	return slices.ContainsFunc(c.out.Unchecked, func(it Item) bool { return it.Item == name })
}

func (c *run) largestOf(prefix string) *float64 {
	ref := governing(c.out.Checks, func(r *CheckRow) bool { return strings.HasPrefix(r.ID, prefix) && governs(r) })
	return ref.Utilisation
}

// fittingsComplete reports whether every demand on the fittings and splices was
// checked.
func (c *run) fittingsComplete() bool {
	for _, it := range c.out.Unchecked {
		if strings.HasPrefix(it.Item, "fitting:") || strings.HasPrefix(it.Item, "splice:") {
			return false
		}
	}
	return c.largestOf("fitting-") != nil
}

// openEnds lists what nothing checked, or the user left out, with its demand.
func (c *run) openEnds() {
	m := c.merged()
	lay := func(left bool, it Item) {
		if left {
			it.Reason = "left out by the user"
			c.out.LeftOut = append(c.out.LeftOut, it)
			return
		}
		c.out.Unchecked = append(c.out.Unchecked, it)
	}
	f := &c.d.LeaveOut
	for _, kind := range [...]string{"slip", "twist", "force", "moment"} {
		if c.tested(kind) != nil && !f.Fitting {
			continue
		}
		worst := worstKind(m.fittings, kind)
		if worst == nil {
			continue
		}
		tube, _ := splitID(worst.id)
		name := map[string]string{"slip": "slip along the ", "twist": "twist about the ", "force": "force across the ", "moment": "moment in the "}[kind] + tube
		lay(f.Fitting, Item{fmt.Sprintf("fitting: %s (largest: %s)", name, worst.element), "no tested value given", worst.placed.Value, gripUnit(kind), worst.placed.Placement.String()})
	}
	for _, kind := range [...]string{"slip", "force"} {
		if worst := worstKind(m.splices, kind); worst != nil {
			name := map[string]string{"slip": "axial force", "force": "shear"}[kind]
			lay(f.Fitting, Item{fmt.Sprintf("splice: %s (largest: %s)", name, worst.element), "splices have no check yet", worst.placed.Value, "N", worst.placed.Placement.String()})
		}
	}
	for _, e := range [...]struct {
		what, unit string
		of         func(*extremes) *analysis.Placed
	}{
		{"moment", "Nm", func(x *extremes) *analysis.Placed { return &x.base }},
		{"shear", "N", func(x *extremes) *analysis.Placed { return &x.shear }},
		{"axial force", "N", func(x *extremes) *analysis.Placed { return &x.axial }},
	} {
		top := 0
		for i := range m.posts {
			if e.of(&m.posts[i]).Value > e.of(&m.posts[top]).Value*(1+1e-9) {
				top = i
			}
		}
		p := e.of(&m.posts[top])
		lay(f.Base, Item{fmt.Sprintf("socket, foot and ground: %s (largest: %s)", e.what, postName(top)), "the checks of feet are not supported yet", p.Value, e.unit, p.Placement.String()})
	}
	c.openDeflection()
	c.openFeet()
	c.openSplices()
	c.openStability()
	for _, g := range c.out.Geometry {
		if g.Status == Unchecked {
			c.out.Unchecked = append(c.out.Unchecked, Item{Item: "geometry: " + g.Rule, Reason: g.Note, Demand: g.Found, Unit: "mm"})
		}
	}
}

// worstKind returns the largest demand of a kind on either tube, nil for none.
func worstKind(found []finding, kind string) *finding {
	var worst *finding
	for i := range found {
		if _, k := splitID(found[i].id); k == kind && found[i].placed.Value > 1e-9 && (worst == nil || worst.worse(&found[i])) {
			worst = &found[i]
		}
	}
	return worst
}

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
		c.out.Unchecked = append(c.out.Unchecked, Item{Item: "deflection", Reason: "no limit from a schedule or the user; deflection = \"none\" says that none is wanted", Demand: largest, Unit: "mm"})
	case c.limits.total == nil && !c.limits.none:
		c.out.Unchecked = append(c.out.Unchecked, Item{Item: "deflection: total movement", Reason: "limits are given for posts or spans alone, and none for the total movement across at any point", Demand: largest, Unit: "mm"})
	}
	switch {
	case c.feetOpen() && (c.limits.any() || c.limits.vertical != nil):
		c.out.Unchecked = append(c.out.Unchecked, Item{Item: "deflection", Reason: join("the stiffness of the feet is not given", c.footSentence()), Demand: largest, Unit: "mm"})
	}
}

// feetOpen reports whether the stiffness of the feet is open: not given, and rigid
// feet do not already move too far.
func (c *run) feetOpen() bool { return len(c.d.Post.Base.Stiffness) == 0 && !c.beyond }

// openFeet lists the strength on soft feet where no limit of movement bounds them.
func (c *run) openFeet() {
	if c.feetOpen() && c.least == nil {
		c.out.Unchecked = append(c.out.Unchecked, Item{Item: "foot stiffness", Unit: "1",
			Reason: "not given, and no limit of movement says how soft a foot may be: strength is checked with rigid feet alone, and softer ones raise rail moments"})
	}
}

func (c *run) openSplices() {
	if !unknownSplices(c.d) {
		return
	}
	names := ""
	for i := range c.d.Rails {
		if c.d.Rails[i].SpliceState == "unknown" {
			if names != "" {
				names += ", "
			}
			names += c.d.Rails[i].Name
		}
	}
	none := ""
	if len(c.shown) == 0 {
		none = "; no positions can be proposed within its stock"
	}
	c.out.Unchecked = append(c.out.Unchecked, Item{Item: "splice positions", Unit: "1",
		Reason: "rail " + names + " runs through and is longer than its stock, and its splices are not given; two models are run, and neither bounds a splice in an end bay" + none})
}

// openStability lists member buckling and second order where they may not be
// left alone.
func (c *run) openStability() {
	n := c.merged().second
	if n > negligibleAxial {
		c.out.Unchecked = append(c.out.Unchecked, Item{Item: "member buckling", Reason: "NEd/Ncr is above 0.04 (EN 1993-1-1 6.3.1.2(4)) and the check is not supported yet", Demand: n, Unit: "1"})
	}
	if k := 1 / (1 - n); n >= 1 || k > amplifyTo {
		c.out.Unchecked = append(c.out.Unchecked, Item{Item: "second order", Reason: "the amplification 1/(1 - NEd/Ncr) is above 1.10, which asks for a second-order analysis", Demand: n, Unit: "1"})
	}
}
