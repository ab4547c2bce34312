package check

import (
	"math"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/sections"
)

// phiAS is the capacity factor φ of AS 4100 Table 3.4 on members in bending, shear,
// compression and tension; provenance: public, in a table of capacities. That on torsion is
// Australian practice, public.
const phiAS = 0.9

// Limits of λs of a round hollow section in bending: the plasticity limit λsp and the
// yield limit λsy. AS 4100 Table 5.2; provenance: memory.
const (
	plasticityLimitAS = 50
	yieldLimitAS      = 120
)

// yieldLimitAxialAS is λey of a round hollow section in compression. AS 4100 Table 6.2.4;
// provenance: memory.
const yieldLimitAxialAS = 82

// AS4100 is the capacity of a round hollow section of carbon steel to AS 4100, on the wall
// in use. Forces in N, moments in N·m; capacities nominal, φ = 0.9 not in them. Formulas from
// memory, held against public tables in the tests.
//
// Second order is the moment amplification of 4.4 on an elastic analysis, with the elastic
// critical force of the member; that force stands for the effective length of 6.3 too.
// Torsion is outside the standard.
type AS4100 struct {
	amplifier // 4.4.2 with cm = 1; provenance: memory
	roundSection
	lambdaS float64 // λs, 5.2.2
	Ze      float64 // effective section modulus, m³, 5.2.3 to 5.2.5
	formed  forming
	area    float64 // effective area of 6.2.3, m²
	Ms      float64 // section moment capacity, N·m, 5.2.1
	Vv      float64 // shear capacity, N, 5.11.4
	Tu      float64 // torsion, N·m, 0.6 fy C
	Ns      float64 // section capacity in compression, N, 6.2.1
	Nt      float64 // in tension, N, 7.2
	Nc      float64 // member capacity in compression, N, 6.3.3; without buckling as NewAS4100 returns it
}

// forming is how a tube was made, which sets αb. AS 4100 Tables 6.3.3(1) and (2);
// provenance: memory, αb of cold formed tube held against a public table of capacities.
type forming struct {
	alphaB float64
	words  string
}

// formedAS returns αb: -1.0 of a tube whose product standard says that it is hot finished and
// whose wall is stocky, -0.5 otherwise and where nothing says, which is cautious.
func formedAS(m *barrier.Member, kf float64) forming {
	switch {
	case strings.HasPrefix(m.Tube.Standard, "EN 10210") && kf == 1:
		return forming{-1.0, "hot finished, kf = 1"}
	case strings.HasPrefix(m.Tube.Standard, "EN 10210"):
		return forming{-0.5, "hot finished, kf below 1"}
	case strings.HasPrefix(m.Tube.Standard, "AS/NZS 1163"), strings.HasPrefix(m.Tube.Standard, "EN 10219"), strings.HasPrefix(m.Tube.Standard, "ASTM A500"):
		return forming{-0.5, "cold formed"}
	}
	return forming{-0.5, "taken for cold formed: its standard does not say"}
}

// NewAS4100 returns the capacities of a tube. E is the grade's, no more than 200 GPa. AS 4100
// covers a round wall of any slenderness; above λs = 120 its effective modulus falls below the
// elastic one.
func NewAS4100(m *barrier.Member) *AS4100 {
	t := &AS4100{
		amplifier: newAmplifier(1, amplifierWords{
			moment: "M*m", raised: "M*", axial: "N*", critical: "Nom", factor: "δ", clause: "AS 4100 4.4.2",
		}),
		roundSection: newRoundSection(m),
	}
	t.e = math.Min(t.e, sections.ModulusAS4100)
	t.lambdaS = t.ring.OD / t.ring.Wall * t.fy / 250e6
	t.Ze = t.effectiveModulus()
	t.area = t.effectiveArea()
	t.formed = formedAS(m, t.kf())
	t.Ms, t.Vv, t.Tu = t.fy*t.Ze, 0.36*t.fy*t.ring.Area, 0.6*t.fy*t.ring.Wt
	t.Ns, t.Nt = t.fy*t.area, t.fy*t.ring.Area
	if t.fu > 0 {
		t.Nt = math.Min(t.Nt, 0.85*t.fu*t.ring.Area)
	}
	t.setCritical(math.Inf(1))
	return t
}

