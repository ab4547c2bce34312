package check

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// Result is what one check of one barrier found: plain data in a fixed order,
// which every renderer prints and none computes. A number's unit stands in its
// JSON name or in the row's own Unit: lengths along and up are metres, movements
// are millimetres, forces newtons, moments newton metres. Utilisations are demand over resistance; a nil
// utilisation is one that has no bound (status fail) or that nothing checked
// (status unchecked).
type Result struct {
	Schema        int              `json:"schema"`
	Title         string           `json:"title"`
	Project       string           `json:"project,omitempty"`
	Date          string           `json:"date,omitempty"`
	Basis         string           `json:"basis"`
	Annex         string           `json:"annex,omitempty"`
	Age           *Age             `json:"age,omitempty"` // nil for the barrier as new
	Status        Status           `json:"status"`
	ScopeComplete bool             `json:"scope_complete"`
	Headline      string           `json:"headline"` // the verdict in one line of words
	Cautions      []Caution        `json:"cautions"`
	Assumptions   []string         `json:"assumptions"`
	Governing     Governing        `json:"governing"`
	LoadPath      []Link           `json:"load_path"`
	Foot          Foot             `json:"foot"`
	Models        []Model          `json:"models"`
	Loads         []LoadRow        `json:"loads"`
	Wind          []StepRow        `json:"wind,omitempty"` // from the site to the tubes
	Ice           []StepRow        `json:"ice,omitempty"`
	Temperature   []StepRow        `json:"temperature,omitempty"`
	Expansion     []ExpansionRow   `json:"expansion,omitempty"` // of the rails, where the temperature changes
	Legs          []LegRow         `json:"legs,omitempty"`      // of a run that turns or climbs
	Gaps          []GapRow         `json:"gaps,omitempty"`
	Posts         []PostRow        `json:"posts"`
	Rails         []RailRow        `json:"rails"`
	Braces        []BraceRow       `json:"braces,omitempty"`
	Checks        []CheckRow       `json:"checks"`
	Fittings      []FittingRow     `json:"fittings"`
	Splices       []FittingRow     `json:"splices"`
	Ends          []EndRow         `json:"ends"`
	BaseActions   []BaseAction     `json:"base_actions"`
	Bolts         []BoltRow        `json:"bolts,omitempty"`
	BraceFeet     []BraceFoot      `json:"brace_feet,omitempty"`
	HandChecks    []HandCheck      `json:"hand_checks"`
	Frequency     *Frequency       `json:"frequency,omitempty"`
	Geometry      []GeometryRow    `json:"geometry"`
	Unchecked     []Item           `json:"unchecked"`
	LeftOut       []Item           `json:"left_out"`
	Proposal      []SpliceProposal `json:"splice_proposals,omitempty"`
	Survey        *SurveyResult    `json:"survey,omitempty"`
	Inputs        Inputs           `json:"inputs"`
	Sources       []string         `json:"sources"`
	Trails        []Trail          `json:"trails"`
	Shape         *Shape           `json:"shape,omitempty"` // with Options.Diagrams
	Diagrams      []Diagram        `json:"diagrams"`
	SelfCheck     SelfCheck        `json:"self_check"`
}

// Status is a verdict: of the whole, of one check, or of one link.
type Status string

// The verdicts. Of a link of the load path only the last three are used.
const (
	Pass       Status = "pass"
	Fail       Status = "fail"
	Incomplete Status = "incomplete"
	Warned     Status = "caution" // a geometry rule that cautions and never fails
	Checked    Status = "checked"
	Unchecked  Status = "unchecked"
	LeftOut    Status = "left out"
)

// Caution is a warning with a stable id (C1 to C11, or "" for one that this
// barrier's own tubes, grades, loads or result bring). Triggered ones, C1 always
// among them, stand on top of every output; the others in full after the inputs.
type Caution struct {
	ID        string `json:"id"`
	Text      string `json:"text"`
	Triggered bool   `json:"triggered"`

	OfResult bool `json:"-"` // what was found brings it, and not the definition or its loads alone
}

// CheckRef names one row of the checks.
type CheckRef struct {
	ID          string   `json:"id"`
	Element     string   `json:"element"`
	Utilisation *float64 `json:"utilisation"`
}

