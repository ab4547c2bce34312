package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/sections"
)

// leastPostCritical is the critical force, N, of a post on a hinge, which alone bears nothing: it
// stands for 0, so that a post that is not pressed has none of it.
const leastPostCritical = 1e-9

// kindOfPost is what makes posts alike.
type kindOfPost struct {
	ring, local sections.Ring
	foot        float64 // rotational stiffness, N·m/rad; -1 for that of the layout
}

// newPosts makes the resistances of the posts, with their critical forces for the layout. Posts of
// one tube whose feet are alike share one, the same ones in every layout.
func (t *tubes) newPosts(d *barrier.Definition, l *barrier.Layout) error {
	if d.PostMembers == nil && !d.HasOwnFeet() {
		return t.addPost(d, &d.Post.Member, "posts", l.FootStiffness)
	}
	const ofLayout = -1
	feet := d.FeetOn(ofLayout)
	places := map[kindOfPost]int{}
	t.kinds = make([]int, len(d.Run.Posts))
	for p := range t.kinds {
		m := d.PostMember(p)
		kind := kindOfPost{m.Ring, m.Weakest().Ring, feet[p]}
		at, known := places[kind]
		if !known {
			at = len(t.posts)
			places[kind] = at
			if feet[p] == ofLayout {
				feet[p] = l.FootStiffness
			}
			if err := t.addPost(d, m, postName(p), feet[p]); err != nil {
				return err
			}
		}
		t.kinds[p] = at
	}
	return nil
}

// addPost adds a kind of post.
func (t *tubes) addPost(d *barrier.Definition, m *barrier.Member, element string, foot float64) error {
	height := d.Post.Height - d.Post.Base.Level
	post, err := newResistance(d, m.Weakest(), height)
	if err != nil {
		return tubeProblem(d, m, height, "post.tube", element, err)
	}
	post.setCritical(math.Max(postCritical(criticalStiffness(d, m), height, foot), leastPostCritical))
	if foot == 0 {
		post = hinged{post}
	}
	t.posts = append(t.posts, post)
	return nil
}

// hinged is a post whose foot holds no moment. As a column by itself it does not stand, whatever the rails
// hold it to: under any compression its buckling has no bound.
type hinged struct{ resistance }

func (t hinged) by(g partial) resistance { return hinged{t.resistance.by(g)} }

func (t hinged) upTo(most float64) resistance { return hinged{t.resistance.upTo(most)} }

func (t hinged) Buckling(s *analysis.State, r *Recorder) float64 {
	if s.N >= 0 {
		return t.resistance.Buckling(s, r)
	}
	return r.verdict(-s.N, 0, "N", columnClause)
}

// leastCritical returns the resistance of the post with the least critical force.
func (t *tubes) leastCritical() resistance {
	least := t.posts[0]
	for _, post := range t.posts[1:] {
		if post.critical() < least.critical() {
			least = post
		}
	}
	return least
}

// railCriticalOf returns the critical force of a rail, N, on posts as stiff across as each is by
// itself: 0 of a mechanism.
func railCriticalOf(d *barrier.Definition, rail int, l *barrier.Layout) float64 {
	r := &d.Rails[rail]
	ei, height := criticalStiffness(d, &r.Member), r.Height-d.Post.Base.Level
	if d.PostMembers == nil && !d.HasOwnFeet() && !d.LacksFitting(rail) {
		return railCritical(ei, postStiffness(criticalStiffness(d, &d.Post.Member), height, l.FootStiffness), &d.Run, l.Rails[rail])
	}
	feet := d.FeetOn(l.FootStiffness)
	cuts := d.CutsAtPosts(rail)
	least := math.Inf(1)
	for _, stretch := range d.Run.Stretches() {
		column := newRailColumn(ei, 0, &d.Run, stretch, l.Rails[rail])
		column.standOn(d, rail, feet, cuts)
		least = math.Min(least, column.critical())
	}
	return least
}

