// Package check judges a barrier: it runs the frames that stand, asks the
// analysis for the worst state of every element, holds it against a resistance
// or a limit, and gathers a [Result] of plain data that renderers print.
//
// # A check
//
// A check is one function of a state and a [Recorder]: six forces at a section,
// all from one load at one place in one combination, with what acts beside it, to
// a utilisation (demand over resistance, a plain number; +Inf where nothing resists and where
// compression passes the critical force). The search calls it with no recorder, many times; the
// governing state is judged once more with one, so that the trail is written by
// the code that decided. No check falls when a component of its state grows in
// magnitude: the search relies on it.
//
// # Resistance
//
// The basis and the metal of the grade choose the code: EN 1993-1-1, EN 1993-1-4 and EN 1999-1-1;
// AISC 360-22 and the Aluminum Design Manual; AS 4100; CSA S16 and S157. Each is a type with the
// same methods (bending, shear, torsion, interaction, member buckling, first yield). A tube
// beyond the limits of its code is a [ClassError].
//
// [NewTube] gives the resistances of a round steel tube to EN 1993-1-1:2005 with
// AC:2009, γM0 = 1.00, on the wall in use:
//
//	class      d/t ≤ 50 ε², 70 ε², 90 ε² with ε² = 235/fy; class 4 is refused
//	bending    Wpl fy, Wel fy in class 3
//	shear      Av fy/√3 with Av = 2A/π, less what torsion takes
//	torsion    Wt fy/√3 with Wt = 2 Wel
//	together   MEd/MV,Rd + n^1.7 (n in class 3), n = NEd/(A fy)
//	buckling   N/(χ A fy/γM1) + k M/(W fy/γM1) (6.3.3, Annex B), moments of first order
//	yield      √(σ² + 3τ²) with all stresses at one point
//
// Stainless steel has its own curve and factors (1.1), and its movements are those of the secant
// modulus; aluminium has buckling classes A and B. A drilled tube is judged besides on its net
// section at its fittings.
//
// To AS 4100 (torsion by Australian practice) and to CSA S16 (torsion by a rule of this program),
// t = T/φT, v = V/φV:
//
//	AS 4100   N*/φNc + M*/φMs + t (t + 2v); (v + t + 1.6 M*/φMs)/2.2; v + t
//	CSA S16   Cf/Cr + U1 Mf/Mr + t (t + 2v); v + t
//
// Forces are N, moments N·m, stresses Pa. A state has axial force positive in
// tension; checks take its magnitude.
//
// A schedule's partial factor on resistance stands in place of γM0 and γM1 under its loads and
// those that act with them, 1.00 under its accidental ones: strength is then searched once for
// each factor, under those actions alone. AISC 360 has φ or Ω instead, AS 4100 and CSA S16 have
// φ, and a mixed schedule loses its factor; both are said. First yield is divided by none.
//
// # Limits
//
// A limit of movement is a length, or a rule of the height and the bay. Of those of one
// movement that are about every action the tightest stands, bay by bay; one about a
// single action of a schedule is a check of its own, under that action alone.
//
// A set that the user names by its standard binds beside those of the schedules; what is looser
// than a schedule's needs the user's override.
//
// # Loads
//
// Each load is told as it is taken, unfactored ([LoadRow]): where it stands, what acts with it, its
// edition, clause and provenance. One that stands nowhere though it is asked for leaves the result
// incomplete. Wind, ice and temperature are told in steps from the site to the tubes ([StepRow]),
// and a change of temperature by the way that rails ask for at their ends ([ExpansionRow]). People
// and wind that are not joined are a caution. An accidental action is judged in its own limit
// state. A base that stands by its weight has base actions at equilibrium, and what would turn it
// over is unchecked.
//
// # Openings
//
// Infill closes what it covers; what stays open above and below it, and on overhangs, is judged by
// itself, and the infill by the largest ball that passes it. The infill and its fixings have no check.
//
// # Fixings
//
// By request (BS 6180:1999 6.5) the state at a fitting, a splice, a wall or a foot is
// multiplied by 1.5 under a load; what permanent actions relieve it by is not.
//
// Fittings, splices, wall ends, and the fittings and feet of braces are held against tested values
// singly, and against their linear sum under one load at its own worst place. An EN 74-1 coupler is
// held by EN 12811-1 10.3.3.5.
//
// # Feet
//
// A foot is judged by the six base actions of one load at one time, in its own level: factored,
// working or at equilibrium. Each kind gives its footings, one check each, or one open demand with
// the reason: bolts of a flange and of a bracket, pressure in concrete, the pole formula, a foot
// under counterweights. They belong to a link of the load path: socket, foot or ground.
//
// # Trails
//
// A trail is the working of one check in steps: what is sought, a formula in symbols of earlier
// steps, the values put in, the result, the clause and how it is known. A pocket calculator follows
// it, and a test does.
//
// # Braces
//
// A brace is a strut pinned at both ends, bent by its own weight:
//
//	N/Nb,Rd + k M/(Wel fy), Nb,Rd = χ A fy of curve a for hot finished tube, c for any other
//
// and to AISC 360 by E3, to AS 4100 by 6.3.3 and to CSA S16 by 13.3.1, with bending in the
// interaction. Its fitting and its foot are held against the values given. Its post
// keeps the critical force of a lone cantilever; the second order which that gives the post
// raises the force of the brace as well.
//
// # Second order
//
// Moments and movements are raised by 1/(1 - N/Ncr) of their own compression where that is
// above 1.01. Above 1.10, and where the frame raises them by more (a post that is hardly
// pressed leans with those beside it that are), the frame is run in second order under the
// governing placements, out of true in the adverse way, and the state judged as it stands:
//
//	EN     φ = 1/200 (5.3.2(3)), also where 5.3.2(4) would leave it out
//	AISC   0.8 of every stiffness, α times the loads over α, 0.003 of the vertical ones across
//	AS     0.002 of the vertical loads across (AS 4100 3.2.4), on the whole stiffness
//	CSA    0.005 of the vertical loads across (CSA S16 8.4.1), on the whole stiffness
//
// A frame that does not stand fails without bound. Placements are not searched in second
// order; feet and joints are run under those that are worst by the bound. Movements on feet of
// unknown stiffness, a run that does not settle, and what a barrier too long for a run of every
// check leaves stay unchecked.
//
// # Models
//
// What the definition leaves open is run both ways and the worse stands: both
// ends of a range of foot stiffness; rigid feet and the softest that meet the
// limits of movement where none is given; rails continuous and cut at every post
// where splices are not known. What nothing checked is listed as unchecked with
// the demand it must carry, and the status is then never "pass".
//
// # Signs
//
// Base actions are those of a post on its foot: X along the run, Y to the left, Z
// up. An outward load F at height h gives Mx = -F h; positive Fz is uplift.
// Vertical movements are positive downwards in the tables.
package check
