package explore

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// ProofTestOptions say how a site load test is told.
type ProofTestOptions struct {
	Units quantity.System // of the words; numbers are SI in any
}

// ProofTest is a static load test on site: its plan, the movement to expect under it, and what a
// measured movement tells of the feet. It judges nothing: a test of one place is never read as a
// capacity. Movements are across, at the load, elastic, of first order, without permanent load.
type ProofTest struct {
	Schema      int               `json:"schema"`
	Title       string            `json:"title"`
	Basis       string            `json:"basis"`
	Headline    string            `json:"headline"`
	Cautions    []check.Caution   `json:"cautions"`
	Load        ProofTestLoad     `json:"load"`
	Predicted   []ProofPrediction `json:"predicted"`
	UnderLoad   ProofStrength     `json:"under_load"`
	Plan        []ProofStep       `json:"plan"`
	Measured    *ProofMeasured    `json:"measured"` // null where nothing was measured
	Found       []ProofFound      `json:"found"`    // for each frame that stands; none where nothing was measured
	Checks      []ProofTestCheck  `json:"checks"`   // the ordinary check, on the base of the file and on what was found
	Assumptions []string          `json:"assumptions"`
}

// ProofTestLoad is the load and the movement at which to stop.
type ProofTestLoad struct {
	Force     float64  `json:"force_N"`
	Preload   float64  `json:"preload_N"`
	Hold      float64  `json:"hold_s"`
	Direction string   `json:"direction"`
	Place     string   `json:"place"`
	Post      int      `json:"post"` // from 1; 0 for a load at mid-span
	Bay       int      `json:"bay"`  // from 1; 0 for a load at a post
	Rail      string   `json:"rail"`
	X         float64  `json:"x_m"`
	Height    float64  `json:"height_m"` // above the walking surface
	Feet      []int    `json:"feet"`     // posts, from 1, whose feet a measured movement tells of
	Limit     *float64 `json:"limit_mm"` // of the movement across there; null for none
	Stop      *float64 `json:"stop_mm"`  // null where nothing tells how soft the feet may be
}

// ProofPrediction is the movement to expect on one frame.
type ProofPrediction struct {
	Splices  string   `json:"splices"`
	Foot     *float64 `json:"foot_Nm_per_rad"` // of every post but those of a survey; null: rigid
	OfFile   string   `json:"of_file"`         // what the file says of such feet
	Movement float64  `json:"movement_mm"`
}

// ProofStrength is what the test load itself uses of the barrier.
type ProofStrength struct {
	FirstYield check.CheckRef `json:"first_yield"` // under the load as it is
	Status     check.Status   `json:"status"`      // of the check of strength under this load alone, with its factors
	Governing  check.CheckRef `json:"governing"`
	Caution    string         `json:"caution"` // empty where it uses little
}

// ProofStep is one line of the plan of a test.
type ProofStep struct {
	What string `json:"what"`
	Text string `json:"text"`
	By   string `json:"by"` // who says so: a clause with its provenance, the file, common practice without a source, a rule of this program
}

// ProofMeasured is what was measured.
type ProofMeasured struct {
	Movement float64  `json:"movement_mm"`
	Accuracy *float64 `json:"accuracy_mm"` // null where it is not told
	Residual *float64 `json:"residual_mm"`
}

// What a measured movement is to a frame: ProofFound.State.
const (
	Explained  = "explained"   // some stiffness of the feet gives it
	BelowRigid = "below rigid" // even with rigid feet it would be more
	AboveNone  = "above none"  // even with feet of no stiffness it would be less
)