// standOn gives the supports of a rail's column the stiffness of each post across: none where no
// fitting joins the rail to it, past which the rail runs in one piece.
func (c *railColumn) standOn(d *barrier.Definition, rail int, feet []float64, cuts []bool) {
	height := d.Rails[rail].Height - d.Post.Base.Level
	for i := range c.nodes {
		n := &c.nodes[i]
		post, is := slices.BinarySearch(d.Run.Posts, n.x)
		switch {
		case !is || math.IsInf(n.held, 1):
		case d.FittingAt(post, rail) == barrier.FittingMissing:
			n.held, n.joint = 0, math.Inf(1)
		default:
			if !cuts[post] {
				n.joint = math.Inf(1)
			}
			n.held = postStiffness(criticalStiffness(d, d.PostMember(post)), height, feet[post])
		}
	}
}

// longestHeld returns the length of the longest bay of a rail, m, or overhang, between posts and walls
// that hold it: one that no fitting joins it to does not.
func longestHeld(d *barrier.Definition, rail int) float64 {
	if !d.LacksFitting(rail) {
		return longestBay(d, true)
	}
	longest := 0.0
	for _, stretch := range d.Run.Stretches() {
		from := stretch.From
		for i := stretch.First; i <= stretch.Last; i++ {
			x := d.Supports()[i]
			if post, is := slices.BinarySearch(d.Run.Posts, x); is && d.FittingAt(post, rail) == barrier.FittingMissing {
				continue
			}
			longest, from = math.Max(longest, x-from), x
		}
		longest = math.Max(longest, stretch.To-from)
	}
	return longest
}

// crackedDemands finds what the cracked fittings pass on, each of its own: forces, for a cracked fitting
// passes no moment.
func (m *model) crackedDemands(c *run) {
	if c.d.Survey == nil {
		return
	}
	for _, found := range c.d.Survey.Fittings {
		if found.State != barrier.FittingCracked {
			continue
		}
		whole, ends := m.analysis.Grip(found.Rail, found.Post)
		corner := c.d.Run.IsCorner(found.Post)
		for n := range grips {
			g := &grips[n]
			if g.turns() {
				continue
			}
			f := finding{id: g.id(), element: fittingName(corner, found.Post, c.d.Rails[found.Rail].Name), member: found.Rail, grip: g, corner: corner, factor: 1}
			probes := ends
			if g.tube == "post" {
				probes = []*analysis.Probe{whole}
			}
			for _, p := range probes {
				h := c.worstHeld(m, p, 0, analysis.Query{Level: analysis.Strength, Measures: []analysis.Measure{measure(g.judge)}})[0][0]
				if h.Found() && (f.model == nil || analysis.Beats(h.Value, f.placed.Value)) {
					f.judge, f.raise, f.placed, f.model = h.raise.judge(g.judge), h.raise.kept(), h.Placed, m
				}
			}
			if f.model != nil {
				m.cracked = append(m.cracked, f)
			}
		}
	}
}

// worseCracked keeps the worse demands of two models on their cracked fittings.
func worseCracked(a, b []finding) []finding {
	for i := range b {
		at := slices.IndexFunc(a, func(f finding) bool { return f.id == b[i].id && f.element == b[i].element })
		if at < 0 {
			a = append(a, b[i])
		} else if a[at].worse(&b[i]) {
			a[at] = b[i]
		}
	}
	return a
}

