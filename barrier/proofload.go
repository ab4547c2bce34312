package barrier

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// ProofLoad is a load that is put on a barrier on site, and what was measured under it. A nil value
// was not given.
type ProofLoad struct {
	Force     float64 // N, unfactored
	Service   float64 // N, the largest service load of the file at that place; 0 where it has none that is a force
	Post      int     // from 0, at the height of Rail; -1 for a load at mid-span
	Bay       int     // from 0, at mid-span of Rail; -1 for a load at a post
	Rail      int     // from 0
	Direction string  // loads.Outward or loads.Inward

	Schedule *loads.Schedule // that gives the force; nil for the user's own
	Action   *loads.Action   // of it; nil likewise

	Preload *float64 // share of the force that is put on first and taken off again
	Hold    *float64 // for how long the force stands before the reading, s

	Measured *float64 // movement across at the load, m
	Accuracy *float64 // of the measured movement, ± m
	Residual *float64 // movement that stays when the load is taken off, m

	Said     []quantity.Sentence // what was taken that the file does not say
	Cautions []quantity.Sentence // what is odd in it
}

// X returns where along the run the load stands, m.
func (p *ProofLoad) X(run *Run) float64 {
	if p.Post >= 0 {
		return run.Posts[p.Post]
	}
	s := run.Supports()
	return (s[p.Bay] + s[p.Bay+1]) / 2
}

// Feet returns the posts, from 0, whose feet a measured movement tells of: that of the loaded post,
// those beside the loaded bay.
func (p *ProofLoad) Feet(run *Run) []int {
	if p.Post >= 0 {
		return []int{p.Post}
	}
	var feet []int
	for post := range run.Posts {
		if at := run.PostSupport(post); at == p.Bay || at == p.Bay+1 {
			feet = append(feet, post)
		}
	}
	return feet
}

// Outward returns the sign of the load towards the hazard: 1, or -1 for an inward one.
func (p *ProofLoad) Outward() float64 {
	if p.Direction == loads.Inward {
		return -1
	}
	return 1
}

// What a test may be (rules of this program): a force beyond mostOverService times the service load,
// or below leastOfService times it, is a slip; so is one outside leastForce to mostForce, N, where
// the file tells of no service load. A movement beyond mostMoved times the height of the rail is
// none of a barrier that stands. Hold is from leastHold to mostHold, s.
const (
	mostOverService = 10
	leastOfService  = 0.02
	leastForce      = 10
	mostForce       = 50e3
	mostMoved       = 1
	leastHold       = 10
	mostHold        = 24 * 3600
)

// readProofLoad reads [prooftest]; nil where there is none. Loads are read before.
func (t table) readProofLoad(run runDraft, rails []railDraft) *ProofLoad {
	given, ok := t.child("prooftest", proofTable)
	if !ok {
		return nil
	}
	p := &proofDraft{table: given, run: run, rails: rails, ProofLoad: ProofLoad{Post: -1, Bay: -1}}
	placed := p.readPlace()
	railOK := p.readRail()
	p.readProofDirection()
	if placed && railOK {
		p.readForce()
	}
	p.readPreload()
	p.readHold()
	p.readMeasured(railOK)
	return &p.ProofLoad
}

// proofDraft is a test load as far as it could be read.
type proofDraft struct {
	table
	ProofLoad
	run   runDraft
	rails []railDraft
}

func (p *proofDraft) say(format string, values ...any) {
	p.Said = append(p.Said, quantity.Say(format, values...))
}

// readPlace reads the post or the bay. ok is false where it is not known.
func (p *proofDraft) readPlace() bool {
	switch {
	case p.has("post") && p.has("bay"):
		p.faultOfKey(p.at("bay"), "post and bay exclude each other: the load is at a post or at mid-span", "keep one of them")
		return false
	case p.has("post"):
		post, ok := p.readPostNumber(p.run)
		if ok {
			p.Post = post
		}
		return ok
	case p.has("bay"):
		return p.readBay()
	case !p.misspelt("post") && !p.misspelt("bay"):
		p.lacks("nothing says where the test load is", "add post = 3 for the third post from the start of the run, or bay = 2 for mid-span of the second bay")
	}
	return false
}

