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
	{"post-buckling", "member buckling of a post as an equivalent column, in EN with bending beside it"},
	{"post-net", "axial force and bending in a drilled post at its fittings, on the net section"},
	{"post-yield", "first yield in a post on elastic properties, no permanent set"},
	{"post-deflection", "movement of a post across the run against the limit"},
	{"rail-bending", "resultant moment in a rail against its bending resistance"},
	{"rail-shear", "resultant shear in a rail against its shear resistance, in EN reduced by torsion"},
	{"rail-torsion", "torsion in a rail against its torsion resistance"},
	{"rail-interaction", "bending with axial force, shear and torsion in a rail"},
	{"rail-buckling", "member buckling of a rail as an equivalent column, in EN with bending beside it"},
	{"rail-net", "axial force and bending in a drilled rail at its fittings, on the net section"},
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
	{"fitting-together", "all that a fitting does to one tube at once against its tested values, a linear sum; of an EN 74-1 coupler EN 12811-1 10.3.3.5"},
	{"splice-slip", "axial force in a splice against the tested value"},
	{"splice-shear", "shear in a splice against the tested value"},
	{"splice-moment", "moment in a splice against the tested moment resistance"},
	{"splice-together", "all that a splice passes at once against its tested values, a linear sum; of an EN 74-1 sleeve EN 12811-1 10.3.3.5"},
	{"brace-grip-slip", "force along a tube in the fitting of a brace against the tested value"},
	{"brace-grip-force", "force across a tube in the fitting of a brace against the tested value"},
	{"brace-grip-together", "both at once on one tube, a linear sum"},
	{"brace-foot-uplift", "uplift of the foot of a brace against the value given"},
	{"brace-foot-downward", "downward force on the foot of a brace against the value given"},
	{"brace-foot-shear", "horizontal force on the foot of a brace against the value given"},
	{"brace-foot-together", "the forces on the foot of a brace at once, a linear sum"},
	{"wall-pull", "force along a rail on the wall in which it ends against the value given"},
	{"wall-shear", "force across a rail on the wall in which it ends against the value given"},
	{"wall-moment", "moment of a rail on the wall in which it ends against the value given"},
	{"wall-together", "all that a rail does to its wall at once, a linear sum"},
	{"base-socket-moment", "moment of a post in its socket against the tested value"},
	{"base-socket-uplift", "uplift of a post in its socket against the tested value"},
	{"base-socket-twist", "twist of a post in its socket against the tested value"},
	{"base-concrete-pressure", "pressure of a post on its concrete in two blocks against what the concrete bears"},
	{"base-concrete-elastic", "largest linear pressure of a post on its concrete against what the concrete bears, by request"},
	{"base-earth-depth", "depth that a footing in earth needs by the pole formula against the depth given"},
	{"base-earth-uplift", "uplift of a footing in earth against its weight"},
	{"base-counterweight-arm", "moment of a post on its weighted foot against the tested value"},
	{"base-counterweight-tilt", "moment that tips a weighted foot against that which holds it, by the equilibrium of the basis"},
	{"base-counterweight-global", "the same unfactored, by a global factor of safety"},
	{"base-counterweight-slide", "force that drives a weighted foot along its surface against friction"},
	{"base-flange-tension", "tension in one bolt of a flange against the anchor resistance given"},
	{"base-flange-shear", "shear in one bolt of a flange against the anchor resistance given"},
	{"base-flange-group-tension", "tension of all bolts of a flange against the resistance of the group given"},
	{"base-flange-group-shear", "shear on all bolts of a flange against the resistance of the group given"},
	{"base-flange-interaction", "tension with shear in one bolt of a flange against the anchor resistances given"},
	{"base-flange-bolt-steel", "steel of a bolt of a flange in tension with shear"},
	{"base-flange-bending", "bending of a flange between tube and bolt"},
	{"base-side-tension", "tension in one bolt of a side-fixed bracket against the anchor resistance given"},
	{"base-side-shear", "shear in one bolt of a side-fixed bracket against the anchor resistance given"},
	{"base-side-group-tension", "tension of all bolts of a side-fixed bracket against the resistance of the group given"},
	{"base-side-group-shear", "shear on all bolts of a side-fixed bracket against the resistance of the group given"},
	{"base-side-interaction", "tension with shear in one bolt of a side-fixed bracket against the anchor resistances given"},
	{"base-side-bolt-steel", "steel of a bolt of a side-fixed bracket in tension with shear"},
}