func newAS4100(m *barrier.Member) (resistance, error) { return NewAS4100(m), nil }

// compactModulus returns Zc = min(S, 1.5Z), m³. AS 4100 5.2.3; provenance: memory.
func (t *AS4100) compactModulus() float64 { return math.Min(t.ring.Wpl, 1.5*t.ring.Wel) }

// effectiveModulus returns Ze, m³: AS 4100 5.2.3 (compact), 5.2.4 (not compact) and 5.2.5
// (slender, round hollow sections); provenance: memory. The three meet at their limits.
func (t *AS4100) effectiveModulus() float64 {
	z, zc := t.ring.Wel, t.compactModulus()
	switch {
	case t.lambdaS <= plasticityLimitAS:
		return zc
	case t.lambdaS <= yieldLimitAS:
		return z + (yieldLimitAS-t.lambdaS)/(yieldLimitAS-plasticityLimitAS)*(zc-z)
	}
	return math.Min(z*math.Sqrt(yieldLimitAS/t.lambdaS), z*math.Pow(2*yieldLimitAS/t.lambdaS, 2))
}

// effectiveDiameter returns de, m. AS 4100 6.2.4; provenance: memory.
func (t *AS4100) effectiveDiameter() float64 {
	share := yieldLimitAxialAS / t.lambdaS // λe of 6.2.3 is λs of 5.2.2
	return t.ring.OD * min(1, math.Sqrt(share), math.Pow(3*share, 2))
}

// effectiveArea returns the area of the wall on the diameter de, m². AS 4100 6.2.3, 6.2.4.
func (t *AS4100) effectiveArea() float64 {
	if de := t.effectiveDiameter(); de < t.ring.OD {
		return math.Pi * (de - t.ring.Wall) * t.ring.Wall
	}
	return t.ring.Area
}

// kf returns the form factor. AS 4100 6.2.2.
func (t *AS4100) kf() float64 { return t.area / t.ring.Area }

// column is the working of AS 4100 6.3.3.
type columnAS struct{ le, lambdaN, alphaA, lambda, eta, xi, alphaC float64 }

// column returns the slenderness reduction factor αc and what leads to it. The effective
// length is that of a pinned bar with the critical force, so that sway is in it: AS 4100 has
// 6.3.3 with le = ke l, 4.6.3. αc is written so that it holds down to no length, where ξ is
// without bound. AS 4100 6.3.3; provenance: memory, held against a public table of 78
// capacities.
func (t *AS4100) column() columnAS {
	var c columnAS
	c.le = math.Pi * math.Sqrt(t.e*t.ring.I/t.Critical)
	c.lambdaN = c.le / t.ring.Radius * math.Sqrt(t.kf()) * math.Sqrt(t.fy/250e6)
	c.alphaA = 2100 * (c.lambdaN - 13.5) / (c.lambdaN*c.lambdaN - 15.3*c.lambdaN + 2050)
	c.lambda = c.lambdaN + c.alphaA*t.formed.alphaB
	c.eta = math.Max(0, 0.00326*(c.lambda-13.5))
	square := (c.lambda / 90) * (c.lambda / 90)
	sum := square + 1 + c.eta
	c.xi = sum / (2 * square)
	// ξ{1 - √[1 - (90/(ξλ))²]} with the difference of two near 1 taken out.
	c.alphaC = math.Min(1, 2/(sum*(1+math.Sqrt(1-4*square/(sum*sum)))))
	return c
}

func (t *AS4100) setCritical(n float64) {
	t.Critical = n
	t.Nc = t.column().alphaC * t.Ns
}

func (t *AS4100) told() told {
	return told{
		factors: "capacity factor φ = 0.90 (AS 4100 Table 3.4)",
		method:  "Compression: the effective length of AS 4100 6.3.3 is that of a pinned bar with the elastic critical force of the member, from a lower bound, sway in it; member buckling is within the interaction (8.4.2). Moments are amplified by 1/(1 - N*/Nom) (4.4). Torsion is outside AS 4100: Australian practice takes φ 0.6 fy C, C = 2J/D; beside bending and shear it is added by a rule of this program.",
		source:  "resistances: AS 4100, clauses as listed, formulas from memory; compression held against a public table of 78 capacities, torsion against a public note of Australian practice in the tests (memory)",
	}
}

