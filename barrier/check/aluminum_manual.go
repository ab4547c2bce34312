package check

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// aluminiumSafety is how a basis makes a nominal strength by the Aluminum Design Manual an
// available one, of building-type structures: on yielding and buckling, and on rupture. ADM
// 2020 E.1, F.1, G.1, H.1, D.1; provenance: memory.
type aluminiumSafety struct {
	symbol            string // φ multiplies, Ω divides
	yielding, rupture float64
	alpha             float64 // on the axial force in second order, C.2
}

func aluminiumSafetyOf(basis loads.Basis) aluminiumSafety {
	switch basis {
	case loads.BasisLRFD:
		return aluminiumSafety{"φ", 0.90, 0.75, 1.0}
	case loads.BasisASD:
		return aluminiumSafety{"Ω", 1.65, 1.95, 1.6}
	}
	panic(fmt.Sprintf("check: %q is no basis of the Aluminum Design Manual", basis))
}

func (f *aluminiumSafety) available(nominal, factor float64) float64 {
	if f.symbol == "Ω" {
		return nominal / factor
	}
	return nominal * factor
}

// lesser returns the available strength of two limit states.
func (f *aluminiumSafety) lesser(yielding, rupture float64) float64 {
	return math.Min(f.available(yielding, f.yielding), f.available(rupture, f.rupture))
}

// bucklingConstants are those of a buckling formula, B - D x up to the intersection C.
type bucklingConstants struct {
	B, D float64 // Pa
	C    float64
}

// aluminumConstants are the buckling constants of ADM 2020 Table B.4.2, of artificially aged
// tempers (T5 to T9): of members and of shear, of a round wall pressed evenly and bent. Their
// κ is 1 ksi. Provenance: memory; of 6061-T6 held against the values that handbooks print
// (from memory too).
type aluminumConstants struct {
	member, shear bucklingConstants
	wall, bent    bucklingConstants
}

func newAluminumConstants(fcy, fsy, e float64) aluminumConstants {
	const kappa = sections.ModulusAISC / 29_000 // 1 ksi, Pa
	member := func(strength, over, power float64) bucklingConstants {
		b := strength * (1 + math.Pow(strength/(over*kappa), power))
		d := b / 10 * math.Sqrt(b/e)
		return bucklingConstants{b, d, 0.41 * b / d}
	}
	round := func(strength, over float64) bucklingConstants {
		b := strength * (1 + math.Pow(fcy/(50_000*kappa), 1.0/5))
		return bucklingConstants{B: b, D: b / over * math.Cbrt(b/e)}
	}
	k := aluminumConstants{
		member: member(fcy, 2250, 1.0/2), shear: member(fsy, 800, 1.0/3),
		wall: round(fcy, 4.5), bent: round(1.5*fcy, 2.7),
	}
	k.bent.C = math.Pow((k.bent.B-k.wall.B)/(k.bent.D-k.wall.D), 2)
	return k
}

// AluminumTube is the resistance of a round tube of aluminium to the Aluminum Design Manual,
// 2020 edition (2015 has the same structure): LRFD or ASD, unwelded, on the nominal wall.
// Forces in N, moments in N·m. All of it from memory. Critical, the elastic critical axial force
// of the member, N, is +Inf until it is set: nothing buckles.
type AluminumTube struct {
	amplifier
	roundSection
	length float64 // m
	safety aluminiumSafety
	k      aluminumConstants

	Mnp, Mnu, Mnb float64 // nominal moments of yielding, rupture, local buckling, N·m: F.2, F.3
	Fsv, Fst      float64 // stress of shear and of torsion, Pa: G.4, H.2
	Mc, Vc, Tc    float64 // available strengths, φ or Ω in them: flexural, N·m; shear, N; torsional, N·m
	Pt            float64 // available tensile strength, N
	Pl            float64 // available strength in compression of the wall alone, N; member buckling is worked out by Buckling
}

func newAluminumManual(m *barrier.Member, basis loads.Basis, length float64) (resistance, error) {
	return NewAluminumTube(m, basis, length)
}