// Names reports whether a row is the one that is named: an element may have several of one id,
// with limits or partial factors of their own.
func (r *CheckRef) Names(row *CheckRow) bool {
	same := r.Utilisation == nil && row.Utilisation == nil || r.Utilisation != nil && row.Utilisation != nil && *r.Utilisation == *row.Utilisation
	return r.ID == row.ID && r.Element == row.Element && same
}

// Governing names the largest utilisation of all, of strength alone and of
// deflection alone; an empty id says that there is none.
type Governing struct {
	Overall    CheckRef `json:"overall"`
	Strength   CheckRef `json:"strength"`
	Deflection CheckRef `json:"deflection"`
	FirstYield CheckRef `json:"first_yield"` // stands beside the code checks, and among them when it fails
	Geometry   string   `json:"geometry"`    // the first geometry rule that fails, empty for none
	// SecondOrder compares, for those of them that second order raises by more than 1.01, the
	// bound that they include with the frame's own run.
	SecondOrder []FrameFactor `json:"second_order,omitempty"`
}

// Names reports whether a row is one of those that are named.
func (g *Governing) Names(row *CheckRow) bool {
	return g.Overall.Names(row) || g.Strength.Names(row) || g.Deflection.Names(row) || g.FirstYield.Names(row)
}

// Link is one step of the way from the rail to the ground.
type Link struct {
	Link        string   `json:"link"`   // rail, fitting, post, brace, brace fitting, brace foot, socket, foot, ground, wall
	Status      Status   `json:"status"` // checked, unchecked, left out
	Utilisation *float64 `json:"utilisation"`
	Note        string   `json:"note,omitempty"`
}

// Foot holds the rotational stiffnesses that were run, N·m/rad (empty when
// the definition gives none; a rigid foot is null), and the least one at which
// every limit of movement across is still met (null when rigid feet do not meet
// it, or no limit binds).
type Foot struct {
	Stiffness      []*float64 `json:"stiffness_Nm_per_rad"`
	LeastStiffness *float64   `json:"least_stiffness_Nm_per_rad"`
	Statement      string     `json:"statement"` // "rigid, as stated", "as given", "a range, both ends run", "found from the fixing, that of its bolts alone", "not given"
	// Loose says in words which feet a survey found loose, and how stiff they are in every model.
	Loose string `json:"found_loose,omitempty"`
	// Holds says in words for which feet the limits of movement are met.
	Holds string `json:"holds"`
}

// Model is one frame that was run.
type Model struct {
	Joint              string   `json:"joint"`
	Splices            string   `json:"splices"`
	FootStiffness      *float64 `json:"foot_Nm_per_rad"` // null: rigid
	LargestUtilisation *float64 `json:"largest_utilisation"`
	Stands             bool     `json:"stands"` // counted in the verdict
}

// PostRow is one post: the largest design base actions of any combination and
// the largest service movements of its top, each at its own load. They are sizes, moment and
// shear resultants, but the axial force is positive in tension and the vertical movement down.
type PostRow struct {
	Post                  int       `json:"post"`           // number of the post, from 1
	X                     float64   `json:"x_m"`            // x along the run
	Leg                   int       `json:"leg,omitempty"`  // in whose axes it is told; 0 on a straight run
	At                    []float64 `json:"at_m,omitempty"` // where it stands, as LegRow counts; none on a straight run
	BaseMoment            float64   `json:"base_moment_Nm"`
	BaseShear             float64   `json:"base_shear_N"`
	BaseAxial             float64   `json:"base_axial_N"`
	TopDeflection         float64   `json:"top_deflection_mm"` // movement across
	AlongDeflection       float64   `json:"along_deflection_mm"`
	VerticalDeflection    float64   `json:"vertical_deflection_mm"` // vertical movement, positive down
	Utilisation           *float64  `json:"utilisation"`            // largest of strength
	DeflectionUtilisation *float64  `json:"deflection_utilisation"`
}

