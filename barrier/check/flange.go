package check

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// flangeFootings are the checks of a flange on bolts.
func (c *run) flangeFootings() []footing {
	f := c.d.Post.Base.Flange
	if f == nil {
		return nil
	}
	p := newPlate(f, c.d.ThinnestPost().Ring.OD, c.d.Basis)
	p.known = cmp.Or(c.d.Post.Tube.Provenance, usersOwn)
	b := newFlangeBolts(f, c.d.ThinnestPost().Ring.OD, c.d.Run.Hazard.Outward(), p)
	out := (&anchoring{kind: "flange", anchors: &f.Anchors, bolts: b, basis: c.d.Basis}).footings()
	if f.Thickness > 0 {
		out = append(out, b.bending())
	}
	return out
}

// flangeBolts are the bolts of a flange.
type flangeBolts struct {
	flange *barrier.Flange
	group  *boltGroup
	plate  *plate
	radius []float64 // of each bolt from the axis of the post, m

	// Of a circle whose first bearing is not given, N for 1 N·m of moment in the worst direction:
	// in a bolt, with how it is found there and what direction that is from a bolt, and in all.
	worst, worstSum float64
	worstBy         boltWay
	worstAt         float64 // rad
}

// newFlangeBolts returns them. Outward is the sign of the outward side along y.
func newFlangeBolts(f *barrier.Flange, od, outward float64, p *plate) *flangeBolts {
	b := &flangeBolts{flange: f, group: newBoltGroup(f, od, outward), plate: p}
	for i := range b.group.x {
		b.radius = append(b.radius, math.Hypot(b.group.x[i], b.group.y[i]))
	}
	if f.AnyBearing {
		b.searchWorst()
	}
	return b
}

// searchWorst finds the worst direction of a moment over one pitch of the circle of bolts. The
// tension in a bolt is largest where it or a gap lies in the direction of the moment or nearly
// so: both are among the directions that are tried.
func (b *flangeBolts) searchWorst() {
	const tried = 720
	pitch := 2 * math.Pi / float64(len(b.radius))
	for k := range tried + 1 {
		angle := pitch * float64(k) / tried
		sin, cos := math.Sincos(angle)
		p := b.group.pulled(FootActions{Mx: sin, My: -cos})
		sum := 0.0
		for i := range b.radius {
			t, by := b.group.tensionBy(&p, i)
			if sum += math.Max(0, t); t > b.worst*(1+1e-12) {
				b.worst, b.worstBy, b.worstAt = t, by, angle
			}
		}
		b.worstSum = math.Max(b.worstSum, sum)
	}
}

func (b *flangeBolts) count() int {
	if b.flange.AnyBearing {
		return 1
	}
	return len(b.radius)
}

func (b *flangeBolts) under(a FootActions) burden {
	if b.flange.AnyBearing {
		return burden{FootActions: a}
	}
	return burden{FootActions: a, pull: b.group.pulled(a)}
}

func (b *flangeBolts) force(u burden, i int) (tension, shear float64) {
	if b.flange.AnyBearing {
		return b.plate.pried(b.unpried(&u, 0), b.radius[0]), b.anyShear(&u.FootActions)
	}
	return b.plate.pried(b.unpried(&u, i), b.radius[i]), b.group.shear(&u.FootActions, i)
}

// unpried returns the tension in a bolt without prying, N.
func (b *flangeBolts) unpried(u *burden, i int) float64 {
	if b.flange.AnyBearing {
		return math.Max(0, u.Fz)/float64(len(b.radius)) + b.worst*u.Moment()
	}
	return math.Max(0, b.group.tension(&u.pull, i))
}

// anyShear returns the shear in a bolt of a circle of any bearing: twist adds to the force where
// a bolt stands square to it.
func (b *flangeBolts) anyShear(a *FootActions) float64 {
	n := float64(len(b.radius))
	return a.Shear()/n + math.Abs(a.Mz)/(n*b.radius[0])
}

func (b *flangeBolts) together(u burden) float64 {
	if b.flange.AnyBearing {
		return b.plate.factor() * (math.Max(0, u.Fz) + b.worstSum*u.Moment())
	}
	sum := 0.0
	for i := range b.radius {
		sum += b.plate.pried(b.unpried(&u, i), b.radius[i])
	}
	return sum
}

func (b *flangeBolts) sheared(a *FootActions) (force float64, formula string) {
	return a.Shear(), "√(Fx² + Fy²)"
}