// ProofFound is what the measured movement says of the tested feet on one frame. Stiffnesses are in
// N·m/rad: null where they are rigid, where nothing explains the movement, and the ends of the
// interval also where the accuracy is not known.
type ProofFound struct {
	Splices   string   `json:"splices"`
	OtherFeet *float64 `json:"other_feet_Nm_per_rad"` // null: rigid
	Rigid     float64  `json:"rigid_mm"`              // the movement with the tested feet rigid
	None      *float64 `json:"none_mm"`               // with tested feet of no stiffness; null: a mechanism
	State     string   `json:"state"`
	Stiffness *float64 `json:"stiffness_Nm_per_rad"`
	Softest   *float64 `json:"softest_Nm_per_rad"`
	Stiffest  *float64 `json:"stiffest_Nm_per_rad"`
	Recovered *float64 `json:"recovered_Nm_per_rad"` // by the movement that went back, where some stayed
	Words     string   `json:"words"`
}

// ProofTestCheck is the ordinary check of the whole barrier, with one stiffness of the tested feet.
type ProofTestCheck struct {
	Feet       string         `json:"feet"`                   // in words
	Stiffness  *float64       `json:"tested_foot_Nm_per_rad"` // null: rigid, or that of the file
	Status     check.Status   `json:"status"`                 // NotTrusted where it could not be proved
	Governing  check.CheckRef `json:"governing"`
	Deflection check.CheckRef `json:"deflection"`
	Unchecked  int            `json:"unchecked"`
	Reason     string         `json:"reason,omitempty"`
}

// NoProofTestError says that a definition plans no test.
type NoProofTestError struct{}

func (*NoProofTestError) Error() string {
	return "the file plans no test: add [prooftest] with post = 3 (or bay = 2 for mid-span), or call with --post 3 or --bay 2"
}

// TestOnSite plans the site load test of a definition, predicts the movement under it, and reads
// what was measured.
//
// Errors: *NoProofTestError, those of check.Run, ctx's.
func TestOnSite(ctx context.Context, d *barrier.Definition, o ProofTestOptions) (*ProofTest, error) {
	if d.Proof == nil {
		return nil, &NoProofTestError{}
	}
	t := &proofTest{ctx: ctx, d: d, load: d.Proof, units: o.Units, feet: d.Proof.Feet(&d.Run)}
	whole, err := check.Run(d, check.Options{Units: o.Units})
	if err != nil {
		return nil, err
	}
	t.whole, t.limit = whole, check.LimitUnder(d, d.Proof)
	t.out = &ProofTest{Schema: 1, Title: d.Title, Basis: string(d.Basis)}
	for _, part := range []func() error{t.predict, t.strength, t.invert, t.checkAgain} {
		if err := errors.Join(ctx.Err(), part()); err != nil {
			return nil, err
		}
	}
	t.tell()
	return t.out, nil
}

// proofTest is a test under work.
type proofTest struct {
	ctx   context.Context
	d     *barrier.Definition
	load  *barrier.ProofLoad
	units quantity.System
	feet  []int // that are tested, posts from 0
	whole *check.Result
	limit *check.MovementLimit
	found []foundFeet // one a row of out.Found
	out   *ProofTest
}

// movement returns the movement across at the load, m, of a definition in one layout.
func (t *proofTest) movement(d *barrier.Definition, l barrier.Layout) (float64, error) {
	s, err := analysis.UnderProofLoad(d, l, t.load)
	if err != nil {
		return 0, err
	}
	return s.Movement, check.Trust(s.Stiffness, s.Imbalance)
}

// withFeet returns the definition with feet of some posts at a stiffness, N·m/rad. The definition
// itself stays.
func withFeet(d *barrier.Definition, feet []int, stiffness float64) *barrier.Definition {
	for _, post := range feet {
		d = d.WithFoot(post, stiffness)
	}
	return d
}

// withoutFeet returns the definition with nothing found of any foot. The definition itself stays.
func withoutFeet(d *barrier.Definition) *barrier.Definition {
	if !d.HasOwnFeet() {
		return d
	}
	out, survey := *d, *d.Survey
	survey.Posts = slices.Clone(survey.Posts)
	for i := range survey.Posts {
		survey.Posts[i].Stiffness = nil
	}
	out.Survey = &survey
	return &out
}

