package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
)

func postName(i int) string { return fmt.Sprintf("post %d", i+1) }

// railName names a part of a rail: a bay, or an overhang.
func (c *run) railName(rail, bay int) string {
	name := "rail " + c.d.Rails[rail].Name
	switch {
	case bay < 0:
		return name + " overhang start"
	case bay >= len(c.supports)-1:
		return name + " overhang end"
	}
	return fmt.Sprintf("%s bay %d", name, bay+1)
}

// place prints a position, m.
func (c *run) place(x float64) string { return quantity.Place(x).In(c.o.Units) }

// where says where a section is along its element.
func (c *run) where(p *analysis.Placed) string {
	q := p.Probe
	switch {
	case q.Length == 0:
		return ""
	case q.Brace >= 0:
		return c.place(p.Station) + " from its foot"
	case q.Rail >= 0:
		return "x = " + c.place(q.From+p.Station)
	case p.Station == 0 && math.Abs(q.From-c.d.Post.Base.Level) < 1e-9:
		return "foot"
	}
	z := q.From + p.Station
	for _, i := range c.d.BracesOf(q.Post) {
		if math.Abs(c.d.Braces[i].Height-z) < 1e-9 {
			side := "above"
			if p.Station > 0 {
				side = "below"
			}
			return side + " " + braceName(i)
		}
	}
	for i := range c.d.Rails {
		if math.Abs(c.d.Rails[i].Height-z) < 1e-9 {
			side := "above"
			if p.Station > 0 {
				side = "below"
			}
			return side + " rail " + c.d.Rails[i].Name
		}
	}
	return "z = " + c.place(z)
}

// traceOfUse is the utilisation below which a check is of nothing but rounding.
const traceOfUse = 1e-12

// row runs the check once more on its governing state, noting the working.
func (c *run) row(f *finding) (CheckRow, Trail) {
	var r *Recorder
	switch {
	case c.o.Trails:
		r = &Recorder{}
	case c.depth == whole:
		r = &c.inBrief
		*r = Recorder{brief: true}
	}
	u := f.judged(r)
	if u < traceOfUse {
		u = 0
	}
	if math.Abs(u-f.placed.Value) > 1e-9*(1+math.Abs(u)) && !math.IsInf(u, 1) {
		panic("check: " + f.id + " of " + f.element + " judges its own state otherwise the second time")
	}
	row := CheckRow{ID: f.id, Element: f.element, Utilisation: bounded(u), Status: Pass}
	if c.depth == whole {
		c.tell(&row, f, r)
	}
	switch {
	case u > 1:
		row.Status = Fail
	case f.unjudged():
		row.Status, row.Utilisation = Unchecked, nil
	}
	if !c.o.Trails {
		return row, Trail{}
	}
	return row, c.trail(f, &row, r.Steps)
}

// tell fills what a row tells beside its verdict.
func (c *run) tell(row *CheckRow, f *finding, r *Recorder) {
	combination := f.placed.Combination
	words := c.wordsOf(combination)
	row.Demand, row.Resistance, row.Unit, row.Clause = r.Demand, r.Resistance, r.Unit, r.Clause
	row.LimitState, row.Combination, row.CombinationName = words.limitState, words.factors, combination.Name
	row.Load, row.Section, row.Provenance = c.loadWords(f), c.where(&f.placed), c.provenance(f)
	if f.bent != nil {
		row.SecondOrder = f.bent.words
	}
}

// combinationWords are what is told of a combination.
type combinationWords struct{ limitState, factors string }

// wordsOf returns those of a combination, made once: rows share a few.
func (c *run) wordsOf(of *analysis.Combination) combinationWords {
	words, known := c.inWords[of]
	if !known {
		words = combinationWords{of.LimitState(), of.String()}
		if c.inWords == nil {
			c.inWords = map[*analysis.Combination]combinationWords{}
		}
		c.inWords[of] = words
	}
	return words
}

// loadWords tells the load of a finding, and where it is raised.
func (c *run) loadWords(f *finding) string {
	return f.placed.LoadIn(c.o.Units) + f.raise.words()
}

// judged runs the check of a finding on its governing state, noting the working.
func (f *finding) judged(r *Recorder) float64 {
	if f.bent != nil {
		return f.bent.judge(&f.bent.state, r)
	}
	return f.judge(&f.placed.State, r)
}

// actionsOf returns the variable actions of a placed load: the one that is placed and those
// that act with it.
func actionsOf(p *analysis.Placed) []*analysis.Action {
	var out []*analysis.Action
	if p.Placement.Action != nil {
		out = append(out, p.Placement.Action)
	}
	if p.Combination.Beside != nil {
		for _, t := range p.Combination.Beside.Terms {
			out = append(out, t.Action)
		}
	}
	return out
}

