// Package analysis turns the loads of a barrier into actions, places them where
// they are worst, alone and together, and yields concurrent states: all section
// forces and movements at one section, from one load at one position in one
// combination, with what acts beside it.
//
// A point load is sought at every position along its rail, a line load over the
// whole run and over the lengths that are adverse, a load without a fixed
// direction in every direction it may take. What is maximised is a Measure: any
// function of a State, such as a utilisation. Influence lines give the start,
// the function itself decides, and a bracketed refinement brings the position
// to the optimum.
//
// # Method
//
// For each member the influence lines of the six section forces and six
// movements at its start are worked out once per load. Any other section of the
// member follows from these by statics and by integrating the curvature, so a
// state at any section, for a load at any position, costs some tens of
// operations. Pieces of the run whose bound lies below the best found are
// skipped: the bound is the measure at the largest magnitude of every
// component, so a measure must not fall when a component grows in magnitude
// (Measure.Bound serves those that do). On a piece a point load is tried where a component is
// stationary; between two such places every component is monotone, so that the same bound tells
// whether a peak between them can matter, and only there is it refined. What a unit load does at
// those places, and the integrals over whole pieces of which line loads are added up, are worked
// out once a section, for all measures and combinations. The room of a search is kept for the next.
//
// Before any section of a member is made, the least and the largest value of each component anywhere on
// it are bounded from its two ends, for every load: between them forces are constant and moments linear
// but under a load on the member itself, and a movement leaves its chord by what the end moments and that
// load curve it. A member, or a joint, whose bound does not beat what is known is passed over.
//
// Axes are those of a leg of the run: X along it in plan, Y to the left walking from start
// to end, Z up; a run without legs is one leg. Outward is +Y where the hazard is on the
// left and -Y where it is on the right; a movement across is positive to the left whichever
// it is. Azimuths are anticlockwise from X, seen from above. Section forces are in the
// member's local axes, as package solver defines them.
//
// A load turns with the run: it points the same way in the axes of each leg on which it
// stands, so that an outward line load over the whole run presses outward on each leg. A
// post at a corner is told in the axes of the leg that ends there, and its movement in those
// of the other too (Turned).
//
// A place x is measured along the rails, on a slope along the slope, through every corner.
//
// # What a load stands on
//
// A load on the posts travels a chain on which each post has a length of its own; a post at a
// corner has two, and is loaded in the directions of both legs (Placement.OnPost). An area load
// on infill goes to what carries that by simple lever: to rails by metres of height, which may
// be negative, to posts by metres of width. The lengths over which it acts are sought as those
// of any line load.
//
// A load above the highest rail or below the lowest stands on that rail, and its couple goes
// to the posts in the ratio of their reactions: each post feels the push of the rail as if it
// acted at the height of the load. That is exact, for every place of the load: the influence
// line of a response gains those of the pushes, each times what a couple on its post does. The
// fitting feels the force alone, and what a wall takes of the couple is left to the wall.
//
// A load that stands at one place alone is a Field too: one load case for each way it may point.
// One that may turn is placed as any other, wherever it is worst, which is said. One that points
// down within a cone takes the corners of a prism that holds the cone.
//
// # Ends and fittings
//
// A bay lies between two supports, posts or walls. A movement is counted from the
// chord of the bay between the ends of the rail there, which in a wall do not
// move across; an overhang has no chord. What a fitting passes on is seen twice:
// by the rail, and by the post at its own axis, where a rail beside the post adds
// its arm and the fitting its weight. Permanent actions are the weight of the
// tubes, of the fittings and of the infill.
//
// # Loads that act together
//
// A field stands everywhere at once, wind, ice and warmth, or at one place. It is solved once, like the permanent
// actions, and what it does to a member or a joint is kept with that: the start of the member
// and what acts along it, so that it costs a search a sum.
//
// Wind blows on the whole run, outward or inward square to each leg, or along it towards the end
// or the start: a pressure on the width that each tube shows, on infill and on a toe plate, each
// brought to the frame by simple lever. Wind that acts with ice blows on the iced barrier, and
// without ice on the bare one. Ice weighs down. Warmth lengthens every tube by αT ΔT and
// leaves the feet where they are; [Gaps] tells what ends and splices of rails must be free to go.
// Each such action has its Steps, from the site to the force.
//
// Every action acts alone with the permanent ones, and every set of actions that are joined
// two by two acts besides, in the combinations that package loads mixes and in those of the
// user's own; of the actions of a set two at most are placed. Of two that are placed each is
// sought with the other as it stands, in turn, from stances that are extreme for each
// component and for two together. A response that is linear in the loads is at its worst at
// once, for the two do not know of each other; of a utilisation no 1 mm search of both places
// finds more. Section and places are then moved, in turn and together, until nothing gains.
//
// Where something acts on a post between rails, its sections are searched like those of a
// rail; where nothing does the ends of its members decide.
//
// # Braces
//
// A brace is seen in its own axes, from its foot up: the loads that are placed give it an axial
// force alone, its own weight and the fields that act on it bend it. What it does to its post
// and to the ground is told in the axes of the run, as that of any joint.
package analysis
