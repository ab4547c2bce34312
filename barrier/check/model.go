package check

import (
	"errors"
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// finding is one check of one element in one model, at its worst.
type finding struct {
	id      string  // of a demand on a joint alone: its grip's
	element string  // "post 4", "rail top bay 3", "fitting 4 top"
	member  int     // the post's or rail's index
	grip    *grip   // of a fitting or splice
	corner  bool    // of a fitting: it stands at a corner
	factor  float64 // of second order on what it turns, of a fitting
	bent    *bent   // judged in second order; nil: by the bound
	unbent  string  // why not, where the bound may not do
	judge   judge
	by      *situation // of strength: the actions it is judged under
	net     *netCheck  // of a net section
	raise   *raise     // of a demand on a joint; nil: none
	limit   *limit     // of a movement
	moves   movement
	footing *footing    // of a foot
	joint   *jointCheck // of a fitting, a splice, a brace's end or a wall
	held    *column     // of a movement: what compression does to it
	placed  analysis.Placed
	model   *model
}

// judge is a check: a state to a utilisation, its working noted.
type judge func(*analysis.State, *Recorder) float64

func (f *finding) utilisation() float64 { return f.placed.Value }

// same reports whether g is the same check of the same element, in another model.
func (f *finding) same(g *finding) bool {
	if f.id != g.id || f.member != g.member || f.corner != g.corner || f.by != g.by {
		return false
	}
	return f.limit == nil || g.limit == nil || f.limit.allowance == g.limit.allowance || f.limit.only == nil && g.limit.only == nil
}

// worse reports whether g beats f by more than a tie.
func (f *finding) worse(g *finding) bool { return analysis.Beats(g.utilisation(), f.utilisation()) }

// gives reports whether f gives way to the same check in another model: to one that is worse,
// but where neither fails to the one that nothing judges, for which no pass may stand.
func (f *finding) gives(g *finding) bool {
	if fails := f.utilisation() > 1 || g.utilisation() > 1; !fails && f.unjudged() != g.unjudged() {
		return g.unjudged()
	}
	return f.worse(g)
}

// unjudged reports whether second order counts in a check and neither its bound nor a run of
// the frame judges it.
func (f *finding) unjudged() bool { return f.bent == nil && (f.unbent != "" || f.beyondFirstOrder()) }

// beyondFirstOrder reports whether the governing state of a check is pressed so hard that
// its moment or movement asks for a second-order analysis.
func (f *finding) beyondFirstOrder() bool { return f.secondOrderFactor() > amplifyTo }

// secondOrderFactor returns the bound of second order, 1/(1 - N/Ncr), in a check: 1 for one
// that compression does not raise. Of the forces in a joint it is what they may be raised
// by, which is not in them.
func (f *finding) secondOrderFactor() float64 {
	_, kind, _ := strings.Cut(f.id, "-")
	if f.joint != nil {
		return f.joint.second
	}
	if strings.HasPrefix(f.id, "brace-") {
		return math.Max(1, f.factor)
	}
	post := strings.HasPrefix(f.id, "post-")
	if f.footing != nil {
		return amplification(f.model.tubes.of(true, f.member), &f.placed.State)
	}
	if kind == "shear" || kind == "torsion" || kind == "buckling" || !post && !strings.HasPrefix(f.id, "rail-") {
		return 1
	}
	if f.limit != nil {
		return f.held.factor(&f.placed.State)
	}
	return amplification(f.model.tubes.of(post, f.member), &f.placed.State)
}

// model is one frame that was run, and what it found, in a fixed order.
type model struct {
	layout        barrier.Layout
	splicing      int // index of its splice model
	analysis      *analysis.Analysis
	tubes         *tubes
	movement      bool // deflection is checked in it
	findings      []finding
	moved         []finding // movements against their limits, also where they are not checked
	posts         []extremes
	rails         []extremes
	fittings      []finding // demands, the judge gives the demand itself
	corners       []finding // those on the fittings at corners
	splices       []finding
	braces        []braceExtremes
	bracing       []finding          // demands on the fittings of braces
	cracked       []finding          // on the fittings that were found cracked, each of its own
	demandsOnFeet []finding          // those that nothing resists
	bentOnes      map[int][]*finding // of each post, once it is bent
	second        float64            // largest N/Ncr anywhere
	postSecond    float64            // of any post, once joints are searched
	permanent     *float64           // see postsPressed; nil until it is asked for
	light         bool               // of its posts and rails the worst of each check alone was sought
	mirrored      bool               // seen from both its ends it is alike: of fittings, and of posts where it was searched lightly, those up to the middle are
	sought        []*sought          // in each kind of post and in each rail, by floors
	floor, moves  float64            // of a model asked for what fails alone: the strength and the part of a limit from which on anything is sought
	soft          *softening         // what stainless tubes make of its movements; nil for none
	ofPosts       struct {           // the strength checks of the post in hand
		tube   resistance
		checks []named
	}
}

// extremes are the largest values of one post or rail, each on its own.
type extremes struct {
	shear, axial, base   analysis.Placed
	top                  analysis.Placed // of a post
	along, vertical      printedMove
	strength, deflection float64 // largest utilisations, -1 for none
	pressed              float64 // largest compression, N
	second               float64 // the same over the critical force
	feet                 []held  // of a post: what its foot must carry, moment, shear and axial; nil where nothing raises that
	*railExtremes                // of a rail; nil for a post
}

// printedMove is a movement that is printed alone.
type printedMove struct {
	value, vertical float64 // m; vertical is that of the same state, up
	found           bool
}

// take takes what was found when it is larger.
func (x *printedMove) take(p *analysis.Placed) {
	if p.Found() {
		x.beat(&printedMove{p.Value, p.State.Vertical, true})
	}
}

// beat takes another when it is larger.
func (x *printedMove) beat(y *printedMove) {
	if y.found && (!x.found || analysis.Beats(y.value, x.value)) {
		*x = *y
	}
}

// railExtremes are what is kept of a rail alone: there are few of them.
type railExtremes struct{ moment, torsion, across, span, strengthAt analysis.Placed }

// newRails returns room for the extremes of so many rails.
func newRails(n int) []extremes {
	out, rails := make([]extremes, n), make([]railExtremes, n)
	for i := range out {
		out[i].railExtremes = &rails[i]
	}
	return out
}

// tubes are the resistances of the posts, of each rail and of each brace.
type tubes struct {
	posts  []resistance // one a kind of post: those that are alike share one
	kinds  []int        // of each post: its kind; nil: they are all alike
	rails  []resistance
	braces []resistance
}

// resistance is what a tube resists by one design basis: its checks, and how
// compression amplifies its moments.
type resistance interface {
	Bending(*analysis.State, *Recorder) float64
	Shear(*analysis.State, *Recorder) float64
	Torsion(*analysis.State, *Recorder) float64
	Interaction(*analysis.State, *Recorder) float64
	// Buckling is member buckling under compression, with bending where its clause has it.
	Buckling(*analysis.State, *Recorder) float64
	Yield(*analysis.State, *Recorder) float64
	// ofCritical is a compression, N, over the elastic critical force, as second order
	// counts it.
	ofCritical(compression float64) float64
	// critical is the elastic critical force, N.
	critical() float64
	// setCritical sets it.
	setCritical(n float64)
	// by returns the resistance with a partial factor of a schedule in place of its own.
	by(g partial) resistance
	// upTo returns the resistance with moments raised no more than by this factor: 1 for a
	// state in second order.
	upTo(most float64) resistance
	// told is what the report says of the code that it follows.
	told() told
}

// amplification returns the factor by which compression raises the moments of a state: 1
// where second order is left alone and in tension.
func amplification(t resistance, s *analysis.State) float64 {
	return amplificationAt(t.ofCritical(max(0, -s.N)))
}

// printedAmplification is the same, no more than amplifyTo: above it nothing is judged.
func printedAmplification(t resistance, s *analysis.State) float64 {
	return min(amplification(t, s), amplifyTo)
}

// amplifiedMoment is the resultant moment with second order as a size.
func amplifiedMoment(t resistance) judge {
	return func(s *analysis.State, r *Recorder) float64 {
		return r.verdict(s.Moment()*printedAmplification(t, s), 1, "", "")
	}
}

// newTubes returns the resistances, with the critical forces for the layout.
func newTubes(d *barrier.Definition, l *barrier.Layout) (*tubes, error) {
	t := &tubes{}
	if err := t.newPosts(d, l); err != nil {
		return nil, err
	}
	if err := t.newRails(d, l); err != nil {
		return nil, err
	}
	for i := range d.Braces {
		brace, err := newStrut(d, i)
		if err != nil {
			return nil, err
		}
		t.braces = append(t.braces, brace)
	}
	return t, nil
}

// newRails makes the resistances of the rails.
func (t *tubes) newRails(d *barrier.Definition, l *barrier.Layout) error {
	for i := range d.Rails {
		r := &d.Rails[i]
		rail, err := newResistance(d, r.Weakest(), longestHeld(d, i))
		if err != nil {
			return tubeProblem(d, &r.Member, longestHeld(d, i), fmt.Sprintf("rail[%d].tube", i), "rail "+r.Name, err)
		}
		if steel, ok := rail.(*Tube); ok {
			steel.shape = anyShape
		}
		critical := railCriticalOf(d, i, l)
		if critical == 0 {
			return railMechanism(d, i)
		}
		rail.setCritical(critical)
		t.rails = append(t.rails, rail)
	}
	return nil
}

// railMechanism is the problem of a rail whose splices leave it no critical force.
func railMechanism(d *barrier.Definition, rail int) error {
	if at, lacks := d.MissingFitting(rail); lacks {
		return barrier.Problems{d.Problem(at, "without this fitting the rail is a mechanism across: pressed along, it gives at once", "close the barrier off: no check of it as it stands has a meaning")}
	}
	return barrier.Problems{d.Problem(fmt.Sprintf("rail[%d]", rail),
		"the splices leave the rail a mechanism across: pressed along, it gives at once", "take splices out, or move them so that each piece stands on two posts")}
}

// longestBay returns the length of the longest bay, m, or overhang where those count.
func longestBay(d *barrier.Definition, overhangs bool) float64 {
	longest := 0.0
	if overhangs {
		longest = math.Max(d.Run.Overhang[0], d.Run.Overhang[1])
	}
	supports, gaps := d.Supports(), gapBays(d)
	for bay := range len(supports) - 1 {
		if gaps == nil || !gaps[bay] {
			longest = math.Max(longest, supports[bay+1]-supports[bay])
		}
	}
	return longest
}

// gapBays returns which bays are gaps, nil where none is.
func gapBays(d *barrier.Definition) []bool {
	if len(d.Run.Gaps) == 0 {
		return nil
	}
	supports := d.Supports()
	out := make([]bool, len(supports)-1)
	for _, g := range d.Run.Gaps {
		for at, _ := slices.BinarySearch(supports, g.From-1e-3); at < len(out) && supports[at] < g.From+1e-3; at++ {
			out[at] = out[at] || d.Run.IsGap(at)
		}
	}
	return out
}

// inputProblem makes a tube that a code does not cover a problem of the
// definition, at its line, and a grade likewise.
func inputProblem(d *barrier.Definition, path string, err error) error {
	fix := "choose a thicker wall or a smaller diameter"
	if uncovered, ok := errors.AsType[*UncoveredError](err); ok {
		path, fix = strings.TrimSuffix(path, "tube")+"grade", uncovered.Fix()
	}
	return barrier.Problems{d.Problem(path, err.Error(), fix)}
}

// measure makes a judge a measure. Its bound takes the axial force as compression, which never
// helps, and a vertical movement as downward, for some limits hold that alone.
func measure(j judge) analysis.Measure {
	return analysis.Measure{
		Of: func(s *analysis.State) float64 { return j(s, nil) },
		Bound: func(s *analysis.State) float64 {
			s.N, s.Vertical = -math.Abs(s.N), -math.Abs(s.Vertical)
			return j(s, nil)
		},
	}
}

// size is a judge that gives a demand itself.
func size(f func(*analysis.State) float64) judge {
	return func(s *analysis.State, r *Recorder) float64 { return r.verdict(math.Abs(f(s)), 1, "", "") }
}

var (
	sizeMoment  = size((*analysis.State).Moment)
	sizeShear   = size((*analysis.State).Shear)
	sizeAxial   = size(func(s *analysis.State) float64 { return s.N })
	sizeTorsion = size(func(s *analysis.State) float64 { return s.T })
	sizePressed = judge(func(s *analysis.State, r *Recorder) float64 { return r.verdict(max(0, -s.N), 1, "", "") })
)

// named is a check with its id.
type named struct {
	id    string
	judge judge
	by    *situation // of strength: the actions it is judged under
	net   *netCheck  // of a net section
	limit *limit     // of a movement
	moves movement
}

// only returns the actions under which a check is judged, nil for every one.
func (n *named) only() func(*analysis.Action) bool {
	switch {
	case n.limit != nil:
		return n.limit.only
	case n.by != nil:
		return n.by.only
	}
	return nil
}

// alongside reports whether two checks are judged under the same actions.
func (n *named) alongside(other *named) bool {
	return n.by == other.by && (n.limit == nil || other.limit == nil || n.limit.only == nil && other.limit.only == nil)
}

func strengthChecks(kind string, t resistance) []named {
	return []named{
		{id: kind + "-bending", judge: t.Bending}, {id: kind + "-shear", judge: t.Shear},
		{id: kind + "-torsion", judge: t.Torsion}, {id: kind + "-interaction", judge: t.Interaction},
		{id: kind + "-buckling", judge: t.Buckling},
	}
}

// run searches the model.
func (m *model) run(c *run) {
	m.soft = c.softeningOf(m.analysis, m.tubes)
	light := c.depth == judged && m.runLightly(c)
	if !light {
		m.mirrored = m.analysis.IsMirrored()
		m.runMembers(c)
	}
	for i := range m.braces {
		m.brace(c, i)
	}
	m.joints(c)
	m.walls(c)
	for i := range m.posts {
		m.feet(c, i) // bolts of twins need not stand alike
	}
	if !light {
		m.bend(c)
	}
}

// runMembers searches every post that is not left out, and every rail.
func (m *model) runMembers(c *run) {
	for i := range m.posts {
		if m.leavesOut(c, i) {
			continue
		}
		m.post(c, m.tubes.of(true, i), i)
		m.netPost(c, m.tubes.of(true, i), i)
		if i == 0 { // each post has as many, and the movements come to stand among the others
			of, movements := len(m.posts)+len(m.rails), len(m.moved)
			m.findings, m.moved = slices.Grow(m.findings, of*(len(m.findings)+movements)), slices.Grow(m.moved, of*movements)
		}
	}
	m.giveTwins(c)
	for i := range m.rails {
		m.rail(c, m.tubes.rails[i], i)
		m.netRail(c, m.tubes.rails[i], i)
	}
}

// query is the measures of checks, then those of sizes, at one level.
func query(l analysis.Level, checks []named, sizes ...judge) analysis.Query {
	q := analysis.Query{Level: l}
	for _, n := range checks {
		q.Measures = append(q.Measures, measure(n.judge))
	}
	for _, s := range sizes {
		q.Measures = append(q.Measures, measure(s))
	}
	return q
}

// add notes the strength findings of one element, and its largest utilisation.
func (m *model) add(x *extremes, member int, checks []named, placed []analysis.Placed, element func(*analysis.Placed) string) {
	for i, n := range checks {
		p := &placed[i]
		if !p.Found() {
			continue // below the floor
		}
		m.findings = append(m.findings, finding{id: n.id, element: element(p), member: member, judge: n.judge, by: n.by, net: n.net, placed: *p, model: m})
		if (!isYield(n.id) || p.Value > 1) && analysis.Beats(p.Value, x.strength) {
			x.strength = p.Value
			if x.railExtremes != nil {
				x.strengthAt = *p
			}
		}
	}
}

// pressEach finds the largest compression of every post and rail, N, as far as it is above one
// of its tube.
func (m *model) pressEach(from func(resistance) float64) {
	look := func(x *extremes, t resistance, e *analysis.Element) {
		q := query(analysis.Strength, nil, sizePressed)
		q.Floor = from(t)
		if p := &m.analysis.PeekOf(e, q)[0][0]; p.Found() {
			m.press(x, t, p)
		}
	}
	for i := range m.posts {
		look(&m.posts[i], m.tubes.of(true, i), m.analysis.Post(i))
	}
	for i := range m.rails {
		look(&m.rails[i], m.tubes.rails[i], m.analysis.Rail(i))
	}
}

// press notes the largest compression of an element, and how much of the critical
// force it is.
func (m *model) press(x *extremes, t resistance, compression *analysis.Placed) {
	x.pressed = compression.Value
	x.second = t.ofCritical(x.pressed)
	m.second = math.Max(m.second, x.second)
}

// addMoved notes the movements of one element against their limits; checkMovement
// makes them findings.
func (m *model) addMoved(x *extremes, held column, member int, checks []named, placed []analysis.Placed, element func(*analysis.Placed) string) {
	for i, n := range checks {
		if !placed[i].Found() {
			continue // below the floor
		}
		m.moved = append(m.moved, finding{id: n.id, element: element(&placed[i]), member: member, judge: n.judge, limit: n.limit, moves: n.moves, held: &held, placed: placed[i], model: m})
		x.deflection = math.Max(x.deflection, placed[i].Value)
	}
}

// all walks the findings, then the movements.
func (m *model) all() iter.Seq[*finding] {
	return func(yield func(*finding) bool) {
		for _, of := range [2][]finding{m.findings, m.moved} {
			for i := range of {
				if !yield(&of[i]) {
					return
				}
			}
		}
	}
}

// checkMovement counts the movements among the findings, of which they are the last from then on. It is called
// once, when nothing of either is changed any more.
func (m *model) checkMovement() {
	m.movement = true
	strength := len(m.findings)
	m.findings = append(m.findings, m.moved...)
	m.moved = m.findings[strength:len(m.findings):len(m.findings)]
}

// search is the queries of some checks at one level: one for those under every load, with the
// sizes last, and one for each group of loads that others are judged by.
type search struct {
	queries []analysis.Query
	at      [][2]int // of each check: its query and its place there
	sizes   int      // where the sizes start in the first query
}

func newSearch(l analysis.Level, checks []named, sizes ...judge) search {
	s := search{queries: []analysis.Query{{Level: l}}}
	of := map[int]int{} // check → query
	for i := range checks {
		n, q := &checks[i], 0
		if only := n.only(); only != nil {
			if i > 0 && of[i-1] > 0 && n.alongside(&checks[i-1]) {
				q = of[i-1]
			} else {
				q = len(s.queries)
				s.queries = append(s.queries, analysis.Query{Level: l, Only: only})
			}
		}
		of[i] = q
		s.at = append(s.at, [2]int{q, len(s.queries[q].Measures)})
		s.queries[q].Measures = append(s.queries[q].Measures, measure(n.judge))
	}
	s.sizes = len(s.queries[0].Measures)
	for _, size := range sizes {
		s.queries[0].Measures = append(s.queries[0].Measures, measure(size))
	}
	return s
}

// found returns what was found for each check, and for the sizes, and takes it off.
func (s *search) found(placed *[][]analysis.Placed) (checks, sizes []analysis.Placed) {
	checks = make([]analysis.Placed, 0, len(s.at))
	for _, at := range s.at {
		checks = append(checks, (*placed)[at[0]][at[1]])
	}
	sizes = (*placed)[0][s.sizes:]
	*placed = (*placed)[len(s.queries):]
	return checks, sizes
}

// post searches one post.
func (m *model) post(c *run, t resistance, i int) {
	x := &m.posts[i]
	x.strength, x.deflection = -1, -1
	e := m.analysis.Post(i)
	column := m.column(t, e)
	called := postName(i)
	name := func(*analysis.Placed) string { return called }
	strength, limits := m.strengthOfPosts(c, t), column.judged(c.postLimits(i))
	yield := []named{{id: "post-yield", judge: t.Yield}}
	ultimate, elastic, service := newSearch(analysis.Strength, strength, sizePressed), newSearch(analysis.FirstYield, yield), newSearch(analysis.Service, limits)
	found := m.worstOf(e, slices.Concat(ultimate.queries, elastic.queries, service.queries)...)
	stressed, pressed := ultimate.found(&found)
	yielding, _ := elastic.found(&found)
	moved, _ := service.found(&found)
	m.atFoot(c, x, t, e.Probes[0])
	last := e.Probes[len(e.Probes)-1]
	top := m.analysis.WorstAt(last, []float64{last.Length}, query(analysis.Service, nil, append([]judge{column.size(across)}, c.printed(column.plain(along), column.plain(vertical))...)...))[0]
	into(top[:1], &x.top)
	intoMoves(top[1:], &x.along, &x.vertical)
	if other := m.analysis.Turned(i); other != nil {
		m.fromOtherLeg(c, x, column, other, moved, limits)
	}
	m.press(x, t, &pressed[0])
	m.add(x, i, strength, stressed, name)
	m.add(x, i, yield, yielding, name)
	m.addMoved(x, column, i, limits, moved, name)
}

// strengthOfPosts returns the strength checks of a post: posts that follow each other and are alike share them.
func (m *model) strengthOfPosts(c *run, t resistance) []named {
	if m.ofPosts.tube != t {
		m.ofPosts.tube, m.ofPosts.checks = t, c.strengthChecks("post", t)
	}
	return m.ofPosts.checks
}

// atFoot searches what the foot of a post must carry.
func (m *model) atFoot(c *run, x *extremes, t resistance, foot *analysis.Probe) {
	sizes := func(t resistance) analysis.Query {
		if c.depth != whole && !c.feetUndescribed() {
			return query(analysis.Strength, nil, amplifiedMoment(t))
		}
		return query(analysis.Strength, nil, amplifiedMoment(t), sizeShear, sizeAxial)
	}
	into(m.analysis.PeekAt(foot, []float64{0}, sizes(t))[0], &x.base, &x.shear, &x.axial)
	if len(c.fixings) > 1 || c.fixings[0].factor > 1 {
		x.feet = c.worstHeldBy(m, foot, 0, func(factor float64) []analysis.Query {
			return []analysis.Query{sizes(underRaised(t, factor))}
		})[0]
	}
}

// feetUndescribed reports whether what the feet must carry is left open.
func (c *run) feetUndescribed() bool {
	return c.d.Post.Base.Kind == barrier.NoBase && !c.d.LeaveOut.Base
}

// printed returns sizes that a report alone prints, none where there is none.
func (c *run) printed(sizes ...judge) []judge {
	if c.depth != whole {
		return nil
	}
	return sizes
}

// into puts what was found where it belongs, as far as it was sought and is larger.
func into(found []analysis.Placed, places ...*analysis.Placed) {
	for i := range found {
		if found[i].Found() && (!places[i].Found() || analysis.Beats(found[i].Value, places[i].Value)) {
			*places[i] = found[i]
		}
	}
}

// intoMoves does the same of movements that are printed alone.
func intoMoves(found []analysis.Placed, places ...*printedMove) {
	for i := range found {
		places[i].take(&found[i])
	}
}

// worstOf searches an element by those of some queries that ask for anything.
func (m *model) worstOf(e *analysis.Element, queries ...analysis.Query) [][]analysis.Placed {
	asking := slices.DeleteFunc(slices.Clone(queries), func(q analysis.Query) bool { return len(q.Measures) == 0 })
	found := m.analysis.WorstOf(e, asking...)
	if len(asking) == len(queries) {
		return found
	}
	out := make([][]analysis.Placed, len(queries))
	for i := range queries {
		if len(queries[i].Measures) > 0 {
			out[i], found = found[0], found[1:]
		}
	}
	return out
}

// fromOtherLeg looks at the movements of a corner post across the leg that begins there, and
// at those along it, and keeps the larger.
func (m *model) fromOtherLeg(c *run, x *extremes, held column, other *analysis.Element, moved []analysis.Placed, limits []named) {
	service := newSearch(analysis.Service, limits)
	placed := m.worstOf(other, service.queries...)
	found, _ := service.found(&placed)
	last := other.Probes[len(other.Probes)-1]
	top := m.analysis.WorstAt(last, []float64{last.Length}, query(analysis.Service, nil, append([]judge{held.size(across)}, c.printed(held.plain(along))...)...))[0]
	keep := func(into *analysis.Placed, p analysis.Placed) {
		if analysis.Beats(p.Value, into.Value) {
			*into = p
		}
	}
	for i := range found {
		keep(&moved[i], found[i])
	}
	keep(&x.top, top[0])
	if c.depth == whole {
		x.along.take(&top[1])
	}
}

// rail searches one rail. Where limits differ from bay to bay, each length of bay is
// searched for itself.
func (m *model) rail(c *run, t resistance, i int) {
	x := &m.rails[i]
	x.strength, x.deflection = -1, -1
	e := m.analysis.RailOfTwins(i)
	column := m.column(t, e)
	name := func(p *analysis.Placed) string { return c.railName(i, p.Probe.Bay) }
	strength, yield, limits := c.strengthChecks("rail", t), []named{{id: "rail-yield", judge: t.Yield}}, c.railLimits(i)
	var everywhere []named
	if len(limits) == 1 {
		everywhere = column.judged(limits[0].checks)
	}
	ultimate, elastic := newSearch(analysis.Strength, strength, append([]judge{sizePressed}, c.printed(amplifiedMoment(t), sizeShear, sizeTorsion, sizeAxial)...)...), newSearch(analysis.FirstYield, yield)
	service := newSearch(analysis.Service, everywhere, append([]judge{column.size(across)}, c.printed(column.plain(along), column.plain(vertical), column.size(span))...)...)
	found := m.worstOf(e, slices.Concat(ultimate.queries, elastic.queries, service.queries)...)
	stressed, sized := ultimate.found(&found)
	yielding, _ := elastic.found(&found)
	moved, sizes := service.found(&found)
	into(sized[1:], &x.moment, &x.shear, &x.torsion, &x.axial)
	into(sizes[:1], &x.across)
	if len(sizes) > 1 {
		intoMoves(sizes[1:3], &x.along, &x.vertical)
		into(sizes[3:], &x.span)
	}
	m.press(x, t, &sized[0])
	m.add(x, i, strength, stressed, name)
	m.add(x, i, yield, yielding, name)
	if len(limits) > 1 {
		everywhere, moved = m.worstBays(e, column, limits, func(e *analysis.Element, judged []named) []analysis.Placed {
			service := newSearch(analysis.Service, judged)
			placed := m.analysis.WorstOf(e, service.queries...)
			found, _ := service.found(&placed)
			return found
		})
	}
	m.addMoved(x, column, i, everywhere, moved, name)
}

// worstBays searches the movements of a rail bay by bay, and keeps of each check the
// bay where it is worst.
func (m *model) worstBays(e *analysis.Element, held column, limits []bayLimits, search func(*analysis.Element, []named) []analysis.Placed) (checks []named, moved []analysis.Placed) {
	for _, l := range limits {
		judged := held.judged(l.checks)
		found := search(e.Bays(l.in), judged)
		if checks == nil {
			checks, moved = judged, found
			continue
		}
		for i := range found {
			if found[i].Found() && (!moved[i].Found() || analysis.Beats(found[i].Value, moved[i].Value)) {
				checks[i], moved[i] = judged[i], found[i]
			}
		}
	}
	return checks, moved
}

// largest returns the largest utilisation of the model that may govern, -1 for
// none.
func (m *model) largest() float64 {
	u := -1.0
	for i := range m.findings {
		if f := &m.findings[i]; !isYield(f.id) || f.utilisation() > 1 {
			u = math.Max(u, f.utilisation())
		}
	}
	return u
}

// largestPost returns the index of the post with the largest value of one kind,
// the first of those that tie.
func largestPost(posts []extremes, of func(*extremes) *analysis.Placed) int {
	top := 0
	for i := range posts {
		if analysis.Beats(of(&posts[i]).Value, of(&posts[top]).Value) {
			top = i
		}
	}
	return top
}

func baseMoment(x *extremes) *analysis.Placed { return &x.base }