// openSurvey lists what a survey leaves open: the demands on cracked fittings, whatever is left out,
// for no one has checked one that is cracked, and the walls that were not measured.
func (c *run) openSurvey() {
	for _, kind := range [...]struct{ id, what string }{{"slip", "slip along the"}, {"force", "force across the"}} {
		for i := 0; i < len(c.worst.cracked); {
			first, worst := &c.worst.cracked[i], (*finding)(nil)
			for ; i < len(c.worst.cracked) && c.worst.cracked[i].element == first.element; i++ {
				f := &c.worst.cracked[i]
				if f.grip.kind == kind.id && f.placed.Value > nothing && (worst == nil || worst.worse(f)) {
					worst = f
				}
			}
			if worst != nil {
				c.open(c.demanded(Item{Kind: OpenFitting, Item: "cracked " + worst.element + ": " + kind.what + " " + worst.grip.tube, Reason: "it was found cracked, and no tested value holds of it"}, worst))
			}
		}
	}
	if names := c.notMeasured(); len(names) > 0 {
		c.open(Item{Kind: OpenWalls, Item: "walls: " + strings.Join(names, ", "), Unit: "1", Reason: "they were not measured and count as new, but for a measured diameter: what years have taken from them is not checked"})
	}
}

// notMeasured names the members whose wall a survey did not measure, none where there is no survey.
func (c *run) notMeasured() []string {
	if c.d.Survey == nil || c.d.Survey.FeetAlone {
		return nil
	}
	measured := map[int]bool{}
	for _, r := range c.d.Survey.Posts {
		measured[r.Post] = r.Wall != nil
	}
	var posts []int
	for p := range c.d.Run.Posts {
		if !measured[p] {
			posts = append(posts, p+1)
		}
	}
	var names []string
	if len(posts) > 0 {
		names = append(names, postsInWords(posts))
	}
	for i := range c.d.Rails {
		if !slices.ContainsFunc(c.d.Survey.Rails, func(r barrier.RailReading) bool { return r.Rail == i && r.Wall != nil }) {
			names = append(names, "rail "+c.d.Rails[i].Name)
		}
	}
	for i := range c.d.Braces {
		names = append(names, braceName(i))
	}
	return names
}

// postsInWords names posts by ascending numbers: "posts 1 to 6 and 9".
func postsInWords(numbers []int) string {
	var parts []string
	for i := 0; i < len(numbers); {
		to := i
		for to+1 < len(numbers) && numbers[to+1] == numbers[to]+1 {
			to++
		}
		switch to {
		case i:
			parts = append(parts, strconv.Itoa(numbers[i]))
		case i + 1:
			parts = append(parts, strconv.Itoa(numbers[i]), strconv.Itoa(numbers[to]))
		default:
			parts = append(parts, fmt.Sprintf("%d to %d", numbers[i], numbers[to]))
		}
		i = to + 1
	}
	const most = 8
	if n := len(parts); n > most {
		return "posts " + strings.Join(parts[:most], ", ") + fmt.Sprintf(" and others, %d in all", len(numbers))
	} else if n > 1 {
		return "posts " + strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	}
	if len(numbers) == 1 {
		return "post " + parts[0]
	}
	return "posts " + parts[0]
}

// SurveyResult is what the check makes of a survey: what was read and found, the worst member, what
// to do first, and the same barrier as new beside it.
type SurveyResult struct {
	Date        string          `json:"date"` // as given; empty where none is
	Rows        []SurveyRow     `json:"rows"` // posts, rails, fittings that were read or found
	NotMeasured []string        `json:"not_measured"`
	Worst       CheckRef        `json:"worst"`       // of all checks, as governing.overall
	WorstFound  string          `json:"worst_found"` // what was found of that member, in words
	Order       []SurveyStep    `json:"order_of_action"`
	AsNew       *SurveyedStatus `json:"as_new"` // null where the barrier as new could not be checked
	AsNewNote   string          `json:"as_new_note,omitempty"`
	AsSurveyed  SurveyedStatus  `json:"as_surveyed"`
}

// SurveyRow is one member or fitting that was measured or found.
type SurveyRow struct {
	Element     string   `json:"element"`         // "post 7", "rail top", "fitting 4 top"
	Wall        *float64 `json:"wall_mm"`         // the least reading; null where there is none
	OfNominal   *float64 `json:"wall_of_nominal"` // the least wall over the nominal one
	OD          *float64 `json:"od_mm"`           // likewise
	CountedWall *float64 `json:"counts_wall_mm"`  // the thinnest section, on which strength counts; null for a fitting
	CountedOD   *float64 `json:"counts_od_mm"`
	Found       string   `json:"found"` // in words; empty where nothing is amiss
	Worst       CheckRef `json:"worst"` // the largest utilisation of the member; of a fitting, of its post and its rail
}

