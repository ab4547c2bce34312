package barrier

import (
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// Definition is a validated barrier: every default resolved, every quantity in SI.
// Parse makes it; nothing in this package changes it afterwards.
type Definition struct {
	Title    string // the file's base name without its extension when left out
	File     string // as given to Parse; "standard input" for "-"
	Project  string // as given; may be empty
	Date     string // as given; may be empty
	Basis    loads.Basis
	Annex    string // "UK", "DE" or "AT", the national annex of the Eurocodes; empty for none
	Units    quantity.System
	Run      Run
	Post     Post
	Rails    []Rail // document order, at least one
	Braces   []Brace
	Infill   Infill
	Fitting  Fitting
	Loads    []Load // document order, at least one
	Combine  Combining
	Limits   Limits
	LeaveOut LeaveOut
	Stock    *Stock     // nil where the file lists none; no check asks for it
	Exposure *Exposure  // nil where the file tells of none
	Survey   *Survey    // nil likewise
	Proof    *ProofLoad // nil likewise; no check asks for it
	Age      *Age       // nil for the barrier as built or as surveyed
	// PostMembers are the tubes of the posts where a survey found that they differ, one a post; nil otherwise.
	// PostMember reads them.
	PostMembers []Member

	// Assumptions has one sentence per default that was taken and bears on the
	// result, in document order.
	Assumptions []quantity.Sentence
	// Cautions come from the definition alone: a grade or tube that asks for one, a
	// splice in an end bay, the user's own grade.
	Cautions []quantity.Sentence
	// Inputs are the values as read, in document order.
	Inputs []Input

	WallBasis sections.WallBasis // the wall that strength and stiffness use

	locator *locator // of the source, for problems that are found later
	changes []Change // of its values
}

// Input is one value of the file as it was read.
type Input struct {
	Path string // dotted path, such as "rail[0].height"
	Text string // as written, quotes of a string taken off
	Line int    // 1 for the first line; 0 when the place is not known
}

// Run is the line of the barrier: x runs along it from start to end, measured along the
// rails, through every corner. Each leg has axes of its own: along it in plan, to the left,
// and up; those of the first are X, Y and Z. A bay lies between two supports, each a post or
// a wall.
type Run struct {
	Legs     []Leg      // from start to end; none: one straight level leg
	Gaps     []Gap      // ascending: where the rails stop; a post stands at either side
	Posts    []float64  // x of every post, m, ascending; at least 1, at least 2 without a wall
	Start    End        // how the rails end at the start of the run
	End      End        // and at its end
	Overhang [2]float64 // m, by which rails run past the first and the last post; 0 at a wall
	Hazard   Side       // the side to which outward points
	ToePlate ToePlate
}

// Gap is a bay without rails, between two posts.
type Gap struct {
	From, To float64 // x of the posts at its sides, m
	Gate     bool    // a gate hangs in it
}

// Side is a side of the run, seen walking from start to end.
type Side string

// The sides.
const (
	Left  Side = "left"  // +Y
	Right Side = "right" // -Y
)

// Outward returns the sign of Y that points outward: 1 or -1.
func (s Side) Outward() float64 {
	if s == Right {
		return -1
	}
	return 1
}

// End is how the rails end: free at or past the last post, or in a wall, where no post
// stands.
type End struct {
	Wall      bool
	X         float64 // of the wall's face, m; 0 for a free end
	AlongHeld bool    // the wall holds the rail along the run as well as across and vertically
	// Rotation says which rotations of the rail the wall holds: about the run, about
	// outward, about up.
	Rotation [3]bool
	Fixing   WallFixing
}

// WallFixing is what the fixing of one rail in a wall resists. A nil value was not given.
type WallFixing struct {
	Pull         *float64 // N, along the rail
	Shear        *float64 // N, across it, in any direction
	Moment       *float64 // N·m, about any axis; only where the wall holds a rotation
	Values       TestedAs // empty when nothing was given
	ValuesFactor float64  // characteristic values are divided by it; 1 for the others
}

// ToePlateState says what the file tells of the toe plate.
type ToePlateState string

// The states of the toe plate.
const (
	ToePlateNotMentioned ToePlateState = "not mentioned"
	NoToePlate           ToePlateState = "none"
	ToePlateGiven        ToePlateState = "given" // with height and gap
)

// ToePlate is the toe plate as the file tells of it.
type ToePlate struct {
	State  ToePlateState
	Height float64 // m, of the plate itself; 0 unless given
	Gap    float64 // m, between walking surface and plate; 0 unless given
}

// Member is a tube in use: its size, its properties on the wall in use, its material.
type Member struct {
	Tube  sections.Tube  // the zero Tube for a custom { od, wall }
	Ring  sections.Ring  // on the wall of Definition.WallBasis; SI
	Grade sections.Grade // empty Standard for the user's own { fy, fu }
	Name  string         // "EN 10255 DN40 medium", "48.3 x 3.2 mm"; in other units NameIn
	// Nominal is the wall that the tables list or the file gives, m: the design wall where
	// the file says that it is; Ring has the wall in use.
	Nominal float64
	Wear    *Wear // nil for a tube as new
}

// Post is the tube of the posts and how they are held.
type Post struct {
	Member
	Net    *Net    // what is drilled in it at fittings; nil for nothing
	Height float64 // m above the walking surface
	Base   Base
}

// Base is how a post is held at its foot.
type Base struct {
	// Stiffness is the rotational stiffness of the foot about both horizontal axes,
	// N·m/rad: empty when left out, +Inf for "rigid", one value, or softest and stiffest.
	Stiffness  []float64
	FromFixing bool    // it is that of the fixing
	Level      float64 // z at which the post is held, m; negative below the walking surface
	Loose      bool    // it stands by its weight: base actions are asked at equilibrium too

	Kind          BaseKind // NoBase where the file does not tell
	Socket        SocketTested
	Flange        *Flange        // of a FlangeBase; nil for the others, as the rest
	Concrete      *Concrete      // of a SocketBase
	Earth         *Earth         // of an EarthBase
	Bracket       *Bracket       // of a SideBase
	Counterweight *Counterweight // of a CounterweightBase
}

// BaseKind is how a foot is fixed to what carries it.
type BaseKind string

// The kinds of foot, each with a table of its own.
const (
	NoBase            BaseKind = ""
	FlangeBase        BaseKind = "flange"        // a flange on bolts, on top of a slab
	SocketBase        BaseKind = "socket"        // the post set in concrete
	EarthBase         BaseKind = "earth"         // the post, or its concrete, in the ground
	SideBase          BaseKind = "side"          // a bracket bolted to a face
	CounterweightBase BaseKind = "counterweight" // a weighted foot that stands freely
)

// SocketTested are the tested values of the socket that grips the foot of a post. A nil value
// was not given.
type SocketTested struct {
	Moment       *float64 // N·m, in any direction
	Uplift       *float64 // N
	Twist        *float64 // N·m, about the post
	Values       TestedAs // empty when nothing was given
	ValuesFactor float64  // characteristic values are divided by it; 1 for the others
}

// SpliceState says what the file tells of the splices of a rail.
type SpliceState string

// The states of a rail's splices.
const (
	SplicesGiven     SpliceState = "given"      // positions or "none"
	SplicesUnknown   SpliceState = "unknown"    // through, on a run longer than stock, and nothing said
	SplicesNotNeeded SpliceState = "not needed" // through, on a run no longer than stock
	CutAtPosts       SpliceState = "cut"        // through = false
)

// Rail is one horizontal tube along the whole run.
type Rail struct {
	Member
	Net         *Net // what is drilled in it at fittings; nil for nothing
	Name        string
	Height      float64 // z of the tube's axis, m
	Through     bool    // continuous where a piece can be; false: cut at every post but one at a free end
	Stock       float64 // longest piece, m
	SpliceState SpliceState
	Splices     []float64 // x, m, ascending
	// SpliceMoment is what every splice passes: a rotational stiffness about the two axes
	// square to the rail. It passes no twist.
	SpliceMoment           Joint
	SpliceMomentResistance *float64 // N·m; nil when not given
	SpliceSlip             *float64 // N, along the rail, likewise
	SpliceShear            *float64 // N, across it, likewise
	SpliceCoupler          *Coupler // whose class these are of; nil: a test gave them
	SpliceValues           TestedAs // what that is; empty when it was not given
	SpliceValuesFactor     float64  // it is divided by it where characteristic; 1 otherwise
}

// Brace is a raking tube from a post to the ground, pinned at both ends: its fittings pass
// forces and no moment.
type Brace struct {
	Member
	Post    int     // from 0
	Height  float64 // z of the tube's axis at the post's axis, m
	Outward float64 // m, from the post's axis to the foot: outward positive, in the axes of the leg that ends at the post
	Along   float64 // m, likewise along the run
	Level   float64 // of the foot above the walking surface at the post, m; negative below
	Foot    BraceFoot
}

// BraceFoot are what the foot of a brace resists. A nil value was not given.
type BraceFoot struct {
	Uplift       *float64 // N
	Downward     *float64 // N
	Shear        *float64 // N, in any level direction
	Values       TestedAs // empty when nothing was given
	ValuesFactor float64  // characteristic values are divided by it; 1 for the others
}

// TestedAs says what the tested values of a fitting are: each must say it.
type TestedAs = string

// What a tested value may be.
const (
	Characteristic TestedAs = "characteristic" // divided by ValuesFactor
	Design         TestedAs = "design"
	Working        TestedAs = "working" // compared with unfactored actions
)

// Fitting holds what is known of the fittings that join rails to posts.
type Fitting struct {
	Moment Joint
	Offset float64 // m from the post's axis to the rail's, outward positive
	Mass   float64 // kg, of one fitting
	Tested
	Corner CornerFitting
	Brace  BraceFitting
	Screw  *Screw // nil: not told
}

// BraceFitting holds what is known of the fitting that joins a brace to its post: a slip and a
// transverse force at most.
type BraceFitting struct{ Tested }

// CornerFitting holds what is known of the fitting that joins the ends of the rails of two
// legs to the post at their corner. What is known of other fittings does not hold of it.
type CornerFitting struct {
	Moment Joint   // between the post and the end of each rail
	Mass   float64 // kg, of one fitting
	Tested
}

// Tested are the tested values of a fitting. A nil value was not given.
type Tested struct {
	SlipForce        *float64 // N, along the gripped tube
	SlipMoment       *float64 // N·m, twist about the gripped tube
	MomentResistance *float64 // N·m
	TransverseForce  *float64 // N, across the gripped tube
	Values           TestedAs // empty when nothing was given
	ValuesFactor     float64  // characteristic values are divided by it; 1 for the others
	Coupler          *Coupler // whose class the values are of; nil: a test gave them
}

// JointKind says what moments a fitting passes between rail and post.
type JointKind string

// The kinds of joint.
const (
	FreeJoint      JointKind = "free"      // none: forces in three directions only
	GrippedJoint   JointKind = "gripped"   // the rotation about the rail's axis is shared
	RigidJoint     JointKind = "rigid"     // all three rotations are shared
	StiffnessJoint JointKind = "stiffness" // by rotational stiffnesses
)

// Joint is the rotational stiffness of a fitting between rail and post, N·m/rad: 0 is
// free, +Inf shares the rotation. The zero Joint has no kind and passes no moment.
type Joint struct {
	Kind JointKind
	// Stiffness about the rail's axis, about outward, and about the post's axis.
	Stiffness [3]float64
}

// InfillKind is what closes the openings between the rails.
type InfillKind string

// The kinds of infill.
const (
	NoInfill    InfillKind = "none"
	MeshInfill  InfillKind = "mesh"
	SheetInfill InfillKind = "sheet"
	BarInfill   InfillKind = "vertical bars"
)

// InfillCarrier is what carries the infill.
type InfillCarrier string

// The carriers of an infill.
const (
	CarriedByRails InfillCarrier = "rails"
	CarriedByPosts InfillCarrier = "posts"
)

// Infill is what closes the openings of every bay that is no gap, from one support to the next:
// its weight, its loads and its wind go to what carries it ([InfillWeight] says how its weight
// does). Its panels have no stiffness, and none stands in an overhang.
type Infill struct {
	Kind     InfillKind // NoInfill when left out
	Mass     float64    // kg/m², of the area between Bottom and Top
	Solidity float64    // solid area over gross area seen square on: 1 for a sheet, less for the others
	Bottom   float64    // z, m, plumb above the walking surface as the heights of rails are
	Top      float64    // z, m
	Carrier  InfillCarrier
	Rails    []int    // that carry it, from the lowest up; none when posts do
	Offset   float64  // m, from the axis of what carries it to its middle plane, outward positive
	Opening  *float64 // m, the largest ball that passes it; nil when not given
}

// Combining is how variable actions are combined, beyond what the basis says.
type Combining struct {
	Rule string           // of EN 1990: "6.10" or "6.10a/b"; empty under another basis
	Own  []OwnCombination // the user's own, checked beside those of the basis, or in their place
	Only bool             // in their place, in each situation that one is for: there every load that occurs has a factor in one of them
}

// OwnCombination is a combination of the user's own.
type OwnCombination struct {
	Name      string          // one of its own
	Situation loads.Situation // loads.Strength, loads.Service, ...
	Permanent [2]float64      // factors where they are unfavourable and where they relieve
	Factors   map[int]float64 // on loads, by index into Definition.Loads; more than 0. At most MaxPlaced of them are placed, and none has accidental actions but for loads.Accidental
}

// Load is one entry of the load list: a schedule or a load of the user's own.
type Load struct {
	Name     string          // by which others refer to it; that of its schedule, or "load 2", where none is given
	Mixed    bool            // of another family than the basis's, which the user allows
	Schedule *loads.Schedule // nil for an own load
	Own      *OwnLoad        // nil for a schedule
	With     []int           // indices into Definition.Loads of those that act with it; symmetric, and joined with each other where one list names them
	// Category is that of an own load, loads.Imposed where none is given; of a schedule what
	// the user gives in place of its own, which its actions have then, and empty where none is.
	Category loads.Category
	Fixing   float64 // factor on the actions of fittings and feet: 1, or 1.5 by request under BS 6180
}

// OwnLoadKind is the kind of a load of the user's own.
type OwnLoadKind string

// The kinds of a load of the user's own, each with the unit of OwnLoad.Value.
const (
	OwnLine        OwnLoadKind = "line"        // N/m
	OwnPoint       OwnLoadKind = "point"       // N
	OwnArea        OwnLoadKind = "area"        // N/m² of infill
	OwnWind        OwnLoadKind = "wind"        // by Wind; no value
	OwnIce         OwnLoadKind = "ice"         // by Ice; no value
	OwnTemperature OwnLoadKind = "temperature" // by Temperature; no value
)

// OwnLoad is a characteristic load of the user's own: on one rail, on the infill, or
// everywhere at once.
type OwnLoad struct {
	Kind      OwnLoadKind
	Value     float64   // N/m for a line, N for a point, N/m² for an area; positive. 0 for the others
	Rail      int       // of a line or a point, index into Definition.Rails; the highest when left out
	Direction Direction // of an area outward, inward or across; of a wind also along or horizontal; none of ice and temperature
	Height    *float64  // z at which a line or a point acts, m, at most MostHeight times that of the posts; nil: on the rail's axis
	At        *float64  // x of a point load that stands at one place, m, where there are rails; nil: wherever it is worst

	Wind        *loads.Wind
	Ice         *loads.Ice
	Temperature *Warmth
}

// Warmth is a uniform change of the temperature of every tube from that at which the barrier
// was fixed, K: one way and the other.
type Warmth struct{ Rise, Fall float64 } // both positive or zero

// Direction is where a load points: a word, or azimuth and elevation.
type Direction struct {
	// Word is outward, inward, across, down, up, along, horizontal or any; empty
	// when azimuth and elevation are given.
	Word      string
	Azimuth   float64 // rad from the run's direction +X, anticlockwise from above: a right angle is to the left
	Elevation float64 // rad above the horizontal
}

// Limits are the user's own limits of movement. A nil limit was not given.
type Limits struct {
	Deflection *Limit // total across, at any point: deflection or rule
	Post       *Limit // across, at any post
	Span       *Limit // a rail across, from the chord of its bay
	Vertical   *Limit // a rail, vertical

	// Standard is a set of limits by name, which binds beside those of the schedules: of each
	// movement that has a limit of the user's own here, that one stands in its place. nil when
	// not given.
	Standard *loads.LimitSet

	DeflectionNone bool // deflection = "none": no limit is wanted
	Override       bool // a limit looser than the schedule's stands
}

// Limit is a largest movement: a length, or a rule of the height h of the highest rail
// and the length L of the bay, Length + PerHeight h + PerBay L.
type Limit struct {
	Length    float64 // m
	PerHeight float64 // a plain number: 1/24 of "h/24"
	PerBay    float64 // likewise
	Rule      string  // as written, such as "h/24 + L/96"; empty for a length alone
}

// At returns the limit, m, for a height h (Definition.RuleHeight) and a bay of length bay, m.
func (l *Limit) At(h, bay float64) float64 { return l.Length + l.PerHeight*h + l.PerBay*bay }

// LeaveOut is what the user has checked elsewhere.
type LeaveOut struct {
	Fitting  bool // fittings and splices
	Base     bool // socket, foot and ground
	Geometry bool // geometry rules
}
