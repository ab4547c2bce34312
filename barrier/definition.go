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
	Annex    string // "UK", the national annex of the Eurocodes; empty for none
	Units    quantity.System
	Run      Run
	Post     Post
	Rails    []Rail // document order, at least one
	Braces   []Brace
	Fitting  Fitting
	Loads    []Load // document order, at least one
	Limits   Limits
	LeaveOut LeaveOut

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
}

// Post is the tube of every upright and how it is held.
type Post struct {
	Member
	Height float64 // m above the walking surface
	Base   Base
}

// Base is how a post is held at its foot.
type Base struct {
	// Stiffness is the rotational stiffness of the foot about both horizontal axes,
	// N·m/rad: empty when left out, +Inf for "rigid", one value, or softest and stiffest.
	Stiffness []float64
	Level     float64 // z at which the post is held, m; negative below the walking surface
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
}

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

// Load is one entry of the load list: a schedule or a load of the user's own.
type Load struct {
	Name     string
	Mixed    bool            // of another family than the basis's, which the user allows
	Schedule *loads.Schedule // nil for an own load
	Own      *OwnLoad        // nil for a schedule
}

// OwnLoadKind is the kind of a load of the user's own.
type OwnLoadKind string

// The kinds of a load of the user's own, each with the unit of OwnLoad.Value.
const (
	OwnLine  OwnLoadKind = "line"  // N/m
	OwnPoint OwnLoadKind = "point" // N
)

// OwnLoad is a characteristic load of the user's own on one rail.
type OwnLoad struct {
	Kind      OwnLoadKind
	Value     float64 // N/m for a line, N for a point; positive
	Rail      int     // index into Definition.Rails; the highest when left out
	Direction Direction
	Height    *float64 // z at which it acts, m; nil: on the rail's axis
}

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

	DeflectionNone bool // deflection = "none": no limit is wanted
	Override       bool // a limit looser than the schedule's stands
}

// Limit is a largest movement: a length, or a rule of the height h of the highest rail
// and the length L of the bay, Length + PerHeight h + PerBay L.
type Limit struct {
	Length    float64 // m
	PerHeight float64
	PerBay    float64
	Rule      string // as written, such as "h/24 + L/96"; empty for a length alone
}

// At returns the limit, m, for a height h (Definition.RuleHeight) and a bay of length bay, m.
func (l *Limit) At(h, bay float64) float64 { return l.Length + l.PerHeight*h + l.PerBay*bay }

// LeaveOut is what the user has checked elsewhere.
type LeaveOut struct {
	Fitting  bool // fittings and splices
	Base     bool // socket, foot and ground
	Geometry bool // geometry rules
}