// RailRow is one rail: the largest design forces anywhere along it, the
// largest service movements, each at its own load, and where its largest strength utilisation
// is. Signs are those of PostRow.
type RailRow struct {
	Rail                  string   `json:"rail"`
	Height                float64  `json:"height_m"`  // height of its axis above the walking surface
	Moment                float64  `json:"moment_Nm"` // resultant bending moment
	Shear                 float64  `json:"shear_N"`   // resultant shear
	Torsion               float64  `json:"torsion_Nm"`
	Axial                 float64  `json:"axial_N"`            // axial force, tension positive
	Deflection            float64  `json:"deflection_mm"`      // movement across, in all
	SpanDeflection        float64  `json:"span_deflection_mm"` // movement across, from the chord of its bay
	AlongDeflection       float64  `json:"along_deflection_mm"`
	VerticalDeflection    float64  `json:"vertical_deflection_mm"` // vertical movement, positive down
	Bay                   int      `json:"bay"`                    // where the largest utilisation of strength is, from 1; 0 and one more than the bays for an overhang
	AtX                   float64  `json:"at_x_m"`                 // likewise, x along the run
	Leg                   int      `json:"leg,omitempty"`          // in which that is; 0 on a straight run
	Utilisation           *float64 `json:"utilisation"`            // largest of strength
	DeflectionUtilisation *float64 `json:"deflection_utilisation"`
}

// CheckRow is one check of one element at its governing load and position.
type CheckRow struct {
	ID              string   `json:"id"`
	Element         string   `json:"element"`
	Demand          float64  `json:"demand"`     // what is asked, a size, in Unit
	Resistance      float64  `json:"resistance"` // what resists, in Unit; 0 where nothing does
	Unit            string   `json:"unit"`       // "Nm", "N", "mm", "MPa" or "1" (a sum of ratios)
	Utilisation     *float64 `json:"utilisation"`
	LimitState      string   `json:"limit_state"` // ULS, ASD, SLS, EQU, accidental
	Combination     string   `json:"combination"`
	CombinationName string   `json:"combination_name,omitempty"` // where it is not that of the basis for one variable action
	Load            string   `json:"load"`
	Clause          string   `json:"clause"`
	Provenance      string   `json:"provenance"`             // the weakest of load and resistance: memory, common-practice, derived, public; "the user's"
	Section         string   `json:"section"`                // where along the element: "foot", "below rail top", "z = 0.300 m", "x = 3.750 m"; empty for a joint
	SecondOrder     string   `json:"second_order,omitempty"` // how the frame was run in second order for it; empty where the bound is in it
	Status          Status   `json:"status"`
}

// FittingRow is the force that one fitting (or splice) passes on to one of
// its tubes, at the placement that makes one of the four largest. All are sizes.
type FittingRow struct {
	Fitting         string  `json:"fitting"`
	Tube            string  `json:"tube"`       // rail, post, brace
	ExtremeOf       string  `json:"extreme_of"` // slip, twist, force, moment
	Slip            float64 `json:"slip_N"`     // force along the tube
	Twist           float64 `json:"twist_Nm"`   // twist about the tube
	Force           float64 `json:"force_N"`    // force across the tube
	Moment          float64 `json:"moment_Nm"`  // moment that bends the tube
	Level           string  `json:"level"`      // design
	Combination     string  `json:"combination"`
	CombinationName string  `json:"combination_name,omitempty"`
	Load            string  `json:"load"`
}

// EndRow is what a rail does to the wall in which it ends: six concurrent actions at the
// placement that makes one of them extreme. X runs along its leg, Y to the left, Z up.
type EndRow struct {
	End             string  `json:"end"`           // start, end
	Leg             int     `json:"leg,omitempty"` // in whose axes it is told; 0 on a straight run
	Rail            string  `json:"rail"`
	ExtremeOf       string  `json:"extreme_of"` // Fx Fy Fz F M
	Level           string  `json:"level"`      // design
	Combination     string  `json:"combination"`
	CombinationName string  `json:"combination_name,omitempty"`
	Fx              float64 `json:"Fx_N"`
	Fy              float64 `json:"Fy_N"`
	Fz              float64 `json:"Fz_N"`
	Mx              float64 `json:"Mx_Nm"`
	My              float64 `json:"My_Nm"`
	Mz              float64 `json:"Mz_Nm"`
	Load            string  `json:"load"`
}