// NewAluminumTube returns the resistances of a tube of aluminium on a basis, LRFD or ASD. Its
// length, m, is the one of G.4 and H.2: that of the whole member is cautious.
//
// Errors: *ClassError where the wall is so thin that it bends like one pressed evenly,
// *UncoveredError for a grade without tensile strength. It panics on another basis and on a
// length that is not positive.
func NewAluminumTube(m *barrier.Member, basis loads.Basis, length float64) (*AluminumTube, error) {
	if !(length > 0) {
		panic(fmt.Sprintf("check: a member %v m long", length))
	}
	t := &AluminumTube{roundSection: newRoundSection(m), length: length, safety: aluminiumSafetyOf(basis)}
	t.amplifier = newAmplifier(t.safety.alpha, amplifierWords{
		moment: "M1", raised: "Mr", axial: "Pr", alpha: "α", critical: "Pe", factor: "kII", clause: "ADM 2020 C.2",
	})
	if !(t.fu > 0) {
		return nil, &UncoveredError{m.Name, m.Grade.Material, basis, "ADM 2020 F.2 asks for the tensile strength, and grade " + m.Grade.Name + " has none"}
	}
	t.k = newAluminumConstants(t.fy, t.fsy(), t.e)
	if t.slenderness() > t.k.bent.C {
		// Rb/t = (d/t - 1)/2
		return nil, &ClassError{m.Name, t.ring.OD / t.ring.Wall, 2*t.k.bent.C + 1, "from where on walls buckle as ADM 2020 B.5.4.5 has it, which is not supported yet"}
	}
	t.nominal()
	return t, nil
}

// nominal works the strengths out.
func (t *AluminumTube) nominal() {
	t.Mnp = math.Min(t.ring.Wpl*t.fy, 1.5*t.ring.Wel*t.fy)
	t.Mnu = t.ring.Wpl * t.fu
	t.Mnb = (t.k.bent.B - t.k.bent.D*math.Sqrt(t.slenderness())) * t.ring.Wel
	t.Mc = t.safety.lesser(math.Min(t.Mnp, t.Mnb), t.Mnu)
	t.Fsv, t.Fst = t.shearStress(1.3), t.shearStress(1)
	t.Vc = t.safety.lesser(t.Fsv*t.ring.Area/2, 0.6*t.fu*t.ring.Area/2)
	t.Tc = t.safety.lesser(t.Fst*t.ring.Wt, 0.6*t.fu*t.ring.Wt)
	t.Pt = t.safety.lesser(t.fy*t.ring.Area, t.fu*t.ring.Area)
	t.Pl = t.safety.available(t.wallStress()*t.ring.Area, t.safety.yielding)
}

// slenderness returns Rb/t, of the mid-wall radius.
func (t *AluminumTube) slenderness() float64 { return (t.ring.OD - t.ring.Wall) / 2 / t.ring.Wall }

// fsy returns the shear yield strength, Pa. ADM 2020 Table A.3.1: 0.6 of that in tension.
func (t *AluminumTube) fsy() float64 { return 0.6 * t.fy }

// wallStress returns Fc of a round wall pressed evenly, Pa, short of its elastic buckling.
// ADM 2020 B.5.4.5, E.3.
func (t *AluminumTube) wallStress() float64 {
	return math.Min(t.fy, t.k.wall.B-t.k.wall.D*math.Sqrt(t.slenderness()))
}

// shearSlenderness returns λ of a round tube in shear or torsion. ADM 2020 G.4, H.2.
func (t *AluminumTube) shearSlenderness() float64 {
	return 2.9 * math.Pow(t.slenderness(), 5.0/8) * math.Pow(t.length/(t.ring.OD-t.ring.Wall)*2, 1.0/4)
}

// shearStress returns the stress at which a round tube yields or buckles, Pa: in torsion, and
// raised by 1.3 on buckling in shear. ADM 2020 H.2, G.4.
func (t *AluminumTube) shearStress(raised float64) float64 {
	lambda := 1.25 * t.shearSlenderness()
	k := &t.k.shear
	buckling := k.B - k.D*lambda
	if lambda >= k.C {
		buckling = math.Pi * math.Pi * t.e / (lambda * lambda)
	}
	return math.Min(t.fsy(), raised*buckling)
}