func (b *flangeBolts) row(i int) BoltRow {
	if b.flange.AnyBearing {
		return BoltRow{Place: "worst of any bearing"}
	}
	at := b.flange.Bolts[i]
	const degree = math.Pi / 180
	bearing := math.Mod(math.Atan2(at.Along, at.Outward)/degree+360, 360)
	bearing = math.Round(bearing*1e6) / 1e6
	if bearing == 360 {
		bearing = 0
	}
	return BoltRow{Place: OnFlange, Bearing: bearing, Outward: at.Outward, Along: at.Along}
}

// noteBolts notes where the bolts stand, and the middle of their group.
func (b *flangeBolts) noteBolts(r *Recorder) {
	g := b.group
	r.given("number of bolts", "n", float64(len(b.radius)), "1", usersOwn, "")
	var x, y []string
	for i := range g.x {
		x, y = append(x, fmt.Sprintf("x%d", i+1)), append(y, fmt.Sprintf("y%d", i+1))
		r.given(fmt.Sprintf("bolt %d, along the run from the axis", i+1), x[i], tidy(g.x[i]*1e3), "mm", usersOwn, "")
		r.given(fmt.Sprintf("bolt %d, to the left of the run", i+1), y[i], tidy(g.y[i]*1e3), "mm", usersOwn, "")
	}
	if !g.centred() {
		r.step("middle of the bolts, along", "xc", g.cx*1e3, "mm", "("+strings.Join(x, " + ")+") / n", "")
		r.step("middle of the bolts, to the left", "yc", g.cy*1e3, "mm", "("+strings.Join(y, " + ")+") / n", "")
	}
}

// places returns the places of the bolts from the middle of their group, in symbols.
func (g *boltGroup) places() (x, y []string) {
	for i := range g.x {
		px, py := fmt.Sprintf("x%d", i+1), fmt.Sprintf("y%d", i+1)
		if !g.centred() {
			px, py = "("+px+" - xc)", "("+py+" - yc)"
		}
		x, y = append(x, px), append(y, py)
	}
	return x, y
}

// centred reports whether the middle of the bolts is the axis of the post.
func (g *boltGroup) centred() bool { return math.Hypot(g.cx, g.cy) < 1e-9 }

// noteLifting notes the moments that lift what stands along the run and to its left, with a
// vertical force, by its symbol, beside the middle of the bolts.
func (g *boltGroup) noteLifting(mx, my float64, force string, r *Recorder) {
	formulas := [2]string{"-My", "Mx"}
	if !g.centred() && force != "" {
		formulas = [2]string{"-My - " + force + " xc", "Mx - " + force + " yc"}
	}
	r.step("moment that lifts what stands along the run", "mx", mx, "Nm", formulas[0], "")
	r.step("moment that lifts what stands to the left", "my", my, "Nm", formulas[1], "")
}

func (b *flangeBolts) noteTension(a *FootActions, i int, r *Recorder) {
	u := b.under(*a)
	if b.flange.AnyBearing {
		r.given("number of bolts", "n", float64(len(b.radius)), "1", usersOwn, "")
	} else {
		b.noteBolts(r)
	}
	r.step("uplift on the bolts", "F", math.Max(0, u.Fz), "N", "Fz, at least 0", "")
	switch {
	case b.flange.AnyBearing:
		r.given("radius of the circle of bolts", "R", b.radius[0]*1e3, "mm", usersOwn, "")
		r.step("moment", "M", a.Moment(), "Nm", "√(Mx² + My²)", "")
		r.step(fmt.Sprintf("moment over the tension in a bolt, the least over all directions (at %.1f deg from a bolt)", b.worstAt*180/math.Pi), "z", 1e3/b.worst, "mm", "", b.worstBy.clause(b.flange))
		r.step("tension in the bolt", "T0", b.unpried(&u, i), "N", "F / n + M / z", b.worstBy.clause(b.flange))
	default:
		switch t, by := b.group.tensionBy(&u.pull, i); by {
		case byGroup:
			b.noteGroup(&u, i, t, r)
		case byBlock:
			b.noteBlock(&u, i, t, r)
		default:
			b.noteTilt(&u, i, t, r)
		}
	}
	b.notePrying(b.unpried(&u, i), i, r)
}

// clause names the method, which no code prints.
func (w boltWay) clause(f *barrier.Flange) string {
	switch {
	case w == byGroup:
		return "statics: rotation about the bolt group"
	case w == byBlock:
		return "AISC Design Guide 1, rectangular bearing"
	case f.Method == barrier.EdgeBearing:
		return "statics: bearing at the flange's edge"
	}
	return "statics: compression at the tube's face"
}

