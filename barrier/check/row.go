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

func postName(i int) string                { return fmt.Sprintf("post %d", i+1) }
func railName(name string, bay int) string { return fmt.Sprintf("rail %s bay %d", name, bay+1) }

// metres prints a position, m.
func metres(x float64) string { return quantity.Fix(x, 3) + " m" }

// where says where a section is along its element.
func (c *run) where(p *analysis.Placed) string {
	q := p.Probe
	switch {
	case q.Length == 0:
		return ""
	case q.Rail >= 0:
		return "x = " + metres(q.From+p.Station)
	case p.Station == 0 && math.Abs(q.From-c.d.Post.Base.Level) < 1e-9:
		return "foot"
	}
	z := q.From + p.Station
	for i := range c.d.Rails {
		if math.Abs(c.d.Rails[i].Height-z) < 1e-9 {
			side := "above"
			if p.Station > 0 {
				side = "below"
			}
			return side + " rail " + c.d.Rails[i].Name
		}
	}
	return "z = " + metres(z)
}

// row runs the check once more on its governing state, noting the working.
func (c *run) row(f *finding) (CheckRow, Trail) {
	r := &Recorder{}
	u := f.judge(&f.placed.State, r)
	if math.Abs(u-f.placed.Value) > 1e-9*(1+math.Abs(u)) && !math.IsInf(u, 1) {
		panic("check: " + f.id + " of " + f.element + " judges its own state otherwise the second time")
	}
	row := CheckRow{
		ID: f.id, Element: f.element, Demand: r.Demand, Resistance: r.Resistance, Unit: r.Unit, Clause: r.Clause,
		Utilisation: bounded(u), LimitState: f.placed.Combination.LimitState(), Combination: f.placed.Combination.String(),
		Load: f.placed.Placement.String(), Section: c.where(&f.placed), Provenance: c.provenance(f), Status: Pass,
	}
	switch {
	case u > 1:
		row.Status = Fail
	case c.beyondFirstOrder(f):
		row.Status, row.Utilisation = Unchecked, nil
	}
	return row, Trail{ID: f.id, Element: f.element, Steps: r.Steps}
}

// beyondFirstOrder reports whether a member is pressed so hard that its moments
// and movements ask for a second-order analysis.
func (c *run) beyondFirstOrder(f *finding) bool {
	_, kind, _ := strings.Cut(f.id, "-")
	if kind == "shear" || kind == "torsion" {
		return false
	}
	switch {
	case strings.HasPrefix(f.id, "post-"):
		return amplificationAt(c.merged().posts[f.member].second) > amplifyTo
	case strings.HasPrefix(f.id, "rail-"):
		return amplificationAt(c.merged().rails[f.member].second) > amplifyTo
	}
	return false
}

// bounded returns a utilisation, nil for one without bound.
func bounded(u float64) *float64 {
	if math.IsInf(u, 0) || math.IsNaN(u) {
		return nil
	}
	return &u
}

// optional returns a utilisation that may not be there, below zero.
func optional(u float64) *float64 {
	if u < 0 {
		return nil
	}
	return bounded(u)
}

// provenance returns the weakest provenance of the values a check rests on: the
// load, its factor, the tube's size, the grade's strength, the limit. A tested
// value is the user's own and rests on the load alone.
func (c *run) provenance(f *finding) string {
	words := []string{}
	if a := f.placed.Placement.Action; a != nil {
		words = append(words, a.Provenance)
		if f.placed.Combination.Level == analysis.FirstYield {
			words = append(words, a.YieldBy)
		}
	}
	switch {
	case strings.HasPrefix(f.id, "fitting-"):
	case f.limit != nil:
		words = append(words, f.limit.provenance, c.memberOf(f).Tube.Provenance)
	default:
		words = append(words, c.memberOf(f).Tube.Provenance, c.memberOf(f).Grade.Provenance)
	}
	for _, weak := range []string{"memory", "common-practice", "derived", "public"} {
		if slices.Contains(words, weak) {
			return weak
		}
	}
	return "the user's"
}

// memberOf returns the post or the rail that a finding is about.
func (c *run) memberOf(f *finding) *barrier.Member {
	if strings.HasPrefix(f.id, "rail-") {
		return &c.d.Rails[f.member].Member
	}
	return &c.d.Post.Member
}