// fileFeet returns the stiffnesses of feet that the file gives, N·m/rad, with what it says of each:
// where it gives none rigid ones, and the least that hold the limits where there are any.
func (t *proofTest) fileFeet() (feet []float64, words []string) {
	switch given := t.d.Post.Base.Stiffness; {
	case len(given) == 2:
		return given, []string{"softest of the range", "stiffest of the range"}
	case t.d.Post.Base.FromFixing:
		return given, []string{"of the fixing"}
	case len(given) == 1 && math.IsInf(given[0], 1):
		return given, []string{"rigid, as stated"}
	case len(given) == 1:
		return given, []string{"as given"}
	}
	feet, words = []float64{math.Inf(1)}, []string{"not given: rigid"}
	if least := t.whole.Foot.LeastStiffness; least != nil {
		feet, words = append(feet, *least), append(words, "not given: least that holds the limits")
	}
	return feet, words
}

// predict finds the movement with rigid feet, and with those of the file.
func (t *proofTest) predict() error {
	feet, words := t.fileFeet()
	told := -1 // what is told with rigid feet
	if !t.d.HasOwnFeet() {
		told = slices.IndexFunc(feet, func(k float64) bool { return math.IsInf(k, 1) })
	}
	of := "every foot rigid"
	if told >= 0 {
		of = words[told]
	}
	if err := t.predictOn(withoutFeet(t.d), math.Inf(1), of); err != nil {
		return err
	}
	for i, foot := range feet {
		if i == told {
			continue
		}
		if err := t.predictOn(t.d, foot, words[i]); err != nil {
			return err
		}
	}
	return nil
}

// predictOn finds it on every frame that stands.
func (t *proofTest) predictOn(d *barrier.Definition, foot float64, ofFile string) error {
	for _, l := range check.Standing(d, foot) {
		moved, err := t.movement(d, l)
		if err != nil {
			return err
		}
		t.out.Predicted = append(t.out.Predicted, ProofPrediction{l.Splices, rigidAsNil(foot), ofFile, moved * 1e3})
	}
	return nil
}

// rigidAsNil returns a stiffness as a result has it: nil where it is rigid.
func rigidAsNil(k float64) *float64 {
	if math.IsInf(k, 1) {
		return nil
	}
	return &k
}

// strength checks the barrier under the test load alone, but for its movement.
func (t *proofTest) strength() error {
	d := *t.d
	x := t.load.X(&d.Run)
	d.Loads = []barrier.Load{{
		Name: "test load", Category: loads.Imposed, Fixing: 1,
		Own: &barrier.OwnLoad{Kind: barrier.OwnPoint, Value: t.load.Force, Rail: t.load.Rail, Direction: barrier.Direction{Word: t.load.Direction}, At: &x},
	}}
	d.Combine, d.Limits = barrier.Combining{Rule: d.Combine.Rule}, barrier.Limits{DeflectionNone: true}
	j, err := check.Judge(&d)
	if err != nil {
		return err
	}
	u := &t.out.UnderLoad
	u.FirstYield, u.Status, u.Governing = j.Governing.FirstYield, j.Status, j.Governing.Overall
	return nil
}

// foundFeet is what one frame makes of the movement: stiffnesses in N·m/rad, +Inf rigid, 0 none.
type foundFeet struct {
	explained         bool
	best              float64
	softest, stiffest float64 // best where the accuracy is not known
}

// invert finds, on each frame that stands, the stiffness of the tested feet that explains what was
// measured.
func (t *proofTest) invert() error {
	if t.load.Measured == nil {
		return nil
	}
	t.out.Measured = &ProofMeasured{*t.load.Measured * 1e3, inMillimetres(t.load.Accuracy), inMillimetres(t.load.Residual)}
	feet, _ := t.fileFeet()
	for _, foot := range feet {
		for _, l := range check.Standing(t.d, foot) {
			if err := t.invertOn(l); err != nil {
				return err
			}
		}
	}
	return nil
}

func inMillimetres(v *float64) *float64 {
	if v == nil {
		return nil
	}
	mm := *v * 1e3
	return &mm
}