// noteGroup writes the working of rotation about the middle of the group.
func (b *flangeBolts) noteGroup(u *burden, i int, t float64, r *Recorder) {
	g, clause := b.group, byGroup.clause(b.flange)
	formula := "Fz"
	if !g.weight {
		formula += ", at least 0"
	}
	r.step("vertical force shared by the bolts, uplift positive", "N", u.lift, "N", formula, "")
	g.noteLifting(-u.My-u.lift*g.cx, u.Mx-u.lift*g.cy, "N", r)
	x, y := g.places()
	squares := func(p []string) string { return strings.Join(p, "² + ") + "²" }
	r.step("sum of x² from the middle", "Sx", g.sxx*1e6, "mm²", squares(x), "")
	r.step("sum of y² from the middle", "Sy", g.syy*1e6, "mm²", squares(y), "")
	if math.Abs(g.sxy) < 1e-9*(g.sxx+g.syy) {
		r.step("tension in the bolt", "T0", math.Max(0, t), "N", "N / n + mx "+x[i]+" / Sx + my "+y[i]+" / Sy", clause)
		return
	}
	var products []string
	for k := range x {
		products = append(products, x[k]+" "+y[k])
	}
	r.step("sum of x y from the middle", "Sxy", g.sxy*1e6, "mm²", strings.Join(products, " + "), "")
	r.step("tension for a length along, moments balanced about both axes", "kx", u.ax/1e3, "N/mm", "(mx Sy - my Sxy) / (Sx Sy - Sxy²)", clause)
	r.step("tension for a length to the left", "ky", u.ay/1e3, "N/mm", "(my Sx - mx Sxy) / (Sx Sy - Sxy²)", clause)
	r.step("tension in the bolt", "T0", math.Max(0, t), "N", "N / n + kx "+x[i]+" + ky "+y[i], clause)
}

// noteArm writes how far from the axis of the post the flange bears.
func (b *flangeBolts) noteArm(r *Recorder) {
	if b.group.method == barrier.EdgeBearing {
		r.given("from the axis to the bearing edge", "e", b.group.arm*1e3, "mm", usersOwn, "")
		return
	}
	b.plate.noteDiameter(r)
	r.step("from the axis to the face of the tube, at which the flange bears", "e", b.group.arm*1e3, "mm", "D / 2", "")
}

// noteTilt writes the working of tilting on a bearing.
func (b *flangeBolts) noteTilt(u *burden, i int, t float64, r *Recorder) {
	g, p, clause := b.group, &u.pull, byTilt.clause(b.flange)
	b.noteArm(r)
	g.noteLifting(p.mx, p.my, "F", r)
	r.step("moment", "M", p.m, "Nm", "√(mx² + my²)", "")
	if p.tilt == 0 {
		r.step("tension in the bolt", "T0", t, "N", "F / n", clause)
		return
	}
	ux, uy := p.mx/p.m, p.my/p.m
	turned := math.Hypot(p.vx-ux, p.vy-uy) > 1e-9 // from the way of the moment
	what, way := "way in which the flange tilts, that of the moment, along", [2]string{"mx / M", "my / M"}
	if turned {
		what, way = "way in which the flange tilts, by trial until moments balance about both axes, along", [2]string{}
	}
	r.step(what, "vx", tidy(p.vx), "1", way[0], clause)
	r.step("the same, to the left", "vy", tidy(p.vy), "1", way[1], clause)
	net := "M"
	if p.lift < 0 {
		r.step("compression", "N", -p.lift, "N", "-Fz, at least 0", "")
		net = "M - N e (vx mx + vy my) / M"
	}
	r.step("moment that the bolts take", "Mnet", p.net, "Nm", net, clause)
	sum, formula := 0.0, ""
	for k := range g.x {
		d := g.x[k]*p.vx + g.y[k]*p.vy + g.arm
		if d <= 0 {
			continue
		}
		lever := (g.x[k]+g.arm*p.vx)*ux + (g.y[k]+g.arm*p.vy)*uy
		sum += d * lever
		n := k + 1
		r.step(fmt.Sprintf("bolt %d, from the line on which the flange bears", n), fmt.Sprintf("d%d", n), d*1e3, "mm", fmt.Sprintf("x%d vx + y%[1]d vy + e", n), "")
		if formula != "" {
			formula += " + "
		}
		if !turned { // the lever is the stretch
			formula += fmt.Sprintf("d%d²", n)
			continue
		}
		r.step(fmt.Sprintf("bolt %d, its lever in the direction of the moment", n), fmt.Sprintf("l%d", n), lever*1e3, "mm", fmt.Sprintf("((x%d + e vx) mx + (y%[1]d + e vy) my) / M", n), "")
		formula += fmt.Sprintf("d%d l%[1]d", n)
	}
	r.step("sum of stretch by lever of the bolts that are pulled", "S", sum*1e6, "mm²", formula, clause)
	if d := g.x[i]*p.vx + g.y[i]*p.vy + g.arm; d > 0 {
		r.step("tension in the bolt", "T0", t, "N", fmt.Sprintf("F / n + Mnet d%d / S", i+1), clause)
		return
	}
	r.step("tension in the bolt", "T0", t, "N", "F / n", clause)
}