// BaseAction is what a post does to its foot: six concurrent actions at the
// placement that makes one of them extreme. X runs along its leg, Y to the left, Z up;
// positive Fz is uplift.
type BaseAction struct {
	Post            int     `json:"post"`
	Leg             int     `json:"leg,omitempty"` // in whose axes it is told; 0 on a straight run
	ExtremeOf       string  `json:"extreme_of"`    // Mx+ Mx- My+ My- M V Fz+ Fz- Mz
	Level           string  `json:"level"`         // design, characteristic; equilibrium of a base that stands by its weight
	Combination     string  `json:"combination"`
	CombinationName string  `json:"combination_name,omitempty"`
	Load            string  `json:"load"`
	Fx              float64 `json:"Fx_N"`
	Fy              float64 `json:"Fy_N"`
	Fz              float64 `json:"Fz_N"`
	Mx              float64 `json:"Mx_Nm"`
	My              float64 `json:"My_Nm"`
	Mz              float64 `json:"Mz_Nm"`
}

// HandCheck sets a hand formula beside the frame's value. It is no bound.
type HandCheck struct {
	What    string  `json:"what"`
	Element string  `json:"element"`
	Formula string  `json:"formula"`
	Hand    float64 `json:"hand"`  // value of the hand formula, in Unit
	Frame   float64 `json:"frame"` // value of the frame, in Unit
	Unit    string  `json:"unit"`  // Nm, mm
	Ratio   float64 `json:"ratio"` // frame / hand
	Why     string  `json:"why"`   // said where the ratio is above 1.00 or below 0.70
}

// GeometryRow is one geometry rule of a named schedule.
type GeometryRow struct {
	Rule       string  `json:"rule"`
	Schedule   string  `json:"schedule"`  // that it comes with
	Occupancy  string  `json:"occupancy"` // the use it is for, in words
	Standard   string  `json:"standard"`
	Required   float64 `json:"required"` // bound, at least or at most as Rule says, in Unit
	Found      float64 `json:"found"`    // what the barrier has, in Unit
	Unit       string  `json:"unit"`     // mm
	Status     Status  `json:"status"`   // pass, fail, caution, unchecked, left out
	Note       string  `json:"note,omitempty"`
	Provenance string  `json:"provenance"`
}

// Item is something unchecked or left out, with the demand it must carry.
type Item struct {
	Kind    ItemKind `json:"-"`
	What    string   `json:"-"` // of a demand: what is asked, and of which element; empty for others
	Element string   `json:"-"`
	Item    string   `json:"item"`
	Reason  string   `json:"reason"`
	Demand  float64  `json:"demand"` // what it must carry, in Unit; 0 where nothing is asked
	Unit    string   `json:"unit"`   // N, Nm, mm, "1" for a plain number; empty for none
	Load    string   `json:"load,omitempty"`
}

// same reports whether two items ask the same of whatever element.
func (it *Item) same(other *Item) bool {
	return it.Kind == other.Kind && it.What == other.What && (it.What != "" || it.Item == other.Item)
}

// ItemKind is what an item is about. Status rests on it and never on an item's
// words.
type ItemKind int

// The kinds of items.
const (
	OpenFitting       ItemKind = iota + 1 // a demand on a fitting
	OpenSplice                            // a demand on a splice
	OpenBase                              // a demand on socket, foot and ground
	OpenDeflection                        // movement across, or every movement on feet of unknown stiffness
	OpenTotalMovement                     // total movement across where posts or spans alone have a limit
	OpenFoot                              // strength on softer feet
	OpenSplicePlaces                      // where the rails are spliced
	OpenSecondOrder                       // second-order analysis
	OpenGeometry                          // a geometry rule
	OpenWall                              // a demand on a wall in which rails end
	OpenToePlate                          // the force on a toe plate
	OpenBraceFitting                      // a demand on the fitting of a brace
	OpenBraceFoot                         // a demand on the foot of a brace and the ground
	OpenGate                              // a gate, and what it puts on its posts
	OpenLoad                              // a load that was not placed
	OpenCorrosion                         // what years of weather do beside the even loss of a wall
	OpenWalls                             // walls that a survey did not measure
)

