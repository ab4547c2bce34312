package check

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/sections"
)

// The partial factor of EN 1993-1-1:2005 6.1(1), recommended value; provenance:
// memory.
const gammaM0 = 1.0

var sqrt3 = math.Sqrt(3)

// negligibleAxial is the part of the critical force below which buckling may be
// left alone, EN 1993-1-1:2005 6.3.1.2(4); provenance: memory.
const negligibleAxial = 0.04

// Second order counts from the first and must be analysed from the second
// amplification on; rules of this program.
const (
	amplifyFrom = 1.01
	amplifyTo   = 1.10
)

// Tube is the resistance of a round steel tube to EN 1993-1-1:2005: a section
// of class 1, 2 or 3, on the wall in use. Forces in N, moments in N·m.
type Tube struct {
	name     string
	ring     sections.Ring
	fy       float64 // Pa
	epsilon  float64
	class    int
	NRd      float64 // 6.2.4(2) and 6.2.3(2), plastic
	MRd      float64 // 6.2.5(2)
	VRd      float64 // 6.2.6(2), Av = 2A/π
	TRd      float64 // 6.2.7(1), elastic at the outer fibre
	Critical float64 // elastic critical axial force of the member, N
	most     float64 // the factor of second order on moments, at most
	gamma    partial // by which the resistances are divided
}

// ClassError is a tube too thin for the method.
type ClassError struct {
	Tube        string
	Slenderness float64 // d/t
	Limit       float64
	Clause      string
}

func (e *ClassError) Error() string {
	return fmt.Sprintf("%s: d/t = %.1f is above %.1f: %s", e.Tube, e.Slenderness, e.Limit, e.Clause)
}

// NewTube returns the resistances of a tube. It returns a *ClassError for class
// 4. Source: EN 1993-1-1:2005 Table 5.2 sheet 3 and 6.2; provenance: memory,
// held against published worked examples in the tests.
func NewTube(m *barrier.Member) (*Tube, error) {
	t := &Tube{name: m.Name, fy: m.Grade.Fy, ring: m.Ring, gamma: recommended}
	t.epsilon = math.Sqrt(235e6 / t.fy)
	e2 := t.epsilon * t.epsilon
	switch slenderness := t.ring.OD / t.ring.Wall; {
	case slenderness <= 50*e2:
		t.class = 1
	case slenderness <= 70*e2:
		t.class = 2
	case slenderness <= 90*e2:
		t.class = 3
	default:
		return nil, &ClassError{m.Name, slenderness, 90 * e2, "class 4, which EN 1993-1-1 Table 5.2 sends to EN 1993-1-6"}
	}
	w := t.ring.Wpl
	if t.class == 3 {
		w = t.ring.Wel
	}
	t.MRd = w * t.fy / gammaM0
	t.NRd = t.ring.Area * t.fy / gammaM0
	t.VRd = 2 * t.ring.Area / math.Pi * (t.fy / sqrt3) / gammaM0
	t.TRd = t.ring.Wt * (t.fy / sqrt3) / gammaM0
	t.Critical, t.most = math.Inf(1), math.Inf(1)
	return t, nil
}

// by returns the resistance with another partial factor. First yield has none.
func (t *Tube) by(g partial) resistance { return t.divided(g) }

func (t *Tube) divided(g partial) *Tube {
	out, k := *t, t.gamma.value/g.value
	out.gamma = g
	for _, resistance := range [...]*float64{&out.NRd, &out.MRd, &out.VRd, &out.TRd} {
		*resistance *= k
	}
	return &out
}

// amplificationAt returns 1/(1 - n) for n = N/Ncr from amplifyFrom on: no bound from
// n = 1 on. Just below, it rises from 1, so that no utilisation jumps where a load moves or
// turns: a search climbs no jumps, and a root is not found on one.
func amplificationAt(n float64) float64 {
	const (
		from = 1 - 1/amplifyFrom // of Ncr
		rise = 0.8 * from        // where it begins to rise
	)
	switch {
	case n >= 1:
		return math.Inf(1)
	case n >= from:
		return 1 / (1 - n)
	case n > rise:
		return 1 + (amplifyFrom-1)*(n-rise)/(from-rise)
	}
	return 1
}

// ofCritical returns N/Ncr of a compression in N: moments are raised by 1/(1 - N/Ncr).
// EN 1993-1-1:2005 5.2.2(5), expression (5.4); provenance: memory.
func (t *Tube) ofCritical(compression float64) float64 { return compression / t.Critical }

func (t *Tube) setCritical(n float64) { t.Critical = n }

func (t *Tube) upTo(most float64) resistance {
	out := *t
	out.most = most
	return &out
}

