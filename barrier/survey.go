package barrier

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// Survey is what was measured and found on a barrier that stands.
type Survey struct {
	Posts       []PostReading  // ascending, one a post at most
	Rails       []RailReading  // ascending, one a rail at most
	Fittings    []FittingFound // in document order
	Date        string         // of the survey, as given
	CoatingLeft *float64       // zinc that is left outside, m; nil where it was not measured
	// FeetAlone says that nothing but the stiffness of feet is told, as a load test tells it: no wall is
	// asked for then.
	FeetAlone bool
}

// PostReading is what was measured of one post. A nil value was not measured.
type PostReading struct {
	Post      int      // from 0
	Wall, OD  *float64 // m: the least reading
	Stiffness *float64 // of a foot that was found loose, N·m/rad; 0 is a hinge
}

// RailReading is what was measured of one rail: its least reading, for the whole of it.
type RailReading struct {
	Rail     int      // from 0
	Wall, OD *float64 // m
}

// FittingState says what was found of a fitting; it is empty for one that is as it should be.
type FittingState string

// The states of a fitting.
const (
	FittingMissing FittingState = "missing" // the rail is not joined to the post
	FittingCracked FittingState = "cracked" // it passes forces and no moment, and no tested value holds
)

// FittingFound is a fitting that is not as it should be.
type FittingFound struct {
	Post, Rail int // from 0
	State      FittingState

	path string // of the table that tells of it
}

// PostMember returns the tube of a post: what a survey found of it, otherwise that of all posts.
func (d *Definition) PostMember(post int) *Member {
	if d.PostMembers == nil {
		return &d.Post.Member
	}
	return &d.PostMembers[post]
}

// ThinnestPost returns the tube of the post with the least outside diameter where it is weakest.
func (d *Definition) ThinnestPost() *Member {
	thinnest := d.Post.Weakest()
	for i := range d.PostMembers {
		if m := d.PostMembers[i].Weakest(); m.Ring.OD < thinnest.Ring.OD {
			thinnest = m
		}
	}
	return thinnest
}

// WeakestPost returns the tube of the post with the least elastic modulus.
func (d *Definition) WeakestPost() *Member {
	weakest := &d.Post.Member
	for i := range d.PostMembers {
		if m := &d.PostMembers[i]; m.Weakest().Ring.Wel < weakest.Weakest().Ring.Wel {
			weakest = m
		}
	}
	return weakest
}

// OwnFoot returns the rotational stiffness that a survey found of the foot of a post, from 0,
// N·m/rad; ok is false where it found none.
func (d *Definition) OwnFoot(post int) (stiffness float64, ok bool) {
	if d.Survey == nil {
		return 0, false
	}
	at, found := slices.BinarySearchFunc(d.Survey.Posts, post, func(r PostReading, post int) int { return cmp.Compare(r.Post, post) })
	if !found || d.Survey.Posts[at].Stiffness == nil {
		return 0, false
	}
	return *d.Survey.Posts[at].Stiffness, true
}

// FootOf returns the rotational stiffness of the foot of a post, from 0, N·m/rad: what was found
// of it, otherwise layout, that of the frame's layout. 0 is a hinge, +Inf is rigid.
func (d *Definition) FootOf(post int, layout float64) float64 {
	if own, ok := d.OwnFoot(post); ok {
		return own
	}
	return layout
}

// FeetOn returns FootOf of every post, N·m/rad.
func (d *Definition) FeetOn(layout float64) []float64 {
	feet := slices.Repeat([]float64{layout}, len(d.Run.Posts))
	if d.Survey != nil {
		for _, r := range d.Survey.Posts {
			if r.Stiffness != nil {
				feet[r.Post] = *r.Stiffness
			}
		}
	}
	return feet
}

// HasOwnFeet reports whether the foot of some post has a stiffness of its own.
func (d *Definition) HasOwnFeet() bool {
	return d.Survey != nil && slices.ContainsFunc(d.Survey.Posts, func(r PostReading) bool { return r.Stiffness != nil })
}