// SurveyStep is one step of what to do, the first first.
type SurveyStep struct {
	Element string   `json:"element"`
	Found   string   `json:"found"`
	Do      string   `json:"do"`
	Why     string   `json:"why"`
	Worst   CheckRef `json:"worst"`
}

// SurveyedStatus is what a check comes to, in short.
type SurveyedStatus struct {
	Status    Status   `json:"status"`
	Governing CheckRef `json:"governing"`
}

// survey fills what the check makes of the survey.
func (c *run) survey() {
	s := c.d.Survey
	if s == nil || s.FeetAlone {
		return
	}
	out := &SurveyResult{Date: s.Date, NotMeasured: c.notMeasured(), Worst: c.out.Governing.Overall}
	out.AsSurveyed = SurveyedStatus{c.out.Status, c.out.Governing.Overall}
	if as, err := Judge(c.d.AsBuilt()); err == nil {
		out.AsNew = &SurveyedStatus{as.Status, as.Governing.Overall}
	} else {
		out.AsNewNote = err.Error()
	}
	worst := c.worstOfMembers()
	posts, rails := c.surveyedPosts(worst), c.surveyedRails(worst)
	fittings := c.surveyedFittings(worst)
	out.Rows = slices.Concat(posts, rails, fittings)
	out.WorstFound = c.foundOf(out.Worst.Element, out.Rows)
	out.Order = c.order(worst, out.Rows)
	c.out.Survey = out
}

// memberKey is a post or a rail.
type memberKey struct {
	post  bool
	index int
}

// worstOfMembers returns the governing check of each post and each rail.
func (c *run) worstOfMembers() map[memberKey]CheckRef {
	rows := map[memberKey][]CheckRow{}
	for i, f := range c.inOrder() {
		kind, _, _ := strings.Cut(f.id, "-")
		if kind != "post" && kind != "base" && kind != "rail" {
			continue
		}
		key := memberKey{kind != "rail", f.member}
		rows[key] = append(rows[key], c.out.Checks[i])
	}
	out := map[memberKey]CheckRef{}
	for key, of := range rows {
		out[key] = governing(of, governs)
	}
	return out
}

func (c *run) surveyedPosts(worst map[memberKey]CheckRef) (rows []SurveyRow) {
	for _, r := range c.d.Survey.Posts {
		row := surveyRow(postName(r.Post), c.d.PostMember(r.Post), r.Wall, r.OD)
		row.Worst = worst[memberKey{true, r.Post}]
		if r.Stiffness != nil {
			row.Found = both(row.Found, footLoose+", "+stiffness(*r.Stiffness, c.o.Units))
		}
		rows = append(rows, row)
	}
	return rows
}

func (c *run) surveyedRails(worst map[memberKey]CheckRef) (rows []SurveyRow) {
	for _, r := range c.d.Survey.Rails {
		row := surveyRow("rail "+c.d.Rails[r.Rail].Name, &c.d.Rails[r.Rail].Member, r.Wall, r.OD)
		row.Worst = worst[memberKey{false, r.Rail}]
		rows = append(rows, row)
	}
	return rows
}

func (c *run) surveyedFittings(worst map[memberKey]CheckRef) (rows []SurveyRow) {
	for _, f := range c.d.Survey.Fittings {
		row := SurveyRow{Element: fittingName(c.d.Run.IsCorner(f.Post), f.Post, c.d.Rails[f.Rail].Name), Found: string(f.State)}
		row.Worst = worst[memberKey{true, f.Post}]
		if rail := worst[memberKey{false, f.Rail}]; useOf(rail) > useOf(row.Worst) {
			row.Worst = rail
		}
		rows = append(rows, row)
	}
	return rows
}