// provenance returns the weakest provenance of the values a check rests on: every
// load, its factor, that on resistance, the tube's size, the grade's strength, the limit. A tested
// value and a limit of the file are the user's, which stands where the rest is
// public.
func (c *run) provenance(f *finding) string {
	var words []string
	users := false
	combination := f.placed.Combination
	words = append(words, combination.FactorsBy)
	for _, a := range actionsOf(&f.placed) {
		words = append(words, a.Provenance)
		switch {
		case combination.Level == analysis.FirstYield:
			words = append(words, a.YieldBy)
		case combination.Level == analysis.Strength && combination.FactorsBy == "" && combination.Name == "": // not the user's own
			words = append(words, a.StrengthBy)
		}
	}
	if f.by != nil {
		words = append(words, f.by.gamma.provenance)
	}
	switch {
	case f.joint != nil:
		users = f.joint.provenance == usersOwn
		words = append(words, f.joint.provenance)
	case f.footing != nil:
		users = f.footing.provenance == usersOwn
		words = append(words, f.footing.provenance)
	case f.limit != nil:
		users = f.limit.provenance == usersOwn
		words = append(words, f.limit.provenance, c.memberOf(f).Tube.Provenance)
		if f.held.soft != nil {
			words = append(words, f.held.soft.hardening.provenance)
		}
	default:
		words = append(words, c.memberOf(f).Tube.Provenance, c.memberOf(f).Grade.Provenance)
		if f.net != nil {
			words = append(words, f.net.rule.known)
		}
	}
	weakest := analysis.Weakest(words...)
	if users && weakest == "public" {
		return usersOwn
	}
	return cmp.Or(weakest, usersOwn)
}

// memberOf returns the post, the rail or the brace that a finding is about.
func (c *run) memberOf(f *finding) *barrier.Member {
	switch kind, _, _ := strings.Cut(f.id, "-"); kind {
	case "rail":
		return &c.d.Rails[f.member].Member
	case "brace":
		return &c.d.Braces[f.member].Member
	case "post", "base":
		return c.d.PostMember(f.member)
	}
	return &c.d.Post.Member
}

// checkRows fills the checks, the trails and the governing ones.
func (c *run) checkRows() {
	found := c.inOrder()
	c.out.Checks = slices.Grow(c.out.Checks, len(found))
	for _, f := range found {
		row, trail := c.row(f)
		if f.limit != nil && !c.models[0].movement { // for want of a foot stiffness
			row.Status, row.Utilisation = Unchecked, nil
		}
		c.out.Checks = append(c.out.Checks, row)
		if c.o.Trails {
			c.out.Trails = append(c.out.Trails, trail)
		}
	}
	c.takePiece()
	g := &c.out.Governing
	for i, ref := range [...]*CheckRef{&g.Overall, &g.Strength, &g.FirstYield, &g.Deflection} {
		*ref = governing(c.out.Checks, governed[i])
	}
	if c.depth == whole {
		c.frameFactors()
	}
}

// inOrder returns the findings in the order of the checks, then the movements that are not
// checked for want of a foot stiffness.
func (c *run) inOrder() []*finding {
	out := byID(c.worst.findings)
	if !c.models[0].movement {
		out = append(out, byID(c.worst.moved)...)
	}
	return out
}

// placeOfID is where a check stands among the ids.
var placeOfID = sync.OnceValue(func() map[string]int {
	order := map[string]int{}
	for i, id := range checkIDs {
		order[id.ID] = i
	}
	return order
})

// byID returns findings in the order of the checks.
func byID(found []finding) []*finding {
	order := placeOfID()
	out := make([]*finding, len(found))
	for i := range found {
		out[i] = &found[i]
	}
	slices.SortStableFunc(out, func(a, b *finding) int { return order[a.id] - order[b.id] })
	return out
}

// governs reports whether a check may govern: first yield stands beside the code
// checks and comes forward when it fails.
func governs(r *CheckRow) bool {
	return r.Status == Fail || r.Status == Pass && !isYield(r.ID)
}

func isMovement(id string) bool { return strings.HasSuffix(id, "-deflection") }

func isYield(id string) bool { return strings.HasSuffix(id, "-yield") }

// governed are the checks among which the overall one, that of strength, first yield and that of
// movement are sought.
var governed = [...]func(*CheckRow) bool{
	governs,
	func(r *CheckRow) bool { return governs(r) && !isMovement(r.ID) },
	func(r *CheckRow) bool { return isYield(r.ID) && r.Status != Unchecked },
	func(r *CheckRow) bool { return governs(r) && isMovement(r.ID) },
}

// governingRow returns the row with the largest utilisation, -1 for none.
func governingRow(rows []CheckRow, wanted func(*CheckRow) bool) int {
	top := -1
	for i := range rows {
		if wanted(&rows[i]) && (top < 0 || analysis.Beats(utilisationOf(&rows[i]), utilisationOf(&rows[top]))) {
			top = i
		}
	}
	return top
}