// readBay reads the bay that is loaded at mid-span, from 1 in the file and from 0 here.
func (p *proofDraft) readBay() bool {
	path, value := p.at("bay"), p.values["bay"]
	n, isWhole := value.(int64)
	bays := len(p.run.Supports()) - 1
	switch {
	case !isWhole:
		what := kindOf(value)
		if _, isNumber := value.(float64); isNumber {
			what = "a number with a point"
		}
		p.fault(path, "the number of a bay is wanted, this is "+what, "write bay = 2, without quotes, for the second bay from the start of the run")
		return false
	case n < 1:
		p.fault(path, fmt.Sprintf("there is no bay %d: bays count from 1", n), "write bay = 1 for the first bay from the start of the run")
		return false
	case !p.run.known():
		return false
	case n > int64(bays):
		p.fault(path, fmt.Sprintf("there is no bay %d: the run has %s", n, counted(bays, "bay")), fmt.Sprintf("write a number from 1 to %d", bays))
		return false
	case p.run.IsGap(int(n) - 1):
		p.fault(path, fmt.Sprintf("bay %d is a gap or a gate, where there are no rails", n), "write another bay, or post = ... for a post beside it")
		return false
	}
	p.Bay = int(n) - 1
	return true
}

// readRail reads the rail that is loaded, by default the highest.
func (p *proofDraft) readRail() bool {
	for i := range p.rails {
		if !p.rails[i].heightOK {
			return false
		}
	}
	p.Rail = highest(len(p.rails), func(i int) float64 { return p.rails[i].Height })
	if name, ok := p.text("rail", "top"); ok {
		p.Rail, ok = p.findRail(p.at("rail"), name, p.rails)
		return ok
	}
	if !p.has("rail") && len(p.rails) > 1 {
		p.say("The load is at the height of the highest rail, %s: prooftest.rail is not given.", quote(p.rails[p.Rail].Name))
	}
	return !p.has("rail") && len(p.rails) > 0
}

// readProofDirection reads which way the load pulls, by default outward.
func (p *proofDraft) readProofDirection() {
	p.Direction = loads.Outward
	if word, ok := p.word("direction", []string{loads.Outward, loads.Inward}, nil); ok {
		p.Direction = word
	} else if !p.has("direction") && !p.misspelt("direction") {
		p.say("The load pulls outward: prooftest.direction is not given.")
	}
}

// readForce reads the force, or finds it by the schedule that is named, or by those of the file.
func (p *proofDraft) readForce() {
	bay := p.loadedBay()
	p.Service = p.serviceLoad(bay)
	switch {
	case p.has("force") && p.has("schedule"):
		p.faultOfKey(p.at("schedule"), "force and schedule exclude each other: a schedule says how large its load is", "keep one of them")
	case p.has("force"):
		p.readOwnForce()
	case p.has("schedule"):
		p.readTestSchedule(bay)
	case !p.misspelt("force") && !p.misspelt("schedule"):
		p.forceOfFile(bay)
	}
}

// readOwnForce reads a force of the user's own.
func (p *proofDraft) readOwnForce() {
	force, ok := p.positive("force", quantity.Force)
	if !ok {
		return
	}
	text := func(v float64) string {
		if p.def.Units != quantity.US && v < leastForce {
			return quantity.FormatIn(v, "N", 2)
		}
		return quantity.Format(v, quantity.Force, p.def.Units)
	}
	switch path := p.at("force"); {
	case p.Service > 0 && force > mostOverService*p.Service:
		p.fault(path, fmt.Sprintf("%s is more than %d times the service load there, %s", text(force), mostOverService, text(p.Service)), "write the service load, such as "+strconv.Quote(text(p.Service))+": a test is no proof of strength")
		return
	case p.Service > 0 && force < leastOfService*p.Service, p.Service == 0 && force < leastForce:
		p.fault(path, text(force)+" moves nothing that a gauge reads", p.largerForce(force))
		return
	case p.Service == 0 && force > mostForce:
		p.fault(path, "no barrier is pulled with "+text(force), "write the service load at one place, such as "+p.like(`"0.9 kN"`))
		return
	case p.Service > 0 && force > p.Service*(1+1e-9):
		p.Cautions = append(p.Cautions, quantity.Say("The test load is above the service load of the file at that place, %s, by a factor of %s.", quantity.Of(p.Service, quantity.Force), quantity.Fix(force/p.Service, 2)))
	}
	p.Force = force
	if p.Service == 0 {
		p.say("The force is the user's own, and the file has no service load across that is a force there to hold it against.")
	}
}