// by returns the resistance as it is: φ stands in place of a partial factor.
func (t *AS4100) by(partial) resistance { return t }

func (t *AS4100) upTo(most float64) resistance {
	out := *t
	out.most = most
	return &out
}

func (t *AS4100) recordSection(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	t.recordDiameter("do", r)
	r.step("yield stress of the grade", "fy", t.fy/1e6, "MPa", "", "")
	r.step("capacity factor", "φ", phiAS, "1", "", "AS 4100 Table 3.4")
}

func (t *AS4100) recordMoment(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	r.step("slenderness of the wall", "λs", t.lambdaS, "1", "(do/t) (fy/250)", "AS 4100 5.2.2")
	r.step("elastic section modulus", "Z", t.ring.Wel*1e9, "mm³", "π(do⁴ - (do - 2 t)⁴)/(32 do)", "")
	zc := func() {
		r.step("plastic section modulus", "S", t.ring.Wpl*1e9, "mm³", "(do³ - (do - 2 t)³)/6", "")
		r.step("modulus of a compact section", "Zc", t.compactModulus()*1e9, "mm³", "min(S, 1.5 Z)", "AS 4100 5.2.3")
	}
	switch {
	case t.lambdaS <= plasticityLimitAS:
		zc()
		r.step("effective section modulus, compact: λs not above 50", "Ze", t.Ze*1e9, "mm³", "Zc", "AS 4100 5.2.3")
	case t.lambdaS <= yieldLimitAS:
		zc()
		r.step("effective section modulus, not compact: λs not above 120", "Ze", t.Ze*1e9, "mm³", "Z + ((120 - λs)/70) (Zc - Z)", "AS 4100 5.2.4")
	default:
		r.step("effective section modulus, slender", "Ze", t.Ze*1e9, "mm³", "min(Z √(120/λs), Z (240/λs)²)", "AS 4100 5.2.5")
	}
	r.step("section moment capacity", "Ms", t.Ms, "Nm", "fy Ze", "AS 4100 5.2.1")
	r.step("design section moment capacity", "φMs", phiAS*t.Ms, "Nm", "φ Ms", "AS 4100 5.1")
}

func (t *AS4100) recordShear(s *analysis.State, r *Recorder) {
	r.step("resultant shear", "V*", s.Shear(), "N", "√(Vy² + Vz²)", "")
	r.step("area", "A", t.ring.Area*1e6, "mm²", "π(do - t) t", "")
	r.step("shear capacity", "Vv", t.Vv, "N", "0.36 fy A", "AS 4100 5.11.4")
	r.step("design shear capacity", "φVv", phiAS*t.Vv, "N", "φ Vv", "AS 4100 5.11.1")
}

// practiceAS is what stands in place of a clause on torsion.
const practiceAS = "torsion: outside AS 4100, Australian practice"

func (t *AS4100) recordTorsion(torque float64, r *Recorder) {
	recordTorque(r, "torque", "T*", torque)
	r.step("torsional constant", "C", t.ring.Wt*1e9, "mm³", "π(do⁴ - (do - 2 t)⁴)/(16 do)", practiceAS)
	r.step("torsion capacity", "Tu", t.Tu, "Nm", "0.6 fy C", practiceAS)
	r.step("design torsion capacity", "φTu", phiAS*t.Tu, "Nm", "φ Tu", practiceAS)
}

// Bending is the resultant moment over the design section moment capacity. AS 4100 5.1; a
// round tube does not buckle sideways (5.3.2, 5.6).
func (t *AS4100) Bending(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	return r.verdict(m, phiAS*t.Ms, "Nm", "AS 4100 5.1")
}

// Shear is the resultant shear over the design shear capacity. AS 4100 5.11.4; torsion and
// bending beside it are part of Interaction.
func (t *AS4100) Shear(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordShear(s, r)
	return r.verdict(s.Shear(), phiAS*t.Vv, "N", "AS 4100 5.11.4")
}

// Torsion is the torque over φ 0.6 fy C: no clause of AS 4100.
func (t *AS4100) Torsion(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	torque := torque(s, t.Tu)
	t.recordTorsion(torque, r)
	return r.verdict(torque, phiAS*t.Tu, "Nm", practiceAS)
}

