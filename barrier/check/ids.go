package check

import "slices"

// CheckIDs returns the closed list of check ids, in the order in which reports
// print them.
func CheckIDs() []CheckID { return slices.Clone(checkIDs[:]) }

// CheckID is one kind of check.
type CheckID struct {
	ID      string `json:"id"`
	Meaning string `json:"meaning"`
}

var checkIDs = [...]CheckID{
	{"post-bending", "resultant moment in a post against its bending resistance"},
	{"post-shear", "resultant shear in a post against its shear resistance, in EN reduced by torsion"},
	{"post-torsion", "torsion in a post against its torsion resistance"},
	{"post-interaction", "bending with axial force, shear and torsion in a post"},
	{"post-buckling", "member buckling of a post under axial force (EN: not supported yet; AISC: within interaction)"},
	{"post-yield", "first yield in a post on elastic properties, no permanent set"},
	{"post-deflection", "movement of a post across the run against the limit"},
	{"rail-bending", "resultant moment in a rail against its bending resistance"},
	{"rail-shear", "resultant shear in a rail against its shear resistance, in EN reduced by torsion"},
	{"rail-torsion", "torsion in a rail against its torsion resistance"},
	{"rail-interaction", "bending with axial force, shear and torsion in a rail"},
	{"rail-buckling", "member buckling of a rail under axial force (EN: not supported yet; AISC: within interaction)"},
	{"rail-yield", "first yield in a rail on elastic properties, no permanent set"},
	{"rail-deflection", "movement of a rail across the run at any point against the limit"},
	{"rail-span-deflection", "movement of a rail across, from the chord of its bay, against the limit"},
	{"rail-vertical-deflection", "vertical movement of a rail against the limit"},
	{"brace-interaction", "axial force in a brace with bending from its own weight"},
	{"brace-buckling", "member buckling of a brace as a strut pinned at both ends"},
	{"brace-yield", "first yield in a brace on elastic properties, no permanent set"},
	{"fitting-slip", "force along a tube in a fitting against the tested slip force"},
	{"fitting-twist", "twist about a tube in a fitting against the tested slip moment"},
	{"fitting-force", "force across a tube in a fitting against the tested force"},
	{"fitting-moment", "moment carried by a fitting against the tested moment resistance"},
	{"splice-slip", "axial force in a splice (not supported yet)"},
	{"splice-twist", "twist in a splice (not supported yet)"},
	{"splice-moment", "moment in a splice against the tested moment resistance"},
	{"base-socket", "what the post does to its socket (not supported yet)"},
	{"base-flange", "a flange on bolts (not supported yet)"},
	{"base-earth", "a post in the ground (not supported yet)"},
	{"base-side", "a bracket on a face (not supported yet)"},
	{"base-counterweight", "a weighted foot (not supported yet)"},
}
