package check

// axialCountsFrom is Pr/Pc from which H1-1a holds, torsionCountsFrom the Tr/Tc up to
// which torsion may be left alone. AISC 360-22 H1.1, H3.2; provenance: public.
const (
	axialCountsFrom   = 0.2
	torsionCountsFrom = 0.2
)

// combined returns the left side of the interaction of axial force, moment, shear
// and torsion, each over what is available, with its formula and clause: H1-1 where
// torsion is no more than 0.2 of Tc, H3-6 above. AISC 360-22 H3.2.
func combined(axial, moment, shear, torsion float64) (sum float64, formula, clause string) {
	if torsion <= torsionCountsFrom {
		return axialAndMoment(axial, moment)
	}
	sum = axial + moment + (shear+torsion)*(shear+torsion)
	return sum, "(Pr/Pc + Mr/Mc) + (Vr/Vc + Tr/Tc)²", "AISC 360-22 H3.2 (H3-6)"
}

// axialAndMoment returns the left side of H1-1a or H1-1b; the moment of a round
// section is the resultant, in one term. At Pr/Pc = 0.2 the two agree where both
// are 1. Above that H1-1a is the smaller, so that more axial force would seem to
// help: there H1-1b as it is at 0.2 stands, and the utilisation is above 1 by either.
// AISC 360-22 H1.1; provenance: public.
func axialAndMoment(axial, moment float64) (sum float64, formula, clause string) {
	if axial < axialCountsFrom {
		return axial/2 + moment, "Pr/(2 Pc) + Mr/Mc", "AISC 360-22 H1.1 (H1-1b)"
	}
	sum = axial + 8.0/9*moment
	if least := axialCountsFrom/2 + moment; sum < least {
		return least, "0.1 + Mr/Mc", "AISC 360-22 H1.1 (H1-1b)"
	}
	return sum, "Pr/Pc + (8/9) Mr/Mc", "AISC 360-22 H1.1 (H1-1a)"
}