// What is found of a post or a rail begins so; what to do goes by it.
const (
	footLoose = "foot loose"
	wallBelow = "wall below"
)

// surveyRow is the row of a member with its readings.
func surveyRow(element string, m *barrier.Member, wall, od *float64) SurveyRow {
	mm := func(v float64) *float64 { v *= 1e3; return &v }
	counted := m.Weakest().Ring
	row := SurveyRow{Element: element, CountedWall: mm(counted.Wall), CountedOD: mm(counted.OD)}
	if wall != nil {
		row.Wall = mm(*wall)
		of := *wall / m.Nominal
		row.OfNominal = &of
		if least, words := leastOfNew(m); *wall < least {
			row.Found = wallBelow + " " + words
		}
	}
	if od != nil {
		row.OD = mm(*od)
		if lost := (m.BuiltOD() - *od) / 2; wall == nil && lost > nothing {
			row.Found = "no wall measured, and what the diameter has lost is taken off it"
		}
	}
	return row
}

// unlistedTolerance is by how much of nominal the wall of a new tube may be less where its standard lists
// no tolerance, or it has no standard (common practice).
const unlistedTolerance = 0.1

// leastOfNew returns the least wall of a new tube, m, and whose word that is.
func leastOfNew(m *barrier.Member) (least float64, words string) {
	if tolerance, err := m.Tube.WallTolerance(); err == nil {
		return m.Nominal - tolerance.Minus(m.Nominal), "the least of a new tube"
	}
	return m.Nominal * (1 - unlistedTolerance), "90 % of nominal"
}

// useOf returns the utilisation of a reference: +Inf for one without bound, -1 for none.
func useOf(ref CheckRef) float64 {
	switch {
	case ref.ID == "":
		return -1
	case ref.Utilisation == nil:
		return math.Inf(1)
	}
	return *ref.Utilisation
}

// both joins two parts of what is found, either of which may be empty.
func both(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}

// foundOf returns what was found of the member of an element: of a post, of the rail of a bay.
func (c *run) foundOf(element string, rows []SurveyRow) string {
	for _, row := range rows {
		if row.Element == element || strings.HasPrefix(row.Element, "rail ") && strings.HasPrefix(element, row.Element+" ") {
			return row.Found
		}
	}
	return ""
}

// The classes of what to do, the first first.
const (
	doLooseFailing = iota // posts that fail on feet found loose
	doFailing             // other members that fail
	doFitting             // fittings that nothing checks, or that are not there
	doFoot                // feet found loose
	doWall                // walls below the least of a new tube
	doMeasure             // walls that nobody measured
)