// noteBlock writes the working of a bearing block.
func (b *flangeBolts) noteBlock(u *burden, i int, t float64, r *Recorder) {
	g, p, clause := b.group, &u.pull, byBlock.clause(b.flange)
	n := math.Max(0, -p.lift)
	if g.weight {
		r.step("compression", "N", n, "N", "-Fz, at least 0", "")
	} else {
		r.given("compression: weight is left out", "N", n, "N", derived, "")
	}
	up := math.Max(0, p.lift)
	g.noteLifting(-u.My-up*g.cx, u.Mx-up*g.cy, "F", r)
	r.step("moments about both axes, added", "M", p.m, "Nm", "|mx| + |my|", "")
	r.given("bearing stress of the concrete", "fc", b.flange.Concrete/1e6, "MPa", usersOwn, "")
	var terms strings.Builder
	for side, at := range [4]float64{-g.x[i], g.x[i], -g.y[i], g.y[i]} {
		row := &g.rows[side]
		if p.rows[side] == 0 || at < row.f-1e-6 {
			continue
		}
		axis := "y"
		if side < 2 {
			axis = "x"
		}
		d := row.f + row.depth/2
		r.given("from the axis to the row", "f"+axis, row.f*1e3, "mm", usersOwn, "")
		r.given("depth of the plate", "h"+axis, row.depth*1e3, "mm", usersOwn, "")
		r.given("width of the plate", "b"+axis, row.q/b.flange.Concrete*1e3, "mm", usersOwn, "")
		r.step("bearing for a length", "q"+axis, row.q/1e3, "N/mm", "fc b"+axis, "")
		r.step("lever to the far edge", "D"+axis, d*1e3, "mm", "f"+axis+" + h"+axis+" / 2", "")
		r.step("depth of the block", "Y"+axis, (d-math.Sqrt(d*d-2*(p.m+n*row.f)/row.q))*1e3, "mm", "D"+axis+" - √(D"+axis+"² - 2 (M + N f"+axis+") / q"+axis+")", clause)
		share := p.rows[side] / math.Max(row.tension(p.m, n), math.SmallestNonzeroFloat64)
		r.step("share of the moment", "s"+axis, share, "1", "|m"+axis+"| / M", "")
		r.given("bolts in the row", "n"+axis, row.n, "1", usersOwn, "")
		r.step("tension of a bolt in the row", "T"+axis, p.rows[side]/row.n, "N", "s"+axis+" (q"+axis+" Y"+axis+" - N) / n"+axis, clause)
		terms.WriteString(" + T" + axis)
	}
	r.step("tension in the bolt", "T0", t, "N", "F / n"+terms.String(), clause)
}

func (b *flangeBolts) noteShear(a *FootActions, i int, r *Recorder) {
	const clause = "statics: twist by distance"
	if b.flange.AnyBearing {
		r.given("number of bolts", "n", float64(len(b.radius)), "1", usersOwn, "")
		r.given("radius of the circle of bolts", "R", b.radius[0]*1e3, "mm", usersOwn, "")
		r.step("shear in the bolt, twist where it adds most", "V", b.anyShear(a), "N", "√(Fx² + Fy²) / n + |Mz| / (n R)", clause)
		return
	}
	g := b.group
	b.noteBolts(r)
	x, y := g.places()
	var squares []string
	for k := range x {
		squares = append(squares, x[k]+"² + "+y[k]+"²")
	}
	r.step("sum of the squares of the distances from the middle", "Sp", (g.sxx+g.syy)*1e6, "mm²", strings.Join(squares, " + "), "")
	twist := "Mz"
	if !g.centred() {
		twist = "Mz - (xc Fy - yc Fx)"
	}
	r.step("twist about the middle of the bolts", "Tw", tidy(g.twist(a)), "Nm", twist, "")
	r.step("shear in the bolt", "V", g.shear(a, i), "N", "√((Fx / n - Tw "+y[i]+" / Sp)² + (Fy / n + Tw "+x[i]+" / Sp)²)", clause)
}