// checkRows fills the checks, the trails and the governing ones.
func (c *run) checkRows() {
	all := c.merged().findings
	order := map[string]int{}
	for i, id := range checkIDs {
		order[id.ID] = i
	}
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b finding) int { return order[a.id] - order[b.id] })
	for i := range sorted {
		row, trail := c.row(&sorted[i])
		c.out.Checks = append(c.out.Checks, row)
		if c.o.Trails {
			c.out.Trails = append(c.out.Trails, trail)
		}
	}
	c.openMovements(order)
	c.out.Governing.Overall = governing(c.out.Checks, governs)
	c.out.Governing.Strength = governing(c.out.Checks, func(r *CheckRow) bool { return governs(r) && r.Unit != "mm" })
	c.out.Governing.Deflection = governing(c.out.Checks, func(r *CheckRow) bool { return governs(r) && r.Unit == "mm" })
}

// openMovements adds the movements that are not checked for want of a foot
// stiffness, as rows without a utilisation.
func (c *run) openMovements(order map[string]int) {
	if c.models[0].movement {
		return
	}
	moved := slices.Clone(c.merged().moved)
	slices.SortStableFunc(moved, func(a, b finding) int { return order[a.id] - order[b.id] })
	for i := range moved {
		row, _ := c.row(&moved[i])
		row.Status, row.Utilisation = Unchecked, nil
		c.out.Checks = append(c.out.Checks, row)
	}
}

// governs reports whether a check may govern: first yield stands beside the code
// checks and comes forward when it fails.
func governs(r *CheckRow) bool {
	return r.Status == Fail || r.Status == Pass && !isYield(r.ID)
}

func isYield(id string) bool { return strings.HasSuffix(id, "-yield") }

// governing returns the largest utilisation; one without bound is above all. Of
// the checks of that element that print the same, the first is named: bending
// before bending with a trace of axial force.
func governing(rows []CheckRow, wanted func(*CheckRow) bool) CheckRef {
	top := -1
	for i := range rows {
		if wanted(&rows[i]) && (top < 0 || utilisationOf(&rows[i]) > utilisationOf(&rows[top])*(1+1e-9)) {
			top = i
		}
	}
	if top < 0 {
		return CheckRef{}
	}
	for i := range rows[:top] {
		r := &rows[i]
		if wanted(r) && r.Element == rows[top].Element && printed(utilisationOf(r)) == printed(utilisationOf(&rows[top])) && (r.Unit == "mm") == (rows[top].Unit == "mm") {
			top = i
			break
		}
	}
	return CheckRef{rows[top].ID, rows[top].Element, rows[top].Utilisation}
}

func utilisationOf(r *CheckRow) float64 {
	if r.Utilisation == nil {
		return math.Inf(1)
	}
	return *r.Utilisation
}

// printed is a utilisation as reports print it, in thousandths, rounded up.
func printed(u float64) float64 { return math.Ceil(u*1e3 - 1e-9) }