// WithFoot returns the barrier with the foot of a post, from 0, of a stiffness of its own, N·m/rad.
// The definition itself stays as it is.
func (d *Definition) WithFoot(post int, stiffness float64) *Definition {
	out, survey := *d, Survey{FeetAlone: true}
	if d.Survey != nil {
		survey = *d.Survey
	}
	survey.Posts = slices.Clone(survey.Posts)
	at, found := slices.BinarySearchFunc(survey.Posts, post, func(r PostReading, post int) int { return cmp.Compare(r.Post, post) })
	if !found {
		survey.Posts = slices.Insert(survey.Posts, at, PostReading{Post: post})
	}
	survey.Posts[at].Stiffness = &stiffness
	out.Survey = &survey
	return &out
}

// AsBuilt returns the barrier without what its survey found and what years of weather took: new tubes
// on feet and fittings as the file tells of them.
func (d *Definition) AsBuilt() *Definition {
	out := *d
	out.Survey, out.PostMembers, out.Age = nil, nil, nil
	out.Rails, out.Braces = slices.Clone(d.Rails), slices.Clone(d.Braces)
	renew := func(m *Member) {
		if m.Wear != nil {
			m.Ring, m.Wear = m.Wear.New, nil
		}
	}
	renew(&out.Post.Member)
	for i := range out.Rails {
		renew(&out.Rails[i].Member)
	}
	for i := range out.Braces {
		renew(&out.Braces[i].Member)
	}
	return &out
}

// FittingAt returns what a survey found of the fitting that joins a rail to a post, both from 0.
func (d *Definition) FittingAt(post, rail int) FittingState {
	if d.Survey == nil {
		return ""
	}
	for i := range d.Survey.Fittings {
		if f := &d.Survey.Fittings[i]; f.Post == post && f.Rail == rail {
			return f.State
		}
	}
	return ""
}

// LacksFitting reports whether a rail, from 0, is not joined to some post.
func (d *Definition) LacksFitting(rail int) bool {
	_, lacks := d.MissingFitting(rail)
	return lacks
}

// MissingFitting returns the path of the first fitting that a rail, from 0, lacks.
func (d *Definition) MissingFitting(rail int) (path string, lacks bool) {
	if d.Survey == nil {
		return "", false
	}
	for _, f := range d.Survey.Fittings {
		if f.Rail == rail && f.State == FittingMissing {
			return f.path, true
		}
	}
	return "", false
}

// CutsAtPosts returns at which posts a rail that is cut at every post between two others has an end
// of a piece: at each that it is joined to, as long as every piece stands on two.
func (d *Definition) CutsAtPosts(rail int) []bool {
	run := &d.Run
	posts, first := len(run.Posts), run.PostSupport(0)
	joined := func(support int) bool { // a wall is
		post := support - first
		return post < 0 || post >= posts || d.FittingAt(post, rail) != FittingMissing
	}
	cuts := make([]bool, posts)
	for _, s := range run.Stretches() {
		left := 0 // supports of the stretch that are still to come and that the rail is joined to
		for i := s.First; i <= s.Last; i++ {
			if joined(i) {
				left++
			}
		}
		on := 0 // of the piece in hand
		for i := s.First; i <= s.Last; i++ {
			if !joined(i) {
				continue
			}
			on, left = on+1, left-1
			if i > s.First && i < s.Last && on > 1 && left > 0 {
				cuts[i-first] = true
				on = 1
			}
		}
	}
	return cuts
}

// surveyDraft is [survey] as far as it could be read.
type surveyDraft struct {
	table
	*Survey
	run   runDraft
	post  postDraft
	rails []railDraft
}