// memberStress returns the slenderness kL/r that the critical force stands for, and Fc of
// member buckling, Pa, no more than Fcy. ADM 2020 E.2.
func (t *AluminumTube) memberStress() (lambda, stress float64) {
	lambda = math.Pi * math.Sqrt(t.e*t.ring.Area/t.Critical)
	k := &t.k.member
	stress = 0.85 * math.Pi * math.Pi * t.e / (lambda * lambda)
	if lambda < k.C {
		stress = (k.B - k.D*lambda) * (0.85 + 0.15*(k.C-lambda)/k.C)
	}
	return lambda, math.Min(t.fy, stress)
}

func (t *AluminumTube) told() told {
	of := told{
		factors: "resistance factors on aluminium φ = 0.90 on yielding and buckling, 0.75 on rupture",
		method:  "Aluminium is taken as unwelded, its buckling constants are those of artificially aged tempers (T5 to T9), kt = 1. Compression: kL/r is that of the elastic critical force, a lower bound; second order is an amplifier on an elastic analysis, for chapter C of the Aluminum Design Manual.",
		source:  "resistances: Aluminum Design Manual 2020 (2015 has the same structure), clauses as listed, from memory; the constants of 6061-T6 held against the values that handbooks print, from memory too (memory)",
	}
	if t.safety.symbol == "Ω" {
		of.factors = "safety factors on aluminium Ω = 1.65 on yielding and buckling, 1.95 on rupture"
	}
	return of
}

// by returns the resistance as it is: φ and Ω stand in place of a partial factor.
func (t *AluminumTube) by(partial) resistance { return t }

func (t *AluminumTube) upTo(most float64) resistance {
	out := *t
	out.most = most
	return &out
}

// recordFactors notes φ or Ω.
func (t *AluminumTube) recordFactors(r *Recorder) {
	r.step("factor on yielding and buckling", t.safety.symbol, t.safety.yielding, "1", "", "ADM 2020 F.1")
	r.step("factor on rupture", t.safety.symbol+"u", t.safety.rupture, "1", "", "ADM 2020 F.1")
}

// recordAvailable notes the lesser of two available strengths.
func (t *AluminumTube) recordAvailable(r *Recorder, yielding, rupture, symbol string, value float64, unit, clause string) {
	formula := fmt.Sprintf("min(%s %s, %[1]su %[3]s)", t.safety.symbol, yielding, rupture)
	if t.safety.symbol == "Ω" {
		formula = fmt.Sprintf("min(%s / Ω, %s / Ωu)", yielding, rupture)
	}
	r.step("available strength", symbol, value, unit, formula, clause)
}

func (t *AluminumTube) recordSection(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	t.recordDiameter("D", r)
	r.step("mid-wall radius", "Rb", (t.ring.OD-t.ring.Wall)/2*1e3, "mm", "(D - t) / 2", "ADM 2020 B.5.4.5")
	r.step("yield strength of the grade, tension and compression", "Fy", t.fy/1e6, "MPa", "", "")
	r.step("tensile strength of the grade", "Ftu", t.fu/1e6, "MPa", "", "")
	r.step("modulus of elasticity", "E", t.e/1e6, "MPa", "", "")
	t.recordFactors(r)
}

