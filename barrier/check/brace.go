package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
)

func braceName(i int) string { return fmt.Sprintf("brace %d", i+1) }

// braceExtremes are the largest values of one brace, each on its own.
type braceExtremes struct {
	compression, tension analysis.Placed
	strength             float64 // largest utilisation
	second               float64 // of the critical force of its post, as the post's compression counts it
	leaning              float64 // likewise, what the brace itself takes from the post's stability
}

// factor returns the factor of second order on the force of a brace: that of its post at its
// largest compression. A brace holds its post and never presses it with more than the frame
// shows, so it lowers no critical force; the one of the post stays that of a lone cantilever,
// a cautious lower bound. What that bound makes of the post's moments it makes of the brace
// that takes a share of them.
func (x *braceExtremes) factor() float64 { return amplificationAt(x.second) }

// leaningOf returns what a brace takes from the stability of its post, over the post's
// critical force. A brace pressed by N leans on its post when that sways across it: by
// N/L for each unit. The post, which the brace pulls upwards by the same N rise/L, holds
// itself upright by that over its own height. Only a foot that stands above that of the
// post leaves a rest, as if the post were pressed by N rise/L (height/rise - 1).
func (m *model) leaningOf(c *run, brace int, compression float64) float64 {
	b := &c.d.Braces[brace]
	above := (b.Height-c.d.Post.Base.Level)/b.Rise() - 1
	return m.tubes.of(true, b.Post).ofCritical(math.Max(0, compression*b.Rise()/b.Length()*above))
}

// raised returns a judge of a brace's state whose axial force is raised by a factor, which
// it notes.
func raised(k float64, j judge) judge {
	if k == 1 {
		return j
	}
	return func(s *analysis.State, r *Recorder) float64 {
		t := *s
		t.N *= k
		r.given("factor of second order of its post at its largest compression", "kp", k, "1", derived, FromFrame)
		r.step("axial force with it, tension positive", "N", t.N, "N", "kp N", "")
		return j(&t, r)
	}
}

// braceGrips are the demands of the fitting that joins a brace to its post: on the brace
// from its own state at the head, on the post from what the brace does to it.
var braceGrips = [...]grip{
	{"brace", "slip", sizeAxial, "|N|"},
	{"brace", "force", sizeShear, "√(Vy² + Vz²)"},
	{"post", "slip", size(func(s *analysis.State) float64 { return s.Vz }), "|Vz|"},
	{"post", "force", size(func(s *analysis.State) float64 { return math.Hypot(s.N, s.Vy) }), "√(N² + Vy²)"},
}

// brace searches one brace. Its post is searched before.
func (m *model) brace(c *run, i int) {
	x, t := &m.braces[i], m.tubes.braces[i]
	x.second = m.posts[c.d.Braces[i].Post].second
	k := math.Min(x.factor(), amplifyTo) // above it nothing is judged
	var strength []named
	for _, s := range c.situations {
		of := s.by(t)
		strength = append(strength, named{id: "brace-interaction", judge: raised(k, of.Interaction), by: s}, named{id: "brace-buckling", judge: raised(k, of.Buckling), by: s})
	}
	yield := []named{{id: "brace-yield", judge: raised(k, t.Yield)}}
	pulls := func(s *analysis.State, r *Recorder) float64 { return r.verdict(math.Max(0, s.N), 1, "", "") }
	e := m.analysis.Brace(i)
	demands, elastic := newSearch(analysis.Strength, strength, raised(k, sizePressed)), newSearch(analysis.FirstYield, yield)
	demands.queries[0].Measures = append(demands.queries[0].Measures, analysis.Measure{
		Of:    func(s *analysis.State) float64 { return raised(k, pulls)(s, nil) },
		Bound: func(s *analysis.State) float64 { return k * math.Abs(s.N) },
	})
	if c.depth == failing {
		x.strength = -1
		m.addBrace(x, i, strength, m.braceAbove(e, analysis.Strength, strength))
		m.addBrace(x, i, yield, m.braceAbove(e, analysis.FirstYield, yield))
		m.braceFitting(c, i, k, e)
		return
	}
	placed := m.analysis.WorstOf(e, slices.Concat(demands.queries, elastic.queries)...)
	stressed, sized := demands.found(&placed)
	yielding, _ := elastic.found(&placed)
	x.compression, x.tension = sized[0], sized[1]
	x.leaning = m.leaningOf(c, i, x.compression.Value)
	x.strength = -1
	m.addBrace(x, i, strength, stressed)
	m.addBrace(x, i, yield, yielding)
	m.braceFitting(c, i, k, e)
}