// tidy returns 0 for what is nothing but rounding.
func tidy(v float64) float64 {
	if math.Abs(v) < 1e-9 {
		return 0
	}
	return v
}

// plate is what a flange bends and pries by.
type plate struct {
	flange *barrier.Flange
	tube   float64 // half the tube's outside diameter, m
	known  string  // provenance of the tube
	share  float64 // of fy that counts: 1/γM0, φ or 1/Ω
	aisc   bool
	asd    bool
}

// newPlate returns it.
func newPlate(f *barrier.Flange, od float64, basis loads.Basis) *plate {
	p := &plate{flange: f, tube: od / 2, share: 1 / gammaM0}
	switch basis {
	case loads.BasisLRFD:
		p.share, p.aisc = 0.9, true
	case loads.BasisASD:
		p.share, p.aisc, p.asd = 1/1.67, true, true
	}
	return p
}

// lever returns m, from the face of the tube to a bolt at a radius, m.
func (p *plate) lever(radius float64) float64 { return radius - p.tube }

// edge returns the distance from a bolt to the edge of the flange, m: the least of any bolt.
func (p *plate) edge() float64 {
	least := math.Inf(1)
	for i := range p.flange.Bolts {
		least = math.Min(least, p.flange.EdgeDistance(i))
	}
	return least
}

// width returns the width of the plate that bends with one bolt at a radius, m: 45 degrees of
// spread either way, no more than the pitch at the face of the tube and than the plate has.
func (p *plate) width(radius float64) float64 {
	m := p.lever(radius)
	width := math.Min(2*m, 2*math.Pi*p.tube/float64(len(p.flange.Bolts)))
	switch {
	case p.flange.Diameter > 0:
		half := p.flange.Diameter / 2
		width = math.Min(width, 2*math.Sqrt(math.Max(0, half*half-radius*radius)))
	case p.flange.Size[0] > 0:
		width = math.Min(width, m+p.edge())
	}
	return width
}

// moment returns the moment that the width of a bolt at a radius resists, N·m.
func (p *plate) moment(radius float64) float64 {
	t := p.flange.Thickness
	if p.flange.ElasticPlate {
		return p.width(radius) * t * t / 6 * p.flange.Fy * p.share
	}
	return p.width(radius) * t * t / 4 * p.flange.Fy * p.share
}

// factor returns the factor of prying on the tension of the bolts.
func (p *plate) factor() float64 { return p.flange.Prying }

// pryLever returns n of EN 1993-1-8 Table 6.2: from the bolt to where the plate pries, at most
// 1.25 m.
func (p *plate) pryLever(radius float64) float64 {
	return math.Min(p.edge(), 1.25*p.lever(radius))
}

// pried returns the tension in a bolt with prying, N. By the plate: while the hinge at the tube
// is not full nothing pries; beyond, its moment and what pries at the edge carry T m = Mpl + Q n,
// the balance of mode 2 of the equivalent T-stub.
func (p *plate) pried(t, radius float64) float64 {
	if !p.flange.PlatePrying {
		return p.factor() * t
	}
	return t + math.Max(0, t*p.lever(radius)-p.moment(radius))/p.pryLever(radius)
}

// notePrying writes the working of the tension of a bolt with prying.
func (b *flangeBolts) notePrying(t float64, bolt int, r *Recorder) {
	p, radius := b.plate, b.radius[bolt]
	if !p.flange.PlatePrying {
		r.given("factor of prying", "kQ", p.factor(), "1", usersOwn, "")
		r.step("tension with prying", "T", p.factor()*t, "N", "kQ T0", "")
		return
	}
	b.noteMoment(bolt, r)
	const clause = "EN 1993-1-8 Table 6.2, balance of mode 2"
	p.noteEdge(r)
	r.step("lever of prying", "nQ", p.pryLever(radius)*1e3, "mm", "min(eb, 1.25 m)", clause)
	r.step("prying force", "Q", p.pried(t, radius)-t, "N", "max((T0 m - MRd) / nQ, 0)", clause)
	r.step("tension with prying", "T", p.pried(t, radius), "N", "T0 + Q", clause)
}

