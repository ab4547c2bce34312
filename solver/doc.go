// Package solver is a three-dimensional frame solver by direct stiffness. It knows nodes,
// members, joints and restraints, and nothing of barriers, codes or tubes.
//
// A [Frame] is built node by node; [Frame.Factorise] numbers, assembles and factorises it
// once; the [Factored] frame then answers as many questions as are asked of it: a load case,
// the influence line of a response, second order, critical loads, frequencies, plastic
// collapse. All is SI: N, m, rad, kg, s, K.
//
// # Axes, freedoms and signs
//
// Global axes are right-handed. A node has six freedoms in the order [UX UY UZ RX RY RZ]:
// translations, then rotations by the right hand. A member's local x runs from its start to
// its end; its local x-y plane holds the member's reference vector, on the +y side: z = x × ref,
// y = z × x. So a member may stand in any attitude, upright too, as long as its reference
// does not lie along it. Iz governs bending in the local x-y plane, Iy in the local x-z plane.
//
// A section force is the local component of the action on the face whose outward normal is
// +x: tension is positive, Mz is positive where a load along -y makes the beam sag, and
// dMz/dx = -Vy, dMy/dx = Vz. [Solution.EndForces] are what the nodes do to the member, so at
// its start they have the other sign. A [Reaction] is what the ground does to the frame.
//
// # Nodes and the ground
//
// A freedom of a node is free, restrained, or on a spring to the ground. A node that is
// turned ([Frame.Turn]) has its restraints, springs, settlements and reactions along and about
// axes of its own, and its equations too; loads on it and displacements of it stay global,
// and what hangs on it need not know. A [Settlement] moves the ground under a restrained
// freedom or under a spring.
//
// # Members
//
// Members are straight and prismatic, with one stiffness each for stretching, twist and
// bending in two planes. Bending is that of Euler and Bernoulli unless a shear stiffness G·As
// is given. Then a section turns by less than the slope, the difference being the shear strain
// V/(G·As) (Timoshenko's beam); shape functions stay cubics, and the stiffness is that of
// bending over 1 + φ, φ = 12EI/(G·As·L²), with φ added to the 4 and taken from the 2 of the
// end moments (Przemieniecki, Theory of Matrix Structural Analysis, section 5.6). To leave
// the strain out is fair where φ is small against 1: for a tube 48.3 mm by 3.2 mm over a bay of
// 1.5 m, with As half of its area, it is 0.007.
//
// A member may start and end off its nodes, on rigid arms that turn with them. Stations,
// loads and mass belong to the length between; a load on an arm is a load on the node. An
// [EndTie] releases a local freedom at an end, or passes it through a spring, between the arm
// and the member; it is condensed out of the member's stiffness, exactly.
//
// Forces, couples and trapezoidal line loads stand anywhere on a member, in local or global
// axes. A [Heat] would strain a free member by a·T along it and curl it by a·dT/h; what is
// held back of these is force. Between the ends of a member every force, movement and rotation
// is a polynomial, from break to break of the loads, and exact: a [Diagram] holds no samples,
// and its extremes are those of the polynomials.
//
// # Joints
//
// A [Joint] ties two nodes, coincident or a rigid arm apart. Along and about each of its axes
// the freedom is shared, free, or passes a spring. The second node keeps its own freedoms in
// the joint's axes, so a shared one is the first node's equation, or a sum of its equations
// where axes turn or an arm reaches: elimination, never a penalty, and nothing is lost in
// digits. Hence a node is the second of one joint only and is not held itself, joints do not go
// round in a ring, and where something is tied to several others the first node is the one
// they have in common.
//
// # Equations and digits
//
// The order of the nodes as they were added is kept, or a narrower one taken where walks from
// a far end of the frame find it (Cuthill and McKee 1969; George and Liu, Computer Solution of
// Large Sparse Positive Definite Systems, section 4.3). The stiffness is a symmetric band,
// factorised by Cholesky: n(b² + 3b) operations for n equations that reach over b, and 4nb for
// each right-hand side (Golub and Van Loan, Matrix Computations, chapter 4). A run that goes
// on and on costs in proportion to its length; a ring is about twice as wide as the same run
// laid straight; a frame that is as wide as long, a grid say, costs the square of its equations.
//
// A frame is trusted when the least eigenvalue of its stiffness, scaled to a unit diagonal, is
// above 1e-12: three or four digits of its movements stand even there (Higham, Accuracy and
// Stability of Numerical Algorithms, theorem 10.3). Estimates of the sum of all 1/eigenvalue from
// four random loads, always the same, settle most frames (Hutchinson, A stochastic estimator of
// the trace of the influence matrix, 1990), inverse iteration the others, and it yields the
// motion that the error names. An eigenvalue of 1e-12 escapes the estimates in four frames of ten
// million, a mechanism in four of 1e11. Stiffness that differs by more than some twelve powers of
// ten is told from none only as far as rounding lets it.
//
// Each solution is proved by its residual, |f - K u| / (|K||u| + |f|) in the largest
// components. Where any one component, held against its own terms, is off by more than 1e-12,
// the solution is refined by one step, and kept if that made it better (Higham, theorem 12.4).
// An ordinary load case carries the balance of its loads and reactions about one point as well.
// Both are numbers for the caller to judge; 1e-8 is a sound limit. A small residual proves the
// solution of these equations, and not that they are the right ones.
//
// # Responses and influence lines
//
// A [Response] is any scalar that is linear in the loads: a freedom of a node, a component at a
// station of a member, or a sum of such. A load travels along a [Chain], rows of members that
// share it side by side; a [Row] may have axes for each member, in which the load is given, so
// that it turns with a bent row. The influence line of a response is a cubic for each stretch
// and direction, exact but for rounding. [Influence.Cubics] gives the bare cubics;
// [Influence.Line] cuts them at the response's own sections, where a shear force jumps, and
// [Line.Extremes], [Line.Integral] and [Adverse] say where a point load is worst, what a line
// load adds up to, and on which lengths it makes matters worse.
//
// There are two ways to a line, equal to rounding. [Influence] places unit
// loads: a band solution for each equation that a load can reach, the square of the frame's
// length in all, and the faster way on short frames. [BlockInfluence] goes by reciprocity
// (Maxwell and Betti): the response itself is the load. It holds the inverse in blocks along the
// frame (block elimination, Golub and Van Loan) and walks outward from the response. Of n blocks
// of b freedoms that costs n·b³ once, and b² a block for each response, as far as a load is felt:
// across a run some tens of bays, along it hundreds or more, for rails are stiff along
// themselves. It leaves out less than 1e-12 of the largest value of what the nodes' movements
// do to the response, and of the integral of its size; the proof stands at the type. A response
// that is a small difference of that and of what a load does on the member itself is so far
// uncertain, as rounding leaves it in either way.
//
// # Second order
//
// [Factored.SecondOrder] lets axial forces act where members have moved to (P-Delta). The
// consistent geometric stiffness ∫ N φ'φ'ᵀ dx of every axial force, those in rigid arms among
// them, is added, and the frame solved anew until the axial forces settle (McGuire, Gallagher
// and Ziemian, Matrix Structural Analysis, section 9.1). Released freedoms of end ties are
// equations of their own here, so that nothing of it is lost in condensation.
//
// Displacements are small: slopes stand for angles, lengths stay, and a movement of a tenth of
// a length is out of reach. Members follow cubics between their nodes, which makes them too
// stiff: one member for a half wave errs by a fifth of its critical load, two by 0.8 %, four by
// 0.05 %, and a member held from turning at both ends cannot buckle within itself at all.
// [SecondOrder.Slenderness] tells how near that is; above 0.6 cut the members by [Frame.Divide].
// Nothing here twists a section under axial stress or lets a beam buckle sideways, and nothing
// yields. Loads and members are as straight and as central as they are given: what is out of
// true is for the caller to add.
//
// # Critical loads and vibration
//
// [Factored.Critical] solves K φ = λ(-Kg) φ, with Kg of the first-order axial forces: the factors
// at which the straight frame can stay bent. It is a bound of the ideal frame, which a real one
// does not reach, and all that is said of cubics holds. [Factored.Vibrations] solves
// K φ = ω² M φ with the consistent mass of the members (Clough and Penzien, Dynamics of
// Structures, section 10-3) and masses on nodes; no damping, no axial force, no mass in the
// turning of a section in bending; frequencies come out too high where members are not cut.
//
// Both go by subspace iteration (Bathe, Finite Element Procedures, section 11.6). That no value
// was missed is proved by counting the negative pivots of the shifted matrix (Sylvester's law of
// inertia; Parlett, The Symmetric Eigenvalue Problem, section 3.3). Equal values come out as
// many times as there are, with shapes that are one choice among many.
//
// # Plastic collapse
//
// [Factored.Collapse] lets a whole case grow, settlements and warmth too, and follows the frame
// from hinge to hinge to its mechanism: the moments are those of the elastic frame and the
// self-stress of the hinges' rotations, which cannot run back (Maier, Meccanica 3, 1968; Lawson
// and Hanson, Solving Least Squares Problems, chapter 23). What proves the factor is neither
// way nor method but the two theorems of plastic theory: moments in balance that nowhere pass the
// plastic ones bound it from below, the work along the mechanism from above, and
// [Collapse.Gap] is what lies between.
//
// Hinges turn about local y or z, each for itself: no interaction of the two, nor with axial
// force, shear or torsion. Buckling, second order, connections and the rotation that a section
// can bear are left out: for a slender frame, or a tube of thin wall, the factor is too good.
//
// # What an error means
//
//   - [InputError]: what it names makes no sense: a member of no length, a stiffness that is not
//     positive, axes that are not right-handed, a case off its members. Mend the input.
//     [Factored.Check] holds a case from outside to sense before it is solved.
//   - [MechanismError]: the frame moves and nothing resists, most of all the node named, in the
//     direction named. A rail that spins in its joints, a member released at both ends, a node
//     that no member reaches. Hold what moves there, or share the freedom that should be.
//   - [IllConditionedError]: something resists the motion, but so softly beside other
//     stiffnesses that digits do not last. Give the soft one the stiffness that it really has, or
//     make what should be rigid a restraint, a shared tie or an offset, and no large number.
//   - [InstabilityError]: in second order the frame does not carry the case; it stands up to the
//     part of it that is named. Shore it where it moves. A coarse frame stands too long, never
//     too short: cut members before that part is believed.
//   - [CountError]: the search missed a value or could not count; none of the values is
//     returned. Ask for more values, so that no group of near ones is cut, or cut members less.
//   - [NoCollapseError]: no mechanism forms at any load. Members on the way of the load have no
//     plastic moment, or carry it by axial force alone.
//   - [UnprovedCollapseError]: the two bounds on the factor do not meet, or the elastic answer has
//     too large a residual. The factor is not to be used.
//
// Second order, critical loads and vibration work on a frame of their own where members have end
// ties or offsets, and so may return the errors of [Frame.Factorise] as well.
//
// What only a bug of the caller's can bring about panics: a node that is the second of two
// joints, a load off its member or a settlement of a free node in [Factored.Solve], a negative
// mass, a division into no parts.
package solver