// readSurvey reads [survey]; nil where there is none.
func (t table) readSurvey(run runDraft, rails []railDraft, post postDraft) *Survey {
	given, ok := t.child("survey", surveyTable)
	if !ok {
		return nil
	}
	s := surveyDraft{given, &Survey{}, run, post, rails}
	s.Date, _ = given.text("date", "2026-03-04")
	s.CoatingLeft = given.readCoatingLeft()
	posts := given.children("post", surveyPostTable, MaxPosts)
	s.readPosts(posts)
	railTables := given.children("rail", surveyRailTable, MaxRails)
	s.readRails(railTables)
	fittings := given.children("fitting", surveyFittingTable, MaxPosts)
	s.readFittings(fittings)
	if len(posts)+len(railTables)+len(fittings) == 0 && s.CoatingLeft == nil && !given.hasAny("post", "rail", "fitting", "coating_left") {
		given.lacks("the survey measured and found nothing", given.like(`add [[survey.post]] with post = 7 and wall = "2.4 mm" or foot = "40 kNm/rad", [[survey.rail]] or [[survey.fitting]]; or leave [survey] out`))
	}
	return s.Survey
}

// mostZincLeft is the thickness of zinc, m, beyond which a reading is a slip: hot-dip coatings of
// tube reach some 0.2 mm (common practice).
const mostZincLeft = 0.5e-3

// readCoatingLeft reads what zinc is left, m.
func (t table) readCoatingLeft() *float64 {
	v, ok := t.quantity("coating_left", quantity.Length)
	switch {
	case !ok:
		return nil
	case v < 0:
		t.fault(t.at("coating_left"), "the coating is negative", `write "0 um" where no zinc is left`)
		return nil
	case v > mostZincLeft:
		t.fault(t.at("coating_left"), fmt.Sprintf("no zinc coating is %s thick", t.sizeText(v)), `write micrometres, such as "45 um"`)
		return nil
	}
	return &v
}

// readPosts reads every [[survey.post]].
func (s *surveyDraft) readPosts(tables []table) {
	told := map[int]bool{}
	for _, t := range tables {
		posts := t.readPostNumbers(s.run)
		r := PostReading{}
		var wallOK, odOK bool
		r.Wall, wallOK = t.least("wall")
		r.OD, odOK = t.least("od")
		r.Stiffness = t.readFootFound()
		if !t.hasAny("wall", "od", "foot") && !t.misspelt("wall") && !t.misspelt("od") && !t.misspelt("foot") {
			t.lacks("nothing was measured of the post", t.like(`add wall = "2.4 mm", od = "47.9 mm" or foot = "40 kNm/rad"`))
		}
		if s.post.ringOK && wallOK && odOK {
			t.checkReadings(&s.post.Member, r.Wall, r.OD)
		}
		t.cautionStiffFoot(&s.post, r.Stiffness, posts)
		for _, p := range posts {
			if told[p.post] {
				t.fault(p.path, fmt.Sprintf("post %d has readings already", p.post+1), "put all that was measured of a post in one [[survey.post]]; of several readings write a list")
				continue
			}
			told[p.post] = true
			r.Post = p.post
			s.Posts = append(s.Posts, r)
		}
	}
	slices.SortStableFunc(s.Posts, func(a, b PostReading) int { return cmp.Compare(a.Post, b.Post) })
}

// postNamed is a post of a list and its place in the file.
type postNamed struct {
	post int // from 0
	path string
}

// readPostNumbers reads one post or a list of posts.
func (t table) readPostNumbers(run runDraft) []postNamed {
	if !t.require("post", "7") {
		return nil
	}
	values, isList := t.values["post"].([]any)
	if !isList {
		if n, ok := t.postNumber(t.at("post"), t.values["post"], run); ok {
			return []postNamed{{n, t.at("post")}}
		}
		return nil
	}
	if len(values) == 0 {
		t.fault(t.at("post"), "the list of posts is empty", "write post = 7, or post = [3, 4] for posts with the same readings")
	}
	var out []postNamed
	for i, v := range values {
		path := element(t.at("post"), i)
		if n, ok := t.postNumber(path, v, run); ok {
			out = append(out, postNamed{n, path})
		}
	}
	return out
}

