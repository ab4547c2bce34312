// Package analysis places the loads of a barrier where they are worst and
// yields concurrent states: all section forces and movements at one section,
// from one load at one position in one combination.
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
// (Measure.Bound serves those that do).
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
// # Ends and fittings
//
// A bay lies between two supports, posts or walls. A movement is counted from the
// chord of the bay between the ends of the rail there, which in a wall do not
// move across; an overhang has no chord. What a fitting passes on is seen twice:
// by the rail, and by the post at its own axis, where a rail beside the post adds
// its arm and the fitting its weight. Permanent actions are the weight of the
// tubes and of the fittings.
//
// # Braces
//
// A brace is seen in its own axes, from its foot up: the loads of the list give it an axial
// force alone, its own weight bends it. What it does to its post and to the ground is told in
// the axes of the run, as that of any joint.
package analysis
