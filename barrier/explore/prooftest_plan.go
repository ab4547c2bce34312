package explore

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// NoCapacity is said of every site load test.
const NoCapacity = "A test is never read as a capacity: it tells how stiff the barrier was at one place on one day under a service load, and nothing of what it would hold beyond."

// What a plan takes where neither the file nor a schedule says it.
const (
	usualPreload = 0.25 // of the load (common practice, no source)
	usualHold    = 300  // s (common practice, no source)
	stopMargin   = 1.25 // on the movement that is expected with the softest feet (rule of this program)
	cautionFrom  = 0.8  // of first yield under the test load (rule of this program)
)

// Who says a step of the plan.
const (
	byPractice = "common practice, no source"
	byFile     = "as asked for"
	byDefault  = "as asked for; what was taken is told below"
	byProgram  = "rule of this program"
)

// say tells a sentence in the units of the reader.
func (t *proofTest) say(format string, values ...any) string {
	return quantity.Say(format, values...).In(t.units)
}

// tell fills the plan and the words.
func (t *proofTest) tell() {
	t.describe()
	t.plan()
	t.cautionOfStrength()
	t.foundWords()
	t.cautions()
	t.assume()
	t.headline()
}

// describe fills what the load is.
func (t *proofTest) describe() {
	p, run := t.load, &t.d.Run
	rail := &t.d.Rails[p.Rail]
	l := &t.out.Load
	*l = ProofTestLoad{Force: p.Force, Direction: p.Direction, Rail: rail.Name, X: p.X(run), Height: rail.Height, Hold: usualHold}
	if p.Post >= 0 {
		l.Post, l.Place = p.Post+1, t.say("post %d, at the axis of rail %s", p.Post+1, rail.Name)
	} else {
		l.Bay, l.Place = p.Bay+1, t.say("rail %s, at mid-span of bay %d", rail.Name, p.Bay+1)
	}
	for _, post := range t.feet {
		l.Feet = append(l.Feet, post+1)
	}
	share, _ := t.preload()
	l.Preload = share * p.Force
	if p.Hold != nil {
		l.Hold = *p.Hold
	}
	if stop := stopMargin * t.most(); len(t.d.Post.Base.Stiffness) > 0 || t.whole.Foot.LeastStiffness != nil {
		l.Stop = &stop
	}
	if t.limit != nil {
		limit := t.limit.Value * 1e3
		if l.Limit = &limit; l.Stop == nil || limit < *l.Stop {
			l.Stop = &limit
		}
	}
}

// most returns the largest movement that is expected, mm; least the smallest.
func (t *proofTest) most() float64 {
	return slices.MaxFunc(t.out.Predicted, byMovement).Movement
}

func (t *proofTest) least() float64 {
	return slices.MinFunc(t.out.Predicted, byMovement).Movement
}

func byMovement(a, b ProofPrediction) int {
	switch {
	case a.Movement < b.Movement:
		return -1
	case a.Movement > b.Movement:
		return 1
	}
	return 0
}

// preload returns the share of the load that is put on first, and who says so.
func (t *proofTest) preload() (share float64, by string) {
	if t.load.Preload != nil {
		return *t.load.Preload, byFile
	}
	if s := t.load.Schedule; s != nil && s.Test != nil && s.Test.Preload != nil {
		p := s.Test.Preload
		return p.Value, cited(p.Citation)
	}
	return usualPreload, byPractice
}

// cited tells where a value comes from.
func cited(c loads.Citation) string {
	return fmt.Sprintf("%s %s (%s)", c.Standard, c.Clause, c.Provenance)
}