// braceAbove returns what is found of some checks of a brace above the floor.
func (m *model) braceAbove(e *analysis.Element, l analysis.Level, checks []named) []analysis.Placed {
	s := newSearch(l, checks)
	found := m.worstOf(e, flooredAt(m.floor, s.queries)...)
	placed, _ := s.found(&found)
	return placed
}

// addBrace notes the findings of one brace, and its largest utilisation.
func (m *model) addBrace(x *braceExtremes, i int, checks []named, found []analysis.Placed) {
	for n, check := range checks {
		if !found[n].Found() {
			continue // below the floor
		}
		f := finding{id: check.id, element: braceName(i), member: i, factor: x.factor(), judge: check.judge, by: check.by, placed: found[n], model: m}
		m.findings = append(m.findings, f)
		if !isYield(f.id) || f.utilisation() > 1 {
			x.strength = math.Max(x.strength, f.utilisation())
		}
	}
}

// braceFitting notes the demands on the fitting that joins a brace to its post.
func (m *model) braceFitting(c *run, i int, k float64, e *analysis.Element) {
	last := e.Probes[len(e.Probes)-1]
	head := m.analysis.BraceHead(i)
	for n := range braceGrips {
		g := &braceGrips[n]
		if c.depth == failing {
			break
		}
		probe, station := head, 0.0
		if g.tube == "brace" {
			probe, station = last, last.Length
		}
		demand := func(s *analysis.State, r *Recorder) float64 { return k * g.judge(s, r) }
		found := c.worstHeld(m, probe, station, analysis.Query{Level: analysis.Strength, Measures: []analysis.Measure{measure(demand)}})[0][0]
		m.bracing = append(m.bracing, finding{id: g.id(), element: braceName(i), member: i, grip: g, factor: k, judge: found.raise.judge(demand), raise: found.raise.kept(), placed: found.Placed, model: m})
	}
	if !c.d.LeaveOut.Fitting {
		m.checkBraceFitting(c, i, head, last)
	}
	if !c.d.LeaveOut.Base {
		m.findings = append(m.findings, m.checkBraceFoot(c, i)...)
	}
}

// checkBraceFitting checks the fitting that joins a brace to its post against its values, on
// either tube; of a check the worse stays.
func (m *model) checkBraceFitting(c *run, i int, head, last *analysis.Probe) {
	values, factor := &c.d.Fitting.Brace.Tested, m.braces[i].factor()
	of := askedOf{prefix: "brace-grip", element: braceName(i), member: i, level: levelOf(values.Values), sum: linearSum, by: ofValues(values.Coupler)}
	var worst []finding
	for _, at := range [...]struct {
		tube    string
		probe   *analysis.Probe
		station float64
	}{{"brace", last, last.Length}, {"post", head, 0}} {
		of.asks, of.tube = askedOfTube(braceGrips[:], at.tube, values, 1, factor), strings.TrimPrefix(at.tube, "post")
		for k := range of.asks {
			of.asks[k].raised = math.Min(factor, amplifyTo) // above it nothing is judged
		}
		worst = worstByID(worst, m.checkJoint(c, at.probe, at.station, of))
	}
	m.findings = append(m.findings, worst...)
}

// braceFootActions are what a brace does to the ground.
var braceFootActions = [...]struct {
	kind, extreme, symbol, what string
	formula                     string
	of, most                    func(*analysis.State) float64
	given                       func(*barrier.BraceFoot) *float64
}{
	{"uplift", "Fz+", "U", "uplift of the foot", "Vz, at least 0", func(s *analysis.State) float64 { return math.Max(0, s.Vz) }, func(s *analysis.State) float64 { return math.Abs(s.Vz) }, func(f *barrier.BraceFoot) *float64 { return f.Uplift }},
	{"downward", "Fz-", "D", "downward force on the foot", "-Vz, at least 0", func(s *analysis.State) float64 { return math.Max(0, -s.Vz) }, func(s *analysis.State) float64 { return math.Abs(s.Vz) }, func(f *barrier.BraceFoot) *float64 { return f.Downward }},
	{"shear", "H", "H", "horizontal force on the foot", "√(N² + Vy²)", func(s *analysis.State) float64 { return math.Hypot(s.N, s.Vy) }, nil, func(f *barrier.BraceFoot) *float64 { return f.Shear }},
}

