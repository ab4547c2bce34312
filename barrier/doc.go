// Package barrier reads the definition of a barrier (TOML), judges it, and gives its
// geometry and its frame.
//
// # Axes
//
// X runs along the barrier from start to end, Z is up with z = 0 at the finished walking
// surface, and Y is on the left walking from start to end. Outward, towards the hazard, is
// +Y, or -Y where run.hazard is "right". Heights of rails are those of their axes. Posts and
// walls keep the x that the file gives them.
//
// # Legs, slopes and gaps
//
// A run turns and climbs by legs, each straight in plan and on one slope:
//
//	legs = [{ length = "6 m" }, { length = "4 m", turn = "90 deg", pitch = "32 deg" }]
//
// A turn is from the leg before, positive to the left; a pitch is positive where the run rises
// from start to end. A run of one leg may have its pitch in [run]. Places, lengths and splices
// are measured along the rails through every corner: on a slope along it. Posts are plumb, and
// heights are plumb above the walking surface, which on stairs is the pitch line. Each leg
// has axes of its own ([Run.Axes]), and its rails theirs ([Run.RailAxes]). A post stands at
// every corner, where the rails of both legs end.
//
// In a [[gap]] and at a [[gate]], from one post to the next, there are no rails. What lies
// between ends, corners and gaps is a [Stretch]: along it alone can a rail be one piece. With
// spacing each leg, and what lies between gaps, is divided into equal bays for itself.
//
// # Ends of the run
//
// A run stands on supports: its posts, and a wall at either end where start or end say so.
// The first place of posts, or x = 0 of length with spacing, is then that of the wall, and
// no post stands there; posts count from 1 without the walls. A bay lies between two
// supports. A wall holds the rails across and vertically, on a slope square to it, and what its
// long form adds:
//
//	start = { kind = "wall", along = "held", rotation = ["run", "up"] }
//
// rotation is "free", "held" for all three, or a list of axes of run, outward and up. At a
// free end the rails may run past the last post by an overhang.
//
// # Braces
//
// A raking brace runs from the axis of a post, at a height, down to a foot that stands
// outward of the post's axis, along the run from it, or both:
//
//	[[brace]]
//	post = 3
//	height = "900 mm"
//	tube = "EN 10255 DN32 medium"
//	grade = "S195T"
//	foot = { outward = "-700 mm", along = "0 mm", level = "0 mm" }
//
// Posts count from 1 from the start of the run. The level of the foot is that above the
// walking surface at the post; outward and along are those of the leg that ends there. A brace
// is pinned at both ends and its foot does not give. It leans at least 15 degrees from
// its post and from the ground.
//
// # Feet
//
// post.base says how a post is held: its rotational stiffness, given or "from fixing", and by
// kind what holds it, in the table of that name: a flange on bolts, a socket in concrete, a
// footing in earth, a bracket fixed to the side of a face, or a counterweight on which it stands
// freely:
//
//	[post.base]
//	kind = "flange"
//	stiffness = "60 kNm/rad"
//
//	[post.base.flange]
//	bolts = 4
//	circle = "100 mm"
//	tension = "16 kN"
//	shear = "10 kN"
//	values = "design"
//
// What is not described is no check of package check, which lists the demand then.
//
// # Joints
//
// What a fitting passes beside forces is a [Joint] about the axes of the rail. Fittings at
// corners have one of their own, for no rail runs through there, and so have the splices of
// each rail, about the two axes square to it. A [Layout] says which joints a frame has;
// whether tested values prove them is for package check.
//
// # Limits of movement
//
// A limit is a length or a rule, a sum of lengths and of shares of the height h and the bay L:
// "25 mm", "h/24 + L/96", "h/120 + 5 mm". Definition.RuleHeight is h; Limit.At evaluates it.
//
// A set of limits that a standard lays down apart from its loads is taken by its name:
// standard = "ASTM E985". A limit of the user's own that is looser than that of a schedule or
// of the set, of the same movement and in any bay, needs override = true.
//
// # Infill
//
// What closes the openings of every bay but gaps is one [infill]: mesh, a sheet or vertical
// bars, from a bottom to a top, carried by two rails or more or by the posts:
//
//	[infill]
//	kind = "mesh"
//	mass = "4.5 kg/m2"
//	solidity = 0.35
//	bottom = "100 mm"
//
// Its weight is among the permanent actions ([Frame.NodeWeights], [InfillWeight]).
//
// # Loads
//
// A load is a schedule by name, or one of the user's own: a line or a point on a rail, an area
// on infill, wind, ice, or a change of temperature. A point load may stand at one place:
//
//	[[load]]
//	name = "people"
//	kind = "line"
//	value = "0.5 kN/m"
//	direction = "outward"
//
//	[[load]]
//	name = "wind"
//	kind = "wind"
//	standard = "EN 1991-1-4"
//	velocity = "26 m/s"
//	terrain = "III"
//	ground = "8 m"
//	with = ["people"]
//
// A wind is found by EN 1991-1-4, by ASCE 7-16, or by a pressure that is given; the standard goes
// with the basis, or mix says that it does not. Ice has a class of ISO 12494 or a thickness, a
// temperature a rise, a fall or both. These stand on the whole barrier at once, the others are
// placed. A load of another family of codes than the basis combines needs mix = true.
//
// Loads act one at a time with the permanent ones, but where one names others in with: that load
// and all that its list names are joined, each with each other, whichever of them says so, and
// every set of loads all of which are joined with one another acts together as well. Two lists
// join no loads that neither of them names together. At most MaxPlaced of a set are placed:
// schedules, lines, points and areas. Loads are named by name, by the name of their schedule, or
// as "load 2".
//
// Beside the combinations of the basis, or in their place (only_own), stand the user's own. In
// their place, situation by situation, they have a factor on every load that occurs there. An
// accidental action belongs to combinations for the accidental situation:
//
//	[combinations]
//	rule = "6.10a/b"
//	[[combinations.own]]
//	name = "site"
//	situation = "strength"
//	permanent = [1.35, 1.0]
//	factors = { people = 1.5, wind = 0.9 }
//
// # Exposure
//
// What the weather takes from the tubes is told by a category of ISO 9223 or by measured rates,
// with what protects them, outside and inside:
//
//	[exposure]
//	category = "C4"
//	coating = "ISO 1461"
//	at_foot = 3
//	inside = { tube = "drained", category = "C3" }
//
// [Definition.AtYear] is the barrier on the walls that are left then: the coating goes first, and
// steel from the year it is gone at that spot. Rates have a low, a middle and a high value
// ([sections.RateLevel]).
//
// # Definition
//
// Parse returns a Definition with every default resolved and every quantity in SI, or
// all the problems of the file at once, sorted by position:
//
//	gallery.toml:14:10: post.height: quantity has no unit: 1100
//	  14 | height = 1100
//	     |          ^^^^
//	     fix: write the unit in quotes, likely "1100 mm"; units of a length: mm, m, ...
//
// These tables and keys are read; values are described in README.md:
//
//	the top level                     title, project, date, basis, annex, units, wall_basis, run,
//	                                  post, rail, brace, infill, fitting, gap, gate, load,
//	                                  combinations, limits, scope, stock, exposure, survey,
//	                                  prooftest
//	[run]                             length, spacing, posts, legs, pitch, start, end, overhang,
//	                                  hazard, toe_plate
//	run.legs                          length, turn, pitch
//	run.start or run.end              kind, along, rotation, pull, shear, moment, values,
//	                                  values_factor
//	run.toe_plate                     height, gap
//	[post]                            tube, grade, net, height, base
//	[post.base]                       stiffness, level, loose, kind, socket_moment, socket_uplift,
//	                                  socket_twist, values, values_factor, flange, socket, earth,
//	                                  side, counterweight
//	[post.base.flange]                bolts, circle, turned, rectangle, at, diameter, size,
//	                                  thickness, fy, bending, method, bearing, concrete, prying,
//	                                  bolt, class, tension, shear, group_tension, group_shear,
//	                                  values, values_factor, interaction, weight, stretch
//	[post.base.socket]                depth, width, strength, alpha_cc, stress, cover, pressure
//	[post.base.earth]                 depth, diameter, side, bearing, soil, isolated, constrained,
//	                                  ground, mass, embedded, strength
//	[post.base.side]                  face, eccentricity, below, spacing, columns, column_spacing,
//	                                  bottom, top, plate_width, bearing, prying, bolt, class,
//	                                  tension, shear, group_tension, group_shear, values,
//	                                  values_factor, interaction, weight, stretch
//	[post.base.counterweight]         weights, outward, inward, along, slope, friction,
//	                                  arm_moment, values, values_factor
//	post.base.counterweight.weights   mass, outward, along, height
//	post.base.counterweight.friction  contact, place, value, values, values_factor
//	[[rail]]                          name, height, tube, grade, net, through, stock, splices,
//	                                  splice_moment, splice_moment_resistance, splice_slip,
//	                                  splice_shear, splice_class, values, values_factor
//	net                               hole, walls, at
//	[[brace]]                         post, height, tube, grade, foot
//	brace.foot                        outward, along, level, uplift, downward, shear, values,
//	                                  values_factor
//	{ od, wall }                      od, wall, wall_is
//	{ fy, fu }                        fy, fu, material, E, G, density, buckling_class
//	[fitting]                         moment, offset, mass, slip_force, slip_moment,
//	                                  moment_resistance, transverse_force, values, values_factor,
//	                                  class, screw, corner, brace
//	fitting.moment                    about_rail, about_outward, about_post
//	[fitting.corner]                  moment, mass, slip_force, slip_moment, moment_resistance,
//	                                  transverse_force, values, values_factor
//	fitting.corner.moment             about_rail, about_outward, about_post
//	[fitting.brace]                   slip_force, transverse_force, values, values_factor, class
//	fitting.screw                     size, torque
//	[[gap]] or [[gate]]               from, to
//	[infill]                          kind, mass, solidity, bottom, top, carried_by, rails,
//	                                  offset, opening
//	[[load]]                          schedule, occupancy, fixings, mix, name, with, category,
//	                                  kind, value, rail, direction, height, at, standard,
//	                                  velocity, terrain, exposure, ground, pressure, air_density,
//	                                  return_period, topography, shielding, class, thickness,
//	                                  density, rise, fall
//	load.direction                    azimuth, elevation
//	[combinations]                    rule, only_own, own
//	[[combinations.own]]              name, situation, permanent, factors
//	[limits]                          standard, deflection, rule, post, span, vertical, override
//	[scope]                           leave_out
//	[stock]                           currency, fitting_price, foot_price, tubes
//	[[stock.tubes]]                   tube, grade, use, price_per_m, price_per_ft
//	[exposure]                        category, zinc_rate, steel_rate, coating, paint, law,
//	                                  from_wall, at_foot, at_fitting, inside
//	[exposure.inside]                 tube, category, zinc_rate, steel_rate, coating
//	[survey]                          date, coating_left, post, rail, fitting
//	[[survey.post]]                   post, wall, od, foot
//	[[survey.rail]]                   rail, wall, od
//	[[survey.fitting]]                post, rail, found
//	[prooftest]                       schedule, force, post, bay, rail, direction, preload, hold,
//	                                  measured, accuracy, residual
//
// A key that the format has and this version does not read is refused as not supported
// yet; any other unknown key is answered with the nearest known one. A fault that only
// follows from another is not reported. Every default that bears on the result is a
// sentence of Definition.Assumptions.
//
// # Limits
//
// A definition is at most MaxFileSize long, no length in it exceeds 500 km, and it has at most MaxPosts posts, MaxLegs legs, MaxGaps
// gaps and as many gates, MaxRails rails, MaxBraces braces, MaxLoads loads and
// MaxOwnCombinations combinations of one's own; posts times rails are at most MaxFittings, and these
// times loads MaxPlacings. A pitch is at most 60 degrees, a turn from 1 to
// 150 degrees; legs that cross in plan are refused.
package barrier