// plan fills the steps of the test, in the order of the work.
func (t *proofTest) plan() {
	add := func(what, by, text string) { t.out.Plan = append(t.out.Plan, ProofStep{what, text, by}) }
	l := &t.out.Load
	force := quantity.Of(l.Force, quantity.Force)
	text, by := t.loadStep()
	add("load", by, text)
	add("where", byDefault, t.say("%s, %s above the walking surface, x = %s", l.Place, quantity.Size(l.Height), quantity.Place(l.X)))
	add("direction", byDefault, t.say("%s, level and square to the run", l.Direction))
	add("people", byPractice, "Keep the area clear: no one on the line of the load, behind what pulls, or below. The crew stands behind edge protection of its own, never tied to the barrier under test.")
	add("gauge", byPractice, "A dial gauge on a datum that stands by itself, on neither the barrier nor what carries it. Read at the load, along it; beside it at the foot, for slide and uplift.")
	share, by := t.preload()
	if share == 0 {
		add("preload", by, "none; set the gauge to zero")
	} else {
		preload := t.say("%s, %s of the load, and off again; then set the gauge to zero", quantity.Of(l.Preload, quantity.Force), quantity.Fix(share, 2))
		if s := t.load.Schedule; t.load.Preload == nil && s != nil && s.Test != nil && s.Test.Preload != nil && s.Test.Preload.Note != "" {
			preload += ". The standard: " + s.Test.Preload.Note
		}
		add("preload", by, preload)
	}
	add("loading", byPractice, t.say("by hand or jack, slowly, in four equal steps to %s, read at each", force))
	by = byPractice
	if t.load.Hold != nil {
		by = byFile
	}
	add("hold", by, timeWords(l.Hold)+"; read at its end. A movement that goes on is told and not waited out")
	text, by = t.stopStep()
	add("stop", by, text)
	text, by = t.setStep()
	add("set", by, text)
}

// loadStep tells how large the load is and who says so.
func (t *proofTest) loadStep() (text, by string) {
	p := t.load
	text = t.say("%s, static, the service (characteristic) load, unfactored", quantity.Of(p.Force, quantity.Force))
	if p.Action == nil {
		return t.say("%s, static, unfactored, as the user gives it", quantity.Of(p.Force, quantity.Force)), byFile
	}
	if p.Action.Kind == loads.PointPerSpacing {
		text += t.say(": %s times a bay of %s", quantity.Of(p.Action.Value, quantity.LineLoad), quantity.Place(p.Force/p.Action.Value))
	}
	by = cited(p.Action.Citation)
	if !strings.HasPrefix(by, p.Schedule.Name) {
		by = p.Schedule.Name + ": " + by
	}
	return text, by
}

// stopStep tells when the test ends early.
func (t *proofTest) stopStep() (text, by string) {
	l := &t.out.Load
	if l.Stop == nil {
		return "How soft the feet may be is not known, and nothing limits the movement: an engineer names the movement at which to stop before the test. Stop at any crack, slip of a fitting, noise, or movement of what carries the feet.", "no source; the rest " + byPractice
	}
	text = t.say("Take the load off at %s", quantity.Size(*l.Stop/1e3))
	if l.Limit != nil && *l.Stop == *l.Limit {
		text += ", the limit of movement"
		by = t.limit.Clause
		if !strings.HasPrefix(by, t.limit.Provenance) {
			by += " (" + t.limit.Provenance + ")"
		}
		by += "; the rest " + byPractice
	} else {
		text += t.say(", %s times what is expected with the softest feet", quantity.Fix(stopMargin, 2))
		by = byProgram + "; the rest " + byPractice
	}
	return text + "; and at any crack, slip of a fitting, noise, or movement of what carries the feet.", by
}

// setStep tells what may stay when the load is off.
func (t *proofTest) setStep() (text, by string) {
	text = "Read when the load is off, from the same zero. "
	if s := t.load.Schedule; s != nil && s.Test != nil && s.Test.Set != nil {
		set := s.Test.Set
		return text + "Allowed: " + set.Text + labelledNote(set.Note) + ".", cited(set.Citation)
	}
	return text + "No allowed set is known for this load: an engineer judges what stays.", "no source"
}

func labelledNote(note string) string {
	if note == "" {
		return ""
	}
	return " (" + note + ")"
}

// timeWords tells a time in s: "5 min", "90 s".
func timeWords(seconds float64) string {
	if minutes := seconds / 60; minutes >= 1 && minutes == math.Trunc(minutes) {
		return quantity.Fix(minutes, 0) + " min"
	}
	return strings.TrimSuffix(quantity.Fix(seconds, 1), ".0") + " s"
}

// cautionOfStrength says where the test load itself uses much of the barrier.
func (t *proofTest) cautionOfStrength() {
	u := &t.out.UnderLoad
	yields := u.FirstYield.ID != "" && (u.FirstYield.Utilisation == nil || *u.FirstYield.Utilisation > cautionFrom)
	switch {
	case yields:
		u.Caution = fmt.Sprintf("The test load alone uses more than %s of first yield (%s, %s): do not put it on unless an engineer has judged this test.", quantity.Fix(cautionFrom, 1), u.FirstYield.ID, u.FirstYield.Element)
	case u.Status == check.Fail:
		u.Caution = fmt.Sprintf("The check of strength under the test load alone fails (%s, %s): do not put it on unless an engineer has judged this test.", u.Governing.ID, u.Governing.Element)
	}
}