// largerForce says what was likely meant by a force that is too small: kilonewtons.
func (p *proofDraft) largerForce(force float64) string {
	if kilo := force * 1000; p.def.Units != quantity.US && kilo >= leastForce && (p.Service == 0 || kilo <= mostOverService*p.Service) {
		return fmt.Sprintf("write %q if that is meant", quantity.Format(kilo, quantity.Force, p.def.Units))
	}
	return "write the service load at one place, such as " + p.like(`"0.9 kN"`)
}

// readTestSchedule finds the force that a schedule puts on at this place.
func (p *proofDraft) readTestSchedule(bay float64) {
	name, ok := p.text("schedule", p.scheduleExample())
	if !ok || p.isTooLong(p.at("schedule"), name) {
		return
	}
	s, err := loads.FindScheduleIn(p.def.Annex, name, "")
	if err != nil {
		p.scheduleFault(name, err)
		return
	}
	if !p.takeAction(&s, bay) {
		p.fault(p.at("schedule"), s.Name+" puts no force across at a point "+p.placeWords()+": neither that of a test nor another", "write force = "+p.like(`"0.9 kN"`)+", the service load at one place")
	}
}

// forceOfFile takes the force of the first schedule of the file that has one at this place.
func (p *proofDraft) forceOfFile(bay float64) {
	for i := range p.def.Loads {
		if s := p.def.Loads[i].Schedule; s != nil && p.takeAction(s, bay) {
			p.say("The force is that of %s, a load of the file: neither prooftest.force nor prooftest.schedule is given.", s.Name)
			return
		}
	}
	p.lacks("nothing says how large the test load is: no schedule of the file puts a force across at a point "+p.placeWords(), "add force = "+p.like(`"0.9 kN"`)+", the service load at one place")
}

// ultimate is the stage of a schedule whose values are factored: none of them is a service load.
const ultimate = "ultimate"

// placeWords says where the load is: "on rail \"top\"".
func (p *proofDraft) placeWords() string { return "on rail " + quote(p.rails[p.Rail].Name) }

// takeAction takes the largest force that a schedule has across at this place; ok is false for none.
func (p *proofDraft) takeAction(s *loads.Schedule, bay float64) bool {
	if s.Stage == ultimate {
		return false
	}
	for i := range s.Actions {
		if force, ok := p.forceOf(&s.Actions[i], bay); ok && force > p.Force {
			p.Force, p.Schedule, p.Action = force, s, &s.Actions[i]
		}
	}
	if p.Action == nil {
		return false
	}
	if p.Action.Direction == loads.Outward && p.Direction == loads.Inward {
		p.Cautions = append(p.Cautions, quantity.Say("%s has its load outward, and this test pulls inward.", s.Name))
	}
	p.Service = math.Max(p.Service, p.Force)
	return true
}

// forceOf returns the force, N, that an action puts on at this place; ok is false for one that is no
// force there, or not across.
func (p *proofDraft) forceOf(a *loads.Action, bay float64) (force float64, ok bool) {
	if a.Accidental || !slices.Contains([]string{loads.Outward, loads.Inward, loads.Across, loads.Horizontal, loads.AnyDirection, loads.OutwardOrDown, loads.OutwardToDown}, a.Direction) {
		return 0, false
	}
	isTop := p.Rail == highest(len(p.rails), func(i int) float64 { return p.rails[i].Height })
	switch a.Target {
	case loads.AnyPart:
	case loads.Top:
		if !isTop {
			return 0, false
		}
	case loads.Intermediate:
		if isTop || p.Post >= 0 {
			return 0, false
		}
	default:
		return 0, false
	}
	switch a.Kind {
	case loads.Point:
		return a.Value, true
	case loads.PointPerSpacing:
		return a.Value * bay, true
	}
	return 0, false
}

// loadedBay returns the length of the loaded bay, m, or of the larger bay with rails at the loaded post.
func (p *proofDraft) loadedBay() float64 {
	supports := p.run.Supports()
	if p.Post < 0 {
		return supports[p.Bay+1] - supports[p.Bay]
	}
	at, longest := p.run.PostSupport(p.Post), 0.0
	for bay := max(at-1, 0); bay <= min(at, len(supports)-2); bay++ {
		if !p.run.IsGap(bay) {
			longest = math.Max(longest, supports[bay+1]-supports[bay])
		}
	}
	return longest
}