// governing returns the largest utilisation; one without bound is above all. Of
// the checks of that element that print the same, the first is named: bending
// before bending with a trace of axial force. It is told of the element where it
// is largest, which prints the same too: that row stands for its check in a report.
func governing(rows []CheckRow, wanted func(*CheckRow) bool) CheckRef {
	top := governingRow(rows, wanted)
	if top < 0 {
		return CheckRef{}
	}
	for i := range rows[:top] {
		r := &rows[i]
		if wanted(r) && r.Element == rows[top].Element && thousandths(utilisationOf(r)) == thousandths(utilisationOf(&rows[top])) && isMovement(r.ID) == isMovement(rows[top].ID) {
			top = governingRow(rows, func(of *CheckRow) bool { return of.ID == r.ID && wanted(of) })
			break
		}
	}
	return CheckRef{rows[top].ID, rows[top].Element, rows[top].Utilisation}
}

// elementRows fills the posts and the rails.
func (c *run) elementRows() {
	m := c.worst
	c.out.Posts = slices.Grow(c.out.Posts, len(c.d.Run.Posts))
	for i, x := range c.d.Run.Posts {
		e := &m.posts[i]
		c.out.Posts = append(c.out.Posts, PostRow{
			Post: i + 1, X: x, Leg: c.legOf(x), At: c.standsAt(x), BaseMoment: e.base.Value, BaseShear: e.shear.Value, BaseAxial: e.axial.State.N,
			TopDeflection: e.top.Value * 1e3, AlongDeflection: e.along.value * 1e3, VerticalDeflection: e.vertical.downwards(),
			Utilisation: optional(e.strength), DeflectionUtilisation: c.deflectionOf(e),
		})
	}
	for i := range c.d.Rails {
		e := &m.rails[i]
		row := RailRow{
			Rail: c.d.Rails[i].Name, Height: c.d.Rails[i].Height, Moment: e.moment.Value, Shear: e.shear.Value,
			Torsion: e.torsion.Value, Axial: e.axial.State.N, Deflection: e.across.Value * 1e3, SpanDeflection: e.span.Value * 1e3,
			AlongDeflection: e.along.value * 1e3, VerticalDeflection: e.vertical.downwards(),
			Utilisation: optional(e.strength), DeflectionUtilisation: c.deflectionOf(e),
		}
		if p := e.strengthAt.Probe; p != nil {
			row.Bay, row.AtX = p.Bay+1, math.Round((p.From+e.strengthAt.Station)*1e6)/1e6
			row.Leg = c.legOf(p.From + p.Length/2)
		}
		c.out.Rails = append(c.out.Rails, row)
	}
}

// deflectionOf returns the largest utilisation of a limit of movement, nil where
// movement is not checked.
func (c *run) deflectionOf(e *extremes) *float64 {
	if !c.models[0].movement {
		return nil
	}
	return optional(e.deflection)
}

// downwards returns a vertical movement in mm, down positive.
func (x *printedMove) downwards() float64 { return math.Copysign(x.value, -x.vertical) * 1e3 }

// jointRows fills the fittings and splices.
func (c *run) jointRows() {
	rows := func(found []finding) (out []FittingRow) {
		for i := range found {
			f := &found[i]
			if f.placed.Value <= nothing {
				continue
			}
			row := FittingRow{
				Fitting: jointPlace(f.element), Tube: f.grip.tube, ExtremeOf: f.grip.kind, Level: "design",
				Combination: c.wordsOf(f.placed.Combination).factors, CombinationName: f.placed.Combination.Name, Load: c.loadWords(f),
			}
			state := f.raise.of(&f.placed.State)
			for _, g := range grips {
				if g.tube != f.grip.tube {
					continue
				}
				v := g.judge(&state, nil)
				if g.turns() && f.factor > 1 {
					v *= math.Min(f.factor, amplifyTo)
				}
				switch g.kind {
				case "slip":
					row.Slip = v
				case "twist":
					row.Twist = v
				case "force":
					row.Force = v
				case "moment":
					row.Moment = v
				}
			}
			out = append(out, row)
		}
		return out
	}
	c.out.Fittings, c.out.Splices = rows(slices.Concat(c.worst.fittings, c.worst.corners)), rows(c.worst.splices)
}

// jointPlace names a fitting or a splice by its place: "4 top", "corner 3 top", "top 5.800".
func jointPlace(element string) string {
	if of, ok := strings.CutPrefix(element, "corner fitting "); ok {
		return "corner " + of
	}
	return strings.TrimPrefix(strings.TrimPrefix(element, "fitting "), "splice ")
}