// foundWords tells what each frame makes of the movement.
func (t *proofTest) foundWords() {
	feet := "the foot of " + postWords(t.feet)
	if len(t.feet) > 1 {
		feet = "feet of " + postWords(t.feet) + ", taken alike,"
	}
	for i := range t.out.Found {
		row, f := &t.out.Found[i], &t.found[i]
		measured := quantity.Size(*t.load.Measured)
		switch row.State {
		case BelowRigid:
			row.Words = t.say("No stiffness of %s explains it: %s is less than the %s with rigid feet. More shares the load than the frame counts (joints that grip, infill, what leans on the barrier), or movement or force were mismeasured.",
				feet, measured, quantity.Size(row.Rigid/1e3))
		case AboveNone:
			row.Words = t.say("No stiffness of %s explains it: %s is more than the %s with no stiffness there at all. Something else gives (a joint, a splice, a crack, a tube thinner than listed, what carries the feet), or movement or force were mismeasured.",
				feet, measured, quantity.Size(*row.None/1e3))
		default:
			row.Words = t.explainedWords(feet, f)
			if row.None == nil && f.softest == 0 {
				row.Words += " Without it the frame would be a mechanism."
			}
			if r := t.load.Residual; r != nil && *r > 0 {
				recovered := math.Inf(1)
				if row.Recovered != nil {
					recovered = *row.Recovered
				}
				row.Words += t.say(" Of the movement %s stays; what went back alone would be %s.", quantity.Size(*r), footWords(recovered).In(t.units))
			}
		}
	}
}

// explainedWords tells a stiffness that explains the movement, with its interval.
func (t *proofTest) explainedWords(feet string, f *foundFeet) string {
	if math.IsInf(f.best, 1) && t.load.Accuracy != nil {
		return t.say("It is explained by rigid feet within ± %s: %s can be no softer than %s.", quantity.Size(*t.load.Accuracy), feet, footWords(f.softest).In(t.units))
	}
	words := t.say("It is explained by %s at %s", feet, footWords(f.best).In(t.units))
	if t.load.Accuracy == nil {
		return words + "; how sure that is is not known, for the accuracy is not given."
	}
	return words + t.say(", between %s and %s by ± %s.", footWords(f.softest).In(t.units), footWords(f.stiffest).In(t.units), quantity.Size(*t.load.Accuracy))
}

// cautions takes those of the barrier, with those of the test behind C1.
func (t *proofTest) cautions() {
	own := []check.Caution{{Text: NoCapacity, Triggered: true}}
	for _, c := range t.load.Cautions {
		own = append(own, check.Caution{Text: c.In(t.units), Triggered: true})
	}
	if text := t.out.UnderLoad.Caution; text != "" {
		own = append(own, check.Caution{Text: text, Triggered: true})
	}
	if l := &t.out.Load; l.Limit != nil && *l.Limit < t.least() {
		own = append(own, check.Caution{Text: "The limit of movement is met before the whole load is on, whatever the feet: the test ends there.", Triggered: true})
	}
	if m := t.out.Measured; m != nil && t.out.Load.Stop != nil && m.Movement > *t.out.Load.Stop {
		own = append(own, check.Caution{Text: t.say("What was measured, %s, is beyond the %s at which this plan takes the load off.", quantity.Size(m.Movement/1e3), quantity.Size(*t.out.Load.Stop/1e3)), Triggered: true})
	}
	if len(t.found) > 0 && !slices.ContainsFunc(t.found, func(f foundFeet) bool { return f.explained }) {
		own = append(own, check.Caution{Text: "No stiffness of the base explains what was measured: the barrier on site is not that of the file, of which alone the ordinary check here tells.", Triggered: true})
	}
	all := slices.DeleteFunc(slices.Clone(t.whole.Cautions), func(c check.Caution) bool { return c.OfResult })
	at := 1 + slices.IndexFunc(all, func(c check.Caution) bool { return c.ID == "C1" })
	t.out.Cautions = slices.Insert(all, at, own...)
}