// noteEdge writes the distance of the bolts to the edge of the flange.
func (p *plate) noteEdge(r *Recorder) {
	r.given("from a bolt to the edge of the flange, the least of any", "eb", p.edge()*1e3, "mm", usersOwn, "")
}

// noteDiameter writes the diameter of the post.
func (p *plate) noteDiameter(r *Recorder) {
	r.given("outside diameter of the post", "D", 2*p.tube*1e3, "mm", p.known, "")
}

// noteMoment writes the working of the moment that the plate resists at a bolt.
func (b *flangeBolts) noteMoment(bolt int, r *Recorder) {
	p, f, radius := b.plate, b.flange, b.radius[bolt]
	if !f.AnyBearing {
		r.step("from the axis of the post to the bolt", "R", radius*1e3, "mm", fmt.Sprintf("√(x%d² + y%[1]d²)", bolt+1), "")
	}
	p.noteDiameter(r)
	r.step("from the face of the tube to the bolt", "m", p.lever(radius)*1e3, "mm", "R - D / 2", "")
	width := "min(2 m, π D / n"
	switch {
	case f.Diameter > 0:
		r.given("diameter of the flange", "Df", f.Diameter*1e3, "mm", usersOwn, "")
		width += ", √(Df² - 4 R²)"
	case f.Size[0] > 0:
		p.noteEdge(r)
		width += ", m + eb"
	}
	r.step("width of plate that bends with a bolt: 45 deg of spread, at most the pitch and what the plate has", "beff", p.width(radius)*1e3, "mm", width+")", "")
	r.given("thickness of the flange", "t", f.Thickness*1e3, "mm", usersOwn, "")
	r.given("yield strength of the flange", "fy", f.Fy/1e6, "MPa", usersOwn, "")
	over := "4"
	if f.ElasticPlate {
		over = "6"
	}
	switch {
	case p.asd:
		r.step("safety factor", "Ω", 1/p.share, "1", "", "AISC 360-22 F1")
		r.step("moment that the plate resists", "MRd", p.moment(radius), "Nm", "beff t² fy / ("+over+" Ω)", p.clause())
	case p.aisc:
		r.step("resistance factor", "φ", p.share, "1", "", "AISC 360-22 F1")
		r.step("moment that the plate resists", "MRd", p.moment(radius), "Nm", "φ beff t² fy / "+over, p.clause())
	default:
		r.step("partial factor on cross-sections", "γM0", 1/p.share, "1", "", "EN 1993-1-1 6.1")
		r.step("moment that the plate resists", "MRd", p.moment(radius), "Nm", "beff t² fy / ("+over+" γM0)", p.clause())
	}
}

// clause is the source of the plate's bending.
func (p *plate) clause() string {
	switch {
	case p.aisc && p.flange.ElasticPlate:
		return "AISC 360-22 F11, first yield"
	case p.aisc:
		return "AISC 360-22 F11-1"
	case p.flange.ElasticPlate:
		return "EN 1993-1-1 6.2.5 (6.14)"
	}
	return "EN 1993-1-1 6.2.5 (6.13)"
}

// bending is the check of the flange between tube and bolt: the moment T m of a bolt against what
// the plate resists. Where prying by the plate is counted a second hinge at the bolts helps.
func (b *flangeBolts) bending() footing {
	p := b.plate
	hinges := 1.0
	if p.flange.PlatePrying {
		hinges = 2
	}
	return footing{
		id: "base-flange-bending", link: footLink, level: analysis.Strength, provenance: "memory",
		judge: func(a *FootActions, r *Recorder) float64 {
			u := b.under(*a)
			most, bolt := 0.0, 0
			for i := range b.count() {
				if v := b.unpried(&u, i) * p.lever(b.radius[i]) / p.moment(b.radius[i]); v > most {
					most, bolt = v, i
				}
			}
			m, resistance := b.unpried(&u, bolt)*p.lever(b.radius[bolt]), hinges*p.moment(b.radius[bolt])
			if r.keepsSteps() {
				b.noteTension(a, bolt, r)
				if !p.flange.PlatePrying {
					b.noteMoment(bolt, r)
				}
				r.step("moment in the plate", "MEd", m, "Nm", "T0 m", "")
				if hinges == 2 {
					r.step("moment of both hinges", "M2", resistance, "Nm", "2 MRd", "EN 1993-1-8 Table 6.2, mode 1")
				}
			}
			return r.verdict(m, resistance, "Nm", p.clause())
		},
	}
}