// serviceLoad returns the largest load of the file across, N, at this place: a point load, or what a
// line load puts on the bay.
func (p *proofDraft) serviceLoad(bay float64) float64 {
	most := 0.0
	for i := range p.def.Loads {
		l := &p.def.Loads[i]
		switch {
		case l.Own != nil && l.Own.Kind == OwnPoint:
			most = math.Max(most, l.Own.Value)
		case l.Own != nil && l.Own.Kind == OwnLine:
			most = math.Max(most, l.Own.Value*bay)
		case l.Schedule != nil && l.Schedule.Stage != ultimate:
			for k := range l.Schedule.Actions {
				a := &l.Schedule.Actions[k]
				force, _ := p.forceOf(a, bay)
				if a.Kind == loads.Line && !a.Accidental {
					force = a.Value * bay
				}
				most = math.Max(most, force)
			}
		}
	}
	return most
}

// readPreload reads the share of the force that is put on first.
func (p *proofDraft) readPreload() {
	share, ok := p.number("preload", "0.25")
	switch {
	case !ok:
	case share < 0 || share > 1:
		p.fault(p.at("preload"), "the preload is a share of the test load, from 0 for none to 1", "write preload = 0.25 for a quarter of it")
	default:
		p.Preload = &share
	}
}

// readHold reads for how long the force stands, s.
func (p *proofDraft) readHold() {
	text, ok := p.text("hold", "5 min")
	if !ok {
		return
	}
	seconds, ok := secondsOf(text)
	switch {
	case !ok:
		p.unreadable(p.at("hold"), quote(text)+" is no time", `write "5 min"; units of a time: s, min, h`)
	case seconds < leastHold || seconds > mostHold:
		p.fault(p.at("hold"), "no test holds its load for "+text, `write a time from "10 s" to "24 h", such as "5 min"`)
	default:
		p.Hold = &seconds
	}
}

// secondsOf reads a time: "30 s", "5 min", "1 h".
func secondsOf(text string) (seconds float64, ok bool) {
	text = strings.TrimSpace(text)
	for _, u := range []struct {
		unit  string
		scale float64
	}{{"min", 60}, {"s", 1}, {"h", 3600}} {
		if number, is := strings.CutSuffix(text, u.unit); is {
			v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
			return v * u.scale, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
		}
	}
	return 0, false
}

// readMeasured reads what was measured under the load.
func (p *proofDraft) readMeasured(railOK bool) {
	measured, ok := p.positive("measured", quantity.Length)
	if ok && railOK && measured > mostMoved*p.rails[p.Rail].Height {
		p.fault(p.at("measured"), fmt.Sprintf("a movement of %s is more than the height of the rail, %s", p.placeText(measured), p.placeText(p.rails[p.Rail].Height)), p.smallerMovement(measured))
		ok = false
	}
	if ok {
		p.Measured = &measured
	}
	for _, key := range []string{"accuracy", "residual"} {
		if p.has(key) && !p.has("measured") && !p.misspelt("measured") {
			p.faultOfKey(p.at(key), key+" stands without measured", "add measured = "+p.like(`"18 mm"`)+", or leave "+key+" out")
		}
	}
	if accuracy, accuracyOK := p.positive("accuracy", quantity.Length); accuracyOK {
		p.Accuracy = &accuracy
		if ok && accuracy >= measured {
			p.fault(p.at("accuracy"), fmt.Sprintf("the accuracy, %s, is no less than what was measured, %s", p.sizeText(accuracy), p.sizeText(measured)), "write by how much the reading may be off, such as "+p.like(`"0.5 mm"`))
		}
	}
	if residual, residualOK := p.quantity("residual", quantity.Length); residualOK {
		p.readResidual(residual, ok)
	}
}

// readResidual judges the movement that stays.
func (p *proofDraft) readResidual(residual float64, measured bool) {
	switch path := p.at("residual"); {
	case residual < 0:
		p.fault(path, "the movement that stays is negative", p.like(`write "0 mm" where the gauge goes back to zero; less than zero is a gauge that was moved`))
	case measured && residual > *p.Measured:
		p.fault(path, fmt.Sprintf("more stays, %s, than was measured under the load, %s", p.sizeText(residual), p.sizeText(*p.Measured)), "write what the gauge reads when the load is off, from the same zero as measured")
	default:
		p.Residual = &residual
	}
}

// smallerMovement says what was likely meant by a movement that is too large: millimetres.
func (p *proofDraft) smallerMovement(measured float64) string {
	if p.def.Units != quantity.US {
		return fmt.Sprintf("write %q if that is meant", quantity.Format(measured/1000, quantity.Length, p.def.Units))
	}
	return "write the movement that the gauge reads, such as " + p.like(`"18 mm"`)
}