// invertOn finds it on one frame.
func (t *proofTest) invertOn(l barrier.Layout) error {
	c, err := t.curve(l)
	if err != nil {
		return err
	}
	row := ProofFound{Splices: l.Splices, OtherFeet: rigidAsNil(l.FootStiffness), Rigid: c.rigid * 1e3}
	if !math.IsInf(c.none, 1) {
		none := c.none * 1e3
		row.None = &none
	}
	measured, accuracy := *t.load.Measured, 0.0
	if t.load.Accuracy != nil {
		accuracy = *t.load.Accuracy
	}
	var f foundFeet
	switch {
	case measured+accuracy < c.rigid:
		row.State = BelowRigid
	case measured-accuracy > c.none:
		row.State = AboveNone
	default:
		row.State, f.explained = Explained, true
		for _, of := range []struct {
			movement float64
			to       *float64
		}{{measured, &f.best}, {measured + accuracy, &f.softest}, {measured - accuracy, &f.stiffest}} {
			if *of.to, err = c.stiffness(of.movement); err != nil {
				return err
			}
		}
		row.Stiffness = rigidAsNil(f.best)
		if t.load.Accuracy != nil {
			row.Softest, row.Stiffest = rigidAsNil(f.softest), rigidAsNil(f.stiffest)
		}
		if r := t.load.Residual; r != nil && *r > 0 {
			recovered, err := c.stiffness(measured - *r)
			if err != nil {
				return err
			}
			row.Recovered = rigidAsNil(recovered)
		}
	}
	t.found, t.out.Found = append(t.found, f), append(t.out.Found, row)
	return nil
}

// movementCurve is the movement at the load on one frame by the stiffness of the tested feet. It
// falls as that grows (a displacement at and along a single load falls with the stiffness of any
// part), from none to rigid.
type movementCurve struct {
	of          func(stiffness float64) (float64, error) // N·m/rad to m
	rigid, none float64                                  // m; none is +Inf where the frame would be a mechanism
	scale       float64                                  // a flexibility 1/k, rad/(N·m), of the order of the post's own
}

// curve returns that of a frame, in which the other feet stay as they are.
func (t *proofTest) curve(l barrier.Layout) (c movementCurve, err error) {
	c.scale = t.d.Post.Height / (t.d.Post.Grade.E * t.d.Post.Ring.I)
	c.of = func(stiffness float64) (float64, error) {
		return t.movement(withFeet(t.d, t.feet, stiffness), l)
	}
	if c.rigid, err = c.of(math.Inf(1)); err != nil {
		return c, err
	}
	if c.none, err = c.of(0); isMechanism(err) {
		c.none, err = math.Inf(1), nil
	}
	return c, err
}

// isMechanism reports whether an error says that a frame does not stand by itself, or hardly.
func isMechanism(err error) bool {
	var mechanism *solver.MechanismError
	var soft *solver.IllConditionedError
	var untrusted *check.UntrustedError
	return errors.As(err, &mechanism) || errors.As(err, &soft) || errors.As(err, &untrusted)
}

// stiffness returns the stiffness, N·m/rad, with which the movement is one of m: +Inf where rigid
// feet give as much or more, 0 where feet of none give as much or less. It is bracketed in the
// flexibility 1/k, in which the movement of a lone post is linear, and each try is a solved frame.
func (c *movementCurve) stiffness(movement float64) (float64, error) {
	switch {
	case movement <= c.rigid:
		return math.Inf(1), nil
	case movement >= c.none:
		return 0, nil
	}
	low, high := 0.0, c.scale
	atLow, atHigh := c.rigid-movement, 0.0
	for {
		moved, err := c.of(1 / high)
		if err != nil {
			return 0, err
		}
		if atHigh = moved - movement; atHigh >= 0 {
			break
		}
		if low, atLow, high = high, atHigh, 8*high; high > c.scale*1e9 {
			return 0, nil // as soft as none
		}
	}
	const tries = 200
	stayed := 0 // the end that the last try left: 1 the high one, -1 the low one
	for range tries {
		if high-low <= 1e-13*high {
			break
		}
		x := chord(low, high, atLow, atHigh)
		moved, err := c.of(1 / x)
		if err != nil {
			return 0, err
		}
		switch at := moved - movement; {
		case math.Abs(at) <= 1e-13*movement:
			return 1 / x, nil
		case at < 0:
			if low, atLow = x, at; stayed == 1 {
				atHigh /= 2 // the chord leans to an end that stays
			}
			stayed = 1
		default:
			if high, atHigh = x, at; stayed == -1 {
				atLow /= 2
			}
			stayed = -1
		}
	}
	return 1 / ((low + high) / 2), nil
}

