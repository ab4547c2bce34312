package check

import (
	"fmt"
	"math"
	"reflect"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// Options say what a result holds beyond the tables.
type Options struct {
	Trails         bool            // the working of every check
	Diagrams       bool            // moment and movement along the post with the largest base moment and the rails
	Units          quantity.System // in which the words of the result give their values; numbers are SI in any
	AllBaseActions bool            // of every post, not of the one with the largest base moment and the ends alone
}

// UntrustedError is a calculation that did not prove itself.
type UntrustedError struct {
	What     string
	Residual float64 // a plain number, more than 1e-8
}

func (e *UntrustedError) Error() string {
	return fmt.Sprintf("the calculation cannot be trusted: %s is %.1e, more than %.0e", e.What, e.Residual, trusted)
}

// trusted is the largest residual that a report may have.
const trusted = 1e-8

// run is one check under way.
type run struct {
	d          *barrier.Definition
	supports   []float64 // x of posts and walls, m
	gaps       []bool    // of each bay; nil: none
	o          Options
	depth      depth
	atOnce     bool               // of what fails: it is left where only second order can tell
	left       bool               // it was
	best       map[string]float64 // of a judgement: the worst of each check so far, and of the sizes that it tells
	actions    []*analysis.Action
	combos     loads.Combinations // by which they are combined
	notes      []quantity.Sentence
	limits     limits
	situations []*situation // in which strength is judged
	fixings    []fixing     // by which fittings and feet are
	models     []*model     // those that stand
	worst      *model       // the worst of each check, post and rail over them
	offered    *model       // with the splices that are proposed, for the reader; nil for none
	other      *model       // with the joint that does not count: the one asked for, or a free one; nil for none
	piece      *piece       // a test piece that is checked too; nil for none
	lifted     *thrust      // the post that is lifted most; nil for none
	pressed    *thrust      // where one is lifted, the post that is pressed most
	before     *run         // the same check that was asked for something else, whose frames are used again; nil for none
	built      []builtFrame // by frame
	least      *float64     // least foot stiffness, N·m/rad
	beyond     bool         // even rigid feet move too far
	tooLong    bool         // second order counts on the least feet, and the barrier is too long to be run on them
	unsteady   bool         // no feet were found on which limits of movement are met in second order
	fallen     bool         // a base action is of a load that the frame was not found to carry, or not run for
	inBrief    Recorder     // of the row in hand, where no trail is kept
	leaning    bool         // feet softer than the least meet the limits, and second order goes beyond amplifyTo
	out        *Result

	inWords map[*analysis.Combination]combinationWords // those that were told

	placement, stiffness, equilibrium float64 // residuals
}

// Run checks a barrier. It returns barrier.Problems for a tube that the method
// does not cover, and the solver's error or an *UntrustedError for a calculation
// that cannot be trusted; a failed check is a result.
func Run(d *barrier.Definition, o Options) (*Result, error) {
	c, err := calculate(d, o, whole)
	if err != nil {
		return nil, err
	}
	c.report()
	c.out.Age = c.age()
	c.out.settle()
	return c.out, nil
}

// calculate runs every model of a barrier, the test piece before them, and proves them.
func calculate(d *barrier.Definition, o Options, to depth) (*run, error) {
	c, err := newRun(d, o, to)
	if err != nil {
		return nil, err
	}
	return c, c.calculate()
}

func (c *run) calculate() error {
	if err := c.runPiece(); err != nil {
		return err
	}
	if err := c.runModels(); err != nil {
		return err
	}
	c.merge()
	return c.prove()
}

// newRun readies the check of a barrier.
func newRun(d *barrier.Definition, o Options, to depth) (*run, error) {
	c := &run{d: d, o: o, depth: to, limits: newLimits(d), supports: d.Supports(), gaps: gapBays(d), out: newResult(d)}
	c.actions, c.notes = analysis.Actions(d)
	var err error
	if c.combos, err = d.Combinations(); err != nil {
		return nil, err
	}
	c.situations, c.fixings = c.situationsOf(), c.fixingsOf()
	return c, nil
}

// newResult returns a result that says what is checked, and nothing of what was found.
func newResult(d *barrier.Definition) *Result {
	return &Result{Schema: 1, Title: d.Title, Project: d.Project, Date: d.Date, Basis: string(d.Basis), Annex: d.Annex}
}

// again returns the same check, with nothing found, to be asked for something else. It uses the frames
// of this one.
func (c *run) again(to depth) *run {
	return &run{
		d: c.d, o: c.o, depth: to, limits: c.limits, supports: c.supports, gaps: c.gaps, actions: c.actions, notes: c.notes, combos: c.combos,
		situations: c.situations, fixings: c.fixings, before: c, built: c.built, out: newResult(c.d),
	}
}

// runModels runs every layout that stands, and the proposal beside them. Where
// the feet's stiffness is not given, movements are checked only when even rigid
// feet do not do, and strength also on the softest feet that do.
func (c *run) runModels() error {
	base := c.d.Post.Base.Stiffness
	feet := base
	if len(feet) == 0 {
		feet = []float64{math.Inf(1)}
	}
	splices := spliceModels(c.d)
	joints := standing(c.d)
	for _, s := range splices {
		for _, k := range feet {
			if err := c.add(k, s, joints); err != nil {
				return err
			}
		}
	}
	if c.depth == whole || len(base) == 0 {
		if err := c.findLeast(splices); err != nil {
			return err
		}
	}
	if len(base) == 0 && c.least != nil {
		for _, s := range splices {
			if err := c.add(*c.least, s, joints); err != nil {
				return err
			}
		}
	}
	if err := c.runShown(feet[0], splices[0], joints); err != nil {
		return err
	}
	if len(base) == 0 && c.beyond {
		for _, m := range slices.Concat(c.models, c.shown()) {
			m.checkMovement()
		}
	}
	return nil
}

// runShown runs what is shown beside the models that stand: the splices that are
// proposed, and beside the joints that count those that do not: those asked for where no
// tested value proves them, free ones beside some that do count.
func (c *run) runShown(foot float64, s spliceModel, joints jointing) (err error) {
	asked, free := askedFor(c.d), freeJoints(c.d)
	if c.depth != whole {
		if c.depth == judged && !c.d.LeaveOut.Fitting && !asked.equal(joints) { // what they pass is left open
			c.other, err = c.modelOfJoints(foot, s, asked)
		}
		return err
	}
	if p, ok := proposed(c.d); ok {
		if c.offered, err = c.model(foot, p, joints); err != nil {
			return err
		}
	}
	switch {
	case !asked.equal(joints):
		c.other, err = c.model(foot, s, asked)
	case !joints.equal(free):
		c.other, err = c.model(foot, s, free)
	}
	return err
}

// shown are the models that are run for the reader and do not count.
func (c *run) shown() []*model {
	var out []*model
	for _, m := range [...]*model{c.offered, c.other} {
		if m != nil {
			out = append(out, m)
		}
	}
	return out
}

// add runs a layout that stands.
func (c *run) add(foot float64, s spliceModel, joints jointing) error {
	m, err := c.model(foot, s, joints)
	if err == nil {
		c.models = append(c.models, m)
	}
	return err
}

// model runs one layout.
func (c *run) model(foot float64, s spliceModel, joints jointing) (*model, error) {
	m, err := c.frame(foot, s, joints)
	if err != nil {
		return nil, err
	}
	m.run(c)
	if len(c.d.Post.Base.Stiffness) > 0 {
		m.checkMovement()
	}
	return m, nil
}

// modelOfJoints runs one layout for what its joints pass alone.
func (c *run) modelOfJoints(foot float64, s spliceModel, joints jointing) (*model, error) {
	m, err := c.frame(foot, s, joints)
	if err == nil {
		m.pressEach(func(resistance) float64 { return 0 })
		m.jointDemands(c)
	}
	return m, err
}

// frame readies one layout.
func (c *run) frame(foot float64, s spliceModel, joints jointing) (*model, error) {
	b, err := c.builtFor(joints.of(layoutOf(c.d, foot, s)))
	if err != nil {
		return nil, err
	}
	return &model{
		layout: b.layout, splicing: s.index, analysis: b.analysis, tubes: b.tubes,
		posts: make([]extremes, len(c.d.Run.Posts)), rails: newRails(len(c.d.Rails)), braces: make([]braceExtremes, len(c.d.Braces)),
	}, nil
}

// builtFrame is the frame of a layout, ready to be searched.
type builtFrame struct {
	layout   barrier.Layout
	analysis *analysis.Analysis
	tubes    *tubes
}

// builtFor returns the frame of a layout: that of the check before where it has one.
func (c *run) builtFor(l barrier.Layout) (builtFrame, error) {
	for _, b := range c.built {
		if reflect.DeepEqual(b.layout, l) {
			return b, nil
		}
	}
	t, err := newTubes(c.d, &l)
	if err != nil {
		return builtFrame{}, err
	}
	a, err := analysis.New(c.d, l, c.actions)
	if err != nil {
		return builtFrame{}, err
	}
	b := builtFrame{l, a, t}
	if c.depth == failing {
		c.built = append(c.built, b)
	}
	return b, nil
}

// layoutOf returns the layout with feet of a stiffness, one reading of the splices and the
// joints that count.
func layoutOf(d *barrier.Definition, foot float64, s spliceModel) barrier.Layout {
	return standing(d).of(barrier.Layout{FootStiffness: foot, Splices: s.words, Rails: s.rails})
}

// spliceModel is one reading of where the rails are spliced.
type spliceModel struct {
	index int // among those that stand
	words string
	rails []barrier.Joints
}

// spliceModels returns the readings that stand: the one the definition gives, or
// continuous and cut at every post where splices are not known.
func spliceModels(d *barrier.Definition) []spliceModel {
	build := func(index int, words string, unknown barrier.Joints) spliceModel {
		m := spliceModel{index: index, words: words}
		for i := range d.Rails {
			switch r := &d.Rails[i]; r.SpliceState {
			case barrier.SplicesGiven:
				m.rails = append(m.rails, barrier.Joints{Splices: r.Splices})
			case barrier.CutAtPosts:
				m.rails = append(m.rails, barrier.Joints{Cut: true})
			case barrier.SplicesUnknown:
				m.rails = append(m.rails, unknown)
			default:
				m.rails = append(m.rails, barrier.Joints{})
			}
		}
		return m
	}
	if !unknownSplices(d) {
		return []spliceModel{build(0, "as given", barrier.Joints{})}
	}
	return []spliceModel{
		build(0, "continuous", barrier.Joints{}),
		build(1, "cut at every post", barrier.Joints{Cut: true}),
	}
}

func unknownSplices(d *barrier.Definition) bool {
	for i := range d.Rails {
		if d.Rails[i].SpliceState == barrier.SplicesUnknown {
			return true
		}
	}
	return false
}

// proposed returns the reading with proposed splices in every rail whose
// splices are not known.
func proposed(d *barrier.Definition) (spliceModel, bool) {
	if !unknownSplices(d) {
		return spliceModel{}, false
	}
	m := spliceModels(d)[0]
	m.words = "as proposed"
	for i := range d.Rails {
		if d.Rails[i].SpliceState != barrier.SplicesUnknown {
			continue
		}
		x, ok := barrier.ProposeSplices(d.Run, d.Rails[i].Stock)
		if !ok {
			return spliceModel{}, false
		}
		m.rails[i].Splices = x
	}
	return m, true
}

// merge keeps, for every check, post and rail, the worst of the models: of one, what it found.
func (c *run) merge() {
	first := c.models[0]
	if len(c.models) == 1 {
		c.worst = first
		return
	}
	w := &model{
		posts: cloneExtremes(first.posts), rails: cloneExtremes(first.rails), second: first.second,
		findings: slices.Clone(first.findings), moved: slices.Clone(first.moved),
		fittings: slices.Clone(first.fittings), corners: slices.Clone(first.corners), splices: slices.Clone(first.splices),
		demandsOnFeet: slices.Clone(first.demandsOnFeet), cracked: slices.Clone(first.cracked),
	}
	for _, m := range c.models[1:] {
		w.second = math.Max(w.second, m.second)
		w.findings = worstOf(w.findings, m.findings)
		w.moved = worstOf(w.moved, m.moved)
		w.fittings = worstOf(w.fittings, m.fittings)
		w.corners = worstOf(w.corners, m.corners)
		w.splices = worstOf(w.splices, m.splices)
		w.demandsOnFeet = worstOf(w.demandsOnFeet, m.demandsOnFeet)
		w.cracked = worseCracked(w.cracked, m.cracked)
		for i := range w.posts {
			w.posts[i].worst(&m.posts[i])
		}
		for i := range w.rails {
			w.rails[i].worst(&m.rails[i])
		}
	}
	c.mergeBraces(w)
	c.worst = w
}

// cloneExtremes copies extremes, so that the worst of models is no one model's.
func cloneExtremes(of []extremes) []extremes {
	out := slices.Clone(of)
	for i := range out {
		out[i].feet = slices.Clone(out[i].feet)
		if r := out[i].railExtremes; r != nil {
			kept := *r
			out[i].railExtremes = &kept
		}
	}
	return out
}

// worstOf keeps the worse of two findings of the same check and member; a check
// that only one of the two has stays.
func worstOf(a, b []finding) []finding {
	if len(b) == 0 {
		return a
	}
	type key struct {
		id     string
		member int
		corner bool
		by     *situation
	}
	places := make(map[key][]int, len(a)) // those that differ by their limits
	keyOf := func(f *finding) key { return key{f.id, f.member, f.corner, f.by} }
	for i := range a {
		places[keyOf(&a[i])] = append(places[keyOf(&a[i])], i)
	}
	for i := range b {
		of := places[keyOf(&b[i])]
		at := slices.IndexFunc(of, func(k int) bool { return a[k].same(&b[i]) })
		if at < 0 {
			places[keyOf(&b[i])] = append(of, len(a))
			a = append(a, b[i])
		} else if k := of[at]; a[k].gives(&b[i]) {
			a[k] = b[i]
		}
	}
	return a
}

func (x *extremes) worst(y *extremes) {
	pairs := [][2]*analysis.Placed{{&x.shear, &y.shear}, {&x.axial, &y.axial}, {&x.base, &y.base}, {&x.top, &y.top}}
	if x.railExtremes != nil {
		pairs = append(pairs, [][2]*analysis.Placed{{&x.moment, &y.moment}, {&x.torsion, &y.torsion}, {&x.across, &y.across}, {&x.span, &y.span}}...)
	}
	for _, p := range pairs {
		if p[1].Found() && (!p[0].Found() || analysis.Beats(p[1].Value, p[0].Value)) {
			*p[0] = *p[1]
		}
	}
	x.along.beat(&y.along)
	x.vertical.beat(&y.vertical)
	for i := range x.feet {
		if analysis.Beats(y.feet[i].Value, x.feet[i].Value) {
			x.feet[i] = y.feet[i]
		}
	}
	if analysis.Beats(y.strength, x.strength) {
		x.strength = y.strength
		if x.railExtremes != nil {
			x.strengthAt = y.strengthAt
		}
	}
	x.deflection = math.Max(x.deflection, y.deflection)
	x.pressed, x.second = math.Max(x.pressed, y.pressed), math.Max(x.second, y.second)
}

// prove solves the governing placement of every check id again as an ordinary
// load case and refuses a calculation whose residuals are too large.
func (c *run) prove() error {
	var placement, stiffness, equilibrium float64
	if c.piece != nil {
		placement, stiffness, equilibrium = c.piece.placement, c.piece.stiffness, c.piece.equilibrium
	}
	for _, m := range slices.Concat(c.models, c.shown()) {
		s, e := m.analysis.Residual()
		stiffness, equilibrium = math.Max(stiffness, s), math.Max(equilibrium, e)
	}
	governing := map[string]*finding{}
	var order []string
	for i := range c.worst.findings {
		f := &c.worst.findings[i]
		if governing[f.id] == nil {
			order = append(order, f.id)
			governing[f.id] = f
		} else if governing[f.id].worse(f) {
			governing[f.id] = f
		}
	}
	for i, id := range order {
		f := governing[id]
		if f == nil {
			continue // it was verified with one before it
		}
		for _, other := range order[i:] {
			if g := governing[other]; g != nil && g.model == f.model && g.placed.SameLoad(&f.placed) {
				p, s, e := g.model.analysis.Verify(&g.placed)
				placement, stiffness, equilibrium = math.Max(placement, p), math.Max(stiffness, s), math.Max(equilibrium, e)
				governing[other] = nil
			}
		}
	}
	c.restLines()
	c.placement, c.stiffness, c.equilibrium = placement, stiffness, equilibrium
	c.out.SelfCheck = SelfCheck{bound(stiffness), bound(equilibrium), bound(placement)}
	return trust(placement, stiffness, equilibrium)
}

// restLines gives back what nothing but a search, or solving a load, needs of very long runs.
func (c *run) restLines() {
	for _, m := range slices.Concat(c.models, c.shown()) {
		m.analysis.Rest()
		m.analysis.RestLines()
	}
}

// trust refuses residuals that are too large.
func trust(placement, stiffness, equilibrium float64) error {
	for _, r := range []struct {
		what  string
		value float64
	}{{"the stiffness residual", stiffness}, {"the balance of loads and reactions", equilibrium}, {"the difference of a placement solved again", placement}} {
		if !(r.value <= trusted) {
			return &UntrustedError{r.what, r.value}
		}
	}
	return nil
}

// bound returns the power of ten above a residual, never below 1e-12.
func bound(r float64) string {
	p := -12
	for p < 0 && !(r <= math.Pow(10, float64(p))) {
		p++
	}
	if p == 0 {
		return "1e-00"
	}
	return fmt.Sprintf("1e-%02d", -p)
}