// least reads one reading or the least of a list, m: nil for none. ok is false where one could not
// be read.
func (t table) least(key string) (least *float64, ok bool) {
	value, given := t.values[key]
	if !given {
		return nil, true
	}
	values, isList := value.([]any)
	if !isList {
		v, ok := t.positive(key, quantity.Length)
		if !ok {
			return nil, false
		}
		return &v, true
	}
	if len(values) == 0 {
		t.fault(t.at(key), "the list of readings is empty", t.like(`write one reading such as "2.4 mm", or ["2.4 mm", "2.6 mm"], of which the least counts`))
		return nil, false
	}
	smallest := math.Inf(1)
	ok = true
	for i, value := range values {
		path := element(t.at(key), i)
		v, read := t.quantityAt(path, value, quantity.Length)
		if !read || !t.isPositive(path, v, quantity.Length) {
			ok = false
			continue
		}
		smallest = math.Min(smallest, v)
	}
	return &smallest, ok
}

// readFootFound reads the stiffness of a foot that was found loose, N·m/rad; 0 is a hinge.
func (t table) readFootFound() *float64 {
	value, given := t.values["foot"]
	if !given {
		return nil
	}
	path, example, hinge := t.at("foot"), t.like(`"40 kNm/rad"`), t.like(`"0 kNm/rad"`)
	if word, isText := value.(string); isText && isWord(word) {
		fix := "write the stiffness that was found, such as " + example + ", or " + hinge + " for one that holds no moment"
		switch near, ok := likely(word, []string{"free", "loose", "hinge", "rigid"}); {
		case ok && near == "rigid":
			fix = "leave foot out: a foot that was found firm is that of [post.base]"
		case ok:
			fix = "write " + hinge + " for a foot that holds no moment, or the stiffness that was found, such as " + example
		}
		t.fault(path, "a rotational stiffness is wanted, this is the word "+quote(word), fix)
		return nil
	}
	k, ok := t.quantityAt(path, value, quantity.RotationalStiffness)
	switch {
	case !ok:
		return nil
	case k < 0:
		t.fault(path, "the rotational stiffness is negative", "write "+example+", or "+hinge+" for a foot that holds no moment")
		return nil
	}
	return &k
}

// cautionStiffFoot cautions of a foot that was found loose and is no softer than the file's.
func (t table) cautionStiffFoot(post *postDraft, found *float64, posts []postNamed) {
	if found == nil || len(post.Base.Stiffness) == 0 || *found < post.Base.Stiffness[0] || len(posts) == 0 {
		return
	}
	t.caution("The foot of post %d was found loose with %s, no softer than the %s of [post.base]: what was found counts there.", posts[0].post+1,
		quantity.Of(*found, quantity.RotationalStiffness), quantity.Of(post.Base.Stiffness[0], quantity.RotationalStiffness))
}

// leastSurveyed is the wall, m, below which a reading is none of a wall: no tube to walk beside has
// so little left (rule of this program, common practice).
const leastSurveyed = 0.5e-3

const (
	// zincOnBothSides is what zinc adds to a diameter as measured over it, m, at most (common practice).
	zincOnBothSides = 0.3e-3
	// odFraction and odLeast are by how much a tube may be wider than nominal: 1 %, no tighter than
	// 0.5 mm. EN 10219-2, public table; others are no wider but by their limits in the tables.
	odFraction, odLeast = 0.01, 0.5e-3
	// wallFraction is by how much the wall may be above nominal of a tube whose standard lists no
	// tolerance (common practice).
	wallFraction = 0.125
)

// thicker returns by how much a wall may be above the nominal one, m, and where that is from. The
// standards limit the mean wall upwards by the mass alone; their minus tolerance stands for a reading.
func (m *Member) thicker() (plus float64, source string) {
	if tolerance, err := m.Tube.WallTolerance(); err == nil {
		return tolerance.Minus(m.Nominal), "the minus tolerance of " + m.Tube.Standard + " taken upwards, " + tolerance.Source
	}
	return wallFraction * m.Nominal, "common practice, no tolerance being listed"
}