// assume lists what was taken.
func (t *proofTest) assume() {
	add := func(text string) { t.out.Assumptions = append(t.out.Assumptions, text) }
	for _, said := range t.load.Said {
		add(said.In(t.units))
	}
	switch s := t.load.Schedule; {
	case s == nil:
	case s.TestPosts > 0:
		add(fmt.Sprintf("%s tests a piece of %d posts; here its service load is put on the run as it stands.", s.Name, s.TestPosts))
	default:
		add(s.Name + " has a load and no test of its own: the load is taken as the service load of the test.")
	}
	add("Movements are across, at the axis of the tube and along the load, elastic and of first order, from the unloaded position, without permanent load. Slip and settlement of joints are not in them.")
	if t.load.Post >= 0 && t.d.Run.IsCorner(t.load.Post) {
		add("At the corner the load is square to the leg that ends there.")
	}
	if len(check.Standing(t.d, math.Inf(1))) > 1 {
		add("Where the rails are spliced is not known: continuous rails and rails cut at every post are both told.")
	}
	if t.load.Measured == nil {
		return
	}
	if len(t.feet) > 1 {
		add(fmt.Sprintf("At mid-span the movement tells of both feet beside the bay: %s are taken alike, and the other feet keep what the file gives. A stiffness found here is not applied to them.", postWords(t.feet)))
	} else {
		add(fmt.Sprintf("The movement tells of the foot of %s alone; the other feet keep what the file gives. A stiffness found at one post is not applied to the others.", postWords(t.feet)))
	}
	add("All that was measured beyond the frame is put down to the foot: slip of joints and what carries the foot are in the stiffness that is found. The whole movement counts, with what stays.")
	add("An error of the force counts as one of the movement in the same proportion, and is not in the accuracy.")
}

// headline tells the test in one line.
func (t *proofTest) headline() {
	l := &t.out.Load
	force, least, most := quantity.Of(l.Force, quantity.Force), quantity.Size(t.least()/1e3), quantity.Size(t.most()/1e3)
	if t.out.Measured == nil {
		expected := t.say("%s to %s", least, most)
		if t.least() == t.most() {
			expected = t.say("%s", most)
		}
		t.out.Headline = t.say("expect %s under %s at %s; ", expected, force, l.Place) + t.stopWords()
		return
	}
	explained := slices.DeleteFunc(slices.Clone(t.found), func(f foundFeet) bool { return !f.explained })
	measured := t.say("%s measured under %s at %s: ", quantity.Size(*t.load.Measured), force, l.Place)
	if len(explained) == 0 {
		t.out.Headline = measured + "no stiffness of the base explains it"
		return
	}
	again := t.out.Checks[1:]
	worst := slices.MaxFunc(again, func(a, b ProofTestCheck) int { return gravity(a.Status) - gravity(b.Status) }).Status
	few := ""
	if len(explained) < len(t.found) {
		few = fmt.Sprintf(" on %d of %d frames", len(explained), len(t.found))
	}
	t.out.Headline = measured + fmt.Sprintf("explained by %s%s; with it the check says %s, with the base of the file %s", t.intervalWords(explained), few, worst, t.out.Checks[0].Status)
}

// stopWords tells at which movement to stop.
func (t *proofTest) stopWords() string {
	if stop := t.out.Load.Stop; stop != nil {
		return t.say("stop at %s", quantity.Size(*stop/1e3))
	}
	return "at which movement to stop an engineer says"
}

// gravity orders what becomes of a check, the lightest first.
func gravity(s check.Status) int {
	return slices.Index([]check.Status{check.Pass, check.Incomplete, check.Fail, Refused, NotTrusted}, s)
}

// intervalWords tells the stiffnesses of all frames that explain the movement.
func (t *proofTest) intervalWords(found []foundFeet) string {
	softest, stiffest := math.Inf(1), 0.0
	for _, f := range found {
		softest, stiffest = math.Min(softest, f.softest), math.Max(stiffest, f.stiffest)
	}
	of := "a foot of "
	if len(t.feet) > 1 {
		of = "feet of "
	}
	if softest == stiffest {
		return of + footWords(softest).In(t.units)
	}
	return of + footWords(softest).In(t.units) + " to " + footWords(stiffest).In(t.units)
}