// elementRows fills the posts and the rails.
func (c *run) elementRows() {
	m := c.merged()
	for i, x := range c.d.Run.Posts {
		e := &m.posts[i]
		c.out.Posts = append(c.out.Posts, PostRow{
			Post: i + 1, X: x, BaseMoment: e.base.Value, BaseShear: e.shear.Value, BaseAxial: e.axial.State.N,
			TopDeflection: e.amplify() * e.top.Value * 1e3, AlongDeflection: e.along.Value * 1e3, VerticalDeflection: downwards(&e.vertical),
			Utilisation: optional(e.strength), DeflectionUtilisation: c.deflectionOf(e),
		})
	}
	for i := range c.d.Rails {
		e := &m.rails[i]
		row := RailRow{
			Rail: c.d.Rails[i].Name, Height: c.d.Rails[i].Height, Moment: e.moment.Value, Shear: e.shear.Value,
			Torsion: e.torsion.Value, Axial: e.axial.State.N, Deflection: e.amplify() * e.across.Value * 1e3, SpanDeflection: e.amplify() * e.span.Value * 1e3,
			AlongDeflection: e.along.Value * 1e3, VerticalDeflection: downwards(&e.vertical),
			Utilisation: optional(e.strength), DeflectionUtilisation: c.deflectionOf(e),
		}
		if p := e.strengthAt.Probe; p != nil {
			row.Bay, row.AtX = p.Bay+1, math.Round((p.From+e.strengthAt.Station)*1e6)/1e6
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

// tubesOf returns the resistances of the model that a placed load was found in.
func (c *run) tubesOf(p *analysis.Placed) *tubes {
	for _, m := range c.models {
		if m.analysis != nil && m.tubes != nil && m.analysis.Owns(p) {
			return m.tubes
		}
	}
	return c.models[0].tubes
}

// downwards returns a vertical movement in mm, down positive.
func downwards(p *analysis.Placed) float64 { return -p.State.Vertical * 1e3 }

// jointRows fills the fittings and splices.
func (c *run) jointRows() {
	rows := func(found []finding) (out []FittingRow) {
		for i := range found {
			f := &found[i]
			if f.placed.Value <= 1e-9 {
				continue // a free fitting passes no twist and no moment
			}
			tube, kind := splitID(f.id)
			row := FittingRow{
				Fitting: strings.TrimPrefix(strings.TrimPrefix(f.element, "fitting "), "splice "), Tube: tube, ExtremeOf: kind, Level: "design",
				Combination: f.placed.Combination.String(), Load: f.placed.Placement.String(),
			}
			for _, g := range grips {
				if g.tube != tube {
					continue
				}
				v := g.judge(&f.placed.State, nil)
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
	c.out.Fittings, c.out.Splices = rows(c.merged().fittings), rows(c.merged().splices)
}

// onFoot returns what a post does to its foot from the state at its start: the
// post's local y is outward, its local z against the run.
func onFoot(s *analysis.State) (fx, fy, fz, mx, my, mz float64) {
	return -s.Vz, s.Vy, s.N, -s.Mz, s.My, s.T
}

// footExtremes are the measures of the base actions.
var footExtremes = [...]struct {
	name string
	of   func(*analysis.State) float64
}{
	{"Mx+", func(s *analysis.State) float64 { return -s.Mz }},
	{"Mx-", func(s *analysis.State) float64 { return s.Mz }},
	{"My+", func(s *analysis.State) float64 { return s.My }},
	{"My-", func(s *analysis.State) float64 { return -s.My }},
	{"M", (*analysis.State).Moment},
	{"V", (*analysis.State).Shear},
	{"Fz+", func(s *analysis.State) float64 { return s.N }},
	{"Fz-", func(s *analysis.State) float64 { return -s.N }},
	{"Mz", func(s *analysis.State) float64 { return math.Abs(s.T) }},
}

// baseActions fills the base actions of the governing posts and the ends, or of
// every post: design values and characteristic ones.
func (c *run) baseActions() {
	levels := [...]struct {
		name  string
		level analysis.Level
	}{{"design", analysis.Strength}, {"characteristic", analysis.Characteristic}}
	queries := make([]analysis.Query, len(levels))
	for i := range queries {
		queries[i] = analysis.Query{Level: levels[i].level}
		for _, e := range footExtremes {
			size := func(s *analysis.State) float64 { return math.Abs(e.of(s)) }
			queries[i].Measures = append(queries[i].Measures, analysis.Measure{Of: e.of, Bound: size})
		}
	}
	for _, post := range c.footPosts() {
		for l, found := range c.worstFoot(post, queries) {
			for i := range found {
				if p := &found[i]; math.Abs(p.Value) > 1e-9 {
					fx, fy, fz, mx, my, mz := onFoot(&p.State)
					k := math.Min(c.tubesOf(p).post.amplification(&p.State), amplifyTo)
					mx, my = k*mx, k*my
					c.out.BaseActions = append(c.out.BaseActions, BaseAction{
						Post: post + 1, ExtremeOf: footExtremes[i].name, Level: levels[l].name, Combination: p.Combination.String(), Load: p.Placement.String(),
						Fx: fx, Fy: fy, Fz: fz, Mx: mx, My: my, Mz: mz,
					})
				}
			}
		}
	}
}

// worstFoot returns the largest values at a post's foot over the models that
// stand.
func (c *run) worstFoot(post int, queries []analysis.Query) [][]analysis.Placed {
	var best [][]analysis.Placed
	for _, model := range c.models[:len(c.models)-1] {
		found := model.analysis.WorstAt(model.analysis.Post(post).Probes[0], []float64{0}, queries...)
		if best == nil {
			best = found
			continue
		}
		for q := range found {
			for i := range found[q] {
				if b := &best[q][i]; found[q][i].Value > b.Value+1e-9*math.Abs(b.Value) {
					*b = found[q][i]
				}
			}
		}
	}
	return best
}

// footPosts are the posts whose base actions are listed.
func (c *run) footPosts() []int {
	n := len(c.d.Run.Posts)
	if c.o.AllBaseActions {
		out := make([]int, n)
		for i := range out {
			out[i] = i
		}
		return out
	}
	largest := 0
	for i := range c.merged().posts {
		if c.merged().posts[i].base.Value > c.merged().posts[largest].base.Value*(1+1e-9) {
			largest = i
		}
	}
	out := []int{0, largest, n - 1}
	slices.Sort(out)
	return slices.Compact(out)
}
