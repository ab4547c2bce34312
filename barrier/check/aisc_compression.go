package check

import (
	"math"

	"example.com/stanchion/barrier/analysis"
)

// axialStrength returns Pc for the axial force of a state, N: E3 and E7 where it
// presses, yielding of the gross section, D2(a), where it pulls. Tension finds no
// less than compression does.
func (t *RoundTube) axialStrength(s *analysis.State, r *Recorder) float64 {
	r.step("gross area", "Ag", t.ring.Area*1e6, "mm²", "π(D - t)t", "")
	if s.N >= 0 {
		r.step("nominal axial strength", "Pn", t.Pn, "N", "Fy Ag", "AISC 360-22 D2-1")
		t.safety.record(r, "t", "Pn", "Pc", t.Pt, "N", "AISC 360-22 D2")
		return t.Pt
	}
	stress, formula, clause := t.compressiveStress()
	area := t.effectiveArea()
	nominal := stress * area
	pc := t.safety.available(nominal)
	if r.keepsSteps() {
		r.step("elastic critical force, a lower bound", "Pe", t.Critical, "N", "", "elastic critical force")
		r.step("elastic buckling stress", "Fe", t.Critical/t.ring.Area/1e6, "MPa", "Pe / Ag", "AISC 360-22 E3")
		r.step("nominal compressive stress", "Fn", stress/1e6, "MPa", formula, clause)
		product, clause := "Fn Ag", "AISC 360-22 E3-1"
		if area < t.ring.Area {
			product, clause = "Fn Ae", "AISC 360-22 E7-1"
			r.step("slenderness of the wall", "D/t", t.ratio(), "1", "D/t", "AISC 360-22 Table B4.1a case 9")
			r.step("effective area", "Ae", area*1e6, "mm²", "(0.038E/(Fy (D/t)) + 2/3) Ag", "AISC 360-22 E7-7")
		}
		r.step("nominal axial strength", "Pn", nominal, "N", product, clause)
		t.safety.record(r, "c", "Pn", "Pc", pc, "N", "AISC 360-22 E1")
	}
	return pc
}

// compressiveStress returns Fn, Pa, from Fe = Pe/Ag. AISC 360-22 E3-2 and E3-3, on
// either side of Fy/Fe = 2.25; provenance: public.
func (t *RoundTube) compressiveStress() (stress float64, formula, clause string) {
	fe := t.Critical / t.ring.Area
	switch {
	case math.IsInf(fe, 1):
		return t.fy, "Fy", "AISC 360-22 E3-2"
	case t.fy/fe <= 2.25:
		return math.Pow(0.658, t.fy/fe) * t.fy, "0.658^(Fy/Fe) Fy", "AISC 360-22 E3-2"
	}
	return 0.877 * fe, "0.877 Fe", "AISC 360-22 E3-3"
}

// effectiveArea returns Ae, m²: less than Ag above D/t = 0.11E/Fy, and never more,
// which E7-7 just above that limit would be. AISC 360-22 E7.2; provenance: the limit
// public, E7-7 memory.
func (t *RoundTube) effectiveArea() float64 {
	if t.ratio() <= 0.11*t.e/t.fy {
		return t.ring.Area
	}
	return math.Min(1, 0.038*t.e/(t.fy*t.ratio())+2.0/3) * t.ring.Area
}