// wider returns by how much an outside diameter as measured over its zinc may be above the nominal one, m,
// and where that is from.
func (m *Member) wider() (plus float64, source string) {
	od := m.Ring.OD
	if limit := m.Tube.ODMax; limit > od {
		return limit - od + zincOnBothSides, "the limit of " + m.Tube.Standard + " and the zinc on both sides"
	}
	return math.Max(odFraction*od, odLeast) + zincOnBothSides, "1 %, at least 0.5 mm, of EN 10219-2 and the zinc on both sides"
}

// checkReadings faults readings that the tube cannot have.
func (t table) checkReadings(m *Member, wall, od *float64) {
	fine := true
	say := func(key, what, fix string) {
		fine = false
		t.fault(t.at(key), what, fix)
	}
	if wall != nil && od != nil && *wall > *od && *od < m.Ring.OD/2 && *wall > m.Ring.OD/2 {
		say("wall", fmt.Sprintf("the wall of %s is more than the outside diameter of %s", t.sizeText(*wall), t.sizeText(*od)), "are wall and od swapped?")
		return
	}
	if wall != nil {
		plus, source := m.thicker()
		switch w := *wall; {
		case w > m.Nominal+plus+slack:
			fix := "measure again, and look at post.tube: is it another tube?"
			if t.path == "" || strings.Contains(t.path, "rail") {
				fix = "measure again, and look at the tube of the rail: is it another tube?"
			}
			say("wall", fmt.Sprintf("the measured wall of %s is above the nominal %s by more than its tolerance, %s (%s)", t.sizeText(w), t.sizeText(m.Nominal), t.sizeText(plus), source),
				t.slip(w, m.Nominal, m.Ring.OD, "the outside diameter: are wall and od swapped?", fix))
		case w < leastSurveyed:
			say("wall", fmt.Sprintf("a wall of %s is no wall to count on: at least %s is", t.sizeText(w), t.sizeText(leastSurveyed)),
				t.slip(w, m.Nominal, m.Ring.OD, "", "replace the tube, and give the reading of the new one"))
		}
	}
	if od != nil {
		plus, source := m.wider()
		bore := m.Ring.OD - 2*m.Nominal
		switch v := *od; {
		case v > m.Ring.OD+plus+slack:
			say("od", fmt.Sprintf("the measured outside diameter of %s is above the nominal %s by more than its tolerance, %s (%s)", t.sizeText(v), t.sizeText(m.Ring.OD), t.sizeText(plus), source),
				t.slip(v, m.Ring.OD, m.Nominal, "", "measure again: the circumference over 3.1416"))
		case v <= bore:
			say("od", fmt.Sprintf("an outside diameter of %s is no more than the bore of the tube, %s", t.sizeText(v), t.sizeText(bore)),
				t.slip(v, m.Ring.OD, m.Nominal, "the wall: are wall and od swapped?", "measure again: the circumference over 3.1416"))
		}
	}
	if !fine || wall == nil && od == nil {
		return
	}
	if ring, err := m.measured(wall, od); err != nil || ring.Wall > ring.OD/2-slack {
		key := "wall"
		if wall == nil {
			key = "od"
		}
		t.fault(t.at(key), "nothing is left of the tube with these readings", "measure again, or replace the tube")
	}
}

// slip says what a reading most likely is instead: the other size of the tube, inches for millimetres or the
// other way round, or a number whose point has slipped.
func (t table) slip(reading, nominal, other float64, swapped, otherwise string) string {
	const (
		inch     = 25.4
		leftOf   = 0.5 // of a size, worn
		leftOfOD = 0.8 // of one that stands for the other: a diameter loses little
		over     = 1.15
	)
	like := func(v float64) bool { return v > leftOf*nominal && v < over*nominal }
	switch {
	case swapped != "" && reading > leftOfOD*other && reading < over*other:
		return "that is near " + swapped
	case like(reading * inch):
		return fmt.Sprintf("in inches that number is %s: is the unit in?", t.sizeText(reading*inch))
	case like(reading / inch):
		return fmt.Sprintf("in millimetres that number is %s: is the unit mm?", t.sizeText(reading/inch))
	case like(reading / 10):
		return fmt.Sprintf("write %q if its point has slipped", t.sizeText(reading/10))
	case like(reading * 10):
		return fmt.Sprintf("write %q if its point has slipped, otherwise ", t.sizeText(reading*10)) + otherwise
	}
	return otherwise
}