// order puts what to do in order: posts that fail on loose feet, other members that fail, fittings that are missing or cracked, loose feet, thin
// walls, what was not measured; among each the largest utilisation first.
func (c *run) order(worst map[memberKey]CheckRef, rows []SurveyRow) []SurveyStep {
	type step struct {
		class int
		SurveyStep
	}
	var steps []step
	add := func(class int, s SurveyStep) { steps = append(steps, step{class, s}) }
	fails := func(ref CheckRef) bool { return useOf(ref) > 1 }
	told := map[string]bool{}
	for _, row := range rows {
		s := SurveyStep{Element: row.Element, Found: row.Found, Worst: row.Worst}
		loose, thin := strings.Contains(row.Found, footLoose), strings.HasPrefix(row.Found, wallBelow)
		var do []string
		if loose {
			do = append(do, "make its foot fast again, or replace it")
		}
		if thin {
			do = append(do, "replace the tube")
		}
		s.Do = strings.Join(do, "; ")
		switch row.Found {
		case string(barrier.FittingMissing):
			s.Do, s.Why = "put the fitting back", "nothing joins the rail to the post"
			add(doFitting, s)
			continue
		case string(barrier.FittingCracked):
			s.Do, s.Why = "replace the fitting", "no value of it holds, and nothing checks what it passes on"
			add(doFitting, s)
			continue
		}
		told[row.Element] = true
		switch {
		case fails(row.Worst):
			s.Why = "it fails"
			switch {
			case s.Do != "":
			case row.Found != "":
				s.Do = "measure its wall"
			default:
				s.Do = "look at what was found beside it: of itself nothing is amiss"
			}
			if loose {
				add(doLooseFailing, s)
			} else {
				add(doFailing, s)
			}
		case loose:
			s.Why = "its foot was found loose"
			add(doFoot, s)
		case thin:
			s.Why = "its wall is less than a new tube may have"
			add(doWall, s)
		}
	}
	for _, key := range c.members() {
		name := postName(key.index)
		if !key.post {
			name = "rail " + c.d.Rails[key.index].Name
		}
		if ref := worst[key]; fails(ref) && !told[name] {
			add(doFailing, SurveyStep{Element: name, Do: "measure it, and look at what was found beside it", Why: "it fails, and nothing was measured of it", Worst: ref})
		}
	}
	if names := c.notMeasured(); len(names) > 0 {
		add(doMeasure, SurveyStep{Element: strings.Join(names, ", "), Do: "measure what wall is left", Why: "it counts as new but for a measured diameter, which nobody checked"})
	}
	slices.SortStableFunc(steps, func(a, b step) int {
		return cmp.Or(cmp.Compare(a.class, b.class), cmp.Compare(useOf(b.Worst), useOf(a.Worst)))
	})
	out := make([]SurveyStep, len(steps))
	for i := range steps {
		out[i] = steps[i].SurveyStep
		if i > 0 && steps[i].class == doFailing {
			out[i].Why += ", perhaps for what stands before it here"
		}
	}
	return out
}

// members returns every post and every rail.
func (c *run) members() (all []memberKey) {
	for p := range c.d.Run.Posts {
		all = append(all, memberKey{true, p})
	}
	for i := range c.d.Rails {
		all = append(all, memberKey{false, i})
	}
	return all
}

// looseFeet names the feet that were found loose with their stiffness, the first ones of many.
func (c *run) looseFeet() string {
	const most = 8
	var parts []string
	for p := range c.d.Run.Posts {
		if k, own := c.d.OwnFoot(p); own {
			parts = append(parts, postName(p)+", "+stiffness(k, c.o.Units))
		}
	}
	if n := len(parts) - most; n > 0 {
		parts = append(parts[:most], fmt.Sprintf("and %d more", n))
	}
	return strings.Join(parts, "; ")
}

// eachFoot is what a least stiffness of feet is about: not those that were found loose.
func (c *run) eachFoot() string {
	if c.d.HasOwnFeet() {
		return "foot but those found loose"
	}
	return "foot"
}

// readingsOf returns what a survey read of the member of a finding; ok is false where it read nothing, and
// where years have passed since.
func (c *run) readingsOf(f *finding) (wall, od *float64, ok bool) {
	if c.d.Survey == nil || c.d.Age != nil {
		return nil, nil, false
	}
	switch kind, _, _ := strings.Cut(f.id, "-"); kind {
	case "post":
		for _, r := range c.d.Survey.Posts {
			if r.Post == f.member {
				return r.Wall, r.OD, r.Wall != nil || r.OD != nil
			}
		}
	case "rail":
		for _, r := range c.d.Survey.Rails {
			if r.Rail == f.member {
				return r.Wall, r.OD, true
			}
		}
	}
	return nil, nil, false
}

// withReadings says in the steps of a check which sizes of its tube were measured and which follow.
func withReadings(steps []Step, wall, od *float64) []Step {
	out := slices.Clone(steps)
	for i := range out {
		s := &out[i]
		if s.Unit != "mm" || s.Formula != "" {
			continue
		}
		switch measured := od; s.Symbol {
		case "t":
			measured = wall
			fallthrough
		case "d", "D", "do":
			if measured != nil {
				s.What, s.Provenance = s.What+", measured", usersOwn
			} else {
				s.What, s.Provenance = s.What+", less what is lost", derived
			}
		}
	}
	return out
}