// checkBraceFoot checks the foot of a brace against what it resists.
func (m *model) checkBraceFoot(c *run, i int) []finding {
	foot, factor := &c.d.Braces[i].Foot, m.braces[i].factor()
	of := askedOf{prefix: "brace-foot", element: braceName(i), member: i, level: levelOf(foot.Values), sum: linearSum, by: usersOwn}
	for _, e := range braceFootActions {
		if given := e.given(foot); given != nil {
			of.asks = append(of.asks, asked{
				kind: e.kind, what: e.what, symbol: e.symbol, unit: "N", of: e.of, formula: e.formula, most: e.most, raised: math.Min(factor, amplifyTo), second: factor, weight: 1,
				resisting: resisting{given: given, values: foot.Values, factor: foot.ValuesFactor, by: "value given"},
			})
		}
	}
	return m.checkJoint(c, m.analysis.BraceFoot(i), 0, of)
}

// worst takes the worse of two models.
func (x *braceExtremes) worst(y *braceExtremes) {
	for _, p := range [...][2]*analysis.Placed{{&x.compression, &y.compression}, {&x.tension, &y.tension}} {
		if analysis.Beats(p[1].Value, p[0].Value) {
			*p[0] = *p[1]
		}
	}
	x.strength, x.second, x.leaning = math.Max(x.strength, y.strength), math.Max(x.second, y.second), math.Max(x.leaning, y.leaning)
}

// mergeBraces keeps the worst of the models of every brace.
func (c *run) mergeBraces(w *model) {
	w.braces, w.bracing = slices.Clone(c.models[0].braces), slices.Clone(c.models[0].bracing)
	for _, m := range c.models[1:] {
		w.bracing = worstOf(w.bracing, m.bracing)
		for i := range w.braces {
			w.braces[i].worst(&m.braces[i])
		}
	}
}

// BraceRow is one brace: where it stands, the largest design forces along it of any
// combination, and its largest utilisation. The foot is told from the axis of the post, in
// the axes of the leg that ends there.
type BraceRow struct {
	Brace       int      `json:"brace"`
	Post        int      `json:"post"`
	Height      float64  `json:"height_m"` // where its axis meets that of the post
	FootOutward float64  `json:"foot_outward_m"`
	FootAlong   float64  `json:"foot_along_m"`
	FootLevel   float64  `json:"foot_level_m"`  // level of its foot above the walking surface
	Length      float64  `json:"length_m"`      // length from its foot to the axis of the post
	Compression float64  `json:"compression_N"` // largest compression, a size
	Tension     float64  `json:"tension_N"`     // largest tension, a size
	Utilisation *float64 `json:"utilisation"`
}

// BraceFoot is what a brace does to the ground: three concurrent forces, at the placement
// that makes one of them extreme. X runs along, Y to the left, Z up; positive Fz is uplift. A
// pinned foot passes no moment.
type BraceFoot struct {
	Brace           int     `json:"brace"`
	ExtremeOf       string  `json:"extreme_of"` // Fz+ Fz- H (horizontal)
	Level           string  `json:"level"`      // design, characteristic
	Combination     string  `json:"combination"`
	CombinationName string  `json:"combination_name,omitempty"`
	Load            string  `json:"load"`
	Fx              float64 `json:"Fx_N"`
	Fy              float64 `json:"Fy_N"`
	Fz              float64 `json:"Fz_N"`
}

// Extreme returns the size of what the row makes largest, N.
func (r *BraceFoot) Extreme() float64 {
	switch r.ExtremeOf {
	case "Fz+":
		return r.Fz
	case "Fz-":
		return -r.Fz
	}
	return math.Hypot(r.Fx, r.Fy)
}