// String returns the kind in the words of a headline.
func (k ItemKind) String() string {
	switch k {
	case OpenFitting:
		return "fittings"
	case OpenSplice:
		return "splices"
	case OpenBase:
		return "socket, foot and ground"
	case OpenDeflection, OpenTotalMovement:
		return "deflection"
	case OpenFoot:
		return "foot stiffness"
	case OpenSplicePlaces:
		return "splice positions"
	case OpenSecondOrder:
		return "second order"
	case OpenGeometry:
		return "geometry in part"
	case OpenWall:
		return "wall ends"
	case OpenToePlate:
		return "toe plate"
	case OpenBraceFitting:
		return "brace fittings"
	case OpenBraceFoot:
		return "brace feet"
	case OpenGate:
		return "gates"
	case OpenLoad:
		return "loads"
	case OpenCorrosion:
		return "corrosion in part"
	case OpenWalls:
		return "walls that were not measured"
	}
	return fmt.Sprintf("ItemKind(%d)", int(k))
}

// SpliceProposal gives splice positions for one rail, ready for the file, and
// the largest utilisation of the barrier with them.
type SpliceProposal struct {
	Rail               string    `json:"rail"`
	Splices            []float64 `json:"splices_m"`
	TOML               string    `json:"toml"` // splices = ["5.8 m", ...]
	LargestUtilisation *float64  `json:"largest_utilisation"`
}

// Input is one key of the definition as it was read.
type Input struct {
	Key  string
	Text string
	Line int // of the file, 1 for the first; 0 where the place is not known; not in JSON
}

// Inputs are the definition's keys in file order. In JSON they are one object
// whose keys keep that order.
type Inputs []Input

// MarshalJSON writes the inputs as one object in file order; < and & stay
// readable.
func (in Inputs) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	quoted := json.NewEncoder(&b)
	quoted.SetEscapeHTML(false)
	b.WriteByte('{')
	for i, e := range in {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := quoted.Encode(e.Key); err != nil {
			return nil, err
		}
		b.WriteByte(':')
		if err := quoted.Encode(e.Text); err != nil {
			return nil, err
		}
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// Trail is the working of one check, written by the code that decided, under the load that
// governs it.
type Trail struct {
	ID          string `json:"id"`
	Element     string `json:"element"`
	LimitState  string `json:"limit_state"`
	Combination string `json:"combination"`
	Load        string `json:"load"`
	Section     string `json:"section,omitempty"` // where along its element
	Steps       []Step `json:"steps"`
}

// Step is one line of a trail: what is sought, the formula as its source prints it, the
// values put in, and the result, Value in Unit.
type Step struct {
	What       string      `json:"what"`
	Symbol     string      `json:"symbol"`
	Formula    string      `json:"formula,omitempty"` // empty for a value that is given
	Values     []StepValue `json:"values,omitempty"`  // of the symbols in Formula
	Value      float64     `json:"value"`
	Unit       string      `json:"unit"` // N, Nm, mm, MPa and their like; "1" for a plain number
	Clause     string      `json:"clause,omitempty"`
	Provenance string      `json:"provenance"` // of the formula, or of a value that is given
}

// Diagram is one quantity along one element under one load: x along a rail, z up a post, m. The
// quantities, with their signs, are MomentResultant to InfluenceOn. Values are of first order.
type Diagram struct {
	Element     string    `json:"element"`
	Quantity    string    `json:"quantity"`
	Unit        string    `json:"unit"`  // Nm, mm; of an influence line for each N of the load
	Under       string    `json:"under"` // the load of the check that governs: overall, strength, deflection
	Check       CheckRef  `json:"check"` // that check
	Combination string    `json:"combination,omitempty"`
	Load        string    `json:"load"`
	Response    string    `json:"response,omitempty"` // of an influence line: what is told, in words
	Note        string    `json:"note,omitempty"`
	Stations    []float64 `json:"stations_m"`
	Values      []float64 `json:"values"` // of the quantity, one a station, in Unit
}

// SelfCheck holds the residuals as power-of-ten bounds ("1e-12").
type SelfCheck struct {
	StiffnessResidual   string `json:"stiffness_residual"`
	EquilibriumResidual string `json:"equilibrium_residual"`
	PlacementResidual   string `json:"placement_residual"`
}