// measured returns the section of the tube by its readings: the measured wall, and no more than the
// nominal diameter. Without a diameter, what the wall has lost is lost on the outside, where it costs most;
// without a wall, what the diameter has lost is taken from the wall in use.
func (m *Member) measured(wall, od *float64) (sections.Ring, error) {
	left, outside := m.Ring.Wall, m.Ring.OD
	switch {
	case wall != nil && od != nil:
		left, outside = *wall, math.Min(*od, outside)
	case wall != nil:
		left = *wall
		outside -= 2 * math.Max(0, m.Nominal-left)
	case od != nil:
		lost := math.Max(0, outside-*od)
		left, outside = left-lost/2, outside-lost
	}
	return sections.NewRing(outside, left)
}

// readRails reads every [[survey.rail]].
func (s *surveyDraft) readRails(tables []table) {
	told := map[int]bool{}
	for _, t := range tables {
		rail, railOK := t.readRailNamed(s.rails)
		r := RailReading{Rail: rail}
		var wallOK, odOK bool
		r.Wall, wallOK = t.least("wall")
		r.OD, odOK = t.least("od")
		if !t.hasAny("wall", "od") && !t.misspelt("wall") && !t.misspelt("od") {
			t.lacks("nothing was measured of the rail", t.like(`add wall = "2.4 mm" or od = "47.9 mm"`))
		}
		if !railOK {
			continue
		}
		if told[rail] {
			t.fault(t.at("rail"), fmt.Sprintf("rail %s has readings already", quote(s.rails[rail].Name)), "put all readings of a rail in one [[survey.rail]], as lists: the least counts for the whole of it")
			continue
		}
		told[rail] = true
		if s.rails[rail].ringOK && wallOK && odOK {
			t.checkReadings(&s.rails[rail].Member, r.Wall, r.OD)
		}
		s.Rails = append(s.Rails, r)
	}
	slices.SortStableFunc(s.Rails, func(a, b RailReading) int { return cmp.Compare(a.Rail, b.Rail) })
}

// readRailNamed reads the name of a rail.
func (t table) readRailNamed(rails []railDraft) (rail int, ok bool) {
	if !t.require("rail", `"top"`) {
		return 0, false
	}
	name, ok := t.text("rail", "top")
	if !ok || t.isTooLong(t.at("rail"), name) {
		return 0, false
	}
	if rail = slices.IndexFunc(rails, func(r railDraft) bool { return r.Name == name }); rail >= 0 {
		return rail, true
	}
	names := make([]string, len(rails))
	for i := range rails {
		names[i] = rails[i].Name
	}
	if len(names) > 0 {
		t.unknownName(t.at("rail"), "rail", name, names)
	}
	return 0, false
}

// readFittings reads every [[survey.fitting]] and faults rails that are left without support.
func (s *surveyDraft) readFittings(tables []table) {
	told := map[[2]int]bool{}
	n := len(s.problems)
	for _, t := range tables {
		posts := t.readPostNumbers(s.run)
		rail, railOK := t.readRailNamed(s.rails)
		if t.absent("found") {
			t.lacks("nothing says what was found of the fitting", `add found = "missing", or found = "cracked"`)
		}
		word, wordOK := t.word("found", []string{string(FittingMissing), string(FittingCracked)}, nil)
		if !railOK || !wordOK {
			continue
		}
		for _, p := range posts {
			if told[[2]int{p.post, rail}] {
				t.fault(p.path, fmt.Sprintf("the fitting of rail %s at post %d is told of already", quote(s.rails[rail].Name), p.post+1), "keep one of the two")
				continue
			}
			told[[2]int{p.post, rail}] = true
			s.Fittings = append(s.Fittings, FittingFound{p.post, rail, FittingState(word), t.path})
		}
	}
	if len(s.problems) == n && s.run.known() {
		s.checkSupports()
	}
}