// braceRows fills the braces, their fittings among the fittings, and their feet.
func (c *run) braceRows() {
	for i := range c.d.Braces {
		b, x := &c.d.Braces[i], &c.worst.braces[i]
		c.out.Braces = append(c.out.Braces, BraceRow{
			Brace: i + 1, Post: b.Post + 1, Height: b.Height, FootOutward: b.Outward, FootAlong: b.Along, FootLevel: b.Level, Length: b.Length(),
			Compression: x.compression.Value, Tension: x.tension.Value, Utilisation: optional(x.strength),
		})
		c.braceFootRows(i)
	}
	c.braceFittingRows()
}

// braceFittingRows adds what each brace does to its fitting, on either tube.
func (c *run) braceFittingRows() {
	for i := range c.worst.bracing {
		f := &c.worst.bracing[i]
		if f.placed.Value <= nothing {
			continue
		}
		row := FittingRow{
			Fitting: f.element, Tube: f.grip.tube, ExtremeOf: f.grip.kind, Level: "design",
			Combination: f.placed.Combination.String(), CombinationName: f.placed.Combination.Name, Load: c.loadWords(f),
		}
		state := f.raise.of(&f.placed.State)
		for _, g := range braceGrips {
			switch {
			case g.tube != f.grip.tube:
			case g.kind == "slip":
				row.Slip = f.factor * g.judge(&state, nil)
			default:
				row.Force = f.factor * g.judge(&state, nil)
			}
		}
		c.out.Fittings = append(c.out.Fittings, row)
	}
}

// braceFootExtremes are the measures of what a brace does to the ground.
var braceFootExtremes = [...]struct {
	name string
	of   func(*analysis.State) float64
}{
	{"Fz+", func(s *analysis.State) float64 { return s.Vz }},
	{"Fz-", func(s *analysis.State) float64 { return -s.Vz }},
	{"H", func(s *analysis.State) float64 { return math.Hypot(s.N, s.Vy) }},
}

// braceFootRows adds what one brace does to the ground, over the models that stand.
func (c *run) braceFootRows(i int) {
	for l, level := range [...]analysis.Level{analysis.Strength, analysis.Characteristic} {
		for n, e := range braceFootExtremes {
			var worst held
			k := 1.0
			for _, m := range c.models {
				factor := math.Min(m.braces[i].factor(), amplifyTo)
				measure := analysis.Measure{
					Of:    func(s *analysis.State) float64 { return factor * e.of(s) },
					Bound: func(s *analysis.State) float64 { return factor * math.Max(math.Abs(s.Vz), math.Hypot(s.N, s.Vy)) },
				}
				found := c.worstHeld(m, m.analysis.BraceFoot(i), 0, analysis.Query{Level: level, Measures: []analysis.Measure{measure}})[0][0]
				if !worst.Found() || analysis.Beats(found.Value, worst.Value) {
					worst, k = found, factor
				}
			}
			if worst.Value <= nothing {
				continue
			}
			raised := worst.raised()
			s := &raised
			c.out.BraceFeet = append(c.out.BraceFeet, BraceFoot{
				Brace: i + 1, ExtremeOf: braceFootExtremes[n].name, Level: [...]string{"design", "characteristic"}[l],
				Combination: worst.Combination.String(), CombinationName: worst.Combination.Name, Load: worst.LoadIn(c.o.Units) + worst.raise.words(), Fx: k * s.N, Fy: k * s.Vy, Fz: k * s.Vz,
			})
		}
	}
}

// openBraces lists the largest demands on the fittings and the feet of braces. The tested
// values of [fitting] are those of the fittings between rails and posts.
func (c *run) openBraces() {
	for _, g := range braceGrips {
		v := resistingOf(&c.d.Fitting.Brace.Tested, g.kind)
		if v.given != nil && !c.d.LeaveOut.Fitting {
			continue
		}
		var worst *finding
		for i := range c.worst.bracing {
			if f := &c.worst.bracing[i]; f.grip.id() == g.id() && f.placed.Value > nothing && (worst == nil || worst.worse(f)) {
				worst = f
			}
		}
		if worst == nil {
			continue
		}
		what := map[string]string{"slip": "slip along the ", "force": "force across the "}[g.kind]
		it := largest(OpenBraceFitting, "brace fitting: "+what+g.tube, worst.element)
		it.Reason = "no tested value given: fitting.brace; those of [fitting] are of rails"
		c.openUnless(c.d.LeaveOut.Fitting, c.demanded(it, worst))
	}
	for k, e := range [...]struct{ extreme, what string }{{"Fz+", "uplift"}, {"Fz-", "downward force"}, {"H", "horizontal force"}} {
		var worst *BraceFoot
		for i := range c.out.BraceFeet {
			r := &c.out.BraceFeet[i]
			if braceFootActions[k].given(&c.d.Braces[r.Brace-1].Foot) != nil && !c.d.LeaveOut.Base {
				continue
			}
			if r.ExtremeOf == e.extreme && r.Level == "design" && (worst == nil || analysis.Beats(r.Extreme(), worst.Extreme())) {
				worst = r
			}
		}
		if worst != nil {
			it := largest(OpenBraceFoot, "foot of a brace and ground: "+e.what, braceName(worst.Brace-1))
			it.Reason, it.Demand, it.Unit, it.Load = "nothing says what it resists: brace.foot."+braceFootActions[k].kind, worst.Extreme(), "N", worst.Load
			c.openUnless(c.d.LeaveOut.Base, it)
		}
	}
}