func (t *AluminumTube) recordMoment(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	k := &t.k.bent
	r.step("elastic section modulus", "S", t.ring.Wel*1e9, "mm³", "π (D⁴ - (D - 2 t)⁴) / (32 D)", "")
	r.step("plastic section modulus", "Z", t.ring.Wpl*1e9, "mm³", "(D³ - (D - 2 t)³) / 6", "")
	r.step("moment of yielding", "Mnp", t.Mnp, "Nm", "min(Z Fy, 1.5 S Fy)", "ADM 2020 F.2")
	r.step("moment of rupture, kt = 1", "Mnu", t.Mnu, "Nm", "Z Ftu", "ADM 2020 F.2")
	r.given("stress of 1 ksi", "κ", sections.ModulusAISC/29_000/1e6, "MPa", derived, "")
	r.step("buckling constant of a bent round wall", "Btb", k.B/1e6, "MPa", "1.5 Fy (1 + (Fy / (50000 κ))^(1/5))", "ADM 2020 Table B.4.2")
	r.step("buckling constant of a bent round wall", "Dtb", k.D/1e6, "MPa", "(Btb / 2.7) (Btb / E)^(1/3)", "ADM 2020 Table B.4.2")
	r.step("moment of local buckling", "Mnlb", t.Mnb, "Nm", "(Btb - Dtb √(Rb / t)) S", "ADM 2020 B.5.5, F.3")
	r.step("nominal moment of yielding and buckling", "Mn", math.Min(t.Mnp, t.Mnb), "Nm", "min(Mnp, Mnlb)", "ADM 2020 F.1")
	t.recordAvailable(r, "Mn", "Mnu", "Mc", t.Mc, "Nm", "ADM 2020 F.1")
}

// Bending is the resultant moment over the available flexural strength: yielding, rupture and
// local buckling. ADM 2020 F.2, F.3.
func (t *AluminumTube) Bending(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	return r.verdict(m, t.Mc, "Nm", "ADM 2020 F.2, F.3")
}

// recordShearStress notes the stress of shear (raised 1.3) or torsion (1).
func (t *AluminumTube) recordShearStress(symbol string, stress, raised float64, clause string, r *Recorder) {
	k, lambda := &t.k.shear, t.shearSlenderness()
	r.step("length, of the whole member", "L", t.length*1e3, "mm", "", "")
	r.step("shear yield strength", "Fsy", t.fsy()/1e6, "MPa", "0.6 Fy", "ADM 2020 A.3")
	r.step("shear rupture strength", "Fsu", 0.6*t.fu/1e6, "MPa", "0.6 Ftu", "ADM 2020 A.3")
	r.given("stress of 1 ksi", "κ", sections.ModulusAISC/29_000/1e6, "MPa", derived, "")
	r.step("buckling constant of shear", "Bs", k.B/1e6, "MPa", "Fsy (1 + (Fsy / (800 κ))^(1/3))", "ADM 2020 Table B.4.2")
	r.step("buckling constant of shear", "Ds", k.D/1e6, "MPa", "(Bs / 10) (Bs / E)^(1/2)", "ADM 2020 Table B.4.2")
	r.step("slenderness in shear", "λ", lambda, "1", "2.9 (Rb / t)^(5/8) (L / Rb)^(1/4)", clause)
	buckling := "Bs - 1.25 Ds λ"
	if 1.25*lambda >= k.C {
		buckling = "π² E / (1.25 λ)²"
	}
	formula := "min(Fsy, " + buckling + ")"
	if raised != 1 {
		formula = fmt.Sprintf("min(Fsy, %g (%s))", raised, buckling)
	}
	r.step("stress of yielding and buckling", symbol, stress/1e6, "MPa", formula, clause)
}

func (t *AluminumTube) recordShear(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	t.recordShearStress("Fsv", t.Fsv, 1.3, "ADM 2020 G.4", r)
	t.recordArea(r)
	r.step("nominal shear strength", "Vn", t.Fsv*t.ring.Area/2, "N", "Fsv A / 2", "ADM 2020 G.4")
	r.step("shear of rupture", "Vnu", 0.6*t.fu*t.ring.Area/2, "N", "Fsu A / 2", "ADM 2020 G.4")
	t.recordAvailable(r, "Vn", "Vnu", "Vc", t.Vc, "N", "ADM 2020 G.1")
}

