package barrier

import (
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// Exposure is what the weather does to the tubes of posts, rails and braces.
type Exposure struct {
	// Outside and Inside are those of the posts. A coating may hang on the wall of its tube: what
	// another member has is told by Definition.Surfaces.
	Outside sections.Surface
	Inside  sections.Surface
	// AtFoot and AtFitting multiply the rates, both of zinc and of steel, of the outside surface where a post
	// leaves what holds it, and where a fitting covers a tube; nil where nothing is told of them, and the place
	// is not covered by the method.
	AtFoot    *float64
	AtFitting *float64
	Inner     InnerSide
	WallBasis sections.WallBasis // the wall that corrosion begins with: NominalWall (the wall in use) or MinimumWall
	// Notes are what was looked up, with its source, and the defaults that were taken: for the
	// assumptions of a report on some year. Cautions are for its cautions.
	Notes    []string
	Cautions []string

	coating [2]coating // of the outside and the inside
}

// InnerSide says how the inside of the tubes is closed to the air.
type InnerSide string

// The states of the inside. Only the first loses nothing.
const (
	SealedInside  InnerSide = "sealed"  // airtight at every end and hole
	DrainedInside InnerSide = "drained" // closed ends, holes that let water out
	OpenInside    InnerSide = "open"    // open ends
	ClosedInside  InnerSide = "closed"  // closed ends, no hole: water stands in it. Also where nothing is told
)

// Spot is where along a member the weather works on its outside.
type Spot int

// The spots, by what multiplies their rates.
const (
	BetweenFittings Spot = iota // 1
	AtFitting                   // Exposure.AtFitting
	AtFoot                      // Exposure.AtFoot
)

// String returns the spot in words.
func (p Spot) String() string {
	return [...]string{"between fittings", "at fittings", "at the foot"}[p]
}

// Times returns what multiplies the rates of the outside at a spot: 1 where nothing is told.
func (e *Exposure) Times(p Spot) float64 {
	switch {
	case p == AtFitting && e.AtFitting != nil:
		return *e.AtFitting
	case p == AtFoot && e.AtFoot != nil:
		return *e.AtFoot
	}
	return 1
}

// The most that is believed of a multiplier and of a paint system (rules of this program).
const (
	mostTimes = 100
	mostPaint = 50 // years; ISO 12944-1 has systems of more than 25
)

// readExposure reads [exposure]; nil where there is none. Braces are read before.
func (t table) readExposure(rails []railDraft, post postDraft) *Exposure {
	given, ok := t.child("exposure", exposureTable)
	if !ok {
		return nil
	}
	before := len(t.problems)
	x := exposureDraft{table: given, tubes: t.weathered(rails, post), Exposure: &Exposure{Inner: ClosedInside, WallBasis: sections.NominalWall}}
	open := x.readAir(air{})
	x.coating[0] = x.readCoating()
	x.needZinc(open, x.coating[0])
	within := x.readInside(open)
	law := x.readLaw(open, within)
	paint := x.readPaint()
	x.readFromWall()
	x.AtFoot, x.AtFitting = x.readTimes("at_foot"), x.readTimes("at_fitting")
	if len(t.problems) > before || !post.ringOK {
		return x.Exposure
	}
	x.Outside = sections.Surface{Exposed: true, Coating: x.coating[0].on(post.Nominal), Zinc: open.zinc.rates, Steel: open.steel.rates, Law: law, Paint: paint}
	x.Inside = sections.Surface{Exposed: x.Inner != SealedInside, Coating: x.coating[1].on(post.Nominal), Zinc: within.zinc.rates, Steel: within.steel.rates, Law: law}
	if !slices.ContainsFunc(x.tubes, weatheredTube.isSteel) {
		x.sayTubes(open)
		return x.Exposure
	}
	x.sayAir(open, within, law)
	surveyed := t.has("survey")
	if !surveyed {
		x.sayCoatings()
	}
	x.sayInside()
	x.sayTubes(open)
	x.saySpots(paint, surveyed)
	return x.Exposure
}

// exposureDraft is an exposure while it is read.
type exposureDraft struct {
	table
	*Exposure
	tubes []weatheredTube
}

// weatheredTube is a tube that the exposure is about.
type weatheredTube struct {
	called string // "the posts", "rail top", "brace 1"
	*Member
	net *Net
}

// weathered returns the tubes that could be read.
func (t table) weathered(rails []railDraft, post postDraft) (tubes []weatheredTube) {
	add := func(called string, m *Member, net *Net) {
		if m.Ring.OD > 0 && m.Grade.Fy > 0 {
			tubes = append(tubes, weatheredTube{called, m, net})
		}
	}
	add("the posts", &post.Member, post.Net)
	for _, rail := range rails {
		add("rail "+quote(rail.Name), &rail.Member, rail.Net)
	}
	for i := range t.def.Braces {
		add(fmt.Sprintf("brace %d", i+1), &t.def.Braces[i].Member, nil)
	}
	return tubes
}

// isSteel says whether the exposure takes of the tube: those of other metals keep their wall.
func (w weatheredTube) isSteel() bool { return w.Grade.Material == sections.Steel }

// note records what was looked up, or a default that was taken.
func (x exposureDraft) note(format string, args ...any) {
	x.Notes = append(x.Notes, quantity.Say(format, args...).In(x.def.Units))
}

// warn records a caution once.
func (x exposureDraft) warn(format string, args ...any) {
	if said := quantity.Say(format, args...).In(x.def.Units); !slices.Contains(x.Cautions, said) {
		x.Cautions = append(x.Cautions, said)
	}
}

// readLaw reads how losses grow. Left out it is cautious: zinc linear, as its life is quoted, and
// steel by the upper exponents; both linear where the exponents do not hold (CX) or where a rate is the
// user's own, which may be a mean of many years.
func (x exposureDraft) readLaw(open, within air) sections.LossLaw {
	words := []string{string(sections.CautiousLaw), string(sections.MeanExponent), string(sections.UpperExponent), string(sections.LinearLaw)}
	if word, ok := x.word("law", words, nil); ok {
		return sections.LossLaw(word)
	}
	if open.isLinear() || within.isLinear() {
		return sections.LinearLaw
	}
	return sections.CautiousLaw
}

// readPaint reads the years for which a paint system keeps everything off.
func (x exposureDraft) readPaint() float64 {
	years, ok := x.positive("paint", quantity.Duration)
	if ok && years > mostPaint {
		x.fault(x.at("paint"), "no paint system is counted on for "+quantity.Format(years, quantity.Duration, x.def.Units),
			fmt.Sprintf("write the years to its first maintenance, at most %d: ISO 12944-1 has systems of more than 25", mostPaint))
	}
	return years
}

// readTimes reads a multiplier of the rates; nil where it is not given.
func (x exposureDraft) readTimes(key string) *float64 {
	times, ok := x.number(key, "3")
	switch {
	case !ok:
		return nil
	case times < 1:
		x.fault(x.at(key), fmt.Sprintf("a multiplier of %g says that less is lost there than on the open tube", times),
			"write a number of 1 or more: wet and covered places lose more")
		return nil
	case times > mostTimes:
		x.fault(x.at(key), fmt.Sprintf("no place loses %g times what the open tube loses", times),
			fmt.Sprintf("write how many times as much is lost there, at most %d, and not a rate", mostTimes))
		return nil
	}
	return &times
}

// readFromWall reads the wall that corrosion begins with.
func (x exposureDraft) readFromWall() {
	word, ok := x.word("from_wall", []string{string(sections.NominalWall), string(sections.MinimumWall)}, nil)
	if !ok || word == string(sections.NominalWall) {
		return
	}
	if x.def.WallBasis == sections.DesignWall {
		x.fault(x.at("from_wall"), "the design wall of AISC 360 stands for the tolerance already, and both are not taken off",
			"leave from_wall out: corrosion begins with the design wall")
		return
	}
	for _, tube := range x.tubes {
		if !tube.isSteel() {
			continue
		}
		if _, err := leastRing(tube.Member); err != nil {
			x.fault(x.at("from_wall"), fmt.Sprintf("no tolerance of the wall is known of %s (%s)", tube.called, tube.NameIn(x.def.Units)),
				`write from_wall = "nominal", with the least wall as that of the tube: { od, wall }`)
			return
		}
	}
	x.WallBasis = sections.MinimumWall
}

// readInside reads [exposure.inside] and returns the air in there: that of the outside where it
// has none of its own.
func (x exposureDraft) readInside(open air) air {
	given, ok := x.child("inside", insideTable)
	if !ok {
		x.coating[1] = x.coating[0].inside()
		return open
	}
	states := []string{string(SealedInside), string(DrainedInside), string(OpenInside), string(ClosedInside)}
	if word, ok := given.word("tube", states, nil); ok {
		x.Inner = InnerSide(word)
	}
	if x.Inner == SealedInside {
		x.judgeSealed(given)
		return open
	}
	inner := exposureDraft{table: given, tubes: x.tubes, Exposure: x.Exposure}
	within := open
	if given.hasAny("category", "zinc_rate", "steel_rate") {
		within = inner.readAir(open)
	}
	x.coating[1] = x.coating[0].inside()
	if given.has("coating") {
		x.coating[1] = inner.readCoating()
		inner.judgeInside()
	}
	if within != open || given.has("coating") {
		inner.needZinc(within, x.coating[1])
	}
	return within
}

// judgeSealed reports what a sealed inside cannot have.
func (x exposureDraft) judgeSealed(inside table) {
	for _, key := range []string{"category", "zinc_rate", "steel_rate", "coating"} {
		if inside.has(key) {
			inside.faultOfKey(inside.at(key), "nothing is lost in a sealed tube", "leave "+key+` out, or write tube = "drained", "open" or "closed"`)
		}
	}
	for _, tube := range x.tubes {
		if tube.net != nil {
			inside.fault(inside.at("tube"), "a net hole is drilled in "+tube.called+", and a tube with a hole is not sealed",
				`write tube = "drained", "open" or "closed"`)
			return
		}
	}
}

// judgeInside reports a coating that the inside of a tube does not get.
func (x exposureDraft) judgeInside() {
	name := x.coating[1].name
	if found, err := sections.FindCoating(name, thinWall); name != "" && err == nil && found.OutsideOnly {
		x.fault(x.at("coating"), found.Name+" is a coating of the outside", `write "none", or what the inside has`)
	}
}

// sayAir notes what the air takes, and cautions of where the formulas do not hold.
func (x exposureDraft) sayAir(open, within air, law sections.LossLaw) {
	x.noteAir("Outside", open)
	if x.Inner != SealedInside && within != open {
		x.noteAir("Inside", within)
	}
	for _, a := range []air{open, within} {
		if a.category == "CX" && law.Exponent(sections.CarbonSteel) < 1 {
			x.warn("The exponents of ISO 9224 are not safe for steel in the salt air of category CX: law = \"linear\" is, with measured rates.")
		}
		if (a.category == "C5" || a.category == "CX") && law.Exponent(sections.Zinc) < 1 {
			x.warn("In air with much salt or sulphur dioxide zinc makes no film that protects it, and its loss is linear: law = \"linear\" is advised in category %s.", a.category)
		}
	}
	x.noteLaw(law)
}

// noteAir notes the rates of one side.
func (x exposureDraft) noteAir(side string, a air) {
	for _, m := range []struct {
		called string
		airMetal
	}{{"zinc", a.zinc}, {"bare steel", a.steel}} {
		switch {
		case !m.known:
		case m.rates[sections.LowRate] == m.rates[sections.HighRate]:
			x.note("%s %s loses %s in its first year: %s.", side, m.called, quantity.Of(m.rates[sections.MiddleRate], quantity.Rate), m.from)
		default:
			x.note("%s %s loses %s to %s in its first year, middle %s: %s.", side, m.called, quantity.Of(m.rates[sections.LowRate], quantity.Rate),
				quantity.Of(m.rates[sections.HighRate], quantity.Rate), quantity.Of(m.rates[sections.MiddleRate], quantity.Rate), m.from)
		}
	}
}

// noteLaw notes how losses grow.
func (x exposureDraft) noteLaw(law sections.LossLaw) {
	why := ""
	if !x.has("law") {
		why = ": exposure.law is not given"
	}
	zinc, steel := law.Exponent(sections.Zinc), law.Exponent(sections.CarbonSteel)
	switch law {
	case sections.LinearLaw:
		x.note("Losses grow by the first year's rate for ever (ISO 14713-1 reckons zinc so, from memory)%s.", why)
	case sections.CautiousLaw:
		x.note("Zinc goes by the first year's rate for ever (ISO 14713-1 reckons it so, from memory), steel by ISO 9224:2012 with the upper exponent, %g, to the 20th year and from then on at the rate reached (exponent from memory)%s.", steel, why)
	default:
		x.note("Losses grow by ISO 9224:2012 with the %s exponents, %g of zinc and %g of steel, to the 20th year and from then on at the rate reached (exponents from memory).", string(law), zinc, steel)
	}
}

// sayInside notes what is taken of the inside, and cautions of it.
func (x exposureDraft) sayInside() {
	inside, _ := x.values["inside"].(map[string]any)
	_, told := inside["tube"]
	switch {
	case !told:
		x.note("The tubes lose inside what the air of the outside takes, or that of exposure.inside where given: whether they are sealed or drained is not given (exposure.inside.tube).")
	case x.Inner == SealedInside:
		x.warn("Tubes lose nothing inside only while every end, hole and weld is airtight; a set screw that pierces the wall opens one.")
		if x.coating[0].isDipped() {
			x.warn("Tubes that are dipped in zinc have holes for it: they are sealed only where these were closed afterwards.")
		}
		return
	}
	if x.Inner == ClosedInside {
		x.warn("Water stands in closed tubes without a hole to drain them, and no category of open air covers it.")
	}
}

// sayTubes notes what is said of tubes that are not of steel.
func (x exposureDraft) sayTubes(open air) {
	for _, tube := range x.tubes {
		switch tube.Grade.Material {
		case sections.Aluminium:
			x.warn("%s %s of aluminium, which the air attacks by pits: the wall is left as it is, and that is unchecked.", upper(tube.called), isOrAre(tube.called))
			if c, ok := sections.FindCorrosivity(open.category); ok {
				x.noteAluminium(c)
			}
		case sections.Stainless:
			x.warn("%s %s of stainless steel, which salt attacks by pits and in crevices: the wall is left as it is, and that is unchecked.", upper(tube.called), isOrAre(tube.called))
		}
	}
}

// noteAluminium notes the loss of mass of aluminium, once.
func (x exposureDraft) noteAluminium(c sections.Corrosivity) {
	said := quantity.Say("Category %s takes up to %g g/m2 of aluminium in the first year, which spread evenly is %s and says nothing of the depth of pits (ISO 9223, %s).",
		c.Category, quantity.Figures(c.Aluminium.High*1e3, 3), quantity.Of(c.Aluminium.High/sections.Aluminium.Density(), quantity.Rate), c.Aluminium.Provenance)
	if c.Category == "CX" {
		said = quantity.Say("Category CX takes more than %g g/m2 of aluminium in the first year, and that says nothing of the depth of pits (ISO 9223, %s).",
			quantity.Figures(c.Aluminium.Low*1e3, 3), c.Aluminium.Provenance)
	}
	if text := said.In(x.def.Units); !slices.Contains(x.Notes, text) {
		x.Notes = append(x.Notes, text)
	}
}

// saySpots notes what is assumed of the start, and cautions of paint.
func (x exposureDraft) saySpots(paint float64, surveyed bool) {
	switch {
	case surveyed:
		x.note("Years count from the survey, those of paint too: walls are those it measured, the coating outside is survey.coating_left, none where that is not given, and there is none inside; exposure.coating is not counted on.")
	case x.WallBasis == sections.MinimumWall:
		x.noteLeastWalls()
	case !x.has("from_wall"):
		x.note("Corrosion begins with the wall in use: exposure.from_wall is not given.")
	}
	if paint > 0 {
		x.warn("Paint is counted on for %s everywhere outside, and it is damaged first at feet and fittings.", quantity.Of(paint, quantity.Duration))
	}
}

// noteLeastWalls notes the walls that corrosion begins with where they are the least.
func (x exposureDraft) noteLeastWalls() {
	var told []string
	for _, tube := range x.tubes {
		if !tube.isSteel() || slices.Contains(told, tube.Name) {
			continue
		}
		told = append(told, tube.Name)
		least, err := leastRing(tube.Member)
		tolerance, known := tube.Tube.WallTolerance()
		if err != nil || known != nil {
			panic("barrier: no least wall of " + tube.Name) // judged when from_wall was read
		}
		x.note("Corrosion of %s begins with the least wall that its standard lets through, %s (%s).", tube.Name, quantity.Size(least.Wall), tolerance.Source)
	}
}

// upper begins a sentence with a name.
func upper(called string) string { return strings.ToUpper(called[:1]) + called[1:] }

// isOrAre is the verb that goes with the name of a tube.
func isOrAre(called string) string {
	if strings.HasSuffix(called, "posts") {
		return "are"
	}
	return "is"
}
