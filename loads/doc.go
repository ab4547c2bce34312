// Package loads holds the load schedules that standards lay down for barriers, wind and ice
// on them, and the combinations that factor all of these. It knows nothing of frames, tubes'
// steel or barriers: an action says what it is, on which part it stands and by which rule its
// height is found, and the caller places it.
//
// # Data
//
// Schedules, limits, combinations and the numbers of wind and ice are data (tables/*.toml), one
// file per standard. Each value carries its standard, edition, clause, source, a provenance word
// (public, memory, derived, common-practice) and a confidence (high, medium, low). Files are
// decoded strictly and audited; a fault in one is a bug and panics. Units are SI: N, m, N/m,
// N/m², kg/m³, m/s, K.
//
// # Schedules
//
// A [Schedule] is what a standard asks for one occupancy: its actions, unfactored, which of them
// act together, its limits on movement, its geometry rules, its partial factor on resistance.
// [FindSchedule] takes its name, [FindScheduleIn] puts the rows of a national annex first. Its
// stage says whether values are characteristic, nominal, service or ultimate, and
// [Combinations.StrengthFactor] obeys that. A [LimitSet] is the limits of a standard alone.
//
// # Wind and ice
//
// A [Wind] is known by the basic velocity of EN 1991-1-4, by the basic speed of ASCE 7-16, or by
// a velocity pressure that is given. [Wind.At] finds the [Gust], the pressure at a height:
//
//	EN    qp = (1 + 7 Iv) ½ ρ vm²,  vm = cr co vb,  cr = kr ln(z/z0),  Iv = kI/(co ln(z/z0))
//	ASCE  qz = 0.613 Kz Kzt Kd Ke V²
//
// Its methods give what it puts on a tube, a plate, an open infill or a wall, as a pressure on
// the area that is seen square to it: positive, the way it blows is the caller's. EN has 1.2 on
// barrier tubes up to a Reynolds number of 1.81e5. [Ice] gives a [Coat]: its mass on a member, its
// width, and the part k of the wind that acts on it. Each number comes as a [Step] with formula,
// values, clause and provenance. What cannot be computed with is told by Check, before.
//
// # Combinations
//
// [CombinationsUnder] returns those of a basis with the psi and xi of an annex, by a rule for
// strength. [Combinations.Mixes] combines variable actions that act together, one combination
// for each that may lead:
//
//	EN    6.10, or 6.10a and 6.10b; Table A1.2(A) for equilibrium; 6.11b accidental; 6.14b service
//	AISC  ASCE 7-16 2.3 (LRFD), 2.4 (ASD)
//	CSA   NBC Table 4.1.3.2.-A
//	AS    AS/NZS 1170.0 4.2.2, 4.3
//
// Which categories may act together is data ([Combinations.MayJoin]). An imposed load of no
// known category takes the most cautious factors.
package loads