// openLeaning lists second order where the braces of a post take so much from its stability
// that it may not be left alone: as if each were pressed most at the same time.
func (c *run) openLeaning() {
	post, most := -1, 0.0
	for i := range c.d.Run.Posts {
		leaning := 0.0
		for _, brace := range c.d.BracesOf(i) {
			leaning += c.worst.braces[brace].leaning
		}
		if analysis.Beats(leaning, most) {
			post, most = i, leaning
		}
	}
	if post >= 0 && amplificationAt(most) > amplifyFrom {
		c.open(Item{Kind: OpenSecondOrder, Item: "second order: braces of " + postName(post), Demand: most, Unit: "1",
			Reason: "a brace whose foot stands above that of its post leans on it, where it is pressed, by more than the post's tension holds: that asks for a second-order analysis"})
	}
}

// braceLinks are the links of the load path that a brace brings.
func (c *run) braceLinks() []Link {
	if len(c.d.Braces) == 0 {
		return nil
	}
	own := Link{Link: "brace", Status: Checked, Utilisation: c.largestOf("brace-interaction", "brace-buckling", "brace-yield")}
	switch {
	case c.hasOpen(OpenSecondOrder):
		own.Status, own.Note = Unchecked, "checked but for stability"
	case own.Utilisation == nil:
		own.Note = "no bound"
	}
	return []Link{
		own,
		c.jointLink("brace fitting", "no tested values", c.d.LeaveOut.Fitting, OpenBraceFitting, "brace-grip-"),
		c.jointLink("brace foot", "nothing says what it resists", c.d.LeaveOut.Base, OpenBraceFoot, "brace-foot-"),
	}
}

// sayBraces says how braces are modelled.
func (c *run) sayBraces() {
	if len(c.d.Braces) == 0 {
		return
	}
	c.say("Braces are pinned at both ends: the axis of each meets that of its post, and its foot holds translations and does not give. Their fittings pass forces and no moment, and weigh nothing.")
	c.say("A brace is a strut between its ends (member buckling included); its post's critical force stays that of a lone cantilever, which is cautious, and where that raises the moments of the post it raises the force of the brace.")
	if c.piece != nil {
		c.say("The test piece stands without braces.")
	}
}

// hasBrace reports whether a post carries a brace. No hand formula stands beside such a
// post: a lone cantilever is another structure. That is said once.
func (c *run) hasBrace(post int) bool {
	if len(c.d.BracesOf(post)) == 0 {
		return false
	}
	const said = "No hand formula stands beside base and top of post %s: a brace props it, and a lone cantilever is another structure."
	note := quantity.Say(said, fmt.Sprint(post+1))
	if !slices.ContainsFunc(c.notes, func(n quantity.Sentence) bool { return n.In(quantity.Metric) == note.In(quantity.Metric) }) {
		c.notes = append(c.notes, note)
	}
	return true
}

// bracedFoot returns the post with a brace whose foot is pulled or pressed most, -1 for none.
func (c *run) bracedFoot() int {
	top := -1
	for i := range c.d.Run.Posts {
		if len(c.d.BracesOf(i)) > 0 && (top < 0 || analysis.Beats(c.worst.posts[i].axial.Value, c.worst.posts[top].axial.Value)) {
			top = i
		}
	}
	return top
}