// checkSupports faults each rail that missing fittings leave without support: a stretch of it on fewer than
// two posts and walls, or a piece on none. A wall that clamps the rail holds it alone.
func (s *surveyDraft) checkSupports() {
	d := &Definition{Run: s.run.Run, Survey: s.Survey}
	for i := range s.rails {
		path, lacks := d.MissingFitting(i)
		if !lacks {
			continue
		}
		r := &s.rails[i]
		holds := func(support int) int {
			post := support - s.run.PostSupport(0)
			switch {
			case post < 0:
				return held(s.run.Start)
			case post >= len(s.run.Posts):
				return held(s.run.End)
			case d.FittingAt(post, i) == FittingMissing:
				return 0
			}
			return 1
		}
		supports := s.run.Supports()
		on := func(from, to float64, first, last int) (n int) {
			for at := first; at <= last; at++ {
				if supports[at] >= from-slack && supports[at] <= to+slack {
					n += holds(at)
				}
			}
			return n
		}
		for _, stretch := range s.run.Stretches() {
			from, to := stretch.From, stretch.To
			hangs := on(from, to, stretch.First, stretch.Last) < 2
			pieces := r.Splices
			least := 1
			if r.SpliceState == CutAtPosts {
				pieces, least = supports[stretch.First+1:stretch.Last], 2
			}
			for _, p := range piecesBetween(from, to, pieces) {
				if n := on(p.from, p.to, stretch.First, stretch.Last); !hangs && n < least {
					hangs, from, to = true, p.from, p.to
				}
			}
			if hangs {
				s.fault(path, fmt.Sprintf("rail %s is left without support from %s to %s: too few fittings join it to posts there", quote(r.Name), s.placeText(from), s.placeText(to)),
					"close the barrier off: no check of it as it stands has a meaning; or write what was found of the others")
				break
			}
		}
	}
}

// held returns for how many supports a wall stands: for two where it clamps the rail.
func held(end End) int {
	if end.Rotation[1] && end.Rotation[2] {
		return 2
	}
	return 1
}

// piecesBetween returns the pieces of a stretch between the places within it where it is cut.
func piecesBetween(from, to float64, cuts []float64) (pieces []railPiece) {
	for _, x := range cuts {
		if x > from && x < to {
			pieces = append(pieces, railPiece{from, x})
			from = x
		}
	}
	return append(pieces, railPiece{from, to})
}

// takeSurvey puts what was measured into the tubes of posts and rails, and says what that assumes. It
// waits until the file has no fault.
func (r *reader) takeSurvey() {
	d := r.def
	if d.Survey == nil || len(r.problems) > 0 {
		return
	}
	measured := slices.ContainsFunc(d.Survey.Posts, func(p PostReading) bool { return p.Wall != nil || p.OD != nil })
	if measured {
		d.PostMembers = slices.Repeat([]Member{d.Post.Member}, len(d.Run.Posts))
		for _, p := range d.Survey.Posts {
			d.PostMembers[p.Post].wear(p.Wall, p.OD)
		}
	}
	for _, rail := range d.Survey.Rails {
		d.Rails[rail.Rail].wear(rail.Wall, rail.OD)
	}
	r.saySurvey(measured || len(d.Survey.Rails) > 0)
	r.cautionZincLeft()
}

// mostOfLeast is how many times its least thickness a coating has as new at most (rule of this program):
// a gauge that reads more reads paint too.
const mostOfLeast = 2