// axial returns the design capacity for the axial force of a state, N, with its symbol and
// clause: the member's in compression, which is no more than the section's, that of 7.2 in
// tension. Compression finds no more than tension does.
func (t *AS4100) axial(s *analysis.State, r *Recorder) (capacity float64, symbol, clause string) {
	if s.N >= 0 {
		r.step("tension", "N*", s.N, "N", "N", "")
		t.recordTension(r)
		return phiAS * t.Nt, "φNt", "AS 4100 8.3.2"
	}
	t.recordColumn(s, r)
	if t.Nt < t.Nc {
		t.recordTension(r)
		return phiAS * t.Nt, "φNt", "AS 4100 8.4.2.2"
	}
	return phiAS * t.Nc, "φNc", "AS 4100 8.4.2.2"
}

// recordTension notes the design capacity in tension.
func (t *AS4100) recordTension(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	r.step("area", "A", t.ring.Area*1e6, "mm²", "π(do - t) t", "")
	formula := "A fy"
	if t.fu > 0 {
		r.step("tensile strength of the grade", "fu", t.fu/1e6, "MPa", "", "")
		formula = "min(A fy, 0.85 A fu)"
	}
	r.step("capacity in tension", "Nt", t.Nt, "N", formula, "AS 4100 7.2")
	r.step("design capacity in tension", "φNt", phiAS*t.Nt, "N", "φ Nt", "AS 4100 7.1")
}

// recordColumn notes the member capacity in compression.
func (t *AS4100) recordColumn(s *analysis.State, r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	c := t.column()
	r.step("compression", "N*", math.Max(0, -s.N), "N", "-N, at least 0", "")
	r.step("area", "A", t.ring.Area*1e6, "mm²", "π(do - t) t", "")
	if t.kf() < 1 {
		r.step("slenderness of the wall", "λe", t.lambdaS, "1", "(do/t) (fy/250)", "AS 4100 6.2.3")
		r.step("effective outside diameter", "de", t.effectiveDiameter()*1e3, "mm", "min(do √(82/λe), do (3 × 82/λe)²)", "AS 4100 6.2.4")
		r.step("effective area", "Ae", t.area*1e6, "mm²", "π(de - t) t", "AS 4100 6.2.3")
		r.step("form factor", "kf", t.kf(), "1", "Ae/A", "AS 4100 6.2.2")
	} else {
		r.step("form factor: the wall is no more slender than λey = 82", "kf", 1, "1", "", "AS 4100 6.2.2, 6.2.4")
	}
	r.step("section capacity", "Ns", t.Ns, "N", "kf A fy", "AS 4100 6.2.1")
	if !math.IsInf(t.Critical, 1) {
		r.step("modulus of elasticity, no more than 200 GPa", "E", t.e/1e6, "MPa", "", "AS 4100 1.4")
		r.step("second moment of area", "I", t.ring.I*1e12, "mm⁴", "π(do⁴ - (do - 2 t)⁴)/64", "")
		r.step("elastic critical force, a lower bound", "Nom", t.Critical, "N", "", "AS 4100 4.6.2")
		r.step("effective length, of a pinned bar with Nom", "le", c.le*1e3, "mm", "π √(E I/Nom)", "AS 4100 6.3.2, 4.6.3")
	} else {
		r.step("effective length", "le", 0, "mm", "", "AS 4100 6.3.2")
	}
	r.step("radius of gyration", "r", t.ring.Radius*1e3, "mm", "√(do² + (do - 2 t)²)/4", "")
	r.step("modified slenderness", "λn", c.lambdaN, "1", "(le/r) √kf √(fy/250)", "AS 4100 6.3.3")
	r.step("member constant, "+t.formed.words, "αb", t.formed.alphaB, "1", "", "AS 4100 Tables 6.3.3(1), (2)")
	r.step("factor of the slenderness", "αa", c.alphaA, "1", "2100 (λn - 13.5)/(λn² - 15.3 λn + 2050)", "AS 4100 6.3.3")
	r.step("slenderness", "λ", c.lambda, "1", "λn + αa αb", "AS 4100 6.3.3")
	r.step("imperfection", "η", c.eta, "1", "max(0, 0.00326 (λ - 13.5))", "AS 4100 6.3.3")
	r.step("factor of the compression curve", "ξ", c.xi, "1", "((λ/90)² + 1 + η)/(2 (λ/90)²)", "AS 4100 6.3.3")
	r.step("slenderness reduction factor", "αc", c.alphaC, "1", "ξ (1 - √(1 - (90/(ξ λ))²)), at most 1", "AS 4100 6.3.3")
	r.step("member capacity", "Nc", t.Nc, "N", "αc Ns", "AS 4100 6.3.3")
	r.step("design member capacity", "φNc", phiAS*t.Nc, "N", "φ Nc", "AS 4100 6.1")
}