// chord returns where the chord of a bracket is zero, kept inside.
func chord(low, high, atLow, atHigh float64) float64 {
	x := low + (high-low)*atLow/(atLow-atHigh)
	inside := 1e-12 * (high - low)
	return math.Min(math.Max(x, low+inside), high-inside)
}

// checkAgain runs the ordinary check on the base of the file, and on what was found.
func (t *proofTest) checkAgain() error {
	own := ProofTestCheck{
		Feet: "as the file has them", Status: t.whole.Status, Governing: t.whole.Governing.Overall, Deflection: t.whole.Governing.Deflection, Unchecked: len(t.whole.Unchecked),
	}
	t.out.Checks = []ProofTestCheck{own}
	for _, k := range t.toCheck() {
		if err := t.ctx.Err(); err != nil {
			return err
		}
		row := ProofTestCheck{Feet: t.testedWords(k), Stiffness: rigidAsNil(k)}
		switch j, err := check.Judge(withFeet(t.d, t.feet, k)); {
		case isRefusal(err):
			row.Status, row.Reason = Refused, err.Error()
		case err != nil:
			row.Status, row.Reason = NotTrusted, err.Error()
		default:
			row.Status, row.Governing, row.Deflection, row.Unchecked = j.Status, j.Governing.Overall, j.Governing.Deflection, len(j.Unchecked)
		}
		t.out.Checks = append(t.out.Checks, row)
	}
	return nil
}

// toCheck returns the stiffnesses that the barrier is checked again with: the softest, the least and
// the largest of those that the frames find, the stiffest; each once, the softest first.
func (t *proofTest) toCheck() []float64 {
	var ends []float64
	least, largest, softest, stiffest := math.Inf(1), 0.0, math.Inf(1), 0.0
	for _, f := range t.found {
		if f.explained {
			least, largest = math.Min(least, f.best), math.Max(largest, f.best)
			softest, stiffest = math.Min(softest, f.softest), math.Max(stiffest, f.stiffest)
			ends = []float64{softest, least, largest, stiffest}
		}
	}
	return slices.CompactFunc(ends, func(a, b float64) bool { return a == b || !math.IsInf(b, 1) && math.Abs(a-b) <= ties*b })
}

// testedWords says that the tested feet have a stiffness.
func (t *proofTest) testedWords(k float64) string {
	return fmt.Sprintf("%s, %s; the others as the file has them", postWords(t.feet), footWords(k).In(t.units))
}

// footWords tells a stiffness of a foot, N·m/rad.
func footWords(k float64) quantity.Sentence {
	switch {
	case math.IsInf(k, 1):
		return quantity.Say("rigid")
	case k == 0:
		return quantity.Say("no stiffness")
	}
	const told = 4 // figures: more than any gauge is worth
	return quantity.Say("%s", quantity.Of(quantity.Figures(k, told), quantity.RotationalStiffness))
}

// postWords names posts, from 0: "post 3", "posts 3 and 4".
func postWords(posts []int) string {
	words := make([]string, len(posts))
	for i, post := range posts {
		words[i] = fmt.Sprint(post + 1)
	}
	if len(words) == 1 {
		return "post " + words[0]
	}
	return "posts " + list(words)
}
