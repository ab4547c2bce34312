package check

import (
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/sections"
)

// yielding is what first yield of a tube is judged by, in the words of a code.
type yielding struct {
	diameter, modulus, torsional, strength string // symbols: D, Wel, Wt, fo
	moment                                 string // of the moment with second order: MEd
	clause                                 string
}

// judge returns the equivalent stress at the outer fibre over the yield strength in Pa, all
// stresses as if at one point, which is cautious; moment is that of second order, N·m.
func (y *yielding) judge(s *analysis.State, moment float64, t *roundSection, r *Recorder) float64 {
	sigma, tau := outerFibre(&t.ring, s, moment)
	equivalent := math.Sqrt(sigma*sigma + 3*tau*tau)
	if r.keepsSteps() {
		d := y.diameter
		t.recordDiameter(d, r)
		r.step("area", "A", t.ring.Area*1e6, "mm²", "π ("+d+" - t) t", "")
		r.step("elastic section modulus", y.modulus, t.ring.Wel*1e9, "mm³", "π ("+d+"⁴ - ("+d+" - 2 t)⁴) / (32 "+d+")", "")
		r.step("torsional section modulus", y.torsional, t.ring.Wt*1e9, "mm³", "2 "+y.modulus, "")
		r.step("resultant shear", "V", s.Shear(), "N", "√(Vy² + Vz²)", "")
		r.step("stress along the tube", "σ", sigma/1e6, "MPa", "|N| / A + "+y.moment+" / "+y.modulus, y.clause)
		r.step("shear stress", "τ", tau/1e6, "MPa", "|T| / ("+y.torsional+") + 2 V / A", y.clause)
		r.step("equivalent stress", "σeq", equivalent/1e6, "MPa", "√(σ² + 3 τ²)", y.clause)
		r.step("yield strength", y.strength, t.fy/1e6, "MPa", "", "")
	}
	return r.verdict(equivalent/1e6, t.fy/1e6, "MPa", y.clause)
}

// roundSection is a round tube with the strengths of its grade.
type roundSection struct {
	name   string
	ring   sections.Ring
	fy, fu float64 // yield or proof strength and tensile strength, Pa
	e      float64 // modulus of elasticity, Pa
}

func newRoundSection(m *barrier.Member) roundSection {
	return roundSection{name: m.Name, ring: m.Ring, fy: m.Grade.Fy, fu: m.Grade.Fu, e: m.Grade.E}
}

// recordDiameter notes the size of the tube, its diameter as a code calls it.
func (t *roundSection) recordDiameter(symbol string, r *Recorder) {
	r.step("outside diameter", symbol, t.ring.OD*1e3, "mm", "", "")
	r.step("wall in use", "t", t.ring.Wall*1e3, "mm", "", "")
}

func (t *roundSection) recordArea(r *Recorder) {
	r.step("area", "A", t.ring.Area*1e6, "mm²", "π (D - t) t", "")
}