// moment returns the design resultant moment, N·m; no bound where a moment meets
// an axial force of the critical one or more.
func (t *Tube) moment(s *analysis.State, r *Recorder) float64 {
	m, k := s.Moment(), math.Min(amplification(t, s), t.most)
	r.step("MEd", m, "Nm", "√(My² + Mz²)", "EN 1993-1-1 6.2.9.1(6)")
	if math.IsInf(k, 1) {
		return k // beyond the critical force nothing stands, with a moment or without
	}
	if k > 1 {
		m *= k
		r.step("MEd,2", m, "Nm", "MEd / (1 - NEd/Ncr)", "EN 1993-1-1 5.2.2(5)")
	}
	return m
}

// unstable notes a compression beyond the critical force.
func (t *Tube) unstable(s *analysis.State, r *Recorder) float64 {
	r.step("Ncr", t.Critical, "N", "elastic critical force, lower bound", "EN 1993-1-1 5.2.2(5)")
	r.verdict(-s.N, t.Critical, "N", "EN 1993-1-1 5.2.2(5): NEd above Ncr")
	return math.Inf(1)
}

func (t *Tube) recordSection(r *Recorder) {
	if r == nil {
		return
	}
	r.step("d", t.ring.OD*1e3, "mm", "outside diameter", "")
	r.step("t", t.ring.Wall*1e3, "mm", "wall in use", "")
	r.step("fy", t.fy/1e6, "MPa", "yield strength of the grade", "")
	r.step("ε", t.epsilon, "1", "√(235/fy)", "EN 1993-1-1 Table 5.2")
	r.step("d/t", t.ring.OD/t.ring.Wall, "1", fmt.Sprintf("class %d (limits 50ε², 70ε², 90ε²)", t.class), "EN 1993-1-1 Table 5.2 sheet 3")
	r.step("γM0", t.gamma.value, "1", t.gamma.why, t.gamma.clause)
}

func (t *Tube) recordMoment(r *Recorder) {
	if r == nil {
		return
	}
	if t.class == 3 {
		r.step("Wel", t.ring.Wel*1e9, "mm³", "π(d⁴ - (d-2t)⁴)/(32 d)", "")
		r.step("Mc,Rd", t.MRd, "Nm", "Wel fy / γM0", "EN 1993-1-1 6.2.5(2) (6.14)")
		return
	}
	r.step("Wpl", t.ring.Wpl*1e9, "mm³", "(d³ - (d-2t)³)/6", "")
	r.step("Mc,Rd", t.MRd, "Nm", "Wpl fy / γM0", "EN 1993-1-1 6.2.5(2) (6.13)")
}

// Bending is the resultant moment over the bending resistance.
// EN 1993-1-1:2005 6.2.5, expressions (6.12) to (6.14).
func (t *Tube) Bending(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	return r.verdict(m, t.MRd, "Nm", "EN 1993-1-1 6.2.5")
}

// roundedTorque is the part of the torsion resistance up to which a torque is rounding.
const roundedTorque = 1e-9

// torque returns the torque of a state, N·m, 0 where it is rounding beside the resistance
// to it.
func torque(s *analysis.State, resistance float64) float64 {
	if t := math.Abs(s.T); t > roundedTorque*resistance {
		return t
	}
	return 0
}

// Torsion is the torque over the elastic torsion resistance.
// EN 1993-1-1:2005 6.2.7(1), expression (6.23).
func (t *Tube) Torsion(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	r.step("Wt", t.ring.Wt*1e9, "mm³", "2 Wel", "")
	r.step("TRd", t.TRd, "Nm", "Wt (fy/√3) / γM0", "EN 1993-1-1 6.2.7(1)")
	T := torque(s, t.TRd)
	r.step("TEd", T, "Nm", "torque", "")
	return r.verdict(T, t.TRd, "Nm", "EN 1993-1-1 6.2.7")
}

// shearResistance returns the shear resistance that torsion leaves.
// EN 1993-1-1:2005 6.2.6(2) and (3)g, 6.2.7(9), expression (6.28).
func (t *Tube) shearResistance(s *analysis.State, r *Recorder) float64 {
	r.step("Av", 2*t.ring.Area/math.Pi*1e6, "mm²", "2A/π", "EN 1993-1-1 6.2.6(3)g")
	r.step("Vpl,Rd", t.VRd, "N", "Av (fy/√3) / γM0", "EN 1993-1-1 6.2.6(2) (6.18)")
	T := torque(s, t.TRd)
	if T == 0 {
		return t.VRd
	}
	r.step("TEd", T, "Nm", "torque", "")
	r.step("TRd", t.TRd, "Nm", "Wt (fy/√3) / γM0", "EN 1993-1-1 6.2.7(1)")
	v := (1 - T/t.TRd) * t.VRd
	r.step("Vpl,T,Rd", v, "N", "[1 - τt,Ed/((fy/√3)/γM0)] Vpl,Rd, τt,Ed = TEd/Wt", "EN 1993-1-1 6.2.7(9) (6.28)")
	return v
}

