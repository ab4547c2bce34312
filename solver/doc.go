// Package solver is a linear three-dimensional frame solver by direct
// stiffness. It knows nodes, members, joints and restraints, and nothing of
// barriers, codes or tubes.
//
// # Axes and signs
//
// Global axes are right-handed. A node has six freedoms in the order
// [UX UY UZ RX RY RZ]: translations in m, rotations in rad. A member's local x
// runs from its start node to its end node; its local x-y plane holds the
// reference vector of the member, on the +y side: z = x × ref, y = z × x.
// Iz governs bending in the local x-y plane, Iy in the local x-z plane.
//
// A section force is the local component of the action on the face whose
// outward normal is +x, so tension is positive, Mz is positive when a load
// along -y makes the beam sag, and dMz/dx = -Vy, dMy/dx = Vz. Reactions are
// what the ground does to the frame.
//
// # Members
//
// Members are prismatic Euler-Bernoulli members with axial, twist and two
// bending stiffnesses and no shear flexibility. Any local freedom at either
// end may be released or pass through a spring; it is condensed out of the
// member. Loads may stand anywhere on a member; internal forces and
// displacements between the ends are exact polynomials, not samples.
//
// # Joints
//
// A joint ties two nodes, coincident or a rigid arm apart. It has an axis frame
// and, along and about each axis, the freedom is shared, free or passes a
// spring. The second node keeps its own freedoms in the joint's frame, so a
// shared one is the same equation as the first node's (or a linear combination
// of them, when the axes turn): elimination, never a penalty.
//
// # Influence lines
//
// A load travels along a [Chain] of members; [Influence] holds what a unit load on it
// does. The start line of a member's forces is read by [Influence.Cubics], one cubic for
// each stretch and direction: that is how the search for the worst load reads them, and
// every section of the member follows from them by statics. [Influence.Line] and Lines,
// with [Line.Extremes], [Line.Integral] and [Adverse], are the general seam: the line of
// any response, cut at its own sections, what it adds up to over lengths, and the lengths
// on which a load makes it larger. They serve a response that is no start line.
//
// # Method and limits
//
// Equations are numbered in the order in which nodes were added, so nodes added
// along a run give a narrow band. The stiffness is held in a symmetric band and
// factorised once by Cholesky for as many right-hand sides as wanted. A
// frame that can move without bending is a mechanism, found by the least
// eigenvalue of the stiffness scaled to a unit diagonal; the error names the node
// and the direction that move most. Small displacements, linear elasticity.
//
// # Proof
//
// Every solve carries the residual |f - K u| / (|K| |u| + |f|) in the largest
// component, and an ordinary load case also the balance of loads and reactions
// about one point, scaled by the loads.
package solver
