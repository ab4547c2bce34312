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
	Basis    string // "EN"
	Units    quantity.System
	Run      Run
	Post     Post
	Rails    []Rail // document order, at least one
	Fitting  Fitting
	Loads    []Load // document order, at least one
	Limits   Limits
	LeaveOut LeaveOut

	// Assumptions has one sentence per default that was taken and bears on the
	// result, in document order.
	Assumptions []string
	// Cautions come from the definition alone: a grade or tube that asks for one, a
	// splice in an end bay, the user's own grade.
	Cautions []string
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

// Run is the line of the barrier in plan: posts on the X axis, hazard on +Y.
type Run struct {
	Posts    []float64 // x of every post as given, m, ascending; at least 2; the first is 0 for length with spacing
	Hazard   string    // "left": outward is +Y
	ToePlate ToePlate
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
	Name  string         // as printed: "EN 10255 DN40 medium", "48.3 x 3.2 mm"
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
	Through     bool    // continuous where a piece can be; false: cut at every post
	Stock       float64 // longest piece, m
	SpliceState SpliceState
	Splices     []float64 // x, m, ascending
}

// TestedAs says what the tested values of a fitting are: each must say it.
type TestedAs = string

// What a tested value may be.
const (
	Characteristic TestedAs = "characteristic" // divided by ValuesFactor
	Design         TestedAs = "design"
	Working        TestedAs = "working" // compared with unfactored actions
)

// Fitting holds what is known of the fittings that join rails to posts. A nil value
// was not given.
type Fitting struct {
	Moment           string   // "free": no moment passes
	SlipForce        *float64 // N, along the gripped tube
	SlipMoment       *float64 // N·m, twist about the gripped tube
	MomentResistance *float64 // N·m
	TransverseForce  *float64 // N, across the gripped tube
	Values           TestedAs // empty when nothing was given
	ValuesFactor     float64  // characteristic values are divided by it; 1 for the others
}

// Load is one entry of the load list: a schedule or a load of the user's own.
type Load struct {
	Name     string
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
	Azimuth   float64 // rad from the run's direction +X, anticlockwise from above: a right angle is outward
	Elevation float64 // rad above the horizontal
}

// Limits are the user's own limits of deflection, m. A nil limit was not given.
type Limits struct {
	Deflection *float64 // total across, at any point
	Post       *float64 // across, at any post
	Span       *float64 // a rail across, from the chord of its bay
	Vertical   *float64 // a rail, vertical

	DeflectionNone bool // deflection = "none": no limit is wanted
	Override       bool // a limit looser than the schedule's stands
}

// LeaveOut is what the user has checked elsewhere.
type LeaveOut struct {
	Fitting  bool // fittings and splices
	Base     bool // socket, foot and ground
	Geometry bool // geometry rules
}