func (t *AluminumTube) recordTorsion(r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	t.recordShearStress("Fst", t.Fst, 1, "ADM 2020 H.2", r)
	r.step("elastic section modulus", "S", t.ring.Wel*1e9, "mm³", "π (D⁴ - (D - 2 t)⁴) / (32 D)", "")
	r.step("torsional section modulus, J over the radius", "J/R", t.ring.Wt*1e9, "mm³", "2 S", "")
	r.step("nominal torsional strength", "Tn", t.Fst*t.ring.Wt, "Nm", "Fst (J/R)", "ADM 2020 H.2")
	r.step("torque of rupture", "Tnu", 0.6*t.fu*t.ring.Wt, "Nm", "Fsu (J/R)", "ADM 2020 H.2")
	t.recordAvailable(r, "Tn", "Tnu", "Tc", t.Tc, "Nm", "ADM 2020 H.2")
}

// Shear is the resultant shear over the available shear strength. ADM 2020 G.4; torsion
// beside it is part of Interaction.
func (t *AluminumTube) Shear(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordShear(r)
	r.step("required shear, resultant", "Vr", s.Shear(), "N", "√(Vy² + Vz²)", "")
	return r.verdict(s.Shear(), t.Vc, "N", "ADM 2020 G.4")
}

// Torsion is the torque over the available torsional strength. ADM 2020 H.2.
func (t *AluminumTube) Torsion(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordTorsion(r)
	torque := torque(s, t.Tc)
	recordTorque(r, "required torque", "Tr", torque)
	return r.verdict(torque, t.Tc, "Nm", "ADM 2020 H.2")
}

// axialStrength returns what is available for the axial force of a state, N: E.2 and E.3
// where it presses, D.2 where it pulls, and no more there than the wall takes pressed.
func (t *AluminumTube) axialStrength(s *analysis.State, r *Recorder) float64 {
	t.recordArea(r)
	if s.N >= 0 {
		t.recordTension("Pc", r)
		return t.Pt
	}
	lambda, stress := t.memberStress()
	member := t.safety.available(stress*t.ring.Area, t.safety.yielding)
	pc := math.Min(member, t.Pl)
	if r.keepsSteps() {
		t.recordCompression(lambda, stress, pc, r)
	}
	return pc
}

// recordTension notes the available strength in tension.
func (t *AluminumTube) recordTension(symbol string, r *Recorder) {
	if !r.keepsSteps() {
		return
	}
	r.step("tension of yielding", "Pny", t.fy*t.ring.Area, "N", "Fy A", "ADM 2020 D.2")
	r.step("tension of rupture", "Pnu", t.fu*t.ring.Area, "N", "Ftu A", "ADM 2020 D.2")
	t.recordAvailable(r, "Pny", "Pnu", symbol, t.Pt, "N", "ADM 2020 D.1")
}

func (t *AluminumTube) recordCompression(lambda, stress, pc float64, r *Recorder) {
	k, w := &t.k.member, &t.k.wall
	r.given("stress of 1 ksi", "κ", sections.ModulusAISC/29_000/1e6, "MPa", derived, "")
	r.step("buckling constant of members", "Bc", k.B/1e6, "MPa", "Fy (1 + (Fy / (2250 κ))^(1/2))", "ADM 2020 Table B.4.2")
	r.step("buckling constant of members", "Dc", k.D/1e6, "MPa", "(Bc / 10) (Bc / E)^(1/2)", "ADM 2020 Table B.4.2")
	r.step("buckling constant of members", "Cc", k.C, "1", "0.41 Bc / Dc", "ADM 2020 Table B.4.2")
	formula := ""
	if !math.IsInf(t.Critical, 1) {
		r.step("elastic critical force, a lower bound", "Pe", t.Critical, "N", "", "ADM 2020 E.2")
		formula = "π √(E A / Pe)"
	}
	r.step("slenderness of the member, kL/r", "λ", lambda, "1", formula, "ADM 2020 E.2")
	formula = "min(Fy, (Bc - Dc λ) (0.85 + 0.15 (Cc - λ) / Cc))"
	if lambda >= k.C {
		formula = "min(Fy, 0.85 π² E / λ²)"
	}
	r.step("stress of member buckling", "Fc", stress/1e6, "MPa", formula, "ADM 2020 E.2")
	r.step("buckling constant of a pressed round wall", "Bt", w.B/1e6, "MPa", "Fy (1 + (Fy / (50000 κ))^(1/5))", "ADM 2020 Table B.4.2")
	r.step("buckling constant of a pressed round wall", "Dt", w.D/1e6, "MPa", "(Bt / 4.5) (Bt / E)^(1/3)", "ADM 2020 Table B.4.2")
	r.step("stress of the wall", "Fcw", t.wallStress()/1e6, "MPa", "min(Fy, Bt - Dt √(Rb / t))", "ADM 2020 B.5.4.5, E.3")
	r.step("nominal compressive strength", "Pn", math.Min(stress, t.wallStress())*t.ring.Area, "N", "min(Fc, Fcw) A", "ADM 2020 E.1")
	formula = t.safety.symbol + " Pn"
	if t.safety.symbol == "Ω" {
		formula = "Pn / Ω"
	}
	r.step("available strength", "Pc", pc, "N", formula, "ADM 2020 E.1")
}