// cautionZincLeft cautions of more zinc than the coating had as new.
func (r *reader) cautionZincLeft() {
	d := r.def
	if d.Exposure == nil || d.Survey.CoatingLeft == nil {
		return
	}
	if least, left := d.Exposure.coating[0].on(d.Post.Nominal), *d.Survey.CoatingLeft; least > 0 && left > mostOfLeast*least {
		d.Exposure.Cautions = append(d.Exposure.Cautions, quantity.Say("The survey found %s of zinc, more than twice the least of the coating as new, %s: a gauge over paint reads the paint too.",
			quantity.Film(left), quantity.Film(least)).In(d.Units))
	}
}

// wear gives a tube the section by its readings.
func (m *Member) wear(wall, od *float64) {
	if wall == nil && od == nil {
		return
	}
	if ring, err := m.measured(wall, od); err == nil {
		m.Wear = &Wear{New: m.Ring, Local: ring}
		m.Ring = ring
	}
}

// saySurvey says what the survey assumes.
func (r *reader) saySurvey(measured bool) {
	d := r.def
	if measured {
		r.assume("The measured walls are the walls that strength and stiffness count on, at every place of the member; own weight, wind and geometry go by the tube as built.")
		if d.WallBasis == sections.DesignWall {
			r.assume("A measured wall counts whole: the %g of AISC 360 B4.2 stands for what a wall may lack that nobody measured.", sections.DesignShare)
		}
		if d.WallBasis == sections.MinimumWall {
			r.assume("A measured wall counts as it is: the tolerance of wall_basis = \"minimum\" is taken off those that were not measured alone.")
		}
	}
	var outside, inside, wide []string
	note := func(name string, m *Member, wall, od *float64) {
		built := m.BuiltOD()
		switch {
		case wall != nil && od == nil && *wall < m.Nominal:
			outside = append(outside, name)
		case wall == nil && od != nil:
			inside = append(inside, name)
		}
		if od != nil && *od > built+slack {
			wide = append(wide, name)
		}
	}
	for _, p := range d.Survey.Posts {
		note(fmt.Sprintf("post %d", p.Post+1), d.PostMember(p.Post), p.Wall, p.OD)
	}
	for _, rail := range d.Survey.Rails {
		note("rail "+d.Rails[rail.Rail].Name, &d.Rails[rail.Rail].Member, rail.Wall, rail.OD)
	}
	if len(outside) > 0 {
		r.assume("What the wall has lost is taken off the outside, where it costs most: the outside diameter is the nominal one less twice the loss, for none was measured (%s).", someOf(outside))
	}
	if len(inside) > 0 {
		r.assume("What the outside diameter has lost is taken off the wall in use, for no wall was measured (%s).", someOf(inside))
	}
	if len(wide) > 0 {
		r.assume("An outside diameter that was measured above the nominal one counts as the nominal one: zinc may be on it (%s).", someOf(wide))
	}
	if len(d.Survey.Rails) > 0 {
		r.assume("The least reading of a rail counts for the whole of it.")
	}
	r.sayFound()
}

// sayFound says what feet and fittings were found and how they are taken.
func (r *reader) sayFound() {
	d := r.def
	for _, p := range d.Survey.Posts {
		if p.Stiffness != nil {
			r.assume("The foot of post %d was found loose: it has %s in every model, whatever the stiffness of the others.", p.Post+1, quantity.Of(*p.Stiffness, quantity.RotationalStiffness))
			if *p.Stiffness == 0 {
				r.caution("The foot of post %d holds no moment: by itself the post does not stand, so its buckling has no bound, though rails that hold it count in moments and movements.", p.Post+1)
			}
		}
	}
	for _, f := range d.Survey.Fittings {
		name := d.Rails[f.Rail].Name
		if f.State == FittingMissing {
			r.assume("The fitting of rail %s at post %d is missing: nothing joins the two; bays and their limits are still those between posts.", name, f.Post+1)
		} else {
			r.assume("The fitting of rail %s at post %d is cracked: it passes forces and no moment, and no tested value of it holds.", name, f.Post+1)
		}
	}
}

// someOf lists names, the first ones of many.
func someOf(names []string) string {
	const most = 8
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}