// Buckling is compression over the design member capacity. AS 4100 6.1, 6.3.3; bending beside
// it is in Interaction.
func (t *AS4100) Buckling(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordColumn(s, r)
	if s.N >= 0 {
		return r.verdict(0, phiAS*t.Nc, "N", "AS 4100 6.1")
	}
	return r.verdict(-s.N, phiAS*t.Nc, "N", "AS 4100 6.1")
}

// Interaction is the largest of three sums.
//
// Axial force and moment: N*/φN + M*/φMs, with the section's capacity in tension (8.3.2) and
// the member's in compression, which is no more than the section's (8.3.2, 8.4.2.2); the
// moment of a round section is the resultant, in one term. Effective lengths are those of
// sway, where 8.4.2.2 takes ke = 1.0: cautious.
//
// Shear and moment: (V*/φVv + 1.6 M*/φMs)/2.2, which is V* <= φVv (2.2 - 1.6 M*/φMs) of 5.12.3
// written as a sum; below M* = 0.75 φMs it gives way to V* <= φVv.
//
// Torsion, which AS 4100 leaves out, adds t (t + 2v) to the first, t = T*/φTu and v =
// V*/φVv: (v + t)² of AISC 360 H3-6 without the v² that 5.12.3 judges; to v of the second it
// adds t, and v + t is the third. A rule of this program. All grow with each component and
// none jumps.
func (t *AS4100) Interaction(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	moment := t.moment(s, r)
	if math.IsInf(moment, 1) {
		return t.unstable(s, r)
	}
	capacity, symbol, clause := t.axial(s, r)
	torque := torque(s, t.Tu)
	n, m, v, tt := math.Abs(s.N)/capacity, moment/(phiAS*t.Ms), s.Shear()/(phiAS*t.Vv), torque/(phiAS*t.Tu)
	sums := [3]float64{n + m + tt*(tt+2*v), (v + tt + 1.6*m) / 2.2, v + tt}
	if r == nil {
		return max(sums[0], sums[1], sums[2])
	}
	t.recordShear(s, r)
	clauses := [3]string{clause, "AS 4100 5.12.3", "AS 4100 5.11.4"}
	formulas := [3]string{"N*/" + symbol + " + M*/φMs", "(V*/φVv + 1.6 M*/φMs)/2.2", "V*/φVv"}
	if torque > 0 {
		t.recordTorsion(torque, r)
		for i := range clauses {
			clauses[i] += "; " + practiceAS
		}
		formulas = [3]string{formulas[0] + " + (T*/φTu) (T*/φTu + 2 V*/φVv)", "(V*/φVv + T*/φTu + 1.6 M*/φMs)/2.2", "V*/φVv + T*/φTu"}
	}
	return recordLargest(r, sums, formulas, clauses)
}

// recordLargest notes the sums of an interaction, and the largest as its verdict.
func recordLargest(r *Recorder, sums [3]float64, formulas, clauses [3]string) float64 {
	at := 0
	for i, what := range [3]string{"axial force and moment", "shear and moment", "shear and torsion"} {
		if clauses[i] == "" {
			continue
		}
		r.step("sum of the ratios, "+what, [3]string{"sum1", "sum2", "sum3"}[i], sums[i], "1", formulas[i], clauses[i])
		if sums[i] > sums[at] {
			at = i
		}
	}
	return r.verdict(sums[at], 1, "1", clauses[at])
}

// Yield is the equivalent stress at the outer fibre over the yield stress, under the actions
// as they are: no clause of AS 4100. All stresses as if at one point, which is cautious.
func (t *AS4100) Yield(s *analysis.State, r *Recorder) float64 {
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	y := yielding{diameter: "do", modulus: "Z", torsional: "C", strength: "fy", moment: "M*", clause: "first yield on elastic stresses, no clause of AS 4100"}
	return y.judge(s, m, &t.roundSection, r)
}
