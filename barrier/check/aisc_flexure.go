package check

import (
	"fmt"
	"math"
)

// slenderness is the class of a wall in bending, AISC 360-22 Table B4.1b case 20.
type slenderness string

const (
	compact    slenderness = "compact"
	noncompact slenderness = "noncompact"
	slender    slenderness = "slender"
)

// flexuralSlenderness returns the class by λp = 0.07E/Fy and λr = 0.31E/Fy.
// AISC 360-22 Table B4.1b case 20; provenance: λp public, λr memory.
func (t *RoundTube) flexuralSlenderness() slenderness {
	switch ratio := t.ratio(); {
	case ratio <= 0.07*t.e/t.fy:
		return compact
	case ratio <= 0.31*t.e/t.fy:
		return noncompact
	}
	return slender
}

// nominalMoment returns Mn, N·m: the plastic moment, which local buckling lowers in
// a wall that is not compact. AISC 360-22 F8-1 to F8-4; provenance: F8-1 public, the
// rest memory, F8-2 held against a published table in the tests.
func (t *RoundTube) nominalMoment() float64 {
	plastic := t.fy * t.ring.Wpl
	switch t.slenderness {
	case noncompact:
		return math.Min(plastic, (0.021*t.e/t.ratio()+t.fy)*t.ring.Wel)
	case slender:
		return math.Min(plastic, t.flexuralBuckling()*t.ring.Wel)
	}
	return plastic
}

// flexuralBuckling returns Fcr of a slender wall, Pa. AISC 360-22 F8-4.
func (t *RoundTube) flexuralBuckling() float64 { return 0.33 * t.e / t.ratio() }

func (t *RoundTube) recordMoment(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	r.step(fmt.Sprintf("slenderness of the wall: %s", t.slenderness), "D/t", t.ratio(), "1", "D/t", "AISC 360-22 Table B4.1b case 20")
	r.step("limit for a compact wall", "λp", 0.07*t.e/t.fy, "1", "0.07E/Fy", "AISC 360-22 Table B4.1b case 20")
	r.step("limit for a noncompact wall", "λr", 0.31*t.e/t.fy, "1", "0.31E/Fy", "AISC 360-22 Table B4.1b case 20")
	r.step("plastic section modulus", "Z", t.ring.Wpl*1e9, "mm³", "(D³ - (D - 2t)³)/6", "")
	if t.slenderness != compact {
		r.step("elastic section modulus", "S", t.ring.Wel*1e9, "mm³", "π(D⁴ - (D - 2t)⁴)/(32 D)", "")
	}
	switch t.slenderness {
	case compact:
		r.step("nominal flexural strength", "Mn", t.Mn, "Nm", "Fy Z", "AISC 360-22 F8-1")
	case noncompact:
		r.step("nominal flexural strength", "Mn", t.Mn, "Nm", "(0.021E/(D/t) + Fy) S, at most Fy Z", "AISC 360-22 F8-2")
	case slender:
		r.step("critical stress", "Fcr", t.flexuralBuckling()/1e6, "MPa", "0.33E/(D/t)", "AISC 360-22 F8-4")
		r.step("nominal flexural strength", "Mn", t.Mn, "Nm", "Fcr S, at most Fy Z", "AISC 360-22 F8-3")
	}
	t.safety.record(r, "b", "Mn", "Mc", t.Mc, "Nm", "AISC 360-22 F1")
}