// Interaction is bending with axial force, shear and torsion: Pr/Pc + Mr/Mc + (Vr/Vc + Tr/Tc)²,
// H.1 and H.3. Compression is given no more than tension, which rupture may limit: cautious, so
// that a pull is never worse than a push of the same size.
func (t *AluminumTube) Interaction(s *analysis.State, r *Recorder) float64 {
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	pc := math.Min(t.axialStrength(s, r), t.Pt)
	torsion := torque(s, t.Tc)
	sheared := s.Shear()/t.Vc + torsion/t.Tc
	sum := math.Abs(s.N)/pc + m/t.Mc + sheared*sheared
	const clause = "ADM 2020 H.1, H.3"
	if r.keepsSteps() {
		t.recordShear(r)
		t.recordTorsion(r)
		if s.N < 0 && t.Pt == pc {
			t.recordTension("Pct", r)
			r.step("axial strength, no more than in tension", "Pc", pc, "N", "min(Pc, Pct)", "ADM 2020 H.1")
		}
		r.step("required axial force", "Pr", math.Abs(s.N), "N", "|N|", "")
		r.step("required shear, resultant", "Vr", s.Shear(), "N", "√(Vy² + Vz²)", "")
		recordTorque(r, "required torque", "Tr", torsion)
		r.step("sum of the ratios", "sum", sum, "1", "Pr / Pc + Mr / Mc + (Vr / Vc + Tr / Tc)²", clause)
	}
	return r.verdict(sum, 1, "1", clause)
}

// Buckling is compression over the available compressive strength with the bending beside it,
// H.1; without compression it is bending alone. ADM 2020 E.2, E.3, H.1.
func (t *AluminumTube) Buckling(s *analysis.State, r *Recorder) float64 {
	const clause = "ADM 2020 E.2, E.3, H.1"
	t.recordSection(r)
	t.recordMoment(r)
	m := t.moment(s, r)
	if math.IsInf(m, 1) {
		return t.unstable(s, r)
	}
	pressed := *s
	pressed.N = math.Min(s.N, 0)
	if pressed.N == 0 {
		r.step("sum of the ratios, without compression", "sum", m/t.Mc, "1", "Mr / Mc", clause)
		return r.verdict(m/t.Mc, 1, "1", clause)
	}
	pc := t.axialStrength(&pressed, r)
	sum := -pressed.N/pc + m/t.Mc
	r.step("required compression", "Pr", -pressed.N, "N", "-N, at least 0", "")
	r.step("sum of the ratios", "sum", sum, "1", "Pr / Pc + Mr / Mc", clause)
	return r.verdict(sum, 1, "1", clause)
}

// Yield is the equivalent stress at the outer fibre over the yield strength, under the actions
// as they are: no clause of the manual, so α is 1 on either basis.
func (t *AluminumTube) Yield(s *analysis.State, r *Recorder) float64 {
	a := t.amplifier
	a.alpha = 1
	m := a.moment(s, r)
	if math.IsInf(m, 1) {
		return a.unstable(s, r)
	}
	y := yielding{diameter: "D", modulus: "S", torsional: "J/R", strength: "Fy", moment: "Mr", clause: "first yield on elastic stresses, no clause of the Aluminum Design Manual"}
	return y.judge(s, m, &t.roundSection, r)
}
