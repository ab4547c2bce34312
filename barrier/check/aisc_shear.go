package check

import "math"

// shearBuckling is the critical stress of a round wall under shear, Pa: the larger
// of what a long and a moderate member give, no more than 0.6Fy.
type shearBuckling struct{ moderate, long, critical float64 }

// buckling returns the critical stress with the two coefficients of a clause.
func (t *RoundTube) buckling(moderate, long float64) shearBuckling {
	ratio := t.ratio()
	b := shearBuckling{
		moderate: moderate * t.e / (math.Sqrt(t.length/t.ring.OD) * math.Pow(ratio, 5.0/4)),
		long:     long * t.e / math.Pow(ratio, 3.0/2),
	}
	b.critical = math.Min(math.Max(b.moderate, b.long), 0.6*t.fy)
	return b
}

// shearStress returns Fcr of AISC 360-22 G5-2a and G5-2b; provenance: public.
func (t *RoundTube) shearStress() shearBuckling { return t.buckling(1.60, 0.78) }

// torsionStress returns Fcr of AISC 360-22 H3-2a and H3-2b; provenance: public.
func (t *RoundTube) torsionStress() shearBuckling { return t.buckling(1.23, 0.60) }

// nominalShear returns Vn = Fcr Ag/2, N. AISC 360-22 G5-1; provenance: public.
func (t *RoundTube) nominalShear() float64 { return t.shearStress().critical * t.ring.Area / 2 }

// nominalTorsion returns Tn = Fcr C, N·m, with C = 2J/D at the outer fibre, which
// the tables of the AISC Manual hold; π(D - t)²t/2 is larger. AISC 360-22 H3-1;
// provenance: public.
func (t *RoundTube) nominalTorsion() float64 { return t.torsionStress().critical * t.ring.Wt }

func (t *RoundTube) recordShear(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	b := t.shearStress()
	r.step("distance from largest to no shear: the whole member", "Lv", t.length*1e3, "mm", "", "")
	r.step("critical stress of a moderate length", "Fcr,a", b.moderate/1e6, "MPa", "1.60E / (√(Lv/D) (D/t)^(5/4))", "AISC 360-22 G5-2a")
	r.step("critical stress of a long tube", "Fcr,b", b.long/1e6, "MPa", "0.78E / (D/t)^(3/2)", "AISC 360-22 G5-2b")
	r.step("critical stress", "Fcr", b.critical/1e6, "MPa", "the larger of Fcr,a and Fcr,b, at most 0.6Fy", "AISC 360-22 G5")
	r.step("gross area", "Ag", t.ring.Area*1e6, "mm²", "π(D - t)t", "")
	r.step("nominal shear strength", "Vn", t.Vn, "N", "Fcr Ag / 2", "AISC 360-22 G5-1")
	t.safety.record(r, "v", "Vn", "Vc", t.Vc, "N", "AISC 360-22 G1")
}

func (t *RoundTube) recordTorsion(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	b := t.torsionStress()
	r.step("length of the member", "L", t.length*1e3, "mm", "", "")
	r.step("critical stress of a moderate length", "Fcr,a", b.moderate/1e6, "MPa", "1.23E / (√(L/D) (D/t)^(5/4))", "AISC 360-22 H3-2a")
	r.step("critical stress of a long tube", "Fcr,b", b.long/1e6, "MPa", "0.60E / (D/t)^(3/2)", "AISC 360-22 H3-2b")
	r.step("critical stress", "Fcr", b.critical/1e6, "MPa", "the larger of Fcr,a and Fcr,b, at most 0.6Fy", "AISC 360-22 H3.1")
	t.recordConstant(r)
	r.step("nominal torsional strength", "Tn", t.Tn, "Nm", "Fcr C", "AISC 360-22 H3-1")
	t.safety.record(r, "T", "Tn", "Tc", t.Tc, "Nm", "AISC 360-22 H3.1")
}

func (t *RoundTube) recordConstant(r *Recorder) {
	r.step("St Venant constant", "J", 2*t.ring.I*1e12, "mm⁴", "π(D⁴ - (D - 2t)⁴)/32", "")
	r.step("torsional constant", "C", t.ring.Wt*1e9, "mm³", "2J/D", "AISC 360-22 H3.1")
}