// Shear is the resultant shear over the shear resistance that torsion leaves.
// EN 1993-1-1:2005 6.2.6, 6.2.7(9).
func (t *Tube) Shear(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	clause := "EN 1993-1-1 6.2.6"
	if torque(s, t.TRd) > 0 {
		clause = "EN 1993-1-1 6.2.7(9)"
	}
	resistance := t.shearResistance(s, r)
	r.step("VEd", s.Shear(), "N", "√(Vy² + Vz²)", "")
	return r.verdict(s.Shear(), resistance, "N", clause)
}

// Interaction is bending with axial force and shear: MEd/MV,Rd + n^1.7 for class
// 1 and 2, which is MEd <= MV,Rd (1 - n^1.7) written as a sum; MEd/MV,Rd + n for
// class 3. MV,Rd is the moment resistance that shear above half its resistance
// leaves. EN 1993-1-1:2005 6.2.8, 6.2.9.1 (round tubes with AC:2009), 6.2.9.2,
// 6.2.10; provenance: memory.
func (t *Tube) Interaction(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	v, resistance := s.Shear(), t.shearResistance(s, r)
	mv := t.MRd
	if v > 0.5*resistance {
		rho := math.Inf(1)
		if resistance > 0 {
			rho = (2*v/resistance - 1) * (2*v/resistance - 1)
		}
		mv = math.Max(0, 1-rho) * t.MRd
		r.step("ρ", rho, "1", "(2 VEd/Vpl,T,Rd - 1)²", "EN 1993-1-1 6.2.8(3) (6.29)")
		r.step("MV,Rd", mv, "Nm", "(1 - ρ) Mc,Rd", "EN 1993-1-1 6.2.8(3)")
	}
	n := math.Abs(s.N) / t.NRd
	r.step("VEd", v, "N", "√(Vy² + Vz²)", "")
	r.step("NEd", s.N, "N", "axial force, tension positive", "")
	r.step("NRd", t.NRd, "N", "A fy / γM0", "EN 1993-1-1 6.2.4(2)")
	r.step("n", n, "1", "|NEd| / (A fy/γM0)", "EN 1993-1-1 6.2.4(2)")
	axial, clause, formula := math.Pow(n, 1.7), "EN 1993-1-1 6.2.9.1, 6.2.10", "MEd/MV,Rd + n^1.7"
	if t.class == 3 {
		axial, clause, formula = n, "EN 1993-1-1 6.2.9.2, 6.2.10", "MEd/MV,Rd + n"
	}
	sum := axial
	if m > 1e-9*t.MRd { // below that it is rounding
		sum += m / mv // no bound where nothing is left
	}
	if math.IsInf(sum, 1) {
		return r.boundless(s.Moment(), "Nm", clause)
	}
	r.step("sum", sum, "1", formula, clause)
	return r.verdict(sum, 1, "1", clause)
}

// Yield is the equivalent stress at the outer fibre over the yield strength: all
// stresses as if at one point, which is cautious. EN 1993-1-1:2005 6.2.1(5),
// expression (6.1), on elastic properties; peak shear stress 2V/A.
func (t *Tube) Yield(s *analysis.State, r *Recorder) float64 {
	sigma, tau := outerFibre(&t.ring, s, t.moment(s, r))
	equivalent := math.Sqrt(sigma*sigma + 3*tau*tau)
	if math.IsInf(equivalent, 1) {
		return t.unstable(s, r)
	}
	if r != nil {
		t.recordSection(r)
		r.step("A", t.ring.Area*1e6, "mm²", "π(d - t)t", "")
		r.step("Wel", t.ring.Wel*1e9, "mm³", "π(d⁴ - (d-2t)⁴)/(32 d)", "")
		r.step("Wt", t.ring.Wt*1e9, "mm³", "2 Wel", "")
		r.step("N", s.N, "N", "axial force, tension positive", "")
		r.step("V", s.Shear(), "N", "√(Vy² + Vz²)", "")
		r.step("T", s.T, "Nm", "torque", "")
		r.step("σ", sigma/1e6, "MPa", "|N|/A + M/Wel", "EN 1993-1-1 6.2.1(5)")
		r.step("τ", tau/1e6, "MPa", "|T|/Wt + 2V/A", "EN 1993-1-1 6.2.6(4), 6.2.7")
		r.step("σeq", equivalent/1e6, "MPa", "√(σ² + 3τ²)", "EN 1993-1-1 6.2.1(5) (6.1)")
	}
	return r.verdict(equivalent/1e6, t.fy/gammaM0/1e6, "MPa", "EN 1993-1-1 6.2.1(5)")
}

// postCritical returns the elastic critical force of a post of height h on a foot
// of rotational stiffness k, N: 1/Ncr = 1/(π²EI/4h²) + 1/(k/h), after Dunkerley,
// which is below the true one. Timoshenko and Gere, Theory of Elastic
// Stability, 2nd ed., 2.1; provenance: memory.
func postCritical(ei, h, k float64) float64 {
	inverse := 4 * h * h / (math.Pi * math.Pi * ei)
	if !math.IsInf(k, 1) {
		inverse += h / k
	}
	return 1 / inverse
}

// railCritical returns an elastic critical force of a rail, N, the least of its
// bays and overhangs and below the true one (Dunkerley: the reciprocals of the critical
// forces of each way to give, alone, are summed):
//   - a bay as a column between posts that stand still, π²EI/L²;
//   - an overhang a as a column built in at its post, π²EI/4a²;
//   - the rail on posts of lateral stiffness k: √(k EI/L) for a continuous one,
//     that of a long beam with a free end on a foundation k/L; k L/4 for a chain
//     of stiff bays hinged at each post (Engesser), and the lower of the two beside
//     a corner, where the rail is hinged; a wall counts as a post;
//   - where a splice hinges a bay at a from one post and b from the other, the
//     kink there held by the two overhangs, K a b/(a + b), K the sum of
//     3EI/(a²(a + L')), L' the bay behind, nothing where there is none;
//   - an overhang a turning on the bay L behind it, hinged at its far end: 3EI/(a L).
//
// Timoshenko and Gere, Theory of Elastic Stability, 2nd ed., 2.1, 2.6, 2.10;
// Hetényi, Beams on Elastic Foundation, chapter 7; statics; provenance: memory.
func railCritical(ei, post float64, run *barrier.Run, joints barrier.Joints) float64 {
	supports, least := run.Supports(), math.Inf(1)
	for _, stretch := range run.Stretches() {
		of := supports[stretch.First : stretch.Last+1]
		overhangs := [2]float64{of[0] - stretch.From, stretch.To - of[len(of)-1]}
		hinged := [2]bool{isCorner(run, stretch.First), isCorner(run, stretch.Last)}
		least = math.Min(least, stretchCritical(ei, post, of, overhangs, hinged, joints))
	}
	return least
}

// isCorner reports whether a support, from 0, is a post at a corner.
func isCorner(run *barrier.Run, support int) bool {
	post := support - run.PostSupport(0)
	return post >= 0 && post < len(run.Posts) && run.IsCorner(post)
}

// stretchCritical is railCritical of one stretch of a rail, on these supports, with these
// overhangs, m, and hinged at those ends that are corners.
func stretchCritical(ei, post float64, supports []float64, overhangs [2]float64, hinged [2]bool, joints barrier.Joints) float64 {
	last := len(supports) - 1
	least := math.Inf(1)
	swaying := func(i int, bay float64) float64 {
		chain, beam := 4/(post*bay), 1/math.Sqrt(post*ei/bay)
		switch {
		case joints.Cut:
			return chain
		case i == 0 && hinged[0] || i == last-1 && hinged[1]:
			return math.Max(chain, beam)
		}
		return beam
	}
	for i := range last {
		bay := supports[i+1] - supports[i]
		inverse := bay*bay/(math.Pi*math.Pi*ei) + swaying(i, bay)
		for _, x := range joints.Splices {
			if x > supports[i] && x < supports[i+1] {
				inverse += 1 / kinkCritical(ei, supports, i, x)
			}
		}
		least = math.Min(least, 1/inverse)
	}
	for end, i := range [2]int{0, last - 1} {
		bay := supports[i+1] - supports[i]
		if a := overhangs[end]; a > 0 {
			inverse := 4*a*a/(math.Pi*math.Pi*ei) + a*bay/(3*ei) + swaying(i, bay)
			least = math.Min(least, 1/inverse)
		}
	}
	return least
}

// kinkCritical returns the critical force of the kink at a splice at x in bay i.
func kinkCritical(ei float64, posts []float64, i int, x float64) float64 {
	a, b := x-posts[i], posts[i+1]-x
	held := 0.0
	if i > 0 {
		held += 3 * ei / (a * a * (a + posts[i] - posts[i-1]))
	}
	if i+2 < len(posts) {
		held += 3 * ei / (b * b * (b + posts[i+2] - posts[i+1]))
	}
	return held * a * b / (a + b)
}

// postStiffness returns the lateral stiffness of a lone post at height h on a
// foot of stiffness k, N/m: 1/(h³/3EI + h²/k).
func postStiffness(ei, h, k float64) float64 { return 1 / (h*h*h/(3*ei) + h*h/k) }
